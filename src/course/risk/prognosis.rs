//! Equations of prognosis, with and without a brace.
//!
//! None of them can be filled from a case: the risk they start from comes
//! from an equation whose coefficients were not seen, and the quality of wear
//! from a force sensor. The equations stand here for checking printed values.

use super::{Finding, Found, Model, Subject, Unfit};
use crate::evidence::{Grade, Source, works};

/// The model of 2016, all in per cent: `risk` by Peterson and Nachemson,
/// `correction` in the brace, `quality` and `quantity` of wear
/// ([`LOU_2016`](works::LOU_2016)).
pub fn lou_2016(risk: f64, correction: f64, quality: f64, quantity: f64) -> f64 {
    33.0 + 0.11 * risk - 0.07 * correction - 0.45 * quality - 0.48 * quantity
        + 0.0062 * quality * quantity
}

/// The model of 2009, all in per cent ([`LOU_2009`](works::LOU_2009)). The
/// paper's own example (risk 73, quantity 80, quality 70) is printed as 2;
/// the equation gives 3.52.
pub fn lou_2009(risk: f64, quality: f64, quantity: f64) -> f64 {
    33.0 + 0.12 * risk - 0.48 * quality - 0.52 * quantity + 0.0066 * quality * quantity
}

const NEEDS: Unfit = Unfit::NotComputable(
    "needs the risk of 1995, whose coefficients were not seen, and the quality of wear from a force sensor, which a case does not record",
);

const BRACED: &str =
    "girls under brace treatment whose wear was measured in hours and in strap force";

pub(super) const LOU_NEW: Model = Model {
    key: "braced_2016",
    items: &[("value", "progression under the brace")],
    population: BRACED,
    caveat: "33 + 0.11 P - 0.07 IBC - 0.45 Q - 0.48 N + 0.0062 N Q, all in per cent; shown as an equation only",
    source: Source::read(
        &works::LOU_2016,
        "P risk, IBC in-brace correction, Q quality, N quantity",
    ),
    find: cannot,
    at: super::Moment::Start,
    bounds: Grade::Read,
};

pub(super) const LOU_OLD: Model = Model {
    key: "braced_2009",
    items: &[("value", "progression under the brace, older model")],
    population: BRACED,
    caveat: "33 + 0.12 P - 0.48 Q - 0.52 N + 0.0066 N Q, all in per cent; the paper's own example (P 73, N 80, Q 70) gives 3.52 and is printed as 2: not reproducible from the printed inputs",
    source: Source::read(&works::LOU_2009, "P risk, Q quality, N quantity"),
    find: cannot,
    at: super::Moment::Start,
    bounds: Grade::Read,
};

fn cannot(_: &Subject) -> Found {
    Err(NEEDS)
}

pub(super) const UNTREATED_TRIAL: Model = Model {
    key: "untreated_45",
    items: &[
        ("value", "probability of 45 degrees or more without treatment"),
        ("predictive_from", "positive predictive value, at least"),
        ("predictive_to", "positive predictive value, at most"),
    ],
    population: "untreated adolescents of the trial of bracing; stage of hand maturity, size and type of the curve",
    caveat: "not computable: the coefficients were not seen; c 0.89 to 0.91, positive predictive value 0.71 to 0.72, negative 0.85 to 0.93",
    source: Source::read(&works::DOLAN_2019, "model for 45 degrees or more; coefficients not seen"),
    find: untreated,
    at: super::Moment::Start,
    bounds: Grade::Memory,
};

fn untreated(subject: &Subject) -> Found {
    subject.trial_of_bracing()?;
    let unseen = Unfit::NotComputable("the coefficients of the published model were not seen");
    Ok(vec![
        Finding::new("value", super::Said::Nothing(unseen)),
        Finding::percent("predictive_from", 71),
        Finding::percent("predictive_to", 72),
    ])
}
