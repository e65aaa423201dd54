//! The state behind the screens: the open book, where the person is, what is half typed, what the
//! app has to say or to ask. Knows no window.

use tautbook_core::say;
use tautbook_core::say_count;
pub use tautbook_core::words::Tone;

pub use crate::look::{Look, Shade, TextSize};

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use tautbook_core::book::{ActionKey, Book, BookError, Opened};
use tautbook_core::language::{Language, Reader};
use tautbook_core::survey::{ContentError, Entity, Id, Record, RecordRef, Sample};
use tautbook_core::units::{TypedError, UnitChoice};
use tautbook_core::words::figures::sentence;

use crate::device::Device;
use crate::lists::{List, Pages, Shown};
use crate::place::{Place, Scope, Way};
use crate::presenters::report::{self, Making};
use crate::presenters::send::{self, Sending};
use crate::recent::Recent;
use crate::work::{About, Work};

/// What a button on a message does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoticeAct {
    /// Brings back a record that was just set aside.
    BringBack(RecordRef),
    /// Takes back an action that was just done.
    Undo(ActionKey),
    /// Opens the place that the message is about.
    Open(Place),
}

/// A message over the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// How it is meant.
    pub tone: Tone,
    /// What it says.
    pub text: String,
    /// Its button.
    pub act: Option<NoticeAct>,
}

/// What follows when a question is answered with yes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WhenYes {
    /// Keep the reading as typed.
    SaveReading,
    /// Keep the weighing as typed.
    SaveWeighing,
    /// Set a record aside and go back.
    SetAside(RecordRef),
    /// Release a sample.
    Release(Id<Sample>),
    /// Set the targets that loads shipped undamaged bear out.
    DeriveTargets,
    /// Go to the tools, to say which is in hand.
    OpenTools,
}

/// The words of a question, by its subject; the screen has the wording.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// What it is about, in a few words.
    pub title: String,
    /// What is asked and why.
    pub text: String,
    /// The word for yes.
    pub yes: String,
    /// The word for no.
    pub no: String,
    /// What follows on yes.
    pub when_yes: WhenYes,
}

/// What was typed in a field and not kept yet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Typed {
    /// As typed.
    pub text: String,
    /// Why it was not kept, once it was tried.
    pub error: Option<String>,
    /// Nothing is wrong with it, the book could not be written: tried again on going on.
    #[serde(default)]
    pub again: bool,
}

impl Typed {
    /// Why it was not kept, in the few words there is room for beside a keypad: what is wrong with
    /// the book is said over the page.
    pub(crate) fn short_error(&self, language: Language) -> Option<String> {
        if self.again {
            Some(say!(language, "Not saved yet. Press save again."))
        } else {
            self.error.clone()
        }
    }

    fn untried(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            error: None,
            again: false,
        }
    }
}

/// A form field as a screen shows it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Entry {
    /// What stands in it.
    pub text: String,
    /// What is wrong with it; empty when nothing is.
    pub error: String,
    /// What to look at again in a value that is kept; empty when nothing is.
    pub doubt: String,
    /// Its unit or an example.
    pub hint: String,
    /// What was written in it lately, where it stands empty.
    pub recent: Vec<String>,
}

/// Why a field was not kept.
#[derive(Debug)]
pub enum FieldError {
    /// The text cannot be taken: shown under the field.
    Text(String),
    /// It was typed so that it cannot be read.
    Typed(TypedError),
    /// It contradicts what else is there.
    Content(ContentError),
    /// The book could not keep it: shown over the page.
    Book(BookError),
    /// Not kept, and nothing is wrong: a question is asked first, or another part is still to
    /// come.
    Asked,
}

impl From<BookError> for FieldError {
    fn from(error: BookError) -> Self {
        match error {
            BookError::Content { source, .. } => Self::Content(source),
            other => Self::Book(other),
        }
    }
}

impl From<TypedError> for FieldError {
    fn from(error: TypedError) -> Self {
        Self::Typed(error)
    }
}

