//! Plan.

use slint::{ComponentHandle, SharedString};
use tautbook_core::chart::{Frame, trade_off};
use tautbook_ui::screens::{Block, MainWindow, Offer, PlanAdapter, Screen, Tone};

use super::{entry, fact, go, rows};
use crate::charts;

pub(super) fn plan(window: &MainWindow) {
    go(window, Screen::Plan, "", "Line 2 \u{203a} As found");
    let plan = window.global::<PlanAdapter<'_>>();
    plan.set_from("As found".into());
    plan.set_confidence(90);
    plan.set_headline(
        "1.2 oz less film a load (15 %), and 90 % sure to reach every target.".into(),
    );
    plan.set_tone(Tone::Good);
    plan.set_proposed(true);
    plan.set_proposal(Offer {
        title: "Proposal".into(),
        programme: "3 turns at the bottom, 11 in a turn up and down, 2 turns at the top.".into(),
        film: "7 oz a load, 1.2 oz less than now".into(),
    });
    plan.set_caution(
        "The middle would have 2.9 layers, and 3.3 to 5 were measured: beyond that it is a guess. \
         Try and measure: wrap one load so, read it at top, middle and bottom, and weigh its film \
         before anything ships on it."
            .into(),
    );
    plan.set_zones(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([
            fact(
                "Top",
                "14 lb 9 oz expected",
                "90 % sure of 12 lb 11 oz; target 12 lb (+11 oz); 4.1 layers",
            ),
            fact(
                "Middle",
                "13 lb 2 oz expected",
                "90 % sure of 12 lb 1 oz; target 12 lb (+1 oz); 2.9 layers",
            ),
            fact(
                "Bottom",
                "15 lb expected",
                "90 % sure of 13 lb 4 oz; target 12 lb (+1 lb 4 oz); 5.2 layers",
            ),
        ]),
        points: rows(["9 readings are to keep to their bounds together.".into()]),
    });
    plan.set_drawn(true);
    plan.on_trade(|width, text, _| {
        charts::drawn(&trade_off(
            &charts::trade(),
            Frame::new(width.into(), text.into()),
        ))
    });
    plan.set_why_not_less(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([
            fact(
                "Fewer bottom turns: 2",
                "0.4 oz less",
                "The bottom would be 9 oz short of its target.",
            ),
            fact(
                "Wider pitch up: 12 in",
                "0.2 oz less",
                "The middle would be 3 oz short of its target.",
            ),
        ]),
        points: rows([]),
    });
    let offer = |title: &str, programme: &str, film: &str| Offer {
        title: title.into(),
        programme: programme.into(),
        film: film.into(),
    };
    plan.set_alternatives(rows([
        offer(
            "Only the bottom turns changed",
            "3 turns at the bottom, 9 in a turn up and down, 2 turns at the top.",
            "8.6 oz a load, 0.4 oz more than now",
        ),
        offer(
            "Within what was measured",
            "3 turns at the bottom, 10 in a turn up and down, 2 turns at the top.",
            "7.5 oz a load, 0.7 oz less than now",
        ),
    ]));
    plan.set_basis(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([fact(
            "A layer holds, all zones",
            "3 lb 6 oz",
            "27 readings on 3.3 to 5 layers; standard error 2 oz; scatter 11 oz",
        )]),
        points: rows(["7\u{202f}056 programmes were looked at; 1\u{202f}204 of them pass.".into()]),
    });
    plan.set_bottom_least(entry("1", ""));
    plan.set_bottom_most(entry("6", ""));
    plan.set_bottom_step(entry("0.5", ""));
    plan.set_pitch_least(entry("4 in", ""));
    plan.set_pitch_most(entry("18 in", ""));
    plan.set_pitch_step(entry("", "in"));
}

pub(super) fn plan_none(window: &MainWindow) {
    go(window, Screen::Plan, "", "Line 2 \u{203a} As found");
    let plan = window.global::<PlanAdapter<'_>>();
    plan.set_from("As found".into());
    plan.set_confidence(90);
    plan.set_tone(Tone::Info);
    plan.set_headline(
        "No plan yet: no load of this setup has its length, width and height: measure one.".into(),
    );
}
