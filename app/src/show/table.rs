//! Plain tables, and text wrapped to the width of the page.

/// The widest a line of text may be.
pub(super) const WIDTH: usize = 100;

/// Columns as wide as their widest cell, two spaces apart, each line behind `indent` spaces. The
/// first line is the heading; empty columns are kept.
pub(super) fn table(rows: &[Vec<String>], indent: usize) -> String {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns)
        .map(|column| {
            rows.iter()
                .filter_map(|row| row.get(column))
                .map(|cell| cell.chars().count())
                .max()
                .unwrap_or(0)
        })
        .collect();
    let mut text = String::new();
    for row in rows {
        let mut line = " ".repeat(indent);
        for (cell, width) in row.iter().zip(&widths) {
            line.push_str(&format!("{cell:<width$}  "));
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}

/// A text broken at spaces so that no line is wider than the page; later lines stand under the
/// text behind `label`. No line is broken at a no-break space, which is written as a plain one.
pub(super) fn labelled(label: &str, text: &str, indent: usize, label_width: usize) -> String {
    let start = indent + label_width;
    let mut out = format!("{}{label:<label_width$}", " ".repeat(indent));
    let mut used = start.max(indent + label.chars().count());
    let mut fresh = true;
    for word in text.split([' ', '\n']).filter(|word| !word.is_empty()) {
        let length = word.chars().count();
        if !fresh && used + 1 + length > WIDTH {
            out.push('\n');
            out.push_str(&" ".repeat(start));
            used = start;
            fresh = true;
        }
        if !fresh {
            out.push(' ');
            used += 1;
        }
        out.push_str(&word.replace('\u{a0}', " "));
        used += length;
        fresh = false;
    }
    out.push('\n');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up_and_nothing_trails() {
        let row = |cells: [&str; 2]| cells.map(str::to_owned).to_vec();
        let text = table(&[row(["zone", "lowest"]), row(["bottom", "µ"])], 2);
        assert_eq!(text, "  zone    lowest\n  bottom  µ\n");
    }

    #[test]
    fn long_text_is_broken_under_its_start() {
        let text = labelled("Notes", &"word ".repeat(60), 2, 10);
        assert!(text.lines().count() > 3);
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH));
        assert!(
            text.lines()
                .skip(1)
                .all(|line| line.starts_with(&" ".repeat(12)))
        );
    }
}
