//! Conditions against an aeroplane, by truth tables written by hand.

use toeline_engine::notices::Truth::{No, Unknown, Yes};
use toeline_engine::notices::{Condition, Is, Truth};
use toeline_model::Aircraft;
use toeline_model::aircraft::catalog;

fn own() -> Aircraft {
    catalog::find("trainer-high-2").unwrap()
}

fn leaf(t: Truth) -> Condition {
    match t {
        Yes => Condition::Sort("an aeroplane".to_string(), true),
        No => Condition::Sort("a helicopter".to_string(), false),
        Unknown => Condition::Unknown("an emergency flight".to_string()),
    }
}

#[test]
fn and_or_and_not_in_three_values() {
    // Kleene's strong logic.
    let and = [
        (Yes, Yes, Yes),
        (Yes, Unknown, Unknown),
        (Yes, No, No),
        (Unknown, Yes, Unknown),
        (Unknown, Unknown, Unknown),
        (Unknown, No, No),
        (No, Yes, No),
        (No, Unknown, No),
        (No, No, No),
    ];
    let or = [
        (Yes, Yes, Yes),
        (Yes, Unknown, Yes),
        (Yes, No, Yes),
        (Unknown, Yes, Yes),
        (Unknown, Unknown, Unknown),
        (Unknown, No, Unknown),
        (No, Yes, Yes),
        (No, Unknown, Unknown),
        (No, No, No),
    ];
    let a = own();
    for (x, y, both) in and {
        assert_eq!(Condition::All(vec![leaf(x), leaf(y)]).of(&a), both, "{x:?} and {y:?}");
    }
    for (x, y, either) in or {
        assert_eq!(Condition::Any(vec![leaf(x), leaf(y)]).of(&a), either, "{x:?} or {y:?}");
    }
    for (x, not) in [(Yes, No), (No, Yes), (Unknown, Unknown)] {
        assert_eq!(Condition::Not(Box::new(leaf(x))).of(&a), not, "not {x:?}");
    }
    assert_eq!(Condition::All(vec![]).of(&a), Yes);
    assert_eq!(Condition::Any(vec![]).of(&a), No);
}

#[test]
fn spans_masses_and_engines_at_their_edges() {
    let a = own();
    for (is, below, same, above) in [
        (Is::Above, Yes, No, No),
        (Is::AtLeast, Yes, Yes, No),
        (Is::Same, No, Yes, No),
        (Is::AtMost, No, Yes, Yes),
        (Is::Below, No, No, Yes),
    ] {
        for (step, truth) in [(-0.5, below), (0.0, same), (0.5, above)] {
            assert_eq!(
                Condition::Span(is, a.wing.span_m + step).of(&a),
                truth,
                "span {is:?} {step}"
            );
            assert_eq!(
                Condition::Mass(is, a.mass.greatest_kg + step).of(&a),
                truth,
                "mass {is:?} {step}"
            );
        }
        for (n, truth) in [(0, below), (1, same), (2, above)] {
            assert_eq!(Condition::Engines(is, n).of(&a), truth, "engines {is:?} {n}");
        }
    }
}

#[test]
fn in_words_every_part_stands_where_it_belongs() {
    let c = Condition::All(vec![
        Condition::Any(vec![leaf(No), Condition::Span(Is::AtMost, 36.0)]),
        Condition::Not(Box::new(Condition::Mass(Is::Above, 5700.0))),
        leaf(Unknown),
    ]);
    assert_eq!(
        c.words(),
        "(a helicopter or a wing span of at most 36 m) and not a mass above 5700 kg and an emergency flight"
    );
    assert_eq!(c.unknowns(), ["an emergency flight"]);
    assert_eq!(c.of(&own()), Unknown);
}

#[test]
fn a_span_limit_is_seen_only_where_it_is_the_only_condition() {
    let most = Condition::Span(Is::AtMost, 12.0);
    assert_eq!(most.span_limit_m(), Some(12.0));
    let not_above = Condition::Not(Box::new(Condition::Any(vec![Condition::All(vec![Condition::Span(
        Is::Above,
        9.0,
    )])])));
    assert_eq!(not_above.span_limit_m(), Some(9.0));
    assert_eq!(Condition::All(vec![most.clone(), leaf(Yes)]).span_limit_m(), None);
    assert_eq!(Condition::Not(Box::new(most)).span_limit_m(), None);
}
