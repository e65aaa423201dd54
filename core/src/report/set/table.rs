//! Tables: columns as wide as their figures, text in the room that is left, rows broken over
//! pages under their head.

use super::lines::{Type, lines};
use super::mark::{Mark, Paint, Placed};
use super::text::text;
use super::tree::{Kind, Leaf};
use super::{Chunk, Setter};
use crate::chart::Role;
use crate::report::content::{Align, Cell, Row, Table};

/// Between two columns.
const GAP: f64 = 11.0;
/// Over and under the text of a row.
const PAD: f64 = 2.6;
/// The largest type of a table, and the smallest it shrinks to so that its figures fit.
const SIZES: [f64; 6] = [8.8, 8.3, 7.8, 7.3, 6.8, 6.3];
/// Lines of a row that stand on one page.
const TOGETHER: usize = 5;

/// A figure in the parts it is aligned by: pounds before ounces, what stands before the decimal
/// mark, what stands behind.
fn parts(text: &str) -> (&str, &str, &str) {
    let (pounds, rest) = match text.find("lb ") {
        Some(at) => text.split_at(at + 3),
        None => ("", text),
    };
    let digits = |sign: char| sign.is_ascii_digit();
    // Behind the last digit of the first number.
    let start = rest.find(digits).unwrap_or(rest.len());
    let whole = rest[start..]
        .find(|sign: char| !digits(sign) && sign != '\u{202f}')
        .map_or(rest.len(), |at| start + at);
    if start == rest.len() {
        return (pounds, rest, "");
    }
    (pounds, &rest[..whole], &rest[whole..])
}

/// A column with its place.
#[derive(Debug, Clone, Copy)]
struct Column {
    x: f64,
    width: f64,
    align: Align,
    /// How wide its figures are between pounds and decimal mark, and behind that.
    before: f64,
    behind: f64,
}

/// Texts with the places they begin at.
type Line = Vec<(f64, String)>;

impl Setter {
    /// Columns in the largest type in which their figures fit.
    fn columns(&self, table: &Table) -> (Vec<Column>, f64) {
        for size in SIZES {
            if let Some(columns) = self.columns_in(table, size) {
                return (columns, size);
            }
        }
        // Nothing fits: all share the room alike, and every cell is broken into lines.
        let size = SIZES[SIZES.len() - 1];
        #[allow(clippy::cast_precision_loss)] // A handful of columns.
        let many = table.columns.len().max(1) as f64;
        let width = ((self.width + GAP) / many - GAP).max(12.0);
        let mut x = 0.0;
        let columns = table
            .columns
            .iter()
            .map(|_| {
                let column = Column {
                    x,
                    width,
                    align: Align::Text(1),
                    before: 0.0,
                    behind: 0.0,
                };
                x += width + GAP;
                column
            })
            .collect();
        (columns, size)
    }

    fn columns_in(&self, table: &Table, size: f64) -> Option<Vec<Column>> {
        // Some signs are wider in bold, blanks are not.
        let wide = |text: &str| {
            let width = |bold| self.fonts.width(text, size, bold);
            width(false).max(width(true))
        };
        let word = |text: &str| text.split(' ').map(wide).fold(0.0, f64::max);
        let mut columns: Vec<Column> = Vec::new();
        let (mut taken, mut shares) = (0.0, 0_u32);
        for (at, (head, align)) in table.columns.iter().enumerate() {
            let cells = table.rows.iter().filter_map(|row| row.get(at));
            let mut figures = (0.0_f64, 0.0_f64, 0.0_f64);
            let mut plain = 0.0_f64;
            for cell in cells {
                let (pounds, before, behind) = parts(&cell.text);
                if behind.is_empty() && !before.contains(|sign: char| sign.is_ascii_digit()) {
                    plain = plain.max(wide(before));
                    continue;
                }
                figures.0 = figures.0.max(wide(pounds));
                figures.1 = figures.1.max(wide(before));
                figures.2 = figures.2.max(wide(behind));
            }
            let width = match align {
                Align::Figure => (figures.0 + figures.1 + figures.2)
                    .max(word(head))
                    .max(plain.min(word(head).max(46.0))),
                Align::Text(share) => {
                    shares += u32::from(*share);
                    0.0
                }
            };
            taken += width + GAP;
            columns.push(Column {
                x: 0.0,
                width,
                align: *align,
                before: figures.1,
                behind: figures.2,
            });
        }
        let left = self.width - (taken - GAP).max(0.0);
        if shares > 0 {
            let part = left / f64::from(shares);
            for (at, column) in columns.iter_mut().enumerate() {
                if let Align::Text(share) = column.align {
                    column.width = part * f64::from(share);
                    let head = table.columns.get(at).map_or(0.0, |(head, _)| word(head));
                    if column.width < head.max(38.0) {
                        return None;
                    }
                }
            }
        } else if left < 0.0 {
            return None;
        }
        let mut x = 0.0;
        for column in &mut columns {
            column.x = x;
            x += column.width + GAP;
        }
        Some(columns)
    }

