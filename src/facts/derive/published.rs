//! Published figures that letters may quote, as facts with their source.

use super::maker::{Maker, text, whole};
use crate::evidence::{Source, works};
use crate::quantity::Unit;

/// `published.*`.
pub fn published(make: &mut Maker) {
    let trial = Source::read(
        &works::WEINSTEIN_2013,
        "242 adolescents; success: skeletal maturity without reaching 50 degrees; 72 % of those braced, 48 % of those observed; 18 hours a day or more advised",
    );
    let figures = [
        ("patients", "adolescents in the trial of bracing", 242, Unit::One),
        ("success_brace", "success with a brace in the trial", 72, Unit::Percent),
        ("success_observed", "success under observation in the trial", 48, Unit::Percent),
        ("limit", "size that counted as failure in the trial", 50, Unit::Degree),
    ];
    for (item, label, value, unit) in figures {
        make.fact(format!("published.bracing.{item}"), label, whole(value, unit))
            .by("as published", trial)
            .done();
    }
    make.fact(
        "published.bracing.citation",
        "the trial of bracing",
        text(works::WEINSTEIN_2013.citation),
    )
    .by("as published", trial)
    .done();
    let cohort = Source::read(&works::KUROKI_2015, "31 patients by the criteria of brace studies");
    make.fact(
        "published.cohort.citation",
        "the series by the criteria of brace studies",
        text(works::KUROKI_2015.citation),
    )
    .by("as published", cohort)
    .done();
}
