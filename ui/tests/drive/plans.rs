//! Results, Compare and Plan driven on the sample surveys.

use tautbook_core::book::{Book, Clock, OpenMode, SystemClock};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::survey::{
    Id, Line, Load, Setup, SetupRole, Target, TargetForce, TargetOrigin, Zone,
};
use tautbook_core::units::MethodId;
use tautbook_ui::place::{Place, Scope};
use tautbook_ui::session::Session;

use crate::Folder;
use crate::hand::{self, Hand};

pub(crate) const TILES: &str = include_str!("../../../sample-surveys/tile-maker.json");
const BOTTLES: &str = include_str!("../../../sample-surveys/bottling-plant.json");
const PARTS: &str = include_str!("../../../sample-surveys/parts-warehouse.json");

/// A book with one sample survey, and the id of its first line.
fn book_of(folder: &Folder, survey: &str) -> Id<Line> {
    let clock: Box<dyn Clock> = Box::new(SystemClock);
    let (mut book, _) = Book::open(&folder.book(), OpenMode::OpenOrStart, clock).unwrap();
    let records = RecordsFile::read(survey.as_bytes()).unwrap().records;
    book.import(&records).unwrap();
    records.lines[0].id
}

/// The app on that book, at the line.
pub(crate) fn at_line(
    folder: &Folder,
    survey: &str,
) -> (Hand, Vec<(Id<Setup>, String, SetupRole)>) {
    let line = book_of(folder, survey);
    let mut hand = Hand::on(&folder.book());
    let setups = hand.app.look(|session| {
        session
            .book()
            .children::<Setup, _>(line)
            .unwrap()
            .into_iter()
            .map(|setup| (setup.id, setup.name.clone(), setup.role))
            .collect()
    });
    let customer = hand.visits()[0].customer.clone();
    let row = |hand: &Hand, text: &str| {
        hand.labels()
            .into_iter()
            .find(|label| label.contains(text) && label.contains(". "))
            .unwrap_or_else(|| panic!("{text}: {:?}", hand.labels()))
    };
    hand.whole_form();
    let visit = row(&hand, &customer);
    hand.press_label(&visit);
    let name = hand
        .app
        .look(|session| session.book().get(line).unwrap().name.clone());
    let row = row(&hand, &name);
    hand.press_label(&row);
    assert_eq!(hand.app.look(Session::here), Place::Line(line));
    (hand, setups)
}

pub(crate) fn said(hand: &Hand, text: &str) -> bool {
    hand.labels().iter().any(|label| label.contains(text))
}

#[test]
fn every_sample_shows_its_results_comparison_and_plan() {
    for (name, survey) in [("tiles", TILES), ("bottles", BOTTLES), ("parts", PARTS)] {
        let folder = Folder::new();
        let (mut hand, setups) = at_line(&folder, survey);
        hand.keep_picture(&format!("{name}-line"));
        hand.press_label("Plan");
        assert!(matches!(hand.app.look(Session::here), Place::Plan { .. }));
        hand.size((360.0, 5200.0));
        hand.keep_picture(&format!("{name}-plan"));
        hand.press_label("Back");
        if setups.len() > 1 {
            hand.press_label("Compare");
            hand.size((360.0, 5200.0));
            hand.keep_picture(&format!("{name}-compare"));
            hand.press_label("Back");
        }
        for (id, setup, _) in &setups {
            let id = *id;
            hand.app.act(move |session| session.go(Place::Setup(id)));
            hand.settle();
            hand.press_label("Results of this setup");
            for method in ["Torsion tool", "Pull plate"] {
                hand.press_label(method);
                hand.size((360.0, 7200.0));
                hand.keep_picture(&format!("{name}-{setup}-{method}"));
                for wrong in ["NaN", "inf ", "-0 "] {
                    assert!(!said(&hand, wrong), "{name} {setup} {method} says {wrong}");
                }
            }
            hand.press_label("Back");
            hand.press_label("Back");
        }
    }
}

#[test]
fn a_margin_is_kept_and_said_to_come_late() {
    let folder = Folder::new();
    let (mut hand, _) = at_line(&folder, TILES);
    hand.press_label("Compare");
    assert!(said(&hand, "Not judged"), "{:?}", hand.labels());
    hand.write("The new setup may hold less by, at most", "8 oz");
    hand.enter();
    assert!(
        said(&hand, "Chosen after the new setup was read"),
        "{:?}",
        hand.labels()
    );
    let here = hand.app.look(Session::here);
    std::mem::forget(hand);
    let hand = Hand::on(&folder.book());
    assert_eq!(hand.app.look(Session::here), here, "reopened after a kill");
    hand.whole_form();
    assert_eq!(
        hand.value("The new setup may hold less by, at most"),
        "8 oz"
    );
}

