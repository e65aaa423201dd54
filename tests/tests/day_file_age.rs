//! Locked day files and the `age` program (Debian package age, in Go: it shares no code with the
//! crate that locks them here) open each other's.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::Path;
use std::process::Command;

use tautbook_core::dayfile::{DayFile, DayFileError, VerifiedDayFile};
use tautbook_tests::day::{go_on, worked};

const PASSPHRASE: &str = "pallet corner board ñ";

/// `age` asks for passphrases on a terminal only: this gives it one and types at every question.
const TYPIST: &str = r#"
import os, pty, sys
pid, terminal = pty.fork()
if pid == 0:
    os.execvp("age", ["age"] + sys.argv[2:])
said = b""
try:
    while chunk := os.read(terminal, 4096):
        said += chunk
        if said.rstrip().endswith(b":"):
            os.write(terminal, sys.argv[1].encode() + b"\n")
            said = b""
except OSError:
    pass
status = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
sys.exit(f"age: {status} {said.decode()}" if status else 0)
"#;

fn age(passphrase: &str, arguments: &[&str], within: &Path) -> bool {
    let output = Command::new("python3")
        .args(["-c", TYPIST, passphrase])
        .args(arguments)
        .current_dir(within)
        .output()
        .unwrap_or_else(|error| panic!("python3 cannot be run: {error}"));
    println!("{}", String::from_utf8_lossy(&output.stderr));
    output.status.success()
}

#[test]
fn age_is_there() {
    let there = Command::new("age").arg("--version").output();
    assert!(there.is_ok(), "age (Debian package age) is missing");
}

#[test]
fn what_is_locked_here_opens_there_and_the_other_way_round() {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    let (book, visit) = worked(at, "parts-warehouse", 2);
    let day = DayFile {
        visits: vec![visit],
        passphrase: Some(PASSPHRASE.to_owned()),
        ..DayFile::default()
    };
    day.write(&book, &at.join("day.zip.age"), &mut go_on)
        .unwrap();
    assert!(!age(
        "pallet corner board n",
        &["-d", "-o", "wrong.zip", "day.zip.age"],
        at
    ));
    assert!(age(PASSPHRASE, &["-d", "-o", "day.zip", "day.zip.age"], at));
    let plain = VerifiedDayFile::open(&at.join("day.zip"), None, &mut go_on).unwrap();
    let locked =
        VerifiedDayFile::open(&at.join("day.zip.age"), Some(PASSPHRASE), &mut go_on).unwrap();
    assert_eq!(plain.records(), locked.records());
    assert_eq!(plain.manifest(), locked.manifest());

    // And locked there.
    assert!(age(
        PASSPHRASE,
        &["-p", "-o", "again.zip.age", "day.zip"],
        at
    ));
    let open = |name: &str, passphrase| {
        VerifiedDayFile::open(&at.join(name), Some(passphrase), &mut go_on)
    };
    let again = open("again.zip.age", PASSPHRASE).unwrap();
    assert_eq!(again.records(), plain.records());
    assert!(matches!(
        open("again.zip.age", "pallet corner board n"),
        Err(DayFileError::WrongPassphrase)
    ));
}

#[test]
fn a_file_locked_for_a_key_is_told_apart() {
    // The public key of the age specification's test kit (age-encryption.org/testkit).
    const KEY: &str = "age1xmwwc06ly3ee5rytxm9mflaz2u56jjj36s0mypdrwsvlul66mv4q47ryef";
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::write(at.join("day.zip"), b"PK").unwrap();
    assert!(age("", &["-r", KEY, "-o", "day.zip.age", "day.zip"], at));
    let error = VerifiedDayFile::open(&at.join("day.zip.age"), Some(PASSPHRASE), &mut go_on)
        .err()
        .unwrap();
    assert!(matches!(error, DayFileError::WrongPassphrase), "{error}");
}
