//! One presenter a screen: what it shows, from the book, and what its buttons do. They know
//! neither window nor widget and are tested without one.

pub mod arrivals;
mod caution;
pub mod compare;
pub mod differences;
pub mod film_measures;
pub mod film_roll;
pub mod find;
pub mod keep;
pub mod line;
pub mod load;
pub mod loading;
pub mod machine;
pub mod photo;
pub mod photos;
pub mod plan;
pub mod read;
pub mod records;
pub mod report;
pub mod results;
pub mod sample;
pub mod send;
pub mod settings;
pub mod setup;
pub mod title;
pub mod today;
pub mod tools;
pub mod typing;
pub mod visit;
pub mod weigh;

use std::path::Path;

use tautbook_core::language::Language;
use tautbook_core::say;
pub use tautbook_core::words::block;

use crate::device::PictureFrom;
use crate::place::Place;
use crate::session::{Entry, Question, Session, WhenYes};
use crate::work::For;
use tautbook_core::analysis::sizes::Size;
use tautbook_core::survey::RecordRef;
use tautbook_core::units::{DecimalMark, Entered, MassUnit, Typing, UnitChoice};
use tautbook_core::words::{figures, listed};

/// Asks the platform for a picture.
fn ask_picture(session: &mut Session, from: PictureFrom, wanted: For) {
    let answer = session.work.answer_to(wanted);
    session
        .device
        .ask_picture(from, &arrivals::target(wanted), answer);
}

/// Hands a file to the platform; what it did with it is said, and `notes` after it. While one is being
/// handed over, another press does nothing.
fn share(session: &mut Session, file: &Path, notes: Vec<String>) {
    let Some(answer) = session.work.answer_to_share() else {
        return;
    };
    let answer = move |said: Result<String, String>| {
        answer(said.map(|said| [vec![said], notes].concat().join(" ")));
    };
    session.device.share(file, Box::new(answer));
    // A machine that answers at once is heard at once.
    photos::take_up(session);
}

/// What stands in a field of an optional value: as the person wrote it.
fn written<Q>(value: Option<&Entered<Q>>) -> &str {
    value.map_or("", |value| value.text.as_str())
}

/// A field whose value, kept already, is asked about where it is no usual size. `base` gives it in
/// the unit of [`Size::unlikely`].
fn sized<Q>(
    language: Language,
    entry: Entry,
    size: Size,
    value: Option<&Entered<Q>>,
    base: impl Fn(&Q) -> f64,
) -> Entry {
    let unlikely = value
        .filter(|value| entry.error.is_empty() && entry.text == value.text)
        .and_then(|value| size.unlikely(base(&value.value), &value.text));
    Entry {
        doubt: unlikely.map_or_else(String::new, |unlikely| unlikely.said(language)),
        ..entry
    }
}

/// A number of turns, or of anything that comes in quarters.
fn turns(value: Option<f64>, decimal: DecimalMark) -> String {
    value.map_or_else(String::new, |turns| {
        typing::marked(&turns.to_string(), decimal)
    })
}

/// A name for the next of its kind: "Load 4" when three are there, skipping names in use.
fn next_name<'n>(name: impl Fn(usize) -> String, names: impl Iterator<Item = &'n str>) -> String {
    let taken: Vec<&str> = names.collect();
    let first = taken.len() + 1;
    (first..)
        .map(&name)
        .find(|name| !taken.contains(&name.as_str()))
        .unwrap_or_else(|| name(first))
}

/// How a mass of a whole load is typed: kilograms where film is in grams.
fn load_mass_typing(units: UnitChoice) -> Typing<MassUnit> {
    Typing::new(units.decimal, load_mass_unit(units))
}

/// The unit of the mass of a whole load or roll.
fn load_mass_unit(units: UnitChoice) -> MassUnit {
    match units.mass {
        MassUnit::Gram | MassUnit::Kilogram => MassUnit::Kilogram,
        MassUnit::Ounce | MassUnit::PoundOunce => MassUnit::PoundOunce,
    }
}

/// Asks whether to set a record aside; `text` says what goes with it.
fn ask_set_aside(session: &mut Session, title: String, text: String, record: RecordRef) {
    let language = session.language();
    session.ask(Question {
        title,
        text,
        yes: say!(language, ctx: "button", "Set aside"),
        no: say!(language, "Keep it"),
        when_yes: WhenYes::SetAside(record),
    });
}

/// Tries to keep whatever stands half typed in the form of the present place.
pub fn settle_form(session: &mut Session) {
    match session.here() {
        Place::Visit(id) => visit::settle(session, id),
        Place::Line(id) => line::settle(session, id),
        Place::FilmRoll(id) => film_roll::settle(session, id),
        Place::Setup(id) => setup::settle(session, id),
        Place::Load(id) => load::settle(session, id),
        Place::Results { .. } => results::settle(session),
        Place::Plan { .. } => plan::settle(session),
        Place::Compare { .. } => compare::settle(session),
        Place::Machine(id) => machine::settle(session, id),
        Place::Photos(of) => photos::settle(session, of),
        Place::Sample(id) => sample::settle(session, id),
        Place::Tools => tools::settle(session),
        Place::Settings => settings::settle(session),
        Place::Today
        | Place::Visits
        | Place::About
        | Place::Parts
        | Place::Read { .. }
        | Place::Weigh(_)
        | Place::FilmMeasures(_)
        | Place::Photo(_)
        | Place::Keep(_)
        | Place::Find
        | Place::Report(_)
        | Place::Send
        | Place::Differences
        | Place::Records(_) => {}
    }
}
