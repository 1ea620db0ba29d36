//! Letters on adults and the summary of a case, read as their readers would:
//! pain and function first, balance with its day, what is missing said, one
//! table of all films.

use endplate::case::{Case, LetterEntry};
use endplate::facts::Facts;
use endplate::letter::block::{Block, Figure};
use endplate::letter::lint;
use endplate::render::text::plain;
use lopdf::Document;
use serde_yaml::Value as Yaml;

use crate::support::demo::{case_text, demo, shown, sound};

fn entry<'a>(case: &'a Case, id: &str) -> &'a LetterEntry {
    case.letters.iter().find(|l| l.id.value == id).expect("a letter of the case")
}

/// A letter without line ends.
fn told(case: &Case, id: &str) -> String {
    let letter = demo().written(case, entry(case, id)).letter;
    plain(&letter).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn of_demo(case: &str, id: &str) -> String {
    told(demo().case(case), id)
}

fn facts(case: &str, id: &str) -> Facts {
    let case = demo().case(case);
    let letter = entry(case, id);
    demo().press.derive(case, &demo().clinic, letter.as_of.value, Some(letter)).facts
}

fn says(text: &str, wanted: &[&str]) {
    for words in wanted {
        assert!(text.contains(words), "`{words}` is not in:\n{text}");
    }
}

fn does_not_say(text: &str, unwanted: &[&str]) {
    for words in unwanted {
        assert!(!text.contains(words), "`{words}` is in:\n{text}");
    }
}

fn yaml(case: &str) -> Yaml {
    serde_yaml::from_str(&case_text(case)).expect("a demo case is YAML")
}

fn entries<'a>(file: &'a mut Yaml, list: &str) -> &'a mut Vec<Yaml> {
    file[list].as_sequence_mut().expect("a list")
}

/// The case after a change of its file.
fn changed(id: &str, change: impl FnOnce(&mut Yaml)) -> Case {
    let mut file = yaml(id);
    change(&mut file);
    sound(&serde_yaml::to_string(&file).unwrap(), id)
}

/// Oswestry answers of 13 October 2025: 21 of 50 points, 42 %; of 20 April
/// 2026: 16 of 45, 35.56 %; of 5 October 2026: 15 of 50, 30 %. From 42 to 30
/// are 12, not below the published 10; from 36 to 30 are 6. Pain from 6 to 4
/// reaches 2, the line from 63 to 41 mm reaches 15.
#[test]
fn pain_and_function_come_first_with_what_their_change_means() {
    let text = of_demo("fw-0125", "l2");
    says(
        &text,
        &[
            "Degenerative scoliosis: disability down from 42 % to 30 %; right lumbar curve unchanged",
            "The Oswestry disability index was 30 % on 5 October 2026 (moderate disability; lower is better). It was 42 % on 13 October 2025 and 36 % on 20 April 2026; the change of twelve points since the first reaches the ten points from which a change matters, so we call it better; the last step alone does not.",
            "Pain was 4/10 on 5 October 2026 (6/10 on 13 Oct 2025, 5/10 on 20 Apr 2026), better by the published limit of two points;",
            "41 mm (63 mm on 13 Oct 2025, 48 mm on 20 Apr 2026), better by the published limit of 15 mm.",
            "These limits were agreed for adults with low back pain.",
            "What she tells us (5 October 2026). She stands for about twenty minutes.",
        ],
    );
    let order = [
        "Pain and function.",
        "The curve.",
        "Balance.",
        "Examination.",
        "What has been tried.",
        "Plan.",
    ];
    let at = order.map(|words| text.find(words).unwrap_or_else(|| panic!("no {words}")));
    assert!(at.is_sorted(), "{at:?}");
}

