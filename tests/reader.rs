//! Reading case files and clinic files: what is accepted, and what is said
//! about what is not.

#![allow(clippy::disallowed_methods)] // tests read files and the clock themselves

use endplate::case::read::{read_case, read_clinic};
use endplate::case::{Case, Clinic, DateStyle, PaperSize};
use endplate::diag::Report;

const DESIGN: &str = include_str!("reader/design.yaml");

const LANDMARKS: &str = "level,corner,x,y\nT5,upper left,1,2\nT5,upper right,3,2.5\n\
                         T5,lower right,3,4\nT5,lower left,1,4\n";

const LOG: &str = "Time,Temperature\n2026-05-01T00:00Z,20.5\n2026-05-01T00:15Z,20.5\n";

fn case(text: &str) -> (Option<Case>, Report) {
    let mut report = Report::default();
    let load = |name: &str| Ok(if name.starts_with("wear/") { LOG } else { LANDMARKS }.to_string());
    let case = read_case(text, "cases/a.yaml", &load, &mut report);
    (case, report)
}

fn clinic(text: &str) -> (Option<Clinic>, Report) {
    let mut report = Report::default();
    let clinic = read_clinic(text, "cases/clinic.yaml", &mut report);
    (clinic, report)
}

/// Every fault on one line: place, code, message, remedy.
fn faults(report: &Report) -> Vec<String> {
    let line = |d: &&endplate::diag::Diagnostic| {
        let at = d.place.as_ref().map(|p| format!("{}:{}", p.line, p.column));
        let related: Vec<_> = d
            .related
            .iter()
            .map(|(p, role)| format!(" [{}:{} {role}]", p.line, p.column))
            .collect();
        format!(
            "{} {}: {}{} => {}",
            at.unwrap_or_default(),
            d.code.name(),
            d.message,
            related.concat(),
            d.remedy.as_deref().unwrap_or("")
        )
    };
    report.sorted().iter().map(line).collect()
}

#[test]
fn the_example_of_the_format_reads_without_a_fault() {
    let (case, report) = case(DESIGN);
    assert_eq!(faults(&report), Vec::<String>::new());
    let case = case.unwrap();
    assert_eq!(case.id.value, "mr-0118");
    assert_eq!(case.films[0].readings[0].curves[0].cobb.as_ref().unwrap().to_degrees(), 19.0);
    assert_eq!(case.exams[0].height.as_ref().unwrap().to_millimetres(), 1512.0);
    assert_eq!(case.films[0].place.to_line_column(), "cases/a.yaml:17:5");
}

#[test]
fn a_clinic_file_reads_with_its_defaults() {
    let (small, report) = clinic("clinic: Harbour Row Spine Clinic\n");
    assert_eq!(faults(&report), Vec::<String>::new());
    let small = small.unwrap();
    assert_eq!((small.paper, small.dates), (PaperSize::A4, DateStyle::DayMonthYear));
    assert_eq!(small.language, "en");
    let (full, report) = clinic(
        "clinic: Harbour Row Spine Clinic\n\
         address: [2 Harbour Row, Tidewell]\n\
         people:\n  - {id: hk, name: Hanna Korr, credentials: \"MSc, CPO\", licence: O-1182}\n\
         responsible: hk\n\
         paper: US Letter\n\
         dates: month day year\n\
         limits: {real_change: 6 deg, scoliosis_inclusive: false, rate_months: 6}\n",
    );
    assert_eq!(faults(&report), Vec::<String>::new());
    let full = full.unwrap();
    assert_eq!(full.paper, PaperSize::UsLetter);
    assert_eq!(full.person("hk").unwrap().credentials.as_ref().unwrap().value, "MSc, CPO");
    assert!(!full.limits.scoliosis_inclusive.unwrap().value);
}

/// A small good case; `more` is added at its end.
fn small(more: &str) -> String {
    format!(
        "case: a\npatient: {{name: Ann, born: 2013-05-06, sex: female}}\n\
         diagnosis: {{cause: idiopathic}}\n{more}"
    )
}

/// Faults of the small case with these lines added; line 4 is their first.
fn with(more: &str) -> Vec<String> {
    faults(&case(&small(more)).1)
}

#[test]
fn a_misspelt_key_is_one_fault() {
    let (read, report) = case(
        "case: a\npatient: {nmae: Ann, born: 2013-05-06, sex: female}\n\
         diagnosis: {cause: idiopathic}\n",
    );
    assert!(read.is_none());
    assert_eq!(
        faults(&report),
        ["2:11 unknown-key: patient has no key `nmae` => did you mean `name`?"]
    );
}

