//! Lato, as the screens, charts, labels and reports have it (SIL Open Font License, `ui/fonts/OFL.txt`).
//! One copy of each for the whole program.

/// Lato.
pub(crate) static REGULAR: &[u8] = include_bytes!("../../ui/fonts/Lato-Regular.ttf");
/// Lato in bold.
pub(crate) static BOLD: &[u8] = include_bytes!("../../ui/fonts/Lato-Bold.ttf");
