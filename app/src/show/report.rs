//! What `show --json` prints. Names are stable; a number's name ends in its unit: `_n` newtons,
//! `_kg` kilograms.

use schemars::JsonSchema;
use serde::Serialize;
use tautbook_core::analysis::containment::{
    CONFIDENCE, ContainmentResult, FaceResult, ToleranceResult, ToleranceRule, Verdict, ZoneResult,
    ZoneVerdict, containment, taken, targets_for,
};
use tautbook_core::analysis::film::{FilmPerLoad, film_per_load};
use tautbook_core::book::{Book, VisitSummary, Which};
use tautbook_core::survey::{Id, Load, Purpose, Reading, Record, RecordSet, Setup, Visit};
use tautbook_core::units::{Method, PullPlate, TorsionTool};
use uuid::Uuid;

/// What `show --json` prints.
#[derive(Debug, Clone, Serialize, JsonSchema)]
#[serde(untagged)]
pub(crate) enum Shown {
    /// Without a visit: the list.
    Visits(VisitList),
    /// With one.
    Visit(Box<VisitReport>),
}

/// The visits in a book.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct VisitList {
    /// `tautbook-visits`.
    format: String,
    /// Version of this form.
    version: u32,
    /// Latest day first.
    visits: Vec<VisitEntry>,
}

/// A visit at a glance.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct VisitEntry {
    id: Uuid,
    date: chrono::NaiveDate,
    customer: String,
    site: String,
    purpose: Purpose,
    /// Lines in use.
    lines: u32,
    /// Loads in use.
    loads: u32,
    /// Readings in use.
    readings: u32,
}

impl VisitList {
    pub(crate) fn of(visits: Vec<VisitSummary>) -> Self {
        let visits = visits.into_iter().map(|visit| VisitEntry {
            id: visit.id.uuid(),
            date: visit.date,
            customer: visit.customer,
            site: visit.site,
            purpose: visit.purpose,
            lines: visit.lines,
            loads: visit.loads,
            readings: visit.readings,
        });
        Self {
            format: "tautbook-visits".to_owned(),
            version: 1,
            visits: visits.collect(),
        }
    }
}

/// One visit: the whole record and everything computed from it.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct VisitReport {
    /// `tautbook-visit`.
    format: String,
    /// Version of this form.
    version: u32,
    /// Which visit.
    pub(crate) visit: Uuid,
    /// Everything noted on the visit, what was set aside as well.
    pub(crate) records: RecordSet,
    /// Everything computed from what is in use.
    pub(crate) results: Results,
}

/// Everything computed.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct Results {
    /// For each setup, all its loads together.
    pub(crate) setups: Vec<SetupResult>,
    /// For each load.
    pub(crate) loads: Vec<LoadResult>,
    /// For each tool that was used.
    pub(crate) tools: Vec<ToolResult>,
}

/// A setup: all its loads together.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct SetupResult {
    pub(crate) setup: Uuid,
    pub(crate) line: Uuid,
    /// Containment force by the torsion tool.
    pub(crate) torsion_tool: MethodResult,
    /// Containment force by the pull plate. The two are never one.
    pub(crate) pull_plate: MethodResult,
    /// Film per load; absent without a weighing.
    pub(crate) film: Option<FilmResult>,
}

/// One load.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct LoadResult {
    pub(crate) load: Uuid,
    pub(crate) setup: Uuid,
    /// Containment force by the torsion tool.
    pub(crate) torsion_tool: MethodResult,
    /// Containment force by the pull plate. The two are never one.
    pub(crate) pull_plate: MethodResult,
}

/// How the whole stands against the targets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum MethodVerdict {
    /// No reading by this method.
    NotMeasured,
    /// No zone that was measured has a target.
    NoTarget,
    /// No zone is below, but one has no reading or no target.
    Incomplete,
    /// The lowest reading of every zone reaches its target.
    Reaches,
    /// A zone is below its target.
    Below,
}

