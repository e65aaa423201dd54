//! A balance gathered from the record.

use super::{Balance, BalanceAssumption, BalanceError, Estimate, Inputs, balance};
use crate::analysis::film::{film_per_load, left_by_scale_kg, written_scale_step};
use crate::analysis::pattern::Pattern;
use crate::analysis::statistics::{Summary, summarise};
use crate::analysis::stretch::{MARKS_GOOD_TO_M, spread_or_read, stretch_by_marks, stretch_of};
use crate::survey::{
    FilmRoll, FilmWeight, FilmWidth, Id, Load, MarkPlace, PalletFit, Record, Setup, StretchMark,
    Thickness, ThicknessPlace, Tool,
};
use crate::units::{Density, Length};

/// How far values are to be trusted where no measurement says so. The defaults are common practice
/// and have no source; each is half the width within which the true value lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tolerances {
    /// Thickness on a label, or measured at one place or two: a part of it. 5 %.
    pub label_thickness: f64,
    /// Turns in all, start and end of the film included. A quarter.
    pub turns: f64,
    /// Each side of the load. Half an inch: goods bulge.
    pub side: Length,
    /// Width of the roll. An eighth of an inch.
    pub roll_width: Length,
    /// Density as written. 0.001 g/cm³.
    pub density: Density,
    /// Each distance between marks. An eighth of an inch.
    pub marks: Length,
}

impl Default for Tolerances {
    fn default() -> Self {
        let inches = |inches: f64| Length::from_in(inches).unwrap_or(Length::ZERO);
        Self {
            label_thickness: 0.05,
            turns: 0.25,
            side: inches(0.5),
            roll_width: inches(0.125),
            density: Density::from_kg_per_m3(1.0).unwrap_or(Density::ZERO),
            marks: Length::from_m(MARKS_GOOD_TO_M).unwrap_or(Length::ZERO),
        }
    }
}

/// Density where none is written, and how far it is to be trusted, in kilograms per cubic metre:
/// linear low-density polyethylene (from memory).
pub(in crate::analysis) const USUAL_DENSITY: (f64, f64) = (918.0, 5.0);

/// Step of a micrometer where none is written, in metres: 1 µm (common practice, no source).
const USUAL_MICROMETER_STEP_M: f64 = 1e-6;

/// The records a balance is gathered from. Lists but that of the widths may hold more than belongs
/// to the setup: what does not, and what is set aside, takes no part.
#[derive(Debug, Clone, Copy)]
pub struct BalanceRecords<'a> {
    /// The setup.
    pub setup: &'a Record<Setup>,
    /// The roll on it.
    pub roll: &'a Record<FilmRoll>,
    /// Loads.
    pub loads: &'a [Record<Load>],
    /// Film weighed.
    pub weights: &'a [Record<FilmWeight>],
    /// Thicknesses; those measured on the roll count.
    pub thickness: &'a [Record<Thickness>],
    /// Ink marks.
    pub marks: &'a [Record<StretchMark>],
    /// Film widths on loads: those on loads of the setup count; without any, all that are given,
    /// which are then to be of film that ran alike.
    pub widths: &'a [Record<FilmWidth>],
    /// Tools, for their steps.
    pub tools: &'a [Record<Tool>],
}

type Noted<T> = Result<T, BalanceError>;

impl Balance {
    /// The balance of a setup: its programme, roll and stretch against the film weighed.
    ///
    /// The stretch is that of marks read on the load; failing those, of marks read before it;
    /// failing those, the pre-stretch that is set. The thickness is that measured on the roll, or
    /// the label's. What is taken for granted is in [`Balance::assumptions`]. See [`balance`] for
    /// the formulas.
    ///
    /// # Errors
    /// When something needed is not written, or cannot be; the text says which and what to do.
    pub fn of_records(records: &BalanceRecords<'_>, trust: &Tolerances) -> Noted<Self> {
        let mut notes = Vec::new();
        let loads: Vec<&Record<Load>> = records
            .loads
            .iter()
            .filter(|load| load.set_aside.is_none() && load.setup == records.setup.id)
            .collect();
        if loads.is_empty() {
            return Err(BalanceError::NoLoad);
        }
        let weights: Vec<Record<FilmWeight>> = records
            .weights
            .iter()
            .filter(|weight| weight.set_aside.is_none())
            .filter(|weight| loads.iter().any(|load| load.id == weight.load))
            .cloned()
            .collect();
        let weighed = records.weighed(&weights, &mut notes)?;
        let (stretch, stretch_measured) = records.stretch(trust, &mut notes)?;
        let (thickness, thickness_measured) = records.thickness(trust, &mut notes)?;
        let (turns, path) = records.path(&loads, &weights, trust, &mut notes)?;
        let roll_width = records
            .roll
            .width
            .as_ref()
            .ok_or(BalanceError::NoRollWidth)?
            .value;
        let density = match &records.roll.density {
            Some(density) => Estimate::within(density.value.kg_per_m3(), trust.density.kg_per_m3()),
            None => {
                notes.push(BalanceAssumption::UsualDensity);
                Estimate::within(USUAL_DENSITY.0, USUAL_DENSITY.1)
            }
        };
        let mut found = balance(&Inputs {
            turns,
            path,
            stretch,
            density,
            width: Estimate::within(roll_width.m(), trust.roll_width.m()),
            thickness,
            weighed,
            stretch_measured,
            thickness_measured,
        })?;
        found.assumptions = notes;
        Ok(found)
    }
}

