//! A long list of visits, and what was written lately, offered again.

use i_slint_backend_testing::ElementQuery;
use slint::platform::WindowEvent;
use slint::{ComponentHandle, LogicalSize, PhysicalSize};
use tautbook_core::dayfile::VerifiedDayFile;
use tautbook_core::language::Language;
use tautbook_core::survey::{
    ClingSide, Entity, FilmRoll, FilmWeight, Id, Line, Load, LoadVolume, Photo, PreStretch,
    Purpose, Rotation, Sample, SampleEvent, SampleEventKind, SampleKind, Setup, SetupRole,
    Threading, Visit,
};
use tautbook_ui::look::TextSize;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::{machine, send, settings, tools, visit};
use tautbook_ui::screens::{Nav, SendAdapter};
use tautbook_ui::session::Session;

use crate::Folder;
use crate::hand::{Hand, PHONE};
use crate::photos::picture_in;

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
    add_samples(&hand);
    hand.app.act(|session| {
        for n in 0..50 {
            tools::add(session, tools::KINDS[n % tools::KINDS.len()]);
        }
        settings::set(session, |look| look.text = TextSize::Largest);
    });
    let open: [fn(&mut Session); 5] = [
        send::open,
        |session| {
            send::open(session);
            send::offer_earlier(session);
        },
        |session| session.go(Place::Find),
        tools::open,
        |session| {
            let id = first::<Line>(session);
            session.go(Place::Machine(id));
            machine::acknowledge(session, id, true);
        },
    ];
    for (at, open) in open.into_iter().enumerate() {
        open_on_a_sharp_phone(&hand, open);
        // With all that can be opened on it open.
        for label in hand.labels() {
            if label.starts_with("About: ") || label.starts_with("Something else: ") {
                hand.press_label(&label);
            }
        }
        draw_to_the_end(&mut hand, "Show more of this page");
        hand.keep_picture(&format!("sharp-{at}"));
        hand.press_label("Back to the top");
    }
}

/// The same of what is on a visit, in the language that takes the most room.
#[test]
fn long_lists_of_a_visit_can_be_drawn_on_a_sharp_phone_in_the_largest_words() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    add_samples(&hand);
    add_long_lists(&mut hand, &folder);
    hand.app.act(|session| {
        settings::set(session, |look| {
            look.text = TextSize::Largest;
            look.language = Language::French;
        });
    });
    let open: [fn(&mut Session); 7] = [
        |session| {
            let visit = session.book().get(first::<Sample>(session)).unwrap().visit;
            session.go(Place::Visit(visit));
        },
        |session| session.go(Place::Line(first::<Line>(session))),
        |session| session.go(Place::Setup(first::<Setup>(session))),
        |session| session.go(Place::Weigh(first::<Load>(session))),
        |session| {
            let load = session.book().get(first::<Load>(session)).unwrap();
            session.go(Place::Photos(load.reference()));
        },
        |session| {
            let visit = session.book().get(first::<Sample>(session)).unwrap().visit;
            session.go(Place::Keep(visit));
        },
        |session| session.go(Place::Sample(first::<Sample>(session))),
    ];
    for (at, open) in open.into_iter().enumerate() {
        open_on_a_sharp_phone(&hand, open);
        draw_to_the_end(&mut hand, "Voir la suite de cette page");
        hand.keep_picture(&format!("sharp-visit-{at}"));
        hand.press_label("Revenir en haut");
    }
}

fn open_on_a_sharp_phone(hand: &Hand, open: fn(&mut Session)) {
    hand.app.act(open);
    // Without a screen nothing goes from pixels to what is laid out.
    let window = hand.window.window();
    window.dispatch_event(WindowEvent::ScaleFactorChanged { scale_factor: 4.0 });
    window.set_size(PhysicalSize::new(1_280, 2_560));
    let size = LogicalSize::new(320.0, 640.0);
    window.dispatch_event(WindowEvent::Resized { size });
    hand.settle();
}

/// Draws a page to its end, a screenful at a time.
fn draw_to_the_end(hand: &mut Hand, more: &str) {
    for _ in 0..200 {
        hand.press_label(more);
        if hand.labelled(more).is_empty() {
            break;
        }
    }
}

/// A visit with a line and many samples, the last of many visits.
fn add_samples(hand: &Hand) {
    add_visits(hand, 45);
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
        }
        visit::add_line(session, visit);
    });
}

fn first<T: Entity>(session: &Session) -> Id<T> {
    session.book().all::<T>().unwrap()[0].id
}

