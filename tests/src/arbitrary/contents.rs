//! What the records of each kind may say.

use tautbook_core::survey::{
    BreakExposure, CheckItem, CheckResult, ClingSide, Face, Factor, FactorUnit, Factors,
    FilmBreaks, FilmRoll, FilmTail, FilmWeight, Finding, FindingState, Id, Line, Load, LoadVolume,
    MachineCheck, Margin, MarkPlace, Measure, PalletFit, Photo, PitchChoices, Planned, PreStretch,
    Price, PricePer, ProgrammeLimits, Purpose, Reading, Record, RecordRef, Rotation, Seriousness,
    Setup, SetupRole, Spiral, Stability, StretchMark, Target, TargetForce, TargetOrigin, Thickness,
    ThicknessPlace, Threading, Tool, ToolKind, Transport, Travel, TurnChoices, Visit, WhoMayAct,
    WrapperKind, Zone,
};
use tautbook_core::units::{MethodId, PullPlate, TorsionTool};
use uuid::Uuid;

use super::{Any, NUMBERS};

impl Any {
    pub(super) fn a_tool(&mut self, kind: ToolKind) -> Tool {
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

    pub(super) fn a_visit(&mut self) -> Visit {
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

    pub(super) fn a_line(&mut self, visit: Id<Visit>) -> Line {
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
        line.wrapper.threading = self.maybe(|any| Threading {
            roll_turns: any.maybe(|any| any.one(&ways)),
            reversals: any.maybe(|any| any.one(&[0, 1, 2, u8::MAX])),
        });
        line.wrapper.condition = self.text();
        line.wrapper.limits = self.limits();
        line.travel = self.travel();
        line.factors = self.factors();
        line.notes = self.text();
        line
    }

    pub(super) fn a_film_roll(&mut self, visit: Id<Visit>) -> FilmRoll {
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

    pub(super) fn spiral(&mut self) -> Spiral {
        let length = self.length();
        self.one(&[Spiral::Pitch(length.clone()), Spiral::Overlap(length)])
    }

    fn turn_choices(&mut self) -> TurnChoices {
        TurnChoices {
            least: self.one(NUMBERS),
            most: f64::MAX,
            step: 0.5,
        }
    }

    fn limits(&mut self) -> ProgrammeLimits {
        let length = |text: &str| text.parse().unwrap_or_else(|error| panic!("{error}"));
        ProgrammeLimits {
            bottom_turns: self.maybe(Self::turn_choices),
            top_turns: self.maybe(Self::turn_choices),
            pitch: self.maybe(|_| PitchChoices {
                least: length("2.5 in"),
                most: length("40 cm"),
                step: length("1 in"),
            }),
            same_pitch_both_ways: self.number(2) == 1,
        }
    }

    fn travel(&mut self) -> Travel {
        use Transport::{Rail, RailShunting, Road, SeaA, SeaB, SeaC};
        Travel {
            transport: self.maybe(|any| any.one(&[Road, Rail, RailShunting, SeaA, SeaB, SeaC])),
            friction: self.maybe(|any| any.one(&[0.0, 0.1 + 0.2, 1.0])),
        }
    }

    fn factor(&mut self, unit: FactorUnit, values: &[f64]) -> Option<Factor> {
        self.maybe(|any| {
            let value = any.one(values);
            let year = any.maybe(|any| any.one(&[0, 2026, u16::MAX]));
            Factor::new(value, unit, any.text(), year)
        })
    }

    fn factors(&mut self) -> Factors {
        Factors {
            currency: self.one(&["", "USD", "EUR"]).to_owned(),
            roll_change: self.factor(FactorUnit::Minutes, NUMBERS),
            film_break: self.factor(FactorUnit::Minutes, NUMBERS),
            labour: self.factor(FactorUnit::MoneyPerHour, NUMBERS),
            co2e: self.factor(FactorUnit::KilogramsCo2ePerKilogram, NUMBERS),
            levy: self.factor(FactorUnit::MoneyPerTonne, NUMBERS),
            levy_free_from: self.factor(FactorUnit::Fraction, &[0.0, 0.1 + 0.2, 1.0]),
        }
    }

    fn margin(&mut self) -> Margin {
        // Two other setups, so that one pair is chosen for twice now and then.
        let against = self.one(&[7_u128, 8]);
        Margin {
            against: Id::from_uuid(Uuid::from_u128(against)),
            method: self.one(&[MethodId::TorsionTool, MethodId::PullPlate]),
            force: self.force(),
            chosen: self.moment(),
        }
    }

    fn a_prediction(&mut self) -> Planned {
        let zones = vec![
            (Zone::Top, self.force(), self.force()),
            (Zone::Bottom, self.force(), self.force()),
        ];
        let film = self.maybe(Self::mass);
        if self.number(2) == 1 {
            Planned::new::<PullPlate>(0.9, zones, film, Vec::new())
        } else {
            Planned::new::<TorsionTool>(0.95, zones, film, Vec::new())
        }
    }

    pub(super) fn a_setup(&mut self, lines: &[Record<Line>], rolls: &[Record<FilmRoll>]) -> Setup {
        let role = self.one(&[SetupRole::AsFound, SetupRole::Trial, SetupRole::AsLeft]);
        let mut setup = Setup::new(self.id(lines), self.name(), role);
        setup.film_roll = self.maybe(|any| any.id(rolls));
        setup.settings.bottom_turns = self.maybe(|any| any.one(NUMBERS));
        setup.settings.top_turns = self.maybe(|any| any.one(NUMBERS));
        setup.settings.up = self.maybe(Self::spiral);
        setup.settings.down = self.maybe(Self::spiral);
        setup.settings.start_height = self.maybe(Self::length);
        setup.settings.over_top = self.maybe(Self::length);
        setup.settings.film_force = self.text();
        setup.settings.pre_stretch = self.maybe(|any| any.entered(&["%"]));
        setup.planned = self.maybe(Self::a_prediction);
        for _ in 0..self.0.index(4) {
            let margin = self.margin();
            setup.choose_margin(margin);
        }
        setup.notes = self.text();
        setup
    }

    pub(super) fn a_load(&mut self, setups: &[Record<Setup>]) -> Load {
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

    pub(super) fn stability(&mut self) -> Stability {
        self.one(&[Stability::Steady, Stability::Moderate, Stability::Unsteady])
    }

    pub(super) fn a_reading(&mut self, loads: &[Record<Load>], tools: &[Record<Tool>]) -> Reading {
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

    pub(super) fn a_film_weight(
        &mut self,
        loads: &[Record<Load>],
        tools: &[Record<Tool>],
    ) -> FilmWeight {
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

    pub(super) fn a_thickness(
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

    pub(super) fn a_stretch_mark(
        &mut self,
        setups: &[Record<Setup>],
        loads: &[Record<Load>],
    ) -> StretchMark {
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

    pub(super) fn film_breaks(&mut self, setups: &[Record<Setup>]) -> FilmBreaks {
        let over = 1 + self.number(1 << 31);
        FilmBreaks {
            setup: self.id(setups),
            breaks: self.number(1 << 32),
            over: self.one(&[BreakExposure::Loads(over), BreakExposure::Rolls(over)]),
            notes: self.text(),
        }
    }

    pub(super) fn a_check(&mut self, lines: &[Record<Line>]) -> MachineCheck {
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

    pub(super) fn a_finding(
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

    pub(super) fn a_target(&mut self, visit: Id<Visit>, lines: &[Record<Line>]) -> Target {
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
            face_length: match method {
                MethodId::PullPlate => self.maybe(Self::length),
                MethodId::TorsionTool => None,
            },
            minimum: TargetForce::new(method, self.force()),
            origin: self.one(&[
                TargetOrigin::CustomerStandard { reference },
                TargetOrigin::ShippedLoads { loads },
            ]),
        }
    }

    pub(super) fn a_photo(&mut self, visit: Id<Visit>, of: &[RecordRef]) -> Photo {
        Photo {
            visit,
            of: self.one(of),
            sha256: (0..4).map(|_| format!("{:016x}", self.0.bits())).collect(),
            width_px: self.number(1 << 32),
            height_px: self.number(1 << 32),
            bytes: self.0.bits(),
            order: self.number(9),
            caption: self.text(),
            taken_at: None,
            original: None,
        }
    }
}