    pub(super) fn table(&mut self, table: &Table) {
        let mut table = table.clone();
        let mut was = Vec::new();
        for row in &mut table.rows {
            row.resize_with(table.columns.len(), Cell::default);
            was.push(
                row.iter_mut()
                    .map(|cell| {
                        let clean = self.fonts.clean(&cell.text);
                        cell.text = clean.text;
                        clean.was
                    })
                    .collect::<Vec<_>>(),
            );
        }
        for (head, _) in &mut table.columns {
            *head = self.fonts.clean(head).text;
        }
        let (columns, size) = self.columns(&table);
        self.tree.open(Kind::Table(table.summary.clone()));
        let head = table.columns.iter().any(|(head, _)| !head.is_empty());
        let head = head.then(|| self.head(&table, &columns, size));
        self.tree.open(Kind::Rows);
        for (at, row) in table.rows.iter().enumerate() {
            let was = was.get(at).cloned().unwrap_or_default();
            self.row(row, was, &columns, (size, head, at == 0));
        }
        self.tree.close();
        self.tree.close();
        self.under();
    }

    /// A thin line under the last row.
    fn under(&mut self) {
        let width = self.width;
        if let Some(last) = self.chunks.last_mut() {
            last.marks.push(Placed {
                leaf: None,
                mark: Mark::Bar {
                    x: 0.0,
                    y: last.height - 0.6,
                    width,
                    height: 0.6,
                    paint: Paint::RULE,
                },
            });
            last.height += 5.0;
        }
    }

    /// The head, which is drawn again over each page; its number.
    fn head(&mut self, table: &Table, columns: &[Column], size: f64) -> usize {
        let type_ = Type::new(size, true);
        self.tree.open(Kind::Head);
        self.tree.open(Kind::Row);
        let set: Vec<Vec<String>> = table
            .columns
            .iter()
            .zip(columns)
            .map(|((head, _), column)| lines(&self.fonts, head, column.width, 0.0, type_))
            .collect();
        let most = set.iter().map(Vec::len).max().unwrap_or(0);
        #[allow(clippy::cast_precision_loss)] // A few lines.
        let height = (most as f64).mul_add(type_.line(), 2.0 * PAD);
        let mut marks = Vec::new();
        for (lines, column) in set.into_iter().zip(columns) {
            let leaf = self.tree.only(Kind::HeadOfColumn, Leaf::default());
            let over = most - lines.len();
            for (at, line) in lines.into_iter().enumerate() {
                #[allow(clippy::cast_precision_loss)]
                let top = ((over + at) as f64).mul_add(type_.line(), PAD);
                let x = match column.align {
                    Align::Text(_) => column.x,
                    Align::Figure => {
                        column.x + column.width - self.fonts.width(&line, type_.size, true)
                    }
                };
                marks.push(Placed {
                    leaf: Some(leaf),
                    mark: text(x, top, type_, Paint::MUTED, line),
                });
            }
        }
        self.tree.close();
        self.tree.close();
        marks.push(Placed {
            leaf: None,
            mark: Mark::Bar {
                x: 0.0,
                y: height - 0.9,
                width: self.width,
                height: 0.9,
                paint: Paint::ACCENT,
            },
        });
        let chunk = Chunk {
            before: 7.0,
            height: height + 1.0,
            marks,
            keep: true,
            ..Chunk::default()
        };
        self.chunks.push(chunk.clone());
        self.heads.push(chunk);
        self.heads.len() - 1
    }

