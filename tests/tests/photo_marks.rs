//! Marks on copies: drawn where they were placed and nowhere else, and the photo itself as it was.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::ops::ControlFlow;

use tautbook_core::photos::{
    Keep, Mark, Options, PhotoError, Prepared, Shape, Source, Spot, mark, prepare,
};
use tautbook_tests::photo_store::{hold, picture, started};
use tautbook_tests::scene;

const WIDE: u16 = 640;
const HIGH: u16 = 480;

fn go_on(_: tautbook_core::photos::Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

fn finest() -> Options {
    Options {
        quality: 100,
        ..Options::default()
    }
}

fn taken() -> Prepared {
    prepare(
        Source::Bytes(&scene::jpeg(WIDE, HIGH, false)),
        &finest(),
        &mut go_on,
    )
    .unwrap()
}

fn spot(x: f32, y: f32) -> Spot {
    Spot { x, y }
}

fn arrow(from: Spot, to: Spot, text: &str) -> Mark {
    Mark {
        shape: Shape::Arrow { from, to },
        text: text.to_owned(),
    }
}

fn circle(centre: Spot, radius: f32, text: &str) -> Mark {
    Mark {
        shape: Shape::Circle { centre, radius },
        text: text.to_owned(),
    }
}

fn drawn(marks: &[Mark]) -> Result<Prepared, PhotoError> {
    mark(taken().jpeg(), marks, &finest(), &mut go_on)
}

fn pixels(jpeg: &[u8]) -> Vec<[u8; 3]> {
    let mut decoder = jpeg_decoder::Decoder::new(jpeg);
    let rgb = decoder.decode().unwrap();
    let (pixels, []) = rgb.as_chunks::<3>() else {
        panic!("not of three parts")
    };
    pixels.to_vec()
}

/// Where two pictures differ by more than two packings do: left, top, right, bottom, in parts of the
/// sides; and how many pixels.
fn changed(before: &[[u8; 3]], after: &[[u8; 3]]) -> ([f32; 4], usize) {
    let (mut sides, mut count) = ([1.0_f32, 1.0, 0.0, 0.0], 0);
    for (n, (a, b)) in before.iter().zip(after).enumerate() {
        let apart: u32 = a
            .iter()
            .zip(b)
            .map(|(a, b)| u32::from(a.abs_diff(*b)))
            .sum();
        if apart > 60 {
            let wide = usize::from(WIDE);
            #[allow(clippy::cast_precision_loss)]
            let (x, y) = (
                (n % wide) as f32 / f32::from(WIDE),
                (n / wide) as f32 / f32::from(HIGH),
            );
            sides = [
                sides[0].min(x),
                sides[1].min(y),
                sides[2].max(x),
                sides[3].max(y),
            ];
            count += 1;
        }
    }
    (sides, count)
}

fn dark([r, g, b]: [u8; 3]) -> bool {
    r < 70 && g < 70 && b < 75
}

fn white([r, g, b]: [u8; 3]) -> bool {
    r > 225 && g > 225 && b > 225
}

fn at(pixels: &[[u8; 3]], x: f32, y: f32) -> [u8; 3] {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let (x, y) = (
        (x * f32::from(WIDE)) as usize,
        (y * f32::from(HIGH)) as usize,
    );
    pixels[y * usize::from(WIDE) + x]
}

#[test]
fn an_arrow_runs_from_its_tail_to_its_head_and_touches_nothing_else() {
    let before = pixels(taken().jpeg());
    let copy = drawn(&[arrow(spot(0.2, 0.5), spot(0.7, 0.5), "")]).unwrap();
    assert_eq!(copy.size(), (WIDE.into(), HIGH.into()));
    let after = pixels(copy.jpeg());
    let ([left, top, right, bottom], count) = changed(&before, &after);
    assert!(count > 800, "{count}");
    let near = |a: f32, b: f32| (a - b).abs() < 0.02;
    assert!(near(left, 0.2) && near(right, 0.7), "{left} to {right}");
    assert!(near((top + bottom) / 2.0, 0.5), "{top} to {bottom}");
    assert!(bottom - top < 0.06, "{top} to {bottom}");
    for x in [0.25, 0.4, 0.6] {
        assert!(dark(at(&after, x, 0.5)), "{x}: {:?}", at(&after, x, 0.5));
    }
}

#[test]
fn a_circle_goes_around_what_it_shows_and_leaves_its_middle() {
    let before = pixels(taken().jpeg());
    // A radius of 0.2 of the shorter side, 480 pixels, is 96 pixels: 0.15 of the width.
    let copy = drawn(&[circle(spot(0.5, 0.5), 0.2, "")]).unwrap();
    let after = pixels(copy.jpeg());
    let ([left, top, right, bottom], _) = changed(&before, &after);
    for (side, wanted) in [(left, 0.35), (right, 0.65), (top, 0.3), (bottom, 0.7)] {
        assert!((side - wanted).abs() < 0.015, "{side} for {wanted}");
    }
    for (x, y) in [(0.35, 0.5), (0.65, 0.5), (0.5, 0.3), (0.5, 0.7)] {
        assert!(dark(at(&after, x, y)), "{x} {y}: {:?}", at(&after, x, y));
    }
    let middle = |pixels: &[[u8; 3]]| at(pixels, 0.5, 0.5);
    let apart = middle(&before)[1].abs_diff(middle(&after)[1]);
    assert!(apart < 12, "{apart}");
}

#[test]
fn the_value_can_be_read_on_dark_and_on_bright_and_in_any_corner() {
    for level in [0_u8, 255] {
        let plain = vec![level; usize::from(WIDE) * usize::from(HIGH) * 3];
        let png = scene::png(
            WIDE.into(),
            HIGH.into(),
            png::ColorType::Rgb,
            png::BitDepth::Eight,
            &plain,
        );
        let ground = prepare(Source::Bytes(&png), &finest(), &mut go_on).unwrap();
        for (x, y) in [(0.02, 0.02), (0.98, 0.02), (0.02, 0.98), (0.98, 0.98)] {
            let mark = |text| {
                let copy = marked(&ground, &[arrow(spot(x, y), spot(0.5, 0.5), text)]);
                pixels(copy.jpeg())
            };
            let (bare, told) = (mark(""), mark("12 lb 6 oz"));
            let (_, letters) = changed(&bare, &told);
            assert!(letters > 300, "{level} {x} {y}: {letters}");
            // Dark letters with a white rim: both are new on either ground, where they are not it.
            let new = |is: fn([u8; 3]) -> bool| {
                let both = bare.iter().zip(&told);
                both.filter(|(bare, told)| !is(**bare) && is(**told))
                    .count()
            };
            let seen = if level == 0 { new(white) } else { new(dark) };
            assert!(seen > 150, "{level} {x} {y}: {seen}");
        }
    }
}

fn marked(picture: &Prepared, marks: &[Mark]) -> Prepared {
    mark(picture.jpeg(), marks, &finest(), &mut go_on).unwrap()
}

#[test]
fn marks_that_cannot_be_drawn_are_refused_in_words() {
    let long = "the film tore here, ".repeat(20);
    for (marks, words) in [
        (vec![], "place an arrow or a circle"),
        (
            vec![arrow(spot(0.5, 0.5), spot(1.2, 0.5), "")],
            "outside the picture",
        ),
        (
            vec![arrow(spot(f32::NAN, 0.5), spot(0.2, 0.5), "")],
            "outside the picture",
        ),
        (
            vec![arrow(spot(0.5, 0.5), spot(0.5, 0.5), "")],
            "arrow is too short",
        ),
        (vec![circle(spot(0.5, 0.5), 0.0, "")], "too small"),
        (vec![circle(spot(0.5, 0.5), f32::NAN, "")], "too small"),
        (vec![circle(spot(0.5, 0.5), f32::INFINITY, "")], "too large"),
        (vec![circle(spot(0.5, 0.5), 0.2, &long)], "text is too long"),
    ] {
        let error = drawn(&marks).unwrap_err();
        assert!(matches!(error, PhotoError::Mark(_)), "{error:?}");
        assert!(error.to_string().contains(words), "{error}");
    }
    let no_picture = mark(
        b"a note",
        &[circle(spot(0.5, 0.5), 0.2, "")],
        &finest(),
        &mut go_on,
    );
    assert_eq!(no_picture.unwrap_err(), PhotoError::Unknown);
}

#[test]
fn a_copy_with_marks_stands_after_the_photo_which_stays_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let (mut book, shown) = started(folder.path());
    let photos = book.photo_folder();
    let mut ids = Vec::new();
    for n in 0..2 {
        let kept = photos.keep(&picture(n)).unwrap();
        let done = book.act("add_photo", |act| {
            act.add_photo(&kept, shown.load, "corner")
        });
        ids.push(done.unwrap().value);
    }
    let original = &ids[0];
    let bytes = photos.read(&original.sha256).unwrap();
    let marks = [circle(spot(0.5, 0.5), 0.3, "")];
    let copy = mark(&bytes, &marks, &Options::default(), &mut go_on).unwrap();
    assert_ne!(copy.sha256(), original.sha256);
    let kept = photos.keep(&copy).unwrap();
    let done = book
        .act("mark_photo", |act| act.add_marked_photo(&kept, original.id))
        .unwrap();
    let copy = done.value;
    assert_eq!(copy.original, Some(original.id));
    assert_eq!((copy.caption.as_str(), copy.of), ("corner", shown.load));
    assert_eq!((copy.width_px, copy.height_px), (original.width_px, 64));
    let order: Vec<_> = book
        .photos_of(shown.load)
        .unwrap()
        .into_iter()
        .map(|photo| photo.id)
        .collect();
    assert_eq!(order, [original.id, copy.id, ids[1].id]);
    assert_eq!(photos.read(&original.sha256).unwrap(), bytes);
    assert_eq!(book.get(original.id).unwrap().body, original.body);
    let copies = [original.body.sha256.clone(), copy.body.sha256.clone()];
    book.undo(done.action.unwrap()).unwrap();
    assert_eq!(book.photos_of(shown.load).unwrap().len(), 2);
    drop(book);
    hold(&folder.path().join("book.taut"), shown.load, &copies[..1]);
}

/// What the rep chose to keep of the camera's notes when the picture was taken in is what the copy
/// has: no more, no less.
#[test]
fn a_copy_has_of_the_cameras_notes_what_the_photo_has() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("oracles/photos/turned-6.jpg");
    for position in [false, true] {
        let options = Options {
            keep: Keep {
                position,
                camera: false,
            },
            ..Options::default()
        };
        let taken = prepare(Source::File(&file), &options, &mut go_on).unwrap();
        let marks = [circle(spot(0.5, 0.5), 0.3, "")];
        let copy = mark(taken.jpeg(), &marks, &options, &mut go_on).unwrap();
        let has = |word: &[u8]| copy.jpeg().windows(word.len()).any(|part| part == word);
        assert_eq!(has(b"Exif"), position);
        assert!(!has(b"SN-0042") && !has(b"Harrow"));
    }
}
