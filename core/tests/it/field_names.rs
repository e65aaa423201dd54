//! Every field of a record, and everything chosen from a list, has a name in a person's words: held
//! against the schema of the records.

use std::collections::BTreeSet;

use serde_json::Value;
use tautbook_core::survey::Kind;
use tautbook_core::words::fields::{choice, field, is_chosen};

/// The names of fields, and of choices, below a part of the schema.
fn gather(part: &Value, fields: &mut BTreeSet<String>, choices: &mut BTreeSet<String>) {
    match part {
        Value::Array(parts) => parts.iter().for_each(|part| gather(part, fields, choices)),
        Value::Object(parts) => {
            if let Some(Value::Object(named)) = parts.get("properties") {
                fields.extend(named.keys().cloned());
            }
            let one = parts.get("const").into_iter();
            let several = parts
                .get("enum")
                .and_then(Value::as_array)
                .into_iter()
                .flatten();
            choices.extend(
                one.chain(several)
                    .filter_map(Value::as_str)
                    .map(str::to_owned),
            );
            parts
                .values()
                .for_each(|part| gather(part, fields, choices));
        }
        _ => {}
    }
}

fn schema() -> Value {
    serde_json::from_str(include_str!("../../schema/records.schema.json")).unwrap()
}

#[test]
fn every_field_and_choice_has_words() {
    let (mut fields, mut choices) = (BTreeSet::new(), BTreeSet::new());
    for (name, part) in schema()["$defs"].as_object().unwrap() {
        // The lists of a whole file: no record has them.
        if name != "RecordSet" {
            gather(part, &mut fields, &mut choices);
        }
    }
    assert!(
        fields.len() > 150 && choices.len() > 90,
        "the schema reads otherwise"
    );
    let mut wordless: Vec<&String> = fields.iter().filter(|name| field(name).is_none()).collect();
    wordless.extend(
        choices
            .iter()
            .filter(|name| choice(name).is_none() && Kind::from_name(name).is_none()),
    );
    assert_eq!(wordless, Vec::<&String>::new());
}

/// Whether a part of the schema allows what is chosen from a list, and whether it allows other text.
fn allows(all: &Value, part: &Value, depth: usize) -> (bool, bool) {
    let listed = part.get("enum").is_some() || part.get("const").is_some();
    let text = match &part["type"] {
        Value::String(kind) => kind == "string",
        Value::Array(kinds) => kinds.iter().any(|kind| kind == "string"),
        _ => false,
    };
    let mut found = (listed, text && !listed);
    let below = ["anyOf", "oneOf", "allOf"]
        .into_iter()
        .filter_map(|key| part.get(key)?.as_array())
        .flatten()
        .chain(part.get("items"))
        .chain(referred(all, part));
    if depth < 8 {
        for part in below {
            let (listed, text) = allows(all, part, depth + 1);
            found = (found.0 || listed, found.1 || text);
        }
    }
    found
}

fn referred<'s>(all: &'s Value, part: &Value) -> Option<&'s Value> {
    let name = part.get("$ref")?.as_str()?.rsplit('/').next()?;
    all["$defs"].get(name)
}

/// Holds each field below a part of the schema against `is_chosen`; how many are chosen from a list.
fn hold(all: &Value, kind: Kind, part: &Value, depth: usize) -> usize {
    let mut chosen = 0;
    for (name, part) in part["properties"].as_object().into_iter().flatten() {
        let (listed, text) = allows(all, part, 0);
        assert!(!(listed && text), "{kind:?} {name}: it may be either");
        if listed || text {
            assert_eq!(is_chosen(kind, name), listed, "{kind:?} {name}");
        }
        chosen += usize::from(listed);
    }
    let below: Vec<&Value> = match part {
        Value::Array(parts) => parts.iter().collect(),
        Value::Object(parts) => parts.values().chain(referred(all, part)).collect(),
        _ => Vec::new(),
    };
    if depth < 24 {
        chosen += below
            .into_iter()
            .map(|part| hold(all, kind, part, depth + 1))
            .sum::<usize>();
    }
    chosen
}

#[test]
fn what_is_chosen_and_what_is_written_are_told_apart_as_the_schema_does() {
    let all = schema();
    let mut chosen = 0;
    for &kind in Kind::ALL {
        let name: String = kind
            .as_str()
            .split('_')
            .map(|part| part[..1].to_uppercase() + &part[1..])
            .collect();
        let part = &all["$defs"][format!("{name}Record")];
        assert!(part.is_object(), "{kind:?} is not in the schema");
        chosen += hold(&all, kind, part, 0);
    }
    assert!(chosen > 40, "{chosen}: the schema reads otherwise");
}

#[test]
fn no_words_are_made_up() {
    assert!(field("no_such_field").is_none());
    assert!(choice("no_such_choice").is_none());
}
