//! What the checks across crates share: made-up data and ways to look at a whole book.

pub mod arbitrary;
pub mod big_book;
pub mod catalogues;
pub mod day;
pub mod fuzzed;
pub mod kinds;
pub mod log;
pub mod namespace;
pub mod others;
pub mod photo_store;
pub mod printed;
pub mod rep_days;
pub mod reported;
pub mod scene;
pub mod seeded;
pub mod spoilt;
