//! Letters as plain text.

use endplate::letter::block::{Align, Block, Paper};
use endplate::render::text::plain;

use crate::support::demo::demo;
use crate::support::sample_letter::{h, long, p, short, t, typed, v};

#[test]
fn a_letter_reads_as_text() {
    insta::assert_snapshot!(plain(&short("Mara Ellwood", Paper::A4)), @r#"
    Quarry Hill Spine Clinic
    2 Lantern Steps, Eastmarsh · 0555 010 7730 · desk@quarryhill.example
    Ines Farrow, BSc, spinal orthotist
    licence INV-4410
    direct 0555 010 7731

    Dr Pavel Ostrander
    Weir Road Surgery
    41 Weir Road
    Eastmarsh

    4 November 2026
    draft, not issued

    Mara Ellwood, born 6 May 2013 (13 years 5 months) · record QH-300118

    Adolescent idiopathic scoliosis: curves unchanged since May; night brace
    continues; nothing for you to arrange
    ========================================================================

    Dear Dr Ostrander,

    On 2 November 2026, standing and a day out of the brace, the right thoracic
    curve of Mara Ellwood measured 27° (T5–T11, two readers); on 11 May it was
    31°. The difference of 4° is below our limit of 6° for a real change, so we
    call it unchanged, not better. Before the brace it had risen by 12° in
    eighteen months, well beyond that limit. The left lumbar curve (T11–L4) is
    likewise unchanged at 20°, from 22°.

    In the brace, on 15 June, the curves measured 14° and 9°, which is 55 % and
    59 % less than on 11 May. That is the effect while the brace is worn, not a
    result. Its sensor shows 8.1 of the 9 hours prescribed. The skin is clear,
    the neurological examination was normal on the day.

    [Figure: Seen from behind, out of the brace, then and now. Lines: the
    endplates measured; dotted: central sacral line. The spine seen from behind
    on 11 May and 2 November 2026, out of the brace. Right thoracic curve 31 and
    27 degrees.]
    [Figure: Thoracic curve. Filled: out of brace, standing; band: two points
    differ really when their bands do not touch. Right thoracic curve over time:
    19, 28, 31 and 27 degrees from November 2024 to November 2026; brace since
    June 2026.]

    Curve              Nov 2024  May 2026  Nov 2026    since May  in brace, Jun
                                                                           2026
    -----------------  --------  --------  --------  -----------  -------------
    Right thoracic,         19°       31°       27°         -4°,            14°
    T5–T11, apex T8                                    unchanged

    Left lumbar,            13°       22°       20°         -2°,             9°
    T11–L4, apex L2                                    unchanged

    Plan. Brace at night and exercises. Brace check in February 2027, next film
    in May 2027 after 24 hours without the brace, sooner if she passes 160.5 cm.
    We ask for a surgeon’s view at 40° while she is growing. New weakness or
    numbness of the legs, or a change in bladder or bowel control, needs
    emergency assessment the same day.

    With kind regards,

    Ines Farrow, BSc, spinal orthotist

    Responsible doctor: Dr Lio Marchetti.
    Copies: Mr and Mrs Ellwood (family letter).
    Enclosed: radiographs of 11 May and 2 November 2026.

    Mara Ellwood · born 6 May 2013 · record QH-300118 · letter zz-0007/l2 ·
    draft, not issued
    Invented patient and clinic. This letter supports, and does not replace, the
    judgement of the treating clinicians.
    "#);
}

#[test]
fn every_block_has_a_form_in_text() {
    let text = plain(&long("Mara Ellwood", Paper::A4));
    let from = text.find("What was asked").expect("the heading is there");
    let to = text.find("Every film").expect("the heading is there");
    insta::assert_snapshot!(text[from..to].trim_end(), @r#"
    What was asked

    - Whether the brace may be left off for a school journey of five days in
      March, as the family asked on 20 October.
    - Sport: all of it, without the brace, and counted as time off.
    - A letter for the school.

    | Mara says the left strap rubs when she lies on her side; I moved its
    | anchor by 8 mm and padded it. She will try it for a week and ring me.
    |
    | Her mother asked about growth: we measure every month, and 160.5 cm is the
    | height at which I want to see her sooner.
    |
    | -- Ines Farrow, 2 November 2026

    Criteria of the payer
    ---------------------

    Criterion, as worded        Verdict      Evidence
    --------------------------  -----------  ----------------------------------
    2a “Cobb angle of 25 to 45  met          27°, T5–T11, film of 2 November
    degrees and growth                       2026, read by I. Farrow and L.
    remaining”                               Marchetti (Encl. 1); Risser 1 (US)

    2c “Worn at least 75        not met      6.6 of 9 hours (73 %; 6.75
    percent of the hours                     needed), 15 June to 2 November
    prescribed”                              2026 (Encl. 3)

    2d “Lung function on        cannot tell  never measured; test booked
    record”
    "#);
    assert!(text.lines().all(|line| line.chars().count() <= 76));
}

fn of(blocks: Vec<Block>) -> String {
    let mut letter = short("Mara Ellwood", Paper::A4);
    letter.blocks = blocks;
    let text = plain(&letter);
    let from = text.find("record QH-300118\n\n").unwrap() + "record QH-300118\n\n".len();
    text[from..text.find("\n\nWith kind regards").unwrap()].to_string()
}

/// A record may know few characters. What it cannot show it drops, and a minus
/// that is dropped turns better into worse.
#[test]
fn any_record_can_take_the_text() {
    let odd = "a\u{a0}b\u{202f}c\tsoft\u{ad}hyphen\u{200b} \u{2212}4° T5\u{2011}T11 \u{7}x";
    let text = of(vec![p(vec![typed(odd)])]);
    assert_eq!(text, "a b c softhyphen -4° T5-T11 x");
    let demo = demo();
    for (case, entry) in demo.letters() {
        let letter = demo.written(case, entry).letter;
        let text = plain(&letter);
        let name = format!("{}/{}", *case.id, *entry.id);
        let odd = |c: &char| {
            c.is_control() && *c != '\n'
                || c.is_whitespace() && !" \n".contains(*c)
                || *c == '\u{2212}'
        };
        assert_eq!(text.chars().find(odd), None, "{name}");
        assert!(text.lines().all(|line| line.chars().count() <= 76), "{name}: a line too long");
        assert!(!text.contains(" \n") && !text.contains("\n\n\n"), "{name}: empty ends");
        assert!(text.ends_with('\n') && !text.ends_with("\n\n"), "{name}");
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for part in [&letter.frame.caution, letter.frame.draft_mark.as_ref().unwrap()] {
            assert!(words.contains(part.as_str()), "{name}: {part}");
        }
    }
}

#[test]
fn values_that_may_not_break_keep_their_line() {
    let filler = t("Words that fill this line up to the place where a date would be broken ");
    let text = of(vec![p(vec![filler, v("films.f1.taken", "2 Feb 2026"), t(" and on.")])]);
    insta::assert_snapshot!(text, @r"
    Words that fill this line up to the place where a date would be broken
    2 Feb 2026 and on.
    ");
}

#[test]
fn headings_are_underlined() {
    let text = of(vec![h(1, "News"), p(vec![t("One.")]), h(2, "Plan"), h(3, "Film")]);
    assert_eq!(text, "News\n====\n\nOne.\n\nPlan\n----\n\nFilm");
}

/// Twelve columns do not fit side by side: each row is told under its name.
#[test]
fn a_table_too_wide_is_told_row_by_row() {
    let months = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov"];
    let cell = |text: &str| vec![t(text)];
    let mut header = vec![cell("Month")];
    header.extend(months.map(cell));
    let mut row = vec![cell("measured")];
    row.extend((0..10).map(|n| vec![v("wear", &format!("{}.5 h", 10 + n))]));
    row.push(vec![]);
    let table = Block::Table {
        summary: "Wear".into(),
        align: vec![Align::Right; 12],
        header,
        rows: vec![row.clone(), row],
    };
    let text = of(vec![table]);
    let lines: Vec<_> = text.lines().collect();
    assert_eq!(lines[..3], ["measured", "  Jan: 10.5 h", "  Feb: 11.5 h"]);
    // Ten months with a value; the empty one says nothing.
    assert_eq!((lines.len(), lines[11]), (23, ""));
}
