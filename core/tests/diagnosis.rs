//! Every rule finds what it is for, and is silent without its evidence.

#![allow(clippy::unwrap_used)] // In a test a failed unwrap is a failed test.

use std::collections::BTreeSet;

use tautbook_core::analysis::diagnosis::{
    Care, Diagnosis, Finding, Need, RULES, RuleId, Shown, Standing, diagnose, rule,
};
use tautbook_core::survey::{
    BreakExposure, CheckItem, CheckResult, ClingSide, Entity, Face, FilmBreaks, FilmRoll, FilmTail,
    FilmWeight, FilmWidth, Id, Kind, Line, Load, MachineCheck, MarkPlace, Measure, Moment, Reading,
    Record, RecordRef, RecordSet, Rotation, SetAside, Setup, SetupRole, Spiral, StretchMark,
    Target, TargetForce, TargetOrigin, Thickness, ThicknessPlace, Threading, Tool, ToolKind, Visit,
    WhoMayAct, Zone,
};
use tautbook_core::units::MethodId;
use uuid::Uuid;

/// A line that is in order: two setups, two loads each, everything noted and nothing wrong.
struct Site {
    set: RecordSet,
    next: u128,
}

fn at(day: i64) -> Moment {
    Moment::from_unix_ms(1_772_600_000_000 + day * 86_400_000, -300).unwrap()
}

const ZONES: [Zone; 3] = [Zone::Top, Zone::Middle, Zone::Bottom];

