//! Settings, filled and listened to.

use slint::ComponentHandle;
use tautbook_core::book::BookError;
use tautbook_core::units::{DecimalMark, UnitSystem};

use super::{entry, language_in, language_out, same};
use crate::app::App;
use crate::place::Place;
use crate::presenters::settings;
use crate::screens::{self, DecimalSign, MainWindow, SettingsAdapter};
use crate::session::{Session, Shade, TextSize};

same!(
    shade_out,
    shade_in,
    screens::Shade,
    Shade {
        Day,
        Night,
        Sunlight
    }
);
same!(
    text_out,
    text_in,
    screens::TextSize,
    TextSize {
        Normal,
        Large,
        Larger,
        Largest
    }
);

pub(super) fn fill(window: &MainWindow, session: &Session) -> Result<(), BookError> {
    let adapter = window.global::<SettingsAdapter>();
    let view = settings::view(session)?;
    adapter.set_rep(entry(view.rep));
    adapter.set_language(language_out(view.look.language));
    adapter.set_metric(view.look.units == UnitSystem::Metric);
    adapter.set_decimal(match view.look.decimal {
        None => DecimalSign::ByLanguage,
        Some(DecimalMark::Point) => DecimalSign::Point,
        Some(DecimalMark::Comma) => DecimalSign::Comma,
    });
    adapter.set_text_size(text_out(view.look.text));
    adapter.set_example(view.example.into());
    Ok(())
}

pub(super) fn connect(window: &MainWindow, app: &App) {
    let adapter = window.global::<SettingsAdapter>();
    let on = app.clone();
    adapter.on_draft_rep(move |text| on.note(move |session| settings::draft(session, &text)));
    let on = app.clone();
    adapter.on_edit_rep(move |text| on.run(move |session| settings::edit(session, &text)));
    let on = app.clone();
    adapter.on_pick_language(move |language| {
        let language = language_in(language);
        on.act(move |session| settings::set(session, |look| look.language = language));
    });
    let on = app.clone();
    adapter.on_pick_metric(move |metric| {
        let units = if metric {
            UnitSystem::Metric
        } else {
            UnitSystem::Imperial
        };
        on.act(move |session| settings::set(session, |look| look.units = units));
    });
    let on = app.clone();
    adapter.on_pick_decimal(move |sign| {
        let mark = match sign {
            DecimalSign::ByLanguage => None,
            DecimalSign::Point => Some(DecimalMark::Point),
            DecimalSign::Comma => Some(DecimalMark::Comma),
        };
        on.act(move |session| settings::set(session, |look| look.decimal = mark));
    });
    let on = app.clone();
    adapter.on_pick_shade(move |shade| {
        let shade = shade_in(shade);
        on.act(move |session| settings::set(session, |look| look.shade = shade));
    });
    let on = app.clone();
    adapter.on_pick_text_size(move |text| {
        let text = text_in(text);
        on.act(move |session| settings::set(session, |look| look.text = text));
    });
    let on = app.clone();
    adapter.on_pick_hand_left(move |left| {
        on.act(move |session| settings::set(session, |look| look.hand_left = left));
    });
    let on = app.clone();
    adapter.on_open_about(move || on.act(|session| session.go(Place::About)));
}
