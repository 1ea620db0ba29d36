//! Which film counts as now, and which readings make its value: hand-worked
//! cases through the whole reader.

use chrono::NaiveDate;
use endplate::case::Clinic;
use endplate::case::read::{read_case, read_clinic};
use endplate::diag::Report;
use endplate::facts::{Facts, derive};

fn clinic() -> Clinic {
    let text = "clinic: Test\naddress: [1 Test Row]\npeople: [{id: ab, name: A B}, {id: cd, name: C D}]\npaper: A4\ndates: day month year\nlanguage: en\n";
    read_clinic(text, "clinic.yaml", &mut Report::default()).expect("a clinic")
}

fn facts(films: &str, more: &str) -> Facts {
    let text = format!(
        "case: t-1\npatient: {{name: Test Person, born: 2012-01-01, sex: female}}\n\
         diagnosis: {{cause: idiopathic, found: 2024-01}}\ncontacts: []\nfilms:\n{films}{more}"
    );
    let mut report = Report::default();
    let case = read_case(&text, "t-1.yaml", &|_| Err("none".into()), &mut report);
    let faults: Vec<_> = report.iter().map(|d| d.message.clone()).collect();
    let case = case.unwrap_or_else(|| panic!("{faults:?}"));
    derive(&case, &clinic(), NaiveDate::from_ymd_opt(2026, 6, 1).unwrap(), None).facts
}

fn film(id: &str, taken: &str, posture: &str, support: &str, readings: &str) -> String {
    format!(
        "  - {{id: {id}, taken: {taken}, view: frontal, projection: PA, displayed: from behind, \
         posture: {posture}, support: {support}, readings: [{readings}]}}\n"
    )
}

fn reading(id: &str, by: &str, read: &str, cobb: &str) -> String {
    format!(
        "{{id: {id}, by: {by}, read: {read}, curves: [{{name: main, upper: T5, apex: T8, \
         lower: T12, convex: right, cobb: {cobb} deg}}]}}"
    )
}

fn digits(facts: &Facts, id: &str) -> String {
    let fact = facts.get(id).unwrap_or_else(|| panic!("no fact {id}"));
    fact.number().unwrap_or_else(|| panic!("{id}: {:?}", fact.value)).digits()
}

#[test]
fn a_lying_film_beside_a_standing_one_is_flexibility_not_now() {
    let films = [
        film("f1", "2025-06-02", "standing", "none", &reading("r1", "ab", "2025-06-02", "30")),
        film("f2", "2026-05-04", "standing", "none", &reading("r1", "ab", "2026-05-04", "40")),
        film("f3", "2026-05-05", "supine", "none", &reading("r1", "ab", "2026-05-05", "28")),
    ];
    let facts = facts(&films.concat(), "");
    assert_eq!(digits(&facts, "major.now.cobb"), "40");
    assert_eq!(digits(&facts, "major.since_previous.amount"), "10");
    // (40 - 28) / 40 = 30 %, worked by hand.
    assert_eq!(digits(&facts, "major.flexibility.amount"), "30");
}

#[test]
fn an_infant_who_only_lies_is_measured_lying() {
    let films =
        film("f1", "2026-05-04", "supine", "none", &reading("r1", "ab", "2026-05-04", "28"));
    assert_eq!(digits(&facts(&films, ""), "major.now.cobb"), "28");
}

#[test]
fn one_reader_counts_once_and_two_are_averaged() {
    // ab read 30, then 33; cd read 36: (33 + 36) / 2 = 34.5, reported 35.
    let readings = [
        reading("r1", "ab", "2026-05-04", "30"),
        reading("r2", "ab", "2026-05-06", "33"),
        reading("r3", "cd", "2026-05-05", "36"),
    ];
    let films = film("f1", "2026-05-04", "standing", "none", &readings.join(", "));
    let facts = facts(&films, "");
    assert_eq!(digits(&facts, "major.now.cobb"), "35");
    assert_eq!(digits(&facts, "major.now.readers"), "2");
}

#[test]
fn correction_is_told_from_the_last_film_before_the_brace() {
    // 32 to 18 degrees: 43.75 %, reported 44 (formula: Acta Orthop Belg 89(3)).
    let films = [
        film("f1", "2026-01-05", "standing", "none", &reading("r1", "ab", "2026-01-05", "32")),
        film("f2", "2026-03-02", "standing", "b1", &reading("r1", "ab", "2026-03-02", "18")),
    ];
    let brace = "treatments:\n  - {id: b1, kind: brace, fittings: [{on: 2026-03-02, what: delivered, film: f2}]}\n";
    let facts = facts(&films.concat(), brace);
    assert_eq!(digits(&facts, "major.in_brace.correction"), "44");
    assert_eq!(facts.get("major.in_brace.correction").unwrap().unrounded, Some(43.75));
    assert_eq!(digits(&facts, "major.now.cobb"), "32");
    assert_eq!(digits(&facts, "major.in_brace.baseline_months"), "2");
}

