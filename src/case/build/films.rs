//! Films, readings, curves, maturity; landmark files are loaded here.

use crate::case::landmark_file;
use crate::case::model::{
    Bend, CurveReading, Display, Film, Landmarks, Maturity, Posture, Projection, Reading, Risser,
    RisserScale, Support, Triradiate, View,
};
use crate::case::read::beside;
use crate::case::shape::Rec;
use crate::case::suggest::quote;
use crate::diag::{Code, Located, Report};
use crate::spine::Column;
use crate::spine::landmark::LandmarkSet;

/// How landmark files are come by.
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
        landmarks,
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
        upper: rec.level("upper")?,
        lower: rec.level("lower")?,
    };
    rec.done();
    Some(curve)
}

fn maturity(mut rec: Rec) -> Maturity {
    let maturity = Maturity {
        place: rec.place.clone(),
        risser: rec.record("risser").and_then(risser),
        triradiate: rec.word("triradiate", Triradiate::from_word),
        hand_stage: rec.whole("hand_stage").map(|n| n.map(|n| n as u8)),
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
