//! A visit as text.

use tautbook_core::survey::{
    Entity, Line, LoadVolume, MachineCheck, Record, RecordSet, Tool, Visit,
};
use tautbook_core::units::Entered;

use super::report::VisitReport;
use super::table::{WIDTH, labelled};
use super::words::{Units, capital, count, joined, word};
use super::{chosen, setup};

/// The whole visit.
pub(super) fn visit(report: &VisitReport) -> String {
    let all = &report.records;
    let mut text = String::new();
    let Some(visit) = all.visits.first() else {
        return text;
    };
    head(&mut text, visit);
    tools(&mut text, report);
    for line in in_use(&all.lines) {
        text.push('\n');
        text.push_str(&"=".repeat(WIDTH));
        text.push('\n');
        line_text(&mut text, all, line);
        for setup in in_use(&all.setups).filter(|setup| setup.line == line.id) {
            setup::setup(&mut text, report, setup, Units::of(all));
        }
    }
    findings(&mut text, all);
    samples(&mut text, all);
    text
}

/// The records that are in use.
pub(super) fn in_use<T: Entity>(records: &[Record<T>]) -> impl Iterator<Item = &Record<T>> {
    records.iter().filter(|record| record.set_aside.is_none())
}

/// A value as entered, or nothing.
pub(super) fn entered<Q>(value: Option<&Entered<Q>>) -> &str {
    value.map_or("", |value| value.text.as_str())
}

fn head(text: &mut String, visit: &Record<Visit>) {
    let title = joined(&[&visit.customer, &visit.site], ", ");
    text.push_str(&labelled("", &title, 0, 0));
    let date = visit.date.format("%-d %B %Y").to_string();
    let purpose = word(&visit.purpose);
    text.push_str(&labelled(
        "",
        &joined(&[&date, &purpose, &visit.rep], " · "),
        0,
        0,
    ));
    text.push_str(&format!("{}\n", visit.id));
    if !visit.notes.is_empty() {
        text.push('\n');
        text.push_str(&labelled("", &visit.notes, 0, 0));
    }
    for (label, items) in [("Bag", &visit.bag), ("Safety", &visit.safety)] {
        for (n, item) in items.iter().enumerate() {
            let box_of = if item.done { "[x] " } else { "[ ] " };
            let label = if n == 0 { label } else { "" };
            text.push_str(&labelled(label, &format!("{box_of}{}", item.text), 0, 8));
        }
    }
}

fn tools(text: &mut String, report: &VisitReport) {
    let tools: Vec<&Record<Tool>> = in_use(&report.records.tools).collect();
    let names = tools.iter().map(|tool| tool.name.chars().count());
    let width = names.max().unwrap_or(0).min(36) + 2;
    for (n, tool) in tools.iter().enumerate() {
        if n == 0 {
            text.push_str("\nTools\n");
        }
        let result = report
            .results
            .tools
            .iter()
            .find(|result| result.tool == tool.id.uuid());
        let overdue = result.and_then(|result| result.check_overdue);
        let past = result.map_or(0, |result| result.readings_past_check);
        let zeroed = tool.zeroed_at.map_or(String::new(), |at| {
            format!("zeroed {}", at.date_time().format("%H:%M"))
        });
        let checked = match tool.checked_at {
            Some(at) => format!("checked {}", at.date_time().format("%Y-%m-%d")),
            None => "never checked".to_owned(),
        };
        let trust = if overdue == Some(true) {
            let readings = count(u32::try_from(past).unwrap_or(u32::MAX), "reading");
            format!("CHECK OVERDUE for {readings}")
        } else {
            String::new()
        };
        let parts = [
            &word(&tool.kind),
            &step_and_range(tool),
            &zeroed,
            &checked,
            &trust,
        ];
        let parts = parts.map(String::as_str);
        text.push_str(&labelled(&tool.name, &joined(&parts, ", "), 2, width));
    }
}

