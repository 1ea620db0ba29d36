//! Orders to a maker and decisions at a fitting: sides, levels, days.
//!
//! A pad on the wrong side is the slip that hurts most, so it is held against
//! the curve it lies beside, against the reliefs and against its own words.

use crate::case::order::{Change, Decision, PadSide, Spot};
use crate::case::{
    Case, CurveReading, Film, Fitting, Opt, Order, Posture, Support, Treatment, TreatmentKind, View,
};
use crate::diag::{Code, Located, Place};
use crate::spine::{Level, Side};

use super::Check;
use super::curve::called;

pub(super) fn check(look: &mut Check) {
    for treatment in &look.case.treatments {
        if let Some(order) = &treatment.order {
            meant(look, treatment, order);
            spots(look, treatment, order);
        }
        for fitting in &treatment.fittings {
            decision(look, treatment, fitting);
            fitting.changes.iter().for_each(|change| changed(look, change));
        }
    }
}

/// An order is of a brace or cast, and of a day.
fn meant(look: &mut Check, treatment: &Treatment, order: &Order) {
    let id = &treatment.id.value;
    if !matches!(*treatment.kind, TreatmentKind::Brace | TreatmentKind::Cast) {
        let message = format!("`{id}` has an order to a maker and is {}", treatment.kind.word());
        let other = (&treatment.kind.place, "its kind");
        look.fault_with(Code::OrderOfNoOrthosis, &order.place, message, other);
    }
    if treatment.ordered.is_none() && look.whole(&treatment.place) {
        let message = format!("`{id}` has an order and no day on which it was ordered");
        look.fault(Code::OrderUndated, &order.place, message);
    }
}

fn spots(look: &mut Check, treatment: &Treatment, order: &Order) {
    for (spot, what) in all(order) {
        reversed(look, &spot.level, &spot.to);
        words(look, what, &spot.what, spot.side.value, &spot.side.place);
    }
    let beside = film_before(look.case, treatment.ordered.as_ref().map(|d| d.value));
    for pad in &order.pads {
        if let Some(film) = beside {
            concave(look, pad, film);
        }
        for relief in &order.reliefs {
            together(look, pad, relief);
        }
    }
}

/// Every pad and relief, with what it is called.
fn all(order: &Order) -> impl Iterator<Item = (&Spot, &'static str)> {
    let pads = order.pads.iter().map(|spot| (spot, "pad"));
    pads.chain(order.reliefs.iter().map(|spot| (spot, "relief")))
}

fn reversed(look: &mut Check, level: &Located<Level>, to: &Opt<Level>) {
    let Some(to) = to else { return };
    let column = look.case.patient.column;
    if column.index(level.value) >= column.index(to.value) {
        let message = format!("`to: {}` does not lie below `level: {}`", **to, **level);
        look.fault_with(Code::PadLevelsReversed, &to.place, message, (&level.place, "the level"));
    }
}

fn changed(look: &mut Check, change: &Change) {
    if let Some(level) = &change.level {
        reversed(look, level, &change.to);
    }
    if let Some(side) = &change.side {
        words(look, "change", &change.what, side.value, &side.place);
    }
}

/// Free words that name the other side alone.
fn words(look: &mut Check, what: &str, said: &Located<String>, side: PadSide, at: &Place) {
    let Some(side) = side.one() else { return };
    let (own, other) = (word(side), word(side.opposite()));
    let names = |word: &str| {
        said.value.split(|c: char| !c.is_alphabetic()).any(|w| w.eq_ignore_ascii_case(word))
    };
    if names(other) && !names(own) {
        let message = format!("a {what} on the {own} says {other}: \u{201c}{}\u{201d}", said.value);
        look.fault_with(Code::PadWordsAgainstSide, &said.place, message, (at, "its side"));
    }
}

fn word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// The film an order goes by: the latest upright frontal one out of support
/// with a curve, up to the day of the order; lying where none is upright.
fn film_before(case: &Case, ordered: Option<chrono::NaiveDate>) -> Option<&Film> {
    let fits = |f: &&Film| {
        f.view.value == View::Frontal
            && !matches!(f.support.as_ref().map(|s| &s.value), Some(Support::Treatment(_)))
            && ordered.is_none_or(|day| f.taken.value <= day)
            && f.readings.iter().any(|r| !r.curves.is_empty())
    };
    let posture = |f: &Film| match f.posture.as_ref().map(|p| p.value) {
        Some(Posture::Standing | Posture::Sitting) => Some(1),
        Some(Posture::Traction | Posture::Bolster) => None,
        _ => Some(0),
    };
    let films = case.films.iter().filter(fits);
    films
        .filter_map(|f| Some((posture(f)?, f.taken.value, f)))
        .max_by_key(|(upright, taken, _)| (*upright, *taken))
        .map(|(_, _, film)| film)
}

