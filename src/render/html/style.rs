//! The style of the page, and what only this letter's sheets bear.

use super::frame::identity;
use crate::letter::block::{Frame, Paper};

/// The constant style.
const STYLE: &str = include_str!("../../../templates/layout/letter.css");

/// The face of head and foot.
const FACE: &str =
    r#"font: 7.5pt/1.35 "Noto Sans", Arial, "Liberation Sans", sans-serif; color: #4d4d4d;"#;
/// The place of the foot, under a hairline.
const FOOT: &str =
    "vertical-align: top; border-top: 0.4pt solid #b8b8b8; margin-top: 3mm; padding-top: 1mm;";

/// The style with the paper and what stands at head and foot of each sheet.
pub fn sheet(frame: &Frame) -> String {
    let size = match frame.paper {
        Paper::A4 => "A4",
        Paper::UsLetter => "letter",
    };
    let patient = [Some(&frame.patient.name), frame.patient.record.as_ref()];
    let patient: Vec<_> = patient.into_iter().flatten().map(String::as_str).collect();
    let head = quoted(&patient.join(" · "));
    let date = quoted(&frame.date);
    let foot = quoted(&identity(frame).join(" · "));
    let caution = [frame.notice.as_deref(), Some(&frame.caution)];
    let caution = quoted(&caution.into_iter().flatten().collect::<Vec<_>>().join(" "));
    let (page, of) = (quoted(&frame.words.page), quoted(&frame.words.of));
    format!(
        r#"{STYLE}
@page {{
  size: {size};
  margin: 24mm 25mm 23mm;
  @top-left {{ content: {head}; {FACE} vertical-align: bottom; padding-bottom: 4mm; }}
  @top-right {{ content: {date}; {FACE} vertical-align: bottom; padding-bottom: 4mm; }}
  @bottom-left {{ content: {foot} "\A" {caution}; {FACE} {FOOT} width: 86%; white-space: pre-line; text-align: left; }}
  @bottom-right {{ content: {page} " " counter(page) " " {of} " " counter(pages); {FACE} {FOOT} width: 14%; text-align: right; }}
}}
@page :first {{ margin-top: 18mm; @top-left {{ content: none; }} @top-right {{ content: none; }} }}
"#
    )
}

/// A text as a string of a style sheet. Whatever could end the string or the
/// element around it is written by its number.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        if c.is_ascii() && !c.is_ascii_alphanumeric() && !" ,.:-".contains(c) || c.is_control() {
            quoted.push_str(&format!("\\{:x} ", u32::from(c)));
        } else {
            quoted.push(c);
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::quoted;

    #[test]
    fn no_text_ends_its_string() {
        assert_eq!(quoted("Zoë · fw-0118"), "\"Zoë · fw-0118\"");
        assert_eq!(quoted("a\"b\\"), "\"a\\22 b\\5c \"");
        assert_eq!(quoted("</style>\n"), "\"\\3c \\2f style\\3e \\a \"");
    }
}
