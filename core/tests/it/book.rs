//! The book: actions, history, undo, setting aside, searching, taking in.

use std::path::Path;

use tautbook_core::book::{Book, BookError, FixedClock, OpenMode, SystemClock, Which};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::survey::{
    FilmWeight, Id, Line, Load, Measure, Moment, Purpose, Reading, Record, Setup, SetupRole, Tool,
    ToolKind, Visit, Zone,
};
use tautbook_core::units::MethodId;

fn book(folder: &Path) -> Book {
    Book::open(
        &folder.join("book.taut"),
        OpenMode::OpenOrStart,
        Box::new(SystemClock),
    )
    .unwrap()
    .0
}

fn visit(customer: &str) -> Visit {
    Visit {
        customer: customer.to_owned(),
        site: "Kiln Lane".to_owned(),
        date: chrono::NaiveDate::from_ymd_opt(2026, 3, 4).unwrap(),
        rep: "R. Moss".to_owned(),
        purpose: Purpose::Baseline,
        bag: Vec::new(),
        safety: Vec::new(),
        notes: String::new(),
    }
}

fn reading(load: Id<Load>, zone: Zone, method: MethodId, value: &str, order: u32) -> Reading {
    Reading {
        load,
        tool: None,
        zone,
        face: None,
        measure: Measure::new(method, value.parse().unwrap()),
        order,
        taken_at: Moment::from_unix_ms(1_772_600_000_000, -300).unwrap(),
        who: String::new(),
        zeroed_at: None,
        minutes_since_wrapping: None,
        film_temperature_celsius: None,
        notes: String::new(),
    }
}

/// A visit with a line, a setup and a load.
fn a_load(book: &mut Book) -> (Record<Visit>, Record<Load>) {
    book.act("start_visit", |act| {
        let visit = act.add(visit("Harrow Tile"))?;
        let line = act.add(Line::new(visit.id, "Line 1"))?;
        let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
        let load = act.add(Load::new(setup.id, "Load 1"))?;
        Ok((visit, load))
    })
    .unwrap()
    .value
}

#[test]
fn what_an_action_added_is_there_after_opening_again() {
    let folder = tempfile::tempdir().unwrap();
    let (visit, load) = a_load(&mut book(folder.path()));
    let again = book(folder.path());
    assert_eq!(again.get(visit.id).unwrap(), visit);
    assert_eq!(again.get(load.id).unwrap(), load);
    let records = again.visit_records(visit.id, Which::InUse).unwrap();
    assert_eq!(records.len(), 4);
    assert_eq!(again.visit_of(load.reference()).unwrap(), Some(visit.id));
}

#[test]
fn an_action_that_fails_half_way_changes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let error = book
        .act("start_visit", |act| {
            let visit = act.add(visit("Harrow Tile"))?;
            act.add(Line::new(visit.id, "  "))
        })
        .unwrap_err();
    assert!(matches!(error, BookError::Content { .. }), "{error}");
    assert!(
        error.to_string().contains("what the site calls this line"),
        "{error}"
    );
    assert!(book.all::<Visit>().unwrap().is_empty());
    assert!(book.actions(10).unwrap().is_empty());
}

#[test]
fn every_changed_field_is_in_the_history_and_can_be_undone() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let (visit, _) = a_load(&mut book);
    let done = book
        .act("edit_visit", |act| {
            act.change(visit.id, |visit| {
                visit.site = "Dock Road".to_owned();
                visit.notes = "gate 4".to_owned();
            })
        })
        .unwrap();
    let history = book.history(visit.reference()).unwrap();
    let fields: Vec<_> = history.iter().map(|change| change.field.as_str()).collect();
    assert_eq!(fields, ["", "notes", "site"]);
    assert_eq!(history[2].old, Some("Kiln Lane".into()));
    assert_eq!(history[2].new, Some("Dock Road".into()));

    book.undo(done.action.unwrap()).unwrap();
    assert_eq!(book.get(visit.id).unwrap().body, visit.body);
    let error = book.undo(done.action.unwrap()).unwrap_err();
    assert!(matches!(error, BookError::AlreadyUndone), "{error}");
    let undoing = book.actions(1).unwrap().remove(0);
    assert_eq!(undoing.undoes, done.action);
    book.undo(undoing.key).unwrap();
    assert_eq!(
        book.get(visit.id).unwrap().site,
        "Dock Road",
        "undoing the undoing does it again"
    );
}

