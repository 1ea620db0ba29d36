//! Heights for age: the public table of 2000 against its own printed
//! centiles, against worked values, and against an independent library.
//!
//! Centers for Disease Control and Prevention, growth charts 2000 (read): the
//! text of the data files gives the formula and the worked examples of
//! weight; stature rows and centiles as in the file `statage.csv`.

use ReferenceSex::{Boys, Girls};
use endplate::course::growth::lms::{Lms, RESTRICTED_SOURCE, centile, z_of_centile};
use endplate::course::growth::stature::{PUBLISHED_CENTILES, ReferenceSex, rows, stature};
use endplate::evidence::Grade;

fn near(got: f64, expected: f64, tolerance: f64) {
    assert!((got - expected).abs() <= tolerance, "{got} is not {expected} within {tolerance}");
}

fn row(sex: ReferenceSex, months: f64) -> Lms {
    stature(sex, months).unwrap()
}

/// Weight of a boy of 9.5 months in kg, the example of the data files.
const WEIGHT: Lms = Lms { l: -0.1600954, m: 9.476500305, s: 0.11218624 };

#[test]
fn the_worked_examples_of_the_data_files() {
    // z -1.645 is 7.90 kg; 9.7 kg is z 0.207, the 58th centile (read).
    near(WEIGHT.at_z(-1.645).unwrap(), 7.90, 0.005);
    let z = WEIGHT.z(9.7).unwrap();
    near(z, 0.207, 0.0005);
    near(centile(z), 58.0, 0.5);
    // P3 7.700624 kg (read); P90 10.960172 (computed from the formula).
    let at = |p| WEIGHT.at_z(z_of_centile(p).unwrap()).unwrap();
    near(at(3.0), 7.700624, 1e-5);
    near(at(90.0), 10.960172, 1e-5);
}

#[test]
fn the_restricted_form_beyond_three() {
    // Public z-score tests (read) and the formula: 14 kg is 3.372 plain and
    // 3.408 restricted; 6 kg is -4.227 and -4.070.
    near(WEIGHT.z(14.0).unwrap(), 3.372, 0.0005);
    near(WEIGHT.restricted_z(14.0).unwrap(), 3.408, 0.0005);
    near(WEIGHT.z(6.0).unwrap(), -4.227, 0.0005);
    near(WEIGHT.restricted_z(6.0).unwrap(), -4.070, 0.0005);
    assert_eq!(WEIGHT.restricted_z(9.7), WEIGHT.z(9.7));
    // From memory: it decides nothing.
    assert_eq!(RESTRICTED_SOURCE.grade, Grade::Memory);
}

#[test]
fn rows_as_published() {
    // Parameters quoted in public code and lists of rows (read).
    let quoted = [
        (Boys, 24.0, 0.941523967, 86.45220101, 0.040321528),
        (Boys, 120.5, 0.505564115, 138.8234114, 0.047610108),
        (Boys, 144.5, 0.420919142, 149.3088178, 0.049947823),
        (Boys, 156.5, 0.816239713, 156.4098858, 0.050333444),
        (Boys, 240.0, 1.167279219, 176.8492322, 0.040369574),
        (Girls, 60.5, -0.057729947, 107.9566031, 0.044276588),
        (Girls, 101.5, -0.010982868, 130.1148354, 0.04626824),
        (Girls, 120.5, 0.284748919, 138.2111552, 0.048704503),
        (Girls, 144.5, 1.303044695, 151.4865636, 0.048599314),
        (Girls, 156.5, 1.242968236, 157.3436995, 0.043859135),
        (Girls, 180.5, 0.895569834, 161.8979913, 0.040083845),
    ];
    for (sex, months, l, m, s) in quoted {
        assert_eq!(row(sex, months), Lms { l, m, s }, "{sex:?} {months}");
    }
}

#[test]
fn every_printed_centile_follows_from_its_row() {
    // 436 rows of nine centiles, printed to eight figures; SciPy 1.17.1
    // (special.inv_boxcox, special.ndtri) departs from them by 2.5e-7 cm at
    // most.
    assert_eq!(rows().len(), 436);
    for row in rows() {
        for (p, printed) in PUBLISHED_CENTILES.into_iter().zip(row.centiles) {
            near(row.lms.at_z(z_of_centile(p).unwrap()).unwrap(), printed, 5e-7);
        }
    }
}

