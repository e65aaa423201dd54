//! The sample data the pictures are drawn with: an invented site, in the states a screen can be in.

use slint::{ComponentHandle, ModelRc, SharedString, VecModel};
use tautbook_core::chart::{Frame, compare as lay_out, load_side, trade_off};
use tautbook_ui::screens::{
    AboutAdapter, BagItem, Block, Cling, CompareAdapter, Entry, Face, Fact, Figure,
    FilmRollAdapter, FindingRow, Fit, Hit, HitKind, LineAdapter, LineRow, LinkRow, LoadAdapter,
    LoadRow, LoadsBasis, Look, MainWindow, Method, MethodSummary, Nav, Notice, Offer, PlaceCell,
    PlanAdapter, PreStretch, PriceBasis, Purpose, Question, ReadAdapter, ReadState, RecentReading,
    ResultsAdapter, RollChoice, RollRow, Rotation, Screen, SetupAdapter, SetupChoice, SetupRole,
    SetupRow, SpacingBasis, Stability, Tail, ThirdParty, TodayAdapter, Tone, Verdict, VisitAdapter,
    VisitRow, WeighAdapter, WeighPart, WeighRow, Wrapper, Zone, ZoneResult,
};

use crate::charts;

/// A screen in a state: its name in the picture's file name, and what fills it.
pub(crate) type Scene = (&'static str, fn(&MainWindow));

/// Every picture that is drawn.
pub(crate) const SCENES: &[Scene] = &[
    ("today", today),
    ("today-empty", today_empty),
    ("today-found", today_found),
    ("visit", visit),
    ("line", line),
    ("film-roll", film_roll),
    ("setup", setup),
    ("load", load),
    ("read-fresh", read_fresh),
    ("read-typing", read_typing),
    ("read-error", read_error),
    ("read-saved", read_saved),
    ("read-question", read_question),
    ("read-plate", read_plate),
    ("read-left", read_left),
    ("read-place", read_place),
    ("weigh", weigh),
    ("weigh-typing", weigh_typing),
    ("results", results),
    ("results-no-target", results_no_target),
    ("compare", compare),
    ("compare-not-shown", compare_not_shown),
    ("plan", plan),
    ("plan-none", plan_none),
    ("about", about),
    ("notice", notice),
];

fn entry(text: &str, hint: &str) -> Entry {
    Entry {
        text: text.into(),
        error: SharedString::new(),
        hint: hint.into(),
    }
}

fn wrong(text: &str, hint: &str, error: &str) -> Entry {
    Entry {
        text: text.into(),
        error: error.into(),
        hint: hint.into(),
    }
}

fn rows<T: Clone + 'static>(rows: impl IntoIterator<Item = T>) -> ModelRc<T> {
    ModelRc::new(VecModel::from_iter(rows))
}

fn go(window: &MainWindow, screen: Screen, title: &str, crumb: &str) {
    let nav = window.global::<Nav<'_>>();
    nav.set_screen(screen);
    nav.set_title(title.into());
    nav.set_crumb(crumb.into());
}

fn today_empty(window: &MainWindow) {
    go(window, Screen::Today, "", "");
    window
        .global::<TodayAdapter<'_>>()
        .set_date_line("Wednesday 25 November 2026".into());
}

fn today(window: &MainWindow) {
    today_empty(window);
    let today = window.global::<TodayAdapter<'_>>();
    today.set_rep("R. Alder".into());
    today.set_last_place("Line 2, as found, load 3".into());
    today.set_search(entry("", ""));
    let visit =
        |id: &str, customer: &str, site: &str, date: &str, purpose, counts: (i32, i32, i32)| {
            VisitRow {
                id: id.into(),
                customer: customer.into(),
                site: site.into(),
                date: date.into(),
                purpose,
                lines: counts.0,
                loads: counts.1,
                readings: counts.2,
            }
        };
    today.set_visits(rows([
        visit(
            "1",
            "Quillmoor Beverages",
            "Eastfield warehouse",
            "25 Nov 2026",
            Purpose::Baseline,
            (2, 7, 58),
        ),
        visit(
            "2",
            "Tarnbeck Cold Store",
            "Dock 4 to 9",
            "19 Nov 2026",
            Purpose::FollowUp,
            (1, 3, 27),
        ),
        visit(
            "3",
            "Ossel & Finch Tiles",
            "Works",
            "12 Nov 2026",
            Purpose::Trial,
            (1, 1, 9),
        ),
    ]));
}

