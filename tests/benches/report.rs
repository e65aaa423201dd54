//! The customer's report of a visit with 40 pictures and 20 charts and more, beside the bare work: the
//! same pictures put on pages by the PDF library alone.
//!
//! Run with `cargo bench -p tautbook-tests --bench report`.

#![allow(clippy::unwrap_used)] // A bench that cannot go on stops.
#![allow(clippy::cast_precision_loss)]

use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use krilla::geom::{Size, Transform};
use krilla::image::Image;
use krilla::page::PageSettings;
use krilla::{Document, SerializeSettings};
use peak_alloc::PeakAlloc;
use tautbook_core::language::Language;
use tautbook_core::photos::{Options as PhotoOptions, Source, prepare};
use tautbook_core::report::{Options, Paper, report};
use tautbook_tests::reported::{book_of, sample};
use tautbook_tests::scene;

#[global_allocator]
static PEAK: PeakAlloc = PeakAlloc;

const PHOTOS: u16 = 40;
const ROUNDS: usize = 5;

/// The pictures alone, four on a page.
fn bare(jpegs: &[Vec<u8>]) -> usize {
    let mut document = Document::new_with(SerializeSettings {
        enable_tagging: false,
        ..SerializeSettings::default()
    });
    for four in jpegs.chunks(4) {
        let mut page = document.start_page_with(PageSettings::from_wh(612.0, 792.0).unwrap());
        let mut surface = page.surface();
        for (at, jpeg) in four.iter().enumerate() {
            let image = Image::from_jpeg(jpeg.clone().into(), true).unwrap();
            surface.push_transform(&Transform::from_translate(60.0, 60.0 + 160.0 * at as f32));
            surface.draw_image(image, Size::from_wh(200.0, 150.0).unwrap());
            surface.pop();
        }
        surface.finish();
        page.finish();
    }
    document.finish().unwrap().len()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}

fn main() {
    let folder = tempfile::tempdir().unwrap();
    let records = sample("tile-maker").unwrap();
    let (mut book, visits) = book_of(&folder.path().join("book.taut"), &records).unwrap();
    let reading = records.readings[0].reference();
    let mut jpegs = Vec::new();
    for n in 0..PHOTOS {
        let jpeg = scene::jpeg(2_560 + n, 1_920, false);
        let mut go_on = |_| ControlFlow::Continue(());
        let prepared = prepare(Source::Bytes(&jpeg), &PhotoOptions::default(), &mut go_on).unwrap();
        jpegs.push(prepared.jpeg().to_vec());
        let kept = book.photo_folder().keep(&prepared).unwrap();
        book.act("add_photo", |act| act.add_photo(&kept, reading, ""))
            .unwrap();
    }
    let mb = jpegs.iter().map(Vec::len).sum::<usize>() as f64 / 1e6;
    let options = Options::of(&records, Language::English, Paper::Letter);
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    let mut made = None;
    for _ in 0..ROUNDS {
        let begun = Instant::now();
        std::hint::black_box(bare(&jpegs));
        theirs.push(begun.elapsed());
        PEAK.reset_peak_usage();
        let begun = Instant::now();
        let mut go_on = |_| ControlFlow::Continue(());
        made = Some(report(&book, visits[0], options, &mut go_on).unwrap());
        ours.push(begun.elapsed());
    }
    let peak = PEAK.peak_usage_as_mb();
    let made = made.unwrap();
    let (ours, theirs) = (median(ours), median(theirs));
    println!(
        "report: {} pages, {PHOTOS} pictures of {mb:.0} MB together, {:.1} MB written",
        made.pages,
        made.pdf.len() as f64 / 1e6
    );
    println!(
        "  {:.2} s, {:.1} x the pictures alone ({:.2} s); aim: under 2 s; peak memory {peak:.0} MB",
        ours.as_secs_f64(),
        ours.as_secs_f64() / theirs.as_secs_f64(),
        theirs.as_secs_f64()
    );
}
