//! What the wrapper's panel can be set to, around a setup as it is.

use crate::analysis::pattern::{PatternError, Programme};
use crate::survey::ProgrammeLimits;
use crate::units::{Length, M_PER_IN};

use super::grid::{Choice, Down, Grid, Range};
use super::proposal::PlanError;
use super::says::Assumption;

/// The setup as a choice, and the programmes the wrapper can be set to.
///
/// Where the panel's limits are not written: whole turns from 1 to 6 (or up to as many as there
/// are), pitches an inch or 25 mm apart with the present one among them, from a fifth of the film's width
/// to the whole (common practice, no source).
pub(super) fn grid(
    limits: &ProgrammeLimits,
    programme: &Programme,
    width: Length,
    assumptions: &mut Vec<Assumption>,
) -> Result<(Choice, Grid), PlanError> {
    const USUAL_MOST_TURNS: f64 = 6.0;
    const USUAL_LEAST_PITCH: f64 = 0.2;
    let up = programme
        .pitch_up
        .or(programme.pitch_down)
        .ok_or(PatternError::NoPitch)?;
    let now = Choice {
        bottom_turns: programme.bottom_turns,
        top_turns: programme.top_turns,
        pitch_up_m: up.m(),
        pitch_down_m: programme.pitch_up.and(programme.pitch_down).map(Length::m),
    };
    let mut turns = |choices: &Option<crate::survey::TurnChoices>, now: f64| {
        choices.as_ref().map_or_else(
            || {
                assumptions.push(Assumption::UsualTurns);
                Range {
                    least: 1.0_f64.min(now.floor()),
                    most: USUAL_MOST_TURNS.max(now.ceil()),
                    step: 1.0,
                }
            },
            |choices| Range {
                least: choices.least,
                most: choices.most,
                step: choices.step,
            },
        )
    };
    let bottom_turns = turns(&limits.bottom_turns, now.bottom_turns);
    let top_turns = turns(&limits.top_turns, now.top_turns);
    let mut pitch = |now: f64| {
        limits.pitch.as_ref().map_or_else(
            || {
                assumptions.push(Assumption::UsualPitch);
                let step = usual_step(now);
                let down = ((now - USUAL_LEAST_PITCH * width.m()) / step)
                    .floor()
                    .max(0.0);
                Range {
                    least: now - down * step,
                    most: width.m().max(now),
                    step,
                }
            },
            |choices| Range {
                least: choices.least.value.m(),
                most: choices.most.value.m(),
                step: choices.step.value.m(),
            },
        )
    };
    let pitch_up = pitch(now.pitch_up_m);
    let pitch_down = match now.pitch_down_m {
        None => Down::None,
        Some(_) if limits.same_pitch_both_ways => Down::AsUp,
        Some(down) => Down::Own(pitch(down)),
    };
    let grid = Grid {
        bottom_turns,
        top_turns,
        pitch_up,
        pitch_down,
    };
    Ok((now, grid))
}

/// The step between pitches where the panel's is not written, in metres: an inch where the present
/// pitch is one of eighths of an inch, else 25 mm.
fn usual_step(pitch_m: f64) -> f64 {
    let eighths = pitch_m / M_PER_IN * 8.0;
    if (eighths - eighths.round()).abs() < 1e-6 {
        M_PER_IN
    } else {
        0.025
    }
}
