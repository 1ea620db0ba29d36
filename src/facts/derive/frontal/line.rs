//! What is told with a side: balance, trunk shift, tilts, femoral heads.

use super::super::maker::Maker;
use super::read::{
    Gathered, SETTING, csvl, drawn, frontal, leftward, lying, not_recorded, of_lying, one_csvl,
};
use super::root;
use crate::case::{Clinic, CsvlLine, Film, Frontal, Opt, Sided};
use crate::diag::Place;
use crate::evidence::{Grade, Source, works};
use crate::facts::{Missing, Value};
use crate::quantity::{Angle, Length, Reported, Unit};
use crate::spine::balance::{self, BALANCE_SOURCE, CsvlBy, NEUTRAL_WITHIN_MM, is_neutral};
use crate::spine::{GeometryError, PatientSpine, Side, tilt};

/// A measurement with a side.
pub(super) struct Line {
    /// The last part of its id.
    pub key: &'static str,
    /// What it is.
    pub label: &'static str,
    /// What its side is.
    pub side_label: &'static str,
    /// Unit of its size, told whole.
    pub unit: Unit,
    /// Whether it is measured from the CSVL.
    pub from_csvl: bool,
    measured: fn(&PatientSpine, CsvlBy) -> Result<f64, GeometryError>,
    typed: fn(&Frontal) -> Option<(f64, &Place)>,
    formula: &'static str,
    source: Source,
}

const HIGHER: &str = "side that stands higher";
const TOWARD: &str = "side it lies to";

/// Every measurement with a side, in the order they are told.
pub(super) const LINES: [Line; 6] = [
    Line {
        key: "balance",
        label: "coronal balance",
        side_label: TOWARD,
        unit: Unit::Millimetre,
        from_csvl: true,
        measured: |s, by| balance::coronal_balance(s, by).map(|o| o.leftward().to_millimetres()),
        typed: |f| length(&f.balance),
        formula: "C7 plumb line from the CSVL",
        source: BALANCE_SOURCE,
    },
    Line {
        key: "trunk_shift",
        label: "trunk shift",
        side_label: TOWARD,
        unit: Unit::Millimetre,
        from_csvl: true,
        measured: |s, by| balance::trunk_shift(s, by).map(|o| o.leftward().to_millimetres()),
        typed: |f| length(&f.trunk_shift),
        formula: "middle between the edges of the trunk from the CSVL, where it lies farthest",
        source: Source::read(&works::TRUNK_SHIFT_ZARO, "above 20 mm abnormal (a weak source)"),
    },
    Line {
        key: "t1_tilt",
        label: "tilt of T1",
        side_label: HIGHER,
        unit: Unit::Degree,
        from_csvl: false,
        measured: |s, _| tilt::t1_tilt(s).map(|t| t.left_up().to_degrees()),
        typed: |f| angle(&f.t1_tilt),
        formula: "upper endplate of T1 against the horizontal",
        source: FROM_MEMORY,
    },
    Line {
        key: "clavicle_angle",
        label: "clavicle angle",
        side_label: HIGHER,
        unit: Unit::Degree,
        from_csvl: false,
        measured: |s, _| tilt::clavicle_angle(s).map(|t| t.left_up().to_degrees()),
        typed: |f| angle(&f.clavicle_angle),
        formula: "line of the highest points of the clavicles against the horizontal",
        source: Source::read(&works::SHOULDER_BALANCE, ""),
    },
    Line {
        key: "pelvic_obliquity",
        label: "pelvic obliquity",
        side_label: HIGHER,
        unit: Unit::Degree,
        from_csvl: false,
        measured: |s, _| tilt::pelvic_obliquity(s).map(|t| t.left_up().to_degrees()),
        typed: |f| angle(&f.pelvic_obliquity),
        formula: "line of the iliac crests against the horizontal",
        source: Source::read(&works::FRONTAL_PARAMETERS, ""),
    },
    Line {
        key: "femoral_heads",
        label: "difference in height of the femoral heads",
        side_label: HIGHER,
        unit: Unit::Millimetre,
        from_csvl: false,
        measured: |s, _| tilt::femoral_heads(s).map(|t| t.left_up().to_millimetres()),
        typed: |f| length(&f.femoral_heads),
        formula: "difference in height of the highest points of the femoral heads; on a standing film with straight knees the difference in leg length",
        source: FROM_MEMORY,
    },
];

const FROM_MEMORY: Source =
    Source { work: None, grade: Grade::Memory, note: "method and sign as the trade uses them" };

fn length(found: &Opt<Sided<Length>>) -> Option<(f64, &Place)> {
    let found = found.as_ref()?;
    Some((leftward(found.value.amount.to_millimetres(), found.value.side), &found.place))
}

fn angle(found: &Opt<Sided<Angle>>) -> Option<(f64, &Place)> {
    let found = found.as_ref()?;
    Some((leftward(found.value.amount.to_degrees(), found.value.side), &found.place))
}

impl Line {
    /// The readings' values of one film, above zero on the left.
    pub fn gather<'a>(&self, film: &'a Film, clinic: &Clinic) -> Gathered<'a, f64> {
        Gathered::of(
            film,
            &format!("frontal / {}", self.key),
            |reading, spine| (self.measured)(spine, csvl(reading, clinic)),
            |reading| frontal(reading, self.typed),
        )
    }
}

/// `films.<id>.frontal.{balance, trunk_shift, ...}` with their sides.
pub(super) fn lines(make: &mut Maker, film: &Film, clinic: &Clinic) {
    line_drawn(make, film, clinic);
    for line in &LINES {
        one(make, film, clinic, line);
    }
    neutral(make, film);
}

