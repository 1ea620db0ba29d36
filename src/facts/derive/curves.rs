//! Facts on each curve: now, before, first, changes, in support, flexibility.

use chrono::{Months, NaiveDate};

use super::maker::{Maker, text, yes_no};
use super::slope;
use super::span::{self, CHECK_ITEMS, Check, Setting};
use super::stages;
use super::track::{FilmCurve, Track, plane_word};
use super::treatment;
use crate::case::{Case, Choice, Deformity, Posture, Treatment};
use crate::course::brace::Reduction;
use crate::evidence::{Source, works};
use crate::facts::compare::{self, Held};
use crate::facts::{Fact, Missing, Value};
use crate::quantity::{Age, Reported};
use crate::spine::Column;
use crate::spine::frame::Plane;
use crate::spine::region::{Region, region};

/// What a curve says of one film, or says is missing.
const POINT: [(&str, &str); 18] = [
    ("cobb", "Cobb angle"),
    ("taken", "date of the film"),
    ("levels", "end vertebrae"),
    ("upper", "upper end vertebra"),
    ("lower", "lower end vertebra"),
    ("apex", "apex"),
    ("readers", "number of readers"),
    ("posture", "posture"),
    ("support", "support"),
    ("off_for", "hours out of the brace before the film"),
    ("support_in_use", "whether a brace or cast was in use that day"),
    ("support_off", "the brace or cast that was off"),
    ("soon_after_support", "whether a brace or cast had only just come off"),
    ("film", "id of the film"),
    ("translation", "translation of the apex"),
    ("translation_side", "translation of the apex: side it lies to"),
    ("translation_from", "line the translation of the apex is measured from"),
    ("rotation", "grade of rotation at the apex"),
];

/// `curves.<key>.*` for every curve, and `major.*`.
pub fn curves(make: &mut Maker, tracks: &[Track], set: &Setting) {
    for track in tracks {
        let root = format!("curves.{}", track.key);
        identity(make, &root, track, tracks, set.case.patient.column);
        let free = track.free(set.case);
        let long = comparable_to_now(track, &free, set).len() > 1;
        make.fact(
            format!("{root}.long_course"),
            "whether more than one earlier film compares",
            yes_no(long),
        )
        .by("count of comparable films", Source::definition(""))
        .done();
        points(make, &root, track, &free, set);
        spans(make, &root, track, &free, set);
        stages::stages(make, &root, track, &free, set);
        slope::slope(make, &root, track, &free, set);
        support(make, &root, track, &free, set);
        flexibility(make, &root, track, &free, set);
        course(make, &root, track, &free, set);
    }
    major(make, tracks, set);
    overall(make, tracks, set);
}

fn identity(make: &mut Maker, root: &str, track: &Track, all: &[Track], column: Column) {
    let last = track.films.iter().rev().find(|c| c.apex().is_some());
    let named = last.and_then(FilmCurve::apex).and_then(|a| region(a, column));
    let name = label(track, all, column);
    let shown = track.films.last().expect("a track has films");
    let place = &shown.members[0].curve.place;
    let record = format!(
        "film {} / reading {} / curve",
        shown.film.id.value, shown.members[0].reading.id.value
    );
    make.fact(format!("{root}.name"), "name of the curve", name)
        .record(&record, place)
        .by("region of the apex; the name typed in the case where two curves share a region or no apex is recorded", Source::read(&works::SRS_GLOSSARY, "regions by apex"))
        .done();
    make.fact(format!("{root}.plane"), "frontal or sagittal", Value::Word(plane_word(track.plane)))
        .record(&record, place)
        .done();
    let side = match (track.plane, track.side) {
        (Plane::Sagittal, _) => {
            Value::Missing(Missing::NotApplicable("a sagittal curve has no side".into()))
        }
        (Plane::Coronal, Some(side)) => Value::Side(side),
        (Plane::Coronal, None) => Value::Missing(Missing::NotRecorded {
            item: "side of the convexity".into(),
            who: "the reader of the film".into(),
        }),
    };
    let side_place = track
        .films
        .iter()
        .find_map(|c| c.members[0].curve.convex.as_ref())
        .map_or(place, |c| &c.place);
    make.fact(format!("{root}.side"), "side of the convexity, the patient's", side)
        .record(format!("{record} / convex"), side_place)
        .done();
    let bend = shown.members[0].curve.bend.as_ref();
    make.fact(
        format!("{root}.bend"),
        "kyphosis or lordosis",
        match bend {
            Some(b) => Value::Word(b.word()),
            None => Value::Missing(Missing::NotApplicable("a frontal curve".into())),
        },
    )
    .record(&record, place)
    .done();
    make.fact(
        format!("{root}.region"),
        "region of the apex",
        match named {
            Some((region, _)) => Value::Word(region_word(region)),
            None => Value::Missing(Missing::NotRecorded {
                item: "apex".into(),
                who: "the reader of the film".into(),
            }),
        },
    )
    .record(&record, place)
    .by("region by apex, discs included", named.map_or(Source::definition(""), |(_, s)| s))
    .done();
}

