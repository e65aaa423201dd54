//! Weighing film: the caution, gross and tare, loads together, questions.

use tautbook_core::book::Which;
use tautbook_core::survey::{
    Caution, CautionKind, FilmWeight, Load, Record, SampleEventKind, SampleKind, Tool, ToolKind,
};
use tautbook_core::units::{MethodId, UnitSystem};
use tautbook_ui::place::{Place, Scope};
use tautbook_ui::presenters::weigh::{self, Part};
use tautbook_ui::presenters::{keep, load, results, sample, tools};
use tautbook_ui::session::WhenYes;

use crate::{Desk, at, tool};

fn ready(desk: &mut Desk) {
    let load = desk.load;
    load::weigh(&mut desk.session, load);
    weigh::acknowledge(&mut desk.session, load, true);
    weigh::start(&mut desk.session);
}

fn keys(desk: &mut Desk, keys: &str) {
    for key in keys.split(' ').filter(|key| !key.is_empty()) {
        weigh::key(&mut desk.session, key);
    }
}

fn save(desk: &mut Desk) {
    let load = desk.load;
    weigh::save(&mut desk.session, load);
}

fn view(desk: &Desk) -> weigh::View {
    weigh::view(&desk.session, desk.load).unwrap()
}

fn kept(desk: &Desk) -> Vec<Record<FilmWeight>> {
    desk.session.book().children(desk.load).unwrap()
}

#[test]
fn results_weigh_the_first_load_that_is_not_weighed() {
    let mut desk = Desk::new();
    let body = Load::new(desk.setup, "Load 2");
    let second = desk.session.add("add_load", body).unwrap().id;
    let results = Place::Results {
        scope: Scope::Setup(desk.setup),
        method: MethodId::TorsionTool,
    };
    let next = |desk: &mut Desk| {
        desk.session.go(results);
        results::weigh(&mut desk.session);
        desk.session.here()
    };
    assert_eq!(next(&mut desk), Place::Weigh(desk.load));
    desk.units(UnitSystem::Metric);
    weigh::start(&mut desk.session);
    keys(&mut desk, "2 3 0");
    save(&mut desk);
    keys(&mut desk, "2 0");
    save(&mut desk);
    assert_eq!(kept(&desk).len(), 1);
    assert_eq!(next(&mut desk), Place::Weigh(second));
}

#[test]
fn the_scale_goes_with_the_weighing_and_is_offered_for_the_next() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    ready(&mut desk);
    let written_lately = |desk: &Desk| desk.session.book().state("recent").unwrap();
    let weigh = |desk: &mut Desk| {
        weigh::start(&mut desk.session);
        keys(desk, "2 3 0");
        save(desk);
        keys(desk, "2 0");
        save(desk);
    };
    weigh(&mut desk);
    assert_eq!(written_lately(&desk), None, "keys of a keypad are no value");
    weigh::note_scale(&mut desk.session, " Scale by the dock ");
    weigh(&mut desk);
    weigh(&mut desk);
    let notes: Vec<String> = kept(&desk).into_iter().map(|it| it.body.notes).collect();
    assert_eq!(notes, ["", "Scale by the dock", ""]);
    let field = view(&desk).scale_note;
    assert_eq!(field.text, "");
    assert_eq!(field.recent, ["Scale by the dock"]);
}

#[test]
fn tare_as_much_as_gross_is_refused_and_stays() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    ready(&mut desk);
    keys(&mut desk, "2 0 0");
    save(&mut desk);
    assert_eq!(view(&desk).typing, Some(Part::Tare));
    keys(&mut desk, "2 0 0");
    save(&mut desk);
    assert!(kept(&desk).is_empty());
    let shown = view(&desk);
    assert!(shown.error.contains("more than tare"), "{}", shown.error);
    assert_eq!(
        (shown.gross.as_str(), shown.tare.as_str()),
        ("200 g", "200 g")
    );

    let mut desk = desk.reopen();
    assert_eq!(view(&desk), shown, "after opening again as well");
    weigh::erase(&mut desk.session);
    save(&mut desk);
    let weights = kept(&desk);
    assert_eq!(weights[0].gross.text, "200 g");
    assert_eq!(weights[0].tare.as_ref().unwrap().text, "20 g");
    assert_eq!(view(&desk).weighings[0].net, "180 g net");
    assert_eq!(view(&desk).typing, None);
}

