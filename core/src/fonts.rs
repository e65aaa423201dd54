//! The typeface, as the screens, charts, labels and reports have it (SIL Open Font License, `ui/fonts/OFL.txt`).
//! One copy of each for the whole program.

/// Regular.
pub(crate) static REGULAR: &[u8] = include_bytes!("../../ui/fonts/TautbookSans-Regular.ttf");
/// Bold.
pub(crate) static BOLD: &[u8] = include_bytes!("../../ui/fonts/TautbookSans-Bold.ttf");
