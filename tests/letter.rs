//! From facts and templates to blocks: what is printed, and what is refused.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use endplate::case::DateStyle;
use endplate::diag::Report;
use endplate::evidence::Source;
use endplate::facts::{
    Fact, FactId, Facts, Method, Missing, Provenance, Uncertainty, Value as FactValue,
};
use endplate::letter::block::{Block, Inline};
use endplate::letter::compose::{Composed, compose};
use endplate::letter::extra::Extra;
use endplate::letter::language::ENGLISH;
use endplate::letter::lint;
use endplate::letter::template::Templates;
use endplate::letter::wording::Style;
use endplate::quantity::{Age, PartialDate, Reported, Unit};
use endplate::spine::{Apex, Level, Side};

const NAME: &str = "letters/en/test.md.j2";

fn day(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).unwrap()
}

fn fact(id: &str, value: FactValue) -> Fact {
    let source = Source::definition("made up for a test");
    Fact {
        id: FactId::new(id),
        label: format!("label of {id}"),
        value,
        uncertainty: None,
        unrounded: None,
        provenance: Provenance {
            records: Vec::new(),
            inputs: Vec::new(),
            method: Method { formula: "given".into(), source },
        },
    }
}

fn degrees(n: i64) -> FactValue {
    FactValue::Number(Reported::whole(n, Unit::Degree))
}

fn missing(item: &str, who: &str) -> FactValue {
    FactValue::Missing(Missing::NotRecorded { item: item.into(), who: who.into() })
}

/// Facts of an invented patient, each kind of value among them.
fn facts() -> Facts {
    let mut facts = Facts::new(day(2026, 10, 27));
    let mut add = |id: &str, value: FactValue| {
        facts.insert(fact(id, value));
    };
    add("curves.thoracic.now.cobb", degrees(27));
    add("curves.thoracic.now.ends", FactValue::Levels(Level::T(5), Level::T(11)));
    add("curves.thoracic.now.apex", FactValue::Apex(Apex::Vertebra(Level::T(8))));
    add("curves.thoracic.side", FactValue::Side(Side::Right));
    add("curves.thoracic.change", degrees(7));
    add("curves.thoracic.verdict", FactValue::Word("worse"));
    add("curves.lumbar.now.cobb", degrees(18));
    let disc = Apex::Disc(Level::T(11), Level::T(12));
    add("curves.lumbar.now.apex", FactValue::Apex(disc));
    add("curves.lumbar.side", FactValue::Side(Side::Left));
    add("curves.lumbar.change", degrees(-4));
    add("curves.lumbar.verdict", FactValue::Word("unchanged"));
    add("film.taken", FactValue::Date(PartialDate::Day(day(2026, 10, 20))));
    add("film.found", FactValue::Date(PartialDate::Month(2024, 5)));
    add("patient.age", FactValue::Age(Age { years: 13, months: 7 }));
    add("patient.infant", FactValue::Age(Age { years: 1, months: 2 }));
    let cm = |tenths| Reported::round(tenths, 1, Unit::Centimetre);
    add("patient.height", FactValue::Number(cm(158.6)));
    add("brace.hours", FactValue::Number(Reported::whole(18, Unit::HourPerDay)));
    add("brace.correction", FactValue::Number(Reported::whole(55, Unit::Percent)));
    add("readers", FactValue::Number(Reported::whole(2, Unit::One)));
    add("maturity.risser", missing("Risser grade", "the reader of the film"));
    add("maturity.menarche", missing("first period", "the family"));
    add("remarks", FactValue::Text("Worn well.\nNo sores.".into()));
    facts.insert(Fact {
        uncertainty: Some(Uncertainty {
            half_width: Reported::whole(5, Unit::Degree),
            meaning: Source::definition("95 % limit"),
        }),
        ..fact("sure.cobb", degrees(31))
    });
    facts
}

fn style() -> Style {
    Style::new(&ENGLISH, DateStyle::DayMonthYear)
}

fn load(sources: &[(&str, &str)]) -> (Templates, Report) {
    let owned = sources.iter().map(|(n, s)| (n.to_string(), s.to_string()));
    Templates::load(owned.collect())
}

