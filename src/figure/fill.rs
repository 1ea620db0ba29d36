//! Puts figures where a template left room for them.
//!
//! What is drawn comes from the facts' own tracks and the case as known on
//! the letter's day, so a figure can show nothing that the text could not
//! say. A figure without data is left out together with its place. The bytes of
//! pictures are given back beside the blocks.

mod correction;
mod films;
mod growth;
mod order;
mod sagittal;
mod wear;
pub mod words;

use crate::case::{Case, Film, Limits, Posture, Treatment, TreatmentKind};
use crate::diag::Report;
use crate::facts::compare::{self, Held};
use crate::facts::derive::measure;
use crate::facts::derive::track::{FilmCurve, Track};
use crate::facts::derive::{largest_plane, tracks, treatment};
use crate::facts::{Facts, Value};
use crate::letter::block::{Block, Figure};
use crate::letter::drawing::{Drawing, Pictures};
use crate::letter::locale;
use crate::letter::wording::{self, Style, full_date};
use crate::quantity::{Reported, Unit};
use crate::spine::frame::{Plane, Vertebra};
use chrono::NaiveDate;

use super::Size;
use super::course::{
    self, Course, CoursePoint, CourseWords, Episode, EpisodeKind, MaturityMark, PointKind, Series,
};
use super::spine::{self, Convexity, PanelCurve, PanelView, SpinePanel, SpinePanels, SpineWords};
use super::words::fill as filled;

use words::{FillWords, worded};

/// What figures are drawn from.
pub struct Shown<'a> {
    /// The case as known on the letter's day.
    pub known: &'a Case,
    /// The letter's facts.
    pub facts: &'a Facts,
    /// How the letter says things.
    pub style: &'a Style,
    /// The clinic's limits, by which a log was evaluated.
    pub limits: &'a Limits,
}

/// Replaces every slot by its figures, or removes it; gives back the bytes of
/// the pictures they show.
pub fn fill(blocks: &mut Vec<Block>, shown: &Shown) -> Pictures {
    if !blocks.iter().any(|b| matches!(b, Block::Slot { .. })) {
        return Pictures::new();
    }
    let tracks = tracks(shown.known, &mut Report::default());
    let old = std::mem::take(blocks);
    for block in old {
        let Block::Slot { wanted } = block else {
            blocks.push(block);
            continue;
        };
        let beside = |w: &String| match wanted.iter().any(|w| shows_films(w, &tracks, shown)) {
            true if shows_films(w, &tracks, shown) => FILMS,
            true => BESIDE_FILMS,
            false => BESIDE,
        };
        let drawn = |width: &dyn Fn(&String) -> f64| -> Vec<Figure> {
            let found = wanted.iter().filter_map(|w| figure(w, &tracks, shown, width(w)));
            found.take(SIDE_BY_SIDE).collect()
        };
        let mut figures = drawn(&beside);
        if figures.len() == 1 {
            figures = drawn(&|_| ALONE);
        }
        if !figures.is_empty() {
            blocks.push(Block::Figures { figures });
        }
    }
    films::pictures(blocks, shown.known)
}

fn figure(wanted: &str, tracks: &[Track], shown: &Shown, width: f64) -> Option<Figure> {
    let plane = largest_plane(shown.known);
    let mine: Vec<&Track> = tracks.iter().filter(|t| t.plane == plane).collect();
    if let Some(else_wanted) = wanted.strip_prefix("films or ") {
        let films = films::figure(&mine, plane, shown, width);
        return films.or_else(|| figure(else_wanted, tracks, shown, width));
    }
    match wanted {
        "spine" => spines(&mine, plane, shown, width),
        "course" => courses(&mine, shown, width),
        "correction" => correction::corrections(&mine, shown, width),
        // Its words are English: it goes to makers.
        "order" if shown.style.language.tag == "en" => order::ordered(&mine, plane, shown),
        "sagittal" => sagittal::outline(tracks, shown, width),
        "films" => films::figure(&mine, plane, shown, width),
        "growth" => growth::figure(shown, width),
        "wear" => wear::figure(shown, width, false),
        "wear plain" => wear::figure(shown, width, true),
        _ => None,
    }
}

/// Whether a place of that name is filled by films.
fn shows_films(wanted: &str, tracks: &[Track], shown: &Shown) -> bool {
    wanted.starts_with("films") && figure("films", tracks, shown, FILMS).is_some()
}

/// How many figures stand side by side: the first of those named that can be
/// drawn.
const SIDE_BY_SIDE: usize = 2;