/// More in each list than a page can be long.
fn add_long_lists(hand: &mut Hand, folder: &Folder) {
    hand.app.act(|session| {
        let line = session.book().get(first::<Line>(session)).unwrap();
        let (visit, line) = (line.visit, line.id);
        for n in 0..40 {
            let name = format!("Film {n}, from the rack by the dock");
            session.add("add", FilmRoll::new(visit, name)).unwrap();
            let name = format!("Trial {n}, less film at the top");
            let setup = Setup::new(line, name, SetupRole::Trial);
            session.add("add", setup).unwrap();
            let name = format!("Line {n}, at the far end of the hall");
            session.add("add", Line::new(visit, name)).unwrap();
        }
        // With all that a line and a setup show once more is known of them.
        let change = |line: &mut Line| {
            line.volume = Some(LoadVolume::PerShift {
                loads: 120,
                shifts_a_day: 2,
                days_a_year: 250,
            });
            let wrapper = &mut line.wrapper;
            wrapper.pre_stretch = Some(PreStretch::Powered);
            wrapper.rotation = Some(Rotation::Clockwise);
            wrapper.threading = Some(Threading {
                roll_turns: Some(Rotation::Clockwise),
                reversals: Some(3),
            });
        };
        session.change("edit", line, change).unwrap();
        let (setup, roll) = (first::<Setup>(session), first::<FilmRoll>(session));
        let on = |roll: &mut FilmRoll| roll.cling = Some(ClingSide::Inside);
        session.change("edit", roll, on).unwrap();
        let on = |setup: &mut Setup| setup.film_roll = Some(roll);
        session.change("edit", setup, on).unwrap();
        for n in 0..70 {
            let name = format!("Load {n}, the third pallet of the shift");
            session.add("add", Load::new(setup, name)).unwrap();
        }
        let (load, sample) = (first::<Load>(session), first::<Sample>(session));
        for n in 0..70 {
            let taken_at = session.book().now();
            let weight = FilmWeight {
                load,
                tool: None,
                gross: "250 g".parse().unwrap(),
                tare: None,
                loads_together: 1,
                taken_at,
                notes: format!("Scale {n}, by the window of the office"),
            };
            session.add("add", weight).unwrap();
            let event = SampleEvent {
                sample,
                what: SampleEventKind::Moved,
                at: taken_at,
                notes: format!("Row {n}, place 12, by the door of the old dock"),
            };
            session.add("add", event).unwrap();
        }
        let load = session.book().get(load).unwrap().reference();
        session.go(Place::Photos(load));
    });
    let picture = picture_in(folder.0.path(), "one.png", 40);
    *hand.device.chooses.borrow_mut() = Some(Some(picture));
    hand.press_label("Take a photo");
    hand.wait();
    hand.app.act(|session| {
        let photo = session.book().all::<Photo>().unwrap().remove(0).body;
        for order in 1..30 {
            let photo = Photo {
                order,
                ..photo.clone()
            };
            session.add("add", photo).unwrap();
        }
        session.go_by(Vec::new());
    });
}

#[test]
fn all_of_a_long_list_is_reached_by_pressing() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    crate::to_read(&mut hand);
    hand.app.act(|session| {
        let setup = first::<Setup>(session);
        for n in 2..=12 {
            let load = Load::new(setup, format!("Load {n}"));
            session.add("add_load", load).unwrap();
        }
    });
    hand.press_label("Back");
    hand.press_label("Back");
    hand.whole_form();
    let shown = |hand: &Hand| -> Vec<String> {
        let rows = hand.labels().into_iter();
        let mut rows: Vec<String> = rows.filter(|row| row.starts_with("Load ")).collect();
        rows.sort();
        rows.dedup();
        rows
    };
    let numbers = |hand: &Hand| -> Vec<usize> {
        let number = |row: &String| row.split(['.', ' ']).nth(1).unwrap().parse().unwrap();
        let mut numbers: Vec<usize> = shown(hand).iter().map(number).collect();
        numbers.sort_unstable();
        numbers
    };
    assert_eq!(numbers(&hand), (3..=12).collect::<Vec<_>>());
    hand.keep_picture("long-list");
    hand.press_label("More of this list. 10 of 12 are shown here. ");
    assert_eq!(numbers(&hand), [1, 2]);
    let row = shown(&hand).remove(0);
    hand.press_label(&row);
    assert!(matches!(hand.app.look(Session::here), Place::Load(_)));
    hand.press_label("Back");
    assert_eq!(numbers(&hand), [1, 2], "as it was left");
    hand.press_label("More of this list. 2 of 12 are shown here. ");
    assert_eq!(numbers(&hand).len(), 10);
    hand.press_label("More of this list. 10 of 12 are shown here. ");
    hand.press("SetupScreen::add");
    hand.press_label("Back");
    assert_eq!(numbers(&hand).last(), Some(&13), "what was added is shown");
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
