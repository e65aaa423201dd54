//! Labels as a representative would print them, for other readers to be held against.

use chrono::NaiveDate;
use tautbook_core::label::print::{LabelText, LabelWords};
use tautbook_core::label::{LabelCode, SampleFacts};
use tautbook_core::language::Language;
use tautbook_core::survey::{Id, SampleKind};
use uuid::Uuid;

/// So many labels, all different, the same on every run.
#[must_use]
pub fn labels(count: u32) -> Vec<LabelText> {
    (0..count)
        .map(|n| LabelWords::of(Language::English).label(&facts(n)))
        .collect()
}

/// What their square codes say.
#[must_use]
pub fn texts(count: u32) -> Vec<String> {
    (0..count)
        .map(|n| LabelCode::new(facts(n).sample).to_string())
        .collect()
}

fn facts(n: u32) -> SampleFacts {
    let kinds = [SampleKind::Pallet, SampleKind::CutFilm, SampleKind::RollEnd];
    SampleFacts {
        sample: Id::from_uuid(Uuid::from_u128(
            0x0198_4c00_1000_7000_8123_4567_89ab_cdef
                + u128::from(n) * 0x0001_0203_0405_0607_0809_1234_5678_9abc,
        )),
        what: kinds[usize::try_from(n).unwrap_or(0) % kinds.len()],
        date: NaiveDate::from_ymd_opt(2026, 3, 4),
        customer: "Harrow Tile".to_owned(),
        site: "Kiln Lane, hall 3".to_owned(),
        line: "Line 2, rotating arm".to_owned(),
        load: format!("Load {}", n + 1),
        place: "Bay 14".to_owned(),
        rep: "R. Moss".to_owned(),
        retain_until: NaiveDate::from_ymd_opt(2026, 6, 30),
        device: Uuid::from_u128(1),
        set_aside: false,
    }
}
