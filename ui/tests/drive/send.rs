//! The day's file driven by presses: made on one phone, taken in on another, locked, called wrong;
//! and what two phones wrote in one place looked through.

use std::path::{Path, PathBuf};

use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::language::Language;
use tautbook_core::survey::{Id, Line, Load, Visit};
use tautbook_ui::place::Place;
use tautbook_ui::session::{Look, Session};

use crate::Folder;
use crate::hand::Hand;

/// A visit with a load on the phone of this folder.
pub(crate) fn visited(folder: &Folder) -> Hand {
    let mut hand = Hand::on(&folder.book());
    crate::to_read(&mut hand);
    hand.keys(&["1", "2", "lb", "6"]);
    hand.press_label("Save");
    to_today(&mut hand);
    hand
}

pub(crate) fn to_today(hand: &mut Hand) {
    while hand.app.look(Session::here) != Place::Today {
        hand.press_label("Back");
    }
}

pub(crate) fn to_send(hand: &mut Hand) {
    to_today(hand);
    hand.whole_form();
    hand.press_label("Send the day’s file. One file for the office; take in the files of others. ");
}

pub(crate) fn made(hand: &mut Hand) -> PathBuf {
    hand.press_label("Make the day file");
    hand.wait();
    hand.press_label("Send the file");
    hand.device.shared.borrow().last().unwrap().clone()
}

fn taken_in(hand: &mut Hand, file: &Path) {
    *hand.device.chooses.borrow_mut() = Some(Some(file.to_owned()));
    hand.press_label("Take in a day file");
    hand.wait();
}

pub(crate) fn has(hand: &Hand, words: &str) -> bool {
    hand.labels().iter().any(|label| label.contains(words))
}

fn records(folder: &Folder, visit: Id<Visit>) -> tautbook_core::survey::RecordSet {
    let (book, _) = Book::open(&folder.book(), OpenMode::ReadOnly, Box::new(SystemClock)).unwrap();
    let which = tautbook_core::book::Which::All;
    book.visit_records(visit, which).unwrap()
}

#[test]
fn a_day_goes_from_one_phone_to_another_once() {
    let (ours, theirs) = (Folder::new(), Folder::new());
    let mut hand = visited(&ours);
    to_send(&mut hand);
    let file = made(&mut hand);
    assert!(file.is_file());
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    assert!(name.ends_with("harrow-tile.zip"), "{name}");
    assert!(has(&hand, "1 report"), "{:?}", hand.labels());
    let visit = hand.visits()[0].id;
    drop(hand);

    let mut other = Hand::on(&theirs.book());
    to_send(&mut other);
    assert!(has(&other, "No visits yet"));
    taken_in(&mut other, &file);
    assert!(has(&other, "records are new"), "{:?}", other.labels());
    assert_eq!(records(&theirs, visit), records(&ours, visit));
    taken_in(&mut other, &file);
    assert!(
        has(&other, "was in this book before"),
        "{:?}",
        other.labels()
    );
    assert_eq!(other.visits().len(), 1);
}

#[test]
fn a_report_and_a_card_are_made_and_handed_over() {
    let folder = Folder::new();
    let mut hand = visited(&folder);
    hand.whole_form();
    hand.app.act(|session| {
        let visit = session.book().visits(0, 1).unwrap()[0].id;
        session.go(Place::Visit(visit));
    });
    hand.settle();
    hand.press_label(
        "Report and loading cards. Pages to hand over: what was found, what it saves, how sure. ",
    );
    assert!(has(&hand, "1 reading by the torsion tool"));
    assert!(has(&hand, "No target is set"), "{:?}", hand.labels());
    hand.press_label("Français");
    hand.press_label("A4");
    hand.press_label("Make the report");
    hand.wait();
    assert!(has(&hand, "-harrow-tile.pdf"), "{:?}", hand.labels());
    hand.press_label("Hand it over");
    hand.app.act(Session::close_notice);
    hand.settle();
    let line = hand
        .app
        .look(|session| session.book().all::<Line>().unwrap()[0].name.clone());
    hand.press_label(&format!("{line}. Make the card to leave at the machine. "));
    hand.wait();
    assert!(has(&hand, "1 page"), "{:?}", hand.labels());
    hand.press_label("Hand it over");
    let shared = hand.device.shared.borrow().clone();
    assert_eq!(shared.len(), 2);
    for file in shared {
        assert!(std::fs::read(file).unwrap().starts_with(b"%PDF-"));
    }
}

#[test]
fn a_locked_file_asks_for_its_passphrase() {
    let (ours, theirs) = (Folder::new(), Folder::new());
    let mut hand = visited(&ours);
    to_send(&mut hand);
    hand.write("Passphrase, if the file is to be locked", "row seven dock");
    let file = made(&mut hand);
    assert!(file.to_string_lossy().ends_with(".zip.age"));
    let text = String::from_utf8_lossy(&std::fs::read(ours.book()).unwrap()).into_owned();
    assert!(!text.contains("row seven dock"), "never written down");
    drop(hand);

    let mut other = Hand::on(&theirs.book());
    to_send(&mut other);
    taken_in(&mut other, &file);
    other.write("Passphrase of the locked file", "row eight dock");
    other.press_label("Open the locked file");
    other.wait();
    assert!(other.visits().is_empty());
    other.write("Passphrase of the locked file", "row seven dock");
    other.press_label("Open the locked file");
    other.wait();
    assert_eq!(other.visits().len(), 1, "{:?}", other.labels());
}

