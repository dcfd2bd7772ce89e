//! The published separations rebuilt from what they are made of: half the span, lateral deviation and increment (ICAO Doc
//! 9157 Part 2), or the formulas in the span (FAA AC 150/5300-13 and -13A). Figures and marks: from memory, high
//! confidence; the agreement is derived. The rows of edition 13B are held against their own identities.

use toeline_engine::clearance::published::{Publication, publications};
use toeline_model::units::FOOT_M;

fn publication(id: &str) -> &'static Publication {
    publications().iter().find(|p| p.id == id).expect("a publication")
}

#[test]
fn icao_rows_are_half_the_span_and_two_allowances() {
    // Largest span of a letter, metres; lateral deviation and increment on a taxiway; the same on a stand taxilane.
    let made_of = [
        (15.0, (1.5, 6.5), (1.5, 3.0)),
        (24.0, (2.25, 5.75), (1.5, 3.0)),
        (36.0, (3.0, 5.0), (1.5, 3.0)),
        (52.0, (4.0, 7.0), (2.5, 5.0)),
        (65.0, (4.0, 7.0), (2.5, 5.0)),
        (80.0, (4.0, 7.0), (2.5, 5.0)),
    ];
    let groups = &publication("icao-annex-14").groups;
    assert_eq!(groups.len(), made_of.len());
    for (g, (span_m, taxiway, taxilane)) in groups.iter().zip(made_of) {
        assert_eq!(g.span_below, span_m);
        assert!(
            (g.taxiway_to_object - (span_m / 2.0 + taxiway.0 + taxiway.1)).abs() < 1e-9,
            "{}",
            g.name
        );
        assert!(
            (g.taxilane_to_object - (span_m / 2.0 + taxilane.0 + taxilane.1)).abs() < 1e-9,
            "{}",
            g.name
        );
        assert!((g.taxiway_tip_m() - (taxiway.0 + taxiway.1)).abs() < 1e-9);
        assert!((g.taxilane_tip_m() - (taxilane.0 + taxilane.1)).abs() < 1e-9);
    }
}

#[test]
fn edition_13a_is_its_formulas_rounded_by_half_a_foot_at_most() {
    for g in &publication("faa-13a").groups {
        let feet = |m: f64| m / FOOT_M;
        let w = feet(g.span_below);
        for (row, formula) in [
            (g.taxiway_to_object, 0.7 * w + 10.0),
            (g.taxilane_to_object, 0.6 * w + 10.0),
            (g.taxiway_tip_m(), 0.2 * w + 10.0),
            (g.taxilane_tip_m(), 0.1 * w + 10.0),
        ] {
            assert!(
                (feet(row) - formula).abs() <= 0.5 + 1e-9,
                "{}: {} ft, {formula} ft",
                g.name,
                feet(row)
            );
        }
    }
}

#[test]
fn edition_13b_leaves_the_widest_wing_its_own_tip_row_and_group_i_is_unchanged() {
    let (a, b) = (publication("faa-13a"), publication("faa-13b"));
    for g in &b.groups {
        let left = |row: f64| row - g.span_below / 2.0;
        assert!(
            (left(g.taxiway_to_object) - g.taxiway_tip_m()).abs() < 1e-9,
            "{}",
            g.name
        );
        assert!(
            (left(g.taxilane_to_object) - g.taxilane_tip_m()).abs() < 1e-9,
            "{}",
            g.name
        );
    }
    assert_eq!(a.groups[0], b.groups[0]);
    for (older, newer) in a.groups.iter().zip(&b.groups) {
        assert!(
            newer.taxiway_to_object <= older.taxiway_to_object && newer.taxilane_to_object <= older.taxilane_to_object
        );
    }
}

#[test]
fn the_width_that_icao_asks_holds_the_gear_and_both_edges() {
    // Width of a straight taxiway by outer gear, metres (8th edition, 3.9.4).
    for (g, width_m) in publication("icao-annex-14").gear.iter().zip([7.5, 10.5, 15.0]) {
        let gear_m = g.outer_gear_below.expect("half open");
        assert!((gear_m + 2.0 * g.wheel_to_edge - width_m).abs() < 1e-9, "{}", g.name);
    }
}
