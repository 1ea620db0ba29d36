//! The words by which sides and levels are told, in English and Spanish.
//!
//! All in lower case and without hyphens, as tokens are. A list holds whole
//! words, never beginnings of words.

use crate::spine::Side;

/// The side that a word names.
pub fn side(word: &str) -> Option<Side> {
    match word {
        "left" | "izquierdo" | "izquierda" | "izquierdos" | "izquierdas" => Some(Side::Left),
        "right" | "derecho" | "derecha" | "derechos" | "derechas" => Some(Side::Right),
        _ => None,
    }
}

/// Part of the column that a curve is named by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// At the top of the chest.
    UpperThoracic,
    /// Anywhere in the chest.
    Thoracic,
    /// About the last thoracic vertebra.
    Thoracolumbar,
    /// Below that.
    Lumbar,
}

/// The part that one word names.
pub fn part(word: &str) -> Option<Part> {
    match word {
        "thoracic" | "torácica" | "torácico" | "toracica" | "dorsal" => Some(Part::Thoracic),
        "thoracolumbar" | "toracolumbar" | "dorsolumbar" => Some(Part::Thoracolumbar),
        "lumbar" | "lumbosacral" | "lumbosacra" => Some(Part::Lumbar),
        _ => None,
    }
}

/// Before `thoracic` these make it the upper one; `thoraco` makes `lumbar` the
/// junction. After it in Spanish.
pub const UPPER: &[&str] = &["upper", "proximal", "high", "alta", "superior"];
/// Before `thoracic` these change nothing.
pub const MAIN: &[&str] = &["main", "mid", "middle", "major", "lower", "large", "small"];
/// The first half of a word that was parted at its hyphen.
pub const JUNCTION: &[&str] = &["thoraco", "toraco", "dorso"];

/// A curve.
pub const CURVES: &[&str] = &[
    "curve",
    "curves",
    "curvature",
    "scoliosis",
    "convexity",
    "curva",
    "curvas",
    "curvatura",
    "escoliosis",
    "convexidad",
];
/// A pad that presses on a curve from its convex side.
pub const PADS: &[&str] = &["pad", "pads", "almohadilla", "almohadillas"];
/// Pads that stand against another one, or hold nothing: a sentence that
/// speaks of them is left alone where pads are concerned.
pub const COUNTER: &[&str] = &[
    "counter",
    "counterpad",
    "relief",
    "reliefs",
    "window",
    "void",
    "opening",
    "opposite",
    "contra",
    "contraapoyo",
    "ventana",
    "alivio",
    "opuesta",
    "opuesto",
];
/// Convex, as an adjective.
pub const CONVEX: &[&str] = &["convex", "convexa", "convexo", "convexas"];
/// After a side: `left sided`.
pub const SIDED: &[&str] = &["sided", "convex", "facing"];
/// What the ribs or the loin do on the convex side.
pub const HUMPS: &[&str] = &["hump", "prominence", "bulge", "giba", "gibosidad", "prominencia"];
/// Whose hump it is.
pub const RIBS: &[&str] = &["rib", "ribs", "costal", "thoracic", "torácica", "dorsal"];
/// Whose hump it is, lower down.
pub const LOINS: &[&str] = &["lumbar", "loin"];
/// A shoulder.
pub const SHOULDERS: &[&str] = &["shoulder", "hombro"];
/// The pelvis.
pub const PELVES: &[&str] = &["pelvis", "crest", "hemipelvis", "cresta"];
/// Up.
pub const HIGHER: &[&str] =
    &["higher", "high", "up", "raised", "elevated", "alto", "alta", "elevado", "elevada"];
/// Down.
pub const LOWER: &[&str] = &["lower", "low", "down", "bajo", "baja", "descendido", "descendida"];
/// Between a shoulder and where it stands.
pub const STANDS: &[&str] = &[
    "is", "stands", "sits", "lies", "a", "little", "slightly", "still", "also", "está", "es",
    "queda", "más", "un", "poco", "algo", "mm", "cm", "bit", "the",
];
/// What moved with the trunk.
pub const SHIFTS: &[&str] = &["shift", "shifted", "shifts", "leans", "desplazado", "desviado"];
/// The trunk.
pub const TRUNKS: &[&str] = &["trunk", "tronco"];
/// To, on, towards.
pub const TO: &[&str] = &["to", "on", "towards", "toward", "a", "hacia", "en"];
/// The.
pub const THE: &[&str] = &["the", "its", "her", "his", "their", "la", "el", "su", "lado", "side"];

/// The apex.
pub const APICES: &[&str] = &["apex", "ápex", "ápice", "apice"];
/// Apical, before `vertebra`.
pub const APICAL: &[&str] = &["apical"];
/// A vertebra.
pub const VERTEBRAE: &[&str] = &["vertebra", "vertebrae", "vértebra", "vértebras"];
/// Between `apex` and its level.
pub const AT: &[&str] =
    &["is", "at", "of", "lies", "on", "the", "disc", "disco", "en", "es", "está", "de", "el"];
/// Between the ends of a span.
pub const UP_TO: &[&str] = &["to", "a", "hasta"];
/// Before a span.
pub const FROM: &[&str] = &["from", "between", "de", "desde", "entre", "(", ",", "is", "runs"];

