//! Bounds joined so that no value, or every value, passes: always a slip,
//! most often `all` written for `any`, or two bounds exchanged.

use std::cmp::Ordering;

use crate::diag::{Code, Diagnostic, Report};
use crate::quantity::{Reported, Unit};

use super::condition::{Condition, Leaf, Op, Test};

/// Reports each pair of bounds on one fact that no value can meet under
/// `all`, or that every value meets under `any`. Only parts that stand side
/// by side are compared.
pub(super) fn check(condition: &Condition, report: &mut Report) {
    let (parts, all) = match condition {
        Condition::All(parts) => (parts, true),
        Condition::Any(parts) => (parts, false),
        _ => return,
    };
    let bounds: Vec<Bound> = parts.iter().filter_map(bound).collect();
    for (n, first) in bounds.iter().enumerate() {
        for second in bounds[n + 1..].iter().filter(|b| b.leaf.fact == first.leaf.fact) {
            if idle(first, second, all) {
                complain(first.leaf, second.leaf, all, report);
            }
        }
    }
}

struct Bound<'a> {
    leaf: &'a Leaf,
    op: Op,
    at: Reported,
}

fn bound(part: &Condition) -> Option<Bound<'_>> {
    let Condition::Leaf(leaf) = part else { return None };
    match &leaf.test {
        Test::Number(op, at) => Some(Bound { leaf, op: *op, at: *at }),
        Test::Age(op, age) => {
            let at = Reported::whole(i64::from(age.in_months()), Unit::Month);
            Some(Bound { leaf, op: *op, at })
        }
        _ => None,
    }
}

/// Whether the two leave no value (`all`) or leave out none (`any`).
fn idle(first: &Bound, second: &Bound, all: bool) -> bool {
    let rises = |b: &Bound| matches!(b.op, Op::AtLeast | Op::Above);
    let (low, high) = match (rises(first), rises(second)) {
        (true, false) => (first, second),
        (false, true) => (second, first),
        _ => return false,
    };
    let included = |b: &Bound| matches!(b.op, Op::AtLeast | Op::AtMost);
    match low.at.compare(high.at) {
        Ordering::Greater => all,
        Ordering::Less => !all,
        Ordering::Equal if all => !(included(low) && included(high)),
        Ordering::Equal => included(low) || included(high),
    }
}

fn complain(first: &Leaf, second: &Leaf, all: bool, report: &mut Report) {
    let message = match all {
        true => format!("no value of {} can pass both tests", second.fact),
        false => format!("every value of {} passes one of the two tests", second.fact),
    };
    let fault = Diagnostic::new(Code::RuleForm, Some(second.place.clone()), message);
    let remedy = "check the bounds, and whether `all` or `any` is meant";
    report.push(fault.related(first.place.clone(), "the other test").remedy(remedy));
}
