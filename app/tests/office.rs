//! `tautbook sites`, `follow-up`, `label` and `find` as processes.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod common;

use common::{SAMPLES, run, sample, sample_book};
use serde_json::Value;

/// The records of a sample survey.
fn records(name: &str) -> Value {
    let text = std::fs::read_to_string(sample(name)).unwrap();
    serde_json::from_str::<Value>(&text).unwrap()["records"].take()
}

fn list<'r>(records: &'r Value, kind: &str) -> Vec<&'r Value> {
    let all = records[kind].as_array().unwrap().iter();
    all.filter(|record| record["set_aside"].is_null()).collect()
}

fn of_method(records: &Value, method: &str) -> usize {
    let readings = list(records, "readings").into_iter();
    readings
        .filter(|reading| reading["measure"]["method"] == method)
        .count()
}

#[test]
fn every_site_is_listed_with_what_its_survey_holds() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let said = run(folder.path(), "sites --json --book book.taut")
        .fine()
        .out;
    let json: Value = serde_json::from_str(&said).unwrap();
    let schema = run(folder.path(), "schema sites").fine().out;
    let schema: Value = serde_json::from_str(&schema).unwrap();
    jsonschema::validate(&schema, &json).unwrap();
    let sites = json["sites"].as_array().unwrap();
    assert_eq!(sites.len(), SAMPLES.len());
    for (name, _) in SAMPLES {
        let records = records(name);
        let visit = &records["visits"][0];
        let site = sites
            .iter()
            .find(|site| site["customer"] == visit["customer"])
            .unwrap();
        assert_eq!(site["last_date"], visit["date"]);
        assert_eq!(site["last_rep"], visit["rep"]);
        assert_eq!(site["lines"], list(&records, "lines").len());
        assert_eq!(
            site["torsion_tool_readings"],
            of_method(&records, "torsion_tool")
        );
        assert_eq!(
            site["pull_plate_readings"],
            of_method(&records, "pull_plate")
        );
        let open = list(&records, "findings").into_iter();
        let open = open.filter(|finding| finding["state"] == "open").count();
        assert_eq!(
            site["open_findings"].as_array().unwrap().len(),
            open,
            "{name}"
        );
        assert_eq!(site["values_to_look_through"], 0);
        // The sum over lines lies between its limits, and they are in order.
        let saved = &site["film_saved_a_year"];
        if !saved.is_null() {
            let of = |key: &str| saved[key].as_f64().unwrap();
            assert!(of("low_kg") <= of("estimate_kg") && of("estimate_kg") <= of("high_kg"));
        }
    }
    let text = run(folder.path(), "sites --book book.taut").fine().out;
    for word in [
        "Harrow Tile, Kiln Lane",
        "by the torsion tool",
        "All: 3 sites, 3 visits, 60 loads measured; readings: 540 by the torsion tool",
    ] {
        assert!(text.contains(word), "{word}: {text}");
    }
}

/// A second visit to a site: the same survey under other ids, a day later, with nothing else changed.
fn again(name: &str) -> String {
    let text = std::fs::read_to_string(sample(name)).unwrap();
    let json: Value = serde_json::from_str(&text).unwrap();
    let date = json["records"]["visits"][0]["date"].as_str().unwrap();
    let later: chrono::NaiveDate = date.parse().unwrap();
    let later = later.succ_opt().unwrap().to_string();
    // Every id begins with the time it was made: a later one, the same everywhere.
    let mut ids: Vec<String> = Vec::new();
    for records in json["records"].as_object().unwrap().values() {
        for record in records.as_array().into_iter().flatten() {
            ids.push(record["id"].as_str().unwrap().to_owned());
        }
    }
    let tools: Vec<&str> = json["records"]["tools"]
        .as_array()
        .unwrap()
        .iter()
        .map(|tool| tool["id"].as_str().unwrap())
        .collect();
    let mut text = text.replace(
        &format!("\"date\": \"{date}\""),
        &format!("\"date\": \"{later}\""),
    );
    for id in ids.iter().filter(|id| !tools.contains(&id.as_str())) {
        let first = u8::from_str_radix(&id[..2], 16).unwrap() + 1;
        text = text.replace(id, &format!("{first:02x}{}", &id[2..]));
    }
    text
}