#[test]
fn centiles_quoted_apart_from_the_table() {
    // Public tests of the same data (read).
    let at = |sex, months, p| row(sex, months).at_z(z_of_centile(p).unwrap()).unwrap();
    near(at(Boys, 24.0, 5.0), 80.72977, 1e-5);
    near(at(Boys, 24.0, 97.0), 93.02265, 1e-5);
    near(at(Girls, 60.5, 3.0), 99.35047319, 1e-6);
    near(at(Girls, 120.5, 3.0), 125.95990, 1e-5);
    near(at(Girls, 120.5, 95.0), 149.60438, 1e-5);
    near(at(Girls, 120.5, 97.0), 151.29195, 1e-5);
    near(at(Girls, 180.5, 97.0), 174.15051, 1e-5);
    near(at(Boys, 120.5, 3.0), 126.66778, 1e-5);
    near(at(Boys, 240.0, 97.0), 190.19431, 1e-5);
}

#[test]
fn heights_worked_by_hand() {
    // Computed from the formula and the rows.
    let z = |sex, months, cm| row(sex, months).z(cm).unwrap();
    near(z(Boys, 144.5, 140.0), -1.272, 0.0005);
    near(centile(z(Boys, 144.5, 140.0)), 10.2, 0.05);
    near(z(Boys, 144.5, 155.0), 0.755, 0.0005);
    near(z(Girls, 120.5, 130.0), -1.247, 0.0005);
    near(centile(z(Girls, 120.5, 130.0)), 10.6, 0.05);
    near(z(Girls, 144.5, 150.0), -0.202, 0.0005);
    near(centile(z(Girls, 144.5, 150.0)), 42.0, 0.05);
    near(z(Girls, 156.5, 150.0), -1.058, 0.0005);
    near(z(Boys, 156.5, 150.0), -0.817, 0.0005);
    // L close to zero: z -2 at 118.620 cm.
    near(row(Girls, 101.5).at_z(-2.0).unwrap(), 118.620, 0.0005);
}

#[test]
fn as_an_independent_library() {
    // SciPy 1.17.1: special.boxcox(x / M, L) / S and special.ndtr; NumPy
    // 2.4.6: interp between rows. Sex, months, cm, z, centile.
    let golden = [
        (Boys, 24.00, 80.00, -1.855100351, 3.1790949),
        (Boys, 144.50, 140.00, -1.271527075, 10.1770601),
        (Boys, 144.50, 155.00, 0.754876124, 77.4838343),
        (Boys, 156.50, 150.00, -0.817313370, 20.6874684),
        (Boys, 200.00, 181.30, 0.896985144, 81.5136578),
        (Boys, 239.75, 160.00, -2.340211559, 0.9636410),
        (Girls, 24.25, 92.00, 1.963898387, 97.5229062),
        (Girls, 101.50, 118.62, -2.000060895, 2.2746844),
        (Girls, 120.50, 130.00, -1.246643909, 10.6264047),
        (Girls, 144.50, 150.00, -0.201619030, 42.0107283),
        (Girls, 151.20, 162.50, 1.048858434, 85.2878361),
        (Girls, 156.50, 150.00, -1.058050087, 14.5016304),
        (Girls, 180.00, 148.10, -2.129209011, 1.6618486),
        (Girls, 240.00, 175.00, 1.808090258, 96.4703773),
    ];
    for (sex, months, cm, z, share) in golden {
        let got = row(sex, months).z(cm).unwrap();
        near(got, z, 1e-8);
        near(centile(got), share, 1e-6);
    }
}

#[test]
fn no_z_score_of_what_is_no_height() {
    for bad in [0.0, -3.0, f64::NAN, f64::INFINITY] {
        assert_eq!(WEIGHT.z(bad), None, "{bad}");
        assert_eq!(WEIGHT.restricted_z(bad), None, "{bad}");
    }
    assert!(z_of_centile(0.0).is_none() && z_of_centile(100.0).is_none());
}
