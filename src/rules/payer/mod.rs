//! A payer's criteria: dated policies, each criterion in the payer's words.
//!
//! The file restates a policy as conditions over facts; criteria that no fact
//! can answer are answered by a person in the request (`statements`).

mod behind;
mod evaluate;
mod read;
mod rounding;
mod short;
pub mod told;

pub use evaluate::{CriterionVerdict, Statement, evaluate};
pub use read::read;
pub use short::Shortfall;
pub use told::Asking;

use chrono::NaiveDate;

use crate::diag::{Code, Diagnostic, Located, Place, Report};
use crate::facts::FactId;
use crate::quantity::PartialDate;

use super::condition::Condition;

/// A payer with its policies.
#[derive(Debug, Clone)]
pub struct Payer {
    /// Id used in case files (`coverage.payer`, `requests.to`).
    pub id: Located<String>,
    /// Name as letters print it.
    pub name: Located<String>,
    /// Policies in the order they are written; no two are in force on one day.
    pub policies: Vec<Policy>,
    /// Years for which an orthosis counts as useful, if the payer's file says
    /// so: information, never a criterion by itself.
    pub useful_lifetime: Option<Located<u32>>,
    /// Where the file begins.
    pub place: Place,
}

impl Payer {
    /// The policy in force on a letter's date; a diagnostic if there is none.
    pub fn policy_on(&self, day: NaiveDate, report: &mut Report) -> Option<&Policy> {
        let found = self.policies.iter().find(|policy| policy.in_force(day));
        if found.is_none() {
            let spans: Vec<String> = self.policies.iter().map(Policy::span).collect();
            let message = format!(
                "no policy of {} is in force on {day}; the file has {}",
                self.id.value,
                if spans.is_empty() { "none".into() } else { spans.join(", ") }
            );
            report.push(Diagnostic::new(Code::NoPolicyInForce, Some(self.place.clone()), message));
        }
        found
    }
}

/// One dated edition of a policy.
#[derive(Debug, Clone)]
pub struct Policy {
    /// The payer's name or number for it.
    pub policy: Located<String>,
    /// The section that holds the criteria.
    pub section: Option<Located<String>>,
    /// Edition, as precisely as the payer dates it.
    pub edition: Located<PartialDate>,
    /// First day in force.
    pub valid_from: Located<NaiveDate>,
    /// Last day in force; absent while it has no end.
    pub valid_to: Option<Located<NaiveDate>>,
    /// Criteria in the payer's order.
    pub criteria: Vec<Criterion>,
    /// Where the policy is written.
    pub place: Place,
}

impl Policy {
    /// Whether it is in force on a day; the first and the last day count.
    pub fn in_force(&self, day: NaiveDate) -> bool {
        self.valid_from.value <= day && self.valid_to.as_ref().is_none_or(|end| day <= end.value)
    }

    /// `2026-07 (2026-07-01 to 2026-12-31)`, for messages.
    fn span(&self) -> String {
        let end = self.valid_to.as_ref().map_or("further notice".into(), |end| end.to_string());
        format!("{} ({} to {end})", self.edition.value, self.valid_from.value)
    }
}

/// One criterion.
#[derive(Debug, Clone)]
pub struct Criterion {
    /// The payer's number for it.
    pub id: Located<String>,
    /// The criterion in the payer's words.
    pub worded: Located<String>,
    /// How it is answered.
    pub answer: Answer,
    /// Facts shown beside the verdict that are not judged: a date, a reader.
    pub evidence_of: Vec<FactId>,
    /// Who can supply what is missing, where the records do not say.
    pub needs: Option<Located<String>>,
    /// Where the criterion is written.
    pub place: Place,
}

/// How a criterion is answered.
#[derive(Debug, Clone)]
pub enum Answer {
    /// By a condition over facts.
    When(Condition),
    /// By a person, under this key of the request's statements.
    Stated(Located<String>),
}
