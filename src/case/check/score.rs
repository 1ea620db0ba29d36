//! Questionnaires: as many answers as questions, and typed totals that agree.

use super::{Check, plain};
use crate::case::{Answers, Exam};
use crate::course::score::Answer;
use crate::course::score::odi::{self, Odi};
use crate::course::score::srs22r::{self, Srs22r};
use crate::diag::{Code, Located};
use crate::quantity::{Reported, Unit, math};

pub(super) fn check(look: &mut Check) {
    for exam in &look.case.exams {
        if let Some(answers) = &exam.srs22r {
            counted(look, exam, "srs22r", answers, srs22r::QUESTIONS);
            let total = |a: &[Answer]| Srs22r::new(a)?.total().ok().map(|m| m.exact());
            agrees(look, exam, "SRS-22r", answers, total);
        }
        if let Some(answers) = &exam.odi {
            counted(look, exam, "odi", answers, odi::SECTIONS);
            agrees(look, exam, "ODI", answers, |a| Odi::new(a)?.exact());
        }
    }
}

/// An answer too many or too few: from there on, every answer may belong to
/// the next question.
fn counted(look: &mut Check, exam: &Exam, key: &str, answers: &Answers, questions: usize) {
    let found = answers.answers.len();
    if found == questions || !look.whole(&exam.place) {
        return;
    }
    let message = format!("`{key}` of {} has {found} answers, not {questions}", *exam.on);
    look.fault(Code::WrongNumberOfAnswers, &answers.place, message);
}

/// A typed total against the answers. One step of its last decimal is
/// allowed: sheets cut where others round.
fn agrees(
    look: &mut Check,
    exam: &Exam,
    name: &str,
    answers: &Answers,
    score: impl Fn(&[Answer]) -> Option<f64>,
) {
    let Some(typed) = exam.scores.get(name) else { return };
    let plain_answers: Vec<Answer> = answers.answers.iter().map(|a| a.value).collect();
    let Some(computed) = score(&plain_answers) else { return };
    if (typed.value.value() - computed).abs() < step(typed) + 1e-9 {
        return;
    }
    let unit = if typed.value.unit() == Unit::Percent { " %" } else { "" };
    let message = format!(
        "{name} of {} is typed as {}{unit}, its answers give {}{unit}",
        *exam.on,
        typed.value.digits(),
        plain((computed * 100.0).round() / 100.0)
    );
    let other = (&answers.place, "the answers");
    look.fault_with(Code::ScoreDisagrees, &typed.place, message, other);
}

/// One step of the last decimal typed.
fn step(typed: &Located<Reported>) -> f64 {
    math::ten_to_minus(typed.value.decimals())
}
