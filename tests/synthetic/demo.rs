//! The landmark files of the demo clinic: what each film shows, in one table.
//!
//! The files under `cases/films/` are written from this table alone; the case
//! files name the same levels, sides and, to the degree, the same angles.

use super::Towards::{Back, Front, Left, Right};
use super::lateral::{LateralPicture, Side};
use super::mark::Marks;
use super::wedge::Wedge;
use super::{Bow, Film, Shown, Spine, Towards};

/// One landmark file.
pub struct Demo {
    /// File name under `cases/films/`.
    pub file: &'static str,
    /// The spine.
    pub spine: Spine,
    /// The film.
    pub film: Film,
    /// What is marked beside the corners.
    pub marks: Marks,
    /// Wedged vertebrae, which shape the corners.
    pub wedges: Vec<Wedge>,
}

impl Demo {
    /// A film of these wedged vertebrae.
    pub fn wedged(self, wedges: Vec<Wedge>) -> Demo {
        Demo { wedges, ..self }
    }

    /// The same film with points marked beside the corners.
    pub fn marked(self, marks: Marks) -> Demo {
        Demo { marks, ..self }
    }

    /// The film as drawn; no film of the demo has both wedges and marks.
    pub fn draw(&self) -> super::Picture {
        if self.wedges.is_empty() {
            return super::mark::draw(&self.spine, &self.film, &self.marks);
        }
        super::draw_wedged(&self.spine, &self.film, &self.wedges)
    }
}

/// One landmark file of a lateral film that shows the pelvis too.
pub struct SideDemo {
    /// File name under `cases/films/`.
    pub file: &'static str,
    /// Spine and pelvis.
    pub side: Side,
    /// The film.
    pub film: Film,
}

impl SideDemo {
    /// The film as drawn.
    pub fn draw(&self) -> LateralPicture {
        super::lateral::draw(&self.side, &self.film)
    }
}

/// Every landmark file of a lateral film with the pelvis.
pub fn sides() -> Vec<SideDemo> {
    use Shown::{FacingLeft, FacingRight};
    let worn = Side { size: 0.96, above_t5: 4.0, ..Side::grown() };
    vec![
        // Leaning forward, the lordosis lost and the pelvis turned back.
        SideDemo {
            file: "fw-0125-f2.csv",
            side: Side {
                t5_t12: 44.2,
                lordosis: 27.2,
                sacral_slope: 28.1,
                pelvic_tilt: 25.9,
                sva: 62.1,
                ..worn.clone()
            },
            film: film(FacingRight, 0.2, 0.0, 1252),
        },
        SideDemo {
            file: "fw-0125-f4.csv",
            side: Side {
                t5_t12: 43.1,
                lordosis: 28.8,
                sacral_slope: 29.1,
                pelvic_tilt: 24.9,
                sva: 51.2,
                ..worn
            },
            film: film(FacingRight, 0.2, 0.0, 1254),
        },
        // A young woman, flat between the shoulder blades.
        SideDemo {
            file: "fw-0186-f3.csv",
            side: Side {
                size: 0.98,
                above_t5: 3.0,
                t5_t12: 21.2,
                lordosis: 57.8,
                sacral_slope: 40.1,
                pelvic_tilt: 11.9,
                sva: -7.8,
                ..Side::grown()
            },
            film: film(FacingLeft, 0.175, 0.0, 1863),
        },
    ]
}

fn bow(
    upper: &'static str,
    apex: &'static str,
    lower: &'static str,
    towards: Towards,
    cobb: f64,
) -> Bow {
    Bow { upper, apex, lower, towards, cobb }
}

fn demo(file: &'static str, size: f64, film: Film, bows: Vec<Bow>) -> Demo {
    let spine = Spine { thoracic: 12, lumbar: 5, size, bows };
    Demo { file, spine, film, marks: Marks::default(), wedges: Vec::new() }
}

/// A film of that display, scale and turn; the seed also moves the picture a
/// little, as no two films are centred alike.
fn film(shown: Shown, scale: f64, turn: f64, seed: u64) -> Film {
    let shift = (seed % 7) as f64 * 11.5;
    Film { shown, scale, turn, origin: (640.0 + shift, 150.0 + shift), noise: 0.1, seed }
}

/// Films of the demo clinic that have a picture too, and its size in pixels.
pub const PICTURES: [(&str, (u32, u32)); 3] = [
    ("fw-0087-f1.png", (1000, 2640)),
    ("fw-0087-f2.png", (1000, 2640)),
    ("fw-0087-f6.png", (1000, 2640)),
];

