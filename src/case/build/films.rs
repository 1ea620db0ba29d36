//! Films, readings, curves, maturity; landmark files and wear logs are loaded
//! here.

use std::sync::Arc;

use crate::case::landmark_file;
use crate::case::model::{
    Bend, CsvlAtApex, CsvlLine, CurveReading, Display, Film, FilmImage, Frontal, Landmarks,
    Maturity, Posture, Projection, Reading, RibVertebra, Risser, RisserScale, Sagittal, Support,
    Triradiate, View,
};
use crate::case::read::beside;
use crate::case::scalar::Number;
use crate::case::shape::Rec;
use crate::case::suggest::quote;
use crate::case::wear_log::{self, Spec};
use crate::course::wear::Log;
use crate::diag::{Code, Located, Report};
use crate::quantity::Angle;
use crate::spine::landmark::LandmarkSet;
use crate::spine::{Column, Level};

/// How landmark files and wear logs are come by.
pub(in crate::case) struct Load<'a> {
    /// The content of a file by its path as written in the case.
    pub read: &'a dyn Fn(&str) -> Result<String, String>,
    /// The case file's own path as shown.
    pub file: &'a str,
    /// The patient's vertebrae, if that record is good.
    pub column: Option<Column>,
    /// Where faults go.
    pub report: &'a mut Report,
}

impl Load<'_> {
    fn landmarks(&mut self, path: &Located<String>) -> Option<LandmarkSet> {
        match (self.read)(path) {
            Ok(text) => {
                let shown = beside(self.file, path);
                landmark_file::read(&text, &shown, self.column, self.report)
            }
            Err(why) => {
                let message = format!("{} cannot be read: {why}", quote(path));
                self.report.add(Code::LandmarkFileUnread, &path.place, message);
                None
            }
        }
    }

    pub(super) fn wear_log(&mut self, path: &Located<String>, spec: &Spec) -> Option<Arc<Log>> {
        match (self.read)(path) {
            Ok(text) => {
                let shown = beside(self.file, path);
                wear_log::read(&text, &shown, &path.place, spec, self.report).map(Arc::new)
            }
            Err(why) => {
                let message = format!("{} cannot be read: {why}", quote(path));
                self.report.add(Code::WearLogUnread, &path.place, message);
                None
            }
        }
    }
}

pub(super) fn film(mut rec: Rec, load: &mut Load) -> Option<Film> {
    let film = Film {
        place: rec.place.clone(),
        projection: rec.word("projection", Projection::from_word),
        displayed: rec.word("displayed", Display::from_word),
        posture: rec.word("posture", Posture::from_word),
        bent_to: rec.side("bent_to"),
        support: rec.text("support").map(|s| s.map(support)),
        off_for: rec.hours("off_for"),
        scale: rec.scale("scale"),
        image: rec.text("image").map(|path| FilmImage { path, picture: None }),
        repeats: Vec::new(),
        readings: rec.records("readings", &mut Vec::new(), |r| reading(r, load)),
        maturity: rec.record("maturity").map(maturity),
        dose: rec.dose("dose"),
        area_dose: rec.area_dose("area_dose"),
        why: rec.text("why"),
        id: rec.text("id")?,
        taken: rec.day("taken")?,
        view: rec.word("view", View::from_word)?,
    };
    rec.done();
    Some(film)
}

fn support(text: String) -> Support {
    if text == "none" { Support::None } else { Support::Treatment(text) }
}

fn reading(mut rec: Rec, load: &mut Load) -> Option<Reading> {
    let landmarks = rec.text("landmarks").map(|path| {
        let set = load.landmarks(&path);
        Landmarks { path, set }
    });
    let reading = Reading {
        place: rec.place.clone(),
        curves: rec.records("curves", &mut Vec::new(), curve),
        frontal: rec.record("frontal").map(frontal),
        sagittal: rec.record("sagittal").map(sagittal),
        wedges: wedges(&mut rec),
        landmarks,
        repeat_of: rec.text("repeat_of"),
        id: rec.text("id")?,
        by: rec.text("by")?,
        read: rec.day("read")?,
    };
    rec.done();
    Some(reading)
}

