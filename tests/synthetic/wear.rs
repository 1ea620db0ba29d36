//! Temperature logs of an invented brace, with the hours truly worn.
//!
//! Nothing here uses the program under test or any time-zone library: a
//! [`Clock`] is its base offset and a list of changes, typed from the published
//! rules of the place. Arithmetic is exact on every machine, so a file made
//! here is the same everywhere.
//!
//! A brace in the room has the room's temperature ([`Climate`]); on the body it
//! goes to about 34 degrees, at once or with the lag of a real sensor
//! ([`Plan::lag`]). The truth of a day is the time worn between its two local
//! midnights.
//!
//! For a demo case: `make(&Plan { every: 1800, days: 120, lag: 900, ..plan })`
//! gives [`Made::csv`]; [`hot_summer`] and [`temperate`] are climates,
//! [`faithful`] and [`poor`] habits.

use std::fmt::Write;

/// Seconds of a day.
pub const DAY: i64 = 86_400;

/// A place's clock: seconds east of UTC, and the instants at which it changes.
#[derive(Debug, Clone)]
pub struct Clock {
    /// IANA name.
    pub name: &'static str,
    /// Offset before the first change.
    pub base: i64,
    /// Instant in seconds since 1970-01-01 00:00 UTC, and the offset from then.
    pub changes: Vec<(i64, i64)>,
}

impl Clock {
    /// The offset at an instant.
    pub fn offset(&self, at: i64) -> i64 {
        self.changes.iter().rfind(|c| c.0 <= at).map_or(self.base, |c| c.1)
    }

    /// The instant of a day's local midnight; no clock here changes at midnight.
    pub fn midnight(&self, day: i64) -> i64 {
        let offsets = [self.base].into_iter().chain(self.changes.iter().map(|c| c.1));
        let mut fits =
            offsets.map(|o| day * DAY - o).filter(|at| at + self.offset(*at) == day * DAY);
        fits.next().expect("midnight exists")
    }
}

/// Days from 1970-01-01 to a date of the Gregorian calendar (Hinnant 2013).
pub fn day_number(year: i64, month: i64, day: i64) -> i64 {
    let y = if month <= 2 { year - 1 } else { year };
    let era = y.div_euclid(400);
    let of_era = y - era * 400;
    let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
    era * 146_097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719_468
}

/// Year, month and day of a day number.
pub fn date(day: i64) -> (i64, i64, i64) {
    let z = day + 719_468;
    let era = z.div_euclid(146_097);
    let of_era = z - era * 146_097;
    let year = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year + year / 4 - year / 100);
    let part = (5 * of_year + 2) / 153;
    let (day, month) = (of_year - (153 * part + 2) / 5 + 1, (part + 2) % 12 + 1);
    (year + era * 400 + i64::from(month <= 2), month, day)
}

fn at_utc(year: i64, month: i64, day: i64, hour: i64) -> i64 {
    day_number(year, month, day) * DAY + hour * 3600
}

/// Europe/London in 2025 and 2026: last Sundays of March and October, 01:00 UTC.
pub fn london() -> Clock {
    let changes = vec![
        (at_utc(2025, 3, 30, 1), 3600),
        (at_utc(2025, 10, 26, 1), 0),
        (at_utc(2026, 3, 29, 1), 3600),
        (at_utc(2026, 10, 25, 1), 0),
    ];
    Clock { name: "Europe/London", base: 0, changes }
}

/// America/New_York in 2025 and 2026: second Sunday of March, first Sunday of
/// November, 02:00 local.
pub fn new_york() -> Clock {
    let changes = vec![
        (at_utc(2025, 3, 9, 7), -4 * 3600),
        (at_utc(2025, 11, 2, 6), -5 * 3600),
        (at_utc(2026, 3, 8, 7), -4 * 3600),
        (at_utc(2026, 11, 1, 6), -5 * 3600),
    ];
    Clock { name: "America/New_York", base: -5 * 3600, changes }
}

/// Australia/Lord_Howe in 2026: half an hour back on the first Sunday of April
/// and forward on the first of October, 02:00 local (15:00 UTC the day before
/// at +11:00, 15:30 UTC at +10:30).
pub fn lord_howe() -> Clock {
    let changes = vec![
        (at_utc(2025, 4, 5, 15), 37_800),
        (at_utc(2025, 10, 4, 15) + 1800, 39_600),
        (at_utc(2026, 4, 4, 15), 37_800),
        (at_utc(2026, 10, 3, 15) + 1800, 39_600),
    ];
    Clock { name: "Australia/Lord_Howe", base: 39_600, changes }
}

