//! Rules about what the zones of a load hold.

use std::collections::BTreeMap;

use crate::analysis::containment::{CONFIDENCE, ZoneName};
use crate::analysis::statistics::ToleranceBound;
use crate::language::Reader;
use crate::survey::{Id, Load, RecordRef};
use crate::units::{Containment, Method};

use super::evidence::{LineEvidence, SetupEvidence, ZoneReading, Zones};
use super::finding::{Against, Hit, Shown};
use super::words;
use crate::{say, say_count};

pub(super) fn bottom_weak(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    zone_weak(line, setup, ZoneName::Bottom)
}

pub(super) fn middle_weak(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    zone_weak(line, setup, ZoneName::Middle)
}

pub(super) fn top_weak(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    zone_weak(line, setup, ZoneName::Top)
}

/// One zone has a reading below its target, but not all three have.
fn zone_weak(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>, zone: ZoneName) -> Vec<Hit> {
    let torsion = weak(line, setup, &setup.torsion, &setup.pull, zone);
    let pull = weak(line, setup, &setup.pull, &setup.torsion, zone);
    torsion.into_iter().chain(pull).collect()
}

fn weak<M: Method, O: Method>(
    line: &LineEvidence<'_>,
    setup: &SetupEvidence<'_>,
    by: &Zones<M>,
    other: &Zones<O>,
    zone: ZoneName,
) -> Option<Hit> {
    if by.all_below() {
        return None;
    }
    let below = by.below(zone);
    let lowest = lowest(&below)?;
    let (_, target) = lowest.target?;
    let Reader { units, language: l } = line.to;
    let what = say_count!(
        l,
        by.of(zone).len(),
        "{zone} is weak: {below} of {n} reading by {tool} lie below the target, the lowest at \
         {lowest} against {target}.",
        "{zone} is weak: {below} of {n} readings by {tool} lie below the target, the lowest at \
         {lowest} against {target}.",
        zone = zone.the_at_head().said(l),
        below = below.len(),
        tool = M::ID.the().said(l),
        lowest = words::force(units, lowest.value),
        target = words::force(units, target)
    );
    let mut against = shipped_whole(line, setup, &below);
    against.extend(other_tool(line, other, zone));
    against.extend(doubtful_tools(line, setup, &below));
    Some(Hit::new(what, Shown::new(records(&below))?).against(against))
}

/// The readings and the targets they are held against.
fn records<M: Method>(readings: &[&ZoneReading<M>]) -> Vec<RecordRef> {
    let taken = readings.iter().map(|reading| reading.record);
    let targets = readings
        .iter()
        .filter_map(|reading| Some(reading.target?.0));
    taken.chain(targets).collect()
}

fn lowest<'r, M: Method>(readings: &[&'r ZoneReading<M>]) -> Option<&'r ZoneReading<M>> {
    readings
        .iter()
        .copied()
        .min_by(|one, other| one.value.total_cmp(&other.value))
}

/// Loads with such readings that are known to have arrived whole all the same.
fn shipped_whole<M: Method>(
    line: &LineEvidence<'_>,
    setup: &SetupEvidence<'_>,
    below: &[&ZoneReading<M>],
) -> Vec<Against> {
    setup
        .loads
        .iter()
        .filter(|load| load.shipped_undamaged == Some(true))
        .filter(|load| below.iter().any(|reading| reading.load == load.id))
        .map(|load| Against {
            record: load.reference(),
            says: say!(
                line.to.language,
                "load {name} is known to have arrived whole though it reads below the target; the \
                 target may ask for more than this load needs.",
                name = load.name
            ),
        })
        .collect()
}

/// The other tool, where it finds that the zone reaches its own target.
fn other_tool<O: Method>(
    line: &LineEvidence<'_>,
    other: &Zones<O>,
    zone: ZoneName,
) -> Option<Against> {
    let l = line.to.language;
    let reading = other.of(zone).first().filter(|_| other.reaches(zone))?;
    Some(Against {
        record: reading.record,
        says: say!(
            l,
            "by {tool} {zone} reaches the target for that tool; the tools do not measure the same, \
             so see which target the customer means.",
            tool = O::ID.the().said(l),
            zone = zone.the().said(l)
        ),
    })
}

