//! The programmes a wrapper can be set to: a grid with a step for each setting.

use crate::language::{Language, Word};
use crate::{say, word};
use thiserror::Error;

/// The most programmes one search looks at. A panel offers some tens of choices a setting; a
/// grid with more is a typing error.
pub const MOST_PROGRAMMES: u64 = 20_000_000;

/// Why a grid of programmes cannot be searched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum GridError {
    /// A range is not one: not a number, upside down, or without a step.
    Range(Setting),
    /// A pitch of nothing never comes up the load.
    NoPitch(Setting),
    /// More programmes than a search looks at.
    TooMany,
}

impl GridError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::Range(setting) => say!(
                language,
                "the range of {setting} does not work: write the least, the most and a step of more \
                 than zero",
                setting = setting.word().said(language)
            ),
            Self::NoPitch(Setting::PitchDown) => say!(
                language,
                "the least pitch down has to be more than zero: with none the film never leaves its \
                 place"
            ),
            Self::NoPitch(_) => say!(
                language,
                "the least pitch up has to be more than zero: with none the film never leaves its \
                 place"
            ),
            Self::TooMany => say!(
                language,
                "these limits allow more than {most} programmes: use larger steps",
                most = MOST_PROGRAMMES
            ),
        }
    }
}

/// A setting of the programme.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Setting {
    /// Turns at the bottom.
    BottomTurns,
    /// Turns at the top.
    TopTurns,
    /// Pitch on the way up.
    PitchUp,
    /// Pitch on the way down.
    PitchDown,
}

impl Setting {
    /// All four, in the order of wrapping.
    pub const ALL: [Self; 4] = [
        Self::BottomTurns,
        Self::PitchUp,
        Self::TopTurns,
        Self::PitchDown,
    ];
}

impl Setting {
    /// Its name.
    #[must_use]
    pub const fn word(self) -> Word {
        match self {
            Self::BottomTurns => word!("bottom turns"),
            Self::TopTurns => word!("top turns"),
            Self::PitchUp => word!("pitch up"),
            Self::PitchDown => word!("pitch down"),
        }
    }
}

impl std::fmt::Display for Setting {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.word().said(Language::English))
    }
}

/// The values one setting can take: `least`, `least + step`, ... up to `most`.
///
/// Turns are plain numbers, pitches metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The least.
    pub least: f64,
    /// The most; taken in when it lies on a step.
    pub most: f64,
    /// From one value to the next.
    pub step: f64,
}

impl Range {
    /// One value only.
    #[must_use]
    pub const fn only(value: f64) -> Self {
        Self {
            least: value,
            most: value,
            step: 1.0,
        }
    }

    /// How many values it holds; `None` when it is no range.
    #[must_use]
    pub fn count(&self) -> Option<u64> {
        /// A step counts as reaching the end when it misses it by rounding only.
        const ROUNDING: f64 = 1e-9;
        let sound = self.least.is_finite()
            && self.most.is_finite()
            && self.least >= 0.0
            && self.most >= self.least
            && self.step.is_finite()
            && self.step > 0.0;
        if !sound {
            return None;
        }
        let steps = ((self.most - self.least) / self.step + ROUNDING).floor();
        // Above this a search is refused anyway, and below it the number is exact.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        (steps < 1e9).then(|| steps as u64 + 1)
    }

    /// Its values from the least up; empty when it is no range.
    #[must_use]
    pub fn values(&self) -> Vec<f64> {
        let count = u32::try_from(self.count().unwrap_or(0)).unwrap_or(0);
        (0..count)
            .map(|i| self.step.mul_add(f64::from(i), self.least).min(self.most))
            .collect()
    }
}

/// The way down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Down {
    /// The film is cut at the top: there is no way down.
    None,
    /// One setting for both ways.
    AsUp,
    /// A setting of its own.
    Own(Range),
}

/// Every programme the wrapper can be set to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Grid {
    /// Turns at the bottom.
    pub bottom_turns: Range,
    /// Turns at the top.
    pub top_turns: Range,
    /// Pitch on the way up, in metres.
    pub pitch_up: Range,
    /// Pitch on the way down.
    pub pitch_down: Down,
}

/// One programme of a grid: turns, and pitches in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// Turns at the bottom.
    pub bottom_turns: f64,
    /// Turns at the top.
    pub top_turns: f64,
    /// Pitch on the way up, in metres.
    pub pitch_up_m: f64,
    /// Pitch on the way down, in metres; `None` when there is no way down.
    pub pitch_down_m: Option<f64>,
}

