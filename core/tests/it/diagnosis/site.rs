//! A made-up line that is in order, and one with something to find for each rule.

use tautbook_core::analysis::diagnosis::{Diagnosis, RuleId, diagnose};
use tautbook_core::language::Reader;
use tautbook_core::survey::{
    BreakExposure, CheckItem, CheckResult, ClingSide, Entity, Face, FilmBreaks, FilmRoll, FilmTail,
    FilmWeight, FilmWidth, Id, Line, Load, MachineCheck, MarkPlace, Measure, Moment, Purpose,
    Reading, Record, RecordSet, Rotation, Setup, SetupRole, Spiral, StretchMark, Target,
    TargetForce, TargetOrigin, Thickness, ThicknessPlace, Threading, Tool, ToolKind, Visit, Zone,
};
use tautbook_core::units::MethodId;
use tautbook_core::units::UnitChoice;
use uuid::Uuid;

/// A line that is in order: two setups, two loads each, everything noted and nothing wrong.
pub(crate) struct Site {
    pub(crate) set: RecordSet,
    next: u128,
}

pub(crate) fn at(day: i64) -> Moment {
    Moment::from_unix_ms(1_772_600_000_000 + day * 86_400_000, -300).unwrap()
}

pub(crate) const ZONES: [Zone; 3] = [Zone::Top, Zone::Middle, Zone::Bottom];

impl Site {
    pub(crate) fn add<T: Entity>(&mut self, body: T) -> Id<T> {
        self.next += 1;
        let id = Id::from_uuid(Uuid::from_u128(self.next));
        body.check().unwrap();
        self.set.list_mut().unwrap().push(Record {
            id,
            created: at(0),
            changed: at(0),
            device: Uuid::from_u128(1),
            set_aside: None,
            body,
        });
        id
    }

    pub(crate) fn new() -> Self {
        let mut site = Self {
            set: RecordSet::default(),
            next: 0,
        };
        let visit = site.add(Visit {
            customer: "Northwind Crockery".to_owned(),
            site: "Hall 1".to_owned(),
            date: at(0).date_time().date_naive(),
            rep: String::new(),
            purpose: Purpose::Baseline,
            bag: Vec::new(),
            safety: Vec::new(),
            notes: String::new(),
        });
        let mut line = Line::new(visit, "Line 1");
        line.wrapper.rotation = Some(Rotation::Clockwise);
        line.wrapper.threading = Some(Threading {
            roll_turns: Some(Rotation::Clockwise),
            reversals: None,
        });
        let line = site.add(line);
        let mut roll = FilmRoll::new(visit, "Clear 80");
        roll.nominal_thickness = Some("80 ga".parse().unwrap());
        roll.width = Some("20 in".parse().unwrap());
        roll.density = Some("0.918 g/cm3".parse().unwrap());
        roll.cling = Some(ClingSide::Inside);
        let roll = site.add(roll);
        for kind in [ToolKind::TorsionTool, ToolKind::PullPlate] {
            let mut tool = Tool::new(kind, format!("{kind:?}"));
            tool.zeroed_at = Some(at(0));
            tool.checked_at = Some(at(-10));
            tool.check_good_for_days = Some(90);
            site.add(tool);
        }
        for method in MethodId::ALL {
            for zone in ZONES {
                site.target(visit, method, zone, "40 N");
            }
        }
        for um in ["20.3 um", "20.5 um", "20.2 um"] {
            site.thickness(roll, um);
        }
        for name in ["As found", "Other"] {
            let mut setup = Setup::new(line, name, SetupRole::AsFound);
            setup.film_roll = Some(roll);
            let settings = &mut setup.settings;
            settings.bottom_turns = Some(3.0);
            settings.top_turns = Some(3.0);
            settings.up = Some(Spiral::Pitch("9 in".parse().unwrap()));
            settings.down = Some(Spiral::Pitch("9 in".parse().unwrap()));
            settings.over_top = Some("2 in".parse().unwrap());
            settings.start_height = Some("0 in".parse().unwrap());
            settings.pre_stretch = Some("200 %".parse().unwrap());
            let setup = site.add(setup);
            for n in 0..2 {
                site.load(setup, &format!("{name} {n}"));
            }
        }
        for item in SLIP {
            site.check(item, CheckResult::Good);
        }
        site
    }

