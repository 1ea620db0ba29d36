//! What was agreed for a school or a club: that it goes with what is worn,
//! and that it tells no more than they need.

use chrono::NaiveDate;

use crate::case::{
    Case, Contact, LetterEntry, LetterKind, Role, SchoolNote, SportPart, Treatment, TreatmentKind,
    WearWhen, WornThere,
};
use crate::diag::{Code, Located};

use super::Check;

/// Words that tell of diagnosis, size, weight or how somebody feels, in small
/// letters: our own list, for a warning alone.
const PRIVATE: [&str; 24] = [
    "degree",
    "degrees",
    "deg",
    "cobb",
    "risser",
    "scoliosis",
    "kyphosis",
    "scheuermann",
    "curve",
    "curves",
    "curvature",
    "diagnosis",
    "surgery",
    "operation",
    "kg",
    "weighs",
    "overweight",
    "underweight",
    "pain",
    "painful",
    "menarche",
    "anxiety",
    "depression",
    "depressed",
];

pub(super) fn check(look: &mut Check) {
    for note in &look.case.school {
        goes_with_what_is_worn(look, note);
        let limits = note.limits.iter().flatten();
        for text in limits.chain(&note.when).chain(&note.also) {
            tells(look, "the school note", text);
        }
    }
    for letter in look.case.letters.iter().filter(|l| *l.kind == LetterKind::School) {
        if outsider(look.case, letter) {
            encloses(look, letter);
            if let Some(remarks) = &letter.remarks {
                tells(look, &format!("letter `{}` to a school or club", *letter.id), remarks);
            }
        }
    }
}

/// Whether a letter goes to, or is copied to, a school or club.
fn outsider(case: &Case, letter: &LetterEntry) -> bool {
    let outside = |c: &Contact| matches!(*c.role, Role::School | Role::Other);
    let reader = |id: &Located<String>| case.contacts.iter().find(|c| c.id.value == id.value);
    std::iter::once(&letter.to).chain(&letter.copies).filter_map(reader).any(outside)
}

fn encloses(look: &mut Check, letter: &LetterEntry) {
    let film = letter.enclosed.first().map(|film| &film.place);
    let Some(place) = film.or(letter.enclosures.first().map(|e| &e.place)) else { return };
    let message = format!("letter `{}` to a school or club encloses something", *letter.id);
    look.fault(Code::SchoolNoteEncloses, place, message);
}

fn tells(look: &mut Check, whose: &str, text: &Located<String>) {
    let words = text.value.split(|c: char| !c.is_alphanumeric() && c != '°');
    let private = |word: &&str| word.contains('°') || PRIVATE.contains(&&*word.to_lowercase());
    if let Some(word) = words.into_iter().find(private) {
        let message = format!("{whose} says `{word}`, which is not for a school or club");
        look.fault(Code::SchoolNoteTells, &text.place, message);
    }
}

fn goes_with_what_is_worn(look: &mut Check, note: &SchoolNote) {
    let worn = worn(look.case, *note.on);
    let on_order = || look.case.treatments.iter().any(|t| expected(t, *note.on));
    let speaks = speaks_of_brace(note);
    let (fault, place) = match (worn, speaks) {
        (None, Some(place)) if !on_order() => {
            ("speaks of a brace, and none is worn or on order that day", place)
        }
        (Some(t), _) if t.kind.value == TreatmentKind::Cast => match off_in_a_cast(note) {
            Some(place) => ("takes a cast off, which stays on day and night", place),
            None => return,
        },
        (Some(t), _) => match by_day(note).filter(|_| at_night(t, *note.on)) {
            Some(place) => ("has the brace worn there, and it is worn at night only", place),
            None => return,
        },
        _ => return,
    };
    let message = format!("the school note of {} {fault}", *note.on);
    look.fault(Code::SchoolNoteContradicts, place, message);
}

/// The brace or cast worn on that day.
fn worn(case: &Case, on: NaiveDate) -> Option<&Treatment> {
    let holds = |t: &&Treatment| matches!(*t.kind, TreatmentKind::Brace | TreatmentKind::Cast);
    let begun = |t: &&Treatment| t.start().is_some_and(|s| s.value <= on);
    let goes_on = |t: &&Treatment| t.ended.as_ref().is_none_or(|e| *e.on >= on);
    let worn = case.treatments.iter().filter(holds).filter(begun).filter(goes_on);
    worn.max_by_key(|t| t.start().map(|s| s.value))
}

/// Whether a brace was ordered by that day and came, or comes, later.
fn expected(t: &Treatment, on: NaiveDate) -> bool {
    let ordered = t.ordered.as_ref().is_some_and(|o| o.value <= on);
    ordered && t.start().is_none_or(|s| s.value > on)
}

type At<'a> = Option<&'a crate::diag::Place>;

fn speaks_of_brace(note: &SchoolNote) -> At<'_> {
    use SportPart::{Either, Within, Without};
    let brace = note.brace.as_ref().filter(|b| b.value != WornThere::Not).map(|b| &b.place);
    let named = |s: &&Located<SportPart>| matches!(s.value, Without | Within | Either);
    brace.or_else(|| note.sport.as_ref().filter(named).map(|s| &s.place))
}

fn off_in_a_cast(note: &SchoolNote) -> At<'_> {
    use SportPart::{Either, Without};
    let off = note.brace.as_ref().filter(|b| b.value != WornThere::Worn).map(|b| &b.place);
    let without = |s: &&Located<SportPart>| matches!(s.value, Without | Either);
    off.or_else(|| note.sport.as_ref().filter(without).map(|s| &s.place))
}

fn by_day(note: &SchoolNote) -> At<'_> {
    note.brace.as_ref().filter(|b| b.value != WornThere::Not).map(|b| &b.place)
}

/// Whether the hours in force on that day are those of the night.
fn at_night(t: &Treatment, on: NaiveDate) -> bool {
    let step = t.hours.iter().filter(|h| *h.from <= on).max_by_key(|h| *h.from);
    step.and_then(|h| h.when.as_ref()).is_some_and(|when| **when == WearWhen::Night)
}
