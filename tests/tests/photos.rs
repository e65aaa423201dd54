//! Taking in pictures: held against what Pillow sees in the same files (`oracles/photos_pillow.py`).

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use rexif::ExifTag;
use serde_json::Value;
use tautbook_core::photos::{
    Keep, Note, Options, PhotoError, Prepared, Progress, Source, Step, prepare,
};
use tautbook_tests::scene;

fn go_on(_: Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

fn take(bytes: &[u8], options: &Options) -> Result<Prepared, PhotoError> {
    prepare(Source::Bytes(bytes), options, &mut go_on)
}

fn refused(bytes: &[u8]) -> String {
    take(bytes, &Options::default()).unwrap_err().to_string()
}

fn says(text: &str, words: &[&str]) {
    for word in words {
        assert!(text.contains(word), "'{text}' does not say '{word}'");
    }
}

fn pictures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("oracles/photos")
}

/// Best quality, so that what is compared is the decoding.
fn finest() -> Options {
    Options {
        quality: 100,
        ..Options::default()
    }
}

/// Pixels by a decoder that the core does not use for pictures of such a size.
fn pixels(jpeg: &[u8]) -> (u32, u32, Vec<u8>) {
    let mut decoder = jpeg_decoder::Decoder::new(jpeg);
    let rgb = decoder.decode().unwrap();
    let info = decoder.info().unwrap();
    assert_eq!(info.pixel_format, jpeg_decoder::PixelFormat::RGB24);
    (info.width.into(), info.height.into(), rgb)
}

fn from_hex(text: &str) -> Vec<u8> {
    let digits = text.as_bytes().chunks(2);
    digits
        .map(|pair| u8::from_str_radix(std::str::from_utf8(pair).unwrap(), 16).unwrap())
        .collect()
}

fn number(value: &Value) -> u32 {
    value.as_u64().unwrap().try_into().unwrap()
}

#[test]
fn every_kind_of_picture_is_what_pillow_sees() {
    let oracle = include_str!("../oracles/photos_pillow.json");
    let oracle: Value = serde_json::from_str(oracle).unwrap();
    let cases = oracle["cases"].as_array().unwrap();
    assert!(cases.len() > 25, "{}", cases.len());
    for case in cases {
        let name = case["file"].as_str().unwrap();
        let file = pictures().join(name);
        let taken = prepare(Source::File(&file), &finest(), &mut go_on)
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        let (width, height, rgb) = pixels(taken.jpeg());
        let wanted = (number(&case["width"]), number(&case["height"]));
        assert_eq!((width, height), wanted, "{name}");
        assert_eq!(taken.size(), wanted, "{name}");
        let seen = from_hex(case["rgb"].as_str().unwrap());
        let apart: u64 = rgb
            .iter()
            .zip(&seen)
            .map(|(a, b)| u64::from(a.abs_diff(*b)))
            .sum();
        #[allow(clippy::cast_precision_loss)]
        let mean = apart as f64 / rgb.len() as f64;
        println!("{name}: {mean:.2}");
        assert!(
            mean <= 1.0,
            "{name}: the mean pixel is {mean:.2} of 255 from Pillow's"
        );
        let taken_at = taken.taken_at().map(|at| at.format("%FT%T").to_string());
        assert_eq!(taken_at.as_deref(), case["taken"].as_str(), "{name}");
        match case["note"].as_str() {
            None => assert_eq!(taken.notes(), [], "{name}"),
            Some(words) => says(&taken.notes()[0].to_string(), &[words]),
        }
    }
}

#[test]
fn the_name_of_a_file_does_not_matter() {
    let folder = tempfile::tempdir().unwrap();
    for (from, to) in [
        ("plain.png", "load.jpg"),
        ("lossy.webp", "load.png"),
        ("grey.jpg", "load"),
    ] {
        let path = folder.path().join(to);
        std::fs::copy(pictures().join(from), &path).unwrap();
        prepare(Source::File(&path), &Options::default(), &mut go_on).unwrap();
    }
    let none = prepare(
        Source::File(&folder.path().join("none.jpg")),
        &Options::default(),
        &mut go_on,
    );
    says(
        &none.unwrap_err().to_string(),
        &["no file", "choose the picture again"],
    );
    let a_folder = prepare(Source::File(folder.path()), &Options::default(), &mut go_on);
    says(&a_folder.unwrap_err().to_string(), &["no picture"]);
}

const BOTH: Keep = Keep {
    position: true,
    camera: true,
};

fn kept(name: &str, keep: Keep) -> Vec<u8> {
    let bytes = std::fs::read(pictures().join(name)).unwrap();
    let options = Options {
        keep,
        ..Options::default()
    };
    take(&bytes, &options).unwrap().jpeg().to_vec()
}

