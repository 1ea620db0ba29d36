//! One letter, from a checked case to bytes.
//!
//! The steps, in order: facts as known on the letter's day → blocks through
//! the template → figures → glyphs checked → PDF. Templates, fonts and the
//! engine are loaded once and shared by all workers.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::care::Care;
use super::craft::{self, Inputs};
use super::embedded;
use super::io::Folder;
use crate::case::{Case, Clinic, LetterEntry, Request, Role};
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::facts::{Derived, Fact, FactId, Facts, Value, derive};
use crate::figure::fill::{Shown, fill};
use crate::letter::block::{Block, Letter};
use crate::letter::compose::compose;
use crate::letter::extra::Extra;
use crate::letter::frame::{People, Standing, extras, frame, letter_date, people};
use crate::letter::language::Language;
use crate::letter::reading::exceptions::TradeWords;
use crate::letter::reading::{self, Reading};
use crate::letter::template::Templates;
use crate::letter::variant;
use crate::letter::wording::Style;
use crate::render::Typesetter;
use crate::rules::items::{self, ItemTable};
use crate::rules::payer::{
    self, Asking, CriterionVerdict, Payer, Policy, evaluate, required, told,
};
use crate::rules::{as_facts, catalogue};

/// A finished letter.
#[derive(Debug, Clone)]
pub struct Made {
    /// The document.
    pub pdf: Vec<u8>,
    /// What the clinic should know although the letter was made.
    pub warnings: Report,
}

/// What makes a letter: the same for every worker, without state of its own.
pub type Make<'a> = dyn Fn(&Case, &LetterEntry, &Clinic) -> Result<Made, Report> + Sync + 'a;

/// A letter before it is typeset, with everything that explains it.
#[derive(Debug)]
pub struct Written {
    /// Frame and blocks, figures included.
    pub letter: Letter,
    /// The facts it was written from.
    pub derived: Derived,
    /// Facts in the order they were printed.
    pub printed: Vec<FactId>,
    /// Facts that the template asked about, printed or not.
    pub read: BTreeSet<FactId>,
    /// How hard it is to read, if it is for lay readers.
    pub reading: Option<Reading>,
}

/// Everything that is the same for all letters of a clinic.
pub struct Press {
    templates: Templates,
    typesetter: Typesetter,
    payers: Vec<Payer>,
    payer_texts: BTreeMap<String, String>,
    /// What decides letters beside cases and the clinic's file.
    pub(super) inputs: Option<Inputs>,
    item_codes: Option<ItemTable>,
    item_text: (String, String),
    trade_words: TradeWords,
    trade_text: (String, String),
    care: Care,
    /// Faults of templates and rules, reported once.
    pub report: Report,
}

impl Press {
    /// Loads templates, fonts and the layout.
    pub fn open(folder: &Folder) -> Press {
        let inputs = craft::inputs(folder);
        let mut report = Report::default();
        let sources = embedded::templates(folder, &mut report);
        let (templates, faults) = Templates::load(sources);
        report.extend(faults);
        let sources = embedded::payers(folder, &mut report);
        let payers = sources
            .iter()
            .filter_map(|(name, text)| {
                payer::read(text, &format!("templates/{name}"), &catalogue::kind, &mut report)
            })
            .collect();
        let care = Care::open(folder, &mut report);
        let typesetter = Typesetter::new(embedded::fonts(folder));
        let item_text = embedded::item_codes(folder);
        let item_codes = items::read(&item_text.1, &item_text.0, &mut report);
        let trade_text = embedded::trade_words(folder);
        let trade_words = TradeWords::read(&trade_text.1, &trade_text.0, &mut report);
        let payer_texts = sources;
        Press {
            templates,
            typesetter,
            payers,
            payer_texts,
            care,
            item_codes,
            item_text,
            trade_words,
            trade_text,
            inputs,
            report,
        }
    }

    /// Derives the facts of a case, with diagnosis code and, for a request,
    /// the payer's criteria.
    pub fn derive(
        &self,
        case: &Case,
        clinic: &Clinic,
        day: NaiveDate,
        entry: Option<&LetterEntry>,
    ) -> Derived {
        self.judge(case, clinic, day, entry).0
    }

