//! Dose of films against published figures.

use endplate::course::dose::{
    Against, background_days, background_months, from_area, implausible, months_between, reported,
    usual,
};
use endplate::quantity::{AreaDose, Dose, PartialDate, Reported, Unit};

fn tenths(value: f64) -> i64 {
    (value * 10.0).round() as i64
}

#[test]
fn against_natural_background() {
    // Pace et al., Scoliosis 2013;8:11 (read): 2.4 mSv a year. By hand: 0.0675
    // / 2.4 x 365.25 = 10.27 days; 1.09 / 2.4 x 12 = 5.45 months.
    assert_eq!(tenths(background_days(Dose::millisievert(0.0675))), 103);
    let months = background_months(Dose::millisievert(1.09));
    assert_eq!((months * 100.0).round() as i64, 545);
}

#[test]
fn from_the_dose_area_product() {
    // Ernst et al., Eur Spine J 2018 (figures read, factor computed): 0.470
    // Gy.cm2 at 0.28 is 0.13 mSv, 0.853 is 0.24.
    let dose = |gray| from_area(AreaDose::gray_square_centimetres(gray), 13).unwrap();
    let digits =
        |gray| Reported::round(dose(gray).to_millisievert(), 2, Unit::Millisievert).digits();
    assert_eq!([digits(0.470), digits(0.853)], ["0.13", "0.24"]);
    let product = AreaDose::gray_square_centimetres(0.470);
    let at = [11, 12, 14, 15].map(|years| from_area(product, years).is_some());
    assert_eq!(at, [false, true, true, false]);
}

#[test]
fn usual_doses_by_age() {
    // Pace 2013 (read): below 7 years 0.03 to 0.54, 7 to 12 0.11 to 0.80, 13
    // to 18 0.17 to 1.09 mSv.
    let range = |years| usual(years).map(|u| (u.low.digits(), u.high.digits()));
    let pair = |a: &str, b: &str| Some((a.to_string(), b.to_string()));
    assert_eq!([range(0), range(6)], [pair("0.03", "0.54"), pair("0.03", "0.54")]);
    assert_eq!([range(7), range(12)], [pair("0.11", "0.80"), pair("0.11", "0.80")]);
    assert_eq!([range(13), range(18)], [pair("0.17", "1.09"), pair("0.17", "1.09")]);
    assert_eq!(range(19), None);
    let place = |v| usual(13).unwrap().place(Reported::round(v, 2, Unit::Millisievert));
    assert_eq!(
        [0.16, 0.17, 1.09, 1.10].map(place),
        [Against::Below, Against::Within, Against::Within, Against::Above]
    );
}

#[test]
fn no_published_dose_is_called_a_slip() {
    // Hui et al. 2016 (read): slot scanner 0.0026 mSv, digital PA 0.0675.
    // Mogaadi et al. 2012 (read): frontal up to 1.596, lateral up to 1.370.
    for published in [0.0026, 0.0675, 1.596, 1.370] {
        assert!(!implausible(Dose::millisievert(published), 13), "{published}");
    }
    // Twice the upper end of the range and no more; a slipped unit either way.
    assert!(!implausible(Dose::millisievert(2.18), 13));
    assert!(implausible(Dose::millisievert(2.19), 13));
    assert!(implausible(Dose::millisievert(0.0), 13));
    assert!(implausible(Dose::millisievert(0.000_9), 40));
    assert!(!implausible(Dose::millisievert(5.0), 40), "no range for adults");
}

#[test]
fn small_doses_are_not_printed_as_zero() {
    let digits = |v| reported(Dose::millisievert(v)).digits();
    assert_eq!([digits(0.07), digits(0.0675), digits(0.0026)], ["0.07", "0.0675", "0.0026"]);
    assert_eq!(digits(0.1), "0.10");
}

#[test]
fn months_between_films_are_completed_calendar_months() {
    let day = |text| PartialDate::parse(text).unwrap().first_day();
    let months = |a, b| months_between(day(a), day(b));
    assert_eq!(months("2025-01-10", "2025-07-09"), 5);
    assert_eq!(months("2025-01-10", "2025-07-10"), 6);
    assert_eq!(months("2025-08-31", "2026-02-28"), 6);
    assert_eq!(months("2025-01-10", "2025-01-10"), 0);
}
