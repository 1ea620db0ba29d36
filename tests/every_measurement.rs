//! Over the demo clinic every measurement has a value at least once, and
//! `explain` lists it.
//!
//! [`MEASUREMENTS`] says in the clinic's words what must be there; `*` stands
//! for one name: a film, a curve, a treatment, a level. Beyond that list no
//! fact may be missing in every case, except those of [`NOWHERE`].

use std::collections::{BTreeMap, BTreeSet};
use std::process::{Command, Stdio};

use endplate::case::Case;
use endplate::facts::{Facts, derive};

use crate::support::demo::demo;

/// A measurement and the facts that hold it.
type Measurement = (&'static str, &'static [&'static str]);

const MEASUREMENTS: &[Measurement] = &[
    ("size of a curve", &["films.*.curves.*.cobb", "films.*.readings.*.curves.*.cobb"]),
    ("end vertebrae and apex", &["films.*.curves.*.levels", "films.*.curves.*.apex"]),
    ("curves found by themselves", &["films.*.found.*.cobb"]),
    ("major and minor", &["major.key", "curves.*.role"]),
    ("where a curve lies", &["curves.*.region", "curves.*.side"]),
    ("structural or not", &["curves.*.structural"]),
    (
        "flexibility",
        &[
            "curves.*.flexibility_by.bending.amount",
            "curves.*.flexibility_by.supine.amount",
            "curves.*.flexibility_by.prone.amount",
            "curves.*.flexibility_by.traction.amount",
            "curves.*.flexibility_by.bolster.amount",
        ],
    ),
    ("in-brace correction", &["treatments.*.checks.*.*.correction"]),
    ("correction over flexibility", &["curves.*.sci.value"]),
    ("coronal balance", &["films.*.frontal.balance", "frontal.now.balance"]),
    ("apical translation", &["films.*.curves.*.translation"]),
    ("trunk shift", &["films.*.frontal.trunk_shift", "films.*.frontal.trunk_shift_estimate"]),
    ("tilt of T1", &["films.*.frontal.t1_tilt"]),
    ("clavicle angle", &["films.*.frontal.clavicle_angle"]),
    ("pelvic obliquity", &["films.*.frontal.pelvic_obliquity"]),
    ("femoral heads", &["films.*.frontal.femoral_heads"]),
    ("leg length", &["exam.leg_difference"]),
    ("rib-vertebra angles", &["films.*.frontal.rvad.*.difference", "films.*.frontal.rvad.*.phase"]),
    ("rotation", &["films.*.frontal.rotation.*.grade"]),
    ("wedging, frontal", &["films.*.frontal.wedges.*"]),
    ("wedging, lateral", &["films.*.sagittal.wedges.*", "sagittal.wedges.count"]),
    (
        "kyphosis and lordosis",
        &[
            "films.*.sagittal.t5_t12",
            "films.*.sagittal.t2_t12",
            "films.*.sagittal.t4_t12",
            "films.*.sagittal.lordosis",
        ],
    ),
    (
        "pelvis",
        &[
            "films.*.sagittal.pelvic_incidence",
            "films.*.sagittal.pelvic_tilt",
            "films.*.sagittal.sacral_slope",
            "films.*.sagittal.identity_gap",
        ],
    ),
    ("sagittal balance", &["films.*.sagittal.sva", "films.*.sagittal.pi_ll"]),
    (
        "adult modifiers",
        &["sagittal.modifier.pi_ll", "sagittal.modifier.pt", "sagittal.modifier.sva"],
    ),
    ("kyphosis over a bolster", &["sagittal.flexibility.t5_t12.amount"]),
    (
        "classification",
        &[
            "classification.adolescent.type",
            "classification.adolescent.lumbar",
            "classification.adolescent.sagittal",
            "classification.adult.coronal",
        ],
    ),
    ("change and its limit", &["curves.*.since_first.amount", "curves.*.since_first.limit"]),
    ("verdict", &["curves.*.since_previous.verdict", "overall.verdict"]),
    ("slope", &["curves.*.slope.per_year"]),
    (
        "bone maturity",
        &["maturity.risser.grade", "maturity.risser.scale", "maturity.triradiate.value"],
    ),
    ("hand", &["maturity.hand_stage.value", "maturity.radius.value", "maturity.ulna.value"]),
    ("first period", &["maturity.menarche.months_since", "maturity.menarche.not_yet"]),
    ("height", &["growth.height", "growth.gain", "growth.height_z"]),
    (
        "velocity",
        &[
            "growth.velocity.height.per_year",
            "growth.velocity.sitting.per_year",
            "growth.velocity.span.per_year",
        ],
    ),
    ("height lost to the curve", &["growth.loss.stokes_a", "growth.loss.bjure"]),
    ("corrected height", &["growth.corrected.height"]),
    ("phase of growth", &["growth.phase.value"]),
    ("risk", &["risk.progression_factor.value", "risk.by_size_and_risser.value"]),
    ("hours as told", &["treatments.*.wear.reported", "treatments.*.wear.reported_ratio"]),
    (
        "hours from a log",
        &[
            "treatments.*.wear.weeks.*.mean",
            "treatments.*.wear.steps.*.share",
            "treatments.*.wear.days.weekday",
            "treatments.*.wear.days.weekend",
            "treatments.*.wear.days.longest_break",
            "treatments.*.wear.days.cannot_tell",
            "treatments.*.wear.days.met_share",
        ],
    ),
    ("hours as measured", &["treatments.*.wear.mean", "treatments.*.wear.share"]),
    ("SRS-22r", &["scores.srs22r.now", "scores.srs22r.domains.self_image.now"]),
    ("ODI", &["scores.odi.now", "scores.odi.since_first.change"]),
    ("pain", &["scores.pain.now"]),
    ("dose", &["dose.year.total", "dose.all.total", "dose.year.background_days"]),
    ("days to delivery", &["treatments.*.days_to_delivery"]),
    ("hours in force", &["films.*.hours_in_force", "treatments.*.steps.*.per_day"]),
    ("weaning", &["treatments.*.weaning.steps", "treatment.weaning.now"]),
    ("casts in series", &["treatments.*.casts.*.days", "treatment.casts.count"]),
    ("growth in a brace", &["treatments.*.growth.amount"]),
    (
        "best and latest correction",
        &["treatments.*.in_brace.*.best.correction", "treatments.*.in_brace.*.latest.correction"],
    ),
    ("brace against brace", &["treatments.*.against.*.*.difference"]),
];

/// Facts that no demo case can hold, and why.
const NOWHERE: &[(&str, &str)] = &[
    ("films.*.frontal.rotation.*.angle", "the formula is from weak memory and not adopted"),
    ("frontal.now.rotation", "its values stand below it"),
    ("frontal.now.rotation.*.angle", "the formula is from weak memory and not adopted"),
    ("frontal.now.rvad", "its values stand below it"),
    ("frontal.now.wedges", "its values stand below it"),
    ("risk.after_maturity_higher", "no curve of the demo stopped growing above 50 degrees"),
    ("risk.braced_2009", "needs a model whose coefficients were not seen"),
    ("risk.braced_2016", "needs a model whose coefficients were not seen"),
    ("risk.girls_25_to_35", "its coefficients were not seen"),
    ("risk.untreated_45", "its coefficients were not seen"),
    ("risk.radius_ulna", "the model does not read the grades of radius and ulna yet"),
    ("risk.thirty_at_maturity.young_girls", "no girl of the demo is untreated and below 11"),
    ("scores.*.since_*.reaches_share", "no share of the first value is published"),
    ("scores.*.since_*.share", "no share of the first value is published"),
    ("scores.srs22r", "parts of a score for which no important difference is published"),
    ("ending.missed", "no patient of the demo missed a planned visit"),
    ("sagittal.change.*.*.limit", "no published limit for that measurement"),
    ("sagittal.change.*.*.verdict", "no published limit for that measurement"),
    ("sagittal.change.*.*.outcome", "no published bands for that measurement"),
];

/// Roots that measure nothing, or repeat what stands elsewhere.
const WORDS: [&str; 8] =
    ["letter", "entry", "request", "coverage", "plan", "referral", "major", "treatment"];

/// The facts of a case on the day of its last letter: what `explain` shows.
fn latest(case: &Case) -> Facts {
    let last = case.letters.iter().map(|l| l.as_of.value).max().expect("a demo case has letters");
    derive(case, &demo().clinic, last, None).facts
}

/// The facts of every case on the day of each of its letters.
fn all() -> Vec<Facts> {
    let days = |case: &'static Case| {
        let days: BTreeSet<_> = case.letters.iter().map(|l| l.as_of.value).collect();
        days.into_iter().map(move |day| derive(case, &demo().clinic, day, None).facts)
    };
    demo().cases.iter().flat_map(days).collect()
}

/// Whether an id fits a pattern whose `*` stands for part of one name.
fn fits(id: &str, pattern: &str) -> bool {
    let (id, pattern): (Vec<&str>, Vec<&str>) =
        (id.split('.').collect(), pattern.split('.').collect());
    let one = |(name, part): (&&str, &&str)| match part.split_once('*') {
        Some((before, after)) => name.starts_with(before) && name.ends_with(after),
        None => name == part,
    };
    id.len() == pattern.len() && id.iter().zip(&pattern).all(one)
}

/// The same for everything below a pattern.
fn below(id: &str, pattern: &str) -> bool {
    let parts = pattern.split('.').count();
    let head: Vec<&str> = id.split('.').take(parts).collect();
    fits(&head.join("."), pattern)
}

#[test]
fn every_measurement_has_a_value_in_some_demo_case() {
    let all = all();
    let known = |pattern: &str| {
        let has = |f: &endplate::facts::Fact| f.missing().is_none() && fits(f.id.as_str(), pattern);
        all.iter().any(|facts| facts.iter().any(has))
    };
    let missing: Vec<String> = MEASUREMENTS
        .iter()
        .flat_map(|(what, patterns)| patterns.iter().map(move |p| (what, p)))
        .filter(|(_, pattern)| !known(pattern))
        .map(|(what, pattern)| format!("{what}: {pattern}"))
        .collect();
    assert!(missing.is_empty(), "no demo case holds\n{}", missing.join("\n"));
}

/// An id with the names of films, curves, treatments and levels taken out.
fn shape(id: &str, facts: &Facts) -> String {
    let curves = facts.children("curves");
    let numbered = |name: &str| {
        let digits = name.trim_start_matches(|c: char| c.is_ascii_alphabetic());
        let letters = name.len() - digits.len();
        let whole = !digits.is_empty() && digits.chars().all(|c| c.is_ascii_digit());
        letters == 1 && whole
    };
    let parts: Vec<&str> = id.split('.').collect();
    // A curve may be called as a measurement is, so its place decides.
    let holds_curves = ["curves", "in_brace", "found"];
    let name = |at: usize| {
        let part = parts[at];
        let before = |steps: usize| at.checked_sub(steps).map_or("", |at| parts[at]);
        let place = holds_curves.contains(&before(1)) || ["checks", "against"].contains(&before(2));
        let free = numbered(part) || place && curves.contains(&part);
        if free { "*" } else { part }
    };
    (0..parts.len()).map(name).collect::<Vec<_>>().join(".")
}

#[test]
fn nothing_is_missing_in_every_demo_case() {
    let mut shapes: BTreeMap<String, bool> = BTreeMap::new();
    for facts in all() {
        for fact in facts.iter() {
            let id = fact.id.as_str();
            if !WORDS.iter().any(|root| id.split('.').next() == Some(root)) {
                *shapes.entry(shape(id, &facts)).or_default() |= fact.missing().is_none();
            }
        }
    }
    let excused = |id: &str| NOWHERE.iter().any(|(pattern, _)| below(id, pattern));
    let never: Vec<&String> =
        shapes.iter().filter(|(id, known)| !**known && !excused(id)).map(|(id, _)| id).collect();
    assert!(never.is_empty(), "known in no demo case: {never:#?}");
    let idle: Vec<&str> = NOWHERE
        .iter()
        .map(|(pattern, _)| *pattern)
        .filter(|pattern| !shapes.iter().any(|(id, known)| !known && below(id, pattern)))
        .collect();
    assert!(idle.is_empty(), "excused without need: {idle:?}");
}

#[test]
fn explain_lists_every_fact_of_a_case() {
    for case in &demo().cases {
        let output = Command::new(env!("CARGO_BIN_EXE_endplate"))
            .args(["explain", &case.id.value])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .stdin(Stdio::null())
            .output()
            .expect("the program runs");
        let text = String::from_utf8(output.stdout).expect("text");
        let told: BTreeSet<&str> =
            text.lines().filter_map(|line| Some(line.split_once(": ")?.0)).collect();
        let facts = latest(case);
        let measured = facts.iter().filter(|f| {
            let root = f.id.as_str().split('.').next();
            !WORDS.iter().any(|word| root == Some(word))
        });
        let untold: Vec<_> =
            measured.map(|f| f.id.as_str()).filter(|id| !told.contains(id)).collect();
        assert!(untold.is_empty(), "{}: {untold:?}", *case.id);
    }
}
