//! Every screen at every width, size of words and language: nothing is clipped, nothing lies over
//! another, and whatever can be pressed is large enough for a gloved thumb, far enough from the
//! next, and named for a screen reader.
//!
//! Sizes after MIL-STD-1472H, touch screens used with gloves (from memory), with one dp taken as
//! 1/160 in.

use std::collections::BTreeMap;

use slint::{ComponentHandle, LogicalSize};
use tautbook_core::language::Language;
use tautbook_ui::app::App;
use tautbook_ui::presenters::settings;
use tautbook_ui::screens::{Keyboard, MainWindow};
use tautbook_ui::session::{Session, TextSize};

use crate::survey;
use crate::walk::{Area, Surroundings, Walked, Words, walk};

/// Width and height of what an app has of a screen, from a small old phone to a small tablet.
const WINDOWS: [(f32, f32); 4] = [
    (320.0, 640.0),
    (360.0, 740.0),
    (412.0, 868.0),
    (600.0, 912.0),
];

/// For what must fit all at once, the keys for figures: what the bars leave of a low phone, and phones on
/// their side.
const LOW_WINDOWS: [(f32, f32); 3] = [(360.0, 568.0), (740.0, 360.0), (868.0, 393.0)];

/// An action: 12 mm.
const TARGET: f32 = 76.0;
/// A key of Read: 15 mm.
const KEY: f32 = 96.0;
/// Between two: 1.5 mm.
const GAP: f32 = 10.0;
/// The smallest words.
const SMALLEST: f32 = 16.0;
/// What a page must have between its bar and its foot, to be read without turning at every line.
const LEAST_PAGE: f32 = 200.0;
/// What a page must have above the keyboard for gloves: the field that is written in.
const LEAST_FIELD: f32 = 100.0;
/// What does not matter to the eye.
const SLACK: f32 = 0.6;
/// As much as the box of a word may be rounded down by: its signs do not fill it.
const ROUNDED: f32 = 1.6;
/// From here on words are figures of Read: nothing of them goes below the line.
const FIGURES: f32 = 40.0;
/// Under this height the keys of Read are actions like others.
const LOW: f32 = 700.0;

fn overlap(one: &Area, other: &Area) -> (f32, f32) {
    let both = |from: f32, to: f32, other_from: f32, other_to: f32| {
        to.min(other_to) - from.max(other_from)
    };
    (
        both(one.min_x(), one.max_x(), other.min_x(), other.max_x()),
        both(one.min_y(), one.max_y(), other.min_y(), other.max_y()),
    )
}

/// The widest word in pixels, by the advances of the font that all is drawn in.
fn widest_word(words: &Words) -> (f32, &str) {
    use ab_glyph::{Font, FontRef, ScaleFont};
    const REGULAR: &[u8] = include_bytes!("../../fonts/TautbookSans-Regular.ttf");
    const BOLD: &[u8] = include_bytes!("../../fonts/TautbookSans-Bold.ttf");
    const BLACK: &[u8] = include_bytes!("../../fonts/TautbookSans-Black.ttf");
    let font = FontRef::try_from_slice(match words.font_weight {
        0..600 => REGULAR,
        600..800 => BOLD,
        _ => BLACK,
    })
    .unwrap();
    let scale = words.font_size * font.height_unscaled() / font.units_per_em().unwrap();
    let font = font.into_scaled(scale);
    words
        .text
        .split_whitespace()
        // Names of files are broken anywhere.
        .filter(|word| word.chars().count() < 25)
        .map(|word| {
            let wide = word
                .chars()
                .map(|sign| font.h_advance(font.glyph_id(sign)))
                .sum();
            (wide, word)
        })
        .max_by(|one: &(f32, &str), other| one.0.total_cmp(&other.0))
        .unwrap_or_default()
}

impl Words {
    /// How high the signs themselves are.
    fn ink_height(&self) -> f32 {
        if self.font_size >= FIGURES {
            self.font_size * 0.8
        } else {
            self.high
        }
    }
}

/// Where the words lie in their box, as far as is known: the whole width, their own height.
fn ink(given: &Area, high: f32) -> Area {
    let mut ink = *given;
    if high < ink.size.height {
        // Wherever they are aligned, they are in the middle or nearer to an edge: what lies on the
        // whole box is not taken for an overlap.
        ink.origin.y += (ink.size.height - high) / 2.0;
        ink.size.height = high;
    }
    ink
}

fn cut(area: &Area, place: &Surroundings, window: &Area) -> Option<&'static str> {
    if area.min_x() < window.min_x() - SLACK || area.max_x() > window.max_x() + SLACK {
        return Some("leaves the window at its side");
    }
    if !place.on_page
        && (area.min_y() < window.min_y() - SLACK || area.max_y() > window.max_y() + SLACK)
    {
        return Some("leaves the window above or below");
    }
    let seen = place.seen.unwrap_or_default();
    let (across, down) = overlap(area, &seen);
    if across < area.size.width - SLACK || (!place.on_page && down < area.size.height - SLACK) {
        return Some("is cut by what it lies in");
    }
    None
}

