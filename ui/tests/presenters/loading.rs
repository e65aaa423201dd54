//! The way of the film and which way up the roll goes.

use tautbook_core::survey::{
    Caution, CautionKind, ClingSide, Line, Rotation, Threading, WrapperKind,
};
use tautbook_ui::place::Place;
use tautbook_ui::presenters::loading::{self, Missing};
use tautbook_ui::presenters::{film_roll, line, setup};
use tautbook_ui::session::Tone;

use crate::Desk;

fn cling(desk: &mut Desk, side: ClingSide) {
    film_roll::pick(&mut desk.session, desk.roll, |roll| roll.cling = Some(side));
}

fn on_wrapper(desk: &mut Desk, change: impl FnOnce(&mut Line)) {
    line::pick(&mut desk.session, desk.line, change);
}

fn roll_on(desk: &mut Desk) {
    let roll = desk.roll;
    setup::pick(&mut desk.session, desk.setup, |setup| {
        setup.film_roll = Some(roll);
    });
}

fn way_up(desk: &Desk) -> loading::WayUpView {
    setup::view(&desk.session, desk.setup).unwrap().way_up
}

fn way(desk: &Desk) -> loading::Way {
    line::view(&desk.session, desk.line).unwrap().way
}

#[test]
fn what_is_missing_is_asked_for_one_after_the_other() {
    let mut desk = Desk::new();
    let view = way_up(&desk);
    assert!(
        view.said.block.lead.contains("Choose the film roll"),
        "{view:?}"
    );
    assert!(!view.said.with_roll && view.said.drawing.is_none());

    roll_on(&mut desk);
    let view = way_up(&desk);
    assert_eq!(view.said.missing, Some(Missing::Roll(desk.roll)));
    assert!(
        view.said
            .block
            .lead
            .starts_with("Which side of the film clings")
    );
    assert!(
        view.said.block.points[0].starts_with("Which way the wrapper turns"),
        "both are asked for at once: {view:?}"
    );
    let here = Place::Setup(desk.setup);
    desk.session.go(here);
    loading::open_missing(&mut desk.session, desk.setup);
    assert_eq!(desk.session.here(), Place::FilmRoll(desk.roll));

    cling(&mut desk, ClingSide::Inside);
    let view = way_up(&desk);
    assert_eq!(view.said.missing, Some(Missing::Line(desk.line)));
    loading::open_missing(&mut desk.session, desk.setup);
    assert_eq!(desk.session.here(), Place::Line(desk.line));

    on_wrapper(&mut desk, |line| {
        line.wrapper.kind = WrapperKind::Other;
        line.wrapper.rotation = Some(Rotation::Clockwise);
    });
    assert!(
        way_up(&desk)
            .said
            .block
            .lead
            .contains("does not say whether the load turns")
    );
    on_wrapper(&mut desk, |line| {
        line.wrapper.kind = WrapperKind::Turntable;
    });
    let view = way_up(&desk);
    assert_eq!((view.said.missing, view.said.wrong.as_str()), (None, ""));
    assert!(
        view.said.block.lead.contains("points clockwise"),
        "{view:?}"
    );
    assert_eq!(view.said.drawing.unwrap().roll, Some(Rotation::Clockwise));
    assert!(view.said.now.is_none());
}

#[test]
fn a_roll_that_faces_away_is_drawn_as_it_is_and_as_it_should_be() {
    let mut desk = Desk::new();
    roll_on(&mut desk);
    cling(&mut desk, ClingSide::Outside);
    on_wrapper(&mut desk, |line| {
        line.wrapper.rotation = Some(Rotation::Clockwise);
        line.wrapper.threading = Some(Threading {
            roll_turns: None,
            reversals: Some(2),
        });
    });
    let view = way_up(&desk);
    assert!(view.said.block.lead.contains("anticlockwise"), "{view:?}");
    assert!(!view.said.block.lead.contains("As threaded"), "{view:?}");
    assert!(
        view.said.wrong.contains("faces away from the load"),
        "{view:?}"
    );
    let (drawing, now) = (view.said.drawing.unwrap(), view.said.now.unwrap());
    assert_eq!(drawing.roll, Some(Rotation::Anticlockwise));
    assert!(drawing.spoken.contains("The cling side lies on the load."));
    assert_eq!(
        now.roll,
        Some(Rotation::Clockwise),
        "counted from the bends"
    );
    assert!(now.spoken.contains("faces away"));
    let rows = line::view(&desk.session, desk.line).unwrap().rolls;
    assert_eq!(
        rows[0].note,
        "Goes on with its loose end anticlockwise from above; not as threaded now"
    );

    // The other way round it is right, and said to be.
    cling(&mut desk, ClingSide::Inside);
    let view = way_up(&desk);
    assert_eq!(view.said.block.tone, Some(Tone::Good));
    assert!(view.said.wrong.is_empty() && view.said.now.is_none());
    assert_eq!(view.said.drawing.unwrap().reversals, Some(2));
    cling(&mut desk, ClingSide::Both);
    assert_eq!(way_up(&desk).said.block.tone, Some(Tone::Good));
}

