//! Reading holds up against anything, and reads texts as an independent
//! reader does (serde_yaml 0.9).

#![allow(clippy::disallowed_methods)] // tests read files and the clock themselves

use endplate::case::node::{Node, Shape, parse};
use endplate::case::read::{decode, read_case, read_clinic};
use endplate::case::schema::{case_schema, clinic_schema};
use endplate::diag::Report;
use proptest::prelude::*;
use serde_yaml::Value;

const DESIGN: &str = include_str!("reader/design.yaml");

/// Whether the tree says what the independent reader says. Numbers, booleans
/// and nulls are guesses of that reader: the typed text must stand for them.
fn same(node: &Node, other: &Value) -> bool {
    match (&node.shape, other) {
        (Shape::Map(entries), Value::Mapping(map)) => {
            entries.len() == map.len()
                && entries
                    .iter()
                    .zip(map)
                    .all(|(e, (k, v))| scalar_same(&e.key.value, k) && same(&e.value, v))
        }
        (Shape::List(items), Value::Sequence(list)) => {
            items.len() == list.len() && items.iter().zip(list).all(|(i, v)| same(i, v))
        }
        (Shape::Scalar { text, .. }, other) => scalar_same(text, other),
        (Shape::Empty, Value::Null) => true,
        _ => false,
    }
}

fn scalar_same(text: &str, other: &Value) -> bool {
    match other {
        Value::String(other) => text == other,
        Value::Bool(other) => text.to_lowercase() == other.to_string(),
        Value::Number(other) => text.parse::<f64>().is_ok_and(|n| Some(n) == other.as_f64()),
        Value::Null => ["~", "null", "Null", "NULL"].contains(&text),
        _ => false,
    }
}

fn tree(text: &str) -> Node {
    let mut report = Report::default();
    let root = parse(text, "f.yaml", &mut report);
    assert!(report.is_empty(), "{text}\n{report:#?}");
    root.unwrap()
}

const SCALARS: &str = r#"
plain: two words
several: one
  two

  three
single: 'it''s'
double: "tab\tq\" é \u00e9 \
  joined"
literal: |
  a
    b

  c
literal_strip: |-
  a
keep: |+
  a

folded: >
  a
  b

  c
   d
folded_strip: >-
  a
  b
indented: |2
   a
flow: {a: [1, 2.5, x y], "b": 'c', d: }
list:
- a
- - b
  - c
-
  k: v
number: 12
colon: a:b
hash: a#b
url: http://x.example/?q=1
dash: -a
empty:
quoted empty: ""
"#;

#[test]
fn scalars_of_every_style_are_read_as_the_independent_reader_reads_them() {
    for text in [DESIGN, SCALARS, &SCALARS.replace('\n', "\r\n")] {
        let other: Value = serde_yaml::from_str(text).unwrap();
        assert!(same(&tree(text), &other), "{:#?}\n{other:#?}", tree(text));
    }
}

/// The demo clinic's own files: cases, then the clinic's.
fn demo() -> (Vec<String>, String) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    let mut paths: Vec<_> =
        std::fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let cases = paths.iter().filter(|p| p.extension().is_some_and(|e| e == "yaml"));
    let cases = cases.filter(|p| !p.ends_with("clinic.yaml"));
    let text = |p: &std::path::PathBuf| std::fs::read_to_string(p).unwrap();
    (cases.map(text).collect(), text(&folder.join("clinic.yaml")))
}

#[test]
fn the_demo_files_say_to_both_readers_the_same_and_keep_to_the_schemas() {
    let (cases, clinic) = demo();
    assert!(!cases.is_empty());
    let case_schema = jsonschema::draft202012::new(&case_schema()).unwrap();
    let clinic_schema = jsonschema::draft202012::new(&clinic_schema()).unwrap();
    let each = cases.iter().map(|text| (text, &case_schema));
    for (text, schema) in each.chain([(&clinic, &clinic_schema)]) {
        let other: Value = serde_yaml::from_str(text).unwrap();
        assert!(same(&tree(text), &other), "{:#?}\n{other:#?}", tree(text));
        let errors: Vec<_> = schema
            .iter_errors(&json(text))
            .map(|e| format!("{e} at {}", e.instance_path()))
            .collect();
        assert_eq!(errors, Vec::<String>::new());
    }
}

/// A text that a record may hold.
fn text() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("\n".to_string()),
        Just(": ".to_string()),
        Just(" #".to_string()),
        Just("  ".to_string()),
        "[ -~]{1,6}",
        "[à-žα-ωא-ת中]{1,3}",
    ];
    prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn what_the_independent_writer_writes_is_read_back_exactly(texts in prop::collection::vec(text(), 1..5)) {
        let written = serde_yaml::to_string(&texts).unwrap();
        let Shape::List(items) = tree(&written).shape else { panic!("a list was written") };
        let read: Vec<String> = items
            .into_iter()
            .map(|item| match item.shape {
                Shape::Scalar { text, .. } => text,
                shape => format!("{shape:?}"),
            })
            .collect();
        prop_assert_eq!(read, texts, "{}", written);
    }

    #[test]
    fn no_damage_to_a_file_brings_the_reader_down(
        edits in prop::collection::vec((any::<prop::sample::Index>(), edit()), 1..6),
    ) {
        let mut text: Vec<char> = DESIGN.chars().collect();
        for (at, edit) in edits {
            let at = at.index(text.len().max(1)).min(text.len());
            match edit {
                Edit::Delete(n) => drop(text.drain(at..(at + n).min(text.len()))),
                Edit::Insert(s) => drop(text.splice(at..at, s.chars())),
                Edit::Truncate => text.truncate(at),
                Edit::Repeat(n) => {
                    let part = text[at..(at + n).min(text.len())].to_vec();
                    drop(text.splice(at..at, part));
                }
            }
        }
        sound(&text.into_iter().collect::<String>());
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let mut report = Report::default();
        match decode(&bytes, "f.yaml", &mut report) {
            Some(text) => sound(&text),
            None => prop_assert!(report.has_errors()),
        }
    }
}

