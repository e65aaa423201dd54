//! What `show` prints, and the schemas of its JSON form and of files of records.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod common;

use std::path::{Path, PathBuf};

use common::{SAMPLES, run, sample, sample_book};
use serde_json::Value;

/// Set to write the kept files anew instead of comparing with them.
const UPDATE: &str = "UPDATE_EXPECTED";

/// Compares with a kept file, or writes it.
#[track_caller]
fn as_kept(kept: &str, text: &str) {
    let path: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join(kept);
    if std::env::var_os(UPDATE).is_some() {
        std::fs::write(path, text).unwrap();
        return;
    }
    let expected = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        expected == text,
        "{kept} is not what is printed now. If that is meant, write it anew with \
         `{UPDATE}=1 cargo test -p tautbook --test show` and look at the difference. First \
         difference: {:?}",
        expected
            .lines()
            .zip(text.lines())
            .find(|(old, new)| old != new)
    );
}

#[test]
fn a_visit_reads_as_it_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let shown = run(folder.path(), "show latest --book book.taut").fine();
    assert_eq!(shown.err, "");
    as_kept("tests/expected/parts-warehouse.txt", &shown.out);
    let listed = run(folder.path(), "show --book book.taut").fine();
    as_kept("tests/expected/list.txt", &listed.out);
}

#[test]
fn no_line_is_wider_than_the_page() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    for (_, id) in SAMPLES {
        let text = run(folder.path(), &format!("show {id} --book book.taut"))
            .fine()
            .out;
        for line in text.lines() {
            assert!(line.chars().count() <= 100, "{line}");
            assert_eq!(line, line.trim_end());
        }
    }
}

#[test]
fn every_reading_is_shown_as_it_was_entered() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    for (name, id) in SAMPLES {
        let text = run(folder.path(), &format!("show {id} --book book.taut"))
            .fine()
            .out;
        // Broken lines joined again.
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let file: Value = serde_json::from_slice(&std::fs::read(sample(name)).unwrap()).unwrap();
        for reading in file["records"]["readings"].as_array().unwrap() {
            let entered = reading["measure"]["force"]["entered"].as_str().unwrap();
            let face = reading["face"].as_str().unwrap();
            assert!(
                text.contains(&format!("{entered} {face}")),
                "{name}: {entered} {face}"
            );
        }
        assert_eq!(text.matches("set aside: ").count(), 1, "{name}");
    }
}

/// What the JSON form says of a zone, computed here from the file alone.
#[test]
fn results_are_those_of_the_readings_and_methods_stay_apart() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let mut faces_apart = 0;
    for (name, id) in SAMPLES {
        let shown = run(folder.path(), &format!("show {id} --json --book book.taut"))
            .fine()
            .out;
        let shown: Value = serde_json::from_str(&shown).unwrap();
        let file: Value = serde_json::from_slice(&std::fs::read(sample(name)).unwrap()).unwrap();
        let mut checked = 0;
        let mut apart = 0;
        for load in shown["results"]["loads"].as_array().unwrap() {
            for method in ["torsion_tool", "pull_plate"] {
                for zone in load[method]["zones"].as_array().unwrap() {
                    let mut values = Vec::new();
                    for reading in file["records"]["readings"].as_array().unwrap() {
                        let here = reading["load"] == load["load"]
                            && reading["zone"] == zone["zone"]
                            && reading["measure"]["method"] == method
                            && reading["set_aside"].is_null();
                        if here {
                            values.push(reading["measure"]["force"]["n"].as_f64().unwrap());
                        }
                    }
                    assert_eq!(zone["readings"], values.len());
                    let count = f64::from(u32::try_from(values.len()).unwrap());
                    let mean = values.iter().sum::<f64>() / count;
                    let lowest = values.iter().copied().fold(f64::INFINITY, f64::min);
                    let near = |field: &str, value: f64| {
                        (zone[field].as_f64().unwrap() - value).abs() < 1e-9
                    };
                    assert!(near("lowest_n", lowest), "{zone}");
                    let faces = zone["faces"].as_array().unwrap();
                    if faces.is_empty() {
                        assert!(near("mean_n", mean), "{zone}");
                    } else {
                        // Faces of unlike length are never averaged; together they are all there.
                        assert!(method == "pull_plate" && zone["mean_n"].is_null(), "{zone}");
                        let readings = |face: &Value| face["readings"].as_u64().unwrap();
                        let sum = |face: &Value| {
                            let n = u32::try_from(readings(face)).unwrap();
                            face["mean_n"].as_f64().unwrap() * f64::from(n)
                        };
                        let all: u64 = faces.iter().map(readings).sum();
                        assert_eq!(all, zone["readings"].as_u64().unwrap());
                        let total: f64 = faces.iter().map(sum).sum();
                        assert!((total / count - mean).abs() < 1e-9, "{zone}");
                        apart += 1;
                    }
                    if let Some(target) = zone["target_n"].as_f64() {
                        assert!(near("margin_n", lowest - target), "{zone}");
                        let verdict = if lowest >= target { "reaches" } else { "below" };
                        assert_eq!(zone["verdict"], verdict);
                    } else {
                        assert_eq!(zone["verdict"], "no_target");
                    }
                    checked += 1;
                }
            }
        }
        assert!(checked >= 100, "{checked}");
        faces_apart += apart;
        for setup in shown["results"]["setups"].as_array().unwrap() {
            let used = setup["film"]["film_per_load_kg"].as_f64().unwrap();
            assert!((0.05..0.5).contains(&used), "{setup}");
        }
        let overdue = shown["results"]["tools"].as_array().unwrap().iter();
        let overdue = overdue.filter(|tool| tool["check_overdue"] == true).count();
        assert_eq!(overdue, usize::from(name == "parts-warehouse"));
    }
    assert!(faces_apart > 0, "the samples read faces of unlike length");
}

