//! The screens driven by presses and keys on the real book: a visit from its start to its results,
//! and what happens when the app is killed on the way.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

#[path = "../backend/mod.rs"]
mod backend;
mod faults;
mod film;
mod hand;
mod language;
mod photos;
mod plans;
mod samples;
mod send;
mod tools;
mod trial;
mod visits;
mod work;

use std::path::PathBuf;

use hand::Hand;
use slint::ComponentHandle;
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::book::Which;
use tautbook_core::survey::{FilmWeight, Id, Line, Load, Reading, Setup, Target, Visit};
use tautbook_core::units::{MethodId, TorsionTool};
use tautbook_ui::place::Place;

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }
    fn book(&self) -> PathBuf {
        self.0.path().join("book.taut")
    }
}

/// From an empty book to the Read screen of the first load.
fn to_read(hand: &mut Hand) {
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.write("Customer", "Harrow Tile");
    hand.write("Site", "Kiln Lane");
    hand.press("VisitScreen::add");
    hand.press("LineScreen::add");
    hand.press("SetupScreen::add");
    hand.size(hand::PHONE);
    hand.press("LoadScreen::read");
}

fn the_load(hand: &Hand) -> Id<Load> {
    match hand.app.look(tautbook_ui::session::Session::here) {
        Place::Read { load, .. } | Place::Load(load) | Place::Weigh(load) => load,
        place => panic!("on {place:?}"),
    }
}

fn readings(hand: &Hand) -> Vec<(String, Option<ZoneName>)> {
    let load = the_load(hand);
    hand.app.look(|session| {
        session
            .book()
            .children::<Reading, _>(load)
            .unwrap()
            .iter()
            .map(|reading| {
                (
                    reading.measure.entered().to_owned(),
                    ZoneName::of(&reading.zone),
                )
            })
            .collect()
    })
}

#[test]
fn a_visit_from_its_start_to_its_results() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);

    let visits = hand.visits();
    assert_eq!(visits.len(), 1);
    assert_eq!(
        visits[0].customer, "Harrow Tile",
        "kept on going on, without Enter"
    );
    assert_eq!(visits[0].site, "Kiln Lane");

    // Nine readings: three rounds of top, middle and bottom.
    let before = hand.taps;
    let typed = [
        ["1", "2", "lb", "6"],
        ["1", "1", "lb", "4"],
        ["1", "0", "lb", "8"],
    ];
    for round in 0..3 {
        for keys in &typed {
            let said = hand.labels();
            assert!(!said.iter().any(|label| label.contains("are read")));
            hand.keys(keys);
            hand.keep_picture(&format!("read-typing-{round}"));
            hand.press("Keypad::save-key");
        }
    }
    let told = |hand: &Hand| {
        let next = "All 9 are read. Next: weigh the film.";
        hand.labels().iter().any(|label| label == next)
    };
    assert!(told(&hand), "{:?}", hand.labels());
    assert!(
        hand.taps - before <= 9 * 5,
        "{} taps for nine readings",
        hand.taps - before
    );
    let kept = readings(&hand);
    assert_eq!(kept.len(), 9);
    assert_eq!(kept[0], ("12 lb 6 oz".to_owned(), Some(ZoneName::Top)));
    assert_eq!(kept[1], ("11 lb 4 oz".to_owned(), Some(ZoneName::Middle)));
    assert_eq!(kept[2], ("10 lb 8 oz".to_owned(), Some(ZoneName::Bottom)));
    assert_eq!(kept[8], ("10 lb 8 oz".to_owned(), Some(ZoneName::Bottom)));
    assert_eq!(hand.device.buzzes.get(), 9);
    assert!(hand.device.screen_on.get());
    let load = the_load(&hand);
    hand.app.look(|session| {
        let readings = session.book().children::<Reading, _>(load).unwrap();
        assert!(
            readings
                .iter()
                .all(|reading| reading.measure.method() == MethodId::TorsionTool)
        );
        let faces: std::collections::BTreeSet<_> =
            readings.iter().map(|reading| reading.face).collect();
        assert_eq!(faces.len(), 3, "each round on a face of its own");
    });

    // The film of three loads, with a bag.
    hand.press_label("Back");
    hand.press("LoadScreen::weigh");
    hand.keep_picture("weigh-caution");
    hand.whole_form();
    hand.press_label("I have read this");
    hand.press_label("One more: Loads weighed together");
    hand.press_label("One more: Loads weighed together");
    hand.size(hand::PHONE);
    hand.press("WeighPage::start");
    hand.keys(&["1", "lb", "1"]);
    hand.keep_picture("weigh-gross");
    hand.press("Keypad::save-key");
    hand.keys(&["lb", "1"]);
    hand.press("Keypad::save-key");
    hand.keep_picture("weigh-kept");
    hand.app.look(|session| {
        let weights = session.book().children::<FilmWeight, _>(load).unwrap();
        assert_eq!(weights.len(), 1);
        assert_eq!(weights[0].gross.text, "1 lb 1 oz");
        assert_eq!(weights[0].tare.as_ref().unwrap().text, "1 oz");
        assert_eq!(weights[0].loads_together, 3);
    });

    // Results: first without a target, then with the customer's own.
    hand.press_label("Back");
    hand.whole_form();
    hand.press_label("Results. Each zone against its target. ");
    let said = hand.labels();
    assert!(
        said.iter().any(|label| label == "Top: No target set"),
        "{said:?}"
    );
    hand.write("Top, at least", "12-0");
    hand.write("Middle, at least", "12");
    hand.write("Bottom, at least", "10 lb 8 oz");
    hand.enter();
    let said = hand.labels();
    assert!(
        said.iter().any(|label| label == "Top: Reaches target"),
        "{said:?}"
    );
    assert!(
        said.iter().any(|label| label == "Middle: Below target"),
        "{said:?}"
    );
    assert!(
        said.iter()
            .any(|label| label == "Bottom: Reaches, not sure yet"),
        "{said:?}"
    );
    hand.size(hand::PHONE);
    hand.keep_picture("results");
    // The film of the only load is weighed: what comes next is a plan.
    hand.press_label("Plan with less film");
    let there = hand.app.look(tautbook_ui::session::Session::here);
    assert!(matches!(there, Place::Plan { .. }), "{there:?}");
    let visit = hand.visits()[0].id;
    hand.app.look(|session| {
        let targets = session.book().children::<Target, _>(visit).unwrap();
        assert_eq!(targets.len(), 3);
        let minimum = targets[0].minimum.minimum::<TorsionTool>().unwrap();
        assert!((minimum.force().lbf() - 12.0).abs() < 1e-12);
        assert!(session.book().verify().unwrap().faults.is_empty());
    });
}

