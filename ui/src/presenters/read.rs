//! Read: taking readings on a load by one method, one after the other.

use tautbook_core::analysis::containment::{Doubt, FAR, FAR_BETWEEN_UNITS, ZoneName, doubt};
use tautbook_core::book::{BookError, Which};
use tautbook_core::language::Reader;
use tautbook_core::say;
use tautbook_core::survey::{
    Face, FilmWeight, Id, Load, Measure, PullReading, Reading, Record, SetAside, ToolKind,
    TorsionReading, Zone,
};
use tautbook_core::units::{
    Containment, Entered, Force, ForceUnit, Length, Method, MethodId, PullPlate, TorsionTool,
    UnitChoice, parse_force, show_force, show_length,
};

use super::figures::written_force;
use super::typing::{Figure, Pad, PadUnit, short};
use crate::place::Place;
use crate::session::{FieldError, Notice, NoticeAct, Question, Session, Tone, WhenYes};

/// Readings in a full set: top, middle and bottom on three faces (common practice, no source).
pub const PLANNED: usize = 9;

/// The faces in the order they are gone round.
pub const FACES: [Face; 4] = [Face::Front, Face::Right, Face::Back, Face::Left];

/// How many of the last readings are shown.
const RECENT: usize = 3;

/// The field of the keypad.
const PAD: &str = "pad";

/// Where the method last used is remembered.
const METHOD: &str = "method";

/// Where the app is on this screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum State {
    /// Nothing typed.
    Fresh,
    /// Something typed.
    Typing,
    /// What was typed cannot be kept, and why.
    Error(String),
    /// Nothing typed since a reading was kept.
    Saved,
}

/// One of the last readings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recent {
    /// As written.
    pub value: String,
    /// Its zone; `None` for one at a height.
    pub zone: Option<ZoneName>,
    /// Its face.
    pub face: Option<Face>,
}

/// One of the twelve places.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// The zone.
    pub zone: ZoneName,
    /// The face.
    pub face: Face,
    /// Readings there.
    pub count: usize,
    /// The last of them, as written.
    pub last: String,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// The method.
    pub method: MethodId,
    /// The place of the next reading.
    pub zone: ZoneName,
    /// Its face.
    pub face: Face,
    /// Where the app is.
    pub state: State,
    /// The value as typed.
    pub figure: Figure,
    /// The word on the unit key.
    pub unit_key: &'static str,
    /// The unit of the number that is typed first.
    pub unit: &'static str,
    /// Number of the next reading.
    pub number: usize,
    /// The last readings, newest first.
    pub recent: Vec<Recent>,
    /// The twelve places, row by row.
    pub places: Vec<Cell>,
    /// What is the matter with the tool in hand, in a word or three where readings are taken; blank
    /// when nothing is, and while something is typed.
    pub stale: String,
    /// What comes next, all that were planned being read.
    pub next: Next,
    /// The measuring place in the units in use: from the right edge, from the side, from the
    /// top, and how far the plate is pulled.
    pub distances: [String; 4],
}

/// What comes next.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next {
    /// A reading, or what is typed.
    Reading,
    /// All that were planned are read, and the film is to be weighed.
    Weigh,
    /// All that were planned are read: the film is weighed, or stays on for a sample.
    Nothing,
}

/// A place on Read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct At {
    /// The load.
    pub load: Id<Load>,
    /// The method.
    pub method: MethodId,
    /// The zone.
    pub zone: ZoneName,
    /// The face.
    pub face: Face,
}

impl At {
    /// Where the session is, if it is on Read.
    #[must_use]
    pub fn here(session: &Session) -> Option<Self> {
        match session.here() {
            Place::Read {
                load,
                method,
                zone,
                face,
            } => Some(Self {
                load,
                method,
                zone,
                face,
            }),
            _ => None,
        }
    }

