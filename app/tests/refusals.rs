//! Bad input: each is refused with a reason and nothing is changed.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod common;

use std::path::Path;

use common::{SAMPLES, command_of, run, run_command, sample, sample_book};

const ON_A_BOOK: [&str; 3] = ["show", "check", "export latest"];

/// Every command that reads a book, and one that writes.
fn all_refuse(folder: &Path, book: &str, words: &[&str]) {
    for command in ON_A_BOOK {
        run(folder, &format!("{command} --book {book}")).refused(words);
    }
}

#[test]
fn a_book_that_is_not_there() {
    let folder = tempfile::tempdir().unwrap();
    all_refuse(
        folder.path(),
        "none.taut",
        &["there is no book at none.taut", "check the name"],
    );
    assert!(
        !folder.path().join("none.taut").exists(),
        "none is started by looking"
    );
    let file = sample("tile-maker");
    let import = format!("import {} --book nowhere/b.taut", file.display());
    run(folder.path(), &import).refused(&["there is no folder nowhere", "make it first"]);
    run(folder.path(), "recover none.taut --to new.taut").refused(&["there is no book"]);
}

#[test]
fn a_file_that_is_no_book() {
    let folder = tempfile::tempdir().unwrap();
    let letter = "Dear customer, the film came loose again.";
    std::fs::write(folder.path().join("letter.txt"), letter).unwrap();
    let other = rusqlite::Connection::open(folder.path().join("other.db")).unwrap();
    other
        .execute_batch("CREATE TABLE songs (name); PRAGMA user_version = 1;")
        .unwrap();
    drop(other);
    let before = std::fs::read(folder.path().join("other.db")).unwrap();
    let file = sample("tile-maker");
    for foreign in ["letter.txt", "other.db", "."] {
        let words = ["is not a Tautbook book and was left as it is"];
        all_refuse(folder.path(), foreign, &words);
        let import = format!("import {} --book {foreign}", file.display());
        run(folder.path(), &import).refused(&words);
    }
    assert_eq!(
        std::fs::read(folder.path().join("letter.txt")).unwrap(),
        letter.as_bytes()
    );
    assert_eq!(
        std::fs::read(folder.path().join("other.db")).unwrap(),
        before
    );
    run(folder.path(), "recover other.db --to new.taut").refused(&["is not a Tautbook book"]);
}

#[test]
fn a_book_of_a_newer_tautbook() {
    let folder = tempfile::tempdir().unwrap();
    let book = sample_book(folder.path());
    let db = rusqlite::Connection::open(&book).unwrap();
    db.pragma_update(None, "user_version", 99).unwrap();
    drop(db);
    let before = std::fs::read(&book).unwrap();
    all_refuse(
        folder.path(),
        "book.taut",
        &["newer Tautbook", "version 99", "update Tautbook"],
    );
    let import = format!("import {} --book book.taut", sample("tile-maker").display());
    run(folder.path(), &import).refused(&["newer Tautbook"]);
    run(folder.path(), "recover book.taut --to new.taut").refused(&["newer Tautbook"]);
    assert_eq!(std::fs::read(&book).unwrap(), before);
    assert!(!folder.path().join("new.taut").exists());
}

#[test]
fn a_damaged_book() {
    let folder = tempfile::tempdir().unwrap();
    let book = sample_book(folder.path());
    let mut bytes = std::fs::read(&book).unwrap();
    let from = usize::from(u16::from_be_bytes([bytes[16], bytes[17]]));
    let to = bytes.len() / 2;
    bytes[from..to].fill(0x5A);
    std::fs::write(&book, &bytes).unwrap();
    let words = ["the book is damaged", "tautbook recover"];
    run(folder.path(), "show --book book.taut").refused(&words);
    run(folder.path(), "check --book book.taut").refused(&["tautbook recover"]);
    assert_eq!(std::fs::read(&book).unwrap(), bytes, "left as it was");

    // Half of the file is gone.
    std::fs::write(&book, &bytes[..to]).unwrap();
    run(folder.path(), "show --book book.taut").refused(&["tautbook recover"]);
}

