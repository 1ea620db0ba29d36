//! Which curve of one film is which of the next: the stories of real series.

use endplate::course::identity::{Ambiguity, CurveSketch, Pair, Which, match_curves};
use endplate::spine::{Apex, Column, Convexity, Level, Side};

fn at(level: &str) -> f64 {
    let column = Column::default();
    column.apex_index(column.parse_apex(level).unwrap()).unwrap()
}

fn curve<'a>(ends: [&str; 3], side: Side) -> CurveSketch<'a> {
    let [upper, apex, lower] = ends;
    CurveSketch {
        name: None,
        upper: at(upper),
        apex: Some(at(apex)),
        lower: at(lower),
        convexity: Some(Convexity::Toward(side)),
        in_support: false,
    }
}

fn in_brace(curve: CurveSketch) -> CurveSketch {
    CurveSketch { in_support: true, ..curve }
}

fn named<'a>(name: &'a str, curve: CurveSketch<'a>) -> CurveSketch<'a> {
    CurveSketch { name: Some(name), ..curve }
}

fn pair(earlier: usize, later: usize) -> Pair {
    Pair { earlier, later, flipped: false }
}

use Side::{Left, Right};

#[test]
fn ends_and_apex_may_drift_by_a_level_or_two() {
    let before = [curve(["T5", "T8", "T12"], Right)];
    for ends in [["T6", "T9", "T12"], ["T4", "T6", "T11"], ["T7", "T10", "L1"]] {
        let found = match_curves(&before, &[curve(ends, Right)]);
        assert_eq!(found.pairs, [pair(0, 0)], "{ends:?}");
        assert!(found.is_settled());
    }
    // Five levels lower is another curve.
    let other = match_curves(&before, &[curve(["T11", "L1", "L4"], Right)]);
    assert!(other.pairs.is_empty());
    assert_eq!((other.only_earlier, other.only_later), (vec![0], vec![0]));
}

#[test]
fn two_thoracic_curves_stay_apart() {
    let before = [curve(["T1", "T3", "T5"], Left), curve(["T5", "T8", "T12"], Right)];
    let after = [curve(["T6", "T9", "T12"], Right), curve(["T1", "T4", "T6"], Left)];
    let found = match_curves(&before, &after);
    assert_eq!(found.pairs, [pair(0, 1), pair(1, 0)]);
    assert!(found.side_conflicts.is_empty());
}

#[test]
fn overcorrection_in_the_brace_is_the_same_curve() {
    let before = [curve(["T10", "L1", "L3"], Left)];
    let flipped = curve(["T10", "L1", "L3"], Right);
    let found = match_curves(&before, &[in_brace(flipped)]);
    assert_eq!(found.pairs, [Pair { earlier: 0, later: 0, flipped: true }]);
    assert!(found.side_conflicts.is_empty());
    // And back, from the film in the brace to the next without it.
    let back = match_curves(&[in_brace(flipped)], &before);
    assert_eq!(back.pairs, [Pair { earlier: 0, later: 0, flipped: true }]);
}

#[test]
fn a_changed_side_without_a_brace_is_a_conflict_and_no_match() {
    let before = [curve(["T5", "T8", "T12"], Right)];
    let found = match_curves(&before, &[curve(["T5", "T8", "T12"], Left)]);
    assert!(found.pairs.is_empty());
    assert_eq!(found.side_conflicts, [(0, 0)]);
    // A name ties them, and the conflict is told all the same.
    let by_name = match_curves(
        &[named("thoracic", before[0])],
        &[named("thoracic", curve(["T5", "T8", "T12"], Left))],
    );
    assert_eq!(by_name.pairs, [Pair { earlier: 0, later: 0, flipped: true }]);
    assert_eq!(by_name.side_conflicts, [(0, 0)]);
}

#[test]
fn a_curve_that_comes_later_is_new() {
    let before = [curve(["T5", "T8", "T12"], Right)];
    let after = [curve(["T5", "T8", "T12"], Right), curve(["T12", "L2", "L4"], Left)];
    let found = match_curves(&before, &after);
    assert_eq!(found.pairs, [pair(0, 0)]);
    assert_eq!(found.only_later, [1]);
    assert!(found.only_earlier.is_empty());
}

#[test]
fn two_plausible_matches_are_both_listed() {
    let before = [curve(["T5", "T8", "T12"], Right)];
    let after = [curve(["T4", "T6", "T10"], Right), curve(["T7", "T10", "L1"], Right)];
    let found = match_curves(&before, &after);
    assert!(!found.is_settled());
    let doubt = Ambiguity { film: Which::Earlier, curve: 0, candidates: vec![0, 1] };
    assert_eq!(found.ambiguous, [doubt]);
    assert!(found.pairs.is_empty() && found.only_later.is_empty());
    // A name on both films settles it.
    let before = [named("thoracic", before[0])];
    let after = [after[0], named("thoracic", after[1])];
    let settled = match_curves(&before, &after);
    assert_eq!((settled.pairs, settled.only_later), (vec![pair(0, 1)], vec![0]));
}

#[test]
fn names_outweigh_levels() {
    let before = [named("thoracic", curve(["T5", "T8", "T12"], Right))];
    let after = [named("lumbar", curve(["T5", "T8", "T12"], Right))];
    let found = match_curves(&before, &after);
    assert_eq!((found.only_earlier, found.only_later), (vec![0], vec![0]));
    // An unnamed curve is matched to a named one by its levels.
    let found = match_curves(&before, &[curve(["T5", "T8", "T12"], Right)]);
    assert_eq!(found.pairs, [pair(0, 0)]);
}

#[test]
fn an_apex_or_side_not_recorded_does_not_hinder() {
    let bare = CurveSketch { apex: None, convexity: None, ..curve(["T5", "T8", "T12"], Right) };
    let found = match_curves(&[bare], &[curve(["T6", "T9", "T12"], Right)]);
    assert_eq!(found.pairs, [pair(0, 0)]);
}

#[test]
fn a_name_used_twice_is_ambiguous() {
    let twice = [
        named("thoracic", curve(["T1", "T3", "T5"], Left)),
        named("thoracic", curve(["T5", "T8", "T12"], Right)),
    ];
    let once = [named("thoracic", curve(["T5", "T8", "T12"], Right))];
    let found = match_curves(&once, &twice);
    assert_eq!(found.ambiguous.len(), 1);
    assert_eq!(found.ambiguous[0].candidates, [0, 1]);
}

#[test]
fn a_knot_of_many_like_curves_is_refused_at_once() {
    let many = vec![curve(["T5", "T8", "T12"], Right); 40];
    let found = match_curves(&many, &many);
    assert!(found.pairs.is_empty());
    assert_eq!(found.ambiguous.len(), 80);
}

#[test]
fn discs_count_as_halves() {
    let column = Column::default();
    let disc = Apex::Disc(Level::T(11), Level::T(12));
    assert_eq!(column.apex_index(disc), Some(at("T11") + 0.5));
}
