//! Letters in Spanish: dates, numbers, lists and plurals as the locale data has
//! them, words that a language must have, and letters of the demo clinic read
//! as their families would.
//!
//! Expected dates, decimal signs, lists and plural categories are those of the
//! published tables of CLDR 47 (`common/main/es.xml`, `es_419.xml`, `es_MX.xml`,
//! `es_US.xml`, `es_AR.xml`, `supplemental/plurals.xml`), read with Babel 2.19.0,
//! which shares no code with the library used here.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;
use endplate::case::{Case, DateStyle, LetterEntry, Role};
use endplate::diag::{Code, Report};
use endplate::evidence::Source;
use endplate::facts::{Fact, FactId, Facts, Method, Provenance, Value};
use endplate::figure::fill::{Shown, fill};
use endplate::letter::block::{Block, Figure, Inline};
use endplate::letter::closed_set;
use endplate::letter::compose::compose;
use endplate::letter::drawing::Shape;
use endplate::letter::extra::Extra;
use endplate::letter::language::{self, Language};
use endplate::letter::lint;
use endplate::letter::locale::{self, DateForm, Joined};
use endplate::letter::parity;
use endplate::letter::template::Templates;
use endplate::letter::wording::Style;
use endplate::quantity::{Age, PartialDate, Reported, Unit};
use endplate::render::text::plain;
use endplate::spine::{Level, Side};
use lopdf::{Document, Object};

use crate::flip::{mirrored_text, turned};
use crate::support::demo::{case_text, demo, read_text, shown, sound};

fn style(tag: &str, region: Option<&str>) -> Style {
    Style::of(tag, region, DateStyle::DayMonthYear).expect("a language with a table")
}

fn day(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).unwrap()
}

// --- the locale data ---------------------------------------------------------

#[test]
fn dates_are_those_of_the_published_tables() {
    let september = day(2026, 9, 2);
    let all = |tag: &str, region: Option<&str>| {
        let locale = style(tag, region).locale;
        [DateForm::Day, DateForm::DayShort, DateForm::Month, DateForm::MonthShort]
            .map(|form| locale::date(september, form, &locale))
    };
    let spain = ["2 de septiembre de 2026", "2 sept 2026", "septiembre de 2026", "sept 2026"]
        .map(str::to_owned);
    let america = ["2 de septiembre de 2026", "2 sep 2026", "septiembre de 2026", "sep 2026"]
        .map(str::to_owned);
    assert_eq!(all("es", None), spain);
    assert_eq!(all("es-ES", None), spain);
    // A clinic elsewhere does not change the Spanish of its letters.
    assert_eq!(all("es", Some("GB")), spain);
    for region in ["MX", "US", "AR", "PR", "419"] {
        assert_eq!(all(&format!("es-{region}"), None), america, "{region}");
    }
    assert_eq!(all("es", Some("US")), america);
    let english = ["2 September 2026", "2 Sep 2026", "September 2026", "Sep 2026"];
    assert_eq!(all("en", Some("GB")), english.map(str::to_owned));
}

#[test]
fn a_month_first_clinic_keeps_its_order_in_english_alone() {
    let dated = |tag| {
        let style = Style::of(tag, Some("US"), DateStyle::MonthDayYear).unwrap();
        locale::date(day(2026, 10, 20), DateForm::Day, &style.locale)
    };
    assert_eq!(dated("en"), "October 20, 2026");
    assert_eq!(dated("es"), "20 de octubre de 2026");
}

#[test]
fn decimal_signs_follow_the_place() {
    let said = |tag: &str, region: Option<&str>, value: f64| {
        let number = Reported::round(value, 1, Unit::Degree);
        locale::digits(number, &style(tag, region).locale)
    };
    for (tag, region, expected) in [
        ("es", None, "27,5"),
        ("es", Some("GB"), "27,5"),
        ("es-ES", None, "27,5"),
        ("es-AR", None, "27,5"),
        ("es-CL", None, "27,5"),
        ("es-MX", None, "27.5"),
        ("es-US", None, "27.5"),
        ("es", Some("US"), "27.5"),
        ("es-419", None, "27.5"),
        ("es-MX", Some("ES"), "27.5"),
        ("en", Some("GB"), "27.5"),
    ] {
        assert_eq!(said(tag, region, 27.5), expected, "{tag} {region:?}");
    }
    // The minus of letters is the true one, in every place.
    assert_eq!(said("es", None, -3.5), "\u{2212}3,5");
    assert_eq!(said("es-MX", None, -3.5), "\u{2212}3.5");
}

