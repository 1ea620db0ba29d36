//! Wear from logs: hours against the generator's truth, clock changes, and
//! files as loggers really write them.

use chrono::NaiveDate;
use endplate::case::wear_log::{self, Spec};
use endplate::course::hours::Step;
use endplate::course::wear::{self, DayState, Log, Rule, Table, Warm};
use endplate::diag::{Code, Located, Place, Report, Severity};
use endplate::quantity::HoursPerDay;

use crate::synthetic::wear::{
    self as made, Clock, DAY, Made, Plan, Style, day_number, faithful, hot_summer, london,
    lord_howe, make, new_york, poor, temperate,
};

fn nowhere() -> Place {
    Place::whole("cases/a.yaml")
}

fn text(text: &str) -> Option<Located<String>> {
    Some(Located::new(text.to_string(), nowhere()))
}

fn read(csv: &str, spec: &Spec) -> (Option<Log>, Report) {
    let mut report = Report::default();
    let log = wear_log::read(csv, "cases/wear/a.csv", &nowhere(), spec, &mut report);
    assert_eq!(log.is_none(), report.has_errors(), "{report:#?}");
    (log, report)
}

fn spec(made: &Plan) -> Spec {
    Spec {
        time_zone: match made.style {
            Style::Offset => None,
            _ => text(made.clock.name),
        },
        time_format: (made.style == Style::American).then(|| text("%m/%d/%Y %I:%M %p")).flatten(),
        temperature_column: (made.style == Style::Continental)
            .then(|| text("Temperatur"))
            .flatten(),
        time_column: (made.style == Style::Continental).then(|| text("zeit")).flatten(),
        ..Spec::default()
    }
}

fn codes(report: &Report) -> Vec<(Code, u32)> {
    report.iter().map(|d| (d.code, d.place.as_ref().map_or(0, |p| p.line))).collect()
}

fn table(log: &Log) -> Table {
    wear::evaluate(log, &Rule::default(), &|_| true)
}

/// Reads a made log without complaint and evaluates it.
fn evaluated(plan: &Plan) -> (Made, Table) {
    let made = make(plan);
    let (log, report) = read(&made.csv, &spec(plan));
    assert!(report.is_empty(), "{report:#?}");
    (made, table(&log.expect("a log")))
}

fn year(clock: Clock, habit: &dyn Fn(i64) -> Vec<(i64, i64)>) -> Plan<'_> {
    Plan {
        first: day_number(2026, 1, 1),
        days: 365,
        every: 900,
        lag: 0,
        clock,
        climate: temperate(),
        habit,
        style: Style::Wall,
    }
}

#[test]
fn the_generator_knows_its_calendar() {
    // 2026-03-29 is day 20,541: 20,513 on 1 March (worked in wear_log::time).
    assert_eq!(day_number(2026, 3, 29), 20_541);
    assert_eq!(made::date(20_541), (2026, 3, 29));
    assert_eq!(made::date(day_number(2024, 2, 29)), (2024, 2, 29));
}

#[test]
fn hours_of_a_year_equal_the_truth_across_clock_changes() {
    for (clock, short, long) in [
        (london(), 23 * 3600, 25 * 3600),
        (new_york(), 23 * 3600, 25 * 3600),
        (lord_howe(), 84_600, 88_200),
    ] {
        let name = clock.name;
        for style in [Style::Wall, Style::Utc, Style::Continental, Style::American, Style::Offset] {
            let plan = Plan { style, ..year(clock.clone(), &faithful) };
            let (made, table) = evaluated(&plan);
            assert_eq!(table.days.len(), 365, "{name} {style:?}");
            for (day, truth) in table.days.iter().zip(&made.truth) {
                assert_eq!(day.date.to_string(), truth.date);
                assert_eq!(day.state, DayState::Counted, "{name} {style:?} {}", truth.date);
                assert_eq!(
                    (day.worn, day.length),
                    (truth.worn, truth.length),
                    "{name} {}",
                    truth.date
                );
            }
            let lengths: Vec<i64> =
                table.days.iter().map(|d| d.length).filter(|l| *l != DAY).collect();
            assert!(lengths.contains(&short) && lengths.contains(&long) && lengths.len() == 2);
        }
    }
}

