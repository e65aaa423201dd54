//! From labels to samples in the book, and what became of them.

use std::path::Path;

use chrono::NaiveDate;
use tautbook_core::book::{Book, FixedClock, OpenMode, Which};
use tautbook_core::label::read::{Reading, Seen};
use tautbook_core::label::{
    CodeError, LabelCode, Lookup, SampleState, ShortCode, ShortCodeError, Slip, Typed,
    due_for_release, look_up, look_up_pictured, look_up_short, look_up_typed, sample_facts,
    samples_due, state_of,
};
use tautbook_core::survey::{
    Id, Line, Load, Moment, Purpose, Record, RecordSet, Sample, SampleEvent, SampleEventKind,
    SampleKind, Setup, SetupRole, Visit,
};
use uuid::Uuid;

/// 2026-03-04T09:30:00-05:00.
const MORNING: i64 = 1_772_634_600_000;

fn book(folder: &Path, name: &str) -> Book {
    let clock = FixedClock(Moment::from_unix_ms(MORNING, -300).unwrap());
    Book::open(&folder.join(name), OpenMode::OpenOrStart, Box::new(clock))
        .unwrap()
        .0
}

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

fn visit(site: &str) -> Visit {
    Visit {
        customer: "Harrow Tile".to_owned(),
        site: site.to_owned(),
        date: day(2026, 3, 4),
        rep: "R. Moss".to_owned(),
        purpose: Purpose::Baseline,
        bag: Vec::new(),
        safety: Vec::new(),
        notes: String::new(),
    }
}

fn sample(visit: Id<Visit>, load: Option<Id<Load>>, until: Option<NaiveDate>) -> Sample {
    Sample {
        visit,
        load,
        what: SampleKind::Pallet,
        place: "Bay 14".to_owned(),
        retain_until: until,
        notes: String::new(),
    }
}

fn a_sample(book: &mut Book) -> Record<Sample> {
    book.act("keep_sample", |act| {
        let visit = act.add(visit("Kiln Lane"))?;
        let line = act.add(Line::new(visit.id, "Line 1"))?;
        let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
        let load = act.add(Load::new(setup.id, "Load 3"))?;
        act.add(sample(visit.id, Some(load.id), Some(day(2026, 6, 30))))
    })
    .unwrap()
    .value
}

fn event(id: u128, of: Id<Sample>, what: SampleEventKind, ms: i64) -> Record<SampleEvent> {
    record(
        id,
        SampleEvent {
            sample: of,
            what,
            at: Moment::from_unix_ms(ms, 0).unwrap(),
            notes: String::new(),
        },
    )
}

fn record<T>(id: u128, body: T) -> Record<T> {
    let at = Moment::from_unix_ms(MORNING, 0).unwrap();
    Record {
        id: Id::from_uuid(Uuid::from_u128(id)),
        created: at,
        changed: at,
        device: Uuid::from_u128(9),
        set_aside: None,
        body,
    }
}

#[test]
fn a_label_leads_to_its_sample_on_the_device_that_made_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path(), "book.taut");
    let kept = a_sample(&mut book);
    let facts = sample_facts(&book, kept.id).unwrap();
    assert_eq!(
        facts.to_string(),
        "2026-03-04, Harrow Tile, Kiln Lane, Line 1, Load 3"
    );
    assert_eq!(facts.device, book.device());
    let code = LabelCode::parse(&LabelCode::new(kept.id).to_string()).unwrap();
    assert_eq!(
        look_up(&book, code).unwrap(),
        Lookup::Here(Box::new(facts.clone()))
    );
    let typed = ShortCode::of(kept.id).to_string().to_lowercase();
    let short = ShortCode::parse(&typed).unwrap();
    assert_eq!(look_up_short(&book, short).unwrap(), [facts]);
    // Set aside, it is still found and said to be.
    book.act("set_aside", |act| act.set_aside(kept.id, "made twice"))
        .unwrap();
    let Lookup::Here(facts) = look_up(&book, code).unwrap() else {
        panic!("it is still in the book");
    };
    assert!(facts.set_aside);
    assert_eq!(look_up_short(&book, short).unwrap().len(), 1);
}

