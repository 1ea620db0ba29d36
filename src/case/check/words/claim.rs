//! What a sentence says of a side or a level of the patient's back.
//!
//! A few forms of words, each of which says one thing; whatever is not of one
//! of them says nothing here. Examples stand at each form, and in
//! `tests/free_text.rs`.

use std::ops::Range;

use super::lexicon::{self as words, Part, among};
use super::token::{DASH, Token};
use crate::spine::{Level, Side};

/// What is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A curve, of that part if one is named, is convex to a side.
    Curve(Option<Part>, Side),
    /// A pad presses on the curve of that part from a side.
    Pad(Part, Side),
    /// The back stands out on a side: at the ribs, at the loin, or anywhere.
    Hump(Option<Trunk>, Side),
    /// The shoulder of that side is the higher one.
    Shoulder(Side),
    /// The pelvis is higher on that side.
    Pelvis(Side),
    /// The trunk stands to that side.
    Shift(Side),
    /// A curve, of that part if one is named, has its apex there, or at the
    /// disc below.
    Apex(Option<Part>, Level, Option<Level>),
    /// A curve, of that part if one is named, has these ends.
    Ends(Option<Part>, Level, Level),
}

/// Where the back stands out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Trunk {
    Ribs,
    Loin,
}

/// A claim and its words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Claim {
    /// What is said.
    pub what: What,
    /// Where, in bytes of the text.
    pub at: Range<usize>,
}

/// Of what, and from which token to which.
type Found = Option<(What, Range<usize>)>;

/// Everything that a sentence claims of the patient as they are now.
pub fn claims(sentence: &[Token]) -> Vec<Claim> {
    let s = Sentence(sentence);
    if s.any(words::NOT_NOW) {
        return Vec::new();
    }
    let mut found = Vec::new();
    let mut from = 0;
    for i in 0..sentence.len() {
        let forms = [side_first, noun_first, convex, hump, raised, shift, apex, ends];
        let one = forms.iter().find_map(|form| form(&s, i)).filter(|(_, at)| at.start >= from);
        let Some((what, at)) = one.filter(|(_, at)| s.stated(at)) else { continue };
        from = at.end;
        let bytes = sentence[at.start].at.start..sentence[at.end - 1].at.end;
        found.push(Claim { what, at: bytes });
    }
    found
}

/// The tokens of one sentence.
struct Sentence<'t>(&'t [Token]);

impl Sentence<'_> {
    fn text(&self, i: usize) -> &str {
        self.0.get(i).map_or("", |token| token.text.as_str())
    }

    fn is(&self, i: usize, list: &[&str]) -> bool {
        among(list, self.text(i))
    }

    fn side(&self, i: usize) -> Option<Side> {
        words::side(self.text(i))
    }

    fn level(&self, i: usize) -> Option<Level> {
        self.0.get(i)?.level
    }

    fn number(&self, i: usize) -> bool {
        self.0.get(i).is_some_and(Token::is_number)
    }

    fn any(&self, list: &[&str]) -> bool {
        self.0.iter().any(|token| among(list, &token.text))
    }

    fn past(&self, mut i: usize, list: &[&str]) -> usize {
        while i < self.0.len() && (self.is(i, list) || (list == words::STANDS && self.number(i))) {
            i += 1;
        }
        i
    }

    /// The part named from a token on, and the token after it.
    fn part(&self, i: usize) -> Option<(Part, usize)> {
        let mut at = self.past(i, words::MAIN);
        let upper = self.is(at, words::UPPER);
        at += usize::from(upper || self.is(at, words::JUNCTION));
        let part = match words::part(self.text(at))? {
            Part::Thoracic if upper => Part::UpperThoracic,
            Part::Lumbar if self.is(at.wrapping_sub(1), words::JUNCTION) => Part::Thoracolumbar,
            part => part,
        };
        // The adjective follows in Spanish.
        match part == Part::Thoracic && !upper && self.is(at + 1, words::UPPER) {
            true => Some((Part::UpperThoracic, at + 2)),
            false => Some((part, at + 1)),
        }
    }

    /// The nearest part named in the tokens before one, at most so many, and
    /// where it begins; none beyond another side.
    fn part_before(&self, i: usize, most: usize) -> Option<(Part, usize)> {
        let first = i.saturating_sub(most);
        let near = (first..i).rev().take_while(|at| self.side(*at).is_none());
        near.filter_map(|at| Some((self.part(at)?.0, at))).next().map(|(part, at)| {
            // Its adjective may stand before it.
            let with = at.checked_sub(1).and_then(|b| Some((self.part(b)?.0, b)));
            with.unwrap_or((part, at))
        })
    }

    /// "to the left", "on the left side": the side, and the token after it.
    fn toward(&self, i: usize) -> Option<(Side, usize)> {
        if !self.is(i, words::TO) {
            return None;
        }
        let at = self.past(i + 1, words::THE);
        let side = self.side(at)?;
        (!self.is(at + 1, words::THINGS)).then_some((side, at + 1))
    }

    /// Whether it is said of now, and not denied.
    fn stated(&self, at: &Range<usize>) -> bool {
        let around = at.start.saturating_sub(2)..at.end;
        let mut before = at.start;
        while before > 0 && self.is(before - 1, words::DENIED) {
            before -= 1;
        }
        let denied = before > 0 && self.is(before - 1, words::DENIES);
        let inside = at.clone().any(|i| self.is(i, words::DENIES));
        !denied && !inside && !around.into_iter().any(|i| self.is(i, words::PAST))
    }
}

