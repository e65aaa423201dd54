//! Film weighed: net mass and film per load.

use tautbook_core::analysis::film::{film_per_load, net_mass};
use tautbook_core::survey::{Entity as _, FilmWeight, Id, Moment, Record, SetAside};
use uuid::Uuid;

fn weight(gross: &str, tare: Option<&str>, loads_together: u32) -> Record<FilmWeight> {
    let at = Moment::from_unix_ms(1_772_600_000_000, -300).unwrap();
    Record {
        id: Id::from_uuid(Uuid::from_u128(1)),
        created: at,
        changed: at,
        device: Uuid::from_u128(1),
        set_aside: None,
        body: FilmWeight {
            load: Id::from_uuid(Uuid::from_u128(2)),
            tool: None,
            gross: gross.parse().unwrap(),
            tare: tare.map(|tare| tare.parse().unwrap()),
            loads_together,
            taken_at: at,
            notes: String::new(),
        },
    }
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-12 * b.abs(), "{a} is not {b}");
}

#[test]
fn net_is_gross_less_tare() {
    near(
        net_mass(&weight("230 g", Some("20 g"), 1)).unwrap().g(),
        210.0,
    );
    near(net_mass(&weight("230 g", None, 1)).unwrap().g(), 230.0);
    near(
        net_mass(&weight("1 lb 1 oz", Some("1 oz"), 3))
            .unwrap()
            .lb(),
        1.0,
    );
    for (gross, tare) in [("20 g", "20 g"), ("20 g", "21 g"), ("0 g", "0 g")] {
        let nothing = weight(gross, Some(tare), 1);
        assert_eq!(net_mass(&nothing), None, "no film on the scale");
        assert!(nothing.check().is_err(), "and the book refuses it");
    }
}

#[test]
fn film_per_load_is_all_film_over_all_loads() {
    assert_eq!(film_per_load(&[], &[]), None);
    let one = film_per_load(&[weight("600 g", None, 3)], &[]).unwrap();
    assert_eq!(one.loads, 3);
    near(one.mass.g(), 200.0);
    assert_eq!(one.summary.n, 1);
    assert_eq!(one.interval, None, "one weighing says nothing of spread");

    // 630 g on three loads and 290 g on one: 920 g on four is 230 g, not the 250 g between the
    // two weighings.
    let unlike = film_per_load(
        &[weight("650 g", Some("20 g"), 3), weight("290 g", None, 1)],
        &[],
    )
    .unwrap();
    assert_eq!(unlike.loads, 4);
    near(unlike.mass.g(), 230.0);
    near(unlike.summary.mean, 0.250);
}

#[test]
fn the_interval_is_that_of_the_weighings() {
    // {14.2, 13.1, 15.0}: half-width 2.36971634 at 95 %, by scipy.stats.t.interval; here in
    // hundredths of a kilogram.
    let film = film_per_load(
        &[
            weight("142 g", None, 1),
            weight("131 g", None, 1),
            weight("150 g", None, 1),
        ],
        &[],
    )
    .unwrap();
    let half = film.interval.unwrap().half_width();
    assert!((half - 0.023_697_163_4).abs() < 5e-11, "{half}");
    near(film.mass.g(), 141.0);
}

#[test]
fn equal_weighings_are_known_to_the_step_of_the_scale() {
    // t is 12.706 for one degree of freedom and 2.262 for nine, both at 95 % (NIST/SEMATECH
    // e-Handbook, 1.3.6.7.2); the step of 0.1 oz leaves 2.835 g / sqrt(12) = 0.8184 g of each, with
    // a tare sqrt(2) of that, and ten on one step are no surer than two.
    for (n, tare, grams) in [
        (2, None, 10.398),
        (2, Some("20 g"), 14.706),
        (10, None, 1.851),
    ] {
        let weighed = vec![weight("220 g", tare, 1); n];
        let interval = film_per_load(&weighed, &[]).unwrap().interval.unwrap();
        assert!(interval.resolution_limited);
        let half = interval.half_width() * 1000.0;
        assert!((half - grams).abs() < 0.001, "{half}");
    }
    // Two loads together: half of it a load.
    let weighed = [weight("440 g", None, 2), weight("440 g", None, 2)];
    let interval = film_per_load(&weighed, &[]).unwrap().interval.unwrap();
    assert!((interval.half_width() * 1000.0 - 5.199).abs() < 0.001);
}

#[test]
fn a_weighing_set_aside_takes_no_part() {
    let mut aside = weight("9 kg", None, 1);
    aside.set_aside = Some(SetAside {
        at: aside.created,
        reason: "bag left on".to_owned(),
    });
    let film = film_per_load(&[weight("200 g", None, 1), aside.clone()], &[]).unwrap();
    assert_eq!(film.loads, 1);
    near(film.mass.g(), 200.0);
    assert_eq!(
        film_per_load(&[aside], &[]),
        None,
        "none in use is no film known"
    );
}

#[test]
fn what_no_weighing_can_be_gives_no_figure() {
    // The book refuses such records; one from elsewhere must not pass for a mass.
    assert_eq!(film_per_load(&[weight("200 g", None, 0)], &[]), None);
    assert_eq!(
        film_per_load(
            &[weight("200 g", None, 1), weight("20 g", Some("20 g"), 1)],
            &[]
        ),
        None,
        "said of none rather than of some"
    );
    assert_eq!(
        film_per_load(
            &[weight("1 g", None, u32::MAX), weight("1 g", None, 1)],
            &[]
        ),
        None
    );
}
