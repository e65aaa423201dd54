//! Photos driven by presses: taken on a reading, captioned, put in order, marked; and the check list
//! of a machine with a photo of what was found.

use std::path::{Path, PathBuf};

use tautbook_core::survey::{
    CautionKind, CheckItem, CheckResult, Kind, Line, MachineCheck, Photo, Reading, Record, Visit,
};
use tautbook_ui::device::Became;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::arrivals;
use tautbook_ui::session::Session;

use crate::Folder;
use crate::hand::{self, Hand};

/// A picture of the camera, kept beside the book's folder.
fn picture(folder: &Folder, name: &str, shade: u8) -> PathBuf {
    picture_in(folder.0.path(), name, shade)
}

pub(crate) fn picture_in(folder: &Path, name: &str, shade: u8) -> PathBuf {
    let path = folder.join(name);
    let (width, height) = (640, 480);
    let rgb = [shade, shade, 255 - shade].repeat(width * height);
    image::save_buffer(&path, &rgb, 640, 480, image::ColorType::Rgb8).unwrap();
    path
}

/// To the photos of a first reading.
pub(crate) fn to_photos(hand: &mut Hand) {
    crate::to_read(hand);
    hand.keys(&["1", "2"]);
    hand.press_label("Save");
    hand.press_label("Photo of the last reading");
}

fn chooses(hand: &Hand, file: Option<PathBuf>) {
    *hand.device.chooses.borrow_mut() = Some(file);
}

fn photos(hand: &Hand) -> Vec<Record<Photo>> {
    let Place::Photos(of) = hand.app.look(Session::here) else {
        panic!("not on Photos");
    };
    hand.app
        .look(|session| session.book().photos_of(of).unwrap())
}

fn said(hand: &Hand) -> String {
    let notice = hand.app.look(|session| session.notice().cloned());
    notice.map(|notice| notice.text).unwrap_or_default()
}

#[test]
fn a_photo_on_a_reading_is_kept_captioned_ordered_and_marked() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_photos(&mut hand);
    let reading: Record<Reading> = hand
        .app
        .look(|session| session.book().all::<Reading>().unwrap().remove(0));
    assert_eq!(
        hand.app.look(Session::here),
        Place::Photos(reading.reference())
    );

    // Nobody allowed the camera, then nothing was chosen, then a file that is no picture.
    hand.press_label("Take a photo");
    hand.wait();
    assert!(hand.device.asked_camera.get());
    assert!(said(&hand).contains("Allow"), "{}", said(&hand));
    chooses(&hand, None);
    hand.app.act(Session::close_notice);
    hand.press_label("Choose a photo");
    hand.wait();
    assert!(!hand.device.asked_camera.get());
    let words = folder.0.path().join("words.jpg");
    std::fs::write(&words, "these are words").unwrap();
    chooses(&hand, Some(words.clone()));
    hand.app.act(Session::close_notice);
    hand.press_label("Choose a photo");
    hand.wait();
    assert!(said(&hand).contains("no picture"), "{}", said(&hand));
    assert!(
        said(&hand).ends_with("It is still where it came from."),
        "{}",
        said(&hand)
    );
    assert!(photos(&hand).is_empty());
    assert_eq!(*hand.device.served.borrow(), [(words, Became::Refused)]);
    hand.app.act(Session::close_notice);

    let buzzes = hand.device.buzzes.get();
    for (name, shade) in [("one.png", 40), ("two.png", 200)] {
        chooses(&hand, Some(picture(&folder, name, shade)));
        hand.press_label("Take a photo");
        hand.wait();
        assert!(
            hand.labels().contains(&"Photo kept.".to_owned()),
            "{:?}",
            hand.labels()
        );
    }
    assert_eq!(hand.device.buzzes.get(), buzzes + 2);
    let kept = photos(&hand);
    assert_eq!(kept.len(), 2);
    let beside = hand.app.look(|session| session.book().photo_folder());
    let file = |photo: &Photo| beside.read(&photo.sha256).unwrap();
    assert!(file(&kept[0].body).starts_with(&[0xff, 0xd8]));

    // A caption, and the other order.
    hand.size((360.0, 1_800.0));
    let captions = hand.labelled("What it shows");
    assert_eq!(captions.len(), 2);
    hand.keep_picture("photos");
    hand.tap_first(&captions);
    hand.type_text("the gap at the corner");
    hand.enter();
    assert_eq!(photos(&hand)[0].caption, "the gap at the corner");
    let later = hand.labelled("Later");
    hand.tap_first(&later);
    let order: Vec<_> = photos(&hand).iter().map(|photo| photo.id).collect();
    assert_eq!(order, [kept[1].id, kept[0].id]);

    // An arrow with what was read there, on a copy.
    hand.press_label("Open the photo. the gap at the corner");
    hand.size((360.0, 1_400.0));
    assert_eq!(hand.app.look(Session::here), Place::Photo(kept[0].id));
    assert_eq!(hand.value("Words beside the mark"), "12 lb");
    hand.press_in("The photo. the gap at the corner", 0.3, 0.4);
    hand.press_label("Larger mark");
    hand.press_label("Turn the arrow");
    hand.keep_picture("photo-marked");
    hand.press_label("Keep a marked copy");
    hand.wait();
    assert!(said(&hand).contains("as it was"), "{}", said(&hand));
    hand.app.act(Session::close_notice);
    hand.press_label("Back");
    let after = photos(&hand);
    assert_eq!(after.len(), 3);
    let copy = after.iter().find(|photo| photo.original.is_some()).unwrap();
    assert_eq!(copy.original, Some(kept[0].id));
    assert_ne!(copy.sha256, kept[0].sha256);
    assert!(
        file(&kept[0].body).starts_with(&[0xff, 0xd8]),
        "the original stays"
    );

    // Killed and opened again it is where it was, and the photos are there.
    let here = hand.app.look(Session::here);
    drop(hand);
    let hand = Hand::on(&folder.book());
    assert_eq!(hand.app.look(Session::here), here);
    assert_eq!(photos(&hand).len(), 3);
}

