//! Going about: searching, going on, what is remembered, the clock.

use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::survey::{Kind, Line, RecordRef};
use tautbook_core::units::MethodId;
use tautbook_ui::place::{Place, Scope};
use tautbook_ui::presenters::{arrivals, load, today, visit};
use tautbook_ui::session::Tone;

use crate::{Desk, at};

fn hits(desk: &mut Desk, text: &str) -> Vec<today::Hit> {
    desk.session.draft(today::SEARCH, text);
    today::view(&desk.session).unwrap().hits.unwrap_or_default()
}

#[test]
fn what_was_written_is_found_from_today_and_opened() {
    let mut desk = Desk::new();
    desk.session.go(Place::Load(desk.load));
    let id = desk.load;
    load::edit(
        &mut desk.session,
        id,
        load::Field::Damage,
        "corner crushed on the dock side",
    );
    desk.session.go_by(Vec::new());
    assert_eq!(desk.session.here(), Place::Today);
    let view = today::view(&desk.session).unwrap();
    assert_eq!(view.hits, None, "nothing searched for is not nothing found");
    assert_eq!(view.visits.len(), 1);

    let found = hits(&mut desk, "crush dock");
    assert_eq!(found.len(), 1);
    assert!(found[0].text.contains("corner crushed"));
    assert!(found[0].visit.contains("Harrow Tile"), "{}", found[0].visit);
    today::open_hit(&mut desk.session, found[0].record);
    assert_eq!(desk.session.here(), Place::Load(desk.load));
    let way: Vec<Place> =
        std::iter::from_fn(|| desk.session.back().then(|| desk.session.here())).collect();
    assert_eq!(
        way,
        [
            Place::Setup(desk.setup),
            Place::Line(desk.line),
            Place::Visit(desk.visit),
            Place::Today
        ]
    );
    for odd in ["\"", "*", "a OR", "NEAR(", "\u{1f4e6}", "-", "a:b", "' --"] {
        hits(&mut desk, odd);
    }
    assert!(hits(&mut desk, "nothing like it").is_empty());

    let line = RecordRef {
        kind: Kind::Line,
        id: desk.line.uuid(),
    };
    desk.session.set_aside(line, "counted twice", String::new());
    assert!(
        hits(&mut desk, "crush dock").is_empty(),
        "its line was set aside"
    );
    desk.session.act_on_notice();
    assert_eq!(hits(&mut desk, "crush dock").len(), 1, "and is back");
}

#[test]
fn going_on_leads_back_unless_the_place_is_gone() {
    let mut desk = Desk::new();
    assert_eq!(today::view(&desk.session).unwrap().last_place, "");
    desk.session.go_by(vec![
        Place::Visit(desk.visit),
        Place::Line(desk.line),
        Place::Setup(desk.setup),
        Place::Load(desk.load),
    ]);
    load::read_by(&mut desk.session, desk.load, MethodId::PullPlate);
    let here = desk.session.here();
    desk.session.go_by(Vec::new());
    let last = today::view(&desk.session).unwrap().last_place;
    assert!(last.contains("Load 1"), "{last}");
    let mut desk = desk.reopen();
    assert_eq!(desk.session.here(), Place::Today);
    today::go_on(&mut desk.session);
    assert_eq!(desk.session.here(), here);

    // Set aside by another hand meanwhile: the nearest place that is left.
    desk.session.go_by(Vec::new());
    let (mut other, _) =
        Book::open(&desk.path(), OpenMode::Existing, Box::new(SystemClock)).unwrap();
    let load = desk.load;
    other
        .act("set_aside", |act| act.set_aside(load, "not ours"))
        .unwrap();
    assert_eq!(today::view(&desk.session).unwrap().last_place, "");
    today::go_on(&mut desk.session);
    assert_eq!(desk.session.here(), Place::Setup(desk.setup));
}

