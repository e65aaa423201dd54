//! Whole layers found going once round the load, with the angle at which each segment starts.

use super::{Layers, Segment};

/// Angles nearer to each other than this part of a turn are the same: rounding, not film.
const SAME_ANGLE: f64 = 1e-9;

/// Where on the load a bare stretch is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BareWhere {
    /// Below all film.
    Below,
    /// Where film is wound, but some side has none: between turns further apart than the film is
    /// wide, or where a pass starts or ends without a band.
    Gap,
    /// Above all film.
    Above,
}

/// Heights at which some side of the load has no film at all.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bare {
    /// From this height in metres above the floor.
    pub from_m: f64,
    /// To this height.
    pub to_m: f64,
    /// Where on the load.
    pub place: BareWhere,
}

/// A segment and the turn at which it starts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Laid {
    pub(super) segment: Segment,
    from_turn: f64,
}

/// Turns n during which the film covers a height: from and to.
type Covering = (f64, f64);

impl Laid {
    pub(super) fn in_order(segments: &[Segment]) -> Vec<Self> {
        segments
            .iter()
            .scan(0.0, |turn, segment| {
                let from_turn = *turn;
                *turn += segment.turns();
                Some(Self {
                    segment: *segment,
                    from_turn,
                })
            })
            .collect()
    }

    fn covering(&self, z: f64, width_m: f64) -> Option<Covering> {
        let (low, high) = self.segment.edges_covering(z, width_m)?;
        Some(match self.segment {
            Segment::Band { turns, .. } => (self.from_turn, self.from_turn + turns),
            Segment::Helix {
                from_m,
                to_m,
                pitch_m,
            } if to_m >= from_m => (
                self.from_turn + (low - from_m) / pitch_m,
                self.from_turn + (high - from_m) / pitch_m,
            ),
            Segment::Helix {
                from_m, pitch_m, ..
            } => (
                self.from_turn + (from_m - high) / pitch_m,
                self.from_turn + (from_m - low) / pitch_m,
            ),
        })
    }
}

/// Fewest and most whole layers going once round at height z.
///
/// At an angle a (in turns, 0 to 1) the film lies as often as there are whole numbers k with
/// a + k among the turns that cover z. Each run of covering turns of length l gives ⌊l⌋ at every
/// angle, and one more on an arc of l - ⌊l⌋ of the turn from where it starts. Single angles, at
/// which a run starts or ends, are not counted.
pub(super) fn range_at(laid: &[Laid], width_m: f64, z: f64) -> (u32, u32) {
    let runs: Vec<Covering> = laid
        .iter()
        .filter_map(|laid| laid.covering(z, width_m))
        .collect();
    range_of(&runs)
}

fn range_of(runs: &[Covering]) -> (u32, u32) {
    let mut everywhere = 0_u32;
    let mut arcs: Vec<(f64, f64)> = Vec::new();
    let mut cuts = vec![0.0, 1.0];
    for (from, to) in runs {
        let length = to - from;
        let whole = (length + SAME_ANGLE).floor();
        everywhere = everywhere.saturating_add(count(whole));
        if length - whole > SAME_ANGLE {
            let start = from.rem_euclid(1.0);
            let end = start + (length - whole);
            arcs.push((start, end));
            cuts.extend([start, if end > 1.0 { end - 1.0 } else { end }]);
        }
    }
    cuts.sort_by(f64::total_cmp);
    let (mut fewest, mut most) = (u32::MAX, 0_u32);
    for gap in cuts.windows(2) {
        let &[from, to] = gap else { continue };
        if to - from <= SAME_ANGLE {
            continue;
        }
        let angle = f64::midpoint(from, to);
        let holds =
            |(start, end): &&(f64, f64)| (*start <= angle && angle < *end) || angle + 1.0 < *end;
        let here = count_of(arcs.iter().filter(holds).count());
        (fewest, most) = (fewest.min(here), most.max(here));
    }
    (
        everywhere.saturating_add(fewest.min(most)),
        everywhere.saturating_add(most),
    )
}

