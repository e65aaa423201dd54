//! A comparison in words and as a chart.

use crate::analysis::balance::BalanceAssumption;
use crate::analysis::comparison::{
    Assumption, Comparison, FaceResult, FilmComparison, Verdict, ZoneComparison, said_together,
};
use crate::analysis::film::film_per_load;
use crate::chart::{Compare, CompareSeries, CompareZone};
use crate::language::Language;
use crate::survey::{Id, Setup};
use crate::units::{Force, Length, Method, UnitChoice, show_length};
use crate::{say, say_count};

use super::{Pair, saved};
use crate::words::figures;
use crate::words::{Block, Fact, Reader, Tone};

/// The verdict, how it is meant, and why.
#[must_use]
pub fn verdict<M: Method>(
    found: &Comparison<M>,
    film: Option<&FilmComparison>,
    force: Force,
    beforehand: bool,
    to: Reader,
) -> (String, Tone, Block) {
    let Reader { units, language: l } = to;
    let film = film.map(|film| saved(film.saved.difference, to));
    let held = held(found, force, to);
    let mut why = Block::default();
    let (headline, tone) = match &found.verdict {
        Verdict::Passes if beforehand => (passes_words(&held, film.as_deref(), l), Tone::Good),
        Verdict::Passes => (chosen_after(&held, film.as_deref(), l), Tone::Warning),
        Verdict::NotLess { without_target } => {
            let zones: Vec<&str> = without_target
                .iter()
                .map(|zone| zone.in_list().said(l))
                .collect();
            let zones = zones.join(", ");
            (not_less(&held, film.as_deref(), &zones, l), Tone::Info)
        }
        Verdict::NotShown { reasons } => {
            let mut reasons = reasons.iter().map(|reason| {
                let force = |n| figures::small(n, units);
                let length = |m| face_length(m, units).unwrap_or_default();
                reason.said(l, force, length)
            });
            let first = reasons.next().unwrap_or_default();
            for reason in reasons {
                why.note(reason);
            }
            (
                say!(l, "Not shown to hold as well. {why}", why = first),
                Tone::Warning,
            )
        }
    };
    (headline, tone, why)
}

/// What was shown of the new setup beside the old: that it holds as well, within what was allowed; or
/// the zones where it does hold less, and by no more than that.
fn held<M: Method>(found: &Comparison<M>, force: Force, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let shown_less = |zone: &&ZoneComparison<M>| {
        let mut differences = zone
            .faces
            .iter()
            .filter_map(|face| face.difference.as_ref());
        differences.any(|of| of.interval.high < 0.0)
    };
    let less: Vec<&str> = found
        .zones
        .iter()
        .filter(shown_less)
        .map(|zone| zone.zone.in_list().said(l))
        .collect();
    let margin = figures::small(force.n(), units);
    if !less.is_empty() {
        say!(
            l,
            "Holds less ({zones}), by no more than {margin}",
            zones = less.join(", "),
            margin = margin
        )
    } else if force.n() > 0.0 {
        say!(l, "Holds as well, within {margin}", margin = margin)
    } else {
        say!(l, "Holds as well, no less")
    }
}

fn passes_words(held: &str, film: Option<&str>, l: Language) -> String {
    match film {
        Some(film) => say!(
            l,
            "{held}, and reaches every target, with {film}.",
            held = held,
            film = film
        ),
        None => say!(l, "{held}, and reaches every target.", held = held),
    }
}

fn chosen_after(held: &str, film: Option<&str>, l: Language) -> String {
    let said = passes_words(held, film, l);
    let but = say!(
        l,
        "So the readings say; but the margin was chosen after them."
    );
    format!("{said} {but}")
}

fn not_less(held: &str, film: Option<&str>, zones: &str, l: Language) -> String {
    match film {
        Some(film) => say!(
            l,
            "{held}, with {film}. Whether that is enough is not said: no target for {zones}.",
            held = held,
            film = film,
            zones = zones
        ),
        None => say!(
            l,
            "{held}. Whether that is enough is not said: no target for {zones}.",
            held = held,
            zones = zones
        ),
    }
}

fn face_length(m: f64, units: UnitChoice) -> Option<String> {
    let length = Length::from_m(m).ok()?;
    let style = units.style().with_digits(0);
    Some(show_length(length, units.length, &style))
}

