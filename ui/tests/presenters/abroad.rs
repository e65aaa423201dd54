//! The language of the screens before anybody has chosen one, and in what is said and asked.

use std::path::Path;

use tautbook_core::book::{Book, FixedClock, OpenMode};
use tautbook_core::language::Language;
use tautbook_ui::device::{Device, FileAnswer, PictureFrom, ShareAnswer};
use tautbook_ui::presenters::visit;
use tautbook_ui::session::{Look, Session};

use crate::{Desk, at};

/// A machine that is set to a language.
struct SetTo(Option<Language>);

impl Device for SetTo {
    fn language(&self) -> Option<Language> {
        self.0
    }
    fn buzz(&self) {}
    fn keep_screen_on(&self, _on: bool) {}
    fn has_camera(&self) -> bool {
        false
    }
    fn ask_picture(&self, _from: PictureFrom, _target: &str, _answer: FileAnswer) {}
    fn ask_day_file(&self, _answer: FileAnswer) {}
    fn share(&self, _file: &Path, _answer: ShareAnswer) {}
}

fn start(path: &Path, set_to: Option<Language>) -> Session {
    let clock = Box::new(FixedClock(at(0)));
    let (book, opened) = Book::open(path, OpenMode::OpenOrStart, clock).unwrap();
    Session::resume(book, &opened, Box::new(SetTo(set_to))).unwrap()
}

#[test]
fn the_language_is_that_of_the_machine_until_one_is_chosen() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.taut");
    assert_eq!(start(&path, None).language(), Language::English);
    assert_eq!(
        start(&path, Some(Language::Spanish)).language(),
        Language::Spanish
    );
    let mut session = start(&path, Some(Language::Spanish));
    let look = Look {
        language: Language::French,
        ..session.look()
    };
    session.set_look(look);
    drop(session);
    assert_eq!(
        start(&path, Some(Language::Spanish)).language(),
        Language::French
    );
}

#[test]
fn what_is_asked_and_what_is_wrong_is_said_in_the_language() {
    let mut desk = Desk::new();
    let look = Look {
        language: Language::Spanish,
        ..desk.session.look()
    };
    desk.session.set_look(look);
    let id = desk.visit;
    visit::edit(&mut desk.session, id, visit::Field::Date, "mañana");
    desk.session.go(tautbook_ui::place::Place::Visit(id));
    visit::edit(&mut desk.session, id, visit::Field::Date, "mañana");
    let error = visit::view(&desk.session, id).unwrap().date.error;
    assert!(error.contains("no es una fecha"), "{error}");
    visit::ask_set_aside(&mut desk.session, id);
    let asked = desk.session.question().unwrap();
    assert_eq!(asked.title, "¿Apartar esta visita?");
    assert!(asked.text.contains("No se borra nada"), "{}", asked.text);
}
