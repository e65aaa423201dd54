//! Readings: places, order, undo, units, tools and questions.

use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::book::Which;
use tautbook_core::survey::{Face, FilmWeight, Reading, Record, Sample, Tool, ToolKind};
use tautbook_core::units::{MethodId, TorsionTool, UnitSystem};
use tautbook_ui::place::{Place, Scope};
use tautbook_ui::presenters::read::{self, At, Next, State};
use tautbook_ui::presenters::{keep, load, records, results, tools};
use tautbook_ui::session::{Question, WhenYes};

use crate::{Desk, tool};

fn open(desk: &mut Desk) {
    load::read_by(&mut desk.session, desk.load, MethodId::TorsionTool);
}

fn keys(desk: &mut Desk, keys: &str) {
    for key in keys.split(' ').filter(|key| !key.is_empty()) {
        read::key(&mut desk.session, key);
    }
}

fn take(desk: &mut Desk, typed: &str) {
    keys(desk, typed);
    read::save(&mut desk.session);
}

fn view(desk: &Desk) -> read::View {
    read::view(&desk.session, At::here(&desk.session).unwrap()).unwrap()
}

fn kept(desk: &Desk, which: Which) -> Vec<Record<Reading>> {
    desk.session
        .book()
        .children_which::<Reading, _>(desk.load, which)
        .unwrap()
}

fn values(desk: &Desk) -> Vec<String> {
    kept(desk, Which::InUse)
        .iter()
        .map(|reading| reading.measure.entered().to_owned())
        .collect()
}

fn question(desk: &Desk) -> &Question {
    desk.session.question().unwrap()
}

#[test]
fn a_reading_is_no_value_to_offer_in_a_field() {
    let mut desk = Desk::new();
    open(&mut desk);
    take(&mut desk, "8");
    assert_eq!(values(&desk), ["8 lb"]);
    assert_eq!(desk.session.book().state("recent").unwrap(), None);
}

#[test]
fn twelve_readings_go_round_the_load() {
    use Face::{Back, Front, Left, Right};
    use ZoneName::{Bottom, Middle, Top};
    let mut desk = Desk::new();
    open(&mut desk);
    let mut way = Vec::new();
    for number in 1..=12 {
        let view = view(&desk);
        assert_eq!(view.number, number);
        way.push((view.face, view.zone));
        take(&mut desk, "1 2");
        assert_eq!(self::view(&desk).state, State::Saved);
    }
    let round = [Front, Right, Back, Left]
        .into_iter()
        .flat_map(|face| [Top, Middle, Bottom].map(|zone| (face, zone)));
    assert_eq!(way, round.collect::<Vec<_>>());
    let view = view(&desk);
    assert_eq!((view.face, view.zone), (Front, Top), "and round again");
    assert!(view.places.iter().all(|place| place.count == 1));
    assert_eq!(view.places.len(), 12);
    let orders: Vec<u32> = kept(&desk, Which::InUse)
        .iter()
        .map(|reading| reading.order)
        .collect();
    assert_eq!(orders, (1..=12).collect::<Vec<_>>());
}

#[test]
fn a_place_that_was_picked_is_read_and_the_gap_comes_next() {
    let mut desk = Desk::new();
    open(&mut desk);
    read::pick_place(&mut desk.session, ZoneName::Bottom, Face::Back);
    take(&mut desk, "9");
    let last = kept(&desk, Which::InUse).pop().unwrap();
    assert_eq!(ZoneName::of(&last.zone), Some(ZoneName::Bottom));
    assert_eq!(last.face, Some(Face::Back));
    let next = view(&desk);
    assert_eq!((next.zone, next.face), (ZoneName::Top, Face::Back));
}