/// Keys of what the device remembers.
const WAY: &str = "way";
const DOWN: &str = "down";
const LAST: &str = "last_way";
const TYPED: &str = "typed";
const LOOK: &str = "look";
const RECENT: &str = "recent";

/// A field that was not kept.
struct Unkept {
    /// What was typed.
    text: String,
    why: String,
}

/// The state behind the screens.
pub struct Session {
    pub(crate) book: Book,
    pub(crate) device: Box<dyn Device>,
    way: Way,
    /// How far down the page of each place on the way is; as long as the way, or shorter.
    down: Vec<f32>,
    /// Places arrived at since the start.
    arrivals: i32,
    typed: BTreeMap<String, Typed>,
    /// It is not written down yet, for somebody else wrote in the book: tried again soon.
    typed_waits: bool,
    look: Look,
    notice: Option<Notice>,
    question: Option<Question>,
    /// What goes on beside the screens.
    pub(crate) work: Work,
    /// What was just kept on Photos, and the action, to undo it.
    pub(crate) photo_kept: Option<(String, ActionKey)>,
    /// A picture that was sent and waits for a record whose photos are opened.
    pub(crate) waiting_pictures: Vec<std::path::PathBuf>,
    /// What the last label or code led to.
    pub(crate) found: crate::presenters::find::Found,
    /// What goes into the next day file, and what came of the last.
    pub(crate) sending: Sending,
    /// The report made last.
    pub(crate) making: Making,
    /// Which of the tools are shown.
    pub(crate) tools: crate::presenters::tools::Shown,
    /// Which part of each long list is shown.
    pages: Pages,
    /// What was brought back in the list of the book, and where it stood there.
    pub(crate) brought_back: Vec<(usize, RecordRef)>,
    /// A reading was kept by the last key and nothing was typed since.
    pub(crate) just_saved: bool,
    /// Why a field was not kept the last time one was tried.
    unkept: Option<Unkept>,
    recent: Recent,
}

impl Session {
    /// Goes on where the person was when the book was last open.
    ///
    /// # Errors
    /// The store's errors.
    pub fn resume(book: Book, opened: &Opened, device: Box<dyn Device>) -> Result<Self, BookError> {
        let recall = |key: &str| book.state(key).map(Option::unwrap_or_default);
        let look = serde_json::from_str(&recall(LOOK)?).unwrap_or_else(|_| Look {
            language: device.language().unwrap_or_default(),
            ..Look::default()
        });
        let mut session = Self {
            way: Way::recall(&recall(WAY)?),
            down: serde_json::from_str(&recall(DOWN)?).unwrap_or_default(),
            arrivals: 0,
            typed: serde_json::from_str(&recall(TYPED)?).unwrap_or_default(),
            typed_waits: false,
            look,
            notice: notice_on_opening(opened, look.language),
            question: None,
            work: Work::default(),
            photo_kept: None,
            waiting_pictures: Vec::new(),
            found: crate::presenters::find::Found::default(),
            sending: Sending::again(&recall(send::MADE)?),
            making: Making::again(&recall(report::MADE)?),
            tools: crate::presenters::tools::Shown::default(),
            pages: Pages::default(),
            brought_back: Vec::new(),
            just_saved: false,
            unkept: None,
            recent: serde_json::from_str(&recall(RECENT)?).unwrap_or_default(),
            book,
            device,
        };
        let who = session.book.state(crate::presenters::today::REP)?;
        session.book.set_who(who.unwrap_or_default());
        session.speak();
        session.leave_lost_places()?;
        session.light();
        Ok(session)
    }

    /// The book.
    #[must_use]
    pub fn book(&self) -> &Book {
        &self.book
    }

    /// Where the person is.
    #[must_use]
    pub fn here(&self) -> Place {
        self.way.here()
    }

