//! Weigh: film cut off and weighed, after the caution about cutting.

use tautbook_core::analysis::film::{film_per_load, net_mass};
use tautbook_core::book::BookError;
use tautbook_core::say;
use tautbook_core::say_count;
use tautbook_core::survey::{CautionKind, FilmWeight, Id, Load, Record, SetAside, ToolKind, Visit};
use tautbook_core::units::{Entered, Mass, TypedError, parse_mass};

use super::caution;
use super::figures::film_mass;
use super::tools::Used;
use super::typing::{Figure, Pad, PadUnit, short};
use crate::lists::{List, Shown};
use crate::session::{Entry, FieldError, Notice, NoticeAct, Question, Session, Tone, WhenYes};

/// Which mass is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// What the scale shows.
    Gross,
    /// Bag or box.
    Tare,
}

impl Part {
    const fn field(self) -> &'static str {
        match self {
            Self::Gross => "gross",
            Self::Tare => "tare",
        }
    }
}

/// One weighing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WeighRow {
    /// Which.
    pub id: Id<FilmWeight>,
    /// Net.
    pub net: String,
    /// Gross and tare, as written.
    pub detail: String,
    /// How many loads, and what was noted.
    pub note: String,
    /// Set aside.
    pub aside: bool,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// The caution was acknowledged on this visit today.
    pub acknowledged: bool,
    /// It is kept as a sample: its film is not to be cut.
    pub is_sample: bool,
    /// The weighings, some at a time.
    pub weighings: Shown<WeighRow>,
    /// There is one to undo.
    pub can_undo: bool,
    /// The scale that the weighing will name; `None` where none is noted.
    pub scale: Option<Used>,
    /// A note on the scale.
    pub scale_note: Entry,
    /// How many loads' film lies on the scale.
    pub loads_together: u32,
    /// The keypad is up, for this part.
    pub typing: Option<Part>,
    /// What is typed.
    pub figure: Figure,
    /// Gross as typed so far.
    pub gross: String,
    /// Tare as typed so far.
    pub tare: String,
    /// Net as far as it can be said.
    pub net: String,
    /// What is wrong.
    pub error: String,
    /// The word on the unit key.
    pub unit_key: &'static str,
}

/// Fields that hold what is half done.
const LOADS: &str = "loads_together";
const PART: &str = "part";
const NOTE: &str = "scale_note";

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, load: Id<Load>) -> Result<View, BookError> {
    let book = session.book();
    let units = session.units();
    let chosen = PadUnit::mass(units.mass);
    let weights = book.children_which::<FilmWeight, _>(load, tautbook_core::book::Which::All)?;
    // Begun yesterday, it waits until the caution is read today.
    let acknowledged = acknowledged(session, load)?;
    let typing = typing(session).filter(|_| acknowledged);
    let (gross, tare) = (pad(session, Part::Gross), pad(session, Part::Tare));
    let shown = match typing {
        Some(Part::Tare) => &tare,
        Some(Part::Gross) | None => &gross,
    };
    let unit = shown.unit(chosen);
    let net = net_typed(session).map_or_else(String::new, |net| film_mass(net, units));
    let error = typing
        .and_then(|part| session.drafted(part.field()))
        .and_then(|typed| typed.short_error(session.language()))
        .unwrap_or_default();
    Ok(View {
        acknowledged,
        is_sample: typing.is_none() && super::keep::kept(session, load)?.is_some(),
        can_undo: weights.iter().any(|weight| weight.set_aside.is_none()),
        weighings: session
            .shown(List::Weighings, weights)
            .map(|weight| row(session, &weight)),
        // The keypad covers it: not looked up at every key.
        scale: match typing {
            Some(_) => None,
            None => super::tools::used(session, ToolKind::FilmScale)?,
        },
        scale_note: session.entry(NOTE, "", ""),
        loads_together: loads_together(session),
        typing,
        figure: shown.figure(unit, units.decimal),
        gross: gross.text(gross.unit(chosen), units.decimal),
        tare: tare.text(tare.unit(chosen), units.decimal),
        net,
        error,
        unit_key: unit.key(),
    })
}

