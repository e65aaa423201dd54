//! Setup: one way of wrapping, and the loads wrapped so.

use tautbook_core::analysis::diagnosis::Care;
use tautbook_core::analysis::film::film_per_load;
use tautbook_core::book::BookError;
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::say_count;
use tautbook_core::survey::{
    FilmRoll, FilmTail, FilmWeight, Id, Load, Reading, Record, Setup, SetupRole, Spiral,
};
use tautbook_core::units::{
    MethodId, PullPlate, RatioUnit, TorsionTool, Typing, parse_length, parse_ratio,
};

use super::block::Block;
use super::figures::film_mass;
use super::line::{add_roll_to, roll_spec};
use super::{compare, loading, next_name, plan, turns, written};
use crate::lists::{List, Shown};
use crate::place::{Place, Scope};
use crate::session::{Entry, Session, optional};

/// The fields of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// What it is called.
    Name,
    /// Pitch or overlap going up.
    SpacingUp,
    /// Pitch or overlap going down.
    SpacingDown,
    /// The film's lower edge above the floor at the start.
    StartHeight,
    /// Film above the top of the load.
    OverTop,
    /// The panel's film-force setting.
    FilmForce,
    /// The pre-stretch setting.
    PreStretch,
    /// Anything else.
    Notes,
}

impl Field {
    /// Every field of the form.
    const ALL: &'static [Self] = &[
        Self::Name,
        Self::SpacingUp,
        Self::SpacingDown,
        Self::StartHeight,
        Self::OverTop,
        Self::FilmForce,
        Self::PreStretch,
        Self::Notes,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::SpacingUp => "spacing_up",
            Self::SpacingDown => "spacing_down",
            Self::StartHeight => "start_height",
            Self::OverTop => "over_top",
            Self::FilmForce => "film_force",
            Self::PreStretch => "pre_stretch",
            Self::Notes => "notes",
        }
    }
}

/// How the rise between turns is given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpacingBasis {
    /// Travel of the film in one turn.
    Pitch,
    /// Film lying on the turn before.
    Overlap,
}

/// A roll that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RollChoice {
    /// Which.
    pub id: Id<FilmRoll>,
    /// Its name.
    pub name: String,
    /// What its label says.
    pub spec: String,
}

/// A load of the setup.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LoadRow {
    /// Which.
    pub id: Id<Load>,
    /// Its name.
    pub name: String,
    /// Length, width and height as written.
    pub size: String,
    /// Readings in use, by both methods.
    pub readings: usize,
    /// Its film.
    pub film: String,
    /// What stands out.
    pub note: String,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// Name.
    pub name: Entry,
    /// What it is on this visit.
    pub role: SetupRole,
    /// Rolls of the visit, some at a time, and the one on the machine with them.
    pub rolls: Shown<RollChoice>,
    /// The roll on the machine.
    pub roll: Option<Id<FilmRoll>>,
    /// Turns at the bottom.
    pub bottom_turns: String,
    /// Turns at the top.
    pub top_turns: String,
    /// Pitch or overlap.
    pub spacing_basis: SpacingBasis,
    /// Going up.
    pub spacing_up: Entry,
    /// Going down.
    pub spacing_down: Entry,
    /// Above the floor at the start.
    pub start_height: Entry,
    /// Above the top.
    pub over_top: Entry,
    /// Film-force setting.
    pub film_force: Entry,
    /// Pre-stretch setting.
    pub pre_stretch: Entry,
    /// Notes.
    pub notes: Entry,
    /// Loads, some at a time.
    pub loads: Shown<LoadRow>,
    /// Whether the line has another setup.
    pub can_compare: bool,
    /// What was planned beside what was measured since; empty where it was not planned.
    pub outcome: Block,
    /// Who may change what stands on the panel, and how; blank for what is only written down as found.
    pub care: &'static str,
    /// Which way up the roll goes.
    pub way_up: loading::WayUpView,
}

