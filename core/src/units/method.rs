//! How a containment force was read, as a type: readings by two methods never meet.
//!
//! A torsion tool turns a couple of prongs through the film; a pull plate draws the film off the
//! face. They take hold of different widths of film, strain it differently and sit at different
//! places, so that no factor leads from one to the other. The compiler keeps them apart:
//!
//! ```compile_fail,E0308
//! use tautbook_core::units::{Containment, Force, PullPlate, TorsionTool};
//! let force = Force::from_n(50.0).unwrap();
//! let torsion = Containment::<TorsionTool>::new(force);
//! let pull = Containment::<PullPlate>::new(force);
//! let sum = torsion + pull;
//! ```
//!
//! ```compile_fail,E0308
//! use tautbook_core::units::{Containment, Force, PullPlate, TorsionTool};
//! let force = Force::from_n(50.0).unwrap();
//! let torsion = Containment::<TorsionTool>::new(force);
//! let pull = Containment::<PullPlate>::new(force);
//! let less = torsion < pull;
//! ```
//!
//! ```compile_fail,E0308
//! use tautbook_core::units::{Containment, Force, PullPlate, TorsionTool};
//! let force = Force::from_n(50.0).unwrap();
//! let torsion = Containment::<TorsionTool>::new(force);
//! let pull = Containment::<PullPlate>::new(force);
//! let same = torsion == pull;
//! ```
//!
//! The same lines with one method compile:
//!
//! ```
//! use tautbook_core::units::{Containment, Force, PullPlate};
//! let force = Force::from_n(50.0).unwrap();
//! let one = Containment::<PullPlate>::new(force);
//! let other = Containment::<PullPlate>::new(force);
//! let sum = one + other;
//! assert!(one == other && one < sum);
//! ```

use super::quantity::Force;
use crate::language::Word;
use crate::word;
use serde::{Deserialize, Serialize};
use std::cmp::Ordering;
use std::fmt::Debug;
use std::iter::Sum;
use std::marker::PhantomData;
use std::ops::{Add, Sub};

mod sealed {
    pub trait Sealed {}
}

/// A way of reading containment force. Only the two markers of this module are methods.
pub trait Method:
    sealed::Sealed + Copy + Debug + Eq + Ord + std::hash::Hash + Send + Sync + 'static
{
    /// The method as a value, for records and screens.
    const ID: MethodId;
}

/// Marks readings by a torsion tool: prongs through the film, turned by a scale at a lever arm.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TorsionTool;

/// Marks readings by a pull plate: a plate behind the film, drawn off the face by a scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PullPlate;

impl sealed::Sealed for TorsionTool {}
impl sealed::Sealed for PullPlate {}

impl Method for TorsionTool {
    const ID: MethodId = MethodId::TorsionTool;
}

impl Method for PullPlate {
    const ID: MethodId = MethodId::PullPlate;
}

/// Which way a containment force was read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum MethodId {
    /// Prongs through the film, turned by a scale at a lever arm.
    TorsionTool,
    /// A plate behind the film, drawn off the face by a scale.
    PullPlate,
}

impl MethodId {
    /// Both methods, in the order screens list them.
    pub const ALL: [Self; 2] = [Self::TorsionTool, Self::PullPlate];

    /// The name in the record: `torsion_tool` or `pull_plate`.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::TorsionTool => "torsion_tool",
            Self::PullPlate => "pull_plate",
        }
    }

    /// Its name within a sentence.
    #[must_use]
    pub const fn word(self) -> Word {
        match self {
            Self::TorsionTool => word!("torsion tool"),
            Self::PullPlate => word!("pull plate"),
        }
    }

    /// Its name with its article, within a sentence.
    #[must_use]
    pub const fn the(self) -> Word {
        match self {
            Self::TorsionTool => word!(ctx: "tool with article", "the torsion tool"),
            Self::PullPlate => word!(ctx: "tool with article", "the pull plate"),
        }
    }
}

/// A containment force as read by method `M`. It adds to and compares with readings by the same
/// method only.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Containment<M: Method>(Force, PhantomData<M>);

impl<M: Method> Containment<M> {
    /// A force read by method `M`.
    #[must_use]
    pub const fn new(force: Force) -> Self {
        Self(force, PhantomData)
    }

    /// The force read; from here on the method no longer guards it.
    #[must_use]
    pub const fn force(self) -> Force {
        self.0
    }

    /// The method as a value.
    #[must_use]
    pub const fn method(self) -> MethodId {
        M::ID
    }

    /// Orders two readings by the same method; there is always an answer.
    #[must_use]
    pub const fn total_cmp(&self, other: &Self) -> Ordering {
        self.0.total_cmp(&other.0)
    }
}

impl<M: Method> Add for Containment<M> {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self::new(self.0 + other.0)
    }
}

impl<M: Method> Sub for Containment<M> {
    type Output = Option<Self>;

    fn sub(self, other: Self) -> Option<Self> {
        (self.0 - other.0).map(Self::new)
    }
}

impl<M: Method> Sum for Containment<M> {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        Self::new(iter.map(Self::force).sum())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_method_stays_with_the_reading() {
        let force = Force::from_lbf(12.375).unwrap();
        let torsion = Containment::<TorsionTool>::new(force);
        let pull = Containment::<PullPlate>::new(force);
        assert_eq!(torsion.method(), MethodId::TorsionTool);
        assert_eq!(pull.method(), MethodId::PullPlate);
        assert_eq!(torsion.force(), pull.force());
    }

    #[test]
    fn the_record_name_is_the_serde_name() {
        for id in MethodId::ALL {
            let json = serde_json::to_string(&id).unwrap();
            assert_eq!(json, format!("\"{}\"", id.as_str()));
            assert_eq!(serde_json::from_str::<MethodId>(&json).unwrap(), id);
        }
    }

    #[test]
    fn like_adds_to_like() {
        let read = |n| Containment::<TorsionTool>::new(Force::from_n(n).unwrap());
        let total: Containment<TorsionTool> = [read(1.0), read(2.5)].into_iter().sum();
        assert_eq!(total, read(3.5));
        assert_eq!(total - read(1.0), Some(read(2.5)));
        assert_eq!(read(1.0) - total, None);
        assert_eq!(total.total_cmp(&read(4.0)), Ordering::Less);
    }
}
