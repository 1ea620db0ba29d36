//! Sides and levels in free text against the record: sentences as clinicians
//! write them, each with the answer that a reader of the record would give.
//!
//! The invented record: a right thoracic curve T5 to T12 with apex T8 and a
//! left lumbar curve T12 to L4 with apex L2; trunk up on the right at T8 and
//! on the left at L2; left shoulder and right iliac crest higher; trunk
//! shifted to the right.

use endplate::diag::{Code, Diagnostic};

use crate::support::demo::read_text;

const RECORD: &str = "\
# Invented: this patient and everyone named here do not exist.
case: fw-0901
patient: {name: Ada Thorsby, called: Ada, born: 2013-05-06, sex: female, pronouns: she}
contacts: [{id: gp, role: referring doctor, name: Dr Iris Fenner}]
diagnosis: {cause: idiopathic, found: 2024-10}
films:
  - id: f1
    taken: 2024-11-04
    view: frontal
    projection: PA
    displayed: from behind
    posture: standing
    support: none
    readings:
      - id: r1
        by: ev
        read: 2024-11-05
        curves:
          - {name: thoracic, upper: T5, apex: T8, lower: T12, convex: right, cobb: 31 deg}
          - {name: lumbar, upper: T12, apex: L2, lower: L4, convex: left, cobb: 24 deg}
        frontal: {clavicle_angle: 3 deg left up, pelvic_obliquity: 2 deg right up, trunk_shift: 9 mm right}
exams:
  - {on: 2024-11-04, by: ev, trunk_rotation: {T8: 9 deg, L2: -5 deg}}
letters:
  - {id: l1, kind: progress, to: gp, as_of: 2024-11-05, signed_by: ev, remarks: WORDS}
";

/// What is said of words in the remarks of a letter.
fn found(words: &str) -> Vec<Diagnostic> {
    let quoted = format!("\"{}\"", words.replace('\\', "\\\\").replace('"', "\\\""));
    let (_, report) = read_text(&RECORD.replace("WORDS", &quoted), "fw-0901");
    let ours =
        |d: &&Diagnostic| matches!(d.code, Code::TextContradictsSide | Code::TextContradictsLevel);
    report.iter().filter(ours).cloned().collect()
}

/// Sentences that contradict the record, with the words that do.
const SIDES: &[(&str, &str)] = &[
    ("The left thoracic curve has not changed.", "left thoracic curve"),
    ("Left thoracic curve of 31 degrees, growth remaining.", "Left thoracic curve"),
    ("A left-sided thoracic curve with little rotation.", "left-sided thoracic curve"),
    ("Thoracic curve, convex to the left.", "Thoracic curve, convex to the left"),
    ("The lumbar curve is convex right and flexible.", "lumbar curve is convex right"),
    ("Right thoracic and right lumbar curves, the lower one flexible.", "right lumbar curves"),
    ("Adolescent scoliosis, left thoracic 31\u{b0} (T5\u{2013}T12).", "left thoracic"),
    ("The thoracic pad on the left was made thicker.", "thoracic pad on the left"),
    ("The left thoracic pad presses well.", "left thoracic pad"),
    ("The rib hump on the left is small.", "rib hump on the left"),
    ("A left rib prominence, 9 degrees.", "left rib prominence"),
    ("The right lumbar prominence is new.", "right lumbar prominence"),
    ("The right shoulder is a little higher.", "right shoulder is a little higher"),
    ("She has a higher right shoulder.", "higher right shoulder"),
    ("The left shoulder stands lower.", "left shoulder stands lower"),
    ("The trunk is shifted 9 mm to the left.", "trunk is shifted 9 mm to the left"),
    ("The left iliac crest is higher.", "left iliac crest is higher"),
    ("La curva torácica izquierda no ha cambiado.", "curva torácica izquierda"),
    ("Escoliosis lumbar derecha de 24 grados.", "Escoliosis lumbar derecha"),
    ("Curva torácica convexa a la izquierda.", "Curva torácica convexa a la izquierda"),
    ("La giba costal izquierda es pequeña.", "giba costal izquierda"),
    ("El hombro derecho está más alto.", "hombro derecho está más alto"),
];

const LEVELS: &[(&str, &str)] = &[
    ("The thoracic curve, apex T10, has grown.", "apex T10"),
    ("The apical vertebra T9 of the thoracic curve is rotated.", "apical vertebra T9"),
    ("The thoracic curve from T6 to T11 bends out.", "thoracic curve from T6 to T11"),
    ("The T4\u{2013}T11 curve is stiff.", "T4\u{2013}T11 curve"),
    ("El ápice en L4 de la curva lumbar.", "ápice en L4"),
];

