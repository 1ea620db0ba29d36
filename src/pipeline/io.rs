//! The one owner of files and locks.
//!
//! Everything else in the library works on text and bytes that are handed in.
//! Paths shown to people are relative to the clinic's folder and use forward
//! slashes, so that messages and snapshots are the same on every machine.

#![allow(clippy::disallowed_methods)] // This is where they are allowed.

use std::fs::{self, File};
use std::io::{self, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::sync::OnceLock;

use walkdir::WalkDir;

use crate::digest::Digest;

/// The clinic's own file, below its folder.
pub const CLINIC_FILE: &str = "cases/clinic.yaml";
/// No file of a case is larger, in bytes; a larger one is not read at all.
pub const LARGEST_FILE: u64 = 32 * 1024 * 1024;

/// The folder of one clinic: `cases/` with `clinic.yaml`, `templates/`, `out/`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Folder {
    root: PathBuf,
}

impl Folder {
    /// The nearest folder at or above `start` that holds a clinic's file.
    pub fn above(start: &Path) -> Option<Folder> {
        let start = std::path::absolute(start).ok()?;
        let holds = |dir: &&Path| dir.join(CLINIC_FILE).is_file();
        start.ancestors().find(holds).map(|root| Folder { root: root.to_path_buf() })
    }

    /// The folder itself, if it holds a clinic's file.
    pub fn at(root: &Path) -> Option<Folder> {
        let root = std::path::absolute(root).ok()?;
        root.join(CLINIC_FILE).is_file().then_some(Folder { root })
    }

    /// A folder without a clinic's file, for checking single cases.
    pub fn bare(root: &Path) -> io::Result<Folder> {
        Ok(Folder { root: std::path::absolute(root)? })
    }

    /// Where it is.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The clinic's own file.
    pub fn clinic_file(&self) -> PathBuf {
        self.root.join(CLINIC_FILE)
    }

    /// How a path is shown: relative to the folder where it lies below it.
    pub fn shown(&self, path: &Path) -> String {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        let below = path.strip_prefix(&self.root).unwrap_or(&path);
        let parts: Vec<_> = below.components().map(|c| c.as_os_str().to_string_lossy()).collect();
        parts.join("/").replace("//", "/")
    }
}

/// Case files below a file or folder, by name: `.yaml` and `.yml`, without
/// the clinic's own file, hidden files and what was issued.
pub fn case_files(path: &Path) -> io::Result<Vec<PathBuf>> {
    if fs::metadata(path)?.is_file() {
        return Ok(vec![path.to_path_buf()]);
    }
    let skipped = |name: &str| name.starts_with('.') || name == "issued";
    let mut files = Vec::new();
    let walk = WalkDir::new(path).sort_by_file_name().into_iter();
    for entry in walk.filter_entry(|e| e.depth() == 0 || !skipped(&e.file_name().to_string_lossy()))
    {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy();
        let yaml = name.ends_with(".yaml") || name.ends_with(".yml");
        if yaml && name != "clinic.yaml" && entry.path().is_file() {
            files.push(entry.into_path());
        }
    }
    Ok(files)
}

/// Every regular file below a folder, sorted; none if there is no folder.
pub fn files_below(path: &Path) -> Vec<PathBuf> {
    let walk = WalkDir::new(path).sort_by_file_name().into_iter();
    let files = walk.filter_map(Result::ok).filter(|e| e.path().is_file());
    files.map(walkdir::DirEntry::into_path).collect()
}

