//! Which curve of one film is which curve of the next.
//!
//! Names settle it. Without names a curve is the same where its apex lies
//! within [`APEX_DRIFT`] levels, its levels overlap and it bulges to the same
//! side, or to the other side where one of the films was taken in a brace or
//! cast (overcorrection). Curves pair one to one. Where a second pairing is
//! nearly as close as the best, nothing is guessed: the curve is ambiguous
//! and every plausible partner is listed, to be settled by a name. The
//! distances are our own choice; no study gives them.
//!
//! Levels come as positions on the scale of
//! [`Column::index`](crate::spine::Column::index), discs at halves.

use std::collections::{BTreeMap, BTreeSet};

use crate::spine::Convexity;

/// Farthest an apex may move between two films of one curve, in levels.
pub const APEX_DRIFT: f64 = 2.5;
/// Least share of the shorter curve that both must have in common.
pub const OVERLAP: f64 = 0.4;
/// A pairing this much farther in all, in levels, is not a rival.
pub const CLEARLY_CLOSER: f64 = 1.0;
/// What a changed side costs beside a distance in levels.
const FLIP_COST: f64 = 1.0;
/// Larger knots of plausible pairs are not untied but called ambiguous.
const LARGEST_KNOT: usize = 5;

/// A curve as far as its identity goes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurveSketch<'a> {
    /// The name it was given in the case.
    pub name: Option<&'a str>,
    /// Position of the upper end vertebra.
    pub upper: f64,
    /// Position of the apex, if recorded.
    pub apex: Option<f64>,
    /// Position of the lower end vertebra.
    pub lower: f64,
    /// The way it bulges, if recorded.
    pub convexity: Option<Convexity>,
    /// Whether the film was taken in a brace or cast.
    pub in_support: bool,
}

/// Two curves that are one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pair {
    /// Its place among the earlier film's curves.
    pub earlier: usize,
    /// Its place among the later film's curves.
    pub later: usize,
    /// It bulges to the other side on one of the two.
    pub flipped: bool,
}

/// Which of the two films.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Which {
    Earlier,
    Later,
}

/// A curve with more than one plausible partner.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ambiguity {
    /// The film the curve is on.
    pub film: Which,
    /// Its place among that film's curves.
    pub curve: usize,
    /// The places of all plausible partners on the other film.
    pub candidates: Vec<usize>,
}

/// What two films have in common.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Matching {
    /// Curves that are one, in the order of the earlier film.
    pub pairs: Vec<Pair>,
    /// Curves of the earlier film without a partner.
    pub only_earlier: Vec<usize>,
    /// Curves of the later film without a partner: new, or not read before.
    pub only_later: Vec<usize>,
    /// Curves that nothing but a name can settle; they are in no other list.
    pub ambiguous: Vec<Ambiguity>,
    /// Pairs (earlier, later) that agree in name or levels and bulge to
    /// opposite sides although neither film was taken in support: one of the
    /// sides was probably read wrongly.
    pub side_conflicts: Vec<(usize, usize)>,
}

impl Matching {
    /// Whether no curve is left to be settled by a name.
    pub fn is_settled(&self) -> bool {
        self.ambiguous.is_empty()
    }
}

/// Matches the curves of two films.
pub fn match_curves(earlier: &[CurveSketch], later: &[CurveSketch]) -> Matching {
    let links = links(earlier, later);
    let mut matching =
        Matching { side_conflicts: side_conflicts(earlier, later), ..Default::default() };
    for knot in knots(&links) {
        untie(&knot, &mut matching);
    }
    matching.pairs.sort();
    matching.ambiguous.sort();
    matching.only_earlier = unplaced(earlier.len(), &matching, Which::Earlier);
    matching.only_later = unplaced(later.len(), &matching, Which::Later);
    matching
}

/// A plausible pair and how far apart its curves are, in levels.
#[derive(Debug, Clone, Copy)]
struct Link {
    pair: Pair,
    cost: f64,
}

