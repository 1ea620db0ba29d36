//! What the first angle says of the angle at maturity.

use super::{Finding, FirstPeriod, Found, Model, Moment, Said, Sex, Subject, Unfit};
use crate::evidence::{Grade, Source, works};
use crate::quantity::{Reported, Unit};

pub(super) const AT_MATURITY: Model = Model {
    key: "thirty_at_maturity",
    items: &[
        ("value", "of curves on this side of 25 degrees, share that was as foretold at maturity"),
        ("foretold", "what was foretold"),
        ("young_girls", "the same for prepubertal girls below 12 with 25 degrees or more"),
    ],
    population: "adolescents with idiopathic scoliosis followed to maturity; foretold: 30 degrees or more at maturity if 25 or more at first",
    caveat: "at 25 degrees or more 68 % reached 30 (positive predictive value), below 25 92 % did not (negative); how they were treated was not seen",
    source: Source::read(
        &works::TAN_2009,
        "30 or more at maturity from 25: predictive values 68 and 92 %; prepubertal girls below 12 with 25 or more 82 %",
    ),
    find: at_maturity,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn at_maturity(subject: &Subject) -> Found {
    subject.idiopathic()?;
    subject.age_from(10)?;
    subject.cobb_from(10)?;
    subject.immature()?;
    let large = subject.cobb.value() >= 25.0;
    let (share, foretold) =
        if large { (68, "30 degrees or more") } else { (92, "below 30 degrees") };
    Ok(vec![
        Finding::percent("value", share),
        Finding::word("foretold", foretold),
        Finding::new("young_girls", young_girls(subject, large)),
    ])
}

fn young_girls(subject: &Subject, large: bool) -> Said {
    let found = subject.of_sex(Sex::Female).and_then(|()| subject.age_from_to(0, 11));
    if let Err(unfit) = found {
        return Said::Nothing(unfit);
    }
    if !large {
        let why = format!(
            "for curves of 25 degrees or more; this one measures {} degrees",
            subject.cobb.digits()
        );
        return Said::Nothing(Unfit::Outside(why));
    }
    Said::Nothing(match subject.first_period {
        FirstPeriod::WithinYear | FirstPeriod::Longer => {
            Unfit::Outside("for girls before puberty; the first period has come".into())
        }
        _ => Unfit::Unknown("whether puberty had begun (82 % if it had not)", "the examiner"),
    })
}

pub(super) const UNTREATED: Model = Model {
    key: "thirty_untreated",
    items: &[
        ("value", "group of risk to reach 30 degrees without treatment"),
        ("ratio", "risk of the highest group against the lowest"),
        ("age_cut", "age at which the groups between were divided"),
        ("height_cut", "height at which they were divided"),
        ("height", "height on which side"),
    ],
    population: "untreated patients from 10 years, Risser 0 to 2, below 30 degrees; end point 30 degrees",
    caveat: "highest from 26 degrees, lowest below 18; between, age 11.3 years, first period and 154 cm divided the groups; the ratio was read in a secondary text",
    source: Source::read(
        &works::LEE_2012,
        "highest risk at 26 degrees or more, 8.8 times that below 18 (secondary text)",
    ),
    find: untreated,
    at: Moment::Start,
    bounds: Grade::Read,
};

fn untreated(subject: &Subject) -> Found {
    subject.idiopathic()?;
    subject.unbraced()?;
    subject.age_from(10)?;
    subject.cobb_below(30)?;
    subject.risser_up_to(2)?;
    let group = match subject.cobb.value() {
        size if size >= 26.0 => "highest",
        size if size < 18.0 => "lowest",
        _ => "between",
    };
    let cut = Reported::whole(154, Unit::Centimetre);
    let side = |h: Reported| match h.compare(cut) {
        std::cmp::Ordering::Less => Said::Word("below"),
        std::cmp::Ordering::Equal => Said::Word("at"),
        std::cmp::Ordering::Greater => Said::Word("above"),
    };
    let unknown = || Said::Nothing(Unfit::Unknown("a height near the film", "the examiner"));
    Ok(vec![
        Finding::word("value", group),
        Finding::tenths("ratio", 8.8, Unit::One),
        Finding::tenths("age_cut", 11.3, Unit::Year),
        Finding::new("height_cut", Said::Number(cut)),
        Finding::new("height", subject.height.map_or_else(unknown, side)),
    ])
}
