//! A patient mirrored side for side: every word of side turns, no number does.
//!
//! The landmark files are untouched. A film that was declared as shown from
//! behind is declared as shown from the front, so the same corners now belong
//! to a mirror image, and every side written in the case is turned over with
//! it. A letter on the mirror image must be the mirrored letter.

use endplate::case::Case;
use endplate::facts::Value;
use endplate::letter::block::{Block, Figure};
use endplate::letter::drawing::Shape;

use crate::support::demo::{case_text, demo, sound};

/// Turns the words left and right over, but not which way a lateral film faces.
pub fn turned(text: &str) -> String {
    let mut out = String::new();
    let words = text.split_inclusive(|c: char| !c.is_alphabetic());
    let mut before = "";
    for word in words {
        let bare = word.trim_end_matches(|c: char| !c.is_alphabetic());
        let other = match bare {
            _ if before == "facing" => bare,
            "left" => "right",
            "right" => "left",
            "Left" => "Right",
            "Right" => "Left",
            "izquierda" => "derecha",
            "derecha" => "izquierda",
            "izquierdo" => "derecho",
            "derecho" => "izquierdo",
            _ => bare,
        };
        out += other;
        out += &word[bare.len()..];
        before = bare;
    }
    out
}

/// The mirror image of a demo case.
fn mirrored(id: &str) -> Case {
    sound(&mirrored_text(&case_text(id)), id)
}

/// The text of a case turned side for side.
pub fn mirrored_text(of: &str) -> String {
    let mut text = String::new();
    for line in of.lines() {
        let line = match line.trim() {
            "displayed: from behind" => line.replace("from behind", "from the front"),
            "displayed: from the front" => line.replace("from the front", "from behind"),
            // Positive with the right side up.
            l if l.starts_with("trunk_rotation:") || l.contains(", trunk_rotation:") => {
                negated(line)
            }
            _ => line.to_string(),
        };
        text += &turned(&line);
        text.push('\n');
    }
    text
}

/// Every `{T8: 5 deg}` after `trunk_rotation:` with the other sign.
fn negated(line: &str) -> String {
    let at = line.find("trunk_rotation:").expect("it was asked for");
    let open = at + line[at..].find('{').expect("a map");
    let close = open + line[open..].find('}').expect("a map");
    let turned = line[open..close].split(": ").collect::<Vec<_>>().join(": -").replace("--", "");
    format!("{}{turned}{}", &line[..open], &line[close..])
}

#[test]
fn words_turn_and_facing_stays() {
    assert_eq!(
        turned("convex: right, facing left, Left-sided upright"),
        "convex: left, facing left, Right-sided upright"
    );
    assert_eq!(
        negated("a, trunk_rotation: {T8: 5 deg, L1: -9 deg}, b"),
        "a, trunk_rotation: {T8: -5 deg, L1: 9 deg}, b"
    );
}

#[test]
fn the_letter_on_a_mirror_image_is_the_mirrored_letter() {
    for case in &demo().cases {
        let image = mirrored(&case.id.value);
        for (entry, other) in case.letters.iter().zip(&image.letters) {
            let (mut a, mut b) = (demo().written(case, entry), demo().written(&image, other));
            let (drawn, redrawn) =
                (set_apart(&mut a.letter.blocks), set_apart(&mut b.letter.blocks));
            let name = format!("{}/{}", *case.id, *entry.id);
            for (a, b) in a.letter.blocks.iter().zip(&b.letter.blocks) {
                let (a, b) = (mirror(a), serde_json::to_string(b).unwrap());
                // A thoracic curve to the left is a red flag, one to the right
                // is none; and the mirrored case has no files to digest.
                let apart = |part: &str| a.contains(part) && b.contains(part);
                if !apart("red_flags.") && !apart("enclosures.list.") {
                    assert_eq!(a, b, "{name}");
                }
            }
            let frames =
                (mirror(&a.letter.frame.after), serde_json::to_string(&b.letter.frame.after));
            assert_eq!(frames.0, frames.1.unwrap(), "{name}");
            assert_eq!(drawn.len(), redrawn.len(), "{name}");
            for (a, b) in drawn.iter().zip(&redrawn) {
                assert_eq!(turned(&unplaced(&a.alt)), unplaced(&b.alt), "{name}");
                assert_eq!(turned(&unplaced(&a.caption)), unplaced(&b.caption), "{name}");
                assert_eq!(
                    sorted(labels(a).iter().map(|l| turned(l))),
                    sorted(labels(b).into_iter()),
                    "{name}"
                );
            }
        }
    }
}

