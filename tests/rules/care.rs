//! The care protocol and the red flags of the program: every row just under,
//! at and just over each of its bounds, and with each of its facts removed.
//!
//! The expectations are written by hand from the sources that the rows name;
//! the rule file supplies only which rows and facts there are, so that a row
//! without expectations fails.

use std::collections::{BTreeMap, BTreeSet};

use endplate::diag::Report;
use endplate::facts::{FactId, Facts, Missing, Value};
use endplate::quantity::{Age, Reported, Unit};
use endplate::rules::protocol::{self, Edition, Range};
use endplate::rules::red_flags::{self, Counts};
use endplate::rules::{Condition, Test, Verdict, catalogue};
use endplate::spine::Side;
use proptest::prelude::*;

use super::support::{facts, not_recorded};

const PROTOCOL: &str = include_str!("../../templates/rules/protocol/default.yaml");
const RED_FLAGS: &str = include_str!("../../templates/rules/red-flags/default.yaml");

fn protocol() -> Edition {
    let mut report = Report::default();
    let read = protocol::read(PROTOCOL, "protocol.yaml", &catalogue::kind, &mut report);
    assert!(report.is_empty(), "{:?}", report.sorted());
    read.unwrap().editions.remove(0)
}

fn flags() -> red_flags::Edition {
    let mut report = Report::default();
    let read = red_flags::read(RED_FLAGS, "flags.yaml", &catalogue::kind, &mut report);
    assert!(report.is_empty(), "{:?}", report.sorted());
    read.unwrap().editions.remove(0)
}

/// Short names of facts in the tables below.
const NAMES: &[(&str, &str)] = &[
    ("plane", "major.plane"),
    ("deformity", "diagnosis.deformity"),
    ("cause", "diagnosis.cause"),
    ("age", "patient.age"),
    ("sex", "patient.sex"),
    ("cobb", "major.now.cobb"),
    ("side", "major.side"),
    ("region", "major.region"),
    ("risser", "maturity.risser.grade"),
    ("scale", "maturity.risser.scale"),
    ("menarche", "maturity.menarche.state"),
    ("since", "maturity.menarche.months_since_most"),
    ("ribs", "rib_vertebra.latest.limit_20"),
    ("head", "rib_vertebra.latest.phase"),
    ("phase", "growth.phase.value"),
    ("verdict", "major.since_previous.verdict"),
    ("rate", "major.since_previous.rate"),
    ("kyphosis", "sagittal.now.t5_t12"),
];

fn id(name: &str) -> String {
    let known = NAMES.iter().find(|(short, _)| *short == name);
    known.map_or_else(|| format!("exam.flags.{name}.value"), |(_, id)| (*id).to_string())
}

fn value(name: &str, text: &str) -> Value {
    let whole = |unit| Value::Number(Reported::whole(text.parse().unwrap(), unit));
    match name {
        "age" => {
            let (years, months) = text.split_once('.').expect("years.months");
            Value::Age(Age { years: years.parse().unwrap(), months: months.parse().unwrap() })
        }
        "cobb" | "kyphosis" => whole(Unit::Degree),
        "risser" | "head" => whole(Unit::One),
        "since" => whole(Unit::Month),
        "rate" => Value::Number(Reported::round(text.parse().unwrap(), 1, Unit::DegreePerYear)),
        "side" => Value::Side(if text == "left" { Side::Left } else { Side::Right }),
        _ => Value::Word(word(text)),
    }
}

/// The word with its static life, `_` for a space.
fn word(text: &str) -> &'static str {
    const WORDS: &[&str] = &[
        "frontal",
        "sagittal",
        "scoliosis",
        "asymmetry",
        "hyperkyphosis",
        "idiopathic",
        "congenital",
        "neuromuscular",
        "degenerative",
        "not yet known",
        "male",
        "female",
        "had",
        "not yet",
        "reached",
        "not reached",
        "acceleration",
        "deceleration",
        "nearly mature",
        "mature",
        "worse",
        "unchanged",
        "thoracic",
        "upper thoracic",
        "lumbar",
        "present",
        "absent",
        "not sure",
        "US",
        "French",
    ];
    let text = text.replace('_', " ");
    WORDS.iter().find(|w| **w == text).unwrap_or_else(|| panic!("no word `{text}`"))
}

