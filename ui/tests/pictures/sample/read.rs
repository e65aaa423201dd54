//! Read.

use slint::{ComponentHandle, SharedString};
use tautbook_ui::screens::{
    Face, Figure, Look, MainWindow, Method, PlaceCell, Question, ReadAdapter, ReadState,
    RecentReading, Screen, Zone,
};

use super::{go, rows};

pub(super) fn read_fresh(window: &MainWindow) {
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

pub(super) fn read_typing(window: &MainWindow) {
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

pub(super) fn read_error(window: &MainWindow) {
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

pub(super) fn read_saved(window: &MainWindow) {
    read_typing(window);
    let read = window.global::<ReadAdapter<'_>>();
    read.set_zone(Zone::Bottom);
    read.set_number(5);
    read.set_state(ReadState::Saved);
    read.set_figure(Figure::default());
}

pub(super) fn read_question(window: &MainWindow) {
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

pub(super) fn read_plate(window: &MainWindow) {
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

pub(super) fn read_left(window: &MainWindow) {
    read_typing(window);
    window.global::<Look<'_>>().set_hand_left(true);
}

pub(super) fn read_place(window: &MainWindow) {
    read_saved(window);
    window.global::<ReadAdapter<'_>>().set_choosing_place(true);
}
