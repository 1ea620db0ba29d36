//! Questionnaires and published important differences.

use Answer::{Double, Open, Points};
use endplate::course::score::important::{self, Verdict, judge, reaches_share, share};
use endplate::course::score::odi::{Odi, band};
use endplate::course::score::srs22r::{Domain, Srs22r};
use endplate::course::score::{Answer, Better};
use endplate::evidence::Grade;
use endplate::quantity::{Reported, Unit};

/// All questions answered alike, but for those named.
fn srs(all: u8, but: &[(usize, Answer)]) -> Srs22r {
    let mut answers = [Points(all); 22];
    but.iter().for_each(|(question, answer)| answers[question - 1] = *answer);
    Srs22r::new(&answers).unwrap()
}

#[test]
fn a_domain_is_the_mean_of_its_answers() {
    // SRS-22r scoring (read); function is 5 9 12 15 18: 4, 5, none, 3, 4 make
    // 16 / 4 = 4.00.
    let function = [(5, Points(4)), (9, Points(5)), (12, Open), (15, Points(3)), (18, Points(4))];
    let mean = srs(3, &function).domain(Domain::Function).unwrap();
    assert_eq!((mean.reported().digits().as_str(), mean.answered), ("4.00", 4));
    // Three answers make a domain, two do not; two marks are no answer.
    let three = srs(3, &[(5, Open), (9, Double)]);
    assert_eq!(three.domain(Domain::Function).unwrap().answered, 3);
    let two = srs(3, &[(5, Open), (9, Double), (12, Open)]).domain(Domain::Function);
    assert_eq!(two.unwrap_err().to_string(), "2 of 5 questions of function answered, fewer than 3");
    // Satisfaction is excepted; its questions are from memory.
    let one = srs(3, &[(21, Open), (22, Points(5))]).domain(Domain::Satisfaction).unwrap();
    assert_eq!(one.reported().digits(), "5.00");
    assert!(srs(3, &[(21, Open), (22, Open)]).domain(Domain::Satisfaction).is_err());
    assert_eq!(Domain::Satisfaction.source().grade, Grade::Memory);
    assert_eq!(Domain::Pain.source().grade, Grade::Read);
}

#[test]
fn every_question_belongs_to_one_domain() {
    // The list of questions (read; 21 and 22 from memory).
    let mut all: Vec<usize> = Domain::ALL.iter().flat_map(|d| d.questions()).copied().collect();
    all.sort_unstable();
    assert_eq!(all, (1..=22).collect::<Vec<_>>());
    // One question turned to 5 moves its own domain and no other.
    let owners = |q| {
        let turned = srs(3, &[(q, Points(5))]);
        let moved =
            Domain::ALL.into_iter().filter(move |d| turned.domain(*d).unwrap().exact() > 3.0);
        moved.collect::<Vec<_>>()
    };
    assert_eq!(owners(18), [Domain::Function]);
    assert_eq!(owners(17), [Domain::Pain]);
    assert_eq!(owners(19), [Domain::SelfImage]);
    assert_eq!(owners(20), [Domain::MentalHealth]);
}

#[test]
fn totals_count_answered_questions() {
    // By hand: 20 questions at 4 and two open: 80 / 20 = 4; satisfaction at 5
    // and 5: (80 + 10) / 22 = 4.0909, subtotal 4.
    let open = srs(4, &[(1, Open), (3, Open)]);
    assert_eq!(open.total().unwrap().reported().digits(), "4.00");
    assert_eq!(open.total().unwrap().raw(), None);
    let content = srs(4, &[(21, Points(5)), (22, Points(5))]);
    assert_eq!(content.total().unwrap().reported().digits(), "4.09");
    assert_eq!(content.subtotal().unwrap().reported().digits(), "4.00");
    assert_eq!(
        (content.total().unwrap().raw(), content.subtotal().unwrap().raw()),
        (Some(90), Some(80))
    );
    // Before any treatment nobody answers 21 and 22: a subtotal, no total.
    let before = srs(4, &[(21, Open), (22, Open)]);
    assert!(before.total().is_err() && before.subtotal().is_ok());
    assert!(Srs22r::new(&[Points(3); 21]).is_none() && Srs22r::new(&[Points(3); 23]).is_none());
}

fn odi(points: &[u8], open: usize) -> Odi {
    let answers: Vec<_> =
        points.iter().map(|p| Points(*p)).chain(std::iter::repeat_n(Open, open)).collect();
    Odi::new(&answers).unwrap()
}

