//! Facts on the person, the referral and the diagnosis.

use chrono::NaiveDate;

use super::maker::{Maker, day, text, whole, yes_no};
use super::onset::{self, Onset};
use crate::case::{Case, Cause, Clinic, Deformity, DueTo, Sex};
use crate::course::age::OnsetClass;
use crate::evidence::{Source, works};
use crate::facts::{Missing, Value};
use crate::quantity::{Age, Unit};
use crate::spine::Column;

/// `patient.*`.
pub fn patient(make: &mut Maker, case: &Case, as_of: NaiveDate) {
    let p = &case.patient;
    let record = "patient";
    make.fact("patient.name", "full name", text(&p.name))
        .record("patient / name", &p.name.place)
        .done();
    let called = p.called.as_ref().unwrap_or(&p.name);
    make.fact("patient.called", "name they go by", text(called))
        .record("patient / called", &called.place)
        .done();
    make.fact("patient.born", "date of birth", day(p.born.value))
        .record("patient / born", &p.born.place)
        .done();
    make.fact("patient.sex", "sex as recorded", Value::Word(p.sex.word()))
        .record("patient / sex", &p.sex.place)
        .done();
    make.recorded(
        "patient.pronouns",
        "pronouns",
        record,
        p.pronouns.as_ref(),
        |w| Value::Word(w.word()),
        "the family",
        &p.place,
    );
    make.recorded(
        "patient.record_no",
        "record number",
        "record_no",
        case.record_no.as_ref(),
        |t| text(t),
        "the clinic",
        &case.place,
    );
    let age = Age::on(p.born.value, as_of);
    match age {
        Some(age) => make
            .fact("patient.age", "age on the day of the letter", Value::Age(age))
            .record("patient / born", &p.born.place)
            .by("completed years and months from birth to the letter's day", Source::definition(""))
            .done(),
        None => make.missing(
            "patient.age",
            "age",
            Missing::CannotTell("the day lies before birth".into()),
        ),
    };
    let stage = match age {
        Some(age) if age.years < 10 => "child",
        Some(age) if age.years < 18 => "adolescent",
        _ => "adult",
    };
    make.fact("patient.stage", "child, adolescent or adult", Value::Word(stage))
        .from("patient.age")
        .by(
            "child below 10 years, adolescent from 10, adult from 18",
            Source::read(&works::BJF, "age classes; 18 for adults from memory of a guideline"),
        )
        .done();
    column(make, case);
    background(make, case);
    referral(make, case);
}

/// `patient.thoracic`, `.lumbar`: the vertebra counts that levels refer to.
fn column(make: &mut Maker, case: &Case) {
    let column = case.patient.column;
    let counts = [("thoracic", column.thoracic()), ("lumbar", column.lumbar())];
    for (item, count) in counts {
        let value = whole(i64::from(count), Unit::One);
        make.fact(format!("patient.{item}"), format!("number of {item} vertebrae"), value)
            .record("patient / vertebrae", &case.patient.place)
            .by("twelve and five unless declared", Source::definition(""))
            .done();
    }
    let usual = column == Column::default();
    make.fact("patient.usual_column", "whether the counts are twelve and five", yes_no(usual))
        .from("patient.thoracic")
        .from("patient.lumbar")
        .done();
}

fn background(make: &mut Maker, case: &Case) {
    let b = &case.background;
    let home = &case.place;
    make.recorded(
        "background.allergies",
        "allergies",
        "background",
        b.allergies.as_ref(),
        |t| text(t),
        "the family",
        home,
    );
    make.recorded(
        "background.implants",
        "implants",
        "background",
        b.implants.as_ref(),
        |t| text(t),
        "the family",
        home,
    );
    for (n, condition) in b.conditions.iter().enumerate() {
        make.fact(
            format!("background.conditions.c{}", n + 1),
            "another condition",
            text(condition),
        )
        .record("background / conditions", &condition.place)
        .done();
    }
    match &b.family_history {
        None => {
            make.not_recorded(
                "background.family",
                "family history",
                "the family",
                "background",
                home,
            );
        }
        Some(list) => {
            let word = if list.is_empty() { "none" } else { "some" };
            let place = list.first().map_or(home, |r| &r.who.place);
            make.fact("background.family", "whether a relative has a curve", Value::Word(word))
                .record("background / family_history", place)
                .done();
            for (n, relative) in list.iter().enumerate() {
                let path = format!("background.relatives.r{}", n + 1);
                make.fact(format!("{path}.who"), "relative", text(&relative.who))
                    .record("background / family_history", &relative.who.place)
                    .done();
                make.fact(format!("{path}.what"), "condition of a relative", text(&relative.what))
                    .record("background / family_history", &relative.what.place)
                    .done();
            }
        }
    }
}

