//! Each command as a process: what it prints and how it ends.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod common;

use std::io::Read as _;
use std::process::Stdio;

use common::{SAMPLES, command, run, sample, sample_book};

#[test]
fn help_shows_examples_and_exit_codes() {
    let folder = tempfile::tempdir().unwrap();
    let help = run(folder.path(), "--help").fine().out;
    for word in [
        "Examples:",
        "tautbook show latest",
        "Exit codes:",
        "recover",
        "--book",
    ] {
        assert!(help.contains(word), "{word}: {help}");
    }
    for command in [
        "open",
        "demo",
        "show",
        "check",
        "import",
        "export",
        "report",
        "card",
        "label",
        "find",
        "sites",
        "follow-up",
        "tables",
        "recover",
        "schema",
    ] {
        let help = run(folder.path(), &format!("{command} --help")).fine().out;
        assert!(help.contains("Example"), "{help}");
    }
    let version = run(folder.path(), "--version").fine().out;
    assert_eq!(version, format!("tautbook {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn a_command_line_that_is_not_understood_ends_with_2() {
    let folder = tempfile::tempdir().unwrap();
    for wrong in [
        "bake",
        "show a b",
        "import",
        "export",
        "recover a",
        "schema nothing",
        "--book",
    ] {
        let ran = run(folder.path(), wrong);
        assert_eq!(ran.code, Some(2), "{wrong}: {ran:?}");
        assert!(ran.err.contains("--help"), "{ran:?}");
        assert!(ran.out.is_empty(), "{ran:?}");
    }
}

#[test]
fn import_says_what_became_of_every_kind() {
    let folder = tempfile::tempdir().unwrap();
    let file = sample("tile-maker");
    let import = format!("import {} --book b.taut", file.display());
    let first = run(folder.path(), &import).fine();
    assert!(first.err.contains("started a new book"), "{first:?}");
    assert!(
        first
            .out
            .contains("reading            319 added      0 changed      0 unchanged")
    );
    assert!(
        first
            .out
            .contains("in all             464 added      0 changed      0 unchanged")
    );
    let again = run(folder.path(), &import).fine();
    assert!(again.err.is_empty(), "{again:?}");
    assert!(
        again
            .out
            .contains("in all               0 added      0 changed    464 unchanged")
    );

    // Somebody changed the notes of one finding later on.
    let text = std::fs::read_to_string(&file).unwrap();
    let mut json: serde_json::Value = serde_json::from_str(&text).unwrap();
    let finding = &mut json["records"]["findings"][0];
    finding["action"] = "Ask the press hall first".into();
    finding["changed"] = "2026-03-12T08:00:00.000+01:00".into();
    std::fs::write(folder.path().join("later.json"), json.to_string()).unwrap();
    let changed = run(folder.path(), "import later.json --book b.taut").fine();
    assert!(
        changed
            .out
            .contains("finding              0 added      1 changed      4 unchanged")
    );
    let shown = run(folder.path(), "show latest --book b.taut").fine().out;
    assert!(shown.contains("Ask the press hall first"));
}

#[test]
fn your_own_book_lives_in_the_data_folder() {
    let folder = tempfile::tempdir().unwrap();
    let import = format!("import {}", sample("tile-maker").display());
    run(folder.path(), &import).fine();
    assert!(folder.path().join("data/tautbook/book.taut").is_file());
    let listed = run(folder.path(), "show").fine().out;
    assert!(listed.contains("Harrow Tile, Kiln Lane"), "{listed}");
    let mut at_home = command(folder.path());
    at_home.env_remove("XDG_DATA_HOME").args(["show"]);
    common::run_command(&mut at_home).refused(&[".local/share/tautbook/book.taut"]);
}

#[test]
fn check_counts_and_finds_no_fault() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let checked = run(folder.path(), "check --book book.taut").fine();
    assert!(
        checked.out.contains("reading             909"),
        "{checked:?}"
    );
    assert!(
        checked.out.contains("visit                 3"),
        "{checked:?}"
    );
    assert!(checked.out.ends_with("No faults.\n"), "{checked:?}");
    assert!(checked.err.is_empty(), "{checked:?}");
}

#[test]
fn export_and_import_give_the_same_visit() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    for (name, id) in SAMPLES {
        let whole = run(folder.path(), &format!("export {id} --book book.taut"))
            .fine()
            .out;
        let to_file = format!("export {} --book book.taut --out {name}.json", &id[..8]);
        assert_eq!(run(folder.path(), &to_file).fine().out, "");
        let file = std::fs::read_to_string(folder.path().join(format!("{name}.json"))).unwrap();
        assert_eq!(file, whole);
        run(
            folder.path(),
            &format!("import {name}.json --book {name}.taut"),
        )
        .fine();
        let json = |book: &str| {
            let shown = run(
                folder.path(),
                &format!("show {id} --json --book {book}.taut"),
            );
            serde_json::from_str::<serde_json::Value>(&shown.fine().out).unwrap()
        };
        let original = json("book");
        assert_eq!(json(name), original);
        let aside = original["records"]["readings"].as_array().unwrap().iter();
        assert_eq!(
            aside
                .filter(|reading| !reading["set_aside"].is_null())
                .count(),
            1
        );
    }
    let ran = run(
        folder.path(),
        "export latest --book book.taut --out tile-maker.json",
    );
    ran.refused(&["is there already", "name another file"]);
}