#[test]
fn pictures_come_to_what_they_were_taken_for_and_each_once() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    to_photos(&mut hand);
    let here = hand.app.look(Session::here);
    hand.press_label("Take a photo");
    hand.wait();
    let target = hand.device.target.borrow().clone();
    hand.app.act(Session::close_notice);
    hand.press_label("Back");

    // The camera's, when the person has gone on meanwhile; and again, as after an end of the app.
    let file = picture(&folder, "camera.png", 90);
    for said_then in ["Photo kept.", "This photo is kept here already."] {
        let (file, target) = (file.clone(), target.clone());
        hand.app
            .act(move |session| arrivals::picture_came(session, file, &target));
        hand.wait();
        assert_eq!(said(&hand), said_then);
        if said_then == "Photo kept." {
            hand.press_label("Open");
            assert_eq!(hand.app.look(Session::here), here);
            hand.press_label("Back");
        } else {
            hand.app.act(Session::close_notice);
        }
    }
    assert_eq!(
        *hand.device.served.borrow(),
        [(file.clone(), Became::Recorded), (file, Became::Recorded)]
    );

    // What went wrong with one stays said when the next is kept.
    let broken = folder.0.path().join("broken.png");
    std::fs::write(&broken, b"\x89PNG\r\n\x1a\n").unwrap();
    for file in [broken, picture(&folder, "after.png", 120)] {
        let target = target.clone();
        hand.app
            .act(move |session| arrivals::picture_came(session, file, &target));
        hand.wait();
    }
    let stays = said(&hand);
    assert!(stays.ends_with(" Photo kept."), "{stays}");
    assert!(stays.len() > 20, "{stays}");
    let served = hand.device.served.borrow()[2..].to_vec();
    assert_eq!(served[0].1, Became::Refused);
    assert_eq!(served[1].1, Became::Recorded);
    hand.app.act(Session::close_notice);

    // Two that are sent wait, also one whose target nobody knows any more.
    for (name, shade) in [("sent.png", 10), ("sent-too.png", 150)] {
        let file = picture(&folder, name, shade);
        hand.app
            .act(move |session| arrivals::picture_came(session, file, "reading of old"));
        hand.wait();
    }
    assert!(said(&hand).starts_with("2 photos"), "{}", said(&hand));
    assert_eq!(hand.device.served.borrow().len(), 4);
    hand.app.act(Session::close_notice);
    hand.press_label("Photo of the last reading");
    hand.wait();
    assert_eq!(hand.app.look(Session::here), here);
    assert_eq!(photos(&hand).len(), 4);
    assert_eq!(hand.device.served.borrow().len(), 6);

    hand.app.act(|session| {
        arrivals::day_file_interrupted(session, std::path::Path::new("Monday.zip"));
    });
    assert!(said(&hand).contains("Monday.zip"), "{}", said(&hand));
}

