//! Words of figures in Spanish.
//!
//! The order to a maker has none: no letter to a maker is written in Spanish,
//! and a figure without words of the letter's language is left out.

use super::correction::{self, CorrectionWords};
use super::course::{self, CourseWords};
use super::fill::words::{CourseCaption, FillWords};
use super::films::{self, FilmWords};
use super::growth::{self, GrowthWords};
use super::sagittal::{self, SagittalWords};
use super::spine::{self, SpineWords};
use super::wear::{self, PlainWear, WearWords};
use super::words::{Calendar, Spoken, Worded};

fn spoken() -> Spoken {
    Spoken {
        degree: "{n} grado".into(),
        degrees: "{n} grados".into(),
        minus: "menos ".into(),
        ..Spoken::default()
    }
}

impl Worded for FillWords {
    fn spanish() -> Self {
        let postures = [
            "de pie",
            "en posición sentada",
            "boca arriba",
            "boca abajo",
            "con tracción",
            "sobre un rodillo",
        ];
        let held = ["con corsé, ", "con yeso, ", "sin corsé, ", "sin yeso, "];
        FillWords {
            named: ["{name} izquierda", "{name} derecha"].map(str::to_owned),
            supports: ["corsé", "yeso"].map(str::to_owned),
            episode: "{support}, {hours} h/día".into(),
            support_unknown: "no consta si con corsé".into(),
            apart: ["en posición tumbada", "en posición sentada", "de pie"].map(str::to_owned),
            postures: postures.map(str::to_owned),
            no_posture: "postura sin anotar".into(),
            held: held.map(str::to_owned),
            course: CourseCaption {
                several: "Ángulos de Cobb".into(),
                one: "{curve}, ángulo de Cobb".into(),
                band: "{what} sin corsé ni yeso. Banda: la mitad de nuestro límite para un cambio \
                       real a cada lado; dos radiografías cuyas bandas se solapan no se \
                       diferencian más que eso."
                    .into(),
                held: " Marcas huecas: con corsé o yeso, no es un resultado.".into(),
                turned: " Marcas huecas: con corsé o yeso, no es un resultado; por debajo de \
                         cero: girada hacia el otro lado."
                    .into(),
                apart: " Marcas fuera de la línea: no comparables.".into(),
            },
            spine: [
                "Dibujada a partir de sus puntos de referencia, vista desde atrás. Líneas: los \
                 platillos medidos; punteada: la línea central del sacro, donde está marcada."
                    .into(),
                "Dibujada a partir de sus puntos de referencia, vista de lado. Líneas: los \
                 platillos medidos."
                    .into(),
                " Con corsé o yeso: más pequeña, aparte.".into(),
            ],
            correction: [
                "Marca llena: sin {worn}; marca hueca: con él. Lo que quita mientras está puesto, \
                 no es un resultado del tratamiento."
                    .into(),
                " Por debajo de cero: girada hacia el otro lado.".into(),
                " Solo se dibujan las curvas mayores.".into(),
            ],
        }
    }
}

impl Worded for CourseWords {
    fn spanish() -> Self {
        CourseWords {
            in_brace: "con corsé".into(),
            in_cast: "con yeso".into(),
            not_comparable: "no comparable".into(),
            not_recorded: "sin anotar".into(),
            maturity: "madurez".into(),
            spoken: spoken(),
            alt: course::AltWords {
                title: "Ángulo de Cobb a lo largo del tiempo, hasta el {until}: {curves}.".into(),
                line: "{curve}, sin corsé ni yeso, unidas por una línea: {list}.".into(),
                no_line: "{curve}: ninguna radiografía comparable sin corsé ni yeso, así que no \
                          hay línea."
                    .into(),
                brace: "{curve}, con el corsé, aparte de la línea: {list}.".into(),
                cast: "{curve}, con el yeso, aparte de la línea: {list}.".into(),
                not_comparable: "{curve}, no comparables, aparte de la línea: {list}.".into(),
                item: "{value} el {date}".into(),
                item_why: "{value} el {date} ({why})".into(),
                band: "La banda llega a {half} a cada lado de la línea; donde se solapan las \
                       bandas de dos radiografías, la diferencia está por debajo del límite para \
                       un cambio real."
                    .into(),
                episode: "Del {from} al {to}: {label}.".into(),
                episode_open: "Desde el {from}: {label}.".into(),
                maturity: "Madurez: {list}.".into(),
                maturity_item: "{text} el {date}".into(),
            },
            ..CourseWords::default()
        }
    }

