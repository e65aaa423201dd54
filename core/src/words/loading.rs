//! The way of the film from the roll to the load, and which way up the roll goes: in words and
//! seen from above.

use crate::analysis::loading::{
    FilmSide, LoadingQuestion, PathVerdict, RollLoading, WayUp, load_turns, loading, roll_turns,
    side_on_load, way_round,
};
use crate::chart::{FilmPath, Sticky};
use crate::language::Language;
use crate::survey::{ClingSide, FilmRoll, Id, Line, Record, Rotation, Wrapper, WrapperKind};
use crate::words::{Block, Fact, Tone, figures};
use crate::{say, say_count};

/// The way of the film as it is written on the line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Way {
    /// Which way the roll turns.
    pub roll: Option<Rotation>,
    /// How often the film changes its bend; blank while nobody has looked.
    pub bends: String,
    /// Seen from above.
    pub drawing: FilmPath,
    /// What is wrong with it; blank when nothing is.
    pub wrong: String,
}

/// Where what is missing is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// On the roll of film.
    Roll(Id<FilmRoll>),
    /// On the line.
    Line(Id<Line>),
}

/// Which way up the roll goes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WayUpWords {
    /// What is wrong as it is threaded now; blank when nothing is.
    pub wrong: String,
    /// The answer or the question, what it rests on and what to know about it.
    pub block: Block,
    /// The roll as it has to stand.
    pub drawing: Option<FilmPath>,
    /// The film as threaded now, where that is wrong.
    pub now: Option<FilmPath>,
    /// Where what is missing is written.
    pub missing: Option<Missing>,
    /// The roll is known, so there is something to look at on the machine.
    pub with_roll: bool,
}

const fn sticky(cling: ClingSide) -> Sticky {
    match cling {
        ClingSide::Inside => Sticky::Inside,
        ClingSide::Outside => Sticky::Outside,
        ClingSide::Both => Sticky::Both,
    }
}

/// Which way the load turns about the place the film comes from.
fn load_of(wrapper: &Wrapper) -> Option<Rotation> {
    wrapper
        .rotation
        .and_then(|rotation| load_turns(wrapper.kind, rotation))
}

fn load_words(kind: WrapperKind, load: Option<Rotation>, l: Language) -> String {
    let Some(load) = load else {
        return say!(l, "Load: which way it turns is not known");
    };
    let way = way_round(load).said(l);
    match kind {
        WrapperKind::RotatingArm => {
            say!(l, "Load, seen from the arm: turns {way}", way = way)
        }
        WrapperKind::Ring => say!(l, "Load, seen from the ring: turns {way}", way = way),
        WrapperKind::Turntable | WrapperKind::Other => say!(l, "Load: turns {way}", way = way),
    }
}

/// Which side lies on the load, in words.
fn on_load(load: Rotation, roll: Rotation, cling: ClingSide, l: Language) -> String {
    match (side_on_load(load, roll), cling) {
        (_, ClingSide::Both) => say!(l, "Both sides cling."),
        (FilmSide::Inside, ClingSide::Inside) | (FilmSide::Outside, ClingSide::Outside) => {
            say!(l, "The cling side lies on the load.")
        }
        (FilmSide::Inside, ClingSide::Outside) | (FilmSide::Outside, ClingSide::Inside) => {
            say!(l, "The cling side faces away from the load.")
        }
    }
}

/// The drawing of one way, as far as it is known.
fn drawing(
    wrapper: &Wrapper,
    roll: Option<Rotation>,
    reversals: Option<u8>,
    cling: Option<ClingSide>,
    l: Language,
) -> FilmPath {
    let load = load_of(wrapper);
    let roll_words = match roll {
        Some(roll) => say!(l, "Roll: turns {way}", way = way_round(roll).said(l)),
        None => say!(l, "Roll"),
    };
    let words = [load_words(wrapper.kind, load, l), roll_words];
    let mut spoken = say!(
        l,
        "Seen from above. {load}. {roll}.",
        load = words[0],
        roll = words[1]
    );
    if let (Some(load), Some(roll), Some(cling)) = (load, roll, cling) {
        spoken = format!("{spoken} {}", on_load(load, roll, cling, l));
    }
    FilmPath {
        load,
        roll,
        reversals,
        table: wrapper.kind == WrapperKind::Turntable,
        sticky: cling.map(sticky),
        words,
        key: [
            say!(l, "Film, on its way to the load"),
            say!(l, "Cling side"),
        ],
        spoken,
    }
}

