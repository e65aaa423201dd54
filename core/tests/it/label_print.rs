//! Labels on paper: measured, told what did not fit, the same bytes every time.

use std::path::Path;

use chrono::NaiveDate;
use tautbook_core::label::print::{
    Dpi, LabelText, LabelWords, Paper, PrintError, PrintNote, pdf, png, rasters,
};
use tautbook_core::label::{QUIET, SIDE, SampleFacts};
use tautbook_core::language::Language;
use tautbook_core::survey::{Id, SampleKind};
use uuid::Uuid;

fn facts(n: u128) -> SampleFacts {
    SampleFacts {
        sample: Id::from_uuid(Uuid::from_u128(
            0x0198_4c00_1000_7000_8123_4567_89ab_cdef + n * 0x1234_5678_9abc,
        )),
        what: SampleKind::Pallet,
        date: NaiveDate::from_ymd_opt(2026, 3, 4),
        customer: "Harrow Tile".to_owned(),
        site: "Kiln Lane, hall 3".to_owned(),
        line: "Line 2, rotating arm".to_owned(),
        load: format!("Load {}", n + 1),
        place: "Bay 14, behind the scales".to_owned(),
        rep: "R. Moss".to_owned(),
        retain_until: NaiveDate::from_ymd_opt(2026, 6, 30),
        device: Uuid::from_u128(1),
        set_aside: false,
    }
}

fn labels(count: u128) -> Vec<LabelText> {
    (0..count)
        .map(|n| LabelWords::of(Language::English).label(&facts(n)))
        .collect()
}

/// Where the files of these tests are left to be looked at.
fn kept(name: &str, bytes: &[u8]) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("labels");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::write(folder.join(name), bytes).unwrap();
}

#[test]
fn every_paper_as_pdf_and_png() {
    for paper in Paper::ALL {
        let (across, down) = paper.labels();
        let labels = labels(u128::from(across * down) + 1);
        let file = pdf(&labels, paper).unwrap();
        assert_eq!(file.notes, []);
        assert_eq!(pdf(&labels, paper).unwrap(), file, "the same bytes");
        kept(&format!("{paper:?}.pdf"), &file.made);
        for dpi in [Dpi::Dpi203, Dpi::Dpi300] {
            let pages = png(&labels, paper, dpi).unwrap();
            assert_eq!(pages.made.len(), 2, "one label more than a page holds");
            assert_eq!(png(&labels, paper, dpi).unwrap(), pages, "the same bytes");
            for (n, page) in pages.made.iter().enumerate() {
                kept(&format!("{paper:?}-{}-{n}.png", dpi.dots()), page);
                let reader = png::Decoder::new(std::io::Cursor::new(page))
                    .read_info()
                    .unwrap();
                let info = reader.info();
                let dims = info.pixel_dims.unwrap();
                assert_eq!(dims.unit, png::Unit::Meter);
                let (width, height) = paper.size();
                for (dots, per_metre, mm) in [
                    (info.width, dims.xppu, width),
                    (info.height, dims.yppu, height),
                ] {
                    let printed = f64::from(dots) / f64::from(per_metre) * 1_000.0;
                    assert!((printed - mm).abs() < 0.1, "{printed} {mm}");
                }
            }
        }
    }
}

/// The outline of the square code in a raster: left, top, right and bottom dots, both inside. Found
/// from where the symbol is known to begin: the first row with a long black run of 7 modules.
#[test]
fn modules_are_whole_dots_of_half_a_millimetre_at_least_with_four_light_ones_around() {
    for (paper, at_least) in [(Paper::FourBySix, 1.4), (Paper::A6, 1.4), (Paper::A4, 1.1)] {
        for dpi in [Dpi::Dpi203, Dpi::Dpi300] {
            let page = &rasters(&labels(1), paper, dpi).unwrap().made[0];
            let found = finder(page.width, page.height, &|x, y| page.is_black(x, y)).unwrap();
            let (left, top, run) = found;
            assert_eq!(run % 7, 0, "{paper:?} {dpi:?}: whole dots a module");
            let module = run / 7;
            let mm = f64::from(module) * dpi.dot();
            assert!(mm >= at_least, "{paper:?} {dpi:?}: {mm}");
            let side = SIDE * module;
            // The finder at the upper right ends where the symbol does.
            assert!(page.is_black(left + side - 1, top) && !page.is_black(left + side, top));
            // The finder at the lower left too.
            assert!(page.is_black(left, top + side - 1) && !page.is_black(left, top + side));
            let quiet = QUIET * module;
            for y in top - quiet..top + side + quiet {
                for x in left - quiet..left + side + quiet {
                    let inside = (left..left + side).contains(&x) && (top..top + side).contains(&y);
                    assert!(inside || !page.is_black(x, y), "{paper:?} {x} {y}");
                }
            }
        }
    }
}

