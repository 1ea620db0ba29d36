//! The spine from its landmarks.

use endplate::figure::spine::*;
use endplate::spine::{Apex, Column, Level};

pub fn level(text: &str) -> Level {
    Level::parse(text).expect("a level")
}

/// A column stacked from the sacrum upward. Each knot is a level and the tilt
/// of its body in degrees, positive where the column leans towards positive
/// `across` going up; tilts between knots follow a straight line.
pub fn stack(knots: &[(&str, f64)]) -> Vec<(Level, Corners)> {
    let levels: Vec<Level> = Column::default().levels()[7..].to_vec();
    let place = |l: Level| Column::default().index(l).unwrap() as f64;
    let knots: Vec<(f64, f64)> = knots.iter().map(|(l, t)| (place(level(l)), *t)).collect();
    let tilt = |at: f64| match knots.iter().position(|k| k.0 >= at) {
        None => knots.last().unwrap().1,
        Some(0) => knots[0].1,
        Some(i) => {
            let (a, b) = (knots[i - 1], knots[i]);
            a.1 + (b.1 - a.1) * (at - a.0) / (b.0 - a.0)
        }
    };
    let (mut x, mut z) = (0.0, 0.0);
    let mut out = Vec::new();
    for l in levels.into_iter().rev() {
        let at = place(l);
        let (s, c) = tilt(at).to_radians().sin_cos();
        let size = (at - 7.0) / 17.0;
        let (h, half, gap) = (16.0 + 11.0 * size, 13.0 + 10.0 * size, 3.0 + 5.0 * size);
        let corner = |u: f64, v: f64| (x + u * c + v * s, z - u * s + v * c);
        // Upper corners first, the patient's left (or front) leading.
        let lead = |v: f64| (corner(half, v), corner(-half, v));
        let ((ul, ur), (ll, lr)) = (lead(h), lead(0.0));
        out.push((l, [ul, ur, lr, ll]));
        (x, z) = (x + (h + gap) * s, z + (h + gap) * c);
    }
    out.reverse();
    out
}

pub fn panel(
    knots: &[(&str, f64)],
    curves: &[(&str, &str, &str, &str, Convexity)],
    caption: &str,
) -> SpinePanel {
    let curve = |c: &(&str, &str, &str, &str, Convexity)| PanelCurve {
        upper: level(c.0),
        apex: Column::default().parse_apex(c.1).expect("an apex"),
        lower: level(c.2),
        angle: c.3.into(),
        convex: c.4,
    };
    SpinePanel {
        vertebrae: stack(knots),
        in_millimetres: true,
        curves: curves.iter().map(curve).collect(),
        captions: caption.split('|').map(str::to_owned).collect(),
        in_support: false,
    }
}

use Convexity::{Back, Front, Left, Right};

fn double(th: f64, lu: f64, angles: [&str; 2], caption: &str) -> SpinePanel {
    // Leaning to the patient's right is negative across.
    let knots = [
        ("T1", th * 0.3),
        ("T5", th * 0.5),
        ("T11", -th * 0.5),
        ("L4", lu - th * 0.5),
        ("S1", 0.0),
    ];
    let curves = [("T5", "T8", "T11", angles[0], Right), ("T11", "L2", "L4", angles[1], Left)];
    panel(&knots, &curves, caption)
}

pub fn double_panels() -> SpinePanels {
    let mut brace = double(14.0, 9.0, ["14°", "9°"], "in brace, standing|15 April 2026");
    brace.in_support = true;
    SpinePanels {
        view: PanelView::Frontal,
        panels: vec![
            double(31.0, 22.0, ["31°", "22°"], "out of brace, standing|4 March 2026"),
            double(27.0, 20.0, ["27°", "20°"], "out of brace, standing|20 October 2026"),
            brace,
        ],
        words: SpineWords::default(),
    }
}

pub fn single_panels() -> SpinePanels {
    let free = panel(
        &[("T1", -5.0), ("T9", -24.0), ("L3", 24.0), ("S1", 0.0)],
        &[("T9", "T12-L1", "L3", "48°", Left)],
        "out of brace, standing|9 June 2025",
    );
    let mut brace = panel(
        &[("T1", 0.0), ("T9", 2.0), ("L3", -2.0), ("S1", 0.0)],
        &[("T9", "T12-L1", "L3", "\u{2212}4°", Right)],
        "in brace, lying|12 August 2025",
    );
    brace.in_support = true;
    SpinePanels {
        view: PanelView::Frontal,
        panels: vec![free, brace],
        words: SpineWords::default(),
    }
}

pub fn lateral_panels() -> SpinePanels {
    // Across is towards the back; a kyphosis leans forward above.
    let film = |k: f64, angle: &str, caption: &str| SpinePanel {
        vertebrae: stack(&[("T1", -k * 0.5), ("T3", -k * 0.55), ("T12", k * 0.45), ("S1", -30.0)])
            .into_iter()
            .map(|(l, [a, b, c, d])| (l, [b, a, d, c]))
            .collect(),
        ..panel(
            &[("T1", 0.0)],
            &[("T3", "T8", "T12", angle, Back), ("T12", "L3", "S1", "55°", Front)],
            caption,
        )
    };
    SpinePanels {
        view: PanelView::Lateral,
        panels: vec![
            film(72.0, "72°", "out of brace, standing|4 March 2025"),
            film(61.0, "61°", "out of brace, standing|2 March 2026"),
        ],
        words: SpineWords::default(),
    }
}

#[test]
fn an_apical_disc_is_one_apex() {
    let apex = single_panels().panels[0].curves[0].apex;
    assert_eq!(apex, Apex::Disc(level("T12"), level("L1")));
}
