//! Rules about the film and its stretch in one setup.

use crate::analysis::balance::Balance;
use crate::analysis::containment::CONFIDENCE;
use crate::analysis::pattern::{BareWhere, Pattern};
use crate::analysis::statistics::compare_rates;
use crate::analysis::whole;
use crate::language::{Language, Reader, Word};
use crate::survey::{BreakExposure, CheckItem, CheckResult, Record, RecordRef, Seriousness};

use super::evidence::{LineEvidence, SetupEvidence, cloned};
use super::finding::{Against, Cause, Hit, Shown, Standing};
use super::loads::cause;
use super::measured::Measured;
use super::words;
use crate::{say, say_count, word};

/// What of the machine lets film slip in pre-stretch, likeliest first (common practice, no
/// source).
pub(super) const SLIP: [(CheckItem, Word); 6] = [
    (
        CheckItem::RollerLight,
        word!("light shows between pinch and drive rollers: they do not press"),
    ),
    (CheckItem::RollerGap, word!("the rollers stand apart")),
    (
        CheckItem::RollerSurface,
        word!("the rollers are worn, hard or glazed"),
    ),
    (
        CheckItem::Springs,
        word!("the springs that press the rollers together are weak"),
    ),
    (CheckItem::ChainOrBelt, word!("the chain or belt slips")),
    (
        CheckItem::SprocketsOrGears,
        word!("sprockets or gears are worn, or the wrong ones are fitted"),
    ),
];

/// Film that comes out of the rollers shorter than it should by less than this is a note only: a
/// twentieth (common practice, no source).
const LITTLE: f64 = 1.05;

/// Measured pre-stretch lies under what is set by more than it may be off.
pub(super) fn pre_stretch_low(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let (Some(measured), Some((nominal, stands_in))) =
        (setup.pre_stretch.as_ref(), setup.nominal_stretch)
    else {
        return Vec::new();
    };
    if !measured.is_under(nominal) {
        return Vec::new();
    }
    let little = (1.0 + nominal) <= (1.0 + measured.mean) * LITTLE;
    let causes: Vec<Cause> = SLIP
        .into_iter()
        .map(|(item, what)| cause(line, item, what))
        .collect();
    let shown_by = causes.iter().filter_map(|cause| match cause.standing {
        Standing::Shown(record) => Some(record),
        Standing::Possible | Standing::NotLookedAt | Standing::SpokenAgainst(_) => None,
    });
    let records = measured.records.iter().copied();
    let Some(shown) = Shown::new(records.chain([stands_in]).chain(shown_by)) else {
        return Vec::new();
    };
    let what = pre_stretch_words(measured, nominal, little, line.to.language);
    let mut hit = Hit::new(what, shown)
        .against(found_in_order(line))
        .causes(causes);
    hit.seriousness = little.then_some(Seriousness::Note);
    vec![hit]
}

/// Pre-stretch under what is set; the film slips, or a little of it may.
fn pre_stretch_words(measured: &Measured, nominal: f64, little: bool, l: Language) -> String {
    let mean = words::percent(measured.mean);
    let half = words::percent(measured.half_width);
    let nominal = words::percent(nominal);
    if little {
        say_count!(
            l,
            measured.n,
            "Pre-stretch is {mean} (give or take {half}, from {n} pair of marks), under the \
             {nominal} that is set: a little film may slip.",
            "Pre-stretch is {mean} (give or take {half}, from {n} pairs of marks), under the \
             {nominal} that is set: a little film may slip.",
            mean = mean,
            half = half,
            nominal = nominal
        )
    } else {
        say_count!(
            l,
            measured.n,
            "Pre-stretch is {mean} (give or take {half}, from {n} pair of marks), under the \
             {nominal} that is set: the film slips.",
            "Pre-stretch is {mean} (give or take {half}, from {n} pairs of marks), under the \
             {nominal} that is set: the film slips.",
            mean = mean,
            half = half,
            nominal = nominal
        )
    }
}

/// Checks that found in order what would let film slip.
fn found_in_order(line: &LineEvidence<'_>) -> Vec<Against> {
    SLIP.into_iter()
        .filter_map(|(item, _)| line.check(item))
        .filter(|check| matches!(check.result, CheckResult::Good | CheckResult::Adjusted))
        .map(|check| Against {
            record: check.reference(),
            says: say!(
                line.to.language,
                "the look over the machine found {part} in order; the marks say that film slips \
                 all the same.",
                part = words::the_item(check.item).said(line.to.language)
            ),
        })
        .collect()
}

