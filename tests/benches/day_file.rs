//! Day files: writing and taking in beside the plain tools for the same files, memory by the number
//! of pictures, and how taking in goes as the office's book grows.
//!
//! `cargo bench -p tautbook-tests --bench day_file`; with `-- REPS DAYS` the office's book is made
//! of that many representatives' days (`-- 200 200` is the full one: hours, and tens of gigabytes).
//! The day and the tools take turns, so that whatever else the machine does falls on both. `zip`,
//! `unzip` and `sha256sum` are the Debian packages zip, unzip and coreutils; none of them brings
//! what it wrote to the disk, which the day file's figures include.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use peak_alloc::PeakAlloc;
use rusqlite::Connection;
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::dayfile::{DayFile, VerifiedDayFile};
use tautbook_core::survey::{EachKind, Entity, Id, Record, RecordSet, Visit};
use tautbook_tests::day::go_on;
use tautbook_tests::rep_days::{self, LONG, Size};

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// How often each is timed.
const TIMES: usize = 5;
const PICTURES: u32 = 300;
const FEW: u32 = 30;
/// Writing may take so much of `zip -0` and `sha256sum`.
const MOST_WRITING: f64 = 1.3;
/// Taking in may take so much of `unzip`, `sha256sum` and bare inserts.
const MOST_TAKING: f64 = 1.5;
/// And so many megabytes at once.
const MOST_MEMORY: f64 = 100.0;
/// Each picture more may take so many kilobytes: its record and history, not its three megabytes.
const MOST_A_PICTURE: f64 = 30.0;
/// The last tenth of the days may take so much of the time of the first.
const MOST_SLOWING: f64 = 1.5;
/// A representative's ordinary day, without pictures.
const ORDINARY: Size = Size {
    loads: 6,
    readings_a_load: 10,
};

fn main() -> Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match arguments.as_slice() {
        ["--peak", what, folder] => return peak(what, Path::new(folder)),
        [reps, days] => return office(reps.parse()?, days.parse()?),
        _ => {}
    }
    beside_the_tools()?;
    memory()?;
    office(20, 20)
}

/// In the folder of the build, not in a `/tmp` that may live in memory.
fn folder() -> Result<tempfile::TempDir> {
    Ok(tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR"))?)
}

fn open(path: &Path) -> Result<Book> {
    Ok(Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock))?.0)
}

fn median(times: &mut [Duration]) -> f64 {
    times.sort_unstable();
    times
        .get(times.len() / 2)
        .map_or(0.0, Duration::as_secs_f64)
}

fn timed<T>(work: impl FnOnce() -> Result<T>) -> Result<(T, Duration)> {
    let start = Instant::now();
    let value = work()?;
    Ok((value, start.elapsed()))
}

fn kept(is: bool) -> &'static str {
    if is { "kept" } else { "MISSED" }
}

/// A long day with so many pictures in a book of its own.
fn long_day(folder: &Path, pictures: u32) -> Result<(Book, Id<Visit>, RecordSet)> {
    let path = folder.join("book.taut");
    let mut book = open(&path)?;
    let mut set = rep_days::day(1, 1, LONG)?;
    let jpeg = rep_days::kept_picture()?;
    rep_days::photograph(&mut set, &path, pictures, &jpeg)?;
    book.import(&set)?;
    let visit = set.visits.first().context("a day has a visit")?.id;
    Ok((book, visit, set))
}

fn write(book: &Book, visit: Id<Visit>, to: &Path) -> Result<()> {
    let day = DayFile {
        visits: vec![visit],
        ..DayFile::default()
    };
    let written = day.write(book, to, &mut go_on)?;
    ensure!(written.manifest.photos_left_out.is_empty());
    Ok(())
}

fn take(book: &mut Book, from: &Path) -> Result<usize> {
    let taken = VerifiedDayFile::open(from, None, &mut go_on)?.take_into(book, &mut go_on)?;
    Ok(taken.photos_added)
}

/// Runs a program in a folder; one that is missing is said by its package.
fn run(program: &str, package: &str, arguments: &[&str], within: &Path) -> Result<()> {
    let output = Command::new(program)
        .args(arguments)
        .current_dir(within)
        .output()
        .with_context(|| format!("{program} (Debian package {package}) cannot be run"))?;
    ensure!(output.status.success(), "{program}: {output:?}");
    Ok(())
}

/// `sha256sum` over every file in a folder and below it.
fn sums(within: &Path) -> Result<()> {
    let script = "find . -type f -print0 | xargs -0 sha256sum >/dev/null";
    run("sh", "dash", &["-c", script], within)
}

