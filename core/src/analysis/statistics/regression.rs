//! Least squares through the origin, y = f·x: a force that grows with the layers that give it,
//! and is nothing where there is no film.

use super::f::FTest;
use super::student_t;
use super::summary::count;
use crate::language::Language;
use crate::say;

/// Why a line through the origin could not be fitted.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{}", self.said(Language::English))]
pub enum RegressionError {
    /// There are no points, or no groups.
    Empty,
    /// A group has no points. Positions count from 0.
    EmptyGroup {
        /// Position of the group, counted from 0.
        index: usize,
    },
    /// A coordinate is not a number, or is infinite. Positions count from 0, over all groups.
    NotFinite {
        /// Position of the point, counted from 0.
        index: usize,
    },
    /// Every x is zero: any slope would do.
    AllZero,
    /// Sums of squares cannot be held in an `f64`.
    OutOfRange,
    /// The resolution is negative or not finite.
    Resolution(f64),
    /// The significance lies outside 0 to 1.
    Significance(f64),
}

impl RegressionError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::Empty => say!(
                language,
                "there is nothing to fit a line to yet: enter at least one reading"
            ),
            Self::EmptyGroup { index } => say!(
                language,
                "group {number} has no readings: read there or leave it out",
                number = index + 1
            ),
            Self::NotFinite { index } => say!(
                language,
                "point {number} is not a number: enter it again or leave it out",
                number = index + 1
            ),
            Self::AllZero => say!(
                language,
                "no slope can be found where every point has zero layers: read where film lies"
            ),
            Self::OutOfRange => say!(
                language,
                "these values are too large or too small to work with: check the unit they were entered in"
            ),
            Self::Resolution(value) => say!(
                language,
                "the smallest step of the tool must be zero or more, not {value}",
                value = value
            ),
            Self::Significance(value) => say!(
                language,
                "a significance must lie between 0 and 1, without 0 and 1 themselves, not {value}",
                value = value
            ),
        }
    }
}

/// One point: x, what causes (layers of film), and y, what was read (a force).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// The cause, in its unit.
    pub x: f64,
    /// What was read, in its unit.
    pub y: f64,
}

/// A fitted line y = f·x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Number of points, at least 1.
    pub n: usize,
    /// f = Σxy / Σx², in units of y per unit of x.
    pub slope: f64,
    /// Standard error of the slope, s / √Σx²; `None` where [`Fit::residual_sd`] is.
    pub slope_se: Option<f64>,
    /// s = √(Σ(y − f x)² / ν), in the unit of y, or the floor given by the resolution where that
    /// is larger; `None` for a single point, whose scatter is unknown, not zero.
    pub residual_sd: Option<f64>,
    /// Degrees of freedom ν of s: n − 1 for a line of its own.
    pub df: usize,
    /// Σ(y − f x)², in the unit of y squared, without the floor.
    pub residual_ss: f64,
    /// Σx², in the unit of x squared.
    pub sum_x2: f64,
    /// Smallest x.
    pub x_min: f64,
    /// Largest x. A prediction beyond it is one beyond what was measured.
    pub x_max: f64,
    /// The points lie closer to the line than the tool can show, so that s is the floor (or, with
    /// no resolution given, zero and worth nothing).
    pub resolution_limited: bool,
    /// Do readings at one x differ less from each other than their means from the line?
    pub lack_of_fit: Option<LackOfFit>,
    /// Would a line that need not meet the origin fit better?
    pub intercept: Option<Intercept>,
}

/// Lack of fit, from repeated readings at the same x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LackOfFit {
    /// Σ nⱼ(ȳⱼ − f xⱼ)² over the m distinct x, on m − 1 degrees of freedom.
    pub lack_ss: f64,
    /// Σ(y − ȳⱼ)², what repeated readings differ among themselves, on n − m degrees of freedom.
    pub pure_ss: f64,
    /// The F test of the first against the second; a small p says that the straight line through
    /// the origin does not hold. `None` where repeated readings are all alike.
    pub test: Option<FTest>,
}

/// The line with an intercept of its own, y = a + b·x, as a check on the one through the origin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Intercept {
    /// a, in the unit of y.
    pub intercept: f64,
    /// The test of a = 0 on 1 and n − 2 degrees of freedom; a small p says that the line does not
    /// meet the origin. `None` where the points lie exactly on the line.
    pub test: Option<FTest>,
}

