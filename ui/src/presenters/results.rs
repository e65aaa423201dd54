//! Results: each zone against its target, by one method, and the film it took.

use tautbook_core::analysis::containment::{
    ContainmentResult, Taken, ZoneName, ZoneVerdict, containment, taken, targets_for,
};
use tautbook_core::analysis::film::film_per_load;
use tautbook_core::book::BookError;
use tautbook_core::survey::{
    FilmWeight, Id, Line, Load, Moment, Reading, Record, Stability, Target, TargetForce,
    TargetOrigin, Tool, Visit,
};
use tautbook_core::units::{
    Containment, Force, ForceUnit, Method, MethodId, PullPlate, TorsionTool, UnitChoice,
    parse_force, show_force,
};

use super::line::film_mass;
use super::{count, without_tenth};
use crate::place::{Place, Scope};
use crate::session::{Entry, Session, optional};

/// One zone in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ZoneWords {
    /// The zone.
    pub zone: ZoneName,
    /// How it stands.
    pub verdict: ZoneVerdict,
    /// Lowest reading.
    pub lowest: String,
    /// Mean.
    pub mean: String,
    /// Standard deviation.
    pub deviation: String,
    /// Readings.
    pub count: usize,
    /// Interval of the mean.
    pub interval: String,
    /// Target.
    pub target: String,
    /// Lowest less target, with its sign.
    pub margin: String,
    /// What to know before trusting the numbers.
    pub warning: String,
}

/// One zone drawn; places along the scale as fractions of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneBar {
    /// The zone.
    pub zone: ZoneName,
    /// How it stands.
    pub verdict: ZoneVerdict,
    /// Lowest reading.
    pub lowest: Option<f64>,
    /// Mean.
    pub mean: Option<f64>,
    /// Interval of the mean.
    pub interval: Option<(f64, f64)>,
    /// Target.
    pub target: Option<f64>,
}

/// One reading drawn: place along the scale and height on the load, as fractions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// Along the scale.
    pub at: f64,
    /// Up the load.
    pub height: f64,
    /// Set aside.
    pub aside: bool,
}

/// What the screen shows.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// The method.
    pub method: MethodId,
    /// What is summed up.
    pub scope: String,
    /// Top, middle, bottom in words.
    pub zones: Vec<ZoneWords>,
    /// Top, middle, bottom drawn.
    pub bars: Vec<ZoneBar>,
    /// Readings drawn.
    pub marks: Vec<Mark>,
    /// Ticks of the scale: place and number.
    pub ticks: Vec<(f64, String)>,
    /// The picture in words.
    pub spoken: String,
    /// Film a load.
    pub film: String,
    /// How it is known.
    pub film_detail: String,
    /// The customer's own standard: top, middle, bottom.
    pub targets: [Entry; 3],
    /// What to know about the computing.
    pub notes: Vec<String>,
}

/// Everything the results come from.
struct Material {
    visit: Id<Visit>,
    line: Id<Line>,
    loads: Vec<Record<Load>>,
    readings: Vec<Vec<Record<Reading>>>,
    weights: Vec<Record<FilmWeight>>,
    targets: Vec<Record<Target>>,
    tools: Vec<Record<Tool>>,
}

fn gather(session: &Session, scope: Scope) -> Result<Material, BookError> {
    let book = session.book();
    let (setup, loads) = match scope {
        Scope::Load(id) => {
            let load = book.get(id)?;
            (load.setup, vec![load])
        }
        Scope::Setup(id) => (id, book.children::<Load, _>(id)?),
    };
    let line = book.get(book.get(setup)?.line)?;
    let mut readings = Vec::new();
    let mut weights = Vec::new();
    for load in &loads {
        readings.push(book.children_which::<Reading, _>(load.id, tautbook_core::book::Which::All)?);
        weights.extend(book.children::<FilmWeight, _>(load.id)?);
    }
    Ok(Material {
        visit: line.visit,
        line: line.id,
        targets: book.children::<Target, _>(line.visit)?,
        tools: book.all::<Tool>()?,
        loads,
        readings,
        weights,
    })
}

impl Material {
    /// The class the loads share; `None` when it is not known or they differ.
    fn stability(&self) -> Option<Stability> {
        let first = self.loads.first()?.stability;
        if self.loads.iter().all(|load| load.stability == first) {
            first
        } else {
            None
        }
    }

    fn taken<M: Method>(&self) -> Vec<Taken<M>> {
        self.loads
            .iter()
            .zip(&self.readings)
            .flat_map(|(load, readings)| taken::<M>(load, readings))
            .collect()
    }
}

/// What the screen shows now.
///
/// # Errors
/// The store's errors.
pub fn view(session: &Session, scope: Scope, method: MethodId) -> Result<View, BookError> {
    let material = gather(session, scope)?;
    match method {
        MethodId::TorsionTool => view_by::<TorsionTool>(session, scope, &material),
        MethodId::PullPlate => view_by::<PullPlate>(session, scope, &material),
    }
}

