//! Invented letters of every kind of block, for tests of the renderers.
//!
//! Patient, clinic and people do not exist.

use endplate::letter::block::{
    Align, Block, Figure, Frame, FrameWords, Inline, Letter, Letterhead, Paper, PatientLine,
};
use endplate::letter::drawing::{Anchor, Dash, Drawing, Ink, Shape};

/// Words of a template.
pub fn t(text: &str) -> Inline {
    Inline::Text { text: text.into() }
}

/// A printed fact that stays on one line.
pub fn v(fact: &str, text: &str) -> Inline {
    Inline::Value { fact: Some(fact.into()), text: text.into(), keep: true }
}

/// Text as typed in a case.
pub fn typed(text: &str) -> Inline {
    Inline::Value { fact: None, text: text.into(), keep: false }
}

/// Bold.
pub fn b(children: Vec<Inline>) -> Inline {
    Inline::Strong { children }
}

/// A paragraph.
pub fn p(text: Vec<Inline>) -> Block {
    Block::Paragraph { text }
}

/// A heading.
pub fn h(level: u8, text: &str) -> Block {
    Block::Heading { level, text: vec![t(text)] }
}

fn strings(list: &[&str]) -> Vec<String> {
    list.iter().map(|s| s.to_string()).collect()
}

/// The frame of all sample letters.
pub fn frame(name: &str, paper: Paper) -> Frame {
    Frame {
        letter_id: "zz-0007/l2".into(),
        kind: "progress".into(),
        title: "Progress letter, record QH-300118, 4 November 2026".into(),
        language: "en".into(),
        region: Some("GB".into()),
        paper,
        sheet: false,
        letterhead: Letterhead {
            name: "Quarry Hill Spine Clinic".into(),
            line: "2 Lantern Steps, Eastmarsh · 0555 010 7730 · desk@quarryhill.example".into(),
            right: strings(&[
                "Ines Farrow, BSc, spinal orthotist",
                "licence INV-4410",
                "direct 0555 010 7731",
            ]),
        },
        recipient: strings(&[
            "Dr Pavel Ostrander",
            "Weir Road Surgery",
            "41 Weir Road",
            "Eastmarsh",
        ]),
        date: "4 November 2026".into(),
        date_ymd: (2026, 11, 4),
        patient: PatientLine {
            name: name.into(),
            born: "born 6 May 2013".into(),
            age: Some("13 years 5 months".into()),
            record: Some("record QH-300118".into()),
        },
        issued_mark: None,
        draft_mark: Some("draft, not issued".into()),
        pages: None,
        caution: "This letter supports, and does not replace, the judgement of the treating \
                  clinicians."
            .into(),
        notice: Some("Invented patient and clinic.".into()),
        closing: "With kind regards,".into(),
        signature: strings(&["Ines Farrow, BSc, spinal orthotist"]),
        after: vec![
            vec![t("Responsible doctor: "), typed("Dr Lio Marchetti"), t(".")],
            vec![t("Copies: "), typed("Mr and Mrs Ellwood"), t(" (family letter).")],
            vec![t("Enclosed: radiographs of 11 May and 2 November 2026.")],
        ],
        words: FrameWords { page: "page".into(), of: "of".into(), letter: "letter".into() },
    }
}

