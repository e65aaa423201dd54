//! Work beside the screens, driven by presses: how far it is rises on the screen, and Stop ends it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::mpsc::{Sender, channel};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use slint::ComponentHandle;
use tautbook_core::book::{Book, BookError, OpenMode, SystemClock};
use tautbook_core::survey::Photo;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::{arrivals, report, send};
use tautbook_ui::screens::SendAdapter;
use tautbook_ui::session::{NoticeAct, Session};

use crate::hand::Hand;
use crate::send::{has, made, to_send, to_today, visited};
use crate::{Folder, photos};

/// Somebody else writes in the book: as long as this is there nobody can but them.
struct Held {
    let_go: Option<Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

impl Held {
    fn of(book: &Path) -> Self {
        let (mut book, _) = Book::open(book, OpenMode::Existing, Box::new(SystemClock)).unwrap();
        let (let_go, until) = channel::<()>();
        let (holds, held) = channel();
        let thread = std::thread::spawn(move || {
            let nothing = book.act("hold", |_| {
                holds.send(()).unwrap();
                until.recv().ok();
                Ok::<_, BookError>(())
            });
            nothing.unwrap();
        });
        held.recv().unwrap();
        Self {
            let_go: Some(let_go),
            thread: Some(thread),
        }
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        self.let_go.take();
        if let Some(thread) = self.thread.take() {
            thread.join().ok();
        }
    }
}

/// The day file of another phone.
fn from_another(folder: &Folder) -> PathBuf {
    let mut other = visited(folder);
    to_send(&mut other);
    made(&mut other)
}

/// Lets the screens ask once what has become of the work.
fn tick(hand: &Hand) {
    std::thread::sleep(Duration::from_millis(10));
    i_slint_backend_testing::mock_elapsed_time(Duration::from_millis(110));
    slint::platform::update_timers_and_animations();
    hand.settle();
}

/// Waits for something to show; whether it did.
fn comes(hand: &Hand, what: impl Fn(&Hand) -> bool) -> bool {
    (0..250).any(|_| {
        tick(hand);
        what(hand)
    })
}

/// What is said over the page, and what its button does.
fn said(hand: &Hand) -> (String, Option<NoticeAct>) {
    let notice = hand.app.look(|session| session.notice().cloned()).unwrap();
    (notice.text, notice.act)
}

fn share(hand: &Hand) -> f32 {
    hand.window.global::<SendAdapter<'_>>().get_share()
}

#[test]
fn how_far_the_work_is_rises_on_the_screen() {
    let (ours, theirs) = (Folder::new(), Folder::new());
    let file = from_another(&theirs);
    let mut hand = Hand::on(&ours.book());
    to_send(&mut hand);
    let held = Held::of(&ours.book());
    *hand.device.chooses.borrow_mut() = Some(Some(file));
    hand.press_label("Take in a day file");
    assert!(comes(&hand, |hand| has(hand, "Working on the file")));
    // Nothing but how far it is changes until the book can be written.
    assert!(comes(&hand, |hand| share(hand) > 0.5), "{}", share(&hand));
    assert!(hand.app.look(Session::awaits));
    drop(held);
    hand.wait();
    assert!(has(&hand, "records are new"), "{:?}", hand.labels());
}

#[test]
fn stop_ends_the_work() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    photos::to_photos(&mut hand);
    // The picture comes in only when this test gives it out.
    let slow = folder.0.path().join("slow.png");
    let made = Command::new("mkfifo").arg(&slow).status().unwrap();
    assert!(made.success());
    *hand.device.chooses.borrow_mut() = Some(Some(slow.clone()));
    hand.press_label("Take a photo");
    assert!(comes(&hand, |hand| has(hand, "Keeping the photo")));
    hand.press_label("Stop");
    let picture = photos::picture_in(folder.0.path(), "whole.png", 90);
    std::fs::write(slow, std::fs::read(picture).unwrap()).unwrap();
    hand.wait();
    let (text, _) = said(&hand);
    assert!(text.contains("called off"), "{text}");
    let kept = hand.app.look(|session| session.book().all::<Photo>());
    assert!(kept.unwrap().is_empty());
}