    fn write_as(&mut self, calendar: &Calendar) {
        self.calendar = calendar.clone();
        self.spoken.calendar = calendar.clone();
    }
}

impl Worded for SpineWords {
    fn spanish() -> Self {
        SpineWords {
            left: "I".into(),
            right: "D".into(),
            front: "delante".into(),
            back: "detrás".into(),
            alt: spine::AltWords {
                frontal: "La columna dibujada a partir de sus puntos de referencia, vista desde \
                          atrás: la izquierda del paciente está a la izquierda."
                    .into(),
                lateral: "La columna dibujada a partir de sus puntos de referencia, vista de \
                          lado, mirando a la izquierda."
                    .into(),
                panel: "Radiografía {n} ({caption}): {list}.".into(),
                in_support: "Radiografía {n}, más pequeña y aparte porque se hizo con corsé o \
                             yeso ({caption}): {list}."
                    .into(),
                no_curve: "ninguna curva medida".into(),
                curve: "de {upper} a {lower}, vértice {apex}, convexa hacia la {side} del \
                        paciente, {angle}"
                    .into(),
                sagittal: "de {upper} a {lower}, vértice {apex}, convexa hacia {side}, {angle}"
                    .into(),
                sides: ["izquierda", "derecha", "delante", "atrás"].map(str::to_owned),
            },
        }
    }
}

impl Worded for WearWords {
    fn spanish() -> Self {
        WearWords {
            hours: "horas al día".into(),
            worn: "puesto".into(),
            worn_week: "puesto, media de la semana".into(),
            worn_span: "puesto, media del periodo".into(),
            prescribed: "prescrito".into(),
            unworn: "sin poner".into(),
            unknown: "no se sabe".into(),
            step: "{hours} h".into(),
            caption: wear::CaptionWords {
                days: "Horas con el corsé cada día, según su sensor; la línea: horas prescritas."
                    .into(),
                weeks: "Horas al día con el corsé, según su sensor: la media de los días contados \
                        de cada semana, si cuenta al menos la mitad; la línea: horas prescritas."
                    .into(),
                spans: "Horas al día con el corsé, medidas en cada periodo; la línea: horas \
                        prescritas."
                    .into(),
                unknown: "Rayado: demasiado calor para saberlo, o faltan datos; no es cero.".into(),
                beside: "Barras huecas: medias de un periodo sin registro diario.".into(),
            },
            alt: wear::AltWords {
                log: "Horas con el corsé día a día, del {from} al {to}.".into(),
                spans: "Horas con el corsé del {from} al {to}, como medias por periodo.".into(),
                prescribed: "Prescrito: {list}.".into(),
                prescribed_item: "{hours} horas al día desde el {from}".into(),
                not_prescribed: "No hay horas prescritas.".into(),
                measured: "Medido: {list}.".into(),
                measured_item: "{hours} horas al día del {from} al {to}".into(),
                untold_item: "muy pocos días contados del {from} al {to}".into(),
                counted: "Cuentan las horas de {counted} de {logged} días del registro.".into(),
                too_warm: "Días con demasiado calor para saberlo: {n}.".into(),
                incomplete: "Días con datos que faltan: {n}.".into(),
                unworn: "Días contados sin llevarlo: {n}.".into(),
            },
            ..WearWords::default()
        }
    }

    fn write_as(&mut self, calendar: &Calendar) {
        self.calendar = calendar.clone();
    }
}

