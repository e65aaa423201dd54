//! Has the linker of a release pack what is to be relocated: nearly 2 MB of the program.

use std::path::Path;
use std::process::Command;

fn main() {
    println!("cargo::rerun-if-changed=build.rs");
    let is = |name: &str, value: &str| std::env::var(name).is_ok_and(|it| it == value);
    if !is("PROFILE", "release") || !is("TARGET", "x86_64-unknown-linux-gnu") {
        return;
    }
    // Another linker was asked for.
    if std::env::var_os("RUSTC_LINKER").is_some() {
        return;
    }
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
