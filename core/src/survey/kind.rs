//! The kinds of record, and which kind belongs to which.

use crate::word;
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
    ($($(#[$doc:meta])* $variant:ident = $name:literal $word:expr, [$($parent:expr),*];)+) => {
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

            /// It in the words of a person.
            #[must_use]
            pub const fn word(self) -> crate::language::Word {
                match self { $(Kind::$variant => $word,)+ }
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
    Tool = "tool" word!(ctx: "record", "tool"), [];
    /// A day at a customer's site.
    Visit = "visit" word!(ctx: "record", "visit"), [];
    /// A wrapping line seen on a visit.
    Line = "line" word!(ctx: "record", "line"), [belongs("visit", Kind::Visit), may_use("earlier", Kind::Line)];
    /// A roll of film used or tried on a visit.
    FilmRoll = "film_roll" word!(ctx: "record", "film roll"), [belongs("visit", Kind::Visit)];
    /// One way of wrapping on a line.
    Setup = "setup" word!(ctx: "record", "setup"), [belongs("line", Kind::Line), may_use("film_roll", Kind::FilmRoll)];
    /// A wrapped load.
    Load = "load" word!(ctx: "record", "load"), [belongs("setup", Kind::Setup)];
    /// A containment-force reading.
    Reading = "reading" word!(ctx: "record", "reading"), [belongs("load", Kind::Load), may_use("tool", Kind::Tool)];
    /// Film cut off and weighed.
    FilmWeight = "film_weight" word!(ctx: "record", "film weight"), [belongs("load", Kind::Load), may_use("tool", Kind::Tool)];
    /// Film thickness by micrometer.
    Thickness = "thickness" word!(ctx: "record", "thickness"), [belongs("film_roll", Kind::FilmRoll), may_use("load", Kind::Load), may_use("tool", Kind::Tool)];
    /// Ink marks before and after stretch.
    StretchMark = "stretch_mark" word!(ctx: "record", "stretch mark"), [belongs("setup", Kind::Setup), may_use("load", Kind::Load)];
    /// Width of the film on a load.
    FilmWidth = "film_width" word!(ctx: "record", "film width"), [belongs("load", Kind::Load)];
    /// Film breaks counted over loads or rolls.
    FilmBreaks = "film_breaks" word!(ctx: "record", "film breaks"), [belongs("setup", Kind::Setup)];
    /// A caution that was shown and acknowledged.
    Caution = "caution" word!(ctx: "record", "caution"), [belongs("visit", Kind::Visit), may_use("line", Kind::Line)];
    /// One item of the look over a machine.
    MachineCheck = "machine_check" word!(ctx: "record", "machine check"), [belongs("line", Kind::Line)];
    /// Something found, with its evidence.
    Finding = "finding" word!(ctx: "record", "finding"), [belongs("visit", Kind::Visit), may_use("line", Kind::Line)];
    /// A minimum containment force to reach.
    Target = "target" word!(ctx: "record", "target"), [belongs("visit", Kind::Visit), may_use("line", Kind::Line)];
    /// A pallet, cut film or roll end that is kept.
    Sample = "sample" word!(ctx: "record", "sample"), [belongs("visit", Kind::Visit), may_use("load", Kind::Load)];
    /// Something that happened to a sample.
    SampleEvent = "sample_event" word!(ctx: "record", "sample event"), [belongs("sample", Kind::Sample)];
    /// A picture.
    Photo = "photo" word!(ctx: "record", "photo"), [belongs("visit", Kind::Visit)];
}
