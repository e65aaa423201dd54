//! Records of every kind together: one visit whole, or what a file holds.

use serde::{Deserialize, Serialize};

use super::{
    Caution, Entity, FilmBreaks, FilmRoll, FilmWeight, FilmWidth, Finding, Kind, Line, Load,
    MachineCheck, Photo, Reading, Record, Sample, SampleEvent, Setup, StretchMark, Target,
    Thickness, Tool, Visit,
};

macro_rules! record_set {
    ($($field:ident: $entity:ident),+ $(,)?) => {
        /// Records of every kind, each kind in the order of its ids.
        #[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(deny_unknown_fields, default)]
        pub struct RecordSet {
            $(
                #[doc = concat!("Records of [`", stringify!($entity), "`].")]
                pub $field: Vec<Record<$entity>>,
            )+
        }

        impl RecordSet {
            /// How many records of each kind.
            #[must_use]
            pub fn counts(&self) -> Vec<(Kind, usize)> {
                vec![$((<$entity as Entity>::KIND, self.$field.len()),)+]
            }

            /// The records of one kind.
            pub fn list_mut<T: Entity>(&mut self) -> Option<&mut Vec<Record<T>>> {
                $(
                    let list: &mut dyn std::any::Any = &mut self.$field;
                    if let Some(list) = list.downcast_mut() {
                        return Some(list);
                    }
                )+
                None
            }

            /// Adds the records of another set behind these.
            pub fn append(&mut self, mut other: Self) {
                $(self.$field.append(&mut other.$field);)+
            }
        }

        /// Does something with the records of each kind, each kind after those it belongs to.
        pub trait EachKind {
            /// Why it may stop.
            type Error;
            /// The records of one kind.
            ///
            /// # Errors
            /// Whatever the implementer stops for.
            fn records<T: Entity>(&mut self, records: &[Record<T>]) -> Result<(), Self::Error>;
        }

        impl RecordSet {
            /// Shows every kind to `each`, in the order of [`Kind::ALL`].
            ///
            /// # Errors
            /// The first error `each` gives.
            pub fn visit_kinds<V: EachKind>(&self, each: &mut V) -> Result<(), V::Error> {
                $(each.records(&self.$field)?;)+
                Ok(())
            }
        }
    };
}

record_set! {
    tools: Tool,
    visits: Visit,
    lines: Line,
    film_rolls: FilmRoll,
    setups: Setup,
    loads: Load,
    readings: Reading,
    film_weights: FilmWeight,
    thicknesses: Thickness,
    stretch_marks: StretchMark,
    film_widths: FilmWidth,
    film_breaks: FilmBreaks,
    cautions: Caution,
    machine_checks: MachineCheck,
    findings: Finding,
    targets: Target,
    samples: Sample,
    sample_events: SampleEvent,
    photos: Photo,
}

impl RecordSet {
    /// How many records in all.
    #[must_use]
    pub fn len(&self) -> usize {
        self.counts().into_iter().map(|(_, count)| count).sum()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}