/// How letters call a region.
pub fn region_word(region: Region) -> &'static str {
    match region {
        Region::Cervical => "cervical",
        Region::Cervicothoracic => "cervicothoracic",
        Region::ProximalThoracic => "upper thoracic",
        Region::MainThoracic => "thoracic",
        Region::Thoracolumbar => "thoracolumbar",
        Region::Lumbar => "lumbar",
        Region::Lumbosacral => "lumbosacral",
    }
}

fn label(track: &Track, all: &[Track], column: Column) -> Value {
    let of = |t: &Track| {
        t.films.iter().rev().find_map(FilmCurve::apex).and_then(|a| region(a, column)).map(|r| r.0)
    };
    let mine = of(track);
    if track.plane == Plane::Sagittal {
        let lordosis = track.is_lordosis();
        return Value::Word(match (mine, lordosis) {
            (Some(Region::Thoracolumbar), false) => "thoracolumbar kyphosis",
            (Some(Region::Lumbar), false) => "lumbar kyphosis",
            (_, false) => "thoracic kyphosis",
            (_, true) => "lumbar lordosis",
        });
    }
    let shared = all.iter().filter(|t| t.plane == track.plane && of(t) == mine).count() > 1;
    match (mine, shared, &track.name) {
        (Some(region), false, _) => Value::Word(region_word(region)),
        (_, _, Some(name)) => text(name),
        (Some(region), true, None) => Value::Word(region_word(region)),
        (None, _, None) => text("unnamed"),
    }
}

fn point(make: &mut Maker, path: &str, track: &Track, at: &FilmCurve) {
    let film = format!("films.{}", at.film.id.value);
    let curve = format!("{film}.curves.{}", track.key);
    for item in [
        "cobb",
        "levels",
        "upper",
        "lower",
        "apex",
        "readers",
        "translation",
        "translation_side",
        "translation_from",
        "rotation",
    ] {
        make.same(format!("{path}.{item}"), &format!("{curve}.{item}"));
    }
    for item in [
        "taken",
        "posture",
        "support",
        "off_for",
        "support_in_use",
        "support_off",
        "soon_after_support",
    ] {
        make.same(format!("{path}.{item}"), &format!("{film}.{item}"));
    }
    make.same_tree(&format!("{path}.reads"), &format!("{curve}.reads"));
    make.fact(format!("{path}.film"), "id of the film", text(&at.film.id))
        .record(format!("film {}", at.film.id.value), &at.film.id.place)
        .done();
}

fn no_point(make: &mut Maker, path: &str, missing: &Missing) {
    for (item, label) in POINT {
        make.missing(format!("{path}.{item}"), label, missing.clone());
    }
}

fn points(make: &mut Maker, root: &str, track: &Track, free: &[&FilmCurve], set: &Setting) {
    let now = free.last();
    match now {
        Some(now) => point(make, &format!("{root}.now"), track, now),
        None => no_point(
            make,
            &format!("{root}.now"),
            &Missing::NotApplicable("no film out of support shows this curve".into()),
        ),
    }
    let comparable: Vec<&&FilmCurve> = comparable_to_now(track, free, set);
    let none = Missing::NotApplicable("no earlier comparable film".into());
    for (name, at) in [("previous", comparable.last()), ("first", comparable.first())] {
        match at {
            Some(at) => point(make, &format!("{root}.{name}"), track, at),
            None => no_point(make, &format!("{root}.{name}"), &none),
        }
    }
}