#[test]
fn other_intervals_give_the_same_hours() {
    for (every, days) in [(60, 20), (300, 40), (1800, 365)] {
        let plan =
            Plan { every, days, first: day_number(2026, 3, 20), ..year(london(), &faithful) };
        let made = make(&plan);
        let (log, report) = read(&made.csv, &spec(&plan));
        assert!(report.is_empty(), "{report:#?}");
        let log = log.unwrap();
        assert_eq!(log.interval, every);
        for (day, truth) in table(&log).days.iter().zip(&made.truth) {
            assert_eq!(day.worn, truth.worn, "{} at {every} s", truth.date);
        }
    }
}

#[test]
fn a_sensor_that_lags_errs_less_than_a_published_evaluation() {
    // Don and doff events in temperature logs, 2012, PubMed 21540779: 0.37
    // hours a day; here within one sample of 15 minutes on every day.
    let plan = Plan { lag: 900, ..year(london(), &faithful) };
    let (made, table) = evaluated(&plan);
    for (day, truth) in table.days.iter().zip(&made.truth).filter(|(d, _)| d.counts()) {
        assert!((day.worn - truth.worn).abs() <= 900, "{}", truth.date);
    }
    assert!(table.counted().count() >= 364);
}

#[test]
fn a_hot_room_is_not_taken_for_wear() {
    for lag in [0, 900] {
        let plan = Plan { climate: hot_summer(), lag, ..year(london(), &poor) };
        let (made, table) = evaluated(&plan);
        let (mut hot, mut cool) = (0, 0);
        for (day, truth) in table.days.iter().zip(&made.truth) {
            if day.counts() {
                assert!((day.worn - truth.worn).abs() <= 1800, "{lag} {day:?} {truth:?}");
            }
            if truth.warmest > 30.5 {
                assert!(matches!(day.state, DayState::CannotTell(_)), "{day:?} {truth:?}");
                hot += 1;
            }
            if truth.warmest < 27.5 {
                assert!(day.counts(), "{day:?} {truth:?}");
                cool += 1;
            }
        }
        assert!(hot > 40 && cool > 100, "{hot} hot and {cool} cool days");
        // The break in August lies in the heat; one at a weekend can be told.
        assert!(table.longest_break.unwrap().seconds >= 2 * DAY);
    }
}

#[test]
fn days_without_wear_count_as_zero_and_days_without_samples_do_not() {
    let none = |_: i64| Vec::new();
    let plan = Plan { days: 6, ..year(london(), &none) };
    let made = make(&plan);
    // The third day without 00:00 to 02:00; the fourth without one sample.
    let kept = |line: &&str| {
        !line.starts_with("2026-01-03 00:")
            && !line.starts_with("2026-01-03 01:")
            && !line.starts_with("2026-01-04 07:15")
    };
    let csv = made.csv.lines().filter(kept).collect::<Vec<_>>().join("\r\n");
    let (log, report) = read(&csv, &spec(&plan));
    assert_eq!(codes(&report), [(Code::WearLogGap, 194)]);
    let message = &report.iter().next().unwrap().message;
    assert_eq!(message, "2 gaps of 2.3 h in all, the first: 2 h from 2026-01-03 00:00 UTC");
    let table = table(&log.unwrap());
    let states: Vec<_> = table.days.iter().map(|d| d.state).collect();
    use DayState::{Counted, Incomplete};
    assert_eq!(states, [Counted, Counted, Incomplete, Counted, Counted, Counted]);
    assert_eq!(table.counted().map(|d| d.worn).sum::<i64>(), 0);
    // Worked by hand: two days before, three after the gap, 07:30 onward on
    // the fourth: 16.5 h and two days of 24 h.
    assert_eq!(table.longest_break.unwrap().seconds, (16 * 3600 + 1800) + 2 * DAY);
}

