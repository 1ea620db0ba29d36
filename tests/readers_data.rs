//! What readers need and what is closed to them: the files, their faults, and
//! that a letter cannot get round them.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use chrono::NaiveDate;
use endplate::case::{DateStyle, LetterKind, Role};
use endplate::diag::{Code, Diagnostic, Report, render};
use endplate::evidence::Source;
use endplate::facts::{Fact, FactId, Facts, Method, Missing, Provenance, Value};
use endplate::letter::block::Block;
use endplate::letter::compose::compose_for;
use endplate::letter::language::ENGLISH;
use endplate::letter::lint;
use endplate::letter::template::Templates;
use endplate::letter::variant::stems;
use endplate::letter::wording::Style;
use endplate::pipeline::{Press, load};
use endplate::quantity::{Reported, Unit};
use endplate::rules::catalogue;
use endplate::rules::readers::{Reader, Readers, is_path, read};

use crate::support::demo::{demo, shown};
use crate::support::small::{Small, told};

/// The files as they ship, by name below `templates/`.
fn files() -> Vec<(String, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/rules/readers");
    let read = |entry: fs::DirEntry| {
        let name = format!("rules/readers/{}", entry.file_name().to_string_lossy());
        (name, fs::read_to_string(entry.path()).unwrap())
    };
    let mut files: Vec<_> = fs::read_dir(root).unwrap().map(|e| read(e.unwrap())).collect();
    files.sort();
    files
}

pub fn shipped() -> Readers {
    let mut report = Report::default();
    let files = files();
    let files = files.iter().map(|(name, text)| (name.as_str(), text.as_str()));
    let readers = Readers::read(files, &catalogue::kind, &mut report);
    assert!(report.is_empty(), "{}", shown(&report));
    readers
}

/// A reader's file, read; its faults one a line.
fn faults(text: &str) -> Vec<String> {
    let mut report = Report::default();
    let file = "templates/rules/readers/school.yaml";
    let read = read(text, file, &catalogue::kind, &mut report);
    assert_eq!(read.is_none(), report.has_errors());
    let line = |d: &&Diagnostic| {
        format!("{} => {}", render::concise(d), d.remedy.as_deref().unwrap_or_default())
    };
    report.sorted().iter().map(line).collect()
}

fn reader(text: &str) -> Reader {
    let mut report = Report::default();
    let reader = read(text, "school.yaml", &catalogue::kind, &mut report);
    reader.unwrap_or_else(|| panic!("{}", shown(&report)))
}

// --- the files --------------------------------------------------------------

#[test]
fn every_wording_of_a_letter_has_a_reader() {
    let readers = shipped();
    let all = LetterKind::ALL.iter().flat_map(|kind| {
        let roles = Role::ALL.iter().filter(|role| readers.written_for(*kind, **role));
        roles.flat_map(|role| {
            [None, Some("adult")].into_iter().flat_map(|stage| stems(*kind, *role, stage))
        })
    });
    let stems: BTreeSet<String> = all.collect();
    let files: BTreeSet<String> = readers.iter().map(|r| r.stem.value.clone()).collect();
    assert_eq!(files, stems);
}

#[test]
fn every_file_is_inside_the_program() {
    let clinic = Small::new();
    let press = Press::open(&clinic.folder());
    let inside: BTreeMap<String, &str> = press.texts().collect();
    for (name, text) in files() {
        assert_eq!(inside.get(&format!("templates/{name}")), Some(&text.as_str()), "{name}");
    }
}

