//! Titles, headings, paragraphs and lists.

use super::lines::{Type, lines};
use super::mark::{Mark, Paint, Placed};
use super::tree::{Kind, Leaf};
use super::{Chunk, Setter};
use crate::report::content::{Manner, Paragraph};

/// Most of the text.
pub(super) const BODY: Type = Type::new(9.5, false);
/// Smaller text.
pub(super) const SMALL: Type = Type::new(8.0, false);
const LEAD: Type = Type::new(11.0, true);
const TITLE: Type = Type::new(22.0, true);
const UNDER: Type = Type::new(11.5, false);

/// The bar beside a paragraph that means something, and the room to its text.
const BAR: f64 = 2.5;
const INDENT: f64 = 11.0;

/// One line of text.
pub(super) fn text(x: f64, top: f64, type_: Type, paint: Paint, text: String) -> Mark {
    Mark::Text {
        x,
        baseline: top + type_.baseline(),
        size: type_.size,
        bold: type_.bold,
        paint,
        text,
    }
}

impl Setter {
    pub(super) fn title(&mut self, title: &str, under: &str) {
        let clean = self.fonts.clean(title);
        let leaf = Leaf {
            was: clean.was,
            picture: false,
        };
        let leaf = self.tree.only(Kind::Title(title.to_owned()), leaf);
        let set = lines(&self.fonts, &clean.text, self.width, 0.0, TITLE);
        self.stack(set, leaf, TITLE, Paint::ACCENT, (0.0, 0.0, true));
        if let Some(first) = self.chunks.first_mut() {
            first.bookmark = Some((1, title.to_owned()));
        }
        self.lines_of(under, UNDER, Paint::MUTED, 2.0, Kind::Paragraph);
        self.chunks.push(Chunk {
            before: 8.0,
            height: 1.2,
            marks: vec![Placed {
                leaf: None,
                mark: Mark::Bar {
                    x: 0.0,
                    y: 0.0,
                    width: self.width,
                    height: 1.2,
                    paint: Paint::ACCENT,
                },
            }],
            ..Chunk::default()
        });
    }

    pub(super) fn heading(&mut self, level: u8, said: &str) {
        let (type_, paint, before) = match level {
            1 => (Type::new(16.0, true), Paint::ACCENT, 26.0),
            2 => (Type::new(12.5, true), Paint::INK, 19.0),
            _ => (Type::new(10.0, true), Paint::INK, 12.0),
        };
        let clean = self.fonts.clean(said);
        let leaf = Leaf {
            was: clean.was,
            picture: false,
        };
        // The title has the first level.
        let leaf = self
            .tree
            .only(Kind::Heading(level + 1, said.to_owned()), leaf);
        let at = self.chunks.len();
        let set = lines(&self.fonts, &clean.text, self.width, 0.0, type_);
        self.stack(set, leaf, type_, paint, (before, 0.0, true));
        if let Some(first) = self.chunks.get_mut(at)
            && level < 3
        {
            first.bookmark = Some((level + 1, clean.text));
        }
        if let Some(last) = self.chunks.last_mut() {
            last.height += 2.0;
        }
    }

    /// Lines one under the other: `before` over the first, all `indent` from the left, each kept
    /// with what follows where `keep`.
    pub(super) fn stack(
        &mut self,
        set: Vec<String>,
        leaf: usize,
        type_: Type,
        paint: Paint,
        (before, indent, keep): (f64, f64, bool),
    ) {
        let many = set.len();
        for (at, line) in set.into_iter().enumerate() {
            self.chunks.push(Chunk {
                before: if at == 0 { before } else { 0.0 },
                height: type_.line(),
                marks: vec![Placed {
                    leaf: Some(leaf),
                    mark: text(indent, 0.0, type_, paint, line),
                }],
                // No line stands alone over or under a break.
                keep: keep || (at + 1 < many && (at == 0 || at + 2 == many)),
                ..Chunk::default()
            });
        }
    }

