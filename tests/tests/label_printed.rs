//! Printed labels, read by programs of others and measured as they come out on paper.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeSet;
use std::path::Path;

use serde_json::Value;
use sha2::{Digest, Sha256};
use tautbook_core::label::print::{Dpi, Paper, pdf, png};
use tautbook_core::label::read::{Picture, read};
use tautbook_tests::others::said;
use tautbook_tests::printed::{labels, texts};

/// What zbar reads in a picture.
fn zbar(file: &Path) -> BTreeSet<String> {
    let file = file.to_str().unwrap();
    let arguments = ["--quiet", "--raw", "-Sdisable", "-Sqrcode.enable", file];
    let said = said("zbarimg", "zbar-tools", &arguments);
    said.lines().map(str::to_owned).collect()
}

fn expected(count: u32) -> BTreeSet<String> {
    texts(count).into_iter().collect()
}

#[test]
fn zbar_reads_every_page_for_every_printer() {
    let folder = tempfile::tempdir().unwrap();
    for paper in Paper::ALL {
        let (across, down) = paper.labels();
        let count = across * down;
        for dpi in [Dpi::Dpi203, Dpi::Dpi300] {
            let pages = png(&labels(count), paper, dpi).unwrap().made;
            let file = folder.path().join("page.png");
            std::fs::write(&file, &pages[0]).unwrap();
            assert_eq!(zbar(&file), expected(count), "{paper:?} {dpi:?}");
        }
    }
}

#[test]
fn another_reader_read_the_very_pages_that_are_printed() {
    let oracle: Value = serde_json::from_str(include_str!("../oracles/label_zxing.json")).unwrap();
    for paper in Paper::ALL {
        let (across, down) = paper.labels();
        let count = across * down;
        for dpi in [Dpi::Dpi203, Dpi::Dpi300] {
            let name = format!("{paper:?}-{}.png", dpi.dots());
            let page = &oracle["pages"][&name];
            let file = &png(&labels(count), paper, dpi).unwrap().made[0];
            let sum: String = Sha256::digest(file)
                .iter()
                .map(|byte| format!("{byte:02x}"))
                .collect();
            assert_eq!(
                page["sha256"].as_str(),
                Some(sum.as_str()),
                "{name} looks otherwise now: have it read again, see tests/oracles/label_zxing.py"
            );
            let read: BTreeSet<String> = serde_json::from_value(page["texts"].clone()).unwrap();
            assert_eq!(read, expected(count), "{name}");
        }
    }
}

/// The PDF as poppler renders it, at so many dots an inch.
fn rendered(paper: Paper, count: u32, dots: u32, folder: &Path) -> (u32, u32, Vec<u8>) {
    let file = folder.join("labels.pdf");
    std::fs::write(&file, pdf(&labels(count), paper).unwrap().made).unwrap();
    let page = folder.join("page");
    let words = said(
        "pdftoppm",
        "poppler-utils",
        &[
            "-gray",
            "-singlefile",
            "-r",
            &dots.to_string(),
            file.to_str().unwrap(),
            page.to_str().unwrap(),
        ],
    );
    assert_eq!(words, "");
    let bytes = std::fs::read(page.with_extension("pgm")).unwrap();
    let header: Vec<&[u8]> = bytes.splitn(4, |&byte| byte == b'\n').collect();
    let size = std::str::from_utf8(header[1]).unwrap();
    let (width, height) = size.split_once(' ').unwrap();
    let luma = header[3].to_vec();
    (width.parse().unwrap(), height.parse().unwrap(), luma)
}

#[test]
fn the_pdf_has_its_true_size_and_is_read_from_paper() {
    let folder = tempfile::tempdir().unwrap();
    for (paper, module) in [
        (Paper::FourBySix, 1.5),
        (Paper::A6, 1.5),
        (Paper::A4, 1.2),
        (Paper::Letter, 1.2),
    ] {
        let (across, down) = paper.labels();
        let count = across * down;
        let dots = 300;
        let mm = |pixels: f64| pixels / f64::from(dots) * 25.4;
        let (width, height, luma) = rendered(paper, count, dots, folder.path());
        let (paper_width, paper_height) = paper.size();
        assert!(
            (mm(f64::from(width)) - paper_width).abs() < 0.1,
            "{paper:?} {width}"
        );
        assert!(
            (mm(f64::from(height)) - paper_height).abs() < 0.1,
            "{paper:?} {height}"
        );
        assert_eq!(
            zbar(&folder.path().join("page.pgm")),
            expected(count),
            "{paper:?}"
        );
        let reading = read(&Picture::grey(width, height, &luma).unwrap());
        let ours: BTreeSet<String> = reading
            .labels
            .iter()
            .map(|seen| seen.code.to_string())
            .collect();
        assert_eq!(ours, expected(count), "{paper:?}");
        // The first long dark run from the top is the top of a corner square, 7 modules wide: half a
        // grey is half a pixel.
        let row = usize::try_from(width).unwrap();
        let dark = |at: usize| f64::from(255 - luma[at]) / 255.0;
        let run = longest_run_of_a_corner(&luma, row, module / 25.4 * f64::from(dots));
        let (start, length) = run.unwrap();
        let wide = mm((start - 1..=start + length).map(dark).sum());
        assert!(
            (wide / 7.0 - module).abs() < 0.01,
            "{paper:?}: {} mm",
            wide / 7.0
        );
    }
}

/// Where the first dark run begins that is about 7 modules long, and how long it is.
fn longest_run_of_a_corner(luma: &[u8], row: usize, module: f64) -> Option<(usize, usize)> {
    luma.chunks(row).enumerate().find_map(|(y, pixels)| {
        let mut x = 0;
        while x < row {
            let length = pixels[x..].iter().take_while(|&&grey| grey < 128).count();
            let modules = f64::from(u32::try_from(length).unwrap()) / module;
            // Two rows further down, so that the edge of the square is behind us.
            if (6.8..7.2).contains(&modules) {
                return Some(((y + 2) * row + x, length));
            }
            x += length.max(1);
        }
        None
    })
}