/// How two names compare.
enum Names {
    Equal,
    Unequal,
    NotBoth,
}

fn names(a: &CurveSketch, b: &CurveSketch) -> Names {
    match (a.name, b.name) {
        (Some(a), Some(b)) if a == b => Names::Equal,
        (Some(_), Some(_)) => Names::Unequal,
        _ => Names::NotBoth,
    }
}

/// Whether both sides are recorded and differ.
fn opposed(a: &CurveSketch, b: &CurveSketch) -> bool {
    matches!((a.convexity, b.convexity), (Some(a), Some(b)) if a != b)
}

/// Every plausible pair. Curves that share a name with one of the other film
/// pair by name alone.
fn links(earlier: &[CurveSketch], later: &[CurveSketch]) -> Vec<Link> {
    let named = |curve: &CurveSketch, others: &[CurveSketch]| {
        others.iter().any(|other| matches!(names(curve, other), Names::Equal))
    };
    let mut links = Vec::new();
    for (i, a) in earlier.iter().enumerate() {
        for (j, b) in later.iter().enumerate() {
            let cost = match names(a, b) {
                Names::Equal => Some(0.0),
                Names::Unequal => None,
                Names::NotBoth if named(a, later) || named(b, earlier) => None,
                Names::NotBoth => distance(a, b),
            };
            let pair = Pair { earlier: i, later: j, flipped: opposed(a, b) };
            links.extend(cost.map(|cost| Link { pair, cost }));
        }
    }
    links
}

/// How far apart two curves are, if they can be one.
fn distance(a: &CurveSketch, b: &CurveSketch) -> Option<f64> {
    let flips = opposed(a, b);
    let may_flip = a.in_support || b.in_support;
    let apart = levels_apart(a, b)?;
    match (flips, may_flip) {
        (false, _) => Some(apart),
        (true, true) => Some(apart + FLIP_COST),
        (true, false) => None,
    }
}

/// Distance by levels alone: apex first, ends by a quarter each.
fn levels_apart(a: &CurveSketch, b: &CurveSketch) -> Option<f64> {
    let shared = a.lower.min(b.lower) - a.upper.max(b.upper);
    let shorter = (a.lower - a.upper).min(b.lower - b.upper);
    let middle = |c: &CurveSketch| (c.upper + c.lower) / 2.0;
    let apex = match (a.apex, b.apex) {
        (Some(a), Some(b)) => (a - b).abs(),
        _ => (middle(a) - middle(b)).abs(),
    };
    let plausible = shorter > 0.0 && shared / shorter >= OVERLAP && apex <= APEX_DRIFT;
    plausible.then(|| apex + ((a.upper - b.upper).abs() + (a.lower - b.lower).abs()) / 4.0)
}

fn side_conflicts(earlier: &[CurveSketch], later: &[CurveSketch]) -> Vec<(usize, usize)> {
    let mut conflicts = Vec::new();
    for (i, a) in earlier.iter().enumerate() {
        for (j, b) in later.iter().enumerate() {
            let same = match names(a, b) {
                Names::Equal => true,
                Names::Unequal => false,
                Names::NotBoth => levels_apart(a, b).is_some(),
            };
            if same && opposed(a, b) && !a.in_support && !b.in_support {
                conflicts.push((i, j));
            }
        }
    }
    conflicts
}

/// Groups of links that share curves: each is settled on its own.
fn knots(links: &[Link]) -> Vec<Vec<Link>> {
    let mut knots: Vec<Vec<Link>> = Vec::new();
    for link in links {
        let touches = |knot: &Vec<Link>| {
            knot.iter().any(|other| {
                other.pair.earlier == link.pair.earlier || other.pair.later == link.pair.later
            })
        };
        let (touched, mut apart): (Vec<_>, Vec<_>) = knots.into_iter().partition(touches);
        let mut joined: Vec<Link> = touched.into_iter().flatten().collect();
        joined.push(*link);
        apart.push(joined);
        knots = apart;
    }
    knots
}

