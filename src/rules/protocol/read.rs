//! A protocol's file: read whole or not at all, every fault at its place.

use crate::case::Choice;
use crate::case::node::{self, Node};
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::facts::FactId;
use crate::quantity::{Reported, Unit};

use super::super::band::{self, Band};
use super::super::bound;
use super::super::condition::{Condition, Kind};
use super::super::edition::{Validity, follow_on};
use super::super::fields::{Fields, items};
use super::super::reach;
use super::super::read::{KnownFact, condition, known_kind};
use super::super::standing::Basis;
use super::{BraceWord, Edition, FollowUp, Protocol, Row, Step};

/// The protocol of a file's text, or `None` if the file has any error; every
/// fault is reported. `file` is the path as shown to people, `known` the
/// catalogue of facts.
pub fn read(source: &str, file: &str, known: KnownFact, report: &mut Report) -> Option<Protocol> {
    let mut faults = Report::default();
    let protocol = node::parse(source, file, &mut faults)
        .and_then(|root| protocol(&root, known, &mut faults))
        .filter(|_| !faults.has_errors());
    report.extend(faults);
    protocol
}

fn protocol(root: &Node, known: KnownFact, report: &mut Report) -> Option<Protocol> {
    let fields = Fields::of(root, "a protocol", &["protocol", "editions"], report)?;
    let name = fields.need_text("protocol", report);
    let editions = list(&fields, "editions", report, |node, report| edition(node, known, report));
    let editions = editions?;
    follow_on(editions.iter().map(|e| &e.validity), report);
    Some(Protocol { name: name?, editions, place: root.place.clone() })
}

/// The items of a list that must stand there, each read so that the faults of
/// all are found in one run.
pub(in super::super) fn list<T>(
    fields: &Fields,
    key: &str,
    report: &mut Report,
    mut each: impl FnMut(&Node, &mut Report) -> Option<T>,
) -> Option<Vec<T>> {
    let node = fields.need(key, report)?;
    let list: Vec<Option<T>> =
        items(node, key, report)?.iter().map(|node| each(node, report)).collect();
    list.into_iter().collect()
}

const EDITION: [&str; 6] = ["edition", "valid_from", "valid_to", "braces", "tables", "follow_up"];

fn edition(node: &Node, known: KnownFact, report: &mut Report) -> Option<Edition> {
    let fields = Fields::of(node, "an edition", &EDITION, report)?;
    let edition = fields.need_date("edition", report);
    let validity = Validity::read(&fields, report);
    let braces = list(&fields, "braces", report, brace);
    let tables = list(&fields, "tables", report, |node, report| table(node, known, report));
    let follow_up =
        list(&fields, "follow_up", report, |node, report| interval(node, known, report));
    let rows: Vec<Row> = tables?.into_iter().flatten().collect();
    let follow_up = follow_up?;
    let ids = rows.iter().map(|r| &r.id).chain(follow_up.iter().map(|f| &f.id));
    repeated(&ids.collect::<Vec<_>>(), "rows", report);
    let place = fields.place.clone();
    Some(Edition {
        edition: edition?,
        validity: validity?,
        braces: braces?,
        rows,
        follow_up,
        place,
    })
}

/// Ids used twice, and ids that cannot be part of a fact's id.
pub(in super::super) fn repeated(ids: &[&Located<String>], what: &str, report: &mut Report) {
    for (n, later) in ids.iter().enumerate() {
        let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-' || c == '_';
        if !later.value.chars().all(plain) {
            let message =
                format!("the id `{}` is not of small letters, digits and `-`", later.value);
            report.add(Code::BadId, &later.place, message);
        }
        if let Some(first) = ids[..n].iter().find(|id| id.value == later.value) {
            let message = format!("two {what} have the id `{}`", later.value);
            let fault = Diagnostic::new(Code::DuplicateId, Some(later.place.clone()), message);
            report.push(fault.related(first.place.clone(), "first here"));
        }
    }
}

fn brace(node: &Node, report: &mut Report) -> Option<BraceWord> {
    let fields = Fields::of(node, "a brace", &["word", "from", "to"], report)?;
    let word = fields.need_text("word", report);
    let from = fields.need_text("from", report);
    let to = fields.need_text("to", report);
    let (word, from, to) = (word?, from?, to?);
    let choice = Choice::from_word(&word.value).filter(|choice| {
        matches!(choice, Choice::NightBrace | Choice::PartTimeBrace | Choice::FullTimeBrace)
    });
    if choice.is_none() {
        let message = format!("`{}` is no word of a plan for a brace", word.value);
        let fault = Diagnostic::new(Code::RuleForm, Some(word.place.clone()), message);
        let words = "its words are: night brace, part-time brace, full-time brace";
        report.push(fault.remedy(words));
    }
    let from = amount(&from, Unit::HourPerDay, report);
    let to = amount(&to, Unit::HourPerDay, report);
    let (word, from, to) = (choice?, from?, to?);
    if to.compare(from).is_lt() {
        let message = format!("{} h/day is less than {} h/day", to.digits(), from.digits());
        report.add(Code::RuleBands, &node.place, message);
    }
    Some(BraceWord { word, from, to })
}