    /// Whether something goes on beside the screens or is still to be written down, to be asked about
    /// with [`Session::take_up`].
    #[must_use]
    pub fn awaits(&self) -> bool {
        self.typed_waits || self.work.is_awaited()
    }

    /// How far the work is that the present place shows, 0 to 1; `None` when there is none.
    #[must_use]
    pub fn share(&self) -> Option<f32> {
        let about = match self.here() {
            Place::Photos(_) | Place::Photo(_) => About::Pictures,
            Place::Find => About::Labels,
            Place::Send => About::DayFile,
            Place::Report(visit) => About::Pages(visit),
            _ => return None,
        };
        self.work.share(about)
    }

    /// Takes up what has become of the work beside the screens; whether there was anything.
    pub fn take_up(&mut self) -> bool {
        if self.typed_waits {
            self.keep_typed();
        }
        crate::presenters::photos::take_up(self)
    }

    /// Units shown and typed.
    #[must_use]
    pub fn units(&self) -> UnitChoice {
        let decimal = self
            .look
            .decimal
            .unwrap_or_else(|| self.look.language.decimal_mark());
        UnitChoice::of(self.look.units).with_decimal(decimal)
    }

    /// The language of the screens.
    #[must_use]
    pub fn language(&self) -> Language {
        self.look.language
    }

    /// Who reads the screens.
    #[must_use]
    pub fn reader(&self) -> Reader {
        Reader {
            units: self.units(),
            language: self.language(),
        }
    }

    /// What this device is set to.
    #[must_use]
    pub fn look(&self) -> Look {
        self.look
    }

    /// The message over the page.
    #[must_use]
    pub fn notice(&self) -> Option<&Notice> {
        self.notice.as_ref()
    }

    /// The question to be answered before going on.
    #[must_use]
    pub fn question(&self) -> Option<&Question> {
        self.question.as_ref()
    }

    /// Changes what this device is set to.
    pub fn set_look(&mut self, look: Look) {
        self.look = look;
        self.speak();
        let text = serde_json::to_string(&look).unwrap_or_default();
        let kept = self.book.set_state(LOOK, &text);
        self.report(kept);
    }

    fn speak(&mut self) {
        self.work.language = self.look.language;
        self.device.speak(self.look.language);
    }

    /// Goes to a place.
    pub fn go(&mut self, place: Place) {
        self.way.go(place);
        self.arrived();
    }

    /// Goes back to a place that was passed on the way, or else on to it.
    pub(crate) fn go_to(&mut self, place: Place) {
        self.way.to(place);
        self.arrived();
    }

    /// Changes what the present place is about, such as the next zone to read.
    pub fn turn(&mut self, place: Place) {
        self.way.turn(place);
        self.keep_way();
    }

    /// Goes to a place by the way its records belong to each other.
    pub fn go_by(&mut self, places: Vec<Place>) {
        self.way.by(places);
        self.down.clear();
        self.arrived();
    }

    /// Whether there is something to go back from: a question, or any place but Today.
    #[must_use]
    pub fn can_go_back(&self) -> bool {
        self.question.is_some() || self.here() != Place::Today
    }

    /// Goes back. `false` on Today, where the platform decides what back means.
    pub fn back(&mut self) -> bool {
        if self.question.take().is_some() {
            return true;
        }
        if matches!(self.here(), Place::Weigh(_)) && crate::presenters::weigh::put_away(self) {
            return true;
        }
        let moved = self.way.back();
        if moved {
            self.arrived();
        }
        moved
    }

    /// Notes how far down the page of the present place is.
    pub fn scrolled(&mut self, down: f32) {
        let here = self.way.depth() - 1;
        if self.scrolled_to().to_bits() != down.to_bits() {
            self.down.resize(here, 0.0);
            self.down.push(down);
            let text = serde_json::to_string(&self.down).unwrap_or_default();
            // Of no weight: not worth a message.
            self.book.jot(DOWN, &text).ok();
        }
    }