/// Readings among these whose tool was past its check.
fn doubtful_tools<M: Method>(
    line: &LineEvidence<'_>,
    setup: &SetupEvidence<'_>,
    below: &[&ZoneReading<M>],
) -> Option<Against> {
    let reading = setup.readings.iter().find(|reading| {
        below.iter().any(|one| one.record == reading.reference())
            && super::line::past_check(line, reading).is_some()
    })?;
    Some(Against {
        record: reading.reference(),
        says: say!(
            line.to.language,
            "the tool was past its check when this was read; check it against a known weight before \
             acting."
        ),
    })
}

pub(super) fn all_weak(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    if film_high(line, setup).is_some() {
        return Vec::new();
    }
    every_zone_weak_by_either(line, setup)
        .into_iter()
        .filter_map(|weak| Some(Hit::new(weak.what, Shown::new(weak.shown)?).against(weak.against)))
        .collect()
}

pub(super) fn all_weak_film_high(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    let Some((high, weighed)) = film_high(line, setup) else {
        return Vec::new();
    };
    let high = high.and_yet(line.to);
    let good_stretch = good_stretch(line, setup);
    every_zone_weak_by_either(line, setup)
        .into_iter()
        .filter_map(|mut weak| {
            weak.shown.extend(&weighed);
            weak.against.extend(good_stretch.clone());
            let what = format!("{} {high}", weak.what);
            Some(Hit::new(what, Shown::new(weak.shown)?).against(weak.against))
        })
        .collect()
}

