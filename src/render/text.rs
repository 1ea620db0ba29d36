//! A letter as plain text, for snapshots and for readers without a PDF viewer.
//!
//! Nothing is left out: what the page shows as figures stands here as caption
//! and alt text, what it repeats on every page stands once, at the end.

use super::columns::{Need, share};
use crate::letter::block::{Align, Block, Figure, Frame, Inline, Letter, PatientLine};

/// Characters in a line.
const WIDTH: usize = 80;
/// Characters in a line of a table, which is read along its columns.
const TABLE_WIDTH: usize = 100;
/// Characters between two columns of a table.
const GAP: usize = 2;

/// The letter as plain text: paragraphs wrapped, tables as aligned columns,
/// figures as `[Figure: caption. alt]`.
pub fn plain(letter: &Letter) -> String {
    let mut parts = head(&letter.frame);
    parts.extend(letter.blocks.iter().map(block));
    parts.extend(foot(&letter.frame));
    parts.retain(|part| !part.is_empty());
    let mut text = parts.join("\n\n");
    text.push('\n');
    text
}

fn head(frame: &Frame) -> Vec<String> {
    let mut lines = vec![frame.letterhead.name.clone(), frame.letterhead.line.clone()];
    lines.extend(frame.letterhead.right.clone());
    let mut date = vec![frame.date.clone()];
    date.extend(frame.draft_mark.clone());
    vec![lines.join("\n"), frame.recipient.join("\n"), date.join("\n"), patient(&frame.patient)]
}

fn patient(line: &PatientLine) -> String {
    let age = line.age.as_ref().map(|age| format!(" ({age})")).unwrap_or_default();
    let record = line.record.as_ref().map(|record| format!(" · {record}")).unwrap_or_default();
    wrap(&format!("{}, {}{age}{record}", line.name, line.born), "", "")
}

fn foot(frame: &Frame) -> Vec<String> {
    let after: Vec<String> = frame.after.iter().map(|line| wrap(&words(line), "", "")).collect();
    let PatientLine { name, born, record, .. } = &frame.patient;
    let id = format!("{} {}", frame.words.letter, frame.letter_id);
    let mut identity = vec![name.clone(), born.clone()];
    identity.extend(record.clone());
    identity.push(id);
    identity.extend(frame.draft_mark.clone());
    identity.extend(frame.issued_mark.clone());
    let mut notes: Vec<&str> = frame.notice.as_deref().into_iter().collect();
    notes.push(&frame.caution);
    let end = [wrap(&identity.join(" · "), "", ""), wrap(&notes.join(" "), "", "")];
    vec![frame.closing.clone(), frame.signature.join("\n"), after.join("\n"), end.join("\n")]
}

fn block(block: &Block) -> String {
    match block {
        Block::Heading { level, text } => {
            wrap(&words(text), &format!("{} ", "#".repeat(usize::from(*level))), "")
        }
        Block::Paragraph { text } => wrap(&words(text), "", ""),
        Block::Remark { by, paragraphs, .. } => remark(by.as_deref(), paragraphs),
        Block::List { ordered, items } => list(*ordered, items),
        Block::Table { align, header, rows, .. } => table(align, header, rows),
        Block::Slot { wanted } => format!("[Figure wanted: {}]", wanted.join(", ")),
        Block::Boxed { blocks } => boxed(blocks),
        Block::Figures { figures } => figures.iter().map(figure).collect::<Vec<_>>().join("\n"),
    }
}

fn boxed(blocks: &[Block]) -> String {
    let edge = "=".repeat(WIDTH);
    let inside: Vec<String> = blocks.iter().map(block).collect();
    format!("{edge}\n{}\n{edge}", inside.join("\n\n"))
}

fn remark(by: Option<&str>, paragraphs: &[String]) -> String {
    let mut parts: Vec<String> = paragraphs.iter().map(|p| wrap(p, "| ", "| ")).collect();
    parts.extend(by.map(|by| wrap(by, "| -- ", "|    ")));
    parts.join("\n|\n")
}

fn list(ordered: bool, items: &[Vec<Inline>]) -> String {
    let item = |(index, item): (usize, &Vec<Inline>)| {
        let mark = if ordered { format!("{}. ", index + 1) } else { "- ".to_string() };
        wrap(&words(item), &mark, &" ".repeat(mark.len()))
    };
    items.iter().enumerate().map(item).collect::<Vec<_>>().join("\n")
}