/// The thicknesses in use that were measured on a roll itself.
pub(in crate::analysis) fn on_roll(
    thickness: &[Record<Thickness>],
    roll: Id<FilmRoll>,
) -> impl Iterator<Item = &Record<Thickness>> {
    thickness.iter().filter(move |one| {
        one.set_aside.is_none()
            && one.film_roll == roll
            && one.place == ThicknessPlace::Roll
            && one.plies > 0
    })
}

impl BalanceRecords<'_> {
    fn tool(&self, id: Option<Id<Tool>>) -> Option<&Tool> {
        let id = id?;
        let tool = self.tools.iter().find(|tool| tool.id == id)?;
        Some(&tool.body)
    }

    /// Film per load: the spread between weighings or what the scale's step leaves of
    /// it ([`left_by_scale_kg`]), whichever is greater, since spread holds the step already.
    fn weighed(
        &self,
        weights: &[Record<FilmWeight>],
        notes: &mut Vec<BalanceAssumption>,
    ) -> Noted<Estimate> {
        if weights.is_empty() {
            return Err(BalanceError::NotWeighed);
        }
        let film = film_per_load(weights, self.tools).ok_or(BalanceError::NothingWeighed)?;
        let (mut left, mut unknown) = (0.0, false);
        for weight in weights {
            unknown |= written_scale_step(weight, self.tools).is_none();
            left += left_by_scale_kg(weight, self.tools);
        }
        if unknown {
            notes.push(BalanceAssumption::UsualScaleStep);
        }
        if film.summary.n == 1 {
            notes.push(BalanceAssumption::OneWeighing);
        }
        let read = left / f64::from(film.loads);
        Ok(spread_or(film.mass.kg(), &film.summary, read))
    }

    fn stretch(
        &self,
        trust: &Tolerances,
        notes: &mut Vec<BalanceAssumption>,
    ) -> Noted<(Estimate, bool)> {
        let marks: Vec<Record<StretchMark>> = self
            .marks
            .iter()
            .filter(|mark| mark.set_aside.is_none() && mark.setup == self.setup.id)
            .cloned()
            .collect();
        if marks.iter().any(|mark| stretch_of(mark).is_none()) {
            notes.push(BalanceAssumption::SomeMarksLeftOut);
        }
        for place in [MarkPlace::OnLoad, MarkPlace::BeforeLoad] {
            if let Some(stretch) = stretch_by_marks(&marks, place, trust.marks) {
                if place == MarkPlace::BeforeLoad {
                    notes.push(BalanceAssumption::NoPostStretch);
                }
                let estimate = Estimate {
                    value: stretch.mean.fraction(),
                    uncertainty: stretch.uncertainty,
                    degrees_of_freedom: stretch.degrees_of_freedom,
                };
                return Ok((estimate, place == MarkPlace::OnLoad));
            }
        }
        let set = self.setup.settings.pre_stretch.as_ref();
        let set = set.ok_or(BalanceError::NoStretch)?;
        notes.push(BalanceAssumption::StretchAsSet);
        Ok((Estimate::new(set.value.fraction(), 0.0), false))
    }

    fn thickness(
        &self,
        trust: &Tolerances,
        notes: &mut Vec<BalanceAssumption>,
    ) -> Noted<(Estimate, bool)> {
        let (mut measured, mut step_m, mut unknown) = (Vec::new(), 0.0_f64, false);
        for one in on_roll(self.thickness, self.roll.id) {
            let step = self
                .tool(one.tool)
                .and_then(|tool| tool.thickness_step.as_ref())
                .map(|step| step.value.m())
                .filter(|step| *step > 0.0);
            unknown |= step.is_none();
            let plies = f64::from(one.plies);
            step_m = step_m.max(step.unwrap_or(USUAL_MICROMETER_STEP_M) / plies);
            measured.push(one.value.value.m() / plies);
        }
        let Ok(summary) = summarise(&measured) else {
            let label = self.roll.nominal_thickness.as_ref();
            let label_m = label.ok_or(BalanceError::NoThickness)?.value.m();
            notes.push(BalanceAssumption::LabelThickness);
            return Ok((
                Estimate::within(label_m, trust.label_thickness * label_m),
                false,
            ));
        };
        if unknown {
            notes.push(BalanceAssumption::UsualMicrometerStep);
        }
        // Readings that fall on the same step all err alike: more of them do not help.
        let mut read = step_m / 12.0_f64.sqrt();
        // Film differs across the roll, and two places that happen to agree do not show by how much.
        if summary.n < 3 {
            notes.push(BalanceAssumption::FewThicknesses);
            let places = crate::analysis::whole(summary.n);
            read = read.max(trust.label_thickness * summary.mean / (3.0 * places).sqrt());
        }
        Ok((spread_or(summary.mean, &summary, read), true))
    }

    /// Turns and path, the mean over the loads that were weighed; u from turns and sides,
    /// S = N P with P = 2 (L + W). Where goods and pallet differ by d in outline, each bottom turn
    /// may be 8 d longer or shorter.
    fn path(
        &self,
        loads: &[&Record<Load>],
        weights: &[Record<FilmWeight>],
        trust: &Tolerances,
        notes: &mut Vec<BalanceAssumption>,
    ) -> Noted<(f64, Estimate)> {
        let own: Vec<Record<FilmWidth>> = self
            .widths
            .iter()
            .filter(|width| loads.iter().any(|load| load.id == width.load))
            .cloned()
            .collect();
        let widths = if own.is_empty() {
            if self.widths.iter().any(|width| width.set_aside.is_none()) {
                notes.push(BalanceAssumption::WidthOfOthers);
            }
            self.widths
        } else {
            &own
        };
        let pattern = |load: &Record<Load>| {
            Pattern::of_records(&self.setup.settings, load, widths, Some(&self.roll.body))
        };
        let is_weighed = |load: &Record<Load>| weights.iter().any(|weight| weight.load == load.id);
        let (weighed, others): (Vec<&Record<Load>>, Vec<&Record<Load>>) =
            loads.iter().copied().partition(|load| is_weighed(load));
        let mut alike = weights.iter().any(|weight| weight.loads_together > 1);
        let mut patterns: Vec<Pattern> = Vec::new();
        let mut why = None;
        for load in weighed {
            match pattern(load) {
                Ok(found) => patterns.push(found),
                Err(error) => {
                    alike = true;
                    why = why.or(Some(error));
                }
            }
        }
        if patterns.is_empty() {
            patterns.extend(others.into_iter().filter_map(|load| pattern(load).ok()));
        }
        let Some(first) = patterns.first() else {
            return Err(why.map_or(BalanceError::NoLoad, BalanceError::Pattern));
        };
        for said in first.assumptions() {
            notes.push(BalanceAssumption::Pattern(*said));
        }
        if alike {
            notes.push(BalanceAssumption::LoadsAlike);
        }
        let mean = |of: fn(&Pattern) -> f64| {
            let all: Vec<f64> = patterns.iter().map(of).collect();
            summarise(&all).map_err(|_| BalanceError::BeyondReason)
        };
        let turns = mean(Pattern::turns)?.mean;
        let path_m = mean(|pattern| pattern.path().m())?.mean;
        let perimeter_m = mean(|pattern| pattern.load().perimeter().m())?.mean;
        let root_3 = 3.0_f64.sqrt();
        let of_turns = trust.turns / root_3 / turns;
        let of_sides = 2.0 * 2.0_f64.sqrt() * trust.side.m() / root_3 / perimeter_m;
        let beside_m = loads
            .iter()
            .map(|load| match &load.pallet_fit {
                Some(PalletFit::Overhang(by) | PalletFit::Inset(by)) => by.value.m(),
                Some(PalletFit::Flush) | None => 0.0,
            })
            .fold(0.0, f64::max);
        let bottom_turns = self.setup.settings.bottom_turns.unwrap_or(0.0);
        let of_pallet = bottom_turns * 8.0 * beside_m / root_3 / path_m;
        let part = of_turns.hypot(of_sides).hypot(of_pallet);
        Ok((turns, Estimate::new(path_m, path_m * part)))
    }
}

/// A mean with what its spread or its reading leaves uncertain, whichever is more; see
/// [`spread_or_read`].
fn spread_or(value: f64, summary: &Summary, read: f64) -> Estimate {
    let (uncertainty, degrees_of_freedom) = spread_or_read(summary, read);
    Estimate {
        value,
        uncertainty,
        degrees_of_freedom,
    }
}
