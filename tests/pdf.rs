//! Real PDF files, read back with libraries that did not write them:
//! `page_validation` 0.12 (both standards), `lopdf` 0.47 (objects, metadata,
//! text) and `hayro` 0.9 (the pages as pictures).

use endplate::diag::Code;
use endplate::letter::block::{Block, Inline, Letter, Paper};
use endplate::letter::drawing::{Pictures, Shape};
use endplate::render::{Typesetter, digest_bytes, engine_bytes};
use hayro::hayro_interpret::InterpreterSettings;
use hayro::hayro_syntax::Pdf;
use hayro::vello_cpu::color::palette::css::WHITE;
use hayro::{PixmapSettings, RenderCache, RenderSettings};
use lopdf::{Dictionary, Document, Object};
use page_validation::ValidationProfile;

use crate::support::sample_letter::{b, h, long, p, short, t, typed};
use crate::support::validate::{claimed, failures};

/// A name with all that markup, quotes and encodings could trip over.
const HOSTILE: &str = r#"Zoë "Bo" O'Neill-Łuć #1 *x* $y$ \[z] @w"#;

fn set(letter: &Letter) -> Vec<u8> {
    match Typesetter::new(Vec::new()).pdf(letter, &Pictures::new()) {
        Ok(bytes) => bytes,
        Err(faults) => panic!("{faults:#?}"),
    }
}

fn faults(letter: &Letter) -> Vec<String> {
    let list = Typesetter::new(Vec::new())
        .pdf(letter, &Pictures::new())
        .expect_err("the letter is refused");
    list.into_iter().map(|d| d.message).collect()
}

/// Keeps the pages under target/tmp, to be looked at.
fn keep(name: &str, bytes: &[u8]) {
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::io::Write::write_all(&mut std::fs::File::create(path).unwrap(), bytes).unwrap();
}

#[test]
fn both_standards_hold_on_both_papers() {
    for (paper, suffix) in [(Paper::A4, "a4"), (Paper::UsLetter, "us")] {
        for (kind, letter) in
            [("short", short(HOSTILE, paper)), ("long", long("Mara Ellwood", paper))]
        {
            let bytes = set(&letter);
            keep(&format!("{kind}-{suffix}.pdf"), &bytes);
            assert_eq!(claimed(&bytes), Vec::<String>::new(), "{kind} {suffix}");
        }
    }
}

/// The validator is no rubber stamp: each of these patches keeps the file's
/// length, so that only the one thing named is broken.
#[test]
fn broken_files_are_rejected() {
    use ValidationProfile::{PdfA2a, PdfUa1};
    let good = set(&short("Mara Ellwood", Paper::A4));
    for (profile, from, to) in [
        (PdfUa1, "/MarkInfo<<", "/MarkInfx<<"),
        (PdfUa1, "/Alt(The spine", "/Alx(The spine"),
        (PdfUa1, "/DisplayDocTitle true", "/DisplayDocTitlx true"),
        (PdfUa1, "<pdfuaid:part>1<", "<pdfuaid:part>9<"),
        (PdfUa1, "/StructTreeRoot 6 0 R", "/StructTreeRoox 6 0 R"),
        (PdfA2a, "/MarkInfo<<", "/MarkInfx<<"),
        (PdfA2a, "<pdfaid:part>2<", "<pdfaid:part>9<"),
        (PdfA2a, "/FontFile", "/FontFilx"),
    ] {
        let broken = patch(&good, from, to);
        assert!(!failures(&broken, profile).is_empty(), "{from} -> {to} passes {profile:?}");
    }
}

fn patch(bytes: &[u8], from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let at = bytes.windows(from.len()).position(|w| w == from.as_bytes());
    let at = at.unwrap_or_else(|| panic!("{from} is not in the file"));
    let mut broken = bytes.to_vec();
    broken[at..at + to.len()].copy_from_slice(to.as_bytes());
    broken
}

#[test]
fn metadata_comes_back() {
    let document = Document::load_mem(&set(&short("Mara Ellwood", Paper::A4))).unwrap();
    let catalog = document.catalog().unwrap();
    assert_eq!(catalog.get(b"Lang").unwrap().as_str().unwrap(), b"en-GB");
    let mark = catalog.get(b"MarkInfo").unwrap().as_dict().unwrap();
    assert!(mark.get(b"Marked").unwrap().as_bool().unwrap());
    let info = document.trailer.get(b"Info").and_then(|r| document.dereference(r)).unwrap().1;
    let info = info.as_dict().unwrap();
    let entry = |key: &[u8]| lopdf::decode_text_string(info.get(key).unwrap()).unwrap();
    assert_eq!(entry(b"Title"), "Progress letter, record QH-300118, 4 November 2026");
    assert_eq!(entry(b"Author"), "Ines Farrow, BSc, spinal orthotist, Quarry Hill Spine Clinic");
    assert_eq!(entry(b"Creator"), "endplate");
    assert_eq!(entry(b"CreationDate"), "D:20261104000000Z");
}

