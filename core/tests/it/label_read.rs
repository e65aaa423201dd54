//! Labels as they are printed, read again from pictures; and pictures made to do harm.

use std::cell::Cell;

use tautbook_core::label::print::{Dpi, LabelText, LabelWords, Paper, Raster, rasters};
use tautbook_core::label::read::{Picture, PictureError, Reading, read, read_while};
use tautbook_core::label::{CodeError, LabelCode, SampleFacts};
use tautbook_core::language::Language;
use tautbook_core::survey::{Id, SampleKind};
use uuid::Uuid;

fn label(n: u128) -> LabelText {
    LabelWords::of(Language::English).label(&SampleFacts {
        sample: Id::from_uuid(Uuid::from_u128(
            0x0198_4c00_1000_7000_8123_4567_89ab_cdef + n * 0x1234_5678_9abc,
        )),
        what: SampleKind::Pallet,
        date: None,
        customer: "Harrow Tile".to_owned(),
        site: "Kiln Lane".to_owned(),
        line: "Line 2".to_owned(),
        load: format!("Load {n}"),
        place: "Bay 14".to_owned(),
        rep: "R. Moss".to_owned(),
        retain_until: None,
        device: Uuid::from_u128(1),
        set_aside: false,
    })
}

/// A page as a camera would see it, its dots as `side` by `side` pixels of dark and light grey.
fn grey(page: &Raster, side: u32, dark: u8, light: u8) -> (u32, u32, Vec<u8>) {
    let (width, height) = (page.width * side, page.height * side);
    let pixels = (0..width * height)
        .map(|at| {
            let (x, y) = (at % width / side, at / width / side);
            if page.is_black(x, y) { dark } else { light }
        })
        .collect();
    (width, height, pixels)
}

/// A quarter turn to the right.
fn turned((width, height, pixels): &(u32, u32, Vec<u8>)) -> (u32, u32, Vec<u8>) {
    let turned = (0..width * height)
        .map(|at| {
            let (x, y) = (at % height, at / height);
            pixels[usize::try_from((height - 1 - x) * width + y).unwrap()]
        })
        .collect();
    (*height, *width, turned)
}

fn read_grey((width, height, pixels): &(u32, u32, Vec<u8>)) -> Reading {
    read(&Picture::grey(*width, *height, pixels).unwrap())
}

fn codes(reading: &Reading) -> Vec<LabelCode> {
    let mut codes: Vec<_> = reading.labels.iter().map(|seen| seen.code).collect();
    codes.sort_unstable();
    codes
}

#[test]
fn what_is_printed_is_read_on_every_paper_and_however_it_is_held() {
    for paper in Paper::ALL {
        let (across, down) = paper.labels();
        let labels: Vec<_> = (0..u128::from(across * down)).map(label).collect();
        let mut expected: Vec<_> = labels.iter().map(|l| LabelCode::new(l.sample)).collect();
        expected.sort_unstable();
        let page = &rasters(&labels, paper, Dpi::Dpi203).unwrap().made[0];
        let mut picture = grey(page, 1, 60, 200);
        // A sheet takes longer: one turn of it is enough.
        for quarter in 0..if labels.len() == 1 { 4 } else { 2 } {
            let reading = read_grey(&picture);
            assert_eq!(codes(&reading), expected, "{paper:?} turned {quarter}");
            assert_eq!(reading.others, []);
            picture = turned(&picture);
        }
    }
}

#[test]
fn the_corners_are_those_of_the_square_code() {
    let page = &rasters(&[label(1)], Paper::A6, Dpi::Dpi203).unwrap().made[0];
    let picture = grey(page, 1, 30, 220);
    let [upper_left, upper_right, lower_right, lower_left] = read_grey(&picture).labels[0].corners;
    // The outermost dark dots of the upper left square.
    let first = (0..page.height)
        .flat_map(|y| (0..page.width).map(move |x| (x, y)))
        .find(|&(x, y)| (0..80).all(|more| page.is_black(x + more, y)));
    let (x, y) = first.unwrap();
    let module = 12.0;
    let side = 29.0 * module;
    let near = |at: (f64, f64), x: f64, y: f64| (at.0 - x).hypot(at.1 - y) < module;
    let (x, y) = (f64::from(x), f64::from(y));
    assert!(near(upper_left, x, y), "{upper_left:?} {x} {y}");
    assert!(near(upper_right, x + side, y), "{upper_right:?}");
    assert!(near(lower_right, x + side, y + side), "{lower_right:?}");
    assert!(near(lower_left, x, y + side), "{lower_left:?}");
}

