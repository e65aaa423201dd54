//! Screens drawn by the app itself, over a book with a sample survey and what a day adds to it.

use std::ops::ControlFlow;
use std::path::Path;
use std::sync::OnceLock;

use chrono::Days;
use i_slint_backend_testing::ElementHandle;
use slint::platform::{PointerEventButton, WindowEvent};
use slint::{ComponentHandle, LogicalPosition, LogicalSize, ModelRc, SharedString};
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::book::{Book, FixedClock, OpenMode};
use tautbook_core::language::Language;
use tautbook_core::photos::{Options, Source, prepare};
use tautbook_core::survey::{
    CheckItem, CheckResult, Face, FilmRoll, Id, Kind, Line, Load, MachineCheck, Moment, Photo,
    Reading, Record, RecordRef, RecordSet, Sample, SampleEvent, SampleEventKind, SampleKind, Setup,
    Tool, ToolKind, Visit,
};
use tautbook_core::units::{MethodId, UnitSystem};
use tautbook_tests::{day, scene};
use tautbook_ui::device::Desktop;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::{
    compare, film_roll, find, load, machine, photo, plan, read, records, report, results, send,
    settings, setup, today, tools, visit, weigh,
};
use tautbook_ui::screens::{Keyboard, MainWindow, ReadAdapter};
use tautbook_ui::session::{Session, TextSize};
use uuid::Uuid;

/// What the scenes go to.
#[derive(Clone)]
struct Known {
    visit: Id<Visit>,
    line: Id<Line>,
    roll: Id<FilmRoll>,
    setups: Vec<Id<Setup>>,
    load: Id<Load>,
    reading: RecordRef,
    photo: Id<Photo>,
    lost: Id<Photo>,
    samples: Vec<Id<Sample>>,
}

/// A scene: its name in the picture's file name, and what brings the app there.
type Scene = (&'static str, fn(&mut Session, &Known));

/// The first start, with nothing in the book.
const FIRST_START: &str = "today-empty";

/// The names of all scenes.
pub(crate) fn names() -> Vec<&'static str> {
    let mut names = vec![FIRST_START];
    names.extend(SCENES.iter().map(|(name, _)| name));
    names
}

/// The app's state at a scene, in the language asked for by `TAUTBOOK_LANGUAGE`, else in English.
pub(crate) fn start(name: &str, folder: &Path) -> Session {
    let asked = asked("TAUTBOOK_LANGUAGE");
    let language = Language::ALL
        .into_iter()
        .find(|language| language.code() == asked);
    start_in(language.unwrap_or(Language::English), name, folder)
}

/// The app's state at a scene, all that led there said in a language.
pub(crate) fn start_in(language: Language, name: &str, folder: &Path) -> Session {
    let Some((_, go)) = SCENES.iter().find(|(scene, _)| *scene == name) else {
        assert_eq!(name, FIRST_START);
        let clock = Box::new(FixedClock(at()));
        let path = folder.join("book.taut");
        let (book, opened) = Book::open(&path, OpenMode::OpenOrStart, clock).unwrap();
        let mut session = Session::resume(book, &opened, Box::new(Desktop)).unwrap();
        look(&mut session, language);
        return session;
    };
    let (mut session, known) = session(folder);
    look(&mut session, language);
    go(&mut session, &known);
    session
}

