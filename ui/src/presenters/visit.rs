//! Visit: whose, when, why; what to bring; the lines.

use chrono::NaiveDate;
use tautbook_core::book::BookError;
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{Id, Line, ListItem, Load, Purpose, Setup, Visit, WrapperKind};

use super::next_name;
use super::title::customer;
use super::today::keep_rep;
use crate::lists::{List, Shown};
use crate::place::Place;
use crate::session::{Entry, FieldError, Notice, NoticeAct, Session, Tone};

/// The fields of the form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Field {
    /// The customer's name.
    Customer,
    /// The site.
    Site,
    /// The day.
    Date,
    /// Who visits.
    Rep,
    /// Anything else.
    Notes,
}

impl Field {
    /// Every field of the form.
    const ALL: &'static [Self] = &[
        Self::Customer,
        Self::Site,
        Self::Date,
        Self::Rep,
        Self::Notes,
    ];

    const fn name(self) -> &'static str {
        match self {
            Self::Customer => "customer",
            Self::Site => "site",
            Self::Date => "date",
            Self::Rep => "rep",
            Self::Notes => "notes",
        }
    }
}

/// A line of the visit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineRow {
    /// Which.
    pub id: Id<Line>,
    /// Its name.
    pub name: String,
    /// What is wrapped.
    pub product: String,
    /// The wrapper.
    pub wrapper: WrapperKind,
    /// Setups in use.
    pub setups: usize,
    /// Loads in use.
    pub loads: usize,
}

/// A point of the two lists.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// Its place, counted from 0 through the bag and then the safety list.
    pub index: usize,
    /// What it is.
    pub text: String,
    /// It is ticked.
    pub done: bool,
    /// The rep added it.
    pub own: bool,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// Customer.
    pub customer: Entry,
    /// Site.
    pub site: Entry,
    /// Day.
    pub date: Entry,
    /// Who.
    pub rep: Entry,
    /// Notes.
    pub notes: Entry,
    /// Something of the rep's own to bring.
    pub own_item: Entry,
    /// Why.
    pub purpose: Purpose,
    /// What to bring, some at a time.
    pub bag: Shown<Item>,
    /// What protects.
    pub safety: Vec<Item>,
    /// The lines, some at a time.
    pub lines: Shown<LineRow>,
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, id: Id<Visit>) -> Result<View, BookError> {
    let book = session.book();
    let visit = book.get(id)?;
    let shown = session.shown(List::Lines, book.children::<Line, _>(id)?);
    let lines = shown.try_map(|line| -> Result<_, BookError> {
        let setups = book.children::<Setup, _>(line.id)?;
        let mut loads = 0;
        for setup in &setups {
            loads += book.children::<Load, _>(setup.id)?.len();
        }
        Ok(LineRow {
            id: line.id,
            name: line.name.clone(),
            product: line.product.clone(),
            wrapper: line.wrapper.kind,
            setups: setups.len(),
            loads,
        })
    })?;
    let items = |list: &[ListItem], first: usize| -> Vec<Item> {
        let item = |(index, item): (usize, &ListItem)| Item {
            index: first + index,
            text: item.text.clone(),
            done: item.done,
            own: false,
        };
        list.iter().enumerate().map(item).collect()
    };
    let mut bag = items(&visit.bag, 0);
    for item in &mut bag {
        item.own = !super::today::is_ours(&item.text);
    }
    let safety = items(&visit.safety, bag.len());
    let entry = |field: Field, kept: &str, hint: &str| session.entry(field.name(), kept, hint);
    let entry_of_own = session.entry(OWN_ITEM, "", "");
    Ok(View {
        customer: entry(Field::Customer, &visit.customer, ""),
        site: entry(Field::Site, &visit.site, ""),
        date: entry(
            Field::Date,
            &written_date(visit.date, session.language()),
            "",
        ),
        rep: entry(Field::Rep, &visit.rep, ""),
        notes: entry(Field::Notes, &visit.notes, ""),
        own_item: entry_of_own,
        purpose: visit.purpose,
        bag: session.shown(List::Bag, bag),
        safety,
        lines,
    })
}

/// Notes what stands half typed.
pub fn draft(session: &mut Session, field: Field, text: &str) {
    session.draft(field.name(), text);
}

/// Tries to keep whatever stands half typed, before the person goes on.
pub fn settle(session: &mut Session, id: Id<Visit>) {
    for field in Field::ALL {
        if let Some(text) = session.unsettled(field.name()) {
            edit(session, id, *field, &text);
        }
    }
    if let Some(text) = session.unsettled(OWN_ITEM) {
        add_own_item(session, id, &text);
    }
}

