//! The three answers a rule can give, and the logic that joins them.

use serde::Serialize;

/// The answer of a rule. The order is that of Kleene's strong logic: `all` is
/// the least of its parts, `any` the greatest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// It does not hold.
    NotMet,
    /// The facts do not decide it.
    CannotTell,
    /// It holds.
    Met,
}

impl Verdict {
    /// The verdict of a comparison that could be made.
    pub fn of(holds: bool) -> Verdict {
        if holds { Verdict::Met } else { Verdict::NotMet }
    }

    /// Whether every part holds; one part that does not hold decides.
    pub fn all(parts: impl IntoIterator<Item = Verdict>) -> Verdict {
        parts.into_iter().min().unwrap_or(Verdict::Met)
    }

    /// Whether some part holds; one part that holds decides.
    pub fn any(parts: impl IntoIterator<Item = Verdict>) -> Verdict {
        parts.into_iter().max().unwrap_or(Verdict::NotMet)
    }

    /// The opposite; what cannot be told cannot be told either way.
    pub fn negated(self) -> Verdict {
        match self {
            Verdict::NotMet => Verdict::Met,
            Verdict::CannotTell => Verdict::CannotTell,
            Verdict::Met => Verdict::NotMet,
        }
    }

    /// The word that templates compare.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::NotMet => "not met",
            Verdict::CannotTell => "cannot tell",
            Verdict::Met => "met",
        }
    }
}

impl std::fmt::Display for Verdict {
    fn fmt(&self, f: &mut std::fmt::Formatter) -> std::fmt::Result {
        f.write_str(self.word())
    }
}
