//! The catalogues of the screens hold exactly what the screens say in `@tr`, with its
//! placeholders.
//!
//! Run with `UPDATE_EXPECTED=1` to add what a catalogue lacks, to be translated, and to take out
//! what the screens no longer say.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeSet;

use tautbook_tests::catalogues::{Catalogues, Marked, mark, root, sources};

/// The code of a screen without its comments.
fn code(screen: &str) -> String {
    let mut code = String::new();
    let mut rest = screen;
    while let Some(at) = rest.find(['"', '/']) {
        code.push_str(&rest[..at]);
        rest = &rest[at..];
        let end = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").unwrap() + 2
        } else {
            let end = if rest.starts_with('"') {
                literal(rest).unwrap().1
            } else {
                1
            };
            code.push_str(&rest[..end]);
            end
        };
        rest = &rest[end..];
    }
    code.push_str(rest);
    code
}

/// The text that begins here, if one does, and where it ends.
fn literal(code: &str) -> Option<(String, usize)> {
    let mut signs = code.strip_prefix('"')?.char_indices();
    let mut text = String::new();
    while let Some((at, sign)) = signs.next() {
        match sign {
            '"' => return Some((text, at + 2)),
            '\\' => match signs.next()?.1 {
                'n' => text.push('\n'),
                plain @ ('"' | '\\') => text.push(plain),
                other => panic!("\\{other} in a text to be said: {code:.60}"),
            },
            sign => text.push(sign),
        }
    }
    None
}

/// The text that begins after blanks, and what follows it and its blanks.
fn next(code: &str) -> (String, &str) {
    let code = code.trim_start();
    let (text, end) = literal(code).unwrap_or_else(|| panic!("no text: {code:.60}"));
    (text, code[end..].trim_start())
}

fn gather(screen: &str, marked: &mut Marked) {
    let code = code(screen);
    for said in code.split("@tr").skip(1) {
        let (first, rest) = next(said.trim_start().strip_prefix('(').unwrap());
        let (context, one, rest) = match rest.strip_prefix("=>") {
            Some(rest) => {
                let (one, rest) = next(rest);
                (Some(first), one, rest)
            }
            None => (None, first, rest),
        };
        let many = rest.strip_prefix('|').map(|rest| next(rest).0);
        mark(marked, context, one, many);
    }
}

fn marked() -> Marked {
    let mut marked = Marked::new();
    for file in sources(&root().join("ui/slint"), "slint") {
        gather(&std::fs::read_to_string(file).unwrap(), &mut marked);
    }
    marked
}

/// The placeholders of Slint: `{}` is the next value, `{0}` the first, `{n}` the number of things.
fn placeholders(text: &str) -> BTreeSet<String> {
    let names = text
        .split('{')
        .skip(1)
        .map(|after| after.split_once('}').unwrap().0);
    let mut counted = 0..;
    names
        .map(|name| match name {
            "" => counted.next().unwrap_or_default().to_string(),
            name => name.to_owned(),
        })
        .collect()
}

#[test]
fn each_language_says_all_that_the_screens_say() {
    let catalogues = Catalogues {
        name: "tautbook-screens",
        placeholders,
    };
    let faults = catalogues.faults(&marked());
    assert!(faults.is_empty(), "\n{faults}");
}

#[test]
fn what_a_screen_says_is_found() {
    let mut marked = Marked::new();
    gather(
        r#"
        // @tr("in a comment")
        text: @tr("Plain {}", root.x) + @tr("way" => "Back"); url: "http://x"; /* @tr("nor here") */
        note: @tr( "{n} \"load\"" | "{n} \"loads\"" % root.n );
        "#,
        &mut marked,
    );
    let text = |text: &str| text.to_owned();
    let expected = Marked::from([
        ((None, text("Plain {}")), None),
        ((Some(text("way")), text("Back")), None),
        ((None, text("{n} \"load\"")), Some(text("{n} \"loads\""))),
    ]);
    assert_eq!(marked, expected);
    assert_eq!(placeholders("{} of {}"), placeholders("{1} von {0}"));
    assert_ne!(placeholders("{} of {}"), placeholders("{}"));
}