/// Fits y = f·x by least squares.
///
/// ```text
/// f = Σxy / Σx²      s = √(Σ(y − f x)² / (n − 1))      SE(f) = s / √Σx²
/// ```
///
/// `resolution` is the smallest step of the tool, in the unit of y (0: not known). The s used is
/// never less than d/√12, the standard deviation of a value that may lie anywhere in one step d:
/// points that happen to lie on the line do not make the tool exact.
///
/// Assumes that x is known far better than y, that the scatter of y is roughly normal and the same
/// at every x, and that y is nothing where x is; the last is checked by [`Fit::intercept`], the
/// straightness by [`Fit::lack_of_fit`].
///
/// Source: N. R. Draper, H. Smith, Applied Regression Analysis, on regression through the origin
/// and on lack of fit and pure error; JCGM 100:2008 (GUM), F.2.2.1, for d/√12.
///
/// # Errors
///
/// [`RegressionError`] without points, with values that are not finite or out of range, with
/// every x zero, and with a resolution that is negative or not finite.
pub fn fit_through_origin(points: &[Point], resolution: f64) -> Result<Fit, RegressionError> {
    if points.is_empty() {
        return Err(RegressionError::Empty);
    }
    if !(resolution.is_finite() && resolution >= 0.0) {
        return Err(RegressionError::Resolution(resolution));
    }
    if let Some(index) = points
        .iter()
        .position(|point| !(point.x.is_finite() && point.y.is_finite()))
    {
        return Err(RegressionError::NotFinite { index });
    }
    if points.iter().all(|point| point.x == 0.0) {
        return Err(RegressionError::AllZero);
    }
    let sum_x2 = sum(points, |point| point.x * point.x);
    let readings_squared = sum(points, |point| point.y * point.y);
    if !(sum_x2.is_finite() && sum_x2 > 1e-280 && readings_squared.is_finite()) {
        return Err(RegressionError::OutOfRange);
    }
    let first = sum(points, |point| point.x * point.y) / sum_x2;
    // What rounding left over, found from the residuals.
    let slope = first + sum(points, |point| point.x * (point.y - first * point.x)) / sum_x2;
    let residual_ss = sum(points, |point| (point.y - slope * point.x).powi(2));
    if !(slope.is_finite() && residual_ss.is_finite()) {
        return Err(RegressionError::OutOfRange);
    }
    let (x_min, x_max) = points
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), point| {
            (low.min(point.x), high.max(point.x))
        });
    let mut fit = Fit {
        n: points.len(),
        slope,
        slope_se: None,
        residual_sd: None,
        df: 0,
        residual_ss,
        sum_x2,
        x_min,
        x_max,
        resolution_limited: false,
        lack_of_fit: lack_of_fit(points, slope),
        intercept: intercept(points),
    };
    fit.spread(residual_ss, points.len() - 1, resolution);
    Ok(fit)
}

impl Fit {
    /// Sets s, its degrees of freedom and what follows from it.
    fn spread(&mut self, ss: f64, df: usize, resolution: f64) {
        let floor = resolution / 12.0_f64.sqrt();
        self.df = df;
        let sd = (df > 0).then(|| (ss / count(df)).sqrt());
        self.resolution_limited = sd.is_some_and(|sd| sd <= floor);
        self.residual_sd = sd.map(|sd| sd.max(floor));
        self.slope_se = self
            .residual_sd
            .map(|sd| sd / self.sum_x2.sqrt())
            .filter(|se| se.is_finite());
    }

    /// Prepares one-sided bounds of that confidence (0 < C < 1) for `readings` new readings
    /// (at least 1) that must all keep to their bounds together.
    ///
    /// Jointly by Bonferroni's inequality: each bound alone has the confidence
    /// 1 − (1 − C)/`readings`, so that all hold together with at least C, however the readings
    /// hang together.
    ///
    /// `None` for a single point, and for a confidence or a count outside its range.
    #[must_use]
    pub fn predictor(&self, confidence: f64, readings: usize) -> Option<Predictor> {
        if !(confidence > 0.0 && confidence < 1.0) || readings == 0 {
            return None;
        }
        let sd = self.residual_sd?;
        let tail = (1.0 - confidence) / count(readings);
        let t = -student_t::quantile(tail, count(self.df)).ok()?;
        t.is_finite().then_some(Predictor {
            slope: self.slope,
            t,
            sd,
            sum_x2: self.sum_x2,
        })
    }

