//! Charts, drawings and pictures.

use super::lines::{Type, lines};
use super::mark::{Mark, Paint, PhotoBox, Placed};
use super::text::{SMALL, text};
use super::tree::{Kind, Leaf};
use super::{Chunk, Setter};
use crate::chart::{FilmPath, Frame, Scene};
use crate::report::content::{Chart, Picture, poster};

/// Points of the page to one dp of a chart, and the size of its text in dp.
const SCALE: f64 = 0.70;
const TEXT: f64 = 12.0;
/// The same of a drawing that is read from a step away.
const POSTER_TEXT: f64 = 15.0;
/// Between two pictures, and the highest one.
const GAP: f64 = 14.0;
const HIGHEST: f64 = 205.0;

impl Setter {
    pub(super) fn chart(&mut self, chart: &Chart) {
        let frame = Frame::new(self.width / SCALE, TEXT);
        let scene = chart.scene(frame);
        self.scene(scene, SCALE, 9.0);
    }

    pub(super) fn poster(&mut self, path: &FilmPath) {
        let scale = 1.12;
        let frame = Frame::new(self.width / scale, POSTER_TEXT);
        let scene = poster(path, frame);
        self.scene(scene, scale, 6.0);
    }

    fn scene(&mut self, scene: Scene, scale: f64, before: f64) {
        if scene.marks.is_empty() || scene.height <= 0.0 {
            return;
        }
        // One too high for a page is drawn smaller.
        let most = self.height - 60.0;
        let scale = scale.min(most / scene.height);
        let spoken = self.fonts.clean(&scene.spoken).text;
        let leaf = self.tree.only(
            Kind::Figure(spoken),
            Leaf {
                was: None,
                picture: true,
            },
        );
        let height = scene.height * scale;
        self.chunks.push(Chunk {
            before,
            height: height + 4.0,
            marks: vec![Placed {
                leaf: Some(leaf),
                mark: Mark::Scene {
                    x: 0.0,
                    y: 0.0,
                    scale,
                    scene: Box::new(scene),
                },
            }],
            ..Chunk::default()
        });
    }

    pub(super) fn photos(&mut self, pictures: &[Picture]) {
        let width = (self.width - GAP) / 2.0;
        for pair in pictures.chunks(2) {
            self.pair(pair, width);
        }
    }

    /// Two pictures side by side with their captions.
    fn pair(&mut self, pair: &[Picture], width: f64) {
        let mut boxes = Vec::new();
        let mut captions: Vec<(usize, f64, Vec<String>)> = Vec::new();
        let mut tallest = 0.0_f64;
        let mut x = 0.0;
        for picture in pair {
            let (wide, high) = (
                f64::from(picture.photo.width_px.max(1)),
                f64::from(picture.photo.height_px.max(1)),
            );
            let scale = (width / wide).min(HIGHEST / high);
            let (wide, high) = ((wide * scale).max(24.0), (high * scale).max(24.0));
            tallest = tallest.max(high);
            let spoken = self.fonts.clean(&picture.spoken).text;
            self.tree.open(Kind::Figure(spoken));
            let leaf = self.tree.leaf(Leaf {
                was: None,
                picture: true,
            });
            let instead = self.fonts.clean(&picture.instead).text;
            let mut instead = lines(&self.fonts, &instead, (wide - 16.0).max(20.0), 0.0, SMALL);
            instead.truncate(lines_in(high, SMALL));
            boxes.push((
                leaf,
                PhotoBox {
                    sha256: picture.photo.sha256.clone(),
                    bytes: picture.photo.bytes,
                    x,
                    y: 0.0,
                    width: wide,
                    height: high,
                    instead,
                },
            ));
            let caption = self.fonts.clean(&picture.caption);
            if !caption.text.is_empty() {
                let leaf = self.tree.only(
                    Kind::Caption,
                    Leaf {
                        was: caption.was,
                        picture: false,
                    },
                );
                let set = lines(&self.fonts, &caption.text, width, 0.0, SMALL);
                captions.push((leaf, x, set));
            }
            self.tree.close();
            x += width + GAP;
        }
        let most = captions
            .iter()
            .map(|(.., set)| set.len())
            .max()
            .unwrap_or(0);
        self.chunks.push(Chunk {
            before: 8.0,
            height: tallest + 3.0,
            marks: boxes
                .into_iter()
                .map(|(leaf, photo)| Placed {
                    leaf: Some(leaf),
                    mark: Mark::Photo(photo),
                })
                .collect(),
            keep: most > 0,
            ..Chunk::default()
        });
        for line in 0..most {
            let marks = captions.iter().filter_map(|(leaf, x, set)| {
                let said = set.get(line)?.clone();
                Some(Placed {
                    leaf: Some(*leaf),
                    mark: text(*x, 0.0, SMALL, Paint::INK, said),
                })
            });
            self.chunks.push(Chunk {
                height: SMALL.line() + if line + 1 == most { 3.0 } else { 0.0 },
                marks: marks.collect(),
                keep: line < 3 && line + 1 < most,
                ..Chunk::default()
            });
        }
    }
}

/// How many lines stand in so much height; one at least.
fn lines_in(height: f64, type_: Type) -> usize {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // A page at most.
    let many = ((height - 12.0) / type_.line()).max(1.0) as usize;
    many
}