/// One page: words, two figures, a table.
pub fn short(name: &str, paper: Paper) -> Letter {
    let blocks = vec![
        h(
            1,
            "Adolescent idiopathic scoliosis: curves unchanged since May; night brace continues; nothing for you to arrange",
        ),
        p(vec![t("Dear Dr Ostrander,")]),
        p(vec![
            t("On "),
            v("films.f4.taken", "2 November 2026"),
            t(", standing and a day out of the brace, the right thoracic curve of "),
            typed(name),
            t(" measured "),
            b(vec![v("curves.thoracic.now.cobb", "27°")]),
            t(" ("),
            v("curves.thoracic.now.levels", "T5–T11"),
            t(", two readers); on 11 May it was "),
            v("curves.thoracic.before.cobb", "31°"),
            t(". The difference of "),
            v("curves.thoracic.change", "4°"),
            t(" is below our limit of "),
            v("limits.change", "6°"),
            t(" for a real change, so we call it "),
            b(vec![t("unchanged")]),
            t(
                ", not better. Before the brace it had risen by 12° in eighteen months, well beyond that limit. The left lumbar curve (",
            ),
            v("curves.lumbar.now.levels", "T11–L4"),
            t(") is likewise unchanged at 20°, from 22°."),
        ]),
        p(vec![t(
            "In the brace, on 15 June, the curves measured 14° and 9°, which is 55 % and 59 % less than on 11 May. That is the effect while the brace is worn, not a result. Its sensor shows 8.1 of the 9 hours prescribed. The skin is clear, the neurological examination was normal on the day.",
        )]),
        figures(),
        curve_table(),
        p(vec![
            b(vec![t("Plan.")]),
            t(
                " Brace at night and exercises. Brace check in February 2027, next film in May 2027 after 24 hours without the brace, sooner if she passes 160.5 cm. We ask for a surgeon’s view at 40° while she is growing. New weakness or numbness of the legs, or a change in bladder or bowel control, needs emergency assessment the same day.",
            ),
        ]),
    ];
    Letter { frame: frame(name, paper), blocks }
}

/// Three pages: every block, a table of 20 rows and one of 10 columns.
pub fn long(name: &str, paper: Paper) -> Letter {
    let mut letter = short(name, paper);
    let plan = letter.blocks.pop();
    letter.blocks.extend([
        h(2, "Course"),
        p(vec![t(PROSE), t(" The apex lies at "), v("curves.thoracic.apex", "T8"), t("; the plumb line falls "), v("balance.c7", "9 mm to the right"), t(".")]),
        h(3, "What was asked"),
        Block::List {
            ordered: false,
            items: vec![
                vec![t("Whether the brace may be left off for a school journey of five days in March, as the family asked on 20 October.")],
                vec![b(vec![t("Sport:")]), t(" all of it, without the brace, and counted as time off.")],
                vec![t("A letter for the school.")],
            ],
        },
        Block::Remark {
            by: Some("Ines Farrow, 2 November 2026".into()),
            paragraphs: strings(&[
                "Mara says the left strap rubs when she lies on her side; I moved its anchor by 8 mm and padded it. She will try it for a week and ring me.",
                "Her mother asked about growth: we measure every month, and 160.5 cm is the height at which I want to see her sooner.",
            ]),
            language: None,
        },
        h(2, "Criteria of the payer"),
        criteria_table(),
        h(2, "Every film"),
        p(vec![t(PROSE)]),
        film_table(20),
        h(2, "Wear by month"),
        wide_table(),
        Block::List {
            ordered: true,
            items: vec![
                vec![t("Check of the brace in February 2027.")],
                vec![t("Film in May 2027, a day without the brace.")],
            ],
        },
        p(vec![t(PROSE)]),
    ]);
    letter.blocks.extend(plan);
    letter
}

const PROSE: &str = "Found at a school check at ten years and watched for half a year. The first three films are from another hospital and were measured again here by two readers, who agreed within two degrees. The sum of the changes since the first film is beyond our limit; the last step alone is not, and we cannot say from it whether the curve is still rising.";

/// A table with numbers.
pub fn curve_table() -> Block {
    let row = |cells: &[&str]| cells.iter().map(|c| vec![t(c)]).collect::<Vec<_>>();
    let mut rows = vec![
        row(&["Right thoracic, T5–T11, apex T8", "19°", "31°", "27°", "−4°, unchanged", "14°"]),
        row(&["Left lumbar, T11–L4, apex L2", "13°", "22°", "20°", "−2°, unchanged", "9°"]),
    ];
    for row in &mut rows {
        row[3] = vec![b(row[3].clone())];
    }
    Block::Table {
        summary: "Cobb angles of both curves on three days, the change and the angle in the brace"
            .into(),
        align: vec![
            Align::Left,
            Align::Right,
            Align::Right,
            Align::Right,
            Align::Right,
            Align::Right,
        ],
        header: row(&[
            "Curve",
            "Nov 2024",
            "May 2026",
            "Nov 2026",
            "since May",
            "in brace, Jun 2026",
        ]),
        rows,
    }
}