#[test]
fn verdicts_follow_the_limit_for_the_readers() {
    // Same reader, same ends: the floor of 6 degrees (Negrini 2014, Kuroki 2015).
    for (now, verdict) in
        [("25", "unchanged"), ("26", "worse"), ("15", "unchanged"), ("14", "better")]
    {
        let films = [
            film("f1", "2025-05-04", "standing", "none", &reading("r1", "ab", "2025-05-04", "20")),
            film("f2", "2026-05-04", "standing", "none", &reading("r1", "ab", "2026-05-04", now)),
        ];
        let facts = facts(&films.concat(), "");
        assert_eq!(
            facts.get("major.since_previous.verdict").unwrap().word(),
            Some(verdict),
            "{now}"
        );
    }
}

#[test]
fn an_overcorrected_curve_is_negative_and_the_same_curve() {
    let turned = reading("r1", "ab", "2026-03-02", "4").replace("convex: right", "convex: left");
    let films = [
        film("f1", "2026-01-05", "standing", "none", &reading("r1", "ab", "2026-01-05", "25")),
        film("f2", "2026-03-02", "standing", "b1", &turned),
    ];
    let brace =
        "treatments:\n  - {id: b1, kind: brace, fittings: [{on: 2026-03-02, what: delivered}]}\n";
    let facts = facts(&films.concat(), brace);
    assert_eq!(facts.children("curves").len(), 1);
    assert_eq!(digits(&facts, "major.in_brace.cobb"), "\u{2212}4");
    // (25 + 4) / 25 = 116 %, worked by hand.
    assert_eq!(digits(&facts, "major.in_brace.correction"), "116");
}

fn faults(films: &str) -> Vec<String> {
    let text = format!(
        "case: t-1\npatient: {{name: Test Person, born: 2012-01-01, sex: female}}\n\
         diagnosis: {{cause: idiopathic, found: 2024-01}}\ncontacts: []\nfilms:\n{films}"
    );
    let mut report = Report::default();
    let case = read_case(&text, "t-1.yaml", &|_| Err("none".into()), &mut report).expect("a case");
    let day = NaiveDate::from_ymd_opt(2026, 6, 1).unwrap();
    let derived = derive(&case, &clinic(), day, None);
    derived.report.iter().map(|d| d.code.name().to_string()).collect()
}

fn curve(upper: &str, apex: &str, lower: &str, side: &str, cobb: &str) -> String {
    format!("{{upper: {upper}, apex: {apex}, lower: {lower}, convex: {side}, cobb: {cobb} deg}}")
}

fn read(curves: &[String]) -> String {
    format!("{{id: r1, by: ab, read: 2026-05-04, curves: [{}]}}", curves.join(", "))
}

#[test]
fn an_unnamed_curve_on_the_other_side_is_an_error() {
    let at = |side| read(&[curve("T5", "T8", "T12", side, "30")]);
    let films = [
        film("f1", "2025-06-02", "standing", "none", &at("right")),
        film("f2", "2026-05-04", "standing", "none", &at("left")),
    ];
    assert_eq!(faults(&films.concat()), ["curve-side-changed"]);
}

#[test]
fn one_curve_that_could_be_either_of_two_later_ones_is_an_error() {
    let one = read(&[curve("T5", "T8", "T11", "right", "30")]);
    let two =
        read(&[curve("T4", "T7", "T10", "right", "20"), curve("T6", "T9", "T12", "right", "22")]);
    let films = [
        film("f1", "2025-06-02", "standing", "none", &one),
        film("f2", "2026-05-04", "standing", "none", &two),
    ];
    assert!(faults(&films.concat()).contains(&"curve-ambiguous".to_string()));
}

#[test]
fn a_bend_to_the_other_side_counts_below_zero() {
    // From 30 degrees right to 5 left: (30 + 5) / 30 = 116.7 %, by hand.
    let bent = reading("r1", "ab", "2026-05-04", "5").replace("convex: right", "convex: left");
    let bending = format!(
        "  - {{id: f2, taken: 2026-05-04, view: bending, projection: AP, displayed: from behind, \
         posture: supine, support: none, bent_to: right, readings: [{bent}]}}\n"
    );
    let standing =
        film("f1", "2026-05-04", "standing", "none", &reading("r1", "ab", "2026-05-04", "30"));
    let facts = facts(&format!("{standing}{bending}"), "");
    assert_eq!(facts.children("curves").len(), 1);
    assert_eq!(digits(&facts, "major.flexibility.amount"), "117");
}

