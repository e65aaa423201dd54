//! `tautbook recover`.

use std::fmt::Write as _;
use std::path::Path;

use tautbook_core::book::{SystemClock, recover};

use crate::{Outcome, print};

/// Saves what can be read and lists what cannot.
pub(crate) fn command(damaged: &Path, to: &Path) -> anyhow::Result<Outcome> {
    let recovered = recover(damaged, to, Box::new(SystemClock))?;
    let mut text = format!("Saved into {}:\n", to.display());
    for (kind, count) in recovered.saved.iter().filter(|(_, count)| *count > 0) {
        writeln!(text, "  {:<16}{count:>7}", kind.as_str().replace('_', " "))?;
    }
    if !recovered.stand_ins.is_empty() {
        writeln!(
            text,
            "Among them are stand-ins, without content, for lost records that others belong to:"
        )?;
        for of in &recovered.stand_ins {
            writeln!(text, "  {of}")?;
        }
    }
    if recovered.lost.is_empty() {
        text.push_str("Every record was saved.");
    } else {
        writeln!(text, "Not saved ({}):", recovered.lost.len())?;
        for lost in &recovered.lost {
            writeln!(text, "  {lost}")?;
        }
    }
    writeln!(
        text,
        "\nThe records are as they last stood; the history of their changes stays in {}, which was \
         not changed.",
        damaged.display()
    )?;
    print(&text)?;
    if recovered.lost.is_empty() {
        return Ok(Outcome::Fine);
    }
    eprintln!(
        "tautbook: not everything could be saved: keep {}",
        damaged.display()
    );
    Ok(Outcome::Faults)
}
