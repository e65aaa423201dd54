//! How much the wrapping has to add so that a load stays together on its way. An estimate for
//! context beside the readings: it is no target, and no reading is judged by it.
//!
//! Film holds a load together and on its pallet. It does not secure the pallet to the vehicle.

use std::fmt;

use thiserror::Error;

use crate::language::Language;
use crate::survey::Transport;
use crate::units::{Force, Length, Mass, STANDARD_GRAVITY};
use crate::{say, word};

/// Which way the load is pushed, seen from the vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Push {
    /// Forward, as in braking.
    Forward,
    /// Rearward, as in starting.
    Rearward,
    /// Sideways, as in a bend.
    Sideways,
}

impl Push {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Forward, Self::Rearward, Self::Sideways];
}

impl fmt::Display for Push {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Forward => "forward",
            Self::Rearward => "rearward",
            Self::Sideways => "sideways",
        })
    }
}

/// What is being asked: whether it slides or whether it tips. Road takes a higher sideways figure
/// for goods that may tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Movement {
    /// Slides.
    Sliding,
    /// Tips.
    Tipping,
}

/// Accelerations in parts of g: the push, and the least share of the weight that presses down
/// meanwhile.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accelerations {
    /// Horizontal, c.
    pub horizontal: f64,
    /// Vertical, cz: less than 1 where the ship's heave or the shock takes weight off the load.
    pub vertical: f64,
    /// Where the pair comes from.
    pub source: AccelerationSource,
}

/// Where a pair of accelerations comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AccelerationSource {
    /// Directive 2014/47/EU, Annex III, which repeats EN 12195-1:2010 for road.
    Directive,
    /// EN 12195-1:2010 for goods that may tip sideways on the road, value from memory.
    RoadTipping,
    /// The CTU Code, chapter 5, values from memory.
    CtuCode,
}

