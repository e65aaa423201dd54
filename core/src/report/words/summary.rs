//! The first page: what a plant manager reads in a minute.

use super::{findings, joined, names, trial};
use crate::analysis::containment::{ContainmentResult, Verdict, ZoneResult};
use crate::report::content::{Align, Cell, Manner, Paragraph, Piece, Row, Table};
use crate::report::gather::{LineReport, Report, SetupReport};
use crate::survey::{CheckResult, FindingState, SetupRole};
use crate::units::{Method, PullPlate, TorsionTool};
use crate::words::compare;
use crate::words::{self, Reader, Tone, figures, plan};
use crate::{say, say_count};

/// How much a piece weighs: what weighs most is left out first.
const ALWAYS: u8 = 0;
/// More lines than stand on one page.
const MOST_LINES: u8 = 20;

pub(super) fn summary(report: &Report, to: Reader) -> Vec<(u8, Piece)> {
    let l = to.language;
    let visit = &report.visit;
    let mut pieces = Vec::new();
    let who = joined([visit.customer.as_str(), visit.site.as_str()], ", ");
    let under = joined(
        [
            who.as_str(),
            &visit.date.to_string(),
            names::purpose(visit.purpose).said(l),
            visit.rep.as_str(),
        ],
        " \u{b7} ",
    );
    pieces.push((
        ALWAYS,
        Piece::Title {
            title: say!(l, "Stretch-wrap report"),
            under,
        },
    ));
    if report.lines.is_empty() {
        let text = say!(
            l,
            "No line was noted on this visit, and nothing was measured."
        );
        pieces.push((ALWAYS, Paragraph::lead(text, Some(Tone::Info))));
    }
    let many = report.lines.len() > 1;
    for (at, line) in report.lines.iter().enumerate() {
        let mut own = Vec::new();
        self::line(&mut own, report, line, many, to);
        // What weighs alike is left out of the later lines first.
        let at = u8::try_from(at).unwrap_or(u8::MAX).min(MOST_LINES - 1);
        let weighed = own
            .into_iter()
            .map(|(weight, piece)| (1 + weight * MOST_LINES + at, piece));
        pieces.extend(weighed);
    }
    pieces.push((
        ALWAYS,
        Paragraph::small(say!(
            l,
            "Forces by the torsion tool and by the pull plate are kept apart throughout. Estimates \
             are named so, with what they assume. The pages behind hold every reading, how it was \
             taken, and what to take care of."
        )),
    ));
    pieces
}

fn line(pieces: &mut Vec<(u8, Piece)>, report: &Report, line: &LineReport, many: bool, to: Reader) {
    let l = to.language;
    let weight = 0;
    if many {
        pieces.push((weight, super::heading(2, line.line.name.clone())));
    } else {
        let text = joined([line.line.name.as_str(), line.line.product.as_str()], ", ");
        pieces.push((
            weight,
            super::heading(2, say!(l, "Line {name}", name = text)),
        ));
    }
    let mut measured = false;
    for setup in ends(line) {
        measured |= standing(pieces, setup, weight, to);
    }
    if !measured {
        pieces.push((
            weight,
            Paragraph::plain(say!(
                l,
                "The containment force was not measured on this line."
            )),
        ));
    }
    if let Some(table) = film(line, to) {
        pieces.push((weight + 3, table));
    }
    if let Some(last) = line.trials.last() {
        tried(pieces, last, weight, to);
    }
    let mut offers = Vec::new();
    if let Some(Ok(found)) = &line.plans.torsion {
        offers.extend(proposal::<TorsionTool>(found, report, to));
    }
    if let Some(Ok(found)) = &line.plans.pull {
        offers.extend(proposal::<PullPlate>(found, report, to));
    }
    for offer in offers {
        pieces.push((weight + 4, offer));
    }
    todo(pieces, report, line, weight, to);
}

/// The setup as found, and the last one where another was measured.
fn ends(line: &LineReport) -> Vec<&SetupReport> {
    let read =
        |setup: &&SetupReport| setup.by_method.torsion.is_some() || setup.by_method.pull.is_some();
    let first = line.setups.first();
    let left = line.setups.iter().skip(1).filter(read);
    let last = left
        .clone()
        .rfind(|setup| setup.material.setup.role == SetupRole::AsLeft)
        .or_else(|| line.setups.iter().skip(1).rfind(read));
    first.into_iter().chain(last).collect()
}

