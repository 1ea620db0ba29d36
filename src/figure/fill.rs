//! Puts figures where a template left room for them.
//!
//! What is drawn comes from the facts' own tracks and the case as known on
//! the letter's day, so a figure can show nothing that the text could not
//! say. A figure without data is left out together with its place.

use crate::case::{Case, Film, Posture, TreatmentKind};
use crate::diag::Report;
use crate::facts::compare::{self, Held};
use crate::facts::derive::measure;
use crate::facts::derive::track::{FilmCurve, Track};
use crate::facts::derive::{largest_plane, tracks, treatment};
use crate::facts::{Facts, Value};
use crate::letter::block::{Block, Figure};
use crate::letter::drawing::Drawing;
use crate::letter::wording::{Style, full_date};
use crate::quantity::{Reported, Unit};
use crate::spine::frame::{Plane, Vertebra};
use crate::spine::{Apex, Level, Side};

use super::Size;
use super::course::{
    self, Course, CoursePoint, CourseWords, Episode, EpisodeKind, MaturityMark, PointKind, Series,
};
use super::spine::{self, Convexity, PanelCurve, PanelView, SpinePanel, SpinePanels, SpineWords};

/// What figures are drawn from.
pub struct Shown<'a> {
    /// The case as known on the letter's day.
    pub known: &'a Case,
    /// The letter's facts.
    pub facts: &'a Facts,
    /// How the letter says things.
    pub style: &'a Style,
}

/// Replaces every slot by its figures, or removes it.
pub fn fill(blocks: &mut Vec<Block>, shown: &Shown) {
    if !blocks.iter().any(|b| matches!(b, Block::Slot { .. })) {
        return;
    }
    let tracks = tracks(shown.known, &mut Report::default());
    let old = std::mem::take(blocks);
    for block in old {
        let Block::Slot { wanted } = block else {
            blocks.push(block);
            continue;
        };
        let figures: Vec<Figure> =
            wanted.iter().filter_map(|w| figure(w, &tracks, shown)).collect();
        if !figures.is_empty() {
            blocks.push(Block::Figures { figures });
        }
    }
}

fn figure(wanted: &str, tracks: &[Track], shown: &Shown) -> Option<Figure> {
    let plane = largest_plane(shown.known);
    let mine: Vec<&Track> = tracks.iter().filter(|t| t.plane == plane).collect();
    match wanted {
        "spine" => spines(&mine, plane, shown),
        "course" => courses(&mine, shown),
        _ => None,
    }
}

/// The space of a figure beside another: as high as its neighbour, higher for
/// several curves.
fn beside(curves: usize) -> Size {
    Size { width: 82.0, height: if curves > 1 { 70.0 } else { 60.0 } }
}

fn text_of(shown: &Shown, id: &str) -> Option<String> {
    match &shown.facts.get(id)?.value {
        Value::Text(t) => Some(t.clone()),
        Value::Word(w) => Some((*w).to_string()),
        _ => None,
    }
}

/// `Right thoracic`, `Thoracic kyphosis`.
fn name(track: &Track, shown: &Shown) -> String {
    let name = text_of(shown, &format!("curves.{}.name", track.key)).unwrap_or_default();
    match track.side {
        Some(Side::Left) => format!("Left {name}"),
        Some(Side::Right) => format!("Right {name}"),
        None => {
            let mut chars = name.chars();
            chars.next().map_or(String::new(), |c| c.to_uppercase().chain(chars).collect())
        }
    }
}

fn angle(value: Reported) -> String {
    format!("{}°", value.digits())
}

// --- the course over time

fn courses(tracks: &[&Track], shown: &Shown) -> Option<Figure> {
    let mut series: Vec<(Reported, Series)> =
        tracks.iter().filter_map(|t| one_course(t, shown)).collect();
    series.sort_by(|a, b| b.0.compare(a.0));
    let points: usize = series.iter().map(|(_, s)| s.points.len()).max()?;
    if points < 2 {
        return None;
    }
    let several = series.len() > 1;
    let model = Course {
        series: series.into_iter().map(|(_, s)| s).collect(),
        band_half_width: band(shown),
        episodes: episodes(shown),
        maturity: maturity(tracks, shown),
        until: shown.facts.as_of,
        words: CourseWords::default(),
    };
    let drawing = course::draw(&model, beside(model.series.len()))?;
    Some(Figure { alt: course::alt(&model), caption: course_caption(&model, several), drawing })
}