/// Whom each kind is written for, by hand: `F` family and patient, `D` doctors
/// and therapists, `O` orthotists, `S` surgeons and specialists, `P` payers,
/// `C` schools and clubs.
#[test]
fn who_gets_which_kind() {
    use LetterKind as K;
    let of = |groups: &str| -> BTreeSet<Role> {
        let group = |c: char| match c {
            'F' => vec![Role::Family, Role::Patient],
            'D' => vec![Role::ReferringDoctor, Role::Therapist],
            'O' => vec![Role::Orthotist],
            'S' => vec![Role::Surgeon, Role::Specialist],
            'P' => vec![Role::Payer],
            'C' => vec![Role::School, Role::Other],
            _ => panic!("no group {c}"),
        };
        groups.chars().flat_map(group).collect()
    };
    let table = [
        (K::Progress, "FDOS", "FDOS"),
        (K::SurgicalOpinion, "S", "FDOS"),
        (K::NeurologicalOpinion, "S", "FDOS"),
        (K::Prescription, "O", "FDOS"),
        (K::Check, "FDOS", "FDOS"),
        (K::Justification, "P", "FDOSP"),
        (K::Appeal, "P", "FDOSP"),
        (K::School, "FC", "FDOSC"),
        (K::Weaning, "FDOS", "FDOS"),
        (K::Discharge, "FDOS", "FDOS"),
        (K::Summary, "FDOS", "FDOS"),
        (K::Gap, "FDOSPC", "FDOSPC"),
    ];
    assert_eq!(table.len(), LetterKind::ALL.len());
    let readers = shipped();
    for (kind, written, seen) in table {
        let (written, seen) = (of(written), of(seen));
        for role in Role::ALL {
            let word = format!("{} to {}", kind.word(), role.word());
            assert_eq!(readers.written_for(kind, *role), written.contains(role), "{word}");
            assert_eq!(readers.may_see(kind, *role), seen.contains(role), "copy of {word}");
        }
    }
}

#[test]
fn a_school_sees_neither_body_nor_diagnosis() {
    let readers = shipped();
    let school = &readers.get("school").unwrap().access;
    for closed in [
        "exam",
        "exam.weight",
        "exam.pain",
        "scores",
        "curves.thoracic.now.cobb",
        "major",
        "diagnosis.name",
        "coverage.member",
        "risk",
        "patient.age",
        "plan.because",
        "figures.spine",
        "entry.enclosed",
        "treatment.current.wear.mean",
    ] {
        assert!(!school.is_open(closed), "{closed}");
    }
    for open in ["patient.called", "treatment.current.hours", "plan.next_visit"] {
        assert!(school.is_open(open), "{open}");
    }
}

/// Whatever is derived can be closed: a root that the table does not know
/// would be open to everybody.
#[test]
fn every_fact_of_the_demo_can_be_named_in_a_readers_file() {
    let mut unknown = BTreeSet::new();
    for (case, entry) in demo().letters() {
        let facts = demo().press.derive(case, &demo().clinic, *entry.as_of, Some(entry)).facts;
        unknown.extend(
            facts
                .iter()
                .filter(|f| !is_path(f.id.as_str()))
                .map(|f| f.id.as_str().splitn(3, '.').take(2).collect::<Vec<_>>().join(".")),
        );
    }
    assert!(unknown.is_empty(), "add to src/rules/readers/known.rs: {unknown:?}");
}

const GOOD: &str = "reader: school\nletter: school\nfor: [school]\nopen: [plan]\n";

