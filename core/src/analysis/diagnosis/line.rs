//! Rules about the line: its machine, its film rolls, and the tools and people that read it.

use crate::analysis::loading::{PathVerdict, loading};
use crate::language::{Language, Word};
use crate::survey::{CheckItem, CheckResult, MachineCheck, Reading, Record, Tool};
use crate::units::{PullPlate, TorsionTool};

use super::evidence::{LineEvidence, SetupEvidence};
use super::film::SLIP;
use super::finding::{Against, Cause, Hit, Shown, Standing};
use super::measured::around;
use super::{loads, words};
use crate::{say, say_count};

/// The film as threaded has its clinging side away from the load.
pub(super) fn cling_away(line: &LineEvidence<'_>) -> Vec<Hit> {
    let mut rolls: Vec<_> = line.setups.iter().filter_map(|setup| setup.roll).collect();
    rolls.sort_by_key(|roll| roll.id);
    rolls.dedup_by_key(|roll| roll.id);
    rolls
        .into_iter()
        .filter_map(|roll| {
            let found = loading(&line.line.wrapper, roll.cling).ok()?;
            if found.path != PathVerdict::FacesAway {
                return None;
            }
            let shown = Shown::new([line.line.reference(), roll.reference()])?;
            let what = say!(
                line.to.language,
                "As the film is threaded, the cling side of \u{201c}{film}\u{201d} faces away \
                 from the load.",
                film = roll.name
            );
            Some(Hit::new(what, shown))
        })
        .collect()
}

/// The step of a micrometer in micrometres where the tool does not say (common practice, no
/// source).
const MICROMETER_STEP_UM: f64 = 1.0;

/// Film on the roll is thinner than its label says by more than it may be off.
pub(super) fn thin_film(line: &LineEvidence<'_>) -> Vec<Hit> {
    line.thicknesses
        .iter()
        .filter_map(|(roll, measured)| {
            let nominal = roll.nominal_thickness.as_ref()?.value.um();
            let values: Vec<f64> = measured
                .iter()
                .filter(|one| one.plies > 0)
                .map(|one| one.value.value.um() / f64::from(one.plies))
                .collect();
            let step = measured
                .iter()
                .filter_map(|one| line.tool(one.tool?)?.thickness_step.as_ref())
                .map(|step| step.value.um())
                .fold(MICROMETER_STEP_UM, f64::max);
            let records = measured.iter().map(|one| one.reference());
            let found = around(&values, step, records)?;
            if !found.is_under(nominal) {
                return None;
            }
            let thickness = |um: f64| words::thickness(line.to.units, um);
            let what = say_count!(
                line.to.language,
                found.n,
                "\u{201c}{film}\u{201d} is {measured} thick (give or take {half}, from {n} place), \
                 under the {nominal} on its label.",
                "\u{201c}{film}\u{201d} is {measured} thick (give or take {half}, from {n} \
                 places), under the {nominal} on its label.",
                film = roll.name,
                measured = thickness(found.mean),
                half = thickness(found.half_width),
                nominal = thickness(nominal)
            );
            let shown = Shown::new(found.records.into_iter().chain([roll.reference()]))?;
            Some(Hit::new(what, shown))
        })
        .collect()
}

/// Each item of the look over that is for a technician.
pub(super) fn machine_work(line: &LineEvidence<'_>) -> Vec<Hit> {
    line.checks
        .iter()
        .filter(|check| check.result == CheckResult::NeedsTechnician)
        // What somebody noted of it stands for itself.
        .filter(|check| {
            !line
                .noted
                .iter()
                .any(|of| of.is_of_check(check.reference()))
        })
        .map(|check| {
            let what = for_technician(check, line.to.language);
            let against = stretch_is_good(line, check.item);
            let causes = slip_cause(check.item).map_or_else(Vec::new, |what| {
                vec![Cause {
                    what: what.said(line.to.language).to_owned(),
                    standing: Standing::Shown(check.reference()),
                }]
            });
            Hit::new(what, Shown::one(check.reference()))
                .against(against)
                .causes(causes)
        })
        .collect()
}

/// What was measured and noted of an item of the machine.
pub(super) fn about(check: &MachineCheck) -> (Option<&str>, &str) {
    let gap = check.gap.as_ref().map(|gap| gap.text.as_str());
    (gap, loads::sentence(&check.notes))
}