/// What is wrong on a screen.
pub(crate) fn wrong(walked: &Walked, window: &Area, least_page: f32) -> Vec<String> {
    let mut wrong = Vec::new();
    for words in &walked.words {
        let (given, text) = (&words.given, &words.text);
        if words.ink_height() > given.size.height + ROUNDED {
            wrong.push(format!(
                "'{text}' is {:.0} high in a box of {:.0}",
                words.high, given.size.height
            ));
        }
        if !words.wraps && words.wide > given.size.width + ROUNDED {
            wrong.push(format!(
                "'{text}' is {:.0} wide in a box of {:.0}",
                words.wide, given.size.width
            ));
        }
        let (widest, word) = widest_word(words);
        // Kerning, left out here, makes a word a little narrower.
        if words.wraps && widest * 0.96 > given.size.width + ROUNDED {
            wrong.push(format!(
                "'{word}' is {widest:.0} wide in a box of {:.0}, and is broken",
                given.size.width
            ));
        }
        if let Some(how) = cut(&ink(given, words.ink_height()), &words.place, window) {
            wrong.push(format!("'{text}' {how}"));
        }
        if words.faint {
            wrong.push(format!("'{text}' is drawn faintly"));
        }
        if words.font_size > 0.0 && words.font_size < SMALLEST {
            wrong.push(format!("'{text}' is written in {}", words.font_size));
        }
    }
    for (n, one) in walked.words.iter().enumerate() {
        for other in &walked.words[n + 1..] {
            if one.place.on_page != other.place.on_page {
                continue;
            }
            let (across, down) = overlap(
                &ink(&one.given, one.ink_height()),
                &ink(&other.given, other.ink_height()),
            );
            if across > 1.0 && down > 1.0 {
                wrong.push(format!("'{}' lies over '{}'", one.text, other.text));
            }
        }
    }
    for (n, one) in walked.targets.iter().enumerate() {
        let name = one.label.as_deref().unwrap_or("a control without a name");
        if one.label.is_none() {
            wrong.push(format!("{name} at {:?}", one.area));
        }
        let least = if one.key && window.size.height >= LOW {
            KEY
        } else {
            TARGET
        };
        let (wide, high) = (one.area.size.width, one.area.size.height);
        if wide < least - SLACK || high < least - SLACK {
            wrong.push(format!("'{name}' is {wide:.0} by {high:.0} to press"));
        }
        if let Some(how) = cut(&one.area, &one.place, window) {
            wrong.push(format!("'{name}', to press, {how}"));
        }
        for other in &walked.targets[n + 1..] {
            if one.place.on_page != other.place.on_page {
                continue;
            }
            let (across, down) = overlap(&one.area, &other.area);
            if across > SLACK - GAP && down > SLACK - GAP {
                wrong.push(format!(
                    "'{name}' and '{}' are {:.0} apart",
                    other.label.as_deref().unwrap_or("a control without a name"),
                    -across.min(down)
                ));
            }
        }
    }
    if let Some(page) = walked.page
        && page.size.height < least_page
    {
        wrong.push(format!(
            "the page has {:.0} of {:.0}",
            page.size.height, window.size.height
        ));
    }
    wrong
}

#[test]
fn every_screen_fits_every_hand_and_eye() {
    crate::backend::backend();
    let only = std::env::var("TAUTBOOK_PICTURE").unwrap_or_default();
    let mut found: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for name in survey::names() {
        if !name.contains(&only) {
            continue;
        }
        let kept = tempfile::tempdir().unwrap();
        let window = MainWindow::new().unwrap();
        let app = App::start(&window, survey::start(name, kept.path()));
        survey::finish(name, &window);
        window.show().unwrap();
        let writing = window.global::<Keyboard<'_>>().get_shown();
        let least_page = if writing { LEAST_FIELD } else { LEAST_PAGE };
        for language in Language::ALL {
            for text in [
                TextSize::Normal,
                TextSize::Large,
                TextSize::Larger,
                TextSize::Largest,
            ] {
                app.act(move |session: &mut Session| {
                    settings::set(session, |look| {
                        look.language = language;
                        look.text = text;
                    });
                });
                let keys = name.starts_with("read") || name == "weigh-typing";
                let low = if keys { &LOW_WINDOWS[..] } else { &[] };
                for &(width, height) in WINDOWS.iter().chain(low) {
                    window.window().set_size(LogicalSize::new(width, height));
                    i_slint_backend_testing::mock_elapsed_time(std::time::Duration::from_millis(
                        20,
                    ));
                    let area = Area::new(
                        i_slint_core::lengths::LogicalPoint::default(),
                        i_slint_core::lengths::LogicalSize::new(width, height),
                    );
                    for wrong in wrong(&walk(window.window()), &area, least_page) {
                        found
                            .entry(format!("{name}: {wrong}"))
                            .or_default()
                            .push(format!("{} {width} x{}", language.code(), text.scale()));
                    }
                }
            }
        }
        window.hide().unwrap();
    }
    let told: Vec<String> = found
        .iter()
        .map(|(wrong, at)| format!("{wrong}   [{}: {}]", at.len(), at[0]))
        .collect();
    assert!(
        told.is_empty(),
        "{}\n{} in all",
        told.join("\n"),
        told.len()
    );
}