    const fn place(self) -> Place {
        Place::Read {
            load: self.load,
            method: self.method,
            zone: self.zone,
            face: self.face,
        }
    }
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, at: At) -> Result<View, BookError> {
    let units = session.units();
    let readings = by_method(session, at.load, at.method)?;
    let pad = pad(session);
    let unit = pad.unit(PadUnit::force(units.force));
    let error = session
        .drafted(PAD)
        .and_then(|typed| typed.short_error(session.language()));
    let state = match (error, pad.is_empty()) {
        (Some(error), _) => State::Error(error),
        (None, false) => State::Typing,
        (None, true) if session.just_saved => State::Saved,
        (None, true) => State::Fresh,
    };
    // Said where nothing is typed: not looked up at every key.
    let (of_tool, next) = match state {
        State::Fresh | State::Saved => (
            stale(session, at.method, readings.is_empty())?,
            next(session, at.load, &readings)?,
        ),
        State::Typing | State::Error(_) => (String::new(), Next::Reading),
    };
    let mut places = Vec::with_capacity(12);
    for zone in ZoneName::ALL {
        for face in FACES {
            let here: Vec<&Record<Reading>> = readings
                .iter()
                .filter(|reading| ZoneName::of(&reading.zone) == Some(zone))
                .filter(|reading| reading.face == Some(face))
                .collect();
            places.push(Cell {
                zone,
                face,
                count: here.len(),
                last: here
                    .last()
                    .map_or_else(String::new, |last| shown(last, units)),
            });
        }
    }
    Ok(View {
        method: at.method,
        zone: at.zone,
        face: at.face,
        state,
        figure: pad.figure(unit, units.decimal),
        unit_key: unit.key(),
        unit: unit.first(),
        number: readings.len() + 1,
        recent: readings
            .iter()
            .rev()
            .take(RECENT)
            .map(|reading| Recent {
                value: shown(reading, units),
                zone: ZoneName::of(&reading.zone),
                face: reading.face,
            })
            .collect(),
        places,
        stale: of_tool,
        next,
        distances: distances(units),
    })
}

/// How many of the readings that were planned are taken: of each zone its share, which more of another
/// do not stand for.
pub(super) fn of_planned<'z>(zones: impl Iterator<Item = &'z Zone>) -> usize {
    let mut of_each = [0_usize; ZoneName::ALL.len()];
    for zone in zones.filter_map(ZoneName::of) {
        for (name, count) in ZoneName::ALL.into_iter().zip(&mut of_each) {
            *count += usize::from(name == zone);
        }
    }
    let share = PLANNED / ZoneName::ALL.len();
    of_each.into_iter().map(|count| count.min(share)).sum()
}

fn next(
    session: &Session,
    load: Id<Load>,
    readings: &[Record<Reading>],
) -> Result<Next, BookError> {
    if of_planned(readings.iter().map(|reading| &reading.zone)) < PLANNED {
        return Ok(Next::Reading);
    }
    let weighed = !session.book().children::<FilmWeight, _>(load)?.is_empty();
    let is_done = weighed
        || super::keep::kept(session, load)?.is_some()
        || super::results::is_all_weighed(session, load)?;
    Ok(if is_done { Next::Nothing } else { Next::Weigh })
}

/// What is the matter with the tool in hand, by its name; where there are readings, the most of it in a
/// word or three. Blank when nothing is.
fn stale(session: &Session, method: MethodId, first: bool) -> Result<String, BookError> {
    let used = super::tools::used(session, ToolKind::of(method))?;
    Ok(used.map_or_else(String::new, |used| match used.stale {
        _ if !first => used.most,
        why if used.is_to_be_chosen() || why.is_empty() => why,
        why => say!(
            session.language(),
            "{tool}: {why}",
            tool = used.name,
            why = why
        ),
    }))
}

fn shown(reading: &Reading, units: UnitChoice) -> String {
    written_force(reading.measure.written(), units)
}

/// The readings of a load by one method that are in use, in the order they were taken.
fn by_method(
    session: &Session,
    load: Id<Load>,
    method: MethodId,
) -> Result<Vec<Record<Reading>>, BookError> {
    let mut readings = session.book().children::<Reading, _>(load)?;
    readings.retain(|reading| reading.measure.method() == method);
    readings.sort_by_key(|reading| reading.order);
    Ok(readings)
}

