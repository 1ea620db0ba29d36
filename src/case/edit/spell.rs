//! How a value and an entry of `corrections` are written in YAML.

use super::Correction;

/// The ways a value may be written, the one nearest to what stood there
/// first: without quotes where nothing in it can be misread, also inside
/// brackets; in the old value's quotes; in double quotes.
pub(super) fn spellings(value: &str, old: &str) -> Vec<String> {
    let value = value.trim();
    let printable = !value.chars().any(char::is_control);
    let mut all = Vec::new();
    match old.chars().next() {
        Some('\'') if printable => all.push(format!("'{}'", value.replace('\'', "''"))),
        Some('"') => {}
        _ if plain(value) => all.push(value.to_string()),
        _ => {}
    }
    all.push(quoted(value));
    all
}

/// A text as a YAML value.
pub(in crate::case) fn scalar(text: &str) -> String {
    let text = text.trim();
    if plain(text) { text.to_string() } else { quoted(text) }
}

/// Whether a text means itself without quotes, also inside brackets.
fn plain(text: &str) -> bool {
    const SPECIAL: [char; 16] =
        [',', '[', ']', '{', '}', '#', '"', '\'', '&', '*', '!', '|', '>', '%', '@', '`'];
    let first = text.chars().next();
    first.is_some_and(|c| c.is_alphanumeric() || c == '-' && text.len() > 1)
        && !text.starts_with("- ")
        && !text.contains(SPECIAL)
        && !text.contains('\\')
        && !text.contains(": ")
        && !text.ends_with(':')
        && !text.chars().any(char::is_control)
        && !matches!(text, "null" | "~")
}

fn quoted(text: &str) -> String {
    let mut out = String::from('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => out.push_str(&format!("\\u{:04x}", u32::from(c))),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Keys and values of an entry of `corrections`, in their order.
pub(super) fn fields<'a>(c: &'a Correction, at: &'a str, was: &'a str) -> [(&'a str, String); 6] {
    [
        ("on", c.on.to_string()),
        ("by", c.by.trim().to_string()),
        ("at", at.to_string()),
        ("was", was.trim().to_string()),
        ("now", c.now.trim().to_string()),
        ("because", c.because.trim().to_string()),
    ]
}

/// The entry as an item of a list written line by line.
pub(super) fn lines(fields: &[(&str, String); 6], indent: &str, ending: &str) -> String {
    let line = |(i, (key, value)): (usize, &(&str, String))| {
        let dash = if i == 0 { "- " } else { "  " };
        format!("{indent}{dash}{key}: {}{ending}", scalar(value))
    };
    fields.iter().enumerate().map(line).collect()
}

/// The entry in braces.
pub(super) fn braces(fields: &[(&str, String); 6]) -> String {
    let pairs: Vec<_> = fields.iter().map(|(key, v)| format!("{key}: {}", scalar(v))).collect();
    format!("{{{}}}", pairs.join(", "))
}
