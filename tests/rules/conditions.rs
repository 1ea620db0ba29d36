//! Conditions: what every comparison and joining word means.

use endplate::facts::{Missing, Value};
use endplate::quantity::{Age, Reported, Unit};
use endplate::rules::{Condition, Op, Test, Verdict};
use endplate::spine::Side;
use proptest::prelude::*;

use super::support::*;

use Verdict::{CannotTell, Met, NotMet};

const ALL: [Verdict; 3] = [NotMet, CannotTell, Met];

/// A test whose verdict is known beforehand, on a fact of its own.
fn known(n: usize, verdict: Verdict) -> ((String, Value), Condition) {
    let id = format!("known.f{n}");
    let value = match verdict {
        Met => whole(1, Unit::One),
        NotMet => whole(0, Unit::One),
        CannotTell => not_recorded(&format!("item {n}"), "nobody"),
    };
    ((id.clone(), value), number(&id, Op::AtLeast, 1, Unit::One))
}

fn verdict_of(make: impl Fn(Vec<Condition>) -> Condition, parts: &[Verdict]) -> Verdict {
    let (values, leaves): (Vec<_>, Vec<_>) =
        parts.iter().enumerate().map(|(n, v)| known(n, *v)).unzip();
    let values: Vec<(&str, Value)> =
        values.iter().map(|(id, v)| (id.as_str(), v.clone())).collect();
    make(leaves).evaluate(&facts(&values)).verdict
}

#[test]
fn truth_tables_are_kleenes() {
    // Kleene, Introduction to Metamathematics, 1952, section 64, strong
    // tables, from memory; rows and columns: not met, cannot tell, met.
    let and = [[NotMet; 3], [NotMet, CannotTell, CannotTell], [NotMet, CannotTell, Met]];
    let or = [[NotMet, CannotTell, Met], [CannotTell, CannotTell, Met], [Met; 3]];
    let not = [Met, CannotTell, NotMet];
    for (i, a) in ALL.into_iter().enumerate() {
        for (j, b) in ALL.into_iter().enumerate() {
            assert_eq!(verdict_of(Condition::All, &[a, b]), and[i][j], "{a} and {b}");
            assert_eq!(verdict_of(Condition::Any, &[a, b]), or[i][j], "{a} or {b}");
        }
        let negate = |mut parts: Vec<Condition>| Condition::Not(Box::new(parts.remove(0)));
        assert_eq!(verdict_of(negate, &[a]), not[i], "not {a}");
    }
}

#[test]
fn every_comparison_just_under_at_just_over_and_missing() {
    // Tenths on purpose: the bound has none, the fact has one.
    let cases = [
        (Op::AtLeast, NotMet, Met, Met),
        (Op::Above, NotMet, NotMet, Met),
        (Op::AtMost, Met, Met, NotMet),
        (Op::Below, Met, NotMet, NotMet),
    ];
    for (op, under, at, over) in cases {
        let rule = number("x", op, 25, Unit::Degree);
        for (value, expected) in [(24.9, under), (25.0, at), (25.1, over)] {
            let outcome = rule.evaluate(&facts(&[("x", tenths(value, Unit::Degree))]));
            assert_eq!(outcome.verdict, expected, "{} 25, value {value}", op.key());
            assert!(outcome.missing().is_empty());
            let margin = outcome.evidence[0].margin.unwrap();
            assert_eq!(margin, Reported::round(value - 25.0, 1, Unit::Degree));
        }
        let missing = rule.evaluate(&facts(&[("x", not_recorded("Cobb angle", "the reader"))]));
        assert_eq!(missing.verdict, CannotTell);
        assert_eq!(missing.missing()[0].what, "Cobb angle: not recorded");
        assert_eq!(missing.missing()[0].who.as_deref(), Some("the reader"));
        assert_eq!(rule.evaluate(&facts(&[])).verdict, CannotTell);
    }
}

#[test]
fn negative_and_zero_values_compare_by_size_and_sign() {
    let rule = number("x", Op::AtLeast, 0, Unit::Degree);
    for (value, expected) in [(-1, NotMet), (0, Met), (1, Met)] {
        assert_eq!(rule.evaluate(&facts(&[("x", whole(value, Unit::Degree))])).verdict, expected);
    }
}

#[test]
fn ages_are_compared_in_completed_months() {
    let age = |years, months| Value::Age(Age { years, months });
    let rule = leaf("patient.age", Test::Age(Op::Below, Age { years: 18, months: 0 }));
    let verdict = |value| rule.evaluate(&facts(&[("patient.age", value)])).verdict;
    assert_eq!(verdict(age(17, 11)), Met);
    assert_eq!(verdict(age(18, 0)), NotMet);
    assert_eq!(verdict(age(18, 1)), NotMet);
    let outcome = rule.evaluate(&facts(&[("patient.age", age(16, 9))]));
    // 16 years 9 months are 201 months, 18 years are 216.
    assert_eq!(outcome.evidence[0].margin, Some(Reported::whole(-15, Unit::Month)));
}

