//! Every field of a record, and everything chosen from a list, has a name in a person's words: held
//! against the schema of the records.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeSet;

use serde_json::Value;
use tautbook_core::survey::Kind;
use tautbook_core::words::fields::{choice, field};

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
    serde_json::from_str(include_str!("../schema/records.schema.json")).unwrap()
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

#[test]
fn no_words_are_made_up() {
    assert!(field("no_such_field").is_none());
    assert!(choice("no_such_choice").is_none());
}
