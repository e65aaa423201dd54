//! The forms: what is typed is kept as written, or stays with the reason why not.

use tautbook_core::survey::{FilmWidth, LoadVolume, PalletFit, PricePer, Setup, SetupRole, Spiral};
use tautbook_core::units::UnitSystem;
use tautbook_ui::place::Place;
use tautbook_ui::presenters::load::{self, Fit};
use tautbook_ui::presenters::setup::{self, SpacingBasis};
use tautbook_ui::presenters::{film_roll, line, visit};
use tautbook_ui::session::Tone;

use crate::Desk;

fn on_load(desk: &mut Desk) {
    desk.session.go(Place::Load(desk.load));
}

fn type_load(desk: &mut Desk, field: load::Field, text: &str) {
    let id = desk.load;
    load::edit(&mut desk.session, id, field, text);
}

fn load_view(desk: &Desk) -> load::View {
    load::view(&desk.session, desk.load).unwrap()
}

#[test]
fn clearing_the_width_of_the_film_is_one_act() {
    let desk = Desk::new();
    let load = desk.load;
    // Two, as where two devices measured it.
    let mut desk = desk.change_book(|book| {
        let done = book.act("measure_film_width", |act| {
            for width in ["17 in", "16.5 in"] {
                let taken_at = act.now();
                act.add(FilmWidth {
                    load,
                    value: width.parse().unwrap(),
                    taken_at,
                    notes: String::new(),
                })?;
            }
            Ok(())
        });
        done.unwrap();
    });
    let widths = |desk: &Desk| {
        let book = desk.session.book();
        book.children::<FilmWidth, _>(load).unwrap().len()
    };
    on_load(&mut desk);
    let before = desk.session.book().actions(99).unwrap().len();
    type_load(&mut desk, load::Field::FilmWidth, "");
    assert_eq!(widths(&desk), 0);
    let actions = desk.session.book().actions(99).unwrap();
    assert_eq!(actions.len(), before + 1);
    let desk = desk.change_book(|book| {
        book.undo(actions[0].key).unwrap();
    });
    assert_eq!(widths(&desk), 2, "both are back by one undoing");
}

#[test]
fn lengths_stay_as_written_when_the_units_change() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    on_load(&mut desk);
    type_load(&mut desk, load::Field::Length, "1200");
    type_load(&mut desk, load::Field::Mass, "850");
    let view = load_view(&desk);
    assert_eq!(view.length.text, "1200 mm");
    assert_eq!(view.mass.text, "850 kg", "a load is not weighed in grams");
    desk.units(UnitSystem::Imperial);
    assert_eq!(load_view(&desk).length.text, "1200 mm");
    let load = desk.session.book().get(desk.load).unwrap();
    assert!((load.length.as_ref().unwrap().value.m() - 1.2).abs() < 1e-12);
    type_load(&mut desk, load::Field::Length, "48");
    assert_eq!(load_view(&desk).length.text, "48 in");
    type_load(&mut desk, load::Field::Length, "");
    assert_eq!(load_view(&desk).length.text, "");
    assert_eq!(
        desk.session.book().get(desk.load).unwrap().length,
        None,
        "blank is not known, not 0"
    );
}

#[test]
fn a_comma_is_a_decimal_mark_where_it_can_be_nothing_else() {
    let mut desk = Desk::new();
    desk.units(UnitSystem::Metric);
    on_load(&mut desk);
    for (typed, mm) in [("1200,5", 1200.5), ("1200.5", 1200.5)] {
        type_load(&mut desk, load::Field::Height, typed);
        let load = desk.session.book().get(desk.load).unwrap();
        let height = load.height.as_ref().unwrap().value;
        assert!((height.mm() - mm).abs() < 1e-9, "{typed}");
    }
    type_load(&mut desk, load::Field::Height, "1,200");
    let entry = load_view(&desk).height;
    assert_eq!(entry.text, "1,200", "what was typed stays");
    assert!(entry.error.contains("do you mean"), "{}", entry.error);
}

