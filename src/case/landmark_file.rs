//! Landmark files: the corners of vertebrae as marked on one film.
//!
//! Comma-separated lines `level,corner,x,y` under a header of those words;
//! corners as the film is displayed, pixels with x to the right and y
//! downward, a decimal point. Empty lines and lines that start with `#` are
//! skipped. S1 may have its two upper corners alone.
//!
//! Beside corners a line may mark one point of a pair: `T8,pedicle left`,
//! `T9,rib head right`, `T9,rib neck right`, `T8,trunk left`, and without a
//! level `clavicle,left`, `iliac crest,right`, `femoral head,left`: left and
//! right as displayed, as with the corners. Knows nothing of cases.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::scalar::{self, Fault};
use super::suggest::{did_you_mean, list, quote};
use super::text;
use crate::diag::{Code, Diagnostic, Place, Report};
use crate::spine::landmark::{Corners, Edge, LandmarkSet, Mark, Pixel, Viewed};
use crate::spine::{Column, Level};

/// The words of the corners, as the film is displayed.
pub const CORNERS: [&str; 4] = ["upper left", "upper right", "lower right", "lower left"];

/// The words of the single points of a level, as the film is displayed.
pub const POINTS: [&str; 8] = [
    "pedicle left",
    "pedicle right",
    "rib head left",
    "rib head right",
    "rib neck left",
    "rib neck right",
    "trunk left",
    "trunk right",
];

/// Structures that have no level; their points are `left` and `right`.
pub const STRUCTURES: [(&str, Mark); 3] = [
    ("clavicle", Mark::Clavicle),
    ("iliac crest", Mark::IliacCrest),
    ("femoral head", Mark::FemoralHead),
];

const SIDES: [&str; 2] = ["left", "right"];

const HEADER: [&str; 4] = ["level", "corner", "x", "y"];

/// Largest pixel coordinate: a film of 100,000 pixels would be 14 m long.
const MAX_PIXEL: f64 = 100_000.0;

/// One corner of one vertebra, and where it stands.
type Marked = BTreeMap<usize, (Pixel, Place)>;

/// Reads a landmark file; every fault goes to the report with its line, and
/// any fault gives `None`, for an angle needs all of its corners right.
pub fn read(
    text: &str,
    file: &str,
    column: Option<Column>,
    report: &mut Report,
) -> Option<LandmarkSet> {
    let mut faults = Report::default();
    let set = if text.len() > text::MAX_BYTES {
        text::decode(text.as_bytes(), file, &mut faults);
        LandmarkSet::default()
    } else {
        text::scan(text, file, &mut faults);
        let mut reader = Reader {
            file: file.into(),
            points: Points::new(),
            column,
            report: &mut faults,
            doubtful: BTreeSet::new(),
            astray: BTreeSet::new(),
        };
        let marked = reader.lines(text);
        reader.assemble(marked)
    };
    let good = !faults.has_errors();
    report.extend(faults);
    good.then_some(set)
}

/// Single points and where they stand.
type Points = BTreeMap<(Mark, Viewed), (Pixel, Place)>;

struct Reader<'a> {
    file: Arc<str>,
    /// The single points read so far.
    points: Points,
    column: Option<Column>,
    report: &'a mut Report,
    /// Levels with a faulty line: what they lack was reported there.
    doubtful: BTreeSet<Level>,
    /// Corners on lines whose level is unknown: one of them may be what
    /// another level lacks.
    astray: BTreeSet<usize>,
}

/// One field of a line.
struct Field<'a> {
    text: &'a str,
    place: Place,
}

