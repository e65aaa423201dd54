//! The wrap pattern against worked examples, and what it refuses.

use tautbook_core::analysis::pattern::{
    Assumption, Bare, BareWhere, Pattern, PatternError, Programme, Segment, Wrapped,
};
use tautbook_core::survey::{Settings, Spiral};
use tautbook_core::units::Length;

fn m(metres: f64) -> Length {
    Length::from_m(metres).unwrap()
}

fn inches(inches: f64) -> Length {
    Length::from_in(inches).unwrap()
}

fn near(a: f64, b: f64, relative: f64) {
    assert!((a - b).abs() <= relative * b.abs(), "{a} is not {b}");
}

/// 48 x 40 in, 60 in of goods on a 5 in pallet; film starts 4 in below the goods.
fn example_a() -> (Programme, Wrapped, Length) {
    let programme = Programme {
        bottom_turns: 3.0,
        top_turns: 3.0,
        pitch_up: Some(inches(9.0)),
        pitch_down: Some(inches(9.0)),
        start: inches(1.0),
        over_top: inches(2.0),
    };
    let load = Wrapped {
        length: inches(48.0),
        width: inches(40.0),
        height: inches(65.0),
    };
    (programme, load, inches(18.0))
}

/// 1200 x 800 mm, 1500 mm of goods on a 144 mm pallet; film starts 100 mm below the goods.
fn example_b() -> (Programme, Wrapped, Length) {
    let programme = Programme {
        bottom_turns: 2.0,
        top_turns: 3.0,
        pitch_up: Some(m(0.3)),
        pitch_down: Some(m(0.3)),
        start: m(0.044),
        over_top: m(0.05),
    };
    let load = Wrapped {
        length: m(1.2),
        width: m(0.8),
        height: m(1.644),
    };
    (programme, load, m(0.45))
}

#[test]
fn worked_example_in_inches() {
    // By hand: P = 176 in, travel 65 + 2 - 18 - 1 = 48 in, 48/9 = 5.3333 turns a pass,
    // 3 + 3 + 10.6667 = 16.6667 turns; 2933.333 in if the climb cost no film, the helix being
    // sqrt(1 + (9/176)^2) = 1.00130661 longer.
    let (programme, load, width) = example_a();
    let pattern = Pattern::new(&programme, &load, width).unwrap();
    near(pattern.travel().inches(), 48.0, 1e-12);
    near(pattern.turns(), 16.666_666_666_666_67, 1e-12);
    let flat = pattern.turns() * load.perimeter().inches();
    near(flat, 2_933.333_333, 1e-9);
    let helix = 2.0 * 48.0 / 9.0 * 176.0 * (1.001_306_61 - 1.0);
    near(pattern.path().inches(), flat + helix, 1e-8);
    // Half way up there are w / p = 2 layers a pass, two passes; at each angle the same.
    let middle = inches(32.0).m();
    near(pattern.layers_at(middle), 4.0, 1e-12);
    assert_eq!(pattern.range_at(middle), (4, 4));
    // In the bottom band 3 and the first turns of the passes: 12 in up from the start, 12/9 each.
    near(
        pattern.layers_at(inches(13.0).m()),
        3.0 + 2.0 * 12.0 / 9.0,
        1e-12,
    );
    assert_eq!(pattern.assumptions(), []);
}

#[test]
fn worked_example_in_millimetres() {
    // By hand: P = 4 m, travel 1644 + 50 - 450 - 44 = 1200 mm, 4 turns a pass, 13 turns, 52 m flat.
    let (programme, load, width) = example_b();
    let pattern = Pattern::new(&programme, &load, width).unwrap();
    near(pattern.travel().mm(), 1_200.0, 1e-12);
    near(pattern.turns(), 13.0, 1e-12);
    near(pattern.turns() * load.perimeter().m(), 52.0, 1e-12);
    near(
        pattern.path().m(),
        20.0 + 8.0 * (16.0_f64 + 0.09).sqrt(),
        1e-12,
    );
    // w / p = 1.5 a pass: three on average, and never the same all the way round.
    near(pattern.layers_at(0.8), 3.0, 1e-12);
    let (fewest, most) = pattern.range_at(0.8);
    assert!(fewest >= 2 && most <= 4 && fewest < most, "{fewest} {most}");
}

#[test]
fn one_pass_shows_the_whole_layers_on_either_side_of_its_mean() {
    // w = 18: pitch 9 gives 2 everywhere, 6 gives 3, 12 gives 1 and 2 by turns, 24 bare stripes.
    let (_, load, width) = example_a();
    for (pitch, range) in [(9.0, (2, 2)), (6.0, (3, 3)), (12.0, (1, 2)), (24.0, (0, 1))] {
        let helix = Segment::Helix {
            from_m: 0.0,
            to_m: inches(96.0).m(),
            pitch_m: inches(pitch).m(),
        };
        let pattern = Pattern::from_segments(vec![helix], &load, width).unwrap();
        for height in [20.0, 25.5, 31.0, 40.25, 60.0] {
            assert_eq!(
                pattern.range_at(inches(height).m()),
                range,
                "{pitch} {height}"
            );
        }
    }
}

