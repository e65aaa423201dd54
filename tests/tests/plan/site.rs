//! A line whose film holds exactly so much a layer.

use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::analysis::plan::{Asked, Plan, plan};
use tautbook_core::survey::{
    Face, FilmRoll, FilmWeight, Id, Line, Load, Measure, Moment, Reading, Record, RecordSet, Setup,
    SetupRole, Spiral, Target, TargetForce, TargetOrigin, Visit,
};
use tautbook_core::units::{Entered, Force, Length, MethodId, TorsionTool};
use uuid::Uuid;

pub(crate) fn moment() -> Moment {
    Moment::from_unix_ms(1_772_600_000_000, -300).unwrap()
}

pub(crate) fn id<T>(number: u128) -> Id<T> {
    Id::from_uuid(Uuid::from_u128(number))
}

pub(crate) fn record<T>(number: u128, body: T) -> Record<T> {
    Record {
        id: id(number),
        created: moment(),
        changed: moment(),
        device: Uuid::from_u128(1),
        set_aside: None,
        body,
    }
}

pub(crate) fn length(text: &str) -> Entered<Length> {
    text.parse().unwrap()
}

pub(crate) const LINE: u128 = 1;
pub(crate) const ROLL: u128 = 2;
pub(crate) const SETUP: u128 = 10;
pub(crate) const LOAD: u128 = 20;

/// A line with one setup: a load of 1.2 x 0.8 x 1.5 m in film 0.5 m wide, two turns at the bottom
/// and three at the top, 0.25 m up and down, weighed at 200 g.
pub(crate) fn line() -> RecordSet {
    let mut set = RecordSet::default();
    set.lines
        .push(record(LINE, Line::new(id::<Visit>(99), "Line 1")));
    let mut roll = FilmRoll::new(id(99), "Film A");
    roll.width = Some(length("500 mm"));
    set.film_rolls.push(record(ROLL, roll));
    let mut setup = Setup::new(id(LINE), "As found", SetupRole::AsFound);
    setup.film_roll = Some(id(ROLL));
    setup.settings.bottom_turns = Some(2.0);
    setup.settings.top_turns = Some(3.0);
    setup.settings.up = Some(Spiral::Pitch(length("250 mm")));
    setup.settings.down = Some(Spiral::Pitch(length("250 mm")));
    set.setups.push(record(SETUP, setup));
    let mut load = Load::new(id(SETUP), "Load 1");
    load.length = Some(length("1.2 m"));
    load.width = Some(length("0.8 m"));
    load.height = Some(length("1.5 m"));
    set.loads.push(record(LOAD, load));
    set.film_weights.push(record(
        30,
        FilmWeight {
            load: id(LOAD),
            tool: None,
            gross: "200 g".parse().unwrap(),
            tare: None,
            loads_together: 1,
            taken_at: moment(),
            notes: String::new(),
        },
    ));
    set
}

pub(crate) fn read(
    set: &mut RecordSet,
    load: u128,
    method: MethodId,
    zone: ZoneName,
    face: Face,
    n: f64,
) {
    let order = u32::try_from(set.readings.len()).unwrap() + 1;
    set.readings.push(record(
        1_000 + u128::from(order),
        Reading {
            load: id(load),
            tool: None,
            zone: zone.zone(),
            face: Some(face),
            measure: Measure::new(method, force(n)),
            order,
            taken_at: moment(),
            who: String::new(),
            zeroed_at: None,
            minutes_since_wrapping: None,
            film_temperature_celsius: None,
            notes: String::new(),
        },
    ));
}

pub(crate) fn force(n: f64) -> Entered<Force> {
    format!("{n} N").parse().unwrap()
}

/// Layers at the three places, by hand: the film's lower edge travels 1.5 - 0.5 = 1.0 m. The
/// torsion tool takes hold of 0.254 m about 0.254 m from either end and about the middle. At the
/// bottom place, 0.127 to 0.381 m, lie 2 turns, and of each pass the part of it that started
/// below: on average 0.254 / 0.25. In the middle 0.5 / 0.25 of each pass. At the top as at the
/// bottom, with 3 turns.
pub(crate) const LAYERS: [f64; 3] = [3.0 + 2.0 * 0.254 / 0.25, 4.0, 2.0 + 2.0 * 0.254 / 0.25];

/// Readings that hold 5 N a layer, and a little more and less.
pub(crate) fn well_read(set: &mut RecordSet, load: u128, layers: [f64; 3]) {
    for (zone, layers) in ZoneName::ALL.into_iter().zip(layers) {
        for (face, off) in [(Face::Front, -0.3), (Face::Right, 0.1), (Face::Back, 0.2)] {
            read(
                set,
                load,
                MethodId::TorsionTool,
                zone,
                face,
                5.0 * layers + off,
            );
        }
    }
}

pub(crate) fn target(set: &mut RecordSet, zone: ZoneName, n: f64) {
    let number = 500 + u128::try_from(set.targets.len()).unwrap();
    set.targets.push(record(
        number,
        Target {
            visit: id(99),
            line: None,
            zone: zone.zone(),
            stability: None,
            face_length: None,
            minimum: TargetForce::new(MethodId::TorsionTool, force(n)),
            origin: TargetOrigin::CustomerStandard {
                reference: String::new(),
            },
        },
    ));
}

pub(crate) fn planned(set: &RecordSet) -> Plan<TorsionTool> {
    plan(set, id(SETUP), Asked::default()).unwrap()
}
