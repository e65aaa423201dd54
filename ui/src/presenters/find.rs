//! Find: from a label, or the code under it, to the sample's record.

use tautbook_core::book::BookError;
use tautbook_core::label::read::Reading;
use tautbook_core::label::{
    Lookup, NearMiss, SampleFacts, ShortCode, Typed, look_up_pictured, look_up_typed, sample_facts,
};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{Id, Sample, SampleEventKind};
use tautbook_core::words::figures::sentence;

use super::send::say_elsewhere;
use super::{keep, sample};
use crate::device::PictureFrom;
use crate::place::Place;
use crate::session::{Entry, FieldError, Session, Tone};
use crate::work::{About, For};

/// A line of what was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The sample it leads to; `None` for words only.
    pub sample: Option<Id<Sample>>,
    /// What it is.
    pub title: String,
    /// Where and when it was kept.
    pub detail: String,
}

/// What was found by the last picture or code.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Found {
    /// The samples, to choose from.
    pub lines: Vec<Line>,
    /// What else there is to say, a sentence each.
    pub said: Vec<String>,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The code typed.
    pub code: Entry,
    /// What was found last.
    pub found: Found,
    /// A picture is being looked at: how far, 0 to 1.
    pub working: Option<f32>,
    /// There is a camera.
    pub camera: bool,
    /// What is due for release, the longest due first.
    pub due: Vec<keep::SampleRow>,
    /// How many are due besides.
    pub others_due: usize,
}

/// At most so many of those due are shown; the rest comes up as these are dealt with. A page of all would be
/// longer than can be drawn.
const MOST_DUE: usize = 20;

const CODE: &str = "code";

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session) -> Result<View, BookError> {
    let due = sample::due(session)?;
    Ok(View {
        code: session.entry(CODE, "", ""),
        found: session.found.clone(),
        working: session.work.share(About::Labels),
        camera: session.device.has_camera(),
        others_due: due.len().saturating_sub(MOST_DUE),
        due: due
            .iter()
            .take(MOST_DUE)
            .map(|facts| keep::row(session, &session.book().get(facts.sample)?))
            .collect::<Result<_, _>>()?,
    })
}

/// Notes the code half typed.
pub fn draft(session: &mut Session, text: &str) {
    session.draft(CODE, text);
}

/// Looks for the sample of a code that was typed: a short one, or a long one read by another
/// program.
pub fn look(session: &mut Session, text: &str) {
    if text.trim().is_empty() {
        session.drop_draft(CODE);
        return;
    }
    session.settle(CODE, text, |session, text| {
        let found = by_code(session, text.trim())?;
        take(session, found);
        Ok(())
    });
}

fn by_code(session: &mut Session, text: &str) -> Result<Found, FieldError> {
    let language = session.language();
    let near_lines = |near: &[NearMiss]| {
        near.iter()
            .map(|near| near_line(near, language))
            .collect::<Vec<_>>()
    };
    match look_up_typed(session.book(), text)? {
        Typed::Here(found) => Ok(Found {
            lines: found.iter().map(|facts| line(facts, language)).collect(),
            said: Vec::new(),
        }),
        Typed::Elsewhere { code, near } => Ok(Found {
            lines: near_lines(&near),
            said: vec![say!(
                language,
                "No sample in this book has the code {code}: it was kept on another device. Bring in the day file with its visit, then look again.",
                code = code
            )],
        }),
        Typed::Mistyped { why, near } => {
            session.found = Found {
                lines: near_lines(&near),
                said: Vec::new(),
            };
            Err(FieldError::Text(sentence(&why.said(language))))
        }
        Typed::Scanned(elsewhere) => Ok(Found {
            lines: Vec::new(),
            said: vec![sentence(&elsewhere.said(language))],
        }),
        Typed::Refused(why) => Err(FieldError::Text(sentence(&why.said(language)))),
    }
}

fn near_line(near: &NearMiss, language: Language) -> Line {
    Line {
        sample: Some(near.sample.sample),
        title: say!(language, "Or is it {code}?", code = near.code),
        detail: say!(
            language,
            "{sample}: {slip}",
            sample = near.sample,
            slip = near.slip.said(language)
        ),
    }
}

fn line(facts: &SampleFacts, language: Language) -> Line {
    let what = keep::kind_words(facts.what).said(language);
    Line {
        sample: Some(facts.sample),
        title: if facts.set_aside {
            say!(language, "{what}, set aside", what = what)
        } else {
            what.to_owned()
        },
        detail: facts.to_string(),
    }
}

/// Takes up what a picture showed.
pub(crate) fn take_up(session: &mut Session, read: Result<Reading, String>) {
    let language = session.language();
    let reading = match read {
        Ok(reading) => reading,
        Err(why) => {
            let found = Found {
                lines: Vec::new(),
                said: vec![sentence(&why)],
            };
            take(session, found);
            return;
        }
    };
    let pictured = look_up_pictured(session.book(), &reading);
    let Some(pictured) = session.report(pictured) else {
        return;
    };
    let mut found = Found::default();
    if pictured.found.is_empty() {
        found.said.push(sentence(&pictured.said(language)));
    }
    for (lookup, seen) in pictured.found.into_iter().zip(&reading.labels) {
        match lookup {
            Lookup::Here(facts) => found.lines.push(line(&facts, language)),
            elsewhere @ Lookup::Elsewhere { .. } => {
                let code = ShortCode::of(seen.code.sample());
                found.said.push(say!(
                    language,
                    "{code}: {why}.",
                    code = code,
                    why = elsewhere.said(language)
                ));
            }
        }
    }
    take(session, found);
}

/// One sample alone is opened; of several the person chooses.
fn take(session: &mut Session, found: Found) {
    let only = match found.lines.as_slice() {
        [only] if found.said.is_empty() => only.sample,
        _ => None,
    };
    session.found = found;
    match only {
        Some(sample) if session.here() == Place::Find => open(session, sample),
        // Nobody is taken from where they went meanwhile.
        Some(_) => {
            let text = say!(session.language(), "A label was found in the picture.");
            say_elsewhere(session, Tone::Good, text, Place::Find);
        }
        None if session.here() == Place::Find => {}
        None => {
            let said = session.found.said.first().cloned();
            let text = said
                .unwrap_or_else(|| say!(session.language(), "Labels were found in the picture."));
            say_elsewhere(session, Tone::Info, text, Place::Find);
        }
    }
}

/// Opens a sample that was found, and notes that it was.
pub fn open(session: &mut Session, id: Id<Sample>) {
    session.found = Found::default();
    let facts = sample_facts(session.book(), id);
    let Some(facts) = session.report(facts) else {
        return;
    };
    if facts.set_aside {
        // Whoever found it wants to see it: it comes back into the lists.
        let back = session.book.bring_back(id.reference());
        if session.report(back).is_none() {
            return;
        }
    }
    session.go(Place::Sample(id));
    sample::note(session, id, SampleEventKind::Found);
}

/// Opens a sample of the list of what is due.
pub fn open_due(session: &mut Session, id: Id<Sample>) {
    session.go(Place::Sample(id));
}

/// Asks the platform for a picture to look for labels in.
pub fn ask(session: &mut Session, from: PictureFrom) {
    session.found = Found::default();
    super::ask_picture(session, from, For::Label);
}

/// Calls off looking for labels.
pub fn call_off(session: &mut Session) {
    session.work.call_off(About::Labels);
}
