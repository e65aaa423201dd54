//! Renders every screen to a picture under `target/pictures`, with sample data, in both looks and
//! at the sizes Tautbook promises. The pictures are for looking at; the checks here are that every
//! screen draws, that no two screens draw alike and that a picture is not one flat colour.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.
#![allow(clippy::float_cmp)] // Whole pixels are compared.

#[path = "../backend/mod.rs"]
mod backend;
mod fits;
mod reference;
mod survey;
mod trouble;
mod walk;
mod words;

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use slint::{ComponentHandle, LogicalSize, Rgba8Pixel, SharedPixelBuffer, Window};
use tautbook_ui::app::App;
use tautbook_ui::screens::{Look, MainWindow, Shade};

/// Width and height in logical pixels: the phone first, then a small and a large one, a tablet, a desk and a
/// phone on its side.
const SIZES: [(f32, f32); 7] = [
    (360.0, 740.0),
    (320.0, 640.0),
    (412.0, 915.0),
    (600.0, 960.0),
    (800.0, 1280.0),
    (1280.0, 800.0),
    (851.0, 393.0),
];

/// A phone tall enough to show a whole page at once, for looking at long forms.
const WHOLE_PAGE: (f32, f32) = (360.0, 4400.0);

/// Kept as reference too: the other looks, and a phone on its side.
const ALSO_KEPT: [(&str, (f32, f32), &str); 9] = [
    ("read", (360.0, 740.0), "night"),
    ("read", (851.0, 393.0), "day"),
    ("read-plate", (320.0, 640.0), "sunlight"),
    ("read-plate-bottom", (320.0, 640.0), "day"),
    ("weigh-typing", (360.0, 740.0), "sunlight"),
    ("weigh-typing", (851.0, 393.0), "night"),
    ("results", (360.0, 740.0), "sunlight"),
    ("machine", (360.0, 740.0), "night"),
    ("photo", (360.0, 740.0), "sunlight"),
];

fn also_named(name: &str, (width, height): (f32, f32), look: &str) -> String {
    format!("{name}-{width}x{height}-{look}")
}

/// The name of the reference picture of a scene drawn so; `None` where none is kept.
fn kept_as(name: &str, size: (f32, f32), look: &str) -> Option<String> {
    if (size, look) == (SIZES[0], "day") {
        return Some(name.to_owned());
    }
    ALSO_KEPT
        .contains(&(name, size, look))
        .then(|| also_named(name, size, look))
}

fn folder() -> PathBuf {
    let target = std::env::var_os("CARGO_TARGET_DIR").map_or_else(
        || Path::new(env!("CARGO_MANIFEST_DIR")).join("../target"),
        PathBuf::from,
    );
    target.join("pictures")
}

fn draw(window: &Window, size: (f32, f32)) -> SharedPixelBuffer<Rgba8Pixel> {
    window.set_size(LogicalSize::new(size.0, size.1));
    i_slint_backend_testing::mock_elapsed_time(std::time::Duration::from_millis(20));
    window.take_snapshot().unwrap()
}

fn save(folder: &Path, name: &str, picture: &SharedPixelBuffer<Rgba8Pixel>) {
    image::save_buffer(
        folder.join(format!("{name}.png")),
        picture.as_bytes(),
        picture.width(),
        picture.height(),
        image::ColorType::Rgba8,
    )
    .unwrap();
}

#[test]
fn every_screen_draws_in_every_look_at_every_size() {
    backend::backend();
    let folder = folder();
    std::fs::create_dir_all(&folder).unwrap();

    let only = std::env::var("TAUTBOOK_PICTURE").unwrap_or_default();
    let mut seen = BTreeMap::new();
    let mut changed = Vec::new();
    for name in survey::names() {
        if name.contains(&only) {
            let kept = tempfile::tempdir().unwrap();
            let window = MainWindow::new().unwrap();
            let _app = App::start(&window, survey::start(name, kept.path()));
            survey::finish(name, &window);
            draw_scene(&window, name, &folder, &mut seen, &mut changed);
        }
    }
    if only.is_empty() {
        let mut scenes: Vec<String> = survey::names().into_iter().map(str::to_owned).collect();
        scenes.push(trouble::NAME.to_owned());
        scenes.extend(ALSO_KEPT.map(|(name, size, look)| also_named(name, size, look)));
        let left_over = reference::left_over(&scenes);
        assert!(left_over.is_empty(), "kept, but no scene: {left_over:?}");
    }
    assert!(
        changed.is_empty(),
        "{}\nWhere it is meant, look at the pictures and run with UPDATE_EXPECTED=1.",
        changed.join("\n")
    );
}

/// Where the pixels of each screen were seen before.
type Seen = BTreeMap<Vec<u8>, (&'static str, &'static str)>;

/// Draws a screen in both looks at every size.
fn draw_scene(
    window: &MainWindow,
    name: &'static str,
    folder: &Path,
    seen: &mut Seen,
    changed: &mut Vec<String>,
) {
    window.show().unwrap();
    for (shade, look) in [
        (Shade::Day, "day"),
        (Shade::Night, "night"),
        (Shade::Sunlight, "sunlight"),
    ] {
        window.global::<Look<'_>>().set_shade(shade);
        for (width, height) in SIZES {
            let picture = draw(window.window(), (width, height));
            assert_eq!(
                (picture.width() as f32, picture.height() as f32),
                (width, height)
            );
            let first = picture.as_slice()[0];
            assert!(
                picture.as_slice().iter().any(|pixel| *pixel != first),
                "{name} is blank"
            );
            save(folder, &format!("{name}-{width}x{height}-{look}"), &picture);
            if let Some(kept) = kept_as(name, (width, height), look)
                && !survey::is_asked()
            {
                let told = reference::parts(&kept, &picture, &folder.join("changed"));
                changed.extend((!told.is_empty()).then_some(told));
            }
            if width == 360.0 {
                let twin = seen.insert(picture.as_bytes().to_vec(), (name, look));
                assert_eq!(
                    twin, None,
                    "{name} in the {look} look draws like another screen"
                );
            }
        }
    }
    window.global::<Look<'_>>().set_shade(Shade::Day);
    save(
        folder,
        &format!("{name}-whole"),
        &draw(window.window(), WHOLE_PAGE),
    );
    window.hide().unwrap();
}
