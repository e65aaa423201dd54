//! The kinds of record, and which kind belongs to which.

use serde::{Deserialize, Serialize};

/// One link from a record to another that it belongs to or uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Parent {
    /// The field and column that holds the other record's id.
    pub field: &'static str,
    /// The other record's kind.
    pub kind: Kind,
    /// Whether a record without it makes no sense.
    pub required: bool,
}

const fn belongs(field: &'static str, kind: Kind) -> Parent {
    Parent {
        field,
        kind,
        required: true,
    }
}
const fn may_use(field: &'static str, kind: Kind) -> Parent {
    Parent {
        field,
        kind,
        required: false,
    }
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $variant:ident = $name:literal [$($parent:expr),*];)+) => {
        /// The kinds of record in the book.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(rename_all = "snake_case")]
        pub enum Kind {
            $($(#[$doc])* $variant,)+
        }

        impl Kind {
            /// Every kind, each after the kinds it belongs to.
            pub const ALL: &'static [Kind] = &[$(Kind::$variant,)+];

            /// Its stable name: in the book's tables, in files and in the history.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Kind::$variant => $name,)+ }
            }

            /// The kind of that name.
            #[must_use]
            pub fn from_name(name: &str) -> Option<Self> {
                match name { $($name => Some(Kind::$variant),)+ _ => None }
            }

            /// What a record of this kind belongs to, nearest first, then what it uses.
            #[must_use]
            pub const fn parents(self) -> &'static [Parent] {
                match self { $(Kind::$variant => const { &[$($parent),*] },)+ }
            }
        }
    };
}

kinds! {
    /// A hand tool or a scale.
    Tool = "tool" [];
    /// A day at a customer's site.
    Visit = "visit" [];
    /// A wrapping line seen on a visit.
    Line = "line" [belongs("visit", Kind::Visit), may_use("earlier", Kind::Line)];
    /// A roll of film used or tried on a visit.
    FilmRoll = "film_roll" [belongs("visit", Kind::Visit)];
    /// One way of wrapping on a line.
    Setup = "setup" [belongs("line", Kind::Line), may_use("film_roll", Kind::FilmRoll)];
    /// A wrapped load.
    Load = "load" [belongs("setup", Kind::Setup)];
    /// A containment-force reading.
    Reading = "reading" [belongs("load", Kind::Load), may_use("tool", Kind::Tool)];
    /// Film cut off and weighed.
    FilmWeight = "film_weight" [belongs("load", Kind::Load), may_use("tool", Kind::Tool)];
    /// Film thickness by micrometer.
    Thickness = "thickness" [belongs("film_roll", Kind::FilmRoll), may_use("load", Kind::Load), may_use("tool", Kind::Tool)];
    /// Ink marks before and after stretch.
    StretchMark = "stretch_mark" [belongs("setup", Kind::Setup), may_use("load", Kind::Load)];
    /// Width of the film on a load.
    FilmWidth = "film_width" [belongs("load", Kind::Load)];
    /// Film breaks counted over loads or rolls.
    FilmBreaks = "film_breaks" [belongs("setup", Kind::Setup)];
    /// A caution that was shown and acknowledged.
    Caution = "caution" [belongs("visit", Kind::Visit), may_use("line", Kind::Line)];
    /// One item of the look over a machine.
    MachineCheck = "machine_check" [belongs("line", Kind::Line)];
    /// Something found, with its evidence.
    Finding = "finding" [belongs("visit", Kind::Visit), may_use("line", Kind::Line)];
    /// A minimum containment force to reach.
    Target = "target" [belongs("visit", Kind::Visit), may_use("line", Kind::Line)];
    /// A pallet, cut film or roll end that is kept.
    Sample = "sample" [belongs("visit", Kind::Visit), may_use("load", Kind::Load)];
    /// Something that happened to a sample.
    SampleEvent = "sample_event" [belongs("sample", Kind::Sample)];
    /// A picture.
    Photo = "photo" [belongs("visit", Kind::Visit)];
}