/// A mass on each of some loads.
fn each(mass: Mass, loads: u32) -> Option<Mass> {
    Mass::from_kg(mass.kg() / f64::from(loads)).ok()
}

fn row(session: &Session, weight: &Record<FilmWeight>) -> WeighRow {
    let language = session.language();
    let loads = usize::try_from(weight.loads_together).unwrap_or(usize::MAX);
    let tare = weight.tare.as_ref().map_or_else(String::new, |tare| {
        say!(language, "tare {mass}", mass = tare.text)
    });
    let mass = net_mass(weight);
    WeighRow {
        id: weight.id,
        net: mass.map_or_else(String::new, |net| {
            say!(
                language,
                "{mass} net",
                mass = film_mass(net, session.units())
            )
        }),
        detail: super::listed([
            say!(language, "gross {mass}", mass = weight.gross.text),
            tare,
        ]),
        note: super::listed([
            match mass.and_then(|net| each(net, weight.loads_together)) {
                Some(each) if loads > 1 => say_count!(
                    language,
                    loads,
                    "{n} load, {mass} a load",
                    "{n} loads, {mass} a load",
                    mass = film_mass(each, session.units())
                ),
                Some(_) | None => say_count!(language, loads, "{n} load", "{n} loads"),
            },
            weight.notes.clone(),
        ]),
        aside: weight.set_aside.is_some(),
    }
}

fn typing(session: &Session) -> Option<Part> {
    match session.drafted(PART)?.text.as_str() {
        "gross" => Some(Part::Gross),
        "tare" => Some(Part::Tare),
        _ => None,
    }
}

fn pad(session: &Session, part: Part) -> Pad {
    session
        .drafted(part.field())
        .map(|typed| Pad::recall(&typed.text))
        .unwrap_or_default()
}

fn loads_together(session: &Session) -> u32 {
    session
        .drafted(LOADS)
        .and_then(|typed| typed.text.parse().ok())
        .unwrap_or(1)
}

/// Whether the caution about cutting film was read on the load's visit today.
fn acknowledged(session: &Session, load: Id<Load>) -> Result<bool, BookError> {
    let Some(visit) = visit_of(session, load)? else {
        return Ok(false);
    };
    let kept = caution::acknowledged(session, (visit, None), CautionKind::CuttingFilm)?;
    Ok(kept.is_some())
}

fn visit_of(session: &Session, load: Id<Load>) -> Result<Option<Id<Visit>>, BookError> {
    session.book().visit_of(load.reference())
}

/// Notes that the caution was read, with its time; or takes that back.
pub fn acknowledge(session: &mut Session, load: Id<Load>, read: bool) {
    let done = visit_of(session, load).and_then(|visit| {
        visit.map_or(Ok(()), |visit| {
            caution::acknowledge(session, (visit, None), CautionKind::CuttingFilm, read)
        })
    });
    session.report(done);
}

/// Adds to or takes from the number of loads weighed together.
pub fn step_loads(session: &mut Session, more: bool) {
    let loads = loads_together(session);
    let loads = if more {
        loads.saturating_add(1)
    } else {
        loads.saturating_sub(1).max(1)
    };
    session.draft(LOADS, &loads.to_string());
}

/// Notes what is written about the scale; it goes with the next weighing.
pub fn note_scale(session: &mut Session, text: &str) {
    session.draft(NOTE, text);
}

/// Brings the keypad up.
pub fn start(session: &mut Session) {
    session.close_notice();
    session.draft(PART, Part::Gross.field());
}

/// Takes the keypad away; what was typed stands there still when it comes back. Whether it was up.
pub fn put_away(session: &mut Session) -> bool {
    let up = typing(session).is_some();
    session.drop_draft(PART);
    up
}

/// Chooses which mass is typed.
pub fn pick_part(session: &mut Session, part: Part) {
    session.draft(PART, part.field());
}

/// Takes a key of the keypad.
pub fn key(session: &mut Session, key: &str) {
    let unit = PadUnit::mass(session.units().mass);
    type_on_pad(session, |pad| pad.key(key, unit));
}

/// Takes back the last key.
pub fn erase(session: &mut Session) {
    type_on_pad(session, Pad::erase);
}