#[test]
fn four_digits_stand_together() {
    // ISO 80000-1, 7.3.2, parts only longer rows of digits; CLDR has the signs.
    let said =
        |tag: &str, n: i64| locale::digits(Reported::whole(n, Unit::Day), &style(tag, None).locale);
    assert_eq!(said("es", 1234), "1234");
    assert_eq!(said("en", 1234), "1234");
    assert_eq!(said("es", 12345), "12.345");
    assert_eq!(said("es-MX", 12345), "12,345");
    assert_eq!(said("en", 12345), "12,345");
}

/// `y` before the sound of `i` is `e`, `o` before that of `o` is `u` (CLDR,
/// list patterns of `es` with their conditions; Real Academia Española,
/// *Diccionario panhispánico de dudas*, `y` and `o`).
#[test]
fn lists_join_as_they_are_spoken() {
    let list = |items: &[&str], joined| {
        let items: Vec<String> = items.iter().map(|i| i.to_string()).collect();
        locale::list(&items, joined, &style("es", None).locale)
    };
    assert_eq!(list(&["a", "b", "c"], Joined::And), "a, b y c");
    assert_eq!(list(&["derecha", "izquierda"], Joined::And), "derecha e izquierda");
    assert_eq!(list(&["madre", "hija"], Joined::And), "madre e hija");
    assert_eq!(list(&["agua", "hielo"], Joined::And), "agua y hielo");
    assert_eq!(list(&["seis", "siete", "ocho"], Joined::Or), "seis, siete u ocho");
    assert_eq!(list(&["7", "8"], Joined::Or), "7 u 8");
    assert_eq!(list(&["uno"], Joined::And), "uno");
    assert_eq!(list(&[], Joined::And), "");
    let english = |region| {
        let items = ["a", "b", "c"].map(str::to_owned);
        locale::list(&items, Joined::And, &style("en", Some(region)).locale)
    };
    assert_eq!(english("GB"), "a, b and c");
    assert_eq!(english("US"), "a, b, and c");
}

// --- values in templates -------------------------------------------------------

fn fact(id: &str, value: Value) -> Fact {
    Fact {
        id: FactId::new(id),
        label: format!("label of {id}"),
        value,
        uncertainty: None,
        unrounded: None,
        provenance: Provenance {
            records: Vec::new(),
            inputs: Vec::new(),
            method: Method {
                formula: "given".into(),
                source: Source::definition("made up for a test"),
            },
        },
    }
}

fn facts() -> Facts {
    let mut facts = Facts::new(day(2026, 10, 27));
    let number = |v: f64, d, unit| Value::Number(Reported::round(v, d, unit));
    for (id, value) in [
        ("a.one", number(1.0, 0, Unit::Degree)),
        ("a.cobb", number(27.0, 0, Unit::Degree)),
        ("a.mean", number(16.5, 1, Unit::HourPerDay)),
        ("a.unit", number(1.0, 1, Unit::Degree)),
        ("a.hour", number(1.0, 0, Unit::HourPerDay)),
        ("a.month", number(1.0, 0, Unit::Month)),
        ("a.million", number(1_000_000.0, 0, Unit::Degree)),
        ("a.films", number(1.0, 0, Unit::One)),
        ("a.visits", number(3.0, 0, Unit::One)),
        ("a.day", Value::Date(PartialDate::Day(day(2026, 10, 20)))),
        ("a.by", Value::Date(PartialDate::Month(2026, 10))),
        ("a.year", Value::Date(PartialDate::Year(2026))),
        ("a.age", Value::Age(Age { years: 13, months: 1 })),
        ("a.infant", Value::Age(Age { years: 1, months: 2 })),
        ("a.side", Value::Side(Side::Left)),
        ("a.levels", Value::Levels(Level::T(5), Level::T(11))),
        ("a.posture", Value::Word("standing")),
        ("a.strange", Value::Word("of no closed set")),
        ("a.text", Value::Text("as it was typed".into())),
    ] {
        facts.insert(fact(id, value));
    }
    facts
}

const NAME: &str = "letters/es/test.md.j2";

fn load(sources: &[(&str, &str)]) -> (Templates, Report) {
    Templates::load(sources.iter().map(|(n, s)| (n.to_string(), s.to_string())).collect())
}

fn tried(template: &str, style: &Style) -> Result<Vec<Block>, Report> {
    let (templates, report) = load(&[(NAME, template)]);
    if report.has_errors() {
        return Err(report);
    }
    compose(&templates, NAME, &facts(), style, &BTreeMap::new()).map(|done| done.blocks)
}

fn said_in(template: &str, style: &Style) -> String {
    match tried(template, style).unwrap_or_else(|r| panic!("{template}\n{}", lines(&r))).as_slice()
    {
        [Block::Paragraph { text }] => lint::plain(text),
        other => panic!("one paragraph expected, not {other:?}"),
    }
}

fn said(template: &str) -> String {
    said_in(template, &style("es", None))
}

