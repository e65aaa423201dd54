//! What a balance takes for granted, and why there is none.

use std::fmt;

use crate::analysis::pattern::{Assumption, PatternError};
use crate::language::Language;
use crate::{say, word};

/// Something taken for granted. Each shows as one plain sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BalanceAssumption {
    /// About the wrap pattern.
    Pattern(Assumption),
    /// Thickness was not measured.
    LabelThickness,
    /// The roll has no density written.
    UsualDensity,
    /// Marks were read before the load only.
    NoPostStretch,
    /// No marks were read at all.
    StretchAsSet,
    /// The scale or its step is not known.
    UsualScaleStep,
    /// One weighing only.
    OneWeighing,
    /// Loads were weighed together, or some have no size of their own.
    LoadsAlike,
    /// Pairs of marks that cannot be were left out.
    SomeMarksLeftOut,
    /// Thickness at fewer than three places.
    FewThicknesses,
    /// The micrometer or its step is not known.
    UsualMicrometerStep,
    /// The film's width on the load is that on other loads.
    WidthOfOthers,
}

impl BalanceAssumption {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::Pattern(assumption) => return assumption.said(language),
            Self::LabelThickness => {
                word!(
                    "The film's thickness is the one on its label, taken as good to 5 %: no thickness \
                 was measured on the roll."
                )
            }
            Self::UsualDensity => {
                word!(
                    "No density is written: 0.918 g/cm³ is taken, good to 0.005 g/cm³, as is usual \
                 for stretch film."
                )
            }
            Self::NoPostStretch => {
                word!(
                    "The marks were read before the load: the film is taken not to stretch any \
                 further on its way to the load."
                )
            }
            Self::StretchAsSet => {
                word!(
                    "No stretch was measured with marks: the pre-stretch that is set is taken as true."
                )
            }
            Self::UsualScaleStep => {
                word!("The scale's step is not written: 0.1 oz (2.8 g) is taken.")
            }
            Self::OneWeighing => {
                word!(
                    "Film was weighed once only, so how much it differs from load to load is not known."
                )
            }
            Self::LoadsAlike => {
                word!(
                    "Loads weighed together, and loads without a size of their own, are taken to be \
                 like the others."
                )
            }
            Self::FewThicknesses => {
                word!(
                    "Thickness was measured at fewer than three places: each is taken as good to 5 %, \
                 as film differs across the roll."
                )
            }
            Self::UsualMicrometerStep => {
                word!("The micrometer's step is not written: 1 µm is taken.")
            }
            Self::WidthOfOthers => {
                word!(
                    "The width of the film on the load is taken from other loads, on which the film \
                     runs alike."
                )
            }
            Self::SomeMarksLeftOut => {
                word!(
                    "Marks that cannot be, nearer together after stretch than before, were left out."
                )
            }
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for BalanceAssumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// Why there is no balance, and what to do about it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{}", self.said(Language::English))]
pub enum BalanceError {
    /// No weighing in use.
    NotWeighed,
    /// A weighing without film.
    NothingWeighed,
    /// No load.
    NoLoad,
    /// No thickness.
    NoThickness,
    /// No width.
    NoRollWidth,
    /// Zero density.
    NoDensity,
    /// No stretch.
    NoStretch,
    /// A stretch no film has.
    ImpossibleStretch,
    /// The path is zero.
    NoPath,
    /// Something overflows.
    BeyondReason,
    /// No pattern.
    Pattern(#[from] PatternError),
}

impl BalanceError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::NotWeighed => say!(
                language,
                "no film of this setup was weighed: cut the film off a load and weigh it"
            ),
            Self::NothingWeighed => say!(
                language,
                "a weighing shows no film, its tare is as much as its gross or it is of no load: correct \
         it or set it aside"
            ),
            Self::NoLoad => say!(
                language,
                "this setup has no load in use: add the load whose film was weighed"
            ),
            Self::NoThickness => say!(
                language,
                "the film's thickness is not known, or is zero: measure it on the roll or write it from \
         the label"
            ),
            Self::NoRollWidth => say!(
                language,
                "the roll's width is not known, or is zero: write it on the film roll"
            ),
            Self::NoDensity => say!(
                language,
                "the film's density is zero: write it on the film roll, or leave it blank"
            ),
            Self::NoStretch => say!(
                language,
                "the film's stretch is not known: read ink marks on the load, or write the pre-stretch \
         that is set"
            ),
            Self::ImpossibleStretch => say!(
                language,
                "a stretch lies between 0 and 1000 %: check the pre-stretch that is set and the distances \
         between marks"
            ),
            Self::NoPath => say!(
                language,
                "the film goes no way round the load: check the turns and the load's size"
            ),
            Self::BeyondReason => say!(
                language,
                "a value is far beyond what film can be: check the units of width, thickness and mass"
            ),
            Self::Pattern(error) => error.said(language),
        }
    }
}
