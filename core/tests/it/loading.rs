//! Which way up the roll goes, from first principles.
//!
//! Nothing here knows a rule. A roll is a spiral of film with a direction that points out of it.
//! The film is pulled off along its tangent, led round rollers by common tangents and laid on the
//! load; the direction that pointed out of the roll is carried along, step by small step, always
//! square to the film; and at the load it is seen which side touches. That is done for every
//! wrapper, rotation, way up of the roll, cling side and path over up to four rollers, and the
//! answers of the program are held against it.

use std::f64::consts::{PI, TAU};

use tautbook_core::analysis::loading::{LoadingQuestion, PathVerdict, TACK_TEST, WayUp, loading};
use tautbook_core::language::Language;
use tautbook_core::survey::{ClingSide, Rotation, Threading, Wrapper, WrapperKind};

/// A vector seen from above.
#[derive(Debug, Clone, Copy)]
struct V(f64, f64);

impl V {
    fn plus(self, other: Self) -> Self {
        Self(self.0 + other.0, self.1 + other.1)
    }
    fn minus(self, other: Self) -> Self {
        self.plus(other.times(-1.0))
    }
    fn times(self, k: f64) -> Self {
        Self(self.0 * k, self.1 * k)
    }
    fn dot(self, other: Self) -> f64 {
        self.0 * other.0 + self.1 * other.1
    }
    /// The upward part of the vector product: more than zero when `other` lies anticlockwise.
    fn cross(self, other: Self) -> f64 {
        self.0 * other.1 - self.1 * other.0
    }
    fn turned(self, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self(cos * self.0 - sin * self.1, sin * self.0 + cos * self.1)
    }
    fn unit(self) -> Self {
        self.times(1.0 / self.0.hypot(self.1))
    }
}

/// A round thing the film runs about; `sense` is +1 when it turns anticlockwise, −1 clockwise.
#[derive(Debug, Clone, Copy)]
struct Round {
    centre: V,
    radius: f64,
    sense: f64,
}

impl Round {
    /// Where the film, travelling along `along`, touches it: there the surface moves with the
    /// film, sense × (ẑ × n) = along, so that n = sense × (along turned by −90°).
    fn touch(&self, along: V) -> V {
        let normal = along.turned(-PI / 2.0).times(self.sense);
        self.centre.plus(normal.times(self.radius))
    }
}

/// Direction of the straight film from one round thing to the next: the common tangent along
/// which the surface of either moves with the film.
fn tangent(from: &Round, to: &Round) -> V {
    let apart = to.centre.minus(from.centre);
    let sine = -(to.sense * to.radius - from.sense * from.radius) / apart.0.hypot(apart.1);
    let along = apart.unit().turned(sine.asin());
    let straight = to.touch(along).minus(from.touch(along));
    assert!(straight.cross(along).abs() < 1e-9 && straight.dot(along) > 0.0);
    along
}

/// Film wound on a core, from the core to the loose end, seen from above; turned upside down
/// about the x axis when `flipped`.
fn spiral(centre: V, outer: f64, flipped: bool) -> Vec<V> {
    (0..=400)
        .map(|step| {
            let share = f64::from(step) / 400.0;
            let on = V(outer * (0.9 + 0.1 * share), 0.0).turned(share * 4.0 * TAU);
            let on = if flipped { V(on.0, -on.1) } else { on };
            centre.plus(on)
        })
        .collect()
}

/// Which way the roll turns as film is drawn off it: material at the loose end leaves along the
/// film, away from the core.
fn unwinding_sense(film: &[V], centre: V) -> f64 {
    let [.., before, end] = film else {
        panic!("a spiral has points")
    };
    end.minus(centre).cross(end.minus(*before)).signum()
}

/// Which way the load turns as seen from where the film comes from. `turning` is the rotation as
/// recorded: of the load on a turntable, of the film's carrier about it otherwise.
fn load_sense(kind: WrapperKind, turning: f64) -> f64 {
    let small = 1e-3 * turning;
    let mark = V(1.0, 0.0); // on the load, at its front
    let moved = match kind {
        WrapperKind::Turntable => mark.turned(small),
        // The mark stands; the one who rides on the carrier has turned by `small`, and sees
        // everything turned back by as much.
        WrapperKind::RotatingArm | WrapperKind::Ring => mark.turned(-small),
        WrapperKind::Other => panic!("not known what turns"),
    };
    mark.cross(moved.minus(mark)).signum()
}

/// What was seen at the end of one film path.
struct Seen {
    /// The side that faced out of the roll lies on the load.
    outside_on_load: bool,
    /// How often the film changed from bending one way to bending the other.
    reversals: u8,
}