fn curve(mut rec: Rec) -> Option<CurveReading> {
    let curve = CurveReading {
        place: rec.place.clone(),
        name: rec.text("name"),
        apex: rec.apex("apex"),
        convex: rec.side("convex"),
        bend: rec.word("bend", Bend::from_word),
        cobb: rec.angle("cobb"),
        translation: rec.sided_length("translation"),
        found: false,
        upper: rec.level("upper")?,
        lower: rec.level("lower")?,
    };
    rec.done();
    Some(curve)
}

fn wedges(rec: &mut Rec) -> Vec<(Located<Level>, Located<Angle>)> {
    let degrees = |n: Located<Number>| n.map(|n| Angle::degrees(n.value));
    rec.numbers_by_level("wedges").into_iter().map(|(level, n)| (level, degrees(n))).collect()
}

fn frontal(mut rec: Rec) -> Frontal {
    let grade = |n: Located<i64>| n.map(|n| n as u8);
    let rotation = rec.wholes_by_level("rotation");
    let frontal = Frontal {
        place: rec.place.clone(),
        balance: rec.sided_length("balance"),
        csvl: rec.word("csvl", CsvlLine::from_word),
        trunk_shift: rec.sided_length("trunk_shift"),
        t1_tilt: rec.sided_angle("t1_tilt"),
        clavicle_angle: rec.sided_angle("clavicle_angle"),
        pelvic_obliquity: rec.sided_angle("pelvic_obliquity"),
        femoral_heads: rec.sided_length("femoral_heads"),
        rotation: rotation.into_iter().map(|(level, n)| (level, grade(n))).collect(),
        rib_vertebra: rec.records("rib_vertebra", &mut Vec::new(), rib_vertebra),
        csvl_at_lumbar_apex: rec.word("csvl_at_lumbar_apex", CsvlAtApex::from_word),
    };
    rec.done();
    frontal
}

fn rib_vertebra(mut rec: Rec) -> Option<RibVertebra> {
    let angles = RibVertebra {
        place: rec.place.clone(),
        phase: rec.whole("phase").map(|n| n.map(|n| n as u8)),
        level: rec.level("level")?,
        convex: rec.angle("convex")?,
        concave: rec.angle("concave")?,
    };
    rec.done();
    Some(angles)
}

fn sagittal(mut rec: Rec) -> Sagittal {
    let sagittal = Sagittal {
        place: rec.place.clone(),
        t2_t5: rec.angle("t2_t5"),
        t5_t12: rec.angle("t5_t12"),
        t2_t12: rec.angle("t2_t12"),
        t4_t12: rec.angle("t4_t12"),
        t10_l2: rec.angle("t10_l2"),
        lordosis: rec.angle("lordosis"),
        pelvic_incidence: rec.angle("pelvic_incidence"),
        pelvic_tilt: rec.angle("pelvic_tilt"),
        sacral_slope: rec.angle("sacral_slope"),
        sva: rec.length("sva"),
    };
    rec.done();
    sagittal
}

fn maturity(mut rec: Rec) -> Maturity {
    let maturity = Maturity {
        place: rec.place.clone(),
        risser: rec.record("risser").and_then(risser),
        triradiate: rec.word("triradiate", Triradiate::from_word),
        hand_stage: rec.whole("hand_stage").map(|n| n.map(|n| n as u8)),
        radius: rec.whole("radius").map(|n| n.map(|n| n as u8)),
        ulna: rec.whole("ulna").map(|n| n.map(|n| n as u8)),
    };
    rec.done();
    maturity
}

fn risser(mut rec: Rec) -> Option<Risser> {
    let risser = Risser {
        grade: rec.whole("grade")?.map(|n| n as u8),
        scale: rec.word("scale", RisserScale::from_word)?,
    };
    rec.done();
    Some(risser)
}
