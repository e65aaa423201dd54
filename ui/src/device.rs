//! The one way from the screens to the platform.

use std::path::{Path, PathBuf};

use tautbook_core::language::Language;

/// Where a picture is to come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureFrom {
    /// The camera.
    Camera,
    /// The files and pictures that are there already.
    Files,
}

/// Takes the answer to [`Device::ask_picture`] or [`Device::ask_day_file`], on whatever thread: a
/// file, `None` when the person chose none, or why there can be none and what to do.
pub type FileAnswer = Box<dyn FnOnce(Result<Option<PathBuf>, String>) + Send>;

/// Takes the answer to [`Device::share`], on whatever thread: what was done with the file, or why
/// nothing could be and what to do, each as a sentence.
pub type ShareAnswer = Box<dyn FnOnce(Result<String, String>) + Send>;

/// What the screens ask of the phone or the desktop they run on.
pub trait Device {
    /// The language this machine is set to, if it is one of ours.
    fn language(&self) -> Option<Language> {
        None
    }

    /// Says in which language the person is to be spoken to from now on, for what the platform asks
    /// and answers itself.
    fn speak(&self, _language: Language) {}

    /// A short buzz that says "saved" to a hand in a glove. A machine that cannot buzz does
    /// nothing.
    fn buzz(&self);

    /// Keeps the screen lit while a load is being read.
    fn keep_screen_on(&self, on: bool);

    /// Whether it has a camera to ask.
    fn has_camera(&self) -> bool;

    /// Asks for a picture and returns at once. The answer comes once, when the person has taken or
    /// chosen one, which may be long after. A phone may end the app meanwhile: `target` is what the
    /// picture is for, and is given back with it to
    /// [`picture_came`](crate::presenters::arrivals::picture_came).
    fn ask_picture(&self, from: PictureFrom, target: &str, answer: FileAnswer);

    /// Asks for a day file and returns at once, as [`Device::ask_picture`] does.
    fn ask_day_file(&self, answer: FileAnswer);

    /// Where a mark is to be while a picture it gave is read, so that one that ends the app is not tried
    /// again and again; `None` where that is not wanted.
    fn mark_of(&self, _file: &Path) -> Option<PathBuf> {
        None
    }

    /// Says what became of a file it gave. A device that brought the file over for this may clear it
    /// away, unless there was no room: then it may give it again. Where one that was not recorded is
    /// still to be had, as a sentence.
    fn served(&self, _file: &Path, _became: Became) -> Option<String> {
        None
    }

    /// Hands a file to the platform: to print, to send, to keep elsewhere. Returns at once; the answer
    /// comes once.
    fn share(&self, file: &Path, answer: ShareAnswer);
}

const NO_CHOOSER: &str = "There is nothing to choose files with on this machine.";

/// What became of a file that a device gave.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Became {
    /// What was in it is on the disk and recorded.
    Recorded,
    /// It could not be taken, and the person is told why.
    Refused,
    /// It could not be taken now, for want of room.
    NoRoom,
}

/// A machine that can neither buzz nor go dark on its own and has nothing to choose files with: the
/// tests.
#[derive(Debug, Clone, Copy, Default)]
pub struct Desktop;

impl Device for Desktop {
    fn buzz(&self) {}
    fn keep_screen_on(&self, _on: bool) {}
    fn has_camera(&self) -> bool {
        false
    }
    fn ask_picture(&self, _from: PictureFrom, _target: &str, answer: FileAnswer) {
        answer(Err(NO_CHOOSER.to_owned()));
    }
    fn ask_day_file(&self, answer: FileAnswer) {
        answer(Err(NO_CHOOSER.to_owned()));
    }
    fn share(&self, file: &Path, answer: ShareAnswer) {
        answer(Ok(format!("It is in {}.", file.display())));
    }
}
