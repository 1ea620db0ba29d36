//! Whether a brace or cast was ever worn, which, from when to when; and which
//! columns a table of the whole course needs.

use crate::case::{Case, Treatment, TreatmentKind};
use crate::evidence::Source;
use crate::facts::derive::maker::{Maker, day, whole, yes_no};
use crate::facts::derive::track::{Track, plane_word};
use crate::facts::derive::{stages, treatment};
use crate::facts::{Missing, Value};
use crate::quantity::Unit;

/// `ending.treated*`.
pub(super) fn treated(make: &mut Maker, case: &Case) {
    let worn: Vec<&Treatment> =
        case.treatments.iter().filter(|t| treatment::supports(t) && t.start().is_some()).collect();
    let of = |kind| worn.iter().filter(|t| t.kind.value == kind).count();
    let (braces, casts) = (of(TreatmentKind::Brace), of(TreatmentKind::Cast));
    let word = match (braces, casts) {
        (0, 0) => "no",
        (_, 0) => "brace",
        (0, _) => "cast",
        _ => "brace and cast",
    };
    let mut draft =
        make.fact("ending.treated", "whether a brace or cast was ever worn", Value::Word(word));
    for t in &worn {
        draft = draft.record(format!("treatment {}", t.id.value), &t.place);
    }
    draft.by("kinds of the treatments that began", Source::definition("")).done();
    make.fact("ending.braces", "braces worn", whole(braces as i64, Unit::One))
        .record("treatments", &case.place)
        .by("count of the braces that began", Source::definition(""))
        .done();
    make.fact("ending.several_braces", "whether more than one brace was worn", yes_no(braces > 1))
        .from("ending.braces")
        .done();
    from(make, &worn);
    to(make, case, &worn);
}

fn from(make: &mut Maker, worn: &[&Treatment]) {
    let (id, label) = ("ending.treated_from", "first day of the first brace or cast");
    let first = worn.iter().filter_map(|t| t.start()).min_by_key(|s| s.value);
    match first {
        Some(on) => make
            .fact(id, label, day(on.value))
            .record("treatments", &on.place)
            .by("earliest first day", Source::definition(""))
            .done(),
        None => make.missing(id, label, never()),
    };
}

fn never() -> Missing {
    Missing::NotApplicable("no brace or cast was worn".into())
}

/// `ending.treatment` (`none`, `goes on`, `over`) and `ending.treated_to`.
fn to(make: &mut Maker, case: &Case, worn: &[&Treatment]) {
    let over = stages::over(case);
    let word = match (worn.is_empty(), over) {
        (true, _) => "none",
        (false, Some(on)) if on <= make.facts.as_of => "over",
        (false, _) => "goes on",
    };
    make.fact("ending.treatment", "whether treatment by brace or cast is over", Value::Word(word))
        .from("ending.treated")
        .by("over once each brace and cast has ended on record", Source::definition(""))
        .done();
    let (id, label) = ("ending.treated_to", "last day of the last brace or cast");
    let last = worn.iter().filter_map(|t| t.ended.as_ref()).max_by_key(|e| e.on.value);
    match (word, last) {
        ("over", Some(end)) => make
            .fact(id, label, day(end.on.value))
            .record("treatments", &end.on.place)
            .by("latest last day, all having ended", Source::definition(""))
            .done(),
        ("none", _) => make.missing(id, label, never()),
        _ => make.missing(id, label, Missing::NotApplicable("no end is on record".into())),
    };
}

/// `ending.columns.*`: whether any curve of the plane that is followed has a
/// point of its own there.
pub(super) fn columns(make: &mut Maker, tracks: &[Track]) {
    let plane = make.facts.get("major.plane").and_then(|f| f.word());
    let shown: Vec<&Track> = tracks.iter().filter(|t| plane == Some(plane_word(t.plane))).collect();
    let word = |make: &Maker, id: String| make.facts.get(&id).and_then(|f| f.word());
    let first =
        shown.iter().any(|t| word(make, format!("curves.{}.first_apart", t.key)) == Some("yes"));
    let known =
        |make: &Maker, id: String| make.facts.get(&id).is_some_and(|f| f.missing().is_none());
    let start = shown.iter().any(|t| known(make, format!("curves.{}.at_start.cobb", t.key)));
    let end = shown.iter().any(|t| known(make, format!("curves.{}.after_treatment.amount", t.key)));
    for (item, label, value) in [
        ("first", "whether a first film apart from the start of treatment is told", first),
        ("start", "whether a film at the start of treatment is told", start),
        ("end", "whether a film at the end of treatment is told apart from now", end),
    ] {
        make.fact(format!("ending.columns.{item}"), label, yes_no(value))
            .by("any curve of the plane followed has it", Source::definition(""))
            .done();
    }
    let earlier = first || start || end;
    make.fact("ending.columns.any", "whether an earlier film compares", yes_no(earlier))
        .by("any of the columns", Source::definition(""))
        .done();
}