impl AccelerationSource {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::Directive => word!("EN 12195-1:2010 and Directive 2014/47/EU, Annex III"),
            Self::RoadTipping => {
                word!(
                    "EN 12195-1:2010 for goods that may tip; not checked against its text: look it up \
                 before relying on it"
                )
            }
            Self::CtuCode => {
                word!(
                    "CTU Code (IMO/ILO/UNECE), chapter 5; not checked against its text: look it up \
                 before relying on it"
                )
            }
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for AccelerationSource {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

impl Transport {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Road,
        Self::Rail,
        Self::RailShunting,
        Self::SeaA,
        Self::SeaB,
        Self::SeaC,
    ];

    /// The accelerations to reckon with, in parts of g.
    ///
    /// Road: forward 0.8, rearward 0.5, sideways 0.5, or 0.6 for goods that may tip; vertical 1.
    /// Rail: 0.5 each way, vertical 1; with shunting 1.0 along the train, and vertical 0.7 both along
    /// and across it.
    /// Sea, along the ship (with the vertical) and across it (vertical 1): area A 0.3 (0.5) and
    /// 0.5; B 0.3 (0.3) and 0.7; C 0.4 (0.2) and 0.8. Each pair names its source.
    #[must_use]
    pub const fn accelerations(self, push: Push, movement: Movement) -> Accelerations {
        use AccelerationSource::{CtuCode, Directive, RoadTipping};
        let (horizontal, vertical, source) = match (self, push, movement) {
            (Self::Road, Push::Forward, _) => (0.8, 1.0, Directive),
            (Self::Road, Push::Sideways, Movement::Tipping) => (0.6, 1.0, RoadTipping),
            (Self::Road, Push::Rearward | Push::Sideways, _) => (0.5, 1.0, Directive),
            (Self::RailShunting, Push::Forward | Push::Rearward, _) => (1.0, 0.7, CtuCode),
            (Self::RailShunting, Push::Sideways, _) => (0.5, 0.7, CtuCode),
            (Self::SeaA, Push::Forward | Push::Rearward, _) => (0.3, 0.5, CtuCode),
            (Self::SeaB, Push::Forward | Push::Rearward, _) => (0.3, 0.3, CtuCode),
            (Self::SeaC, Push::Forward | Push::Rearward, _) => (0.4, 0.2, CtuCode),
            (Self::SeaB, Push::Sideways, _) => (0.7, 1.0, CtuCode),
            (Self::SeaC, Push::Sideways, _) => (0.8, 1.0, CtuCode),
            (Self::Rail | Self::SeaA, _, _) => (0.5, 1.0, CtuCode),
        };
        Accelerations {
            horizontal,
            vertical,
            source,
        }
    }
}

impl Transport {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::Road => word!(ctx: "transport", "road"),
            Self::Rail => word!(ctx: "transport", "rail"),
            Self::RailShunting => word!(ctx: "transport", "rail with shunting"),
            Self::SeaA => word!(ctx: "transport", "sea, waves up to 8 m"),
            Self::SeaB => word!(ctx: "transport", "sea, waves of 8 m to 12 m"),
            Self::SeaC => word!(ctx: "transport", "sea, waves over 12 m"),
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for Transport {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// A pair of surfaces and its friction, a value to start from that the rep may change.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionPair {
    /// What lies on what.
    pub surfaces: &'static str,
    /// Static friction, swept clean, dry or wet.
    pub dry: f64,
    /// Whether the value holds wet as well.
    pub wet_too: bool,
}

/// Where [`FRICTION_PAIRS`] come from.
pub const FRICTION_SOURCE: &str =
    "CTU Code (IMO/ILO/UNECE), Annex 7, appendix 2: static friction of swept, clean surfaces";

/// Static friction of swept and clean surfaces, from [`FRICTION_SOURCE`]. Film on film and film
/// on goods are not in it. Unswept, frosted or icy surfaces: [`UNSWEPT_FRICTION`].
pub const FRICTION_PAIRS: &[FrictionPair] = &[
    pair("sawn timber pallet on plywood", 0.45, true),
    pair("sawn timber pallet on grooved aluminium", 0.4, true),
    pair("sawn timber pallet on stainless steel", 0.3, true),
    pair("sawn timber pallet on shrink film", 0.3, true),
    pair("planed timber on plywood", 0.3, true),
    pair("planed timber on grooved aluminium", 0.25, true),
    pair("planed timber on stainless steel", 0.2, true),
    pair("plastic pallet on plywood", 0.2, true),
    pair("plastic pallet on grooved aluminium", 0.15, true),
    pair("plastic pallet on stainless steel", 0.15, true),
    pair("cardboard on cardboard", 0.5, false),
    pair("cardboard on timber pallet", 0.5, false),
    pair("big bag on timber pallet", 0.4, false),
    pair("rough concrete on sawn timber", 0.7, true),
];

/// Friction where the surface is not swept, or is frosted or icy: CTU Code, Annex 7, value from
/// memory.
pub const UNSWEPT_FRICTION: f64 = 0.2;

const fn pair(surfaces: &'static str, dry: f64, wet_too: bool) -> FrictionPair {
    FrictionPair {
        surfaces,
        dry,
        wet_too,
    }
}

/// Why nothing can be said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
#[error("{}", self.said(Language::English))]
pub enum RestraintError {
    /// No mass.
    NoMass,
    /// A friction that none is.
    Friction,
    /// A mass beyond reach.
    TooHeavy,
    /// No base.
    NoBase,
    /// No height.
    NoHeight,
}

impl RestraintError {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        match self {
            Self::NoMass => say!(
                language,
                "the mass of the load is not known: weigh it or take it from the papers"
            ),
            Self::Friction => say!(
                language,
                "a friction lies between 0 and 1: take one from the table, or leave it blank"
            ),
            Self::TooHeavy => say!(
                language,
                "this mass is too large to work with: check the unit it was entered in"
            ),
            Self::NoBase => say!(
                language,
                "the length of the load along the push is not known: measure it"
            ),
            Self::NoHeight => say!(language, "the height of the load is not known: measure it"),
        }
    }
}

/// What the wrapping would have to add against sliding in one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Need {
    /// This force.
    Force(Force),
    /// Friction is not known, so none was counted on: no more than this, and less with friction.
    AtMost(Force),
    /// Friction alone holds it.
    FrictionHolds,
}