fn type_on_pad(session: &mut Session, change: impl FnOnce(&mut Pad)) {
    let Some(part) = typing(session) else { return };
    let mut pad = pad(session, part);
    change(&mut pad);
    if pad.is_empty() {
        session.drop_draft(part.field());
    } else {
        session.draft(part.field(), &pad.remember());
    }
}

/// A mass as typed; `None` for a blank tare.
fn typed(session: &Session, part: Part) -> Result<Option<Entered<Mass>>, FieldError> {
    let units = session.units();
    let pad = pad(session, part);
    let text = pad.text(pad.unit(PadUnit::mass(units.mass)), units.decimal);
    match parse_mass(&text, &units.mass_typing()) {
        Ok(mass) => Ok(Some(mass)),
        Err(TypedError::Blank) if part == Part::Tare => Ok(None),
        Err(error) => Err(FieldError::Text(short(&error, session.language()))),
    }
}

fn net_typed(session: &Session) -> Option<Mass> {
    let gross = typed(session, Part::Gross).ok()??;
    match typed(session, Part::Tare).ok()? {
        Some(tare) => gross.value - tare.value,
        None => Some(gross.value),
    }
}

/// On gross: goes on to tare. On tare: keeps the weighing, or asks about it.
pub fn save(session: &mut Session, load: Id<Load>) {
    match typing(session) {
        Some(Part::Gross) => {
            let text = pad(session, Part::Gross).remember();
            let mut fine = false;
            session.settle_pad(Part::Gross.field(), &text, |session, _| {
                typed(session, Part::Gross)?;
                fine = true;
                Err(FieldError::Asked) // Kept with the tare; until then what was typed stays.
            });
            if fine {
                pick_part(session, Part::Tare);
            }
        }
        Some(Part::Tare) => try_keep(session, load, false),
        None => {}
    }
}

/// Keeps the weighing as typed, the question having been answered with yes.
pub fn save_anyway(session: &mut Session, load: Id<Load>) {
    try_keep(session, load, true);
}

/// Film on one load above this is asked about: 1.5 kg (common practice, no source).
const MUCH_FILM_KG: f64 = 1.5;

/// And below this: 50 g (common practice, no source).
const LITTLE_FILM_KG: f64 = 0.05;

fn try_keep(session: &mut Session, load: Id<Load>, sure: bool) {
    let text = pad(session, Part::Tare).remember();
    let mut kept = false;
    session.settle_pad(Part::Tare.field(), &text, |session, _| {
        let tare = typed(session, Part::Tare)?;
        let Some(gross) = typed(session, Part::Gross)? else {
            return Err(FieldError::Text(short(
                &TypedError::Blank,
                session.language(),
            )));
        };
        let loads = loads_together(session);
        if let Some(question) = doubt(session, load, &gross, tare.as_ref(), loads)?
            && !sure
        {
            session.ask(question);
            return Err(FieldError::Asked);
        }
        let scale = super::tools::in_hand(session, ToolKind::FilmScale)?;
        let notes = session
            .drafted(NOTE)
            .map(|typed| typed.text.trim().to_owned())
            .unwrap_or_default();
        session.book.act("weigh_film", |act| {
            let taken_at = act.now();
            act.add(FilmWeight {
                load,
                tool: scale.map(|scale| scale.id),
                gross,
                tare,
                loads_together: loads,
                taken_at,
                notes,
            })
        })?;
        kept = true;
        Ok(())
    });
    if kept {
        session.show_first();
        for field in [PART, Part::Gross.field(), Part::Tare.field(), LOADS] {
            session.drop_draft(field);
        }
        // It is with the weighing, and offered for the next.
        if let Some(note) = session.drafted(NOTE).map(|typed| typed.text.clone()) {
            session.settle(NOTE, &note, |_, _| Ok(()));
        }
        session.device.buzz();
        session.say(Notice {
            tone: Tone::Good,
            text: say!(session.language(), "Weighing kept."),
            act: None,
        });
    }
}

/// How many times the film of the setup's other loads a load takes, or they it, before it is asked
/// about: the film of several loads is then most likely taken for that of one (common practice, no
/// source).
const UNLIKE: f64 = 2.0;

