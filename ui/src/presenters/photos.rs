//! Photos: the pictures of one record, taken, captioned, put in order.

use std::path::Path;

use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::book::BookError;
use tautbook_core::language::{Language, Reader, Word};
use tautbook_core::photos::{Keep, Note, Options, PhotoError};
use tautbook_core::say;
use tautbook_core::say_count;
use tautbook_core::survey::{
    CheckItem, Face, Finding, Id, Kind, Load, MachineCheck, Photo, Reading, Record, RecordRef, Zone,
};
use tautbook_core::word;

use super::arrivals::say_after;
use super::figures::written_force;
use super::listed;
use crate::device::{Became, PictureFrom};
use crate::lists::{List, Shown};
use crate::place::Place;
use crate::session::{Entry, Notice, NoticeAct, Session, Tone};
use crate::work::{About, Answered, Done, For};
use tautbook_core::words::dates::time_at;
use tautbook_core::words::figures::sentence;

/// One picture.
#[derive(Debug, Clone, PartialEq)]
pub struct PhotoRow {
    /// Which.
    pub id: Id<Photo>,
    /// Its file.
    pub sha256: String,
    /// What to see.
    pub caption: Entry,
    /// When it was taken, and whether it is a copy with marks.
    pub detail: String,
    /// What is wrong with its file; blank when nothing is.
    pub lost: String,
    /// No other of the record comes before it.
    pub first: bool,
    /// No other of the record comes after it.
    pub last: bool,
}

/// A record below this one that has pictures of its own.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BelowRow {
    /// The record.
    pub of: RecordRef,
    /// What it is.
    pub title: String,
    /// How many pictures it has.
    pub detail: String,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// What the pictures show.
    pub subject: String,
    /// The pictures, some at a time.
    pub photos: Shown<PhotoRow>,
    /// The readings of a load, which have their own.
    pub below: Shown<BelowRow>,
    /// How far pictures on their way are, 0 to 1; `None` when there are none.
    pub working: Option<f32>,
    /// There is a camera.
    pub camera: bool,
    /// What was just kept, in words; blank when nothing was.
    pub kept: String,
    /// The position stays in pictures that are taken in.
    pub position: bool,
    /// The camera's name and numbers stay in them.
    pub camera_notes: bool,
    /// The longest side kept, in pixels.
    pub long_side: u32,
}

/// The longest sides to choose from.
pub const LONG_SIDES: [u32; 3] = [1_600, 2_560, 4_000];

/// Keys of what this device remembers about pictures.
const KEPT: &str = "kept";
const POSITION: &str = "photo_position";
const CAMERA: &str = "photo_camera";
const LONG_SIDE: &str = "photo_long_side";

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, of: RecordRef) -> Result<View, BookError> {
    let photos = session.book().photos_of(of)?;
    let folder = session.book().photo_folder();
    let language = session.language();
    let ends = [photos.first(), photos.last()].map(|photo| photo.map(|photo| photo.id));
    let rows = session.shown(List::Photos, photos).map(|photo| PhotoRow {
        id: photo.id,
        sha256: photo.sha256.clone(),
        caption: session.entry(&caption_field(photo.id), &photo.caption, ""),
        detail: detail(&photo, language),
        // Whether it is there; its sum is looked at when the book is checked.
        lost: match folder.glance(&photo) {
            Ok(()) => String::new(),
            Err(why) => sentence(&why.said(language)),
        },
        first: ends[0] == Some(photo.id),
        last: ends[1] == Some(photo.id),
    });
    let options = options(session)?;
    Ok(View {
        subject: subject(session, of)?,
        photos: rows,
        below: session.shown(List::Below, below(session, of)?),
        working: session.work.share(About::Pictures),
        camera: session.device.has_camera(),
        kept: session
            .photo_kept
            .as_ref()
            .map(|(words, _)| words.clone())
            .unwrap_or_default(),
        position: options.keep.position,
        camera_notes: options.keep.camera,
        long_side: options.long_side,
    })
}

fn detail(photo: &Record<Photo>, language: Language) -> String {
    let taken = photo.taken_at.map_or_else(String::new, |at| {
        say!(language, "taken {at}", at = time_at(at, language))
    });
    let marked = if photo.original.is_some() {
        say!(language, "copy with marks")
    } else {
        String::new()
    };
    listed([taken, marked])
}