impl Worded for PlainWear {
    fn spanish() -> Self {
        let words = WearWords::spanish();
        PlainWear(WearWords {
            prescribed: "previsto".into(),
            unknown: "el sensor no lo sabe".into(),
            caption: wear::CaptionWords {
                days: "Horas con el corsé cada día. La línea muestra el plan.".into(),
                weeks: "Horas al día con el corsé, semana a semana. La línea muestra el plan."
                    .into(),
                spans: "Horas al día con el corsé. La línea muestra el plan.".into(),
                unknown: "En los días rayados el sensor no pudo saberlo.".into(),
                beside: "Barras huecas: un solo valor para todo el periodo.".into(),
            },
            alt: wear::AltWords { prescribed: "Previsto: {list}.".into(), ..words.alt },
            ..words
        })
    }

    fn write_as(&mut self, calendar: &Calendar) {
        self.0.write_as(calendar);
    }
}

impl Worded for GrowthWords {
    fn spanish() -> Self {
        GrowthWords {
            height: "estatura, cm".into(),
            velocity: "crecimiento, cm al año".into(),
            age: "{n} años".into(),
            first_period: "primera regla".into(),
            peak: "pico medio".into(),
            not_recorded: "sin anotar".into(),
            maturity: "madurez".into(),
            girls: "chicas".into(),
            boys: "chicos".into(),
            caption: growth::CaptionWords {
                heights: "Estatura de pie, según se midió.".into(),
                lines: "Estatura de pie, según se midió, sobre los percentiles {lines} de \
                        {whose} (CDC 2000)."
                    .into(),
                steps: "Crecimiento al año, con sus límites del 95 %.".into(),
                peak: "Discontinua: cuando las chicas crecen más deprisa por término medio, a los \
                       {age} años (DE {sd})."
                    .into(),
            },
            alt: growth::AltWords {
                heights: "Estatura de pie: {list}.".into(),
                height: "{value} cm el {date}".into(),
                lines: "Detrás, los percentiles {lines} de {whose}.".into(),
                steps: "Crecimiento al año: {list}.".into(),
                step: "{value} cm, más o menos {half}, del {from} al {to}".into(),
                first_period: "Primera regla: {when}.".into(),
                maturity: "Madurez: {list}.".into(),
                maturity_item: "{text} el {date}".into(),
            },
            ..GrowthWords::default()
        }
    }

    fn write_as(&mut self, calendar: &Calendar) {
        self.calendar = calendar.clone();
    }
}

impl Worded for FilmWords {
    fn spanish() -> Self {
        let displayed = [
            "mostrada desde atrás",
            "mostrada desde delante",
            "mirando a la izquierda",
            "mirando a la derecha",
        ];
        let sides = [
            "la izquierda del paciente",
            "la derecha del paciente",
            "la parte de delante",
            "la parte de atrás",
        ];
        FilmWords {
            sides: ["I", "D", "delante", "detrás"].map(str::to_owned),
            displayed: displayed.map(str::to_owned),
            caption: films::CaptionWords {
                one: "La radiografía{displayed}.".into(),
                to_scale: "Las radiografías a una misma escala{displayed}.".into(),
                not_to_scale: "Las radiografías{displayed}, no a una misma escala: alguna no la \
                               tiene."
                    .into(),
                displayed: ", {way}".into(),
                lines: "Líneas: los platillos medidos.".into(),
                readings: "Discontinua: una segunda lectura.".into(),
                sides: "Los lados del paciente figuran sobre cada radiografía.".into(),
                in_support: "Tras la línea: con corsé o yeso, no es un resultado.".into(),
            },
            alt: films::AltWords {
                to_scale: "Radiografías una junto a otra a la misma escala, con los platillos \
                           medidos dibujados encima."
                    .into(),
                not_to_scale: "Radiografías una junto a otra, no a la misma escala, con los \
                               platillos medidos dibujados encima."
                    .into(),
                one: "Una radiografía con los platillos medidos dibujados encima.".into(),
                film: "Radiografía {n} ({caption}), {displayed}, {side} a la izquierda de la \
                       imagen: {list}."
                    .into(),
                curve: "de {upper} a {lower}, convexa hacia {side}, {angle}".into(),
                no_curve: "ninguna línea dibujada".into(),
                sides: sides.map(str::to_owned),
            },
        }
    }
}