#[test]
fn a_field_not_kept_is_said_where_the_person_goes_and_waits() {
    let mut desk = Desk::new();
    desk.session
        .go_by(vec![Place::Setup(desk.setup), Place::Load(desk.load)]);
    load::draft(&mut desk.session, load::Field::Length, "48 kg");
    desk.session.go_on_from_form(|session| {
        session.back();
    });
    assert_eq!(desk.session.here(), Place::Setup(desk.setup));
    let (tone, text) = desk.said().unwrap();
    assert_eq!(tone, Tone::Warning);
    assert!(text.contains("kg measures"), "{text}");

    let mut desk = desk.reopen();
    on_load(&mut desk);
    let entry = load_view(&desk).length;
    assert_eq!(entry.text, "48 kg");
    assert!(entry.error.contains("kg measures"), "{}", entry.error);
    type_load(&mut desk, load::Field::Length, "48 in");
    assert_eq!(load_view(&desk).length.error, "");
    desk.session.go_on_from_form(|session| {
        session.back();
    });
    assert_eq!(desk.said(), None);
}

#[test]
fn how_the_load_sits_waits_for_its_amount() {
    let mut desk = Desk::new();
    on_load(&mut desk);
    let id = desk.load;
    let fit = |desk: &Desk| desk.session.book().get(desk.load).unwrap().body.pallet_fit;
    let inch = || "1 in".parse().unwrap();

    // The amount before it is known which way.
    type_load(&mut desk, load::Field::FitAmount, "1");
    assert_ne!(load_view(&desk).fit_amount.error, "");
    load::pick_fit(&mut desk.session, id, Fit::Overhang);
    assert_eq!(fit(&desk), Some(PalletFit::Overhang(inch())));
    assert_eq!(load_view(&desk).fit_amount.error, "");

    load::pick_fit(&mut desk.session, id, Fit::Inset);
    assert_eq!(fit(&desk), Some(PalletFit::Inset(inch())), "amount stays");
    load::pick_fit(&mut desk.session, id, Fit::Flush);
    assert_eq!(fit(&desk), Some(PalletFit::Flush));
    assert_eq!(load_view(&desk).fit_amount.text, "");

    // The way before the amount, and the app closed between.
    load::pick_fit(&mut desk.session, id, Fit::Overhang);
    let mut desk = desk.reopen();
    assert_eq!(load_view(&desk).fit, Some(Fit::Overhang));
    type_load(&mut desk, load::Field::FitAmount, "2");
    assert_eq!(
        fit(&desk),
        Some(PalletFit::Overhang("2 in".parse().unwrap()))
    );
}

#[test]
fn only_what_is_to_be_changed_on_a_panel_comes_with_its_care() {
    let mut desk = Desk::new();
    let found = desk.setup;
    let body = Setup::new(desk.line, "Trial 1", SetupRole::Trial);
    let trial = desk.session.add("add_setup", body).unwrap().id;
    let care = |desk: &Desk, id| setup::view(&desk.session, id).unwrap().care;
    assert_eq!(care(&desk, found), "", "it is only written down");
    assert!(
        care(&desk, trial).contains("panel"),
        "{}",
        care(&desk, trial)
    );
    setup::pick(&mut desk.session, trial, |setup| {
        setup.role = SetupRole::AsFound;
    });
    assert_eq!(care(&desk, trial), "");
}

#[test]
fn film_breaks_not_looked_at_are_not_none() {
    let mut desk = Desk::new();
    on_load(&mut desk);
    let id = desk.load;
    assert_eq!(load_view(&desk).film_breaks, None);
    for (more, breaks) in [(false, 0), (false, 0), (true, 1), (true, 2), (false, 1)] {
        load::step_film_breaks(&mut desk.session, id, more);
        assert_eq!(load_view(&desk).film_breaks, Some(breaks));
    }
}

fn on_line(desk: &mut Desk) {
    desk.session.go(Place::Line(desk.line));
}

fn type_line(desk: &mut Desk, field: line::Field, text: &str) {
    let id = desk.line;
    line::edit(&mut desk.session, id, field, text);
}

fn line_view(desk: &Desk) -> line::View {
    line::view(&desk.session, desk.line).unwrap()
}

fn volume(desk: &Desk) -> Option<LoadVolume> {
    desk.session.book().get(desk.line).unwrap().volume
}