/// The only curve a pad lies in, its end vertebrae left out: there it may be
/// the counter-pressure of the curve's neighbour.
fn only_curve<'a>(look: &Check, film: &'a Film, pad: &Spot) -> Option<&'a CurveReading> {
    let column = look.case.patient.column;
    let (top, foot) = pad.reach(column)?;
    let beside = |c: &&CurveReading| {
        let ends = (column.index(c.upper.value), column.index(c.lower.value));
        matches!(ends, (Some(upper), Some(lower)) if upper < foot && top < lower)
    };
    let reading = film.readings.iter().find(|r| !r.curves.is_empty())?;
    let mut curves = reading.curves.iter().filter(beside);
    curves.next().filter(|_| curves.next().is_none())
}

fn concave(look: &mut Check, pad: &Spot, film: &Film) {
    let Some(curve) = only_curve(look, film, pad) else { return };
    let (Some(convex), Some(side)) = (&curve.convex, pad.side.value.one()) else { return };
    if convex.value == side {
        return;
    }
    let message = format!(
        "a pad at {} on the {} lies on the concave side of {} ({} to {}, film `{}`), which is \
         convex to the {}",
        *pad.level,
        word(side),
        called(curve),
        *curve.upper,
        *curve.lower,
        *film.id,
        word(convex.value)
    );
    let other = (&convex.place, "the curve's side");
    look.fault_with(Code::PadOnConcaveSide, &pad.side.place, message, other);
}

/// A pad and a relief at one place.
fn together(look: &mut Check, pad: &Spot, relief: &Spot) {
    let column = look.case.patient.column;
    let (Some(a), Some(b)) = (pad.reach(column), relief.reach(column)) else { return };
    let face = |s: &Spot| s.face.as_ref().map(|f| f.value);
    let apart = matches!((face(pad), face(relief)), (Some(a), Some(b)) if a != b);
    let (side, other) = (pad.side.value, relief.side.value);
    let sides = side == other || side == PadSide::Both || other == PadSide::Both;
    if sides && !apart && a.0 <= b.1 && b.0 <= a.1 {
        let message = format!(
            "a pad at {} on {} and a relief at {} on {} lie on one another",
            *pad.level,
            told(side),
            *relief.level,
            told(other)
        );
        let place = (&relief.place, "the relief");
        look.fault_with(Code::PadMeetsRelief, &pad.place, message, place);
    }
}

fn told(side: PadSide) -> &'static str {
    match side {
        PadSide::Left => "the left",
        PadSide::Right => "the right",
        PadSide::Both => "both sides",
    }
}

/// What was decided goes with what is to be changed, and follows the fitting.
fn decision(look: &mut Check, treatment: &Treatment, fitting: &Fitting) {
    let (id, on) = (&treatment.id.value, fitting.on.value);
    if let Some(decided) = fitting.decided.as_ref().filter(|d| d.value < on) {
        let message = format!("decided on {}, before the fitting of {on}", **decided);
        let other = (&fitting.on.place, "the fitting");
        look.fault_with(Code::DecisionBeforeFitting, &decided.place, message, other);
    }
    if !look.whole(&treatment.place) {
        return;
    }
    let decided = fitting.decision.as_ref().map(|d| d.value);
    let first = fitting.changes.first();
    let (place, message) = match (&fitting.decision, decided, first) {
        (Some(at), Some(Decision::Adjust), None) => {
            (&at.place, format!("`{id}` is to be adjusted on {on}, and no change is named"))
        }
        (Some(at), Some(Decision::Accept), Some(_)) => {
            (&at.place, format!("`{id}` is accepted as it is on {on}, and changes are named"))
        }
        (None, None, Some(change)) => {
            (&change.place, format!("changes of `{id}` on {on} are named, and no decision"))
        }
        _ => return,
    };
    look.fault(Code::DecisionContradicts, place, message);
}
