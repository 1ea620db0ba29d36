//! Faults of rule files: each is found, at its line and column.

use endplate::diag::Report;
use endplate::rules::{catalogue, payer};

/// The faults of a payer's file, as `line:column code: message | remedy`.
fn faults(text: &str) -> Vec<String> {
    let mut report = Report::default();
    let payer = payer::read(text, "p.yaml", &catalogue::kind, &mut report);
    assert_eq!(payer.is_none(), report.has_errors());
    let line = |d: &&endplate::diag::Diagnostic| {
        let place = d.place.as_ref().unwrap();
        let (at, name) = (format!("{}:{}", place.line, place.column), d.code.name());
        format!("{at} {name}: {}", d.message)
    };
    report.sorted().iter().map(line).collect()
}

/// A file with one criterion that asks this.
fn asking(when: &str) -> String {
    format!(
        "payer: p\nname: P\npolicies:\n- policy: A\n  edition: 2026-07\n  \
         valid_from: 2026-07-01\n  criteria:\n  - id: a\n    worded: \"A.\"\n    when: {when}\n"
    )
}

#[test]
fn a_sound_file_has_none() {
    let none: Vec<String> = vec![];
    for when in [
        "{fact: major.now.cobb, at_least: 25 deg}",
        "{fact: major.now.cobb, in: [25 deg, 26 deg], source: \"the policy's table 2\"}",
        "{fact: major.side, is: left, source: {work: lonstein-1984, note: x}}",
        "{not: {any: [{fact: maturity.risser.grade, is: 0}, {fact: patient.age, above: 30 months}]}}",
    ] {
        assert_eq!(faults(&asking(when)), none, "{when}");
    }
}

#[test]
fn three_slips_three_exact_diagnostics() {
    let text = "\
payer: p
name: P
policies:
- policy: A
  edition: 2026-07
  valid_from: 2026-07-01
  criteria:
  - id: a
    worded: \"A.\"
    when: {fact: major.now.cob, at_least: 25 deg}
  - id: b
    worded: \"B.\"
    when:
      all:
        - {fact: major.now.cobb, at_least: large}
        - {fact: maturity.risser.scale, is: us}
";
    assert_eq!(
        faults(text),
        [
            "10:18 unknown-fact: there is no fact `major.now.cob`",
            "15:44 bound-unit: `large` is not a number in deg, as major.now.cobb is",
            "16:45 bound-unit: maturity.risser.scale never says `us`",
        ]
    );
}

#[test]
fn bounds_that_are_not_of_the_facts_kind() {
    let cases = [
        (
            "{fact: major.now.cobb, above: 25}",
            "10:41 bound-unit: `25` is not a number in deg, as major.now.cobb is",
        ),
        (
            "{fact: major.now.cobb, above: 25 cm}",
            "10:41 bound-unit: `25 cm` is not a number in deg, as major.now.cobb is",
        ),
        (
            "{fact: major.now.cobb, above: .nan}",
            "10:41 bound-unit: `.nan` is not a number in deg, as major.now.cobb is",
        ),
        (
            "{fact: maturity.risser.grade, above: 2 deg}",
            "10:48 bound-unit: `2 deg` is not a number without unit, as maturity.risser.grade is",
        ),
        (
            "{fact: patient.age, below: 18}",
            "10:38 bound-unit: `18` is not an age in years or months, as patient.age is",
        ),
        (
            "{fact: patient.age, is: 18 years}",
            "10:31 rule-form: `is` cannot be asked of patient.age, an age in years or months",
        ),
        (
            "{fact: maturity.menarche.state, at_least: had}",
            "10:43 rule-form: `at_least` cannot be asked of maturity.menarche.state, a word",
        ),
        (
            "{fact: major.now.taken, is: 2026-07-01}",
            "10:35 rule-form: `is` cannot be asked of major.now.taken, a value that is shown but not compared",
        ),
    ];
    for (when, expected) in cases {
        assert_eq!(faults(&asking(when)), [expected], "{when}");
    }
}

#[test]
fn conditions_that_cannot_be_evaluated() {
    let cases = [
        (
            "{fact: patient.age}",
            "10:11 rule-form: the condition has no test; it would hold for any value",
        ),
        (
            "{fact: maturity.risser.grade, at_least: 0, at_most: 2}",
            "10:54 rule-form: `at_least` and `at_most` in one condition",
        ),
        ("{at_least: 2}", "10:11 missing-key: a condition lacks `fact`"),
        ("{all: []}", "10:17 wrong-shape: `all` is a list of at least one, found an empty list"),
        (
            "{any: {fact: patient.age, below: 3 years}}",
            "10:17 wrong-shape: `any` is a list of at least one, found a record",
        ),
        (
            "{all: [{fact: patient.age, below: 3 years}], any: []}",
            "10:12 rule-form: `all` stands beside other keys of one condition",
        ),
        (
            "{fact: maturity.risser.grade, in: []}",
            "10:45 wrong-shape: `in` is a list of at least one, found an empty list",
        ),
        (
            "{fact: patient.age, belwo: 3 years}",
            "10:31 unknown-key: a condition has no key `belwo`",
        ),
        (
            "3 deg",
            "10:11 wrong-shape: a condition is a record of keys and values, found a single value",
        ),
        (
            "{fact: patient.age, below: 3 years, source: {work: weinstein-2031}}",
            "10:62 rule-form: no published work is known as `weinstein-2031`",
        ),
    ];
    for (when, expected) in cases {
        let found = faults(&asking(when));
        assert!(found.contains(&expected.to_string()), "{when}: {found:#?}");
    }
}