impl Choice {
    /// The value of a setting; `None` for a way down that there is not.
    #[must_use]
    pub const fn get(&self, setting: Setting) -> Option<f64> {
        match setting {
            Setting::BottomTurns => Some(self.bottom_turns),
            Setting::TopTurns => Some(self.top_turns),
            Setting::PitchUp => Some(self.pitch_up_m),
            Setting::PitchDown => self.pitch_down_m,
        }
    }
}

impl Grid {
    /// The grid of one programme.
    #[must_use]
    pub const fn only(choice: &Choice) -> Self {
        Self {
            bottom_turns: Range::only(choice.bottom_turns),
            top_turns: Range::only(choice.top_turns),
            pitch_up: Range::only(choice.pitch_up_m),
            pitch_down: match choice.pitch_down_m {
                None => Down::None,
                Some(pitch) => Down::Own(Range::only(pitch)),
            },
        }
    }

    /// How many programmes there are, for one film.
    ///
    /// # Errors
    /// The setting whose range is none, or a grid that is too large.
    pub fn count(&self) -> Result<u64, GridError> {
        let count = |range: &Range, setting| range.count().ok_or(GridError::Range(setting));
        let pitch = |range: &Range, setting| {
            if range.least <= 0.0 {
                Err(GridError::NoPitch(setting))
            } else {
                count(range, setting)
            }
        };
        let down = match &self.pitch_down {
            Down::None | Down::AsUp => 1,
            Down::Own(range) => pitch(range, Setting::PitchDown)?,
        };
        [
            count(&self.bottom_turns, Setting::BottomTurns)?,
            count(&self.top_turns, Setting::TopTurns)?,
            pitch(&self.pitch_up, Setting::PitchUp)?,
            down,
        ]
        .into_iter()
        .try_fold(1_u64, u64::checked_mul)
        .filter(|&all| all <= MOST_PROGRAMMES)
        .ok_or(GridError::TooMany)
    }

    /// The pairs of pitches, up and down.
    #[must_use]
    pub fn pitches(&self) -> Vec<(f64, Option<f64>)> {
        let up = self.pitch_up.values();
        match &self.pitch_down {
            Down::None => up.into_iter().map(|up| (up, None)).collect(),
            Down::AsUp => up.into_iter().map(|up| (up, Some(up))).collect(),
            Down::Own(range) => {
                let down = range.values();
                up.iter()
                    .flat_map(|&up| down.iter().map(move |&down| (up, Some(down))))
                    .collect()
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_ends_where_it_says() {
        let range = Range {
            least: 0.1,
            most: 0.4,
            step: 0.1,
        };
        let values = range.values();
        assert_eq!(
            values.len(),
            4,
            "rounding must not lose the last: {values:?}"
        );
        assert!((values[3] - 0.4).abs() < 1e-15);
        let short = Range {
            most: 0.39,
            ..range
        };
        assert_eq!(short.values().len(), 3);
        assert_eq!(Range::only(0.0).values(), [0.0]);
        for bad in [
            Range { step: 0.0, ..range },
            Range { most: 0.0, ..range },
            Range {
                least: f64::NAN,
                ..range
            },
            Range {
                most: f64::INFINITY,
                ..range
            },
            Range {
                least: -1.0,
                ..range
            },
            Range {
                step: 1e-300,
                ..range
            },
        ] {
            assert_eq!(bad.count(), None, "{bad:?}");
            assert!(bad.values().is_empty());
        }
    }

    #[test]
    fn a_grid_counts_its_programmes() {
        let turns = Range {
            least: 1.0,
            most: 4.0,
            step: 1.0,
        };
        let pitch = Range {
            least: 0.1,
            most: 0.3,
            step: 0.1,
        };
        let grid = Grid {
            bottom_turns: turns,
            top_turns: turns,
            pitch_up: pitch,
            pitch_down: Down::Own(pitch),
        };
        assert_eq!(grid.count(), Ok(4 * 4 * 3 * 3));
        assert_eq!(grid.pitches().len(), 9);
        let same = Grid {
            pitch_down: Down::AsUp,
            ..grid
        };
        assert_eq!(same.count(), Ok(4 * 4 * 3));
        let flat = Grid {
            pitch_up: Range {
                least: 0.0,
                ..pitch
            },
            ..grid
        };
        assert_eq!(flat.count(), Err(GridError::NoPitch(Setting::PitchUp)));
        let vast = Range {
            least: 0.0,
            most: 1e6,
            step: 1.0,
        };
        let vast = Grid {
            bottom_turns: vast,
            top_turns: vast,
            ..grid
        };
        assert_eq!(vast.count(), Err(GridError::TooMany));
    }
}