fn distances(units: UnitChoice) -> [String; 4] {
    let style = units.style().with_digits(0);
    [
        TorsionReading::FROM_RIGHT_EDGE_IN,
        PullReading::FROM_SIDE_IN,
        PullReading::FROM_TOP_IN,
        PullReading::PULLED_IN,
    ]
    .map(|inches| {
        Length::from_in(inches).map_or_else(
            |_| String::new(),
            |length| show_length(length, units.length, &style),
        )
    })
}

fn pad(session: &Session) -> Pad {
    session
        .drafted(PAD)
        .map(|typed| Pad::recall(&typed.text))
        .unwrap_or_default()
}

/// The method last used on this device.
pub(super) fn last_method(session: &mut Session) -> MethodId {
    let kept = session.book.state(METHOD);
    match session.report(kept).flatten().as_deref() {
        Some("pull_plate") => MethodId::PullPlate,
        _ => MethodId::TorsionTool,
    }
}

/// Opens the screen at the next place of that method.
pub(super) fn open(session: &mut Session, load: Id<Load>, method: MethodId) {
    let readings = by_method(session, load, method);
    let Some(readings) = session.report(readings) else {
        return;
    };
    let (zone, face) = next_place(&readings);
    session.go(At {
        load,
        method,
        zone,
        face,
    }
    .place());
    if !readings.is_empty() {
        ask_for_the_tool(session, method);
    }
}

/// Asks which of several tools is in hand: before the first reading there is room to say so on the page.
fn ask_for_the_tool(session: &mut Session, method: MethodId) {
    let used = super::tools::used(session, ToolKind::of(method));
    let used = session.report(used).flatten();
    if used.is_some_and(|used| used.is_to_be_chosen()) {
        let language = session.language();
        session.ask(Question {
            title: say!(language, "Which tool is in your hand?"),
            text: say!(
                language,
                "Several are noted and none is chosen. What is read names no tool until one is."
            ),
            yes: say!(language, "Choose it"),
            no: say!(language, "Go on"),
            when_yes: WhenYes::OpenTools,
        });
    }
}

/// The place after the readings so far: on the face of the last one the zone read least, from the
/// top down; when its zones are read alike, the top of the next face.
fn next_place(readings: &[Record<Reading>]) -> (ZoneName, Face) {
    let face = readings
        .iter()
        .rev()
        .find_map(|reading| reading.face)
        .unwrap_or(Face::Front);
    let on_face = |zone: ZoneName| {
        readings
            .iter()
            .filter(|reading| reading.face == Some(face))
            .filter(|reading| ZoneName::of(&reading.zone) == Some(zone))
            .count()
    };
    let counts = ZoneName::ALL.map(on_face);
    let most = counts.into_iter().max().unwrap_or(0);
    let open = ZoneName::ALL
        .into_iter()
        .zip(counts)
        .find(|(_, count)| *count < most);
    match open {
        Some((zone, _)) => (zone, face),
        None if most == 0 => (ZoneName::Top, face),
        None => {
            let at = FACES.iter().position(|of| *of == face).unwrap_or(0);
            (ZoneName::Top, FACES[(at + 1) % FACES.len()])
        }
    }
}

/// Changes the method; what was typed for the other one stays with it.
pub fn pick_method(session: &mut Session, method: MethodId) {
    let Some(at) = At::here(session) else { return };
    let readings = by_method(session, at.load, method);
    let Some(readings) = session.report(readings) else {
        return;
    };
    let (zone, face) = next_place(&readings);
    session.just_saved = false;
    session.turn(
        At {
            load: at.load,
            method,
            zone,
            face,
        }
        .place(),
    );
    let kept = session.book.set_state(METHOD, method.as_str());
    session.report(kept);
    if !readings.is_empty() {
        ask_for_the_tool(session, method);
    }
}

