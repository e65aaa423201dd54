//! Weigh.

use slint::ComponentHandle;
use tautbook_ui::screens::{Figure, MainWindow, Screen, WeighAdapter, WeighPart, WeighRow};

use super::{entry, go, rows};

pub(super) fn weigh(window: &MainWindow) {
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

pub(super) fn weigh_typing(window: &MainWindow) {
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
