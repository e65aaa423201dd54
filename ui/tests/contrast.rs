//! Text keeps a contrast of 7:1 with the ground it is drawn on, and edges 3:1, in every look, 10:1 in the sunlight look.
//!
//! The ratio is that of WCAG 2.2 (success criteria 1.4.6 and 1.4.11).

use slint::{Color, ComponentHandle};
use tautbook_ui::screens::{MainWindow, Shade, Tokens};

/// Relative luminance of an opaque sRGB colour, as WCAG 2.2 defines it.
fn luminance(color: Color) -> f64 {
    let linear = |channel: u8| {
        let value = f64::from(channel) / 255.0;
        if value <= 0.04045 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * linear(color.red()) + 0.7152 * linear(color.green()) + 0.0722 * linear(color.blue())
}

fn contrast(one: Color, other: Color) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[test]
fn the_ratio_is_that_of_published_pairs() {
    let white = Color::from_rgb_u8(255, 255, 255);
    // Black on white is 21:1 by definition; #767676 is the well-known edge of 4.5:1 (from memory).
    assert!((contrast(Color::from_rgb_u8(0, 0, 0), white) - 21.0).abs() < 1e-9);
    assert!((contrast(Color::from_rgb_u8(0x76, 0x76, 0x76), white) - 4.5422).abs() < 1e-4);
}

#[test]
fn text_and_edges_stand_out_in_every_look() {
    i_slint_backend_testing::init_no_event_loop();
    let window = MainWindow::new().unwrap();
    let t = window.global::<Tokens<'_>>();
    for (shade, least) in [
        (Shade::Day, 7.0),
        (Shade::Night, 7.0),
        (Shade::Sunlight, 10.0),
    ] {
        t.set_shade(shade);
        let grounds = [
            ("paper", t.get_paper()),
            ("sheet", t.get_sheet()),
            ("key", t.get_key()),
            ("accent ground", t.get_accent_ground()),
        ];
        let mut pairs = Vec::new();
        for (name, ground) in grounds {
            for (front, color) in [
                ("ink", t.get_ink()),
                ("soft", t.get_soft()),
                ("accent", t.get_accent()),
            ] {
                pairs.push((front, color, name, ground));
            }
        }
        for pressed in [t.get_accent(), t.get_accent_pressed()] {
            pairs.push(("on accent", t.get_on_accent(), "accent", pressed));
        }
        for (name, color, ground) in [
            ("good", t.get_good(), t.get_good_ground()),
            ("warning", t.get_warning(), t.get_warning_ground()),
            ("bad", t.get_bad(), t.get_bad_ground()),
        ] {
            for under in [ground, t.get_paper(), t.get_sheet()] {
                pairs.push((name, color, "its ground, paper or sheet", under));
            }
            pairs.push(("ink", t.get_ink(), name, ground));
        }
        for (front, color, name, ground) in pairs {
            let ratio = contrast(color, ground);
            assert!(ratio >= least, "{front} on {name}, {shade:?}: {ratio:.2}");
        }
        for ground in [t.get_paper(), t.get_sheet(), t.get_key()] {
            let ratio = contrast(t.get_edge(), ground);
            assert!(ratio >= 3.0, "edge, {shade:?}: {ratio:.2}");
        }
    }
}
