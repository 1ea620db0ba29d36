//! Repeated readings over a clinic: invented films, each with one curve.

use endplate::audit::readers::{ADVISED, FEWEST, Summary, Target, summaries, targets};
use endplate::case::Case;
use endplate::case::read::read_case;
use endplate::course::change::Group;
use endplate::diag::Report;

use crate::published::shrout_fleiss::TWELVE;

/// One reading: reader, angle, and whether it repeats the reader's first.
type Reading = (&'static str, f64, bool);

/// A case of one film for each entry, the patient above ten.
fn case(films: &[Vec<Reading>]) -> Case {
    let mut text = "case: t-1\npatient: {name: Test Person, born: 2008-01-01, sex: female}\n\
                    diagnosis: {cause: idiopathic, found: 2024-01}\ncontacts: []\nfilms:\n"
        .to_string();
    for (n, readings) in films.iter().enumerate() {
        let readings: Vec<String> = readings.iter().enumerate().map(one_reading).collect();
        text += &format!(
            "  - {{id: f{n}, taken: 2024-{:02}-{:02}, view: frontal, projection: PA, \
             displayed: from behind, posture: standing, support: none, readings: [{}]}}\n",
            1 + n / 28,
            1 + n % 28,
            readings.join(", ")
        );
    }
    let mut report = Report::default();
    let case = read_case(&text, "t-1.yaml", &|_| Err("none".into()), &mut report);
    let faults: Vec<_> = report.iter().map(|d| d.message.clone()).collect();
    assert!(faults.is_empty(), "{faults:?}");
    case.expect("a case")
}

fn one_reading((n, (by, cobb, repeat)): (usize, &Reading)) -> String {
    let repeat = if *repeat { "repeat_of: r0, " } else { "" };
    format!(
        "{{id: r{n}, by: {by}, read: 2024-06-0{}, {repeat}curves: [{{name: main, upper: T5, \
         apex: T8, lower: T12, convex: right, cobb: {cobb} deg}}]}}",
        n + 1
    )
}

fn told(films: &[Vec<Reading>]) -> (Vec<Target>, Vec<Summary>) {
    let targets = targets([&case(films)]);
    let summaries = summaries(&targets);
    (targets, summaries)
}

fn near(got: f64, expected: f64) {
    assert!((got - expected).abs() < 1e-7, "{got} is not {expected}");
}

#[test]
fn two_readers_are_compared_on_the_films_both_read() {
    let mut films: Vec<Vec<Reading>> =
        TWELVE.iter().map(|[a, b]| vec![("ab", *a, false), ("cd", *b, false)]).collect();
    films.push(vec![("ab", 40.0, false)]);
    let (targets, summaries) = told(&films);
    assert_eq!(targets.len(), 13);
    let [summary] = &summaries[..] else { panic!("one group") };
    assert_eq!((summary.group, summary.targets, summary.readings), (Group::Scoliosis, 12, 24));
    let [pair] = &summary.pairs[..] else { panic!("one pair") };
    assert_eq!((pair.first.as_str(), pair.second.as_str()), ("ab", "cd"));
    assert_eq!((pair.compared.targets, pair.compared.same_ends), (12, 12));
    let figures = pair.compared.figures.as_ref().unwrap();
    // pingouin 0.7.0 and scipy 1.17.1, as in tests/published/.
    near(figures.iccs.unwrap().agreement.single, 0.97311160);
    near(figures.limits.unwrap().bias, 1.0833333333333333);
    // MSW of the same table by numpy 2.4.6: 2.54166667; its root 1.594260.
    near(figures.within.sd * figures.within.sd, 2.5416666666666665);
    // 1.96 x root 2 x 1.594260 = 4.419.
    assert_eq!(figures.repeatability().digits(), "4.4");
    assert!(summary.again.is_empty());
    assert_eq!(summary.proposal(), None, "12 of {ADVISED}");
}

#[test]
fn too_few_films_say_nothing() {
    let films = vec![vec![("ab", 30.0, false), ("cd", 34.0, false)]; FEWEST - 1];
    let (_, summaries) = told(&films);
    assert_eq!(summaries[0].pairs[0].compared.targets, FEWEST - 1);
    assert!(summaries[0].pairs[0].compared.figures.is_none());
    assert!(told(&[vec![("ab", 30.0, false)]]).1.is_empty());
}

/// Thirty films with differences of 2, half of them downward: the mean square
/// within is 30 x 2^2 / 2 / 30 = 2, and 1.96 x root 2 x root 2 = 3.92.
fn thirty(second: &'static str, repeat: bool) -> Vec<Vec<Reading>> {
    let one = |n: usize| {
        let by = if n.is_multiple_of(2) { 2.0 } else { -2.0 };
        let first = 20.0 + n as f64;
        vec![("ab", first, false), (second, first + by, repeat)]
    };
    (0..30).map(one).collect()
}

#[test]
fn a_limit_comes_from_different_readers() {
    let limit = |films: &[Vec<Reading>]| told(films).1[0].proposal().map(|r| r.digits());
    assert_eq!(limit(&thirty("cd", false)).as_deref(), Some("3.9"));
    assert_eq!(limit(&thirty("cd", false)[..29]), None);
    // One person reads every film: repeats are all there is.
    assert_eq!(limit(&thirty("ab", true)).as_deref(), Some("3.9"));
    // Somebody else reads some films too: repeats alone would promise too much.
    let mut films = thirty("ab", true);
    films.push(vec![("cd", 30.0, false)]);
    assert_eq!(limit(&films), None);
}

#[test]
fn readers_agree_no_better_than_each_with_oneself() {
    // Readers who always agree, and one whose repeats are 2 apart.
    let mut films = thirty("ab", true);
    for film in &mut films {
        let first = film[0].1;
        film.insert(1, ("cd", first, false));
    }
    let (_, summaries) = told(&films);
    let between = summaries[0].between.figures.as_ref().unwrap();
    assert_eq!(between.repeatability().digits(), "0.0");
    assert_eq!(summaries[0].proposal().unwrap().digits(), "3.9");
}

#[test]
fn repeats_are_no_part_of_the_value_and_unequal_numbers_weigh_what_they_say() {
    // Every film 30 then 33 by ab; the first one again 36: by hand the squares
    // are 10 x 4.5 and, for 30 33 36, 18: (9 x 4.5 + 18) / (9 + 2) = 5.318182.
    let mut films = vec![vec![("ab", 30.0, false), ("ab", 33.0, true)]; 10];
    films[0].push(("ab", 36.0, true));
    let (_, summaries) = told(&films);
    let again = &summaries[0].again[0];
    assert_eq!((again.reader.as_str(), again.compared.freedom), ("ab", 11));
    let figures = again.compared.figures.as_ref().unwrap();
    near(figures.within.sd * figures.within.sd, 58.5 / 11.0);
    assert!(figures.limits.is_none() && figures.iccs.is_none(), "the table is not complete");
}