fn referral(make: &mut Maker, case: &Case) {
    let home = &case.place;
    let r = case.referral.as_ref();
    make.recorded(
        "referral.on",
        "date of referral",
        "referral",
        r.map(|r| &r.on),
        |d| day(*d),
        "the clinic",
        home,
    );
    make.recorded(
        "referral.why",
        "reason for referral",
        "referral",
        r.and_then(|r| r.why.as_ref()),
        |t| text(t),
        "the clinic",
        home,
    );
}

/// `diagnosis.*`, after the curves are known: below the definition of
/// scoliosis nothing is called one.
pub fn diagnosis(make: &mut Maker, case: &Case, clinic: &Clinic, below_definition: Option<bool>) {
    let d = &case.diagnosis;
    make.fact("diagnosis.cause", "cause", Value::Word(d.cause.word()))
        .record("diagnosis / cause", &d.cause.place)
        .done();
    make.fact("diagnosis.deformity", "deformity followed", Value::Word(d.deformity.word()))
        .record("diagnosis / deformity", &d.deformity.place)
        .done();
    make.recorded(
        "diagnosis.found",
        "when the curve was found",
        "diagnosis",
        d.found.as_ref(),
        |f| Value::Date(*f),
        "the referring doctor",
        &d.place,
    );
    make.recorded(
        "diagnosis.underlying",
        "underlying condition",
        "diagnosis",
        d.underlying.as_ref(),
        |t| text(t),
        "the referring doctor",
        &d.place,
    );
    due_to(make, case);
    onset::facts(make, case, clinic);
    let class = Onset::of(case, clinic).and_then(|onset| onset.class());
    let class = class.map(OnsetClass::word);
    make.fact(
        "diagnosis.below_definition",
        "whether every curve is below the usual definition of scoliosis",
        match below_definition {
            Some(true) => Value::Word("yes"),
            Some(false) => Value::Word("no"),
            None => Value::Missing(Missing::NotApplicable("no frontal curve is measured".into())),
        },
    )
    .from("limits.scoliosis_from")
    .by(
        "no reported Cobb angle out of support has reached the clinic's limit",
        Source::read(&works::BJF, "sources differ whether 10 degrees itself counts; a setting"),
    )
    .done();
    let name = diagnosis_name(case, class, below_definition);
    make.fact("diagnosis.name", "diagnosis in words", Value::Word(name))
        .record("diagnosis / cause", &d.cause.place)
        .from("diagnosis.age_class")
        .from("diagnosis.below_definition")
        .by("cause and age class in the trade's words", Source::definition(""))
        .done();
}

/// `diagnosis.due_to`, of causes that have kinds.
fn due_to(make: &mut Maker, case: &Case) {
    let (id, label) = ("diagnosis.due_to", "what exactly the cause is due to");
    let d = &case.diagnosis;
    if d.due_to.is_none() && !DueTo::ALL.iter().any(|due_to| due_to.goes_with(d.cause.value)) {
        make.missing(id, label, Missing::NotApplicable("the cause has no kinds".into()));
        return;
    }
    let (found, word) = (d.due_to.as_ref(), |due_to: &DueTo| Value::Word(due_to.word()));
    make.recorded(id, label, "diagnosis / due_to", found, word, "the clinician", &d.place);
}

fn diagnosis_name(case: &Case, class: Option<&str>, below: Option<bool>) -> &'static str {
    let cause = case.diagnosis.cause.value;
    match case.diagnosis.deformity.value {
        Deformity::Asymmetry if below == Some(false) => "scoliosis, not yet classified",
        Deformity::Asymmetry => "spinal asymmetry",
        Deformity::Scoliosis if below == Some(true) => "spinal asymmetry",
        Deformity::Hyperkyphosis => match cause {
            Cause::Scheuermann => "Scheuermann kyphosis",
            Cause::Postural => "postural hyperkyphosis",
            Cause::Congenital => "congenital kyphosis",
            _ => "hyperkyphosis",
        },
        Deformity::Scoliosis => match (cause, class) {
            (Cause::Idiopathic, Some("infantile")) => "infantile idiopathic scoliosis",
            (Cause::Idiopathic, Some("juvenile")) => "juvenile idiopathic scoliosis",
            (Cause::Idiopathic, Some("adolescent")) => "adolescent idiopathic scoliosis",
            (Cause::Idiopathic, Some("adult")) => "adult idiopathic scoliosis",
            (Cause::Idiopathic, _) => "idiopathic scoliosis",
            (Cause::Congenital, _) => "congenital scoliosis",
            (Cause::Neuromuscular, _) => "neuromuscular scoliosis",
            (Cause::Syndromic, _) => "syndromic scoliosis",
            (Cause::Degenerative, _) => "degenerative scoliosis",
            (Cause::Secondary, _) => "secondary scoliosis",
            (Cause::Postural, _) => "postural scoliosis",
            (Cause::Scheuermann | Cause::Unknown, _) => "scoliosis, cause not yet known",
        },
    }
}

/// Whether menarche can apply.
pub fn menarche_applies(case: &Case) -> bool {
    case.patient.sex.value != Sex::Male
}