/// How a setup stands by each method; whether it was measured.
fn standing(pieces: &mut Vec<(u8, Piece)>, setup: &SetupReport, weight: u8, to: Reader) -> bool {
    let mut said = Vec::new();
    if let Some(result) = &setup.by_method.torsion {
        said.extend(stands::<TorsionTool>(setup, result, to));
    }
    if let Some(result) = &setup.by_method.pull {
        said.extend(stands::<PullPlate>(setup, result, to));
    }
    let any = !said.is_empty();
    for (at, piece) in said.into_iter().enumerate() {
        // The sentence stays longer than the table under it.
        pieces.push((weight + if at % 2 == 0 { 0 } else { 6 }, piece));
    }
    any
}

fn stands<M: Method>(setup: &SetupReport, result: &ContainmentResult<M>, to: Reader) -> Vec<Piece> {
    let l = to.language;
    if result.verdict == Verdict::NotMeasured {
        return Vec::new();
    }
    let (headline, tone) = words::headline(result, to);
    let method = names::method(M::ID).said(l).to_lowercase();
    let name = setup.material.setup.name.as_str();
    let loads = super::containment::read::<M>(&setup.material, to);
    vec![
        Piece::Paragraph(Paragraph {
            head: say!(
                l,
                "{setup}, by the {method}, {loads}:",
                setup = name,
                method = method,
                loads = loads
            ),
            text: headline,
            manner: Manner::Plain,
            tone: Some(tone),
        }),
        Piece::Table(zones(result, &method, to)),
    ]
}

/// Zone by zone in short.
fn zones<M: Method>(result: &ContainmentResult<M>, method: &str, to: Reader) -> Table {
    let l = to.language;
    let rows = result.zones.iter().map(|zone: &ZoneResult<M>| {
        let force = |force: Option<crate::units::Containment<M>>| {
            force.map_or_else(String::new, |force| figures::force(force.force(), to.units))
        };
        let (text, good) =
            super::containment::verdict(zone.verdict, words::reaches_unsure(zone), to);
        let margin = zone
            .margin_n
            .map_or_else(String::new, |n| figures::signed(n, to.units));
        vec![
            zone.zone.word().said(l).into(),
            zone.count.to_string().into(),
            force(zone.lowest).into(),
            force(zone.target).into(),
            margin.into(),
            Cell { text, good },
        ]
    });
    Table {
        summary: say!(
            l,
            "Lowest readings against the targets: {method}",
            method = method
        ),
        columns: vec![
            (say!(l, "Zone"), Align::Text(3)),
            (say!(l, "Readings"), Align::Figure),
            (say!(l, "Lowest"), Align::Figure),
            (say!(l, "Target"), Align::Figure),
            (say!(l, "Lowest less target"), Align::Figure),
            (say!(l, "Verdict"), Align::Text(3)),
        ],
        rows: rows.collect(),
    }
}

/// Film a load with each setup that was weighed.
fn film(line: &LineReport, to: Reader) -> Option<Piece> {
    let l = to.language;
    let rows: Vec<Row> = line
        .setups
        .iter()
        .filter_map(|setup| {
            let film = crate::analysis::film::film_per_load(
                &setup.material.weights,
                &setup.material.tools,
            )?;
            let mass = figures::film_mass(film.mass, to.units);
            let between = film.interval.map_or_else(String::new, |interval| {
                say!(
                    l,
                    "95 % between {low} and {high}",
                    low = figures::film(interval.low.max(0.0), to.units),
                    high = figures::film(interval.high, to.units)
                )
            });
            let loads = usize::try_from(film.loads).unwrap_or(usize::MAX);
            let loads = say_count!(l, loads, "{n} load weighed", "{n} loads weighed");
            Some(Row {
                label: say!(l, "Film a load, {setup}", setup = setup.material.setup.name),
                value: mass,
                detail: joined([loads.as_str(), &between], "; "),
            })
        })
        .collect();
    (!rows.is_empty()).then_some(Piece::Facts(rows))
}

