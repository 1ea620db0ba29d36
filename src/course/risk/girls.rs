//! The predictors found in girls with curves of 25 to 35 degrees.

use super::{Finding, Found, Model, Moment, Said, Sex, Subject, Unfit};
use crate::evidence::{Grade, Source, works};
use crate::quantity::{Reported, Unit};

pub(super) const GIRLS: Model = Model {
    key: "girls_25_to_35",
    items: &[
        ("value", "probability of progression by 6 degrees or more"),
        ("low_risser", "Risser 0 or 1, a predictor"),
        ("high_apex", "apex above T12, a predictor"),
        ("small_imbalance", "imbalance of 10 mm or less, a predictor"),
        ("progressed", "share of the girls who progressed"),
        ("accuracy", "share of the girls whom the published equation placed rightly"),
    ],
    population: "159 girls of 10 to 15 years with curves of 25 to 35 degrees, apex from T8 to L1; 80 progressed by 6 degrees or more",
    caveat: "age belongs to the published equation as well; its coefficients were not seen, so no probability is given; accuracy 81 %, positive predictive value 82 %, negative 80 %",
    source: Source::read(
        &works::PETERSON_1995,
        "predictors: Risser 0 to 1, apex above T12, imbalance 10 mm or less, age",
    ),
    find,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn find(subject: &Subject) -> Found {
    subject.idiopathic()?;
    subject.of_sex(Sex::Female)?;
    subject.age_from_to(10, 15)?;
    subject.cobb_from_to(25, 35)?;
    let apex = subject.placed()?;
    if !apex.t8_to_l1 {
        return Err(Unfit::Outside("for an apex from T8 to L1; this one lies elsewhere".into()));
    }
    let yes = |yes: bool| Said::Word(if yes { "yes" } else { "no" });
    let risser = subject.risser_us().map_or_else(Said::Nothing, |grade| yes(grade <= 1));
    let ten = Reported::whole(10, Unit::Millimetre);
    let imbalance = match subject.imbalance {
        Some(found) => yes(found.abs().compare(ten).is_le()),
        None => Said::Nothing(Unfit::Unknown("the coronal balance", "the reader of the film")),
    };
    let unseen = Unfit::NotComputable("the coefficients of the published equation were not seen");
    Ok(vec![
        Finding::new("value", Said::Nothing(unseen)),
        Finding::new("low_risser", risser),
        Finding::new("high_apex", yes(apex.above_t12)),
        Finding::new("small_imbalance", imbalance),
        progressed(),
        Finding::percent("accuracy", 81),
    ])
}

/// 80 of 159 girls.
fn progressed() -> Finding {
    let exact = 80.0 * 100.0 / 159.0;
    Finding::new("progressed", Said::Computed(Reported::round(exact, 0, Unit::Percent), exact))
}
