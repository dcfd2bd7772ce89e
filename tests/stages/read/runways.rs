//! Runways: designators, pieces, outlines.

use super::*;

#[test]
fn runway_designators_follow_the_direction_of_the_line() {
    let designators = |text: &str, points: [[f64; 2]; 2]| {
        let r = good(&base().runway("R", text, &points));
        (r.field.runways[0].designators.clone(), r.notices)
    };
    let east = [[-400.0, 50.0], [400.0, 150.0]];
    let west = [[400.0, 150.0], [-400.0, 50.0]];
    let pair = |a: &str, b: &str| [Some(a.to_string()), Some(b.to_string())];
    for text in ["08/26", "26/08", "08-26", " 26 / 08 "] {
        assert_eq!(designators(text, east).0, pair("08", "26"));
        assert_eq!(designators(text, west).0, pair("26", "08"));
    }
    assert_eq!(designators("08L/26R", west).0, pair("26R", "08L"));
    assert_eq!(designators("26", east).0, [None, Some("26".to_string())]);
    let (kept, notices) = designators("17/35", east);
    assert_eq!(kept, pair("17", "35"));
    told(
        &notices,
        NoticeKind::Doubt,
        "R",
        "87 deg off the line, which runs 083/263 deg true",
    );
    let (kept, notices) = designators("NR/SL", east);
    assert_eq!(kept, pair("NR", "SL"));
    told(&notices, NoticeKind::Doubt, "R", "no pair of runway designators");
    assert_eq!(designators("", east).0, [None, None]);
}

#[test]
fn pieces_of_one_runway_are_put_together_and_pads_left_out() {
    let s = base()
        .line(
            "d",
            &[[-400.0, 50.0], [-300.0, 50.0]],
            json!({ "aeroway": "runway", "runway": "displaced_threshold" }),
        )
        .runway("m", "09/27", &[[500.0, 50.0], [-300.0, 50.0]])
        .line(
            "p",
            &[[500.0, 50.0], [560.0, 50.0]],
            json!({ "aeroway": "runway", "runway": "blast_pad", "ref": "09/27" }),
        )
        .line("s", &[[-400.0, 50.0], [-450.0, 50.0]], json!({ "aeroway": "stopway" }))
        .runway("x", "18/36", &[[500.0, 50.0], [500.0, -700.0]]);
    let r = good(&s);
    assert_eq!(r.field.runways.len(), 2);
    let main = &r.field.runways[0];
    assert_eq!(main.id, "m");
    near(line_length(&main.line), 900.0, 0.01);
    let along = (*main.line.last().unwrap() - main.line[0]).x;
    let names: Vec<&str> = main.designators.iter().flatten().map(String::as_str).collect();
    assert_eq!(names, if along > 0.0 { ["09", "27"] } else { ["27", "09"] });
    told(&r.notices, NoticeKind::Repair, "d", "drawn in 2 pieces");
    told(&r.notices, NoticeKind::LeftOut, "p", "blast pad");
    told(&r.notices, NoticeKind::LeftOut, "s", "stopway");
}

#[test]
fn outlines_of_runways_and_taxiways_are_no_centrelines() {
    let square: &[[f64; 2]] = &[[0.0, 0.0], [90.0, 0.0], [90.0, 20.0], [0.0, 20.0]];
    let closed: Vec<[f64; 2]> = square.iter().chain(&square[..1]).copied().collect();
    let r = good(
        &base()
            .area("a", &[square], json!({ "aeroway": "runway" }))
            .area("b", &[square], json!({ "aeroway": "taxiway" }))
            .line("c", &closed, json!({ "aeroway": "taxiway", "area": "yes" }))
            .line("loop", &closed, json!({ "aeroway": "taxiway" })),
    );
    assert_eq!(
        r.field.lanes.iter().map(|l| l.id.as_str()).collect::<Vec<_>>(),
        ["T", "loop"]
    );
    assert_eq!(r.field.runways.len(), 1, "its own line, from the long axis");
    told(&r.notices, NoticeKind::Repair, "a", "runway drawn as an area only");
    told(&r.notices, NoticeKind::LeftOut, "b", "taxiway drawn as an area");
    told(&r.notices, NoticeKind::LeftOut, "c", "taxiway drawn as an area");
}
