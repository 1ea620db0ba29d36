//! Facts of a log in a case: the ids that letters print, the days behind them,
//! and the day from which they are known.

use std::sync::Arc;

use chrono::{Days, NaiveDate};
use endplate::case::wear_log::{self, Spec};
use endplate::case::{Case, MeasuredHours, Wear, WearLog};
use endplate::diag::{Located, Place, Report};
use endplate::facts::{Facts, Missing, Value};
use endplate::letter::block::Letter;
use endplate::quantity::HoursPerDay;

use crate::support::demo::demo;
use crate::synthetic::wear::{DAY, Plan, Style, day_number, hot_summer, london, make, temperate};

fn nowhere() -> Place {
    Place::whole("cases/fw-0103.yaml")
}

fn located<T>(value: T) -> Located<T> {
    Located::new(value, nowhere())
}

fn day(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).unwrap()
}

/// Twenty hours on Monday to Friday, twelve at the weekend, none from 10 to 12
/// June 2025.
fn habit(day: i64) -> Vec<(i64, i64)> {
    if (day_number(2025, 6, 10)..=day_number(2025, 6, 12)).contains(&day) {
        return Vec::new();
    }
    let weekend = matches!((day + 3).rem_euclid(7), 5 | 6);
    vec![(0, if weekend { 12 } else { 20 } * 3600)]
}

/// Poor as in a summer in which the brace lies about.
fn never(_: i64) -> Vec<(i64, i64)> {
    Vec::new()
}

fn plan(habit: &dyn Fn(i64) -> Vec<(i64, i64)>) -> Plan<'_> {
    Plan {
        first: day_number(2025, 3, 17),
        days: 365,
        every: 900,
        lag: 0,
        clock: london(),
        climate: temperate(),
        habit,
        style: Style::Wall,
    }
}

/// The demo's full-time brace, prescribed for 20 hours from the first of
/// September, with a log instead of what was typed.
fn with_log(plan: &Plan, downloaded: NaiveDate) -> Case {
    let mut case = demo().case("fw-0103").clone();
    let brace = case.treatments.iter_mut().find(|t| *t.id == "b1").expect("the brace");
    let mut less = brace.hours[0].clone();
    less.from = located(day(2025, 9, 1));
    less.decided = None;
    less.per_day = located(HoursPerDay::hours(20.0));
    less.why = Some(located("Nights are hot.".to_string()));
    brace.hours.push(less);
    let spec = Spec { time_zone: Some(located("Europe/London".to_string())), ..Spec::default() };
    let mut report = Report::default();
    let csv = make(plan).csv;
    let log = wear_log::read(&csv, "cases/wear/b1.csv", &nowhere(), &spec, &mut report);
    assert!(report.is_empty(), "{report:#?}");
    brace.wear = Some(Wear {
        log: Some(WearLog { path: located("wear/b1.csv".into()), content: log.map(Arc::new) }),
        downloaded: Some(located(downloaded)),
        worn_above: None,
        taken_off_below: None,
        measured: Vec::new(),
        place: nowhere(),
    });
    case
}

/// The letter of 23 March 2026 and its facts.
fn letter(case: &Case) -> (Facts, String) {
    let written = demo().written(case, &case.letters[1]);
    (written.derived.facts, text(&written.letter))
}