    /// Lower bound for one new reading at `x0`: [`Fit::predictor`] and [`Predictor::reading_low`]
    /// in one.
    #[must_use]
    pub fn reading_low(&self, x0: f64, confidence: f64) -> Option<f64> {
        self.predictor(confidence, 1)?.reading_low(x0)
    }

    /// Lower bound for the mean of very many readings at `x0`.
    #[must_use]
    pub fn mean_low(&self, x0: f64, confidence: f64) -> Option<f64> {
        self.predictor(confidence, 1)?.mean_low(x0)
    }

    /// The line at `x0`; `None` if that is not a finite number.
    #[must_use]
    pub fn at(&self, x0: f64) -> Option<f64> {
        finite(self.slope * x0)
    }
}

/// One-sided prediction bounds with the quantile of Student's t worked out once, for many x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Predictor {
    slope: f64,
    t: f64,
    sd: f64,
    sum_x2: f64,
}

impl Predictor {
    /// Lower bound for a new reading at `x0`:
    ///
    /// ```text
    /// f x₀ − t(C; ν) s √(1 + x₀²/Σx²)
    /// ```
    ///
    /// `None` if `x0` or the result is not a finite number.
    ///
    /// Source: Draper and Smith, Applied Regression Analysis.
    #[must_use]
    pub fn reading_low(&self, x0: f64) -> Option<f64> {
        finite(self.slope * x0 - self.t * self.sd * (1.0 + x0 * x0 / self.sum_x2).sqrt())
    }

    /// Upper bound for a new reading at `x0`, as [`Predictor::reading_low`].
    #[must_use]
    pub fn reading_high(&self, x0: f64) -> Option<f64> {
        finite(self.slope * x0 + self.t * self.sd * (1.0 + x0 * x0 / self.sum_x2).sqrt())
    }

    /// Lower bound for the true mean at `x0`: f x₀ − t(C; ν) s |x₀|/√Σx².
    #[must_use]
    pub fn mean_low(&self, x0: f64) -> Option<f64> {
        finite(self.slope * x0 - self.t * self.sd * x0.abs() / self.sum_x2.sqrt())
    }

    /// Upper bound for the true mean at `x0`, as [`Predictor::mean_low`].
    #[must_use]
    pub fn mean_high(&self, x0: f64) -> Option<f64> {
        finite(self.slope * x0 + self.t * self.sd * x0.abs() / self.sum_x2.sqrt())
    }
}

/// Lines through the origin for several groups (zones), and whether one line does for all.
#[derive(Debug, Clone, PartialEq)]
pub struct GroupedFit {
    /// Each group's line, with the scatter of that group alone.
    pub own: Vec<Fit>,
    /// Each group's slope with the scatter of all groups about their own lines, on N − g degrees
    /// of freedom: assumes that all scatter alike, and says more where groups are small.
    pub own_common_spread: Vec<Fit>,
    /// One line for all points.
    pub pooled: Fit,
    /// The test of one common slope (extra sum of squares) on g − 1 and N − g degrees of freedom.
    /// `None` with one group, with no more points than groups, and where nothing scatters.
    pub common_slope: Option<FTest>,
    /// The significance the groups were compared at.
    pub significance: f64,
    /// Whether the slopes were not shown to differ; `None` when that could not be tested. Not
    /// shown to differ is not shown to be the same: with few points only large differences show.
    pub agree: Option<bool>,
}

impl GroupedFit {
    /// The fit to predict that group (counted from 0) with: the pooled line where the groups
    /// agree, else its own slope with the common scatter. `None` for a group that is not there.
    #[must_use]
    pub fn chosen(&self, group: usize) -> Option<&Fit> {
        let own = self.own_common_spread.get(group)?;
        Some(if self.agree == Some(true) {
            &self.pooled
        } else {
            own
        })
    }
}