fn criteria_table() -> Block {
    let cell = |s: &str| vec![t(s)];
    Block::Table {
        summary: "Criteria of the payer, our verdict on each, and the evidence".into(),
        align: vec![Align::Left, Align::Left, Align::Left],
        header: vec![cell("Criterion, as worded"), cell("Verdict"), cell("Evidence")],
        rows: vec![
            vec![
                cell("2a “Cobb angle of 25 to 45 degrees and growth remaining”"),
                cell("met"),
                cell(
                    "27°, T5–T11, film of 2 November 2026, read by I. Farrow and L. Marchetti (Encl. 1); Risser 1 (US)",
                ),
            ],
            vec![
                cell("2c “Worn at least 75 percent of the hours prescribed”"),
                vec![b(vec![t("not met")])],
                cell("6.6 of 9 hours (73 %; 6.75 needed), 15 June to 2 November 2026 (Encl. 3)"),
            ],
            vec![
                cell("2d “Lung function on record”"),
                vec![b(vec![t("cannot tell")])],
                cell("never measured; test booked"),
            ],
        ],
    }
}

/// A table of as many rows.
pub fn film_table(rows: usize) -> Block {
    let cell = |s: String| vec![t(&s)];
    Block::Table {
        summary: "Every film with its conditions and angles".into(),
        align: vec![Align::Left, Align::Left, Align::Left, Align::Right, Align::Right],
        header: ["Taken", "View", "Conditions", "Thoracic", "Lumbar"].map(|s| vec![t(s)]).to_vec(),
        rows: (0..rows)
            .map(|i| {
                vec![
                    cell(format!(
                        "{} {} 20{}",
                        1 + i % 28,
                        ["Jan", "May", "Sep"][i % 3],
                        20 + i / 3
                    )),
                    cell("frontal, PA".into()),
                    cell(
                        if i % 4 == 3 {
                            "in the brace, standing"
                        } else {
                            "standing, 24 h out of the brace"
                        }
                        .into(),
                    ),
                    cell(format!("{}°", 19 + i % 13)),
                    cell(format!("{}°", 9 + i % 13)),
                ]
            })
            .collect(),
    }
}