/// Containment force by one method.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct MethodResult {
    /// How the whole stands.
    pub(crate) verdict: MethodVerdict,
    /// The zone with the least margin, or the lowest reading without targets.
    pub(crate) weakest_zone: Option<String>,
    /// Top, middle, bottom.
    pub(crate) zones: Vec<ZoneNumbers>,
}

/// How a zone stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(crate) enum ZoneStanding {
    /// No reading.
    NotMeasured,
    /// Nothing to judge against.
    NoTarget,
    /// The lowest reading is the target or more.
    Reaches,
    /// The lowest reading is less than the target.
    Below,
}

/// One zone by one method.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct ZoneNumbers {
    /// `top`, `middle` or `bottom`.
    pub(crate) zone: String,
    /// How many readings.
    pub(crate) readings: usize,
    pub(crate) lowest_n: Option<f64>,
    pub(crate) highest_n: Option<f64>,
    /// Absent where faces of unlike length were read by the pull plate: see `faces`.
    pub(crate) mean_n: Option<f64>,
    /// Sample standard deviation; absent below two readings.
    pub(crate) sd_n: Option<f64>,
    /// Lower end of the Student-t interval of the mean.
    pub(crate) mean_low_n: Option<f64>,
    /// Upper end of it.
    pub(crate) mean_high_n: Option<f64>,
    /// Confidence of that interval as a fraction.
    pub(crate) confidence: f64,
    /// The readings differ by less than the tool can show.
    pub(crate) resolution_limited: bool,
    /// The reading that stands out by Grubbs' two-sided test.
    pub(crate) outlier: Option<OutlierNumbers>,
    /// The limit that most readings of such loads lie above; absent as the mean is, and below two
    /// readings.
    pub(crate) tolerance: Option<ToleranceNumbers>,
    /// Faces of unlike length were read.
    pub(crate) unlike_faces: bool,
    /// One by one, where the pull plate was used on faces of unlike length.
    pub(crate) faces: Vec<FaceNumbers>,
    /// The least force asked for.
    pub(crate) target_n: Option<f64>,
    /// Lowest less target.
    pub(crate) margin_n: Option<f64>,
    /// How it stands.
    pub(crate) verdict: ZoneStanding,
}

/// A lower tolerance bound.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct ToleranceNumbers {
    pub(crate) bound_n: f64,
    /// Part of all readings that lies above it.
    pub(crate) coverage: f64,
    /// How sure that is.
    pub(crate) confidence: f64,
}

/// The readings on faces of one length.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct FaceNumbers {
    /// Absent where it is not known.
    pub(crate) face_length_m: Option<f64>,
    pub(crate) readings: usize,
    pub(crate) lowest_n: Option<f64>,
    pub(crate) mean_n: Option<f64>,
    /// Absent below two readings.
    pub(crate) sd_n: Option<f64>,
    /// Absent below two readings.
    pub(crate) tolerance: Option<ToleranceNumbers>,
}

/// A reading that stands out. It is in use all the same.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct OutlierNumbers {
    pub(crate) value_n: f64,
    /// Grubbs' G.
    pub(crate) statistic: f64,
    /// What G would have to exceed.
    pub(crate) critical: f64,
    /// More than six readings: below that the test flags too readily.
    pub(crate) reliable: bool,
}

/// Film per load.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct FilmResult {
    pub(crate) weighings: usize,
    pub(crate) loads_weighed: u32,
    pub(crate) film_per_load_kg: f64,
    /// Over the weighings, each per load; absent below two.
    pub(crate) sd_kg: Option<f64>,
    /// Lower end of the Student-t interval of the mean over the weighings, whose standard error is
    /// no less than what the step of the scale leaves.
    pub(crate) mean_low_kg: Option<f64>,
    /// Upper end of it.
    pub(crate) mean_high_kg: Option<f64>,
    /// Confidence of that interval as a fraction.
    pub(crate) confidence: f64,
}

