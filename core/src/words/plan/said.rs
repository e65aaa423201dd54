//! A plan in words.

use crate::analysis::containment::ZoneName;
use crate::analysis::plan::{Candidate, Change, Choice, Plan, Setting};
use crate::units::{Length, Method, UnitChoice};

use super::{Offer, proposed};
use crate::words::Tone;
use crate::words::zone_name;
use crate::words::{Block, Fact};
use crate::words::{count, figures};

/// Turns as a panel writes them.
fn turns(value: f64, units: UnitChoice) -> String {
    let one = (value - 1.0).abs() < 1e-9;
    format!(
        "{} {}",
        figures::decimal(value, 2, units),
        if one { "turn" } else { "turns" }
    )
}

/// A pitch without zeros at its end.
#[must_use]
pub fn pitch(m: f64, units: UnitChoice) -> String {
    Length::from_m(m).map_or_else(|_| String::new(), |m| figures::length(m, units))
}

/// A programme in plain words.
#[must_use]
pub fn programme(choice: &Choice, units: UnitChoice) -> String {
    let up = pitch(choice.pitch_up_m, units);
    let way = match choice.pitch_down_m {
        None => format!("{up} a turn between"),
        Some(down) => {
            let down = pitch(down, units);
            if down == up {
                format!("{up} a turn up and down")
            } else {
                format!("{up} a turn up, {down} down")
            }
        }
    };
    format!(
        "{} at the bottom, {way}, {} at the top",
        turns(choice.bottom_turns, units),
        turns(choice.top_turns, units)
    )
}

fn percent_sure<M: Method>(plan: &Plan<M>, units: UnitChoice) -> String {
    figures::percent(plan.asked.confidence, units)
}

/// The zone of a candidate with its bound against its goal: what it is short of, or has over.
fn against<M: Method>(plan: &Plan<M>, candidate: &Candidate, units: UnitChoice) -> String {
    let zone = candidate.weakest.as_str();
    let at = ZoneName::ALL
        .iter()
        .position(|of| *of == candidate.weakest)
        .unwrap_or(0);
    match (plan.goal[at], candidate.margin_n[at]) {
        (Some(_), Some(margin)) if margin < 0.0 => format!(
            "the {zone} would be {} short of its target",
            figures::small(-margin, units)
        ),
        (Some(_), Some(margin)) => {
            format!(
                "the {zone} would be {} over its target",
                figures::small(margin, units)
            )
        }
        (Some(_), None) => format!("nothing is known of the {zone}"),
        (None, _) => match candidate.lower_n[at] {
            Some(lower) => format!(
                "the {zone} would be sure of {}",
                figures::newtons(lower.max(0.0), units)
            ),
            None => format!("nothing is known of the {zone}"),
        },
    }
}

/// What matters most.
pub fn headline<M: Method>(plan: &Plan<M>, units: UnitChoice) -> (String, Tone) {
    let sure = percent_sure(plan, units);
    if plan.goal.iter().all(Option::is_none) {
        return (
            "There is no target to plan for. Write the customer\u{2019}s own on the results; \
             until then the curve shows what film holds."
                .to_owned(),
            Tone::Info,
        );
    }
    if plan.found.best.is_none() {
        let strongest = plan.found.curve.last().unwrap_or(&plan.now);
        return (
            format!(
                "No programme the panel allows is {sure} sure to reach every target. With the \
                 strongest, {}.",
                against(plan, strongest, units)
            ),
            Tone::Warning,
        );
    }
    if proposed(plan).is_none() {
        return (
            format!("As it is, it takes the least film that is {sure} sure to reach every target."),
            Tone::Good,
        );
    }
    match plan.saving {
        Some(saving) if saving.kg > 0.0 => (
            format!(
                "{} less film a load ({}), and {sure} sure to reach every target.",
                figures::film(saving.kg, units),
                figures::percent(saving.share, units)
            ),
            Tone::Good,
        ),
        Some(saving) => (
            format!(
                "To be {sure} sure of every target it takes {} more film a load.",
                figures::film(-saving.kg, units)
            ),
            Tone::Warning,
        ),
        None => (
            format!("A programme that is {sure} sure to reach every target."),
            Tone::Good,
        ),
    }
}

/// What to know before trying it.
#[must_use]
pub fn caution<M: Method>(plan: &Plan<M>, units: UnitChoice) -> String {
    if plan.found.best.is_none() {
        return String::new();
    }
    let mut said = Vec::new();
    for beyond in &plan.beyond {
        said.push(format!(
            "The {} would have {} layers, and {} to {} were measured: beyond that it is a guess.",
            beyond.zone.as_str(),
            figures::decimal(beyond.layers, 1, units),
            figures::decimal(beyond.measured_from, 1, units),
            figures::decimal(beyond.measured_to, 1, units)
        ));
    }
    said.push(
        "Try and measure: wrap one load so, read it at top, middle and bottom, and weigh its film \
         before anything ships on it."
            .to_owned(),
    );
    said.join(" ")
}

