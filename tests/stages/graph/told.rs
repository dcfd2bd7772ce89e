//! Every repair is told with its feature, place, size and what was assumed; a strict reading refuses it.

use super::field::*;
use toeline_engine::notice::refusals;

/// A field with one of nearly everything that is mended.
fn worn() -> Built {
    let s = strip()
        .taxiway("near", "C", &[[-300.0, -100.2], [-300.0, -160.0]])
        .taxiway("over", "E", &[[-250.0, -100.0], [-150.0, -100.0]])
        .taxiway("cross", "G", &[[200.0, -150.0], [200.0, 60.0]])
        .taxiway(
            "self",
            "H",
            &[
                [400.0, -100.0],
                [500.0, -100.0],
                [500.0, -50.0],
                [450.0, -50.0],
                [450.0, -150.0],
            ],
        )
        .taxiway("touch", "K", &[[50.0, -140.0], [60.0, -100.02], [70.0, -140.0]])
        .taxiway(
            "twice",
            "L",
            &[[-200.0, -100.0], [-200.0, -150.0], [-200.0, -150.0], [-180.0, -150.0]],
        )
        .taxiway("along", "M", &[[-400.0, 0.0], [-350.0, 0.0]])
        .taxiway("crumb", "N", &[[250.0, -100.3], [250.0, -100.1]]);
    let s = stand(s, "1", &[[250.0, -140.0], [250.0, -103.0]]);
    let s = stand(s, "2", &[[150.0, -150.0], [150.0, -120.0]]);
    build(hold(s, "B1", [4.0, -40.0], "runway"))
}

#[test]
fn every_repair_has_feature_place_size_and_assumption() {
    let b = worn();
    let repairs: Vec<&Notice> = b.notices.iter().filter(|n| n.kind == NoticeKind::Repair).collect();
    for n in &repairs {
        assert!(
            !n.feature.is_empty() && n.at.is_some() && n.size_m.is_some_and(f64::is_finite) && n.assumed.is_some(),
            "{n:?}"
        );
    }
    for (feature, words, size_m) in [
        ("a", "an end of taxiway A (a) was 0.20 m from taxiway C (near)", 0.2),
        ("over", "run over one another for 100.0 m", 100.0),
        ("cross", "cross without a shared point", 0.0),
        ("self", "crosses itself", 0.0),
        ("touch", "has a point 0.02 m from taxiway A (a)", 0.02),
        ("twice", "repeats 1 of its points", 0.0),
        ("along", "runs along runway 09/27 for 50.0 m", 50.0),
        ("crumb", "taken as the point where it joins", 0.2),
        ("1", "ended 3.00 m from taxiway A (a); joined", 3.0),
        ("B1", "is 4.0 m beside", 4.0),
        ("cross", "no holding position is mapped on taxiway G", 40.0),
    ] {
        let n = b.told(NoticeKind::Repair, feature, words);
        assert!((n.size_m.unwrap() - size_m).abs() < 0.02, "{n:?}");
    }
    // A doubt that was settled by an assumption names it; one that was left as it is has none.
    let far = b.told(NoticeKind::Doubt, "2", "ends 20.0 m from the nearest lane");
    assert!(far.assumed.is_some() && (far.size_m.unwrap() - 20.0).abs() < 0.02);
    assert!(b.free_ends.iter().all(|n| n.assumed.is_none() && n.at.is_some()));
}

#[test]
fn a_strict_reading_refuses_what_was_mended_or_assumed_and_nothing_else() {
    let b = worn();
    let refused = refusals(&b.notices);
    assert_eq!(
        refused.len(),
        b.notices
            .iter()
            .filter(|n| n.kind == NoticeKind::Repair || n.text.contains("taken to run straight"))
            .count()
    );
    let clean = build(hold(strip(), "B1", [0.0, -40.0], "runway"));
    assert_eq!(refusals(&clean.notices), Vec::<&Notice>::new());
    assert_eq!(
        refusals(&clean.free_ends),
        Vec::<&Notice>::new(),
        "a free end is kept as mapped"
    );
    let closed = Notice::new(NoticeKind::LeftOut, "x", "closed");
    assert_eq!(refusals(&[closed]), Vec::<&Notice>::new());
}

#[test]
fn on_real_fields_too() {
    for file in ["hubs/lebl-barcelona-2023-08.geojson", "malta/malta-airfield.geojson"] {
        let Some(b) = real(file) else { return };
        for n in b.notices.iter().filter(|n| n.kind == NoticeKind::Repair) {
            assert!(n.at.is_some() && n.size_m.is_some() && n.assumed.is_some(), "{n:?}");
        }
    }
}
