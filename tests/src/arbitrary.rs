//! Records of every kind with any content that is allowed, for property tests.

use chrono::NaiveDate;
use proptest::prelude::*;
use tautbook_core::survey::{
    BreakExposure, Caution, CautionKind, CheckItem, CheckResult, ClingSide, Entity, Face,
    FilmBreaks, FilmRoll, FilmTail, FilmWeight, FilmWidth, Finding, FindingState, Id, Line,
    ListItem, Load, LoadVolume, MachineCheck, MarkPlace, Measure, Moment, PalletFit, Photo,
    PreStretch, Price, PricePer, Purpose, Reading, Record, RecordRef, RecordSet, Rotation, Sample,
    SampleEvent, SampleEventKind, SampleKind, Seriousness, SetAside, Setup, SetupRole, Spiral,
    Stability, StretchMark, Target, TargetForce, TargetOrigin, Thickness, ThicknessPlace, Tool,
    ToolKind, Visit, WhoMayAct, WrapperKind, Zone,
};
use tautbook_core::units::{Entered, MethodId, TypedError};
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

    fn a_tool(&mut self, kind: ToolKind) -> Tool {
        Tool {
            kind,
            name: self.name(),
            force_step: self.maybe(Self::force),
            force_range: self.maybe(Self::force),
            mass_step: self.maybe(Self::mass),
            mass_range: self.maybe(Self::mass),
            thickness_step: self.maybe(Self::thin),
            lever_arm: self.maybe(Self::length),
            zeroed_at: self.maybe(Self::moment),
            checked_at: self.maybe(Self::moment),
            check_good_for_days: self.maybe(|any| any.number(u64::from(u32::MAX))),
            notes: self.text(),
        }
    }

    fn a_visit(&mut self) -> Visit {
        Visit {
            customer: self.text(),
            site: self.text(),
            date: self.date(),
            rep: self.text(),
            purpose: self.one(&[Purpose::Baseline, Purpose::FollowUp, Purpose::Trial]),
            bag: self.list(),
            safety: self.list(),
            notes: self.text(),
        }
    }

    fn a_line(&mut self, visit: Id<Visit>) -> Line {
        let mut line = Line::new(visit, self.name());
        line.product = self.text();
        let loads = self.number(1 << 32);
        let shifts = LoadVolume::PerShift {
            loads,
            shifts_a_day: self.number(4),
            days_a_year: self.number(366),
        };
        line.volume = self.maybe(|any| any.one(&[LoadVolume::PerYear { loads }, shifts]));
        line.wrapper.kind = self.one(&[
            WrapperKind::Turntable,
            WrapperKind::RotatingArm,
            WrapperKind::Ring,
            WrapperKind::Other,
        ]);
        line.wrapper.make_model = self.text();
        let kinds = [
            PreStretch::Powered,
            PreStretch::Mechanical,
            PreStretch::None,
        ];
        line.wrapper.pre_stretch = self.maybe(|any| any.one(&kinds));
        line.wrapper.nominal_pre_stretch = self.maybe(|any| any.entered(&["%"]));
        let ways = [Rotation::Clockwise, Rotation::Anticlockwise];
        line.wrapper.rotation = self.maybe(|any| any.one(&ways));
        line.wrapper.condition = self.text();
        line.notes = self.text();
        line
    }

    fn a_film_roll(&mut self, visit: Id<Visit>) -> FilmRoll {
        let amount = self.one(NUMBERS);
        FilmRoll {
            visit,
            name: self.name(),
            nominal_thickness: self.maybe(Self::thin),
            width: self.maybe(Self::length),
            length: self.maybe(Self::length),
            net_mass: self.maybe(Self::mass),
            density: self.maybe(|any| any.entered(&["kg/m³"])),
            price: self.maybe(|any| Price {
                amount,
                currency: any.one(&["USD", "EUR", "MXN"]).to_owned(),
                per: any.one(&[PricePer::Pound, PricePer::Kilogram, PricePer::Roll]),
            }),
            recycled_content: self.maybe(|any| {
                let percent = any.number(101);
                let text = format!("{percent} %");
                text.parse().unwrap_or_else(|error| panic!("{error}"))
            }),
            cling: self
                .maybe(|any| any.one(&[ClingSide::Inside, ClingSide::Outside, ClingSide::Both])),
            core_arrow: self.text(),
            notes: self.text(),
        }
    }

    fn spiral(&mut self) -> Spiral {
        let length = self.length();
        self.one(&[Spiral::Pitch(length.clone()), Spiral::Overlap(length)])
    }

    fn a_setup(&mut self, lines: &[Record<Line>], rolls: &[Record<FilmRoll>]) -> Setup {
        let role = self.one(&[SetupRole::AsFound, SetupRole::Trial, SetupRole::AsLeft]);
        let mut setup = Setup::new(self.id(lines), self.name(), role);
        setup.film_roll = self.maybe(|any| any.id(rolls));
        setup.settings.bottom_turns = self.maybe(|any| any.one(NUMBERS));
        setup.settings.top_turns = self.maybe(|any| any.one(NUMBERS));
        setup.settings.up = self.maybe(Self::spiral);
        setup.settings.down = self.maybe(Self::spiral);
        setup.settings.over_top = self.maybe(Self::length);
        setup.settings.film_force = self.text();
        setup.settings.pre_stretch = self.maybe(|any| any.entered(&["%"]));
        setup.notes = self.text();
        setup
    }

    fn a_load(&mut self, setups: &[Record<Setup>]) -> Load {
        let mut load = Load::new(self.id(setups), self.name());
        load.length = self.maybe(Self::length);
        load.width = self.maybe(Self::length);
        load.height = self.maybe(Self::length);
        load.mass = self.maybe(Self::mass);
        load.stability = self.maybe(Self::stability);
        let by = self.length();
        let fits = [
            PalletFit::Flush,
            PalletFit::Overhang(by.clone()),
            PalletFit::Inset(by),
        ];
        load.pallet_fit = self.maybe(|any| any.one(&fits));
        load.film_breaks = self.maybe(|any| any.number(5));
        load.tail = self.maybe(|any| any.one(&[FilmTail::Secured, FilmTail::Loose]));
        load.damage = self.text();
        load.wrapped_at = self.maybe(Self::moment);
        load.shipped_undamaged = self.maybe(|any| any.0.once_in(2));
        load.notes = self.text();
        load
    }

    fn stability(&mut self) -> Stability {
        self.one(&[Stability::Steady, Stability::Moderate, Stability::Unsteady])
    }

    fn a_reading(&mut self, loads: &[Record<Load>], tools: &[Record<Tool>]) -> Reading {
        let method = self.one(&[MethodId::TorsionTool, MethodId::PullPlate]);
        let mut measure = Measure::new(method, self.force());
        let kind = match &mut measure {
            Measure::TorsionTool(reading) => {
                reading.from_right_edge = self.maybe(Self::length);
                ToolKind::TorsionTool
            }
            Measure::PullPlate(reading) => {
                reading.from_side = self.maybe(Self::length);
                reading.from_top = self.maybe(Self::length);
                reading.pulled = self.maybe(Self::length);
                reading.face_length = self.maybe(Self::length);
                ToolKind::PullPlate
            }
        };
        Reading {
            load: self.id(loads),
            tool: self.tool(tools, kind),
            zone: self.zone(),
            face: self.maybe(|any| any.one(&[Face::Front, Face::Right, Face::Back, Face::Left])),
            measure,
            order: 1 + self.number(1 << 31),
            taken_at: self.moment(),
            who: self.text(),
            zeroed_at: self.maybe(Self::moment),
            minutes_since_wrapping: self.maybe(|any| any.one(NUMBERS)),
            film_temperature_celsius: self.maybe(|any| any.one(&[-60.0, -0.0, 0.1 + 0.2, 80.0])),
            notes: self.text(),
        }
    }

    fn a_film_weight(&mut self, loads: &[Record<Load>], tools: &[Record<Tool>]) -> FilmWeight {
        FilmWeight {
            load: self.id(loads),
            tool: self.tool(tools, ToolKind::FilmScale),
            gross: self.entered(&["kg"]),
            tare: self.maybe(|any| any.entered(&["g"])),
            loads_together: 1 + self.number(1 << 31),
            taken_at: self.moment(),
            notes: self.text(),
        }
    }

    fn a_thickness(
        &mut self,
        rolls: &[Record<FilmRoll>],
        loads: &[Record<Load>],
        tools: &[Record<Tool>],
    ) -> Thickness {
        Thickness {
            film_roll: self.id(rolls),
            load: self.maybe(|any| any.id(loads)),
            tool: self.tool(tools, ToolKind::Micrometer),
            place: self.one(&[ThicknessPlace::Roll, ThicknessPlace::OnLoad]),
            value: self.thin(),
            plies: 1 + self.number(20),
            taken_at: self.moment(),
            notes: self.text(),
        }
    }

    fn a_stretch_mark(&mut self, setups: &[Record<Setup>], loads: &[Record<Load>]) -> StretchMark {
        StretchMark {
            setup: self.id(setups),
            load: self.maybe(|any| any.id(loads)),
            place: self.one(&[MarkPlace::BeforeLoad, MarkPlace::OnLoad]),
            before: self.entered(&["mm"]),
            after: self.entered(&["m"]),
            taken_at: self.moment(),
            notes: self.text(),
        }
    }

    fn film_breaks(&mut self, setups: &[Record<Setup>]) -> FilmBreaks {
        let over = 1 + self.number(1 << 31);
        FilmBreaks {
            setup: self.id(setups),
            breaks: self.number(1 << 32),
            over: self.one(&[BreakExposure::Loads(over), BreakExposure::Rolls(over)]),
            notes: self.text(),
        }
    }

    fn a_check(&mut self, lines: &[Record<Line>]) -> MachineCheck {
        MachineCheck {
            line: self.id(lines),
            item: self.one(&[
                CheckItem::RollerLight,
                CheckItem::RollerGap,
                CheckItem::FilmTail,
            ]),
            result: self.one(&[
                CheckResult::Good,
                CheckResult::Adjusted,
                CheckResult::NeedsTechnician,
                CheckResult::NotLookedAt,
            ]),
            gap: self.maybe(Self::length),
            notes: self.text(),
        }
    }

    fn a_finding(
        &mut self,
        visit: Id<Visit>,
        lines: &[Record<Line>],
        evidence: &[RecordRef],
    ) -> Finding {
        use Seriousness::{Matters, Note, Serious};
        Finding {
            visit,
            line: self.maybe(|any| any.id(lines)),
            what: self.text(),
            seriousness: self.one(&[Note, Matters, Serious]),
            evidence: (0..=self.0.index(3)).map(|_| self.one(evidence)).collect(),
            action: self.text(),
            who_may_act: self.one(&[
                WhoMayAct::Operator,
                WhoMayAct::RepWithOperator,
                WhoMayAct::Technician,
            ]),
            state: self.one(&[
                FindingState::Open,
                FindingState::Done,
                FindingState::Declined,
            ]),
        }
    }

    fn a_target(&mut self, visit: Id<Visit>, lines: &[Record<Line>]) -> Target {
        let method = self.one(&[MethodId::TorsionTool, MethodId::PullPlate]);
        let loads = (0..Target::LEAST_SHIPPED_LOADS)
            .map(|_| Id::from_uuid(Uuid::from_u64_pair(self.0.bits(), self.0.bits())))
            .collect();
        let reference = self.text();
        Target {
            visit,
            line: self.maybe(|any| any.id(lines)),
            zone: self.zone(),
            stability: self.maybe(Self::stability),
            minimum: TargetForce::new(method, self.force()),
            origin: self.one(&[
                TargetOrigin::CustomerStandard { reference },
                TargetOrigin::ShippedLoads { loads },
            ]),
        }
    }

    fn a_photo(&mut self, visit: Id<Visit>, of: &[RecordRef]) -> Photo {
        Photo {
            visit,
            of: self.one(of),
            sha256: (0..4).map(|_| format!("{:016x}", self.0.bits())).collect(),
            width_px: self.number(1 << 32),
            height_px: self.number(1 << 32),
            bytes: self.0.bits(),
            order: self.number(9),
            caption: self.text(),
        }
    }
}
