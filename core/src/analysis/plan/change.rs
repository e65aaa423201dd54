//! The cheapest programmes with less changed, and the ways to still less film.

use super::grid::{Down, Grid, Setting};
use super::search::{Candidate, Search, SearchError};

/// What is changed from the setup as it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Change {
    /// Turns at the bottom alone.
    BottomTurns,
    /// Turns at the top alone.
    TopTurns,
    /// Both turns.
    Turns,
    /// The pitches alone.
    Pitch,
    /// Everything, with the film as it runs now.
    Programme,
    /// Everything, but with no more and no fewer layers than were measured.
    WithinMeasured,
}

/// The cheapest programme that passes with only so much changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Alternative {
    /// What is changed.
    pub change: Change,
    /// The programme.
    pub candidate: Candidate,
}

/// One step less film than the proposal, and what it would hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LessFilm {
    /// The setting that is changed by one step.
    pub setting: Setting,
    /// What comes of it.
    pub candidate: Candidate,
}

/// The cheapest that passes with less changed.
pub(super) fn alternatives(
    search: &Search<'_>,
    own: usize,
    now: &Candidate,
    best: Option<&Candidate>,
) -> Result<Vec<Alternative>, SearchError> {
    let Some(best) = best else {
        return Ok(Vec::new());
    };
    let as_now = Grid::only(&now.choice);
    let all = search.grid;
    let turns = Grid {
        bottom_turns: all.bottom_turns,
        top_turns: all.top_turns,
        ..as_now
    };
    let films = &search.films[own..=own];
    let mut alternatives: Vec<Alternative> = Vec::new();
    for (change, grid) in [
        (
            Change::BottomTurns,
            Grid {
                top_turns: as_now.top_turns,
                ..turns
            },
        ),
        (
            Change::TopTurns,
            Grid {
                bottom_turns: as_now.bottom_turns,
                ..turns
            },
        ),
        (Change::Turns, turns),
        (
            Change::Pitch,
            Grid {
                pitch_up: all.pitch_up,
                pitch_down: all.pitch_down,
                ..as_now
            },
        ),
        (Change::Programme, all),
        (Change::WithinMeasured, all),
    ] {
        if change == Change::Programme && best.film == own {
            continue; // The best is that already.
        }
        let any_film = change == Change::WithinMeasured;
        let narrower = Search {
            grid,
            films: if any_film { search.films } else { films },
            within_measured: any_film,
            ..search.clone()
        };
        let found = match narrower.run() {
            // The pitch as it is now is greater than was asked for.
            Err(SearchError::PitchTooGreat) => continue,
            found => found?,
        };
        let Some(mut candidate) = found.best else {
            continue;
        };
        if !any_film {
            candidate.film = own;
        }
        let same =
            |other: &Candidate| candidate.choice == other.choice && candidate.film == other.film;
        let known =
            same(now) || same(best) || alternatives.iter().any(|other| same(&other.candidate));
        if !known {
            alternatives.push(Alternative { change, candidate });
        }
    }
    Ok(alternatives)
}

/// The programmes one step of one setting away from the best that take less film.
pub(super) fn less_film(
    search: &Search<'_>,
    best: &Candidate,
) -> Result<Vec<LessFilm>, SearchError> {
    let mut ways = Vec::new();
    for setting in Setting::ALL {
        let Some(value) = best.choice.get(setting) else {
            continue;
        };
        let range = match (setting, &search.grid.pitch_down) {
            (Setting::BottomTurns, _) => search.grid.bottom_turns,
            (Setting::TopTurns, _) => search.grid.top_turns,
            (Setting::PitchUp, _) => search.grid.pitch_up,
            (Setting::PitchDown, Down::Own(range)) => *range,
            (Setting::PitchDown, Down::None | Down::AsUp) => continue,
        };
        let mut choice = best.choice;
        match setting {
            Setting::BottomTurns => choice.bottom_turns = value - range.step,
            Setting::TopTurns => choice.top_turns = value - range.step,
            Setting::PitchUp => {
                choice.pitch_up_m = value + range.step;
                if search.grid.pitch_down == Down::AsUp {
                    choice.pitch_down_m = Some(choice.pitch_up_m);
                }
            }
            Setting::PitchDown => choice.pitch_down_m = Some(value + range.step),
        }
        let stepped = choice.get(setting).unwrap_or(value);
        let width = search.films[best.film].width_on_load.m() * search.most_pitch_of_width;
        let within = match setting {
            Setting::BottomTurns | Setting::TopTurns => stepped >= range.least - 1e-9,
            Setting::PitchUp | Setting::PitchDown => {
                stepped <= range.most.min(width) * (1.0 + 1e-9)
            }
        };
        if within {
            let candidate = search.evaluate(best.film, &choice)?;
            if candidate.film_kg < best.film_kg {
                ways.push(LessFilm { setting, candidate });
            }
        }
    }
    Ok(ways)
}
