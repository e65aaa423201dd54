//! The texts inside a day file, past its sums: each comes in a file whose list agrees with it, as
//! whoever alters one on purpose would send it.

use std::io::{Cursor, Write};
use std::sync::OnceLock;

use serde_json::{Value, json};
use tautbook_core::book::{Book, Journal};
use tautbook_core::dayfile::{DayFile, RecordsFile, VerifiedDayFile};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::taken_in::says_something;
use crate::day::{self, go_on, sha256};
use crate::photo_store::{picture, started};
use crate::seeded::Seeded;

const MANIFEST: &str = "manifest.json";
const RECORDS: &str = "records.json";
const HISTORY: &str = "history.json";

/// The members of a day file, by name.
type Members = Vec<(String, Vec<u8>)>;

/// A day file of one of each thing that pictures show, and a picture.
#[allow(clippy::unwrap_used)]
fn good() -> &'static Members {
    static GOOD: OnceLock<Members> = OnceLock::new();
    GOOD.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let (mut book, shown) = started(folder.path());
        let kept = book.photo_folder().keep(&picture(0)).unwrap();
        book.act("add_photo", |act| act.add_photo(&kept, shown.load, "front"))
            .unwrap();
        members(&sent(&book))
    })
}

#[allow(clippy::unwrap_used)]
fn sent(book: &Book) -> Vec<u8> {
    let visits = book.visits(0, u32::MAX).unwrap();
    let file = book.path().with_file_name("day.zip");
    let day = DayFile {
        visits: visits.iter().map(|visit| visit.id).collect(),
        ..DayFile::default()
    };
    day.write(book, &file, &mut go_on).unwrap();
    std::fs::read(file).unwrap()
}

#[allow(clippy::unwrap_used)]
fn members(file: &[u8]) -> Members {
    let mut zip = ZipArchive::new(Cursor::new(file)).unwrap();
    let members = (0..zip.len()).map(|n| {
        let mut member = zip.by_index(n).unwrap();
        let mut bytes = Vec::new();
        std::io::Read::read_to_end(&mut member, &mut bytes).unwrap();
        (member.name().unwrap().into_owned(), bytes)
    });
    members.collect()
}

/// The three texts to begin with, and their names.
///
/// # Panics
/// When there is no good day file.
#[must_use]
pub fn seeds() -> Vec<(String, Vec<u8>)> {
    let texts = good().iter();
    texts
        .filter(|(name, _)| [MANIFEST, RECORDS, HISTORY].contains(&name.as_str()))
        .cloned()
        .collect()
}

/// Reads a text as the member it looks like; bytes that are no JSON, as each of them in turn. Says
/// whether a file with it was taken in.
///
/// # Panics
/// When an error says nothing, or what was taken in is not whole.
#[must_use]
pub fn text(bytes: &[u8]) -> bool {
    let Ok(mut json) = serde_json::from_slice::<Value>(bytes) else {
        for name in [MANIFEST, RECORDS, HISTORY] {
            assert!(!taken(&packed(&with(name, bytes))), "it is no JSON");
        }
        return false;
    };
    if json.get("actions").is_some() {
        history(bytes)
    } else if json.get("records").is_some_and(Value::is_object) && json.get("members").is_none() {
        records(bytes)
    } else {
        manifest(bytes, &mut json)
    }
}

/// A history, with the records that it gives.
fn history(bytes: &[u8]) -> bool {
    let mut members = with(HISTORY, bytes);
    let told = serde_json::from_slice::<Journal>(bytes)
        .ok()
        .and_then(|journal| journal.records().ok());
    if let Some(told) = told
        && let Ok(text) = RecordsFile::new(told).write()
    {
        put(&mut members, RECORDS, text.as_bytes());
    }
    taken(&packed(&members))
}

/// Records: as they are beside another history, and taken into a book of their own from which they
/// go out and in again.
#[allow(clippy::unwrap_used)]
fn records(bytes: &[u8]) -> bool {
    let file = match RecordsFile::read(bytes) {
        Ok(file) => file,
        Err(error) => {
            says_something(&error.to_string());
            assert!(!taken(&packed(&with(RECORDS, bytes))));
            return false;
        }
    };
    let folder = tempfile::tempdir().unwrap();
    let mut book = day::empty(folder.path());
    match book.import(&file.records) {
        Err(error) => {
            says_something(&error.to_string());
            assert_eq!(book.visits(0, 1).unwrap(), [], "half of it is there");
            false
        }
        Ok(_) => {
            assert_eq!(book.verify().unwrap().faults, []);
            // A file for every visit that is in use; there may be none.
            book.visits(0, 1).unwrap().is_empty() || taken(&sent(&book))
        }
    }
}

/// A list of members, with the members that there are.
fn manifest(bytes: &[u8], json: &mut Value) -> bool {
    let as_it_is = taken(&packed_with(&with(MANIFEST, bytes), bytes));
    if let Some(members) = json.get_mut("members") {
        *members = listed(good());
        let text = json.to_string();
        return taken(&packed_with(good(), text.as_bytes())) || as_it_is;
    }
    as_it_is
}

