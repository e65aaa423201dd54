//! The rules, as data: what each needs, how it is tested, and what it leads to.

use crate::language::Word;
use crate::survey::{Seriousness, WhoMayAct};
use crate::word;

use super::evidence::{LineEvidence, SetupEvidence};
use super::finding::{Care, Hit};
use super::needs::Need;
use super::{film, line, loads, zones};

macro_rules! rule_ids {
    ($($(#[$doc:meta])* $id:ident = $name:literal;)+) => {
        /// The rules by name.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum RuleId {
            $($(#[$doc])* $id,)+
        }

        impl RuleId {
            /// Every rule.
            pub const ALL: &'static [Self] = &[$(Self::$id,)+];

            /// Its stable name.
            #[must_use]
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$id => $name,)+ }
            }
        }
    };
}

rule_ids! {
    /// Damage was noted on a load.
    Damage = "damage";
    /// The clinging side faces away from the load.
    ClingAway = "cling_away";
    /// All zones are weak while much film is used.
    AllWeakFilmHigh = "all_weak_film_high";
    /// All zones are weak.
    AllWeak = "all_weak";
    /// The bottom is weak.
    BottomWeak = "bottom_weak";
    /// The middle is weak.
    MiddleWeak = "middle_weak";
    /// The top is weak.
    TopWeak = "top_weak";
    /// Pre-stretch is under what is set.
    PreStretchLow = "pre_stretch_low";
    /// The film is stretched on after the rollers.
    StretchAfterRollers = "stretch_after_rollers";
    /// Film weighed and film predicted do not agree.
    FilmUnaccounted = "film_unaccounted";
    /// A side of the load has a stretch without film.
    BareStripe = "bare_stripe";
    /// The film starts above the pallet.
    PalletNotReached = "pallet_not_reached";
    /// The film is thinner than its label says.
    ThinFilm = "thin_film";
    /// The film breaks more often than in another setup.
    BreaksOften = "breaks_often";
    /// The end of the film hangs loose.
    LooseTail = "loose_tail";
    /// People read differently.
    PeopleDiffer = "people_differ";
    /// A check of the machine is for a technician.
    MachineWork = "machine_work";
    /// All zones hold more than they have to.
    LessFilmPossible = "less_film_possible";
    /// A tool was past its check.
    ToolPastCheck = "tool_past_check";
    /// A tool was not zeroed.
    ToolNotZeroed = "tool_not_zeroed";
}

