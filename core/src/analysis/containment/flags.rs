//! What makes a reading worth less: flagged readings are shown and counted, never dropped.

use std::fmt;

use crate::language::Language;
use crate::say;
use crate::survey::{
    Id, Measure, Moment, PullReading, Reading, Record, Tool, TorsionReading, Zone,
};
use crate::units::{Force, Length, MethodId};

/// So many readings alike in a row show that the tool is too coarse, or was not read
/// (common practice, no source).
pub const ALIKE_IN_A_ROW: usize = 10;

/// How far from the usual place a reading may be taken and still count as taken there, in metres:
/// half an inch, which moves a pull-plate reading by less than a hundredth (plain geometry).
const PLACE_WITHIN_M: f64 = 0.0127;

/// The same for the pull, in metres: an eighth of an inch, which moves the reading by three
/// hundredths (plain geometry).
const PULL_WITHIN_M: f64 = 0.003_175;

/// Lengths in inches do not come out even in metres.
const HAIR_M: f64 = 1e-9;

/// One reason to trust a reading less.
#[derive(Debug, Clone, PartialEq)]
pub enum Flag {
    /// The tool's last check against a known weight no longer held.
    CheckOverdue {
        /// The tool's name.
        tool: String,
        /// The last check before the reading; `None` when none is noted.
        checked_at: Option<Moment>,
    },
    /// It is not noted that the tool was zeroed before the reading.
    NeverZeroed,
    /// The tool had been zeroed, but not on the day of the reading.
    NotZeroedThatDay {
        /// When.
        zeroed_at: Moment,
    },
    /// More than the tool can show.
    OverRange {
        /// What it can show.
        range: Force,
    },
    /// Taken somewhere else than usual.
    AwayFromUsualPlace {
        /// What was measured.
        place: Place,
        /// Where it is usually taken.
        usual: Length,
        /// Where it was taken.
        found: Length,
    },
    /// One of ten or more readings in a row that are all alike.
    AllAlike {
        /// How many.
        in_a_row: usize,
    },
}

/// A measure of where and how a reading was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Torsion tool: distance from the right edge of the face.
    FromRightEdge,
    /// Pull plate: distance from the side.
    FromSide,
    /// Pull plate: distance from the top, for a top reading.
    FromTop,
    /// Pull plate: how far it was pulled.
    Pulled,
}

impl Flag {
    /// It, in a language, with forces and lengths written as the reader's units want it.
    pub fn said(
        &self,
        language: Language,
        force: impl Fn(Force) -> String,
        length: impl Fn(Length) -> String,
    ) -> String {
        match self {
            Self::CheckOverdue {
                tool,
                checked_at: None,
            } => say!(
                language,
                "{tool} had not been checked against a known weight: check it, and note it.",
                tool = tool
            ),
            Self::CheckOverdue {
                tool,
                checked_at: Some(at),
            } => say!(
                language,
                "{tool} was past its check of {date}: check it against a known weight.",
                tool = tool,
                date = at.date_time().format("%Y-%m-%d")
            ),
            Self::NeverZeroed => say!(
                language,
                "It is not noted that the tool was zeroed before this reading: zero it, and note \
                 when."
            ),
            Self::NotZeroedThatDay { zeroed_at } => say!(
                language,
                "The tool was last zeroed on {date}, not on the day of this reading: zero it before \
                 the first reading of a day.",
                date = zeroed_at.date_time().format("%Y-%m-%d")
            ),
            Self::OverRange { range } => say!(
                language,
                "The reading is over what the tool can show, {range}: look at the value or at the \
                 tool\u{2019}s range.",
                range = force(*range)
            ),
            Self::AwayFromUsualPlace {
                place,
                usual,
                found,
            } => away(language, *place, &length(*usual), &length(*found)),
            Self::AllAlike { in_a_row } => say!(
                language,
                "{n} readings in a row are all alike: the scale is too coarse to show how they \
                 differ, or was not read each time.",
                n = in_a_row
            ),
        }
    }
}

/// That a reading was taken somewhere else than usual.
fn away(language: Language, place: Place, usual: &str, found: &str) -> String {
    match place {
        Place::FromRightEdge => say!(
            language,
            "Taken at {found} from the right edge instead of the usual {usual}: compare it with \
             readings taken the same way only.",
            found = found,
            usual = usual
        ),
        Place::FromSide => say!(
            language,
            "Taken at {found} from the side instead of the usual {usual}: compare it with readings \
             taken the same way only.",
            found = found,
            usual = usual
        ),
        Place::FromTop => say!(
            language,
            "Taken at {found} from the top instead of the usual {usual}: compare it with readings \
             taken the same way only.",
            found = found,
            usual = usual
        ),
        Place::Pulled => say!(
            language,
            "Pulled {found} instead of the usual {usual}: the plate shows more the further it is \
             pulled. It counts with the others in results and comparisons, and a plan leaves it out \
             where most were pulled otherwise: read it again at the usual pull, or set it aside.",
            found = found,
            usual = usual
        ),
    }
}

impl fmt::Display for Flag {
    /// In English, with forces and lengths in both kinds of units.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let force = |force: Force| format!("{:.1} N ({:.1} lbf)", force.n(), force.lbf());
        f.write_str(&self.said(Language::English, force, both))
    }
}

/// A length in both units, as a tape shows it.
fn both(length: Length) -> String {
    format!("{:.1} in ({:.0} mm)", length.inches(), length.mm())
}

/// A reading with what there is to say against it.
#[derive(Debug, Clone, PartialEq)]
pub struct Flagged {
    /// The reading.
    pub reading: Id<Reading>,
    /// The reasons, at least one.
    pub flags: Vec<Flag>,
}