#[test]
fn bare_stripes_are_found_and_where() {
    // One turn at the bottom, then a climb of 24 in a turn with film of 18 in: at each angle 6 in
    // of every 24 stay bare, so that some side is bare at every height between the bands.
    let (mut programme, load, width) = example_a();
    programme.bottom_turns = 1.0;
    programme.top_turns = 1.0;
    programme.pitch_up = Some(inches(24.0));
    programme.pitch_down = None;
    let pattern = Pattern::new(&programme, &load, width).unwrap();
    let bare = pattern.bare();
    let expected = [(0.0, 1.0, BareWhere::Below), (19.0, 49.0, BareWhere::Gap)];
    assert_eq!(bare.len(), expected.len(), "{bare:?}");
    for (found, (from, to, place)) in bare.iter().zip(expected) {
        assert!((found.from_m - inches(from).m()).abs() < 1e-9, "{found:?}");
        assert!((found.to_m - inches(to).m()).abs() < 1e-9, "{found:?}");
        assert_eq!(found.place, place);
    }
    // With enough overlap only what lies under the start is bare.
    let (programme, load, width) = example_a();
    let bare = Pattern::new(&programme, &load, width).unwrap().bare();
    assert_eq!(
        bare,
        [Bare {
            from_m: 0.0,
            to_m: inches(1.0).m(),
            place: BareWhere::Below
        }]
    );
}

#[test]
fn film_as_wide_as_the_load_goes_round_at_the_start() {
    let (programme, mut load, width) = example_a();
    load.height = inches(15.0);
    let pattern = Pattern::new(&programme, &load, width).unwrap();
    assert_eq!(pattern.assumptions(), [Assumption::FilmTooWideToTravel]);
    near(pattern.turns(), 6.0, 1e-12);
    assert_eq!(pattern.travel(), Length::ZERO);
    near(pattern.layers_at(0.2), 6.0, 1e-12);
    // From 1 to 19 in; what stands above 15 in folds over the top.
    near(pattern.area_over_top(), 6.0 * inches(4.0).m(), 1e-12);
}

#[test]
fn the_programme_of_a_setup() {
    let width = inches(18.0);
    let mut settings = Settings {
        bottom_turns: Some(3.0),
        top_turns: Some(2.0),
        up: Some(Spiral::Overlap("10 in".parse().unwrap())),
        down: Some(Spiral::Pitch("9 in".parse().unwrap())),
        over_top: Some("2 in".parse().unwrap()),
        start_height: Some("1 in".parse().unwrap()),
        ..Settings::default()
    };
    let (programme, notes) = Programme::of(&settings, width).unwrap();
    near(programme.pitch_up.unwrap().inches(), 8.0, 1e-12);
    near(programme.pitch_down.unwrap().inches(), 9.0, 1e-12);
    assert_eq!(notes, []);

    settings.start_height = None;
    settings.over_top = None;
    settings.down = None;
    let (programme, notes) = Programme::of(&settings, width).unwrap();
    assert_eq!(programme.pitch_down, None);
    assert_eq!(programme.start, Length::ZERO);
    assert_eq!(
        notes,
        [
            Assumption::NoPassDown,
            Assumption::StartsAtFloor,
            Assumption::LevelWithTop
        ]
    );
    let refused = |change: &dyn Fn(&mut Settings)| {
        let mut settings = settings.clone();
        change(&mut settings);
        Programme::of(&settings, width).unwrap_err()
    };
    let pitch = |text: &str| Some(Spiral::Pitch(text.parse().unwrap()));
    let overlap = |text: &str| Some(Spiral::Overlap(text.parse().unwrap()));
    assert_eq!(refused(&|s| s.up = None), PatternError::NoPitch);
    assert_eq!(
        refused(&|s| s.up = pitch("0 in")),
        PatternError::PitchNotMoreThanZero
    );
    assert_eq!(
        refused(&|s| s.up = overlap("18 in")),
        PatternError::OverlapTooWide
    );
    assert_eq!(
        refused(&|s| s.bottom_turns = None),
        PatternError::NoBottomTurns
    );
    assert_eq!(refused(&|s| s.top_turns = None), PatternError::NoTopTurns);
    assert_eq!(
        refused(&|s| s.top_turns = Some(f64::NAN)),
        PatternError::TurnsNotANumber
    );
    assert_eq!(
        Programme::of(&settings, Length::ZERO).unwrap_err(),
        PatternError::FilmWidthOutOfReach
    );
}

#[test]
fn what_cannot_be_is_refused_in_words() {
    let (programme, load, width) = example_a();
    let none = Programme {
        bottom_turns: 0.0,
        top_turns: 0.0,
        pitch_up: None,
        pitch_down: None,
        ..programme
    };
    let refused = |programme: &Programme| Pattern::new(programme, &load, width).unwrap_err();
    assert_eq!(refused(&none), PatternError::NoTurns);
    let torn = Programme {
        pitch_up: None,
        pitch_down: None,
        ..programme
    };
    assert_eq!(refused(&torn), PatternError::NoWayUp);
    let fine = Programme {
        pitch_up: Some(m(1e-6)),
        ..programme
    };
    assert_eq!(refused(&fine), PatternError::TooManyTurns);
    let flat = Wrapped {
        height: Length::ZERO,
        ..load
    };
    assert_eq!(
        Pattern::new(&programme, &flat, width).unwrap_err(),
        PatternError::LoadOutOfReach
    );
}

#[test]
fn film_that_misses_the_load_is_said() {
    let (programme, load, width) = example_b();
    let over = Programme {
        over_top: m(0.45),
        ..programme
    };
    let pattern = Pattern::new(&over, &load, width).unwrap();
    assert_eq!(pattern.assumptions(), [Assumption::OverTopBeyondFilm]);
    // By hand: on the load's last centimetre lie 0.45/0.3 layers of each pass, and of the three
    // turns at the top, whose lower edge stands at the load's top, none.
    near(pattern.mean_layers(1.634, 1.644), 2.0 * 0.45 / 0.3, 1e-12);
    let high = Programme {
        start: m(1.7),
        ..programme
    };
    let pattern = Pattern::new(&high, &load, width).unwrap();
    assert_eq!(pattern.assumptions(), [Assumption::StartsAboveLoad]);
    assert!(pattern.mean_layers(0.0, 1.644) <= 0.0);
}
