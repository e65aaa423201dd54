//! Customers and sites at a glance.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use uuid::Uuid;

use super::plain_name;
use super::trials::{Trial, YearSaved, trials};
use crate::label::SampleState;
use crate::survey::{
    Finding, FindingState, Id, Kind, Line, Load, Purpose, Record, RecordSet, Seriousness,
    SetupRole, Visit, WhoMayAct,
};
use crate::units::MethodId;

/// The last visit to a site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LastVisit {
    /// Which.
    pub visit: Id<Visit>,
    /// The day.
    pub date: NaiveDate,
    /// Who visited; empty where that was not written.
    pub rep: String,
    /// The device it was started on.
    pub device: Uuid,
    /// Why.
    pub purpose: Purpose,
}

/// A finding that nobody has dealt with yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenFinding {
    /// Which.
    pub finding: Id<Finding>,
    /// The day it was found.
    pub date: NaiveDate,
    /// The line; empty for one of the whole site.
    pub line: String,
    /// What.
    pub what: String,
    /// What to do.
    pub action: String,
    /// How serious.
    pub seriousness: Seriousness,
    /// Who may do it.
    pub who_may_act: WhoMayAct,
    /// Whether the look over the machine is among what shows it.
    pub of_machine: bool,
}

/// One site of a customer.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// The customer, as written last.
    pub customer: String,
    /// The site, as written last.
    pub site: String,
    /// Visits in use.
    pub visits: u32,
    /// The last of them.
    pub last: LastVisit,
    /// Lines: one that says it is that of an earlier visit, or has its name, counts once.
    pub lines: usize,
    /// Loads with a reading.
    pub loads_measured: usize,
    /// Readings by the torsion tool.
    pub torsion_readings: usize,
    /// Readings by the pull plate.
    pub pull_readings: usize,
    /// Samples that were not released.
    pub samples_kept: usize,
    /// Those among them that were to be kept until a day that has passed.
    pub samples_due: usize,
    /// What was tried and left in place of what was found, the latest visit last.
    pub trials: Vec<Trial>,
    /// What nobody has dealt with yet, the most serious first.
    pub findings: Vec<OpenFinding>,
    /// Values that gave way in merging and await a look.
    pub to_look_through: usize,
}

impl Site {
    /// Film saved in a year with what was left against what was found, over the lines for which
    /// that can be said, each by its latest visit; and how many lines those are.
    #[must_use]
    pub fn saved_as_left(&self) -> (Option<YearSaved>, usize) {
        let mut latest: BTreeMap<String, YearSaved> = BTreeMap::new();
        for trial in self.trials.iter().filter(|of| of.role == SetupRole::AsLeft) {
            if let Ok(saved) = trial.saved {
                latest.insert(plain_name(&trial.line_name), saved);
            }
        }
        let lines = latest.len();
        (YearSaved::sum(latest.into_values()), lines)
    }
}

/// Sites under way, visit by visit.
#[derive(Debug)]
pub struct Sites {
    today: NaiveDate,
    sites: BTreeMap<(String, String), Growing>,
}

#[derive(Debug)]
struct Growing {
    site: Site,
    line_names: BTreeSet<String>,
    line_ids: BTreeSet<Id<Line>>,
}

impl Sites {
    /// None yet; samples are due that were to be kept until a day before `today`.
    #[must_use]
    pub fn new(today: NaiveDate) -> Self {
        Self {
            today,
            sites: BTreeMap::new(),
        }
    }

    /// Adds what is in use of one visit, and how many values that gave way in it await a look. The
    /// visits come in the order of their days.
    pub fn add(&mut self, records: &RecordSet, to_look_through: usize) {
        let Some(visit) = records.visits.first() else {
            return;
        };
        let key = (plain_name(&visit.customer), plain_name(&visit.site));
        let last = LastVisit {
            visit: visit.id,
            date: visit.date,
            rep: visit.rep.clone(),
            device: visit.device,
            purpose: visit.purpose,
        };
        let growing = self.sites.entry(key).or_insert_with(|| Growing {
            site: Site {
                customer: String::new(),
                site: String::new(),
                visits: 0,
                last: last.clone(),
                lines: 0,
                loads_measured: 0,
                torsion_readings: 0,
                pull_readings: 0,
                samples_kept: 0,
                samples_due: 0,
                trials: Vec::new(),
                findings: Vec::new(),
                to_look_through: 0,
            },
            line_names: BTreeSet::new(),
            line_ids: BTreeSet::new(),
        });
        growing.add(records, visit, last, to_look_through, self.today);
    }

    /// All of them, by customer and site.
    #[must_use]
    pub fn finish(self) -> Vec<Site> {
        let sites = self.sites.into_values().map(|growing| {
            let mut site = growing.site;
            site.findings.sort_by_key(|finding| {
                (
                    std::cmp::Reverse(finding.seriousness),
                    finding.date,
                    finding.finding,
                )
            });
            site
        });
        sites.collect()
    }
}

impl Growing {
    fn add(
        &mut self,
        records: &RecordSet,
        visit: &Record<Visit>,
        last: LastVisit,
        to_look_through: usize,
        today: NaiveDate,
    ) {
        for line in &records.lines {
            let known = line.earlier.is_some_and(|id| self.line_ids.contains(&id));
            self.line_ids.insert(line.id);
            let new_name = self.line_names.insert(plain_name(&line.name));
            self.site.lines += usize::from(new_name && !known);
        }
        let site = &mut self.site;
        site.customer.clone_from(&visit.customer);
        site.site.clone_from(&visit.site);
        site.visits += 1;
        site.last = last;
        site.to_look_through += to_look_through;
        let measured: BTreeSet<Id<Load>> = records
            .readings
            .iter()
            .map(|reading| reading.load)
            .collect();
        site.loads_measured += measured.len();
        for reading in &records.readings {
            match reading.measure.method() {
                MethodId::TorsionTool => site.torsion_readings += 1,
                MethodId::PullPlate => site.pull_readings += 1,
            }
        }
        for sample in &records.samples {
            let events = records.sample_events.iter();
            let own: Vec<_> = events
                .filter(|event| event.sample == sample.id)
                .cloned()
                .collect();
            if SampleState::of(&own).released.is_none() {
                site.samples_kept += 1;
                let due = sample.retain_until.is_some_and(|until| until < today);
                site.samples_due += usize::from(due);
            }
        }
        site.trials.extend(trials(records, visit));
        let open = records
            .findings
            .iter()
            .filter(|finding| finding.state == FindingState::Open);
        site.findings.extend(open.map(|finding| {
            let line = finding.line;
            OpenFinding {
                finding: finding.id,
                date: visit.date,
                line: line
                    .and_then(|id| records.lines.iter().find(|line| line.id == id))
                    .map_or_else(String::new, |line| line.name.clone()),
                what: finding.what.clone(),
                action: finding.action.clone(),
                seriousness: finding.seriousness,
                who_may_act: finding.who_may_act,
                of_machine: finding
                    .evidence
                    .iter()
                    .any(|shown| shown.kind == Kind::MachineCheck),
            }
        }));
    }
}