#[test]
fn a_label_of_another_device_names_the_day_and_opens_once_its_records_are_here() {
    let folder = tempfile::tempdir().unwrap();
    let mut theirs = book(folder.path(), "theirs.taut");
    let mut ours = book(folder.path(), "ours.taut");
    let kept = a_sample(&mut theirs);
    let code = LabelCode::new(kept.id);
    let elsewhere = look_up(&ours, code).unwrap();
    assert_eq!(
        elsewhere,
        Lookup::Elsewhere {
            day: Some(day(2026, 3, 4))
        }
    );
    let said = elsewhere.to_string();
    assert!(
        said.contains("another device on 2026-03-04") && said.contains("day file"),
        "{said}"
    );
    assert_eq!(look_up_short(&ours, ShortCode::of(kept.id)).unwrap(), []);
    let records = theirs.visit_records(kept.visit, Which::default());
    ours.import(&records.unwrap()).unwrap();
    let Lookup::Here(facts) = look_up(&ours, code).unwrap() else {
        panic!("it was brought in");
    };
    assert_eq!(facts.device, theirs.device());
    assert_ne!(facts.device, ours.device());
    // An id that tells no time.
    let other = LabelCode::new(Id::from_uuid(Uuid::from_u128(5)));
    assert_eq!(
        look_up(&ours, other).unwrap(),
        Lookup::Elsewhere { day: None }
    );
}

#[test]
fn samples_that_share_a_short_code_are_all_shown_to_choose_from() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path(), "book.taut");
    let first = 0x0198_0000_0000_7000_8000_0000_0000_0000_u128;
    let twin = first + 29_u128.pow(7);
    let mut later = visit("Dock Road");
    later.date = day(2026, 4, 2);
    let visits = vec![
        record(first + 1, visit("Kiln Lane")),
        record(first + 2, later),
    ];
    let samples = vec![
        record(first, sample(visits[0].id, None, None)),
        record(twin, sample(visits[1].id, None, None)),
        record(first + 7, sample(visits[0].id, None, None)),
    ];
    let code = ShortCode::of(samples[0].id);
    assert_eq!(code, ShortCode::of(samples[1].id));
    book.import(&RecordSet {
        visits,
        samples,
        ..RecordSet::default()
    })
    .unwrap();
    let said: Vec<String> = look_up_short(&book, code)
        .unwrap()
        .iter()
        .map(ToString::to_string)
        .collect();
    assert_eq!(
        said,
        [
            "2026-04-02, Harrow Tile, Dock Road",
            "2026-03-04, Harrow Tile, Kiln Lane"
        ]
    );
}

#[test]
fn the_state_follows_the_events_by_their_time() {
    use SampleEventKind::{Found, Labelled, Moved, Released};
    let of = Id::from_uuid(Uuid::from_u128(77));
    let at = |ms| Moment::from_unix_ms(ms, 0);
    assert_eq!(SampleState::of(&[]), SampleState::default());
    let mut events = vec![
        event(4, of, Found, 30),
        event(1, of, Labelled, 10),
        event(2, of, Moved, 20),
    ];
    let state = SampleState::of(&events);
    assert_eq!((state.labelled, state.released), (at(10), None));
    assert_eq!(state.last_seen(), at(30));
    events.push(event(5, of, Released, 40));
    assert_eq!(SampleState::of(&events).released, at(40));
    // Found again on its way out: it stays released.
    events.push(event(6, of, Found, 50));
    assert_eq!(SampleState::of(&events).released, at(40));
    // Released and labelled within a millisecond: the one recorded later counts.
    let again = [event(8, of, Labelled, 40), event(5, of, Released, 40)];
    assert_eq!(SampleState::of(&again).released, None);
    // A release that was set aside did not happen.
    events[3].set_aside = Some(tautbook_core::survey::SetAside {
        at: at(60).unwrap(),
        reason: "wrong pallet".to_owned(),
    });
    assert_eq!(SampleState::of(&events).released, None);
}

#[test]
fn samples_are_due_the_day_after_they_had_to_be_kept() {
    let visit = Id::from_uuid(Uuid::from_u128(1));
    let until = |n, until| record(n, sample(visit, None, until));
    let mut samples = vec![
        until(10, Some(day(2026, 6, 30))),
        until(11, Some(day(2026, 5, 1))),
        until(12, None),
        until(13, Some(day(2026, 4, 1))),
        until(14, Some(day(2026, 3, 1))),
    ];
    samples[4].set_aside = Some(tautbook_core::survey::SetAside {
        at: Moment::default(),
        reason: "made twice".to_owned(),
    });
    let released = [event(20, samples[3].id, SampleEventKind::Released, 5)];
    let due = |on| -> Vec<u128> {
        due_for_release(&samples, &released, on)
            .into_iter()
            .map(|sample| sample.id.uuid().as_u128())
            .collect()
    };
    assert_eq!(due(day(2026, 5, 1)), [0_u128; 0], "kept that day still");
    assert_eq!(due(day(2026, 5, 2)), [11]);
    assert_eq!(due(day(2026, 7, 1)), [11, 10], "longest due first");
}

