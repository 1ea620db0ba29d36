//! How long a year of wear takes: 35,040 samples of 15 minutes across two
//! clock changes, from the text of the file to hours by day.
//!
//! `cargo bench --bench wear`. The bound of the house is 30 ms; the hours are
//! held against the generator's truth before anything is measured.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use endplate::case::wear_log::{self, Spec};
use endplate::course::wear::{Log, Rule, evaluate};
use endplate::diag::{Located, Place, Report};

#[path = "../synthetic/wear.rs"]
#[allow(dead_code)]
mod wear;

use wear::{Plan, Style, day_number, faithful, london, make, temperate};

// As in the program itself.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn read(csv: &str, spec: &Spec) -> Log {
    let mut report = Report::default();
    let home = Place::whole("a.yaml");
    let log = wear_log::read(csv, "a.csv", &home, spec, &mut report);
    assert!(report.is_empty(), "{report:#?}");
    log.expect("a log")
}

fn year(c: &mut Criterion) {
    let zone = Located::new("Europe/London".to_string(), Place::whole("a.yaml"));
    let pattern = Located::new("%m/%d/%Y %I:%M %p".to_string(), Place::whole("a.yaml"));
    let mut group = c.benchmark_group("wear");
    for (name, style) in [
        ("a year as ISO times", Style::Wall),
        ("a year with offsets", Style::Offset),
        ("a year by a pattern of times", Style::American),
    ] {
        let plan = Plan {
            first: day_number(2026, 1, 1),
            days: 365,
            every: 900,
            lag: 0,
            clock: london(),
            climate: temperate(),
            habit: &faithful,
            style,
        };
        let made = make(&plan);
        let spec = Spec {
            time_zone: Some(zone.clone()),
            time_format: (style == Style::American).then(|| pattern.clone()),
            ..Spec::default()
        };
        let evaluated = |csv: &str| evaluate(&read(csv, &spec), &Rule::default(), &|_| true);
        let table = evaluated(&made.csv);
        let equal = |(day, truth): (&endplate::course::wear::Day, &wear::Truth)| {
            day.counts() && day.worn == truth.worn && day.date.to_string() == truth.date
        };
        assert_eq!(table.days.len(), made.truth.len());
        assert!(table.days.iter().zip(&made.truth).all(equal), "other hours than the truth");
        group.bench_function(name, |b| b.iter(|| evaluated(black_box(&made.csv))));
    }
    group.finish();
}

criterion_group!(benches, year);
criterion_main!(benches);
