//! Where everything stands on a page.

use super::fit::{Fitter, Room};
use super::scene::{Mark, Page};
use super::text::{Fact, LabelText};
use super::{Dpi, Paper, PrintError, PrintNote, Printed};
use crate::chart::{BASELINE, LINE, text_width};
use crate::label::{LabelCode, QUIET, SIDE, ShortCode, Symbol};

/// Modules from the outer edge of the quiet zone to the other.
const MODULES: u32 = SIDE + 2 * QUIET;
/// Height of a line over the size of its text.
const LEADING: f64 = LINE;
/// White inside a label that fills its paper, in millimetres.
const PADDING: f64 = 5.0;
/// White inside a label on a sheet.
const CELL_PADDING: f64 = 3.0;
/// White between the two columns of a label on a sheet.
const GAP: f64 = 2.0;
/// Thickness of rules, in millimetres.
const RULE: f64 = 0.4;

/// The pages of these labels. `dots` keeps the modules to whole dots of a printer.
pub(super) fn pages(
    labels: &[LabelText],
    paper: Paper,
    dots: Option<Dpi>,
) -> Result<Printed<Vec<Page>>, PrintError> {
    if labels.is_empty() {
        return Err(PrintError::Nothing);
    }
    let mut fitter = Fitter::new()?;
    let (width, height) = paper.size();
    let (across, down) = paper.labels();
    let one = across * down == 1;
    let per_page = usize::try_from(across * down).unwrap_or(1);
    let mut pages = Vec::new();
    for labels in labels.chunks(per_page) {
        let mut marks = Vec::new();
        let margin = paper.margin();
        let cell = Area {
            x: margin,
            y: margin,
            width: (width - 2.0 * margin) / f64::from(across),
            height: (height - 2.0 * margin) / f64::from(down),
        };
        if !one {
            cut_lines(&mut marks, cell, across, down);
        }
        for (n, label) in (0_u32..).zip(labels) {
            let area = Area {
                x: cell.x + f64::from(n % across) * cell.width,
                y: cell.y + f64::from(n / across) * cell.height,
                ..cell
            };
            let mut pen = Pen {
                fitter: &mut fitter,
                marks: &mut marks,
                dots,
            };
            if one {
                pen.large(label, area.inside(PADDING))?;
            } else {
                pen.small(label, area.inside(CELL_PADDING))?;
            }
        }
        pages.push(Page {
            width,
            height,
            marks,
        });
    }
    Ok(Printed {
        made: pages,
        notes: fitter.notes.into_iter().collect::<Vec<PrintNote>>(),
    })
}

/// Thin lines to cut along.
fn cut_lines(marks: &mut Vec<Mark>, cell: Area, across: u32, down: u32) {
    let thin = RULE / 2.0;
    let (width, height) = (
        cell.width * f64::from(across),
        cell.height * f64::from(down),
    );
    for column in 0..=across {
        marks.push(Mark::Bar {
            x: cell.x + f64::from(column) * cell.width - thin / 2.0,
            y: cell.y,
            width: thin,
            height,
        });
    }
    for row in 0..=down {
        marks.push(Mark::Bar {
            x: cell.x,
            y: cell.y + f64::from(row) * cell.height - thin / 2.0,
            width,
            height: thin,
        });
    }
}

#[derive(Debug, Clone, Copy)]
struct Area {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
}

impl Area {
    fn inside(self, padding: f64) -> Self {
        Self {
            x: self.x + padding,
            y: self.y + padding,
            width: self.width - 2.0 * padding,
            height: self.height - 2.0 * padding,
        }
    }

    /// Without so much at its top.
    fn below(self, taken: f64) -> Self {
        Self {
            y: self.y + taken,
            height: self.height - taken,
            ..self
        }
    }
}

#[derive(Clone, Copy)]
enum Align {
    Left,
    Middle,
}

struct Pen<'a> {
    fitter: &'a mut Fitter,
    marks: &'a mut Vec<Mark>,
    dots: Option<Dpi>,
}