/// The last trial: its verdict, and what a year of it saves.
fn tried(
    pieces: &mut Vec<(u8, Piece)>,
    trial: &crate::report::gather::Trial,
    weight: u8,
    to: Reader,
) {
    let l = to.language;
    let mut verdicts = Vec::new();
    if let Some(found) = &trial.by_method.torsion {
        verdicts.push((TorsionTool::ID, trial::verdict(trial, found, to)));
    }
    if let Some(found) = &trial.by_method.pull {
        verdicts.push((PullPlate::ID, trial::verdict(trial, found, to)));
    }
    for (method, (text, tone, _)) in verdicts {
        pieces.push((
            weight + 1,
            Piece::Paragraph(Paragraph {
                head: say!(
                    l,
                    "{new} against {old}, by the {method}:",
                    new = trial.pair.new.name,
                    old = trial.pair.old.name,
                    method = method.word().said(l)
                ),
                text,
                manner: Manner::Plain,
                tone: Some(tone),
            }),
        ));
    }
    if trial.film.is_some() {
        let (savings, _) = compare::savings(&trial.pair, trial.film.as_ref(), to);
        let first = savings.facts.first();
        let detail = first.map_or_else(String::new, |fact| fact.detail.clone());
        pieces.push((
            weight + 2,
            Piece::Paragraph(Paragraph {
                head: say!(l, "A year, an estimate:"),
                text: joined([savings.lead.as_str(), &figures::sentence(&detail)], " "),
                manner: Manner::Plain,
                tone: savings.tone,
            }),
        ));
    }
}

fn proposal<M: Method>(
    found: &crate::analysis::plan::Plan<M>,
    report: &Report,
    to: Reader,
) -> Option<Piece> {
    let l = to.language;
    let best = plan::proposed(found)?;
    let (headline, tone) = plan::headline(found, to);
    let offer = plan::offer(found, best, "", &report.records.film_rolls, to);
    let method = names::method(M::ID).said(l).to_lowercase();
    Some(Piece::Paragraph(Paragraph {
        head: say!(
            l,
            "To try next, an estimate by the {method}:",
            method = method
        ),
        text: joined([headline.as_str(), &offer.programme], " "),
        manner: Manner::Plain,
        tone: Some(tone),
    }))
}

/// What to do, the most serious first, with who may do it.
fn todo(pieces: &mut Vec<(u8, Piece)>, report: &Report, line: &LineReport, weight: u8, to: Reader) {
    let l = to.language;
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut add = |what: String, next: String, who: &str| {
        let row: Vec<Cell> = vec![what.into(), next.into(), who.into()];
        if !rows.contains(&row) {
            rows.push(row);
        }
    };
    for finding in findings::written(report, line) {
        if finding.state == FindingState::Open {
            add(
                figures::sentence(&finding.what),
                figures::sentence(&finding.action),
                names::who(finding.who_may_act).said(l),
            );
        }
    }
    for finding in findings::of_line(report, line, to) {
        add(
            figures::sentence(&finding.what),
            figures::sentence(finding.next_step),
            names::who(finding.who_may_act).said(l),
        );
    }
    let checks =
        report.records.machine_checks.iter().filter(|check| {
            check.line == line.line.id && check.result == CheckResult::NeedsTechnician
        });
    let parts: Vec<&str> = checks
        .map(|check| names::item(check.item).said(l))
        .collect();
    if rows.is_empty() && parts.is_empty() {
        return;
    }
    // Three rows at most, each longer kept than the next.
    for (at, row) in rows.into_iter().take(4).enumerate() {
        let step = u8::try_from(at).unwrap_or(u8::MAX);
        let table = Table {
            summary: say!(l, "What was found, what to do and who may do it"),
            columns: if at == 0 {
                vec![
                    (say!(l, "Found"), Align::Text(5)),
                    (say!(l, "To do"), Align::Text(5)),
                    (say!(l, "Who may"), Align::Text(3)),
                ]
            } else {
                vec![
                    (String::new(), Align::Text(5)),
                    (String::new(), Align::Text(5)),
                    (String::new(), Align::Text(3)),
                ]
            },
            rows: vec![row],
        };
        pieces.push((weight + 2 + 2 * step, Piece::Table(table)));
    }
    if !parts.is_empty() {
        pieces.push((
            weight + 3,
            Paragraph::headed(
                say!(l, "For a qualified technician:"),
                figures::sentence(&parts.join(", ")),
            ),
        ));
    }
}
