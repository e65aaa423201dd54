//! `tautbook show`: a visit as text that is pleasant to read, or as JSON for a program.

mod chosen;
mod load;
pub(crate) mod report;
mod setup;
mod table;
mod text;
pub(crate) mod words;

use std::fmt::Write as _;
use std::path::Path;

use tautbook_core::book::VisitSummary;

use crate::{Outcome, books, print};
use report::{Shown, VisitList, VisitReport};

/// `tautbook show`.
pub(crate) fn command(
    book: Option<&Path>,
    visit: Option<&str>,
    json: bool,
) -> anyhow::Result<Outcome> {
    let book = books::open_to_read(book)?;
    let shown = match visit {
        Some(visit) => {
            let visit = books::find_visit(&book, visit)?;
            let report = VisitReport::of(&book, visit)?;
            if !json {
                print(&text::visit(&report))?;
                return Ok(Outcome::Fine);
            }
            Shown::Visit(Box::new(report))
        }
        None => {
            let visits = book.visits(0, u32::MAX)?;
            if !json {
                print(&list(&visits)?)?;
                return Ok(Outcome::Fine);
            }
            Shown::Visits(VisitList::of(visits))
        }
    };
    let mut text = serde_json::to_string_pretty(&shown)?;
    text.push('\n');
    print(&text)?;
    Ok(Outcome::Fine)
}

/// The visits of a book: date, customer and site, counts, and the id below.
fn list(visits: &[VisitSummary]) -> Result<String, std::fmt::Error> {
    if visits.is_empty() {
        return Ok("No visits yet.\n".to_owned());
    }
    let mut text = String::new();
    for visit in visits {
        writeln!(
            text,
            "{}  {}",
            visit.date,
            words::cut(&words::joined(&[&visit.customer, &visit.site], ", "), 86)
        )?;
        writeln!(
            text,
            "            {}  {}, {}, {}",
            visit.id,
            words::count(visit.lines, "line"),
            words::count(visit.loads, "load"),
            words::count(visit.readings, "reading")
        )?;
    }
    Ok(text)
}