fn schema(folder: &Path, of: &str) -> (String, jsonschema::Validator) {
    let text = run(folder, &format!("schema {of}")).fine().out;
    let schema: Value = serde_json::from_str(&text).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    let validator = jsonschema::options()
        .should_validate_formats(true)
        .build(&schema)
        .unwrap();
    (text, validator)
}

#[track_caller]
fn valid(validator: &jsonschema::Validator, json: &Value, name: &str) {
    let errors: Vec<String> = validator
        .iter_errors(json)
        .take(3)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(errors.is_empty(), "{name}: {errors:?}");
}

#[test]
fn the_kept_schemas_are_those_of_the_types() {
    let folder = tempfile::tempdir().unwrap();
    as_kept("schema/show.schema.json", &schema(folder.path(), "show").0);
    as_kept(
        "schema/sites.schema.json",
        &schema(folder.path(), "sites").0,
    );
    as_kept(
        "../core/schema/records.schema.json",
        &schema(folder.path(), "records").0,
    );
    as_kept(
        "../core/schema/history.schema.json",
        &schema(folder.path(), "history").0,
    );
    as_kept(
        "../core/schema/manifest.schema.json",
        &schema(folder.path(), "manifest").0,
    );
}

#[test]
fn samples_and_exports_are_valid_by_the_schema_of_records() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let (_, validator) = schema(folder.path(), "records");
    for (name, id) in SAMPLES {
        let bytes = std::fs::read(sample(name)).unwrap();
        let mut file: Value = serde_json::from_slice(&bytes).unwrap();
        valid(&validator, &file, name);
        let exported = run(folder.path(), &format!("export {id} --book book.taut"))
            .fine()
            .out;
        valid(&validator, &serde_json::from_str(&exported).unwrap(), name);

        // And the schema refuses what is wrong.
        let wrong = |change: &dyn Fn(&mut Value)| {
            let mut changed = file.clone();
            change(&mut changed["records"]);
            assert!(!validator.is_valid(&changed), "{name}");
        };
        wrong(&|records| records["readings"][0]["zone"] = "cellar".into());
        wrong(&|records| records["readings"][0]["measure"]["force"]["n"] = "ten".into());
        wrong(&|records| records["readings"][0]["measure"]["method"] = "thumb".into());
        wrong(&|records| records["lines"][0]["visit"] = "no id".into());
        wrong(&|records| records["visits"][0]["date"] = "2026-02-30".into());
        wrong(&|records| records["songs"] = Value::Array(Vec::new()));
        file["format"] = 7.into();
        assert!(!validator.is_valid(&file));
    }
}

#[test]
fn what_show_prints_is_valid_by_its_schema() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let (_, validator) = schema(folder.path(), "show");
    for visit in SAMPLES.iter().map(|(_, id)| *id).chain([""]) {
        let shown = run(
            folder.path(),
            &format!("show {visit} --json --book book.taut"),
        );
        let mut json: Value = serde_json::from_str(&shown.fine().out).unwrap();
        valid(&validator, &json, visit);
        if visit.is_empty() {
            assert_eq!(json["visits"][0]["readings"], 318);
            json["visits"][0]["id"] = 1.into();
        } else {
            json["results"]["setups"][0]["torsion_tool"]["verdict"] = "maybe".into();
        }
        assert!(!validator.is_valid(&json));
    }
}
