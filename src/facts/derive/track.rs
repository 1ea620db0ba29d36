//! One curve followed from film to film.

use crate::case::{Bend, Case, CurveReading, Film, Reading};
use crate::facts::compare;
use crate::quantity::{Reported, Unit};
use crate::spine::frame::Plane;
use crate::spine::{Apex, Level, Side};

/// The closed-set word of a plane.
pub fn plane_word(plane: Plane) -> &'static str {
    match plane {
        Plane::Coronal => "frontal",
        Plane::Sagittal => "sagittal",
    }
}

/// One curve of one reading, measured.
#[derive(Debug, Clone)]
pub struct Measured<'a> {
    /// The reading.
    pub reading: &'a Reading,
    /// The curve as recorded.
    pub curve: &'a CurveReading,
    /// Size in degrees, never negative, not yet rounded.
    pub size: f64,
    /// Whether the recorded angle was typed below zero (overcorrected).
    pub typed_negative: bool,
    /// Whether the size was computed from landmarks.
    pub from_landmarks: bool,
    /// Whether this reading shows the curve turned to the other side than out
    /// of support; its size then counts below zero.
    pub turned: bool,
}

impl Measured<'_> {
    /// The size with its sign.
    pub fn signed(&self) -> f64 {
        if self.turned { -self.size } else { self.size }
    }
}

/// One curve on one film: the mean over its readings.
#[derive(Debug, Clone)]
pub struct FilmCurve<'a> {
    /// The film.
    pub film: &'a Film,
    /// One entry a reader.
    pub members: Vec<Measured<'a>>,
    /// The same curve read again by the same readers: not part of the value.
    pub repeats: Vec<Measured<'a>>,
}

impl FilmCurve<'_> {
    /// Mean over the readings in degrees; below zero if overcorrected.
    pub fn unrounded(&self) -> f64 {
        self.members.iter().map(Measured::signed).sum::<f64>() / self.members.len() as f64
    }

    /// Every reading of the curve on this film in degrees, not rounded,
    /// repeats included.
    pub fn every(&self) -> Vec<f64> {
        self.members.iter().chain(&self.repeats).map(Measured::signed).collect()
    }

    /// Whether the curve is turned to the other side than out of support.
    pub fn reversed(&self) -> bool {
        self.unrounded() < 0.0
    }

    /// The value as reported: whole degrees.
    pub fn reported(&self) -> Reported {
        Reported::round(self.unrounded(), 0, Unit::Degree)
    }

    /// How many different people read it.
    pub fn readers(&self) -> usize {
        let mut by: Vec<&str> = self.members.iter().map(|m| m.reading.by.value.as_str()).collect();
        by.sort_unstable();
        by.dedup();
        by.len()
    }

    /// End vertebrae of the first reading.
    pub fn levels(&self) -> (Level, Level) {
        let curve = self.members[0].curve;
        (curve.upper.value, curve.lower.value)
    }

    /// Whether all readings used the same end vertebrae.
    pub fn one_pair_of_ends(&self) -> bool {
        let ends = |m: &Measured| (m.curve.upper.value, m.curve.lower.value);
        self.members.iter().all(|m| ends(m) == self.levels())
    }

    /// The apex, of the first reading that names one.
    pub fn apex(&self) -> Option<Apex> {
        self.members.iter().find_map(|m| m.curve.apex.as_ref().map(|a| a.value))
    }

    /// The recorded side of the convexity.
    pub fn side(&self) -> Option<Side> {
        self.members.iter().find_map(|m| m.curve.convex.as_ref().map(|s| s.value))
    }
}

/// One curve over time.
#[derive(Debug, Clone)]
pub struct Track<'a> {
    /// Part of the fact ids.
    pub key: String,
    /// The name typed in the case, if any.
    pub name: Option<String>,
    /// The plane.
    pub plane: Plane,
    /// The side out of support; none for sagittal curves.
    pub side: Option<Side>,
    /// Films that show it, by date.
    pub films: Vec<FilmCurve<'a>>,
}

impl<'a> Track<'a> {
    /// Whether it is followed as a lordosis.
    pub fn is_lordosis(&self) -> bool {
        self.films[0].members[0].curve.bend.as_ref().is_some_and(|b| b.value == Bend::Lordosis)
    }

    /// Films that show the curve as it is, by date, up to the one that shows
    /// it now ([`compare::now`]).
    pub fn free(&self, case: &Case) -> Vec<&FilmCurve<'a>> {
        let Some(now) = compare::now(case, self.films.iter().map(|c| c.film)) else {
            return Vec::new();
        };
        let last = self.films.iter().position(|c| c.film.id.value == now.id.value);
        let until = self.films.iter().take(last.map_or(0, |i| i + 1));
        until.filter(|c| compare::natural(case, c.film)).collect()
    }

    /// The curve as it is now.
    pub fn now(&self, case: &Case) -> Option<&FilmCurve<'a>> {
        self.free(case).pop()
    }
}
