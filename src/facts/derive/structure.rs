//! How far each curve gives way by every kind of film, and whether a minor
//! curve is structural.

use super::curves::{bent_right, standing_beside};
use super::kyphosis::{STRETCHES, Stretch, near};
use super::maker::{Maker, text, yes_no};
use super::span::Setting;
use super::track::{FilmCurve, Track};
use super::tracks::word;
use crate::case::{Case, Film, Posture, View};
use crate::course::brace::{FLEXIBILITY_SOURCE, Reduction, correction_to_flexibility};
use crate::evidence::{Source, works};
use crate::facts::compare::{self, Held};
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};
use crate::spine::classification::{self, Minor, Part, STRUCTURAL, Structural, structural};
use crate::spine::frame::Plane;
use crate::spine::region::region;

/// The kinds of films that show how a curve of a plane gives way.
fn kinds(plane: Plane) -> &'static [&'static str] {
    match plane {
        Plane::Coronal => &["bending", "supine", "prone", "traction"],
        Plane::Sagittal => &["supine", "prone", "traction", "bolster"],
    }
}

/// How a film shows flexibility, if it does.
fn kind(case: &Case, film: &Film) -> Option<&'static str> {
    if compare::held(case, film) != Held::Free {
        return None;
    }
    match (film.view.value, compare::posture(film)?) {
        (View::Hand, _) => None,
        (View::Bending, _) => Some("bending"),
        (_, Posture::Supine) => Some("supine"),
        (_, Posture::Prone) => Some("prone"),
        (_, Posture::Traction) => Some("traction"),
        (_, Posture::Bolster) => Some("bolster"),
        _ => None,
    }
}

/// `curves.<key>.flexibility_by.<kind>.*` and `curves.<key>.sci.*`.
pub fn flexibilities(make: &mut Maker, tracks: &[Track], set: &Setting) {
    for track in tracks {
        for by in kinds(track.plane) {
            let root = format!("curves.{}.flexibility_by.{by}", track.key);
            by_kind(make, &root, track, by, set);
        }
        if track.plane == Plane::Coronal {
            index(make, track);
        }
    }
}

/// The latest film of a kind that shows the curve give way.
fn flexed<'a, 'b>(track: &'a Track<'b>, word: &str, case: &Case) -> Option<&'a FilmCurve<'b>> {
    let of_kind = |c: &&FilmCurve| kind(case, c.film) == Some(word) && bent_right(track, c);
    track.films.iter().rfind(of_kind)
}

fn by_kind(make: &mut Maker, root: &str, track: &Track, by: &str, set: &Setting) {
    let free = track.free(set.case);
    let Some(flexed) = flexed(track, by, set.case) else {
        let way = match (by, track.side) {
            ("bending", Some(side)) => {
                format!("no film bent to the {} shows this curve", word(side))
            }
            _ => format!("no {by} film shows this curve"),
        };
        make.missing(format!("{root}.amount"), "flexibility", Missing::NotApplicable(way));
        return;
    };
    let film = |c: &FilmCurve| format!("films.{}", c.film.id.value);
    let cobb = |c: &FilmCurve| format!("{}.curves.{}.cobb", film(c), track.key);
    make.same(format!("{root}.cobb"), &cobb(flexed));
    make.same(format!("{root}.taken"), &format!("{}.taken", film(flexed)));
    make.fact(format!("{root}.film"), "id of the film", text(&flexed.film.id.value))
        .record(format!("film {}", flexed.film.id.value), &flexed.film.id.place)
        .done();
    let Some(standing) = standing_beside(&free, flexed) else {
        let why = "no standing film within six months of this film".to_string();
        make.missing(format!("{root}.amount"), "flexibility", Missing::NotComparable(why));
        return;
    };
    make.same(format!("{root}.standing_cobb"), &cobb(standing));
    make.same(format!("{root}.standing_taken"), &format!("{}.taken", film(standing)));
    let Some(reduction) = Reduction::new(standing.reported(), flexed.reported()) else {
        let why = Missing::NotApplicable("the curve standing measures 0".into());
        make.missing(format!("{root}.amount"), "flexibility", why);
        return;
    };
    make.fact(format!("{root}.amount"), "flexibility", Value::Number(reduction.percent()))
        .from(format!("{root}.standing_cobb"))
        .from(format!("{root}.cobb"))
        .by("(standing - with the film) / standing x 100, both as reported", FLEXIBILITY_SOURCE)
        .unrounded(reduction.exact())
        .done();
}

/// Cut-offs that separated curves that progressed in a brace from others.
const CUT_OFFS: [(&str, &str, f64); 2] = [
    ("correction", "in-brace correction below which curves progressed", 28.8),
    ("flexibility", "supine flexibility below which curves progressed", 18.1),
];
const CUT_OFF_SOURCE: Source = Source::read(
    &works::CHEUNG_2022,
    "cut-offs 28.8 % correction and 18.1 % supine flexibility; adolescents with idiopathic scoliosis under bracing",
);

