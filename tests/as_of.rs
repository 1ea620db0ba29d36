//! A letter states what was known on its day: nothing recorded later changes
//! it, except a corrected entry, which reaches back.

use std::collections::BTreeMap;

use chrono::{Days, NaiveDate};
use endplate::case::edit::{Correction, correct};
use endplate::case::{
    Case, Choice, Decision, Ended, Exam, Film, Fitting, FittingKind, Help, HoursStep, LetterEntry,
    MeasuredHours, Menarche, Order, Plan, Reading, ReportedHours, SchoolNote, SportPart, Support,
    Treatment, TreatmentKind, Triradiate, Wear, WornThere,
};
use endplate::diag::{Located, Place};
use endplate::facts::Value;
use endplate::facts::derive::derive;
use endplate::letter::block::Letter;
use endplate::quantity::{Angle, HoursPerDay, Length, PartialDate};
use proptest::prelude::*;

use crate::support::demo::{case_text, demo, sound};

/// Something recorded after the letter's day.
#[derive(Debug, Clone)]
enum Later {
    Film { copy_of: usize, by_degrees: i8, in_support: bool, matures: bool },
    Reading { of: usize, by_degrees: i8 },
    Exam { taller: u8 },
    Plan,
    Fitting,
    Hours { per_day: u8, decided: bool },
    Wear { hours: u8 },
    Told { hours: u8 },
    Ended,
    Treatment { cast: bool },
    Menarche,
}

fn later() -> impl Strategy<Value = Later> {
    prop_oneof![
        3 => (0..8usize, -12..25i8, any::<bool>(), any::<bool>()).prop_map(
            |(copy_of, by_degrees, in_support, matures)|
                Later::Film { copy_of, by_degrees, in_support, matures }
        ),
        2 => (0..8usize, -12..25i8).prop_map(|(of, by_degrees)| Later::Reading { of, by_degrees }),
        1 => (1..9u8).prop_map(|taller| Later::Exam { taller }),
        1 => Just(Later::Plan),
        1 => Just(Later::Fitting),
        1 => (1..24u8, any::<bool>()).prop_map(|(per_day, decided)| Later::Hours { per_day, decided }),
        1 => (1..24u8).prop_map(|hours| Later::Wear { hours }),
        1 => (1..24u8).prop_map(|hours| Later::Told { hours }),
        1 => Just(Later::Ended),
        1 => any::<bool>().prop_map(|cast| Later::Treatment { cast }),
        1 => Just(Later::Menarche),
    ]
}

fn nowhere() -> Place {
    Place::whole("cases/later.yaml")
}

fn located<T>(value: T) -> Located<T> {
    Located::new(value, nowhere())
}

/// Adds a record to the case; `on` lies after the day of the letter, `n` keeps
/// ids apart.
fn add(case: &mut Case, later: &Later, known: NaiveDate, on: NaiveDate, n: usize) {
    match later {
        Later::Film { copy_of, by_degrees, in_support, matures } => {
            let mut film = case.films[copy_of % case.films.len()].clone();
            film.id = located(format!("later{n}"));
            film.taken = located(on);
            film.readings.iter_mut().for_each(|r| changed(r, on, *by_degrees));
            if *in_support {
                let support = case.treatments.iter().rev().find(|t| acts_by_holding(t));
                film.support = support.map(|t| located(Support::Treatment(t.id.value.clone())));
            }
            if *matures && let Some(maturity) = &mut film.maturity {
                maturity.triradiate = Some(located(Triradiate::Closed));
                maturity.risser.iter_mut().for_each(|r| r.grade = located(5));
            }
            case.films.push(film);
        }
        Later::Reading { of, by_degrees } => reading(case, *of, known, on, *by_degrees, n),
        Later::Exam { taller } => case.exams.push(exam(case, on, *taller)),
        Later::Plan => {
            case.plans.push(plan(on));
            case.school.push(note(on));
        }
        Later::Menarche => {
            let menarche =
                case.background.menarche.get_or_insert(Menarche { on: None, not_yet: None });
            if menarche.on.is_none() {
                menarche.on = Some(located(PartialDate::Day(on)));
            }
        }
        Later::Treatment { cast } => case.treatments.push(treatment(on, *cast, n)),
        other => {
            if let Some(t) = case.treatments.iter_mut().rev().find(|t| acts_by_holding(t)) {
                follow(t, other, known, on);
            }
        }
    }
}

fn acts_by_holding(t: &Treatment) -> bool {
    matches!(*t.kind, TreatmentKind::Brace | TreatmentKind::Cast)
}

