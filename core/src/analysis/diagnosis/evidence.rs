//! What the records of one line say, gathered once for all rules.

use crate::analysis::balance::{Balance, BalanceRecords, Tolerances};
use crate::analysis::containment::{ZoneName, target_for};
use crate::analysis::film::{FilmPerLoad, film_per_load};
use crate::analysis::plan::widths_for;
use crate::analysis::stretch::{MARKS_GOOD_TO_M, stretch_by_marks, stretch_of};
use crate::language::Reader;
use crate::survey::{
    self, CheckItem, FilmBreaks, FilmRoll, FilmWeight, FilmWidth, Id, Line, Load, MachineCheck,
    MarkPlace, Reading, Record, RecordRef, RecordSet, Setup, StretchMark, Target, Thickness,
    ThicknessPlace, Tool,
};
use crate::units::{Containment, Length, Method, PullPlate, TorsionTool};

use super::measured::Measured;

/// One reading in use, by method `M`, beside what it has to reach.
#[derive(Debug, Clone, Copy)]
pub struct ZoneReading<M: Method> {
    /// The reading.
    pub record: RecordRef,
    /// Its load.
    pub load: Id<Load>,
    /// Its value.
    pub value: Containment<M>,
    /// The target for its zone and its load, and the record it stands in.
    pub target: Option<(RecordRef, Containment<M>)>,
}

impl<M: Method> ZoneReading<M> {
    /// Value less target in newtons.
    pub(super) fn margin_n(&self) -> Option<f64> {
        let (_, target) = self.target?;
        Some(self.value.force().n() - target.force().n())
    }
}

/// The readings of one setup by one method, zone by zone from the top down.
#[derive(Debug, Clone)]
pub struct Zones<M: Method>(pub [Vec<ZoneReading<M>>; 3]);

impl<M: Method> Zones<M> {
    /// The readings of a zone.
    #[must_use]
    pub fn of(&self, zone: ZoneName) -> &[ZoneReading<M>] {
        let [top, middle, bottom] = &self.0;
        match zone {
            ZoneName::Top => top,
            ZoneName::Middle => middle,
            ZoneName::Bottom => bottom,
        }
    }

    /// The readings of a zone that are below their target.
    pub(super) fn below(&self, zone: ZoneName) -> Vec<&ZoneReading<M>> {
        self.of(zone)
            .iter()
            .filter(|reading| reading.margin_n().is_some_and(|margin| margin < 0.0))
            .collect()
    }

    /// Whether a zone has readings with a target, and all of those reach it.
    pub(super) fn reaches(&self, zone: ZoneName) -> bool {
        let mut margins = self.of(zone).iter().filter_map(ZoneReading::margin_n);
        margins.next().is_some_and(|margin| margin >= 0.0) && margins.all(|margin| margin >= 0.0)
    }

    pub(super) fn all_below(&self) -> bool {
        ZoneName::ALL
            .into_iter()
            .all(|zone| !self.below(zone).is_empty())
    }
}

/// What was measured on one setup.
#[derive(Debug)]
pub struct SetupEvidence<'a> {
    /// The setup.
    pub setup: &'a Record<Setup>,
    /// Its film, where named.
    pub roll: Option<&'a Record<FilmRoll>>,
    /// Its loads.
    pub loads: Vec<&'a Record<Load>>,
    /// All readings in use on them.
    pub readings: Vec<&'a Record<Reading>>,
    /// Readings by the torsion tool, by zone.
    pub torsion: Zones<TorsionTool>,
    /// Readings by the pull plate, by zone.
    pub pull: Zones<PullPlate>,
    /// Film weighed.
    pub weights: Vec<&'a Record<FilmWeight>>,
    /// Film per load from those.
    pub film: Option<FilmPerLoad>,
    /// Film predicted by programme and roll beside film weighed, where all of it is known.
    pub balance: Option<Balance>,
    /// Film width on the loads.
    pub widths: Vec<&'a Record<FilmWidth>>,
    /// Ink marks.
    pub marks: Vec<&'a Record<StretchMark>>,
    /// Stretch before the load, from the marks: a fraction.
    pub pre_stretch: Option<Measured>,
    /// Stretch on the load, from the marks: a fraction.
    pub whole_stretch: Option<Measured>,
    /// The stretch that is set, or else the machine's nominal one, and where it stands.
    pub nominal_stretch: Option<(f64, RecordRef)>,
    /// Breaks counted.
    pub breaks: Vec<&'a Record<FilmBreaks>>,
}