/// Incidence 54 less lordosis 29 are 25, above 20: the second step. A lean of
/// 51 mm lies from 40 to 95, a tilt of 25 from 20 to 30: the first.
#[test]
fn balance_is_told_from_the_side_and_from_the_front() {
    says(
        &of_demo("fw-0125", "l2"),
        &[
            "On the standing lateral film of 5 October 2026 the C7 plumb line falls 51 mm in front of the back upper corner of the sacrum: she leans forward. On 6 October 2025 it was 62 mm in front; no limit for a real change of it is published, so we call that neither better nor worse.",
            "Pelvic incidence is 54°, pelvic tilt 25° (26° on 6 October 2025), sacral slope 29°.",
            "Lordosis L1–S1 is 29° (27° on 6 October 2025: no change beyond the limit of 11°), 25° less than the incidence.",
            "lean + (from 40 mm), pelvic tilt + (from 20°), lordosis missing against the incidence ++ (above 20°).",
            "of the central sacral line, beyond the 20 mm that count as balanced, and the apex of the right lumbar curve is rotated by grade 2 of four, judged by the pedicles.",
        ],
    );
}

#[test]
fn what_an_adult_s_letter_misses_is_said() {
    let bare = changed("fw-0125", |file| {
        entries(file, "films").retain(|f| f["view"] == "frontal");
        for film in entries(file, "films") {
            let reading = film["readings"][0].as_mapping_mut().unwrap();
            reading.remove("landmarks");
            reading.remove("frontal");
        }
        for exam in entries(file, "exams") {
            for key in ["pain", "scores", "odi", "neurology", "flags", "says", "findings"] {
                exam.as_mapping_mut().unwrap().remove(key);
            }
        }
        file.as_mapping_mut().unwrap().remove("treatments");
    });
    says(
        &told(&bare, "l2"),
        &[
            "Degenerative scoliosis: right lumbar curve unchanged",
            "No score of function is on record, nor pain on a scale.",
            "No standing lateral film has been measured: lean, pelvis and lordosis are not recorded. Balance from the front is not recorded.",
            "No neurological examination is recorded. No warning sign was asked about on record.",
            "No treatment is recorded.",
        ],
    );
    let no_plumb = changed("fw-0125", |file| {
        for film in entries(file, "films").iter_mut().filter(|f| f["view"] == "lateral") {
            let reading = film["readings"][0].as_mapping_mut().unwrap();
            reading.remove("landmarks");
            let typed = reading["sagittal"].as_mapping_mut().unwrap();
            for key in ["sva", "pelvic_incidence", "pelvic_tilt", "sacral_slope"] {
                typed.remove(key);
            }
        }
    });
    let text = told(&no_plumb, "l2");
    says(
        &text,
        &[
            "the plumb line from C7 was not measured, so that the lean is not recorded.",
            "The pelvic angles are not recorded. Lordosis L1–S1 is 29°",
        ],
    );
    does_not_say(&text, &["modifiers", "leans forward", "incidence"]);
}

/// SRS-22r by hand: function 5, 5, 5, 4, 5 = 4.80; pain 3, 4, 4, 4, 4 = 3.80;
/// self-image 3, 2, 3, 2, 3 = 2.60; mental health 4 throughout; satisfaction
/// one answer, 3. All of it 79 over 21 answers, 3.76.
#[test]
fn a_young_adult_with_an_adolescent_s_curve() {
    let text = of_demo("fw-0186", "l1");
    says(
        &text,
        &[
            "Adolescent idiopathic scoliosis: curves unchanged since February 2020; exercises and observation; no action is asked of you",
            "The mean of the SRS-22r was 3.76 on 5 October 2026, five being best (function 4.80, pain 3.80, self-image 2.60, mental health 4.00, satisfaction 3.00).",
            "right thoracic curve measured 43° (T5–T11, apex T8, one reader). On 17 February 2020 it was 39°. The difference of 4° is below our limit of 6° for a real change, so we call it unchanged, not worse.",
            "the C7 plumb line falls 8 mm behind the back upper corner of the sacrum.",
            "Lordosis L1–S1 is 58°, 6° more than the incidence. Kyphosis T5–T12 is 21°.",
            "The adult sagittal modifiers (lean, pelvic tilt, missing lordosis) are 0 throughout.",
            "Absent: abnormal abdominal reflexes, a change of bladder or bowel,",
            "A brace (TLSO) from 22 January 2018 to 17 February 2020, prescribed for 20 hours a day; ended: growth had ended.",
        ],
    );
    does_not_say(&text, &["leans forward", "Risser", "first period", "growing", "Oswestry"]);
}