fn today_found(window: &MainWindow) {
    today(window);
    let today = window.global::<TodayAdapter<'_>>();
    today.set_searching(true);
    today.set_search(entry("crate", ""));
    let hit = |kind, text: &str, visit: &str| Hit {
        id: "1".into(),
        kind,
        text: text.into(),
        visit: visit.into(),
    };
    today.set_hits(rows([
        hit(
            HitKind::Line,
            "Line 2, returnable crates",
            "Quillmoor Beverages, 25 Nov 2026",
        ),
        hit(
            HitKind::Load,
            "Load 3, crates stacked 5 high",
            "Quillmoor Beverages, 25 Nov 2026",
        ),
        hit(
            HitKind::Note,
            "“… crates catch the film at the second layer …”",
            "Tarnbeck Cold Store, 19 Nov 2026",
        ),
    ]));
}

fn visit(window: &MainWindow) {
    go(window, Screen::Visit, "Quillmoor Beverages", "");
    let visit = window.global::<VisitAdapter<'_>>();
    visit.set_customer(entry("Quillmoor Beverages", ""));
    visit.set_site(entry("Eastfield warehouse", ""));
    visit.set_date(entry("25 Nov 2026", ""));
    visit.set_rep(entry("R. Alder", ""));
    visit.set_purpose(Purpose::Baseline);
    let item = |text: &str, ticked| BagItem {
        id: text.into(),
        text: text.into(),
        ticked,
    };
    visit.set_bag(rows([
        item("Torsion tool and its scale", true),
        item("Pull plate, 4 in stop", true),
        item("Film scale, known weight", false),
        item("Guarded film knife", true),
        item("Tape, ink marker, micrometer", false),
        item("Labels and a spare pen", false),
    ]));
    let row = |name: &str, product: &str, wrapper, setups, loads| LineRow {
        id: name.into(),
        name: name.into(),
        product: product.into(),
        wrapper,
        setups,
        loads,
    };
    visit.set_lines(rows([
        row("Line 2", "returnable crates", Wrapper::Turntable, 2, 6),
        row("Line 5", "12-packs on slip sheets", Wrapper::Ring, 1, 1),
    ]));
    visit.set_notes(entry("Ask for the shift lead at gate C.", ""));
}

fn line(window: &MainWindow) {
    go(window, Screen::Line, "Line 2", "Quillmoor Beverages");
    let line = window.global::<LineAdapter<'_>>();
    line.set_name(entry("Line 2", ""));
    line.set_product(entry("Returnable crates", ""));
    line.set_loads_basis(LoadsBasis::AShift);
    line.set_loads_a_shift(entry("140", "loads"));
    line.set_shifts_a_day(entry("3", "shifts"));
    line.set_days_a_year(wrong("400", "days", "A year has 366 days at most."));
    line.set_loads_computed("About 105 000 loads a year".into());
    line.set_wrapper(Wrapper::Turntable);
    line.set_make_and_model(entry("Turntable, 1.5 m, plate worn off", ""));
    line.set_pre_stretch(PreStretch::Powered);
    line.set_pre_stretch_ratio(entry("200", "%"));
    line.set_rotation(Rotation::Clockwise);
    line.set_condition(entry("Film carriage squeals on the way down.", ""));
    line.set_rolls(rows([
        RollRow {
            id: "a".into(),
            name: "Clear 80".into(),
            spec: "80 ga, 20 in, 6000 ft".into(),
            note: "On the machine".into(),
        },
        RollRow {
            id: "b".into(),
            name: "Trial 60".into(),
            spec: "60 ga, 20 in, 7500 ft".into(),
            note: "30 % recycled".into(),
        },
    ]));
    line.set_setups(rows([
        SetupRow {
            id: "a".into(),
            name: "As found".into(),
            role: SetupRole::AsFound,
            film: "Clear 80".into(),
            result: "Bottom lowest 12 lb 6 oz, film 8.1 oz a load".into(),
        },
        SetupRow {
            id: "b".into(),
            name: "Trial 1".into(),
            role: SetupRole::Trial,
            film: "Trial 60".into(),
            result: SharedString::new(),
        },
    ]));
}