#[test]
fn undo_takes_the_last_back_first_and_orders_stay_apart() {
    let mut desk = Desk::new();
    open(&mut desk);
    for value in ["8", "9", "1 0"] {
        take(&mut desk, value);
    }
    read::undo(&mut desk.session);
    assert_eq!(values(&desk), ["8 lb", "9 lb"]);
    let again = view(&desk);
    assert_eq!((again.zone, again.number), (ZoneName::Bottom, 3));
    read::undo(&mut desk.session);
    assert_eq!(values(&desk), ["8 lb"]);
    assert_eq!(view(&desk).zone, ZoneName::Middle);

    // The last undone is brought back, and a new one taken: which came when stays plain.
    desk.session.act_on_notice();
    read::after_bringing_back(&mut desk.session);
    assert_eq!(values(&desk), ["8 lb", "9 lb"]);
    assert_eq!(view(&desk).zone, ZoneName::Bottom, "not read twice");
    take(&mut desk, "1 1");
    let mut orders: Vec<u32> = kept(&desk, Which::All)
        .iter()
        .map(|reading| reading.order)
        .collect();
    orders.sort_unstable();
    assert_eq!(orders, [1, 2, 3, 4], "no two alike, set aside or not");
    let recent: Vec<String> = view(&desk)
        .recent
        .into_iter()
        .map(|recent| recent.value)
        .collect();
    assert_eq!(recent, ["11 lb", "9 lb", "8 lb"]);
    for _ in 0..5 {
        read::undo(&mut desk.session); // More often than there are readings.
    }
    assert!(values(&desk).is_empty());
    assert_eq!(kept(&desk, Which::All).len(), 4);
}

#[test]
fn a_second_press_on_save_keeps_nothing_twice() {
    let mut desk = Desk::new();
    open(&mut desk);
    take(&mut desk, "8");
    read::save(&mut desk.session);
    assert_eq!(values(&desk), ["8 lb"]);
    assert_eq!(view(&desk).state, State::Saved, "no error about a blank");
    let desk = desk.reopen();
    assert_eq!(view(&desk).state, State::Fresh);
    assert_eq!(values(&desk), ["8 lb"]);
}

#[test]
fn a_blank_is_not_zero() {
    let mut desk = Desk::new();
    open(&mut desk);
    read::save(&mut desk.session);
    assert!(matches!(view(&desk).state, State::Error(_)));
    keys(&mut desk, "lb");
    read::save(&mut desk.session);
    assert!(matches!(view(&desk).state, State::Error(_)));
    assert!(kept(&desk, Which::All).is_empty());
    take(&mut desk, "0");
    assert!(values(&desk).is_empty(), "zero is asked about");
    assert_eq!(question(&desk).when_yes, WhenYes::SaveReading);
    desk.session.take_question();
    read::save_anyway(&mut desk.session);
    assert_eq!(values(&desk), ["0 oz"]);
}

#[test]
fn metric_readings_and_targets_are_in_newtons() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    open(&mut desk);
    take(&mut desk, "5 5 . 5");
    assert_eq!(view(&desk).unit_key, "");
    let reading = kept(&desk, Which::InUse).pop().unwrap();
    assert_eq!(reading.measure.entered(), "55.5 N");
    let force = reading.measure.containment::<TorsionTool>().unwrap();
    assert!((force.force().n() - 55.5).abs() < 1e-12);

    let scope = Scope::Load(desk.load);
    load::open_results(&mut desk.session, desk.load);
    results::edit_target(&mut desk.session, ZoneName::Top, "60");
    let shown = results::view(&desk.session, scope, MethodId::TorsionTool).unwrap();
    let top = &shown.zones[0];
    assert_eq!(top.lowest, "55.5 N");
    assert_eq!(top.target, "60 N");
    assert_eq!(top.margin, "\u{2212}4.5 N");
    assert_eq!(shown.targets[0].text, "60 N");
    assert_eq!(shown.zones[1].lowest, "", "not measured is blank, not 0");
    assert_eq!(shown.zones[1].mean, "");
    assert_eq!(top.deviation, "", "the spread of one is not known");

    // What was written stays as written; what is worked out follows the units.
    desk.units(UnitSystem::Imperial);
    let shown = results::view(&desk.session, scope, MethodId::TorsionTool).unwrap();
    assert_eq!(shown.targets[0].text, "60 N");
    // 55.5 N is 12 lbf 7.6 ozf (4.4482216152605 N in a pound-force, NIST SP 811).
    assert_eq!(shown.zones[0].lowest, "12 lb 7.6 oz");
    assert_eq!(values(&desk), ["55.5 N"]);
}

