//! One activity at a time in this process.
//!
//! A file sent to us may start a second activity while the first still runs, and a new one may start
//! before the last has ended. The newest has the book: it asks the one before it to leave, and waits
//! until that has.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::Duration;

use android_activity::{AndroidApp, AndroidAppWaker};

/// As long as an activity is waited for that was asked to leave. The platform takes a window that
/// does not answer for 5 seconds for hung.
const PATIENCE: Duration = Duration::from_secs(4);

static LAST: Mutex<Option<Arc<State>>> = Mutex::new(None);

struct State {
    leave: AtomicBool,
    gone: Mutex<bool>,
    went: Condvar,
    waker: AndroidAppWaker,
}

/// The turn of one activity; it ends when this is dropped.
pub(crate) struct Turn(Arc<State>);

impl Turn {
    /// Takes the turn from the activity before, if one is still there.
    pub(crate) fn take(app: &AndroidApp) -> Self {
        let state = Arc::new(State {
            leave: AtomicBool::new(false),
            gone: Mutex::new(false),
            went: Condvar::new(),
            waker: app.create_waker(),
        });
        let before = LAST
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .replace(state.clone());
        if let Some(before) = before {
            before.leave.store(true, Ordering::Release);
            before.waker.wake();
            let gone = before.gone.lock().unwrap_or_else(PoisonError::into_inner);
            drop(
                before
                    .went
                    .wait_timeout_while(gone, PATIENCE, |gone| !*gone),
            );
        }
        Self(state)
    }

    /// Whether a newer activity waits for this one to leave.
    pub(crate) fn is_over(&self) -> bool {
        self.0.leave.load(Ordering::Acquire)
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        *self.0.gone.lock().unwrap_or_else(PoisonError::into_inner) = true;
        self.0.went.notify_all();
    }
}
