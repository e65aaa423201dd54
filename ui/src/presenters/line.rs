//! Line: the product, the wrapper, the film rolls and the setups.

use tautbook_core::analysis::film::film_per_load;
use tautbook_core::book::BookError;
use tautbook_core::say;
use tautbook_core::say_count;
use tautbook_core::survey::{
    FilmRoll, Id, Line, Load, LoadVolume, PreStretch, Rotation, Setup, SetupRole, WrapperKind,
};
use tautbook_core::units::{RatioUnit, TypedError, Typing, parse_count, parse_ratio};
use tautbook_core::words::figures::grouped_count;

use super::figures::film_mass;
use super::{listed, loading, next_name, written};
use crate::lists::{List, Shown};
use crate::place::Place;
use crate::session::{Entry, FieldError, Session, optional};

/// The fields of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// What the site calls it.
    Name,
    /// What is wrapped.
    Product,
    /// Loads a year.
    LoadsAYear,
    /// Loads a shift.
    LoadsAShift,
    /// Shifts a day.
    ShiftsADay,
    /// Days a year.
    DaysAYear,
    /// Make and model.
    MakeAndModel,
    /// Nominal pre-stretch.
    PreStretchRatio,
    /// Condition.
    Condition,
    /// Anything else.
    Notes,
}

impl Field {
    /// Every field of the form.
    const ALL: &'static [Self] = &[
        Self::Name,
        Self::Product,
        Self::LoadsAYear,
        Self::LoadsAShift,
        Self::ShiftsADay,
        Self::DaysAYear,
        Self::MakeAndModel,
        Self::PreStretchRatio,
        Self::Condition,
        Self::Notes,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Product => "product",
            Self::LoadsAYear => "loads_a_year",
            Self::LoadsAShift => "loads_a_shift",
            Self::ShiftsADay => "shifts_a_day",
            Self::DaysAYear => "days_a_year",
            Self::MakeAndModel => "make_model",
            Self::PreStretchRatio => "pre_stretch",
            Self::Condition => "condition",
            Self::Notes => "notes",
        }
    }
}

/// How the number of loads is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoadsBasis {
    /// By the year.
    AYear,
    /// By the shift.
    AShift,
}

/// A film roll of the visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RollRow {
    /// Which.
    pub id: Id<FilmRoll>,
    /// Its name.
    pub name: String,
    /// Thickness, width and length as written.
    pub spec: String,
    /// How it goes on the wrapper, when known.
    pub note: String,
}

/// A setup of the line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetupRow {
    /// Which.
    pub id: Id<Setup>,
    /// Its name.
    pub name: String,
    /// What it is on this visit.
    pub role: SetupRole,
    /// The film on it.
    pub film: String,
    /// What is known of it in a line.
    pub result: String,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// Name.
    pub name: Entry,
    /// Product.
    pub product: Entry,
    /// How the number of loads is known.
    pub loads_basis: LoadsBasis,
    /// Loads a year.
    pub loads_a_year: Entry,
    /// Loads a shift.
    pub loads_a_shift: Entry,
    /// Shifts a day.
    pub shifts_a_day: Entry,
    /// Days a year.
    pub days_a_year: Entry,
    /// What the shifts make in a year.
    pub loads_computed: String,
    /// The wrapper.
    pub wrapper: WrapperKind,
    /// Make and model.
    pub make_model: Entry,
    /// Pre-stretch.
    pub pre_stretch: Option<PreStretch>,
    /// Nominal pre-stretch.
    pub pre_stretch_ratio: Entry,
    /// Rotation seen from above.
    pub rotation: Option<Rotation>,
    /// The way of the film.
    pub way: loading::Way,
    /// Condition.
    pub condition: Entry,
    /// Notes.
    pub notes: Entry,
    /// Film rolls of the visit, some at a time.
    pub rolls: Shown<RollRow>,
    /// Setups, some at a time.
    pub setups: Shown<SetupRow>,
    /// Points of the visit's safety list that are not ticked.
    pub unticked: usize,
}

