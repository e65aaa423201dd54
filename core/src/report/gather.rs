//! A visit out of the book, with everything that is computed of it.

use crate::analysis::comparison::{
    Comparison, Criteria, FilmComparison, compare_films, compare_setups,
};
use crate::analysis::containment::{ContainmentResult, containment, targets_for};
use crate::analysis::diagnosis::{Diagnosis, diagnose};
use crate::analysis::plan::{Asked, Plan, PlanError, plan};
use crate::book::{Book, BookError, Which};
use crate::language::Reader;
use crate::survey::{
    Id, Kind, Line, Load, Photo, Reading, Record, RecordRef, RecordSet, Setup, SetupRole, Visit,
};
use crate::units::{Force, Method, PullPlate, TorsionTool};
use crate::words::compare::Pair;
use crate::words::{Material, is_in_use};

/// Everything a report says, as records and results.
pub(super) struct Report {
    pub(super) visit: Record<Visit>,
    /// What is in use, with the readings that were set aside.
    pub(super) records: RecordSet,
    pub(super) lines: Vec<LineReport>,
    /// The pictures of each record, in the order of the report.
    pub(super) photos: Vec<(RecordRef, Vec<Record<Photo>>)>,
}

/// A line.
pub(super) struct LineReport {
    pub(super) line: Record<Line>,
    /// As found first, then as they were tried.
    pub(super) setups: Vec<SetupReport>,
    /// Those tried after it against the one as found.
    pub(super) trials: Vec<Trial>,
    /// From the setup as found, by each method it was read by.
    pub(super) plans: ByMethod<PlanOf<TorsionTool>, PlanOf<PullPlate>>,
    /// The setup the plans start from.
    pub(super) planned_from: Option<String>,
}

/// What there is by each of the two methods. The two are never one.
pub(super) struct ByMethod<T, P> {
    pub(super) torsion: Option<T>,
    pub(super) pull: Option<P>,
}

/// A plan, or why there is none.
pub(super) type PlanOf<M> = Result<Box<Plan<M>>, PlanError>;

/// A setup with all its loads.
pub(super) struct SetupReport {
    pub(super) material: Material,
    pub(super) by_method: ByMethod<ContainmentResult<TorsionTool>, ContainmentResult<PullPlate>>,
}

/// Two setups of a line.
pub(super) struct Trial {
    pub(super) pair: Pair,
    pub(super) film: Option<FilmComparison>,
    pub(super) by_method: ByMethod<Comparison<TorsionTool>, Comparison<PullPlate>>,
}

/// Takes a visit out of the book.
pub(super) fn gather(book: &Book, visit: Id<Visit>) -> Result<Report, BookError> {
    let in_use = book.visit_records(visit, Which::InUse)?;
    let mut records = in_use.clone();
    let on = |load: Id<Load>| in_use.loads.iter().any(|of| of.id == load);
    records.readings = book.visit_records(visit, Which::All)?.readings;
    records.readings.retain(|reading| on(reading.load));
    let lines = in_use
        .lines
        .iter()
        .map(|line| line_report(&in_use, &records, line))
        .collect();
    Ok(Report {
        visit: book.get(visit)?,
        photos: photos(&in_use),
        lines,
        records,
    })
}

/// The diagnosis of a line, worded for the reader.
pub(super) fn diagnosis(report: &Report, line: &Record<Line>, to: Reader) -> Option<Diagnosis> {
    diagnose(&report.records, line.id, to)
}

fn line_report(in_use: &RecordSet, records: &RecordSet, line: &Record<Line>) -> LineReport {
    let mut setups: Vec<&Record<Setup>> = in_use
        .setups
        .iter()
        .filter(|setup| setup.line == line.id)
        .collect();
    setups.sort_by_key(|setup| setup.role != SetupRole::AsFound);
    let from = setups.first().copied();
    LineReport {
        trials: from.map_or_else(Vec::new, |old| {
            let later = setups.iter().skip(1);
            later.map(|new| trial(in_use, line, old, new)).collect()
        }),
        plans: ByMethod {
            torsion: from.and_then(|from| plan_of(in_use, from)),
            pull: from.and_then(|from| plan_of(in_use, from)),
        },
        planned_from: from.map(|from| from.name.clone()),
        setups: setups
            .iter()
            .filter_map(|setup| setup_report(records, setup))
            .collect(),
        line: line.clone(),
    }
}