#[test]
fn three_loads_on_the_scale_share_their_film() {
    let mut desk = Desk::with_tools(&[tool(ToolKind::FilmScale, "Scale")]);
    desk.units(UnitSystem::Metric);
    ready(&mut desk);
    for more in [true, true, true, false] {
        weigh::step_loads(&mut desk.session, more);
    }
    keys(&mut desk, "6 3 0");
    save(&mut desk);
    keys(&mut desk, "3 0");
    assert_eq!(view(&desk).net, "600 g");
    save(&mut desk);
    let weights = kept(&desk);
    assert_eq!(weights[0].loads_together, 3);
    assert!(weights[0].tool.is_some());
    assert_eq!(
        load::view(&desk.session, desk.load).unwrap().film,
        "200 g, from 3 loads"
    );
    assert_eq!(view(&desk).loads_together, 1, "the next is one load again");
    for _ in 0..3 {
        weigh::step_loads(&mut desk.session, false);
    }
    assert_eq!(view(&desk).loads_together, 1, "never none");
}

#[test]
fn film_unlike_that_of_the_other_loads_is_asked_about() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    ready(&mut desk);
    let type_in = |desk: &mut Desk, gross: &str| {
        weigh::start(&mut desk.session);
        keys(desk, gross);
        save(desk);
        keys(desk, "3 0");
        save(desk);
    };
    type_in(&mut desk, "2 3 0");
    assert_eq!(kept(&desk).len(), 1);
    // A load has no say over itself.
    let body = Load::new(desk.setup, "Load 2");
    desk.load = desk.session.add("add_load", body).unwrap().id;
    load::weigh(&mut desk.session, desk.load);
    // The film of three loads is no longer taken for that of one.
    type_in(&mut desk, "6 3 0");
    let question = desk.session.question().unwrap().text.clone();
    assert!(
        question.contains("others with this setup took 200 g"),
        "{question}"
    );
    assert!(kept(&desk).is_empty());
    desk.session.take_question();
    for _ in 0..2 {
        weigh::step_loads(&mut desk.session, true);
    }
    save(&mut desk);
    assert_eq!(kept(&desk)[0].loads_together, 3);
    let note = &view(&desk).weighings[0].note;
    assert!(note.contains("200 g a load"), "{note}");
}

#[test]
fn no_tare_is_asked_about_so_that_two_presses_are_not_a_weighing() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    ready(&mut desk);
    save(&mut desk);
    assert_eq!(view(&desk).typing, Some(Part::Gross), "nothing typed yet");
    assert_ne!(view(&desk).error, "");
    keys(&mut desk, "2 1 0");
    save(&mut desk);
    save(&mut desk);
    assert!(kept(&desk).is_empty());
    let question = desk.session.question().unwrap();
    assert_eq!(question.when_yes, WhenYes::SaveWeighing);
    assert!(question.text.contains("210 g"), "{}", question.text);
    desk.session.take_question();
    let load = desk.load;
    weigh::save_anyway(&mut desk.session, load);
    let weights = kept(&desk);
    assert_eq!(weights.len(), 1);
    assert_eq!(weights[0].tare, None, "blank, not 0");
    save(&mut desk);
    assert_eq!(kept(&desk).len(), 1, "a press too many");
}

