//! Programs of others that our files are held against.

use std::process::Command;

/// What a program says on its output. Bytes that are no text, such as poppler writes for signs it
/// cannot tell, become signs of replacement.
///
/// # Panics
/// When it is missing, with the Debian package to install, or when it fails.
#[must_use]
pub fn said(program: &str, package: &str, arguments: &[&str]) -> String {
    let output = Command::new(program)
        .args(arguments)
        .output()
        .unwrap_or_else(|error| panic!("install the Debian package {package}: {error}"));
    assert!(output.status.success(), "{program}: {output:?}");
    String::from_utf8_lossy(&output.stdout).into_owned()
}
