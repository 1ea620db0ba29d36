//! What braces and bends take off a curve, in per cent.

use endplate::course::brace::{Reduction, correction_to_flexibility};
use endplate::quantity::{Reported, Unit};

fn reduction(before: i64, with: i64) -> Option<Reduction> {
    let degrees = |value| Reported::whole(value, Unit::Degree);
    Reduction::new(degrees(before), degrees(with))
}

#[test]
fn in_brace_correction() {
    // Acta Orthop Belg 2023;89(3) (formula read): (32 - 18) / 32 = 43.75 %,
    // exact in binary; printed whole, 44 %.
    let corrected = reduction(32, 18).unwrap();
    assert_eq!(corrected.exact(), 43.75);
    assert_eq!(corrected.percent().digits(), "44");
    assert!(!corrected.is_overcorrected());
}

#[test]
fn overcorrection_is_above_a_hundred() {
    // Worked by hand: (24 - (-3)) / 24 = 112.5 %, half away from zero 113.
    let over = reduction(24, -3).unwrap();
    assert_eq!((over.exact(), over.percent().digits().as_str()), (112.5, "113"));
    assert!(over.is_overcorrected());
    // Larger in the brace: (20 - 22) / 20 = -10 %.
    assert_eq!(reduction(20, 22).unwrap().percent().digits(), "\u{2212}10");
}

#[test]
fn nothing_has_no_share() {
    assert!(reduction(0, 0).is_none());
    assert!(reduction(-4, 2).is_none());
}

#[test]
fn flexibility_and_its_ratio() {
    // Cheung et al., Clin Orthop Relat Res 2020;478:334-345 (formula read):
    // 32 to 24 supine is 25 %. Cheung et al., Bone Joint J 2022;104-B(4)
    // (read): ratio 43.75 / 25 = 1.75. AO Surgery Reference, the printed
    // example 25 to 16 and 53 to 11: 36.0 % and 79.2 % (computed).
    let supine = reduction(32, 24).unwrap();
    assert_eq!(supine.exact(), 25.0);
    let ratio = correction_to_flexibility(reduction(32, 18).unwrap(), supine);
    assert_eq!(ratio, Some(1.75));
    assert_eq!(correction_to_flexibility(supine, reduction(30, 30).unwrap()), None);
    let tenths = |r: Reduction| (r.exact() * 10.0).round() / 10.0;
    assert_eq!(tenths(reduction(25, 16).unwrap()), 36.0);
    assert_eq!(tenths(reduction(53, 11).unwrap()), 79.2);
}
