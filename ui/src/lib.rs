//! Tautbook's screens and the presenters that feed them.
//!
//! The screens are Slint files in `ui/slint`; each has one adapter global (`VisitAdapter`,
//! `ReadAdapter`, ...) that a presenter of the same name fills and listens to.

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
