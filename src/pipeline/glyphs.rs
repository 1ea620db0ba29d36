//! Characters that no font has, found in a case file before any letter is made.
//!
//! Only the printable text of values counts; comments may hold anything.

use crate::case::node::{self, Node, Shape};
use crate::diag::{Code, Diagnostic, Report};
use crate::render::Coverage;

/// One fault for each value that holds such characters, with its field.
pub fn check(text: &str, file: &str, coverage: &Coverage, report: &mut Report) {
    // Most files need no second look.
    if text.chars().all(|c| c.is_ascii() || coverage.has(c)) {
        return;
    }
    if let Some(root) = node::parse(text, file, &mut Report::default()) {
        walk(&root, &mut Vec::new(), coverage, report);
    }
}

fn walk(node: &Node, path: &mut Vec<String>, coverage: &Coverage, report: &mut Report) {
    match &node.shape {
        Shape::Map(entries) => {
            for entry in entries {
                path.push(entry.key.value.clone());
                walk(&entry.value, path, coverage, report);
                path.pop();
            }
        }
        Shape::List(items) => items.iter().for_each(|item| walk(item, path, coverage, report)),
        Shape::Scalar { text, .. } => {
            let mut lacking: Vec<char> = Vec::new();
            for c in text.chars().filter(|c| !c.is_whitespace() && !coverage.has(*c)) {
                if !lacking.contains(&c) {
                    lacking.push(c);
                }
            }
            if !lacking.is_empty() {
                let named: Vec<String> =
                    lacking.iter().map(|c| format!("{c} (U+{:04X})", u32::from(*c))).collect();
                let message = format!("no font has {} in `{}`", named.join(", "), path.join(" / "));
                report.push(Diagnostic::new(Code::MissingGlyph, Some(node.place.clone()), message));
            }
        }
        Shape::Empty | Shape::Refused => {}
    }
}