#[test]
fn faults_of_a_file_are_found_at_their_places() {
    assert_eq!(faults(GOOD), Vec::<String>::new());
    let one = |line: &str| faults(&format!("{GOOD}{line}\n"));
    assert_eq!(
        one("closed: [exam.wieght]"),
        ["5:10 error unknown-fact no facts lie under `exam.wieght` => did you mean `exam.weight`?"]
    );
    assert_eq!(
        one("required: [{fact: growth.hieght}]"),
        [
            "5:19 error unknown-fact there is no fact `growth.hieght` => did you mean `growth.height`?"
        ]
    );
    assert_eq!(
        one("optional: [{fact: growth.height}]"),
        ["5:12 error missing-key an optional item has no name to print where it is not recorded \
          => call it, as in `item: height`"]
    );
    assert_eq!(
        one("required: [{any: [growth.height, exam.weight]}]"),
        ["5:12 error missing-key an item that several facts can say has no name => \
          call it, as in `item: Risser grade or stage of the hand`"]
    );
    assert_eq!(
        one("required: [{fact: growth.height, when: {fact: patient.stage, is: grown}}]"),
        ["5:66 error bound-unit patient.stage never says `grown` => its words are: child, \
          adolescent, adult"]
    );
    assert_eq!(
        one("copies: [scool]"),
        ["5:10 error rule-form there is no role `scool` => did you mean `school`?"]
    );
    assert_eq!(
        one("clsoed: [exam]"),
        ["5:1 error unknown-key a reader has no key `clsoed` => did you mean `closed`?"]
    );
    assert_eq!(
        faults("reader: schools\nletter: school\nfor: [school]\nopen: [plan]\n"),
        ["1:9 error rule-form the reader `schools` stands in `school.yaml` => name the file \
          `schools.yaml`, as its template"]
    );
    assert_eq!(
        faults("reader: school\nletter: school\nfor: [school]\n"),
        ["1:1 error missing-key the file says neither what is open nor what is closed to the \
          reader => write `closed: [PATH, PATH]`, or `open: [PATH, PATH]`"]
    );
}

// --- required and optional --------------------------------------------------

fn fact(id: &str, value: Value) -> Fact {
    let source = Source::definition("made up for a test");
    Fact {
        id: FactId::new(id),
        label: format!("label of {id}"),
        value,
        uncertainty: None,
        unrounded: None,
        provenance: Provenance {
            records: Vec::new(),
            inputs: Vec::new(),
            method: Method { formula: "given".into(), source },
        },
    }
}

fn facts(list: &[(&str, Value)]) -> Facts {
    let mut facts = Facts::new(NaiveDate::from_ymd_opt(2026, 10, 27).unwrap());
    for (id, value) in list {
        facts.insert(fact(id, value.clone()));
    }
    facts
}

fn absent(item: &str) -> Value {
    Value::Missing(Missing::NotRecorded { item: item.into(), who: "the examiner".into() })
}

fn not_applicable(why: &str) -> Value {
    Value::Missing(Missing::NotApplicable(why.into()))
}

fn cm(n: f64) -> Value {
    Value::Number(Reported::round(n, 1, Unit::Centimetre))
}

const NEEDS: &str = "reader: school
letter: school
for: [school]
required:
  - {fact: growth.height}
  - {any: [exam.weight, exam.arm_span], item: weight or arm span, who: whoever measures}
  - {fact: exam.skin, when: {fact: treatment.current.state, is: brace}}
  - {fact: request.denial.reasons.*.answered}
  - {fact: plan.aim, item: the aim, who: the clinician, with: plan.on}
open: [plan]
";

