//! core

pub mod analysis;
