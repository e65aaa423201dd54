//! Tautbook's screens and the presenters that feed them.
//!
//! The screens are Slint files in `ui/slint`; each has one adapter global (`VisitAdapter`,
//! `ReadAdapter`, ...). [`presenters`] say what a screen shows and do what its buttons ask, over a
//! [`session::Session`]; they know no window. An adapter fills the global from its presenter and
//! takes its callbacks. [`app::App`] joins a window and a session. The platform is reached through
//! [`device::Device`] alone.

#![forbid(unsafe_code)]

mod adapters;
pub mod app;
pub mod chart;
pub mod device;
pub mod lists;
pub mod look;
pub mod place;
pub mod presenters;
mod recent;
pub mod session;
pub mod trouble;
mod work;

/// The window and the adapter globals.
pub use tautbook_screens as screens;