/// Every scene of a day's work.
const SCENES: &[Scene] = &[
    ("today", |_, _| ()),
    ("today-found", |session, _| {
        session.draft(today::SEARCH, "hall");
    }),
    ("today-go-on", |session, known| {
        session.go(Place::Load(known.load));
        session.back();
    }),
    ("today-nothing-found", |session, _| {
        session.draft(today::SEARCH, "nowhere");
    }),
    ("visits", |session, known| {
        many_visits(session, known);
        session.go(Place::Visits);
    }),
    ("visit", |session, known| {
        session.go(Place::Visit(known.visit));
    }),
    ("visit-new", |session, _| today::start_visit(session)),
    ("visit-recent", |session, known| {
        let visit = session.book().get(known.visit).unwrap().body;
        for customer in ["Harrow Tile", "Kiln Lane Pottery", "Glenside Bottling"] {
            session.go(Place::Visit(known.visit));
            visit::edit(session, known.visit, visit::Field::Customer, customer);
        }
        visit::edit(
            session,
            known.visit,
            visit::Field::Customer,
            &visit.customer,
        );
        today::start_visit(session);
    }),
    ("line", |session, known| session.go(Place::Line(known.line))),
    ("line-keyboard", |session, known| {
        session.go(Place::Line(known.line));
    }),
    ("line-keyboard-recent", |session, known| {
        session.go(Place::Line(known.line));
    }),
    ("line-new", |session, known| {
        visit::add_line(session, known.visit);
    }),
    ("line-first", |session, _| {
        today::start_visit(session);
        let Place::Visit(fresh) = session.here() else {
            panic!("on {:?}", session.here());
        };
        visit::add_line(session, fresh);
    }),
    ("film-roll", |session, known| {
        session.go(Place::FilmRoll(known.roll));
    }),
    ("film-roll-refused", film_roll_refused),
    ("setup", |session, known| {
        session.go(Place::Setup(known.setups[0]));
    }),
    ("setup-trial", |session, known| {
        session.go(Place::Setup(known.setups[1]));
    }),
    ("film-measures", |session, known| {
        session.go(Place::FilmMeasures(known.setups[0]));
    }),
    ("load", |session, known| session.go(Place::Load(known.load))),
    ("load-new", |session, known| fresh_load(session, known)),
    ("load-notice", |session, known| {
        session.go(Place::FilmRoll(known.roll));
        film_roll::draft(session, film_roll::Field::Thickness, THICKNESS);
        let load = known.load;
        session.go_on_from_form(|session| session.go(Place::Load(load)));
    }),
    ("read-first", |session, known| {
        fresh_read(session, known, MethodId::TorsionTool);
    }),
    ("read-plate", |session, known| {
        fresh_read(session, known, MethodId::PullPlate);
    }),
    ("read-plate-bottom", |session, known| {
        fresh_read(session, known, MethodId::PullPlate);
        read::pick_place(session, ZoneName::Bottom, Face::Left);
    }),
    ("read", |session, known| {
        session.go(Place::Load(known.load));
        load::read(session, known.load);
    }),
    ("read-typing", |session, known| {
        session.go(Place::Load(known.load));
        load::read(session, known.load);
        for key in ["2", "7", ".", "5"] {
            read::key(session, key);
        }
    }),
    ("read-pounds", |session, known| {
        settings::set(session, |look| look.units = UnitSystem::Imperial);
        fresh_read(session, known, MethodId::TorsionTool);
        for key in ["1", "2", "lb", "6"] {
            read::key(session, key);
        }
    }),
    ("read-error", |session, known| {
        settings::set(session, |look| look.units = UnitSystem::Imperial);
        fresh_read(session, known, MethodId::TorsionTool);
        for key in ["1", "2", "lb", "1", "6"] {
            read::key(session, key);
        }
        read::save(session);
    }),
    ("read-saved", |session, known| {
        settings::set(session, |look| look.units = UnitSystem::Metric);
        fresh_read(session, known, MethodId::TorsionTool);
        for figure in [["2", "7"], ["3", "1"], ["2", "9"]] {
            for key in figure {
                read::key(session, key);
            }
            read::save(session);
        }
    }),
    ("read-stale", |session, known| {
        tools::add(session, ToolKind::TorsionTool);
        let fresh = session.book().all::<Tool>().unwrap().pop().unwrap();
        tools::take(session, fresh.id);
        fresh_read(session, known, MethodId::TorsionTool);
        read::key(session, "9");
        read::save(session);
    }),
    ("read-undone", |session, known| {
        fresh_read(session, known, MethodId::TorsionTool);
        read::key(session, "9");
        read::save(session);
        read::undo(session);
    }),
    ("read-question", |session, known| {
        fresh_read(session, known, MethodId::TorsionTool);
        for key in ["9", "0", "0"] {
            read::key(session, key);
        }
        read::save(session);
    }),
    ("read-left", |session, known| {
        settings::set(session, |look| look.hand_left = true);
        session.go(Place::Load(known.load));
        load::read(session, known.load);
        read::key(session, "3");
    }),
    ("read-place", |session, known| {
        session.go(Place::Load(known.load));
        load::read(session, known.load);
    }),
    ("weigh", |session, known| {
        session.go(Place::Weigh(known.load));
    }),
    ("weigh-typing", |session, known| {
        session.go(Place::Weigh(known.load));
        weigh::acknowledge(session, known.load, true);
        weigh::start(session);
        for key in ["2", "8", "5"] {
            weigh::key(session, key);
        }
    }),
    ("weigh-pounds", |session, known| {
        settings::set(session, |look| look.units = UnitSystem::Imperial);
        session.go(Place::Weigh(known.load));
        weigh::acknowledge(session, known.load, true);
        weigh::start(session);
        for key in ["1", "lb", "1", "4", ".", "5"] {
            weigh::key(session, key);
        }
        weigh::save(session, known.load);
        for key in ["1", "lb", "2", ".", "5"] {
            weigh::key(session, key);
        }
    }),
    ("results", |session, known| {
        session.go(Place::Setup(known.setups[0]));
        setup::open_results(session, known.setups[0]);
    }),
    ("results-load", |session, known| {
        session.go(Place::Load(known.load));
        load::open_results(session, known.load);
    }),
    ("results-plate", |session, known| {
        session.go(Place::Setup(known.setups[0]));
        setup::open_results(session, known.setups[0]);
        results::pick_method(session, MethodId::PullPlate);
    }),
    ("compare", |session, known| {
        compare::open_line(session, known.line);
    }),
    ("compare-margin", |session, known| {
        compare::open_line(session, known.line);
        compare::edit_margin(session, "5");
    }),
    ("plan", |session, known| {
        plan::open_line(session, known.line);
    }),
    ("about", |session, _| session.go(Place::About)),
    ("parts", |session, _| session.go(Place::Parts)),
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
        machine::acknowledge(session, known.line, true);
    }),
    ("machine-caution", |session, known| {
        session.go(Place::Machine(known.line));
    }),
    ("machine-finding", |session, known| {
        session.go(Place::Machine(known.line));
        machine::acknowledge(session, known.line, true);
        let item = CheckItem::RollerLight;
        machine::pick(session, known.line, item, CheckResult::NeedsTechnician);
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
    ("differences-two", |session, known| {
        two_differences(session, known);
        session.go(Place::Differences);
    }),
    ("records-load", |session, known| {
        let readings = session.book().children::<Reading, _>(known.load).unwrap();
        session.set_aside(readings[1].reference(), "torn", String::new());
        session.close_notice();
        records::open_load(session, known.load);
    }),
    ("records-book", |session, known| {
        let (load, setup) = (known.load, known.setups[0]);
        let book = session.book();
        let aside: [RecordRef; 3] = [
            book.get(load).unwrap().reference(),
            book.get(setup).unwrap().reference(),
            book.get(known.photo).unwrap().reference(),
        ];
        for record in aside {
            session.set_aside(record, "set aside by hand", String::new());
        }
        session.close_notice();
        records::open_book(session);
    }),
    ("find", |session, _| session.go(Place::Find)),
    ("find-mistyped", |session, _| {
        session.go(Place::Find);
        find::look(session, "ABCD-EFGH");
    }),
];

/// What only the screen itself knows of a scene.
pub(crate) fn finish(name: &str, window: &MainWindow) {
    if name == "read-place" {
        window.global::<ReadAdapter<'_>>().set_choosing_place(true);
    }
    if name == "visit-recent" {
        window.show().unwrap();
        window.window().set_size(LogicalSize::new(360.0, 740.0));
        let field = ElementHandle::find_by_element_id(window, "VisitScreen::customer")
            .next()
            .unwrap();
        let (at, size) = (field.absolute_position(), field.size());
        let position = LogicalPosition::new(at.x + size.width / 2.0, at.y + size.height / 2.0);
        let button = PointerEventButton::Left;
        for event in [
            WindowEvent::PointerPressed { position, button },
            WindowEvent::PointerReleased { position, button },
        ] {
            window.window().dispatch_event(event);
        }
    }
    if name.starts_with("line-keyboard") {
        let keyboard = window.global::<Keyboard<'_>>();
        if name == "line-keyboard-recent" {
            let recent = ["Hall 3, dock side", "Maria", "Row seven"].map(SharedString::from);
            keyboard.set_recent(ModelRc::from(recent));
        }
        keyboard.set_with_phone(true);
        keyboard.set_shown(true);
    }
}

/// A thickness that is none.
pub(crate) const THICKNESS: &str = "8 gauge-ish";

/// It is typed on the film roll.
fn film_roll_refused(session: &mut Session, known: &Known) {
    session.go(Place::FilmRoll(known.roll));
    film_roll::edit(session, known.roll, film_roll::Field::Thickness, THICKNESS);
}

/// More visits than Today lists.
fn many_visits(session: &mut Session, known: &Known) {
    let first = session.book().get(known.visit).unwrap().body;
    for n in 1..30 {
        let visit = Visit {
            date: first.date - Days::new(7 * n),
            ..first.clone()
        };
        session.add("start_visit", visit).unwrap();
    }
}

/// What two devices wrote in one place, twice.
fn two_differences(session: &mut Session, known: &Known) {
    let path = session.book().path().with_file_name("other.taut");
    // Later, so that which of two changes stands is not left to the numbers of the books.
    let clock = Box::new(FixedClock(minutes_on(1)));
    let (mut other, _) = Book::open(&path, OpenMode::OpenOrStart, clock).unwrap();
    other
        .merge(&session.book().journal(&[known.visit]).unwrap())
        .unwrap();
    // In figures, which are the same in each language.
    let there = "4101, 4102, 4103, 4104, 4105, 4106, 4107, 4108, 4109, 4110";
    other
        .act("edit_load", |act| {
            act.change(known.load, |load| {
                there.clone_into(&mut load.notes);
                load.film_breaks = Some(3);
            })
        })
        .unwrap();
    let here = session.change("edit_load", known.load, |load: &mut Load| {
        load.notes = "4101, 4102".to_owned();
        load.film_breaks = Some(1);
    });
    here.unwrap();
    let journal = other.journal(&[known.visit]).unwrap();
    // As the work beside the screens does it.
    let clock = Box::new(FixedClock(minutes_on(2)));
    let path = session.book().path().to_owned();
    let (mut book, _) = Book::open(&path, OpenMode::OpenOrStart, clock).unwrap();
    book.merge(&journal).unwrap();
}

/// A load nothing was measured on yet.
fn fresh_load(session: &mut Session, known: &Known) {
    session.go(Place::Setup(known.setups[0]));
    setup::add_load(session, known.setups[0]);
}

/// Reading begun on it.
fn fresh_read(session: &mut Session, known: &Known, method: MethodId) {
    fresh_load(session, known);
    let Place::Load(fresh) = session.here() else {
        panic!("on {:?}", session.here());
    };
    load::read_by(session, fresh, method);
}

/// Whether something else than usual is asked for.
pub(crate) fn is_asked() -> bool {
    ["TAUTBOOK_LANGUAGE", "TAUTBOOK_TEXT"]
        .iter()
        .any(|name| std::env::var_os(name).is_some())
}

fn asked(name: &str) -> String {
    std::env::var(name).unwrap_or_default()
}

/// The language, and the size of the words as asked for by `TAUTBOOK_TEXT`.
fn look(session: &mut Session, language: Language) {
    let asked = asked("TAUTBOOK_TEXT");
    let text = [TextSize::Normal, TextSize::Larger, TextSize::Largest]
        .into_iter()
        .find(|text| text.scale().to_string() == asked);
    settings::set(session, |look| {
        look.language = language;
        look.text = text.unwrap_or(look.text);
    });
}

/// Lets what goes on beside the screens come to its end.
fn waited(session: &mut Session) {
    while session.awaits() {
        std::thread::sleep(std::time::Duration::from_millis(5));
        session.take_up();
    }
}

fn at() -> Moment {
    minutes_on(0)
}

fn minutes_on(minutes: i64) -> Moment {
    // 2026-03-12, in the morning there.
    Moment::from_unix_ms(1_773_320_400_000 + minutes * 60_000, -300).unwrap()
}

/// The app's state over a book with what the scenes show in it.
fn session(folder: &Path) -> (Session, Known) {
    // Made once, and copied for each scene.
    static MADE: OnceLock<(tempfile::TempDir, Known)> = OnceLock::new();
    let (made, known) = MADE.get_or_init(|| {
        let made = tempfile::tempdir().unwrap();
        let known = survey(made.path());
        (made, known)
    });
    copy_folder(made.path(), folder);
    let clock = Box::new(FixedClock(at()));
    let path = folder.join("book.taut");
    let (book, opened) = Book::open(&path, OpenMode::OpenOrStart, clock).unwrap();
    let session = Session::resume(book, &opened, Box::new(Desktop)).unwrap();
    (session, known.clone())
}

fn copy_folder(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let into = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy_folder(&entry.path(), &into);
        } else {
            std::fs::copy(entry.path(), into).unwrap();
        }
    }
}

