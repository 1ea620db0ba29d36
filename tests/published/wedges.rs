//! Wedge counts of Scheuermann's disease by both cut-offs in print.

use std::collections::BTreeMap;

use endplate::course::wedge::{CutOff, kyphosis_large_enough, row};
use endplate::quantity::{Reported, Unit};
use endplate::spine::{Column, Level};

fn degrees(value: i64) -> Reported {
    Reported::whole(value, Unit::Degree)
}

#[test]
fn five_six_five_meets_one_cut_off_and_fails_the_other() {
    // Sorensen 1964 as quoted (insights.ovid.com 00007632-199912150-00010,
    // read): three adjacent of 5 or more. Operative Neurosurgery (read): more
    // than 5. Of 5, 6, 5 all three count by the first, one by the second.
    let wedges: BTreeMap<Level, Reported> =
        [(7, 5), (8, 6), (9, 5)].map(|(n, w)| (Level::T(n), degrees(w))).into();
    let found = row(&wedges, Column::default(), CutOff::AtLeastFive);
    assert_eq!((found.levels.len(), found.long_enough()), (3, Some(true)));
    let found = row(&wedges, Column::default(), CutOff::AboveFive);
    assert_eq!((found.levels.len(), found.long_enough()), (1, Some(false)));
}

#[test]
fn the_second_asks_for_a_kyphosis() {
    // Operative Neurosurgery (read): above 40, or above 30 at the junction.
    let found =
        |k: Option<i64>, tl: Option<i64>| kyphosis_large_enough(k.map(degrees), tl.map(degrees));
    assert_eq!(found(Some(40), Some(30)), Some(false));
    assert_eq!(found(Some(41), None), Some(true));
    assert_eq!(found(Some(40), Some(31)), Some(true));
    assert_eq!(found(Some(40), None), None);
}
