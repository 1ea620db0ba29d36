//! Treatment episodes through the whole reader: hours in force, casts in
//! series, growth in a brace, one brace against another. All hand-worked.

use chrono::NaiveDate;
use endplate::case::Clinic;
use endplate::case::read::{read_case, read_clinic};
use endplate::diag::Report;
use endplate::facts::{Facts, Missing, Value, derive};

fn clinic() -> Clinic {
    let text = "clinic: Test\naddress: [1 Test Row]\npeople: [{id: ab, name: A B}]\npaper: A4\ndates: day month year\nlanguage: en\n";
    read_clinic(text, "clinic.yaml", &mut Report::default()).expect("a clinic")
}

fn facts(films: &[(&str, &str, &str, &str, i32)], more: &str) -> Facts {
    let film = |(id, taken, posture, support, cobb): &(&str, &str, &str, &str, i32)| {
        format!(
            "  - {{id: {id}, taken: {taken}, view: frontal, projection: PA, displayed: from behind, \
             posture: {posture}, support: {support}, readings: [{{id: r1, by: ab, read: {taken}, \
             curves: [{{name: main, upper: T5, apex: T8, lower: T12, convex: right, cobb: {cobb} deg}}]}}]}}\n"
        )
    };
    let films: String = films.iter().map(film).collect();
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

fn shown(facts: &Facts, id: &str) -> String {
    match &facts.get(id).unwrap_or_else(|| panic!("no fact {id}")).value {
        Value::Number(n) => n.digits(),
        Value::Date(date) => date.first_day().to_string(),
        Value::Word(word) => (*word).to_string(),
        Value::Missing(Missing::NotComparable(why)) => format!("not comparable: {why}"),
        Value::Missing(Missing::NotApplicable(why)) => format!("not applicable: {why}"),
        other => format!("{other:?}"),
    }
}

const TWO: [(&str, &str, &str, &str, i32); 4] = [
    ("f1", "2025-01-06", "standing", "none", 30),
    ("f2", "2025-02-03", "standing", "b1", 18),
    ("f3", "2025-12-01", "standing", "none", 32),
    ("f4", "2026-01-12", "standing", "b2", 24),
];

const BRACES: &str = "treatments:
  - id: b1
    kind: brace
    ordered: 2025-01-13
    fittings: [{on: 2025-02-03, what: delivered, film: f2}]
    hours: [{from: 2025-02-03, per_day: 20 h/day}, {from: 2025-09-01, per_day: 16 h/day}]
    ended: {on: 2026-01-12, why: outgrown}
  - id: b2
    kind: brace
    ordered: 2025-12-08
    fittings: [{on: 2026-01-12, what: delivered, film: f4}]
    hours: [{from: 2026-01-12, per_day: 18 h/day}]
exams:
  - {on: 2025-01-06, height: 150.0 cm}
  - {on: 2025-02-10, height: 150.6 cm}
  - {on: 2025-12-01, height: 156.1 cm}
";

#[test]
fn one_brace_is_held_against_the_one_before() {
    let facts = facts(&TWO, BRACES);
    // (30 - 18) / 30 = 40 % and (32 - 24) / 32 = 25 %: 15 points less.
    assert_eq!(shown(&facts, "treatments.b2.against.b1.main.earlier_correction"), "40");
    assert_eq!(shown(&facts, "treatments.b2.against.b1.main.later_correction"), "25");
    assert_eq!(shown(&facts, "treatments.b2.against.b1.main.difference"), "\u{2212}15");
    assert_eq!(shown(&facts, "treatments.b1.in_brace.main.best.correction"), "40");
}

#[test]
fn braces_filmed_in_other_postures_are_not_compared() {
    let mut films = TWO;
    films[3].2 = "supine";
    let facts = facts(&films, BRACES);
    let found = shown(&facts, "treatments.b2.against.b1.main.difference");
    assert_eq!(found, "not comparable: one film was taken standing, the other supine");
}

#[test]
fn the_best_film_in_a_brace_need_not_be_the_latest() {
    let mut films = TWO.to_vec();
    films.insert(2, ("f5", "2025-04-07", "standing", "b1", 15));
    films.insert(3, ("f6", "2025-06-30", "standing", "b1", 21));
    let facts = facts(&films, BRACES);
    // (30 - 15) / 30 = 50 % and (30 - 21) / 30 = 30 %.
    assert_eq!(shown(&facts, "treatments.b1.in_brace.main.films"), "3");
    assert_eq!(shown(&facts, "treatments.b1.in_brace.main.best.correction"), "50");
    assert_eq!(shown(&facts, "treatments.b1.in_brace.main.latest.correction"), "30");
    assert_eq!(shown(&facts, "treatments.b1.in_brace.main.first.correction"), "40");
}

#[test]
fn a_brace_tells_its_days_its_hours_and_the_growth_in_it() {
    let facts = facts(&TWO, BRACES);
    // 13 January to 3 February: 21 days; to 12 January next year: 343 days.
    assert_eq!(shown(&facts, "treatments.b1.days_to_delivery"), "21");
    assert_eq!(shown(&facts, "treatments.b1.days"), "343");
    assert_eq!(shown(&facts, "treatments.b1.steps.s1.to"), "2025-08-31");
    assert_eq!(shown(&facts, "treatments.b1.weaning.before"), "20");
    assert_eq!(shown(&facts, "treatments.b1.weaning.now"), "16");
    // The height of 10 February is nearer to the delivery than that of 6 January.
    assert_eq!(shown(&facts, "treatments.b1.growth.at_delivery"), "150.6");
    assert_eq!(shown(&facts, "treatments.b1.growth.amount"), "5.5");
    assert_eq!(shown(&facts, "treatment.weaning.state"), "no");
    assert_eq!(shown(&facts, "films.f2.hours_in_force"), "20");
    assert_eq!(shown(&facts, "films.f3.hours_in_force"), "16");
}

#[test]
fn casts_are_counted_with_their_days() {
    let casts = "treatments:
  - id: c1
    kind: cast
    fittings:
      - {on: 2025-02-03, what: applied, film: f2}
      - {on: 2025-04-07, what: applied}
      - {on: 2025-06-16, what: removed}
    ended: {on: 2025-06-16, why: summer}
";
    let films = [TWO[0], ("f2", "2025-02-03", "supine", "c1", 18)];
    let facts = facts(&films, casts);
    // 25 + 31 + 7 and 23 + 31 + 16 days.
    assert_eq!(shown(&facts, "treatments.c1.casts.k1.days"), "63");
    assert_eq!(shown(&facts, "treatments.c1.casts.k2.days"), "70");
    assert_eq!(shown(&facts, "treatment.casts.count"), "2");
    assert_eq!(shown(&facts, "treatment.casts.changes"), "1");
    assert_eq!(shown(&facts, "treatment.casts.days"), "133");
}

#[test]
fn a_brace_of_no_hours_has_hours_and_no_share() {
    let brace = "treatments:
  - id: b1
    kind: brace
    fittings: [{on: 2025-02-03, what: delivered}]
    hours: [{from: 2025-02-03, per_day: 0 h/day}]
    wear: {downloaded: 2025-05-01, measured: [{from: 2025-03-01, to: 2025-04-30, per_day: 0.5 h/day}]}
";
    let facts = facts(&TWO[..1], brace);
    assert_eq!(shown(&facts, "treatment.current.hours"), "0");
    assert_eq!(shown(&facts, "treatment.current.wear.prescribed"), "0");
    let share = shown(&facts, "treatment.current.wear.share");
    assert_eq!(share, "not applicable: no hours of wear were asked for on the days measured");
}

#[test]
fn a_baseline_just_out_of_a_brace_says_so() {
    let mut films = TWO;
    films[2].1 = "2026-01-12";
    let facts = facts(&films, BRACES);
    let check = "treatments.b2.checks.f4.main.baseline_soon_after_support";
    assert_eq!(shown(&facts, check), "yes");
}

#[test]
fn a_lying_film_beside_a_standing_one_is_no_baseline() {
    let mut films = TWO.to_vec();
    films.insert(1, ("f5", "2025-01-06", "supine", "none", 20));
    let facts = facts(&films, BRACES);
    // Against the 30 degrees standing, not the 20 lying.
    assert_eq!(shown(&facts, "treatments.b1.checks.f2.main.baseline_cobb"), "30");
}