/// Earlier films that compare with the last of these, by date.
pub(super) fn comparable_to_now<'a, 'b>(
    track: &Track,
    free: &'a [&'b FilmCurve<'b>],
    set: &Setting,
) -> Vec<&'a &'b FilmCurve<'b>> {
    let Some((now, earlier)) = free.split_last() else { return Vec::new() };
    earlier
        .iter()
        .filter(|c| {
            c.film.taken.value < now.film.taken.value
                && span::comparable(set.case, track, c, now).is_ok()
        })
        .collect()
}

/// The last comparable film on or before the start of a treatment.
fn at_start<'a, 'b>(
    track: &Track,
    free: &'a [&'b FilmCurve<'b>],
    treatment: Option<&Treatment>,
    set: &Setting,
) -> Option<&'a &'b FilmCurve<'b>> {
    let start = treatment?.start()?.value;
    let now = free.last()?;
    free.iter()
        .rfind(|c| c.film.taken.value <= start && span::comparable(set.case, track, c, now).is_ok())
}

fn spans(make: &mut Maker, root: &str, track: &Track, free: &[&FilmCurve], set: &Setting) {
    let comparable = comparable_to_now(track, free, set);
    let now = free.last();
    let path = |name: &str| format!("{root}.{name}");
    let earlier = free.len().checked_sub(2).map(|i| free[i]);
    match (comparable.last(), now, earlier) {
        (Some(from), Some(now), _) => {
            span::span(make, &path("since_previous"), track, from, now, set)
        }
        // The last film before is named with the reason why it does not serve.
        (None, Some(now), Some(earlier)) => {
            span::span(make, &path("since_previous"), track, earlier, now, set)
        }
        _ => span::none(
            make,
            &path("since_previous"),
            &Missing::NotApplicable("no earlier film out of support".into()),
        ),
    }
    // Likewise the first film of all, where none compares.
    let first = comparable.first().copied().or(free.first().filter(|_| free.len() > 1));
    match (first, now) {
        (Some(from), Some(now)) => span::span(make, &path("since_first"), track, from, now, set),
        _ => span::none(
            make,
            &path("since_first"),
            &Missing::NotApplicable("no earlier film out of support".into()),
        ),
    }
    let worn = support_in_view(set);
    let start = at_start(track, free, worn, set);
    let untreated = at_start(track, free, treatment::first_ever(set.case), set);
    match (comparable.first(), untreated) {
        (Some(first), Some(start)) if first.film.taken.value < start.film.taken.value => {
            span::span(make, &path("before_treatment"), track, first, start, set);
        }
        _ => span::none(
            make,
            &path("before_treatment"),
            &Missing::NotApplicable("no two comparable films before the brace or cast".into()),
        ),
    }
    match (start, now) {
        (Some(start), Some(now)) if start.film.taken.value < now.film.taken.value => {
            span::span(make, &path("since_treatment"), track, start, now, set);
        }
        _ => span::none(
            make,
            &path("since_treatment"),
            &Missing::NotApplicable("no film before and after the brace or cast began".into()),
        ),
    }
}

/// The brace or cast worn now, else the one worn last.
fn support_in_view<'a>(set: &Setting<'a>) -> Option<&'a Treatment> {
    let day = set.case.films.last().map(|f| f.taken.value)?;
    let as_of = set.as_of.max(day);
    treatment::current(set.case, as_of).or_else(|| treatment::previous(set.case, as_of))
}

