//! Velocity of growth and the signs of maturity, as read.

use chrono::NaiveDate;
use endplate::course::growth::velocity::{
    LEFT_BOYS, LEFT_GIRLS, MENARCHE_AGE, PEAK_AGE_GIRLS, PEAK_GIRLS, TooClose, difference_limit,
    months_between, velocity,
};
use endplate::course::maturity::RisserScale::{French, UnitedStates};
use endplate::course::maturity::{
    MonthsSince, Step, hand_stage_bone_age, little_growth, radius_meaning, radius_ulna_meaning,
    risser_reaches_four,
};
use endplate::course::trend::Dated;
use endplate::quantity::{Reported, Unit};

fn day(text: &str) -> NaiveDate {
    NaiveDate::parse_from_str(text, "%Y-%m-%d").unwrap()
}

fn cm(value: f64) -> Reported {
    Reported::round(value, 1, Unit::Centimetre)
}

fn height(on: &str, value: f64) -> Dated {
    Dated { on: day(on), value: cm(value) }
}

#[test]
fn velocity_with_its_error() {
    // By hand: 3.6 cm in 184 days, 0.50376 years: 7.146 cm a year. Error:
    // 1.96 x sqrt 2 x 3 mm = 8.316 mm, over 0.50376 years 1.651 cm a year.
    let v = velocity(height("2025-03-01", 151.2), height("2025-09-01", 154.8), 6, 3.0).unwrap();
    assert_eq!((v.per_year.digits(), v.uncertainty.digits()), ("7.1".into(), "1.7".into()));
    assert_eq!(v.months, 6);
    assert!((difference_limit(3.0) - 8.316).abs() < 0.001);
    // A month less is too close: 1 March to 31 August is 183 days.
    let close = velocity(height("2025-03-01", 151.2), height("2025-08-31", 154.8), 6, 3.0);
    assert_eq!(close, Err(TooClose { days: 183, months: 6 }));
    // The wrong way round as well.
    assert!(velocity(height("2025-09-01", 154.8), height("2025-03-01", 151.2), 6, 3.0).is_err());
}

#[test]
fn reference_figures_as_read() {
    // PMC5805281 (read): girls 7.43 (1.45) cm a year at 11.9 (0.86) years,
    // first period at 12.57 years.
    assert_eq!((PEAK_GIRLS.value, PEAK_AGE_GIRLS.value, MENARCHE_AGE.value), (7.43, 11.9, 12.57));
    // Dimeglio (read): girls 20.5 = 12 + 8.5 cm, boys 22.5 = 13 + 9.5 cm.
    for left in [LEFT_GIRLS, LEFT_BOYS] {
        assert_eq!(left.trunk + left.legs, left.total);
    }
    // Medicine 2020, e22392 (read): bone age at stages 3 to 7.
    let ages = [2, 3, 4, 5, 6, 7, 8].map(hand_stage_bone_age);
    let read = [None, Some(12.0), Some(12.5), Some(13.0), Some(13.5), Some(14.5), None];
    assert_eq!(ages, read);
}

#[test]
fn radius_and_ulna_as_read() {
    // hub.hku.hk 126569 (read): grade 7 at the peak, grade 10 growth complete.
    assert_eq!(radius_meaning(7).unwrap().0, "as at peak height velocity");
    assert_eq!(radius_meaning(10).unwrap().0, "growth in height complete");
    assert_eq!(radius_meaning(3), None);
    // Asian Spine J 2018;12:202 (read): radius 6 with ulna 5.
    assert!(radius_ulna_meaning(6, 5).is_some() && radius_ulna_meaning(6, 6).is_none());
}

#[test]
fn risser_grades_of_two_scales_are_never_compared() {
    // J Bone Joint Surg Am 2010;92:1073 (read): store which system was used.
    assert_eq!(Step::of_risser((UnitedStates, 2), (French, 1)), Step::OtherScale);
    assert_eq!(Step::of_risser((UnitedStates, 2), (UnitedStates, 1)), Step::Fell);
    assert_eq!(Step::of_risser((French, 1), (French, 2)), Step::Rose);
    // Quarters against thirds (Bitan 2005, read), worked by hand: French 2
    // ends at 2/3, below 3/4; French 3 begins at 2/3 and may be either.
    assert_eq!(
        [3, 4, 5].map(|g| risser_reaches_four(UnitedStates, g)),
        [Some(false), Some(true), Some(true)]
    );
    assert_eq!(
        [2, 3, 4, 5].map(|g| risser_reaches_four(French, g)),
        [Some(false), None, Some(true), Some(true)]
    );
}

#[test]
fn a_first_period_of_some_month_gives_an_interval() {
    // By the calendar: from 30 September to 10 November 2025 one completed
    // month, from 1 September two.
    let since = MonthsSince::of(day("2025-09-01"), day("2025-09-30"), day("2025-11-10"));
    assert_eq!((since.fewest, since.most, since.exact()), (1, 2, None));
    assert_eq!([1, 2, 3].map(|m| since.at_least(m)), [Some(true), None, Some(false)]);
    let sharp = MonthsSince::of(day("2025-09-10"), day("2025-09-10"), day("2025-11-10"));
    assert_eq!(sharp.exact(), Some(2));
    assert_eq!(months_between(day("2025-08-31"), day("2026-02-28")), 6);
}

#[test]
fn less_than_a_centimetre_in_six_months() {
    // PMC7000074 (read): less than 1 cm over 6 months; the rest by logic.
    assert_eq!(little_growth(cm(0.9), 6, true), Some(true));
    assert_eq!(little_growth(cm(1.0), 6, true), Some(false));
    assert_eq!(little_growth(cm(0.9), 11, false), Some(true));
    assert_eq!(little_growth(cm(1.8), 11, false), None);
    assert_eq!(little_growth(cm(1.0), 4, false), Some(false));
    assert_eq!(little_growth(cm(0.4), 4, false), None);
}
