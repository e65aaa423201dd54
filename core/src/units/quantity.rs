//! The quantities: one type each over an SI number, never negative where that has no meaning.
//!
//! Factors are exact by definition: NIST SP 811 (2008), Appendix B, and NIST Handbook 44,
//! Appendix C. Gauge is the film trade's hundredth of a mil (common practice, no source).

use super::error::{QuantityError, QuantityKind};
use std::cmp::Ordering;
use std::iter::Sum;
use std::ops::{Add, Div, Mul, Sub};

/// Kilograms in one avoirdupois pound, exact: NIST SP 811 (2008) Appendix B.
pub const KG_PER_LB: f64 = 0.453_592_37;
/// Standard acceleration of free fall in m/s², exact: NIST SP 811 (2008) Appendix B.
pub const STANDARD_GRAVITY: f64 = 9.806_65;
/// Newtons in one pound-force, exact (`KG_PER_LB` × `STANDARD_GRAVITY`, written out so that no
/// rounding enters): NIST SP 811 (2008) Appendix B.
pub const N_PER_LBF: f64 = 4.448_221_615_260_5;
/// Ounces in one pound.
pub const OZ_PER_LB: u32 = 16;
/// Metres in one inch, exact: NIST SP 811 (2008) Appendix B.
pub const M_PER_IN: f64 = 0.0254;
/// Metres in one foot, exact: NIST SP 811 (2008) Appendix B.
pub const M_PER_FT: f64 = 0.3048;
/// Micrometres in one mil, exact: NIST SP 811 (2008) Appendix B.
pub const UM_PER_MIL: f64 = 25.4;
/// Micrometres in one gauge, a hundredth of a mil (common practice, no source).
pub const UM_PER_GAUGE: f64 = 0.254;

/// Tells a quantity to the code that is written once for all of them.
pub trait Quantity: Copy + std::fmt::Debug + PartialEq + PartialOrd + Sized {
    /// What it measures.
    const KIND: QuantityKind;
    /// The unit of its stored number, as the key of the serialised form: `kg`, `n`, `um`.
    const KEY: &'static str;

    /// The number in the unit that [`Self::KEY`] names.
    #[must_use]
    fn stored(self) -> f64;

    /// Makes one from the number in the unit that [`Self::KEY`] names.
    ///
    /// # Errors
    /// When the number is not finite, or is negative where that has no meaning.
    fn from_stored(value: f64) -> Result<Self, QuantityError>;
}

/// Refuses what the kind of quantity cannot be; `value` is as given, `stored` after conversion.
const fn checked(
    kind: QuantityKind,
    value: f64,
    stored: f64,
    signed: bool,
) -> Result<f64, QuantityError> {
    if !stored.is_finite() {
        return Err(QuantityError::NotFinite { kind, value });
    }
    if stored < 0.0 && !signed {
        return Err(QuantityError::Negative { kind, value });
    }
    Ok(stored + 0.0) // turns -0.0 into 0.0
}

/// Keeps a sum of finite numbers finite.
const fn saturated(value: f64) -> f64 {
    value.clamp(-f64::MAX, f64::MAX)
}

macro_rules! quantity {
    (
        $(#[$doc:meta])* $name:ident, key $key:literal, signed $signed:literal,
        $( $unit_doc:literal $from:ident / $get:ident = $to_stored:expr, $from_stored:expr; )+
    ) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// None of it.
            pub const ZERO: Self = Self(0.0);

            $(
                #[doc = concat!("Makes one from a number of ", $unit_doc, ".")]
                ///
                /// # Errors
                /// When the number is not finite, or is negative where that has no meaning.
                pub const fn $from(value: f64) -> Result<Self, QuantityError> {
                    let to_stored: Conversion = $to_stored;
                    match checked(QuantityKind::$name, value, to_stored.apply(value), $signed) {
                        Ok(stored) => Ok(Self(stored)),
                        Err(error) => Err(error),
                    }
                }

                #[doc = concat!("How many ", $unit_doc, " it is.")]
                #[must_use]
                pub const fn $get(self) -> f64 {
                    let from_stored: Conversion = $from_stored;
                    from_stored.apply(self.0)
                }
            )+

            /// Orders two of them; there is always an answer, since neither is NaN.
            #[must_use]
            pub const fn total_cmp(&self, other: &Self) -> Ordering {
                if self.0 < other.0 {
                    Ordering::Less
                } else if self.0 > other.0 {
                    Ordering::Greater
                } else {
                    Ordering::Equal
                }
            }

            /// The larger of the two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                if other.0 > self.0 { other } else { self }
            }

            /// The smaller of the two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                if other.0 < self.0 { other } else { self }
            }
        }

        impl Quantity for $name {
            const KIND: QuantityKind = QuantityKind::$name;
            const KEY: &'static str = $key;

            fn stored(self) -> f64 {
                self.0
            }

            fn from_stored(value: f64) -> Result<Self, QuantityError> {
                checked(Self::KIND, value, value, $signed).map(Self)
            }
        }

        /// Stays at the largest finite number instead of running over.
        impl Add for $name {
            type Output = Self;

            fn add(self, other: Self) -> Self {
                Self(saturated(self.0 + other.0))
            }
        }

        /// Stays at the largest finite number instead of running over.
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
                iter.fold(Self::ZERO, |total, one| total + one)
            }
        }

        impl<'a> Sum<&'a $name> for $name {
            fn sum<I: Iterator<Item = &'a Self>>(iter: I) -> Self {
                iter.copied().sum()
            }
        }

        /// Scaling is checked: the factor may be negative or not a number.
        impl Mul<f64> for $name {
            type Output = Result<Self, QuantityError>;

            fn mul(self, factor: f64) -> Self::Output {
                Self::from_stored(self.0 * factor)
            }
        }

        /// So many of it. Stays at the largest finite number instead of running over.
        impl Mul<u32> for $name {
            type Output = Self;

            fn mul(self, times: u32) -> Self {
                Self(saturated(self.0 * f64::from(times)))
            }
        }

        /// How many times the other goes into it, a bare number; infinite or NaN over zero.
        impl Div for $name {
            type Output = f64;

            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
    };
}

