//! Widths of table columns, from the advances of the glyphs they hold.
//!
//! Fixed widths keep a figure column calm beside a column of sentences, and a
//! table of ten columns steps down in size until its longest words fit.

use serde::Serialize;

use super::measure::Measure;
use crate::letter::block::{Block, Inline, Letter, Paper};

/// Sizes tried for the text of a table, in points; the last one is taken
/// even if words have to overrun.
const SIZES: [f64; 4] = [9.5, 9.0, 8.5, 8.0];
/// Space left and right of each cell's text, in points.
const GAP: f64 = 4.5;
/// Allowance for a bold run or a kerning pair that came out wider.
const SLACK: f64 = 1.03;
/// Points in a millimetre.
const MM: f64 = 72.0 / 25.4;
/// Width of both side margins together, in mm.
const MARGINS: f64 = 50.0;

/// The plan of one table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// Size of the text in points.
    pub size: f64,
    /// Space left and right of each cell's text, in points.
    pub gap: f64,
    /// Widths of the columns in points.
    pub widths: Vec<f64>,
    /// Whether some cell runs over more than one line.
    pub wraps: bool,
}

/// Plans tables set in one family.
pub struct Planner {
    serif: Measure,
}

/// What a column needs, in any one unit.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Need {
    /// Width of its longest piece that may not break.
    pub least: f64,
    /// Width of its longest cell on one line.
    pub whole: f64,
}

impl Planner {
    /// A planner for tables set in the family measured.
    pub fn new(serif: Measure) -> Planner {
        Planner { serif }
    }

    /// The plans of a letter's tables, in order.
    pub fn plans(&self, letter: &Letter) -> Vec<Plan> {
        let page = match letter.frame.paper {
            Paper::A4 => 210.0,
            Paper::UsLetter => 215.9,
        };
        let width = (page - MARGINS) * MM;
        let tables = letter.blocks.iter().flat_map(Block::inside).filter_map(|block| match block {
            Block::Table { header, rows, .. } => Some(plan(&self.needs(header, rows), width)),
            _ => None,
        });
        tables.collect()
    }

    fn needs(&self, header: &[Vec<Inline>], rows: &[Vec<Vec<Inline>>]) -> Vec<Need> {
        let column = |c: usize| {
            let body = rows.iter().filter_map(|row| row.get(c)).map(|cell| self.need(cell, false));
            // Header words are set in the wider sans: measured as bold.
            let cells = body.chain([self.need(&header[c], true)]);
            cells.fold(Need::default(), |a, b| Need {
                least: a.least.max(b.least),
                whole: a.whole.max(b.whole),
            })
        };
        (0..header.len()).map(column).collect()
    }

    fn need(&self, cell: &[Inline], bold: bool) -> Need {
        let mut line = Line::default();
        self.run(cell, bold, &mut line);
        line.close()
    }

    fn run(&self, inlines: &[Inline], bold: bool, line: &mut Line) {
        for inline in inlines {
            match inline {
                Inline::Value { text, keep: true, .. } if keeps(text) => {
                    line.word += self.serif.width(text, bold);
                }
                Inline::Text { text } | Inline::Value { text, .. } => self.words(text, bold, line),
                Inline::Strong { children } => self.run(children, true, line),
                Inline::Emph { children } => self.run(children, bold, line),
                Inline::Break => line.end(),
            }
        }
    }

    fn words(&self, text: &str, bold: bool, line: &mut Line) {
        for (index, word) in text.split(' ').enumerate() {
            if index > 0 {
                line.space(self.serif.width(" ", bold));
            }
            line.word += self.serif.width(word, bold);
        }
    }
}

/// The limit up to which the layout keeps a value on one line.
fn keeps(text: &str) -> bool {
    text.chars().count() <= 24
}

/// A line of a cell while it is measured.
#[derive(Default)]
struct Line {
    word: f64,
    before: f64,
    need: Need,
}

impl Line {
    fn space(&mut self, width: f64) {
        self.need.least = self.need.least.max(self.word);
        self.before += self.word + width;
        self.word = 0.0;
    }

