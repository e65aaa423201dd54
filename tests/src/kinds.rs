//! Records of any kind as JSON.

use serde_json::Value;
use tautbook_core::book::{Book, BookError};
use tautbook_core::survey::{self, EachKind, Entity, Id, Kind, Record, RecordRef, RecordSet};

/// A record as JSON.
///
/// # Panics
/// When it has no JSON form.
#[must_use]
pub fn json<T: Entity>(record: &Record<T>) -> Value {
    serde_json::to_value(record).unwrap_or_else(|error| panic!("{:?}: {error}", record.id))
}

/// The record in the book as JSON, set aside or not; `None` when it is not there.
///
/// # Errors
/// The book's.
pub fn find(book: &Book, of: RecordRef) -> Result<Option<Value>, BookError> {
    fn of_kind<T: Entity>(book: &Book, of: RecordRef) -> Result<Option<Value>, BookError> {
        Ok(book.find::<T>(Id::from_uuid(of.id))?.as_ref().map(json))
    }
    let find = match of.kind {
        Kind::Tool => of_kind::<survey::Tool>,
        Kind::Visit => of_kind::<survey::Visit>,
        Kind::Line => of_kind::<survey::Line>,
        Kind::FilmRoll => of_kind::<survey::FilmRoll>,
        Kind::Setup => of_kind::<survey::Setup>,
        Kind::Load => of_kind::<survey::Load>,
        Kind::Reading => of_kind::<survey::Reading>,
        Kind::FilmWeight => of_kind::<survey::FilmWeight>,
        Kind::Thickness => of_kind::<survey::Thickness>,
        Kind::StretchMark => of_kind::<survey::StretchMark>,
        Kind::FilmWidth => of_kind::<survey::FilmWidth>,
        Kind::FilmBreaks => of_kind::<survey::FilmBreaks>,
        Kind::Caution => of_kind::<survey::Caution>,
        Kind::MachineCheck => of_kind::<survey::MachineCheck>,
        Kind::Finding => of_kind::<survey::Finding>,
        Kind::Target => of_kind::<survey::Target>,
        Kind::Sample => of_kind::<survey::Sample>,
        Kind::SampleEvent => of_kind::<survey::SampleEvent>,
        Kind::Photo => of_kind::<survey::Photo>,
    };
    find(book, of)
}

/// Every record of a set with its JSON.
#[must_use]
pub fn all(records: &RecordSet) -> Vec<(RecordRef, Value)> {
    struct Gather(Vec<(RecordRef, Value)>);
    impl EachKind for Gather {
        type Error = std::convert::Infallible;
        fn records<T: Entity>(&mut self, records: &[Record<T>]) -> Result<(), Self::Error> {
            self.0.extend(
                records
                    .iter()
                    .map(|record| (record.reference(), json(record))),
            );
            Ok(())
        }
    }
    let mut gather = Gather(Vec::new());
    match records.visit_kinds(&mut gather) {
        Ok(()) => gather.0,
        Err(never) => match never {},
    }
}

/// The value at a path of the history (`site`, `settings.up`) in a record's JSON; null where there
/// is none.
#[must_use]
pub fn at<'r>(record: &'r Value, path: &str) -> &'r Value {
    const NOTHING: &Value = &Value::Null;
    path.split('.')
        .try_fold(record, |value, field| value.get(field))
        .unwrap_or(NOTHING)
}

/// Puts a value at a path of the history.
///
/// # Panics
/// When the path leads through something that is no object.
pub fn put(record: &mut Value, path: &str, value: Value) {
    let mut place = record;
    for field in path.split('.') {
        let fields = place.as_object_mut();
        let fields = fields.unwrap_or_else(|| panic!("{path} leads nowhere"));
        place = fields.entry(field.to_owned()).or_insert(Value::Null);
    }
    *place = value;
}
