//! The letters to look at again, as pages for the clinician.

use super::{Class, SentenceChange, Touched};
use crate::case::{Clinic, PaperSize};
use crate::diag::Report;
use crate::letter::block::{Frame, FrameWords, Letter, Letterhead, Paper, PatientLine};
use crate::letter::drawing::Pictures;
use crate::letter::extra::Extra;
use crate::letter::language::ENGLISH;
use crate::letter::wording::{Style, full_date};
use crate::pipeline::letter::Press;

/// The template of the worklist.
const TEMPLATE: &str = "worklist";

/// The pages: every letter that differs, what changed in it and who holds it.
pub fn worklist(
    press: &Press,
    clinic: &Clinic,
    touched: &[Touched],
    on: chrono::NaiveDate,
) -> Result<Vec<u8>, Report> {
    let style = Style::of(&clinic.language, clinic.region.as_deref(), clinic.dates);
    // The list is for clinicians; where their language has none, in English.
    let has = |s: &Style| press.has_page(TEMPLATE, s.language.tag);
    let style = style.filter(has).unwrap_or_else(|| Style::new(&ENGLISH, clinic.dates));
    let differs = |t: &&Touched| match &t.difference {
        Ok(difference) => difference.class != Class::Unchanged,
        Err(_) => true,
    };
    let changed: Vec<Extra> = touched.iter().filter(differs).map(|t| told(t, &style)).collect();
    let about = Extra::group([
        ("letters", Extra::List(changed)),
        ("in_force", Extra::Text(touched.len().to_string())),
        ("date", Extra::Text(full_date(on, &style))),
    ]);
    let blocks = press.page_words(TEMPLATE, style.language.tag, &style, on, ("list", about))?;
    press.pdf(&Letter { frame: frame(clinic, &style, on), blocks }, &Pictures::new())
}

fn told(touched: &Touched, style: &Style) -> Extra {
    let (class, sentences, verdict, plan) = match &touched.difference {
        Ok(d) => {
            (d.class.word(), d.sentences.iter().map(sentence).collect(), d.verdict(), d.plan())
        }
        Err(_) => ("cannot be told", Vec::new(), false, false),
    };
    let holders = touched.holders.iter().map(|h| {
        let name = h.name.as_deref().unwrap_or(&h.contact);
        let owes = touched.owed.iter().any(|o| o.contact == h.contact);
        Extra::group([("name", Extra::Text(name.to_string())), ("owed", Extra::Flag(owes))])
    });
    Extra::group([
        ("id", Extra::Text(touched.document.to_string())),
        ("version", Extra::Text(touched.version.to_string())),
        ("kind", Extra::Word(touched.kind.clone())),
        ("date", Extra::Text(full_date(touched.dated, style))),
        ("class", Extra::Word(class.to_string())),
        ("verdict", Extra::Flag(verdict)),
        ("plan", Extra::Flag(plan)),
        ("sentences", Extra::List(sentences)),
        ("holders", Extra::List(holders.collect())),
    ])
}

fn sentence(change: &SentenceChange) -> Extra {
    Extra::group([
        ("old", Extra::text(change.old.clone())),
        ("new", Extra::text(change.new.clone())),
    ])
}

fn frame(clinic: &Clinic, style: &Style, on: chrono::NaiveDate) -> Frame {
    use chrono::Datelike;
    let words = style.language.frame;
    let date = full_date(on, style);
    let address: Vec<String> = clinic.address.iter().map(|l| l.value.clone()).collect();
    Frame {
        letter_id: date.clone(),
        kind: words.worklist.to_string(),
        title: format!("{}, {date}", words.worklist),
        language: style.language.tag.to_string(),
        region: clinic.region.clone(),
        paper: match clinic.paper {
            PaperSize::A4 => Paper::A4,
            PaperSize::UsLetter => Paper::UsLetter,
        },
        sheet: false,
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
        issued_mark: None,
        caution: words.internal.to_string(),
        notice: clinic.notice.as_ref().map(|n| n.value.clone()),
        closing: words.seen.to_string(),
        signature: Vec::new(),
        after: Vec::new(),
        words: FrameWords {
            page: words.page.to_string(),
            of: words.of.to_string(),
            letter: words.worklist.to_string(),
        },
    }
}
