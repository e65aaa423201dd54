//! Touch: one finger at a time presses.
//!
//! A second finger, or the heel of a hand, does nothing: in a glove it is there by chance, and a key
//! under it must not be pressed.

use android_activity::input::{MotionAction, MotionEvent};
use slint::platform::{PointerEventButton, WindowEvent};
use slint::{LogicalPosition, Window};

/// The finger that presses.
#[derive(Debug, Default)]
pub(crate) struct Touch {
    finger: Option<i32>,
}

impl Touch {
    /// Takes a motion; whether it was one of a finger, a pen or a mouse.
    pub(crate) fn take(&mut self, motion: &MotionEvent<'_>, window: &Window) -> bool {
        if !motion.source().is_pointer_class() || motion.pointer_count() == 0 {
            return false;
        }
        let scale = window.scale_factor();
        let at = |index: usize| {
            let pointer = motion.pointer_at_index(index);
            LogicalPosition::new(pointer.x() / scale, pointer.y() / scale)
        };
        let button = PointerEventButton::Left;
        let which = motion.pointer_index().min(motion.pointer_count() - 1);
        match motion.action() {
            MotionAction::Down => {
                self.let_go(window);
                self.finger = Some(motion.pointer_at_index(which).pointer_id());
                let position = at(which);
                window.dispatch_event(WindowEvent::PointerPressed { position, button });
            }
            MotionAction::Move => {
                let ours = (0..motion.pointer_count()).find(|index| {
                    self.finger == Some(motion.pointer_at_index(*index).pointer_id())
                });
                if let Some(index) = ours {
                    let position = at(index);
                    window.dispatch_event(WindowEvent::PointerMoved { position });
                }
            }
            MotionAction::Up | MotionAction::PointerUp => {
                if self.finger == Some(motion.pointer_at_index(which).pointer_id()) {
                    self.finger = None;
                    let position = at(which);
                    window.dispatch_event(WindowEvent::PointerReleased { position, button });
                    window.dispatch_event(WindowEvent::PointerExited);
                }
            }
            MotionAction::Cancel => self.let_go(window),
            _ => {}
        }
        true
    }

    /// Lifts the finger without pressing anything: the platform took it for something else, or the
    /// window is gone.
    pub(crate) fn let_go(&mut self, window: &Window) {
        if self.finger.take().is_some() {
            window.dispatch_event(WindowEvent::PointerExited);
        }
    }
}
