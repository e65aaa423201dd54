//! Report: the customer's report of a visit and the loading cards of its lines, made and handed over.

use serde::{Deserialize, Serialize};
use tautbook_core::book::{BookError, Which};
use tautbook_core::language::{Language, Reader};
use tautbook_core::report::{Options, Paper};
use tautbook_core::survey::{Id, Line, RecordSet, Visit};
use tautbook_core::units::{MethodId, UnitChoice, UnitSystem};
use tautbook_core::words::figures::sentence;
use tautbook_core::{say, say_count};

use super::send::{FileView, say_elsewhere, size};
use super::title::customer;
use crate::place::Place;
use crate::session::{Session, Tone};
use crate::work::{About, Holds, Outgoing, Sent, What};

/// Keys of what this device remembers about reports.
const LANGUAGE: &str = "report_language";
const PAPER: &str = "report_paper";

/// Where the files made last are remembered.
pub(crate) const MADE: &str = "pages_made";

/// What was made, at most one file a visit.
#[derive(Debug, Default)]
pub(crate) struct Making {
    made: Vec<MadeOf>,
}

/// A file, the visit it is about and how it was made, as remembered.
#[derive(Debug, Serialize, Deserialize)]
struct MadeOf {
    made: Sent,
    visit: Id<Visit>,
    language: Language,
    paper: Paper,
    units: UnitChoice,
}

impl MadeOf {
    /// Whether it is about the visit, and made as its pages are made now.
    fn is_of(&self, visit: Id<Visit>, options: Options) -> bool {
        let reader = Reader {
            units: self.units,
            language: self.language,
        };
        self.visit == visit && self.paper == options.paper && reader == options.reader
    }
}

impl Making {
    /// As it was, by what was remembered under [`MADE`].
    pub(crate) fn again(remembered: &str) -> Self {
        let mut made: Vec<MadeOf> = serde_json::from_str(remembered).unwrap_or_default();
        made.retain(|of| of.made.file.exists());
        Self { made }
    }

    fn of(&self, visit: Id<Visit>, options: Options) -> Option<&Sent> {
        let made = self.made.iter().find(|made| made.is_of(visit, options))?;
        Some(&made.made)
    }
}

/// A line whose loading card can be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardRow {
    /// The line.
    pub line: Id<Line>,
    /// Its name.
    pub name: String,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The language of the report.
    pub language: Language,
    /// The paper.
    pub paper: Paper,
    /// What will be in it, a line each.
    pub holds: Vec<String>,
    /// What it will have to leave open, a sentence each.
    pub cautions: Vec<String>,
    /// The lines.
    pub cards: Vec<CardRow>,
    /// The file made last of this visit, as it is made now.
    pub made: Option<FileView>,
    /// How far the work is, 0 to 1.
    pub working: Option<f32>,
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, visit: Id<Visit>) -> Result<View, BookError> {
    let records = session.book().visit_records(visit, Which::InUse)?;
    let (holds, cautions) = contents(session, &records);
    let cards = records.lines.iter().map(|line| CardRow {
        line: line.id,
        name: line.name.clone(),
    });
    let (language, paper) = (language(session)?, paper(session)?);
    let made = made(session, visit, Options::of(&records, language, paper));
    Ok(View {
        language,
        paper,
        holds,
        cautions,
        cards: cards.collect(),
        made: made.map(|made| made_words(session, made)),
        working: session.work.share(About::Pages(visit)),
    })
}

