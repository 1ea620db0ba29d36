//! The way to one entry: `film f1 / reading r1 / curve thoracic / cobb`.
//!
//! Records are named by their id; where a record has none, by its day
//! (`exam 2024-11-04`); an unnamed curve by its ends (`curve T5-T12`).

use std::fmt::Display;

use crate::case::{
    Case, CurveReading, Exam, Film, Fitting, HoursStep, LetterEntry, Maturity, Opt, Patient, Plan,
    Reading, Request, SagittalItem, Support, Treatment,
};
use crate::diag::{Located, Place};
use crate::quantity::Unit;
use crate::spine::Side;

use super::plain;

/// An entry of the case: where it stands and what it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Where.
    pub place: Place,
    /// What, as it would be typed.
    pub text: String,
}

impl Entry {
    /// Whether a typed value says the same, whatever its zeros and spaces
    /// (`26 deg` and `26.0 deg`, `151.2 cm` and `1512 mm`).
    pub fn says(&self, typed: &str) -> bool {
        let typed = typed.trim();
        match (number(&self.text), number(typed)) {
            (Some((held, a)), Some((said, b))) => a == b && (held - said).abs() < 1e-9,
            _ => self.text == typed,
        }
    }
}

/// A number in the base unit of its kind.
fn number(text: &str) -> Option<(f64, Unit)> {
    let (digits, unit) = text.split_once(' ').unwrap_or((text, ""));
    let value: f64 = digits.parse().ok().filter(|v: &f64| v.is_finite())?;
    match Unit::spelled(unit.trim())? {
        Unit::Centimetre => Some((value * 10.0, Unit::Millimetre)),
        unit => Some((value, unit)),
    }
}

/// Finds the entry of a path, or says which part of the path names nothing.
pub fn find(case: &Case, path: &str) -> Result<Entry, String> {
    let parts: Vec<&str> = path.split('/').map(str::trim).collect();
    let (first, rest) = parts.split_first().ok_or("the path is empty")?;
    let (list, name) = named(first);
    match list {
        "patient" => patient(&case.patient, rest),
        "film" => film(by_id(&case.films, first, name, |r| &r.id)?, rest),
        "exam" => exam(by_day(&case.exams, first, name, |r| &r.on)?, rest),
        "treatment" => treatment(by_id(&case.treatments, first, name, |r| &r.id)?, rest),
        "plan" => plan(by_day(&case.plans, first, name, |r| &r.on)?, rest),
        "request" => request(by_id(&case.requests, first, name, |r| &r.id)?, rest),
        "letter" => letter(by_id(&case.letters, first, name, |r| &r.id)?, rest),
        _ => Err(format!("no list is called `{list}`")),
    }
}

/// `film f1` is the list `film` and the name `f1`.
fn named(part: &str) -> (&str, &str) {
    part.split_once(' ').map_or((part, ""), |(list, name)| (list, name.trim()))
}

fn by_id<'a, T>(
    list: &'a [T],
    part: &str,
    name: &str,
    id: impl Fn(&T) -> &Located<String>,
) -> Result<&'a T, String> {
    list.iter().find(|r| id(r).value == name).ok_or_else(|| format!("there is no `{part}`"))
}

fn by_day<'a, T>(
    list: &'a [T],
    part: &str,
    name: &str,
    on: impl Fn(&T) -> &Located<chrono::NaiveDate>,
) -> Result<&'a T, String> {
    let mut found = list.iter().filter(|r| on(r).to_string() == name);
    let first = found.next().ok_or_else(|| format!("there is no `{part}`"))?;
    match found.next() {
        Some(_) => Err(format!("there is more than one `{part}`")),
        None => Ok(first),
    }
}

/// The last part of a path, the entry itself.
fn leaf<'a>(parts: &[&'a str]) -> Result<&'a str, String> {
    match parts {
        [field] => Ok(field),
        [] => Err("the path names a record, not an entry of it".into()),
        [part, ..] => Err(format!("there is no `{part}`")),
    }
}

type Found = Result<Entry, String>;

fn entry<T>(value: &Located<T>, text: impl Fn(&T) -> String) -> Found {
    Ok(Entry { place: value.place.clone(), text: text(&value.value) })
}

fn optional<T>(field: &str, value: &Opt<T>, text: impl Fn(&T) -> String) -> Found {
    match value {
        Some(value) => entry(value, text),
        None => Err(format!("`{field}` is not recorded")),
    }
}

fn shown<T: Display>(value: &T) -> String {
    value.to_string()
}

fn side(side: &Side) -> String {
    match side {
        Side::Left => "left".into(),
        Side::Right => "right".into(),
    }
}

fn with(unit: Unit) -> impl Fn(f64) -> String {
    move |value| format!("{} {}", plain(value), unit.spellings()[0])
}

