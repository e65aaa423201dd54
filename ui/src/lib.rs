//! Tautbook's screens and the presenters that feed them.
//!
//! The screens are Slint files in `ui/slint`; each has one adapter global (`VisitAdapter`,
//! `ReadAdapter`, ...). [`presenters`] say what a screen shows and do what its buttons ask, over a
//! [`session::Session`]; they know no window. An adapter fills the global from its presenter and
//! takes its callbacks. [`app::App`] joins a window and a session. The platform is reached through
//! [`device::Device`] alone.

mod adapters;
pub mod app;
pub mod chart;
pub mod device;
pub mod look;
pub mod place;
pub mod presenters;
mod recent;
pub mod session;
mod work;

/// What the Slint compiler makes of `ui/slint/app.slint`: the window and the adapter globals.
#[allow(
    missing_docs,
    unsafe_code,
    unreachable_pub,
    rust_2018_idioms,
    unused_qualifications,
    clippy::all,
    clippy::pedantic,
    clippy::restriction
)]
pub mod screens {
    slint::include_modules!();
}
