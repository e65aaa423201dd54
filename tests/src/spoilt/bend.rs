//! Where each place of a label comes to lie in the picture: turned, tilted, round, wrinkled.

use std::f64::consts::TAU;

use super::Kind;
use super::label::TALL;
use crate::seeded::Seeded;

pub(super) struct Bend {
    /// The middle of the label in the picture.
    middle: (f64, f64),
    /// Pixels in the label's width.
    wide: f64,
    /// From the picture to the plane of the label: rows of a homography about the middles.
    inverse: [[f64; 3]; 3],
    /// Half the angle of the drum that the label's width goes round; 0 is flat.
    round: f64,
    /// Wrinkles: how far, how many a width, which way, where they begin.
    wrinkles: Vec<(f64, f64, f64, f64)>,
}

impl Bend {
    pub(super) fn new(
        kind: Kind,
        bad: f64,
        chance: &mut Seeded,
        middle: (f64, f64),
        wide: f64,
    ) -> Self {
        let mixed = kind == Kind::Mixed;
        let turn = match kind {
            Kind::Tilted | Kind::Mixed => chance.between(-180.0, 180.0),
            _ => chance.between(-12.0, 12.0),
        };
        // Seen from the side, up to 68 degrees.
        let tilt = match kind {
            Kind::Tilted => 25.0 + 43.0 * bad,
            Kind::Mixed => 35.0 * bad,
            _ => chance.between(0.0, 14.0),
        };
        let towards = chance.between(0.0, 360.0);
        let round = match kind {
            Kind::Curved => 0.35 + 1.1 * bad,
            Kind::Mixed => 0.5 * bad,
            _ => 0.0,
        };
        let far = if kind == Kind::Wrinkled {
            0.006 + 0.03 * bad
        } else if mixed {
            0.008 * bad
        } else {
            0.0
        };
        let wrinkles = (0..3)
            .map(|_| {
                (
                    far * chance.between(0.5, 1.0),
                    chance.between(1.5, 5.0),
                    chance.between(0.0, 6.3),
                    chance.between(0.0, 6.3),
                )
            })
            .filter(|wrinkle| wrinkle.0 > 0.0)
            .collect();
        Self {
            middle,
            wide,
            inverse: inverse(turn.to_radians(), tilt.to_radians(), towards.to_radians()),
            round,
            wrinkles,
        }
    }

    /// The place of the label seen at a place of the picture; the label is 1 wide.
    pub(super) fn onto_label(&self, x: f64, y: f64) -> (f64, f64) {
        let (x, y) = (
            (x - self.middle.0) / self.wide,
            (y - self.middle.1) / self.wide,
        );
        let [a, b, c] = self.inverse.map(|row| row[0] * x + row[1] * y + row[2]);
        if c <= 0.05 {
            return (-9.0, -9.0);
        }
        let (mut u, mut v) = (a / c, b / c);
        if self.round > 0.0 {
            // The label of width 1 lies on a drum of radius 1 / (2 round).
            let radius = 0.5 / self.round;
            let sine = u / radius;
            if sine.abs() >= 0.999 {
                return (-9.0, -9.0);
            }
            u = radius * sine.asin();
        }
        for &(far, often, way, start) in &self.wrinkles {
            let along = u * way.cos() + v * way.sin();
            let push = far * (along * often * TAU + start).sin();
            u += push * way.cos() - push * 0.4 * way.sin();
            v += push * way.sin() + push * 0.4 * way.cos();
        }
        (u + 0.5, v + TALL / 2.0)
    }

    /// How much of the light a place gives back: less at the sides of a drum and in wrinkles.
    pub(super) fn shade(&self, u: f64, v: f64) -> f64 {
        let (u, v) = (u - 0.5, v - TALL / 2.0);
        let round = (2.0 * self.round * u).cos().max(0.2).powf(0.6);
        let folds: f64 = self
            .wrinkles
            .iter()
            .map(|&(far, often, way, start)| {
                let along = u * way.cos() + v * way.sin();
                6.0 * far * (along * often * TAU + start).cos()
            })
            .sum();
        (round * (1.0 + folds)).clamp(0.15, 1.15)
    }

    /// Pixels that it may reach: left, top, right, bottom.
    pub(super) fn bounds(&self, width: u32, height: u32) -> (u32, u32, u32, u32) {
        let reach = self.wide * 1.25;
        let from = |middle: f64| (middle - reach).max(0.0) as u32;
        let to = |middle: f64, most: u32| ((middle + reach).max(0.0) as u32).min(most);
        (
            from(self.middle.0),
            from(self.middle.1),
            to(self.middle.0, width),
            to(self.middle.1, height),
        )
    }
}

/// The inverse of turning a plane by `turn`, then tilting it by `tilt` about an axis at `towards`,
/// seen from two and a half widths away.
fn inverse(turn: f64, tilt: f64, towards: f64) -> [[f64; 3]; 3] {
    const AWAY: f64 = 2.5;
    let (sin, cos) = tilt.sin_cos();
    let (axis_y, axis_x) = towards.sin_cos();
    // Rodrigues' rotation about (axis_x, axis_y, 0), first two columns.
    let rotated = |x: f64, y: f64| {
        let along = axis_x * x + axis_y * y;
        [
            x * cos + axis_x * along * (1.0 - cos),
            y * cos + axis_y * along * (1.0 - cos),
            (axis_x * y - axis_y * x) * sin,
        ]
    };
    let (turn_sin, turn_cos) = turn.sin_cos();
    let first = rotated(turn_cos, turn_sin);
    let second = rotated(-turn_sin, turn_cos);
    let forward = [
        [first[0], second[0], 0.0],
        [first[1], second[1], 0.0],
        [first[2] / AWAY, second[2] / AWAY, 1.0],
    ];
    inverted(forward)
}

fn inverted(m: [[f64; 3]; 3]) -> [[f64; 3]; 3] {
    let minor = |r: usize, c: usize| {
        let rows = [(r + 1) % 3, (r + 2) % 3];
        let columns = [(c + 1) % 3, (c + 2) % 3];
        m[rows[0]][columns[0]] * m[rows[1]][columns[1]]
            - m[rows[0]][columns[1]] * m[rows[1]][columns[0]]
    };
    let determinant = (0..3).map(|c| m[0][c] * minor(0, c)).sum::<f64>();
    let mut out = [[0.0; 3]; 3];
    for (r, row) in out.iter_mut().enumerate() {
        for (c, cell) in row.iter_mut().enumerate() {
            *cell = minor(c, r) / determinant;
        }
    }
    out
}