type Base = BTreeMap<String, Value>;

fn base(text: &str) -> Base {
    let pairs = text.split_whitespace().map(|pair| pair.split_once('=').unwrap());
    pairs.map(|(name, text)| (id(name), value(name, text))).collect()
}

fn as_facts(base: &Base) -> Facts {
    let list: Vec<(&str, Value)> = base.iter().map(|(id, v)| (id.as_str(), v.clone())).collect();
    facts(&list)
}

const TEEN: &str = "plane=frontal deformity=scoliosis cause=idiopathic age=12.6 risser=0 scale=US";
const AGES_10_TO_18: &str = "age: 9.11- 10.0+ 10.1+ 17.11+ 18.0- 18.1-";

/// A row, the facts under which it holds, and for each of its facts the values
/// with `+` where it must hold and `-` where it must not.
struct Case {
    row: &'static str,
    base: String,
    checks: String,
    /// Facts whose absence leaves the verdict as it is.
    spared: &'static [&'static str],
}

fn case(row: &'static str, base: &str, checks: &str) -> Case {
    Case { row, base: base.into(), checks: checks.into(), spared: &[] }
}

fn teen(row: &'static str, extra: &str, checks: &str) -> Case {
    case(row, &format!("{TEEN} {extra}"), &format!("{AGES_10_TO_18}; {checks}"))
}