#[test]
fn half_typed_pounds_do_not_become_newtons() {
    let mut desk = Desk::new();
    open(&mut desk);
    keys(&mut desk, "1 2 lb 6");
    desk.units(UnitSystem::Metric);
    let figure = view(&desk).figure;
    assert_eq!((figure.first_unit, figure.second_unit), ("lb", "oz"));
    assert_eq!(view(&desk).unit_key, "lb");
    let mut desk = desk.reopen();
    read::save(&mut desk.session);
    assert_eq!(values(&desk), ["12 lb 6 oz"]);
    assert_eq!(view(&desk).unit_key, "", "the next is in newtons");
    take(&mut desk, "5 5");
    assert_eq!(values(&desk)[1], "55 N");
}

#[test]
fn a_number_typed_in_the_other_unit_is_asked_about() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    open(&mut desk);
    assert_eq!(view(&desk).unit, "N");
    take(&mut desk, "5 8");
    desk.units(UnitSystem::Imperial);
    assert_eq!(view(&desk).unit, "lb");
    // What reads 13 lb in newtons, typed as pounds.
    take(&mut desk, "5 8");
    assert_eq!(values(&desk), ["58 N"]);
    assert_eq!(question(&desk).title, "58 lb?");
    assert!(desk.session.take_question().is_some());
    for _ in 0..2 {
        read::erase(&mut desk.session);
    }
    take(&mut desk, "3 6");
    assert_eq!(values(&desk), ["58 N", "36 lb"], "not four times as much");
}

#[test]
fn more_of_one_zone_does_not_stand_for_another() {
    let mut desk = Desk::new();
    open(&mut desk);
    let count = |desk: &Desk| {
        let summary = load::view(&desk.session, desk.load)
            .unwrap()
            .summaries
            .remove(0);
        (summary.count, summary.of_planned)
    };
    for face in [Face::Front, Face::Right, Face::Back] {
        for zone in [ZoneName::Top, ZoneName::Top, ZoneName::Middle] {
            read::pick_place(&mut desk.session, zone, face);
            take(&mut desk, "1 2");
        }
    }
    assert_eq!(count(&desk), (9, 6), "none of the bottom");
    assert_eq!(view(&desk).next, Next::Reading);
    for face in [Face::Front, Face::Right, Face::Back] {
        read::pick_place(&mut desk.session, ZoneName::Bottom, face);
        take(&mut desk, "1 2");
    }
    assert_eq!(count(&desk), (12, 9));
    assert_eq!(view(&desk).next, Next::Weigh);
    // A pallet that is kept as a sample stays wrapped; one that is weighed is weighed.
    let load = desk.load;
    keep::of_load(&mut desk.session, load);
    open(&mut desk);
    assert_eq!(view(&desk).next, Next::Nothing);
    let samples = desk
        .session
        .book()
        .children::<Sample, _>(desk.visit)
        .unwrap();
    desk.session
        .set_aside(samples[0].reference(), "by hand", String::new());
    open(&mut desk);
    assert_eq!(view(&desk).next, Next::Weigh);
    let taken_at = desk.session.book().now();
    let weight = FilmWeight {
        load,
        tool: None,
        gross: "240 g".parse().unwrap(),
        tare: None,
        loads_together: 1,
        taken_at,
        notes: String::new(),
    };
    desk.session.add("weigh_film", weight).unwrap();
    assert_eq!(view(&desk).next, Next::Nothing);
}

