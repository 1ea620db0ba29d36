//! Letters as pages for a browser, taken apart by a strict reader of our own
//! (`tests/support/tags.rs`). A real browser opens them in `.ci/run`.

#![allow(clippy::disallowed_methods)] // Contrast is a ratio, not a letter's number.

use std::collections::BTreeSet;

use endplate::digest::Digest;
use endplate::letter::block::{Block, Inline, Letter, Paper};
use endplate::letter::drawing::{Format, Ink, Picture, Pictures, Shape};
use endplate::pipeline::{Output, Press};
use endplate::render::Typesetter;

use crate::support::demo::{demo, folder};
use crate::support::sample_letter::{curve_table, h, long, p, short, t, typed};
use crate::support::tags::{Element, read};

/// A name with all that markup, quotes, style sheets and scripts could trip over.
const HOSTILE: &str =
    r#"Zoë "Bo" O'Neill <script>alert(1)</script> </style> &lt; {x} \22 "; } @page"#;

fn page(letter: &Letter) -> String {
    match Typesetter::new(Vec::new()).html(letter, &Pictures::new()) {
        Ok(page) => page,
        Err(faults) => panic!("{faults:#?}"),
    }
}

/// Keeps a page under target/tmp, to be looked at.
fn keep(name: &str, page: &str) {
    let path = std::path::Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::io::Write::write_all(&mut std::fs::File::create(path).unwrap(), page.as_bytes()).unwrap();
}

/// What must hold for every letter.
fn sound(letter: &Letter, page: &str, name: &str) {
    let html = read(page);
    let said = |word: &str| html.text.contains(word);
    assert_eq!(html.name, "html");
    let region = letter.frame.region.as_ref().map(|region| format!("-{region}"));
    let tag = format!("{}{}", letter.frame.language, region.unwrap_or_default());
    assert_eq!(html.attribute("lang"), tag, "{name}");
    assert_eq!(html.named("title")[0].text, letter.frame.title, "{name}");
    needs_nothing_else(&html, page, name);
    headings_in_order(&html, name);
    for part in ["header", "main", "footer"] {
        assert_eq!(html.named(part).len(), 1, "{name}: {part}");
    }
    let foot = &html.named("footer")[0].text;
    let frame = &letter.frame;
    assert!(foot.contains(&frame.caution) && foot.contains(&frame.letter_id), "{name}");
    if let Some(mark) = &frame.draft_mark {
        assert!(html.of_class("mark")[0].text == *mark && foot.contains(mark), "{name}");
    }
    let ids: Vec<_> = html.all().iter().map(|e| e.attribute("id").to_string()).collect();
    let ids: Vec<_> = ids.into_iter().filter(|id| !id.is_empty()).collect();
    assert_eq!(ids.len(), ids.iter().collect::<BTreeSet<_>>().len(), "{name}: an id twice");
    for words in all_words(letter) {
        assert!(said(&words), "{name}: `{words}` is missing");
    }
}

/// No script, no handler, nothing fetched: the only address is the namespace.
fn needs_nothing_else(html: &Element, page: &str, name: &str) {
    for element in html.all() {
        let forbidden = ["script", "link", "iframe", "object", "embed", "form", "img", "base", "a"];
        assert!(!forbidden.contains(&element.name.as_str()), "{name}: <{}>", element.name);
        for (key, value) in &element.attributes {
            assert!(!key.starts_with("on") && key != "src", "{name}: {key}");
            assert!(key != "href" || value.starts_with("data:"), "{name}: {key}={value}");
            let address = value.contains("://") && key != "xmlns";
            assert!(!address, "{name}: {key}={value}");
        }
    }
    let style = &html.named("style")[0].text;
    assert!(!style.contains("url(") && !style.contains("@import"), "{name}");
    assert!(page.contains("default-src 'none'"), "{name}: no policy");
}