fn course_caption(model: &Course, several: bool) -> String {
    let what = if several {
        "Cobb angles".to_string()
    } else {
        format!("{}, Cobb angle", model.series[0].name)
    };
    let any = |kind: fn(&PointKind) -> bool| {
        model.series.iter().any(|s| s.points.iter().any(|p| kind(&p.kind)))
    };
    let mut caption = format!(
        "{what} out of support. Band: half our limit for a real change to each side; two films whose bands overlap do not differ beyond it."
    );
    if any(|k| matches!(k, PointKind::InBrace | PointKind::InCast)) {
        caption.push_str(" Open marks: in the brace or cast, not a result");
        let turned = model.series.iter().any(|s| s.points.iter().any(|p| p.value.sign() < 0));
        caption.push_str(if turned { "; below zero: turned to the other side." } else { "." });
    }
    if any(|k| matches!(k, PointKind::NotComparable(_))) {
        caption.push_str(" Marks off the line: not comparable.");
    }
    caption
}

/// One curve's points, and its latest value for the order of the curves.
fn one_course(track: &Track, shown: &Shown) -> Option<(Reported, Series)> {
    let case = shown.known;
    let now = track.films.iter().rfind(|c| compare::natural(case, c.film))?;
    let points: Vec<CoursePoint> =
        track.films.iter().filter_map(|c| course_point(c, now, case)).collect();
    Some((now.reported(), Series { name: name(track, shown), points }))
}

fn course_point(c: &FilmCurve, now: &FilmCurve, case: &Case) -> Option<CoursePoint> {
    let kind = match compare::held(case, c.film) {
        Held::Brace => PointKind::InBrace,
        Held::Cast => PointKind::InCast,
        Held::Unknown => PointKind::NotComparable("support not recorded".into()),
        Held::Free if !compare::natural(case, c.film) => return None,
        Held::Free if compare::progression(case, c.film, now.film).is_ok() => {
            PointKind::OutOfSupport
        }
        Held::Free => PointKind::NotComparable(lying(c.film)),
    };
    let value = c.reported();
    Some(CoursePoint { date: c.film.taken.value, value, kind, label: angle(value) })
}

