//! Analysis of variance: certified values, a worked gauge study, independent values, laws.

use proptest::prelude::*;
use serde_json::Value;
use tautbook_core::analysis::statistics::anova::{AnovaError, one_way};
use tautbook_core::analysis::statistics::gauge_study::{
    GaugeStudy, GaugeVerdict, POOL_ABOVE, gauge_study,
};

fn near(found: f64, expected: f64, relative: f64) {
    assert!(
        (found - expected).abs() <= relative * expected.abs(),
        "{found} is not {expected}"
    );
}

fn oracle() -> Value {
    serde_json::from_str(include_str!(
        "../../../tests/oracles/anova_statsmodels.json"
    ))
    .unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value
        .as_array()
        .unwrap()
        .iter()
        .map(|text| text.as_str().unwrap().parse().unwrap())
        .collect()
}

/// Digits of agreement, 15 at most: no more are certified.
fn digits(value: f64, certified: f64) -> f64 {
    let error = ((value - certified) / certified).abs();
    if error > 0.0 {
        (-error.log10()).min(15.0)
    } else {
        15.0
    }
}

/// The groups of a data file, and its certified F, R² and residual standard deviation.
fn parse(text: &str) -> (Vec<Vec<f64>>, [f64; 3]) {
    let last = |label: &str| -> f64 {
        let line = text.lines().find(|line| line.contains(label)).unwrap();
        line.split_whitespace().last().unwrap().parse().unwrap()
    };
    let certified = [
        // On the line between the groups: degrees of freedom, squares, mean square, F.
        text.lines()
            .skip(40)
            .find(|line| line.starts_with("Between"))
            .unwrap()
            .split_whitespace()
            .last()
            .unwrap()
            .parse()
            .unwrap(),
        last("Certified R-Squared"),
        last("Standard Deviation  "),
    ];
    let mut groups: Vec<Vec<f64>> = Vec::new();
    for line in text.lines().skip(60) {
        let mut parts = line.split_whitespace();
        let group: usize = parts.next().unwrap().parse().unwrap();
        groups.resize_with(group.max(groups.len()), Vec::new);
        groups[group - 1].push(parts.next().unwrap().parse().unwrap());
    }
    (groups, certified)
}

/// Against the certified values to the digits that the data as doubles still hold, and against
/// the exact values of those doubles to nearly all digits.
fn check(name: &str, text: &str, at_least: f64) {
    let (groups, certified) = parse(text);
    let table = one_way(&groups).unwrap();
    let found = [
        table.test.unwrap().statistic,
        table.r_squared.unwrap(),
        table.within.mean().unwrap().sqrt(),
    ];
    let of_doubles = numbers(&oracle()["nist_doubles"][name]);
    for ((value, certified), exact) in found.iter().zip(certified).zip(of_doubles) {
        let (held, reached) = (digits(exact, certified), digits(*value, certified));
        println!(
            "{name}: {reached:.2} digits certified (the doubles hold {held:.2}), {:.2} of the doubles",
            digits(*value, exact)
        );
        assert!(reached >= at_least, "{name}: {reached:.2} digits only");
        assert!(digits(*value, exact) >= 14.0, "{name}: {value} for {exact}");
    }
}

macro_rules! nist {
    ($($test:ident: $file:literal, $digits:literal;)*) => {$(
        /// NIST Statistical Reference Datasets, analysis of variance; the file names the
        /// certified values.
        #[test]
        fn $test() {
            let text = include_str!(concat!("data/nist-strd/anova/", $file, ".dat"));
            check($file, text, $digits);
        }
    )*};
}

// The digits asked for are the digits that are left once the data are written as doubles: in
// SmLs07 to SmLs09 the first of the two digits that vary is the thirteenth.
nist! {
    si_rstv: "SiRstv", 13.0;
    sm_ls_01: "SmLs01", 15.0;
    sm_ls_02: "SmLs02", 15.0;
    sm_ls_03: "SmLs03", 15.0;
    atm_wt_ag: "AtmWtAg", 10.1;
    sm_ls_04: "SmLs04", 10.4;
    sm_ls_05: "SmLs05", 10.2;
    sm_ls_06: "SmLs06", 10.1;
    sm_ls_07: "SmLs07", 4.4;
    sm_ls_08: "SmLs08", 4.1;
    sm_ls_09: "SmLs09", 4.1;
}

