//! A clinic of one invented case in a folder of its own, and the program run
//! in it.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use endplate::pipeline::io::Folder;

/// The case's file, below the clinic's folder.
pub const CASE: &str = "cases/base.yaml";

/// A clinic's folder, gone when dropped.
pub struct Small {
    root: tempfile::TempDir,
}

impl Small {
    /// The clinic of the broken cases with the one that has no fault.
    pub fn new() -> Small {
        let small = Small { root: tempfile::tempdir().unwrap() };
        let payer = "templates/rules/payers/vale-north.yaml";
        for file in ["cases/clinic.yaml", CASE, "cases/films/base-f1.csv", payer] {
            let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/invalid").join(file);
            fs::create_dir_all(small.path(file).parent().unwrap()).unwrap();
            fs::copy(from, small.path(file)).unwrap();
        }
        small
    }

    /// A path below the folder.
    pub fn path(&self, below: &str) -> PathBuf {
        self.root.path().join(below)
    }

    /// The folder as the library takes it.
    pub fn folder(&self) -> Folder {
        Folder::at(self.root.path()).unwrap()
    }

    /// The text of the case.
    pub fn text(&self) -> String {
        fs::read_to_string(self.path(CASE)).unwrap()
    }

    /// Writes the case.
    pub fn write(&self, text: &str) {
        fs::write(self.path(CASE), text).unwrap();
    }

    /// The program, to be run there with nobody at the terminal.
    pub fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_endplate"));
        command.args(args).current_dir(self.root.path()).stdin(Stdio::null());
        command
    }

    /// Runs the program there.
    pub fn run(&self, args: &[&str]) -> Output {
        self.command(args).output().unwrap()
    }

    /// Every file below a folder, by its path there, lock files left out.
    pub fn files(&self, below: &str) -> Vec<String> {
        let root = self.path(below);
        let walk = walkdir::WalkDir::new(&root).sort_by_file_name().into_iter();
        walk.filter_map(Result::ok)
            .filter(|e| e.file_type().is_file())
            .map(|e| e.path().strip_prefix(&root).unwrap().to_string_lossy().into_owned())
            .filter(|name| !name.ends_with(".endplate.lock"))
            .collect()
    }
}

/// Exit code, standard output and standard error.
pub fn told(output: &Output) -> (i32, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (output.status.code().unwrap_or(-1), text(&output.stdout), text(&output.stderr))
}
