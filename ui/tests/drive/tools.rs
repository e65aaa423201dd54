//! The rep's tools and the bag, driven by presses.

use tautbook_core::survey::{Reading, Tool};
use tautbook_ui::place::Place;
use tautbook_ui::session::Session;

use crate::Folder;
use crate::hand::{self, Hand};

#[test]
fn a_tool_is_added_zeroed_checked_and_named_by_readings() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.press_label("Tools. When they were zeroed and checked, and which is in hand. ");
    hand.press_label("Add: Torsion tool");
    hand.press_label("Add: Torsion tool");
    let stale = |hand: &Hand| {
        let said = hand.labels();
        said.iter()
            .any(|of| of == "Not checked yet, not zeroed today.")
    };
    assert!(stale(&hand), "{:?}", hand.labels());
    hand.press_label("In hand: Torsion tool 2");
    let tools = |hand: &Hand| {
        hand.app
            .look(|session| session.book().all::<Tool>().unwrap())
    };
    assert_eq!(tools(&hand)[1].check_good_for_days, Some(30));

    hand.press_label("Back");
    hand.press("VisitScreen::add");
    hand.press("LineScreen::add");
    hand.press("SetupScreen::add");
    hand.size(hand::PHONE);
    hand.press("LoadScreen::read");
    hand.keep_picture("read-stale-tool");
    let reminder = "Torsion tool 2: Not checked yet, not zeroed today.";
    assert!(
        hand.labels().iter().any(|of| of == reminder),
        "{:?}",
        hand.labels()
    );
    hand.press_label(&format!("{reminder} Open the tools"));
    assert_eq!(hand.app.look(Session::here), Place::Tools);
    hand.press_label("Back");
    hand.keys(&["8"]);
    hand.press("Keypad::save-key");
    let reading = hand
        .app
        .look(|session| session.book().all::<Reading>().unwrap().remove(0));
    assert_eq!(reading.tool, Some(tools(&hand)[1].id));
    assert_eq!(reading.zeroed_at, None);
    let after = hand.labels();
    assert!(
        after.iter().any(|of| of.starts_with("Not zeroed today.")),
        "as true of the next reading: {after:?}"
    );

    for _ in 0..4 {
        hand.press_label("Back");
    }
    hand.whole_form();
    hand.press_label("Tools. When they were zeroed and checked, and which is in hand. ");
    for press in [
        "Mark as zeroed: Torsion tool 2",
        "Mark as checked: Torsion tool 2",
    ] {
        hand.press_label(press);
    }
    hand.keep_picture("tools");
    let tool = tools(&hand).remove(1);
    assert!(tool.zeroed_at.is_some() && tool.checked_at.is_some());

    // Pressed by a slip: the time before it comes back.
    for press in [
        "Mark as zeroed: Torsion tool 2",
        "Mark as checked: Torsion tool 2",
    ] {
        hand.press_label(press);
        assert_ne!(tools(&hand)[1].body, tool.body, "{press}");
        hand.press_label("Undo");
        assert_eq!(tools(&hand)[1].body, tool.body, "{press}");
    }
}

#[test]
fn the_bag_is_ticked_in_one_tap_and_keeps_what_was_added() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.write("Something else to bring", "Head lamp");
    hand.enter();
    hand.press_label("Tick everything in the bag");
    let visit = hand.visits().remove(0);
    assert!(visit.bag.iter().all(|item| item.done));
    assert!(visit.safety.iter().all(|item| !item.done));
    let safe = visit.safety[0].text.clone();
    hand.press_label(&safe);
    assert!(hand.visits().remove(0).safety[0].done);
    assert!(visit.bag.iter().any(|item| item.text == "Head lamp"));
    hand.press_label("Back");
    hand.press("TodayScreen::start");
    let visit = hand.visits().pop().unwrap();
    assert!(
        visit
            .bag
            .iter()
            .any(|item| item.text == "Head lamp" && !item.done)
    );
    assert!(visit.safety.iter().all(|item| !item.done));
}

#[test]
fn a_bag_of_many_things_is_shown_some_at_a_time() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    let ours = hand.visits().remove(0).bag.len();
    let field = "Something else to bring";
    for n in 1..=16 {
        hand.write(field, &format!("Cone {n}"));
        hand.enter();
    }
    let shown = |hand: &Hand, name: &str| hand.labels().iter().any(|label| label == name);
    assert!(shown(&hand, "Cone 16"), "what was added is shown");
    assert!(!shown(&hand, "Cone 1"));
    let more = format!(
        "More of this list. {} of {} are shown here. ",
        ours + 1,
        ours + 16
    );
    hand.press_label(&more);
    assert!(shown(&hand, "Cone 1") && !shown(&hand, "Cone 16"));
    // Each is ticked and taken off by its own place in the list.
    hand.press_label(&more.replace(&format!("{} of", ours + 1), "15 of"));
    hand.press_label("Cone 16");
    hand.press_label("Take off the list: Cone 15");
    let bag = hand.visits().remove(0).body.bag;
    let ticked: Vec<&str> = bag
        .iter()
        .filter(|it| it.done)
        .map(|it| it.text.as_str())
        .collect();
    assert_eq!(ticked, ["Cone 16"]);
    assert!(!bag.iter().any(|item| item.text == "Cone 15"));
    assert_eq!(bag.len(), ours + 15);
}

#[test]
fn tools_past_the_tenth_are_on_a_page_of_their_own_and_stay_there() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    hand.press("TodayScreen::start");
    hand.whole_form();
    hand.press_label("Tools. When they were zeroed and checked, and which is in hand. ");
    hand.size((360.0, 9000.0));
    for _ in 0..11 {
        hand.press_label("Add: Film scale");
    }
    hand.press_label("Back");
    hand.press_label("Tools. When they were zeroed and checked, and which is in hand. ");
    let shown = |hand: &Hand, name: &str| {
        let whole = format!("Mark as zeroed: {name}");
        hand.labels().contains(&whole)
    };
    // Those added last come first.
    assert!(shown(&hand, "Film scale 11") && !shown(&hand, "Film scale 1"));
    hand.keep_picture("tools-many");
    hand.press_label("Other tools. 10 of 11 are shown here. ");
    assert!(shown(&hand, "Film scale 1") && !shown(&hand, "Film scale 11"));
    hand.press_label("Mark as zeroed: Film scale 1");
    assert!(shown(&hand, "Film scale 1"), "it stays where it was found");
    hand.press_label("Add: Tape measure");
    assert!(
        shown(&hand, "Film scale 11"),
        "what was added is on the first page"
    );
    assert!(hand.labels().iter().any(|of| of.contains("Tape measure")));
}
