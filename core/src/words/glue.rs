//! Numbers and their units, which no line is to part.

/// Units that are not parted from their number.
const UNITS: [&str; 18] = [
    "lb", "oz", "N", "kg", "g", "in", "ft", "mm", "cm", "m", "%", "h", "mil", "ga", "µm", "°C",
    "lbf", "×",
];

/// The words of a text, units with their numbers.
#[must_use]
pub fn glued(text: &str) -> Vec<&str> {
    let mut words: Vec<&str> = Vec::new();
    let mut start = 0;
    let mut ends: Vec<(usize, usize)> = Vec::new();
    for word in text.split(' ') {
        ends.push((start, start + word.len()));
        start += word.len() + 1;
    }
    let mut at = 0;
    while let Some(&(from, mut to)) = ends.get(at) {
        while let Some(&(next_from, next_to)) = ends.get(at + 1) {
            let word = &text[from..to];
            let next = text[next_from..next_to].trim_end_matches(['.', ',', ';', ':', ')', '?']);
            let number = word.ends_with(|sign: char| sign.is_ascii_digit());
            if !(number && UNITS.contains(&next)) {
                break;
            }
            at += 1;
            to = next_to;
        }
        if to > from {
            words.push(&text[from..to]);
        }
        at += 1;
    }
    words
}

/// A text whose spaces between a number and its unit do not break.
#[must_use]
pub fn unbroken(text: &str) -> String {
    let words: Vec<String> = glued(text)
        .into_iter()
        .map(|word| word.replace(' ', "\u{a0}"))
        .collect();
    words.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_stays_with_its_number() {
        assert_eq!(
            glued("it is 3 lb 5 oz, or 12 N."),
            ["it", "is", "3 lb", "5 oz,", "or", "12 N."]
        );
        assert_eq!(glued(""), Vec::<&str>::new());
    }

    #[test]
    fn no_line_begins_with_a_unit() {
        assert_eq!(
            unbroken("17 lb 12.2 oz less (37 %), by 3 readings"),
            "17\u{a0}lb 12.2\u{a0}oz less (37\u{a0}%), by 3 readings"
        );
    }
}
