//! Send: the day's work as one file, and the files of others taken in.

use std::collections::BTreeSet;
use std::path::PathBuf;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use tautbook_core::book::{BookError, VisitSummary};
use tautbook_core::survey::{Id, Record, Visit};
use tautbook_core::words::dates::short_date;
use tautbook_core::words::figures::sentence;
use tautbook_core::{say, say_count};

use super::arrivals::say_after;
use crate::device::Became;
use crate::place::Place;
use crate::session::{Entry, NoticeAct, Session, Tone};
use crate::work::{About, For, Holds, Outgoing, Refused, Sent, Taken, What};

/// How many visits are offered at a time, the latest at first. A page of all would be longer than can be
/// drawn.
const OFFERED: u32 = 20;

/// Where the file made last is remembered, for it is there still when the app comes back from one that
/// sends it.
pub(crate) const MADE: &str = "day_file_made";

/// What goes into the next day file, and what came of the last. Which file was made of what is written
/// down; a passphrase never is.
#[derive(Debug, Default)]
pub(crate) struct Sending {
    /// Which page of the visits is shown: the latest at 0.
    page: u32,
    /// The visits chosen by hand; those of the latest day until any is.
    chosen: Option<BTreeSet<Id<Visit>>>,
    passphrase: String,
    /// Without the customer's reports.
    bare: bool,
    made: Option<Sent>,
    /// How the reports in it were made.
    made_as: String,
    /// What the file under way was asked to be.
    making: Option<Asked>,
    wrong: String,
    taken: Vec<Taken>,
    /// What was not taken in; of those that are locked the first is asked about.
    refused: Vec<Refused>,
    unlock: String,
    /// Values to look through, as counted on arriving.
    differences: usize,
}

/// What a day file was asked to be.
#[derive(Debug, PartialEq, Eq)]
struct Asked {
    visits: Vec<Id<Visit>>,
    bare: bool,
    passphrase: String,
    reports: String,
}

/// A file and what it was made of, as remembered.
#[derive(Serialize, Deserialize)]
struct MadeOf {
    made: Sent,
    chosen: Option<BTreeSet<Id<Visit>>>,
    bare: bool,
    #[serde(default)]
    made_as: String,
}

impl Sending {
    /// As it was, by what was remembered under [`MADE`].
    pub(crate) fn again(remembered: &str) -> Self {
        let Ok(of) = serde_json::from_str::<MadeOf>(remembered) else {
            return Self::default();
        };
        Self {
            made: there(of.made),
            made_as: of.made_as,
            chosen: of.chosen,
            bare: of.bare,
            ..Self::default()
        }
    }
}

/// A visit to send or not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VisitTick {
    /// Which.
    pub id: Id<Visit>,
    /// Customer, site, day and what was done.
    pub text: String,
    /// It goes out.
    pub chosen: bool,
}

/// A file that was made or taken in.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FileView {
    /// Its name.
    pub name: String,
    /// What is in it, or what came of it, a line each.
    pub lines: Vec<String>,
    /// What to take care about, a sentence each.
    pub cautions: Vec<String>,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The visits that are shown, the latest first.
    pub visits: Vec<VisitTick>,
    /// How many go out, these and others.
    pub chosen: usize,
    /// How many earlier ones would be offered next.
    pub earlier: u32,
    /// There are later ones before these.
    pub later: bool,
    /// The customer's report of each visit goes with it.
    pub reports: bool,
    /// What locks the file; blank leaves it open.
    pub passphrase: Entry,
    /// The file made last.
    pub made: Option<FileView>,
    /// The files taken in last.
    pub taken: Vec<FileView>,
    /// Why others were not, a sentence each.
    pub refused: Vec<String>,
    /// A file is locked: its passphrase is asked for.
    pub unlock: Option<Entry>,
    /// How far the work is, 0 to 1.
    pub working: Option<f32>,
    /// Values that gave way and were not looked through.
    pub differences: usize,
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session) -> Result<View, BookError> {
    let sending = &session.sending;
    let visits = session.book().visits(first(session), OFFERED)?;
    let chosen = chosen(session)?;
    let ticks = visits.iter().map(|visit| VisitTick {
        id: visit.id,
        text: words(session, visit),
        chosen: chosen.iter().any(|chosen| chosen.id == visit.id),
    });
    let plain = |text: &str, error: &str| Entry {
        text: text.to_owned(),
        error: error.to_owned(),
        ..Entry::default()
    };
    let several = sending.taken.len() + sending.refused.len() > 1;
    let why = |refused: &Refused| {
        if several {
            not_taken_words(session, refused)
        } else {
            sentence(&refused.why)
        }
    };
    let (locked, refused): (Vec<_>, Vec<_>) =
        sending.refused.iter().partition(|refused| refused.locked);
    Ok(View {
        visits: ticks.collect(),
        chosen: chosen.len(),
        earlier: earlier(session, visits.len())?,
        later: sending.page > 0,
        reports: !sending.bare,
        passphrase: plain(&sending.passphrase, &sending.wrong),
        made: made(session).map(|made| made_words(session, made)),
        taken: sending
            .taken
            .iter()
            .map(|taken| taken_words(session, taken))
            .collect(),
        unlock: locked
            .first()
            .map(|locked| plain(&sending.unlock, &why(locked))),
        refused: refused.into_iter().map(why).collect(),
        working: session.work.share(About::DayFile),
        differences: sending.differences,
    })
}