    /// The same, with the answer to each criterion in the payer's order.
    pub fn judge(
        &self,
        case: &Case,
        clinic: &Clinic,
        day: NaiveDate,
        entry: Option<&LetterEntry>,
    ) -> (Derived, Vec<CriterionVerdict>) {
        let mut derived = derive(case, clinic, day, entry);
        let Derived { facts, known, report } = &mut derived;
        as_facts::code(facts, known);
        let date = entry.map_or(day, letter_date);
        self.care.facts(facts, known, clinic, date);
        let mut answers = Vec::new();
        let Some(asking) = entry.and_then(|e| Asking::of(known, e)) else {
            return (derived, answers);
        };
        if let Some(table) = &self.item_codes {
            as_facts::items(facts, asking.request, table);
        }
        if let Some((payer, policy)) = self.policy(&asking.request.to, date, report) {
            as_facts::lifetime(facts, payer, known, asking.request);
            answers = evaluate(policy, facts, &asking.statements(), report);
            told::tell(facts, payer, policy, &answers, &asking);
        }
        (derived, answers)
    }

    /// The criteria that a payer applies on a day; a diagnostic if none are
    /// known.
    pub fn policy(
        &self,
        to: &Located<String>,
        day: NaiveDate,
        report: &mut Report,
    ) -> Option<(&Payer, &Policy)> {
        let Some(payer) = self.payers.iter().find(|p| p.id.value == to.value) else {
            report.push(self.payer_unknown(to));
            return None;
        };
        payer.policy_on(day, report).map(|policy| (payer, policy))
    }

    /// Requests of a case to payers whose criteria are not on file.
    pub fn check_payers(&self, case: &Case, report: &mut Report) {
        for request in &case.requests {
            match self.payers.iter().find(|p| p.id.value == request.to.value) {
                Some(payer) => reasons_known(payer, request, report),
                None => report.push(self.payer_unknown(&request.to)),
            }
        }
    }

    /// Ids of the red flags of a letter with these facts that nobody answered,
    /// be it after the letter's day.
    pub fn open_flags(&self, case: &Case, entry: &LetterEntry, facts: &Facts) -> Vec<String> {
        self.care.open_flags(facts, case, letter_date(entry))
    }

    /// Plans outside the care protocol and red flags without answer, on the
    /// day of each letter and of the last record.
    pub fn check_care(&self, case: &Case, clinic: &Clinic, report: &mut Report) {
        self.care.check(case, clinic, report);
    }

    /// A payer without criteria; where its own file was refused, that file is
    /// what has to be corrected, not the id.
    fn payer_unknown(&self, to: &Located<String>) -> Diagnostic {
        let file = format!("rules/payers/{}.yaml", to.value);
        let place = Some(to.place.clone());
        if !self.payer_texts.contains_key(&file) {
            let message = format!("no criteria of a payer `{}` are known", to.value);
            return Diagnostic::new(Code::PayerUnknown, place, message);
        }
        let message = format!("the criteria of payer `{}` have faults of their own", to.value);
        Diagnostic::new(Code::PayerUnknown, place, message)
            .remedy(format!("correct templates/{file}, whose faults are listed too"))
    }

    /// Texts of templates and criteria by their path as shown, for snippets.
    pub fn texts(&self) -> impl Iterator<Item = (String, &str)> {
        let templates = self.templates.sources().iter().map(|(name, text)| (name, &**text));
        let payers = self.payer_texts.iter().map(|(name, text)| (name, &**text));
        let care = self.care.texts.iter().map(|(name, text)| (name, &**text));
        let items = [&self.item_text, &self.trade_text];
        let items = items.map(|(name, text)| (name.clone(), text.as_str()));
        let named = templates.chain(payers).chain(care);
        named.map(|(name, text)| (format!("templates/{name}"), text)).chain(items)
    }

    /// Writes a letter as blocks, as a draft.
    pub fn write(
        &self,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
    ) -> Result<Written, Report> {
        self.write_as(case, entry, clinic, Standing::Draft)
    }

