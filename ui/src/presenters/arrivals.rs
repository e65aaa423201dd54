//! What comes to the app without having been asked for just now: a file that another program sends,
//! and a picture of the camera, which the phone may have ended the app for meanwhile.

use std::path::{Path, PathBuf};

use tautbook_core::say;
use tautbook_core::survey::{Kind, RecordRef};

use super::send;
use crate::place::Place;
use crate::session::{Notice, NoticeAct, Session, Shade, Tone};
use crate::work::For;

/// The target of a picture that is to be looked through for labels.
const LABEL: &str = "label";
/// Key of whether the phone was last seen dark.
const DARK: &str = "phone_dark";

/// What a picture is wanted for, as the device keeps it beside the picture.
pub(crate) fn target(wanted: For) -> String {
    match wanted {
        For::Record(of) => format!("{} {}", of.kind.as_str(), of.id),
        For::Label => LABEL.to_owned(),
        For::DayFile => String::new(),
    }
}

fn wanted(target: &str) -> Option<For> {
    if target == LABEL {
        return Some(For::Label);
    }
    let (kind, id) = target.split_once(' ')?;
    let (kind, id) = (Kind::from_name(kind)?, id.parse().ok()?);
    Some(For::Record(RecordRef { kind, id }))
}

/// Takes a picture of the camera for the `target` it was asked for with, be it now or before the
/// phone ended the app.
pub fn picture_came(session: &mut Session, file: PathBuf, target: &str) {
    match wanted(target) {
        Some(wanted) => hand_over(session, wanted, file),
        None => picture_sent(session, file),
    }
}

/// Whether a picture that is sent now belongs to what is open.
#[must_use]
pub fn takes_pictures(session: &Session) -> bool {
    matches!(session.here(), Place::Photos(_) | Place::Find)
}

/// Takes a picture that another program sent: for the record whose photos are open, to look for
/// labels on Find, and else it waits until the photos of a record are opened.
pub fn picture_sent(session: &mut Session, file: PathBuf) {
    match session.here() {
        Place::Photos(of) => hand_over(session, For::Record(of), file),
        Place::Find => hand_over(session, For::Label, file),
        _ => picture_waits(session, file),
    }
}

/// Takes a picture that was sent some time ago: it waits until the photos of a record are opened.
pub fn picture_waits(session: &mut Session, file: PathBuf) {
    session.waiting_pictures.push(file);
    let text = if session.waiting_pictures.len() == 1 {
        say!(
            session.language(),
            "A photo has come in. Open the photos of the record it belongs to: it is kept there."
        )
    } else {
        say!(
            session.language(),
            "{count} photos have come in. Open the photos of the record they belong to: they are kept \
             there.",
            count = session.waiting_pictures.len()
        )
    };
    say(session, Tone::Info, text);
}

/// Keeps the pictures that wait, now that the photos of a record are open.
pub(crate) fn take_waiting(session: &mut Session, of: RecordRef) {
    for file in std::mem::take(&mut session.waiting_pictures) {
        hand_over(session, For::Record(of), file);
    }
}

/// Says that a day file was being taken in when the app ended.
pub fn day_file_interrupted(session: &mut Session, file: &Path) {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let text = say!(
        session.language(),
        "Tautbook was ended while it took in {file}. Open that file again, to be sure that all of it \
         is here.",
        file = name
    );
    say(session, Tone::Bad, text);
}

fn hand_over(session: &mut Session, wanted: For, file: PathBuf) {
    session.work.answer_to(wanted)(Ok(Some(file)));
}

/// Takes in a day file that another program sent.
pub fn day_file_sent(session: &mut Session, file: PathBuf) {
    send::open(session);
    send::take_in(session, file);
}

/// Says that this book was started in the place of one that cannot be opened.
pub fn started_anew(session: &mut Session) {
    let text = say!(
        session.language(),
        "This is a new book. The one that cannot be opened is still on this phone."
    );
    say(session, Tone::Info, text);
}

/// Says what went wrong on the way here.
pub fn not_arrived(session: &mut Session, why: String) {
    say(session, Tone::Bad, why);
}

fn say(session: &mut Session, tone: Tone, text: String) {
    say_after(session, tone, text, None);
}

/// Says something. What went wrong just before stays, with this after it.
pub(super) fn say_after(session: &mut Session, tone: Tone, text: String, act: Option<NoticeAct>) {
    let before = session.notice().filter(|before| before.tone == Tone::Bad);
    let (tone, text) = match before {
        Some(before) if before.text.contains(&text) => return,
        Some(before) => (Tone::Bad, format!("{} {text}", before.text)),
        None => (tone, text),
    };
    session.say(Notice { tone, text, act });
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
