//! The record: plain data for one visit and everything noted on it.
//!
//! Nothing here reads, writes, computes or knows the time. Every measured value is kept as the
//! person wrote it beside its SI value ([`crate::units::Entered`]).

mod caution;
mod check;
mod factors;
mod film;
mod film_measures;
mod finding;
mod id;
mod kind;
mod line;
mod load;
mod margin;
mod photo;
mod programme;
mod reading;
mod record;
mod sample;
mod set;
mod setup;
mod target;
mod tool;
mod travel;
mod visit;

pub use caution::{Caution, CautionKind};
pub use check::{CheckItem, CheckResult, MachineCheck};
pub use factors::{Factor, FactorUnit, Factors};
pub use film::{ClingSide, FilmRoll, Price, PricePer};
pub use film_measures::{
    BreakExposure, FilmBreaks, FilmWeight, FilmWidth, MarkPlace, StretchMark, Thickness,
    ThicknessPlace,
};
pub use finding::{Finding, FindingState, Seriousness, WhoMayAct};
pub use id::{Id, RecordRef};
pub use kind::{Kind, Parent};
pub use line::{Line, LoadVolume, PreStretch, Rotation, Threading, Wrapper, WrapperKind};
pub use load::{FilmTail, Load, PalletFit, Stability};
pub use margin::Margin;
pub use photo::Photo;
pub(crate) use photo::is_sha256;
pub use programme::{PitchChoices, Planned, PlannedZone, ProgrammeLimits, TurnChoices};
pub use reading::{Face, Measure, PlateReference, PullReading, Reading, TorsionReading, Zone};
pub use record::{ContentError, Entity, Moment, Record, SetAside};
pub use sample::{Sample, SampleEvent, SampleEventKind, SampleKind};
pub use set::{EachKind, RecordSet};
pub use setup::{Settings, Setup, SetupRole, Spiral};
pub use target::{Target, TargetForce, TargetOrigin};
pub use tool::{Tool, ToolKind};
pub use travel::{Transport, Travel};
pub use visit::{ListItem, Purpose, Visit};

/// Joins the phrases a person may search for, leaving out the empty ones.
fn phrases<const N: usize>(parts: [&str; N]) -> String {
    let mut text = String::new();
    for part in parts
        .into_iter()
        .map(str::trim)
        .filter(|part| !part.is_empty())
    {
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(part);
    }
    text
}

/// The UUID inside an optional id.
fn uuid_of<T>(id: Option<Id<T>>) -> Option<uuid::Uuid> {
    id.map(Id::uuid)
}