/// A zone at the head of a row, with which faces where that matters.
fn place<M: Method>(zone: &ZoneComparison<M>, face: &FaceResult<M>, to: Reader) -> String {
    let name = zone.zone.word().said(to.language);
    let length = face
        .face_length_m
        .filter(|_| zone.face_by_face())
        .and_then(|m| face_length(m, to.units));
    match length {
        Some(length) => say!(
            to.language,
            "{zone}, {length} faces",
            zone = name,
            length = length
        ),
        None => name.to_owned(),
    }
}

/// Zone by zone.
#[must_use]
pub fn zones<M: Method>(found: &Comparison<M>, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let mut block = Block::default();
    for zone in &found.zones {
        for face in &zone.faces {
            let label = place(zone, face, to);
            let fact = match &face.difference {
                Some(difference) => {
                    let worst = figures::small(difference.lower.abs(), units);
                    let said = if difference.lower < 0.0 {
                        say!(
                            l,
                            "new minus old; 95 % sure that it holds at most {worst} less",
                            worst = worst
                        )
                    } else {
                        say!(
                            l,
                            "new minus old; 95 % sure that it holds at least {worst} more",
                            worst = worst
                        )
                    };
                    // A line each: one is what the margin, the other what the target is held to.
                    let said = match bound_words(face, to) {
                        Some(bound) => format!("{said}\n{bound}"),
                        None => said,
                    };
                    Fact::new(label, figures::signed(difference.welch.difference, units)).with(said)
                }
                None => Fact::new(label, say!(l, "not compared")).with(missing(face, l)),
            };
            block.facts.push(fact);
        }
    }
    let (_, caveats) = assumptions(found);
    for caveat in said_together(&caveats, l) {
        block.note(caveat);
    }
    block
}

/// What every comparison rests on, and what is to be borne in mind with this one.
fn assumptions<M: Method>(found: &Comparison<M>) -> (Vec<Assumption>, Vec<Assumption>) {
    let all = found.assumptions.iter().copied();
    all.partition(|of| of.is_usual())
}

/// What a comparison rests on, a sentence each.
#[must_use]
pub fn rests_on<M: Method>(found: &Comparison<M>, to: Reader) -> Vec<String> {
    let (usual, _) = assumptions(found);
    said_together(&usual, to.language)
}

fn bound_words<M: Method>(face: &FaceResult<M>, to: Reader) -> Option<String> {
    let Reader { units, language: l } = to;
    let bound = face.bound.as_ref()?;
    let share = figures::percent(bound.coverage, units);
    let sure = figures::percent(bound.confidence, units);
    let force = figures::newtons(bound.bound.max(0.0), units);
    Some(match face.over_target_n {
        Some(over) => say!(
            l,
            "{share} of places on the new setup hold {force} or more, {sure} sure, {over} against \
             its target",
            share = share,
            force = force,
            sure = sure,
            over = figures::signed(over, units)
        ),
        None => say!(
            l,
            "{share} of places on the new setup hold {force} or more, {sure} sure",
            share = share,
            force = force,
            sure = sure
        ),
    })
}

fn missing<M: Method>(face: &FaceResult<M>, l: Language) -> String {
    match (&face.new, &face.old) {
        (None, None) => say!(l, "neither was read here"),
        (None, Some(_)) => say!(l, "the new setup was not read here"),
        (Some(_), None) => say!(l, "the old setup was not read here"),
        (Some(_), Some(_)) => say!(
            l,
            "one reading says nothing of its scatter: take at least two"
        ),
    }
}

