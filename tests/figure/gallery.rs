//! Pictures of figures to look at: `cargo test --release -- --ignored gallery`
//! writes them to `out/figures/`.

use endplate::figure::course::{self, Course, PointKind, usual_size};
use endplate::figure::spine::{self, SpinePanels};
use endplate::letter::drawing::Drawing;

use super::course::*;
use super::spine::*;
use crate::support::svg::svg;

#[allow(clippy::disallowed_methods, reason = "a test writes its pictures itself")]
/// Writes the picture to the folder named in `ENDPLATE_KEEP`, to look at.
fn save(name: &str, drawing: &Drawing) {
    let picture = svg(drawing);
    assert!(!drawing.shapes.is_empty(), "{name} draws nothing");
    if let Some(folder) = std::env::var_os("ENDPLATE_KEEP") {
        std::fs::write(std::path::Path::new(&folder).join(format!("{name}.svg")), picture).unwrap();
    }
}

fn save_course(name: &str, course: &Course) {
    println!("{name}: {}\n", course::alt(course));
    save(name, &course::draw(course, usual_size(course)).unwrap());
}

fn save_spine(name: &str, figure: &SpinePanels) {
    println!("{name}: {}\n", spine::alt(figure));
    save(name, &spine::draw(figure, spine::USUAL_SIZE).unwrap());
}

fn overcorrected() -> Course {
    let points = vec![
        free("2025-11-20", 26),
        point("2026-01-12", -4, PointKind::InBrace),
        point("2026-03-16", 21, PointKind::NotComparable("lying".into())),
        free("2026-06-18", 18),
    ];
    Course {
        episodes: vec![
            brace("2026-01-05", "2026-03-15", "brace, 20 h/day"),
            brace("2026-03-15", "", "night brace, 9 h/day"),
        ],
        maturity: vec![mark("2025-11-20", "Risser 3"), mark("2026-06-18", "Risser 4")],
        ..course(vec![("Left thoracolumbar", points)], "2026-07-01")
    }
}

/// Two curves so alike that their bands lie over each other.
fn close() -> Course {
    let mut course = double();
    for (point, value) in course.series[1].points.iter_mut().zip([18, 24, 27, 30, 28, 13]) {
        *point = self::point(&point.date.to_string(), value, point.kind.clone());
    }
    course
}

fn long() -> Course {
    let mut points: Vec<_> = (0..20)
        .map(|i| {
            let wave = [38, 41, 36, 33, 30, 34, 29, 27, 31, 26][i % 10] - (i / 10) as i64 * 6;
            free(&format!("{}-{:02}-11", 2015 + i / 2, 3 + 6 * (i % 2)), wave)
        })
        .collect();
    points.push(point("2015-04-20", 17, PointKind::InCast));
    points.push(point("2015-07-20", 15, PointKind::InCast));
    points.push(point("2015-12-20", 12, PointKind::InCast));
    points.push(point("2016-06-20", 10, PointKind::InCast));
    points.push(point("2018-06-20", 8, PointKind::InBrace));
    let cast = |from, to| endplate::figure::course::Episode {
        kind: endplate::figure::course::EpisodeKind::Cast,
        ..brace(from, to, "casts")
    };
    Course {
        episodes: vec![
            cast("2015-04-15", "2015-07-15"),
            cast("2015-07-18", "2015-10-15"),
            cast("2015-12-18", "2016-03-15"),
            cast("2016-03-18", "2016-09-15"),
            brace("2016-10-01", "2019-02-01", "brace, 23 h/day"),
            brace("2019-02-01", "2021-08-01", "night brace"),
        ],
        maturity: (0..10).map(|i| mark(&format!("{}-03-11", 2015 + i), "Risser 0")).collect(),
        ..course(vec![("Left thoracic", points)], "2024-12-01")
    }
}

#[test]
fn every_example_has_a_drawing() {
    save_course("held", &held());
    save_course("double", &double());
    save_course("close", &close());
    save_course("overcorrected", &overcorrected());
    save_course("long", &long());
    let one = course(vec![("Left thoracic", vec![free("2026-05-04", 7)])], "2026-05-11");
    let one = Course { maturity: vec![mark("2026-05-04", "")], ..one };
    save_course("one", &one);
    save_spine("spine-double", &double_panels());
    save_spine("spine-single", &single_panels());
    save_spine("spine-lateral", &lateral_panels());
    let beside = endplate::figure::Size { width: 78.0, height: 62.0 };
    save("beside-spine", &spine::draw(&double_panels(), beside).unwrap());
    save("beside-course", &course::draw(&held(), beside).unwrap());
    save("beside-double", &course::draw(&double(), beside).unwrap());
    let first = SpinePanels { panels: double_panels().panels[1..].to_vec(), ..double_panels() };
    save("beside-two", &spine::draw(&first, beside).unwrap());
}