/// `code file:line:column message`, one fault a line.
fn lines(report: &Report) -> String {
    let line = |d: &endplate::diag::Diagnostic| {
        let at = d
            .place
            .as_ref()
            .map_or("nowhere".into(), |p| format!("{}:{}:{}", p.file, p.line, p.column));
        format!("{} {at} {}", d.code.name(), d.message)
    };
    report.sorted().into_iter().map(line).collect::<Vec<_>>().join("\n")
}

/// Worked by hand: plural categories of `es` in `supplemental/plurals.xml`
/// (one: n = 1; many: whole millions; other), forms from a dictionary.
#[test]
fn numbers_take_the_form_of_their_unit() {
    for (template, expected) in [
        ("{{ a.cobb }}", "27°"),
        ("{{ a.cobb | plain }}", "27 grados"),
        ("{{ a.one | plain }}", "1 grado"),
        // One is one, however it is written; English counts 1.0 as several.
        ("{{ a.unit | plain }}", "1,0 grado"),
        ("{{ a.million | plain }}", "1.000.000 de grados"),
        ("{{ a.mean | plain }}", "16,5 horas al día"),
        ("{{ a.mean }}", "16,5 h/día"),
        ("{{ a.month }}", "1 mes"),
        ("{{ a.hour | in_words }}", "una hora al día"),
        ("{{ a.one | in_words }}", "un grado"),
        ("{{ a.films | in_words }}", "uno"),
        (
            "{{ a.films | plural(\"radiografía\", \"radiografías\", gender=\"feminine\") }}",
            "una radiografía",
        ),
        ("{{ a.films | plural(\"día\", \"días\") }}", "un día"),
        ("{{ a.visits | plural(\"visita\", \"visitas\", gender=\"feminine\") }}", "tres visitas"),
        ("{{ a.age }}", "13 años y 1 mes"),
        ("{{ a.infant }}", "14 meses"),
        ("{{ a.levels | plain }}", "T5 a T11"),
    ] {
        assert_eq!(said(template), expected, "{template}");
    }
    let english = style("en", Some("GB"));
    assert_eq!(said_in("{{ a.unit | plain }}", &english), "1.0 degrees");
    assert_eq!(said_in("{{ a.mean | plain }}", &style("es-US", None)), "16.5 horas al día");
}

#[test]
fn days_have_an_article_where_they_need_one() {
    for (template, expected) in [
        ("{{ a.day }}", "20 de octubre de 2026"),
        ("{{ a.day | when }}", "el 20 de octubre de 2026"),
        ("{{ a.day | when | cap }}", "El 20 de octubre de 2026"),
        ("{{ a.by | when }}", "en octubre de 2026"),
        ("{{ a.year | when }}", "en 2026"),
        ("hasta {{ a.day | the_date }}", "hasta el 20 de octubre de 2026"),
        ("hasta {{ a.by | the_date }}", "hasta octubre de 2026"),
        ("{{ a.day | month }}", "octubre de 2026"),
        ("{{ a.day | short }}", "oct 2026"),
    ] {
        assert_eq!(said(template), expected, "{template}");
    }
    assert_eq!(
        said_in("until {{ a.day | the_date }}", &style("en", None)),
        "until 20 October 2026"
    );
}

#[test]
fn a_side_agrees_with_its_noun() {
    assert_eq!(said("hacia la {{ a.side }}"), "hacia la izquierda");
    assert_eq!(said("el lado {{ a.side | side(gender=\"masculine\") }}"), "el lado izquierdo");
    assert_eq!(said("la curva {{ a.side | side(gender=\"feminine\") }}"), "la curva izquierda");
    let wrong = tried("{{ a.side | side(gender=\"neuter\") }}", &style("es", None)).unwrap_err();
    assert!(lines(&wrong).contains("a gender is feminine or masculine, not `neuter`"));
}

#[test]
fn a_list_of_values_is_joined_by_what_is_read_not_by_its_mark() {
    let template = "{% set parts %}\nderecha\n{{ a.side }}\n{% endset %}{{ parts | and_list }}";
    assert_eq!(said(template), "derecha e izquierda");
}

// --- words that a language must have --------------------------------------------

#[test]
fn a_word_of_a_closed_set_is_said_or_refused() {
    assert_eq!(said("{{ a.posture }}"), "de pie");
    let refused = tried("{{ a.strange }}", &style("es", None)).unwrap_err();
    assert!(lines(&refused).contains("has no phrase in `es`"), "{}", lines(&refused));
    // What the letter knows beside facts is held to the same.
    let (templates, _) = load(&[(NAME, "{{ about }}")]);
    let extras = BTreeMap::from([("about".to_string(), Extra::Word("of no closed set".into()))]);
    let done = compose(&templates, NAME, &facts(), &style("es", None), &extras);
    assert!(lines(&done.unwrap_err()).starts_with("phrase-missing"));
}

