//! What the case records of sides and levels, and whether words contradict it.
//!
//! Words contradict the record only if it knows the thing meant and knows it
//! nowhere as the words have it: on no film, by no reader, at no examination.

use super::claim::{Trunk, What};
use super::lexicon::{self, Part};
use crate::case::{Case, CurveReading, Exam, Film, Reading, View};
use crate::diag::{Code, Place};
use crate::spine::region::{Region, region};
use crate::spine::{Apex, Column, Level, Side};

/// Everything recorded that words can be held against.
#[derive(Debug, Default)]
pub struct Record {
    curves: Vec<Curve>,
    humps: Vec<(Level, Seen<Side>)>,
    shoulders: Vec<Seen<Side>>,
    pelves: Vec<Seen<Side>>,
    shifts: Vec<Seen<Side>>,
}

/// One curve of one reading.
#[derive(Debug)]
struct Curve {
    /// How its part may be called; empty if nothing tells.
    parts: Vec<Part>,
    called: String,
    side: Option<Seen<Side>>,
    apex: Option<Seen<Apex>>,
    ends: Seen<(Level, Level)>,
}

/// A recorded value, the record it stands in, and its place.
#[derive(Debug, Clone)]
struct Seen<T> {
    value: T,
    record: String,
    place: Place,
}

/// Words against a record.
#[derive(Debug)]
pub struct Contradiction {
    code: Code,
    says: String,
    /// The value that says otherwise.
    pub place: Place,
}

impl Contradiction {
    /// The code, and what the record says.
    pub fn told(&self) -> (Code, &str) {
        (self.code, &self.says)
    }
}

impl Record {
    /// What a case records, in the order of its file.
    pub fn of(case: &Case) -> Record {
        let mut record = Record::default();
        for film in &case.films {
            for reading in film.readings.iter().chain(&film.repeats) {
                record.reading(film, reading, case.patient.column);
            }
        }
        case.exams.iter().for_each(|exam| record.exam(exam));
        record
    }

    fn reading(&mut self, film: &Film, reading: &Reading, column: Column) {
        if film.view.value == View::Hand {
            return;
        }
        let path = format!("film {} / reading {}", film.id.value, reading.id.value);
        let coronal = film.view.value != View::Lateral;
        let curves = reading.curves.iter().filter(|curve| !curve.found);
        self.curves.extend(curves.map(|curve| Curve::of(curve, &path, coronal, column)));
        let Some(frontal) = &reading.frontal else { return };
        let seen = |side: Option<Side>, place: &Place| {
            side.map(|value| Seen { value, record: path.clone(), place: place.clone() })
        };
        let angle = frontal.clavicle_angle.as_ref();
        self.shoulders.extend(angle.and_then(|a| seen(a.side, &a.place)));
        let angle = frontal.pelvic_obliquity.as_ref();
        self.pelves.extend(angle.and_then(|a| seen(a.side, &a.place)));
        let heads = frontal.femoral_heads.as_ref();
        self.pelves.extend(heads.and_then(|h| seen(h.side, &h.place)));
        let shift = frontal.trunk_shift.as_ref();
        self.shifts.extend(shift.and_then(|s| seen(s.side, &s.place)));
    }

    fn exam(&mut self, exam: &Exam) {
        let record = format!("exam {}", exam.on.value);
        for (level, angle) in &exam.trunk_rotation {
            let value = match angle.to_degrees() {
                a if a > 0.0 => Side::Right,
                a if a < 0.0 => Side::Left,
                _ => continue,
            };
            let seen = Seen { value, record: record.clone(), place: angle.place.clone() };
            self.humps.push((level.value, seen));
        }
    }

    /// What the record says against a claim.
    pub fn contradicts(&self, what: &What) -> Option<Contradiction> {
        match what {
            What::Curve(part, side) => self.curve(*part, *side),
            What::Pad(part, side) => self.curve(Some(*part), *side),
            What::Hump(of, side) => self.hump(*of, *side),
            What::Shoulder(side) => {
                against(&self.shoulders, *side, "the clavicle is higher on the")
            }
            What::Pelvis(side) => against(&self.pelves, *side, "the pelvis is higher on the"),
            What::Shift(side) => against(&self.shifts, *side, "the trunk is shifted to the"),
            What::Apex(part, level, other) => self.apex(*part, *level, *other),
            What::Ends(part, upper, lower) => self.ends(*part, (*upper, *lower)),
        }
    }

    /// Curves that words of a part may mean, and those of an unknown part,
    /// which may be meant too and so can only agree.
    fn meant(&self, part: Option<Part>) -> (Vec<&Curve>, Vec<&Curve>) {
        let named = |c: &&Curve| match part {
            Some(part) => c.parts.contains(&part),
            None => c.side.is_some(),
        };
        let open = |c: &&Curve| c.parts.is_empty();
        (self.curves.iter().filter(named).collect(), self.curves.iter().filter(open).collect())
    }

