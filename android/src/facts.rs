//! The platform as our C headers describe it, held against the `libc` crate while this compiles.

include!(concat!(env!("OUT_DIR"), "/facts.rs"));