#[test]
fn a_file_that_is_none_is_refused_in_a_sentence() {
    let folder = Folder::new();
    let mut hand = visited(&folder);
    to_send(&mut hand);
    let file = folder.0.path().join("holiday.zip");
    std::fs::write(&file, "no day file").unwrap();
    taken_in(&mut hand, &file);
    assert!(has(&hand, "day file"), "{:?}", hand.labels());
    assert_eq!(hand.visits().len(), 1);
    *hand.device.chooses.borrow_mut() = None;
    hand.press_label("Take in a day file");
    hand.wait();
    let said = hand.app.look(|session| session.notice().cloned());
    assert_eq!(said.unwrap().text, "Allow Tautbook to read files.");
}

#[test]
fn what_two_phones_wrote_in_one_place_is_looked_through() {
    let (ours, theirs) = (Folder::new(), Folder::new());
    let mut hand = visited(&ours);
    to_send(&mut hand);
    let file = made(&mut hand);
    let mut other = Hand::on(&theirs.book());
    to_send(&mut other);
    taken_in(&mut other, &file);
    let named = |hand: &Hand, name: &str| {
        let load = hand
            .app
            .look(|session| session.book().all::<Load>().unwrap()[0].id);
        let name = name.to_owned();
        hand.app.act(move |session| {
            session
                .change::<Load>("rename", load, |load| load.name = name)
                .unwrap();
        });
    };
    named(&other, "Pallet by the door");
    named(&hand, "Pallet 17");
    to_send(&mut other);
    let back = made(&mut other);
    to_send(&mut hand);
    taken_in(&mut hand, &back);
    hand.press_label("1 value to look through. Two devices wrote different things in one place. ");
    assert_eq!(hand.app.look(Session::here), Place::Differences);
    assert!(
        has(&hand, "Kept: Pallet 17, written on this device"),
        "{:?}",
        hand.labels()
    );
    assert!(has(
        &hand,
        "Replaced: Pallet by the door, written on another device"
    ));
    assert!(
        has(&hand, "Pallet 17: name of the load"),
        "{:?}",
        hand.labels()
    );
    hand.app.act(|session| {
        let look = Look {
            language: Language::French,
            ..session.look()
        };
        session.set_look(look);
    });
    assert!(has(&hand, "Pallet 17 : nom"), "{:?}", hand.labels());
    hand.app.act(|session| {
        let look = Look {
            language: Language::English,
            ..session.look()
        };
        session.set_look(look);
    });
    hand.press_label("Open");
    assert!(matches!(hand.app.look(Session::here), Place::Load(_)));
    hand.press_label("Back");
    hand.press_label("Seen: take it off the list");
    assert!(has(&hand, "Nothing is left to look through."));
}

#[test]
fn the_file_made_is_still_there_after_a_kill_and_not_once_it_is_gone() {
    let folder = Folder::new();
    let mut hand = visited(&folder);
    to_send(&mut hand);
    hand.press_label("With the customer’s report of each visit");
    let file = made(&mut hand);
    std::mem::forget(hand); // Another app has the screen, and the system ends this one.

    let mut hand = Hand::on(&folder.book());
    hand.whole_form();
    assert_eq!(hand.app.look(Session::here), Place::Send);
    assert!(has(&hand, "0 reports"), "{:?}", hand.labels());
    hand.press_label("Send the file");
    assert_eq!(hand.device.shared.borrow().last().unwrap(), &file);
    std::mem::forget(hand);

    std::fs::remove_file(&file).unwrap();
    let mut hand = Hand::on(&folder.book());
    hand.whole_form();
    hand.press_label("Make the day file");
    hand.wait();
    assert!(has(&hand, "Send the file"));
}

#[test]
fn the_report_made_is_still_there_after_a_kill() {
    let folder = Folder::new();
    let mut hand = visited(&folder);
    hand.whole_form();
    hand.app.act(|session| {
        let visit = session.book().visits(0, 1).unwrap()[0].id;
        tautbook_ui::presenters::report::open(session, visit);
    });
    hand.settle();
    hand.press_label("Make the report");
    hand.wait();
    std::mem::forget(hand);

    let mut hand = Hand::on(&folder.book());
    hand.whole_form();
    assert!(has(&hand, "-harrow-tile.pdf"), "{:?}", hand.labels());
    hand.press_label("Hand it over");
    assert_eq!(hand.device.shared.borrow().len(), 1);
    // Made for a paper that is not chosen any more.
    hand.app.act(Session::close_notice);
    hand.settle();
    hand.press_label("A4");
    std::mem::forget(hand);
    let hand = Hand::on(&folder.book());
    hand.whole_form();
    assert!(!has(&hand, "-harrow-tile.pdf"), "{:?}", hand.labels());
}
