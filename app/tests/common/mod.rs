//! Running `tautbook` as a process of its own.

#![allow(dead_code, unreachable_pub)] // Each test file uses a part of this.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The sample surveys and the ids of their visits, latest day first.
pub const SAMPLES: [(&str, &str); 3] = [
    ("parts-warehouse", "019d2582-77d8-7767-b59b-a79924d8cea5"),
    ("bottling-plant", "019d00da-5018-7390-beb1-3b9046685257"),
    ("tile-maker", "019cdbc4-4b58-7e9f-a6e9-d6a12a8161e5"),
];

pub fn sample(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../sample-surveys/{name}.json"))
}

/// A finished run.
#[derive(Debug)]
pub struct Ran {
    pub code: Option<i32>,
    pub out: String,
    pub err: String,
}

impl Ran {
    fn of(output: Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// It did what was asked.
    #[track_caller]
    pub fn fine(self) -> Self {
        assert_eq!(self.code, Some(0), "{self:?}");
        self
    }

    /// It could not, and standard error says each of `words`.
    #[track_caller]
    pub fn refused(self, words: &[&str]) -> Self {
        assert_eq!(self.code, Some(1), "{self:?}");
        assert!(self.err.starts_with("tautbook: "), "{self:?}");
        for word in words {
            assert!(self.err.contains(word), "'{word}' is missing: {self:?}");
        }
        assert!(!self.err.contains("panicked"), "{self:?}");
        self
    }
}

/// A command with a home of its own and no display, run in `folder`.
pub fn command(folder: &Path) -> Command {
    command_of(Path::new(env!("CARGO_BIN_EXE_tautbook")), folder)
}

pub fn command_of(program: &Path, folder: &Path) -> Command {
    let mut command = Command::new(program);
    command
        .current_dir(folder)
        .env("HOME", folder)
        .env("XDG_DATA_HOME", folder.join("data"))
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY");
    command
}

/// Runs `tautbook` with arguments parted by spaces.
pub fn run(folder: &Path, arguments: &str) -> Ran {
    Ran::of(
        command(folder)
            .args(arguments.split_whitespace())
            .output()
            .unwrap(),
    )
}

pub fn run_command(command: &mut Command) -> Ran {
    Ran::of(command.output().unwrap())
}

/// A book of all sample surveys at `book.taut` in `folder`, closed well.
pub fn sample_book(folder: &Path) -> PathBuf {
    let mut import = command(folder);
    import.args(["--book", "book.taut", "import"]);
    for (name, _) in SAMPLES {
        import.arg(sample(name));
    }
    run_command(&mut import).fine();
    folder.join("book.taut")
}
