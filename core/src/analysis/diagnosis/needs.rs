//! What has to be known before a rule can be tested, and how to find it out.

use crate::analysis::loading::{LoadingQuestion, loading};
use crate::survey::{CheckItem, CheckResult, ClingSide, Id, MarkPlace, Setup};

use super::evidence::{LineEvidence, SetupEvidence};
use super::film::SLIP;
use super::rules::RuleId;
use super::{people, words};

macro_rules! needs {
    ($($(#[$doc:meta])* $need:ident: $what:literal, $how:literal;)+) => {
        /// Something that has to be known.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Need {
            $($(#[$doc])* $need,)+
        }

        impl Need {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$need,)+];

            /// What is not known.
            #[must_use]
            pub const fn what(self) -> &'static str {
                match self { $(Self::$need => $what,)+ }
            }

            /// How to find it out.
            #[must_use]
            pub const fn how(self) -> &'static str {
                match self { $(Self::$need => $how,)+ }
            }
        }
    };
}

needs! {
    /// A wrapped load.
    Loads: "any load wrapped this way", "note a load on the Load screen";
    /// Readings in all three zones by one tool.
    Readings: "what all three zones hold by one tool",
        "read top, middle and bottom with the same tool";
    /// Targets for the zones read.
    Targets: "what the zones have to hold",
        "ask for the customer's own standard, or derive it from ten loads that arrived whole";
    /// Film weighed twice.
    Weights: "how much film a load takes, and how far that varies",
        "cut off and weigh the film of two loads at least, one by one";
    /// Ink marks before the load.
    MarksBeforeLoad: "the pre-stretch as it is",
        "with the wrapper stopped the way the site requires, draw ink marks on the roll; read them, \
         stopped again, between the last roller and the load";
    /// Ink marks on the load.
    MarksOnLoad: "the whole stretch",
        "with the wrapper stopped the way the site requires, draw ink marks on the roll; read them on \
         the wrapped load";
    /// Pre-stretch that is set.
    NominalStretch: "the pre-stretch that is set",
        "read it off the panel or the machine's plate and write it with the setup";
    /// The look over what lets film slip.
    SlipChecks: "the state of the pre-stretch rollers and their drive",
        "go through the check list, once the site's authorised person has isolated the machine";
    /// The programme.
    Programme: "where the film lies",
        "write the turns at bottom and top and the travel in one turn with the setup";
    /// Film width on the load.
    FilmWidth: "how wide the film lies on the load", "measure its width on a load";
    /// Sides of a load.
    LoadSides: "the size of the load", "measure its length, width and height";
    /// Start height.
    StartHeight: "how far above the floor the film starts",
        "measure the film's lower edge at the first turn, once the wrapper has stopped";
    /// Thickness on the roll.
    Thickness: "the thickness of the film as it is",
        "measure film from the roll by micrometer at three places at least";
    /// Thickness on the label.
    NominalThickness: "the thickness the film was sold as", "read it off the label of the roll";
    /// Breaks counted here and elsewhere.
    Breaks: "how often the film breaks, here and in another setup",
        "count breaks over a number of loads or rolls, the same for each setup";
    /// Cling side.
    Cling: "which side of the film clings",
        "with the wrapper stopped, touch the film on the roll and just under its loose end";
    /// Rotation.
    Rotation: "which way the wrapper turns, and whether the load or the film goes round",
        "watch it wrap from outside the guards";
    /// The path of the film.
    Threading: "the path of the film from the roll to the load",
        "from outside the guards, look which way the roll turns as film comes off";
    /// The end of the film.
    Tail: "how the end of the film is left", "look at it and note it with the load";
    /// Two people.
    People: "whether people read alike",
        "let two people read the same face and zone of one load twice each, next to each other";
    /// Tools named on the readings.
    ToolsNamed: "with which tool some readings were taken", "name the tool with each reading";
}

/// Something that is not known, and what it stops.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotKnown {
    /// What.
    pub need: Need,
    /// The setups it is not known of; empty when it is about the line.
    pub setups: Vec<Id<Setup>>,
    /// The rules that could not be tested for it, or not wholly.
    pub stops: Vec<RuleId>,
    /// Where it is about the machine, what of it was not looked at.
    pub not_looked_at: Vec<CheckItem>,
}

