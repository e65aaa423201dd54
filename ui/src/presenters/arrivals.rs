//! What comes to the app without having been asked for just now: a file that another program sends,
//! and a picture the camera took while the phone had ended the app.

use std::path::PathBuf;

use tautbook_core::say;
use tautbook_core::survey::{Kind, RecordRef};

use super::send;
use crate::place::Place;
use crate::session::{Notice, Session, Shade, Tone};
use crate::work::For;

/// Key of what the camera was last asked for.
const CAMERA_FOR: &str = "camera_for";
const LABEL: &str = "label";
/// Key of whether the phone was last seen dark.
const DARK: &str = "phone_dark";

/// Notes what the camera is asked for, so that its picture finds its way even when the phone ends
/// the app meanwhile.
pub(crate) fn note_camera(session: &mut Session, wanted: For) {
    let text = match wanted {
        For::Record(of) => format!("{} {}", of.kind.as_str(), of.id),
        For::Label => LABEL.to_owned(),
        For::DayFile => String::new(),
    };
    let kept = session.book.set_state(CAMERA_FOR, &text);
    session.report(kept);
}

fn camera_for(session: &mut Session) -> Option<For> {
    let kept = session.book.state(CAMERA_FOR);
    let text = session.report(kept).flatten()?;
    if text == LABEL {
        return Some(For::Label);
    }
    let (kind, id) = text.split_once(' ')?;
    let (kind, id) = (Kind::from_name(kind)?, id.parse().ok()?);
    Some(For::Record(RecordRef { kind, id }))
}

/// Takes the picture that the camera took while the app was not there.
pub fn picture_left(session: &mut Session, file: PathBuf) {
    match camera_for(session) {
        Some(wanted) => hand_over(session, wanted, file),
        None => picture_sent(session, file),
    }
}

/// Takes a picture that another program sent: for the record whose photos are open, to look for
/// labels on Find, and else it waits until the photos of a record are opened.
pub fn picture_sent(session: &mut Session, file: PathBuf) {
    match session.here() {
        Place::Photos(of) => hand_over(session, For::Record(of), file),
        Place::Find => hand_over(session, For::Label, file),
        _ => {
            session.waiting_picture = Some(file);
            let text = say!(
                session.language(),
                "A photo has come in. Open the photos of the record it belongs to: it is kept there."
            );
            say(session, Tone::Info, text);
        }
    }
}

/// Keeps the picture that waits, now that the photos of a record are open.
pub(crate) fn take_waiting(session: &mut Session, of: RecordRef) {
    if let Some(file) = session.waiting_picture.take() {
        hand_over(session, For::Record(of), file);
    }
}

fn hand_over(session: &mut Session, wanted: For, file: PathBuf) {
    session.work.answer_to(wanted)(Ok(Some(file)));
}

/// Takes in a day file that another program sent.
pub fn day_file_sent(session: &mut Session, file: PathBuf) {
    send::open(session);
    send::take_in(session, file);
}

/// Says what went wrong on the way here.
pub fn not_arrived(session: &mut Session, why: String) {
    say(session, Tone::Bad, why);
}

fn say(session: &mut Session, tone: Tone, text: String) {
    session.say(Notice {
        tone,
        text,
        act: None,
    });
}

/// Follows the phone into the dark and back. What the person chose since the phone last changed
/// stays.
pub fn phone_is_dark(session: &mut Session, dark: bool) {
    let kept = session.book.state(DARK);
    let Some(before) = session.report(kept) else {
        return;
    };
    let word = if dark { "dark" } else { "light" };
    if before.as_deref() == Some(word) {
        return;
    }
    let kept = session.book.set_state(DARK, word);
    session.report(kept);
    let mut look = session.look();
    let shade = match (dark, look.shade) {
        (true, _) => Shade::Night,
        (false, Shade::Night) => Shade::Day,
        (false, shade) => shade,
    };
    // A phone that is light on the first day changes nothing.
    if shade != look.shade {
        look.shade = shade;
        session.set_look(look);
    }
}
