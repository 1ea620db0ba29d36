//! Care protocol and red flags on whole cases: what the demo's cases get, what
//! `check` says, what letters say.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use endplate::case::{Case, LetterEntry};
use endplate::diag::Report;
use endplate::facts::{Derived, Value};
use endplate::pipeline::Press;
use endplate::pipeline::io::Folder;
use endplate::render::text::plain;

use crate::support::demo::{case_text, demo, shown, sound};

fn last(case: &Case) -> &LetterEntry {
    case.letters.iter().max_by_key(|l| l.as_of.value).unwrap()
}

fn derived(case: &Case) -> Derived {
    let (demo, letter) = (demo(), last(case));
    demo.press.derive(case, &demo.clinic, letter.as_of.value, Some(letter))
}

fn word(derived: &Derived, id: &str) -> String {
    match derived.facts.get(id).map(|f| &f.value) {
        Some(Value::Word(word)) => (*word).into(),
        Some(Value::Number(n)) => n.digits(),
        Some(Value::Missing(missing)) => missing.kind().into(),
        other => format!("{other:?}"),
    }
}

fn step(derived: &Derived, id: &str) -> String {
    let hours = derived.facts.get(&format!("{id}_hours")).and_then(|f| f.number());
    match hours {
        Some(hours) => format!("{} {}", word(derived, id), hours.digits()),
        None => word(derived, id),
    }
}

fn counting(derived: &Derived) -> Vec<String> {
    let flags = derived.facts.children("red_flags");
    let counts = |id: &&&str| {
        let fact = derived.facts.get(&format!("red_flags.{id}.counts"));
        fact.and_then(|f| f.word()) == Some("yes")
    };
    flags.iter().filter(counts).map(|id| id.to_string()).collect()
}

/// Read by hand: the sizes, Risser grades and plans stand in the case files,
/// the rows in the sources named by the rule file.
#[test]
fn what_the_demo_cases_get() {
    #[rustfmt::skip]
    let expected: &[(&str, &str, &str, &str, &[&str])] = &[
        // 47 degrees, Risser 4: surgery by both sources; a surgeon is asked.
        ("fw-0087", "surgical opinion to surgical opinion", "surgical opinion", "yes", &[]),
        // 36 degrees, Risser 1: exercises to surgery; a second brace, 20 h.
        ("fw-0096", "exercise to surgical opinion", "rigid brace 20", "yes", &[]),
        // 19 degrees, Risser 3, in a brace for 22 h: weaned from here on.
        ("fw-0103", "watch to rigid brace 24", "rigid brace 22", "yes", &[]),
        // Kyphosis of 54: below the sizes for which there is evidence.
        ("fw-0109", "not applicable to not applicable", "rigid brace 16", "not covered", &[]),
        // 3 years, rib-vertebra angle difference of 27 on its last film.
        ("fw-0118", "rigid brace 12 to cast", "rigid brace 20", "yes", &[]),
        // 68 years, degenerative, 26 degrees: exercises.
        ("fw-0125", "watch to exercise", "exercise", "yes", &[]),
        // 9 years, 22 degrees: night brace; above 20 before the age of 10.
        ("fw-0131", "watch to rigid brace 12", "rigid brace 9", "yes", &["early-onset-size"]),
        // 7 degrees: an asymmetry, watched.
        ("fw-0140", "watch to exercise", "watch", "yes", &[]),
        // Neuromuscular: no published steps; its signs are explained.
        ("fw-0147", "not applicable to not applicable", "surgical opinion", "not covered", &[]),
        ("fw-0156", "not applicable to not applicable", "surgical opinion", "not covered", &["congenital"]),
        // Cause not yet known: five findings and a boy.
        ("fw-0163", "not applicable to not applicable", "watch", "not covered",
         &["abdominal-reflex", "neurological-signs", "left-thoracic", "male", "kyphotic-apex", "cavus-feet"]),
        // 33 degrees, Risser 1: a brace, 18 h.
        ("fw-0171", "exercise to surgical opinion", "rigid brace 18", "yes", &[]),
    ];
    for (id, range, plan, within, flags) in expected {
        let found = derived(demo().case(id));
        let least = step(&found, "protocol.range.least");
        let most = step(&found, "protocol.range.most");
        assert_eq!(format!("{least} to {most}"), *range, "{id}");
        assert_eq!(step(&found, "protocol.plan"), *plan, "{id}");
        assert_eq!(word(&found, "protocol.within"), *within, "{id}");
        assert_eq!(counting(&found), *flags, "{id}");
        assert_eq!(word(&found, "red_flags.unanswered"), "no", "{id}");
    }
    assert_eq!(expected.len(), 12);
}

#[test]
fn check_says_nothing_of_the_demo() {
    let none: Vec<String> = vec![];
    for case in &demo().cases {
        assert_eq!(told(case), none, "{}", case.id.value);
    }
}

