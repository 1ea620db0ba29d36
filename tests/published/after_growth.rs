//! Progression after growth: two sources that differ, two adult studies.

use endplate::course::risk::{ApexPlace, Origin, Subject};
use endplate::spine::region::Region;

use super::people::{age, applies, degrees, girl, model, said, said_of, us, woman};

fn thoracic(cobb: i64) -> Subject {
    Subject { apex: girl().apex, ..woman(cobb) }
}

#[test]
fn after_maturity_two_sources_differ_and_both_are_told() {
    // Eur Spine J 2023, s00586-023-07681-w (abstract read): above 30 about 0.5
    // a year, above 50 about 1. Neurosurgery Notes (read): thoracic above 50
    // or lumbar above 40, 1 to 2 a year.
    let read = |c| said("after_maturity", &thoracic(c));
    assert_eq!([31, 50, 51].map(read), ["0.5", "0.5", "1.0"]);
    assert_eq!(read(30), "for curves above 30 degrees; this one measures 30 degrees");
    let key = "after_maturity_higher";
    assert_eq!([50, 51].map(|c| applies(key, &thoracic(c))), [false, true]);
    assert_eq!([40, 41].map(|c| applies(key, &woman(c))), [false, true]);
    assert_eq!((said(key, &woman(41)), said_of(key, "to", &woman(41))), ("1".into(), "2".into()));
    // Eur Spine J 2016, s00586-016-4619-9 (read), citing the follow-up of 1983.
    assert_eq!(said_of(key, "rose", &woman(41)), "68");
    let middle = ApexPlace { t8_to_l1: true, above_t12: false, region: Region::Thoracolumbar };
    assert!(!applies(key, &Subject { apex: Some(middle), ..woman(60) }));
    for key in ["after_maturity", key] {
        assert!(model(key).caveat.starts_with("two sources differ"));
    }
}

#[test]
fn maturity_is_18_years_or_the_end_of_growth() {
    let grown = |y, m, risser| {
        applies("after_maturity", &Subject { age: age(y, m), risser, ..thoracic(35) })
    };
    assert_eq!(
        [grown(17, 11, us(4)), grown(17, 11, us(5)), grown(18, 0, None)],
        [false, true, true]
    );
    assert!(!grown(17, 11, None));
}

#[test]
fn adult_lumbar_curves() {
    // Marty-Poumarat et al., Spine 2007;32:1227 (abstract read): 0.82 degrees
    // a year from youth, 1.64 if late.
    assert_eq!(said("adult_lumbar", &woman(25)), "0.82");
    assert_eq!(said_of("adult_lumbar", "late_onset", &woman(25)), "1.64");
    assert!(!applies("adult_lumbar", &thoracic(25)));
    assert_eq!(
        said("adult_lumbar", &Subject { curves: 2, ..woman(25) }),
        "for single curves; the film shows 2"
    );
    assert!(!applies("adult_lumbar", &Subject { age: age(17, 11), ..woman(25) }));
}

#[test]
fn curves_of_wear_and_tear() {
    // Chin et al., reported in MDedge 70334 (read): up to 30 degrees, 2 +- 1 a
    // year; above 69 years 2.5, younger 1.5; left 3, right 1.
    let worn = |cobb, years| Subject {
        origin: Origin::Degenerative,
        cobb: degrees(cobb),
        age: age(years, 0),
        ..woman(0)
    };
    let items = ["value", "spread", "left", "right"];
    let told = items.map(|i| said_of("de_novo", i, &worn(20, 60)));
    assert_eq!(told, ["2", "1", "3", "1"]);
    let by_age = |years| said_of("de_novo", "by_age", &worn(20, years));
    assert_eq!([69, 70].map(by_age), ["1.5", "2.5"]);
    assert_eq!([30, 31].map(|c| applies("de_novo", &worn(c, 60))), [true, false]);
    assert!(!applies("de_novo", &woman(20)));
}
