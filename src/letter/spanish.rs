//! Spanish: the table of its words, for letters to families and schools.
//!
//! Written to be understood on both sides of the Atlantic: *corsé*, *yeso*,
//! *columna*, *radiografía*. Letters to a family say *ustedes*, since several
//! people read them and one is not offended; a child or an adolescent who gets
//! a letter of their own is told *tú*, an adult patient *usted*. Who is meant is
//! decided in `templates/phrases/es-plain.md.j2`. Nobody's gender is guessed:
//! where a word would need it, another way is found, or the patient's pronouns
//! decide.
//!
//! Months, decimal signs, `y` and `e`, and which plural a number wants come
//! from the locale data, not from here.

use super::language::{AgeWords, FilmWords, FrameTable, Gender, Language, UnitWords};
use super::locale::{Dates, Forms};
use crate::case::{DateStyle, LetterKind, View};
use crate::quantity::Unit;

macro_rules! units {
    ($($unit:ident $gender:ident $short:literal $one:literal $other:literal $many:literal;)*) => {
        &[$(UnitWords {
            unit: Unit::$unit,
            short: $short,
            plain: Forms { one: $one, many: Some($many), other: $other },
            gender: Gender::$gender,
        }),*]
    };
}

/// After a whole million a noun wants `de`.
const UNITS: &[UnitWords] = units! {
    Degree Masculine "°" " grado" " grados" " de grados";
    DegreePerYear Masculine "°/año" " grado al año" " grados al año" " de grados al año";
    Millimetre Masculine " mm" " milímetro" " milímetros" " de milímetros";
    Centimetre Masculine " cm" " centímetro" " centímetros" " de centímetros";
    CentimetrePerYear Masculine " cm/año" " centímetro al año" " centímetros al año" " de centímetros al año";
    Kilogram Masculine " kg" " kilogramo" " kilogramos" " de kilogramos";
    Hour Feminine " h" " hora" " horas" " de horas";
    HourPerDay Feminine " h/día" " hora al día" " horas al día" " de horas al día";
    MinutePerDay Masculine " min/día" " minuto al día" " minutos al día" " de minutos al día";
    Minute Masculine " min" " minuto" " minutos" " de minutos";
    Percent Masculine " %" " por ciento" " por ciento" " por ciento";
    Millisievert Masculine " mSv" " milisievert" " milisieverts" " de milisieverts";
    Celsius Masculine " °C" " grado Celsius" " grados Celsius" " de grados Celsius";
    MillimetrePerPixel Masculine " mm/px" " milímetro por píxel" " milímetros por píxel" " de milímetros por píxel";
    Year Masculine " años" " año" " años" " de años";
    Month Masculine " meses" " mes" " meses" " de meses";
    Week Feminine " semanas" " semana" " semanas" " de semanas";
    Day Masculine " días" " día" " días" " de días";
    OutOfTen Masculine "/10" " de 10" " de 10" " de 10";
    One Masculine "" "" "" "";
};

const KINDS: &[(LetterKind, &str)] = &[
    (LetterKind::Progress, "Carta de seguimiento"),
    (LetterKind::SurgicalOpinion, "Petición de opinión quirúrgica"),
    (LetterKind::NeurologicalOpinion, "Petición de opinión neurológica"),
    (LetterKind::Prescription, "Prescripción de corsé"),
    (LetterKind::Check, "Control en el corsé"),
    (LetterKind::Justification, "Carta de justificación"),
    (LetterKind::Appeal, "Recurso"),
    (LetterKind::School, "Nota para la escuela"),
    (LetterKind::Weaning, "Carta sobre la retirada del corsé"),
    (LetterKind::Discharge, "Carta de alta"),
    (LetterKind::Summary, "Resumen del caso"),
    (LetterKind::Gap, "Petición de información que falta"),
];

const FILMS: FilmWords = FilmWords {
    views: &[
        (View::Frontal, ["frontal", "frontales"]),
        (View::Lateral, ["lateral", "laterales"]),
        (View::Bending, ["en inclinación lateral"; 2]),
        (View::Hand, ["de la mano"; 2]),
    ],
    view_after: true,
};

const FRAME: FrameTable = FrameTable {
    page: "página",
    of: "de",
    letter: "carta",
    born: "nacimiento:",
    record: "historia n.º",
    telephone: "teléfono",
    direct: "línea directa:",
    licence: "licencia n.º",
    provider: "proveedor n.º",
    responsible: "Responsable médico:",
    copies: "Copias:",
    enclosures: "Se adjunta:",
    dear: "",
    closing: "Con un cordial saludo,",
    sheet_closing: "Cotejado con la historia clínica por",
    draft: "borrador, sin emitir",
    version: "versión",
    register: "registro",
    register_begins: "comienzo del registro",
    worklist: "Cartas que hay que volver a mirar",
    internal: "Solo para la clínica; esta lista no deja rastro en el registro.",
    seen: "Visto por, el día:",
    caution: "Esta carta recoge mediciones y el juicio de quien la firma. No sustituye la \
              exploración por un profesional autorizado; las normas locales van primero.",
    radiograph: "radiografía",
    radiographs: "radiografías",
    x_ray: "radiografía",
    x_rays: "radiografías",
};

