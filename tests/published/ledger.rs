//! Which published or worked value is checked where.
//!
//! One row a worked or published value: what it is, the file beside this one,
//! and the function in it. The prognosis of 2009 is the one value whose print
//! disagrees with its own inputs; its test says so. A test holds the table
//! against the files.

#![allow(clippy::disallowed_methods)] // Tests read files.

use std::fs;
use std::path::Path;

/// What is checked, in which file, by which function.
const CHECKED: &[(&str, &str, &str)] = &[
    (
        "weights by LMS: z, centile, restricted z",
        "cdc_stature",
        "the_worked_examples_of_the_data_files",
    ),
    ("restricted z beyond three", "cdc_stature", "the_restricted_form_beyond_three"),
    (
        "stature for age: every printed centile",
        "cdc_stature",
        "every_printed_centile_follows_from_its_row",
    ),
    (
        "stature for age: centiles quoted elsewhere",
        "cdc_stature",
        "centiles_quoted_apart_from_the_table",
    ),
    ("heights worked by hand, L near zero among them", "cdc_stature", "heights_worked_by_hand"),
    ("progression factor 2.083, 2.273, 1.000", "progression_factor", "worked_values"),
    ("progressed in the study of 1984: 169 of 727", "incidence", "the_study_as_a_whole"),
    (
        "prognosis of 2009, not reproduced from its inputs: 3.52",
        "brace_results",
        "the_prognosis_of_2009_does_not_reproduce_its_own_example",
    ),
    ("prognosis of 2016: 3.75", "brace_results", "the_prognosis_of_2016"),
    (
        "trial of bracing: number needed to treat, odds ratio",
        "brace_results",
        "the_trial_of_bracing",
    ),
    ("success of a cohort: 67.7 %", "brace_results", "success_of_a_cohort"),
    ("outcome bands at -6, -5, 0, 5, 6 degrees", "outcome_bands", "scoliosis_bands"),
    ("ends at maturity: 45 and 46, 49 and 50 degrees", "outcome_bands", "ends_at_maturity"),
    ("names of hours: 12 and 20 h a day", "brace_results", "names_of_prescribed_hours"),
    (
        "in-brace correction 43.75 %, ratio to flexibility 1.75",
        "correction",
        "flexibility_and_its_ratio",
    ),
    ("kyphosis 55.6 to 39 degrees", "sagittal", "kyphosis_reduced_in_per_cent"),
    ("height lost by two formulas and a variant", "height_loss", "worked_values"),
    ("surgical gain 36.1 mm", "frontal_film", "height_gained_by_surgery"),
    ("expected tilt and lordosis by incidence", "sagittal", "expected_tilt_and_lordosis"),
    ("incidence = tilt + slope", "sagittal", "the_pelvic_identity"),
    ("pelvic tilt by incidence and age: 11.9", "sagittal", "pelvic_tilt_by_age"),
    ("adult sagittal modifiers at their bounds", "sagittal", "adult_modifiers"),
    (
        "wedges 5, 6, 5 by both cut-offs",
        "wedges",
        "five_six_five_meets_one_cut_off_and_fails_the_other",
    ),
    ("curve type 2", "curve_types", "a_stiff_upper_curve_makes_type_2"),
    ("structural by kyphosis", "curve_types", "kyphosis_counts_whatever_the_flexibility"),
    ("curve type 5, flexibility 36.0 % and 79.2 %", "curve_types", "the_printed_example_of_type_5"),
    ("Cobb from trunk rotation by regression", "frontal_film", "curves_from_trunk_rotation"),
    ("Oswestry index 32 % and 35.6 %", "scores", "the_oswestry_index"),
    ("domain of the SRS-22r with missing answers", "scores", "a_domain_is_the_mean_of_its_answers"),
    ("pain 6 to 4 is an important change", "scores", "important_changes_in_low_back_pain"),
    ("dose against natural background", "radiation", "against_natural_background"),
    ("dose from the dose-area product", "radiation", "from_the_dose_area_product"),
    ("672 samples, 12.4 h of 23 h", "wear", "hasler_2010"),
    ("error of an evaluation 1.54 %", "wear", "error_of_an_evaluation"),
    ("told against measured 1.34", "wear", "told_against_measured"),
    ("Wilson intervals", "newcombe", "wilson_intervals"),
    ("kappa 0.40", "agreement", "kappa_of_words"),
    (
        "intraclass correlations of the classic table",
        "shrout_fleiss",
        "six_targets_and_four_judges",
    ),
    ("error and detectable change from SD and ICC", "agreement", "error_from_reliability"),
    ("SD from a 95 % limit of 4.9", "agreement", "error_from_a_published_limit"),
    ("median slope 3.5, least squares 3.6 a year", "slopes", "median_of_pairwise_slopes"),
    (
        "rib-vertebra angle difference by both thresholds",
        "frontal_film",
        "rib_vertebra_limits_differ_between_seventeen_and_twenty",
    ),
    (
        "trunk shift 2.2 cm by regression",
        "frontal_film",
        "trunk_shift_from_translation_and_balance",
    ),
    ("size classes of early-onset curves", "sagittal", "early_onset_classes"),
    (
        "balance neutral at 20.0 mm, positive at 20.1",
        "frontal_film",
        "balance_is_neutral_within_twenty_millimetres",
    ),
];

#[test]
fn every_checked_value_has_its_test() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published");
    for (what, file, function) in CHECKED {
        let path = folder.join(format!("{file}.rs"));
        let text = fs::read_to_string(&path).unwrap_or_else(|e| panic!("{what}: {file}: {e}"));
        let named = |line: &str| line == format!("fn {function}() {{");
        let names: Vec<_> = text.lines().filter(|l| l.starts_with("fn ")).collect();
        assert!(
            text.lines().any(named),
            "{what}: no function `{function}` in {file}.rs: {names:#?}"
        );
    }
}
