//! Which films may be compared, for which purpose, and why not.
//!
//! One table: *progression* wants two films out of support in the same posture
//! and view (and, for a curve of the lateral film, the same end vertebrae:
//! that is a matter of the curve, not of the films); an *in-brace check* wants the film in support and the last film
//! out of any support before it; *flexibility* wants a bending, lying,
//! traction or bolster film against one standing. What may differ is recorded
//! and printed; what may not differ gives the reason in words.

use chrono::{Months, NaiveDate};

use crate::case::{Case, Film, Posture, Support, TreatmentKind, View};

/// What held the spine on a film, as far as the records tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Held {
    /// Nothing: recorded so, or no brace or cast existed that day.
    Free,
    /// In a brace.
    Brace,
    /// In a cast.
    Cast,
    /// A brace or cast was in use and nobody recorded whether it was on.
    Unknown,
}

impl Held {
    /// The closed-set word.
    pub fn word(self) -> &'static str {
        match self {
            Held::Free => "none",
            Held::Brace => "brace",
            Held::Cast => "cast",
            Held::Unknown => "not recorded",
        }
    }
}

/// What held the spine on that film.
pub fn held(case: &Case, film: &Film) -> Held {
    match film.support.as_ref().map(|s| &s.value) {
        Some(Support::None) => Held::Free,
        Some(Support::Treatment(id)) => {
            let kind = case.treatments.iter().find(|t| t.id.value == *id).map(|t| t.kind.value);
            match kind {
                Some(TreatmentKind::Cast) => Held::Cast,
                _ => Held::Brace,
            }
        }
        None if support_in_use(case, film.taken.value) => Held::Unknown,
        None => Held::Free,
    }
}

/// Whether a brace or cast was in use on that day.
pub fn support_in_use(case: &Case, on: NaiveDate) -> bool {
    case.treatments.iter().any(|t| {
        matches!(t.kind.value, TreatmentKind::Brace | TreatmentKind::Cast)
            && t.start().is_some_and(|s| s.value <= on)
            && t.ended.as_ref().is_none_or(|e| e.on.value >= on)
    })
}

/// Whether a film shows the spine as it is: out of support, not bent, pulled
/// or propped.
pub fn natural(case: &Case, film: &Film) -> bool {
    held(case, film) == Held::Free
        && matches!(film.view.value, View::Frontal | View::Lateral)
        && !matches!(posture(film), Some(Posture::Traction | Posture::Bolster))
}

/// The film that shows the spine as it is now: the latest in the most upright
/// posture among those of the last two months. A film taken lying to see how far a
/// curve gives way does not take the place of the standing film beside it;
/// in a child who cannot stand yet it is the one that counts.
pub fn now<'a>(case: &Case, films: impl Iterator<Item = &'a Film>) -> Option<&'a Film> {
    let natural: Vec<&Film> = films.filter(|f| natural(case, f)).collect();
    let latest = natural.iter().map(|f| f.taken.value).max()?;
    let recent = natural.into_iter().filter(|f| f.taken.value + Months::new(2) > latest);
    recent.max_by_key(|f| (upright(f), f.taken.value))
}

fn upright(film: &Film) -> u8 {
    match posture(film) {
        Some(Posture::Standing) => 2,
        Some(Posture::Sitting) => 1,
        _ => 0,
    }
}

/// The posture, if recorded.
pub fn posture(film: &Film) -> Option<Posture> {
    film.posture.as_ref().map(|p| p.value)
}

/// Whether two films may be compared to judge progression; the reason if not.
pub fn progression(case: &Case, earlier: &Film, later: &Film) -> Result<(), String> {
    for film in [earlier, later] {
        match held(case, film) {
            Held::Free => {}
            Held::Unknown => {
                return Err(format!(
                    "it is not recorded whether the brace was on for the film of {}",
                    film.taken.value
                ));
            }
            held => {
                return Err(format!(
                    "the film of {} was taken in a {}",
                    film.taken.value,
                    held.word()
                ));
            }
        }
    }
    alike(earlier, later)
}

/// Whether two films were taken the same way; the reason if not.
pub fn alike(earlier: &Film, later: &Film) -> Result<(), String> {
    if earlier.view.value != later.view.value {
        return Err(format!(
            "one film is {}, the other {}",
            earlier.view.word(),
            later.view.word()
        ));
    }
    match (posture(earlier), posture(later)) {
        (Some(a), Some(b)) if a == b => Ok(()),
        (Some(a), Some(b)) => {
            Err(format!("one film was taken {}, the other {}", a.word(), b.word()))
        }
        _ => Err("the posture of one film is not recorded".into()),
    }
}

/// Whether a film shows how far a curve gives way: bent, lying, pulled or
/// propped, out of support.
pub fn shows_flexibility(case: &Case, film: &Film) -> bool {
    held(case, film) == Held::Free
        && (film.view.value == View::Bending
            || matches!(
                posture(film),
                Some(Posture::Supine | Posture::Prone | Posture::Traction | Posture::Bolster)
            ))
}