fn support(make: &mut Maker, root: &str, track: &Track, free: &[&FilmCurve], set: &Setting) {
    let oldest = set.clinic.limits.baseline_months();
    for treatment in set.case.treatments.iter().filter(|t| treatment::supports(t)) {
        for held in in_support(track, treatment, set) {
            let path = format!(
                "treatments.{}.checks.{}.{}",
                treatment.id.value, held.film.id.value, track.key
            );
            let check =
                Check { held, baseline: baseline(set.case, free, held, treatment, oldest), oldest };
            span::check(make, &path, track, &check, treatment.kind.word());
        }
    }
    let worn = support_in_view(set);
    let films = worn.map(|t| (t, in_support(track, t, set)));
    for (name, pick) in [("in_brace", false), ("in_brace_first", true)] {
        let found =
            films.as_ref().and_then(|(t, f)| Some((t, if pick { f.first() } else { f.last() }?)));
        let to = format!("{root}.{name}");
        match found {
            Some((t, held)) => {
                make.same_tree(
                    &to,
                    &format!(
                        "treatments.{}.checks.{}.{}",
                        t.id.value, held.film.id.value, track.key
                    ),
                );
            }
            None => {
                for (item, label) in CHECK_ITEMS {
                    make.missing(
                        format!("{to}.{item}"),
                        label,
                        Missing::NotApplicable(
                            "no film in a brace or cast shows this curve".into(),
                        ),
                    );
                }
            }
        }
    }
}

fn in_support<'a, 'b>(
    track: &'a Track<'b>,
    treatment: &Treatment,
    set: &Setting,
) -> Vec<&'a FilmCurve<'b>> {
    let id = &treatment.id.value;
    track
        .films
        .iter()
        .filter(|c| matches!(compare::held(set.case, c.film), Held::Brace | Held::Cast))
        .filter(|c| {
            c.film
                .support
                .as_ref()
                .is_some_and(|s| s.value == crate::case::Support::Treatment(id.clone()))
        })
        .collect()
}

/// The film out of any support that a check is held against: the last one
/// before this brace or cast began; if that is older than the setting allows,
/// the last one within the allowed age before the film in support. A film
/// taken lying to see how far the curve gives way does not take the place of
/// the standing one beside it.
fn baseline<'b>(
    case: &Case,
    free: &[&'b FilmCurve<'b>],
    held: &FilmCurve,
    treatment: &Treatment,
    oldest: u32,
) -> Option<&'b FilmCurve<'b>> {
    let taken = held.film.taken.value;
    let start = treatment.start().map_or(taken, |s| s.value.min(taken));
    let last = |until: NaiveDate| {
        let fits = |c: &&FilmCurve| {
            let on = c.film.taken.value;
            c.film.view.value == held.film.view.value
                && on <= until
                && on + Months::new(oldest) >= taken
        };
        let films: Vec<&FilmCurve> = free.iter().copied().filter(fits).collect();
        let film = compare::now(case, films.iter().map(|c| c.film))?;
        films.into_iter().find(|c| c.film.id.value == film.id.value)
    };
    last(start).or_else(|| last(taken))
}

const FLEXIBILITY: [(&str, &str); 9] = [
    ("cobb", "Cobb angle bent, lying or pulled"),
    ("taken", "film bent, lying or pulled"),
    ("view", "kind of film"),
    ("posture", "posture"),
    ("amount", "flexibility"),
    ("standing_cobb", "Cobb angle standing, or sitting"),
    ("standing_taken", "film standing, or sitting"),
    ("standing_posture", "posture of that film"),
    ("film", "id of the film"),
];

