//! What savings have to say beside their figures.

use crate::language::Language;
use crate::word;
use std::fmt;

/// How a figure stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outlook {
    /// The new setup saves.
    Saving,
    /// The new setup takes more: a cost.
    Cost,
    /// The limits hold zero: neither is shown.
    NotShown,
}

impl fmt::Display for Outlook {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Saving => "saves",
            Self::Cost => "costs more",
            Self::NotShown => "neither a saving nor a cost is shown",
        })
    }
}

/// A figure without which something could not be worked out. Each prints as one sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// Loads a year.
    Loads,
    /// The price of a film.
    Price,
    /// The net mass of a roll.
    RollMass,
    /// The time of a roll change.
    RollChange,
    /// What an hour costs.
    Labour,
    /// The emission factor.
    Co2e,
    /// The levy.
    Levy,
    /// The recycled content of a film.
    RecycledContent,
    /// The time of a break or the cost of an hour.
    BreakTime,
    /// Sums of money are of more than one currency.
    OneCurrency,
}

impl Missing {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::Loads => {
                word!("How many loads the line wraps a year is not known: write it on the line.")
            }
            Self::Price => {
                word!(
                    "The price of a film is not known, or is a price a roll of unknown mass: write it \
                 on the roll to see the cost."
                )
            }
            Self::RollMass => {
                word!(
                    "The net mass of a roll is not known: weigh a new roll and a bare core to see rolls \
                 and roll changes."
                )
            }
            Self::RollChange => {
                word!("How long a roll change takes is not known: time one and enter the minutes.")
            }
            Self::Labour => word!("What an hour of work costs is not known: ask the customer."),
            Self::Co2e => {
                word!(
                    "No emission factor is set: enter the published one of the year, in kg CO2e a kg \
                 of film, with its source."
                )
            }
            Self::Levy => {
                word!(
                    "No packaging levy is set: enter what is due a tonne where the customer pays one."
                )
            }
            Self::RecycledContent => {
                word!(
                    "The recycled content of a film is not known: write it on the roll to see whether \
                 the levy is due."
                )
            }
            Self::BreakTime => {
                word!(
                    "What a film break costs needs its minutes and the cost of an hour: enter both."
                )
            }
            Self::OneCurrency => {
                word!(
                    "Prices are in more than one currency: write all of them in the same one to see \
                 sums of money."
                )
            }
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for Missing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// What savings rest on. Each prints as one sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Assumption {
    /// Factors carry no uncertainty here.
    FactorsExact,
    /// The limits come from the weighings.
    FromWeighings,
    /// The levy is paid by the maker or importer.
    LevyPassedOn,
    /// Each roll is changed once.
    OneChangeARoll,
    /// What the emissions take in.
    CradleToGate,
    /// The weighings are all alike.
    ScaleLimited,
}

impl Assumption {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::FactorsExact => {
                word!(
                    "Prices, times and factors are taken as exact: the limits do not hold their \
                 uncertainty."
                )
            }
            Self::FromWeighings => {
                word!(
                    "The limits come from the scatter of the weighed films; a year is taken to be like \
                 the loads weighed."
                )
            }
            Self::LevyPassedOn => {
                word!(
                    "A packaging levy is paid by the film's maker or importer: the customer saves only \
                 what is passed on."
                )
            }
            Self::OneChangeARoll => word!("Every roll is run to its end and changed once."),
            Self::CradleToGate => {
                word!(
                    "Emissions are those of the factor entered: mostly of making the film, not of what \
                 becomes of it afterwards."
                )
            }
            Self::ScaleLimited => {
                word!(
                    "The weighings are all but alike: the limits are those of the scale, not of the \
                 loads. Weigh more loads."
                )
            }
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for Assumption {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// A count as a number.
pub(super) fn whole(count: u64) -> f64 {
    // Exact below 2⁵³, which no line wraps.
    #[allow(clippy::cast_precision_loss)]
    let number = count as f64;
    number
}