impl Pen<'_> {
    /// A label that fills its paper: the square code large at the top, all else under it.
    fn large(&mut self, label: &LabelText, area: Area) -> Result<(), PrintError> {
        let title = room(area, 7.0, 4.5, 1, true);
        let rest = area.below(self.text(&label.title, area, title, Align::Middle));
        let side = self.symbol(label, rest, 1.5, Align::Middle)?;
        let rest = rest.below(side);
        let small = room(rest, 3.6, 2.8, 1, false);
        let rest = rest.below(self.text(&label.type_this, rest, small, Align::Middle));
        let short = ShortCode::of(label.sample).to_string();
        let large = room(rest, 12.0, 8.0, 1, true);
        let rest = rest.below(self.text(&short, rest, large, Align::Middle));
        self.rule(rest);
        let rest = rest.below(1.5);
        let retain = format!("{} {}", label.retain.name, label.retain.value);
        let until = room(rest, 9.0, 5.0, 1, true);
        let rest = rest.below(self.text(&retain, rest, until, Align::Middle) + 1.0);
        let notice = room(rest, 4.2, 3.2, 3, false);
        let box_height = self.notice(&label.notice, area, notice);
        let facts = Area {
            height: rest.height - box_height - 2.0,
            ..rest
        };
        self.facts(&label.facts, facts, 5.6);
        Ok(())
    }

    /// A label on a sheet: the square code at the left, the text beside it.
    fn small(&mut self, label: &LabelText, area: Area) -> Result<(), PrintError> {
        let side = self.symbol(label, area, 1.2, Align::Left)?;
        // As wide as the code without its quiet zone, a little more at each end.
        let left = Area {
            x: area.x + GAP,
            width: side - 2.0 * GAP,
            ..area
        }
        .below(side);
        let small = room(left, 2.8, 2.0, 1, false);
        let under = left.below(self.text(&label.type_this, left, small, Align::Middle));
        let short = ShortCode::of(label.sample).to_string();
        let large = room(under, 8.4, 6.0, 1, true);
        self.text(&short, under, large, Align::Middle);
        let right = Area {
            x: area.x + side + GAP / 2.0,
            width: area.width - side - GAP / 2.0,
            ..area
        };
        let title = room(right, 4.6, 3.4, 2, true);
        let rest = right.below(self.text(&label.title, right, title, Align::Left) + 0.5);
        let name = room(rest, 3.2, 2.6, 1, false);
        let rest = rest.below(self.text(&label.retain.name, rest, name, Align::Left));
        let until = room(rest, 7.6, 4.0, 1, true);
        let rest = rest.below(self.text(&label.retain.value, rest, until, Align::Left));
        let notice = room(rest, 3.0, 2.4, 4, false);
        let box_height = self.notice(&label.notice, right, notice);
        let facts = Area {
            height: rest.height - box_height - 1.0,
            ..rest
        };
        self.facts(&label.facts, facts, 3.8);
        Ok(())
    }

    /// The square code at the upper left or upper middle; gives its side with the quiet zone.
    fn symbol(
        &mut self,
        label: &LabelText,
        area: Area,
        nominal: f64,
        align: Align,
    ) -> Result<f64, PrintError> {
        let module = self.dots.map_or(nominal, |dots| dots.module(nominal));
        let side = module * f64::from(MODULES);
        let left = match align {
            Align::Left => area.x,
            Align::Middle => area.x + (area.width - side) / 2.0,
        };
        let quiet = module * f64::from(QUIET);
        self.marks.push(Mark::Symbol {
            x: left + quiet,
            y: area.y + quiet,
            module,
            symbol: Symbol::new(LabelCode::new(label.sample))?,
        });
        Ok(side)
    }

    /// A text at the top of an area; gives the height it takes.
    fn text(&mut self, text: &str, area: Area, room: Room, align: Align) -> f64 {
        let fitted = self.fitter.fit(text, room);
        let line = fitted.size * LEADING;
        let mut top = area.y;
        for text in fitted.lines {
            let x = match align {
                Align::Left => area.x,
                Align::Middle => {
                    area.x + (area.width - text_width(&text, fitted.size, room.bold)) / 2.0
                }
            };
            self.marks.push(Mark::Text {
                x,
                baseline: top + line / 2.0 + fitted.size * BASELINE,
                size: fitted.size,
                bold: room.bold,
                text,
            });
            top += line;
        }
        top - area.y
    }

    /// One line of text from its left end on its baseline.
    fn at(&mut self, text: &str, x: f64, baseline: f64, room: Room) {
        let fitted = self.fitter.fit(text, room);
        if let Some(text) = fitted.lines.into_iter().next() {
            self.marks.push(Mark::Text {
                x,
                baseline,
                size: fitted.size,
                bold: room.bold,
                text,
            });
        }
    }

    fn rule(&mut self, area: Area) {
        self.marks.push(Mark::Bar {
            x: area.x,
            y: area.y + 0.4,
            width: area.width,
            height: RULE,
        });
    }

    /// The notice between two rules at the bottom of an area; gives its height.
    fn notice(&mut self, text: &str, area: Area, room: Room) -> f64 {
        let fitted = self.fitter.fit(text, room);
        let lines = f64::from(u32::try_from(fitted.lines.len()).unwrap_or(1));
        let height = lines * fitted.size * LEADING + 1.0;
        let bottom = Area {
            y: area.y + area.height - height,
            height,
            ..area
        };
        self.rule(Area {
            y: bottom.y - 1.0,
            ..bottom
        });
        self.text(text, bottom.below(0.6), room, Align::Left);
        height
    }

    /// The facts that are known, as large as there is room for: each in a row, one that is too long
    /// in two.
    fn facts(&mut self, facts: &[Fact], area: Area, most: f64) {
        let known: Vec<&Fact> = facts
            .iter()
            .filter(|fact| !fact.value.trim().is_empty())
            .collect();
        let mut size = most;
        while size > 1.5 && height_of(&known, area, size) > area.height {
            size *= 0.96;
        }
        let row = size * LEADING;
        let names = names_width(&known, area, size);
        let x = area.x + names + size * GAP_OF_NAME;
        let width = values_width(&known, area, size);
        let mut top = area.y;
        for fact in known {
            let baseline = top + row / 2.0 + size * BASELINE;
            let name = Room {
                width: names,
                most: size * NAME,
                least: size * 0.6,
                lines: 1,
                bold: false,
            };
            self.at(&fact.name, area.x, baseline, name);
            let one = is_short(&fact.value, width, size);
            let value = Room {
                width,
                most: size,
                least: size * LEAST_VALUE,
                lines: if one { 1 } else { 2 },
                bold: true,
            };
            if one {
                self.at(&fact.value, x, baseline, value);
                top += row;
            } else {
                let line = Area { x, y: top, ..area };
                top += self.text(&fact.value, line, value, Align::Left).max(row);
            }
        }
    }
}