/// "right thoracic curve", "left-sided lumbar scoliosis", "right thoracic 47°",
/// "right thoracic and left lumbar curves", "left curve", "right thoracic pad",
/// "left rib hump", "left shoulder higher", "higher left shoulder".
fn side_first(s: &Sentence, i: usize) -> Found {
    let side = s.side(i)?;
    let j = s.past(i + 1, words::SIDED);
    if s.is(j, words::RIBS) && s.is(j + 1, words::HUMPS) {
        return Some((What::Hump(Some(Trunk::Ribs), side), i..j + 2));
    }
    if s.is(j, words::LOINS) && s.is(j + 1, words::HUMPS) {
        return Some((What::Hump(Some(Trunk::Loin), side), i..j + 2));
    }
    if s.is(j, words::SHOULDERS) {
        return stands(s, i, j, side, What::Shoulder);
    }
    let pelvis = j + usize::from(s.text(j) == "iliac");
    if s.is(pelvis, words::PELVES) {
        return stands(s, i, pelvis, side, What::Pelvis);
    }
    if s.is(j, words::TRUNKS) && s.is(j + 1, words::SHIFTS) && !s.any(words::NOT_AT_EASE) {
        return Some((What::Shift(side), i..j + 2));
    }
    if let Some((part, k)) = s.part(j) {
        if s.is(k, words::PADS) {
            return (!s.any(words::COUNTER)).then_some((What::Pad(part, side), i..k + 1));
        }
        return head(s, i, k).map(|end| (What::Curve(Some(part), side), i..end));
    }
    let j = s.past(j, words::MAIN);
    s.is(j, words::CURVES).then_some((What::Curve(None, side), i..j + 1))
}

/// Where the words end that make a part and its side a curve: a noun, a size,
/// levels in brackets, another such pair, or the end of a clause that has
/// named a curve.
fn head(s: &Sentence, start: usize, k: usize) -> Option<usize> {
    if s.is(k, words::CURVES) {
        return Some(k + 1);
    }
    let sized = s.number(k) && (s.is(k + 1, &["°", "deg", "degrees", "grados"]));
    let levels = s.text(k) == "(" && s.level(k + 1).is_some();
    if sized || levels {
        return Some(k);
    }
    let joined = s.is(k, &["and", "y", ",", "/"]) && s.side(k + 1).is_some();
    if joined && let Some((_, next)) = s.part(s.past(k + 2, words::SIDED)) {
        return head(s, start, next).map(|_| k);
    }
    let ends = k >= s.0.len() || s.is(k, &[",", ")", ":"]);
    let named = (0..start).any(|i| s.is(i, words::CURVES));
    (ends && named && !s.any(words::HURTS)).then_some(k)
}

