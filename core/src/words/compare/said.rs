//! A comparison in words and as a chart.

use crate::analysis::comparison::{Comparison, FaceResult, FilmComparison, Unit, Verdict};
use crate::analysis::film::film_per_load;
use crate::chart::{Compare, CompareSeries, CompareZone};
use crate::survey::{Id, Setup};
use crate::units::{Force, Length, Method, UnitChoice, show_length};

use super::{Pair, saved};
use crate::words::Tone;
use crate::words::zone_name;
use crate::words::{Block, Fact};
use crate::words::{count, figures};

/// The verdict, how it is meant, and why.
pub fn verdict<M: Method>(
    found: &Comparison<M>,
    film: Option<&FilmComparison>,
    force: Force,
    beforehand: bool,
    units: UnitChoice,
) -> (String, Tone, Block) {
    let with_film = film.map_or_else(String::new, |film| {
        format!(", with {}", saved(film.saved.difference, units))
    });
    let within = if force.n() > 0.0 {
        format!("within {}", figures::small(force.n(), units))
    } else {
        "no less".to_owned()
    };
    let mut why = Block::default();
    let (headline, tone) = match &found.verdict {
        Verdict::Passes if beforehand => (
            format!("Holds as well, {within}, and reaches every target{with_film}."),
            Tone::Good,
        ),
        Verdict::Passes => (
            format!(
                "By these readings it holds as well, {within}, and reaches every target\
                 {with_film}; but the margin was chosen after them."
            ),
            Tone::Warning,
        ),
        Verdict::NotLess { without_target } => {
            let zones: Vec<&str> = without_target.iter().map(|zone| zone.as_str()).collect();
            (
                format!(
                    "Holds as well, {within}{with_film}. Whether that is enough is not said: no \
                     target for {}.",
                    zones.join(", ")
                ),
                Tone::Info,
            )
        }
        Verdict::NotShown { reasons } => {
            for reason in reasons.iter().skip(1) {
                why.note(reason.to_string());
            }
            let first = reasons
                .first()
                .map_or_else(String::new, ToString::to_string);
            (format!("Not shown to hold as well. {first}"), Tone::Warning)
        }
    };
    (headline, tone, why)
}

/// Which faces, where that matters.
fn of_face<M: Method>(face: &FaceResult<M>, units: UnitChoice) -> String {
    let length = face
        .face_length_m
        .and_then(|m| Length::from_m(m).ok())
        .map(|length| show_length(length, units.length, &units.style().with_digits(0)));
    length.map_or_else(String::new, |length| format!(", {length} faces"))
}

/// Zone by zone.
#[must_use]
pub fn zones<M: Method>(found: &Comparison<M>, units: UnitChoice) -> Block {
    let mut block = Block::default();
    for zone in &found.zones {
        for face in &zone.faces {
            let many = zone.face_by_face();
            let label = format!(
                "{}{}",
                zone_name(zone.zone),
                if many {
                    of_face(face, units)
                } else {
                    String::new()
                }
            );
            let fact = match &face.difference {
                Some(difference) => {
                    Fact::new(label, figures::signed(difference.welch.difference, units)).with(
                        format!(
                            "new less old; 95 % between {} and {}; at worst {}{}{}",
                            figures::signed(difference.interval.low, units),
                            figures::signed(difference.interval.high, units),
                            figures::signed(difference.lower, units),
                            match difference.unit {
                                Unit::Load => ", between loads",
                                Unit::Reading => ", between readings",
                            },
                            bound_words(face, units)
                        ),
                    )
                }
                None => Fact::new(label, "not compared").with(missing(face)),
            };
            block.facts.push(fact);
        }
    }
    for assumption in &found.assumptions {
        block.note(assumption.to_string());
    }
    block
}

fn bound_words<M: Method>(face: &FaceResult<M>, units: UnitChoice) -> String {
    match (&face.bound, face.over_target_n) {
        (Some(bound), over) => {
            let against = over.map_or_else(String::new, |over| {
                format!(", {} against its target", figures::signed(over, units))
            });
            format!(
                ". {} of places on the new setup hold {} or more, {} sure{against}",
                figures::percent(bound.coverage, units),
                figures::newtons(bound.bound.max(0.0), units),
                figures::percent(bound.confidence, units)
            )
        }
        (None, _) => String::new(),
    }
}