#[test]
fn a_visit_and_a_sample_have_photos_of_their_own() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    crate::to_read(&mut hand);
    hand.press_label("Back");
    hand.whole_form();
    hand.press_label("Keep as a sample. It stays, with a label that finds this record. ");
    let rows = |hand: &Hand, words: &str| -> Vec<String> {
        let labels = hand.labels().into_iter();
        labels.filter(|label| label.contains(words)).collect()
    };
    let mut taken = Vec::new();
    for (n, kind) in [(1, Kind::Sample), (2, Kind::Visit)] {
        if kind == Kind::Visit {
            let visit = hand.visits().remove(0).id;
            hand.app.act(move |session| session.go(Place::Visit(visit)));
            hand.whole_form();
        }
        let none = rows(&hand, "No photos yet. ").remove(0);
        hand.press_label(&none);
        chooses(
            &hand,
            Some(picture(&folder, &format!("of-{n}.png"), 60 * n)),
        );
        hand.press_label("Take a photo");
        hand.wait();
        let of = photos(&hand);
        assert_eq!((of.len(), of[0].of.kind), (1, kind), "{of:?}");
        taken.push(of[0].sha256.clone());
        hand.press_label("Back");
        assert!(!rows(&hand, "1 photo. ").is_empty(), "{:?}", hand.labels());
    }
    assert_ne!(taken[0], taken[1], "each its own");
}

#[test]
fn a_photo_is_undone_and_a_lost_file_is_said() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    crate::to_read(&mut hand);
    hand.press_label("Back");
    hand.whole_form();
    let row = "No photos yet. Of the load and its readings. ";
    hand.press_label(row);
    hand.size(hand::PHONE);
    for (name, shade) in [("one.png", 40), ("two.png", 200)] {
        chooses(&hand, Some(picture(&folder, name, shade)));
        hand.press_label("Take a photo");
        hand.wait();
    }
    hand.press_label("Undo");
    assert_eq!(photos(&hand).len(), 1);
    let kept = photos(&hand).remove(0);
    let file = hand
        .app
        .look(|session| session.book().photo_folder().photo(&kept.sha256).unwrap());
    std::fs::remove_file(file).unwrap();
    hand.press_label("Back");
    hand.whole_form();
    hand.press_label("1 photo. Of the load and its readings. ");
    let missing = |label: &String| label.starts_with("The file of this picture is missing");
    assert!(hand.labels().iter().any(missing), "{:?}", hand.labels());
    hand.keep_picture("photos-lost");
}

#[test]
fn a_machine_is_looked_over_after_the_caution() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.write("Customer", "Harrow Tile");
    hand.press("VisitScreen::add");
    hand.press_label("Check list. Not looked at yet. ");
    let line: Record<Line> = hand
        .app
        .look(|session| session.book().all::<Line>().unwrap().remove(0));
    assert_eq!(hand.app.look(Session::here), Place::Machine(line.id));
    hand.keep_picture("machine-caution");
    let good = |hand: &Hand| {
        let said = hand.labels();
        let good: std::collections::BTreeSet<_> =
            said.iter().filter(|of| of.starts_with("Good: ")).collect();
        good.len()
    };
    assert_eq!(good(&hand), 0, "the caution comes first");
    hand.press_label("I have read this");
    hand.size((360.0, 6_000.0));
    assert_eq!(good(&hand), 11);
    hand.write(
        "Locked out by (where a guard was opened)",
        "site electrician",
    );
    hand.enter();
    hand.press_label("Something else: Gap between the rollers");
    hand.press_label("Needs a technician: Gap between the rollers");
    hand.write("Gap measured: Gap between the rollers", "20 thou");
    hand.enter();
    hand.keep_picture("machine");
    let checks = |hand: &Hand| {
        hand.app
            .look(|session| session.book().all::<MachineCheck>().unwrap())
    };
    let kept = checks(&hand);
    assert_eq!(kept.len(), 1);
    assert_eq!(kept[0].item, CheckItem::RollerGap);
    assert_eq!(kept[0].result, CheckResult::NeedsTechnician);
    assert_eq!(kept[0].gap.as_ref().unwrap().text, "0.02 in");
    let visit = hand.visits().remove(0);
    let cautions = hand.app.look(|session| {
        session
            .book()
            .children::<tautbook_core::survey::Caution, Visit>(visit.id)
            .unwrap()
    });
    assert_eq!(cautions[0].about, CautionKind::Machine);
    assert_eq!(cautions[0].line, Some(line.id));
    assert_eq!(cautions[0].isolated_by, "site electrician");

    // A slip of the thumb takes it back, and is mended with who locked the machine out.
    let read = |label: &String| label.starts_with("Caution read ");
    let read = hand.labels().into_iter().find(read).unwrap();
    hand.press_label(&read);
    assert_eq!(good(&hand), 0, "it counts as not read");
    hand.press_label("Bring back");
    assert_eq!(good(&hand), 11);
    let brought_back = hand.app.look(|session| {
        session
            .book()
            .children::<tautbook_core::survey::Caution, Visit>(visit.id)
            .unwrap()
    });
    assert_eq!(brought_back[0].isolated_by, "site electrician");
    // Read once more instead.
    hand.press_label(&read);
    hand.press_label("I have read this");
    let read_again = hand.app.look(|session| {
        session
            .book()
            .children::<tautbook_core::survey::Caution, Visit>(visit.id)
            .unwrap()
    });
    assert_eq!(read_again.len(), 1);
    assert!(read_again[0].id != brought_back[0].id);
    assert_eq!(read_again[0].isolated_by, "site electrician");

    // A photo of it.
    hand.press_label("Photos of: Gap between the rollers");
    hand.size(hand::PHONE);
    chooses(&hand, Some(picture(&folder, "gap.png", 90)));
    hand.press_label("Take a photo");
    hand.wait();
    assert_eq!(photos(&hand).len(), 1);
    assert_eq!(photos(&hand)[0].of, kept[0].reference());
    hand.press_label("Back");
    hand.press_label("Done");
    hand.whole_form();
    assert!(
        hand.labels()
            .contains(&"Check list. 1 of 11 looked at. ".to_owned()),
        "{:?}",
        hand.labels()
    );
}