#[test]
fn files_of_records_that_cannot_be_taken_in() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let sound = std::fs::read_to_string(sample("tile-maker")).unwrap();
    let before = run(folder.path(), "check --book book.taut").fine().out;
    let import = |bytes: &[u8], words: &[&str]| {
        std::fs::write(folder.path().join("in.json"), bytes).unwrap();
        run(folder.path(), "import in.json --book book.taut").refused(words);
        let after = run(folder.path(), "check --book book.taut").fine().out;
        assert_eq!(after, before, "nothing was taken in");
    };
    let half = &sound.as_bytes()[..sound.len() / 2];
    import(half, &["in.json", "not a whole file", "sent again"]);
    import(b"", &["not a whole file"]);
    import(&[0xFF, 0xFE, 0x00], &["not a whole file"]);
    let latin = sound
        .replace("Harrow Tile", "Harrow T\u{1}le")
        .replace('\u{1}', "\u{e9}");
    let latin: Vec<u8> = latin
        .chars()
        .map(|letter| u8::try_from(u32::from(letter)).unwrap_or(b'?'))
        .collect();
    import(&latin, &["in.json", "not a whole file"]);
    import(b"{\"songs\": []}", &["not a file of Tautbook's records"]);
    let newer = sound.replacen("\"version\": 1", "\"version\": 8", 1);
    import(newer.as_bytes(), &["newer Tautbook", "version 8"]);
    let unknown = sound.replacen("\"site\":", "\"mood\": \"fine\",\n   \"site\":", 1);
    import(
        unknown.as_bytes(),
        &["does not know", "records.visits.0.mood"],
    );
    let contradicted = sound.replacen("\"entered\": \"27.5 N\"", "\"entered\": \"72.5 N\"", 1);
    assert_ne!(contradicted, sound);
    import(
        contradicted.as_bytes(),
        &["a record in this file cannot be read", "72.5"],
    );
    let mut orphans: serde_json::Value = serde_json::from_str(&sound).unwrap();
    orphans["records"]["loads"][0]["id"] = "01900000-0000-7000-8000-000000000001".into();
    orphans["records"]["loads"][0]["setup"] = "01900000-0000-7000-8000-000000000000".into();
    import(
        orphans.to_string().as_bytes(),
        &["nothing of this file was taken in", "load: setup names"],
    );
    run(folder.path(), "import missing.json --book book.taut").refused(&["could not be read"]);
}

#[test]
fn one_bad_file_does_not_keep_the_others_out() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("bad.json"), "{").unwrap();
    let good = sample("tile-maker");
    let import = format!("import bad.json {} --book b.taut", good.display());
    let ran = run(folder.path(), &import);
    assert_eq!(ran.code, Some(1), "{ran:?}");
    assert!(ran.err.contains("bad.json"), "{ran:?}");
    assert!(ran.out.contains("464 added"), "{ran:?}");
}

#[test]
fn a_visit_that_is_not_one() {
    let folder = tempfile::tempdir().unwrap();
    sample_book(folder.path());
    let show = |visit: &str| run(folder.path(), &format!("show {visit} --book book.taut"));
    let ambiguous = show("019d").refused(&["2 visits", "type more"]);
    for (_, id) in &SAMPLES[..2] {
        assert!(ambiguous.err.contains(id), "{ambiguous:?}");
    }
    show("tomorrow").refused(&["no visit has an id that begins with 'tomorrow'"]);
    show("019D2582").fine();
    show("latest").fine();
    run(folder.path(), "recover book.taut --to empty.taut").fine();
    let nothing = r#"{"format": "tautbook-records", "version": 1, "records": {}}"#;
    std::fs::write(folder.path().join("nothing.json"), nothing).unwrap();
    run(folder.path(), "import nothing.json --book none.taut").fine();
    run(folder.path(), "show latest --book none.taut").refused(&["no visit in this book"]);
    let listed = run(folder.path(), "show --book none.taut").fine().out;
    assert_eq!(listed, "No visits yet.\n");
}

/// A folder that may not be written, by a person for whom that holds: root is bound by no
/// permission bits, so a test run by root runs the program as the user `nobody`.
#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written() {
    use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
    use std::os::unix::process::CommandExt as _;

    const NOBODY: u32 = 65_534;
    let set = |path: &Path, bits: u32| {
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(bits)).unwrap();
    };
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    let book = sample_book(path);
    let root = std::fs::metadata(path).unwrap().uid() == 0;
    let program = path.join("program");
    std::fs::copy(env!("CARGO_BIN_EXE_tautbook"), &program).unwrap();
    std::fs::copy(sample("tile-maker"), path.join("in.json")).unwrap();
    set(&program, 0o555);
    set(&path.join("in.json"), 0o444);
    set(&book, 0o444);
    set(path, 0o555);
    let run_as = |arguments: &str| {
        let mut command = command_of(&program, path);
        command.args(arguments.split_whitespace());
        if root {
            command.uid(NOBODY).gid(NOBODY);
        }
        run_command(&mut command)
    };
    let before = std::fs::read(&book).unwrap();
    let writes = [
        ("import in.json --book book.taut", "read-only"),
        ("import in.json --book new.taut", "read-only"),
        ("import in.json", "could not be made"),
        (
            "export latest --book book.taut --out out.json",
            "could not be written",
        ),
        ("recover book.taut --to new.taut", "Permission denied"),
    ];
    let wrote: Vec<_> = writes
        .iter()
        .map(|(line, word)| (run_as(line), word))
        .collect();
    let reads: Vec<_> = ["show latest --book book.taut", "check --book book.taut"]
        .map(run_as)
        .into();
    set(path, 0o755); // So that the folder can be removed.
    for (ran, word) in wrote {
        ran.refused(&[word]);
    }
    for ran in reads {
        ran.fine();
    }
    assert_eq!(std::fs::read(&book).unwrap(), before);
    assert!(!path.join("new.taut").exists() && !path.join("out.json").exists());
}