/// The check can fail: the textbook sums of squares about zero lose `SmLs07` altogether.
#[test]
fn the_one_pass_formula_would_fail() {
    let text = include_str!("data/nist-strd/anova/SmLs07.dat");
    let (groups, certified) = parse(text);
    let all: Vec<f64> = groups.iter().flatten().copied().collect();
    let n = f64::from(u32::try_from(all.len()).unwrap());
    let correction = all.iter().sum::<f64>().powi(2) / n;
    let between: f64 = groups
        .iter()
        .map(|g| g.iter().sum::<f64>().powi(2) / f64::from(u32::try_from(g.len()).unwrap()))
        .sum::<f64>()
        - correction;
    let total = all.iter().map(|x| x * x).sum::<f64>() - correction;
    let f = (between / 8.0) / ((total - between) / 180.0);
    assert!(digits(f, certified[0]) < 1.0, "{f}");
}

/// Worked in the manner of ISO 5725-2 on readings of our own; figures by scipy 1.17.
#[test]
fn repeatability_and_reproducibility() {
    let table = one_way(&[
        vec![12.1, 12.4, 11.9],
        vec![13.0, 12.7, 13.3],
        vec![12.2, 12.6, 12.0],
    ])
    .unwrap();
    near(table.between.mean().unwrap(), 0.653_333_33, 3e-8);
    near(table.within.mean().unwrap(), 0.082_222_22, 1e-7);
    let test = table.test.unwrap();
    near(test.statistic, 7.945_945_95, 1e-9);
    near(test.p, 0.020_587_512_07, 1e-9);
    near(table.n0, 3.0, 1e-15);
    let precision = table.precision(0.0).unwrap();
    near(precision.repeatability_sd, 0.286_744_18, 3e-8);
    near(precision.between_sd, 0.436_314_53, 3e-8);
    near(precision.reproducibility_sd, 0.522_104_01, 3e-8);
    near(precision.repeatability_limit, 0.802_883_69, 3e-8);
    near(precision.reproducibility_limit, 1.461_891_22, 3e-8);
    assert!(!precision.between_set_to_zero && !precision.resolution_limited);
}

#[test]
fn groups_that_do_not_differ_have_no_variance_between() {
    let table = one_way(&[vec![10.0, 12.0], vec![11.0, 11.0], vec![10.5, 11.5]]).unwrap();
    let precision = table.precision(0.0).unwrap();
    assert!(precision.between_set_to_zero);
    near(precision.between_sd, 0.0, 0.0);
    near(
        precision.reproducibility_sd,
        precision.repeatability_sd,
        1e-15,
    );

    let alike = one_way(&[vec![10.0, 10.0], vec![10.0, 10.0]]).unwrap();
    assert_eq!((alike.test, alike.r_squared), (None, None));
    let precision = alike.precision(0.6).unwrap();
    assert!(precision.resolution_limited);
    near(precision.repeatability_sd, 0.6 / 12.0_f64.sqrt(), 1e-15);
}

#[test]
fn scipy_and_statsmodels_agree_one_way() {
    let oracle = oracle();
    let rows = oracle["one_way"].as_array().unwrap();
    assert_eq!(rows.len(), 4);
    let mut mixed = 0;
    for row in rows {
        let groups: Vec<Vec<f64>> = row["groups"]
            .as_array()
            .unwrap()
            .iter()
            .map(numbers)
            .collect();
        let table = one_way(&groups).unwrap();
        let expected = numbers(&row["f_p"]);
        near(table.test.unwrap().statistic, expected[0], 1e-11);
        near(table.test.unwrap().p, expected[1], 1e-9);
        if let Some(expected) = row.get("mixed_sr_sl").map(numbers) {
            let precision = table.precision(0.0).unwrap();
            near(precision.repeatability_sd, expected[0], 1e-4);
            near(precision.between_sd, expected[1], 1e-3);
            mixed += 1;
        }
    }
    assert_eq!(mixed, 2);
}

