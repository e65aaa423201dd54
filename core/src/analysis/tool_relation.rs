//! How the two hand tools read the same film on one site. An estimate, and of this site only.
//!
//! No factor joins the tools in general. Where ten loads or more were read by both in one zone, a
//! line through those pairs says what one tool tended to show beside the other. Nothing here
//! makes a containment force of one method out of the other: the relation is shown to people, and
//! targets and plans never see it.

use std::collections::BTreeMap;
use std::fmt;

use thiserror::Error;

use crate::survey::{Id, Load, Reading, Record};
use crate::units::{Containment, PullPlate, TorsionTool};

use super::containment::{CONFIDENCE, ZoneName, faces_alike, taken};
use super::statistics::{Interval, StatisticsError, student_t, summarise};

/// How many loads read by both tools in one zone the relation needs.
pub const LEAST_PAIRED_LOADS: usize = 10;

/// One load's zone, read by both tools.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairedLoad {
    /// The load.
    pub load: Id<Load>,
    /// Mean of the readings by the torsion tool.
    pub torsion: Containment<TorsionTool>,
    /// Mean of the readings by the pull plate.
    pub pull: Containment<PullPlate>,
    /// Length of the face the pull plate was used on, in metres; `None` when unknown or when
    /// its readings are from faces of unlike length.
    pub face_length_m: Option<f64>,
}

/// The loads that both tools were used on in `zone`; readings set aside take no part.
#[must_use]
pub fn paired_loads(
    loads: &[Record<Load>],
    readings: &[Record<Reading>],
    zone: ZoneName,
) -> Vec<PairedLoad> {
    let mut by_load: BTreeMap<Id<Load>, Vec<Record<Reading>>> = BTreeMap::new();
    for reading in readings {
        by_load
            .entry(reading.load)
            .or_default()
            .push(reading.clone());
    }
    loads
        .iter()
        .filter(|load| load.set_aside.is_none())
        .filter_map(|load| {
            let readings = by_load.get(&load.id)?;
            let torsion: Vec<_> = taken::<TorsionTool>(load, readings);
            let pull: Vec<_> = taken::<PullPlate>(load, readings);
            let torsion_here = torsion.iter().filter(|taken| taken.zone == zone);
            let pull_here: Vec<_> = pull.iter().filter(|taken| taken.zone == zone).collect();
            let face = pull_here.first().and_then(|taken| taken.face_length_m);
            let alike = pull_here.iter().all(|taken| {
                matches!((taken.face_length_m, face), (Some(one), Some(other)) if faces_alike(one, other))
            });
            Some(PairedLoad {
                load: load.id,
                torsion: mean(torsion_here.map(|taken| taken.value.force().n()))
                    .map(Containment::new)?,
                pull: mean(pull_here.iter().map(|taken| taken.value.force().n()))
                    .map(Containment::new)?,
                face_length_m: face.filter(|_| alike),
            })
        })
        .collect()
}

fn mean(values: impl Iterator<Item = f64>) -> Option<crate::units::Force> {
    let values: Vec<f64> = values.collect();
    let summary = summarise(&values).ok()?;
    crate::units::Force::from_n(summary.mean).ok()
}

/// Why the tools cannot be set beside each other.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum ToolRelationError {
    /// Fewer than ten loads.
    #[error(
        "only {have} loads were read by both tools in this zone: the two tools can be set beside \
         each other from ten such loads on"
    )]
    TooFew {
        /// How many there are.
        have: usize,
    },
    /// The same load twice.
    #[error("a load is there twice: give each load once")]
    LoadTwice,
    /// Faces of unlike or unknown length.
    #[error(
        "the pull plate reads more on a shorter face: the loads must be read on faces of the same \
         known length to set the tools beside each other"
    )]
    UnlikeFaces,
    /// The torsion tool read the same on all of them.
    #[error(
        "the torsion tool shows the same on all of these loads, so nothing can be said of how the \
         other follows it: read loads that are wrapped more and less firmly"
    )]
    NoSpread,
    /// Numbers out of reach.
    #[error("{0}")]
    Statistics(#[from] StatisticsError),
}

/// The line pull = intercept + slope × torsion over the paired loads of one zone. An estimate.
#[derive(Debug, Clone, PartialEq)]
pub struct ToolRelation {
    /// Loads it rests on.
    pub loads: usize,
    /// Newtons by the pull plate for each newton by the torsion tool.
    pub slope: f64,
    /// Student-t interval of the slope.
    pub slope_interval: Interval,
    /// Newtons by the pull plate where the torsion tool would show none.
    pub intercept_n: f64,
    /// Student-t interval of the intercept, in newtons.
    pub intercept_interval: Interval,
    /// Scatter about the line, in newtons.
    pub residual_sd_n: f64,
    /// Lowest and highest torsion reading it rests on, in newtons: it says nothing outside.
    pub torsion_range_n: (f64, f64),
}