#[test]
fn partial_first_and_last_days_are_not_counted() {
    let plan = Plan { days: 3, ..year(london(), &faithful) };
    let made = make(&plan);
    let csv: Vec<&str> = made.csv.lines().collect();
    let cut = [&csv[..1], &csv[40..csv.len() - 30]].concat().join("\n");
    let (log, _) = read(&cut, &spec(&plan));
    let states: Vec<_> = table(&log.unwrap()).days.iter().map(|d| d.state).collect();
    assert_eq!(states, [DayState::Partial, DayState::Counted, DayState::Partial]);
}

#[test]
fn the_thresholds_have_a_hysteresis() {
    let line = |n: i64, c: f64| {
        format!("2026-01-0{} {:02}:{:02},{c}\n", 1 + n / 96, n % 96 / 4, n % 4 * 15)
    };
    // Cool, on at 06:00, then to and fro between 29.2 and 31 until 18:00.
    let celsius = |n: i64| match n % 96 {
        24..72 if n % 2 == 0 => 34.0,
        24..72 => 29.2,
        _ => 20.0,
    };
    let csv: String = (0..192).map(|n| line(n, celsius(n))).collect();
    let csv = format!("time,temp\n{csv}");
    let (log, _) = read(&csv, &Spec { time_zone: text("UTC"), ..Spec::default() });
    let log = log.unwrap();
    let hours: Vec<f64> = table(&log).days.iter().map(|d| d.hours()).collect();
    assert_eq!(hours, [12.0, 12.0]);
    let single = Rule { taken_off_below: 30.0, ..Rule::default() };
    let table = wear::evaluate(&log, &single, &|_| true);
    assert_eq!(table.days[0].hours(), 6.0);
}

#[test]
fn a_brace_never_seen_cool_cannot_be_told() {
    let always = |_: i64| vec![(0, DAY)];
    let plan = Plan { days: 4, ..year(london(), &always) };
    let (_, table) = evaluated(&plan);
    assert!(table.days.iter().all(|d| d.state == DayState::CannotTell(Warm::NeverCool)));
    assert_eq!(table.longest_break, None);
}

#[test]
fn weeks_weekdays_and_steps_add_up() {
    let habit = |day: i64| {
        let weekend = matches!((day + 3).rem_euclid(7), 5 | 6);
        vec![(0, if weekend { 8 } else { 16 } * 3600)]
    };
    // 2026-01-05 is a Monday.
    let plan = Plan { first: day_number(2026, 1, 5), days: 21, ..year(london(), &habit) };
    let (_, table) = evaluated(&plan);
    let weeks = table.weeks();
    assert_eq!(weeks.len(), 3);
    // (5 x 16 + 2 x 8) / 7 = 13.714.
    assert!(weeks.iter().all(|(_, w)| w.days == 7 && (w.hours() - 96.0 / 7.0).abs() < 1e-9));
    assert_eq!(table.weekdays(false).unwrap().hours(), 16.0);
    assert_eq!(table.weekdays(true).unwrap().hours(), 8.0);
    let day = |d| NaiveDate::from_ymd_opt(2026, 1, d).unwrap();
    let steps =
        [(1, 16.0), (12, 20.0)].map(|(d, h)| Step { from: day(d), per_day: HoursPerDay::hours(h) });
    let by_step = table.by_step(&steps);
    assert_eq!(
        by_step.iter().map(|(s, m)| (s.unwrap(), m.days)).collect::<Vec<_>>(),
        [(0, 7), (1, 14)]
    );
    assert_eq!(table.met(&steps, |_| true), 5);
    assert_eq!(table.prescribed(&steps, |_| true), Some(7.0 * 16.0 + 14.0 * 20.0));
    assert_eq!(table.prescribed(&steps[1..], |_| true), None);
}

const HEAD: &str = "Time,Temperature\n";
const TWO: &str = "2026-01-01 00:00,20.5\n2026-01-01 00:15,20.6\n";

fn london_spec() -> Spec {
    Spec { time_zone: text("Europe/London"), ..Spec::default() }
}

