//! Opening and upgrading a book.
//!
//! A book is an SQLite file with our application id. Its version is `user_version`; a later one is
//! refused, an earlier one is copied aside and upgraded in one transaction.

use std::path::{Path, PathBuf};

use rusqlite::{Connection, OpenFlags, TransactionBehavior};
use uuid::Uuid;

use super::clock::Clock;
use super::{Book, BookError};

/// `TAUT` in ASCII: marks an SQLite file as a book.
pub const APPLICATION_ID: i64 = 0x5441_5554;

/// One version of the book: the SQL that makes it from the one before.
pub(super) struct Upgrade {
    pub(super) to: i64,
    pub(super) sql: &'static str,
}

/// Every version from the first, in order.
pub(super) const UPGRADES: &[Upgrade] = &[Upgrade {
    to: 1,
    sql: include_str!("schema/v1.sql"),
}];

/// How to open a book.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpenMode {
    /// Start one where there is none.
    OpenOrStart,
    /// Only one that is there.
    Existing,
    /// Only one that is there, and change nothing in it. SQLite may leave its empty `-wal` and
    /// `-shm` files beside it.
    ReadOnly,
}

/// What was noticed while opening.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Opened {
    /// The book was started just now.
    pub started: bool,
    /// It was upgraded; the copy of the book as it was before.
    pub upgraded_from: Option<PathBuf>,
    /// The clock is this many milliseconds behind the last entry, when that is more than a
    /// minute: it was probably set back.
    pub clock_behind_ms: Option<i64>,
}

/// How long another program may hold the book before we give up.
pub(super) const BUSY_MS: u64 = 5_000;

/// A clock further behind the last entry than this was set back, not corrected.
const CLOCK_SLACK_MS: i64 = 60_000;

impl Book {
    /// Opens a book.
    ///
    /// # Errors
    /// [`BookError::Missing`], [`BookError::NotABook`], [`BookError::Newer`],
    /// [`BookError::Damaged`], [`BookError::ReadOnly`], [`BookError::DiskFull`],
    /// [`BookError::Busy`], [`BookError::Io`]. Whatever the error, the file is as it was.
    pub fn open(
        path: &Path,
        mode: OpenMode,
        clock: Box<dyn Clock>,
    ) -> Result<(Self, Opened), BookError> {
        Self::open_with(path, mode, clock, UPGRADES)
    }

    pub(super) fn open_with(
        path: &Path,
        mode: OpenMode,
        clock: Box<dyn Clock>,
        upgrades: &[Upgrade],
    ) -> Result<(Self, Opened), BookError> {
        let there = path
            .try_exists()
            .map_err(|error| BookError::io(path, &error))?;
        if !there && mode != OpenMode::OpenOrStart {
            return Err(BookError::Missing {
                path: path.to_owned(),
            });
        }
        if there {
            recognise(path)?;
        }
        let mut db = connect(path, mode)?;
        let mut opened = Opened::default();
        let known = upgrades.last().map_or(0, |upgrade| upgrade.to);
        let found = version(&db)?;
        if found == 0 {
            refuse_foreign(&db, path)?;
        } else if application_id(&db)? != APPLICATION_ID {
            return Err(BookError::NotABook {
                path: path.to_owned(),
            });
        }
        if found > known {
            return Err(BookError::Newer { found, known });
        }
        prepare(&db, mode)?;
        if found < known {
            if mode == OpenMode::ReadOnly {
                return Err(BookError::ReadOnly);
            }
            if found > 0 {
                opened.upgraded_from = Some(copy_aside(&db, path, found)?);
            }
            opened.started = upgrade(&mut db, clock.as_ref(), upgrades)?;
        }
        let device: [u8; 16] = db.query_row("SELECT device FROM book", [], |row| row.get(0))?;
        let book = Self::assemble(db, path, clock, Uuid::from_bytes(device));
        let behind = super::clock::stamp_ms(book.last_stamp()?) - book.clock.now().unix_ms();
        if behind > CLOCK_SLACK_MS {
            opened.clock_behind_ms = Some(behind);
        }
        if mode != OpenMode::ReadOnly {
            book.photo_folder().sweep();
        }
        Ok((book, opened))
    }
}