/// How many visits come before the page that is shown.
fn first(session: &Session) -> u32 {
    OFFERED.saturating_mul(session.sending.page)
}

/// How many visits would be offered next, where so many are shown. They are counted only where there may
/// be more.
fn earlier(session: &Session, shown: usize) -> Result<u32, BookError> {
    if shown < as_count(OFFERED) {
        return Ok(0);
    }
    let before = first(session).saturating_add(OFFERED);
    let left = session.book().visit_count()?.saturating_sub(before);
    Ok(left.min(OFFERED))
}

/// Shows earlier visits. What is ticked stays so.
pub fn offer_earlier(session: &mut Session) {
    session.sending.page += 1;
}

/// Shows later visits again.
pub fn offer_later(session: &mut Session) {
    session.sending.page = session.sending.page.saturating_sub(1);
}

/// The visits that go out, the latest first: those chosen, on whatever page they stand, else all of the
/// latest day.
fn chosen(session: &Session) -> Result<Vec<Record<Visit>>, BookError> {
    let book = session.book();
    let ids: Vec<Id<Visit>> = match &session.sending.chosen {
        Some(chosen) => chosen.iter().copied().collect(),
        None => of_the_latest_day(session)?,
    };
    let mut visits = Vec::with_capacity(ids.len());
    for id in ids {
        let visit = book.get(id)?;
        // It may have been set aside meanwhile.
        if visit.set_aside.is_none() {
            visits.push(visit);
        }
    }
    visits.sort_by_key(|visit| std::cmp::Reverse((visit.date, visit.id)));
    Ok(visits)
}

fn of_the_latest_day(session: &Session) -> Result<Vec<Id<Visit>>, BookError> {
    let mut ids = Vec::new();
    let mut latest = None;
    loop {
        let skip = u32::try_from(ids.len()).unwrap_or(u32::MAX);
        let visits = session.book().visits(skip, OFFERED)?;
        let latest = *latest.get_or_insert(visits.first().map(|visit| visit.date));
        let of_it = visits.iter().filter(|visit| Some(visit.date) == latest);
        let before = ids.len();
        ids.extend(of_it.map(|visit| visit.id));
        if ids.len() - before < as_count(OFFERED) {
            return Ok(ids);
        }
    }
}

fn words(session: &Session, visit: &VisitSummary) -> String {
    let language = session.language();
    let unnamed = say!(language, "Customer not named yet");
    let customer = match visit.customer.trim() {
        "" => unnamed.as_str(),
        name => name,
    };
    let readings = say_count!(
        language,
        as_count(visit.readings),
        "{n} reading",
        "{n} readings"
    );
    let of = [customer, visit.site.trim()];
    let place: Vec<&str> = of.into_iter().filter(|part| !part.is_empty()).collect();
    format!(
        "{}\n{}  \u{b7}  {readings}",
        place.join(", "),
        short_date(visit.date, language)
    )
}