/// Settles one knot: the pairing with most pairs, then the least distance,
/// unless a rival comes close.
fn untie(knot: &[Link], matching: &mut Matching) {
    let earlier: BTreeSet<usize> = knot.iter().map(|l| l.pair.earlier).collect();
    let later: BTreeSet<usize> = knot.iter().map(|l| l.pair.later).collect();
    if earlier.len().max(later.len()) > LARGEST_KNOT {
        let all: Vec<_> = knot.iter().map(|l| l.pair).collect();
        return doubt(&all, matching);
    }
    let earlier: Vec<usize> = earlier.into_iter().collect();
    let mut pairings = Vec::new();
    pair_up(knot, &earlier, &mut Vec::new(), &mut pairings);
    let most = pairings.iter().map(Vec::len).max().unwrap_or(0);
    let cost = |pairing: &Vec<Link>| pairing.iter().map(|l| l.cost).sum::<f64>();
    pairings.retain(|p| p.len() == most);
    let least = pairings.iter().map(cost).fold(f64::INFINITY, f64::min);
    pairings.retain(|p| cost(p) < least + CLEARLY_CLOSER);
    pairings.sort_by(|a, b| cost(a).total_cmp(&cost(b)));
    settle(&pairings, matching);
}

/// All ways to pair the curves of a knot one to one.
fn pair_up(knot: &[Link], rest: &[usize], chosen: &mut Vec<Link>, out: &mut Vec<Vec<Link>>) {
    let Some((first, rest)) = rest.split_first() else {
        out.push(chosen.clone());
        return;
    };
    for link in knot.iter().filter(|l| l.pair.earlier == *first) {
        if chosen.iter().all(|c| c.pair.later != link.pair.later) {
            chosen.push(*link);
            pair_up(knot, rest, chosen, out);
            chosen.pop();
        }
    }
    pair_up(knot, rest, chosen, out);
}

/// Pairs that every close pairing shares are settled; the others are in
/// doubt.
fn settle(pairings: &[Vec<Link>], matching: &mut Matching) {
    let in_all =
        |pair: &Pair| pairings.iter().all(|pairing| pairing.iter().any(|link| link.pair == *pair));
    let every: BTreeSet<Pair> = pairings.iter().flatten().map(|l| l.pair).collect();
    let (sure, unsure): (Vec<Pair>, Vec<Pair>) = every.into_iter().partition(|p| in_all(p));
    matching.pairs.extend(sure);
    doubt(&unsure, matching);
}

/// Records the curves with several partners among doubtful pairs, on the film
/// where they have them.
fn doubt(pairs: &[Pair], matching: &mut Matching) {
    let mut partners: BTreeMap<(Which, usize), BTreeSet<usize>> = BTreeMap::new();
    for pair in pairs {
        partners.entry((Which::Earlier, pair.earlier)).or_default().insert(pair.later);
        partners.entry((Which::Later, pair.later)).or_default().insert(pair.earlier);
    }
    let several = partners.into_iter().filter(|(_, candidates)| candidates.len() > 1);
    matching.ambiguous.extend(several.map(|((film, curve), candidates)| Ambiguity {
        film,
        curve,
        candidates: candidates.into_iter().collect(),
    }));
}

/// Curves of one film that are neither paired nor part of an ambiguity.
fn unplaced(count: usize, matching: &Matching, film: Which) -> Vec<usize> {
    let paired = |at: usize| {
        matching.pairs.iter().any(|p| {
            at == match film {
                Which::Earlier => p.earlier,
                Which::Later => p.later,
            }
        })
    };
    let doubtful = |at: usize| {
        matching
            .ambiguous
            .iter()
            .any(|a| if a.film == film { a.curve == at } else { a.candidates.contains(&at) })
    };
    (0..count).filter(|at| !paired(*at) && !doubtful(*at)).collect()
}