fn changed(reading: &mut Reading, on: NaiveDate, by_degrees: i8) {
    reading.read = located(on);
    reading.landmarks = None;
    for curve in &mut reading.curves {
        let was = curve.cobb.as_ref().map_or(20.0, |c| c.to_degrees());
        curve.cobb = Some(located(Angle::degrees((was.abs() + f64::from(by_degrees)).max(1.0))));
    }
}

/// A second look, after the letter's day, at a film that was known on it.
fn reading(case: &mut Case, of: usize, known: NaiveDate, on: NaiveDate, by_degrees: i8, n: usize) {
    let films: Vec<&mut Film> = case
        .films
        .iter_mut()
        .filter(|f| *f.taken <= known && f.readings.iter().any(|r| *r.read <= known))
        .collect();
    let count = films.len();
    let Some(film) = films.into_iter().nth(of % count.max(1)) else { return };
    let mut second = film.readings[0].clone();
    second.id = located(format!("later{n}"));
    second.by = located("another reader".to_string());
    changed(&mut second, on, by_degrees);
    // Before the others: the order in the file must not matter.
    film.readings.insert(0, second);
}

fn exam(case: &Case, on: NaiveDate, taller: u8) -> Exam {
    let mut exam = case.exams.last().cloned().expect("every demo case has an examination");
    exam.on = located(on);
    let was = exam.height.as_ref().map_or(1500.0, |h| h.to_millimetres());
    exam.height = Some(located(Length::millimetres(was + f64::from(taller) * 10.0)));
    exam.skin = Some(located("sore".to_string()));
    exam.findings = Some(located("something new".to_string()));
    exam
}

fn plan(on: NaiveDate) -> Plan {
    let text = |t: &str| Some(located(t.to_string()));
    Plan {
        on: located(on),
        by: None,
        choice: vec![located(Choice::Discharge)],
        because: text("later reasons"),
        aim: text("later aims"),
        changes_if: None,
        changes_if_in: BTreeMap::new(),
        next: None,
        told: text("later words"),
        told_in: BTreeMap::new(),
        come_back_if: text("later signs").into_iter().collect(),
        come_back_if_in: BTreeMap::new(),
        adult_care: text("later care"),
        adult_care_in: BTreeMap::new(),
        place: nowhere(),
    }
}

fn note(on: NaiveDate) -> SchoolNote {
    SchoolNote {
        on: located(on),
        by: located("lb".to_string()),
        whom: None,
        brace: Some(located(WornThere::Worn)),
        when: Some(located("later hours".to_string())),
        when_in: BTreeMap::new(),
        sport: Some(located(SportPart::Pauses)),
        limits: Some(vec![located("later limits".to_string())]),
        limits_in: BTreeMap::new(),
        helps: vec![located(Help::Chair)],
        also: None,
        also_in: BTreeMap::new(),
        until: None,
        place: nowhere(),
    }
}

fn treatment(on: NaiveDate, cast: bool, n: usize) -> Treatment {
    Treatment {
        id: located(format!("later{n}")),
        kind: located(if cast { TreatmentKind::Cast } else { TreatmentKind::Brace }),
        class: None,
        made: None,
        principle: vec![],
        ordered: Some(located(on)),
        from: Some(located(on)),
        prescribed: None,
        order: Some(order()),
        fittings: vec![],
        hours: vec![],
        wear: None,
        reported: vec![],
        ended: None,
        place: nowhere(),
    }
}

/// An order with nothing but a day by which the brace is wanted.
fn order() -> Order {
    Order {
        by: None,
        pads: vec![],
        reliefs: vec![],
        trim: Some(located("later edges".to_string())),
        opening: None,
        closure: None,
        material: None,
        lining: None,
        shape: None,
        hours: None,
        when: None,
        step_in: None,
        deliver_by: None,
        check_by: None,
        ring: None,
        place: nowhere(),
    }
}