    fn lines_of(&mut self, said: &str, type_: Type, paint: Paint, before: f64, kind: Kind) {
        let clean = self.fonts.clean(said);
        if clean.text.is_empty() {
            return;
        }
        let leaf = self.tree.only(
            kind,
            Leaf {
                was: clean.was,
                picture: false,
            },
        );
        let set = lines(&self.fonts, &clean.text, self.width, 0.0, type_);
        self.stack(set, leaf, type_, paint, (before, 0.0, false));
    }

    pub(super) fn paragraph(&mut self, paragraph: &Paragraph) {
        let (type_, paint, before) = match paragraph.manner {
            Manner::Plain => (BODY, Paint::INK, 5.0),
            Manner::Small => (SMALL, Paint::MUTED, 4.0),
            Manner::Lead => (LEAD, Paint::INK, 7.0),
        };
        let head = self.fonts.clean(&paragraph.head);
        let body = self.fonts.clean(&paragraph.text);
        if head.text.is_empty() && body.text.is_empty() {
            return;
        }
        self.tree.open(Kind::Paragraph);
        let heavy = Type::new(type_.size, true);
        let indent = if paragraph.tone.is_some() {
            INDENT
        } else {
            0.0
        };
        let at = self.chunks.len();
        let mut first = 0.0;
        if !head.text.is_empty() {
            let leaf = self.tree.leaf(Leaf {
                was: head.was,
                picture: false,
            });
            let set = lines(&self.fonts, &head.text, self.width - indent, 0.0, heavy);
            if let [one] = set.as_slice() {
                first = self.fonts.width(one, heavy.size, true) + heavy.size * 0.3;
            }
            self.stack(set, leaf, heavy, paint, (before, indent, false));
        }
        if !body.text.is_empty() {
            let leaf = self.tree.leaf(Leaf {
                was: body.was,
                picture: false,
            });
            let room = self.width - indent;
            let mut set = lines(&self.fonts, &body.text, room, first, type_);
            if first > 0.0 && !set.is_empty() {
                let line = set.remove(0);
                if let Some(chunk) = self.chunks.last_mut()
                    && !line.is_empty()
                {
                    chunk.marks.push(Placed {
                        leaf: Some(leaf),
                        mark: text(indent + first, 0.0, type_, paint, line),
                    });
                    chunk.keep = set.len() == 1;
                }
            }
            let before = if self.chunks.len() > at { 0.0 } else { before };
            self.stack(set, leaf, type_, paint, (before, indent, false));
        }
        self.tree.close();
        if let Some(tone) = paragraph.tone {
            for chunk in self.chunks.iter_mut().skip(at) {
                chunk.marks.push(Placed {
                    leaf: None,
                    mark: Mark::Bar {
                        x: 0.0,
                        y: 0.0,
                        width: BAR,
                        height: chunk.height,
                        paint: Paint::of(tone),
                    },
                });
            }
        }
    }

    pub(super) fn points(&mut self, points: &[String]) {
        if points.iter().all(|point| point.trim().is_empty()) {
            return;
        }
        self.tree.open(Kind::List);
        for point in points {
            let clean = self.fonts.clean(point);
            if clean.text.is_empty() {
                continue;
            }
            self.tree.open(Kind::Item);
            let bullet = self.tree.only(Kind::Bullet, Leaf::default());
            let leaf = self.tree.only(
                Kind::Body,
                Leaf {
                    was: clean.was,
                    picture: false,
                },
            );
            self.tree.close();
            let set = lines(&self.fonts, &clean.text, self.width - INDENT, 0.0, BODY);
            let at = self.chunks.len();
            self.stack(set, leaf, BODY, Paint::INK, (2.5, INDENT, false));
            if let Some(first) = self.chunks.get_mut(at) {
                let mark = text(2.0, 0.0, BODY, Paint::ACCENT, "\u{2022}".to_owned());
                first.marks.insert(
                    0,
                    Placed {
                        leaf: Some(bullet),
                        mark,
                    },
                );
            }
        }
        self.tree.close();
    }
}
