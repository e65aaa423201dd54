//! A trial followed from its plan to its end: proposed, made, wrapped, read, weighed, and laid
//! beside what was predicted; and the plan that has learnt from it.

use std::collections::BTreeSet;

use tautbook_core::survey::{FilmWeight, Id, Load, Planned, Reading, Setup, Zone};
use tautbook_core::units::{TorsionTool, UnitSystem};
use tautbook_ui::place::Place;
use tautbook_ui::session::{Look, Session};

use crate::Folder;
use crate::hand::Hand;
use crate::plans::{TILES, at_line, said};

/// How many loads are wrapped the new way.
const LOADS: usize = 2;

/// The number of readings that "A layer holds" rests on, zone by zone or for all at once.
fn fitted(hand: &Hand) -> usize {
    // What lies in a labelled row is found under its label again.
    let labels: BTreeSet<String> = hand.labels().into_iter().collect();
    labels
        .iter()
        .filter(|label| label.starts_with("A layer holds"))
        .filter_map(|label| {
            let before = label.split(" readings on ").next()?;
            before.rsplit(' ').next()?.parse::<usize>().ok()
        })
        .sum()
}

/// Keys for a force, to a whole newton.
fn keys(newtons: f64) -> Vec<String> {
    format!("{newtons:.0}").chars().map(String::from).collect()
}

fn planned(hand: &Hand, setup: Id<Setup>) -> Planned {
    hand.app
        .look(|session| session.book().get(setup).unwrap().body.planned.unwrap())
}

#[test]
fn a_trial_is_followed_from_its_plan_to_its_end() {
    let folder = Folder::new();
    let (mut hand, _) = at_line(&folder, TILES);
    hand.app.act(|session| {
        let look = session.look();
        session.set_look(Look {
            units: UnitSystem::Metric,
            ..look
        });
    });
    hand.press_label("Plan");
    hand.size((360.0, 5200.0));
    hand.keep_picture("trial-1-plan");
    let before = fitted(&hand);
    assert!(before > 0, "{:?}", hand.labels());

    // One press makes the setup.
    hand.press_label("Try this setup");
    let Place::Setup(made) = hand.app.look(Session::here) else {
        panic!("on {:?}", hand.app.look(Session::here))
    };
    hand.whole_form();
    hand.keep_picture("trial-2-setup-planned");
    assert!(said(&hand, "Planned. Agree with the customer first"));
    let planned = planned(&hand, made);
    assert_eq!(planned.zones.len(), 3);

    // Loads are wrapped so, read and weighed.
    for at in 0..LOADS {
        hand.press("SetupScreen::add");
        let Place::Load(load) = hand.app.look(Session::here) else {
            panic!("on {:?}", hand.app.look(Session::here))
        };
        let body: Load = hand
            .app
            .look(|session| session.book().get(load).unwrap().body);
        assert!(
            body.length.is_some() && body.width.is_some() && body.height.is_some(),
            "the size of the line's other loads: {body:?}"
        );
        if at == 0 {
            hand.keep_picture("trial-3-load");
        }
        hand.size(crate::hand::PHONE);
        hand.press("LoadScreen::read");
        for reading in 0..9_u32 {
            // Top, middle, bottom, and round again.
            let zone = [Zone::Top, Zone::Middle, Zone::Bottom][reading as usize % 3].clone();
            let (expected, _) = planned.zone::<TorsionTool>(&zone).unwrap();
            let typed = expected.force().n() + f64::from(reading / 3) - 1.0;
            for key in keys(typed) {
                hand.press_label(&key);
            }
            if at == 0 && reading == 4 {
                hand.keep_picture("trial-4-read");
            }
            hand.press("Keypad::save-key");
        }
        let kept = hand
            .app
            .look(|session| session.book().children::<Reading, _>(load).unwrap().len());
        assert_eq!(kept, 9);
        hand.press_label("Back");
        hand.press("LoadScreen::weigh");
        hand.whole_form();
        if at == 0 {
            // The one that was read is of the first day.
            hand.press_label("I have read this");
        }
        hand.press("WeighPage::start");
        let film = planned.film.as_ref().unwrap().value.kg() * 1000.0;
        hand.size(crate::hand::PHONE);
        for key in keys(film + 30.0) {
            hand.press_label(&key);
        }
        hand.press("Keypad::save-key");
        hand.keys(&["3", "0"]);
        if at == 0 {
            hand.keep_picture("trial-5-weigh");
        }
        hand.press("Keypad::save-key");
        let weights = hand.app.look(|session| {
            session
                .book()
                .children::<FilmWeight, _>(load)
                .unwrap()
                .len()
        });
        assert_eq!(weights, 1);
        hand.press_label("Back");
        hand.press_label("Back");
        hand.whole_form();
    }

    // Setup: predicted beside measured.
    assert_eq!(hand.app.look(Session::here), Place::Setup(made));
    hand.keep_picture("trial-6-setup-measured");
    let in_words = |hand: &Hand| {
        assert!(said(hand, "As planned: every reading keeps to its bound."));
        for zone in ["Top", "Middle", "Bottom"] {
            let row = hand.labels().into_iter().find(|label| {
                label.starts_with(&format!("{zone}: "))
                    && label.contains(" measured")
                    && label.contains(" expected; the lowest, ")
            });
            assert!(row.is_some(), "{zone}: {:?}", hand.labels());
        }
        let film = hand
            .labels()
            .into_iter()
            .find(|label| label.starts_with("Film: ") && label.contains(" weighed"));
        assert!(film.is_some_and(|film| film.contains(" expected")));
    };
    in_words(&hand);

    // Results of it.
    hand.press_label("Results of this setup");
    hand.size((360.0, 7200.0));
    hand.keep_picture("trial-7-results");
    in_words(&hand);
    hand.press_label("Back");

    // The plan has learnt: its fit counts the new readings, and it shows what came of it.
    hand.whole_form();
    hand.press_label("Plan");
    hand.size((360.0, 5200.0));
    hand.keep_picture("trial-8-plan-learnt");
    in_words(&hand);
    assert!(matches!(hand.app.look(Session::here), Place::Plan { setup, .. } if setup == made));
    assert_eq!(fitted(&hand), before + LOADS * 9);
    hand.app.look(|session| {
        assert!(session.book().verify().unwrap().faults.is_empty());
    });
}
