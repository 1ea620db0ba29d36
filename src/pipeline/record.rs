//! What an issued letter took from its case file, kept beside its frozen bytes.
//!
//! The JSON record of an issued letter holds, under [`RESTS_ON`], each entry of
//! the case that a printed fact came from, by its address, with the value as
//! typed, and the digest of each attached file. `check` compares them with the
//! file of today. It knows nothing of letters and how they are issued.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::digest::Digest;

/// The key of [`Printed`] in the JSON record of an issued letter.
pub const RESTS_ON: &str = "rests_on";

/// The entries and files of a case that an issued letter rests on.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Printed {
    /// Address of an entry (`film f1 / reading r1 / curve thoracic / cobb`) to
    /// its value as typed on the day of issue.
    #[serde(default)]
    pub values: BTreeMap<String, String>,
    /// Name of an attached file, as the case names it, to its digest.
    #[serde(default)]
    pub attachments: BTreeMap<String, Digest>,
}

impl Printed {
    /// From the bytes of a letter's JSON record; `None` where it is no such
    /// record.
    pub fn of_record(bytes: &[u8]) -> Option<Printed> {
        let mut record: serde_json::Value = serde_json::from_slice(bytes).ok()?;
        serde_json::from_value(record.get_mut(RESTS_ON)?.take()).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_is_read_out_of_the_record_of_a_letter() {
        let values = [("film f1 / dose".to_string(), "0.07 mSv".to_string())].into();
        let attachments = [("films/f1.csv".to_string(), Digest::of(b"level"))].into();
        let printed = Printed { values, attachments };
        let record = serde_json::json!({ "text": ["..."], RESTS_ON: &printed });
        let bytes = serde_json::to_vec(&record).unwrap();
        assert_eq!(Printed::of_record(&bytes), Some(printed));
        assert_eq!(Printed::of_record(b"{\"text\": []}"), None);
        assert_eq!(Printed::of_record(b"%PDF"), None);
    }
}