impl Worded for SagittalWords {
    fn spanish() -> Self {
        SagittalWords {
            front: "delante".into(),
            back: "detrás".into(),
            axis: "EVS".into(),
            pelvis: ["IP", "VP", "PS"].map(str::to_owned),
            caption: [
                "Dibujada a partir de los puntos de referencia de la radiografía lateral, mirando \
                 a la izquierda. Líneas: los platillos medidos."
                    .into(),
                "Discontinua: la plomada desde C7; EVS: su distancia a la esquina posterior del \
                 sacro."
                    .into(),
                "IP, VP, PS: incidencia, versión y pendiente; aro: el eje de las caderas.".into(),
                "PS: pendiente del sacro.".into(),
                "Con corsé o yeso: aparte, no es un resultado.".into(),
            ],
            alt: sagittal::AltWords {
                opening: "La columna y la pelvis de lado, dibujadas a partir de sus puntos de \
                          referencia, mirando a la izquierda."
                    .into(),
                panel: "Radiografía {n} ({caption}): {list}.".into(),
                in_support: "Radiografía {n}, aparte porque se hizo con corsé o yeso ({caption}): \
                             {list}."
                    .into(),
                kyphosis: "cifosis de {upper} a {lower}, {angle}".into(),
                lordosis: "lordosis de {upper} a {lower}, {angle}".into(),
                plumb: [
                    "la plomada desde C7 cae {distance} por delante de la esquina superior \
                     posterior del sacro"
                        .into(),
                    "la plomada desde C7 cae sobre la esquina superior posterior del sacro".into(),
                    "la plomada desde C7 cae {distance} por detrás de la esquina superior \
                     posterior del sacro"
                        .into(),
                ],
                no_plumb: "no se conoce la distancia de la plomada desde C7".into(),
                pelvis: [
                    "incidencia pélvica {angle}".into(),
                    "versión pélvica {angle}".into(),
                    "pendiente del sacro {angle}".into(),
                ],
                no_pelvis: "no se conoce ningún ángulo de la pelvis".into(),
                no_bend: "ninguna cifosis ni lordosis medida".into(),
            },
        }
    }
}

impl Worded for CorrectionWords {
    fn spanish() -> Self {
        let postures = [
            "de pie",
            "en posición sentada",
            "boca arriba",
            "boca abajo",
            "con tracción",
            "sobre un rodillo",
        ];
        let ordinals = ["primer", "segundo", "tercer", "cuarto", "quinto", "sexto"];
        CorrectionWords {
            brace: "corsé".into(),
            cast: "yeso".into(),
            either: "corsé o yeso".into(),
            one_of: "{nth} {support}".into(),
            ordinals: ordinals.map(str::to_owned).to_vec(),
            first: "{support}, primera radiografía".into(),
            latest: "{support}, última radiografía".into(),
            held: "con él {date}, {posture}".into(),
            free: "sin él {date}, {posture}".into(),
            no_free: "sin radiografía sin él con la que comparar".into(),
            no_posture: "postura sin anotar".into(),
            postures: postures.map(str::to_owned),
            percent: "{percent} %".into(),
            turned: "{percent} %, girada".into(),
            differ: "las posturas son distintas".into(),
            spoken: spoken(),
            alt: correction::AltWords {
                title: "Lo que cada {worn} quita a cada curva mientras está puesto; no es un \
                        resultado del tratamiento."
                    .into(),
                curve: "{curve}: {list}.".into(),
                bar: "{support}, {free} sin él el {free_on}, {free_posture}, y {held} con él el \
                      {held_on}, {held_posture}, corrección {percent}"
                    .into(),
                alone: "{support}, {held} con él el {held_on}, {held_posture}, sin radiografía \
                        sin él con la que comparar"
                    .into(),
                turned: ", girada hacia el otro lado".into(),
                differ: ", de lo que una parte puede deberse a la postura".into(),
                no_percent: "sin dato".into(),
            },
            ..CorrectionWords::default()
        }
    }

    fn write_as(&mut self, calendar: &Calendar) {
        self.calendar = calendar.clone();
        self.spoken.calendar = calendar.clone();
    }
}
