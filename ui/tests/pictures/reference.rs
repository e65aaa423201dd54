//! The screens as they were last looked at and found good: a change in one shows as a failure with
//! three pictures to look at.

use std::path::{Path, PathBuf};

use image::{Rgba, RgbaImage};
use slint::{Rgba8Pixel, SharedPixelBuffer};

/// How far one part of a colour may be off: rounding of the blending, no more.
const ROUNDING: u8 = 2;

fn kept() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference")
}

/// How a drawn screen parts from the one kept, "" when it does not. With `UPDATE_EXPECTED` set it is
/// kept in its place; else a difference leaves three pictures in `changed`: `-expected`, `-drawn` and
/// `-difference`, which has what parts in red.
pub(crate) fn parts(name: &str, drawn: &SharedPixelBuffer<Rgba8Pixel>, changed: &Path) -> String {
    let drawn =
        RgbaImage::from_raw(drawn.width(), drawn.height(), drawn.as_bytes().to_vec()).unwrap();
    let path = kept().join(format!("{name}.png"));
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        std::fs::create_dir_all(kept()).unwrap();
        image::DynamicImage::from(drawn)
            .to_rgb8()
            .save(path)
            .unwrap();
        return String::new();
    }
    let Ok(expected) = image::open(&path) else {
        return format!(
            "{name} has no reference picture: look at it, then run with UPDATE_EXPECTED=1"
        );
    };
    let expected = expected.to_rgba8();
    let same_size = expected.dimensions() == drawn.dimensions();
    let mut difference = RgbaImage::from_fn(drawn.width(), drawn.height(), |x, y| {
        let [r, g, b, _] = drawn.get_pixel(x, y).0;
        // Faint, under the red.
        Rgba([r / 4 + 191, g / 4 + 191, b / 4 + 191, 255])
    });
    let mut off = 0_u32;
    for (x, y, pixel) in drawn.enumerate_pixels() {
        let was = expected.get_pixel_checked(x, y);
        let same = was
            .is_some_and(|was| (0..3).all(|part| was.0[part].abs_diff(pixel.0[part]) <= ROUNDING));
        if !same {
            off += 1;
            difference.put_pixel(x, y, Rgba([200, 0, 0, 255]));
        }
    }
    if off == 0 && same_size {
        return String::new();
    }
    std::fs::create_dir_all(changed).unwrap();
    for (kind, picture) in [
        ("expected", &expected),
        ("drawn", &drawn),
        ("difference", &difference),
    ] {
        picture
            .save(changed.join(format!("{name}-{kind}.png")))
            .unwrap();
    }
    format!(
        "{name}: {off} pixels are not as kept; see {}",
        changed.display()
    )
}

/// Reference pictures that no scene draws any more.
pub(crate) fn left_over(scenes: &[String]) -> Vec<String> {
    std::fs::read_dir(kept())
        .into_iter()
        .flatten()
        .filter_map(|entry| Some(entry.ok()?.path().file_stem()?.to_str()?.to_owned()))
        .filter(|name| !scenes.contains(name))
        .collect()
}

#[test]
fn a_changed_pixel_is_seen_and_shown() {
    let changed = tempfile::tempdir().unwrap();
    let name = crate::survey::names()[0];
    let mut picture = image::open(kept().join(format!("{name}.png")))
        .unwrap()
        .to_rgba8();
    let buffer = |picture: &RgbaImage| {
        SharedPixelBuffer::clone_from_slice(picture.as_raw(), picture.width(), picture.height())
    };
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        return;
    }
    assert_eq!(parts(name, &buffer(&picture), changed.path()), "");
    let [r, g, b, _] = picture.get_pixel(100, 100).0;
    picture.put_pixel(100, 100, Rgba([255 - r, g ^ 255, b ^ 255, 255]));
    let told = parts(name, &buffer(&picture), changed.path());
    assert!(told.starts_with(&format!("{name}: 1 pixels")), "{told}");
    let shown = image::open(changed.path().join(format!("{name}-difference.png")))
        .unwrap()
        .to_rgb8();
    assert_eq!(shown.get_pixel(100, 100).0, [200, 0, 0]);
    assert_ne!(shown.get_pixel(101, 100).0, [200, 0, 0]);
}
