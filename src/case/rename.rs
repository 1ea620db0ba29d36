//! Following the way to an entry through corrections that renamed a record.
//!
//! A record without an id is called by its day or its ends. Where these are
//! corrected, an address written before leads nowhere; the corrections tell
//! what the record was called.

use super::address::{self, Entry};
use super::field::CASE;
use super::{Case, Correction};

/// The entry of an address, whatever its record was called when the address
/// was written.
pub fn find(case: &Case, path: &str) -> Result<Entry, String> {
    address::find(&case.tree, &CASE, path).or_else(|why| {
        let now = today(&case.corrections, path);
        let changed = now.as_deref().map(|now| address::find(&case.tree, &CASE, now));
        changed.and_then(Result::ok).ok_or(why)
    })
}

/// The address as it reads after the corrections, in the order of their days;
/// `None` if none of them renames a record on the way.
fn today(corrections: &[Correction], path: &str) -> Option<String> {
    let mut ordered: Vec<&Correction> = corrections.iter().collect();
    ordered.sort_by_key(|c| *c.on);
    let renames = ordered.iter().filter_map(|c| renamed(&c.at, &c.was, &c.now));
    let first = parts(path);
    let last = renames.fold(first.clone(), |now, (old, new)| match now.strip_prefix(&old[..]) {
        Some(rest) => new.into_iter().chain(rest.iter().cloned()).collect(),
        None => now,
    });
    (last != first).then(|| last.join(" / "))
}

/// What a record was called before its corrections.
pub fn first(corrections: &[Correction], path: &str) -> String {
    let mut ordered: Vec<&Correction> = corrections.iter().collect();
    ordered.sort_by_key(|c| *c.on);
    let renames = ordered.iter().rev().filter_map(|c| renamed(&c.at, &c.was, &c.now));
    let back = |now: Vec<String>, (old, new): (Vec<String>, Vec<String>)| match now
        .strip_prefix(&new[..])
    {
        Some(rest) => old.into_iter().chain(rest.iter().cloned()).collect(),
        None => now,
    };
    renames.fold(parts(path), back).join(" / ")
}

fn parts(path: &str) -> Vec<String> {
    path.split('/').map(|part| part.trim().to_string()).collect()
}

/// The way to a record before and after a correction of its name.
fn renamed(at: &str, was: &str, now: &str) -> Option<(Vec<String>, Vec<String>)> {
    let mut new = parts(at);
    let field = new.pop()?;
    let (kind, name) = new.last()?.split_once(' ')?;
    let name = name.split('#').next()?.trim();
    let (was, now) = (was.trim(), now.trim());
    let former = match field.as_str() {
        "upper" => format!("{was}-{}", name.strip_prefix(now)?.strip_prefix('-')?),
        "lower" => format!("{}-{was}", name.strip_suffix(now)?.strip_suffix('-')?),
        "id" | "name" | "on" | "from" | "level" | "who" if name == now => was.to_string(),
        _ => return None,
    };
    let mut old = new.clone();
    *old.last_mut()? = format!("{kind} {former}");
    Some((old, new))
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;

    use super::*;
    use crate::diag::{Located, Place};

    #[test]
    fn the_first_name_of_a_record_is_worked_out() {
        let at = |text: &str| Located::new(text.to_string(), Place::whole("c.yaml"));
        let day = |d| Located::new(NaiveDate::from_ymd_opt(2026, 1, d).unwrap(), Place::whole("c"));
        let moved = |on, was: &str, now: &str| Correction {
            on: day(on),
            by: at("hk"),
            at: at(&format!("exam {now} / on")),
            was: at(was),
            now: at(now),
            because: None,
            place: Place::whole("c.yaml"),
        };
        let two = [moved(9, "2025-12-02", "2025-12-03"), moved(8, "2025-12-01", "2025-12-02")];
        assert_eq!(first(&two, "exam 2025-12-03"), "exam 2025-12-01");
        assert_eq!(first(&two, "exam 2025-12-04"), "exam 2025-12-04");
    }

    #[test]
    fn the_former_name_of_a_record_is_worked_out() {
        let old = |at, was, now| renamed(at, was, now).map(|(old, _)| old.join(" / "));
        let day = old("exam 2024-11-05 / on", "2024-11-04", "2024-11-05");
        assert_eq!(day.as_deref(), Some("exam 2024-11-04"));
        let end = old("film f1 / reading r1 / curve T6-T12 / upper", "T5", "T6");
        assert_eq!(end.as_deref(), Some("film f1 / reading r1 / curve T5-T12"));
        let end = old("film f1 / reading r1 / curve T6-T12 / lower", "T11", "T12");
        assert_eq!(end.as_deref(), Some("film f1 / reading r1 / curve T6-T11"));
        // A named curve and a film keep their names.
        assert_eq!(old("film f1 / reading r1 / curve thoracic / upper", "T5", "T6"), None);
        assert_eq!(old("film f1 / taken", "2024-11-04", "2024-11-05"), None);
    }
}