/// How a rule is tested.
#[derive(Clone, Copy)]
pub(super) enum Test {
    /// On each setup of the line.
    Setup(fn(&LineEvidence<'_>, &SetupEvidence<'_>) -> Vec<Hit>),
    /// On the line once.
    Line(fn(&LineEvidence<'_>) -> Vec<Hit>),
}

/// One rule.
pub struct Rule {
    /// Its name.
    pub id: RuleId,
    /// What has to be known for it to be tested.
    pub needs: &'static [Need],
    pub(super) test: Test,
    /// What it may come from, the likeliest first.
    pub causes: &'static [Word],
    /// What to do next.
    pub next_step: Word,
    /// Who may do that.
    pub who_may_act: WhoMayAct,
    /// How serious it is.
    pub seriousness: Seriousness,
    /// The caution that goes with it.
    pub care: Option<Care>,
}

/// Every rule, in the order in which findings are listed. Causes and next steps are common
/// practice, no source, unless said.
pub const RULES: &[Rule] = &[
    Rule {
        id: RuleId::Damage,
        needs: &[Need::Loads],
        test: Test::Setup(loads::damage),
        causes: &[
            word!("the load moved or was struck before or while it was wrapped"),
            word!("film force too high for the goods"),
            word!("too little film where the damage is"),
        ],
        next_step: word!(
            "Take a photo, keep the load from being shipped until the site has looked at \
                    it, and ask where and when it happened."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Serious,
        care: Some(Care::Load),
    },
    Rule {
        id: RuleId::ClingAway,
        needs: &[Need::Cling, Need::Rotation, Need::Threading],
        test: Test::Line(line::cling_away),
        causes: &[
            word!("the roll is on the wrapper upside down"),
            word!("the film is threaded by another path than the machine's diagram"),
        ],
        next_step: word!(
            "Have the operator turn the roll over and thread it by the machine's diagram, \
                    with the machine stopped as the site requires, and check by a finger tack \
                    test."
        ),
        who_may_act: WhoMayAct::Operator,
        seriousness: Seriousness::Matters,
        care: Some(Care::Threading),
    },
    Rule {
        id: RuleId::AllWeakFilmHigh,
        needs: &[Need::Readings, Need::Targets, Need::Weights],
        test: Test::Setup(zones::all_weak_film_high),
        causes: &[
            word!("the film slips in the pre-stretch rollers and goes on thick and slack"),
            word!("film force set low"),
            word!("more turns than the load needs, each of them slack"),
        ],
        next_step: word!(
            "Draw ink marks and measure the pre-stretch. If it is under what is set, have \
                    the pre-stretch rollers and their drive looked over."
        ),
        who_may_act: WhoMayAct::Technician,
        seriousness: Seriousness::Serious,
        care: Some(Care::Machine),
    },
    Rule {
        id: RuleId::AllWeak,
        needs: &[Need::Readings, Need::Targets],
        test: Test::Setup(zones::all_weak),
        causes: &[
            word!("film force set low"),
            word!("too few layers for this film and load"),
            word!("the film has relaxed since the load was wrapped"),
        ],
        next_step: word!(
            "With the operator raise the film force one step, or add turns, wrap a load \
                    and measure it; the Plan screen says which costs less film."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Serious,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::BottomWeak,
        needs: &[Need::Readings, Need::Targets],
        test: Test::Setup(zones::bottom_weak),
        causes: &[
            word!("too few turns at the bottom"),
            word!("the film starts too high, or ropes at the start"),
            word!("film force low while the wrapper starts"),
        ],
        next_step: word!(
            "With the operator add a turn at the bottom or start lower, wrap a load and \
                    measure the bottom again."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Serious,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::MiddleWeak,
        needs: &[Need::Readings, Need::Targets],
        test: Test::Setup(zones::middle_weak),
        causes: &[
            word!("the film climbs too far in one turn, so that too few layers lie in the middle"),
            word!("the carriage jumps or runs unevenly on the mast"),
        ],
        next_step: word!(
            "With the operator lower the travel in one turn (more overlap), wrap a load \
                    and measure the middle again."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Serious,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::TopWeak,
        needs: &[Need::Readings, Need::Targets],
        test: Test::Setup(zones::top_weak),
        causes: &[
            word!("too few turns at the top"),
            word!("the film stops short of the top, or slides off an uneven one"),
            word!("the top of the load gives way under the film"),
        ],
        next_step: word!(
            "With the operator add a turn at the top or let the film go further over it, \
                    wrap a load and measure the top again."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Serious,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::PreStretchLow,
        needs: &[
            Need::MarksBeforeLoad,
            Need::NominalStretch,
            Need::SlipChecks,
        ],
        test: Test::Setup(film::pre_stretch_low),
        causes: &[],
        next_step: word!(
            "Have the pre-stretch rollers and their drive looked over and put right, then \
                    measure the pre-stretch again before changing any setting: film settings \
                    made on a slipping carriage are made for the slip."
        ),
        who_may_act: WhoMayAct::Technician,
        seriousness: Seriousness::Matters,
        care: Some(Care::Machine),
    },
    Rule {
        id: RuleId::StretchAfterRollers,
        needs: &[Need::MarksBeforeLoad, Need::MarksOnLoad],
        test: Test::Setup(film::stretch_after_rollers),
        causes: &[
            word!("film force set high, so that the load pulls the film on"),
            word!("a brake or dancer that binds"),
        ],
        next_step: word!(
            "With the operator lower the film force one step, wrap a load, count breaks \
                    and measure all zones again; stop where a zone comes near its target."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Matters,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::FilmUnaccounted,
        needs: &[
            Need::Weights,
            Need::Programme,
            Need::LoadSides,
            Need::NominalStretch,
        ],
        test: Test::Setup(film::film_unaccounted),
        causes: &[],
        next_step: word!(
            "Go through the causes in their order; each says what tells it from the \
                    others. Until it is found, take figures worked out from the programme for \
                    rough ones."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Note,
        care: Some(Care::CuttingFilm),
    },
    Rule {
        id: RuleId::BareStripe,
        needs: &[Need::Programme, Need::FilmWidth, Need::LoadSides],
        test: Test::Setup(film::bare_stripe),
        causes: &[
            word!("the film travels further in one turn than it is wide on the load"),
            word!("a pass starts or ends without a whole turn"),
        ],
        next_step: word!(
            "With the operator lower the travel in one turn, wrap a load and look for \
                    stripes."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Matters,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::PalletNotReached,
        needs: &[Need::StartHeight],
        test: Test::Setup(film::pallet_not_reached),
        causes: &[word!("the wrapper's start height is set above the pallet")],
        next_step: word!(
            "With the operator lower the start until the film goes round the pallet as \
                    well as the goods, wrap a load and look."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Serious,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::ThinFilm,
        needs: &[Need::Thickness, Need::NominalThickness],
        test: Test::Line(line::thin_film),
        causes: &[
            word!("the film is thinner than its label says"),
            word!("the micrometer was not zeroed or squeezed the film"),
        ],
        next_step: word!(
            "Weigh a cut piece of known size, which gives the mean thickness, check the \
                    micrometer, and ask the supplier of the film."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Matters,
        care: Some(Care::CuttingFilm),
    },
    Rule {
        id: RuleId::BreaksOften,
        needs: &[Need::Breaks],
        test: Test::Setup(film::breaks_often),
        causes: &[
            word!("film force or pre-stretch set too high for this film"),
            word!("edges of the load or of the pallet cut the film"),
            word!("the film itself: edge damage, gels, wrong thickness"),
        ],
        next_step: word!(
            "Look at where the film broke, keep the piece, and go back one step with film \
                    force or pre-stretch; measure all zones again."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Matters,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::LooseTail,
        needs: &[Need::Tail],
        test: Test::Setup(loads::loose_tail),
        causes: &[
            word!("the clamp and cutter leave a long end"),
            word!("the end is not wiped down or tucked in"),
            word!("the cling side faces away from the load"),
        ],
        next_step: word!(
            "With the operator look at how the end is wiped down or tucked in; a clamp or \
                    cutter out of order is for the technician."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Matters,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::PeopleDiffer,
        needs: &[Need::People],
        test: Test::Setup(line::people_differ),
        causes: &[
            word!("the tool is put in, turned or pulled differently"),
            word!(
                "the readings were taken at different places or at different times since wrapping"
            ),
        ],
        next_step: word!(
            "Agree on place, turn or pull and pace, and let both read neighbouring places \
                    on one load; do not compare setups that different people read until then."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Note,
        care: None,
    },
    Rule {
        id: RuleId::MachineWork,
        needs: &[Need::SlipChecks],
        test: Test::Line(line::machine_work),
        causes: &[],
        next_step: word!(
            "Ask the site to have a qualified technician put it right by the machine's \
                    manual, then wrap a load and measure again."
        ),
        who_may_act: WhoMayAct::Technician,
        seriousness: Seriousness::Matters,
        care: Some(Care::Machine),
    },
    Rule {
        id: RuleId::LessFilmPossible,
        needs: &[Need::Readings, Need::Targets],
        test: Test::Setup(zones::less_film_possible),
        causes: &[word!(
            "more layers, or a firmer wrap, than the target asks for"
        )],
        next_step: word!(
            "Plan the programme with the least film whose lower bound \
                    still meets the target in every zone. Try it on a load and measure."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Note,
        care: Some(Care::Panel),
    },
    Rule {
        id: RuleId::ToolPastCheck,
        needs: &[Need::ToolsNamed],
        test: Test::Line(line::tool_past_check),
        causes: &[word!("the tool's check against a known weight is overdue")],
        next_step: word!(
            "Check the tool against a known weight and write the date; if it was off, take \
                    these readings again."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Note,
        care: None,
    },
    Rule {
        id: RuleId::ToolNotZeroed,
        needs: &[Need::ToolsNamed],
        test: Test::Line(line::tool_not_zeroed),
        causes: &[word!("the tool was not zeroed, or it was not written down")],
        next_step: word!(
            "Zero the tool and write it down; if it was off, take these readings again."
        ),
        who_may_act: WhoMayAct::RepWithOperator,
        seriousness: Seriousness::Note,
        care: None,
    },
];

/// The rule of that name.
#[must_use]
pub fn rule(id: RuleId) -> Option<&'static Rule> {
    RULES.iter().find(|rule| rule.id == id)
}