fn unknown(field: &str) -> Found {
    Err(format!("`{field}` is not an entry that can be corrected"))
}

fn patient(patient: &Patient, parts: &[&str]) -> Found {
    match leaf(parts)? {
        "name" => entry(&patient.name, shown),
        "born" => entry(&patient.born, shown),
        "sex" => entry(&patient.sex, |s| s.word().into()),
        field => unknown(field),
    }
}

fn film(film: &Film, parts: &[&str]) -> Found {
    if let Some((part, rest)) = parts.split_first().filter(|(_, rest)| !rest.is_empty()) {
        return match named(part) {
            ("reading", id) => reading(by_id(&film.readings, part, id, |r| &r.id)?, rest),
            ("maturity", "") => match &film.maturity {
                Some(found) => maturity(found, rest),
                None => Err("`maturity` is not recorded".into()),
            },
            _ => Err(format!("a film has no `{part}`")),
        };
    }
    match leaf(parts)? {
        "taken" => entry(&film.taken, shown),
        "view" => entry(&film.view, |w| w.word().into()),
        "projection" => optional("projection", &film.projection, |w| w.word().into()),
        "displayed" => optional("displayed", &film.displayed, |w| w.word().into()),
        "posture" => optional("posture", &film.posture, |w| w.word().into()),
        "bent_to" => optional("bent_to", &film.bent_to, side),
        "support" => optional("support", &film.support, support),
        "off_for" => optional("off_for", &film.off_for, |h| with(Unit::Hour)(h.to_hours())),
        "scale" => optional("scale", &film.scale, |s| {
            with(Unit::MillimetrePerPixel)(s.to_millimetres_per_pixel())
        }),
        field => unknown(field),
    }
}

fn support(support: &Support) -> String {
    match support {
        Support::None => "none".into(),
        Support::Treatment(id) => id.clone(),
    }
}

fn reading(reading: &Reading, parts: &[&str]) -> Found {
    if let Some((part, rest)) = parts.split_first().filter(|(_, rest)| !rest.is_empty()) {
        match *part {
            "sagittal" => return sagittal(reading, rest),
            "wedges" => return wedge(reading, rest),
            _ => {}
        }
        let ("curve", name) = named(part) else {
            return Err(format!("a reading has no `{part}`"));
        };
        let found = reading.curves.iter().find(|c| curve_is(c, name));
        return curve(found.ok_or_else(|| format!("there is no `{part}`"))?, rest);
    }
    match leaf(parts)? {
        "by" => entry(&reading.by, shown),
        "read" => entry(&reading.read, shown),
        field => unknown(field),
    }
}

fn sagittal(reading: &Reading, parts: &[&str]) -> Found {
    let field = leaf(parts)?;
    let Some(item) = SagittalItem::all().find(|item| item.key() == field) else {
        return unknown(field);
    };
    let found = reading.sagittal.as_ref().and_then(|typed| item.typed(typed));
    let (value, place) = found.ok_or_else(|| format!("`{field}` is not recorded"))?;
    Ok(Entry { place: place.clone(), text: with(item.unit())(value) })
}

fn wedge(reading: &Reading, parts: &[&str]) -> Found {
    let level = leaf(parts)?;
    let found = reading.wedges.iter().find(|(l, _)| l.value.to_string() == level);
    let (_, angle) = found.ok_or_else(|| format!("the wedging of `{level}` is not recorded"))?;
    Ok(Entry { place: angle.place.clone(), text: with(Unit::Degree)(angle.to_degrees()) })
}

fn curve_is(curve: &CurveReading, name: &str) -> bool {
    match &curve.name {
        Some(own) => own.value == name,
        None => format!("{}-{}", *curve.upper, *curve.lower) == name,
    }
}

fn curve(curve: &CurveReading, parts: &[&str]) -> Found {
    match leaf(parts)? {
        "name" => optional("name", &curve.name, shown),
        "upper" => entry(&curve.upper, shown),
        "apex" => optional("apex", &curve.apex, shown),
        "lower" => entry(&curve.lower, shown),
        "convex" => optional("convex", &curve.convex, side),
        "bend" => optional("bend", &curve.bend, |w| w.word().into()),
        "cobb" => optional("cobb", &curve.cobb, |a| with(Unit::Degree)(a.to_degrees())),
        field => unknown(field),
    }
}

fn maturity(maturity: &Maturity, parts: &[&str]) -> Found {
    match parts {
        ["risser", field] => match (&maturity.risser, *field) {
            (None, _) => Err("`risser` is not recorded".into()),
            (Some(risser), "grade") => entry(&risser.grade, shown),
            (Some(risser), "scale") => entry(&risser.scale, |w| w.word().into()),
            (_, field) => unknown(field),
        },
        _ => match leaf(parts)? {
            "triradiate" => optional("triradiate", &maturity.triradiate, |w| w.word().into()),
            "hand_stage" => optional("hand_stage", &maturity.hand_stage, shown),
            field => unknown(field),
        },
    }
}