    fn curve(&self, part: Option<Part>, side: Side) -> Option<Contradiction> {
        let (meant, open) = self.meant(part);
        let agrees = |c: &&Curve| c.side.as_ref().is_some_and(|s| s.value == side);
        if meant.iter().chain(&open).any(agrees) {
            return None;
        }
        let (curve, seen) = meant.iter().rev().find_map(|c| Some((c, c.side.as_ref()?)))?;
        let says =
            format!("{} is convex to the {} ({})", curve.called, word(seen.value), seen.record);
        Some(Contradiction { code: Code::TextContradictsSide, says, place: seen.place.clone() })
    }

    fn apex(
        &self,
        part: Option<Part>,
        level: Level,
        other: Option<Level>,
    ) -> Option<Contradiction> {
        let (meant, open) = self.meant(part);
        let named = |l: Level| l == level || Some(l) == other;
        let agrees = |c: &&Curve| match c.apex.as_ref().map(|a| a.value) {
            Some(Apex::Vertebra(l)) => named(l),
            Some(Apex::Disc(upper, lower)) => named(upper) || named(lower),
            None => false,
        };
        if meant.iter().chain(&open).any(agrees) {
            return None;
        }
        let (curve, seen) = meant.iter().rev().find_map(|c| Some((c, c.apex.as_ref()?)))?;
        let says = format!("{} has its apex at {} ({})", curve.called, seen.value, seen.record);
        Some(Contradiction { code: Code::TextContradictsLevel, says, place: seen.place.clone() })
    }

    fn ends(&self, part: Option<Part>, ends: (Level, Level)) -> Option<Contradiction> {
        let (meant, open) = self.meant(part);
        if meant.iter().chain(&open).any(|c| c.ends.value == ends) {
            return None;
        }
        let curve = meant.last()?;
        let (upper, lower) = curve.ends.value;
        let says = format!("{} goes from {upper} to {lower} ({})", curve.called, curve.ends.record);
        let place = curve.ends.place.clone();
        Some(Contradiction { code: Code::TextContradictsLevel, says, place })
    }

    fn hump(&self, of: Option<Trunk>, side: Side) -> Option<Contradiction> {
        let there = |level: Level| match (of, level) {
            (Some(Trunk::Ribs), level) => matches!(level, Level::T(_)),
            // The loin begins at the last ribs.
            (Some(Trunk::Loin), level) => matches!(level, Level::L(_) | Level::T(11..)),
            (None, _) => true,
        };
        let seen: Vec<Seen<Side>> =
            self.humps.iter().filter(|(l, _)| there(*l)).map(|(_, s)| s.clone()).collect();
        against(&seen, side, "the trunk is rotated up on the")
    }
}

/// A record of which nothing agrees with a side.
fn against(seen: &[Seen<Side>], side: Side, says: &str) -> Option<Contradiction> {
    let last = seen.last()?;
    let says = format!("{says} {} ({})", word(last.value), last.record);
    (!seen.iter().any(|s| s.value == side)).then(|| Contradiction {
        code: Code::TextContradictsSide,
        says,
        place: last.place.clone(),
    })
}

fn word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

impl Curve {
    fn of(curve: &CurveReading, path: &str, coronal: bool, column: Column) -> Curve {
        let seen = |place: &Place| (path.to_string(), place.clone());
        let apex = curve.apex.as_ref().map(|apex| {
            let (record, place) = seen(&apex.place);
            Seen { value: apex.value, record, place }
        });
        let side = curve.convex.as_ref().filter(|_| coronal).map(|side| {
            let (record, place) = seen(&side.place);
            Seen { value: side.value, record, place }
        });
        let (record, place) = seen(&curve.upper.place);
        let ends = Seen { value: (curve.upper.value, curve.lower.value), record, place };
        let called = match &curve.name {
            Some(name) => format!("curve {}", name.value),
            None => format!("curve {}-{}", curve.upper.value, curve.lower.value),
        };
        let parts = if coronal { parts(curve, column) } else { Vec::new() };
        Curve { parts, called, side, apex, ends }
    }
}

/// How the part of a curve may be called: by its apex, and by its name.
fn parts(curve: &CurveReading, column: Column) -> Vec<Part> {
    let mut parts = Vec::new();
    let by_apex = curve.apex.as_ref().and_then(|apex| region(apex.value, column));
    match by_apex.map(|(region, _)| region) {
        Some(Region::Cervical | Region::Cervicothoracic | Region::ProximalThoracic) => {
            parts.extend([Part::UpperThoracic, Part::Thoracic]);
        }
        Some(Region::MainThoracic) => parts.push(Part::Thoracic),
        Some(Region::Thoracolumbar) => parts.push(Part::Thoracolumbar),
        Some(Region::Lumbar | Region::Lumbosacral) => parts.push(Part::Lumbar),
        None => {}
    }
    let name = curve.name.as_ref().map_or("", |name| name.value.as_str()).to_lowercase();
    let words = name.split(|c: char| !c.is_alphanumeric());
    parts.extend(words.filter_map(lexicon::part));
    parts
}
