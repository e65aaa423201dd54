//! About.

use slint::ComponentHandle;
use tautbook_ui::screens::{AboutAdapter, MainWindow, Screen, ThirdParty};

use super::{go, rows};

pub(super) fn about(window: &MainWindow) {
    go(window, Screen::About, "", "");
    let about = window.global::<AboutAdapter<'_>>();
    about.set_version("0.1.0".into());
    let part = |name: &str, licence: &str| ThirdParty {
        name: name.into(),
        licence: licence.into(),
    };
    about.set_third_parties(rows([
        part("Lato, the typeface", "OFL-1.1"),
        part("chrono 0.4.45", "MIT OR Apache-2.0"),
        part("rusqlite 0.43.0", "MIT"),
        part("slint 1.18.1", "Slint Royalty-free 2.0"),
    ]));
}
