//! The catalogues of translations hold exactly what the code says, with its placeholders.
//!
//! Run with `UPDATE_EXPECTED=1` to add what a catalogue lacks, to be translated, and to take out
//! what the code no longer says.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeSet;

use proc_macro2::{Delimiter, TokenStream, TokenTree};
use tautbook_tests::catalogues::{Catalogues, Marked, mark, root, sources};

fn gather(tokens: TokenStream, marked: &mut Marked) {
    let trees: Vec<TokenTree> = tokens.into_iter().collect();
    for at in 0..trees.len() {
        if let TokenTree::Group(group) = &trees[at] {
            gather(group.stream(), marked);
        }
        let [
            TokenTree::Ident(name),
            TokenTree::Punct(bang),
            TokenTree::Group(group),
            ..,
        ] = &trees[at..]
        else {
            continue;
        };
        if bang.as_char() != '!' || group.delimiter() != Delimiter::Parenthesis {
            continue;
        }
        let arguments = arguments(group.stream());
        match name.to_string().as_str() {
            "word" => add(&arguments, false, marked),
            "say" => add(&arguments[1..], false, marked),
            "say_count" => add(&arguments[2..], true, marked),
            _ => {}
        }
    }
}

/// The arguments of a macro, parted at its commas.
fn arguments(tokens: TokenStream) -> Vec<Vec<TokenTree>> {
    let mut arguments = vec![Vec::new()];
    for tree in tokens {
        match &tree {
            TokenTree::Punct(comma) if comma.as_char() == ',' => arguments.push(Vec::new()),
            _ => arguments.last_mut().unwrap().push(tree),
        }
    }
    arguments
}

fn text(argument: &[TokenTree]) -> String {
    let last = argument.last().unwrap().to_string();
    syn::parse_str::<syn::LitStr>(&last)
        .unwrap_or_else(|error| panic!("{last}: {error}"))
        .value()
}

fn add(arguments: &[Vec<TokenTree>], counted: bool, marked: &mut Marked) {
    let (context, rest) = match arguments {
        [context, rest @ ..] if context.len() == 3 && context[0].to_string() == "ctx" => {
            (Some(text(context)), rest)
        }
        _ => (None, arguments),
    };
    let many = counted.then(|| text(&rest[1]));
    mark(marked, context, text(&rest[0]), many);
}

fn marked() -> Marked {
    let mut marked = Marked::new();
    let members = ["core", "ui", "app", "android"].into_iter();
    for file in members.flat_map(|member| sources(&root().join(member).join("src"), "rs")) {
        // The examples in the macros' own documentation are no sentences of ours.
        let code = std::fs::read_to_string(&file).unwrap();
        gather(code.parse().unwrap(), &mut marked);
    }
    marked
}

fn placeholders(text: &str) -> BTreeSet<String> {
    text.split('{')
        .skip(1)
        .map(|after| after.split_once('}').unwrap().0.to_owned())
        .collect()
}

#[test]
fn each_language_says_all_that_is_said() {
    let catalogues = Catalogues {
        name: "tautbook",
        placeholders,
    };
    let faults = catalogues.faults(&marked());
    assert!(faults.is_empty(), "\n{faults}");
}
