//! A sample driven by presses: kept from a load, labelled, found again by its code and by a picture of
//! its label, released.

use std::path::PathBuf;

use tautbook_core::label::print::{Dpi, LabelText, LabelWords, Paper, png};
use tautbook_core::label::{ShortCode, sample_facts};
use tautbook_core::language::Language;
use tautbook_core::survey::{Id, Record, Sample, SampleEvent, SampleEventKind, SampleKind};
use tautbook_ui::place::Place;
use tautbook_ui::session::Session;

use crate::Folder;
use crate::hand::{self, Hand};

fn said(hand: &Hand) -> String {
    let notice = hand.app.look(|session| session.notice().cloned());
    notice.map(|notice| notice.text).unwrap_or_default()
}

fn has(hand: &Hand, words: &str) -> bool {
    hand.labels().iter().any(|label| label.contains(words))
}

fn samples(hand: &Hand) -> Vec<Record<Sample>> {
    hand.app
        .look(|session| session.book().all::<Sample>().unwrap())
}

fn events(hand: &Hand, sample: Id<Sample>) -> Vec<SampleEventKind> {
    hand.app.look(|session| {
        let events = session.book().children::<SampleEvent, _>(sample).unwrap();
        events.iter().map(|event| event.what).collect()
    })
}

/// The label as it is printed, as a picture in a file.
fn photographed(hand: &Hand, folder: &Folder, sample: Id<Sample>) -> PathBuf {
    let label: LabelText = hand.app.look(|session| {
        LabelWords::of(Language::English).label(&sample_facts(session.book(), sample).unwrap())
    });
    let pages = png(&[label], Paper::FourBySix, Dpi::Dpi203).unwrap().made;
    let file = folder.0.path().join("seen.png");
    std::fs::write(&file, &pages[0]).unwrap();
    file
}

#[test]
fn a_sample_is_kept_labelled_found_and_released() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    crate::to_read(&mut hand);
    hand.press_label("Back");
    hand.whole_form();
    hand.press_label("Keep as a sample. It stays, with a label that finds this record. ");
    let kept = samples(&hand).remove(0);
    let id = kept.id;
    assert_eq!(kept.what, SampleKind::Pallet);
    assert!(kept.load.is_some());
    assert_eq!(hand.app.look(Session::here), Place::Sample(id));

    hand.write("Where it stands", "Row 7, by the dock");
    hand.enter();
    hand.write("Keep it until (year, month, day)", "next spring");
    hand.enter();
    assert!(
        has(&hand, "is not a date as it stands"),
        "{:?}",
        hand.labels()
    );
    hand.write("Keep it until (year, month, day)", "2020-01-01");
    hand.enter();
    assert_eq!(
        samples(&hand)[0].retain_until.unwrap().to_string(),
        "2020-01-01"
    );
    hand.press_label("+ 1 month");
    let until = samples(&hand)[0].retain_until.unwrap();
    assert!(
        until > chrono::Local::now().date_naive(),
        "from today: {until}"
    );
    let code = ShortCode::of(id).to_string();
    assert!(has(&hand, &code));
    hand.keep_picture("sample");

    hand.press_label("Label as PDF");
    assert_eq!(said(&hand), "Handed over.");
    let pdf = hand.device.shared.borrow()[0].clone();
    assert!(std::fs::read(pdf).unwrap().starts_with(b"%PDF-"));
    hand.app.act(Session::close_notice);
    hand.press_label("Label is on");
    assert_eq!(events(&hand, id), [SampleEventKind::Labelled]);
    hand.press_label("Undo");
    assert!(events(&hand, id).is_empty());
    hand.press_label("Label is on");

    // Months later: by the code, wrongly typed first.
    hand.app.act(|session| session.go_by(Vec::new()));
    hand.press_label("Find a sample by its label. Or by the code under the square. ");
    assert_eq!(hand.app.look(Session::here), Place::Find);
    let field = "Code under the square, eight characters";
    let mut wrong: Vec<char> = code.chars().collect();
    wrong[0] = if wrong[0] == '7' { '3' } else { '7' };
    hand.write(field, &wrong.into_iter().collect::<String>());
    hand.enter();
    assert!(
        has(&hand, "compare them with the label"),
        "{:?}",
        hand.labels()
    );
    hand.keep_picture("find-mistyped");
    hand.write(field, &code.to_lowercase().replace('-', " "));
    hand.enter();
    assert_eq!(hand.app.look(Session::here), Place::Sample(id));
    assert_eq!(
        events(&hand, id),
        [SampleEventKind::Labelled, SampleEventKind::Found]
    );

    // By a picture of the label.
    hand.app.act(Session::close_notice);
    hand.press_label("Back");
    assert_eq!(hand.app.look(Session::here), Place::Find);
    hand.size(hand::PHONE);
    let file = photographed(&hand, &folder, id);
    *hand.device.chooses.borrow_mut() = Some(Some(file));
    hand.press_label("Take a photo of the label");
    hand.wait();
    assert_eq!(hand.app.look(Session::here), Place::Sample(id));
    assert_eq!(events(&hand, id).len(), 3);

    // By a picture without one.
    hand.press_label("Back");
    let empty = folder.0.path().join("empty.png");
    let grey = vec![90_u8; 640 * 480 * 3];
    image::save_buffer(&empty, &grey, 640, 480, image::ColorType::Rgb8).unwrap();
    *hand.device.chooses.borrow_mut() = Some(Some(empty));
    hand.press_label("Take a photo of the label");
    hand.wait();
    assert!(has(&hand, "No label can be read"), "{:?}", hand.labels());
    hand.keep_picture("find-nothing");

    // Due, and released after being asked.
    hand.app.act(move |session| session.go(Place::Sample(id)));
    hand.whole_form();
    hand.write("Keep it until (year, month, day)", "2020-01-01");
    hand.enter();
    hand.app.act(|session| session.go_by(Vec::new()));
    hand.press_label("Find a sample by its label. 1 sample is due for release. ");
    assert!(
        has(&hand, "Due for release since 1 Jan 2020"),
        "{:?}",
        hand.labels()
    );
    hand.keep_picture("find-due");
    let row = hand
        .labels()
        .into_iter()
        .find(|label| label.contains("Due for release since"))
        .unwrap();
    hand.press_label(&row);
    hand.press_label("Release");
    hand.press_label("Release it");
    assert_eq!(events(&hand, id).last(), Some(&SampleEventKind::Released));
    hand.press_label("Back");
    assert!(has(&hand, "Nothing is due."), "{:?}", hand.labels());
}

