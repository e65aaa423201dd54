//! What is chosen stands in records: it is kept, can be undone, and is refused with a reason.

use tautbook_core::book::{ActionKey, Book};
use tautbook_core::survey::{
    Factor, FactorUnit, Id, Load, Measure, Reading, RecordRef, Setup, SetupRole, Transport, Zone,
};
use tautbook_core::units::MethodId;
use tautbook_ui::place::{Place, Scope};
use tautbook_ui::presenters::compare::{self, Field};
use tautbook_ui::presenters::results::{self, Way};
use tautbook_ui::session::{Notice, NoticeAct, Tone};

use crate::{Desk, at};

const METHOD: MethodId = MethodId::TorsionTool;

/// The key of the last thing done, which has to bear that name.
fn last(book: &Book, name: &str) -> ActionKey {
    let action = book.actions(1).unwrap().remove(0);
    assert_eq!(action.name, name);
    action.key
}

/// Takes an action back, as the button on a message does.
fn undo(desk: &mut Desk, action: ActionKey) {
    desk.session.say(Notice {
        tone: Tone::Info,
        text: String::new(),
        act: Some(NoticeAct::Undo(action)),
    });
    desk.session.act_on_notice();
    assert_eq!(desk.said(), None, "undoing failed");
}

/// How often anything was done.
fn count(book: &Book) -> usize {
    book.actions(1_000).unwrap().len()
}

/// Fields of a record that were changed since it came to be.
fn changed(book: &Book, record: RecordRef) -> Vec<String> {
    let history = book.history(record).unwrap();
    history.into_iter().map(|change| change.field).collect()
}

fn trial(desk: &mut Desk) -> Id<Setup> {
    let body = Setup::new(desk.line, "Trial 1", SetupRole::Trial);
    desk.session.add("add_setup", body).unwrap().id
}

fn compare_with(desk: &mut Desk, new: Id<Setup>) {
    desk.session.go(Place::Compare {
        old: desk.setup,
        new,
        method: METHOD,
    });
}

fn shown(desk: &Desk, new: Id<Setup>) -> compare::View {
    compare::view(&desk.session, desk.setup, new, METHOD).unwrap()
}

fn read_at(desk: &mut Desk, setup: Id<Setup>, ms: i64) {
    read(desk, setup, 50, ms);
}

/// A load of the setup read at its top.
pub(crate) fn read_force(desk: &mut Desk, setup: Id<Setup>, newtons: u32) {
    read(desk, setup, newtons, 1_500);
}

fn read(desk: &mut Desk, setup: Id<Setup>, newtons: u32, ms: i64) {
    let load = desk.session.add("add_load", Load::new(setup, "Load"));
    let reading = Reading {
        load: load.unwrap().id,
        tool: None,
        zone: Zone::Top,
        face: None,
        measure: Measure::new(METHOD, format!("{newtons} N").parse().unwrap()),
        order: 1,
        taken_at: at(ms),
        who: String::new(),
        zeroed_at: None,
        minutes_since_wrapping: None,
        film_temperature_celsius: None,
        notes: String::new(),
    };
    desk.session.add("add_reading", reading).unwrap();
}

#[test]
fn a_margin_stands_on_the_new_setup_with_its_time() {
    let mut desk = Desk::new();
    let new = trial(&mut desk);
    compare_with(&mut desk, new);
    assert_eq!(shown(&desk, new).margin_tone, Tone::Info, "none yet");
    compare::edit_margin(&mut desk.session, "12 oz");
    let setup = desk.session.book().get(new).unwrap();
    let margin = setup.margin(desk.setup, METHOD).unwrap();
    assert_eq!(margin.force.text, "12 oz");
    assert_eq!(margin.chosen, at(1_000));
    assert_eq!(setup.margin(desk.setup, MethodId::PullPlate), None);
    assert_eq!(
        changed(desk.session.book(), setup.reference()),
        ["", "margins"]
    );
    let view = shown(&desk, new);
    assert_eq!(view.margin.text, "12 oz");
    assert_eq!(view.margin_tone, Tone::Good);

    // It is still there after the app was closed, and on another device by the day's file.
    let mut desk = desk.reopen();
    assert_eq!(shown(&desk, new).margin.text, "12 oz");
    let chosen = last(desk.session.book(), "choose_margin");

    // The same force once more is no new choice, and nothing is done.
    let before = count(desk.session.book());
    compare::edit_margin(&mut desk.session, "12 oz");
    assert_eq!(count(desk.session.book()), before);

    undo(&mut desk, chosen);
    assert!(desk.session.book().get(new).unwrap().margins.is_empty());
    assert_eq!(shown(&desk, new).margin.text, "");
}