    /// Writes a letter as blocks, as a draft or as issued.
    pub fn write_as(
        &self,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
        standing: Standing<'_>,
    ) -> Result<Written, Report> {
        let people = people(case, clinic, entry)?;
        let mut derived = self.derive(case, clinic, entry.as_of.value, Some(entry));
        if derived.report.has_errors() {
            return Err(derived.report);
        }
        let mut lacks = lacking(entry, &derived);
        lacks.extend(untold(entry, &derived.facts));
        if lacks.has_errors() {
            return Err(lacks);
        }
        let (tag, style) = style(clinic, entry, &people)?;
        let stage = derived.facts.get("patient.stage").and_then(Fact::word);
        let name = template_of(&self.templates, entry, people.to.role.value, stage, tag)?;
        let extras = extras(&derived.known, clinic, entry, &people, &style);
        let composed = compose(&self.templates, &name, &derived.facts, &style, &extras)?;
        if !entry.risk.is_empty() && !composed.printed.iter().any(tells_risk) {
            let why = "the template of this kind tells no risk".to_string();
            return Err(not_told(entry, None, why));
        }
        let frame = frame(&derived.known, clinic, entry, &people, &style, standing)?;
        let mut blocks = composed.blocks;
        fill(&mut blocks, &Shown { known: &derived.known, facts: &derived.facts, style: &style });
        let reading = self.reading(&name, &blocks, &derived.facts);
        let budget = clinic.limits.reading_grade();
        let complain = |r: &Reading| r.complaint(&entry.id.value, budget, &entry.place);
        let complaint = reading.as_ref().and_then(complain);
        complaint.into_iter().for_each(|fault| derived.report.push(fault));
        Ok(Written {
            letter: Letter { frame, blocks },
            derived,
            printed: composed.printed,
            read: composed.read,
            reading,
        })
    }

    /// How hard a letter is to read, if its template is worded for lay readers
    /// in a language that can be counted.
    fn reading(&self, template: &str, blocks: &[Block], facts: &Facts) -> Option<Reading> {
        let stem = template.strip_prefix("letters/en/")?.strip_suffix(".md.j2")?;
        variant::is_lay(stem).then(|| reading::read(blocks, facts, &self.trade_words))
    }

    /// Composes words about a letter rather than of it (a box, a notice) from
    /// what the letter knows beside facts and from `about`. They speak of no
    /// fact, so that they can be written whatever became of the case.
    pub fn words(
        &self,
        template: &str,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
        about: (&str, Extra),
    ) -> Result<Vec<Block>, Report> {
        let people = people(case, clinic, entry)?;
        let (tag, style) = style(clinic, entry, &people)?;
        let mut extras = extras(case, clinic, entry, &people, &style);
        extras.insert(about.0.to_string(), about.1);
        let name = format!("letters/{tag}/{template}.md.j2");
        let facts = Facts::new(entry.as_of.value);
        Ok(compose(&self.templates, &name, &facts, &style, &extras)?.blocks)
    }

    /// Composes words of no single letter, such as a list for the clinic.
    pub fn page_words(
        &self,
        template: &str,
        tag: &str,
        style: &Style,
        day: NaiveDate,
        about: (&str, Extra),
    ) -> Result<Vec<Block>, Report> {
        let name = format!("letters/{tag}/{template}.md.j2");
        let extras = BTreeMap::from([(about.0.to_string(), about.1)]);
        Ok(compose(&self.templates, &name, &Facts::new(day), style, &extras)?.blocks)
    }

    /// The way dates and numbers are written to a letter's reader.
    pub fn style(
        &self,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
    ) -> Result<Style, Report> {
        Ok(style(clinic, entry, &people(case, clinic, entry)?)?.1)
    }

    /// A letter of these blocks in the frame of another one's.
    pub fn framed(
        &self,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
        standing: Standing<'_>,
        blocks: Vec<Block>,
    ) -> Result<Letter, Report> {
        let people = people(case, clinic, entry)?;
        let (_, style) = style(clinic, entry, &people)?;
        Ok(Letter { frame: frame(case, clinic, entry, &people, &style, standing)?, blocks })
    }

    /// The pages of a letter.
    pub fn pdf(&self, letter: &Letter) -> Result<Vec<u8>, Report> {
        self.typesetter.pdf(letter).map_err(|faults| {
            let mut report = Report::default();
            faults.into_iter().for_each(|fault| report.push(fault));
            report
        })
    }

    /// Typesets a written letter.
    pub fn typeset(&self, written: Written, entry: &LetterEntry) -> Result<Made, Report> {
        let mut report = Report::default();
        for missing in self.typesetter.check_glyphs(&written.letter) {
            report.push(Diagnostic::new(
                Code::MissingGlyph,
                Some(entry.place.clone()),
                missing.to_string(),
            ));
        }
        if report.has_errors() {
            return Err(report);
        }
        match self.typesetter.pdf(&written.letter) {
            Ok(pdf) => Ok(Made { pdf, warnings: written.derived.report }),
            Err(faults) => {
                faults.into_iter().for_each(|f| report.push(f));
                Err(report)
            }
        }
    }
}