/// Width of a figure beside another and of one that stands alone, in mm.
const BESIDE: f64 = 82.0;
const ALONE: f64 = 140.0;
/// Width of films beside another figure, and of that figure.
const FILMS: f64 = 92.0;
const BESIDE_FILMS: f64 = 60.0;

/// The space of a figure: higher for several curves.
fn size(width: f64, curves: usize) -> Size {
    Size { width, height: if curves > 1 { 70.0 } else { 60.0 } }
}

fn text_of(shown: &Shown, id: &str) -> Option<String> {
    match &shown.facts.get(id)?.value {
        Value::Text(t) => Some(t.clone()),
        Value::Word(w) => wording::word(w, shown.style).ok(),
        _ => None,
    }
}

/// `Right thoracic`, `Thoracic kyphosis`.
fn name(track: &Track, shown: &Shown) -> String {
    let name = text_of(shown, &format!("curves.{}.name", track.key)).unwrap_or_default();
    match track.side {
        Some(side) => worded::<FillWords>(shown).curve(&name, side),
        None => wording::capital(&name),
    }
}

fn angle(value: Reported) -> String {
    format!("{}°", value.digits())
}

// --- the course over time

fn courses(tracks: &[&Track], shown: &Shown, width: f64) -> Option<Figure> {
    let all: Vec<(Reported, Series)> = tracks.iter().filter_map(|t| one_course(t, shown)).collect();
    let series = largest(all, PLOTS);
    let points: usize = series.iter().map(|s| s.points.len()).max()?;
    if points < 2 {
        return None;
    }
    let several = series.len() > 1;
    let model = Course {
        series,
        band_half_width: band(shown),
        episodes: episodes(shown),
        maturity: maturity(tracks, shown),
        until: shown.facts.as_of,
        words: worded::<CourseWords>(shown),
    };
    let drawing = course::draw(&model, size(width, model.series.len()))?;
    Some(Figure {
        alt: course::alt(&model),
        caption: course_caption(&model, several, shown),
        drawing,
    })
}

/// How many curves have room for a plot of their own.
const PLOTS: usize = 3;

/// The largest curves, still in order from the head down.
fn largest(all: Vec<(Reported, Series)>, most: usize) -> Vec<Series> {
    let larger = |value: Reported| all.iter().filter(|(v, _)| v.compare(value).is_gt()).count();
    let kept: Vec<bool> = all.iter().map(|(value, _)| larger(*value) < most).collect();
    let kept = all.into_iter().zip(kept).filter(|(_, keep)| *keep).map(|((_, s), _)| s);
    kept.take(most).collect()
}

fn course_caption(model: &Course, several: bool, shown: &Shown) -> String {
    let words = worded::<FillWords>(shown).course;
    let what = match several {
        true => words.several.clone(),
        false => filled(&words.one, &[("curve", model.series[0].name.clone())]),
    };
    let any = |kind: fn(&PointKind) -> bool| {
        model.series.iter().any(|s| s.points.iter().any(|p| kind(&p.kind)))
    };
    let mut caption = filled(&words.band, &[("what", what)]);
    if any(|k| matches!(k, PointKind::InBrace | PointKind::InCast)) {
        let turned = model.series.iter().any(|s| s.points.iter().any(|p| p.value.sign() < 0));
        caption.push_str(if turned { &words.turned } else { &words.held });
    }
    if any(|k| matches!(k, PointKind::NotComparable(_))) {
        caption.push_str(&words.apart);
    }
    caption
}

/// One curve's points, and its latest value for the order of the curves.
fn one_course(track: &Track, shown: &Shown) -> Option<(Reported, Series)> {
    let case = shown.known;
    let now = track.now(case)?;
    let points: Vec<CoursePoint> =
        track.films.iter().filter_map(|c| course_point(c, now, shown)).collect();
    Some((now.reported(), Series { name: name(track, shown), points }))
}

fn course_point(c: &FilmCurve, now: &FilmCurve, shown: &Shown) -> Option<CoursePoint> {
    let (case, words) = (shown.known, worded::<FillWords>(shown));
    let kind = match compare::held(case, c.film) {
        Held::Brace => PointKind::InBrace,
        Held::Cast => PointKind::InCast,
        Held::Unknown => PointKind::NotComparable(words.support_unknown),
        Held::Free if !compare::natural(case, c.film) => return None,
        Held::Free if compare::progression(case, c.film, now.film).is_ok() => {
            PointKind::OutOfSupport
        }
        Held::Free => PointKind::NotComparable(lying(c.film, words)),
    };
    let value = c.reported();
    Some(CoursePoint { date: c.film.taken.value, value, kind, label: angle(value) })
}

