//! Wedging of single vertebrae on lateral films, and the criteria of
//! Scheuermann's disease by both cut-offs in print.

use std::collections::BTreeMap;

use super::film::{Viewed, viewed};
use crate::case::{Film, View, WedgeCount};
use crate::course::wedge::{ADJACENT, CutOff, Row, kyphosis_large_enough, row};
use crate::evidence::{Grade, Source, works};
use crate::facts::compare;
use crate::facts::derive::maker::{Maker, text, whole};
use crate::facts::derive::span::Setting;
use crate::facts::{Missing, Value};
use crate::quantity::{Reported, Unit};
use crate::spine::Level;
use crate::spine::sagittal::wedge;

const METHOD: Source = Source::read(
    &works::SORENSEN_1964,
    "wedging: the angle between the endplates of one vertebra, lower in front above zero",
);

/// Wedges of a film in whole degrees by level: the mean over its readings.
fn wedges(film: &Film) -> BTreeMap<Level, (f64, usize)> {
    let mut sums: BTreeMap<Level, (f64, usize)> = BTreeMap::new();
    for one in viewed(film) {
        for (level, degrees) in of_reading(&one) {
            let sum = sums.entry(level).or_insert((0.0, 0));
            *sum = (sum.0 + degrees, sum.1 + 1);
        }
    }
    sums
}

/// Wedges of one reading: from landmarks where they give one, else as typed.
fn of_reading(viewed: &Viewed) -> BTreeMap<Level, f64> {
    let typed = viewed.reading.wedges.iter().map(|(l, w)| (l.value, w.to_degrees()));
    let mut found: BTreeMap<Level, f64> = typed.collect();
    for body in viewed.spine.iter().flat_map(|spine| spine.vertebrae()) {
        let trunk = matches!(body.level, Level::T(_) | Level::L(_));
        if let (true, Some(spine)) = (trunk, &viewed.spine)
            && let Ok(angle) = wedge(spine, body.level)
        {
            found.insert(body.level, angle.to_degrees());
        }
    }
    found
}

fn id(film: &Film, level: Level) -> String {
    let level = level.to_string().to_lowercase();
    format!("films.{}.sagittal.wedges.{level}", film.id.value)
}

/// `films.<id>.sagittal.wedges.<level>` of one film.
pub fn film(make: &mut Maker, film: &Film) {
    for (level, (sum, n)) in wedges(film) {
        let mean = sum / n as f64;
        let value = Value::Number(Reported::round(mean, 0, Unit::Degree));
        let mut draft = make
            .fact(id(film, level), format!("wedging of {level}"), value)
            .unrounded(mean)
            .by("mean over the readings, from landmarks where they give it, else as typed; rounded once to whole degrees", METHOD);
        for reading in &film.readings {
            let path = format!("film {} / reading {}", film.id.value, reading.id.value);
            if let Some((_, typed)) = reading.wedges.iter().find(|(l, _)| l.value == level) {
                draft = draft.record(format!("{path} / wedges / {level}"), &typed.place);
            }
            if let Some(landmarks) = &reading.landmarks {
                let file = format!("{path} / landmarks ({})", landmarks.path.value);
                draft = draft.record(file, &landmarks.path.place);
            }
        }
        draft.done();
    }
}

/// What each criterion says, or says is missing.
const ITEMS: [(&str, &str); 3] = [
    ("count", "longest row of adjacent wedged vertebrae"),
    ("levels", "that row"),
    ("verdict", "whether the criterion is met"),
];

fn key(cut: CutOff) -> &'static str {
    match cut {
        CutOff::AtLeastFive => "at_least_5",
        CutOff::AboveFive => "above_5",
    }
}

/// `sagittal.wedges.*`: on the latest lateral film out of support that tells
/// any.
pub fn criteria(make: &mut Maker, set: &Setting) {
    choice(make, set);
    let of_side = |f: &&Film| f.view.value == View::Lateral && compare::natural(set.case, f);
    let found = set.case.films.iter().filter(of_side).rfind(|f| !wedges(f).is_empty());
    let Some(film) = found else {
        nothing(make);
        return;
    };
    make.fact("sagittal.wedges.film", "id of the film", text(&film.id))
        .record(format!("film {}", film.id.value), &film.id.place)
        .done();
    make.same("sagittal.wedges.taken", &format!("films.{}.taken", film.id.value));
    let reported: BTreeMap<Level, Reported> = wedges(film)
        .into_iter()
        .map(|(l, (sum, n))| (l, Reported::round(sum / n as f64, 0, Unit::Degree)))
        .collect();
    for cut in CutOff::ALL {
        let row = row(&reported, set.case.patient.column, cut);
        criterion(make, film, &reported, cut, &row);
    }
    let used = format!("sagittal.wedges.{}", key(chosen(set)));
    make.same("sagittal.wedges.verdict", &format!("{used}.verdict"));
    make.same("sagittal.wedges.count", &format!("{used}.count"));
}