#[test]
fn nested_settings_change_one_by_one() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let (_, load) = a_load(&mut book);
    let setup = book.get(load.setup).unwrap();
    book.act("edit_setup", |act| {
        act.change(setup.id, |setup| {
            setup.settings.bottom_turns = Some(3.0);
            setup.settings.film_force = "6.5".to_owned();
        })
    })
    .unwrap();
    let fields: Vec<_> = book
        .history(setup.reference())
        .unwrap()
        .into_iter()
        .map(|change| change.field)
        .collect();
    assert_eq!(fields, ["", "settings.bottom_turns", "settings.film_force"]);
}

#[test]
fn undo_never_overwrites_something_later() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let (visit, _) = a_load(&mut book);
    let edit = |book: &mut Book, site: &str| {
        let site = site.to_owned();
        book.act("edit_visit", |act| {
            act.change(visit.id, |visit| visit.site = site)
        })
        .unwrap()
        .action
        .unwrap()
    };
    let first = edit(&mut book, "Dock Road");
    let second = edit(&mut book, "Mill Street");
    let error = book.undo(first).unwrap_err();
    assert!(matches!(error, BookError::ChangedSince { .. }), "{error}");
    assert_eq!(book.get(visit.id).unwrap().site, "Mill Street");
    book.undo(second).unwrap();
    book.undo(first).unwrap();
    assert_eq!(book.get(visit.id).unwrap().site, "Kiln Lane");
}

#[test]
fn set_aside_is_not_deleted() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let (visit, load) = a_load(&mut book);
    let taken = book
        .act("take_reading", |act| {
            act.add(reading(
                load.id,
                Zone::Top,
                MethodId::PullPlate,
                "12 lb 6 oz",
                1,
            ))
        })
        .unwrap();
    book.act("set_aside", |act| {
        act.set_aside(taken.value.id, "film tore")
    })
    .unwrap();
    assert!(book.children::<Reading, _>(load.id).unwrap().is_empty());
    let all = book
        .children_which::<Reading, _>(load.id, Which::All)
        .unwrap();
    assert_eq!(all[0].set_aside.as_ref().unwrap().reason, "film tore");
    assert_eq!(all[0].measure, taken.value.measure);
    assert_eq!(
        book.visit_records(visit.id, Which::InUse)
            .unwrap()
            .readings
            .len(),
        0
    );
    assert_eq!(
        book.visit_records(visit.id, Which::All)
            .unwrap()
            .readings
            .len(),
        1
    );
    book.act("bring_back", |act| act.bring_back(taken.value.id))
        .unwrap();
    assert_eq!(book.children::<Reading, _>(load.id).unwrap().len(), 1);
    book.undo(book.action_that_made(taken.value.reference()).unwrap())
        .unwrap();
    assert!(
        book.children::<Reading, _>(load.id).unwrap().is_empty(),
        "undoing sets aside"
    );
}

#[test]
fn a_parent_that_is_not_there_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let nowhere: Id<Load> = Id::from_uuid(uuid::Uuid::from_u128(7));
    let error = book
        .act("take_reading", |act| {
            act.add(reading(
                nowhere,
                Zone::Top,
                MethodId::TorsionTool,
                "3 lb",
                1,
            ))
        })
        .unwrap_err();
    assert!(
        matches!(error, BookError::NoParent { field: "load", .. }),
        "{error}"
    );
}

#[test]
fn a_reading_cannot_name_the_other_methods_tool() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let (_, load) = a_load(&mut book);
    let tool = book
        .act("add_tool", |act| {
            act.add(Tool::new(ToolKind::PullPlate, "Plate 2"))
        })
        .unwrap()
        .value;
    let take = |book: &mut Book, method| {
        book.act("take_reading", |act| {
            let mut taken = reading(load.id, Zone::Top, method, "3 lb", 1);
            taken.tool = Some(tool.id);
            act.add(taken)
        })
    };
    let error = take(&mut book, MethodId::TorsionTool).unwrap_err();
    assert!(
        matches!(&error, BookError::Content { source, .. } if source.field == "tool"),
        "{error}"
    );
    assert!(error.to_string().contains("choose another tool"), "{error}");
    take(&mut book, MethodId::PullPlate).unwrap();
}