/// The size of a fact's name over that of its value.
const NAME: f64 = 0.85;
/// White between a name and its value, over the size.
const GAP_OF_NAME: f64 = 0.5;
/// How small a value may be set to keep it in one row, over its size.
const LEAST_VALUE: f64 = 0.75;

fn is_short(value: &str, width: f64, size: f64) -> bool {
    text_width(value, size * LEAST_VALUE, true) <= width
}

fn names_width(facts: &[&Fact], area: Area, size: f64) -> f64 {
    facts
        .iter()
        .map(|fact| text_width(&fact.name, size * NAME, false))
        .fold(0.0, f64::max)
        .min(area.width * 0.35)
}

fn values_width(facts: &[&Fact], area: Area, size: f64) -> f64 {
    area.width - names_width(facts, area, size) - size * GAP_OF_NAME
}

/// The most that these facts can take in that size.
fn height_of(facts: &[&Fact], area: Area, size: f64) -> f64 {
    let width = values_width(facts, area, size);
    facts
        .iter()
        .map(|fact| {
            if is_short(&fact.value, width, size) {
                1.0
            } else {
                2.0
            }
        })
        .sum::<f64>()
        * size
        * LEADING
}

fn room(area: Area, most: f64, least: f64, lines: usize, bold: bool) -> Room {
    Room {
        width: area.width,
        most,
        least,
        lines,
        bold,
    }
}
