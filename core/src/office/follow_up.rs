//! What became of a line since the visit before.

use super::settings::{Settings, differences};
use crate::analysis::comparison::{
    Criteria, Difference, FilmComparison, FilmError, SideResult, compare, compare_films,
    load_readings,
};
use crate::analysis::containment::{CONFIDENCE, ZoneName};
use crate::survey::{Id, Line, Record, RecordSet, Setup, SetupRole};
use crate::units::{Force, Method, MethodId, PullPlate, TorsionTool};

/// What a setup of the earlier visit stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reference {
    /// It was planned to be tried.
    Planned,
    /// The line was left with it.
    AsLeft,
    /// It was tried.
    Tried,
    /// The line was found with it, and nothing else is known.
    AsFound,
}

/// Why no difference is told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum WhyNot {
    /// Not measured then.
    #[error("not measured then")]
    NotThen,
    /// Not measured now.
    #[error("not measured now")]
    NotNow,
    /// A pull-plate reading without the length of its face.
    #[error("not compared: the length of a face is not known")]
    FaceNotKnown,
    /// One reading only, then or now.
    #[error("not compared: it takes two readings then and now")]
    OneReading,
}

/// One zone by one method, then and now, on faces of one length.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneSince {
    /// Which.
    pub zone: ZoneName,
    /// Length of the faces in metres; `None` where it does not matter.
    pub face_length_m: Option<f64>,
    /// Then; `None` without readings.
    pub then: Option<SideResult>,
    /// Now; `None` without readings.
    pub now: Option<SideResult>,
    /// Now less then in newtons (Welch), or why it is not told.
    pub change: Result<Difference, WhyNot>,
}

/// A line at a visit laid beside the same line at an earlier one.
#[derive(Debug, Clone)]
pub struct FollowUp<'r> {
    /// The line now.
    pub line: &'r Record<Line>,
    /// The line then.
    pub earlier: &'r Record<Line>,
    /// What was proposed then, or left; `None` where only what was found was noted.
    pub proposed: Option<(Reference, &'r Record<Setup>)>,
    /// What the line was found with now.
    pub found: Option<&'r Record<Setup>>,
    /// How the setup found compares with the one proposed, setting by setting.
    pub settings: Option<Settings>,
    /// The setup of then whose figures now's are laid beside: the last left, else tried, else found,
    /// of those that were measured.
    pub beside: Option<(Reference, &'r Record<Setup>)>,
    /// Containment by the torsion tool, then and now.
    pub torsion: Vec<ZoneSince>,
    /// Containment by the pull plate, then and now: the two are never one.
    pub pull: Vec<ZoneSince>,
    /// Film a load, then (old) and now (new).
    pub film: Option<Result<FilmComparison, FilmError>>,
}

/// Lays the line `now` beside the line `earlier`, each with what is in use of its visit.
#[must_use]
pub fn follow_up<'r>(
    (line, now): (&'r Record<Line>, &'r RecordSet),
    (earlier, then): (&'r Record<Line>, &'r RecordSet),
) -> FollowUp<'r> {
    let planned = of_line(then, earlier.id).filter(|setup| setup.planned.is_some());
    let proposed = planned
        .max_by_key(|setup| setup.id)
        .map(|setup| (Reference::Planned, setup))
        .or_else(|| {
            last(then, earlier.id, SetupRole::AsLeft).map(|setup| (Reference::AsLeft, setup))
        });
    let found = last(now, line.id, SetupRole::AsFound);
    let beside = [
        (Reference::AsLeft, SetupRole::AsLeft),
        (Reference::Tried, SetupRole::Trial),
        (Reference::AsFound, SetupRole::AsFound),
    ]
    .into_iter()
    .find_map(|(reference, role)| {
        let measured = of_line(then, earlier.id)
            .filter(|setup| setup.role == role && is_measured(then, setup.id));
        Some((reference, measured.max_by_key(|setup| setup.id)?))
    });
    let (mut torsion, mut pull, mut film) = (Vec::new(), Vec::new(), None);
    if let (Some(found), Some((_, beside))) = (found, beside) {
        torsion = zones::<TorsionTool>((found.id, now), (beside.id, then));
        pull = zones::<PullPlate>((found.id, now), (beside.id, then));
        let mut both = RecordSet::default();
        for records in [then, now] {
            both.loads.extend_from_slice(&records.loads);
            both.film_weights.extend_from_slice(&records.film_weights);
        }
        // What is known of a scale now comes first.
        both.tools = [now, then]
            .into_iter()
            .flat_map(|of| of.tools.clone())
            .collect();
        film = Some(compare_films(&both, found.id, beside.id));
    }
    let settings = match (proposed, found) {
        (Some((_, proposed)), Some(found)) => Some(differences((proposed, then), (found, now))),
        _ => None,
    };
    FollowUp {
        line,
        earlier,
        proposed,
        found,
        settings,
        beside,
        torsion,
        pull,
        film,
    }
}

fn of_line(records: &RecordSet, line: Id<Line>) -> impl Iterator<Item = &Record<Setup>> {
    records
        .setups
        .iter()
        .filter(move |setup| setup.line == line)
}

fn last(records: &RecordSet, line: Id<Line>, role: SetupRole) -> Option<&Record<Setup>> {
    let setups = of_line(records, line).filter(|setup| setup.role == role);
    setups.max_by_key(|setup| setup.id)
}

fn is_measured(records: &RecordSet, setup: Id<Setup>) -> bool {
    let mut loads = records.loads.iter().filter(|load| load.setup == setup);
    loads.any(|load| {
        records.readings.iter().any(|of| of.load == load.id)
            || records.film_weights.iter().any(|of| of.load == load.id)
    })
}

/// Each zone by method `M` on faces of one length: [`compare`] of the readings, of which only the
/// differences are told, for nothing is judged here.
fn zones<M: Method>(
    (now, among_now): (Id<Setup>, &RecordSet),
    (then, among): (Id<Setup>, &RecordSet),
) -> Vec<ZoneSince> {
    let (now, then) = (
        load_readings::<M>(among_now, now),
        load_readings::<M>(among, then),
    );
    let criteria = Criteria {
        confidence: CONFIDENCE,
        ..Criteria::new(Force::ZERO)
    };
    let found = compare(&now, &then, &Default::default(), criteria);
    let unknown = |zone: ZoneName| {
        let mut taken = now.iter().chain(&then).flat_map(|load| &load.taken);
        M::ID == MethodId::PullPlate
            && taken.any(|taken| taken.zone == zone && taken.face_length_m.is_none())
    };
    let faces = found.zones.into_iter().flat_map(|of| {
        let zone = of.zone;
        of.faces.into_iter().map(move |face| (zone, face))
    });
    faces
        .map(|(zone, face)| {
            let change = match (face.old, face.new, face.difference) {
                (None, _, _) => Err(WhyNot::NotThen),
                (_, None, _) => Err(WhyNot::NotNow),
                _ if unknown(zone) => Err(WhyNot::FaceNotKnown),
                (_, _, None) => Err(WhyNot::OneReading),
                (_, _, Some(difference)) => Ok(difference),
            };
            ZoneSince {
                zone,
                face_length_m: face.face_length_m,
                then: face.old,
                now: face.new,
                change,
            }
        })
        .collect()
}
