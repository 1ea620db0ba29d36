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
use endplate::letter::language::ENGLISH;
use endplate::letter::lint;
use endplate::letter::object::Extra;
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