fn beside_the_tools() -> Result<()> {
    let folder = folder()?;
    let (book, visit, set) = long_day(folder.path(), PICTURES)?;
    let day = folder.path().join("day.zip");
    let members = folder.path().join("members");
    std::fs::create_dir(&members)?;
    write(&book, visit, &day)?;
    run("unzip", "unzip", &["-q", "../day.zip"], &members)?;
    let rows = rows(&set)?;
    println!(
        "a day of {} loads, {} readings and {PICTURES} pictures: {} MB, {} records",
        set.loads.len(),
        set.readings.len(),
        std::fs::metadata(&day)?.len() / 1_000_000,
        set.len(),
    );
    let (mut writing, mut zipping) = (Vec::new(), Vec::new());
    let (mut taking, mut unzipping) = (Vec::new(), Vec::new());
    for n in 0..TIMES {
        std::fs::remove_file(&day)?;
        writing.push(timed(|| write(&book, visit, &day))?.1);
        let zip = folder.path().join("other.zip");
        let _ = std::fs::remove_file(&zip);
        let zipped = timed(|| {
            run(
                "zip",
                "zip",
                &["-0", "-q", "-r", "../other.zip", "."],
                &members,
            )?;
            sums(&members)
        })?;
        zipping.push(zipped.1);
        // Both begin with what was written before on the disk.
        run("sync", "coreutils", &[], &members)?;
        let office = folder.path().join(format!("office-{n}"));
        std::fs::create_dir(&office)?;
        let mut into = open(&office.join("book.taut"))?;
        let (added, took) = timed(|| take(&mut into, &day))?;
        ensure!(added == PICTURES as usize);
        taking.push(took);
        drop(into);
        let out = folder.path().join(format!("out-{n}"));
        std::fs::create_dir(&out)?;
        let unzipped = timed(|| {
            run("unzip", "unzip", &["-q", "../day.zip"], &out)?;
            sums(&out)?;
            insert(&out.join("rows.sqlite"), &rows)
        })?;
        unzipping.push(unzipped.1);
        std::fs::remove_dir_all(&office)?;
        std::fs::remove_dir_all(&out)?;
    }
    say(
        "written",
        &mut writing,
        &mut zipping,
        "zip -0 and sha256sum",
        MOST_WRITING,
    );
    say(
        "taken in",
        &mut taking,
        &mut unzipping,
        "unzip, sha256sum and bare inserts",
        MOST_TAKING,
    );
    Ok(())
}

fn say(what: &str, ours: &mut [Duration], theirs: &mut [Duration], tools: &str, most: f64) {
    let (ours, theirs) = (median(ours), median(theirs));
    let ratio = ours / theirs;
    println!(
        "  {what}: {ours:.2} s, {tools} {theirs:.2} s: {ratio:.2} x (at most {most}: {})",
        kept(ratio <= most)
    );
}

/// Every record as the row it is kept in.
fn rows(set: &RecordSet) -> Result<Vec<([u8; 16], String)>> {
    struct Rows(Vec<([u8; 16], String)>);
    impl EachKind for Rows {
        type Error = serde_json::Error;
        fn records<T: Entity>(&mut self, records: &[Record<T>]) -> Result<(), Self::Error> {
            for record in records {
                let body = serde_json::to_string(&record.body)?;
                self.0.push((*record.id.uuid().as_bytes(), body));
            }
            Ok(())
        }
    }
    let mut rows = Rows(Vec::new());
    set.visit_kinds(&mut rows)?;
    Ok(rows.0)
}

/// Each row twice, as the book keeps a record and its history, in one transaction.
fn insert(path: &Path, rows: &[([u8; 16], String)]) -> Result<()> {
    let mut db = Connection::open(path)?;
    db.execute_batch(
        "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL;
         CREATE TABLE record (id BLOB PRIMARY KEY, body TEXT NOT NULL) STRICT, WITHOUT ROWID;
         CREATE TABLE history (id BLOB NOT NULL, body TEXT NOT NULL) STRICT;",
    )?;
    let tx = db.transaction()?;
    for table in ["record", "history"] {
        let mut statement = tx.prepare(&format!("INSERT INTO {table} VALUES (?1, ?2)"))?;
        for (id, body) in rows {
            statement.execute((id.as_slice(), body))?;
        }
    }
    tx.commit()?;
    Ok(())
}