fn compose_with(
    template: &str,
    facts: &Facts,
    extras: &BTreeMap<String, Extra>,
) -> Result<Composed, Report> {
    let (templates, report) = load(&[(NAME, template)]);
    if report.has_errors() {
        return Err(report);
    }
    compose(&templates, NAME, facts, &style(), extras)
}

fn composed(template: &str) -> Composed {
    compose_with(template, &facts(), &BTreeMap::new())
        .unwrap_or_else(|report| panic!("{template}\n{}", lines(&report)))
}

/// The only paragraph's text.
fn said(template: &str) -> String {
    let blocks = composed(template).blocks;
    match &blocks[..] {
        [Block::Paragraph { text }] => lint::plain(text),
        other => panic!("one paragraph expected, not {other:?}"),
    }
}

/// `code line:column message`, one fault a line.
fn lines(report: &Report) -> String {
    let line = |d: &endplate::diag::Diagnostic| {
        let at = d.place.as_ref().map_or("nowhere".into(), |p| format!("{}:{}", p.line, p.column));
        format!("{} {at} {}", d.code.name(), d.message)
    };
    report.sorted().into_iter().map(line).collect::<Vec<_>>().join("\n")
}

fn refused(template: &str) -> String {
    match compose_with(template, &facts(), &BTreeMap::new()) {
        Ok(done) => panic!("{template} was composed: {:?}", done.blocks),
        Err(report) => lines(&report),
    }
}

#[test]
fn values_print_in_the_letter_s_style() {
    // Wordings fixed by the clinic's house style, written by hand.
    let cases = [
        ("{{ curves.thoracic.now.cobb }}", "27°"),
        ("{{ curves.thoracic.now.cobb | plain }}", "27 degrees"),
        ("{{ curves.thoracic.now.cobb | bare }}", "27"),
        ("{{ curves.thoracic.now.ends }}", "T5–T11"),
        ("{{ curves.thoracic.now.ends | plain }}", "T5 to T11"),
        ("{{ curves.thoracic.now.apex }}", "T8"),
        ("{{ curves.lumbar.now.apex }}", "the disc T11–T12"),
        ("{{ curves.lumbar.now.apex | bare }}", "T11–T12"),
        ("{{ curves.thoracic.side }}", "right"),
        ("{{ curves.lumbar.side | side }}", "left"),
        ("{{ curves.thoracic.side | cap }}", "Right"),
        ("{{ curves.thoracic.change | signed }}", "+7°"),
        ("{{ curves.lumbar.change | signed }}", "−4°"),
        ("{{ curves.lumbar.change }}", "−4°"),
        ("{{ curves.lumbar.change | size | plain }}", "4 degrees"),
        ("{{ curves.thoracic.verdict }}", "worse"),
        ("{{ film.taken }}", "20 October 2026"),
        ("{{ film.taken | date_short }}", "20 Oct 2026"),
        ("{{ film.taken | short }}", "Oct 2026"),
        ("{{ film.taken | month }}", "October 2026"),
        ("{{ film.taken | year }}", "2026"),
        ("{{ film.found }}", "May 2024"),
        ("{{ patient.age }}", "13 years 7 months"),
        ("{{ patient.age | age_short }}", "13 y 7 mo"),
        ("{{ patient.age | years }}", "13 years"),
        ("{{ patient.infant }}", "14 months"),
        ("{{ patient.height }}", "158.6 cm"),
        ("{{ brace.hours }}", "18 h/day"),
        ("{{ brace.hours | plain }}", "18 hours a day"),
        ("{{ brace.correction }}", "55 %"),
        ("{{ readers | in_words }} readers", "two readers"),
        ("{{ readers | in_words | cap }} readers", "Two readers"),
        ("{{ curves | count | in_words }} curves", "two curves"),
        ("{{ sure.cobb }} ± {{ sure.cobb.uncertainty }}", "31° ± 5°"),
        ("{{ maturity.risser | or_say('not recorded') }}", "not recorded"),
        ("{{ 'a' if curves.lumbar.verdict.word in ['worse', 'better'] else 'b' }}", "b"),
        ("{{ 'a' if curves.lumbar.verdict.word not in ['worse', 'better'] else 'b' }}", "a"),
        ("{{ 'a' if curves | count > 1 else 'b' }}", "a"),
        ("{{ 'a' if has('curves.fourth.now') else 'b' }}", "b"),
        ("{{ 'a' if maturity.risser.missing == 'not recorded' else 'b' }}", "a"),
        ("{{ 'a' if maturity.risser.word == 'x' else 'b' }}", "b"),
        ("{{ readers | plural('reader', 'readers') }}", "two readers"),
        ("{{ readers | cap | plural('reader', 'readers') }}", "Two readers"),
        ("{{ curves | count | plural('curve', 'curves') }}", "two curves"),
        ("{{ [curves.thoracic.side, 'x', curves.lumbar.side] | or_list }}", "right, x or left"),
        ("{{ (curves | last).now.cobb }}", "18°"),
        ("{{ maturity.risser.reason }}", "Risser grade: not recorded (ask the reader of the film)"),
        ("{{ remarks }}", "Worn well. No sores."),
        ("{{ remarks }}.", "Worn well. No sores."),
        ("level {{ term('C7') }}", "level C7"),
        ("{{ 'rose' if curves.thoracic.change.sign == 'above' else 'fell' }}", "rose"),
    ];
    for (template, expected) in cases {
        assert_eq!(said(template), expected, "{template}");
    }
}