/// Runs film from the roll over the rollers to the load.
fn run(roll_film: &[V], bodies: &[Round]) -> Seen {
    // Directions of travel, one after the other in small steps, each with the body it runs on.
    let roll = bodies[0];
    let mut directions: Vec<V> = roll_film
        .windows(2)
        .map(|pair| pair[1].minus(pair[0]).unit())
        .collect();
    // On the roll the side seen from outside points away from the middle.
    let start = roll_film[0].minus(roll.centre).unit();
    let on_roll = directions.len();
    let mut along = *directions.last().unwrap();
    let mut turn_to = |directions: &mut Vec<V>, target: V, sense: f64| {
        // Round a body the film turns with it, all the way to the direction it leaves by.
        let left = along.cross(target).atan2(along.dot(target)) * sense;
        let angle = left.rem_euclid(TAU);
        for step in 1..=720 {
            directions.push(along.turned(sense * angle * f64::from(step) / 720.0));
        }
        along = target;
    };
    for pair in bodies.windows(2) {
        turn_to(&mut directions, tangent(&pair[0], &pair[1]), pair[0].sense);
    }
    let load = bodies.last().unwrap();
    let last = directions.last().unwrap().turned(load.sense * 4.0);
    turn_to(&mut directions, last, load.sense);

    let mut normal = start;
    for direction in &directions {
        let left = direction.turned(PI / 2.0);
        let side = left.dot(normal);
        assert!(side.abs() > 0.9, "steps small enough not to lose the side");
        normal = left.times(side.signum());
    }
    let end = load.touch(*directions.last().unwrap());
    let towards = load.centre.minus(end).dot(normal);

    let mut reversals = 0;
    let mut bend = 0.0_f64;
    for pair in directions[on_roll - 1..].windows(2) {
        let turn = pair[0].cross(pair[1]);
        if turn.abs() > 1e-9 {
            if bend * turn < 0.0 {
                reversals += 1;
            }
            bend = turn;
        }
    }
    Seen {
        outside_on_load: towards > 0.0,
        reversals,
    }
}

/// Roll, rollers that turn as `senses` say, and load, in one of three arrangements.
fn bodies(layout: u32, roll_sense: f64, senses: &[f64], load: f64) -> Vec<Round> {
    let radii = [0.05, 0.08, 0.06, 0.04];
    let mut all = vec![Round {
        centre: V(0.0, 0.0),
        radius: 0.125,
        sense: roll_sense,
    }];
    for (place, &sense) in senses.iter().enumerate() {
        let x = 0.45 + 0.35 * f64::from(u8::try_from(place).unwrap());
        let y = match layout {
            0 => 0.0,
            1 => 0.2 * if place % 2 == 0 { 1.0 } else { -1.0 },
            _ => -0.15 * x,
        };
        all.push(Round {
            centre: V(x, y),
            radius: radii[place],
            sense,
        });
    }
    all.push(Round {
        centre: V(3.2, if layout == 2 { 0.8 } else { 0.0 }),
        radius: 0.8,
        sense: load,
    });
    all
}

const KINDS: [WrapperKind; 3] = [
    WrapperKind::Turntable,
    WrapperKind::RotatingArm,
    WrapperKind::Ring,
];

fn turning(rotation: Rotation) -> f64 {
    match rotation {
        Rotation::Clockwise => -1.0,
        Rotation::Anticlockwise => 1.0,
    }
}

fn rotation(sense: f64) -> Rotation {
    if sense > 0.0 {
        Rotation::Anticlockwise
    } else {
        Rotation::Clockwise
    }
}

