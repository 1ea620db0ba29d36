//! Sagittal tables at their printed values.

use endplate::course::brace::Reduction;
use endplate::course::early_onset::{curve_class, kyphosis_class};
use endplate::course::sagittal::{
    self, INCIDENCE, KYPHOSIS, Modified, SLOPE, TILT, expected, identity_broken, identity_gap,
    tilt_by_age,
};
use endplate::quantity::{Reported, Unit};

fn degrees(value: i64) -> Reported {
    Reported::whole(value, Unit::Degree)
}

fn modifier(of: Modified, value: f64, unit: Unit) -> &'static str {
    of.of(Reported::round(value, 1, unit)).word()
}

#[test]
fn adult_modifiers() {
    // Terran 2013 as quoted (neurosurgerywiki.com, read): PI-LL <10 is 0,
    // 10-20 +, >20 ++; SVA <4 cm 0, 4-9.5 +, >9.5 ++; PT <20 0, 20-30 +, >30 ++.
    let gap = |v| modifier(Modified::IncidenceLessLordosis, v, Unit::Degree);
    assert_eq!([9.9, 10.0, 20.0, 20.1].map(gap), ["0", "+", "+", "++"]);
    let axis = |v| modifier(Modified::VerticalAxis, v, Unit::Millimetre);
    assert_eq!([39.0, 40.0, 95.0, 95.1].map(axis), ["0", "+", "+", "++"]);
    let tilt = |v| modifier(Modified::PelvicTilt, v, Unit::Degree);
    assert_eq!([19.0, 20.0, 30.0, 31.0].map(tilt), ["0", "+", "+", "++"]);
    // Below zero, as in a large lordosis, stays 0.
    assert_eq!(gap(-12.0), "0");
}

#[test]
fn expected_tilt_and_lordosis() {
    // Le Huec 2015, PMC4303780 table 3 (read), its own worked examples:
    // PI 40 gives PT 8 and LL 53, 52 gives 12 and 61, 64 gives 16 and 70.
    let pair = |pi| expected(degrees(pi)).map(|e| (e.tilt, e.lordosis));
    assert_eq!(pair(40), Some((degrees(8), degrees(53))));
    assert_eq!(pair(52), Some((degrees(12), degrees(61))));
    assert_eq!(pair(64), Some((degrees(16), degrees(70))));
    // Its classes at their ends: below 38 PI+18, 38 to 47 PI+13, 48 to 57
    // PI+9, 58 to 67 PI+6, 68 to 77 PI+2, above 78 PI-5; 78 in no class.
    let ends = [37, 38, 47, 48, 57, 58, 67, 68, 77].map(|pi| pair(pi).unwrap().1);
    let printed = [55, 51, 60, 57, 66, 64, 73, 70, 79].map(degrees);
    assert_eq!(ends, printed);
    assert_eq!(pair(78), None);
    assert_eq!(pair(79), Some((degrees(24), degrees(74))));
}

#[test]
fn pelvic_tilt_by_age() {
    // PubMed 40261392 (abstract read): PT = -12.7 + 0.38 PI + 0.14 age. By
    // hand for 50 and 40: -12.7 + 19 + 5.6 = 11.9.
    assert_eq!(tilt_by_age(degrees(50), 40).digits(), "11.9");
}

#[test]
fn the_pelvic_identity() {
    // PMC6334400 table 1 (read): PI = PT + SS; its means of different studies,
    // PT 13 and SS 41, sum to 54 where the mean PI is 51.9.
    assert_eq!(identity_gap(degrees(54), degrees(13), degrees(41)), degrees(0));
    let gap = identity_gap(Reported::round(51.9, 1, Unit::Degree), degrees(13), degrees(41));
    assert_eq!(gap.digits(), "\u{2212}2.1");
    let broken =
        [-3, -2, 0, 2, 3].map(|d| identity_broken(degrees(54 + d), degrees(13), degrees(41)));
    assert_eq!(broken, [true, false, false, false, true]);
}

#[test]
fn ranges() {
    // Mac-Thiong et al., Eur Spine J 2011;20(S5):572 (abstract read), n = 709:
    // PI 32-74, PT 0-27, SS 24-55.
    let at = |range: sagittal::Range, values: [i64; 4]| values.map(|v| range.place(degrees(v)));
    let told = ["below", "within", "within", "above"];
    assert_eq!(at(INCIDENCE, [31, 32, 74, 75]), told);
    assert_eq!(at(TILT, [-1, 0, 27, 28]), told);
    assert_eq!(at(SLOPE, [23, 24, 55, 56]), told);
    // AO Surgery Reference (read): T5-T12 10 to 40 normal.
    assert_eq!(at(KYPHOSIS, [9, 10, 40, 41]), told);
}

#[test]
fn kyphosis_reduced_in_per_cent() {
    // doczz.net 4489203 (read): 55.6 to 39 degrees; by hand 16.6 / 55.6 =
    // 29.86 %. Its printed mean drop of 16.5 gives 29.7.
    let from = Reported::round(55.6, 1, Unit::Degree);
    let to = Reported::round(39.0, 1, Unit::Degree);
    let exact = Reduction::new(from, to).unwrap().exact();
    assert!((exact - 29.856_115_107_913_67).abs() < 1e-9, "{exact}");
    let mean = Reported::round(39.1, 1, Unit::Degree);
    let exact = Reduction::new(from, mean).unwrap().exact();
    assert_eq!(Reported::round(exact, 1, Unit::Percent).digits(), "29.7");
}

#[test]
fn early_onset_classes() {
    // J Pediatr Orthop 2017;37:381 (read): 1 up to 20, 2 21-50, 3 51-90, 4
    // above 90; kyphosis - up to 20, N 21-50, + above 50.
    let curves = [20, 21, 50, 51, 90, 91].map(|d| curve_class(degrees(d)));
    assert_eq!(curves, ["1", "2", "2", "3", "3", "4"]);
    let bends = [-4, 20, 21, 50, 51].map(|d| kyphosis_class(degrees(d)));
    assert_eq!(bends, ["-", "-", "N", "N", "+"]);
    // Whole degrees first: 20.4 is 20, 20.5 is 21.
    let tenths = |v| curve_class(Reported::round(v, 1, Unit::Degree));
    assert_eq!([20.4, 20.5].map(tenths), ["1", "2"]);
}
