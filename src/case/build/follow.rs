//! Exams, treatments, plans, requests, letters, corrections.

use crate::case::model::{
    Answered, Choice, Correction, Ended, Exam, Finding, Fitting, FittingKind, FlagAnswer, Help,
    HoursStep, Made, MeasuredHours, Next, OrthosisClass, Plan, Principle, ReportedHours,
    SchoolNote, SportPart, TemperatureUnit, Treatment, TreatmentKind, Wear, WearLog, WearWhen,
    WornThere,
};
use crate::case::order::Decision;
use crate::case::scalar::Number;
use crate::case::shape::Rec;
use crate::case::wear_log::Spec;
use crate::diag::Located;
use crate::quantity::Angle;
use crate::spine::Level;

use super::films::Load;
use super::order;

pub(super) fn exam(mut rec: Rec) -> Option<Exam> {
    let rotation = rec.numbers_by_key("trunk_rotation");
    let scores = rec.numbers_by_key("scores");
    let exam = Exam {
        place: rec.place.clone(),
        by: rec.text("by"),
        height: rec.length("height"),
        sitting_height: rec.length("sitting_height"),
        arm_span: rec.length("arm_span"),
        weight: rec.mass("weight"),
        trunk_rotation: rotation.into_iter().filter_map(at_level).collect(),
        leg_difference: rec.length("leg_difference"),
        neurology: rec.named_texts("neurology"),
        flags: rec.named_words("flags", Finding::from_word),
        skin: rec.text("skin"),
        pain: rec.number("pain").map(|n| n.map(Number::reported)),
        scores: scores.into_iter().map(|(k, n)| (k.value, n.map(Number::reported))).collect(),
        srs22r: rec.answers("srs22r"),
        odi: rec.answers("odi"),
        says: rec.text("says"),
        findings: rec.text("findings"),
        on: rec.day("on")?,
    };
    rec.done();
    Some(exam)
}

fn at_level(
    (level, angle): (Located<String>, Located<Number>),
) -> Option<(Located<Level>, Located<Angle>)> {
    let known = Level::parse(&level)?;
    Some((Located::new(known, level.place), angle.map(|n| Angle::degrees(n.value))))
}

pub(super) fn treatment(mut rec: Rec, load: &mut Load) -> Option<Treatment> {
    let none = &mut Vec::new();
    let treatment = Treatment {
        place: rec.place.clone(),
        class: rec.word("class", OrthosisClass::from_word),
        made: rec.word("made", Made::from_word),
        principle: rec.words("principle", Principle::from_word).unwrap_or_default(),
        ordered: rec.day("ordered"),
        from: rec.day("from"),
        prescribed: rec.text("prescribed"),
        order: rec.record("order").map(order::order),
        fittings: rec.records("fittings", none, fitting),
        hours: rec.records("hours", none, hours),
        wear: rec.record("wear").map(|r| wear(r, load)),
        reported: rec.records("reported", none, reported),
        ended: rec.record("ended").and_then(ended),
        id: rec.text("id")?,
        kind: rec.word("kind", TreatmentKind::from_word)?,
    };
    rec.done();
    Some(treatment)
}

fn fitting(mut rec: Rec) -> Option<Fitting> {
    let fitting = Fitting {
        place: rec.place.clone(),
        film: rec.text("film"),
        skin: rec.text("skin"),
        skin_in: rec.named_texts("skin_in"),
        why: rec.text("why"),
        by: rec.text("by"),
        fit: rec.text("fit"),
        says: rec.text("says"),
        says_in: rec.named_texts("says_in"),
        decision: rec.word("decision", Decision::from_word),
        decided: rec.day("decided"),
        because: rec.text("because"),
        told: rec.text("told"),
        told_in: rec.named_texts("told_in"),
        changes: rec.records("changes", &mut Vec::new(), order::change),
        changes_by: rec.date("changes_by"),
        on: rec.day("on")?,
        what: rec.word("what", FittingKind::from_word)?,
    };
    rec.done();
    Some(fitting)
}

fn hours(mut rec: Rec) -> Option<HoursStep> {
    let step = HoursStep {
        place: rec.place.clone(),
        decided: rec.day("decided"),
        when: rec.word("when", WearWhen::from_word),
        by: rec.text("by"),
        why: rec.text("why"),
        from: rec.day("from")?,
        per_day: rec.per_day("per_day")?,
    };
    rec.done();
    Some(step)
}