/// The way of the film as it stands on the line.
#[must_use]
pub fn way(wrapper: &Wrapper, l: Language) -> Way {
    let threading = wrapper.threading.unwrap_or_default();
    // The side that clings does not matter to whether a path can be.
    let contradicts = loading(wrapper, Some(ClingSide::Inside)) == Err(LoadingQuestion::Path);
    let counted = threading
        .reversals
        .zip(load_of(wrapper))
        .map(|(count, load)| roll_turns(load, count));
    let roll = threading.roll_turns.or(counted).filter(|_| !contradicts);
    Way {
        roll: threading.roll_turns,
        bends: threading
            .reversals
            .map_or_else(String::new, |count| count.to_string()),
        drawing: drawing(wrapper, roll, threading.reversals, None, l),
        wrong: if contradicts {
            figures::sentence(&LoadingQuestion::Path.said(l))
        } else {
            String::new()
        },
    }
}

/// What is said of a roll in a list: how it goes on this wrapper. Blank where that is not known.
#[must_use]
pub fn short(wrapper: &Wrapper, cling: Option<ClingSide>, l: Language) -> String {
    let Ok(answer) = loading(wrapper, cling) else {
        return String::new();
    };
    let faces_away = answer.path == PathVerdict::FacesAway;
    match answer.way_up {
        WayUp::Either if faces_away => say!(l, "Either way up; not as threaded now"),
        WayUp::Either => say!(l, "Either way up"),
        WayUp::Unwinds(rotation) if faces_away => say!(
            l,
            "Goes on with its loose end {way} from above; not as threaded now",
            way = way_round(rotation).said(l)
        ),
        WayUp::Unwinds(rotation) => say!(
            l,
            "Goes on with its loose end {way} from above",
            way = way_round(rotation).said(l)
        ),
    }
}

/// Which way up the roll of a line's setup goes.
#[must_use]
pub fn way_up(roll: Option<&Record<FilmRoll>>, line: &Record<Line>, l: Language) -> WayUpWords {
    let Some(roll) = roll else {
        return WayUpWords {
            block: Block::plain(say!(
                l,
                "Choose the film roll on the machine first; then it can be said which way up it \
                 goes."
            )),
            ..WayUpWords::default()
        };
    };
    let mut view = WayUpWords {
        with_roll: true,
        ..WayUpWords::default()
    };
    match loading(&line.wrapper, roll.cling) {
        Ok(answer) => tell(&mut view, &line.wrapper, roll, answer, l),
        Err(question) => ask(&mut view, question, (line.id, &line.wrapper), roll, l),
    }
    if !roll.core_arrow.trim().is_empty() {
        view.block
            .facts
            .push(Fact::new(say!(l, "Arrow on the core"), "").with(roll.core_arrow.trim()));
    }
    view
}

