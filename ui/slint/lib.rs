//! What the Slint compiler makes of `app.slint`: the window and the adapter globals.
//!
//! A crate of its own, because it is long: it is built once, beside the core, and is not looked through
//! for faults of style whenever a presenter changes.
#![allow(
    missing_docs,
    unsafe_code,
    unreachable_pub,
    rust_2018_idioms,
    unused_qualifications,
    clippy::all,
    clippy::pedantic,
    clippy::restriction
)]

slint::include_modules!();
