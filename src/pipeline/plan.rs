//! Which letters to make, and where each of them goes.

use super::output::Output;
use crate::case::{Case, LetterEntry, LetterKind};

/// A letter to make.
#[derive(Debug, Clone, Copy)]
pub struct Job<'a> {
    /// The case.
    pub case: &'a Case,
    /// Its entry.
    pub entry: &'a LetterEntry,
}

impl Job<'_> {
    /// `mr-0118/l1`, the letter's name in reports and in the index.
    pub fn name(&self) -> String {
        format!("{}/{}", self.case.id.value, self.entry.id.value)
    }

    /// Path below the output folder: `mr-0118/l1-progress-gp.pdf`. The id of a
    /// letter that follows says kind and reader itself.
    pub fn file(&self, output: Output) -> String {
        let kind = self.entry.kind.word().replace(' ', "-");
        let [id, kind, to] = [&self.entry.id.value, &kind, &self.entry.to.value].map(|p| safe(p));
        let what = format!("-{kind}-{to}");
        let said = self.entry.follows.is_some() && id.ends_with(&what);
        let what = if said { String::new() } else { what };
        format!("{}/{id}{what}.{}", safe(&self.case.id.value), output.ending())
    }
}

/// The letters of these cases, in the order of the files; of one kind only if
/// asked for.
pub fn plan<'a>(cases: impl Iterator<Item = &'a Case>, kind: Option<LetterKind>) -> Vec<Job<'a>> {
    let wanted = |entry: &&LetterEntry| kind.is_none_or(|kind| *entry.kind == kind);
    cases
        .flat_map(|case| case.letters.iter().filter(wanted).map(move |entry| Job { case, entry }))
        .collect()
}

/// An id as part of a file name: letters, digits, `-`, `_` and inner dots
/// stay, everything else is spelled out, so that two ids never meet in one
/// name and none leaves its folder.
pub(super) fn safe(id: &str) -> String {
    let mut out = String::new();
    for (i, c) in id.char_indices() {
        let plain = c.is_alphanumeric() || matches!(c, '-' | '_') || (c == '.' && i > 0);
        if plain {
            out.push(c);
        } else {
            out.push_str(&format!("%{:x}", u32::from(c)));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_id_leaves_its_folder() {
        assert_eq!(safe("mr-0118"), "mr-0118");
        assert_eq!(safe("../x"), "%2e.%2fx");
        assert_eq!(safe("a b"), "a%20b");
    }
}
