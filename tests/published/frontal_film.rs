//! Balance, ribs, rotation and regressions of frontal films, as printed.

use endplate::evidence::Grade;
use endplate::quantity::{Angle, Length, Reported, Unit};
use endplate::spine::balance::{CsvlBy, is_neutral};
use endplate::spine::estimate::{
    self, lumbar_cobb, lumbar_cobb_of_both, surgical_height_gain, thoracic_cobb,
    thoracic_cobb_of_both, trunk_shift,
};
use endplate::spine::{rib, rotation};

#[track_caller]
fn near(found: f64, printed: f64, within: f64) {
    assert!((found - printed).abs() <= within, "{found} is not {printed}");
}

#[test]
fn balance_is_neutral_within_twenty_millimetres() {
    // WikiMSK, Coronal Balance (read): right positive, left negative, within
    // 20 mm neutral. Check 65: +20.0 neutral, +20.1 not.
    let at = |mm| is_neutral(Reported::round(mm, 1, Unit::Millimetre));
    assert!(at(20.0) && at(0.0) && at(-20.0));
    assert!(!at(20.1) && !at(-20.1));
    // The same page draws the CSVL square to the line of the iliac crests;
    // zaro.info draws it plumb. Both stand, each with its own source.
    assert_ne!(CsvlBy::Plumb.source().work, CsvlBy::Pelvis.source().work);
}

#[test]
fn rib_vertebra_limits_differ_between_seventeen_and_twenty() {
    // Gillette Children's Healthcare Press, appendix (read): 20 degrees and
    // more; Spine Deform 2021;9:579 (read): 17.1. Check 53: 17.1 to 19.9 is
    // told differently by the two.
    for (difference, first, later) in [
        (17.0, false, false),
        (17.1, false, true),
        (18.0, false, true),
        (19.9, false, true),
        (20.0, true, true),
    ] {
        let difference = Reported::round(difference, 1, Unit::Degree);
        assert_eq!(rib::reaches(difference, &rib::LIKELY_FROM), first);
        assert_eq!(rib::reaches(difference, &rib::LIKELY_FROM_LATER), later);
    }
    // J Bone Joint Surg, jbjs.org 1181968 (read): 82 % of repeats within 10.
    near(rib::REPEATS_WITHIN.value, 10.0, 0.0);
}

#[test]
fn curves_from_trunk_rotation() {
    // BioMed Eng OnLine 2017, s12938-017-0427-7 (abstract read): mean rotations
    // +4.5 thoracic and -5.9 lumbar, mean curves 23.3 and -23.3. Check 36, by
    // hand: 2.0*4.5+14.3 = 23.3; 2.6*4.5+1.4*5.9 = 19.96; -0.9*5.9-16.9 =
    // -22.21; -1.5*4.5-2.0*5.9 = -18.55.
    let (thoracic, lumbar) = (Angle::degrees(4.5), Angle::degrees(-5.9));
    near(thoracic_cobb(thoracic).to_degrees(), 23.3, 1e-9);
    near(thoracic_cobb_of_both(thoracic, lumbar).to_degrees(), 19.96, 1e-9);
    near(lumbar_cobb(lumbar).to_degrees(), -22.2, 0.05);
    near(lumbar_cobb_of_both(thoracic, lumbar).to_degrees(), -18.55, 1e-9);
    assert_eq!(estimate::FROM_TRUNK_ROTATION.grade, Grade::Computed);
}

#[test]
fn trunk_shift_from_translation_and_balance() {
    // Spine 2005;30:1621 (read): about 2/3 (3.0 + 1.5) - 0.8 = 2.2 cm. Check 63.
    let shift = trunk_shift(Length::millimetres(30.0), Length::millimetres(15.0));
    near(shift.to_millimetres() / 10.0, 2.2, 1e-9);
}

#[test]
fn height_gained_by_surgery() {
    // Comput Math Methods Med 2012:167021 (read): 60 to 20 degrees, apex 50 mm
    // off, 12 vertebrae: 0.0059*50*60 + 2.3*(2/3)*12 = 17.7 + 18.4 = 36.1 mm.
    // Check 26.
    let gain = surgical_height_gain(
        Angle::degrees(60.0),
        Angle::degrees(20.0),
        Length::millimetres(50.0),
        12,
    );
    near(gain.unwrap().to_millimetres(), 36.1, 1e-9);
    let flat = Angle::degrees(0.0);
    assert!(surgical_height_gain(flat, flat, Length::millimetres(5.0), 3).is_none());
}

#[test]
fn what_is_known_from_memory_says_so() {
    // Stokes 1986 (abstract read): offset and depth confirmed, 95 % limit 7.1
    // degrees against a phantom; the formula itself and its table are not seen.
    assert_eq!(rotation::STOKES_SOURCE.grade, Grade::WeakMemory);
    near(rotation::STOKES_WITHIN.value, 7.1, 0.0);
    // Grades 0, 2, 3, 4 read second hand; "outer third" from memory.
    for grade in [0, 2, 3, 4] {
        assert_eq!(rotation::grade_source(grade).grade, Grade::Read);
    }
    assert_eq!(rotation::grade_source(1).grade, Grade::Memory);
}