/// Film broke, and on the load it is stretched more than at the last roller, by more than both may
/// be off. That alone is no fault: a load always pulls a little.
pub(super) fn stretch_after_rollers(
    line: &LineEvidence<'_>,
    setup: &SetupEvidence<'_>,
) -> Vec<Hit> {
    let (Some(before), Some(on_load)) = (&setup.pre_stretch, &setup.whole_stretch) else {
        return Vec::new();
    };
    let off = before.half_width.hypot(on_load.half_width);
    if on_load.mean - before.mean <= off {
        return Vec::new();
    }
    let broke: Vec<RecordRef> = setup
        .loads
        .iter()
        .filter(|load| load.film_breaks.is_some_and(|breaks| breaks > 0))
        .map(|load| load.reference())
        .chain(counted(setup))
        .collect();
    let marks = before.records.iter().chain(&on_load.records).copied();
    if broke.is_empty() {
        return Vec::new();
    }
    let Some(shown) = Shown::new(marks.chain(broke)) else {
        return Vec::new();
    };
    // Stretch adds up as lengths do: (1 + whole)/(1 + before) - 1.
    let after = (1.0 + on_load.mean) / (1.0 + before.mean) - 1.0;
    let what = say!(
        line.to.language,
        "Film broke in this setup, and the load stretches it by another {after} after the rollers: \
         {on_load} on the load, {before} before it.",
        after = words::percent(after),
        on_load = words::percent(on_load.mean),
        before = words::percent(before.mean)
    );
    vec![Hit::new(what, shown)]
}

/// Counts of breaks that are not zero.
fn counted(setup: &SetupEvidence<'_>) -> impl Iterator<Item = RecordRef> {
    setup
        .breaks
        .iter()
        .filter(|breaks| breaks.breaks > 0)
        .map(|breaks| breaks.reference())
}

/// Film weighed and film predicted differ by more than they may be off; see
/// [`crate::analysis::balance`].
pub(super) fn film_unaccounted(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let Some(balance) = setup.balance.as_ref().filter(|balance| !balance.closes) else {
        return Vec::new();
    };
    let weighed = setup.weights.iter().map(|weight| weight.reference());
    let Some(shown) = Shown::new(weighed.chain([setup.setup.reference()])) else {
        return Vec::new();
    };
    let what = unaccounted(balance, line.to);
    let causes = balance
        .causes
        .iter()
        .map(|cause| Cause {
            what: format!(
                "{}. {}",
                cause.kind.said(line.to.language),
                cause.kind.what_tells().said(line.to.language)
            ),
            standing: Standing::Possible,
        })
        .collect();
    vec![Hit::new(what, shown).causes(causes)]
}

/// How the film weighed and the film predicted differ.
fn unaccounted(balance: &Balance, to: Reader) -> String {
    let Reader { units, language: l } = to;
    let weighed = words::film_mass(units, balance.inputs.weighed.value);
    let predicted = words::film_mass(units, balance.predicted.value);
    let half = words::film_mass(units, balance.difference.expanded());
    let stretch = balance.effective_stretch.value;
    match (balance.difference.value > 0.0, stretch < 0.0) {
        (true, false) => say!(
            l,
            "The film weighed, {weighed} a load, is more than the {predicted} that programme and \
             roll account for (give or take {half}); effectively it is stretched by {stretch}.",
            weighed = weighed,
            predicted = predicted,
            half = half,
            stretch = words::percent(stretch)
        ),
        (true, true) => say!(
            l,
            "The film weighed, {weighed} a load, is more than the {predicted} that programme and \
             roll account for (give or take {half}); it is more than would lie round the load \
             without any stretch.",
            weighed = weighed,
            predicted = predicted,
            half = half
        ),
        (false, false) => say!(
            l,
            "The film weighed, {weighed} a load, is less than the {predicted} that programme and \
             roll account for (give or take {half}); effectively it is stretched by {stretch}.",
            weighed = weighed,
            predicted = predicted,
            half = half,
            stretch = words::percent(stretch)
        ),
        (false, true) => say!(
            l,
            "The film weighed, {weighed} a load, is less than the {predicted} that programme and \
             roll account for (give or take {half}); it is more than would lie round the load \
             without any stretch.",
            weighed = weighed,
            predicted = predicted,
            half = half
        ),
    }
}

