//! What is on the label that was not printed: dirt and torn corners.

use super::Kind;
use super::label::TALL;
use crate::seeded::Seeded;

#[derive(Default)]
pub(super) struct Marks {
    /// Spots: middle, radius, how dark they leave it, their own grey.
    spots: Vec<(f64, f64, f64, f64, f64)>,
    /// Smears: a point, a direction, half their width, how dark, their own grey.
    smears: Vec<(f64, f64, f64, f64, f64, f64)>,
    /// The tear: away is where x·u + y·v is above the last, with its ragged edge.
    torn: Option<(f64, f64, f64, f64)>,
}

impl Marks {
    pub(super) fn new(kind: Kind, bad: f64, chance: &mut Seeded) -> Self {
        let share = match kind {
            Kind::Dirty => bad,
            Kind::Mixed => bad * 0.35,
            _ => 0.0,
        };
        // Over the code, which ends at 0.8.
        let spots = (0..(share * 34.0) as u32)
            .map(|_| {
                (
                    chance.between(0.1, 0.9),
                    chance.between(0.05, 0.85),
                    chance.between(0.008, 0.045),
                    chance.between(0.3, 1.0),
                    *chance.pick(&[30.0, 60.0, 110.0, 225.0]),
                )
            })
            .collect();
        let smears = (0..(share * 5.0) as u32)
            .map(|_| {
                (
                    chance.between(0.1, 0.9),
                    chance.between(0.05, 0.85),
                    chance.between(0.0, 6.3),
                    chance.between(0.004, 0.022),
                    chance.between(0.3, 0.9),
                    *chance.pick(&[40.0, 90.0, 215.0]),
                )
            })
            .collect();
        let torn = (kind == Kind::Torn).then(|| {
            // From one of the upper corners or the lower end of the code, ever further in.
            let (x, y): (f64, f64) = *chance.pick(&[
                (1.0, -1.0),
                (-1.0, -1.0),
                (1.0, 0.35),
                (-1.0, 0.35),
                (0.2, 1.0),
            ]);
            let long = x.hypot(y);
            let (x, y) = (x / long, y / long);
            // The code's own corner furthest that way, less what is torn.
            let (cu, cv) = (0.5 + 0.32 * x.signum(), if y < 0.0 { 0.13 } else { 0.78 });
            (
                x,
                y,
                cu * x + cv * y - (0.34 * bad - 0.04),
                chance.between(0.0, 6.3),
            )
        });
        Self {
            spots,
            smears,
            torn,
        }
    }

    pub(super) fn is_torn(&self, u: f64, v: f64) -> bool {
        self.torn.is_some_and(|(x, y, edge, start)| {
            let along = u * y - v * x;
            let ragged = 0.012 * (along * 40.0 + start).sin() + 0.008 * (along * 93.0).sin();
            u * x + v * y > edge + ragged
        }) && (0.0..TALL).contains(&v)
    }

    pub(super) fn dirtied(&self, mut grey: f64, u: f64, v: f64) -> f64 {
        for &(x, y, radius, dark, own) in &self.spots {
            let away = (u - x).hypot(v - y) / radius;
            if away < 1.0 {
                let share = dark * (1.0 - away.powi(4));
                grey = grey * (1.0 - share) + own * share;
            }
        }
        for &(x, y, way, half, dark, own) in &self.smears {
            let across = ((u - x) * way.sin() - (v - y) * way.cos()).abs() / half;
            if across < 1.0 {
                let share = dark * (1.0 - across.powi(4));
                grey = grey * (1.0 - share) + own * share;
            }
        }
        grey
    }
}