/// Hours a day, or whole months up to ten years.
fn amount(typed: &Located<String>, unit: Unit, report: &mut Report) -> Option<Reported> {
    let (low, high) = match unit {
        Unit::HourPerDay => (0.0, 24.0),
        _ => (1.0, 120.0),
    };
    let number = bound::number(&typed.value, unit).and_then(|n| {
        let fits = (low..=high).contains(&n.value()) && (n.decimals() == 0 || low == 0.0);
        fits.then_some(n).ok_or_else(|| format!("is not from {low} to {high}"))
    });
    number
        .map_err(|why| {
            let message = format!("`{}` {why}", typed.value);
            report.add(Code::BoundUnit, &typed.place, message);
        })
        .ok()
}

fn table(node: &Node, known: KnownFact, report: &mut Report) -> Option<Vec<Row>> {
    let fields = Fields::of(node, "a table", &["table", "for", "size", "rows"], report)?;
    fields.need_text("table", report);
    let source = super::super::BoundSource::Words("the table's own condition".into());
    let who =
        fields.need("for", report).and_then(|node| condition(node, known, Some(&source), report));
    let size = fields.need_text("size", report);
    let kind = size.as_ref().and_then(|size| known_kind(size, known, report));
    if let (Some(size), Some(kind)) = (&size, kind)
        && kind != Kind::Number(Unit::Degree)
    {
        let message = format!("{} is {}, not an angle", size.value, kind.words());
        report.add(Code::BoundUnit, &size.place, message);
    }
    let size = size?;
    let read = |node: &Node, report: &mut Report| row(node, &size.value, known, report);
    let rows = list(&fields, "rows", report, read)?;
    let bands: Vec<&Band> = rows.iter().map(|r| &r.band).collect();
    band::tile(&bands, &size.value, report);
    let who = who?;
    rows.iter().for_each(|row| reach::check(&row.joined(&who, &size.value), report));
    Some(rows.into_iter().map(|row| row.done(&who, &size.value)).collect())
}

/// A row before it is joined with its table's condition.
struct Typed {
    id: Located<String>,
    band: Band,
    when: Option<Condition>,
    least: Step,
    most: Step,
    basis: Basis,
    place: crate::diag::Place,
}

impl Typed {
    /// The table's condition, the band and the row's own condition as one
    /// list, so that bounds on one fact are held against each other.
    fn joined(&self, who: &Condition, size: &str) -> Condition {
        let mut parts = Vec::new();
        let mut add = |part: &Condition| match part {
            Condition::All(inner) => parts.extend(inner.iter().cloned()),
            other => parts.push(other.clone()),
        };
        add(who);
        self.when.iter().for_each(&mut add);
        parts.extend(self.band.tests(&FactId::new(size), &self.basis.source));
        Condition::All(parts)
    }

    fn done(self, who: &Condition, size: &str) -> Row {
        let when = self.joined(who, size);
        let Typed { id, least, most, basis, place, .. } = self;
        Row { id, when, least, most, basis, place }
    }
}

fn row(node: &Node, size: &str, known: KnownFact, report: &mut Report) -> Option<Typed> {
    let keys: Vec<&str> =
        ["id", "when", "least", "most", "grade", "source"].into_iter().chain(band::KEYS).collect();
    let fields = Fields::of(node, "a row", &keys, report)?;
    let id = fields.need_text("id", report);
    let band = Band::read(&fields, size, report);
    let basis = Basis::read(&fields, report);
    let when = match fields.get("when") {
        Some(node) => {
            let source = basis.as_ref().map(|b| b.source.clone());
            condition(node, known, source.as_ref(), report).map(Some)
        }
        None => Some(None),
    };
    let least = step(&fields, "least", report);
    let most = step(&fields, "most", report);
    let (id, band, when, least, most) = (id?, band?, when?, least?, most?);
    if most.compare(least).is_lt() {
        let message = format!("{} is less than {}", most.words(), least.words());
        let fault = Diagnostic::new(Code::RuleForm, Some(node.place.clone()), message);
        report.push(fault.remedy("write the lesser step under `least`"));
    }
    Some(Typed { id, band, when, least, most, basis: basis?, place: node.place.clone() })
}

fn step(fields: &Fields, key: &str, report: &mut Report) -> Option<Step> {
    let typed = fields.need_text(key, report)?;
    let step = Step::parse(&typed.value);
    if step.is_none() {
        let message = format!("`{}` is no step of care", typed.value);
        let fault = Diagnostic::new(Code::RuleForm, Some(typed.place.clone()), message);
        let words = super::StepKind::WORDS.join(", ");
        report.push(fault.remedy(format!(
            "the steps are: {words}; a rigid brace with its hours, as in `rigid brace 16 h/day`"
        )));
    }
    step
}

const INTERVAL: [&str; 6] = ["id", "when", "months", "film_months", "grade", "source"];

fn interval(node: &Node, known: KnownFact, report: &mut Report) -> Option<FollowUp> {
    let fields = Fields::of(node, "an interval", &INTERVAL, report)?;
    let id = fields.need_text("id", report);
    let basis = Basis::read(&fields, report);
    let source = basis.as_ref().map(|b| b.source.clone());
    let when = fields
        .need("when", report)
        .and_then(|node| condition(node, known, source.as_ref(), report));
    let months = fields.need_text("months", report);
    let months = months.and_then(|typed| amount(&typed, Unit::Month, report));
    let film = fields.text("film_months", report);
    let film_months = match film {
        Some(typed) => Some(amount(&typed, Unit::Month, report)?),
        None => None,
    };
    let place = fields.place.clone();
    Some(FollowUp { id: id?, when: when?, months: months?, film_months, basis: basis?, place })
}
