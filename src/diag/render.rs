//! Renderers over the one model: text for people, JSON for programs.
//!
//! [`text`] prints a line editors can jump to, the lines of the file with the
//! fault marked, the other places that take part, and the remedy as `help:`.
//! It reads well without colour. [`concise`] is the first line alone, and
//! [`json()`] says everything in one array. What a terminal can show is told by
//! the caller; nothing here looks at one.

use std::fmt::Write;

use miette::{GraphicalReportHandler, GraphicalTheme, ThemeCharacters, ThemeStyles};
use serde_json::{Value, json};

use super::snippet::Shown;
use super::{Diagnostic, Place, Report, Severity, Sources};

/// What the place of output can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Colours by ANSI escapes.
    pub color: bool,
    /// Line drawing beyond ASCII.
    pub unicode: bool,
    /// Columns before a line is wrapped.
    pub width: usize,
}

impl Default for Look {
    fn default() -> Self {
        Look { color: false, unicode: true, width: 100 }
    }
}

impl Severity {
    /// `error` or `warning`.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

/// Every fault with its snippet, and the count of them last.
pub fn text(report: &Report, sources: &Sources, look: Look) -> String {
    let mut out = String::new();
    for diagnostic in report.sorted() {
        out.push_str(&one(diagnostic, sources, look));
        out.push('\n');
    }
    if let Some(count) = count(report) {
        let _ = writeln!(out, "{count}");
    }
    out
}

/// `2 errors, 1 warning`, or nothing if there is nothing to say.
pub fn count(report: &Report) -> Option<String> {
    let of = |severity: Severity| {
        let n = report.sorted().iter().filter(|d| d.severity == severity).count();
        let plural = if n == 1 { "" } else { "s" };
        (n > 0).then(|| format!("{n} {}{plural}", severity.word()))
    };
    let parts: Vec<_> = [Severity::Error, Severity::Warning].into_iter().filter_map(of).collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

/// One fault in full.
pub fn one(diagnostic: &Diagnostic, sources: &Sources, look: Look) -> String {
    let mut out = String::new();
    let own_file = diagnostic.place.as_ref().map(|p| p.file.clone());
    let main = Shown::main(diagnostic, sources);
    render(&mut out, &main, head(diagnostic), look);
    for (place, role) in &diagnostic.related {
        if Some(&place.file) == own_file.as_ref() && main.has_snippet() {
            continue;
        }
        let shown = Shown::related(place, role, sources);
        render(&mut out, &shown, format!("{}: note:", place.to_line_column()), look);
    }
    if let Some(remedy) = &diagnostic.remedy {
        help(&mut out, remedy, look);
    }
    out
}

/// `file:line:column: error[code]:`, what stands before the message.
fn head(diagnostic: &Diagnostic) -> String {
    let place = diagnostic.place.as_ref().map(|p| format!("{}: ", p.to_line_column()));
    let word = diagnostic.severity.word();
    format!("{}{word}[{}]:", place.unwrap_or_default(), diagnostic.code.name())
}

/// The message line, unwrapped so that tools find it whole, and the snippet.
fn render(out: &mut String, shown: &Shown, head: String, look: Look) {
    let handler = GraphicalReportHandler::new_themed(theme(head, look))
        .with_width(look.width)
        .with_wrap_lines(false)
        .with_links(false)
        .with_context_lines(1)
        .without_syntax_highlighting();
    let mut block = String::new();
    // A span that no longer fits its text must not hide the message.
    if handler.render_report(&mut block, shown).is_err() {
        block = format!("{}\n", shown);
    }
    let first = block.trim_start();
    out.push_str(first.trim_end());
    out.push('\n');
}

fn theme(head: String, look: Look) -> GraphicalTheme {
    let characters =
        if look.unicode { ThemeCharacters::unicode() } else { ThemeCharacters::ascii() };
    GraphicalTheme {
        characters: ThemeCharacters { error: head.clone(), warning: head, ..characters },
        styles: if look.color { ThemeStyles::ansi() } else { ThemeStyles::none() },
    }
}

/// The remedy, wrapped under its first word.
fn help(out: &mut String, remedy: &str, look: Look) {
    const INDENT: &str = "  help: ";
    let width = look.width.saturating_sub(INDENT.len()).max(20);
    let mut line = String::from(INDENT);
    let mut used = 0;
    for word in remedy.split_whitespace() {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > width {
            let _ = writeln!(out, "{line}");
            line = " ".repeat(INDENT.len());
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        line.push_str(&printable(word));
        used += length;
    }
    let _ = writeln!(out, "{line}");
}

/// One line: `line:column severity code message`, as golden files keep it.
pub fn concise(diagnostic: &Diagnostic) -> String {
    let at = |place: &Place| format!("{}:{}", place.line, place.column);
    let place = diagnostic.place.as_ref().map_or("-".to_string(), at);
    let (word, code) = (diagnostic.severity.word(), diagnostic.code.name());
    format!("{place} {word} {code} {}", printable(&diagnostic.message))
}

/// Every fault as one JSON array, in the order of [`Report::sorted`].
pub fn json(report: &Report) -> Value {
    report.sorted().into_iter().map(json_one).collect()
}

fn json_one(diagnostic: &Diagnostic) -> Value {
    let related = |(place, role): &(Place, String)| {
        let mut value = json_place(place);
        value["role"] = json!(role);
        value
    };
    json!({
        "code": diagnostic.code.name(),
        "severity": diagnostic.severity.word(),
        "message": diagnostic.message,
        "place": diagnostic.place.as_ref().map(json_place),
        "related": diagnostic.related.iter().map(related).collect::<Vec<_>>(),
        "remedy": diagnostic.remedy,
        "why": diagnostic.code.info().why,
    })
}

fn json_place(place: &Place) -> Value {
    json!({
        "file": &*place.file, "line": place.line, "column": place.column,
        "start": place.start, "end": place.end,
    })
}

/// Text that cannot steer a terminal: control and direction characters are
/// spelled out.
pub(super) fn printable(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if steers(c) {
            let _ = write!(out, "{}", c.escape_unicode());
        } else {
            out.push(c);
        }
    }
    out
}

/// Whether a character would move the cursor, colour or reorder the text.
pub(super) fn steers(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diag::Code;

    const TEXT: &str = "patient:\n  name: Zoë Łuć\n  called: Zoë   # Łuć\n  nmae: x\n";

    fn place(needle: &str) -> Place {
        let start = TEXT.rfind(needle).unwrap();
        let before = &TEXT[..start];
        let column = before.rsplit('\n').next().unwrap().chars().count() as u32 + 1;
        let line = before.matches('\n').count() as u32 + 1;
        Place { file: "cases/a.yaml".into(), line, column, start, end: start + needle.len() }
    }

    fn sources() -> Sources {
        let mut sources = Sources::default();
        sources.insert("cases/a.yaml", TEXT);
        sources
    }

    #[test]
    fn a_fault_is_shown_with_place_snippet_and_help() {
        let fault = Diagnostic::new(Code::UnknownKey, Some(place("nmae")), "unknown key `nmae`")
            .related(place("name: Zoë"), "did you mean this?");
        let look = Look { unicode: false, ..Look::default() };
        insta::assert_snapshot!(one(&fault, &sources(), look), @r"
        cases/a.yaml:4:3: error[unknown-key]: unknown key `nmae`
           ,-[4:3]
         1 | patient:
         2 |   name: Zoë Łuć
           :   ^^^^|^^^^
           :       `-- did you mean this?
         3 |   called: Zoë   # Łuć
         4 |   nmae: x
           :   ^^^^
           `----
          help: correct the spelling, or remove the line
        ");
    }

    #[test]
    fn columns_count_characters_not_bytes() {
        let fault = Diagnostic::new(Code::UnknownKey, Some(place("Łuć\n  nmae")), "odd");
        let shown = one(&fault, &sources(), Look::default());
        assert_eq!(fault.place.as_ref().unwrap().column, 19);
        assert!(shown.contains("[3:19]"), "{shown}");
    }

    #[test]
    fn typed_text_cannot_steer_the_terminal() {
        let fault = Diagnostic::new(Code::UnknownKey, None, "key `\u{1b}[2J\u{202e}`");
        let shown = one(&fault, &Sources::default(), Look::default());
        assert!(!shown.contains('\u{1b}') && !shown.contains('\u{202e}'), "{shown}");
        assert!(shown.contains("\\u{1b}[2J"));
    }

    #[test]
    fn a_place_beyond_the_text_still_shows_the_message() {
        let mut far = place("nmae");
        (far.start, far.end) = (9_999, 10_003);
        let fault = Diagnostic::new(Code::UnknownKey, Some(far), "unknown key");
        assert!(one(&fault, &sources(), Look::default()).contains("unknown key"));
    }
}
