//! Writes the pictures of spoilt labels for other readers: `make-spoilt-labels FOLDER OF WIDTH`, `OF`
//! pictures of each kind as PGM, and `labels.tsv` with the codes in each.

use std::fmt::Write as _;
use std::path::Path;

use anyhow::{Context, Result};
use tautbook_tests::spoilt::{Kind, spoilt};

fn main() -> Result<()> {
    let mut given = std::env::args().skip(1);
    let folder = given.next().context("which folder?")?;
    let of: u32 = given.next().context("how many of each kind?")?.parse()?;
    let width: u32 = given.next().context("how wide?")?.parse()?;
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    let mut list = String::new();
    for kind in Kind::ALL {
        for number in 0..of {
            let picture = spoilt(kind, number, of, width);
            let name = format!("{kind:?}-{number:03}.pgm");
            let mut file = format!("P5\n{} {}\n255\n", picture.width, picture.height).into_bytes();
            file.extend_from_slice(&picture.luma);
            std::fs::write(folder.join(&name), file)?;
            for code in picture.holds {
                writeln!(list, "{name}\t{code}")?;
            }
        }
    }
    std::fs::write(folder.join("labels.tsv"), list)?;
    Ok(())
}
