//! Everything that what is said of a load or setup comes from.

use crate::analysis::containment::{Taken, taken};
use crate::analysis::pattern::Pattern;
use crate::analysis::plan::widths_for;
use crate::survey::{
    FilmRoll, FilmWeight, FilmWidth, Id, Line, Load, Reading, Record, RecordSet, Setup, Stability,
    StretchMark, Target, Thickness, Tool,
};
use crate::units::Method;

/// The records of a load, or of a setup with all its loads.
pub struct Material {
    /// The line.
    pub line: Record<Line>,
    /// The setup.
    pub setup: Record<Setup>,
    /// Its film roll, where one was chosen.
    pub roll: Option<Record<FilmRoll>>,
    /// The load, or all of the setup.
    pub loads: Vec<Record<Load>>,
    /// Of each load, set aside ones too.
    pub readings: Vec<Vec<Record<Reading>>>,
    /// What of their film was weighed.
    pub weights: Vec<Record<FilmWeight>>,
    /// How wide the film lies on them; without one, on loads of the line whose film runs alike.
    pub widths: Vec<Record<FilmWidth>>,
    /// The thickness measured of the roll.
    pub thickness: Vec<Record<Thickness>>,
    /// The ink marks measured with the setup.
    pub marks: Vec<Record<StretchMark>>,
    /// The targets of the visit.
    pub targets: Vec<Record<Target>>,
    /// The tools.
    pub tools: Vec<Record<Tool>>,
}

impl Material {
    /// The class the loads share; `None` when it is not known or they differ.
    #[must_use]
    pub fn stability(&self) -> Option<Stability> {
        let first = self.loads.first()?.stability;
        if self.loads.iter().all(|load| load.stability == first) {
            first
        } else {
            None
        }
    }

    /// The readings by a method that take part.
    #[must_use]
    pub fn taken<M: Method>(&self) -> Vec<Taken<M>> {
        self.each_load()
            .flat_map(|(load, readings)| taken::<M>(load, readings))
            .collect()
    }

    /// Each load with its readings.
    pub fn each_load(&self) -> impl Iterator<Item = (&Record<Load>, &Vec<Record<Reading>>)> + '_ {
        self.loads.iter().zip(&self.readings)
    }

    /// The same out of the records of a visit, for `setup` with the loads given. Readings set aside
    /// take part where `records` holds them.
    #[must_use]
    pub fn of_records(
        records: &RecordSet,
        setup: &Record<Setup>,
        loads: &[&Record<Load>],
    ) -> Option<Self> {
        let line = records.lines.iter().find(|line| line.id == setup.line)?;
        let on = |load: Id<Load>| loads.iter().any(|of| of.id == load);
        let roll = setup.film_roll;
        let of_roll = |id: Id<FilmRoll>| roll == Some(id);
        let kept = |list: &[Record<Reading>], load: Id<Load>| -> Vec<Record<Reading>> {
            let own = list.iter().filter(|reading| reading.load == load);
            own.cloned().collect()
        };
        let thickness = records.thicknesses.iter();
        let marks = records.stretch_marks.iter();
        Some(Self {
            roll: records
                .film_rolls
                .iter()
                .find(|one| of_roll(one.id))
                .cloned(),
            loads: loads.iter().map(|load| (*load).clone()).collect(),
            readings: loads
                .iter()
                .map(|load| kept(&records.readings, load.id))
                .collect(),
            weights: records
                .film_weights
                .iter()
                .filter(|of| on(of.load))
                .cloned()
                .collect(),
            widths: widths_for(records, setup, loads)
                .into_iter()
                .cloned()
                .collect(),
            thickness: thickness
                .filter(|of| of_roll(of.film_roll))
                .cloned()
                .collect(),
            marks: marks.filter(|of| of.setup == setup.id).cloned().collect(),
            targets: records.targets.clone(),
            tools: records.tools.clone(),
            line: line.clone(),
            setup: setup.clone(),
        })
    }

    /// The film that the setup's programme lays on the first load whose size is known; the text
    /// says what is missing where there is none.
    ///
    /// # Errors
    /// What is missing, in a sentence.
    pub fn pattern(&self) -> Result<Pattern, String> {
        let mut why = "there is no load yet: add one and write its size".to_owned();
        for load in &self.loads {
            match Pattern::of_records(
                &self.setup.settings,
                load,
                &self.widths,
                self.roll.as_ref().map(|roll| &roll.body),
            ) {
                Ok(pattern) => return Ok(pattern),
                Err(error) => why = error.to_string(),
            }
        }
        Err(why)
    }
}

/// Whether a reading was taken by a method and not set aside.
#[must_use]
pub fn is_in_use<M: Method>(reading: &Record<Reading>) -> bool {
    reading.set_aside.is_none() && reading.measure.method() == M::ID
}
