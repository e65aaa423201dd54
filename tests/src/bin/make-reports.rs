//! Makes the reports and cards of the sample surveys to be looked at: `make-reports FOLDER`.

use std::path::Path;

use anyhow::{Context, Result};
use tautbook_tests::reported::write_all;

fn main() -> Result<()> {
    let folder = std::env::args().nth(1).context("which folder?")?;
    write_all(Path::new(&folder))
}
