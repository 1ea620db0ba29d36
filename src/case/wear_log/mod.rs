//! Temperature logs of braces: from any table of times and temperatures to
//! samples in the order of time.
//!
//! A log is lines of fields between commas, semicolons or tabs under a header
//! that names the columns; lines before the header are skipped. The case names
//! the columns, the pattern of the times and the time zone where the file does
//! not make them plain. Lines, clocks and sensors fail: what cannot be used is
//! left out and told once for each kind of fault, with the first place and the
//! count. Knows nothing of treatments and opens no file.
//!
//! `table` finds header and fields, `time` reads one time, `zone` places
//! it among the clock changes, `order` looks for gaps and jumps.

mod order;
mod table;
mod time;
mod zone;

use std::sync::Arc;

use super::suggest::{did_you_mean, quote};
use crate::course::wear::{Log, Sample};
use crate::diag::{Code, Diagnostic, Located, Place, Report};
use time::{Format, Stamp};

/// Coldest and warmest temperature that a sensor near a person can log, in
/// degrees Celsius: a winter's night in a car, a car in the sun.
const POSSIBLE: (f64, f64) = (-30.0, 70.0);

/// What the case says about a log.
#[derive(Debug, Clone, Default)]
pub struct Spec {
    /// Column of the date, if it stands apart from the time of day.
    pub date_column: Option<Located<String>>,
    /// Column of the time.
    pub time_column: Option<Located<String>>,
    /// Column of the temperature.
    pub temperature_column: Option<Located<String>>,
    /// Pattern of the times, as in `%d/%m/%Y %H:%M`.
    pub time_format: Option<Located<String>>,
    /// IANA name of the time zone.
    pub time_zone: Option<Located<String>>,
    /// Whether the temperatures are degrees Fahrenheit.
    pub fahrenheit: bool,
}

/// One line that holds a time and a temperature.
#[derive(Debug, Clone, Copy)]
struct Row {
    stamp: Stamp,
    celsius: f64,
    line: Line,
}

/// Where a line stands.
#[derive(Debug, Clone, Copy, Default)]
struct Line {
    number: u32,
    start: usize,
    end: usize,
}

/// A kind of fault: how often, and where first.
#[derive(Debug, Default)]
struct Tally {
    count: usize,
    first: Option<(Line, String)>,
}

impl Tally {
    fn add(&mut self, line: Line, message: impl FnOnce() -> String) {
        if self.first.is_none() {
            self.first = Some((line, message()));
        }
        self.count += 1;
    }

    /// Reports the kind once: how many, then what the first of them is.
    fn tell(self, code: Code, what: (&str, &str), file: &Arc<str>, report: &mut Report) {
        let Some((line, message)) = self.first else { return };
        let text = match self.count {
            1 => format!("{}: {message}", what.0),
            n => format!("{n} {}, the first: {message}", what.1),
        };
        report.add(code, &line.place(file), text);
    }
}

impl Line {
    fn place(self, file: &Arc<str>) -> Place {
        Place { file: file.clone(), line: self.number, column: 1, start: self.start, end: self.end }
    }
}

/// Reads a log. Every fault goes to the report; without a single usable
/// interval, or where times or columns are in doubt, there is no log. `home`
/// is where the case names the file.
pub fn read(text: &str, file: &str, home: &Place, spec: &Spec, report: &mut Report) -> Option<Log> {
    let file: Arc<str> = file.into();
    let zone = zone::of(spec, report);
    let format = time::format(spec, report);
    let header = table::header(text, &file, home, spec, report);
    let (zone, format, header) = (zone?, format?, header?);
    let mut rows = rows(text, &header, &format, &file, home, report)?;
    temperatures(&mut rows, spec, &file, home, report)?;
    if order::newest_first(&rows) {
        rows.reverse();
    }
    let zone = zone.or_written(&rows);
    let placed = zone::place(rows, &zone, &file, home, report)?;
    let samples = order::clean(placed, &file, report);
    let (Some(first), Some(interval)) = (samples.first(), order::interval(&samples)) else {
        let message = "the log holds fewer than two samples, so it has no interval";
        report.add(Code::WearLogEmpty, &Place::whole(&file), message);
        return None;
    };
    let last = samples[samples.len() - 1].at;
    let days = zone.days(first.at, last);
    let samples: Vec<Sample> = samples.iter().map(order::Placed::sample).collect();
    Some(Log { samples, days, interval, zone: zone.words() })
}

