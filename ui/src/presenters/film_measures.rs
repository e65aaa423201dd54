//! What is measured on the film of a setup: its thickness, its stretch by ink marks, and its breaks.

use tautbook_core::book::BookError;
use tautbook_core::survey::{
    BreakExposure, CautionKind, Entity, FilmBreaks, Id, MarkPlace, Record, RecordRef, SetAside,
    Setup, StretchMark, Thickness, ThicknessPlace, ToolKind, Visit,
};
use tautbook_core::units::{
    self, TypedError, UnitChoice, parse_count, parse_length, parse_thickness, show_thickness,
};
use tautbook_core::words::figures;
use tautbook_core::{say, say_count};

use super::caution;
use crate::session::{Entry, FieldError, Notice, NoticeAct, Session, Tone};

/// The fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// What the micrometer shows.
    Thickness,
    /// How far apart the marks were drawn.
    Before,
    /// How far apart they are after stretch.
    After,
    /// How often the film broke.
    Breaks,
    /// Over how many loads or rolls.
    Over,
}

impl Field {
    const fn name(self) -> &'static str {
        match self {
            Self::Thickness => "thickness",
            Self::Before => "before",
            Self::After => "after",
            Self::Breaks => "breaks",
            Self::Over => "over",
        }
    }
}

/// A choice between two that is kept with what is half typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Choice {
    /// The film in the micrometer was cut from a load, not from the roll.
    ThicknessOnLoad,
    /// The marks were read on the load, not before it.
    MarksOnLoad,
    /// Breaks are counted over rolls, not over loads.
    OverRolls,
}

impl Choice {
    const fn name(self) -> &'static str {
        match self {
            Self::ThicknessOnLoad => "thickness_on_load",
            Self::MarksOnLoad => "marks_on_load",
            Self::OverRolls => "over_rolls",
        }
    }
}

/// How many plies lie in the micrometer, where it is noted.
const PLIES: &str = "plies";
/// More plies than this are a slip of the thumb (common practice, no source).
const MOST_PLIES: u32 = 20;

/// So many of each are shown: a page of more could not be drawn in large words on a sharp screen.
const SHOWN: usize = 12;

/// Those kept last, and how many there are besides.
#[derive(Debug, Clone, PartialEq)]
pub struct Rows {
    /// The last first.
    pub shown: Vec<Row>,
    /// How many more there are.
    pub more: usize,
}

impl Rows {
    fn of<T: Entity>(mut kept: Vec<Record<T>>, row: impl Fn(&Record<T>) -> Row) -> Self {
        kept.reverse();
        Self {
            shown: kept.iter().take(SHOWN).map(row).collect(),
            more: kept.len().saturating_sub(SHOWN),
        }
    }
}

/// One that was kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The record.
    pub of: RecordRef,
    /// What was measured, as written.
    pub title: String,
    /// Where, and what follows from it.
    pub detail: String,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The film on the setup; `None` where none is chosen, and thickness has nowhere to be kept.
    pub film: Option<String>,
    /// The field of the micrometer.
    pub thickness: Entry,
    /// Where that film is from.
    pub thickness_on_load: bool,
    /// The caution about cutting film was read today.
    pub cutting_read: bool,
    /// How many plies lie in it.
    pub plies: u32,
    /// What was kept.
    pub thicknesses: Rows,
    /// The fields of the marks.
    pub marks: [Entry; 2],
    /// Where they were read.
    pub marks_on_load: bool,
    /// What was kept.
    pub stretched: Rows,
    /// The fields of the breaks.
    pub breaks: [Entry; 2],
    /// What they are counted over.
    pub over_rolls: bool,
    /// What was kept.
    pub counts: Rows,
}

fn is_chosen(session: &Session, choice: Choice) -> bool {
    session.drafted(choice.name()).is_some()
}

