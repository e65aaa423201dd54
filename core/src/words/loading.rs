//! The way of the film from the roll to the load, and which way up the roll goes: in words and
//! seen from above.

use crate::analysis::loading::{
    FilmSide, LoadingQuestion, PathVerdict, RollLoading, TACK_TEST, WayUp, load_turns, loading,
    roll_turns, side_on_load,
};
use crate::chart::{FilmPath, Sticky};
use crate::survey::{ClingSide, FilmRoll, Id, Line, Record, Rotation, Wrapper, WrapperKind};
use crate::words::{Block, Fact, Tone, count, figures};

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

const fn word(rotation: Rotation) -> &'static str {
    match rotation {
        Rotation::Clockwise => "clockwise",
        Rotation::Anticlockwise => "anticlockwise",
    }
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

fn load_words(wrapper: &Wrapper, load: Option<Rotation>) -> String {
    let place = match wrapper.kind {
        WrapperKind::RotatingArm => "Load, seen from the arm:",
        WrapperKind::Ring => "Load, seen from the ring:",
        WrapperKind::Turntable | WrapperKind::Other => "Load:",
    };
    match load {
        Some(load) => format!("{place} turns {}", word(load)),
        None => "Load: which way it turns is not known".to_owned(),
    }
}

/// The drawing of one way, as far as it is known.
fn drawing(
    wrapper: &Wrapper,
    roll: Option<Rotation>,
    reversals: Option<u8>,
    cling: Option<ClingSide>,
) -> FilmPath {
    let load = load_of(wrapper);
    let roll_words = match roll {
        Some(roll) => format!("Roll: turns {}", word(roll)),
        None => "Roll".to_owned(),
    };
    let words = [load_words(wrapper, load), roll_words];
    let mut spoken = format!("Seen from above. {}. {}.", words[0], words[1]);
    if let (Some(load), Some(roll), Some(cling)) = (load, roll, cling) {
        let faces = match (side_on_load(load, roll), cling) {
            (_, ClingSide::Both) => "Both sides cling.",
            (FilmSide::Inside, ClingSide::Inside) | (FilmSide::Outside, ClingSide::Outside) => {
                "The sticky side lies on the load."
            }
            (FilmSide::Inside, ClingSide::Outside) | (FilmSide::Outside, ClingSide::Inside) => {
                "The sticky side faces away from the load."
            }
        };
        spoken = format!("{spoken} {faces}");
    }
    FilmPath {
        load,
        roll,
        reversals,
        table: wrapper.kind == WrapperKind::Turntable,
        sticky: cling.map(sticky),
        words,
        key: [
            "Film, on its way to the load".to_owned(),
            "Sticky side".to_owned(),
        ],
        spoken,
    }
}

/// The way of the film as it stands on the line.
#[must_use]
pub fn way(wrapper: &Wrapper) -> Way {
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
        drawing: drawing(wrapper, roll, threading.reversals, None),
        wrong: if contradicts {
            figures::sentence(&LoadingQuestion::Path.to_string())
        } else {
            String::new()
        },
    }
}

/// What is said of a roll in a list: how it goes on this wrapper. Blank where that is not known.
#[must_use]
pub fn short(wrapper: &Wrapper, cling: Option<ClingSide>) -> String {
    let Ok(answer) = loading(wrapper, cling) else {
        return String::new();
    };
    let way_up = match answer.way_up {
        WayUp::Either => "Either way up".to_owned(),
        WayUp::Unwinds(rotation) => {
            format!("Goes on with its loose end {} from above", word(rotation))
        }
    };
    match answer.path {
        PathVerdict::FacesAway => format!("{way_up}; not as threaded now"),
        PathVerdict::NotLookedAt | PathVerdict::ClingsToLoad => way_up,
    }
}

