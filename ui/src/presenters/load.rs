//! Load: its size and state, and the way to its readings, film and results.

use tautbook_core::analysis::film::film_per_load;
use tautbook_core::analysis::sizes::Size;
use tautbook_core::book::{BookError, Which};
use tautbook_core::say;
use tautbook_core::say_count;
use tautbook_core::survey::{
    FilmTail, FilmWeight, FilmWidth, Id, Load, Moment, PalletFit, Reading, Record, SetAside,
    Stability, Zone,
};
use tautbook_core::units::{
    Containment, Entered, Length, Method, MethodId, PullPlate, TorsionTool, UnitChoice,
    parse_length, parse_mass,
};
use tautbook_core::words::dates::short_date;

use super::figures::{film_mass, written_force};
use super::read::{self, PLANNED};
use super::{load_mass_typing, load_mass_unit, sized, written};
use crate::place::{Place, Scope};
use crate::session::{Entry, FieldError, Session, optional};

/// The fields of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// Number or name.
    Name,
    /// Along the front.
    Length,
    /// Along the side.
    Width,
    /// With the pallet.
    Height,
    /// With the pallet.
    Mass,
    /// How far it stands over or back.
    FitAmount,
    /// Width of the film as it lies on the load.
    FilmWidth,
    /// Damage seen.
    Damage,
    /// Anything else.
    Notes,
}

impl Field {
    /// Every field of the form.
    const ALL: &'static [Self] = &[
        Self::Name,
        Self::Length,
        Self::Width,
        Self::Height,
        Self::Mass,
        Self::FitAmount,
        Self::FilmWidth,
        Self::Damage,
        Self::Notes,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Length => "length",
            Self::Width => "width",
            Self::Height => "height",
            Self::Mass => "mass",
            Self::FitAmount => "fit_amount",
            Self::FilmWidth => "film_width",
            Self::Damage => "damage",
            Self::Notes => "notes",
        }
    }
}

/// How the load sits on its pallet, before it is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// Edge to edge.
    Flush,
    /// Over the edge.
    Overhang,
    /// Back from the edge.
    Inset,
}

impl Fit {
    const fn name(self) -> &'static str {
        match self {
            Self::Flush => "flush",
            Self::Overhang => "overhang",
            Self::Inset => "inset",
        }
    }

    fn from_name(name: &str) -> Option<Self> {
        [Self::Flush, Self::Overhang, Self::Inset]
            .into_iter()
            .find(|fit| fit.name() == name)
    }
}

/// What was read by one method.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodSummary {
    /// The method.
    pub method: MethodId,
    /// Readings in use.
    pub count: usize,
    /// Readings a full set has.
    pub planned: usize,
    /// How many of those are taken: more of one zone do not stand for another.
    pub of_planned: usize,
    /// The lowest and its zone; `None` without readings.
    pub lowest: Option<(String, Zone)>,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// Name.
    pub name: Entry,
    /// Length.
    pub length: Entry,
    /// Width.
    pub width: Entry,
    /// Height.
    pub height: Entry,
    /// Mass.
    pub mass: Entry,
    /// How it stands.
    pub stability: Option<Stability>,
    /// How it sits on the pallet.
    pub fit: Option<Fit>,
    /// How far over or back.
    pub fit_amount: Entry,
    /// Width of the film on the load.
    pub film_width: Entry,
    /// The hour when it was wrapped; blank where that is not noted.
    pub wrapped: String,
    /// And the day.
    pub wrapped_on: String,
    /// Film breaks; `None` when not looked at.
    pub film_breaks: Option<u32>,
    /// The end of the film.
    pub tail: Option<FilmTail>,
    /// Whether it arrived whole once shipped; `None` when that is not known.
    pub arrived_whole: Option<bool>,
    /// Damage.
    pub damage: Entry,
    /// Notes.
    pub notes: Entry,
    /// The methods that have readings.
    pub summaries: Vec<MethodSummary>,
    /// Film weighed.
    pub film: String,
    /// Until when it is kept as a sample, in words; blank where it is not.
    pub kept: String,
    /// Readings and weighings, those set aside with them.
    pub measured: usize,
    /// How many of them are set aside.
    pub aside: usize,
    /// Photos of the load and of its readings.
    pub photos: usize,
}

