//! Film balance: does the film weighed agree with what the programme and the roll predict?
//!
//! Turns and the load's sides give the path of the film, the path and the stretch give the length
//! that came off the roll, and that with width, thickness and density gives a mass to lay beside
//! the film that was cut off and weighed. Each of them is known only so well; the balance closes
//! when predicted and weighed differ by no more than all of that together allows.
//!
//! [`balance`] works on bare numbers, [`Balance::of_records`] gathers them from the record.

mod causes;
mod records;
mod says;

pub use causes::{Cause, CauseKind, Needed};
pub use records::{BalanceRecords, Tolerances};
pub(in crate::analysis) use records::{USUAL_DENSITY, on_roll};
pub use says::{BalanceAssumption, BalanceError};

use super::film::roll_length;
use super::stretch::coverage;
use crate::units::{Density, Length, Mass, Ratio, Thickness};

/// A value with its standard uncertainty, in the SI unit of what it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Its standard uncertainty, zero or more.
    pub uncertainty: f64,
    /// Degrees of freedom of the uncertainty; `None` where it was not got from few readings.
    pub degrees_of_freedom: Option<f64>,
}

impl Estimate {
    /// A value whose uncertainty does not come from a count of readings.
    #[must_use]
    pub const fn new(value: f64, uncertainty: f64) -> Self {
        Self {
            value,
            uncertainty,
            degrees_of_freedom: None,
        }
    }

    /// A value that may lie anywhere within `half` either way: u = half / √3 (GUM 4.3.7).
    #[must_use]
    pub fn within(value: f64, half: f64) -> Self {
        Self::new(value, half / 3.0_f64.sqrt())
    }

    fn relative(&self) -> f64 {
        self.uncertainty / self.value
    }

    fn is_sound(&self) -> bool {
        self.value.is_finite()
            && self.uncertainty.is_finite()
            && self.uncertainty >= 0.0
            && self.degrees_of_freedom.is_none_or(|df| df > 0.0)
    }

    /// Half the width of the interval that holds the value 95 times of 100: k u, with k from
    /// Student's t by the degrees of freedom, 1.96 without any (GUM G.3.2).
    #[must_use]
    pub fn expanded(&self) -> f64 {
        // Fewer than 0.01 degrees of freedom are not met with; then the widest k there is.
        let k = coverage(self.degrees_of_freedom).unwrap_or(f64::MAX.sqrt());
        (k * self.uncertainty).min(f64::MAX)
    }

    /// Lower end of that interval.
    #[must_use]
    pub fn low(&self) -> f64 {
        self.value - self.expanded()
    }

    /// Upper end of that interval.
    #[must_use]
    pub fn high(&self) -> f64 {
        self.value + self.expanded()
    }
}

/// What a balance is made of. Each is independent of the others.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inputs {
    /// Turns round the load.
    pub turns: f64,
    /// Path of the film round the load, in metres.
    pub path: Estimate,
    /// Overall stretch of the film, as a fraction.
    pub stretch: Estimate,
    /// Density in kilograms per cubic metre.
    pub density: Estimate,
    /// Width of the film on the roll, in metres.
    pub width: Estimate,
    /// Thickness of the film on the roll, in metres.
    pub thickness: Estimate,
    /// Film weighed per load, in kilograms.
    pub weighed: Estimate,
    /// Whether the stretch was read off marks on the load.
    pub stretch_measured: bool,
    /// Whether the thickness was measured.
    pub thickness_measured: bool,
}

