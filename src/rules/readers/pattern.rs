//! A dotted path of facts with `*` for any one name: `curves.*.now.cobb`.
//!
//! A pattern speaks of the path it spells and of everything below it. What a
//! letter asks for is a path whose steps are known, or, where a template is
//! read before there is a case, partly not: a step of a loop is any child.

use std::fmt;

/// A pattern.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pattern {
    steps: Vec<String>,
}

/// Any one name.
pub const ANY: &str = "*";

impl Pattern {
    /// The pattern of that spelling, or `None` if a step is empty or `*` is
    /// part of a longer name.
    pub fn parse(text: &str) -> Option<Pattern> {
        let steps: Vec<String> = text.split('.').map(str::to_string).collect();
        let good = |s: &String| s == ANY || (!s.is_empty() && s.chars().all(plain));
        steps.iter().all(good).then_some(Pattern { steps })
    }

    /// Its steps.
    pub fn steps(&self) -> &[String] {
        &self.steps
    }

    /// Whether it names one fact, without `*`.
    pub fn is_exact(&self) -> bool {
        !self.steps.iter().any(|s| s == ANY)
    }

    /// Whether it speaks of the path, whatever stands where a step of the
    /// path is not known (`None`).
    pub fn surely_covers(&self, path: &[Option<&str>]) -> bool {
        let covers = |(step, at): (&String, &Option<&str>)| step == ANY || *at == Some(step);
        self.steps.len() <= path.len() && self.steps.iter().zip(path).all(covers)
    }

    /// Whether it may speak of the path.
    pub fn may_cover(&self, path: &[Option<&str>]) -> bool {
        self.steps.len() <= path.len() && self.agrees(path)
    }

    /// Whether it may speak of something below the path.
    pub fn may_lie_below(&self, path: &[Option<&str>]) -> bool {
        self.steps.len() > path.len() && self.agrees(path)
    }

    /// Whether the steps that both have may be the same.
    fn agrees(&self, path: &[Option<&str>]) -> bool {
        let same = |(step, at): (&String, &Option<&str>)| {
            step == ANY || at.is_none_or(|at| at == ANY || at == step)
        };
        self.steps.iter().zip(path).all(same)
    }
}

/// Names of facts: letters and digits of any script, `_`, and `-` in names
/// that somebody typed.
fn plain(c: char) -> bool {
    c.is_alphanumeric() || c == '_' || c == '-'
}

impl fmt::Display for Pattern {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str(&self.steps.join("."))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn path(text: &str) -> Vec<Option<&str>> {
        text.split('.').map(|s| (s != "?").then_some(s)).collect()
    }

    #[test]
    fn a_pattern_speaks_of_its_path_and_what_lies_below() {
        let exam = Pattern::parse("exam.weight").unwrap();
        assert!(exam.surely_covers(&path("exam.weight")));
        assert!(exam.surely_covers(&path("exam.weight.known")));
        assert!(!exam.surely_covers(&path("exam")));
        assert!(!exam.surely_covers(&path("exam.weights")));
        assert!(exam.may_lie_below(&path("exam")));
        let curves = Pattern::parse("curves.*.now").unwrap();
        assert!(curves.surely_covers(&path("curves.thoracic.now.cobb")));
        assert!(curves.surely_covers(&path("curves.?.now")));
        assert!(curves.may_lie_below(&path("curves.?")));
    }

    #[test]
    fn a_step_that_is_not_known_is_covered_only_perhaps() {
        let exam = Pattern::parse("exam.weight").unwrap();
        assert!(!exam.surely_covers(&path("exam.?")));
        assert!(exam.may_cover(&path("exam.?")));
        assert!(!exam.may_cover(&path("plan.?")));
    }

    #[test]
    fn only_whole_names_are_left_open() {
        for bad in ["", "exam.", ".exam", "exam..on", "exam.w*", "exam weight"] {
            assert!(Pattern::parse(bad).is_none(), "{bad}");
        }
        assert_eq!(Pattern::parse("curves.*.now").unwrap().to_string(), "curves.*.now");
        assert!(!Pattern::parse("curves.*.now").unwrap().is_exact());
    }
}
