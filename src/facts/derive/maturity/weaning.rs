//! `maturity.weaning.*`: the three signs of maturity one study weans by, each
//! answered yes, no or cannot tell by itself. They say what was found, not
//! that a brace should be weaned.

use chrono::{Months, NaiveDate};

use super::menarche::{self, State};
use super::{latest, scale};
use crate::case::{Case, Exam};
use crate::course::growth::velocity::months_between;
use crate::course::maturity::{
    WEANING_GROWTH_MONTHS, WEANING_MENARCHE_MONTHS, WEANING_SOURCE, little_growth,
    risser_reaches_four,
};
use crate::facts::derive::maker::Maker;
use crate::facts::derive::patient::menarche_applies;
use crate::facts::derive::record::exam_path;
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};

/// The three signs.
pub(super) fn weaning(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let value = |answer: Result<bool, Missing>| match answer {
        Ok(yes) => Value::Word(if yes { "yes" } else { "no" }),
        Err(missing) => Value::Missing(missing),
    };
    make.fact("maturity.weaning.risser", "Risser 4 or more", value(risser(case)))
        .from("maturity.risser.grade")
        .from("maturity.risser.scale")
        .by("4 or more of the United States scale; French 0 to 2 lie below it, 4 and 5 beyond, 3 may be either", WEANING_SOURCE)
        .done();
    make.fact(
        "maturity.weaning.menarche",
        "two years or more since the first period",
        value(two_years(case, as_of)),
    )
    .from("maturity.menarche.months_since_fewest")
    .from("maturity.menarche.months_since_most")
    .by("24 completed months or more, by the fewest and the most", WEANING_SOURCE)
    .done();
    growth(make, case);
}

fn risser(case: &Case) -> Result<bool, Missing> {
    let (_, risser) = latest(case, |m| m.risser.as_ref()).ok_or_else(|| Missing::NotRecorded {
        item: "Risser grade".into(),
        who: "the reader of the film".into(),
    })?;
    risser_reaches_four(scale(risser.scale.value), risser.grade.value).ok_or_else(|| {
        Missing::CannotTell("French grade 3 lies on both sides of United States grade 4".into())
    })
}

fn two_years(case: &Case, as_of: NaiveDate) -> Result<bool, Missing> {
    if !menarche_applies(case) {
        return Err(Missing::NotApplicable("the patient is recorded as male".into()));
    }
    match menarche::sign(case, as_of) {
        Some(State::Had(since)) => since.at_least(WEANING_MENARCHE_MONTHS).ok_or_else(|| {
            Missing::CannotTell(format!(
                "{} to {} months since the first period",
                since.fewest, since.most
            ))
        }),
        // Not come by that day, so fewer than the months since then.
        Some(State::NotYet(on)) if months_between(on, as_of) < WEANING_MENARCHE_MONTHS => Ok(false),
        Some(State::NotYet(on)) => Err(Missing::CannotTell(format!("last asked on {on}"))),
        None => Err(Missing::NotRecorded { item: "first period".into(), who: "the family".into() }),
    }
}

/// Two examinations and whether growth between them was little.
struct Judged<'a> {
    from: &'a Exam,
    to: &'a Exam,
    answer: Option<bool>,
}

/// The latest height against the nearest one six months or more before; and
/// against any later one, which can only say that growth was too much.
fn judged(case: &Case) -> Option<Judged<'_>> {
    let exams: Vec<&Exam> = case.exams.iter().filter(|e| e.height.is_some()).collect();
    let (to, before) = exams.split_last()?;
    let months = |e: &Exam| months_between(e.on.value, to.on.value);
    let against = |from: &Exam| {
        let six = from.on.value.checked_add_months(Months::new(WEANING_GROWTH_MONTHS));
        let exactly = six == Some(to.on.value);
        little_growth(height(to).minus(height(from)), months(from), exactly)
    };
    let far = before.iter().rev().find(|e| months(e) >= WEANING_GROWTH_MONTHS);
    let near = before.iter().rev().filter(|e| months(e) < WEANING_GROWTH_MONTHS);
    let too_much = near.rev().find(|e| against(e) == Some(false));
    let from = too_much.or(far).or(before.last())?;
    Some(Judged { from, to, answer: against(from) })
}

fn height(exam: &Exam) -> Reported {
    let length = exam.height.as_ref().expect("only exams with a height are asked");
    Reported::round(length.to_millimetres() / 10.0, 1, Unit::Centimetre)
}

/// Whether growth was below 1 cm in six months, and the day of the last height.
pub(in crate::facts::derive) fn little(case: &Case) -> Option<(bool, NaiveDate)> {
    let judged = judged(case)?;
    Some((judged.answer?, judged.to.on.value))
}

fn growth(make: &mut Maker, case: &Case) {
    let (id, label) = ("maturity.weaning.growth", "less than 1 cm of growth in six months");
    let Some(judged) = judged(case) else {
        let none = Missing::CannotTell("there are not two heights".into());
        make.missing(id, label, none);
        return;
    };
    let Judged { from, to, answer } = judged;
    let value = match answer {
        Some(yes) => Value::Word(if yes { "yes" } else { "no" }),
        None => Value::Missing(Missing::CannotTell(format!(
            "{} cm from {} to {} do not say how much fell into six months",
            height(to).minus(height(from)).digits(),
            from.on.value,
            to.on.value
        ))),
    };
    let place = |e: &Exam| e.height.as_ref().expect("has a height").place.clone();
    make.fact(id, label, value)
        .record(format!("{} / height", exam_path(from)), &place(from))
        .record(format!("{} / height", exam_path(to)), &place(to))
        .by("reported heights; growth within an interval is no more than over it", WEANING_SOURCE)
        .done();
}