#[test]
fn search_finds_by_the_beginning_of_words_whatever_case_and_accents() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let (visit_record, load) = a_load(&mut book);
    book.act("edit_load", |act| {
        act.change(load.id, |load| {
            load.notes = "Carton crushed près du quai".to_owned();
        })
    })
    .unwrap();
    let hits = |book: &Book, text: &str| book.search(text, 10).unwrap();
    assert_eq!(hits(&book, "PRES quai")[0].record, load.reference());
    assert_eq!(hits(&book, "PRES quai")[0].visit, Some(visit_record.id));
    assert_eq!(
        hits(&book, "PRES quai")[0].phrase,
        "Carton crushed près du quai"
    );
    assert_eq!(hits(&book, "harr ti")[0].record, visit_record.reference());
    assert!(
        hits(&book, "harrow quai").is_empty(),
        "all words in one record"
    );
    assert!(hits(&book, "  ").is_empty());
    assert!(
        hits(&book, "\" OR * NEAR(").is_empty(),
        "the language of the index is not spoken"
    );
    book.act("edit_load", |act| {
        act.change(load.id, |load| load.notes.clear())
    })
    .unwrap();
    assert!(
        hits(&book, "quai").is_empty(),
        "what was overwritten is not found"
    );
    book.act("set_aside", |act| act.set_aside(load.id, "counted twice"))
        .unwrap();
    assert!(hits(&book, "load")[0].set_aside);
    assert!(book.verify().unwrap().faults.is_empty());
}

#[test]
fn taking_in_twice_changes_nothing_and_a_later_change_stands() {
    let folder = tempfile::tempdir().unwrap();
    let mut here = book(folder.path());
    let (visit_record, load) = a_load(&mut here);
    here.act("weigh_film", |act| {
        act.add(FilmWeight {
            load: load.id,
            tool: None,
            gross: "16 oz".parse().unwrap(),
            tare: Some("1 oz".parse().unwrap()),
            loads_together: 3,
            taken_at: act.now(),
            notes: String::new(),
        })
    })
    .unwrap();
    let records = here.visit_records(visit_record.id, Which::All).unwrap();
    let text = RecordsFile::new(records).write().unwrap();
    let records = RecordsFile::read(text.as_bytes()).unwrap().records;

    let other = tempfile::tempdir().unwrap();
    let mut there = book(other.path());
    let first = there.import(&records).unwrap();
    assert_eq!(first.value.total().added, 5);
    let second = there.import(&records).unwrap();
    assert_eq!(second.value.total().unchanged, 5);
    assert_eq!(
        second.action, None,
        "nothing happened, so nothing stands in the history"
    );
    assert_eq!(
        there.visit_records(visit_record.id, Which::All).unwrap(),
        records
    );

    let mut later = records.clone();
    later.loads[0].body.notes = "re-stacked".to_owned();
    later.loads[0].changed = Moment::from_unix_ms(later.loads[0].changed.unix_ms() + 1, 0).unwrap();
    assert_eq!(there.import(&later).unwrap().value.total().changed, 1);
    assert_eq!(there.get(load.id).unwrap().notes, "re-stacked");
    assert_eq!(
        there.import(&records).unwrap().value.total().changed,
        0,
        "older says nothing new"
    );
    assert_eq!(there.get(load.id).unwrap().notes, "re-stacked");

    let mut orphan = records;
    orphan.setups.clear();
    let empty = tempfile::tempdir().unwrap();
    let mut fresh = book(empty.path());
    let error = fresh.import(&orphan).unwrap_err();
    assert!(
        matches!(error, BookError::NoParent { field: "setup", .. }),
        "{error}"
    );
    assert!(
        fresh.all::<Visit>().unwrap().is_empty(),
        "nothing was taken in"
    );
}

