//! From one film to another: how much a curve changed and whether that is real.

use chrono::NaiveDate;

use super::judge::{Judged, judge};
use super::maker::{Maker, direction, whole, yes_no};
use super::track::{FilmCurve, Track};
use crate::case::{Case, Clinic};
use crate::course::brace::Reduction;
use crate::course::change::{Circumstances, Ends, Group, Limit, Readers, Verdict};
use crate::course::outcome::{self, Bands, Outcome};
use crate::course::trend::{self, Dated};
use crate::evidence::{Source, works};
use crate::facts::compare;
use crate::facts::{Missing, Value};
use crate::quantity::date::days_between;
use crate::quantity::{Reported, Unit};
use crate::spine::frame::Plane;

/// What every span says, or says is missing.
const ITEMS: [(&str, &str); 14] = [
    ("from_cobb", "Cobb angle at the start"),
    ("from_taken", "film at the start"),
    ("from_levels", "end vertebrae at the start"),
    ("to_cobb", "Cobb angle at the end"),
    ("to_taken", "film at the end"),
    ("amount", "change"),
    ("direction", "rose, fell or same"),
    ("verdict", "whether the change is real"),
    ("limit", "smallest change called real"),
    ("limit_for", "which comparison the limit is for"),
    ("near_limit", "whether rounding decides the verdict"),
    ("months", "months between the films"),
    ("rate", "change a year"),
    ("outcome", "published outcome band"),
];

/// Why a span does not exist.
pub fn none(make: &mut Maker, root: &str, missing: &Missing) {
    for (item, label) in ITEMS {
        make.missing(format!("{root}.{item}"), label, missing.clone());
    }
}

/// What the derivation of spans needs to know.
pub struct Setting<'a> {
    /// The case as known on the day.
    pub case: &'a Case,
    /// The clinic.
    pub clinic: &'a Clinic,
    /// The day.
    pub as_of: NaiveDate,
}

/// Whether two films of one curve may be compared to judge progression: the
/// films themselves, and on lateral films the end vertebrae, which must be
/// the same. The reason if not.
pub fn comparable(
    case: &Case,
    track: &Track,
    from: &FilmCurve,
    to: &FilmCurve,
) -> Result<(), String> {
    compare::progression(case, from.film, to.film)?;
    like_ends(track, from, to)
}

/// A kyphosis or lordosis is another angle between other end vertebrae, so
/// its ends are fixed before films are compared; a curve of the frontal plane
/// has ends of its own on every film, and the limit allows for that.
pub fn like_ends(track: &Track, from: &FilmCurve, to: &FilmCurve) -> Result<(), String> {
    if track.plane == Plane::Coronal {
        return Ok(());
    }
    for one in [from, to] {
        if !one.one_pair_of_ends() {
            return Err(format!(
                "the readings of the film of {} use different end vertebrae",
                one.film.taken.value
            ));
        }
    }
    if from.levels() == to.levels() {
        return Ok(());
    }
    let told = |c: &FilmCurve| {
        let (upper, lower) = c.levels();
        format!("from {upper} to {lower} on the film of {}", c.film.taken.value)
    };
    Err(format!(
        "the end vertebrae of the sagittal curve differ: measured {}, {}",
        told(from),
        told(to)
    ))
}

/// Writes the span between two films of one curve, or why they cannot be compared.
pub fn span(
    make: &mut Maker,
    root: &str,
    track: &Track,
    from: &FilmCurve,
    to: &FilmCurve,
    set: &Setting,
) {
    if let Err(why) = comparable(set.case, track, from, to) {
        none(make, root, &Missing::NotComparable(why));
        return;
    }
    let film = |c: &FilmCurve| format!("films.{}.curves.{}", c.film.id.value, track.key);
    let (a, b) = (film(from), film(to));
    make.same(format!("{root}.from_cobb"), &format!("{a}.cobb"));
    make.same(format!("{root}.from_taken"), &format!("films.{}.taken", from.film.id.value));
    make.same(format!("{root}.from_levels"), &format!("{a}.levels"));
    make.same(format!("{root}.to_cobb"), &format!("{b}.cobb"));
    make.same(format!("{root}.to_taken"), &format!("films.{}.taken", to.film.id.value));
    let judged = judge(track, from, to, set);
    let amount = judged.amount;
    let inputs = [format!("{a}.cobb"), format!("{b}.cobb")];
    make.fact(format!("{root}.amount"), "change in degrees", Value::Number(amount))
        .from(&inputs[0])
        .from(&inputs[1])
        .by("later minus earlier, both as reported", Source::definition(""))
        .unrounded(judged.unrounded)
        .done();
    make.fact(format!("{root}.direction"), "rose, fell or same", direction(amount))
        .from(format!("{root}.amount"))
        .by("sign of the change", Source::definition(""))
        .done();
    verdict(make, root, track, &judged);
    timing(make, root, from.film.taken.value, to.film.taken.value, amount, set);
}