#[test]
fn a_place_whose_record_is_gone_is_left_on_opening() {
    let mut desk = Desk::new();
    desk.session
        .go_by(vec![Place::Visit(desk.visit), Place::Line(desk.line)]);
    let line = desk.line;
    let (mut other, _) =
        Book::open(&desk.path(), OpenMode::Existing, Box::new(SystemClock)).unwrap();
    other
        .act("set_aside", |act| act.set_aside(line, "not ours"))
        .unwrap();
    drop(other);
    let desk = desk.reopen();
    assert_eq!(desk.session.here(), Place::Visit(desk.visit));
}

#[test]
fn setting_aside_goes_back_and_can_be_taken_back() {
    let mut desk = Desk::new();
    desk.session
        .go_by(vec![Place::Visit(desk.visit), Place::Line(desk.line)]);
    let record = desk.session.book().get(desk.line).unwrap().reference();
    desk.session
        .set_aside(record, "set aside by hand", "Set aside.".to_owned());
    assert_eq!(desk.session.here(), Place::Visit(desk.visit));
    let lines = |desk: &Desk| {
        desk.session
            .book()
            .children::<Line, _>(desk.visit)
            .unwrap()
            .len()
    };
    assert_eq!(lines(&desk), 0);
    desk.session.act_on_notice();
    assert_eq!(lines(&desk), 1);
    desk.session.act_on_notice();
    assert_eq!(lines(&desk), 1, "the button is used up");
}

#[test]
fn a_question_is_gone_with_the_place_it_was_asked_at() {
    let mut desk = Desk::new();
    let (visit, line, setup) = (desk.visit, desk.line, desk.setup);
    desk.session.go_by(vec![
        Place::Visit(visit),
        Place::Line(line),
        Place::Setup(setup),
        Place::Load(desk.load),
    ]);
    let id = desk.load;
    load::ask_set_aside(&mut desk.session, id);
    assert!(desk.session.question().is_some());
    // Other programs send a day file, and one more: each is said to be none.
    for file in ["one.zip", "two.zip"] {
        let file = desk.path().with_file_name(file);
        std::fs::write(&file, "no day file").unwrap();
        arrivals::day_file_sent(&mut desk.session, file);
        assert_eq!(desk.session.here(), Place::Send);
        assert_eq!(desk.session.question(), None);
    }
    assert!(desk.session.back());
    assert_eq!(desk.session.here(), Place::Load(desk.load), "back once");
}

#[test]
fn setting_aside_leaves_every_place_that_goes_with_it() {
    let mut desk = Desk::new();
    // A finding on the results leads to the load once more.
    desk.session.go_by(vec![
        Place::Visit(desk.visit),
        Place::Line(desk.line),
        Place::Setup(desk.setup),
        Place::Load(desk.load),
        Place::Results {
            scope: Scope::Load(desk.load),
            method: MethodId::PullPlate,
        },
        Place::Load(desk.load),
    ]);
    let record = desk.session.book().get(desk.load).unwrap().reference();
    desk.session
        .set_aside(record, "set aside by hand", "Set aside.".to_owned());
    assert_eq!(desk.session.here(), Place::Setup(desk.setup));
    assert_eq!(desk.said().unwrap().1, "Set aside.");
}

#[test]
fn a_clock_set_back_is_said_on_opening() {
    let desk = Desk::new();
    assert_eq!(desk.said(), None);
    for (back_ms, span) in [
        (90_000, "1 minute"),
        (30 * 60_000, "30 minutes"),
        (5 * 3_600_000, "5 hours"),
        (72 * 3_600_000, "3 days"),
    ] {
        let desk = Desk::new().reopen_at(at(-back_ms));
        let (tone, text) = desk.said().unwrap();
        assert_eq!(tone, Tone::Warning);
        assert!(text.contains(span), "{text}");
        assert!(text.contains("Check the date and time"), "{text}");
    }
}

#[test]
fn the_history_says_who_also_after_opening_again() {
    let mut desk = Desk::new();
    desk.session.go(Place::Visit(desk.visit));
    let id = desk.visit;
    visit::edit(&mut desk.session, id, visit::Field::Rep, "R. Moss");
    let mut desk = desk.reopen();
    visit::edit(&mut desk.session, id, visit::Field::Site, "Dock Road");
    let last = desk.session.book().actions(1).unwrap().remove(0);
    assert_eq!(last.who, "R. Moss");
}