#[test]
fn unknown_keys_say_what_is_known_or_where_they_belong() {
    assert_eq!(
        with("films: [{id: f1, taken: 2024-11-04, view: frontal, risser: 0}]\ncolour: red\n"),
        [
            "4:52 unknown-key: film has no key `risser` => it belongs under `maturity`",
            "5:1 unknown-key: case has no key `colour` => known keys: case, record_no, patient, \
             background, referral, contacts, coverage, diagnosis, films, exams, treatments, plans, school, \
             answers, requests, gaps, letters, corrections",
        ]
    );
}

#[test]
fn duplicate_keys_are_reported_with_both_places_all_of_them() {
    assert_eq!(
        with("record_no: 1\nrecord_no: 2\nbackground: {implants: a, implants: b, implants: c}\n"),
        [
            "5:1 duplicate-key: `record_no` stands twice in one record [4:1 first here] => keep \
             the one that is meant",
            "6:27 duplicate-key: `implants` stands twice in one record [6:14 first here] => keep \
             the one that is meant",
            "6:40 duplicate-key: `implants` stands twice in one record [6:14 first here] => keep \
             the one that is meant",
        ]
    );
}

#[test]
fn missing_keys_are_named_with_their_record() {
    assert_eq!(
        with("films:\n  - id: f7\n    view: frontal\nbackground: {menarche: {}}\n"),
        [
            "5:5 missing-key: film f7 lacks `taken` => add it, as in `taken: 2024-11-04` (The day it was \
             taken; it counts as known from then)",
            "7:24 missing-key: menarche has none of `on`, `not_yet` => write {on: 2025-09}",
        ]
    );
    let (read, report) = case("record_no: 7\n");
    assert!(read.is_none());
    assert_eq!(faults(&report).len(), 3);
}

#[test]
fn the_ids_of_dropped_records_are_kept() {
    let text = small("films: [{id: f1, taken: 2024-13-01, view: frontal}]\n");
    let (read, report) = case(&text);
    let read = read.unwrap();
    assert_eq!((read.films.len(), read.unread), (0, vec!["f1".to_string()]));
    assert_eq!(
        faults(&report),
        ["4:25 impossible-date: 2024-13-01 does not exist: there is no month 13 => look the date \
          up in the original record"]
    );
}

#[test]
fn quantities_need_their_unit_and_a_point() {
    let exam = |values: &str| with(&format!("exams: [{{on: 2024-11-04, {values}}}]\n"));
    assert_eq!(exam("weight: 41"), ["4:34 missing-unit: `41` has no unit => write 41 kg"]);
    assert_eq!(
        exam("height: 7,5 cm, weight: 41 kg"),
        ["4:34 decimal-comma: `7,5 cm` has a decimal comma => write 7.5 cm"]
    );
    assert_eq!(
        exam("trunk_rotation: {T8: 7,5 deg}"),
        ["4:47 decimal-comma: `7,5 deg` has a decimal comma => write 7.5 deg"]
    );
    assert_eq!(
        exam("height: 151.2 kg, weight: -41 kg, leg_difference: .inf"),
        [
            "4:34 wrong-unit: `kg` is not a unit of `height` => give it in cm or mm",
            "4:52 out-of-range: -41 kg is negative => look it up in the original record",
            "4:76 bad-number: `.inf` is not a number with a unit => write digits and the unit, as in 12 mm",
        ]
    );
    assert_eq!(
        exam("pain: 6, scores: {odi: 34 %, SRS-22r: 39}"),
        [
            "4:32 missing-unit: `6` has no scale => write 6/10",
            "4:44 unknown-key: `odi` is close to `ODI` => write `ODI`",
            "4:64 out-of-range: 39 is outside 1 to 5 => look it up in the original record",
        ]
    );
}