/// Refuses a file that is not SQLite's before SQLite touches it.
pub(super) fn recognise(path: &Path) -> Result<(), BookError> {
    use std::io::Read;
    let not_a_book = || BookError::NotABook {
        path: path.to_owned(),
    };
    if path.is_dir() {
        return Err(not_a_book());
    }
    let mut head = [0_u8; 16];
    let mut file = std::fs::File::open(path).map_err(|error| BookError::io(path, &error))?;
    let mut read = 0;
    while read < head.len() {
        match file
            .read(&mut head[read..])
            .map_err(|error| BookError::io(path, &error))?
        {
            0 => break,
            n => read += n,
        }
    }
    // An empty file is a book whose first transaction never came to its end.
    if read == 0 || (read == head.len() && &head == b"SQLite format 3\0") {
        Ok(())
    } else {
        Err(not_a_book())
    }
}

fn connect(path: &Path, mode: OpenMode) -> Result<Connection, BookError> {
    let common = OpenFlags::SQLITE_OPEN_NO_MUTEX | OpenFlags::SQLITE_OPEN_URI;
    let db = match mode {
        OpenMode::OpenOrStart => Connection::open_with_flags(
            path,
            common | OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_CREATE,
        ),
        OpenMode::Existing => {
            Connection::open_with_flags(path, common | OpenFlags::SQLITE_OPEN_READ_WRITE)
        }
        OpenMode::ReadOnly => return connect_read_only(path, common),
    }
    .map_err(|error| could_not_open(path, error))?;
    db.busy_timeout(std::time::Duration::from_millis(BUSY_MS))?;
    Ok(db)
}

/// A connection that writes nothing. In a folder where SQLite cannot make its shared-memory file,
/// a book that was closed well is read as it stands.
fn connect_read_only(path: &Path, common: OpenFlags) -> Result<Connection, BookError> {
    let flags = common | OpenFlags::SQLITE_OPEN_READ_ONLY;
    let db =
        Connection::open_with_flags(path, flags).map_err(|error| could_not_open(path, error))?;
    db.busy_timeout(std::time::Duration::from_millis(BUSY_MS))?;
    match db.query_row("SELECT count(*) FROM sqlite_schema", [], |row| {
        row.get::<_, i64>(0)
    }) {
        Ok(_) => Ok(db),
        Err(error) => {
            let mut log = path.as_os_str().to_owned();
            log.push("-wal");
            let log_is_empty = std::fs::metadata(&log).map_or(true, |metadata| metadata.len() == 0);
            let cannot_open = matches!(
                error.sqlite_error_code(),
                Some(rusqlite::ErrorCode::CannotOpen | rusqlite::ErrorCode::ReadOnly)
            );
            if !(cannot_open && log_is_empty) {
                return Err(error.into());
            }
            let plain = path.to_string_lossy();
            let escaped = plain
                .replace('%', "%25")
                .replace('?', "%3f")
                .replace('#', "%23");
            Ok(Connection::open_with_flags(
                format!("file:{escaped}?immutable=1"),
                flags,
            )?)
        }
    }
}

fn could_not_open(path: &Path, error: rusqlite::Error) -> BookError {
    let folder = path
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty());
    if error.sqlite_error_code() == Some(rusqlite::ErrorCode::CannotOpen) {
        return match folder {
            Some(folder) if !folder.exists() => BookError::Missing {
                path: path.to_owned(),
            },
            _ => BookError::ReadOnly,
        };
    }
    error.into()
}

fn version(db: &Connection) -> Result<i64, BookError> {
    Ok(db.query_row("PRAGMA user_version", [], |row| row.get(0))?)
}

fn application_id(db: &Connection) -> Result<i64, BookError> {
    Ok(db.query_row("PRAGMA application_id", [], |row| row.get(0))?)
}

/// A file without a version is a new book only if there is nothing in it.
fn refuse_foreign(db: &Connection, path: &Path) -> Result<(), BookError> {
    let tables: i64 = db.query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))?;
    if tables == 0 && application_id(db)? == 0 {
        Ok(())
    } else {
        Err(BookError::NotABook {
            path: path.to_owned(),
        })
    }
}