#[derive(Debug, Clone)]
enum Edit {
    Delete(usize),
    Insert(String),
    Truncate,
    Repeat(usize),
}

fn edit() -> impl Strategy<Value = Edit> {
    let marks = vec![
        "{",
        "}",
        "[",
        "]",
        ":",
        ": ",
        ",",
        "-",
        "- ",
        "#",
        " #",
        "&a ",
        "*a",
        "!!x ",
        "'",
        "\"",
        "|",
        ">",
        "\n",
        "\n ",
        "\t",
        "\r",
        "\0",
        "\u{feff}",
        "\u{202e}",
        "é",
        "%",
        "@",
        "\\",
        "? ",
        "<<: ",
        "---\n",
        "...\n",
        "null",
        "9999999999999999999",
    ];
    prop_oneof![
        (1usize..40).prop_map(Edit::Delete),
        prop::sample::select(marks).prop_map(|s| Edit::Insert(s.to_string())),
        Just(Edit::Truncate),
        (1usize..80).prop_map(Edit::Repeat),
    ]
}

/// Reads a text; every fault has a place inside the text, and what cannot be
/// read is never silent.
fn sound(text: &str) {
    let mut report = Report::default();
    let load = |_: &str| Ok(text.to_string());
    let case = read_case(text, "cases/a.yaml", &load, &mut report);
    assert!(case.is_some() || report.has_errors());
    read_clinic(text, "cases/clinic.yaml", &mut report);
    let source = text.strip_prefix('\u{feff}').unwrap_or(text);
    for diagnostic in report.iter() {
        let place = diagnostic.place.as_ref().unwrap();
        if &*place.file == "cases/a.yaml" {
            assert!(source.get(place.start..place.end).is_some(), "{diagnostic:?}");
            let line = source.split('\n').nth(place.line as usize - 1);
            assert!(line.is_some_and(|l| l.chars().count() as u32 + 1 >= place.column));
        }
    }
}

/// The text as a JSON value, as an editor with YAML's core schema sees it.
fn json(text: &str) -> serde_json::Value {
    serde_json::to_value(serde_yaml::from_str::<Value>(text).unwrap()).unwrap()
}

#[test]
fn the_schemas_are_schemas_and_accept_what_the_reader_accepts() {
    for schema in [case_schema(), clinic_schema()] {
        jsonschema::draft202012::meta::validate(&schema).unwrap();
    }
    let validator = jsonschema::draft202012::new(&case_schema()).unwrap();
    let errors: Vec<_> = validator.iter_errors(&json(DESIGN)).map(|e| e.to_string()).collect();
    assert_eq!(errors, Vec::<String>::new());
    for (good, bad) in [
        ("cobb: 19 deg", "cobb: 19"),
        ("cobb: 19 deg", "cobb: 19 mm"),
        ("height: 151.2 cm", "height: 151,2 cm"),
        ("born: 2013-05-06", "born: 06/05/2013"),
        ("convex: right", "convex: Right"),
        ("upper: T5", "upper: D5"),
        ("called: Mara", "caled: Mara"),
        ("grade: 0", "grade: 6"),
        ("id: f1\n", "id: f 1\n"),
        ("menarche: {not_yet: 2025-02-10}", "menarche: {}"),
        ("sex: female", "age: 3"),
    ] {
        let damaged = DESIGN.replacen(good, bad, 1);
        assert_ne!(damaged, DESIGN);
        // A comma cuts a flow mapping in two: still YAML, still refused.
        assert!(!validator.is_valid(&json(&damaged)), "{bad}");
    }
}

#[test]
fn every_example_of_the_schemas_is_valid() {
    fn check(root: &serde_json::Value, at: &serde_json::Value) {
        let Some(object) = at.as_object() else { return };
        if let Some(examples) = object.get("examples").and_then(|e| e.as_array()) {
            let mut own = at.clone();
            own["$defs"] = root["$defs"].clone();
            let validator = jsonschema::draft202012::new(&own).unwrap();
            for example in examples {
                assert!(validator.is_valid(example), "{example} against {at}");
            }
            assert!(object.contains_key("description"));
        }
        object.iter().filter(|(k, _)| *k != "examples").for_each(|(_, v)| check(root, v));
    }
    for schema in [case_schema(), clinic_schema()] {
        check(&schema, &schema);
    }
}