    /// How far down the page of the present place was when it was left, or when the app was.
    #[must_use]
    pub fn scrolled_to(&self) -> f32 {
        self.down
            .get(self.way.depth() - 1)
            .copied()
            .unwrap_or_default()
    }

    /// Places arrived at since the start: another number, another page.
    #[must_use]
    pub fn arrivals(&self) -> i32 {
        self.arrivals
    }

    fn arrived(&mut self) {
        self.down.truncate(self.way.depth());
        self.arrivals = self.arrivals.wrapping_add(1);
        self.notice = None;
        // It was asked at the place that was left.
        self.question = None;
        self.just_saved = false;
        self.photo_kept = None;
        self.pages.keep(|place| self.way.passes(place));
        self.keep_way();
        self.light();
        if let Place::Photos(of) = self.here() {
            crate::presenters::arrivals::take_waiting(self, of);
        }
    }

    /// What is shown of a list of the present place.
    pub(crate) fn shown<T>(&self, list: List, rows: Vec<T>) -> Shown<T> {
        self.pages.shown(self.here(), list, rows)
    }

    /// Shows others of a list of the present place, and after the last of them the first again.
    pub fn show_others(&mut self, list: List) {
        self.pages.turn(self.here(), list);
    }

    /// Shows of each list of the present place what is shown at first, for something was added.
    pub(crate) fn show_first(&mut self) {
        let here = self.here();
        self.pages.keep(|place| place != here);
    }

    /// Shows the end of a list of the present place, of so many.
    pub(crate) fn show_end(&mut self, list: List, all: usize) {
        self.pages.turn_to_end(self.here(), list, all);
    }

    fn light(&self) {
        let reading = matches!(self.here(), Place::Read { .. } | Place::Weigh(_));
        self.device.keep_screen_on(reading);
    }

    fn keep_way(&mut self) {
        let text = self.way.remember();
        let kept = self.book.set_state(WAY, &text);
        self.report(kept);
        if !matches!(
            self.here(),
            Place::Today
                | Place::Visits
                | Place::About
                | Place::Parts
                | Place::Settings
                | Place::Find
                | Place::Send
                | Place::Differences
                | Place::Records(None)
        ) {
            let kept = self.book.set_state(LAST, &text);
            self.report(kept);
        }
    }

    /// Where the person was last before going back to Today, if its records are in use.
    ///
    /// # Errors
    /// The store's errors.
    pub fn last_place(&self) -> Result<Option<Place>, BookError> {
        let last = Way::recall(&self.book.state(LAST)?.unwrap_or_default()).here();
        let gone = last == Place::Today || self.is_place_lost(last)?;
        Ok(if gone { None } else { Some(last) })
    }

    /// Goes back to where the person was last.
    pub fn go_on(&mut self) {
        let last = self.book.state(LAST);
        if let Some(last) = self.report(last).flatten() {
            self.way = Way::recall(&last);
            self.down.clear();
            let left = self.leave_lost_places();
            self.report(left);
            self.arrived();
        }
    }

    /// Leaves places whose records are gone from use, such as a load whose making was undone.
    fn leave_lost_places(&mut self) -> Result<(), BookError> {
        while self.is_place_lost(self.here())? && self.way.back() {}
        Ok(())
    }

    pub(crate) fn is_place_lost(&self, place: Place) -> Result<bool, BookError> {
        match place {
            Place::Today
            | Place::Visits
            | Place::About
            | Place::Parts
            | Place::Settings
            | Place::Tools
            | Place::Find
            | Place::Send
            | Place::Differences
            | Place::Records(None) => Ok(false),
            Place::Visit(id) | Place::Keep(id) | Place::Report(id) => self.is_lost(id),
            Place::Sample(id) => self.is_lost(id),
            Place::Line(id) | Place::Machine(id) => self.is_lost(id),
            Place::Photo(id) => self.is_lost(id),
            Place::Photos(of) => self.book.is_in_use(of).map(|used| !used),
            Place::FilmRoll(id) => self.is_lost(id),
            Place::Setup(id)
            | Place::FilmMeasures(id)
            | Place::Plan { setup: id, .. }
            | Place::Results {
                scope: Scope::Setup(id),
                ..
            } => self.is_lost(id),
            Place::Compare { old, new, .. } => Ok(self.is_lost(old)? || self.is_lost(new)?),
            Place::Load(id)
            | Place::Weigh(id)
            | Place::Records(Some(id))
            | Place::Read { load: id, .. }
            | Place::Results {
                scope: Scope::Load(id),
                ..
            } => self.is_lost(id),
        }
    }