fn prepare(db: &Connection, mode: OpenMode) -> Result<(), BookError> {
    db.set_prepared_statement_cache_capacity(128);
    if mode != OpenMode::ReadOnly {
        let journal: String = db.query_row("PRAGMA journal_mode = WAL", [], |row| row.get(0))?;
        if !journal.eq_ignore_ascii_case("wal") {
            return Err(BookError::ReadOnly);
        }
    }
    db.execute_batch(
        "PRAGMA synchronous = FULL;
         PRAGMA foreign_keys = ON;
         PRAGMA temp_store = MEMORY;
         PRAGMA trusted_schema = OFF;
         PRAGMA cell_size_check = ON;",
    )?;
    Ok(())
}

/// Copies the whole book beside itself before an upgrade.
fn copy_aside(db: &Connection, path: &Path, found: i64) -> Result<PathBuf, BookError> {
    for n in 0_u32..1_000 {
        let mut name = path.as_os_str().to_owned();
        name.push(match n {
            0 => format!(".version-{found}"),
            n => format!(".version-{found}-{n}"),
        });
        let copy = PathBuf::from(name);
        if copy.exists() {
            continue;
        }
        // Whole and on disk before it gets its name: a copy cut short must not pass for one.
        let mut half = copy.as_os_str().to_owned();
        half.push(".part");
        let half = PathBuf::from(half);
        if half.exists() {
            std::fs::remove_file(&half).map_err(|error| BookError::io(&half, &error))?;
        }
        db.execute("VACUUM INTO ?1", [half.to_string_lossy()])?;
        std::fs::File::open(&half)
            .and_then(|file| file.sync_all())
            .and_then(|()| std::fs::rename(&half, &copy))
            .map_err(|error| BookError::io(&copy, &error))?;
        return Ok(copy);
    }
    Err(BookError::Internal(
        "there are a thousand copies of the book beside it".to_owned(),
    ))
}

