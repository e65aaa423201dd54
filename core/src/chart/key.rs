//! What the shapes of a chart mean, written under it.

use super::scene::{Anchor, Frame, Role, Scene, Shape, lines};

/// The sample of a shape beside its meaning.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sample {
    Dot(Shape, bool, Role),
    /// The ground up to a heavy edge.
    Bar,
    /// A light ground alone.
    Ground,
    /// A mean between the ends of its interval.
    Mean(Shape),
    /// The least that is trusted.
    Bound,
    /// A broken upright.
    Target,
    /// A line.
    Curve,
    /// A broken level.
    Level,
    /// A line with strokes on one side.
    Hairs,
    /// An interval that stands upright.
    Upright,
}

/// Room for a sample and the gap behind it.
const SAMPLE: f64 = 34.0;

/// Draws the key from `top` down, flowing over as many lines as it takes; where it ends.
pub(super) fn key(scene: &mut Scene, frame: Frame, top: f64, entries: &[(Sample, String)]) -> f64 {
    let line = frame.line().max(22.0) + 2.0;
    let (mut x, mut y) = (0.0, top);
    for (sample, text) in entries {
        let words = lines(text, frame.width - SAMPLE, frame.text, false);
        let widest = words
            .iter()
            .map(|text| frame.wide(text, false))
            .fold(0.0, f64::max);
        let wide = SAMPLE + widest;
        if x > 0.0 && (x + wide > frame.width || words.len() > 1) {
            x = 0.0;
            y += line;
        }
        draw(scene, *sample, (x, y + line / 2.0));
        for (at, text) in words.iter().enumerate() {
            if at > 0 {
                y += line;
            }
            let place = (x + SAMPLE, y + line / 2.0);
            scene.text(place, Anchor::Start, text.clone(), frame.muted());
        }
        if words.len() > 1 {
            x = 0.0;
            y += line;
        } else {
            // Two columns where they hold, so that the key stands in order.
            let half = frame.width / 2.0;
            x = if x + wide + 16.0 <= half && x < half {
                half
            } else {
                x + wide + 20.0
            };
        }
    }
    if x > 0.0 { y + line } else { y }
}

fn draw(scene: &mut Scene, sample: Sample, (x, y): (f64, f64)) {
    let middle = x + 13.0;
    match sample {
        Sample::Dot(shape, hollow, role) => scene.dot((middle, y), 6.0, shape, hollow, role),
        Sample::Bar => {
            scene.rect((x + 2.0, y - 9.0), (22.0, 18.0), Role::Fill);
            scene.line(
                &[(x + 24.0, y - 9.0), (x + 24.0, y + 9.0)],
                3.0,
                Role::Accent,
            );
        }
        Sample::Ground => {
            scene.rect((x + 2.0, y - 8.0), (22.0, 16.0), Role::Fill);
            scene.line(&[(x + 24.0, y - 8.0), (x + 24.0, y + 8.0)], 1.0, Role::Edge);
        }
        Sample::Mean(shape) => {
            scene.whisker((x + 1.0, x + 25.0), y, Role::Ink);
            scene.dot((middle, y), 5.0, shape, false, Role::Ink);
        }
        Sample::Bound => scene.bracket((x + 10.0, y), Role::Ink),
        Sample::Target => scene.dashed((middle, y - 11.0), (middle, y + 11.0), 3.0, Role::Ink),
        Sample::Curve => scene.line(&[(x + 1.0, y), (x + 25.0, y)], 2.5, Role::Accent),
        Sample::Hairs => {
            scene.line(
                &[(x + 1.0, y - 3.0), (x + 25.0, y - 3.0)],
                3.0,
                Role::Accent,
            );
            for at in [4.0, 13.0, 22.0] {
                scene.line(&[(x + at, y - 3.0), (x + at, y + 4.0)], 2.0, Role::Ink);
            }
        }
        Sample::Upright => {
            scene.line(&[(middle, y - 9.0), (middle, y + 9.0)], 2.0, Role::Ink);
            for end in [y - 9.0, y + 9.0] {
                scene.line(&[(middle - 6.0, end), (middle + 6.0, end)], 2.0, Role::Ink);
            }
        }
        Sample::Level => scene.dashed((x + 1.0, y), (x + 26.0, y), 2.5, Role::Ink),
    }
}