fn tags(jpeg: &[u8]) -> Vec<(ExifTag, String)> {
    let Ok(read) = rexif::parse_buffer(jpeg) else {
        return Vec::new();
    };
    let entries = read.entries.into_iter();
    entries
        .map(|entry| (entry.tag, entry.value.to_string()))
        .collect()
}

#[test]
fn nothing_of_the_camera_is_kept_unless_asked_for() {
    for name in ["turned-6.jpg", "turned.png", "turned.webp"] {
        let original = std::fs::read(pictures().join(name)).unwrap();
        let has = |bytes: &[u8], word: &[u8]| bytes.windows(word.len()).any(|part| part == word);
        assert!(
            has(&original, b"SN-0042") && has(&original, b"maker's own words"),
            "{name}"
        );
        let jpeg = kept(name, Keep::default());
        for word in [&b"Exif"[..], b"SN-0042", b"maker's", b"Harrow", b"2026:03"] {
            assert!(
                !has(&jpeg, word),
                "{name} keeps {}",
                String::from_utf8_lossy(word)
            );
        }
        assert_eq!(tags(&jpeg), [], "{name}");
    }
}

#[test]
fn what_is_asked_for_is_kept_and_another_library_reads_it_back() {
    for name in ["turned-6.jpg", "turned.png", "turned.webp"] {
        let camera = Keep {
            position: false,
            ..BOTH
        };
        let found = tags(&kept(name, camera));
        let has = |found: &[(ExifTag, String)], tag, value: &str| {
            found.iter().any(|(t, v)| *t == tag && v.contains(value))
        };
        assert!(has(&found, ExifTag::Make, "Harrow"), "{name}: {found:?}");
        assert!(has(&found, ExifTag::Model, "Field 1"), "{name}: {found:?}");
        let position = |(tag, _): &(ExifTag, String)| {
            matches!(*tag, ExifTag::GPSLatitude | ExifTag::GPSLongitude)
        };
        assert!(!found.iter().any(position), "{name}: {found:?}");
        let everything = tags(&kept(name, BOTH));
        assert!(everything.iter().any(position), "{name}: {everything:?}");
        let place = Keep {
            camera: false,
            ..BOTH
        };
        let found = tags(&kept(name, place));
        assert!(
            has(&found, ExifTag::GPSLatitudeRef, "N"),
            "{name}: {found:?}"
        );
        assert!(!has(&found, ExifTag::Make, ""), "{name}: {found:?}");
        let orientation = |(tag, _): &(ExifTag, String)| *tag == ExifTag::Orientation;
        assert!(
            !everything.iter().any(orientation),
            "{name}: it is upright already"
        );
    }
}

#[test]
fn large_pictures_are_kept_smaller_and_in_proportion() {
    let bytes = scene::jpeg(800, 600, false);
    let options = Options {
        long_side: 500,
        thumb_side: 64,
        ..finest()
    };
    let taken = take(&bytes, &options).unwrap();
    assert_eq!(taken.size(), (500, 375));
    let (width, height, small) = pixels(taken.jpeg());
    assert_eq!((width, height), (500, 375));
    let (width, height, _) = pixels(taken.thumb());
    assert_eq!((width, height), (64, 48));
    // The other way of decoding, at half size, shows the same.
    let large = scene::jpeg(1_600, 1_200, false);
    let half = take(&large, &options).unwrap();
    assert_eq!(half.size(), (500, 375));
    let mean = |rgb: &[u8]| rgb.iter().map(|v| u64::from(*v)).sum::<u64>() / rgb.len() as u64;
    let (_, _, other) = pixels(half.jpeg());
    assert!(
        mean(&small).abs_diff(mean(&other)) < 12,
        "{} {}",
        mean(&small),
        mean(&other)
    );
    let whole = take(&large, &finest()).unwrap();
    assert_eq!(
        whole.size(),
        (1_600, 1_200),
        "what is small enough stays as it is"
    );
}

#[test]
fn the_same_picture_gives_the_same_file_and_its_name_is_its_sha256() {
    let bytes = scene::jpeg(300, 200, true);
    let (once, twice) = (
        take(&bytes, &finest()).unwrap(),
        take(&bytes, &finest()).unwrap(),
    );
    assert_eq!(once, twice);
    // FIPS 180-4 by another program.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("kept.jpg");
    std::fs::write(&path, once.jpeg()).unwrap();
    let output = std::process::Command::new("sha256sum")
        .arg(&path)
        .output()
        .unwrap();
    let output = String::from_utf8(output.stdout).unwrap();
    assert_eq!(output.split(' ').next(), Some(once.sha256()));
}