fn wear(mut rec: Rec, load: &mut Load) -> Wear {
    let spec = Spec {
        date_column: rec.text("date_column"),
        time_column: rec.text("time_column"),
        temperature_column: rec.text("temperature_column"),
        time_format: rec.text("time_format"),
        time_zone: rec.text("time_zone"),
        fahrenheit: rec
            .word("temperature_unit", TemperatureUnit::from_word)
            .is_some_and(|unit| *unit == TemperatureUnit::Fahrenheit),
    };
    let wear = Wear {
        place: rec.place.clone(),
        log: rec.text("log").map(|path| WearLog { content: load.wear_log(&path, &spec), path }),
        downloaded: rec.day("downloaded"),
        worn_above: rec.temperature("worn_above"),
        taken_off_below: rec.temperature("taken_off_below"),
        measured: rec.records("measured", &mut Vec::new(), measured),
    };
    rec.done();
    wear
}

fn measured(mut rec: Rec) -> Option<MeasuredHours> {
    let measured = MeasuredHours {
        place: rec.place.clone(),
        from: rec.day("from")?,
        to: rec.day("to")?,
        per_day: rec.per_day("per_day")?,
        downloaded: rec.day("downloaded"),
    };
    rec.done();
    Some(measured)
}

fn reported(mut rec: Rec) -> Option<ReportedHours> {
    let reported = ReportedHours {
        place: rec.place.clone(),
        on: rec.day("on")?,
        per_day: rec.per_day("per_day")?,
    };
    rec.done();
    Some(reported)
}

fn ended(mut rec: Rec) -> Option<Ended> {
    let ended = Ended { why: rec.text("why"), on: rec.day("on")? };
    rec.done();
    Some(ended)
}

pub(super) fn plan(mut rec: Rec) -> Option<Plan> {
    let plan = Plan {
        place: rec.place.clone(),
        by: rec.text("by"),
        because: rec.text("because"),
        aim: rec.text("aim"),
        changes_if: rec.text("changes_if"),
        changes_if_in: rec.named_texts("changes_if_in"),
        next: rec.record("next").map(next),
        told: rec.text("told"),
        told_in: rec.named_texts("told_in"),
        come_back_if: rec.texts("come_back_if"),
        come_back_if_in: rec.named_lists("come_back_if_in"),
        adult_care: rec.text("adult_care"),
        adult_care_in: rec.named_texts("adult_care_in"),
        on: rec.day("on")?,
        choice: rec.words("choice", Choice::from_word).filter(|c| !c.is_empty())?,
    };
    rec.done();
    Some(plan)
}

pub(super) fn school(mut rec: Rec) -> Option<SchoolNote> {
    let note = SchoolNote {
        place: rec.place.clone(),
        whom: rec.text("for"),
        brace: rec.word("brace", WornThere::from_word),
        when: rec.text("when"),
        when_in: rec.named_texts("when_in"),
        sport: rec.word("sport", SportPart::from_word),
        limits: rec.texts_if_given("limits"),
        limits_in: rec.named_lists("limits_in"),
        helps: rec.words("helps", Help::from_word).unwrap_or_default(),
        also: rec.text("also"),
        also_in: rec.named_texts("also_in"),
        until: rec.date("until"),
        on: rec.day("on")?,
        by: rec.text("by")?,
    };
    rec.done();
    Some(note)
}

fn next(mut rec: Rec) -> Next {
    let next =
        Next { film: rec.date("film"), off_for: rec.hours("off_for"), visit: rec.date("visit") };
    rec.done();
    next
}

pub(super) fn answer(mut rec: Rec) -> Option<FlagAnswer> {
    let answer = FlagAnswer {
        place: rec.place.clone(),
        because: rec.text("because"),
        letter: rec.text("letter"),
        flags: Some(rec.texts("flag")).filter(|flags| !flags.is_empty())?,
        on: rec.day("on")?,
        by: rec.text("by")?,
        what: rec.word("what", Answered::from_word)?,
    };
    rec.done();
    Some(answer)
}

pub(super) fn correction(mut rec: Rec) -> Option<Correction> {
    let correction = Correction {
        place: rec.place.clone(),
        because: rec.text("because"),
        on: rec.day("on")?,
        by: rec.text("by")?,
        at: rec.text("at")?,
        was: rec.text("was")?,
        now: rec.text("now")?,
    };
    rec.done();
    Some(correction)
}
