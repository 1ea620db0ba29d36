//! Both standards, asked of an independent checker.

use page_validation::{ValidationOptions, ValidationProfile, validate_pdf_bytes};

/// What `page_validation` finds against a profile, one line a rule.
///
/// One finding is looked at again: version 0.12 takes a carriage return that
/// ends a stream's data, followed by the line feed before `endstream`, for one
/// line end of two bytes, and then calls a right `/Length` wrong (about one
/// compressed stream in 256 ends so). It is dropped only if every stream's
/// length is right when counted here.
pub fn failures(bytes: &[u8], profile: ValidationProfile) -> Vec<String> {
    let options = ValidationOptions::default().profile(profile);
    let report = validate_pdf_bytes(bytes, &options).expect("the file can be read");
    let mut list: Vec<String> = report.failures.iter().map(|f| f.to_string()).collect();
    if lengths_are_right(bytes) {
        list.retain(|f| !f.contains("a stream /Length does not match its raw content length"));
    }
    list
}

/// Both profiles that every letter claims.
pub fn claimed(bytes: &[u8]) -> Vec<String> {
    let mut list = failures(bytes, ValidationProfile::PdfA2a);
    list.extend(failures(bytes, ValidationProfile::PdfUa1));
    list
}

/// Whether each stream is followed, after as many bytes as its dictionary
/// says, by one line feed and `endstream`.
fn lengths_are_right(bytes: &[u8]) -> bool {
    let mut rest = bytes;
    while let Some(at) = find(rest, b"/Length ") {
        rest = &rest[at + b"/Length ".len()..];
        let digits: Vec<u8> = rest.iter().copied().take_while(u8::is_ascii_digit).collect();
        let length: usize = String::from_utf8(digits).unwrap().parse().unwrap();
        let Some(start) = find(rest, b"stream\n") else { return false };
        let Some(end) = rest.get(start + b"stream\n".len() + length..) else { return false };
        if !end.starts_with(b"\nendstream") {
            return false;
        }
        rest = end;
    }
    true
}

fn find(bytes: &[u8], word: &[u8]) -> Option<usize> {
    bytes.windows(word.len()).position(|w| w == word)
}
