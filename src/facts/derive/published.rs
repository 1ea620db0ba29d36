//! Published figures that letters may quote, as facts with their source.

use super::maker::{Maker, text, whole};
use crate::course::maturity::WEANING_SOURCE;
use crate::course::outcome::Bands;
use crate::evidence::{Source, works};
use crate::facts::Value;
use crate::quantity::{Reported, Unit};

/// `published.*`.
pub fn published(make: &mut Maker) {
    bracing(make);
    weaning(make);
    adult_life(make);
    outcomes(make);
}

/// A group of figures of one source, with its citation.
fn group(make: &mut Maker, root: &str, figures: &[(&str, &str, Value)], source: Source) {
    for (item, label, value) in figures {
        make.fact(format!("published.{root}.{item}"), *label, value.clone())
            .by("as published", source)
            .done();
    }
    let citation = source.work.map_or("", |work| work.citation);
    make.fact(format!("published.{root}.citation"), "the source", text(citation))
        .by("as published", source)
        .done();
}

/// The signs of maturity by which one study weaned, and boys at Risser 4.
fn weaning(make: &mut Maker) {
    let figures = [
        ("risser", "Risser grade from which a study weaned", whole(4, Unit::One)),
        ("since_period", "time since the first period", whole(2, Unit::Year)),
        ("growth", "growth below which it weaned", whole(1, Unit::Centimetre)),
        ("months", "time over which growth was looked at", whole(6, Unit::Month)),
    ];
    group(make, "weaning", &figures, WEANING_SOURCE);
    let figures = [
        ("patients", "boys in the study", whole(210, Unit::One)),
        ("risser_4", "boys at Risser 4 whose curve still rose", whole(15, Unit::Percent)),
        ("risser", "Risser grade at which they still rose", whole(4, Unit::One)),
        ("until", "Risser grade to which the authors follow boys", whole(5, Unit::One)),
    ];
    let source = Source::read(&works::BOYS_1993, "at Risser 4 15 %; follow to Risser 5");
    group(make, "boys", &figures, source);
}

/// What curves do after growth: two sources that differ, and a long cohort.
fn adult_life(make: &mut Maker) {
    let rate =
        |value: f64, decimals| Value::Number(Reported::round(value, decimals, Unit::DegreePerYear));
    let figures = [
        ("from", "size above which curves rose after growth", whole(30, Unit::Degree)),
        ("rate", "their rise", rate(0.5, 1)),
        ("large", "size above which they rose faster", whole(50, Unit::Degree)),
        ("large_rate", "the rise of these", rate(1.0, 0)),
    ];
    let source = Source::read(
        &works::NATURAL_HISTORY_2023,
        "above 30 degrees about 0.5 a year, above 50 about 1",
    );
    group(make, "after_growth", &figures, source);
    let figures = [
        ("share", "share that rose after maturity", whole(68, Unit::Percent)),
        ("by", "rise that was counted", whole(5, Unit::Degree)),
    ];
    let source = Source::read(&works::AFTER_MATURITY_2016, "68 % rose by more than 5, as cited");
    group(make, "long_cohort", &figures, source);
}

/// What brace studies count: the change that leaves the band, and the size
/// at maturity.
fn outcomes(make: &mut Maker) {
    let figures = [
        ("band", "change that is no longer unchanged", Value::Number(Bands::Scoliosis.width())),
        ("maturity", "size counted at maturity", whole(45, Unit::Degree)),
    ];
    group(make, "outcomes", &figures, Bands::Scoliosis.source());
}

fn bracing(make: &mut Maker) {
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