fn figure(figure: &Figure) -> String {
    let caption = figure.caption.trim_end();
    let stop = if caption.ends_with(['.', '!', '?']) { "" } else { "." };
    wrap(&format!("[Figure: {caption}{stop} {}]", figure.alt), "", "")
}

fn table(align: &[Align], header: &[Vec<Inline>], rows: &[Vec<Vec<Inline>>]) -> String {
    let cells = |row: &[Vec<Inline>]| row.iter().map(|cell| words(cell)).collect::<Vec<_>>();
    let header = cells(header);
    let rows: Vec<Vec<String>> = rows.iter().map(|row| cells(row)).collect();
    let widths = widths(&header, &rows);
    let rule = widths.iter().map(|w| "-".repeat(*w)).collect::<Vec<_>>().join(&" ".repeat(GAP));
    let mut lines = vec![table_row(align, &widths, &header), rule];
    lines.extend(rows.iter().map(|row| table_row(align, &widths, row)));
    lines.join("\n")
}

fn widths(header: &[String], rows: &[Vec<String>]) -> Vec<usize> {
    let need = |c: usize| {
        let cells = rows.iter().filter_map(|row| row.get(c)).chain([&header[c]]);
        cells.fold(Need::default(), |need, cell| Need {
            least: need.least.max(longest(cell.split_whitespace())),
            whole: need.whole.max(longest(cell.lines())),
        })
    };
    let needs: Vec<Need> = (0..header.len()).map(need).collect();
    let room = TABLE_WIDTH.saturating_sub(GAP * header.len().saturating_sub(1)) as f64;
    let whole: f64 = needs.iter().map(|n| n.whole).sum();
    if whole <= room {
        return needs.iter().map(|n| n.whole as usize).collect();
    }
    share(&needs, room).into_iter().zip(&needs).map(|(w, n)| w.max(n.least) as usize).collect()
}

fn longest<'a>(parts: impl Iterator<Item = &'a str>) -> f64 {
    parts.map(length).max().unwrap_or(0) as f64
}

fn table_row(align: &[Align], widths: &[usize], row: &[String]) -> String {
    let cells: Vec<Vec<String>> = row.iter().zip(widths).map(|(c, w)| fold(c, *w)).collect();
    let height = cells.iter().map(Vec::len).max().unwrap_or(0);
    let line = |n: usize| {
        let parts = cells.iter().enumerate().map(|(c, cell)| {
            let text = cell.get(n).map_or("", String::as_str);
            pad(text, widths[c], align.get(c).copied().unwrap_or(Align::Left))
        });
        parts.collect::<Vec<_>>().join(&" ".repeat(GAP)).trim_end().to_string()
    };
    (0..height).map(line).collect::<Vec<_>>().join("\n")
}

fn pad(text: &str, width: usize, align: Align) -> String {
    let space = width.saturating_sub(length(text));
    let left = match align {
        Align::Left => 0,
        Align::Center => space / 2,
        Align::Right => space,
    };
    format!("{}{text}{}", " ".repeat(left), " ".repeat(space - left))
}

/// The words of a run, as printed, without bold and italic.
pub(super) fn words(inlines: &[Inline]) -> String {
    let mut text = String::new();
    for inline in inlines {
        match inline {
            Inline::Text { text: words } | Inline::Value { text: words, .. } => text += words,
            Inline::Strong { children } | Inline::Emph { children } => {
                text += &self::words(children)
            }
            Inline::Break => text.push('\n'),
        }
    }
    text
}

fn wrap(text: &str, first: &str, rest: &str) -> String {
    let room = WIDTH - length(first).max(length(rest));
    let lines = fold(text, room).into_iter().enumerate().map(|(index, line)| {
        let line = format!("{}{line}", if index == 0 { first } else { rest });
        line.trim_end().to_string()
    });
    lines.collect::<Vec<_>>().join("\n")
}

/// Breaks at spaces only: values with no-break spaces stay whole, and a word
/// longer than the line is left as it is.
fn fold(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    for line in text.split('\n') {
        let mut current = String::new();
        for word in line.split(' ') {
            let needed = length(&current) + 1 + length(word);
            if !current.is_empty() && needed > width {
                lines.push(std::mem::take(&mut current));
            } else if !current.is_empty() {
                current.push(' ');
            }
            current += word;
        }
        lines.push(current);
    }
    lines
}

fn length(text: &str) -> usize {
    text.chars().count()
}