#[test]
fn every_value_keeps_its_fact() {
    let done = composed("It is **{{ curves.thoracic.now.cobb }}** {{ curves.thoracic.side }}.");
    let value = |fact: &str, text: &str| Inline::Value {
        fact: Some(fact.into()),
        text: text.into(),
        keep: true,
    };
    let text = |t: &str| Inline::Text { text: t.into() };
    let bold = Inline::Strong { children: vec![value("curves.thoracic.now.cobb", "27°")] };
    let side = value("curves.thoracic.side", "right");
    let expected = vec![text("It is "), bold, text(" "), side, text(".")];
    assert_eq!(done.blocks, [Block::Paragraph { text: expected }]);
    let ids: Vec<&str> = done.printed.iter().map(FactId::as_str).collect();
    assert_eq!(ids, ["curves.thoracic.now.cobb", "curves.thoracic.side"]);
}

#[test]
fn reads_are_recorded_at_access() {
    let done = composed(
        "{% if maturity.risser.known %}a{% endif %}{% if curves.third is defined %}b{% endif %}
         {% for c in curves %}{{ c.side }} {% endfor %}",
    );
    let read: Vec<&str> = done.read.iter().map(FactId::as_str).collect();
    assert_eq!(read, ["curves.lumbar.side", "curves.thoracic.side", "maturity.risser"]);
    assert!(done.absent.contains("curves.third"));
}

