//! The SRS-22r: 22 questions, 1 to 5 points, 5 best, in five domains.
//!
//! A domain is the mean of its answered questions, and so is the total; a
//! question without an answer, or with two, leaves the denominator. Of the
//! four domains of five questions at least three must be answered; the
//! domain of satisfaction is excepted
//! ([`SRS22R`](crate::evidence::works::SRS22R)). No question is turned round:
//! the points belong to the wording of each option.

use super::{Answer, tally};
use crate::evidence::{Grade, Source, works};
use crate::quantity::{Reported, Unit};

/// How many questions there are.
pub const QUESTIONS: usize = 22;

/// How few answers make a domain of five questions; satisfaction needs one.
pub const FEWEST: u32 = 3;

/// A domain.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Domain {
    Function,
    Pain,
    SelfImage,
    MentalHealth,
    Satisfaction,
}

impl Domain {
    /// Every domain, satisfaction last: the subtotal leaves it out.
    pub const ALL: [Domain; 5] = [
        Domain::Function,
        Domain::Pain,
        Domain::SelfImage,
        Domain::MentalHealth,
        Domain::Satisfaction,
    ];

    /// The numbers of its questions, from 1.
    pub fn questions(self) -> &'static [usize] {
        match self {
            Domain::Function => &[5, 9, 12, 15, 18],
            Domain::Pain => &[1, 2, 8, 11, 17],
            Domain::SelfImage => &[4, 6, 10, 14, 19],
            Domain::MentalHealth => &[3, 7, 13, 16, 20],
            Domain::Satisfaction => &[21, 22],
        }
    }

    /// The part of a fact id.
    pub fn key(self) -> &'static str {
        match self {
            Domain::Function => "function",
            Domain::Pain => "pain",
            Domain::SelfImage => "self_image",
            Domain::MentalHealth => "mental_health",
            Domain::Satisfaction => "satisfaction",
        }
    }

    /// The domain in words.
    pub fn words(self) -> &'static str {
        match self {
            Domain::Function => "function",
            Domain::Pain => "pain",
            Domain::SelfImage => "self-image",
            Domain::MentalHealth => "mental health",
            Domain::Satisfaction => "satisfaction with treatment",
        }
    }

    /// How few answers make the domain.
    fn fewest(self) -> u32 {
        if self == Domain::Satisfaction { 1 } else { FEWEST }
    }

    /// How well it is known which questions belong here: those of
    /// satisfaction are from memory.
    pub fn source(self) -> Source {
        match self {
            Domain::Satisfaction => Source {
                work: Some(&works::SRS22R),
                grade: Grade::Memory,
                note: "mean of the answered; that questions 21 and 22 are the domain is from memory",
            },
            _ => Source::read(
                &works::SRS22R_ITEMS,
                "mean of the answered questions, at least 3 of 5",
            ),
        }
    }
}

/// Where the total comes from.
pub const TOTAL_SOURCE: Source =
    Source::read(&works::SRS22R, "mean of all answered questions, 5 best");

/// A mean over answered questions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mean {
    /// Sum of the points.
    pub points: u32,
    /// Questions with one answer.
    pub answered: u32,
    /// Questions asked.
    pub of: u32,
}

impl Mean {
    /// The mean before rounding; the caller has made sure of an answer.
    pub fn exact(self) -> f64 {
        f64::from(self.points) / f64::from(self.answered)
    }

    /// The mean to two decimals, as the questionnaire prints it.
    pub fn reported(self) -> Reported {
        Reported::round(self.exact(), 2, Unit::One)
    }

    /// The sum of points where every question is answered.
    pub fn raw(self) -> Option<u32> {
        (self.answered == self.of).then_some(self.points)
    }
}

/// Why a mean is not given.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TooFew {
    /// The domain that has too few answers.
    pub domain: Domain,
    /// Questions with one answer.
    pub answered: u32,
    /// How many it takes.
    pub fewest: u32,
}

impl std::fmt::Display for TooFew {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        let of = self.domain.questions().len();
        let TooFew { domain, answered, fewest } = self;
        let words = domain.words();
        write!(f, "{answered} of {of} questions of {words} answered, fewer than {fewest}")
    }
}

/// All 22 answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Srs22r([Answer; QUESTIONS]);

impl Srs22r {
    /// The answers in the order of the questions; `None` for any other count.
    pub fn new(answers: &[Answer]) -> Option<Srs22r> {
        answers.try_into().ok().map(Srs22r)
    }

    fn tally(&self, domains: &[Domain]) -> Mean {
        let questions: Vec<usize> =
            domains.iter().flat_map(|d| d.questions()).map(|q| q - 1).collect();
        let (points, answered) = tally(questions.iter().map(|q| self.0[*q]));
        Mean { points, answered, of: questions.len() as u32 }
    }

    /// The mean of a domain.
    pub fn domain(&self, domain: Domain) -> Result<Mean, TooFew> {
        let mean = self.tally(&[domain]);
        let (answered, fewest) = (mean.answered, domain.fewest());
        if answered < fewest {
            return Err(TooFew { domain, answered, fewest });
        }
        Ok(mean)
    }

    fn over(&self, domains: &[Domain]) -> Result<Mean, TooFew> {
        for domain in domains {
            self.domain(*domain)?;
        }
        Ok(self.tally(domains))
    }

    /// The mean of all answered questions. Withheld where a domain is not
    /// scored: a mean over four subjects is another measure (our own choice;
    /// the questionnaire is silent on it).
    pub fn total(&self) -> Result<Mean, TooFew> {
        self.over(&Domain::ALL)
    }

    /// The mean without satisfaction, as it is used before any treatment.
    pub fn subtotal(&self) -> Result<Mean, TooFew> {
        self.over(&Domain::ALL[..4])
    }
}