/// Where the choice between a year and a shift is kept until a number is typed.
const BASIS: &str = "loads_basis";

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, id: Id<Line>) -> Result<View, BookError> {
    let book = session.book();
    let line = book.get(id)?;
    let visit = book.get(line.visit)?;
    let (mut a_year, mut a_shift, mut shifts, mut days, mut computed) = Default::default();
    let mut basis = LoadsBasis::AYear;
    match line.volume {
        Some(LoadVolume::PerYear { loads }) => a_year = loads.to_string(),
        Some(
            volume @ LoadVolume::PerShift {
                loads,
                shifts_a_day,
                days_a_year,
            },
        ) => {
            basis = LoadsBasis::AShift;
            a_shift = loads.to_string();
            shifts = shifts_a_day.to_string();
            days = days_a_year.to_string();
            computed = say!(
                session.language(),
                "{loads} loads a year",
                loads = grouped_count(volume.loads_a_year())
            );
        }
        None => {}
    }
    if session.drafted(BASIS).is_some() {
        basis = LoadsBasis::AShift;
    }
    let entry = |field: Field, kept: &str, hint: &str| session.entry(field.name(), kept, hint);
    Ok(View {
        name: entry(Field::Name, &line.name, ""),
        product: entry(Field::Product, &line.product, ""),
        loads_basis: basis,
        loads_a_year: entry(Field::LoadsAYear, &a_year, ""),
        loads_a_shift: entry(Field::LoadsAShift, &a_shift, ""),
        shifts_a_day: entry(Field::ShiftsADay, &shifts, ""),
        days_a_year: entry(Field::DaysAYear, &days, ""),
        loads_computed: computed,
        wrapper: line.wrapper.kind,
        make_model: entry(Field::MakeAndModel, &line.wrapper.make_model, ""),
        pre_stretch: line.wrapper.pre_stretch,
        pre_stretch_ratio: entry(
            Field::PreStretchRatio,
            written(line.wrapper.nominal_pre_stretch.as_ref()),
            "%",
        ),
        rotation: line.wrapper.rotation,
        way: loading::way(&line.wrapper, session.language()),
        condition: entry(Field::Condition, &line.wrapper.condition, ""),
        notes: entry(Field::Notes, &line.notes, ""),
        rolls: session
            .shown(List::Rolls, book.children::<FilmRoll, _>(line.visit)?)
            .map(|roll| RollRow {
                id: roll.id,
                name: roll.name.clone(),
                spec: roll_spec(&roll),
                note: loading::short(&line.wrapper, roll.cling, session.language()),
            }),
        setups: setup_rows(session, id)?,
        unticked: visit.safety.iter().filter(|item| !item.done).count(),
    })
}

/// Thickness, width and length of a roll as written on it.
pub(super) fn roll_spec(roll: &FilmRoll) -> String {
    listed([
        written(roll.nominal_thickness.as_ref()).to_owned(),
        written(roll.width.as_ref()).to_owned(),
        written(roll.length.as_ref()).to_owned(),
    ])
}

fn setup_rows(session: &Session, id: Id<Line>) -> Result<Shown<SetupRow>, BookError> {
    let book = session.book();
    let language = session.language();
    let shown = session.shown(List::Setups, book.children::<Setup, _>(id)?);
    shown.try_map(|setup| {
        let film = match setup.film_roll {
            Some(roll) => book.get(roll)?.body.name,
            None => String::new(),
        };
        let loads = book.children::<Load, _>(setup.id)?;
        let mut weights = Vec::new();
        for load in &loads {
            weights.extend(book.children(load.id)?);
        }
        let film_mass = film_per_load(&weights, &[]).map_or_else(String::new, |film| {
            say!(
                language,
                "film {mass} a load",
                mass = film_mass(film.mass, session.units())
            )
        });
        let loads = if loads.is_empty() {
            String::new()
        } else {
            say_count!(language, loads.len(), "{n} load", "{n} loads")
        };
        Ok(SetupRow {
            id: setup.id,
            name: setup.name.clone(),
            role: setup.role,
            film,
            result: listed([loads, film_mass]),
        })
    })
}

