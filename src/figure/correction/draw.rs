//! The drawing: a head, two lines of words and a bar for each film, over one
//! scale of degrees.

use super::{Bar, Corrections, CurveBars, Shown};
use crate::figure::SMALLEST_TEXT;
use crate::figure::canvas::{Canvas, Point, Type, text_box};
use crate::figure::text;
use crate::figure::words::fill;
use crate::letter::drawing::{Anchor, Dash, Drawing, Ink};

const NAME: Type = Type::bold(9.5);
const SUPPORT: Type = Type::bold(SMALLEST_TEXT);
const FACE: Type = Type::plain(SMALLEST_TEXT);
const VALUE: Type = Type::bold(9.0);

/// Half the size of a mark, in mm.
const REACH: f64 = 1.1;
/// From a mark to its value, in mm.
const NEAR: f64 = 0.9;
/// Height of the bar's own line, in mm.
const LINE: f64 = 5.4;
/// Air above a curve's name and between two bars, in mm.
const ABOVE: f64 = 2.6;
const BETWEEN: f64 = 1.2;
/// Room for the ticks' labels, in mm.
const FOOT: f64 = 1.6;

/// The lines of words over a bar.
struct Row<'a> {
    bar: &'a Bar,
    support: Vec<String>,
    percent: String,
    under: Vec<String>,
}

/// How high the figure must be to hold everything at a width, in mm.
pub fn height(figure: &Corrections, width: f64) -> f64 {
    let curves = shown(figure).map(|c| curve_height(figure, c, width));
    curves.sum::<f64>() + FOOT + FACE.leading()
}

/// Draws the figure at a width, as high as it must be; nothing without a bar.
pub fn draw(figure: &Corrections, width: f64) -> Option<Drawing> {
    let scale = Scale::of(figure, width)?;
    let total = height(figure, width);
    let mut canvas = Canvas::default();
    let foot = total - FOOT - FACE.leading();
    let mut y = 0.0;
    for curve in shown(figure) {
        y = draw_curve(&mut canvas, figure, curve, &scale, y, width);
    }
    draw_ticks(&mut canvas, &scale, foot);
    Some(canvas.finish(width, total))
}

fn shown(figure: &Corrections) -> impl Iterator<Item = &CurveBars> {
    figure.curves.iter().filter(|c| !c.bars.is_empty())
}

fn curve_height(figure: &Corrections, curve: &CurveBars, width: f64) -> f64 {
    let bars = curve.bars.iter().map(|bar| row_height(&row(figure, bar, width)));
    let names = text::wrap(&curve.name, NAME.size, NAME.bold, width).len() as f64;
    ABOVE + names * NAME.leading() + bars.sum::<f64>()
}

fn row_height(row: &Row) -> f64 {
    let lines = row.support.len() as f64 * SUPPORT.leading();
    BETWEEN + lines + row.under.len() as f64 * FACE.leading() + LINE
}

fn row<'a>(figure: &Corrections, bar: &'a Bar, width: f64) -> Row<'a> {
    let words = &figure.words;
    let pattern = if bar.is_turned() { &words.turned } else { &words.percent };
    let shown = |p| fill(pattern, &[("percent", words.calendar.digits(p))]);
    let percent = bar.percent.map_or(String::new(), shown);
    let room = width - VALUE.width(&percent) - 2.0;
    let capital = {
        let mut chars = bar.support.chars();
        chars.next().map_or(String::new(), |c| c.to_uppercase().chain(chars).collect())
    };
    let mut under = vec![said(figure, &words.held, &bar.held)];
    match &bar.free {
        Some(free) => under.push(said(figure, &words.free, free)),
        None => under.push(words.no_free.clone()),
    }
    if bar.postures_differ() {
        under.push(words.differ.clone());
    }
    Row {
        bar,
        support: text::wrap(&capital, SUPPORT.size, SUPPORT.bold, room),
        percent,
        under: text::wrap(&under.join("; "), FACE.size, FACE.bold, width),
    }
}

fn said(figure: &Corrections, pattern: &str, shown: &Shown) -> String {
    let words = &figure.words;
    let posture = shown.posture.clone().unwrap_or_else(|| words.no_posture.clone());
    fill(pattern, &[("date", words.calendar.date(shown.date)), ("posture", posture)])
}

/// Draws a curve from a height on; gives the height where it ends.
fn draw_curve(
    canvas: &mut Canvas,
    figure: &Corrections,
    curve: &CurveBars,
    scale: &Scale,
    top: f64,
    width: f64,
) -> f64 {
    let mut y = top + ABOVE;
    for line in text::wrap(&curve.name, NAME.size, NAME.bold, width) {
        canvas.text((0.0, y + NAME.rise()), &line, NAME, Anchor::Start);
        y += NAME.leading();
    }
    for bar in &curve.bars {
        let row = row(figure, bar, width);
        draw_row(canvas, &row, scale, y + BETWEEN, width);
        y += row_height(&row);
    }
    y
}

