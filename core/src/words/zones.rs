//! Zones in words, and what to know about the computing.

use crate::analysis::containment::flags::{self, Flag, flag_readings};
use crate::analysis::containment::{
    CONFIDENCE, ContainmentResult, ToleranceResult, ToleranceRule, ZoneName, ZoneResult,
    ZoneVerdict,
};
use crate::survey::{Reading, Record};
use crate::units::{Force, ForceUnit, Length, Method, MethodId, UnitChoice, show_length};

use super::Material;
use crate::words::{Block, Fact};
use crate::words::{count, figures};

/// One zone in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ZoneWords {
    /// The zone.
    pub zone: ZoneName,
    /// How it stands.
    pub verdict: ZoneVerdict,
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
    units: UnitChoice,
    rule: ToleranceRule,
    flagged: &[(ZoneName, String)],
) -> ZoneWords {
    let mut warnings = Vec::new();
    if let Some(outlier) = &zone.outlier {
        let unsure = if outlier.reliable {
            ""
        } else {
            ", though few readings make that unsure"
        };
        warnings.push(format!(
            "One reading lies far from the others{unsure}. Look at it again."
        ));
    }
    if zone.unlike_faces && M::ID == MethodId::PullPlate {
        warnings.push(
            "Faces of unlike length: the pull plate reads more on a shorter face, so they stand \
             apart below."
                .to_owned(),
        );
    }
    if zone.on_other_faces > 0 {
        warnings.push(format!(
            "{} by no target: those there are for faces of another length.",
            count(
                zone.on_other_faces,
                "reading is judged",
                "readings are judged"
            )
        ));
    }
    ZoneWords {
        zone: zone.zone,
        verdict: zone.verdict,
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
            figures::between((interval.low, interval.high), units)
        }),
        target: zone
            .target
            .map_or_else(String::new, |target| figures::force(target.force(), units)),
        margin: zone
            .margin_n
            .map_or_else(String::new, |margin| figures::signed(margin, units)),
        warning: warnings.join(" "),
        more: more(zone, rule, flagged, units),
    }
}

