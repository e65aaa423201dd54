//! What lies behind the label, and what light, lens and sensor make of it.

use super::Kind;
use crate::seeded::Seeded;

/// Board, film edges and other print behind a label.
pub(super) fn background(chance: &mut Seeded, width: u32, height: u32) -> Vec<f32> {
    let base = chance.between(70.0, 190.0);
    let waves: Vec<(f64, f64, f64, f64)> = (0..4)
        .map(|_| {
            (
                chance.between(-0.02, 0.02),
                chance.between(-0.02, 0.02),
                chance.between(0.0, 6.3),
                chance.between(2.0, 14.0),
            )
        })
        .collect();
    let mut luma = Vec::with_capacity(width as usize * height as usize);
    for y in 0..height {
        for x in 0..width {
            let mut grey = base;
            for &(a, b, start, high) in &waves {
                // A triangle wave: cheaper than a sine over twelve million pixels.
                let at = (f64::from(x) * a + f64::from(y) * b + start) * 0.159;
                grey += high * (4.0 * (at - at.floor() - 0.5).abs() - 1.0);
            }
            luma.push(grey as f32);
        }
    }
    // Print on the board: boxes and strokes.
    for _ in 0..24 {
        let (left, top) = (chance.below(width.into()), chance.below(height.into()));
        let wide = chance.below(u64::from(width) / 8) + 2;
        let high = chance.below(u64::from(height) / 12) + 2;
        let grey = chance.between(30.0, 230.0) as f32;
        for y in top..(top + high).min(height.into()) {
            for x in left..(left + wide).min(width.into()) {
                luma[(y * u64::from(width) + x) as usize] = grey;
            }
        }
    }
    luma
}

pub(super) struct Light {
    /// Contrast and brightness.
    gain: f64,
    lift: f64,
    /// Spread of the noise in grey values.
    noise: f64,
    /// Spread of the blur in pixels.
    blur: f64,
    /// A movement in pixels.
    moved: (f64, f64),
    /// Streaks: a point, direction, half width, brightness.
    streaks: Vec<(f64, f64, f64, f64, f64)>,
    /// A shadow: direction, where it begins, how much light is left.
    shadow: Option<(f64, f64, f64)>,
}

impl Light {
    pub(super) fn new(kind: Kind, bad: f64, chance: &mut Seeded, width: u32) -> Self {
        let per = f64::from(width) / 1_000.0;
        let mixed = kind == Kind::Mixed;
        let (gain, noise) = match kind {
            Kind::Dim => (0.5 - 0.46 * bad, 3.0 + 7.0 * bad),
            Kind::Mixed => (0.8 - 0.45 * bad, 2.0 + 5.0 * bad),
            _ => (chance.between(0.75, 0.95), 2.0),
        };
        let blur = match kind {
            Kind::Blurred => (1.0 + 9.0 * bad) * per,
            Kind::Mixed => 1.8 * bad * per,
            Kind::Small => 0.8,
            _ => 0.5 * per,
        };
        let moved = match kind {
            Kind::Moved => (4.0 + 24.0 * bad) * per,
            Kind::Mixed => 4.0 * bad * per,
            _ => 0.0,
        };
        let way = chance.between(0.0, 6.3);
        let streaks = match kind {
            Kind::Glare => 2 + (7.0 * bad) as u32,
            Kind::Mixed => (2.0 * bad) as u32,
            _ => 0,
        };
        let streaks = (0..streaks)
            .map(|_| {
                (
                    chance.between(0.25, 0.75),
                    chance.between(0.15, 0.6),
                    chance.between(0.0, 3.1),
                    chance.between(0.008, 0.016 + 0.026 * bad),
                    chance.between(90.0, 260.0),
                )
            })
            .collect();
        let shadow = (kind == Kind::Shadowed || mixed).then(|| {
            (
                chance.between(0.0, 6.3),
                chance.between(-0.12, 0.12),
                (0.5 - 0.46 * bad).max(if mixed { 0.4 } else { 0.0 }),
            )
        });
        Self {
            gain,
            lift: chance.between(4.0, 14.0),
            noise,
            blur,
            moved: (moved * way.cos(), moved * way.sin()),
            streaks,
            shadow,
        }
    }

    pub(super) fn picture(
        &self,
        scene: &[f32],
        width: u32,
        height: u32,
        chance: &mut Seeded,
    ) -> Vec<u8> {
        let mut lit = scene.to_vec();
        self.shine(&mut lit, width, height);
        let lit = moved(&lit, width as usize, height as usize, self.moved);
        let lit = blurred(lit, width as usize, height as usize, self.blur);
        lit.into_iter()
            .map(|grey| {
                // The sum of three even chances: near enough a bell.
                let bits = chance.bits();
                let part = |shift: u32| ((bits >> shift) & 0xffff) as f64 / 65_535.0;
                let bell = (part(0) + part(16) + part(32) - 1.5) * 2.0;
                let seen = f64::from(grey) * self.gain + self.lift + bell * self.noise;
                seen.clamp(0.0, 255.0).round() as u8
            })
            .collect()
    }