#[test]
fn with_every_finding_recorded_no_flag_is_left_open() {
    let found = derived(demo().case("fw-0171"));
    assert_eq!(word(&found, "red_flags.any"), "no");
    // One finding not sure, and several nobody wrote down.
    assert_eq!(word(&derived(demo().case("fw-0125")), "red_flags.any"), "cannot tell");
    assert_eq!(word(&derived(demo().case("fw-0087")), "red_flags.any"), "cannot tell");
}

/// A demo case with something changed in its text.
fn changed(id: &str, from: &str, to: &str) -> Case {
    let text = case_text(id);
    assert!(text.contains(from), "{from}");
    sound(&text.replacen(from, to, 1), id)
}

fn told(case: &Case) -> Vec<String> {
    let (demo, mut report) = (demo(), Report::default());
    demo.press.check_care(case, &demo.clinic, &mut report);
    report.sorted().iter().map(|d| format!("{}: {}", d.code.name(), d.message)).collect()
}

#[test]
fn a_plan_outside_the_range_needs_a_reason() {
    let plan = "    choice: continue\n    because: the curve has not changed beyond the error of measurement, she is still growing, and the hours have come back with the cooler weather\n";
    let less = changed("fw-0171", plan, "    choice: watch\n    because: her own wish\n");
    let found = derived(&less);
    assert_eq!(word(&found, "protocol.within"), "no");
    assert_eq!(word(&found, "protocol.side"), "less");
    assert_eq!(word(&found, "protocol.reason"), "recorded");
    assert_eq!(told(&less), Vec::<String>::new());
    let bare = changed("fw-0171", plan, "    choice: watch\n");
    assert_eq!(word(&derived(&bare), "protocol.reason"), "not recorded");
    assert_eq!(
        told(&bare),
        [
            "plan-outside-protocol: the plan of 2026-11-02 is watch, and the protocol allows exercise to surgical opinion"
        ]
    );
    let letter = written(&bare);
    assert!(letter.contains("names exercises to a surgeon’s opinion. The plan is watching, which is less; no reason is recorded."), "{letter}");
}

