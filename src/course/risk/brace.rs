//! What studies found under a brace: success, numbers needed to treat, wear.

use super::{Finding, Found, Model, Moment, Said, Subject, Unfit};
use crate::evidence::{Grade, Source, works};
use crate::quantity::{HoursPerDay, Reported, Unit};

/// How many must be treated for one to gain, from shares of success (0 to 1);
/// `None` where the treatment gains nothing.
pub fn numbers_needed(treated: f64, untreated: f64) -> Option<f64> {
    (treated > untreated).then(|| 1.0 / (treated - untreated))
}

/// The odds ratio of two shares of success, each above 0 and below 1.
pub fn odds_ratio(treated: f64, untreated: f64) -> f64 {
    (treated / (1.0 - treated)) / (untreated / (1.0 - untreated))
}

/// Success by the outcome criteria of brace studies: improved or unchanged
/// among all, in per cent; `None` for nobody.
pub fn success(improved: u32, unchanged: u32, worse: u32) -> Option<f64> {
    let all = improved + unchanged + worse;
    (all > 0).then(|| f64::from(improved + unchanged) * 100.0 / f64::from(all))
}

/// The guideline's names of 2011 for hours a day in a rigid brace.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PrescriptionBand {
    /// 8 to 12 hours.
    Night,
    /// 12 to 20 hours.
    PartTime,
    /// 20 to 24 hours.
    FullTime,
}

/// The name of prescribed hours ([`SOSORT_2011`](works::SOSORT_2011)). The
/// source gives 12 and 20 hours to two bands each; here the edge belongs to
/// the longer one. Another edition (half-time 16 to 18, full-time 19 to 22,
/// total-time 23 to 24; [`HOURS_NAMES_2021`](works::HOURS_NAMES_2021))
/// conflicts, so hours are stored and never the word. `None` below 8.
pub fn prescription_band(hours: HoursPerDay) -> Option<PrescriptionBand> {
    match hours.to_hours() {
        h if h < 8.0 => None,
        h if h < 12.0 => Some(PrescriptionBand::Night),
        h if h < 20.0 => Some(PrescriptionBand::PartTime),
        _ => Some(PrescriptionBand::FullTime),
    }
}

const TRIAL_PEOPLE: &str = "242 adolescents with idiopathic curves: 10 to 15 years, Risser 0 to 2, 20 to 40 degrees, before or within a year of the first period (these bounds from memory); 18 hours a day or more advised";

pub(super) const TRIAL: Model = Model {
    key: "trial",
    items: &[
        ("value", "success with a brace, whole trial"),
        ("observed", "success under observation, whole trial"),
        ("randomised", "success with a brace, as randomised"),
        ("randomised_observed", "success under observation, as randomised"),
        ("needed", "patients to treat for one more success, as randomised"),
        ("needed_compliant", "the same among the highly compliant"),
    ],
    population: TRIAL_PEOPLE,
    caveat: "success is maturity without reaching 50 degrees: 49 is a success; the number needed to treat is 3 (95 % interval 2 to 7) among the highly compliant",
    source: Source::read(
        &works::WEINSTEIN_2013,
        "72 against 48 %, odds ratio 1.93 (1.08 to 3.46); as randomised 75 against 42 %, odds ratio 4.11 (1.85 to 9.16)",
    ),
    find: trial,
    at: Moment::Start,
    bounds: Grade::Memory,
};

fn trial(subject: &Subject) -> Found {
    subject.trial_of_bracing()?;
    let needed = numbers_needed(0.75, 0.42).expect("75 is more than 42");
    Ok(vec![
        Finding::percent("value", 72),
        Finding::percent("observed", 48),
        Finding::percent("randomised", 75),
        Finding::percent("randomised_observed", 42),
        Finding::new("needed", Said::Computed(Reported::round(needed, 1, Unit::One), needed)),
        Finding::new("needed_compliant", Said::Number(Reported::whole(3, Unit::One)))
            .by(Source::read(&works::SANDERS_2014, "3, 95 % interval 2 to 7")),
    ])
}

fn worn(subject: &Subject) -> Result<Reported, Unfit> {
    let hours = subject.wear.ok_or(Unfit::Unknown("measured wear", "the brace's sensor"))?;
    Ok(Reported::round(hours.to_hours(), 1, Unit::HourPerDay))
}