#[test]
fn words_levels_ids_and_flags_are_exact() {
    let curve = |keys: &str| {
        let (head, tail) = ("films: [{id: f1, taken: 2024-11-04, view: frontal,\n", "}]}]}]\n");
        let reading = " readings: [{id: r1, by: hk, read: 2024-11-05, curves: [{";
        with(&format!("{head}{reading}{keys}{tail}"))
    };
    assert_eq!(
        curve("upper: D5, lower: t12, convex: rigth"),
        [
            "5:65 unknown-level: `D5` is no vertebra => write C1 to C7, T1 to T12, L1 to L5 or S1; \
             a disc as T11-T12",
            "5:76 unknown-level: `t12` is no vertebra => write T12",
            "5:89 unknown-word: `rigth` is not a word known here => did you mean `right`? write \
             one of: left, right",
        ]
    );
    assert_eq!(
        curve("upper: T5, apex: T8-T10, lower: T13"),
        [
            "5:75 unknown-level: `T8-T10` is no disc: the vertebrae are not neighbours => write C1 \
             to C7, T1 to T12, L1 to L5 or S1; a disc as T11-T12",
            "5:90 level-not-in-column: T13 does not exist in a column of 12 thoracic and 5 lumbar \
             vertebrae => mend the level, or declare the count: patient: {vertebrae: {thoracic: \
             13, lumbar: 5}}",
        ]
    );
    assert_eq!(
        with("requests: [{id: q 1, to: p, item: b1, expedited: yes, months: 1e1}]\n"),
        [
            "4:17 bad-id: `q 1` cannot be an id: it holds ` ` => use letters a to z, digits, `-` \
             and `_`, and start with a letter or digit",
            "4:50 not-true-or-false: `yes` is neither `true` nor `false` => write true",
            "4:63 bad-number: `1e1` is not a whole number => write a whole number from 1 to 120, \
             digits only",
        ]
    );
}

#[test]
fn none_is_no_id_because_films_use_it_for_no_support() {
    assert_eq!(
        with("treatments: [{id: none, kind: brace}]\n"),
        ["4:19 bad-id: `none` cannot be an id: it means that there is none => choose another id"]
    );
}

#[test]
fn declared_vertebrae_exist_and_others_do_not() {
    let text = |vertebrae: &str| {
        format!(
            "case: a\npatient: {{name: Ann, born: 2013-05-06, sex: female, vertebrae: {vertebrae}}}\n\
             diagnosis: {{cause: idiopathic}}\n\
             exams: [{{on: 2024-11-04, trunk_rotation: {{T13: 4 deg, L6: 2 deg}}}}]\n"
        )
    };
    let lines = |v: &str| faults(&case(&text(v)).1);
    assert_eq!(lines("{thoracic: 13, lumbar: 6}"), Vec::<String>::new());
    assert_eq!(lines("{thoracic: 13}").len(), 1);
    // A faulty count is the only fault: no level is blamed for it.
    assert_eq!(
        lines("{thoracic: 14}"),
        ["2:75 out-of-range: 14 is outside 11 to 13 => look it up in the original record"]
    );
}

#[test]
fn wrong_shapes_show_the_right_one() {
    assert_eq!(
        with("films: {id: f1, taken: 2024-11-04, view: fronal}\nreferral: [a]\ncontacts: gp\n"),
        [
            "4:8 wrong-shape: `films` must be a list: start each item with `- `, found a record => \
             write `films: [{id: f1, taken: 2024-11-04, view: frontal}]`",
            "4:42 unknown-word: `fronal` is not a word known here => did you mean `frontal`? write \
             one of: frontal, lateral, bending, hand",
            "5:11 wrong-shape: `referral` must be a record, found a list => write `referral: {on: \
             2024-10-21, from: gp, why: one hip stands out in trousers now}`",
            "6:11 wrong-shape: `contacts` cannot be the single value `gp` => write `contacts: \
             [{id: gp, role: referring doctor, name: Dr Iris Fenner}]`",
        ]
    );
    let (read, report) = case("- a\n- b\n");
    assert!(read.is_none());
    assert_eq!(
        faults(&report),
        ["1:1 wrong-shape: case must be a record, found a list => write {case: mr-0118, patient: \
          ..., diagnosis: ...}"]
    );
}

/// An example would name a reader whom nobody meant.
#[test]
fn a_single_id_is_put_in_brackets_as_it_stands() {
    let letter = "{id: l1, kind: progress, to: gp, as_of: 2025-01-01, signed_by: hk, copies: gp}";
    assert_eq!(
        with(&format!(
            "contacts: [{{id: gp, role: referring doctor, name: A, may_receive: \
                       progress}}]\nletters: [{letter}]\n"
        )),
        [
            "4:67 wrong-shape: `may_receive` cannot be the single value `progress` => write \
             `may_receive: [progress]`",
            "5:86 wrong-shape: `copies` cannot be the single value `gp` => write `copies: [gp]`",
        ]
    );
}