/// Makes the book of the scenes in a folder.
fn survey(folder: &Path) -> Known {
    let path = folder.join("book.taut");
    let clock = Box::new(FixedClock(at()));
    let (mut book, _) = Book::open(&path, OpenMode::OpenOrStart, clock).unwrap();
    let records = day::sample("tile-maker");
    let visit = records.visits[0].id;
    let line = records.lines[0].id;
    let load = records.loads[0].id;
    let roll = records.film_rolls[0].id;
    let setups = records.setups.iter().map(|setup| setup.id).collect();
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
    Known {
        visit,
        line,
        roll,
        setups,
        load,
        reading,
        photo: photos[0],
        lost: photos[2],
        samples,
    }
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
    let made = [
        (
            SampleKind::Pallet,
            "Row 7, by the dock",
            today + Days::new(90),
        ),
        (
            SampleKind::CutFilm,
            "Box 2 in the office",
            today - Days::new(10),
        ),
        (SampleKind::RollEnd, "Rack C", today - Days::new(40)),
    ];
    let mut records = RecordSet::default();
    for (n, (what, place, until)) in (1..).zip(made) {
        records.samples.push(fixed(n, sample(what, place, until)));
    }
    let samples: Vec<Id<Sample>> = records.samples.iter().map(|sample| sample.id).collect();
    book.import(&records).unwrap();
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
        Ok(())
    });
    done.unwrap();
    samples
}

/// A record with an identity of its own, the same on every run: its label is drawn.
fn fixed<T>(n: u128, body: T) -> Record<T> {
    Record {
        id: Id::from_uuid(Uuid::from_u128(
            0x0190_0000_0000_7000_8000_0000_0000_0000 + n,
        )),
        created: at(),
        changed: at(),
        device: Uuid::from_u128(1),
        set_aside: None,
        body,
    }
}
