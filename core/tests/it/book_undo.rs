//! Undoing what hangs together, and what never changed anything.

use std::path::Path;

use tautbook_core::book::{Book, OpenMode, SystemClock, Which};
use tautbook_core::language::Language;
use tautbook_core::survey::{
    FilmWeight, Kind, Line, Load, Moment, Purpose, Record, RecordRef, RecordSet, SetAside, Setup,
    SetupRole, Visit,
};

fn book(folder: &Path, name: &str) -> Book {
    let path = folder.join(name);
    Book::open(&path, OpenMode::OpenOrStart, Box::new(SystemClock))
        .unwrap()
        .0
}

/// A load on a visit, with its film weighed.
fn weighed(book: &mut Book) -> (Record<Visit>, Record<FilmWeight>) {
    let visit = Visit {
        customer: "Harrow Tile".to_owned(),
        site: "Kiln Lane".to_owned(),
        date: chrono::NaiveDate::from_ymd_opt(2026, 3, 4).unwrap(),
        rep: "R. Moss".to_owned(),
        purpose: Purpose::Baseline,
        bag: Vec::new(),
        safety: Vec::new(),
        notes: String::new(),
    };
    let done = book.act("start_visit", |act| {
        let visit = act.add(visit)?;
        let line = act.add(Line::new(visit.id, "Line 1"))?;
        let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
        let load = act.add(Load::new(setup.id, "Load 1"))?;
        let weight = act.add(FilmWeight {
            load: load.id,
            tool: None,
            gross: "16 oz".parse().unwrap(),
            tare: Some("8 oz".parse().unwrap()),
            loads_together: 1,
            taken_at: act.now(),
            notes: String::new(),
        })?;
        Ok((visit, weight))
    });
    done.unwrap().value
}

#[test]
fn fields_that_changed_together_are_undone_together() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path(), "book.taut");
    let (_, weight) = weighed(&mut book);
    let edit = book.act("edit_film_weight", |act| {
        act.change(weight.id, |weight| {
            weight.gross = "4 oz".parse().unwrap();
            weight.tare = Some("1 oz".parse().unwrap());
        })
    });
    // With one field back and the other not yet, tare would be more than gross.
    book.undo(edit.unwrap().action.unwrap()).unwrap();
    assert_eq!(book.get(weight.id).unwrap().body, weight.body);
}

#[test]
fn an_older_version_is_kept_in_the_history_and_undoing_that_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut here = book(folder.path(), "here.taut");
    let (visit, weight) = weighed(&mut here);
    let newer = here.visit_records(visit.id, Which::All).unwrap();
    let mut there = book(folder.path(), "there.taut");
    there.import(&newer).unwrap();

    let mut older: RecordSet = newer.clone();
    older.film_weights[0].body.notes = "scale not level".to_owned();
    older.film_weights[0].set_aside = Some(tautbook_core::survey::SetAside {
        at: weight.created,
        reason: "weighed again".to_owned(),
    });
    older.film_weights[0].changed =
        Moment::from_unix_ms(weight.changed.unix_ms() - 1_000, 0).unwrap();
    let taken = there.import(&older).unwrap();
    assert_eq!(
        there.get(weight.id).unwrap(),
        weight,
        "the newer one stands"
    );
    let history = there.history(weight.reference()).unwrap();
    let kept: Vec<_> = history
        .iter()
        .map(|change| {
            (
                change.field.as_str(),
                change.old.is_some(),
                change.new.is_some(),
            )
        })
        .collect();
    assert_eq!(
        kept,
        [
            ("", false, true),
            ("notes", true, false),
            ("set_aside", true, false)
        ]
    );
    assert_eq!(history[1].old, Some("scale not level".into()));

    let undone = there.undo(taken.action.unwrap()).unwrap();
    assert_eq!(undone.action, None, "there was nothing to undo");
    assert_eq!(there.get(weight.id).unwrap(), weight);
    assert_eq!(
        there.import(&older).unwrap().action,
        None,
        "what is kept already is not kept again"
    );
}

#[test]
fn what_is_set_aside_is_listed_the_last_first() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path(), "book.taut");
    let (visit, weight) = weighed(&mut book);
    let kinds = [Kind::Visit, Kind::FilmWeight];
    let listed = |book: &Book, most: u32| -> Vec<RecordRef> {
        let found = book.set_aside_of(&kinds, most).unwrap();
        found.into_iter().map(|(record, _)| record).collect()
    };
    assert_eq!(listed(&book, 9), []);
    book.set_aside(weight.reference(), "torn").unwrap();
    std::thread::sleep(std::time::Duration::from_millis(2));
    book.set_aside(visit.reference(), "a trial").unwrap();
    assert_eq!(listed(&book, 9), [visit.reference(), weight.reference()]);
    assert_eq!(listed(&book, 1), [visit.reference()]);
    let found = book.set_aside_of(&[Kind::FilmWeight], 9).unwrap();
    assert_eq!(found[0].1.reason, "torn");
    assert_eq!(book.set_aside_of(&[Kind::Load], 9).unwrap(), []);
    assert_eq!(book.set_aside_of(&[], 9).unwrap(), []);
    book.bring_back(visit.reference()).unwrap();
    assert_eq!(listed(&book, 9), [weight.reference()]);
}

#[test]
fn a_usual_reason_is_told_in_the_readers_language_and_an_own_one_as_written() {
    let aside = |reason: &str| SetAside {
        at: Moment::from_unix_ms(0, 0).unwrap(),
        reason: reason.to_owned(),
    };
    assert_eq!(aside(SetAside::UNDONE).why(Language::Spanish), "anulada");
    assert_eq!(aside(SetAside::BY_HAND).why(Language::French), "à la main");
    assert_eq!(aside(SetAside::UNDONE).why(Language::English), "undone");
    assert_eq!(aside("undone twice").why(Language::Spanish), "undone twice");
}