#[test]
fn loads_by_the_shift_are_kept_when_all_three_parts_are_there() {
    use line::Field::{DaysAYear, LoadsAShift, ShiftsADay};
    let mut desk = Desk::new();
    on_line(&mut desk);
    let id = desk.line;
    line::pick_loads_basis(&mut desk.session, id, line::LoadsBasis::AShift);
    type_line(&mut desk, LoadsAShift, "60");
    type_line(&mut desk, DaysAYear, "250");
    assert_eq!(volume(&desk), None);
    let mut desk = desk.reopen();
    assert_eq!(line_view(&desk).loads_basis, line::LoadsBasis::AShift);
    assert_eq!(line_view(&desk).loads_a_shift.text, "60", "waits");
    type_line(&mut desk, ShiftsADay, "2");
    let by = |loads, shifts_a_day, days_a_year| {
        Some(LoadVolume::PerShift {
            loads,
            shifts_a_day,
            days_a_year,
        })
    };
    assert_eq!(volume(&desk), by(60, 2, 250));
    let view = line_view(&desk);
    assert_eq!(view.loads_computed, "30\u{202f}000 loads a year");
    assert_eq!(view.loads_a_shift.error, "");

    // One part cannot be read: what was typed in it stays, whatever becomes of the others.
    type_line(&mut desk, ShiftsADay, "2x");
    type_line(&mut desk, LoadsAShift, "70");
    assert_eq!(line_view(&desk).shifts_a_day.text, "2x");
    assert_eq!(volume(&desk), by(60, 2, 250));
    type_line(&mut desk, ShiftsADay, "3");
    assert_eq!(volume(&desk), by(70, 3, 250));

    // All three blank: not known.
    for field in [LoadsAShift, ShiftsADay, DaysAYear] {
        type_line(&mut desk, field, "");
    }
    assert_eq!(volume(&desk), None);
    assert_eq!(line_view(&desk).loads_computed, "");
}

#[test]
fn what_the_shifts_make_stands_on_as_the_number_for_the_year() {
    let mut desk = Desk::new();
    on_line(&mut desk);
    let id = desk.line;
    line::pick_loads_basis(&mut desk.session, id, line::LoadsBasis::AShift);
    for (field, text) in [
        (line::Field::LoadsAShift, "60"),
        (line::Field::ShiftsADay, "2"),
        (line::Field::DaysAYear, "250"),
    ] {
        type_line(&mut desk, field, text);
    }
    line::pick_loads_basis(&mut desk.session, id, line::LoadsBasis::AYear);
    assert_eq!(volume(&desk), Some(LoadVolume::PerYear { loads: 30_000 }));
    assert_eq!(line_view(&desk).loads_a_year.text, "30000");
}

#[test]
fn pitch_and_overlap_change_the_meaning_and_keep_the_number() {
    let mut desk = Desk::new();
    desk.session.go(Place::Setup(desk.setup));
    let id = desk.setup;
    let settings = |desk: &Desk| desk.session.book().get(desk.setup).unwrap().body.settings;
    setup::pick_spacing_basis(&mut desk.session, id, SpacingBasis::Overlap);
    setup::edit(&mut desk.session, id, setup::Field::SpacingUp, "10");
    let ten = || "10 in".parse().unwrap();
    assert_eq!(settings(&desk).up, Some(Spiral::Overlap(ten())));
    assert_eq!(settings(&desk).down, None, "not typed, not known");
    setup::pick_spacing_basis(&mut desk.session, id, SpacingBasis::Pitch);
    assert_eq!(settings(&desk).up, Some(Spiral::Pitch(ten())));
    setup::edit(&mut desk.session, id, setup::Field::SpacingDown, "12");
    assert!(matches!(settings(&desk).down, Some(Spiral::Pitch(_))));
    let view = setup::view(&desk.session, id).unwrap();
    assert_eq!(view.spacing_basis, SpacingBasis::Pitch);
    assert_eq!(view.bottom_turns, "", "turns not known are not 0");
    setup::step_turns(&mut desk.session, id, false, 1.0);
    setup::step_turns(&mut desk.session, id, false, -0.25);
    let view = setup::view(&desk.session, id).unwrap();
    assert_eq!(
        (view.bottom_turns.as_str(), view.top_turns.as_str()),
        ("0.75", "")
    );
}

