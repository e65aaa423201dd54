//! Prints labels for other readers: `make-labels FOLDER`, a PNG for each paper and printer.

use std::path::Path;

use anyhow::{Context, Result};
use tautbook_core::label::print::{Dpi, Paper, png};
use tautbook_tests::printed::labels;

fn main() -> Result<()> {
    let folder = std::env::args().nth(1).context("which folder?")?;
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    for paper in Paper::ALL {
        let (across, down) = paper.labels();
        for dpi in [Dpi::Dpi203, Dpi::Dpi300] {
            let pages = png(&labels(across * down), paper, dpi)?.made;
            let page = pages.first().context("a page")?;
            std::fs::write(folder.join(format!("{paper:?}-{}.png", dpi.dots())), page)?;
        }
    }
    Ok(())
}
