//! The typefaces of what is printed and drawn, once in the program.

/// Lato, as the screens and charts have it (SIL Open Font License, `ui/fonts/OFL.txt`).
pub(crate) static REGULAR: &[u8] = include_bytes!("../../ui/fonts/Lato-Regular.ttf");
/// Lato in bold.
pub(crate) static BOLD: &[u8] = include_bytes!("../../ui/fonts/Lato-Bold.ttf");