#[test]
fn after_a_kill_the_app_is_where_it_was_with_what_was_typed() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.keys(&["1", "2", "lb", "6"]);
    hand.press("Keypad::save-key");
    hand.keys(&["9", "lb"]);
    let here = hand.app.look(tautbook_ui::session::Session::here);
    let picture = hand.picture();
    std::mem::forget(hand); // A killed process closes nothing.

    let mut hand = Hand::on(&folder.book());
    assert_eq!(hand.app.look(tautbook_ui::session::Session::here), here);
    assert!(
        hand.picture().as_bytes() == picture.as_bytes(),
        "the same screen"
    );
    hand.keys(&["3"]);
    hand.press("Keypad::save-key");
    let kept: Vec<String> = readings(&hand)
        .into_iter()
        .map(|(value, _)| value)
        .collect();
    assert_eq!(kept, ["12 lb 6 oz", "9 lb 3 oz"]);
}

#[test]
fn half_a_name_survives_a_kill_and_is_kept_on_going_on() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.write("Customer", "Harro");
    assert_eq!(
        hand.visits()[0].customer,
        "",
        "not kept before it was settled"
    );
    std::mem::forget(hand);

    let mut hand = Hand::on(&folder.book());
    hand.whole_form();
    assert_eq!(hand.value("Customer"), "Harro");
    hand.press_label("Back");
    assert_eq!(hand.visits()[0].customer, "Harro");
}

#[test]
fn a_wrong_value_is_explained_and_stays_to_be_corrected() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.press("Keypad::save-key");
    assert!(readings(&hand).is_empty(), "blank is not zero");

    hand.keys(&["7", "lb", "1", "6"]);
    hand.press("Keypad::save-key");
    hand.keep_picture("read-sixteen-ounces");
    assert!(readings(&hand).is_empty(), "sixteen ounces are refused");
    let error = hand
        .window
        .global::<tautbook_ui::screens::ReadAdapter>()
        .get_error();
    assert!(error.contains("8 lb"), "{error}");
    hand.press("Keypad::erase-key");
    hand.press("Keypad::erase-key");
    hand.keys(&["8"]);
    hand.press("Keypad::save-key");
    assert_eq!(readings(&hand)[0].0, "7 lb 8 oz");
}

