//! A 12-megapixel JPEG to the kept photo and its thumbnail, beside bare decoding, resizing and
//! encoding by the quickest decoders and encoders in plain Rust.
//!
//! `cargo bench -p tautbook-tests --bench photos`. The two take turns, so that whatever else the
//! machine does falls on both.

use std::hint::black_box;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use fast_image_resize as fr;
use peak_alloc::PeakAlloc;
use tautbook_core::photos::{Options, PhotoFolder, Source, prepare};
use tautbook_tests::scene;
use zune_core::bytestream::ZCursor;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// How often each is timed.
const TIMES: usize = 15;
/// The whole may take so much of the bare work.
const MOST: f64 = 1.3;
/// And so many megabytes at once.
const MOST_MEMORY: f32 = 120.0;

/// Decode, resize, encode.
fn bare(bytes: &[u8]) -> Result<Vec<u8>> {
    let rgb = zune_jpeg::JpegDecoder::new(ZCursor::new(bytes)).decode()?;
    let from = fr::images::ImageRef::new(4_000, 3_000, &rgb, fr::PixelType::U8x3)?;
    let mut to = fr::images::Image::new(2_560, 1_920, fr::PixelType::U8x3);
    fr::Resizer::new().resize(&from, &mut to, None)?;
    let mut jpeg = Vec::new();
    let mut encoder = jpeg_encoder::Encoder::new(&mut jpeg, Options::default().quality);
    encoder.set_sampling_factor(jpeg_encoder::SamplingFactor::F_2_2);
    encoder.encode(to.buffer(), 2_560, 1_920, jpeg_encoder::ColorType::Rgb)?;
    Ok(jpeg)
}

fn median(times: &mut [Duration]) -> f64 {
    times.sort_unstable();
    times
        .get(times.len() / 2)
        .map_or(0.0, Duration::as_secs_f64)
}

fn main() -> Result<()> {
    for (kind, progressive) in [("ordinary", false), ("progressive", true)] {
        let bytes = scene::jpeg(4_000, 3_000, progressive);
        let folder = tempfile::tempdir()?;
        let photos = PhotoFolder::beside(&folder.path().join("book.taut"));
        let (mut ours, mut theirs, mut kept) = (Vec::new(), Vec::new(), Vec::new());
        let (mut peak, mut bare_peak) = (0.0_f32, 0.0_f32);
        for _ in 0..TIMES {
            let before = MEMORY.current_usage_as_mb();
            MEMORY.reset_peak_usage();
            let start = Instant::now();
            let mut go_on = |_| ControlFlow::Continue(());
            let picture = prepare(
                Source::Bytes(black_box(&bytes)),
                &Options::default(),
                &mut go_on,
            )?;
            ours.push(start.elapsed());
            peak = peak.max(MEMORY.peak_usage_as_mb() - before);
            ensure!(picture.size() == (2_560, 1_920), "{:?}", picture.size());
            let start = Instant::now();
            photos.keep(&picture)?;
            kept.push(start.elapsed());
            drop(picture);
            MEMORY.reset_peak_usage();
            let start = Instant::now();
            black_box(bare(black_box(&bytes))?);
            theirs.push(start.elapsed());
            bare_peak = bare_peak.max(MEMORY.peak_usage_as_mb() - before);
        }
        let (ours, theirs) = (median(&mut ours), median(&mut theirs));
        // The first time it is written, then only looked at.
        let first = kept.first().context("timed")?;
        #[allow(clippy::cast_precision_loss)]
        let file = bytes.len() as f32 / 1_048_576.0;
        let said = |kept: bool| if kept { "kept" } else { "MISSED" };
        println!(
            "12 megapixels, {kind}: {:.0} ms, {:.2} x bare decode, resize, encode (at most {MOST}: \
             {}); first writing {first:.1?}; peak {peak:.0} MB beside {file:.0} MB of file (at most \
             {MOST_MEMORY}: {}), bare {bare_peak:.0} MB",
            ours * 1e3,
            ours / theirs,
            said(ours / theirs <= MOST),
            said(peak + file <= MOST_MEMORY),
        );
    }
    Ok(())
}