#[test]
fn all_that_is_required_and_missing_is_named_at_once_with_who_has_it() {
    let reader = reader(NEEDS);
    let lacks = |list: &[(&str, Value)]| -> Vec<(String, String)> {
        let items = reader.lacking(&facts(list)).into_iter();
        items.map(|i| (i.what, i.who.unwrap_or_default())).collect()
    };
    let of = |list: &[(&str, &str)]| -> Vec<(String, String)> {
        list.iter().map(|(a, b)| (a.to_string(), b.to_string())).collect()
    };
    let height = || ("growth.height", absent("standing height"));
    let answered = |n: u8, value| {
        (
            ["request.denial.reasons.r1.answered", "request.denial.reasons.r2.answered"]
                [usize::from(n) - 1],
            value,
        )
    };
    assert_eq!(
        lacks(&[
            height(),
            ("exam.weight", absent("weight")),
            ("exam.arm_span", absent("arm span")),
            ("exam.skin", absent("skin")),
            ("treatment.current.state", Value::Word("brace")),
            answered(1, Value::Word("by the policy")),
            answered(2, absent("answer to reason 2")),
        ]),
        of(&[
            ("standing height: not recorded", "the examiner"),
            ("weight or arm span: not recorded", "whoever measures"),
            ("skin: not recorded", "the examiner"),
            ("answer to reason 2: not recorded", "the examiner"),
        ])
    );
    // One of several is enough; what does not apply is not asked for; what
    // was never derived is missing by the file's own words.
    assert_eq!(
        lacks(&[
            ("exam.arm_span", cm(150.0)),
            ("exam.skin", absent("skin")),
            ("treatment.current.state", Value::Word("none")),
            ("plan.on", absent("plan")),
        ]),
        of(&[("growth.height: not recorded", "the clinic")])
    );
    assert_eq!(
        lacks(&[("growth.height", cm(150.0)), ("exam.weight", cm(1.0)), ("plan.on", cm(1.0))]),
        of(&[("the aim: not recorded", "the clinician")])
    );
    // A thing that is not applicable is not called not recorded.
    let both = [
        ("growth.height", cm(150.0)),
        ("exam.weight", not_applicable("she is in a frame")),
        ("exam.arm_span", not_applicable("she is in a frame")),
    ];
    assert_eq!(
        lacks(&both),
        of(&[("weight or arm span: not applicable: she is in a frame", "whoever measures")])
    );
}

