//! The wrap plan: the search against trying everything, the bounds against what they promise, and
//! whole plans from records.

use proptest::prelude::*;
use tautbook_core::analysis::pattern::{PatternError, Wrapped};
use tautbook_core::analysis::plan::{
    Candidate, Choice, Down, Engaged, FilmChoice, Grid, Holds, Range, Search, SearchError, Setting,
};
use tautbook_core::analysis::statistics::regression::{Point, fit_through_origin};
use tautbook_core::units::Length;

fn m(metres: f64) -> Length {
    Length::from_m(metres).unwrap()
}

/// Force by layers from a few readings about a line, with a bound.
fn holds(force_per_layer: f64, scatter: f64, layers: f64) -> Holds {
    let points: Vec<Point> = [-1.0, 0.4, 0.9, -0.3]
        .iter()
        .zip([0.8, 1.0, 1.2, 1.0])
        .map(|(off, times)| Point {
            x: layers * times,
            y: force_per_layer * layers * times + off * scatter,
        })
        .collect();
    let fit = fit_through_origin(&points, 0.0).unwrap();
    Holds {
        fit,
        predictor: fit.predictor(0.9, 9).unwrap(),
    }
}

fn values(range: &Range) -> Vec<f64> {
    let mut all = Vec::new();
    let mut i = 0.0;
    while range.least + i * range.step <= range.most + 1e-9 * range.step {
        all.push((range.least + i * range.step).min(range.most));
        i += 1.0;
    }
    all
}

/// Every programme of the grid by itself, each from its whole pattern.
fn everything(search: &Search<'_>) -> Vec<Candidate> {
    let grid = &search.grid;
    let mut all = Vec::new();
    for (film, by) in search.films.iter().enumerate() {
        let most = by.width_on_load.m() * search.most_pitch_of_width * (1.0 + 1e-9);
        for bottom_turns in values(&grid.bottom_turns) {
            for top_turns in values(&grid.top_turns) {
                for pitch_up_m in values(&grid.pitch_up) {
                    let downs = match &grid.pitch_down {
                        Down::None => vec![None],
                        Down::AsUp => vec![Some(pitch_up_m)],
                        Down::Own(range) => values(range).into_iter().map(Some).collect(),
                    };
                    for pitch_down_m in downs {
                        if pitch_up_m > most || pitch_down_m.is_some_and(|down| down > most) {
                            continue;
                        }
                        let choice = Choice {
                            bottom_turns,
                            top_turns,
                            pitch_up_m,
                            pitch_down_m,
                        };
                        match search.evaluate(film, &choice) {
                            Ok(candidate)
                                if search.within_measured
                                    && candidate.measured.contains(&Some(false)) => {}
                            Ok(candidate) => all.push(candidate),
                            Err(SearchError::Pattern(PatternError::NoTurns)) => {}
                            Err(error) => panic!("{error}"),
                        }
                    }
                }
            }
        }
    }
    all
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * (1.0 + a.abs().max(b.abs()))
}

fn agrees_with_trying_everything(search: &Search<'_>) {
    let all = everything(search);
    let found = match search.run() {
        Err(SearchError::PitchTooGreat) => {
            assert!(all.is_empty());
            return;
        }
        found => found.unwrap(),
    };
    assert_eq!(found.looked_at, u64::try_from(all.len()).unwrap());
    let judged = search.goal.iter().any(Option::is_some);
    let passing: Vec<&Candidate> = all
        .iter()
        .filter(|candidate| {
            judged
                && (0..3).all(|zone| {
                    search.goal[zone].is_none()
                        || candidate.margin_n[zone].is_some_and(|margin| margin >= -1e-9)
                })
        })
        .collect();
    assert_eq!(found.passing, u64::try_from(passing.len()).unwrap());
    let least = passing
        .iter()
        .map(|candidate| candidate.film_kg)
        .min_by(f64::total_cmp);
    match (least, &found.best) {
        (None, None) => {}
        (Some(least), Some(best)) => {
            assert!(close(least, best.film_kg), "{least} {best:?}");
            let strongest = passing
                .iter()
                .filter(|candidate| close(candidate.film_kg, least))
                .map(|candidate| candidate.weakest_n)
                .fold(f64::NEG_INFINITY, f64::max);
            assert!(close(strongest, best.weakest_n), "{strongest} {best:?}");
        }
        (least, best) => panic!("{least:?} {best:?}"),
    }
    // The curve: nothing lies above it, and each of its points is one of the programmes.
    for pair in found.curve.windows(2) {
        assert!(pair[0].film_kg < pair[1].film_kg && pair[0].weakest_n < pair[1].weakest_n);
    }
    for point in &found.curve {
        assert!(
            all.iter().any(|candidate| candidate.film == point.film
                && close(candidate.film_kg, point.film_kg)
                && close(candidate.weakest_n, point.weakest_n)
                && Setting::ALL.iter().all(|&setting| {
                    let (one, other) = (candidate.choice.get(setting), point.choice.get(setting));
                    close(one.unwrap_or(0.0), other.unwrap_or(0.0))
                })),
            "{point:?}"
        );
    }
    for candidate in all
        .iter()
        .filter(|candidate| candidate.weakest_n.is_finite())
    {
        let reached = found
            .curve
            .iter()
            .filter(|point| point.film_kg <= candidate.film_kg * (1.0 + 1e-9))
            .map(|point| point.weakest_n)
            .fold(f64::NEG_INFINITY, f64::max);
        assert!(
            reached >= candidate.weakest_n || close(reached, candidate.weakest_n),
            "{candidate:?} lies above the curve"
        );
    }
}

