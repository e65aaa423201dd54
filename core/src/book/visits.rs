//! Visits at a glance, and one visit whole.

use chrono::NaiveDate;
use rusqlite::Connection;
use rusqlite::types::Value as Sql;
use uuid::Uuid;

use super::{Book, BookError, Which, store};
use crate::survey::{Entity, Id, Kind, Purpose, Record, RecordRef, RecordSet, Visit};

/// A visit as a list shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VisitSummary {
    /// Which.
    pub id: Id<Visit>,
    /// The customer.
    pub customer: String,
    /// The site.
    pub site: String,
    /// The day.
    pub date: NaiveDate,
    /// Why.
    pub purpose: Purpose,
    /// Lines in use.
    pub lines: u32,
    /// Loads in use.
    pub loads: u32,
    /// Readings in use.
    pub readings: u32,
}

impl Book {
    /// Visits in use, latest day first, `most` of them after the first `skip`.
    ///
    /// # Errors
    /// The store's errors.
    pub fn visits(&self, skip: u32, most: u32) -> Result<Vec<VisitSummary>, BookError> {
        let mut statement = self.db.prepare_cached(
            "SELECT v.id, v.body ->> '$.customer', v.body ->> '$.site', v.body ->> '$.date', \
                    v.body ->> '$.purpose', \
                    (SELECT count(*) FROM line l WHERE l.visit = v.id AND l.aside_ms IS NULL), \
                    (SELECT count(*) FROM line l JOIN setup s ON s.line = l.id \
                       JOIN load o ON o.setup = s.id \
                      WHERE l.visit = v.id AND l.aside_ms IS NULL AND s.aside_ms IS NULL \
                        AND o.aside_ms IS NULL), \
                    (SELECT count(*) FROM line l JOIN setup s ON s.line = l.id \
                       JOIN load o ON o.setup = s.id JOIN reading r ON r.load = o.id \
                      WHERE l.visit = v.id AND l.aside_ms IS NULL AND s.aside_ms IS NULL \
                        AND o.aside_ms IS NULL AND r.aside_ms IS NULL) \
             FROM visit v WHERE v.aside_ms IS NULL \
             ORDER BY v.body ->> '$.date' DESC, v.id DESC LIMIT ?2 OFFSET ?1",
        )?;
        let rows = statement.query_map((skip, most), |row| {
            let date: String = row.get(3)?;
            let purpose: String = row.get(4)?;
            Ok(VisitSummary {
                id: Id::from_uuid(Uuid::from_bytes(row.get(0)?)),
                customer: row.get(1)?,
                site: row.get(2)?,
                date: date.parse().unwrap_or_default(),
                purpose: serde_json::from_value(serde_json::Value::String(purpose))
                    .unwrap_or_default(),
                lines: row.get(5)?,
                loads: row.get(6)?,
                readings: row.get(7)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// How many visits are in use.
    ///
    /// # Errors
    /// The store's errors.
    pub fn visit_count(&self) -> Result<u32, BookError> {
        let mut statement = self
            .db
            .prepare_cached("SELECT count(*) FROM visit WHERE aside_ms IS NULL")?;
        Ok(statement.query_row((), |row| row.get(0))?)
    }

    /// Whether a record is in the book and not set aside.
    ///
    /// # Errors
    /// The store's errors.
    pub fn is_in_use(&self, record: RecordRef) -> Result<bool, BookError> {
        let sql = format!(
            "SELECT 1 FROM {} WHERE id = ?1 AND aside_ms IS NULL",
            record.kind.as_str()
        );
        Ok(self
            .db
            .prepare_cached(&sql)?
            .exists([record.id.as_bytes().as_slice()])?)
    }

    /// The visit a record belongs to; `None` for a tool, which belongs to none.
    ///
    /// # Errors
    /// The store's errors.
    pub fn visit_of(&self, record: RecordRef) -> Result<Option<Id<Visit>>, BookError> {
        Ok(store::visit_of(&self.db, record)?.map(Id::from_uuid))
    }

    /// Everything noted on a visit, with the tools that were used on it.
    ///
    /// # Errors
    /// [`BookError::NotFound`]; [`BookError::Unreadable`]; the store's errors.
    pub fn visit_records(&self, visit: Id<Visit>, which: Which) -> Result<RecordSet, BookError> {
        let db = &self.db;
        let visit_record = store::get(db, visit)?;
        let tools = {
            let uses = |kind: Kind| {
                format!(
                    "SELECT tool FROM {} WHERE {}",
                    kind.as_str(),
                    belongs_to_visit(kind, which)
                )
            };
            let condition = format!(
                "id IN ({} UNION {} UNION {})",
                uses(Kind::Reading),
                uses(Kind::FilmWeight),
                uses(Kind::Thickness)
            );
            store::query(
                db,
                &condition,
                vec![Sql::Blob(visit.uuid().as_bytes().to_vec())],
            )?
        };
        Ok(RecordSet {
            tools,
            visits: vec![visit_record],
            lines: under(db, visit, which)?,
            film_rolls: under(db, visit, which)?,
            setups: under(db, visit, which)?,
            loads: under(db, visit, which)?,
            readings: under(db, visit, which)?,
            film_weights: under(db, visit, which)?,
            thicknesses: under(db, visit, which)?,
            stretch_marks: under(db, visit, which)?,
            film_widths: under(db, visit, which)?,
            film_breaks: under(db, visit, which)?,
            cautions: under(db, visit, which)?,
            machine_checks: under(db, visit, which)?,
            findings: under(db, visit, which)?,
            targets: under(db, visit, which)?,
            samples: under(db, visit, which)?,
            sample_events: under(db, visit, which)?,
            photos: under(db, visit, which)?,
        })
    }
}

/// Records of one kind that belong to a visit.
fn under<T: Entity>(
    db: &Connection,
    visit: Id<Visit>,
    which: Which,
) -> Result<Vec<Record<T>>, BookError> {
    let condition = belongs_to_visit(T::KIND, which);
    store::query(db, &condition, vec![store::blob(visit.uuid())])
}

/// The SQL condition that a record of `kind` belongs to visit `?1` by its required parents.
/// With [`Which::InUse`], neither it nor any of those parents is set aside.
pub(super) fn belongs_to_visit(kind: Kind, which: Which) -> String {
    let aside = match which {
        Which::InUse => " AND aside_ms IS NULL",
        Which::All => "",
    };
    match kind.parents().iter().find(|parent| parent.required) {
        Some(parent) if parent.kind == Kind::Visit => format!("{} = ?1{aside}", parent.field),
        Some(parent) => format!(
            "{} IN (SELECT id FROM {} WHERE {}){aside}",
            parent.field,
            parent.kind.as_str(),
            belongs_to_visit(parent.kind, which)
        ),
        None => "FALSE".to_owned(),
    }
}