#[test]
fn uneven_groups_have_their_n0() {
    // n0 = (18 − (4 + 16 + 144)/18) / 2 by hand.
    let groups = [vec![1.0, 2.0], vec![3.0, 4.0, 3.5, 3.2], vec![2.0; 12]];
    near(
        one_way(&groups).unwrap().n0,
        (18.0 - 164.0 / 18.0) / 2.0,
        1e-15,
    );
}

/// Ten parts, three people, three trials: the worked example of the manual of measurement systems
/// analysis used in car making; readings and results from memory, the results confirmed by
/// working the readings out independently.
fn worked_study() -> Vec<Vec<Vec<f64>>> {
    const BY_PERSON: [[[f64; 3]; 10]; 3] = [
        [
            [0.29, 0.41, 0.64],
            [-0.56, -0.68, -0.58],
            [1.34, 1.17, 1.27],
            [0.47, 0.50, 0.64],
            [-0.80, -0.92, -0.84],
            [0.02, -0.11, -0.21],
            [0.59, 0.75, 0.66],
            [-0.31, -0.20, -0.17],
            [2.26, 1.99, 2.01],
            [-1.36, -1.25, -1.31],
        ],
        [
            [0.08, 0.25, 0.07],
            [-0.47, -1.22, -0.68],
            [1.19, 0.94, 1.34],
            [0.01, 1.03, 0.20],
            [-0.56, -1.20, -1.28],
            [-0.20, 0.22, 0.06],
            [0.47, 0.55, 0.83],
            [-0.63, 0.08, -0.34],
            [1.80, 2.12, 2.19],
            [-1.68, -1.62, -1.50],
        ],
        [
            [0.04, -0.11, -0.15],
            [-1.38, -1.13, -0.96],
            [0.88, 1.09, 0.67],
            [0.14, 0.20, 0.11],
            [-1.46, -1.07, -1.45],
            [-0.29, -0.67, -0.49],
            [0.02, 0.01, 0.21],
            [-0.46, -0.56, -0.49],
            [1.77, 1.45, 1.87],
            [-1.49, -1.77, -2.16],
        ],
    ];
    (0..10)
        .map(|part| BY_PERSON.iter().map(|rows| rows[part].to_vec()).collect())
        .collect()
}

#[test]
fn the_worked_gauge_study() {
    let study = gauge_study(&worked_study(), POOL_ABOVE, 0.0).unwrap();
    assert_eq!((study.parts, study.people, study.trials), (10, 3, 3));
    near(study.person.ss, 3.167_262_22, 1e-8);
    near(study.part.ss, 88.361_934_44, 1e-9);
    near(study.interaction.ss, 0.358_982_22, 1e-7);
    near(study.repeats.ss, 2.758_933_33, 1e-8);
    assert_eq!(
        [
            study.person.df,
            study.part.df,
            study.interaction.df,
            study.repeats.df
        ],
        [2, 9, 18, 60]
    );
    let test = study.interaction_test.unwrap();
    near(test.statistic, 0.433_721, 2e-6);
    near(test.p, 0.974_106_4, 1e-7); // scipy 1.17
    assert!(study.pooled);
    near(study.person_test.unwrap().statistic, 39.617_246, 1e-7);
    near(study.part_test.unwrap().statistic, 245.613_910, 1e-8);
    near(study.repeatability_sd, 0.199_933_18, 1e-7);
    near(study.person_sd, 0.226_837_52, 1e-7);
    near(study.gauge_sd, 0.302_371_52, 1e-7);
    near(study.part_sd, 1.042_327_49, 1e-8);
    near(study.total_sd, 1.085_299_56, 1e-8);
    near(study.gauge_percent.unwrap(), 27.8607, 2e-6);
    near(study.distinct.unwrap(), 4.8605, 1e-5);
    assert_eq!(study.classes(), Some(4));
    assert_eq!(study.verdict(), Some(GaugeVerdict::Conditional));
    // Unpooled the scatter is that of repeats alone.
    let study = gauge_study(&worked_study(), 0.99, 0.0).unwrap();
    assert!(!study.pooled);
    near(study.repeatability_sd, 0.045_982_22_f64.sqrt(), 1e-7);
    near(study.interaction_sd, 0.0, 0.0);
    assert!(study.set_to_zero);
}

