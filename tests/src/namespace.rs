//! Mounts for one test alone: small disks, read-only folders.

use std::path::{Path, PathBuf};
use std::process::Command;

/// Where a test that runs in its namespace finds its folder.
const FOLDER: &str = "TAUTBOOK_TEST_FOLDER";

/// The folder a test was given by [`run_again`]; `None` before that.
#[must_use]
pub fn given_folder() -> Option<PathBuf> {
    std::env::var_os(FOLDER).map(PathBuf::from)
}

/// Runs the test of that name again, in a mount namespace of its own in which `prepare` was run
/// first: a shell command, as root of that namespace, with the folder as `$1`.
///
/// # Panics
/// When the test fails there, with what it printed.
pub fn run_again(test: &str, folder: &Path, prepare: &str) {
    // Slave mounts: nothing mounted here is seen outside.
    let script = format!(
        "mount --make-rslave / 2>/dev/null; {prepare} && \
         exec \"$0\" --exact {test} --nocapture --test-threads=1"
    );
    let mut command = Command::new("unshare");
    if is_root() {
        command.args(["--mount", "--propagation", "unchanged"]);
    } else {
        command.args(["--mount", "--map-root-user"]);
    }
    let program = std::env::current_exe().unwrap_or_default();
    let output = command
        .args(["sh", "-c", &script])
        .arg(program)
        .arg(folder)
        .env(FOLDER, folder)
        .output();
    match output {
        Ok(output) => assert!(
            output.status.success(),
            "{}{}",
            String::from_utf8_lossy(&output.stdout),
            String::from_utf8_lossy(&output.stderr)
        ),
        Err(error) => panic!("unshare (from util-linux) cannot be run: {error}"),
    }
}

fn is_root() -> bool {
    let id = Command::new("id").arg("-u").output();
    id.is_ok_and(|id| id.stdout.trim_ascii() == b"0")
}
