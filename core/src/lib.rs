//! core

pub mod analysis;

pub mod units;
