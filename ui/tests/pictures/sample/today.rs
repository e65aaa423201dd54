//! Today and Visit.

use slint::ComponentHandle;
use tautbook_ui::screens::{
    BagItem, Hit, HitKind, LineRow, MainWindow, Purpose, Screen, TodayAdapter, VisitAdapter,
    VisitRow, Wrapper,
};

use super::{entry, go, rows};

pub(super) fn today_empty(window: &MainWindow) {
    go(window, Screen::Today, "", "");
    window
        .global::<TodayAdapter<'_>>()
        .set_date_line("Wednesday 25 November 2026".into());
}

pub(super) fn today(window: &MainWindow) {
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

pub(super) fn today_found(window: &MainWindow) {
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

pub(super) fn visit(window: &MainWindow) {
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
