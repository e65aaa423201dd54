//! One setup as text: film, settings, what was measured on all its loads together.

use tautbook_core::survey::{BreakExposure, Record, RecordSet, Setup, Spiral};
use tautbook_core::units::{Ratio, RatioUnit, Style, show_number, show_ratio};

use super::load;
use super::report::{FilmResult, MethodResult, VisitReport, ZoneStanding};
use super::table::{WIDTH, labelled, table};
use super::text::{entered, in_use};
use super::words::{Units, count, joined, word};

const LABEL: usize = 11;

/// Writes a setup and its loads.
pub(super) fn setup(text: &mut String, report: &VisitReport, setup: &Record<Setup>, units: Units) {
    let all = &report.records;
    let role = word(&setup.role);
    let title = if setup.name.eq_ignore_ascii_case(&role) {
        setup.name.clone()
    } else {
        format!("{} ({role})", setup.name)
    };
    text.push_str(&format!("\n{}\n", "-".repeat(WIDTH)));
    text.push_str(&labelled("", &title, 0, 0));
    film(text, all, setup);
    settings(text, setup);
    for margin in &setup.margins {
        let words = super::chosen::margin(margin, all);
        text.push_str(&labelled("Margin", &words, 2, LABEL));
    }
    if !setup.notes.is_empty() {
        text.push_str(&labelled("Notes", &setup.notes, 2, LABEL));
    }
    stretch(text, all, setup);
    for breaks in in_use(&all.film_breaks).filter(|breaks| breaks.setup == setup.id) {
        let over = match breaks.over {
            BreakExposure::Loads(n) => count(n, "load"),
            BreakExposure::Rolls(n) => count(n, "roll"),
        };
        let line = joined(
            &[&format!("{} over {over}", breaks.breaks), &breaks.notes],
            ", ",
        );
        text.push_str(&labelled("Breaks", &line, 2, LABEL));
    }
    let result = report
        .results
        .setups
        .iter()
        .find(|result| result.setup == setup.id.uuid());
    if let Some(result) = result {
        if let Some(film) = &result.film {
            text.push_str(&labelled("Film use", &film_use(film, units), 2, LABEL));
        }
        method(text, "Torsion tool", &result.torsion_tool, units);
        method(text, "Pull plate", &result.pull_plate, units);
    }
    for load in in_use(&all.loads).filter(|load| load.setup == setup.id) {
        load::load(text, all, load);
    }
}

fn film(text: &mut String, all: &RecordSet, setup: &Record<Setup>) {
    let Some(roll) = setup
        .film_roll
        .and_then(|id| all.film_rolls.iter().find(|roll| roll.id == id))
    else {
        return;
    };
    let parts = [
        roll.name.as_str(),
        entered(roll.nominal_thickness.as_ref()),
        entered(roll.width.as_ref()),
        entered(roll.length.as_ref()),
        entered(roll.net_mass.as_ref()),
    ];
    text.push_str(&labelled("Film", &joined(&parts, ", "), 2, LABEL));
    let measured: Vec<String> = in_use(&all.thicknesses)
        .filter(|thickness| thickness.film_roll == roll.id)
        .map(|thickness| match thickness.plies {
            1 => thickness.value.text.clone(),
            plies => format!("{} ({plies} plies)", thickness.value.text),
        })
        .collect();
    if !measured.is_empty() {
        text.push_str(&labelled("Thickness", &measured.join(", "), 2, LABEL));
    }
}