fn headings_in_order(html: &Element, name: &str) {
    let level = |e: &&Element| e.name.strip_prefix('h').and_then(|n| n.parse::<u8>().ok());
    let levels: Vec<u8> = html.all().iter().filter_map(level).collect();
    assert_eq!(levels.first(), Some(&1), "{name}: {levels:?}");
    assert!(levels.windows(2).all(|w| w[1] <= w[0] + 1), "{name}: {levels:?}");
}

/// Every piece of words in a letter.
fn all_words(letter: &Letter) -> Vec<String> {
    fn runs(list: &[Inline], words: &mut Vec<String>) {
        for each in list {
            match each {
                Inline::Text { text } | Inline::Value { text, .. } => words.push(text.clone()),
                Inline::Strong { children } | Inline::Emph { children } => runs(children, words),
                Inline::Break => {}
            }
        }
    }
    let mut words = letter.frame.recipient.clone();
    words.extend(letter.frame.letterhead.right.iter().chain(&letter.frame.signature).cloned());
    letter.frame.after.iter().for_each(|line| runs(line, &mut words));
    for block in letter.blocks.iter().flat_map(Block::inside) {
        match block {
            Block::Heading { text, .. } | Block::Paragraph { text } => runs(text, &mut words),
            Block::Remark { by, paragraphs, .. } => {
                words.extend(paragraphs.iter().chain(by).cloned())
            }
            Block::List { items, .. } => items.iter().for_each(|item| runs(item, &mut words)),
            Block::Table { summary, header, rows, .. } => {
                words.push(summary.clone());
                header.iter().chain(rows.iter().flatten()).for_each(|cell| runs(cell, &mut words));
            }
            Block::Figures { figures } => {
                words.extend(figures.iter().map(|f| f.caption.clone()));
                let shapes = figures.iter().flat_map(|f| &f.drawing.shapes);
                words.extend(shapes.filter_map(|shape| match shape {
                    Shape::Text { text, .. } => Some(text.clone()),
                    _ => None,
                }));
            }
            Block::Slot { .. } | Block::Boxed { .. } => {}
        }
    }
    words
}

#[test]
fn every_demo_letter_is_a_sound_page_that_is_the_same_each_time() {
    let demo = demo();
    let again = Press::open(&folder());
    for (case, entry) in demo.letters() {
        let name = format!("{}/{}", *case.id, *entry.id);
        let written = demo.written(case, entry);
        let made = |press: &Press, output| press.set(&written, entry, output).unwrap();
        let page = made(&demo.press, Output::Html);
        sound(&written.letter, std::str::from_utf8(&page).unwrap(), &name);
        for output in [Output::Html, Output::Text] {
            assert!(made(&demo.press, output) == made(&again, output), "{name}: other bytes");
        }
    }
}

#[test]
fn every_block_is_told_by_what_it_is() {
    let mut letter = long("Mara Ellwood", Paper::A4);
    let boxed = vec![p(vec![t("This replaces version 1.")]), curve_table()];
    letter.blocks.insert(0, Block::Boxed { blocks: boxed });
    let page = page(&letter);
    keep("long.html", &page);
    sound(&letter, &page, "long");
    let html = read(&page);
    let [note] = html.of_class("boxed")[..] else { panic!("one box") };
    assert_eq!((note.attribute("role"), note.named("table").len()), ("note", 1));
    let [remark] = html.named("blockquote")[..] else { panic!("one remark") };
    assert_eq!(remark.of_class("by")[0].text, "Ines Farrow, 2 November 2026");
    assert_eq!((html.named("ul").len(), html.named("ol").len()), (1, 1));
    assert_eq!(html.named("li").len(), 5);
    assert_eq!(html.named("time")[0].attribute("datetime"), "2026-11-04");
    // What may not break is marked; a name typed in is not.
    let kept: Vec<_> = html.of_class("keep").iter().map(|e| e.text.as_str()).collect();
    assert!(kept.contains(&"T5–T11") && !kept.contains(&"Mara Ellwood"), "{kept:?}");
}

