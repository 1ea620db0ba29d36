//! From clocks on the wall to instants, and the civil days between them.
//!
//! In spring an hour of the clock is left out, in autumn one comes twice. Of
//! the two instants of such a time the order of the samples decides: the
//! earlier one, unless the sample before it is not earlier still.

use std::sync::Arc;

use chrono::{DateTime, Days, NaiveDate, NaiveDateTime, Offset, TimeDelta, TimeZone};
use chrono_tz::{TZ_VARIANTS, Tz};

use super::order::Placed;
use super::time::Stamp;
use super::{Row, Spec, Tally};
use crate::case::suggest::{did_you_mean, quote};
use crate::course::wear::CivilDay;
use crate::diag::{Code, Diagnostic, Place, Report};

const DAY: i64 = 86_400;

/// The zone in which days are taken.
#[derive(Debug)]
pub(super) enum Zone {
    /// By its IANA name.
    Named(Tz),
    /// By the offsets written with the times: from an instant on, seconds
    /// east of UTC.
    Written(Vec<(i64, i64)>),
}

/// The zone the case names; by the written offsets if it names none. A name
/// that no zone has is reported.
pub(super) fn of(spec: &Spec, report: &mut Report) -> Option<Zone> {
    let Some(name) = &spec.time_zone else { return Some(Zone::Written(Vec::new())) };
    if let Ok(tz) = name.parse::<Tz>() {
        return Some(Zone::Named(tz));
    }
    let names: Vec<&str> = TZ_VARIANTS.iter().map(|tz| tz.name()).collect();
    let message = format!("{} is not the name of a time zone", quote(name));
    let fault = Diagnostic::new(Code::TimeZoneUnknown, Some(name.place.clone()), message);
    report.push(match did_you_mean(name, &names) {
        Some(near) => fault.remedy(format!("did you mean `{near}`?")),
        None => fault,
    });
    None
}

/// Gives every row its instant. Times without an offset need a zone.
pub(super) fn place(
    rows: Vec<Row>,
    zone: &Zone,
    file: &Arc<str>,
    home: &Place,
    report: &mut Report,
) -> Option<Vec<Placed>> {
    let mut clock = Clock { day: i64::MIN, steady: None };
    let (mut placed, mut skipped) = (Vec::with_capacity(rows.len()), Tally::default());
    let mut before = i64::MIN;
    for row in rows {
        let at = match (row.stamp, zone) {
            (Stamp::Instant { at, .. }, _) => at,
            (Stamp::Local(_), Zone::Written(_)) => {
                let message = "the times carry no offset and the case names no time zone";
                let fault = Diagnostic::new(Code::WearLogZone, Some(home.clone()), message);
                report.push(fault.related(row.line.place(file), "the first such time"));
                return None;
            }
            (Stamp::Local(local), Zone::Named(tz)) => match clock.instants(*tz, local) {
                (Some(early), late) if early > before => early.min(late),
                (Some(_), late) => late,
                (None, late) => {
                    skipped.add(row.line, || shown(local));
                    late
                }
            },
        };
        before = at;
        placed.push(Placed { at, celsius: row.celsius, line: row.line });
    }
    let what =
        ("a time that the clock change leaves out", "times that the clock change leaves out");
    skipped.tell(Code::WearLogClock, what, file, report);
    Some(placed)
}

/// Remembers the offset of days without a clock change.
struct Clock {
    day: i64,
    steady: Option<i64>,
}

impl Clock {
    /// The instants of a local time: the earlier and the later one, which are
    /// one but in autumn. `None` and one instant where the clock skips it: as
    /// it would have been without the change.
    fn instants(&mut self, tz: Tz, local: i64) -> (Option<i64>, i64) {
        let day = local.div_euclid(DAY);
        if day != self.day {
            let (yesterday, tomorrow) = (single(tz, day - 1), single(tz, day + 2));
            (self.day, self.steady) = (day, yesterday.filter(|o| tomorrow == Some(*o)));
        }
        if let Some(offset) = self.steady {
            return (Some(local - offset), local - offset);
        }
        match tz.offset_from_local_datetime(&naive(local)) {
            chrono::LocalResult::Single(o) => (Some(local - east(&o)), local - east(&o)),
            chrono::LocalResult::Ambiguous(a, b) => {
                let (a, b) = (local - east(&a), local - east(&b));
                (Some(a.min(b)), a.max(b))
            }
            chrono::LocalResult::None => (None, local - before_gap(tz, local)),
        }
    }
}

