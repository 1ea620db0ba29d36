//! The clinic's care protocol and red flags, and what they say of a case.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::embedded::{self, PROTOCOL, RED_FLAGS};
use super::io::Folder;
use crate::case::{Case, Clinic};
use crate::diag::{Diagnostic, Report};
use crate::facts::{Facts, derive};
use crate::rules::catalogue;
use crate::rules::protocol::{self, Protocol};
use crate::rules::red_flags::{self, RedFlags};

/// The rules of care in force, read once; a file with faults is absent, and
/// its faults are reported.
pub(super) struct Care {
    protocol: Option<Protocol>,
    red_flags: Option<RedFlags>,
    /// Texts of the files by name below `templates/`, for snippets.
    pub texts: BTreeMap<String, String>,
}

impl Care {
    /// Reads the clinic's files, or the embedded ones.
    pub fn open(folder: &Folder, report: &mut Report) -> Care {
        let texts = embedded::care_rules(folder, report);
        let shown = |name: &str| format!("templates/{name}");
        let text = |name: &str| texts.get(name).map_or("", String::as_str);
        let (protocol, flags) = (PROTOCOL.0, RED_FLAGS.0);
        let kind = &catalogue::kind;
        let protocol = protocol::read(text(protocol), &shown(protocol), kind, report);
        let red_flags = red_flags::read(text(flags), &shown(flags), kind, report);
        Care { protocol, red_flags, texts }
    }

    /// Writes what the editions in force on a letter's date say.
    pub fn facts(&self, facts: &mut Facts, known: &Case, clinic: &Clinic, day: NaiveDate) {
        let none = |what: &str, read: bool| match read {
            true => format!("no edition of the {what} is in force on {day}"),
            false => format!("the file of the {what} has faults"),
        };
        match self.protocol.as_ref().and_then(|p| Some((p, p.edition_on(day)?))) {
            Some((protocol, edition)) => protocol::write(facts, known, protocol, edition),
            None => protocol::write_absent(facts, &none("care protocol", self.protocol.is_some())),
        }
        match self.red_flags.as_ref().and_then(|r| Some((r, r.edition_on(day)?))) {
            Some((set, edition)) => red_flags::write(facts, known, clinic, set, edition),
            None => red_flags::write_absent(facts, &none("red flags", self.red_flags.is_some())),
        }
    }

    /// Ids of the red flags of a letter that nobody answered, by the rule of
    /// [`Care::check`]: an answer given after the letter's day is one.
    pub fn open_flags(&self, facts: &Facts, whole: &Case, day: NaiveDate) -> Vec<String> {
        let edition = self.red_flags.as_ref().and_then(|r| r.edition_on(day));
        let open = edition.map(|edition| red_flags::open(edition, facts, whole));
        open.unwrap_or_default().iter().map(|f| f.flag.id.value.clone()).collect()
    }

    /// Warns on each day on which a letter is written, and on the day of the
    /// last record; each warning once.
    pub fn check(&self, case: &Case, clinic: &Clinic, report: &mut Report) {
        let mut found = Report::default();
        let mut warned = red_flags::Warned::new();
        for (as_of, dated) in days(case) {
            let derived = derive(case, clinic, as_of, None);
            let (mut facts, known) = (derived.facts, derived.known);
            self.facts(&mut facts, &known, clinic, dated);
            protocol::check(&facts, &known, &mut found);
            if let Some(edition) = self.red_flags.as_ref().and_then(|r| r.edition_on(dated)) {
                red_flags::check(edition, &facts, case, &mut warned);
                red_flags::unasked(edition, &known, &mut found);
                red_flags::unknown(edition, case, &mut found);
            }
        }
        warned.into_values().for_each(|d| found.push(d));
        red_flags::quoted(case, &mut found);
        let once: Vec<Diagnostic> = found.sorted().into_iter().cloned().collect();
        once.into_iter().for_each(|d| report.push(d));
    }
}

/// The days of the letters' knowledge, each with the date of its letter; the
/// day of the last record stands for today.
fn days(case: &Case) -> Vec<(NaiveDate, NaiveDate)> {
    let dated = |l: &crate::case::LetterEntry| l.dated.as_ref().map_or(l.as_of.value, |d| d.value);
    let mut days: Vec<_> = case.letters.iter().map(|l| (l.as_of.value, dated(l))).collect();
    let films = case.films.iter().map(|f| f.taken.value);
    let read = case.films.iter().flat_map(|f| &f.readings).map(|r| r.read.value);
    let exams = case.exams.iter().map(|e| e.on.value);
    let plans = case.plans.iter().map(|p| p.on.value);
    let answers = case.answers.iter().map(|a| a.on.value);
    days.extend(films.chain(read).chain(exams).chain(plans).chain(answers).max().map(|d| (d, d)));
    days.sort_unstable();
    days.dedup();
    days
}
