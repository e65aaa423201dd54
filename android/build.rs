//! Compares what our headers say of the platform with what the `libc` crate says: a constant or a size
//! that differs does not compile.

use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

const FACTS: &str = "platform/facts.txt";
const HEADERS: [&str; 14] = [
    "ctype.h",
    "dlfcn.h",
    "errno.h",
    "fcntl.h",
    "pthread.h",
    "stdio.h",
    "stdlib.h",
    "string.h",
    "sys/mman.h",
    "sys/stat.h",
    "sys/time.h",
    "sys/types.h",
    "time.h",
    "unistd.h",
];

fn main() {
    println!("cargo::rerun-if-changed={FACTS}");
    println!("cargo::rerun-if-changed=platform/headers");
    println!("cargo::rerun-if-env-changed=CC_aarch64_linux_android");
    let out = std::env::var("OUT_DIR").unwrap_or_default();
    let into = Path::new(&out).join("facts.rs");
    let Ok(compiler) = std::env::var("CC_aarch64_linux_android") else {
        write(&into, "");
        return;
    };
    let facts = std::fs::read_to_string(FACTS).unwrap_or_default();
    let facts: Vec<Vec<&str>> = facts
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.split(' ').collect())
        .collect();
    let mut source = String::new();
    for header in HEADERS {
        let _ = writeln!(source, "#include <{header}>");
    }
    for (n, fact) in facts.iter().enumerate() {
        let what = match fact.as_slice() {
            ["constant", name] => (*name).to_owned(),
            ["size", name] => format!("sizeof({})", named(name)),
            ["offset", of, field, ..] => format!("offsetof(struct {of}, {field})"),
            other => panic!("{FACTS}: {other:?} is no fact"),
        };
        let _ = writeln!(source, "const long long fact_{n} = {what};");
    }
    let file = Path::new(&out).join("facts.c");
    write(&file, &source);
    let said = Command::new(compiler)
        .args(["-S", "-emit-llvm", "-o", "-"])
        .arg(&file)
        .output();
    let said = match said {
        Ok(said) if said.status.success() => String::from_utf8_lossy(&said.stdout).into_owned(),
        Ok(said) => panic!("{}", String::from_utf8_lossy(&said.stderr)),
        Err(error) => panic!("the headers cannot be read: {error}"),
    };
    let mut checks = String::new();
    for (n, fact) in facts.iter().enumerate() {
        let ours = said
            .lines()
            .find_map(|line| line.strip_prefix(&format!("@fact_{n} = ")))
            .and_then(|line| {
                line.split("i64 ")
                    .nth(1)?
                    .split(',')
                    .next()?
                    .parse::<i64>()
                    .ok()
            });
        let Some(ours) = ours else {
            panic!("the headers do not say what {fact:?} is");
        };
        let theirs = match fact.as_slice() {
            ["constant", name] => format!("libc::{name} as i64"),
            ["size", name] => format!("size_of::<libc::{name}>() as i64"),
            ["offset", of, field] => format!("core::mem::offset_of!(libc::{of}, {field}) as i64"),
            ["offset", of, _, field] => {
                format!("core::mem::offset_of!(libc::{of}, {field}) as i64")
            }
            _ => continue,
        };
        let _ = writeln!(
            checks,
            "const _: () = assert!({theirs} == {ours}, \"{}: our headers say {ours}\");",
            fact.join(" ")
        );
    }
    write(&into, &checks);
}

/// A type as C names it.
fn named(name: &str) -> String {
    if name.ends_with("_t") {
        name.to_owned()
    } else {
        format!("struct {name}")
    }
}

fn write(path: &Path, text: &str) {
    if let Err(error) = std::fs::write(path, text) {
        panic!("{}: {error}", path.display());
    }
}
