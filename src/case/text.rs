//! From a file's bytes to text that is safe to read: size, encoding, and
//! characters that no record may hold.
//!
//! Private-use characters are the letter engine's own token delimiters, and
//! characters that cannot be seen may make a text read other than it looks;
//! both are refused here, before anything else sees them. Knows nothing of
//! YAML.

use crate::diag::{Code, Diagnostic, Place, Report};

/// Largest file read, in bytes. A long case is about 50 kB; more than this is
/// a mistake or an attack, and is refused before it costs time.
pub const MAX_BYTES: usize = 2 * 1024 * 1024;

/// How many forbidden characters are reported one by one.
const MAX_SHOWN: usize = 20;

/// The text of a file: UTF-8, no byte-order mark, not too large. A fault is
/// reported and gives `None`.
pub fn decode(bytes: &[u8], file: &str, report: &mut Report) -> Option<String> {
    if bytes.len() > MAX_BYTES {
        let message =
            format!("{} bytes is more than the {MAX_BYTES} bytes a file may have", bytes.len());
        report.add(Code::FileTooLarge, &Place::whole(file), message);
        return None;
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Some(text.strip_prefix('\u{feff}').unwrap_or(text).to_string()),
        Err(error) => {
            report_encoding(bytes, error.valid_up_to(), file, report);
            None
        }
    }
}

fn report_encoding(bytes: &[u8], at: usize, file: &str, report: &mut Report) {
    let before = String::from_utf8_lossy(&bytes[..at]);
    let place = place_after(&before, file, 1);
    let message = match bytes {
        [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => "the file is UTF-16, not UTF-8".to_string(),
        _ => format!("byte 0x{:02x} is not UTF-8", bytes[at]),
    };
    report.add(Code::NotUtf8, &place, message);
}

/// The place right after a text that starts the file.
fn place_after(before: &str, file: &str, width: usize) -> Place {
    let line = before.bytes().filter(|b| *b == b'\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    let (start, end) = (before.len(), before.len() + width);
    Place { file: file.into(), line: line as u32, column: column as u32, start, end }
}

/// Why a character is forbidden in every text, or `None` if it is allowed.
pub fn forbidden(c: char) -> Option<&'static str> {
    match c {
        '\n' | '\t' => None,
        '\0'..='\u{1f}' | '\u{7f}'..='\u{9f}' => Some("a control character"),
        '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{10ffff}' => Some("a private-use character"),
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
            Some("an invisible character that turns the direction of text")
        }
        '\u{2028}' | '\u{2029}' => Some("an invisible line break"),
        '\u{feff}' => Some("a byte-order mark inside the text"),
        '\u{fffd}' => Some("the mark of a character lost when the text was saved"),
        '\u{fdd0}'..='\u{fdef}' => Some("not a character"),
        _ if u32::from(c) & 0xfffe == 0xfffe => Some("not a character"),
        _ => None,
    }
}

/// Reports every forbidden character of a file's text. Returns whether the
/// text can still be parsed line by line: a NUL or a lone carriage return
/// makes every later place doubtful.
pub fn scan(text: &str, file: &str, report: &mut Report) -> bool {
    let (mut line, mut column, mut found, mut sound) = (1u32, 0u32, 0usize, true);
    for (start, c) in text.char_indices() {
        column += 1;
        if c == '\n' {
            (line, column) = (line + 1, 0);
        }
        let crlf = c == '\r' && text[start + 1..].starts_with('\n');
        let Some(why) = forbidden(c).filter(|_| !crlf) else { continue };
        sound &= !matches!(c, '\0' | '\r');
        found += 1;
        if found <= MAX_SHOWN {
            let end = start + c.len_utf8();
            let place = Place { file: file.into(), line, column, start, end };
            report.add(Code::ForbiddenCharacter, &place, describe(c, why));
        }
    }
    if found > MAX_SHOWN {
        let message = format!("{} more forbidden characters", found - MAX_SHOWN);
        report.push(Diagnostic::new(Code::ForbiddenCharacter, Some(Place::whole(file)), message));
    }
    sound
}

/// One forbidden character in words.
pub fn describe(c: char, why: &str) -> String {
    format!("U+{:04X} is {why}", u32::from(c))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn faults(bytes: &[u8]) -> Vec<(Code, u32, u32)> {
        let mut report = Report::default();
        if let Some(text) = decode(bytes, "f.yaml", &mut report) {
            scan(&text, "f.yaml", &mut report);
        }
        report.iter().map(|d| (d.code, at(d).0, at(d).1)).collect()
    }

    fn at(d: &Diagnostic) -> (u32, u32) {
        let place = d.place.as_ref().unwrap();
        (place.line, place.column)
    }

    #[test]
    fn what_is_not_plain_text_is_refused_where_it_stands() {
        assert_eq!(faults("a: 1\r\nb: Zoë\r\n".as_bytes()), []);
        assert_eq!(faults("\u{feff}a: 1\n".as_bytes()), []);
        assert_eq!(faults(b"a: 1\nb: Zo\xeb\n"), [(Code::NotUtf8, 2, 6)]);
        assert_eq!(faults("a: 1\nbé: \u{202e}x".as_bytes()), [(Code::ForbiddenCharacter, 2, 5)]);
        assert_eq!(faults("a: \u{e000}".as_bytes()), [(Code::ForbiddenCharacter, 1, 4)]);
        assert_eq!(faults(b"a: 1\rb: 2"), [(Code::ForbiddenCharacter, 1, 5)]);
        assert_eq!(faults(&vec![b'a'; MAX_BYTES + 1]), [(Code::FileTooLarge, 1, 1)]);
        assert_eq!(faults(&[0; 1000]).len(), MAX_SHOWN + 1);
    }
}
