//! Compare on a real book: what a year saves, and what stands in the way of a verdict.

use tautbook_core::survey::{
    BreakExposure, FilmBreaks, FilmWeight, Id, Load, LoadVolume, Price, PricePer, Setup, SetupRole,
    Target, TargetForce, TargetOrigin, Zone,
};
use tautbook_core::units::{MethodId, Ratio};
use tautbook_ui::place::Place;
use tautbook_ui::presenters::compare::{self, Field};

use crate::{Desk, at};

const METHOD: MethodId = MethodId::TorsionTool;

fn weigh(desk: &mut Desk, setup: Id<Setup>, grams: &[u32]) {
    for gram in grams {
        let load = desk.session.add("add_load", Load::new(setup, "Load"));
        let weight = FilmWeight {
            load: load.unwrap().id,
            tool: None,
            gross: format!("{gram} g").parse().unwrap(),
            tare: None,
            loads_together: 1,
            taken_at: at(0),
            notes: String::new(),
        };
        desk.session.add("add_film_weight", weight).unwrap();
    }
}

fn breaks(desk: &mut Desk, setup: Id<Setup>, breaks: u32, over: BreakExposure) {
    let counted = FilmBreaks {
        setup,
        breaks,
        over,
        notes: String::new(),
    };
    desk.session.add("add_film_breaks", counted).unwrap();
}

/// A line that wraps 1 000 loads a year, with two setups weighed and a price on their film.
fn weighed() -> (Desk, Id<Setup>) {
    let mut desk = Desk::new();
    let (line, roll, old) = (desk.line, desk.roll, desk.setup);
    let body = Setup::new(line, "Trial 1", SetupRole::Trial);
    let new = desk.session.add("add_setup", body).unwrap().id;
    weigh(&mut desk, old, &[240, 250, 260]);
    weigh(&mut desk, new, &[190, 200, 210]);
    desk.session
        .change("edit_line", line, |line| {
            line.volume = Some(LoadVolume::PerYear { loads: 1_000 });
        })
        .unwrap();
    desk.session
        .change("edit_film_roll", roll, |roll| {
            roll.price = Some(Price {
                amount: 2.0,
                currency: "EUR".to_owned(),
                per: PricePer::Kilogram,
            });
        })
        .unwrap();
    for setup in [old, new] {
        desk.session
            .change("edit_setup", setup, |setup| setup.film_roll = Some(roll))
            .unwrap();
    }
    desk.session.go(Place::Compare {
        old,
        new,
        method: METHOD,
    });
    (desk, new)
}

fn shown(desk: &Desk, new: Id<Setup>) -> compare::View {
    compare::view(&desk.session, desk.setup, new, METHOD).unwrap()
}

fn fact(view: &compare::View, label: &str) -> Option<String> {
    let mut facts = view.savings.facts.iter();
    let fact = facts.find(|fact| fact.label == label)?;
    Some(fact.value.clone())
}

fn says(view: &compare::View, part: &str) -> bool {
    view.savings.points.iter().any(|point| point.contains(part))
}

#[test]
fn film_breaks_cost_their_minutes() {
    const LABEL: &str = "Film breaks in money, saved";
    let (mut desk, new) = weighed();
    let old = desk.setup;
    compare::edit_factor(&mut desk.session, Field::FilmBreak, "6");
    compare::edit_factor(&mut desk.session, Field::FilmBreakSource, "timed, 2026");
    let view = shown(&desk, new);
    assert_eq!(fact(&view, LABEL), None);
    assert!(
        says(&view, "counted over loads with both setups"),
        "{view:?}"
    );

    // Over rolls says nothing of a load.
    breaks(&mut desk, old, 3, BreakExposure::Rolls(2));
    breaks(&mut desk, new, 1, BreakExposure::Loads(50));
    assert_eq!(fact(&shown(&desk, new), LABEL), None);
    breaks(&mut desk, old, 4, BreakExposure::Loads(50));
    let view = shown(&desk, new);
    assert_eq!(fact(&view, LABEL), None);
    assert!(says(&view, "needs its minutes and the cost of an hour"));

    // 1 000 loads a year, 0.08 breaks a load against 0.02, 0.1 h each, 30 an hour: 180.
    compare::edit_factor(&mut desk.session, Field::Labour, "30");
    let view = shown(&desk, new);
    assert_eq!(fact(&view, LABEL).as_deref(), Some("180 EUR"));

    let mut desk = desk.reopen();
    let view = shown(&desk, new);
    let kept = |field: Field| {
        let place = Field::ALL.iter().position(|of| *of == field).unwrap();
        view.factors[place].text.clone()
    };
    assert_eq!(kept(Field::FilmBreak), "6");
    assert_eq!(kept(Field::FilmBreakSource), "timed, 2026");
    compare::edit_factor(&mut desk.session, Field::FilmBreak, "");
    assert!(!says(&shown(&desk, new), "counted over loads"));
    assert_eq!(fact(&shown(&desk, new), LABEL), None);
}

