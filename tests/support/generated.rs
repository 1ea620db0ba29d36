//! Cases by the thousand: invented patients whose curves, films, treatment and
//! words differ, each decided by one number.
//!
//! Landmark files come from the synthetic spine, so that the angles of the
//! letters are recomputed from corners as they are for real ones.

use std::fmt::Write;

use crate::synthetic::{Bow, Film, Shown, Spine, Towards, draw};

/// A generated case: its file and the landmark files it names.
#[derive(Debug, Clone)]
pub struct Generated {
    /// The case's id.
    pub id: String,
    /// The patient's name.
    pub name: String,
    /// The case file.
    pub text: String,
    /// Path as written in the case, and content.
    pub landmarks: Vec<(String, String)>,
}

impl Generated {
    /// Hands out the files named in the case.
    pub fn load(&self, name: &str) -> Result<String, String> {
        let found = self.landmarks.iter().find(|(path, _)| path == name);
        found.map(|(_, text)| text.clone()).ok_or_else(|| "no such file".to_string())
    }
}

const GIVEN: &[&str] = &[
    "Anwen",
    "Björk",
    "Clémence",
    "Dáithí",
    "Edda",
    "Fionn",
    "Göran",
    "Halina",
    "Íde",
    "Jörn",
    "Kateřina",
    "Łucja",
    "Maëlle",
    "Nevena",
    "Ödön",
    "Pádraig",
    "Quill",
    "Réka",
    "Søren",
    "Tjorven",
];
const FAMILY: &[&str] = &[
    "Ashgrove",
    "Brambleworth",
    "Castelnau",
    "Dvořáková",
    "Eskeland",
    "Farrowby",
    "Gładysz",
    "Harrowmere",
    "Iversholt",
    "Juhász",
    "Morvenne",
    "Løvendal",
    "Moorcastle",
    "Nørgård",
    "O’Tarrigan",
    "Pellworth",
    "Quarnby",
    "Rosenhagen",
    "Strømsvik",
    "Thistlewood",
    "Uhlenhorst",
];

/// The numbers that decide a case, one after the other (xorshift, Marsaglia 2003).
struct Dice(u64);

impl Dice {
    fn below(&mut self, n: u64) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) % n
    }

    fn between(&mut self, low: i64, high: i64) -> i64 {
        low + self.below((high - low + 1) as u64) as i64
    }

    fn of<T: Copy>(&mut self, all: &[T]) -> T {
        all[self.below(all.len() as u64) as usize]
    }
}

/// One curve of a pattern: name, ends, apex, side.
type Curve = (&'static str, &'static str, &'static str, &'static str, Towards);

const PATTERNS: &[&[Curve]] = &[
    &[("thoracic", "T5", "T8", "T12", Towards::Right)],
    &[("thoracolumbar", "T11", "L1", "L3", Towards::Left)],
    &[("lumbar", "T12", "L2", "L4", Towards::Left)],
    &[
        ("thoracic", "T5", "T8", "T11", Towards::Right),
        ("lumbar", "T11", "L2", "L4", Towards::Left),
    ],
    &[
        ("thoracic", "T4", "T7", "T10", Towards::Left),
        ("thoracolumbar", "T10", "T12-L1", "L3", Towards::Right),
    ],
];

/// The case of that number.
pub fn case(number: u64) -> Generated {
    let mut dice = Dice((number + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15));
    (0..8).for_each(|_| _ = dice.below(2));
    let mut made = Generated {
        id: format!("gen-{number:05}"),
        name: format!("{} {}", dice.of(GIVEN), dice.of(FAMILY)),
        text: String::new(),
        landmarks: Vec::new(),
    };
    let pattern = dice.of(PATTERNS);
    let braced = dice.below(3) > 0;
    let films = dice.between(2, 5);
    let mut out = head(&made, &mut dice);
    let mut sizes: Vec<i64> = pattern.iter().map(|_| dice.between(14, 34)).collect();
    let mut body = String::from("films:\n");
    for n in 0..films {
        film(&mut made, &mut body, pattern, &sizes, n, false, &mut dice);
        if n == 0 && braced {
            let held: Vec<i64> = sizes.iter().map(|s| s / 2).collect();
            film(&mut made, &mut body, pattern, &held, n, true, &mut dice);
        }
        sizes.iter_mut().for_each(|s| *s = (*s + dice.between(-3, 6)).clamp(11, 60));
    }
    out += &body;
    exams(&mut out, films, &mut dice);
    if braced {
        brace(&mut out, &mut dice);
    }
    plans_and_letters(&mut out, films, &mut dice);
    made.text = out;
    made
}

/// The month of the nth film: they are six months apart.
fn month(n: i64) -> String {
    format!("{}-{:02}", 2022 + n / 2, if n % 2 == 0 { 3 } else { 9 })
}

