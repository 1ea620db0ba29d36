//! The reading grade of letters to lay readers: counts by hand, the formula
//! against published and independent numbers, and every such letter of the
//! demo clinic.

use endplate::diag::{Code, Report};
use endplate::letter::block::{Block, Inline};
use endplate::letter::reading::count::{Counts, sentences, syllables, words};
use endplate::letter::reading::exceptions::TradeWords;
use endplate::letter::reading::prose::Passage;
use endplate::letter::reading::{self, Reading, formula};

use crate::support::demo::demo;

fn trade() -> TradeWords {
    let text = include_str!("../templates/phrases/trade-words.txt");
    let mut report = Report::default();
    let words = TradeWords::read(text, "templates/phrases/trade-words.txt", &mut report);
    assert!(report.is_empty(), "{report:?}");
    words
}

fn counts(words: usize, sentences: usize, syllables: usize) -> Counts {
    Counts { words, sentences, syllables }
}

fn counted(text: &str) -> Counts {
    let all = sentences(&Passage::plain(text), &trade());
    all.iter().fold(Counts::default(), |sum, one| sum.plus(one.counts))
}

/// textstat 0.7.7, `flesch_kincaid_grade`: 17 words, 3 sentences and 17
/// syllables give -1.5800; 11, 2 and 39 give 28.3914. An article that prints
/// 13 words and 24 syllables in one sentence prints grade 11.3 for it
/// (Wikipedia, Flesch-Kincaid readability tests).
#[test]
fn the_formula_gives_published_grades() {
    let grade = |w, s, y| formula::grade(&counts(w, s, y)).unwrap();
    assert!((grade(17, 3, 17) - -1.5800).abs() < 0.00005);
    assert!((grade(11, 2, 39) - 28.3914).abs() < 0.00005);
    assert_eq!(formula::reported(&counts(13, 1, 24)).unwrap().digits(), "11.3");
    assert_eq!(formula::grade(&counts(0, 0, 0)), None);
}

/// Counted by hand. 1: The-cat-sat-on-the-mat, It-was-warm: all of one
/// syllable. 2: dif-fer-ence 3, de-grees 2, mea-sur-ing 3, a-lone 2, bet-ter 2,
/// thirteen others of one, the figure among them. 3: X-ray is one word of two
/// syllables, Oc-to-ber of three, the figures of one each. 4: a question and a
/// call end sentences, a decimal point does not.
#[test]
fn words_sentences_and_syllables_are_counted_as_by_hand() {
    for (text, expected) in [
        ("The cat sat on the mat. It was warm.", counts(9, 2, 9)),
        (
            "A difference of 4 degrees can come from measuring alone, so we call it \u{201c}no change\u{201d}, not \u{201c}better\u{201d}.",
            counts(18, 1, 25),
        ),
        ("We took the X-ray on 20 October 2026.", counts(8, 1, 11)),
        ("Is it 1.5 cm? Stop! Tell us.", counts(7, 3, 7)),
        ("", counts(0, 0, 0)),
        ("\u{2013} ; \u{b0}", counts(0, 0, 0)),
    ] {
        assert_eq!(counted(text), expected, "{text}");
    }
}

/// textstat 0.7.7 counts 101 words, 8 sentences and 113 syllables in this
/// text (`lexicon_count`, `sentence_count`, `syllable_count`) and gives 2.5357;
/// engines differ through syllables, so those may be two off.
#[test]
fn counts_agree_with_an_independent_library() {
    let text = "Look at the skin each time the brace comes off. If a red mark lasts more than \
        half an hour, call us that day or the next working day. If skin is blistered or broken, \
        leave the brace off, call us the same day, and ask when to start again. We cannot know \
        what would have happened without the brace. That is what the brace does while it is on. \
        It is not a lasting change. If something makes it hard to wear, please tell us: we can \
        often change it. We would like a surgeon to look at it too.";
    let found = counted(text);
    assert_eq!((found.words, found.sentences), (101, 8));
    assert!(found.syllables.abs_diff(113) <= 2, "{}", found.syllables);
    assert!((formula::grade(&counts(101, 8, 113)).unwrap() - 2.5357).abs() < 0.0001);
}

/// Syllables as a dictionary prints them: ap-ple, e-mer-gen-cy, ev-ery-thing
/// (3), a-fraid, straight, moved, X-ray; and words of the trade, which count
/// for two.
#[test]
fn syllables_are_those_of_a_dictionary_but_for_words_of_the_trade() {
    let trade = trade();
    for (word, expected) in [
        ("apple", 2),
        ("emergency", 4),
        ("everything", 3),
        ("afraid", 2),
        ("straight", 1),
        ("moved", 1),
        ("half-size", 2),
        ("2026", 1),
        ("X-rays", 2),
        ("don\u{2019}t", 1),
        ("scoliosis", 2),
        ("Scoliosis\u{2019}s", 2),
        ("orthotist", 2),
        ("MRI", 3),
    ] {
        assert_eq!(syllables(word, &trade), expected, "{word}");
    }
    // Sco-li-o-sis: a rule finds at least its three runs of vowels.
    assert_eq!(syllables("scoliosis", &TradeWords::default()), 3);
    let parts: Vec<&str> =
        words("A well-known twenty-one-year-old X-ray.").iter().map(|w| w.1).collect();
    assert_eq!(parts, ["A", "well-known", "twenty-one-year-old", "X-ray"]);
}