#[test]
fn tables_have_a_name_and_header_cells() {
    let html = read(&page(&long("Mara Ellwood", Paper::A4)));
    // Curves (6 columns, 2 rows), criteria (3, 3), films (5, 20), wear (10, 3).
    let wanted = [(6, 2), (3, 3), (5, 20), (10, 3)];
    let tables = html.named("table");
    assert_eq!(tables.len(), wanted.len());
    for (table, (columns, rows)) in tables.iter().zip(wanted) {
        assert!(!table.named("caption")[0].text.is_empty());
        let scope = |scope: &str| {
            table.named("th").iter().filter(|th| th.attribute("scope") == scope).count()
        };
        assert_eq!((scope("col"), scope("row")), (columns, rows));
        assert_eq!(table.named("td").len(), (columns - 1) * rows);
    }
    // Right-aligned columns in the head and below.
    assert_eq!(tables[0].of_class("right").len(), 5 * 3);
    // Wide tables can be moved by keys; sentences get rules between rows.
    let wide: Vec<_> = html.of_class("table").iter().map(|e| e.attribute("tabindex")).collect();
    assert_eq!(wide, ["0", "", "0", "0"]);
    let prose: Vec<_> = tables.iter().map(|t| t.attribute("class").contains("prose")).collect();
    assert_eq!(prose, [false, true, false, false]);
}

#[test]
fn an_empty_header_cell_heads_nothing() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    for block in &mut letter.blocks {
        if let Block::Table { header, .. } = block {
            header[0] = vec![];
        }
    }
    let html = read(&page(&letter));
    let first = html.named("thead")[0].named("td");
    assert_eq!(first.len(), 1);
    assert!(html.named("th").iter().all(|th| !th.text.is_empty()));
}

#[test]
fn figures_are_drawn_and_described() {
    let letter = short("Mara Ellwood", Paper::A4);
    let html = read(&page(&letter));
    let figures: Vec<_> = letter
        .blocks
        .iter()
        .flat_map(|b| if let Block::Figures { figures } = b { figures.clone() } else { vec![] })
        .collect();
    assert_eq!(html.named("figure").len(), 2);
    for (element, figure) in html.named("figure").iter().zip(&figures) {
        assert_eq!(element.named("figcaption")[0].text, figure.caption);
        let svg = element.named("svg")[0];
        assert_eq!(svg.attribute("role"), "img");
        let title = element.named("title")[0];
        assert_eq!(svg.attribute("aria-labelledby"), title.attribute("id"));
        // The first sentence is the name, what follows the description.
        let desc = element.named("desc");
        let more: String = desc.iter().map(|d| format!(" {}", d.text)).collect();
        assert_eq!(format!("{}{more}", title.text), figure.alt);
        let described = desc.first().map_or("", |d| d.attribute("id"));
        assert_eq!(svg.attribute("aria-describedby"), described);
        let count = |name: &str| element.named(name).len();
        let of = |is: fn(&Shape) -> bool| figure.drawing.shapes.iter().filter(|s| is(s)).count();
        assert_eq!(count("text"), of(|s| matches!(s, Shape::Text { .. })));
        assert_eq!(count("circle"), of(|s| matches!(s, Shape::Circle { .. })));
        let paths = of(|s| matches!(s, Shape::Line { .. } | Shape::Area { .. }));
        assert_eq!(count("path"), paths);
    }
    assert_eq!(html.named("desc").len(), 1, "the second has one sentence");
    assert_eq!(html.named("svg")[0].attribute("viewBox"), "0 0 72 64");
    let angle = html.named("text").into_iter().find(|e| e.text == "31°").unwrap();
    // 9 points are 9 × 25.4 / 72 = 3.175 mm.
    assert_eq!((angle.attribute("x"), angle.attribute("font-size")), ("28", "3.175"));
    assert_eq!((angle.attribute("font-weight"), angle.attribute("fill")), ("bold", "#1d4f63"));
}