fn wide_table() -> Block {
    let months = ["Month", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct"];
    let line = |name: &str, base: usize| {
        let mut row = vec![vec![t(name)]];
        row.extend((1..10).map(|i| vec![t(&format!("{}.{} h", base + i % 3, i))]));
        row
    };
    Block::Table {
        summary: "Hours of wear by month".into(),
        align: std::iter::once(Align::Left).chain([Align::Right; 9]).collect(),
        header: months.map(|m| vec![t(m)]).to_vec(),
        rows: vec![
            line("prescribed", 9),
            line("measured on school days", 7),
            line("measured at weekends", 5),
        ],
    }
}

/// Two figures side by side: a spine and a course.
pub fn figures() -> Block {
    Block::Figures {
        figures: vec![
            Figure {
                alt: "The spine seen from behind on 11 May and 2 November 2026, out of the brace. Right thoracic curve 31 and 27 degrees.".into(),
                caption: "Seen from behind, out of the brace, then and now. Lines: the endplates measured; dotted: central sacral line.".into(),
                drawing: spines(),
            },
            Figure {
                alt: "Right thoracic curve over time: 19, 28, 31 and 27 degrees from November 2024 to November 2026; brace since June 2026.".into(),
                caption: "Thoracic curve. Filled: out of brace, standing; band: two points differ really when their bands do not touch.".into(),
                drawing: course(),
            },
        ],
    }
}

fn word(at: (f64, f64), text: &str, size: f64, anchor: Anchor) -> Shape {
    Shape::Text { at, text: text.into(), size, bold: false, ink: Ink::Ink, anchor }
}

fn spines() -> Drawing {
    let mut shapes = Vec::new();
    for (x, bend, label) in [(16.0, 7.0, "31°"), (52.0, 6.0, "27°")] {
        spine(&mut shapes, x, bend, label);
    }
    shapes.push(word((16.0, 62.0), "11 May 2026", 8.0, Anchor::Middle));
    shapes.push(word((52.0, 62.0), "2 November 2026", 8.0, Anchor::Middle));
    Drawing { width: 72.0, height: 64.0, shapes }
}

fn spine(shapes: &mut Vec<Shape>, x: f64, bend: f64, label: &str) {
    shapes.push(Shape::Line {
        points: vec![(x, 1.0), (x, 57.0)],
        ink: Ink::Grey,
        width: 0.2,
        dash: Dash::Dotted,
    });
    for i in 0..17 {
        let y = 1.0 + 3.2 * f64::from(i);
        let off = |y: f64| bend * (1.0 - ((y - 20.0) / 20.0) * ((y - 20.0) / 20.0)).max(-0.8);
        let (top, bottom) = (x + off(y), x + off(y + 2.8));
        shapes.push(Shape::Area {
            points: vec![
                (top - 2.2, y),
                (top + 2.2, y),
                (bottom + 2.3, y + 2.8),
                (bottom - 2.3, y + 2.8),
            ],
            fill: Some(if i % 5 == 1 { Ink::Marked } else { Ink::Bone }),
            ink: Some(Ink::Grey),
            width: 0.15,
        });
    }
    shapes.push(Shape::Text {
        at: (x + bend + 5.0, 24.0),
        text: label.into(),
        size: 9.0,
        bold: true,
        ink: Ink::Accent,
        anchor: Anchor::Start,
    });
    shapes.push(word((x - 8.0, 6.0), "L", 8.0, Anchor::Middle));
    shapes.push(word((x + 14.0, 6.0), "R", 8.0, Anchor::Middle));
}

fn course() -> Drawing {
    let (width, height) = (76.0, 64.0);
    let y = |deg: f64| 52.0 - deg;
    let mut shapes = vec![Shape::Area {
        points: vec![(54.0, 2.0), (74.0, 2.0), (74.0, 52.0), (54.0, 52.0)],
        fill: Some(Ink::Shade),
        ink: None,
        width: 0.0,
    }];
    for deg in [0.0, 10.0, 20.0, 30.0, 40.0, 50.0] {
        shapes.push(Shape::Line {
            points: vec![(9.0, y(deg)), (74.0, y(deg))],
            ink: Ink::Faint,
            width: 0.15,
            dash: Dash::Solid,
        });
        shapes.push(word((8.0, y(deg) + 1.0), &format!("{deg}°"), 8.0, Anchor::End));
    }
    let points = [(12.0, 19.0), (26.0, 23.0), (40.0, 28.0), (52.0, 31.0), (70.0, 27.0)];
    let mut band: Vec<_> = points.iter().map(|(x, d)| (*x, y(d + 3.0))).collect();
    band.extend(points.iter().rev().map(|(x, d)| (*x, y(d - 3.0))));
    shapes.push(Shape::Area { points: band, fill: Some(Ink::Band), ink: None, width: 0.0 });
    shapes.push(Shape::Line {
        points: points.iter().map(|(x, d)| (*x, y(*d))).collect(),
        ink: Ink::Ink,
        width: 0.35,
        dash: Dash::Solid,
    });
    for (x, deg) in points {
        shapes.push(Shape::Circle {
            at: (x, y(deg)),
            radius: 0.8,
            fill: Some(Ink::Ink),
            ink: None,
            width: 0.0,
        });
        shapes.push(word((x, y(deg) - 4.0), &format!("{deg}"), 8.0, Anchor::Middle));
    }
    shapes.push(Shape::Circle {
        at: (58.0, y(14.0)),
        radius: 0.9,
        fill: Some(Ink::Paper),
        ink: Some(Ink::Accent),
        width: 0.35,
    });
    shapes.push(word((60.0, y(14.0) + 1.0), "14 in brace", 8.0, Anchor::Start));
    for (x, year) in [(20.0, "2025"), (46.0, "2026")] {
        shapes.push(word((x, 57.0), year, 8.0, Anchor::Middle));
    }
    Drawing { width, height, shapes }
}