/// Keeps what was typed.
pub fn edit(session: &mut Session, id: Id<Visit>, field: Field, text: &str) {
    session.settle(field.name(), text, |session, text| {
        let text = text.trim().to_owned();
        match field {
            Field::Customer => session.change("edit_visit", id, |visit| visit.customer = text),
            Field::Site => session.change("edit_visit", id, |visit| visit.site = text),
            Field::Notes => session.change("edit_visit", id, |visit| visit.notes = text),
            Field::Rep => {
                keep_rep(session, &text)?;
                session.change("edit_visit", id, |visit| visit.rep = text)
            }
            Field::Date => {
                let date = parse_date(&text, session.language())?;
                session.change("edit_visit", id, |visit| visit.date = date)
            }
        }
    });
}

/// Signs of a text taken for a date that are repeated when it is not one.
const LONGEST_DATE: usize = 20;

/// A date as it is written in a field: in English, where 03/04 may be of March or of April, by the year
/// first (ISO 8601); else with the day first and slashes.
pub(super) fn written_date(date: NaiveDate, language: Language) -> String {
    match language {
        Language::English => date.to_string(),
        Language::Spanish | Language::French => date.format("%d/%m/%Y").to_string(),
    }
}

/// Reads a date: `2026-03-04`, or day first with points. With slashes the day is first too, but in
/// English only where it can be but one day; so with two signs of the year.
pub(super) fn parse_date(text: &str, language: Language) -> Result<NaiveDate, FieldError> {
    let unclear = || {
        let mut shown: String = text.chars().take(LONGEST_DATE).collect();
        if shown.len() < text.len() {
            shown.push('\u{2026}');
        }
        FieldError::Text(say!(
            language,
            "“{text}” is not a date as it stands: write year, month, day, such as 2026-03-04",
            text = shown
        ))
    };
    only_day(text, language).ok_or_else(unclear)
}

/// The one day that a date can be.
fn only_day(text: &str, language: Language) -> Option<NaiveDate> {
    let mark = text.chars().find(|sign| !sign.is_ascii_digit())?;
    let parts: Vec<&str> = text.split(mark).map(str::trim).collect();
    let [one, two, three] = parts.as_slice() else {
        return None;
    };
    let (year_first, day_first, month_first) = (
        day(one, two, three),
        day(three, two, one),
        day(three, one, two),
    );
    let may_be = match mark {
        '-' => vec![year_first, day_first, month_first],
        '.' => vec![day_first],
        '/' if language != Language::English => vec![day_first],
        '/' => vec![day_first, month_first],
        _ => return None,
    };
    let mut days = may_be.into_iter().flatten();
    let only = days.next()?;
    days.all(|other| other == only).then_some(only)
}

/// Years that a visit or a sample is of.
const YEARS: std::ops::RangeInclusive<i32> = 2000..=2100;

/// A day of our time, by its parts as written: of the year four signs, or the last two.
fn day(year: &str, month: &str, day: &str) -> Option<NaiveDate> {
    let number = |text: &str, signs: &[usize]| {
        let plain = text.bytes().all(|sign| sign.is_ascii_digit());
        (plain && signs.contains(&text.len())).then(|| text.parse::<u32>().ok())?
    };
    let year = number(year, &[4]).or_else(|| Some(2000 + number(year, &[2])?))?;
    let year = i32::try_from(year).ok()?;
    let (month, day) = (number(month, &[1, 2])?, number(day, &[1, 2])?);
    NaiveDate::from_ymd_opt(year, month, day).filter(|_| YEARS.contains(&year))
}

/// Chooses why the rep is there.
pub fn pick_purpose(session: &mut Session, id: Id<Visit>, purpose: Purpose) {
    let done = session.book.act("edit_visit", |act| {
        act.change(id, |visit: &mut Visit| visit.purpose = purpose)
    });
    session.report(done);
}

/// Ticks an item, counted from 0 through the bag and then the safety list.
pub fn tick(session: &mut Session, id: Id<Visit>, index: usize, done: bool) {
    let kept = session.book.act("tick_list", |act| {
        act.change(id, |visit: &mut Visit| {
            let bag = visit.bag.len();
            let item = if index < bag {
                visit.bag.get_mut(index)
            } else {
                visit.safety.get_mut(index - bag)
            };
            if let Some(item) = item {
                item.done = done;
            }
        })
    });
    session.report(kept);
}

/// The field of what else to bring.
const OWN_ITEM: &str = "own_item";

/// Notes half typed what else to bring.
pub fn draft_own_item(session: &mut Session, text: &str) {
    session.draft(OWN_ITEM, text);
}

