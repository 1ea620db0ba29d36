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
use super::output::Output;
use super::spoken::{self, style};
use crate::case::{Case, Clinic, LetterEntry, Request, Role};
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::facts::{Derived, Fact, FactId, Facts, Value, derive};
use crate::figure::fill::{Shown, fill};
use crate::letter::block::{Block, Letter};
use crate::letter::compose::{compose, compose_for};
use crate::letter::drawing::Pictures;
use crate::letter::extra::Extra;
use crate::letter::frame::{Standing, extras, frame, letter_date, people};
use crate::letter::parity;
use crate::letter::reading::exceptions::TradeWords;
use crate::letter::reading::{self, Reading};
use crate::letter::template::Templates;
use crate::letter::variant;
use crate::letter::wording::Style;
use crate::render::{Typesetter, text};
use crate::rules::items::{self, ItemTable};
use crate::rules::payer::{self, Asking, CriterionVerdict, Payer, Policy, evaluate, told};
use crate::rules::readers::{Door, Reader, Readers};
use crate::rules::{MissingItem, as_facts, catalogue};

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
    /// The bytes of the pictures its figures show.
    pub pictures: Pictures,
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
    readers: Readers,
    reader_texts: BTreeMap<String, String>,
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
        let languages = spoken::languages(folder);
        let languages: Vec<&str> = languages.iter().map(String::as_str).collect();
        parity::faults(&templates, &languages).into_iter().for_each(|fault| report.push(fault));
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
        let reader_texts = embedded::readers(folder, &mut report);
        let readers = read_readers(&reader_texts, &mut report);
        report.extend(templates.closed_to(&readers));
        Press {
            templates,
            typesetter,
            payers,
            payer_texts,
            care,
            readers,
            reader_texts,
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
        let readers = self.reader_texts.iter().map(|(name, text)| (name, &**text));
        let named = templates.chain(payers).chain(care).chain(readers);
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
        let style = style(clinic, entry, &people)?;
        let tag = style.language.tag;
        let stage = derived.facts.get("patient.stage").and_then(Fact::word);
        let stem = stem_of(&self.templates, entry, people.to.role.value, stage, tag)?;
        let reader = self.reader(&stem, entry)?;
        let mut lacks = lacking(entry, reader, &derived);
        lacks.extend(untold(entry, &derived.facts));
        if lacks.has_errors() {
            return Err(lacks);
        }
        let name = template(tag, &stem);
        let extras = extras(&derived.known, clinic, entry, &people, &style);
        let composed =
            compose_for(reader, &self.templates, &name, &derived.facts, &style, &extras)?;
        if !entry.risk.is_empty() && !composed.printed.iter().any(tells_risk) {
            let why = "the template of this kind tells no risk".to_string();
            return Err(not_told(entry, None, why));
        }
        let frame = frame(&derived.known, clinic, entry, &people, &style, standing)?;
        spoken::untranslated(&composed, &mut derived, entry, &style);
        let mut blocks = composed.blocks;
        let (known, facts) = (&derived.known, &derived.facts);
        let shown = Shown { known, facts, style: &style, limits: &clinic.limits };
        let pictures = fill(&mut blocks, &shown);
        let reading = self.reading(&name, &blocks, &derived.facts);
        let budget = clinic.limits.reading_grade();
        let complain = |r: &Reading| r.complaint(&entry.id.value, budget, &entry.place);
        let complaint = reading.as_ref().and_then(complain);
        complaint.into_iter().for_each(|fault| derived.report.push(fault));
        Ok(Written {
            letter: Letter { frame, blocks },
            pictures,
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

    /// What the reader of a wording needs; without it nothing is written, since
    /// nobody could say what is closed to them.
    fn reader(&self, stem: &str, entry: &LetterEntry) -> Result<&Reader, Report> {
        self.readers.get(stem).ok_or_else(|| {
            let file = format!("templates/rules/readers/{stem}.yaml");
            let message = format!("what the reader needs is not known: {file} has faults");
            let advice = format!("correct {file}, whose faults are listed too");
            spoken::unwritten(entry, message, Some(advice))
        })
    }

    /// Everything missing that a wording's reader cannot do without, with who
    /// has it.
    pub fn lacking(&self, stem: &str, facts: &Facts) -> Vec<MissingItem> {
        self.readers.get(stem).map(|reader| reader.lacking(facts)).unwrap_or_default()
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
        let style = style(clinic, entry, &people)?;
        let mut extras = extras(case, clinic, entry, &people, &style);
        extras.insert(about.0.to_string(), about.1);
        let name = format!("letters/{}/{template}.md.j2", style.language.tag);
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

    /// Whether a template of words of no single letter exists in a language.
    pub fn has_page(&self, template: &str, tag: &str) -> bool {
        self.templates.has(&format!("letters/{tag}/{template}.md.j2"))
    }

    /// The way dates and numbers are written to a letter's reader.
    pub fn style(
        &self,
        case: &Case,
        entry: &LetterEntry,
        clinic: &Clinic,
    ) -> Result<Style, Report> {
        style(clinic, entry, &people(case, clinic, entry)?)
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
        let style = style(clinic, entry, &people)?;
        Ok(Letter { frame: frame(case, clinic, entry, &people, &style, standing)?, blocks })
    }

    /// The pages of a letter, with the pictures its figures show.
    pub fn pdf(&self, letter: &Letter, pictures: &Pictures) -> Result<Vec<u8>, Report> {
        self.typesetter.pdf(letter, pictures).map_err(|faults| {
            let mut report = Report::default();
            faults.into_iter().for_each(|fault| report.push(fault));
            report
        })
    }

    /// Typesets a written letter.
    pub fn typeset(&self, written: Written, entry: &LetterEntry) -> Result<Made, Report> {
        let pdf = self.set(&written, entry, Output::Pdf)?;
        Ok(Made { pdf, warnings: written.derived.report })
    }

    /// The bytes of a letter in one of its forms. What the pages could not
    /// show is refused for all of them, so that they never say different things.
    pub fn set(
        &self,
        written: &Written,
        entry: &LetterEntry,
        output: Output,
    ) -> Result<Vec<u8>, Report> {
        let Written { letter, pictures, .. } = written;
        let mut report = Report::default();
        for missing in self.typesetter.check_glyphs(letter) {
            report.push(Diagnostic::new(
                Code::MissingGlyph,
                Some(entry.place.clone()),
                missing.to_string(),
            ));
        }
        if report.has_errors() {
            return Err(report);
        }
        let made = match output {
            Output::Pdf => self.typesetter.pdf(letter, pictures),
            Output::Html => self.typesetter.html(letter, pictures).map(String::into_bytes),
            Output::Text => Ok(text::plain(letter).into_bytes()),
        };
        made.map_err(|faults| {
            faults.into_iter().for_each(|f| report.push(f));
            report
        })
    }
}

/// The stem of the template that a letter is written with.
fn stem_of(
    templates: &Templates,
    entry: &LetterEntry,
    role: Role,
    stage: Option<&str>,
    language: &str,
) -> Result<String, Report> {
    let stems = variant::stems(*entry.kind, role, stage);
    let written = |stem: &String| templates.sources().contains_key(&template(language, stem));
    let found = stems.into_iter().find(written);
    found.ok_or_else(|| spoken::no_template(templates, entry, role, language))
}

/// The name of a template.
fn template(language: &str, stem: &str) -> String {
    format!("letters/{language}/{stem}.md.j2")
}

/// The readers of a clinic; each fault of a file is reported.
pub(super) fn read_readers(texts: &BTreeMap<String, String>, report: &mut Report) -> Readers {
    let files = texts.iter().map(|(name, text)| (name.as_str(), text.as_str()));
    Readers::read(files, &catalogue::kind, report)
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

/// What a letter cannot do without, each item named with who has it, and
/// enclosures that are closed to its reader.
fn lacking(entry: &LetterEntry, reader: &Reader, derived: &Derived) -> Report {
    let mut report = Report::default();
    for item in reader.lacking(&derived.facts) {
        let message = format!("letter `{}` lacks: {}", *entry.id, item.what);
        let fault = Diagnostic::new(Code::LetterLacksItem, Some(entry.place.clone()), message);
        report.push(match item.who {
            Some(who) => fault.remedy(format!("ask {who}")),
            None => fault,
        });
    }
    let films = entry.enclosed.iter().map(|film| &film.place);
    let others = entry.enclosures.iter().map(|e| &e.place);
    if let Door::Closed(line) = reader.access.door("entry.enclosed") {
        for place in films.chain(others) {
            let message = format!("enclosures are closed to the reader `{}`", *reader.stem);
            let fault = Diagnostic::new(Code::ClosedToReader, Some(place.clone()), message);
            report.push(fault.related(line.clone(), "closed here").remedy("enclose nothing"));
        }
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

/// The step that makes letters for a build.
pub fn maker(
    press: &Press,
) -> impl Fn(&Case, &LetterEntry, &Clinic) -> Result<Made, Report> + Sync + '_ {
    move |case, entry, clinic| press.typeset(press.write(case, entry, clinic)?, entry)
}
