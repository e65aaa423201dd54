//! Sample: one kept sample, its label and what became of it.

use std::path::PathBuf;

use chrono::{Days, Months, NaiveDate};
use tautbook_core::book::BookError;
use tautbook_core::label::print::{Dpi, LabelText, LabelWords, Paper, Raster, pdf, rasters};
use tautbook_core::label::{SampleFacts, SampleState, ShortCode, sample_facts, samples_due};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{Id, Record, Sample, SampleEvent, SampleEventKind, SampleKind};
use tautbook_core::word;
use tautbook_core::words::dates::short_time;
use tautbook_core::words::figures::sentence;

use super::visit::{parse_date, written_date};
use crate::lists::{List, Shown};
use crate::session::{Entry, Notice, NoticeAct, Question, Session, Tone, WhenYes};

/// The fields of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// Where it stands.
    Place,
    /// Until when it is kept.
    Until,
    /// Anything else.
    Notes,
}

impl Field {
    const ALL: [Self; 3] = [Self::Place, Self::Until, Self::Notes];

    const fn name(self) -> &'static str {
        match self {
            Self::Place => "place",
            Self::Until => "until",
            Self::Notes => "notes",
        }
    }
}

/// Something that happened to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventRow {
    /// What.
    pub title: String,
    /// When.
    pub detail: String,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// What was kept.
    pub what: SampleKind,
    /// Where it stands.
    pub place: Entry,
    /// Until when.
    pub until: Entry,
    /// Anything else.
    pub notes: Entry,
    /// What stands on its label.
    pub label: LabelText,
    /// The code to type when the square code is torn.
    pub short_code: String,
    /// The paper its label is printed on.
    pub paper: Paper,
    /// What happened to it, latest first, some at a time.
    pub events: Shown<EventRow>,
    /// It was released.
    pub released: bool,
}

/// Where the paper is remembered.
const PAPER: &str = "label_paper";

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, id: Id<Sample>) -> Result<View, BookError> {
    let book = session.book();
    let sample = book.get(id)?;
    let until = sample
        .retain_until
        .map(|date| written_date(date, session.language()))
        .unwrap_or_default();
    let mut events = book.children::<SampleEvent, _>(id)?;
    let state = SampleState::of(&events);
    events.sort_by_key(|event| std::cmp::Reverse((event.at.unix_ms(), event.id)));
    let entry = |field: Field, kept: &str| session.entry(field.name(), kept, "");
    Ok(View {
        what: sample.what,
        place: entry(Field::Place, &sample.place),
        until: entry(Field::Until, &until),
        notes: entry(Field::Notes, &sample.notes),
        label: LabelWords::of(session.language()).label(&sample_facts(book, id)?),
        short_code: ShortCode::of(id).to_string(),
        paper: paper(session)?,
        events: session
            .shown(List::Events, events)
            .map(|event| event_row(&event, session.language())),
        released: state.released.is_some(),
    })
}

fn event_row(event: &Record<SampleEvent>, language: Language) -> EventRow {
    let what = match event.what {
        SampleEventKind::Labelled => word!(ctx: "sample", "Label put on"),
        SampleEventKind::Found => word!(ctx: "sample", "Found"),
        SampleEventKind::Moved => word!(ctx: "sample", "Moved"),
        SampleEventKind::Released => word!(ctx: "sample", "Released"),
    }
    .said(language);
    let title = match event.notes.trim() {
        "" => what.to_owned(),
        notes => say!(language, "{what}: {notes}", what = what, notes = notes),
    };
    EventRow {
        title,
        detail: short_time(&event.at.date_time(), language),
    }
}

fn paper(session: &Session) -> Result<Paper, BookError> {
    let kept = session.book().state(PAPER)?.unwrap_or_default();
    let of = |paper: &Paper| format!("{paper:?}") == kept;
    Ok(Paper::ALL.into_iter().find(of).unwrap_or(Paper::FourBySix))
}

/// Chooses the paper labels are printed on.
pub fn pick_paper(session: &mut Session, paper: Paper) {
    let kept = session.book.set_state(PAPER, &format!("{paper:?}"));
    session.report(kept);
}

/// Chooses what was kept.
pub fn pick(session: &mut Session, id: Id<Sample>, what: SampleKind) {
    let done = session.book.act("edit_sample", |act| {
        act.change(id, |sample| sample.what = what)
    });
    session.report(done);
}

/// Notes what stands half typed.
pub fn draft(session: &mut Session, field: Field, text: &str) {
    session.draft(field.name(), text);
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session, id: Id<Sample>) {
    for field in Field::ALL {
        if let Some(text) = session.unsettled(field.name()) {
            edit(session, id, field, &text);
        }
    }
}

/// Keeps what was typed.
pub fn edit(session: &mut Session, id: Id<Sample>, field: Field, text: &str) {
    session.settle(field.name(), text, |session, text| {
        let words = text.trim().to_owned();
        match field {
            Field::Place => session.change("edit_sample", id, |sample: &mut Sample| {
                sample.place = words;
            }),
            Field::Notes => session.change("edit_sample", id, |sample: &mut Sample| {
                sample.notes = words;
            }),
            Field::Until => {
                let until = if words.is_empty() {
                    None
                } else {
                    Some(parse_date(&words, session.language())?)
                };
                session.change("edit_sample", id, |sample: &mut Sample| {
                    sample.retain_until = until;
                })
            }
        }
    });
}

