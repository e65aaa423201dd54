//! One zone: its readings summed up and judged.

use super::super::statistics::{
    GrubbsTest, Interval, Sides, Summary, grubbs, mean_interval_with_resolution, summarise,
};
use super::faces::{self, FaceResult};
use super::{
    CONFIDENCE, OUTLIER_SIGNIFICANCE, READ_TO_N, Taken, ToleranceResult, ToleranceRule, ZoneName,
    ZoneResult, ZoneTargets, ZoneVerdict,
};
use crate::units::{Containment, Method, MethodId};

/// What a set of readings that may be averaged says.
pub(super) struct Alike {
    pub(super) summary: Option<Summary>,
    pub(super) interval: Option<Interval>,
    pub(super) outlier: Option<GrubbsTest>,
    pub(super) tolerance: Option<ToleranceResult>,
}

impl Alike {
    const NOTHING: Self = Self {
        summary: None,
        interval: None,
        outlier: None,
        tolerance: None,
    };

    pub(super) fn of<M: Method>(
        readings: &[Taken<M>],
        target: Option<Containment<M>>,
        rule: ToleranceRule,
    ) -> Self {
        let values: Vec<f64> = readings
            .iter()
            .map(|reading| reading.value.force().n())
            .collect();
        let summary = summarise(&values).ok();
        Self {
            summary,
            tolerance: ToleranceResult::of(readings, target, rule),
            interval: summary
                .as_ref()
                .and_then(|summary| mean_interval_with_resolution(summary, CONFIDENCE, READ_TO_N)),
            outlier: grubbs(&values, Sides::Two, OUTLIER_SIGNIFICANCE)
                .filter(|test| test.is_outlier),
        }
    }
}

/// The lowest of some readings.
pub(super) fn lowest<M: Method>(readings: &[Taken<M>]) -> Option<Containment<M>> {
    let values = readings.iter().map(|reading| reading.value);
    values.min_by(Containment::total_cmp)
}

/// The least that a reading is above its own target, in newtons, with that target.
pub(super) fn least_margin<M: Method>(
    readings: &[Taken<M>],
    targets: &ZoneTargets<M>,
) -> Option<(f64, Containment<M>)> {
    let margins = readings.iter().filter_map(|reading| {
        let target = targets.for_face(reading.face_length_m)?;
        Some((reading.value.force().n() - target.force().n(), target))
    });
    margins.min_by(|a, b| a.0.total_cmp(&b.0))
}

/// The one target of all of these; `None` where one has another or none.
pub(super) fn common_target<M: Method>(
    readings: &[Taken<M>],
    targets: &ZoneTargets<M>,
) -> Option<Containment<M>> {
    let mut all = readings
        .iter()
        .map(|reading| targets.for_face(reading.face_length_m));
    let first = all.next()??;
    all.all(|other| other == Some(first)).then_some(first)
}

pub(super) fn zone_result<M: Method>(
    zone: ZoneName,
    readings: &[Taken<M>],
    targets: &ZoneTargets<M>,
    rule: ToleranceRule,
) -> ZoneResult<M> {
    let here: Vec<Taken<M>> = readings
        .iter()
        .filter(|reading| reading.zone == zone)
        .copied()
        .collect();
    let lowest = lowest(&here);
    let least = least_margin(&here, targets);
    let margin_n = least.map(|(margin, _)| margin);
    let on_other_faces = here
        .iter()
        .filter(|reading| targets.for_other_faces_only(reading.face_length_m))
        .count();
    let verdict = match margin_n {
        _ if here.is_empty() => ZoneVerdict::NotMeasured,
        None => ZoneVerdict::NoTarget,
        Some(margin) if margin < 0.0 => ZoneVerdict::Below,
        Some(_) if on_other_faces > 0 => ZoneVerdict::NoTarget,
        Some(_) => ZoneVerdict::Reaches,
    };
    let unlike_faces = faces::unlike(here.iter().map(|reading| reading.face_length_m));
    let split = unlike_faces && M::ID == MethodId::PullPlate;
    let Alike {
        summary,
        interval,
        outlier,
        tolerance,
    } = if split {
        Alike::NOTHING
    } else {
        Alike::of(&here, common_target(&here, targets), rule)
    };
    ZoneResult {
        zone,
        count: here.len(),
        summary,
        interval,
        lowest,
        outlier,
        tolerance,
        target: match least {
            Some((_, target)) => Some(target),
            None if here.is_empty() => targets.to_show(),
            None => None,
        },
        margin_n,
        verdict,
        on_other_faces,
        unlike_faces,
        faces_unknown: here
            .iter()
            .filter(|reading| reading.face_length_m.is_none())
            .count(),
        faces: if split {
            faces::by_length(&here)
                .into_iter()
                .map(|(length_m, readings)| FaceResult::of(length_m, &readings, targets, rule))
                .collect()
        } else {
            Vec::new()
        },
    }
}