#[test]
fn more_than_the_scale_shows_or_a_load_takes_is_asked_about() {
    let mut scale = tool(ToolKind::FilmScale, "Scale");
    scale.mass_range = Some("2 kg".parse().unwrap());
    let mut desk = Desk::with_tools(&[scale]);
    desk.units(UnitSystem::Metric);
    ready(&mut desk);
    for (gross, says) in [
        ("2 1 0 0", "2 kg at most"),
        ("1 9 0 0", "far more than most loads take"),
        ("6 0", "far less than most loads take"),
    ] {
        keys(&mut desk, gross);
        save(&mut desk);
        keys(&mut desk, "2 0");
        save(&mut desk);
        let question = desk.session.question().unwrap();
        assert!(question.text.contains(says), "{}", question.text);
        assert!(kept(&desk).is_empty());
        desk.session.take_question();
        assert!(desk.session.back(), "the keypad goes away");
        weigh::start(&mut desk.session);
        assert_eq!(
            view(&desk).tare,
            "20 g",
            "what was typed stands there still"
        );
        for part in [Part::Tare, Part::Gross] {
            weigh::pick_part(&mut desk.session, part);
            for _ in 0..8 {
                weigh::erase(&mut desk.session);
            }
        }
    }
}

#[test]
fn the_caution_is_kept_with_its_time_and_taken_back() {
    let mut desk = Desk::new();
    load::weigh(&mut desk.session, desk.load);
    let load = desk.load;
    assert!(!view(&desk).acknowledged);
    weigh::acknowledge(&mut desk.session, load, true);
    weigh::acknowledge(&mut desk.session, load, true);
    assert!(view(&desk).acknowledged);
    let cautions = |desk: &Desk, which| {
        desk.session
            .book()
            .children_which::<Caution, _>(desk.visit, which)
            .unwrap()
    };
    let kept = cautions(&desk, Which::InUse);
    assert_eq!(kept.len(), 1, "once");
    assert_eq!(kept[0].about, CautionKind::CuttingFilm);
    assert_eq!(kept[0].acknowledged_at, at(1_000));

    let mut desk = desk.reopen();
    assert_eq!(desk.session.here(), Place::Weigh(load));
    assert!(view(&desk).acknowledged);
    weigh::acknowledge(&mut desk.session, load, false);
    assert!(!view(&desk).acknowledged);
    assert!(cautions(&desk, Which::InUse).is_empty());
    assert_eq!(
        cautions(&desk, Which::All).len(),
        1,
        "it is still on record"
    );
    weigh::acknowledge(&mut desk.session, load, true);
    let again = cautions(&desk, Which::InUse);
    assert_eq!(again[0].acknowledged_at, at(2_000), "its own time");
}

#[test]
fn a_caution_counts_on_the_day_on_which_it_was_read() {
    let mut desk = Desk::new();
    let load = desk.load;
    load::weigh(&mut desk.session, load);
    weigh::acknowledge(&mut desk.session, load, true);
    assert!(view(&desk).acknowledged);
    weigh::start(&mut desk.session);
    keys(&mut desk, "2 3");
    let desk = desk.reopen_at(at(3 * 3_600_000));
    assert!(view(&desk).acknowledged, "past midnight in one shift");
    assert_eq!(view(&desk).typing, Some(Part::Gross));
    let mut desk = desk.reopen_at(at(24 * 3_600_000));
    assert!(!view(&desk).acknowledged, "yesterday's is not today's");
    assert_eq!(view(&desk).typing, None, "what was begun waits for it");
    weigh::acknowledge(&mut desk.session, load, true);
    assert!(view(&desk).acknowledged);
    let shown = view(&desk);
    assert_eq!(
        (shown.typing, shown.figure.first.as_str()),
        (Some(Part::Gross), "23")
    );
    let cautions = desk.session.book().children::<Caution, _>(desk.visit);
    assert_eq!(cautions.unwrap().len(), 2, "each with its time");
    // Taken back is the one of today.
    weigh::acknowledge(&mut desk.session, load, false);
    let cautions = desk.session.book().children::<Caution, _>(desk.visit);
    assert_eq!(cautions.unwrap()[0].acknowledged_at, at(1_000));
}