/// Keeps it for so long from the day it would be kept until anyway, or from today.
pub fn keep_longer(session: &mut Session, id: Id<Sample>, weeks: u32, months: u32) {
    let sample = session.book.get(id);
    let Some(sample) = session.report(sample) else {
        return;
    };
    let today = session.book.now().date_time().date_naive();
    let from = sample.retain_until.map_or(today, |until| until.max(today));
    let until = longer(from, weeks, months);
    session.drop_draft(Field::Until.name());
    let done = session.book.act("edit_sample", |act| {
        act.change(id, |sample| sample.retain_until = until)
    });
    session.report(done);
}

fn longer(from: NaiveDate, weeks: u32, months: u32) -> Option<NaiveDate> {
    from.checked_add_days(Days::new(u64::from(weeks) * 7))?
        .checked_add_months(Months::new(months))
}

/// The label as dots, as a label printer has them.
///
/// # Errors
/// Why it cannot be drawn.
pub fn picture(label: &LabelText, language: Language) -> Result<Raster, String> {
    let made = rasters(std::slice::from_ref(label), Paper::FourBySix, Dpi::Dpi203)
        .map_err(|error| sentence(&error.said(language)))?
        .made;
    made.into_iter()
        .next()
        .ok_or_else(|| say!(language, "The label could not be drawn."))
}

/// Writes the label as PDF beside the book and hands it to the platform.
pub fn share_label(session: &mut Session, id: Id<Sample>) {
    let view = view(session, id);
    let Some(view) = session.report(view) else {
        return;
    };
    match write_label(session, &view) {
        Ok((file, notes)) => super::share(session, &file, notes),
        Err(text) => session.say(Notice {
            tone: Tone::Bad,
            text,
            act: None,
        }),
    }
}

/// The file, and what could not be printed as it was written.
fn write_label(session: &Session, view: &View) -> Result<(PathBuf, Vec<String>), String> {
    let language = session.language();
    let printed = pdf(std::slice::from_ref(&view.label), view.paper)
        .map_err(|error| sentence(&error.said(language)))?;
    let folder = session.book().path().with_file_name("labels");
    let file = folder.join(format!("label-{}.pdf", view.short_code));
    std::fs::create_dir_all(&folder)
        .and_then(|()| std::fs::write(&file, &printed.made))
        .map_err(|error| {
            say!(
                language,
                "The label could not be written to {folder}: {error}. Free some space or check the storage, then try again.",
                folder = folder.display(),
                error = error
            )
        })?;
    let notes = printed
        .notes
        .iter()
        .map(|note| say!(language, "Note: {note}.", note = note.said(language)));
    Ok((file, notes.collect()))
}

/// Notes that something happened to it now.
pub fn note(session: &mut Session, id: Id<Sample>, what: SampleEventKind) {
    let done = session.book.act("note_sample_event", |act| {
        let at = act.now();
        let notes = if what == SampleEventKind::Moved {
            act.get(id)?.body.place
        } else {
            String::new()
        };
        act.add(SampleEvent {
            sample: id,
            what,
            at,
            notes,
        })
    });
    if let Some(done) = session.report(done) {
        session.show_first();
        session.device.buzz();
        let text = match what {
            SampleEventKind::Labelled => word!("Noted: the label is on it."),
            SampleEventKind::Found => word!("Noted: found."),
            SampleEventKind::Moved => word!("Noted: moved. Write where it stands now."),
            SampleEventKind::Released => word!("Noted: released."),
        }
        .said(session.language());
        session.say(Notice {
            tone: Tone::Good,
            text: text.to_owned(),
            act: done.action.map(NoticeAct::Undo),
        });
    }
}

/// Asks whether to release it.
pub fn ask_release(session: &mut Session, id: Id<Sample>) {
    let language = session.language();
    session.ask(Question {
        title: say!(language, "Release this sample?"),
        text: say!(
            language,
            "Whoever has it may then unwrap, ship or throw it away. Measure it once more before, if that is still to be done."
        ),
        yes: say!(language, "Release it"),
        no: say!(language, "Keep it"),
        when_yes: WhenYes::Release(id),
    });
}

/// Asks whether to set the record aside.
pub fn ask_set_aside(session: &mut Session, id: Id<Sample>) {
    let sample = session.book.get(id);
    if let Some(sample) = session.report(sample) {
        let language = session.language();
        super::ask_set_aside(
            session,
            say!(language, "Set this sample aside?"),
            say!(
                language,
                "It leaves the lists. Its label would still find it. Nothing is deleted, and you can bring it back."
            ),
            sample.reference(),
        );
    }
}

/// The samples in use of the whole book that are due for release, the longest first.
///
/// # Errors
/// The store's errors.
pub fn due(session: &Session) -> Result<Vec<SampleFacts>, BookError> {
    let today = session.book().now().date_time().date_naive();
    samples_due(session.book(), today)
}
