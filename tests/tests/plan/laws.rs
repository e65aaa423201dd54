//! Plans of the sample surveys, and of whatever the records say.

use proptest::prelude::*;
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::analysis::plan::{Asked, Candidate, outcome, plan};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::survey::{Face, Id, Load, RecordSet, Setup, Spiral};
use tautbook_core::units::{Method, MethodId, PullPlate, TorsionTool};
use tautbook_tests::arbitrary::visit_whole;

use crate::site::{LOAD, length, line, target};

fn sample(name: &str) -> RecordSet {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../sample-surveys");
    let bytes = std::fs::read(format!("{folder}/{name}.json")).unwrap();
    RecordsFile::read(&bytes).unwrap().records
}

/// Predicts each setup of the samples from the others of its line that run the film alike, and
/// looks how many of its readings keep to their bounds.
fn predicted_from_the_others<M: Method>(records: &RecordSet) -> (usize, usize) {
    let (mut kept, mut all) = (0, 0);
    for setup in &records.setups {
        let mut others = records.clone();
        let readings_of = |set: &RecordSet, setup: Id<Setup>| -> Vec<Id<Load>> {
            set.loads
                .iter()
                .filter(|load| load.setup == setup)
                .map(|load| load.id)
                .collect()
        };
        let loads = readings_of(records, setup.id);
        others
            .readings
            .retain(|reading| !loads.contains(&reading.load));
        let asked = Asked {
            readings: 1,
            ..Asked::default()
        };
        let Ok(of) = plan::<M>(&others, setup.id, asked) else {
            continue;
        };
        for (zone, lower) in ZoneName::ALL.into_iter().zip(of.now.lower_n) {
            let readings = records
                .readings
                .iter()
                .filter(|reading| reading.set_aside.is_none() && loads.contains(&reading.load))
                .filter(|reading| ZoneName::of(&reading.zone) == Some(zone))
                .filter_map(|reading| reading.measure.containment::<M>());
            for reading in readings {
                all += 1;
                kept += usize::from(lower.is_some_and(|lower| reading.force().n() >= lower));
            }
        }
    }
    (kept, all)
}

#[test]
fn a_setup_of_the_samples_is_predicted_from_the_others() {
    let (mut kept, mut all) = (0, 0);
    for name in ["bottling-plant", "parts-warehouse", "tile-maker"] {
        let records = sample(name);
        for (of, from) in [
            predicted_from_the_others::<TorsionTool>(&records),
            predicted_from_the_others::<PullPlate>(&records),
        ] {
            kept += of;
            all += from;
        }
    }
    assert!(all > 200, "{all} readings to predict");
    let share = 100 * kept / all;
    assert!(share >= 85, "{kept} of {all} readings keep to a 90 % bound");
}

fn is_sound(candidate: &Candidate) {
    let numbers = [candidate.mean_n, candidate.lower_n, candidate.margin_n];
    let numbers = numbers.iter().flatten().flatten();
    assert!(numbers.into_iter().all(|n| n.is_finite()), "{candidate:?}");
    assert!(
        candidate.film_kg.is_finite() && candidate.film_kg > 0.0,
        "{candidate:?}"
    );
    assert!(
        candidate.layers.iter().all(|n| n.is_finite() && *n >= 0.0),
        "{candidate:?}"
    );
}

fn says_something_sound<M: Method>(records: &RecordSet) -> bool {
    let mut planned = false;
    for setup in &records.setups {
        match plan::<M>(records, setup.id, Asked::default()) {
            Ok(of) => {
                planned = true;
                is_sound(&of.now);
                of.found.best.iter().for_each(is_sound);
                of.found.curve.iter().for_each(is_sound);
                of.alternatives
                    .iter()
                    .for_each(|one| is_sound(&one.candidate));
                of.less_film.iter().for_each(|one| is_sound(&one.candidate));
                assert!(of.saving.is_none_or(|saving| saving.kg.is_finite()));
            }
            Err(error) => {
                let text = error.to_string();
                assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
            }
        }
        let _ = outcome::<M>(records, setup);
    }
    planned
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn whatever_the_records_say_a_plan_is_sound_or_refused(records in visit_whole()) {
        says_something_sound::<TorsionTool>(&records);
        says_something_sound::<PullPlate>(&records);
    }

    #[test]
    fn whatever_a_line_is_set_to_its_plan_is_sound_or_refused(
        turns in (0.0..20.0_f64, 0.0..20.0_f64),
        pitches in (1.0..2000.0_f64, 1.0..2000.0_f64),
        size in (1.0..4000.0_f64, 1.0..4000.0_f64, 1.0..4000.0_f64),
        width in 1.0..900.0_f64,
        read in prop::collection::vec(0.0..2000.0_f64, 9),
        goal in 0.1..500.0_f64,
    ) {
        let mut set = line();
        let mm = |mm: f64| length(&format!("{mm:.3} mm"));
        let settings = &mut set.setups[0].body.settings;
        (settings.bottom_turns, settings.top_turns) = (Some(turns.0), Some(turns.1));
        settings.up = Some(Spiral::Pitch(mm(pitches.0)));
        settings.down = Some(Spiral::Pitch(mm(pitches.1)));
        let load = &mut set.loads[0].body;
        load.length = Some(mm(size.0));
        load.width = Some(mm(size.1));
        load.height = Some(mm(size.2));
        set.film_rolls[0].body.width = Some(mm(width));
        for (place, n) in read.into_iter().enumerate() {
            let zone = ZoneName::ALL[place % 3];
            let n = (n * 100.0).round() / 100.0;
            crate::site::read(&mut set, LOAD, MethodId::TorsionTool, zone, Face::Front, n);
        }
        for zone in ZoneName::ALL {
            target(&mut set, zone, (goal * 100.0).round() / 100.0);
        }
        says_something_sound::<TorsionTool>(&set);
    }
}
