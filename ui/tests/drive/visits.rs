//! A long list of visits, and what was written lately, offered again.

use i_slint_backend_testing::ElementQuery;
use slint::platform::WindowEvent;
use slint::{ComponentHandle, LogicalSize, PhysicalSize};
use tautbook_core::dayfile::VerifiedDayFile;
use tautbook_core::survey::{Line, Purpose, Sample, SampleKind, Visit};
use tautbook_ui::look::TextSize;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::{machine, send, settings, tools, visit};
use tautbook_ui::screens::{Nav, SendAdapter};
use tautbook_ui::session::Session;

use crate::Folder;
use crate::hand::{Hand, PHONE};

const MANY: usize = 400;

fn add_visits(hand: &Hand, many: usize) {
    hand.app.act(move |session| {
        for n in 0..many {
            let visit = Visit {
                customer: format!("Customer {n}"),
                site: "Kiln Lane".to_owned(),
                date: "2026-03-12".parse().unwrap(),
                rep: String::new(),
                purpose: Purpose::Baseline,
                bag: Vec::new(),
                safety: Vec::new(),
                notes: String::new(),
            };
            session.add("start_visit", visit).unwrap();
        }
    });
    hand.settle();
}

/// The rows that are there to be seen, from the top.
fn rows(hand: &Hand) -> Vec<String> {
    let mut rows: Vec<_> = ElementQuery::from_root(&hand.window)
        .match_inherits("VisitListRow")
        .find_all()
        .iter()
        .map(|row| (row.absolute_position().y, row.accessible_label().unwrap()))
        .collect();
    rows.sort_by(|one, other| one.0.total_cmp(&other.0));
    rows.into_iter().map(|(_, label)| label.into()).collect()
}

#[test]
fn a_long_list_makes_the_rows_that_are_seen_and_keeps_its_place() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    add_visits(&hand, MANY);
    hand.whole_form();
    assert_eq!(rows(&hand).len(), 10, "Today lists the latest");
    hand.press_label("All visits. 400 visits. ");
    hand.size(PHONE);
    let first = rows(&hand);
    // Of the same day, the one written last comes first.
    assert!(first[0].contains("Customer 399"), "{first:?}");
    assert!(first.len() < 30, "{} rows of {MANY}", first.len());

    for _ in 0..20 {
        hand.press_label("Show more of this page");
    }
    let there = rows(&hand);
    assert!(there.len() < 30, "{} rows of {MANY}", there.len());
    assert!(!there.iter().any(|row| first.contains(row)), "{there:?}");
    // Each visit once, in its order.
    let numbers: Vec<usize> = there
        .iter()
        .map(|row| {
            let (_, rest) = row.split_once("Customer ").unwrap();
            rest.split('.').next().unwrap().parse().unwrap()
        })
        .collect();
    assert!(
        numbers.windows(2).all(|two| two[0] == two[1] + 1),
        "{numbers:?}"
    );

    let pressed = there[2].clone();
    hand.press_label(&pressed);
    let Place::Visit(id) = hand.app.look(Session::here) else {
        panic!("not on a visit");
    };
    let customer = hand
        .app
        .look(|session| session.book().get(id).unwrap().body.customer);
    assert!(pressed.starts_with(&customer), "{pressed:?}: {customer}");
    hand.press_label("Back");
    assert_eq!(hand.app.look(Session::here), Place::Visits);
    assert!(
        rows(&hand).contains(&pressed),
        "the list stays where it was"
    );
}

#[test]
fn send_offers_earlier_visits_some_at_a_time() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    add_visits(&hand, 45);
    hand.whole_form();
    hand.press_label("Send the day’s file. One file for the office; take in the files of others. ");
    let offered = |hand: &Hand| {
        let labels = hand.labels();
        let mut visits: Vec<&String> = labels
            .iter()
            .filter(|label| label.contains("Customer "))
            .collect();
        visits.sort();
        visits.dedup();
        visits.len()
    };
    assert_eq!(offered(&hand), 20);
    hand.keep_picture("send-earlier");
    hand.press_label("Earlier visits. Offers 20 more. ");
    assert_eq!(offered(&hand), 20, "never more than can be drawn");
    hand.press_label("Earlier visits. Offers 5 more. ");
    assert_eq!(offered(&hand), 5);
    assert!(hand.labelled("Earlier visits. Offers 0 more. ").is_empty());
    assert_eq!(
        hand.window.global::<SendAdapter<'_>>().get_chosen(),
        45,
        "all of the day"
    );

    // One left out on the last page stays out of the file that is made on the first.
    let left_out = hand
        .labels()
        .into_iter()
        .find(|label| label.contains("Customer 3,"))
        .unwrap();
    hand.press_label(&left_out);
    hand.press_label("Later visits. Shows those after these. ");
    hand.press_label("Later visits. Shows those after these. ");
    assert_eq!(offered(&hand), 20);
    hand.press_label("With the customer’s report of each visit");
    hand.press_label("Make the day file");
    hand.wait();
    let outgoing = folder.0.path().join("outgoing");
    let made = std::fs::read_dir(outgoing)
        .unwrap()
        .next()
        .unwrap()
        .unwrap();
    let mut go_on = |_| std::ops::ControlFlow::Continue(());
    let day = VerifiedDayFile::open(&made.path(), None, &mut go_on).unwrap();
    let visits = &day.records().visits;
    let customers: Vec<&str> = visits.iter().map(|visit| visit.customer.as_str()).collect();
    assert_eq!(customers.len(), 44);
    assert!(!customers.contains(&"Customer 3"), "{customers:?}");
}