fn protocol_cases() -> Vec<Case> {
    let mut list = vec![
        // Section 17 of the reference: usually only watched below 10.
        case(
            "below-10",
            "plane=frontal deformity=asymmetry cobb=7",
            "cobb: 0+ 9+ 10- 11-; deformity: scoliosis+ hyperkyphosis-; plane: sagittal-",
        ),
        // The table of 2021: 10 to 20, 21 to 40, 41 to 45.
        teen(
            "risser-0-10-20",
            "cobb=15",
            "cobb: 9- 10+ 11+ 19+ 20+ 21-; risser: 0+ 1-; scale: French-",
        ),
        teen(
            "risser-0-21-40",
            "cobb=30",
            "cobb: 20- 21+ 22+ 39+ 40+ 41-; risser: 0+ 1-; scale: French-",
        ),
        teen(
            "risser-0-41-45",
            "cobb=43",
            "cobb: 40- 41+ 42+ 44+ 45+ 46-; risser: 0+ 1-; scale: French-",
        ),
        teen(
            "risser-1-2-10-20",
            "risser=1 cobb=15",
            "cobb: 9- 10+ 11+ 19+ 20+ 21-; risser: 0- 1+ 2+ 3-; scale: French-",
        ),
        teen(
            "risser-1-2-21-40",
            "risser=1 cobb=30",
            "cobb: 20- 21+ 22+ 39+ 40+ 41-; risser: 0- 1+ 2+ 3-; scale: French-",
        ),
        teen(
            "risser-1-2-41-45",
            "risser=1 cobb=43",
            "cobb: 40- 41+ 42+ 44+ 45+ 46-; risser: 0- 1+ 2+ 3-; scale: French-",
        ),
        teen(
            "risser-3-4-10-24",
            "risser=3 cobb=15",
            "cobb: 9- 10+ 11+ 23+ 24+ 25-; risser: 2- 3+ 4+ 5-; scale: French-",
        ),
        teen(
            "risser-3-4-25-45",
            "risser=3 cobb=30",
            "cobb: 24- 25+ 26+ 44+ 45+ 46-; risser: 2- 3+ 4+ 5-; scale: French-",
        ),
        // Two sources: above 40 to 45, and from 40.
        teen(
            "surgery-key-growing-41-45",
            "cobb=43",
            "cobb: 40- 41+ 42+ 44+ 45+ 46-; risser: 3+ 4+ 5-; scale: French-",
        ),
        teen(
            "surgery-key-growing-above-45",
            "cobb=50",
            "cobb: 44- 45- 46+; risser: 3+ 4+ 5-; scale: French-",
        ),
        teen(
            "surgery-2025-growing-40",
            "cobb=50",
            "cobb: 39- 40+ 41+; risser: 3+ 4+ 5-; scale: French-",
        ),
    ];
    // Risser 0 to 2, 25 to 40, before or less than a year after the first period.
    let mut study = teen(
        "brace-study-25-40",
        "cobb=30 sex=female menarche=had since=6",
        "cobb: 24- 25+ 26+ 39+ 40+ 41-; risser: 0+ 2+ 3-; scale: French-; since: 11+ 12- 13-; sex: male+; menarche: not_yet+",
    );
    study.spared = &["sex", "menarche"];
    list.push(study);
    for (row, cobb, checks) in [
        ("surgery-key-mature-46-50", 48, "cobb: 45- 46+ 47+ 49+ 50+ 51-"),
        ("surgery-key-mature-above-50", 60, "cobb: 49- 50- 51+"),
        ("surgery-2025-mature-50", 60, "cobb: 49- 50+ 51+"),
        ("mature-10-30", 20, "cobb: 9- 10+ 11+ 29+ 30+ 31-"),
        ("mature-31-50", 40, "cobb: 30- 31+ 32+ 49+ 50+ 51-"),
    ] {
        // With Risser 5 from 10 years on; below it from 18 on.
        let young = format!("{TEEN} age=16.0 risser=5 cobb={cobb}");
        let ages = "age: 9.11- 10.0+ 10.1+ 18.0+";
        let grades = "risser: 4- 5+; scale: French+";
        list.push(case(row, &young, &format!("{checks}; {ages}; {grades}")));
        // Fusion has begun at grade 4 of the French scale, at 5 of the other.
        let young = format!("{TEEN} age=16.0 risser=4 scale=French cobb={cobb}");
        let grades = "risser: 3- 4+ 5+; scale: US-";
        list.push(case(row, &young, &format!("{checks}; {ages}; {grades}")));
    }
    for (row, cobb, checks) in [
        ("juvenile-10-24", 15, "cobb: 9- 10+ 11+ 23+ 24+ 25-"),
        ("juvenile-25-29", 27, "cobb: 24- 25+ 26+ 28+ 29+ 30-"),
        ("juvenile-30-40", 35, "cobb: 29- 30+ 31+ 39+ 40+ 41-"),
        ("juvenile-above-40", 50, "cobb: 39- 40- 41+"),
    ] {
        let base =
            format!("plane=frontal deformity=scoliosis cause=idiopathic age=6.0 cobb={cobb}");
        let checks = format!("{checks}; age: 3.11- 4.0+ 4.1+ 9.11+ 10.0-");
        list.push(case(row, &base, &checks));
    }
    // A difference below the limit and a rib head in phase 1; phase 2
    // progresses whatever the difference; above 40 nothing is left to resolve.
    let infant = "plane=frontal deformity=scoliosis cause=idiopathic age=1.0 cobb=30";
    let young = "age: 3.11+ 4.0- 4.1-";
    list.push(case(
        "infantile-resolving",
        &format!("{infant} ribs=not_reached head=1"),
        &format!("cobb: 9- 10+ 11+ 39+ 40+ 41-; {young}; ribs: reached-; head: 1+ 2-"),
    ));
    let mut by_angle = case(
        "infantile-progressive",
        &format!("{infant} ribs=reached head=1"),
        &format!("cobb: 9- 10+ 11+ 41+; {young}; ribs: not_reached-; head: 1+ 2+"),
    );
    by_angle.spared = &["head"];
    let mut by_phase = case(
        "infantile-progressive",
        &format!("{infant} ribs=not_reached head=2"),
        &format!("cobb: 9- 10+ 11+ 41+; {young}; ribs: reached+; head: 1- 2+"),
    );
    by_phase.spared = &["ribs"];
    list.extend([by_angle, by_phase]);
    for (row, cobb, checks) in [
        ("degenerative-10-30", 20, "cobb: 9- 10+ 11+ 29+ 30+ 31-"),
        ("degenerative-above-30", 40, "cobb: 29- 30- 31+"),
    ] {
        let base =
            format!("plane=frontal deformity=scoliosis cause=degenerative age=60.0 cobb={cobb}");
        list.push(case(row, &base, &format!("{checks}; age: 17.11- 18.0+ 18.1+")));
    }
    list.push(case(
        "kyphosis-brace-55-80",
        "plane=sagittal deformity=hyperkyphosis age=14.0 cobb=60",
        &format!("cobb: 54- 55+ 56+ 79+ 80+ 81-; {AGES_10_TO_18}; plane: frontal-"),
    ));
    for (row, checks) in [
        ("kyphosis-surgery-above-75", "cobb: 74- 75- 76+"),
        ("kyphosis-surgery-above-80", "cobb: 79- 80- 81+"),
    ] {
        list.push(case(row, "plane=sagittal deformity=hyperkyphosis cobb=90", checks));
    }
    list
}

