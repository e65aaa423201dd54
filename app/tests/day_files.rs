//! Day files by the commands: out of one book, into another.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod common;

use std::path::Path;
use std::process::Command;

use common::{SAMPLES, run, sample_book};

#[test]
fn a_day_goes_from_the_reps_book_to_the_offices() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    sample_book(at);
    let (_, id) = SAMPLES[2];
    let sent = run(
        at,
        &format!("export {} --book book.taut --out monday.zip", &id[..8]),
    )
    .fine();
    assert!(sent.out.contains("463 records"), "{sent:?}");
    assert!(sent.err.is_empty(), "{sent:?}");
    let taken = run(at, "import monday.zip --book office.taut").fine();
    assert!(
        taken
            .out
            .contains("reading            319 added      0 changed      0 unchanged"),
        "{taken:?}"
    );
    let again = run(at, "import monday.zip --book office.taut").fine();
    assert!(
        again
            .out
            .contains("     0 added      0 changed    463 unchanged"),
        "{again:?}"
    );
    let show = |book: &str| {
        run(at, &format!("show {id} --json --book {book}"))
            .fine()
            .out
    };
    assert_eq!(show("book.taut"), show("office.taut"));
    run(at, "check --book office.taut").fine();
}

#[test]
fn a_folder_of_files_is_taken_in_whole() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    sample_book(at);
    std::fs::create_dir(at.join("reps")).unwrap();
    for (n, (_, id)) in SAMPLES.iter().enumerate() {
        run(
            at,
            &format!("export {id} --book book.taut --out reps/{n}.zip"),
        )
        .fine();
    }
    std::fs::write(at.join("reps/notes.txt"), "not for the book").unwrap();
    std::fs::write(at.join("reps/z.zip"), "PK but no more").unwrap();
    let taken = run(at, "import reps --book office.taut");
    assert_eq!(taken.code, Some(1), "one of them is bad: {taken:?}");
    assert!(taken.err.contains("z.zip"), "{taken:?}");
    assert!(!taken.err.contains("notes.txt"), "{taken:?}");
    let listed = run(at, "show --book office.taut").fine().out;
    for (_, id) in SAMPLES {
        assert!(listed.contains(&id[..8]), "{listed}");
    }
    std::fs::create_dir(at.join("none")).unwrap();
    run(at, "import none --book office.taut").refused(&["no day file", "none"]);
}

#[test]
fn a_locked_file_needs_its_passphrase() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    sample_book(at);
    std::fs::write(
        at.join("secret"),
        "pallet corner board\nand a second line\n",
    )
    .unwrap();
    std::fs::write(at.join("wrong"), "another one\n").unwrap();
    std::fs::write(at.join("empty"), "\n").unwrap();
    let export = "export --day 2026-03-11 --book book.taut --out day.zip.age";
    run(at, export).refused(&["--passphrase-file"]);
    run(at, &format!("{export} --passphrase-file empty")).refused(&["first line"]);
    run(at, &format!("{export} --passphrase-file secret")).fine();
    let import = "import day.zip.age --book office.taut";
    run(at, import).refused(&["passphrase it was sent with"]);
    run(at, &format!("{import} --passphrase-file wrong")).refused(&["does not open"]);
    run(at, &format!("{import} --passphrase-file secret")).fine();
}

#[test]
fn what_cannot_be_written_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    sample_book(at);
    let to = |arguments: &str| run(at, &format!("export {arguments} --book book.taut"));
    to("latest --out day.tar").refused(&[".zip", ".json", "day.tar"]);
    to("--day 2020-01-01 --out day.zip").refused(&["no visit of 2020-01-01"]);
    let two = format!("{} {}", SAMPLES[0].1, SAMPLES[1].1);
    to(&two).refused(&["one visit", "--out FILE.zip"]);
    to(&format!("{two} --out both.zip")).fine();
    to("latest --out both.zip").refused(&["there already"]);
    to("latest --out nowhere/day.zip").refused(&["nowhere/day.zip"]);
    assert_eq!(to("").code, Some(2));
    assert_eq!(to("--day tomorrow --out day.zip").code, Some(2));
}

/// By Python's jsonschema, which shares no code with what wrote the schemas.
#[test]
fn the_texts_in_a_day_file_are_valid_by_the_kept_schemas() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    sample_book(at);
    let all: Vec<&str> = SAMPLES.iter().map(|(_, id)| *id).collect();
    run(
        at,
        &format!("export {} --book book.taut --out all.zip", all.join(" ")),
    )
    .fine();
    let script = "
import json, pathlib, sys, zipfile
import jsonschema
z = zipfile.ZipFile(sys.argv[1])
for name in ('manifest', 'records', 'history'):
    schema = json.loads(pathlib.Path(sys.argv[2], name + '.schema.json').read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    content = json.loads(z.read(name + '.json'))
    validator.validate(content)
    spoilt = dict(content, more=1)
    if name != 'records':
        assert not validator.is_valid(spoilt), name
print('valid')
";
    let schemas = Path::new(env!("CARGO_MANIFEST_DIR")).join("../core/schema");
    let ran = Command::new("python3")
        .args(["-c", script])
        .arg(at.join("all.zip"))
        .arg(schemas)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&ran.stderr);
    assert_eq!(
        String::from_utf8_lossy(&ran.stdout).trim(),
        "valid",
        "{said}"
    );
}