#[test]
fn nothing_written_is_not_a_value() {
    assert_eq!(
        with("record_no:\nbackground: {allergies: ~, implants: \"\"}\nfilms:\n  -\n"),
        [
            "4:1 empty-value: `record_no` has no value => write a value, as in MR-118034, or \
             remove the line",
            "5:25 empty-value: `allergies` has no value => write a value, as in none known, or \
             remove the line",
            "5:38 empty-value: `implants` has no value => write a value, as in none, or remove the \
             line",
            "7:4 empty-value: `film` has no value => write a value, as in {id: f1, taken: \
             2024-11-04, view: frontal}, or remove the line",
        ]
    );
}

#[test]
fn yaml_guesses_change_no_value() {
    let (read, report) = case(&small(
        "record_no: 007\nbackground: {conditions: [on, yes, 1e3, 0x1F, 12:30:45, 2024-01-01, \
         1_000, .nan, \"~\", Null, \"null\"]}\n",
    ));
    assert_eq!(faults(&report), Vec::<String>::new());
    let read = read.unwrap();
    assert_eq!(read.record_no.unwrap().value, "007");
    let conditions: Vec<_> = read.background.conditions.iter().map(|c| c.value.as_str()).collect();
    assert_eq!(
        conditions,
        [
            "on",
            "yes",
            "1e3",
            "0x1F",
            "12:30:45",
            "2024-01-01",
            "1_000",
            ".nan",
            "~",
            "Null",
            "null"
        ]
    );
}

#[test]
fn folded_literal_and_broken_lines_are_read_whole() {
    let (read, report) = case(&small(
        "background:\r\n  allergies: >\r\n    latex,\r\n    perhaps\r\n  implants: plain\r\n    \
         on two lines\r\nplans:\r\n  - on: 2025-01-20\r\n    choice: [watch, exercise]\r\n    told: \
         |\r\n      one\r\n      two\r\n",
    ));
    assert_eq!(faults(&report), Vec::<String>::new());
    let read = read.unwrap();
    assert_eq!(read.background.allergies.unwrap().value, "latex, perhaps");
    assert_eq!(read.background.implants.unwrap().value, "plain on two lines");
    assert_eq!(read.plans[0].told.as_ref().unwrap().value, "one\ntwo");
}

#[test]
fn what_yaml_can_do_and_a_record_must_not_is_refused() {
    assert_eq!(
        with(
            "background: &b {implants: none}\nreferral: *b\ncoverage: {<<: *b, payer: p}\nfilms: \
             *nowhere\nrecord_no: !!int 007\n"
        ),
        [
            "5:11 yaml-alias: `*b` repeats another part of the file [4:13 the part it repeats] => \
             write the values out at each place",
            "7:8 yaml-alias: this refers to a text that is not defined before it => write the \
             values out at each place",
            "8:12 yaml-tag: a YAML tag (`!...`) changes how a value is read => remove the tag; put \
             the text in quotes if it must stay as it is",
        ]
    );
    assert_eq!(
        with("coverage: {<<: {payer: p}, payer: q}\nbackground: &unused {implants: none}\n"),
        [
            "4:12 yaml-alias: `<<` merges another record => write the values out at each place",
            "5:13 yaml-alias: `&unused` marks a part of the file for repetition => write the \
             values out at each place",
        ]
    );
    let codes = |text: &str| -> Vec<String> {
        let lines = faults(&case(text).1);
        lines.iter().map(|l| l.split(": ").next().unwrap().to_string()).collect()
    };
    assert_eq!(codes(&(small("") + "---\ncase: b\n")), ["4:1 several-documents"]);
    assert_eq!(codes(&small("record_no: \"a\\u202eb\"\n")), ["4:12 forbidden-character"]);
    assert_eq!(codes(&small("record_no: a\u{e000}b\n")), ["4:13 forbidden-character"]);
    assert_eq!(codes(&small("record_no: a\0b\n")), ["4:13 forbidden-character"]);
    assert_eq!(codes(""), ["1:1 empty-file"]);
    assert_eq!(codes("# nothing\n"), ["1:1 empty-file"]);
    assert_eq!(codes(&small("record_no: Ann #1\n")), ["4:12 comment-cuts-value"]);
    assert_eq!(codes(&small("record_no: Ann # one\n")), Vec::<String>::new());
    assert_eq!(
        codes(&small("coverage: {payer: p, member: \"a\\nb\", landmarks: x}\n")),
        ["4:30 several-lines", "4:38 unknown-key"]
    );
}

