//! The published design rows: every class boundary, every row, what is assumed, and what decides.

use super::world::*;
use toeline_engine::clearance::published::{Publication, publications};
use toeline_engine::clearance::{Clearance, Margins, Row, Verdict};
use toeline_engine::request::MarginRule;
use toeline_engine::route::LegKind;
use toeline_model::Aircraft;
use toeline_model::airfield::{Airfield, NamedArea, Surface};
use toeline_model::frame::xy;
use toeline_model::units::FOOT_M;

fn publication(id: &str) -> &'static Publication {
    publications().iter().find(|p| p.id == id).expect("a publication")
}

fn with_span(span_m: f64) -> Aircraft {
    let mut a = built_in("trainer-high-2");
    a.wing.span_m = span_m;
    a
}

/// A straight lane along x with a pole whose edge is `beside_m` from its centreline; the map is exact.
fn past_a_pole(a: &Aircraft, kind: LegKind, beside_m: f64, rule: MarginRule, field: Airfield) -> Clearance {
    let legs = vec![leg(kind, 0.0, 60.0, Some(30.0), &[xy(-10.0, 0.0), xy(70.0, 0.0)])];
    let field = Airfield {
        obstacles: vec![pole(xy(30.0, beside_m + 0.1), 0.1)],
        ..field
    };
    let exact = Margins {
        accuracy_m: Some(0.0),
        rule,
        ..margins()
    };
    checked(&field, a, &way(straight(a, 60.0), legs), &exact)
}

fn row(c: &Clearance, id: &str, row: Row) -> (f64, Option<f64>, Verdict) {
    let p = c.compared.iter().find(|p| p.id == id).expect("compared");
    let r = p.rows.iter().find(|r| r.row == row).expect("a row");
    (r.asked_m, r.found_m, r.verdict)
}

#[test]
fn there_are_three_publications_with_their_sources() {
    let ids: Vec<&str> = publications().iter().map(|p| p.id.as_str()).collect();
    assert_eq!(ids, ["faa-13b", "faa-13a", "icao-annex-14"]);
    for p in publications() {
        assert!(p.basis.starts_with("from memory"), "{}: {}", p.id, p.basis);
        assert!(!p.edition.is_empty() && p.table.contains("Table"));
        assert!(p.groups.windows(2).all(|w| w[0].span_below < w[1].span_below));
        assert!(p.gear.windows(2).all(|w| w[0].wheel_to_edge < w[1].wheel_to_edge));
    }
    // The edition in force decides, one a rule.
    let decides: Vec<&str> = publications()
        .iter()
        .filter(|p| p.decides)
        .map(|p| p.id.as_str())
        .collect();
    assert_eq!(decides, ["faa-13b", "icao-annex-14"]);
}

#[test]
fn a_span_on_a_boundary_belongs_to_the_next_class() {
    // standards.md A1 and B1: half-open; exactly 49 ft is group II, exactly 15 m is code letter B.
    let name = |id: &str, span_m: f64, tail_m: f64| publication(id).group_of(span_m, tail_m).map(|g| g.name.as_str());
    for (feet, below, at) in [
        (49.0, "I", Some("II")),
        (79.0, "II", Some("III")),
        (118.0, "III", Some("IV")),
        (171.0, "IV", Some("V")),
        (214.0, "V", Some("VI")),
        (262.0, "VI", None),
    ] {
        for id in ["faa-13a", "faa-13b"] {
            assert_eq!(name(id, feet * FOOT_M - 1e-6, 2.0), Some(below));
            assert_eq!(name(id, feet * FOOT_M, 2.0), at, "{feet} ft");
        }
    }
    for (feet, below, at) in [
        (20.0, "I", "II"),
        (30.0, "II", "III"),
        (45.0, "III", "IV"),
        (60.0, "IV", "V"),
        (66.0, "V", "VI"),
    ] {
        // The more demanding of span and tail height governs.
        assert_eq!(name("faa-13b", 10.0, feet * FOOT_M - 1e-6), Some(below));
        assert_eq!(name("faa-13b", 10.0, feet * FOOT_M), Some(at));
    }
    for (metres, below, at) in [
        (15.0, "A", Some("B")),
        (24.0, "B", Some("C")),
        (36.0, "C", Some("D")),
        (52.0, "D", Some("E")),
        (65.0, "E", Some("F")),
        (80.0, "F", None),
    ] {
        assert_eq!(name("icao-annex-14", metres - 1e-6, 2.0), Some(below));
        assert_eq!(name("icao-annex-14", metres, 2.0), at, "{metres} m");
    }
}

