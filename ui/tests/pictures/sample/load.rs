//! Load, and what the app says over it.

use slint::ComponentHandle;
use tautbook_ui::screens::{
    Fit, LoadAdapter, MainWindow, Method, MethodSummary, Notice, Screen, Stability, Tail, Tone,
};

use super::{entry, go, rows};

pub(super) fn load(window: &MainWindow) {
    go(window, Screen::Load, "Load 3", "Line 2 › As found");
    let load = window.global::<LoadAdapter<'_>>();
    load.set_name(entry("Load 3", ""));
    load.set_length(entry("48", "in"));
    load.set_width(entry("40", "in"));
    load.set_height(entry("58", "in"));
    load.set_mass(entry("", "lb"));
    load.set_stability(Stability::Moderate);
    load.set_fit(Fit::Overhang);
    load.set_fit_amount(entry("1.5", "in"));
    load.set_film_breaks("0".into());
    load.set_tail(Tail::Loose);
    load.set_summaries(rows([MethodSummary {
        method: Method::TorsionTool,
        count: 3,
        planned: 9,
        lowest: "12 lb 6 oz, bottom".into(),
    }]));
}

pub(super) fn notice(window: &MainWindow) {
    load(window);
    let notice = window.global::<Notice<'_>>();
    notice.set_shown(true);
    notice.set_tone(Tone::Warning);
    notice.set_text("Load 3 is set aside. Its readings are kept.".into());
    notice.set_action_1("Undo".into());
}
