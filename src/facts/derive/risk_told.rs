//! Risk as counts of a hundred, both ways, for families: `risk_told.*`.
//!
//! Only the figures that the letter's entry names, and only those that may be
//! told: the case must be of the study's people, and a figure, or a bound of
//! its people, known from memory alone waits until the clinic adopts it.
//! Whatever was asked for and may not be told stands under
//! `risk_told.refused` with the reason.

use super::maker::{Maker, text, whole, yes_no};
use crate::case::{LetterEntry, RiskFigure};
use crate::diag::Located;
use crate::evidence::Source;
use crate::facts::{FactId, Value};
use crate::quantity::{Reported, Unit};

/// Of how many people it is told.
const OUT_OF: i64 = 100;

/// What of a study is told: its item, and of whom that is.
fn arms(figure: RiskFigure) -> &'static [(&'static str, &'static str)] {
    match figure {
        RiskFigure::Trial => &[("value", "with a brace"), ("observed", "watched")],
        _ => &[("value", "all")],
    }
}

/// From where on the study counted a curve as one that had done badly, if
/// that is one size for all its people.
fn bound(figure: RiskFigure) -> Option<Reported> {
    (figure == RiskFigure::Trial).then(|| Reported::whole(50, Unit::Degree))
}

/// `risk_told.*`, or nothing where the letter does not ask for it.
pub fn risk_told(make: &mut Maker, entry: Option<&LetterEntry>) {
    let Some(entry) = entry.filter(|entry| !entry.risk.is_empty()) else { return };
    let record = format!("letter {} / risk", entry.id.value);
    make.fact("risk_told.out_of", "of how many it is told", whole(OUT_OF, Unit::One))
        .record(&record, &entry.risk[0].place)
        .by("shares are told as people of a hundred", Source::definition(""))
        .done();
    let (mut told, mut refused) = (0, 0);
    for asked in &entry.risk {
        match refusal(make, asked.value) {
            None => {
                told += 1;
                figure(make, &format!("risk_told.figures.f{told}"), asked, &record);
            }
            Some(why) => {
                refused += 1;
                let root = format!("risk_told.refused.r{refused}");
                let word = Value::Word(asked.value.word());
                make.fact(format!("{root}.which"), "figure that may not be told", word)
                    .record(&record, &asked.place)
                    .done();
                make.fact(format!("{root}.why"), "why it may not be told", text(&why))
                    .from(format!("risk.{}.decides", asked.value.word()))
                    .done();
            }
        }
    }
}

/// Why a figure may not be told, in words; nothing if it may.
fn refusal(make: &Maker, asked: RiskFigure) -> Option<String> {
    let key = asked.word();
    let of = |item: &str| make.facts.get(&format!("risk.{key}.{item}"));
    for (item, _) in arms(asked) {
        match of(item).map(|f| &f.value) {
            Some(Value::Number(_)) => {}
            Some(Value::Missing(missing)) => return Some(missing.reason()),
            _ => return Some("the study gives no share of people".to_string()),
        }
    }
    let decides = of("decides").and_then(|f| f.word()) == Some("yes");
    (!decides).then(|| {
        format!(
            "its shares, or the bounds of the people it was found in, are known from memory \
             alone; name `{key}` under `adopted:` in clinic.yaml to stand by them"
        )
    })
}

fn figure(make: &mut Maker, root: &str, asked: &Located<RiskFigure>, record: &str) {
    let key = asked.value.word();
    make.fact(format!("{root}.which"), "study that is told of", Value::Word(key))
        .record(record, &asked.place)
        .done();
    make.same(format!("{root}.film"), &format!("risk.{key}.film"));
    make.same(format!("{root}.people"), &format!("risk.{key}.population"));
    if asked.value == RiskFigure::AtMaturity {
        make.same(format!("{root}.foretold"), &format!("risk.{key}.foretold"));
    }
    if let Some(bound) = bound(asked.value) {
        let source = source(make, key);
        make.fact(format!("{root}.bound"), "size the study was about", Value::Number(bound))
            .by("as published", source)
            .done();
    }
    for (n, (item, whom)) in arms(asked.value).iter().enumerate() {
        arm(make, &format!("{root}.arms.a{}", n + 1), &format!("risk.{key}.{item}"), whom);
    }
}

/// The share of one group as people of a hundred, and the rest.
fn arm(make: &mut Maker, root: &str, share: &str, whom: &'static str) {
    let Some(fact) = make.facts.get(share) else { return };
    let Some(percent) = fact.number() else { return };
    let (source, exact) =
        (fact.provenance.method.source, fact.unrounded.unwrap_or(percent.value()));
    let count = Reported::round(percent.value(), 0, Unit::One);
    let rounded = (exact - count.value()).abs() > 1e-9;
    make.fact(format!("{root}.whom"), "of whom", Value::Word(whom)).from(share).done();
    let draft = make.fact(format!("{root}.count"), "how many of a hundred", Value::Number(count));
    let draft = if rounded { draft.unrounded(exact) } else { draft };
    let id: FactId =
        draft.from(share).by("the published share, in whole people of a hundred", source).done();
    let rest = Reported::whole(OUT_OF, Unit::One).minus(count);
    make.fact(format!("{root}.rest"), "how many of a hundred not", Value::Number(rest))
        .from(id.as_str())
        .by("a hundred less those counted", source)
        .done();
    make.fact(format!("{root}.rounded"), "whether the count is rounded", yes_no(rounded))
        .from(id.as_str())
        .done();
}

fn source(make: &Maker, key: &str) -> Source {
    let fact = make.facts.get(&format!("risk.{key}.value"));
    fact.map_or(Source::definition(""), |f| f.provenance.method.source)
}
