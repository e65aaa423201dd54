//! The kept seeds of the fuzzed functions, and thousands of seeded mutations of it.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::{Path, PathBuf};

use tautbook_core::dayfile::DayFile;
use tautbook_tests::day;
use tautbook_tests::fuzzed::{day_members, mutated, taken_in};

fn seeds(name: &str) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("fuzz/seeds")
        .join(name);
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    files.sort();
    files
        .into_iter()
        .map(|path| {
            let bytes = std::fs::read(&path).unwrap();
            (path, bytes)
        })
        .collect()
}

fn replay(name: &str, mutations: u64, run: fn(&[u8])) {
    let seeds = seeds(name);
    assert!(!seeds.is_empty(), "{name}");
    for (path, bytes) in &seeds {
        println!("{}", path.display());
        run(bytes);
        for n in 0..mutations / (seeds.len() as u64) {
            run(&mutated(bytes, n));
        }
    }
}

#[test]
fn day_files() {
    let folder = tempfile::tempdir().unwrap();
    let (book, visit) = day::worked(folder.path(), "parts-warehouse", 1);
    let path = folder.path().join("day.zip");
    let file = DayFile {
        visits: vec![visit],
        ..DayFile::default()
    };
    file.write(&book, &path, &mut day::go_on).unwrap();
    let seed = std::fs::read(path).unwrap();
    taken_in::day_file(&seed);
    for n in 0..600 {
        taken_in::day_file(&mutated(&seed, n));
    }
}

/// The texts inside, past the sums: those of the folder, those of a file written now, and what comes
/// of them.
#[test]
fn texts_of_day_files() {
    let fresh = day_members::seeds();
    if std::env::var_os("UPDATE_EXPECTED").is_some() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/seeds/day_members");
        for (name, text) in &fresh {
            std::fs::write(folder.join(name), text).unwrap();
        }
    }
    let kept = seeds("day_members");
    assert_eq!(kept.len(), fresh.len());
    for (path, bytes) in &kept {
        assert!(day_members::text(bytes), "{}", path.display());
    }
    let (mut taken, mut refused) = (0, 0);
    for (_, seed) in fresh {
        assert!(day_members::text(&seed));
        for n in 0..250 {
            let text = match n % 5 {
                0 => mutated(&seed, n),
                _ => day_members::mutated(&seed, n),
            };
            if day_members::text(&text) {
                taken += 1;
            } else {
                refused += 1;
            }
        }
    }
    println!("{taken} taken in, {refused} refused");
    assert!(taken > 20 && refused > 200, "{taken} {refused}");
}

#[test]
fn pictures() {
    replay("photo_intake", 3_000, taken_in::photo_intake);
}
