//! `growth.reference.*`: published figures of growth, for whom they apply.

use crate::course::growth::stature::{ReferenceSex, STATURE_SOURCE};
use crate::course::growth::velocity::{
    GrowthLeft, LEFT_BOYS, LEFT_GIRLS, MENARCHE_AGE, PEAK_AGE_GIRLS, PEAK_AGE_SD_GIRLS, PEAK_GIRLS,
    PUBERTY_SOURCE,
};
use crate::evidence::{Constant, Source};
use crate::facts::derive::maker::Maker;
use crate::facts::derive::span::Setting;
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};

/// Figures of peak growth (girls) and of growth left when puberty begins.
pub(super) fn references(make: &mut Maker, set: &Setting) {
    let sex = match super::reference_sex(set) {
        _ if super::adult(set) => Err(Missing::NotApplicable("the patient is an adult".into())),
        sex => sex,
    };
    let girls = sex.clone().and_then(|sex| match sex {
        ReferenceSex::Girls => Ok(()),
        ReferenceSex::Boys => Err(Missing::NotApplicable("the figures are of girls".into())),
    });
    for (item, label, figure, decimals) in [
        ("peak_velocity", "mean peak height velocity of girls", PEAK_GIRLS, 1),
        ("peak_age", "mean age of girls at peak height velocity", PEAK_AGE_GIRLS, 1),
        ("menarche_age", "mean age at the first period", MENARCHE_AGE, 1),
    ] {
        let value = girls.clone().map(|()| figure);
        constant(make, item, label, value, decimals);
    }
    if girls.is_ok() {
        constant(make, "peak_age_sd", "standard deviation of that age", Ok(PEAK_AGE_SD_GIRLS), 2);
    }
    if sex.is_ok() {
        centiles(make);
    }
    left(
        make,
        sex.map(|sex| match sex {
            ReferenceSex::Girls => LEFT_GIRLS,
            ReferenceSex::Boys => LEFT_BOYS,
        }),
    );
}

/// Centiles drawn behind heights: the outer, the quarters and the middle of
/// those that the table prints.
const DRAWN: [f64; 5] = [3.0, 25.0, 50.0, 75.0, 97.0];

/// `growth.reference.centiles.*`, for the figure of growth.
fn centiles(make: &mut Maker) {
    for (n, value) in DRAWN.into_iter().enumerate() {
        let drawn = Constant { value, unit: Unit::One, source: STATURE_SOURCE };
        constant(make, &format!("centiles.c{}", n + 1), "a centile of height", Ok(drawn), 0);
    }
}

fn constant(
    make: &mut Maker,
    item: &str,
    label: &str,
    figure: Result<Constant, Missing>,
    decimals: u8,
) {
    let id = format!("growth.reference.{item}");
    match figure {
        Ok(figure) => {
            let value = Reported::round(figure.value, decimals, figure.unit);
            make.fact(id, label, Value::Number(value))
                .by("as published", figure.source)
                .unrounded(figure.value)
                .done()
        }
        Err(missing) => make.missing(id, label, missing),
    };
}

/// Growth left when puberty begins: not at another time.
fn left(make: &mut Maker, left: Result<GrowthLeft, Missing>) {
    type Pick = fn(&GrowthLeft) -> (f64, Unit, Source);
    let items: [(&str, &str, Pick); 4] = [
        ("puberty_bone_age", "bone age at which puberty begins", |l| {
            (l.from_bone_age, Unit::Year, PUBERTY_SOURCE)
        }),
        ("left_at_puberty", "growth in height left when puberty begins", |l| {
            (l.total, Unit::Centimetre, l.source)
        }),
        ("left_trunk", "of it in the trunk", |l| (l.trunk, Unit::Centimetre, l.source)),
        ("left_legs", "of it in the legs", |l| (l.legs, Unit::Centimetre, l.source)),
    ];
    for (item, label, pick) in items {
        let figure = left.clone().map(|left| {
            let (value, unit, source) = pick(&left);
            Constant { value, unit, source }
        });
        constant(make, item, label, figure, 1);
    }
}
