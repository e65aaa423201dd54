//! A plan in words.

use crate::analysis::containment::ZoneName;
use crate::analysis::diagnosis::Care;
use crate::analysis::plan::{Candidate, Change, Choice, Plan, Setting};
use crate::language::Word;
use crate::survey::{FilmRoll, Record};
use crate::units::{Length, Method, UnitChoice};
use crate::{say, say_count, word};

use super::basis::{changed_settings, film_name};
use super::{Offer, proposed};
use crate::words::figures;
use crate::words::{Block, Fact, Reader, Tone};

/// Turns as a panel writes them.
fn turns(value: f64, to: Reader) -> String {
    let shown = figures::decimal(value, 2, to.units);
    if (value - 1.0).abs() < 1e-9 {
        say!(to.language, "{turns} turn", turns = shown)
    } else {
        say!(to.language, "{turns} turns", turns = shown)
    }
}

/// A pitch without zeros at its end.
#[must_use]
pub fn pitch(m: f64, units: UnitChoice) -> String {
    Length::from_m(m).map_or_else(|_| String::new(), |m| figures::length(m, units))
}

/// A programme in plain words.
#[must_use]
pub fn programme(choice: &Choice, to: Reader) -> String {
    let l = to.language;
    let up = pitch(choice.pitch_up_m, to.units);
    let bottom = turns(choice.bottom_turns, to);
    let top = turns(choice.top_turns, to);
    match choice.pitch_down_m.map(|down| pitch(down, to.units)) {
        None => say!(
            l,
            "{bottom} at the bottom, {pitch} a turn between, {top} at the top",
            bottom = bottom,
            pitch = up,
            top = top
        ),
        Some(down) if down == up => say!(
            l,
            "{bottom} at the bottom, {pitch} a turn up and down, {top} at the top",
            bottom = bottom,
            pitch = up,
            top = top
        ),
        Some(down) => say!(
            l,
            "{bottom} at the bottom, {up} a turn up, {down} down, {top} at the top",
            bottom = bottom,
            up = up,
            down = down,
            top = top
        ),
    }
}

fn percent_sure<M: Method>(plan: &Plan<M>, units: UnitChoice) -> String {
    figures::percent(plan.asked.confidence, units)
}

/// The zone of a candidate with its bound against its goal, within a sentence: what it is short
/// of, or has over.
fn against<M: Method>(plan: &Plan<M>, candidate: &Candidate, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let zone = candidate.weakest.the().said(l);
    let at = ZoneName::ALL
        .iter()
        .position(|of| *of == candidate.weakest)
        .unwrap_or(0);
    match (plan.goal[at], candidate.margin_n[at], candidate.lower_n[at]) {
        (Some(_), Some(margin), _) if margin < 0.0 => say!(
            l,
            "{zone} would be {force} short of its target",
            zone = zone,
            force = figures::small(-margin, units)
        ),
        (Some(_), Some(margin), _) => say!(
            l,
            "{zone} would be {force} over its target",
            zone = zone,
            force = figures::small(margin, units)
        ),
        (None, _, Some(lower)) => say!(
            l,
            "{zone} would be sure of {force}",
            zone = zone,
            force = figures::newtons(lower.max(0.0), units)
        ),
        (Some(_), None, _) | (None, _, None) => {
            say!(l, "nothing is known of {zone}", zone = zone)
        }
    }
}

/// What matters most.
pub fn headline<M: Method>(plan: &Plan<M>, to: Reader) -> (String, Tone) {
    let Reader { units, language: l } = to;
    let sure = percent_sure(plan, units);
    if plan.goal.iter().all(Option::is_none) {
        return (
            say!(
                l,
                "There is no target to plan for. Write the customer\u{2019}s own on the results; \
                 until then the curve shows what film holds."
            ),
            Tone::Info,
        );
    }
    if plan.found.best.is_none() {
        let strongest = plan.found.curve.last().unwrap_or(&plan.now);
        return (
            say!(
                l,
                "No programme the panel allows is {sure} sure to reach every target. With the \
                 strongest, {stands}.",
                sure = sure,
                stands = against(plan, strongest, to)
            ),
            Tone::Warning,
        );
    }
    if !plan.beyond.is_empty() {
        return (guess(plan, to), Tone::Warning);
    }
    if proposed(plan).is_none() {
        return (
            say!(
                l,
                "As it is, it takes the least film that is {sure} sure to reach every target.",
                sure = sure
            ),
            Tone::Good,
        );
    }
    match plan.saving {
        Some(saving) if saving.kg > 0.0 => (
            say!(
                l,
                "{mass} less film a load ({share}), and {sure} sure to reach every target.",
                mass = figures::film(saving.kg, units),
                share = figures::percent(saving.share, units),
                sure = sure
            ),
            Tone::Good,
        ),
        Some(saving) => (
            say!(
                l,
                "To be {sure} sure of every target it takes {mass} more film a load.",
                sure = sure,
                mass = figures::film(-saving.kg, units)
            ),
            Tone::Warning,
        ),
        None => (
            say!(
                l,
                "A programme that is {sure} sure to reach every target.",
                sure = sure
            ),
            Tone::Good,
        ),
    }
}