fn lying(film: &Film, words: FillWords) -> String {
    let [lying, sitting, standing] = words.apart;
    match compare::posture(film) {
        Some(Posture::Supine | Posture::Prone) => lying,
        Some(Posture::Sitting) => sitting,
        Some(Posture::Standing) => standing,
        _ => String::new(),
    }
}

/// Half the limit of the largest curve's last comparison.
fn band(shown: &Shown) -> Option<Reported> {
    let limit = |id: &str| shown.facts.get(id)?.number();
    let limit = limit("major.since_previous.limit").or_else(|| limit("limits.real_change"))?;
    Some(Reported::round(limit.value() / 2.0, 1, Unit::Degree))
}

fn episodes(shown: &Shown) -> Vec<Episode> {
    let worn = shown.known.treatments.iter().filter(|t| treatment::supports(t));
    worn.flat_map(|t| steps(t, shown)).collect()
}

/// One episode for each step of hours, so that no span is told with hours
/// that were prescribed only later.
fn steps(t: &Treatment, shown: &Shown) -> Vec<Episode> {
    let Some(from) = t.start().map(|s| s.value) else { return Vec::new() };
    let to = t.ended.as_ref().map(|e| e.on.value);
    let cast = t.kind.value == TreatmentKind::Cast;
    let kind = if cast { EpisodeKind::Cast } else { EpisodeKind::Brace };
    let words = worded::<FillWords>(shown);
    let support = &words.supports[usize::from(cast)];
    let mut steps: Vec<(NaiveDate, String)> = vec![(from, support.clone())];
    for step in t.hours.iter().filter(|h| h.from.value <= shown.facts.as_of) {
        let hours = treatment::reported_hours(step.per_day.to_hours());
        let hours = locale::digits(hours, &shown.style.locale);
        let values = [("support", support.clone()), ("hours", hours)];
        let label = filled(&words.episode, &values);
        let day = step.from.value.max(from);
        steps.retain(|(start, _)| *start < day);
        steps.push((day, label));
    }
    let ends: Vec<Option<NaiveDate>> =
        steps.iter().skip(1).map(|(start, _)| Some(*start)).chain([to]).collect();
    let whole = steps.into_iter().zip(ends);
    whole.map(|((from, label), to)| Episode { from, to, label, kind, shade: true }).collect()
}

/// Risser grades under the films of the frontal series; nothing for adults.
fn maturity(tracks: &[&Track], shown: &Shown) -> Vec<MaturityMark> {
    if shown.facts.get("patient.stage").and_then(|f| f.word()) == Some("adult") {
        return Vec::new();
    }
    let case = shown.known;
    let any = case.films.iter().any(|f| f.maturity.as_ref().is_some_and(|m| m.risser.is_some()));
    if !any {
        return Vec::new();
    }
    let mut marks: Vec<MaturityMark> = case
        .films
        .iter()
        .filter(|f| tracks.iter().any(|t| t.films.iter().any(|c| c.film.id.value == f.id.value)))
        .filter(|f| compare::natural(case, f))
        .map(|f| MaturityMark {
            date: f.taken.value,
            text: f
                .maturity
                .as_ref()
                .and_then(|m| m.risser.as_ref())
                .map(|r| format!("Risser {}", r.grade.value)),
        })
        .collect();
    // Beside many films only what was recorded stays readable.
    if marks.len() > 4 {
        marks.retain(|m| m.text.is_some());
    }
    marks
}

// --- the spine from its landmarks

fn spines(tracks: &[&Track], plane: Plane, shown: &Shown, width: f64) -> Option<Figure> {
    let case = shown.known;
    let marked = |f: &Film| {
        f.readings.iter().any(|r| measure::spine(f, r).is_some_and(|s| s.plane() == plane))
    };
    let films = chosen(tracks, shown, marked);
    let held = films.iter().any(|(_, held)| *held);
    let panels: Vec<SpinePanel> =
        films.iter().filter_map(|(f, held)| panel(f, *held, tracks, plane, shown)).collect();
    let view = if plane == Plane::Coronal { PanelView::Frontal } else { PanelView::Lateral };
    let model = SpinePanels { view, panels, words: worded::<SpineWords>(shown) };
    let drawn =
        tracks.iter().filter(|t| t.films.iter().any(|c| compare::natural(case, c.film))).count();
    let drawing: Drawing = spine::draw(&model, size(width.min(BESIDE), drawn))?;
    Some(Figure { alt: spine::alt(&model), caption: spine_caption(view, held, shown), drawing })
}

