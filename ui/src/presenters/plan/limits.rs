//! What the panel allows: the least, the most and the step of each setting.

use tautbook_core::book::BookError;
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{Id, Line, PitchChoices, ProgrammeLimits, TurnChoices};
use tautbook_core::units::{TypedError, UnitChoice, parse_length, parse_turns};

use super::super::figures;
use crate::place::Place;
use crate::session::{Entry, FieldError, Session, optional};

/// One number of the limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// The fewest bottom turns.
    BottomLeast,
    /// The most bottom turns.
    BottomMost,
    /// Between two choices of bottom turns.
    BottomStep,
    /// The fewest top turns.
    TopLeast,
    /// The most top turns.
    TopMost,
    /// Between two choices of top turns.
    TopStep,
    /// The least pitch.
    PitchLeast,
    /// The most pitch.
    PitchMost,
    /// Between two choices of pitch.
    PitchStep,
}

/// The setting a number belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Group {
    Bottom,
    Top,
    Pitch,
}

impl Limit {
    const ALL: [Self; 9] = [
        Self::BottomLeast,
        Self::BottomMost,
        Self::BottomStep,
        Self::TopLeast,
        Self::TopMost,
        Self::TopStep,
        Self::PitchLeast,
        Self::PitchMost,
        Self::PitchStep,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::BottomLeast => "bottom_least",
            Self::BottomMost => "bottom_most",
            Self::BottomStep => "bottom_step",
            Self::TopLeast => "top_least",
            Self::TopMost => "top_most",
            Self::TopStep => "top_step",
            Self::PitchLeast => "pitch_least",
            Self::PitchMost => "pitch_most",
            Self::PitchStep => "pitch_step",
        }
    }

    const fn group(self) -> Group {
        match self {
            Self::BottomLeast | Self::BottomMost | Self::BottomStep => Group::Bottom,
            Self::TopLeast | Self::TopMost | Self::TopStep => Group::Top,
            Self::PitchLeast | Self::PitchMost | Self::PitchStep => Group::Pitch,
        }
    }
}

impl Group {
    const fn parts(self) -> [Limit; 3] {
        match self {
            Self::Bottom => [Limit::BottomLeast, Limit::BottomMost, Limit::BottomStep],
            Self::Top => [Limit::TopLeast, Limit::TopMost, Limit::TopStep],
            Self::Pitch => [Limit::PitchLeast, Limit::PitchMost, Limit::PitchStep],
        }
    }
}

/// The limits as the screen shows them: least, most and step of each.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LimitsView {
    /// Turns at the bottom.
    pub bottom: [Entry; 3],
    /// Turns at the top.
    pub top: [Entry; 3],
    /// Pitch.
    pub pitch: [Entry; 3],
    /// One pitch serves both ways.
    pub same_pitch: bool,
}

/// What stands for a number in the record: as written.
fn kept(limits: &ProgrammeLimits, limit: Limit, units: UnitChoice) -> String {
    let of_turns = |choices: &Option<TurnChoices>, of: fn(&TurnChoices) -> f64| {
        choices.as_ref().map_or_else(String::new, |choices| {
            figures::decimal(of(choices), 2, units)
        })
    };
    let of_pitch = |of: fn(&PitchChoices) -> &str| {
        limits
            .pitch
            .as_ref()
            .map_or_else(String::new, |choices| of(choices).to_owned())
    };
    match limit {
        Limit::BottomLeast => of_turns(&limits.bottom_turns, |choices| choices.least),
        Limit::BottomMost => of_turns(&limits.bottom_turns, |choices| choices.most),
        Limit::BottomStep => of_turns(&limits.bottom_turns, |choices| choices.step),
        Limit::TopLeast => of_turns(&limits.top_turns, |choices| choices.least),
        Limit::TopMost => of_turns(&limits.top_turns, |choices| choices.most),
        Limit::TopStep => of_turns(&limits.top_turns, |choices| choices.step),
        Limit::PitchLeast => of_pitch(|choices| choices.least.text.as_str()),
        Limit::PitchMost => of_pitch(|choices| choices.most.text.as_str()),
        Limit::PitchStep => of_pitch(|choices| choices.step.text.as_str()),
    }
}