/// The film of both.
#[must_use]
pub fn film(pair: &Pair, found: Option<&FilmComparison>, to: Reader) -> Block {
    let Reader { units, language: l } = to;
    let mut block = Block::default();
    let of = |setup: Id<Setup>| film_per_load(&pair.weights(setup), &pair.records.tools);
    let mut all = true;
    for setup in [&pair.old, &pair.new] {
        match of(setup.id) {
            Some(film) => {
                let loads = usize::try_from(film.loads).unwrap_or(usize::MAX);
                let mass = figures::film(film.mass.kg(), units);
                block.facts.push(
                    Fact::new(setup.name.clone(), say!(l, "{mass} a load", mass = mass)).with(
                        say_count!(l, loads, "{n} load weighed", "{n} loads weighed"),
                    ),
                );
            }
            None => {
                all = false;
                block
                    .facts
                    .push(Fact::new(setup.name.clone(), say!(l, "not weighed")));
            }
        }
    }
    match found {
        Some(film) => {
            let (saves, sign) = figures::saves(film.saved.difference);
            let mut fact = Fact::new(
                if saves {
                    say!(l, "Saved a load")
                } else {
                    say!(l, "More film a load")
                },
                format!(
                    "{} ({})",
                    figures::film(sign * film.saved.difference, units),
                    figures::percent(sign * film.share(), units)
                ),
            );
            if let Some(interval) = film.interval(0.95) {
                let mut ends = [interval.low, interval.high].map(|kg| sign * kg);
                ends.sort_by(f64::total_cmp);
                fact = fact.with(say!(
                    l,
                    "95 % between {low} and {high}",
                    low = signed(ends[0], units),
                    high = signed(ends[1], units)
                ));
            }
            block.facts.push(fact);
            for (setup, of) in [(&pair.old, &film.old), (&pair.new, &film.new)] {
                if of.resolution_limited {
                    block.note(say!(
                        l,
                        "The weighings of “{setup}” are all but alike: how sure they are comes from \
                         the step of the scale.",
                        setup = setup.name
                    ));
                }
            }
            let limited = film.new.resolution_limited || film.old.resolution_limited;
            if limited && !(film.new.step_written && film.old.step_written) {
                block.note(BalanceAssumption::UsualScaleStep.said(l));
            }
        }
        None if all => block.note(say!(
            l,
            "Weigh the film of each setup at least twice, to know how sure the difference is."
        )),
        None => block.note(say!(
            l,
            "Weigh the film of both setups: without it no saving can be shown."
        )),
    }
    block
}

fn signed(kg: f64, units: UnitChoice) -> String {
    if kg < 0.0 {
        format!("\u{2212}{}", figures::film(-kg, units))
    } else {
        figures::film(kg, units)
    }
}

/// The two setups drawn; `None` without a reading.
pub fn chart<M: Method>(
    found: &Comparison<M>,
    names: [String; 2],
    judged: bool,
    to: Reader,
) -> Option<Compare> {
    let Reader { units, language: l } = to;
    let mut zones = Vec::new();
    let mut values = Vec::new();
    for zone in &found.zones {
        for face in &zone.faces {
            let target = face.target.map(|target| target.force().n());
            let series = [series(face, false, to), series(face, true, to)];
            values.extend(target);
            for of in &series {
                values.extend(of.mean);
                values.extend(of.interval.map(|(_, high)| high));
            }
            let name = place(zone, face, to);
            zones.push(CompareZone {
                note: target.map_or_else(String::new, |target| {
                    say!(
                        l,
                        "target {target}",
                        target = figures::newtons(target, units)
                    )
                }),
                // Names and figures alone, alike in every language.
                spoken: format!(
                    "{name}: {} {}, {} {}.",
                    names[0], series[0].text, names[1], series[1].text
                ),
                name,
                passes: passes(found, face).filter(|_| judged),
                target,
                series,
            });
        }
    }
    if zones.is_empty() {
        return None;
    }
    Some(Compare {
        axis: figures::force_axis(values, units),
        zones,
        names,
        bound: say!(l, "Lower bound of the new setup"),
        target: say!(l, "Target"),
    })
}

/// Whether a zone keeps both rules; `None` where that cannot be said.
fn passes<M: Method>(found: &Comparison<M>, face: &FaceResult<M>) -> Option<bool> {
    let worst = face.difference.as_ref()?.lower;
    let over = face.over_target_n?;
    Some(worst >= -found.criteria.margin.n() && over >= 0.0)
}

fn series<M: Method>(face: &FaceResult<M>, new: bool, to: Reader) -> CompareSeries {
    let side = if new { &face.new } else { &face.old };
    let Some(side) = side else {
        return CompareSeries {
            text: say!(to.language, "not read"),
            ..CompareSeries::default()
        };
    };
    let interval = crate::analysis::statistics::mean_interval(&side.summary, 0.95)
        .map(|interval| (interval.low, interval.high));
    CompareSeries {
        mean: Some(side.summary.mean),
        interval,
        bound: face.bound.as_ref().filter(|_| new).map(|bound| bound.bound),
        text: figures::newtons(side.summary.mean, to.units),
    }
}
