//! Flexibility, structure and type of curves, and curves that only landmarks
//! show, through the whole reader: hand-worked cases.

use chrono::NaiveDate;
use endplate::case::Clinic;
use endplate::case::check::check;
use endplate::case::read::{read_case, read_clinic};
use endplate::diag::Report;
use endplate::facts::{Facts, Value, derive};

use crate::synthetic::{Bow, Film, Shown, Spine, Towards, draw};

fn clinic() -> Clinic {
    let text = "clinic: Test\naddress: [1 Test Row]\npeople: [{id: ab, name: A B}, {id: cd, name: C D}]\npaper: A4\ndates: day month year\nlanguage: en\n";
    read_clinic(text, "clinic.yaml", &mut Report::default()).expect("a clinic")
}

/// The facts of a case born in 2012 as known in June 2026, and what is
/// complained of.
pub fn told(films: &str, more: &str, files: &[(&str, String)]) -> (Facts, Vec<String>) {
    let text = format!(
        "case: t-1\npatient: {{name: Test Person, born: 2012-01-01, sex: female}}\n\
         diagnosis: {{cause: idiopathic, found: 2024-01}}\ncontacts: []\nfilms:\n{films}{more}"
    );
    read(&text, files)
}

fn read(text: &str, files: &[(&str, String)]) -> (Facts, Vec<String>) {
    let mut report = Report::default();
    let load = |name: &str| {
        let found = files.iter().find(|(path, _)| *path == name);
        found.map(|(_, text)| text.clone()).ok_or_else(|| "none".to_string())
    };
    let case = read_case(text, "t-1.yaml", &load, &mut report);
    let faults: Vec<_> = report.iter().map(|d| d.message.clone()).collect();
    let case = case.unwrap_or_else(|| panic!("{faults:?}"));
    let clinic = clinic();
    check(&case, Some(&clinic), &mut report);
    let day = NaiveDate::from_ymd_opt(2026, 6, 1).unwrap();
    let derived = derive(&case, &clinic, day, None);
    report.extend(derived.report);
    let codes = report.iter().map(|d| d.message.clone()).collect();
    (derived.facts, codes)
}

pub fn facts(films: &str) -> Facts {
    told(films, "", &[]).0
}

/// A film; `how` holds its posture and whatever else it says of itself.
pub fn film(id: &str, taken: &str, view: &str, how: &str, reading: &str) -> String {
    let view = match view {
        "lateral" => "view: lateral, displayed: facing left",
        "frontal" => "view: frontal, projection: PA, displayed: from behind",
        other => {
            &format!("view: bending, projection: PA, displayed: from behind, bent_to: {other}")
        }
    };
    format!(
        "  - {{id: {id}, taken: {taken}, {view}, {how}, readings: [{{id: r1, by: ab, read: {taken}, {reading}}}]}}\n"
    )
}

pub const STANDING: &str = "posture: standing, support: none";

pub fn curve(name: &str, ends: [&str; 3], convex: &str, cobb: i32) -> String {
    let [upper, apex, lower] = ends;
    format!(
        "{{name: {name}, upper: {upper}, apex: {apex}, lower: {lower}, convex: {convex}, cobb: {cobb} deg}}"
    )
}

pub fn curves(list: &[String]) -> String {
    format!("curves: [{}]", list.join(", "))
}

fn upper(cobb: i32) -> String {
    curve("upper", ["T1", "T3", "T5"], "left", cobb)
}

fn main_curve(cobb: i32) -> String {
    curve("main", ["T5", "T8", "T12"], "right", cobb)
}

fn lower(cobb: i32) -> String {
    curve("lower", ["T12", "L2", "L4"], "left", cobb)
}

pub fn word(facts: &Facts, id: &str) -> String {
    let fact = facts.get(id).unwrap_or_else(|| panic!("no fact {id}"));
    match &fact.value {
        Value::Missing(missing) => missing.reason(),
        Value::Number(number) => number.digits(),
        Value::Word(word) => (*word).to_string(),
        Value::Levels(upper, lower) => format!("{upper}-{lower}"),
        Value::Apex(apex) => apex.to_string(),
        Value::Text(text) => text.clone(),
        other => format!("{other:?}"),
    }
}