fn one(make: &mut Maker, film: &Film, clinic: &Clinic, line: &Line) {
    let gathered = line.gather(film, clinic);
    let path = format!("{}.{}", root(film), line.key);
    let by = one_csvl(&gathered.found, clinic);
    let (Some(left), Ok(by)) = (gathered.mean(), &by) else {
        let missing = match by {
            Err(why) => why,
            Ok(_) if lying(film) => of_lying(line.label),
            Ok(_) => gathered.missing(line.label),
        };
        told_missing(make, film, &path, line.label, line.side_label, &missing);
        return;
    };
    let mut formula = gathered.how(line.formula);
    if line.from_csvl {
        formula = format!("{formula}; {}", drawn(*by));
    }
    sided(make, &gathered, &path, left, &Told { formula, source: line.source, ..Told::of(line) });
}

/// What is said of a value with a side.
pub(super) struct Told<'t> {
    /// Label of the size.
    pub label: &'t str,
    /// Label of the side.
    pub side_label: &'t str,
    /// Unit.
    pub unit: Unit,
    /// Formula.
    pub formula: String,
    /// Its source.
    pub source: Source,
}

impl Told<'static> {
    fn of(line: &Line) -> Told<'static> {
        Told {
            label: line.label,
            side_label: line.side_label,
            unit: line.unit,
            formula: String::new(),
            source: line.source,
        }
    }
}

/// Writes the size and the side of a signed value.
pub(super) fn sided(
    make: &mut Maker,
    gathered: &Gathered<f64>,
    path: &str,
    left: f64,
    told: &Told,
) {
    let reported = Reported::round(left, 0, told.unit);
    let draft = make
        .fact(path, told.label, Value::Number(reported.abs()))
        .by(told.formula.clone(), told.source)
        .unrounded(left.abs());
    gathered.records(draft).done();
    let side = side_of(reported);
    let draft = make
        .fact(format!("{path}_side"), format!("{}: {}", told.label, told.side_label), side)
        .by("the patient's side; none where the size is told as zero", Source::definition(""))
        .from(path);
    gathered.records(draft).done();
}

/// The side of a number above zero on the left.
pub(super) fn side_of(left: Reported) -> Value {
    match left.sign() {
        1 => Value::Side(Side::Left),
        -1 => Value::Side(Side::Right),
        _ => Value::Missing(Missing::NotApplicable("told as zero, so to neither side".into())),
    }
}

/// Writes both facts as missing.
pub(super) fn told_missing(
    make: &mut Maker,
    film: &Film,
    path: &str,
    label: &str,
    side_label: &str,
    missing: &Missing,
) {
    let record = format!("film {}", film.id.value);
    for (id, label) in [
        (path.to_string(), label.to_string()),
        (format!("{path}_side"), format!("{label}: {side_label}")),
    ] {
        make.fact(id, label, Value::Missing(missing.clone())).record(&record, &film.place).done();
    }
}

/// `films.<id>.frontal.csvl`: how the line was drawn and who chose it.
fn line_drawn(make: &mut Maker, film: &Film, clinic: &Clinic) {
    let record = format!("film {}", film.id.value);
    let typed = film.readings.iter().rev().find_map(|r| frontal(r, |f| f.csvl.as_ref()));
    let set = clinic.choices.csvl.as_ref();
    let chosen = typed.or(set).map_or(CsvlLine::Plumb, |c| c.value);
    let (source, by) = match (typed, set, chosen) {
        (None, Some(_), _) => (SETTING, "the clinic's choice between two published ways"),
        (_, _, CsvlLine::Plumb) => (CsvlBy::Plumb.source(), DEFAULT_LINE),
        (_, _, CsvlLine::Pelvis) => (CsvlBy::Pelvis.source(), DEFAULT_LINE),
    };
    let draft = make.fact(
        format!("{}.csvl", root(film)),
        "how the central sacral vertical line is drawn",
        Value::Word(chosen.word()),
    );
    let draft = draft.by(by, source);
    match (typed, set) {
        (Some(typed), _) => draft.record(format!("{record} / frontal / csvl"), &typed.place),
        (None, Some(set)) => draft.record("clinic / choices / csvl", &set.place),
        (None, None) => draft.record(record, &film.place),
    }
    .done();
}

const DEFAULT_LINE: &str = "as the reader recorded; else as the clinic chose; else plumb: sources differ when the pelvis is oblique";

/// `frontal.neutral_within`: how far off the line still counts as neutral.
pub(super) fn neutral_within(make: &mut Maker) {
    let within = Reported::round(NEUTRAL_WITHIN_MM, 0, Unit::Millimetre);
    make.fact(
        "frontal.neutral_within",
        "coronal balance that still counts as neutral, to either side",
        Value::Number(within),
    )
    .by("as published", BALANCE_SOURCE)
    .done();
}

/// `films.<id>.frontal.balance_word`: neutral or off the line.
fn neutral(make: &mut Maker, film: &Film) {
    let balance = format!("{}.balance", root(film));
    let number = make.facts.get(&balance).and_then(crate::facts::Fact::number);
    let value = match number {
        Some(n) if is_neutral(n) => Value::Word("neutral"),
        Some(_) => Value::Word("off the line"),
        None => {
            let why = make.facts.get(&balance).and_then(|f| f.missing().cloned());
            Value::Missing(why.unwrap_or_else(|| not_recorded("coronal balance")))
        }
    };
    make.fact(format!("{balance}_word"), "whether the coronal balance is neutral", value)
        .by("neutral within 20 mm to either side", BALANCE_SOURCE)
        .from(&balance)
        .done();
}
