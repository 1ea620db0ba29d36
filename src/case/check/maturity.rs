//! Signs of maturity: on a film that shows them, and never going backwards.

use crate::case::{Film, Maturity, Opt, RisserScale, Triradiate, View};
use crate::diag::{Code, Diagnostic, Place};

use super::Check;

/// Where a grade of bone maturity stands.
type Grade = fn(&Maturity) -> &Opt<u8>;

pub(super) fn check(look: &mut Check) {
    for film in &look.case.films {
        view(look, film);
    }
    risser(look);
    let hand: [(&str, Grade); 3] = [
        ("stage of the hand", |m| &m.hand_stage),
        ("grade of the radius", |m| &m.radius),
        ("grade of the ulna", |m| &m.ulna),
    ];
    for (what, get) in hand {
        falling(look, what, |m| {
            let grade = get(m).as_ref()?;
            Some((grade.value, grade.value.to_string(), &grade.place))
        });
    }
    falling(look, "triradiate cartilage", |m| {
        let state = m.triradiate.as_ref()?;
        let order = match state.value {
            Triradiate::Open => 0,
            Triradiate::Closing => 1,
            Triradiate::Closed => 2,
        };
        Some((order, state.word().to_string(), &state.place))
    });
}

/// A hand shows no pelvis, and a spine no hand.
fn view(look: &mut Check, film: &Film) {
    let Some(maturity) = &film.maturity else { return };
    let of_hand = [
        ("hand_stage", maturity.hand_stage.as_ref().map(|s| &s.place)),
        ("radius", maturity.radius.as_ref().map(|s| &s.place)),
        ("ulna", maturity.ulna.as_ref().map(|s| &s.place)),
    ];
    let of_pelvis = [
        ("risser", maturity.risser.as_ref().map(|r| &r.grade.place)),
        ("triradiate", maturity.triradiate.as_ref().map(|t| &t.place)),
    ];
    let hand = *film.view == View::Hand;
    let unfit: &[_] = if hand { &of_pelvis } else { &of_hand };
    for (sign, place) in unfit {
        let Some(place) = place else { continue };
        let message =
            format!("`{sign}` is recorded on film `{}`, a {} film", *film.id, film.view.word());
        let other = (&film.view.place, "the view");
        look.fault_with(Code::MaturityOnOtherView, place, message, other);
    }
}

/// A sign whose order goes down from one film to a later one.
fn falling<'a>(
    look: &mut Check<'a>,
    what: &str,
    get: impl Fn(&'a Maturity) -> Option<(u8, String, &'a Place)>,
) {
    let case = look.case;
    let mut seen: Vec<_> = case
        .films
        .iter()
        .filter_map(|film| Some((*film.taken, get(film.maturity.as_ref()?)?)))
        .collect();
    seen.sort_by_key(|(taken, _)| *taken);
    for pair in seen.windows(2) {
        let ((before, (old, was, old_place)), (taken, (new, is, place))) = (&pair[0], &pair[1]);
        if new < old {
            let message = format!("{what}: {is} on {taken} after {was} on {before}");
            look.fault_with(Code::MaturityFalling, place, message, (old_place, "further before"));
        }
    }
}

/// Each scale by itself: a US and a French grade are not compared.
fn risser(look: &mut Check) {
    for scale in RisserScale::ALL {
        let mut grades: Vec<_> = look
            .case
            .films
            .iter()
            .filter_map(|film| {
                let risser = film.maturity.as_ref()?.risser.as_ref()?;
                (risser.scale.value == *scale).then_some((*film.taken, &risser.grade))
            })
            .collect();
        grades.sort_by_key(|(taken, _)| *taken);
        for pair in grades.windows(2) {
            let ((before, old), (taken, new)) = (pair[0], pair[1]);
            if new.value < old.value {
                let message = format!(
                    "Risser {} on {taken} after {} on {before} ({} scale)",
                    **new,
                    **old,
                    scale.word()
                );
                let fault = Diagnostic::new(Code::RisserFalling, Some(new.place.clone()), message);
                look.report.push(fault.related(old.place.clone(), "higher before"));
            }
        }
    }
}