/// Temperatures of the room: the day's mean in mid-January and mid-July, and
/// how far the afternoon lies above it, in degrees Celsius.
#[derive(Debug, Clone, Copy)]
pub struct Climate {
    /// Mean of a day in January.
    pub january: f64,
    /// Mean of a day in July.
    pub july: f64,
    /// Afternoon above the mean.
    pub swing: f64,
}

/// Rooms that never come near the temperature of a body.
pub fn temperate() -> Climate {
    Climate { january: 19.0, july: 23.0, swing: 2.0 }
}

/// Rooms under the roof in a hot summer: above 30 degrees in the afternoons of
/// June to August.
pub fn hot_summer() -> Climate {
    Climate { january: 19.0, july: 29.5, swing: 4.5 }
}

/// A triangle between -1 and 1 with its top at 0 and its bottom at half a turn.
fn wave(turn: f64) -> f64 {
    let t = turn - turn.floor();
    (4.0 * t - 2.0).abs() - 1.0
}

impl Climate {
    fn at(self, day: i64, local: i64) -> f64 {
        let (year, ..) = date(day);
        let since = day - day_number(year, 7, 15);
        let middle = (self.january + self.july) / 2.0;
        let season = middle + (self.july - self.january) / 2.0 * wave(since as f64 / 365.25);
        let hour = local.rem_euclid(DAY) as f64 / DAY as f64;
        season + self.swing * wave(hour - 15.0 / 24.0)
    }

    /// The warmest the room gets on a day.
    pub fn warmest(self, day: i64) -> f64 {
        self.at(day, day * DAY + 15 * 3600)
    }
}

/// How a log writes its lines.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// `2026-03-01 14:30,34.1`: the clock on the wall.
    Wall,
    /// `2026-03-01T14:30:00+01:00,34.1`.
    Offset,
    /// `2026-03-01T13:30:00Z,34.1`.
    Utc,
    /// `01.03.2026 14:30;34,1`.
    Continental,
    /// `03/01/2026 02:30 PM` and a tab; pattern `%m/%d/%Y %I:%M %p`.
    American,
}

/// What is logged.
#[derive(Clone)]
pub struct Plan<'a> {
    /// First day, as a day number.
    pub first: i64,
    /// How many days.
    pub days: i64,
    /// Seconds between two samples.
    pub every: i64,
    /// Time constant of the sensor in seconds; 0 follows at once.
    pub lag: i64,
    /// The place's clock.
    pub clock: Clock,
    /// The room.
    pub climate: Climate,
    /// When it is worn: of a day's number the seconds after its local midnight
    /// at which it is put on and taken off, the second perhaps after the day.
    pub habit: &'a dyn Fn(i64) -> Vec<(i64, i64)>,
    /// How lines are written.
    pub style: Style,
}

/// The truth of one day.
#[derive(Debug, Clone, PartialEq)]
pub struct Truth {
    /// `2026-03-29`.
    pub date: String,
    /// Seconds worn between its two local midnights.
    pub worn: i64,
    /// Its length in seconds.
    pub length: i64,
    /// The warmest the room got.
    pub warmest: f64,
}

/// A log and its truth.
#[derive(Debug, Clone)]
pub struct Made {
    /// The file.
    pub csv: String,
    /// Every day, whole.
    pub truth: Vec<Truth>,
}

/// Worn from 17:00 to 13:00 and more: twenty to twenty-two hours, off in the
/// afternoon for sport.
pub fn faithful(day: i64) -> Vec<(i64, i64)> {
    let off = (day % 3) * 1800;
    vec![(0, 13 * 3600), (15 * 3600 + off, DAY)]
}

/// Poor wear: half of the nights, forgotten at weekends, not at all for ten
/// days in August.
pub fn poor(day: i64) -> Vec<(i64, i64)> {
    let (_, month, of_month) = date(day);
    // 1970-01-01 was a Thursday.
    let weekend = matches!((day + 3).rem_euclid(7), 5 | 6);
    if (month == 8 && (5..15).contains(&of_month)) || weekend || day % 5 == 0 {
        return Vec::new();
    }
    vec![(21 * 3600, DAY + (5 + day % 3) * 3600)]
}

