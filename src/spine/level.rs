//! Vertebral levels, discs between them, and columns with other counts.
//!
//! Most people have twelve thoracic and five lumbar vertebrae; some have
//! eleven or thirteen, four or six. A level beyond the usual twelve and five
//! exists only in a [`Column`] that declares it.

use std::fmt;

use serde::Serialize;

/// A vertebra.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Cervical, 1 to 7.
    C(u8),
    /// Thoracic, 1 to 13.
    T(u8),
    /// Lumbar, 1 to 6.
    L(u8),
    /// Sacral; only the first is measured.
    S1,
}

impl Level {
    /// Reads `C7`, `T5`, `L1`, `S1`; capital letter, no leading zero.
    pub fn parse(text: &str) -> Option<Level> {
        let (region, number) = text.split_at_checked(1)?;
        if number.is_empty()
            || number.starts_with('0')
            || !number.bytes().all(|b| b.is_ascii_digit())
        {
            return None;
        }
        let number: u8 = number.parse().ok()?;
        match (region, number) {
            ("C", 1..=7) => Some(Level::C(number)),
            ("T", 1..=13) => Some(Level::T(number)),
            ("L", 1..=6) => Some(Level::L(number)),
            ("S", 1) => Some(Level::S1),
            _ => None,
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Level::C(n) => write!(f, "C{n}"),
            Level::T(n) => write!(f, "T{n}"),
            Level::L(n) => write!(f, "L{n}"),
            Level::S1 => write!(f, "S1"),
        }
    }
}

impl Serialize for Level {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.collect_str(self)
    }
}

/// How many thoracic and lumbar vertebrae a person has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Column {
    thoracic: u8,
    lumbar: u8,
}

impl Default for Column {
    fn default() -> Self {
        Column { thoracic: 12, lumbar: 5 }
    }
}

impl Column {
    /// A column with these counts: 11 to 13 thoracic, 4 to 6 lumbar.
    pub fn new(thoracic: u8, lumbar: u8) -> Option<Column> {
        ((11..=13).contains(&thoracic) && (4..=6).contains(&lumbar))
            .then_some(Column { thoracic, lumbar })
    }

    /// Number of thoracic vertebrae.
    pub fn thoracic(self) -> u8 {
        self.thoracic
    }

    /// Number of lumbar vertebrae.
    pub fn lumbar(self) -> u8 {
        self.lumbar
    }

    /// Whether this person has that vertebra.
    pub fn has(self, level: Level) -> bool {
        self.index(level).is_some()
    }

    /// Position counted from C1 = 0 downward, if this person has the level.
    pub fn index(self, level: Level) -> Option<usize> {
        let at = |base: u8, n: u8| Some(usize::from(base + n - 1));
        match level {
            Level::C(n) => at(0, n),
            Level::T(n) if n <= self.thoracic => at(7, n),
            Level::L(n) if n <= self.lumbar => at(7 + self.thoracic, n),
            Level::S1 => Some(usize::from(7 + self.thoracic + self.lumbar)),
            _ => None,
        }
    }

    /// All levels from C1 to S1, in order.
    pub fn levels(self) -> Vec<Level> {
        (1..=7)
            .map(Level::C)
            .chain((1..=self.thoracic).map(Level::T))
            .chain((1..=self.lumbar).map(Level::L))
            .chain([Level::S1])
            .collect()
    }

    /// The next vertebra below.
    pub fn below(self, level: Level) -> Option<Level> {
        self.levels().get(self.index(level)? + 1).copied()
    }

    /// Reads an apex: a vertebra (`T8`) or the disc between two neighbours
    /// (`T11-T12`).
    pub fn parse_apex(self, text: &str) -> Option<Apex> {
        match text.split_once('-') {
            None => Level::parse(text).filter(|l| self.has(*l)).map(Apex::Vertebra),
            Some((upper, lower)) => {
                let (upper, lower) = (Level::parse(upper)?, Level::parse(lower)?);
                (self.below(upper) == Some(lower)).then_some(Apex::Disc(upper, lower))
            }
        }
    }

    /// Position of an apex on the scale of [`Column::index`]; discs fall
    /// half-way.
    pub fn apex_index(self, apex: Apex) -> Option<f64> {
        match apex {
            Apex::Vertebra(level) => self.index(level).map(|i| i as f64),
            Apex::Disc(upper, _) => self.index(upper).map(|i| i as f64 + 0.5),
        }
    }
}

/// The most displaced vertebra or disc of a curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Apex {
    /// A vertebra.
    Vertebra(Level),
    /// The disc between two neighbours.
    Disc(Level, Level),
}

impl fmt::Display for Apex {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        match self {
            Apex::Vertebra(level) => level.fmt(f),
            Apex::Disc(upper, lower) => write!(f, "{upper}-{lower}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn extra_levels_exist_only_once_declared() {
        let usual = Column::default();
        let long = Column::new(13, 6).unwrap();
        assert!(!usual.has(Level::T(13)) && !usual.has(Level::L(6)));
        assert!(long.has(Level::T(13)) && long.has(Level::L(6)));
        assert!(!Column::new(11, 5).unwrap().has(Level::T(12)));
        assert_eq!(usual.below(Level::T(12)), Some(Level::L(1)));
        assert_eq!(usual.parse_apex("T11-T12"), Some(Apex::Disc(Level::T(11), Level::T(12))));
        assert_eq!(usual.parse_apex("T11-L1"), None);
        assert_eq!(usual.levels().len(), 7 + 12 + 5 + 1);
    }
}
