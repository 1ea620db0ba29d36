//! `curves.<key>.slope.*`: how fast a curve goes over all films that compare.
//!
//! The median of the slopes between all pairs of films (Theil and Sen), so
//! that one wild reading does not set the pace. Only films that compare with
//! the curve as it is now count, three at least, over the clinic's shortest
//! interval for a yearly rate at least. The slope of least squares stands
//! beside it for comparison.

use super::curves::comparable_to_now;
use super::maker::{Maker, whole};
use super::span::Setting;
use super::track::{FilmCurve, Track};
use crate::course::trend::{self, Dated, SLOPE_SOURCE};
use crate::evidence::Source;
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};

const LEAST_SQUARES: Source = Source::definition("least squares");

/// Fewest films for a slope.
const FILMS: usize = 3;

/// What a slope says, or says is missing.
const ITEMS: [(&str, &str); 5] = [
    ("per_year", "change a year over all comparable films"),
    ("least_squares", "the same by least squares, for comparison"),
    ("films", "number of comparable films"),
    ("from", "first of these films"),
    ("to", "last of these films"),
];

/// Why a slope does not exist.
pub fn none(make: &mut Maker, root: &str, missing: &Missing) {
    for (item, label) in ITEMS {
        make.missing(format!("{root}.slope.{item}"), label, missing.clone());
    }
}

/// Writes the slope of a curve, or why there is none.
pub fn slope(make: &mut Maker, root: &str, track: &Track, free: &[&FilmCurve], set: &Setting) {
    let earlier = comparable_to_now(track, free, set);
    let films: Vec<&FilmCurve> = earlier.iter().map(|c| **c).chain(free.last().copied()).collect();
    if films.len() < FILMS {
        let why = format!("{} comparable films, and a slope wants {FILMS}", films.len());
        none(make, root, &Missing::NotApplicable(why));
        return;
    }
    let dated = |c: &&FilmCurve| Dated { on: c.film.taken.value, value: c.reported() };
    let series: Vec<Dated> = films.iter().map(dated).collect();
    let fewest = set.clinic.limits.rate_months();
    if trend::rate_per_year(series[0], series[series.len() - 1], fewest).is_err() {
        let why = format!("the films lie within {fewest} months");
        none(make, root, &Missing::NotApplicable(why));
        return;
    }
    let points = trend::in_years(&series);
    let (Some(median), Some(least)) = (trend::theil_sen(&points), trend::least_squares(&points))
    else {
        none(make, root, &Missing::NotApplicable("the films are of one day".into()));
        return;
    };
    write(make, &format!("{root}.slope"), track, &films, (median, least));
}

fn write(
    make: &mut Maker,
    root: &str,
    track: &Track,
    films: &[&FilmCurve],
    (median, least): (f64, f64),
) {
    let rows = [
        (
            0,
            median,
            "median of the slopes between all pairs of these films, reported angles over years of 365.25 days; treated times included",
            SLOPE_SOURCE,
        ),
        (
            1,
            least,
            "line of least squares through these films; told only for comparison",
            LEAST_SQUARES,
        ),
    ];
    for (row, value, formula, source) in rows {
        let (item, label) = ITEMS[row];
        let reported = Value::Number(Reported::round(value, 1, Unit::DegreePerYear));
        let mut draft = make.fact(format!("{root}.{item}"), label, reported).unrounded(value);
        for c in films {
            let film = &c.film.id.value;
            draft = draft.from(format!("films.{film}.curves.{}.cobb", track.key));
            draft = draft.from(format!("films.{film}.taken"));
        }
        draft.by(formula, source).done();
    }
    let count = whole(films.len() as i64, Unit::One);
    make.fact(format!("{root}.films"), ITEMS[2].1, count)
        .by(
            "films out of support alike in posture and view to the film of now, and that film",
            Source::definition(""),
        )
        .done();
    for (item, c) in [("from", films[0]), ("to", films[films.len() - 1])] {
        make.same(format!("{root}.{item}"), &format!("films.{}.taken", c.film.id.value));
    }
}
