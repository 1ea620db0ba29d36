//! Faults of protocol and red-flag files: each is found, at its place.

use endplate::diag::Report;
use endplate::rules::{catalogue, protocol, red_flags};

fn lines(report: &Report) -> Vec<String> {
    let line = |d: &&endplate::diag::Diagnostic| {
        let place = d.place.as_ref().unwrap();
        let (at, name) = (format!("{}:{}", place.line, place.column), d.code.name());
        format!("{at} {name}: {} | {}", d.message, d.remedy.as_deref().unwrap_or(""))
    };
    report.sorted().iter().map(line).collect()
}

fn faults(text: &str) -> Vec<String> {
    let mut report = Report::default();
    let read = protocol::read(text, "p.yaml", &catalogue::kind, &mut report);
    assert_eq!(read.is_none(), report.has_errors());
    lines(&report)
}

fn flag_faults(text: &str) -> Vec<String> {
    let mut report = Report::default();
    let read = red_flags::read(text, "f.yaml", &catalogue::kind, &mut report);
    assert_eq!(read.is_none(), report.has_errors());
    lines(&report)
}

/// A protocol with these rows in its one table.
fn with_rows(rows: &str) -> String {
    format!(
        "\
protocol: p
editions:
- edition: 2026-01
  valid_from: 2026-01-01
  braces: [{{word: night brace, from: 8 h/day, to: 12 h/day}}]
  tables:
  - table: t
    for: {{fact: patient.age, at_least: 10 years}}
    size: major.now.cobb
    rows:
{rows}
  follow_up: [{{id: f, when: {{fact: patient.age, below: 18 years}}, months: 6 months, grade: clinic, source: ours}}]
"
    )
}

const END: &str = "least: watch, most: cast, grade: clinic, source: ours}";

#[test]
fn a_sound_file_has_none() {
    let none: Vec<String> = vec![];
    let rows = format!(
        "    - {{id: a, at_most: 20 deg, {END}\n    - {{id: b, above: 20 deg, below: 25 deg, {END}\n    - {{id: c, at_least: 25 deg, {END}"
    );
    assert_eq!(faults(&with_rows(&rows)), none);
}