/// The optional items of the shipped progress letter, patient by patient; each
/// row worked by hand from the file.
#[test]
fn only_what_applies_and_is_not_recorded_is_called_so() {
    let readers = shipped();
    let progress = readers.get("progress").unwrap();
    let items = |list: &[(&str, Value)]| -> Vec<String> {
        progress.absent(&facts(list)).into_iter().map(|a| a.item).collect()
    };
    let stage = |word| ("patient.stage", Value::Word(word));
    let sex = |word| ("patient.sex", Value::Word(word));
    let seen = ("exam.on", Value::Text("2026-10-20".into()));
    let height = ("growth.height", cm(150.0));
    let state = |word| ("treatment.current.state", Value::Word(word));
    let none = || state("none");
    let period = ("maturity.menarche.state", absent("first period"));
    let no_period = ("maturity.menarche.state", not_applicable("he is a boy"));
    let neurology = ("exam.neurology_on", Value::Text("2026-10-20".into()));
    let days = |n| ("treatment.current.days", Value::Number(Reported::whole(n, Unit::Day)));

    // Nobody examined: that is said, and not every part of it.
    assert_eq!(items(&[stage("child"), sex("male"), none(), height.clone()]), ["an examination"]);
    let girl = [stage("adolescent"), sex("female"), none(), seen.clone(), height.clone()];
    let with = |more: &[(&'static str, Value)]| [&girl[..], more].concat();
    assert_eq!(
        items(&with(std::slice::from_ref(&period))),
        ["Risser grade", "first period", "a neurological examination"]
    );
    let risser = ("maturity.risser.grade", Value::Number(Reported::whole(2, Unit::One)));
    assert_eq!(items(&with(&[period, risser.clone(), neurology.clone()])), ["first period"]);
    // Never the period of a boy, nor Risser and period of an adult.
    let boy = [stage("adolescent"), sex("male"), none(), seen.clone(), height.clone()];
    assert_eq!(
        items(&[&boy[..], &[no_period, risser, neurology.clone()]].concat()),
        Vec::<String>::new()
    );
    let woman = [stage("adult"), sex("female"), none(), seen.clone(), neurology.clone()];
    assert_eq!(items(&woman), ["pain"]);
    // Wear and skin only under a brace, wear only once there is some.
    let child = [stage("child"), sex("male"), seen, height, neurology];
    let skin = ("treatment.current.skin", absent("skin"));
    let braced = |n| [&child[..], &[state("brace"), days(n), skin.clone()]].concat();
    assert_eq!(items(&braced(27)), ["skin under the brace"]);
    assert_eq!(items(&braced(28)), ["wear of the brace", "skin under the brace"]);
    let cast = [&child[..], &[state("cast"), days(100), skin]].concat();
    assert_eq!(items(&cast), ["skin at the edges of the cast"]);
}

const LETTER: &str = "letters/en/school.md.j2";

/// Composes a template for a reader; the text, or the faults one a line.
fn composed(template: &str, reader: &Reader, facts: &Facts) -> Result<String, Vec<String>> {
    let sources = BTreeMap::from([(LETTER.to_string(), template.to_string())]);
    let (templates, report) = Templates::load(sources);
    assert!(report.is_empty(), "{}", shown(&report));
    let style = Style::new(&ENGLISH, DateStyle::DayMonthYear);
    match compose_for(reader, &templates, LETTER, facts, &style, &BTreeMap::new()) {
        Ok(done) => Ok(done.blocks.iter().map(words).collect::<Vec<_>>().join(" ")),
        Err(report) => Err(report.sorted().iter().map(|d| render::concise(d)).collect()),
    }
}

fn words(block: &Block) -> String {
    match block {
        Block::Paragraph { text } => lint::plain(text),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_letter_says_once_what_is_not_recorded() {
    let text = "reader: school\nletter: school\nfor: [school]\noptional:\n  \
                - {fact: exam.skin, item: skin}\n  - {fact: exam.pain, item: pain}\n  \
                - {fact: exam.weight, item: weight}\nclosed: [risk]\n";
    let reader = reader(text);
    let list = facts(&[
        ("exam.skin", absent("skin")),
        ("exam.pain", absent("pain")),
        ("exam.weight", cm(1.0)),
    ]);
    let say = "{% set items = not_recorded() %}{% if items | count > 0 %}Not recorded: \
               {{ items | and_list }}.{% endif %}";
    assert_eq!(composed(say, &reader, &list).unwrap(), "Not recorded: skin and pain.");
    // What a sentence has said already is not said again.
    let said = format!("Pain: {{{{ exam.pain | or_say(\"not recorded\") }}}}. {say}");
    assert_eq!(composed(&said, &reader, &list).unwrap(), "Pain: not recorded. Not recorded: skin.");
    let twice = format!("{say} {say} All.");
    assert_eq!(composed(&twice, &reader, &list).unwrap(), "Not recorded: skin and pain. All.");
}

// --- closed at access -------------------------------------------------------

fn body() -> Facts {
    facts(&[
        ("patient.called", Value::Text("Mara".into())),
        ("plan.choice", Value::Word("watch")),
        ("plan.aim", Value::Text("secret".into())),
        ("exam.weight", cm(41.0)),
        ("exam.pain", cm(3.0)),
        ("exam.height", cm(151.0)),
    ])
}

#[test]
fn what_is_closed_cannot_be_reached_by_any_way() {
    let open =
        reader("reader: school\nletter: school\nfor: [school]\nopen: [patient, plan.choice]\n");
    let closed = reader("reader: school\nletter: school\nfor: [school]\nclosed: [exam.weight]\n");
    let ways: &[(&Reader, &str, &str)] = &[
        // Where a whole root is closed, the root is named.
        (&open, "{{ exam.weight }}", "exam"),
        (&open, "{% if has(\"exam.weight\") %}a{% endif %}", "exam.weight"),
        (&open, "{% if has(\"exam\") %}a{% endif %}", "exam"),
        (&open, "{% if exam is defined %}a{% endif %}", "exam"),
        (&open, "{% if plan.aim.known %}a{% endif %}", "plan.aim"),
        (&open, "{% set e = exam %}a", "exam"),
        (&open, "{% set p = plan %}{{ p.aim }}", "plan.aim"),
        (&open, "{% set k = \"aim\" %}{{ plan[k] }}", "plan.aim"),
        // Its absence would tell something too.
        (&open, "{% if plan.told is defined %}a{% endif %}", "plan.told"),
        (&open, "{% for p in plan %}{{ p.key }}{% endfor %}", "plan.aim"),
        (&open, "{{ plan | count | in_words }}", "plan.aim"),
        (&open, "{% for c in curves %}{{ c.key }}{% endfor %}", "curves"),
        (&open, "a {{ figures(\"spine\") }}", "figures.spine"),
        (&open, "a {{ figures(\"films or spine\") }}", "figures.films"),
        (&closed, "{% for e in exam %}{{ e }} {% endfor %}", "exam.weight"),
        (&closed, "{% set e = exam | first %}{{ e }}", "exam.weight"),
        (&closed, "{{ exam | and_list }}", "exam.weight"),
        (&closed, "{% with e = exam %}{{ e[\"weight\"] }}{% endwith %}", "exam.weight"),
        (&closed, "{{ exam.weight.label }}", "exam.weight"),
    ];
    for (reader, way, path) in ways {
        let faults = composed(way, reader, &body()).expect_err(way);
        let says = format!("error closed-to-reader `{path}` is closed to the reader `school`");
        assert!(faults[0].ends_with(&says), "{way}: {faults:?}");
    }
    // What is open is there, the way to it passable, and the rest untouched.
    assert_eq!(
        composed("{{ patient.called }}: {{ plan.choice }}", &open, &body()).unwrap(),
        "Mara: watch"
    );
    assert_eq!(composed("{% if has(\"plan\") %}a{% endif %}", &open, &body()).unwrap(), "a");
    assert_eq!(composed("{{ exam.height }}", &closed, &body()).unwrap(), "151.0 cm");
    // A group of which everything is closed is not there.
    let only_aim = facts(&[("plan.aim", Value::Text("secret".into()))]);
    assert_eq!(
        composed("{% if has(\"plan\") %}a{% else %}b{% endif %}", &open, &only_aim).unwrap(),
        "b"
    );
}

// --- closed when templates are checked --------------------------------------

/// Faults of a clinic's templates as it opens, with the places that take part.
fn checked(files: &[(&str, &str)]) -> Vec<String> {
    let clinic = Small::new();
    for (name, text) in files {
        let path = clinic.path(&format!("templates/{name}"));
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }
    let press = Press::open(&clinic.folder());
    let line = |d: &&Diagnostic| {
        let place = d.place.as_ref().unwrap();
        let related = d.related.iter().map(|(p, role)| format!("; {}:{} {role}", p.file, p.line));
        format!("{}:{}{}", place.file, render::concise(d), related.collect::<String>())
    };
    press.report.sorted().iter().map(line).collect()
}

/// The line of the shipped file at which the list of what is open begins.
fn open_line() -> usize {
    let files = files();
    let (_, text) = files.iter().find(|(name, _)| name.ends_with("/school.yaml")).unwrap();
    text.lines().position(|line| line == "open:").unwrap() + 1
}

#[test]
fn the_shipped_templates_name_nothing_that_is_closed() {
    assert_eq!(checked(&[]), Vec::<String>::new());
}

#[test]
fn a_template_that_names_something_closed_is_a_fault_of_its_line() {
    let reader = "templates/rules/readers/school.yaml";
    let closed = format!("; {reader}:{} closed here", open_line());
    let fault = |at: &str, path: &str| {
        format!(
            "templates/{LETTER}:{at} error closed-to-reader `{path}` is closed to the \
                 reader `school`{closed}"
        )
    };
    let cases: &[(&str, &str, &str)] = &[
        ("Dear school,\n\n{{ patient.called }} weighs {{ exam.weight }}.\n", "3:32", "exam.weight"),
        ("{% if has(\"exam.pain\") %}\nYes.\n{% endif %}\n", "1:7", "exam.pain"),
        ("{% set e = exam %}\n{{ e.weight }}\n", "1:12", "exam"),
        ("{% for c in curves %}\n{{ c.now.cobb }}\n{% endfor %}\n", "1:13", "curves"),
        (
            "{% if plan.next_visit.known and plan.because.known %}a{% endif %}\n",
            "1:33",
            "plan.because",
        ),
        ("{{ plan.told if plan.on.known else \"\" }}\n", "1:4", "plan.told"),
        ("a\n\n{{ figures(\"course\") }}\n", "3:4", "figures.course"),
        ("a\n\n{{ figures(\"wear plain\") }}\n", "3:4", "figures.wear"),
        ("a\n\n{{ figures(\"films or spine\") }}\n", "3:4", "figures.spine"),
        ("{% with p = plan %}{{ p.aim }}{% endwith %}\n", "1:23", "plan.aim"),
        ("{{ [patient.called, major.now.cobb] | and_list }}\n", "1:21", "major.now.cobb"),
    ];
    for (text, at, path) in cases {
        let found = checked(&[(LETTER, text)]);
        assert!(found.contains(&fault(at, path)), "{text}: {found:?}");
    }
    // The same through a loop variable: both steps are named.
    let found = checked(&[(LETTER, cases[3].0)]);
    assert!(found.contains(&fault("2:4", "curves.*.now.cobb")), "{found:?}");
}

#[test]
fn phrases_parts_and_macros_are_followed_with_what_is_handed_to_them() {
    let phrases = "{% macro size(c) %}\n{{ c.now.cobb }}\n{% endmacro %}\n\
                   {% macro hours() %}{{ treatment.current.hours }}{% endmacro %}\n\
                   {% macro heavy() %}{{ exam.weight }}{% endmacro %}\n";
    let letter = "{% import \"phrases/own.md.j2\" as say %}\n{{ say.hours() }}\n";
    let own = ("phrases/own.md.j2", phrases);
    // What is not called is not blamed.
    assert_eq!(checked(&[own, (LETTER, letter)]), Vec::<String>::new());
    let found = checked(&[own, (LETTER, &format!("{letter}{{{{ say.heavy() }}}}\n"))]);
    let line = format!(
        "templates/phrases/own.md.j2:5:23 error closed-to-reader `exam.weight` is closed to the \
         reader `school`; templates/rules/readers/school.yaml:{} closed here; \
         templates/{LETTER}:3 included or called from here",
        open_line()
    );
    assert_eq!(found, [line]);
    // Handed on: the macro says of what its argument is.
    let found = checked(&[own, (LETTER, &format!("{letter}{{{{ say.size(major) }}}}\n"))]);
    assert!(
        found.iter().any(|f| f.contains("own.md.j2:2:4") && f.contains("`major.now.cobb`")),
        "{found:?}"
    );
    let found = checked(&[
        ("letters/en/part.md.j2", "{{ coverage.member }}\n"),
        (LETTER, "a\n{% include \"letters/en/part.md.j2\" %}\n"),
    ]);
    assert!(found[0].starts_with("templates/letters/en/part.md.j2:1:4"), "{found:?}");
    // A key that only a case can tell is left to the access.
    let later = "{% set k = plan.choice.word %}{{ plan[k] }}\n";
    assert_eq!(checked(&[(LETTER, later)]), Vec::<String>::new());
}

// --- a clinic's own file, and letters ----------------------------------------

#[test]
fn a_clinics_own_file_takes_the_place_of_the_embedded_one() {
    let clinic = Small::new();
    let closed =
        "reader: progress\nletter: progress\nfor: [referring doctor]\nclosed: [exam.skin]\n";
    fs::create_dir_all(clinic.path("templates/rules/readers")).unwrap();
    let build = || told(&clinic.run(&["build"]));
    let (_, out, _) = build();
    assert!(out.contains("new        base/l1-progress-gp.pdf"), "{out}");
    fs::write(clinic.path("templates/rules/readers/progress.yaml"), closed).unwrap();
    // The file is an input of every build: the case is not skipped.
    let (code, _, said) = build();
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("closed-to-reader") && said.contains("`exam.skin`"), "{said}");
    assert!(said.contains("templates/letters/en/progress.md.j2:"), "{said}");
}

#[test]
fn without_its_readers_file_a_letter_is_not_written() {
    let clinic = Small::new();
    fs::create_dir_all(clinic.path("templates/rules/readers")).unwrap();
    let file = clinic.path("templates/rules/readers/progress.yaml");
    fs::write(file, "reader: progress\nletter: progress\nfor: [referring doctor]\n").unwrap();
    let (code, out, said) = told(&clinic.run(&["build", "--letter", "progress"]));
    assert_eq!((code, out.as_str()), (1, "failed     base/l1-progress-gp.pdf\n"), "{said}");
    assert!(said.contains("neither what is open nor what is closed"), "{said}");
    assert!(said.contains("what the reader needs is not known"), "{said}");
}

#[test]
fn a_letter_that_lacks_something_names_all_of_it() {
    let clinic = Small::new();
    // The base case is no end of anything: nobody discharged her.
    let letter = "  - {id: l9, kind: discharge, to: home, as_of: 2025-02-12, signed_by: hk}\n";
    clinic.write(&format!("{}{letter}", clinic.text()));
    let loaded = load(&clinic.folder(), &[], 1);
    assert!(!loaded.all_faults().has_errors(), "{}", shown(&loaded.all_faults()));
    let (case, press) = (loaded.cases[0].sound().unwrap(), Press::open(&clinic.folder()));
    let entry = case.letters.iter().find(|l| l.id.value == "l9").unwrap();
    let Err(report) = press.write(case, entry, loaded.clinic.as_ref().unwrap()) else {
        panic!("it was written")
    };
    let found: Vec<_> = report
        .iter()
        .map(|d| {
            assert_eq!(d.code, Code::LetterLacksItem);
            (d.message.as_str(), d.remedy.as_deref().unwrap_or_default())
        })
        .collect();
    assert_eq!(
        found,
        [
            ("letter `l9` lacks: decision to discharge: not recorded", "ask the clinician"),
            (
                "letter `l9` lacks: signs that should bring the patient back: not recorded",
                "ask the clinician"
            ),
        ]
    );
}

#[test]
fn enclosures_can_be_closed_too() {
    let clinic = Small::new();
    fs::create_dir_all(clinic.path("templates/rules/readers")).unwrap();
    let own = "reader: progress\nletter: progress\nfor: [referring doctor]\n\
               closed: [entry.enclosed]\n";
    fs::write(clinic.path("templates/rules/readers/progress.yaml"), own).unwrap();
    let letter = "as_of: 2025-02-12, signed_by: hk";
    clinic.write(&clinic.text().replacen(letter, &format!("{letter}, enclosed: [f1]"), 1));
    let (code, _, said) = told(&clinic.run(&["build", "--letter", "progress"]));
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("enclosures are closed to the reader `progress`"), "{said}");
}

/// Every item that a reader's file calls optional is told to be missing where
/// it is, in the letter's own sentence or in the one that gathers them.
#[test]
fn what_applies_and_is_not_recorded_is_said_in_every_demo_letter() {
    let readers = shipped();
    let (mut silent, mut said) = (Vec::new(), 0);
    for (case, entry) in demo().letters() {
        let written = demo().written(case, entry);
        let facts = &written.derived.facts;
        let to = case.contacts.iter().find(|c| c.id.value == *entry.to).unwrap();
        let stage = facts.get("patient.stage").and_then(Fact::word);
        let stems = stems(*entry.kind, *to.role, stage);
        let reader = stems.iter().find_map(|stem| readers.get(stem)).unwrap();
        for absent in reader.absent(facts) {
            said += 1;
            if !absent.facts.iter().any(|id| written.printed.contains(id)) {
                silent.push(format!("{}/{}: {}", *case.id, *entry.id, absent.item));
            }
        }
    }
    assert!(silent.is_empty(), "{silent:#?}");
    assert!(said >= 5, "only {said} items were missing");
}