impl Reader<'_> {
    fn lines(&mut self, text: &str) -> BTreeMap<Level, Marked> {
        let mut marked: BTreeMap<Level, Marked> = BTreeMap::new();
        let (mut start, mut header) = (0, false);
        for (number, line) in text.split_inclusive('\n').enumerate() {
            let fields = self.fields(line, number as u32 + 1, start);
            start += line.len();
            let trimmed = line.trim();
            if trimmed.is_empty() || trimmed.starts_with('#') {
                continue;
            }
            let first = !std::mem::replace(&mut header, true);
            if !(first && self.header(&fields)) {
                self.line(&fields, &mut marked);
            }
        }
        if marked.is_empty() && self.points.is_empty() && !self.report.has_errors() {
            let place = Place::whole(&self.file);
            self.report.add(Code::EmptyFile, &place, "the file holds no landmark");
        }
        marked
    }

    fn fields<'t>(&self, line: &'t str, number: u32, start: usize) -> Vec<Field<'t>> {
        let (mut at, mut fields) = (0, Vec::new());
        for part in line.split(',') {
            let text = part.trim();
            let from = at + part.len() - part.trim_start().len();
            let place = Place {
                file: self.file.clone(),
                line: number,
                column: line[..from.min(line.len())].chars().count() as u32 + 1,
                start: start + from,
                end: start + from + text.len(),
            };
            fields.push(Field { text, place });
            at += part.len() + 1;
        }
        fields
    }

    /// Checks the first line; says whether it is to be read no further.
    fn header(&mut self, fields: &[Field]) -> bool {
        if !fields.iter().map(|f| f.text).eq(HEADER) {
            let message = "the first line is not `level,corner,x,y`";
            self.report.add(Code::LandmarkColumns, &fields[0].place, message);
        }
        Level::parse(fields[0].text).is_none() && structure(fields[0].text).is_none()
    }

    fn line(&mut self, fields: &[Field], marked: &mut BTreeMap<Level, Marked>) {
        let [level, corner, x, y] = fields else {
            let message = format!("{} columns instead of 4", fields.len());
            self.report.add(Code::LandmarkColumns, &fields[0].place, message);
            self.doubtful.extend(Level::parse(fields[0].text));
            return;
        };
        if let Some(mark) = structure(level.text) {
            let at = self.word(corner, &SIDES);
            return self.point(level, at.map(|at| (mark, viewed(at))), [x, y]);
        }
        let known = scalar::level(level.text, self.column);
        let known = known.map_err(|fault| self.complain(fault, &level.place)).ok();
        if let Some(at) = POINTS.iter().position(|p| *p == corner.text) {
            return self.point(level, known.map(|known| (point_of(at, known), viewed(at))), [x, y]);
        }
        let corner_at = self.corner(corner);
        let (x, y) = (self.pixel(x), self.pixel(y));
        let (Some(known), Some(corner_at)) = (known, corner_at) else {
            self.doubtful.extend(known);
            self.astray.extend(corner_at);
            return;
        };
        // A corner with a faulty number is there all the same: not missing.
        let pixel = Pixel { x: x.unwrap_or(0.0), y: y.unwrap_or(0.0) };
        let corners = marked.entry(known).or_default();
        if let Some((_, first)) = corners.get(&corner_at) {
            let message = format!("{known} {} stands twice", CORNERS[corner_at]);
            let place = level.place.clone();
            let diagnostic = Diagnostic::new(Code::RepeatedCorner, Some(place), message);
            self.report.push(diagnostic.related(first.clone(), "first here"));
            return;
        }
        corners.insert(corner_at, (pixel, level.place.clone()));
    }

    fn corner(&mut self, field: &Field) -> Option<usize> {
        let all: Vec<&str> = CORNERS.iter().chain(&POINTS).copied().collect();
        self.word(field, &all)
    }

    fn word(&mut self, field: &Field, words: &[&'static str]) -> Option<usize> {
        let at = words.iter().position(|w| *w == field.text);
        if at.is_none() {
            let fault =
                Fault::new(Code::UnknownCorner, format!("{} is no corner", quote(field.text)));
            let known = format!("write one of: {}", list(words));
            let fault = match did_you_mean(field.text, words) {
                Some(near) => fault.remedy(format!("did you mean `{near}`? {known}")),
                None => fault.remedy(known),
            };
            self.complain(fault, &field.place);
        }
        at
    }

    /// Keeps one point of a pair, if its name and both numbers are good.
    fn point(&mut self, line: &Field, name: Option<(Mark, Viewed)>, [x, y]: [&Field; 2]) {
        let (x, y) = (self.pixel(x), self.pixel(y));
        let (Some(name), Some(x), Some(y)) = (name, x, y) else { return };
        if let Some((_, first)) = self.points.get(&name) {
            let message = format!("{} stands twice", named(name));
            let diagnostic =
                Diagnostic::new(Code::RepeatedCorner, Some(line.place.clone()), message);
            self.report.push(diagnostic.related(first.clone(), "first here"));
            return;
        }
        self.points.insert(name, (Pixel { x, y }, line.place.clone()));
    }

    fn pixel(&mut self, field: &Field) -> Option<f64> {
        let digits = field.text.strip_prefix('-').unwrap_or(field.text);
        let plain = digits.bytes().all(|b| b.is_ascii_digit() || b == b'.')
            && digits.starts_with(|c: char| c.is_ascii_digit());
        let value = field.text.parse::<f64>().ok().filter(|v| plain && v.is_finite());
        match value {
            None => {
                let message = format!("{} is not a number of pixels", quote(field.text));
                let fault = Fault::new(Code::BadNumber, message);
                self.complain(fault.remedy("write digits, as in 512.5"), &field.place);
            }
            Some(v) if v.abs() > MAX_PIXEL => {
                let message = format!("{v} pixels is larger than any film");
                self.report.add(Code::OutOfRange, &field.place, message);
            }
            Some(_) => {}
        }
        value
    }

    fn assemble(&mut self, marked: BTreeMap<Level, Marked>) -> LandmarkSet {
        let points = std::mem::take(&mut self.points);
        let marks = points.into_iter().map(|(name, (pixel, _))| (name, pixel)).collect();
        let mut set = LandmarkSet { marks, ..Default::default() };
        for (level, corners) in marked {
            let at = |i: usize| corners.get(&i).map(|(pixel, _)| *pixel);
            match (level, [at(0), at(1), at(2), at(3)]) {
                (_, [Some(upper_left), Some(upper_right), Some(lower_right), Some(lower_left)]) => {
                    let whole = Corners { upper_left, upper_right, lower_right, lower_left };
                    set.vertebrae.insert(level, whole);
                }
                (Level::S1, [Some(left), Some(right), None, None]) => {
                    set.sacrum = Some(Edge { left, right });
                }
                (_, found) => self.missing(level, &corners, found),
            }
        }
        set
    }

    fn missing(&mut self, level: Level, corners: &Marked, found: [Option<Pixel>; 4]) {
        let absent: Vec<_> = (0..4).filter(|i| found[*i].is_none()).collect();
        if self.doubtful.contains(&level) || absent.iter().all(|i| self.astray.contains(i)) {
            return;
        }
        let absent: Vec<_> = absent.into_iter().map(|i| CORNERS[i]).collect();
        let message = format!("{level} lacks {}", absent.join(", "));
        if let Some((_, place)) = corners.values().min_by_key(|(_, place)| place.line) {
            self.report.add(Code::MissingCorner, place, message);
        }
    }

    fn complain(&mut self, fault: Fault, place: &Place) {
        let diagnostic = Diagnostic::new(fault.code, Some(place.clone()), fault.message);
        self.report.push(match fault.remedy {
            Some(remedy) => diagnostic.remedy(remedy),
            None => diagnostic,
        });
    }
}