fn tell(
    view: &mut WayUpWords,
    wrapper: &Wrapper,
    roll: &Record<FilmRoll>,
    answer: RollLoading,
    l: Language,
) {
    view.wrong = answer.wrong_said(l);
    view.block.lead = answer.way_up_said(l);
    let threading = wrapper.threading.unwrap_or_default();
    let cling = roll.cling;
    let load = load_of(wrapper);
    let faces_away = answer.path == PathVerdict::FacesAway;
    view.block.tone = match answer.path {
        PathVerdict::ClingsToLoad => Some(Tone::Good),
        PathVerdict::NotLookedAt | PathVerdict::FacesAway => Some(Tone::Info),
    };
    if let WayUp::Unwinds(turns) = answer.way_up {
        let reversals = threading.reversals.filter(|_| !faces_away);
        view.drawing = Some(drawing(wrapper, Some(turns), reversals, cling, l));
        if load.is_some() && reversals.is_none() {
            view.block.note(say!(
                l,
                "The way between roll and load is drawn with the fewest bends; the machine's own \
                 diagram says how it runs."
            ));
        }
    }
    if faces_away {
        let now = threading.roll_turns.or_else(|| {
            threading
                .reversals
                .zip(load)
                .map(|(n, load)| roll_turns(load, n))
        });
        view.now = Some(drawing(wrapper, now, threading.reversals, cling, l));
    }
    view.block.note(answer.seen_from_said(l));
    view.block.facts = rests_on(wrapper, roll, load, l);
}

/// What the answer rests on, for the rep to hold against the machine.
fn rests_on(wrapper: &Wrapper, roll: &FilmRoll, load: Option<Rotation>, l: Language) -> Vec<Fact> {
    let mut facts = Vec::new();
    if let Some(cling) = roll.cling {
        let side = match cling {
            ClingSide::Inside => say!(l, "inside of the roll"),
            ClingSide::Outside => say!(l, "outside of the roll"),
            ClingSide::Both => say!(l, "both sides"),
        };
        facts.push(Fact::new(say!(l, "Cling side"), side));
    }
    if let Some(rotation) = wrapper.rotation {
        let what = match wrapper.kind {
            WrapperKind::Turntable => say!(l, "The table turns"),
            WrapperKind::RotatingArm => say!(l, "The arm goes round"),
            WrapperKind::Ring => say!(l, "The ring goes round"),
            WrapperKind::Other => say!(l, "The wrapper turns"),
        };
        facts.push(Fact::new(what, way_round(rotation).said(l)));
    }
    let threading = wrapper.threading.unwrap_or_default();
    let seen = match (threading.roll_turns, threading.reversals) {
        (None, None) => say!(
            l,
            "Not looked at: write it on the line, and it is said whether the film as threaded now \
             is right."
        ),
        (Some(turns), None) => {
            say!(l, "The roll turns {way}.", way = way_round(turns).said(l))
        }
        (turns, Some(bends)) => {
            let turns = turns.or_else(|| load.map(|load| roll_turns(load, bends)));
            let bends = usize::from(bends);
            match turns {
                Some(turns) => say_count!(
                    l,
                    bends,
                    "The roll turns {way}; {n} change of bend.",
                    "The roll turns {way}; {n} changes of bend.",
                    way = way_round(turns).said(l)
                ),
                None => say_count!(l, bends, "{n} change of bend.", "{n} changes of bend."),
            }
        }
    };
    facts.push(Fact::new(say!(l, "The film as threaded now"), "").with(seen));
    facts
}

/// Asks for what is missing, all of it.
fn ask(
    view: &mut WayUpWords,
    question: LoadingQuestion,
    (line, wrapper): (Id<Line>, &Wrapper),
    roll: &Record<FilmRoll>,
    l: Language,
) {
    view.block.lead = figures::sentence(&question.said(l));
    view.block.tone = Some(match question {
        LoadingQuestion::Path => Tone::Bad,
        LoadingQuestion::Cling | LoadingQuestion::Rotation | LoadingQuestion::WhichTurns => {
            Tone::Warning
        }
    });
    view.missing = Some(match question {
        LoadingQuestion::Cling => Missing::Roll(roll.id),
        LoadingQuestion::Rotation | LoadingQuestion::WhichTurns | LoadingQuestion::Path => {
            Missing::Line(line)
        }
    });
    if question == LoadingQuestion::Cling
        && let Err(also) = loading(wrapper, Some(ClingSide::Inside))
    {
        view.block.note(figures::sentence(&also.said(l)));
    }
}
