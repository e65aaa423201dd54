//! Zones in words, and what to know about the computing.

use crate::analysis::containment::flags::flag_readings;
use crate::analysis::containment::{
    CONFIDENCE, ContainmentResult, FaceResult, ToleranceResult, ToleranceRule, ZoneName,
    ZoneResult, ZoneVerdict,
};
use crate::survey::{Reading, Record};
use crate::units::{Force, ForceUnit, Length, Method, MethodId, UnitChoice, show_length};

use crate::{say, say_count};

use super::Material;
use super::headline::reaches_unsure;
use crate::words::figures;
use crate::words::{Block, Fact, Reader};

/// One zone in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ZoneWords {
    /// The zone.
    pub zone: ZoneName,
    /// How it stands.
    pub verdict: ZoneVerdict,
    /// It reaches its target, and its lower bound does not.
    pub unsure: bool,
    /// Lowest reading.
    pub lowest: String,
    /// Mean.
    pub mean: String,
    /// Standard deviation.
    pub deviation: String,
    /// Readings.
    pub count: usize,
    /// Interval of the mean.
    pub interval: String,
    /// Target.
    pub target: String,
    /// Lowest less target, with its sign.
    pub margin: String,
    /// What to know before trusting the numbers.
    pub warning: String,
    /// Its bound, its faces apart, what more readings would do, readings to trust less.
    pub more: Block,
}

/// A zone in words; `flagged` has what there is to say against readings, by zone.
pub fn words<M: Method>(
    zone: &ZoneResult<M>,
    to: Reader,
    rule: ToleranceRule,
    flagged: &[(ZoneName, String)],
) -> ZoneWords {
    let Reader { units, language: l } = to;
    let mut warnings = Vec::new();
    match &zone.outlier {
        Some(outlier) if outlier.reliable => warnings.push(say!(
            l,
            "One reading lies far from the others. Look at it again."
        )),
        Some(_) => warnings.push(say!(
            l,
            "One reading lies far from the others, though few readings make that unsure. Look at it \
             again."
        )),
        None => {}
    }
    if zone.unlike_faces && M::ID == MethodId::PullPlate {
        warnings.push(say!(
            l,
            "Faces of unlike length: the pull plate reads more on a shorter face, so they stand \
             apart below."
        ));
    }
    if zone.on_other_faces > 0 {
        warnings.push(say_count!(
            l,
            zone.on_other_faces,
            "{n} reading is judged by no target: those there are for faces of another length.",
            "{n} readings are judged by no target: those there are for faces of another length."
        ));
    }
    ZoneWords {
        zone: zone.zone,
        verdict: zone.verdict,
        unsure: reaches_unsure(zone),
        lowest: zone
            .lowest
            .map_or_else(String::new, |lowest| figures::force(lowest.force(), units)),
        mean: zone
            .summary
            .as_ref()
            .map_or_else(String::new, |sum| figures::newtons(sum.mean, units)),
        deviation: zone
            .summary
            .as_ref()
            .and_then(|summary| summary.sd)
            .map_or_else(String::new, |sd| figures::small(sd, units)),
        count: zone.count,
        interval: zone.interval.as_ref().map_or_else(String::new, |interval| {
            figures::between((interval.low, interval.high), to)
        }),
        target: zone
            .target
            .map_or_else(String::new, |target| figures::force(target.force(), units)),
        margin: zone
            .margin_n
            .map_or_else(String::new, |margin| figures::signed(margin, units)),
        warning: warnings.join(" "),
        more: more(zone, rule, flagged, to),
    }
}

/// What is known of a zone beyond its figures: its bound, its faces apart, what more readings
/// would do, and which readings to trust less.
fn more<M: Method>(
    zone: &ZoneResult<M>,
    rule: ToleranceRule,
    flagged: &[(ZoneName, String)],
    to: Reader,
) -> Block {
    let Reader { units, language: l } = to;
    let mut block = Block::default();
    if let Some(tolerance) = &zone.tolerance {
        block
            .facts
            .push(bound(say!(l, "Lower bound"), tolerance, rule, to));
    }
    let within = within(units);
    // Enough for the mean is not enough where the bound is short of the target.
    let more = zone.more_readings(within, CONFIDENCE).ok();
    if let Some(more) = more.filter(|more| *more > 0 || !reaches_unsure(zone)) {
        block.facts.push(more_words(more, within, to));
    }
    for face in &zone.faces {
        block.facts.push(of_face(face, to));
        if let Some(tolerance) = &face.tolerance {
            block
                .facts
                .push(bound(say!(l, "Lower bound there"), tolerance, rule, to));
        }
    }
    if zone.faces_unknown > 0 && M::ID == MethodId::PullPlate {
        block.note(say_count!(
            l,
            zone.faces_unknown,
            "{n} reading is on faces of unknown length: write the length of the face, on which the \
             reading depends.",
            "{n} readings are on faces of unknown length: write the length of the face, on which \
             the reading depends."
        ));
    }
    let mut counted: Vec<(&str, usize)> = Vec::new();
    for (_, text) in flagged.iter().filter(|(of, _)| *of == zone.zone) {
        match counted.iter_mut().find(|(known, _)| known == text) {
            Some((_, n)) => *n += 1,
            None => counted.push((text, 1)),
        }
    }
    for (text, n) in counted {
        block.note(say_count!(
            l,
            n,
            "{n} reading: {what}",
            "{n} readings: {what}",
            what = text
        ));
    }
    block
}

