//! Wear of braces: the published rule, its adherence, and how far a family's
//! word lies from a sensor.

use chrono::NaiveDate;
use endplate::course::wear::table::reported;
use endplate::course::wear::{CivilDay, Log, Rule, Sample, evaluate};
use endplate::quantity::{Reported, Unit};

/// Days of 24 hours from 2026-01-01 UTC, logged every half an hour, worn for
/// the first samples of each.
fn log(days: u64, worn: usize) -> Log {
    let start = NaiveDate::from_ymd_opt(2026, 1, 1).unwrap();
    let at = |day: u64| 1_767_225_600 + day as i64 * 86_400;
    let samples = (0..days).flat_map(|day| {
        (0..48).map(move |n| Sample {
            at: at(day) + n as i64 * 1800,
            celsius: if n < worn { 33.0 } else { 21.0 },
        })
    });
    let civil =
        |day| CivilDay { date: start + chrono::Days::new(day), start: at(day), end: at(day + 1) };
    let days = (0..days).map(civil).collect();
    Log { samples: samples.collect(), days, interval: 1800, zone: "UTC".to_string() }
}

#[test]
fn hasler_2010() {
    // Hasler et al., J Child Orthop 2010;4:211, PMC2866847 (read): worn above
    // 30 degrees, samples every 30 minutes, 14 days are 672 samples.
    assert_eq!(Rule::default().worn_above, 30.0);
    let log = log(14, 25);
    assert_eq!(log.samples.len(), 672);
    // Hours are samples worn times the interval: 25 x 0.5 = 12.5 a day.
    let table = evaluate(&log, &Rule::default(), &|_| true);
    assert!(table.days.iter().all(|d| d.counts() && d.hours() == 12.5));
    // 54 per cent of 23 hours: 0.54 x 23 = 12.42, so 12.4 hours a day.
    assert_eq!(reported(0.54 * 23.0), Reported::round(12.4, 1, Unit::HourPerDay));
}

#[test]
fn thirty_degrees_itself_is_not_above_thirty() {
    // Hasler 2010 (read): "worn if > 30 degrees Celsius".
    let mut log = log(1, 24);
    log.samples.iter_mut().filter(|s| s.celsius > 30.0).for_each(|s| s.celsius = 30.0);
    assert_eq!(evaluate(&log, &Rule::default(), &|_| true).days[0].worn, 0);
}

#[test]
fn error_of_an_evaluation() {
    // Don and doff events in temperature logs, 2012, PubMed 21540779 (read):
    // total 98.5 per cent right, 0.37 hours a day. 0.37 / 24 = 1.54 per cent.
    let off = Reported::round(0.37 / 24.0 * 100.0, 2, Unit::Percent);
    assert_eq!(off.value(), 1.54);
    assert_eq!(Reported::round(100.0 - 1.54, 1, Unit::Percent).value(), 98.5);
}

#[test]
fn told_against_measured() {
    // Force and temperature sensors in braces, pilot study, 2024 (read): said
    // 17.8, sensor 13.3 hours a day. 17.8 / 13.3 = 1.338.
    let (told, measured) = (reported(17.8), reported(13.3));
    assert_eq!(Reported::round(told.value() / measured.value(), 2, Unit::One).value(), 1.34);
}
