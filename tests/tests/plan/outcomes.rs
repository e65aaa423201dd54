//! What came of a plan.

use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::analysis::plan::outcome;
use tautbook_core::survey::{Face, Planned};
use tautbook_core::units::{Entered, Mass, MethodId, PullPlate, TorsionTool};

use crate::site::{LOAD, SETUP, force, id, line, read, record};

#[test]
fn a_shorter_face_does_not_make_a_planned_setup_look_stronger() {
    let mut set = line();
    for zone in ZoneName::ALL {
        for (face, n) in [(Face::Front, 40.0), (Face::Back, 41.0)] {
            read(&mut set, LOAD, MethodId::PullPlate, zone, face, n);
        }
    }
    let mut next = set.setups[0].body.clone();
    let zones = vec![(ZoneName::Top.zone(), force(38.0), force(35.0))];
    next.planned = Some(Planned::new::<PullPlate>(0.9, zones, None, vec![id(SETUP)]));
    set.setups.push(record(SETUP + 1, next));
    let mut load = set.loads[0].body.clone();
    load.setup = id(SETUP + 1);
    set.loads.push(record(LOAD + 1, load));
    let mut top = |face, n| {
        read(
            &mut set,
            LOAD + 1,
            MethodId::PullPlate,
            ZoneName::Top,
            face,
            n,
        );
    };
    top(Face::Right, 60.0);
    top(Face::Front, 36.0);
    let of = outcome::<PullPlate>(&set, &set.setups[1]).unwrap();
    assert_eq!(of.other_faces, 1);
    let measured = of.zones[0].measured.unwrap();
    assert_eq!((measured.n, of.zones[0].kept), (1, Some(true)));
    assert!((measured.mean - 36.0).abs() < 1e-12);
}

#[test]
fn what_was_expected_stands_beside_what_came() {
    let mut set = line();
    let film: Entered<Mass> = "150 g".parse().unwrap();
    let zones = vec![
        (ZoneName::Top.zone(), force(20.0), force(18.0)),
        (ZoneName::Bottom.zone(), force(16.0), force(14.0)),
    ];
    let body = Planned::new::<TorsionTool>(0.9, zones, Some(film), Vec::new());
    set.setups[0].body.planned = Some(body);
    for n in [19.0, 21.0, 18.5] {
        read(
            &mut set,
            LOAD,
            MethodId::TorsionTool,
            ZoneName::Top,
            Face::Front,
            n,
        );
    }
    // A pull-plate reading must not slip in.
    read(
        &mut set,
        LOAD,
        MethodId::PullPlate,
        ZoneName::Top,
        Face::Front,
        1.0,
    );
    let of = outcome::<TorsionTool>(&set, &set.setups[0]).unwrap();
    assert_eq!(of.zones.len(), 2);
    assert_eq!(
        (of.zones[0].zone, of.zones[0].kept),
        (ZoneName::Top, Some(true))
    );
    assert_eq!(of.zones[0].measured.unwrap().n, 3);
    assert_eq!((of.zones[1].measured, of.zones[1].kept), (None, None));
    assert!((of.film.unwrap().mass.kg() - 0.2).abs() < 1e-12);
    assert!((of.film_expected_kg.unwrap() - 0.15).abs() < 1e-12);
    assert_eq!(outcome::<PullPlate>(&set, &set.setups[0]), None);
    read(
        &mut set,
        LOAD,
        MethodId::TorsionTool,
        ZoneName::Top,
        Face::Front,
        17.9,
    );
    let of = outcome::<TorsionTool>(&set, &set.setups[0]).unwrap();
    assert_eq!(of.zones[0].kept, Some(false));
}
