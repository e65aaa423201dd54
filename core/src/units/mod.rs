//! Quantities, the units people use for them, and the reading and showing of both.
//!
//! Inside, every value is SI. Outside, it is what was typed ([`Entered`]) or what a person has
//! chosen to see ([`UnitChoice`], [`Style`]).
//!
//! ```
//! use tautbook_core::units::{
//!     DecimalMark, ForceUnit, Style, Typing, parse_force, show_force,
//! };
//! let typing = Typing::new(DecimalMark::Point, ForceUnit::PoundOunce);
//! let typed = parse_force("12-6", &typing).unwrap();
//! assert_eq!(typed.text, "12 lb 6 oz");
//! assert_eq!(show_force(typed.value, ForceUnit::Newton, &Style::default()), "55.0 N");
//! ```

mod choice;
mod entered;
mod error;
mod method;
mod number;
mod pair;
mod quantity;
mod show;
mod symbol;
mod tokens;
mod typed;

pub use choice::{
    DensityUnit, ForceUnit, LengthUnit, MassUnit, RatioUnit, ThicknessUnit, UnitChoice, UnitSystem,
};
pub use entered::Entered;
pub use error::{QuantityError, QuantityKind, TypedError};
pub use method::{Containment, Method, MethodId, PullPlate, TorsionTool};
pub use number::DecimalMark;
pub use quantity::{
    Density, Force, KG_PER_LB, Length, M_PER_FT, M_PER_IN, Mass, N_PER_LBF, OZ_PER_LB, Quantity,
    Ratio, STANDARD_GRAVITY, Thickness, UM_PER_GAUGE, UM_PER_MIL,
};
pub use show::{
    MinusSign, Style, UnitSpace, show_density, show_force, show_length, show_mass, show_number,
    show_ratio, show_thickness,
};
pub use typed::{
    Typing, parse_count, parse_density, parse_force, parse_length, parse_mass, parse_number,
    parse_percent, parse_ratio, parse_thickness, parse_turns,
};