fn draw_row(canvas: &mut Canvas, row: &Row, scale: &Scale, top: f64, width: f64) {
    let mut y = top;
    canvas.text((width, y + VALUE.rise()), &row.percent, VALUE, Anchor::End);
    for line in &row.support {
        canvas.text((0.0, y + SUPPORT.rise()), line, SUPPORT, Anchor::Start);
        y += SUPPORT.leading();
    }
    for line in &row.under {
        canvas.text((0.0, y + FACE.rise()), line, FACE, Anchor::Start);
        y += FACE.leading();
    }
    scale.draw_grid(canvas, y, y + LINE);
    draw_bar(canvas, row.bar, scale, y + LINE / 2.0);
}

/// The line between the two marks, the marks and their values: outward, so
/// that neither value lies on the line.
fn draw_bar(canvas: &mut Canvas, bar: &Bar, scale: &Scale, y: f64) {
    let held = (scale.x(bar.held.angle.value()), y);
    let free = bar.free.as_ref().map(|f| (scale.x(f.angle.value()), y));
    if let Some(free) = free {
        canvas.line(vec![free, held], Ink::Ink, 0.9, Dash::Solid);
    }
    let held_leads = free.is_some_and(|free| held.0 > free.0);
    if let (Some(at), Some(shown)) = (free, &bar.free) {
        canvas.circle(at, REACH, Ink::Ink, Ink::Ink, 0.4);
        value(canvas, at, shown, !held_leads);
    }
    canvas.circle(held, REACH, Ink::Paper, Ink::Ink, 0.5);
    value(canvas, held, &bar.held, held_leads);
}

fn value(canvas: &mut Canvas, at: Point, shown: &Shown, to_the_right: bool) {
    let sign = if shown.angle.sign() < 0 { "\u{2212}" } else { "" };
    let label = format!("{sign}{}°", shown.angle.abs().digits());
    let (x, anchor) = match to_the_right {
        true => (at.0 + REACH + NEAR, Anchor::Start),
        false => (at.0 - REACH - NEAR, Anchor::End),
    };
    let at = (x, at.1 + VALUE.rise() / 2.0);
    // No line of the grid runs through a value.
    let ground = text_box(at, &label, VALUE, anchor).grown(0.3);
    let (left, right) = (ground.left, ground.right);
    let ring = vec![
        (left, ground.top),
        (right, ground.top),
        (right, ground.bottom),
        (left, ground.bottom),
    ];
    canvas.area(ring, Ink::Paper, None);
    canvas.text(at, &label, VALUE, anchor);
}

/// Degrees to the right.
struct Scale {
    left: f64,
    right: f64,
    low: f64,
    high: f64,
    step: f64,
}

impl Scale {
    /// The scale that holds every value, with room for the values beside the
    /// outermost marks; nothing without one.
    fn of(figure: &Corrections, width: f64) -> Option<Scale> {
        let bars = || shown(figure).flat_map(|c| &c.bars);
        let values = || {
            bars().flat_map(|b| std::iter::once(&b.held).chain(&b.free).map(|s| s.angle.value()))
        };
        values().next()?;
        let (low, high) = (values().fold(0.0, f64::min), values().fold(10.0, f64::max));
        let step = if high - low > 60.0 { 20.0 } else { 10.0 };
        let side = REACH + NEAR + VALUE.width("\u{2212}100°");
        Some(Scale {
            left: side,
            right: width - side,
            low: (low / 10.0).floor() * 10.0,
            high: (high / 10.0).ceil() * 10.0,
            step,
        })
    }

    fn x(&self, degrees: f64) -> f64 {
        let share = (degrees - self.low) / (self.high - self.low);
        self.left + share * (self.right - self.left)
    }

    fn ticks(&self) -> Vec<f64> {
        let first = (self.low / self.step).ceil() as i64;
        let last = (self.high / self.step).floor() as i64;
        (first..=last).map(|n| n as f64 * self.step).collect()
    }

    fn draw_grid(&self, canvas: &mut Canvas, top: f64, bottom: f64) {
        for tick in self.ticks() {
            let (ink, width) = if tick == 0.0 { (Ink::Grey, 0.35) } else { (Ink::Faint, 0.25) };
            let x = self.x(tick);
            canvas.line(vec![(x, top), (x, bottom)], ink, width, Dash::Solid);
        }
    }
}

fn draw_ticks(canvas: &mut Canvas, scale: &Scale, foot: f64) {
    for tick in scale.ticks() {
        let sign = if tick < 0.0 { "\u{2212}" } else { "" };
        let label = format!("{sign}{}°", tick.abs() as i64);
        let at = (scale.x(tick), foot + FOOT + FACE.rise());
        canvas.text(at, &label, FACE, Anchor::Middle);
    }
}