/// Where the choice of overlap is kept until a value is typed.
const BASIS: &str = "spacing_basis";

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, id: Id<Setup>) -> Result<View, BookError> {
    let book = session.book();
    let setup = book.get(id)?;
    let line = book.get(setup.line)?;
    let units = session.units();
    let settings = &setup.settings;
    let kept_basis = [&settings.up, &settings.down]
        .into_iter()
        .flatten()
        .next()
        .map(basis_of);
    let spacing_basis = kept_basis.unwrap_or(if session.drafted(BASIS).is_some() {
        SpacingBasis::Overlap
    } else {
        SpacingBasis::Pitch
    });
    let spacing = |spiral: &Option<Spiral>| match spiral {
        Some(Spiral::Pitch(length) | Spiral::Overlap(length)) => length.text.clone(),
        None => String::new(),
    };
    let rolls = book.children::<FilmRoll, _>(line.visit)?;
    let on_machine = rolls.iter().find(|roll| Some(roll.id) == setup.film_roll);
    let on_machine = on_machine.cloned();
    let mut rolls = session.shown(List::RollChoices, rolls);
    if let Some(roll) = on_machine
        && !rolls.iter().any(|shown| shown.id == roll.id)
    {
        rolls.rows.insert(0, roll);
    }
    let rolls = rolls.map(|roll| RollChoice {
        id: roll.id,
        name: roll.name.clone(),
        spec: roll_spec(&roll),
    });
    let entry = |field: Field, kept: &str, hint: &str| session.entry(field.name(), kept, hint);
    let length = units.length.symbol();
    let decimal = units.decimal;
    Ok(View {
        name: entry(Field::Name, &setup.name, ""),
        role: setup.role,
        rolls,
        roll: setup.film_roll,
        bottom_turns: turns(settings.bottom_turns, decimal),
        top_turns: turns(settings.top_turns, decimal),
        spacing_basis,
        spacing_up: entry(Field::SpacingUp, &spacing(&settings.up), length),
        spacing_down: entry(Field::SpacingDown, &spacing(&settings.down), length),
        start_height: entry(
            Field::StartHeight,
            written(settings.start_height.as_ref()),
            length,
        ),
        over_top: entry(Field::OverTop, written(settings.over_top.as_ref()), length),
        film_force: entry(Field::FilmForce, &settings.film_force, ""),
        pre_stretch: entry(
            Field::PreStretch,
            written(settings.pre_stretch.as_ref()),
            "%",
        ),
        notes: entry(Field::Notes, &setup.notes, ""),
        loads: load_rows(session, id)?,
        can_compare: compare::has_another(session, setup.line)?,
        outcome: outcome(session, &setup)?,
        care: match setup.role {
            SetupRole::AsFound => "",
            SetupRole::Trial | SetupRole::AsLeft => Care::Panel.word().said(session.language()),
        },
        way_up: loading::way_up(session, &setup, &line)?,
    })
}

fn outcome(session: &Session, setup: &Record<Setup>) -> Result<Block, BookError> {
    let Some(planned) = &setup.planned else {
        return Ok(Block::default());
    };
    let records = plan::records(session, setup.id)?;
    Ok(match planned.method {
        MethodId::TorsionTool => {
            tautbook_core::words::plan::outcome::<TorsionTool>(&records, setup, session.reader())
        }
        MethodId::PullPlate => {
            tautbook_core::words::plan::outcome::<PullPlate>(&records, setup, session.reader())
        }
    })
}

const fn basis_of(spiral: &Spiral) -> SpacingBasis {
    match spiral {
        Spiral::Pitch(_) => SpacingBasis::Pitch,
        Spiral::Overlap(_) => SpacingBasis::Overlap,
    }
}

fn load_rows(session: &Session, id: Id<Setup>) -> Result<Shown<LoadRow>, BookError> {
    let book = session.book();
    let shown = session.shown(List::Loads, book.children::<Load, _>(id)?);
    shown.try_map(|load| {
        let weights = book.children::<FilmWeight, _>(load.id)?;
        Ok(LoadRow {
            id: load.id,
            name: load.name.clone(),
            size: size(&load),
            readings: book.children::<Reading, _>(load.id)?.len(),
            film: film_per_load(&weights, &[])
                .map_or_else(String::new, |film| film_mass(film.mass, session.units())),
            note: note(&load, session.language()),
        })
    })
}

