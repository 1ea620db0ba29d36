//! Spread of repeated measurements, limits of agreement, kappa.

use endplate::course::agreement::{kappa, limits};
use endplate::course::spread::{
    detectable_90, mean, measurement_error, of_limit, repeatability, sd, standard_error, within,
};

use super::shrout_fleiss::TWELVE;

fn near(got: f64, expected: f64) {
    assert!((got - expected).abs() < 1e-9, "{got} is not {expected}");
}

fn to(decimals: usize, got: f64) -> String {
    format!("{got:.decimals$}")
}

#[test]
fn mean_and_standard_deviation() {
    // numpy 2.4.6: mean, std(ddof=1).
    let values = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0];
    near(mean(&values).unwrap(), 3.875);
    near(sd(&values).unwrap(), 2.748376143938713);
    // By hand: 2.748376 / root 8 = 0.971698.
    assert_eq!(to(6, standard_error(&values).unwrap()), "0.971698");
    assert_eq!(mean(&[]), None);
    assert_eq!(sd(&[4.0]), None);
}

#[test]
fn error_from_reliability() {
    // Worked from the formulas: SD 8, ICC 0.95: 8 x root 0.05 = 1.789;
    // x 1.96 x root 2 = 4.958; x 1.645 x root 2 = 4.162.
    let error = measurement_error(8.0, 0.95).unwrap();
    assert_eq!(to(2, error), "1.79");
    assert_eq!(to(2, repeatability(error)), "4.96");
    assert_eq!(to(2, detectable_90(error)), "4.16");
    assert_eq!(measurement_error(8.0, 1.01), None);
    assert_eq!(measurement_error(8.0, -0.1), None);
}

#[test]
fn error_from_a_published_limit() {
    // Morrissy et al., J Bone Joint Surg Am 1990;72:320-327: 95 % limit 4.9.
    // 4.9 / 1.96 = 2.5 is the SD of the differences, / root 2 = 1.768.
    let error = of_limit(4.9);
    assert_eq!(to(2, error), "1.77");
    assert_eq!(to(1, error * std::f64::consts::SQRT_2), "2.5");
    near(repeatability(error), 4.9);
}

#[test]
fn spread_within_films_read_unequally_often() {
    // numpy 2.4.6 for the squares, scipy 1.17.1 chi2.ppf for the interval:
    // 8 degrees of freedom.
    let films: [&[f64]; 6] = [
        &[34.0, 36.0],
        &[22.0, 21.0, 24.0],
        &[41.0, 44.0],
        &[28.0, 27.0, 27.0, 30.0],
        &[19.0, 23.0],
        &[50.0],
    ];
    let got = within(films).unwrap();
    assert_eq!((got.things, got.freedom), (5, 8));
    near(got.sd, 1.773649721149397);
    let interval = got.interval.unwrap();
    near(interval.low, 1.1980241807140903);
    near(interval.high, 3.3979064923175635);
    assert!(within([&[50.0][..]]).is_none());
}

#[test]
fn limits_of_agreement() {
    // numpy 2.4.6 and scipy 1.17.1 (t.ppf), with the limits' standard error of
    // Bland and Altman, Stat Methods Med Res 1999;8:135-160.
    let differences = TWELVE.map(|[a, b]| b - a);
    let got = limits(&differences).unwrap();
    assert_eq!(got.pairs, 12);
    near(got.bias, 1.0833333333333333);
    near(got.sd, 2.0652243256245835);
    near(got.bias_interval.low, -0.22884760070638932);
    near(got.bias_interval.high, 2.3955142673730556);
    near(got.lower, -2.96450634489085);
    near(got.upper, 5.131173011557516);
    near(got.lower_interval.low, -5.2731313102408786);
    near(got.lower_interval.high, -0.6558813795408218);
    near(got.upper_interval.low, 2.822548046207488);
    near(got.upper_interval.high, 7.439797976907545);
    assert!(limits(&[1.0]).is_none());
}

#[test]
fn kappa_of_words() {
    // By hand: 35 of 50 agree, by chance 0.5: (0.7 - 0.5) / 0.5 = 0.40; the
    // larger table: statsmodels 0.15.0, cohens_kappa.
    near(kappa(&[vec![20, 5], vec![10, 15]]).unwrap(), 0.4);
    let three = [vec![11, 2, 0], vec![3, 14, 4], vec![0, 1, 9]];
    near(kappa(&three).unwrap(), 0.6527229676400946);
    assert_eq!(kappa(&[vec![7, 0], vec![0, 0]]), None, "one word only");
    assert_eq!(kappa(&[vec![1, 2]]), None);
    assert_eq!(kappa(&[]), None);
}
