//! The item codes of a request held against the table and the brace asked for.

use crate::case::{Case, Made, OrthosisClass, Request};
use crate::diag::{Code, Diagnostic, Located, Report};
use crate::facts::{Fact, Facts};

use super::{Build, Item, ItemKind, ItemTable};

/// Reports contradictions among the item codes of every request.
pub fn check(case: &Case, table: &ItemTable, report: &mut Report) {
    for request in &case.requests {
        let listed = known(request, table, report);
        bases(&listed, report);
        additions(&listed, request, report);
        against(case, request, &listed, report);
    }
}

/// The recorded codes whose words say scoliosis.
pub fn say_scoliosis<'a>(case: &'a Case, table: &'a ItemTable) -> Vec<Listed<'a>> {
    let codes = case.requests.iter().flat_map(|r| &r.codes);
    let listed = codes.filter_map(|code| Some((code, table.item(code)?)));
    listed.filter(|(_, item)| item.text.contains("scoliosis")).collect()
}

/// Reports codes that say scoliosis of a curve that never reached its
/// definition.
pub fn against_diagnosis(named: &[Listed], facts: &Facts, report: &mut Report) {
    let below = facts.get("diagnosis.below_definition").and_then(Fact::word);
    if below != Some("yes") {
        return;
    }
    for (code, item) in named {
        let message = format!(
            "`{}` is a {}; no frontal curve has reached the size called scoliosis",
            code.value, item.text
        );
        report.add(Code::ItemCodeAgainstDiagnosis, &code.place, message);
    }
}

/// A recorded code with its item.
pub type Listed<'a> = (&'a Located<String>, &'a Item);

fn known<'a>(request: &'a Request, table: &'a ItemTable, report: &mut Report) -> Vec<Listed<'a>> {
    let mut listed = Vec::new();
    for code in &request.codes {
        match table.item(code) {
            Some(item) => listed.push((code, item)),
            None => {
                let (set, edition) = (&table.set, &table.edition);
                let message =
                    format!("`{}` is no spinal orthosis of {set} ({edition})", code.value);
                report.add(Code::ItemCodeUnknown, &code.place, message);
            }
        }
    }
    listed
}

fn whole(item: &Item) -> bool {
    matches!(item.kind, ItemKind::Base | ItemKind::Complete)
}

fn bases(listed: &[Listed], report: &mut Report) {
    let mut bases = listed.iter().filter(|(_, item)| whole(item));
    let Some((first, _)) = bases.next() else { return };
    for (code, _) in bases {
        let message = match code.value == first.value {
            true => format!("`{}` stands twice", code.value),
            false => format!("`{}` and `{}` are both whole orthoses", first.value, code.value),
        };
        let fault = Diagnostic::new(Code::ItemCodeRepeated, Some(code.place.clone()), message);
        report.push(fault.related(first.place.clone(), "the first one"));
    }
}

fn additions(listed: &[Listed], request: &Request, report: &mut Report) {
    let complete = listed.iter().find(|(_, item)| item.kind == ItemKind::Complete);
    let alone = !listed.iter().any(|(_, item)| whole(item));
    // A mistyped base would make every addition look alone.
    let all_known = listed.len() == request.codes.len();
    for (code, item) in listed {
        let addition = item.kind == ItemKind::Addition;
        if let (true, Some((base, _))) = (addition, complete) {
            let message = format!(
                "`{}` ({}) is added to `{}`, which is complete as prefabricated",
                code.value, item.text, base.value
            );
            let place = Some(code.place.clone());
            let fault = Diagnostic::new(Code::AdditionToComplete, place, message);
            report.push(fault.related(base.place.clone(), "the complete item"));
        }
        if alone && all_known && (addition || item.kind == ItemKind::Accessory) {
            let message = format!("`{}` ({}) is added to no orthosis", code.value, item.text);
            report.add(Code::AdditionWithoutBase, &code.place, message);
        }
    }
}

/// Each code against how the brace is made and of which class it is.
fn against(case: &Case, request: &Request, listed: &[Listed], report: &mut Report) {
    let treatment = case.treatments.iter().find(|t| t.id.value == request.item.value);
    let made = request.made.as_ref().or_else(|| treatment.and_then(|t| t.made.as_ref()));
    let class = treatment.and_then(|t| t.class.as_ref());
    for (code, item) in listed {
        if let Some(made) = made {
            make(code, item, made, report);
        }
        if let Some(class) = class {
            of_class(code, item, class, report);
        }
    }
}

fn make(code: &Located<String>, item: &Item, made: &Located<Made>, report: &mut Report) {
    // Pads and straps are ready-made for a brace made either way.
    if !whole(item) || item.build.fits(made.value) {
        return;
    }
    let (build, word) = (item.build.word(), made.word());
    let included = if item.build == Build::Prefabricated { ", fitting included" } else { "" };
    let code_says = format!("`{}` is a {build} item{included}", code.value);
    let code_says = code_says.replace("a off", "an off");
    let message = format!("{code_says}; the brace is recorded as {word}");
    let fault = Diagnostic::new(Code::ItemCodeAgainstMake, Some(code.place.clone()), message);
    report.push(fault.related(made.place.clone(), "how it is made"));
}

fn of_class(
    code: &Located<String>,
    item: &Item,
    class: &Located<OrthosisClass>,
    report: &mut Report,
) {
    // A low-profile addition may complete a brace with a neck ring.
    let raised = item.kind == ItemKind::Addition && class.value == OrthosisClass::Ctlso;
    if item.class.fits(class.value) || raised {
        return;
    }
    let (item, word) = (item.class.word(), class.word());
    let message = format!("`{}` is a code of a {item} orthosis; the brace is a {word}", code.value);
    let message = message.replace("a LSO", "an LSO");
    let fault = Diagnostic::new(Code::ItemCodeAgainstClass, Some(code.place.clone()), message);
    report.push(fault.related(class.place.clone(), "the class"));
}
