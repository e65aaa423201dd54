//! Tautbook on the phone: a native activity, and no Java of our own.
//!
//! [`shell`] is the loop of one activity: what the platform says goes to Slint, and what Slint draws
//! goes to the window, by its software renderer. [`phone`] is the `Device` that the screens ask,
//! over JNI. `android/README.md` says what is built how, and what only a phone can show.

#[macro_use]
mod java;

mod arrivals;
mod bars;
mod camera;
mod config;
mod dialog;
mod facts;
mod insets;
mod keys;
mod phone;
mod sharing;
mod shell;
mod storage;
mod surface;
mod touch;
mod turn;
mod window;

use android_activity::AndroidApp;

/// What the platform starts for every activity, on a thread of its own.
#[unsafe(no_mangle)]
fn android_main(app: AndroidApp) {
    shell::run(&app);
}