/// The bytes of a regular file of bearable size.
pub fn read(path: &Path) -> io::Result<Vec<u8>> {
    let metadata = fs::metadata(path)?;
    if !metadata.is_file() {
        return Err(io::Error::new(io::ErrorKind::InvalidInput, "it is not a file"));
    }
    let mut bytes = Vec::new();
    File::open(path)?.take(LARGEST_FILE + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > LARGEST_FILE {
        let message = format!("it is larger than {} MB", LARGEST_FILE / 1024 / 1024);
        return Err(io::Error::new(io::ErrorKind::InvalidInput, message));
    }
    Ok(bytes)
}

/// The bytes of a file that this program wrote, however large.
pub fn read_own(path: &Path) -> io::Result<Vec<u8>> {
    fs::read(path)
}

/// The digest of a regular file; `None` if nothing of that name exists.
pub fn digest_of(path: &Path) -> io::Result<Option<Digest>> {
    match fs::metadata(path) {
        Ok(metadata) if metadata.is_file() => Ok(Some(Digest::of(&fs::read(path)?))),
        Ok(_) => Err(io::Error::new(io::ErrorKind::InvalidInput, "it is not a file")),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// The digest of the running program; `None` if it cannot read itself.
pub fn program() -> Option<Digest> {
    static PROGRAM: OnceLock<Option<Digest>> = OnceLock::new();
    *PROGRAM.get_or_init(|| {
        // There the running program is meant, even if its file was replaced.
        let running = Path::new("/proc/self/exe");
        let file = match running.exists() {
            true => running.to_path_buf(),
            false => std::env::current_exe().ok()?,
        };
        Some(Digest::of(&fs::read(file).ok()?))
    })
}

/// A file named inside a case, relative to the case's folder. A name that
/// leaves that folder is refused: a case must not read what is not its own.
pub fn read_beside(case_file: &Path, name: &str) -> io::Result<Vec<u8>> {
    let inside = Path::new(name).components().all(|c| matches!(c, Component::Normal(_)));
    if !inside || name.contains('\\') {
        let message = "it does not lie below the case's folder";
        return Err(io::Error::new(io::ErrorKind::InvalidInput, message));
    }
    read(&case_file.parent().unwrap_or(Path::new("")).join(name))
}

/// Why reading or writing failed, in the words of messages.
pub fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "it does not exist".to_string(),
        io::ErrorKind::PermissionDenied => "permission is denied".to_string(),
        io::ErrorKind::IsADirectory => "it is a folder".to_string(),
        io::ErrorKind::StorageFull => "the disk is full".to_string(),
        io::ErrorKind::QuotaExceeded => "the disk quota is used up".to_string(),
        io::ErrorKind::FileTooLarge => "the system allows no file that large".to_string(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_string(),
        _ => error.to_string().to_lowercase(),
    }
}

/// Writes a file so that it is either the old or the new one, never half:
/// a temporary file beside it, forced to disk, then renamed over it.
pub fn write_atomic(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let temporary = folder.join(format!(".{name}.{}.part", std::process::id()));
    let written = (|| {
        let mut file = File::create(&temporary)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&temporary, path)?;
        sync_folder(folder)
    })();
    if written.is_err() {
        let _ = fs::remove_file(&temporary);
    }
    written
}

/// Replaces the text of a file that people edit, if it still holds what was
/// read: the old one or the new one, never half. A link is followed; owner and
/// permissions stay. The caller holds the folder's lock.
pub fn replace(path: &Path, old: &[u8], new: &[u8]) -> io::Result<()> {
    let path = fs::canonicalize(path)?;
    let metadata = fs::metadata(&path)?;
    let refused = |kind, why| Err(io::Error::new(kind, why));
    if !metadata.is_file() {
        return refused(io::ErrorKind::InvalidInput, "it is not a file");
    }
    if metadata.permissions().readonly() {
        return refused(io::ErrorKind::Other, "it is write-protected");
    }
    let temporary = beside(&path, std::process::id());
    sweep_of(&path);
    let written = (|| {
        let mut file = File::options().write(true).create_new(true).open(&temporary)?;
        file.write_all(new)?;
        file.set_permissions(metadata.permissions())?;
        keep_owner(&file, &metadata);
        file.sync_all()?;
        if !holds(&path, old) {
            return refused(io::ErrorKind::Other, "it was changed meanwhile by another program");
        }
        fs::rename(&temporary, &path)?;
        sync_folder(path.parent().unwrap_or(Path::new(".")))
    })();
    if written.is_err() {
        let _ = fs::remove_file(&temporary);
    }
    written
}

/// The name of a temporary file beside another.
fn beside(path: &Path, process: u32) -> PathBuf {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    path.with_file_name(format!(".{name}.{process}.part"))
}

/// Removes what interrupted runs left half-written beside a file.
fn sweep_of(path: &Path) {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let ours = |other: &str| {
        let rest = other.strip_prefix(&format!(".{name}."))?.strip_suffix(".part")?;
        (!rest.is_empty() && rest.bytes().all(|b| b.is_ascii_digit())).then_some(())
    };
    let folder = path.parent().unwrap_or(Path::new("."));
    for entry in fs::read_dir(folder).into_iter().flatten().filter_map(Result::ok) {
        if ours(&entry.file_name().to_string_lossy()).is_some() {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Gives a new file the owner of the old one, where the system lets us.
#[cfg(unix)]
fn keep_owner(file: &File, old: &fs::Metadata) {
    use std::os::unix::fs::{MetadataExt, fchown};
    let same = file.metadata().is_ok_and(|new| (new.uid(), new.gid()) == (old.uid(), old.gid()));
    if !same {
        let _ = fchown(file, Some(old.uid()), Some(old.gid()));
    }
}

#[cfg(not(unix))]
fn keep_owner(_: &File, _: &fs::Metadata) {}

/// The folder in which a file really lies, links followed.
pub fn real_folder(path: &Path) -> io::Result<PathBuf> {
    let path = fs::canonicalize(path)?;
    Ok(path.parent().unwrap_or(Path::new("/")).to_path_buf())
}

/// Forces a folder's list of names to disk, where the system can.
fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

/// Writes a file that must not exist yet, whole or not at all: a temporary
/// file, forced to disk, then given its name, which fails if that is taken.
pub fn write_once(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let temporary = folder.join(format!(".{name}.{}.part", std::process::id()));
    let written = (|| {
        let mut file = File::create(&temporary)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        match fs::hard_link(&temporary, path) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(error),
            // A file system without links: the caller's lock keeps others out.
            Err(_) if !path.exists() => fs::rename(&temporary, path),
            result => result,
        }?;
        sync_folder(folder)
    })();
    let _ = fs::remove_file(&temporary);
    written
}

/// Removes what an interrupted run of this program left half-written in a
/// folder; the caller holds the folder's lock.
pub fn sweep(folder: &Path) -> io::Result<()> {
    for entry in WalkDir::new(folder).max_depth(1).sort_by_file_name() {
        let Ok(entry) = entry else { continue };
        let name = entry.file_name().to_string_lossy();
        if half_written(&name) && entry.path().is_file() {
            fs::remove_file(entry.path())?;
        }
    }
    Ok(())
}

/// Whether a name is one of the temporary ones of this program:
/// `.NAME.PROCESS.part`.
fn half_written(name: &str) -> bool {
    let process = name.strip_prefix('.').and_then(|n| n.strip_suffix(".part"));
    let process = process.and_then(|n| n.rsplit_once('.')).filter(|(name, _)| !name.is_empty());
    process.is_some_and(|(_, id)| !id.is_empty() && id.bytes().all(|b| b.is_ascii_digit()))
}

/// Removes a file that this program made, its bytes being destroyed by law.
pub fn destroy(path: &Path) -> io::Result<()> {
    fs::remove_file(path)?;
    sync_folder(path.parent().unwrap_or(Path::new(".")))
}

/// Moves a file aside within the same disk; never over another one.
pub fn move_aside(from: &Path, to: &Path) -> io::Result<()> {
    if to.exists() {
        return Err(io::Error::new(io::ErrorKind::AlreadyExists, "a file of that name is there"));
    }
    if let Some(folder) = to.parent() {
        fs::create_dir_all(folder)?;
    }
    fs::rename(from, to)?;
    [to, from].iter().try_for_each(|path| sync_folder(path.parent().unwrap_or(Path::new("."))))
}

/// The moment, by the machine's clock.
pub fn now() -> chrono::DateTime<chrono::Utc> {
    std::time::SystemTime::now().into()
}

/// Writes a new file; refuses if there is one.
pub fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(folder) = path.parent() {
        fs::create_dir_all(folder)?;
    }
    let mut file = File::options().write(true).create_new(true).open(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Whether a file holds exactly these bytes.
pub fn holds(path: &Path, bytes: &[u8]) -> bool {
    let same_size = fs::metadata(path).is_ok_and(|m| m.is_file() && m.len() == bytes.len() as u64);
    same_size && fs::read(path).is_ok_and(|old| old == bytes)
}

/// Whether something of that name exists.
pub fn exists(path: &Path) -> bool {
    path.exists()
}

/// Held while a folder is written to; released when dropped.
#[derive(Debug)]
pub struct Lock {
    _file: File,
}

/// Takes the lock of a folder, waiting for its turn; `waiting` is called once
/// if another run holds it.
pub fn lock_in_turn(folder: &Path, waiting: &dyn Fn()) -> io::Result<Lock> {
    fs::create_dir_all(folder)?;
    let file = File::options()
        .create(true)
        .truncate(false)
        .write(true)
        .open(folder.join(".endplate.lock"))?;
    match file.try_lock() {
        Ok(()) => {}
        Err(fs::TryLockError::WouldBlock) => {
            waiting();
            file.lock()?;
        }
        Err(fs::TryLockError::Error(error)) => return Err(error),
    }
    Ok(Lock { _file: file })
}

/// How often, and after how many milliseconds, a taken lock is tried again: a
/// program that is just being started may hold a copy of an open file for a
/// moment after its owner let go of it.
const TRIES: (u32, u64) = (20, 10);

/// Takes the lock of an output folder, or says that another run holds it.
pub fn lock(folder: &Path) -> io::Result<Lock> {
    fs::create_dir_all(folder)?;
    let file = File::options()
        .create(true)
        .truncate(false)
        .write(true)
        .open(folder.join(".endplate.lock"))?;
    for _ in 0..TRIES.0 {
        match file.try_lock() {
            Ok(()) => return Ok(Lock { _file: file }),
            Err(fs::TryLockError::WouldBlock) => {
                std::thread::sleep(std::time::Duration::from_millis(TRIES.1));
            }
            Err(fs::TryLockError::Error(error)) => return Err(error),
        }
    }
    Err(io::Error::new(io::ErrorKind::WouldBlock, "another build is writing there"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_case_reads_only_below_its_own_folder() {
        let case = Path::new("cases/mr-0118.yaml");
        for name in ["../secret.csv", "/etc/hostname", "films/../../x", "films\\..\\x"] {
            let error = read_beside(case, name).unwrap_err();
            assert_eq!(error.kind(), io::ErrorKind::InvalidInput, "{name}");
        }
    }

    #[test]
    fn writing_leaves_no_half_files() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a/b.pdf");
        write_atomic(&path, b"one").unwrap();
        write_atomic(&path, b"two").unwrap();
        assert!(holds(&path, b"two") && !holds(&path, b"one"));
        assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
        assert!(write_new(&path, b"three").is_err());
        assert!(holds(&path, b"two"));
    }

    #[test]
    fn a_file_is_replaced_only_if_nobody_else_changed_it() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("qa-0001.yaml");
        fs::write(&path, "one").unwrap();
        let left = [".qa-0001.yaml.77.part", ".qa-0001.yaml.x.part", ".other.yaml.77.part"];
        left.iter().for_each(|name| fs::write(folder.path().join(name), "half").unwrap());
        assert_eq!(
            reason(&replace(&path, b"zero", b"two").unwrap_err()),
            "it was changed meanwhile by another program"
        );
        assert!(holds(&path, b"one"));
        replace(&path, b"one", b"two").unwrap();
        assert!(holds(&path, b"two"));
        // Only what an interrupted run left of this file is gone.
        let there = left.map(|name| folder.path().join(name).exists());
        assert_eq!(there, [false, true, true]);
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 3);
        assert!(replace(folder.path(), b"", b"x").is_err());
    }

    #[cfg(unix)]
    #[test]
    fn permissions_and_links_stay() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let (real, link) = (folder.path().join("real.yaml"), folder.path().join("link.yaml"));
        fs::write(&real, "one").unwrap();
        fs::set_permissions(&real, fs::Permissions::from_mode(0o640)).unwrap();
        symlink(&real, &link).unwrap();
        replace(&link, b"one", b"two").unwrap();
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
        assert!(holds(&real, b"two"));
        assert_eq!(fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
        fs::set_permissions(&real, fs::Permissions::from_mode(0o440)).unwrap();
        assert_eq!(reason(&replace(&link, b"two", b"x").unwrap_err()), "it is write-protected");
        assert!(holds(&real, b"two"));
    }

    #[test]
    fn only_our_own_half_written_files_are_swept() {
        let folder = tempfile::tempdir().unwrap();
        let ours = ".l1-progress-gp.pdf.4711.part";
        let others = ["a.pdf", ".notes.part", "l1.4711.part", ".x.pdf.download.part", "..1.part"];
        for name in others.iter().chain([&ours]) {
            fs::write(folder.path().join(name), "x").unwrap();
        }
        sweep(folder.path()).unwrap();
        assert!(!folder.path().join(ours).exists());
        assert!(others.iter().all(|name| folder.path().join(name).exists()));
    }

    #[test]
    fn one_build_at_a_time_writes_to_a_folder() {
        let folder = tempfile::tempdir().unwrap();
        let held = lock(folder.path()).unwrap();
        assert_eq!(lock(folder.path()).unwrap_err().kind(), io::ErrorKind::WouldBlock);
        drop(held);
        assert!(lock(folder.path()).is_ok());
    }
}
