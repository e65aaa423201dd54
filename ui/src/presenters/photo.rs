//! Photo: one picture, large, and marks on a copy of it.

use tautbook_core::book::BookError;
use tautbook_core::photos::{Mark, Shape, Spot};
use tautbook_core::say;
use tautbook_core::survey::{Id, Kind, Photo, Reading};

use super::figures::written_force;
use crate::session::{Entry, Session};
use crate::work::About;

/// What is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drawn {
    /// A circle around the place.
    Circle,
    /// An arrow to the place.
    Arrow,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The picture's file.
    pub sha256: String,
    /// What to see.
    pub caption: String,
    /// It is a copy with marks already.
    pub marked: bool,
    /// What is drawn.
    pub drawn: Drawn,
    /// The marks so far.
    pub marks: Vec<Mark>,
    /// The text beside the mark.
    pub text: Entry,
    /// A copy is on its way.
    pub working: bool,
}

/// Fields that hold what is half done.
const DRAWN: &str = "drawn";
const SPOT: &str = "spot";
const SIZE: &str = "size";
const TURN: &str = "turn";
const TEXT: &str = "text";

/// Sizes of a mark over the picture's shorter side, from the smallest.
const SIZES: [f32; 5] = [0.06, 0.1, 0.16, 0.24, 0.34];
const MIDDLE_SIZE: usize = 1;
/// Ways an arrow can come from.
const TURNS: usize = 8;

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, id: Id<Photo>) -> Result<View, BookError> {
    let photo = session.book().get(id)?;
    let text = session.entry(TEXT, &value(session, &photo.body)?, "");
    let marks = mark(session, (photo.width_px, photo.height_px), &text.text);
    Ok(View {
        caption: photo.caption.clone(),
        marked: photo.original.is_some(),
        drawn: drawn(session),
        marks: marks.into_iter().collect(),
        text,
        working: session.work.share(About::Pictures).is_some(),
        sha256: photo.body.sha256,
    })
}

/// The value that was read where the picture was taken.
fn value(session: &Session, photo: &Photo) -> Result<String, BookError> {
    if photo.of.kind != Kind::Reading {
        return Ok(String::new());
    }
    let reading = session.book().get::<Reading>(Id::from_uuid(photo.of.id))?;
    Ok(written_force(reading.measure.written(), session.units()))
}

fn drawn(session: &Session) -> Drawn {
    match session.drafted(DRAWN).map(|typed| typed.text.as_str()) {
        Some("circle") => Drawn::Circle,
        _ => Drawn::Arrow,
    }
}

fn step_of(session: &Session, field: &str, steps: usize, usual: usize) -> usize {
    let kept = session
        .drafted(field)
        .and_then(|typed| typed.text.parse().ok());
    kept.unwrap_or(usual).min(steps - 1)
}

fn spot(session: &Session) -> Option<Spot> {
    let (x, y) = session.drafted(SPOT)?.text.split_once(' ')?;
    Some(Spot {
        x: x.parse().ok()?,
        y: y.parse().ok()?,
    })
}

#[allow(clippy::cast_precision_loss)] // Pixels of a side, and one of eight ways.
fn mark(session: &Session, (width, height): (u32, u32), text: &str) -> Option<Mark> {
    let to = spot(session)?;
    let size = SIZES[step_of(session, SIZE, SIZES.len(), MIDDLE_SIZE)];
    let shape = match drawn(session) {
        Drawn::Circle => Shape::Circle {
            centre: to,
            radius: size,
        },
        Drawn::Arrow => {
            let (width, height) = (width.max(1) as f32, height.max(1) as f32);
            let length = (size * 2.5).min(0.45) * width.min(height);
            let turn = step_of(session, TURN, TURNS, usual_turn(to));
            let angle = std::f32::consts::TAU * turn as f32 / TURNS as f32;
            let inside = |at: f32| at.clamp(0.01, 0.99);
            Shape::Arrow {
                from: Spot {
                    x: inside(to.x + angle.cos() * length / width),
                    y: inside(to.y + angle.sin() * length / height),
                },
                to,
            }
        }
    };
    Some(Mark {
        shape,
        text: text.trim().to_owned(),
    })
}

/// An arrow comes from the side that has the more room.
fn usual_turn(to: Spot) -> usize {
    match (to.x < 0.5, to.y < 0.5) {
        (true, true) => 1,
        (false, true) => 3,
        (false, false) => 5,
        (true, false) => 7,
    }
}

/// Chooses what is drawn.
pub fn pick(session: &mut Session, drawn: Drawn) {
    let word = match drawn {
        Drawn::Circle => "circle",
        Drawn::Arrow => "arrow",
    };
    session.draft(DRAWN, word);
}

/// Places the mark, by parts of the picture's width and height from the left and the top.
pub fn place(session: &mut Session, x: f32, y: f32) {
    if x.is_finite() && y.is_finite() {
        let (x, y) = (x.clamp(0.0, 1.0), y.clamp(0.0, 1.0));
        session.draft(SPOT, &format!("{x} {y}"));
    }
}

/// Makes the mark larger or smaller by a step.
pub fn resize(session: &mut Session, larger: bool) {
    let now = step_of(session, SIZE, SIZES.len(), MIDDLE_SIZE);
    let next = if larger {
        (now + 1).min(SIZES.len() - 1)
    } else {
        now.saturating_sub(1)
    };
    session.draft(SIZE, &next.to_string());
}

/// Turns the arrow by an eighth.
pub fn turn(session: &mut Session) {
    let Some(to) = spot(session) else { return };
    let now = step_of(session, TURN, TURNS, usual_turn(to));
    session.draft(TURN, &((now + 1) % TURNS).to_string());
}

/// Notes the text beside the mark.
pub fn draft_text(session: &mut Session, text: &str) {
    session.draft(TEXT, text);
}

/// Draws the marks on a copy, which is kept beside the picture.
pub fn keep_copy(session: &mut Session, id: Id<Photo>) {
    let view = view(session, id);
    let Some(view) = session.report(view) else {
        return;
    };
    if view.marks.is_empty() || view.working {
        return;
    }
    let options = super::photos::options(session);
    let Some(options) = session.report(options) else {
        return;
    };
    let folder = session.book().photo_folder();
    session
        .work
        .mark((id, view.sha256), view.marks, folder, options);
    for field in [SPOT, SIZE, TURN, TEXT] {
        session.drop_draft(field);
    }
}

/// Asks whether to set the picture aside.
pub fn ask_set_aside(session: &mut Session, id: Id<Photo>) {
    let photo = session.book.get(id);
    if let Some(photo) = session.report(photo) {
        let language = session.language();
        super::ask_set_aside(
            session,
            say!(language, "Set this photo aside?"),
            say!(
                language,
                "It leaves the lists and the report. Nothing is deleted, and you can bring it back."
            ),
            photo.reference(),
        );
    }
}