fn settings(text: &mut String, setup: &Record<Setup>) {
    let settings = &setup.settings;
    let number = |n: Option<f64>| n.map(|n| show_number(n, &Style::default()));
    let bottom = number(settings.bottom_turns).map_or(String::new(), |n| {
        let turns = if n == "1" { "turn" } else { "turns" };
        format!("{n} {turns} at the bottom")
    });
    let top = number(settings.top_turns).map_or(String::new(), |n| format!("{n} at the top"));
    let spiral = |spiral: Option<&Spiral>, way: &str| match spiral {
        Some(Spiral::Pitch(pitch)) => format!("{way} at pitch {}", pitch.text),
        Some(Spiral::Overlap(overlap)) => format!("{way} at overlap {}", overlap.text),
        None => String::new(),
    };
    let with = |value: &str, before: &str| {
        if value.is_empty() {
            String::new()
        } else {
            format!("{before}{value}")
        }
    };
    let parts = [
        bottom,
        top,
        spiral(settings.up.as_ref(), "up"),
        spiral(settings.down.as_ref(), "down"),
        with(entered(settings.start_height.as_ref()), "start height "),
        with(entered(settings.over_top.as_ref()), "over the top "),
        with(&settings.film_force, "film force "),
        with(entered(settings.pre_stretch.as_ref()), "pre-stretch "),
    ];
    let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
    text.push_str(&labelled("Settings", &joined(&parts, ", "), 2, LABEL));
}

fn stretch(text: &mut String, all: &RecordSet, setup: &Record<Setup>) {
    let marks: Vec<String> = in_use(&all.stretch_marks)
        .filter(|mark| mark.setup == setup.id)
        .map(|mark| {
            let stretch = mark.after.value.m() / mark.before.value.m() - 1.0;
            let stretch = Ratio::from_fraction(stretch).map_or(String::new(), |ratio| {
                show_ratio(ratio, RatioUnit::Percent, &Style::default())
            });
            format!(
                "{stretch} {} ({} to {})",
                word(&mark.place),
                mark.before.text,
                mark.after.text
            )
        })
        .collect();
    if !marks.is_empty() {
        text.push_str(&labelled("Stretch", &marks.join(", "), 2, LABEL));
    }
}

fn film_use(film: &FilmResult, units: Units) -> String {
    let weighings = u32::try_from(film.weighings).unwrap_or(u32::MAX);
    let mut line = format!(
        "{} a load, {} of {}",
        units.mass(Some(film.film_per_load_kg)),
        count(weighings, "weighing"),
        count(film.loads_weighed, "load")
    );
    if film.mean_low_kg.is_some() {
        line.push_str(&format!(
            " (95 %: {} to {})",
            units.mass(film.mean_low_kg),
            units.mass(film.mean_high_kg)
        ));
    }
    line
}

/// All loads of a setup together by one method; the other one has a table of its own.
fn method(text: &mut String, name: &str, result: &MethodResult, units: Units) {
    if result.zones.iter().all(|zone| zone.readings == 0) {
        text.push_str(&labelled("", &format!("{name}: not measured"), 2, 0));
        return;
    }
    text.push_str(&format!(
        "\n  {name}, all loads: {}\n",
        word(&result.verdict)
    ));
    let mut rows = vec![
        [
            "zone",
            "n",
            "lowest",
            "mean",
            "± at 95 %",
            "SD",
            "target",
            "verdict",
        ]
        .map(str::to_owned)
        .to_vec(),
    ];
    for zone in &result.zones {
        let half = zone
            .mean_low_n
            .zip(zone.mean_high_n)
            .map(|(low, high)| 0.5 * (high - low));
        rows.push(vec![
            zone.zone.clone(),
            zone.readings.to_string(),
            units.force(zone.lowest_n),
            units.force(zone.mean_n),
            units.force(half),
            units.force(zone.sd_n),
            units.force(zone.target_n),
            word(&zone.verdict),
        ]);
    }
    text.push_str(&table(&rows, 4));
    for zone in &result.zones {
        if zone.verdict == ZoneStanding::Below {
            let short = zone.margin_n.map(f64::abs);
            let line = format!(
                "The {} is {} below its target.",
                zone.zone,
                units.force(short)
            );
            text.push_str(&labelled("", &line, 4, 0));
        }
        if let Some(outlier) = &zone.outlier {
            let line = format!(
                "{} stands out in the {} (Grubbs' test): look at it. It is counted all the same.",
                units.force(Some(outlier.value_n)),
                zone.zone
            );
            text.push_str(&labelled("", &line, 4, 0));
        }
        if zone.unlike_faces && name == "Pull plate" {
            let line = format!(
                "The {} was read on faces of unlike length, which are not averaged.",
                zone.zone
            );
            text.push_str(&labelled("", &line, 4, 0));
        }
    }
}