#[test]
fn the_sample_book_is_made_once_and_again_when_asked() {
    let folder = tempfile::tempdir().unwrap();
    let demo = folder.path().join("data/tautbook/demo.taut");
    // Without a display the window cannot open; the book is made before that.
    let ran = run(folder.path(), "demo");
    assert_eq!(ran.code, Some(1), "{ran:?}");
    let list = |book: &str| {
        run(folder.path(), &format!("show --book {book}"))
            .fine()
            .out
    };
    let made = list("data/tautbook/demo.taut");
    assert_eq!(made.lines().count(), 6, "{made}");
    let before = run(folder.path(), "check --book data/tautbook/demo.taut")
        .fine()
        .out;
    run(folder.path(), "demo");
    let after = run(folder.path(), "check --book data/tautbook/demo.taut")
        .fine()
        .out;
    assert_eq!(after, before, "nothing was taken in twice");
    let fresh = run(folder.path(), "demo --fresh");
    assert!(fresh.err.contains("demo.taut.old-1"), "{fresh:?}");
    assert!(demo.is_file());
    assert_eq!(
        list("data/tautbook/demo.taut.old-1"),
        made,
        "nothing is thrown away"
    );
}

#[test]
fn a_reader_that_has_seen_enough_is_no_error() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let mut show = command(folder.path())
        .args(["show", "latest", "--json", "--book", "book.taut"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = show.stdout.take().unwrap();
    out.read_exact(&mut [0; 10]).unwrap();
    drop(out);
    let ended = show.wait_with_output().unwrap();
    assert_eq!(ended.status.code(), Some(0));
    assert_eq!(String::from_utf8(ended.stderr).unwrap(), "");
}

#[test]
fn recover_saves_what_is_left() {
    let folder = tempfile::tempdir().unwrap();
    let book = sample_book(folder.path());
    let whole = run(folder.path(), "recover book.taut --to whole.taut").fine();
    assert!(whole.out.contains("Every record was saved."), "{whole:?}");

    let mut bytes = std::fs::read(&book).unwrap();
    let page = usize::from(u16::from_be_bytes([bytes[16], bytes[17]]));
    // A third of the way in lie the readings.
    let at = bytes.len() / 3 / page * page;
    bytes[at..at + 3 * page].fill(0);
    std::fs::write(folder.path().join("bad.taut"), &bytes).unwrap();

    let checked = run(folder.path(), "check --book bad.taut");
    checked.refused(&["tautbook recover bad.taut --to NEW"]);
    let saved = run(folder.path(), "recover bad.taut --to good.taut");
    let saved = saved.refused(&["not everything could be saved: keep bad.taut"]);
    assert!(saved.out.contains("Not saved ("), "{saved:?}");
    assert_eq!(
        std::fs::read(folder.path().join("bad.taut")).unwrap(),
        bytes
    );
    let checked = run(folder.path(), "check --book good.taut").fine();
    assert!(checked.out.ends_with("No faults.\n"), "{checked:?}");
    let listed = run(folder.path(), "show --book good.taut").fine().out;
    assert_eq!(listed.lines().count(), 6, "{listed}");
    let again = run(folder.path(), "recover bad.taut --to good.taut");
    again.refused(&["is there already", "name a new file"]);
}