/// The contrast of two colours by the definition of WCAG 2.2: the lighter
/// relative luminance plus 0.05 over the darker one plus 0.05.
fn contrast(a: &str, b: &str) -> f64 {
    let part = |colour: &str, at: usize| {
        let c = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
        if c <= 0.04045 { c / 12.92 } else { ((c + 0.055) / 1.055).powf(2.4) }
    };
    let luminance = |colour: &str| {
        0.2126 * part(colour, 1) + 0.7152 * part(colour, 3) + 0.0722 * part(colour, 5) + 0.05
    };
    let (a, b) = (luminance(a), luminance(b));
    a.max(b) / a.min(b)
}

#[test]
fn words_of_drawings_can_be_read() {
    assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9, "black on white is 21 to 1");
    let demo = demo();
    for (case, entry) in demo.letters() {
        for block in demo.written(case, entry).letter.blocks {
            let Block::Figures { figures } = block else { continue };
            for shape in figures.iter().flat_map(|f| &f.drawing.shapes) {
                let Shape::Text { ink, text, .. } = shape else { continue };
                let readable = matches!(ink, Ink::Ink | Ink::Grey | Ink::Accent);
                assert!(readable, "`{text}` in {ink:?}");
            }
        }
    }
    for ink in ["#1a1a1a", "#616161", "#1d4f63", "#4d4d4d"] {
        assert!(contrast(ink, "#ffffff") >= 4.5, "{ink}");
    }
    // On shaded spans of figures, and on the ground of a box.
    for (ink, ground) in [("#616161", "#e6edf0"), ("#1d4f63", "#eef4f6"), ("#1a1a1a", "#d8d0c0")] {
        assert!(contrast(ink, ground) >= 4.5, "{ink} on {ground}");
    }
}

#[test]
fn markup_in_any_field_stays_words() {
    let mut letter = short(HOSTILE, Paper::A4);
    let frame = &mut letter.frame;
    frame.recipient[0] = HOSTILE.into();
    frame.letterhead.name = HOSTILE.into();
    frame.title = HOSTILE.into();
    frame.caution = HOSTILE.into();
    frame.date = HOSTILE.into();
    frame.draft_mark = Some(HOSTILE.into());
    let (by, paragraphs) = (Some(HOSTILE.into()), vec![HOSTILE.into()]);
    let remark = Block::Remark { by, paragraphs, language: Some("es".into()) };
    letter.blocks.extend([p(vec![typed(HOSTILE)]), remark]);
    if let Some(Block::Figures { figures }) =
        letter.blocks.iter_mut().find(|b| matches!(b, Block::Figures { .. }))
    {
        figures[0].alt = HOSTILE.into();
        figures[0].caption = HOSTILE.into();
        if let Some(Shape::Text { text, .. }) =
            figures[0].drawing.shapes.iter_mut().find(|s| matches!(s, Shape::Text { .. }))
        {
            *text = HOSTILE.into();
        }
    }
    let page = page(&letter);
    sound(&letter, &page, "hostile");
    assert_eq!(page.matches("</style>").count(), 1);
    assert!(!page.contains("<script"));
    let html = read(&page);
    let style = &html.named("style")[0].text;
    assert!(!style.contains("\"; } @page"), "a name left its string");
    assert_eq!(style.matches("@page").count() - style.matches("(see @page)").count(), 2);
}

