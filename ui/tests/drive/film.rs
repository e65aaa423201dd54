//! Film measured: thickness, stretch by ink marks, breaks, width on the load, and when it was wrapped.

use tautbook_core::survey::{
    BreakExposure, FilmBreaks, FilmRoll, FilmWidth, Load, MarkPlace, Setup, StretchMark, Thickness,
    ThicknessPlace,
};

use crate::Folder;
use crate::hand::{self, Hand};
use crate::plans::said;

/// At the first load of a new visit.
fn at_load(folder: &Folder) -> Hand {
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.press("VisitScreen::add");
    hand.press("LineScreen::add");
    hand.press("SetupScreen::add");
    hand
}

#[test]
fn film_is_measured_kept_and_set_aside() {
    let folder = Folder::new();
    let mut hand = at_load(&folder);
    hand.press_label("Back");
    hand.whole_form();
    let measure = "Measure film. Thickness, stretch by ink marks, breaks. ";
    hand.press_label(measure);
    assert!(said(&hand, "Choose the film of this setup first"));
    hand.press_label("Back");
    hand.press_label("Add a film roll");
    hand.press_label("Back");
    hand.press_label(measure);

    hand.write("Micrometer", "17 um");
    hand.press_label("One more: Plies measured together");
    // Nothing is kept before the button says so, and it outlives the app.
    std::mem::forget(hand);
    let mut hand = Hand::on(&folder.book());
    hand.size((360.0, 3200.0));
    assert_eq!(hand.value("Micrometer"), "17 um");
    hand.press_label("Keep this thickness");
    let kept = |hand: &Hand| {
        hand.app.look(|session| {
            let roll = session.book().all::<FilmRoll>().unwrap()[0].id;
            session.book().children::<Thickness, _>(roll).unwrap()
        })
    };
    let thickness = &kept(&hand)[0];
    assert!((thickness.value.value.um() - 17.0).abs() < 1e-9);
    assert_eq!(
        (thickness.plies, thickness.place),
        (2, ThicknessPlace::Roll)
    );
    // 8.5 µm, in the unit of the screens.
    assert!(said(&hand, "33 ga a ply") && said(&hand, "From the roll, 17 µm over 2 plies"));

    let setup = |hand: &Hand| {
        hand.app
            .look(|session| session.book().all::<Setup>().unwrap()[0].id)
    };
    let marks = |hand: &Hand| {
        let id = setup(hand);
        hand.app
            .look(|session| session.book().children::<StretchMark, _>(id).unwrap())
    };
    hand.write("Apart on the roll", "10 in");
    hand.write("Apart after", "9 in");
    hand.press_label("Keep these marks");
    assert!(marks(&hand).is_empty());
    assert!(said(&hand, "stretched marks cannot lie closer"));
    hand.write("Apart after", "35 in");
    hand.press_label("On the load");
    hand.press_label("Keep these marks");
    assert_eq!(marks(&hand)[0].place, MarkPlace::OnLoad);
    assert!(
        said(&hand, "Stretch 250 %, on the load"),
        "{:?}",
        hand.labels()
    );
    assert_eq!(
        hand.value("Apart on the roll"),
        "10 in",
        "for the next pair"
    );

    let counts = |hand: &Hand| {
        let id = setup(hand);
        hand.app
            .look(|session| session.book().children::<FilmBreaks, _>(id).unwrap())
    };
    hand.write("Breaks", "0");
    hand.press_label("Keep this count");
    assert!(counts(&hand).is_empty(), "over how many is not said");
    hand.press_label("Rolls");
    hand.write("How many rolls", "3");
    hand.press_label("Keep this count");
    assert_eq!(counts(&hand)[0].breaks, 0);
    assert_eq!(counts(&hand)[0].over, BreakExposure::Rolls(3));
    hand.keep_picture("film-measured");

    hand.press_label("Set aside 33 ga a ply");
    assert!(kept(&hand).is_empty());
    hand.press_label("Bring back");
    assert_eq!(kept(&hand).len(), 1);
}

#[test]
fn a_load_keeps_the_width_of_its_film_and_when_it_was_wrapped() {
    let folder = Folder::new();
    let mut hand = at_load(&folder);
    hand.size((360.0, 3200.0));
    let load = |hand: &Hand| {
        hand.app
            .look(|session| session.book().all::<Load>().unwrap().remove(0))
    };
    let widths = |hand: &Hand| {
        let id = load(hand).id;
        hand.app
            .look(|session| session.book().children::<FilmWidth, _>(id).unwrap())
    };
    for (typed, inches) in [("17 in", 17.0), ("16.5 in", 16.5)] {
        hand.write("Width of the film on the load", typed);
        hand.enter();
        let kept = widths(&hand);
        assert_eq!(kept.len(), 1, "one that is put right, not two");
        assert!((kept[0].value.value.inches() - inches).abs() < 1e-9);
    }
    hand.write("Width of the film on the load", "");
    hand.enter();
    assert!(widths(&hand).is_empty());

    assert_eq!(load(&hand).wrapped_at, None);
    hand.press_label("One more: Wrapped at");
    let now = load(&hand).wrapped_at.unwrap().unix_ms();
    hand.press_label("One less: Wrapped at");
    let earlier = load(&hand).wrapped_at.unwrap().unix_ms();
    assert_eq!(now - earlier, 5 * 60_000);
    for _ in 0..2 {
        hand.press_label("One more: Wrapped at");
    }
    let latest = load(&hand).wrapped_at.unwrap().unix_ms();
    assert!(latest >= now && latest - now < 60_000, "not later than now");
    hand.size(hand::PHONE);
}

#[test]
fn film_of_a_load_is_measured_once_the_caution_was_read() {
    let folder = Folder::new();
    let mut hand = at_load(&folder);
    hand.press_label("Back");
    hand.whole_form();
    hand.press_label("Add a film roll");
    hand.press_label("Back");
    hand.press_label("Measure film. Thickness, stretch by ink marks, breaks. ");
    hand.size((360.0, 3200.0));
    hand.press_label("A load");
    hand.write("Micrometer", "17 um");
    hand.press_label("Tick the caution first");
    let kept = |hand: &Hand| {
        hand.app.look(|session| {
            let roll = session.book().all::<FilmRoll>().unwrap()[0].id;
            session.book().children::<Thickness, _>(roll).unwrap()
        })
    };
    assert!(kept(&hand).is_empty());
    hand.press_label("I have read this");
    hand.press_label("Keep this thickness");
    assert_eq!(kept(&hand)[0].place, ThicknessPlace::OnLoad);
}