    fn is_lost<T: Entity>(&self, id: Id<T>) -> Result<bool, BookError> {
        Ok(self
            .book
            .find(id)?
            .is_none_or(|record| record.set_aside.is_some()))
    }

    /// Says something over the page.
    pub fn say(&mut self, notice: Notice) {
        self.notice = Some(notice);
    }

    /// Takes the message away.
    pub fn close_notice(&mut self) {
        self.notice = None;
    }

    /// Shows an error over the page; passes a good value on.
    pub fn report<T>(&mut self, result: Result<T, BookError>) -> Option<T> {
        match result {
            Ok(value) => Some(value),
            Err(error) => {
                let text = sentence(&error.said(self.language()));
                self.notice = Some(Notice {
                    tone: Tone::Bad,
                    text,
                    act: None,
                });
                None
            }
        }
    }

    /// Asks something.
    pub fn ask(&mut self, question: Question) {
        self.question = Some(question);
    }

    /// Takes the question away and says what was to follow.
    pub fn take_question(&mut self) -> Option<WhenYes> {
        self.question.take().map(|question| question.when_yes)
    }

    /// Does what the button on the message says.
    pub fn act_on_notice(&mut self) {
        let act = self.notice.take().and_then(|notice| notice.act);
        let done = match act {
            Some(NoticeAct::BringBack(record)) => self.book.bring_back(record),
            Some(NoticeAct::Undo(action)) => self.book.undo(action),
            Some(NoticeAct::Open(place)) => {
                return self.go_on_from_form(|session| {
                    session.way.to(place);
                    let left = session.leave_lost_places();
                    session.arrived();
                    session.report(left);
                });
            }
            None => return,
        };
        self.report(done);
    }

    /// Sets a record aside, goes back and offers to bring it back.
    pub fn set_aside(&mut self, record: RecordRef, reason: &str, text: String) {
        let done = self.book.set_aside(record, reason);
        if self.report(done).is_some() {
            self.way.back();
            // It may be on the way more than once, or what belongs to it.
            let left = self.leave_lost_places();
            self.arrived();
            self.say(Notice {
                tone: Tone::Info,
                text,
                act: Some(NoticeAct::BringBack(record)),
            });
            self.report(left);
        }
    }

    /// Notes what stands half typed in a field of the present place.
    pub fn draft(&mut self, field: &str, text: &str) {
        self.typed.insert(self.key(field), Typed::untried(text));
        self.keep_typed();
    }

    /// What stands half typed in a field of the present place.
    #[must_use]
    pub fn drafted(&self, field: &str) -> Option<&Typed> {
        self.typed.get(&self.key(field))
    }

    /// What stands half typed in a field of the present place and is still to be tried: it was not
    /// yet, or the book could not be written then.
    #[must_use]
    pub fn unsettled(&self, field: &str) -> Option<String> {
        self.drafted(field)
            .filter(|typed| typed.error.is_none() || typed.again)
            .map(|typed| typed.text.clone())
    }

    /// Forgets what stands half typed in a field of the present place.
    pub fn drop_draft(&mut self, field: &str) {
        self.drop_typed(&self.key(field));
    }

    fn drop_typed(&mut self, key: &str) {
        if self.typed.remove(key).is_some() {
            self.keep_typed();
        }
    }