fn exam(exam: &Exam, parts: &[&str]) -> Found {
    let length = |field, value: &Opt<crate::quantity::Length>| {
        optional(field, value, |l| with(Unit::Centimetre)(l.to_millimetres() / 10.0))
    };
    match leaf(parts)? {
        "on" => entry(&exam.on, shown),
        "height" => length("height", &exam.height),
        "sitting_height" => length("sitting_height", &exam.sitting_height),
        "arm_span" => length("arm_span", &exam.arm_span),
        "leg_difference" => length("leg_difference", &exam.leg_difference),
        "weight" => optional("weight", &exam.weight, |m| with(Unit::Kilogram)(m.to_kilograms())),
        field => unknown(field),
    }
}

fn treatment(treatment: &Treatment, parts: &[&str]) -> Found {
    if let Some((part, rest)) = parts.split_first().filter(|(_, rest)| !rest.is_empty()) {
        return match named(part) {
            ("fitting", day) => fitting(by_day(&treatment.fittings, part, day, |r| &r.on)?, rest),
            ("hours", day) => hours(by_day(&treatment.hours, part, day, |r| &r.from)?, rest),
            ("ended", "") if rest == ["on"] => match &treatment.ended {
                Some(ended) => entry(&ended.on, shown),
                None => Err("`ended` is not recorded".into()),
            },
            _ => Err(format!("a treatment has no `{part}`")),
        };
    }
    match leaf(parts)? {
        "kind" => entry(&treatment.kind, |w| w.word().into()),
        "class" => optional("class", &treatment.class, |w| w.word().into()),
        "ordered" => optional("ordered", &treatment.ordered, shown),
        "from" => optional("from", &treatment.from, shown),
        "prescribed" => optional("prescribed", &treatment.prescribed, shown),
        field => unknown(field),
    }
}

fn fitting(fitting: &Fitting, parts: &[&str]) -> Found {
    match leaf(parts)? {
        "on" => entry(&fitting.on, shown),
        "what" => entry(&fitting.what, |w| w.word().into()),
        "film" => optional("film", &fitting.film, shown),
        "skin" => optional("skin", &fitting.skin, shown),
        "why" => optional("why", &fitting.why, shown),
        field => unknown(field),
    }
}

fn hours(step: &HoursStep, parts: &[&str]) -> Found {
    match leaf(parts)? {
        "from" => entry(&step.from, shown),
        "per_day" => entry(&step.per_day, |h| with(Unit::HourPerDay)(h.to_hours())),
        "when" => optional("when", &step.when, |w| w.word().into()),
        "by" => optional("by", &step.by, shown),
        field => unknown(field),
    }
}

fn plan(plan: &Plan, parts: &[&str]) -> Found {
    match leaf(parts)? {
        "on" => entry(&plan.on, shown),
        "by" => optional("by", &plan.by, shown),
        "because" => optional("because", &plan.because, shown),
        field => unknown(field),
    }
}

fn request(request: &Request, parts: &[&str]) -> Found {
    match leaf(parts)? {
        "to" => entry(&request.to, shown),
        "item" => entry(&request.item, shown),
        "replaces" => optional("replaces", &request.replaces, shown),
        "sent" => optional("sent", &request.sent, shown),
        "ordered" => optional("ordered", &request.ordered, shown),
        "seen" => optional("seen", &request.seen, shown),
        "state" => optional("state", &request.state, |w| w.word().into()),
        "reference" => optional("reference", &request.reference, shown),
        field => unknown(field),
    }
}

fn letter(letter: &LetterEntry, parts: &[&str]) -> Found {
    match leaf(parts)? {
        "kind" => entry(&letter.kind, |w| w.word().into()),
        "to" => entry(&letter.to, shown),
        "as_of" => entry(&letter.as_of, shown),
        "signed_by" => entry(&letter.signed_by, shown),
        "remarks" => optional("remarks", &letter.remarks, shown),
        field => unknown(field),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_are_compared_as_quantities() {
        let says = |text: &str, typed: &str| {
            Entry { place: Place::whole("a"), text: text.into() }.says(typed)
        };
        assert!(says("26 deg", "26.0 deg"));
        assert!(says("151.2 cm", "1512 mm"));
        assert!(says("2024-11-04", "2024-11-04"));
        assert!(!says("26 deg", "26 mm"));
        assert!(!says("26 deg", "19 deg"));
        assert!(!says("T5", "T6"));
    }
}