fn view_by<M: Method>(
    session: &Session,
    scope: Scope,
    material: &Material,
) -> Result<View, BookError> {
    let units = session.units();
    let taken = material.taken::<M>();
    let targets = targets_for::<M>(&material.targets, material.line, material.stability());
    let result = containment(&taken, targets);
    let scale = Scale::over(&result, &taken, units.force);
    let warnings = overdue::<M>(material);
    let loads_read = material
        .readings
        .iter()
        .filter(|readings| readings.iter().any(|reading| in_use::<M>(reading)))
        .count();
    let scope_words = match scope {
        Scope::Load(_) => material
            .loads
            .first()
            .map_or_else(String::new, |load| load.name.clone()),
        Scope::Setup(_) => format!(
            "{} read of {}",
            count(loads_read, "load", "loads"),
            material.loads.len()
        ),
    };
    let entry = |zone: ZoneName, kept: Option<Containment<M>>| {
        let own = own_target::<M>(material, zone)
            .map_or_else(String::new, |target| target.minimum.entered().to_owned());
        let inherited = match (own.is_empty(), kept) {
            (true, Some(kept)) => show(kept.force(), units),
            _ => units.force.symbol().to_owned(),
        };
        session.entry(zone.as_str(), &own, &inherited)
    };
    let [top, middle, bottom] = targets;
    let film = film_per_load(&material.weights);
    Ok(View {
        method: M::ID,
        scope: scope_words,
        zones: result
            .zones
            .iter()
            .map(|zone| words(zone, units, &warnings))
            .collect(),
        bars: result
            .zones
            .iter()
            .map(|zone| ZoneBar {
                zone: zone.zone,
                verdict: zone.verdict,
                lowest: zone.lowest.map(|lowest| scale.at(lowest.force().n())),
                mean: zone.summary.as_ref().map(|summary| scale.at(summary.mean)),
                interval: zone
                    .interval
                    .as_ref()
                    .map(|interval| (scale.at(interval.low), scale.at(interval.high))),
                target: zone.target.map(|target| scale.at(target.force().n())),
            })
            .collect(),
        marks: marks::<M>(material, &scale),
        ticks: scale.ticks(),
        spoken: spoken(&result, units),
        film: film
            .as_ref()
            .map_or_else(String::new, |film| film_mass(film.mass, units)),
        film_detail: film.as_ref().map_or_else(String::new, |film| {
            let loads = usize::try_from(film.loads).unwrap_or(usize::MAX);
            let weighings = count(material.weights.len(), "weighing", "weighings");
            format!("{} in {weighings}", count(loads, "load", "loads"))
        }),
        targets: [
            entry(ZoneName::Top, top),
            entry(ZoneName::Middle, middle),
            entry(ZoneName::Bottom, bottom),
        ],
        notes: notes::<M>(&result),
    })
}

fn in_use<M: Method>(reading: &Record<Reading>) -> bool {
    reading.set_aside.is_none() && reading.measure.method() == M::ID
}

/// A force without the tenth that says nothing.
fn show(force: Force, units: UnitChoice) -> String {
    let shown = show_force(force, units.force, &units.style());
    without_tenth(&shown)
}

fn show_n(n: f64, units: UnitChoice) -> String {
    Force::from_n(n).map_or_else(|_| String::new(), |force| show(force, units))
}

/// A spread or a difference of forces: ounces alone below a pound.
fn show_small(n: f64, units: UnitChoice) -> String {
    let shown = show_n(n, units);
    match shown.strip_prefix("0 lb ") {
        Some(ounces) => ounces.to_owned(),
        None => shown,
    }
}

/// A difference of forces with its sign.
fn show_signed(n: f64, units: UnitChoice) -> String {
    let sign = if n < 0.0 { "\u{2212}" } else { "+" };
    format!("{sign}{}", show_small(n.abs(), units))
}