    fn row(
        &mut self,
        row: &[Cell],
        was: Vec<Option<String>>,
        columns: &[Column],
        (size, head, first): (f64, Option<usize>, bool),
    ) {
        self.tree.open(Kind::Row);
        let mut set: Vec<(usize, Vec<Line>, Type, Paint)> = Vec::new();
        for (at, ((cell, column), was)) in row.iter().zip(columns).zip(was).enumerate() {
            let kind = if at == 0 { Kind::HeadOfRow } else { Kind::Cell };
            let leaf = self.tree.only(
                kind,
                Leaf {
                    was,
                    picture: false,
                },
            );
            let type_ = Type::new(size, cell.good == Some(false));
            let paint = match cell.good {
                None => Paint::INK,
                Some(true) => Paint::Role(Role::Good),
                Some(false) => Paint::Role(Role::Bad),
            };
            set.push((leaf, self.cell(&cell.text, column, type_), type_, paint));
        }
        self.tree.close();
        let type_ = Type::new(size, false);
        let most = set.iter().map(|(_, lines, ..)| lines.len()).max();
        let most = most.unwrap_or(0).max(1);
        for line in 0..most {
            let mut height = type_.line();
            let top = if line == 0 { PAD } else { 0.0 };
            height += top + if line + 1 == most { PAD } else { 0.0 };
            let mut marks = Vec::new();
            if line == 0 && !first {
                marks.push(Placed {
                    leaf: None,
                    mark: Mark::Bar {
                        x: 0.0,
                        y: 0.0,
                        width: self.width,
                        height: 0.5,
                        paint: Paint::RULE,
                    },
                });
            }
            for (leaf, lines, type_, paint) in &set {
                for (x, said) in lines.get(line).into_iter().flatten() {
                    marks.push(Placed {
                        leaf: Some(*leaf),
                        mark: text(*x, top, *type_, *paint, said.clone()),
                    });
                }
            }
            self.chunks.push(Chunk {
                height,
                marks,
                keep: line + 1 < most && (most <= TOGETHER || line == 0 || line + 2 == most),
                head,
                ..Chunk::default()
            });
        }
    }

    /// The lines of a cell.
    fn cell(&self, said: &str, column: &Column, type_: Type) -> Vec<Line> {
        let wide = |text: &str| self.fonts.width(text, type_.size, type_.bold);
        let Align::Figure = column.align else {
            return lines(&self.fonts, said, column.width, 0.0, type_)
                .into_iter()
                .map(|line| vec![(column.x, line)])
                .collect();
        };
        let (pounds, before, behind) = parts(said);
        let right = column.x + column.width;
        let number = before.contains(|sign: char| sign.is_ascii_digit());
        if number && wide(said) <= column.width + 1e-9 {
            let decimal = right - column.behind;
            let mut line = Vec::new();
            if !pounds.is_empty() {
                line.push((decimal - column.before - wide(pounds), pounds.to_owned()));
            }
            line.push((decimal - wide(before), format!("{before}{behind}")));
            return vec![line];
        }
        lines(&self.fonts, said, column.width, 0.0, type_)
            .into_iter()
            .map(|line| vec![(right - wide(&line), line)])
            .collect()
    }

    /// Figures with what they are.
    pub(super) fn facts(&mut self, rows: &[Row]) {
        if rows.is_empty() {
            return;
        }
        let values = rows.iter().any(|row| !row.value.is_empty());
        let details = rows.iter().any(|row| !row.detail.is_empty());
        let mut columns = vec![(String::new(), Align::Text(3))];
        if values {
            columns.push((String::new(), Align::Text(if details { 2 } else { 6 })));
        }
        if details {
            columns.push((String::new(), Align::Text(if values { 5 } else { 7 })));
        }
        let rows = rows.iter().map(|row| {
            let mut cells: Vec<Cell> = vec![row.label.as_str().into()];
            if values {
                cells.push(row.value.as_str().into());
            }
            if details {
                cells.push(row.detail.as_str().into());
            }
            cells
        });
        self.chunks.push(Chunk {
            height: 3.0,
            keep: true,
            ..Chunk::default()
        });
        self.table(&Table {
            summary: String::new(),
            columns,
            rows: rows.collect(),
        });
    }
}