fn chosen(set: &Setting) -> CutOff {
    match set.clinic.choices.scheuermann.as_ref().map(|c| c.value) {
        Some(WedgeCount::AboveFive) => CutOff::AboveFive,
        Some(WedgeCount::AtLeastFive) | None => CutOff::AtLeastFive,
    }
}

fn choice(make: &mut Maker, set: &Setting) {
    let word = match chosen(set) {
        CutOff::AtLeastFive => WedgeCount::AtLeastFive.word(),
        CutOff::AboveFive => WedgeCount::AboveFive.word(),
    };
    let draft =
        make.fact("sagittal.wedges.used", "cut-off that the clinic uses", Value::Word(word));
    match &set.clinic.choices.scheuermann {
        Some(set) => {
            let note = "two cut-offs are in print";
            let source = Source { work: None, grade: Grade::ClinicSetting, note };
            draft.record("clinic / choices / scheuermann", &set.place).by("as set", source).done()
        }
        None => draft
            .by(
                "the default: two cut-offs are in print and the clinic has not chosen",
                CutOff::AtLeastFive.source(),
            )
            .done(),
    };
}

fn nothing(make: &mut Maker) {
    let none = || Missing::NotRecorded {
        item: "wedging of vertebrae on a lateral film".into(),
        who: "the reader of the film".into(),
    };
    for (item, label) in [("film", "id of the film"), ("taken", "date of the film")] {
        make.missing(format!("sagittal.wedges.{item}"), label, none());
    }
    for cut in CutOff::ALL {
        for (item, label) in ITEMS {
            make.missing(format!("sagittal.wedges.{}.{item}", key(cut)), label, none());
        }
    }
    for (item, label) in [ITEMS[0], ITEMS[2]] {
        make.missing(format!("sagittal.wedges.{item}"), label, none());
    }
}

fn criterion(
    make: &mut Maker,
    film: &Film,
    wedges: &BTreeMap<Level, Reported>,
    cut: CutOff,
    row: &Row,
) {
    let root = format!("sagittal.wedges.{}", key(cut));
    let inputs: Vec<String> = wedges.keys().map(|level| id(film, *level)).collect();
    let count = whole(row.levels.len() as i64, Unit::One);
    let mut draft = make.fact(format!("{root}.count"), ITEMS[0].1, count);
    for input in &inputs {
        draft = draft.from(input);
    }
    draft.by("longest row of adjacent vertebrae that reach the cut-off", cut.source()).done();
    let levels = match (row.levels.first(), row.levels.last()) {
        (Some(first), Some(last)) => Value::Levels(*first, *last),
        _ => Value::Missing(Missing::NotApplicable("no vertebra reaches the cut-off".into())),
    };
    make.fact(format!("{root}.levels"), ITEMS[1].1, levels)
        .from(format!("{root}.count"))
        .by("first and last vertebra of the row", cut.source())
        .done();
    let (kyphosis, junction) = ("sagittal.now.largest_kyphosis", "sagittal.now.t10_l2");
    let number = |id: &str| make.facts.get(id).and_then(|f| f.number());
    let bent = match cut {
        CutOff::AtLeastFive => Some(true),
        CutOff::AboveFive => kyphosis_large_enough(number(kyphosis), number(junction)),
    };
    let value = verdict(row, bent);
    let mut draft = make.fact(format!("{root}.verdict"), ITEMS[2].1, value);
    draft = draft.from(format!("{root}.count"));
    if cut == CutOff::AboveFive {
        draft = draft.from(kyphosis).from(junction);
    }
    let formula = match cut {
        CutOff::AtLeastFive => format!("met from {ADJACENT} adjacent vertebrae on"),
        CutOff::AboveFive => format!(
            "met from {ADJACENT} adjacent vertebrae on, with a kyphosis above 40 degrees or above 30 from T10 to L2"
        ),
    };
    draft.by(formula, cut.source()).done();
}

/// Met, not met, or what would have to be measured first.
fn verdict(row: &Row, bent: Option<bool>) -> Value {
    match (row.long_enough(), bent) {
        (Some(false), _) | (_, Some(false)) => Value::Word("not met"),
        (Some(true), Some(true)) => Value::Word("met"),
        (None, _) => {
            let open: Vec<String> = row.open.iter().map(Level::to_string).collect();
            let why = format!("the wedging of {} is not recorded", open.join(", "));
            Value::Missing(Missing::CannotTell(why))
        }
        (Some(true), None) => Value::Missing(Missing::CannotTell(
            "the kyphosis standing, thoracic and T10 to L2, is not recorded".into(),
        )),
    }
}
