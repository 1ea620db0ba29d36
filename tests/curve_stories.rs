//! Which curve of one film is which of the next, through the whole reader:
//! the stories that series of films tell.

use crate::curve_types::{STANDING, curve, curves, facts, film, told, word};

/// A curve without a name.
fn unnamed(ends: [&str; 3], convex: &str, cobb: i32) -> String {
    curve("x", ends, convex, cobb).replace("name: x, ", "")
}

fn standing(id: &str, taken: &str, list: &[String]) -> String {
    film(id, taken, "frontal", STANDING, &curves(list))
}

#[test]
fn levels_that_drift_a_level_a_year_stay_one_curve() {
    let films = [
        standing("f1", "2023-01-05", &[unnamed(["T5", "T8", "T11"], "right", 20)]),
        standing("f2", "2024-01-05", &[unnamed(["T6", "T9", "T12"], "right", 24)]),
        standing("f3", "2025-01-06", &[unnamed(["T7", "T10", "L1"], "right", 29)]),
        standing("f4", "2026-01-05", &[unnamed(["T7", "T11", "L2"], "right", 35)]),
    ];
    let facts = facts(&films.concat());
    assert_eq!(facts.children("curves"), ["main_thoracic"]);
    assert_eq!(word(&facts, "curves.main_thoracic.since_first.amount"), "15");
    assert_eq!(word(&facts, "curves.main_thoracic.first.levels"), "T5-T11");
    assert_eq!(word(&facts, "curves.main_thoracic.now.levels"), "T7-L2");
}

#[test]
fn two_thoracic_curves_stay_two() {
    let pair = |upper, main| {
        [unnamed(["T1", "T3", "T5"], "left", upper), unnamed(["T5", "T8", "T12"], "right", main)]
    };
    let films = [
        standing("f1", "2025-01-06", &pair(22, 30)),
        // Read from the feet up, and one level off.
        standing(
            "f2",
            "2026-01-05",
            &[unnamed(["T6", "T9", "T12"], "right", 37), unnamed(["T2", "T4", "T6"], "left", 24)],
        ),
    ];
    let facts = facts(&films.concat());
    assert_eq!(facts.children("curves"), ["proximal_thoracic", "main_thoracic"]);
    assert_eq!(word(&facts, "curves.proximal_thoracic.since_previous.amount"), "2");
    assert_eq!(word(&facts, "curves.main_thoracic.since_previous.amount"), "7");
}

#[test]
fn a_curve_that_comes_later_begins_there() {
    let main = |cobb| unnamed(["T5", "T8", "T12"], "right", cobb);
    let films = [
        standing("f1", "2025-01-06", &[main(22)]),
        standing("f2", "2026-01-05", &[main(30), unnamed(["T12", "L2", "L4"], "left", 18)]),
    ];
    let facts = facts(&films.concat());
    assert_eq!(word(&facts, "curves.main_thoracic.since_previous.amount"), "8");
    assert_eq!(
        word(&facts, "curves.lumbar.previous.cobb"),
        "not applicable: no earlier comparable film"
    );
}

#[test]
fn bent_over_to_the_other_side_is_the_same_curve_below_zero() {
    let lumbar = |convex, cobb| unnamed(["T11", "L1", "L4"], convex, cobb);
    let films = [
        standing("f1", "2026-01-05", &[lumbar("left", 24)]),
        film(
            "f2",
            "2026-01-05",
            "left",
            "posture: supine, support: none",
            &curves(&[lumbar("right", 3)]),
        ),
    ];
    let (facts, faults) = told(&films.concat(), "", &[]);
    assert_eq!(facts.children("curves"), ["thoracolumbar"]);
    assert!(!faults.iter().any(|f| f.contains("before")), "{faults:?}");
    assert_eq!(word(&facts, "films.f2.curves.thoracolumbar.cobb"), "\u{2212}3");
    // (24 - (-3)) / 24 = 112.5 %, half away from zero 113.
    let amount = "curves.thoracolumbar.flexibility_by.bending.amount";
    assert_eq!(word(&facts, amount), "113");
}

#[test]
fn overcorrected_in_the_brace_and_back() {
    let lumbar = |convex, cobb| unnamed(["T11", "L1", "L4"], convex, cobb);
    let films = [
        standing("f1", "2025-06-02", &[lumbar("left", 24)]),
        film(
            "f2",
            "2025-09-01",
            "frontal",
            "posture: standing, support: b1",
            &curves(&[lumbar("right", 4)]),
        ),
        film(
            "f3",
            "2026-03-02",
            "frontal",
            "posture: standing, support: none, off_for: 24 h",
            &curves(&[lumbar("left", 20)]),
        ),
    ];
    let brace = "treatments:\n  - {id: b1, kind: brace, fittings: [{on: 2025-09-01, what: delivered, film: f2}]}\n";
    let (facts, faults) = told(&films.concat(), brace, &[]);
    assert_eq!(facts.children("curves"), ["thoracolumbar"]);
    assert!(!faults.iter().any(|f| f.contains("before")), "{faults:?}");
    assert_eq!(word(&facts, "curves.thoracolumbar.in_brace.cobb"), "\u{2212}4");
    assert_eq!(word(&facts, "curves.thoracolumbar.since_previous.amount"), "\u{2212}4");
}

#[test]
fn two_plausible_partners_are_listed_and_a_name_settles_them() {
    let films = |name: &str| {
        let first = curve("x", ["T5", "T8", "T12"], "right", 30).replace("name: x, ", name);
        let second = curve("x", ["T7", "T10", "L1"], "right", 33).replace("name: x, ", name);
        [
            standing("f1", "2025-01-06", &[first]),
            standing("f2", "2026-01-05", &[unnamed(["T4", "T6", "T10"], "right", 20), second]),
        ]
        .concat()
    };
    let (_, faults) = told(&films(""), "", &[]);
    let message = "film f2: one curve seen before could be either of T4 to T10 and T7 to L1";
    assert!(faults.iter().any(|f| f == message), "{faults:?}");
    let (facts, faults) = told(&films("name: main, "), "", &[]);
    assert!(!faults.iter().any(|f| f.contains("could be")), "{faults:?}");
    assert_eq!(word(&facts, "curves.main.since_previous.amount"), "3");
}