fn loads_of(records: &RecordSet, setup: Id<Setup>) -> Vec<&Record<Load>> {
    let loads = records.loads.iter();
    loads.filter(|load| load.setup == setup).collect()
}

fn was_read<M: Method>(records: &RecordSet, setup: Id<Setup>) -> bool {
    let loads = loads_of(records, setup);
    records
        .readings
        .iter()
        .any(|reading| is_in_use::<M>(reading) && loads.iter().any(|load| load.id == reading.load))
}

fn plan_of<M: Method>(records: &RecordSet, from: &Record<Setup>) -> Option<PlanOf<M>> {
    was_read::<M>(records, from.id)
        .then(|| plan::<M>(records, from.id, Asked::default()).map(Box::new))
}

fn setup_report(records: &RecordSet, setup: &Record<Setup>) -> Option<SetupReport> {
    let material = Material::of_records(records, setup, &loads_of(records, setup.id))?;
    Some(SetupReport {
        by_method: ByMethod {
            torsion: result(&material),
            pull: result(&material),
        },
        material,
    })
}

/// `None` without a reading by the method, set aside or not.
fn result<M: Method>(material: &Material) -> Option<ContainmentResult<M>> {
    let read = |reading: &Record<Reading>| reading.measure.method() == M::ID;
    let any = material.readings.iter().flatten().any(read);
    any.then(|| {
        let targets = targets_for::<M>(&material.targets, material.line.id, material.stability());
        containment(&material.taken::<M>(), &targets)
    })
}

fn trial(
    records: &RecordSet,
    line: &Record<Line>,
    old: &Record<Setup>,
    new: &Record<Setup>,
) -> Trial {
    let pair = Pair {
        old: old.clone(),
        new: new.clone(),
        line: line.clone(),
        records: records.clone(),
    };
    Trial {
        film: compare_films(records, new.id, old.id).ok(),
        by_method: ByMethod {
            torsion: comparison(&pair),
            pull: comparison(&pair),
        },
        pair,
    }
}

/// `None` where one of the two was not read by the method.
fn comparison<M: Method>(pair: &Pair) -> Option<Comparison<M>> {
    let read = |setup: &Record<Setup>| was_read::<M>(&pair.records, setup.id);
    (read(&pair.old) && read(&pair.new)).then(|| {
        let margin = pair
            .margin::<M>()
            .map_or(Force::ZERO, |(kept, _)| kept.force.value);
        compare_setups::<M>(&pair.records, &pair.new, pair.old.id, Criteria::new(margin))
    })
}

/// The pictures by what they show: the visit, its lines, setups, loads and readings, checks,
/// samples, then anything else.
fn photos(records: &RecordSet) -> Vec<(RecordRef, Vec<Record<Photo>>)> {
    const ORDER: [Kind; 7] = [
        Kind::Visit,
        Kind::Line,
        Kind::Setup,
        Kind::Load,
        Kind::Reading,
        Kind::MachineCheck,
        Kind::Sample,
    ];
    let place = |of: RecordRef| {
        let kind = ORDER.iter().position(|kind| *kind == of.kind);
        (kind.unwrap_or(ORDER.len()), of.id)
    };
    let mut photos: Vec<&Record<Photo>> = records.photos.iter().collect();
    photos.sort_by_key(|photo| (place(photo.of), photo.order, photo.id));
    let mut groups: Vec<(RecordRef, Vec<Record<Photo>>)> = Vec::new();
    for photo in photos {
        match groups.last_mut() {
            Some((of, group)) if *of == photo.of => group.push(photo.clone()),
            _ => groups.push((photo.of, vec![photo.clone()])),
        }
    }
    groups
}
