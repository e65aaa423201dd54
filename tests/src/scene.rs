//! Pictures for tests and benches: made, not taken, with the noise of a camera in them.

use crate::seeded::Seeded;

/// Red, green and blue of a made scene, row by row: slow and quick waves, and noise.
#[must_use]
#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::cast_precision_loss
)]
pub fn scene(width: u32, height: u32) -> Vec<u8> {
    let mut random = Seeded::new(7);
    let mut rgb = Vec::with_capacity(width as usize * height as usize * 3);
    for y in 0..height {
        for x in 0..width {
            let (x, y) = (x as f32, y as f32);
            let level = 120.0 + 60.0 * (x * 0.01).sin() + 40.0 * ((y * 0.7 + x * 0.3) * 0.11).sin();
            let noise = random.below(13) as f32;
            let part = |share: f32, more: f32| (level * share + noise + more) as u8;
            rgb.extend([part(1.0, 0.0), part(0.9, 4.0), part(0.7, 20.0)]);
        }
    }
    rgb
}

/// A JPEG of such a scene.
///
/// # Panics
/// When it cannot be written.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn jpeg(width: u16, height: u16, progressive: bool) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = jpeg_encoder::Encoder::new(&mut bytes, 92);
    encoder.set_sampling_factor(jpeg_encoder::SamplingFactor::F_2_2);
    encoder.set_progressive(progressive);
    let rgb = scene(width.into(), height.into());
    encoder
        .encode(&rgb, width, height, jpeg_encoder::ColorType::Rgb)
        .unwrap();
    bytes
}

/// A PNG of pixels of a kind.
///
/// # Panics
/// When it cannot be written.
#[must_use]
#[allow(clippy::unwrap_used)]
pub fn png(
    width: u32,
    height: u32,
    color: png::ColorType,
    depth: png::BitDepth,
    data: &[u8],
) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width, height);
    encoder.set_color(color);
    encoder.set_depth(depth);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(data).unwrap();
    writer.finish().unwrap();
    bytes
}
