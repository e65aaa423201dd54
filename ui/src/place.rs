//! Where the person is in the app, and the way back.

use serde::{Deserialize, Serialize};
use tautbook_core::analysis::containment::ZoneName;
use tautbook_core::survey::{
    Face, FilmRoll, Id, Line, Load, Photo, RecordRef, Sample, Setup, Visit,
};
use tautbook_core::units::MethodId;

/// What a result is shown for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Scope {
    /// One load.
    Load(Id<Load>),
    /// Every load of a setup.
    Setup(Id<Setup>),
}

/// One screen and what it is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// The visits.
    Today,
    /// Every visit of the book.
    Visits,
    /// A visit.
    Visit(Id<Visit>),
    /// A line.
    Line(Id<Line>),
    /// A roll of film.
    FilmRoll(Id<FilmRoll>),
    /// A setup.
    Setup(Id<Setup>),
    /// What is measured on the film of a setup.
    FilmMeasures(Id<Setup>),
    /// A load.
    Load(Id<Load>),
    /// Taking readings on a load.
    Read {
        /// The load.
        load: Id<Load>,
        /// By which method.
        method: MethodId,
        /// The next zone.
        zone: ZoneName,
        /// The next face.
        face: Face,
    },
    /// Weighing the film of a load.
    Weigh(Id<Load>),
    /// The look over a line's wrapper.
    Machine(Id<Line>),
    /// The pictures of a record.
    Photos(RecordRef),
    /// One picture.
    Photo(Id<Photo>),
    /// The samples of a visit.
    Keep(Id<Visit>),
    /// A kept sample.
    Sample(Id<Sample>),
    /// From a label to its sample.
    Find,
    /// The customer's report of a visit, and the loading cards of its lines.
    Report(Id<Visit>),
    /// The day file: sent and taken in.
    Send,
    /// The rep's tools.
    Tools,
    /// Values that gave way to ones from other devices.
    Differences,
    /// Results by one method.
    Results {
        /// Of what.
        scope: Scope,
        /// By which method.
        method: MethodId,
    },
    /// Two setups side by side, by one method.
    Compare {
        /// The old one.
        old: Id<Setup>,
        /// The new one.
        new: Id<Setup>,
        /// By which method.
        method: MethodId,
    },
    /// The plan that starts from a setup, by one method.
    Plan {
        /// The setup.
        setup: Id<Setup>,
        /// By which method.
        method: MethodId,
    },
    /// Records one by one: of a load, or what was set aside in the whole book.
    Records(Option<Id<Load>>),
    /// What this device is set to.
    Settings,
    /// About Tautbook.
    About,
    /// What of it is other people's work.
    Parts,
}

impl Place {
    /// The name of its kind, as it is remembered.
    #[must_use]
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Today => "today",
            Self::Visits => "visits",
            Self::Visit(_) => "visit",
            Self::Line(_) => "line",
            Self::FilmRoll(_) => "film_roll",
            Self::Setup(_) => "setup",
            Self::FilmMeasures(_) => "film_measures",
            Self::Load(_) => "load",
            Self::Read { .. } => "read",
            Self::Weigh(_) => "weigh",
            Self::Machine(_) => "machine",
            Self::Photos(_) => "photos",
            Self::Photo(_) => "photo",
            Self::Keep(_) => "keep",
            Self::Sample(_) => "sample",
            Self::Find => "find",
            Self::Report(_) => "report",
            Self::Send => "send",
            Self::Tools => "tools",
            Self::Differences => "differences",
            Self::Results { .. } => "results",
            Self::Compare { .. } => "compare",
            Self::Plan { .. } => "plan",
            Self::Records(_) => "records",
            Self::Settings => "settings",
            Self::About => "about",
            Self::Parts => "parts",
        }
    }
}

/// The places from Today to where the person is; never empty.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Way(Vec<Place>);

impl Default for Way {
    fn default() -> Self {
        Self(vec![Place::Today])
    }
}

impl Way {
    /// Where the person is.
    #[must_use]
    pub fn here(&self) -> Place {
        self.0.last().copied().unwrap_or(Place::Today)
    }

    /// How many places there are from Today to here, both counted.
    #[must_use]
    pub fn depth(&self) -> usize {
        self.0.len().max(1)
    }

    /// Whether a place is passed on the way, or is here.
    #[must_use]
    pub fn passes(&self, place: Place) -> bool {
        self.0.contains(&place)
    }

    /// Goes on to a place.
    pub fn go(&mut self, place: Place) {
        self.0.push(place);
    }

    /// Goes back to a place that was passed on the way, or else on to it.
    pub fn to(&mut self, place: Place) {
        match self.0.iter().rposition(|passed| *passed == place) {
            Some(at) => self.0.truncate(at + 1),
            None => self.go(place),
        }
    }

    /// Changes what the present place is about.
    pub fn turn(&mut self, place: Place) {
        self.0.pop();
        self.0.push(place);
    }

    /// Goes back one place; whether there was one.
    pub fn back(&mut self) -> bool {
        if self.0.len() > 1 {
            self.0.pop();
            true
        } else {
            false
        }
    }

    /// Goes to a place by the way its records belong to each other.
    pub fn by(&mut self, places: impl IntoIterator<Item = Place>) {
        self.0 = vec![Place::Today];
        self.0.extend(places);
    }

    /// The way as text to remember.
    #[must_use]
    pub fn remember(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// The way remembered as `text`; Today when it cannot be read.
    #[must_use]
    pub fn recall(text: &str) -> Self {
        match serde_json::from_str::<Self>(text) {
            Ok(way) if way.0.first() == Some(&Place::Today) => way,
            Ok(_) | Err(_) => Self::default(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_way_is_remembered_and_rubbish_leads_to_today() {
        let mut way = Way::default();
        way.go(Place::Visit(Id::from_uuid(uuid(1))));
        way.go(Place::Read {
            load: Id::from_uuid(uuid(2)),
            method: MethodId::PullPlate,
            zone: ZoneName::Middle,
            face: Face::Back,
        });
        way.go(Place::Compare {
            old: Id::from_uuid(uuid(3)),
            new: Id::from_uuid(uuid(4)),
            method: MethodId::TorsionTool,
        });
        way.go(Place::Plan {
            setup: Id::from_uuid(uuid(3)),
            method: MethodId::PullPlate,
        });
        assert_eq!(Way::recall(&way.remember()), way);
        assert!(way.back() && way.back());
        for rubbish in ["", "[]", "[\"about\"]", "{}", "[\"today\", \"gone\"]"] {
            assert_eq!(Way::recall(rubbish), Way::default());
        }
        assert!(way.back() && way.back() && !way.back());
        assert_eq!(way.here(), Place::Today);
    }

    #[test]
    fn a_kind_has_the_name_it_is_remembered_by() {
        let load = Id::from_uuid(uuid(2));
        for (place, name) in [
            (Place::FilmRoll(Id::from_uuid(uuid(1))), "film_roll"),
            (Place::FilmMeasures(Id::from_uuid(uuid(1))), "film_measures"),
            (Place::Load(load), "load"),
            (Place::Differences, "differences"),
            (
                Place::Results {
                    scope: Scope::Load(load),
                    method: MethodId::TorsionTool,
                },
                "results",
            ),
        ] {
            assert_eq!(place.kind(), name);
            let remembered = serde_json::to_string(&place).unwrap();
            assert!(remembered.contains(&format!("\"{name}\"")), "{remembered}");
        }
    }

    fn uuid(n: u128) -> uuid::Uuid {
        uuid::Uuid::from_u128(n)
    }
}
