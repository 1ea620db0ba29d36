//! Intraclass correlation.

use endplate::course::icc::{Icc, iccs};

fn near(got: f64, expected: f64, within: f64) {
    assert!((got - expected).abs() <= within, "{got} is not {expected}");
}

fn check(icc: Icc, single: (f64, f64, f64), average: (f64, f64, f64)) {
    let ends = |i: Option<endplate::course::spread::Interval>| i.expect("an interval");
    near(icc.single, single.0, 1e-7);
    near(icc.average, average.0, 1e-7);
    // The library prints intervals to two decimals.
    near(ends(icc.single_interval).low, single.1, 0.005 + 1e-9);
    near(ends(icc.single_interval).high, single.2, 0.005 + 1e-9);
    near(ends(icc.average_interval).low, average.1, 0.005 + 1e-9);
    near(ends(icc.average_interval).high, average.2, 0.005 + 1e-9);
}

#[test]
fn six_targets_and_four_judges() {
    // Shrout and Fleiss, Psychol Bull 1979;86:420-428: the classic table (data
    // from memory), printed there as 0.17, 0.29, 0.71 and for averages 0.44,
    // 0.62, 0.91. All digits and intervals: pingouin 0.7.0, intraclass_corr.
    let table: Vec<Vec<f64>> = [
        [9.0, 2.0, 5.0, 8.0],
        [6.0, 1.0, 3.0, 2.0],
        [8.0, 4.0, 6.0, 8.0],
        [7.0, 1.0, 2.0, 6.0],
        [10.0, 5.0, 6.0, 9.0],
        [6.0, 2.0, 4.0, 7.0],
    ]
    .map(Vec::from)
    .to_vec();
    let all = iccs(&table).unwrap();
    assert_eq!((all.things, all.readers), (6, 4));
    check(all.one_way, (0.16574177, -0.13, 0.72), (0.44279713, -0.88, 0.91));
    check(all.agreement, (0.28976378, 0.02, 0.76), (0.62005055, 0.07, 0.93));
    check(all.consistency, (0.71484071, 0.34, 0.95), (0.90931554, 0.68, 0.99));
}

/// Two readers of twelve curves, invented.
pub const TWELVE: [[f64; 2]; 12] = [
    [34.0, 36.0],
    [22.0, 21.0],
    [41.0, 44.0],
    [28.0, 27.0],
    [19.0, 23.0],
    [52.0, 51.0],
    [37.0, 40.0],
    [30.0, 30.0],
    [25.0, 28.0],
    [46.0, 45.0],
    [33.0, 36.0],
    [27.0, 26.0],
];

#[test]
fn two_readers_of_twelve_curves() {
    // Expected: pingouin 0.7.0, intraclass_corr.
    let all = iccs(&TWELVE.map(Vec::from)).unwrap();
    check(all.one_way, (0.97305329, 0.91, 0.99), (0.98634263, 0.95, 1.0));
    check(all.agreement, (0.97311160, 0.90, 0.99), (0.98637259, 0.95, 1.0));
    check(all.consistency, (0.97734133, 0.92, 0.99), (0.98854084, 0.96, 1.0));
}

#[test]
fn tables_that_say_nothing() {
    assert!(iccs(&[]).is_none());
    assert!(iccs(&[vec![1.0, 2.0]]).is_none());
    assert!(iccs(&[vec![1.0], vec![2.0]]).is_none());
    assert!(iccs(&[vec![1.0, 2.0], vec![2.0]]).is_none());
    assert!(iccs(&[vec![5.0, 5.0], vec![5.0, 5.0]]).is_none(), "nothing differs");
    // Readers who always agree: 1 by definition, and no interval.
    let agree = iccs(&[vec![5.0, 5.0], vec![9.0, 9.0], vec![7.0, 7.0]]).unwrap();
    near(agree.agreement.single, 1.0, 1e-12);
    assert!(agree.agreement.single_interval.is_none());
    // A reader always 2 above the other: consistent fully, agreeing less.
    // By hand: MSB = 2 x variance(6, 10, 8) = 8, MSJ = 6, MSE = 0;
    // (2,1) = 8 / (8 + 2 x 6 / 3) = 2/3.
    let apart = iccs(&[vec![5.0, 7.0], vec![9.0, 11.0], vec![7.0, 9.0]]).unwrap();
    near(apart.consistency.single, 1.0, 1e-12);
    near(apart.agreement.single, 2.0 / 3.0, 1e-12);
}