/// Words of closed sets that letters to families and schools may print. Those
/// that describe a curve agree with *curva*, those of a film with *columna*.
const WORDS: &[(&str, &str)] = &[
    // Support and treatment.
    ("brace", "corsé"),
    ("cast", "yeso"),
    ("exercise", "ejercicios"),
    ("shoe lift", "alza en el zapato"),
    ("none", "ninguno"),
    ("night", "por la noche"),
    ("part time", "parte del día"),
    ("full time", "día y noche"),
    // Posture and view.
    ("standing", "de pie"),
    ("sitting", "en posición sentada"),
    ("supine", "boca arriba"),
    ("prone", "boca abajo"),
    ("traction", "con tracción"),
    ("bolster", "sobre un rodillo"),
    ("frontal", "de frente"),
    ("lateral", "de lado"),
    ("bending", "en inclinación lateral"),
    ("hand", "de la mano"),
    // Curves.
    ("cervical", "cervical"),
    ("cervicothoracic", "cervicotorácica"),
    ("upper thoracic", "torácica alta"),
    ("thoracic", "torácica"),
    ("thoracolumbar", "toracolumbar"),
    ("lumbar", "lumbar"),
    ("lumbosacral", "lumbosacra"),
    ("kyphosis", "cifosis"),
    ("lordosis", "lordosis"),
    ("thoracic kyphosis", "cifosis torácica"),
    ("thoracolumbar kyphosis", "cifosis toracolumbar"),
    ("lumbar kyphosis", "cifosis lumbar"),
    ("lumbar lordosis", "lordosis lumbar"),
    ("sagittal", "de lado"),
    // Diagnoses.
    ("scoliosis, not yet classified", "escoliosis, aún sin clasificar"),
    ("spinal asymmetry", "asimetría de la columna"),
    ("Scheuermann kyphosis", "cifosis de Scheuermann"),
    ("postural hyperkyphosis", "hipercifosis postural"),
    ("congenital kyphosis", "cifosis congénita"),
    ("hyperkyphosis", "hipercifosis"),
    ("infantile idiopathic scoliosis", "escoliosis idiopática infantil"),
    ("juvenile idiopathic scoliosis", "escoliosis idiopática juvenil"),
    ("adolescent idiopathic scoliosis", "escoliosis idiopática del adolescente"),
    ("adult idiopathic scoliosis", "escoliosis idiopática del adulto"),
    ("idiopathic scoliosis", "escoliosis idiopática"),
    ("congenital scoliosis", "escoliosis congénita"),
    ("neuromuscular scoliosis", "escoliosis neuromuscular"),
    ("syndromic scoliosis", "escoliosis sindrómica"),
    ("degenerative scoliosis", "escoliosis degenerativa"),
    ("secondary scoliosis", "escoliosis secundaria"),
    ("postural scoliosis", "escoliosis postural"),
    ("scoliosis, cause not yet known", "escoliosis de causa aún desconocida"),
    // Changes.
    ("unchanged", "sin cambio"),
    ("worse", "mayor"),
    ("better", "menor"),
    ("worse over time", "mayor con el tiempo"),
    ("better over time", "menor con el tiempo"),
    ("rose", "aumentó"),
    ("fell", "disminuyó"),
    ("same", "igual"),
    ("no important change", "sin cambio importante"),
    ("lower is better", "menos es mejor"),
    ("higher is better", "más es mejor"),
    ("met", "se cumple"),
    ("not met", "no se cumple"),
    ("cannot tell", "no se puede saber"),
    // What was decided about a warning sign.
    ("imaging asked", "se pidió una prueba de imagen"),
    ("imaging done", "se revisó la prueba de imagen"),
    ("no imaging", "sin prueba de imagen por ahora"),
    ("opinion asked", "se pidió consejo a otro especialista"),
    ("no action", "nada más por ahora"),
    // Plans.
    ("watch", "observar"),
    ("night brace", "corsé por la noche"),
    ("part-time brace", "corsé parte del día"),
    ("full-time brace", "corsé día y noche"),
    ("second brace", "corsé nuevo"),
    ("continue", "seguir igual"),
    ("wean", "retirar el corsé poco a poco"),
    ("surgical opinion", "opinión de un cirujano"),
    ("neurological opinion", "opinión de un neurólogo"),
    ("discharge", "alta"),
    // What was done at a fitting.
    ("delivered", "entregado"),
    ("applied", "colocado"),
    ("adjusted", "ajustado"),
    ("checked", "revisado"),
    ("removed", "retirado"),
    // What helps at school, after «que tenga».
    ("a place to change", "un lugar para cambiarse"),
    ("time to change", "tiempo para cambiarse"),
    ("a place to keep the brace", "un lugar para guardar el corsé"),
    ("help with the straps", "ayuda con las correas"),
    ("a light bag", "una mochila ligera"),
    ("a second set of books", "un segundo juego de libros"),
    ("a chair that fits", "una silla adecuada a su estatura"),
    ("leave to stand up and move", "permiso para levantarse y moverse"),
    ("water at hand in hot weather", "agua a mano cuando hace calor"),
    ("loose clothes over the brace", "ropa holgada sobre el corsé"),
    // What a study foretold of a curve.
    ("30 degrees or more", "de 30 grados o más"),
    ("below 30 degrees", "de menos de 30 grados"),
    // People.
    ("child", "niñez"),
    ("adolescent", "adolescencia"),
    ("adult", "edad adulta"),
    ("yes", "sí"),
    ("no", "no"),
    ("left", "izquierda"),
    ("right", "derecha"),
];