#[test]
fn readings_are_shown_in_the_units_in_use() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    open(&mut desk);
    take(&mut desk, "7 0");
    desk.units(UnitSystem::Imperial);
    let shown = view(&desk);
    assert_eq!(shown.recent[0].value, "15 lb 11.8 oz");
    assert_eq!(shown.places[0].last, "15 lb 11.8 oz");
    let load = load::view(&desk.session, desk.load).unwrap();
    assert_eq!(
        load.summaries[0].lowest.as_ref().unwrap().0,
        "15 lb 11.8 oz"
    );
    assert_eq!(values(&desk), ["70 N"], "kept as it was written");
    records::open_load(&mut desk.session, desk.load);
    let row = records::view(&desk.session, Some(desk.load))
        .unwrap()
        .rows
        .remove(0);
    assert!(row.title.ends_with("15 lb 11.8 oz"), "{}", row.title);
    assert!(row.detail.contains("written as 70 N"), "{}", row.detail);
    desk.session.back();
    read::undo(&mut desk.session);
    let (_, said) = desk.said().unwrap();
    assert!(said.starts_with("15 lb 11.8 oz set aside"), "{said}");
}

#[test]
fn which_of_several_tools_is_in_hand_is_asked_once_there_are_readings() {
    let two = ["One", "Two"].map(|name| tool(ToolKind::TorsionTool, name));
    let mut desk = Desk::with_tools(&two);
    open(&mut desk);
    assert!(
        desk.session.question().is_none(),
        "the page has room to say so"
    );
    assert!(view(&desk).stale.contains("Press here"));
    take(&mut desk, "8");
    assert_eq!(view(&desk).stale, "No tool is named.");
    desk.session.back();
    open(&mut desk);
    assert_eq!(question(&desk).when_yes, WhenYes::OpenTools);
    desk.session.take_question();
    let id = desk.session.book().all::<Tool>().unwrap()[1].id;
    tools::take(&mut desk.session, id);
    assert_eq!(view(&desk).stale, "Not zeroed today.");
    desk.session.back();
    open(&mut desk);
    assert!(desk.session.question().is_none());
}

#[test]
fn a_reading_names_the_one_tool_of_its_kind() {
    let torsion = tool(ToolKind::TorsionTool, "Red");
    let mut desk = Desk::with_tools(&[torsion.clone(), tool(ToolKind::PullPlate, "Plate")]);
    open(&mut desk);
    take(&mut desk, "8");
    let named = kept(&desk, Which::InUse)[0].tool.unwrap();
    assert_eq!(desk.session.book().get(named).unwrap().name, "Red");

    let mut desk = Desk::with_tools(&[torsion, tool(ToolKind::TorsionTool, "Blue")]);
    open(&mut desk);
    take(&mut desk, "8");
    assert_eq!(
        kept(&desk, Which::InUse)[0].tool,
        None,
        "nobody can say which"
    );
}

#[test]
fn more_than_the_tool_shows_is_asked_about() {
    let mut red = tool(ToolKind::TorsionTool, "Red");
    red.force_range = Some("25 lb".parse().unwrap());
    let mut desk = Desk::with_tools(&[red]);
    open(&mut desk);
    take(&mut desk, "2 5");
    assert_eq!(values(&desk), ["25 lb"], "as much as it shows");
    take(&mut desk, "2 6");
    assert_eq!(values(&desk).len(), 1);
    assert!(
        question(&desk).text.contains("25 lb"),
        "{:?}",
        question(&desk)
    );
    assert_eq!(view(&desk).figure.first, "26", "what was typed stays");
    assert!(desk.session.back(), "back says no to a question");
    assert!(desk.session.question().is_none());
    assert!(matches!(desk.session.here(), Place::Read { .. }));
    assert_eq!(values(&desk).len(), 1);
}

#[test]
fn an_error_is_still_there_after_opening_again() {
    let mut desk = Desk::new();
    open(&mut desk);
    take(&mut desk, "7 lb 1 6");
    let State::Error(error) = view(&desk).state else {
        panic!("{:?}", view(&desk).state)
    };
    let mut desk = desk.reopen();
    assert_eq!(view(&desk).state, State::Error(error));
    assert_eq!(view(&desk).figure.second, "16");
    read::erase(&mut desk.session);
    assert_eq!(view(&desk).state, State::Typing);
    read::save(&mut desk.session);
    assert_eq!(values(&desk), ["7 lb 1 oz"]);
}