/// What matters most of a proposal that goes beyond what was measured. Nobody is sure of that.
fn guess<M: Method>(plan: &Plan<M>, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let text = match plan.saving {
        _ if proposed(plan).is_none() => {
            say!(
                l,
                "As it is, it takes the least film that may reach every target."
            )
        }
        Some(saving) if saving.kg > 0.0 => say!(
            l,
            "{mass} less film a load ({share}) may reach every target.",
            mass = figures::film(saving.kg, units),
            share = figures::percent(saving.share, units)
        ),
        Some(saving) => say!(
            l,
            "{mass} more film a load may reach every target.",
            mass = figures::film(-saving.kg, units)
        ),
        None => say!(l, "A programme that may reach every target."),
    };
    let beyond = say_count!(
        l,
        plan.beyond.len(),
        "{n} zone lies outside what was measured: there it is a guess.",
        "{n} zones lie outside what was measured: there it is a guess."
    );
    format!("{text} {beyond}")
}

/// What to know before trying it.
#[must_use]
pub fn caution<M: Method>(plan: &Plan<M>, to: Reader) -> String {
    let Reader { units, language: l } = to;
    if plan.found.best.is_none() {
        return String::new();
    }
    let mut said = Vec::new();
    for beyond in &plan.beyond {
        let zone = beyond.zone.the_at_head().said(l);
        let layers = figures::decimal(beyond.layers, 1, units);
        let least = figures::decimal(beyond.measured_from, 1, units);
        let most = figures::decimal(beyond.measured_to, 1, units);
        said.push(if least == most {
            say!(
                l,
                "{zone} would have {layers} layers. With that film and film force {measured} were \
                 measured: all else is a guess.",
                zone = zone,
                layers = layers,
                measured = least
            )
        } else {
            say!(
                l,
                "{zone} would have {layers} layers. With that film and film force {least} to {most} \
                 were measured: beyond that it is a guess.",
                zone = zone,
                layers = layers,
                least = least,
                most = most
            )
        });
    }
    said.push(say!(
        l,
        "Try and measure: wrap one load so, read it at top, middle and bottom, and weigh its film \
         before anything ships on it."
    ));
    said.push(Care::Panel.word().said(l).to_owned());
    said.join(" ")
}

/// The programme of a candidate, with its film where that is another than now.
fn with_film<M: Method>(
    plan: &Plan<M>,
    candidate: &Candidate,
    rolls: &[Record<FilmRoll>],
    to: Reader,
) -> String {
    let programme = figures::sentence(&programme(&candidate.choice, to));
    let run = plan.runs.get(candidate.film);
    let Some(run) = run.filter(|_| candidate.film != plan.now.film) else {
        return programme;
    };
    let now = plan.runs.get(plan.now.film).map(|now| &now.runs_as);
    let film = match now.filter(|now| now.film_roll == run.runs_as.film_roll) {
        Some(now) => say!(
            to.language,
            "With another setting: {setting}.",
            setting = changed_settings(now, &run.runs_as, to)
        ),
        None => say!(
            to.language,
            "With another film: {film}.",
            film = film_name(&run.runs_as, rolls, to)
        ),
    };
    format!("{programme} {film}")
}

/// A programme to take.
#[must_use]
pub fn offer<M: Method>(
    plan: &Plan<M>,
    candidate: &Candidate,
    title: &str,
    rolls: &[Record<FilmRoll>],
    to: Reader,
) -> Offer {
    let Reader { units, language: l } = to;
    let less = plan.now.film_kg - candidate.film_kg;
    let mass = figures::film(candidate.film_kg, units);
    let by = figures::film(less.abs(), units);
    Offer {
        title: title.to_owned(),
        programme: with_film(plan, candidate, rolls, to),
        film: if less >= 0.0 {
            say!(l, "{mass} a load, {by} less than now", mass = mass, by = by)
        } else {
            say!(l, "{mass} a load, {by} more than now", mass = mass, by = by)
        },
    }
}

/// What an alternative changes.
#[must_use]
pub const fn change(change: Change) -> Word {
    match change {
        Change::BottomTurns => word!("Only the bottom turns changed"),
        Change::TopTurns => word!("Only the top turns changed"),
        Change::Turns => word!("Only the turns changed"),
        Change::Pitch => word!("Only the pitch changed"),
        Change::Programme => word!("With film and film force as now"),
        Change::WithinMeasured => word!("Within what was measured"),
    }
}