    fn end(&mut self) {
        self.space(0.0);
        self.need.whole = self.need.whole.max(self.before);
        self.before = 0.0;
    }

    fn close(mut self) -> Need {
        self.end();
        self.need
    }
}

fn plan(needs: &[Need], width: f64) -> Plan {
    let gaps = 2.0 * GAP * needs.len() as f64;
    let room = width - gaps;
    let fits = |size: &f64| needs.iter().map(|n| n.least * size * SLACK).sum::<f64>() <= room;
    let size = SIZES.into_iter().find(|size| fits(size)).unwrap_or(SIZES[SIZES.len() - 1]);
    let scale = size * SLACK;
    let needs: Vec<Need> =
        needs.iter().map(|n| Need { least: n.least * scale, whole: n.whole * scale }).collect();
    let wraps = needs.iter().map(|n| n.whole).sum::<f64>() > room;
    let widths = share(&needs, room).into_iter().map(|w| round(w + 2.0 * GAP)).collect();
    Plan { size, gap: GAP, widths, wraps }
}

/// Shares the room: every column gets its whole width if all fit, with the
/// rest spread evenly; otherwise narrow columns stay whole and the others
/// share what is left by the root of their length, never below their longest word.
pub fn share(needs: &[Need], room: f64) -> Vec<f64> {
    let whole: f64 = needs.iter().map(|n| n.whole).sum();
    if whole <= room {
        let extra = (room - whole) / needs.len().max(1) as f64;
        return needs.iter().map(|n| n.whole + extra).collect();
    }
    let mut fixed: Vec<Option<f64>> = vec![None; needs.len()];
    loop {
        let left = room - fixed.iter().flatten().sum::<f64>();
        let open = |i: &usize| fixed[*i].is_none();
        // Never zero, so that a part is always a number.
        let weight = |i: usize| needs[i].whole.sqrt().max(0.1);
        let total: f64 = (0..needs.len()).filter(open).map(weight).sum();
        let part = |i: usize| left * weight(i) / total;
        let settled =
            (0..needs.len()).filter(open).find_map(|i| settle(needs[i], part(i)).map(|w| (i, w)));
        match settled {
            Some((i, w)) => fixed[i] = Some(w),
            None => return (0..needs.len()).map(|i| fixed[i].unwrap_or_else(|| part(i))).collect(),
        }
    }
}

/// The width of a column that needs less than its part, or cannot do with it.
fn settle(need: Need, part: f64) -> Option<f64> {
    if need.least >= part {
        Some(need.least)
    } else if need.whole <= part {
        Some(need.whole)
    } else {
        None
    }
}

/// Hundredths of a point, so that the data shows short numbers.
fn round(width: f64) -> f64 {
    (width * 100.0).round() / 100.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn need(least: f64, whole: f64) -> Need {
        Need { least, whole }
    }

    #[test]
    fn rest_is_spread_evenly_when_all_fit() {
        assert_eq!(share(&[need(10.0, 20.0), need(5.0, 30.0)], 70.0), [30.0, 40.0]);
    }

    #[test]
    fn a_narrow_column_stays_whole_beside_sentences() {
        // Room 100: roots 2, 20, 20 give parts 4.8, 47.6, 47.6; the first needs
        // only 4, the rest is halved: (100 - 4) / 2 = 48.
        assert_eq!(
            share(&[need(4.0, 4.0), need(10.0, 400.0), need(10.0, 400.0)], 100.0),
            [4.0, 48.0, 48.0]
        );
    }

    #[test]
    fn no_column_falls_below_its_longest_word() {
        let widths = share(&[need(60.0, 61.0), need(10.0, 900.0)], 100.0);
        assert_eq!(widths, [60.0, 40.0]);
    }

    #[test]
    fn an_empty_column_gets_a_width_all_the_same() {
        let widths = share(&[need(200.0, 300.0), need(0.0, 0.0)], 100.0);
        assert!(widths.iter().all(|w| w.is_finite()), "{widths:?}");
    }
}