/// "left shoulder is 5 mm higher", "higher left shoulder", "raised right
/// shoulder"; of the pelvis alike. `i` is the side, `noun` what is higher.
fn stands(s: &Sentence, i: usize, noun: usize, side: Side, what: fn(Side) -> What) -> Found {
    if s.any(words::NOT_AT_EASE) {
        return None;
    }
    let at = s.past(noun + 1, words::STANDS);
    if s.is(at, words::HIGHER) {
        return Some((what(side), i..at + 1));
    }
    if s.is(at, words::LOWER) {
        return Some((what(side.opposite()), i..at + 1));
    }
    let before = i.checked_sub(1)?;
    if s.is(before, words::HIGHER) {
        return Some((what(side), before..noun + 1));
    }
    s.is(before, words::LOWER).then(|| (what(side.opposite()), before..noun + 1))
}

/// "thoracic curve to the left", "a curve to the left", "thoracic pad on the
/// right", "curva torácica derecha".
fn noun_first(s: &Sentence, i: usize) -> Found {
    if s.is(i, words::PADS) {
        let (part, start) = s.part_before(i, 1)?;
        let (side, end) = s.toward(i + 1)?;
        return (!s.any(words::COUNTER)).then_some((What::Pad(part, side), start..end));
    }
    if !s.is(i, words::CURVES) {
        return None;
    }
    let before = s.part_before(i, 2);
    let (part, start) = before.map_or((None, i), |(part, at)| (Some(part), at));
    let is = i + 1 + usize::from(s.is(i + 1, &["is", "es", "está"]));
    // "The spine curves to the left" may mean the lean as well as the curve.
    let verb = s.text(i) == "curves" && part.is_none();
    if let Some((side, end)) = s.toward(is).filter(|_| !verb && !s.any(words::PUSHES)) {
        return Some((What::Curve(part, side), start..end));
    }
    let (named, k) = match s.part(i + 1) {
        Some((part, k)) => (Some(part), k),
        None => (None, i + 1),
    };
    // The side follows the noun in Spanish alone: "the curve left a mark".
    let spanish = !s.is(k, &["left", "right"]);
    let side = s.side(k).filter(|_| spanish)?;
    Some((What::Curve(named.or(part), side), start..k + 1))
}

/// "the lumbar curve, convex to the left", "convex left", "convexa a la
/// derecha", "the convexity is on the right".
fn convex(s: &Sentence, i: usize) -> Found {
    let noun = s.is(i, &["convexity", "convexidad"]);
    if !noun && !s.is(i, words::CONVEX) {
        return None;
    }
    let at = s.past(i + 1, &["is", "es", "está"]);
    let (side, end) = s.toward(at).or_else(|| Some((s.side(i + 1)?, i + 2)))?;
    if s.part(end).is_some() {
        return None;
    }
    let (part, start) = s.part_before(i, 8).map_or((None, i), |(part, at)| (Some(part), at));
    // The noun stands before its part in Spanish.
    let start = start - usize::from(start > 0 && s.is(start - 1, words::CURVES));
    Some((What::Curve(part, side), start..end))
}

/// "rib hump on the right", "a hump on the left", "giba costal derecha".
fn hump(s: &Sentence, i: usize) -> Found {
    if !s.is(i, words::HUMPS) {
        return None;
    }
    let whose = |at: usize| match (s.is(at, words::RIBS), s.is(at, words::LOINS)) {
        (true, _) => Some(Trunk::Ribs),
        (_, true) => Some(Trunk::Loin),
        _ => None,
    };
    let before = i.checked_sub(1).and_then(whose);
    let after = whose(i + 1);
    let of = before.or(after);
    // A prominence may be anywhere; a hump is of the back.
    if of.is_none() && s.is(i, &["prominence", "prominencia", "bulge"]) {
        return None;
    }
    let at = i + 1 + usize::from(after.is_some());
    let (side, end) = s.toward(at).or_else(|| {
        let spanish = !s.is(at, &["left", "right"]);
        s.side(at).filter(|_| spanish).map(|side| (side, at + 1))
    })?;
    Some((What::Hump(of, side), i - usize::from(before.is_some())..end))
}