#[test]
fn statsmodels_agrees_on_crossed_readings() {
    let oracle = oracle();
    let rows = oracle["crossed"].as_array().unwrap();
    assert_eq!(rows.len(), 3);
    let mut pooled = 0;
    for row in rows {
        let readings: Vec<Vec<Vec<f64>>> = row["readings"]
            .as_array()
            .unwrap()
            .iter()
            .map(|row| row.as_array().unwrap().iter().map(numbers).collect())
            .collect();
        let study = gauge_study(&readings, POOL_ABOVE, 0.0).unwrap();
        let ss = numbers(&row["ss"]);
        near(study.part.ss, ss[0], 1e-11);
        near(study.person.ss, ss[1], 1e-11);
        near(study.interaction.ss, ss[2], 1e-10);
        near(study.repeats.ss, ss[3], 1e-11);
        let expected = numbers(&row["interaction_f_p"]);
        let test = study.interaction_test.unwrap();
        near(test.statistic, expected[0], 1e-10);
        near(test.p, expected[1], 1e-9);
        assert_eq!(study.pooled, expected[1] > POOL_ABOVE);
        pooled += usize::from(study.pooled);
    }
    assert!((1..3).contains(&pooled), "both ways are met");
}

#[test]
fn one_trial_takes_the_interaction_for_scatter() {
    let once: Vec<Vec<Vec<f64>>> = worked_study()
        .iter()
        .map(|row| row.iter().map(|cell| vec![cell[0]]).collect())
        .collect();
    let study = gauge_study(&once, POOL_ABOVE, 0.0).unwrap();
    assert!(study.pooled && study.interaction_test.is_none());
    near(
        study.repeatability_sd,
        study.interaction.mean().unwrap().sqrt(),
        1e-14,
    );
    assert_eq!(study.person_test.unwrap().df_below, 18);
}

#[test]
fn refused() {
    assert_eq!(one_way(&[vec![1.0, 2.0]]), Err(AnovaError::TooFewGroups));
    assert_eq!(
        one_way(&[vec![1.0, 2.0], vec![]]),
        Err(AnovaError::EmptyGroup { index: 1 })
    );
    assert_eq!(one_way(&[vec![1.0], vec![2.0]]), Err(AnovaError::NoRepeats));
    assert_eq!(
        one_way(&[vec![1.0], vec![2.0, f64::NAN]]),
        Err(AnovaError::NotFinite { index: 2 })
    );
    assert_eq!(
        one_way(&[vec![1e308, -1e308], vec![2.0]]),
        Err(AnovaError::TooLarge)
    );
    let table = one_way(&[vec![1.0, 2.0], vec![3.0]]).unwrap();
    assert_eq!(table.precision(-1.0), Err(AnovaError::Resolution(-1.0)));

    let study = |readings: &[Vec<Vec<f64>>]| gauge_study(readings, 0.25, 0.0).map(|_| ());
    assert_eq!(study(&[]), Err(AnovaError::TooFewGroups));
    assert_eq!(study(&[vec![vec![1.0]]]), Err(AnovaError::TooFewGroups));
    let row = |trials: &[f64]| vec![vec![1.0, 2.0], trials.to_vec()];
    assert_eq!(
        study(&[row(&[1.0, 2.0]), row(&[1.0])]),
        Err(AnovaError::Unbalanced)
    );
    assert_eq!(
        study(&[row(&[1.0, 2.0]), row(&[1.0, f64::NAN])]),
        Err(AnovaError::NotFinite { index: 7 })
    );
    assert_eq!(
        study(&[vec![vec![], vec![]], vec![vec![], vec![]]]),
        Err(AnovaError::EmptyGroup { index: 0 })
    );
    assert_eq!(
        gauge_study(&worked_study(), 1.0, 0.0).map(|_| ()),
        Err(AnovaError::Significance(1.0))
    );
}

