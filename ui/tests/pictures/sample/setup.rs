//! Setup.

use slint::{ComponentHandle, SharedString};
use tautbook_core::chart::{Frame, Sticky, film_path};
use tautbook_core::language::Language;
use tautbook_ui::screens::{
    Block, LoadRow, MainWindow, RollChoice, Screen, SetupAdapter, SetupRole, SpacingBasis, Tone,
};

use super::{entry, fact, go, rows};
use crate::charts;

pub(super) fn setup(window: &MainWindow) {
    go(
        window,
        Screen::Setup,
        "As found",
        "Quillmoor Beverages › Line 2",
    );
    let setup = window.global::<SetupAdapter<'_>>();
    setup.set_name(entry("As found", ""));
    setup.set_role(SetupRole::AsFound);
    setup.set_rolls(rows([
        RollChoice {
            id: "a".into(),
            name: "Clear 80".into(),
            spec: "80 ga, 20 in, 6000 ft".into(),
        },
        RollChoice {
            id: "b".into(),
            name: "Trial 60".into(),
            spec: "60 ga, 20 in, 7500 ft".into(),
        },
    ]));
    setup.set_roll("a".into());
    setup.set_bottom_turns("3".into());
    setup.set_top_turns("2".into());
    setup.set_spacing_basis(SpacingBasis::Pitch);
    setup.set_spacing_up(entry("9", "in"));
    setup.set_spacing_down(entry("9", "in"));
    setup.set_start_height(entry("1", "in"));
    setup.set_outcome(Block {
        lead:
            "As planned, as far as it was measured: top and bottom hold what was expected, and the \
               film weighs what it should."
                .into(),
        tone: Tone::Good,
        facts: rows([
            fact("Top", "14 lb 2 oz", "14 lb 9 oz was planned; 9 readings"),
            fact("Film a load", "7.1 oz", "7 oz was planned; 3 loads weighed"),
        ]),
        points: rows([]),
    });
    setup.set_loading_wrong(
        "With the path as threaded the roll turns the other way, and the sticky side faces away \
         from the load: turn the roll over and thread it by the machine\u{2019}s diagram, with \
         the machine stopped under the site\u{2019}s procedure, or use film that clings on its \
         other side."
            .into(),
    );
    setup.set_loading(Block {
        lead: "Set the roll so that, looking down on it, its loose end points clockwise and the \
               roll turns clockwise as film comes off."
            .into(),
        tone: Tone::Info,
        facts: rows([
            fact("Sticky side", "inside of the roll", ""),
            fact("The table turns", "clockwise", ""),
            fact(
                "The film as threaded now",
                "",
                "The roll turns anticlockwise; 1 change of bend.",
            ),
        ]),
        points: rows([
            "The way between roll and load is drawn with the fewest bends; the machine\u{2019}s \
             own diagram says how it runs."
                .into(),
        ]),
    });
    setup.set_loading_roll(true);
    setup.set_loading_drawn(true);
    setup.set_threaded_drawn(true);
    setup.on_loading_way(|width, text, _| {
        charts::drawn(&film_path(
            &charts::way(true, Some(Sticky::Inside)),
            Frame::new(width.into(), text.into()),
        ))
    });
    setup.on_threaded_way(|width, text, _| {
        charts::drawn(&film_path(
            &charts::way(false, Some(Sticky::Inside)),
            Frame::new(width.into(), text.into()),
        ))
    });
    setup.set_machine_acknowledged(true);
    setup.set_tack_test(
        tautbook_core::analysis::loading::TACK_TEST
            .said(Language::English)
            .into(),
    );
    setup.set_over_top(entry("2", "in"));
    setup.set_film_force(entry("4 of 10", ""));
    setup.set_pre_stretch(entry("200", "%"));
    setup.set_loads(rows([
        LoadRow {
            id: "1".into(),
            name: "Load 1".into(),
            size: "48 × 40 × 60 in, 1480 lb".into(),
            readings: 9,
            film: "8.1 oz".into(),
            note: SharedString::new(),
        },
        LoadRow {
            id: "2".into(),
            name: "Load 2".into(),
            size: "48 × 40 × 60 in, 1480 lb".into(),
            readings: 9,
            film: "8.3 oz".into(),
            note: "Tail loose".into(),
        },
        LoadRow {
            id: "3".into(),
            name: "Load 3".into(),
            size: "48 × 40 × 58 in".into(),
            readings: 3,
            film: SharedString::new(),
            note: SharedString::new(),
        },
    ]));
}