/// A name is a word of one syllable, and a full stop inside it ends nothing;
/// a possessive belongs to it. Lower-case words inside count as they are.
#[test]
fn names_are_words_that_their_reader_knows() {
    let text = "Dr. Emiliana Vasko and Wilhelmina\u{2019}s mother agree.";
    let names = vec![0..18, 23..33];
    assert_eq!((&text[0..18], &text[23..33]), ("Dr. Emiliana Vasko", "Wilhelmina"));
    let all = sentences(&Passage { text: text.into(), names }, &trade());
    let [one] = &all[..] else { panic!("{all:?}") };
    // Dr Emiliana Vasko 3, and 1, Wilhelmina's 1, moth-er 2, a-gree 2.
    assert_eq!(one.counts, counts(7, 1, 9));
}

#[test]
fn a_line_of_the_word_list_that_cannot_be_read_is_told() {
    let text = "# words\nscoliosis, 5, 2\nbrace, 1, 2\northotist, 3\n\nlordosis, 3, x # no\n";
    let mut report = Report::default();
    let words = TradeWords::read(text, "t.txt", &mut report);
    assert_eq!((words.counted("scoliosis"), words.counted("brace")), (Some(2), None));
    let told: Vec<(u32, Code)> =
        report.iter().map(|d| (d.place.as_ref().unwrap().line, d.code)).collect();
    assert_eq!(
        told,
        [(3, Code::TradeWordForm), (4, Code::TradeWordForm), (6, Code::TradeWordForm)]
    );
}

fn text(words: &str) -> Inline {
    Inline::Text { text: words.into() }
}

fn bold(words: &str) -> Inline {
    Inline::Strong { children: vec![text(words)] }
}

fn read(blocks: &[Block]) -> Reading {
    let day = chrono::NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
    reading::read(blocks, &endplate::facts::Facts::new(day), &trade())
}

/// Salutation, run-in heading, table and remark are no prose of the template;
/// the news, items of a list and a bold sentence are.
#[test]
fn only_the_prose_of_the_template_is_graded() {
    let paragraph = |inlines: Vec<Inline>| Block::Paragraph { text: inlines };
    let blocks = [
        Block::Heading { level: 1, text: vec![text("The curve is the same.")] },
        paragraph(vec![text("Dear Ms Orr, dear Ann,")]),
        paragraph(vec![bold("What we found."), text(" It is small.")]),
        paragraph(vec![bold("Go to a doctor at once if it hurts.")]),
        Block::List { ordered: false, items: vec![vec![text("Look at the skin.")]] },
        Block::Remark {
            by: None,
            language: None,
            paragraphs: vec!["Immeasurable determination.".into()],
        },
        Block::Table {
            summary: "t".into(),
            align: vec![],
            header: vec![vec![text("Curve")]],
            rows: vec![vec![vec![text("thoracic")]]],
        },
    ];
    let reading = read(&blocks);
    let found: Vec<&str> = reading.sentences.iter().map(|s| s.text.as_str()).collect();
    assert_eq!(
        found,
        [
            "The curve is the same.",
            "It is small.",
            "Go to a doctor at once if it hurts.",
            "Look at the skin.",
        ]
    );
    assert_eq!(reading.own, counts(2, 1, 10));
}

/// The long sentence is named before the short one with the longer word.
#[test]
fn the_sentence_that_weighs_most_is_named() {
    let long = "Please go on with the brace at night as before, and do not forget that the skin under it needs a careful look every single morning.";
    let blocks: Vec<Block> = ["It is small.", long, "Unfortunately not."]
        .iter()
        .map(|words| Block::Paragraph { text: vec![text(words)] })
        .collect();
    let reading = read(&blocks);
    assert_eq!(reading.hardest()[0].text, long);
    let place = endplate::diag::Place::whole("cases/a.yaml");
    let told = reading.complaint("l1", 1, &place).expect("above grade 1");
    assert!(told.message.contains(&format!("hardest: \u{201c}{long}\u{201d}")), "{}", told.message);
    assert_eq!(reading.complaint("l1", 18, &place).map(|d| d.message), None);
}

/// Every letter of the demo clinic to a family, patient or school, of
/// whatever kind, keeps the limit; and there are some.
#[test]
fn every_lay_letter_of_the_demo_clinic_reads_within_the_limit() {
    let demo = demo();
    let mut above = Vec::new();
    let mut graded = 0;
    for (case, entry) in demo.letters() {
        let written = demo.written(case, entry);
        graded += usize::from(written.reading.is_some());
        let told = written.derived.report.iter().filter(|d| d.code == Code::ReadingGrade);
        above.extend(told.map(|d| format!("{}: {}", case.id.value, d.message)));
    }
    assert!(graded >= 10, "{graded} letters to lay readers");
    assert!(above.is_empty(), "{}", above.join("\n"));
}

#[test]
fn the_clinic_may_move_the_limit_and_is_told_grade_limit_and_sentence() {
    let demo = demo();
    let mut clinic = demo.clinic.clone();
    let place = clinic.place.clone();
    clinic.limits.reading_grade = Some(endplate::diag::Located { value: 2, place });
    let case = demo.case("fw-0118");
    let entry = case.letters.iter().find(|l| l.id.value == "l4").unwrap();
    let written = demo.press.write(case, entry, &clinic).unwrap();
    let told: Vec<_> =
        written.derived.report.iter().filter(|d| d.code == Code::ReadingGrade).collect();
    let [told] = &told[..] else { panic!("{told:?}") };
    assert!(told.message.starts_with("letter `l4` reads at grade "), "{}", told.message);
    assert!(told.message.contains(", the limit is 2; hardest: \u{201c}"), "{}", told.message);
    assert_eq!(told.place.as_ref().map(|p| p.line), Some(entry.place.line));
}