/// A programme to take.
#[must_use]
pub fn offer<M: Method>(
    plan: &Plan<M>,
    candidate: &Candidate,
    title: &str,
    units: UnitChoice,
) -> Offer {
    let less = plan.now.film_kg - candidate.film_kg;
    let than_now = if less >= 0.0 {
        format!("{} less than now", figures::film(less, units))
    } else {
        format!("{} more than now", figures::film(-less, units))
    };
    Offer {
        title: title.to_owned(),
        programme: figures::sentence(&programme(&candidate.choice, units)),
        film: format!(
            "{} a load, {than_now}",
            figures::film(candidate.film_kg, units)
        ),
    }
}

/// What an alternative changes.
#[must_use]
pub const fn change(change: Change) -> &'static str {
    match change {
        Change::BottomTurns => "Only the bottom turns changed",
        Change::TopTurns => "Only the top turns changed",
        Change::Turns => "Only the turns changed",
        Change::Pitch => "Only the pitch changed",
        Change::Programme => "With the film that is on it now",
        Change::WithinMeasured => "Within what was measured",
    }
}

/// Zone by zone.
pub fn zones<M: Method>(plan: &Plan<M>, candidate: &Candidate, units: UnitChoice) -> Block {
    let mut block = Block::default();
    let sure = percent_sure(plan, units);
    for (at, zone) in ZoneName::ALL.into_iter().enumerate() {
        let layers = figures::decimal(candidate.layers[at], 1, units);
        let goal = plan.goal[at].map(|goal| figures::force(goal.force(), units));
        let fact = match (candidate.mean_n[at], candidate.lower_n[at]) {
            (Some(mean), Some(lower)) => {
                let margin = candidate.margin_n[at].map_or_else(String::new, |margin| {
                    format!(" ({})", figures::signed(margin, units))
                });
                let target =
                    goal.map_or_else(String::new, |goal| format!("; target {goal}{margin}"));
                Fact::new(
                    zone_name(zone),
                    format!("{} expected", figures::newtons(mean.max(0.0), units)),
                )
                .with(format!(
                    "{sure} sure of {}{target}; {layers} layers",
                    figures::newtons(lower.max(0.0), units)
                ))
            }
            _ => Fact::new(zone_name(zone), "not known")
                .with(format!("nothing was measured there; {layers} layers")),
        };
        block.facts.push(fact);
    }
    let saving = proposed(plan).and(plan.saving);
    if let Some(interval) = saving.and_then(|saving| saving.interval) {
        block.facts.push(Fact::new(
            "Saved a load, 95 %",
            format!(
                "{} to {}",
                signed_film(interval.low, units),
                signed_film(interval.high, units)
            ),
        ));
    }
    block.note(format!(
        "{} are to keep to their bounds together.",
        count(plan.asked.readings, "reading", "readings")
    ));
    block
}

fn signed_film(kg: f64, units: UnitChoice) -> String {
    if kg < 0.0 {
        format!("\u{2212}{}", figures::film(-kg, units))
    } else {
        figures::film(kg, units)
    }
}

/// Why not still less film.
pub fn why_not_less<M: Method>(plan: &Plan<M>, units: UnitChoice) -> Block {
    let mut block = Block::default();
    let Some(best) = &plan.found.best else {
        return block;
    };
    for way in &plan.less_film {
        let step = match way.setting {
            Setting::BottomTurns | Setting::TopTurns => format!("Fewer {}", way.setting),
            Setting::PitchUp | Setting::PitchDown => format!("Wider {}", way.setting),
        };
        let value =
            way.candidate
                .choice
                .get(way.setting)
                .map_or_else(String::new, |value| match way.setting {
                    Setting::BottomTurns | Setting::TopTurns => figures::decimal(value, 2, units),
                    Setting::PitchUp | Setting::PitchDown => pitch(value, units),
                });
        block.facts.push(
            Fact::new(
                format!("{step}: {value}"),
                format!(
                    "{} less",
                    figures::film(best.film_kg - way.candidate.film_kg, units)
                ),
            )
            .with(figures::sentence(&against(plan, &way.candidate, units))),
        );
    }
    if block.facts.is_empty() {
        block.note("No step of the panel takes less film than this.");
    }
    block
}

/// The trade-off in a sentence.
pub(super) fn trade_spoken<M: Method>(plan: &Plan<M>, units: UnitChoice) -> String {
    let now = format!(
        "Film against the weakest zone. Now {} a load, {}.",
        figures::film(plan.now.film_kg, units),
        against(plan, &plan.now, units)
    );
    match proposed(plan) {
        Some(best) => format!(
            "{now} Proposal {} a load, {}.",
            figures::film(best.film_kg, units),
            against(plan, best, units)
        ),
        None => now,
    }
}
