//! The keyboard for gloves: what its keys do to the field that has the keyboard.

use slint::platform::{Key, WindowEvent};
use slint::{ComponentHandle, SharedString};

use crate::screens::{Keyboard, MainWindow};

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
            replace(&window, &text);
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
pub(crate) fn replace(window: &MainWindow, text: &str) {
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
        // A field leaves out all of a text with a control sign in it, such as a tab.
        let plain = |sign: char| {
            if sign.is_control() && sign != '\n' {
                ' '
            } else {
                sign
            }
        };
        let text: String = text.trim_start_matches('\n').chars().map(plain).collect();
        press(window, text.into());
    }
}