/// Writes a log.
pub fn make(plan: &Plan) -> Made {
    let (start, end) =
        (plan.clock.midnight(plan.first), plan.clock.midnight(plan.first + plan.days));
    let worn = worn(plan);
    let truth = (plan.first..plan.first + plan.days).map(|day| truth(plan, day, &worn)).collect();
    let mut csv = String::from(match plan.style {
        Style::Continental => "Zeit;Temperatur\n",
        Style::American => "Time\tTemperature\n",
        _ => "Time,Temperature\n",
    });
    let (mut at, mut index, mut sensor, mut noise) = (start, 0, None, 0x9e37_79b9_7f4a_7c15_u64);
    while at < end {
        while worn.get(index).is_some_and(|w: &(i64, i64)| w.1 <= at) {
            index += 1;
        }
        let on = worn.get(index).is_some_and(|w| w.0 <= at);
        let local = at + plan.clock.offset(at);
        let room = plan.climate.at(local.div_euclid(DAY), local);
        let goal = if on { 34.3 } else { room };
        let before = sensor.unwrap_or(goal);
        let part = plan.every as f64 / (plan.every + plan.lag) as f64;
        let now = before + (goal - before) * part;
        sensor = Some(now);
        noise ^= noise << 13;
        noise ^= noise >> 7;
        noise ^= noise << 17;
        let shown = now + (noise % 5) as f64 / 10.0 - 0.2;
        line(&mut csv, plan, at, shown);
        at += plan.every;
    }
    Made { csv, truth }
}

/// Every time worn, as instants, joined where one ends as the next begins.
fn worn(plan: &Plan) -> Vec<(i64, i64)> {
    let mut worn: Vec<(i64, i64)> = Vec::new();
    for day in plan.first - 2..plan.first + plan.days {
        let midnight = plan.clock.midnight(day);
        for (on, off) in (plan.habit)(day) {
            // Until midnight means until the next one, however long the day.
            let next = plan.clock.midnight(day + 1);
            let end = if off >= DAY { next + off - DAY } else { midnight + off };
            let start = midnight + on;
            match worn.last_mut().filter(|w| w.1 >= start) {
                Some(last) => last.1 = last.1.max(end),
                None => worn.push((start, end)),
            }
        }
    }
    worn
}

fn truth(plan: &Plan, day: i64, worn: &[(i64, i64)]) -> Truth {
    let (start, end) = (plan.clock.midnight(day), plan.clock.midnight(day + 1));
    let within = worn.iter().map(|w| (w.1.min(end) - w.0.max(start)).max(0)).sum();
    let (y, m, d) = date(day);
    let date = format!("{y:04}-{m:02}-{d:02}");
    Truth { date, worn: within, length: end - start, warmest: plan.climate.warmest(day) }
}

fn line(csv: &mut String, plan: &Plan, at: i64, celsius: f64) {
    let offset = if plan.style == Style::Utc { 0 } else { plan.clock.offset(at) };
    let local = at + offset;
    let ((y, m, d), second) = (date(local.div_euclid(DAY)), local.rem_euclid(DAY));
    let (hour, minute) = (second / 3600, second % 3600 / 60);
    let written = match plan.style {
        Style::Wall => writeln!(csv, "{y}-{m:02}-{d:02} {hour:02}:{minute:02},{celsius:.1}"),
        Style::Utc => writeln!(csv, "{y}-{m:02}-{d:02}T{hour:02}:{minute:02}:00Z,{celsius:.1}"),
        Style::Offset => {
            let (sign, size) = (if offset < 0 { '-' } else { '+' }, offset.abs());
            let (h, half) = (size / 3600, size % 3600 / 60);
            let zone = format!("{sign}{h:02}:{half:02}");
            writeln!(csv, "{y}-{m:02}-{d:02}T{hour:02}:{minute:02}:00{zone},{celsius:.1}")
        }
        Style::Continental => {
            let comma = format!("{celsius:.1}").replace('.', ",");
            writeln!(csv, "{d:02}.{m:02}.{y} {hour:02}:{minute:02};{comma}")
        }
        Style::American => {
            let (half, hour) = (if hour < 12 { "AM" } else { "PM" }, (hour + 11) % 12 + 1);
            writeln!(csv, "{m:02}/{d:02}/{y} {hour:02}:{minute:02} {half}\t{celsius:.1}")
        }
    };
    written.expect("a string takes every line");
}
