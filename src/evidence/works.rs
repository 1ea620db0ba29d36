//! The published works this program relies on.
//!
//! Each entry names one publication; what was read of it, and how much, is
//! said where it is used ([`Source::note`](super::Source)).

use super::Work;

macro_rules! works {
    ($($(#[$doc:meta])* $name:ident = $key:literal, $citation:literal;)*) => {
        $($(#[$doc])* pub static $name: Work = Work { key: $key, citation: $citation };)*
        /// Every work, for `explain` and for tests.
        pub static ALL: &[&Work] = &[$(&$name),*];
    };
}

works! {
    /// Measurement of the Cobb angle: intra- and inter-observer limits.
    MORRISSY_1990 = "morrissy-1990", "Morrissy et al., J Bone Joint Surg Am 1990;72:320-327";
    /// Cobb angles of scoliosis and kyphosis: change needed to be sure.
    CARMAN_1990 = "carman-1990", "Carman et al., J Bone Joint Surg Am 1990;72:328-333";
    /// Cobb angles of congenital curves.
    LODER_1995 = "loder-1995", "Loder et al., J Bone Joint Surg Br 1995;77:768";
    /// Cobb angles of children up to ten.
    LODER_2004 = "loder-2004", "Loder et al., Spine 2004;29:2548-2553";
    /// Reliability of kyphosis measurement.
    KYPHOSIS_2002 = "kyphosis-2002", "Reliability of kyphosis measurement, 2002, PubMed 12394929";
    /// Brace study outcome criteria applied to a cohort.
    NEGRINI_2014 = "negrini-2014", "Negrini et al., BMC Musculoskelet Disord 2014;15:263";
    /// Brace study outcome criteria applied to a cohort.
    KUROKI_2015 = "kuroki-2015", "Kuroki et al., Scoliosis 2015;10:11";
    /// The randomised and preference trial of bracing in adolescents.
    WEINSTEIN_2013 = "weinstein-2013", "Weinstein et al., N Engl J Med 2013;369:1512-1521";
    /// Wear time and success above 18 hours a day.
    SANDERS_2014 = "sanders-2014", "Sanders et al., J Bone Joint Surg Am 2014;96:649";
    /// Progression during skeletal growth; source of the progression factor.
    LONSTEIN_1984 = "lonstein-1984", "Lonstein and Carlson, J Bone Joint Surg Am 1984;66:1061-1071";
    /// Age classes of idiopathic scoliosis.
    BJF = "bone-joint-focus", "Cheung and Luk, Bone and Joint Focus: idiopathic scoliosis, age at onset";
    /// Risser sign in the United States and French scales.
    BITAN_2005 = "bitan-2005", "Bitan et al., Clin Orthop Relat Res 2005;436:190";
    /// Risser sign, growth remaining and curve acceleration.
    RISSER_2010 = "risser-2010", "J Bone Joint Surg Am 2010;92:1073, Risser grades and the acceleration of curves";
    /// Definition of flexibility in per cent.
    CHEUNG_2020 = "cheung-2020", "Cheung et al., Clin Orthop Relat Res 2020;478:334-345";
    /// In-brace correction in per cent.
    IN_BRACE_CORRECTION = "in-brace-correction", "Acta Orthop Belg 2023;89(3), in-brace correction of Cobb angles";
    /// Curve correction and flexibility as predictors under bracing.
    CHEUNG_2022 = "cheung-2022", "Cheung et al., Bone Joint J 2022;104-B(4)";
    /// Guideline of the society on orthopaedic and rehabilitation treatment.
    SOSORT_2011 = "sosort-2011", "Negrini et al., Scoliosis 2012;7:3";
    /// Guideline, 2016 edition.
    SOSORT_2016 = "sosort-2016", "Negrini et al., Scoliosis Spinal Disord 2018;13:3";
    /// Regions of a curve by its apex; structural criteria.
    AO_LENKE = "ao-lenke", "AO Surgery Reference, adolescent idiopathic scoliosis, classification pages";
    /// End vertebrae, apex and angle defined.
    COBB_ORTHOFRACS = "cobb-method", "Cobb method as described by Orthofracs, scoliosis, measurement";
    /// The six curve types, the lumbar modifier and the major curve.
    SIX_TYPES = "six-types", "Orthobullets, topic 2076, adolescent idiopathic scoliosis: six curve types and lumbar modifiers";
    /// Coronal types and sagittal modifiers of adult deformity.
    ADULT_TYPES = "adult-types", "Terran et al., 2013, SRS-Schwab classification of adult deformity, as set out by Neurosurgery Wiki";
    /// Propagation of uncertainty.
    GUM = "gum", "Guide to the expression of uncertainty in measurement, JCGM 100:2008";
    /// Published outcome bands of kyphosis.
    PIA_2021 = "pia-2021", "Piazzolla et al., 2021, PMC7921048, kyphosis bracing outcome bands";
    /// Pelvic and sagittal angles of adults; the identity of the pelvic angles.
    SAGITTAL_NORMS = "sagittal-norms", "Sagittal alignment of adults, PMC6334400, table 1";
    /// Ranges of the pelvic angles in 709 adults.
    MAC_THIONG_2011 = "mac-thiong-2011", "Mac-Thiong et al., Eur Spine J 2011;20(S5):572";
    /// Pelvic tilt expected by pelvic incidence and age.
    PELVIC_TILT_BY_AGE = "pelvic-tilt-by-age", "Pelvic tilt by pelvic incidence and age, 2025, PubMed 40261392";
    /// Theoretical pelvic tilt and lordosis by class of pelvic incidence.
    LE_HUEC_2015 = "le-huec-2015", "Le Huec et al., 2015, PMC4303780, table 3";
    /// Sagittal modifiers of the adult classification.
    ADULT_MODIFIERS = "adult-modifiers", "Terran et al. 2013, adult spinal deformity classification, as quoted by neurosurgerywiki.com";
    /// Criteria of Scheuermann's disease: wedges of 5 degrees or more.
    SORENSEN_1964 = "sorensen-1964", "Sorensen 1964, Scheuermann's juvenile kyphosis, as quoted in a paper of 15 December 1999 (insights.ovid.com 00007632-199912150-00010)";
    /// Criteria of Scheuermann's disease: wedges above 5 degrees.
    WEDGES_ABOVE_FIVE = "wedges-above-five", "Operative Neurosurgery, Sorensen criteria (operativeneurosurgery.com)";
    /// Classes of early-onset scoliosis.
    EARLY_ONSET_CLASSES = "early-onset-classes", "Classification of early-onset scoliosis, J Pediatr Orthop 2017;37:381";
    /// A course of kyphosis in a brace, worked as an example.
    KYPHOSIS_BRACE_COURSE = "kyphosis-brace-course", "Kyphosis in a brace, mean 55.6 to 39 degrees, doczz.net 4489203";
    /// Terminology of scoliosis, laypeople's edition: regions by apex.
    SRS_GLOSSARY = "srs-glossary", "Scoliosis Research Society, glossary, thoracic and thoracolumbar curves";
    /// Names of curves by apex, cervicothoracic included.
    REGION_TABLE = "region-table", "Musculoskeletal Key, terms of scoliosis, table 9-1";
    /// C7 plumb line against the central sacral vertical line.
    CORONAL_BALANCE = "coronal-balance", "WikiMSK, Coronal Balance";
    /// Trunk shift and the plumb CSVL.
    TRUNK_SHIFT_ZARO = "trunk-shift-zaro", "zaro.info, trunk shift and coronal balance";
    /// Lateral trunk shift predicted from translation and balance.
    TRUNK_SHIFT_2005 = "trunk-shift-2005", "Spine 2005;30:1621, lateral trunk shift in types 1A and 1B";
    /// Clavicle angle and shoulder balance.
    SHOULDER_BALANCE = "shoulder-balance", "Ono, Bastrom and Newton, Spine, shoulder imbalance: clavicle angle, left up positive";
    /// Radiographic parameters of frontal films, by definition.
    FRONTAL_PARAMETERS = "frontal-parameters", "PMC9827318, table 1: Cobb angle and line of the iliac crests";
    /// Rib-vertebra angle difference, phase and threshold.
    RIB_DEFINITION = "rib-vertebra-definition", "Gillette Children's Healthcare Press, appendix: rib-vertebra angle difference and phase";
    /// Construction of the rib-vertebra angle.
    RIB_CONSTRUCTION = "rib-vertebra-construction", "online-elib.jp, ID0602, construction of the rib-vertebra angle";
    /// A later limit of the difference.
    RIB_LATER_LIMIT = "rib-vertebra-2021", "Spine Deform 2021;9:579";
    /// Reliability of the difference and of the phase.
    RIB_RELIABILITY = "rib-vertebra-reliability", "J Bone Joint Surg, reliability of the rib-vertebra angle difference, jbjs.org 1181968";
    /// Rotation by the offset of the pedicles, in grades.
    PEDICLE_GRADES = "pedicle-grades-1969", "Nash and Moe, J Bone Joint Surg Am 1969;51:223-229";
    /// Rotation by the offset of the pedicles, by formula.
    STOKES_1986 = "stokes-1986", "Stokes et al., Spine 1986, measurement of axial rotation of vertebrae in scoliosis";
    /// Curve size from trunk rotation.
    SCOLIOMETER_2017 = "scoliometer-2017", "BioMed Eng OnLine 2017, s12938-017-0427-7, two-parameter scoliometer values for predicting the Cobb angle";
    /// Height gained by surgical correction.
    HEIGHT_GAIN_2012 = "height-gain-2012", "Sarlak et al., Comput Math Methods Med 2012:167021";
    /// Cobb angles on digital films with given end vertebrae.
    DIGITAL_COBB_2008 = "digital-cobb-2008", "Asian Spine J 2008;2:90, Cobb angles on digital radiographs";
    /// Early-onset curves read by four raters.
    EARLY_ONSET_RATERS = "early-onset-raters", "Reliability of measurements in early-onset scoliosis, four raters, research.regionh.dk";
    /// Stages of hand maturity 3 to 7.
    HAND_STAGES_2020 = "hand-stages-2020", "Medicine 2020, e22392, PMC7523768";
    /// Stages of hand maturity, the first description.
    SANDERS_2008 = "sanders-2008", "Sanders et al., J Bone Joint Surg Am 2008;90:540-553";
    /// Natural history after maturity.
    NATURAL_HISTORY_2023 = "natural-history-2023", "Eur Spine J 2023, s00586-023-07681-w";
    /// Imaging of early-onset scoliosis and red flags.
    ACR_2019 = "acr-2019", "American College of Radiology, J Am Coll Radiol 2019;16(5S):S244";
    /// Consensus on imaging frequency and other conduct.
    PACE_2013 = "pace-2013", "Pace et al., Scoliosis 2013;8:11";
    /// Wear time by temperature log: threshold, interval, adherence.
    HASLER_2010 = "hasler-2010", "Hasler et al., J Child Orthop 2010;4:211";
    /// One log of wear read by two rules: 86.1 or 89.9 per cent.
    WEAR_RULES_2012 = "wear-rules-2012", "Scoliosis 2012;7(Suppl 1):O29";
    /// Wear from don and doff events in a temperature log: accuracy.
    WEAR_EVENTS_2012 = "wear-events-2012", "Don and doff events in temperature logs of braces, 2012, PubMed 21540779";
    /// Wear as told against a sensor.
    WEAR_TOLD_2024 = "wear-told-2024", "Force and temperature sensors in braces, pilot study, 2024";
    /// Restricted z-scores of the growth standards.
    WHO_2007 = "who-2007", "World Health Organization, growth reference 2007, computation of centiles and z-scores";
    /// Peak height velocity, hand stage and first period of girls.
    PEAK_HEIGHT = "peak-height", "Peak height velocity, hand stages and menarche in girls, PMC5805281";
    /// Puberty: when it begins and how long growth quickens and slows.
    DIMEGLIO_2013 = "dimeglio-2013", "Dimeglio and Canavese, growth and puberty, 2013, PMC3566248";
    /// Growth left at the beginning of puberty.
    DIMEGLIO_GROWTH = "dimeglio-growth", "Dimeglio, growth of the spine and trunk, early-onset-scoliosis.com, Growth; compare J Pediatr Orthop 2011, 10.1097/BPO.0b013e318202c25d";
    /// Grades of the distal radius and ulna against peak growth.
    RADIUS_2009 = "radius-2009", "Distal radius and ulna in skeletal maturity, 2009, hub.hku.hk 126569";
    /// Grades of the distal radius and ulna against progression.
    RADIUS_ULNA_2018 = "radius-ulna-2018", "Asian Spine J 2018;12:202, distal radius and ulna and curve progression";
    /// Risser grade against hand stage.
    RISSER_HAND_2018 = "risser-hand-2018", "Risser grade against stages of hand maturity, 2018, PubMed 29135881";
    /// Signs of maturity at which braces are weaned.
    WEANING_2019 = "weaning-2019", "Weaning of braces at maturity, 2019, PMC7000074";
    /// Height lost to a curve: measured, and four formulas compared.
    TYRAKOWSKI_2014 = "tyrakowski-2014", "Tyrakowski et al., Eur Spine J 2014;23:1244";
    /// Height lost to a curve, the oldest formula.
    BJURE_1968 = "bjure-1968", "Bjure, Grimby and Nachemson, Clin Orthop Relat Res 1968;56:41-52";
    /// Height lost to a curve, two variants circulate.
    STOKES_2008 = "stokes-2008", "Stokes, Eur Spine J 2008;17:1033-1038, stature and growth compensation";
    /// Height predicted by the LMS method; the public growth tables.
    CDC_2000 = "cdc-2000", "Centers for Disease Control and Prevention, growth charts 2000, stature for age";
    /// Curve size, Risser and progression: a short table for clinicians.
    INCIDENCE_TABLE = "incidence-table", "Clinical Advisor, orthopaedic quiz, and Orthoworlds 2010, Risser sign: incidence of progression by size and Risser grade";
    /// Whether the progression factor holds for other patients.
    WARD_2011 = "ward-2011", "Ward et al., Spine J Meeting Abstracts 2011:145";
    /// Risk of progression used to choose a therapy.
    WEISS_2012 = "weiss-2012", "Scoliosis 2012;7:4, figure 2";
    /// Prediction of progression in girls.
    PETERSON_1995 = "peterson-1995", "Peterson and Nachemson, J Bone Joint Surg Am 1995;77:823";
    /// Progression in boys.
    BOYS_1993 = "boys-1993", "J Bone Joint Surg Am 1993;75:1804, scoliosis in boys";
    /// Initial angle as predictor of the angle at maturity.
    TAN_2009 = "tan-2009", "Tan et al., J Bone Joint Surg Br 2009;91-B Supp III:484c";
    /// Risk of untreated curves by size, age, menarche and height.
    LEE_2012 = "lee-2012", "Lee et al., 2012, PubMed 22727318";
    /// Prognosis under a brace from wear, quality and correction.
    LOU_2016 = "lou-2016", "Lou et al., Eur Spine J 2016;25:495";
    /// Prognosis under a brace from wear and quality, the older model.
    LOU_2009 = "lou-2009", "Lou et al., Scoliosis 2009;4(S1):O39";
    /// Progression by stage of hand maturity and size.
    SITOULA_2015 = "sitoula-2015", "Sitoula et al., 2015, tables as copied in a public article";
    /// Progression at high stages of hand maturity.
    HAND_STAGE_RISK_2024 = "hand-stage-risk-2024", "Spine Deform 2024, s43390-024-00939-3";
    /// Progression after maturity, another printed figure.
    NEUROSURGERY_NOTES = "neurosurgery-notes", "Neurosurgery Notes, scoliosis, progression after maturity";
    /// Follow-up after maturity, cited by others.
    AFTER_MATURITY_2016 = "after-maturity-2016", "Eur Spine J 2016, s00586-016-4619-9, citing Weinstein and Ponseti 1983";
    /// Progression of adult lumbar and thoracolumbar curves.
    MARTY_2007 = "marty-2007", "Marty-Poumarat et al., Spine 2007;32:1227";
    /// Progression of degenerative curves.
    CHIN_DE_NOVO = "chin-de-novo", "Chin et al., progression of de novo adult scoliosis, reported in MDedge 70334";
    /// Prediction of 45 degrees without treatment; coefficients not seen.
    DOLAN_2019 = "dolan-2019", "Dolan et al., Spine Deform 2019;7:890";
    /// Wear time and success by quarters, ends of the range.
    WEAR_QUARTERS = "wear-quarters", "Alanay, brace wearing hours, citing the trial of bracing";
    /// Wear above 18 hours a day.
    NEGRINI_2024 = "negrini-2024", "Negrini et al., 2024, preprint: results above 18 hours a day, n = 884";
    /// Meta-analysis of brace types.
    COSTA_2021 = "costa-2021", "Costa et al., 2021, PMC8156678, meta-analysis of bracing";
    /// Names for hours a day in another edition of the guideline.
    HOURS_NAMES_2021 = "hours-names-2021", "J Clin Med 2021;10:5020, table A2";
    /// How the SRS-22r is scored.
    SRS22R = "srs-22r", "SRS-22r scoring: items, means of the answered items, missing items";
    /// Which item of the SRS-22r belongs to which domain.
    SRS22R_ITEMS = "srs-22r-items", "R package BifactorIndicesCalculator, SRS_data: items and domains of the SRS-22r";
    /// Smallest important differences of the SRS-22.
    BAGO_2009 = "bago-2009", "Bago et al., Eur Spine J 2009, PMC2899428";
    /// Smallest detectable change of the SRS-22 subtotal.
    BAGO_2012 = "bago-2012", "Bago et al., Eur Spine J 2012;21:50-56";
    /// How the Oswestry index is scored.
    ODI = "odi", "Oswestry disability index: sum, unanswered sections, bands";
    /// Smallest important changes in low back pain.
    OSTELO_2008 = "ostelo-2008", "Ostelo et al., Spine 2008;33:90-94";
    /// Dose of full-spine films on a digital and a slot-scanning unit.
    HUI_2016 = "hui-2016", "Hui et al., Scoliosis Spinal Disord 2016;11:46";
    /// Effective dose from the dose-area product, full spine.
    ERNST_2018 = "ernst-2018", "Ernst et al., Eur Spine J 2018";
    /// Intraclass correlations and their intervals.
    SHROUT_FLEISS_1979 = "shrout-fleiss-1979", "Shrout and Fleiss, Psychol Bull 1979;86:420-428";
    /// Limits of agreement of two methods of measurement.
    BLAND_ALTMAN_1999 = "bland-altman-1999", "Bland and Altman, Stat Methods Med Res 1999;8:135-160";
    /// Inclusion criteria of brace studies, as quoted in a meeting abstract.
    BRACE_STUDIES_2018 = "brace-studies-2018", "Pediatrics 2018;141(1 Meeting Abstract):647, quoting the criteria of the Scoliosis Research Society for brace studies";
    /// From which size surgery is usual: while growing and when mature.
    SURGERY_KEY = "surgery-key", "Sardar and Lenke, surgery of adolescent idiopathic scoliosis, Musculoskeletal Key";
    /// From which size surgery is usual: other thresholds.
    SURGERY_2025 = "surgery-2025", "J Clin Med 2025;14:5272, adolescent idiopathic scoliosis";
    /// Braces for kyphosis: sizes for which there is evidence.
    BETTANY_2017 = "bettany-2017", "Bettany-Saltikov et al., Open Orthop J 2017;11:1521";
    /// From which size surgery of kyphosis is considered.
    LOWE_1999 = "lowe-1999", "Lowe, Orthop Clin North Am 1999;30:475, as quoted by sportnetdoc.dk";
    /// From which size surgery of kyphosis is considered: another threshold.
    SRS_KYPHOSIS = "srs-kyphosis", "Scoliosis Research Society, kyphosis, summary for patients";
    /// When to refer and how often to review.
    SWISS_2017 = "swiss-2017", "Rev Med Suisse 2017:422, adolescent idiopathic scoliosis: referral and review";
    /// Intervals of a single proportion compared.
    NEWCOMBE_1998 = "newcombe-1998", "Newcombe, Stat Med 1998;17:857-872";
    /// Grade of reading from the length of sentences and words; the formula as quoted in reviews.
    KINCAID_1975 = "kincaid-1975", "Kincaid, Fishburne, Rogers and Chissom, Research Branch Report 8-75, Naval Technical Training, Millington 1975";
}
