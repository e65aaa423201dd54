//! `tautbook tables`: readings, loads, setups and savings of a whole book as Parquet files.
//!
//! The book is gone through visit by visit and written row group by row group, so that memory does
//! not grow with it. The same book gives the same bytes.

mod file;
mod loads;
mod readings;
mod savings;
mod setups;
mod visit;

use std::fmt::Write as _;
use std::fs::File;
use std::path::Path;

use anyhow::Context as _;
use tautbook_core::book::{Book, Which};
use tautbook_core::survey::{Id, RecordSet, Visit};

use crate::{Outcome, books, print};
use file::{TableFile, Written};
use visit::{Place, find, of_load};

pub(crate) fn command(book: Option<&Path>, out: &Path) -> anyhow::Result<Outcome> {
    let book = books::open_to_read(book)?;
    let mut begun = Vec::new();
    let written = std::fs::create_dir_all(out)
        .with_context(|| format!("the folder {} could not be made", out.display()))
        .and_then(|()| write(&book, out, &mut begun))
        .context("no table was written; what was there before is as it was")
        .and_then(|written| named(out, written));
    if written.is_err() {
        for name in begun {
            let _ = std::fs::remove_file(out.join(name)); // What is left of it is nobody's.
        }
    }
    let written = written.context("no table was written; what was there before is as it was")?;
    let mut text = String::new();
    for table in written {
        writeln!(text, "{}: {} rows", table.path.display(), table.rows)?;
    }
    print(&text)?;
    Ok(Outcome::Fine)
}

/// Visits in use, the earliest first.
fn visits(book: &Book) -> anyhow::Result<Vec<Id<Visit>>> {
    let mut visits = book.visits(0, u32::MAX)?;
    visits.sort_by_key(|visit| (visit.date, visit.id));
    Ok(visits.into_iter().map(|visit| visit.id).collect())
}

fn write(book: &Book, out: &Path, begun: &mut Vec<String>) -> anyhow::Result<Vec<Written>> {
    for name in ["readings", "loads", "setups", "savings"] {
        begun.push(format!(".{name}.parquet.part"));
    }
    let mut tables = Tables {
        readings: TableFile::begin(out, "readings", &readings::columns())?,
        loads: TableFile::begin(out, "loads", &loads::columns())?,
        setups: TableFile::begin(out, "setups", &setups::columns())?,
        savings: TableFile::begin(out, "savings", &savings::columns())?,
    };
    for visit in visits(book)? {
        tables.add(&book.visit_records(visit, Which::InUse)?)?;
    }
    let Tables {
        readings,
        loads,
        setups,
        savings,
    } = tables;
    [readings, loads, setups, savings]
        .into_iter()
        .map(TableFile::finish)
        .collect()
}

struct Tables {
    readings: TableFile,
    loads: TableFile,
    setups: TableFile,
    savings: TableFile,
}

impl Tables {
    /// The rows of one visit.
    fn add(&mut self, set: &RecordSet) -> anyhow::Result<()> {
        let Some(visit) = set.visits.first() else {
            return Ok(());
        };
        let columns = readings::columns();
        for reading in &set.readings {
            let Some(load) = find(&set.loads, reading.load) else {
                continue; // Of a load that is set aside.
            };
            let Some((place, setup)) = of_load(set, visit, load) else {
                continue;
            };
            let row = readings::Row {
                place,
                setup,
                load,
                reading,
            };
            self.readings.row(&columns, &row)?;
        }
        let columns = loads::columns();
        for load in &set.loads {
            if let Some((place, setup)) = of_load(set, visit, load) {
                let row = loads::Row::of(place, setup, load);
                self.loads.row(&columns, &row)?;
            }
        }
        let columns = setups::columns();
        for setup in &set.setups {
            if let Some(line) = find(&set.lines, setup.line) {
                let place = Place { set, visit, line };
                self.setups.row(&columns, &setups::Row::of(place, setup))?;
            }
        }
        let columns = savings::columns();
        for line in &set.lines {
            for row in savings::Row::of(Place { set, visit, line }) {
                self.savings.row(&columns, &row)?;
            }
        }
        Ok(())
    }
}

/// Gives the tables their names, in place of those of an earlier run, once all of them are whole.
fn named(out: &Path, written: Vec<Written>) -> anyhow::Result<Vec<Written>> {
    for table in &written {
        std::fs::rename(&table.part, &table.path)
            .with_context(|| format!("{} could not be replaced", table.path.display()))?;
    }
    File::open(out)?.sync_all()?;
    Ok(written)
}
