//! What was found on the line, and what shows it.

use std::collections::BTreeMap;

use tautbook_core::analysis::diagnosis::{Care, Diagnosis, Finding, diagnose};
use tautbook_core::book::{BookError, Which};
use tautbook_core::language::Language;
use tautbook_core::say;
use tautbook_core::say_count;
use tautbook_core::survey::{
    self, FindingState, Kind, RecordRef, RecordSet, Seriousness, WhoMayAct,
};
use tautbook_core::units::MethodId;

use super::super::figures;
use super::super::machine::finding::who;
use super::super::title::title;
use super::super::today::place_of;
use super::material::Material;
use crate::place::{Place, Scope};
use crate::session::{Session, Tone};

/// Records that show something, seen at one place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    /// One of them: opens the place.
    pub record: RecordRef,
    /// The place.
    pub name: String,
    /// What there is of them.
    pub what: String,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FindingView {
    /// What was found.
    pub what: String,
    /// How serious it is.
    pub tone: Tone,
    /// What it may come from, what was shown first.
    pub causes: Vec<String>,
    /// What speaks against it.
    pub against: Vec<String>,
    /// What to do.
    pub next_step: String,
    /// Whether that is to be done, or was.
    pub step: String,
    /// Who may do it.
    pub who: String,
    /// The caution that goes with it.
    pub care: String,
    /// What shows it, the first of it.
    pub links: Vec<Link>,
    /// How many more places show it; blank for none.
    pub more_links: String,
}

/// How many links are shown of one finding.
const LINKS: usize = 4;

/// What was found of the setup shown and of its line; and what could not be looked into.
pub(super) fn findings(
    session: &Session,
    scope: Scope,
    method: MethodId,
    material: &Material,
) -> Result<(Vec<FindingView>, Vec<String>), BookError> {
    let records = session
        .book()
        .visit_records(material.line.visit, Which::InUse)?;
    let Some(Diagnosis {
        findings,
        not_known,
    }) = diagnose(&records, material.line.id, session.reader())
    else {
        return Ok((Vec::new(), Vec::new()));
    };
    let mut shown = Vec::new();
    for finding in findings
        .iter()
        .filter(|finding| is_by(&records, method, finding))
        .filter(|finding| finding.setup.is_none_or(|setup| setup == material.setup.id))
    {
        shown.push(view(session, scope, finding)?);
    }
    let noted = records
        .findings
        .iter()
        .filter(|noted| noted.line == Some(material.line.id));
    for finding in noted {
        shown.push(noted_view(session, scope, finding)?);
    }
    let not_known = not_known
        .iter()
        .filter(|need| need.setups.is_empty() || need.setups.contains(&material.setup.id))
        .map(|need| figures::sentence(&need.said(session.language())))
        .collect();
    Ok((shown, not_known))
}

/// Whether a finding rests on readings by a method, or on none at all: what the other tool shows
/// stands with the other tool.
fn is_by(records: &RecordSet, method: MethodId, finding: &Finding) -> bool {
    let mut methods = finding
        .evidence
        .iter()
        .filter(|record| record.kind == Kind::Reading)
        .filter_map(|record| {
            let reading = records
                .readings
                .iter()
                .find(|reading| reading.id.uuid() == record.id)?;
            Some(reading.measure.method())
        })
        .peekable();
    methods.peek().is_none() || methods.any(|of| of == method)
}

fn view(session: &Session, scope: Scope, finding: &Finding) -> Result<FindingView, BookError> {
    let mut links = links(session, scope, finding.evidence.iter())?;
    let left = links.len().saturating_sub(LINKS);
    links.truncate(LINKS);
    Ok(FindingView {
        more_links: if left == 0 {
            String::new()
        } else {
            say_count!(
                session.language(),
                left,
                "And {n} place more.",
                "And {n} places more."
            )
        },
        what: figures::sentence(&finding.what),
        tone: tone(finding.seriousness),
        causes: finding
            .causes
            .iter()
            .map(|cause| figures::sentence(&cause.said(session.language())))
            .collect(),
        against: finding
            .against
            .iter()
            .map(|against| figures::sentence(&against.says))
            .collect(),
        step: say!(session.language(), "Do next"),
        next_step: figures::sentence(finding.next_step),
        who: who(finding.who_may_act, session.language()).to_owned(),
        care: finding.care.map_or_else(String::new, |care| {
            care.word().said(session.language()).to_owned()
        }),
        links,
    })
}

