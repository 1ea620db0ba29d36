//! Typed text is data: whatever stands in a case is printed as it stands, in
//! every letter, and nothing in it is evaluated.

use endplate::case::{Case, LetterEntry};
use endplate::diag::Located;
use endplate::facts::Value;
use endplate::letter::block::{Block, Inline};
use lopdf::Document;

use crate::support::demo::{case_text, demo, sound};

/// A name with all that markup, quotes and encodings could trip over.
const NAME: &str = r#"Zoë "Bo" O'Neill-Łuć #1 *x* $y$ \[z] @w"#;

/// Text that template, Markdown and layout engines would each evaluate.
const CODE: &str = r##"{{ 7*7 }} {% raw %} {# n #} #eval("1+1") #set page(fill: red) <b>b</b> [a](b) `c` ~~d~~ &amp; // e /* f */ _g_ = h - i + j 1. k | l $1^2$ \u{41} --- ... z"##;

/// Where a case takes typed text, filled with one text.
fn filled(case: &Case, text: &str) -> Case {
    let mut case = case.clone();
    let set = |t: &mut Located<String>| t.value = text.to_string();
    let fill = |t: &mut Option<Located<String>>| t.iter_mut().for_each(set);
    set(&mut case.patient.name);
    fill(&mut case.patient.called);
    fill(&mut case.record_no);
    fill(&mut case.background.allergies);
    fill(&mut case.background.implants);
    case.background.conditions.iter_mut().for_each(set);
    case.referral.iter_mut().for_each(|r| fill(&mut r.why));
    for contact in &mut case.contacts {
        set(&mut contact.name);
        fill(&mut contact.greeting);
        fill(&mut contact.organisation);
        contact.address.iter_mut().for_each(set);
    }
    case.coverage.iter_mut().for_each(|c| {
        [&mut c.member, &mut c.plan, &mut c.group].into_iter().for_each(fill);
    });
    case.films.iter_mut().for_each(|f| fill(&mut f.why));
    for exam in &mut case.exams {
        [&mut exam.skin, &mut exam.says, &mut exam.findings].into_iter().for_each(fill);
        exam.neurology.values_mut().for_each(set);
    }
    for treatment in &mut case.treatments {
        fill(&mut treatment.prescribed);
        treatment.fittings.iter_mut().for_each(|f| {
            [&mut f.skin, &mut f.why].into_iter().for_each(fill);
        });
        treatment.ended.iter_mut().for_each(|e| fill(&mut e.why));
    }
    for plan in &mut case.plans {
        [&mut plan.because, &mut plan.aim, &mut plan.changes_if, &mut plan.told]
            .into_iter()
            .for_each(fill);
    }
    for r in &mut case.requests {
        let texts = [
            &mut r.reference,
            &mut r.item_text,
            &mut r.goal,
            &mut r.stop_rule,
            &mut r.alternatives,
            &mut r.if_not,
            &mut r.replaces_because,
        ];
        texts.into_iter().for_each(fill);
    }
    for letter in &mut case.letters {
        [&mut letter.question, &mut letter.remarks].into_iter().for_each(fill);
    }
    case
}

/// The text of a PDF, all pages, without any white space: lines may break
/// anywhere between two words.
fn text_of(pdf: &[u8]) -> String {
    let document = Document::load_mem(pdf).unwrap();
    let pages: Vec<u32> = document.get_pages().into_keys().collect();
    close(&document.extract_text(&pages).unwrap())
}