#[test]
fn the_start_height_is_kept_as_written_and_blank_is_not_the_floor() {
    let mut desk = Desk::new();
    desk.session.go(Place::Setup(desk.setup));
    let id = desk.setup;
    let kept = |desk: &Desk| {
        desk.session
            .book()
            .get(id)
            .unwrap()
            .body
            .settings
            .start_height
    };
    assert_eq!(kept(&desk), None);
    setup::edit(&mut desk.session, id, setup::Field::StartHeight, "4");
    assert_eq!(kept(&desk), Some("4 in".parse().unwrap()));
    let view = setup::view(&desk.session, id).unwrap();
    assert_eq!(view.start_height.text, "4 in");
    setup::edit(&mut desk.session, id, setup::Field::StartHeight, "");
    assert_eq!(kept(&desk), None);
}

fn type_roll(desk: &mut Desk, field: film_roll::Field, text: &str) {
    let id = desk.roll;
    film_roll::edit(&mut desk.session, id, field, text);
}

fn roll_view(desk: &Desk) -> film_roll::View {
    film_roll::view(&desk.session, desk.roll).unwrap()
}

#[test]
fn a_unit_is_not_said_twice() {
    let mut desk = Desk::new();
    desk.session.go(Place::FilmRoll(desk.roll));
    assert_eq!(roll_view(&desk).recycled.hint, "%");
    type_roll(&mut desk, film_roll::Field::Recycled, "30");
    let recycled = roll_view(&desk).recycled;
    let both = format!("{} {}", recycled.text, recycled.hint);
    assert_eq!(both.matches('%').count(), 1, "{both}");
}

#[test]
fn prices_are_taken_with_their_currency() {
    let mut desk = Desk::new();
    desk.session.go(Place::FilmRoll(desk.roll));
    let id = desk.roll;
    let price = |desk: &Desk| desk.session.book().get(desk.roll).unwrap().body.price;
    for (typed, amount, currency, shown) in [
        ("1.5", 1.5, "USD", "1.50 USD"),
        ("1,50 eur", 1.5, "EUR", "1.50 EUR"),
        ("GBP 0.0125", 0.0125, "GBP", "0.0125 GBP"),
        ("0", 0.0, "USD", "0.00 USD"),
    ] {
        type_roll(&mut desk, film_roll::Field::Price, typed);
        let kept = price(&desk).unwrap();
        assert!((kept.amount - amount).abs() < 1e-12, "{typed}: {kept:?}");
        assert_eq!(kept.currency, currency);
        assert_eq!(kept.per, PricePer::Pound);
        assert_eq!(roll_view(&desk).price.text, shown);
        assert_eq!(roll_view(&desk).price.hint, "per lb");
        // What is shown reads back as what is kept.
        type_roll(&mut desk, film_roll::Field::Price, shown);
        assert_eq!(price(&desk).unwrap(), kept);
    }
    for wrong in ["dollars", "1.5 US", "1.2.3", "-2", "$1.50", "1 \u{1f4b6}"] {
        type_roll(&mut desk, film_roll::Field::Price, wrong);
        let entry = roll_view(&desk).price;
        assert_eq!(entry.text, wrong);
        assert_ne!(entry.error, "", "{wrong}");
        assert!(price(&desk).unwrap().amount.abs() < 1e-12, "as it was");
    }
    film_roll::pick_price_per_roll(&mut desk.session, id, true);
    assert_eq!(price(&desk).unwrap().per, PricePer::Roll);
    type_roll(&mut desk, film_roll::Field::Price, "");
    assert_eq!(price(&desk), None);
    film_roll::pick_price_per_roll(&mut desk.session, id, true);
    type_roll(&mut desk, film_roll::Field::Price, "42");
    assert_eq!(price(&desk).unwrap().per, PricePer::Roll, "chosen before");
}