#[test]
fn an_absurd_value_is_asked_about_and_not_refused() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.keys(&["5", "0", "0"]);
    hand.press("Keypad::save-key");
    hand.keep_picture("read-question");
    assert!(readings(&hand).is_empty(), "asked before it is kept");
    hand.press_label("Correct it");
    assert!(readings(&hand).is_empty());
    for _ in 0..2 {
        hand.press("Keypad::erase-key");
    }
    hand.press("Keypad::save-key");
    assert_eq!(
        readings(&hand)[0].0,
        "5 lb",
        "what was typed stayed to be corrected"
    );
    hand.keys(&["5", "0", "0"]);
    hand.press("Keypad::save-key");
    hand.press_label("Keep it");
    assert_eq!(readings(&hand)[1].0, "500 lb");
}

#[test]
fn undo_sets_the_last_reading_aside_and_can_be_taken_back() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    for pounds in ["8", "9"] {
        hand.keys(&[pounds]);
        hand.press("Keypad::save-key");
    }
    hand.press_label("Undo the last reading");
    hand.keep_picture("read-undone");
    assert_eq!(readings(&hand).len(), 1);
    let load = the_load(&hand);
    let all = hand.app.look(|session| {
        session
            .book()
            .children_which::<Reading, _>(load, Which::All)
            .unwrap()
    });
    assert_eq!(all.len(), 2, "it is in the book still");
    hand.press_label("Bring back");
    assert_eq!(readings(&hand).len(), 2);
}

#[test]
fn any_reading_is_set_aside_and_brought_back_a_kill_between() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    for pounds in ["8", "9", "7"] {
        hand.keys(&[pounds]);
        hand.press("Keypad::save-key");
    }
    hand.press_label("Back");
    hand.whole_form();
    hand.press_label("One by one. Each reading and weighing; to set one aside. ");
    // It asks why, and nothing is done before that is said.
    hand.press_label("Set aside Middle, front, 9 lb");
    hand.keep_picture("records-why");
    assert!(
        hand.labels()
            .iter()
            .all(|label| !label.starts_with("Bring back"))
    );
    hand.press_label("It counts: Middle, front, 9 lb");
    hand.press_label("Set aside Middle, front, 9 lb");
    hand.press_label("The tool slipped: Middle, front, 9 lb");
    hand.keep_picture("records");
    assert!(
        hand.labels()
            .iter()
            .any(|label| label.starts_with("Set aside ") && label.ends_with(": the tool slipped")),
        "{:?}",
        hand.labels()
    );
    hand.press_label("Close");
    hand.press_label("Back");
    assert_eq!(
        readings(&hand),
        [
            ("8 lb".to_owned(), Some(ZoneName::Top)),
            ("7 lb".to_owned(), Some(ZoneName::Bottom))
        ]
    );
    std::mem::forget(hand);

    let mut hand = Hand::on(&folder.book());
    hand.whole_form();
    hand.press_label("One by one. 1 set aside. ");
    hand.press_label("Bring back Middle, front, 9 lb");
    hand.press_label("Undo");
    hand.press_label("Bring back Middle, front, 9 lb");
    hand.press_label("Close");
    hand.press_label("Back");
    assert_eq!(readings(&hand).len(), 3);
}

#[test]
fn a_load_set_aside_is_found_again_from_today() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.keys(&["8"]);
    hand.press("Keypad::save-key");
    hand.press_label("Back");
    hand.whole_form();
    let load = the_load(&hand);
    for thing in ["load", "setup"] {
        hand.press_label(&format!("Set this {thing} aside"));
        hand.press_label("Set aside");
        hand.press_label("Close");
    }
    for _ in 0..2 {
        hand.press_label("Back");
    }
    let to_list = "What was set aside. It left the lists; here it is brought back. ";
    hand.press_label(to_list);
    hand.press_label("Bring back Load 1 (load)");
    let hidden = hand.app.look(|session| session.notice().cloned()).unwrap();
    assert!(
        hidden
            .text
            .starts_with("Load 1 (load): back, and not to be seen yet."),
        "{}",
        hidden.text
    );
    // Its card stays, with nothing to press: the next one does not slide under the thumb.
    assert!(hand.labels().iter().any(|it| it == "Load 1 (load)"));
    hand.press_label("Bring back As found (setup)");
    let back = hand.app.look(|session| session.notice().cloned()).unwrap();
    assert_eq!(back.text, "As found (setup): back in its place.");
    let more = hand.labels();
    assert!(
        !more.iter().any(|it| it.starts_with("Bring back ")),
        "{more:?}"
    );
    hand.press_label("Close");
    hand.press_label("Done");
    hand.press_label(to_list);
    assert!(hand.labels().iter().any(|it| it == "Nothing is set aside."));
    hand.app.look(|session| {
        let readings = session.book().children::<Reading, Load>(load).unwrap();
        assert_eq!(readings.len(), 1);
        assert!(session.book().is_in_use(readings[0].reference()).unwrap());
    });
}

