//! Digests of the files that letters enclose.
//!
//! Opens no file: their bytes come through the closure given. A file that
//! cannot be read is a fault of the case, since the letter would promise it.

use super::Case;
use crate::diag::{Code, Diagnostic, Report};
use crate::digest::Digest;

/// Fills in the digest of every enclosed file; `load` gives the bytes of a
/// file by its path as written.
pub fn enclose(
    case: &mut Case,
    load: &dyn Fn(&str) -> Result<Vec<u8>, String>,
    report: &mut Report,
) {
    for enclosure in case.letters.iter_mut().flat_map(|l| &mut l.enclosures) {
        let Some(file) = &enclosure.file else { continue };
        match load(&file.value) {
            Ok(bytes) => enclosure.digest = Some(Digest::of(&bytes)),
            Err(why) => {
                let message = format!("enclosure `{}` cannot be read: {why}", file.value);
                let place = Some(file.place.clone());
                report.push(Diagnostic::new(Code::EnclosureUnreadable, place, message));
            }
        }
    }
}
