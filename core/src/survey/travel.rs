//! How the loads of a line travel, and the friction under the goods.

use serde::{Deserialize, Serialize};

use super::ContentError;
use crate::word;

/// How a load travels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Transport {
    /// By road.
    Road,
    /// By rail, in a train that is not pushed together over a hump.
    Rail,
    /// By rail, with the shock of shunting.
    RailShunting,
    /// By sea, waves up to 8 m.
    SeaA,
    /// By sea, waves of 8 m to 12 m.
    SeaB,
    /// By sea, waves over 12 m.
    SeaC,
}

/// How the loads of a line travel. What is blank was not asked.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(default, deny_unknown_fields)]
pub struct Travel {
    /// The way.
    pub transport: Option<Transport>,
    /// Friction between goods and pallet, or between layers: 0 to 1.
    pub friction: Option<f64>,
}

impl Travel {
    /// Refuses a friction that none is.
    pub(super) fn check(&self) -> Result<(), ContentError> {
        match self.friction {
            Some(friction) if !(0.0..=1.0).contains(&friction) => Err(ContentError::new(
                "travel.friction",
                word!("a friction lies between 0 and 1: 0.3, say, or blank when it is not known"),
            )),
            Some(_) | None => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_friction_lies_between_0_and_1() {
        let with = |friction| Travel {
            transport: Some(Transport::Road),
            friction,
        };
        for right in [None, Some(0.0), Some(0.3), Some(1.0)] {
            assert_eq!(with(right).check(), Ok(()));
        }
        for wrong in [-0.1, 1.1, f64::NAN, f64::INFINITY] {
            assert!(with(Some(wrong)).check().is_err(), "{wrong}");
        }
    }
}