/// Zone by zone.
#[must_use]
pub fn zones<M: Method>(plan: &Plan<M>, candidate: &Candidate, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let mut block = Block::default();
    for at in 0..ZoneName::ALL.len() {
        block.facts.push(zone(plan, candidate, at, to));
    }
    let saving = proposed(plan).and(plan.saving);
    if let Some(interval) = saving.and_then(|saving| saving.interval) {
        block.facts.push(Fact::new(
            say!(l, "Saved a load, 95 %"),
            say!(
                l,
                "{low} to {high}",
                low = signed_film(interval.low, units),
                high = signed_film(interval.high, units)
            ),
        ));
    }
    if plan.beyond.len() == ZoneName::ALL.len() {
        return block;
    }
    block.note(say_count!(
        l,
        plan.asked.readings,
        "Sure of a force means that {n} reading to come is at least that.",
        "Sure of a force means that all {n} readings of a load to come are at least that."
    ));
    block
}

/// One zone of a candidate.
fn zone<M: Method>(plan: &Plan<M>, candidate: &Candidate, at: usize, to: Reader) -> Fact {
    let Reader { units, language: l } = to;
    let name = ZoneName::ALL[at].word().said(l);
    let layers = figures::decimal(candidate.layers[at], 1, units);
    let (Some(mean), Some(lower)) = (candidate.mean_n[at], candidate.lower_n[at]) else {
        return Fact::new(name, say!(l, "not known")).with(say!(
            l,
            "nothing was measured there; {layers} layers",
            layers = layers
        ));
    };
    let force = figures::newtons(lower.max(0.0), units);
    let guessed = plan.found.best.as_ref() == Some(candidate)
        && plan
            .beyond
            .iter()
            .any(|beyond| beyond.zone == ZoneName::ALL[at]);
    let bound = if guessed {
        say!(l, "at a guess {force} or more", force = force)
    } else {
        let sure = percent_sure(plan, units);
        say!(l, "{sure} sure of {force}", sure = sure, force = force)
    };
    let goal = plan.goal[at].map(|goal| figures::force(goal.force(), units));
    let more = match (goal, candidate.margin_n[at]) {
        (Some(target), Some(margin)) => say!(
            l,
            "{bound}; target {target} ({margin}); {layers} layers",
            bound = bound,
            target = target,
            margin = figures::signed(margin, units),
            layers = layers
        ),
        (Some(target), None) => say!(
            l,
            "{bound}; target {target}; {layers} layers",
            bound = bound,
            target = target,
            layers = layers
        ),
        (None, _) => say!(
            l,
            "{bound}; {layers} layers",
            bound = bound,
            layers = layers
        ),
    };
    let mean = figures::newtons(mean.max(0.0), units);
    Fact::new(name, say!(l, "{force} expected", force = mean)).with(more)
}

fn signed_film(kg: f64, units: UnitChoice) -> String {
    if kg < 0.0 {
        format!("\u{2212}{}", figures::film(-kg, units))
    } else {
        figures::film(kg, units)
    }
}

/// Why not still less film.
pub fn why_not_less<M: Method>(plan: &Plan<M>, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let mut block = Block::default();
    let Some(best) = &plan.found.best else {
        return block;
    };
    for way in &plan.less_film {
        let value = way.candidate.choice.get(way.setting);
        let value = value.map_or_else(String::new, |value| match way.setting {
            Setting::BottomTurns | Setting::TopTurns => figures::decimal(value, 2, units),
            Setting::PitchUp | Setting::PitchDown => pitch(value, units),
        });
        let step = match way.setting {
            Setting::BottomTurns => say!(l, "Fewer bottom turns: {value}", value = value),
            Setting::TopTurns => say!(l, "Fewer top turns: {value}", value = value),
            Setting::PitchUp => say!(l, "Wider pitch up: {value}", value = value),
            Setting::PitchDown => say!(l, "Wider pitch down: {value}", value = value),
        };
        let less = figures::film(best.film_kg - way.candidate.film_kg, units);
        block.facts.push(
            Fact::new(step, say!(l, "{mass} less", mass = less)).with(figures::sentence(&against(
                plan,
                &way.candidate,
                to,
            ))),
        );
    }
    if block.facts.is_empty() {
        block.note(say!(l, "No step of the panel takes less film than this."));
    }
    block
}

/// The trade-off in a sentence.
pub(super) fn trade_spoken<M: Method>(plan: &Plan<M>, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let now = say!(
        l,
        "Film against the weakest zone. Now {mass} a load, {stands}.",
        mass = figures::film(plan.now.film_kg, units),
        stands = against(plan, &plan.now, to)
    );
    match proposed(plan) {
        Some(best) => {
            let proposal = say!(
                l,
                "Proposal {mass} a load, {stands}.",
                mass = figures::film(best.film_kg, units),
                stands = against(plan, best, to)
            );
            format!("{now} {proposal}")
        }
        None => now,
    }
}
