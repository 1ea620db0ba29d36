//! What stands around the body: letterhead, address, patient, signature, foot.

use maud::{Markup, html};

use super::blocks::run;
use crate::letter::block::Frame;

/// Clinic and people.
pub fn letterhead(frame: &Frame) -> Markup {
    let head = &frame.letterhead;
    html! {
        header class="head" {
            div class="letterhead" {
                p class="clinic" { (head.name) }
                p class="people" { (lines(&head.right)) }
                // A telephone number or an address on the net stays whole.
                address { (spans(head.line.split(" · "))) }
            }
        }
    }
}

/// Recipient, date, draft mark, and the patient's line.
pub fn opening(frame: &Frame) -> Markup {
    let patient = &frame.patient;
    html! {
        div class="opening" {
            p class="recipient" { (lines(&frame.recipient)) }
            p class="date" {
                time datetime=(day(frame)) { (frame.date) }
                @if let Some(mark) = &frame.draft_mark { br; strong class="mark" { (mark) } }
            }
        }
        p class="patient" {
            strong { (patient.name) } ", " (patient.born)
            @if let Some(age) = &patient.age { " (" (age) ")" }
            @if let Some(record) = &patient.record { " · " (record) }
        }
    }
}

/// Closing words, the space for the signature, names, and what follows them.
pub fn ending(frame: &Frame) -> Markup {
    html! {
        div class="ending" {
            p class="closing" { (frame.closing) }
            p class="signature" { (lines(&frame.signature)) }
            @if !frame.after.is_empty() {
                p class="after" {
                    @for (n, line) in frame.after.iter().enumerate() {
                        @if n > 0 { br; }
                        (run(line))
                    }
                }
            }
        }
    }
}

/// Identifiers, marks, notice and caution.
pub fn foot(frame: &Frame) -> Markup {
    html! {
        footer {
            p class="identity" { (spans(identity(frame).iter().map(String::as_str))) }
            p class="caution" {
                @if let Some(notice) = &frame.notice { (notice) " " }
                (frame.caution)
            }
        }
    }
}

/// What names the letter on every sheet: patient, letter, draft or version.
pub fn identity(frame: &Frame) -> Vec<String> {
    let patient = &frame.patient;
    let letter = format!("{} {}", frame.words.letter, frame.letter_id);
    let parts = [Some(patient.name.clone()), Some(patient.born.clone()), patient.record.clone()];
    let marks = [Some(letter), frame.draft_mark.clone(), frame.issued_mark.clone()];
    parts.into_iter().chain(marks).flatten().collect()
}

/// The letter's date for programs.
pub fn day(frame: &Frame) -> String {
    let (year, month, day) = frame.date_ymd;
    format!("{year:04}-{month:02}-{day:02}")
}

fn lines(list: &[String]) -> Markup {
    html! {
        @for (n, line) in list.iter().enumerate() {
            @if n > 0 { br; }
            (line)
        }
    }
}

/// Parts with dots between them, each kept on one line if it fits.
fn spans<'a>(parts: impl Iterator<Item = &'a str>) -> Markup {
    html! {
        @for (n, part) in parts.enumerate() {
            @if n > 0 { " · " }
            span class="whole" { (part) }
        }
    }
}