/// Which way up the roll of a line's setup goes.
#[must_use]
pub fn way_up(roll: Option<&Record<FilmRoll>>, line: &Record<Line>) -> WayUpWords {
    let Some(roll) = roll else {
        return WayUpWords {
            block: Block::plain(
                "Choose the film roll on the machine first; then it can be said which way up it \
                 goes.",
            ),
            ..WayUpWords::default()
        };
    };
    let mut view = WayUpWords {
        with_roll: true,
        ..WayUpWords::default()
    };
    match loading(&line.wrapper, roll.cling) {
        Ok(answer) => tell(&mut view, &line.wrapper, roll, answer),
        Err(question) => ask(&mut view, question, (line.id, &line.wrapper), roll),
    }
    if !roll.core_arrow.trim().is_empty() {
        view.block
            .facts
            .push(Fact::new("Arrow on the core", "").with(roll.core_arrow.trim()));
    }
    view
}

fn tell(view: &mut WayUpWords, wrapper: &Wrapper, roll: &Record<FilmRoll>, answer: RollLoading) {
    let without_test = |answer: RollLoading| {
        let said = answer.to_string();
        said.strip_suffix(TACK_TEST)
            .map_or(said.as_str(), str::trim_end)
            .to_owned()
    };
    // The sentences of an answer, one by one: each is what it adds to those before.
    let standing = RollLoading {
        film_goes_round: false,
        ..answer
    };
    let bare = RollLoading {
        path: PathVerdict::NotLookedAt,
        ..standing
    };
    let adds = |more: RollLoading, less: RollLoading| {
        let (more, less) = (without_test(more), without_test(less));
        more.strip_prefix(less.as_str())
            .unwrap_or_default()
            .trim()
            .to_owned()
    };
    view.wrong = adds(standing, bare);
    view.block.lead = without_test(bare);
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
        view.drawing = Some(drawing(wrapper, Some(turns), reversals, cling));
        if load.is_some() && reversals.is_none() {
            view.block.note(
                "The way between roll and load is drawn with the fewest bends; the machine's own \
                 diagram says how it runs.",
            );
        }
    }
    if faces_away {
        let now = threading.roll_turns.or_else(|| {
            threading
                .reversals
                .zip(load)
                .map(|(n, load)| roll_turns(load, n))
        });
        view.now = Some(drawing(wrapper, now, threading.reversals, cling));
    }
    view.block.note(adds(answer, standing));
    view.block.facts = rests_on(wrapper, roll, load);
}

/// What the answer rests on, for the rep to hold against the machine.
fn rests_on(wrapper: &Wrapper, roll: &FilmRoll, load: Option<Rotation>) -> Vec<Fact> {
    let mut facts = Vec::new();
    if let Some(cling) = roll.cling {
        let side = match cling {
            ClingSide::Inside => "inside of the roll",
            ClingSide::Outside => "outside of the roll",
            ClingSide::Both => "both sides",
        };
        facts.push(Fact::new("Sticky side", side));
    }
    if let Some(rotation) = wrapper.rotation {
        let what = match wrapper.kind {
            WrapperKind::Turntable => "The table turns",
            WrapperKind::RotatingArm => "The arm goes round",
            WrapperKind::Ring => "The ring goes round",
            WrapperKind::Other => "The wrapper turns",
        };
        facts.push(Fact::new(what, word(rotation)));
    }
    let threading = wrapper.threading.unwrap_or_default();
    let seen = match (threading.roll_turns, threading.reversals) {
        (None, None) => "Not looked at: write it on the line, and it is said whether the film as \
                         threaded now is right."
            .to_owned(),
        (Some(turns), None) => format!("The roll turns {}.", word(turns)),
        (turns, Some(bends)) => {
            let turns = turns.or_else(|| load.map(|load| roll_turns(load, bends)));
            let changes = count(usize::from(bends), "change of bend", "changes of bend");
            match turns {
                Some(turns) => format!("The roll turns {}; {changes}.", word(turns)),
                None => figures::sentence(&changes),
            }
        }
    };
    facts.push(Fact::new("The film as threaded now", "").with(seen));
    facts
}

/// Asks for what is missing, all of it.
fn ask(
    view: &mut WayUpWords,
    question: LoadingQuestion,
    (line, wrapper): (Id<Line>, &Wrapper),
    roll: &Record<FilmRoll>,
) {
    view.block.lead = figures::sentence(&question.to_string());
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
        view.block.note(figures::sentence(&also.to_string()));
    }
}