fn contents(session: &Session, records: &RecordSet) -> (Vec<String>, Vec<String>) {
    let language = session.language();
    let readings = |method: MethodId| {
        let readings = records.readings.iter();
        readings
            .filter(|reading| reading.measure.method() == method)
            .count()
    };
    let mut holds = vec![
        say_count!(language, records.lines.len(), "{n} line", "{n} lines"),
        say_count!(language, records.loads.len(), "{n} load", "{n} loads"),
    ];
    let torsion = readings(MethodId::TorsionTool);
    if torsion > 0 {
        holds.push(say_count!(
            language,
            torsion,
            "{n} reading by the torsion tool",
            "{n} readings by the torsion tool"
        ));
    }
    let pull = readings(MethodId::PullPlate);
    if pull > 0 {
        holds.push(say_count!(
            language,
            pull,
            "{n} reading by the pull plate",
            "{n} readings by the pull plate"
        ));
    }
    let weighings = records.film_weights.len();
    holds.push(say_count!(
        language,
        weighings,
        "film weighed {n} time",
        "film weighed {n} times"
    ));
    let photos = records.photos.len();
    holds.push(say_count!(language, photos, "{n} photo", "{n} photos"));
    let mut cautions = Vec::new();
    if records.readings.is_empty() {
        cautions.push(say!(
            language,
            "Nothing was read yet: the report will say so."
        ));
    } else if records.targets.is_empty() {
        cautions.push(say!(
            language,
            "No target is set: readings are reported without a verdict. Set the customer’s own target on Results."
        ));
    }
    if weighings == 0 {
        cautions.push(say!(
            language,
            "No film was weighed: the report says nothing of film used and saved."
        ));
    }
    (holds, cautions)
}

pub(super) fn made_words(session: &Session, made: &Sent) -> FileView {
    let language = session.language();
    let mut lines = Vec::new();
    let mut cautions = Vec::new();
    if let Holds::Pages {
        pages,
        missing,
        photos_missing,
    } = &made.holds
    {
        lines.push(say_count!(language, *pages, "{n} page", "{n} pages"));
        if *photos_missing > 0 {
            cautions.push(say_count!(
                language,
                *photos_missing,
                "{n} photo is missing or damaged: the report says so in its place.",
                "{n} photos are missing or damaged: the report says so in their place."
            ));
        }
        if !missing.is_empty() {
            cautions.push(say!(
                language,
                "The typeface has no {signs}: question marks stand in their place.",
                signs = missing
            ));
        }
    }
    lines.push(size(session, made.bytes));
    let name = made.file.file_name().unwrap_or_default();
    FileView {
        name: name.to_string_lossy().into_owned(),
        lines,
        cautions,
    }
}

/// The language reports are made in: as chosen, else that of the screens.
///
/// # Errors
/// The store's errors.
pub fn language(session: &Session) -> Result<Language, BookError> {
    let kept = session.book().state(LANGUAGE)?.unwrap_or_default();
    Ok(Language::of_locale(&kept).unwrap_or(session.language()))
}

/// The paper reports are made on: as chosen, else that usual with the units in use.
///
/// # Errors
/// The store's errors.
pub fn paper(session: &Session) -> Result<Paper, BookError> {
    let kept = session.book().state(PAPER)?.unwrap_or_default();
    let of = |paper: &Paper| format!("{paper:?}") == kept;
    let usual = match session.look().units {
        UnitSystem::Imperial => Paper::Letter,
        UnitSystem::Metric => Paper::A4,
    };
    Ok(Paper::ALL.into_iter().find(of).unwrap_or(usual))
}

/// Makes reports in a language from now on.
pub fn pick_language(session: &mut Session, language: Language) {
    let kept = session.book.set_state(LANGUAGE, language.code());
    session.report(kept);
}

/// Makes reports on a paper from now on.
pub fn pick_paper(session: &mut Session, paper: Paper) {
    let kept = session.book.set_state(PAPER, &format!("{paper:?}"));
    session.report(kept);
}

/// How the report of a visit is made.
///
/// # Errors
/// The store's errors.
pub(super) fn options(session: &Session, visit: Id<Visit>) -> Result<Options, BookError> {
    let records = session.book().visit_records(visit, Which::InUse)?;
    Ok(Options::of(&records, language(session)?, paper(session)?))
}

/// In which language reports are made and on what paper; blank where that cannot be read.
pub(super) fn made_as(session: &Session) -> String {
    match (language(session), paper(session)) {
        (Ok(language), Ok(paper)) => format!("{language:?} {paper:?}"),
        _ => String::new(),
    }
}