fn missing<M: Method>(face: &FaceResult<M>) -> String {
    match (&face.new, &face.old) {
        (None, None) => "neither was read here",
        (None, Some(_)) => "the new setup was not read here",
        (Some(_), None) => "the old setup was not read here",
        (Some(_), Some(_)) => "one reading says nothing of its scatter: take at least two",
    }
    .to_owned()
}

/// The film of both.
#[must_use]
pub fn film(pair: &Pair, found: Option<&FilmComparison>, units: UnitChoice) -> Block {
    let mut block = Block::default();
    let of = |setup: Id<Setup>| film_per_load(&pair.weights(setup));
    let mut all = true;
    for setup in [&pair.old, &pair.new] {
        match of(setup.id) {
            Some(film) => {
                let loads = usize::try_from(film.loads).unwrap_or(usize::MAX);
                block.facts.push(
                    Fact::new(
                        setup.name.clone(),
                        format!("{} a load", figures::film(film.mass.kg(), units)),
                    )
                    .with(format!("{} weighed", count(loads, "load", "loads"))),
                );
            }
            None => {
                all = false;
                block
                    .facts
                    .push(Fact::new(setup.name.clone(), "not weighed"));
            }
        }
    }
    match found {
        Some(film) => {
            let mut fact = Fact::new(
                "Saved a load",
                format!(
                    "{} ({})",
                    signed(film.saved.difference, units),
                    figures::percent(film.share(), units)
                ),
            );
            if let Some(interval) = film.interval(0.95) {
                fact = fact.with(format!(
                    "95 % between {} and {}",
                    signed(interval.low, units),
                    signed(interval.high, units)
                ));
            }
            block.facts.push(fact);
        }
        None if all => block.note(
            "Weigh the film of each setup at least twice, to know how sure the difference is.",
        ),
        None => block.note("Weigh the film of both setups: without it no saving can be shown."),
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
    units: UnitChoice,
) -> Option<Compare> {
    let mut zones = Vec::new();
    let mut values = Vec::new();
    for zone in &found.zones {
        for face in &zone.faces {
            let target = face.target.map(|target| target.force().n());
            let series = [series(face, false, units), series(face, true, units)];
            values.extend(target);
            for of in &series {
                values.extend(of.mean);
                values.extend(of.interval.map(|(_, high)| high));
            }
            let of_face = if zone.face_by_face() {
                of_face(face, units)
            } else {
                String::new()
            };
            zones.push(CompareZone {
                name: format!("{}{of_face}", zone_name(zone.zone)),
                note: target.map_or_else(String::new, |target| {
                    format!("target {}", figures::newtons(target, units))
                }),
                spoken: format!(
                    "{}{of_face}: {} {}, {} {}.",
                    zone_name(zone.zone),
                    names[0],
                    series[0].text,
                    names[1],
                    series[1].text
                ),
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
        bound: "Trusted bound of the new setup".to_owned(),
        target: "Target".to_owned(),
    })
}

/// Whether a zone keeps both rules; `None` where that cannot be said.
fn passes<M: Method>(found: &Comparison<M>, face: &FaceResult<M>) -> Option<bool> {
    let worst = face.difference.as_ref()?.lower;
    let over = face.over_target_n?;
    Some(worst >= -found.criteria.margin.n() && over >= 0.0)
}

fn series<M: Method>(face: &FaceResult<M>, new: bool, units: UnitChoice) -> CompareSeries {
    let side = if new { &face.new } else { &face.old };
    let Some(side) = side else {
        return CompareSeries {
            text: "not read".to_owned(),
            ..CompareSeries::default()
        };
    };
    let interval = crate::analysis::statistics::mean_interval(&side.summary, 0.95)
        .map(|interval| (interval.low, interval.high));
    CompareSeries {
        mean: Some(side.summary.mean),
        interval,
        bound: face.bound.as_ref().filter(|_| new).map(|bound| bound.bound),
        text: figures::newtons(side.summary.mean, units),
    }
}
