//! What wrapping adds against sliding, tilt and tipping.

use proptest::prelude::*;
use tautbook_core::analysis::restraint::{
    FRICTION_PAIRS, Movement, Need, Push, Restraint, RestraintError, RestraintNote, Tipping,
    UNSWEPT_FRICTION, restraint, tipping,
};
use tautbook_core::survey::Transport;
use tautbook_core::units::{Length, Mass};

fn kg(value: f64) -> Option<Mass> {
    Some(Mass::from_kg(value).unwrap())
}

fn m(value: f64) -> Option<Length> {
    Some(Length::from_m(value).unwrap())
}

fn road(mass: f64, friction: f64) -> [Restraint; 3] {
    restraint(kg(mass), Some(friction), Transport::Road).unwrap()
}

/// Newtons to two places; zero when friction holds.
fn newtons(restraint: &Restraint) -> String {
    match restraint.need {
        Need::Force(force) | Need::AtMost(force) => format!("{:.2}", force.n()),
        Need::FrictionHolds => "0".to_owned(),
    }
}

#[test]
fn worked_by_hand() {
    // m g (c − μ) with g = 9.80665 m/s², worked by hand: 800 × 9.80665 × 0.35 and so on.
    let [forward, rearward, sideways] = road(800.0, 0.45);
    assert_eq!(newtons(&forward), "2745.86");
    assert_eq!(newtons(&rearward), "392.27");
    assert_eq!(newtons(&sideways), "392.27");
    assert_eq!(newtons(&road(800.0, 0.2)[0]), "4707.19");
    assert_eq!(newtons(&road(800.0, 0.3)[1]), "1569.06");
    assert_eq!(newtons(&road(100.0, 0.5)[0]), "294.20", "a layer");
    assert_eq!(road(100.0, 0.5)[1].need, Need::FrictionHolds);
    assert_eq!(newtons(&road(500.0, 0.3)[0]), "2451.66");
    // Sea, waves over 12 m, along: 0.4 with 0.2 of the weight pressing down.
    let [forward, _, sideways] = restraint(kg(800.0), Some(0.5), Transport::SeaC).unwrap();
    assert_eq!(newtons(&forward), "2353.60");
    assert_eq!(newtons(&sideways), "2353.60");
}

#[test]
fn accelerations_as_published() {
    let road = |push, movement| {
        let found = Transport::Road.accelerations(push, movement);
        assert!((found.vertical - 1.0).abs() < f64::EPSILON);
        found.horizontal
    };
    // Directive 2014/47/EU, Annex III: forward 0.8, sideways and rearward 0.5 of the weight.
    assert_eq!(road(Push::Forward, Movement::Sliding).to_string(), "0.8");
    assert_eq!(road(Push::Sideways, Movement::Sliding).to_string(), "0.5");
    assert_eq!(road(Push::Rearward, Movement::Sliding).to_string(), "0.5");
    // EN 12195-1:2010, goods that may tip, from memory.
    assert_eq!(road(Push::Sideways, Movement::Tipping).to_string(), "0.6");
    // CTU Code, chapter 5, from memory: along with its vertical, across.
    for (transport, along, vertical, across) in [
        (Transport::Rail, 0.5, 1.0, 0.5),
        (Transport::RailShunting, 1.0, 0.7, 0.5),
        (Transport::SeaA, 0.3, 0.5, 0.5),
        (Transport::SeaB, 0.3, 0.3, 0.7),
        (Transport::SeaC, 0.4, 0.2, 0.8),
    ] {
        for push in [Push::Forward, Push::Rearward] {
            let found = transport.accelerations(push, Movement::Sliding);
            assert_eq!((found.horizontal, found.vertical), (along, vertical));
            assert!(found.source.to_string().contains("not checked"));
        }
        let found = transport.accelerations(Push::Sideways, Movement::Sliding);
        // The shock of shunting takes weight off whichever way the load is pushed.
        let shaken = if transport == Transport::RailShunting {
            0.7
        } else {
            1.0
        };
        assert_eq!((found.horizontal, found.vertical), (across, shaken));
    }
}

#[test]
fn an_unknown_friction_is_not_counted_on() {
    let unknown = restraint(kg(800.0), None, Transport::Road).unwrap();
    for (unknown, bare) in unknown.iter().zip(road(800.0, 0.0)) {
        assert!(matches!(unknown.need, Need::AtMost(_)));
        assert_eq!(newtons(unknown), newtons(&bare));
        assert!(unknown.to_string().contains("at most"));
    }
}

#[test]
fn what_is_missing_is_said() {
    let refused = |mass, friction| restraint(mass, friction, Transport::Road).unwrap_err();
    assert_eq!(refused(None, Some(0.3)), RestraintError::NoMass);
    assert_eq!(refused(kg(0.0), Some(0.3)), RestraintError::NoMass);
    for friction in [-0.1, 1.1, f64::NAN, f64::INFINITY] {
        assert_eq!(refused(kg(1.0), Some(friction)), RestraintError::Friction);
    }
    assert_eq!(refused(kg(f64::MAX), None), RestraintError::TooHeavy);
    let tip = |base, height, centre| {
        tipping(base, height, centre, Transport::Road, Push::Sideways).map(|_| ())
    };
    assert_eq!(tip(None, m(1.0), None), Err(RestraintError::NoBase));
    assert_eq!(tip(m(1.0), None, None), Err(RestraintError::NoHeight));
    assert_eq!(tip(m(1.0), None, m(0.5)), Ok(()));
}