#[test]
fn a_stiff_upper_curve_makes_type_2_with_its_modifiers() {
    // Main thoracic 55 is major; the upper curve keeps 26 bent to the left
    // (25 and more: structural), the lower one 10; no kyphosis. CSVL touching:
    // B; T5-T12 of 8 degrees: below 10, minus.
    let stands = curves(&[upper(30), main_curve(55), lower(32)]);
    let films = [
        film(
            "f1",
            "2026-03-02",
            "frontal",
            STANDING,
            &format!("{stands}, frontal: {{csvl_at_lumbar_apex: touching}}"),
        ),
        film(
            "f2",
            "2026-03-03",
            "left",
            "posture: supine, support: none",
            &curves(&[upper(26), lower(10)]),
        ),
        film(
            "f3",
            "2026-03-02",
            "lateral",
            STANDING,
            "sagittal: {t2_t5: 5 deg, t5_t12: 8 deg, t10_l2: 2 deg}",
        ),
    ];
    let facts = facts(&films.concat());
    assert_eq!(word(&facts, "classification.adolescent.type"), "2");
    assert_eq!(word(&facts, "classification.adolescent.lumbar"), "B");
    assert_eq!(word(&facts, "classification.adolescent.sagittal"), "-");
    assert_eq!(word(&facts, "curves.upper.structural_by"), "bending");
    assert_eq!(word(&facts, "curves.main.role"), "major");
    assert_eq!(word(&facts, "curves.lower.structural"), "no");
    // (32 - 10) / 32 = 68.75 %, reported 69.
    assert_eq!(word(&facts, "curves.lower.flexibility_by.bending.amount"), "69");
    assert_eq!(
        word(&facts, "classification.adult.coronal"),
        "not applicable: the adult types are for adults; aged 14 on the film"
    );
}

#[test]
fn cannot_tell_names_the_missing_film() {
    let films =
        film("f1", "2026-03-02", "frontal", STANDING, &curves(&[main_curve(50), lower(32)]));
    let facts = facts(&films);
    assert_eq!(
        word(&facts, "classification.adolescent.type"),
        "cannot tell: type 1 or 3; missing: a film bent to the left; T10-L2 kyphosis from a \
         standing lateral film (for the thoracolumbar or lumbar curve T12 to L4)"
    );
    assert_eq!(
        word(&facts, "classification.adolescent.sagittal"),
        "cannot tell: missing: T5-T12 kyphosis from a standing lateral film"
    );
    assert_eq!(
        word(&facts, "classification.adolescent.lumbar"),
        "cannot tell: missing: where the CSVL passes the lumbar apex L2 (csvl_at_lumbar_apex), \
         or marks of its pedicles and of S1"
    );
}

#[test]
fn a_type_is_for_its_own_patients() {
    let films = film("f1", "2026-03-02", "frontal", STANDING, &curves(&[main_curve(50)]));
    let of = |born: &str, cause: &str| {
        let text = format!(
            "case: t-1\npatient: {{name: Test Person, born: {born}, sex: female}}\n\
             diagnosis: {{cause: {cause}}}\ncontacts: []\nfilms:\n{films}"
        );
        let facts = read(&text, &[]).0;
        ["adolescent.type", "adult.coronal"].map(|id| word(&facts, &format!("classification.{id}")))
    };
    assert_eq!(of("1980-01-01", "idiopathic")[1], "T");
    assert!(of("1980-01-01", "idiopathic")[0].contains("aged 46"));
    assert!(of("2012-01-01", "neuromuscular")[0].contains("the cause is neuromuscular"));
    assert!(of("2018-01-01", "idiopathic")[0].contains("aged 8"));
}

#[test]
fn exactly_thirty_is_unassigned_in_adults() {
    let films =
        film("f1", "2026-03-02", "frontal", STANDING, &curves(&[main_curve(30), lower(41)]));
    let text = format!(
        "case: t-1\npatient: {{name: Test Person, born: 1971-01-01, sex: female}}\n\
         diagnosis: {{cause: idiopathic}}\ncontacts: []\nfilms:\n{films}"
    );
    assert_eq!(
        word(&read(&text, &[]).0, "classification.adult.coronal"),
        "cannot tell: the thoracic curve measures exactly 30 deg, which the scheme leaves unassigned"
    );
}