#[test]
fn a_label_that_cannot_be_right_is_said() {
    use film_roll::Field::{Density, Length, NetMass, Thickness, Width};
    let mut desk = Desk::new();
    desk.session.go(Place::FilmRoll(desk.roll));
    // 36 lb net, 20 in wide, 60 gauge, 0.918 g/cm3 is 7538.1 ft (volume worked by hand).
    for (field, text) in [
        (NetMass, "36 lb"),
        (Width, "20"),
        (Thickness, "60"),
        (Density, "0.918"),
    ] {
        type_roll(&mut desk, field, text);
        assert_eq!(roll_view(&desk).check, None, "too little to say");
    }
    type_roll(&mut desk, Length, "7500");
    assert_eq!(roll_view(&desk).check, None, "within a twentieth");
    type_roll(&mut desk, Length, "9000");
    let check = roll_view(&desk).check.unwrap();
    assert!(check.contains("7538 ft"), "{check}");
    assert!(check.contains("9000 ft"), "{check}");
    for (field, text) in [(Length, "0"), (Thickness, "0"), (Density, "0")] {
        type_roll(&mut desk, field, text);
        let view = roll_view(&desk); // Whatever it says, it says something finite.
        let said = view.check.unwrap_or_default();
        assert!(!said.contains("inf") && !said.contains("NaN"), "{said}");
    }
}

#[test]
fn rubbish_is_explained_and_never_taken() {
    let long = "a".repeat(10_000);
    let digits = "9".repeat(10_000);
    for text in [
        long.as_str(),
        digits.as_str(),
        "4\n8",
        "4\t8 in\r\n",
        "\u{1f4e6}\u{1f4e6}",
        "48 \u{1f4e6}",
        "\u{202e}48 in",
        "1e300",
        "1e999 in",
        "NaN",
        "inf",
        "\0",
        "--48",
        "48 in 3",
    ] {
        let mut desk = Desk::new();
        on_load(&mut desk);
        type_load(&mut desk, load::Field::Length, text);
        let entry = load_view(&desk).length;
        let kept = desk.session.book().get(desk.load).unwrap().body.length;
        match kept {
            None => {
                assert_eq!(entry.text, text);
                assert_ne!(entry.error, "", "{text:?}");
                let chars = entry.error.chars().count();
                assert!(chars < 250, "{chars} signs: {}", entry.error);
            }
            Some(length) => assert!(length.value.m().is_finite(), "{text:?}: {length:?}"),
        }
        // Names and notes take anything.
        type_load(&mut desk, load::Field::Damage, text);
        let kept = desk.session.book().get(desk.load).unwrap();
        assert_eq!(kept.damage, text.trim());

        desk.session.go(Place::Visit(desk.visit));
        let id = desk.visit;
        visit::edit(&mut desk.session, id, visit::Field::Date, text);
        let date = visit::view(&desk.session, id).unwrap().date;
        let chars = date.error.chars().count();
        assert!((1..250).contains(&chars), "{chars} signs: {}", date.error);
        desk.session.go(Place::FilmRoll(desk.roll));
        type_roll(&mut desk, film_roll::Field::Price, text);
        let chars = roll_view(&desk).price.error.chars().count();
        assert!(
            chars < 250,
            "{chars} signs: {}",
            roll_view(&desk).price.error
        );
    }
}

#[test]
fn a_name_cannot_be_taken_away() {
    let mut desk = Desk::new();
    on_load(&mut desk);
    type_load(&mut desk, load::Field::Name, "  ");
    let entry = load_view(&desk).name;
    assert_eq!(entry.error, "give the load a number or a name");
    assert_eq!(desk.session.book().get(desk.load).unwrap().name, "Load 1");
}

#[test]
fn a_size_that_is_no_usual_one_is_kept_and_asked_about() {
    let mut desk = Desk::new();
    let (load, roll) = (desk.load, desk.roll);
    load::edit(&mut desk.session, load, load::Field::Length, "1200 in");
    let kept = desk.session.book().get(load).unwrap().body.length.unwrap();
    assert_eq!(kept.text, "1200 in", "it is never refused");
    let entry = load::view(&desk.session, load).unwrap().length;
    assert!(entry.error.is_empty());
    assert!(
        entry.doubt.starts_with("1200 in is kept as written."),
        "{entry:?}"
    );
    load::edit(&mut desk.session, load, load::Field::Length, "1200 mm");
    let entry = load::view(&desk.session, load).unwrap().length;
    assert_eq!(entry.doubt, "");

    film_roll::edit(
        &mut desk.session,
        roll,
        film_roll::Field::Thickness,
        "23 mil",
    );
    let entry = film_roll::view(&desk.session, roll).unwrap().thickness;
    assert!(entry.doubt.contains("4 µm to 80 µm"), "{entry:?}");
}