/// Notes what stands half typed.
pub fn draft(session: &mut Session, field: Field, text: &str) {
    session.draft(field.name(), text);
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session, id: Id<Line>) {
    for field in Field::ALL {
        if let Some(text) = session.unsettled(field.name()) {
            edit(session, id, *field, &text);
        }
    }
}

/// Keeps what was typed.
pub fn edit(session: &mut Session, id: Id<Line>, field: Field, text: &str) {
    let units = session.units();
    session.settle(field.name(), text, |session, text| {
        let words = text.trim().to_owned();
        let change = |session: &mut Session, edit: &dyn Fn(&mut Line)| {
            session.change("edit_line", id, |line: &mut Line| edit(line))
        };
        match field {
            Field::Name => change(session, &|line| line.name.clone_from(&words)),
            Field::Product => change(session, &|line| line.product.clone_from(&words)),
            Field::MakeAndModel => {
                change(session, &|line| line.wrapper.make_model.clone_from(&words))
            }
            Field::Condition => change(session, &|line| line.wrapper.condition.clone_from(&words)),
            Field::Notes => change(session, &|line| line.notes.clone_from(&words)),
            Field::PreStretchRatio => {
                let typing = Typing::new(units.decimal, RatioUnit::Percent);
                let ratio = optional(parse_ratio(text, &typing))?;
                change(session, &|line| {
                    line.wrapper.nominal_pre_stretch.clone_from(&ratio);
                })
            }
            Field::LoadsAYear => {
                let loads = optional(parse_count(text, units.decimal))?;
                change(session, &|line| {
                    line.volume = loads.map(|loads| LoadVolume::PerYear { loads });
                })
            }
            Field::LoadsAShift | Field::ShiftsADay | Field::DaysAYear => {
                edit_shift(session, id, field, text)
            }
        }
    });
}

/// Keeps a number of loads by the shift once its three parts are there; until then each stands as
/// typed.
fn edit_shift(
    session: &mut Session,
    id: Id<Line>,
    field: Field,
    text: &str,
) -> Result<(), FieldError> {
    let decimal = session.units().decimal;
    let volume = session.book.get(id)?.volume;
    let (loads, shifts, days) = match volume {
        Some(LoadVolume::PerShift {
            loads,
            shifts_a_day,
            days_a_year,
        }) => (Some(loads), Some(shifts_a_day), Some(days_a_year)),
        Some(LoadVolume::PerYear { .. }) | None => (None, None, None),
    };
    let mut wrong = false;
    let mut part = |of: Field, kept: Option<u32>| -> Result<Option<u32>, FieldError> {
        if of == field {
            return optional(parse_count(text, decimal));
        }
        match session.drafted(of.name()) {
            Some(typed) => Ok(match parse_count(&typed.text, decimal) {
                Ok(count) => Some(count),
                Err(TypedError::Blank) => None,
                Err(_) => {
                    wrong = true;
                    None
                }
            }),
            None => Ok(kept),
        }
    };
    let parts = (
        part(Field::LoadsAShift, loads)?,
        part(Field::ShiftsADay, shifts)?,
        part(Field::DaysAYear, days)?,
    );
    let kept = match parts {
        (Some(loads), Some(shifts_a_day), Some(days_a_year)) => Some(LoadVolume::PerShift {
            loads,
            shifts_a_day,
            days_a_year,
        }),
        (None, None, None) if !wrong => None,
        _ => {
            return Err(FieldError::Text(say!(
                session.language(),
                "kept when loads a shift, shifts a day and days a year are all there"
            )));
        }
    };
    session.change("edit_line", id, |line: &mut Line| line.volume = kept)?;
    for field in [Field::LoadsAShift, Field::ShiftsADay, Field::DaysAYear] {
        session.drop_draft(field.name());
    }
    session.drop_draft(BASIS);
    Ok(())
}

