//! The sheet as a letter of blocks, to be set on the same road as letters.

use chrono::NaiveDate;

use super::{Alert, Change, Origin, ToSign};
use crate::case::Clinic;
use crate::diag::Report;
use crate::letter::block::Letter;
use crate::letter::extra::Extra;
use crate::letter::frame::kind_title;
use crate::letter::language::Language;
use crate::letter::wording::{Style, full_date};
use crate::pipeline::build::State;
use crate::pipeline::internal::{self, Title};
use crate::pipeline::letter::Press;

/// The template of the sheet; it is in English whatever the letters are in.
const TEMPLATE: &str = "sign-off";

const TITLE: Title<'static> = Title {
    kind: "Sign-off sheet",
    caution: "For the clinic alone: it names patients and is no letter. It helps to read and \
              replaces no look into a letter before it is issued.",
    closing: "All letters of this sheet opened and read by, on:",
};

/// What stands where somebody ticks and signs.
const BOX: &str = "\u{2610}";
const LINE: &str = "\u{2026}\u{2026}\u{2026}\u{2026}\u{2026}\u{2026}";

/// The sheet of a batch, dated by its latest letter; no clock is asked.
pub fn sheet(press: &Press, clinic: &Clinic, batch: &[ToSign]) -> Result<Letter, Report> {
    let language = Language::of("en", clinic.region.as_deref());
    let language = language.unwrap_or(&crate::letter::language::ENGLISH);
    let style = Style::new(language, clinic.dates);
    let on = batch.iter().map(|l| l.dated).max().unwrap_or(NaiveDate::MIN);
    let valued = |l: &&ToSign| l.changes.as_ref().is_some_and(|c| !c.is_empty());
    let list = |kept: &mut dyn Iterator<Item = &ToSign>| {
        Extra::List(kept.map(|l| letter(l, &style)).collect())
    };
    let about = Extra::group([
        ("letters", list(&mut batch.iter())),
        ("alerts", Extra::List(alerts(batch))),
        ("changed", list(&mut changed(batch).filter(valued))),
        ("quiet", alike(changed(batch).filter(|l| l.changes.as_ref().is_some_and(Vec::is_empty)))),
        ("unnoted", alike(changed(batch).filter(|l| l.changes.is_none()))),
    ]);
    let blocks = press.page_words(TEMPLATE, language.tag, &style, on, ("batch", about))?;
    Ok(Letter { frame: internal::frame(clinic, &style, on, &TITLE), blocks })
}

fn changed(batch: &[ToSign]) -> impl Iterator<Item = &ToSign> {
    batch.iter().filter(|letter| letter.state != State::New)
}

/// Letters of which nothing more can be told, those of one cause together.
fn alike<'l>(letters: impl Iterator<Item = &'l ToSign>) -> Extra {
    let mut groups: Vec<(&[String], Vec<&str>)> = Vec::new();
    for letter in letters {
        match groups.iter_mut().find(|(because, _)| *because == letter.because) {
            Some((_, names)) => names.push(&letter.name),
            None => groups.push((&letter.because, vec![&letter.name])),
        }
    }
    let told = |(because, names): (&[String], Vec<&str>)| {
        Extra::group([
            ("letters", Extra::Text(names.join(", "))),
            ("because", Extra::List(because.iter().cloned().map(Extra::Text).collect())),
        ])
    };
    Extra::List(groups.into_iter().map(told).collect())
}

fn letter(letter: &ToSign, style: &Style) -> Extra {
    let text = |text: &str| Extra::Text(text.to_string());
    let changes = letter.changes.as_deref().unwrap_or_default();
    Extra::group([
        ("id", text(&letter.name)),
        ("patient", text(&letter.patient)),
        ("kind", text(kind_title(letter.kind, style))),
        ("reader", text(&letter.reader.0)),
        ("role", text(letter.reader.1.word())),
        ("dated", Extra::Text(full_date(letter.dated, style))),
        ("signer", text(&letter.signer)),
        ("state", text(letter.state.word())),
        ("tick", text(BOX)),
        ("line", text(LINE)),
        ("changes", Extra::List(changes.iter().map(|c| change(c, style)).collect())),
        ("because", Extra::List(letter.because.iter().map(|b| text(b)).collect())),
    ])
}

fn change(change: &Change, style: &Style) -> Extra {
    let from: Vec<Extra> = change.from.iter().map(|o| Extra::Text(origin(o, style))).collect();
    Extra::group([
        ("label", Extra::Text(change.label.clone())),
        ("old", Extra::text(change.old.clone())),
        ("new", Extra::text(change.new.clone())),
        // More than two would only repeat what stands above.
        ("from", Extra::List(from.into_iter().take(2).collect())),
    ])
}

/// `cases/fw-0118.yaml:87, film of 9 June 2026`.
fn origin(origin: &Origin, style: &Style) -> String {
    match origin.film {
        Some(day) => format!("{}, film of {}", origin.at, full_date(day, style)),
        None => origin.at.clone(),
    }
}

/// What to look at first: what matters most first, and a warning of a case
/// once, with all letters it is of.
fn alerts(batch: &[ToSign]) -> Vec<Extra> {
    let mut list: Vec<(&Alert, Vec<&str>)> = Vec::new();
    for letter in batch {
        for alert in &letter.alerts {
            match list
                .iter_mut()
                .find(|(other, of)| *other == alert && of_case(of) == of_case(&[&letter.name]))
            {
                Some((_, of)) => of.push(&letter.name),
                None => list.push((alert, vec![&letter.name])),
            }
        }
    }
    list.sort_by_key(|(alert, _)| alert.rank);
    let told = |(alert, of): (&Alert, Vec<&str>)| {
        Extra::group([
            ("letters", Extra::Text(of.join(", "))),
            ("what", Extra::Text(alert.what.clone())),
            ("at", Extra::text(alert.at.clone())),
        ])
    };
    list.into_iter().map(told).collect()
}

fn of_case<'n>(names: &[&'n str]) -> &'n str {
    names.first().and_then(|name| name.split('/').next()).unwrap_or_default()
}