fn verdict(make: &mut Maker, root: &str, track: &Track, judged: &Judged) {
    let (limit, circumstances, amount) = (&judged.limit, &judged.circumstances, judged.amount);
    make.fact(format!("{root}.limit"), "smallest change called real", Value::Number(limit.degrees))
        .from("limits.real_change")
        .by(limit_reason(limit, circumstances), limit.source)
        .done();
    make.fact(
        format!("{root}.limit_for"),
        "which comparison the limit is for",
        Value::Word(limit_for(circumstances)),
    )
    .from(format!("{root}.limit"))
    .by("readers and end vertebrae of the two films", limit.source)
    .done();
    let verdict = match judged.verdict {
        Verdict::Unchanged => "unchanged",
        Verdict::Rise => "worse",
        Verdict::Fall => "better",
    };
    make.fact(format!("{root}.verdict"), "whether the change is real", Value::Word(verdict))
        .from(format!("{root}.amount"))
        .from(format!("{root}.limit"))
        .by("real if the reported change reaches the limit", limit.source)
        .done();
    make.fact(
        format!("{root}.near_limit"),
        "whether rounding decides the verdict",
        yes_no(judged.rounding_decides()),
    )
    .from(format!("{root}.amount"))
    .by("the unrounded change falls on the other side of the limit", Source::definition(""))
    .done();
    let bands = match track.plane {
        Plane::Coronal => Bands::Scoliosis,
        Plane::Sagittal => Bands::Kyphosis,
    };
    let band = match outcome::outcome(amount, bands) {
        Outcome::Improved => "improved",
        Outcome::Unchanged => "unchanged",
        Outcome::Worse => "worse",
    };
    if track.is_lordosis() {
        let none = Missing::NotApplicable("no published bands for a lordosis".into());
        make.missing(format!("{root}.outcome"), "published outcome band", none);
        return;
    }
    make.fact(format!("{root}.outcome"), "published outcome band", Value::Word(band))
        .from(format!("{root}.amount"))
        .by("improved, unchanged or worse by the published bands; apart from the verdict on a real change", bands.source())
        .done();
}

/// The comparison a limit is for, as a word of a closed set.
fn limit_for(c: &Circumstances) -> &'static str {
    match (c.group, c.readers, c.ends) {
        (Group::Congenital, ..) => "congenital curves",
        (Group::Kyphosis, ..) => "lateral films",
        (Group::YoungChild, ..) => "young children",
        (_, Readers::Same, _) => "same readers",
        (_, Readers::Different, Ends::Same) => "different readers",
        (_, Readers::Different, Ends::Free) => "different readers and end vertebrae",
    }
}

fn limit_reason(limit: &Limit, c: &Circumstances) -> String {
    let others: Vec<String> = limit
        .considered
        .iter()
        .map(|c| format!("{} ({})", c.degrees.digits(), c.source.work.map_or("setting", |w| w.key)))
        .collect();
    format!("real-change table for {}; looked at: {}", limit_for(c), others.join(", "))
}

fn timing(
    make: &mut Maker,
    root: &str,
    from: NaiveDate,
    to: NaiveDate,
    amount: Reported,
    set: &Setting,
) {
    let months = nearest_months(from, to);
    let dates = [format!("{root}.from_taken"), format!("{root}.to_taken")];
    make.fact(format!("{root}.months"), "months between the films", whole(months, Unit::Month))
        .from(&dates[0])
        .from(&dates[1])
        .by("days between / 30.4375, to the nearest month", Source::definition(""))
        .done();
    let fewest = set.clinic.limits.rate_months();
    let none = Reported::whole(0, amount.unit());
    let (earlier, later) = (Dated { on: from, value: none }, Dated { on: to, value: amount });
    let Ok(rate) = trend::rate_per_year(earlier, later, fewest) else {
        make.missing(
            format!("{root}.rate"),
            "change a year",
            Missing::NotApplicable(format!("the films are less than {fewest} months apart")),
        );
        return;
    };
    make.fact(format!("{root}.rate"), "change a year", Value::Number(rate))
    .from(format!("{root}.amount"))
    .from(&dates[0])
    .from(&dates[1])
    .by(
        format!(
            "reported change / years of 365.25 days; not from films less than {fewest} months apart"
        ),
        Source::common_practice("the interval is a setting"),
    )
    .done();
}

/// Months between two days, to the nearest.
pub fn nearest_months(from: NaiveDate, to: NaiveDate) -> i64 {
    (days_between(from, to) as f64 / 30.4375).round() as i64
}

/// The facts of a film's in-support check of one curve.
pub struct Check<'a> {
    /// The film in support.
    pub held: &'a FilmCurve<'a>,
    /// The last film out of support that may serve as baseline.
    pub baseline: Option<&'a FilmCurve<'a>>,
    /// Oldest baseline allowed, in months.
    pub oldest: u32,
}

