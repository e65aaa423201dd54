//! Every rule finds what it is for, and is silent without its evidence.

mod site;

use std::collections::BTreeSet;

use site::{Site, ZONES, at, scenario};
use tautbook_core::analysis::diagnosis::{
    Care, Diagnosis, Finding, Need, RULES, RuleId, Shown, Standing, diagnose, rule,
};
use tautbook_core::language::{Language, Reader};
use tautbook_core::survey::{
    CheckItem, CheckResult, Entity, Face, Kind, Record, RecordRef, RecordSet, SetAside, WhoMayAct,
    Zone,
};
use tautbook_core::units::MethodId;
use tautbook_core::units::UnitChoice;

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
        let mut gone = if measured.is_empty() { shown } else { measured };
        // A width of film that runs alike on another load stands in for one that is gone.
        if gone.iter().any(|record| record.kind == Kind::FilmWidth) {
            gone.extend(site.set.film_widths.iter().map(Record::reference));
        }
        for aside in [false, true] {
            let left = without(&site.set, &gone, aside);
            assert_ne!(left, site.set);
            let found =
                diagnose(&left, site.line(), Reader::english(UnitChoice::metric())).unwrap();
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
        assert!(
            rule.next_step.said(Language::English).ends_with('.'),
            "{id:?}"
        );
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
    texts.extend(
        RULES
            .iter()
            .map(|rule| rule.next_step.said(Language::English).to_owned()),
    );
    texts.extend(
        Need::ALL
            .iter()
            .map(|need| need.how().said(Language::English).to_owned()),
    );
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
    assert!(causes[0].said(Language::English).contains("springs"));

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
        "by the pull plate the bottom reaches"
    ));
    let mut whole = scenario(RuleId::BottomWeak);
    assert!(!said(&whole, RuleId::BottomWeak, "arrived whole"));
    whole.first_load().shipped_undamaged = Some(true);
    assert!(said(&whole, RuleId::BottomWeak, "arrived whole"));
    let mut overdue = scenario(RuleId::BottomWeak);
    overdue.set.tools[0].body.check_good_for_days = Some(5);
    assert!(said(&overdue, RuleId::BottomWeak, "past its check"));

    let mut all = scenario(RuleId::AllWeak);
    assert!(said(
        &all,
        RuleId::AllWeak,
        "by the pull plate the middle reaches"
    ));
    assert!(!said(&all, RuleId::AllWeak, "arrived whole"));
    all.first_load().shipped_undamaged = Some(true);
    all.set.tools[0].body.check_good_for_days = Some(5);
    assert!(said(&all, RuleId::AllWeak, "arrived whole"));
    assert!(said(&all, RuleId::AllWeak, "past its check"));
    let high = scenario(RuleId::AllWeakFilmHigh);
    assert!(said(&high, RuleId::AllWeakFilmHigh, "speaks against slip"));
    let mut damaged = scenario(RuleId::Damage);
    damaged.first_load().shipped_undamaged = Some(true);
    assert!(said(&damaged, RuleId::Damage, "ask which is right"));
    let mut tail = scenario(RuleId::LooseTail);
    tail.check(CheckItem::ClampAndCutter, CheckResult::Good);
    assert!(said(&tail, RuleId::LooseTail, "clamp and cutter in order"));
    // A tool that sticks reads the same everywhere.
    let mut stuck = scenario(RuleId::LessFilmPossible);
    assert!(!said(&stuck, RuleId::LessFilmPossible, "all alike"));
    stuck.weaken(MethodId::TorsionTool, &ZONES, "60 N");
    assert!(said(&stuck, RuleId::LessFilmPossible, "all alike"));
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
            let kept = finding.to_record(site.set.lines[0].visit, site.line(), Language::English);
            kept.check().unwrap();
            for record in finding.evidence.iter() {
                assert!(kept.evidence.contains(&record));
            }
            for against in &finding.against {
                assert!(kept.evidence.contains(&against.record));
                assert!(kept.what.contains(&against.says));
            }
            let name = finding.setup.map(|id| {
                let setup = site.set.setups.iter().find(|setup| setup.id == id);
                format!("\u{201c}{}\u{201d}: ", setup.unwrap().name)
            });
            assert!(
                kept.what
                    .starts_with(&(name.unwrap_or_default() + &finding.what))
            );
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

    let mut half = Site::new();
    half.check(CheckItem::Springs, CheckResult::NotLookedAt);
    let found = half.found();
    assert_eq!(found.not_known[0].not_looked_at, [CheckItem::Springs]);
    let text = found.not_known[0].to_string();
    assert!(text.contains("(not looked at: springs)"), "{text}");

    let mut bare = Site::new();
    bare.set = RecordSet {
        visits: bare.set.visits,
        lines: bare.set.lines,
        ..RecordSet::default()
    };
    let found = bare.found();
    assert!(found.findings.is_empty());
    assert_eq!(found.not_known[0].need, Need::Loads);
    assert_eq!(
        diagnose(
            &RecordSet::default(),
            bare.line(),
            Reader::english(UnitChoice::metric())
        ),
        None
    );
}

#[test]
fn people_are_not_told_apart_by_the_face_they_read() {
    let mut site = scenario(RuleId::PeopleDiffer);
    let found = site.found();
    let text = &of_rule(&found, RuleId::PeopleDiffer)[0].what;
    assert!(
        text.starts_with("Ada and Ben read differently by the torsion tool"),
        "{text}"
    );
    for reading in &mut site.set.readings {
        if reading.body.who == "Ben" {
            reading.body.face = Some(Face::Right);
        }
    }
    let found = site.found();
    assert!(of_rule(&found, RuleId::PeopleDiffer).is_empty());
    assert!(
        found
            .not_known
            .iter()
            .any(|missing| missing.need == Need::People)
    );
}

#[test]
fn a_check_with_a_finding_of_its_own_is_not_found_twice() {
    use tautbook_core::analysis::diagnosis::finding_of_check;
    use tautbook_core::language::Language;
    use tautbook_core::survey::{CheckItem, CheckResult, FindingState, Seriousness, WhoMayAct};
    let mut site = Site::new();
    site.check(CheckItem::Brake, CheckResult::NeedsTechnician);
    let works = |site: &Site| {
        let found = site.found().findings;
        found
            .iter()
            .filter(|finding| finding.rule == RuleId::MachineWork)
            .count()
    };
    assert_eq!(works(&site), 1);
    let visit = site.set.visits[0].id;
    let mut check = site.set.machine_checks.last().unwrap().clone();
    let made = finding_of_check(&check, visit, &[], Language::English).unwrap();
    assert_eq!(made.who_may_act, WhoMayAct::Technician);
    assert_eq!(made.state, FindingState::Open);
    assert!(
        made.action.contains("qualified technician"),
        "{}",
        made.action
    );
    assert!(made.is_of_check(check.reference()));
    site.add(made);
    assert_eq!(works(&site), 0, "what was noted stands for itself");
    let other = site.set.visits[0].reference();
    site.set.findings[0].body.evidence.push(other);
    assert_eq!(
        works(&site),
        1,
        "one that rests on more says something else"
    );

    check.body.result = CheckResult::Adjusted;
    let made = finding_of_check(&check, visit, &[], Language::English).unwrap();
    assert_eq!(
        (made.state, made.seriousness),
        (FindingState::Done, Seriousness::Note)
    );
    for result in [CheckResult::Good, CheckResult::NotLookedAt] {
        check.body.result = result;
        assert_eq!(finding_of_check(&check, visit, &[], Language::French), None);
    }
}