fn range(least: std::ops::Range<f64>, step: std::ops::Range<f64>) -> impl Strategy<Value = Range> {
    (least, step, 0_u32..4).prop_map(|(least, step, steps)| Range {
        least,
        most: least + step * (f64::from(steps) + 0.3),
        step,
    })
}

fn film() -> impl Strategy<Value = FilmChoice> {
    (
        0.3..0.6_f64,
        0.001..0.01_f64,
        2.0..20.0_f64,
        0.0..3.0_f64,
        any::<[bool; 3]>(),
    )
        .prop_map(|(width, kg_per_m, force, scatter, missing)| FilmChoice {
            width_on_load: m(width),
            kg_per_m,
            holds: std::array::from_fn(|zone| {
                let weaker = 1.0 - 0.15 * f64::from(u32::try_from(zone).unwrap());
                (zone == 0 || !missing[zone]).then(|| holds(force * weaker, scatter, 4.0))
            }),
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn the_search_finds_what_trying_everything_finds(
        films in prop::collection::vec(film(), 1..3),
        bottom in range(0.0..2.0, 0.4..1.2),
        top in range(0.0..2.0, 0.4..1.2),
        up in range(0.1..0.3, 0.02..0.1),
        down in prop_oneof![
            Just(Down::None), Just(Down::AsUp), range(0.1..0.3, 0.02..0.1).prop_map(Down::Own)
        ],
        size in (0.5..1.3_f64, 0.5..1.3_f64, 0.3..2.2_f64),
        start in 0.0..0.3_f64,
        over in 0.0..0.2_f64,
        goal in prop::array::uniform3(prop::option::of(5.0..70.0_f64)),
        most_pitch_of_width in 0.4..=1.0_f64,
        within_measured in any::<bool>(),
    ) {
        let at = |from: f64, to: f64| Engaged { from_m: from * size.2, to_m: to * size.2 };
        let search = Search {
            load: Wrapped { length: m(size.0), width: m(size.1), height: m(size.2) },
            start: m(start),
            over_top: m(over),
            engaged: [at(0.8, 0.95), at(0.45, 0.55), at(0.05, 0.2)],
            films: &films,
            grid: Grid { bottom_turns: bottom, top_turns: top, pitch_up: up, pitch_down: down },
            goal,
            most_pitch_of_width,
            within_measured,
        };
        agrees_with_trying_everything(&search);
    }
}

#[test]
fn a_search_says_what_it_lacks() {
    let films = [FilmChoice {
        width_on_load: m(0.45),
        kg_per_m: 0.003,
        holds: [
            Some(holds(10.0, 1.0, 4.0)),
            None,
            Some(holds(10.0, 1.0, 4.0)),
        ],
    }];
    let whole = Range {
        least: 1.0,
        most: 3.0,
        step: 1.0,
    };
    let search = Search {
        load: Wrapped {
            length: m(1.2),
            width: m(0.8),
            height: m(1.5),
        },
        start: m(0.0),
        over_top: m(0.05),
        engaged: [
            Engaged {
                from_m: 1.2,
                to_m: 1.4,
            },
            Engaged {
                from_m: 0.7,
                to_m: 0.8,
            },
            Engaged {
                from_m: 0.1,
                to_m: 0.3,
            },
        ],
        films: &films,
        grid: Grid {
            bottom_turns: whole,
            top_turns: whole,
            pitch_up: Range {
                least: 0.15,
                most: 0.3,
                step: 0.05,
            },
            pitch_down: Down::AsUp,
        },
        goal: [Some(10.0), None, Some(10.0)],
        most_pitch_of_width: 1.0,
        within_measured: false,
    };
    let found = search.run().unwrap();
    assert_eq!(found.looked_at, 36);
    assert!(found.best.is_some());
    // A goal where nothing was measured: nothing passes, however strong.
    let blind = Search {
        goal: [Some(10.0), Some(0.1), Some(10.0)],
        ..search.clone()
    };
    let found = blind.run().unwrap();
    assert_eq!((found.passing, found.best), (0, None));
    // No goal: nothing passes; the curve shows the weakest bound.
    let free = Search {
        goal: [None; 3],
        ..search.clone()
    };
    let found = free.run().unwrap();
    assert_eq!((found.passing, found.best), (0, None));
    assert!(found.curve.len() > 3);
    let nothing = Search {
        films: &[],
        ..search.clone()
    };
    assert_eq!(nothing.run(), Err(SearchError::NoFilm));
    let share = Search {
        most_pitch_of_width: f64::NAN,
        ..search.clone()
    };
    assert_eq!(share.run(), Err(SearchError::PitchShare));
    // Every pitch wider than the film allows: that is said, where nothing passing would not be.
    let wide = Search {
        most_pitch_of_width: 0.01,
        ..search
    };
    assert_eq!(wide.run(), Err(SearchError::PitchTooGreat));
}
