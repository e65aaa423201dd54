//! What an office asks of the books of many: customers and sites at a glance, and what became of a
//! line since the visit before.

mod follow_up;
mod settings;
mod sites;
mod trials;

pub use follow_up::{FollowUp, Reference, WhyNot, ZoneSince, follow_up};
pub use settings::{Field, Settings, differences};
pub use sites::{LastVisit, OpenFinding, Site, Sites};
pub use trials::{NoSaving, Trial, YearSaved};

/// A name as it is told apart from others: neither capitals nor spaces make another one of it.
#[must_use]
pub fn plain_name(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    words.join(" ").to_lowercase()
}