#[test]
fn bounds_that_no_value_or_every_value_passes() {
    let fault = |join: &str, a: &str, b: &str| {
        let part = |test: &str| format!("{{fact: major.now.cobb, {test} deg}}");
        faults(&asking(&format!("{{{join}: [{}, {}]}}", part(a), part(b)))).len()
    };
    for (join, a, b, expected) in [
        ("all", "at_least: 20", "at_most: 45", 0),
        ("all", "at_least: 45", "at_most: 20", 1),
        ("all", "below: 20", "above: 45", 1),
        ("all", "at_least: 20", "at_most: 20", 0),
        ("all", "above: 20", "at_most: 20", 1),
        ("all", "at_least: 20", "below: 20", 1),
        ("all", "at_least: 20", "above: 45", 0),
        ("any", "below: 20", "above: 45", 0),
        ("any", "at_least: 20", "at_most: 45", 1),
        ("any", "above: 20", "below: 20", 0),
        ("any", "at_least: 20", "below: 20", 1),
    ] {
        assert_eq!(fault(join, a, b), expected, "{join} {a} {b}");
    }
    let when =
        "{any: [{fact: patient.age, below: 18 years}, {fact: patient.age, at_least: 24 months}]}";
    assert_eq!(
        faults(&asking(when)),
        ["10:56 rule-form: every value of patient.age passes one of the two tests"]
    );
}

#[test]
fn policies_whose_days_or_ids_contradict_each_other() {
    let text = "\
payer: p
name: P
policies:
- policy: A
  edition: 2026-07
  valid_from: 2026-07-01
  valid_to: 2026-06-30
  criteria: [{id: a, worded: A, stated: x}, {id: a, worded: B, stated: y}]
- policy: B
  edition: 2025
  valid_from: 2025-01-01
  criteria:
  - {id: a, worded: A, stated: x, when: {fact: patient.age, below: 3 years}}
  - {id: b, worded: A}
- policy: C
  edition: soon
  valid_from: 2025-02
  criteria: [{id: a, worded: A, stated: x}]
  colour: red
";
    let found = faults(text);
    for expected in [
        "7:13 rule-dates: valid_to 2026-06-30 is before valid_from 2026-07-01",
        "8:50 duplicate-id: two criteria have the id `a`",
        "13:5 rule-form: a criterion is answered by `when` or by `stated`, not by both",
        "14:5 rule-form: a criterion needs `when` or `stated`",
        "19:3 unknown-key: a policy has no key `colour`",
    ] {
        assert!(found.contains(&expected.to_string()), "{expected}\n{found:#?}");
    }
    assert!(found.iter().any(|f| f.starts_with("16:12 ")), "{found:#?}");
    assert!(found.iter().any(|f| f.starts_with("17:15 ")), "{found:#?}");
    assert_eq!(found.len(), 7);
}

#[test]
fn two_editions_on_one_day() {
    let edition = |from: &str, to: &str| {
        format!(
            "- {{policy: A, edition: 2026, valid_from: {from}, valid_to: {to}, \
             criteria: [{{id: a, worded: A, stated: x}}]}}\n"
        )
    };
    let file =
        |first: String, second: String| format!("payer: p\nname: P\npolicies:\n{first}{second}");
    let (first, touching) =
        (edition("2026-01-01", "2026-06-30"), edition("2026-06-30", "2026-12-31"));
    let expected = ["5:42 rule-dates: two editions are in force on 2026-06-30"];
    assert_eq!(faults(&file(first.clone(), touching.clone())), expected);
    let next = edition("2026-07-01", "2026-12-31");
    assert!(faults(&file(first, next)).is_empty());
    // The order in which they are written does not matter.
    let around = edition("2026-01-01", "2026-12-31");
    let within = edition("2026-03-01", "2026-04-01");
    assert_eq!(
        faults(&file(around, within)),
        ["5:42 rule-dates: two editions are in force on 2026-03-01"]
    );
}

#[test]
fn broken_yaml_ends_the_file_only() {
    assert_eq!(faults("payer: [p").len(), 1);
    assert_eq!(faults("").len(), 1);
    assert_eq!(faults("- a\n").len(), 1);
}