/// Changes the place of the next reading.
pub fn pick_place(session: &mut Session, zone: ZoneName, face: Face) {
    let Some(at) = At::here(session) else { return };
    session.turn(At { zone, face, ..at }.place());
}

/// Takes a key of the keypad.
pub fn key(session: &mut Session, key: &str) {
    let unit = PadUnit::force(session.units().force);
    type_on_pad(session, |pad| pad.key(key, unit));
}

/// Goes to the photos of the reading taken last on this load by this method.
pub fn photo(session: &mut Session) {
    let Some(at) = At::here(session) else { return };
    let readings = session.book.children::<Reading, _>(at.load);
    let readings = session.report(readings).unwrap_or_default();
    let last = readings
        .iter()
        .rfind(|reading| reading.measure.method() == at.method);
    if let Some(last) = last {
        super::photos::open(session, last.reference());
    }
}

/// Takes back the last key.
pub fn erase(session: &mut Session) {
    type_on_pad(session, Pad::erase);
}

fn type_on_pad(session: &mut Session, change: impl FnOnce(&mut Pad)) {
    let mut pad = pad(session);
    change(&mut pad);
    session.just_saved = false;
    session.close_notice();
    if pad.is_empty() {
        session.drop_draft(PAD);
    } else {
        session.draft(PAD, &pad.remember());
    }
}

/// Keeps the reading as typed, or asks about it. A second press right after does nothing.
pub fn save(session: &mut Session) {
    if session.just_saved && session.drafted(PAD).is_none() {
        return;
    }
    try_save(session, false);
}

/// Keeps the reading as typed, the question having been answered with yes.
pub fn save_anyway(session: &mut Session) {
    try_save(session, true);
}

fn try_save(session: &mut Session, sure: bool) {
    let Some(at) = At::here(session) else { return };
    let text = pad(session).remember();
    session.settle_pad(PAD, &text, |session, _| {
        let (units, language) = (session.units(), session.language());
        let pad = pad(session);
        let typed = pad.text(pad.unit(PadUnit::force(units.force)), units.decimal);
        let force = parse_force(&typed, &units.force_typing())
            .map_err(|error| FieldError::Text(short(&error, language)))?;
        let question = if sure {
            None
        } else {
            match at.method {
                MethodId::TorsionTool => doubts::<TorsionTool>(session, at, &force)?,
                MethodId::PullPlate => doubts::<PullPlate>(session, at, &force)?,
            }
        };
        match question {
            Some(doubt) => {
                let question = question_of(doubt, &force, session.reader());
                session.ask(question);
                // Not kept yet: what was typed stays.
                Err(FieldError::Asked)
            }
            None => keep(session, at, force),
        }
    });
}

fn doubts<M: Method>(
    session: &Session,
    at: At,
    force: &Entered<Force>,
) -> Result<Option<Doubt>, BookError> {
    let readings = by_method(session, at.load, M::ID)?;
    let others: Vec<Containment<M>> = readings
        .iter()
        .filter_map(|reading| reading.measure.containment::<M>())
        .collect();
    let in_newtons = |text: &str| text.ends_with(ForceUnit::Newton.symbol());
    let far = if readings
        .iter()
        .all(|reading| in_newtons(reading.measure.entered()) == in_newtons(&force.text))
    {
        FAR
    } else {
        FAR_BETWEEN_UNITS
    };
    let range = super::tools::in_hand(session, ToolKind::of(at.method))?
        .and_then(|tool| tool.body.force_range)
        .map(|range| range.value);
    Ok(doubt(
        Containment::<M>::new(force.value),
        &others,
        far,
        range,
    ))
}

