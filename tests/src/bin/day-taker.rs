//! Writes a day file or takes one in as the app does, and says so on standard output once it is done.
//! Made to be killed: `day-taker write BOOK FILE`, with every visit of the book, or
//! `day-taker take BOOK FILE`.

use std::io::Write;
use std::path::Path;

use anyhow::{Context, Result, bail};
use tautbook_core::book::{Book, OpenMode, SystemClock};
use tautbook_core::dayfile::{DayFile, VerifiedDayFile};
use tautbook_tests::day::go_on;

fn main() -> Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [what, path, file] = arguments.as_slice() else {
        bail!("day-taker write|take BOOK FILE");
    };
    let (mut book, _) = Book::open(Path::new(path), OpenMode::Existing, Box::new(SystemClock))?;
    let file = Path::new(file);
    if what == "write" {
        let visits = book.visits(0, u32::MAX)?;
        let day = DayFile {
            visits: visits.iter().map(|visit| visit.id).collect(),
            ..DayFile::default()
        };
        day.write(&book, file, &mut go_on)?;
    } else {
        VerifiedDayFile::open(file, None, &mut go_on)?.take_into(&mut book, &mut go_on)?;
    }
    let mut out = std::io::stdout().lock();
    out.write_all(b"done\n")
        .and_then(|()| out.flush())
        .context("standard output")
}
