//! A letter as blocks: what the renderers get, and all they get.
//!
//! Nothing here is markup. Every printed value is an [`Inline::Value`] that
//! keeps the id of its fact, so that any word on the page can be traced.

use serde::{Deserialize, Serialize};

use super::drawing::Drawing;

/// A finished letter, ready for any renderer.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Letter {
    /// Everything around the body.
    pub frame: Frame,
    /// The body, in order. The first heading is level 1: the reference line's news.
    pub blocks: Vec<Block>,
}

/// What stands around the body of a letter.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Frame {
    /// `mr-0118/l1`.
    pub letter_id: String,
    /// Kind, in words, for the document's title.
    pub kind: String,
    /// Document title (metadata): kind, patient's record number, date.
    pub title: String,
    /// Language tag, such as `en`.
    pub language: String,
    /// Region, such as `GB`.
    pub region: Option<String>,
    /// Paper size.
    pub paper: Paper,
    /// The pages its reader should not be asked to go beyond: the letter is
    /// set closer if that keeps it within. Absent where length is no matter.
    #[serde(default)]
    pub pages: Option<u8>,
    /// A sheet for the file, such as a summary: set smaller and closer.
    #[serde(default)]
    pub sheet: bool,
    /// Letterhead.
    pub letterhead: Letterhead,
    /// Window address block: name, organisation, address lines.
    pub recipient: Vec<String>,
    /// The letter's date as printed.
    pub date: String,
    /// The same date for the PDF's metadata: year, month, day.
    pub date_ymd: (i32, u8, u8),
    /// Two identifiers and the name, for the reference line and every page's foot.
    pub patient: PatientLine,
    /// `draft, not issued`, or nothing once issued.
    pub draft_mark: Option<String>,
    /// Version and register of an issued letter; nothing on a draft.
    #[serde(default)]
    pub issued_mark: Option<String>,
    /// The caution at the foot.
    pub caution: String,
    /// The clinic's own notice at the foot (demo clinics say they are invented).
    pub notice: Option<String>,
    /// Closing words, `With kind regards,`.
    pub closing: String,
    /// Signature block; lines under the space for the signature.
    pub signature: Vec<String>,
    /// Lines after the signature: responsible doctor, copies, enclosures.
    pub after: Vec<Vec<Inline>>,
    /// Words of the frame in the letter's language (`page`, `of`, `born`, `record`).
    pub words: FrameWords,
}

/// The few words the layout itself needs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[allow(missing_docs)]
pub struct FrameWords {
    pub page: String,
    pub of: String,
    pub letter: String,
}

/// Paper sizes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Paper {
    /// 210 by 297 mm.
    A4,
    /// 8.5 by 11 in.
    UsLetter,
}

/// The clinic's head.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Letterhead {
    /// Name of the clinic.
    pub name: String,
    /// Address, telephone, mail: one line.
    pub line: String,
    /// At the right: the signer, the responsible doctor, direct number.
    pub right: Vec<String>,
}

/// How the patient is named on every page.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PatientLine {
    /// Full name.
    pub name: String,
    /// `born 18 March 2013`.
    pub born: String,
    /// `13 years 7 months` on the letter's date; absent where the reader should not see it.
    pub age: Option<String>,
    /// `record TB-204417`; absent if not recorded.
    pub record: Option<String>,
}

/// A block of the body.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "type", rename_all = "kebab-case")]
pub enum Block {
    /// A heading; level 1 is the news under the patient line.
    Heading {
        /// 1 to 3.
        level: u8,
        /// Its words.
        text: Vec<Inline>,
    },
    /// A paragraph.
    Paragraph {
        /// Its words.
        text: Vec<Inline>,
    },
    /// The clinician's own words, set as written; one string a paragraph.
    Remark {
        /// Who wrote them.
        by: Option<String>,
        /// Paragraphs.
        paragraphs: Vec<String>,
        /// Tag of their language where it is not the letter's.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        language: Option<String>,
    },
    /// A list.
    List {
        /// Numbered or not.
        ordered: bool,
        /// Items.
        items: Vec<Vec<Inline>>,
    },
    /// A table with a header row.
    Table {
        /// What the table shows, for readers who cannot see it.
        summary: String,
        /// Alignment of each column.
        align: Vec<Align>,
        /// Header cells.
        header: Vec<Vec<Inline>>,
        /// Rows of cells.
        rows: Vec<Vec<Vec<Inline>>>,
    },
    /// Where the template wants figures side by side; the figure room
    /// replaces it by [`Block::Figures`] before anything is rendered.
    Slot {
        /// What to draw: `spine`, or `course <curve>`.
        wanted: Vec<String>,
    },
    /// Figures side by side.
    Figures {
        /// One or two.
        figures: Vec<Figure>,
    },
    /// A box before the letter's own words: what an amendment changed, what
    /// an addendum adds to. It holds paragraphs, lists and tables, no box.
    Boxed {
        /// What stands in it.
        blocks: Vec<Block>,
    },
}

impl Block {
    /// The block itself, or what a box holds.
    pub fn inside(&self) -> &[Block] {
        match self {
            Block::Boxed { blocks } => blocks,
            block => std::slice::from_ref(block),
        }
    }
}

/// Alignment of a table column.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)]
pub enum Align {
    Left,
    Center,
    Right,
}

/// A figure with its words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    /// What it shows, for readers who cannot see it.
    pub alt: String,
    /// What stands under it.
    pub caption: String,
    /// The drawing.
    pub drawing: Drawing,
}

/// A run of words.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "type", rename_all = "kebab-case")]
pub enum Inline {
    /// Words of the template.
    Text {
        /// The words.
        text: String,
    },
    /// A printed value.
    Value {
        /// The fact it prints; absent for names, addresses and typed text.
        fact: Option<String>,
        /// As printed.
        text: String,
        /// Whether it may not break across lines.
        keep: bool,
    },
    /// Bold.
    Strong {
        /// The words.
        children: Vec<Inline>,
    },
    /// Italic.
    Emph {
        /// The words.
        children: Vec<Inline>,
    },
    /// A line break within a paragraph.
    Break,
}