/// From 28 % to 48 % are 20 points, from 4 to 6 of 10 are 2: worse, and less
/// sure for a decline. From 68 to 80 degrees are 12, not below 11.
const ROUND_BACK: &str = "
# Invented: this patient and everyone named here do not exist.
case: fw-0109
patient: {name: Rowan Tessel, born: 1981-02-03, sex: male, pronouns: they}
diagnosis: {cause: Scheuermann, deformity: hyperkyphosis, found: 1996, code: M42.04}
contacts: [{id: gp, role: referring doctor, name: Dr Hanna Quill, address: [2 Mill Row, Marlhythe, QX4 1ZB]}]
films:
  - id: f1
    taken: 2024-03-04
    view: lateral
    displayed: facing left
    posture: standing
    readings:
      - id: r1
        by: ev
        read: 2024-03-04
        curves: [{upper: T3, apex: T8, lower: T12, bend: kyphosis, cobb: 68 deg}]
        sagittal: {sva: 2 mm, pelvic_incidence: 45 deg, sacral_slope: 39 deg}
  - id: f2
    taken: 2026-05-04
    view: lateral
    displayed: facing left
    posture: standing
    readings:
      - id: r1
        by: ev
        read: 2026-05-04
        curves: [{upper: T3, apex: T8, lower: T12, bend: kyphosis, cobb: 80 deg}]
        sagittal: {sva: -12 mm, lordosis: 72 deg}
exams:
  - {on: 2025-02-03, by: ev, pain: 4/10, odi: [2, 2, 2, 1, 1, 2, 1, 1, 1, 1]}
  - {on: 2026-05-04, by: ev, pain: 6/10, odi: [3, 3, 3, 2, 2, 3, 2, 2, 2, 2]}
plans: [{on: 2026-05-04, by: ev, choice: [exercise, surgical opinion], because: pain has grown}]
letters: [{id: l1, kind: progress, to: gp, as_of: 2026-05-05, signed_by: ev}]
";

#[test]
fn an_adult_s_kyphosis_reads_as_one() {
    let text = told(&sound(ROUND_BACK, "fw-0109"), "l1");
    says(
        &text,
        &[
            "Scheuermann kyphosis: disability up from 28 % to 48 %; thoracic kyphosis up from 68° to 80°; exercises and a surgeon’s opinion",
            "the change of 20 points since the first reaches the ten points from which a change matters, so we call it worse. Pain was 6/10 on 4 May 2026 (4/10 on 3 Feb 2025), worse by the published limit of two points.",
            "for improvement; for a decline they are less sure.",
            "The kyphosis. On 4 May 2026, standing, Rowan Tessel’s thoracic kyphosis measured 80° (T3–T12, apex T8, one reader). On 4 March 2024 it was 68°. A rise of 12° in 26 months reaches our limit of 11° (on lateral films) for a real change: it has increased.",
            "falls 12 mm behind the back upper corner of the sacrum. On 4 March 2024 it was 2 mm in front;",
            "Pelvic incidence is 45° on 4 March 2024",
        ],
    );
    does_not_say(&text, &["Balance from the front", "central sacral line"]);
}

#[test]
fn an_adult_s_own_letter_tells_pain_and_daily_life_plainly() {
    let text = of_demo("fw-0125", "l3");
    says(
        &text,
        &[
            "Your curve has not changed since October 2025. Please do the exercises. We go on as before.",
            "You put your pain at 4 out of ten on 5 October 2026; on 13 October 2025 it was 6. That is a real step for the better.",
            "Your answers on daily life come to 30 out of a hundred, where zero is best; on 13 October 2025 they came to 42.",
            "Seen from the side you lean forward: at the base of the neck by 51 millimetres. On 6 October 2025 it was 62.",
        ],
    );
    does_not_say(&of_demo("fw-0186", "l2"), &["lean forward", "Oswestry", "parents"]);
    // Letters to families of children say nothing of it.
    does_not_say(&of_demo("fw-0109", "l3"), &["Pain and daily life"]);
}

