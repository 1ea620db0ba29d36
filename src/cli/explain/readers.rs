//! How well the clinic's own readings repeat.

use std::fmt::Write;

use endplate::audit::readers::{ADVISED, Compared, FEWEST, Figures, Summary, summaries, targets};
use endplate::case::Case;
use endplate::course::agreement;
use endplate::course::change::Group;
use endplate::course::icc::{self, Icc};
use endplate::course::spread::{self, Interval};
use endplate::quantity::{Reported, Unit};
use serde_json::{Value, json};

use crate::cli::terminal::Terminal;
use crate::cli::{Ended, Exit, Format};

/// Prints the comparison of all repeated readings of these cases.
pub fn explain(cases: &[&Case], format: Format, terminal: &mut Terminal) -> Ended {
    let targets = targets(cases.iter().copied());
    let all = summaries(&targets);
    match format {
        Format::Json => terminal.print_json(&as_json(cases.len(), &all))?,
        Format::Text => terminal.print(&text(cases.len(), &all))?,
    }
    Ok(Exit::Done)
}

fn text(cases: usize, all: &[Summary]) -> String {
    let mut out = format!("readings of one film compared, {}\n", count(cases, "case"));
    if all.is_empty() {
        out.push_str("\nno curve was read more than once\n");
    }
    all.iter().for_each(|summary| group(summary, &mut out));
    out.push_str(&notes());
    out.push_str(&proposal(all));
    out
}

fn group(summary: &Summary, out: &mut String) {
    let _ = writeln!(
        out,
        "\n{}: {} of {}, {}",
        words(summary.group),
        count(summary.targets, "curve"),
        count(summary.patients, "patient"),
        count(summary.readings, "reading"),
    );
    for again in &summary.again {
        let title = format!("{} read again (again minus first)", again.reader);
        compared(&title, &again.compared, out);
    }
    for pair in &summary.pairs {
        let title = format!("{} and {} ({1} minus {0})", pair.first, pair.second);
        compared(&title, &pair.compared, out);
    }
    if let Some(everyone) = &summary.everyone {
        compared("curves that every reader read", everyone, out);
    }
    if summary.again.len() > 1 {
        compared("each reader again, together", &summary.within, out);
    }
    if summary.pairs.len() > 1 {
        compared("different readers, together", &summary.between, out);
    }
}

fn compared(title: &str, compared: &Compared, out: &mut String) {
    let _ = writeln!(
        out,
        "  {title}: {}, same end vertebrae on {}",
        count(compared.targets, "curve"),
        compared.same_ends
    );
    let lines = match &compared.figures {
        Some(figures) => lines(figures),
        None if compared.targets < FEWEST => {
            vec![("too few", format!("{} of at least {FEWEST}", compared.targets))]
        }
        None => Vec::new(),
    };
    for (name, value) in lines {
        let _ = writeln!(out, "    {name:<17}  {value}");
    }
}

fn lines(figures: &Figures) -> Vec<(&'static str, String)> {
    let mut lines = Vec::new();
    if let Some(l) = &figures.limits {
        lines.push((
            "mean difference",
            format!("{} deg {}", degrees(l.bias), ends(l.bias_interval)),
        ));
        lines.push(("SD of differences", format!("{} deg", degrees(l.sd))));
        let lower = format!("{} deg {}", degrees(l.lower), ends(l.lower_interval));
        let upper = format!("{} deg {}", degrees(l.upper), ends(l.upper_interval));
        lines.push(("limits, lower", lower));
        lines.push(("limits, upper", upper));
    }
    if let Some(iccs) = &figures.iccs {
        for (name, icc) in [
            ("ICC(1,1)", iccs.one_way),
            ("ICC(2,1)", iccs.agreement),
            ("ICC(3,1)", iccs.consistency),
        ] {
            lines.push((name, correlation(icc)));
        }
    }
    let sem = &figures.within;
    let interval = |i: Option<Interval>| i.map_or(String::new(), |i| format!(" {}", ends(i)));
    lines.push(("SEM", format!("{} deg{}", degrees(sem.sd), interval(sem.interval))));
    let repeats = interval(figures.repeatability_interval());
    lines.push(("repeatability", format!("{} deg{repeats}", figures.repeatability().digits())));
    lines
}

fn correlation(icc: Icc) -> String {
    let share = |x: f64| Reported::round(x, 2, Unit::One).digits();
    match icc.single_interval {
        Some(i) => format!("{} ({} to {})", share(icc.single), share(i.low), share(i.high)),
        None => share(icc.single),
    }
}

fn notes() -> String {
    format!(
        "\nIn brackets: 95 % intervals; they take curves as independent, and those of one patient are alike.\n\
         Angles are unrounded. A curve read n times weighs n - 1; two readers are compared on the curves both read, by their first reading.\n\
         SEM         {}\n\
         limits      {}\n\
         ICC         {}\n",
        spread::SOURCE.line(),
        agreement::SOURCE.line(),
        icc::SOURCE.line(),
    )
}