impl Site {
    fn add<T: Entity>(&mut self, body: T) -> Id<T> {
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

    fn new() -> Self {
        let mut site = Self {
            set: RecordSet::default(),
            next: 0,
        };
        let visit = site.add(Visit {
            customer: "Northwind Crockery".to_owned(),
            site: "Hall 1".to_owned(),
            date: at(0).date_time().date_naive(),
            rep: String::new(),
            purpose: tautbook_core::survey::Purpose::Baseline,
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

    fn target(&mut self, visit: Id<Visit>, method: MethodId, zone: Zone, force: &str) {
        self.add(Target {
            visit,
            line: None,
            zone,
            stability: None,
            minimum: TargetForce::new(method, force.parse().unwrap()),
            origin: TargetOrigin::CustomerStandard {
                reference: "House rule 7".to_owned(),
            },
        });
    }

    fn thickness(&mut self, film_roll: Id<FilmRoll>, value: &str) {
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
    fn load(&mut self, setup: Id<Setup>, name: &str) {
        let mut load = Load::new(setup, name);
        load.length = Some("48 in".parse().unwrap());
        load.width = Some("40 in".parse().unwrap());
        load.height = Some("60 in".parse().unwrap());
        load.tail = Some(FilmTail::Secured);
        let load = self.add(load);
        for method in MethodId::ALL {
            for zone in ZONES {
                for (who, force) in [("Ada", "41 N"), ("Ben", "48 N"), ("Ada", "42 N")] {
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

    fn reading(&mut self, load: Id<Load>, method: MethodId, zone: Zone, who: &str, force: &str) {
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

    fn weight(&mut self, load: Id<Load>, gross: &str) {
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

    fn mark(&mut self, setup: Id<Setup>, place: MarkPlace, after: &str) {
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

    fn breaks(&mut self, setup: Id<Setup>, breaks: u32, loads: u32) {
        self.add(FilmBreaks {
            setup,
            breaks,
            over: BreakExposure::Loads(loads),
            notes: String::new(),
        });
    }

    fn check(&mut self, item: CheckItem, result: CheckResult) {
        let line = self.line();
        self.add(MachineCheck {
            line,
            item,
            result,
            gap: None,
            notes: String::new(),
        });
    }

    fn line(&self) -> Id<Line> {
        self.set.lines[0].id
    }

    fn setup(&self) -> Id<Setup> {
        self.set.setups[0].id
    }

    fn first_load(&mut self) -> &mut Load {
        &mut self.set.loads[0].body
    }

    /// Writes another force over the readings of the first setup in these zones.
    fn weaken(&mut self, method: MethodId, zones: &[Zone], force: &str) {
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
    fn reweigh(&mut self, forces: [&str; 2]) {
        for (weight, gross) in self.set.film_weights.iter_mut().zip(forces) {
            weight.body.gross = gross.parse().unwrap();
        }
    }

    fn found(&self) -> Diagnosis {
        diagnose(&self.set, self.line()).unwrap()
    }
}

const SLIP: [CheckItem; 6] = [
    CheckItem::RollerLight,
    CheckItem::RollerGap,
    CheckItem::RollerSurface,
    CheckItem::ChainOrBelt,
    CheckItem::SprocketsOrGears,
    CheckItem::Springs,
];

/// A line on which this rule has something to find.
fn scenario(rule: RuleId) -> Site {
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
            let load = site.set.loads[0].id;
            site.reading(load, torsion, Zone::Top, "Ben", "49 N");
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

fn of_rule(found: &Diagnosis, rule: RuleId) -> Vec<&Finding> {
    found
        .findings
        .iter()
        .filter(|finding| finding.rule == rule)
        .collect()
}

#[test]
fn a_line_in_order_has_no_findings() {
    let found = Site::new().found();
    assert!(found.findings.is_empty(), "{:#?}", found.findings);
    assert!(found.not_known.is_empty(), "{:#?}", found.not_known);
}

#[test]
fn every_rule_finds_what_it_is_for() {
    for &rule in RuleId::ALL {
        let found = scenario(rule).found();
        assert!(!of_rule(&found, rule).is_empty(), "{rule:?}: {found:#?}");
    }
}

/// What is set aside or deleted first: measurements and notes before the things they are of.
const MEASUREMENTS: [Kind; 9] = [
    Kind::Reading,
    Kind::FilmWeight,
    Kind::Thickness,
    Kind::StretchMark,
    Kind::FilmWidth,
    Kind::FilmBreaks,
    Kind::MachineCheck,
    Kind::Target,
    Kind::Tool,
];

/// Takes records out of a set, or sets them aside.
fn without(set: &RecordSet, gone: &BTreeSet<RecordRef>, aside: bool) -> RecordSet {
    fn each<T: Entity>(list: &mut Vec<Record<T>>, gone: &BTreeSet<RecordRef>, aside: bool) {
        if aside {
            for record in list
                .iter_mut()
                .filter(|one| gone.contains(&one.reference()))
            {
                record.set_aside = Some(SetAside {
                    at: at(2),
                    reason: "wrong".to_owned(),
                });
            }
        } else {
            list.retain(|record| !gone.contains(&record.reference()));
        }
    }
    let mut left = set.clone();
    each(&mut left.readings, gone, aside);
    each(&mut left.film_weights, gone, aside);
    each(&mut left.thicknesses, gone, aside);
    each(&mut left.stretch_marks, gone, aside);
    each(&mut left.film_widths, gone, aside);
    each(&mut left.film_breaks, gone, aside);
    each(&mut left.machine_checks, gone, aside);
    each(&mut left.targets, gone, aside);
    each(&mut left.tools, gone, aside);
    each(&mut left.loads, gone, aside);
    each(&mut left.setups, gone, aside);
    each(&mut left.film_rolls, gone, aside);
    left
}

#[test]
fn no_rule_speaks_without_its_evidence() {
    for &rule in RuleId::ALL {
        let site = scenario(rule);
        let found = site.found();
        let findings = of_rule(&found, rule);
        let shown: BTreeSet<RecordRef> = findings
            .iter()
            .flat_map(|finding| finding.evidence.iter())
            .collect();
        let measured: BTreeSet<RecordRef> = shown
            .iter()
            .copied()
            .filter(|record| MEASUREMENTS.contains(&record.kind))
            .collect();
        let gone = if measured.is_empty() { shown } else { measured };
        for aside in [false, true] {
            let left = without(&site.set, &gone, aside);
            assert_ne!(left, site.set);
            let found = diagnose(&left, site.line()).unwrap();
            assert!(of_rule(&found, rule).is_empty(), "{rule:?}: {found:#?}");
        }
    }
}

#[test]
fn the_rules_are_whole() {
    assert_eq!(RULES.len(), RuleId::ALL.len());
    for &id in RuleId::ALL {
        let rule = rule(id).unwrap();
        assert!(!rule.needs.is_empty(), "{id:?}");
        assert!(rule.next_step.ends_with('.'), "{id:?}");
        // Work in the machine is for the technician, with the machine isolated.
        if rule.who_may_act == WhoMayAct::Technician {
            assert_eq!(rule.care, Some(Care::Machine), "{id:?}");
        }
        if rule.care == Some(Care::Machine) {
            assert_eq!(rule.who_may_act, WhoMayAct::Technician, "{id:?}");
        }
        for finding in of_rule(&scenario(id).found(), id) {
            let has_causes = !finding.causes.is_empty();
            assert!(has_causes || id == RuleId::MachineWork, "{id:?}");
        }
    }
    for &need in Need::ALL {
        let used = RULES.iter().any(|rule| rule.needs.contains(&need));
        assert!(used, "{need:?} stops nothing");
    }
}

#[test]
fn nobody_is_told_to_get_round_a_guard() {
    let mut texts: Vec<String> = Care::ALL.iter().map(ToString::to_string).collect();
    texts.extend(RULES.iter().map(|rule| rule.next_step.to_owned()));
    texts.extend(Need::ALL.iter().map(|need| need.how().to_owned()));
    for text in &texts {
        for word in [
            "bypass",
            "override",
            "disable",
            "defeat",
            "remove the guard",
        ] {
            assert!(!text.contains(word), "{text}");
        }
    }
    let machine = Care::Machine.to_string();
    for word in [
        "qualified technician",
        "isolated and locked out",
        "site's own procedure",
    ] {
        assert!(machine.contains(word), "{machine}");
    }
    assert!(Care::CuttingFilm.to_string().contains("away from the body"));
}

#[test]
fn what_speaks_against_it_is_said() {
    let said = |site: &Site, rule: RuleId, words: &str| {
        let found = site.found();
        let findings = of_rule(&found, rule);
        assert!(!findings.is_empty(), "{rule:?}");
        findings
            .iter()
            .flat_map(|finding| &finding.against)
            .any(|against| against.says.contains(words))
    };
    // The light test was good, and yet the film slips.
    let slip = scenario(RuleId::PreStretchLow);
    assert!(said(
        &slip,
        RuleId::PreStretchLow,
        "light between pinch and drive rollers"
    ));
    let mut shown = scenario(RuleId::PreStretchLow);
    shown.check(CheckItem::Springs, CheckResult::NeedsTechnician);
    assert!(
        !said(&shown, RuleId::PreStretchLow, "found the springs"),
        "a later look counts"
    );
    let found = shown.found();
    let causes = &of_rule(&found, RuleId::PreStretchLow)[0].causes;
    assert!(
        matches!(causes[0].standing, Standing::Shown(_)),
        "{causes:?}"
    );
    assert!(causes[0].to_string().contains("springs"));

    // Springs out of order, and yet the film is stretched as set.
    let mut springs = Site::new();
    springs.check(CheckItem::Springs, CheckResult::NeedsTechnician);
    assert!(said(
        &springs,
        RuleId::MachineWork,
        "not under the 200 % that is set"
    ));

    let weak = scenario(RuleId::BottomWeak);
    assert!(said(
        &weak,
        RuleId::BottomWeak,
        "by the pull plate this zone reaches"
    ));
    let mut whole = scenario(RuleId::BottomWeak);
    assert!(!said(&whole, RuleId::BottomWeak, "arrived whole"));
    whole.first_load().shipped_undamaged = Some(true);
    assert!(said(&whole, RuleId::BottomWeak, "arrived whole"));
    let mut overdue = scenario(RuleId::BottomWeak);
    overdue.set.tools[0].body.check_good_for_days = Some(5);
    assert!(said(&overdue, RuleId::BottomWeak, "past its check"));

    let high = scenario(RuleId::AllWeakFilmHigh);
    assert!(said(&high, RuleId::AllWeakFilmHigh, "speaks against slip"));
    let mut damaged = scenario(RuleId::Damage);
    damaged.first_load().shipped_undamaged = Some(true);
    assert!(said(&damaged, RuleId::Damage, "ask which is right"));
    let mut tail = scenario(RuleId::LooseTail);
    tail.check(CheckItem::ClampAndCutter, CheckResult::Good);
    assert!(said(&tail, RuleId::LooseTail, "clamp and cutter in order"));
    // One tool shows room to spare, the other does not.
    let mut room = scenario(RuleId::LessFilmPossible);
    room.weaken(MethodId::PullPlate, &[Zone::Top], "20.1 N");
    let load = room.set.loads[0].id;
    room.reading(load, MethodId::PullPlate, Zone::Top, "Ada", "24 N");
    assert!(said(
        &room,
        RuleId::LessFilmPossible,
        "the top is not shown to hold"
    ));
}

#[test]
fn a_finding_is_kept_with_its_evidence() {
    for &id in RuleId::ALL {
        let site = scenario(id);
        let found = site.found();
        for finding in &found.findings {
            let kept = finding.to_record(site.set.lines[0].visit, site.line());
            kept.check().unwrap();
            for record in finding.evidence.iter() {
                assert!(kept.evidence.contains(&record));
            }
            for against in &finding.against {
                assert!(kept.evidence.contains(&against.record));
                assert!(kept.what.contains(&against.says));
            }
            assert!(kept.action.starts_with(finding.next_step));
            assert_eq!(kept.who_may_act, finding.who_may_act);
        }
    }
    assert_eq!(Shown::new([]), None, "no finding without evidence");
}

#[test]
fn what_is_missing_is_listed_and_not_guessed() {
    let mut site = Site::new();
    site.set.targets.clear();
    site.set.lines[0].body.wrapper.threading = None;
    site.weaken(MethodId::TorsionTool, &ZONES, "1 N");
    let found = site.found();
    assert!(found.findings.is_empty(), "nothing is weak against nothing");
    let needs: Vec<Need> = found.not_known.iter().map(|missing| missing.need).collect();
    assert_eq!(needs, [Need::Targets, Need::Threading]);
    assert_eq!(found.not_known[0].setups.len(), 2);
    assert!(found.not_known[0].stops.contains(&RuleId::BottomWeak));
    assert!(found.not_known[0].to_string().starts_with("Not known: "));

    let mut bare = Site::new();
    bare.set = RecordSet {
        visits: bare.set.visits,
        lines: bare.set.lines,
        ..RecordSet::default()
    };
    let found = bare.found();
    assert!(found.findings.is_empty());
    assert_eq!(found.not_known[0].need, Need::Loads);
    assert_eq!(diagnose(&RecordSet::default(), bare.line()), None);
}