/// The most memory of a process that writes or takes in a day of few and of many pictures.
fn memory() -> Result<()> {
    for what in ["write", "take"] {
        let mut peaks = Vec::new();
        for pictures in [FEW, 100, PICTURES] {
            let folder = folder()?;
            let (book, visit, _) = long_day(folder.path(), pictures)?;
            write(&book, visit, &folder.path().join("day.zip"))?;
            drop(book);
            let output = Command::new(std::env::current_exe()?)
                .args(["--peak", what])
                .arg(folder.path())
                .output()?;
            ensure!(output.status.success(), "{output:?}");
            let text = String::from_utf8(output.stdout)?;
            let numbers: Vec<f64> = text
                .split_whitespace()
                .map(str::parse)
                .collect::<Result<_, _>>()?;
            let [heap, whole] = numbers[..] else {
                anyhow::bail!("{text}");
            };
            println!(
                "memory to {what} a day of {pictures} pictures: {heap:.1} MB on the heap, the whole \
                 process {whole:.1} MB (at most {MOST_MEMORY} MB: {})",
                kept(whole <= MOST_MEMORY)
            );
            peaks.push(whole);
        }
        let more = (peaks[peaks.len() - 1] - peaks[0]) * 1_024.0 / f64::from(PICTURES - FEW);
        println!(
            "  {more:.0} kB for each picture more (at most {MOST_A_PICTURE} kB: {})",
            kept(more <= MOST_A_PICTURE)
        );
    }
    Ok(())
}

/// Does the work in a fresh process and prints its peaks in megabytes: what was allocated by Rust,
/// and all the system gave.
fn peak(what: &str, folder: &Path) -> Result<()> {
    match what {
        "write" => {
            let book = open(&folder.join("book.taut"))?;
            let visit = book.visits(0, 1)?.first().context("a visit")?.id;
            write(&book, visit, &folder.join("again.zip"))?;
        }
        _ => {
            let office = folder.join("office");
            std::fs::create_dir(&office)?;
            take(
                &mut open(&office.join("book.taut"))?,
                &folder.join("day.zip"),
            )?;
        }
    }
    let status = std::fs::read_to_string("/proc/self/status")?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"));
    let kilobytes: f64 = line
        .and_then(|line| line.split_whitespace().nth(1))
        .context("the system does not tell the peak")?
        .parse()?;
    println!("{} {}", MEMORY.peak_usage_as_mb(), kilobytes / 1_024.0);
    Ok(())
}

/// The days of many representatives taken into one book, day by day, and how that goes on.
fn office(reps: u32, days: u32) -> Result<()> {
    let folder = folder()?;
    let path = folder.path().join("office.taut");
    let mut office = open(&path)?;
    println!("the office's book: {reps} representatives, {days} days each");
    let mut times: Vec<f64> = Vec::new();
    let (mut since, each) = (0, (reps * days).div_ceil(20) as usize);
    for day in 0..days {
        for rep in 0..reps {
            let file = one_day(folder.path(), rep, day)?;
            let took = timed(|| take(&mut office, &file))?.1;
            times.push(took.as_secs_f64());
            std::fs::remove_file(&file)?;
            if times.len() - since >= each {
                let mean = mean(&times[since..]);
                println!(
                    "  {:>6} days in, {:>7.1} MB: {:.1} ms a day",
                    times.len(),
                    size(&files_of(&path)) / 1e6,
                    mean * 1e3
                );
                since = times.len();
            }
        }
    }
    let tenth = (times.len() / 10).max(1);
    let (first, last) = (mean(&times[..tenth]), mean(&times[times.len() - tenth..]));
    println!(
        "  a day in the last tenth takes {:.2} x of one in the first (at most {MOST_SLOWING}: {})",
        last / first,
        kept(last / first <= MOST_SLOWING)
    );
    Ok(())
}

/// The day file of a representative's day.
fn one_day(folder: &Path, rep: u32, day: u32) -> Result<PathBuf> {
    let own = tempfile::tempdir_in(folder)?;
    let mut book = open(&own.path().join("book.taut"))?;
    let set = rep_days::day(rep, day, ORDINARY)?;
    book.import(&set)?;
    let visit = set.visits.first().context("a day has a visit")?.id;
    let file = folder.join("day.zip");
    write(&book, visit, &file)?;
    Ok(file)
}

#[allow(clippy::cast_precision_loss)]
fn mean(times: &[f64]) -> f64 {
    times.iter().sum::<f64>() / times.len() as f64
}

/// The book and what SQLite keeps beside it.
fn files_of(book: &Path) -> [PathBuf; 2] {
    [book.to_owned(), book.with_extension("taut-wal")]
}

#[allow(clippy::cast_precision_loss)]
fn size(files: &[PathBuf]) -> f64 {
    let sizes = files.iter().filter_map(|file| file.metadata().ok());
    sizes.map(|file| file.len() as f64).sum()
}