fn structure(text: &str) -> Option<Mark> {
    STRUCTURES.iter().find(|(word, _)| *word == text).map(|(_, mark)| *mark)
}

/// Left stands before right in every list of words.
fn viewed(at: usize) -> Viewed {
    if at.is_multiple_of(2) { Viewed::Left } else { Viewed::Right }
}

fn point_of(at: usize, level: Level) -> Mark {
    match at / 2 {
        0 => Mark::Pedicle(level),
        1 => Mark::RibHead(level),
        2 => Mark::RibNeck(level),
        _ => Mark::Trunk(level),
    }
}

fn named((mark, viewed): (Mark, Viewed)) -> String {
    let side = SIDES[usize::from(viewed == Viewed::Right)];
    match mark {
        Mark::Pedicle(level) => format!("{level} pedicle {side}"),
        Mark::RibHead(level) => format!("{level} rib head {side}"),
        Mark::RibNeck(level) => format!("{level} rib neck {side}"),
        Mark::Trunk(level) => format!("{level} trunk {side}"),
        Mark::Clavicle => format!("clavicle {side}"),
        Mark::IliacCrest => format!("iliac crest {side}"),
        Mark::FemoralHead => format!("femoral head {side}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn faults(text: &str) -> Vec<(Code, u32, u32)> {
        let mut report = Report::default();
        let set = read(text, "f.csv", Some(Column::default()), &mut report);
        assert_eq!(set.is_some(), report.is_empty());
        let at = |d: &Diagnostic| d.place.as_ref().map(|p| (p.line, p.column)).unwrap();
        report.sorted().into_iter().map(|d| (d.code, at(d).0, at(d).1)).collect()
    }

    const T5: &str =
        "T5,upper left,1,2\nT5,upper right,3,2.5\nT5,lower right,3,4\nT5,lower left,1,4\n";

    #[test]
    fn corners_are_read_as_displayed() {
        let text = format!(
            "# invented\nlevel,corner,x,y\n{T5}\nS1, upper left, 1, 9\r\nS1,upper right,3,9\n"
        );
        let mut report = Report::default();
        let set = read(&text, "f.csv", None, &mut report).unwrap();
        assert!(report.is_empty());
        assert_eq!(set.vertebrae[&Level::T(5)].upper_right, Pixel { x: 3.0, y: 2.5 });
        assert_eq!(set.vertebrae[&Level::T(5)].lower_left, Pixel { x: 1.0, y: 4.0 });
        assert_eq!(set.sacrum.unwrap().right, Pixel { x: 3.0, y: 9.0 });
    }

    #[test]
    fn points_are_read_as_displayed() {
        let text = "level,corner,x,y\nT8,pedicle left,4,5\nclavicle,right,9,1\n";
        let mut report = Report::default();
        let set = read(text, "f.csv", Some(Column::default()), &mut report).unwrap();
        assert!(report.is_empty());
        let t8 = Mark::Pedicle(Level::T(8));
        assert_eq!(set.marks[&(t8, Viewed::Left)], Pixel { x: 4.0, y: 5.0 });
        assert_eq!(set.marks[&(Mark::Clavicle, Viewed::Right)], Pixel { x: 9.0, y: 1.0 });
        let text = "level,corner,x,y\nclavicle,up,9,1\nT8,pedicle,4,5\n\
                    T8,trunk left,1,2\nT8,trunk left,1,2\nT99,trunk left,1,2\nT7,trunk left,x,2\n";
        assert_eq!(
            faults(text),
            [
                (Code::UnknownCorner, 2, 10),
                (Code::UnknownCorner, 3, 4),
                (Code::RepeatedCorner, 5, 1),
                (Code::UnknownLevel, 6, 1),
                (Code::BadNumber, 7, 15),
            ]
        );
    }

    #[test]
    fn every_fault_has_its_line_and_column() {
        let text = "level,corner,x,y\nT5,upper left,1,2\nT5,upper left,1,2\nD5,upper right,1,2\n\
                    T6,top left,1,2\nT7,lower left,1.5e2,2\nT13,upper left,1,2\nT8,upper left,1\n";
        assert_eq!(
            faults(text),
            [
                (Code::MissingCorner, 2, 1),
                (Code::RepeatedCorner, 3, 1),
                (Code::UnknownLevel, 4, 1),
                (Code::UnknownCorner, 5, 4),
                (Code::MissingCorner, 6, 1),
                (Code::BadNumber, 6, 15),
                (Code::LevelNotInColumn, 7, 1),
                (Code::LandmarkColumns, 8, 1),
            ]
        );
        assert_eq!(faults(T5), [(Code::LandmarkColumns, 1, 1)]);
        assert_eq!(faults("level,corner,x,y\n"), [(Code::EmptyFile, 1, 1)]);
        assert_eq!(faults(&format!("level;corner;x;y\n{T5}")), [(Code::LandmarkColumns, 1, 1)]);
        let astray = format!("level,corner,x,y\n{}", T5.replacen("T5", "D5", 1));
        assert_eq!(faults(&astray), [(Code::UnknownLevel, 2, 1)]);
        let nan = "level,corner,x,y\nT5,upper left,NaN,inf\n";
        assert_eq!(faults(nan).iter().filter(|f| f.0 == Code::BadNumber).count(), 2);
    }
}