fn written(case: &Case) -> String {
    let (demo, letter) = (demo(), case.letters.first().unwrap());
    let written = demo.press.write(case, letter, &demo.clinic).unwrap_or_else(|r| {
        panic!("{}", shown(&r));
    });
    plain(&written.letter).split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn without_a_risser_grade_the_letter_says_what_is_missing() {
    let text = case_text("fw-0171")
        .replace(
            "maturity: {risser: {grade: 0, scale: US}, triradiate: closed}",
            "maturity: {triradiate: closed}",
        )
        .replace(
            "maturity: {risser: {grade: 1, scale: US}, triradiate: closed}",
            "maturity: {triradiate: closed}",
        );
    let case = sound(&text, "fw-0171");
    let found = derived(&case);
    assert_eq!(word(&found, "protocol.within"), "cannot tell");
    assert_eq!(word(&found, "protocol.range.least"), "cannot tell");
    let letter = written(&case);
    let said = "Whether the plan lies within the clinic’s care protocol cannot be told. What is missing: Risser grade: not recorded.";
    assert!(letter.contains(said), "{letter}");
}

#[test]
fn a_red_flag_waits_for_its_answer_and_an_older_answer_does_not_cover_it() {
    let open = changed("fw-0171", "night_pain: absent", "night_pain: present");
    let found = derived(&open);
    assert_eq!(counting(&found), ["night-pain"]);
    assert_eq!(word(&found, "red_flags.unanswered"), "yes");
    assert_eq!(word(&found, "red_flags.letter"), "neurological opinion");
    assert_eq!(told(&open), ["red-flag: red flag `night-pain`: pain that wakes or disrupts"]);
    let letter = written(&open);
    assert!(letter.contains("Red flags: pain that wakes or disrupts. What follows from it is not decided yet; a specialist’s opinion is proposed."), "{letter}");

    let answer = |on: &str| {
        let text = case_text("fw-0171")
            .replacen("night_pain: absent", "night_pain: present", 1)
            .replacen("letters:\n", &format!("answers:\n  - {{flag: night-pain, on: {on}, by: ev, what: no imaging, because: it was one night after a fall}}\n\nletters:\n"), 1);
        sound(&text, "fw-0171")
    };
    // Answered in July, found in November: the answer was of something else.
    let older = derived(&answer("2026-07-20"));
    assert_eq!(word(&older, "red_flags.unanswered"), "yes");
    let same_day = answer("2026-11-02");
    let found = derived(&same_day);
    assert_eq!(word(&found, "red_flags.unanswered"), "no");
    assert_eq!(word(&found, "red_flags.night-pain.answer.what"), "no imaging");
    assert_eq!(told(&same_day), Vec::<String>::new());
    let letter = written(&same_day);
    assert!(letter.contains("No imaging (decided on 2 November 2026 by Dr Emlyn Vasko). Why: it was one night after a fall."), "{letter}");
    // A letter of 9 November does not know an answer of the tenth; `check`
    // is content with it.
    let later = answer("2026-11-10");
    assert_eq!(word(&derived(&later), "red_flags.unanswered"), "yes");
    assert_eq!(told(&later), Vec::<String>::new());
}

#[test]
fn misspelt_answers_and_findings_that_nobody_asks_for() {
    let case = changed("fw-0171", "night_pain: absent", "night_pain: absent, own_rash: present");
    assert_eq!(told(&case), ["finding-not-asked: no red flag asks for the finding `own_rash`"]);
    let case = changed(
        "fw-0171",
        "letters:\n",
        "answers: [{flag: night-pian, on: 2026-11-02, by: ev, what: no imaging}]\nletters:\n",
    );
    assert_eq!(told(&case), ["answer-to-no-flag: no red flag has the id `night-pian`"]);
}

#[test]
fn free_text_decides_nothing() {
    for (text, warned) in [
        ("absent on the left", true),
        ("weaker on the right", true),
        ("no clonus, not weak", false),
        ("symmetric", false),
    ] {
        let from =
            "abdominal_reflexes: symmetric}\n    flags: {abdominal_reflex_abnormal: absent, ";
        let to = format!("abdominal_reflexes: \"{text}\"}}\n    flags: {{");
        let case = changed("fw-0171", from, &to);
        assert_eq!(counting(&derived(&case)), Vec::<String>::new(), "{text}");
        let said = told(&case);
        assert_eq!(
            said.iter().any(|s| s.starts_with("finding-in-text")),
            warned,
            "{text}: {said:?}"
        );
    }
}

#[test]
fn below_the_definition_no_letter_speaks_of_scoliosis_and_no_code_is_proposed() {
    let mut seen = 0;
    for (case, entry) in demo().letters() {
        let written = demo().written(case, entry);
        let facts = &written.derived.facts;
        let below = facts.get("diagnosis.below_definition").and_then(|f| f.word()) == Some("yes");
        if !below {
            continue;
        }
        seen += 1;
        let text = plain(&written.letter).to_lowercase();
        assert!(!text.contains("scoliosis"), "{}: {text}", case.id.value);
        assert!(facts.get("code.icd").is_none_or(|f| f.missing().is_some()));
    }
    assert!(seen > 0);
    // The family's letter of such a case too.
    let text =
        case_text("fw-0140").replacen("    to: gp\n    copies: [home]\n", "    to: home\n", 1);
    let case = sound(&text, "fw-0140");
    assert!(!written(&case).to_lowercase().contains("scoliosis"));
}

/// A clinic's own files take the place of the built-in ones.
#[test]
fn a_clinic_keeps_its_own_protocol() {
    let own = "\
protocol: ours
editions:
- edition: 2026-07
  valid_from: 2026-07-01
  braces: [{word: night brace, from: 8 h/day, to: 12 h/day}]
  tables:
  - table: all
    for: {fact: major.plane, is: frontal}
    size: major.now.cobb
    rows:
    - {id: small, below: 30 deg, least: watch, most: exercise, grade: clinic, source: ours}
    - {id: large, at_least: 30 deg, least: rigid brace 20 h/day, most: cast, grade: clinic, source: ours}
  follow_up: [{id: f, when: {fact: major.plane, is: frontal}, months: 4 months, grade: clinic, source: ours}]
";
    let root = tempfile::tempdir().unwrap();
    let folder = root.path().join("templates/rules/protocol");
    std::fs::create_dir_all(&folder).unwrap();
    std::fs::create_dir_all(root.path().join("cases")).unwrap();
    std::fs::write(root.path().join("cases/clinic.yaml"), "clinic: Ours\n").unwrap();
    std::fs::write(folder.join("default.yaml"), own).unwrap();
    let press = Press::open(&Folder::at(root.path()).unwrap());
    assert!(press.report.is_empty(), "{}", shown(&press.report));
    let (demo, case) = (demo(), demo().case("fw-0171"));
    let letter = last(case);
    let found = press.derive(case, &demo.clinic, letter.as_of.value, Some(letter));
    // 33 degrees, a brace for 18 hours: less than this clinic's own row.
    assert_eq!(step(&found, "protocol.range.least"), "rigid brace 20");
    assert_eq!(word(&found, "protocol.within"), "no");
    assert_eq!(word(&found, "protocol.side"), "less");
    assert_eq!(word(&found, "protocol.follow_up.months"), "4");
    let early = press.derive(case, &demo.clinic, "2026-06-30".parse().unwrap(), None);
    assert_eq!(word(&early, "protocol.within"), "not covered");

    // A fault in it is told, and nothing is held against half a protocol.
    std::fs::write(folder.join("default.yaml"), own.replace("at_least: 30", "at_least: 35"))
        .unwrap();
    let press = Press::open(&Folder::at(root.path()).unwrap());
    assert_eq!(
        shown(&press.report),
        "templates/rules/protocol/default.yaml:12:7 error rule-bands no band of major.now.cobb holds 30 to 34 deg\n"
    );
    let found = press.derive(case, &demo.clinic, letter.as_of.value, Some(letter));
    assert_eq!(word(&found, "protocol.within"), "not covered");
    assert_eq!(word(&found, "protocol.name"), "not applicable");
}