#[test]
fn the_two_methods_keep_their_own_readings_and_digits() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.keys(&["8"]);
    hand.press("Keypad::save-key");
    hand.keys(&["9"]);
    hand.press_label("Tool: Torsion tool. Press to change.");
    hand.keep_picture("read-pull-plate");
    hand.keys(&["1", "4"]);
    hand.press("Keypad::save-key");
    hand.press_label("Tool: Pull plate. Press to change.");
    hand.press("Keypad::save-key");
    let load = the_load(&hand);
    let kept: Vec<(MethodId, String, u32)> = hand.app.look(|session| {
        session
            .book()
            .children::<Reading, _>(load)
            .unwrap()
            .iter()
            .map(|reading| {
                (
                    reading.measure.method(),
                    reading.measure.entered().to_owned(),
                    reading.order,
                )
            })
            .collect()
    });
    assert_eq!(
        kept,
        [
            (MethodId::TorsionTool, "8 lb".to_owned(), 1),
            (MethodId::PullPlate, "14 lb".to_owned(), 1),
            (MethodId::TorsionTool, "9 lb".to_owned(), 2),
        ]
    );
}

#[test]
fn a_wrong_unit_in_a_form_is_explained_under_its_field() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.press_label("Back");
    hand.whole_form();
    hand.write("Length", "48 kg");
    hand.enter();
    let load = the_load(&hand);
    let length = |hand: &Hand| {
        hand.app
            .look(|session| session.book().get(load).unwrap().body.length)
    };
    assert_eq!(length(&hand), None);
    let described = hand.labelled("Length")[0].accessible_description().unwrap();
    assert!(described.contains("kg measures"), "{described}");
    assert_eq!(hand.value("Length"), "48 kg", "what was typed stays");
    hand.keep_picture("load-wrong-unit");
    hand.write("Length", "4 ft");
    hand.enter();
    assert!((length(&hand).unwrap().value.inches() - 48.0).abs() < 1e-9);
}

#[test]
fn a_line_set_aside_leaves_the_list_and_comes_back() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.press("VisitScreen::add");
    hand.press_label("Set this line aside");
    hand.press_label("Set aside");
    let visit: Id<Visit> = hand.visits()[0].id;
    let lines = |hand: &Hand| {
        hand.app
            .look(|session| session.book().children::<Line, _>(visit).unwrap().len())
    };
    assert_eq!(lines(&hand), 0);
    assert_eq!(
        hand.app.look(tautbook_ui::session::Session::here),
        Place::Visit(visit)
    );
    hand.press_label("Bring back");
    assert_eq!(lines(&hand), 1);
}

#[test]
fn a_second_setup_starts_from_the_first_as_a_trial() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.press("VisitScreen::add");
    hand.press("LineScreen::add");
    hand.press_label("One more: Bottom turns");
    hand.press_label("One more: Bottom turns");
    hand.write("Pitch up", "9 in");
    hand.press_label("Back");
    hand.press("LineScreen::add");
    let Place::Setup(trial) = hand.app.look(tautbook_ui::session::Session::here) else {
        panic!("no setup")
    };
    let trial: Setup = hand
        .app
        .look(|session| session.book().get(trial).unwrap().body);
    assert_eq!(trial.name, "Trial 1");
    assert_eq!(trial.settings.bottom_turns, Some(2.0));
    assert!(trial.settings.up.is_some(), "{:?}", trial.settings);
}

#[test]
fn what_was_written_is_found_and_opens_its_place() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.press_label("Back");
    hand.whole_form();
    hand.write("Damage seen", "corner crushed on the dock side");
    for _ in 0..4 {
        hand.press_label("Back");
    }
    assert_eq!(
        hand.app.look(tautbook_ui::session::Session::here),
        Place::Today
    );
    hand.write("Search every visit", "crush dock");
    hand.keep_picture("today-found");
    let hit = hand
        .labels()
        .into_iter()
        .find(|label| label.contains("corner crushed"))
        .unwrap_or_else(|| panic!("{:?}", hand.labels()));
    hand.press_label(&hit);
    assert!(matches!(
        hand.app.look(tautbook_ui::session::Session::here),
        Place::Load(_)
    ));
}