#[test]
fn a_misspelt_fact_a_gap_and_a_word_for_degrees_are_three_exact_diagnostics() {
    let rows = format!(
        "    - {{id: a, at_most: 20 deg, {END}
    - {{id: b, at_least: 25 deg, at_most: 30 deg, when: {{fact: maturity.riser.grade, is: 0}}, {END}
    - {{id: c, at_least: 31 deg, when: {{fact: major.previous.cobb, at_least: large}}, {END}"
    );
    assert_eq!(
        faults(&with_rows(&rows)),
        [
            "12:63 unknown-fact: there is no fact `maturity.riser.grade` | did you mean `maturity.risser.grade`?",
            "13:77 bound-unit: `large` is not a number in deg, as major.previous.cobb is | write the bound with the unit shown",
        ]
    );
    let rows =
        format!("    - {{id: a, at_most: 20 deg, {END}\n    - {{id: b, at_least: 25 deg, {END}");
    assert_eq!(
        faults(&with_rows(&rows)),
        [
            "12:7 rule-bands: no band of major.now.cobb holds 21 to 24 deg | let each band begin where the one below it ends; `at_least` and `at_most` hold at the bound itself",
        ]
    );
}

#[test]
fn bands_that_overlap_hold_nothing_or_are_no_degrees() {
    let of = |rows: &str| -> Vec<String> {
        let found = faults(&with_rows(rows));
        found.iter().map(|f| f.split(" | ").next().unwrap().to_string()).collect()
    };
    let two =
        |a: &str, b: &str| of(&format!("    - {{id: a, {a}, {END}\n    - {{id: b, {b}, {END}"));
    assert_eq!(
        two("at_most: 20 deg", "at_least: 20 deg"),
        ["12:7 rule-bands: two bands of major.now.cobb hold 20 deg"]
    );
    assert_eq!(
        two("at_most: 40 deg", "at_least: 20 deg, at_most: 30 deg"),
        ["12:7 rule-bands: two bands of major.now.cobb hold 20 to 30 deg"]
    );
    assert_eq!(
        two("below: 20 deg", "above: 20 deg"),
        ["12:7 rule-bands: no band of major.now.cobb holds 20 deg"]
    );
    assert_eq!(
        two("at_most: 20 deg", "above: 30 deg, below: 31 deg"),
        ["12:7 rule-bands: no value of major.now.cobb lies in this band",]
    );
    assert_eq!(
        two("at_most: 20 deg", "above: twenty"),
        ["12:22 bound-unit: `twenty` is not a number in deg, as major.now.cobb is"]
    );
    assert_eq!(
        two("at_most: 20.5 deg", "above: 20 deg"),
        ["11:24 bound-unit: `20.5 deg` is not in whole degrees, as major.now.cobb is"]
    );
}

#[test]
fn a_row_that_no_patient_can_reach() {
    let found = faults(&with_rows(&format!(
        "    - {{id: a, at_most: 20 deg, when: {{fact: patient.age, below: 9 years}}, {END}"
    )));
    let first: Vec<_> = found.iter().map(|f| f.split(" | ").next().unwrap()).collect();
    assert_eq!(first, ["11:38 rule-form: no value of patient.age can pass both tests"]);
}

#[test]
fn steps_grades_and_sources_that_are_none() {
    let of = |end: &str| {
        let found = faults(&with_rows(&format!("    - {{id: a, at_most: 20 deg, {end}")));
        found.join("\n")
    };
    assert_eq!(
        of("least: watch, most: brace, grade: clinic, source: ours}"),
        "11:52 rule-form: `brace` is no step of care | the steps are: discharge, watch, exercise, soft brace, rigid brace, cast, surgical opinion; a rigid brace with its hours, as in `rigid brace 16 h/day`"
    );
    assert_eq!(
        of("least: cast, most: watch, grade: clinic, source: ours}"),
        "11:7 rule-form: watch is less than cast | write the lesser step under `least`"
    );
    assert_eq!(
        of("least: watch, most: cast, grade: paper, source: ours}"),
        "11:65 rule-form: a row of grade `paper` names no published work | write `source: {work: KEY, note: WHAT IN IT}`"
    );
    assert_eq!(
        of("least: watch, most: cast, grade: law, source: ours}"),
        "11:65 rule-form: there is no grade `law` | the grades are: common practice, paper, guideline, clinic"
    );
}

#[test]
fn hours_and_months_that_cannot_be() {
    let rows = format!("    - {{id: a, at_most: 20 deg, {END}");
    let of = |from: &str, to: &str| {
        let found = faults(&with_rows(&rows).replace(from, to));
        found.iter().map(|f| f.split(" | ").next().unwrap().to_string()).collect::<Vec<_>>()
    };
    assert_eq!(of("8 h/day", "-8 h/day"), ["5:38 bound-unit: `-8 h/day` is not from 0 to 24"]);
    assert_eq!(of("12 h/day", "25 h/day"), ["5:51 bound-unit: `25 h/day` is not from 0 to 24"]);
    assert_eq!(of("8 h/day", "14 h/day"), ["5:12 rule-bands: 12 h/day is less than 14 h/day"]);
    assert_eq!(
        of("months: 6 months", "months: 0 months"),
        ["12:75 bound-unit: `0 months` is not from 1 to 120"]
    );
    assert_eq!(
        of("6 months", "6 weeks"),
        ["12:75 bound-unit: `6 weeks` is not a number in months"]
    );
}

/// Red flags with these editions, each of one flag.
fn editions(dates: &[&str]) -> String {
    let one = |dates: &&str| {
        format!(
            "- edition: 2026-01\n  {dates}\n  flags: [{{id: a, says: x, when: {{fact: exam.flags.night_pain.value, is: present}}, weight: enough alone, letter: neurological opinion, grade: clinic, source: ours}}]\n"
        )
    };
    format!("red_flags: r\neditions:\n{}", dates.iter().map(one).collect::<String>())
}

#[test]
fn editions_that_leave_days_out_or_meet() {
    let first = |dates: &[&str]| -> Vec<String> {
        let found = flag_faults(&editions(dates));
        found.iter().map(|f| f.split(" | ").next().unwrap().to_string()).collect()
    };
    let none: Vec<String> = vec![];
    let ended = "{valid_from: 2026-01-01, valid_to: 2026-06-30}";
    let line = |text: &str| text.trim_matches(['{', '}']).replace(", ", "\n  ");
    let (old, after) = (line(ended), "valid_from: 2026-07-01");
    assert_eq!(first(&[&old, after]), none);
    assert_eq!(first(&[after, &old]), none);
    assert_eq!(
        first(&[&old, "valid_from: 2026-07-03"]),
        ["8:15 rule-dates: no edition is in force from 2026-07-01 to 2026-07-02"]
    );
    assert_eq!(
        first(&[&old, "valid_from: 2026-06-30"]),
        ["8:15 rule-dates: two editions are in force on 2026-06-30"]
    );
    assert_eq!(
        first(&["valid_from: 2026-01-01", "valid_from: 2026-07-01"]),
        ["7:15 rule-dates: two editions are in force on 2026-07-01"]
    );
    assert_eq!(
        first(&["valid_from: 2026-01-01\n  valid_to: 2025-12-31"]),
        ["5:13 rule-dates: valid_to 2025-12-31 is before valid_from 2026-01-01"]
    );
}

#[test]
fn findings_weights_and_letters_that_are_none() {
    let with = |from: &str, to: &str| {
        let text = editions(&["valid_from: 2026-01-01"]).replace(from, to);
        flag_faults(&text).join("\n")
    };
    assert_eq!(
        with("night_pain", "nigt_pain"),
        "5:41 unknown-fact: there is no fact `exam.flags.nigt_pain.value` | did you mean `exam.flags.night_pain.value`?"
    );
    assert_eq!(
        with("is: present", "is: yes"),
        "5:74 bound-unit: exam.flags.night_pain.value never says `yes` | its words are: present, absent, not sure"
    );
    assert_eq!(
        with("enough alone", "much"),
        "5:92 rule-form: there is no weight `much` | the weights are: adds weight, enough alone"
    );
    assert_eq!(
        with("neurological opinion", "progress"),
        "5:114 rule-form: a red flag proposes no letter `progress` | write `neurological opinion` or `surgical opinion`"
    );
    assert_eq!(
        with("id: a", "id: any"),
        "5:16 bad-id: `any` cannot be the id of a red flag | ".to_string() + &remedy("bad-id")
    );
    assert_eq!(with("night_pain", "own_weight_loss"), "");
}

fn remedy(code: &str) -> String {
    endplate::diag::Code::named(code).unwrap().info().remedy.to_string()
}