fn flexibility(make: &mut Maker, root: &str, track: &Track, free: &[&FilmCurve], set: &Setting) {
    let root = format!("{root}.flexibility");
    let flexed = track
        .films
        .iter()
        .filter(|c| compare::shows_flexibility(set.case, c.film))
        .rfind(|c| bent_right(track, c));
    let standing = flexed.and_then(|f| standing_beside(free, f));
    let (Some(flexed), Some(standing)) = (flexed, standing) else {
        let why = if flexed.is_none() {
            "no bending, lying or traction film shows this curve"
        } else {
            "no standing or sitting film within six months of the bending film"
        };
        for (item, label) in FLEXIBILITY {
            make.missing(format!("{root}.{item}"), label, Missing::NotApplicable(why.into()));
        }
        return;
    };
    if let Err(why) = span::like_ends(track, standing, flexed) {
        for (item, label) in FLEXIBILITY {
            make.missing(format!("{root}.{item}"), label, Missing::NotComparable(why.clone()));
        }
        return;
    }
    let film = |c: &FilmCurve| format!("films.{}", c.film.id.value);
    make.same(format!("{root}.cobb"), &format!("{}.curves.{}.cobb", film(flexed), track.key));
    make.same(format!("{root}.taken"), &format!("{}.taken", film(flexed)));
    make.same(format!("{root}.view"), &format!("{}.view", film(flexed)));
    make.same(format!("{root}.posture"), &format!("{}.posture", film(flexed)));
    make.same(
        format!("{root}.standing_cobb"),
        &format!("{}.curves.{}.cobb", film(standing), track.key),
    );
    make.same(format!("{root}.standing_taken"), &format!("{}.taken", film(standing)));
    make.same(format!("{root}.standing_posture"), &format!("{}.posture", film(standing)));
    make.fact(format!("{root}.film"), "id of the film", text(&flexed.film.id))
        .record(format!("film {}", flexed.film.id.value), &flexed.film.id.place)
        .done();
    let Some(reduction) = Reduction::new(standing.reported(), flexed.reported()) else {
        make.missing(
            format!("{root}.amount"),
            "flexibility",
            Missing::NotApplicable("the curve standing measures 0".into()),
        );
        return;
    };
    make.fact(format!("{root}.amount"), "flexibility", Value::Number(reduction.percent()))
        .from(format!("{root}.standing_cobb"))
        .from(format!("{root}.cobb"))
        .by(
            "(standing - bent, lying or pulled) / standing x 100, both as reported",
            Source::read(&works::CHEUNG_2020, ""),
        )
        .unrounded(reduction.exact())
        .done();
}

/// The standing film that one bent, lying or pulled is held against: the last
/// from six months before to one month after. Where none is standing, the last
/// one sitting: some patients cannot stand.
pub fn standing_beside<'a, 'b>(
    free: &'a [&'b FilmCurve<'b>],
    flexed: &FilmCurve,
) -> Option<&'a &'b FilmCurve<'b>> {
    let beside = |c: &&&FilmCurve| {
        c.film.taken.value <= flexed.film.taken.value + Months::new(1)
            && c.film.taken.value + Months::new(6) >= flexed.film.taken.value
    };
    let last = |posture: Posture| {
        let so = |c: &&&FilmCurve| compare::posture(c.film) == Some(posture);
        free.iter().filter(beside).rfind(so)
    };
    last(Posture::Standing).or_else(|| last(Posture::Sitting))
}

/// Bending towards the convexity straightens a curve; bending the other way
/// says nothing of its flexibility.
pub fn bent_right(track: &Track, c: &FilmCurve) -> bool {
    match (&c.film.bent_to, track.side) {
        (Some(bent), Some(side)) => bent.value == side,
        _ => true,
    }
}

fn course(make: &mut Maker, root: &str, track: &Track, free: &[&FilmCurve], set: &Setting) {
    let comparable = comparable_to_now(track, free, set);
    let with_now = comparable.iter().map(|c| **c).chain(free.last().copied());
    for (n, c) in with_now.enumerate() {
        let path = format!("{root}.course.p{}", n + 1);
        make.same(
            format!("{path}.cobb"),
            &format!("films.{}.curves.{}.cobb", c.film.id.value, track.key),
        );
        make.same(format!("{path}.taken"), &format!("films.{}.taken", c.film.id.value));
        make.same(format!("{path}.off_for"), &format!("films.{}.off_for", c.film.id.value));
        make.same(
            format!("{path}.levels"),
            &format!("films.{}.curves.{}.levels", c.film.id.value, track.key),
        );
    }
}

/// The plane the diagnosis is followed in.
pub fn largest_plane(case: &Case) -> Plane {
    match case.diagnosis.deformity.value {
        Deformity::Hyperkyphosis => Plane::Sagittal,
        Deformity::Scoliosis | Deformity::Asymmetry => Plane::Coronal,
    }
}