/// The limits of a line as the screen shows them.
pub(super) fn view(session: &Session, line: Id<Line>) -> Result<LimitsView, BookError> {
    let limits = session.book().get(line)?.body.wrapper.limits;
    let units = session.units();
    let entries = |group: Group| {
        group.parts().map(|limit| {
            let hint = match group {
                Group::Bottom | Group::Top => "",
                Group::Pitch => units.length.symbol(),
            };
            session.entry(limit.name(), &kept(&limits, limit, units), hint)
        })
    };
    Ok(LimitsView {
        bottom: entries(Group::Bottom),
        top: entries(Group::Top),
        pitch: entries(Group::Pitch),
        same_pitch: limits.same_pitch_both_ways,
    })
}

/// Notes a limit half typed.
pub fn draft_limit(session: &mut Session, limit: Limit, text: &str) {
    session.draft(limit.name(), text);
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session) {
    for limit in Limit::ALL {
        if let Some(text) = session.unsettled(limit.name()) {
            edit_limit(session, limit, &text);
        }
    }
}

fn line_here(session: &Session) -> Option<Result<Id<Line>, BookError>> {
    match session.here() {
        Place::Plan { setup, .. } => Some(session.book().get(setup).map(|setup| setup.line)),
        _ => None,
    }
}

/// Keeps the limits of a setting once its three numbers are there; until then each stands as typed.
pub fn edit_limit(session: &mut Session, limit: Limit, text: &str) {
    session.settle(limit.name(), text, |session, text| {
        let Some(line) = line_here(session) else {
            return Ok(());
        };
        keep(session, line?, limit, text)
    });
}

fn keep(session: &mut Session, line: Id<Line>, limit: Limit, text: &str) -> Result<(), FieldError> {
    let (units, language) = (session.units(), session.language());
    let limits = session.book.get(line)?.body.wrapper.limits;
    let group = limit.group();
    let texts = group.parts().map(|part| {
        if part == limit {
            text.to_owned()
        } else {
            session
                .drafted(part.name())
                .map_or_else(|| kept(&limits, part, units), |typed| typed.text.clone())
        }
    });
    // What is typed here is told about; what is wrong elsewhere is told there.
    let here = group.parts().iter().position(|part| *part == limit);
    match group {
        Group::Bottom | Group::Top => {
            let parse = |text: &String| parse_turns(text, units.decimal);
            check(&texts, here, parse)?;
            let choices = all(&texts, language, parse)?.map(|[least, most, step]| TurnChoices {
                least,
                most,
                step,
            });
            session.change("set_limits", line, |line: &mut Line| {
                let limits = &mut line.wrapper.limits;
                match group {
                    Group::Bottom => limits.bottom_turns = choices,
                    Group::Top | Group::Pitch => limits.top_turns = choices,
                }
            })?;
        }
        Group::Pitch => {
            let parse = |text: &String| parse_length(text, &units.length_typing());
            check(&texts, here, parse)?;
            let choices = all(&texts, language, parse)?.map(|[least, most, step]| PitchChoices {
                least,
                most,
                step,
            });
            session.change("set_limits", line, |line: &mut Line| {
                line.wrapper.limits.pitch = choices;
            })?;
        }
    }
    for part in group.parts() {
        session.drop_draft(part.name());
    }
    Ok(())
}

/// Whether what is typed in the field at hand can be taken.
fn check<T>(
    texts: &[String; 3],
    here: Option<usize>,
    parse: impl Fn(&String) -> Result<T, TypedError>,
) -> Result<(), FieldError> {
    if let Some(text) = here.and_then(|here| texts.get(here)) {
        optional(parse(text))?;
    }
    Ok(())
}

/// All three, or `None` when all are blank.
fn all<T>(
    texts: &[String; 3],
    language: Language,
    parse: impl Fn(&String) -> Result<T, TypedError>,
) -> Result<Option<[T; 3]>, FieldError> {
    if texts.iter().all(|text| text.trim().is_empty()) {
        return Ok(None);
    }
    let [least, most, step] = texts;
    match (parse(least), parse(most), parse(step)) {
        (Ok(least), Ok(most), Ok(step)) => Ok(Some([least, most, step])),
        _ => Err(FieldError::Text(say!(
            language,
            "kept when the least, the most and the step are all there"
        ))),
    }
}

/// Says whether one pitch serves both ways.
pub fn pick_same_pitch(session: &mut Session, same: bool) {
    let Some(line) = line_here(session) else {
        return;
    };
    let Some(line) = session.report(line) else {
        return;
    };
    let done = session.book.act("set_limits", |act| {
        act.change(line, |line: &mut Line| {
            line.wrapper.limits.same_pitch_both_ways = same;
        })
    });
    session.report(done);
}