/// "shoulder higher on the left", "hombro izquierdo más alto".
fn raised(s: &Sentence, i: usize) -> Found {
    if !s.is(i, words::SHOULDERS) || s.any(words::NOT_AT_EASE) {
        return None;
    }
    if let Some(side) = s.side(i + 1) {
        let at = s.past(i + 2, words::STANDS);
        let higher = s.is(at, words::HIGHER);
        let side = if higher { side } else { side.opposite() };
        return (higher || s.is(at, words::LOWER)).then_some((What::Shoulder(side), i..at + 1));
    }
    let at = s.past(i + 1, words::STANDS);
    let higher = s.is(at, words::HIGHER);
    let (side, end) = s.toward(at + 1).filter(|_| higher || s.is(at, words::LOWER))?;
    let side = if higher { side } else { side.opposite() };
    Some((What::Shoulder(side), i..end))
}

/// "the trunk is shifted 12 mm to the left", "trunk shift to the right".
fn shift(s: &Sentence, i: usize) -> Found {
    if !s.is(i, words::TRUNKS) || s.any(words::NOT_AT_EASE) {
        return None;
    }
    let at = s.past(i + 1, words::STANDS);
    if !s.is(at, words::SHIFTS) {
        return None;
    }
    let at = s.past(at + 1, words::STANDS);
    let (side, end) = s.toward(at)?;
    Some((What::Shift(side), i..end))
}

/// "apex T9", "apex at the T8-T9 disc", "apical vertebra L2", "T9 apex".
fn apex(s: &Sentence, i: usize) -> Found {
    if s.any(words::OTHER_LEVELS) && !s.any(&["disc", "disco"]) || s.any(words::ABOUT) {
        return None;
    }
    let vertebra = s.is(i, words::APICAL) && s.is(i + 1, words::VERTEBRAE);
    let (start, at, mut end) = match s.level(i) {
        Some(_) if s.is(i + 1, words::APICES) => (i, i, i + 2),
        _ if s.is(i, words::APICES) || vertebra => {
            let at = s.past(s.past(i + 1, words::VERTEBRAE), words::AT);
            (i, at, at + 1)
        }
        _ => return None,
    };
    let level = s.level(at)?;
    let other = s.level(at + 2).filter(|_| s.is(at + 1, &[DASH, "/", "or", "and", "o", "y"]));
    if other.is_some() {
        end = end.max(at + 3);
    }
    let after = s.past(end, &["of", "the", "de", "la", "curve", "in"]);
    let part = s.part(after).filter(|_| after > end).map(|(part, _)| part);
    let part = part.or_else(|| s.part_before(i, 8).map(|(part, _)| part));
    Some((What::Apex(part, level, other), start..end))
}

/// "T5-T12 curve", "thoracic curve from T5 to T12", "thoracic 47° (T5-T12".
fn ends(s: &Sentence, i: usize) -> Found {
    let (upper, lower) = (s.level(i)?, s.level(i + 2)?);
    let joined = s.text(i + 1) == DASH || s.is(i + 1, words::UP_TO);
    if !joined || s.any(words::OTHER_LEVELS) || s.any(words::APICES) || s.any(words::ABOUT) {
        return None;
    }
    if let Some((part, k)) = s.part(i + 3).filter(|(_, k)| s.is(*k, words::CURVES)) {
        return Some((What::Ends(Some(part), upper, lower), i..k + 1));
    }
    if s.is(i + 3, words::CURVES) {
        return Some((What::Ends(None, upper, lower), i..i + 4));
    }
    let mut before = i;
    while before > 0 && i - before < 5 && between(s, before - 1) {
        before -= 1;
    }
    let noun = before.checked_sub(1)?;
    let curve = s.is(noun, words::CURVES);
    let (part, start) = match s.part_before(noun + 1, 3) {
        Some((part, at)) => (Some(part), at),
        None => (None, noun),
    };
    // A part alone may be that of a muscle or a pain.
    let sized = before < i && (before..i).any(|at| s.is(at, &["°", "deg", "degrees", "grados"]));
    (curve || (sized && part.is_some())).then_some((What::Ends(part, upper, lower), start..i + 3))
}

/// What may stand between a curve and its ends.
fn between(s: &Sentence, i: usize) -> bool {
    s.is(i, words::FROM) || s.number(i) || s.is(i, &["°", "deg", "degrees", "grados", "of"])
}
