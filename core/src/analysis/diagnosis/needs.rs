//! What has to be known before a rule can be tested, and how to find it out.

use crate::analysis::loading::{LoadingQuestion, loading};
use crate::language::{Language, Word};
use crate::survey::{CheckItem, CheckResult, ClingSide, Id, MarkPlace, Setup};

use super::evidence::{LineEvidence, SetupEvidence};
use super::film::SLIP;
use super::rules::RuleId;
use super::{people, words};
use crate::{say, word};

macro_rules! needs {
    ($($(#[$doc:meta])* $need:ident: $what:expr, $how:expr;)+) => {
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
            pub const fn what(self) -> Word {
                match self { $(Self::$need => $what,)+ }
            }

            /// How to find it out.
            #[must_use]
            pub const fn how(self) -> Word {
                match self { $(Self::$need => $how,)+ }
            }
        }
    };
}

needs! {
    /// A wrapped load.
    Loads: word!("any load wrapped this way"), word!("note a load on the Load screen");
    /// Readings in all three zones by one tool.
    Readings: word!("what all three zones hold by one tool"),
        word!("read top, middle and bottom with the same tool");
    /// Targets for the zones read.
    Targets: word!("what the zones have to hold"),
        word!("ask for the customer's own standard, or derive it from ten loads that arrived whole");
    /// Film weighed twice.
    Weights: word!("how much film a load takes, and how far that varies"),
        word!("cut off and weigh the film of two loads at least, one by one");
    /// Ink marks before the load.
    MarksBeforeLoad: word!("the pre-stretch as it is"),
        word!("with the wrapper stopped the way the site requires, draw ink marks on the roll; read them, \
         stopped again, between the last roller and the load");
    /// Ink marks on the load.
    MarksOnLoad: word!("the whole stretch"),
        word!("with the wrapper stopped the way the site requires, draw ink marks on the roll; read them on \
         the wrapped load");
    /// Pre-stretch that is set.
    NominalStretch: word!("the pre-stretch that is set"),
        word!("read it off the panel or the machine's plate and write it with the setup");
    /// The look over what lets film slip.
    SlipChecks: word!("the state of the pre-stretch rollers and their drive"),
        word!("go through the check list, once the site's authorised person has isolated the machine");
    /// The programme.
    Programme: word!("where the film lies"),
        word!("write the turns at bottom and top and the travel in one turn with the setup");
    /// Film width on the load.
    FilmWidth: word!("how wide the film lies on the load"), word!("measure its width on a load");
    /// Sides of a load.
    LoadSides: word!("the size of the load"), word!("measure its length, width and height");
    /// Start height.
    StartHeight: word!("how far above the floor the film starts"),
        word!("measure the film's lower edge at the first turn, once the wrapper has stopped");
    /// Thickness on the roll.
    Thickness: word!("the thickness of the film as it is"),
        word!("measure film from the roll by micrometer at three places at least");
    /// Thickness on the label.
    NominalThickness: word!("the thickness the film was sold as"), word!("read it off the label of the roll");
    /// Breaks counted here and elsewhere.
    Breaks: word!("how often the film breaks, here and in another setup"),
        word!("count breaks over a number of loads or rolls, the same for each setup");
    /// Cling side.
    Cling: word!("which side of the film clings"),
        word!("with the wrapper stopped, touch the film on the roll and just under its loose end");
    /// Rotation.
    Rotation: word!("which way the wrapper turns, and whether the load or the film goes round"),
        word!("watch it wrap from outside the guards");
    /// The path of the film.
    Threading: word!("the path of the film from the roll to the load"),
        word!("from outside the guards, look which way the roll turns as film comes off");
    /// The end of the film.
    Tail: word!("how the end of the film is left"), word!("look at it and note it with the load");
    /// Two people.
    People: word!("whether people read alike"),
        word!("let two people read the same face and zone of one load twice each, next to each other");
    /// Tools named on the readings.
    ToolsNamed: word!("with which tool some readings were taken"), word!("name the tool with each reading");
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

impl NotKnown {
    /// It, with how to find it out.
    #[must_use]
    pub fn said(&self, language: Language) -> String {
        let what = self.need.what().said(language);
        let how = self.need.how().said(language);
        if self.not_looked_at.is_empty() {
            return say!(
                language,
                "Not known: {what}. To find out: {how}.",
                what = what,
                how = how
            );
        }
        let items = self.not_looked_at.iter().copied();
        let items: Vec<&str> = items.map(|item| words::item(item).said(language)).collect();
        say!(
            language,
            "Not known: {what} (not looked at: {items}). To find out: {how}.",
            what = what,
            items = items.join(", "),
            how = how
        )
    }
}

impl std::fmt::Display for NotKnown {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.said(Language::English))
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
