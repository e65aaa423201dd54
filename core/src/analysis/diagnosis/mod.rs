//! From evidence to likely cause to next step.
//!
//! [`RULES`] are data: what each needs, how it is tested, what it may come from, what to do next,
//! who may do it and with what caution. [`LineEvidence`] gathers what the records say, once for
//! all rules. A [`Finding`] cannot be without the records that show it, and names those that speak
//! against it. What could not be tested because something is not known is listed beside the
//! findings ([`NotKnown`]) and never guessed.
//!
//! No rule holds a containment force of ours: weak and strong are against the customer's target,
//! much film is more than another setup of the same line takes. The two tools never meet; where
//! they disagree, that is said.

mod bound;
mod evidence;
mod film;
mod finding;
mod line;
mod loads;
mod measured;
mod needs;
mod of_check;
mod people;
mod rules;
mod words;
mod zones;

pub use evidence::{LineEvidence, SetupEvidence, ZoneReading, Zones};
pub use finding::{Against, Care, Cause, Finding, Shown, Standing};
pub use measured::Measured;
pub use needs::{Need, NotKnown};
pub use of_check::finding_of_check;
pub use rules::{RULES, Rule, RuleId, rule};

use crate::language::{Language, Reader};
use crate::survey::{Id, Line, Record, RecordSet, Setup};
use finding::Hit;
use rules::Test;

/// What was found on a line, and what is not known.
#[derive(Debug, Clone, PartialEq)]
pub struct Diagnosis {
    /// In the order of the rules, then of the setups.
    pub findings: Vec<Finding>,
    /// What could not be looked into, and how to find it out.
    pub not_known: Vec<NotKnown>,
}

/// Tests every rule on a line and its setups.
///
/// Findings are worded for the reader. Records that were set aside take no part. `None` when the
/// line is not among the records, or is set aside itself.
#[must_use]
pub fn diagnose(records: &RecordSet, line: Id<Line>, to: Reader) -> Option<Diagnosis> {
    let evidence = LineEvidence::of(records, line, to)?;
    Some(Diagnosis {
        findings: RULES
            .iter()
            .flat_map(|rule| findings(rule, &evidence))
            .collect(),
        not_known: not_known(&evidence),
    })
}

fn findings(rule: &Rule, line: &LineEvidence<'_>) -> Vec<Finding> {
    let hits: Vec<(Option<&Record<Setup>>, Hit)> = match rule.test {
        Test::Line(test) => test(line).into_iter().map(|hit| (None, hit)).collect(),
        Test::Setup(test) => line
            .setups
            .iter()
            .flat_map(|setup| {
                test(line, setup)
                    .into_iter()
                    .map(|hit| (Some(setup.setup), hit))
            })
            .collect(),
    };
    hits.into_iter()
        .map(|(setup, hit)| finding(rule, setup, hit, line.to.language))
        .collect()
}

fn finding(rule: &Rule, setup: Option<&Record<Setup>>, hit: Hit, language: Language) -> Finding {
    let of_rule = || {
        rule.causes
            .iter()
            .map(|&what| Cause {
                what: what.said(language).to_owned(),
                standing: Standing::Possible,
            })
            .collect()
    };
    Finding {
        rule: rule.id,
        setup: setup.map(|setup| setup.id),
        setup_name: setup.map(|setup| setup.name.clone()),
        what: hit.what,
        evidence: hit.evidence,
        against: hit.against,
        causes: hit.causes.unwrap_or_else(of_rule),
        next_step: rule.next_step.said(language),
        who_may_act: rule.who_may_act,
        seriousness: hit.seriousness.unwrap_or(rule.seriousness),
        care: rule.care,
    }
}

/// What rules need and no record says, for the setups that loads were wrapped with.
fn not_known(line: &LineEvidence<'_>) -> Vec<NotKnown> {
    let wrapped = || line.setups.iter().filter(|setup| !setup.loads.is_empty());
    Need::ALL
        .iter()
        .filter_map(|&need| {
            let stops: Vec<RuleId> = RULES
                .iter()
                .filter(|rule| rule.needs.contains(&need))
                .map(|rule| rule.id)
                .collect();
            let setups: Vec<Id<Setup>> = wrapped()
                .filter(|setup| !need.is_known(line, setup))
                .map(|setup| setup.setup.id)
                .collect();
            // Without any load wrapped, that is all there is to say.
            let nothing_yet = need == Need::Loads && wrapped().next().is_none();
            (nothing_yet || !setups.is_empty()).then(|| NotKnown {
                need,
                setups: if need.is_of_line() {
                    Vec::new()
                } else {
                    setups
                },
                stops,
                not_looked_at: if need == Need::SlipChecks {
                    needs::not_looked_at(line)
                } else {
                    Vec::new()
                },
            })
        })
        .collect()
}