fn as_count(n: u32) -> usize {
    usize::try_from(n).unwrap_or(usize::MAX)
}

fn made_words(session: &Session, made: &Sent) -> FileView {
    let language = session.language();
    let Holds::Day {
        records,
        photos,
        reports,
        left_out,
        locked,
    } = &made.holds
    else {
        return super::report::made_words(session, made);
    };
    let records = usize::try_from(*records).unwrap_or(usize::MAX);
    let mut lines = vec![
        say_count!(
            language,
            records,
            "{n} record with its history",
            "{n} records with their history"
        ),
        say_count!(language, *photos, "{n} photo", "{n} photos"),
        say_count!(language, *reports, "{n} report", "{n} reports"),
        size(session, made.bytes),
    ];
    if *locked {
        lines.push(say!(
            language,
            "Locked: tell the office the passphrase another way."
        ));
    }
    FileView {
        name: file_name(&made.file),
        lines,
        cautions: left_out
            .iter()
            .map(|why| say!(language, "A photo is not in it. {why}", why = sentence(why)))
            .collect(),
    }
}

#[allow(clippy::cast_precision_loss)] // To one decimal of a megabyte.
pub(super) fn size(session: &Session, bytes: u64) -> String {
    let mb = (bytes as f64 / 1e6).max(0.1);
    let number = tautbook_core::words::figures::decimal(mb, 1, session.units());
    say!(session.language(), "{number} MB", number = number)
}

fn taken_words(session: &Session, taken: &Taken) -> FileView {
    let language = session.language();
    let total = taken.taken.merged.total();
    let mut lines = taken.visits.clone();
    if total.added + total.changed == 0 && taken.taken.photos_added == 0 {
        lines.push(say!(language, "All of it was in this book before."));
    } else {
        let added = total.added;
        let changed = total.changed;
        lines.push(say_count!(
            language,
            added,
            "{n} record is new",
            "{n} records are new"
        ));
        if changed > 0 {
            lines.push(say_count!(
                language,
                changed,
                "{n} record changed",
                "{n} records changed"
            ));
        }
        let photos = taken.taken.photos_added;
        if photos > 0 {
            lines.push(say_count!(
                language,
                photos,
                "{n} photo is new",
                "{n} photos are new"
            ));
        }
    }
    FileView {
        name: file_name(&taken.file),
        lines,
        cautions: Vec::new(),
    }
}

fn file_name(file: &std::path::Path) -> String {
    let name = file.file_name().unwrap_or_default();
    name.to_string_lossy().into_owned()
}

fn not_taken_words(session: &Session, refused: &Refused) -> String {
    say!(
        session.language(),
        "{file} was not taken in. {why}",
        file = file_name(&refused.file),
        why = sentence(&refused.why)
    )
}

/// Opens the screen, with what there is to look through counted. What goes out is chosen anew, unless
/// work is under way or a file of the book as it stands waits to be sent; what became of the files of
/// others stays.
pub fn open(session: &mut Session) {
    if session.work.share(About::DayFile).is_none() && !is_made(session) {
        let before = std::mem::take(&mut session.sending);
        session.sending = Sending {
            taken: before.taken,
            refused: before.refused,
            unlock: before.unlock,
            ..Sending::default()
        };
        made_is(session, None);
    }
    count_differences(session);
    session.go_to(Place::Send);
}

fn count_differences(session: &mut Session) {
    let left = session.book().to_look_through();
    session.sending.differences = session.report(left).map_or(0, |left| left.len());
}

/// Sends a visit or not.
pub fn tick(session: &mut Session, id: Id<Visit>, send: bool) {
    let chosen = chosen(session);
    let Some(chosen) = session.report(chosen) else {
        return;
    };
    let mut chosen: BTreeSet<Id<Visit>> = chosen.iter().map(|visit| visit.id).collect();
    if send {
        chosen.insert(id);
    } else {
        chosen.remove(&id);
    }
    session.sending.chosen = Some(chosen);
    made_is(session, None);
}

/// Sends the customer's reports with the records, or not.
pub fn with_reports(session: &mut Session, reports: bool) {
    session.sending.bare = !reports;
    made_is(session, None);
}