fn follow(t: &mut Treatment, later: &Later, known: NaiveDate, on: NaiveDate) {
    let hours = |n: u8| located(HoursPerDay::hours(f64::from(n)));
    match later {
        Later::Fitting => t.fittings.push(Fitting {
            on: located(on),
            what: located(FittingKind::Removed),
            film: None,
            skin: Some(located("sore".to_string())),
            skin_in: BTreeMap::new(),
            why: Some(located("later reasons".to_string())),
            by: None,
            fit: Some(located("later fit".to_string())),
            says: Some(located("later words".to_string())),
            says_in: BTreeMap::new(),
            decision: Some(located(Decision::Remake)),
            decided: None,
            because: Some(located("later reasons".to_string())),
            told: Some(located("later news".to_string())),
            told_in: BTreeMap::new(),
            changes: vec![],
            changes_by: None,
            place: nowhere(),
        }),
        Later::Hours { per_day, decided } => t.hours.push(HoursStep {
            from: located(on + Days::new(5)),
            decided: decided.then(|| located(on)),
            per_day: hours(*per_day),
            when: None,
            by: None,
            why: None,
            place: nowhere(),
        }),
        Later::Wear { hours: n } => {
            let empty = Wear {
                log: None,
                downloaded: None,
                worn_above: None,
                taken_off_below: None,
                measured: vec![],
                place: nowhere(),
            };
            // A span that began before the letter and ended after it.
            t.wear.get_or_insert(empty).measured.push(MeasuredHours {
                from: located(known - Days::new(10)),
                to: located(on),
                per_day: hours(*n),
                downloaded: None,
                place: nowhere(),
            });
        }
        Later::Told { hours: n } => {
            t.reported.push(ReportedHours { on: located(on), per_day: hours(*n), place: nowhere() })
        }
        Later::Ended if t.ended.is_none() => {
            t.ended =
                Some(Ended { on: located(on), why: Some(located("later reasons".to_string())) });
        }
        _ => {}
    }
}

/// What a letter says and what it was written from.
fn said(case: &Case, entry: &LetterEntry) -> (Letter, Vec<String>) {
    let written = demo().written(case, entry);
    let facts = written.derived.facts.iter().map(|f| format!("{f:#?}")).collect();
    (written.letter, facts)
}