fn single(tz: Tz, day: i64) -> Option<i64> {
    tz.offset_from_local_datetime(&naive(day * DAY)).single().map(|o| east(&o))
}

fn east<O: Offset>(offset: &O) -> i64 {
    i64::from(offset.fix().local_minus_utc())
}

fn naive(local: i64) -> NaiveDateTime {
    DateTime::from_timestamp(local, 0).unwrap_or_default().naive_utc()
}

fn shown(local: i64) -> String {
    naive(local).format("%Y-%m-%d %H:%M").to_string()
}

/// The offset in force before a gap that holds a local time.
fn before_gap(tz: Tz, local: i64) -> i64 {
    let earlier = tz.offset_from_local_datetime(&naive(local - DAY));
    earlier.earliest().map_or(0, |o| east(&o))
}

impl Zone {
    /// The same zone, with the offsets written in the log if the case names none.
    pub(super) fn or_written(self, rows: &[Row]) -> Zone {
        if matches!(self, Zone::Named(_)) {
            return self;
        }
        let mut changes: Vec<(i64, i64)> = Vec::new();
        for row in rows {
            if let Stamp::Instant { at, offset } = row.stamp
                && changes.last().is_none_or(|last| last.1 != offset)
            {
                changes.push((at, offset));
            }
        }
        changes.sort_unstable();
        changes.dedup_by_key(|change| change.1);
        Zone::Written(changes)
    }

    /// Every civil day from one instant to another.
    pub(super) fn days(&self, first: i64, last: i64) -> Vec<CivilDay> {
        let (mut date, end) = (self.date(first), self.date(last));
        let mut days = Vec::new();
        let mut start = self.midnight(date);
        while date <= end {
            let next = date + Days::new(1);
            let stop = self.midnight(next);
            days.push(CivilDay { date, start, end: stop });
            (date, start) = (next, stop);
        }
        days
    }

    /// The civil day of an instant.
    fn date(&self, at: i64) -> NaiveDate {
        match self {
            Zone::Named(tz) => tz.from_utc_datetime(&naive(at)).date_naive(),
            Zone::Written(changes) => {
                let found = changes.iter().rfind(|c| c.0 <= at).or(changes.first());
                naive(at + found.map_or(0, |c| c.1)).date()
            }
        }
    }

    /// The first instant of a day; where midnight itself is skipped, the
    /// instant of the change.
    fn midnight(&self, date: NaiveDate) -> i64 {
        let local = date.and_time(chrono::NaiveTime::MIN);
        match self {
            Zone::Written(changes) => written_midnight(changes, local.and_utc().timestamp()),
            Zone::Named(tz) => {
                let quarter = |n: i64| local + TimeDelta::minutes(15 * n);
                (0..16)
                    .find_map(|n| tz.from_local_datetime(&quarter(n)).earliest())
                    .map_or_else(|| local.and_utc().timestamp(), |t| t.timestamp())
            }
        }
    }

    /// The zone in words.
    pub(super) fn words(&self) -> String {
        match self {
            Zone::Named(tz) => tz.name().to_string(),
            Zone::Written(changes) => {
                let mut words: Vec<String> = changes.iter().map(|c| offset_words(c.1)).collect();
                words.sort();
                words.dedup();
                words.join(" and ")
            }
        }
    }
}

/// The first instant of a local midnight under offsets that change: in the
/// earliest stretch that holds it, else the change that skips it.
fn written_midnight(changes: &[(i64, i64)], local: i64) -> i64 {
    for (index, (_, offset)) in changes.iter().enumerate() {
        let at = local - offset;
        let from = if index == 0 { i64::MIN } else { changes[index].0 };
        let to = changes.get(index + 1).map_or(i64::MAX, |next| next.0);
        if at < to {
            return at.max(from);
        }
    }
    local
}

fn offset_words(offset: i64) -> String {
    if offset == 0 {
        return "UTC".to_string();
    }
    let (sign, size) = (if offset < 0 { '-' } else { '+' }, offset.abs());
    format!("UTC{sign}{:02}:{:02}", size / 3600, size % 3600 / 60)
}
