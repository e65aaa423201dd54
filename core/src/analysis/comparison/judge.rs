//! Judges one zone on faces of one length, and notes what stands against the new setup.

use crate::units::Method;

use super::readings::FaceGroup;
use super::{Assumption, Criteria, Difference, FaceResult, Reason, Side, SideResult, Unit};
use crate::analysis::containment::{READ_TO_N, ZoneName, ZoneTargets};
use crate::analysis::statistics::{
    StatisticsError, Summary, ToleranceBound, lower_tolerance_bound_of_groups, summarise,
    welch_with_resolution,
};

/// What is found while zone after zone is judged.
pub(super) struct Judge {
    pub(super) criteria: Criteria,
    pub(super) reasons: Vec<Reason>,
    pub(super) assumptions: Vec<Assumption>,
}

impl Judge {
    pub(super) fn note(&mut self, assumption: Assumption) {
        if !self.assumptions.contains(&assumption) {
            self.assumptions.push(assumption);
        }
    }

    pub(super) fn face<M: Method>(
        &mut self,
        zone: ZoneName,
        targets: &ZoneTargets<M>,
        group: &FaceGroup,
    ) -> FaceResult<M> {
        let face_m = group.face_length_m;
        // A face that is not known may be one that a target is not for.
        let target = targets.for_face(face_m.filter(|_| !group.unknown_face));
        let target_n = target.map(|target| target.force().n());
        let new = self.side(zone, face_m, Side::New, &group.new);
        let old = self.side(zone, face_m, Side::Old, &group.old);
        let by_reading = match (&new, &old) {
            (Some(new), Some(old)) => {
                self.difference(zone, Unit::Reading, &new.summary, &old.summary)
            }
            _ => None,
        };
        let difference = if group.new.len() >= 2 && group.old.len() >= 2 {
            let means = |loads: &[Vec<f64>]| {
                let means: Vec<f64> = loads
                    .iter()
                    .filter_map(|load| summarise(load).ok())
                    .map(|summary| summary.mean)
                    .collect();
                summarise(&means).ok()
            };
            match (means(&group.new), means(&group.old)) {
                (Some(new), Some(old)) => self.difference(zone, Unit::Load, &new, &old),
                _ => None,
            }
        } else {
            by_reading
        };
        if let Some(difference) = difference {
            self.judge_difference(zone, face_m, &difference);
        }
        let bound = new
            .as_ref()
            .filter(|new| new.summary.n >= 2)
            .and_then(|_| self.bound(zone, &group.new));
        let over_target_n = match (bound, target_n) {
            (Some(bound), Some(target)) => Some(bound.bound - target),
            _ => None,
        };
        if let (Some(bound), Some(target_n), Some(over)) = (bound, target_n, over_target_n)
            && over < 0.0
        {
            self.reasons.push(Reason::BelowTarget {
                zone,
                face_m,
                bound_n: bound.bound,
                target_n,
            });
        }
        FaceResult {
            face_length_m: face_m,
            target,
            new,
            old,
            difference,
            by_reading,
            bound,
            over_target_n,
        }
    }

    fn side(
        &mut self,
        zone: ZoneName,
        face_m: Option<f64>,
        side: Side,
        loads: &[Vec<f64>],
    ) -> Option<SideResult> {
        let all: Vec<f64> = loads.iter().flatten().copied().collect();
        if all.is_empty() {
            self.reasons.push(Reason::Missing { zone, face_m, side });
            return None;
        }
        match summarise(&all) {
            Ok(summary) => {
                if summary.n < 2 {
                    self.reasons.push(Reason::OneReading { zone, face_m, side });
                }
                Some(SideResult {
                    loads: loads.len(),
                    summary,
                })
            }
            Err(why) => {
                self.reasons.push(Reason::CannotBeWorked { zone, why });
                None
            }
        }
    }

    fn difference(
        &mut self,
        zone: ZoneName,
        unit: Unit,
        new: &Summary,
        old: &Summary,
    ) -> Option<Difference> {
        if new.n < 2 || old.n < 2 {
            return None; // Said already.
        }
        let confidence = self.criteria.confidence;
        let found = welch_with_resolution(new, old, READ_TO_N).and_then(|welch| {
            if !(confidence > 0.0 && confidence < 1.0) {
                return Err(StatisticsError::Probability(confidence));
            }
            match (welch.interval(confidence), welch.lower_bound(confidence)) {
                (Some(interval), Some(lower)) => Ok(Difference {
                    unit,
                    welch,
                    interval,
                    lower,
                }),
                _ => Err(StatisticsError::TooLarge),
            }
        });
        self.kept(zone, found)
    }

    fn bound(&mut self, zone: ZoneName, new: &[Vec<f64>]) -> Option<ToleranceBound> {
        let Criteria {
            coverage,
            confidence,
            ..
        } = self.criteria;
        let found = lower_tolerance_bound_of_groups(new, coverage, confidence, READ_TO_N);
        self.note(if new.len() > 1 {
            Assumption::BoundOverLoads
        } else {
            Assumption::BoundOnOneLoad(zone)
        });
        self.kept(zone, found)
    }

    fn kept<T>(&mut self, zone: ZoneName, found: Result<T, StatisticsError>) -> Option<T> {
        found
            .map_err(|why| {
                let reason = Reason::CannotBeWorked { zone, why };
                if !self.reasons.contains(&reason) {
                    self.reasons.push(reason);
                }
            })
            .ok()
    }

    fn judge_difference(&mut self, zone: ZoneName, face_m: Option<f64>, found: &Difference) {
        self.note(match found.unit {
            Unit::Load => Assumption::ByLoad(zone),
            Unit::Reading => Assumption::OneLoadOnly(zone),
        });
        if found.interval.low <= 0.0 && found.interval.high >= 0.0 {
            self.note(Assumption::NoDifferenceShown(zone));
        }
        if found.interval.resolution_limited {
            self.note(Assumption::AllAlike(zone));
        }
        let margin_n = self.criteria.margin.n();
        if found.lower < -margin_n {
            self.reasons.push(Reason::MayHoldLess {
                zone,
                face_m,
                less_n: -found.lower,
                margin_n,
            });
        }
    }
}