/// The film a load of the setup's weighings of other loads; `None` without any.
fn of_others(session: &Session, load: Id<Load>) -> Result<Option<Mass>, BookError> {
    let book = session.book();
    let mut weights = Vec::new();
    for other in book.children::<Load, _>(book.get(load)?.setup)? {
        if other.id != load {
            weights.extend(book.children::<FilmWeight, _>(other.id)?);
        }
    }
    Ok(film_per_load(&weights, &[]).map(|film| film.mass))
}

/// A weighing that should be asked about: more than the scale shows, far more than a load takes or
/// the others took, or without a tare.
fn doubt(
    session: &Session,
    load: Id<Load>,
    gross: &Entered<Mass>,
    tare: Option<&Entered<Mass>>,
    loads: u32,
) -> Result<Option<Question>, BookError> {
    let (units, language) = (session.units(), session.language());
    let range = super::tools::in_hand(session, ToolKind::FilmScale)?
        .and_then(|scale| scale.body.mass_range);
    // A second press on Save must not pass for a scale that was zeroed.
    let no_tare = tare.is_none();
    let ask = |why: String| Question {
        title: say!(language, "{value}?", value = gross.text),
        text: if no_tare {
            say!(
                language,
                "{why} And no tare is typed. Is the value right, with the scale zeroed?",
                why = why
            )
        } else {
            say!(language, "{why} Is the value right?", why = why)
        },
        yes: say!(language, "Keep it"),
        no: say!(language, "Correct it"),
        when_yes: WhenYes::SaveWeighing,
    };
    if let Some(range) = range
        && gross.value.kg() > range.value.kg()
    {
        return Ok(Some(ask(say!(
            language,
            "This scale shows {most} at most.",
            most = range.text
        ))));
    }
    let net = gross.value.kg() - tare.map_or(0.0, |tare| tare.value.kg());
    // What weighs nothing is no question: it is refused.
    let per_load = Mass::from_kg(net / f64::from(loads))
        .ok()
        .filter(|mass| mass.kg() > 0.0);
    if let (Some(mass), Some(others)) = (per_load, of_others(session, load)?)
        && !(others.kg() / UNLIKE..=others.kg() * UNLIKE).contains(&mass.kg())
    {
        return Ok(Some(ask(say_count!(
            language,
            usize::try_from(loads).unwrap_or(usize::MAX),
            "That is {mass} a load if it is the film of {n}; others with this setup took {others}.",
            "That is {mass} a load if it is the film of {n}; others with this setup took {others}.",
            mass = film_mass(mass, units),
            others = film_mass(others, units)
        ))));
    }
    let unlikely = per_load.and_then(|mass| {
        let shown = film_mass(mass, units);
        if mass.kg() > MUCH_FILM_KG {
            Some(say!(
                language,
                "That is {mass} of film a load, far more than most loads take.",
                mass = shown
            ))
        } else if mass.kg() < LITTLE_FILM_KG {
            Some(say!(
                language,
                "That is {mass} of film a load, far less than most loads take.",
                mass = shown
            ))
        } else {
            None
        }
    });
    Ok(unlikely.map(ask).or_else(|| {
        no_tare.then(|| Question {
            title: say!(language, "No tare?"),
            text: say!(
                language,
                "Nothing is typed for the bag or box. If the scale was zeroed under it, {mass} is all film.",
                mass = gross.text
            ),
            yes: say!(language, "It was zeroed"),
            no: say!(language, "Type the tare"),
            when_yes: WhenYes::SaveWeighing,
        })
    }))
}

/// Sets the last weighing aside and offers to bring it back.
pub fn undo(session: &mut Session, load: Id<Load>) {
    let weights = session.book.children::<FilmWeight, _>(load);
    let Some(Some(last)) = session.report(weights).map(|mut weights| weights.pop()) else {
        return;
    };
    let done = session.book.set_aside(last.reference(), SetAside::UNDONE);
    if session.report(done).is_some() {
        session.say(Notice {
            tone: Tone::Info,
            text: say!(
                session.language(),
                "Weighing of {mass} set aside.",
                mass = last.gross.text
            ),
            act: Some(NoticeAct::BringBack(last.reference())),
        });
    }
}