#[test]
fn a_label_found_while_the_person_is_elsewhere_waits_to_be_opened() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    crate::to_read(&mut hand);
    hand.press_label("Back");
    hand.whole_form();
    hand.press_label("Keep as a sample. It stays, with a label that finds this record. ");
    let id = samples(&hand).remove(0).id;
    let file = photographed(&hand, &folder, id);
    hand.app.act(|session| session.go_by(Vec::new()));
    hand.press_label("Find a sample by its label. Or by the code under the square. ");
    *hand.device.chooses.borrow_mut() = Some(Some(file));
    hand.press_label("Take a photo of the label");
    hand.press_label("Back");
    hand.wait();
    assert_eq!(hand.app.look(Session::here), Place::Today);
    assert_eq!(said(&hand), "A label was found in the picture.");
    assert!(events(&hand, id).is_empty(), "nobody has seen it yet");
    hand.press_label("Open");
    assert_eq!(hand.app.look(Session::here), Place::Find);
    let mut rows = hand.labels().into_iter();
    let row = rows.find(|label| label.starts_with("Wrapped pallet. "));
    hand.press_label(&row.unwrap());
    assert_eq!(hand.app.look(Session::here), Place::Sample(id));
    assert_eq!(events(&hand, id), [SampleEventKind::Found]);
}

#[test]
fn a_code_is_looked_for_when_asked_and_not_when_its_field_is_left() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    crate::to_read(&mut hand);
    hand.press_label("Back");
    hand.whole_form();
    hand.press_label("Keep as a sample. It stays, with a label that finds this record. ");
    let id = samples(&hand).remove(0).id;
    let code = ShortCode::of(id).to_string();
    hand.app.act(|session| session.go_by(Vec::new()));
    hand.press_label("Find a sample by its label. Or by the code under the square. ");
    let field = "Code under the square, eight characters";
    hand.write(field, &code);
    hand.window.invoke_put_down();
    hand.settle();
    assert_eq!(hand.app.look(Session::here), Place::Find);
    assert_eq!(hand.value(field), code);
    assert!(events(&hand, id).is_empty());

    hand.press_label("Look for this code");
    assert_eq!(hand.app.look(Session::here), Place::Sample(id));
    assert_eq!(events(&hand, id), [SampleEventKind::Found], "once");
    hand.app.act(Session::close_notice);
    hand.press_label("Back");
    assert_eq!(hand.value(field), "", "it was looked for");
    hand.press_label(field);
    assert_eq!(hand.labelled(&format!("Write {code}")).len(), 1);
}

#[test]
fn a_code_of_another_device_says_what_to_ask_for() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.whole_form();
    hand.press_label("Find a sample by its label. Or by the code under the square. ");
    let other: Id<Sample> = "019cdcb6-d968-7273-868d-29646b8ad539".parse().unwrap();
    let field = "Code under the square, eight characters";
    hand.write(field, &ShortCode::of(other).to_string());
    hand.enter();
    assert!(has(&hand, "kept on another device"), "{:?}", hand.labels());
    let long = tautbook_core::label::LabelCode::new(other).to_string();
    hand.write(field, &long);
    hand.enter();
    assert!(has(&hand, "on 2026-03-11"), "{:?}", hand.labels());
    hand.keep_picture("find-elsewhere");
}