#[test]
fn film_that_goes_round_a_standing_load_is_seen_from_the_arm() {
    let mut desk = Desk::new();
    roll_on(&mut desk);
    cling(&mut desk, ClingSide::Inside);
    on_wrapper(&mut desk, |line| {
        line.wrapper.kind = WrapperKind::RotatingArm;
        line.wrapper.rotation = Some(Rotation::Clockwise);
    });
    let view = way_up(&desk);
    assert!(
        view.said.block.lead.contains("points anticlockwise"),
        "{view:?}"
    );
    assert!(
        view.said
            .block
            .points
            .iter()
            .any(|point| point.contains("rode along")),
        "{view:?}"
    );
    let drawing = view.said.drawing.unwrap();
    assert!(!drawing.table);
    assert_eq!(
        drawing.words[0],
        "Load, seen from the arm: turns anticlockwise"
    );
}

#[test]
fn a_path_that_contradicts_itself_is_said_where_it_is_written() {
    let mut desk = Desk::new();
    on_wrapper(&mut desk, |line| {
        line.wrapper.rotation = Some(Rotation::Clockwise);
    });
    loading::pick_roll_turns(&mut desk.session, desk.line, Some(Rotation::Clockwise));
    loading::step_bends(&mut desk.session, desk.line, true);
    let seen = way(&desk);
    assert_eq!((seen.bends.as_str(), seen.wrong.as_str()), ("0", ""));
    assert_eq!(seen.drawing.roll, Some(Rotation::Clockwise));
    loading::step_bends(&mut desk.session, desk.line, true);
    let seen = way(&desk);
    assert_eq!(seen.bends, "1");
    assert!(seen.wrong.contains("contradicts itself"), "{seen:?}");
    assert_eq!(seen.drawing.roll, None, "what cannot be is not drawn");
    roll_on(&mut desk);
    cling(&mut desk, ClingSide::Inside);
    let view = way_up(&desk);
    assert_eq!(view.said.block.tone, Some(Tone::Bad));
    assert_eq!(view.said.missing, Some(Missing::Line(desk.line)));

    // Taken back to nothing, nothing is kept of it.
    for _ in 0..2 {
        loading::step_bends(&mut desk.session, desk.line, false);
    }
    loading::pick_roll_turns(&mut desk.session, desk.line, None);
    let kept = desk.session.book().get(desk.line).unwrap();
    assert_eq!(kept.wrapper.threading, None);
    loading::step_bends(&mut desk.session, desk.line, false);
    assert_eq!(way(&desk).bends, "", "fewer than not known is not known");
}

#[test]
fn the_test_by_hand_shows_once_the_caution_was_read() {
    let mut desk = Desk::new();
    roll_on(&mut desk);
    assert_eq!(way_up(&desk).check, "");
    loading::acknowledge(&mut desk.session, desk.setup, true);
    loading::acknowledge(&mut desk.session, desk.setup, true);
    let view = way_up(&desk);
    assert!(view.acknowledged && view.check.contains("finger tack test"));
    let kept = |desk: &Desk| {
        let cautions = desk.session.book().children::<Caution, _>(desk.visit);
        cautions.unwrap()
    };
    assert_eq!(kept(&desk).len(), 1);
    assert_eq!(kept(&desk)[0].about, CautionKind::Roll);
    assert_eq!(kept(&desk)[0].line, Some(desk.line));
    loading::acknowledge(&mut desk.session, desk.setup, false);
    assert!(kept(&desk).is_empty() && !way_up(&desk).acknowledged);
}
