//! The rules of the house that the compiler does not hold: who may use whom,
//! who may touch files and clocks, and one memory of the engine.

#![allow(clippy::disallowed_methods)] // Tests make and read files.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The rooms in order: each may use those before it, and itself.
const ROOMS: &[&str] = &[
    "digest", "diag", "quantity", "evidence", "spine", "course", "case", "facts", "rules",
    "letter", "figure", "render", "register", "exchange", "audit", "pipeline",
];

fn source() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src")
}

/// Every Rust file below `src/`, with its path below it.
fn files() -> Vec<(String, String)> {
    let mut list = Vec::new();
    for entry in walkdir::WalkDir::new(source()).sort_by_file_name() {
        let entry = entry.unwrap();
        if entry.path().extension().is_some_and(|e| e == "rs" || e == "in") {
            let path = entry.path().strip_prefix(source()).unwrap();
            let path = path.components().map(|c| c.as_os_str().to_string_lossy().into_owned());
            let path = path.collect::<Vec<_>>().join("/");
            list.push((path, fs::read_to_string(entry.path()).unwrap()));
        }
    }
    list
}

/// The room of a file: its first folder, or its own name.
fn room(path: &str) -> &str {
    path.split('/').next().unwrap().trim_end_matches(".rs")
}

/// Lines that are code: comments cut off, unit tests left out.
fn code(text: &str) -> Vec<(usize, &str)> {
    let end = text.find("#[cfg(test)]").unwrap_or(text.len());
    text[..end]
        .lines()
        .enumerate()
        .map(|(i, line)| (i + 1, line.split("//").next().unwrap()))
        .collect()
}

/// The rooms named by `crate::` paths of a line.
fn named(line: &str) -> Vec<String> {
    let mut rooms = Vec::new();
    for (at, _) in line.match_indices("crate::") {
        let rest = &line[at + "crate::".len()..];
        if let Some(group) = rest.strip_prefix('{') {
            let inside = group.split('}').next().unwrap();
            rooms.extend(
                inside.split(',').map(|part| part.trim().split("::").next().unwrap().into()),
            );
        } else {
            let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(rest.len());
            rooms.push(rest[..end].to_string());
        }
    }
    rooms
}

#[test]
fn every_room_uses_only_rooms_above_it() {
    let place: BTreeMap<&str, usize> = ROOMS.iter().enumerate().map(|(i, r)| (*r, i)).collect();
    let mut wrong = Vec::new();
    for (path, text) in files() {
        let own = room(&path);
        if matches!(own, "main" | "cli" | "lib") {
            continue;
        }
        let Some(order) = place.get(own) else {
            wrong.push(format!("src/{path}: `{own}` is no room of the house"));
            continue;
        };
        for (line, code) in code(&text) {
            for used in named(code) {
                if place.get(used.as_str()).is_none_or(|other| other > order) {
                    wrong.push(format!("src/{path}:{line}: `{own}` uses `{used}`"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_command_line_reaches_the_library_by_its_name() {
    // `cli` is a module of the program, so the library cannot name it.
    let lib = fs::read_to_string(source().join("lib.rs")).unwrap();
    assert!(!lib.contains("mod cli"));
    assert!(fs::read_to_string(source().join("main.rs")).unwrap().contains("mod cli;"));
}

#[test]
fn files_clocks_and_the_environment_are_touched_by_their_owners_only() {
    const FILES: &[&str] = &["std::fs", "fs::", "File::", "walkdir", "WalkDir", "tempfile"];
    const REST: &[&str] = &[
        "std::env",
        "env::var",
        "SystemTime",
        "Instant::now",
        "Utc::now",
        "Local::now",
        "std::thread",
        "HashMap",
        "HashSet",
        "rand::",
        "std::process",
    ];
    let mut wrong = Vec::new();
    for (path, text) in files() {
        if matches!(room(&path), "cli" | "main" | "pipeline") && !touches_what_io_owns(&path) {
            continue;
        }
        let forbidden = |code: &str| {
            let rest = REST.iter().filter(|_| room(&path) != "pipeline");
            FILES.iter().chain(rest).find(|word| code.contains(**word)).copied()
        };
        for (line, code) in code(&text) {
            if let Some(word) = forbidden(code) {
                wrong.push(format!("src/{path}:{line}: `{word}`"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// In the pipeline only `io` opens files; the rest of it goes through `io`.
fn touches_what_io_owns(path: &str) -> bool {
    room(path) == "pipeline" && path != "pipeline/io.rs"
}

#[test]
fn the_engine_has_one_memory() {
    // With two versions in the tree, evicting one leaves the other growing.
    let lock = fs::read_to_string(source().parent().unwrap().join("Cargo.lock")).unwrap();
    assert_eq!(lock.matches("name = \"comemo\"").count(), 1);
}

#[test]
fn every_room_says_what_it_is() {
    let silent: Vec<_> = files()
        .into_iter()
        .filter(|(path, text)| path.ends_with(".rs") && !text.starts_with("//!"))
        .map(|(path, _)| path)
        .collect();
    assert_eq!(silent, Vec::<String>::new(), "files without a module comment");
}

#[test]
fn codes_are_kebab_case_and_explained() {
    let mut names = BTreeSet::new();
    for (_, info) in endplate::diag::CODES {
        let kebab = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        assert!(info.name.chars().all(kebab), "{}", info.name);
        assert!(names.insert(info.name), "{} stands twice", info.name);
        for text in [info.what, info.why, info.remedy] {
            let capital = text.chars().next().is_some_and(char::is_uppercase);
            // A name in capitals, such as `PA`, may begin a sentence.
            let word: String = text.chars().take_while(|c| c.is_alphanumeric()).collect();
            let sentence = capital && word.chars().skip(1).any(char::is_lowercase);
            assert!(!text.is_empty() && !text.ends_with('.') && !sentence, "{}: {text}", info.name);
        }
    }
}