#[test]
fn figures_and_tables_are_told_to_those_who_cannot_see_them() {
    let document = Document::load_mem(&set(&short("Mara Ellwood", Paper::A4))).unwrap();
    let elements = elements(&document);
    let of = |role: &[u8]| -> Vec<&Dictionary> {
        let role_is = |d: &&&Dictionary| d.get(b"S").and_then(Object::as_name).ok() == Some(role);
        elements.iter().filter(role_is).copied().collect()
    };
    let alts: Vec<String> = of(b"Figure")
        .iter()
        .map(|f| lopdf::decode_text_string(f.get(b"Alt").unwrap()).unwrap())
        .collect();
    assert_eq!(alts.len(), 2);
    assert!(alts[0].starts_with("The spine seen from behind"), "{alts:?}");
    // Six columns: six header cells, two rows of six data cells.
    assert_eq!((of(b"TH").len(), of(b"TD").len(), of(b"H1").len()), (6, 12, 1));
}

fn elements(document: &Document) -> Vec<&Dictionary> {
    let dicts = document.objects.values().filter_map(|o| o.as_dict().ok());
    dicts.filter(|d| d.has_type(b"StructElem")).collect()
}

#[test]
fn remarks_and_lists_keep_their_roles() {
    let document = Document::load_mem(&set(&long("Mara Ellwood", Paper::A4))).unwrap();
    let roles: Vec<&[u8]> = elements(&document)
        .iter()
        .filter_map(|d| d.get(b"S").and_then(Object::as_name).ok())
        .collect();
    for role in [&b"BlockQuote"[..], b"L", b"LI", b"Table", b"H2", b"H3"] {
        assert!(roles.contains(&role), "no {}", String::from_utf8_lossy(role));
    }
}

#[test]
fn a_name_full_of_markup_prints_as_itself() {
    for paper in [Paper::A4, Paper::UsLetter] {
        let text = text_of(&set(&short(HOSTILE, paper)), 1);
        // In the patient line, the running text and the foot; in the running
        // text a line may end after the hyphen or a space.
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let text = text.replace("O'Neill- Łuć", "O'Neill-Łuć");
        assert_eq!(text.matches(HOSTILE).count(), 3, "{text}");
    }
}

#[test]
fn code_and_markup_in_any_field_stay_words() {
    let evil =
        "#eval(\"1\") #panic() [#x] // x <a> ~ -- ... = H $ x^2 $ `raw` \\ https://a.example";
    let mut letter = short(evil, Paper::A4);
    letter.frame.recipient[0] = evil.into();
    letter.frame.letterhead.right[0] = "*bold* #1".into();
    letter.blocks = vec![h(1, "News #1"), p(vec![typed(evil), t(" "), b(vec![t("_a_")])])];
    letter.blocks.push(Block::Remark {
        by: Some("#by".into()),
        paragraphs: vec![evil.into()],
        language: None,
    });
    let text = text_of(&set(&letter), 1).replace('\n', " ");
    for part in ["*bold* #1", "News #1", "_a_", "#by", "`raw`", "#panic()", "~ -- ...", "$ x^2 $"] {
        assert!(text.contains(part), "{part} is missing in {text}");
    }
    assert!(text.matches("#eval(\"1\")").count() >= 4, "{text}");
}

fn text_of(bytes: &[u8], page: u32) -> String {
    Document::load_mem(bytes).unwrap().extract_text(&[page]).unwrap()
}

#[test]
fn every_page_names_the_patient_and_counts_itself() {
    let bytes = set(&long("Mara Ellwood", Paper::A4));
    let pages = Document::load_mem(&bytes).unwrap().get_pages().len();
    assert!(pages >= 3, "{pages} pages");
    for page in 1..=pages {
        let text = text_of(&bytes, page as u32);
        for part in [
            "Mara Ellwood · born 6 May 2013 · record QH-300118 · letter zz-0007/l2 · draft, not issued",
            &format!("page {page} of {pages}"),
            "Invented patient and clinic. This letter supports",
        ] {
            assert!(text.contains(part), "{part} is missing on page {page}:\n{text}");
        }
    }
}