/// Every line with a time and a temperature; the others are counted.
fn rows(
    text: &str,
    header: &table::Header,
    format: &Format,
    file: &Arc<str>,
    home: &Place,
    report: &mut Report,
) -> Option<Vec<Row>> {
    let (mut rows, mut bad) = (Vec::with_capacity(text.len() / 24), Tally::default());
    table::each(text, header, |line, cells| {
        let read = cells.and_then(|cells| row(line, cells, format));
        match read {
            Ok(row) => rows.push(row),
            Err(why) => bad.add(line, || why),
        }
    });
    if rows.is_empty() {
        let place = bad.first.as_ref().map_or(Place::whole(file), |(line, _)| line.place(file));
        let message = match &bad.first {
            Some((_, why)) => format!("no line of the log can be read: {why}"),
            None => "the log holds no sample".to_string(),
        };
        let fault = Diagnostic::new(Code::WearLogEmpty, Some(place), message);
        report.push(fault.related(home.clone(), "named here"));
        return None;
    }
    let what = ("a line cannot be read", "lines cannot be read");
    bad.tell(Code::WearLogLine, what, file, report);
    Some(rows)
}

fn row(line: Line, cells: table::Cells, format: &Format) -> Result<Row, String> {
    let stamp = match cells.date {
        Some(date) => time::stamp(&format!("{date} {}", cells.time), format),
        None => time::stamp(cells.time, format),
    };
    let celsius = number(cells.temperature)
        .ok_or_else(|| format!("{} is no temperature", quote(cells.temperature)));
    Ok(Row { stamp: stamp?, celsius: celsius?, line })
}

/// A temperature with a decimal point or a decimal comma.
fn number(text: &str) -> Option<f64> {
    let text = text.trim().trim_end_matches(['C', 'F', '°', ' ']);
    let plain = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+');
    if text.is_empty() || !text.chars().all(plain) {
        return None;
    }
    if text.contains(',') {
        return text.replacen(',', ".", 1).parse().ok();
    }
    text.parse().ok()
}

/// Turns temperatures to Celsius and leaves out impossible ones. A log that
/// reads like Fahrenheit is refused: taken for Celsius it would show a brace
/// never taken off.
fn temperatures(
    rows: &mut Vec<Row>,
    spec: &Spec,
    file: &Arc<str>,
    home: &Place,
    report: &mut Report,
) -> Option<()> {
    if spec.fahrenheit {
        rows.iter_mut().for_each(|row| row.celsius = (row.celsius - 32.0) / 1.8);
    } else if rows.iter().filter(|r| (55.0..130.0).contains(&r.celsius)).count() * 2 > rows.len() {
        let (low, high) = rows
            .iter()
            .fold((f64::MAX, f64::MIN), |(low, high), r| (low.min(r.celsius), high.max(r.celsius)));
        let message = format!("temperatures from {low} to {high} read like degrees Fahrenheit");
        let place = rows[0].line.place(file);
        let fault = Diagnostic::new(Code::WearLogFahrenheit, Some(place), message);
        report.push(fault.related(home.clone(), "named here"));
        return None;
    }
    let mut impossible = Tally::default();
    rows.retain(|row| {
        let possible = (POSSIBLE.0..=POSSIBLE.1).contains(&row.celsius);
        if !possible {
            impossible.add(row.line, || format!("{:.1} degC", row.celsius));
        }
        possible
    });
    let what = ("an impossible temperature", "impossible temperatures");
    impossible.tell(Code::WearLogTemperature, what, file, report);
    Some(())
}

/// A remedy that offers the nearest of some names, or all of them.
fn nearest(typed: &str, names: &[&str], key: &str) -> String {
    match did_you_mean(typed, names) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("write `{key}:` with one of: {}", names.join(", ")),
    }
}
