//! Means and standard deviations against the NIST Statistical Reference Datasets.
//!
//! The data files name the certified values, which NIST computed in multiple precision and
//! prints to 15 digits (<https://www.itl.nist.gov/div898/strd/univ/homepage.html>). Agreement is
//! counted in digits by the log relative error that NIST recommends, LRE = −log₁₀(|x − c| / |c|).

use tautbook_core::analysis::statistics::summarise;

/// Digits of agreement, 15 at most: no more are certified.
fn lre(value: f64, certified: f64) -> f64 {
    let error = ((value - certified) / certified).abs();
    if error > 0.0 {
        (-error.log10()).min(15.0)
    } else {
        15.0
    }
}

struct DataSet {
    readings: Vec<f64>,
    mean: f64,
    sd: f64,
}

fn parse(text: &str) -> DataSet {
    let certified = |label: &str| -> f64 {
        let line = text.lines().find(|line| line.starts_with(label)).unwrap();
        line.rsplit(':').next().unwrap().trim().parse().unwrap()
    };
    let readings: Vec<f64> = text
        .lines()
        .skip_while(|line| !line.starts_with("-----"))
        .skip(1)
        .map(|line| line.trim().parse().unwrap())
        .collect();
    let announced = certified("Number of Observations");
    assert_eq!(readings.len().to_string(), announced.to_string());
    DataSet {
        readings,
        mean: certified("Sample Mean"),
        sd: certified("Sample Standard Deviation"),
    }
}

/// Checks a data set to at least the given digits of mean and standard deviation.
fn check(name: &str, text: &str, mean_digits: f64, sd_digits: f64) {
    let set = parse(text);
    let summary = summarise(&set.readings).unwrap();
    let mean = lre(summary.mean, set.mean);
    let sd = lre(summary.sd.unwrap(), set.sd);
    println!("{name}: LRE mean {mean:.2}, standard deviation {sd:.2}");
    assert!(
        mean >= mean_digits,
        "{name}: mean agrees to {mean:.2} digits only"
    );
    assert!(
        sd >= sd_digits,
        "{name}: standard deviation agrees to {sd:.2} digits only"
    );
}

macro_rules! nist {
    ($($(#[$note:meta])* $test:ident: $file:literal, $mean:literal, $sd:literal;)*) => {$(
        $(#[$note])*
        #[test]
        fn $test() {
            let text = include_str!(concat!("data/nist-strd/", $file, ".dat"));
            check($file, text, $mean, $sd);
        }
    )*};
}

// Where fewer than 14 digits of the standard deviation are asked for, the data as doubles hold no
// more: the exact standard deviation of the nearest doubles agrees with the certified one to
// 13.12 (Mavro), 13.84 (Michelso), 9.45 (NumAcc3) and 8.25 (NumAcc4) digits.
nist! {
    lew: "Lew", 15.0, 14.8;
    lottery: "Lottery", 14.8, 14.8;
    mavro: "Mavro", 14.8, 13.1;
    michelso: "Michelso", 14.8, 13.8;
    pi_digits: "PiDigits", 14.8, 14.8;
    num_acc_1: "NumAcc1", 15.0, 15.0;
    num_acc_2: "NumAcc2", 15.0, 14.8;
    num_acc_3: "NumAcc3", 15.0, 9.45;
    num_acc_4: "NumAcc4", 15.0, 8.25;
}

/// What the readings lose by being doubles is all that is lost: against the exact standard
/// deviation of the doubles (60-digit decimal arithmetic, rounded) the result is good to the last digit.
#[test]
fn only_the_doubles_limit_the_digits() {
    let exact = [
        (
            include_str!("data/nist-strd/Mavro.dat"),
            0.000_429_123_454_003_085_4,
        ),
        (
            include_str!("data/nist-strd/Michelso.dat"),
            0.079_010_547_819_050_66,
        ),
        (
            include_str!("data/nist-strd/NumAcc2.dat"),
            0.099_999_999_999_999_98,
        ),
        (
            include_str!("data/nist-strd/NumAcc3.dat"),
            0.100_000_000_034_924_6,
        ),
        (
            include_str!("data/nist-strd/NumAcc4.dat"),
            0.100_000_000_558_793_54,
        ),
    ];
    for (text, sd) in exact {
        let found = summarise(&parse(text).readings).unwrap().sd.unwrap();
        assert!(
            ((found - sd) / sd).abs() <= 2.0 * f64::EPSILON,
            "{found} instead of {sd}"
        );
    }
}

/// The check can fail: the textbook one-pass formula has no digit right on `NumAcc4`.
#[test]
fn the_one_pass_formula_would_fail() {
    let set = parse(include_str!("data/nist-strd/NumAcc4.dat"));
    let n = 1001.0;
    let sum: f64 = set.readings.iter().sum();
    let squares: f64 = set.readings.iter().map(|x| x * x).sum();
    let sd = ((squares - sum * sum / n) / (n - 1.0)).max(0.0).sqrt();
    assert!(lre(sd, set.sd) < 2.0, "{sd}");
}