#[test]
fn draft_mark_goes_when_the_letter_is_issued() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    assert_eq!(text_of(&set(&letter), 1).matches("draft, not issued").count(), 2);
    letter.frame.draft_mark = None;
    let bytes = set(&letter);
    for page in [1, 2] {
        assert!(!text_of(&bytes, page).contains("draft"));
    }
}

#[test]
fn same_letter_same_bytes() {
    let letter = long(HOSTILE, Paper::A4);
    let warm = Typesetter::new(Vec::new());
    let first = warm.pdf(&letter, &Pictures::new()).unwrap();
    warm.pdf(&short("Mara Ellwood", Paper::UsLetter), &Pictures::new()).unwrap();
    assert!(first == warm.pdf(&letter, &Pictures::new()).unwrap(), "warm bytes differ");
    assert!(first == set(&letter), "cold bytes differ");
    let shared = &warm;
    let threads: Vec<Vec<u8>> = std::thread::scope(|s| {
        let workers: Vec<_> = (0..3)
            .map(|_| s.spawn(|| shared.pdf(&letter, &Pictures::new()).expect("a good letter")))
            .collect();
        workers.into_iter().map(|w| w.join().unwrap()).collect()
    });
    assert!(threads.iter().all(|bytes| *bytes == first), "bytes of another thread differ");
}

#[test]
fn the_document_id_belongs_to_the_letter_not_to_its_words() {
    let id = |letter: &Letter| {
        let document = Document::load_mem(&set(letter)).unwrap();
        let ids = document.trailer.get(b"ID").unwrap().as_array().unwrap().clone();
        ids.iter().map(|id| id.as_str().unwrap().to_vec()).collect::<Vec<_>>()
    };
    let mut letter = short("Mara Ellwood", Paper::A4);
    let before = id(&letter);
    letter.blocks.push(p(vec![t("Amended.")]));
    let after = id(&letter);
    assert_eq!(before[0], after[0], "first part: the series");
    assert_ne!(before[1], after[1], "second part: this version");
}

#[test]
fn a_character_without_a_glyph_is_named_with_its_place() {
    let mut letter = short("Mara 木 Ellwood", Paper::A4);
    letter.frame.recipient[1] = "Weir\u{202E} Road".into();
    let fact = "curves.thoracic.now.cobb".to_string();
    letter.blocks.insert(
        1,
        p(vec![Inline::Value { fact: Some(fact), text: "27\u{1F98B}".into(), keep: true }]),
    );
    if let Some(Block::Figures { figures }) =
        letter.blocks.iter_mut().find(|b| matches!(b, Block::Figures { .. }))
    {
        for shape in &mut figures[1].drawing.shapes {
            if let Shape::Text { text, .. } = shape
                && text == "2026"
            {
                *text = "二".into();
            }
        }
        figures[0].caption = "a\tb".into();
    }
    let found: Vec<String> =
        Typesetter::new(Vec::new()).check_glyphs(&letter).iter().map(|m| m.to_string()).collect();
    insta::assert_snapshot!(found.join("\n"), @r"
    invisible control character U+202E in recipient line 2
    no font has the character 木 (U+6728) in patient: name
    no font has the character 🦋 (U+1F98B) in block 2: paragraph, fact curves.thoracic.now.cobb
    no font has the character 木 (U+6728) in block 4: paragraph, typed text
    invisible control character U+0009 in block 6: figure 1, caption
    no font has the character 二 (U+4E8C) in block 6: figure 2, text in the drawing
    ");
    let refused = Typesetter::new(Vec::new()).pdf(&letter, &Pictures::new()).unwrap_err();
    assert!(refused.iter().all(|d| d.code == Code::MissingGlyph));
    assert_eq!(refused.len(), found.len());
}

/// What the glyph check lets through, the engine can print: otherwise it would
/// stop at export with a message that names no field.
#[test]
fn characters_that_pass_the_check_can_be_printed() {
    let ranges = [
        0x20..=0x7E,
        0xA0..=0x24F,
        0x250..=0x36F,
        0x370..=0x52F,
        0x1E00..=0x1FFF,
        0x2000..=0x22FF,
        0x2500..=0x27BF,
        0xFB00..=0xFB06,
        0xFE00..=0xFE0F,
        0xFEFF..=0xFEFF,
    ];
    let typesetter = Typesetter::new(Vec::new());
    let mut letter = short("Mara Ellwood", Paper::A4);
    let mut text = String::new();
    for ch in ranges.into_iter().flatten().filter_map(char::from_u32) {
        letter.blocks = vec![p(vec![t(&ch.to_string())])];
        if typesetter.check_glyphs(&letter).is_empty() {
            text.push(ch);
            text.push_str("a ");
        }
    }
    assert!(text.chars().count() > 3000, "only {} characters", text.chars().count());
    letter.blocks = vec![h(1, "All"), p(vec![t("one\ntwo"), t(&text)]), p(vec![b(vec![t(&text)])])];
    letter.blocks.push(p(vec![Inline::Emph { children: vec![t(&text)] }]));
    let bytes =
        typesetter.pdf(&letter, &Pictures::new()).unwrap_or_else(|faults| panic!("{faults:#?}"));
    keep("glyphs.pdf", &bytes);
    assert_eq!(claimed(&bytes), Vec::<String>::new());
}

#[test]
fn a_font_file_of_the_clinic_is_used_and_a_broken_one_reported() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    letter.blocks.push(p(vec![t("𝔸")]));
    assert_eq!(Typesetter::new(Vec::new()).check_glyphs(&letter).len(), 1);
    let math = typst_assets::fonts().find(|f| {
        typst::text::FontInfo::new(f, 0).is_some_and(|i| i.family == "New Computer Modern Math")
    });
    let typesetter = Typesetter::new(vec![vec![0; 64], math.unwrap().to_vec()]);
    assert_eq!(typesetter.unreadable_fonts(), [0]);
    let bytes = typesetter.pdf(&letter, &Pictures::new()).unwrap();
    assert!(text_of(&bytes, 2).contains('𝔸'));
}