fn interval_cases() -> Vec<Case> {
    let mut growing = case(
        "growing",
        "age=12.0 risser=2 scale=US phase=mature",
        &format!("{AGES_10_TO_18}; risser: 3+ 4- 5-; scale: French-"),
    );
    growing.spared = &["phase"];
    vec![
        case("before-10-years", "age=6.0", "age: 9.11+ 10.0- 10.1-"),
        growing,
        case(
            "nearly-mature",
            "age=15.0 phase=mature",
            &format!("{AGES_10_TO_18}; phase: acceleration- deceleration- nearly_mature+"),
        ),
        case("adult", "age=40.0", "age: 17.11- 18.0+ 18.1+"),
    ]
}

fn flag_cases() -> Vec<Case> {
    let child = "plane=frontal cause=idiopathic age=12.0 cobb=20";
    let from_4 = "age: 3.11- 4.0+ 4.1+ 17.11+ 18.0-";
    let mut list = vec![
        case(
            "early-onset-size",
            "plane=frontal cause=idiopathic age=6.0 cobb=30",
            "age: 9.11+ 10.0- 10.1-; cobb: 19- 20- 21+; cause: not_yet_known+ congenital-; plane: sagittal-",
        ),
        case("congenital", "cause=congenital", "cause: idiopathic- neuromuscular-"),
        // More than 1 degree a month is more than 12 a year.
        case(
            "fast-progression",
            "plane=frontal age=12.0 verdict=worse rate=20",
            "age: 17.11+ 18.0- 18.1-; rate: 11.9- 12.0- 12.1+; verdict: unchanged-; plane: sagittal-",
        ),
        case(
            "left-thoracic",
            &format!("{child} side=left region=thoracic"),
            &format!("{from_4}; cobb: 9- 10+ 11+; side: right-; region: upper_thoracic+ lumbar-"),
        ),
        case(
            "male",
            &format!("{child} sex=male"),
            &format!("{from_4}; cobb: 9- 10+ 11+; sex: female-; cause: neuromuscular-"),
        ),
        case(
            "kyphotic-apex",
            "deformity=scoliosis cause=idiopathic age=12.0 kyphosis=50",
            &format!("{from_4}; kyphosis: 39- 40- 41+; deformity: hyperkyphosis-"),
        ),
    ];
    for (row, finding) in [
        ("night-pain", "night_pain"),
        ("short-segment", "short_segment"),
        ("midline-skin", "skin_marks_midline"),
        ("weakness", "progressive_weakness"),
        ("bladder-bowel", "bladder_bowel_change"),
        ("saddle-numbness", "saddle_numbness"),
        ("gait", "gait_change"),
        ("infection", "infection_signs"),
    ] {
        list.push(case(row, &format!("{finding}=present"), &format!("{finding}: absent-")));
    }
    for (row, finding) in [
        ("abdominal-reflex", "abdominal_reflex_abnormal"),
        ("neurological-signs", "neurological_signs"),
        ("cavus-feet", "cavus_feet"),
    ] {
        let base = format!("{finding}=present cause=idiopathic");
        list.push(case(row, &base, &format!("{finding}: absent-; cause: neuromuscular-")));
    }
    for (row, finding) in
        [("fracture", "fracture"), ("cancer", "cancer_history"), ("osteoporosis", "osteoporosis")]
    {
        let base = format!("{finding}=present age=60.0");
        let checks = format!("{finding}: absent-; age: 17.11- 18.0+ 18.1+");
        list.push(case(row, &base, &checks));
    }
    list
}