#[test]
fn files_without_samples_say_so() {
    for (csv, code) in [
        ("", Code::WearLogEmpty),
        ("\n\n", Code::WearLogEmpty),
        (HEAD, Code::WearLogEmpty),
        ("Time,Temperature\n2026-01-01 00:00,20\n", Code::WearLogEmpty),
        ("Time,Temperature\n03/04/2026 00:00,20\n", Code::WearLogEmpty),
        ("Time,Temperature\n1970-01-01 00:00,20\n", Code::WearLogEmpty),
        ("When,Warmth\n2026-01-01 00:00,20\n", Code::WearLogColumn),
        (TWO, Code::WearLogColumn),
    ] {
        let (log, report) = read(csv, &london_spec());
        assert!(log.is_none());
        assert_eq!(report.iter().map(|d| d.code).collect::<Vec<_>>(), [code], "{csv:?}");
    }
}

#[test]
fn a_missing_column_is_named_with_its_nearest() {
    let spec = Spec { temperature_column: text("Temprature"), ..london_spec() };
    let (_, report) = read(&format!("{HEAD}{TWO}"), &spec);
    let fault = report.iter().next().unwrap();
    assert_eq!(fault.message, "no column `Temprature` among `Time`, `Temperature`");
    assert_eq!(fault.remedy.as_deref(), Some("did you mean `Temperature`?"));
    let spec = Spec { time_zone: text("Europe/Londn"), ..Spec::default() };
    let (_, report) = read(&format!("{HEAD}{TWO}"), &spec);
    let fault = report.iter().next().unwrap();
    assert_eq!(
        (fault.code, fault.remedy.as_deref()),
        (Code::TimeZoneUnknown, Some("did you mean `Europe/London`?"))
    );
    let spec = Spec { time_format: text("DD/MM/YYYY"), ..london_spec() };
    assert_eq!(codes(&read(&format!("{HEAD}{TWO}"), &spec).1), [(Code::TimeFormat, 1)]);
    assert_eq!(codes(&read(&format!("{HEAD}{TWO}"), &Spec::default()).1), [(Code::WearLogZone, 1)]);
}

#[test]
fn files_are_read_as_loggers_write_them() {
    let good = read(&format!("{HEAD}{TWO}"), &london_spec()).0.unwrap();
    for csv in [
        format!("\u{feff}{HEAD}{TWO}"),
        format!("{HEAD}{TWO}").replace('\n', "\r\n"),
        format!("Logger 7;battery, 80 %\nSerial: 00118\n\n{HEAD}{TWO}"),
        format!("# made by hand\n{HEAD}# and this\n{TWO}\n\n"),
        format!("{HEAD}{TWO}").replace(',', ";"),
        format!("{HEAD}{TWO}").replace(',', "\t"),
        format!("{HEAD}{TWO}").replace(',', ";").replace('.', ","),
        "Time,Temperature\n2026-01-01 00:00,\"20,5\"\n2026-01-01 00:15,\"20,6\"\n".to_string(),
        "No,Time,Temperature (°C),State\n1,2026-01-01 00:00,20.5,ok,\n2,2026-01-01 00:15,20.6,ok,\n".to_string(),
        "Date,Time,Temperature\n2026-01-01,00:00,20.5\n2026-01-01,00:15,20.6\n".to_string(),
        "Time,Temperature\n2026-01-01 00:15,20.6\n2026-01-01 00:00,20.5\n".to_string(),
    ] {
        let (log, report) = read(&csv, &london_spec());
        assert!(report.iter().all(|d| d.severity == Severity::Warning), "{csv} {report:#?}");
        assert_eq!(log.as_ref(), Some(&good), "{csv}");
    }
}

#[test]
fn what_is_odd_is_told_once_with_its_first_line_and_the_rest_is_used() {
    let mut csv = String::from(HEAD);
    for n in 0..200 {
        let minute = n * 15;
        csv += &format!(
            "2026-01-{:02} {:02}:{:02},2{}.5\n",
            1 + minute / 1440,
            minute / 60 % 24,
            minute % 60,
            n % 3
        );
    }
    csv += "2026-01-03 02:00,sensor error\n2026-01-03 02:15,\n\"2026-01-03 02:30,21\n";
    csv += "2026-01-03 02:45,-127.0\n2026-01-01 00:00,22.0\n2026-01-03 03:00,21.0\n";
    let (log, report) = read(&csv, &london_spec());
    assert_eq!(
        codes(&report),
        [
            (Code::WearLogLine, 202),
            (Code::WearLogTemperature, 205),
            (Code::WearLogBackwards, 206),
            (Code::WearLogRepeated, 206),
            (Code::WearLogGap, 207),
        ]
    );
    let first = report.iter().next().unwrap();
    assert_eq!(
        first.message,
        "3 lines cannot be read, the first: `sensor error` is no temperature"
    );
    let log = log.unwrap();
    assert_eq!(log.samples.len(), 201);
    assert!(log.samples.is_sorted_by(|a, b| a.at < b.at));
}

