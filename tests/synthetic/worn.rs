//! The sensor log of the demo clinic: a brace that was too warm for a summer.
//!
//! Written from this table alone; nothing here uses the program under test.
//! Times are those of the wall in Britain, so an hour is missing in March and
//! an hour comes twice in October.

use std::fmt::Write;

use chrono::{Duration, NaiveDate, NaiveDateTime, Timelike};

/// From a day on: hours of the wall in which the brace is off, how often a day
/// is left out, and the room.
struct Season {
    from: (u32, u32),
    off: &'static [(f64, f64)],
    skipped: f64,
    room: (f64, f64),
}

/// Temperature of the room by night and in the afternoon.
const SPRING: (f64, f64) = (18.5, 21.5);
const WARM: (f64, f64) = (22.5, 26.0);
const HOT: (f64, f64) = (28.2, 32.6);

const SEASONS: [Season; 9] = [
    Season { from: (3, 16), off: &[(7.0, 7.5), (16.0, 21.5)], skipped: 0.0, room: SPRING },
    Season { from: (5, 1), off: &[(7.0, 7.5), (15.5, 21.5)], skipped: 0.02, room: SPRING },
    Season { from: (6, 8), off: &[(6.5, 7.5), (15.5, 22.5)], skipped: 0.05, room: WARM },
    Season { from: (6, 29), off: &[(6.5, 23.0)], skipped: 0.2, room: WARM },
    Season { from: (7, 8), off: &[(4.0, 24.0)], skipped: 0.5, room: HOT },
    Season { from: (7, 20), off: &[(6.5, 23.0)], skipped: 0.25, room: WARM },
    Season { from: (8, 5), off: &[(3.0, 24.0)], skipped: 0.6, room: HOT },
    Season { from: (8, 17), off: &[(6.5, 22.5)], skipped: 0.2, room: WARM },
    Season { from: (9, 7), off: &[(7.0, 7.5), (15.5, 22.0)], skipped: 0.02, room: SPRING },
];

/// The first and the last sample, universal time.
fn span() -> (NaiveDateTime, NaiveDateTime) {
    let at = |month, day, hour| {
        NaiveDate::from_ymd_opt(2026, month, day).and_then(|d| d.and_hms_opt(hour, 0, 0))
    };
    (at(3, 16, 14).expect("a time"), at(11, 2, 9).expect("a time"))
}

/// The clock on the wall: an hour ahead from 29 March to 25 October 2026, both
/// at one o'clock universal time.
fn wall(utc: NaiveDateTime) -> NaiveDateTime {
    let change =
        |month, day| NaiveDate::from_ymd_opt(2026, month, day).and_then(|d| d.and_hms_opt(1, 0, 0));
    let summer = change(3, 29).expect("a time")..change(10, 25).expect("a time");
    if summer.contains(&utc) { utc + Duration::hours(1) } else { utc }
}

fn season(day: NaiveDate) -> &'static Season {
    use chrono::Datelike;
    let now = (day.month(), day.day());
    SEASONS.iter().rfind(|season| season.from <= now).expect("the first season begins in time")
}

/// A day's own way: later by so many hours, or left out.
#[derive(Clone, Copy)]
struct Whim {
    later: f64,
    left_out: bool,
}

/// Whether the brace is on, by the clock on the wall; a game on Saturdays
/// takes it off, and every day ends a little differently.
fn on(at: NaiveDateTime, whim: Whim) -> bool {
    use chrono::{Datelike, Weekday};
    let hour = f64::from(at.hour()) + f64::from(at.minute()) / 60.0;
    let off = season(at.date()).off.iter().any(|(a, b)| (*a..b + whim.later).contains(&hour));
    let game = at.weekday() == Weekday::Sat && (9.5..13.0).contains(&hour);
    !off && !game && !whim.left_out
}

/// The log: half-hourly samples in tenths of a degree.
pub fn log() -> String {
    let (mut utc, last) = span();
    let mut state = 1713_u64;
    let mut next = || {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut text = String::from("# synthetic sensor, invented\ntime,temperature\n");
    let (mut today, mut whim) = (utc.date(), Whim { later: 0.0, left_out: false });
    while utc <= last {
        let at = wall(utc);
        if at.date() != today {
            let later = [0.0, 0.5, 0.5, 1.0, 1.5][(next() * 5.0) as usize];
            whim = Whim { later, left_out: next() < season(at.date()).skipped };
            today = at.date();
        }
        let (night, noon) = season(at.date()).room;
        let far =
            (f64::from(at.hour()) - 15.0).abs().min(24.0 - (f64::from(at.hour()) - 15.0).abs());
        let room = noon - (noon - night) * far / 12.0;
        let celsius = if on(at, whim) { 34.4 + next() } else { room + next() * 0.6 };
        writeln!(text, "{},{celsius:.1}", at.format("%Y-%m-%d %H:%M"))
            .expect("a string takes all that is written");
        utc += Duration::minutes(30);
    }
    text
}
