//! Correction bars from the checks of every brace and cast.

use crate::case::{Posture, Treatment, TreatmentKind};
use crate::facts::Value;
use crate::facts::derive::track::Track;
use crate::facts::derive::treatment::supports;
use crate::figure::correction::{self, Bar, CorrectionWords, Corrections, CurveBars};
use crate::figure::words::fill;
use crate::letter::block::Figure;
use crate::quantity::Reported;

use super::words::{FillWords, worded};
use super::{Shown, name};

/// How many curves have room, the largest of them.
const CURVES: usize = 3;
/// How many braces or casts, the latest of them.
const BRACES: usize = 3;

/// The figure of the curves filmed in any brace or cast.
pub fn corrections(tracks: &[&Track], shown: &Shown, width: f64) -> Option<Figure> {
    let words = worded::<CorrectionWords>(shown);
    let all: Vec<(Reported, CurveBars)> =
        tracks.iter().filter_map(|t| one(t, shown, &words)).collect();
    let left_out = all.len() > CURVES;
    let curves = largest(all);
    let model = Corrections { worn: kinds(shown, &words), curves, words };
    let drawing = correction::draw(&model, width)?;
    Some(Figure {
        alt: correction::alt(&model),
        caption: caption(&model, left_out, shown),
        drawing,
    })
}

/// The largest curves, still in order from the head down.
fn largest(all: Vec<(Reported, CurveBars)>) -> Vec<CurveBars> {
    let larger = |value: Reported| all.iter().filter(|(v, _)| v.compare(value).is_gt()).count();
    let kept: Vec<bool> = all.iter().map(|(value, _)| larger(*value) < CURVES).collect();
    let kept = all.into_iter().zip(kept).filter(|(_, keep)| *keep);
    kept.map(|((_, curve), _)| curve).take(CURVES).collect()
}

/// What was worn: braces, casts or both.
fn kinds(shown: &Shown, words: &CorrectionWords) -> String {
    let worn = worn(shown);
    let any = |kind| worn.iter().any(|t| t.kind.value == kind);
    match (any(TreatmentKind::Brace), any(TreatmentKind::Cast)) {
        (true, true) => words.either.clone(),
        (false, true) => words.cast.clone(),
        _ => words.brace.clone(),
    }
}

fn caption(model: &Corrections, left_out: bool, shown: &Shown) -> String {
    let [what, below_zero, some] = worded::<FillWords>(shown).correction;
    let mut caption = fill(&what, &[("worn", model.worn.clone())]);
    let turned = |b: &Bar| b.held.angle.sign() < 0;
    if model.curves.iter().flat_map(|c| &c.bars).any(turned) {
        caption.push_str(&below_zero);
    }
    if left_out {
        caption.push_str(&some);
    }
    caption
}

/// One curve's bars, and its largest angle for the order of the curves. A
/// lordosis has none: nothing is corrected there.
fn one(track: &Track, shown: &Shown, words: &CorrectionWords) -> Option<(Reported, CurveBars)> {
    if track.is_lordosis() {
        return None;
    }
    let worn: Vec<&Treatment> = worn(shown);
    let latest = &worn[worn.len().saturating_sub(BRACES)..];
    let bars: Vec<Bar> =
        latest.iter().flat_map(|t| of_brace(track, t, &worn, shown, words)).collect();
    let size = |b: &Bar| b.free.as_ref().map_or(b.held.angle.abs(), |f| f.angle);
    let most = bars.iter().map(size).reduce(|a, b| if b.compare(a).is_gt() { b } else { a })?;
    Some((most, CurveBars { name: name(track, shown), bars }))
}

/// Braces and casts in which any film was taken, by first day.
fn worn<'a>(shown: &Shown<'a>) -> Vec<&'a Treatment> {
    let worn = shown.known.treatments.iter().filter(|t| supports(t) && t.start().is_some());
    let mut worn: Vec<&Treatment> = worn.collect();
    worn.sort_by_key(|t| t.start().map(|s| s.value));
    worn
}

/// The first and the latest film of a curve in one brace or cast.
fn of_brace(
    track: &Track,
    t: &Treatment,
    worn: &[&Treatment],
    shown: &Shown,
    words: &CorrectionWords,
) -> Vec<Bar> {
    let root = format!("treatments.{}.in_brace.{}", t.id.value, track.key);
    let films = number(shown, &format!("{root}.films")).map_or(0, |n| n.value() as i64);
    let support = support(t, worn, words);
    let called = |pattern: &str| fill(pattern, &[("support", support.clone())]);
    let wanted = match films {
        0 => vec![],
        1 => vec![("first", support.clone())],
        _ => vec![("first", called(&words.first)), ("latest", called(&words.latest))],
    };
    let bar = |(which, name): (&str, String)| bar(&format!("{root}.{which}"), name, shown, words);
    wanted.into_iter().filter_map(bar).collect()
}

/// `brace`, or `second brace` where there were several of its kind.
fn support(t: &Treatment, worn: &[&Treatment], words: &CorrectionWords) -> String {
    let cast = t.kind.value == TreatmentKind::Cast;
    let noun = if cast { &words.cast } else { &words.brace };
    let same: Vec<_> = worn.iter().filter(|o| o.kind.value == t.kind.value).collect();
    let nth = same.iter().position(|o| o.id.value == t.id.value);
    let ordinal = nth
        .filter(|_| same.len() > 1)
        .map(|n| words.ordinals.get(n).cloned().unwrap_or_else(|| format!("{}.", n + 1)));
    match ordinal {
        Some(nth) => fill(&words.one_of, &[("nth", nth), ("support", noun.clone())]),
        None => noun.clone(),
    }
}

fn bar(path: &str, support: String, shown: &Shown, words: &CorrectionWords) -> Option<Bar> {
    let at = |angle: &str, on: &str, posture: &str| {
        Some(correction::Shown {
            angle: number(shown, &format!("{path}.{angle}"))?,
            date: date(shown, &format!("{path}.{on}"))?,
            posture: said(shown, &format!("{path}.{posture}"), words),
        })
    };
    Some(Bar {
        support,
        held: at("cobb", "taken", "posture")?,
        free: at("baseline_cobb", "baseline_taken", "baseline_posture"),
        percent: number(shown, &format!("{path}.correction")),
    })
}

fn number(shown: &Shown, id: &str) -> Option<Reported> {
    shown.facts.get(id)?.number()
}

fn date(shown: &Shown, id: &str) -> Option<chrono::NaiveDate> {
    match &shown.facts.get(id)?.value {
        Value::Date(date) => Some(date.first_day()),
        _ => None,
    }
}

fn said(shown: &Shown, id: &str, words: &CorrectionWords) -> Option<String> {
    let posture = Posture::from_word(shown.facts.get(id)?.word()?)?;
    let at = Posture::ALL.iter().position(|p| *p == posture)?;
    words.postures.get(at).cloned()
}