    pub(crate) fn target(&mut self, visit: Id<Visit>, method: MethodId, zone: Zone, force: &str) {
        self.add(Target {
            visit,
            line: None,
            zone,
            stability: None,
            face_length: None,
            minimum: TargetForce::new(method, force.parse().unwrap()),
            origin: TargetOrigin::CustomerStandard {
                reference: "House rule 7".to_owned(),
            },
        });
    }

    pub(crate) fn thickness(&mut self, film_roll: Id<FilmRoll>, value: &str) {
        self.add(Thickness {
            film_roll,
            load: None,
            tool: None,
            place: ThicknessPlace::Roll,
            value: value.parse().unwrap(),
            plies: 1,
            taken_at: at(0),
            notes: String::new(),
        });
    }

    /// A load with readings at 41 N, 42 N and 48 N in every zone by both methods, film and marks.
    pub(crate) fn load(&mut self, setup: Id<Setup>, name: &str) {
        let mut load = Load::new(setup, name);
        load.length = Some("48 in".parse().unwrap());
        load.width = Some("40 in".parse().unwrap());
        load.height = Some("60 in".parse().unwrap());
        load.tail = Some(FilmTail::Secured);
        let load = self.add(load);
        for method in MethodId::ALL {
            for zone in ZONES {
                for (who, force) in [("Ada", "41 N"), ("Ben", "42 N"), ("Ada", "48 N")] {
                    self.reading(load, method, zone.clone(), who, force);
                }
            }
        }
        self.weight(load, "223 g");
        self.add(FilmWidth {
            load,
            value: "18 in".parse().unwrap(),
            taken_at: at(0),
            notes: String::new(),
        });
        for place in [MarkPlace::BeforeLoad, MarkPlace::OnLoad] {
            self.mark(setup, place, "30 in");
        }
        self.breaks(setup, 1, 100);
    }

    pub(crate) fn reading(
        &mut self,
        load: Id<Load>,
        method: MethodId,
        zone: Zone,
        who: &str,
        force: &str,
    ) {
        let kind = ToolKind::of(method);
        let tool = self.set.tools.iter().find(|tool| tool.kind == kind);
        let tool = tool.map(|tool| tool.id);
        self.add(Reading {
            load,
            tool,
            zone,
            face: Some(Face::Front),
            measure: Measure::new(method, force.parse().unwrap()),
            order: 1,
            taken_at: at(1),
            who: who.to_owned(),
            zeroed_at: None,
            minutes_since_wrapping: None,
            film_temperature_celsius: None,
            notes: String::new(),
        });
    }

    pub(crate) fn weight(&mut self, load: Id<Load>, gross: &str) {
        self.add(FilmWeight {
            load,
            tool: None,
            gross: gross.parse().unwrap(),
            tare: None,
            loads_together: 1,
            taken_at: at(0),
            notes: String::new(),
        });
    }

    pub(crate) fn mark(&mut self, setup: Id<Setup>, place: MarkPlace, after: &str) {
        self.add(StretchMark {
            setup,
            load: None,
            place,
            before: "10 in".parse().unwrap(),
            after: after.parse().unwrap(),
            taken_at: at(0),
            notes: String::new(),
        });
    }

    pub(crate) fn breaks(&mut self, setup: Id<Setup>, breaks: u32, loads: u32) {
        self.add(FilmBreaks {
            setup,
            breaks,
            over: BreakExposure::Loads(loads),
            notes: String::new(),
        });
    }

    pub(crate) fn check(&mut self, item: CheckItem, result: CheckResult) {
        let line = self.line();
        self.add(MachineCheck {
            line,
            item,
            result,
            gap: None,
            notes: String::new(),
        });
    }

    pub(crate) fn line(&self) -> Id<Line> {
        self.set.lines[0].id
    }

    pub(crate) fn setup(&self) -> Id<Setup> {
        self.set.setups[0].id
    }

    pub(crate) fn first_load(&mut self) -> &mut Load {
        &mut self.set.loads[0].body
    }