/// The upper left of the first finder and its width, found as a scanner finds it: a run of black
/// whose rows below show black, white, black, white, black as 1, 1, 3, 1, 1.
fn finder(width: u32, height: u32, black: &dyn Fn(u32, u32) -> bool) -> Option<(u32, u32, u32)> {
    for y in 0..height {
        let mut x = 0;
        while x < width {
            let run = (x..width).take_while(|&x| black(x, y)).count();
            let run = u32::try_from(run).unwrap();
            if run >= 14 {
                let module = run / 7;
                let middle = y + module * 7 / 2;
                let at = |modules: u32| black(x + modules * module + module / 2, middle);
                if [at(0), at(1), at(2), at(3), at(4), at(5), at(6)]
                    == [true, false, true, true, true, false, true]
                {
                    return Some((x, y, run));
                }
            }
            x += run.max(1);
        }
    }
    None
}

#[test]
fn nothing_runs_off_the_paper_however_long_the_names() {
    let mut long = facts(0);
    long.customer = "Consolidated Sanitary Ware and Ceramics of the North and the West".to_owned();
    long.site = "W".repeat(200);
    let whole = format!("{}, {}", long.customer, long.site);
    long.line = "Linie für Verblendklinker, Halle 12, zweite Ebene, Ringwickler".to_owned();
    long.load = "倉庫 17".to_owned();
    long.place = String::new();
    let label = LabelWords::of(Language::English).label(&long);
    for paper in Paper::ALL {
        let printed = rasters(std::slice::from_ref(&label), paper, Dpi::Dpi203).unwrap();
        let said: Vec<String> = printed.notes.iter().map(ToString::to_string).collect();
        assert!(
            printed.notes.contains(&PrintNote::Cut {
                text: whole.clone()
            }),
            "{said:?}"
        );
        assert!(
            said.iter()
                .any(|said| said.contains("倉庫") && said.contains("question marks")),
            "{said:?}"
        );
        let page = &printed.made[0];
        let (columns, rows) = paper.labels();
        if columns * rows == 1 {
            // Three millimetres along every edge stay white.
            let edge = 24;
            for y in 0..page.height {
                for x in 0..page.width {
                    let near =
                        x < edge || y < edge || x >= page.width - edge || y >= page.height - edge;
                    assert!(!(near && page.is_black(x, y)), "{paper:?} {x} {y}");
                }
            }
        }
        let files = png(std::slice::from_ref(&label), paper, Dpi::Dpi203).unwrap();
        kept(&format!("long-{paper:?}.png"), &files.made[0]);
    }
}

#[test]
fn without_a_day_or_a_load_it_says_so_or_leaves_it_off() {
    let mut bare = facts(0);
    bare.retain_until = None;
    bare.load = String::new();
    bare.what = SampleKind::CutFilm;
    let label = LabelWords::of(Language::English).label(&bare);
    assert_eq!(label.retain.value, "no date set");
    let printed = png(&[label], Paper::A6, Dpi::Dpi300).unwrap();
    assert_eq!(printed.notes, []);
    kept("bare.png", &printed.made[0]);
}

#[test]
fn nothing_to_print_is_told() {
    let error = pdf(&[], Paper::A4).unwrap_err();
    assert_eq!(error, PrintError::Nothing);
    assert!(error.to_string().contains("choose"), "{error}");
}