fn question_of(doubt: Doubt, force: &Entered<Force>, reader: Reader) -> Question {
    let Reader { units, language } = reader;
    let style = units.style();
    let show = |force: Force| show_force(force, units.force, &style);
    let why = match doubt {
        Doubt::OverToolRange { range } => say!(
            language,
            "This tool shows {most} at most. Is the value right?",
            most = show(range)
        ),
        Doubt::FarAbove { others } | Doubt::FarBelow { others } => say!(
            language,
            "The other readings on this load are about {others}. Is the value right?",
            others = show(others)
        ),
        Doubt::OverHandForce => say!(
            language,
            "That is more than one hand pulls. Is the value right?"
        ),
        Doubt::Zero => say!(
            language,
            "Film that holds reads more than zero. If it tore or the tool slipped, read again. Is the value right?"
        ),
    };
    Question {
        title: say!(language, "{value}?", value = force.text),
        text: why,
        yes: say!(language, "Keep it"),
        no: say!(language, "Correct it"),
        when_yes: WhenYes::SaveReading,
    }
}

fn keep(session: &mut Session, at: At, force: Entered<Force>) -> Result<(), FieldError> {
    let load = session.book.get(at.load)?;
    let tool = super::tools::in_hand(session, ToolKind::of(at.method))?;
    let who = session.book.state(super::today::REP)?.unwrap_or_default();
    // Those set aside count as well: they were taken too, and may be brought back.
    let order = session
        .book
        .children_which::<Reading, _>(at.load, Which::All)?
        .iter()
        .filter(|reading| reading.measure.method() == at.method)
        .map(|reading| reading.order)
        .max()
        .map_or(1, |last| last.saturating_add(1));
    session.book.act("take_reading", |act| {
        let now = act.now();
        act.add(Reading {
            load: at.load,
            tool: tool.as_ref().map(|tool| tool.id),
            zone: at.zone.zone(),
            face: Some(at.face),
            measure: Measure::new(at.method, force),
            order,
            taken_at: now,
            who,
            zeroed_at: tool.as_ref().and_then(|tool| tool.zeroed_at),
            minutes_since_wrapping: load.wrapped_at.and_then(|wrapped| minutes(wrapped, now)),
            film_temperature_celsius: None,
            notes: String::new(),
        })
    })?;
    session.just_saved = true;
    session.device.buzz();
    // It is in the book: what was typed goes first, so that it cannot come back after a power cut
    // and be kept twice. From here on nothing may count as a failure of the reading.
    session.drop_draft(PAD);
    turn_to_next(session, at);
    let kept = session.book.set_state(METHOD, at.method.as_str());
    session.report(kept);
    Ok(())
}

/// Turns to the place after the readings so far.
fn turn_to_next(session: &mut Session, at: At) {
    let readings = by_method(session, at.load, at.method);
    if let Some(readings) = session.report(readings) {
        let (zone, face) = next_place(&readings);
        session.turn(At { zone, face, ..at }.place());
    }
}

/// Goes on after a reading was brought back, if that is where the person is.
pub fn after_bringing_back(session: &mut Session) {
    if let Some(at) = At::here(session) {
        turn_to_next(session, at);
    }
}

/// Minutes from one moment to a later one, to a tenth.
pub(super) fn minutes(
    from: tautbook_core::survey::Moment,
    to: tautbook_core::survey::Moment,
) -> Option<f64> {
    let tenths = u32::try_from((to.unix_ms() - from.unix_ms()) / 6_000).ok()?;
    Some(f64::from(tenths) / 10.0)
}

/// Sets the last reading of this load and method aside, and offers to bring it back.
pub fn undo(session: &mut Session) {
    let Some(at) = At::here(session) else { return };
    let readings = by_method(session, at.load, at.method);
    let Some(Some(last)) = session.report(readings).map(|mut readings| readings.pop()) else {
        return;
    };
    let done = session.book.set_aside(last.reference(), SetAside::UNDONE);
    if session.report(done).is_none() {
        return;
    }
    session.just_saved = false;
    if let (Some(zone), Some(face)) = (ZoneName::of(&last.zone), last.face) {
        session.turn(At { zone, face, ..at }.place());
    }
    session.say(Notice {
        tone: Tone::Info,
        text: say!(
            session.language(),
            "{value} set aside. Read this place again.",
            value = shown(&last, session.units())
        ),
        act: Some(NoticeAct::BringBack(last.reference())),
    });
}