fn words<M: Method>(
    zone: &tautbook_core::analysis::containment::ZoneResult<M>,
    units: UnitChoice,
    tools: &[String],
) -> ZoneWords {
    let mut warnings = Vec::new();
    if let Some(outlier) = &zone.outlier {
        let unsure = if outlier.reliable {
            ""
        } else {
            ", though few readings make that unsure"
        };
        warnings.push(format!(
            "One reading lies far from the others{unsure}. Look at it again."
        ));
    }
    if zone.unlike_faces && M::ID == MethodId::PullPlate {
        warnings.push(
            "Faces of unlike length: the pull plate reads more on a shorter face.".to_owned(),
        );
    }
    if zone.count > 0 {
        warnings.extend(tools.iter().cloned());
    }
    ZoneWords {
        zone: zone.zone,
        verdict: zone.verdict,
        lowest: zone
            .lowest
            .map_or_else(String::new, |lowest| show(lowest.force(), units)),
        mean: zone
            .summary
            .as_ref()
            .map_or_else(String::new, |sum| show_n(sum.mean, units)),
        deviation: zone
            .summary
            .as_ref()
            .and_then(|summary| summary.sd)
            .map_or_else(String::new, |sd| show_small(sd, units)),
        count: zone.count,
        interval: zone.interval.as_ref().map_or_else(String::new, |interval| {
            let low = show_n(interval.low.max(0.0), units);
            format!("{low} and {}", show_n(interval.high, units))
        }),
        target: zone
            .target
            .map_or_else(String::new, |target| show(target.force(), units)),
        margin: zone
            .margin_n
            .map_or_else(String::new, |margin| show_signed(margin, units)),
        warning: warnings.join(" "),
    }
}

/// A line for each tool that was past its check when it was used.
fn overdue<M: Method>(material: &Material) -> Vec<String> {
    material
        .tools
        .iter()
        .filter(|tool| {
            material
                .readings
                .iter()
                .flatten()
                .filter(|reading| in_use::<M>(reading))
                .any(|reading| reading.tool == Some(tool.id) && overdue_at(tool, reading.taken_at))
        })
        .map(|tool| format!("{} was past its check when it was read.", tool.name))
        .collect()
}

fn overdue_at(tool: &Tool, at: Moment) -> bool {
    tool.check_overdue(at) == Some(true)
}

fn marks<M: Method>(material: &Material, scale: &Scale) -> Vec<Mark> {
    let mut marks = Vec::new();
    for (load, readings) in material.loads.iter().zip(&material.readings) {
        for reading in readings {
            let Some(value) = reading.measure.containment::<M>() else {
                continue;
            };
            marks.push(Mark {
                at: scale.at(value.force().n()),
                height: height(load, reading),
                aside: reading.set_aside.is_some(),
            });
        }
    }
    marks
}

/// Where up the load a reading was taken, as a fraction of its height: the middle of its zone, or
/// its own height where that was given.
fn height(load: &Load, reading: &Reading) -> f64 {
    match &reading.zone {
        tautbook_core::survey::Zone::Top => 5.0 / 6.0,
        tautbook_core::survey::Zone::Middle => 0.5,
        tautbook_core::survey::Zone::Bottom => 1.0 / 6.0,
        tautbook_core::survey::Zone::Height(height) => load.height.as_ref().map_or(0.5, |load| {
            (height.value.m() / load.value.m()).clamp(0.0, 1.0)
        }),
    }
}

/// The scale along which forces are drawn, from zero.
struct Scale {
    full_n: f64,
    step: f64,
    per_n: f64,
    unit: &'static str,
}

impl Scale {
    fn over<M: Method>(result: &ContainmentResult<M>, taken: &[Taken<M>], unit: ForceUnit) -> Self {
        let most = taken
            .iter()
            .map(|reading| reading.value.force().n())
            .chain(
                result
                    .zones
                    .iter()
                    .filter_map(|zone| Some(zone.target?.force().n())),
            )
            .chain(
                result
                    .zones
                    .iter()
                    .filter_map(|zone| Some(zone.interval.as_ref()?.high)),
            )
            .fold(0.0_f64, f64::max);
        let (name, per_n) = match unit {
            ForceUnit::PoundOunce => ("lb", 1.0 / tautbook_core::units::N_PER_LBF),
            ForceUnit::Newton => ("N", 1.0),
        };
        let full = (most * per_n * 1.05).max(1.0);
        let step = nice_step(full / 4.0);
        let full = (full / step).ceil() * step;
        Self {
            full_n: full / per_n,
            step,
            per_n,
            unit: name,
        }
    }

    fn at(&self, n: f64) -> f64 {
        (n / self.full_n).clamp(0.0, 1.0)
    }

    /// From zero to the end of the scale, the last with the unit.
    fn ticks(&self) -> Vec<(f64, String)> {
        let full = self.full_n * self.per_n;
        let mut ticks = Vec::new();
        let mut value = 0.0;
        while value < full - self.step / 2.0 {
            ticks.push((value / full, number(value)));
            value += self.step;
        }
        ticks.push((1.0, format!("{} {}", number(full), self.unit)));
        ticks
    }
}

/// A number of the scale, to a tenth.
fn number(value: f64) -> String {
    format!("{}", (value * 10.0).round() / 10.0)
}

/// The next of 1, 2, 5, 10, 20, 50 ... at or above a step.
fn nice_step(rough: f64) -> f64 {
    let power = 10_f64.powf(rough.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|step| step * power)
        .find(|step| *step >= rough * 0.999_999)
        .unwrap_or(10.0 * power)
}

