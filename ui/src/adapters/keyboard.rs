//! The keyboard for gloves: what its keys do to the field that has the keyboard.

use slint::platform::{Key, WindowEvent};
use slint::{ComponentHandle, SharedString};
use tautbook_core::book::BookError;

use super::model;
use crate::screens::{Keyboard, MainWindow};
use crate::session::Session;

/// So many of what was written lately are offered.
const OFFERED: usize = 4;

fn press(window: &MainWindow, text: SharedString) {
    let window = window.window();
    window.dispatch_event(WindowEvent::KeyPressed { text: text.clone() });
    window.dispatch_event(WindowEvent::KeyReleased { text });
}

pub(super) fn connect(window: &MainWindow) {
    let keyboard = window.global::<Keyboard>();
    keyboard.on_capital(|text| text.to_uppercase().into());
    let on = window.as_weak();
    keyboard.on_type(move |text| {
        if let Some(window) = on.upgrade() {
            press(&window, text);
        }
    });
    let on = window.as_weak();
    keyboard.on_erase(move || {
        if let Some(window) = on.upgrade() {
            press(&window, Key::Backspace.into());
        }
    });
    let on = window.as_weak();
    keyboard.on_replace(move |text| {
        if let Some(window) = on.upgrade() {
            replace(&window, text);
        }
    });
    let on = window.as_weak();
    keyboard.on_done(move || {
        if let Some(window) = on.upgrade() {
            window.invoke_put_down();
            window.global::<Keyboard>().set_shown(false);
        }
    });
}

/// Writes a text in place of all that stands in the field.
pub(crate) fn replace(window: &MainWindow, text: SharedString) {
    let slint_window = window.window();
    slint_window.dispatch_event(WindowEvent::KeyPressed {
        text: Key::Control.into(),
    });
    press(window, "a".into());
    slint_window.dispatch_event(WindowEvent::KeyReleased {
        text: Key::Control.into(),
    });
    if text.is_empty() {
        press(window, Key::Backspace.into());
    } else {
        press(window, text);
    }
}

/// Shows it or takes it away. What was written lately is offered in a field for words.
///
/// # Errors
/// The store's errors.
pub(crate) fn show(window: &MainWindow, session: &Session, shown: bool) -> Result<(), BookError> {
    let keyboard = window.global::<Keyboard>();
    if shown && !keyboard.get_shown() {
        let recent: Vec<SharedString> = if keyboard.get_number() {
            Vec::new()
        } else {
            let words = session.recent_words()?;
            words.into_iter().take(OFFERED).map(Into::into).collect()
        };
        keyboard.set_recent(model(recent));
    }
    keyboard.set_shown(shown);
    Ok(())
}
