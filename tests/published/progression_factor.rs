//! The progression factor of 1984, its bounds and its replication.

use endplate::course::maturity::RisserScale;
use endplate::course::risk::{FactorGraph, Origin, Subject, graph, progression_factor};
use endplate::evidence::Grade;
use endplate::quantity::{Reported, Unit};

use super::people::{age, applies, degrees, girl, model, said, said_of, us};

const KEY: &str = "progression_factor";

fn with(cobb: i64, risser: u8) -> Subject {
    Subject { cobb: degrees(cobb), risser: us(risser), ..girl() }
}

fn thousandths(cobb: i64, risser: u8, years: u32) -> i64 {
    let factor = progression_factor(degrees(cobb), risser, age(years, 0)).unwrap();
    (factor * 1000.0).round() as i64
}

#[test]
fn worked_values() {
    // Lonstein and Carlson, J Bone Joint Surg Am 1984;66:1061 (form from
    // memory), computed by hand: (25 - 0) / 12 = 2.083; (28 - 3) / 11 = 2.273;
    // (20 - 6) / 14 = 1.000.
    assert_eq!(thousandths(25, 0, 12), 2083);
    assert_eq!(thousandths(28, 1, 11), 2273);
    assert_eq!(thousandths(20, 2, 14), 1000);
    // Months count: 12 years 6 months is 12.5, (25 - 0) / 12.5 = 2.
    assert_eq!(progression_factor(degrees(25), 0, age(12, 6)), Some(2.0));
    assert_eq!(progression_factor(degrees(25), 0, age(0, 0)), None);
    assert_eq!(said(KEY, &girl()), "2.08");
}

#[test]
fn it_holds_for_20_to_29_degrees_and_growing_spines() {
    // Ward et al., Spine J Meeting Abstracts 2011:145 (abstract read).
    assert_eq!([19, 20, 29, 30].map(|c| applies(KEY, &with(c, 0))), [false, true, true, false]);
    assert_eq!([0, 4, 5].map(|r| applies(KEY, &with(25, r))), [true, true, false]);
    assert_eq!(
        said(KEY, &with(30, 0)),
        "for curves of 20 to 29 degrees; this one measures 30 degrees"
    );
    assert_eq!(said(KEY, &with(25, 5)), "for growing spines; Risser 5 is the end of growth");
    let unknown = Subject { risser: None, ..girl() };
    assert_eq!(said(KEY, &unknown), "a Risser grade near the film of the curve is not known");
    let french = Subject { risser: Some((RisserScale::French, 1)), ..girl() };
    assert_eq!(
        said(KEY, &french),
        "for Risser grades of the United States scale; French 1 is not converted"
    );
    // Infantile curves, to 3 completed years (Bone and Joint Focus, read), go
    // their own way.
    let aged = |y, m| applies(KEY, &Subject { age: age(y, m), ..girl() });
    assert_eq!([aged(3, 11), aged(4, 0)], [false, true]);
    let other = Subject { origin: Origin::Other, ..girl() };
    assert!(!applies(KEY, &other));
}

#[test]
fn it_never_goes_without_its_caveat() {
    // Ward 2011 (abstract read): 315 patients, R = 0.24, not generalisable.
    let model = model(KEY);
    assert!(model.caveat.contains("315") && model.caveat.contains("0.24"));
    assert_eq!(model.source.grade, Grade::Memory);
}

#[test]
fn the_graph_is_bracketed_and_never_stretched() {
    // Points of the graph, weak memory: 1.0 about 12 %, 1.4 30, 1.6 45,
    // 2.0 75 to 80, 2.5 95.
    let at = |v| graph(Reported::round(v, 2, Unit::One)).map(|g| (g.at_least, g.at_most));
    assert_eq!(at(0.99), None);
    assert_eq!(at(1.0), Some((12, 12)));
    assert_eq!(at(1.5), Some((30, 45)));
    assert_eq!(at(2.0), Some((75, 80)));
    assert_eq!(at(2.08), Some((75, 95)));
    assert_eq!(at(2.5), Some((95, 95)));
    assert_eq!(at(2.51), None);
    assert_eq!(
        graph(Reported::round(1.4, 2, Unit::One)),
        Some(FactorGraph { at_least: 30, at_most: 30 })
    );
    assert_eq!(
        said_of(KEY, "graph_from", &with(29, 0)),
        "75",
        "29 / 12 = 2.42 lies between 2.0 and 2.5"
    );
    let young = Subject { age: age(9, 0), ..with(29, 0) };
    assert_eq!(
        said_of(KEY, "graph_from", &young),
        "the graph is known from 1.0 to 2.5; the factor is 3.22"
    );
}
