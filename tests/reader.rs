//! Reading case files and clinic files: what is accepted, and what is said
//! about what is not.

use endplate::case::read::{read_case, read_clinic};
use endplate::case::{Case, Clinic, DateStyle, PaperSize};
use endplate::diag::Report;

const DESIGN: &str = include_str!("reader/design.yaml");

const LANDMARKS: &str = "level,corner,x,y\nT5,upper left,1,2\nT5,upper right,3,2.5\n\
                         T5,lower right,3,4\nT5,lower left,1,4\n";

fn case(text: &str) -> (Option<Case>, Report) {
    let mut report = Report::default();
    let load = |_: &str| Ok(LANDMARKS.to_string());
    let case = read_case(text, "cases/a.yaml", &load, &mut report);
    (case, report)
}

fn clinic(text: &str) -> (Option<Clinic>, Report) {
    let mut report = Report::default();
    let clinic = read_clinic(text, "cases/clinic.yaml", &mut report);
    (clinic, report)
}

/// Every fault on one line: place, code, message, remedy.
fn faults(report: &Report) -> Vec<String> {
    let line = |d: &&endplate::diag::Diagnostic| {
        let at = d.place.as_ref().map(|p| format!("{}:{}", p.line, p.column));
        let related: Vec<_> = d
            .related
            .iter()
            .map(|(p, role)| format!(" [{}:{} {role}]", p.line, p.column))
            .collect();
        format!(
            "{} {}: {}{} => {}",
            at.unwrap_or_default(),
            d.code.name(),
            d.message,
            related.concat(),
            d.remedy.as_deref().unwrap_or("")
        )
    };
    report.sorted().iter().map(line).collect()
}

#[test]
fn the_example_of_the_format_reads_without_a_fault() {
    let (case, report) = case(DESIGN);
    assert_eq!(faults(&report), Vec::<String>::new());
    let case = case.unwrap();
    assert_eq!(case.id.value, "aq-0052");
    assert_eq!(case.films[0].readings[0].curves[0].cobb.as_ref().unwrap().to_degrees(), 19.0);
    assert_eq!(case.exams[0].height.as_ref().unwrap().to_millimetres(), 1512.0);
    assert_eq!(case.films[0].place.to_line_column(), "cases/a.yaml:17:5");
}

#[test]
fn a_clinic_file_reads_with_its_defaults() {
    let (small, report) = clinic("clinic: Harbour Row Spine Clinic\n");
    assert_eq!(faults(&report), Vec::<String>::new());
    let small = small.unwrap();
    assert_eq!((small.paper, small.dates), (PaperSize::A4, DateStyle::DayMonthYear));
    assert_eq!(small.language, "en");
    let (full, report) = clinic(
        "clinic: Harbour Row Spine Clinic\n\
         address: [2 Harbour Row, Tidewell]\n\
         people:\n  - {id: hk, name: Hanna Korr, credentials: \"MSc, CPO\", licence: O-1182}\n\
         responsible: hk\n\
         paper: US Letter\n\
         dates: month day year\n\
         limits: {real_change: 6 deg, scoliosis_inclusive: false, rate_months: 6}\n",
    );
    assert_eq!(faults(&report), Vec::<String>::new());
    let full = full.unwrap();
    assert_eq!(full.paper, PaperSize::UsLetter);
    assert_eq!(full.person("hk").unwrap().credentials.as_ref().unwrap().value, "MSc, CPO");
    assert!(!full.limits.scoliosis_inclusive.unwrap().value);
}