/// What was measured on one line.
#[derive(Debug)]
pub struct LineEvidence<'a> {
    /// The line.
    pub line: &'a Record<Line>,
    /// Its setups in the order they were made.
    pub setups: Vec<SetupEvidence<'a>>,
    /// The last check of each item of the machine.
    pub checks: Vec<&'a Record<MachineCheck>>,
    /// What somebody noted as found on the line.
    pub noted: Vec<&'a Record<survey::Finding>>,
    /// Thickness on the roll by micrometer, film by film.
    pub thicknesses: Vec<(&'a Record<FilmRoll>, Vec<&'a Record<Thickness>>)>,
    /// The rep's tools.
    pub tools: &'a [Record<Tool>],
    /// Who findings are worded for.
    pub to: Reader,
}

impl<'a> LineEvidence<'a> {
    /// Everything in use on a line; `None` when the line is not among the records or set aside.
    #[must_use]
    pub fn of(records: &'a RecordSet, line: Id<Line>, to: Reader) -> Option<Self> {
        let line = records
            .lines
            .iter()
            .find(|record| record.id == line && record.set_aside.is_none())?;
        let setups: Vec<_> = in_use(&records.setups, |setup| setup.line == line.id)
            .into_iter()
            .map(|setup| setup_evidence(records, line, setup))
            .collect();
        let mut checks: Vec<&Record<MachineCheck>> = Vec::new();
        for check in in_use(&records.machine_checks, |check| check.line == line.id) {
            // Ids order by time: a later look replaces an earlier one.
            match checks.iter_mut().find(|known| known.item == check.item) {
                Some(known) if known.id < check.id => *known = check,
                Some(_) => {}
                None => checks.push(check),
            }
        }
        let mut thicknesses = Vec::new();
        for roll in setups.iter().filter_map(|setup| setup.roll) {
            let known = |(known, _): &(&Record<FilmRoll>, _)| known.id == roll.id;
            if !thicknesses.iter().any(known) {
                let on_roll =
                    |one: &Thickness| one.film_roll == roll.id && one.place == ThicknessPlace::Roll;
                thicknesses.push((roll, in_use(&records.thicknesses, on_roll)));
            }
        }
        Some(Self {
            line,
            setups,
            checks,
            noted: in_use(&records.findings, |finding| finding.line == Some(line.id)),
            thicknesses,
            tools: &records.tools,
            to,
        })
    }

    /// The last check of an item.
    #[must_use]
    pub fn check(&self, item: CheckItem) -> Option<&'a Record<MachineCheck>> {
        self.checks.iter().find(|check| check.item == item).copied()
    }

    /// The tool of that id.
    pub(super) fn tool(&self, id: Id<Tool>) -> Option<&'a Record<Tool>> {
        self.tools.iter().find(|tool| tool.id == id)
    }
}

fn in_use<T>(records: &[Record<T>], keep: impl Fn(&T) -> bool) -> Vec<&Record<T>> {
    records
        .iter()
        .filter(|record| record.set_aside.is_none() && keep(&record.body))
        .collect()
}

