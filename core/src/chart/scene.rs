//! What a chart is made of: marks at places, in colours named by what they are for.

use super::typeface::{LINE, text_width};

/// What a colour is for; the screen and the report each have their own for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// Text and what is measured.
    Ink,
    /// Quieter text.
    Muted,
    /// Ruled lines behind the rest.
    Rule,
    /// Outlines.
    Edge,
    /// The one accent.
    Accent,
    /// The accent as a ground.
    Fill,
    /// What lies under everything.
    Paper,
    /// Reaches.
    Good,
    /// Does not reach.
    Bad,
}

/// The shape of a dot. Series are told apart by shape first, by colour never alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shape {
    /// A disc.
    Circle,
    /// A square.
    Square,
    /// A triangle on its base.
    Triangle,
    /// A square on its corner.
    Diamond,
    /// Two crossed strokes.
    Cross,
}

/// Which end of a text lies at its `x`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// A point of a scene, in dp from its left and upper edge.
pub type Point = (f64, f64);

/// One thing drawn. All lengths in dp.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark {
    /// A rectangle, filled.
    Rect {
        /// Left edge.
        x: f64,
        /// Upper edge.
        y: f64,
        /// Width.
        width: f64,
        /// Height.
        height: f64,
        /// Colour.
        role: Role,
    },
    /// A surface between points, filled.
    Area {
        /// Its corners in order.
        points: Vec<Point>,
        /// Colour.
        role: Role,
    },
    /// A line through points.
    Line {
        /// At least two.
        points: Vec<Point>,
        /// Its width.
        thickness: f64,
        /// Broken into dashes; for lines along an edge of the scene only.
        dashed: bool,
        /// Colour.
        role: Role,
    },
    /// A dot that stands for one value.
    Dot {
        /// Its middle.
        at: Point,
        /// Half its width.
        radius: f64,
        /// Its shape.
        shape: Shape,
        /// Outline only.
        hollow: bool,
        /// Colour.
        role: Role,
    },
    /// Words, on one line.
    Text {
        /// Where its anchor lies; `y` is the middle of the line.
        at: Point,
        /// Which end lies there.
        anchor: Anchor,
        /// Size of the type.
        size: f64,
        /// Heavier.
        bold: bool,
        /// Colour.
        role: Role,
        /// What it says.
        text: String,
    },
}

/// A chart, laid out: drawn by the screen and by the report alike.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Scene {
    /// Width in dp.
    pub width: f64,
    /// Height in dp.
    pub height: f64,
    /// What is drawn, from the back to the front: surfaces, then lines, then dots, then words.
    pub marks: Vec<Mark>,
    /// What the chart shows, in one text: read aloud in its place.
    pub spoken: String,
}

/// Where a text lies: left, upper, right and lower edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bounds {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Bounds {
    pub(super) fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }
}

impl Mark {
    const fn layer(&self) -> u8 {
        match self {
            Self::Rect { .. } | Self::Area { .. } => 0,
            Self::Line { .. } => 1,
            Self::Dot { .. } => 2,
            Self::Text { .. } => 3,
        }
    }

    /// Where a text lies; `None` for anything else.
    pub(super) fn words(&self) -> Option<Bounds> {
        let Self::Text {
            at,
            anchor,
            size,
            bold,
            text,
            ..
        } = self
        else {
            return None;
        };
        let width = text_width(text, *size, *bold);
        let left = match anchor {
            Anchor::Start => at.0,
            Anchor::Middle => at.0 - width / 2.0,
            Anchor::End => at.0 - width,
        };
        let half = size * LINE / 2.0;
        Some(Bounds {
            left,
            top: at.1 - half,
            right: left + width,
            bottom: at.1 + half,
        })
    }
}

impl Scene {
    pub(super) fn new(width: f64) -> Self {
        Self {
            width,
            ..Self::default()
        }
    }

    /// Takes a mark in, unless it has no place.
    fn push(&mut self, mark: Mark) {
        let placed = match &mark {
            Mark::Rect {
                x,
                y,
                width,
                height,
                ..
            } => [*x, *y, *width, *height].into_iter().all(f64::is_finite),
            Mark::Area { points, .. } | Mark::Line { points, .. } => points
                .iter()
                .all(|point| point.0.is_finite() && point.1.is_finite()),
            Mark::Dot { at, .. } | Mark::Text { at, .. } => at.0.is_finite() && at.1.is_finite(),
        };
        if placed {
            self.marks.push(mark);
        }
    }

    pub(super) fn rect(&mut self, (x, y): Point, (width, height): (f64, f64), role: Role) {
        self.push(Mark::Rect {
            x,
            y,
            width: width.max(0.0),
            height: height.max(0.0),
            role,
        });
    }

    pub(super) fn area(&mut self, points: &[Point], role: Role) {
        self.push(Mark::Area {
            points: points.to_vec(),
            role,
        });
    }

    pub(super) fn line(&mut self, points: &[Point], thickness: f64, role: Role) {
        self.push(Mark::Line {
            points: points.to_vec(),
            thickness,
            dashed: false,
            role,
        });
    }

    pub(super) fn dashed(&mut self, from: Point, to: Point, thickness: f64, role: Role) {
        self.push(Mark::Line {
            points: vec![from, to],
            thickness,
            dashed: true,
            role,
        });
    }

