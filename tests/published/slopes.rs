//! Rates and slopes.

use chrono::NaiveDate;
use endplate::course::trend::{
    Dated, NoRate, least_squares, rate_per_year, slope_per_year, theil_sen,
};
use endplate::quantity::{Reported, Unit};

fn on(day: &str, degrees: i64) -> Dated {
    let on = NaiveDate::parse_from_str(day, "%Y-%m-%d").unwrap();
    Dated { on, value: Reported::whole(degrees, Unit::Degree) }
}

#[test]
fn median_of_pairwise_slopes() {
    // Months 0 6 12 18 24 with 22 24 23 30 28 degrees (computed by hand): the
    // ten slopes a year are -4 -2 1 2.67 3 4 5 5.33 6 14, their median 3.5.
    let years = [0.0, 0.5, 1.0, 1.5, 2.0];
    let points: Vec<_> = years.into_iter().zip([22.0, 24.0, 23.0, 30.0, 28.0]).collect();
    assert_eq!(theil_sen(&points), Some(3.5));
    assert_eq!(theil_sen(&points[..1]), None);
    assert_eq!(theil_sen(&[(1.0, 20.0), (1.0, 25.0)]), None);
}

#[test]
fn both_slopes_agree_with_a_statistics_library() {
    // scipy 1.17.1: theilslopes and linregress.
    let years = [0.0, 0.5, 1.0, 1.5, 2.0];
    let points: Vec<_> = years.into_iter().zip([22.0, 24.0, 23.0, 30.0, 28.0]).collect();
    assert!((least_squares(&points).unwrap() - 3.6).abs() < 1e-12);
    let years = [0.0, 0.31, 0.9, 1.0, 1.75, 2.6, 3.1];
    let angles = [20.0, 21.0, 19.0, 24.0, 26.0, 25.0, 31.0];
    let points: Vec<_> = years.into_iter().zip(angles).collect();
    assert!((theil_sen(&points).unwrap() - 3.4722222222222223).abs() < 1e-12);
    assert!((least_squares(&points).unwrap() - 3.1381902644921205).abs() < 1e-12);
    assert_eq!(least_squares(&[(1.0, 20.0), (1.0, 25.0)]), None);
    assert_eq!(least_squares(&[]), None);
}

#[test]
fn a_series_of_films() {
    // 730 days with +7: 7 / (730 / 365.25) = 3.502 a year.
    let series = [on("2023-01-10", 20), on("2025-01-09", 27)];
    assert_eq!(slope_per_year(&series).unwrap().digits(), "3.5");
    assert_eq!(slope_per_year(&series[..1]), None);
}

#[test]
fn no_rate_from_films_too_close() {
    let first = on("2025-08-31", 20);
    // Six months after 31 August is 28 February; worked on a calendar: 181 days.
    let close = rate_per_year(first, on("2026-02-27", 26), 6);
    assert_eq!(close, Err(NoRate::TooClose { days: 180, months: 6 }));
    assert_eq!(
        close.unwrap_err().to_string(),
        "180 days between the films, fewer than the 6 months for a rate"
    );
    // 6 / (181 / 365.25) = 12.108 a year.
    assert_eq!(rate_per_year(first, on("2026-02-28", 26), 6).unwrap().digits(), "12.1");
    assert!(rate_per_year(first, first, 0).is_err());
}
