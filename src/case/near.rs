//! What may have been meant by an address that names no entry.

use super::address;
use super::field::CASE;
use super::node::Node;
use super::suggest::did_you_mean;

/// Entries near an address that names none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Near {
    /// One is spelled much like it.
    Meant(String),
    /// It names a record, or the end of a way: these entries fit, with what
    /// they hold.
    Fit(Vec<(String, String)>),
    /// Nothing is near.
    Nothing,
}

/// Looks for what was meant.
pub fn near(root: &Node, typed: &str) -> Near {
    let typed: Vec<&str> = typed.split('/').map(str::trim).filter(|p| !p.is_empty()).collect();
    let typed = typed.join(" / ");
    let entries = listed(root, "");
    let (below, end) = (format!("{typed} / "), format!(" / {typed}"));
    let fits = |path: &str| path.starts_with(&below) || path.ends_with(&end);
    let fit: Vec<_> = entries.iter().filter(|(path, _)| fits(path)).cloned().collect();
    if !fit.is_empty() {
        return Near::Fit(fit);
    }
    let paths: Vec<&str> = entries.iter().map(|(path, _)| path.as_str()).collect();
    match did_you_mean(&typed, &paths) {
        Some(path) => Near::Meant(path.to_string()),
        // What does exist on the way there.
        None => on_the_way(root, &typed),
    }
}

/// What does exist on the way to an entry that does not, its like first.
fn on_the_way(root: &Node, typed: &str) -> Near {
    let Some((above, last)) = typed.rsplit_once(" / ") else { return Near::Nothing };
    let end = format!(" / {last}");
    match near(root, above) {
        Near::Fit(mut list) => {
            list.sort_by_key(|(path, _)| !path.ends_with(&end));
            Near::Fit(list)
        }
        _ => Near::Nothing,
    }
}

/// Every entry with its value, except of corrections, whose address begins so.
pub fn listed(root: &Node, start: &str) -> Vec<(String, String)> {
    let all = address::entries(root, &CASE).into_iter();
    all.filter(|(path, _)| !path.starts_with("correction ") && path.starts_with(start))
        .map(|(path, entry)| (path, entry.text))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::edit::parse;

    const TEXT: &str = "films: [{id: f1, taken: 2024-11-04, readings: [{id: r1, by: hk, curves: \
        [{name: thoracic, cobb: 19 deg}]}]}, {id: f2, taken: 2025-02-10}]\n";

    #[test]
    fn what_was_meant_is_found() {
        let root = parse(TEXT).unwrap();
        let fit = |typed: &str| match near(&root, typed) {
            Near::Fit(list) => list.into_iter().map(|(path, _)| path).collect::<Vec<_>>(),
            other => vec![format!("{other:?}")],
        };
        let cobb = "film f1 / reading r1 / curve thoracic / cobb";
        let meant = Near::Meant(cobb.to_string());
        assert_eq!(near(&root, "film f1 / reading r1 / curve thoracc / cob"), meant);
        assert_eq!(near(&root, "Film F1/Reading R1/Curve Thoracic/Cobb"), meant);
        assert_eq!(fit("curve thoracic / cobb"), [cobb]);
        assert_eq!(fit("taken"), ["film f1 / taken", "film f2 / taken"]);
        assert_eq!(fit("film f2"), ["film f2 / id", "film f2 / taken"]);
        // No such entry: what the record does hold.
        assert_eq!(fit("film f2 / magnification"), ["film f2 / id", "film f2 / taken"]);
        let list = fit("film f1 / reading r1 / curve neck / cobb");
        assert_eq!((list.len(), list[0].as_str()), (4, cobb));
        assert_eq!(near(&root, "weather"), Near::Nothing);
    }
}