/// `published.brace_cut_offs.*`.
pub fn cut_offs(make: &mut Maker) {
    for (item, label, value) in CUT_OFFS {
        let value = Value::Number(Reported::round(value, 1, Unit::Percent));
        make.fact(format!("published.brace_cut_offs.{item}"), label, value)
            .by("as published", CUT_OFF_SOURCE)
            .done();
    }
}

/// The first correction in the brace or cast over the supine flexibility.
fn index(make: &mut Maker, track: &Track) {
    let root = format!("curves.{}", track.key);
    let number = |make: &Maker, id: &str| {
        make.facts.get(&format!("{root}.{id}")).and_then(crate::facts::Fact::number)
    };
    let reduction = |make: &Maker, before: &str, with: &str| {
        Reduction::new(number(make, before)?, number(make, with)?)
    };
    let brace = reduction(make, "in_brace_first.baseline_cobb", "in_brace_first.cobb");
    let supine =
        reduction(make, "flexibility_by.supine.standing_cobb", "flexibility_by.supine.cobb");
    let sides = [
        ("correction", "in_brace_first.correction", brace),
        ("flexibility", "flexibility_by.supine.amount", supine),
    ];
    for ((item, input, found), (_, _, cut_off)) in sides.into_iter().zip(CUT_OFFS) {
        let label = format!("whether the {item} reaches the published cut-off");
        let id = format!("{root}.sci.{item}_reached");
        let Some(found) = found else {
            make.missing(id, &label, Missing::NotApplicable(format!("no {item} to compare")));
            continue;
        };
        let reached = found.percent().value() >= cut_off;
        make.fact(id, label, yes_no(reached))
            .from(format!("{root}.{input}"))
            .from(format!("published.brace_cut_offs.{item}"))
            .by("the reported per cent is at least the cut-off", CUT_OFF_SOURCE)
            .done();
    }
    let id = format!("{root}.sci.value");
    let label = "in-brace correction over supine flexibility";
    match brace.zip(supine).map(|(b, s)| correction_to_flexibility(b, s)) {
        Some(Some(ratio)) => {
            make.fact(id, label, Value::Number(Reported::round(ratio, 2, Unit::One)))
                .from(format!("{root}.in_brace_first.correction"))
                .from(format!("{root}.flexibility_by.supine.amount"))
                .by(
                    "correction on the first film in the brace or cast / supine flexibility, both from reported angles",
                    Source::read(&works::CHEUNG_2022, "ratio of correction to flexibility"),
                )
                .unrounded(ratio)
                .done()
        }
        Some(None) => make.missing(
            id,
            label,
            Missing::NotApplicable("the curve does not give way lying".into()),
        ),
        None => {
            let lacking = [
                (brace.is_none(), "no film in a brace or cast beside one out of it"),
                (supine.is_none(), "no supine film beside a standing one"),
            ];
            let why: Vec<&str> = lacking.iter().filter(|l| l.0).map(|l| l.1).collect();
            make.missing(id, label, Missing::NotApplicable(why.join("; ")))
        }
    };
}

/// The curves of one film by the parts of the scheme of types.
pub struct Scheme<'a, 'b> {
    /// The film that shows the largest frontal curve now.
    pub film: &'b Film,
    /// The largest curve of each part on that film.
    pub parts: [Option<&'a Track<'b>>; 3],
    /// Which part is major.
    pub major: Result<Part, Option<Reported>>,
}

/// The curves now, by part, or why there are none to type.
pub fn scheme<'a, 'b>(
    tracks: &'a [Track<'b>],
    case: &Case,
    below_definition: bool,
) -> Result<Scheme<'a, 'b>, Missing> {
    let none = |why: &str| Missing::NotApplicable(why.into());
    if below_definition {
        return Err(none("no frontal curve has reached the size of a scoliosis"));
    }
    on_largest(tracks, case).ok_or(none("no frontal curve is measured out of support"))
}

fn on_largest<'a, 'b>(tracks: &'a [Track<'b>], case: &Case) -> Option<Scheme<'a, 'b>> {
    let now = |t: &Track| t.now(case).map(FilmCurve::reported);
    let frontal = || tracks.iter().filter(|t| t.plane == Plane::Coronal && now(t).is_some());
    let size = |t: &Track| now(t).map_or(0.0, Reported::value);
    let largest = frontal().max_by(|a, b| size(a).total_cmp(&size(b)))?;
    let id = largest.now(case)?.film.id.value.clone();
    let on_film = || frontal().filter(|t| t.now(case).is_some_and(|c| c.film.id.value == id));
    let of = |part: Part| {
        let mine = on_film().filter(|t| part_of(t, case) == Some(part));
        mine.max_by(|a, b| size(a).total_cmp(&size(b)))
    };
    let parts = Part::ALL.map(of);
    let film = largest.films.iter().find(|c| c.film.id.value == id)?.film;
    Some(Scheme { film, parts, major: classification::major(parts.map(|t| now(t?))) })
}

/// The part of the scheme a curve belongs to by its apex now.
fn part_of(track: &Track, case: &Case) -> Option<Part> {
    let apex =
        track.now(case)?.apex().or_else(|| track.films.iter().rev().find_map(FilmCurve::apex))?;
    Part::of(region(apex, case.patient.column)?.0)
}