impl fmt::Display for ToolRelation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "Estimate from {} loads of this site read by both tools: where the torsion tool showed \
             1 N more, the pull plate showed {:.2} N more (between {:.2} and {:.2}). It holds for \
             no other site, face or film, and no target or plan uses it.",
            self.loads, self.slope, self.slope_interval.low, self.slope_interval.high
        )
    }
}

/// Ordinary least squares of the pull plate on the torsion tool over paired loads.
///
/// ```text
/// slope = Sxy/Sxx      intercept = ȳ − slope x̄      s² = Σ(yᵢ − intercept − slope xᵢ)²/(n − 2)
/// se(slope) = s/√Sxx      se(intercept) = s √(1/n + x̄²/Sxx)      interval: ± t(n − 2) se
/// ```
///
/// with x the torsion tool's and y the pull plate's mean on a load, in newtons. Assumes
/// independent loads, a straight relation and even scatter; the torsion tool's own scatter pulls
/// the slope towards zero, one more reason that it is an estimate. Source: NIST/SEMATECH
/// e-Handbook of Statistical Methods, 4.1.4.1 and 4.4.4 (linear least squares).
///
/// # Errors
/// Fewer than ten loads, a load twice, faces of unlike or unknown length, no spread, or forces
/// too large to work with.
pub fn tool_relation(pairs: &[PairedLoad]) -> Result<ToolRelation, ToolRelationError> {
    if pairs.len() < LEAST_PAIRED_LOADS {
        return Err(ToolRelationError::TooFew { have: pairs.len() });
    }
    let mut ids: Vec<_> = pairs.iter().map(|pair| pair.load).collect();
    ids.sort_unstable();
    ids.dedup();
    if ids.len() != pairs.len() {
        return Err(ToolRelationError::LoadTwice);
    }
    let first = pairs.first().and_then(|pair| pair.face_length_m);
    let same_face = pairs.iter().all(
        |pair| matches!((pair.face_length_m, first), (Some(one), Some(other)) if faces_alike(one, other)),
    );
    if !same_face {
        return Err(ToolRelationError::UnlikeFaces);
    }
    let x: Vec<f64> = pairs.iter().map(|pair| pair.torsion.force().n()).collect();
    let y: Vec<f64> = pairs.iter().map(|pair| pair.pull.force().n()).collect();
    let (across, up) = (summarise(&x)?, summarise(&y)?);
    // Too little spread to divide by, or too large to square.
    let otherwise = if across.max - across.min > across.max * 1e-9 {
        ToolRelationError::Statistics(StatisticsError::TooLarge)
    } else {
        ToolRelationError::NoSpread
    };
    let range = (across.min, across.max);
    fit(&x, &y, (across.mean, up.mean), range).ok_or(otherwise)
}

/// The line, or `None` where something does not come out finite.
fn fit(
    x: &[f64],
    y: &[f64],
    (x_mean, y_mean): (f64, f64),
    torsion_range_n: (f64, f64),
) -> Option<ToolRelation> {
    let loads = x.len();
    let n = f64::from(u32::try_from(loads).ok()?);
    let sxx: f64 = x.iter().map(|x| (x - x_mean).powi(2)).sum();
    if sxx.sqrt() <= x_mean.abs() * 1e-9 {
        return None;
    }
    let both = || x.iter().zip(y);
    let sxy: f64 = both().map(|(x, y)| (x - x_mean) * (y - y_mean)).sum();
    let slope = sxy / sxx;
    let intercept_n = y_mean - slope * x_mean;
    let rest: f64 = both()
        .map(|(x, y)| (y - y_mean - slope * (x - x_mean)).powi(2))
        .sum();
    let residual_sd_n = (rest / (n - 2.0)).sqrt();
    let t = -student_t::quantile(0.5 * (1.0 - CONFIDENCE), n - 2.0).ok()?;
    let around = |centre: f64, se: f64| Interval {
        low: centre - t * se,
        high: centre + t * se,
        confidence: CONFIDENCE,
        resolution_limited: residual_sd_n <= 0.0,
    };
    let slope_interval = around(slope, residual_sd_n / sxx.sqrt());
    let intercept_interval = around(
        intercept_n,
        residual_sd_n * (1.0 / n + x_mean.powi(2) / sxx).sqrt(),
    );
    let finite = [
        slope_interval.low,
        slope_interval.high,
        intercept_interval.low,
        intercept_interval.high,
    ]
    .iter()
    .all(|value| value.is_finite());
    finite.then_some(ToolRelation {
        loads,
        slope,
        slope_interval,
        intercept_n,
        intercept_interval,
        residual_sd_n,
        torsion_range_n,
    })
}
