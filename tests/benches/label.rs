//! Labels read from spoilt pictures, beside what the library reads by itself.
//!
//! `cargo bench -p tautbook-tests --bench label`; with a number after `--`, so many pictures of each
//! kind instead of 96. A picture counts as read when all labels in it were, and none that is not.
//! Both readers have each picture in turn, so that whatever else the machine does falls on both.

use std::collections::BTreeMap;
use std::hint::black_box;
use std::sync::Mutex;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use tautbook_core::label::LabelCode;
use tautbook_core::label::read::{Picture, read};
use tautbook_tests::spoilt::{Kind, Spoilt, spoilt};

/// Pictures of each kind.
const OF: u32 = 96;
/// Pixels across, but for those that are small in a large picture.
const WIDE: u32 = 1_000;
/// How many times as many as the library alone must be read.
const LEAST: f64 = 1.25;
/// How many times as long as the library takes for a label in twelve megapixels a hostile picture
/// may take.
const MOST: f64 = 150.0;

#[derive(Default)]
struct Tally {
    of: usize,
    ours: usize,
    plain: usize,
    wrong: usize,
    our_times: Vec<Duration>,
    plain_times: Vec<Duration>,
}

fn main() -> Result<()> {
    if std::env::var_os("H").is_some() {
        return hostile();
    }
    let given = std::env::args().skip(1).find_map(|word| word.parse().ok());
    let of = given.unwrap_or(OF);
    let tallies = Mutex::new(BTreeMap::<Kind, Tally>::new());
    let next = AtomicU32::new(0);
    let kinds = u32::try_from(Kind::ALL.len())?;
    std::thread::scope(|scope| {
        let threads = std::thread::available_parallelism().map_or(1, usize::from);
        for _ in 0..threads {
            scope.spawn(|| {
                loop {
                    let n = next.fetch_add(1, Ordering::Relaxed);
                    let at = usize::try_from(n / of.max(1)).unwrap_or(usize::MAX);
                    let Some(&kind) = Kind::ALL.get(at).filter(|_| n < kinds * of) else {
                        break;
                    };
                    let picture = spoilt(kind, n % of, of, WIDE);
                    if let Ok(mut tallies) = tallies.lock() {
                        count(&picture, tallies.entry(kind).or_default());
                    }
                }
            });
        }
    });
    let tallies = tallies.into_inner().ok().context("a thread failed")?;
    println!("kind        pictures   ours  library   median time over the library's");
    let mut all = Tally::default();
    for (kind, mut tally) in tallies {
        row(&format!("{kind:?}"), &mut tally);
        all.of += tally.of;
        all.ours += tally.ours;
        all.plain += tally.plain;
        all.wrong += tally.wrong;
        all.our_times.append(&mut tally.our_times);
        all.plain_times.append(&mut tally.plain_times);
    }
    row("all", &mut all);
    let ratio = of_counts(all.ours) / of_counts(all.plain);
    println!(
        "{ratio:.2} times as many as the library alone, {} read wrongly",
        all.wrong
    );
    ensure!(all.wrong == 0, "a label was taken for another");
    ensure!(ratio >= LEAST, "not {LEAST} times as many: {ratio:.2}");
    hostile()
}

fn count(picture: &Spoilt, tally: &mut Tally) {
    let (width, height) = (picture.width, picture.height);
    let start = Instant::now();
    let reading = Picture::grey(width, height, &picture.luma).map(|picture| read(&picture));
    tally.our_times.push(start.elapsed());
    let ours: Vec<LabelCode> = reading
        .map(|reading| reading.labels.iter().map(|seen| seen.code).collect())
        .unwrap_or_default();
    let luma = picture.luma.clone();
    let start = Instant::now();
    let plain = rxing::helpers::detect_multiple_in_luma(luma, width, height);
    tally.plain_times.push(start.elapsed());
    let plain: Vec<String> = plain
        .unwrap_or_default()
        .iter()
        .map(|read| read.getText().to_owned())
        .collect();
    tally.of += 1;
    tally.ours += usize::from(picture.holds.iter().all(|code| ours.contains(code)));
    let all_plain = |code: &LabelCode| plain.contains(&code.to_string());
    tally.plain += usize::from(picture.holds.iter().all(all_plain));
    tally.wrong += ours
        .iter()
        .filter(|code| !picture.holds.contains(code))
        .count();
}

fn row(name: &str, tally: &mut Tally) {
    let (ours, plain) = (median(&mut tally.our_times), median(&mut tally.plain_times));
    println!(
        "{name:10} {:9} {:6} {:8}   {:.2} ({:.1} ms over {:.1} ms)",
        tally.of,
        tally.ours,
        tally.plain,
        ours.as_secs_f64() / plain.as_secs_f64(),
        ours.as_secs_f64() * 1e3,
        plain.as_secs_f64() * 1e3,
    );
}

fn median(times: &mut [Duration]) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

#[allow(clippy::cast_precision_loss)] // A few thousand.
fn of_counts(count: usize) -> f64 {
    count as f64
}

/// Pictures made to be slow: far too large, all black, full of corner squares, noise.
fn hostile() -> Result<()> {
    let time = |width: u32, height: u32, grey: &dyn Fn(u32, u32) -> u8| -> Result<f64> {
        let pixels = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let luma: Vec<u8> = pixels.map(|(x, y)| grey(x, y)).collect();
        let start = Instant::now();
        black_box(read(&Picture::grey(width, height, &luma)?));
        Ok(start.elapsed().as_secs_f64())
    };
    let usual = spoilt(Kind::Small, 3, 96, WIDE);
    let start = Instant::now();
    black_box(read(&Picture::grey(
        usual.width,
        usual.height,
        &usual.luma,
    )?));
    let usual = start.elapsed().as_secs_f64();
    let squares = |module: u32| {
        move |x: u32, y: u32| {
            let place = |at: u32| (at % (9 * module) / module).abs_diff(4);
            let ring = place(x).max(place(y));
            if ring < 4 && ring != 2 { 20 } else { 230 }
        }
    };
    let noise = |x: u32, y: u32| {
        let mixed = x.wrapping_mul(2_654_435_761) ^ y.wrapping_mul(2_246_822_519);
        (mixed.wrapping_mul(mixed >> 13 | 1) >> 24).to_le_bytes()[0]
    };
    for (name, took) in [
        ("20,000 by 20,000, black", time(20_000, 20_000, &|_, _| 0)?),
        ("12 megapixels of noise", time(4_000, 3_000, &noise)?),
        (
            "24 megapixels of corner squares",
            time(6_000, 4_000, &squares(3))?,
        ),
        ("large corner squares", time(4_000, 3_000, &squares(20))?),
        (
            "1 by 24,000,000",
            time(1, 24_000_000, &|_, y| (y % 251).to_le_bytes()[0])?,
        ),
    ] {
        let ratio = took / usual;
        println!(
            "{name}: {ratio:.1} times the library with a label ({:.0} ms)",
            took * 1e3
        );
        ensure!(ratio < MOST, "{name} takes too long");
    }
    Ok(())
}