/// By the end of a fact's id, the longer ends first.
const LABELS: &[(&str, &str)] = &[
    ("from_cobb", "Medida anterior"),
    ("to_cobb", "Medida nueva"),
    ("baseline_cobb", "Medida sin el corsé o el yeso"),
    ("in_brace.size", "Medida con el corsé o el yeso puesto"),
    ("in_brace.cobb", "Medida con el corsé o el yeso puesto"),
    ("cobb", "Medida"),
    ("size", "Medida"),
    ("amount", "Diferencia"),
    ("verdict", "Si ha cambiado"),
    ("side", "Lado"),
    ("from_taken", "Fecha de la radiografía anterior"),
    ("baseline_taken", "Fecha de la radiografía sin el corsé o el yeso"),
    ("in_brace.taken", "Fecha de la radiografía con el corsé o el yeso puesto"),
    ("taken", "Fecha de la radiografía"),
    ("off_for", "Horas sin el corsé antes de la radiografía"),
    ("wear.mean", "Horas al día medidas"),
    ("wear.prescribed", "Horas al día previstas entonces"),
    ("hours", "Horas al día"),
    ("wear.from", "Comienzo de la medición"),
    ("wear.to", "Fin de la medición"),
    ("days.counted", "Días contados"),
    ("days.logged", "Días registrados"),
    ("months", "Tiempo transcurrido"),
    ("next_visit", "Próxima visita"),
    ("next_film", "Próxima radiografía"),
    ("told", "Lo que les dijimos"),
    ("remarks", "Nuestras palabras"),
    ("ordered", "Fecha del encargo"),
    ("limits.scoliosis_from", "Medida desde la que se habla de escoliosis"),
    ("height", "Estatura"),
    ("", "Otro dato"),
];

/// Regions for which the locale data has Spanish of its own.
const REGIONS: &[&str] = &[
    "419", "AR", "BO", "BR", "BZ", "CL", "CO", "CR", "CU", "DO", "EA", "EC", "ES", "GQ", "GT",
    "HN", "IC", "MX", "NI", "PA", "PE", "PH", "PR", "PY", "SV", "US", "UY", "VE",
];

/// Spanish has one order of day, month and year, whatever the clinic chose for
/// its own; some places abridge a date to digits alone, which would be read
/// the wrong way round elsewhere, so that only the two large regions are asked.
fn dates(region: Option<&str>, _: DateStyle) -> Dates {
    match region {
        None | Some("ES" | "EA" | "IC" | "GQ" | "PH") => Dates::of("es"),
        Some(_) => Dates::of("es-419"),
    }
}

/// Spanish.
pub static SPANISH: Language = Language {
    tag: "es",
    own_words: false,
    words: WORDS,
    labels: LABELS,
    region: None,
    regions: Some(REGIONS),
    dates,
    numbers: [
        "cero", "uno", "dos", "tres", "cuatro", "cinco", "seis", "siete", "ocho", "nueve", "diez",
        "once", "doce",
    ],
    one: ["una", "un"],
    sides: [["izquierda", "izquierdo"], ["derecha", "derecho"]],
    of: "del",
    on_in: ["el", "en"],
    the_day: "el ",
    keep: 22,
    to: " a ",
    the_disc: "el disco ",
    age: AgeWords {
        year: Forms { one: "año", many: Some("de años"), other: "años" },
        month: Forms { one: "mes", many: Some("de meses"), other: "meses" },
        between: " y ",
        year_short: "a",
        month_short: "m",
        under_a_month: "menos de un mes",
    },
    units: UNITS,
    kinds: KINDS,
    films: FILMS,
    frame: FRAME,
};