fn numbers_of(study: &GaugeStudy) -> Vec<f64> {
    let mut all = vec![
        study.part.ss,
        study.person.ss,
        study.interaction.ss,
        study.repeats.ss,
        study.repeatability_sd,
        study.person_sd,
        study.interaction_sd,
        study.gauge_sd,
        study.part_sd,
        study.total_sd,
    ];
    all.extend(study.gauge_percent);
    all.extend(study.distinct);
    for test in [study.interaction_test, study.person_test, study.part_test]
        .into_iter()
        .flatten()
    {
        all.extend([test.statistic, test.p]);
    }
    all
}

fn any_reading() -> impl Strategy<Value = f64> {
    prop_oneof![
        1 => any::<f64>(),
        8 => -1e3..1e3_f64,
        1 => prop::sample::select(vec![0.0, 1.0, 1e-300, 1e150, 1e308, f64::NAN, f64::INFINITY]),
    ]
}

proptest! {
    #[test]
    fn whatever_comes_in_nothing_but_numbers_come_out(
        groups in prop::collection::vec(prop::collection::vec(any_reading(), 0..5), 0..5),
        study in (1..4_usize, 1..4_usize, 0..3_usize).prop_flat_map(|(p, o, r)| {
            prop::collection::vec(prop::collection::vec(
                prop::collection::vec(any_reading(), r..=r), o..=o), p..=p)
        }),
        pool in prop_oneof![Just(0.25), any::<f64>()],
        resolution in prop_oneof![Just(0.0), any::<f64>()],
    ) {
        if let Ok(table) = one_way(&groups) {
            let mut all = vec![table.mean, table.between.ss, table.within.ss, table.n0];
            all.extend(table.r_squared);
            all.extend(table.test.iter().flat_map(|test| [test.statistic, test.p]));
            if let Ok(precision) = table.precision(resolution) {
                all.extend([precision.repeatability_limit, precision.reproducibility_limit,
                            precision.between_sd]);
            }
            prop_assert!(all.iter().all(|x| x.is_finite()), "{:?}", all);
        }
        if let Ok(study) = gauge_study(&study, pool, resolution) {
            let all = numbers_of(&study);
            prop_assert!(all.iter().all(|x| x.is_finite() && *x >= 0.0), "{:?}", all);
        }
    }

    /// The parts of the table add up to all squares, and a shift of all readings changes nothing.
    #[test]
    fn squares_add_up(
        groups in prop::collection::vec(prop::collection::vec(-640_i32..640, 2..6), 2..5),
        shift in -1000_i32..1000,
    ) {
        let at = |by: i32| -> Vec<Vec<f64>> {
            groups.iter().map(|g| g.iter().map(|&k| f64::from(k + by) / 64.0).collect()).collect()
        };
        let table = one_way(&at(0)).unwrap();
        let all: Vec<f64> = at(0).concat();
        let mean = all.iter().sum::<f64>() / f64::from(u32::try_from(all.len()).unwrap());
        let total: f64 = all.iter().map(|x| (x - mean).powi(2)).sum();
        let parts = table.between.ss + table.within.ss;
        prop_assert!((parts - total).abs() <= 1e-10 * total.max(1e-6), "{} {}", parts, total);
        let moved = one_way(&at(shift)).unwrap();
        prop_assert!((moved.between.ss - table.between.ss).abs() <= 1e-9 * total.max(1e-6));
    }
}