/// The picture of a film of the table, drawn over its landmarks.
pub fn radiograph((file, size): (&str, (u32, u32))) -> super::radiograph::Radiograph {
    let landmarks = file.replace(".png", ".csv");
    let demo = table().into_iter().find(|d| d.file == landmarks);
    let demo = demo.expect("a picture has landmarks");
    super::radiograph::Radiograph::of(&demo.draw(), size)
}

/// Every landmark file of the demo clinic.
pub fn table() -> Vec<Demo> {
    [
        infant(),
        schoolboy(),
        double_curve(),
        overcorrected(),
        near_mature(),
        round_back(),
        adult(),
        seated(),
        half_vertebra(),
        left_thoracic(),
        summer(),
        weaned(),
        grown_up(),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// A left thoracic curve of early childhood; the first films from the front.
fn infant() -> Vec<Demo> {
    use Shown::{FromBehind, FromFront};
    let ribs = |convex, concave| Marks { ribs: vec![("T9", convex, concave)], ..Marks::default() };
    vec![
        demo(
            "fw-0118-f1.csv",
            0.42,
            film(FromFront, 0.1, -1.5, 1181),
            vec![bow("T6", "T9", "T12", Left, 30.2)],
        )
        .marked(ribs(49.0, 73.0)),
        demo(
            "fw-0118-f2.csv",
            0.43,
            film(FromFront, 0.1, 0.8, 1182),
            vec![bow("T6", "T9", "T12", Left, 38.3)],
        )
        .marked(ribs(45.0, 72.0)),
        demo(
            "fw-0118-f5.csv",
            0.52,
            film(FromFront, 0.125, 0.0, 1185),
            vec![bow("T6", "T9", "T12", Left, 20.8)],
        ),
        demo(
            "fw-0118-f6.csv",
            0.52,
            film(FromBehind, 0.125, 0.6, 1186),
            vec![bow("T6", "T9", "T12", Left, 12.2)],
        ),
        demo(
            "fw-0118-f8.csv",
            0.57,
            film(FromBehind, 0.125, -0.4, 1188),
            vec![bow("T6", "T9", "T12", Left, 19.7)],
        ),
    ]
}

/// A left thoracolumbar curve that rises while watched.
fn schoolboy() -> Vec<Demo> {
    use Shown::FromBehind;
    vec![
        demo(
            "fw-0131-f1.csv",
            0.7,
            film(FromBehind, 0.15, 0.5, 1311),
            vec![bow("T10", "T12-L1", "L3", Left, 13.8)],
        ),
        demo(
            "fw-0131-f3.csv",
            0.74,
            film(FromBehind, 0.15, -0.7, 1313),
            vec![bow("T10", "T12-L1", "L3", Left, 22.2)],
        ),
        demo(
            "fw-0131-f4.csv",
            0.74,
            film(FromBehind, 0.15, 1.9, 1314),
            vec![bow("T10", "T12-L1", "L3", Left, 8.1)],
        ),
    ]
}

/// Right thoracic and left lumbar, sharing T11.
fn double_curve() -> Vec<Demo> {
    use Shown::FromBehind;
    vec![
        demo(
            "fw-0096-f1.csv",
            0.84,
            film(FromBehind, 0.175, 0.0, 961),
            vec![bow("T5", "T8", "T11", Right, 28.3), bow("T11", "L2", "L4", Left, 24.7)],
        ),
        demo(
            "fw-0096-f2.csv",
            0.84,
            film(FromBehind, 0.175, -1.1, 962),
            vec![bow("T5", "T8", "T11", Right, 14.2), bow("T11", "L2", "L4", Left, 12.9)],
        ),
        demo(
            "fw-0096-f4.csv",
            0.89,
            film(FromBehind, 0.175, 0.4, 964),
            vec![bow("T5", "T8", "T11", Right, 31.8), bow("T11", "L2", "L4", Left, 27.2)],
        ),
        demo(
            "fw-0096-f5.csv",
            0.9,
            film(FromBehind, 0.175, 0.9, 965),
            vec![bow("T5", "T8", "T11", Right, 27.7), bow("T11", "L2", "L4", Left, 23.3)],
        ),
        demo(
            "fw-0096-f6.csv",
            0.9,
            film(FromBehind, 0.175, -0.3, 966),
            vec![bow("T5", "T8", "T11", Right, 35.7), bow("T11", "L2", "L4", Left, 29.3)],
        )
        .marked(Marks {
            clavicles: Some(-1.7),
            pelvis: Some(0.9),
            heads: Some(4.0),
            trunk: Some(("T8", -12.0)),
            rotation: vec![("T8", Right, 18.0), ("L2", Left, 16.0)],
            ..Marks::default()
        }),
    ]
}

/// A left thoracolumbar curve that the brace turns over to the right.
fn overcorrected() -> Vec<Demo> {
    use Shown::FromBehind;
    vec![
        demo(
            "fw-0103-f1.csv",
            0.87,
            film(FromBehind, 0.175, 0.3, 1031),
            vec![bow("T11", "L1", "L3", Left, 27.2)],
        ),
        demo(
            "fw-0103-f2.csv",
            0.87,
            film(FromBehind, 0.175, -0.6, 1032),
            vec![bow("T11", "L1", "L3", Right, 4.2)],
        ),
        demo(
            "fw-0103-f5.csv",
            0.92,
            film(FromBehind, 0.175, 0.0, 1035),
            vec![bow("T11", "L1", "L3", Left, 19.2)],
        ),
    ]
}

/// A large right thoracic curve over a left lumbar one, sharing T12.
fn near_mature() -> Vec<Demo> {
    use Shown::FromBehind;
    // Films in a long cassette: the column stands in the middle of it.
    let narrow = |shown, scale, turn, seed| {
        let film = film(shown, scale, turn, seed);
        Film { origin: (film.origin.0 - 300.0, film.origin.1), ..film }
    };
    vec![
        demo(
            "fw-0087-f1.csv",
            0.93,
            narrow(FromBehind, 0.2, 0.2, 871),
            vec![bow("T6", "T9", "T12", Right, 34.2), bow("T12", "L2-L3", "L4", Left, 22.3)],
        ),
        demo(
            "fw-0087-f2.csv",
            0.93,
            narrow(FromBehind, 0.2, -0.9, 872),
            vec![bow("T6", "T9", "T12", Right, 22.8), bow("T12", "L2-L3", "L4", Left, 13.2)],
        ),
        demo(
            "fw-0087-f6.csv",
            0.96,
            narrow(FromBehind, 0.2, 0.0, 876),
            vec![bow("T6", "T9", "T12", Right, 46.8), bow("T12", "L2-L3", "L4", Left, 29.2)],
        ),
    ]
}

/// A round back, from the side: the thoracic kyphosis and the lordosis below.
fn round_back() -> Vec<Demo> {
    use Shown::{FacingLeft, FacingRight};
    let wedges = |above, apex, below| {
        let wedge = |level, angle| Wedge { level, angle };
        vec![wedge("T7", above), wedge("T8", apex), wedge("T9", below)]
    };
    vec![
        demo(
            "fw-0109-f1.csv",
            0.93,
            film(FacingRight, 0.2, 0.0, 1091),
            vec![bow("T3", "T8", "T12", Back, 66.2), bow("L1", "L4", "S1", Front, 61.8)],
        )
        .wedged(wedges(7.4, 9.1, 6.6)),
        demo(
            "fw-0109-f3.csv",
            0.93,
            film(FacingRight, 0.2, 0.7, 1093),
            vec![bow("T3", "T8", "T12", Back, 46.8), bow("L1", "L4", "S1", Front, 50.2)],
        )
        .wedged(wedges(7.2, 9.0, 6.5)),
        demo(
            "fw-0109-f5.csv",
            0.98,
            film(FacingLeft, 0.2, -0.5, 1095),
            vec![bow("T3", "T8", "T12", Back, 53.8), bow("L1", "L4", "S1", Front, 55.3)],
        )
        .wedged(wedges(6.2, 7.9, 5.6)),
    ]
}

/// A worn lumbar curve of later life.
fn adult() -> Vec<Demo> {
    vec![
        demo(
            "fw-0125-f1.csv",
            0.96,
            film(Shown::FromBehind, 0.2, 0.0, 1251),
            vec![bow("L1", "L2-L3", "L4", Right, 23.8)],
        ),
        demo(
            "fw-0125-f3.csv",
            0.96,
            film(Shown::FromBehind, 0.2, 0.0, 1253),
            vec![bow("L1", "L2-L3", "L4", Right, 25.8)],
        )
        .marked(Marks { pelvis: Some(-1.0), ..Marks::default() }),
    ]
}

/// A long left curve over an oblique pelvis, seated.
fn seated() -> Vec<Demo> {
    use Shown::FromBehind;
    let pelvis = |crests, heads, clavicles, trunk| Marks {
        pelvis: Some(crests),
        heads: Some(heads),
        clavicles: Some(clavicles),
        trunk: Some(("T12", trunk)),
        ..Marks::default()
    };
    vec![
        demo(
            "fw-0147-f1.csv",
            0.72,
            film(FromBehind, 0.175, 0.0, 1471),
            vec![bow("T8", "L1", "L4", Left, 30.8)],
        )
        .marked(pelvis(-8.2, -9.0, 3.1, 14.0)),
        demo(
            "fw-0147-f5.csv",
            0.8,
            film(FromBehind, 0.175, 0.0, 1475),
            vec![bow("T8", "L1", "L4", Left, 46.3)],
        )
        .marked(pelvis(-13.8, -16.0, 5.2, 24.0)),
    ]
}

/// A half vertebra at T11 with the curve over it.
fn half_vertebra() -> Vec<Demo> {
    use Shown::FromBehind;
    let wedge = |angle| vec![Wedge { level: "T11", angle }];
    vec![
        demo(
            "fw-0156-f1.csv",
            0.55,
            film(FromBehind, 0.125, 0.2, 1561),
            vec![bow("T8", "T11", "L2", Left, 33.2)],
        )
        .wedged(wedge(20.8)),
        demo(
            "fw-0156-f4.csv",
            0.68,
            film(FromBehind, 0.15, -0.3, 1564),
            vec![bow("T8", "T11", "L2", Left, 46.3)],
        )
        .wedged(wedge(27.2)),
    ]
}

/// A left thoracic curve in an adolescent, read from its marks.
fn left_thoracic() -> Vec<Demo> {
    vec![
        demo(
            "fw-0163-f1.csv",
            0.9,
            film(Shown::FromBehind, 0.175, 0.0, 1631),
            vec![bow("T5", "T8", "T12", Left, 27.8)],
        )
        .marked(Marks {
            clavicles: Some(2.2),
            pelvis: Some(-0.4),
            heads: Some(-1.0),
            trunk: Some(("T8", 11.0)),
            rotation: vec![("T8", Left, 17.0)],
            ribs: vec![("T8", 60.0, 69.0)],
        }),
    ]
}

/// A left thoracolumbar curve whose brace was too warm for a summer.
fn summer() -> Vec<Demo> {
    use Shown::FromBehind;
    vec![
        demo(
            "fw-0171-f1.csv",
            0.86,
            film(FromBehind, 0.175, 0.4, 1711),
            vec![bow("T10", "T12-L1", "L3", Left, 28.8)],
        ),
        demo(
            "fw-0171-f2.csv",
            0.86,
            film(FromBehind, 0.175, -0.5, 1712),
            vec![bow("T10", "T12-L1", "L3", Left, 15.3)],
        ),
        demo(
            "fw-0171-f3.csv",
            0.88,
            film(FromBehind, 0.175, 0.1, 1713),
            vec![bow("T10", "T12-L1", "L3", Left, 32.7)],
        ),
    ]
}

/// A right thoracic and left lumbar curve before two braces, before they were
/// weaned, and a year after.
fn weaned() -> Vec<Demo> {
    let film = |turn, seed| film(Shown::FromBehind, 0.175, turn, seed);
    let bows = |thoracic, lumbar| {
        vec![bow("T5", "T8", "T11", Right, thoracic), bow("T11", "L2", "L4", Left, lumbar)]
    };
    vec![
        demo("fw-0182-f2.csv", 0.85, film(0.3, 1822), bows(31.8, 22.2)),
        demo("fw-0182-f8.csv", 0.91, film(0.1, 1828), bows(31.2, 21.8)),
        demo("fw-0182-f10.csv", 0.91, film(0.2, 1829), bows(33.9, 24.1)),
    ]
}

/// A right thoracic over a left lumbar curve, followed into adult life.
fn grown_up() -> Vec<Demo> {
    vec![
        demo(
            "fw-0186-f2.csv",
            0.98,
            film(Shown::FromBehind, 0.175, 0.2, 1862),
            vec![bow("T5", "T8", "T11", Right, 42.8), bow("T11", "L2", "L4", Left, 29.7)],
        )
        .marked(Marks {
            clavicles: Some(-1.2),
            pelvis: Some(0.6),
            heads: Some(2.0),
            trunk: Some(("T8", -10.0)),
            rotation: vec![("T8", Right, 17.0), ("L2", Left, 13.0)],
            ..Marks::default()
        }),
    ]
}
