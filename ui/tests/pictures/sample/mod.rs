//! The sample data the pictures are drawn with: an invented site, in the states a screen can be in.

mod about;
mod compare;
mod line;
mod load;
mod plan;
mod read;
mod results;
mod setup;
mod today;
mod weigh;

use slint::{ComponentHandle, ModelRc, SharedString, VecModel};
use tautbook_ui::screens::{Entry, Fact, MainWindow, Nav, Screen};

/// A screen in a state: its name in the picture's file name, and what fills it.
pub(crate) type Scene = (&'static str, fn(&MainWindow));

/// Every picture that is drawn.
pub(crate) const SCENES: &[Scene] = &[
    ("today", today::today),
    ("today-empty", today::today_empty),
    ("today-found", today::today_found),
    ("visit", today::visit),
    ("line", line::line),
    ("film-roll", line::film_roll),
    ("film-roll-doubted", line::film_roll_doubted),
    ("setup", setup::setup),
    ("load", load::load),
    ("read-fresh", read::read_fresh),
    ("read-typing", read::read_typing),
    ("read-error", read::read_error),
    ("read-saved", read::read_saved),
    ("read-question", read::read_question),
    ("read-plate", read::read_plate),
    ("read-left", read::read_left),
    ("read-place", read::read_place),
    ("weigh", weigh::weigh),
    ("weigh-typing", weigh::weigh_typing),
    ("results", results::results),
    ("results-no-target", results::results_no_target),
    ("compare", compare::compare),
    ("compare-not-shown", compare::compare_not_shown),
    ("plan", plan::plan),
    ("plan-none", plan::plan_none),
    ("about", about::about),
    ("notice", load::notice),
];

fn entry(text: &str, hint: &str) -> Entry {
    Entry {
        text: text.into(),
        error: SharedString::new(),
        doubt: SharedString::new(),
        hint: hint.into(),
    }
}

fn wrong(text: &str, hint: &str, error: &str) -> Entry {
    Entry {
        text: text.into(),
        error: error.into(),
        doubt: SharedString::new(),
        hint: hint.into(),
    }
}

fn doubted(text: &str, hint: &str, doubt: &str) -> Entry {
    Entry {
        text: text.into(),
        error: SharedString::new(),
        doubt: doubt.into(),
        hint: hint.into(),
    }
}

fn rows<T: Clone + 'static>(rows: impl IntoIterator<Item = T>) -> ModelRc<T> {
    ModelRc::new(VecModel::from_iter(rows))
}

fn go(window: &MainWindow, screen: Screen, title: &str, crumb: &str) {
    let nav = window.global::<Nav<'_>>();
    nav.set_screen(screen);
    nav.set_title(title.into());
    nav.set_crumb(crumb.into());
}

fn fact(label: &str, value: &str, detail: &str) -> Fact {
    Fact {
        label: label.into(),
        value: value.into(),
        detail: detail.into(),
    }
}