fn film_roll(window: &MainWindow) {
    go(
        window,
        Screen::FilmRoll,
        "Clear 80",
        "Quillmoor Beverages › Line 2",
    );
    let roll = window.global::<FilmRollAdapter<'_>>();
    roll.set_name(entry("Clear 80", ""));
    roll.set_thickness(entry("80", "ga"));
    roll.set_width(entry("20", "in"));
    roll.set_length(entry("6000", "ft"));
    roll.set_net_mass(entry("36.2", "lb"));
    roll.set_density(entry("0.918", "g/cm³"));
    roll.set_price_basis(PriceBasis::ByMass);
    roll.set_price(entry("1.50", "a lb"));
    roll.set_recycled(entry("0", "%"));
    roll.set_cling(Cling::Inside);
    roll.set_check_tone(Tone::Warning);
    roll.set_check("36.2 lb at 80 ga and 20 in is 5685 ft, not 6000. Weigh the roll, or measure its thickness.".into());
}

fn setup(window: &MainWindow) {
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

fn load(window: &MainWindow) {
    go(window, Screen::Load, "Load 3", "Line 2 › As found");
    let load = window.global::<LoadAdapter<'_>>();
    load.set_name(entry("Load 3", ""));
    load.set_length(entry("48", "in"));
    load.set_width(entry("40", "in"));
    load.set_height(entry("58", "in"));
    load.set_mass(entry("", "lb"));
    load.set_stability(Stability::Moderate);
    load.set_fit(Fit::Overhang);
    load.set_fit_amount(entry("1.5", "in"));
    load.set_film_breaks("0".into());
    load.set_tail(Tail::Loose);
    load.set_summaries(rows([MethodSummary {
        method: Method::TorsionTool,
        count: 3,
        planned: 9,
        lowest: "12 lb 6 oz, bottom".into(),
    }]));
}

fn read_fresh(window: &MainWindow) {
    go(window, Screen::Read, "Load 3", "Line 2 › As found");
    let read = window.global::<ReadAdapter<'_>>();
    read.set_method(Method::TorsionTool);
    read.set_zone(Zone::Top);
    read.set_face(Face::Front);
    read.set_state(ReadState::Fresh);
    read.set_number(1);
    read.set_planned(9);
    let mut places = Vec::new();
    for zone in [Zone::Top, Zone::Middle, Zone::Bottom] {
        for face in [Face::Front, Face::Right, Face::Back, Face::Left] {
            let done = matches!(
                (zone, face),
                (Zone::Top, Face::Front | Face::Right) | (Zone::Bottom, Face::Front)
            );
            places.push(PlaceCell {
                zone,
                face,
                count: i32::from(done),
                last: if done {
                    "12-6".into()
                } else {
                    SharedString::new()
                },
            });
        }
    }
    read.set_places(rows(places));
}

fn recent(window: &MainWindow) {
    let read = window.global::<ReadAdapter<'_>>();
    read.set_number(4);
    read.set_can_undo(true);
    let reading = |value: &str, zone, face| RecentReading {
        in_zone: true,
        on_face: true,
        value: value.into(),
        zone,
        face,
    };
    read.set_recent(rows([
        reading("12 lb 6 oz", Zone::Top, Face::Right),
        reading("13 lb 2 oz", Zone::Middle, Face::Front),
        reading("11 lb 15 oz", Zone::Top, Face::Front),
    ]));
}

fn read_typing(window: &MainWindow) {
    read_fresh(window);
    recent(window);
    let read = window.global::<ReadAdapter<'_>>();
    read.set_zone(Zone::Middle);
    read.set_face(Face::Right);
    read.set_state(ReadState::Typing);
    read.set_figure(Figure {
        first: "12".into(),
        first_unit: "lb".into(),
        second: "13".into(),
        second_unit: "oz".into(),
        spoken: "12 lb 13 oz".into(),
    });
}

fn read_error(window: &MainWindow) {
    read_typing(window);
    let read = window.global::<ReadAdapter<'_>>();
    read.set_state(ReadState::Error);
    read.set_error("16 oz or more: write 13 lb 0 oz".into());
    read.set_figure(Figure {
        first: "12".into(),
        first_unit: "lb".into(),
        second: "16".into(),
        second_unit: "oz".into(),
        spoken: "12 lb 16 oz".into(),
    });
}

fn read_saved(window: &MainWindow) {
    read_typing(window);
    let read = window.global::<ReadAdapter<'_>>();
    read.set_zone(Zone::Bottom);
    read.set_number(5);
    read.set_state(ReadState::Saved);
    read.set_figure(Figure::default());
}

fn read_question(window: &MainWindow) {
    read_typing(window);
    window.global::<ReadAdapter<'_>>().set_figure(Figure {
        first: "500".into(),
        first_unit: "lb".into(),
        second: SharedString::new(),
        second_unit: SharedString::new(),
        spoken: "500 lb".into(),
    });
    let question = window.global::<Question<'_>>();
    question.set_shown(true);
    question.set_title("500 lb is over this tool’s range".into());
    question.set_text("The scale on this tool stops at 50 lb. Was it 50.0?".into());
    question.set_no("Change it".into());
    question.set_yes("Keep 500 lb".into());
}