/// Opens the screen.
pub fn open(session: &mut Session, visit: Id<Visit>) {
    session.go(Place::Report(visit));
}

/// Makes the report.
pub fn make(session: &mut Session, visit: Id<Visit>) {
    start(session, visit, |options, of| {
        (
            file_name("report", &[&of.customer], of),
            What::Report(visit, options),
        )
    });
}

/// Makes the loading card of a line.
pub fn make_card(session: &mut Session, visit: Id<Visit>, line: Id<Line>) {
    let name = session.book().get(line).map(|line| line.body.name);
    let Some(name) = session.report(name) else {
        return;
    };
    start(session, visit, |options, of| {
        (
            file_name("card", &[&of.customer, &name], of),
            What::Card(visit, line, options),
        )
    });
}

fn file_name(what: &str, of: &[&str], visit: &Visit) -> String {
    let names = of.iter().map(|name| super::send::plain(name));
    let parts = [what.to_owned(), visit.date.to_string()]
        .into_iter()
        .chain(names);
    parts
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("-")
}

fn start(
    session: &mut Session,
    visit: Id<Visit>,
    what: impl FnOnce(Options, &Visit) -> (String, What),
) {
    // One after another: what comes up is what was asked for last.
    if session.work.share(About::Pages(visit)).is_some() {
        return;
    }
    forget(session, visit);
    let of = options(session, visit).and_then(|options| Ok((options, session.book().get(visit)?)));
    let Some((options, of)) = session.report(of) else {
        return;
    };
    let (name, what) = what(options, &of);
    let book = session.book().path().to_owned();
    session.work.write(Outgoing {
        folder: book.with_file_name("outgoing"),
        book,
        name,
        what,
    });
}

/// Takes up what became of pages that were to be made.
pub(crate) fn written(
    session: &mut Session,
    visit: Id<Visit>,
    options: Options,
    made: Result<Sent, String>,
) {
    match made {
        Ok(made) => {
            forget(session, visit);
            session.making.made.push(MadeOf {
                made,
                visit,
                language: options.reader.language,
                paper: options.paper,
                units: options.reader.units,
            });
            remember(session);
            if session.here() != Place::Report(visit) {
                let text = say!(session.language(), "The pages are ready to hand over.");
                say_elsewhere(session, Tone::Good, text, Place::Report(visit));
            }
        }
        Err(why) => say_elsewhere(session, Tone::Bad, sentence(&why), Place::Report(visit)),
    }
}

/// Forgets what was made of a visit.
fn forget(session: &mut Session, visit: Id<Visit>) {
    session.making.made.retain(|made| made.visit != visit);
    remember(session);
}

/// The file made last of a visit, as it is made now, while the book is as it was read for it.
fn made(session: &Session, visit: Id<Visit>, options: Options) -> Option<&Sent> {
    let made = session.making.of(visit, options);
    made.filter(|made| super::send::is_up_to_date(session, made))
}

fn remember(session: &mut Session) {
    let made = std::mem::take(&mut session.making.made);
    super::send::remember(session, MADE, (!made.is_empty()).then_some(&made));
    session.making.made = made;
}

/// Calls off the pages that are being made about a visit.
pub fn call_off(session: &mut Session, visit: Id<Visit>) {
    session.work.call_off(About::Pages(visit));
}

/// Hands the file made last of a visit to the platform.
pub fn share(session: &mut Session, visit: Id<Visit>) {
    let options = options(session, visit);
    let Some(options) = session.report(options) else {
        return;
    };
    if let Some(made) = made(session, visit, options) {
        let file = made.file.clone();
        super::share(session, &file, Vec::new());
    }
}

/// The title of a visit's report, which names its file in a day file.
pub(super) fn title(visit: &Visit, language: Language) -> String {
    format!("{} {}", visit.date, customer(visit, language))
}