/// Whether a tool may be trusted.
#[derive(Debug, Clone, Serialize, JsonSchema)]
pub(crate) struct ToolResult {
    pub(crate) tool: Uuid,
    /// On the day it was last used here, its check no longer held; absent when no number of days
    /// was set.
    pub(crate) check_overdue: Option<bool>,
    /// Readings here that were taken past the check.
    pub(crate) readings_past_check: usize,
}

impl VisitReport {
    /// Reads a visit out of the book and computes everything.
    pub(crate) fn of(book: &Book, visit: Id<Visit>) -> anyhow::Result<Self> {
        let in_use = book.visit_records(visit, Which::InUse)?;
        Ok(Self {
            format: "tautbook-visit".to_owned(),
            version: 1,
            visit: visit.uuid(),
            results: Results::of(&in_use),
            records: book.visit_records(visit, Which::All)?,
        })
    }
}

impl Results {
    fn of(set: &RecordSet) -> Self {
        Self {
            setups: set
                .setups
                .iter()
                .map(|setup| setup_result(set, setup))
                .collect(),
            loads: set
                .loads
                .iter()
                .map(|load| LoadResult {
                    load: load.id.uuid(),
                    setup: load.setup.uuid(),
                    torsion_tool: method::<TorsionTool>(set, load.setup, &[load]),
                    pull_plate: method::<PullPlate>(set, load.setup, &[load]),
                })
                .collect(),
            tools: tools(set),
        }
    }
}

/// A setup's loads together.
pub(crate) fn setup_result(set: &RecordSet, setup: &Record<Setup>) -> SetupResult {
    let loads: Vec<&Record<Load>> = set
        .loads
        .iter()
        .filter(|load| load.setup == setup.id)
        .collect();
    let weights: Vec<_> = set
        .film_weights
        .iter()
        .filter(|weight| loads.iter().any(|load| load.id == weight.load))
        .cloned()
        .collect();
    SetupResult {
        setup: setup.id.uuid(),
        line: setup.line.uuid(),
        torsion_tool: method::<TorsionTool>(set, setup.id, &loads),
        pull_plate: method::<PullPlate>(set, setup.id, &loads),
        film: film_per_load(&weights, &set.tools).map(|film| film_numbers(&film)),
    }
}

/// Containment force of loads of one setup. A target for one class of loads counts when all of
/// them are of that class.
fn method<M: Method>(set: &RecordSet, setup: Id<Setup>, loads: &[&Record<Load>]) -> MethodResult {
    let readings_of = |load: &Record<Load>| -> Vec<Record<Reading>> {
        let all = set.readings.iter();
        all.filter(|reading| reading.load == load.id)
            .cloned()
            .collect()
    };
    let readings: Vec<_> = loads
        .iter()
        .flat_map(|load| taken::<M>(load, &readings_of(load)))
        .collect();
    let first = loads.first().and_then(|load| load.stability);
    let stability = first.filter(|_| loads.iter().all(|load| load.stability == first));
    let targets = set
        .setups
        .iter()
        .find(|candidate| candidate.id == setup)
        .map_or_else(Default::default, |setup| {
            targets_for::<M>(&set.targets, setup.line, stability)
        });
    let values = |zone: &ZoneResult<M>| -> Vec<f64> {
        let here = readings.iter().filter(|reading| reading.zone == zone.zone);
        here.map(|reading| reading.value.force().n()).collect()
    };
    let result: ContainmentResult<M> = containment(&readings, &targets);
    MethodResult {
        verdict: match result.verdict {
            Verdict::NotMeasured => MethodVerdict::NotMeasured,
            Verdict::NoTarget => MethodVerdict::NoTarget,
            Verdict::Incomplete => MethodVerdict::Incomplete,
            Verdict::Reaches => MethodVerdict::Reaches,
            Verdict::Below => MethodVerdict::Below,
        },
        weakest_zone: result.weakest.map(|zone| zone.as_str().to_owned()),
        zones: result
            .zones
            .iter()
            .map(|zone| zone_numbers(zone, &values(zone), result.rule))
            .collect(),
    }
}