/// Film predicted beside film weighed.
#[derive(Debug, Clone, PartialEq)]
pub struct Balance {
    /// What it was worked out from.
    pub inputs: Inputs,
    /// Length off the roll for one load by programme and stretch: path / (1 + s), in metres.
    pub predicted_length: Estimate,
    /// Film mass of one load by programme, stretch and roll, in kilograms.
    pub predicted: Estimate,
    /// Length off the roll for one load by the film weighed: m / (rho w t), in metres.
    pub weighed_length: Estimate,
    /// Effective stretch: path over weighed length, less 1; a fraction. It needs no stretch set or
    /// marked, so it is a check on both.
    pub effective_stretch: Estimate,
    /// Weighed less predicted, in kilograms.
    pub difference: Estimate,
    /// Weighed over predicted.
    pub ratio: Estimate,
    /// Whether the difference lies within its own expanded uncertainty. It then says that nothing
    /// contradicts the record, not that all of it is right.
    pub closes: bool,
    /// What may be behind it when it does not close, the likelier first; empty when it does.
    pub causes: Vec<Cause>,
    /// What is taken for granted.
    pub assumptions: Vec<BalanceAssumption>,
}

/// The stretch beyond which a value is a mistake: 1000 % (common practice, no source; films break
/// at less).
pub const MOST_STRETCH: f64 = 10.0;

/// Lays predicted beside weighed film.
///
/// ```text
/// U = S / (1 + s)          m = ρ w t U          e = S ρ w t / M − 1
/// d = M − m                r = M / m
/// ```
///
/// with S the path in metres, s the overall stretch, U the length off the roll, rho, w and t the
/// density, width and thickness of the film on the roll, m the mass predicted, M the mass weighed,
/// e the effective stretch, d the difference and r the ratio. All are products and quotients of
/// independent values, so relative variances add:
///
/// ```text
/// (u(m)/m)² = (u(S)/S)² + (u(s)/(1+s))² + (u(ρ)/ρ)² + (u(w)/w)² + (u(t)/t)²
/// u(e) = (1 + e) √((u(S)/S)² + (u(ρ)/ρ)² + (u(w)/w)² + (u(t)/t)² + (u(M)/M)²)
/// u(d)² = u(M)² + u(m)²          (u(r)/r)² = (u(M)/M)² + (u(m)/m)²
/// ```
///
/// to first order, which for these relative uncertainties of a few hundredths is enough. Degrees
/// of freedom come by Welch and Satterthwaite. The balance closes when |d| is no more than its
/// 95 % expanded uncertainty.
///
/// Source: JCGM 100:2008 (GUM), 5.1.2, 5.1.6, G.4.1, G.3.2.
///
/// # Errors
/// When a value is zero, negative, not a number or beyond reason; the text says which.
pub fn balance(inputs: &Inputs) -> Result<Balance, BalanceError> {
    inputs.check()?;
    let Inputs {
        path,
        stretch,
        density,
        width,
        thickness,
        weighed,
        ..
    } = *inputs;
    let grown = Estimate {
        value: 1.0 + stretch.value,
        ..stretch
    };
    let per_metre = density.value * width.value * thickness.value;
    let predicted_length = product(path.value / grown.value, &[path, grown]);
    let predicted = product(
        per_metre * predicted_length.value,
        &[path, grown, density, width, thickness],
    );
    let weighed_length = product(
        weighed.value / per_metre,
        &[weighed, density, width, thickness],
    );
    let effective = product(
        path.value / weighed_length.value,
        &[path, weighed, density, width, thickness],
    );
    let ratio = product(
        weighed.value / predicted.value,
        &[path, grown, density, width, thickness, weighed],
    );
    let difference = combined(
        weighed.value - predicted.value,
        &[weighed, predicted].map(|part| (part.uncertainty, part.degrees_of_freedom)),
    );
    let result = [
        predicted_length,
        predicted,
        weighed_length,
        effective,
        ratio,
        difference,
    ];
    if !(result.iter().all(Estimate::is_sound) && result.iter().take(5).all(|x| x.value > 0.0)) {
        return Err(BalanceError::BeyondReason);
    }
    let closes = difference.value.abs() <= difference.expanded();
    let mut balance = Balance {
        inputs: *inputs,
        predicted_length,
        predicted,
        weighed_length,
        effective_stretch: Estimate {
            value: effective.value - 1.0,
            ..effective
        },
        difference,
        ratio,
        closes,
        causes: Vec::new(),
        assumptions: Vec::new(),
    };
    if !closes {
        balance.causes = causes::causes(&balance);
    }
    Ok(balance)
}

