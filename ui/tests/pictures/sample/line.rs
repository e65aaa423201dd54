//! Line and its film rolls.

use slint::{ComponentHandle, SharedString};
use tautbook_core::chart::{Frame, film_path};
use tautbook_ui::screens::{
    Cling, FilmRollAdapter, LineAdapter, LoadsBasis, MainWindow, PreStretch, PriceBasis, RollRow,
    Rotation, Screen, SetupRole, SetupRow, Tone, Wrapper,
};

use super::{doubted, entry, go, rows, wrong};
use crate::charts;

pub(super) fn line(window: &MainWindow) {
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
    line.set_roll_turns(Rotation::Clockwise);
    line.set_bends("2".into());
    line.on_way(|width, text, _| {
        charts::drawn(&film_path(
            &charts::way(true, None),
            Frame::new(width.into(), text.into()),
        ))
    });
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

pub(super) fn film_roll(window: &MainWindow) {
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

pub(super) fn film_roll_doubted(window: &MainWindow) {
    film_roll(window);
    let roll = window.global::<FilmRollAdapter<'_>>();
    roll.set_check("".into());
    roll.set_thickness(doubted(
        "80 mil",
        "",
        "80 mil is kept as written. Film is usually 16 ga to 315 ga (4 µm to 80 µm) thick: look at \
         the number and its unit.",
    ));
}