#[test]
fn a_line_seen_again_unchanged_shows_no_change() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    std::fs::write(folder.path().join("again.json"), again("tile-maker")).unwrap();
    run(folder.path(), "import again.json --book book.taut").fine();
    let text = run(folder.path(), "show --book book.taut").fine().out;
    let visits = text
        .lines()
        .filter(|line| line.contains("Harrow Tile"))
        .count();
    assert_eq!(visits, 2, "{text}");
    let id = run(folder.path(), "sites --json --book book.taut")
        .fine()
        .out;
    let json: Value = serde_json::from_str(&id).unwrap();
    let site = json["sites"].as_array().unwrap();
    let site = site
        .iter()
        .find(|site| site["customer"] == "Harrow Tile")
        .unwrap();
    assert_eq!(site["visits"], 2);
    assert_eq!(site["lines"], 2, "lines of one name are one");
    let last = site["last_visit"].as_str().unwrap();
    let text = run(folder.path(), &format!("follow-up {last} --book book.taut"))
        .fine()
        .out;
    for words in [
        "Hall 2",
        "On 2026-03-11 it was left: ",
        "Found now: As found",
        "torsion tool, top: mean",
        "pull plate, bottom, faces of",
        "film a load: ",
        "95 % between",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let first = run(folder.path(), "show --book book.taut").fine().out;
    let first = first
        .lines()
        .map(str::trim)
        .find(|line| line.contains("line") && !line.starts_with(last));
    let first = first.unwrap().split_whitespace().next().unwrap().to_owned();
    let text = run(
        folder.path(),
        &format!("follow-up {first} --book book.taut"),
    )
    .fine()
    .out;
    assert!(text.contains("Not seen on an earlier visit"), "{text}");
}

#[test]
fn a_label_that_was_printed_finds_its_sample() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let records = records("tile-maker");
    let id = records["samples"][0]["id"].as_str().unwrap();
    let said = run(
        folder.path(),
        &format!("label {id} --out label.png --book book.taut"),
    )
    .fine()
    .out;
    let code = said
        .lines()
        .nth(1)
        .unwrap()
        .split_whitespace()
        .next()
        .unwrap();
    let found = run(folder.path(), "find label.png --book book.taut")
        .fine()
        .out;
    assert!(
        found.contains(id) && found.contains("Harrow Tile"),
        "{found}"
    );
    let typed = run(folder.path(), &format!("find {code} --book book.taut"))
        .fine()
        .out;
    assert_eq!(found, typed);
    run(
        folder.path(),
        &format!("label {code} --out sheet.pdf --paper a4 --language fr --book book.taut"),
    )
    .fine();
    assert!(
        std::fs::read(folder.path().join("sheet.pdf"))
            .unwrap()
            .starts_with(b"%PDF-")
    );

    run(folder.path(), "show --book other.taut").refused(&["other.taut"]);
    run(
        folder.path(),
        &format!(
            "import {} --book other.taut",
            sample("bottling-plant").display()
        ),
    )
    .fine();
    let away = run(folder.path(), "find label.png --book other.taut");
    assert_eq!(away.code, Some(1));
    assert!(
        away.err.contains("another device") && away.err.contains("day file"),
        "{}",
        away.err
    );
    let slip = if code.ends_with('7') { "8" } else { "7" };
    let slip = format!("{}{slip}", &code[..code.len() - 1]);
    run(folder.path(), &format!("find {slip} --book book.taut")).refused(&["characters"]);
    run(folder.path(), "find nowhere.jpg --book book.taut")
        .refused(&["no picture", "check the name"]);
    run(
        folder.path(),
        &format!("label {code} --out label.png --book book.taut"),
    )
    .refused(&["already", "name another"]);
    run(
        folder.path(),
        &format!("label {code} --out label.gif --book book.taut"),
    )
    .refused(&[".pdf or .png"]);
}
