//! Content digests: what was the same stays the same, what changed shows.
//!
//! A [`Digest`] is BLAKE3 over bytes. A [`Digester`] takes named parts, each
//! with its length, so that two different lists of parts never give the same
//! bytes. Knows nothing of what it digests.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// A digest of 256 bits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// The digest of these bytes.
    pub fn of(bytes: &[u8]) -> Digest {
        Digest(*blake3::hash(bytes).as_bytes())
    }

    /// The first sixteen characters: short enough to print and to name a file,
    /// long enough that nobody meets two of them by chance.
    pub fn short(&self) -> String {
        self.to_string()[..16].to_string()
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        write!(f, "Digest({self})")
    }
}

/// A text that is no digest of 64 hexadecimal characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoDigest;

impl fmt::Display for NoDigest {
    fn fmt(&self, f: &mut fmt::Formatter) -> fmt::Result {
        f.write_str("not a digest of 64 hexadecimal characters")
    }
}

impl FromStr for Digest {
    type Err = NoDigest;

    fn from_str(text: &str) -> Result<Digest, NoDigest> {
        let lower = |b: u8| matches!(b, b'0'..=b'9' | b'a'..=b'f');
        if text.len() != 64 || !text.bytes().all(lower) {
            return Err(NoDigest);
        }
        let mut bytes = [0; 32];
        for (at, byte) in bytes.iter_mut().enumerate() {
            let pair = &text[2 * at..2 * at + 2];
            *byte = u8::from_str_radix(pair, 16).map_err(|_| NoDigest)?;
        }
        Ok(Digest(bytes))
    }
}

impl Serialize for Digest {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Digest {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Digest, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

/// A digest over named parts.
#[derive(Debug, Default, Clone)]
pub struct Digester {
    hasher: blake3::Hasher,
}

impl Digester {
    /// Adds a part.
    pub fn part(&mut self, name: &str, bytes: &[u8]) -> &mut Self {
        for piece in [name.as_bytes(), bytes] {
            self.hasher.update(&(piece.len() as u64).to_le_bytes());
            self.hasher.update(piece);
        }
        self
    }

    /// The digest of all parts so far.
    pub fn digest(&self) -> Digest {
        Digest(*self.hasher.finalize().as_bytes())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_digest_is_the_published_one_and_reads_back() {
        // The first of the official test vectors of BLAKE3: no input.
        let empty = "af1349b9f5f9a1a6a0404dea36dcc9499bcb25c9adc112b7cc9a93cae41f3262";
        assert_eq!(Digest::of(b"").to_string(), empty);
        assert_eq!(empty.parse(), Ok(Digest::of(b"")));
        assert_eq!(empty.to_uppercase().parse::<Digest>(), Err(NoDigest));
        assert_eq!(empty[1..].parse::<Digest>(), Err(NoDigest));
        assert_eq!(Digest::of(b"").short(), "af1349b9f5f9a1a6");
    }

    #[test]
    fn parts_do_not_run_into_each_other() {
        let of = |parts: &[(&str, &str)]| {
            let mut digester = Digester::default();
            parts.iter().for_each(|(name, text)| {
                digester.part(name, text.as_bytes());
            });
            digester.digest()
        };
        assert_ne!(of(&[("a", "bc")]), of(&[("ab", "c")]));
        assert_ne!(of(&[("a", "b"), ("", "c")]), of(&[("a", "bc")]));
        assert_eq!(of(&[("a", "b")]), of(&[("a", "b")]));
    }
}
