//! Everything Tautbook knows that is true without a screen or a phone.
//!
//! [`units`] are quantities with their units; [`survey`] is the record as plain data;
//! [`analysis`] computes over it, pure and clockless; [`chart`] draws what it finds; [`book`] keeps
//! it on disk and loses nothing; [`words`] say what was found, and [`language`] says it in the
//! language of who reads it; [`dayfile`] reads and writes records as files; [`label`] prints the
//! label of a kept sample and
//! reads it again; [`report`] makes the customer's report and the loading card; [`photos`] takes in pictures and keeps them.

#![forbid(unsafe_code)]

pub mod analysis;
pub mod book;
pub mod chart;
pub mod dayfile;
mod fonts;
pub mod label;
pub mod language;
pub mod office;
pub mod photos;
pub mod report;
pub mod survey;
pub mod units;
pub mod words;