#[test]
fn the_film_of_a_pallet_that_is_kept_is_not_asked_for() {
    let mut desk = Desk::new();
    let first = desk.load;
    let body = Load::new(desk.setup, "Load 2");
    let second = desk.session.add("add_load", body).unwrap().id;
    assert_eq!(load::view(&desk.session, first).unwrap().kept, "");
    assert!(!view(&desk).is_sample);
    keep::of_load(&mut desk.session, first);
    let Place::Sample(sample) = desk.session.here() else {
        panic!("on {:?}", desk.session.here());
    };
    let kept = load::view(&desk.session, first).unwrap().kept;
    assert_eq!(kept, "Until when is not said");
    assert!(view(&desk).is_sample);
    let scope = Scope::Setup(desk.setup);
    let method = MethodId::TorsionTool;
    let results = |desk: &Desk| results::view(&desk.session, scope, method).unwrap();
    desk.session.go(Place::Results { scope, method });
    results::weigh(&mut desk.session);
    assert_eq!(desk.session.here(), Place::Weigh(second), "the other one");
    desk.units(UnitSystem::Metric);
    desk.load = second;
    weigh::start(&mut desk.session);
    keys(&mut desk, "2 3 0");
    save(&mut desk);
    keys(&mut desk, "2 0");
    save(&mut desk);
    assert!(results(&desk).all_weighed, "none is left to be cut open");
    // Of the end of its film, or once it is released, it is a load like others.
    desk.load = first;
    for (what, is_sample) in [(SampleKind::CutFilm, false), (SampleKind::Pallet, true)] {
        sample::pick(&mut desk.session, sample, what);
        assert_eq!(view(&desk).is_sample, is_sample, "{what:?}");
    }
    sample::note(&mut desk.session, sample, SampleEventKind::Released);
    assert!(!view(&desk).is_sample);
    keep::of_load(&mut desk.session, first);
    let Place::Sample(again) = desk.session.here() else {
        panic!("on {:?}", desk.session.here());
    };
    assert_ne!(again, sample, "it is kept again as another");
    let again = desk.session.book().get(again).unwrap().reference();
    desk.session.set_aside(again, "by hand", String::new());
    assert!(!results(&desk).all_weighed);
}

#[test]
fn undo_sets_the_last_weighing_aside() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    for gross in ["2 0 0", "2 1 0"] {
        ready(&mut desk);
        keys(&mut desk, gross);
        save(&mut desk);
        keys(&mut desk, "1 0");
        save(&mut desk);
    }
    let load = desk.load;
    weigh::undo(&mut desk.session, load);
    assert_eq!(kept(&desk).len(), 1);
    assert_eq!(kept(&desk)[0].gross.text, "200 g");
    assert!(view(&desk).weighings[1].aside, "shown, and said to be so");
    desk.session.act_on_notice();
    assert_eq!(kept(&desk).len(), 2);
}

#[test]
fn the_scale_in_hand_is_named_with_what_is_the_matter_with_it() {
    let mut desk = Desk::new();
    load::weigh(&mut desk.session, desk.load);
    assert_eq!(view(&desk).scale, None, "nobody noted one");

    let mut scale = tool(ToolKind::FilmScale, "By the dock");
    scale.check_good_for_days = Some(30);
    let mut desk = Desk::with_tools(&[scale]);
    load::weigh(&mut desk.session, desk.load);
    let scale = view(&desk).scale.unwrap();
    assert_eq!(scale.name, "By the dock");
    assert_eq!(scale.state, "Zeroed: not noted. Checked: not noted.");
    assert_eq!(scale.stale, "Not checked yet, not zeroed today.");
    let id = desk.session.book().all::<Tool>().unwrap()[0].id;
    tools::zero(&mut desk.session, id);
    assert_eq!(view(&desk).scale.unwrap().stale, "Not checked yet.");
    tools::check(&mut desk.session, id);
    assert_eq!(view(&desk).scale.unwrap().stale, "");

    // Of two, nobody can say which it is until it is chosen.
    tools::add(&mut desk.session, ToolKind::FilmScale);
    let scale = view(&desk).scale.unwrap();
    assert_eq!((scale.name.as_str(), scale.state.as_str()), ("", ""));
    assert!(scale.stale.contains("Which tool"), "{}", scale.stale);
    tools::take(&mut desk.session, id);
    assert_eq!(view(&desk).scale.unwrap().name, "By the dock");
}
