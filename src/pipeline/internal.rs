//! The frame of pages that stay in the clinic: lists and sheets about letters.

use chrono::{Datelike, NaiveDate};

use crate::case::{Clinic, PaperSize};
use crate::letter::block::{Frame, FrameWords, Letterhead, Paper, PatientLine};
use crate::letter::wording::{Style, full_date};

/// What such pages are called and what stands at their foot and end.
pub(super) struct Title<'a> {
    /// The title.
    pub kind: &'a str,
    /// The caution at the foot.
    pub caution: &'a str,
    /// What stands before the space for a name.
    pub closing: &'a str,
}

/// The frame, with the clinic in the patient's place.
pub(super) fn frame(clinic: &Clinic, style: &Style, on: NaiveDate, title: &Title) -> Frame {
    let words = style.language.frame;
    let date = full_date(on, style);
    let address: Vec<String> = clinic.address.iter().map(|l| l.value.clone()).collect();
    Frame {
        letter_id: date.clone(),
        kind: title.kind.to_string(),
        title: format!("{}, {date}", title.kind),
        language: style.language.tag.to_string(),
        region: clinic.region.clone(),
        paper: match clinic.paper {
            PaperSize::A4 => Paper::A4,
            PaperSize::UsLetter => Paper::UsLetter,
        },
        letterhead: Letterhead {
            name: clinic.name.value.clone(),
            line: address.join(", "),
            right: Vec::new(),
        },
        recipient: Vec::new(),
        date: date.clone(),
        date_ymd: (on.year(), on.month() as u8, on.day() as u8),
        patient: PatientLine {
            name: clinic.name.value.clone(),
            born: date,
            age: None,
            record: None,
        },
        draft_mark: None,
        pages: None,
        sheet: false,
        issued_mark: None,
        caution: title.caution.to_string(),
        notice: clinic.notice.as_ref().map(|n| n.value.clone()),
        closing: title.closing.to_string(),
        signature: Vec::new(),
        after: Vec::new(),
        words: FrameWords {
            page: words.page.to_string(),
            of: words.of.to_string(),
            letter: title.kind.to_string(),
        },
    }
}