#[test]
fn words_and_sides_match_exactly() {
    let words = |list: &[&str]| Test::Words(list.iter().map(|w| w.to_string()).collect());
    let rule = leaf("state", words(&["not yet", "not applicable"]));
    let verdict = |value| rule.evaluate(&facts(&[("state", value)])).verdict;
    assert_eq!(verdict(Value::Word("not yet")), Met);
    assert_eq!(verdict(Value::Word("had")), NotMet);
    assert_eq!(verdict(Value::Word("not applicable")), Met);
    let side = leaf("side", words(&["left"]));
    let verdict = |s| side.evaluate(&facts(&[("side", Value::Side(s))])).verdict;
    assert_eq!(verdict(Side::Left), Met);
    assert_eq!(verdict(Side::Right), NotMet);
}

#[test]
fn a_word_that_says_nothing_is_known_answers_nothing() {
    let words = |w: &str| leaf("state", Test::Words(vec![w.into()]));
    let unknown = facts(&[("state", Value::Word("not recorded"))]);
    assert_eq!(words("had").evaluate(&unknown).verdict, CannotTell);
    let negated = Condition::Not(Box::new(words("had")));
    assert_eq!(negated.evaluate(&unknown).verdict, CannotTell);
    // Asked for itself, it is an answer.
    assert_eq!(words("not recorded").evaluate(&unknown).verdict, Met);
    let missing = facts(&[("state", not_recorded("first period", "the family"))]);
    assert_eq!(words("had").evaluate(&missing).verdict, CannotTell);
    assert_eq!(words("not recorded").evaluate(&missing).verdict, Met);
    // What does not apply is known not to be so.
    let nothing = Value::Missing(Missing::NotApplicable("recorded as male".into()));
    let other = facts(&[("state", nothing)]);
    assert_eq!(words("not yet").evaluate(&other).verdict, NotMet);
    assert_eq!(words("not applicable").evaluate(&other).verdict, Met);
}

#[test]
fn numbers_may_be_asked_for_by_list() {
    let list = [0, 1, 2].map(|n| Reported::whole(n, Unit::One)).to_vec();
    let rule = leaf("risser", Test::Numbers(list));
    for (grade, expected) in [(0, Met), (2, Met), (3, NotMet)] {
        let outcome = rule.evaluate(&facts(&[("risser", whole(grade, Unit::One))]));
        assert_eq!(outcome.verdict, expected);
    }
}

#[test]
fn every_kind_of_missing_is_told_apart() {
    let rule = number("x", Op::AtMost, 3, Unit::Centimetre);
    let missing = |value| rule.evaluate(&facts(&[("x", Value::Missing(value))]));
    for (value, says) in [
        (Missing::NotApplicable("no brace yet".into()), "the x: not applicable: no brace yet"),
        (Missing::NotComparable("one sitting".into()), "the x: not comparable: one sitting"),
        (
            Missing::CannotTell("two exams disagree".into()),
            "the x: cannot tell: two exams disagree",
        ),
    ] {
        let outcome = missing(value);
        assert_eq!(outcome.verdict, CannotTell);
        assert_eq!(outcome.missing()[0].what, says);
        assert_eq!(outcome.missing()[0].who, None);
    }
}

#[test]
fn a_fact_of_another_unit_or_kind_is_a_fault_and_never_an_answer() {
    let rule = number("x", Op::AtLeast, 25, Unit::Degree);
    for value in [whole(80, Unit::Percent), Value::Word("large"), Value::Text("30 deg".into())] {
        let case = facts(&[("x", value), ("y", whole(30, Unit::Degree))]);
        let outcome = rule.evaluate(&case);
        assert_eq!(outcome.verdict, CannotTell);
        assert_eq!(outcome.mismatches.len(), 1);
        assert_eq!(outcome.mismatches[0].wanted, "a number in deg");
        // Not even where another part would have decided.
        let any = Condition::Any(vec![number("y", Op::AtLeast, 25, Unit::Degree), rule.clone()]);
        assert_eq!(any.evaluate(&case).verdict, CannotTell);
    }
}

#[test]
fn only_what_decides_is_called_missing() {
    let rule = Condition::Any(vec![
        number("a", Op::AtLeast, 25, Unit::Degree),
        number("b", Op::AtLeast, 5, Unit::Centimetre),
    ]);
    let missing = not_recorded("height", "the clinic");
    let met = rule.evaluate(&facts(&[("a", whole(30, Unit::Degree)), ("b", missing.clone())]));
    assert_eq!(met.verdict, Met);
    assert!(met.missing().is_empty());
    let decides: Vec<bool> = met.evidence.iter().map(|e| e.decides).collect();
    assert_eq!(decides, [true, false]);
    // The unknown part stays in the evidence all the same.
    assert_eq!(met.evidence[1].missing.as_ref().unwrap().what, "height: not recorded");
    let open = rule.evaluate(&facts(&[("a", whole(20, Unit::Degree)), ("b", missing)]));
    assert_eq!(open.verdict, CannotTell);
    assert_eq!(open.missing().len(), 1);
    assert_eq!(open.missing()[0].what, "height: not recorded");
}

