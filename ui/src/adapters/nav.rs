//! The bar, the message and the question that stand over every screen.

use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::rc::Rc;

use slint::{ComponentHandle, SharedString};
use tautbook_core::book::BookError;
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::survey::{SampleEventKind, SetAside};
use tautbook_core::units::DecimalMark;

use super::settings::shade_out;
use crate::app::App;
use crate::lists::List;
use crate::place::Place;
use crate::presenters::{read, results, sample, title, tools, weigh};
use crate::screens::{self, Look, MainWindow, Nav, Screen};
use crate::session::{NoticeAct, Session, WhenYes};

const fn screen(place: Place) -> Screen {
    match place {
        Place::Today => Screen::Today,
        Place::Visits => Screen::Visits,
        Place::Visit(_) => Screen::Visit,
        Place::Line(_) => Screen::Line,
        Place::FilmRoll(_) => Screen::FilmRoll,
        Place::Setup(_) => Screen::Setup,
        Place::FilmMeasures(_) => Screen::FilmMeasures,
        Place::Load(_) => Screen::Load,
        Place::Read { .. } => Screen::Read,
        Place::Weigh(_) => Screen::Weigh,
        Place::Results { .. } => Screen::Results,
        Place::Compare { .. } => Screen::Compare,
        Place::Plan { .. } => Screen::Plan,
        Place::Machine(_) => Screen::Machine,
        Place::Photos(_) => Screen::Photos,
        Place::Photo(_) => Screen::Photo,
        Place::Keep(_) => Screen::Keep,
        Place::Sample(_) => Screen::Sample,
        Place::Find => Screen::Find,
        Place::Report(_) => Screen::Report,
        Place::Send => Screen::Send,
        Place::Differences => Screen::Differences,
        Place::Records(_) => Screen::Records,
        Place::Tools => Screen::Tools,
        Place::Settings => Screen::Settings,
        Place::About => Screen::About,
        Place::Parts => Screen::Parts,
    }
}

thread_local! {
    /// The language the screens speak: Slint keeps one for each thread that draws.
    static SPOKEN: Cell<Option<Language>> = const { Cell::new(None) };
}

/// Has the screens speak the language; where they cannot, they go on in what they speak.
fn speak(language: Language) {
    let now = SPOKEN.get() != Some(language);
    if now && slint::select_bundled_translation(language.code()).is_ok() {
        SPOKEN.set(Some(language));
    }
}

super::same!(
    list_out,
    list_in,
    screens::LongList,
    List {
        Lines,
        Setups,
        Rolls,
        RollChoices,
        SetupChoices,
        Bag,
        Loads,
        Weighings,
        Photos,
        Below,
        Samples,
        Events
    }
);

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    speak(session.language());
    let nav = window.global::<Nav>();
    let title = title::title(session, session.here())?;
    nav.set_title(title.name.into());
    nav.set_crumb(title.crumb.into());
    if nav.get_arrived() != session.arrivals() {
        super::close_places(window, session.here());
        // Where there is no page to say so.
        nav.set_at(session.scrolled_to());
    }
    nav.set_place(format!("{:?}", session.here()).into());
    nav.set_start(session.scrolled_to());
    nav.set_arrived(session.arrivals());
    nav.set_screen(screen(session.here()));
    let look = window.global::<Look>();
    look.set_shade(shade_out(session.look().shade));
    look.set_text_scale(session.look().text.scale());
    look.set_decimal_mark(match session.units().decimal {
        DecimalMark::Point => ".".into(),
        DecimalMark::Comma => ",".into(),
    });
    look.set_hand_left(session.look().hand_left);
    fill_notice(window, session);
    Ok(())
}

/// The message and the question alone.
pub(crate) fn fill_notice(window: &MainWindow, session: &Session) {
    let notice = window.global::<screens::Notice>();
    if let Some(shown) = session.notice() {
        notice.set_tone(super::tone_out(Some(shown.tone)));
        notice.set_text(shown.text.as_str().into());
        notice.set_action_1(match shown.act {
            Some(NoticeAct::BringBack(_)) => say!(session.language(), "Bring back").into(),
            Some(NoticeAct::Undo(_)) => say!(session.language(), "Undo").into(),
            Some(NoticeAct::Open(_)) => say!(session.language(), "Open").into(),
            None => "".into(),
        });
    }
    notice.set_shown(session.notice().is_some());
    let question = window.global::<screens::Question>();
    if let Some(asked) = session.question() {
        question.set_title(asked.title.as_str().into());
        question.set_text(asked.text.as_str().into());
        question.set_yes(asked.yes.as_str().into());
        question.set_no(asked.no.as_str().into());
        question.set_doubtful(matches!(
            asked.when_yes,
            WhenYes::SaveReading | WhenYes::SaveWeighing
        ));
    }
    question.set_shown(session.question().is_some());
}

/// How many signs a field of one line takes: more is a slip of the clipboard, and drawn in one line
/// it would be wider than the renderer can draw.
const ONE_LINE: usize = 1000;

pub(super) fn connect(window: &MainWindow, app: &App) {
    window
        .global::<Nav>()
        .on_cut(|text| text.chars().take(ONE_LINE).collect::<String>().into());
    let on = app.clone();
    window.global::<Nav>().on_back(move || {
        on.back();
    });
    remember_folds(window);
    let on = app.clone();
    window.global::<Nav>().on_show_others(move |list| {
        let list = list_in(list);
        on.act(move |session| session.show_others(list));
    });
    let on = app.clone();
    window
        .global::<screens::Notice>()
        .on_close(move || on.run(Session::close_notice));
    let on = app.clone();
    window.global::<screens::Notice>().on_act(move |_| {
        on.run(|session| {
            session.act_on_notice();
            read::after_bringing_back(session);
        });
    });
    let on = app.clone();
    window
        .global::<screens::Question>()
        .on_answered(move |yes| {
            on.run(move |session| {
                let when_yes = session.take_question();
                if let (true, Some(when_yes)) = (yes, when_yes) {
                    answer(session, when_yes);
                }
            });
        });
}

/// Keeps in mind which cards of which place stand open, while the app runs.
fn remember_folds(window: &MainWindow) {
    let open = Rc::new(RefCell::new(BTreeSet::<(SharedString, SharedString)>::new()));
    let known = open.clone();
    let nav = window.global::<Nav>();
    nav.on_open(move |place, card, _| known.borrow().contains(&(place, card)));
    let weak = window.as_weak();
    nav.on_fold(move |place, card, unfold| {
        if unfold {
            open.borrow_mut().insert((place, card));
        } else {
            open.borrow_mut().remove(&(place, card));
        }
        if let Some(window) = weak.upgrade() {
            let nav = window.global::<Nav>();
            nav.set_folds(nav.get_folds().wrapping_add(1));
        }
    });
}

fn answer(session: &mut Session, when_yes: WhenYes) {
    match when_yes {
        WhenYes::SaveReading => read::save_anyway(session),
        WhenYes::SaveWeighing => {
            if let Place::Weigh(load) = session.here() {
                weigh::save_anyway(session, load);
            }
        }
        WhenYes::DeriveTargets => results::derive_targets(session),
        WhenYes::OpenTools => tools::open(session),
        WhenYes::Release(id) => sample::note(session, id, SampleEventKind::Released),
        WhenYes::SetAside(record) => {
            let text = say!(session.language(), "Set aside. It is still in the book.");
            session.set_aside(record, SetAside::BY_HAND, text);
        }
    }
}