    /// Writes another force over the readings of the first setup in these zones.
    pub(crate) fn weaken(&mut self, method: MethodId, zones: &[Zone], force: &str) {
        let ours: Vec<_> = (self.set.loads.iter())
            .filter(|load| load.setup == self.set.setups[0].id)
            .map(|load| load.id)
            .collect();
        for reading in &mut self.set.readings {
            if ours.contains(&reading.load)
                && zones.contains(&reading.zone)
                && reading.measure.method() == method
            {
                reading.body.measure = Measure::new(method, force.parse().unwrap());
            }
        }
    }

    /// Weighs the film of the first setup's loads anew.
    pub(crate) fn reweigh(&mut self, forces: [&str; 2]) {
        for (weight, gross) in self.set.film_weights.iter_mut().zip(forces) {
            weight.body.gross = gross.parse().unwrap();
        }
    }

    pub(crate) fn found(&self) -> Diagnosis {
        diagnose(
            &self.set,
            self.line(),
            Reader::english(UnitChoice::metric()),
        )
        .unwrap()
    }
}

pub(crate) const SLIP: [CheckItem; 6] = [
    CheckItem::RollerLight,
    CheckItem::RollerGap,
    CheckItem::RollerSurface,
    CheckItem::ChainOrBelt,
    CheckItem::SprocketsOrGears,
    CheckItem::Springs,
];

/// A line on which this rule has something to find.
pub(crate) fn scenario(rule: RuleId) -> Site {
    let mut site = Site::new();
    let setup = site.setup();
    let torsion = MethodId::TorsionTool;
    match rule {
        RuleId::Damage => site.first_load().damage = "Carton crushed.".to_owned(),
        RuleId::ClingAway => site.set.film_rolls[0].body.cling = Some(ClingSide::Outside),
        RuleId::AllWeakFilmHigh => {
            site.weaken(torsion, &ZONES, "30 N");
            site.reweigh(["290 g", "291 g"]);
            site.set.film_weights[2].body.gross = "223.2 g".parse().unwrap();
        }
        RuleId::AllWeak => site.weaken(torsion, &ZONES, "30 N"),
        RuleId::BottomWeak => site.weaken(torsion, &[Zone::Bottom], "30 N"),
        RuleId::MiddleWeak => site.weaken(torsion, &[Zone::Middle], "30 N"),
        RuleId::TopWeak => site.weaken(MethodId::PullPlate, &[Zone::Top], "30 N"),
        RuleId::PreStretchLow => {
            for mark in &mut site.set.stretch_marks {
                mark.body.after = "25 in".parse().unwrap();
            }
        }
        RuleId::StretchAfterRollers => {
            for mark in &mut site.set.stretch_marks {
                if mark.place == MarkPlace::OnLoad {
                    mark.body.after = "33 in".parse().unwrap();
                }
            }
        }
        RuleId::FilmUnaccounted => site.reweigh(["290 g", "291 g"]),
        RuleId::BareStripe => {
            let pitch = Spiral::Pitch("19 in".parse().unwrap());
            let settings = &mut site.set.setups[0].body.settings;
            settings.up = Some(pitch);
            settings.down = None;
        }
        RuleId::PalletNotReached => {
            site.set.setups[0].body.settings.start_height = Some("8 in".parse().unwrap());
        }
        RuleId::ThinFilm => {
            for thickness in &mut site.set.thicknesses {
                thickness.body.value = "17 um".parse().unwrap();
            }
        }
        RuleId::BreaksOften => site.breaks(setup, 20, 100),
        RuleId::LooseTail => site.first_load().tail = Some(FilmTail::Loose),
        RuleId::PeopleDiffer => {
            let loads: Vec<_> = site.set.loads.iter().take(2).map(|load| load.id).collect();
            for reading in &mut site.set.readings {
                let body = &mut reading.body;
                let on_setup = loads.contains(&body.load);
                if on_setup && body.who == "Ben" && body.measure.method() == torsion {
                    body.measure = Measure::new(torsion, "60 N".parse().unwrap());
                }
            }
        }
        RuleId::MachineWork => site.check(CheckItem::Brake, CheckResult::NeedsTechnician),
        RuleId::LessFilmPossible => {
            for target in &mut site.set.targets {
                let method = target.minimum.method;
                target.body.minimum = TargetForce::new(method, "20 N".parse().unwrap());
            }
        }
        RuleId::ToolPastCheck => site.set.tools[0].body.check_good_for_days = Some(5),
        RuleId::ToolNotZeroed => site.set.tools[0].body.zeroed_at = None,
    }
    site
}