/// The line for the clinic's settings, or why there is none.
fn proposal(all: &[Summary]) -> String {
    let group = all.iter().find(|s| s.group == Group::Scoliosis);
    match group.and_then(|s| s.proposal()) {
        Some(limit) => format!(
            "\nFor cases/clinic.yaml, if the clinician in charge decides so ({}, {}; it takes the place of the published limits and of the floor):\n\n\
             limits:\n  repeatability: {} deg\n",
            words(Group::Scoliosis),
            basis(group),
            limit.digits()
        ),
        None => {
            let freedom = group.map_or(0, Summary::freedom);
            let whose = basis(group);
            format!(
                "\nNo line for `limits: {{repeatability: ...}}` in cases/clinic.yaml: {freedom} of at least {ADVISED} readings beyond the first, from {whose} ({})\n",
                words(Group::Scoliosis)
            )
        }
    }
}

/// Whose readings the proposal rests on.
fn basis(group: Option<&Summary>) -> &'static str {
    match group {
        Some(summary) if summary.readers.len() == 1 => "the one reader's repeats",
        _ => "different readers of one film",
    }
}

fn words(group: Group) -> &'static str {
    match group {
        Group::Scoliosis => "scoliosis above ten years",
        Group::YoungChild => "scoliosis at ten years or less",
        Group::Congenital => "congenital curves",
        Group::Kyphosis => "lateral films",
    }
}

fn count(n: usize, what: &str) -> String {
    format!("{n} {what}{}", if n == 1 { "" } else { "s" })
}

fn tenth(x: f64) -> Reported {
    Reported::round(x, 1, Unit::Degree)
}

fn degrees(x: f64) -> String {
    tenth(x).digits()
}

fn ends(i: Interval) -> String {
    format!("({} to {})", degrees(i.low), degrees(i.high))
}

fn as_json(cases: usize, all: &[Summary]) -> Value {
    let scoliosis = all.iter().find(|s| s.group == Group::Scoliosis);
    json!({
        "cases": cases,
        "fewest": FEWEST,
        "advised": ADVISED,
        "unit": Unit::Degree.ucum(),
        "groups": all.iter().map(group_json).collect::<Vec<_>>(),
        "repeatability": scoliosis.and_then(Summary::proposal).map(Reported::value),
        "sources": [spread::SOURCE.line(), agreement::SOURCE.line(), icc::SOURCE.line()],
    })
}

fn group_json(summary: &Summary) -> Value {
    json!({
        "group": summary.group,
        "readers": summary.readers,
        "curves": summary.targets,
        "patients": summary.patients,
        "readings": summary.readings,
        "again": summary.again.iter().map(|a| json!({"reader": a.reader, "compared": compared_json(&a.compared)})).collect::<Vec<_>>(),
        "pairs": summary.pairs.iter().map(|p| json!({"first": p.first, "second": p.second, "compared": compared_json(&p.compared)})).collect::<Vec<_>>(),
        "everyone": summary.everyone.as_ref().map(compared_json),
        "within": compared_json(&summary.within),
        "between": compared_json(&summary.between),
    })
}

fn compared_json(compared: &Compared) -> Value {
    json!({
        "curves": compared.targets,
        "same_end_vertebrae": compared.same_ends,
        "too_few": compared.targets < FEWEST,
        "figures": compared.figures.as_ref().map(figures_json),
    })
}

fn figures_json(figures: &Figures) -> Value {
    let number = |x: f64| tenth(x).value();
    let interval = |i: Interval| json!([number(i.low), number(i.high)]);
    let share = |x: f64| Reported::round(x, 2, Unit::One).value();
    let icc = |i: Icc| {
        json!({
            "single": share(i.single),
            "single_interval": i.single_interval.map(|i| [share(i.low), share(i.high)]),
            "average": share(i.average),
            "average_interval": i.average_interval.map(|i| [share(i.low), share(i.high)]),
        })
    };
    json!({
        "mean_difference": figures.limits.map(|l| number(l.bias)),
        "mean_difference_interval": figures.limits.map(|l| interval(l.bias_interval)),
        "sd_of_differences": figures.limits.map(|l| number(l.sd)),
        "limits": figures.limits.map(|l| [number(l.lower), number(l.upper)]),
        "limits_intervals": figures.limits.map(|l| [interval(l.lower_interval), interval(l.upper_interval)]),
        "icc_1": figures.iccs.map(|i| icc(i.one_way)),
        "icc_2": figures.iccs.map(|i| icc(i.agreement)),
        "icc_3": figures.iccs.map(|i| icc(i.consistency)),
        "sem": number(figures.within.sd),
        "sem_interval": figures.within.interval.map(interval),
        "degrees_of_freedom": figures.within.freedom,
        "repeatability": figures.repeatability().value(),
        "repeatability_interval": figures.repeatability_interval().map(interval),
    })
}