macro_rules! no_less_than_zero {
    ($($name:ident)+) => { $(
        /// `None` when more is taken away than there is.
        impl Sub for $name {
            type Output = Option<Self>;

            fn sub(self, other: Self) -> Option<Self> {
                Self::from_stored(self.0 - other.0).ok()
            }
        }
    )+ };
}

/// One exact factor, applied by multiplying or dividing so that only one rounding happens.
#[derive(Clone, Copy)]
enum Conversion {
    Times(f64),
    Over(f64),
}

use Conversion::{Over, Times};

impl Conversion {
    const fn apply(self, value: f64) -> f64 {
        match self {
            Times(factor) => value * factor,
            Over(factor) => value / factor,
        }
    }
}

const OZ: f64 = KG_PER_LB / 16.0; // exact: a division by a power of two
const OZF: f64 = N_PER_LBF / 16.0;

quantity! {
    /// Mass, as a scale reads it. Stored in kilograms, zero or more.
    ///
    /// A mass is not a force, although scales print pounds for both:
    ///
    /// ```compile_fail,E0308
    /// use tautbook_core::units::{Force, Mass};
    /// let mass = Mass::from_lb(1.0).unwrap();
    /// let force = Force::from_lbf(1.0).unwrap();
    /// let sum = mass + force;
    /// ```
    ///
    /// ```
    /// use tautbook_core::units::Mass;
    /// let mass = Mass::from_lb(1.0).unwrap();
    /// let more = Mass::from_oz(8.0).unwrap();
    /// let sum = mass + more;
    /// assert_eq!(sum.lb(), 1.5);
    /// ```
    Mass, key "kg", signed false,
    "kilograms" from_kg / kg = Times(1.0), Times(1.0);
    "grams" from_g / g = Over(1000.0), Times(1000.0);
    "avoirdupois pounds" from_lb / lb = Times(KG_PER_LB), Over(KG_PER_LB);
    "avoirdupois ounces" from_oz / oz = Times(OZ), Over(OZ);
}

quantity! {
    /// Force, as a pull scale reads it. Stored in newtons, zero or more.
    Force, key "n", signed false,
    "newtons" from_n / n = Times(1.0), Times(1.0);
    "pounds-force" from_lbf / lbf = Times(N_PER_LBF), Over(N_PER_LBF);
    "ounces-force" from_ozf / ozf = Times(OZF), Over(OZF);
    "kilograms-force" from_kgf / kgf = Times(STANDARD_GRAVITY), Over(STANDARD_GRAVITY);
    "decanewtons" from_dan / dan = Times(10.0), Over(10.0);
}

quantity! {
    /// Length of a load, a face, a web or a film. Stored in metres, zero or more.
    Length, key "m", signed false,
    "metres" from_m / m = Times(1.0), Times(1.0);
    "millimetres" from_mm / mm = Over(1000.0), Times(1000.0);
    "centimetres" from_cm / cm = Over(100.0), Times(100.0);
    "inches" from_in / inches = Times(M_PER_IN), Over(M_PER_IN);
    "feet" from_ft / ft = Times(M_PER_FT), Over(M_PER_FT);
}

quantity! {
    /// Thickness of a film. Stored in micrometres, zero or more: a film's thickness in metres
    /// would not come back as the same number of micrometres.
    Thickness, key "um", signed false,
    "metres" from_m / m = Times(1e6), Over(1e6);
    "micrometres" from_um / um = Times(1.0), Times(1.0);
    "mil (thousandths of an inch)" from_mil / mil = Times(UM_PER_MIL), Over(UM_PER_MIL);
    "gauge (hundredths of a mil)" from_gauge / gauge = Times(UM_PER_GAUGE), Over(UM_PER_GAUGE);
}

quantity! {
    /// A ratio: stretch, saving, overlap. Stored as a plain fraction, so that 250 % is 2.5. May
    /// be negative, as slack after the roller or a saving that is a loss is.
    Ratio, key "ratio", signed true,
    "parts of one, a plain fraction" from_fraction / fraction = Times(1.0), Times(1.0);
    "percent" from_percent / percent = Over(100.0), Times(100.0);
}

quantity! {
    /// Density of a film's resin. Stored in kilograms per cubic metre, zero or more.
    Density, key "kg_per_m3", signed false,
    "kilograms per cubic metre" from_kg_per_m3 / kg_per_m3 = Times(1.0), Times(1.0);
    "grams per cubic centimetre" from_g_per_cm3 / g_per_cm3 = Times(1000.0), Over(1000.0);
}

no_less_than_zero! { Mass Force Length Thickness Density }

impl Sub for Ratio {
    type Output = Self;

    fn sub(self, other: Self) -> Self {
        Self(saturated(self.0 - other.0))
    }
}