fn lying(film: &Film) -> String {
    match compare::posture(film) {
        Some(Posture::Supine | Posture::Prone) => "lying".into(),
        Some(Posture::Sitting) => "sitting".into(),
        Some(Posture::Standing) => "standing".into(),
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
    let mut list = Vec::new();
    for t in shown.known.treatments.iter().filter(|t| treatment::supports(t)) {
        let Some(from) = t.start() else { continue };
        let cast = t.kind.value == TreatmentKind::Cast;
        let hours =
            shown.facts.get(&format!("treatments.{}.hours", t.id.value)).and_then(|f| f.number());
        let label = match (cast, hours) {
            (true, _) => "cast".to_string(),
            (false, Some(h)) => format!("brace, {} h/day", h.digits()),
            (false, None) => "brace".to_string(),
        };
        list.push(Episode {
            from: from.value,
            to: t.ended.as_ref().map(|e| e.on.value),
            label,
            kind: if cast { EpisodeKind::Cast } else { EpisodeKind::Brace },
            shade: true,
        });
    }
    list
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
    case.films
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
        .collect()
}

// --- the spine from its landmarks

fn spines(tracks: &[&Track], plane: Plane, shown: &Shown) -> Option<Figure> {
    let case = shown.known;
    let marked = |f: &&Film| {
        f.readings.iter().any(|r| measure::spine(f, r).is_some_and(|s| s.plane() == plane))
    };
    let measured =
        |f: &Film| tracks.iter().any(|t| t.films.iter().any(|c| c.film.id.value == f.id.value));
    let free: Vec<&Film> = case
        .films
        .iter()
        .filter(|f| compare::natural(case, f) && measured(f))
        .filter(marked)
        .collect();
    let held: Vec<&Film> = case
        .films
        .iter()
        .filter(|f| matches!(compare::held(case, f), Held::Brace | Held::Cast) && measured(f))
        .filter(marked)
        .collect();
    let now = free.last().copied()?;
    let before =
        free.iter().rev().skip(1).find(|f| compare::progression(case, f, now).is_ok()).copied();
    let current = treatment::current(case, shown.facts.as_of).map(|t| &t.id.value);
    let held = held.into_iter().rfind(|f| match (&f.support, current) {
        (Some(s), Some(id)) => s.value == crate::case::Support::Treatment(id.clone()),
        _ => false,
    });
    let films: Vec<(&Film, bool)> = before
        .map(|f| (f, false))
        .into_iter()
        .chain([(now, false)])
        .chain(held.map(|f| (f, true)))
        .collect();
    let panels: Vec<SpinePanel> =
        films.iter().filter_map(|(f, held)| panel(f, *held, tracks, plane, shown)).collect();
    let view = if plane == Plane::Coronal { PanelView::Frontal } else { PanelView::Lateral };
    let model = SpinePanels { view, panels, words: SpineWords::default() };
    let drawn =
        tracks.iter().filter(|t| t.films.iter().any(|c| compare::natural(case, c.film))).count();
    let drawing: Drawing = spine::draw(&model, beside(drawn))?;
    Some(Figure { alt: spine::alt(&model), caption: spine_caption(view, held.is_some()), drawing })
}

fn spine_caption(view: PanelView, held: bool) -> String {
    let seen = match view {
        PanelView::Frontal => {
            "Drawn from the landmarks, seen from behind. Lines: the endplates measured; dotted: the central sacral line where it is marked."
        }
        PanelView::Lateral => {
            "Drawn from the landmarks, seen from the side. Lines: the endplates measured."
        }
    };
    if held { format!("{seen} In the brace or cast: smaller, apart.") } else { seen.to_string() }
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
    let curves = tracks.iter().filter_map(|t| panel_curve(t, film, shown)).collect();
    let posture = film.posture.as_ref().map_or("posture not recorded", |p| p.word());
    let support = match compare::held(shown.known, film) {
        Held::Brace => "in brace, ",
        Held::Cast => "in cast, ",
        _ if compare::support_in_use(shown.known, film.taken.value) => "out of brace, ",
        _ => "",
    };
    let captions = vec![format!("{support}{posture}"), full_date(film.taken.value, shown.style)];
    Some(SpinePanel {
        vertebrae,
        in_millimetres: film.scale.is_some(),
        curves,
        captions,
        in_support: held,
    })
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

fn panel_curve(track: &Track, film: &Film, shown: &Shown) -> Option<PanelCurve> {
    let c = track.films.iter().find(|c| c.film.id.value == film.id.value)?;
    let (upper, lower) = c.levels();
    let apex = c.apex().or_else(|| middle(upper, lower, shown).map(Apex::Vertebra))?;
    let convex = match (track.plane, track.side) {
        (Plane::Sagittal, _) => match c.members[0].curve.bend.as_ref().map(|b| b.value) {
            Some(crate::case::Bend::Lordosis) => Convexity::Front,
            _ => Convexity::Back,
        },
        (Plane::Coronal, Some(side)) => {
            if c.reversed {
                side.opposite().into()
            } else {
                side.into()
            }
        }
        (Plane::Coronal, None) => return None,
    };
    Some(PanelCurve { upper, apex, lower, angle: angle(c.reported().abs()), convex })
}

fn middle(upper: Level, lower: Level, shown: &Shown) -> Option<Level> {
    let column = shown.known.patient.column;
    let (a, b) = (column.index(upper)?, column.index(lower)?);
    column.levels().get(usize::midpoint(a, b)).copied()
}
