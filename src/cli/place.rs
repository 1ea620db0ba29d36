//! Which clinic's folder a command works in.

use std::path::{Component, Path, PathBuf};

use endplate::pipeline::io::{CLINIC_FILE, Folder};

use super::{Global, Stop};

/// The folder named by `--clinic`, or the nearest one upward from here.
pub fn folder(global: &Global) -> Result<Folder, Stop> {
    let found = match &global.clinic {
        Some(dir) => Folder::at(dir),
        None => Folder::above(Path::new(".")),
    };
    found.ok_or_else(|| missing(global.clinic.as_deref()))
}

/// The clinic's folder, or the current one without a clinic, so that a case
/// file can be checked anywhere.
pub fn folder_or_here(global: &Global) -> Result<Folder, Stop> {
    match (folder(global), &global.clinic) {
        (Err(_), None) => Ok(Folder::bare(Path::new("."))?),
        (found, _) => found,
    }
}

/// The file of a case, named by its id or its path.
pub fn case_file(folder: &Folder, named: &str) -> Result<PathBuf, Stop> {
    let below = |ending: &str| folder.root().join("cases").join(format!("{named}.{ending}"));
    let typed = Path::new(named).to_path_buf();
    let mut all = [typed, below("yaml"), below("yml")].into_iter();
    all.find(|path| path.is_file()).ok_or_else(|| {
        let help = "name a case by its id, as in `fw-0118`, or by its file";
        Stop::Usage(format!("there is no case `{named}`"), help.to_string())
    })
}

fn missing(dir: Option<&Path>) -> Stop {
    let fault = match dir {
        Some(dir) => format!("`{}` holds no {CLINIC_FILE}", dir.display()),
        None => format!("no {CLINIC_FILE} in this folder or above it"),
    };
    let help = "go to the clinic's folder, or name it with `--clinic DIR`";
    Stop::Usage(fault, help.to_string())
}

/// Refuses to write below `cases/`: records and issued letters live there, and
/// nothing that can be made again may take their place.
pub fn not_a_record(global: &Global, path: &Path) -> Result<(), Stop> {
    let folder = folder(global)?;
    let cases = folder.root().join("cases");
    let path = straight(&std::path::absolute(path)?);
    // The folder itself may be reached by another name.
    let real = |p: &Path| p.ancestors().find_map(|a| a.canonicalize().ok());
    let inside = path.starts_with(&cases)
        || real(&path).zip(cases.canonicalize().ok()).is_some_and(|(p, c)| p.starts_with(c));
    if !inside {
        return Ok(());
    }
    let fault = format!("`{}` lies among the records, below `cases/`", path.display());
    Err(Stop::Usage(fault, "name a place outside of `cases/`".to_string()))
}

/// A path without `..`, whether or not its folders exist yet.
fn straight(path: &Path) -> PathBuf {
    let mut straight = PathBuf::new();
    for part in path.components() {
        match part {
            Component::ParentDir => {
                straight.pop();
            }
            part => straight.push(part),
        }
    }
    straight
}