/// The faces of one length, where they stand apart.
fn of_face<M: Method>(face: &FaceResult<M>, to: Reader) -> Fact {
    let Reader { units, language: l } = to;
    let length = face
        .length_m
        .and_then(|m| Length::from_m(m).ok())
        .map_or_else(
            || say!(l, "On faces of unknown length"),
            |length| {
                let style = units.style().with_digits(0);
                say!(
                    l,
                    "On {length} faces",
                    length = show_length(length, units.length, &style)
                )
            },
        );
    let lowest = face
        .lowest
        .map_or_else(String::new, |lowest| figures::force(lowest.force(), units));
    let mut said = Vec::new();
    if let Some(summary) = &face.summary {
        said.push(say_count!(
            l,
            summary.n,
            "{n} reading; mean {mean}",
            "{n} readings; mean {mean}",
            mean = figures::newtons(summary.mean, units)
        ));
    }
    if let Some(margin) = face.margin_n {
        let target = face
            .target
            .map_or_else(String::new, |of| figures::force(of.force(), units));
        said.push(say!(
            l,
            "{margin} against the target of {target}",
            margin = figures::signed(margin, units),
            target = target
        ));
    }
    Fact::new(length, say!(l, "lowest {lowest}", lowest = lowest)).with(said.join("; "))
}

/// How near a mean is to be known when it is asked how many more readings that takes.
fn within(units: UnitChoice) -> Force {
    match units.force {
        ForceUnit::PoundOunce => Force::from_lbf(1.0),
        ForceUnit::Newton => Force::from_n(5.0),
    }
    .unwrap_or(Force::ZERO)
}

fn more_words(more: usize, within: Force, to: Reader) -> Fact {
    let Reader { units, language: l } = to;
    let value = if more == 0 {
        say!(l, "enough for the mean")
    } else {
        say!(l, "{n} more for the mean", n = more)
    };
    Fact::new(say!(l, "Readings"), value).with(say!(
        l,
        "to know the mean to {within} either way, 95 % sure",
        within = figures::small(within.n(), units)
    ))
}

fn bound(label: String, of: &ToleranceResult, rule: ToleranceRule, to: Reader) -> Fact {
    let Reader { units, language: l } = to;
    let known = of.bound.bound > 0.0;
    let value = if known {
        figures::newtons(of.bound.bound, units)
    } else {
        say!(l, "none yet")
    };
    let share = figures::percent(rule.coverage, units);
    let sure = figures::percent(rule.confidence, units);
    Fact::new(label, value).with(match of.margin_n.filter(|_| known) {
        Some(margin) => say!(
            l,
            "{share} of such readings hold more, {sure} sure; {margin} against the target",
            share = share,
            sure = sure,
            margin = figures::signed(margin, units)
        ),
        None => say!(
            l,
            "{share} of such readings hold more, {sure} sure",
            share = share,
            sure = sure
        ),
    })
}

/// What there is to say against readings in use, by zone.
#[must_use]
pub fn flagged<M: Method>(material: &Material, to: Reader) -> Vec<(ZoneName, String)> {
    let readings: Vec<Record<Reading>> = material.readings.iter().flatten().cloned().collect();
    let mut said = Vec::new();
    for flagged in flag_readings(&readings, &material.tools, M::ID) {
        let zone = readings
            .iter()
            .find(|reading| reading.id == flagged.reading)
            .and_then(|reading| ZoneName::of(&reading.zone));
        if let Some(zone) = zone {
            said.extend(flagged.flags.iter().map(|flag| {
                let force = |force| figures::force(force, to.units);
                let length = |length| figures::length(length, to.units);
                (zone, flag.said(to.language, force, length))
            }));
        }
    }
    said
}

/// What to know about the computing.
#[must_use]
pub fn notes<M: Method>(result: &ContainmentResult<M>, to: Reader) -> Vec<String> {
    let l = to.language;
    let mut notes = vec![match M::ID {
        MethodId::TorsionTool => say!(
            l,
            "Torsion-tool readings compare with torsion-tool readings only, taken the same way."
        ),
        MethodId::PullPlate => say!(
            l,
            "Pull-plate readings compare with pull-plate readings only, on faces of like length \
             and pulled as far."
        ),
    }];
    if result.zones.iter().any(|zone| zone.target.is_some()) {
        notes.push(say!(
            l,
            "A zone reaches its target when its lowest reading does. A load is as strong as its \
             weakest zone."
        ));
    } else {
        notes.push(say!(
            l,
            "Without a target nothing is judged. Ask the customer for their own standard, or \
             derive one from ten or more loads known to have arrived undamaged."
        ));
    }
    if result
        .zones
        .iter()
        .any(|zone| zone.summary.as_ref().is_some_and(|sum| sum.n < 3))
    {
        notes.push(say!(
            l,
            "Fewer than three readings in a zone say little about its spread."
        ));
    }
    if result.zones.iter().any(|zone| {
        zone.interval
            .as_ref()
            .is_some_and(|of| of.resolution_limited)
    }) {
        notes.push(say!(
            l,
            "Readings that are all alike are given the spread of a scale read to one ounce."
        ));
    }
    notes
}