/// What a record is, in the words of a person.
///
/// # Errors
/// The store's errors.
pub fn subject(session: &Session, of: RecordRef) -> Result<String, BookError> {
    let (book, language) = (session.book(), session.language());
    Ok(match of.kind {
        Kind::Load => book.get::<Load>(Id::from_uuid(of.id))?.body.name,
        Kind::Reading => {
            let read = book.get::<Reading>(Id::from_uuid(of.id))?;
            reading(&read, session.reader())
        }
        Kind::MachineCheck => {
            let check = book.get::<MachineCheck>(Id::from_uuid(of.id))?;
            check_item(check.item).said(language).to_owned()
        }
        kind => kind.word().said(language).to_owned(),
    })
}

fn reading(reading: &Reading, Reader { units, language }: Reader) -> String {
    let zone = match (&reading.zone, ZoneName::of(&reading.zone)) {
        (Zone::Height(height), _) => say!(language, "At {height}", height = height.text),
        (_, zone) => zone
            .map_or("", |zone| zone.word().said(language))
            .to_owned(),
    };
    let face = reading.face.map_or("", |face| {
        match face {
            Face::Front => word!(ctx: "face in a list", "front"),
            Face::Right => word!(ctx: "face in a list", "right"),
            Face::Back => word!(ctx: "face in a list", "back"),
            Face::Left => word!(ctx: "face in a list", "left"),
        }
        .said(language)
    });
    listed([
        zone,
        face.to_owned(),
        written_force(reading.measure.written(), units),
    ])
}

/// A part of the machine, as the check list names it.
#[must_use]
pub const fn check_item(item: CheckItem) -> Word {
    match item {
        CheckItem::RollerLight => word!("Light between the rollers"),
        CheckItem::RollerGap => word!("Gap between the rollers"),
        CheckItem::RollerSurface => word!("Surface of the rollers"),
        CheckItem::ChainOrBelt => word!("Chain or belt"),
        CheckItem::SprocketsOrGears => word!("Sprockets or gears"),
        CheckItem::Springs => word!("Springs"),
        CheckItem::Brake => word!("Brake"),
        CheckItem::CarriageTravel => word!("Travel of the carriage"),
        CheckItem::FilmPath => word!("Path of the film"),
        CheckItem::ClampAndCutter => word!("Clamp and cutter"),
        CheckItem::FilmTail => word!("End of the film"),
    }
}

/// The readings of a load that have pictures.
fn below(session: &Session, of: RecordRef) -> Result<Vec<BelowRow>, BookError> {
    if of.kind != Kind::Load {
        return Ok(Vec::new());
    }
    let mut rows = Vec::new();
    for reading_of in session
        .book()
        .children::<Reading, Load>(Id::from_uuid(of.id))?
    {
        let photos = session.book().photos_of(reading_of.reference())?.len();
        if photos > 0 {
            rows.push(BelowRow {
                of: reading_of.reference(),
                title: reading(&reading_of.body, session.reader()),
                detail: say_count!(session.language(), photos, "{n} photo", "{n} photos"),
            });
        }
    }
    Ok(rows)
}

/// How many pictures a record has, its readings' with it.
///
/// # Errors
/// The store's errors.
pub fn how_many(session: &Session, of: RecordRef) -> Result<usize, BookError> {
    let mut photos = session.book().photos_of(of)?.len();
    if of.kind == Kind::Load {
        let load: Id<Load> = Id::from_uuid(of.id);
        for reading in session.book().children::<Reading, _>(load)? {
            photos += session.book().photos_of(reading.reference())?.len();
        }
    }
    Ok(photos)
}

/// How this device keeps pictures.
///
/// # Errors
/// The store's errors.
pub fn options(session: &Session) -> Result<Options, BookError> {
    let book = session.book();
    let long_side = book.state(LONG_SIDE)?.and_then(|text| text.parse().ok());
    Ok(Options {
        long_side: long_side.unwrap_or(Options::default().long_side),
        keep: Keep {
            position: book.state(POSITION)?.as_deref() == Some(KEPT),
            camera: book.state(CAMERA)?.as_deref() == Some(KEPT),
        },
        ..Options::default()
    })
}

/// Keeps the position in pictures from now on, or not.
pub fn keep_position(session: &mut Session, keep: bool) {
    choose(session, POSITION, keep);
}