/// The programme leaves heights where a side of the load has no film. Exact; see
/// [`Pattern::bare`].
pub(super) fn bare_stripe(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let widths = cloned(&setup.widths);
    let Some((load, from_m, to_m)) = setup.loads.iter().find_map(|load| {
        let roll = setup.roll.map(|roll| &roll.body);
        let pattern = Pattern::of_records(&setup.setup.settings, load, &widths, roll).ok()?;
        let widest = pattern
            .bare()
            .into_iter()
            .filter(|bare| bare.place == BareWhere::Gap)
            .max_by(|one, other| (one.to_m - one.from_m).total_cmp(&(other.to_m - other.from_m)))?;
        Some((load, widest.from_m, widest.to_m))
    }) else {
        return Vec::new();
    };
    let what = say!(
        line.to.language,
        "By its settings this setup leaves a bare stripe on a side of load {load}, from {from} to \
         {to} above the floor.",
        load = load.name,
        from = words::length(line.to.units, from_m),
        to = words::length(line.to.units, to_m)
    );
    let records = [setup.setup.reference(), load.reference()]
        .into_iter()
        .chain(setup.widths.iter().map(|width| width.reference()))
        .chain(
            setup
                .roll
                .filter(|_| widths.is_empty())
                .map(Record::reference),
        );
    Shown::new(records)
        .map(|shown| Hit::new(what, shown))
        .into_iter()
        .collect()
}

/// The height of a pallet's deck in metres: 6 in (common practice, no source).
const PALLET_M: f64 = 6.0 * 0.0254;

/// The film starts above the deck of a pallet.
pub(super) fn pallet_not_reached(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let Some(start) = &setup.setup.settings.start_height else {
        return Vec::new();
    };
    if start.value.m() < PALLET_M - 1e-9 {
        return Vec::new();
    }
    let what = say!(
        line.to.language,
        "The film starts {start} above the floor, and a pallet is about {pallet} high: it does not \
         hold the goods on the pallet.",
        start = words::length(line.to.units, start.value.m()),
        pallet = words::length(line.to.units, PALLET_M)
    );
    vec![Hit::new(what, Shown::one(setup.setup.reference()))]
}

/// Breaks of one setup over what they were counted on, loads or rolls.
struct Counted {
    breaks: u32,
    over: u32,
    records: Vec<RecordRef>,
}

impl Counted {
    fn rate(&self) -> (u32, f64) {
        (self.breaks, f64::from(self.over))
    }
}

fn breaks_of(setup: &SetupEvidence<'_>, rolls: bool) -> Option<Counted> {
    let mut all = Counted {
        breaks: 0,
        over: 0,
        records: Vec::new(),
    };
    for count in &setup.breaks {
        let exposure = match (count.over, rolls) {
            (BreakExposure::Loads(n), false) | (BreakExposure::Rolls(n), true) => n,
            (BreakExposure::Loads(_), true) | (BreakExposure::Rolls(_), false) => continue,
        };
        all.breaks = all.breaks.saturating_add(count.breaks);
        all.over = all.over.saturating_add(exposure);
        all.records.push(count.reference());
    }
    (all.over > 0).then_some(all)
}

/// The film breaks more often than in another setup: the whole interval of the ratio of the two
/// rates lies above one, at a confidence that goes up with the number of setups there are to
/// compare with (Bonferroni), so that chance is not taken for more. See [`compare_rates`].
pub(super) fn breaks_often(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let mut hits = Vec::new();
    for rolls in [false, true] {
        let Some(here) = breaks_of(setup, rolls) else {
            continue;
        };
        let others: Vec<_> = line
            .setups
            .iter()
            .filter(|other| other.setup.id != setup.setup.id)
            .filter_map(|other| Some((other, breaks_of(other, rolls)?)))
            .collect();
        let doubt = (1.0 - CONFIDENCE) / whole(others.len().max(1));
        let most_unlike = others
            .into_iter()
            .filter_map(|(other, there)| {
                let ratio = compare_rates(here.rate(), there.rate(), 1.0 - doubt).ok()?;
                (ratio.low > 1.0).then_some((ratio.p, other, there))
            })
            .min_by(|one, other| one.0.total_cmp(&other.0));
        let Some((_, other, there)) = most_unlike else {
            continue;
        };
        let l = line.to.language;
        let what = if rolls {
            say!(
                l,
                "The film breaks more often than in \u{201c}{setup}\u{201d}: {breaks} on {over} \
                 rolls against {other_breaks} on {other_over}, more than chance.",
                setup = other.setup.name,
                breaks = here.breaks,
                over = here.over,
                other_breaks = there.breaks,
                other_over = there.over
            )
        } else {
            say!(
                l,
                "The film breaks more often than in \u{201c}{setup}\u{201d}: {breaks} on {over} \
                 loads against {other_breaks} on {other_over}, more than chance.",
                setup = other.setup.name,
                breaks = here.breaks,
                over = here.over,
                other_breaks = there.breaks,
                other_over = there.over
            )
        };
        if let Some(shown) = Shown::new(here.records.into_iter().chain(there.records)) {
            hits.push(Hit::new(what, shown));
        }
    }
    hits
}
