//! Two films of one curve judged by the real-change table.
//!
//! The one place where a change gets its limit and its verdict; the facts of
//! a span and the warnings of `check` both come from here.

use chrono::NaiveDate;

use super::curves::comparable_to_now;
use super::span::Setting;
use super::track::{FilmCurve, Track};
use super::tracks::tracks;
use crate::case::{Case, Cause, Clinic};
use crate::course::change::{
    self, Circumstances, ClinicLimits, Ends, Group, Limit, Readers, Verdict,
};
use crate::diag::{Code, Diagnostic, Report};
use crate::facts::known::known_on;
use crate::quantity::{Age, Reported};
use crate::spine::frame::Plane;

/// A change with its verdict.
pub struct Judged {
    /// Later minus earlier, both as reported.
    pub amount: Reported,
    /// The same before rounding.
    pub unrounded: f64,
    /// What the two films have in common.
    pub circumstances: Circumstances,
    /// From where a change is real.
    pub limit: Limit,
    /// Whether it is.
    pub verdict: Verdict,
}

impl Judged {
    /// Whether the unrounded change falls on the other side of the limit.
    pub fn rounding_decides(&self) -> bool {
        let real = self.unrounded.abs() >= self.limit.degrees.value();
        real != (self.verdict != Verdict::Unchanged)
    }
}

/// Judges the change of one curve from one film to another; whether they may
/// be compared at all is decided before.
pub fn judge(track: &Track, from: &FilmCurve, to: &FilmCurve, set: &Setting) -> Judged {
    let amount = to.reported().minus(from.reported());
    let circumstances = circumstances(track, from, to, set);
    let limit = change::limit(&circumstances);
    let verdict = limit.judge(amount);
    Judged { amount, unrounded: to.unrounded() - from.unrounded(), circumstances, limit, verdict }
}

/// Whose measurement error applies to a curve on a film.
pub fn group(track: &Track, film: &FilmCurve, case: &Case) -> Group {
    let age = Age::on(case.patient.born.value, film.film.taken.value).map(|a| a.years);
    let congenital = case.diagnosis.cause.value == Cause::Congenital;
    Group::of(congenital, track.plane == Plane::Sagittal, age)
}

/// Whether two films were measured to the same end vertebrae.
pub fn ends(from: &FilmCurve, to: &FilmCurve) -> Ends {
    let same = from.one_pair_of_ends() && to.one_pair_of_ends() && from.levels() == to.levels();
    if same { Ends::Same } else { Ends::Free }
}

fn circumstances(track: &Track, from: &FilmCurve, to: &FilmCurve, set: &Setting) -> Circumstances {
    let readers = |c: &FilmCurve<'_>| -> Vec<String> {
        c.members.iter().map(|m| m.reading.by.value.clone()).collect()
    };
    let (a, b) = (readers(from), readers(to));
    let limits = &set.clinic.limits;
    Circumstances {
        readers: Readers::of(a.iter().map(String::as_str), b.iter().map(String::as_str)),
        ends: ends(from, to),
        group: group(track, from, set.case),
        clinic: ClinicLimits {
            real_change: limits.real_change.as_ref().map(|l| l.value),
            repeatability: limits.repeatability.as_ref().map(|l| l.value),
        },
    }
}

/// Warns of every change that a letter of the case judges and that rounding
/// decides, once for each pair of films; without letters, of the changes known
/// on the day of the last film.
pub fn rounding_decides(case: &Case, clinic: &Clinic, report: &mut Report) {
    let mut days: Vec<NaiveDate> = case.letters.iter().map(|l| l.as_of.value).collect();
    if days.is_empty() {
        days.extend(case.films.iter().map(|f| f.taken.value).max());
    }
    days.sort_unstable();
    let mut told: Vec<String> = Vec::new();
    for as_of in days {
        let known = known_on(case, as_of);
        let set = Setting { case: &known, clinic, as_of };
        for track in tracks(&known, &mut Report::default()) {
            for (from, to) in judged_pairs(&track, &set) {
                warn(&track, from, to, &set, &mut told, report);
            }
        }
    }
}

/// The films that letters compare with the curve as it is now.
fn judged_pairs<'t>(
    track: &'t Track<'t>,
    set: &Setting,
) -> Vec<(&'t FilmCurve<'t>, &'t FilmCurve<'t>)> {
    let free = track.free(set.case);
    let Some(now) = free.last().copied() else { return Vec::new() };
    let earlier = comparable_to_now(track, &free, set);
    let ends = earlier.first().into_iter().chain(earlier.last());
    ends.map(|from| (**from, now)).collect()
}

fn warn(
    track: &Track,
    from: &FilmCurve,
    to: &FilmCurve,
    set: &Setting,
    told: &mut Vec<String>,
    report: &mut Report,
) {
    let judged = judge(track, from, to, set);
    let (a, b) = (&from.film.id.value, &to.film.id.value);
    let pair = format!("{} {a} {b}", track.key);
    if !judged.rounding_decides() || told.contains(&pair) {
        return;
    }
    told.push(pair);
    let size = judged.limit.degrees.digits();
    let message = format!(
        "curve {} from film {a} to film {b}: {} deg as reported, {:.2} deg unrounded, and a change is real from {size} deg",
        track.key,
        judged.amount.digits(),
        judged.unrounded,
    );
    let place = to.members[0].curve.place.clone();
    let fault = Diagnostic::new(Code::RoundingDecides, Some(place), message);
    report.push(fault.related(from.members[0].curve.place.clone(), "the film before"));
}
