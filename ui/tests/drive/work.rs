//! Work beside the screens, driven by presses: how far it is rises on the screen, and Stop ends it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::mpsc::{Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use slint::ComponentHandle;
use tautbook_core::book::{Book, BookError, OpenMode, SystemClock};
use tautbook_core::survey::Photo;
use tautbook_ui::screens::SendAdapter;
use tautbook_ui::session::Session;

use crate::hand::Hand;
use crate::send::{has, made, to_send, visited};
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
    let said = hand.app.look(|session| session.notice().cloned()).unwrap();
    assert!(said.text.contains("called off"), "{}", said.text);
    let kept = hand.app.look(|session| session.book().all::<Photo>());
    assert!(kept.unwrap().is_empty());
}
