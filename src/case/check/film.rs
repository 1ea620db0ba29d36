//! What a film must say about itself before it may be compared.

use std::collections::BTreeMap;

use crate::case::{Display, Film, Support, View};
use crate::diag::Code;

use super::{Check, plain};

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        display(look, film);
        projection(look, film);
        conditions(look, film);
        bending(look, film);
        readers(look, film);
    }
}

/// Whether the film shows the spine from front or back.
pub(super) fn frontal(film: &Film) -> bool {
    matches!(*film.view, View::Frontal | View::Bending)
}

fn display(look: &mut Check, film: &Film) {
    let Some(displayed) = &film.displayed else { return };
    let fits = match displayed.value {
        Display::FromBehind | Display::FromFront => frontal(film) || *film.view == View::Hand,
        Display::FacingLeft | Display::FacingRight => *film.view == View::Lateral,
    };
    if !fits {
        let (word, view) = (displayed.word(), film.view.word());
        let message = format!("film `{}` is {view} but displayed {word}", *film.id);
        let other = (&film.view.place, "the view");
        look.fault_with(Code::DisplayUnfitForView, &displayed.place, message, other);
    }
}

fn projection(look: &mut Check, film: &Film) {
    match &film.projection {
        None if *film.view == View::Frontal && look.whole(&film.place) => {
            let message = format!("film `{}` does not say whether it is PA or AP", *film.id);
            look.fault(Code::ProjectionMissing, &film.id.place, message);
        }
        Some(projection) if !frontal(film) => {
            let (word, view) = (projection.word(), film.view.word());
            let message = format!("film `{}` is a {view} film with projection {word}", *film.id);
            let other = (&film.view.place, "the view");
            look.fault_with(Code::ProjectionOnOtherView, &projection.place, message, other);
        }
        _ => {}
    }
}

/// Posture and support decide what a film may be compared with.
fn conditions(look: &mut Check, film: &Film) {
    if *film.view == View::Hand {
        return;
    }
    if film.posture.is_none() && look.whole(&film.place) {
        let message = format!("film `{}` does not say in which posture it was taken", *film.id);
        look.fault(Code::PostureMissing, &film.id.place, message);
    }
    let Some(support) = &film.support else {
        if !look.whole(&film.place) {
            return;
        }
        let message = format!("film `{}` does not say whether a brace was worn", *film.id);
        look.fault(Code::SupportMissing, &film.id.place, message);
        return;
    };
    if let (Support::Treatment(id), Some(off)) = (&support.value, &film.off_for) {
        let hours = plain(off.to_hours());
        let message = format!("film `{}` is in `{id}` and yet {hours} h out of it", *film.id);
        let other = (&support.place, "in support");
        look.fault_with(Code::OffHoursInSupport, &off.place, message, other);
    }
}

fn bending(look: &mut Check, film: &Film) {
    match (&film.bent_to, *film.view == View::Bending) {
        (None, true) if look.whole(&film.place) => {
            let message = format!("bending film `{}` does not say to which side", *film.id);
            look.fault(Code::BentToMissing, &film.view.place, message);
        }
        (Some(side), false) => {
            let view = film.view.word();
            let message = format!("film `{}` is {view} and yet bent to a side", *film.id);
            look.fault(Code::BentToOnOtherView, &side.place, message);
        }
        _ => {}
    }
}

fn readers(look: &mut Check, film: &Film) {
    let mut seen = BTreeMap::new();
    repeats(look, film);
    for reading in film.readings.iter().filter(|r| r.repeat_of.is_none()) {
        if let Some(first) = seen.insert(reading.by.value.clone(), &reading.by.place) {
            let message = format!("`{}` has two readings of film `{}`", *reading.by, *film.id);
            let other = (first, "the other reading");
            look.fault_with(Code::ReaderReadTwice, &reading.by.place, message, other);
        }
    }
}

/// A repeat names a first reading of its film by the same reader, and is no
/// older.
fn repeats(look: &mut Check, film: &Film) {
    for reading in &film.readings {
        let Some(of) = &reading.repeat_of else { continue };
        let first = film.readings.iter().find(|r| r.id.value == of.value);
        let why = match first {
            None => format!("film `{}` has no reading `{}`", *film.id, **of),
            Some(first) if first.repeat_of.is_some() => {
                format!("reading `{}` of film `{}` is itself a repeat", **of, *film.id)
            }
            Some(first) if first.by.value != reading.by.value => {
                format!("reading `{}` of film `{}` is by `{}`", **of, *film.id, *first.by)
            }
            Some(first) if reading.read.value < first.read.value => {
                let (later, earlier) = (*first.read, *reading.read);
                format!(
                    "reading `{}` of film `{}` is of {later}, its repeat of {earlier}",
                    **of, *film.id
                )
            }
            Some(_) => continue,
        };
        look.fault(Code::RepeatUnfit, &of.place, why);
    }
}
