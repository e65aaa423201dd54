//! About: version and licences.

use slint::ComponentHandle;

use super::model;
use crate::app::App;
use crate::place::Place;
use crate::screens::{AboutAdapter, MainWindow, ThirdParty};

/// Crate and licences, a line each, as the licence check writes it.
const THIRD_PARTY: &str = include_str!("../../licences/third-party.txt");

pub(super) fn fill(window: &MainWindow, app: &App) {
    let about = window.global::<AboutAdapter>();
    about.set_version(env!("CARGO_PKG_VERSION").into());
    about.set_third_parties(model(third_parties().map(|(name, licence)| ThirdParty {
        name: name.into(),
        licence: licence.into(),
    })));
    let on = app.clone();
    about.on_open_parts(move || on.act(|session| session.go(Place::Parts)));
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

    /// The IJG licence, condition 2: where only the program is given away, its documentation must
    /// say so.
    #[test]
    fn what_a_licence_asks_to_be_said_is_said() {
        let screen = include_str!("../../slint/screens/about.slint");
        let asked = third_parties().any(|(_, licence)| licence.contains("IJG"));
        let said = screen.contains("based in part on the work of the Independent JPEG Group");
        assert_eq!(said, asked);
    }
}