#[test]
fn a_negative_angle_first_seen_in_the_brace_keeps_the_natural_side() {
    let turned = reading("r1", "ab", "2026-03-02", "-4");
    let films = [
        film("f1", "2026-03-02", "standing", "b1", &turned),
        film("f2", "2026-05-04", "standing", "none", &reading("r1", "ab", "2026-05-04", "20")),
    ];
    let brace =
        "treatments:\n  - {id: b1, kind: brace, fittings: [{on: 2026-03-02, what: delivered}]}\n";
    let facts = facts(&films.concat(), brace);
    assert_eq!(facts.children("curves").len(), 1);
    assert!(matches!(
        facts.get("major.side").unwrap().value,
        endplate::facts::Value::Side(endplate::spine::Side::Right)
    ));
    assert_eq!(digits(&facts, "films.f1.curves.main.cobb"), "\u{2212}4");
}

#[test]
fn neighbours_on_opposite_sides_are_no_conflict() {
    // A right curve that moved down a little, over a left one not read again.
    let first = [curve("T5", "T7", "T9", "right", "40"), curve("T9", "T11", "L1", "left", "34")];
    let second = [curve("T6", "T8", "T11", "right", "43")];
    let films = [
        film("f1", "2025-06-02", "standing", "none", &read(&first)),
        film("f2", "2026-05-04", "standing", "none", &read(&second)),
    ];
    assert_eq!(faults(&films.concat()), Vec::<String>::new());
}

/// The same reading made again.
fn repeat(id: &str, by: &str, read: &str, cobb: &str) -> String {
    reading(id, by, read, cobb).replacen("curves:", "repeat_of: r1, curves:", 1)
}

#[test]
fn readings_of_one_film_show_their_spread() {
    let two = [
        reading("r1", "ab", "2026-05-04", "30"),
        reading("r2", "cd", "2026-05-05", "34"),
        repeat("r3", "ab", "2026-05-06", "32"),
    ];
    let films = film("f1", "2026-05-04", "standing", "none", &two.join(", "));
    let all = facts(&films, "");
    let of = |item: &str| digits(&all, &format!("films.f1.curves.main.{item}"));
    // Mean over readers (30 + 34) / 2; of 30, 34 and 32 the SD is 2, and
    // 2 / root 3 = 1.155. Worked by hand.
    assert_eq!((of("cobb"), of("readers"), of("repeats")), ("32".into(), "2".into(), "1".into()));
    assert_eq!((of("sd"), of("sem")), ("2.0".into(), "1.2".into()));
    assert_eq!(digits(&all, "films.f1.readings.r3.curves.main.cobb"), "32");
    let one = film("f1", "2026-05-04", "standing", "none", &two[0]);
    let alone = facts(&one, "");
    assert!(alone.get("films.f1.curves.main.sd").unwrap().missing().is_some());
}

fn doubt(facts: &Facts, film: &str) -> String {
    let fact = facts.get(&format!("films.{film}.curves.main.cobb")).unwrap();
    fact.uncertainty.as_ref().unwrap().half_width.digits()
}

#[test]
fn a_film_is_as_sure_as_its_group_is_read() {
    let films = [
        film("f1", "2021-06-01", "standing", "none", &reading("r1", "ab", "2021-06-01", "20")),
        film("f2", "2025-06-02", "standing", "none", &reading("r1", "ab", "2025-06-02", "30")),
        film("f3", "2026-05-04", "standing", "none", &reading("r1", "ab", "2026-05-04", "33"))
            .replace("upper: T5", "upper: T6"),
    ];
    let facts = facts(&films.concat(), "");
    // 6 / root 2 at nine years (Loder 2004); 3.8 / root 2 with the ends of the
    // film before, 4.9 / root 2 with others (Morrissy 1990).
    assert_eq!(["f1", "f2", "f3"].map(|f| doubt(&facts, f)), ["4.2", "2.7", "3.5"]);
}

#[test]
fn a_slope_wants_three_comparable_films() {
    let on = |id: &str, taken: &str, cobb: &str| {
        film(id, taken, "standing", "none", &reading("r1", "ab", taken, cobb))
    };
    let four = [
        on("f1", "2023-05-01", "20"),
        on("f2", "2024-05-01", "24"),
        on("f3", "2025-05-01", "22"),
        on("f4", "2026-05-01", "29"),
    ];
    let all = facts(&four.concat(), "");
    // Slopes a year between the six pairs, in years of 365.25 days (366, 365
    // and 365 days apart): 3.99, -2.00, 7.00, 1.00, 2.50 and 3.00: the middle
    // of 2.50 and 3.00 is 2.75, or 2.7505 by scipy 1.17.1, theilslopes.
    assert_eq!(digits(&all, "curves.main.slope.per_year"), "2.8");
    // scipy 1.17.1, linregress: 2.4997.
    assert_eq!(digits(&all, "curves.main.slope.least_squares"), "2.5");
    assert_eq!(digits(&all, "curves.main.slope.films"), "4");
    assert_eq!(digits(&all, "major.slope.films"), "4");
    let two = facts(&four[2..].concat(), "");
    let why = two.get("curves.main.slope.per_year").unwrap().missing().unwrap();
    assert_eq!(why.why(), "2 comparable films, and a slope wants 3");
}