fn spoken<M: Method>(result: &ContainmentResult<M>, units: UnitChoice) -> String {
    let zones: Vec<String> = result
        .zones
        .iter()
        .map(|zone| match (zone.lowest, zone.target) {
            (None, _) => format!("{}: not measured", zone.zone.as_str()),
            (Some(lowest), None) => {
                format!(
                    "{}: lowest {}",
                    zone.zone.as_str(),
                    show(lowest.force(), units)
                )
            }
            (Some(lowest), Some(target)) => format!(
                "{}: lowest {}, target {}",
                zone.zone.as_str(),
                show(lowest.force(), units),
                show(target.force(), units)
            ),
        })
        .collect();
    zones.join("; ")
}

fn notes<M: Method>(result: &ContainmentResult<M>) -> Vec<String> {
    let mut notes = vec![match M::ID {
        MethodId::TorsionTool => {
            "Torsion-tool readings compare with torsion-tool readings only, taken the same way."
        }
        MethodId::PullPlate => {
            "Pull-plate readings compare with pull-plate readings only, on faces of like length \
             and pulled as far."
        }
    }
    .to_owned()];
    if result.zones.iter().any(|zone| zone.target.is_some()) {
        notes.push(
            "A zone reaches its target when its lowest reading does. A load is as strong as its \
             weakest zone."
                .to_owned(),
        );
    } else {
        notes.push(
            "Without a target nothing is judged. Ask the customer for their own standard, or \
             derive one from ten or more loads known to have arrived undamaged."
                .to_owned(),
        );
    }
    if result
        .zones
        .iter()
        .any(|zone| zone.summary.as_ref().is_some_and(|sum| sum.n < 3))
    {
        notes.push("Fewer than three readings in a zone say little about its spread.".to_owned());
    }
    if result.zones.iter().any(|zone| {
        zone.interval
            .as_ref()
            .is_some_and(|of| of.resolution_limited)
    }) {
        notes.push(
            "Readings that are all alike are given the spread of a scale read to one ounce."
                .to_owned(),
        );
    }
    notes
}

/// The target that was typed here: for this line, zone and method, all classes of loads.
fn own_target<M: Method>(material: &Material, zone: ZoneName) -> Option<&Record<Target>> {
    material
        .targets
        .iter()
        .filter(|target| target.line == Some(material.line) && target.stability.is_none())
        .filter(|target| ZoneName::of(&target.zone) == Some(zone))
        .rfind(|target| target.minimum.method == M::ID)
}

/// Changes the method.
pub fn pick_method(session: &mut Session, method: MethodId) {
    if let Place::Results { scope, .. } = session.here() {
        session.turn(Place::Results { scope, method });
    }
}

/// Notes a target half typed.
pub fn draft_target(session: &mut Session, zone: ZoneName, text: &str) {
    session.draft(zone.as_str(), text);
}

/// Tries to keep whatever target stands half typed, before the person goes on.
pub fn settle(session: &mut Session) {
    for zone in ZoneName::ALL {
        if let Some(text) = session.unsettled(zone.as_str()) {
            edit_target(session, zone, &text);
        }
    }
}

/// Keeps the customer's own target for a zone of this line; blank sets it aside.
pub fn edit_target(session: &mut Session, zone: ZoneName, text: &str) {
    let Place::Results { scope, method } = session.here() else {
        return;
    };
    session.settle(zone.as_str(), text, |session, text| {
        let units = session.units();
        let force = optional(parse_force(text, &units.force_typing()))?;
        let material = gather(session, scope)?;
        let own = match method {
            MethodId::TorsionTool => own_target::<TorsionTool>(&material, zone),
            MethodId::PullPlate => own_target::<PullPlate>(&material, zone),
        };
        session.book.act("set_target", |act| {
            match (own, force) {
                (Some(own), Some(force)) => {
                    act.change(own.id, |target: &mut Target| {
                        target.minimum = TargetForce::new(method, force);
                    })?;
                }
                (Some(own), None) => {
                    act.set_aside(own.id, "taken back")?;
                }
                (None, Some(force)) => {
                    act.add(Target {
                        visit: material.visit,
                        line: Some(material.line),
                        zone: zone.zone(),
                        stability: None,
                        minimum: TargetForce::new(method, force),
                        origin: TargetOrigin::CustomerStandard {
                            reference: String::new(),
                        },
                    })?;
                }
                (None, None) => {}
            }
            Ok(())
        })?;
        Ok(())
    });
}

/// Goes to weigh the film of the load, or of the setup's first load.
pub fn weigh(session: &mut Session) {
    let Place::Results { scope, .. } = session.here() else {
        return;
    };
    let material = gather(session, scope);
    let Some(material) = session.report(material) else {
        return;
    };
    if let Some(load) = material.loads.first() {
        session.go(Place::Weigh(load.id));
    }
}