/// What of the machine is for a technician.
pub(super) fn for_technician(check: &MachineCheck, l: Language) -> String {
    let part = words::the_item(check.item).said(l);
    match about(check) {
        (None, "") => say!(l, "For a technician, {part}.", part = part),
        (None, note) => say!(
            l,
            "For a technician, {part}: {note}.",
            part = part,
            note = note
        ),
        (Some(gap), "") => say!(
            l,
            "For a technician, {part}, {gap} measured.",
            part = part,
            gap = gap
        ),
        (Some(gap), note) => say!(
            l,
            "For a technician, {part}, {gap} measured: {note}.",
            part = part,
            gap = gap,
            note = note
        ),
    }
}

fn slip_cause(item: CheckItem) -> Option<Word> {
    SLIP.into_iter()
        .find(|(known, _)| *known == item)
        .map(|(_, what)| what)
}

/// Marks that show the pre-stretch that is set, though what would let film slip is out of order.
fn stretch_is_good(line: &LineEvidence<'_>, item: CheckItem) -> Vec<Against> {
    if slip_cause(item).is_none() {
        return Vec::new();
    }
    line.setups
        .iter()
        .filter_map(|setup| {
            let measured = setup.pre_stretch.as_ref()?;
            let (nominal, _) = setup.nominal_stretch?;
            if measured.is_under(nominal) {
                return None;
            }
            Some(Against {
                record: *measured.records.first()?,
                says: say!(
                    line.to.language,
                    "in \u{201c}{setup}\u{201d} the ink marks show a pre-stretch of {measured}, \
                     not under the {nominal} that is set: so far it does not let the film slip.",
                    setup = setup.setup.name,
                    measured = words::percent(measured.mean),
                    nominal = words::percent(nominal)
                ),
            })
        })
        .collect()
}

/// The tool of a reading, when it was past its check at the time.
pub(super) fn past_check<'a>(
    line: &LineEvidence<'a>,
    reading: &Reading,
) -> Option<&'a Record<Tool>> {
    let tool = line.tool(reading.tool?)?;
    (tool.check_overdue(reading.taken_at) == Some(true)).then_some(tool)
}

/// The tool of a reading, when nothing says that it had been zeroed before.
fn not_zeroed<'a>(line: &LineEvidence<'a>, reading: &Reading) -> Option<&'a Record<Tool>> {
    let tool = line.tool(reading.tool?)?;
    let before = |at: Option<_>| at.is_some_and(|at| at <= reading.taken_at);
    (!before(reading.zeroed_at) && !before(tool.zeroed_at)).then_some(tool)
}

pub(super) fn tool_past_check(line: &LineEvidence<'_>) -> Vec<Hit> {
    by_tool(line, past_check, |tool, n| {
        say_count!(
            line.to.language,
            n,
            "\u{201c}{tool}\u{201d} was past its check against a known weight when {n} reading was \
             taken.",
            "\u{201c}{tool}\u{201d} was past its check against a known weight when {n} readings \
             were taken.",
            tool = tool
        )
    })
}

pub(super) fn tool_not_zeroed(line: &LineEvidence<'_>) -> Vec<Hit> {
    by_tool(line, not_zeroed, |tool, n| {
        say_count!(
            line.to.language,
            n,
            "Nothing says that \u{201c}{tool}\u{201d} was zeroed before {n} reading was taken.",
            "Nothing says that \u{201c}{tool}\u{201d} was zeroed before {n} readings were taken.",
            tool = tool
        )
    })
}

/// One hit for each tool with readings that `which` picks out.
fn by_tool<'a>(
    line: &LineEvidence<'a>,
    which: impl Fn(&LineEvidence<'a>, &Reading) -> Option<&'a Record<Tool>>,
    what: impl Fn(&str, usize) -> String,
) -> Vec<Hit> {
    line.tools
        .iter()
        .filter_map(|tool| {
            let readings: Vec<_> = line
                .setups
                .iter()
                .flat_map(|setup| &setup.readings)
                .filter(|reading| which(line, reading).is_some_and(|of| of.id == tool.id))
                .map(|reading| reading.reference())
                .collect();
            let n = readings.len();
            let shown = Shown::new(readings)?;
            let shown = Shown::new(shown.iter().chain([tool.reference()]))?;
            Some(Hit::new(what(&tool.name, n), shown))
        })
        .collect()
}

/// People read the same differently.
pub(super) fn people_differ(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let torsion = super::people::differ::<TorsionTool>(line, setup);
    let pull = super::people::differ::<PullPlate>(line, setup);
    torsion.into_iter().chain(pull).collect()
}