#[test]
fn the_tilt_with_the_same_ratio() {
    // Arctangents, from any table: 0.5 is 26.565°, 0.8 is 38.660°.
    let [forward, rearward, _] = road(800.0, 0.2);
    assert_eq!(format!("{:.3}", forward.tilt.same_ratio_deg), "38.660");
    assert_eq!(format!("{:.3}", rearward.tilt.same_ratio_deg), "26.565");
    // Without friction half a g takes the slope whose sine is a half.
    let none = restraint(kg(1.0), Some(0.0), Transport::Road).unwrap()[1];
    assert_eq!(
        format!("{:.6}", none.tilt.same_force_deg.unwrap()),
        "30.000000"
    );
    assert_eq!(
        road(1.0, 0.5)[1].tilt.same_force_deg,
        None,
        "friction holds"
    );
}

#[test]
fn tipping_worked_by_hand() {
    let stands = |transport, push| {
        tipping(m(0.8), m(1.5), None, transport, push)
            .unwrap()
            .stands
    };
    // Half base 0.4 m, centre at 0.75 m: 0.533, more than 0.5 and less than 0.6 and 0.8.
    assert!(stands(Transport::Road, Push::Rearward));
    assert!(!stands(Transport::Road, Push::Sideways));
    assert!(!stands(Transport::Road, Push::Forward));
    let known = tipping(m(0.8), m(1.5), m(0.5), Transport::Road, Push::Sideways).unwrap();
    assert!(known.stands && !known.centre_assumed);
    let assumed: Tipping = tipping(m(0.8), m(1.5), None, Transport::Road, Push::Sideways).unwrap();
    assert!(assumed.to_string().contains("taken at half the height"));
}

#[test]
fn the_friction_table_can_be_used_as_it_stands() {
    assert!(FRICTION_PAIRS.len() > 10);
    for pair in FRICTION_PAIRS {
        assert!(restraint(kg(1.0), Some(pair.dry), Transport::Road).is_ok());
        assert!(pair.dry < 1.0 && !pair.surfaces.is_empty());
    }
    assert!(restraint(kg(1.0), Some(UNSWEPT_FRICTION), Transport::Road).is_ok());
}

#[test]
fn film_is_not_said_to_secure_the_pallet() {
    let notes: Vec<String> = RestraintNote::ALL.iter().map(ToString::to_string).collect();
    assert!(
        notes
            .iter()
            .any(|note| note.contains("does not secure the pallet to the vehicle"))
    );
    assert!(notes.iter().any(|note| note.contains("no target")));
}

fn any_transport() -> impl Strategy<Value = Transport> {
    prop::sample::select(Transport::ALL.to_vec())
}

proptest! {
    /// Statics on the slope itself, with the normal and the tangent of the surface as vectors.
    #[test]
    fn the_tilts_do_what_they_say(
        mass in 1.0..2000.0_f64, friction in 0.0..=1.0_f64, transport in any_transport(),
    ) {
        for found in restraint(kg(mass), Some(friction), transport).unwrap() {
            let weight = mass * 9.806_65;
            let on_slope = |degrees: f64| {
                let angle = degrees.to_radians();
                let down_slope = [angle.cos(), -angle.sin()];
                let into_slope = [-angle.sin(), -angle.cos()];
                let gravity = [0.0, -weight];
                let along = |axis: [f64; 2]| gravity[0] * axis[0] + gravity[1] * axis[1];
                (along(down_slope), along(into_slope))
            };
            let c = found.accelerations;
            let (push, press) = on_slope(found.tilt.same_ratio_deg);
            prop_assert!((push / press - c.horizontal / c.vertical).abs() < 1e-9);
            let flat = weight * (c.horizontal - friction * c.vertical);
            let tilted = push - friction * press;
            prop_assert!((tilted - flat * found.tilt.share_of_force).abs() < 1e-9 * weight);
            if let Some(angle) = found.tilt.same_force_deg {
                let (push, press) = on_slope(angle);
                prop_assert!((push - friction * press - flat).abs() < 1e-9 * weight);
            }
        }
    }

    #[test]
    fn more_friction_never_needs_more(
        mass in 1.0..2000.0_f64, a in 0.0..=1.0_f64, b in 0.0..=1.0_f64,
        transport in any_transport(),
    ) {
        let need = |friction| restraint(kg(mass), Some(friction), transport).unwrap()
            .map(|found| match found.need { Need::Force(force) => force.n(), _ => 0.0 });
        for (slippery, rough) in need(a.min(b)).into_iter().zip(need(a.max(b))) {
            prop_assert!(slippery >= rough);
        }
    }

    #[test]
    fn nothing_is_infinite(
        mass in prop::num::f64::ANY, friction in prop::option::of(prop::num::f64::ANY),
        base in prop::num::f64::ANY, height in prop::num::f64::ANY, transport in any_transport(),
    ) {
        let mass = Mass::from_kg(mass).ok();
        if let Ok(found) = restraint(mass, friction, transport) {
            for found in found {
                if let Need::Force(force) | Need::AtMost(force) = found.need {
                    prop_assert!(force.n().is_finite());
                }
                prop_assert!(found.tilt.same_ratio_deg.is_finite());
                prop_assert!(found.tilt.share_of_force.is_finite());
                prop_assert!(found.tilt.same_force_deg.is_none_or(f64::is_finite));
                prop_assert!(!found.to_string().contains("NaN"));
            }
        }
        let (base, height) = (Length::from_m(base).ok(), Length::from_m(height).ok());
        for push in Push::ALL {
            if let Ok(found) = tipping(base, height, None, transport, push) {
                prop_assert!(found.ratio.is_finite());
            }
        }
    }
}