/// The flags of one reading by itself, taken with that tool (`None`: not noted which, so that
/// nothing is said about its check, range or zero).
///
/// * The check: [`Tool::check_overdue`] at the time of the reading.
/// * The zero: the later of what the reading and the tool say, as far as it lies before the
///   reading; it should be of the same day by the clock where the reading was taken.
/// * The place: 22 in from the right edge for the torsion tool; 18 in from the side, 10 in from
///   the top for a top reading and 4 in of pull for the pull plate (common practice, no source).
///   A place that was not written down is the usual one.
#[must_use]
pub fn flags(reading: &Reading, tool: Option<&Tool>) -> Vec<Flag> {
    let mut flags = Vec::new();
    if let Some(tool) = tool
        && tool.check_overdue(reading.taken_at) == Some(true)
    {
        flags.push(Flag::CheckOverdue {
            tool: tool.name.clone(),
            checked_at: tool.checked_at,
        });
    }
    flags.extend(zero(reading, tool));
    if let Some(range) = tool.and_then(|tool| tool.force_range.as_ref()) {
        let over = force(reading).is_some_and(|force| force.n() > range.value.n());
        flags.extend(over.then_some(Flag::OverRange { range: range.value }));
    }
    flags.extend(places(reading));
    flags
}

fn zero(reading: &Reading, tool: Option<&Tool>) -> Option<Flag> {
    let noted = [reading.zeroed_at, tool.and_then(|tool| tool.zeroed_at)];
    if tool.is_none() && reading.zeroed_at.is_none() {
        return None;
    }
    let last = noted
        .into_iter()
        .flatten()
        .filter(|at| at.unix_ms() <= reading.taken_at.unix_ms())
        .max();
    let Some(zeroed_at) = last else {
        return Some(Flag::NeverZeroed);
    };
    // Both by the clock where the reading was taken.
    let taken = reading.taken_at.date_time();
    let zeroed = zeroed_at.date_time().with_timezone(&taken.timezone());
    (zeroed.date_naive() < taken.date_naive()).then_some(Flag::NotZeroedThatDay { zeroed_at })
}

fn force(reading: &Reading) -> Option<Force> {
    match &reading.measure {
        Measure::TorsionTool(torsion) => Some(torsion.containment().force()),
        Measure::PullPlate(pull) => Some(pull.containment().force()),
    }
}

fn places(reading: &Reading) -> Vec<Flag> {
    let measured = match &reading.measure {
        Measure::TorsionTool(torsion) => vec![(
            Place::FromRightEdge,
            TorsionReading::FROM_RIGHT_EDGE_IN,
            torsion.from_right_edge.as_ref(),
            PLACE_WITHIN_M,
        )],
        Measure::PullPlate(pull) => vec![
            (
                Place::FromSide,
                PullReading::FROM_SIDE_IN,
                pull.from_side.as_ref(),
                PLACE_WITHIN_M,
            ),
            (
                Place::FromTop,
                PullReading::FROM_TOP_IN,
                pull.from_top.as_ref().filter(|_| reading.zone == Zone::Top),
                PLACE_WITHIN_M,
            ),
            (
                Place::Pulled,
                PullReading::PULLED_IN,
                pull.pulled.as_ref(),
                PULL_WITHIN_M,
            ),
        ],
    };
    measured
        .into_iter()
        .filter_map(|(place, usual, found, within)| {
            let usual = Length::from_in(usual).ok()?;
            let found = found?.value;
            ((found.m() - usual.m()).abs() > within + HAIR_M).then_some(Flag::AwayFromUsualPlace {
                place,
                usual,
                found,
            })
        })
        .collect()
}

/// The flags of all readings by that method that are in use, those without a flag left out, in
/// the order of taking.
///
/// Beside [`flags`] of each, readings that are one of [`ALIKE_IN_A_ROW`] or more alike in a row,
/// taken with the same tool, are flagged.
#[must_use]
pub fn flag_readings(
    readings: &[Record<Reading>],
    tools: &[Record<Tool>],
    method: MethodId,
) -> Vec<Flagged> {
    let mut in_use: Vec<&Record<Reading>> = readings
        .iter()
        .filter(|reading| reading.set_aside.is_none() && reading.measure.method() == method)
        .collect();
    in_use.sort_by_key(|reading| (reading.taken_at, reading.order, reading.id));
    let runs = runs(&in_use);
    in_use
        .iter()
        .zip(runs)
        .filter_map(|(reading, in_a_row)| {
            let tool = reading
                .tool
                .and_then(|id| tools.iter().find(|tool| tool.id == id));
            let mut flags = flags(reading, tool.map(|tool| &tool.body));
            flags.extend((in_a_row >= ALIKE_IN_A_ROW).then_some(Flag::AllAlike { in_a_row }));
            (!flags.is_empty()).then_some(Flagged {
                reading: reading.id,
                flags,
            })
        })
        .collect()
}

/// For each reading, how many alike in a row it is one of, among those with the same tool.
fn runs(in_use: &[&Record<Reading>]) -> Vec<usize> {
    let mut runs = vec![0; in_use.len()];
    let mut tools: Vec<Option<Id<Tool>>> = in_use.iter().map(|reading| reading.tool).collect();
    tools.sort();
    tools.dedup();
    for tool in tools {
        let mine: Vec<(usize, Option<Force>)> = in_use
            .iter()
            .enumerate()
            .filter(|(_, reading)| reading.tool == tool)
            .map(|(index, reading)| (index, force(reading)))
            .collect();
        for run in mine.chunk_by(|a, b| a.1 == b.1) {
            for (index, _) in run {
                if let Some(length) = runs.get_mut(*index) {
                    *length = run.len();
                }
            }
        }
    }
    runs
}