fn figure_of(case: &Case, id: &str) -> Option<Figure> {
    let blocks = demo().written(case, entry(case, id)).letter.blocks;
    let figures = blocks.into_iter().filter_map(|block| match block {
        Block::Figures { figures } => Some(figures),
        _ => None,
    });
    figures.flatten().find(|f| f.alt.starts_with("Spine and pelvis from the side"))
}

/// One demo patient was filmed facing right, another facing left; both are
/// drawn facing left, with the values that the letter prints.
#[test]
fn the_outline_says_what_the_letter_says() {
    let facing_right = figure_of(demo().case("fw-0125"), "l2").expect("an outline");
    says(
        &facing_right.alt,
        &[
            "drawn from the landmarks, facing left.",
            "Film 1 (standing, 6 October 2025): kyphosis T5 to T12 44°; lordosis L1 to S1 27°; the plumb line from C7 falls 62 mm in front of the back upper corner of the sacrum; pelvic incidence 54°, pelvic tilt 26°, sacral slope 28°.",
            "Film 2 (standing, 5 October 2026): kyphosis T5 to T12 43°; lordosis L1 to S1 29°; the plumb line from C7 falls 51 mm",
        ],
    );
    let facing_left = figure_of(demo().case("fw-0186"), "l1").expect("an outline");
    says(&facing_left.alt, &["lordosis L1 to S1 58°", "falls 8 mm behind the back upper corner"]);
    let held = figure_of(demo().case("fw-0109"), "l1").expect("an outline of the kyphosis");
    says(
        &held.alt,
        &["Film 2, apart because it was taken in support (in brace, standing, 5 May 2025)"],
    );
    let bare = changed("fw-0125", |file| {
        for film in entries(file, "films").iter_mut().filter(|f| f["view"] == "lateral") {
            film["readings"][0].as_mapping_mut().unwrap().remove("landmarks");
        }
    });
    assert_eq!(figure_of(&bare, "l2"), None, "without landmarks it falls away");
}

/// On both films of before the casts the infant lay. Concave 72 less convex 45
/// are 27 degrees on the second of them.
#[test]
fn an_infant_s_letter_tells_the_rib_angles_and_no_balance() {
    let id = "frontal.now.balance";
    let facts = facts("fw-0118", "l1");
    let missing = facts.get(id).expect("the fact").missing().expect("no value");
    assert_eq!(missing.kind(), "not applicable");
    assert!(missing.why().contains("lying"), "{}", missing.why());
    let text = of_demo("fw-0118", "l1");
    says(
        &text,
        &[
            "The rib-vertebra angle difference at T9 was 27° on 4 December 2023 (phase 1 of the convex rib head), at or above both published limits from which a curve of infancy is likely to increase (20° and, in a later study, 17.1°). A second reading can differ by 10° and more.",
        ],
    );
    does_not_say(&text, &["plumb line"]);
    // An adolescent's rib angles are not held against limits of infancy.
    does_not_say(&of_demo("fw-0163", "l1"), &["rib-vertebra"]);
}

#[test]
fn signs_have_their_day_and_choices_join() {
    let text = of_demo("fw-0163", "l1");
    says(
        &text,
        &[
            "at the first film; a neurological opinion and observation",
            "The triradiate cartilage was closed on 28 September 2026.",
            "Pain was 3/10 on 28 September 2026. Noted on 28 September 2026: The left foot",
            "rotated by grade 2 of four, judged by the pedicles.",
        ],
    );
    says(&of_demo("fw-0125", "l2"), &["Decided on 6 October 2026: exercises as before."]);
    says(
        &of_demo("fw-0109", "l1"),
        &["continued wear of the brace for 20 hours a day and exercises"],
    );
    let young: Vec<String> = demo()
        .letters()
        .into_iter()
        .filter(|(case, _)| case.id.value == "fw-0131")
        .map(|(case, entry)| told(case, &entry.id))
        .collect();
    assert!(young.iter().all(|text| !text.contains("in young children")));
    assert!(young.iter().any(|text| text.contains("(in children up to ten years of age)")));
}