impl Inputs {
    fn check(&self) -> Result<(), BalanceError> {
        let more_than_nothing = |estimate: &Estimate| estimate.is_sound() && estimate.value > 0.0;
        for (estimate, error) in [
            (&self.path, BalanceError::NoPath),
            (&self.density, BalanceError::NoDensity),
            (&self.width, BalanceError::NoRollWidth),
            (&self.thickness, BalanceError::NoThickness),
            (&self.weighed, BalanceError::NothingWeighed),
        ] {
            if !more_than_nothing(estimate) {
                return Err(error);
            }
        }
        if !(self.turns.is_finite() && self.turns > 0.0) {
            return Err(BalanceError::NoPath);
        }
        if self.stretch.is_sound() && (0.0..=MOST_STRETCH).contains(&self.stretch.value) {
            Ok(())
        } else {
            Err(BalanceError::ImpossibleStretch)
        }
    }
}

impl Balance {
    /// Film predicted for one load.
    #[must_use]
    pub fn predicted_mass(&self) -> Mass {
        Mass::from_kg(self.predicted.value).unwrap_or(Mass::ZERO)
    }

    /// Film weighed for one load.
    #[must_use]
    pub fn weighed_mass(&self) -> Mass {
        Mass::from_kg(self.inputs.weighed.value).unwrap_or(Mass::ZERO)
    }

    /// The least difference this balance could have shown, as a part of the film predicted: the
    /// expanded uncertainty of the difference over the prediction. A balance that closes says
    /// nothing about less than that.
    #[must_use]
    pub fn least_shown(&self) -> Option<Ratio> {
        Ratio::from_fraction(self.difference.expanded() / self.predicted.value).ok()
    }

    /// The effective stretch.
    #[must_use]
    pub fn effective(&self) -> Option<Ratio> {
        Ratio::from_fraction(self.effective_stretch.value).ok()
    }
}

/// Film mass of one load: rho w t S / (1 + s), with S the path. See [`balance`] for the symbols.
///
/// `None` when the stretch is -100 % or less, or the result is too much to be a mass.
#[must_use]
pub fn predicted_mass(
    path: Length,
    stretch: Ratio,
    density: Density,
    width: Length,
    thickness: Thickness,
) -> Option<Mass> {
    let grown = 1.0 + stretch.fraction();
    if grown <= 0.0 {
        return None;
    }
    let off_the_roll = Length::from_m(path.m() / grown).ok()?;
    super::film::strip_mass(off_the_roll, density, width, thickness)
}

/// Effective stretch of film cut off a load: path / U - 1, with U = m / (rho w t) the length it
/// had on the roll. See [`balance`] for the symbols and for its uncertainty.
///
/// `None` when one of mass, density, width or thickness is zero.
#[must_use]
pub fn effective_stretch(
    path: Length,
    net_mass: Mass,
    density: Density,
    width: Length,
    thickness: Thickness,
) -> Option<Ratio> {
    let off_the_roll = roll_length(net_mass, density, width, thickness)?;
    Ratio::from_fraction(path / off_the_roll - 1.0).ok()
}

/// A product or quotient of independent values: relative variances add.
fn product(value: f64, factors: &[Estimate]) -> Estimate {
    let parts: Vec<(f64, Option<f64>)> = factors
        .iter()
        .map(|factor| (value * factor.relative(), factor.degrees_of_freedom))
        .collect();
    combined(value, &parts)
}

/// A value with the parts its uncertainty is made of, each with its degrees of freedom (GUM G.4.1).
fn combined(value: f64, parts: &[(f64, Option<f64>)]) -> Estimate {
    let variance: f64 = parts.iter().map(|(u, _)| u * u).sum();
    let over_df: f64 = parts
        .iter()
        .filter_map(|(u, df)| df.map(|df| u.powi(4) / df))
        .sum();
    let df = variance * variance / over_df;
    Estimate {
        value,
        uncertainty: variance.sqrt(),
        degrees_of_freedom: (over_df > 0.0 && df.is_finite()).then_some(df),
    }
}
