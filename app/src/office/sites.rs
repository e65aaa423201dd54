//! Customers and sites, as text and for a program.

use std::fmt::{self, Write as _};

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::Serialize;
use tautbook_core::office::{OpenFinding, Site, Trial, YearSaved};
use tautbook_core::survey::{Purpose, Seriousness, SetupRole, WhoMayAct};
use uuid::Uuid;

use crate::show::words::{capital, count, joined, word};

/// Every site of a book.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct SiteList {
    /// By customer and site.
    sites: Vec<SiteRow>,
}

/// Film saved in a year in kilograms: an estimate from the weighings, with its limits at 95 %.
#[derive(Debug, Clone, Copy, Serialize, JsonSchema)]
struct Saved {
    /// Best estimate; negative where more is taken.
    estimate_kg: f64,
    /// Lower limit.
    low_kg: f64,
    /// Upper limit.
    high_kg: f64,
}

impl From<YearSaved> for Saved {
    fn from(saved: YearSaved) -> Self {
        Self {
            estimate_kg: saved.kg,
            low_kg: saved.low_kg,
            high_kg: saved.high_kg,
        }
    }
}

/// A setup that was tried or left in place of the one found.
#[derive(Debug, Serialize, JsonSchema)]
struct TrialRow {
    visit: Uuid,
    date: NaiveDate,
    line: String,
    setup: String,
    role: SetupRole,
    /// `null` where it cannot be said.
    film_saved_a_year: Option<Saved>,
    /// Why it cannot be said.
    why_not: Option<String>,
}

/// A finding that nobody has dealt with yet.
#[derive(Debug, Serialize, JsonSchema)]
struct FindingRow {
    date: NaiveDate,
    /// Empty for one of the whole site.
    line: String,
    what: String,
    action: String,
    seriousness: Seriousness,
    who_may_act: WhoMayAct,
    /// The look over the machine is among what shows it.
    of_machine: bool,
}

/// One site of a customer.
#[derive(Debug, Serialize, JsonSchema)]
struct SiteRow {
    customer: String,
    site: String,
    visits: u32,
    last_visit: Uuid,
    last_date: NaiveDate,
    last_rep: String,
    last_device: Uuid,
    last_purpose: Purpose,
    lines: usize,
    loads_measured: usize,
    torsion_tool_readings: usize,
    pull_plate_readings: usize,
    samples_kept: usize,
    samples_due: usize,
    /// With what was left against what was found, over the lines for which that can be said.
    film_saved_a_year: Option<Saved>,
    lines_in_that: usize,
    trials: Vec<TrialRow>,
    open_findings: Vec<FindingRow>,
    values_to_look_through: usize,
}

impl SiteList {
    pub(super) fn of(sites: &[Site]) -> Self {
        Self {
            sites: sites.iter().map(SiteRow::of).collect(),
        }
    }

    /// A few lines a site, then all of them together.
    pub(super) fn text(&self) -> Result<String, fmt::Error> {
        if self.sites.is_empty() {
            return Ok("No visits yet.\n".to_owned());
        }
        let mut text = String::new();
        for site in &self.sites {
            site.write(&mut text)?;
        }
        let sum = |of: fn(&SiteRow) -> usize| self.sites.iter().map(of).sum::<usize>();
        writeln!(
            text,
            "All: {}, {}, {} measured; readings: {} by the torsion tool, {} by the \
             pull plate; {} kept, {} due for release",
            many(self.sites.len(), "site"),
            many(
                sum(|site| usize::try_from(site.visits).unwrap_or(0)),
                "visit"
            ),
            many(sum(|site| site.loads_measured), "load"),
            sum(|site| site.torsion_tool_readings),
            sum(|site| site.pull_plate_readings),
            many(sum(|site| site.samples_kept), "sample"),
            sum(|site| site.samples_due),
        )?;
        Ok(text)
    }
}

fn many(n: usize, what: &str) -> String {
    count(u32::try_from(n).unwrap_or(u32::MAX), what)
}