fn summaries() -> Vec<(&'static Case, &'static LetterEntry)> {
    let all = demo().letters().into_iter();
    all.filter(|(_, entry)| entry.kind.word() == "summary").collect()
}

/// Rows of the first table of a letter, cell by cell.
fn first_table(case: &Case, id: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let blocks = demo().written(case, entry(case, id)).letter.blocks;
    let table = blocks.into_iter().find_map(|block| match block {
        Block::Table { header, rows, .. } => Some((header, rows)),
        _ => None,
    });
    let (header, rows) = table.expect("a table of films");
    let plain = |cells: &Vec<_>| cells.iter().map(|cell: &Vec<_>| lint::plain(cell)).collect();
    (plain(&header), rows.iter().map(plain).collect())
}

#[test]
fn a_summary_holds_every_film_in_one_table() {
    assert!(summaries().len() >= 4, "{} summaries in the demo", summaries().len());
    for (case, entry) in summaries() {
        let known = demo().written(case, entry).derived.known;
        let (header, rows) = first_table(case, &entry.id);
        assert_eq!(rows.len(), known.films.len(), "{}", case.id.value);
        assert_eq!(header[..2], ["Date", "Film"], "{}", case.id.value);
        for (film, row) in known.films.iter().zip(&rows) {
            let day = film.taken.value.format("%-d %b %Y").to_string();
            assert_eq!((row[0].as_str(), row.len()), (day.as_str(), header.len()));
            assert!(row[1].starts_with(film.view.word()), "{row:?}");
        }
        let text = told(case, &entry.id);
        does_not_say(&text, &["Dear", "With kind regards"]);
        says(
            &text,
            &["Background.", "Red flags.", "Plan in force.", "Checked against the record by"],
        );
    }
    let (header, rows) = first_table(demo().case("fw-0125"), "l4");
    assert_eq!(header, ["Date", "Film", "Right lumbar", "Thoracic kyphosis", "Lumbar lordosis"]);
    assert_eq!(rows[0], ["6 Oct 2025", "frontal PA, standing", "24° (L1–L4)", "–", "–"]);
    assert_eq!(rows[3], ["5 Oct 2026", "lateral, standing", "–", "43° (T5–T12)", "29° (L1–S1)"]);
}

/// The long course: a cast from 38 to 21 degrees, (38 - 21) / 38 = 44.7 %; a
/// brace from 21 to 12, (21 - 12) / 21 = 42.9 %.
#[test]
fn a_summary_tells_treatments_with_hours_wear_and_correction() {
    says(
        &of_demo("fw-0118", "s1"),
        &[
            "A cast (TLSO) from 12 December 2023 to 28 April 2025; in it thoracic 21° from 38° (45 %) on 12 Dec 2023; ended: he had begun to run",
            "A brace (TLSO) since 20 May 2025, 20 hours a day; sensor 18.6 hours a day from 1 June 2025 to 31 May 2026, 93 % of the 20 hours a day prescribed then; in it thoracic 12° from 21° (43 %) on 20 May 2025.",
            "The eight films on record come to at least 0.28 mSv in all (two films without a known dose)",
        ],
    );
    says(&of_demo("fw-0140", "s1"), &["No treatment is recorded.", "not all can be told."]);
}

fn pages(case: &Case, id: &str) -> Vec<String> {
    let document = Document::load_mem(&demo().pdf(case, entry(case, id))).expect("a PDF");
    let text = |n: &u32| document.extract_text(&[*n]).expect("its text");
    let flat = |t: String| t.split_whitespace().collect::<Vec<_>>().join(" ");
    document.get_pages().keys().map(text).map(flat).collect()
}

