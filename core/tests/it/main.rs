//! Everything the core computes, held to published values, independent computing and laws: one binary, for
//! each more would be linked with the whole core again.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

mod anova;
mod book;
mod book_undo;
mod chart;
mod common;
mod comparing;
mod comparison;
mod containment;
mod containment_faces;
mod containment_sure;
mod diagnosis;
mod f_distribution;
mod field_names;
mod film;
mod film_balance;
mod film_formulas;
mod label_book;
mod label_print;
mod label_read;
mod loading;
mod pattern;
mod pattern_laws;
mod pattern_records;
mod people_relaxation;
mod plan;
mod pull_plate;
mod recover;
mod regression;
mod restraint;
mod savings;
mod statistics_laws;
mod statistics_nist;
mod statistics_oracle;
mod statistics_tables;
mod targets_by_face;
mod tolerance;
mod units;
mod units_laws;
mod units_oracle;
mod units_refused;
mod units_typed;
