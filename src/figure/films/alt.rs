//! The films in sentences, and what stands under the figure.

use super::{FilmCurve, FilmPanel, Films, alike, displayed, to_scale, word};
use crate::figure::words::fill;

/// The alt text: every film, how it lies, and every curve.
pub fn alt(figure: &Films) -> String {
    let words = &figure.words.alt;
    let opening = match (figure.films.len(), to_scale(&figure.films)) {
        (1, _) => &words.one,
        (_, true) => &words.to_scale,
        (_, false) => &words.not_to_scale,
    };
    let films = (1..).zip(&figure.films).map(|(n, film)| sentence(figure, n, film));
    std::iter::once(opening.clone()).chain(films).collect::<Vec<_>>().join(" ")
}

fn sentence(figure: &Films, n: usize, film: &FilmPanel) -> String {
    let words = &figure.words.alt;
    let curves: Vec<String> =
        film.curves.iter().filter_map(|curve| of_curve(figure, curve)).collect();
    let list = if curves.is_empty() { words.no_curve.clone() } else { curves.join("; ") };
    let values = [
        ("n", n.to_string()),
        ("caption", film.captions.join(", ")),
        ("displayed", displayed(&figure.words, film)),
        ("side", word(&words.sides, film.at_left).to_owned()),
        ("list", list),
    ];
    fill(&words.film, &values)
}

fn of_curve(figure: &Films, curve: &FilmCurve) -> Option<String> {
    let words = &figure.words.alt;
    let reading = curve.readings.first()?;
    let values = [
        ("upper", reading.upper.level.to_string()),
        ("lower", reading.lower.level.to_string()),
        ("side", word(&words.sides, curve.convex).to_owned()),
        ("angle", curve.angle.clone()),
    ];
    Some(fill(&words.curve, &values))
}

/// What stands under the figure.
pub fn caption(figure: &Films) -> String {
    let words = &figure.words.caption;
    let films = &figure.films;
    let what = match (films.len(), to_scale(films)) {
        (1, _) => &words.one,
        (_, true) => &words.to_scale,
        (_, false) => &words.not_to_scale,
    };
    let way = films
        .first()
        .filter(|_| alike(films))
        .map(|film| fill(&words.displayed, &[("way", displayed(&figure.words, film))]));
    let readings = |most: usize| {
        films.iter().flat_map(|f| &f.curves).any(|curve| curve.readings.len() >= most)
    };
    let mut out = vec![fill(what, &[("displayed", way.unwrap_or_default())])];
    out.push(words.sides.clone());
    out.extend(readings(1).then(|| words.lines.clone()));
    out.extend(readings(2).then(|| words.readings.clone()));
    out.extend(films.iter().any(|f| f.in_support).then(|| words.in_support.clone()));
    out.join(" ")
}
