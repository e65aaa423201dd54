//! `tautbook sites` and `tautbook follow-up`: what an office asks of the books of many.

mod follow_up;
mod sites;

use std::collections::BTreeMap;
use std::path::Path;

use tautbook_core::book::{Book, Which};
use tautbook_core::office::Sites;
use tautbook_core::survey::{Id, Visit};

use crate::{Outcome, books, print};
pub(crate) use sites::SiteList;

/// `tautbook sites`.
pub(crate) fn sites(book: Option<&Path>, json: bool) -> anyhow::Result<Outcome> {
    let book = books::open_to_read(book)?;
    let mut visits = book.visits(0, u32::MAX)?;
    visits.sort_by_key(|visit| (visit.date, visit.id));
    let waiting = to_look_through(&book)?;
    let mut sites = Sites::new(book.now().date_time().date_naive());
    for visit in visits {
        let records = book.visit_records(visit.id, Which::InUse)?;
        sites.add(&records, waiting.get(&visit.id).copied().unwrap_or(0));
    }
    let list = SiteList::of(&sites.finish());
    let mut text = if json {
        serde_json::to_string_pretty(&list)?
    } else {
        list.text()?
    };
    if json {
        text.push('\n');
    }
    print(&text)?;
    Ok(Outcome::Fine)
}

/// How many values that gave way await a look, by visit.
fn to_look_through(book: &Book) -> anyhow::Result<BTreeMap<Id<Visit>, usize>> {
    let mut waiting = BTreeMap::new();
    for value in book.to_look_through()? {
        if let Some(visit) = book.visit_of(value.of)? {
            *waiting.entry(visit).or_insert(0) += 1;
        }
    }
    Ok(waiting)
}

/// `tautbook follow-up`.
pub(crate) fn follow_up(book: Option<&Path>, visit: &str) -> anyhow::Result<Outcome> {
    let book = books::open_to_read(book)?;
    let visit = books::find_visit(&book, visit)?;
    print(&follow_up::text(&book, visit)?)?;
    Ok(Outcome::Fine)
}