/// Twenty films of ten curves, eight from the front and two from the side.
fn twenty_films() -> String {
    let mut text = String::from(
        "# Invented: this patient does not exist.
case: fw-0109
patient: {name: Maximiliana Oberholtzer-Featherstonehaugh, called: Maxi, born: 2010-02-03, sex: female, pronouns: she}
diagnosis: {cause: neuromuscular, deformity: scoliosis, found: 2014-03, underlying: a disease of the muscles}
contacts: [{id: gp, role: referring doctor, name: Dr Hanna Quill, organisation: Mill Row, address: [2 Mill Row, Marlhythe]}]
films:
",
    );
    let ends = ["T1", "T3", "T5", "T7", "T9", "T11", "L1", "L3", "L5"];
    let apices = ["T2", "T4", "T6", "T8", "T10", "T12", "L2", "L4"];
    for i in 0..20 {
        let (year, month) = (2015 + i / 2, 3 + 6 * (i % 2));
        let side = i % 5 == 4;
        let (view, displayed) = if side {
            ("lateral", "facing left")
        } else {
            ("frontal", "from behind\n    projection: PA")
        };
        text += &format!(
            "  - id: f{}\n    taken: {year}-{month:02}-02\n    view: {view}\n    displayed: {displayed}\n    posture: sitting\n    readings:\n      - id: r1\n        by: ev\n        read: {year}-{month:02}-03\n        curves:\n",
            i + 1
        );
        if side {
            text += &format!(
                "          - {{name: kyphosis, upper: T5, apex: T8, lower: T12, bend: kyphosis, cobb: {} deg}}\n          - {{name: lordosis, upper: L1, apex: L4, lower: S1, bend: lordosis, cobb: {} deg}}\n",
                30 + i,
                40 + i
            );
            continue;
        }
        for (n, apex) in apices.iter().enumerate() {
            let convex = if n % 2 == 0 { "left" } else { "right" };
            text += &format!(
                "          - {{name: c{n}, upper: {}, apex: {apex}, lower: {}, convex: {convex}, cobb: {} deg}}\n",
                ends[n],
                ends[n + 1],
                12 + n + i
            );
        }
        text += &format!("    maturity: {{risser: {{grade: {}, scale: US}}}}\n", i / 4);
    }
    text + "letters: [{id: l1, kind: summary, to: gp, as_of: 2025-01-05, signed_by: ev}]\n"
}

#[test]
fn a_summary_fits_a_page_or_two_and_a_long_table_repeats_its_head() {
    assert_eq!(pages(demo().case("fw-0140"), "s1").len(), 1, "one film");
    for (case, entry) in summaries() {
        let count = pages(case, &entry.id).len();
        assert!(count <= 2, "{} has {count} pages", case.id.value);
    }
    let long = sound(&twenty_films(), "fw-0109");
    let pages = pages(&long, "l1");
    assert_eq!(pages.len(), 2, "twenty films and ten curves");
    for page in &pages {
        assert!(page.contains("Date Film Curves"), "no head of the table on: {page}");
    }
    assert!(pages[0].contains("2 Mar 2015") && pages[1].contains("2 Sep 2024"));
}

/// The summary goes to people who treat, never to a payer or a school.
#[test]
fn a_summary_is_no_letter_to_a_payer() {
    let text = case_text("fw-0125")
        .replace("role: therapist", "role: payer")
        .replace("    kind: summary\n    to: gp", "    kind: summary\n    to: physio");
    let (case, mut report) = crate::support::demo::read_text(&text, "fw-0125");
    let readers = crate::readers_data::shipped();
    endplate::rules::readers::check(&case.expect("a case"), &readers, &mut report);
    assert!(
        report.iter().any(|d| d.code == endplate::diag::Code::KindNotForRole),
        "{}",
        shown(&report)
    );
}