#[test]
fn a_template_that_may_print_a_word_without_phrase_is_a_fault() {
    let template = "Cartílago {{ maturity.triradiate.value }}.\n\n{{ c.in_brace.support }}\n";
    let (_, report) = load(&[(NAME, template)]);
    assert_eq!(
        lines(&report),
        "phrase-missing templates/letters/es/test.md.j2:1:14 `maturity.triradiate.value` may print \
         `open`, `closing`, `closed`, which has no phrase in `es`"
    );
    let (_, report) = load(&[(NAME, "Falta: {{ a.cobb.why }}.")]);
    assert_eq!(
        lines(&report),
        "phrase-missing templates/letters/es/test.md.j2:1:11 prints `.why`, whose words are not in `es`"
    );
    // In the language of the closed sets both are words.
    let english = ("letters/en/test.md.j2", template);
    assert!(load(&[english]).1.is_empty());
}

/// As `templates/rules/readers/progress-family.yaml` has it.
const CLOSED_TO_FAMILIES: &[&str] = &["criteria.", "protocol.", "items.", "item_codes."];

/// Every word that the facts of a demo case have, and that a lay letter prints,
/// is in the table that the check of templates goes by.
#[test]
fn the_table_of_closed_sets_holds_against_every_demo_case() {
    let (mut seen, mut wrong) = (0, BTreeSet::new());
    for (case, entry) in demo().letters() {
        let derived = demo().press.derive(case, &demo().clinic, entry.as_of.value, Some(entry));
        for fact in derived.facts.iter() {
            let Value::Word(word) = fact.value else { continue };
            if CLOSED_TO_FAMILIES.iter().any(|root| fact.id.as_str().starts_with(root)) {
                continue;
            }
            let path: Vec<&str> = fact.id.as_str().split('.').collect();
            let known: Vec<&str> = closed_set::words_of(&path).collect();
            if !known.is_empty() {
                seen += 1;
            }
            if !known.is_empty() && !known.contains(&word) {
                wrong.insert(format!("{}: `{word}` is in no set", fact.id));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(seen > 1000, "only {seen} words were looked at");
}

/// Every unit that letters print.
const UNITS: &[Unit] = &[
    Unit::Degree,
    Unit::DegreePerYear,
    Unit::Millimetre,
    Unit::Centimetre,
    Unit::CentimetrePerYear,
    Unit::Kilogram,
    Unit::Hour,
    Unit::HourPerDay,
    Unit::MinutePerDay,
    Unit::Minute,
    Unit::Percent,
    Unit::Millisievert,
    Unit::Celsius,
    Unit::MillimetrePerPixel,
    Unit::Year,
    Unit::Month,
    Unit::Week,
    Unit::Day,
    Unit::OutOfTen,
];

#[test]
fn every_language_has_every_table() {
    for language in language::ALL {
        let named = |kind| language.kinds.iter().any(|(k, title)| *k == kind && !title.is_empty());
        for kind in endplate::case::LetterKind::ALL {
            assert!(named(*kind), "{}: {}", language.tag, kind.word());
        }
        for unit in UNITS {
            let words = language.unit(*unit);
            let said = !words.short.is_empty() && !words.plain.other.is_empty();
            assert!(said, "{}: {unit:?}", language.tag);
        }
        for view in endplate::case::View::ALL {
            assert!(language.films.views.iter().any(|(v, _)| v == view), "{}", language.tag);
        }
    }
}

// --- what one language says and another does not --------------------------------

fn pair(sources: &[(&str, &str)]) -> String {
    let (templates, report) = load(sources);
    assert!(report.is_empty(), "{}", lines(&report));
    let mut faults = Report::default();
    parity::faults(&templates, &["en", "es"]).into_iter().for_each(|f| faults.push(f));
    lines(&faults)
}

#[test]
fn a_letter_without_counterpart_is_a_fault() {
    let english = ("letters/en/progress-family.md.j2", "Dear family,");
    assert_eq!(
        pair(&[english]),
        "phrase-missing templates/letters/en/progress-family.md.j2:1:1 there is no \
         `templates/letters/es/progress-family.md.j2`, so nobody who reads `es` is told this"
    );
    assert_eq!(pair(&[english, ("letters/es/progress-family.md.j2", "Estimada familia:")]), "");
    // Doctors are written to in the clinic's language alone.
    assert_eq!(pair(&[("letters/en/progress.md.j2", "Dear doctor,")]), "");
}

#[test]
fn a_macro_that_a_letter_calls_has_a_counterpart_with_the_same_arguments() {
    const EN: (&str, &str) = (
        "letters/en/school.md.j2",
        "{% import \"phrases/en-note.md.j2\" as say %}\n{{ say.news(a) }}\n",
    );
    const ES: (&str, &str) = (
        "letters/es/school.md.j2",
        "{% import \"phrases/es-note.md.j2\" as say %}\n{{ say.news(a) }}\n",
    );
    let phrases =
        "{% macro own() %}x{% endmacro %}\n{% macro news(c) %}{{ own() }}{% endmacro %}\n";
    let english = ("phrases/en-note.md.j2", phrases);
    assert_eq!(
        pair(&[
            EN,
            ES,
            english,
            ("phrases/es-note.md.j2", "{% macro noticia(c) %}x{% endmacro %}")
        ]),
        "phrase-missing templates/phrases/en-note.md.j2:2:4 the macro `news` is missing in \
         `templates/phrases/es-note.md.j2`"
    );
    assert_eq!(
        pair(&[
            EN,
            ES,
            english,
            ("phrases/es-note.md.j2", "{% macro news(c, d) %}x{% endmacro %}")
        ]),
        "phrase-missing templates/phrases/es-note.md.j2:1:4 the macro is `news(c, d)`, and elsewhere \
         `news(c)`"
    );
    // What only its own file calls is a language's own affair.
    assert_eq!(
        pair(&[EN, ES, english, ("phrases/es-note.md.j2", "{% macro news(c) %}x{% endmacro %}")]),
        ""
    );
    let missing = pair(&[EN, ES, english]);
    assert!(missing.contains("there is no `templates/phrases/es-note.md.j2`"), "{missing}");
}

#[test]
fn the_demo_clinic_says_the_same_in_both_languages() {
    let mut tags: Vec<&str> = vec![&demo().clinic.language];
    tags.extend(demo().clinic.languages.iter().map(|l| l.value.as_str()));
    assert_eq!(tags, ["en", "en", "es"]);
    // Its templates are loaded without a fault, which `demo` demands.
    let _ = &demo().press;
}

// --- letters ----------------------------------------------------------------------

/// The demo case with every family, patient, school and club reading Spanish.
fn in_spanish(id: &str) -> String {
    let mut out = String::new();
    for line in case_text(id).lines() {
        let roles = ["family", "patient", "school", "other"];
        let flow = roles.iter().find(|role| line.contains(&format!("role: {role}, ")));
        match flow.filter(|_| !line.contains("language: ")) {
            Some(role) => {
                let role = format!("role: {role}, ");
                out += &line.replace(&role, &format!("{role}language: es, "));
            }
            None => out += line,
        }
        out.push('\n');
        let lay = ["family", "patient", "school", "other"].map(|r| format!("    role: {r}"));
        if lay.iter().any(|role| line == role) && !case_text(id).contains("language: es") {
            out += "    language: es\n";
        }
    }
    out
}

fn lay(case: &Case, entry: &LetterEntry) -> bool {
    let reader = case.contacts.iter().find(|c| c.id.value == entry.to.value).expect("a reader");
    matches!(*reader.role, Role::Family | Role::Patient | Role::School | Role::Other)
}

/// Words of the template alone, values left out.
fn template_words(blocks: &[Block]) -> String {
    fn of(words: &[Inline], out: &mut String) {
        for inline in words {
            match inline {
                Inline::Text { text } => out.push_str(text),
                Inline::Strong { children } | Inline::Emph { children } => of(children, out),
                Inline::Value { .. } => out.push('*'),
                Inline::Break => out.push(' '),
            }
        }
        out.push('\n');
    }
    let mut out = String::new();
    for block in blocks {
        match block {
            Block::Heading { text, .. } | Block::Paragraph { text } => of(text, &mut out),
            Block::List { items, .. } => items.iter().for_each(|i| of(i, &mut out)),
            _ => {}
        }
    }
    out
}

#[test]
fn every_lay_letter_of_the_demo_can_be_written_in_spanish() {
    let mut written = 0;
    for case in &demo().cases {
        let case = sound(&in_spanish(&case.id.value), &case.id.value);
        for entry in case.letters.iter().filter(|e| lay(&case, e)) {
            let name = format!("{}/{}", *case.id, *entry.id);
            let letter = demo().written(&case, entry);
            assert_eq!(letter.letter.frame.language, "es", "{name}");
            assert_eq!(lint::faults(&letter.letter.blocks), Vec::<String>::new(), "{name}");
            let words = template_words(&letter.letter.blocks);
            for english in [" the ", " and ", " of ", " is ", " was ", "brace", "degrees", "X-ray"]
            {
                assert!(!words.contains(english), "{name}: `{english}` in\n{words}");
            }
            let typed = foreign(&letter.letter.blocks);
            let warned = letter.derived.report.iter();
            let warned = warned.filter(|d| d.code == Code::WordsNotTranslated).count();
            assert!(warned <= typed && (warned > 0) == (typed > 0), "{name}: {warned} of {typed}");
            written += 1;
        }
    }
    assert!(written >= 20, "only {written} letters were written");
}

/// Remarks that say they are English.
fn foreign(blocks: &[Block]) -> usize {
    let english = |b: &&Block| matches!(b, Block::Remark { language: Some(l), .. } if l == "en");
    blocks.iter().filter(english).count()
}

#[test]
fn sides_turn_in_spanish_letters_too() {
    let mut sides = 0;
    for case in &demo().cases {
        let id = &case.id.value;
        let text = in_spanish(id);
        let (case, image) = (sound(&text, id), sound(&mirrored_text(&text), id));
        for (entry, other) in case.letters.iter().zip(&image.letters).filter(|(e, _)| lay(&case, e))
        {
            let (a, b) = (demo().written(&case, entry), demo().written(&image, other));
            let (a, b) = (body(&a.letter.blocks), body(&b.letter.blocks));
            // A thoracic curve to the left is a red flag, one to the right is none.
            if a.contains("Una comprobación más") != b.contains("Una comprobación más") {
                continue;
            }
            sides += a.matches("izquierd").count() + a.matches("derech").count();
            assert_eq!(turned(&a), b, "{id}/{}", *entry.id);
        }
    }
    assert!(sides >= 16, "only {sides} sides were compared");
}

fn body(blocks: &[Block]) -> String {
    blocks.iter().map(|b| serde_json::to_string(b).unwrap() + "\n").collect()
}

fn text_of(case: &str, id: &str) -> String {
    let case = demo().case(case);
    let entry = case.letters.iter().find(|l| *l.id == id).expect("a demo letter");
    let text = plain(&demo().written(case, entry).letter);
    // Remarks stand behind a line.
    text.split_whitespace().filter(|w| *w != "|").collect::<Vec<_>>().join(" ")
}

/// Every sentence put together by hand from the case file fw-0190.
#[test]
fn the_family_of_the_demo_is_told_the_same_truth() {
    let text = text_of("fw-0190", "l2");
    for sentence in [
        "Nerea Oliveros Candel, nacimiento: 18 de mayo de 2013 (13 años y 4 meses)",
        "Las curvas de Nerea no han cambiado desde febrero de 2026. Les pedimos que Nerea siga \
         llevando el corsé 18 horas al día.",
        "Estimada familia, querida Nerea:",
        "Hicimos la radiografía el 5 de octubre de 2026, después de 24 horas sin el corsé",
        "La curva superior se desvía hacia la derecha y mide 28 grados. El 23 de febrero de 2026 \
         medía 30. Una diferencia de 2 grados puede deberse solo a la medición; por eso decimos que \
         está “sin cambio” y no “mejor”.",
        "La curva inferior se desvía hacia la izquierda y mide 18 grados. El 23 de febrero de 2026 \
         medía 19, lo que tampoco es un cambio.",
        "la curva superior pasó de 23 a 30 grados en 5 meses. No podemos saber qué habría ocurrido",
        "su sensor ha registrado 16,5 horas al día; entonces estaban previstas 18.",
        "El cambio de colegio no cambia el plan.",
        "Volveremos a ver a Nerea en enero de 2027. La próxima radiografía está prevista en abril \
         de 2027.",
        "Si la correa vuelve a rozar en la cadera izquierda, mándanos una foto.",
        "Acudan a urgencias de inmediato, sin el corsé,",
        "borrador, sin emitir",
        "especialista en medicina de la columna",
        "Clínica y paciente inventados.",
    ] {
        assert!(text.contains(sentence), "`{sentence}` is not in\n{text}");
    }
    assert!(!text.contains("en otro idioma"), "nothing is left in English: {text}");
}

#[test]
fn the_school_of_the_demo_is_told_what_was_agreed() {
    let text = text_of("fw-0190", "l3");
    for sentence in [
        "Nerea lleva un corsé y se lo quita para hacer deporte.",
        "Estimada señora directora:",
        "Lo lleva 18 horas al día. Lo lleva en clase.",
        "No hay nada que tenga que evitar.",
        "procuren que tenga un lugar para cambiarse, permiso para levantarse y moverse y un segundo \
         juego de libros.",
        "Esto se acordó con la familia el 6 de octubre de 2026 y vale hasta junio de 2027.",
    ] {
        assert!(text.contains(sentence), "`{sentence}` is not in\n{text}");
    }
}

/// The patient of fw-0190 gets a letter of her own: a child is told «tú», and
/// as an adult «usted»; nobody else is.
#[test]
fn a_young_patient_is_told_tu_and_an_adult_usted() {
    let to_patient = |text: &str| text.replace("to: home", "to: nerea");
    let written = |text: &str| {
        let case = sound(text, "fw-0190");
        let letter = demo().written(&case, &case.letters[1]).letter;
        plain(&letter).split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let young = written(&to_patient(&case_text("fw-0190")));
    for said in [
        "Tus curvas no han cambiado",
        "Te pedimos que sigas llevando el corsé 18 horas al día.",
        "Hola, Nerea:",
        "Quítate el corsé",
        "Acude a urgencias",
    ] {
        assert!(young.contains(said), "`{said}` is not in\n{young}");
    }
    let grown = case_text("fw-0190").replace("born: 2013-05-18", "born: 1991-05-18");
    let grown = grown.replace("menarche: {not_yet: 2026-10-05}", "menarche: {on: 2004}");
    let adult = written(&to_patient(&grown));
    for said in [
        "Sus curvas no han cambiado",
        "Le pedimos que siga llevando el corsé",
        "Estimada Nerea Oliveros Candel:",
        "Quítese el corsé",
        "Acuda a urgencias",
    ] {
        assert!(adult.contains(said), "`{said}` is not in\n{adult}");
    }
}

#[test]
fn words_of_the_reader_go_first_and_others_are_marked() {
    let case = demo().case("fw-0190");
    let told = |entry: &LetterEntry| {
        let derived = demo().press.derive(case, &demo().clinic, entry.as_of.value, Some(entry));
        let text = |id: &str| match derived.facts.get(id).map(|f| f.value.clone()) {
            Some(Value::Text(text)) => Some(text),
            _ => None,
        };
        (text("plan.told").unwrap(), text("plan.told.language"))
    };
    assert!(told(&case.letters[0]).0.starts_with("A change of school"));
    assert_eq!(told(&case.letters[0]).1, None);
    assert!(told(&case.letters[1]).0.starts_with("El cambio de colegio"));
    assert_eq!(told(&case.letters[1]).1.as_deref(), Some("es"));

    // Without the Spanish words, the English ones are set apart and marked.
    let text = case_text("fw-0190");
    let cut = text.find("    told_in:").unwrap()..text.find("    next: {film: 2027-04").unwrap();
    let without = format!("{}{}", &text[..cut.start], &text[cut.end..]);
    let case = sound(&without, "fw-0190");
    let written = demo().written(&case, &case.letters[1]);
    let remark = written.letter.blocks.iter().find_map(|b| match b {
        Block::Remark { paragraphs, language, .. } => {
            Some((paragraphs[0].clone(), language.clone()))
        }
        _ => None,
    });
    let (words, language) = remark.expect("a remark");
    assert!(words.starts_with("A change of school"), "{words}");
    assert_eq!(language.as_deref(), Some("en"));
    let warning = written.derived.report.iter().find(|d| d.code == Code::WordsNotTranslated);
    let warning = warning.expect("a warning");
    assert_eq!(
        warning.message,
        "letter `l2` is in `es` and carries what the family was told in `en`"
    );
    assert_eq!(warning.remedy.as_deref(), Some("write it beside: told_in: {es: …}"));
    let place = warning.place.as_ref().expect("a place");
    assert!(without.lines().nth(place.line as usize - 1).unwrap().contains("told: A change"));
    assert!(plain(&written.letter).contains("Las palabras en otro idioma"));
}

/// A list that is shorter in the other language would tell less.
#[test]
fn a_shorter_list_does_not_stand_for_the_whole_one() {
    let text = case_text("fw-0190")
        .replace("limits: []", "limits: [trampoline, rugby]\n    limits_in: {es: [cama elástica]}");
    let case = sound(&text, "fw-0190");
    let written = demo().written(&case, &case.letters[2]);
    assert_eq!(foreign(&written.letter.blocks), 2);
    let whole = text.replace("[cama elástica]", "[cama elástica, rugby]");
    let case = sound(&whole, "fw-0190");
    let written = demo().written(&case, &case.letters[2]);
    assert_eq!(foreign(&written.letter.blocks), 0);
    let said = plain(&written.letter).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("Por favor, que evite: cama elástica y rugby."), "{said}");
}

#[test]
fn a_letter_that_has_no_template_in_a_language_says_which_kinds_have() {
    let text = case_text("fw-0190")
        .replace("    greeting: Dr Tallis\n", "    greeting: Dr Tallis\n    language: es\n");
    let case = sound(&text, "fw-0190");
    let refused = |entry: &LetterEntry| {
        demo().press.write(&case, entry, &demo().clinic).expect_err("nothing writes it")
    };
    let report = refused(&case.letters[0]);
    let fault = report.iter().next().expect("a fault");
    assert_eq!(fault.code, Code::LetterKindUnwritten);
    assert_eq!(
        fault.message,
        "there is no template for a letter of kind `progress` to a referring doctor in `es`"
    );
    let remedy = fault.remedy.as_deref().expect("a remedy");
    assert!(
        remedy.starts_with("to a referring doctor in `es` there are: school, gap;"),
        "{remedy}"
    );
    assert_eq!(fault.place.as_ref().map(|p| p.column), Some(11));

    let text = text.replace("language: es", "language: fr");
    let case = sound(&text, "fw-0190");
    let report = demo().press.write(&case, &case.letters[0], &demo().clinic).expect_err("no table");
    let message = "there are no letters in the language `fr`, only in en and es";
    assert_eq!(report.iter().next().map(|d| d.message.as_str()), Some(message));
}

#[test]
fn pages_say_which_language_they_speak() {
    let text = case_text("fw-0190").replace("    remarks_in:", "    # remarks_in:");
    let text = text.replace("      es: Nerea, lo llevas", "      # es: Nerea, lo llevas");
    let case = sound(&text, "fw-0190");
    let pdf = demo().pdf(&case, &case.letters[1]);
    let document = Document::load_mem(&pdf).expect("a document");
    let lang = document.catalog().and_then(|c| c.get(b"Lang")).and_then(Object::as_str);
    assert_eq!(lang.unwrap(), b"es");
    // The remark is English, and says so where it begins.
    let of_part = |object: &Object| {
        let lang = object.as_dict().ok()?.get(b"Lang").ok()?.as_str().ok()?;
        Some(lang.to_vec())
    };
    let parts: Vec<Vec<u8>> = document.objects.values().filter_map(of_part).collect();
    assert!(parts.iter().any(|l| l.starts_with(b"en")), "{parts:?}");
}

// --- figures ------------------------------------------------------------------------

/// The first figure of that name that some demo letter can show.
fn drawn(style: &Style, wanted: &str) -> Figure {
    let of = |(case, entry): (&Case, &LetterEntry)| {
        let derived = demo().press.derive(case, &demo().clinic, entry.as_of.value, Some(entry));
        let mut blocks = vec![Block::Slot { wanted: vec![wanted.to_string()] }];
        let limits = &demo().clinic.limits;
        let shown = Shown { known: &derived.known, facts: &derived.facts, style, limits };
        fill(&mut blocks, &shown);
        match blocks.into_iter().next() {
            Some(Block::Figures { mut figures }) => Some(figures.remove(0)),
            _ => None,
        }
    };
    let found = demo().letters().into_iter().find_map(of);
    found.unwrap_or_else(|| panic!("no demo letter shows `{wanted}`"))
}

const FIGURES: &[&str] =
    &["course", "spine", "sagittal", "wear", "wear plain", "growth", "correction", "films"];

#[test]
fn figures_speak_the_language_of_the_letter() {
    let spanish = style("es", Some("GB"));
    for wanted in FIGURES {
        let figure = drawn(&spanish, wanted);
        let said = format!("{} {} {}", figure.alt, figure.caption, labels(&figure).join(" "));
        for english in [
            " the ", " of ", "brace", "degrees", " on ", "Left", "Right", " hours", " film",
            "not ", "standing", "front",
        ] {
            assert!(!said.contains(english), "{wanted}: `{english}` in {said}");
        }
    }
    let of = |tag| drawn(&style(tag, Some("GB")), "course").alt;
    let (spanish, english) = (of("es"), of("en"));
    assert!(spanish.starts_with("Ángulo de Cobb a lo largo del tiempo, hasta el "), "{spanish}");
    assert!(spanish.contains("derecha, sin corsé ni yeso, unidas por una línea: "), "{spanish}");
    assert!(english.starts_with("Cobb angle over time until "), "{english}");
    assert!(english.contains(", out of any support, joined by a line: "), "{english}");
}

fn labels(figure: &Figure) -> Vec<String> {
    let texts = figure.drawing.shapes.iter().filter_map(|shape| match shape {
        Shape::Text { text, .. } => Some(text.clone()),
        _ => None,
    });
    texts.collect()
}

/// Languages are found by their tag, whatever the region.
#[test]
fn a_tag_finds_its_language() {
    let tag = |tag: &str| Language::of(tag, None).map(|l| l.tag);
    assert_eq!(
        [tag("en"), tag("en-US"), tag("es"), tag("es-419")],
        [Some("en"), Some("en"), Some("es"), Some("es")]
    );
    assert_eq!(tag("fr"), None);
    let region = |tag: &str, clinic| style(tag, clinic).region;
    assert_eq!(region("es", Some("GB")), None);
    assert_eq!(region("es", Some("US")).as_deref(), Some("US"));
    assert_eq!(region("es-MX", Some("GB")).as_deref(), Some("MX"));
    assert_eq!(region("en", Some("GB")).as_deref(), Some("GB"));
    // A case with a contact in Spanish is checked like any other.
    let (case, report) = read_text(&case_text("fw-0190"), "fw-0190");
    assert!(case.is_some() && !report.has_errors(), "{}", shown(&report));
}
