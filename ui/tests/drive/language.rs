//! The screens in the language that is set, changed while they are open.

use tautbook_core::language::Language;
use tautbook_ui::session::Look;

use super::Folder;
use super::hand::Hand;

fn speak(hand: &Hand, language: Language) {
    hand.app.act(move |session| {
        session.set_look(Look {
            language,
            ..session.look()
        });
    });
    hand.settle();
}

#[test]
fn open_screens_change_to_the_language_that_is_set() {
    let folder = Folder::new();
    let mut hand = Hand::on(&folder.book());
    let says = |hand: &Hand, label: &str| hand.labels().iter().any(|said| said == label);
    assert!(says(&hand, "Start a visit"));
    speak(&hand, Language::French);
    assert!(says(&hand, "Commencer une visite"), "{:?}", hand.labels());
    hand.press("TodayScreen::start");
    assert!(says(&hand, "Retour"), "{:?}", hand.labels());
    speak(&hand, Language::Spanish);
    assert!(says(&hand, "Volver"), "{:?}", hand.labels());
    speak(&hand, Language::English);
    assert!(says(&hand, "Back"), "{:?}", hand.labels());

    speak(&hand, Language::French);
    drop(hand);
    let again = Hand::on(&folder.book());
    assert!(says(&again, "Retour"), "kept: {:?}", again.labels());
    speak(&again, Language::English);
}
