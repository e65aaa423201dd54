//! Repeatability and reproducibility of a hand tool: several parts, each read by every person
//! the same number of times.

use super::anova::{AnovaError, Squares, test};
use super::f::FTest;
use super::summary::{compensated_sum, count};

/// The significance above which the interaction is taken as chance and pooled with the scatter of
/// repeats (common practice: the manual of measurement systems analysis used in car making,
/// from memory).
pub const POOL_ABOVE: f64 = 0.25;

/// The spread of a study, in the unit of the readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GaugeStudy {
    /// Number of parts (places, loads).
    pub parts: usize,
    /// Number of people (or tools).
    pub people: usize,
    /// Readings by each person of each part.
    pub trials: usize,
    /// Squares between parts.
    pub part: Squares,
    /// Squares between people.
    pub person: Squares,
    /// Squares of the interaction: some people read some parts differently. With one trial it
    /// cannot be told from the scatter of repeats and stands for it.
    pub interaction: Squares,
    /// Squares of repeats; no degrees of freedom with one trial.
    pub repeats: Squares,
    /// F test of the interaction against repeats; `None` with one trial, or where repeats agree
    /// exactly.
    pub interaction_test: Option<FTest>,
    /// F test of the people, against the pooled scatter or, unpooled, the interaction.
    pub person_test: Option<FTest>,
    /// F test of the parts, likewise.
    pub part_test: Option<FTest>,
    /// The interaction was pooled with the scatter of repeats.
    pub pooled: bool,
    /// EV, equipment variation: standard deviation of repeats by one person on one part.
    pub repeatability_sd: f64,
    /// AV, appraiser variation: standard deviation between people.
    pub person_sd: f64,
    /// Standard deviation of the interaction; 0 when pooled.
    pub interaction_sd: f64,
    /// GRR = √(EV² + AV² + interaction²): of readings of one part by anyone.
    pub gauge_sd: f64,
    /// PV: standard deviation between parts.
    pub part_sd: f64,
    /// TV = √(GRR² + PV²).
    pub total_sd: f64,
    /// 100 GRR / TV; `None` where nothing varies.
    pub gauge_percent: Option<f64>,
    /// 1.41 PV / GRR; cut to a whole number it is the number of classes of part the tool can tell
    /// apart (ndc). `None` where GRR is zero.
    pub distinct: Option<f64>,
    /// Some variance came out below zero and was set to zero.
    pub set_to_zero: bool,
}

/// What a share of the spread taken up by the tool and the people means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GaugeVerdict {
    /// Below 10 %.
    Good,
    /// From 10 to 30 %.
    Conditional,
    /// Above 30 %.
    Unacceptable,
}

impl std::fmt::Display for GaugeVerdict {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Good => "Tool and people add little to the spread seen.",
            Self::Conditional => {
                "Tool and people add noticeably to the spread seen: good enough for large \
                 differences, not for small ones."
            }
            Self::Unacceptable => {
                "Tool and people add too much to the spread seen: agree on how to read, then \
                 read again."
            }
        })
    }
}

impl GaugeStudy {
    /// Number of distinct classes, cut to a whole number; `None` where GRR is zero.
    #[must_use]
    pub fn classes(&self) -> Option<u32> {
        // `as` cuts, and stays at the largest `u32`; the number is zero or more.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        self.distinct.map(|distinct| distinct as u32)
    }

    /// How the share stands: below 10 % good, to 30 % conditional, above that not acceptable
    /// (the manual of measurement systems analysis used in car making, from memory).
    #[must_use]
    pub fn verdict(&self) -> Option<GaugeVerdict> {
        self.gauge_percent.map(|percent| {
            if percent < 10.0 {
                GaugeVerdict::Good
            } else if percent <= 30.0 {
                GaugeVerdict::Conditional
            } else {
                GaugeVerdict::Unacceptable
            }
        })
    }
}

