//! Makes the big book that the figures are measured on: `make-big-book PATH`.

use anyhow::{Context, Result};

fn main() -> Result<()> {
    let path = std::env::args_os().nth(1).context("make-big-book PATH")?;
    tautbook_tests::big_book::make(path.as_ref())
}
