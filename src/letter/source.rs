//! A template's text, made ready for the engine, and places in it.
//!
//! The engine can drop the line end after a tag; a line that holds nothing
//! but tags should leave no line, yet a line of words that ends in a tag
//! should keep its end. A plus sign before such a tag's end says so to the
//! engine; places are told in the text as it was written.

use crate::diag::Place;

/// One template.
#[derive(Debug, Clone)]
pub(super) struct Source {
    name: String,
    written: String,
    prepared: String,
    /// Where plus signs were put in, in bytes of the prepared text.
    added: Vec<usize>,
}

impl Source {
    pub fn new(name: &str, written: &str) -> Self {
        let marks = kept_line_ends(written);
        let mut prepared = String::with_capacity(written.len() + marks.len());
        let mut added = Vec::with_capacity(marks.len());
        let mut from = 0;
        for at in marks {
            prepared.push_str(&written[from..at]);
            added.push(prepared.len());
            prepared.push('+');
            from = at;
        }
        prepared.push_str(&written[from..]);
        Source { name: name.to_string(), written: written.to_string(), prepared, added }
    }

    /// What the engine parses.
    pub fn prepared(&self) -> &str {
        &self.prepared
    }

    /// The place of a range of bytes of the prepared text.
    pub fn place(&self, start: usize, end: usize) -> Place {
        let written = |at: usize| at - self.added.partition_point(|a| *a < at);
        self.written_place(written(start), written(end))
    }

    fn written_place(&self, start: usize, end: usize) -> Place {
        let text = &self.written;
        let start = text.floor_char_boundary(start.min(text.len()));
        let before = &text[..start];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        Place {
            file: shown_name(&self.name).into(),
            line: before.matches('\n').count() as u32 + 1,
            column: before[line_start..].chars().count() as u32 + 1,
            start,
            end: text.floor_char_boundary(end.clamp(start, text.len())),
        }
    }

    /// The place of a whole line, from 1.
    pub fn line(&self, line: usize) -> Place {
        let lines = self.written.split_inclusive('\n');
        let start: usize = lines.take(line.max(1) - 1).map(str::len).sum();
        let length = self.written[start..].lines().next().map_or(0, str::len);
        self.written_place(start, start + length)
    }
}

/// Templates are shown by their path in a clinic's folder.
pub(super) fn shown_name(name: &str) -> String {
    format!("templates/{name}")
}

/// Where a tag ends a line that holds words: the offsets of those `%}`.
fn kept_line_ends(text: &str) -> Vec<usize> {
    let mut found = Vec::new();
    let mut words = false;
    let mut at = 0;
    while let Some((opens, close)) = next_tag(text, at) {
        let before = &text[at..opens];
        words = match before.rsplit_once('\n') {
            Some((_, line)) => !line.trim().is_empty(),
            None => words || !before.trim().is_empty(),
        };
        let kind = &text[opens..opens + 2];
        words |= kind == "{{";
        let Some(ends) = close else { break };
        let rest = &text[ends + 2..];
        let plain = !text[..ends].ends_with(['-', '+']);
        if kind == "{%" && words && plain && rest.trim_start_matches('\r').starts_with('\n') {
            found.push(ends);
        }
        at = ends + 2;
    }
    found
}

/// The next tag: where it opens and where its closing delimiter stands.
fn next_tag(text: &str, from: usize) -> Option<(usize, Option<usize>)> {
    let opens = ["{%", "{{", "{#"].iter().filter_map(|o| text[from..].find(o)).min()? + from;
    let closes = match &text[opens..opens + 2] {
        "{%" => "%}",
        "{{" => "}}",
        _ => "#}",
    };
    Some((opens, text[opens + 2..].find(closes).map(|at| opens + 2 + at)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_lines_with_words_keep_their_ends() {
        let prepared = |text| Source::new("t", text).prepared().to_string();
        assert_eq!(prepared("{% if a %}\nb\n"), "{% if a %}\nb\n");
        assert_eq!(prepared("b{% if a %}\n"), "b{% if a +%}\n");
        assert_eq!(
            prepared("{{ b }}{% endif %}{% endif %}\r\n"),
            "{{ b }}{% endif %}{% endif +%}\r\n"
        );
        assert_eq!(prepared("  {% if a %}{% if b %}\n"), "  {% if a %}{% if b %}\n");
        assert_eq!(prepared("b{% if a -%}\n"), "b{% if a -%}\n");
        assert_eq!(prepared("b\n{% if\na %}\n"), "b\n{% if\na %}\n");
        assert_eq!(prepared("a {% x"), "a {% x");
    }

    #[test]
    fn places_are_those_of_the_written_text() {
        let source = Source::new("t", "a{% if b %}\nc{{ d }}{% endif %}\ne{{ f }}");
        let at = source.prepared().find("{{ f").unwrap();
        let place = source.place(at, at + 2);
        assert_eq!((place.line, place.column), (3, 2));
        assert_eq!(&"a{% if b %}\nc{{ d }}{% endif %}\ne{{ f }}"[place.start..place.end], "{{");
    }
}