fn plies(session: &Session) -> u32 {
    session
        .drafted(PLIES)
        .and_then(|typed| typed.text.parse().ok())
        .unwrap_or(1)
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, id: Id<Setup>) -> Result<View, BookError> {
    let book = session.book();
    let units = session.units();
    let setup = book.get(id)?;
    let roll = setup.film_roll.map(|roll| book.get(roll)).transpose()?;
    let entry = |field: Field, hint: &str| session.entry(field.name(), "", hint);
    let length = units.length.symbol();
    let thicknesses = match setup.film_roll {
        Some(roll) => book.children::<Thickness, _>(roll)?,
        None => Vec::new(),
    };
    let of = (visit_of(session, id)?, None);
    Ok(View {
        film: roll.map(|roll| roll.body.name),
        thickness: entry(Field::Thickness, units.thickness.symbol()),
        thickness_on_load: is_chosen(session, Choice::ThicknessOnLoad),
        cutting_read: caution::acknowledged(session, of, CautionKind::CuttingFilm)?.is_some(),
        plies: plies(session),
        thicknesses: Rows::of(thicknesses, |it| Row {
            of: it.reference(),
            title: a_ply(session, it),
            detail: thickness_words(session, it),
        }),
        marks: [entry(Field::Before, length), entry(Field::After, length)],
        marks_on_load: is_chosen(session, Choice::MarksOnLoad),
        stretched: Rows::of(book.children::<StretchMark, _>(id)?, |it| Row {
            of: it.reference(),
            title: say!(
                session.language(),
                "{before} to {after}",
                before = it.before.text,
                after = it.after.text
            ),
            detail: mark_words(session, it, units),
        }),
        breaks: [entry(Field::Breaks, ""), entry(Field::Over, "")],
        over_rolls: is_chosen(session, Choice::OverRolls),
        counts: Rows::of(book.children::<FilmBreaks, _>(id)?, |it| Row {
            of: it.reference(),
            title: say_count!(
                session.language(),
                it.breaks as usize,
                "{n} break",
                "{n} breaks"
            ),
            detail: over_words(session, it.over),
        }),
    })
}

/// The thickness of one ply: as typed where there was one.
fn a_ply(session: &Session, thickness: &Thickness) -> String {
    if thickness.plies <= 1 {
        return thickness.value.text.clone();
    }
    let style = session.units().style();
    let each = units::Thickness::from_um(thickness.value.value.um() / f64::from(thickness.plies));
    each.map_or_else(
        |_| thickness.value.text.clone(),
        |each| {
            say!(
                session.language(),
                "{thickness} a ply",
                thickness = show_thickness(each, session.units().thickness, &style)
            )
        },
    )
}

fn thickness_words(session: &Session, thickness: &Thickness) -> String {
    let l = session.language();
    let place = match thickness.place {
        ThicknessPlace::Roll => say!(l, "From the roll"),
        ThicknessPlace::OnLoad => say!(l, "From a load"),
    };
    match thickness.plies {
        1 => place,
        plies => say!(
            l,
            "{place}, {thickness} over {plies} plies",
            place = place,
            thickness = thickness.value.text.as_str(),
            plies = plies
        ),
    }
}

/// Stretch s = (after - before) / before.
fn mark_words(session: &Session, mark: &StretchMark, units: UnitChoice) -> String {
    let l = session.language();
    let stretch = mark.after.value.m() / mark.before.value.m() - 1.0;
    let stretch = figures::percent(stretch, units);
    match mark.place {
        MarkPlace::BeforeLoad => say!(l, "Stretch {stretch}, before the load", stretch = stretch),
        MarkPlace::OnLoad => say!(l, "Stretch {stretch}, on the load", stretch = stretch),
    }
}

fn over_words(session: &Session, over: BreakExposure) -> String {
    let l = session.language();
    match over {
        BreakExposure::Loads(n) => say_count!(l, n as usize, "over {n} load", "over {n} loads"),
        BreakExposure::Rolls(n) => say_count!(l, n as usize, "over {n} roll", "over {n} rolls"),
    }
}

/// Notes what stands half typed. It is kept by the button below it alone.
pub fn draft(session: &mut Session, field: Field, text: &str) {
    session.draft(field.name(), text);
}

/// Chooses the one or the other.
pub fn choose(session: &mut Session, choice: Choice, second: bool) {
    if second {
        session.draft(choice.name(), "yes");
    } else {
        session.drop_draft(choice.name());
    }
}

fn visit_of(session: &Session, id: Id<Setup>) -> Result<Id<Visit>, BookError> {
    let line = session.book().get(id)?.line;
    Ok(session.book().get(line)?.visit)
}

/// Notes that the caution about cutting film was read today, or takes that back.
pub fn read_cutting(session: &mut Session, id: Id<Setup>, read: bool) {
    let done = visit_of(session, id).and_then(|visit| {
        caution::acknowledge(session, (visit, None), CautionKind::CuttingFilm, read)
    });
    session.report(done);
}

/// Counts a ply more or less.
pub fn step_plies(session: &mut Session, more: bool) {
    let plies = plies(session);
    let plies = if more {
        plies + 1
    } else {
        plies.saturating_sub(1)
    };
    session.draft(PLIES, &plies.clamp(1, MOST_PLIES).to_string());
}