/// Keeps the camera's name and numbers in pictures from now on, or not.
pub fn keep_camera_notes(session: &mut Session, keep: bool) {
    choose(session, CAMERA, keep);
}

fn choose(session: &mut Session, key: &str, keep: bool) {
    let kept = session
        .book
        .set_state(key, if keep { KEPT } else { "left out" });
    session.report(kept);
}

/// Limits the longest side of pictures from now on.
pub fn limit_long_side(session: &mut Session, pixels: u32) {
    let kept = session.book.set_state(LONG_SIDE, &pixels.to_string());
    session.report(kept);
}

/// Goes to the pictures of a record.
pub fn open(session: &mut Session, of: RecordRef) {
    session.go(Place::Photos(of));
}

/// Asks the platform for a picture.
pub fn ask(session: &mut Session, of: RecordRef, from: PictureFrom) {
    session.photo_kept = None;
    super::ask_picture(session, from, For::Record(of));
}

/// Takes up what has come in beside the screens: the platform's answers, and pictures that are on
/// disk. Whether there was anything.
pub fn take_up(session: &mut Session) -> bool {
    let mut any = false;
    while let Some(answered) = session.work.next_answer() {
        any = true;
        let (file, wanted) = match answered {
            Answered::File { file, wanted } => (file, wanted),
            Answered::Shared(Ok(said)) => {
                say(session, Tone::Good, said, None);
                continue;
            }
            Answered::Shared(Err(why)) => {
                say(session, Tone::Bad, why, None);
                continue;
            }
        };
        match (file, wanted) {
            (Ok(Some(file)), For::Label) => session.work.look_for_labels(file),
            (Ok(Some(file)), For::DayFile) => super::send::take_in(session, file),
            (Ok(Some(file)), For::Record(of)) => {
                let options = options(session);
                if let Some(options) = session.report(options) {
                    let folder = session.book().photo_folder();
                    let mark = session.device.mark_of(&file);
                    session.work.take_in(of, (file, mark), folder, options);
                }
            }
            (Ok(None), _) => {}
            (Err(why), _) => say(session, Tone::Bad, why, None),
        }
    }
    while let Some(done) = session.work.next_done() {
        any = true;
        record(session, done);
    }
    any
}

fn record(session: &mut Session, done: Done) {
    let language = session.language();
    let (kept, recorded, said) = match done {
        Done::Seen { file, read } => {
            let became = if read.is_ok() {
                Became::Recorded
            } else {
                Became::Refused
            };
            let more = session.device.served(&file, became);
            return super::find::take_up(session, read.map_err(|why| with(why, more)));
        }
        Done::Written(written) => return super::send::written(session, written),
        Done::Pages {
            visit,
            options,
            made,
        } => return super::report::written(session, visit, options, made),
        Done::Merged(merged) => return super::send::merged(session, merged),
        Done::Taken {
            kept: Err(error),
            file,
            ..
        } => {
            let full = error == PhotoError::DiskFull;
            return not_kept(session, &file, full, sentence(&error.said(language)));
        }
        Done::Marked { kept: Err(why), .. } => {
            say_after(session, Tone::Bad, sentence(&why), None);
            return;
        }
        Done::Taken {
            of,
            file,
            kept: Ok(kept),
        } => {
            // The phone may have ended the app after it was recorded and before it was cleared away.
            let known = session.book.photos_of(of);
            let Some(known) = session.report(known) else {
                return;
            };
            if known.iter().any(|photo| photo.sha256 == kept.sha256()) {
                session.device.served(&file, Became::Recorded);
                let text = say!(language, "This photo is kept here already.");
                say_after(session, Tone::Info, text, None);
                return;
            }
            let finding = shown_by(session, of);
            let done = session.book.act("add_photo", |act| {
                let photo = act.add_photo(&kept, of, "")?;
                if let Some(finding) = finding {
                    act.change(finding, |it| it.evidence.push(photo.reference()))?;
                }
                Ok(photo)
            });
            if let Err(error @ BookError::DiskFull) = &done {
                return not_kept(session, &file, true, sentence(&error.said(language)));
            }
            if done.is_ok() {
                session.device.served(&file, Became::Recorded);
            }
            (kept, done, say!(language, "Photo kept."))
        }
        Done::Marked {
            original,
            kept: Ok(kept),
        } => {
            let done = session
                .book
                .act("mark_photo", |act| act.add_marked_photo(&kept, original));
            (
                kept,
                done,
                say!(
                    language,
                    "Copy with marks kept. The photo itself is as it was."
                ),
            )
        }
    };
    if let Some(done) = session.report(recorded) {
        session.device.buzz();
        let notes = kept.notes().iter().map(|note| note_words(*note, language));
        let words: Vec<String> = std::iter::once(said).chain(notes).collect();
        let text = words.join(" ");
        let there = Place::Photos(done.value.of);
        match done.action {
            // In the page, so that the way to the next photo stays free.
            Some(action) if session.here() == there => {
                session.photo_kept = Some((text, action));
                let photos = session.book.photos_of(done.value.of);
                if let Some(photos) = session.report(photos) {
                    session.show_end(List::Photos, photos.len());
                }
            }
            // One with marks is kept from its own page.
            Some(action) if matches!(session.here(), Place::Photo(_)) => {
                say_after(session, Tone::Good, text, Some(NoticeAct::Undo(action)));
            }
            _ => say_after(session, Tone::Good, text, Some(NoticeAct::Open(there))),
        }
    }
}

