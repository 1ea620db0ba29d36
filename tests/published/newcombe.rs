//! Wilson's interval of a proportion.

use endplate::course::proportion::wilson;

#[test]
fn wilson_intervals() {
    // Newcombe, Stat Med 1998;17:857-872: 81/263, 15/148, 0/20 and 1/29 by
    // method 3, printed to four decimals. All digits: statsmodels 0.15.0,
    // proportion_confint(method="wilson").
    let table = [
        (81, 263, 0.2552885198782742, 0.3662095769828),
        (15, 148, 0.06238639953073628, 0.16048724172330803),
        (0, 20, 0.0, 0.1611251580528194),
        (1, 29, 0.006113214292762667, 0.17175521879320294),
        (20, 20, 0.8388748419471804, 1.0),
    ];
    for (of, all, low, high) in table {
        let got = wilson(of, all).unwrap();
        assert!((got.low - low).abs() < 1e-9, "{of}/{all}: {got:?}");
        assert!((got.high - high).abs() < 1e-9, "{of}/{all}: {got:?}");
    }
    assert!(wilson(0, 0).is_none());
    assert!(wilson(3, 2).is_none());
}