#[test]
fn the_oswestry_index() {
    // Index sheet (read): 16 of 50 is 32 %, 16 of 45 is 35.56 % (the sheet
    // prints 35.5).
    let all = odi(&[2, 2, 2, 2, 2, 2, 1, 1, 1, 1], 0);
    assert_eq!((all.points, all.exact()), (16, Some(32.0)));
    let nine = odi(&[2, 2, 2, 2, 2, 2, 2, 1, 1], 1);
    assert_eq!((nine.points * 10_000 / (5 * nine.answered)), 3555);
    assert_eq!(nine.reported().unwrap().digits(), "36");
    // Fewer than 8 sections: no index (common practice). Other counts: none.
    assert!(odi(&[2; 8], 2).reported().is_some() && odi(&[2; 7], 3).reported().is_none());
    assert!(Odi::new(&[Points(1); 9]).is_none());
}

#[test]
fn bands_of_the_index() {
    // Index sheet (read): 0 to 20, 21 to 40, 41 to 60, 61 to 80, 81 to 100 %.
    let of = |percent| band(Reported::whole(percent, Unit::Percent));
    let found = [0, 20, 21, 40, 41, 60, 61, 80, 81, 100].map(of);
    let words = ["minimal", "moderate", "severe", "very severe", "most severe"];
    assert_eq!(found, std::array::from_fn(|i| words[i / 2]));
}

#[test]
fn important_changes_in_low_back_pain() {
    // Ostelo et al., Spine 2008;33:90-94 (abstract read): disability 10,
    // rating 2, analogue scale 15, or 30 % of the first value. 6 to 4 meets
    // both: 2 of 6 is 33 %.
    let (two, _) = important::pain();
    let rated = |v| Reported::whole(v, Unit::OutOfTen);
    assert_eq!(judge(rated(4).minus(rated(6)), two, Better::Lower), Verdict::Better);
    assert_eq!(judge(rated(7).minus(rated(6)), two, Better::Lower), Verdict::Smaller);
    assert_eq!(judge(rated(8).minus(rated(6)), two, Better::Lower), Verdict::Worse);
    assert_eq!(share(rated(6), rated(4)).unwrap().digits(), "\u{2212}33");
    assert!(reaches_share(rated(6), rated(4)) && reaches_share(rated(10), rated(7)));
    assert!(!reaches_share(rated(7), rated(5)), "2 of 7 is 28.6 %");
    assert!(share(rated(0), rated(3)).is_none() && !reaches_share(rated(0), rated(3)));
    let index = |v| Reported::whole(v, Unit::Percent);
    let (ten, _) = important::odi();
    assert_eq!(judge(index(33).minus(index(42)), ten, Better::Lower), Verdict::Smaller);
    assert_eq!(judge(index(32).minus(index(42)), ten, Better::Lower), Verdict::Better);
    assert_eq!(important::vas().0.digits(), "15");
}

#[test]
fn important_changes_of_the_srs_22() {
    // Bago et al. 2009, PMC2899428 (abstract read): pain 0.6, function 0.3,
    // image 1.3, mental health 0.3, mean 0.6, raw sum 13.1. Bago et al., Eur
    // Spine J 2012;21:50 (abstract read): subtotal 6.8 detectable.
    let of = |d| important::srs22r_domain(d).map(|i| i.0.digits());
    let found = Domain::ALL.map(of).map(|d| d.unwrap_or_default());
    assert_eq!(found, ["0.3", "0.6", "1.3", "0.3", ""]);
    let sums =
        [important::srs22r_mean(), important::srs22r_raw(), important::srs22r_raw_subtotal()];
    assert_eq!(sums.map(|s| s.0.digits()), ["0.6", "13.1", "6.8"]);
    // Higher is better here: 3.40 to 4.00 is 0.60, from 4.00 to 3.40 worse.
    let score = |v| Reported::round(v, 2, Unit::One);
    let (mean, _) = important::srs22r_mean();
    assert_eq!(judge(score(4.0).minus(score(3.4)), mean, Better::Higher), Verdict::Better);
    assert_eq!(judge(score(3.4).minus(score(4.0)), mean, Better::Higher), Verdict::Worse);
    assert_eq!(judge(score(3.99).minus(score(3.4)), mean, Better::Higher), Verdict::Smaller);
}
