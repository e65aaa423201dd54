//! Results.

use slint::{ComponentHandle, SharedString};
use tautbook_core::chart::{Frame, kept_force, load_side};
use tautbook_ui::screens::{
    Block, FindingRow, LinkRow, MainWindow, Method, ResultsAdapter, Screen, Tone, Verdict, Zone,
    ZoneResult,
};

use super::{entry, fact, go, rows, wrong};
use crate::charts;

pub(super) fn results(window: &MainWindow) {
    go(window, Screen::Results, "", "Line 2 › As found");
    let results = window.global::<ResultsAdapter<'_>>();
    results.set_scope("As found, 3 loads".into());
    results.set_method(Method::TorsionTool);
    results.set_headline(
        "The bottom is too weak: its lowest reading is 2 lb 3 oz under its target.".into(),
    );
    results.set_tone(Tone::Bad);
    results.set_drawn(true);
    results.on_side(|width, text, _| {
        charts::drawn(&load_side(
            &charts::side(true),
            Frame::new(width.into(), text.into()),
        ))
    });
    results.set_findings(rows([finding()]));
    results.set_balance(Block {
        lead: "1.3 oz more film than programme and roll account for.".into(),
        tone: Tone::Warning,
        facts: rows([
            fact("95 % interval", "7.9 oz to 8.5 oz", "3 weighings"),
            fact("By programme and roll", "6.9 oz", "known to 0.6 oz"),
            fact(
                "Effective stretch",
                "171 %",
                "from the weighed film alone; 95 % between 158 % and 184 %",
            ),
        ]),
        points: rows([
            "The film is stretched less than taken: it slips in the pre-stretch (alone it would \
             take 168 % in all). Read ink marks between the last roller and the load, and have \
             the rollers looked at for slip."
                .into(),
            "No width was measured on the load: the roll\u{2019}s was used.".into(),
        ]),
    });
    results.set_restraint(Block {
        lead: "Estimate, for the heaviest load read, by road: no target, and no reading is judged \
               by it."
            .into(),
        tone: Tone::Plain,
        facts: rows([
            fact(
                "Pushed forward",
                "about 810 lb",
                "0.8 g; the same tilt: 39\u{b0}",
            ),
            fact(
                "Pushed sideways",
                "about 324 lb",
                "0.5 g; the same tilt: 27\u{b0}",
            ),
        ]),
        points: rows([
            "Film holds the load together and on its pallet. It does not secure the \
                       pallet to the vehicle."
                .into(),
        ]),
    });
    results.set_friction(entry("0.3", ""));
    let zone = |zone,
                verdict,
                lowest: &str,
                mean: &str,
                deviation: &str,
                interval: &str,
                margin: &str,
                warning: &str| ZoneResult {
        zone,
        verdict,
        lowest: lowest.into(),
        mean: mean.into(),
        deviation: deviation.into(),
        count: 9,
        interval: interval.into(),
        target: "12 lb 0 oz".into(),
        margin: margin.into(),
        warning: warning.into(),
        more: Block {
            facts: rows([
                fact(
                    "Trusted bound",
                    "11 lb 2 oz",
                    "90 % of such readings hold more, 95 % sure; \u{2212}14 oz against the target",
                ),
                fact(
                    "Readings",
                    "4 more",
                    "to know the mean to 1 lb either way, 95 % sure",
                ),
            ]),
            ..Block::default()
        },
    };
    results.set_zones(rows([
        zone(
            Zone::Top,
            Verdict::Reaches,
            "12 lb 10 oz",
            "13 lb 14 oz",
            "1 lb 1 oz",
            "13 lb 1 oz and 14 lb 11 oz",
            "+10 oz",
            "",
        ),
        zone(
            Zone::Middle,
            Verdict::Reaches,
            "14 lb 3 oz",
            "15 lb 10 oz",
            "1 lb 5 oz",
            "14 lb 10 oz and 16 lb 10 oz",
            "+2 lb 3 oz",
            "",
        ),
        zone(
            Zone::Bottom,
            Verdict::Below,
            "9 lb 13 oz",
            "11 lb 3 oz",
            "1 lb 11 oz",
            "9 lb 14 oz and 12 lb 8 oz",
            "−2 lb 3 oz",
            "One reading stands far from the others (Grubbs’ test).",
        ),
    ]));
    results.set_outcome(Block {
        lead: "Less than planned at the bottom: 11 lb 3 oz on average, and 13 lb was expected."
            .into(),
        tone: Tone::Warning,
        facts: rows([
            fact("Top", "13 lb 14 oz", "14 lb 2 oz was planned; 9 readings"),
            fact("Bottom", "11 lb 3 oz", "13 lb was planned; 9 readings"),
            fact("Film a load", "8.2 oz", "8 oz was planned; 3 loads weighed"),
        ]),
        points: rows([]),
    });
    results.set_kept_drawn(true);
    results.on_kept(|width, text, _| {
        charts::drawn(&kept_force(
            &charts::kept(),
            Frame::new(width.into(), text.into()),
        ))
    });
    results.set_relaxing(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([
            fact(
                "Load 1, after 24 h",
                "88 % left",
                "of the first force, 95 % between 84 % and 92 %; 9 places read both times, first \
                 at 0.4 h",
            ),
            fact(
                "Load 1, after 72 h",
                "83 % left",
                "of the first force, 95 % between 78 % and 88 %; 9 places read both times, first \
                 at 0.4 h",
            ),
            fact(
                "Load 2, after 25 h",
                "91 % left",
                "of the first force; 1 place read both times, first at 0.6 h",
            ),
        ]),
        points: rows([
            "A reading leaves a hole, so the later one is taken beside it: the difference holds \
             both the relaxing of the film and the change of place."
                .into(),
        ]),
    });
    results.set_stretch(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([fact(
            "Stretch by ink marks",
            "182 %",
            "3 marks, on the load",
        )]),
        points: rows([]),
    });
    results.set_breaks(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([fact(
            "Film breaks",
            "1 in 41 loads",
            "95 % between 0 and 5.6 in as many",
        )]),
        points: rows([]),
    });
    results.set_people(Block {
        lead: SharedString::new(),
        tone: Tone::Plain,
        facts: rows([fact(
            "Between people",
            "9 oz",
            "R. Alder and J. Quist; within one person 11 oz",
        )]),
        points: rows([]),
    });
    results.set_not_known(Block {
        points: rows([
            "Whether the film slips in the pre-stretch: no ink marks were read.".into(),
            "Whether the roll goes on the right way up: which side clings is not written.".into(),
        ]),
        ..Block::default()
    });
    results.set_offer(Block {
        lead: "12 loads of this line shipped undamaged and were read.".into(),
        tone: Tone::Plain,
        facts: rows([
            fact(
                "Top",
                "11 lb 14 oz",
                "95 % of such loads hold more, 95 % sure",
            ),
            fact(
                "Middle",
                "12 lb 5 oz",
                "95 % of such loads hold more, 95 % sure",
            ),
            fact(
                "Bottom",
                "11 lb 9 oz",
                "95 % of such loads hold more, 95 % sure",
            ),
        ]),
        points: rows([]),
    });
    results.set_derive("Take these as targets".into());
    results.set_film("8.2 oz a load".into());
    results.set_film_detail("232 g, from 3 loads weighed together".into());
    results.set_any_target(true);
    results.set_target_top(entry("12 lb 0 oz", "lb oz"));
    results.set_target_middle(entry("12 lb 0 oz", "lb oz"));
    results.set_target_bottom(entry("12 lb 0 oz", "lb oz"));
    results.set_notes(
        "A zone reaches its target when its lowest reading does.\n\
         Readings are taken as independent and near normal."
            .into(),
    );
}