fn tolerance_numbers(
    found: Option<&ToleranceResult>,
    rule: ToleranceRule,
) -> Option<ToleranceNumbers> {
    found.map(|found| ToleranceNumbers {
        bound_n: found.bound.bound,
        coverage: rule.coverage,
        confidence: rule.confidence,
    })
}

fn face_numbers<M: Method>(face: &FaceResult<M>, rule: ToleranceRule) -> FaceNumbers {
    let summary = face.summary.as_ref();
    FaceNumbers {
        face_length_m: face.length_m,
        readings: summary.map_or(0, |summary| summary.n),
        lowest_n: face.lowest.map(|lowest| lowest.force().n()),
        mean_n: summary.map(|summary| summary.mean),
        sd_n: summary.and_then(|summary| summary.sd),
        tolerance: tolerance_numbers(face.tolerance.as_ref(), rule),
    }
}

fn zone_numbers<M: Method>(
    zone: &ZoneResult<M>,
    values: &[f64],
    rule: ToleranceRule,
) -> ZoneNumbers {
    let summary = zone.summary.as_ref();
    let interval = zone.interval.as_ref();
    ZoneNumbers {
        zone: zone.zone.as_str().to_owned(),
        readings: zone.count,
        lowest_n: zone.lowest.map(|lowest| lowest.force().n()),
        highest_n: values.iter().copied().reduce(f64::max),
        mean_n: summary.map(|summary| summary.mean),
        sd_n: summary.and_then(|summary| summary.sd),
        mean_low_n: interval.map(|interval| interval.low),
        mean_high_n: interval.map(|interval| interval.high),
        confidence: CONFIDENCE,
        resolution_limited: interval.is_some_and(|interval| interval.resolution_limited),
        outlier: zone.outlier.as_ref().and_then(|test| {
            Some(OutlierNumbers {
                value_n: *values.get(test.index)?,
                statistic: test.statistic,
                critical: test.critical,
                reliable: test.reliable,
            })
        }),
        tolerance: tolerance_numbers(zone.tolerance.as_ref(), rule),
        unlike_faces: zone.unlike_faces,
        faces: zone
            .faces
            .iter()
            .map(|face| face_numbers(face, rule))
            .collect(),
        target_n: zone.target.map(|target| target.force().n()),
        margin_n: zone.margin_n,
        verdict: match zone.verdict {
            ZoneVerdict::NotMeasured => ZoneStanding::NotMeasured,
            ZoneVerdict::NoTarget => ZoneStanding::NoTarget,
            ZoneVerdict::Reaches => ZoneStanding::Reaches,
            ZoneVerdict::Below => ZoneStanding::Below,
        },
    }
}

fn film_numbers(film: &FilmPerLoad) -> FilmResult {
    FilmResult {
        weighings: film.summary.n,
        loads_weighed: film.loads,
        film_per_load_kg: film.mass.kg(),
        sd_kg: film.summary.sd,
        mean_low_kg: film.interval.as_ref().map(|interval| interval.low),
        mean_high_kg: film.interval.as_ref().map(|interval| interval.high),
        confidence: CONFIDENCE,
    }
}

fn tools(set: &RecordSet) -> Vec<ToolResult> {
    let result = |tool: &Record<tautbook_core::survey::Tool>| {
        let readings = set
            .readings
            .iter()
            .filter(|reading| reading.tool == Some(tool.id))
            .map(|reading| reading.taken_at);
        let weights = set
            .film_weights
            .iter()
            .filter(|weight| weight.tool == Some(tool.id))
            .map(|weight| weight.taken_at);
        let thicknesses = set
            .thicknesses
            .iter()
            .filter(|thickness| thickness.tool == Some(tool.id))
            .map(|thickness| thickness.taken_at);
        let past = readings
            .clone()
            .filter(|at| tool.check_overdue(*at) == Some(true));
        ToolResult {
            tool: tool.id.uuid(),
            readings_past_check: past.count(),
            check_overdue: readings
                .chain(weights)
                .chain(thicknesses)
                .max()
                .and_then(|last| tool.check_overdue(last)),
        }
    };
    set.tools.iter().map(result).collect()
}