#[test]
fn what_is_not_good_becomes_a_finding_and_is_set_aside_when_it_is_good_again() {
    use tautbook_core::book::Which;
    use tautbook_core::survey::{Finding, FindingState, Seriousness, WhoMayAct};
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.press("VisitScreen::add");
    hand.press_label("Check list. Not looked at yet. ");
    hand.press_label("I have read this");
    hand.size((360.0, 6_000.0));
    let taps = hand.taps;
    hand.press_label("Good: Springs");
    assert_eq!(hand.taps, taps + 1, "good takes one tap");
    let findings = |hand: &Hand| {
        hand.app
            .look(|session| session.book().all_which::<Finding>(Which::All).unwrap())
    };
    assert!(findings(&hand).is_empty());

    // A card that was opened is open still on coming back.
    hand.press_label("Something else: Springs");
    hand.press_label("Photos of: Springs");
    hand.press_label("Back");
    hand.press_label("Less: Springs");

    hand.press_label("Something else: Brake");
    hand.press_label("Needs a technician: Brake");
    hand.write("What was seen: Brake", "drags on one side");
    hand.enter();
    hand.press_label("A load or a person may come to harm: Brake");
    hand.write(
        "What to do: Brake",
        "Ask the site to have the lining looked at.",
    );
    hand.press_label("Photos of: Brake");
    chooses(&hand, Some(picture(&folder, "brake.png", 30)));
    hand.press_label("Take a photo");
    hand.wait();
    hand.press_label("Back");
    let made = findings(&hand);
    assert_eq!(made.len(), 1);
    assert!(
        made[0].what.contains("drags on one side"),
        "{}",
        made[0].what
    );
    assert_eq!(made[0].seriousness, Seriousness::Serious);
    assert_eq!(made[0].who_may_act, WhoMayAct::Technician);
    assert_eq!(made[0].state, FindingState::Open);
    assert_eq!(made[0].action, "Ask the site to have the lining looked at.");
    assert_eq!(made[0].evidence.len(), 2, "the check and its photo");
    hand.keep_picture("machine-finding");

    // Good again: set aside with its reason, and back by one press.
    hand.press_label("Good: Brake");
    let aside = findings(&hand).remove(0);
    assert!(
        !hand.labels().iter().any(|label| label == "How serious"),
        "off the screen with it"
    );
    assert!(aside.set_aside.is_some());
    assert_eq!(aside.action, made[0].action, "what was written stays");
    hand.press_label("Undo");
    let back = findings(&hand).remove(0);
    assert!(back.set_aside.is_none());
    assert_eq!(back.body, made[0].body);

    // Good and then not good after all: the same finding.
    hand.press_label("Good: Brake");
    assert!(said(&hand).contains("was set aside"), "{}", said(&hand));
    hand.press_label("Close");
    hand.press_label("Needs a technician: Brake");
    let again = findings(&hand);
    assert_eq!(again.len(), 1);
    assert!(again[0].set_aside.is_none());
    assert_eq!(again[0].body, made[0].body);
    hand.press_label("Done: Brake");
    assert_eq!(findings(&hand)[0].state, FindingState::Done);
}