/// Words after which a sentence tells somebody else's view, another person,
/// something past, possible or wrong: nothing is concluded from it.
pub const NOT_NOW: &[&str] = &[
    // Somebody else's view.
    "report",
    "reports",
    "reported",
    "referral",
    "referred",
    "letter",
    "said",
    "says",
    "say",
    "told",
    "described",
    "thought",
    "thinks",
    "called",
    "suspected",
    "seemed",
    "seems",
    "looked",
    "looks",
    "believed",
    "supposed",
    "according",
    "informe",
    "carta",
    "dijo",
    "dice",
    "dijeron",
    "describió",
    "descrita",
    "pensaba",
    "según",
    "parecía",
    "parece",
    // Wrong, and put right.
    "wrongly",
    "mistaken",
    "mistakenly",
    "wrong",
    "instead",
    "swapped",
    "mirrored",
    "typed",
    "erróneamente",
    "corregido",
    "corregida",
    // Another person.
    "mother",
    "mother's",
    "father",
    "father's",
    "sister",
    "sister's",
    "brother",
    "brother's",
    "aunt",
    "uncle",
    "cousin",
    "grandmother",
    "grandfather",
    "twin",
    "madre",
    "padre",
    "hermana",
    "hermano",
    "tía",
    "tío",
    "prima",
    "primo",
    "abuela",
    "abuelo",
    // Past.
    "formerly",
    "previously",
    "originally",
    "once",
    "infantile",
    "baby",
    "infancy",
    "resolved",
    "disappeared",
    "vanished",
    "gone",
    "used",
    "antes",
    "desapareció",
    "lactante",
    // Possible.
    "if",
    "would",
    "could",
    "might",
    "may",
    "should",
    "whether",
    "unless",
    "si",
    "podría",
    "sería",
    "cuando",
    "when",
    // Turned over.
    "overcorrected",
    "overcorrection",
    "overcorrects",
    "hipercorregida",
    "hipercorrección",
];
/// Verbs that put what is told with them into the past.
pub const PAST: &[&str] = &["was", "were", "had", "been", "era", "eran", "fue", "tenía", "estaba"];
/// Words that deny what follows.
pub const DENIES: &[&str] = &[
    "no", "not", "without", "never", "neither", "nor", "isn't", "than", "ni", "sin", "nunca",
    "tampoco",
];
/// What may stand between such a word and what it denies.
pub const DENIED: &[&str] = &[
    "a", "an", "the", "any", "of", "evidence", "sign", "signs", "real", "new", "clear", "un",
    "una", "la", "el", "signos", "de", "ninguna", "hay", "be", "is",
];
/// Words of a sentence whose levels are not those of a curve of the frontal
/// plane.
pub const OTHER_LEVELS: &[&str] = &[
    "kyphosis",
    "kyphotic",
    "lordosis",
    "lordotic",
    "fusion",
    "fused",
    "screw",
    "screws",
    "wedge",
    "wedged",
    "wedging",
    "block",
    "hemivertebra",
    "mri",
    "cord",
    "syrinx",
    "conus",
    "disc",
    "pain",
    "surgery",
    "operation",
    "sagittal",
    "lateral",
    "cifosis",
    "fusión",
    "fusionado",
    "dolor",
    "médula",
    "siringe",
    "cuña",
    "hemivértebra",
    "operación",
    "cirugía",
];
/// After a side: a picture or a limb, not the side of a curve.
pub const THINGS: &[&str] = &[
    "film",
    "films",
    "image",
    "picture",
    "radiograph",
    "figure",
    "panel",
    "half",
    "hand",
    "leg",
    "arm",
    "radiografía",
    "imagen",
    "mano",
    "pierna",
];
/// Words of a sentence that tell where a curve is pushed, not where it lies.
pub const PUSHES: &[&str] = &[
    "push", "pushes", "pushed", "pushing", "press", "presses", "pressed", "pull", "pulls",
    "pulled", "move", "moves", "moved", "shift", "shifts", "shifted", "drive", "drives", "bring",
    "brings", "force", "forces", "turn", "turns", "turned", "empuja", "presiona", "mueve", "lleva",
    "desplaza",
];
/// Words of a sentence whose shoulders and trunk are not those of a person
/// who stands at ease.
pub const NOT_AT_EASE: &[&str] = &[
    "bend",
    "bends",
    "bending",
    "walk",
    "walks",
    "walking",
    "run",
    "running",
    "sit",
    "sits",
    "sitting",
    "lying",
    "brace",
    "cast",
    "plays",
    "writing",
    "carries",
    "inclinación",
    "sentada",
    "sentado",
    "caminar",
    "corsé",
    "yeso",
];
/// Words of a sentence whose side is where something hurts.
pub const HURTS: &[&str] = &[
    "pain", "pains", "ache", "aches", "hurts", "tender", "sore", "stiff", "muscle", "dolor",
    "duele", "molestia", "músculo",
];
/// Words that leave an apex open.
pub const ABOUT: &[&str] = &["about", "near", "around", "approximately", "alrededor", "cerca"];

/// Whether a list holds a word.
pub fn among(list: &[&str], word: &str) -> bool {
    list.contains(&word)
}