impl Scheme<'_, '_> {
    /// The part a track stands for.
    fn part(&self, key: &str) -> Option<Part> {
        let of =
            |(part, track): (Part, &Option<&Track>)| track.filter(|t| t.key == key).map(|_| part);
        Part::ALL.into_iter().zip(&self.parts).find_map(of)
    }
}

/// `curves.<key>.role`, `.structural` and `.structural_by` of every curve.
pub fn roles(make: &mut Maker, tracks: &[Track], scheme: &Result<Scheme, Missing>, set: &Setting) {
    for track in tracks {
        let none = |why: &str| Missing::NotApplicable(why.into());
        let part = match scheme {
            _ if track.plane == Plane::Sagittal => Err(none("a sagittal curve")),
            Err(why) => Err(why.clone()),
            Ok(scheme) => scheme
                .part(&track.key)
                .map(|part| (scheme, part))
                .ok_or(none("not the largest curve of its part on the film of the largest curve")),
        };
        let (scheme, part) = match part {
            Ok(found) => found,
            Err(why) => {
                for (item, label) in ROLE {
                    make.missing(format!("curves.{}.{item}", track.key), label, why.clone());
                }
                continue;
            }
        };
        role(make, track, scheme, part, set);
    }
}

const ROLE: [(&str, &str); 3] = [
    ("role", "major or minor"),
    ("structural", "whether it is structural"),
    ("structural_by", "by what it is structural"),
];

fn role(make: &mut Maker, track: &Track, scheme: &Scheme, part: Part, set: &Setting) {
    let root = format!("curves.{}", track.key);
    let major = match scheme.major {
        Ok(major) => Value::Word(if major == part { "major" } else { "minor" }),
        Err(_) if part == Part::ProximalThoracic => Value::Word("minor"),
        Err(size) => Value::Missing(Missing::CannotTell(format!(
            "two curves measure {} deg",
            size.map_or_else(String::new, Reported::digits)
        ))),
    };
    let mut draft = make.fact(format!("{root}.role"), ROLE[0].1, major.clone());
    for other in scheme.parts.into_iter().flatten() {
        draft = draft.from(format!("curves.{}.now.cobb", other.key));
    }
    draft
        .by(
            "the larger of the main thoracic and the thoracolumbar or lumbar curve is major",
            classification::SIX_TYPES,
        )
        .done();
    if major == Value::Word("major") {
        for (item, value) in [("structural", "yes"), ("structural_by", "major curve")] {
            make.fact(format!("{root}.{item}"), "whether it is structural", Value::Word(value))
                .from(format!("{root}.role"))
                .by("the major curve is structural", classification::SIX_TYPES)
                .done();
        }
        return;
    }
    judged(make, &root, track, part, set);
}

fn stretch(part: Part) -> Stretch {
    let ends = part.kyphosis();
    STRETCHES.into_iter().find(|s| (s.upper, s.lower) == ends).unwrap_or(STRETCHES[0])
}

fn judged(make: &mut Maker, root: &str, track: &Track, part: Part, set: &Setting) {
    let now = track.now(set.case);
    let bent = flexed(track, "bending", set.case)
        .filter(|b| now.is_some_and(|n| near(b.film.taken.value, n.film.taken.value)));
    let stretch = stretch(part);
    let verdict = structural(Minor {
        standing: now.map(FilmCurve::reported),
        bent: bent.map(FilmCurve::reported),
        kyphosis: make.facts.get(&stretch.id()).and_then(crate::facts::Fact::number),
    });
    let cannot = || {
        let Structural::CannotTell { bending, kyphosis } = verdict else { return None };
        let side = track.side.map_or("its convexity".to_string(), |s| format!("the {}", word(s)));
        let film = bending.then(|| format!("a film bent to {side}"));
        let needs: Vec<String> =
            film.into_iter().chain(kyphosis.then(|| stretch.needed())).collect();
        Some(Value::Missing(Missing::CannotTell(format!("missing: {}", needs.join("; ")))))
    };
    let word = match verdict {
        Structural::ByBending => ("yes", "bending"),
        Structural::ByKyphosis => ("yes", "kyphosis"),
        _ => ("no", "no criterion"),
    };
    for (item, label, word) in [(ROLE[1].0, ROLE[1].1, word.0), (ROLE[2].0, ROLE[2].1, word.1)] {
        let value = cannot().unwrap_or(Value::Word(word));
        let mut draft = make
            .fact(format!("{root}.{item}"), label, value)
            .from(format!("{root}.now.cobb"))
            .from(stretch.id());
        if let Some(bent) = bent {
            draft = draft.from(format!("films.{}.curves.{}.cobb", bent.film.id.value, track.key));
        }
        draft
            .by(
                "a minor curve with 25 degrees or more left on side-bending, or with 20 or more of kyphosis in its stretch; one below 25 standing needs no bending film (our own inference)",
                STRUCTURAL,
            )
            .done();
    }
}
