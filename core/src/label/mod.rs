//! The label of a kept sample: its codes, printed and read again.
//!
//! A label carries a square code ([`LabelCode`] as a QR [`Symbol`]) and, for when that is torn, a
//! [`ShortCode`] to type. Both follow from the id of the sample's record and need no list of their
//! own: a label printed on one device is known on every device whose book has the record.

mod base32;
mod code;
mod find;
mod kept;
mod near;
mod pictured;
pub mod print;
pub mod read;
mod short;
mod symbol;
mod typed;

pub use code::{CodeError, LabelCode};
pub use find::{Lookup, SampleFacts, look_up, look_up_short, sample_facts};
pub use kept::{SampleState, due_for_release, samples_due, state_of};
pub use near::Slip;
pub use pictured::{Pictured, look_up_pictured, read_labels};
pub use short::{ShortCode, ShortCodeError};
pub use symbol::{QUIET, SIDE, Symbol, SymbolError};
pub use typed::{NearMiss, Typed, look_up_typed};