/// Marks that show the pre-stretch that is set, which speaks against slip.
fn good_stretch(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Option<Against> {
    let measured = setup.pre_stretch.as_ref()?;
    let (nominal, _) = setup.nominal_stretch?;
    if measured.is_under(nominal) {
        return None;
    }
    Some(Against {
        record: *measured.records.first()?,
        says: say!(
            line.to.language,
            "the ink marks show a pre-stretch of {measured}, not under the {nominal} that is set, \
             which speaks against slip.",
            measured = words::percent(measured.mean),
            nominal = words::percent(nominal)
        ),
    })
}

/// All zones weak by one method, and what speaks against it.
struct AllWeak {
    what: String,
    shown: Vec<RecordRef>,
    against: Vec<Against>,
}

fn every_zone_weak_by_either(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<AllWeak> {
    let torsion = every_zone_weak(line, setup, &setup.torsion, &setup.pull);
    let pull = every_zone_weak(line, setup, &setup.pull, &setup.torsion);
    torsion.into_iter().chain(pull).collect()
}

fn every_zone_weak<M: Method, O: Method>(
    line: &LineEvidence<'_>,
    setup: &SetupEvidence<'_>,
    by: &Zones<M>,
    other: &Zones<O>,
) -> Option<AllWeak> {
    if !by.all_below() {
        return None;
    }
    let Reader { units, language: l } = line.to;
    let (mut shown, mut lows, mut all_below) = (Vec::new(), Vec::new(), Vec::new());
    for zone in ZoneName::ALL {
        let below = by.below(zone);
        let lowest = lowest(&below)?;
        let (_, target) = lowest.target?;
        lows.push(say!(
            l,
            "{zone} {force} against {target}",
            zone = zone.in_list().said(l),
            force = words::force(units, lowest.value),
            target = words::force(units, target)
        ));
        shown.extend(records(&below));
        all_below.extend(below);
    }
    let what = say!(
        l,
        "All three zones are weak by {tool}: {zones}.",
        tool = M::ID.the().said(l),
        zones = lows.join(", ")
    );
    let mut against = shipped_whole(line, setup, &all_below);
    let zones = ZoneName::ALL.into_iter();
    against.extend(zones.filter_map(|zone| other_tool(line, other, zone)));
    against.extend(doubtful_tools(line, setup, &all_below));
    Some(AllWeak {
        what,
        shown,
        against,
    })
}

/// Whether this setup is known to use much film: the whole interval of its film per load lies
/// above that of another setup of the line, or the film weighed is more than programme and roll
/// account for. There is no number of ours for much film.
fn film_high(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Option<FilmHigh> {
    more_than_another(line, setup, |_| true).or_else(|| more_than_predicted(setup))
}

/// What shows that much film is used, and the records.
type FilmHigh = (High, Vec<RecordRef>);

/// What shows that much film is used, with masses of film a load in kilograms.
#[derive(Clone)]
enum High {
    /// More than another setup of the line takes.
    ThanAnother {
        setup: String,
        here_kg: f64,
        there_kg: f64,
    },
    /// More than programme and roll account for.
    ThanPredicted { weighed_kg: f64, predicted_kg: f64 },
}

impl High {
    /// A sentence after one on how weak the zones are.
    fn and_yet(&self, to: Reader) -> String {
        let Reader { units, language: l } = to;
        match self {
            Self::ThanAnother {
                setup,
                here_kg,
                there_kg,
            } => say!(
                l,
                "And yet it uses more film than \u{201c}{setup}\u{201d}: {here} against {there} a \
                 load.",
                setup = setup,
                here = words::film_mass(units, *here_kg),
                there = words::film_mass(units, *there_kg)
            ),
            Self::ThanPredicted {
                weighed_kg,
                predicted_kg,
            } => say!(
                l,
                "And yet it takes more film than its programme and roll account for: {here} against \
                 {there} a load.",
                here = words::film_mass(units, *weighed_kg),
                there = words::film_mass(units, *predicted_kg)
            ),
        }
    }

    /// A sentence after one on how strong the zones are.
    fn and(&self, to: Reader) -> String {
        let Reader { units, language: l } = to;
        match self {
            Self::ThanAnother {
                setup,
                here_kg,
                there_kg,
            } => say!(
                l,
                "And it uses more film than \u{201c}{setup}\u{201d}: {here} against {there} a load.",
                setup = setup,
                here = words::film_mass(units, *here_kg),
                there = words::film_mass(units, *there_kg)
            ),
            Self::ThanPredicted {
                weighed_kg,
                predicted_kg,
            } => say!(
                l,
                "And it takes more film than its programme and roll account for: {here} against \
                 {there} a load.",
                here = words::film_mass(units, *weighed_kg),
                there = words::film_mass(units, *predicted_kg)
            ),
        }
    }
}

/// The film weighed is more than programme and roll account for.
fn more_than_predicted(setup: &SetupEvidence<'_>) -> Option<FilmHigh> {
    let balance = setup
        .balance
        .as_ref()
        .filter(|balance| !balance.closes && balance.difference.value > 0.0)?;
    let what = High::ThanPredicted {
        weighed_kg: balance.inputs.weighed.value,
        predicted_kg: balance.predicted.value,
    };
    let weighed = setup.weights.iter().map(|weight| weight.reference());
    Some((what, weighed.collect()))
}

fn more_than_another(
    line: &LineEvidence<'_>,
    setup: &SetupEvidence<'_>,
    counts: impl Fn(&SetupEvidence<'_>) -> bool,
) -> Option<FilmHigh> {
    let film = setup.film.as_ref()?;
    let here = film.interval?;
    let (other, film_there, _) = line
        .setups
        .iter()
        .filter(|other| other.setup.id != setup.setup.id && counts(other))
        .filter_map(|other| {
            let film = other.film.as_ref()?;
            let there = film.interval?;
            (here.low > there.high).then_some((other, film, there.high))
        })
        .min_by(|one, other| one.2.total_cmp(&other.2))?;
    let what = High::ThanAnother {
        setup: other.setup.name.clone(),
        here_kg: film.mass.kg(),
        there_kg: film_there.mass.kg(),
    };
    let weighed = setup
        .weights
        .iter()
        .chain(&other.weights)
        .map(|weight| weight.reference())
        .collect();
    Some((what, weighed))
}

pub(super) fn less_film_possible(line: &LineEvidence<'_>, setup: &SetupEvidence<'_>) -> Vec<Hit> {
    // A setup that does not hold is no measure of how little film will do.
    let holds = |other: &SetupEvidence<'_>| {
        ZoneName::ALL
            .into_iter()
            .all(|zone| other.torsion.below(zone).is_empty() && other.pull.below(zone).is_empty())
    };
    let high = more_than_another(line, setup, holds).or_else(|| more_than_predicted(setup));
    let (torsion, pull) = (strength(line, &setup.torsion), strength(line, &setup.pull));
    let hit = |this: &Strength, other: &Strength| {
        let Strength::Strong(what, shown, doubts) = this else {
            return None;
        };
        let (mut what, mut shown) = (what.clone(), shown.clone());
        if let Some((high, weighed)) = &high {
            what.push(' ');
            what.push_str(&high.and(line.to));
            shown.extend(weighed);
        }
        let mut against = doubts.clone();
        if let Strength::NotShown(other) = other {
            against.push(other.clone());
        }
        Some(Hit::new(what, Shown::new(shown)?).against(against))
    };
    let found = [hit(&torsion, &pull), hit(&pull, &torsion)];
    found.into_iter().flatten().collect()
}

/// How the lower bounds of the zones stand to their targets, by one method.
enum Strength {
    /// All at or above: what is said, and the records.
    Strong(String, Vec<RecordRef>, Vec<Against>),
    /// All known, and one is not.
    NotShown(Against),
    /// Readings or targets are missing.
    NotMeasured,
}

/// The lower tolerance bounds of all three zones against their targets.
fn strength<M: Method>(line: &LineEvidence<'_>, by: &Zones<M>) -> Strength {
    let Reader { units, language: l } = line.to;
    let tool = M::ID.the().said(l);
    let mut shown = Vec::new();
    let mut bounds = Vec::new();
    let (mut not_shown, mut all_alike, mut on_one_load) = (None, None, None);
    for zone in ZoneName::ALL {
        let readings: Vec<_> = by.of(zone).iter().collect();
        let Some((target, bound, lowest)) = bounded(&readings) else {
            return Strength::NotMeasured;
        };
        let one_load = readings.iter().all(|reading| reading.load == lowest.load);
        if one_load && on_one_load.is_none() {
            on_one_load = Some(Against {
                record: lowest.record,
                says: say!(
                    l,
                    "{zone} was read on one load only, and how much loads differ is not in these \
                     figures; read another load.",
                    zone = zone.the().said(l)
                ),
            });
        }
        if bound.resolution_limited && all_alike.is_none() {
            all_alike = Some(Against {
                record: lowest.record,
                says: say!(
                    l,
                    "the readings of {zone} by {tool} are all alike, which film hardly ever is; see \
                     that the tool moves freely, and read again.",
                    zone = zone.the().said(l),
                    tool = tool
                ),
            });
        }
        let bound = bound.bound;
        if bound < target.force().n() && not_shown.is_none() {
            not_shown = Some(Against {
                record: lowest.record,
                says: say!(
                    l,
                    "by {tool} {zone} is not shown to hold with room to spare: its lower bound is \
                     {bound} against {target}.",
                    tool = tool,
                    zone = zone.the().said(l),
                    bound = words::newtons(units, bound),
                    target = words::force(units, target)
                ),
            });
        }
        bounds.push(say!(
            l,
            "{zone} {force} against {target}",
            zone = zone.in_list().said(l),
            force = words::newtons(units, bound),
            target = words::force(units, target)
        ));
        shown.extend(records(&readings));
    }
    if let Some(against) = not_shown {
        return Strength::NotShown(against);
    }
    let what = say!(
        l,
        "By {tool} all three zones hold more than they have to: {sure} sure that nine readings in \
         ten reach {bounds}.",
        tool = tool,
        sure = words::percent(CONFIDENCE),
        bounds = bounds.join(", ")
    );
    let doubts = on_one_load.into_iter().chain(all_alike);
    Strength::Strong(what, shown, doubts.collect())
}

/// Target, lower tolerance bound in newtons and lowest reading of one zone; `None` when a reading
/// has no target or there are too few. Among loads of unlike stability the highest target counts.
/// Faces of unlike length are taken together: that widens the pull plate's spread and lowers its
/// bound.
fn bounded<'r, M: Method>(
    readings: &[&'r ZoneReading<M>],
) -> Option<(Containment<M>, ToleranceBound, &'r ZoneReading<M>)> {
    let (_, target) = readings
        .iter()
        .map(|reading| reading.target)
        .collect::<Option<Vec<_>>>()?
        .into_iter()
        .max_by(|one, other| one.1.total_cmp(&other.1))?;
    let mut loads: BTreeMap<Id<Load>, Vec<f64>> = BTreeMap::new();
    for reading in readings {
        let of_load = loads.entry(reading.load).or_default();
        of_load.push(reading.value.force().n());
    }
    let values: Vec<Vec<f64>> = loads.into_values().collect();
    Some((target, super::bound::lower(&values)?, lowest(readings)?))
}
