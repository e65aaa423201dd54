//! Has the linker of a release leave out what a program that ends on a panic has no use for, and pack what is
//! to be relocated: 5 MB of the program together.

use std::path::Path;
use std::process::Command;

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    println!("cargo::rerun-if-changed=small.ld");
    let is = |name: &str, value: &str| std::env::var(name).is_ok_and(|it| it == value);
    if !is("PROFILE", "release") || !is("TARGET", "x86_64-unknown-linux-gnu") {
        return;
    }
    // Another linker was asked for.
    if std::env::var_os("RUSTC_LINKER").is_some() {
        return;
    }
    // The release profile ends on a panic. (What a build script is told of that does not follow the profile.)
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("small.ld");
    println!("cargo::rustc-link-arg-bins=-Wl,--no-eh-frame-hdr");
    println!("cargo::rustc-link-arg-bins=-T");
    println!("cargo::rustc-link-arg-bins={}", script.display());
    // Rust's own toolchain links by the lld it brings along; others may link by one that cannot.
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let sysroot = Command::new(rustc).args(["--print", "sysroot"]).output();
    let packs = sysroot.is_ok_and(|sysroot| {
        let sysroot = String::from_utf8_lossy(&sysroot.stdout).trim().to_owned();
        Path::new(&sysroot)
            .join("lib/rustlib/x86_64-unknown-linux-gnu/bin/gcc-ld/ld.lld")
            .exists()
    });
    if packs {
        println!("cargo::rustc-link-arg-bins=-Wl,-z,pack-relative-relocs");
    }
}
