//! Types of curves: six of adolescents with their modifiers, four of adults.

use endplate::quantity::{Reported, Unit};
use endplate::spine::classification::{
    Minor, Part, SixType, Structural, adult_coronal, lumbar_modifier, major, sagittal_modifier,
    six_type, structural,
};

fn degrees(value: i64) -> Option<Reported> {
    Some(Reported::whole(value, Unit::Degree))
}

fn minor(bent: i64, kyphosis: i64) -> Structural {
    structural(Minor { standing: None, bent: degrees(bent), kyphosis: degrees(kyphosis) })
}

#[test]
fn a_stiff_upper_curve_makes_type_2() {
    // Orthobullets topic 2076 (types read), AO Surgery Reference (criteria
    // read): proximal thoracic bends to 26, main thoracic 55 is major, lower
    // curve bends to 10, kyphosis T2-T5 of 5 (that of T10-L2 is not given in
    // the example and taken as 5 too): type 2.
    let upper = minor(26, 5);
    let lower = minor(10, 5);
    assert_eq!((upper, lower), (Structural::ByBending, Structural::No));
    let parts = [upper.known(), Some(true), lower.known()];
    assert_eq!(six_type(parts, Some(Part::MainThoracic)), SixType::Is("2"));
}

#[test]
fn kyphosis_counts_whatever_the_flexibility() {
    // AO Surgery Reference (read): bends to 24, kyphosis 20: structural by
    // the kyphosis. 25 left on bending is enough; "above 25" elsewhere is
    // refuted by the same pages.
    assert_eq!(minor(24, 20), Structural::ByKyphosis);
    assert_eq!(minor(24, 19), Structural::No);
    assert_eq!(minor(25, 0), Structural::ByBending);
}

#[test]
fn the_printed_example_of_type_5() {
    // AO Surgery Reference, printed example 5C (read): no proximal thoracic
    // curve, main thoracic 25 bends to 16, lower curve 53 is the larger one.
    // A kyphosis T10-L2 below 20 follows from the printed type.
    let sizes = [None, degrees(25), degrees(53)];
    assert_eq!(major(sizes), Ok(Part::Lower));
    let main = minor(16, 10);
    let parts = [Some(false), main.known(), Some(true)];
    assert_eq!(six_type(parts, Some(Part::Lower)), SixType::Is("5"));
}

#[test]
fn every_row_of_the_six_types() {
    // Orthobullets topic 2076 (read).
    let of = |parts: [bool; 3], major| six_type(parts.map(Some), Some(major));
    assert_eq!(of([false, true, false], Part::MainThoracic), SixType::Is("1"));
    assert_eq!(of([true, true, false], Part::MainThoracic), SixType::Is("2"));
    assert_eq!(of([false, true, true], Part::MainThoracic), SixType::Is("3"));
    assert_eq!(of([true, true, true], Part::MainThoracic), SixType::Is("4"));
    assert_eq!(of([true, true, true], Part::Lower), SixType::Is("4"));
    assert_eq!(of([false, false, true], Part::Lower), SixType::Is("5"));
    assert_eq!(of([false, true, true], Part::Lower), SixType::Is("6"));
    // No row has a structural upper curve beside a lower one alone.
    assert_eq!(of([true, false, true], Part::Lower), SixType::NoRow);
    // The upper curve is never major: the main thoracic one is (read).
    assert_eq!(major([degrees(40), degrees(30), degrees(20)]), Ok(Part::MainThoracic));
    assert_eq!(major([None, degrees(30), degrees(30)]), Err(degrees(30)));
    assert_eq!(major([degrees(30), None, None]), Err(None));
}

#[test]
fn what_is_open_stays_open() {
    let open = |bending, kyphosis| Structural::CannotTell { bending, kyphosis };
    let of = |standing, bent, kyphosis| structural(Minor { standing, bent, kyphosis });
    assert_eq!(of(degrees(30), None, None), open(true, true));
    assert_eq!(of(degrees(30), None, degrees(10)), open(true, false));
    assert_eq!(of(degrees(30), degrees(20), None), open(false, true));
    // 24 degrees standing cannot be 25 when bent out.
    assert_eq!(of(degrees(24), None, None), open(false, true));
    assert_eq!(of(degrees(24), None, degrees(10)), Structural::No);
    // One criterion met is enough without the other.
    assert_eq!(of(degrees(30), degrees(26), None), Structural::ByBending);
    assert_eq!(of(degrees(30), None, degrees(21)), Structural::ByKyphosis);
    let unsure = six_type([None, Some(true), Some(false)], Some(Part::MainThoracic));
    assert_eq!(unsure, SixType::Between(vec!["1", "2"]));
    // All three structural: type 4 whichever is the larger.
    assert_eq!(six_type([Some(true); 3], None), SixType::Is("4"));
}

#[test]
fn modifiers() {
    // AO Surgery Reference (read): - below 10, N 10 to 40, + above 40.
    let of = |value| sagittal_modifier(Reported::whole(value, Unit::Degree));
    assert_eq!([of(9), of(10), of(40), of(41)], ["-", "N", "N", "+"]);
    // Orthobullets topic 2076 (read): A between the pedicles, B touching the
    // apical body or a pedicle, C clear of it. A body from -20 to 20 with
    // pedicles at -12 and 12.
    let of = |csvl| lumbar_modifier(csvl, [12.0, -12.0], [20.0, -20.0]);
    assert_eq!([of(0.0), of(7.9), of(-7.9)], [Some("A"); 3]);
    assert_eq!([of(13.0), of(-19.9)], [Some("B"); 2]);
    assert_eq!([of(20.1), of(-30.0)], [Some("C"); 2]);
    // Within a tenth of the width inside the pedicle's middle its edge decides.
    assert_eq!(of(9.0), None);
}

#[test]
fn coronal_types_of_adults() {
    // SRS-Schwab as set out by Neurosurgery Wiki after Terran 2013 (read): T
    // thoracic above 30 and the lower below, L the other way round, D both
    // above, N all below; exactly 30 is unassigned.
    assert_eq!(adult_coronal(degrees(31), degrees(29)), Ok("T"));
    assert_eq!(adult_coronal(degrees(29), degrees(31)), Ok("L"));
    assert_eq!(adult_coronal(degrees(31), degrees(31)), Ok("D"));
    assert_eq!(adult_coronal(degrees(29), None), Ok("N"));
    assert_eq!(adult_coronal(None, degrees(48)), Ok("L"));
    assert_eq!(adult_coronal(degrees(30), degrees(40)), Err([true, false]));
    assert_eq!(adult_coronal(degrees(30), degrees(30)), Err([true, true]));
}