#[test]
fn correction_over_flexibility() {
    // 32 to 18 in the brace: 43.75 %; 32 to 24 lying: 25 %; ratio 1.75.
    // Both reach the published cut-offs, 28.8 and 18.1 %.
    let films = [
        film("f1", "2026-01-05", "frontal", STANDING, &curves(&[main_curve(32)])),
        film(
            "f2",
            "2026-01-05",
            "frontal",
            "posture: supine, support: none",
            &curves(&[main_curve(24)]),
        ),
        film(
            "f3",
            "2026-03-02",
            "frontal",
            "posture: standing, support: b1",
            &curves(&[main_curve(18)]),
        ),
    ];
    let brace = "treatments:\n  - {id: b1, kind: brace, fittings: [{on: 2026-03-02, what: delivered, film: f3}]}\n";
    let facts = told(&films.concat(), brace, &[]).0;
    assert_eq!(word(&facts, "curves.main.flexibility_by.supine.amount"), "25");
    assert_eq!(word(&facts, "curves.main.sci.value"), "1.75");
    assert_eq!(word(&facts, "curves.main.sci.correction_reached"), "yes");
    assert_eq!(word(&facts, "curves.main.sci.flexibility_reached"), "yes");
}

#[test]
fn bending_the_wrong_way_is_told_and_left_out() {
    let films = [
        film("f1", "2026-01-05", "frontal", STANDING, &curves(&[main_curve(32)])),
        film(
            "f2",
            "2026-01-05",
            "left",
            "posture: supine, support: none",
            &curves(&[main_curve(40)]),
        ),
    ];
    let (facts, faults) = told(&films.concat(), "", &[]);
    assert!(
        faults.contains(
            &"film f2 is bent to the left and shows only curves convex to the other side: \
          T5 to T12 (right)"
                .to_string()
        ),
        "{faults:?}"
    );
    assert_eq!(
        word(&facts, "curves.main.flexibility_by.bending.amount"),
        "not applicable: no film bent to the right shows this curve"
    );
}

/// Landmarks of a double curve of that size, right thoracic and left lumbar.
pub fn landmarks(main: f64, lower: f64) -> String {
    let bow = |upper, apex, lower, towards, cobb| Bow { upper, apex, lower, towards, cobb };
    let mut bows = vec![bow("T5", "T8", "T11", Towards::Right, main)];
    if lower > 0.0 {
        bows.push(bow("T12", "L2", "L4", Towards::Left, lower));
    }
    let spine = Spine { thoracic: 12, lumbar: 5, size: 1.0, bows };
    let film = Film {
        shown: Shown::FromBehind,
        scale: 0.2,
        turn: 0.0,
        origin: (600.0, 150.0),
        noise: 0.0,
        seed: 1,
    };
    draw(&spine, &film).csv()
}

#[test]
fn landmarks_alone_give_curves_from_film_to_film() {
    // No reader names a curve: the generator's 31 and 24 degrees, a year
    // later 38 and 26, in the brace 20 and 12.
    let files = [
        ("a.csv", landmarks(31.0, 24.0)),
        ("b.csv", landmarks(38.0, 26.0)),
        ("c.csv", landmarks(20.0, 12.0)),
    ];
    let films = [
        film("f1", "2025-01-06", "frontal", STANDING, "landmarks: a.csv"),
        film("f2", "2026-01-05", "frontal", STANDING, "landmarks: b.csv"),
        film("f3", "2026-03-02", "frontal", "posture: standing, support: b1", "landmarks: c.csv"),
    ];
    let brace = "treatments:\n  - {id: b1, kind: brace, fittings: [{on: 2026-03-02, what: delivered, film: f3}]}\n";
    let (facts, faults) = told(&films.concat(), brace, &files);
    assert_eq!(facts.children("curves"), ["main_thoracic", "lumbar"]);
    assert_eq!(word(&facts, "major.now.cobb"), "38");
    assert_eq!(word(&facts, "major.now.levels"), "T5-T11");
    assert_eq!(word(&facts, "major.now.apex"), "T8");
    assert_eq!(word(&facts, "major.since_previous.amount"), "7");
    // (38 - 20) / 38 = 47.4 %.
    assert_eq!(word(&facts, "major.in_brace.correction"), "47");
    assert_eq!(word(&facts, "films.f1.curves.lumbar.cobb"), "24");
    assert_eq!(word(&facts, "films.f1.curves.lumbar.found"), "yes");
    let names = faults
        .iter()
        .filter(|f| f.contains("names no curve; they show") && f.contains("T5 to T11"))
        .count();
    assert_eq!(names, 3, "{faults:?}");
}