#[test]
fn a_mistyped_code_is_told_why_and_the_nearest_sample_is_offered() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path(), "book.taut");
    let kept = a_sample(&mut book);
    let right = ShortCode::of(kept.id).to_string();
    let Typed::Here(found) = look_up_typed(&book, &right.to_lowercase()).unwrap() else {
        panic!("typed rightly");
    };
    assert_eq!(found[0].sample, kept.id);
    // The third character wrong.
    let mut wrong: Vec<char> = right.chars().collect();
    let (was, now) = (wrong[2], if wrong[2] == 'K' { 'M' } else { 'K' });
    wrong[2] = now;
    let wrong: String = wrong.into_iter().collect();
    let typed = look_up_typed(&book, &wrong).unwrap();
    let Typed::Mistyped { why, near } = &typed else {
        panic!("{typed:?}");
    };
    assert_eq!(*why, ShortCodeError::Check);
    assert_eq!(near.len(), 1);
    assert_eq!(near[0].sample.sample, kept.id);
    assert_eq!(
        near[0].slip,
        Slip::Wrong {
            place: 3,
            right: was,
            typed: now
        }
    );
    let said = typed.to_string();
    assert!(
        said.contains("compare") && said.contains(&right) && said.contains("Harrow Tile"),
        "{said}"
    );
    // One left out.
    let typed = look_up_typed(&book, &right[1..]).unwrap();
    assert!(typed.to_string().contains("was left out"), "{typed}");
    // Nothing like it.
    let nothing = look_up_typed(&book, "eight").unwrap();
    let said = nothing.to_string();
    assert!(
        said.contains("this has 5") && !said.contains("Or is it"),
        "{said}"
    );
    // Right in itself, but of a sample that is not here.
    let other = ShortCode::of(Id::from_uuid(Uuid::from_u128(0x0123_4567_89ab_cdef << 64)));
    let typed = look_up_typed(&book, &other.to_string()).unwrap();
    let said = typed.to_string();
    assert!(
        matches!(typed, Typed::Elsewhere { code, .. } if code == other)
            && said.contains("another device")
            && said.contains("day file"),
        "{said}"
    );
}

#[test]
fn a_scanner_that_types_and_a_picture_lead_to_the_sample_too() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path(), "book.taut");
    let kept = a_sample(&mut book);
    let code = LabelCode::new(kept.id);
    let typed = look_up_typed(&book, &format!("{code}\r\n")).unwrap();
    let Typed::Here(found) = &typed else {
        panic!("{typed:?}");
    };
    assert_eq!(found[0].sample, kept.id);
    let typed = look_up_typed(&book, "https://example.com/7").unwrap();
    assert_eq!(typed, Typed::Refused(CodeError::NotOurs));
    let away = LabelCode::new(Id::from_uuid(Uuid::from_u128(5)));
    let typed = look_up_typed(&book, &away.to_string()).unwrap();
    assert!(typed.to_string().contains("another device"), "{typed}");

    let seen = |code| Seen {
        code,
        corners: [(0.0, 0.0); 4],
    };
    let mut reading = Reading::default();
    let said = |reading: &Reading| look_up_pictured(&book, reading).unwrap().to_string();
    assert!(said(&reading).contains("come closer"), "{}", said(&reading));
    reading.others = vec![CodeError::NotOurs];
    assert!(
        said(&reading).contains("another code"),
        "{}",
        said(&reading)
    );
    reading.labels = vec![seen(code)];
    assert!(said(&reading).contains("Harrow Tile"), "{}", said(&reading));
    reading.labels.push(seen(away));
    assert!(said(&reading).contains("2 labels"), "{}", said(&reading));
}

#[test]
fn the_book_tells_what_became_of_a_sample_and_which_are_due() {
    let folder = tempfile::tempdir().unwrap();
    let mut book = book(folder.path(), "book.taut");
    let kept = a_sample(&mut book);
    assert_eq!(state_of(&book, kept.id).unwrap(), SampleState::default());
    let due = |book: &Book, on| samples_due(book, on).unwrap().len();
    assert_eq!(
        (due(&book, day(2026, 6, 30)), due(&book, day(2026, 7, 1))),
        (0, 1)
    );
    book.act("release", |act| {
        act.add(SampleEvent {
            sample: kept.id,
            what: SampleEventKind::Released,
            at: Moment::from_unix_ms(MORNING, 0).unwrap(),
            notes: String::new(),
        })
    })
    .unwrap();
    assert!(state_of(&book, kept.id).unwrap().released.is_some());
    assert_eq!(due(&book, day(2026, 7, 1)), 0);
}