pub(super) fn results_no_target(window: &MainWindow) {
    results(window);
    let results = window.global::<ResultsAdapter<'_>>();
    results.set_any_target(false);
    results.set_method(Method::PullPlate);
    results.set_headline("No target to judge by. The top is weakest: lowest 57 N.".into());
    results.set_tone(Tone::Info);
    results.set_findings(rows([]));
    results.set_balance(Block::default());
    results.on_side(|width, text, _| {
        charts::drawn(&load_side(
            &charts::side(false),
            Frame::new(width.into(), text.into()),
        ))
    });
    let zone = |zone, verdict, count, lowest: &str| ZoneResult {
        zone,
        verdict,
        count,
        lowest: lowest.into(),
        mean: lowest.into(),
        ..ZoneResult::default()
    };
    results.set_zones(rows([
        zone(Zone::Top, Verdict::NoTarget, 1, "57 N"),
        zone(Zone::Middle, Verdict::NotMeasured, 0, ""),
        zone(Zone::Bottom, Verdict::NoTarget, 1, "61.5 N"),
    ]));
    results.set_film(SharedString::new());
    results.set_outcome(Block::default());
    results.set_kept_drawn(false);
    results.set_relaxing(Block {
        lead: "No load was read a second time: read one again after 24 and 72 hours, next to the \
               first places."
            .into(),
        ..Block::default()
    });
    results.set_offer(Block::default());
    results.set_derive(SharedString::new());
    results.set_target_top(entry("", "N"));
    results.set_inherited_top("55 N, for the whole visit, while nothing is written here".into());
    results.set_target_middle(entry("", "N"));
    results.set_target_bottom(wrong(
        "-4",
        "N",
        "A target is more than nothing. Write it like 55.",
    ));
    results.set_notes("".into());
}

fn finding() -> FindingRow {
    FindingRow {
        what: "The bottom is weak: its lowest reading, 9 lb 13 oz, is under its target of 12 lb, \
               while top and middle reach theirs."
            .into(),
        tone: Tone::Bad,
        causes: rows([
            "Too few turns at the bottom.".into(),
            "The film starts too high and leaves the pallet bare (not looked at).".into(),
        ]),
        against: rows(["One bottom reading of load 3 reaches the target.".into()]),
        next_step: "Add one turn at the bottom on the next load and read it again.".into(),
        who: "You with the operator, guards closed".into(),
        care: "At the panel only, by the operator or with the operator, guards closed and nobody \
               near the load while it wraps."
            .into(),
        more_links: "And 2 places more.".into(),
        links: rows([
            LinkRow {
                id: "1".into(),
                name: "Load 1".into(),
                what: "3 readings".into(),
            },
            LinkRow {
                id: "2".into(),
                name: "As found".into(),
                what: "1 setting".into(),
            },
        ]),
    }
}