/// The largest curve now, in the plane the diagnosis is followed in.
pub fn largest<'a, 'b>(tracks: &'a [Track<'b>], set: &Setting) -> Option<&'a Track<'b>> {
    let plane = largest_plane(set.case);
    let now = |t: &Track| t.now(set.case).map(FilmCurve::reported);
    let mut best: Option<(&Track, Reported)> = None;
    // A lordosis may measure more than the kyphosis that is followed.
    for track in tracks.iter().filter(|t| t.plane == plane && !t.is_lordosis()) {
        if let Some(value) = now(track)
            && best.is_none_or(|(_, old)| value.compare(old).is_gt())
        {
            best = Some((track, value));
        }
    }
    best.map(|(track, _)| track)
}

fn major(make: &mut Maker, tracks: &[Track], set: &Setting) {
    match largest(tracks, set) {
        Some(track) => {
            make.same_tree("major", &format!("curves.{}", track.key));
            make.fact("major.key", "which curve is the largest", text(&track.key))
                .from(format!("curves.{}.now.cobb", track.key))
                .by("largest reported Cobb angle out of support now", Source::definition(""))
                .done();
        }
        None => nothing(make, "major"),
    }
}

/// Every item of a curve that does not exist.
fn nothing(make: &mut Maker, root: &str) {
    let none = Missing::NotApplicable("no curve is measured out of support".into());
    for item in ["now", "previous", "first"] {
        no_point(make, &format!("{root}.{item}"), &none);
    }
    for item in ["since_previous", "since_first", "before_treatment", "since_treatment"] {
        span::none(make, &format!("{root}.{item}"), &none);
    }
    stages::none(make, root, &none);
    slope::none(make, root, &none);
    for name in ["in_brace", "in_brace_first"] {
        for (item, label) in CHECK_ITEMS {
            make.missing(format!("{root}.{name}.{item}"), label, none.clone());
        }
    }
    for (item, label) in FLEXIBILITY {
        make.missing(format!("{root}.flexibility.{item}"), label, none.clone());
    }
    let rest = ["key", "name", "plane", "side", "bend", "region", "long_course", "first_apart"];
    for item in rest {
        make.missing(format!("{root}.{item}"), "the largest curve", none.clone());
    }
}

/// `curves.<key>.with_major` and `overall.*`: the verdict over all curves
/// measured on the same film as the largest one.
fn overall(make: &mut Maker, tracks: &[Track], set: &Setting) {
    let film = |make: &Maker, key: &str| match make
        .facts
        .get(&format!("curves.{key}.now.film"))
        .map(|f| &f.value)
    {
        Some(Value::Text(id)) => Some(id.clone()),
        _ => None,
    };
    let major_film = largest(tracks, set).and_then(|t| film(make, &t.key));
    let mut keys: Vec<String> = Vec::new();
    for track in tracks {
        let with_major = major_film.is_some() && film(make, &track.key) == major_film;
        make.fact(
            format!("curves.{}.with_major", track.key),
            "whether it is measured on the same film as the largest curve",
            yes_no(with_major),
        )
        .from(format!("curves.{}.now.film", track.key))
        .by("the same film", Source::definition(""))
        .done();
        let is_major = largest(tracks, set).is_some_and(|t| t.key == track.key);
        make.fact(
            format!("curves.{}.is_major", track.key),
            "whether it is the largest curve",
            yes_no(is_major),
        )
        .from("major.key")
        .done();
        let held = |key: &str| {
            let text = |item: &str| {
                make.facts.get(&format!("{key}.in_brace.{item}")).map(|f| f.value.clone())
            };
            (text("film"), text("baseline_film"))
        };
        let mine = held(&format!("curves.{}", track.key));
        let together = matches!(mine.0, Some(Value::Text(_))) && mine == held("major");
        make.fact(
            format!("curves.{}.in_brace_with_major", track.key),
            "whether it is measured in support on the same films as the largest curve",
            yes_no(together),
        )
        .by("the same film in support and the same film before", Source::definition(""))
        .done();
        if with_major && !track.is_lordosis() {
            keys.push(track.key.clone());
        }
    }
    let of = |span: &str| -> Vec<String> {
        keys.iter().map(|k| format!("curves.{k}.{span}.verdict")).collect()
    };
    let (last, whole) = (of("since_previous"), of("since_first"));
    let verdict = verdict_over(make, &last, &whole);
    let mut draft =
        make.fact("overall.verdict", "verdict over the curves of the latest film", verdict);
    for id in last.iter().chain(&whole) {
        draft = draft.from(id);
    }
    draft
        .by(
            "worse or better if any curve is since the film before; else worse or better over \
             time if any curve is since the first comparable film; else unchanged",
            Source::definition(""),
        )
        .done();
    let compared = last.iter().filter(|id| make.facts.get(id).is_some_and(|f| f.word().is_some()));
    let compared = compared.count();
    make.fact(
        "overall.all_compared",
        "whether every curve of that film compares with an earlier one",
        yes_no(compared == keys.len()),
    )
    .by("count of verdicts", Source::definition(""))
    .done();
    near_limit(make, &keys);
    make.fact(
        "overall.several",
        "whether several curves are measured on that film",
        yes_no(keys.len() > 1),
    )
    .by("count of curves on the film", Source::definition(""))
    .done();
    let table = tracks.iter().any(|t| t.films.len() > 1);
    make.fact("overall.table", "whether any curve is shown by more than one film", yes_no(table))
        .by("count of films", Source::definition(""))
        .done();
    surgeon_rule(make, tracks, set);
}