#[test]
fn fahrenheit_is_not_taken_for_celsius() {
    let csv = format!("{HEAD}2026-01-01 00:00,94.1\n2026-01-01 00:15,93.2\n2026-01-01 00:30,70\n");
    assert_eq!(codes(&read(&csv, &london_spec()).1), [(Code::WearLogFahrenheit, 2)]);
    let (log, report) = read(&csv, &Spec { fahrenheit: true, ..london_spec() });
    assert!(report.is_empty());
    // (93.2 - 32) x 5 / 9 = 34.
    assert!((log.unwrap().samples[1].celsius - 34.0).abs() < 1e-9);
}

#[test]
fn an_hour_that_comes_twice_is_told_apart_by_the_order() {
    // Autumn in New York, 2026-11-01: 01:00 to 01:45 stand twice.
    let csv: String =
        ["00:45", "01:00", "01:15", "01:30", "01:45", "01:00", "01:15", "01:30", "01:45", "02:00"]
            .iter()
            .map(|t| format!("2026-11-01 {t},20\n"))
            .collect();
    let new_york = Spec { time_zone: text("America/New_York"), ..Spec::default() };
    let (log, report) = read(&format!("{HEAD}{csv}"), &new_york);
    assert!(report.is_empty(), "{report:#?}");
    let at: Vec<i64> = log.unwrap().samples.iter().map(|s| s.at).collect();
    assert!(at.windows(2).all(|w| w[1] - w[0] == 900));
    // A clock that does not follow: an hour of spring that does not exist.
    let csv = format!("{HEAD}2026-03-08 01:45,20\n2026-03-08 02:00,20\n2026-03-08 02:15,20\n");
    let (log, report) = read(&csv, &new_york);
    assert_eq!(codes(&report), [(Code::WearLogClock, 3)]);
    assert_eq!(log.unwrap().interval, 900);
}

mod hostile {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn no_text_makes_the_reader_fail(text in "[-0-9:., ;\t\"\n\r#TZ+a-cµ/\u{feff}]{0,200}", head in any::<bool>()) {
            let csv = if head { format!("{HEAD}{text}") } else { text };
            let (log, _) = read(&csv, &london_spec());
            if let Some(log) = log {
                table(&log);
            }
        }

        #[test]
        fn any_samples_keep_within_their_days(
            steps in proptest::collection::vec((1i64..200_000, -200i32..600), 2..80),
        ) {
            let mut at = day_number(2026, 3, 27) * DAY;
            let mut csv = String::from(HEAD);
            for (step, tenths) in steps {
                at += step;
                let (y, m, d) = made::date(at.div_euclid(DAY));
                let s = at.rem_euclid(DAY);
                csv += &format!("{y}-{m:02}-{d:02}T{:02}:{:02}:{:02}Z,{}\n", s / 3600, s % 3600 / 60, s % 60, f64::from(tenths) / 10.0);
            }
            let mut report = Report::default();
            let log = wear_log::read(&csv, "a.csv", &nowhere(), &london_spec(), &mut report);
            if let Some(log) = log {
                let table = table(&log);
                for day in &table.days {
                    prop_assert!(0 <= day.worn && day.worn <= day.recorded && day.recorded <= day.length + log.interval);
                }
                let whole: i64 = (0..log.samples.len()).map(|i| log.end_of(i) - log.samples[i].at).sum();
                let told: i64 = table.days.iter().map(|d| d.recorded).sum();
                prop_assert!(told <= whole);
            }
        }
    }
}
