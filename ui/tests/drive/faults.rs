//! Faults as a representative meets them: a full disk, a book in use, a read-only book, a clock set
//! back, a thumb that presses twice, and rubbish in a field.

use std::path::{Path, PathBuf};

use tautbook_core::book::{Book, FixedClock, OpenMode, SystemClock};
use tautbook_core::survey::{FilmWeight, Moment, Photo, Purpose, Visit};
use tautbook_tests::namespace::{given_folder, run_again};
use tautbook_ui::device::Became;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::arrivals;

use crate::hand::{self, Hand};
use crate::photos::{picture_in, to_photos};
use crate::{Folder, readings, the_load, to_read};

/// A disk of 2 MB to run a test on; `None` where the test was run on one instead, elsewhere.
fn small_disk(test: &str) -> Option<PathBuf> {
    let given = given_folder();
    if given.is_none() {
        let folder = tempfile::tempdir().unwrap();
        run_again(
            test,
            folder.path(),
            "mount -t tmpfs -o size=2m tmpfs \"$1\"",
        );
    }
    given
}

/// Writes until there is no room left.
fn fill(filler: &Path) {
    use std::io::Write;
    let mut file = std::fs::File::create(filler).unwrap();
    while file.write_all(&[0; 4096]).is_ok() {}
}

/// What the screen says over the page.
fn said(hand: &Hand) -> String {
    hand.app.look(|session| {
        session
            .notice()
            .map_or_else(String::new, |notice| notice.text.clone())
    })
}

fn shows(hand: &Hand, words: &str) {
    assert!(
        hand.labels().iter().any(|label| label.contains(words)),
        "'{words}' is not on the screen: {:?}",
        hand.labels()
    );
}

fn sound(hand: &Hand) {
    hand.app.look(|session| {
        let report = session.book().verify().unwrap();
        assert!(report.faults.is_empty(), "{:?}", report.faults);
    });
}

#[test]
fn a_full_disk_is_said_and_nothing_typed_is_lost() {
    let Some(folder) = small_disk("faults::a_full_disk_is_said_and_nothing_typed_is_lost") else {
        return;
    };
    let path = folder.join("book.taut");
    let filler = folder.join("filler");
    let mut hand = Hand::on(&path);
    to_read(&mut hand);
    hand.keys(&["8", "lb", "4"]);
    hand.press("Keypad::save-key");
    hand.keys(&["9", "lb"]);
    fill(&filler);
    hand.keys(&["3"]);
    hand.press("Keypad::save-key");
    assert!(said(&hand).contains("storage is full"), "{}", said(&hand));
    assert!(said(&hand).contains("free some space"), "{}", said(&hand));
    shows(&hand, "storage is full");
    hand.keep_picture("fault-full-disk");
    assert_eq!(readings(&hand).len(), 1, "nothing half kept");
    assert_eq!(hand.device.buzzes.get(), 1, "no buzz that says saved");
    hand.press_label("Close");
    hand.press("Keypad::save-key");
    assert_eq!(readings(&hand).len(), 1);
    hand.press_label("Close");

    // A form as well: what is written stays, and it is said that it was not kept.
    hand.press_label("Back");
    hand.whole_form();
    hand.write("Damage seen", "corner crushed");
    hand.press_label("Back");
    assert!(said(&hand).contains("storage is full"), "{}", said(&hand));

    std::fs::remove_file(&filler).unwrap();
    let load = match hand.app.look(tautbook_ui::session::Session::here) {
        Place::Setup(setup) => hand.app.look(|session| {
            session
                .book()
                .children::<tautbook_core::survey::Load, _>(setup)
                .unwrap()
                .remove(0)
        }),
        place => panic!("on {place:?}"),
    };
    assert_eq!(load.damage, "");
    assert!(said(&hand).starts_with("“corner crushed” was not kept"));
    hand.press_label("Open");
    assert_eq!(hand.value("Damage seen"), "corner crushed");
    // Going on is enough: it is tried again.
    hand.size(hand::PHONE);
    hand.press("LoadScreen::read");
    assert_eq!(
        hand.app
            .look(|session| session.book().get(load.id).unwrap().body.damage),
        "corner crushed"
    );
    hand.press("Keypad::save-key");
    let kept: Vec<String> = readings(&hand)
        .into_iter()
        .map(|(value, _)| value)
        .collect();
    assert_eq!(kept, ["8 lb 4 oz", "9 lb 3 oz"]);
    assert_eq!(hand.device.buzzes.get(), 2);
    sound(&hand);
    std::mem::forget(hand);
    let mut hand = Hand::on(&path);
    hand.press("Keypad::save-key");
    assert_eq!(readings(&hand).len(), 2, "nothing typed is left to keep");
}