#[test]
fn attacks_are_refused_fast() {
    let one = |text: &str| {
        let started = std::time::Instant::now();
        let (read, report) = case(text);
        assert!(read.is_none() && started.elapsed().as_secs() < 2);
        let lines = faults(&report);
        assert!(lines.len() < 20, "{}", lines.len());
        lines[0].split(": ").next().unwrap().to_string()
    };
    let mut bomb = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x]\n");
    for i in 1..12 {
        let alias = vec![format!("*a{}", i - 1); 9].join(", ");
        bomb += &format!("a{i}: &a{i} [{alias}]\n");
    }
    let (read, report) = case(&bomb);
    assert!(read.is_none());
    assert_eq!(report.iter().filter(|d| d.code.name() == "yaml-alias").count(), 12);
    assert_eq!(one(&"x".repeat(10_000_000)), "1:1 file-too-large");
    assert_eq!(one(&"[".repeat(1000)), "1:25 too-deep");
    assert_eq!(one(&("a: ".to_string() + &"[".repeat(1_900_000))), "1:28 too-deep");
    let block: String = (0..1000).map(|i| format!("{}a:\n", " ".repeat(i))).collect();
    assert_eq!(one(&block), "25:25 too-deep");
}

#[test]
fn a_long_list_of_faults_stays_fast() {
    let started = std::time::Instant::now();
    let many: String = (0..20_000).map(|i| format!("somekey{i}: &x{i} 7\n")).collect();
    let (_, report) = case(&small(&many));
    assert!(report.iter().count() == 40_000);
    let line = format!("films: [{}]", "{id: 7,}, ".repeat(50_000));
    case(&small(&line));
    assert!(started.elapsed().as_secs() < 20);
}

#[test]
fn syntax_errors_are_said_in_plain_words() {
    let said = |text: &str| {
        let (read, report) = case(text);
        assert!(read.is_none());
        let lines = faults(&report);
        assert_eq!(lines.len(), 1, "{lines:?}");
        lines[0].clone()
    };
    assert_eq!(
        said("case: a\npatient: {name: Ann, born: 2013-05-06\nfilms: []\n"),
        "3:6 yaml-syntax: `,` or `}` is missing before this [2:10 the bracket still open is here] => \
         separate the entries by commas, or add the closing bracket"
    );
    assert_eq!(
        said("case: a\nwhy: he said: no\n"),
        "2:13 yaml-syntax: a colon where no key can stand => put a text that holds a colon in \
         double quotes, or mend the indentation"
    );
    assert_eq!(
        said("case: a\n\tborn: x\n"),
        "2:1 yaml-syntax: a tab stands where only spaces may => indent with spaces"
    );
    assert_eq!(
        said("case: \"a\nb: c\n"),
        "1:7 yaml-syntax: a quoted text is opened here and never closed => add the closing quote"
    );
    assert_eq!(
        said("case: @a\n"),
        "1:7 yaml-syntax: no value can start with `@` => put the whole text in double quotes"
    );
    assert_eq!(
        said("patient:\n  name: Ann\n born: 2013-05-06\n"),
        "3:2 yaml-syntax: this line is indented like none above it => start all keys of one \
         record in the same column, with spaces"
    );
    assert_eq!(
        said("case: a\nb\n"),
        "2:1 yaml-syntax: this line is no `key: value` => add the colon, or indent it with the \
         text above"
    );
}

#[test]
fn landmark_files_report_under_their_own_path() {
    let text = small(
        "films: [{id: f1, taken: 2024-11-04, view: frontal, readings: [{id: r1, by: hk,\n  read: \
         2024-11-05, landmarks: films/a.csv}, {id: r2, by: hk, read: 2024-11-05, landmarks: \
         ../b.csv}]}]\n",
    );
    let mut report = Report::default();
    let load = |path: &str| match path {
        "films/a.csv" => Ok("level,corner,x,y\nT5,upper left,1,x\n".to_string()),
        _ => Err("no such file".to_string()),
    };
    let read = read_case(&text, "cases/a.yaml", &load, &mut report).unwrap();
    assert!(read.films[0].readings[0].landmarks.as_ref().unwrap().set.is_none());
    let places: Vec<_> = report
        .sorted()
        .iter()
        .map(|d| format!("{} {}", d.place.as_ref().unwrap().to_line_column(), d.code.name()))
        .collect();
    assert_eq!(
        places,
        [
            "cases/a.yaml:5:92 bad-path",
            "cases/films/a.csv:2:1 missing-corner",
            "cases/films/a.csv:2:17 bad-number"
        ]
    );
}