/// Calls back with every wrapper, way up and path: the wrapper with its path as seen, the film
/// run through it, and which way the roll turned.
fn every_path(mut each: impl FnMut(&Wrapper, &Seen, Rotation)) {
    for kind in KINDS {
        for recorded in [Rotation::Clockwise, Rotation::Anticlockwise] {
            for flipped in [false, true] {
                for rollers in 0..=4_u32 {
                    for pattern in 0..2_u32.pow(rollers) {
                        for layout in 0..3 {
                            let senses: Vec<f64> = (0..rollers)
                                .map(|bit| if pattern >> bit & 1 == 1 { 1.0 } else { -1.0 })
                                .collect();
                            let film = spiral(V(0.0, 0.0), 0.125, flipped);
                            let roll = unwinding_sense(&film, V(0.0, 0.0));
                            let load = load_sense(kind, turning(recorded));
                            let seen = run(&film, &bodies(layout, roll, &senses, load));
                            let wrapper = Wrapper {
                                kind,
                                rotation: Some(recorded),
                                ..Wrapper::default()
                            };
                            each(&wrapper, &seen, rotation(roll));
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn the_sticky_side_is_where_the_vectors_put_it() {
    let mut held = 0;
    every_path(|bare, seen, roll| {
        for (cling, on_load) in [
            (ClingSide::Outside, seen.outside_on_load),
            (ClingSide::Inside, !seen.outside_on_load),
        ] {
            // Without the path: the way up named is the one that puts cling on the load.
            let answer = loading(bare, Some(cling)).unwrap();
            let WayUp::Unwinds(needed) = answer.way_up else {
                panic!("one side clings, one way up works")
            };
            assert_eq!(needed == roll, on_load, "{bare:?} {cling:?}");
            assert_eq!(answer.path, PathVerdict::NotLookedAt);
            // With it: whether the film as threaded does so.
            let verdict = if on_load {
                PathVerdict::ClingsToLoad
            } else {
                PathVerdict::FacesAway
            };
            for (roll_turns, reversals) in [
                (Some(roll), None),
                (None, Some(seen.reversals)),
                (Some(roll), Some(seen.reversals)),
            ] {
                let threading = Some(Threading {
                    roll_turns,
                    reversals,
                });
                let wrapper = Wrapper {
                    threading,
                    ..bare.clone()
                };
                let answer = loading(&wrapper, Some(cling)).unwrap();
                assert_eq!(answer.path, verdict, "{wrapper:?} {cling:?}");
                assert_eq!(answer.way_up, WayUp::Unwinds(needed));
                held += 1;
            }
        }
    });
    assert_eq!(held, 3 * 2 * 2 * 31 * 3 * 2 * 3);
}

#[test]
fn a_path_that_cannot_be_is_asked_about() {
    every_path(|bare, seen, roll| {
        let wrapper = Wrapper {
            threading: Some(Threading {
                roll_turns: Some(roll),
                reversals: Some(seen.reversals + 1),
            }),
            ..bare.clone()
        };
        for cling in [ClingSide::Inside, ClingSide::Outside, ClingSide::Both] {
            assert_eq!(
                loading(&wrapper, Some(cling)),
                Err(LoadingQuestion::Path),
                "{wrapper:?}"
            );
        }
    });
}

#[test]
fn film_that_clings_on_both_sides_goes_either_way() {
    every_path(|bare, seen, roll| {
        let answer = loading(bare, Some(ClingSide::Both)).unwrap();
        assert_eq!(answer.way_up, WayUp::Either);
        assert!(answer.to_string().contains("either way up works"));
        let wrapper = Wrapper {
            threading: Some(Threading {
                roll_turns: None,
                reversals: Some(seen.reversals),
            }),
            ..bare.clone()
        };
        let answer = loading(&wrapper, Some(ClingSide::Both)).unwrap();
        assert_eq!(answer.way_up, WayUp::Unwinds(roll), "to fit the path");
        assert_eq!(answer.path, PathVerdict::ClingsToLoad);
    });
    let unknown = loading(&Wrapper::default(), Some(ClingSide::Both)).unwrap();
    assert_eq!(unknown.way_up, WayUp::Either, "whichever way it turns");
}

#[test]
fn what_is_not_known_is_asked() {
    let clockwise = |kind| Wrapper {
        kind,
        rotation: Some(Rotation::Clockwise),
        ..Wrapper::default()
    };
    let turntable = clockwise(WrapperKind::Turntable);
    assert_eq!(loading(&turntable, None), Err(LoadingQuestion::Cling));
    let inside = Some(ClingSide::Inside);
    assert_eq!(
        loading(&Wrapper::default(), inside),
        Err(LoadingQuestion::Rotation)
    );
    assert_eq!(
        loading(&clockwise(WrapperKind::Other), inside),
        Err(LoadingQuestion::WhichTurns)
    );
}

#[test]
fn every_answer_asks_for_the_finger() {
    every_path(|bare, seen, _| {
        for cling in [ClingSide::Inside, ClingSide::Outside, ClingSide::Both] {
            let wrapper = Wrapper {
                threading: Some(Threading {
                    roll_turns: None,
                    reversals: Some(seen.reversals),
                }),
                ..bare.clone()
            };
            let text = loading(&wrapper, Some(cling)).unwrap().to_string();
            assert!(text.ends_with(TACK_TEST.said(Language::English)), "{text}");
            let rides = text.contains("goes round the load");
            assert_eq!(rides, bare.kind != WrapperKind::Turntable, "{text}");
        }
    });
}
