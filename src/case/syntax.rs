//! The parser's complaints in plain words.

use serde_saphyr::granit_parser::{ErrorKind, ScanError};

use crate::diag::{Code, Diagnostic, Place};

/// The diagnostic of a syntax error; `bracket` is the innermost one open.
pub(super) fn explain(
    error: &ScanError,
    source: &str,
    file: &str,
    bracket: Option<Place>,
) -> Diagnostic {
    let place = place(error, source, file);
    let code = match error.kind() {
        ErrorKind::RecursionLimitExceeded => Code::TooDeep,
        _ => Code::YamlSyntax,
    };
    let (message, remedy) = words(error.kind());
    let mut diagnostic = Diagnostic::new(code, Some(place.clone()), message);
    if let Some(bracket) = bracket.filter(|b| b.line < place.line) {
        diagnostic = diagnostic.related(bracket, "the bracket still open is here");
    }
    match remedy {
        Some(remedy) => diagnostic.remedy(remedy),
        None => diagnostic,
    }
}

/// Where the fault is: a tab itself, not the start of the text it stands in.
fn place(error: &ScanError, source: &str, file: &str) -> Place {
    let at = error.marker();
    let (mut line, mut column) = (at.line() as u32, at.col() as u32 + 1);
    let mut start = at.byte_offset().unwrap_or(0).min(source.len());
    let before_tab = match error.kind() {
        ErrorKind::TabInPlainScalar => source[start..].split_once('\t').map(|(text, _)| text),
        _ => None,
    };
    for c in before_tab.unwrap_or("").chars() {
        start += c.len_utf8();
        (line, column) = if c == '\n' { (line + 1, 1) } else { (line, column + 1) };
    }
    Place { file: file.into(), line, column, start, end: start }
}

const QUOTE: &str = "put the whole text in double quotes";
const INDENT: &str = "start all keys of one record in the same column, with spaces";

fn words(kind: &ErrorKind) -> (String, Option<&'static str>) {
    use ErrorKind as K;
    let plain = |message: &str, remedy| (message.to_string(), Some(remedy));
    match kind {
        K::TabInPlainScalar | K::TabNotAllowed | K::TabInBlockIndentation | K::TabInIndentation => {
            plain("a tab stands where only spaces may", "indent with spaces")
        }
        K::UnclosedQuotedScalar => {
            plain("a quoted text is opened here and never closed", "add the closing quote")
        }
        K::UnclosedFlowCollection { open } => (
            format!("`{open}` is opened here and never closed"),
            Some("add the closing bracket, or the comma that is missing inside"),
        ),
        K::MismatchedFlowCollectionEnd { open, close } => (
            format!("`{open}` is opened here but closed by `{close}`"),
            Some("close each bracket by its own kind"),
        ),
        K::MisplacedFlowCollectionEnd => {
            plain("a closing bracket without an opening one", "remove it, or add the opening one")
        }
        K::ExpectedFlowMappingSeparator => plain(
            "`,` or `}` is missing before this",
            "separate the entries by commas, or add the closing bracket",
        ),
        K::ExpectedFlowSequenceSeparator => plain(
            "`,` or `]` is missing before this",
            "separate the items by commas, or add the closing bracket",
        ),
        K::MappingValueNotAllowed => plain(
            "a colon where no key can stand",
            "put a text that holds a colon in double quotes, or mend the indentation",
        ),
        K::SimpleKeyExpected | K::InvalidSimpleKey => {
            plain("this line is no `key: value`", "add the colon, or indent it with the text above")
        }
        K::ExpectedBlockMappingKey | K::InvalidIndentation => {
            plain("this line is indented like none above it", INDENT)
        }
        K::ExpectedBlockSequenceEntry => {
            plain("this line is neither an item of the list above nor a key", INDENT)
        }
        K::UnexpectedCharacter { character } => {
            (format!("no value can start with `{}`", character.escape_default()), Some(QUOTE))
        }
        K::InvalidTrailingSingleQuotedScalar | K::InvalidTrailingDoubleQuotedScalar => plain(
            "text goes on after the closing quote",
            "double a quote inside quotes, or use the other kind",
        ),
        K::UnknownQuotedScalarEscape => plain(
            "`\\` in double quotes starts no escape known here",
            "write `\\\\` for a backslash",
        ),
        K::DirectiveDisallowed => plain("`%` starts a YAML directive", "remove the line"),
        K::RecursionLimitExceeded => plain(
            "lists and records nest deeper than 24 levels",
            "no record is that deep: look for brackets typed twice",
        ),
        other => (other.to_string(), None),
    }
}
