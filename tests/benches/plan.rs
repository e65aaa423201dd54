//! The search of a million programmes, beside the bare sums it cannot do without.
//!
//! `cargo bench -p tautbook-tests --bench plan`. Search and bare sums take turns, so that whatever
//! else the machine does falls on both.

use std::hint::black_box;
use std::time::{Duration, Instant};

use anyhow::{Context, Result, ensure};
use tautbook_core::analysis::pattern::Wrapped;
use tautbook_core::analysis::plan::{Down, Engaged, FilmChoice, Grid, Holds, Range, Search};
use tautbook_core::analysis::statistics::regression::{Point, fit_through_origin};
use tautbook_core::units::Length;

/// How often each is timed.
const TIMES: usize = 15;
/// How long a person may wait for a million programmes.
const MOST: Duration = Duration::from_millis(100);

fn main() -> Result<()> {
    let points: Vec<Point> = (1..=9)
        .map(|i| Point {
            x: 4.0,
            y: 20.0 + 0.1 * f64::from(i % 3),
        })
        .collect();
    let fit = fit_through_origin(&points, 0.0)?;
    let predictor = fit.predictor(0.9, 9).context("enough readings")?;
    let film = |width, kg_per_m| {
        Ok::<_, anyhow::Error>(FilmChoice {
            width_on_load: Length::from_m(width)?,
            kg_per_m,
            holds: [Some(Holds { fit, predictor }); 3],
        })
    };
    let films = [film(0.45, 0.0030)?, film(0.44, 0.0026)?];
    let turns = Range {
        least: 1.0,
        most: 8.0,
        step: 0.5,
    };
    let pitch = Range {
        least: 0.080,
        most: 0.395,
        step: 0.0067,
    };
    let grid = Grid {
        bottom_turns: turns,
        top_turns: turns,
        pitch_up: pitch,
        pitch_down: Down::Own(pitch),
    };
    let at = |from_m, to_m| Engaged { from_m, to_m };
    let search = Search {
        load: Wrapped {
            length: Length::from_m(1.2)?,
            width: Length::from_m(0.8)?,
            height: Length::from_m(1.6)?,
        },
        start: Length::ZERO,
        over_top: Length::from_m(0.05)?,
        engaged: [at(1.2, 1.45), at(0.7, 0.95), at(0.15, 0.4)],
        films: &films,
        grid,
        goal: [Some(14.0), Some(14.0), Some(18.0)],
        most_pitch_of_width: 0.9,
        within_measured: false,
    };
    let found = search.run()?;
    let programmes = found.looked_at;
    ensure!(
        programmes > 1_000_000 && found.best.is_some(),
        "the bench looks at a million programmes and finds one: {programmes}"
    );
    let (mut of_search, mut of_sums) = (Vec::new(), Vec::new());
    for _ in 0..TIMES {
        let start = Instant::now();
        black_box(black_box(&search).run()?);
        of_search.push(start.elapsed());
        let start = Instant::now();
        // Three bounds and their least, for as many programmes.
        let mut most = f64::NEG_INFINITY;
        for i in 0..programmes {
            #[allow(clippy::cast_precision_loss)]
            let layers = black_box(i as f64) * 1e-5;
            let weakest = [layers, layers + 1.0, layers + 2.0]
                .map(|n| predictor.reading_low(n).unwrap_or(f64::NEG_INFINITY))
                .into_iter()
                .fold(f64::INFINITY, f64::min);
            most = most.max(weakest);
        }
        black_box(most);
        of_sums.push(start.elapsed());
    }
    of_search.sort_unstable();
    of_sums.sort_unstable();
    let (search, sums) = (of_search[TIMES / 2], of_sums[TIMES / 2]);
    let a_million = search.div_f64(f64::from(u32::try_from(programmes)?) / 1e6);
    let kept = if a_million <= MOST { "kept" } else { "MISSED" };
    println!(
        "{programmes} programmes in {search:.1?}, {a_million:.1?} a million (at most {MOST:?}: {kept}); \
         {:.2} x the bare bounds; {} pass, {} on the curve",
        search.as_secs_f64() / sums.as_secs_f64(),
        found.passing,
        found.curve.len(),
    );
    Ok(())
}
