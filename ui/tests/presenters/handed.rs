//! Pages that are made about a visit: whose they are, and how they were made.

use std::time::Duration;

use tautbook_core::language::Language;
use tautbook_core::report::Paper;
use tautbook_core::survey::{Id, Line, Visit};
use tautbook_ui::presenters::{report, send};
use tautbook_ui::session::Session;

use crate::Desk;

fn waited(session: &mut Session) {
    while session.awaits() {
        std::thread::sleep(Duration::from_millis(5));
        session.take_up();
    }
}

/// The visit of another customer.
fn another(desk: &mut Desk) -> Id<Visit> {
    let visit = desk.session.book().get(desk.visit).unwrap();
    let mut body = visit.body;
    body.customer = "Marl Bakery".to_owned();
    let other = desk.session.add("start_visit", body).unwrap().id;
    desk.session.add("line", Line::new(other, "Line 9"));
    other
}

fn made(desk: &Desk, visit: Id<Visit>) -> Option<String> {
    let view = report::view(&desk.session, visit).unwrap();
    view.made.map(|made| made.name)
}

#[test]
fn a_report_is_shown_with_its_own_visit_alone() {
    let mut desk = Desk::new();
    let (ours, theirs) = (desk.visit, another(&mut desk));
    report::open(&mut desk.session, ours);
    report::make(&mut desk.session, ours);
    // Gone on to the next customer before it is made.
    desk.session.back();
    report::open(&mut desk.session, theirs);
    let view = report::view(&desk.session, theirs).unwrap();
    assert_eq!(view.working, None, "nothing is made of this one");
    waited(&mut desk.session);
    assert_eq!(made(&desk, theirs), None);
    let name = made(&desk, ours).unwrap();
    assert!(name.contains("harrow-tile"), "{name}");

    // Each keeps its own, also over an end of the app.
    report::make(&mut desk.session, theirs);
    waited(&mut desk.session);
    let mut desk = desk.reopen();
    assert_eq!(made(&desk, ours).unwrap(), name);
    assert!(made(&desk, theirs).unwrap().contains("marl-bakery"));
    report::open(&mut desk.session, ours);
    assert_eq!(made(&desk, ours).unwrap(), name);
    // What was corrected since is not in it.
    desk.session
        .change("edit_visit", ours, |visit| {
            visit.notes = "Less film".to_owned();
        })
        .unwrap();
    assert_eq!(made(&desk, ours), None, "to be made anew");
    report::share(&mut desk.session, ours);
    assert_eq!(desk.said(), None, "nothing was handed over");
}

#[test]
fn a_day_file_is_sent_as_it_was_last_asked_for() {
    let mut desk = Desk::new();
    let (ours, theirs) = (desk.visit, another(&mut desk));
    let ready = |desk: &Desk| send::view(&desk.session).unwrap().made.is_some();
    send::open(&mut desk.session);
    send::make(&mut desk.session);
    waited(&mut desk.session);
    assert!(ready(&desk));
    report::pick_language(&mut desk.session, Language::French);
    assert!(!ready(&desk), "its reports are in another language");
    report::pick_language(&mut desk.session, Language::English);
    assert!(ready(&desk));
    // One visit fewer, a passphrase, no reports: none of it is the file under way.
    let changes: [fn(&mut Session, Id<Visit>); 3] = [
        |session, theirs| send::tick(session, theirs, false),
        |session, _| send::lock(session, "row seven"),
        |session, _| send::with_reports(session, false),
    ];
    for change in changes {
        send::make(&mut desk.session);
        change(&mut desk.session, theirs);
        waited(&mut desk.session);
        assert!(!ready(&desk));
        let (_, said) = desk.said().unwrap();
        assert!(said.contains("make it again"), "{said}");
        desk.session.close_notice();
    }
    send::make(&mut desk.session);
    waited(&mut desk.session);
    assert!(ready(&desk));
    // Come back to: the file of the book as it stands waits.
    desk.session.back();
    send::open(&mut desk.session);
    assert!(ready(&desk), "it need not be made again");
    desk.session
        .change("edit_visit", ours, |visit| {
            visit.notes = "Less film".to_owned();
        })
        .unwrap();
    assert!(!ready(&desk), "the note is not in it");
    send::tick(&mut desk.session, theirs, false);
    desk.session.back();
    send::open(&mut desk.session);
    let chosen = send::view(&desk.session).unwrap().chosen;
    assert_eq!(chosen, 2, "what goes out is chosen anew");
}

#[test]
fn pages_are_shown_as_long_as_they_are_made_that_way() {
    let mut desk = Desk::new();
    let visit = desk.visit;
    report::open(&mut desk.session, visit);
    report::make(&mut desk.session, visit);
    report::pick_language(&mut desk.session, Language::French);
    waited(&mut desk.session);
    assert_eq!(made(&desk, visit), None, "it is in the language before");
    report::share(&mut desk.session, visit);
    assert_eq!(desk.said(), None, "nothing was handed over");
    report::pick_language(&mut desk.session, Language::English);
    assert!(made(&desk, visit).is_some());
    report::pick_paper(&mut desk.session, Paper::A4);
    assert_eq!(made(&desk, visit), None);
}

#[test]
fn a_card_waits_until_the_report_is_made() {
    let mut desk = Desk::new();
    let (visit, line) = (desk.visit, desk.line);
    report::open(&mut desk.session, visit);
    report::make(&mut desk.session, visit);
    report::make_card(&mut desk.session, visit, line);
    waited(&mut desk.session);
    let made = made(&desk, visit).unwrap();
    assert!(made.starts_with("report-"), "{made}");
    let outgoing = desk.path().with_file_name("outgoing");
    assert_eq!(std::fs::read_dir(outgoing).unwrap().count(), 1);
}
