//! A letter as plain text, to be pasted into another record, and kept with an
//! issued letter.
//!
//! Nothing is left out: what the page shows as figures stands here as caption
//! and alt text, what it repeats on every page stands once, at the end. Lines
//! end with a line feed and hold neither tabs nor control characters. Spaces of
//! every width become plain ones and the minus sign a hyphen, since a record
//! that cannot show them would drop them, and a sign with them.

use unicode_segmentation::UnicodeSegmentation;

use super::columns::{Need, share};
use crate::letter::block::{Align, Block, Figure, Frame, Inline, Letter, PatientLine};

/// Characters in a line, in a table too.
const WIDTH: usize = 76;
/// Characters between two columns of a table.
const GAP: usize = 2;
/// Values up to this length stay on one line, as on the pages.
const KEPT: usize = 24;
/// Lines of a cell from which on a table is told row by row instead.
const TALL: usize = 8;

/// The letter as plain text: paragraphs wrapped, tables as aligned columns or,
/// where these would be too narrow, row by row, figures as
/// `[Figure: caption. alt]`.
pub fn plain(letter: &Letter) -> String {
    let mut parts = head(&letter.frame);
    parts.extend(letter.blocks.iter().map(block));
    parts.extend(foot(&letter.frame));
    parts.retain(|part| !part.is_empty());
    let mut text: String = parts.join("\n\n").chars().filter_map(pasted).collect();
    text.push('\n');
    text
}

/// A character as any record can take it; nothing for what cannot be seen.
fn pasted(c: char) -> Option<char> {
    match c {
        '\n' => Some('\n'),
        '\u{2212}' | '\u{2011}' => Some('-'),
        '\u{ad}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2060}' | '\u{feff}' => None,
        c if c.is_whitespace() => Some(' '),
        c if c.is_control() => None,
        c => Some(c),
    }
}

fn head(frame: &Frame) -> Vec<String> {
    let mut clinic = vec![frame.letterhead.name.clone(), frame.letterhead.line.clone()];
    clinic.extend(frame.letterhead.right.clone());
    let mut date = vec![frame.date.clone()];
    date.extend(frame.draft_mark.clone());
    vec![lines(&clinic), lines(&frame.recipient), lines(&date), patient(&frame.patient)]
}

fn lines(list: &[String]) -> String {
    list.iter().map(|line| wrap(line, "", "")).collect::<Vec<_>>().join("\n")
}

fn patient(line: &PatientLine) -> String {
    let age = line.age.as_ref().map(|age| format!(" ({age})")).unwrap_or_default();
    let record = line.record.as_ref().map(|record| format!(" · {record}")).unwrap_or_default();
    wrap(&format!("{}, {}{age}{record}", line.name, line.born), "", "")
}

fn foot(frame: &Frame) -> Vec<String> {
    let after: Vec<String> = frame.after.iter().map(|line| wrap(&whole(line), "", "")).collect();
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
    vec![frame.closing.clone(), lines(&frame.signature), after.join("\n"), end.join("\n")]
}

fn block(block: &Block) -> String {
    match block {
        Block::Heading { level, text } => heading(*level, text),
        Block::Paragraph { text } => wrap(&whole(text), "", ""),
        Block::Remark { by, paragraphs, .. } => remark(by.as_deref(), paragraphs),
        Block::List { ordered, items } => list(*ordered, items),
        Block::Table { align, header, rows, .. } => table(align, header, rows),
        Block::Slot { wanted } => format!("[Figure wanted: {}]", wanted.join(", ")),
        Block::Boxed { blocks } => boxed(blocks),
        Block::Figures { figures } => figures.iter().map(figure).collect::<Vec<_>>().join("\n"),
    }
}

/// Underlined, but for the lowest level.
fn heading(level: u8, text: &[Inline]) -> String {
    let text = wrap(&whole(text), "", "");
    let line = |mark: &str| format!("{text}\n{}", mark.repeat(longest(text.lines()) as usize));
    match level {
        1 => line("="),
        2 => line("-"),
        _ => text,
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
        wrap(&whole(item), &mark, &" ".repeat(mark.len()))
    };
    items.iter().enumerate().map(item).collect::<Vec<_>>().join("\n")
}