fn mirror(part: &impl serde::Serialize) -> String {
    turned(&serde_json::to_string(part).unwrap())
}

/// Takes the figures out of the blocks, since their lines and areas are
/// mirrored too and only their words are compared; and the columns' alignment,
/// which is a left and right of the page.
fn set_apart(blocks: &mut [Block]) -> Vec<Figure> {
    let mut taken = Vec::new();
    for block in blocks {
        match block {
            Block::Figures { figures } => taken.append(figures),
            Block::Table { align, .. } => align.clear(),
            _ => {}
        }
    }
    taken
}

/// How the page lies is the same for every patient; how a film was displayed
/// is what the mirror image declares otherwise.
fn unplaced(words: &str) -> String {
    let placed = [
        "the patient's left is at the left",
        ", displayed from behind, patient's left at the left of the picture",
        ", displayed from the front, patient's right at the left of the picture",
        ", displayed from behind",
        ", displayed from the front",
    ];
    placed.iter().fold(words.to_string(), |words, placed| words.replace(placed, ""))
}

fn labels(figure: &Figure) -> Vec<String> {
    let texts = figure.drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Text { text, .. } => Some(text.clone()),
        _ => None,
    });
    texts.collect()
}

fn sorted(words: impl Iterator<Item = String>) -> Vec<String> {
    let mut words: Vec<String> = words.collect();
    words.sort();
    words
}

#[test]
fn numbers_are_those_of_the_patient_and_sides_the_others() {
    let mut sides = 0;
    for case in &demo().cases {
        let image = mirrored(&case.id.value);
        let (entry, other) = (case.letters.last().unwrap(), image.letters.last().unwrap());
        let (a, b) = (demo().written(case, entry).derived, demo().written(&image, other).derived);
        // A thoracic curve to the left is a red flag, one to the right is none.
        // The mirrored case has no files to digest.
        let sided = |f: &&endplate::facts::Fact| {
            let id = f.id.as_str();
            !id.starts_with("red_flags.") && !id.ends_with(".digest")
        };
        for (a, b) in a.facts.iter().filter(sided).zip(b.facts.iter().filter(sided)) {
            assert_eq!(a.id, b.id);
            match (&a.value, &b.value) {
                (Value::Side(a), Value::Side(b)) => {
                    sides += 1;
                    assert_eq!(*a, b.opposite());
                }
                (Value::Text(a), Value::Text(b)) => assert_eq!(turned(a), *b),
                (Value::Missing(a), Value::Missing(b)) => {
                    assert_eq!(turned(&a.reason()), b.reason())
                }
                (one, two) => assert_eq!(one, two, "{} {}", *case.id, a.id),
            }
            let apart = a.unrounded.unwrap_or(0.0) - b.unrounded.unwrap_or(0.0);
            assert!(apart.abs() < 1e-9, "{} {}: {apart}", *case.id, a.id);
        }
        assert_eq!(a.facts.iter().filter(sided).count(), b.facts.iter().filter(sided).count());
    }
    assert!(sides >= 12, "only {sides} sides were compared");
}

/// Declared one way and recorded the other, the case is refused.
#[test]
fn a_display_that_does_not_agree_with_the_sides_is_an_error() {
    let text =
        case_text("fw-0103").replacen("displayed: from behind", "displayed: from the front", 1);
    let (_, report) = crate::support::demo::read_text(&text, "fw-0103");
    assert!(report.has_errors());
}