/// Whether a file is made and can be sent.
#[must_use]
pub fn is_made(session: &Session) -> bool {
    made(session).is_some()
}

/// The file made last, while the book is as it was read for it.
fn made(session: &Session) -> Option<&Sent> {
    let made = session.sending.made.as_ref()?;
    let as_now = reports_as(session) == session.sending.made_as;
    (as_now && is_up_to_date(session, made)).then_some(made)
}

/// Whether nothing was done in the book since a file was made of it.
pub(super) fn is_up_to_date(session: &Session, made: &Sent) -> bool {
    let now = session.book().action_count();
    now.is_ok_and(|actions| actions == made.actions)
}

/// Takes the passphrase as it is typed.
pub fn lock(session: &mut Session, text: &str) {
    text.clone_into(&mut session.sending.passphrase);
    session.sending.wrong.clear();
    // It is not locked by this.
    if session.sending.made.is_some() {
        made_is(session, None);
    }
}

/// Makes the day file.
pub fn make(session: &mut Session) {
    let chosen = chosen(session);
    let Some(chosen) = session.report(chosen) else {
        return;
    };
    made_is(session, None);
    let mut reports = Vec::new();
    if !session.sending.bare {
        for visit in &chosen {
            let options = super::report::options(session, visit.id);
            let Some(options) = session.report(options) else {
                return;
            };
            reports.push((
                visit.id,
                super::report::title(visit, session.language()),
                options,
            ));
        }
    }
    session.sending.making = asked(session);
    let passphrase = session.sending.passphrase.clone();
    let book = session.book().path().to_owned();
    session.work.write(Outgoing {
        folder: book.with_file_name("outgoing"),
        book,
        name: name_of(&chosen),
        what: What::Day {
            visits: chosen.iter().map(|visit| visit.id).collect(),
            reports,
            passphrase: (!passphrase.is_empty()).then_some(passphrase),
        },
    });
}

/// What a day file is asked to be: the visits in it, with or without their reports, and what locks it.
fn asked(session: &Session) -> Option<Asked> {
    let chosen = chosen(session).ok()?;
    Some(Asked {
        visits: chosen.iter().map(|visit| visit.id).collect(),
        bare: session.sending.bare,
        passphrase: session.sending.passphrase.clone(),
        reports: reports_as(session),
    })
}

/// How the reports that go out are made: in which language, on what paper.
fn reports_as(session: &Session) -> String {
    if session.sending.bare {
        return String::new();
    }
    super::report::made_as(session)
}

/// A name in letters that every system takes.
pub(super) fn plain(text: &str) -> String {
    let mut name = String::new();
    for sign in text.chars().flat_map(char::to_lowercase) {
        if sign.is_ascii_alphanumeric() {
            name.push(sign);
        } else if !name.ends_with('-') {
            name.push('-');
        }
    }
    name.trim_matches('-').chars().take(40).collect()
}

/// A name that says which day and whose.
fn name_of(visits: &[Record<Visit>]) -> String {
    let days: BTreeSet<NaiveDate> = visits.iter().map(|visit| visit.date).collect();
    let from = days.first().map(ToString::to_string).unwrap_or_default();
    let days = match days.last().map(ToString::to_string) {
        Some(to) if to != from => format!("{from}-to-{to}"),
        _ => from,
    };
    let whose = match visits {
        [one] => plain(&one.customer),
        several => format!("{}-visits", several.len()),
    };
    [days.as_str(), whose.as_str()]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join("-")
}

/// Takes up what became of a file that was to be made.
pub(crate) fn written(session: &mut Session, written: Result<Sent, String>) {
    match written {
        Ok(sent) => {
            // Another file was asked for since: with other visits in it, or locked.
            if session.sending.making.take() != asked(session) {
                let text = say!(
                    session.language(),
                    "What goes out was changed while the file was made: make it again."
                );
                say_elsewhere(session, Tone::Warning, text, Place::Send);
                return;
            }
            made_is(session, Some(sent));
            if session.here() != Place::Send {
                let text = say!(session.language(), "The day file is ready to send.");
                say_elsewhere(session, Tone::Good, text, Place::Send);
            }
        }
        Err(why) => say_elsewhere(session, Tone::Bad, sentence(&why), Place::Send),
    }
}