/// Says that a picture could not be taken in: why, and what is to be done about it. A device that gives
/// it again once there is room knows that better.
fn not_kept(session: &mut Session, file: &Path, full: bool, why: String) {
    let text = if full {
        session.device.served(file, Became::NoRoom).unwrap_or(why)
    } else {
        with(why, session.device.served(file, Became::Refused))
    };
    say_after(session, Tone::Bad, text, None);
}

/// A sentence, and one more where there is one.
fn with(mut text: String, more: Option<String>) -> String {
    if let Some(more) = more {
        text.push(' ');
        text.push_str(&more);
    }
    text
}

/// The finding that a picture of a machine's check bears out.
fn shown_by(session: &mut Session, of: RecordRef) -> Option<Id<Finding>> {
    if of.kind != Kind::MachineCheck {
        return None;
    }
    let book = &session.book;
    let found = book
        .get::<MachineCheck>(Id::from_uuid(of.id))
        .and_then(|check| super::machine::finding::of_check(book, &check));
    let found = session.report(found).flatten()?;
    Some(found.id)
}

/// Takes back the photo that was just kept. Its file stays.
pub fn undo(session: &mut Session) {
    if let Some((_, action)) = session.photo_kept.take() {
        let done = session.book.undo(action);
        session.report(done);
    }
}

fn note_words(note: Note, language: Language) -> String {
    sentence(note.said(language))
}

fn say(session: &mut Session, tone: Tone, text: String, act: Option<NoticeAct>) {
    session.say(Notice { tone, text, act });
}

/// Calls off the pictures that are on their way.
pub fn call_off(session: &mut Session) {
    session.work.call_off(About::Pictures);
}

fn caption_field(id: Id<Photo>) -> String {
    format!("caption {id}")
}

/// Notes what stands half typed.
pub fn draft_caption(session: &mut Session, id: Id<Photo>, text: &str) {
    session.draft(&caption_field(id), text);
}

/// Keeps a caption.
pub fn edit_caption(session: &mut Session, id: Id<Photo>, text: &str) {
    session.settle(&caption_field(id), text, |session, text| {
        let words = text.trim().to_owned();
        session
            .book
            .act("caption_photo", |act| act.caption_photo(id, words))?;
        Ok(())
    });
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session, of: RecordRef) {
    let photos = session.book.photos_of(of);
    for photo in session.report(photos).unwrap_or_default() {
        if let Some(text) = session.unsettled(&caption_field(photo.id)) {
            edit_caption(session, photo.id, &text);
        }
    }
}

/// Moves a picture one place on or back among those of its record.
pub fn step(session: &mut Session, id: Id<Photo>, later: bool) {
    let place = || -> Result<Option<usize>, BookError> {
        let photo = session.book.get(id)?;
        let photos = session.book.photos_of(photo.of)?;
        Ok(photos.iter().position(|photo| photo.id == id))
    };
    let place = place();
    let Some(Some(place)) = session.report(place) else {
        return;
    };
    let to = if later {
        place.saturating_add(1)
    } else {
        place.saturating_sub(1)
    };
    let done = session
        .book
        .act("move_photo", |act| act.place_photo(id, to));
    session.report(done);
}