fn assert_same(earlier: &(Letter, Vec<String>), later: &(Letter, Vec<String>), what: &str) {
    for (a, b) in earlier.1.iter().zip(&later.1) {
        assert_eq!(a, b, "{what}");
    }
    assert_eq!(earlier.1.len(), later.1.len(), "{what}");
    assert_eq!(earlier.0, later.0, "{what}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, ..ProptestConfig::default() })]

    #[test]
    fn later_knowledge_never_changes_an_earlier_letter(
        letter in 0..27usize,
        records in prop::collection::vec((later(), 1..900u64), 1..5),
    ) {
        let letters = demo().letters();
        let (case, entry) = letters[letter % letters.len()];
        let before = said(case, entry);
        let mut grown = case.clone();
        for (n, (record, days)) in records.iter().enumerate() {
            add(&mut grown, record, *entry.as_of, *entry.as_of + Days::new(*days), n);
        }
        let what = format!("{}/{} with {records:?}", *case.id, *entry.id);
        assert_same(&before, &said(&grown, entry), &what);
    }
}

/// Each kind of record alone, on the very next day, for every letter.
#[test]
fn the_next_day_does_not_reach_back() {
    let film = |in_support| Later::Film { copy_of: 0, by_degrees: 20, in_support, matures: true };
    let all = [
        film(true),
        film(false),
        Later::Reading { of: 0, by_degrees: 20 },
        Later::Exam { taller: 8 },
        Later::Plan,
        Later::Fitting,
        Later::Hours { per_day: 2, decided: true },
        Later::Wear { hours: 2 },
        Later::Told { hours: 2 },
        Later::Ended,
        Later::Treatment { cast: true },
        Later::Menarche,
    ];
    for (case, entry) in demo().letters() {
        let before = said(case, entry);
        for record in &all {
            let mut grown = case.clone();
            add(&mut grown, record, *entry.as_of, *entry.as_of + Days::new(1), 0);
            let what = format!("{}/{} with {record:?}", *case.id, *entry.id);
            assert_same(&before, &said(&grown, entry), &what);
        }
    }
}

/// The same records do change a letter of their own day: the property above
/// is not true for want of effect.
#[test]
fn what_was_known_by_then_is_seen() {
    let (case, entry) = (demo().case("fw-0103"), &demo().case("fw-0103").letters[1]);
    let before = said(case, entry);
    let day = *entry.as_of;
    for record in [
        Later::Film { copy_of: 0, by_degrees: 20, in_support: false, matures: false },
        Later::Reading { of: 0, by_degrees: 20 },
        Later::Exam { taller: 8 },
        Later::Plan,
        Later::Hours { per_day: 2, decided: true },
        Later::Told { hours: 2 },
        Later::Ended,
    ] {
        let mut grown = case.clone();
        add(&mut grown, &record, day, day, 0);
        assert_ne!(said(&grown, entry).1, before.1, "{record:?} is not seen on its day");
    }
}

/// f4 of fw-0103 was taken on 16 March 2026. Read a week after the letter of
/// 23 March, it is as if it had not been taken: the letter tells of f3.
#[test]
fn a_reading_counts_from_the_day_it_was_read() {
    let mut case = demo().case("fw-0103").clone();
    let entry = case.letters[1].clone();
    let now = |case: &Case| {
        let written = demo().written(case, &entry);
        let fact = written.derived.facts.get("curves.thoracolumbar.now.cobb").cloned();
        fact.and_then(|f| f.number()).map(|n| n.value())
    };
    assert_eq!(now(&case), Some(21.0));
    let film = case.films.iter_mut().find(|f| *f.id == "f4").expect("film f4");
    film.readings[0].read = located(*entry.as_of + Days::new(7));
    assert_eq!(now(&case), Some(24.0));
}

/// A corrected entry is what the file says now, so a letter of an earlier day
/// is recomputed with it.
#[test]
fn a_correction_reaches_back() {
    let wrong = "read: 2025-09-15\n        curves: [{name: thoracolumbar, upper: T11, apex: L1, \
                 lower: L3, convex: left, cobb: 24 deg}]";
    let text = case_text("fw-0103");
    assert_eq!(text.matches(wrong).count(), 1);
    let text = text.replace(wrong, &wrong.replace("24 deg", "31 deg"))
        + "\ncorrections:\n  - {on: 2027-01-11, by: ev, at: film f3 / reading r1 / curve \
           thoracolumbar / cobb, was: 24 deg, now: 31 deg, because: measured to the wrong end}\n";
    let case = sound(&text, "fw-0103");
    let entry = &case.letters[1];
    assert!(*entry.as_of < NaiveDate::from_ymd_opt(2027, 1, 11).expect("a day"));
    let written = demo().written(&case, entry);
    let cobb = written.derived.facts.get("films.f3.curves.thoracolumbar.cobb").expect("a fact");
    assert!(matches!(&cobb.value, Value::Number(n) if n.value() == 31.0));
    let printed = serde_json::to_string(&written.letter.blocks).expect("plain data");
    assert!(printed.contains("31°") && !printed.contains("24°"), "{printed}");
}

/// The facts of a letter of October 2024, worked out again two years later. A reading corrected with
/// `correct` reaches back to it; the same angle as a reading of its own, made
/// after that day, does not.
#[test]
fn a_correction_reaches_back_and_a_later_reading_does_not() {
    let text = case_text("fw-0118");
    let film = "film f4 / reading r1 / curve thoracic / cobb";
    let on = NaiveDate::from_ymd_opt(2026, 11, 2).expect("a day");
    let because = "the upper end had been taken one vertebra too high";
    let correction = Correction { at: film, now: "31 deg", on, by: "ev", because };
    let case = sound(&text, "fw-0118");
    let day = NaiveDate::from_ymd_opt(2024, 10, 1).expect("a day");
    let cobb = |case: &Case| {
        let facts = derive(case, &demo().clinic, day, None).facts;
        let fact = |id: &str| facts.get(id).and_then(|f| f.number()).map(|n| n.value());
        (fact("films.f4.curves.thoracic.cobb"), fact("curves.thoracic.now.cobb"))
    };
    assert_eq!(cobb(&case), (Some(28.0), Some(28.0)));

    let edited = correct(&text, &correction).expect("a correction").text;
    assert_eq!(cobb(&sound(&edited, "fw-0118")), (Some(31.0), Some(31.0)));

    let mut later = case.clone();
    let film = later.films.iter_mut().find(|f| *f.id == "f4").expect("film f4");
    let mut second = film.readings[0].clone();
    second.id = located("r9".to_string());
    second.by = located("ev".to_string());
    second.read = located(on);
    second.curves[0].cobb = Some(located(Angle::degrees(31.0)));
    film.readings.push(second);
    assert_eq!(cobb(&later), (Some(28.0), Some(28.0)));
}

/// What a sensor wrote down counts from the day it was downloaded, even if
/// the days it tells of are long past. The letter is of 23 March 2026, the
/// last span told of ends on 15 March: 167 days at 20.8 and 181 at 20.4 hours
/// are 7166 hours in 348 days, 20.6 a day.
#[test]
fn a_log_counts_from_its_download() {
    let mut case = demo().case("fw-0103").clone();
    let entry = case.letters[1].clone();
    let mean = |case: &Case| {
        let facts = demo().written(case, &entry).derived.facts;
        facts.get("treatment.current.wear.mean").and_then(|f| f.number()).map(|n| n.value())
    };
    let downloaded = |case: &mut Case, on: NaiveDate| {
        let brace = case.treatments.iter_mut().find(|t| *t.id == "b1").expect("the brace");
        let wear = brace.wear.as_mut().expect("its sensor");
        wear.downloaded = Some(located(on));
        wear.measured.iter_mut().for_each(|m| m.downloaded = None);
    };
    downloaded(&mut case, *entry.as_of);
    assert_eq!(mean(&case), Some(20.6));
    downloaded(&mut case, *entry.as_of + Days::new(1));
    assert_eq!(mean(&case), None);
}