/// A tilting table that tests the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tilt {
    /// The angle at which the push stands in the same ratio to the weight pressing down:
    /// tan θ = c/cz, in degrees. Whether an unwrapped load slides or tips is tested by this one.
    pub same_ratio_deg: f64,
    /// The force left for the wrapping at that angle, over the one it has in transport:
    /// cos θ/cz. Tilting takes weight off the floor of the load as well, so that on the road the
    /// wrapping is tried less than in transport; where a ship's heave takes still more, it is
    /// tried more.
    pub share_of_force: f64,
    /// The angle at which the wrapping has to add the same force as in transport:
    /// sin θ − μ cos θ = c − μ cz, in degrees. `None` when friction alone holds the load or no
    /// angle gives that force. With an unknown friction, for none.
    pub same_force_deg: Option<f64>,
}

/// The estimate for one direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Restraint {
    /// The direction.
    pub push: Push,
    /// The accelerations it rests on.
    pub accelerations: Accelerations,
    /// What the wrapping has to add.
    pub need: Need,
    /// The tilt that tests the same.
    pub tilt: Tilt,
}

impl fmt::Display for Restraint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.need {
            Need::Force(force) => write!(
                f,
                "Pushed {}, the wrapping would have to add about {:.0} N ({:.0} lbf), an estimate.",
                self.push,
                force.n(),
                force.lbf()
            ),
            Need::AtMost(force) => write!(
                f,
                "Pushed {}, the wrapping would have to add at most {:.0} N ({:.0} lbf), an \
                 estimate that counts on no friction because none is known; enter the friction \
                 for the figure itself.",
                self.push,
                force.n(),
                force.lbf()
            ),
            Need::FrictionHolds => write!(
                f,
                "Pushed {}, friction alone would hold the load, an estimate; it must be clean \
                 and press down.",
                self.push
            ),
        }
    }
}

/// What the screen and the report say beside the estimate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RestraintNote {
    /// It is an estimate.
    Estimate,
    /// Film does not secure the pallet.
    NotTheVehicle,
    /// The load is one block.
    OneBlock,
    /// What a tilt tests.
    Tilt,
}

impl RestraintNote {
    /// All of them.
    pub const ALL: [Self; 4] = [
        Self::Estimate,
        Self::NotTheVehicle,
        Self::OneBlock,
        Self::Tilt,
    ];
}

impl RestraintNote {
    /// It, in a language.
    #[must_use]
    pub fn said(self, language: Language) -> String {
        let word = match self {
            Self::Estimate => {
                word!(
                    "This is an estimate for context. It is no target, and readings are not judged \
                 by it: a reading by hand is not the force that holds the load in transport."
                )
            }
            Self::NotTheVehicle => {
                word!(
                    "Film holds the load together and on its pallet. It does not secure the pallet \
                 to the vehicle: that takes lashing, blocking or a full floor."
                )
            }
            Self::OneBlock => {
                word!(
                    "The load is taken as one block on one surface, pushed steadily; for a layer \
                 that may slide on the one below, enter that layer's mass and friction."
                )
            }
            Self::Tilt => {
                word!(
                    "Tilted until the slope equals the push in g, an unwrapped load slides or tips as \
                 it would in transport. Tilting also takes weight off the floor, so the \
                 wrapping itself has less to hold than in transport at that angle; the angle for \
                 the same force is given beside it. Tilt tests only on a rig made for it, nobody \
                 near."
                )
            }
        };
        word.said(language).to_owned()
    }
}

impl fmt::Display for RestraintNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.said(Language::English))
    }
}

