//! The progression factor of 1984.

use super::{Finding, Found, Model, Moment, Said, Subject, Unfit};
use crate::evidence::{Grade, Source, works};
use crate::quantity::{Age, Reported, Unit};

/// (Cobb - 3 x Risser) / age in years, Risser of the United States scale and
/// age in completed months ([`LONSTEIN_1984`](works::LONSTEIN_1984), the form
/// from memory). `None` at birth.
pub fn progression_factor(cobb: Reported, risser_us: u8, age: Age) -> Option<f64> {
    let years = f64::from(age.in_months()) / 12.0;
    (years > 0.0).then(|| (cobb.value() - 3.0 * f64::from(risser_us)) / years)
}

/// Risk between two points of the published graph, in per cent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FactorGraph {
    /// Risk at the nearest point remembered at or below the factor.
    pub at_least: i64,
    /// Risk at the nearest point remembered at or above it.
    pub at_most: i64,
}

/// Points of the graph as remembered, with little confidence: factor in
/// hundredths and the risk in per cent from its low to its high remembered value.
const GRAPH: [(i64, i64, i64); 5] =
    [(100, 12, 12), (140, 30, 30), (160, 45, 45), (200, 75, 80), (250, 95, 95)];

/// Where a factor of two decimals lies on the graph; `None` beyond the points
/// remembered.
pub fn graph(factor: Reported) -> Option<FactorGraph> {
    let at = (factor.value() * 100.0).round() as i64;
    let below = GRAPH.iter().rev().find(|p| p.0 <= at)?;
    let above = GRAPH.iter().find(|p| p.0 >= at)?;
    Some(FactorGraph { at_least: below.1, at_most: above.2 })
}

const GRAPH_SOURCE: Source = Source {
    work: Some(&works::LONSTEIN_1984),
    grade: Grade::WeakMemory,
    note: "graph of the factor: 1.0 about 12 %, 1.4 about 30, 1.6 about 45, 2.0 about 75 to 80, 2.5 about 95",
};

pub(super) const FACTOR: Model = Model {
    key: "progression_factor",
    items: &[
        ("value", "progression factor"),
        ("graph_from", "risk on the published graph, at least"),
        ("graph_to", "risk on the published graph, at most"),
    ],
    population: "727 patients of 1984 with idiopathic curves of 5 to 29 degrees; the factor for skeletally immature patients with 20 to 29 degrees",
    caveat: "in 315 other patients the factor explained little (R = 0.24): the model does not carry over (Ward et al., Spine J Meeting Abstracts 2011:145)",
    source: Source {
        work: Some(&works::LONSTEIN_1984),
        grade: Grade::Memory,
        note: "(Cobb - 3 x Risser) / age in years; valid for 20 to 29 degrees and growing spines",
    },
    find,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn find(subject: &Subject) -> Found {
    subject.idiopathic_after_infancy()?;
    subject.cobb_from_to(20, 29)?;
    let risser = subject.risser_us()?;
    subject.immature()?;
    let exact = progression_factor(subject.cobb, risser, subject.age)
        .ok_or(Unfit::Outside("for patients with an age above zero".into()))?;
    let value = Reported::round(exact, 2, Unit::One);
    let beyond = || {
        let why = format!("the graph is known from 1.0 to 2.5; the factor is {}", value.digits());
        Said::Nothing(Unfit::Outside(why))
    };
    let risk = |item, of: fn(FactorGraph) -> i64| {
        let percent = |g| Said::Number(Reported::whole(of(g), Unit::Percent));
        Finding::new(item, graph(value).map_or_else(beyond, percent)).by(GRAPH_SOURCE)
    };
    Ok(vec![
        Finding::new("value", Said::Computed(value, exact)),
        risk("graph_from", |g| g.at_least),
        risk("graph_to", |g| g.at_most),
    ])
}