/// `overall.near_limit`: whether rounding decides a verdict over the curves
/// of the film, since the film before or since the first one.
fn near_limit(make: &mut Maker, keys: &[String]) {
    let of = |k: &String| {
        ["since_previous", "since_first"].map(|span| format!("curves.{k}.{span}.near_limit"))
    };
    let ids: Vec<String> = keys.iter().flat_map(of).collect();
    let decides = |id: &String| make.facts.get(id).and_then(Fact::word) == Some("yes");
    let any = yes_no(ids.iter().any(decides));
    let mut draft =
        make.fact("overall.near_limit", "whether rounding decides a verdict of that film", any);
    for id in &ids {
        draft = draft.from(id);
    }
    draft.by("yes if it does for any curve of the film", Source::definition("")).done();
}

/// The verdict of the last step, or of the whole course where the last step
/// alone says nothing: a slow rise must not read as "unchanged". Nor may
/// "unchanged" be said while the largest curve compares with nothing.
fn verdict_over(make: &Maker, last: &[String], whole: &[String]) -> Value {
    let words = |ids: &[String]| -> Vec<&'static str> {
        ids.iter().filter_map(|id| make.facts.get(id)?.word()).collect()
    };
    let (steps, courses) = (words(last), words(whole));
    if steps.contains(&"worse") {
        return Value::Word("worse");
    }
    if courses.contains(&"worse") {
        return Value::Word("worse over time");
    }
    let largest = make.facts.get("major.since_previous.verdict");
    if let Some(missing) = largest.and_then(Fact::missing) {
        return Value::Missing(missing.clone());
    }
    Value::Word(match (steps, courses) {
        (steps, _) if steps.contains(&"better") => "better",
        (_, courses) if courses.contains(&"better") => "better over time",
        _ => "unchanged",
    })
}

/// Whether the clinic's rule for a surgeon's view still lies ahead: a
/// scoliosis of a child or adolescent, below the clinic's angle, and no
/// opinion decided.
fn surgeon_rule(make: &mut Maker, tracks: &[Track], set: &Setting) {
    let now = largest(tracks, set)
        .filter(|t| t.plane == Plane::Coronal)
        .and_then(|t| Some(t.now(set.case)?.reported().value()));
    let from = set.clinic.limits.surgeon_from.as_ref().map(|l| l.to_degrees());
    let counts = set.clinic.limits.scoliosis_from();
    let young = Age::on(set.case.patient.born.value, set.as_of).is_some_and(|a| a.years < 18);
    let asked = set.case.plans.last().is_some_and(|p| {
        p.choice.iter().any(|c| matches!(c.value, Choice::SurgicalOpinion | Choice::Discharge))
    });
    let ahead = matches!((now, from), (Some(now), Some(from)) if counts <= now && now < from);
    make.fact("overall.surgeon_rule", "whether the rule for a surgeon's view lies ahead", yes_no(ahead && young && !asked))
        .from("limits.surgeon_from")
        .from("patient.stage")
        .by("the largest curve is below the clinic's angle, the patient is growing, no opinion is asked", Source::definition(""))
        .done();
}