fn close(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// How often the body says the text, values and remarks alike.
fn said(blocks: &[Block], text: &str) -> usize {
    let body = serde_json::to_string(blocks).unwrap();
    let text = serde_json::to_string(text).unwrap();
    body.matches(text.trim_matches('"')).count()
}

fn letters() -> Vec<(Case, LetterEntry)> {
    let of = |id: &str, n: usize| {
        let case = demo().case(id);
        (case.clone(), case.letters[n].clone())
    };
    // Progress to a doctor and to the family, surgical opinion, justification.
    vec![of("fw-0087", 2), of("fw-0087", 3), of("fw-0087", 1), of("fw-0096", 3)]
}

#[test]
fn typed_text_prints_as_itself_in_every_kind_of_letter() {
    for text in [NAME, CODE] {
        for (case, entry) in letters() {
            let name = format!("{}/{}", *case.id, *entry.id);
            let case = filled(&case, text);
            let entry = case.letters.iter().find(|l| l.id.value == *entry.id).unwrap().clone();
            let written = demo().written(&case, &entry);
            let in_body = said(&written.letter.blocks, text);
            assert!(in_body >= 2, "{name} says its texts {in_body} times");
            // Name, organisation and address lines, once each at least, and
            // the patient's name at the head and at the foot.
            let printed = text_of(&demo().pdf(&case, &entry)).matches(&close(text)).count();
            assert!(printed >= in_body + 4, "{name}: {printed} on paper, {in_body} in the body");
        }
    }
}

/// What a text says changes no other word: all words of the template and all
/// numbers are those of the letter with plain text in the same places.
#[test]
fn typed_text_changes_nothing_around_it() {
    for (case, entry) in letters() {
        let blocks = |text: &str| {
            let case = filled(&case, text);
            let entry = case.letters.iter().find(|l| l.id.value == *entry.id).unwrap();
            let written = demo().written(&case, entry);
            let texts = written.derived.facts.iter().filter_map(|f| match &f.value {
                Value::Text(t) => Some((f.id.to_string(), t.clone())),
                _ => None,
            });
            let texts: Vec<(String, String)> = texts.collect();
            assert!(texts.iter().any(|(_, t)| t.as_str() == text));
            around(&written.letter.blocks, text)
        };
        let plain = blocks("Plain words");
        assert_eq!(plain, blocks(NAME), "{}/{}", *case.id, *entry.id);
        assert_eq!(plain, blocks(CODE), "{}/{}", *case.id, *entry.id);
    }
}

/// The blocks as data, with the typed text taken out.
fn around(blocks: &[Block], text: &str) -> String {
    let text = serde_json::to_string(text).unwrap();
    let body = serde_json::to_string_pretty(blocks).unwrap();
    body.replace(text.trim_matches('"'), "…")
}

/// The same by way of a case file, in every kind of quotes YAML has.
#[test]
fn a_name_comes_through_the_case_file() {
    let text = case_text("fw-0103");
    let double = format!("\"{}\"", NAME.replace('\\', "\\\\").replace('"', "\\\""));
    let single = format!("'{}'", NAME.replace('\'', "''"));
    for quoted in [double, single] {
        let text = text.replace("name: Anouk Verrelby", &format!("name: {quoted}"));
        let case = sound(&text, "fw-0103");
        assert_eq!(*case.patient.name, NAME);
        let printed = text_of(&demo().pdf(&case, &case.letters[0]));
        assert!(printed.contains(&close(NAME)));
    }
}

/// Markdown at the head of a line, long lines, line ends: a remark keeps them.
#[test]
fn a_remark_is_no_markdown() {
    let remark = "# one\n\n- two\n- three\n\n| a | b |\n|---|---|\n\n1. four\n\n```\nfive\n```";
    let mut case = demo().case("fw-0103").clone();
    case.letters[0].remarks.as_mut().unwrap().value = remark.to_string();
    let entry = case.letters[0].clone();
    let written = demo().written(&case, &entry);
    let remarks = written.letter.blocks.iter().filter_map(|b| match b {
        Block::Remark { paragraphs, .. } => Some(paragraphs.join(" ")),
        _ => None,
    });
    let remarks: Vec<String> = remarks.collect();
    assert_eq!(remarks.len(), 1);
    assert_eq!(close(&remarks[0]), close(remark));
    let headings = |blocks: &[Block]| {
        blocks.iter().filter(|b| matches!(b, Block::Heading { .. } | Block::List { .. })).count()
    };
    let usual = demo().written(demo().case("fw-0103"), &demo().case("fw-0103").letters[0]);
    assert_eq!(headings(&written.letter.blocks), headings(&usual.letter.blocks));
    assert!(text_of(&demo().pdf(&case, &entry)).contains("|a|b|"));
}

/// A text inside a sentence stays one run of its own.
#[test]
fn every_typed_text_is_one_value() {
    fn runs(words: &[Inline], found: &mut Vec<String>) {
        for inline in words {
            match inline {
                Inline::Text { text } => found.push(text.clone()),
                Inline::Strong { children } | Inline::Emph { children } => runs(children, found),
                Inline::Value { .. } | Inline::Break => {}
            }
        }
    }
    for (case, entry) in letters() {
        let case = filled(&case, CODE);
        let entry = case.letters.iter().find(|l| l.id.value == *entry.id).unwrap();
        let mut found = Vec::new();
        for block in &demo().written(&case, entry).letter.blocks {
            if let Block::Paragraph { text } | Block::Heading { text, .. } = block {
                runs(text, &mut found);
            }
        }
        let leaked: Vec<_> = found.iter().filter(|t| t.contains('{') || t.contains('#')).collect();
        assert!(leaked.is_empty(), "{leaked:?}");
    }
}