/// What somebody noted as found on the line.
fn noted_view(
    session: &Session,
    scope: Scope,
    finding: &survey::Finding,
) -> Result<FindingView, BookError> {
    let l = session.language();
    Ok(FindingView {
        what: figures::sentence(&finding.what),
        tone: match (finding.state, finding.seriousness) {
            (FindingState::Done, _) => Tone::Good,
            (_, seriousness) => tone(seriousness),
        },
        causes: Vec::new(),
        against: Vec::new(),
        step: match finding.state {
            FindingState::Open => say!(l, "Do next"),
            FindingState::Done => say!(l, ctx: "finding", "Done"),
            FindingState::Declined => say!(l, "Left as it is by the customer"),
        },
        next_step: figures::sentence(&finding.action),
        who: who(finding.who_may_act, l).to_owned(),
        care: match finding.who_may_act {
            WhoMayAct::Technician => Care::Machine.word().said(l).to_owned(),
            WhoMayAct::Operator | WhoMayAct::RepWithOperator => String::new(),
        },
        links: links(session, scope, finding.evidence.iter().copied())?,
        more_links: String::new(),
    })
}

const fn tone(seriousness: Seriousness) -> Tone {
    match seriousness {
        Seriousness::Note => Tone::Info,
        Seriousness::Matters => Tone::Warning,
        Seriousness::Serious => Tone::Bad,
    }
}

/// The records that show it, by the place where they are seen.
fn links(
    session: &Session,
    scope: Scope,
    evidence: impl Iterator<Item = RecordRef>,
) -> Result<Vec<Link>, BookError> {
    let mut links: Vec<(Place, RecordRef, BTreeMap<Kind, usize>)> = Vec::new();
    for record in evidence {
        // The film of a load is seen from the load as well.
        let place = match place_of(session, record)? {
            Some(Place::Weigh(load)) => Place::Load(load),
            Some(place) => place,
            None => continue,
        };
        match links.iter_mut().find(|(of, ..)| *of == place) {
            Some((_, _, kinds)) => *kinds.entry(record.kind).or_default() += 1,
            None => links.push((place, record, BTreeMap::from([(record.kind, 1)]))),
        }
    }
    links
        .into_iter()
        // The load that is shown needs no way to itself.
        .filter(|(place, ..)| !matches!((place, scope), (Place::Load(load), Scope::Load(own)) if *load == own))
        .map(|(place, record, kinds)| {
            let what: Vec<String> = kinds.into_iter().map(|(kind, n)| counted(kind, n, session.language())).collect();
            Ok(Link {
                record,
                name: title(session, place)?.name,
                what: what.join(", "),
            })
        })
        .collect()
}

/// So many records of a kind.
fn counted(kind: Kind, n: usize, l: Language) -> String {
    match kind {
        Kind::Reading => say_count!(l, n, "{n} reading", "{n} readings"),
        Kind::FilmWeight => say_count!(l, n, "{n} weighing", "{n} weighings"),
        Kind::Load => say_count!(l, n, "{n} load", "{n} loads"),
        Kind::Setup => say_count!(l, n, "{n} setting", "{n} settings"),
        Kind::FilmRoll => say_count!(l, n, "{n} film roll", "{n} film rolls"),
        Kind::StretchMark => say_count!(l, n, "{n} pair of marks", "{n} pairs of marks"),
        Kind::MachineCheck => say_count!(l, n, "{n} check", "{n} checks"),
        Kind::Photo => say_count!(l, n, "{n} photo", "{n} photos"),
        Kind::Thickness => say_count!(l, n, "{n} thickness", "{n} thicknesses"),
        Kind::FilmBreaks => say_count!(l, n, "{n} count of breaks", "{n} counts of breaks"),
        Kind::FilmWidth => say_count!(l, n, "{n} film width", "{n} film widths"),
        Kind::Target => say_count!(l, n, "{n} target", "{n} targets"),
        Kind::Line => say_count!(l, n, "{n} line", "{n} lines"),
        Kind::Tool => say_count!(l, n, "{n} tool", "{n} tools"),
        _ => say_count!(l, n, "{n} record", "{n} records"),
    }
}

/// Opens the place where a record that shows something is seen; back leads here again.
pub fn open_link(session: &mut Session, record: RecordRef) {
    let place = place_of(session, record);
    if let Some(Some(place)) = session.report(place) {
        session.go(place);
    }
}