/// Analyses readings\[part\]\[person\]\[trial\], parts and people both a sample of many.
///
/// With p parts, o people, r trials and mean squares P (parts), O (people), I (interaction) and
/// E (repeats):
///
/// ```text
/// pooled:    E' = (SS_I + SS_E) / (df_I + df_E)
///            EV² = E'    AV² = (O − E')/(p r)    PV² = (P − E')/(o r)
/// unpooled:  EV² = E     AV² = (O − I)/(p r)     PV² = (P − I)/(o r)    interaction² = (I − E)/r
/// GRR² = EV² + AV² + interaction²      TV² = GRR² + PV²
/// ```
///
/// each variance at least 0. The interaction is pooled when its p is above `pool_above`
/// ([`POOL_ABOVE`] is classic), and has to be with one trial. `resolution` d (0: not known) keeps
/// EV² at d²/12 or more.
///
/// Source: random-effects two-way analysis of variance with expected mean squares, NIST/SEMATECH
/// e-Handbook of Statistical Methods, 2.4 and 7.4.3; names as in the manual of measurement systems
/// analysis used in car making, from memory; JCGM 100:2008 (GUM), F.2.2.1, for d²/12.
///
/// # Errors
///
/// [`AnovaError::TooFewGroups`] with fewer than two parts or people, [`AnovaError::Unbalanced`]
/// where trials differ in number, and for readings, significance or resolution out of range.
pub fn gauge_study(
    readings: &[Vec<Vec<f64>>],
    pool_above: f64,
    resolution: f64,
) -> Result<GaugeStudy, AnovaError> {
    let (parts, people, trials) = check(readings, pool_above, resolution)?;
    let means = Means::of(readings);
    let (origin, grand) = (means.origin, means.grand);
    let (p, o, r) = (count(parts), count(people), count(trials));

    let part = Squares {
        ss: o * r * squares(means.parts.iter().map(|mean| mean - grand)),
        df: parts - 1,
    };
    let person = Squares {
        ss: p * r * squares(means.people.iter().map(|mean| mean - grand)),
        df: people - 1,
    };
    let interaction = Squares {
        ss: r * squares(
            means
                .cells
                .iter()
                .zip(&means.parts)
                .flat_map(|(row, part)| {
                    row.iter()
                        .zip(&means.people)
                        .map(move |(cell, person)| (cell - part) - (person - grand))
                }),
        ),
        df: part.df * person.df,
    };
    let repeats = Squares {
        ss: squares(readings.iter().zip(&means.cells).flat_map(|(row, cells)| {
            row.iter()
                .zip(cells)
                .flat_map(|(trials, cell)| trials.iter().map(move |x| (x - origin) - cell))
        })),
        df: parts * people * (trials - 1),
    };
    let total = part.ss + person.ss + interaction.ss + repeats.ss;
    if !total.is_finite() {
        return Err(AnovaError::TooLarge);
    }

    let interaction_test = test(interaction, repeats);
    let pooled = trials == 1 || interaction_test.is_some_and(|test| test.p > pool_above);
    let scatter = if pooled {
        Squares {
            ss: interaction.ss + repeats.ss,
            df: interaction.df + repeats.df,
        }
    } else {
        repeats
    };
    let against = if pooled { scatter } else { interaction };
    let mean = |squares: Squares| squares.mean().unwrap_or_default();
    let floor = resolution * resolution / 12.0;
    let ev2 = mean(scatter).max(floor);
    let against_ms = mean(against).max(floor);
    let mut set_to_zero = false;
    let mut variance = |value: f64| {
        set_to_zero |= value < 0.0;
        value.max(0.0)
    };
    let av2 = variance((mean(person) - against_ms) / (p * r));
    let pv2 = variance((mean(part) - against_ms) / (o * r));
    let iv2 = if pooled {
        0.0
    } else {
        variance((mean(interaction) - ev2) / r)
    };
    let (grr2, gauge_sd) = (ev2 + av2 + iv2, (ev2 + av2 + iv2).sqrt());
    let total_sd = (grr2 + pv2).sqrt();
    if !total_sd.is_finite() {
        return Err(AnovaError::TooLarge);
    }
    Ok(GaugeStudy {
        parts,
        people,
        trials,
        part,
        person,
        interaction,
        repeats,
        interaction_test,
        person_test: test(person, against),
        part_test: test(part, against),
        pooled,
        repeatability_sd: ev2.sqrt(),
        person_sd: av2.sqrt(),
        interaction_sd: iv2.sqrt(),
        gauge_sd,
        part_sd: pv2.sqrt(),
        total_sd,
        gauge_percent: finite(100.0 * gauge_sd / total_sd),
        distinct: finite(1.41 * pv2.sqrt() / gauge_sd),
        set_to_zero,
    })
}

/// Parts, people and trials, when the readings can be worked with.
fn check(
    readings: &[Vec<Vec<f64>>],
    pool_above: f64,
    resolution: f64,
) -> Result<(usize, usize, usize), AnovaError> {
    if !(pool_above > 0.0 && pool_above < 1.0) {
        return Err(AnovaError::Significance(pool_above));
    }
    if !(resolution.is_finite() && resolution >= 0.0) {
        return Err(AnovaError::Resolution(resolution));
    }
    let people = readings.first().map_or(0, Vec::len);
    if readings.len() < 2 || people < 2 {
        return Err(AnovaError::TooFewGroups);
    }
    let trials = readings
        .first()
        .and_then(|row| row.first())
        .map_or(0, Vec::len);
    if trials == 0 {
        return Err(AnovaError::EmptyGroup { index: 0 });
    }
    if readings
        .iter()
        .any(|row| row.len() != people || row.iter().any(|cell| cell.len() != trials))
    {
        return Err(AnovaError::Unbalanced);
    }
    let mut all = readings.iter().flatten().flatten();
    if let Some(index) = all.position(|x| !x.is_finite()) {
        return Err(AnovaError::NotFinite { index });
    }
    Ok((readings.len(), people, trials))
}

/// Means, all less `origin`, the first reading, so that a small spread keeps its digits.
struct Means {
    origin: f64,
    grand: f64,
    parts: Vec<f64>,
    people: Vec<f64>,
    cells: Vec<Vec<f64>>,
}

impl Means {
    fn of(readings: &[Vec<Vec<f64>>]) -> Self {
        let origin = readings
            .iter()
            .flatten()
            .flatten()
            .copied()
            .next()
            .unwrap_or_default();
        let cells: Vec<Vec<f64>> = readings
            .iter()
            .map(|row| {
                row.iter()
                    .map(|cell| mean(cell.iter().map(|x| x - origin)))
                    .collect()
            })
            .collect();
        let parts: Vec<f64> = cells.iter().map(|row| mean(row.iter().copied())).collect();
        let columns = cells.first().map_or(0, Vec::len);
        let people = (0..columns)
            .map(|column| mean(cells.iter().filter_map(|row| row.get(column).copied())))
            .collect();
        Self {
            origin,
            grand: mean(parts.iter().copied()),
            parts,
            people,
            cells,
        }
    }
}

fn mean(values: impl Iterator<Item = f64> + Clone) -> f64 {
    let n = count(values.clone().count());
    compensated_sum(values) / n
}

fn squares(distances: impl Iterator<Item = f64>) -> f64 {
    compensated_sum(distances.map(|d| d * d))
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}