/// Where the choice of how it sits is kept until it is measured.
const FIT: &str = "fit";

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, id: Id<Load>) -> Result<View, BookError> {
    let book = session.book();
    let load = book.get(id)?;
    let units = session.units();
    let all = book.children_which::<Reading, _>(id, Which::All)?;
    let weighings = book.children_which::<FilmWeight, _>(id, Which::All)?;
    let measured = all.len() + weighings.len();
    let (readings, readings_aside) = in_use(all);
    let (weighings, weighings_aside) = in_use(weighings);
    let chosen = session
        .drafted(FIT)
        .and_then(|typed| Fit::from_name(&typed.text));
    let (kept_fit, fit_amount) = match &load.pallet_fit {
        None => (None, ""),
        Some(PalletFit::Flush) => (Some(Fit::Flush), ""),
        Some(PalletFit::Overhang(by)) => (Some(Fit::Overhang), by.text.as_str()),
        Some(PalletFit::Inset(by)) => (Some(Fit::Inset), by.text.as_str()),
    };
    let entry = |field: Field, kept: &str, hint: &str| session.entry(field.name(), kept, hint);
    let length = units.length.symbol();
    let side = |field: Field, size: Size, value: Option<&Entered<Length>>| {
        let entry = entry(field, written(value), length);
        sized(session.language(), entry, size, value, |length| length.m())
    };
    let widths = book.children::<FilmWidth, _>(id)?;
    let width = widths.last().map(|width| &width.value);
    let mass_hint = load_mass_unit(units).symbol();
    let summaries = [
        summary::<TorsionTool>(&readings, units),
        summary::<PullPlate>(&readings, units),
    ];
    Ok(View {
        name: entry(Field::Name, &load.name, ""),
        length: side(Field::Length, Size::LoadSide, load.length.as_ref()),
        width: side(Field::Width, Size::LoadSide, load.width.as_ref()),
        height: side(Field::Height, Size::LoadHeight, load.height.as_ref()),
        mass: sized(
            session.language(),
            entry(Field::Mass, written(load.mass.as_ref()), mass_hint),
            Size::LoadMass,
            load.mass.as_ref(),
            |mass| mass.kg(),
        ),
        stability: load.stability,
        fit: chosen.or(kept_fit),
        fit_amount: entry(Field::FitAmount, fit_amount, length),
        film_width: sized(
            session.language(),
            entry(Field::FilmWidth, written(width), length),
            Size::FilmWidth,
            width,
            |length| length.m(),
        ),
        wrapped: load
            .wrapped_at
            .map_or_else(String::new, |at| at.date_time().format("%H:%M").to_string()),
        wrapped_on: load.wrapped_at.map_or_else(String::new, |at| {
            short_date(at.date_time().date_naive(), session.language())
        }),
        film_breaks: load.film_breaks,
        tail: load.tail,
        arrived_whole: load.shipped_undamaged,
        damage: entry(Field::Damage, &load.damage, ""),
        notes: entry(Field::Notes, &load.notes, ""),
        summaries: summaries
            .into_iter()
            .filter(|summary| summary.count > 0)
            .collect(),
        kept: super::keep::kept_words(session, id)?,
        measured,
        aside: readings_aside + weighings_aside,
        photos: super::photos::how_many(session, load.reference())?,
        film: film_per_load(&weighings, &[]).map_or_else(String::new, |film| {
            let loads = usize::try_from(film.loads).unwrap_or(usize::MAX);
            let mass = film_mass(film.mass, units);
            match loads {
                1 => mass,
                _ => say_count!(
                    session.language(),
                    loads,
                    "{mass}, from {n} load",
                    "{mass}, from {n} loads",
                    mass = mass
                ),
            }
        }),
    })
}

/// Those in use, and how many are set aside.
fn in_use<T>(all: Vec<Record<T>>) -> (Vec<Record<T>>, usize) {
    let (aside, used): (Vec<_>, Vec<_>) = all.into_iter().partition(|it| it.set_aside.is_some());
    (used, aside.len())
}

fn summary<M: Method>(readings: &[Record<Reading>], units: UnitChoice) -> MethodSummary {
    let by: Vec<(&Record<Reading>, Containment<M>)> = readings
        .iter()
        .filter_map(|reading| Some((reading, reading.measure.containment::<M>()?)))
        .collect();
    let lowest = by
        .iter()
        .min_by(|(_, one), (_, other)| one.total_cmp(other))
        .map(|(reading, _)| {
            let shown = written_force(reading.measure.written(), units);
            (shown, reading.zone.clone())
        });
    MethodSummary {
        method: M::ID,
        count: by.len(),
        planned: PLANNED,
        of_planned: read::of_planned(by.iter().map(|(reading, _)| &reading.zone)),
        lowest,
    }
}