/// Nothing may be longer than the renderer can draw, which would end the app each time it is opened there.
#[test]
fn long_lists_can_be_drawn_on_a_sharp_phone_in_the_largest_words() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    add_visits(&hand, 45);
    hand.app.act(|session| {
        let visit = session.book().visits(0, 1).unwrap()[0].id;
        for n in 0..50 {
            let sample = Sample {
                visit,
                load: None,
                what: SampleKind::Pallet,
                place: format!("Row {n}, place 12, by the door of the old dock"),
                retain_until: Some("2026-03-01".parse().unwrap()),
                notes: String::new(),
            };
            session.add("keep_sample", sample).unwrap();
            tools::add(session, tools::KINDS[n % tools::KINDS.len()]);
        }
        visit::add_line(session, visit);
        settings::set(session, |look| look.text = TextSize::Largest);
    });
    let sharp = WindowEvent::ScaleFactorChanged { scale_factor: 4.0 };
    hand.window.window().dispatch_event(sharp);
    let open: [fn(&mut Session); 5] = [
        send::open,
        |session| {
            send::open(session);
            send::offer_earlier(session);
        },
        |session| session.go(Place::Find),
        tools::open,
        |session| {
            let id = session.book().all::<Line>().unwrap()[0].id;
            session.go(Place::Machine(id));
            machine::acknowledge(session, id, true);
        },
    ];
    for (at, open) in open.into_iter().enumerate() {
        hand.app.act(open);
        // Without a screen nothing goes from pixels to what is laid out.
        let window = hand.window.window();
        window.set_size(PhysicalSize::new(1_280, 2_560));
        let size = LogicalSize::new(320.0, 640.0);
        window.dispatch_event(WindowEvent::Resized { size });
        hand.settle();
        // With all that can be opened on it open.
        for label in hand.labels() {
            if label.starts_with("About: ") || label.starts_with("Something else: ") {
                hand.press_label(&label);
            }
        }
        // To its end, a screenful at a time.
        for _ in 0..200 {
            hand.press_label("Show more of this page");
            if hand.labelled("Show more of this page").is_empty() {
                break;
            }
        }
        hand.keep_picture(&format!("sharp-{at}"));
        hand.press_label("Back to the top");
    }
}

#[test]
fn what_was_written_lately_is_offered_in_an_empty_field() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    for customer in ["Harrow Tile", "Glenside Bottling"] {
        hand.press("TodayScreen::start");
        hand.whole_form();
        hand.write("Customer", customer);
        hand.size(PHONE);
        hand.press_label("Back");
    }
    hand.press("TodayScreen::start");
    hand.press_label("Customer");
    hand.press_label("Write Harrow Tile");
    hand.press_label("Back");
    let latest = hand.visits();
    assert_eq!(latest.len(), 3);
    let named = latest
        .iter()
        .filter(|visit| visit.customer == "Harrow Tile");
    assert_eq!(named.count(), 2);
}

/// A page is as far down as it was, on coming back and after a kill; a page that is new begins at its top.
#[test]
fn a_page_keeps_how_far_down_it_was() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    let down = |hand: &Hand| {
        hand.settle();
        hand.window.global::<Nav<'_>>().get_at()
    };
    hand.press("TodayScreen::start");
    let is_at = |hand: &Hand, at: f32| (down(hand) - at).abs() < 0.5;
    assert!(is_at(&hand, 0.0));
    for _ in 0..2 {
        hand.press_label("Show more of this page");
    }
    let left_at = down(&hand);
    assert!(left_at < -300.0, "{left_at}");
    hand.app.act(|session| session.go(Place::Tools));
    assert!(is_at(&hand, 0.0), "another page");
    hand.press_label("Back");
    assert!(is_at(&hand, left_at));
    hand.app.rest();
    std::mem::forget(hand); // A killed process closes nothing.
    let hand = Hand::on(&folder.book());
    assert!(is_at(&hand, left_at));
}