/// Length, width and height as written, a common unit once; empty until one is there.
pub(super) fn size(load: &Load) -> String {
    let sides = [&load.length, &load.width, &load.height];
    if sides.iter().all(|side| side.is_none()) {
        return String::new();
    }
    let mut texts = sides.map(|side| side.as_ref().map_or("?", |side| side.text.as_str()));
    if let Some((_, unit)) = texts[2].rsplit_once(' ') {
        let unit = format!(" {unit}");
        let [length, width, _] = texts;
        if let (Some(length), Some(width)) = (length.strip_suffix(&unit), width.strip_suffix(&unit))
        {
            texts[0] = length;
            texts[1] = width;
        }
    }
    texts.join(" \u{d7} ")
}

fn note(load: &Load, language: Language) -> String {
    let breaks = match load.film_breaks {
        Some(0) | None => String::new(),
        Some(n) => say_count!(
            language,
            usize::try_from(n).unwrap_or(usize::MAX),
            "{n} film break",
            "{n} film breaks"
        ),
    };
    let tail = match load.tail {
        Some(FilmTail::Loose) => say!(language, "tail loose"),
        Some(FilmTail::Secured) | None => String::new(),
    };
    let damage = if load.damage.is_empty() {
        String::new()
    } else {
        say!(language, "damage seen")
    };
    let said = super::listed([breaks, tail, damage]);
    let mut letters = said.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

/// Notes what stands half typed.
pub fn draft(session: &mut Session, field: Field, text: &str) {
    session.draft(field.name(), text);
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session, id: Id<Setup>) {
    for field in Field::ALL {
        if let Some(text) = session.unsettled(field.name()) {
            edit(session, id, *field, &text);
        }
    }
}

/// Keeps what was typed.
pub fn edit(session: &mut Session, id: Id<Setup>, field: Field, text: &str) {
    let units = session.units();
    session.settle(field.name(), text, |session, text| {
        let words = text.trim().to_owned();
        let change = |session: &mut Session, edit: &dyn Fn(&mut Setup)| {
            session.change("edit_setup", id, |setup: &mut Setup| edit(setup))
        };
        match field {
            Field::Name => change(session, &|setup| setup.name.clone_from(&words)),
            Field::Notes => change(session, &|setup| setup.notes.clone_from(&words)),
            Field::FilmForce => change(session, &|setup| {
                setup.settings.film_force.clone_from(&words);
            }),
            Field::StartHeight => {
                let value = optional(parse_length(text, &units.length_typing()))?;
                change(session, &|setup| {
                    setup.settings.start_height.clone_from(&value);
                })
            }
            Field::OverTop => {
                let value = optional(parse_length(text, &units.length_typing()))?;
                change(session, &|setup| setup.settings.over_top.clone_from(&value))
            }
            Field::PreStretch => {
                let typing = Typing::new(units.decimal, RatioUnit::Percent);
                let value = optional(parse_ratio(text, &typing))?;
                change(session, &|setup| {
                    setup.settings.pre_stretch.clone_from(&value);
                })
            }
            Field::SpacingUp | Field::SpacingDown => {
                let basis = view(session, id)?.spacing_basis;
                let value = optional(parse_length(text, &units.length_typing()))?;
                let spiral = value.map(|length| match basis {
                    SpacingBasis::Pitch => Spiral::Pitch(length),
                    SpacingBasis::Overlap => Spiral::Overlap(length),
                });
                let up = field == Field::SpacingUp;
                change(session, &|setup| {
                    let side = if up {
                        &mut setup.settings.up
                    } else {
                        &mut setup.settings.down
                    };
                    side.clone_from(&spiral);
                })
            }
        }
    });
}

/// Chooses pitch or overlap. A value that is there keeps its number and changes its meaning, since
/// it was the meaning that was wrong.
pub fn pick_spacing_basis(session: &mut Session, id: Id<Setup>, basis: SpacingBasis) {
    match basis {
        SpacingBasis::Overlap => session.draft(BASIS, "overlap"),
        SpacingBasis::Pitch => session.drop_draft(BASIS),
    }
    pick(session, id, |setup| {
        for side in [&mut setup.settings.up, &mut setup.settings.down] {
            if let Some(Spiral::Pitch(length) | Spiral::Overlap(length)) = side.take() {
                *side = Some(match basis {
                    SpacingBasis::Pitch => Spiral::Pitch(length),
                    SpacingBasis::Overlap => Spiral::Overlap(length),
                });
            }
        }
    });
}

/// Changes a choice of the setup.
pub fn pick(session: &mut Session, id: Id<Setup>, choose: impl FnOnce(&mut Setup)) {
    let done = session.book.act("edit_setup", |act| act.change(id, choose));
    session.report(done);
}

/// Adds to or takes from the turns at the bottom or top; the first step from blank gives one turn.
pub fn step_turns(session: &mut Session, id: Id<Setup>, at_top: bool, by: f64) {
    pick(session, id, |setup| {
        let settings = &mut setup.settings;
        let side = if at_top {
            &mut settings.top_turns
        } else {
            &mut settings.bottom_turns
        };
        *side = Some(match *side {
            None if by > 0.0 => 1.0,
            None => 0.0,
            Some(turns) => (turns + by).max(0.0),
        });
    });
}

/// Adds a roll of film to the visit, puts it on the machine and opens it.
pub fn add_roll(session: &mut Session, id: Id<Setup>) {
    let visit = session
        .book
        .get(id)
        .and_then(|setup| session.book.get(setup.line))
        .map(|line| line.visit);
    let Some(visit) = session.report(visit) else {
        return;
    };
    if let Some(roll) = add_roll_to(session, visit) {
        pick(session, id, |setup| setup.film_roll = Some(roll));
    }
}

/// The load last added to another setup of the line, latest setup first.
fn load_of_line(session: &Session, id: Id<Setup>) -> Result<Option<Record<Load>>, BookError> {
    let book = session.book();
    let setups = book.children::<Setup, _>(book.get(id)?.line)?;
    for other in setups.iter().rev().filter(|other| other.id != id) {
        if let Some(load) = book.children::<Load, _>(other.id)?.pop() {
            return Ok(Some(load));
        }
    }
    Ok(None)
}

/// Adds a load and opens it. Size, mass and steadiness are those of the load before, which mostly
/// come off the same line; what was seen on that load is not.
pub fn add_load(session: &mut Session, id: Id<Setup>) {
    let loads = session.book.children::<Load, _>(id);
    let Some(loads) = session.report(loads) else {
        return;
    };
    let before = match loads.last() {
        Some(last) => Ok(Some(last.clone())),
        None => load_of_line(session, id),
    };
    let Some(before) = session.report(before) else {
        return;
    };
    let name = next_name(
        |n| say!(session.language(), "Load {n}", n = n),
        loads.iter().map(|load| load.name.as_str()),
    );
    let mut load = Load::new(id, name);
    if let Some(last) = before {
        load.length.clone_from(&last.length);
        load.width.clone_from(&last.width);
        load.height.clone_from(&last.height);
        load.mass.clone_from(&last.mass);
        load.stability = last.stability;
        load.pallet_fit.clone_from(&last.pallet_fit);
    }
    if let Some(load) = session.add("add_load", load) {
        session.go(Place::Load(load.id));
    }
}

/// Shows the results of all loads of the setup, by the method with the most readings.
pub fn open_results(session: &mut Session, id: Id<Setup>) {
    let method = plan::most_read(session, id);
    if let Some(method) = session.report(method) {
        let scope = Scope::Setup(id);
        session.go(Place::Results { scope, method });
    }
}

/// Asks whether to set the setup aside.
pub fn ask_set_aside(session: &mut Session, id: Id<Setup>) {
    let setup = session.book.get(id);
    let Some(setup) = session.report(setup) else {
        return;
    };
    let language = session.language();
    let leaves = say!(
        language,
        "{name} and its loads leave the lists. Nothing is deleted, and you can bring it back.",
        name = setup.name
    );
    let title = say!(language, "Set this setup aside?");
    super::ask_set_aside(session, title, leaves, setup.reference());
}
