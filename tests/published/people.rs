//! Invented patients to whom published models are put, and what comes back.

use endplate::course::maturity::RisserScale;
use endplate::course::risk::{
    ApexPlace, Finding, FirstPeriod, MODELS, Model, Origin, Said, Sex, Subject, Unfit,
};
use endplate::quantity::{Age, Reported, Unit};
use endplate::spine::region::Region;

pub fn degrees(value: i64) -> Reported {
    Reported::whole(value, Unit::Degree)
}

pub fn age(years: u32, months: u32) -> Age {
    Age { years, months }
}

pub fn us(grade: u8) -> Option<(RisserScale, u8)> {
    Some((RisserScale::UnitedStates, grade))
}

/// A girl of 12 with a right thoracic curve of 25 degrees, Risser 0.
pub fn girl() -> Subject {
    Subject {
        age: age(12, 0),
        sex: Sex::Female,
        origin: Origin::Idiopathic,
        cobb: degrees(25),
        apex: Some(ApexPlace { t8_to_l1: true, above_t12: true, region: Region::MainThoracic }),
        curves: 1,
        risser: us(0),
        hand_stage: Some(3),
        radius: None,
        ulna: None,
        first_period: FirstPeriod::NotYet,
        braced: false,
        height: Some(Reported::round(150.0, 1, Unit::Centimetre)),
        imbalance: Some(Reported::whole(8, Unit::Millimetre)),
        wear: None,
    }
}

/// A woman of 50 with a lumbar curve.
pub fn woman(cobb: i64) -> Subject {
    let apex = ApexPlace { t8_to_l1: false, above_t12: false, region: Region::Lumbar };
    Subject { age: age(50, 0), cobb: degrees(cobb), apex: Some(apex), risser: None, ..girl() }
}

pub fn model(key: &str) -> &'static Model {
    MODELS.iter().find(|m| m.key == key).unwrap_or_else(|| panic!("no model {key}"))
}

fn finding(key: &str, item: &str, of: &Subject) -> Result<Finding, Unfit> {
    let found = (model(key).find)(of)?;
    Ok(found.into_iter().find(|f| f.item == item).unwrap_or_else(|| panic!("{key} no {item}")))
}

/// The digits or the word of a model's item, or why there is none.
pub fn said_of(key: &str, item: &str, of: &Subject) -> String {
    match finding(key, item, of).map(|f| f.said) {
        Ok(Said::Number(n) | Said::Computed(n, _)) => n.digits(),
        Ok(Said::Word(word)) => word.to_string(),
        Ok(Said::Nothing(unfit)) | Err(unfit) => unfit.to_string(),
    }
}

pub fn said(key: &str, of: &Subject) -> String {
    said_of(key, "value", of)
}

/// Whether the model takes the patient.
pub fn applies(key: &str, of: &Subject) -> bool {
    (model(key).find)(of).is_ok()
}