#[test]
fn a_code_of_somebody_else_is_told_from_a_label() {
    let symbol = qrcode::QrCode::new(b"HTTPS://EXAMPLE.COM/17").unwrap();
    let side = u32::try_from(symbol.width()).unwrap();
    let colors = symbol.to_colors();
    let wide = (side + 8) * 6;
    let pixels = (0..wide * wide).map(|at| {
        let (x, y) = (at % wide / 6, at / wide / 6);
        let inside = (4..side + 4).contains(&x) && (4..side + 4).contains(&y);
        let dark = inside
            && colors[usize::try_from((y - 4) * side + x - 4).unwrap()] == qrcode::Color::Dark;
        if dark { 20 } else { 240 }
    });
    let reading = read_grey(&(wide, wide, pixels.collect()));
    assert_eq!(reading.labels, []);
    assert_eq!(reading.others, [CodeError::NotOurs]);
}

#[test]
fn pictures_without_a_label_have_none_whatever_their_size() {
    for (width, height) in [(1, 1), (1, 400), (400, 1), (2, 2), (40, 3), (300, 301)] {
        for value in [0, 127, 255] {
            let count = usize::try_from(width * height).unwrap();
            let reading = read_grey(&(width, height, vec![value; count]));
            assert_eq!(reading, Reading::default(), "{width} {height} {value}");
        }
    }
}

#[test]
fn a_picture_that_is_not_whole_is_told() {
    assert_eq!(Picture::grey(0, 5, &[]), Err(PictureError::Empty));
    assert_eq!(Picture::grey(2, 2, &[0; 3]), Err(PictureError::NotWhole));
    assert_eq!(
        Picture::grey(u32::MAX, u32::MAX, &[0; 9]),
        Err(PictureError::NotWhole)
    );
    assert_eq!(
        Picture::colour(1, 1, 2, &[0; 2]),
        Err(PictureError::NotWhole)
    );
    let said = PictureError::NotWhole.to_string();
    assert!(said.contains("again"), "{said}");
}

#[test]
fn a_picture_of_many_pixels_is_made_smaller() {
    let (width, height) = (12_500, 2_000);
    let bytes = vec![90_u8; 25_000_000];
    let picture = Picture::grey(width, height, &bytes).unwrap();
    assert_eq!((picture.width(), picture.height()), (6_250, 1_000));
    let colour = Picture::colour(2, 1, 3, &[255, 255, 255, 0, 0, 0]).unwrap();
    assert_eq!((colour.width(), colour.height()), (2, 1));
}

#[test]
fn reading_stops_when_it_is_told_to() {
    // Corner squares side by side, none of them of a code: much to try.
    let (width, height) = (280_u32, 280_u32);
    let pixels = (0..width * height).map(|at| {
        let (x, y) = (at % width % 28 / 3, at / width % 28 / 3);
        let ring = x.abs_diff(4).max(y.abs_diff(4));
        if ring < 4 && ring != 2 { 20 } else { 230 }
    });
    let pixels: Vec<u8> = pixels.collect();
    let picture = Picture::grey(width, height, &pixels).unwrap();
    let asked = Cell::new(0);
    let reading = read_while(&picture, &|| {
        asked.set(asked.get() + 1);
        asked.get() < 3
    });
    assert_eq!(reading, Reading::default());
    assert!(asked.get() <= 4, "it stopped soon: {}", asked.get());
    assert_eq!(read(&picture), Reading::default());
}