/// Chooses how the number of loads is given.
pub fn pick_loads_basis(session: &mut Session, id: Id<Line>, basis: LoadsBasis) {
    match basis {
        LoadsBasis::AShift => session.draft(BASIS, "shift"),
        LoadsBasis::AYear => {
            session.drop_draft(BASIS);
            // What the shifts made in a year stands on as the number for the year.
            let volume = session.book.get(id).map(|line| line.body.volume);
            if let Some(Some(volume @ LoadVolume::PerShift { .. })) = session.report(volume) {
                let loads = u32::try_from(volume.loads_a_year()).unwrap_or(u32::MAX);
                let done = session.book.act("edit_line", |act| {
                    act.change(id, |line: &mut Line| {
                        line.volume = Some(LoadVolume::PerYear { loads });
                    })
                });
                session.report(done);
            }
        }
    }
}

/// Changes a choice of the line.
pub fn pick(session: &mut Session, id: Id<Line>, choose: impl FnOnce(&mut Line)) {
    let done = session.book.act("edit_line", |act| act.change(id, choose));
    session.report(done);
}

/// Adds a roll of film to the visit and opens it.
pub fn add_roll(session: &mut Session, id: Id<Line>) {
    let visit = session.book.get(id).map(|line| line.visit);
    let Some(visit) = session.report(visit) else {
        return;
    };
    add_roll_to(session, visit);
}

/// Adds a roll of film to a visit and opens it.
pub(super) fn add_roll_to(
    session: &mut Session,
    visit: Id<tautbook_core::survey::Visit>,
) -> Option<Id<FilmRoll>> {
    let rolls = session.book.children::<FilmRoll, _>(visit);
    let rolls = session.report(rolls)?;
    let name = next_name(
        |n| say!(session.language(), "Film {n}", n = n),
        rolls.iter().map(|roll| roll.name.as_str()),
    );
    let roll = session.add("add_film_roll", FilmRoll::new(visit, name))?;
    session.go(Place::FilmRoll(roll.id));
    Some(roll.id)
}

/// Adds a setup and opens it. The first is as found; a later one starts from the one before, as a
/// trial.
pub fn add_setup(session: &mut Session, id: Id<Line>) {
    let setups = session.book.children::<Setup, _>(id);
    let Some(setups) = session.report(setups) else {
        return;
    };
    let setup = match setups.last() {
        None => Setup::new(id, say!(session.language(), "As found"), SetupRole::AsFound),
        Some(last) => {
            let trials: Vec<&str> = setups
                .iter()
                .filter(|setup| setup.role == SetupRole::Trial)
                .map(|setup| setup.name.as_str())
                .collect();
            Setup {
                name: next_name(
                    |n| say!(session.language(), "Trial {n}", n = n),
                    trials.into_iter(),
                ),
                role: SetupRole::Trial,
                notes: String::new(),
                planned: None,
                margins: Vec::new(),
                ..last.body.clone()
            }
        }
    };
    if let Some(setup) = session.add("add_setup", setup) {
        session.go(Place::Setup(setup.id));
    }
}

/// Asks whether to set the line aside.
pub fn ask_set_aside(session: &mut Session, id: Id<Line>) {
    let line = session.book.get(id);
    let Some(line) = session.report(line) else {
        return;
    };
    let language = session.language();
    let leaves = say!(
        language,
        "{name} and its setups and loads leave the lists. Nothing is deleted, and you can bring it back.",
        name = line.name
    );
    let title = say!(language, "Set this line aside?");
    super::ask_set_aside(session, title, leaves, line.reference());
}