fn read_plate(window: &MainWindow) {
    read_fresh(window);
    recent(window);
    let read = window.global::<ReadAdapter<'_>>();
    read.set_method(Method::PullPlate);
    read.set_state(ReadState::Typing);
    read.set_unit_key(SharedString::new());
    read.set_figure(Figure {
        first: "55.5".into(),
        first_unit: "N".into(),
        second: SharedString::new(),
        second_unit: SharedString::new(),
        spoken: "55.5 N".into(),
    });
    let reading = |value: &str, zone, face| RecentReading {
        in_zone: true,
        on_face: true,
        value: value.into(),
        zone,
        face,
    };
    read.set_recent(rows([
        reading("57 N", Zone::Top, Face::Right),
        reading("61.5 N", Zone::Bottom, Face::Front),
    ]));
}

fn read_left(window: &MainWindow) {
    read_typing(window);
    window.global::<Look<'_>>().set_hand_left(true);
}

fn read_place(window: &MainWindow) {
    read_saved(window);
    window.global::<ReadAdapter<'_>>().set_choosing_place(true);
}

fn weigh(window: &MainWindow) {
    go(window, Screen::Weigh, "", "As found › Load 3");
    let weigh = window.global::<WeighAdapter<'_>>();
    weigh.set_acknowledged(true);
    weigh.set_loads_together("3".into());
    weigh.set_scale_note(entry("Bench scale, 0.1 oz", ""));
    weigh.set_can_undo(true);
    weigh.set_weighings(rows([WeighRow {
        id: "1".into(),
        net: "1 lb 8.3 oz".into(),
        detail: "gross 1 lb 11.5 oz, tare 3.2 oz".into(),
        note: "3 loads".into(),
        aside: false,
    }]));
}

fn weigh_typing(window: &MainWindow) {
    weigh(window);
    let weigh = window.global::<WeighAdapter<'_>>();
    weigh.set_typing(true);
    weigh.set_part(WeighPart::Tare);
    weigh.set_gross("1 lb 11.5 oz".into());
    weigh.set_tare("3.2 oz".into());
    weigh.set_net("1 lb 8.3 oz".into());
    weigh.set_figure(Figure {
        first: "0".into(),
        first_unit: "lb".into(),
        second: "3.2".into(),
        second_unit: "oz".into(),
        spoken: "0 lb 3.2 oz".into(),
    });
}

fn results(window: &MainWindow) {
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

fn results_no_target(window: &MainWindow) {
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
    results.set_target_top(entry("", "N"));
    results.set_target_middle(entry("", "N"));
    results.set_target_bottom(wrong(
        "-4",
        "N",
        "A target is more than nothing. Write it like 55.",
    ));
    results.set_notes("".into());
}

fn fact(label: &str, value: &str, detail: &str) -> Fact {
    Fact {
        label: label.into(),
        value: value.into(),
        detail: detail.into(),
    }
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

fn compare(window: &MainWindow) {
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
    compare.set_setups(rows(["As found", "Trial 1", "Trial 2"].map(|name| {
        SetupChoice {
            id: name.into(),
            name: name.into(),
        }
    })));
    compare.set_old("As found".into());
    compare.set_new("Trial 1".into());
}

fn compare_not_shown(window: &MainWindow) {
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

fn plan(window: &MainWindow) {
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

fn plan_none(window: &MainWindow) {
    go(window, Screen::Plan, "", "Line 2 \u{203a} As found");
    let plan = window.global::<PlanAdapter<'_>>();
    plan.set_from("As found".into());
    plan.set_confidence(90);
    plan.set_tone(Tone::Info);
    plan.set_headline(
        "No plan yet: no load of this setup has its length, width and height: measure one.".into(),
    );
}

fn about(window: &MainWindow) {
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

fn notice(window: &MainWindow) {
    load(window);
    let notice = window.global::<Notice<'_>>();
    notice.set_shown(true);
    notice.set_tone(Tone::Warning);
    notice.set_text("Load 3 is set aside. Its readings are kept.".into());
    notice.set_action_1("Undo".into());
}
