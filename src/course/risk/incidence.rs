//! How often curves progressed in tables of size by Risser grade and by age.

use super::{Finding, Found, Model, Moment, Said, Sex, Subject};
use crate::evidence::{Grade, Source, works};
use crate::quantity::{Reported, Unit};

const ENDPOINT: &str = "sources differ on what counted as progression: 10 degrees below 20 and 5 from 20 to 29 (from memory), or 6 throughout";

const STUDY: &str = "growing patients with idiopathic curves of 5 to 29 degrees, of 727 patients followed in 1984, of whom 169 (23.2 %) progressed";

pub(super) const BY_RISSER: Model = Model {
    key: "by_size_and_risser",
    items: &[
        ("value", "share that progressed, by size and Risser grade"),
        ("overall", "share of the whole study that progressed"),
    ],
    population: STUDY,
    caveat: ENDPOINT,
    source: Source::read(
        &works::INCIDENCE_TABLE,
        "5 to 19 degrees: Risser 0 to 1 22 %, 2 to 4 1.6 %; 20 to 29 degrees: 68 %, 23 %",
    ),
    find: by_risser,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn by_risser(subject: &Subject) -> Found {
    subject.idiopathic_after_infancy()?;
    subject.cobb_from_to(5, 29)?;
    let low = subject.risser_up_to(4)? <= 1;
    let share = match (subject.cobb.value() < 20.0, low) {
        (true, true) => Reported::whole(22, Unit::Percent),
        (true, false) => Reported::round(1.6, 1, Unit::Percent),
        (false, true) => Reported::whole(68, Unit::Percent),
        (false, false) => Reported::whole(23, Unit::Percent),
    };
    Ok(vec![Finding::new("value", Said::Number(share)), overall()])
}

/// 169 of 727 patients.
fn overall() -> Finding {
    let exact = 169.0 * 100.0 / 727.0;
    let share = Reported::round(exact, 1, Unit::Percent);
    Finding::new("overall", Said::Computed(share, exact))
        .by(Source::read(&works::LONSTEIN_1984, "169 of 727 patients progressed, 23.2 %"))
}

pub(super) const BY_AGE: Model = Model {
    key: "by_size_and_age",
    items: &[("value", "share that progressed, by size and age")],
    population: STUDY,
    caveat: ENDPOINT,
    source: Source {
        work: Some(&works::LONSTEIN_1984),
        grade: Grade::Memory,
        note: "to 10, 11 to 12, 13 to 14, from 15 years: 5 to 19 degrees 45, 23, 8, 4 %; 20 to 29 degrees 100, 61, 37, 16 %",
    },
    find: by_age,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn by_age(subject: &Subject) -> Found {
    subject.idiopathic_after_infancy()?;
    subject.cobb_from_to(5, 29)?;
    subject.immature()?;
    let row = if subject.cobb.value() < 20.0 { [45, 23, 8, 4] } else { [100, 61, 37, 16] };
    let column = match subject.age.years {
        0..=10 => 0,
        11..=12 => 1,
        13..=14 => 2,
        _ => 3,
    };
    Ok(vec![Finding::percent("value", row[column])])
}

pub(super) const BOYS: Model = Model {
    key: "boys",
    items: &[
        ("value", "share of boys that progressed by 10 degrees or more"),
        ("risser_4", "share of boys at Risser 4 that still progressed"),
    ],
    population: "210 boys with idiopathic scoliosis",
    caveat: "sizes and ages at the start were not seen; the authors follow boys to Risser 5",
    source: Source::read(&works::BOYS_1993, "32 % of 210 boys by 10 or more; at Risser 4 15 %"),
    find: boys,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn boys(subject: &Subject) -> Found {
    subject.idiopathic_after_infancy()?;
    subject.of_sex(Sex::Male)?;
    subject.immature()?;
    Ok(vec![Finding::percent("value", 32), Finding::percent("risser_4", 15)])
}