fn text(letter: &Letter) -> String {
    let text = endplate::render::text::plain(letter);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn number(facts: &Facts, id: &str) -> f64 {
    let id = format!("treatment.current.wear.{id}");
    let fact = facts.get(&id).unwrap_or_else(|| panic!("no {id}"));
    fact.number().unwrap_or_else(|| panic!("{id}: {:?}", fact.value)).value()
}

fn date(facts: &Facts, id: &str) -> String {
    match &facts.get(&format!("treatment.current.wear.{id}")).unwrap().value {
        Value::Date(date) => date.to_string(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_log_fills_the_ids_that_letters_print() {
    let (facts, text) = letter(&with_log(&plan(&habit), day(2026, 3, 20)));
    // Delivered on Monday 17 March 2025: the first whole day is the 18th. The
    // log runs to Monday 16 March 2026.
    assert_eq!(date(&facts, "from"), "2025-03-18");
    assert_eq!(date(&facts, "to"), "2026-03-16");
    // 364 days from Tuesday to Monday are 52 weeks: 260 weekdays and 104 days
    // at weekends; 3 weekdays without wear.
    // (257 x 20 + 104 x 12) / 364 = 6388 / 364 = 17.549.
    assert_eq!(number(&facts, "days.counted"), 364.0);
    assert_eq!(number(&facts, "mean"), 17.5);
    assert_eq!(number(&facts, "days.weekday"), 19.8); // 257 x 20 / 260 = 19.77
    assert_eq!(number(&facts, "days.weekend"), 12.0);
    // 22 h to 31 August: 167 days (14 + 30 + 31 + 30 + 31 + 31); 20 h on 197.
    // (167 x 22 + 197 x 20) / 364 = 7614 / 364 = 20.918.
    assert_eq!(number(&facts, "prescribed"), 20.9);
    assert_eq!(number(&facts, "share"), 84.0); // 17.5 / 20.9 = 83.7
    assert_eq!(number(&facts, "steps.s1.days"), 167.0);
    assert_eq!(number(&facts, "steps.s2.days"), 197.0);
    assert_eq!(number(&facts, "steps.s1.met"), 0.0);
    // Monday 1 September to Monday 16 March: 28 weeks and a day, 141 weekdays.
    assert_eq!(number(&facts, "steps.s2.met"), 141.0);
    assert_eq!(number(&facts, "days.met_share"), 39.0); // 141 / 364 = 38.7
    assert_eq!(number(&facts, "days.unworn"), 3.0);
    // From 20:00 on Monday 9 June to 00:00 on Friday 13 June: 76 hours.
    assert_eq!(number(&facts, "days.longest_break"), 76.0);
    assert_eq!(number(&facts, "days.longest_break_days"), 3.2);
    assert_eq!(date(&facts, "days.longest_break_from"), "2025-06-09");
    assert_eq!(date(&facts, "days.longest_break_to"), "2025-06-12");
    assert_eq!(number(&facts, "spans.w1.mean"), number(&facts, "steps.s1.mean"));
    // The first week has 6 days: 4 x 20 and 2 x 12 hours, 104 / 6 = 17.33.
    assert_eq!(number(&facts, "weeks.w1.days"), 6.0);
    assert_eq!(number(&facts, "weeks.w1.mean"), 17.3);
    assert_eq!(date(&facts, "weeks.w2.from"), "2025-03-24");
    assert_eq!(number(&facts, "rule.interval"), 15.0);
    assert_eq!(number(&facts, "rule.worn_above"), 30.0);
    assert!(text.contains("worn above 30 °C, at a reading every 15 minutes"), "{text}");
    assert!(!text.contains("evaluated"), "{text}");
}

#[test]
fn a_log_is_unknown_before_its_download() {
    let mut case = with_log(&plan(&habit), day(2026, 3, 24));
    let mean = |case: &Case| {
        letter(case).0.get("treatment.current.wear.mean").unwrap().number().map(|n| n.value())
    };
    assert_eq!(mean(&case), None);
    // Without a day of download it counts from the last day it holds.
    let brace = case.treatments.iter_mut().find(|t| *t.id == "b1").unwrap();
    brace.wear.as_mut().unwrap().downloaded = None;
    assert_eq!(mean(&case), Some(17.5));
    case.letters[1].as_of = located(day(2026, 3, 15));
    assert_eq!(mean(&case), None);
}

#[test]
fn what_was_typed_for_other_days_is_added_and_for_the_same_days_is_not() {
    let later = Plan { first: day_number(2025, 9, 1), days: 100, ..plan(&habit) };
    let mut case = with_log(&later, day(2026, 3, 20));
    let typed = |from: NaiveDate, days: u64, hours: f64| MeasuredHours {
        from: located(from),
        to: located(from + Days::new(days - 1)),
        per_day: located(HoursPerDay::hours(hours)),
        downloaded: None,
        place: nowhere(),
    };
    let brace = case.treatments.iter_mut().find(|t| *t.id == "b1").unwrap();
    let wear = brace.wear.as_mut().unwrap();
    wear.measured = vec![typed(day(2025, 4, 1), 100, 10.0), typed(day(2025, 10, 1), 30, 3.0)];
    let (facts, _) = letter(&case);
    assert_eq!(date(&facts, "from"), "2025-04-01");
    assert_eq!(number(&facts, "spans.w1.mean"), 10.0);
    // 100 days from a Monday: 72 weekdays, 28 at weekends: 17.76 hours.
    assert_eq!(number(&facts, "spans.w2.mean"), 17.8);
    assert!(facts.get("treatment.current.wear.spans.w3.mean").is_none());
    assert_eq!(number(&facts, "mean"), 13.9); // (10 + 17.76) / 2
}

#[test]
fn a_log_that_shows_nothing_says_why() {
    let hot =
        Plan { first: day_number(2025, 7, 1), days: 30, climate: hot_summer(), ..plan(&never) };
    let (facts, text) = letter(&with_log(&hot, day(2026, 3, 20)));
    let fact = facts.get("treatment.current.wear.mean").unwrap();
    assert_eq!(
        fact.missing(),
        Some(&Missing::CannotTell(
            "no day of the log counts: 30 too warm to tell, 0 not logged as a whole, \
             0 not in the brace"
                .into()
        ))
    );
    assert!(text.contains("does not show how long it was worn"), "{text}");
    assert_eq!(number(&facts, "days.cannot_tell"), 30.0);
    assert_eq!(DAY, 86_400);
}

/// Days by hand: 99 of them in a log of 15-minute samples, all but the first
/// 30 or 60 lost but for their first hour.
fn mostly_lost(kept: usize) -> Case {
    let whole = Plan { first: day_number(2025, 9, 1), days: 99, ..plan(&habit) };
    let mut case = with_log(&whole, day(2026, 3, 20));
    let csv = make(&whole).csv;
    let day_lines = 96;
    let mut lines = csv.lines();
    let header = lines.next().unwrap();
    let lost = |n: &usize| n / day_lines < kept || n % day_lines < 4;
    let rows: Vec<&str> = lines.enumerate().filter(|(n, _)| lost(n)).map(|(_, l)| l).collect();
    let csv = format!("{header}\n{}\n", rows.join("\n"));
    let spec = Spec { time_zone: Some(located("Europe/London".to_string())), ..Spec::default() };
    let mut report = Report::default();
    let log = wear_log::read(&csv, "cases/wear/b1.csv", &nowhere(), &spec, &mut report);
    let brace = case.treatments.iter_mut().find(|t| *t.id == "b1").unwrap();
    let wear = brace.wear.as_mut().unwrap();
    wear.log = Some(WearLog { path: located("wear/b1.csv".into()), content: log.map(Arc::new) });
    case
}

#[test]
fn few_counted_days_do_not_speak_for_a_span() {
    let (facts, text) = letter(&mostly_lost(30));
    for item in ["mean", "share", "spans.w1.mean", "steps.s2.mean", "steps.s2.share"] {
        let fact = facts.get(&format!("treatment.current.wear.{item}"));
        let missing = fact.and_then(|f| f.missing());
        let Some(Missing::CannotTell(why)) = missing else { panic!("{item}: {fact:?}") };
        assert!(why.starts_with("counted on 30 of 9"), "{item}: {why}");
    }
    assert!(text.contains("counted on 30 of 9"), "{text}");
    assert!(!text.contains(" of the 20 hours"), "{text}");
}

#[test]
fn days_that_do_not_count_are_told_beside_the_mean() {
    let (facts, text) = letter(&mostly_lost(60));
    assert_eq!(number(&facts, "days.counted"), 60.0);
    assert!(facts.get("treatment.current.wear.share").unwrap().number().is_some());
    assert!(text.contains(", counted on 60 of 9"), "{text}");
}

#[test]
fn what_was_told_is_set_beside_what_was_measured() {
    let mut case = with_log(&plan(&habit), day(2026, 3, 20));
    let brace = case.treatments.iter_mut().find(|t| *t.id == "b1").unwrap();
    brace.reported = vec![endplate::case::ReportedHours {
        on: located(day(2026, 3, 16)),
        per_day: located(HoursPerDay::hours(21.0)),
        place: nowhere(),
    }];
    // 21 / 17.5.
    assert_eq!(number(&letter(&case).0, "reported_ratio"), 1.2);
}