/// Sentences that contradict nothing.
const SILENT: &[&str] = &[
    // They agree with the record.
    "The right thoracic curve has not changed, and the left lumbar curve has.",
    "Right thoracic and left lumbar curves; the thoracic pad on the right fits.",
    "The left shoulder is higher and the trunk is shifted to the right.",
    "The rib hump on the right is 9 degrees, the lumbar prominence on the left 5.",
    "The thoracic curve (T5\u{2013}T12, apex T8) is the larger one.",
    "La curva torácica derecha y la curva lumbar izquierda no han cambiado.",
    // The words mean something else.
    "She left her brace at home and came right away.",
    "The curve left untreated would grow; turn right at the gate.",
    "That is the right curve to treat first.",
    "Pain in the left thoracic muscles after rowing.",
    "The left lumbar region is tender, and the left shoulder blade is sore.",
    "Bending to the left is easier than to the right.",
    "She sleeps on the left side and writes with the right hand.",
    "The left thoracic relief leaves room for the ribs.",
    "The pad pushes the thoracic curve to the left.",
    "The thoracic curve on the left film is the one in the brace.",
    "In the brace the right shoulder is higher.",
    "The trunk leans to the left on bending.",
    "Salga y gire a la derecha; siga todo derecho.",
    // Another's view, another person, the past, the possible, the denied.
    "The earlier report said left thoracic curve.",
    "Her letter of referral spoke of a left thoracic curve.",
    "The film was marked \u{201c}left thoracic curve\u{201d} by hand.",
    "Her mother has a left thoracic curve.",
    "There was a left thoracic curve in her first year.",
    "If a left thoracic curve appears we ask for an MRI.",
    "There is no left thoracic curve and no sign of a right lumbar curve.",
    "No hay curva torácica izquierda.",
    // Levels that are not those of a curve.
    "Kyphosis from T4 to T11 is 22 degrees.",
    "The MRI shows nothing from T6 to T11.",
    "The brace ends at T9, its upper edge near T3.",
    "The apex lies about T9, hard to see.",
    "Pain from L3 to L5 after sitting.",
];

fn check(cases: &[(&str, &str)], code: Code) {
    for (words, quoted) in cases {
        let faults = found(words);
        let [fault] = &faults[..] else { panic!("{words}: {faults:#?}") };
        assert_eq!(fault.code, code, "{words}");
        let start = format!("letter l1 / remarks: \u{201c}{quoted}\u{201d}, but ");
        assert!(fault.message.starts_with(&start), "{words}: {}", fault.message);
    }
}

#[test]
fn a_side_that_the_record_knows_the_other_way_is_told() {
    check(SIDES, Code::TextContradictsSide);
}

#[test]
fn a_level_that_no_reading_has_is_told() {
    check(LEVELS, Code::TextContradictsLevel);
}

#[test]
fn words_that_say_something_else_are_left_alone() {
    for words in SILENT {
        let told: Vec<String> = found(words).into_iter().map(|d| d.message).collect();
        assert_eq!(told, Vec::<String>::new(), "{words}");
    }
}

#[test]
fn the_record_is_named_with_its_line_and_what_it_says() {
    let faults = found("The left thoracic curve has not changed.");
    let (place, role) = &faults[0].related[0];
    // The line of the thoracic curve in the text above.
    assert_eq!((&*place.file, place.line, role.as_str()), ("cases/fw-0901.yaml", 19, "the record"));
    let says = "but curve thoracic is convex to the right (film f1 / reading r1)";
    assert!(faults[0].message.ends_with(says), "{}", faults[0].message);
    let faults = found("The rib hump on the left is small.");
    let says = "but the trunk is rotated up on the right (exam 2024-11-04)";
    assert!(faults[0].message.ends_with(says), "{}", faults[0].message);
}

/// A part of the back that the record does not know contradicts nothing, nor
/// does a curve that two readings know on different sides.
#[test]
fn what_the_record_does_not_know_cannot_be_contradicted() {
    for words in
        ["The left upper thoracic curve is small.", "A right thoracolumbar curve below it."]
    {
        assert_eq!(found(words), Vec::new(), "{words}");
    }
}

/// Every kind of free text is looked at, and the words of payers, relatives
/// and corrections are not.
#[test]
fn every_free_text_that_reaches_a_letter_is_looked_at() {
    let wrong = "the left thoracic curve has grown";
    let plan = format!(
        "plans:\n  - {{on: 2024-11-05, by: ev, choice: watch, because: {wrong}, aim: {wrong}, changes_if: {wrong}, told: {wrong}}}\n"
    );
    let exam = format!(
        "  - {{on: 2024-11-05, by: ev, findings: {wrong}, says: {wrong}, skin: {wrong}, neurology: {{power: {wrong}}}}}\nletters:"
    );
    let background = format!(
        "background: {{conditions: [{wrong}], family_history: [{{who: aunt, what: {wrong}}}]}}\ndiagnosis:"
    );
    let text = RECORD
        .replace("WORDS", "none")
        .replace("letters:", &exam)
        .replace("diagnosis:", &background)
        + &plan;
    let (_, report) = read_text(&text, "fw-0901");
    let told = report.iter().filter(|d| d.code == Code::TextContradictsSide);
    let mut paths: Vec<&str> = told.map(|d| d.message.split(':').next().unwrap()).collect();
    paths.sort_unstable();
    assert_eq!(
        paths,
        [
            "background / conditions / 1",
            "exam 2024-11-05 / findings",
            "exam 2024-11-05 / neurology / power",
            "exam 2024-11-05 / says",
            "exam 2024-11-05 / skin",
            "plan 2024-11-05 / aim",
            "plan 2024-11-05 / because",
            "plan 2024-11-05 / changes_if",
            "plan 2024-11-05 / told",
        ]
    );
}