/// Holds the table against the conditions of a file.
fn hold(rows: &[(&str, &Condition)], cases: &[Case]) {
    let in_file: BTreeSet<&str> = rows.iter().map(|(id, _)| *id).collect();
    let in_table: BTreeSet<&str> = cases.iter().map(|c| c.row).collect();
    assert_eq!(in_file, in_table, "every row of the file has its expectations");
    for case in cases {
        let (_, when) = rows.iter().find(|(id, _)| *id == case.row).unwrap();
        let base = base(&case.base);
        let met = when.evaluate(&as_facts(&base));
        assert_eq!(met.verdict, Verdict::Met, "{}: {:?}", case.row, met.evidence);
        bounds(case, when, &base);
        removed(case, when, &base);
    }
}

fn bounds(case: &Case, when: &Condition, base: &Base) {
    let mut checked = BTreeSet::new();
    for check in case.checks.split(';').map(str::trim) {
        let (name, values) = check.split_once(':').unwrap();
        checked.insert(id(name));
        for text in values.split_whitespace() {
            let (text, holds) = match text.strip_suffix('+') {
                Some(text) => (text, true),
                None => (text.strip_suffix('-').expect("+ or -"), false),
            };
            let mut base = base.clone();
            base.insert(id(name), value(name, text));
            let found = when.evaluate(&as_facts(&base)).verdict;
            assert_eq!(found, Verdict::of(holds), "{}: {name} {text}", case.row);
        }
    }
    for leaf in when.leaves() {
        if matches!(leaf.test, Test::Number(..) | Test::Age(..)) {
            assert!(checked.contains(leaf.fact.as_str()), "{}: {} unchecked", case.row, leaf.fact);
        }
    }
}

fn removed(case: &Case, when: &Condition, base: &Base) {
    let facts_of: BTreeSet<&FactId> = when.leaves().iter().map(|l| &l.fact).collect();
    let spared: Vec<String> = case.spared.iter().map(|name| id(name)).collect();
    for fact in facts_of {
        let what = format!("item of {fact}");
        let mut base = base.clone();
        base.insert(fact.to_string(), not_recorded(&what, "the clinic"));
        let outcome = when.evaluate(&as_facts(&base));
        if spared.contains(&fact.to_string()) {
            assert_eq!(outcome.verdict, Verdict::Met, "{} without {fact}", case.row);
            continue;
        }
        assert_eq!(outcome.verdict, Verdict::CannotTell, "{} without {fact}", case.row);
        let missing: Vec<String> = outcome.missing().into_iter().map(|m| m.what).collect();
        assert_eq!(missing, [format!("{what}: not recorded")], "{} without {fact}", case.row);
    }
}

#[test]
fn every_row_of_the_protocol_at_its_bounds_and_without_each_fact() {
    let edition = protocol();
    let rows: Vec<_> = edition.rows.iter().map(|r| (r.id.as_str(), &r.when)).collect();
    hold(&rows, &protocol_cases());
}

