//! Keys of a keyboard that is plugged in or paired.

use android_activity::AndroidApp;
use android_activity::input::{KeyAction, KeyEvent, KeyMapChar, Keycode, MetaState};
use slint::platform::{Key, WindowEvent};
use slint::{SharedString, Window};

/// Bits of a key event's state for Ctrl: left, right, either.
const CTRL: u32 = 0x1000 | 0x2000 | 0x4000;

/// Keys, and the accent that waits for its letter.
#[derive(Debug, Default)]
pub(crate) struct Keys {
    accent: Option<char>,
}

impl Keys {
    /// Takes a key; whether the screens may want it.
    pub(crate) fn take(&mut self, key: &KeyEvent<'_>, app: &AndroidApp, window: &Window) -> bool {
        let Some(text) = self.text(key, app) else {
            return false;
        };
        if text.is_empty() {
            return true;
        }
        window.dispatch_event(match key.action() {
            KeyAction::Down if key.repeat_count() > 0 => WindowEvent::KeyPressRepeated { text },
            KeyAction::Down => WindowEvent::KeyPressed { text },
            _ => WindowEvent::KeyReleased { text },
        });
        true
    }

    /// What a key types; empty for an accent that waits, `None` for a key that types nothing.
    fn text(&mut self, key: &KeyEvent<'_>, app: &AndroidApp) -> Option<SharedString> {
        if let Some(named) = named(key.key_code()) {
            return Some(named.into());
        }
        let map = app.device_key_character_map(key.device_id()).ok()?;
        let state = MetaState(key.meta_state().0 & !CTRL);
        match map.get(key.key_code(), state).ok()? {
            KeyMapChar::Unicode(letter) => {
                let accent = if key.action() == KeyAction::Down {
                    self.accent.take()
                } else {
                    None
                };
                let both = accent.and_then(|accent| map.get_dead_char(accent, letter).ok()?);
                Some(both.unwrap_or(letter).into())
            }
            KeyMapChar::CombiningAccent(accent) => {
                if key.action() == KeyAction::Down {
                    self.accent = Some(accent);
                }
                Some(SharedString::new())
            }
            KeyMapChar::None => None,
        }
    }
}

fn named(code: Keycode) -> Option<Key> {
    Some(match code {
        Keycode::Enter | Keycode::NumpadEnter => Key::Return,
        Keycode::Del => Key::Backspace,
        Keycode::ForwardDel => Key::Delete,
        Keycode::Tab => Key::Tab,
        Keycode::Escape => Key::Escape,
        Keycode::DpadLeft => Key::LeftArrow,
        Keycode::DpadRight => Key::RightArrow,
        Keycode::DpadUp => Key::UpArrow,
        Keycode::DpadDown => Key::DownArrow,
        Keycode::MoveHome => Key::Home,
        Keycode::MoveEnd => Key::End,
        Keycode::PageUp => Key::PageUp,
        Keycode::PageDown => Key::PageDown,
        Keycode::ShiftLeft => Key::Shift,
        Keycode::ShiftRight => Key::ShiftR,
        Keycode::CtrlLeft => Key::Control,
        Keycode::CtrlRight => Key::ControlR,
        Keycode::DpadCenter => Key::Return,
        _ => return None,
    })
}