#[test]
fn faults_of_structure_are_said_with_the_block() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    letter.blocks.insert(0, h(2, "too deep"));
    letter.blocks.push(Block::Slot { wanted: vec!["spine".into()] });
    for block in &mut letter.blocks {
        match block {
            Block::Figures { figures } => figures[1].alt = " ".into(),
            Block::Table { rows, .. } => drop(rows[1].pop()),
            _ => {}
        }
    }
    insta::assert_snapshot!(faults(&letter).join("\n"), @r"
    letter zz-0007/l2: block 1: heading of level 2 after no heading
    letter zz-0007/l2: block 6: figure without alt text
    letter zz-0007/l2: block 7: table row 2 has 5 cells, not 6
    letter zz-0007/l2: block 9: no figure was drawn for spine
    ");
}

/// Typed text keeps its quotes: turning them would alter a record.
#[test]
fn quotes_are_printed_as_typed() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    letter.blocks.insert(1, p(vec![typed(r#"'a' "b" 5'7" rock'n'roll"#)]));
    assert!(text_of(&set(&letter), 1).contains(r#"'a' "b" 5'7" rock'n'roll"#));
}

/// The part of page 1 that a window envelope shows: 20 to 113 mm from the left,
/// 45 to 90 mm from the top (DIN 5008 form B, and the usual DL window).
#[test]
fn an_envelope_window_shows_the_recipient_and_nothing_else() {
    for paper in [Paper::A4, Paper::UsLetter] {
        let one = short("Mara Ellwood", paper);
        let mut other = long(HOSTILE, paper);
        other.frame.date = "31 December 2027".into();
        other.frame.letterhead.name = "Another Clinic of Quite a Long Name Indeed".into();
        let (one, mut other) = (window(&set(&one)), (window(&set(&other)), other));
        assert!(one.iter().any(|p| *p != [255; 4]), "the recipient is in the window");
        assert!(one == other.0, "something beside the recipient shows in the window");
        other.1.frame.recipient = vec![String::new(); 4];
        assert!(window(&set(&other.1)).iter().all(|p| *p == [255; 4]));
    }
}

fn window(bytes: &[u8]) -> Vec<[u8; 4]> {
    let scale = 2.0;
    let (width, pixels) = picture(bytes, scale);
    let mm = |mm: f32| (mm / 25.4 * 72.0 * scale) as usize;
    let rows = mm(45.0)..mm(90.0);
    rows.flat_map(|y| pixels[y * width + mm(20.0)..y * width + mm(113.0)].to_vec()).collect()
}

/// The first page as pixels.
fn picture(bytes: &[u8], scale: f32) -> (usize, Vec<[u8; 4]>) {
    let pdf = Pdf::new(bytes.to_vec()).expect("a file hayro can read");
    let settings = PixmapSettings { x_scale: scale, y_scale: scale, bg_color: WHITE };
    let cache = RenderCache::new();
    let interpreter = InterpreterSettings::default();
    let render = RenderSettings::default();
    let page = hayro::render(&pdf.pages()[0], &cache, &interpreter, &render, &settings);
    let pixels = page.data_as_u8_slice().chunks_exact(4).map(|p| [p[0], p[1], p[2], p[3]]);
    (usize::from(page.width()), pixels.collect())
}

#[test]
fn digests_follow_the_letter() {
    let letter = short("Mara Ellwood", Paper::A4);
    assert_eq!(digest_bytes(&letter), digest_bytes(&letter.clone()));
    assert_ne!(digest_bytes(&letter), digest_bytes(&short("Mara Ellwood", Paper::UsLetter)));
    assert!(engine_bytes().starts_with(b"typst 0.15"));
}

/// Two versions in the tree, and forgetting between letters would forget nothing.
#[test]
fn the_engine_and_we_share_one_memory() {
    let lock = include_str!("../Cargo.lock");
    assert_eq!(lock.matches("name = \"comemo\"\n").count(), 1);
}

/// Wherever the page ends: the closing words never stand on a page alone, and
/// no heading stands last on a page.
#[test]
fn signature_and_headings_keep_company_at_every_length() {
    let typesetter = Typesetter::new(Vec::new());
    let mut split = 0;
    for lines in 20..44 {
        let bytes = typesetter.pdf(&filled(lines), &Pictures::new()).unwrap();
        let pages = Document::load_mem(&bytes).unwrap().get_pages().len() as u32;
        let last = text_of(&bytes, pages);
        let company = last.matches("prose of the last paragraph").count();
        assert!(company >= 2, "{lines} lines: the signature stands with {company} lines:\n{last}");
        assert!(last.contains("With kind regards,") && last.contains("Responsible doctor"));
        let heading = (1..=pages).find(|n| text_of(&bytes, *n).contains("Heading")).unwrap();
        assert!(text_of(&bytes, heading).contains("below the heading"), "{lines} lines");
        split += u32::from(heading < pages);
    }
    assert!((1..24).contains(&split), "no page ended among the blocks looked at");
}

fn filled(lines: usize) -> Letter {
    let mut letter = short("Mara Ellwood", Paper::A4);
    let line = |n: usize| [t(&format!("Line {n}.")), Inline::Break];
    letter.blocks = vec![h(1, "News"), p((0..lines).flat_map(line).collect())];
    letter.blocks.push(h(2, "Heading"));
    letter.blocks.push(p(vec![t("Words below the heading, a full line and one more, so that there is something that could be torn apart at the end of a page.")]));
    let prose = t("This is the prose of the last paragraph, long enough for a line.");
    letter.blocks.push(p(vec![prose.clone(), Inline::Break, prose.clone(), Inline::Break, prose]));
    letter
}

/// Figures that do not fit at the end of a page leave no hole there: the words
/// after them move up. They never end up behind the signature for it.
#[test]
fn figures_that_do_not_fit_let_the_words_pass() {
    let typesetter = Typesetter::new(Vec::new());
    let pages = |lines: usize, after: usize| {
        let letter = with_figures(lines, after);
        let bytes = typesetter.pdf(&letter, &Pictures::new()).unwrap();
        assert_eq!(claimed(&bytes), Vec::<String>::new());
        [text_of(&bytes, 1), text_of(&bytes, 2)]
    };
    let [first, second] = pages(24, 24);
    assert!(first.contains("After 3.") && !first.contains("14 in brace"), "{first}");
    assert!(second.contains("14 in brace") && second.contains("With kind regards"));
    // So little follows that the signature would pass the figures.
    let [first, second] = pages(24, 1);
    assert!(!first.contains("With kind regards") && second.contains("With kind regards"));
    assert!(second.contains("14 in brace"));
}

fn with_figures(before: usize, after: usize) -> Letter {
    let mut letter = short("Mara Ellwood", Paper::A4);
    letter.blocks.retain(|b| matches!(b, Block::Figures { .. }));
    letter.blocks.insert(0, h(1, "News"));
    let lines = (0..before).flat_map(|n| [t(&format!("Before {n}.")), Inline::Break]);
    letter.blocks.insert(1, p(lines.collect()));
    letter.blocks.extend((0..after).map(|n| p(vec![t(&format!("After {n}."))])));
    letter
}