/// Says something that is about a place, and opens it where the person is somewhere else.
pub(super) fn say_elsewhere(session: &mut Session, tone: Tone, text: String, about: Place) {
    let act = (session.here() != about).then_some(NoticeAct::Open(about));
    say_after(session, tone, text, act);
}

fn made_is(session: &mut Session, made: Option<Sent>) {
    let made_as = reports_as(session);
    let sending = &mut session.sending;
    sending.made.clone_from(&made);
    sending.made_as.clone_from(&made_as);
    let made_of = made.map(|made| MadeOf {
        made,
        chosen: sending.chosen.clone(),
        bare: sending.bare,
        made_as,
    });
    remember(session, MADE, made_of.as_ref());
}

/// Remembers a file that was made, or that none is.
pub(super) fn remember<T: Serialize>(session: &mut Session, key: &str, made: Option<&T>) {
    let done = match made {
        Some(made) => {
            let text = serde_json::to_string(made).unwrap_or_default();
            session.book.set_state(key, &text)
        }
        None => session.book.forget_state(key),
    };
    session.report(done);
}

/// A file that was made; `None` where it is gone.
fn there(made: Sent) -> Option<Sent> {
    made.file.exists().then_some(made)
}

/// Hands the file made last to the platform.
pub fn share(session: &mut Session) {
    if let Some(made) = made(session) {
        let file = made.file.clone();
        super::share(session, &file, Vec::new());
    }
}

/// Asks the platform for a day file to take in.
pub fn ask(session: &mut Session) {
    // One that waits for its passphrase waits on.
    session.sending.refused.retain(|refused| refused.locked);
    session.sending.taken.clear();
    let answer = session.work.answer_to(For::DayFile);
    session.device.ask_day_file(answer);
}

/// Takes in a day file that the platform gave.
pub fn take_in(session: &mut Session, file: PathBuf) {
    let book = session.book().path().to_owned();
    session.work.merge(book, file, None);
}

/// Takes the passphrase of a locked file as it is typed.
pub fn draft_unlock(session: &mut Session, text: &str) {
    text.clone_into(&mut session.sending.unlock);
}

/// Tries again to take in the file that is locked.
pub fn unlock(session: &mut Session) {
    let passphrase = std::mem::take(&mut session.sending.unlock);
    let refused = &mut session.sending.refused;
    let Some(locked) = refused.iter().position(|refused| refused.locked) else {
        return;
    };
    let refused = refused.remove(locked);
    let book = session.book().path().to_owned();
    session.work.merge(book, refused.file, Some(passphrase));
}

/// Takes up what became of a file that was to be taken in.
pub(crate) fn merged(session: &mut Session, merged: Result<Taken, Refused>) {
    let file = match &merged {
        Ok(taken) => &taken.file,
        Err(refused) => &refused.file,
    };
    // What became of it before counts no more.
    session.sending.taken.retain(|taken| taken.file != *file);
    let refused = &mut session.sending.refused;
    refused.retain(|refused| refused.file != *file);
    let (tone, text) = match merged {
        Ok(taken) => {
            session.device.buzz();
            session.device.served(&taken.file, Became::Recorded);
            let file = file_name(&taken.file);
            session.sending.taken.push(taken);
            count_differences(session);
            let text = say!(session.language(), "{file} was taken in.", file = file);
            (Tone::Good, text)
        }
        Err(refused) => {
            let text = not_taken_words(session, &refused);
            if refused.locked {
                // It is tried again, before other locked ones.
                session.sending.refused.insert(0, refused);
            } else {
                session.device.served(&refused.file, Became::Refused);
                session.sending.refused.push(refused);
            }
            (Tone::Bad, text)
        }
    };
    // On the page itself all of it is to be seen.
    if session.here() != Place::Send {
        say_elsewhere(session, tone, text, Place::Send);
    }
}

/// Calls off the day files that are being written or taken in.
pub fn call_off(session: &mut Session) {
    session.work.call_off(About::DayFile);
}

/// Opens the list of values that gave way.
pub fn open_differences(session: &mut Session) {
    session.go(Place::Differences);
}