fn head(made: &Generated, dice: &mut Dice) -> String {
    let (given, _) = made.name.split_once(' ').expect("two names");
    let female = dice.below(4) > 0;
    let sex = if female { "female" } else { "male" };
    let pronouns = if female { "she" } else { "he" };
    let mut out = format!(
        "# Invented: nobody in this file exists.\ncase: {id}\nrecord_no: GN-{number}\n\
         patient: {{name: \"{name}\", called: \"{given}\", born: 20{year:02}-{month:02}-{day:02}, \
         sex: {sex}, pronouns: {pronouns}}}\n",
        id = made.id,
        number = made.id.trim_start_matches("gen-"),
        name = made.name,
        year = dice.between(8, 12),
        month = dice.between(1, 12),
        day = dice.between(1, 28),
    );
    if female && dice.below(2) > 0 {
        out += "background: {family_history: [], menarche: {not_yet: 2022-03-11}}\n";
    }
    out += "contacts:\n  - {id: gp, role: referring doctor, name: Dr Orla Penhallow, \
            address: [1 Mill Row, Sandry Quay]}\n  - {id: home, role: family, \
            name: The family, address: [9 Weir Street, Sandry Quay]}\n  \
            - {id: surgeon, role: surgeon, name: Mr Tobias Wrenfield, \
            address: [The Infirmary, Marlhythe]}\n\
            diagnosis: {cause: idiopathic, deformity: scoliosis, found: 2022-02}\n";
    out
}

fn film(
    made: &mut Generated,
    out: &mut String,
    pattern: &[Curve],
    sizes: &[i64],
    n: i64,
    held: bool,
    dice: &mut Dice,
) {
    let (id, day, support) =
        if held { ("check".to_string(), 28, "b1") } else { (format!("f{n}"), 11, "none") };
    let on = format!("{}-{day}", month(n));
    let front = dice.below(4) == 0;
    let displayed = if front { "from the front" } else { "from behind" };
    let _ = write!(
        out,
        "  - id: {id}\n    taken: {on}\n    view: frontal\n    projection: PA\n    \
         displayed: {displayed}\n    posture: standing\n    support: {support}\n    \
         scale: 0.175 mm/px\n    readings:\n      - id: r1\n        by: lb\n        read: {on}\n        \
         curves:\n"
    );
    for ((name, upper, apex, lower, towards), size) in pattern.iter().zip(sizes) {
        let side = if *towards == Towards::Right { "right" } else { "left" };
        let _ = writeln!(
            out,
            "          - {{name: {name}, upper: {upper}, apex: {apex}, lower: {lower}, \
             convex: {side}, cobb: {size} deg}}"
        );
    }
    if held || dice.below(3) > 0 {
        let path = format!("films/{}-{id}.csv", made.id);
        let _ = writeln!(out, "        landmarks: {path}");
        let shown = if front { Shown::FromFront } else { Shown::FromBehind };
        made.landmarks.push((path, corners(pattern, sizes, shown, dice)));
    }
    if !held {
        // A grade never falls from film to film.
        let grade = n.min(5);
        let _ = writeln!(out, "    maturity: {{risser: {{grade: {grade}, scale: US}}}}");
    }
}

fn corners(pattern: &[Curve], sizes: &[i64], shown: Shown, dice: &mut Dice) -> String {
    let bows = pattern.iter().zip(sizes).map(|((_, upper, apex, lower, towards), size)| Bow {
        upper,
        apex,
        lower,
        towards: *towards,
        cobb: *size as f64,
    });
    let spine = Spine { thoracic: 12, lumbar: 5, size: 0.85, bows: bows.collect() };
    let film = Film {
        shown,
        scale: 0.175,
        turn: dice.between(-15, 15) as f64 / 10.0,
        origin: (640.0, 150.0),
        noise: 0.1,
        seed: dice.below(1 << 40) + 1,
    };
    draw(&spine, &film).csv()
}

fn exams(out: &mut String, films: i64, dice: &mut Dice) {
    *out += "exams:\n";
    let mut height = dice.between(1380, 1560);
    for n in 0..films {
        let _ = writeln!(
            out,
            "  - {{on: {}-11, by: lb, height: {}.{} cm, neurology: {{power: normal, reflexes: \
             equal on both sides}}, skin: clear}}",
            month(n),
            height / 10,
            height % 10
        );
        height += dice.between(2, 35);
    }
}

fn brace(out: &mut String, dice: &mut Dice) {
    let hours = dice.between(8, 22);
    let _ = write!(
        out,
        "treatments:\n  - id: b1\n    kind: brace\n    class: TLSO\n    ordered: 2022-03-14\n    \
         fittings:\n      - {{on: 2022-03-28, what: delivered, film: check, skin: clear}}\n    \
         hours:\n      - {{from: 2022-03-28, per_day: {hours} h/day, by: ev}}\n"
    );
}

fn plans_and_letters(out: &mut String, films: i64, dice: &mut Dice) {
    let last = month(films - 1);
    let choice = dice.of(&["watch", "continue", "exercise"]);
    let because = dice.of(&[
        "growth goes on",
        "the curve may still rise while height is gained",
        "we want to see another film before anything is changed",
    ]);
    let told = "- {id: surgeon-view, kind: surgical opinion, to: surgeon";
    let _ = write!(
        out,
        "plans:\n  - {{on: {last}-12, by: ev, choice: {choice}, because: {because}, \
         next: {{film: {next}, visit: {next}}}}}\nletters:\n  \
         - {{id: doctor, kind: progress, to: gp, copies: [home], as_of: {last}-14, signed_by: lb}}\n  \
         - {{id: family, kind: progress, to: home, as_of: {last}-14, signed_by: ev}}\n  \
         {told}, as_of: {last}-14, signed_by: ev, question: \"Would you see this patient?\", \
         enclosed: [f0]}}\n",
        next = month(films),
    );
}