#[test]
fn found_curves_stand_beside_typed_ones() {
    // Typed from T6 to T11, the landmarks tilt most at T5; the lumbar curve
    // is typed by nobody.
    let typed =
        curves(&["{name: main, upper: T6, apex: T8, lower: T11, convex: right}".to_string()]);
    let films =
        film("f1", "2026-03-02", "frontal", STANDING, &format!("{typed}, landmarks: a.csv"));
    let facts = told(&films, "", &[("a.csv", landmarks(40.0, 28.0))]).0;
    let at = |item: &str| word(&facts, &format!("films.f1.found.{item}"));
    let n = (1..=4).find(|n| at(&format!("c{n}.levels")) == "T5-T11").unwrap();
    assert_eq!(at(&format!("c{n}.curve")), "main");
    assert_eq!(at(&format!("c{n}.upper_off")), "\u{2212}1");
    assert_eq!(at(&format!("c{n}.lower_off")), "0");
    assert_eq!(at(&format!("c{n}.cobb")), "40");
    let lumbar = n + 1;
    assert_eq!(at(&format!("c{lumbar}.levels")), "T12-L4");
    assert!(at(&format!("c{lumbar}.curve")).contains("names no curve here"));
    assert_eq!(facts.children("curves"), ["main"]);
    // A lumbar curve of 28 degrees that nobody named keeps the type open.
    let kind = word(&facts, "classification.adolescent.type");
    assert!(kind.contains("a reader's word on the thoracolumbar or lumbar curve"), "{kind}");
}

#[test]
fn a_bent_film_is_measured_between_the_ends_of_the_standing_one() {
    let files = [("a.csv", landmarks(40.0, 28.0)), ("b.csv", landmarks(22.0, 0.0))];
    let films = [
        film("f1", "2026-03-02", "frontal", STANDING, "landmarks: a.csv"),
        film("f2", "2026-03-02", "right", "posture: supine, support: none", "landmarks: b.csv"),
    ];
    let facts = told(&films.concat(), "", &files).0;
    // (40 - 22) / 40 = 45 %, and no curve of the bend itself.
    assert_eq!(word(&facts, "curves.main_thoracic.flexibility_by.bending.amount"), "45");
    assert_eq!(word(&facts, "films.f2.curves.main_thoracic.levels"), "T5-T11");
    assert_eq!(facts.children("curves"), ["main_thoracic", "lumbar"]);
}

