//! The wrap pattern of recorded loads, and where readings take hold of it.

use proptest::prelude::*;
use tautbook_core::analysis::pattern::{
    Assumption, Pattern, PatternError, PlaceError, Wrapped, engaged_height, film_on_load,
    reading_place,
};
use tautbook_core::analysis::plan::widths_for;
use tautbook_core::survey::{
    FilmRoll, FilmWidth, Id, Load, Measure, Moment, PalletFit, Reading, Record, RecordSet,
    SetAside, Settings, Spiral, Visit, Zone,
};
use tautbook_core::units::{Length, MethodId};
use uuid::Uuid;

fn at() -> Moment {
    Moment::from_unix_ms(1_772_600_000_000, -300).unwrap()
}

fn load() -> Load {
    let mut load = Load::new(Id::from_uuid(Uuid::from_u128(1)), "Load 1");
    load.length = Some("48 in".parse().unwrap());
    load.width = Some("40 in".parse().unwrap());
    load.height = Some("60 in".parse().unwrap());
    load
}

fn width(text: &str) -> Record<FilmWidth> {
    Record {
        id: Id::from_uuid(Uuid::from_u128(2)),
        created: at(),
        changed: at(),
        device: Uuid::from_u128(1),
        set_aside: None,
        body: FilmWidth {
            load: Id::from_uuid(Uuid::from_u128(3)),
            value: text.parse().unwrap(),
            taken_at: at(),
            notes: String::new(),
        },
    }
}

fn roll(width: Option<&str>) -> FilmRoll {
    let mut roll = FilmRoll::new(Id::<Visit>::from_uuid(Uuid::from_u128(4)), "Clear 60");
    roll.width = width.map(|text| text.parse().unwrap());
    roll
}

fn settings() -> Settings {
    Settings {
        bottom_turns: Some(2.0),
        top_turns: Some(2.0),
        up: Some(Spiral::Pitch("9 in".parse().unwrap())),
        down: Some(Spiral::Pitch("9 in".parse().unwrap())),
        ..Settings::default()
    }
}

fn reading(method: MethodId, zone: Zone) -> Reading {
    Reading {
        load: Id::from_uuid(Uuid::from_u128(3)),
        tool: None,
        zone,
        face: None,
        measure: Measure::new(method, "5 lb".parse().unwrap()),
        order: 1,
        taken_at: at(),
        who: String::new(),
        zeroed_at: None,
        minutes_since_wrapping: None,
        film_temperature_celsius: None,
        notes: String::new(),
    }
}

fn in_inches(m: f64) -> f64 {
    (m / 0.0254 * 1e6).round() / 1e6
}

#[test]
fn the_width_measured_on_loads_goes_before_the_roll_s() {
    let mut aside = width("5 in");
    aside.set_aside = Some(SetAside {
        at: at(),
        reason: "torn".to_owned(),
    });
    let widths = [width("17 in"), width("18 in"), aside];
    let (found, notes) = film_on_load(&widths, Some(&roll(Some("20 in")))).unwrap();
    assert!((found.inches() - 17.5).abs() < 1e-12);
    assert_eq!(notes, []);
    let (found, notes) = film_on_load(&widths[2..], Some(&roll(Some("20 in")))).unwrap();
    assert!((found.inches() - 20.0).abs() < 1e-12);
    assert_eq!(notes, [Assumption::NoNeckIn]);
    assert_eq!(
        film_on_load(&[], Some(&roll(None))),
        Err(PatternError::NoFilmWidth)
    );
    assert_eq!(film_on_load(&[], None), Err(PatternError::NoFilmWidth));
    assert_eq!(
        film_on_load(&[width("0 in")], None),
        Err(PatternError::FilmWidthOutOfReach)
    );
}

#[test]
fn the_pattern_of_records_says_what_it_takes_for_granted() {
    let mut load = load();
    load.pallet_fit = Some(PalletFit::Inset("1 in".parse().unwrap()));
    let found = Pattern::of_records(&settings(), &load, &[], Some(&roll(Some("18 in")))).unwrap();
    // 60 in, level with the top, from the floor: 42 in of travel.
    assert!((found.travel().inches() - 42.0).abs() < 1e-9);
    assert!((found.turns() - (4.0 + 2.0 * 42.0 / 9.0)).abs() < 1e-9);
    assert_eq!(
        found.assumptions(),
        [
            Assumption::NoNeckIn,
            Assumption::StartsAtFloor,
            Assumption::LevelWithTop,
            Assumption::GoodsOutline
        ]
    );
    for said in found.assumptions() {
        assert!(said.to_string().ends_with('.'), "{said}");
    }
}

#[test]
fn a_load_without_its_sides_has_no_pattern() {
    let mut flat = load();
    flat.height = None;
    assert_eq!(Wrapped::of(&flat), Err(PatternError::NoHeight));
    let mut narrow = load();
    narrow.width = None;
    assert_eq!(Wrapped::of(&narrow), Err(PatternError::NoFootprint));
    let mut none = load();
    none.length = Some("0 in".parse().unwrap());
    assert_eq!(Wrapped::of(&none), Err(PatternError::LoadOutOfReach));
    // Flush and unknown goods need no word about the pallet.
    assert_eq!(Wrapped::of(&load()).unwrap().1, []);
}