#[test]
fn the_verdict_turns_at_the_row_at_every_class_boundary() {
    for p in publications().iter().filter(|p| p.decides) {
        for (i, g) in p.groups.iter().enumerate() {
            // Just inside this class, and exactly on its upper boundary: the next class's figures.
            for (span_m, class) in [(g.span_below - 0.001, Some(g)), (g.span_below, p.groups.get(i + 1))] {
                let a = with_span(span_m);
                for kind in [LegKind::Taxiway, LegKind::Taxilane] {
                    let Some(class) = class else {
                        let c = past_a_pole(&a, kind, span_m, p.rule, bare_field());
                        assert_eq!(
                            (c.verdict, &c.compared[0].rows.len()),
                            (Verdict::NotKnown, &0),
                            "{}",
                            p.id
                        );
                        continue;
                    };
                    let (which, asked_m) = match kind {
                        LegKind::Taxiway => (Row::TaxiwayToObject, class.taxiway_to_object),
                        _ => (Row::TaxilaneToObject, class.taxilane_to_object),
                    };
                    for (beside_m, expected) in [(asked_m + 0.01, Verdict::Clear), (asked_m - 0.01, Verdict::NotClear)]
                    {
                        let c = past_a_pole(&a, kind, beside_m, p.rule, bare_field());
                        let told = row(&c, &p.id, which);
                        assert!((told.0 - asked_m).abs() < 1e-9 && (told.1.expect("near") - beside_m).abs() < 1e-9);
                        assert_eq!(
                            (told.2, c.parts_verdict),
                            (expected, expected),
                            "{} {} {kind:?} span {span_m} beside {beside_m}",
                            p.id,
                            class.name
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn rows_stand_beside_the_pilots_margin_and_decide_only_when_asked() {
    // 12 m from the centreline, 6.95 m from the tip: clear by 3 m, met as a taxilane of code A, not as a taxiway (15.5 m).
    let a = built_in("trainer-high-2");
    let by = |kind, rule| past_a_pole(&a, kind, 12.01, rule, bare_field());
    let pilot = by(LegKind::Taxiway, MarginRule::Pilot);
    assert_eq!(pilot.verdict, Verdict::Clear);
    assert!(pilot.compared.iter().all(|p| !p.decides));
    assert_eq!(row(&pilot, "icao-annex-14", Row::TaxiwayToObject).2, Verdict::NotClear);
    let icao = by(LegKind::Taxiway, MarginRule::Icao);
    assert_eq!(
        (icao.verdict, icao.gaps[0].verdict),
        (Verdict::NotClear, Verdict::NotClear)
    );
    assert_eq!(by(LegKind::Taxilane, MarginRule::Icao).verdict, Verdict::Clear);
    // FAA group I asks 39.5 ft = 12.0396 m of a taxilane.
    assert_eq!(by(LegKind::Taxilane, MarginRule::Faa).verdict, Verdict::NotClear);
    assert_eq!(pilot.margin_m, 3.0);
    assert_eq!(pilot.compared[0].class.as_deref(), Some("Airplane Design Group I"));
    assert_eq!(pilot.compared[2].class.as_deref(), Some("code letter A"));
}

#[test]
fn the_map_accuracy_makes_a_row_not_known() {
    let a = built_in("trainer-high-2");
    let legs = vec![leg(
        LegKind::Taxilane,
        0.0,
        60.0,
        Some(30.0),
        &[xy(-10.0, 0.0), xy(70.0, 0.0)],
    )];
    let field = Airfield {
        obstacles: vec![pole(xy(30.0, 13.0), 0.0)],
        ..bare_field()
    };
    let asked = Margins {
        rule: MarginRule::Icao,
        ..margins()
    };
    // 13 m of 12 m, on a map that may be off by 2 m.
    let c = checked(&field, &a, &way(straight(&a, 60.0), legs), &asked);
    assert_eq!(c.parts_verdict, Verdict::NotKnown);
}

#[test]
fn a_taxiway_on_an_apron_shows_both_rows_and_says_that_they_are_assumed() {
    let a = built_in("trainer-high-2");
    let mut field = bare_field();
    field.aprons.push(NamedArea {
        id: "feature 3".to_string(),
        name: None,
        note: None,
        outer: vec![xy(-20.0, -40.0), xy(80.0, -40.0), xy(80.0, 40.0), xy(-20.0, 40.0)],
        holes: Vec::new(),
        surface: Surface::Paved,
    });
    let by = |beside_m| past_a_pole(&a, LegKind::Taxiway, beside_m, MarginRule::Icao, field.clone());
    let c = by(13.0);
    let icao = &c.compared[2];
    let rows: Vec<(Row, bool, Verdict)> = icao.rows.iter().map(|r| (r.row, r.assumed, r.verdict)).collect();
    assert_eq!(
        rows[..2],
        [
            (Row::TaxiwayToObject, true, Verdict::NotClear),
            (Row::TaxilaneToObject, true, Verdict::Clear)
        ]
    );
    assert_eq!(
        (icao.verdict, c.parts_verdict),
        (Some(Verdict::NotKnown), Verdict::NotKnown)
    );
    assert_eq!(by(16.0).parts_verdict, Verdict::Clear);
    assert_eq!(by(11.0).parts_verdict, Verdict::NotClear);
}

#[test]
fn on_a_stand_icao_asks_three_metres_and_faa_leaves_the_pilots_margin() {
    let a = built_in("trainer-high-2");
    let by = |gap_m: f64, rule, margin_m| {
        let legs = vec![leg(LegKind::Stand, 0.0, 60.0, None, &[xy(-10.0, 0.0), xy(70.0, 0.0)])];
        let field = Airfield {
            obstacles: vec![pole(xy(30.0, 5.05 + gap_m), 0.0)],
            ..bare_field()
        };
        let asked = Margins {
            accuracy_m: Some(0.0),
            margin_m,
            rule,
            ..margins()
        };
        checked(&field, &a, &way(straight(&a, 60.0), legs), &asked).parts_verdict
    };
    assert_eq!(by(3.01, MarginRule::Icao, 1.0), Verdict::Clear);
    assert_eq!(by(2.99, MarginRule::Icao, 1.0), Verdict::NotClear);
    assert_eq!(by(2.99, MarginRule::Faa, 1.0), Verdict::Clear);
    assert_eq!(by(2.99, MarginRule::Faa, 3.0), Verdict::NotClear);
}

#[test]
fn a_contact_is_not_clear_by_any_rule() {
    // The pole stands beside the lane's end, outside every leg's row, in the way of the wing.
    let a = built_in("trainer-high-2");
    for rule in [MarginRule::Pilot, MarginRule::Faa, MarginRule::Icao] {
        let c = past_a_pole(&a, LegKind::Runway, 3.0, rule, bare_field());
        assert_eq!((c.gaps[0].gap_m, c.verdict), (0.0, Verdict::NotClear));
    }
}

#[test]
fn wheels_are_held_against_the_edge_row() {
    // Outer gear 2.40 m: ICAO asks 1.5 m and FAA 5 ft = 1.524 m.
    let a = built_in("trainer-high-2");
    let by = |width_m: f64, rule| {
        let line = [xy(-10.0, 0.0), xy(90.0, 0.0)];
        let legs = vec![leg(LegKind::Taxiway, 0.0, 80.0, Some(width_m), &line)];
        let asked = Margins { rule, ..margins() };
        checked(&bare_field(), &a, &way(straight(&a, 80.0), legs), &asked)
    };
    let room = |m: f64| 2.4 + 2.0 * m;
    assert_eq!(by(room(1.51), MarginRule::Icao).verdict, Verdict::Clear);
    assert_eq!(by(room(1.49), MarginRule::Icao).verdict, Verdict::NotClear);
    assert_eq!(by(room(1.51), MarginRule::Faa).verdict, Verdict::NotClear);
    assert_eq!(by(room(0.1), MarginRule::Pilot).verdict, Verdict::Clear);
    assert_eq!(
        row(&by(room(1.49), MarginRule::Pilot), "icao-annex-14", Row::WheelToEdge).2,
        Verdict::NotClear
    );
}