#[test]
fn a_year_has_no_more_figures_than_it_is_known_to() {
    let (mut desk, new) = weighed();
    desk.units(tautbook_core::units::UnitSystem::Metric);
    desk.session
        .change("edit_line", desk.line, |line| {
            line.volume = Some(LoadVolume::PerYear { loads: 100_000 });
        })
        .unwrap();
    // 50 g a load, of which sqrt(2/3) 10 g is the standard error; Student's t of 0.975 is 2.776 for
    // four degrees of freedom, so 2 267 kg either way: 2 733 to 7 267 kg.
    let view = shown(&desk, new);
    let saved = &view.savings.facts[0];
    assert_eq!(saved.value, "5\u{202f}000 kg");
    let thousands = |text: &str| text.replace(' ', "\u{202f}");
    for part in ["2 700", "7 300", "25 000"] {
        let part = format!("{} kg", thousands(part));
        assert!(saved.detail.contains(&part), "{part} in {}", saved.detail);
    }
    // What stands in the way is said beside the sums; what they rest on, behind them.
    assert!(says(&view, "No emission factor is set"));
    let rests: Vec<_> = view.savings_rest_on.iter().collect();
    assert!(
        rests.iter().any(|of| of.contains("taken as exact")),
        "{rests:?}"
    );
    assert!(!says(&view, "taken as exact"));
}

#[test]
fn recycled_content_frees_of_the_levy() {
    const LABEL: &str = "Levy saved";
    let (mut desk, new) = weighed();
    let roll = desk.roll;
    compare::edit_factor(&mut desk.session, Field::Levy, "200");
    // 50 kg less film a year at 200 a tonne.
    assert_eq!(fact(&shown(&desk, new), LABEL).as_deref(), Some("10 EUR"));
    // 50 kg at 2 EUR, and the levy: 110 EUR, known to some tens.
    let together = |desk: &Desk| {
        let sums = [
            "Film and levy in money, saved",
            "Film, roll changes and levy in money, saved",
        ];
        sums.map(|label| fact(&shown(desk, new), label))
    };
    assert_eq!(together(&desk), [Some("110 EUR".to_owned()), None]);
    for typed in ["30", "30 %"] {
        compare::edit_factor(&mut desk.session, Field::LevyFreeFrom, typed);
        let line = desk.session.book().get(desk.line).unwrap();
        let kept = line.body.factors.levy_free_from.unwrap().value;
        assert!((kept - 0.3).abs() < 1e-12, "{typed}: {kept}");
        let view = shown(&desk, new);
        assert_eq!(view.factors[10].text, "30 %");
        assert_eq!(fact(&view, LABEL), None, "the content is not known");
    }
    let content = |desk: &mut Desk, text: &str| {
        let share: tautbook_core::units::Entered<Ratio> = text.parse().unwrap();
        desk.session
            .change("edit_film_roll", roll, |roll| {
                roll.recycled_content = Some(share);
            })
            .unwrap();
    };
    content(&mut desk, "20 %");
    assert_eq!(fact(&shown(&desk, new), LABEL).as_deref(), Some("10 EUR"));
    content(&mut desk, "30 %");
    assert_eq!(fact(&shown(&desk, new), LABEL).as_deref(), Some("0 EUR"));

    assert!(!shown(&desk, new).factor_typed);
    compare::edit_factor(&mut desk.session, Field::LevyFreeFrom, "130");
    assert!(
        shown(&desk, new).factor_typed,
        "shown without being asked for"
    );
    let entry = shown(&desk, new).factors[10].clone();
    assert_eq!(entry.text, "130");
    assert!(entry.error.contains("100 %"), "{entry:?}");
}

#[test]
fn a_setup_that_is_shown_to_hold_less_is_not_said_to_hold_as_well() {
    let (mut desk, new) = weighed();
    compare::edit_margin(&mut desk.session, "20 N");
    let target = Target {
        visit: desk.visit,
        line: None,
        zone: Zone::Top,
        stability: None,
        face_length: None,
        minimum: TargetForce::new(METHOD, "30 N".parse().unwrap()),
        origin: TargetOrigin::CustomerStandard {
            reference: String::new(),
        },
    };
    desk.session.add("set_target", target).unwrap();
    let old = desk.setup;
    for newtons in [60, 61, 62, 61] {
        crate::chosen::read_force(&mut desk, old, newtons);
        crate::chosen::read_force(&mut desk, new, newtons);
    }
    let alike = shown(&desk, new).headline;
    assert!(alike.starts_with("Holds as well, within"), "{alike}");
    let (mut desk, new) = weighed();
    compare::edit_margin(&mut desk.session, "20 N");
    let old = desk.setup;
    for newtons in [60, 61, 62, 61] {
        crate::chosen::read_force(&mut desk, old, newtons);
        crate::chosen::read_force(&mut desk, new, newtons - 8);
    }
    let less = shown(&desk, new);
    assert!(
        less.headline
            .starts_with("Holds less (top), by no more than"),
        "{}",
        less.headline
    );
    let top = &less.zones.facts[0];
    assert!(top.detail.contains("holds at most"), "{top:?}");
}

#[test]
fn a_zone_with_a_target_that_neither_setup_was_read_in_is_said() {
    let (mut desk, new) = weighed();
    compare::edit_margin(&mut desk.session, "4 N");
    for setup in [desk.setup, new] {
        for newtons in [50, 51, 52] {
            crate::chosen::read_force(&mut desk, setup, newtons);
        }
    }
    assert!(!shown(&desk, new).headline.contains("read on neither"));
    let target = Target {
        visit: desk.visit,
        line: None,
        zone: Zone::Bottom,
        stability: None,
        face_length: None,
        minimum: TargetForce::new(METHOD, "40 N".parse().unwrap()),
        origin: TargetOrigin::CustomerStandard {
            reference: String::new(),
        },
    };
    desk.session.add("set_target", target).unwrap();
    let view = shown(&desk, new);
    let said = format!("{} {}", view.headline, view.why.points.join(" "));
    assert!(
        said.contains("bottom has a target and was read on neither setup"),
        "{said}"
    );
}
