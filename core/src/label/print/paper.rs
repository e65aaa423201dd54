//! The papers that labels are printed on, and the dots of printers.

/// Millimetres in an inch, exactly.
pub(super) const MM_PER_INCH: f64 = 25.4;
/// The smallest module that a cheap printer prints cleanly, in millimetres (common practice, no
/// published source): four dots of a label printer with 203 dots an inch.
pub(super) const LEAST_MODULE: f64 = 0.5;

/// A paper for labels.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Paper {
    /// A label of 4 by 6 inches, one label on each.
    FourBySix,
    /// A6, one label on each.
    A6,
    /// A sheet of A4 with up to eight labels to cut out.
    A4,
    /// A sheet of Letter with up to eight labels to cut out.
    Letter,
}

impl Paper {
    /// Every paper.
    pub const ALL: [Self; 4] = [Self::FourBySix, Self::A6, Self::A4, Self::Letter];

    /// Width and height in millimetres.
    #[must_use]
    pub const fn size(self) -> (f64, f64) {
        match self {
            Self::FourBySix => (4.0 * MM_PER_INCH, 6.0 * MM_PER_INCH),
            Self::A6 => (105.0, 148.0),
            Self::A4 => (210.0, 297.0),
            Self::Letter => (8.5 * MM_PER_INCH, 11.0 * MM_PER_INCH),
        }
    }

    /// Labels across and down one page.
    #[must_use]
    pub const fn labels(self) -> (u32, u32) {
        match self {
            Self::FourBySix | Self::A6 => (1, 1),
            Self::A4 | Self::Letter => (2, 4),
        }
    }

    /// What office printers leave white along every edge of a sheet, in millimetres, and more.
    pub(super) const fn margin(self) -> f64 {
        match self {
            Self::FourBySix | Self::A6 => 0.0,
            Self::A4 | Self::Letter => 10.0,
        }
    }
}

/// Dots in an inch of a printer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dpi {
    /// 203: the usual label printer.
    Dpi203,
    /// 300: the finer one, and office printers.
    Dpi300,
}

impl Dpi {
    /// How many.
    #[must_use]
    pub const fn dots(self) -> u32 {
        match self {
            Self::Dpi203 => 203,
            Self::Dpi300 => 300,
        }
    }

    /// The width of one dot in millimetres.
    #[must_use]
    pub fn dot(self) -> f64 {
        MM_PER_INCH / f64::from(self.dots())
    }

    /// `mm` in whole dots, the nearest.
    pub(super) fn whole(self, mm: f64) -> f64 {
        (mm / self.dot()).round()
    }

    /// The module nearest to `nominal` that is whole dots and not under the least.
    pub(super) fn module(self, nominal: f64) -> f64 {
        let least = (LEAST_MODULE / self.dot()).ceil();
        self.whole(nominal).max(least) * self.dot()
    }
}