impl SiteRow {
    fn of(site: &Site) -> Self {
        let (saved, lines_in_that) = site.saved_as_left();
        Self {
            customer: site.customer.clone(),
            site: site.site.clone(),
            visits: site.visits,
            last_visit: site.last.visit.uuid(),
            last_date: site.last.date,
            last_rep: site.last.rep.clone(),
            last_device: site.last.device,
            last_purpose: site.last.purpose,
            lines: site.lines,
            loads_measured: site.loads_measured,
            torsion_tool_readings: site.torsion_readings,
            pull_plate_readings: site.pull_readings,
            samples_kept: site.samples_kept,
            samples_due: site.samples_due,
            film_saved_a_year: saved.map(Saved::from),
            lines_in_that,
            trials: site.trials.iter().map(trial).collect(),
            open_findings: site.findings.iter().map(finding).collect(),
            values_to_look_through: site.to_look_through,
        }
    }

    fn write(&self, text: &mut String) -> fmt::Result {
        let name = joined(&[&self.customer, &self.site], ", ");
        let name = if name.is_empty() {
            "Customer not named".to_owned()
        } else {
            name
        };
        writeln!(text, "{name}")?;
        let rep = match self.last_rep.trim() {
            "" => String::new(),
            rep => format!(" by {rep}"),
        };
        writeln!(
            text,
            "  {}, the last {}{rep} ({})  {}",
            count(self.visits, "visit"),
            self.last_date,
            word(&self.last_purpose),
            self.last_visit
        )?;
        writeln!(
            text,
            "  {}, {} measured; readings: {} by the torsion tool, {} by the pull plate",
            many(self.lines, "line"),
            many(self.loads_measured, "load"),
            self.torsion_tool_readings,
            self.pull_plate_readings
        )?;
        if self.samples_kept > 0 {
            writeln!(
                text,
                "  {} kept, {} due for release",
                many(self.samples_kept, "sample"),
                self.samples_due
            )?;
        }
        for trial in &self.trials {
            trial.write(text)?;
        }
        if let Some(saved) = self.film_saved_a_year {
            writeln!(
                text,
                "  film saved in a year as left, estimated on {}: {}",
                many(self.lines_in_that, "line"),
                range(saved)
            )?;
        }
        for finding in &self.open_findings {
            finding.write(text)?;
        }
        if self.values_to_look_through > 0 {
            writeln!(
                text,
                "  {} to look through: two devices wrote different things in one place",
                many(self.values_to_look_through, "value")
            )?;
        }
        writeln!(text)
    }
}

fn range(saved: Saved) -> String {
    format!(
        "{:.0} kg, 95 % between {:.0} and {:.0} kg",
        saved.estimate_kg, saved.low_kg, saved.high_kg
    )
}

fn trial(trial: &Trial) -> TrialRow {
    TrialRow {
        visit: trial.visit.uuid(),
        date: trial.date,
        line: trial.line_name.clone(),
        setup: trial.setup_name.clone(),
        role: trial.role,
        film_saved_a_year: trial.saved.as_ref().ok().copied().map(Saved::from),
        why_not: trial.saved.as_ref().err().map(ToString::to_string),
    }
}

impl TrialRow {
    fn write(&self, text: &mut String) -> fmt::Result {
        let saved = match (self.film_saved_a_year, &self.why_not) {
            (Some(saved), _) => format!("a year, an estimate: {}", range(saved)),
            (None, Some(why)) => why.clone(),
            (None, None) => String::new(),
        };
        writeln!(
            text,
            "  {}  {}, {} ({}): {saved}",
            self.date,
            self.line,
            self.setup,
            word(&self.role)
        )
    }
}

fn finding(finding: &OpenFinding) -> FindingRow {
    FindingRow {
        date: finding.date,
        line: finding.line.clone(),
        what: finding.what.clone(),
        action: finding.action.clone(),
        seriousness: finding.seriousness,
        who_may_act: finding.who_may_act,
        of_machine: finding.of_machine,
    }
}

impl FindingRow {
    fn write(&self, text: &mut String) -> fmt::Result {
        let line = match self.line.trim() {
            "" => String::new(),
            line => format!(" {line}:"),
        };
        writeln!(
            text,
            "  open since {}, {}:{line} {}",
            self.date,
            word(&self.seriousness),
            capital(&self.what)
        )?;
        writeln!(text, "    {} [{}]", self.action, word(&self.who_may_act))
    }
}
