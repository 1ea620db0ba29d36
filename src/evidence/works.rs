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
    /// Published outcome bands of kyphosis.
    PIA_2021 = "pia-2021", "Piazzolla et al., 2021, PMC7921048, kyphosis bracing outcome bands";
    /// Terminology of scoliosis, laypeople's edition: regions by apex.
    SRS_GLOSSARY = "srs-glossary", "Scoliosis Research Society, glossary, thoracic and thoracolumbar curves";
    /// Names of curves by apex, cervicothoracic included.
    REGION_TABLE = "region-table", "Musculoskeletal Key, terms of scoliosis, table 9-1";
    /// C7 plumb line against the central sacral vertical line.
    CORONAL_BALANCE = "coronal-balance", "WikiMSK, Coronal Balance";
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
    /// Height predicted by the LMS method; the public growth tables.
    CDC_2000 = "cdc-2000", "Centers for Disease Control and Prevention, growth charts 2000, stature for age";
}
