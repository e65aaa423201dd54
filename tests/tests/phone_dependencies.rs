//! What the phone links: no C library other than SQLite's own source.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use serde_json::{Value, json};

/// The phone of the Android shell.
const TARGET: &str = "aarch64-linux-android";

/// The one native library that may be linked: its source is compiled with the app.
const ALLOWED: &str = "libsqlite3-sys";

/// Of the crates in `linked`, name and version as `cargo tree` writes them, those that link a
/// native library or wrap one.
fn native(metadata: &Value, linked: &BTreeSet<String>) -> BTreeSet<String> {
    metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|package| {
            let (name, version) = (&package["name"], &package["version"]);
            linked.contains(&format!(
                "{} v{}",
                name.as_str().unwrap(),
                version.as_str().unwrap()
            ))
        })
        .map(|package| {
            (
                package["name"].as_str().unwrap(),
                !package["links"].is_null(),
            )
        })
        .filter(|(name, links)| {
            // Bindings to the platform's own calls, by number or by declaration, and a name that
            // is only to be linked once: no C library to build or to find.
            let harmless = matches!(
                *name,
                "linux-raw-sys" | "jni-sys" | "ndk-sys" | "rayon-core"
            );
            !harmless && (*links || name.ends_with("-sys"))
        })
        .map(|(name, _)| name.to_owned())
        .collect()
}

fn cargo(arguments: &[&str]) -> String {
    let output = Command::new(env!("CARGO"))
        .args(arguments)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(".."))
        .output()
        .unwrap();
    assert!(
        output.status.success(),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_screens_and_the_core_need_no_c_library_but_sqlite() {
    let tree = cargo(&[
        "tree",
        "--package",
        "tautbook-ui",
        "--edges",
        "normal,no-proc-macro",
        "--target",
        TARGET,
        "--locked",
        "--offline",
        "--prefix",
        "none",
        "--format",
        "{p}",
    ]);
    let linked: BTreeSet<String> = tree
        .lines()
        .map(|line| line.split(' ').take(2).collect::<Vec<_>>().join(" "))
        .collect();
    assert!(linked.len() > 100 && linked.iter().any(|name| name.starts_with("slint v")));
    let metadata = cargo(&["metadata", "--format-version", "1", "--locked", "--offline"]);
    let metadata: Value = serde_json::from_str(&metadata).unwrap();
    assert_eq!(
        native(&metadata, &linked),
        BTreeSet::from([ALLOWED.to_owned()])
    );
}

#[test]
fn a_c_library_in_the_tree_would_be_seen() {
    let package =
        |name: &str, links: Value| json!({"name": name, "version": "1.0.0", "links": links});
    let metadata = json!({"packages": [
        package("middle", Value::Null), package("openssl-sys", json!("openssl")),
        package("lame", json!("mp3lame")), package("linux-raw-sys", Value::Null),
        package("zstd-sys", json!("zstd")),
    ]});
    let linked =
        ["middle", "openssl-sys", "lame", "linux-raw-sys"].map(|name| format!("{name} v1.0.0"));
    assert_eq!(
        native(&metadata, &BTreeSet::from(linked)),
        BTreeSet::from(["lame".to_owned(), "openssl-sys".to_owned()])
    );
}