#[test]
fn a_margin_that_is_none_is_refused_and_stays_typed() {
    let mut desk = Desk::new();
    let new = trial(&mut desk);
    compare_with(&mut desk, new);
    for (typed, why) in [
        ("-4 N", "below zero"),
        ("4 kg", "not a force"),
        ("NaN", "no number"),
    ] {
        let before = count(desk.session.book());
        compare::edit_margin(&mut desk.session, typed);
        let entry = shown(&desk, new).margin;
        assert_eq!(entry.text, typed);
        assert!(!entry.error.is_empty(), "{why}");
        assert_eq!(count(desk.session.book()), before);
    }
    assert!(desk.session.book().get(new).unwrap().margins.is_empty());

    let same = desk.setup;
    compare_with(&mut desk, same);
    compare::edit_margin(&mut desk.session, "4 N");
    let entry = shown(&desk, same).margin;
    assert!(entry.error.contains("choose two setups"), "{entry:?}");
}

#[test]
fn whether_it_was_chosen_before_the_new_setup_was_read() {
    let mut desk = Desk::new();
    let new = trial(&mut desk);
    let old = desk.setup;
    // When the old one was read does not matter.
    read_at(&mut desk, old, 0);
    compare_with(&mut desk, new);
    compare::edit_margin(&mut desk.session, "4 N");
    read_at(&mut desk, new, 1_500);
    assert_eq!(shown(&desk, new).margin_tone, Tone::Good);

    // Chosen anew after the readings, and that taken back again.
    let mut desk = desk.reopen();
    compare::edit_margin(&mut desk.session, "5 N");
    let view = shown(&desk, new);
    assert_eq!(view.margin_tone, Tone::Warning, "{}", view.margin_note);
    let chosen = last(desk.session.book(), "choose_margin");
    undo(&mut desk, chosen);
    let view = shown(&desk, new);
    assert_eq!(view.margin.text, "4 N");
    assert_eq!(view.margin_tone, Tone::Good, "it has its own time again");
}

fn minutes(value: f64) -> Factor {
    Factor::new(value, FactorUnit::Minutes, "", None)
}

#[test]
fn factors_stand_on_the_line_one_by_one() {
    let mut desk = Desk::new();
    let new = trial(&mut desk);
    compare_with(&mut desk, new);
    compare::edit_factor(&mut desk.session, Field::Labour, "32.5");
    compare::edit_factor(&mut desk.session, Field::LabourSource, "the site, 2026");
    let labour = last(desk.session.book(), "edit_factors");
    compare::edit_factor(&mut desk.session, Field::RollChange, "4");
    let line = desk.session.book().get(desk.line).unwrap();
    assert_eq!(
        line.factors.labour,
        Some(Factor::new(
            32.5,
            FactorUnit::MoneyPerHour,
            "the site",
            Some(2026)
        ))
    );
    assert_eq!(
        changed(desk.session.book(), line.reference()),
        [
            "",
            "factors.labour",
            "factors.labour",
            "factors.roll_change"
        ],
        "each goes to the history by itself"
    );

    // One is undone although another was typed since.
    undo(&mut desk, labour);
    let factors = desk.session.book().get(desk.line).unwrap().body.factors;
    assert_eq!(factors.labour.unwrap().source, "");
    assert_eq!(factors.roll_change, Some(minutes(4.0)));

    for typed in ["-4", "4 min", "NaN"] {
        compare::edit_factor(&mut desk.session, Field::RollChange, typed);
        let entry = shown(&desk, new).factors[0].clone();
        assert_eq!(entry.text, typed);
        assert!(!entry.error.is_empty(), "{typed}");
    }
    let factors = desk.session.book().get(desk.line).unwrap().body.factors;
    assert_eq!(factors.roll_change, Some(minutes(4.0)));
    compare::edit_factor(&mut desk.session, Field::RollChange, "");
    let factors = desk.session.book().get(desk.line).unwrap().body.factors;
    assert_eq!(factors.roll_change, None, "blank takes it away");
}

#[test]
fn the_way_of_travel_and_the_friction_stand_on_the_line() {
    let mut desk = Desk::new();
    let scope = Scope::Setup(desk.setup);
    desk.session.go(Place::Results {
        scope,
        method: METHOD,
    });
    let travel = |desk: &Desk| desk.session.book().get(desk.line).unwrap().body.travel;
    let view = |desk: &Desk| results::view(&desk.session, scope, METHOD).unwrap();
    assert_eq!(view(&desk).way, Way::Road);
    assert_eq!(travel(&desk).transport, None, "not asked is not road");
    results::pick_way(&mut desk.session, Way::Rail);
    let picked = last(desk.session.book(), "edit_travel");
    results::edit_friction(&mut desk.session, "0.3");
    assert_eq!(travel(&desk).transport, Some(Transport::RailShunting));
    assert_eq!(travel(&desk).friction, Some(0.3));

    undo(&mut desk, picked);
    let mut desk = desk.reopen();
    assert_eq!(view(&desk).way, Way::Road);
    assert_eq!(view(&desk).friction.text, "0.3");

    for typed in ["1.1", "-0.1", "30 %"] {
        results::edit_friction(&mut desk.session, typed);
        let entry = view(&desk).friction;
        assert_eq!(entry.text, typed);
        assert!(!entry.error.is_empty(), "{typed}");
    }
    assert_eq!(travel(&desk).friction, Some(0.3));
}
