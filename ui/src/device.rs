//! The one way from the screens to the platform.

/// What the screens ask of the phone or the desktop they run on.
pub trait Device {
    /// A short buzz that says "saved" to a hand in a glove. A machine that cannot buzz does
    /// nothing.
    fn buzz(&self);

    /// Keeps the screen lit while a load is being read.
    fn keep_screen_on(&self, on: bool);
}

/// A machine that can neither buzz nor go dark on its own: a desktop, and the tests.
#[derive(Debug, Clone, Copy, Default)]
pub struct Desktop;

impl Device for Desktop {
    fn buzz(&self) {}
    fn keep_screen_on(&self, _on: bool) {}
}