/// What every check says, or says is missing.
pub const CHECK_ITEMS: [(&str, &str); 17] = [
    ("cobb", "Cobb angle in support"),
    ("size", "size of the angle in support"),
    ("taken", "film in support"),
    ("age", "age at the film in support"),
    ("support", "brace or cast"),
    ("posture", "posture in support"),
    ("overcorrected", "whether the curve is turned to the other side"),
    ("baseline_cobb", "Cobb angle out of support before"),
    ("baseline_taken", "film out of support before"),
    ("baseline_posture", "posture of the film before"),
    ("baseline_months", "months from that film to the film in support"),
    ("baseline_off_for", "hours out of support before that film"),
    ("baseline_soon_after_support", "whether a brace or cast had only just come off before it"),
    ("posture_differs", "whether the postures differ"),
    ("correction", "in-brace correction"),
    ("film", "id of the film in support"),
    ("baseline_film", "id of the film before"),
];

/// Writes the check of one curve on one film.
pub fn check(make: &mut Maker, root: &str, track: &Track, check: &Check, support: &'static str) {
    let film = &check.held.film;
    let here = format!("films.{}", film.id.value);
    let curve = format!("{here}.curves.{}", track.key);
    make.same(format!("{root}.cobb"), &format!("{curve}.cobb"));
    make.same(format!("{root}.taken"), &format!("{here}.taken"));
    make.same(format!("{root}.age"), &format!("{here}.age"));
    make.same(format!("{root}.posture"), &format!("{here}.posture"));
    make.fact(format!("{root}.film"), "film in support", Value::Text(film.id.value.clone()))
        .record(format!("film {}", film.id.value), &film.place)
        .done();
    make.fact(format!("{root}.support"), "brace or cast", Value::Word(support))
        .from(format!("{here}.support"))
        .done();
    make.fact(
        format!("{root}.size"),
        "size of the angle in support",
        Value::Number(check.held.reported().abs()),
    )
    .from(format!("{curve}.cobb"))
    .by("the angle without its sign", Source::definition(""))
    .done();
    make.fact(
        format!("{root}.overcorrected"),
        "whether the curve is turned to the other side",
        yes_no(check.held.reported().sign() < 0),
    )
    .from(format!("{curve}.cobb"))
    .by(
        "the convexity in support lies opposite to the convexity out of support",
        Source::definition(""),
    )
    .done();
    let baseline = check
        .baseline
        .ok_or_else(|| format!("no film out of support within {} months before", check.oldest))
        .and_then(|baseline| like_ends(track, baseline, check.held).map(|()| baseline));
    match baseline {
        Ok(baseline) => correction(make, root, track, check.held, baseline),
        Err(why) => {
            for (item, label) in CHECK_ITEMS.iter().filter(|(i, _)| {
                i.starts_with("baseline") || *i == "correction" || *i == "posture_differs"
            }) {
                make.missing(format!("{root}.{item}"), label, Missing::NotComparable(why.clone()));
            }
        }
    }
}

fn correction(make: &mut Maker, root: &str, track: &Track, held: &FilmCurve, baseline: &FilmCurve) {
    let before = format!("films.{}", baseline.film.id.value);
    make.same(format!("{root}.baseline_cobb"), &format!("{before}.curves.{}.cobb", track.key));
    make.same(format!("{root}.baseline_taken"), &format!("{before}.taken"));
    make.same(format!("{root}.baseline_posture"), &format!("{before}.posture"));
    make.same(format!("{root}.baseline_off_for"), &format!("{before}.off_for"));
    make.same(
        format!("{root}.baseline_soon_after_support"),
        &format!("{before}.soon_after_support"),
    );
    make.fact(
        format!("{root}.baseline_film"),
        "film before",
        Value::Text(baseline.film.id.value.clone()),
    )
    .record(format!("film {}", baseline.film.id.value), &baseline.film.place)
    .done();
    let months = nearest_months(baseline.film.taken.value, held.film.taken.value);
    make.fact(
        format!("{root}.baseline_months"),
        "months between the two films",
        whole(months, Unit::Month),
    )
    .from(format!("{root}.baseline_taken"))
    .from(format!("{root}.taken"))
    .by("days between / 30.4375, to the nearest month", Source::definition(""))
    .done();
    let (a, b) = (compare::posture(baseline.film), compare::posture(held.film));
    let differs = match (a, b) {
        (Some(a), Some(b)) => yes_no(a != b),
        _ => Value::Missing(Missing::NotRecorded {
            item: "posture of a film".into(),
            who: "whoever took the film".into(),
        }),
    };
    make.fact(format!("{root}.posture_differs"), "whether the postures differ", differs)
        .from(format!("{root}.posture"))
        .from(format!("{root}.baseline_posture"))
        .done();
    let Some(reduction) = Reduction::new(baseline.reported(), held.reported()) else {
        make.missing(
            format!("{root}.correction"),
            "in-brace correction",
            Missing::NotApplicable("the curve out of support measures 0".into()),
        );
        return;
    };
    make.fact(
        format!("{root}.correction"),
        "in-brace correction",
        Value::Number(reduction.percent()),
    )
    .from(format!("{root}.baseline_cobb"))
        .from(format!("{root}.cobb"))
        .by("(before - in support) / before x 100, both as reported; above 100 if turned to the other side", Source::read(&works::IN_BRACE_CORRECTION, ""))
        .unrounded(reduction.exact())
        .done();
}