#[test]
fn a_plan_survives_a_kill_and_becomes_a_trial_in_one_press() {
    let folder = Folder::new();
    let (mut hand, setups) = at_line(&folder, TILES);
    hand.press_label("Plan");
    hand.press_label("80 %");
    let here = hand.app.look(Session::here);
    std::mem::forget(hand);
    let mut hand = Hand::on(&folder.book());
    assert_eq!(hand.app.look(Session::here), here);
    // Another film force than the loads were read with; the pitch is in the unit of the panel.
    assert!(said(&hand, "there it is a guess") && said(&hand, "at a guess "));
    assert!(!said(&hand, "80 % sure to reach") && !said(&hand, "80 % sure of"));
    assert!(said(&hand, "200 mm a turn up"), "{:?}", hand.labels());
    hand.size(hand::PHONE);
    hand.keep_picture("plan-reopened");
    hand.press_label("Try this setup");
    let Place::Setup(made) = hand.app.look(Session::here) else {
        panic!("on {:?}", hand.app.look(Session::here))
    };
    assert!(setups.iter().all(|(id, ..)| *id != made));
    let trial = hand.app.look(|session| session.book().get(made).unwrap());
    assert_eq!(trial.role, SetupRole::Trial);
    let planned = trial.planned.as_ref().unwrap();
    assert_eq!(planned.method, MethodId::TorsionTool);
    assert!((planned.confidence - 0.8).abs() < 1e-12);
    assert!(planned.film.is_some());
    hand.whole_form();
    assert!(
        said(&hand, "Planned. Agree with the customer first"),
        "{:?}",
        hand.labels()
    );
    hand.keep_picture("setup-planned");
    assert!(
        hand.app
            .look(|session| session.book().verify().unwrap().faults.is_empty())
    );
}

#[test]
fn what_the_panel_allows_is_kept_once_it_is_whole() {
    let folder = Folder::new();
    let (mut hand, _) = at_line(&folder, TILES);
    hand.press_label("Plan");
    hand.size((360.0, 5200.0));
    hand.write("Bottom turns, least", "1");
    hand.enter();
    let limits = |hand: &Hand| {
        hand.app.look(|session| {
            let Place::Plan { setup, .. } = session.here() else {
                panic!("left the plan")
            };
            let line = session.book().get(setup).unwrap().line;
            session.book().get(line).unwrap().body.wrapper.limits
        })
    };
    hand.write("Bottom turns, most", "4");
    hand.write("Bottom turns, step", "0.5");
    hand.enter();
    let kept = limits(&hand).bottom_turns.unwrap();
    assert!((kept.least - 1.0).abs() < 1e-12 && (kept.most - 4.0).abs() < 1e-12);
    hand.press_label("One pitch serves both ways");
    assert!(limits(&hand).same_pitch_both_ways);
}

/// At the results of the first setup by the torsion tool, the whole page of them.
fn at_results(folder: &Folder) -> Hand {
    let (hand, setups) = at_line(folder, TILES);
    let id = setups[0].0;
    hand.app.act(move |session| {
        session.go(Place::Results {
            scope: Scope::Setup(id),
            method: MethodId::TorsionTool,
        });
    });
    hand.settle();
    hand.size((360.0, 7200.0));
    hand
}

#[test]
fn what_the_app_writes_in_a_field_is_not_taken_for_the_persons_word() {
    let folder = Folder::new();
    let mut hand = at_results(&folder);
    let targets = |hand: &Hand| -> Vec<Target> {
        hand.app.look(|session| {
            let line = session.book().all::<Line>().unwrap()[0].clone();
            let all = session.book().children::<Target, _>(line.visit).unwrap();
            let own = all.into_iter().filter(|target| target.line.is_some());
            own.map(|target| target.body).collect()
        })
    };
    // Loads that shipped well have set a target for the other tool.
    hand.app.act(|session| {
        let line = session.book().all::<Line>().unwrap()[0].clone();
        let loads = session.book().all::<Load>().unwrap();
        let first = loads.iter().map(|load| load.id).cycle();
        let target = Target {
            visit: line.visit,
            line: Some(line.id),
            zone: Zone::Top,
            stability: None,
            face_length: None,
            minimum: TargetForce::new(MethodId::PullPlate, "31 N".parse().unwrap()),
            origin: TargetOrigin::ShippedLoads {
                loads: first.take(12).collect(),
            },
        };
        session.add("set_target", target).unwrap();
    });
    hand.settle();
    let before = targets(&hand);
    assert_eq!(before.len(), 1);
    hand.press_label("Top, at least");
    hand.press_label("Pull plate");
    hand.whole_form();
    assert_eq!(hand.value("Top, at least"), "31 N");
    hand.enter();
    hand.press_label("Back");
    assert_eq!(targets(&hand), before, "nothing was typed");
}

#[test]
fn evidence_leads_to_its_records_and_back() {
    let folder = Folder::new();
    let mut hand = at_results(&folder);
    let here = hand.app.look(Session::here);
    let why = hand.labelled("Why, and what shows it");
    hand.tap_first(&why);
    let link = hand
        .labels()
        .into_iter()
        .find(|label| label.ends_with(" readings. ") || label.ends_with(" reading. "));
    let link = link.unwrap_or_else(|| panic!("{:?}", hand.labels()));
    let found = hand.labelled(&link);
    hand.tap_first(&found);
    assert!(matches!(hand.app.look(Session::here), Place::Load(_)));
    hand.press_label("Back");
    assert_eq!(hand.app.look(Session::here), here);
}

#[test]
fn findings_past_the_third_are_shown_and_put_away_again() {
    let folder = Folder::new();
    let mut hand = at_results(&folder);
    let cards = |hand: &Hand| hand.labelled("Why, and what shows it").len();
    assert_eq!(cards(&hand), 3);
    let more = hand
        .labels()
        .into_iter()
        .find(|label| label.starts_with("Show ") && label.contains(" finding"))
        .unwrap_or_else(|| panic!("{:?}", hand.labels()));
    hand.press_label(&more);
    let all = cards(&hand);
    assert!(all > 3, "{all}");
    hand.keep_picture("results-all-findings");
    hand.press_label("Show fewer findings");
    assert_eq!(cards(&hand), 3);
}