    pub(super) fn dot(&mut self, at: Point, radius: f64, shape: Shape, hollow: bool, role: Role) {
        self.push(Mark::Dot {
            at,
            radius,
            shape,
            hollow,
            role,
        });
    }

    pub(super) fn text(&mut self, at: Point, anchor: Anchor, text: impl Into<String>, type_: Type) {
        let text = text.into();
        if !text.trim().is_empty() {
            self.push(Mark::Text {
                at,
                anchor,
                size: type_.size,
                bold: type_.bold,
                role: type_.role,
                text,
            });
        }
    }

    /// A value's interval: a line between two stops.
    pub(super) fn whisker(&mut self, (low, high): (f64, f64), y: f64, role: Role) {
        self.line(&[(low, y), (high, y)], 2.0, role);
        for end in [low, high] {
            self.line(&[(end, y - 6.0), (end, y + 6.0)], 2.0, role);
        }
    }

    /// The least that is trusted: a bracket that opens upwards along the scale.
    pub(super) fn bracket(&mut self, (x, y): Point, role: Role) {
        let out = x + 6.0;
        self.line(
            &[(out, y - 8.0), (x, y - 8.0), (x, y + 8.0), (out, y + 8.0)],
            2.5,
            role,
        );
    }

    /// A ring with a tick, or a triangle with a stroke: how something stands.
    pub(super) fn verdict(&mut self, (x, y): Point, radius: f64, good: bool) {
        if good {
            // A ring of lines: a dot would be drawn over the tick.
            let ring: Vec<Point> = (0..=32_u8)
                .map(|step| {
                    let angle = f64::from(step) / 32.0 * std::f64::consts::TAU;
                    (x + radius * angle.cos(), y + radius * angle.sin())
                })
                .collect();
            self.line(&ring, 2.5, Role::Good);
            let points = [
                (x - radius * 0.45, y),
                (x - radius * 0.1, y + radius * 0.38),
                (x + radius * 0.5, y - radius * 0.35),
            ];
            self.line(&points, 2.5, Role::Good);
        } else {
            let corner = |dx: f64, dy: f64| (x + radius * dx, y + radius * dy);
            let points = [
                corner(-1.0, -0.85),
                corner(1.0, -0.85),
                corner(0.0, 0.95),
                corner(-1.0, -0.85),
            ];
            self.line(&points, 2.5, Role::Bad);
            self.line(&[corner(0.0, -0.5), corner(0.0, 0.3)], 2.5, Role::Bad);
        }
    }

    /// Puts the marks in the order they are drawn in.
    pub(super) fn finish(mut self, height: f64, spoken: String) -> Self {
        self.height = height;
        self.spoken = spoken;
        self.marks.sort_by_key(Mark::layer);
        self
    }
}

/// How a text is set.
#[derive(Debug, Clone, Copy)]
pub(super) struct Type {
    pub(super) size: f64,
    pub(super) bold: bool,
    pub(super) role: Role,
}

/// The room a chart is drawn in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Width in dp. Less than [`Frame::NARROWEST`] is drawn as that.
    pub width: f64,
    /// Size of the text in dp: the smallest size the screen or the report sets text in.
    pub text: f64,
}

impl Frame {
    /// The narrowest a chart is drawn.
    pub const NARROWEST: f64 = 240.0;

    /// A frame that can be drawn in: what is not a number, too narrow or too small is mended.
    #[must_use]
    pub fn new(width: f64, text: f64) -> Self {
        let within = |value: f64, low: f64, high: f64| {
            if value.is_finite() {
                value.clamp(low, high)
            } else {
                low
            }
        };
        Self {
            width: within(width, Self::NARROWEST, 4_000.0),
            text: within(text, 6.0, 64.0),
        }
    }

    pub(super) const fn line(self) -> f64 {
        self.text * LINE
    }

    pub(super) const fn ink(self) -> Type {
        self.of(Role::Ink, false)
    }

    pub(super) const fn bold(self) -> Type {
        self.of(Role::Ink, true)
    }

    pub(super) const fn muted(self) -> Type {
        self.of(Role::Muted, false)
    }

    pub(super) const fn of(self, role: Role, bold: bool) -> Type {
        Type {
            size: self.text,
            bold,
            role,
        }
    }

    pub(super) fn wide(self, text: &str, bold: bool) -> f64 {
        text_width(text, self.text, bold)
    }
}

/// As much of a text as fits, with a sign that there was more.
pub(super) fn cut(text: &str, room: f64, size: f64, bold: bool) -> String {
    if text_width(text, size, bold) <= room {
        return text.to_owned();
    }
    if text_width("\u{2026}", size, bold) > room {
        return String::new();
    }
    let mut kept = String::new();
    for sign in text.chars() {
        let mut longer = kept.clone();
        longer.push(sign);
        if text_width(&longer, size, bold) + text_width("\u{2026}", size, bold) > room {
            break;
        }
        kept = longer;
    }
    format!("{}\u{2026}", kept.trim_end())
}

/// A text in lines that fit; a word that is too long for one is cut.
pub(super) fn lines(text: &str, room: f64, size: f64, bold: bool) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let word = cut(word, room, size, bold);
        if let Some(last) = lines.last_mut() {
            let joined = format!("{last} {word}");
            if text_width(&joined, size, bold) <= room {
                *last = joined;
                continue;
            }
        }
        lines.push(word);
    }
    lines
}