/// The films to show of those wanted: an earlier one that compares with the
/// film of now, the film of now, and the last one in the brace or cast in use
/// (marked true).
fn chosen<'a>(
    tracks: &[&Track],
    shown: &Shown<'a>,
    wanted: impl Fn(&Film) -> bool,
) -> Vec<(&'a Film, bool)> {
    let case = shown.known;
    let all = || case.films.iter().filter(|f| measured(tracks, f) && wanted(f));
    let free: Vec<&Film> = all().filter(|f| compare::natural(case, f)).collect();
    let Some(now) = compare::now(case, free.iter().copied()) else { return Vec::new() };
    let earlier =
        |f: &&Film| f.taken.value < now.taken.value && compare::progression(case, f, now).is_ok();
    let before = free.iter().copied().rfind(earlier);
    let current = treatment::current(case, shown.facts.as_of).map(|t| &t.id.value);
    let worn = |f: &&Film| match (&f.support, current) {
        (Some(s), Some(id)) => s.value == crate::case::Support::Treatment(id.clone()),
        _ => false,
    };
    let held = |f: &&Film| matches!(compare::held(case, f), Held::Brace | Held::Cast);
    let held = all().filter(held).filter(worn).last();
    let films = before.into_iter().chain([now]).map(|f| (f, false));
    films.chain(held.map(|f| (f, true))).collect()
}

/// Whether a film shows one of these curves.
fn measured(tracks: &[&Track], film: &Film) -> bool {
    tracks.iter().any(|t| t.films.iter().any(|c| c.film.id.value == film.id.value))
}

fn spine_caption(view: PanelView, held: bool, shown: &Shown) -> String {
    let [behind, side, in_support] = worded::<FillWords>(shown).spine;
    let seen = if view == PanelView::Frontal { behind } else { side };
    if held { seen + &in_support } else { seen }
}

fn panel(
    film: &Film,
    held: bool,
    tracks: &[&Track],
    plane: Plane,
    shown: &Shown,
) -> Option<SpinePanel> {
    let spine = film.readings.iter().find_map(|r| measure::spine(film, r))?;
    let vertebrae = spine.vertebrae().map(|v| (v.level, corners(v, plane))).collect();
    let curves = tracks.iter().filter_map(|t| panel_curve(t, film)).collect();
    Some(SpinePanel {
        vertebrae,
        in_millimetres: film.scale.is_some(),
        curves,
        captions: captions(film, shown),
        in_support: held,
    })
}

/// What stands below a drawn film: how it was taken, and when.
fn captions(film: &Film, shown: &Shown) -> Vec<String> {
    let words = worded::<FillWords>(shown);
    let posture = words.posture(film.posture.as_ref().map(|p| p.value));
    let support = match compare::held(shown.known, film) {
        Held::Brace => &words.held[0],
        Held::Cast => &words.held[1],
        _ if compare::support_in_use(shown.known, film.taken.value) => {
            match treatment::last_worn(shown.known, film.taken.value).map(|t| t.kind.value) {
                Some(TreatmentKind::Cast) => &words.held[3],
                _ => &words.held[2],
            }
        }
        _ => "",
    };
    vec![format!("{support}{posture}"), full_date(film.taken.value, shown.style)]
}

fn corners(v: &Vertebra, plane: Plane) -> spine::Corners {
    let (upper, lower) = (v.upper, v.closing());
    let point = |p: crate::spine::frame::Point| (p.across, p.up);
    match plane {
        // An endplate runs from the patient's right to the left.
        Plane::Coronal => {
            [point(upper.end), point(upper.start), point(lower.start), point(lower.end)]
        }
        // ... or from the front to the back.
        Plane::Sagittal => {
            [point(upper.start), point(upper.end), point(lower.end), point(lower.start)]
        }
    }
}

fn panel_curve(track: &Track, film: &Film) -> Option<PanelCurve> {
    let c = track.films.iter().find(|c| c.film.id.value == film.id.value)?;
    let (upper, lower) = c.levels();
    // Without a recorded apex nothing is marked: none is made up.
    let apex = c.apex()?;
    let convex = match (track.plane, track.side) {
        (Plane::Sagittal, _) => match c.members[0].curve.bend.as_ref().map(|b| b.value) {
            Some(crate::case::Bend::Lordosis) => Convexity::Front,
            _ => Convexity::Back,
        },
        (Plane::Coronal, Some(side)) => {
            if c.reversed() {
                side.opposite().into()
            } else {
                side.into()
            }
        }
        (Plane::Coronal, None) => return None,
    };
    Some(PanelCurve { upper, apex, lower, angle: angle(c.reported().abs()), convex })
}