#[test]
fn a_reading_takes_hold_of_a_band_about_its_place() {
    // Common practice, no source: 10 in below the top, 10 in of prongs, a 6 in plate.
    assert!((engaged_height(MethodId::TorsionTool).inches() - 10.0).abs() < 1e-12);
    assert!((engaged_height(MethodId::PullPlate).inches() - 6.0).abs() < 1e-12);
    let load = load();
    let band_of = |method, zone| {
        let found = reading_place(&load, &reading(method, zone)).unwrap();
        let band = (in_inches(found.from_m), in_inches(found.to_m));
        (in_inches(found.at_m), band, found.assumptions)
    };
    let (torsion, plate) = (MethodId::TorsionTool, MethodId::PullPlate);
    assert_eq!(
        band_of(torsion, Zone::Top),
        (50.0, (45.0, 55.0), vec![Assumption::UsualTopPlace])
    );
    assert_eq!(band_of(torsion, Zone::Middle), (30.0, (25.0, 35.0), vec![]));
    assert_eq!(
        band_of(plate, Zone::Bottom),
        (
            10.0,
            (7.0, 13.0),
            vec![Assumption::UsualTopPlace, Assumption::BottomMirrorsTop]
        )
    );
    assert_eq!(
        band_of(plate, Zone::Height("58 in".parse().unwrap())),
        (58.0, (55.0, 60.0), vec![]),
        "no further than the load goes"
    );
    let mut written = reading(plate, Zone::Top);
    if let Measure::PullPlate(pull) = &mut written.measure {
        pull.from_top = Some("12 in".parse().unwrap());
    }
    let found = reading_place(&load, &written).unwrap();
    assert!((in_inches(found.at_m) - 48.0).abs() < 1e-9);
    assert_eq!(found.assumptions, []);
}

#[test]
fn a_place_off_the_load_is_said() {
    let mut low = load();
    low.height = Some("8 in".parse().unwrap());
    for zone in [
        Zone::Top,
        Zone::Bottom,
        Zone::Height("9 in".parse().unwrap()),
    ] {
        assert_eq!(
            reading_place(&low, &reading(MethodId::PullPlate, zone)),
            Err(PlaceError::OffTheLoad)
        );
    }
    // Ten inches below the top of a load 18 in high is its lower half.
    low.height = Some("18 in".parse().unwrap());
    for zone in [Zone::Top, Zone::Bottom] {
        let found = reading_place(&low, &reading(MethodId::TorsionTool, zone));
        assert_eq!(found, Err(PlaceError::TooShort));
    }
    assert!(reading_place(&low, &reading(MethodId::TorsionTool, Zone::Middle)).is_ok());
    low.height = None;
    assert_eq!(
        reading_place(&low, &reading(MethodId::PullPlate, Zone::Middle)),
        Err(PlaceError::NoHeight)
    );
}

proptest! {
    /// A place lies on the load, within its band.
    #[test]
    fn a_place_is_on_the_load(
        height in 0.0..4.0_f64, at_mm in 0_u32..5_000, zone in 0..4, plate in any::<bool>(),
    ) {
        let mut load = load();
        load.height = Some(tautbook_core::units::Entered {
            value: Length::from_m(height).unwrap(),
            text: format!("{height} m"),
        });
        let zone = match zone {
            0 => Zone::Top,
            1 => Zone::Middle,
            2 => Zone::Bottom,
            _ => Zone::Height(format!("{at_mm} mm").parse().unwrap()),
        };
        let method = if plate { MethodId::PullPlate } else { MethodId::TorsionTool };
        if let Ok(place) = reading_place(&load, &reading(method, zone)) {
            prop_assert!(0.0 <= place.from_m && place.from_m <= place.at_m);
            prop_assert!(place.at_m <= place.to_m && place.to_m <= height);
        }
    }
}

#[test]
fn a_width_measured_on_film_that_runs_alike_serves_a_load_without_one() {
    let text = include_str!("../../../sample-surveys/tile-maker.json");
    let survey: serde_json::Value = serde_json::from_str(text).unwrap();
    let mut records: RecordSet = serde_json::from_value(survey["records"].clone()).unwrap();
    let [first, second] = [records.setups[0].id, records.setups[1].id];
    let of_first = records.setups[0].body.clone();
    records.setups[1].body = of_first.clone();
    let on = |records: &RecordSet, setup| {
        let mut loads = records.loads.iter();
        loads.find(|load| load.setup == setup).unwrap().id
    };
    // One width in the whole book, on the first setup.
    let load = on(&records, first);
    records.film_widths.truncate(1);
    records.film_widths[0].body.load = load;
    let found = |records: &RecordSet, setup| {
        let setup = records.setups.iter().find(|of| of.id == setup).unwrap();
        let loads: Vec<_> = records
            .loads
            .iter()
            .filter(|load| load.setup == setup.id)
            .collect();
        widths_for(records, setup, &loads).len()
    };
    assert_eq!((found(&records, first), found(&records, second)), (1, 1));
    // Another film force draws the film in otherwise.
    records.setups[1].body.settings.film_force = "another".to_owned();
    assert_eq!((found(&records, first), found(&records, second)), (1, 0));
    // Its own comes first, and one set aside is none.
    records.setups[1].body = of_first;
    let mut own = records.film_widths[0].clone();
    own.body.load = on(&records, second);
    records.film_widths.push(own);
    assert_eq!((found(&records, first), found(&records, second)), (1, 1));
    let moment = records.film_widths[0].created;
    for width in &mut records.film_widths {
        width.set_aside = Some(SetAside {
            at: moment,
            reason: String::new(),
        });
    }
    assert_eq!((found(&records, first), found(&records, second)), (0, 0));
}
