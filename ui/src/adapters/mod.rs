//! One adapter a screen: fills the screen's global from its presenter and takes its callbacks.

mod about;
mod block;
mod compare;
mod differences;
mod film_measures;
mod film_roll;
mod find;
mod keep;
pub(crate) mod keyboard;
mod line;
mod load;
mod machine;
mod nav;
mod photo;
mod photos;
mod pictures;
mod plan;
mod read;
mod records;
mod report;
mod results;
mod sample;
mod send;
mod settings;
mod setup;
mod today;
mod tools;
mod visit;
mod visits;
mod weigh;

use std::rc::Rc;

use slint::{ComponentHandle, Model, ModelRc, SharedString, VecModel};
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::book::BookError;
use tautbook_core::language::Language;
use tautbook_core::survey::{Face, Id, Kind, RecordRef};
use tautbook_core::units::MethodId;

use crate::app::App;
use crate::place::Place;
use crate::screens::{self, MainWindow};
use crate::session::{Entry, Session, Tone};

/// Takes every callback of every screen.
pub(crate) fn connect(window: &MainWindow, app: &App) {
    nav::connect(window, app);
    keyboard::connect(window);
    today::connect(window, app);
    visits::connect(window, app);
    visit::connect(window, app);
    line::connect(window, app);
    film_measures::connect(window, app);
    film_roll::connect(window, app);
    setup::connect(window, app);
    load::connect(window, app);
    read::connect(window, app);
    weigh::connect(window, app);
    results::connect(window, app);
    compare::connect(window, app);
    plan::connect(window, app);
    machine::connect(window, app);
    photos::connect(window, app);
    photo::connect(window, app);
    keep::connect(window, app);
    sample::connect(window, app);
    find::connect(window, app);
    report::connect(window, app);
    send::connect(window, app);
    differences::connect(window, app);
    records::connect(window, app);
    tools::connect(window, app);
    settings::connect(window, app);
    about::fill(window, app);
}

/// Shows on the screen of a place how far the work is, 0 to 1.
pub(crate) fn fill_share(window: &MainWindow, place: Place, share: Option<f32>) {
    let share = share.unwrap_or_default();
    match place {
        Place::Photos(_) => window.global::<screens::PhotosAdapter>().set_share(share),
        Place::Find => window.global::<screens::FindAdapter>().set_share(share),
        Place::Report(_) => window.global::<screens::ReportAdapter>().set_share(share),
        Place::Send => window.global::<screens::SendAdapter>().set_share(share),
        _ => {}
    }
}

/// Fills the screen of the present place, then goes to it.
pub(crate) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    match session.here() {
        Place::Today => today::fill(window, session)?,
        Place::Visits => visits::fill(window, session)?,
        Place::Visit(id) => visit::fill(window, session, id)?,
        Place::Line(id) => line::fill(window, session, id)?,
        Place::FilmRoll(id) => film_roll::fill(window, session, id)?,
        Place::Setup(id) => setup::fill(window, session, id)?,
        Place::FilmMeasures(id) => film_measures::fill(window, session, id)?,
        Place::Load(id) => load::fill(window, session, id)?,
        Place::Read { .. } => read::fill(window, session)?,
        Place::Weigh(id) => weigh::fill(window, session, id)?,
        Place::Results { scope, method } => results::fill(window, session, scope, method)?,
        Place::Compare { old, new, method } => compare::fill(window, session, old, new, method)?,
        Place::Plan { setup, method } => plan::fill(window, session, setup, method)?,
        Place::Machine(id) => machine::fill(window, session, id)?,
        Place::Photos(of) => photos::fill(window, session, of)?,
        Place::Photo(id) => photo::fill(window, session, id)?,
        Place::Keep(visit) => keep::fill(window, session, visit)?,
        Place::Sample(id) => sample::fill(window, session, id)?,
        Place::Find => find::fill(window, session)?,
        Place::Report(visit) => report::fill(window, session, visit)?,
        Place::Send => send::fill(window, session)?,
        Place::Differences => differences::fill(window, session)?,
        Place::Records(of) => records::fill(window, session, of)?,
        Place::Tools => tools::fill(window, session)?,
        Place::Settings => settings::fill(window, session)?,
        Place::About | Place::Parts => {}
    }
    nav::fill(window, session)
}

