//! The writing process is killed at any instant; whatever it had confirmed is in the book.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_tests::log::{Confirmed, Log, actions_in_order, hold_content, place};
use tautbook_tests::seeded::Seeded;

/// Every run of these tests is another one; set `TAUTBOOK_SEED` to see one again.
fn seed() -> u64 {
    let given = std::env::var("TAUTBOOK_SEED").ok();
    let seed = given.map_or_else(
        || uuid::Uuid::new_v4().as_u64_pair().0,
        |seed| seed.parse().unwrap(),
    );
    println!("TAUTBOOK_SEED={seed}");
    seed
}

fn open(path: &Path) -> Book {
    let opened = Book::open(path, OpenMode::OpenOrStart, Box::new(SystemClock));
    opened
        .unwrap_or_else(|error| panic!("the book does not open: {error}"))
        .0
}

enum Until {
    /// So long after the process was started.
    Elapsed(Duration),
    /// So long after that many confirmations.
    Confirmed(usize, Duration),
}

/// Lets the writing process work in the book and kills it; what it confirmed.
fn work_and_kill(path: &Path, seed: u64, most: usize, until: &Until) -> Vec<Confirmed> {
    let mut writer = Command::new(env!("CARGO_BIN_EXE_writer"))
        .arg(path)
        .args([seed.to_string(), most.to_string()])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(writer.stdout.take().unwrap());
    let mut text = String::new();
    let wait = match until {
        Until::Elapsed(wait) => *wait,
        Until::Confirmed(count, wait) => {
            for _ in 0..*count {
                assert!(
                    lines.read_line(&mut text).unwrap() > 0,
                    "the writer stopped by itself"
                );
            }
            *wait
        }
    };
    std::thread::sleep(wait);
    writer.kill().unwrap(); // SIGKILL: nothing in the process can answer it.
    let status = writer.wait().unwrap();
    assert_eq!(
        status.code(),
        None,
        "the writer stopped by itself: {status}"
    );
    while lines.read_line(&mut text).unwrap() > 0 {}
    // A line without its end was not confirmed.
    let whole = text.rfind('\n').map_or("", |end| &text[..end]);
    let lines = whole.lines();
    lines.map(|line| Confirmed::read(line).unwrap()).collect()
}

/// Kills the writer `kills` times on one growing book.
fn grow_under_kills(seed: u64, kills: u32) -> usize {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("book.taut");
    let mut random = Seeded::new(seed);
    let mut log = Log::default();
    for _ in 0..kills {
        let wait = Duration::from_micros(random.below(6_000));
        let count = random.index(12);
        let until = if random.once_in(4) {
            Until::Elapsed(wait * 4)
        } else {
            Until::Confirmed(count, wait)
        };
        log.confirmed
            .extend(work_and_kill(&path, random.bits(), usize::MAX, &until));
        log.hold(&open(&path));
    }
    log.actions(log.confirmed.len()).len()
}

#[test]
fn what_was_confirmed_outlives_any_kill() {
    const BOOKS: u64 = 5;
    const KILLS: u32 = 50;
    let seed = seed();
    let done: Vec<usize> = std::thread::scope(|threads| {
        let books: Vec<_> = (0..BOOKS)
            .map(|book| threads.spawn(move || grow_under_kills(seed ^ book, KILLS)))
            .collect();
        books.into_iter().map(|book| book.join().unwrap()).collect()
    });
    println!("{BOOKS} books, {KILLS} kills each, actions kept: {done:?}");
    let least = usize::try_from(KILLS).unwrap();
    assert!(
        done.iter().all(|actions| *actions > least),
        "the writer came to too little"
    );
}

#[test]
fn a_book_killed_while_it_is_started_opens_and_is_whole() {
    const KILLS: u32 = 100;
    let mut random = Seeded::new(seed());
    let (mut nothing, mut something) = (0, 0);
    for kill in 0..KILLS {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.taut");
        let wait = Duration::from_micros(random.below(40_000));
        let confirmed = work_and_kill(&path, random.bits(), usize::MAX, &Until::Elapsed(wait));
        if confirmed.is_empty() {
            nothing += 1;
        } else {
            something += 1;
        }
        let mut log = Log { confirmed };
        log.hold(&open(&path));
        // And it can be worked in.
        let until = Until::Confirmed(1, Duration::ZERO);
        if kill % 4 == 0 {
            log.confirmed
                .extend(work_and_kill(&path, random.bits(), usize::MAX, &until));
            log.hold(&open(&path));
        }
    }
    println!("{KILLS} kills, {nothing} before the first confirmation, {something} after");
    assert!(nothing > 0, "no kill fell into the starting of the book");
}