#[test]
fn a_photo_that_there_is_no_room_for_is_taken_in_once_there_is() {
    let Some(folder) =
        small_disk("faults::a_photo_that_there_is_no_room_for_is_taken_in_once_there_is")
    else {
        return;
    };
    let filler = folder.join("filler");
    let mut hand = Hand::on(&folder.join("book.taut"));
    to_photos(&mut hand);
    let elsewhere = tempfile::tempdir().unwrap();
    let file = picture_in(elsewhere.path(), "camera.png", 90);
    *hand.device.chooses.borrow_mut() = Some(Some(file.clone()));
    fill(&filler);
    hand.press_label("Take a photo");
    hand.wait();
    assert_eq!(said(&hand), "Free some space and come back.");
    let became = |hand: &Hand| hand.device.served.borrow().clone();
    assert_eq!(became(&hand), [(file.clone(), Became::NoRoom)]);
    let kept = |hand: &Hand| {
        hand.app
            .look(|session| session.book().all::<Photo>().unwrap())
    };
    assert!(kept(&hand).is_empty());

    std::fs::remove_file(&filler).unwrap();
    let (again, target) = (file.clone(), hand.device.target.borrow().clone());
    hand.app
        .act(move |session| arrivals::picture_came(session, again, &target));
    hand.wait();
    assert_eq!(kept(&hand).len(), 1);
    assert_eq!(became(&hand)[1..], [(file, Became::Recorded)]);
    sound(&hand);
}

fn visit(customer: &str) -> Visit {
    Visit {
        customer: customer.to_owned(),
        site: String::new(),
        date: chrono::NaiveDate::from_ymd_opt(2026, 3, 4).unwrap(),
        rep: String::new(),
        purpose: Purpose::Baseline,
        bag: Vec::new(),
        safety: Vec::new(),
        notes: String::new(),
    }
}

#[test]
fn a_book_in_use_elsewhere_is_said_and_saved_in_later() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.keys(&["8", "lb", "4"]);
    let (mut other, _) =
        Book::open(&folder.book(), OpenMode::Existing, Box::new(SystemClock)).unwrap();
    other
        .act("start_visit", |act| {
            act.add(visit("Elsewhere"))?;
            hand.press("Keypad::save-key");
            Ok(())
        })
        .unwrap();
    assert!(said(&hand).contains("try again"), "{}", said(&hand));
    shows(&hand, "nother program");
    assert!(readings(&hand).is_empty());
    hand.press_label("Close");
    hand.press("Keypad::save-key");
    assert_eq!(readings(&hand)[0].0, "8 lb 4 oz");
    assert_eq!(readings(&hand).len(), 1);
    assert_eq!(
        said(&hand),
        "",
        "the message goes when it is no longer true"
    );
    sound(&hand);
}

#[test]
fn a_read_only_book_is_said_to_be_so() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.keys(&["8"]);
    hand.press("Keypad::save-key");
    drop(hand);
    let mut hand = Hand::opening(&folder.book(), OpenMode::ReadOnly, Box::new(SystemClock));
    assert_eq!(readings(&hand).len(), 1, "it can be looked at");
    hand.keys(&["9"]);
    hand.press("Keypad::save-key");
    assert!(said(&hand).contains("read-only"), "{}", said(&hand));
    assert!(said(&hand).contains("move it"), "{}", said(&hand));
    assert_eq!(readings(&hand).len(), 1);
    hand.press_label("Back");
    assert!(matches!(
        hand.app.look(tautbook_ui::session::Session::here),
        Place::Load(_)
    ));
}