/// Adds something to bring; one that is on the list already is not added twice.
pub fn add_own_item(session: &mut Session, id: Id<Visit>, text: &str) {
    session.settle(OWN_ITEM, text, |session, text| {
        let text = text.trim().to_owned();
        let mut all = 0;
        session.change("add_to_list", id, |visit: &mut Visit| {
            if !text.is_empty() && !visit.bag.iter().any(|item| item.text == text) {
                visit.bag.push(ListItem { text, done: false });
                all = visit.bag.len();
            }
        })?;
        // It comes last.
        if all > 0 {
            session.show_end(List::Bag, all);
        }
        Ok(())
    });
}

/// Takes what the rep added off the list, by its place in the bag.
pub fn take_off(session: &mut Session, id: Id<Visit>, index: usize) {
    let mut text = String::new();
    let done = session.book.act("take_off_list", |act| {
        act.change(id, |visit: &mut Visit| {
            if index < visit.bag.len() {
                text = visit.bag.remove(index).text;
            }
        })
    });
    if let Some(done) = session.report(done) {
        session.say(Notice {
            tone: Tone::Info,
            text: say!(session.language(), "“{item}” is off the list.", item = text),
            act: done.action.map(NoticeAct::Undo),
        });
    }
}

/// Ticks everything in the bag as one action. What protects is ticked point by point.
pub fn tick_all(session: &mut Session, id: Id<Visit>) {
    let kept = session.book.act("tick_list", |act| {
        act.change(id, |visit: &mut Visit| {
            for item in &mut visit.bag {
                item.done = true;
            }
        })
    });
    session.report(kept);
}

/// Adds a line and opens it.
pub fn add_line(session: &mut Session, id: Id<Visit>) {
    let lines = session.book.children::<Line, _>(id);
    let Some(lines) = session.report(lines) else {
        return;
    };
    let name = next_name(
        |n| say!(session.language(), "Line {n}", n = n),
        lines.iter().map(|line| line.name.as_str()),
    );
    if let Some(line) = session.add("add_line", Line::new(id, name)) {
        session.go(Place::Line(line.id));
    }
}

/// Asks whether to set the visit aside.
pub fn ask_set_aside(session: &mut Session, id: Id<Visit>) {
    let visit = session.book.get(id);
    let Some(visit) = session.report(visit) else {
        return;
    };
    let language = session.language();
    let leaves = say!(
        language,
        "{name} and everything noted on it leave the lists. Nothing is deleted, and you can bring it back.",
        name = customer(&visit, language)
    );
    let title = say!(language, "Set this visit aside?");
    super::ask_set_aside(session, title, leaves, visit.reference());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_are_taken_when_they_can_only_mean_one_day() {
        let date = |text: &str| {
            parse_date(text, Language::English)
                .ok()
                .map(|date| date.to_string())
        };
        assert_eq!(date("2026-03-04").as_deref(), Some("2026-03-04"));
        assert_eq!(date("4.3.2026").as_deref(), Some("2026-03-04"));
        assert_eq!(date("25/11/2026").as_deref(), Some("2026-11-25"));
        assert_eq!(date("11/25/2026").as_deref(), Some("2026-11-25"));
        assert_eq!(date("7/7/2026").as_deref(), Some("2026-07-07"));
        assert_eq!(date("03/04/2026"), None, "March or April");
        assert_eq!(date("2026-02-29"), None);
        assert_eq!(date("2026-3-4").as_deref(), Some("2026-03-04"));
        assert_eq!(date("3/14/26").as_deref(), Some("2026-03-14"));
        assert_eq!(date("14/3/26").as_deref(), Some("2026-03-14"));
        assert_eq!(date("4.3.26").as_deref(), Some("2026-03-04"));
        assert_eq!(date("14-03-2026").as_deref(), Some("2026-03-14"));
        for unclear in ["3/4/26", "26-03-04", "04-03-2026", "14.3.202", "14.3.6"] {
            assert_eq!(date(unclear), None, "{unclear}");
        }
        for year in ["0026", "1999", "2101", "20260"] {
            assert_eq!(date(&format!("{year}-03-04")), None, "{year}");
        }
        assert_eq!(date("2100-12-31").as_deref(), Some("2100-12-31"));
        for language in [Language::Spanish, Language::French] {
            let day = NaiveDate::from_ymd_opt(2026, 4, 3).unwrap();
            let written = written_date(day, language);
            assert_eq!(written, "03/04/2026");
            assert_eq!(parse_date(&written, language).ok(), Some(day));
            assert_eq!(parse_date("2026-04-03", language).ok(), Some(day));
            assert!(parse_date("4/13/2026", language).is_err(), "no month 13");
        }
        assert_eq!(date("tomorrow"), None);
        assert_eq!(date(""), None);
    }
}