/// Heights from 0 to `height_m` at which the fewest layers are none, from the bottom up.
///
/// Between two heights at which layers change their slope, a run of covering turns reaches a whole
/// turn, or the ends of two runs pass each other on the circle, the fewest layers cannot change;
/// so one look between each two such heights is exact.
pub(super) fn bare(laid: &[Laid], layers: &Layers, width_m: f64, height_m: f64) -> Vec<Bare> {
    let mut cuts = vec![0.0, height_m];
    for piece in layers.pieces() {
        cuts.extend([piece.from_m, piece.to_m]);
        passings(laid, width_m, piece.from_m, piece.to_m, &mut cuts);
    }
    cuts.retain(|z| (0.0..=height_m).contains(z));
    cuts.sort_by(f64::total_cmp);
    let film = match (layers.pieces().first(), layers.pieces().last()) {
        (Some(first), Some(last)) => (first.from_m, last.to_m),
        _ => return Vec::new(),
    };
    let mut found: Vec<Bare> = Vec::new();
    for gap in cuts.windows(2) {
        let &[from_m, to_m] = gap else { continue };
        let middle = f64::midpoint(from_m, to_m);
        if to_m <= from_m || range_at(laid, width_m, middle).0 > 0 {
            continue;
        }
        let place = if middle < film.0 {
            BareWhere::Below
        } else if middle >= film.1 {
            BareWhere::Above
        } else {
            BareWhere::Gap
        };
        match found.last_mut() {
            Some(last) if last.place == place && last.to_m.total_cmp(&from_m).is_eq() => {
                last.to_m = to_m;
            }
            _ => found.push(Bare {
                from_m,
                to_m,
                place,
            }),
        }
    }
    found
}

/// Heights within a piece at which a run of turns grows to a whole turn, or two ends of runs lie
/// at the same angle. Only where every run is shorter than a turn: elsewhere nothing is bare.
fn passings(laid: &[Laid], width_m: f64, low: f64, high: f64, cuts: &mut Vec<f64>) {
    // Ends of runs move evenly with height inside a piece: two heights tell all.
    let (first, second) = (low + (high - low) * 0.25, low + (high - low) * 0.75);
    if second <= first {
        return;
    }
    let ends_at = |z: f64| -> Vec<Covering> {
        laid.iter()
            .filter_map(|laid| laid.covering(z, width_m))
            .collect()
    };
    let (at_first, at_second) = (ends_at(first), ends_at(second));
    if at_first.len() != at_second.len() {
        return;
    }
    let line = |a: f64, b: f64| {
        let slope = (b - a) / (second - first);
        (a - slope * first, slope)
    };
    let (mut from, mut to) = (low, high);
    let mut ends = Vec::new();
    for (a, b) in at_first.iter().zip(&at_second) {
        let (start, end) = (line(a.0, b.0), line(a.1, b.1));
        ends.extend([start, end]);
        // length = l0 + l1 z; shorter than a turn only on one side of z = (1 - l0) / l1.
        let (l0, l1) = (end.0 - start.0, end.1 - start.1);
        let whole = (1.0 - l0) / l1;
        if whole.is_finite() && whole > low && whole < high {
            cuts.push(whole);
            if l1 > 0.0 {
                to = to.min(whole);
            } else {
                from = from.max(whole);
            }
        } else if a.1 - a.0 >= 1.0 - SAME_ANGLE {
            return;
        }
    }
    for (index, one) in ends.iter().enumerate() {
        for other in ends.iter().skip(index + 1) {
            let (apart, slope) = (one.0 - other.0, one.1 - other.1);
            if slope.abs() < SAME_ANGLE {
                continue;
            }
            let (a, b) = (slope.mul_add(from, apart), slope.mul_add(to, apart));
            let mut turn = a.min(b).ceil();
            while turn <= a.max(b) {
                cuts.push((turn - apart) / slope);
                turn += 1.0;
            }
        }
    }
}

/// A whole number of layers.
fn count(whole: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Clamped to what it holds.
    let count = whole.clamp(0.0, f64::from(u32::MAX)) as u32;
    count
}

fn count_of(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}