#[test]
fn what_became_of_a_file_is_told_to_who_has_gone_on() {
    let (ours, theirs) = (Folder::new(), Folder::new());
    let file = from_another(&theirs);
    let mut hand = visited(&ours);
    to_send(&mut hand);
    // Taken in, on Today.
    let sent = file.clone();
    hand.app.act(move |session| {
        arrivals::day_file_sent(session, sent);
        session.back();
    });
    hand.wait();
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    let open = Some(NoticeAct::Open(Place::Send));
    assert_eq!(said(&hand), (format!("{name} was taken in."), open));
    to_send(&mut hand);
    assert!(has(&hand, "records are new"), "{:?}", hand.labels());

    // Made, on Today.
    hand.app.act(|session| {
        send::make(session);
        session.back();
    });
    hand.wait();
    assert_eq!(said(&hand).0, "The day file is ready to send.");
    hand.press_label("Open");
    assert!(has(&hand, "Send the file"), "{:?}", hand.labels());

    // A report, on Today too; and one that could not be made.
    let visit = hand.visits()[0].id;
    hand.app.act(move |session| {
        report::open(session, visit);
        report::make(session, visit);
        session.go(Place::Today);
    });
    hand.wait();
    let open = Some(NoticeAct::Open(Place::Report(visit)));
    let ready = "The pages are ready to hand over.".to_owned();
    assert_eq!(said(&hand), (ready, open));
    hand.press_label("Open");
    hand.press_label("Hand it over");

    // Refused, on Today.
    let none = ours.0.path().join("holiday.zip");
    std::fs::write(&none, "no day file").unwrap();
    hand.app.act(move |session| {
        arrivals::day_file_sent(session, none);
        session.go(Place::Today);
    });
    hand.wait();
    let (text, _) = said(&hand);
    assert!(text.starts_with("holiday.zip was not taken in. "), "{text}");
}

#[test]
fn several_files_are_taken_in_one_after_another_and_each_is_told_of() {
    let (ours, theirs) = (Folder::new(), Folder::new());
    let file = from_another(&theirs);
    let again = ours.0.path().join("again.zip");
    let none = ours.0.path().join("holiday.zip");
    std::fs::copy(&file, &again).unwrap();
    std::fs::write(&none, "no day file").unwrap();
    let hand = Hand::on(&ours.book());
    hand.whole_form();
    let (first, second, third) = (file.clone(), none, again);
    hand.app.act(move |session| {
        for file in [first, second, third] {
            arrivals::day_file_sent(session, file);
        }
    });
    hand.wait();
    let name = file.file_name().unwrap().to_string_lossy().into_owned();
    let labels = hand.labels();
    let told = [
        &name,
        "records are new",
        "again.zip",
        "was in this book before",
    ];
    let at = told.map(|words| labels.iter().position(|label| label.contains(words)));
    assert!(at[0].is_some() && at.is_sorted(), "{at:?} in {labels:?}");
    assert!(has(&hand, "holiday.zip was not taken in."), "{labels:?}");
    hand.app.act(|session| {
        session.back();
        assert_eq!(session.here(), Place::Today, "Send is there once");
    });
}

#[test]
fn a_locked_file_waits_for_its_passphrase_and_for_no_other() {
    let (ours, theirs) = (Folder::new(), Folder::new());
    let mut other = visited(&theirs);
    to_send(&mut other);
    other.write("Passphrase, if the file is to be locked", "row seven dock");
    let file = made(&mut other);
    let mut hand = Hand::on(&ours.book());
    to_send(&mut hand);
    *hand.device.chooses.borrow_mut() = Some(Some(file));
    hand.press_label("Take in a day file");
    hand.wait();
    to_today(&mut hand);
    to_send(&mut hand);
    hand.write("Passphrase of the locked file", "row seven dock");
    hand.press_label("Open the locked file");
    hand.wait();
    assert_eq!(hand.visits().len(), 1, "{:?}", hand.labels());
    assert!(hand.labelled("Open the locked file").is_empty());
}

#[test]
fn keys_are_taken_while_somebody_else_writes_and_written_down_after() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    crate::to_read(&mut hand);
    let held = Held::of(&folder.book());
    let before = Instant::now();
    hand.keys(&["1", "2", "lb", "6"]);
    let took = before.elapsed();
    assert!(took < Duration::from_secs(4), "{took:?}");
    drop(held);
    hand.wait();
    std::mem::forget(hand); // A killed process closes nothing.

    let mut hand = Hand::on(&folder.book());
    hand.press("Keypad::save-key");
    let kept = crate::readings(&hand).remove(0).0;
    assert_eq!(kept, "12 lb 6 oz");
}
