//! The letters to look at again, as pages for the clinician.

use super::{Class, SentenceChange, Touched};
use crate::case::Clinic;
use crate::diag::Report;
use crate::letter::block::Letter;
use crate::letter::drawing::Pictures;
use crate::letter::extra::Extra;
use crate::letter::language::ENGLISH;
use crate::letter::wording::{Style, full_date};
use crate::pipeline::internal::{self, Title};
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
    let words = style.language.frame;
    let title = Title { kind: words.worklist, caution: words.internal, closing: words.seen };
    let letter = Letter { frame: internal::frame(clinic, &style, on, &title), blocks };
    press.pdf(&letter, &Pictures::new())
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
