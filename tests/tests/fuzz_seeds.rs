//! The kept seeds of the fuzzed functions, and thousands of seeded mutations of it.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::{Path, PathBuf};

use tautbook_core::dayfile::DayFile;
use tautbook_tests::day;
use tautbook_tests::fuzzed::{mutated, taken_in};

fn seeds(name: &str) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../fuzz/seeds")
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

#[test]
fn pictures() {
    replay("photo_intake", 3_000, taken_in::photo_intake);
}