#[test]
fn a_clock_set_back_is_on_the_screen_when_the_book_opens() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    drop(hand);
    let long_ago = Moment::from_unix_ms(1_600_000_000_000, 0).unwrap();
    let mut hand = Hand::opening(
        &folder.book(),
        OpenMode::OpenOrStart,
        Box::new(FixedClock(long_ago)),
    );
    shows(&hand, "The clock stands");
    shows(&hand, "Check the date and time");
    hand.keep_picture("fault-clock");
    hand.keys(&["8"]);
    hand.press("Keypad::save-key");
    hand.keys(&["9"]);
    hand.press("Keypad::save-key");
    let values: Vec<String> = readings(&hand)
        .into_iter()
        .map(|(value, _)| value)
        .collect();
    assert_eq!(values, ["8 lb", "9 lb"], "in the order they were made");
}

#[test]
fn two_presses_on_save_are_one_reading_and_no_weighing() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.keys(&["8"]);
    hand.press("Keypad::save-key");
    hand.press("Keypad::save-key");
    assert_eq!(readings(&hand).len(), 1);
    assert_eq!(hand.device.buzzes.get(), 1);

    let load = the_load(&hand);
    hand.press_label("Back");
    hand.press("LoadScreen::weigh");
    hand.whole_form();
    hand.press_label("I have read this");
    hand.size(hand::PHONE);
    hand.press("WeighPage::start");
    hand.keys(&["lb", "7"]);
    hand.press("Keypad::save-key");
    hand.press("Keypad::save-key");
    let weighings = |hand: &Hand| {
        hand.app.look(|session| {
            session
                .book()
                .children::<FilmWeight, _>(load)
                .unwrap()
                .len()
        })
    };
    assert_eq!(weighings(&hand), 0, "gross alone is not kept by a slip");
    hand.keep_picture("weigh-no-tare");
    hand.press_label("It was zeroed");
    assert_eq!(weighings(&hand), 1);
}

#[test]
fn rubbish_pasted_into_fields_is_explained() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_read(&mut hand);
    hand.press_label("Back");
    hand.whole_form();
    let load = the_load(&hand);

    // Signs that are no numbers, and lines where there is one line.
    hand.write("Width", "48 \u{1f4e6}");
    hand.enter();
    let error = hand.labelled("Width")[0].accessible_description().unwrap();
    assert!(error.contains("not understood"), "{error}");
    hand.write("Damage seen", "4\n8");
    hand.control("a");
    hand.control("c");
    hand.press_label("Height, with pallet");
    hand.control("v");
    hand.enter();
    // Ten thousand signs of notes: written once, copied and pasted.
    hand.write("Damage seen", "0123456789 abcdefghi");
    hand.control("a");
    hand.control("c");
    for _ in 0..500 {
        hand.control("v");
    }
    let long = hand.value("Damage seen");
    assert!(long.len() >= 10_000, "{}", long.len());
    hand.press_label("Length");
    for _ in 0..500 {
        hand.control("v");
    }
    assert_eq!(
        hand.value("Length").len(),
        1_000,
        "as much as one line takes"
    );
    hand.enter();
    let error = hand.labelled("Length")[0].accessible_description().unwrap();
    assert!(error.contains("too many"), "{error}");
    hand.keep_picture("fault-long-text");

    let kept = hand
        .app
        .look(|session| session.book().get(load).unwrap().body);
    assert_eq!((kept.length, kept.width), (None, None));
    match kept.height {
        None => {
            let error = hand.labelled("Height, with pallet")[0]
                .accessible_description()
                .unwrap();
            assert_ne!(error, "in", "it is said why");
        }
        Some(height) => assert!(height.value.m() > 0.0),
    }
    hand.press_label("Back");
    assert!(matches!(
        hand.app.look(tautbook_ui::session::Session::here),
        Place::Setup(_)
    ));
    sound(&hand);
}
