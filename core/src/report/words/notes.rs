//! What to know about the figures: each sentence once at the end, cited by its number.

use super::heading;
use crate::report::content::{Align, Paragraph, Piece, Table};
use crate::say;
use crate::words::Reader;

/// The notes so far.
#[derive(Debug, Default)]
pub(super) struct Notes {
    said: Vec<String>,
}

impl Notes {
    /// Cites notes under what stands last.
    pub(super) fn cite(&mut self, pieces: &mut Vec<Piece>, points: &[String], to: Reader) {
        let mut numbers: Vec<usize> = points
            .iter()
            .filter(|point| !point.trim().is_empty())
            .map(|point| {
                let known = self.said.iter().position(|said| said == point);
                known.unwrap_or_else(|| {
                    self.said.push(point.clone());
                    self.said.len() - 1
                }) + 1
            })
            .collect();
        numbers.sort_unstable();
        numbers.dedup();
        if !numbers.is_empty() {
            let cited = ranges(&numbers);
            pieces.push(Paragraph::small(say!(
                to.language,
                "See notes {numbers} at the end.",
                numbers = cited
            )));
        }
    }

    /// All of them.
    pub(super) fn list(&self, pieces: &mut Vec<Piece>, to: Reader) {
        if self.said.is_empty() {
            return;
        }
        pieces.push(heading(1, say!(to.language, "Notes and assumptions")));
        let rows = self.said.iter().enumerate();
        pieces.push(Piece::Table(Table {
            summary: say!(to.language, "Notes by their number"),
            columns: vec![
                (say!(to.language, "No."), Align::Figure),
                (say!(to.language, "Note"), Align::Text(1)),
            ],
            rows: rows
                .map(|(at, said)| vec![(at + 1).to_string().into(), said.as_str().into()])
                .collect(),
        }));
    }
}

/// `1, 3–5, 8`.
fn ranges(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for &number in numbers {
        match runs.last_mut() {
            Some((_, end)) if *end + 1 == number => *end = number,
            _ => runs.push((number, number)),
        }
    }
    let said: Vec<String> = runs
        .iter()
        .map(|(from, to)| match to - from {
            0 => from.to_string(),
            1 => format!("{from}, {to}"),
            _ => format!("{from}\u{2013}{to}"),
        })
        .collect();
    said.join(", ")
}

#[cfg(test)]
mod tests {
    use super::ranges;

    #[test]
    fn numbers_in_a_row_are_drawn_together() {
        assert_eq!(ranges(&[1, 3, 4, 5, 8, 9]), "1, 3\u{2013}5, 8, 9");
        assert_eq!(ranges(&[2]), "2");
        assert_eq!(ranges(&[]), "");
    }
}