#[test]
fn times_in_the_record_are_the_clocks_with_its_offset() {
    let folder = tempfile::tempdir().unwrap();
    let at = Moment::parse("2026-03-04T09:30:00.250-05:00").unwrap();
    let (mut book, _) = Book::open(
        &folder.path().join("book.taut"),
        OpenMode::OpenOrStart,
        Box::new(FixedClock(at)),
    )
    .unwrap();
    let (visit, _) = a_load(&mut book);
    let kept = book.get(visit.id).unwrap();
    assert_eq!(kept.created.to_string(), "2026-03-04T09:30:00.250-05:00");
    assert_eq!(kept.id.uuid().get_version_num(), 7);
    let (seconds, nanos) = kept.id.uuid().get_timestamp().unwrap().to_unix();
    assert_eq!(
        (seconds * 1000) + u64::from(nanos / 1_000_000),
        1_772_634_600_250
    );
}

#[test]
fn text_cleared_in_the_same_moment_is_not_found() {
    let folder = tempfile::tempdir().unwrap();
    let at = Moment::parse("2026-03-04T09:30:00Z").unwrap();
    let path = folder.path().join("book.taut");
    let (mut book, _) = Book::open(&path, OpenMode::OpenOrStart, Box::new(FixedClock(at))).unwrap();
    let tool = book
        .act("add_tool", |act| {
            act.add(Tool::new(ToolKind::FilmScale, "Bench scale"))
        })
        .unwrap()
        .value;
    book.act("edit_tool", |act| {
        act.change(tool.id, |tool| tool.name = "Other".to_owned())
    })
    .unwrap();
    assert!(book.search("bench", 5).unwrap().is_empty());
    assert_eq!(book.search("other", 5).unwrap().len(), 1);
    assert!(book.verify().unwrap().faults.is_empty());
}

#[test]
fn lists_keep_the_order_of_doing_when_the_clock_is_set_back() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.taut");
    for (clock, customer) in [
        ("2026-03-04T09:30:00Z", "first"),
        ("2019-01-01T00:00:00Z", "second"),
    ] {
        let clock = FixedClock(Moment::parse(clock).unwrap());
        let (mut book, _) = Book::open(&path, OpenMode::OpenOrStart, Box::new(clock)).unwrap();
        book.act("start_visit", |act| act.add(visit(customer)))
            .unwrap();
    }
    let visits = book(folder.path()).all::<Visit>().unwrap();
    let order: Vec<_> = visits.iter().map(|visit| visit.customer.as_str()).collect();
    assert_eq!(order, ["first", "second"]);
    assert!(
        visits[1].created < visits[0].created,
        "what the clock said is kept too"
    );
}

#[test]
fn a_record_that_moved_is_found_in_its_new_visit() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let (_, load) = a_load(&mut book);
    let (other, _) = a_load(&mut book);
    let line = book.get(book.get(load.setup).unwrap().line).unwrap();
    book.act("move_line", |act| {
        act.change(load.id, |load| load.notes = "quayside".to_owned())?;
        act.change(line.id, |line| line.visit = other.id)
    })
    .unwrap();
    assert_eq!(book.search("quayside", 5).unwrap()[0].visit, Some(other.id));
    assert!(book.verify().unwrap().faults.is_empty());
}

#[test]
fn an_action_in_effect_again_can_be_undone_again() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    let (visit, _) = a_load(&mut book);
    let edit = book
        .act("edit_visit", |act| {
            act.change(visit.id, |visit| visit.site = "Dock".to_owned())
        })
        .unwrap()
        .action
        .unwrap();
    let undo = book.undo(edit).unwrap().action.unwrap();
    book.undo(undo).unwrap();
    assert!(!book.changes(edit).unwrap()[0].action.undone);
    book.undo(edit).unwrap();
    assert_eq!(book.get(visit.id).unwrap().site, "Kiln Lane");
}

#[test]
fn what_the_device_remembers_is_not_in_the_history() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path());
    assert_eq!(book.state("place").unwrap(), None);
    book.set_state("place", "load 3").unwrap();
    book.set_state("place", "load 4").unwrap();
    assert_eq!(book.state("place").unwrap().as_deref(), Some("load 4"));
    book.forget_state("place").unwrap();
    assert_eq!(book.state("place").unwrap(), None);
    assert!(book.actions(10).unwrap().is_empty());
}