#[test]
fn the_lumbar_modifier_follows_the_marks_of_the_pedicles() {
    let text = landmarks(30.0, 40.0);
    let cell = |level: &str, corner: &str, at: usize| -> f64 {
        let start = format!("{level},{corner},");
        let line = text.lines().find(|l| l.starts_with(&start)).unwrap();
        line[start.len()..].split(',').nth(at).unwrap().parse().unwrap()
    };
    let row = |level: &str, corner: &str| cell(level, corner, 0);
    let middle = |level: &str, corners: &[&str]| {
        corners.iter().map(|c| row(level, c)).sum::<f64>() / corners.len() as f64
    };
    // The plumb line through the middle of S1 and the edges of the apex L2, as
    // displayed; pedicles placed so that the line runs between them, on one of
    // them, and, with the body moved away, beside it.
    let line = middle("S1", &["upper left", "upper right"]);
    let (left, right) = (
        middle("L2", &["upper left", "lower left"]),
        middle("L2", &["upper right", "lower right"]),
    );
    assert!(line < left || right < line, "the apex of 40 degrees is clear of the line");
    let of = |pedicles: [f64; 2], shift: f64| {
        // The sacrum is moved under the apex by the shift.
        let moved: String = text
            .lines()
            .map(|l| match l.strip_prefix("S1,") {
                Some(rest) => {
                    let cells: Vec<&str> = rest.split(',').collect();
                    let x: f64 = cells[1].parse().unwrap();
                    format!("S1,{},{:.1},{}\n", cells[0], x + shift, cells[2])
                }
                None => format!("{l}\n"),
            })
            .collect();
        let y = (cell("L2", "upper left", 1) + cell("L2", "lower right", 1)) / 2.0;
        let marks = format!(
            "L2,pedicle left,{:.1},{y}\nL2,pedicle right,{:.1},{y}\n",
            pedicles[0], pedicles[1]
        );
        let typed = curves(&[
            "{name: main, upper: T5, apex: T8, lower: T11, convex: right}".to_string(),
            "{name: lower, upper: T12, apex: L2, lower: L4, convex: left}".to_string(),
        ]);
        let reading = format!("{typed}, landmarks: a.csv");
        let films = film("f1", "2026-03-02", "frontal", STANDING, &reading);
        let facts = told(&films, "", &[("a.csv", format!("{moved}{marks}"))]).0;
        word(&facts, "classification.adolescent.lumbar")
    };
    let width = right - left;
    let pedicles = [left + 0.2 * width, right - 0.2 * width];
    assert_eq!(of(pedicles, 0.0), "C");
    let centre = (left + right) / 2.0 - line;
    assert_eq!(of(pedicles, centre), "A");
    assert_eq!(of(pedicles, centre + 0.4 * width), "B");
    let near = of(pedicles, centre + 0.25 * width);
    assert!(near.contains("too near the edge of a pedicle"), "{near}");
}

#[test]
fn a_kyphosis_that_only_landmarks_show_is_followed_between_the_same_ends() {
    let lateral = |back: f64, front: f64| {
        let bow = |upper, apex, lower, towards, cobb| Bow { upper, apex, lower, towards, cobb };
        let bows = vec![
            bow("T3", "T8", "T12", Towards::Back, back),
            bow("L1", "L4", "S1", Towards::Front, front),
        ];
        let spine = Spine { thoracic: 12, lumbar: 5, size: 1.0, bows };
        let film = Film {
            shown: Shown::FacingLeft,
            scale: 0.2,
            turn: 0.0,
            origin: (600.0, 150.0),
            noise: 0.0,
            seed: 1,
        };
        draw(&spine, &film).csv()
    };
    let text = format!(
        "case: t-1\npatient: {{name: Test Person, born: 2011-01-01, sex: male}}\n\
         diagnosis: {{cause: Scheuermann, deformity: hyperkyphosis}}\ncontacts: []\nfilms:\n{}{}",
        film("f1", "2025-01-06", "lateral", STANDING, "landmarks: a.csv"),
        film("f2", "2026-01-05", "lateral", STANDING, "landmarks: b.csv"),
    );
    let files = [("a.csv", lateral(58.0, 60.0)), ("b.csv", lateral(66.0, 62.0))];
    let facts = read(&text, &files).0;
    assert_eq!(word(&facts, "major.name"), "thoracic kyphosis");
    assert_eq!(word(&facts, "major.now.levels"), "T3-T12");
    assert_eq!(word(&facts, "major.now.cobb"), "66");
    assert_eq!(word(&facts, "major.since_previous.amount"), "8");
}

#[test]
fn one_reader_names_the_curve_and_the_other_only_places_corners() {
    // Typed 30 by one, 40 by the corners of the other: the mean is 35.
    let files = [("a.csv", landmarks(40.0, 28.0))];
    let films = "  - {id: f1, taken: 2026-03-02, view: frontal, projection: PA, displayed: from behind, posture: standing, support: none, readings: [\
         {id: r1, by: ab, read: 2026-03-02, curves: [{name: main, upper: T5, apex: T8, lower: T11, convex: right, cobb: 30 deg}]}, \
         {id: r2, by: cd, read: 2026-03-02, landmarks: a.csv}]}\n";
    let facts = told(films, "", &files).0;
    assert_eq!(facts.children("curves"), ["main"]);
    assert_eq!(word(&facts, "curves.main.now.cobb"), "35");
    assert_eq!(word(&facts, "curves.main.now.readers"), "2");
}