fn setup_evidence<'a>(
    records: &'a RecordSet,
    line: &'a Record<Line>,
    setup: &'a Record<Setup>,
) -> SetupEvidence<'a> {
    let loads = in_use(&records.loads, |load| load.setup == setup.id);
    let ours = |id: Id<Load>| loads.iter().any(|load| load.id == id);
    let widths = widths_for(records, setup, &loads);
    let readings = in_use(&records.readings, |reading| ours(reading.load));
    let weights = in_use(&records.film_weights, |weight| ours(weight.load));
    let marks = in_use(&records.stretch_marks, |mark| mark.setup == setup.id);
    let roll = records
        .film_rolls
        .iter()
        .find(|roll| Some(roll.id) == setup.film_roll && roll.set_aside.is_none());
    let nominal = setup
        .settings
        .pre_stretch
        .as_ref()
        .map(|set| (set.value.fraction(), setup.reference()))
        .or_else(|| {
            let nominal = line.wrapper.nominal_pre_stretch.as_ref()?;
            Some((nominal.value.fraction(), line.reference()))
        });
    SetupEvidence {
        setup,
        roll,
        balance: roll.and_then(|roll| balance(records, setup, roll, &widths)),
        torsion: zones(&loads, &readings, &records.targets, line.id),
        pull: zones(&loads, &readings, &records.targets, line.id),
        film: film_per_load(&cloned(&weights), &records.tools),
        widths,
        pre_stretch: stretch(&marks, MarkPlace::BeforeLoad),
        whole_stretch: stretch(&marks, MarkPlace::OnLoad),
        nominal_stretch: nominal.filter(|(ratio, _)| *ratio > 0.0),
        breaks: in_use(&records.film_breaks, |breaks| breaks.setup == setup.id),
        loads,
        readings,
        weights,
        marks,
    }
}

fn balance(
    records: &RecordSet,
    setup: &Record<Setup>,
    roll: &Record<FilmRoll>,
    widths: &[&Record<FilmWidth>],
) -> Option<Balance> {
    let records = BalanceRecords {
        setup,
        roll,
        loads: &records.loads,
        weights: &records.film_weights,
        thickness: &records.thicknesses,
        marks: &records.stretch_marks,
        widths: &cloned(widths),
        tools: &records.tools,
    };
    Balance::of_records(&records, &Tolerances::default()).ok()
}

fn zones<M: Method>(
    loads: &[&Record<Load>],
    readings: &[&Record<Reading>],
    targets: &[Record<Target>],
    line: Id<Line>,
) -> Zones<M> {
    Zones(ZoneName::ALL.map(|zone| {
        readings
            .iter()
            .filter(|reading| ZoneName::of(&reading.zone) == Some(zone))
            .filter_map(|reading| {
                let load = loads.iter().find(|load| load.id == reading.load)?;
                let target = target_for::<M>(
                    targets,
                    line,
                    load.stability,
                    zone,
                    reading.face_length(load).map(Length::m),
                );
                Some(ZoneReading {
                    record: reading.reference(),
                    load: load.id,
                    value: reading.measure.containment::<M>()?,
                    target: target.map(|(record, minimum)| (record.reference(), minimum)),
                })
            })
            .collect()
    }))
}

/// Stretch over the pairs of marks read at one place; see [`stretch_by_marks`].
fn stretch(marks: &[&Record<StretchMark>], place: MarkPlace) -> Option<Measured> {
    let good_to = Length::from_m(MARKS_GOOD_TO_M).ok()?;
    let owned = cloned(marks);
    let found = stretch_by_marks(&owned, place, good_to)?;
    let used = |mark: &&&Record<StretchMark>| mark.place == place && stretch_of(mark).is_some();
    Some(Measured {
        mean: found.mean.fraction(),
        half_width: found.half_width,
        n: found.summary.n,
        records: marks
            .iter()
            .filter(used)
            .map(|mark| mark.reference())
            .collect(),
    })
}

/// Copies for the functions that take records whole.
pub(super) fn cloned<T: Clone>(records: &[&Record<T>]) -> Vec<Record<T>> {
    records.iter().map(|&record| record.clone()).collect()
}