/// Fits a line through the origin to each group and one to all, and tests whether one does.
///
/// ```text
/// F = ((SS₁ − Σ SSⱼ) / (g − 1)) / (Σ SSⱼ / (N − g))
/// ```
///
/// with SS₁ the residual sum of squares of the common line, `SSⱼ` that of group j about its own
/// line, g groups and N points in all. The difference is taken as Σⱼ (fⱼ − f)² Σx², which it
/// equals, and the mean square below is never less than `resolution`²/12.
///
/// Assumes that all groups scatter alike. `significance` 0.05 is common. See
/// [`fit_through_origin`] for the rest.
///
/// Source: Draper and Smith, Applied Regression Analysis, the extra sum of squares principle.
///
/// # Errors
///
/// As [`fit_through_origin`], for a group without points, and for a significance outside 0 to 1.
pub fn fit_groups(
    groups: &[Vec<Point>],
    significance: f64,
    resolution: f64,
) -> Result<GroupedFit, RegressionError> {
    if !(significance > 0.0 && significance < 1.0) {
        return Err(RegressionError::Significance(significance));
    }
    if let Some(index) = groups.iter().position(Vec::is_empty) {
        return Err(RegressionError::EmptyGroup { index });
    }
    let all: Vec<Point> = groups.iter().flatten().copied().collect();
    let pooled = fit_through_origin(&all, resolution)?;
    let own = groups
        .iter()
        .map(|group| fit_through_origin(group, resolution))
        .collect::<Result<Vec<_>, _>>()?;
    let within_ss: f64 = own.iter().map(|fit| fit.residual_ss).sum();
    let extra_ss: f64 = own
        .iter()
        .map(|fit| (fit.slope - pooled.slope).powi(2) * fit.sum_x2)
        .sum();
    if !(within_ss.is_finite() && extra_ss.is_finite()) {
        return Err(RegressionError::OutOfRange);
    }
    let (df_extra, df_within) = (groups.len() - 1, all.len() - groups.len());
    let own_common_spread = own
        .iter()
        .map(|fit| {
            let mut fit = *fit;
            fit.spread(within_ss, df_within, resolution);
            fit
        })
        .collect();
    let common_slope = (df_extra > 0 && df_within > 0)
        .then(|| {
            let below = (within_ss / count(df_within)).max(resolution * resolution / 12.0);
            FTest::of(extra_ss / count(df_extra), df_extra, below, df_within)
        })
        .flatten();
    Ok(GroupedFit {
        agree: if df_extra == 0 {
            Some(true)
        } else {
            common_slope.map(|test| !test.shows_effect(significance))
        },
        own,
        own_common_spread,
        pooled,
        common_slope,
        significance,
    })
}

fn lack_of_fit(points: &[Point], slope: f64) -> Option<LackOfFit> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x));
    let (mut levels, mut lack_ss, mut pure_ss) = (0_usize, 0.0, 0.0);
    for level in sorted.chunk_by(|a, b| a.x.total_cmp(&b.x).is_eq()) {
        let x = level.first()?.x;
        let n = count(level.len());
        let mean = sum(level, |point| point.y) / n;
        levels += 1;
        lack_ss += n * (mean - slope * x).powi(2);
        pure_ss += sum(level, |point| (point.y - mean).powi(2));
    }
    let (df_lack, df_pure) = (levels - 1, points.len() - levels);
    (df_lack > 0 && df_pure > 0).then(|| LackOfFit {
        lack_ss,
        pure_ss,
        test: FTest::of(
            lack_ss / count(df_lack),
            df_lack,
            pure_ss / count(df_pure),
            df_pure,
        ),
    })
}

fn intercept(points: &[Point]) -> Option<Intercept> {
    let df = points.len().checked_sub(2).filter(|&df| df > 0)?;
    let n = count(points.len());
    let mean_x = sum(points, |point| point.x) / n;
    let mean_y = sum(points, |point| point.y) / n;
    let sxx = sum(points, |point| (point.x - mean_x).powi(2));
    let sxy = sum(points, |point| (point.x - mean_x) * (point.y - mean_y));
    if sxx <= f64::EPSILON * sum(points, |point| point.x * point.x) {
        return None; // One x only: nothing says where the line would meet x = 0.
    }
    let slope = sxy / sxx;
    let intercept = finite(mean_y - slope * mean_x)?;
    let ss = sum(points, |point| {
        (point.y - mean_y - slope * (point.x - mean_x)).powi(2)
    });
    let extra = intercept * intercept / (1.0 / n + mean_x * mean_x / sxx);
    Some(Intercept {
        intercept,
        test: FTest::of(extra, 1, ss / count(df), df),
    })
}

fn sum<T>(values: &[T], of: impl Fn(&T) -> f64) -> f64 {
    super::summary::compensated_sum(values.iter().map(of))
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}