fn typed(session: &Session, field: Field) -> String {
    session
        .drafted(field.name())
        .map(|typed| typed.text.clone())
        .unwrap_or_default()
}

/// What stands in a field; where it cannot be read, the field says why.
fn read<T>(
    session: &mut Session,
    field: Field,
    parse: impl FnOnce(&str) -> Result<T, TypedError>,
) -> Option<T> {
    let text = typed(session, field);
    match parse(&text) {
        Ok(value) => Some(value),
        Err(error) => {
            session.settle(field.name(), &text, |_, _| Err(FieldError::Typed(error)));
            None
        }
    }
}

/// Keeps what the micrometer shows.
pub fn keep_thickness(session: &mut Session, id: Id<Setup>) {
    let typing = session.units().thickness_typing();
    let Some(value) = read(session, Field::Thickness, |text| {
        parse_thickness(text, &typing)
    }) else {
        return;
    };
    let place = if is_chosen(session, Choice::ThicknessOnLoad) {
        ThicknessPlace::OnLoad
    } else {
        ThicknessPlace::Roll
    };
    let plies = plies(session);
    let text = typed(session, Field::Thickness);
    session.settle(Field::Thickness.name(), &text, |session, _| {
        let tool = super::tools::in_hand(session, ToolKind::Micrometer)?;
        let Some(film_roll) = session.book.get(id)?.film_roll else {
            return Err(FieldError::Text(say!(
                session.language(),
                "choose the film of this setup first"
            )));
        };
        session.book.act("measure_thickness", |act| {
            let taken_at = act.now();
            act.add(Thickness {
                film_roll,
                load: None,
                tool: tool.map(|tool| tool.id),
                place,
                value,
                plies,
                taken_at,
                notes: String::new(),
            })
        })?;
        session.device.buzz();
        Ok(())
    });
}

/// Keeps a pair of marks. How far apart they were drawn stays for the next pair.
pub fn keep_marks(session: &mut Session, id: Id<Setup>) {
    let typing = session.units().length_typing();
    let before = read(session, Field::Before, |text| parse_length(text, &typing));
    let after = read(session, Field::After, |text| parse_length(text, &typing));
    let (Some(before), Some(after)) = (before, after) else {
        return;
    };
    let place = if is_chosen(session, Choice::MarksOnLoad) {
        MarkPlace::OnLoad
    } else {
        MarkPlace::BeforeLoad
    };
    let text = typed(session, Field::After);
    session.settle(Field::After.name(), &text, |session, _| {
        session.book.act("measure_stretch", |act| {
            let taken_at = act.now();
            act.add(StretchMark {
                setup: id,
                load: None,
                place,
                before,
                after,
                taken_at,
                notes: String::new(),
            })
        })?;
        session.device.buzz();
        Ok(())
    });
}

/// Keeps a count of breaks.
pub fn keep_breaks(session: &mut Session, id: Id<Setup>) {
    let decimal = session.units().decimal;
    let breaks = read(session, Field::Breaks, |text| parse_count(text, decimal));
    let over = read(session, Field::Over, |text| parse_count(text, decimal));
    let (Some(breaks), Some(over)) = (breaks, over) else {
        return;
    };
    let over = if is_chosen(session, Choice::OverRolls) {
        BreakExposure::Rolls(over)
    } else {
        BreakExposure::Loads(over)
    };
    let text = typed(session, Field::Over);
    session.settle(Field::Over.name(), &text, |session, _| {
        session.book.act("count_breaks", |act| {
            act.add(FilmBreaks {
                setup: id,
                breaks,
                over,
                notes: String::new(),
            })
        })?;
        session.drop_draft(Field::Breaks.name());
        session.device.buzz();
        Ok(())
    });
}

/// Sets one aside, and offers to bring it back. While that is offered no other follows: the rows move up under
/// the thumb.
pub fn set_aside(session: &mut Session, of: RecordRef) {
    if let Some(NoticeAct::BringBack(offered)) = session.notice().and_then(|notice| notice.act)
        && offered.kind == of.kind
    {
        return;
    }
    let done = session.book.set_aside(of, SetAside::BY_HAND);
    if session.report(done).is_some() {
        session.say(Notice {
            tone: Tone::Info,
            text: say!(session.language(), "Set aside."),
            act: Some(NoticeAct::BringBack(of)),
        });
    }
}