#[test]
fn what_is_no_whole_picture_is_refused_in_words() {
    says(&refused(b""), &["empty", "take the picture again"]);
    says(&refused(b"a note"), &["no picture", "JPEG, PNG or WebP"]);
    says(
        &refused(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"),
        &["HEIC", "set the camera"],
    );
    for name in [
        "turned-1.jpg",
        "progressive.jpg",
        "plain.png",
        "sixteen-bits.png",
        "lossy.webp",
        "alpha.webp",
    ] {
        let whole = std::fs::read(pictures().join(name)).unwrap();
        for end in (0..whole.len() - 2).filter(|end| end % 7 == 0) {
            let told = refused(&whole[..end]);
            assert!(
                ["cut short", "damaged", "empty", "no picture"]
                    .iter()
                    .any(|word| told.contains(word)),
                "{name} cut at {end}: {told}"
            );
        }
        says(&refused(&whole[..whole.len() / 2]), &["cut short"]);
    }
}

#[test]
fn rare_kinds_are_named() {
    let mut arithmetic = std::fs::read(pictures().join("grey.jpg")).unwrap();
    let header = arithmetic
        .windows(2)
        .position(|pair| pair == [0xFF, 0xC0])
        .unwrap();
    for (marker, words) in [(0xC9, "arithmetic"), (0xC3, "lossless")] {
        arithmetic[header + 1] = marker;
        says(&refused(&arithmetic), &[words, "ordinary JPEG"]);
    }
    arithmetic[header + 1] = 0xC1;
    arithmetic[header + 4] = 12;
    says(&refused(&arithmetic), &["8 bits", "ordinary JPEG"]);
}

#[test]
fn work_can_be_called_off_at_every_step_and_its_progress_goes_forward() {
    let pictures = [
        scene::jpeg(900, 700, false),
        scene::png(
            900,
            700,
            png::ColorType::Rgb,
            png::BitDepth::Eight,
            &scene::scene(900, 700),
        ),
    ];
    for bytes in pictures {
        let options = Options {
            long_side: 400,
            ..Options::default()
        };
        let mut told = Vec::new();
        prepare(Source::Bytes(&bytes), &options, &mut |progress| {
            told.push(progress);
            ControlFlow::Continue(())
        })
        .unwrap();
        assert!(
            told.is_sorted_by(|a, b| a.done <= b.done && a.step <= b.step),
            "{told:?}"
        );
        assert!((told.last().unwrap().done - 1.0).abs() < 1e-6);
        for step in [
            Step::Reading,
            Step::Decoding,
            Step::Shrinking,
            Step::Thumbnail,
            Step::Packing,
        ] {
            assert!(
                told.iter().any(|progress| progress.step == step),
                "{step:?}"
            );
        }
        for stop in 0..told.len() {
            let mut calls = 0;
            let ended = prepare(Source::Bytes(&bytes), &options, &mut |_| {
                calls += 1;
                if calls > stop {
                    ControlFlow::Break(())
                } else {
                    ControlFlow::Continue(())
                }
            });
            assert_eq!(ended.unwrap_err(), PhotoError::Cancelled, "{stop}");
            assert_eq!(calls, stop + 1, "nothing is told once it is called off");
        }
    }
}

#[test]
fn it_works_on_another_thread() {
    let (say, hear) = std::sync::mpsc::channel();
    let worker = std::thread::spawn(move || {
        let bytes = scene::jpeg(200, 100, false);
        prepare(
            Source::Bytes(&bytes),
            &Options::default(),
            &mut |progress| match say.send(progress) {
                Ok(()) => ControlFlow::Continue(()),
                Err(_) => ControlFlow::Break(()),
            },
        )
    });
    assert!(hear.iter().count() > 3);
    assert_eq!(worker.join().unwrap().unwrap().size(), (200, 100));
}

#[test]
fn the_first_of_a_moving_picture_is_said_to_be_the_first() {
    says(&Note::FirstOfMoving.to_string(), &["first frame"]);
    says(&Note::Inks.to_string(), &["printing"]);
}

/// What a fuzzer found: a library takes such a list for whole and ends the program over it.
#[test]
fn a_list_of_colours_that_is_not_whole_is_refused_before_it_is_used() {
    let seed = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/fuzz/seeds/photo_intake/uneven-palette.png"
    );
    let bytes = std::fs::read(seed).unwrap();
    let mut go_on = |_| std::ops::ControlFlow::Continue(());
    let options = tautbook_core::photos::Options::default();
    let refused = tautbook_core::photos::prepare(
        tautbook_core::photos::Source::Bytes(&bytes),
        &options,
        &mut go_on,
    );
    let said = refused.unwrap_err().to_string();
    assert!(said.contains("its list of colours is not whole"), "{said}");
}
