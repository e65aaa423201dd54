//! Charts as scenes: what is drawn where, laid out once and drawn alike by the screen and by the
//! report.
//!
//! A chart's function takes what the computing found, with its words already in the reader's
//! language and units, and a [`Frame`] to lay it out in. What it gives is a [`Scene`]: marks at
//! places in dp, in colours named by [`Role`], with one text that says the same aloud. Text is
//! measured with the bundled typeface, so that it never runs into other text or out of the scene,
//! whatever the width of the screen and the size of its text.
//!
//! Numbers that are not finite are left out of a scene; there is no error to show in a picture.

mod axis;
mod compare;
mod film_path;
mod kept_force;
mod key;
mod load_side;
mod scene;
mod trade_off;
mod typeface;

pub use axis::Axis;
pub use compare::{Compare, CompareSeries, CompareZone, compare};
pub use film_path::{FilmPath, Sticky, film_path};
pub use kept_force::{KeptForce, KeptPoint, KeptSeries, kept_force};
pub use load_side::{FACES, LoadSide, SideLayers, SideReading, SideWords, SideZone, load_side};
pub use scene::{Anchor, Frame, Mark, Point, Role, Scene, Shape};
pub use trade_off::{TradeKind, TradeOff, TradePoint, trade_off};
pub use typeface::{BASELINE, LINE, text_width};
