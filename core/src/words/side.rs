//! The chart of a load seen from the side.

use crate::analysis::containment::{ContainmentResult, ZoneName, ZoneResult, ZoneVerdict};
use crate::analysis::pattern::{Pattern, reading_place};
use crate::chart::{LoadSide, SideLayers, SideReading, SideWords, SideZone};
use crate::say;
use crate::survey::{Load, Reading, Zone};
use crate::units::{Method, UnitChoice};

use super::Material;
use super::headline::reaches_unsure;
use crate::words::{Reader, figures};

/// The chart of what was read by one method.
pub fn side<M: Method>(material: &Material, result: &ContainmentResult<M>, to: Reader) -> LoadSide {
    let units = to.units;
    let pattern = material.pattern().ok();
    let readings = readings::<M>(material);
    let zones = result.zones.each_ref().map(|zone| SideZone {
        film: film::<M>(material, pattern.as_ref(), zone.zone, units),
        ..side_zone(zone, to)
    });
    let axis = figures::force_axis(
        readings
            .iter()
            .map(|reading| reading.force)
            .chain(zones.iter().flat_map(|zone| {
                [zone.target, zone.interval.map(|(_, high)| high), zone.bound]
                    .into_iter()
                    .flatten()
            })),
        units,
    );
    LoadSide {
        layers: pattern.as_ref().map(layers).unwrap_or_default(),
        zones,
        readings,
        axis,
        words: words(pattern.as_ref(), to),
    }
}

fn side_zone<M: Method>(zone: &ZoneResult<M>, to: Reader) -> SideZone {
    let Reader { units, language: l } = to;
    let name = zone.zone.word().said(l);
    let lowest = zone
        .lowest
        .map(|lowest| figures::force(lowest.force(), units));
    let target = zone
        .target
        .map(|target| figures::force(target.force(), units));
    let spoken = match (&lowest, &target, zone.verdict) {
        (None, _, _) => say!(l, "{zone}: not measured.", zone = name),
        (Some(lowest), None, _) => say!(
            l,
            "{zone}: lowest {lowest}, no target.",
            zone = name,
            lowest = lowest
        ),
        (Some(lowest), Some(target), ZoneVerdict::Below) => say!(
            l,
            "{zone}: lowest {lowest}, below the target of {target}.",
            zone = name,
            lowest = lowest,
            target = target
        ),
        (Some(lowest), Some(target), ZoneVerdict::NoTarget) => say!(
            l,
            "{zone}: lowest {lowest}, target {target} on some of the faces only.",
            zone = name,
            lowest = lowest,
            target = target
        ),
        (Some(lowest), Some(target), _) => say!(
            l,
            "{zone}: lowest {lowest}, reaches the target of {target}.",
            zone = name,
            lowest = lowest,
            target = target
        ),
    };
    SideZone {
        name: name.to_owned(),
        film: String::new(),
        note: lowest.map_or_else(
            || say!(l, "Not measured"),
            |lowest| say!(l, "Lowest {lowest}", lowest = lowest),
        ),
        spoken,
        lowest: zone.lowest.map(|lowest| lowest.force().n()),
        mean: zone.summary.as_ref().map(|summary| summary.mean),
        interval: zone
            .interval
            .as_ref()
            .map(|interval| (interval.low, interval.high)),
        bound: zone
            .tolerance
            .as_ref()
            .map(|of| of.bound.bound)
            .filter(|n| *n > 0.0),
        target: zone.target.map(|target| target.force().n()),
        reaches: match zone.verdict {
            // Neither good nor bad is drawn of what is not sure.
            ZoneVerdict::Reaches => Some(true).filter(|_| !reaches_unsure(zone)),
            ZoneVerdict::Below => Some(false),
            ZoneVerdict::NoTarget | ZoneVerdict::NotMeasured => None,
        },
    }
}

fn readings<M: Method>(material: &Material) -> Vec<SideReading> {
    let mut marks = Vec::new();
    for (load, readings) in material.each_load() {
        for reading in readings {
            let Some(value) = reading.measure.containment::<M>() else {
                continue;
            };
            marks.push(SideReading {
                force: value.force().n(),
                zone: ZoneName::of(&reading.zone)
                    .and_then(|zone| ZoneName::ALL.iter().position(|of| *of == zone)),
                height: height(load, reading),
                face: reading.face,
                aside: reading.set_aside.is_some(),
            });
        }
    }
    marks
}

/// Where up the load a reading at a height of its own was taken, as a fraction of its height.
fn height(load: &Load, reading: &Reading) -> f64 {
    match (&reading.zone, &load.height) {
        (Zone::Height(height), Some(load)) => (height.value.m() / load.value.m()).clamp(0.0, 1.0),
        (Zone::Height(_) | Zone::Top | Zone::Middle | Zone::Bottom, _) => 0.5,
    }
}

/// The layers by height, as fractions of the load's.
fn layers(pattern: &Pattern) -> Vec<SideLayers> {
    let high = pattern.load().height.m();
    pattern
        .layers()
        .pieces()
        .iter()
        .map(|piece| SideLayers {
            from: piece.from_m / high,
            to: piece.to_m / high,
            at_from: piece.at_from,
            at_to: piece.at_to,
        })
        .collect()
}

/// Mean layers where the zone is read, or over its third of the load where it was not.
fn film<M: Method>(
    material: &Material,
    pattern: Option<&Pattern>,
    zone: ZoneName,
    units: UnitChoice,
) -> String {
    let Some(pattern) = pattern else {
        return String::new();
    };
    let place = material.each_load().find_map(|(load, readings)| {
        let reading = readings.iter().find(|reading| {
            super::is_in_use::<M>(reading) && ZoneName::of(&reading.zone) == Some(zone)
        })?;
        reading_place(load, reading).ok()
    });
    let (from, to) = place.map_or_else(
        || {
            let third = pattern.load().height.m() / 3.0;
            match zone {
                ZoneName::Top => (2.0 * third, 3.0 * third),
                ZoneName::Middle => (third, 2.0 * third),
                ZoneName::Bottom => (0.0, third),
            }
        },
        |place| (place.from_m, place.to_m),
    );
    format!(
        "\u{d7} {}",
        figures::decimal(pattern.mean_layers(from, to), 1, units)
    )
}

fn words(pattern: Option<&Pattern>, to: Reader) -> SideWords {
    let Reader { units, language: l } = to;
    let most = pattern.map_or_else(String::new, |pattern| {
        figures::decimal(pattern.layers().most(), 1, units)
    });
    SideWords {
        faces: [
            say!(l, ctx: "face", "Front"),
            say!(l, ctx: "face", "Right"),
            say!(l, ctx: "face", "Back"),
            say!(l, ctx: "face", "Left"),
            say!(l, "Face not noted"),
        ],
        lowest: say!(l, "Lowest"),
        mean: say!(l, "Mean, 95 %"),
        bound: say!(l, "Lower bound"),
        target: say!(l, "Target"),
        aside: say!(l, "Set aside"),
        layers: say!(
            l,
            "Layers of film, at most {most}; \u{d7} where it is read",
            most = most
        ),
    }
}
