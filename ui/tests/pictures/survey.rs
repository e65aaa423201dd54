//! Screens drawn by the app itself, over a book with a sample survey and what a day adds to it.

use std::ops::ControlFlow;
use std::path::Path;

use chrono::Days;
use tautbook_core::book::{Book, FixedClock, OpenMode};
use tautbook_core::language::Language;
use tautbook_core::photos::{Options, Source, prepare};
use tautbook_core::survey::{
    CheckItem, CheckResult, Id, Kind, Line, Load, MachineCheck, Moment, Photo, Reading, RecordRef,
    Sample, SampleEvent, SampleEventKind, SampleKind, ToolKind, Visit,
};
use tautbook_tests::{day, scene};
use tautbook_ui::device::Desktop;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::{find, machine, photo, report, send, tools};
use tautbook_ui::session::Session;

/// What the scenes go to.
pub(crate) struct Known {
    visit: Id<Visit>,
    line: Id<Line>,
    load: Id<Load>,
    reading: RecordRef,
    photo: Id<Photo>,
    lost: Id<Photo>,
    samples: Vec<Id<Sample>>,
}

/// A scene: its name in the picture's file name, and what brings the app there.
pub(crate) type Scene = (&'static str, fn(&mut Session, &Known));

/// Every scene.
pub(crate) const SCENES: &[Scene] = &[
    ("photos", |session, known| {
        session.go(Place::Photos(known.reading));
    }),
    ("photos-none", |session, known| {
        session.go(Place::Photos(RecordRef {
            kind: Kind::Line,
            id: known.line.uuid(),
        }));
    }),
    ("photos-of-load", |session, known| {
        session.go(Place::Photos(RecordRef {
            kind: Kind::Load,
            id: known.load.uuid(),
        }));
    }),
    ("photo", |session, known| {
        session.go(Place::Photo(known.photo));
    }),
    ("photo-marked", |session, known| {
        session.go(Place::Photo(known.photo));
        photo::place(session, 0.42, 0.35);
    }),
    ("photo-lost", |session, known| {
        session.go(Place::Photo(known.lost));
    }),
    ("machine", |session, known| {
        session.go(Place::Machine(known.line));
    }),
    ("machine-caution", |session, known| {
        session.go(Place::Machine(known.line));
        machine::acknowledge(session, known.line, false);
    }),
    ("keep", |session, known| {
        session.go(Place::Keep(known.visit));
    }),
    ("sample", |session, known| {
        session.go(Place::Sample(known.samples[0]));
    }),
    ("sample-released", |session, known| {
        session.go(Place::Sample(known.samples[2]));
    }),
    ("report", |session, known| {
        report::open(session, known.visit);
    }),
    ("report-made", |session, known| {
        report::open(session, known.visit);
        report::pick_language(session, Language::Spanish);
        report::make(session, known.visit);
        waited(session);
    }),
    ("send", |session, _| {
        send::open(session);
    }),
    ("send-made", |session, known| {
        send::open(session);
        send::tick(session, known.visit, true);
        send::make(session);
        waited(session);
    }),
    ("send-locked", |session, _| {
        send::open(session);
        send::lock(session, "row seven by the dock");
        send::make(session);
        waited(session);
        let outgoing = session.book().path().with_file_name("outgoing");
        let made = std::fs::read_dir(outgoing).unwrap().next().unwrap();
        send::take_in(session, made.unwrap().path());
        waited(session);
    }),
    ("settings", |session, _| session.go(Place::Settings)),
    ("tools", |session, _| {
        session.go(Place::Tools);
        tools::add(session, ToolKind::TorsionTool);
        tools::add(session, ToolKind::FilmScale);
    }),
    ("differences", |session, _| session.go(Place::Differences)),
    ("find", |session, _| session.go(Place::Find)),
    ("find-mistyped", |session, _| {
        session.go(Place::Find);
        find::look(session, "ABCD-EFGH");
    }),
];

/// Lets what goes on beside the screens come to its end.
fn waited(session: &mut Session) {
    while session.awaits() {
        std::thread::sleep(std::time::Duration::from_millis(5));
        session.take_up();
    }
}

fn at() -> Moment {
    // 2026-03-12, in the morning there.
    Moment::from_unix_ms(1_773_320_400_000, -300).unwrap()
}

/// The app's state over a book with what the scenes show in it.
pub(crate) fn session(folder: &Path) -> (Session, Known) {
    let path = folder.join("book.taut");
    let clock = Box::new(FixedClock(at()));
    let (mut book, opened) = Book::open(&path, OpenMode::OpenOrStart, clock).unwrap();
    let records = day::sample("tile-maker");
    let visit = records.visits[0].id;
    let line = records.lines[0].id;
    let load = records.loads[0].id;
    book.import(&records).unwrap();
    let readings = book.children::<Reading, _>(load).unwrap();
    let reading = readings[0].reference();
    let photos: Vec<Id<Photo>> = [
        (640, 480, "The plate at 10 in, pulled 4 in"),
        (480, 640, ""),
        (
            800,
            500,
            "Film torn at the corner board on the dock side, seen from the back",
        ),
    ]
    .into_iter()
    .map(|(width, height, caption)| {
        let jpeg = scene::jpeg(width, height, false);
        let mut go_on = |_| ControlFlow::Continue(());
        let prepared = prepare(Source::Bytes(&jpeg), &Options::default(), &mut go_on).unwrap();
        let kept = book.photo_folder().keep(&prepared).unwrap();
        book.act("add_photo", |act| act.add_photo(&kept, reading, caption))
            .unwrap()
            .value
            .id
    })
    .collect();
    let lost = book.get(photos[2]).unwrap();
    std::fs::remove_file(book.photo_folder().photo(&lost.sha256).unwrap()).unwrap();
    let samples = add(&mut book, visit, line, load);
    let known = Known {
        visit,
        line,
        load,
        reading,
        photo: photos[0],
        lost: photos[2],
        samples,
    };
    let session = Session::resume(book, &opened, Box::new(Desktop)).unwrap();
    (session, known)
}

fn add(book: &mut Book, visit: Id<Visit>, line: Id<Line>, load: Id<Load>) -> Vec<Id<Sample>> {
    let today = at().date_time().date_naive();
    let sample = |what, place: &str, until| Sample {
        visit,
        load: (what == SampleKind::Pallet).then_some(load),
        what,
        place: place.to_owned(),
        retain_until: Some(until),
        notes: String::new(),
    };
    let done = book.act("a_day", |act| {
        for (item, result, notes) in [
            (CheckItem::FilmPath, CheckResult::Good, ""),
            (
                CheckItem::RollerSurface,
                CheckResult::NeedsTechnician,
                "Flat spot on the drive roller",
            ),
        ] {
            act.add(MachineCheck {
                line,
                item,
                result,
                gap: None,
                notes: notes.to_owned(),
            })?;
        }
        let samples = [
            act.add(sample(
                SampleKind::Pallet,
                "Row 7, by the dock",
                today + Days::new(90),
            ))?
            .id,
            act.add(sample(
                SampleKind::CutFilm,
                "Box 2 in the office",
                today - Days::new(10),
            ))?
            .id,
            act.add(sample(SampleKind::RollEnd, "Rack C", today - Days::new(40)))?
                .id,
        ];
        for (sample, what) in [
            (samples[0], SampleEventKind::Labelled),
            (samples[2], SampleEventKind::Labelled),
            (samples[2], SampleEventKind::Found),
            (samples[2], SampleEventKind::Released),
        ] {
            act.add(SampleEvent {
                sample,
                what,
                at: at(),
                notes: String::new(),
            })?;
        }
        Ok(samples.to_vec())
    });
    done.unwrap().value
}