/// A book of which some work lies in the log file only, as after a power cut.
struct Cut {
    folder: tempfile::TempDir,
    book: Vec<u8>,
    wal: Vec<u8>,
    /// Everything confirmed, and how much of it before the log file was begun.
    log: Log,
    before: usize,
}

fn beside(path: &Path, end: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(end);
    PathBuf::from(name)
}

impl Cut {
    fn make(random: &mut Seeded, before: usize, after: usize) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.taut");
        let mut log = Log::default();
        let mut work = |count: usize| {
            let until = Until::Confirmed(count, Duration::ZERO);
            work_and_kill(&path, random.bits(), count, &until)
        };
        if before > 0 {
            log.confirmed = work(before);
            log.hold(&open(&path)); // Closing it in good order empties the log file.
            assert!(!beside(&path, "-wal").exists());
        }
        let before = log.confirmed.len();
        // Fewer pages than make SQLite move them into the book by itself.
        log.confirmed.extend(work(after));
        let book = std::fs::read(&path).unwrap();
        let wal = std::fs::read(beside(&path, "-wal")).unwrap();
        assert!(
            wal.len() < 900 * 4_120,
            "a checkpoint came between: {}",
            wal.len()
        );
        Self {
            folder,
            book,
            wal,
            log,
            before,
        }
    }

    /// Opens the book with that log file, and checks that it stands at the end of some action;
    /// how many confirmations are in it.
    fn stands_somewhere(&self, wal: &[u8]) -> usize {
        let path = self.folder.path().join("after.taut");
        std::fs::write(&path, &self.book).unwrap();
        std::fs::write(beside(&path, "-wal"), wal).unwrap();
        let _ = std::fs::remove_file(beside(&path, "-shm"));
        let book = open(&path);
        let actions = actions_in_order(&book);
        let keys: Vec<_> = actions.iter().map(|action| action.key).collect();
        let place = place(&book);
        let n = (self.before..=self.log.confirmed.len())
            .find(|n| self.log.place(*n) == place && self.log.actions(*n) == keys)
            .unwrap_or_else(|| panic!("{} actions, place {place}: never stood so", keys.len()));
        hold_content(&book, &self.log.records(n), &actions);
        n
    }
}

#[test]
fn a_log_file_cut_anywhere_leaves_whole_actions() {
    let mut random = Seeded::new(seed());
    for (before, after) in [(0, 25), (40, 30)] {
        let cut = Cut::make(&mut random, before, after);
        let all = cut.log.confirmed.len();
        assert_eq!(cut.stands_somewhere(&cut.wal), all, "uncut, all is there");
        assert_eq!(
            cut.stands_somewhere(&[]),
            cut.before,
            "without it, what came before"
        );
        let mut ends: Vec<usize> = (0..60).map(|_| random.index(cut.wal.len())).collect();
        ends.sort_unstable();
        let mut last = cut.before;
        for end in ends {
            let stood = cut.stands_somewhere(&cut.wal[..end]);
            assert!(stood >= last, "{end} bytes keep less than fewer bytes kept");
            last = stood;
        }
        assert!(
            last > cut.before,
            "no cut left anything: the test proves nothing"
        );
    }
}

#[test]
fn a_log_file_torn_anywhere_leaves_whole_actions() {
    let mut random = Seeded::new(seed());
    let cut = Cut::make(&mut random, 20, 30);
    let all = cut.log.confirmed.len();
    for round in 0..60 {
        let mut wal = cut.wal.clone();
        let end = random.index(wal.len());
        match round % 3 {
            // The last page of what was written is half old bytes.
            0 => wal[end..].fill(0),
            1 => {
                wal.truncate(end);
                let junk: Vec<u8> = (0..4_096)
                    .flat_map(|_| random.bits().to_le_bytes())
                    .collect();
                wal.extend(junk);
            }
            // One bit fell over.
            _ => wal[end] ^= 1 << random.below(8),
        }
        let stood = cut.stands_somewhere(&wal);
        assert!((cut.before..=all).contains(&stood));
    }
}