impl std::fmt::Display for NotKnown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "Not known: {}", self.need.what())?;
        if !self.not_looked_at.is_empty() {
            let items: Vec<&str> = self
                .not_looked_at
                .iter()
                .copied()
                .map(words::item)
                .collect();
            write!(f, " (not looked at: {})", items.join(", "))?;
        }
        write!(f, ". To find out: {}.", self.need.how())
    }
}

impl Need {
    /// Whether it is known of a setup, or of the line where it is about the line.
    pub(super) fn is_known(self, line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> bool {
        let settings = &setup.setup.settings;
        let all_read = |zones: [usize; 3]| zones.iter().all(|&n| n > 0);
        match self {
            Self::Loads => !setup.loads.is_empty(),
            Self::Readings => {
                all_read(setup.torsion.0.each_ref().map(Vec::len))
                    || all_read(setup.pull.0.each_ref().map(Vec::len))
            }
            Self::Targets => {
                let torsion = setup.torsion.0.iter().flatten();
                let pull = setup.pull.0.iter().flatten();
                let mut has = torsion
                    .map(|reading| reading.target.is_some())
                    .chain(pull.map(|reading| reading.target.is_some()));
                has.any(|has| has)
            }
            Self::Weights => setup
                .film
                .as_ref()
                .is_some_and(|film| film.interval.is_some()),
            Self::MarksBeforeLoad => has_marks(setup, MarkPlace::BeforeLoad),
            Self::MarksOnLoad => has_marks(setup, MarkPlace::OnLoad),
            Self::NominalStretch => setup.nominal_stretch.is_some(),
            Self::SlipChecks => not_looked_at(line).is_empty(),
            Self::Programme => {
                settings.bottom_turns.is_some()
                    && settings.top_turns.is_some()
                    && (settings.up.is_some() || settings.down.is_some())
            }
            Self::FilmWidth => !setup.widths.is_empty(),
            Self::LoadSides => setup
                .loads
                .iter()
                .any(|load| load.length.is_some() && load.width.is_some() && load.height.is_some()),
            Self::StartHeight => settings.start_height.is_some(),
            Self::Thickness => setup.roll.is_some_and(|roll| {
                let of_roll = line.thicknesses.iter().find(|(of, _)| of.id == roll.id);
                of_roll.is_some_and(|(_, measured)| !measured.is_empty())
            }),
            Self::NominalThickness => setup
                .roll
                .is_some_and(|roll| roll.nominal_thickness.is_some()),
            Self::Breaks => !setup.breaks.is_empty(),
            Self::Cling => setup.roll.is_some_and(|roll| roll.cling.is_some()),
            // The side does not matter for either of the next two: any one will do to ask.
            Self::Rotation => !matches!(
                loading(&line.line.wrapper, Some(ClingSide::Inside)),
                Err(LoadingQuestion::Rotation | LoadingQuestion::WhichTurns)
            ),
            Self::Threading => {
                let threading = line.line.wrapper.threading.unwrap_or_default();
                let contradicts = loading(&line.line.wrapper, Some(ClingSide::Inside))
                    == Err(LoadingQuestion::Path);
                !contradicts && (threading.roll_turns.is_some() || threading.reversals.is_some())
            }
            Self::Tail => setup.loads.iter().any(|load| load.tail.is_some()),
            Self::People => people::comparable(line, setup),
            Self::ToolsNamed => setup.readings.iter().all(|reading| reading.tool.is_some()),
        }
    }

    /// Whether it is about the line, the same for all its setups.
    pub(super) const fn is_of_line(self) -> bool {
        matches!(self, Self::SlipChecks | Self::Rotation | Self::Threading)
    }
}

/// What of the pre-stretch rollers and their drive was not looked at.
pub(super) fn not_looked_at(line: &LineEvidence<'_>) -> Vec<CheckItem> {
    SLIP.into_iter()
        .map(|(item, _)| item)
        .filter(|&item| {
            line.check(item)
                .is_none_or(|check| check.result == CheckResult::NotLookedAt)
        })
        .collect()
}

fn has_marks(setup: &SetupEvidence<'_>, place: MarkPlace) -> bool {
    setup.marks.iter().any(|mark| mark.place == place)
}
