//! About: version and licences.

use slint::ComponentHandle;

use super::model;
use crate::screens::{AboutAdapter, MainWindow, ThirdParty};

/// Crate and licences, a line each, as the licence check writes it.
const THIRD_PARTY: &str = include_str!("../../licences/third-party.txt");

pub(super) fn fill(window: &MainWindow) {
    let about = window.global::<AboutAdapter>();
    about.set_version(env!("CARGO_PKG_VERSION").into());
    about.set_third_parties(model(third_parties().map(|(name, licence)| ThirdParty {
        name: name.into(),
        licence: licence.into(),
    })));
}

/// Name with version, and licences, of each third-party crate.
fn third_parties() -> impl Iterator<Item = (&'static str, &'static str)> {
    THIRD_PARTY.lines().filter_map(|line| line.split_once(": "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_names_what_is_linked_and_its_licence() {
        let found: Vec<_> = third_parties().collect();
        assert!(found.len() > 50, "{}", found.len());
        for (name, licence) in &found {
            assert!(name.contains('@'), "{name}: name and version");
            assert!(!licence.trim().is_empty(), "{name}");
        }
        assert!(found.iter().any(|(name, _)| name.starts_with("rusqlite@")));
    }
}