#[test]
fn every_interval_at_its_bounds_and_without_each_fact() {
    let edition = protocol();
    let rows: Vec<_> = edition.follow_up.iter().map(|r| (r.id.as_str(), &r.when)).collect();
    hold(&rows, &interval_cases());
}

#[test]
fn every_red_flag_at_its_bounds_and_without_each_fact() {
    let edition = flags();
    let rows: Vec<_> = edition.flags.iter().map(|r| (r.id.as_str(), &r.when)).collect();
    hold(&rows, &flag_cases());
}

fn range_of(text: &str) -> String {
    let edition = protocol();
    let judged = protocol::evaluate(&edition, &as_facts(&base(text)));
    match judged.range {
        Range::From(least, most) => format!("{} to {}", least.words(), most.words()),
        Range::CannotTell(missing) => {
            let items: Vec<_> = missing.into_iter().map(|m| m.what).collect();
            format!("cannot tell: {}", items.join("; "))
        }
        Range::NotCovered => "not covered".into(),
    }
}

#[test]
fn the_best_founded_rows_set_the_range_and_conflicting_ones_both_count() {
    let girl = format!("{TEEN} sex=female menarche=not_yet");
    let of = |extra: &str| range_of(&format!("{girl} {extra}"));
    // A guideline's row stands above the papers that hold beside it.
    assert_eq!(of("cobb=30"), "rigid brace 16 h/day to surgical opinion");
    assert_eq!(of("cobb=43"), "rigid brace 23 h/day to surgical opinion");
    // Above 45 only the papers on surgery speak.
    assert_eq!(of("cobb=46"), "surgical opinion to surgical opinion");
    // Two papers on 43 degrees at Risser 4: from 40 surgery, from 41 to 45 it
    // depends.
    assert_eq!(of("cobb=43 risser=4"), "watch to surgical opinion");
    // Mature, 48 degrees: one source above 45 to 50, the other from 50 on; at
    // 52 both.
    assert_eq!(of("cobb=52 risser=5"), "surgical opinion to surgical opinion");
    assert_eq!(of("cobb=48 risser=5"), "watch to surgical opinion");
    // French grade 4 is no grade of a growing row, and the end of growth.
    assert_eq!(of("cobb=30 risser=4 scale=French"), "discharge to exercise");
    assert_eq!(of("cobb=30 risser=2 scale=French"), "not covered");
    assert_eq!(of("cobb=8"), "watch to exercise");
    assert_eq!(of("cobb=30 cause=congenital"), "not covered");
    // Kyphosis of 78: braces up to 80, surgery above 75 or above 80.
    let kyphosis = "plane=sagittal deformity=hyperkyphosis cause=idiopathic age=14.0";
    assert_eq!(range_of(&format!("{kyphosis} cobb=78")), "exercise to surgical opinion");
}

#[test]
fn a_range_that_hangs_on_what_is_missing_is_not_told() {
    let text = format!("{TEEN} sex=female menarche=not_yet cobb=30");
    let mut facts_of = base(&text);
    facts_of.insert("maturity.risser.grade".into(), not_recorded("Risser grade", "the reader"));
    let edition = protocol();
    let judged = protocol::evaluate(&edition, &as_facts(&facts_of));
    let Range::CannotTell(missing) = judged.range else { panic!("{:?}", judged.range) };
    let items: Vec<&str> = missing.iter().map(|m| m.what.as_str()).collect();
    assert_eq!(items, ["Risser grade: not recorded"]);
}