/// Notes what stands half typed.
pub fn draft(session: &mut Session, field: Field, text: &str) {
    session.draft(field.name(), text);
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session, id: Id<Load>) {
    for field in Field::ALL {
        if let Some(text) = session.unsettled(field.name()) {
            edit(session, id, *field, &text);
        }
    }
}

/// Keeps what was typed.
pub fn edit(session: &mut Session, id: Id<Load>, field: Field, text: &str) {
    let units = session.units();
    session.settle(field.name(), text, |session, text| {
        let words = text.trim().to_owned();
        let change = |session: &mut Session, edit: &dyn Fn(&mut Load)| {
            session.change("edit_load", id, |load: &mut Load| edit(load))
        };
        let length = || optional(parse_length(text, &units.length_typing()));
        match field {
            Field::Name => change(session, &|load| load.name.clone_from(&words)),
            Field::Damage => change(session, &|load| load.damage.clone_from(&words)),
            Field::Notes => change(session, &|load| load.notes.clone_from(&words)),
            Field::Length => {
                let value = length()?;
                change(session, &|load| load.length.clone_from(&value))
            }
            Field::Width => {
                let value = length()?;
                change(session, &|load| load.width.clone_from(&value))
            }
            Field::Height => {
                let value = length()?;
                change(session, &|load| load.height.clone_from(&value))
            }
            Field::Mass => {
                let value = optional(parse_mass(text, &load_mass_typing(units)))?;
                change(session, &|load| load.mass.clone_from(&value))
            }
            Field::FilmWidth => keep_film_width(session, id, length()?),
            Field::FitAmount => {
                let fit = view(session, id)?.fit;
                let value = length()?;
                let pallet_fit = match (fit, value) {
                    (Some(Fit::Overhang), Some(by)) => Some(PalletFit::Overhang(by)),
                    (Some(Fit::Inset), Some(by)) => Some(PalletFit::Inset(by)),
                    (Some(Fit::Flush), None) => Some(PalletFit::Flush),
                    (_, None) => None,
                    (Some(Fit::Flush) | None, Some(_)) => {
                        return Err(FieldError::Text(say!(
                            session.language(),
                            "choose first whether it overhangs or stands in"
                        )));
                    }
                };
                change(session, &|load| load.pallet_fit.clone_from(&pallet_fit))?;
                if pallet_fit.is_some() {
                    session.drop_draft(FIT);
                }
                Ok(())
            }
        }
    });
}

/// Keeps the width of the film on the load: the one measured last, where there are several. Blank sets it
/// aside.
fn keep_film_width(
    session: &mut Session,
    id: Id<Load>,
    value: Option<Entered<Length>>,
) -> Result<(), FieldError> {
    let widths = session.book.children::<FilmWidth, _>(id)?;
    match (widths.last(), value) {
        (None, None) => Ok(()),
        (Some(_), None) => {
            session.book.act("set_aside", |act| {
                for width in &widths {
                    act.set_aside(width.id, SetAside::BY_HAND)?;
                }
                Ok(())
            })?;
            Ok(())
        }
        (Some(kept), Some(value)) => {
            let now = session.book.now();
            session.change("edit_film_width", kept.id, |width| {
                width.value = value;
                width.taken_at = now;
            })
        }
        (None, Some(value)) => {
            session.book.act("measure_film_width", |act| {
                let taken_at = act.now();
                act.add(FilmWidth {
                    load: id,
                    value,
                    taken_at,
                    notes: String::new(),
                })
            })?;
            Ok(())
        }
    }
}

/// A step of the time when it was wrapped.
const WRAPPED_STEP_MS: i64 = 5 * 60_000;

/// Notes that the load was wrapped just now; or earlier or later than is noted, but not later than now.
pub fn step_wrapped(session: &mut Session, id: Id<Load>, later: bool) {
    let now = session.book.now();
    let load = session.book.get(id);
    let Some(load) = session.report(load) else {
        return;
    };
    let wrapped = match load.wrapped_at {
        None => now,
        Some(at) => {
            let step = if later {
                WRAPPED_STEP_MS
            } else {
                -WRAPPED_STEP_MS
            };
            let stepped = Moment::from_unix_ms(at.unix_ms() + step, at.offset_minutes());
            stepped
                .filter(|at| at.unix_ms() < now.unix_ms())
                .unwrap_or(now)
        }
    };
    note_wrapped(session, id, Some(wrapped));
}

/// Notes that it is not known when the load was wrapped.
pub fn forget_wrapped(session: &mut Session, id: Id<Load>) {
    note_wrapped(session, id, None);
}