fn figure(figure: &Figure) -> String {
    let caption = figure.caption.trim_end();
    let stop = if caption.ends_with(['.', '!', '?']) { "" } else { "." };
    wrap(&format!("[Figure: {caption}{stop} {}]", figure.alt), "", "")
}

fn table(align: &[Align], header: &[Vec<Inline>], rows: &[Vec<Vec<Inline>>]) -> String {
    let cells = |row: &[Vec<Inline>]| row.iter().map(|cell| whole(cell)).collect::<Vec<_>>();
    let header = cells(header);
    let rows: Vec<Vec<String>> = rows.iter().map(|row| cells(row)).collect();
    match widths(&header, &rows) {
        Some(widths) => columns(align, &widths, &header, &rows),
        None => rows.iter().map(|row| by_row(&header, row)).collect::<Vec<_>>().join("\n\n"),
    }
}

fn columns(align: &[Align], widths: &[usize], header: &[String], rows: &[Vec<String>]) -> String {
    let rule = widths.iter().map(|w| "-".repeat(*w)).collect::<Vec<_>>().join(&" ".repeat(GAP));
    let rows: Vec<String> = rows.iter().map(|row| table_row(align, widths, row)).collect();
    // An empty line only where cells run over lines, so that rows stay apart.
    let between = if rows.iter().any(|row| row.contains('\n')) { "\n\n" } else { "\n" };
    [table_row(align, widths, header), rule, rows.join(between)].join("\n")
}

/// The row's name, then every other cell under it after its column's name.
fn by_row(header: &[String], row: &[String]) -> String {
    let of = |(n, cell): (usize, &String)| {
        let name = header.get(n).map_or("", |name| name.trim());
        let text = cell.replace('\n', " ");
        match (n, name) {
            (0, _) => wrap(&text, "", "  "),
            (_, "") => wrap(&text, "  ", "    "),
            (_, name) => wrap(&format!("{name}: {text}"), "  ", "    "),
        }
    };
    let told = row.iter().enumerate().filter(|(_, cell)| !cell.trim().is_empty());
    told.map(of).collect::<Vec<_>>().join("\n")
}

/// The widths of the columns; nothing if their words do not fit side by side,
/// or only in cells as tall as paragraphs.
fn widths(header: &[String], rows: &[Vec<String>]) -> Option<Vec<usize>> {
    let need = |c: usize| {
        let cells = rows.iter().filter_map(|row| row.get(c)).chain([&header[c]]);
        cells.fold(Need::default(), |need, cell| Need {
            least: need.least.max(longest(cell.split([' ', '\n']))),
            whole: need.whole.max(longest(cell.lines())),
        })
    };
    let needs: Vec<Need> = (0..header.len()).map(need).collect();
    let room = WIDTH.saturating_sub(GAP * header.len().saturating_sub(1)) as f64;
    let whole: f64 = needs.iter().map(|n| n.whole).sum();
    if whole <= room {
        return Some(needs.iter().map(|n| n.whole as usize).collect());
    }
    if needs.iter().map(|n| n.least).sum::<f64>() > room {
        return None;
    }
    let widths: Vec<usize> = share(&needs, room).into_iter().map(|w| w as usize).collect();
    let tall = |row: &Vec<String>| row.iter().zip(&widths).any(|(c, w)| fold(c, *w).len() >= TALL);
    (!rows.iter().any(tall)).then_some(widths)
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

/// The words of a run; values that may not break keep their lines.
fn whole(inlines: &[Inline]) -> String {
    let piece = |inline: &Inline| match inline {
        Inline::Value { text, keep: true, .. } if length(text) <= KEPT => {
            text.replace(' ', "\u{a0}")
        }
        Inline::Strong { children } | Inline::Emph { children } => whole(children),
        other => words(std::slice::from_ref(other)),
    };
    inlines.iter().map(piece).collect()
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

/// Characters as they are seen: a letter with its accents is one.
fn length(text: &str) -> usize {
    text.graphemes(true).count()
}