#[test]
fn being_male_alone_is_no_flag_and_two_that_add_weight_are() {
    let edition = flags();
    let absent: String = edition
        .flags
        .iter()
        .flat_map(|f| f.when.leaves())
        .filter_map(|l| l.fact.as_str().strip_prefix("exam.flags.")?.strip_suffix(".value"))
        .map(|finding| format!(" {finding}=absent"))
        .collect();
    let boy = format!(
        "plane=frontal deformity=scoliosis cause=idiopathic sex=male cobb=20 kyphosis=30 verdict=unchanged rate=1{absent}"
    );
    let counting = |extra: &str| -> Vec<String> {
        let facts = as_facts(&base(&format!("{boy} {extra}")));
        let judged = red_flags::evaluate(&edition, &facts);
        assert!(judged.iter().all(|f| f.counts != Counts::CannotTell));
        let counting = judged.iter().filter(|f| f.counts == Counts::Yes);
        counting.map(|f| f.flag.id.value.clone()).collect()
    };
    let none: [&str; 0] = [];
    assert_eq!(counting("age=12.0 side=right region=thoracic"), none);
    assert_eq!(counting("age=12.0 side=left region=lumbar"), none);
    assert_eq!(counting("age=12.0 side=left region=thoracic"), ["left-thoracic", "male"]);
    // A left thoracic curve is usual in infants.
    assert_eq!(counting("age=1.6 side=left region=thoracic"), none);
    assert_eq!(counting("age=12.0 side=right region=thoracic night_pain=present"), ["night-pain"]);
}

#[test]
fn not_sure_is_not_an_answer() {
    let edition = flags();
    let night = edition.flags.iter().find(|f| f.id.value == "night-pain").unwrap();
    let outcome = night.when.evaluate(&as_facts(&base("night_pain=not_sure")));
    assert_eq!(outcome.verdict, Verdict::CannotTell);
    let none = Value::Missing(Missing::NotApplicable("no".into()));
    let facts = facts(&[("exam.flags.night_pain.value", none)]);
    assert_eq!(night.when.evaluate(&facts).verdict, Verdict::NotMet);
}

/// Facts of any invented adolescent, some not recorded.
fn any_base() -> impl Strategy<Value = Base> {
    let number = |low: i64, high: i64| (low..high, any::<bool>());
    (number(5, 60), number(0, 6), number(3, 20), any::<bool>(), any::<bool>()).prop_map(
        |((cobb, known), (risser, graded), (years, _), male, left)| {
            let text = format!(
                "plane=frontal deformity=scoliosis cause=idiopathic age={years}.3 cobb={cobb} risser={risser} scale=US sex={} menarche=not_yet since=3 side={} region=thoracic ribs=reached head=1 phase=acceleration verdict=worse rate=13 kyphosis=41",
                if male { "male" } else { "female" },
                if left { "left" } else { "right" },
            );
            let mut base = base(&text);
            if !known {
                base.insert(id("cobb"), not_recorded("Cobb angle", "the reader"));
            }
            if !graded {
                base.insert(id("risser"), not_recorded("Risser grade", "the reader"));
            }
            base
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The order of rows, of intervals and of flags never matters.
    #[test]
    fn the_order_of_rules_never_matters(base in any_base(), by in 1usize..40) {
        let facts = as_facts(&base);
        let (straight, mut turned) = (protocol(), protocol());
        let rows = turned.rows.len();
        turned.rows.rotate_left(by % rows);
        turned.rows.swap(0, rows / 2);
        turned.follow_up.reverse();
        let (a, b) = (protocol::evaluate(&straight, &facts), protocol::evaluate(&turned, &facts));
        prop_assert_eq!(&a.range, &b.range);
        let months = |j: &protocol::Judged| {
            j.interval().map(|f| f.map(|f| f.row.months)).map_err(|missing| missing.len())
        };
        prop_assert_eq!(months(&a), months(&b));
        let (straight, mut turned) = (flags(), flags());
        turned.flags.reverse();
        let counts = |edition: &red_flags::Edition| -> BTreeMap<String, Counts> {
            let judged = red_flags::evaluate(edition, &facts);
            judged.into_iter().map(|f| (f.flag.id.value.clone(), f.counts)).collect()
        };
        prop_assert_eq!(counts(&straight), counts(&turned));
    }
}