/// One template a line, with everything said about it.
#[test]
fn templates_cannot_do_what_they_must_not() {
    let cases = [
        ("{{ curves.thoracic.now.cobb + 2 }}", "template-fault 1:4 a template cannot compute: `+`"),
        ("{{ -readers }}", "template-fault 1:4 a template cannot compute: `-`"),
        ("{{ readers * readers }}", "template-fault 1:4 a template cannot compute: `*`"),
        ("{{ remarks ~ 'x' }}", "template-fault 1:4 a template cannot join values: `~`"),
        ("{{ remarks[1:3] }}", "template-fault 1:4 nothing can be cut into pieces"),
        ("{{ remarks[0] }}", "template-fault 1:4 `remarks` cannot be cut into pieces"),
        ("{{ remarks | upper }}", "template-fault 1:14 the filter `upper` does not exist"),
        ("{{ remarks | length }}", "template-fault 1:14 the filter `length` does not exist"),
        ("{{ remarks | default('x') }}", "template-fault 1:14 the filter `default` does not exist"),
        ("{{ readers | int }}", "template-fault 1:14 the filter `int` does not exist"),
        ("{{ remarks.upper() }}", "template-fault 1:11 plain object has no method named upper"),
        ("{{ range(3) }}", "template-fault 1:4 range is unknown"),
        ("{{ remarks is string }}", "template-fault 1:15 the test `string` does not exist"),
        (
            "{% autoescape true %}{% endautoescape %}",
            "template-fault 1:4 the tag `autoescape` does not exist",
        ),
        (
            "{% if curves.thoracic.verdict == 'worse' %}a{% endif %}",
            "template-fault 1:13 compares something that may be a whole fact",
        ),
        (
            "{% if readers > 1 %}a{% endif %}",
            "template-fault 1:7 compares something that may be a whole fact",
        ),
        (
            "{% set v = curves.thoracic.verdict %}{% if v is eq('worse') %}a{% endif %}",
            "template-fault 1:49 the fact `curves.thoracic.verdict` cannot be compared as a whole",
        ),
        ("{% if 'w' in remarks %}a{% endif %}", "template-fault 1:14 `in` takes a list of words"),
        (
            "{{ curves.thoracic.verdict.word }}",
            "template-fault 1:19 prints `.word`, which is there to be compared",
        ),
        ("{{ readers.word }}x", "template-fault 1:4 prints `.word`, which is there to be compared"),
        (
            "{% if readers.word == 'x' %}a{% endif %}",
            "template-fault 1:7 `readers` has no attribute `word`: it is no word of a closed set",
        ),
        ("{{ curves | count }}", "template-fault 1:4 cannot print a bare number"),
        (
            "{% for c in curves %}{{ loop.index }}{% endfor %}",
            "template-fault 1:25 cannot print a bare number",
        ),
        ("{{ 7 }}", "number-in-template 1:4 the number 7 stands in the template"),
        ("stable for 12 months", "number-in-template 1:12 the number 12 stands in the template"),
        ("a\nb ½", "number-in-template 2:3 the number ½ stands in the template"),
        ("{{ 'about 12' }}", "letter-internal 1:1 the number 12 is no fact"),
        ("{{ curves }}", "template-fault 1:4 cannot print the group of facts `curves`"),
        (
            "{{ readers.known }}",
            "template-fault 1:4 prints `.known`, which is there to be compared",
        ),
        ("{% set k = readers.known %}{{ k }}", "template-fault 1:31 cannot print a bool"),
        (
            "{{ 'a' if readers.known }}",
            "template-fault 1:1 an `if` inside an expression has no `else`",
        ),
        ("{{ film.taken | plain }}", "template-fault 1:17 `plain` does not fit `film.taken`"),
        ("{{ remarks | cap }}", "template-fault 1:14 `cap` does not fit `remarks`"),
        (
            "{{ curves.thoracic.now.cob }}",
            "template-fault 1:4 `curves.thoracic.now.cob` is undefined",
        ),
        ("{{ curvs.thoracic }}", "template-fault 1:4 `curvs` is undefined"),
        ("{{ curves.third.now.cobb }}", "template-fault 1:10 `curves.third` is undefined"),
        ("{% if nothing %}a{% endif %}", "template-fault 1:7 `nothing` is undefined"),
        ("{% for x in nothing %}a{% endfor %}", "template-fault 1:13 `nothing` is undefined"),
        ("{{ nothing | plain }}", "template-fault 1:14 `nothing` is undefined"),
        (
            "{{ maturity.risser }}",
            "prints-missing 1:4 `maturity.risser` has no value: \
             Risser grade: not recorded (ask the reader of the film)",
        ),
        ("{{ fail('both plans are open') }}", "template-fault 1:4 both plans are open"),
        ("a {% if %}", "template-fault 1:9 unexpected end of block"),
        (
            "{% include 'no.md.j2' %}",
            "template-fault 1:4 tried to include non-existing template 'no.md.j2'",
        ),
        (
            "a <b>c</b>",
            "markdown-not-allowed 1:3 HTML has no place in a letter\nmarkdown-not-allowed 1:7 HTML has no place in a letter",
        ),
        ("a [b](c)", "markdown-not-allowed 1:3 a link has no place in a letter"),
        ("![b](c)", "markdown-not-allowed 1:1 an image has no place in a letter"),
        ("a `b`", "markdown-not-allowed 1:3 code has no place in a letter"),
        ("> a", "markdown-not-allowed 1:1 a block quotation has no place in a letter"),
        ("#### a", "markdown-not-allowed 1:1 a heading of level 4 has no place in a letter"),
        ("# \n\na", "empty-heading 1:1 a heading has no words"),
        ("# a\n\nb\n\n## c\n\n## d\n\ne", "empty-heading 1:1 nothing stands under the heading “c”"),
        ("- - b", "markdown-not-allowed 1:3 a list inside a list has no place in a letter"),
        ("a\n\n***\n\nb", "markdown-not-allowed 3:1 a rule has no place in a letter"),
        (
            "| a | b |\n|---|---|\n| c | d |",
            "markdown-not-allowed 1:1 a table has no summary: write {{ summary(\"…\") }} on the line above",
        ),
        (
            "{{ summary('x') }}\n| a | b |\n|---|---|\n| c |  |",
            "markdown-not-allowed 4:1 cell 2 of a table row is empty",
        ),
        (
            "{{ summary('x') }}\n| a |\n|---|\n| c | {{ readers }} |",
            "markdown-not-allowed 1:1 “2” is lost: is a row longer than its head?",
        ),
        ("{{ summary('x') }}\nb", "template-fault 1:4 no table follows the summary “x”"),
        ("{{ remark('x') }}", "template-fault 1:4 remark takes typed text, not a string"),
        (
            "{{ remark(readers) }}",
            "template-fault 1:4 remark takes typed text, and `readers` is none",
        ),
        ("{{ readers | signd }}", "template-fault 1:14 the filter `signd` does not exist"),
        (
            "{% macro film() %}a{% endmacro %}\n{{ film.taken }}",
            "template-fault 2:4 the macro `film` hides the facts `film`",
        ),
        ("a\u{E000}b", "reserved-character 1:2 a private-use character, U+E000"),
        (
            "{{ '\\uE000' }}",
            "reserved-character 1:4 a word in quotes holds the private-use character U+E000",
        ),
    ];
    let differ = |(template, expected): &(&str, &str)| {
        let said = refused(template);
        (said != *expected).then(|| format!("{template}\n  says {said}\n  not  {expected}\n"))
    };
    let wrong: String = cases.iter().filter_map(differ).collect();
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_fact_as_a_condition_is_an_error() {
    for template in [
        "{% if readers %}a{% endif %}",
        "{% if maturity.risser %}a{% endif %}",
        "{{ 'a' if not readers else 'b' }}",
        "{% if readers and curves.thoracic.now.cobb %}a{% endif %}",
    ] {
        let said = refused(template);
        assert!(said.contains("stands as a condition"), "{template}: {said}");
    }
}

#[test]
fn all_missing_facts_are_named_at_once() {
    let said = refused("{{ maturity.risser }}\n{{ readers }}\n{{ maturity.menarche }}");
    let expected = "\
prints-missing 1:4 `maturity.risser` has no value: Risser grade: not recorded (ask the reader of the film)
prints-missing 3:4 `maturity.menarche` has no value: first period: not recorded (ask the family)";
    assert_eq!(said, expected);
}

#[test]
fn an_endless_template_ends() {
    let said = refused(
        "{% macro again() %}{% for c in curves %}{{ again() }}{{ again() }}{% endfor %}{% endmacro %}{{ again() }}",
    );
    let ends = ["recursion limit exceeded", "does not come to an end"];
    assert!(ends.iter().any(|end| said.contains(end)), "{said}");
    let wide = "{% for a in curves %}".repeat(20) + "x" + &"{% endfor %}".repeat(20);
    assert!(refused(&wide).contains("does not come to an end"));
}

#[test]
fn a_faulty_template_spoils_no_other() {
    let (templates, report) = load(&[(NAME, "a"), ("letters/en/bad.md.j2", "{{ a + b }}\n{{")]);
    assert_eq!(report.iter().count(), 1);
    assert!(templates.has(NAME) && !templates.has("letters/en/bad.md.j2"));
    let bad = compose(&templates, "letters/en/bad.md.j2", &facts(), &style(), &BTreeMap::new());
    assert!(lines(&bad.unwrap_err()).contains("has faults"));
    let (templates, _) = load(&[(NAME, "{% import 'p.j2' as p %}a"), ("p.j2", "{{ a + b }}")]);
    let bad = compose(&templates, NAME, &facts(), &style(), &BTreeMap::new());
    assert_eq!(lines(&bad.unwrap_err()), "template-fault 1:4 `p.j2` has faults of its own");
}

#[test]
fn a_fault_in_a_phrase_names_both_places() {
    let phrases = "{% macro rose(c) %}\nrose to {{ c.nom.cobb }}\n{% endmacro %}";
    let letter = "{% import 'phrases/en.md.j2' as say %}\nIt {{ say.rose(curves.thoracic) }}.";
    let (templates, report) = load(&[(NAME, letter), ("phrases/en.md.j2", phrases)]);
    assert!(report.is_empty());
    let report = compose(&templates, NAME, &facts(), &style(), &BTreeMap::new()).unwrap_err();
    let fault = report.iter().next().unwrap();
    assert_eq!(fault.message, "`c.nom` is undefined");
    let place = fault.place.as_ref().unwrap();
    assert_eq!(place.to_line_column(), "templates/phrases/en.md.j2:2:13");
}

#[test]
fn an_undefined_fact_s_neighbours_are_the_remedy() {
    let (templates, _) = load(&[(NAME, "{{ curves.thoracic.nwo }}")]);
    let report = compose(&templates, NAME, &facts(), &style(), &BTreeMap::new()).unwrap_err();
    let remedy = report.iter().next().unwrap().remedy.clone().unwrap();
    assert_eq!(remedy, "under it are: now, side, change, verdict");
}

#[test]
fn macros_flow_into_sentences_and_headings() {
    let phrases = "\
{% macro curve(c) %}
{% if c.side.known %}{{ c.side }} {% endif %}
curve
{% endmacro %}
{% macro all() %}
{% set parts %}
{% for c in curves %}
{{ curve(c) }} {{ c.now.cobb }}
{% endfor %}
{% endset %}
{{ parts | and_list }}
{% endmacro %}
";
    let letter = "\
{% import 'phrases/en.md.j2' as say %}
# News: {{ say.all() }}; nothing else

{% for c in curves %}
    The {{ say.curve(c) }} measured {{ c.now.cobb }}
    .
{% endfor %}
";
    let (templates, report) = load(&[(NAME, letter), ("phrases/en.md.j2", phrases)]);
    assert!(report.is_empty(), "{}", lines(&report));
    let done = compose(&templates, NAME, &facts(), &style(), &BTreeMap::new()).unwrap();
    let [Block::Heading { level: 1, text: head }, Block::Paragraph { text }] = &done.blocks[..]
    else {
        panic!("{:?}", done.blocks)
    };
    assert_eq!(lint::plain(head), "News: right curve 27° and left curve 18°; nothing else");
    let body = "The right curve measured 27°. The left curve measured 18°.";
    assert_eq!(lint::plain(text), body);
}

#[test]
fn a_line_of_words_keeps_its_end() {
    let done = composed(
        "One{% if readers.known %} more.{% endif %}

{% if readers.known %}
Two.
{% endif %}
Three {% for c in curves %}{{ c.side }} {% endfor %}
four.

{% if readers.known %}Five.{% endif %}
{% if not readers.known %}
Six.
{% endif %}
{% if readers.known %}Seven.{% endif %}",
    );
    let said: Vec<String> = done
        .blocks
        .iter()
        .map(|b| match b {
            Block::Paragraph { text } => lint::plain(text),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(said, ["One more.", "Two. Three right left four.", "Five. Seven."]);
}

#[test]
fn tables_lists_figures_and_remarks_become_blocks() {
    let done = composed(
        "{{ summary('Angle of each curve') }}
| Curve | Now |
|:--|--:|
{% for c in curves %}
| {{ c.key }} | {{ c.now.cobb }} |
{% endfor %}

1. first
1. {{ curves.thoracic.side }}

{{ figures('spine', 'course thoracic') }}
{{ remark(remarks, 'Hana Kell') }}",
    );
    let [
        Block::Table { summary, rows, align, .. },
        Block::List { ordered: true, items },
        Block::Slot { wanted },
        Block::Remark { by: Some(by), paragraphs, .. },
    ] = &done.blocks[..]
    else {
        panic!("{:?}", done.blocks)
    };
    assert_eq!(summary, "Angle of each curve");
    let cells: Vec<String> = rows.iter().flatten().map(|c| lint::plain(c)).collect();
    assert_eq!(cells, ["thoracic", "27°", "lumbar", "18°"]);
    assert_eq!(align.len(), 2);
    assert_eq!(lint::plain(&items[1]), "right");
    assert_eq!(wanted, &["spine", "course thoracic"]);
    assert_eq!(
        (by.as_str(), &paragraphs[..]),
        ("Hana Kell", &["Worn well.".into(), "No sores.".into()][..])
    );
}

/// Templates under a folder by their name.
fn read_templates(root: &std::path::Path) -> BTreeMap<String, String> {
    let files = walkdir::WalkDir::new(root).into_iter().filter_map(Result::ok);
    let templates = files.filter(|f| f.path().extension().is_some_and(|e| e == "j2"));
    let named = templates.map(|f| {
        let name = f.path().strip_prefix(root).unwrap().to_str().unwrap().replace('\\', "/");
        (name, String::from_utf8(endplate::pipeline::io::read(f.path()).unwrap()).unwrap())
    });
    named.collect()
}

#[test]
fn the_shipped_templates_keep_the_rules() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("templates");
    let sources = read_templates(&root);
    assert!(!sources.is_empty());
    let (_, report) = Templates::load(sources);
    assert!(report.is_empty(), "{}", lines(&report));
}

/// Texts that would mean something to a template, to Markdown or to a layout.
const HOSTILE: &[&str] = &[
    "{{ 7*7 }}",
    "{% for x in y %}",
    "{# note #}",
    "*x* **y** _z_",
    "# heading",
    "| a | b |",
    "a \\ b \\* \\| \\n",
    "[a](b) ![c](d)",
    "<b>bold</b> <!-- c --> &amp; &#65;",
    "`code` ~~~ ```",
    "- item",
    "1. item",
    "---",
    "> quote",
    "Zoë \"Bo\" O'Neill-Łuć #1 *x* $y$ \\[z] @w",
    "  spaces  inside .",
    "None",
    "T5 27° 12",
];

#[test]
fn typed_text_comes_out_as_typed_wherever_it_stands() {
    let template = "\
# {{ typed }}

{{ typed }}

Before **{{ typed }}** and *{{ letter.name }}*after{{ typed }}{{ typed }}.

- {{ typed }}
- {{ letter.name }}

{{ summary('x') }}
| a | b |
|---|---|
| {{ typed }} | {{ letter.name }} |

{{ remark(typed) }}
{{ remark(letter.name) }}
{{ maturity.risser | or_say('x') }}
";
    let long = "lang ".repeat(5_000);
    for text in HOSTILE.iter().copied().chain([long.as_str()]) {
        let mut facts = facts();
        facts.insert(fact("typed", FactValue::Text(text.into())));
        let letter = Extra::group([("name", Extra::Text(text.into()))]);
        let extras = BTreeMap::from([("letter".to_string(), letter)]);
        let done = compose_with(template, &facts, &extras)
            .unwrap_or_else(|report| panic!("{text}: {}", lines(&report)));
        let found = values(&done.blocks);
        let expected = text.trim();
        assert_eq!(found.iter().filter(|v| v.as_str() == expected).count(), 10, "{text}");
        let remarks = done.blocks.iter().filter(|b| match b {
            Block::Remark { paragraphs, .. } => paragraphs == &[expected.to_string()],
            _ => false,
        });
        assert_eq!(remarks.count(), 2, "{text}");
    }
}

/// The text of every printed value, in order.
fn values(blocks: &[Block]) -> Vec<String> {
    fn of(words: &[Inline], found: &mut Vec<String>) {
        for inline in words {
            match inline {
                Inline::Value { text, .. } => found.push(text.clone()),
                Inline::Strong { children } | Inline::Emph { children } => of(children, found),
                Inline::Text { .. } | Inline::Break => {}
            }
        }
    }
    let mut found = Vec::new();
    for block in blocks {
        match block {
            Block::Heading { text, .. } | Block::Paragraph { text } => of(text, &mut found),
            Block::List { items, .. } => items.iter().for_each(|i| of(i, &mut found)),
            Block::Table { header, rows, .. } => {
                header.iter().chain(rows.iter().flatten()).for_each(|c| of(c, &mut found));
            }
            _ => {}
        }
    }
    found
}

#[test]
fn private_use_characters_are_refused_in_typed_text() {
    let mut facts = facts();
    facts.insert(fact("typed", FactValue::Text("a\u{E000}b".into())));
    let report = compose_with("{{ typed }}", &facts, &BTreeMap::new()).unwrap_err();
    let said = "reserved-character 1:4 the text of `typed` holds the private-use character U+E000";
    assert_eq!(lines(&report), said);
}

#[test]
fn absent_letter_texts_are_not_known_and_not_printed() {
    let letter = Extra::group([("question", Extra::Absent), ("kind", Extra::Word("check".into()))]);
    let extras = BTreeMap::from([("letter".to_string(), letter)]);
    let template = "{% if letter.question.known %}{{ letter.question }}{% endif %}
        {% if letter.kind.word == 'check' %}{{ letter.kind }}{% endif %}";
    let done = compose_with(template, &facts(), &extras).unwrap();
    assert_eq!(values(&done.blocks), ["check"]);
    let report = compose_with("{{ letter.question }}", &facts(), &extras).unwrap_err();
    assert_eq!(lines(&report), "prints-missing 1:4 `letter.question` has no text");
}

#[test]
fn words_of_closed_sets_are_said_through_the_style() {
    let mut style = style();
    style.words.insert("worse".into(), "clearly more".into());
    let (templates, _) = load(&[(NAME, "{{ curves.thoracic.verdict }}")]);
    let done = compose(&templates, NAME, &facts(), &style, &BTreeMap::new()).unwrap();
    assert_eq!(values(&done.blocks), ["clearly more"]);
}

#[test]
fn american_dates_and_units() {
    use endplate::letter::language::ENGLISH_US;
    let style = Style::new(&ENGLISH_US, DateStyle::MonthDayYear);
    let template = "{{ film.taken }}, {{ film.taken | date_short }}, {{ patient.height | plain }}, {{ brace.correction }}";
    let (templates, _) = load(&[(NAME, template)]);
    let done = compose(&templates, NAME, &facts(), &style, &BTreeMap::new()).unwrap();
    let expected = ["October 20, 2026", "Oct 20, 2026", "158.6 centimeters", "55%"];
    assert_eq!(values(&done.blocks), expected);
}

proptest::proptest! {
    /// Whatever is typed goes through template and Markdown unchanged.
    #[test]
    fn text_through_a_letter_is_the_same_text(text in "\\PC{1,60}") {
        let plain: String = text.chars().filter(|c| !endplate::letter::token::is_reserved(*c)).collect();
        proptest::prop_assume!(!plain.trim().is_empty());
        let expected = plain.trim().to_string();
        let mut facts = Facts::new(day(2026, 10, 27));
        facts.insert(fact("typed", FactValue::Text(plain)));
        let done = compose_with("# a\n\nx *{{ typed }}* y {{ typed }}", &facts, &BTreeMap::new());
        let done = done.map_err(|r| proptest::test_runner::TestCaseError::fail(lines(&r)))?;
        proptest::prop_assert_eq!(values(&done.blocks), vec![expected.clone(), expected]);
    }

    /// No template text makes the reader panic or lose a value quietly.
    #[test]
    fn any_template_text_is_composed_or_refused(text in "[a-z#*|>`<\\[\\]()!_ \\n\\\\&;:-]{0,80}") {
        let template = format!("{text}{{{{ readers }}}}{text}");
        if let Ok(done) = compose_with(&template, &facts(), &BTreeMap::new()) {
            proptest::prop_assert_eq!(values(&done.blocks), vec!["2".to_string()]);
        }
    }
}
