//! Skeletal maturity under the time axis, each text below its day.

use chrono::NaiveDate;

use super::canvas::{Canvas, Type};
use super::time::Span;
use crate::letter::drawing::{Anchor, Ink};

/// Skeletal maturity on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MaturityMark {
    /// The day.
    pub date: NaiveDate,
    /// As printed, such as `Risser 0`; absent means not recorded, and is said.
    pub text: Option<String>,
}

/// What is said where nothing is recorded, and over texts that share no word.
#[derive(Debug, Clone, Copy)]
pub(super) struct RowWords<'a> {
    pub not_recorded: &'a str,
    pub maturity: &'a str,
}

const FACE: Type = Type::plain(crate::figure::SMALLEST_TEXT);
const MOST_ROWS: usize = 3;
const APART: f64 = 1.2;
/// A longer head would push the plot aside; its word then stays in each text.
const WIDEST_HEAD: f64 = 14.0;

/// Texts of the row, and the word they share, printed once at its head.
#[derive(Debug)]
pub(super) struct Row {
    pub head: String,
    texts: Vec<String>,
}

impl Row {
    pub(super) fn of(marks: &[MaturityMark], words: RowWords) -> Row {
        let head = shared_head(marks);
        let text = |mark: &MaturityMark| short(mark, head.as_deref(), words);
        let texts = marks.iter().map(text).collect();
        let unnamed = marks.iter().any(|m| m.text.is_none());
        let spare = if unnamed { words.maturity.to_owned() } else { String::new() };
        Row { head: head.unwrap_or(spare), texts }
    }

    pub(super) fn head_width(&self) -> f64 {
        FACE.width(&self.head)
    }
}

/// `Risser` of `Risser 0` and `Risser 2`, if every recorded text begins so.
fn shared_head(marks: &[MaturityMark]) -> Option<String> {
    let mut texts = marks.iter().filter_map(|m| m.text.as_deref());
    let (head, _) = texts.next()?.split_once(' ')?;
    let alike = texts.all(|t| t.split_once(' ').is_some_and(|(first, _)| first == head));
    (alike && FACE.width(head) <= WIDEST_HEAD).then(|| head.to_owned())
}

fn short(mark: &MaturityMark, head: Option<&str>, words: RowWords) -> String {
    match (&mark.text, head) {
        (None, _) => words.not_recorded.to_owned(),
        (Some(text), Some(head)) => text[head.len()..].trim_start().to_owned(),
        (Some(text), None) => text.clone(),
    }
}

/// A text below the axis.
#[derive(Debug)]
pub(super) struct Note {
    left: f64,
    right: f64,
    row: usize,
    text: String,
}

/// Notes in as few rows as keep them apart. The first, the last and every
/// change come before repetitions; what finds no room is left to the alt text.
pub(super) fn notes(marks: &[MaturityMark], row: &Row, span: &Span, limit: f64) -> Vec<Note> {
    let mut order: Vec<usize> = (0..marks.len()).collect();
    order.sort_by_key(|i| marks[*i].date);
    let mut ranked: Vec<(u8, usize)> = Vec::new();
    for (place, i) in order.iter().enumerate() {
        let before = place.checked_sub(1).map(|b| &row.texts[order[b]]);
        let rank = match before {
            None => 0,
            _ if place + 1 == order.len() => 0,
            Some(text) if *text != row.texts[*i] => 1,
            Some(_) => 2,
        };
        ranked.push((rank, *i));
    }
    ranked.sort_by_key(|(rank, _)| *rank);
    let mut notes = Vec::new();
    for (rank, i) in ranked {
        let rows = if rank == 2 { 1 } else { MOST_ROWS };
        let left = span.left - 1.0;
        put(&mut notes, &row.texts[i], span.x(marks[i].date), (left, limit), rows);
    }
    notes
}

fn put(notes: &mut Vec<Note>, text: &str, x: f64, (least, most): (f64, f64), rows: usize) {
    let width = FACE.width(text);
    let left = (x - width / 2.0).min(most - width).max(least);
    let (left, right) = (left, left + width);
    let clear = |row: usize| {
        let mut near = notes.iter().filter(|n| n.row == row);
        near.all(|n| right + APART < n.left || n.right + APART < left)
    };
    if right > most {
        return;
    }
    if let Some(row) = (0..rows).find(|row| clear(*row)) {
        notes.push(Note { left, right, row, text: text.to_owned() });
    }
}

/// Height of the notes, in mm.
pub(super) fn height(notes: &[Note]) -> f64 {
    let rows = notes.iter().map(|n| n.row + 1).max().unwrap_or(0);
    rows as f64 * FACE.leading()
}

/// Draws the notes; `top` is where their first row begins.
pub(super) fn draw(canvas: &mut Canvas, notes: &[Note], row: &Row, span: &Span, top: f64) {
    let baseline = |row: usize| top + FACE.rise() + row as f64 * FACE.leading();
    if !notes.is_empty() {
        let at = (span.left - 2.2, baseline(0));
        canvas.text(at, &row.head, FACE.inked(Ink::Ink), Anchor::End);
    }
    for note in notes {
        canvas.text((note.left, baseline(note.row)), &note.text, FACE, Anchor::Start);
    }
}