/// Takes a day file into a book of its own, twice; whether it was not refused.
#[allow(clippy::unwrap_used)]
fn taken(bytes: &[u8]) -> bool {
    let file = match VerifiedDayFile::from_bytes(bytes.to_vec(), None, &mut go_on) {
        Ok(file) => file,
        Err(error) => {
            says_something(&error.to_string());
            return false;
        }
    };
    let folder = tempfile::tempdir().unwrap();
    let mut book = day::empty(folder.path());
    let before = day::files(folder.path());
    match file.take_into(&mut book, &mut go_on) {
        Err(error) => {
            says_something(&error.to_string());
            assert_eq!(day::files(folder.path()), before, "pictures are left");
            false
        }
        Ok(_) => {
            assert_eq!(book.verify().unwrap().faults, []);
            let again = VerifiedDayFile::from_bytes(bytes.to_vec(), None, &mut go_on).unwrap();
            let again = again.take_into(&mut book, &mut go_on).unwrap();
            assert_eq!((again.merged.learned, again.photos_added), (0, 0));
            true
        }
    }
}

fn with(name: &str, bytes: &[u8]) -> Members {
    let mut members = good().clone();
    put(&mut members, name, bytes);
    members
}

fn put(members: &mut Members, name: &str, bytes: &[u8]) {
    for member in members {
        if member.0 == name {
            member.1 = bytes.to_vec();
        }
    }
}

fn listed(members: &Members) -> Value {
    let sums = members.iter().filter(|(name, _)| name != MANIFEST);
    sums.map(|(name, bytes)| {
        let sum = json!({"bytes": bytes.len(), "sha256": sha256(bytes)});
        (name.clone(), sum)
    })
    .collect::<serde_json::Map<_, _>>()
    .into()
}

/// The members as a file, listed anew if their list can be read.
fn packed(members: &Members) -> Vec<u8> {
    let own = members.iter().find(|(name, _)| name == MANIFEST);
    let own = own.map(|(_, bytes)| bytes.as_slice()).unwrap_or_default();
    match serde_json::from_slice::<Value>(own) {
        Ok(Value::Object(mut list)) => {
            list.insert("members".to_owned(), listed(members));
            packed_with(members, Value::Object(list).to_string().as_bytes())
        }
        _ => packed_with(members, own),
    }
}

#[allow(clippy::unwrap_used)] // Into memory.
fn packed_with(members: &Members, manifest: &[u8]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for (name, bytes) in members {
        zip.start_file(name, options).unwrap();
        let bytes = if name == MANIFEST { manifest } else { bytes };
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// The `n`th mutation of a JSON text that is still JSON: values put in place of others, left out,
/// put twice, numbers and texts of the awkward kind. The same on every run.
#[must_use]
pub fn mutated(text: &[u8], n: u64) -> Vec<u8> {
    let Ok(mut json) = serde_json::from_slice::<Value>(text) else {
        return text.to_vec();
    };
    let mut chance = Seeded::new(n);
    for _ in 0..=chance.below(2) {
        let other = pick(&mut json, &mut chance).clone();
        mutate(pick(&mut json, &mut chance), other, &mut chance);
    }
    json.to_string().into_bytes()
}

/// A value anywhere inside, the deeper ones among them.
fn pick<'v>(value: &'v mut Value, chance: &mut Seeded) -> &'v mut Value {
    let inside = match value {
        Value::Array(list) => list.len(),
        Value::Object(fields) => fields.len(),
        _ => 0,
    };
    if inside == 0 || chance.below(12) == 0 {
        return value;
    }
    let at = chance.index(inside);
    let below = match value {
        Value::Array(list) => list.get_mut(at),
        Value::Object(fields) => fields.values_mut().nth(at),
        _ => None,
    };
    // There are that many.
    pick(below.unwrap_or_else(|| unreachable!("{at}")), chance)
}

fn mutate(value: &mut Value, other: Value, chance: &mut Seeded) {
    match (chance.below(6), &mut *value) {
        (0, _) => *value = other,
        (1 | 2, Value::Array(list)) if !list.is_empty() => {
            let at = chance.index(list.len());
            let again = list.remove(at);
            if chance.below(2) == 0 {
                let to = chance.index(list.len() + 1);
                list.insert(to, again.clone());
                list.push(again);
            }
        }
        (1 | 2, Value::Object(fields)) if !fields.is_empty() => {
            let at = chance.index(fields.len());
            let key = fields.keys().nth(at).cloned().unwrap_or_default();
            if let Some(taken) = fields.remove(&key)
                && chance.below(2) == 0
            {
                fields.insert(format!("{key}s"), taken);
            }
        }
        (_, Value::Number(number)) => {
            let awkward = [
                json!(0),
                json!(-1),
                json!(1e308),
                json!(5e-324),
                json!(-0.0),
                json!(i64::MIN),
                json!(i64::MAX),
                json!(u64::MAX),
                json!(number.as_f64().unwrap_or(1.0) * 1.000_000_1),
            ];
            *value = chance.pick(&awkward).clone();
        }
        (_, Value::String(text)) => {
            let awkward = [
                String::new(),
                "\0".to_owned(),
                "9999-12-31T23:59:59.999+23:59".to_owned(),
                "0000-01-01".to_owned(),
                "00000000-0000-0000-0000-000000000000".to_owned(),
                "1e400 lb".to_owned(),
                "x".repeat(70_000),
                format!("{text}\u{202e}"),
            ];
            *value = chance.pick(&awkward).clone().into();
        }
        _ => *value = [json!(null), json!(true), json!([]), json!({})][chance.index(4)].clone(),
    }
}
