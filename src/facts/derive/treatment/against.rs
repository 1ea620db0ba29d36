//! One brace against another: what each takes off the same curve.
//!
//! Compared are the first films in each, both against a film out of support
//! of their own. The two braces meet the curve at different sizes and ages, so
//! a difference is a difference of what was measured, not of the braces.

use crate::case::{Case, Film, Treatment};
use crate::evidence::{Source, works};
use crate::facts::compare;
use crate::facts::derive::maker::Maker;
use crate::facts::derive::track::Track;
use crate::facts::{Fact, Missing, Value};

use super::in_brace::checks_of;
use super::which::supports;

/// What a comparison says, or says is missing.
const ITEMS: [(&str, &str); 9] = [
    ("earlier_correction", "in-brace correction at the first film in the earlier one"),
    ("earlier_cobb", "Cobb angle in the earlier one"),
    ("earlier_baseline", "Cobb angle out of support before the earlier one"),
    ("earlier_taken", "first film in the earlier one"),
    ("later_correction", "in-brace correction at the first film in the later one"),
    ("later_cobb", "Cobb angle in the later one"),
    ("later_baseline", "Cobb angle out of support before the later one"),
    ("later_taken", "first film in the later one"),
    ("difference", "difference of the two corrections, in percentage points"),
];

/// `treatments.<later>.against.<earlier>.<curve>.*`, for every pair of braces
/// or casts and every curve.
pub fn against(make: &mut Maker, case: &Case, tracks: &[Track]) {
    let worn: Vec<&Treatment> =
        case.treatments.iter().filter(|t| supports(t) && t.start().is_some()).collect();
    for (n, later) in worn.iter().enumerate() {
        for earlier in &worn[..n] {
            for track in tracks {
                pair(make, case, earlier, later, &track.key);
            }
        }
    }
}

fn pair(make: &mut Maker, case: &Case, earlier: &Treatment, later: &Treatment, key: &str) {
    let first = |t: &Treatment| first_check(make, case, t, key);
    let (a, b) = (first(earlier), first(later));
    if a.is_none() && b.is_none() {
        return;
    }
    let root = format!("treatments.{}.against.{}.{key}", later.id.value, earlier.id.value);
    let found = comparable(make, case, (earlier, a), (later, b));
    match found {
        Ok((a, b)) => compared(make, &root, &a, &b),
        Err(why) => {
            for (item, label) in ITEMS {
                let why = Missing::NotComparable(why.clone());
                make.missing(format!("{root}.{item}"), label, why);
            }
        }
    }
}

/// The path of the first check of a curve in a treatment, and its film.
fn first_check<'a>(
    make: &Maker,
    case: &'a Case,
    t: &Treatment,
    key: &str,
) -> Option<(String, &'a Film)> {
    let film = |path: &String| film_of(make, case, &format!("{path}.film"));
    let checks = checks_of(make, &t.id.value, key).into_iter();
    checks.filter_map(|path| film(&path).map(|film| (path, film))).min_by_key(|c| c.1.taken.value)
}

fn film_of<'a>(make: &Maker, case: &'a Case, id: &str) -> Option<&'a Film> {
    let Some(Value::Text(id)) = make.facts.get(id).map(|f| &f.value) else { return None };
    case.films.iter().find(|f| f.id.value == *id)
}

type Check<'a> = (&'a Treatment, Option<(String, &'a Film)>);

/// The two paths, or why the two cannot be held against each other.
fn comparable(
    make: &Maker,
    case: &Case,
    earlier: Check<'_>,
    later: Check<'_>,
) -> Result<(String, String), String> {
    if earlier.0.kind.value != later.0.kind.value {
        let kinds = (earlier.0.kind.word(), later.0.kind.word());
        return Err(format!("one is a {}, the other a {}", kinds.0, kinds.1));
    }
    let (a, in_a, before_a) = shown(make, case, earlier)?;
    let (b, in_b, before_b) = shown(make, case, later)?;
    compare::alike(in_a, in_b)?;
    compare::alike(before_a, before_b).map_err(|why| format!("before the braces, {why}"))?;
    Ok((a, b))
}

/// A check's path, its film and the film it is held against.
fn shown<'a>(
    make: &Maker,
    case: &'a Case,
    (t, check): Check<'a>,
) -> Result<(String, &'a Film, &'a Film), String> {
    let (kind, id) = (t.kind.word(), &t.id.value);
    let (path, film) = check.ok_or(format!("no film in the {kind} {id} shows this curve"))?;
    let before = film_of(make, case, &format!("{path}.baseline_film"))
        .ok_or(format!("no film out of support serves as baseline for the {kind} {id}"))?;
    Ok((path, film, before))
}

fn compared(make: &mut Maker, root: &str, a: &str, b: &str) {
    for (which, path) in [("earlier", a), ("later", b)] {
        for (item, of) in [
            ("correction", "correction"),
            ("cobb", "cobb"),
            ("baseline", "baseline_cobb"),
            ("taken", "taken"),
        ] {
            make.same(format!("{root}.{which}_{item}"), &format!("{path}.{of}"));
        }
    }
    let (id, label) = (format!("{root}.difference"), ITEMS[8].1);
    let amount = |path: &str| make.facts.get(&format!("{path}.correction")).and_then(Fact::number);
    let (Some(earlier), Some(later)) = (amount(a), amount(b)) else {
        let why = "a curve out of support measures 0";
        make.missing(id, label, Missing::NotApplicable(why.into()));
        return;
    };
    make.fact(id, label, Value::Number(later.minus(earlier)))
        .from(format!("{root}.earlier_correction"))
        .from(format!("{root}.later_correction"))
        .by(
            "later minus earlier, both as reported; each at the size the curve had then",
            Source::read(&works::IN_BRACE_CORRECTION, "formula of each"),
        )
        .done();
}
