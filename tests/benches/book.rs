//! The book's figures: saving beside bare SQLite, lists and searches in a big book, opening, memory.
//!
//! `cargo bench -p tautbook-tests`. A reading is saved in turn by the book and by bare SQLite, so
//! that whatever else the machine does falls on both.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use rusqlite::Connection;
use tautbook_core::book::{Book, OpenMode, SystemClock, Which};
use tautbook_core::survey::{
    Id, Line, Load, Measure, Purpose, Reading, Setup, SetupRole, Visit, Zone,
};
use tautbook_core::units::MethodId;
use tautbook_tests::big_book::{self, COMMON_WORD, RARE_WORD};

/// How many visits the first page of Today shows.
const PAGE: u32 = 60;
/// How many answers a search asks for.
const ANSWERS: u32 = 100;

fn main() -> Result<()> {
    let mut arguments = std::env::args().skip(1);
    if let Some("--peak") = arguments.next().as_deref() {
        return peak(Path::new(&arguments.next().context("--peak BOOK")?));
    }
    // On the file system of the build, not in a `/tmp` that may live in memory.
    let folder = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR"))?;
    let big = folder.path().join("big.taut");
    let start = Instant::now();
    big_book::make(&big)?;
    let megabytes = std::fs::metadata(&big)?.len() >> 20;
    println!(
        "made the big book in {:.1?}: {megabytes} MB",
        start.elapsed()
    );

    saving(&folder.path().join("fresh.taut"), "in a fresh book")?;
    saving(&big, "in the big book")?;
    answers(&big)?;
    opening(&big, &folder.path().join("empty.taut"))?;
    memory(&big)
}

fn open(path: &Path) -> Result<Book> {
    Ok(Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock))?.0)
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

fn ratio(of: Duration, to: Duration) -> f64 {
    of.as_secs_f64() / to.as_secs_f64()
}

/// Says the figure and whether it keeps its bound.
fn say(what: &str, figure: f64, unit: &str, most: f64) {
    let kept = if figure <= most { "kept" } else { "MISSED" };
    println!("{what}: {figure:.2}{unit} (at most {most}{unit}: {kept})");
}

/// Saving a reading with its history, against a bare insert of the same row.
fn saving(path: &Path, place: &str) -> Result<()> {
    const PAIRS: usize = 400;
    let mut book = open(path)?;
    let load = book.act("start_visit", |act| {
        let visit = act.add(Visit {
            customer: "Harrow Tile".to_owned(),
            site: "Kiln Lane".to_owned(),
            date: act.now().date_time().date_naive(),
            rep: "R. Moss".to_owned(),
            purpose: Purpose::Baseline,
            bag: Vec::new(),
            safety: Vec::new(),
            notes: String::new(),
        })?;
        let line = act.add(Line::new(visit.id, "Line 1"))?;
        let setup = act.add(Setup::new(line.id, "As found", SetupRole::AsFound))?;
        act.add(Load::new(setup.id, "Load 1"))
    })?;
    let bare = Bare::open(&path.with_extension("bare"))?;
    let (mut by_book, mut by_bare) = (Vec::new(), Vec::new());
    for n in 0..PAIRS {
        let reading = reading(load.value.id, n)?;
        let start = Instant::now();
        let kept = book.act("take_reading", |act| act.add(reading))?.value;
        by_book.push(start.elapsed());
        let row = Row {
            id: *kept.id.uuid().as_bytes(),
            load: *kept.load.uuid().as_bytes(),
            ms: kept.created.unix_ms(),
            device: *kept.device.as_bytes(),
            body: serde_json::to_string(&kept.body)?,
        };
        let start = Instant::now();
        bare.insert(&row)?;
        by_bare.push(start.elapsed());
    }
    ensure!(book.children::<Reading, _>(load.value.id)?.len() == PAIRS);
    let (book, bare) = (median(&mut by_book), median(&mut by_bare));
    println!("saving a reading {place}: {book:.0?}, bare SQLite {bare:.0?}");
    say("  ratio of the medians", ratio(book, bare), "", 1.5);
    Ok(())
}

fn reading(load: Id<Load>, n: usize) -> Result<Reading> {
    Ok(Reading {
        load,
        tool: None,
        zone: Zone::Middle,
        face: None,
        measure: Measure::new(MethodId::PullPlate, format!("{} lb", 5 + n % 20).parse()?),
        order: u32::try_from(n)? + 1,
        taken_at: tautbook_core::survey::Moment::from_unix_ms(1_772_600_000_000, -300)
            .unwrap_or_default(),
        who: "R. Moss".to_owned(),
        zeroed_at: None,
        minutes_since_wrapping: None,
        film_temperature_celsius: None,
        notes: String::new(),
    })
}

struct Row {
    id: [u8; 16],
    load: [u8; 16],
    ms: i64,
    device: [u8; 16],
    body: String,
}