/// Notes when the load was wrapped, and with each of its readings how long after that it was taken.
fn note_wrapped(session: &mut Session, id: Id<Load>, wrapped: Option<Moment>) {
    let readings = session.book.children::<Reading, _>(id);
    let Some(readings) = session.report(readings) else {
        return;
    };
    let done = session.book.act("note_wrapped", |act| {
        act.change(id, |load: &mut Load| load.wrapped_at = wrapped)?;
        for reading in &readings {
            act.change(reading.id, |reading: &mut Reading| {
                reading.minutes_since_wrapping =
                    wrapped.and_then(|wrapped| read::minutes(wrapped, reading.taken_at));
            })?;
        }
        Ok(())
    });
    session.report(done);
}

/// Chooses how the load sits on its pallet; an amount that is there stays.
pub fn pick_fit(session: &mut Session, id: Id<Load>, fit: Fit) {
    let load = session.book.get(id);
    let Some(load) = session.report(load) else {
        return;
    };
    let amount = match load.body.pallet_fit {
        Some(PalletFit::Overhang(by) | PalletFit::Inset(by)) => Some(by),
        Some(PalletFit::Flush) | None => None,
    };
    let kept = match (fit, amount) {
        (Fit::Flush, _) => Some(PalletFit::Flush),
        (Fit::Overhang, Some(by)) => Some(PalletFit::Overhang(by)),
        (Fit::Inset, Some(by)) => Some(PalletFit::Inset(by)),
        (Fit::Overhang | Fit::Inset, None) => None,
    };
    if kept.is_some() {
        session.drop_draft(FIT);
        pick(session, id, |load| load.pallet_fit = kept);
    } else {
        session.draft(FIT, fit.name());
    }
    // What was typed before it was known which way it stands.
    if fit != Fit::Flush
        && let Some(typed) = session.drafted(Field::FitAmount.name())
    {
        let text = typed.text.clone();
        edit(session, id, Field::FitAmount, &text);
    }
}

/// Changes a choice of the load.
pub fn pick(session: &mut Session, id: Id<Load>, choose: impl FnOnce(&mut Load)) {
    let done = session.book.act("edit_load", |act| act.change(id, choose));
    session.report(done);
}

/// Adds to or takes from the film breaks; the first step down from blank says none were seen.
pub fn step_film_breaks(session: &mut Session, id: Id<Load>, more: bool) {
    pick(session, id, |load| {
        load.film_breaks = Some(match (load.film_breaks, more) {
            (None, true) => 1,
            (None, false) => 0,
            (Some(breaks), true) => breaks.saturating_add(1),
            (Some(breaks), false) => breaks.saturating_sub(1),
        });
    });
}

/// Goes to read by the method last used on this load, or else the one last used on this device.
pub fn read(session: &mut Session, id: Id<Load>) {
    let readings = session.book.children::<Reading, _>(id);
    let Some(readings) = session.report(readings) else {
        return;
    };
    let method = match readings.last() {
        Some(last) => last.measure.method(),
        None => read::last_method(session),
    };
    read_by(session, id, method);
}

/// Goes to read by a method.
pub fn read_by(session: &mut Session, id: Id<Load>, method: MethodId) {
    read::open(session, id, method);
}

/// Goes to weigh the film.
pub fn weigh(session: &mut Session, id: Id<Load>) {
    session.go(Place::Weigh(id));
}

/// Goes to the photos of the load.
pub fn open_photos(session: &mut Session, id: Id<Load>) {
    super::photos::open(session, id.reference());
}

/// Shows the results of this load, by the method last used on it.
pub fn open_results(session: &mut Session, id: Id<Load>) {
    let readings = session.book.children::<Reading, _>(id);
    let Some(readings) = session.report(readings) else {
        return;
    };
    let method = readings
        .last()
        .map_or(MethodId::TorsionTool, |reading| reading.measure.method());
    session.go(Place::Results {
        scope: Scope::Load(id),
        method,
    });
}

/// Asks whether to set the load aside.
pub fn ask_set_aside(session: &mut Session, id: Id<Load>) {
    let load = session.book.get(id);
    let Some(load) = session.report(load) else {
        return;
    };
    let language = session.language();
    let leaves = say!(
        language,
        "{name} and its readings leave the lists and the results. Nothing is deleted, and you can bring it back.",
        name = load.name
    );
    let title = say!(language, "Set this load aside?");
    super::ask_set_aside(session, title, leaves, load.reference());
}