pub(crate) use nav::fill_notice;
pub(crate) use read::close_places;

/// Two enums with the same variants, one on each side, and the way between them.
macro_rules! same {
    ($to_screen:ident, $to_ours:ident, $screen:path, $ours:path { $($variant:ident),+ $(,)? }) => {
        #[allow(dead_code)] // Some are wanted one way only.
        pub(crate) fn $to_screen(value: $ours) -> $screen {
            match value { $(<$ours>::$variant => <$screen>::$variant,)+ }
        }
        #[allow(dead_code)]
        pub(crate) fn $to_ours(value: $screen) -> $ours {
            match value { $(<$screen>::$variant => <$ours>::$variant,)+ }
        }
    };
}
pub(crate) use same;

same!(
    language_out,
    language_in,
    screens::Language,
    Language {
        English,
        Spanish,
        French
    }
);

same!(
    method_out,
    method_in,
    screens::Method,
    MethodId {
        TorsionTool,
        PullPlate
    }
);
same!(
    zone_out,
    zone_in,
    screens::Zone,
    ZoneName {
        Top,
        Middle,
        Bottom
    }
);
same!(
    face_out,
    face_in,
    screens::Face,
    Face {
        Front,
        Right,
        Back,
        Left
    }
);

pub(super) const fn tone_out(tone: Option<Tone>) -> screens::Tone {
    match tone {
        None => screens::Tone::Plain,
        Some(Tone::Info) => screens::Tone::Info,
        Some(Tone::Good) => screens::Tone::Good,
        Some(Tone::Warning) => screens::Tone::Warning,
        Some(Tone::Bad) => screens::Tone::Bad,
    }
}

fn entry(entry: Entry) -> screens::Entry {
    screens::Entry {
        text: entry.text.into(),
        error: entry.error.into(),
        doubt: entry.doubt.into(),
        hint: entry.hint.into(),
        recent: if entry.recent.is_empty() {
            ModelRc::default()
        } else {
            model(entry.recent.into_iter().map(SharedString::from))
        },
    }
}

pub(crate) fn model<T: Clone + 'static>(rows: impl IntoIterator<Item = T>) -> ModelRc<T> {
    ModelRc::from(Rc::new(VecModel::from_iter(rows)))
}

/// Fills a list in place, so that rows that stay keep what is drawn for them and the keyboard with
/// it; a list to be set anew where that cannot be.
pub(crate) fn refill<T: Clone + PartialEq + 'static>(
    list: &ModelRc<T>,
    rows: Vec<T>,
) -> Option<ModelRc<T>> {
    if list.row_count() != rows.len() || !list.as_any().is::<VecModel<T>>() {
        return Some(model(rows));
    }
    for (n, row) in rows.into_iter().enumerate() {
        if list.row_data(n).as_ref() != Some(&row) {
            list.set_row_data(n, row);
        }
    }
    None
}

fn whole(n: usize) -> i32 {
    i32::try_from(n).unwrap_or(i32::MAX)
}

fn id_text<T>(id: Id<T>) -> SharedString {
    id.to_string().into()
}

fn id_from<T>(text: &SharedString) -> Option<Id<T>> {
    text.parse().ok()
}

/// A record as the id of a row: its kind and its id.
fn record_text(record: RecordRef) -> SharedString {
    format!("{} {}", record.kind.as_str(), record.id).into()
}

fn record_from(text: &SharedString) -> Option<RecordRef> {
    let (kind, id) = text.split_once(' ')?;
    Some(RecordRef {
        kind: Kind::from_name(kind)?,
        id: id.parse().ok()?,
    })
}