/// What is known of a zone beyond its figures: its bound, its faces apart, what more readings
/// would do, and which readings to trust less.
fn more<M: Method>(
    zone: &ZoneResult<M>,
    rule: ToleranceRule,
    flagged: &[(ZoneName, String)],
    units: UnitChoice,
) -> Block {
    let mut block = Block::default();
    if let Some(tolerance) = &zone.tolerance {
        block
            .facts
            .push(bound("Trusted bound", tolerance, rule, units));
    }
    let within = within(units);
    if let Ok(more) = zone.more_readings(within, CONFIDENCE) {
        block.facts.push(more_words(more, within, units));
    }
    for face in &zone.faces {
        let length = face
            .length_m
            .and_then(|m| Length::from_m(m).ok())
            .map_or_else(
                || "On faces of unknown length".to_owned(),
                |length| {
                    let style = units.style().with_digits(0);
                    format!("On {} faces", show_length(length, units.length, &style))
                },
            );
        let lowest = face
            .lowest
            .map_or_else(String::new, |lowest| figures::force(lowest.force(), units));
        let mut said = Vec::new();
        if let Some(summary) = &face.summary {
            said.push(count(summary.n, "reading", "readings"));
            said.push(format!("mean {}", figures::newtons(summary.mean, units)));
        }
        if let Some(margin) = face.margin_n {
            let target = face
                .target
                .map_or_else(String::new, |of| figures::force(of.force(), units));
            said.push(format!(
                "{} against the target of {target}",
                figures::signed(margin, units)
            ));
        }
        block
            .facts
            .push(Fact::new(length, format!("lowest {lowest}")).with(said.join("; ")));
        if let Some(tolerance) = &face.tolerance {
            block
                .facts
                .push(bound("Trusted bound there", tolerance, rule, units));
        }
    }
    if zone.faces_unknown > 0 && M::ID == MethodId::PullPlate {
        block.note(format!(
            "{} on faces of unknown length: write the length of the face, on which the reading \
             depends.",
            count(zone.faces_unknown, "reading is", "readings are")
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
        block.note(format!("{}: {text}", count(n, "reading", "readings")));
    }
    block
}

/// How near a mean is to be known when it is asked how many more readings that takes.
fn within(units: UnitChoice) -> Force {
    match units.force {
        ForceUnit::PoundOunce => Force::from_lbf(1.0),
        ForceUnit::Newton => Force::from_n(5.0),
    }
    .unwrap_or(Force::ZERO)
}

fn more_words(more: usize, within: Force, units: UnitChoice) -> Fact {
    let value = if more == 0 {
        "no more needed".to_owned()
    } else {
        format!("{more} more")
    };
    Fact::new("Readings", value).with(format!(
        "to know the mean to {} either way, 95 % sure",
        figures::small(within.n(), units)
    ))
}

fn bound(label: &str, of: &ToleranceResult, rule: ToleranceRule, units: UnitChoice) -> Fact {
    let value = if of.bound.bound <= 0.0 {
        "none yet".to_owned()
    } else {
        figures::newtons(of.bound.bound, units)
    };
    let against = of
        .margin_n
        .filter(|_| of.bound.bound > 0.0)
        .map_or_else(String::new, |margin| {
            format!("; {} against the target", figures::signed(margin, units))
        });
    Fact::new(label, value).with(format!(
        "{} of such readings hold more, {} sure{against}",
        figures::percent(rule.coverage, units),
        figures::percent(rule.confidence, units)
    ))
}

/// What there is to say against readings in use, by zone.
#[must_use]
pub fn flagged<M: Method>(material: &Material, units: UnitChoice) -> Vec<(ZoneName, String)> {
    let readings: Vec<Record<Reading>> = material.readings.iter().flatten().cloned().collect();
    let mut said = Vec::new();
    for flagged in flag_readings(&readings, &material.tools, M::ID) {
        let zone = readings
            .iter()
            .find(|reading| reading.id == flagged.reading)
            .and_then(|reading| ZoneName::of(&reading.zone));
        if let Some(zone) = zone {
            said.extend(
                flagged
                    .flags
                    .iter()
                    .map(|flag| (zone, flag_words(flag, units))),
            );
        }
    }
    said
}

/// A flag with its values in the units in use.
fn flag_words(flag: &Flag, units: UnitChoice) -> String {
    match flag {
        Flag::OverRange { range } => format!(
            "The reading is over what the tool can show, {}: look at the value or at the tool\u{2019}s \
             range.",
            figures::force(*range, units)
        ),
        Flag::AwayFromUsualPlace {
            place: flags::Place::Pulled,
            usual,
            found,
        } => format!(
            "Pulled {} instead of the usual {}: the plate shows more the further it is pulled. It \
             counts with the others in results and comparisons, and a plan leaves it out where \
             most were pulled otherwise: read it again at the usual pull, or set it aside.",
            figures::length(*found, units),
            figures::length(*usual, units)
        ),
        Flag::AwayFromUsualPlace {
            place,
            usual,
            found,
        } => format!(
            "Taken at {} {place} instead of the usual {}: compare it with readings taken the same \
             way only.",
            figures::length(*found, units),
            figures::length(*usual, units)
        ),
        Flag::CheckOverdue { .. }
        | Flag::NeverZeroed
        | Flag::NotZeroedThatDay { .. }
        | Flag::AllAlike { .. } => flag.to_string(),
    }
}

/// What to know about the computing.
#[must_use]
pub fn notes<M: Method>(result: &ContainmentResult<M>) -> Vec<String> {
    let mut notes = vec![match M::ID {
        MethodId::TorsionTool => {
            "Torsion-tool readings compare with torsion-tool readings only, taken the same way."
        }
        MethodId::PullPlate => {
            "Pull-plate readings compare with pull-plate readings only, on faces of like length \
             and pulled as far."
        }
    }
    .to_owned()];
    if result.zones.iter().any(|zone| zone.target.is_some()) {
        notes.push(
            "A zone reaches its target when its lowest reading does. A load is as strong as its \
             weakest zone."
                .to_owned(),
        );
    } else {
        notes.push(
            "Without a target nothing is judged. Ask the customer for their own standard, or \
             derive one from ten or more loads known to have arrived undamaged."
                .to_owned(),
        );
    }
    if result
        .zones
        .iter()
        .any(|zone| zone.summary.as_ref().is_some_and(|sum| sum.n < 3))
    {
        notes.push("Fewer than three readings in a zone say little about its spread.".to_owned());
    }
    if result.zones.iter().any(|zone| {
        zone.interval
            .as_ref()
            .is_some_and(|of| of.resolution_limited)
    }) {
        notes.push(
            "Readings that are all alike are given the spread of a scale read to one ounce."
                .to_owned(),
        );
    }
    notes
}