/// Brings the book to the latest version, all or nothing. Whether it was started by this.
fn upgrade(
    db: &mut Connection,
    clock: &dyn Clock,
    upgrades: &[Upgrade],
) -> Result<bool, BookError> {
    let tx = db.transaction_with_behavior(TransactionBehavior::Immediate)?;
    let found = version(&tx)?; // again: another program may have upgraded it meanwhile
    for upgrade in upgrades.iter().filter(|upgrade| upgrade.to > found) {
        tx.execute_batch(upgrade.sql)?;
        tx.pragma_update(None, "user_version", upgrade.to)?;
    }
    if found == 0 {
        tx.pragma_update(None, "application_id", APPLICATION_ID)?;
        let now = clock.now();
        tx.execute(
            "INSERT INTO book (one, device, made_ms) VALUES (1, ?1, ?2)",
            (Uuid::new_v4().as_bytes().as_slice(), now.unix_ms()),
        )?;
    }
    tx.commit()?;
    Ok(found == 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{FixedClock, SystemClock};
    use crate::survey::{Moment, Purpose, Visit};

    const LATER: &[Upgrade] = &[
        Upgrade {
            to: 1,
            sql: include_str!("schema/v1.sql"),
        },
        Upgrade {
            to: 2,
            sql: "ALTER TABLE book ADD COLUMN motto TEXT NOT NULL DEFAULT '';",
        },
    ];
    const BROKEN: &[Upgrade] = &[
        Upgrade {
            to: 1,
            sql: include_str!("schema/v1.sql"),
        },
        Upgrade {
            to: 2,
            sql: "CREATE TABLE half (a); INSERT INTO nowhere VALUES (1);",
        },
    ];

    fn visit() -> Visit {
        Visit {
            customer: "Harrow Tile".to_owned(),
            site: "Kiln Lane".to_owned(),
            date: chrono::NaiveDate::from_ymd_opt(2026, 3, 4).unwrap(),
            rep: String::new(),
            purpose: Purpose::Baseline,
            bag: Vec::new(),
            safety: Vec::new(),
            notes: String::new(),
        }
    }

    fn old_book(folder: &Path) -> PathBuf {
        let path = folder.join("book.taut");
        let (mut book, opened) =
            Book::open(&path, OpenMode::OpenOrStart, Box::new(SystemClock)).unwrap();
        assert!(opened.started);
        book.act("start_visit", |act| act.add(visit())).unwrap();
        path
    }

    fn schema(path: &Path) -> Vec<(String, String)> {
        let db = Connection::open(path).unwrap();
        let mut statement = db
            .prepare("SELECT name, coalesce(sql, '') FROM sqlite_schema ORDER BY 1")
            .unwrap();
        statement
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap()
    }

    #[test]
    fn an_older_book_is_copied_aside_and_upgraded() {
        let folder = tempfile::tempdir().unwrap();
        let path = old_book(folder.path());
        let (book, opened) =
            Book::open_with(&path, OpenMode::Existing, Box::new(SystemClock), LATER).unwrap();
        assert!(!opened.started);
        let copy = opened.upgraded_from.unwrap();
        assert_eq!(book.all::<Visit>().unwrap().len(), 1);
        drop(book);
        let (kept, _) = Book::open(&copy, OpenMode::Existing, Box::new(SystemClock)).unwrap();
        assert_eq!(
            kept.all::<Visit>().unwrap().len(),
            1,
            "the copy is a whole book"
        );

        let fresh = folder.path().join("fresh.taut");
        Book::open_with(&fresh, OpenMode::OpenOrStart, Box::new(SystemClock), LATER).unwrap();
        assert_eq!(
            schema(&path),
            schema(&fresh),
            "upgraded and fresh are alike"
        );
    }

    #[test]
    fn an_upgrade_that_fails_leaves_the_book_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = old_book(folder.path());
        let before = schema(&path);
        Book::open_with(&path, OpenMode::Existing, Box::new(SystemClock), BROKEN).unwrap_err();
        assert_eq!(schema(&path), before);
        let (book, _) = Book::open(&path, OpenMode::Existing, Box::new(SystemClock)).unwrap();
        assert_eq!(book.all::<Visit>().unwrap().len(), 1);
    }

    #[test]
    fn a_newer_book_is_refused_and_not_touched() {
        let folder = tempfile::tempdir().unwrap();
        let path = old_book(folder.path());
        Book::open_with(&path, OpenMode::Existing, Box::new(SystemClock), LATER).unwrap();
        let bytes = std::fs::read(&path).unwrap();
        let error = Book::open(&path, OpenMode::OpenOrStart, Box::new(SystemClock)).unwrap_err();
        assert!(
            matches!(error, BookError::Newer { found: 2, known: 1 }),
            "{error}"
        );
        assert!(error.to_string().contains("update Tautbook"), "{error}");
        assert_eq!(std::fs::read(&path).unwrap(), bytes);
    }

    #[test]
    fn a_clock_set_back_is_noticed() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("book.taut");
        let at = |text: &str| Box::new(FixedClock(Moment::parse(text).unwrap()));
        let (mut book, _) =
            Book::open(&path, OpenMode::OpenOrStart, at("2026-03-04T09:00:00Z")).unwrap();
        book.act("start_visit", |act| act.add(visit())).unwrap();
        drop(book);
        let (_, opened) =
            Book::open(&path, OpenMode::Existing, at("2026-03-04T08:59:30Z")).unwrap();
        assert_eq!(
            opened.clock_behind_ms, None,
            "half a minute is a correction"
        );
        let (mut book, opened) =
            Book::open(&path, OpenMode::Existing, at("2026-03-03T09:00:00Z")).unwrap();
        assert_eq!(opened.clock_behind_ms, Some(24 * 60 * 60 * 1000));
        let second = book.act("start_visit", |act| act.add(visit())).unwrap();
        let actions = book.actions(2).unwrap();
        assert_eq!(
            Some(actions[0].key),
            second.action,
            "the order of doing is kept"
        );
        assert!(
            actions[0].at < actions[1].at,
            "and so is what the clock said"
        );
    }
}
