//! The customer's own targets, typed on the results.

use tautbook_core::analysis::containment::{ZoneName, faces_alike, target_for};
use tautbook_core::survey::{Record, Target, TargetForce, TargetOrigin};
use tautbook_core::units::{Method, MethodId, PullPlate, TorsionTool, parse_force};

use super::material::{Material, gather};
use crate::place::Place;
use crate::session::{Session, optional};

/// The target of this line itself that readings in a zone, on faces so long in metres, are judged
/// by; `None` where there is none or it is the whole visit's.
pub(super) fn own_target<M: Method>(
    material: &Material,
    zone: ZoneName,
    face_m: Option<f64>,
) -> Option<&Record<Target>> {
    target_for::<M>(
        &material.targets,
        material.line.id,
        material.stability(),
        zone,
        face_m,
    )
    .map(|(target, _)| target)
    .filter(|target| target.line == Some(material.line.id))
}

/// The one of [`own_target`] that the field of a zone shows and changes: for faces such as most of
/// the zone's readings were taken on, the longest of those alike.
pub(super) fn shown_target<M: Method>(
    material: &Material,
    zone: ZoneName,
) -> Option<&Record<Target>> {
    let taken = material.taken::<M>();
    let lengths: Vec<f64> = taken
        .iter()
        .filter(|reading| reading.zone == zone)
        .filter_map(|reading| reading.face_length_m)
        .collect();
    let alike = |m: f64| {
        lengths
            .iter()
            .filter(|&&other| faces_alike(m, other))
            .count()
    };
    let most = lengths
        .iter()
        .copied()
        .max_by(|&a, &b| alike(a).cmp(&alike(b)).then(a.total_cmp(&b)));
    own_target::<M>(material, zone, most)
}

/// Notes a target half typed.
pub fn draft_target(session: &mut Session, zone: ZoneName, text: &str) {
    session.draft(zone.as_str(), text);
}

/// Tries to keep whatever stands half typed on the results, before the person goes on.
pub fn settle(session: &mut Session) {
    for zone in ZoneName::ALL {
        if let Some(text) = session.unsettled(zone.as_str()) {
            edit_target(session, zone, &text);
        }
    }
    super::restraint::settle(session);
}

/// Keeps the customer's own target for a zone of this line; blank sets it aside.
pub fn edit_target(session: &mut Session, zone: ZoneName, text: &str) {
    let Place::Results { scope, method } = session.here() else {
        return;
    };
    session.settle(zone.as_str(), text, |session, text| {
        let units = session.units();
        let force = optional(parse_force(text, &units.force_typing()))?;
        let material = gather(session, scope)?;
        let own = match method {
            MethodId::TorsionTool => shown_target::<TorsionTool>(&material, zone),
            MethodId::PullPlate => shown_target::<PullPlate>(&material, zone),
        };
        session.book.act("set_target", |act| {
            match (own, force) {
                // What it came from stays with a target that is left as it was.
                (Some(own), Some(force)) if own.minimum.entered() == force.text => {}
                (Some(own), Some(force)) => {
                    act.change(own.id, |target: &mut Target| {
                        target.minimum = TargetForce::new(method, force);
                        target.origin = TargetOrigin::CustomerStandard {
                            reference: String::new(),
                        };
                    })?;
                }
                (Some(own), None) => {
                    act.set_aside(own.id, "taken back")?;
                }
                (None, Some(force)) => {
                    act.add(Target {
                        visit: material.line.visit,
                        line: Some(material.line.id),
                        zone: zone.zone(),
                        stability: None,
                        face_length: None,
                        minimum: TargetForce::new(method, force),
                        origin: TargetOrigin::CustomerStandard {
                            reference: String::new(),
                        },
                    })?;
                }
                (None, None) => {}
            }
            Ok(())
        })?;
        Ok(())
    });
}
