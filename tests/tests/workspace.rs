//! The shape of the repository: what lies at its top, and which way the arrows between its crates
//! point.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .unwrap()
        .to_owned()
}

#[test]
fn the_top_level_is_what_it_promises() {
    let listed = Command::new("git")
        .args(["ls-files"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(listed.status.success(), "{listed:?}");
    let listed = String::from_utf8(listed.stdout).unwrap();
    let top: BTreeSet<&str> = listed
        .lines()
        .map(|path| path.split('/').next().unwrap())
        .filter(|name| !name.starts_with('.'))
        .collect();
    let promised = BTreeSet::from([
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE-APACHE",
        "LICENSE-MIT",
        "README.md",
        "android",
        "app",
        "core",
        "lang",
        "run",
        "sample-surveys",
        "test",
        "tests",
        "ui",
    ]);
    assert_eq!(top, promised);
}

/// Which of our crates each of our crates depends on, other than for tests.
fn arrows(metadata: &Value) -> BTreeMap<String, BTreeSet<String>> {
    let ours = |name: &str| name.starts_with("tautbook");
    metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|package| ours(package["name"].as_str().unwrap()))
        .map(|package| {
            let on = package["dependencies"]
                .as_array()
                .unwrap()
                .iter()
                .filter(|dependency| dependency["kind"] != "dev")
                .map(|dependency| dependency["name"].as_str().unwrap().to_owned())
                .filter(|name| ours(name))
                .collect();
            (package["name"].as_str().unwrap().to_owned(), on)
        })
        .collect()
}

#[test]
fn arrows_point_one_way() {
    let output = Command::new(env!("CARGO"))
        .args([
            "metadata",
            "--format-version",
            "1",
            "--no-deps",
            "--offline",
        ])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    let arrows = arrows(&serde_json::from_slice(&output.stdout).unwrap());
    let on = |names: &[&str]| {
        names
            .iter()
            .map(|name| (*name).to_owned())
            .collect::<BTreeSet<_>>()
    };
    assert_eq!(arrows["tautbook-core"], on(&[]));
    assert_eq!(arrows["tautbook-screens"], on(&[]));
    assert_eq!(
        arrows["tautbook-ui"],
        on(&["tautbook-core", "tautbook-screens"])
    );
    assert_eq!(arrows["tautbook"], on(&["tautbook-core", "tautbook-ui"]));
}

#[test]
fn every_crate_keeps_the_lints_and_versions_of_the_one_table() {
    for member in ["core", "ui", "ui/slint", "app", "tests"] {
        let text = std::fs::read_to_string(root().join(member).join("Cargo.toml")).unwrap();
        assert!(
            text.contains("[lints]\nworkspace = true"),
            "{member}: lints"
        );
        let mut table = "";
        for line in text.lines() {
            if line.starts_with('[') {
                table = line;
            } else if table.contains("dependencies]") && line.contains('=') {
                assert!(line.contains("workspace = true"), "{member}: {line}");
            }
        }
    }
}