/// The table of readings alone, with its index, and nothing around it.
struct Bare(Connection);

impl Bare {
    fn open(path: &PathBuf) -> Result<Self> {
        let db = Connection::open(path)?;
        db.execute_batch(
            "PRAGMA journal_mode = WAL;
             PRAGMA synchronous = FULL;
             PRAGMA temp_store = MEMORY;
             CREATE TABLE reading (
                id BLOB PRIMARY KEY, load BLOB NOT NULL, tool BLOB, created_ms INTEGER NOT NULL,
                created_offset INTEGER NOT NULL, changed_ms INTEGER NOT NULL,
                changed_offset INTEGER NOT NULL, device BLOB NOT NULL, aside_ms INTEGER,
                aside_offset INTEGER, aside_reason TEXT, body TEXT NOT NULL
             ) STRICT, WITHOUT ROWID;
             CREATE INDEX reading_load ON reading (load);",
        )?;
        Ok(Self(db))
    }

    fn insert(&self, row: &Row) -> Result<()> {
        self.0
            .prepare_cached(
                "INSERT INTO reading (id, load, created_ms, created_offset, changed_ms, \
                 changed_offset, device, body) VALUES (?1, ?2, ?3, -300, ?3, -300, ?4, ?5)",
            )?
            .execute((row.id, row.load, row.ms, row.device, &row.body))?;
        Ok(())
    }
}

/// The first page of Today, and searches, as the person waits for them.
fn answers(path: &Path) -> Result<()> {
    const TIMES: usize = 15;
    let book = open(path)?;
    let mut times = Vec::new();
    for _ in 0..TIMES {
        let start = Instant::now();
        ensure!(book.visits(0, PAGE)?.len() == usize::try_from(PAGE)?);
        times.push(start.elapsed());
    }
    let first = times[0];
    let list = median(&mut times);
    println!("the list of visits: first time {first:.1?}");
    say("  median", list.as_secs_f64() * 1e3, " ms", 50.0);
    let two_words = format!("pallet {COMMON_WORD}");
    for (what, words) in [
        ("a common word", COMMON_WORD),
        ("a rare word", RARE_WORD),
        ("two words", two_words.as_str()),
        ("a word of every load", "load"),
        ("one letter", "c"),
        ("two letters", "co"),
        ("three letters", "cor"),
        ("two single letters", "c p"),
    ] {
        let mut times = Vec::new();
        let mut found = 0;
        for _ in 0..TIMES {
            let start = Instant::now();
            found = book.search(words, ANSWERS)?.len();
            times.push(start.elapsed());
        }
        ensure!(found > 0, "nothing found for '{words}'");
        let ms = median(&mut times).as_secs_f64() * 1e3;
        say(
            &format!("searching {what}, {found} answers"),
            ms,
            " ms",
            50.0,
        );
    }
    let visit = book.visits(700, 1)?.remove(0);
    let start = Instant::now();
    let records = book.visit_records(visit.id, Which::All)?.len();
    println!(
        "reading a visit of {records} records: {:.1?}",
        start.elapsed()
    );
    Ok(())
}

/// Opening the big book, against opening an empty one.
fn opening(big: &Path, empty: &Path) -> Result<()> {
    const PAIRS: usize = 60;
    open(empty)?;
    let (mut of_big, mut of_empty) = (Vec::new(), Vec::new());
    for _ in 0..PAIRS {
        for (path, times) in [(big, &mut of_big), (empty, &mut of_empty)] {
            let start = Instant::now();
            let book = open(path)?;
            times.push(start.elapsed());
            drop(book);
        }
    }
    let (big, empty) = (median(&mut of_big), median(&mut of_empty));
    println!("opening the big book: {big:.0?}, an empty one {empty:.0?}");
    say("  ratio of the medians", ratio(big, empty), "", 1.5);
    Ok(())
}

/// Starts this program again to do a day's reading in the big book.
fn memory(big: &Path) -> Result<()> {
    let output = std::process::Command::new(std::env::current_exe()?)
        .arg("--peak")
        .arg(big)
        .output()?;
    ensure!(output.status.success(), "{output:?}");
    let kilobytes: f64 = String::from_utf8(output.stdout)?.trim().parse()?;
    say("peak memory", kilobytes / 1_024.0, " MB", 150.0);
    Ok(())
}

fn peak(path: &Path) -> Result<()> {
    let book = open(path)?;
    let visits = book.visits(0, PAGE)?;
    for words in [COMMON_WORD, "load", "c", "pallet corner"] {
        book.search(words, ANSWERS)?;
    }
    book.visit_records(visits[0].id, Which::All)?;
    let status = std::fs::read_to_string("/proc/self/status")?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"));
    let kilobytes = line.and_then(|line| line.split_whitespace().nth(1));
    println!(
        "{}",
        kilobytes.context("the system does not tell the peak")?
    );
    Ok(())
}
