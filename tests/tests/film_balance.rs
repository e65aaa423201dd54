//! The film balance over the sample surveys.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::path::Path;

use tautbook_core::analysis::balance::{
    Balance, BalanceAssumption, BalanceRecords, CauseKind, Needed, Tolerances,
};
use tautbook_core::dayfile::RecordsFile;
use tautbook_core::survey::{Record, RecordSet, Setup, SetupRole, StretchMark};

const SAMPLES: [&str; 3] = ["bottling-plant", "parts-warehouse", "tile-maker"];

fn sample(name: &str) -> RecordSet {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../sample-surveys")
        .join(format!("{name}.json"));
    RecordsFile::read(&std::fs::read(path).unwrap())
        .unwrap()
        .records
}

fn balance_of(set: &RecordSet, setup: &Record<Setup>, marks: &[Record<StretchMark>]) -> Balance {
    let roll = set
        .film_rolls
        .iter()
        .find(|roll| Some(roll.id) == setup.film_roll)
        .unwrap();
    let records = BalanceRecords {
        setup,
        roll,
        loads: &set.loads,
        weights: &set.film_weights,
        thickness: &set.thicknesses,
        marks,
        widths: &set.film_widths,
        tools: &set.tools,
    };
    Balance::of_records(&records, &Tolerances::default())
        .unwrap_or_else(|error| panic!("{}: {error}", setup.name))
}

#[test]
fn with_the_marks_that_were_read_every_setup_of_the_samples_closes() {
    let mut setups = 0;
    for name in SAMPLES {
        let set = sample(name);
        for setup in &set.setups {
            let found = balance_of(&set, setup, &set.stretch_marks);
            let ratio = (found.ratio.value, found.ratio.expanded());
            println!("{name}, {}: weighed over predicted {ratio:.3?}", setup.name);
            assert!(found.closes, "{name}, {}: {ratio:?}", setup.name);
            // What the marks say and what the scale says of the stretch overlap.
            let (effective, marked) = (found.effective_stretch, found.inputs.stretch);
            assert!(effective.low() < marked.high() && marked.low() < effective.high());
            // Such a balance is worth having: it would have shown a fifth more film or less.
            assert!(found.least_shown().unwrap().fraction() < 0.2);
            setups += 1;
        }
    }
    assert!(setups >= 6);
}

#[test]
fn without_its_marks_a_slipping_pre_stretch_shows_on_the_scale() {
    // The made-up parts warehouse: 250 % on the panel, 158 % on the load.
    let set = sample("parts-warehouse");
    let slipping = |setup: &&Record<Setup>| {
        setup.role == SetupRole::AsFound
            && (setup.settings.pre_stretch.as_ref()).is_some_and(|set| set.value.percent() > 249.0)
    };
    let setup = set.setups.iter().find(slipping).unwrap();
    let found = balance_of(&set, setup, &[]);
    assert!(found.assumptions.contains(&BalanceAssumption::StretchAsSet));
    assert!(!found.closes);
    let first = &found.causes[0];
    assert_eq!(first.kind, CauseKind::StretchedLess);
    let Some(Needed::Stretch(stretch)) = first.needed else {
        panic!("{first:?}")
    };
    let off = (stretch.fraction() - 1.58).abs();
    assert!(off < found.effective_stretch.expanded(), "{stretch:?}");
}