    fn key(&self, field: &str) -> String {
        let place = match self.here() {
            // What is typed on Read belongs to the load and method, whatever place comes next.
            Place::Read { load, method, .. } => format!("read {load} {}", method.as_str()),
            place => serde_json::to_string(&place).unwrap_or_default(),
        };
        format!("{place} {field}")
    }

    fn keep_typed(&mut self) {
        let text = serde_json::to_string(&self.typed).unwrap_or_default();
        // What is typed stands on the screen still. A message with every key would lie over the
        // keypad; the attempt to keep the value says what is wrong.
        self.typed_waits = matches!(self.book.jot(TYPED, &text), Err(BookError::Busy));
    }

    /// A field as shown: what is half typed, or else what is kept.
    #[must_use]
    pub fn entry(&self, field: &str, kept: &str, hint: &str) -> Entry {
        let (text, error) = match self.drafted(field) {
            Some(typed) => (typed.text.clone(), typed.error.clone().unwrap_or_default()),
            None => (kept.to_owned(), String::new()),
        };
        // What has a unit beside it already, this one or another, needs none.
        let hint = if text.contains(char::is_alphabetic) || text.ends_with(hint) {
            ""
        } else {
            hint
        };
        let recent = if text.is_empty() {
            self.recent.of(&self.kind_of_field(field)).to_vec()
        } else {
            Vec::new()
        };
        Entry {
            text,
            error,
            doubt: String::new(),
            hint: hint.to_owned(),
            recent,
        }
    }

    /// A field's name wherever it stands: the kind of place and the field, without what it is of.
    fn kind_of_field(&self, field: &str) -> String {
        let field = field.split(' ').next().unwrap_or_default();
        format!("{} {field}", self.here().kind())
    }

    /// Notes what was kept of a kind of field, to offer it where one stands empty again.
    fn note_recent(&mut self, kind: &str, text: &str) {
        if self.recent.note(kind, text) {
            let kept = serde_json::to_string(&self.recent).unwrap_or_default();
            let kept = self.book.set_state(RECENT, &kept);
            self.report(kept);
        }
    }

    /// Tries to keep what was typed in a field; if that fails the text stays with the reason.
    pub fn settle(
        &mut self,
        field: &str,
        text: &str,
        keep: impl FnOnce(&mut Self, &str) -> Result<(), FieldError>,
    ) {
        // What keeps it may lead to another place.
        let kind = self.kind_of_field(field);
        if self.try_to_keep(field, text, keep) {
            self.note_recent(&kind, text);
        }
    }

    /// The same of a keypad, whose keys are no value to offer again.
    pub(crate) fn settle_pad(
        &mut self,
        field: &str,
        keys: &str,
        keep: impl FnOnce(&mut Self, &str) -> Result<(), FieldError>,
    ) {
        self.try_to_keep(field, keys, keep);
    }

    fn try_to_keep(
        &mut self,
        field: &str,
        text: &str,
        keep: impl FnOnce(&mut Self, &str) -> Result<(), FieldError>,
    ) -> bool {
        let key = self.key(field);
        let kept = keep(self, text);
        self.settled(key, text, kept)
    }

    /// Forgets what stands half typed, or notes why it does still; whether it was kept.
    fn settled(&mut self, key: String, text: &str, kept: Result<(), FieldError>) -> bool {
        let mut typed = Typed::untried(text);
        match kept {
            Ok(()) => {
                self.drop_typed(&key);
                return true;
            }
            Err(FieldError::Asked) => {}
            Err(FieldError::Text(error)) => typed.error = Some(error),
            Err(FieldError::Typed(error)) => {
                typed.error = Some(error.said(self.language()));
            }
            Err(FieldError::Content(error)) => {
                typed.error = Some(error.problem.said(self.language()).to_owned());
            }
            Err(FieldError::Book(error)) => {
                let text = error.said(self.language());
                self.say(Notice {
                    tone: Tone::Bad,
                    text: sentence(&text),
                    act: None,
                });
                typed.error = Some(text);
                typed.again = true;
            }
        }
        self.unkept = typed.error.clone().map(|why| Unkept {
            text: text.to_owned(),
            why,
        });
        self.typed.insert(key, typed);
        self.keep_typed();
        false
    }