pub(super) const WEAR: Model = Model {
    key: "wear",
    items: &[("value", "success at this wear in the trial, at least"), ("to", "the same, at most")],
    population: TRIAL_PEOPLE,
    caveat: "the share rises with wear; who wears more differs in other ways too, so it is no promise; below 6 hours as under observation",
    source: Source::read(
        &works::WEAR_QUARTERS,
        "read in a secondary text: below 6 hours 41 to 42 %, above 13 hours 90 to 93 %",
    ),
    find: wear,
    at: Moment::Start,
    bounds: Grade::Memory,
};

const MIDDLE: Source = Source {
    work: Some(&works::WEINSTEIN_2013),
    grade: Grade::WeakMemory,
    note: "the two middle quarters, 6.1 to 12.8 hours: about 70 to 80 %",
};

fn wear(subject: &Subject) -> Found {
    subject.trial_of_bracing()?;
    let hours = worn(subject)?.value();
    let ((from, to), middle) = match hours {
        h if h <= 6.0 => ((41, 42), false),
        h if h >= 12.9 => ((90, 93), false),
        _ => ((70, 80), true),
    };
    let by = |finding: Finding| if middle { finding.by(MIDDLE) } else { finding };
    Ok(vec![by(Finding::percent("value", from)), by(Finding::percent("to", to))])
}

pub(super) const WEAR_LONG: Model = Model {
    key: "wear_above_18",
    items: &[
        ("value", "share that ended below 50 degrees, at least"),
        ("below_50_to", "the same, at most"),
        ("below_30_from", "share that ended below 30 degrees, at least"),
        ("below_30_to", "the same, at most"),
        ("improved_from", "share that improved, at least"),
        ("improved_to", "the same, at most"),
    ],
    population: "884 patients braced for more than 18 hours a day",
    caveat: "a preprint read in a summary; sizes at the start were not seen",
    source: Source::read(
        &works::NEGRINI_2024,
        "ended below 50 degrees 97 to 98 %, below 30 45 to 60 %, improved 25 to 35 %",
    ),
    find: wear_long,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn wear_long(subject: &Subject) -> Found {
    subject.idiopathic()?;
    let hours = worn(subject)?;
    if hours.value() <= 18.0 {
        let digits = hours.digits();
        let why = format!("for wear above 18 hours a day; measured are {digits} hours");
        return Err(Unfit::Outside(why));
    }
    Ok(vec![
        Finding::percent("value", 97),
        Finding::percent("below_50_to", 98),
        Finding::percent("below_30_from", 45),
        Finding::percent("below_30_to", 60),
        Finding::percent("improved_from", 25),
        Finding::percent("improved_to", 35),
    ])
}

pub(super) const KUROKI: Model = Model {
    key: "brace_cohort",
    items: &[("value", "share improved or unchanged in a cohort")],
    population: "31 patients by the criteria of brace studies: from 10 years, Risser 0 to 2, 25 to 40 degrees, before or within a year of the first period",
    caveat: "6 improved, 15 unchanged, 10 worse; no comparison group",
    source: Source::read(&works::KUROKI_2015, "6 + 15 of 31, 67.7 %"),
    find: kuroki,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn kuroki(subject: &Subject) -> Found {
    subject.idiopathic()?;
    subject.age_from(10)?;
    subject.cobb_from_to(25, 40)?;
    subject.risser_up_to(2)?;
    subject.early_puberty()?;
    let exact = success(6, 15, 10).expect("31 patients");
    let share = Reported::round(exact, 1, Unit::Percent);
    Ok(vec![Finding::new("value", Said::Computed(share, exact))])
}

pub(super) const BRACE_TYPES: Model = Model {
    key: "brace_types",
    items: &[
        ("value", "full-time brace: share within 5 degrees"),
        ("night", "night brace: the same"),
        ("soft", "soft brace: the same"),
        ("observed", "observation: the same"),
    ],
    population: "pooled studies of growing patients with idiopathic scoliosis",
    caveat: "95 % intervals: full time 61 to 86, night 72 to 85, soft 55 to 70, observation 44 to 56; sizes and ages differ between the groups, so they do not compare with one another",
    source: Source::read(
        &works::COSTA_2021,
        "change of 5 degrees or less: 73.2, 78.7, 62.4 and 50 %",
    ),
    find: brace_types,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn brace_types(subject: &Subject) -> Found {
    subject.idiopathic()?;
    subject.immature()?;
    Ok(vec![
        Finding::tenths("value", 73.2, Unit::Percent),
        Finding::tenths("night", 78.7, Unit::Percent),
        Finding::tenths("soft", 62.4, Unit::Percent),
        Finding::percent("observed", 50),
    ])
}
