//! Records of every kind with any content that is allowed, for property tests.

mod contents;

use chrono::NaiveDate;
use proptest::prelude::*;
use tautbook_core::survey::{
    Caution, CautionKind, Entity, FilmWidth, Id, ListItem, Moment, Record, RecordRef, RecordSet,
    Sample, SampleEvent, SampleEventKind, SampleKind, SetAside, Tool, ToolKind, Zone,
};
use tautbook_core::units::{Entered, TypedError};
use uuid::Uuid;

use crate::seeded::Seeded;

/// A visit whole: records of every kind, each kind in the order of its ids, with every link in
/// the set itself.
pub fn visit_whole() -> impl Strategy<Value = RecordSet> {
    any::<u64>().prop_map(|seed| Any(Seeded::new(seed)).visit_whole())
}

/// Letters that have gone wrong somewhere before.
const LETTERS: &[&str] = &[
    "a",
    "Z",
    "0",
    " ",
    "  ",
    "\n",
    "\r\n",
    "\t",
    "\"",
    "'",
    "\\",
    "/",
    "%",
    "_",
    "*",
    "(",
    ")",
    "é",
    "e\u{301}",
    "ß",
    "İ",
    "ﬁ",
    "漢",
    "ع",
    "\u{202e}",
    "\u{200d}",
    "\u{feff}",
    "\u{fffd}",
    "\u{1F4E6}",
    "\u{1F468}\u{200d}\u{1F527}",
    "\u{0}",
    "\u{7f}",
    "\u{1}",
    "\u{2}",
    "null",
    "{}",
    ";--",
];

/// Numbers at the edges of what a double tells apart.
const NUMBERS: &[f64] = &[
    0.0,
    0.1,
    0.1 + 0.2,
    1.0 / 3.0,
    1.0,
    2.5,
    5e-324,
    2.225_073_858_507_201e-308,
    1e-7,
    9_007_199_254_740_993.0,
    1e21,
    1.797_693_134_862_315_7e308,
];

struct Any(Seeded);

impl Any {
    fn one<T: Clone>(&mut self, of: &[T]) -> T {
        self.0.pick(of).clone()
    }

    fn maybe<T>(&mut self, make: impl FnOnce(&mut Self) -> T) -> Option<T> {
        (!self.0.once_in(3)).then(|| make(self))
    }

    fn number(&mut self, most: u64) -> u32 {
        u32::try_from(self.0.below(most)).unwrap_or(0)
    }

    fn text(&mut self) -> String {
        let length = self.0.index(9);
        (0..length).map(|_| *self.0.pick(LETTERS)).collect()
    }

    fn name(&mut self) -> String {
        format!("{}x{}", self.text(), self.text())
    }

    /// A typed value: a number between 1 and 1000 with up to 9 decimals, and one of the units.
    fn entered<Q>(&mut self, units: &[&str]) -> Entered<Q>
    where
        Entered<Q>: std::str::FromStr<Err = TypedError>,
    {
        let decimals = self.0.index(10);
        let whole = 1 + self.0.below(999);
        let fraction = self.0.below(10_u64.pow(9)).to_string();
        let unit = self.one(units);
        let text = match decimals.min(fraction.len()) {
            0 => format!("{whole} {unit}"),
            n => format!("{whole}.{} {unit}", &fraction[..n]),
        };
        match text.parse() {
            Ok(entered) => entered,
            Err(error) => panic!("'{text}': {error}"),
        }
    }

    fn length(&mut self) -> Entered<tautbook_core::units::Length> {
        self.entered(&["in", "ft", "mm", "cm", "m"])
    }

    fn force(&mut self) -> Entered<tautbook_core::units::Force> {
        self.entered(&["lbf", "ozf", "N", "daN", "kgf"])
    }

    fn mass(&mut self) -> Entered<tautbook_core::units::Mass> {
        self.entered(&["lb", "oz", "kg", "g"])
    }

    fn thin(&mut self) -> Entered<tautbook_core::units::Thickness> {
        self.entered(&["ga", "mil", "µm"])
    }

    /// Any time of years 1 to 9998, near the present more often than not.
    fn moment(&mut self) -> Moment {
        let ms = if self.0.once_in(4) {
            self.0.below(315_000_000_000_000).cast_signed() - 62_000_000_000_000
        } else {
            1_500_000_000_000 + self.0.below(400_000_000_000).cast_signed()
        };
        let offset = i32::try_from(self.0.below(2_879)).unwrap_or(0) - 1_439;
        Moment::from_unix_ms(ms, offset).unwrap_or_else(|| panic!("{ms} {offset}"))
    }

    fn date(&mut self) -> NaiveDate {
        self.moment().date_time().date_naive()
    }

    fn record<T: Entity>(&mut self, body: T) -> Record<T> {
        Record {
            id: Id::from_uuid(Uuid::from_u64_pair(self.0.bits(), self.0.bits())),
            created: self.moment(),
            changed: self.moment(),
            device: Uuid::from_u64_pair(self.0.bits(), self.0.bits()),
            set_aside: self.0.once_in(4).then(|| SetAside {
                at: self.moment(),
                reason: self.text(),
            }),
            body,
        }
    }