/// The horizontal force the wrapping must add so that the load does not slide, each way.
///
/// ```text
/// F = max(0, m g (c − μ cz))
/// ```
///
/// with m the mass in kilograms, g = 9.80665 m/s², c and cz the accelerations of the transport in
/// parts of g, μ the friction between load and pallet (or between layers). Source: the balance of
/// forces in EN 12195-1:2010 and the CTU Code, Annex 7, appendix 4, from memory. Assumes what
/// [`RestraintNote`] lists.
///
/// Without a known friction none is counted on, and the answer is the most it can be. A friction
/// of one would make the need small; it is never taken for granted.
///
/// # Errors
/// No mass, a friction outside 0 to 1, or a mass beyond reach.
pub fn restraint(
    mass: Option<Mass>,
    friction: Option<f64>,
    transport: Transport,
) -> Result<[Restraint; 3], RestraintError> {
    let mass = mass
        .filter(|mass| mass.kg() > 0.0)
        .ok_or(RestraintError::NoMass)?;
    if friction.is_some_and(|friction| !(0.0..=1.0).contains(&friction)) {
        return Err(RestraintError::Friction);
    }
    let weight = mass.kg() * STANDARD_GRAVITY;
    if !weight.is_finite() {
        return Err(RestraintError::TooHeavy);
    }
    Ok(Push::ALL.map(|push| {
        let accelerations = transport.accelerations(push, Movement::Sliding);
        let left = accelerations.horizontal - friction.unwrap_or(0.0) * accelerations.vertical;
        let force = Force::from_n(weight * left)
            .ok()
            .filter(|force| force.n() > 0.0);
        let need = match (force, friction) {
            (None, _) => Need::FrictionHolds,
            (Some(force), Some(_)) => Need::Force(force),
            (Some(force), None) => Need::AtMost(force),
        };
        Restraint {
            push,
            accelerations,
            need,
            tilt: tilt(accelerations, friction.unwrap_or(0.0)),
        }
    }))
}

/// The tilt that tests the same as a push; see [`Tilt`] for the two angles. Plain statics: on a
/// slope θ the weight m g has m g sin θ along it and m g cos θ on it.
fn tilt(accelerations: Accelerations, friction: f64) -> Tilt {
    let Accelerations {
        horizontal,
        vertical,
        ..
    } = accelerations;
    let same_ratio = horizontal.atan2(vertical);
    // sin θ − μ cos θ = √(1 + μ²) sin(θ − arctan μ)
    let left = horizontal - friction * vertical;
    let sine = left / friction.hypot(1.0);
    let same_force = (left > 0.0 && sine <= 1.0)
        .then(|| sine.asin() + friction.atan())
        .filter(|angle| *angle <= std::f64::consts::FRAC_PI_2);
    Tilt {
        same_ratio_deg: same_ratio.to_degrees(),
        share_of_force: same_ratio.cos() / vertical,
        same_force_deg: same_force.map(f64::to_degrees),
    }
}

/// Whether a load tips in one direction before anything slides.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tipping {
    /// The direction.
    pub push: Push,
    /// The accelerations it rests on.
    pub accelerations: Accelerations,
    /// b/h: half the base over the height of the centre of gravity.
    pub ratio: f64,
    /// Whether it stands: b/h is more than c/cz.
    pub stands: bool,
    /// The centre of gravity was taken at half the height, since it is not known.
    pub centre_assumed: bool,
}

impl fmt::Display for Tipping {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let verdict = if self.stands {
            "the load would stand by itself"
        } else {
            "the load would tip by itself"
        };
        write!(f, "Pushed {}, {verdict}, an estimate", self.push)?;
        if self.centre_assumed {
            f.write_str(" with the centre of gravity taken at half the height")?;
        }
        f.write_str(".")
    }
}

/// Whether the load as one block would tip over the edge of its base.
///
/// It stands while b cz > h c, that is b/h > c/cz, with b half the base along the push and h the
/// height of the centre of gravity above it: the turning of weight and push about the edge.
/// Source: EN 12195-1:2010 and the CTU Code, Annex 7, from memory; plain statics. Where the
/// centre of gravity is not known it is taken at half the height, and the result says so.
///
/// # Errors
/// No base or no height.
pub fn tipping(
    base: Option<Length>,
    height: Option<Length>,
    centre_height: Option<Length>,
    transport: Transport,
    push: Push,
) -> Result<Tipping, RestraintError> {
    let known = |length: Option<Length>| length.filter(|length| length.m() > 0.0);
    let half = known(base).ok_or(RestraintError::NoBase)?.m() / 2.0;
    let centre = known(centre_height).map(Length::m);
    let height = match centre {
        Some(centre) => centre,
        None => known(height).ok_or(RestraintError::NoHeight)?.m() / 2.0,
    };
    let accelerations = transport.accelerations(push, Movement::Tipping);
    let ratio = half / height;
    if !ratio.is_finite() {
        return Err(RestraintError::NoHeight);
    }
    Ok(Tipping {
        push,
        accelerations,
        ratio,
        stands: ratio > accelerations.horizontal / accelerations.vertical,
        centre_assumed: centre.is_none(),
    })
}