    /// Does something that may lead away, having first tried to keep what stands half typed. What
    /// could not be kept is said at the place arrived at, where its field is not to be seen.
    pub fn go_on_from_form(&mut self, work: impl FnOnce(&mut Self)) {
        let (left, unkept) = self.leave_form();
        work(self);
        self.say_unkept(left, unkept);
    }

    /// Where the person is, and what cannot be kept of what stands half typed there.
    fn leave_form(&mut self) -> (Place, Option<Unkept>) {
        self.unkept = None;
        crate::presenters::settle_form(self);
        (self.here(), self.unkept.take())
    }

    fn say_unkept(&mut self, left: Place, unkept: Option<Unkept>) {
        if let Some(Unkept { text, why }) = unkept
            && self.here() != left
        {
            self.say(Notice {
                tone: Tone::Warning,
                text: say!(
                    self.language(),
                    "“{text}” was not kept: {why}. It still stands where you typed it.",
                    text = short(&text),
                    why = why
                ),
                act: Some(NoticeAct::Open(left)),
            });
        }
    }

    /// Changes one record as an action of its own.
    ///
    /// # Errors
    /// As [`tautbook_core::book::Act::change`].
    pub fn change<T: Entity>(
        &mut self,
        name: &'static str,
        id: Id<T>,
        edit: impl FnOnce(&mut T),
    ) -> Result<(), FieldError> {
        self.book
            .act(name, |act| act.change(id, edit))
            .map_err(FieldError::from)?;
        Ok(())
    }

    /// Adds one record as an action of its own; errors go over the page.
    pub fn add<T: Entity>(&mut self, name: &'static str, body: T) -> Option<Record<T>> {
        let done = self.book.act(name, |act| act.add(body));
        let done = self.report(done)?;
        self.show_first();
        Some(done.value)
    }
}

/// What was typed, as far as a message has room for it.
fn short(text: &str) -> String {
    const SIGNS: usize = 24;
    let text = text.trim();
    if text.chars().count() <= SIGNS {
        return text.to_owned();
    }
    let start: String = text.chars().take(SIGNS).collect();
    format!("{}\u{2026}", start.trim_end())
}

fn notice_on_opening(opened: &Opened, language: Language) -> Option<Notice> {
    if let Some(behind) = opened.clock_behind_ms {
        let text = say!(
            language,
            "The clock stands behind the last entry in this book by {span}. Check the date and time. Entries keep the order in which you make them.",
            span = span(behind, language)
        );
        return Some(Notice {
            tone: Tone::Warning,
            text,
            act: None,
        });
    }
    opened.upgraded_from.as_ref().map(|copy| Notice {
        tone: Tone::Info,
        text: say!(
            language,
            "The book was upgraded. As it was before, it is kept at {file}.",
            file = copy.display()
        ),
        act: None,
    })
}

/// A span of time in its largest unit.
fn span(ms: i64, language: Language) -> String {
    let minutes = usize::try_from(ms / 60_000).unwrap_or_default().max(1);
    match minutes {
        ..120 => say_count!(language, minutes, "{n} minute", "{n} minutes"),
        120..2_880 => say_count!(language, minutes / 60, "{n} hour", "{n} hours"),
        _ => say_count!(language, minutes / 1_440, "{n} day", "{n} days"),
    }
}

/// The value in a text, or `None` for a blank one.
pub(crate) fn optional<T>(parsed: Result<T, TypedError>) -> Result<Option<T>, FieldError> {
    match parsed {
        Ok(value) => Ok(Some(value)),
        Err(TypedError::Blank) => Ok(None),
        Err(error) => Err(error.into()),
    }
}