#[test]
fn the_sheet_is_the_letters_own() {
    let style = |letter: &Letter| read(&page(letter)).named("style")[0].text.clone();
    let mut letter = short("Mara Ellwood", Paper::A4);
    let a4 = style(&letter);
    assert!(a4.contains("size: A4;"));
    // Every sheet names the patient, the letter and the draft.
    let foot = "Mara Ellwood · born 6 May 2013 · record QH-300118 · letter zz-0007\\2f l2 · draft, not issued";
    assert!(a4.contains(foot), "{a4}");
    assert!(style(&short("Mara Ellwood", Paper::UsLetter)).contains("size: letter;"));
    letter.frame.draft_mark = None;
    letter.frame.issued_mark = Some("version 2, register 3f8a90c1".into());
    let issued = page(&letter);
    assert!(!issued.contains("draft"));
    // In the foot of the page and of every sheet.
    assert_eq!(issued.matches("version 2, register 3f8a90c1").count(), 2);
}

#[test]
fn a_letter_without_news_is_named_by_its_title() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    letter.blocks = vec![p(vec![t("A note.")])];
    letter.frame.recipient.truncate(1);
    let page = page(&letter);
    sound(&letter, &page, "note");
    let html = read(&page);
    assert_eq!(html.named("h1")[0].text, letter.frame.title);
    assert_eq!(html.named("body")[0].attribute("class"), "", "no address, no window");
}

#[test]
fn what_pages_refuse_is_refused() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    letter.blocks.insert(0, h(2, "too deep"));
    letter.frame.recipient[1] = "Weir\u{202E} Road".into();
    let typesetter = Typesetter::new(Vec::new());
    let none = Pictures::new();
    let messages = |faults: Vec<endplate::diag::Diagnostic>| {
        faults.into_iter().map(|d| d.message).collect::<Vec<_>>()
    };
    let (html, pdf) = (typesetter.html(&letter, &none), typesetter.pdf(&letter, &none));
    assert_eq!(messages(html.unwrap_err()), messages(pdf.unwrap_err()));
}

/// The first bytes of every PNG file: nothing here looks into a picture.
const SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";

#[test]
fn pictures_stand_inside_the_page_under_the_lines() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    let digest = Digest::of(SIGNATURE);
    let film = Shape::Picture { at: (1.0, 2.0), width: 30.0, height: 60.0, digest };
    for block in &mut letter.blocks {
        if let Block::Figures { figures } = block {
            figures[0].drawing.shapes.push(film.clone());
        }
    }
    let typesetter = Typesetter::new(Vec::new());
    let lost = typesetter.html(&letter, &Pictures::new()).unwrap_err();
    assert!(lost[0].message.contains("no bytes of the picture"), "{lost:?}");
    let bytes = SIGNATURE.into();
    let pictures = Pictures::from([(digest, Picture { format: Format::Png, bytes })]);
    let page = typesetter.html(&letter, &pictures).unwrap();
    sound(&letter, &page, "picture");
    let html = read(&page);
    let [image] = html.named("image")[..] else { panic!("one picture") };
    // Base64 of 89 50 4E 47 0D 0A 1A 0A, by hand: RFC 4648, table 1.
    assert_eq!(image.attribute("href"), "data:image/png;base64,iVBORw0KGgo=");
    let place = ["x", "y", "width", "height"].map(|key| image.attribute(key));
    assert_eq!(place, ["1", "2", "30", "60"]);
    let svg = html.named("svg")[0];
    let order: Vec<_> = svg.children.iter().map(|child| child.name.as_str()).collect();
    let at = |name: &str| order.iter().position(|n| *n == name).unwrap();
    assert!(at("image") < at("path") && at("path") < at("text"));
}

#[test]
fn words_in_another_language_say_so() {
    let mut letter = short("Mara Ellwood", Paper::A4);
    let remark = |language: Option<&str>| Block::Remark {
        by: None,
        paragraphs: vec!["Gracias.".into()],
        language: language.map(str::to_string),
    };
    letter.blocks.extend([remark(Some("es")), remark(None)]);
    let html = read(&page(&letter));
    let tags: Vec<_> =
        html.named("blockquote").iter().map(|b| b.named("p")[0].attribute("lang")).collect();
    assert_eq!(tags, ["es", ""]);
}
