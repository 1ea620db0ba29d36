//! Heights and growth, from the series of the letter's facts.

use chrono::{Days, NaiveDate};

use super::words::worded;
use super::{ALONE, Shown};
use crate::case::Sex;
use crate::course::growth::lms::z_of_centile;
use crate::course::growth::stature::{ReferenceSex, months_of_age, stature};
use crate::facts::Value;
use crate::figure::Size;
use crate::figure::growth::{
    CentileLine, Event, Growth, GrowthStep, GrowthWords, HeightPoint, MaturityMark, Peak,
    Reference, alt, caption, draw,
};
use crate::letter::block::Figure;
use crate::letter::wording::{TimeForm, date};
use crate::quantity::{PartialDate, Reported};

/// Days between two points of a centile's line.
const STEP: u64 = 61;
/// Lines reach this far beyond the heights, in days.
const BEYOND: u64 = 3 * 366;
/// Days in a year of age.
const YEAR: f64 = 365.25;

/// Height and its velocity; nothing with fewer than two heights.
pub(super) fn figure(shown: &Shown, width: f64) -> Option<Figure> {
    let model = model(shown)?;
    let size = Size { width, height: if width < ALONE { 58.0 } else { 40.0 } };
    let drawing = draw(&model, size)?;
    Some(Figure { alt: alt(&model), caption: caption(&model), drawing })
}

fn model(shown: &Shown) -> Option<Growth> {
    let words = worded::<GrowthWords>(shown);
    let heights = heights(shown);
    let (first, last) = (heights.first()?.date, heights.last()?.date);
    Some(Growth {
        steps: steps(shown),
        reference: reference(shown, first, last, &words),
        first_period: first_period(shown),
        maturity: maturity(shown),
        heights,
        words,
    })
}

fn number(shown: &Shown, id: &str) -> Option<Reported> {
    shown.facts.get(id)?.number()
}

fn partial(shown: &Shown, id: &str) -> Option<PartialDate> {
    match &shown.facts.get(id)?.value {
        Value::Date(date) => Some(*date),
        _ => None,
    }
}

fn day(shown: &Shown, id: &str) -> Option<NaiveDate> {
    partial(shown, id).map(PartialDate::first_day)
}

fn heights(shown: &Shown) -> Vec<HeightPoint> {
    let one = |n: usize| {
        let root = format!("growth.heights.h{n}");
        let date = day(shown, &format!("{root}.on"))?;
        Some(HeightPoint { date, value: number(shown, &format!("{root}.height"))? })
    };
    (1..).map_while(one).collect()
}

fn steps(shown: &Shown) -> Vec<GrowthStep> {
    let one = |n: usize| {
        let root = format!("growth.steps.s{n}");
        let per_year = shown.facts.get(&format!("{root}.per_year"))?;
        Some(GrowthStep {
            from: day(shown, &format!("{root}.from"))?,
            to: day(shown, &format!("{root}.to"))?,
            per_year: per_year.number()?,
            half: per_year.uncertainty.as_ref()?.half_width,
        })
    };
    (1..).map_while(one).collect()
}

fn reference(
    shown: &Shown,
    first: NaiveDate,
    last: NaiveDate,
    words: &GrowthWords,
) -> Option<Reference> {
    let born = shown.known.patient.born.value;
    let (sex, whose) = match shown.known.patient.sex.value {
        Sex::Female => (ReferenceSex::Girls, &words.girls),
        Sex::Male => (ReferenceSex::Boys, &words.boys),
        Sex::Other => return None,
    };
    let from = (first - Days::new(BEYOND)).max(born);
    let days: Vec<NaiveDate> = (0..)
        .map(|n| from + Days::new(n * STEP))
        .take_while(|day| *day <= last + Days::new(BEYOND))
        .collect();
    let lines = lines(shown, sex, born, &days)?;
    Some(Reference { born, lines, whose: whose.clone(), peak: peak(shown, born) })
}

/// A line for each centile of the facts.
fn lines(
    shown: &Shown,
    sex: ReferenceSex,
    born: NaiveDate,
    days: &[NaiveDate],
) -> Option<Vec<CentileLine>> {
    let fact = |n: usize| shown.facts.get(&format!("growth.reference.centiles.c{n}"));
    let line = |centile: Reported| {
        let z = z_of_centile(centile.value())?;
        let height = |on: &NaiveDate| stature(sex, months_of_age(born, *on)).ok()?.at_z(z);
        let points: Vec<_> = days.iter().filter_map(|on| Some((*on, height(on)?))).collect();
        (points.len() > 1).then(|| CentileLine { name: centile.digits(), points })
    };
    let lines: Vec<CentileLine> = (1..).map_while(fact).filter_map(|f| line(f.number()?)).collect();
    (!lines.is_empty()).then_some(lines)
}

/// The ages of peak growth, one standard deviation around the published mean.
fn peak(shown: &Shown, born: NaiveDate) -> Option<Peak> {
    let of = |item: &str| number(shown, &format!("growth.reference.{item}"));
    let (age, sd) = (of("peak_age")?, of("peak_age_sd")?);
    let at = |years: f64| born + Days::new((years * YEAR).round() as u64);
    let (from, to) = (at(age.value() - sd.value()), at(age.value() + sd.value()));
    Some(Peak { from, to, age, sd })
}

fn first_period(shown: &Shown) -> Option<Event> {
    let known = partial(shown, "maturity.menarche.on")?;
    let (first, last) = (known.first_day(), known.last_day());
    let half = (last - first).num_days() / 2;
    let middle = first + Days::new(half.max(0) as u64);
    let form = TimeForm::default();
    Some(Event { date: middle, when: date(known, form, shown.style) })
}

/// Risser grades on the films that show one.
fn maturity(shown: &Shown) -> Vec<MaturityMark> {
    let graded = shown.known.films.iter().filter_map(|film| {
        let risser = film.maturity.as_ref()?.risser.as_ref()?;
        let text = Some(format!("Risser {}", risser.grade.value));
        Some(MaturityMark { date: film.taken.value, text })
    });
    graded.collect()
}
