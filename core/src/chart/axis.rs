//! The scale a chart is ruled with.

use super::scene::{Anchor, Bounds, Frame, Point, Role, Scene};

/// A scale between two values, with round numbers marked.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Its lower end.
    pub from: f64,
    /// Its upper end.
    pub to: f64,
    /// Values marked and what stands at them; the last says the unit.
    pub ticks: Vec<(f64, String)>,
}

impl Axis {
    /// A scale over `values` (in the unit they are computed in) with about `parts` parts.
    /// `per` is how many of the unit shown go into one of theirs, `number` writes a number of
    /// the unit shown and `unit` is its name. With `zero` the scale begins at zero.
    ///
    /// What is not finite is left out; with nothing left, the scale is of one unit.
    pub fn over(
        values: impl IntoIterator<Item = f64>,
        zero: bool,
        (per, unit): (f64, &str),
        parts: u8,
        number: impl Fn(f64) -> String,
    ) -> Self {
        let per = if per.is_finite() && per > 0.0 {
            per
        } else {
            1.0
        };
        let mut low = f64::INFINITY;
        let mut high = f64::NEG_INFINITY;
        for value in values {
            let shown = value * per;
            if shown.is_finite() && shown.abs() < 1e12 {
                low = low.min(shown);
                high = high.max(shown);
            }
        }
        if low > high {
            (low, high) = (0.0, 1.0);
        }
        if zero {
            low = low.min(0.0);
            high = high.max(0.0);
        }
        let span = (high - low).max(high.abs().max(low.abs()) * 1e-6).max(1e-6);
        let step = nice_step(span * 1.05 / f64::from(parts.max(1)));
        let first = if zero && low >= 0.0 {
            0.0
        } else {
            ((low - span * 0.03) / step).floor()
        };
        let last = ((high + span * 0.03) / step).ceil().max(first + 1.0);
        let mut ticks = Vec::new();
        let mut at = first;
        while at <= last + 0.5 {
            let shown = at * step;
            let text = number(if shown.abs() < step * 1e-9 {
                0.0
            } else {
                shown
            });
            let text = if at + 0.5 > last && !unit.is_empty() {
                format!("{text} {unit}")
            } else {
                text
            };
            ticks.push((shown / per, text));
            at += 1.0;
        }
        Self {
            from: first * step / per,
            to: last * step / per,
            ticks,
        }
    }

    /// A scale of hours from zero to the first whole day at or after `longest`, with whole days
    /// marked, as many as make at most five parts. `unit` is the name of the hour, `number` writes
    /// a number of them.
    ///
    /// What is not finite or more than a century is taken for one day.
    pub fn days(longest: f64, unit: &str, number: impl Fn(f64) -> String) -> Self {
        const DAY: f64 = 24.0;
        let longest = if longest.is_finite() && longest < 880_000.0 {
            longest.max(DAY)
        } else {
            DAY
        };
        let days = (longest / DAY).ceil();
        let step = (days / 5.0).ceil();
        let parts = (days / step).ceil();
        let mut ticks = Vec::new();
        let mut at = 0.0;
        while at <= parts + 0.5 {
            let hours = at * step * DAY;
            let text = number(hours);
            ticks.push((
                hours,
                if at + 0.5 > parts && !unit.is_empty() {
                    format!("{text} {unit}")
                } else {
                    text
                },
            ));
            at += 1.0;
        }
        Self {
            from: 0.0,
            to: parts * step * DAY,
            ticks,
        }
    }

    /// Where along the scale a value lies, 0 to 1; its ends for what is beyond them. Not a
    /// number for what is none.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        ((value - self.from) / (self.to - self.from)).clamp(0.0, 1.0)
    }

    /// Rules the scale across from `left` to `right` between two heights and writes its numbers
    /// under them, as many as there is room for within `bounds`.
    pub(super) fn across(
        &self,
        scene: &mut Scene,
        frame: Frame,
        (left, right): (f64, f64),
        (top, bottom): (f64, f64),
        bounds: (f64, f64),
    ) {
        let mut taken: Vec<Bounds> = Vec::new();
        let x = |value: f64| left + self.at(value) * (right - left);
        for (value, _) in &self.ticks {
            let x = x(*value);
            scene.line(&[(x, top), (x, bottom)], 1.0, Role::Rule);
        }
        // The last says the unit, so it has the first right to its place; then the first.
        let count = self.ticks.len();
        let order = [count.saturating_sub(1), 0]
            .into_iter()
            .chain(1..count.max(1) - 1);
        for at in order {
            let Some((value, text)) = self.ticks.get(at) else {
                continue;
            };
            let half = frame.wide(text, false) / 2.0;
            if half * 2.0 > bounds.1 - bounds.0 {
                continue;
            }
            let middle = x(*value).clamp(bounds.0 + half, bounds.1 - half);
            let place: Point = (middle, bottom + frame.line() / 2.0 + 2.0);
            let own = Bounds {
                left: middle - half - 6.0,
                top: 0.0,
                right: middle + half + 6.0,
                bottom: 1.0,
            };
            if taken.iter().any(|other| other.meets(&own)) {
                continue;
            }
            taken.push(own);
            scene.text(place, Anchor::Middle, text.clone(), frame.muted());
        }
    }
}

/// The next of 1, 2, 5, 10, 20, 50 ... at or above a step.
fn nice_step(rough: f64) -> f64 {
    let power = 10_f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|step| *step >= rough * 0.999_999)
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(value: f64) -> String {
        format!("{}", (value * 1000.0).round() / 1000.0)
    }

    #[test]
    fn ticks_are_round_and_hold_the_values() {
        let axis = Axis::over([3.0, 13.4], true, (1.0, "lb"), 4, shown);
        let texts: Vec<&str> = axis.ticks.iter().map(|tick| tick.1.as_str()).collect();
        assert_eq!(texts, ["0", "5", "10", "15 lb"]);
        assert!((axis.at(7.5) - 0.5).abs() < 1e-12);
        let axis = Axis::over([-2.3, 4.1], false, (1.0, ""), 4, shown);
        assert!(axis.from <= -2.3 && axis.to >= 4.1);
        assert!(axis.ticks.iter().any(|tick| tick.1 == "0"));
    }

    #[test]
    fn days_are_marked() {
        let texts = |longest| -> Vec<String> {
            let axis = Axis::days(longest, "h", shown);
            axis.ticks.into_iter().map(|tick| tick.1).collect()
        };
        assert_eq!(texts(72.0), ["0", "24", "48", "72 h"]);
        assert_eq!(texts(73.1), ["0", "24", "48", "72", "96 h"]);
        assert_eq!(texts(3.0), ["0", "24 h"]);
        assert_eq!(texts(f64::NAN), ["0", "24 h"]);
        assert_eq!(texts(240.0), ["0", "48", "96", "144", "192", "240 h"]);
    }

    #[test]
    fn rubbish_makes_a_scale_still() {
        for values in [
            vec![],
            vec![f64::NAN],
            vec![f64::INFINITY, -f64::INFINITY],
            vec![0.0, 0.0],
            vec![f64::MAX],
            vec![1e-300],
            vec![5.0],
        ] {
            for zero in [false, true] {
                let axis = Axis::over(values.iter().copied(), zero, (1.0, "N"), 4, shown);
                assert!(axis.from < axis.to, "{values:?}");
                assert!(axis.ticks.len() >= 2 && axis.ticks.len() < 20, "{values:?}");
                assert!(axis.at(f64::NAN).is_nan());
                assert!((axis.at(f64::INFINITY) - 1.0).abs() < 1e-12);
            }
        }
    }
}
