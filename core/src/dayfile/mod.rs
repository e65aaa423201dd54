//! Records as files.

mod records;

pub use records::{RecordsError, RecordsFile};
