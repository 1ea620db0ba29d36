//! Classes of onset and grades of maturity at their bounds.

use OnsetClass::{Adolescent, Adult, Infantile, Juvenile};
use endplate::course::age::{OnsetClass, OnsetScheme, onset_class};
use endplate::course::maturity::{
    RisserScale, growth_ended, hand_stage_meaning, risser_meaning, risser_of_excursion,
};
use endplate::evidence::Grade;
use endplate::quantity::Age;

fn classes(scheme: OnsetScheme, ages: [(u32, u32); 8]) -> [OnsetClass; 8] {
    ages.map(|(years, months)| onset_class(Age { years, months }, scheme))
}

const BOUNDS: [(u32, u32); 8] =
    [(2, 11), (3, 0), (3, 11), (4, 0), (9, 11), (10, 0), (17, 11), (18, 0)];

#[test]
fn onset_classes_as_read() {
    // Cheung and Luk, Bone and Joint Focus (read): infantile to 3 years,
    // juvenile 4 to 9, adolescent from 10; adult from 18 (from memory).
    assert_eq!(
        classes(OnsetScheme::default(), BOUNDS),
        [Infantile, Infantile, Infantile, Juvenile, Juvenile, Adolescent, Adolescent, Adult]
    );
    assert_eq!(OnsetScheme::default().source().grade, Grade::Read);
}

#[test]
fn onset_classes_from_memory() {
    // Guideline variant (from memory): infantile below 3, juvenile 3 to 9,
    // adolescent 10 to 17, adult from 18.
    assert_eq!(
        classes(OnsetScheme::BelowThree, BOUNDS),
        [Infantile, Juvenile, Juvenile, Juvenile, Juvenile, Adolescent, Adolescent, Adult]
    );
    assert_eq!(OnsetScheme::BelowThree.source().grade, Grade::Memory);
}

#[test]
fn risser_grades_by_excursion() {
    // Bitan et al., Clin Orthop Relat Res 2005;436:190, figure in PMC2816762
    // (read): United States quarters, French thirds.
    let us = [0.0, 0.01, 0.25, 0.26, 0.5, 0.75, 0.76, 1.0]
        .map(|share| risser_of_excursion(RisserScale::UnitedStates, share).unwrap());
    assert_eq!(us, [0, 1, 1, 2, 2, 3, 4, 4]);
    let french = [0.0, 0.33, 0.34, 0.66, 0.67, 1.0]
        .map(|share| risser_of_excursion(RisserScale::French, share).unwrap());
    assert_eq!(french, [0, 1, 2, 2, 3, 3]);
    assert_eq!(risser_of_excursion(RisserScale::French, 1.1), None);
}

#[test]
fn growth_ends_at_different_grades_of_the_two_scales() {
    // J Bone Joint Surg Am 2010;92:1073 (read): United States 5, French 4.
    let ended = |scale| [3, 4, 5].map(|grade| growth_ended(scale, grade));
    assert_eq!(ended(RisserScale::UnitedStates), [false, false, true]);
    assert_eq!(ended(RisserScale::French), [false, true, true]);
}

#[test]
fn grades_beyond_the_scales_do_not_exist() {
    for scale in [RisserScale::UnitedStates, RisserScale::French] {
        assert!((0..=5).all(|grade| risser_meaning(scale, grade).is_some()));
        assert_eq!(risser_meaning(scale, 6), None);
    }
    // Stages 3 to 7 read in Medicine 2020, e22392; 1, 2 and 8 from memory
    // (Sanders 2008).
    let grades = [1, 2, 3, 7, 8].map(|stage| hand_stage_meaning(stage).unwrap().1.grade);
    assert_eq!(grades, [Grade::Memory, Grade::Memory, Grade::Read, Grade::Read, Grade::Memory]);
    assert!(hand_stage_meaning(0).is_none() && hand_stage_meaning(9).is_none());
}