#[test]
fn a_verdict_that_rounding_made_says_so() {
    let rule = number("x", Op::AtLeast, 25, Unit::Degree);
    let flips = |unrounded: f64| {
        let mut case = facts(&[]);
        let value = Value::Number(Reported::round(unrounded, 0, Unit::Degree));
        case.insert(endplate::facts::Fact { unrounded: Some(unrounded), ..fact("x", value) });
        let outcome = rule.evaluate(&case);
        (outcome.verdict, outcome.evidence[0].flips)
    };
    assert_eq!(flips(24.6), (Met, true));
    assert_eq!(flips(25.4), (Met, false));
    assert_eq!(flips(24.4), (NotMet, false));
}

/// A tree over the tests `known.f0` .. each used once, so that the parts are
/// independent of one another.
#[derive(Debug, Clone)]
enum Shape {
    Leaf,
    All(Vec<Shape>),
    Any(Vec<Shape>),
    Not(Box<Shape>),
}

fn shape() -> impl Strategy<Value = Shape> {
    Just(Shape::Leaf).prop_recursive(3, 9, 3, |inner| {
        prop_oneof![
            prop::collection::vec(inner.clone(), 1..4).prop_map(Shape::All),
            prop::collection::vec(inner.clone(), 1..4).prop_map(Shape::Any),
            inner.prop_map(|s| Shape::Not(Box::new(s))),
        ]
    })
}

fn leaves(shape: &Shape) -> usize {
    match shape {
        Shape::Leaf => 1,
        Shape::All(parts) | Shape::Any(parts) => parts.iter().map(leaves).sum(),
        Shape::Not(part) => leaves(part),
    }
}

/// The condition of a shape, its tests numbered from left to right; written
/// backwards if asked.
fn condition(shape: &Shape, next: &mut usize, backwards: bool) -> Condition {
    let mut parts = |list: &[Shape]| {
        let mut parts: Vec<_> = list.iter().map(|s| condition(s, next, backwards)).collect();
        if backwards {
            parts.reverse();
        }
        parts
    };
    match shape {
        Shape::All(list) => Condition::All(parts(list)),
        Shape::Any(list) => Condition::Any(parts(list)),
        Shape::Not(part) => Condition::Not(Box::new(condition(part, next, backwards))),
        Shape::Leaf => {
            *next += 1;
            known(*next - 1, Met).1
        }
    }
}

/// Two-valued logic, written apart from the code under test.
fn holds(shape: &Shape, values: &mut impl Iterator<Item = bool>) -> bool {
    match shape {
        Shape::Leaf => values.next().unwrap(),
        Shape::All(parts) => parts.iter().fold(true, |so_far, p| holds(p, values) & so_far),
        Shape::Any(parts) => parts.iter().fold(false, |so_far, p| holds(p, values) | so_far),
        Shape::Not(part) => !holds(part, values),
    }
}

/// The answer by trying every way in which the unknown tests could turn out.
fn by_trial(shape: &Shape, verdicts: &[Verdict]) -> Verdict {
    let unknown = verdicts.iter().filter(|v| **v == CannotTell).count();
    let mut seen = [false; 2];
    for trial in 0..1u32 << unknown {
        let mut bit = 0;
        let mut values = verdicts.iter().map(|v| match v {
            Met => true,
            NotMet => false,
            CannotTell => {
                bit += 1;
                trial >> (bit - 1) & 1 == 1
            }
        });
        seen[usize::from(holds(shape, &mut values))] = true;
    }
    match seen {
        [true, true] => CannotTell,
        [false, _] => Met,
        [_, false] => NotMet,
    }
}

proptest! {
    /// An unknown part never hides a known answer, and none is made up: the
    /// verdict is known exactly if every way the unknown could turn out agrees.
    #[test]
    fn the_verdict_is_what_every_completion_agrees_on(
        shape in shape(),
        choice in prop::collection::vec(0usize..3, 27),
    ) {
        let count = leaves(&shape);
        let verdicts: Vec<Verdict> = choice.iter().take(count).map(|i| ALL[*i]).collect();
        prop_assume!(verdicts.len() == count);
        let values: Vec<_> = verdicts.iter().enumerate().map(|(n, v)| known(n, *v).0).collect();
        let values: Vec<_> = values.iter().map(|(id, v)| (id.as_str(), v.clone())).collect();
        let case = facts(&values);
        let outcome = condition(&shape, &mut 0, false).evaluate(&case);
        prop_assert_eq!(outcome.verdict, by_trial(&shape, &verdicts));
        prop_assert_eq!(outcome.evidence.len(), count);
        // The order in which parts are written never matters.
        let turned = condition(&shape, &mut 0, true).evaluate(&case);
        prop_assert_eq!(turned.verdict, outcome.verdict);
        let sorted = |o: &endplate::rules::Outcome| {
            let mut list = o.missing();
            list.sort();
            list
        };
        prop_assert_eq!(sorted(&turned), sorted(&outcome));
        // What is missing is named exactly when the answer is missing.
        prop_assert_eq!(outcome.missing().is_empty(), outcome.verdict != CannotTell);
    }
}