/// The language tag of a letter's reader and the style that goes with it.
fn style<'a>(
    clinic: &'a Clinic,
    entry: &LetterEntry,
    people: &People<'a>,
) -> Result<(&'a str, Style), Report> {
    let tag = people.to.language.as_ref().map_or(clinic.language.as_str(), |l| l.value.as_str());
    match Language::of(tag, clinic.region.as_deref()) {
        Some(language) => Ok((tag, Style::new(language, clinic.dates))),
        None => Err(unwritten(entry, format!("there are no letters in the language `{tag}`"))),
    }
}

/// The name of the template that a letter is written with.
fn template_of(
    templates: &Templates,
    entry: &LetterEntry,
    role: Role,
    stage: Option<&str>,
    language: &str,
) -> Result<String, Report> {
    let stems = variant::stems(*entry.kind, role, stage);
    let named = |stem: &String| format!("letters/{language}/{stem}.md.j2");
    let found = stems.iter().map(named).find(|name| templates.sources().contains_key(name));
    found.ok_or_else(|| {
        let kind = entry.kind.word();
        unwritten(entry, format!("there is no template for a letter of kind `{kind}`"))
    })
}

/// Reasons of a denial name criteria that some edition of the payer's has.
fn reasons_known(payer: &Payer, request: &Request, report: &mut Report) {
    let reasons = request.denial.iter().flat_map(|d| &d.reasons);
    for named in reasons.filter_map(|r| r.criterion.as_ref()) {
        let mut all = payer.policies.iter().flat_map(|p| &p.criteria);
        if !all.any(|c| c.id.value == named.value) {
            let message =
                format!("`{}` is no criterion of payer `{}`", named.value, payer.id.value);
            report.add(Code::CriterionUnknown, &named.place, message);
        }
    }
}

/// What a letter to a payer cannot do without, each named with who has it.
fn lacking(entry: &LetterEntry, derived: &Derived) -> Report {
    let mut report = Report::default();
    for item in required(*entry.kind, &derived.facts) {
        let message = format!("letter `{}` lacks: {}", *entry.id, item.what);
        let fault = Diagnostic::new(Code::LetterLacksItem, Some(entry.place.clone()), message);
        report.push(match item.who {
            Some(who) => fault.remedy(format!("ask {who}")),
            None => fault,
        });
    }
    report
}

/// Figures of risk that the letter asks for and that may not be told.
fn untold(entry: &LetterEntry, facts: &Facts) -> Report {
    let root = "risk_told.refused";
    let mut report = Report::default();
    for refused in facts.children(root) {
        let of = |item: &str| facts.get(&format!("{root}.{refused}.{item}"));
        let (Some(which), Some(why)) = (of("which").and_then(Fact::word), of("why")) else {
            continue;
        };
        if let Value::Text(why) = &why.value {
            report.extend(not_told(entry, Some(which), why.clone()));
        }
    }
    report
}

fn not_told(entry: &LetterEntry, which: Option<&str>, why: String) -> Report {
    let asked = entry.risk.iter().find(|r| which.is_none_or(|which| r.value.word() == which));
    let place = asked.map_or(&entry.place, |asked| &asked.place);
    let of = which.map(|which| format!(" by `{which}`")).unwrap_or_default();
    let mut report = Report::default();
    let message = format!("letter `{}` cannot tell the risk{of}: {why}", *entry.id);
    report.add(Code::RiskNotTold, place, message);
    report
}

fn tells_risk(id: &FactId) -> bool {
    id.as_str().starts_with("risk_told.")
}

fn unwritten(entry: &LetterEntry, message: String) -> Report {
    let mut report = Report::default();
    report.add(Code::LetterKindUnwritten, &entry.kind.place, message);
    report
}

/// The step that makes letters for a build.
pub fn maker(
    press: &Press,
) -> impl Fn(&Case, &LetterEntry, &Clinic) -> Result<Made, Report> + Sync + '_ {
    move |case, entry, clinic| press.typeset(press.write(case, entry, clinic)?, entry)
}
