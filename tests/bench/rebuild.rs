//! Builds over an older one: the demo clinic and 200 generated cases, first
//! from nothing, then with nothing changed, then with one entry changed.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use endplate::pipeline::io::Folder;
use endplate::pipeline::{Build, Edited, Outcome, Press, State, rebuild, workers};

use crate::generated;

const CASES: u64 = 200;
const TIMES: usize = 20;

fn run(folder: &Folder, out: &Path) -> (Outcome, Duration) {
    let start = Instant::now();
    let request = Build {
        folder: folder.clone(),
        paths: Vec::new(),
        kind: None,
        out: out.to_path_buf(),
        jobs: workers::suggested(),
        paper: None,
        also: Vec::new(),
    };
    // The press is opened each time, as the program does.
    let press = Press::open(folder);
    let outcome = rebuild(&request, Edited::Keep, &press, &()).expect("the build starts");
    (outcome, start.elapsed())
}

fn clinic(root: &Path, case: impl Fn(&Path)) {
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("cases");
    fs::create_dir_all(root.join("cases/films")).expect("a folder");
    fs::copy(demo.join("clinic.yaml"), root.join("cases/clinic.yaml")).expect("the clinic");
    case(&demo);
}

fn copy_demo(root: &Path, demo: &Path) {
    for below in ["", "films", "wear"] {
        for entry in fs::read_dir(demo.join(below)).expect("a folder") {
            let path = entry.expect("a file").path();
            let to = root.join("cases").join(path.strip_prefix(demo).expect("below"));
            if path.is_file() {
                fs::create_dir_all(to.parent().expect("a folder")).expect("a folder");
                fs::copy(&path, to).expect("a copy");
            }
        }
    }
}

fn generate(root: &Path) {
    for number in 0..CASES {
        let made = generated::case(number);
        let cases = root.join("cases");
        fs::write(cases.join(format!("{}.yaml", made.id)), &made.text).expect("a case");
        for (name, text) in &made.landmarks {
            let path = cases.join(name);
            fs::create_dir_all(path.parent().expect("a folder")).expect("a folder");
            fs::write(path, text).expect("landmarks");
        }
    }
}

fn report(what: &str, root: &Path, changed: &str) {
    let folder = Folder::at(root).expect("a clinic");
    let out = root.join("out");
    let (first, time) = run(&folder, &out);
    let letters = first.letters.len();
    println!("{what}: {letters} letters made in {:.0} ms", ms(time));
    assert_eq!(first.count(State::New), letters, "{:?}", first.report);
    let mut times: Vec<_> = (0..TIMES)
        .map(|_| {
            let (outcome, time) = run(&folder, &out);
            assert_eq!(outcome.count(State::Unchanged), letters);
            time
        })
        .collect();
    times.sort();
    println!("    nothing changed: {:.1} ms (median of {TIMES})", ms(times[TIMES / 2]));
    let path = root.join("cases").join(changed);
    let text = fs::read_to_string(&path).expect("the case");
    let name = text.find("name: ").expect("a name") + "name: ".len();
    let other = format!("{}Zoë {}", &text[..name], &text[name..]);
    fs::write(&path, other).expect("the case");
    let (outcome, time) = run(&folder, &out);
    println!(
        "    one name changed: {} letters in {:.0} ms",
        outcome.count(State::Changed),
        ms(time)
    );
}

fn ms(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}

/// Both clinics, each in a folder that vanishes.
pub fn measure() {
    let root = tempfile::tempdir().expect("a folder");
    clinic(root.path(), |demo| copy_demo(root.path(), demo));
    report("demo clinic", root.path(), "fw-0118.yaml");
    let root = tempfile::tempdir().expect("a folder");
    clinic(root.path(), |_| generate(root.path()));
    report("200 generated cases", root.path(), "gen-00007.yaml");
}