    fn shine(&self, lit: &mut [f32], width: u32, height: u32) {
        if self.streaks.is_empty() && self.shadow.is_none() {
            return;
        }
        let (w, h) = (f64::from(width), f64::from(height));
        for y in 0..height {
            for x in 0..width {
                let (u, v) = (f64::from(x) / w, f64::from(y) / w);
                let place = &mut lit[(y * width + x) as usize];
                let mut grey = f64::from(*place);
                if let Some((way, start, left)) = self.shadow {
                    let into = (u - 0.5) * way.cos() + (v - 0.5 * h / w) * way.sin() - start;
                    // A soft edge a hundredth of the picture wide.
                    let share = (into * 100.0).clamp(0.0, 1.0);
                    grey *= 1.0 - share * (1.0 - left);
                }
                for &(su, sv, way, half, bright) in &self.streaks {
                    let off = (u - su) * way.sin() - (v - sv) * way.cos();
                    let off = off + 0.006 * ((u * way.cos() + v * way.sin()) * 31.0).sin();
                    let across = off / half;
                    if across.abs() < 1.0 {
                        grey += bright * (1.0 - across * across).powi(2);
                    }
                }
                *place = grey.min(290.0) as f32;
            }
        }
    }
}

/// The mean along a movement.
fn moved(from: &[f32], width: usize, height: usize, by: (f64, f64)) -> Vec<f32> {
    let steps = by.0.hypot(by.1).ceil() as i32;
    if steps < 2 {
        return from.to_vec();
    }
    let offsets: Vec<(i64, i64)> = (0..steps)
        .map(|step| {
            let share = f64::from(step) / f64::from(steps - 1) - 0.5;
            ((by.0 * share).round() as i64, (by.1 * share).round() as i64)
        })
        .collect();
    let mut out = Vec::with_capacity(from.len());
    for y in 0..height as i64 {
        for x in 0..width as i64 {
            let sum: f32 = offsets
                .iter()
                .map(|&(dx, dy)| {
                    let x = (x + dx).clamp(0, width as i64 - 1);
                    let y = (y + dy).clamp(0, height as i64 - 1);
                    from[(y * width as i64 + x) as usize]
                })
                .sum();
            out.push(sum / steps as f32);
        }
    }
    out
}

/// A Gaussian blur of that spread, as three box blurs each way.
fn blurred(mut from: Vec<f32>, width: usize, height: usize, spread: f64) -> Vec<f32> {
    if spread < 0.35 {
        return from;
    }
    if spread < 1.2 {
        // Too small for boxes: a kernel of three that has this spread.
        let side = (spread * spread / 2.0).min(0.3) as f32;
        let middle = 1.0 - 2.0 * side;
        let mut out = from.clone();
        for (from_row, row) in from.chunks(width).zip(out.chunks_mut(width)) {
            for x in 1..width - 1 {
                row[x] = from_row[x] * middle + side * (from_row[x - 1] + from_row[x + 1]);
            }
        }
        from.copy_from_slice(&out);
        for y in 1..height - 1 {
            for x in 0..width {
                let at = y * width + x;
                from[at] = out[at] * middle + side * (out[at - width] + out[at + width]);
            }
        }
        return from;
    }
    // Three boxes of width w have the spread sqrt((w² - 1) / 4).
    let half = (((4.0 * spread * spread + 1.0).sqrt() - 1.0) / 2.0).round() as usize;
    for _ in 0..3 {
        for row in from.chunks_mut(width) {
            box_blur(row, half);
        }
        for x in 0..width {
            let mut column: Vec<f32> = (0..height).map(|y| from[y * width + x]).collect();
            box_blur(&mut column, half);
            for (y, grey) in column.into_iter().enumerate() {
                from[y * width + x] = grey;
            }
        }
    }
    from
}

fn box_blur(line: &mut [f32], half: usize) {
    let last = line.len() - 1;
    let old = line.to_vec();
    let at = |place: i64| old[place.clamp(0, last as i64) as usize];
    let reach = half as i64;
    let mut sum: f32 = (-reach..=reach).map(at).sum();
    for (place, grey) in line.iter_mut().enumerate() {
        *grey = sum / (2 * half + 1) as f32;
        let place = place as i64;
        sum += at(place + reach + 1) - at(place - reach);
    }
}
