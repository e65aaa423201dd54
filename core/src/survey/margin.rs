//! How much less a new setup may hold than an old one, chosen before it is put to the test.

use serde::{Deserialize, Serialize};
#[cfg(feature = "schema")]
use uuid::Uuid;

use super::{ContentError, Id, Moment, Setup};
use crate::units::{Entered, Force, MethodId};
use crate::word;

/// A margin of the setup it stands on against another, by one method.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Margin {
    /// The setup it is laid beside.
    #[cfg_attr(feature = "schema", schemars(with = "Uuid"))]
    pub against: Id<Setup>,
    /// The method whose readings it is for.
    pub method: MethodId,
    /// How much less it may hold, at most.
    pub force: Entered<Force>,
    /// When this was chosen.
    pub chosen: Moment,
}

impl Setup {
    /// The margin against another setup by a method, where one was chosen.
    #[must_use]
    pub fn margin(&self, against: Id<Setup>, method: MethodId) -> Option<&Margin> {
        self.margins
            .iter()
            .find(|margin| margin.against == against && margin.method == method)
    }

    /// Chooses a margin in place of the one that was; the same force chosen again keeps its time.
    pub fn choose_margin(&mut self, margin: Margin) {
        let kept = self.margin(margin.against, margin.method);
        if kept.is_some_and(|kept| kept.force == margin.force) {
            return;
        }
        self.drop_margin(margin.against, margin.method);
        let place = self
            .margins
            .partition_point(|other| order(other) < order(&margin));
        self.margins.insert(place, margin);
    }

    /// Takes a margin back.
    pub fn drop_margin(&mut self, against: Id<Setup>, method: MethodId) {
        self.margins
            .retain(|margin| margin.against != against || margin.method != method);
    }
}

/// By the other setup, then by the method: the same whatever was chosen first.
fn order(margin: &Margin) -> (Id<Setup>, &'static str) {
    (margin.against, margin.method.as_str())
}

/// Refuses two margins for one pair, and any order but the one they are kept in.
pub(super) fn check(margins: &[Margin]) -> Result<(), ContentError> {
    if margins
        .iter()
        .is_sorted_by(|one, next| order(one) < order(next))
    {
        return Ok(());
    }
    Err(ContentError::new(
        "margins",
        word!(
            "there is one margin for each other setup and method, in the order of these: take out the one that was not meant, or put them in order"
        ),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::survey::{Entity, SetupRole};

    fn margin(against: u128, method: MethodId, newtons: u32, chosen: i64) -> Margin {
        Margin {
            against: Id::from_uuid(uuid::Uuid::from_u128(against)),
            method,
            force: format!("{newtons} N").parse().unwrap(),
            chosen: Moment::from_unix_ms(chosen, 0).unwrap(),
        }
    }

    fn setup() -> Setup {
        let line = Id::from_uuid(uuid::Uuid::from_u128(1));
        Setup::new(line, "Trial 1", SetupRole::Trial)
    }

    #[test]
    fn whatever_is_chosen_first_they_stand_in_one_order() {
        use MethodId::{PullPlate, TorsionTool};
        let all = [
            margin(7, TorsionTool, 4, 0),
            margin(7, PullPlate, 5, 0),
            margin(3, TorsionTool, 6, 0),
        ];
        let (mut one, mut other) = (setup(), setup());
        for margin in &all {
            one.choose_margin(margin.clone());
        }
        for margin in all.iter().rev() {
            other.choose_margin(margin.clone());
        }
        assert_eq!(one, other);
        assert_eq!(one.check(), Ok(()));
        assert_eq!(
            one.margin(all[1].against, PullPlate),
            Some(&all[1]),
            "each method has its own"
        );
        one.drop_margin(all[1].against, PullPlate);
        assert_eq!(one.margin(all[1].against, PullPlate), None);
        assert_eq!(one.margins.len(), 2);
    }

    #[test]
    fn another_force_is_another_choice_and_the_same_is_not() {
        let mut setup = setup();
        let method = MethodId::TorsionTool;
        for (newtons, at, kept) in [(4, 10, 10), (4, 20, 10), (5, 30, 30)] {
            setup.choose_margin(margin(7, method, newtons, at));
            assert_eq!(setup.margins.len(), 1);
            assert_eq!(setup.margins[0].chosen.unix_ms(), kept, "{newtons} N");
        }
    }

    #[test]
    fn two_for_one_pair_are_refused() {
        let mut setup = setup();
        let method = MethodId::PullPlate;
        setup.margins = vec![margin(7, method, 4, 0), margin(7, method, 5, 0)];
        let error = setup.check().unwrap_err();
        assert_eq!(error.field, "margins");
        setup.margins = vec![margin(8, method, 4, 0), margin(7, method, 5, 0)];
        assert!(setup.check().is_err(), "out of order");
    }
}
