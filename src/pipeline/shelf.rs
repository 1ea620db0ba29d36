//! The output folder: what may be written where, and what must not be lost.
//!
//! A file is ours if its bytes are those of the index; anything else at its
//! place was put there by somebody, and is written over only when that was
//! asked for. Whether two files are the same is decided by their content. A
//! file that equals the new letter is taken as it is, whatever the index says:
//! so a build that was stopped is continued.

use std::collections::BTreeMap;
use std::path::Path;

use super::build::State;
use super::index::{Entry, Index};
use super::io;
use super::output::Output;
use super::plan::Job;
use super::why::Why;
use crate::diag::{Code, Diagnostic, Report};
use crate::digest::Digest;

/// What happens to a file of ours that somebody changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Edited {
    /// It stays as it is, and the build says so.
    #[default]
    Keep,
    /// The new letter is written over it.
    WriteOver,
}

/// Where removed letters go, below the output folder. No case's folder begins
/// with a dot.
const ASIDE: &str = ".aside";

/// An output folder as the last build left it.
pub(super) struct Shelf<'a> {
    /// The folder.
    pub out: &'a Path,
    /// Its memory.
    pub index: &'a Index,
    /// What to do with edited files.
    pub edited: Edited,
}

/// What became of a letter that was made, in one of its forms.
pub(super) struct Put {
    /// The form.
    pub output: Output,
    /// The word for it.
    pub state: State,
    /// What to remember; nothing if the file is still the old one.
    pub entry: Option<Entry>,
    /// What the state alone does not say.
    pub why: Option<Why>,
    /// Why the letter could not be put there.
    pub fault: Option<Diagnostic>,
}

/// A letter in one of its forms: the digest of what it is set from, and how to
/// set it.
pub(super) struct Form<F> {
    pub output: Output,
    pub key: Option<Digest>,
    pub set: F,
}

impl Shelf<'_> {
    /// The digest of a file below the folder, if there is one.
    pub fn stands(&self, file: &str) -> std::io::Result<Option<Digest>> {
        io::digest_of(&self.out.join(file))
    }

    /// Puts a letter at its place; sets its pages only if they must be
    /// written, or cannot be known to be the ones that are there.
    pub fn put<F>(&self, job: &Job, form: Form<F>) -> Result<Put, Report>
    where
        F: FnOnce() -> Result<Vec<u8>, Report>,
    {
        let Form { output, key, set } = form;
        let file = job.file(output);
        let stands = self.stands(&file).map_err(|e| only(unwritable(job, &file, &e)))?;
        let old = self.index.entry(&job.name(), output);
        let known = old.filter(|o| o.file == file && o.pages.is_some() && o.pages == key);
        if let (Some(known), Some(stands)) = (known, stands)
            && (stands == known.digest || self.edited == Edited::Keep)
        {
            return Ok(spared(job, output, known, stands));
        }
        let bytes = set()?;
        let digest = Digest::of(&bytes);
        let ours = old.filter(|o| o.file == file).map(|o| o.digest);
        let state = match old {
            Some(old) if old.digest == digest && old.file == file => State::Unchanged,
            Some(_) => State::Changed,
            None if stands == Some(digest) => State::Unchanged,
            None => State::New,
        };
        let mut why = None;
        match stands {
            Some(found) if found == digest => {}
            Some(found) if Some(found) != ours && self.edited == Edited::Keep => {
                return Ok(kept(job, output, ours.is_some()));
            }
            found => {
                io::write_atomic(&self.out.join(&file), &bytes)
                    .map_err(|e| only(unwritable(job, &file, &e)))?;
                why = match found {
                    None => old.filter(|o| o.file == file).map(|_| Why::FileMissing),
                    Some(_) => (found != ours).then_some(Why::WrittenOver),
                };
            }
        }
        let printed = BTreeMap::new();
        let entry = Some(Entry { file, digest, pages: key, made_from: None, printed });
        Ok(Put { output, state, entry, why, fault: None })
    }

    /// Moves the old file of a letter aside, if it is as we wrote it. Gives
    /// what became of it and where it is; nothing if it is gone or belongs to
    /// another letter now.
    pub fn set_aside(
        &self,
        old: &Entry,
        taken: &BTreeMap<String, String>,
    ) -> Option<(State, Option<String>, Option<Diagnostic>)> {
        if taken.contains_key(&old.file) {
            return None;
        }
        match self.stands(&old.file) {
            Ok(None) => None,
            Ok(Some(found)) if found == old.digest => match self.move_aside(&old.file) {
                Ok(to) => Some((State::Moved, Some(to), None)),
                Err(error) => {
                    let message =
                        format!("`{}` cannot be moved aside: {}", old.file, io::reason(&error));
                    let fault = Diagnostic::new(Code::OutputUnwritable, None, message);
                    Some((State::Left, None, Some(fault)))
                }
            },
            _ => Some((State::Left, None, None)),
        }
    }

    /// Moves a file to a name below [`ASIDE`] that is not taken.
    fn move_aside(&self, file: &str) -> std::io::Result<String> {
        let (stem, ending) = file.rsplit_once('.').unwrap_or((file, ""));
        let name = |n: usize| match n {
            1 => format!("{ASIDE}/{file}"),
            n => format!("{ASIDE}/{stem}.{n}.{ending}"),
        };
        let free = |n: &usize| !io::exists(&self.out.join(name(*n)));
        let to = (1..).find(free).map_or_else(String::new, name);
        io::move_aside(&self.out.join(file), &self.out.join(&to))?;
        Ok(to)
    }
}

/// A letter whose pages are the old ones and whose file is there.
fn spared(job: &Job, output: Output, known: &Entry, stands: Digest) -> Put {
    let put = match stands == known.digest {
        true => Put { output, state: State::Unchanged, entry: None, why: None, fault: None },
        false => kept(job, output, true),
    };
    Put { entry: Some(known.clone()), ..put }
}

/// A letter whose place holds something that is not ours to write over.
fn kept(job: &Job, output: Output, ours: bool) -> Put {
    let place = Some(job.entry.place.clone());
    let fault = edited(&job.file(output), ours, place);
    Put { output, state: State::Kept, entry: None, why: None, fault: Some(fault) }
}

/// The fault of a file that is not as it was written, or never was written.
pub(super) fn edited(file: &str, ours: bool, place: Option<crate::diag::Place>) -> Diagnostic {
    let (code, what) = match ours {
        true => (Code::OutputEdited, "was changed since it was built and is left as it is"),
        false => (Code::OutputNotOurs, "was not written by a build known here and is left"),
    };
    Diagnostic::new(code, place, format!("`{file}` {what}"))
}

fn unwritable(job: &Job, file: &str, error: &std::io::Error) -> Diagnostic {
    let message = format!("`{file}` cannot be written: {}", io::reason(error));
    Diagnostic::new(Code::OutputUnwritable, Some(job.entry.place.clone()), message)
}

fn only(fault: Diagnostic) -> Report {
    let mut report = Report::default();
    report.push(fault);
    report
}
