//! Compare.

use slint::{ComponentHandle, SharedString};
use tautbook_core::chart::{Frame, compare as lay_out};
use tautbook_ui::screens::{Block, CompareAdapter, MainWindow, Screen, SetupChoice, Tone};

use super::{entry, fact, go, rows};
use crate::charts;

pub(super) fn compare(window: &MainWindow) {
    go(window, Screen::Compare, "", "Line 2 \u{203a} Trial 1");
    let compare = window.global::<CompareAdapter<'_>>();
    compare.set_scope("Trial 1 against As found".into());
    compare.set_headline(
        "Holds as well, within 8 oz, and reaches every target, with 1.2 oz less film.".into(),
    );
    compare.set_tone(Tone::Good);
    compare.set_drawn(true);
    compare.on_chart(|width, text, _| {
        charts::drawn(&lay_out(
            &charts::compare(),
            Frame::new(width.into(), text.into()),
        ))
    });
    compare.set_margin(entry("8 oz", ""));
    compare.set_margin_note("Chosen before the new setup was read, 25 Nov 2026 10:12.".into());
    compare.set_margin_tone(Tone::Good);
    compare.set_zones(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([
            fact("Top", "+3 oz", "new less old; 95 % between \u{2212}5 oz and +11 oz; at worst \u{2212}4 oz, between loads"),
            fact("Middle", "\u{2212}1 oz", "new less old; 95 % between \u{2212}8 oz and +6 oz; at worst \u{2212}7 oz, between loads"),
            fact("Bottom", "+2 lb 3 oz", "new less old; 95 % between +1 lb 10 oz and +2 lb 12 oz; at worst +1 lb 11 oz, between loads"),
        ]),
        points: rows(["Every zone has to pass by itself.".into()]),
    });
    compare.set_film(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([
            fact("As found", "8.2 oz a load", "3 loads weighed"),
            fact("Trial 1", "7 oz a load", "3 loads weighed"),
            fact(
                "Saved a load",
                "1.2 oz (15 %)",
                "95 % between 0.9 oz and 1.5 oz",
            ),
        ]),
        points: rows([]),
    });
    compare.set_roll_change(entry("4", ""));
    compare.set_roll_change_source(entry("timed on the line, 2026", ""));
    compare.set_film_break(entry("6", ""));
    compare.set_levy_free_from(entry("30 %", ""));
    compare.set_setups(rows(["As found", "Trial 1", "Trial 2"].map(|name| {
        SetupChoice {
            id: name.into(),
            name: name.into(),
        }
    })));
    compare.set_old("As found".into());
    compare.set_new("Trial 1".into());
}

pub(super) fn compare_not_shown(window: &MainWindow) {
    compare(window);
    let compare = window.global::<CompareAdapter<'_>>();
    compare.set_headline(
        "Not shown to hold as well. At the bottom the new setup may hold up to 1 lb 3 oz less, \
         more than the margin of 8 oz."
            .into(),
    );
    compare.set_tone(Tone::Warning);
    compare.set_margin(entry("", "lb oz"));
    compare.set_margin_tone(Tone::Info);
    compare.set_margin_note(
        "Agree it with the customer before the new setup is read: what is chosen after the \
         readings proves nothing."
            .into(),
    );
}