/// `42,500`.
fn grouped(n: u64) -> String {
    let digits = n.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

fn step_and_range(tool: &Tool) -> String {
    let step = joined(
        &[
            entered(tool.force_step.as_ref()),
            entered(tool.mass_step.as_ref()),
            entered(tool.thickness_step.as_ref()),
        ],
        "",
    );
    let range = joined(
        &[
            entered(tool.force_range.as_ref()),
            entered(tool.mass_range.as_ref()),
        ],
        "",
    );
    match (step.is_empty(), range.is_empty()) {
        (true, true) => String::new(),
        (false, true) => format!("by {step}"),
        (true, false) => format!("to {range}"),
        (false, false) => format!("by {step} to {range}"),
    }
}

fn line_text(text: &mut String, all: &RecordSet, line: &Record<Line>) {
    text.push_str(&labelled(
        "",
        &joined(&[&line.name, &line.product], ": "),
        0,
        0,
    ));
    let wrapper = &line.wrapper;
    let nominal = entered(wrapper.nominal_pre_stretch.as_ref());
    let pre_stretch = wrapper.pre_stretch.map_or(String::new(), |kind| {
        joined(&[&word(&kind), "pre-stretch", nominal], " ")
    });
    let rotation = wrapper
        .rotation
        .map_or(String::new(), |turn| format!("{} from above", word(&turn)));
    let parts = [
        &capital(&word(&wrapper.kind)),
        wrapper.make_model.as_str(),
        &pre_stretch,
        &rotation,
        &wrapper.condition,
    ];
    text.push_str(&labelled("Wrapper", &joined(&parts, ", "), 2, 11));
    if let Some(volume) = line.volume {
        let by = match volume {
            LoadVolume::PerYear { .. } => String::new(),
            LoadVolume::PerShift {
                loads,
                shifts_a_day,
                days_a_year,
            } => format!(" ({loads} a shift, {shifts_a_day} shifts, {days_a_year} days)"),
        };
        let volume = format!("{} loads a year{by}", grouped(volume.loads_a_year()));
        text.push_str(&labelled("Volume", &volume, 2, 11));
    }
    let chosen = [
        ("Travel", chosen::travel(&line.travel)),
        ("Factors", chosen::factors(&line.factors)),
    ];
    for (label, words) in chosen.iter().filter(|(_, words)| !words.is_empty()) {
        text.push_str(&labelled(label, words, 2, 11));
    }
    if !line.notes.is_empty() {
        text.push_str(&labelled("Notes", &line.notes, 2, 11));
    }
    let cautions: Vec<String> = in_use(&all.cautions)
        .filter(|caution| caution.line == Some(line.id))
        .map(|caution| {
            let at = caution.acknowledged_at.date_time().format("%H:%M");
            joined(
                &[&format!("acknowledged {at}"), &caution.isolated_by],
                ", isolated by: ",
            )
        })
        .collect();
    if !cautions.is_empty() {
        text.push_str(&labelled("Caution", &cautions.join("; "), 2, 11));
    }
    let checks: Vec<&Record<MachineCheck>> = in_use(&all.machine_checks)
        .filter(|check| check.line == line.id)
        .collect();
    for (n, check) in checks.iter().enumerate() {
        let label = if n == 0 { "Machine" } else { "" };
        let what = format!("{}: {}", word(&check.item), word(&check.result));
        let more = joined(&[entered(check.gap.as_ref()), &check.notes], ", ");
        text.push_str(&labelled(label, &joined(&[&what, &more], " · "), 2, 11));
    }
}

fn findings(text: &mut String, all: &RecordSet) {
    for (n, finding) in in_use(&all.findings).enumerate() {
        if n == 0 {
            text.push('\n');
            text.push_str(&"=".repeat(WIDTH));
            text.push_str("\nFindings\n");
        }
        let line = finding
            .line
            .and_then(|id| all.lines.iter().find(|line| line.id == id))
            .map_or("", |line| line.name.as_str());
        let what = joined(&[&word(&finding.seriousness), line], ", ");
        text.push_str(&labelled(
            &format!("{}.", n + 1),
            &format!("{} ({what}; {})", finding.what, word(&finding.state)),
            2,
            4,
        ));
        let action = format!("{} [{}]", finding.action, word(&finding.who_may_act));
        text.push_str(&labelled("->", &action, 6, 3));
        text.push_str(&labelled("", &evidence(&finding.evidence), 9, 0));
    }
}

/// `Evidence: 3 readings, 1 machine check`.
fn evidence(records: &[tautbook_core::survey::RecordRef]) -> String {
    let mut kinds: Vec<(String, u32)> = Vec::new();
    for record in records {
        let name = record.kind.as_str().replace('_', " ");
        match kinds.iter_mut().find(|(kind, _)| *kind == name) {
            Some((_, n)) => *n += 1,
            None => kinds.push((name, 1)),
        }
    }
    let listed: Vec<String> = kinds
        .iter()
        .map(|(kind, n)| match kind.as_str() {
            "thickness" if *n > 1 => format!("{n} thicknesses"),
            "film breaks" => format!("{n} × film breaks"),
            _ => count(*n, kind),
        })
        .collect();
    format!("Evidence: {}", listed.join(", "))
}

fn samples(text: &mut String, all: &RecordSet) {
    for (n, sample) in in_use(&all.samples).enumerate() {
        if n == 0 {
            text.push_str("\nKept\n");
        }
        let load = sample
            .load
            .and_then(|id| all.loads.iter().find(|load| load.id == id))
            .map_or("", |load| load.name.as_str());
        let until = sample
            .retain_until
            .map_or(String::new(), |date| format!("until {date}"));
        let parts = [
            &capital(&word(&sample.what)),
            load,
            &sample.place,
            &until,
            &sample.notes,
        ];
        text.push_str(&labelled("", &joined(&parts, ", "), 2, 0));
        for event in in_use(&all.sample_events).filter(|event| event.sample == sample.id) {
            let at = event.at.date_time().format("%Y-%m-%d %H:%M").to_string();
            text.push_str(&labelled(
                "",
                &joined(&[&at, &word(&event.what), &event.notes], " "),
                4,
                0,
            ));
        }
    }
}
