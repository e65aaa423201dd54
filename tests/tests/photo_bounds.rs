//! What is too large is refused before memory is spent, and what is taken in stays within bounds.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::ops::ControlFlow;

use peak_alloc::PeakAlloc;
use tautbook_core::photos::{
    Mark, Options, PhotoError, Prepared, Shape, Source, Spot, mark, prepare,
};
use tautbook_tests::scene;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Takes in a picture; with how many megabytes at once beside the file.
fn take(bytes: &[u8]) -> (Result<Prepared, PhotoError>, f32) {
    let before = MEMORY.current_usage_as_mb();
    MEMORY.reset_peak_usage();
    let mut go_on = |_| ControlFlow::Continue(());
    let taken = prepare(Source::Bytes(bytes), &Options::default(), &mut go_on);
    (taken, MEMORY.peak_usage_as_mb() - before)
}

fn too_many(bytes: &[u8], what: &str) {
    let (taken, peak) = take(bytes);
    let error = taken.unwrap_err();
    assert!(
        matches!(error, PhotoError::TooManyPixels { .. }),
        "{what}: {error}"
    );
    assert!(error.to_string().contains("smaller size"), "{error}");
    assert!(peak < 1.0, "{what}: {peak} MB spent on refusing it");
}

/// A JPEG whose header claims another size.
fn claiming(mut jpeg: Vec<u8>, width: u16, height: u16) -> Vec<u8> {
    let header = jpeg
        .windows(2)
        .position(|pair| matches!(pair, [0xFF, 0xC0 | 0xC2]))
        .unwrap();
    jpeg[header + 5..header + 7].copy_from_slice(&height.to_be_bytes());
    jpeg[header + 7..header + 9].copy_from_slice(&width.to_be_bytes());
    jpeg
}

/// One test, so that no other one's memory is counted.
#[test]
fn memory_is_bounded() {
    // 30 000 x 30 000.
    too_many(
        &claiming(scene::jpeg(64, 48, true), 30_000, 30_000),
        "JPEG in scans",
    );
    too_many(
        &claiming(scene::jpeg(64, 48, false), 65_535, 65_535),
        "JPEG",
    );
    // Small enough in memory when it is made smaller meanwhile, but seconds of decoding.
    too_many(
        &claiming(scene::jpeg(64, 48, false), 32_639, 32_536),
        "JPEG, made smaller",
    );
    for in_scans in [false, true] {
        let few = claiming(scene::jpeg(64, 48, in_scans), 15_000, 15_000);
        let error = take(&few).0.unwrap_err();
        assert!(matches!(error, PhotoError::Truncated { .. }), "{error}");
    }
    let mut png = scene::png(1, 1, png::ColorType::Rgb, png::BitDepth::Eight, &[1, 2, 3]);
    png[16..20].copy_from_slice(&30_000_u32.to_be_bytes());
    png[20..24].copy_from_slice(&30_000_u32.to_be_bytes());
    too_many(&png, "PNG");
    let webp = include_bytes!("../oracles/photos/lossy.webp").to_vec();
    let start = webp
        .windows(3)
        .position(|code| code == [0x9D, 0x01, 0x2A])
        .unwrap()
        + 3;
    let mut large = webp.clone();
    large[start..start + 4].copy_from_slice(&[0xFF, 0x3F, 0xFF, 0x3F]);
    too_many(&large, "WebP");

    // A bomb: a small file of very many equal pixels.
    let (wide, high) = (20_000_u32, 20_000_u32);
    let mut bomb = Vec::new();
    let mut encoder = png::Encoder::new(&mut bomb, wide, high);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::One);
    encoder.set_compression(png::Compression::Fast);
    let mut writer = encoder.write_header().unwrap();
    {
        use std::io::Write;
        let mut stream = writer.stream_writer().unwrap();
        for _ in 0..high {
            stream.write_all(&[0; 2_500]).unwrap();
        }
        stream.finish().unwrap();
    }
    drop(writer);
    assert!(bomb.len() < 1_000_000, "{}", bomb.len());
    too_many(&bomb, "PNG bomb");

    // 12 megapixels of every kind.
    for (what, bytes) in [
        ("JPEG", scene::jpeg(4_000, 3_000, false)),
        ("JPEG in scans", scene::jpeg(4_000, 3_000, true)),
    ] {
        let (taken, peak) = take(&bytes);
        assert_eq!(taken.unwrap().size(), (2_560, 1_920), "{what}");
        #[allow(clippy::cast_precision_loss)]
        let file = bytes.len() as f32 / 1_048_576.0;
        println!("{what}: {peak:.0} MB beside {file:.1} MB of file");
        assert!(peak + file < 120.0, "{what}: {peak} MB");
    }
    let rgb = scene::scene(4_000, 3_000);
    let png = scene::png(
        4_000,
        3_000,
        png::ColorType::Rgb,
        png::BitDepth::Eight,
        &rgb,
    );
    drop(rgb);
    let (taken, peak) = take(&png);
    taken.unwrap();
    println!("PNG: {peak:.0} MB beside {} MB of file", png.len() >> 20);
    assert!(peak < 100.0, "PNG: {peak} MB");
    drop(png);

    // 50 megapixels, as many cameras take when asked to, are made smaller while they are decoded.
    let large = scene::jpeg(8_160, 6_120, false);
    let (taken, peak) = take(&large);
    assert_eq!(taken.unwrap().size(), (2_560, 1_920));
    println!(
        "50 megapixels: {peak:.0} MB beside {} MB of file",
        large.len() >> 20
    );
    assert!(peak < 130.0, "50 megapixels: {peak} MB");

    // Marks are drawn on a copy of the largest that a rep may choose to keep.
    let options = Options {
        long_side: 4_000,
        ..Options::default()
    };
    let bytes = scene::jpeg(4_000, 3_000, false);
    let mut go_on = |_| ControlFlow::Continue(());
    let kept = prepare(Source::Bytes(&bytes), &options, &mut go_on).unwrap();
    drop(bytes);
    assert_eq!(kept.size(), (4_000, 3_000));
    let circle = Mark {
        shape: Shape::Circle {
            centre: Spot { x: 0.5, y: 0.5 },
            radius: 0.2,
        },
        text: "12 lb 6 oz".to_owned(),
    };
    let before = MEMORY.current_usage_as_mb();
    MEMORY.reset_peak_usage();
    let copy = mark(kept.jpeg(), &[circle], &options, &mut go_on).unwrap();
    let peak = MEMORY.peak_usage_as_mb() - before;
    assert_eq!(copy.size(), (4_000, 3_000));
    println!("marks on 12 megapixels: {peak:.0} MB");
    assert!(peak < 120.0, "marks: {peak} MB");
}