    /// As many records as asked for, in the order of their ids.
    fn records<T: Entity>(
        &mut self,
        count: usize,
        mut make: impl FnMut(&mut Self) -> T,
    ) -> Vec<Record<T>> {
        let mut records: Vec<Record<T>> = (0..count)
            .map(|_| {
                let body = make(self);
                self.record(body)
            })
            .collect();
        records.sort_by_key(|record| record.id);
        records
    }

    fn id<T: Entity>(&mut self, of: &[Record<T>]) -> Id<T> {
        self.0.pick(of).id
    }

    fn tool(&mut self, tools: &[Record<Tool>], kind: ToolKind) -> Option<Id<Tool>> {
        let fitting = tools.iter().find(|tool| tool.kind == kind)?.id;
        self.maybe(|_| fitting)
    }

    fn zone(&mut self) -> Zone {
        let height = Zone::Height(self.length());
        self.one(&[Zone::Top, Zone::Middle, Zone::Bottom, height])
    }

    fn list(&mut self) -> Vec<ListItem> {
        let length = self.0.index(3);
        let items = (0..length).map(|_| ListItem {
            text: self.text(),
            done: self.0.once_in(2),
        });
        items.collect()
    }

    fn visit_whole(&mut self) -> RecordSet {
        use ToolKind as K;
        let kinds = [K::TorsionTool, K::PullPlate, K::FilmScale, K::Micrometer];
        let mut next = kinds.iter().copied();
        let tools = self.records(kinds.len(), |any| {
            let kind = next.next().unwrap_or(K::Tape);
            any.a_tool(kind)
        });
        let visits = self.records(1, Self::a_visit);
        let visit = visits[0].id;
        let mut lines = self.records(3, |any| any.a_line(visit));
        // Each line may be one of the others at an earlier visit, never in a ring.
        let ids: Vec<_> = lines.iter().map(|line| line.id).collect();
        for n in 0..2 {
            lines[n].body.earlier = self.maybe(|_| ids[n + 1]);
        }
        let film_rolls = self.records(2, |any| any.a_film_roll(visit));
        let setups = self.records(3, |any| any.a_setup(&lines, &film_rolls));
        let loads = self.records(3, |any| any.a_load(&setups));
        let readings = self.records(6, |any| any.a_reading(&loads, &tools));
        let film_weights = self.records(2, |any| any.a_film_weight(&loads, &tools));
        let thicknesses = self.records(2, |any| any.a_thickness(&film_rolls, &loads, &tools));
        let stretch_marks = self.records(2, |any| any.a_stretch_mark(&setups, &loads));
        let film_widths = self.records(2, |any| FilmWidth {
            load: any.id(&loads),
            value: any.length(),
            taken_at: any.moment(),
            notes: any.text(),
        });
        let film_breaks = self.records(2, |any| any.film_breaks(&setups));
        let cautions = self.records(2, |any| Caution {
            visit,
            line: any.maybe(|any| any.id(&lines)),
            about: any.one(&[
                CautionKind::Site,
                CautionKind::CuttingFilm,
                CautionKind::Machine,
                CautionKind::Roll,
            ]),
            acknowledged_at: any.moment(),
            isolated_by: any.text(),
        });
        let machine_checks = self.records(2, |any| any.a_check(&lines));
        let evidence: Vec<RecordRef> = readings
            .iter()
            .map(Record::reference)
            .chain(machine_checks.iter().map(Record::reference))
            .chain(loads.iter().map(Record::reference))
            .collect();
        let findings = self.records(2, |any| any.a_finding(visit, &lines, &evidence));
        let targets = self.records(2, |any| any.a_target(visit, &lines));
        let samples = self.records(2, |any| Sample {
            visit,
            load: any.maybe(|any| any.id(&loads)),
            what: any.one(&[SampleKind::Pallet, SampleKind::CutFilm, SampleKind::RollEnd]),
            place: any.text(),
            retain_until: any.maybe(Self::date),
            notes: any.text(),
        });
        let sample_events = self.records(3, |any| SampleEvent {
            sample: any.id(&samples),
            what: any.one(&[
                SampleEventKind::Labelled,
                SampleEventKind::Found,
                SampleEventKind::Moved,
                SampleEventKind::Released,
            ]),
            at: any.moment(),
            notes: any.text(),
        });
        let photos = self.records(2, |any| any.a_photo(visit, &evidence));
        RecordSet {
            tools,
            visits,
            lines,
            film_rolls,
            setups,
            loads,
            readings,
            film_weights,
            thicknesses,
            stretch_marks,
            film_widths,
            film_breaks,
            cautions,
            machine_checks,
            findings,
            targets,
            samples,
            sample_events,
            photos,
        }
    }
}
