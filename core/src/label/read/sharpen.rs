//! Blurred modules told apart with what the known ones teach about the blur.
//!
//! A blurred or shaken picture mixes each module with its neighbours, everywhere alike. How, is
//! learnt from the modules that every label has alike: the weights of a module's neighbourhood that
//! come nearest to what those are known to be, by least squares held small (ridge regression; in
//! radio, a linear equaliser taught by a known sequence). Then it is learnt again, from all modules
//! that have become clear.

use super::look::{MARGIN, Values, WIDE};

/// Held small by so much, in squares of the values.
const RIDGE: f64 = 4.0;
/// Clear enough to learn from.
const CLEAR: f32 = 0.6;

/// The values unmixed, over a neighbourhood of `reach` modules each way, 2 at most; those outside
/// the symbol stay as they are. `None` when the neighbourhoods are all alike.
pub(super) fn sharpened(
    darkness: &Values,
    must: &[i8; WIDE * WIDE],
    reach: usize,
) -> Option<Values> {
    let mut known = [0.0_f32; WIDE * WIDE];
    for (known, &must) in known.iter_mut().zip(must) {
        *known = f32::from(must);
    }
    let first = unmixed(darkness, &known, 1)?;
    for ((known, &must), &now) in known.iter_mut().zip(must).zip(&first) {
        if must == 0 && now.abs() > CLEAR {
            *known = now.signum();
        }
    }
    unmixed(darkness, &known, reach)
}

fn unmixed(darkness: &Values, known: &Values, reach: usize) -> Option<Values> {
    let side = 2 * reach + 1;
    let count = side * side + 1;
    let margin = usize::try_from(MARGIN).unwrap_or(2);
    let mut sums = vec![vec![0.0_f64; count + 1]; count];
    let mut seen = vec![0.0_f64; count + 1];
    for y in margin..WIDE - margin {
        for x in margin..WIDE - margin {
            let must = known[y * WIDE + x];
            if must.abs() < 0.5 {
                continue;
            }
            around(darkness, x, y, reach, &mut seen);
            seen[count] = f64::from(must);
            for (sums, &a) in sums.iter_mut().zip(&seen) {
                for (sum, &b) in sums.iter_mut().zip(&seen) {
                    *sum += a * b;
                }
            }
        }
    }
    for (n, sums) in sums.iter_mut().enumerate() {
        sums[n] += RIDGE;
    }
    let weights = solved(sums)?;
    let mut out = *darkness;
    for y in margin..WIDE - margin {
        for x in margin..WIDE - margin {
            around(darkness, x, y, reach, &mut seen);
            let sum: f64 = weights.iter().zip(&seen).map(|(a, b)| a * b).sum();
            #[allow(clippy::cast_possible_truncation)] // About 1.
            let sum = sum as f32;
            out[y * WIDE + x] = sum.clamp(-1.0, 1.0);
        }
    }
    Some(out)
}

/// The neighbourhood of a module, row by row, then 1.
fn around(darkness: &Values, x: usize, y: usize, reach: usize, seen: &mut [f64]) {
    let mut n = 0;
    for row in y - reach..=y + reach {
        for &dark in &darkness[row * WIDE + x - reach..=row * WIDE + x + reach] {
            seen[n] = f64::from(dark.clamp(-1.5, 1.5));
            n += 1;
        }
    }
    seen[n] = 1.0;
}

/// Solves equations, each with its right side last, by elimination with pivots.
fn solved(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let count = rows.len();
    for n in 0..count {
        let pivot = (n..count).max_by(|&a, &b| rows[a][n].abs().total_cmp(&rows[b][n].abs()))?;
        rows.swap(n, pivot);
        let by = rows[n][n];
        if by.abs() < 1e-9 {
            return None;
        }
        for value in &mut rows[n] {
            *value /= by;
        }
        let row = rows[n].clone();
        for (other, values) in rows.iter_mut().enumerate() {
            let times = values[n];
            if other != n && times != 0.0 {
                for (value, part) in values.iter_mut().zip(&row) {
                    *value -= times * part;
                }
            }
        }
    }
    rows.iter().map(|row| row.last().copied()).collect()
}
