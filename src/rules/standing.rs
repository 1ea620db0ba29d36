//! How well a rule is founded, and what it cites.

use crate::case::node::Node;
use crate::diag::{Code, Diagnostic, Report};
use crate::evidence::{Grade, Source, Work};

use super::condition::BoundSource;
use super::fields::Fields;
use super::read;

/// What stands behind a row. Where rows of several kinds hold, the best
/// founded ones decide and the others are shown beside them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// What the trade does; no source.
    CommonPractice,
    /// A single publication.
    Paper,
    /// A guideline of a society.
    Guideline,
    /// The clinic's own rule.
    Clinic,
}

impl Standing {
    /// The words of a rule file, weakest first.
    pub const WORDS: &'static [&'static str] = &["common practice", "paper", "guideline", "clinic"];

    /// The word.
    pub fn word(self) -> &'static str {
        Standing::WORDS[self as usize]
    }

    fn from_word(word: &str) -> Option<Standing> {
        let all =
            [Standing::CommonPractice, Standing::Paper, Standing::Guideline, Standing::Clinic];
        all.into_iter().find(|s| s.word() == word)
    }

    /// The grade of evidence that goes with it.
    pub fn grade(self) -> Grade {
        match self {
            Standing::CommonPractice => Grade::CommonPractice,
            Standing::Paper | Standing::Guideline => Grade::Read,
            Standing::Clinic => Grade::ClinicSetting,
        }
    }
}

/// A standing with what it cites.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Basis {
    /// How well it is founded.
    pub standing: Standing,
    /// The work, or words of the rule's author.
    pub source: BoundSource,
}

impl Basis {
    /// The keys `grade` and `source` of a rule. A guideline and a paper name
    /// the published work.
    pub(super) fn read(fields: &Fields, report: &mut Report) -> Option<Basis> {
        let grade = fields.need_text("grade", report);
        let source = fields.need("source", report).and_then(|n: &Node| read::source_of(n, report));
        let (grade, source) = (grade?, source?);
        let Some(standing) = Standing::from_word(&grade.value) else {
            let message = format!("there is no grade `{}`", grade.value);
            let fault = Diagnostic::new(Code::RuleForm, Some(grade.place.clone()), message);
            let words = Standing::WORDS.join(", ");
            report.push(fault.remedy(format!("the grades are: {words}")));
            return None;
        };
        let published = matches!(standing, Standing::Paper | Standing::Guideline);
        if published && !matches!(source, BoundSource::Work(..)) {
            let message = format!("a row of grade `{}` names no published work", standing.word());
            let fault = Diagnostic::new(Code::RuleForm, Some(grade.place.clone()), message);
            report.push(fault.remedy("write `source: {work: KEY, note: WHAT IN IT}`"));
            return None;
        }
        Some(Basis { standing, source })
    }

    /// The publication, if it is one.
    pub fn work(&self) -> Option<&'static Work> {
        match &self.source {
            BoundSource::Work(work, _) => Some(work),
            _ => None,
        }
    }

    /// The source in words: citation and note, or the author's own words.
    pub fn words(&self) -> String {
        match &self.source {
            BoundSource::Work(work, Some(note)) => format!("{}: {note}", work.citation),
            BoundSource::Work(work, None) => work.citation.into(),
            BoundSource::Words(words) => words.clone(),
            BoundSource::Policy => "the rule file".into(),
        }
    }

    /// What in the work is meant, or the author's own words: the citation
    /// stands beside it.
    pub(super) fn note(&self) -> &str {
        match &self.source {
            BoundSource::Work(_, note) => note.as_deref().unwrap_or("the rule file"),
            BoundSource::Words(words) => words,
            BoundSource::Policy => "the rule file",
        }
    }

    /// The source of a fact that rests on it.
    pub(super) fn evidence(&self) -> Source {
        Source { work: self.work(), grade: self.standing.grade(), note: "" }
    }
}
