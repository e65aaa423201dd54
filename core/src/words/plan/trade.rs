//! Film against the weakest zone, as a chart.

use crate::analysis::plan::{Candidate, Plan};
use crate::chart::{TradeKind, TradeOff, TradePoint};
use crate::say;
use crate::units::Method;
use crate::words::{Reader, figures};

use super::{proposed, said};

/// The curve of what film holds, with the programme there is now and what is proposed on it.
#[must_use]
pub fn trade<M: Method>(plan: &Plan<M>, to: Reader) -> TradeOff {
    let Reader { units, language: l } = to;
    let has_goal = plan.goal.iter().any(Option::is_some);
    let most = plan
        .found
        .best
        .as_ref()
        .map_or(plan.now.film_kg, |best| best.film_kg.max(plan.now.film_kg))
        * 1.25;
    let point = |kind, candidate: &Candidate, name: String| TradePoint {
        kind,
        film: candidate.film_kg,
        margin: candidate.weakest_n,
        name,
    };
    let mut points = vec![point(TradeKind::AsFound, &plan.now, say!(l, "Now"))];
    points.extend(
        plan.alternatives
            .iter()
            .map(|other| point(TradeKind::Alternative, &other.candidate, String::new())),
    );
    if let Some(best) = proposed(plan) {
        points.push(point(TradeKind::Proposal, best, say!(l, "Proposal")));
    }
    let curve: Vec<(f64, f64)> = plan
        .found
        .curve
        .iter()
        .filter(|candidate| candidate.film_kg <= most)
        .map(|candidate| (candidate.film_kg, candidate.weakest_n))
        .collect();
    let films = curve.iter().map(|point| point.0);
    let margins = curve.iter().map(|point| point.1).chain([0.0]);
    let of_points = |of: fn(&TradePoint) -> f64| points.iter().map(of).collect::<Vec<_>>();
    TradeOff {
        film: figures::axis(
            films.chain(of_points(|point| point.film)),
            false,
            figures::film_scale(units),
            units,
        ),
        margin: figures::axis(
            margins.chain(of_points(|point| point.margin)),
            false,
            figures::force_scale(units),
            units,
        ),
        titles: [
            if has_goal {
                say!(l, "Weakest zone: sure force over its target")
            } else {
                say!(l, "Weakest zone: force it is sure to reach")
            },
            say!(l, "Film a load"),
        ],
        words: [
            say!(l, "The most any programme holds with as much film"),
            say!(l, "As it is now"),
            say!(l, "Proposal"),
            say!(l, "Alternative"),
            say!(l, "Measured"),
            if has_goal {
                say!(l, "Just the target")
            } else {
                say!(l, "Nothing")
            },
        ],
        spoken: said::trade_spoken(plan, to),
        curve,
        points,
    }
}
