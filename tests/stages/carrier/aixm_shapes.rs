//! Geometry of AIXM messages: the order of axes, lines along the geodesic, arcs, points by reference.

use super::aixm::{features, id, said};
use super::{cut, good};
use core::f64::consts::PI;
use geographiclib_rs::{Geodesic, InverseGeodesic};
use toeline_tests::carried::aixm::{beside, changed, curve, field, geodesic, number as n, replaced};

#[test]
fn the_order_of_axes_is_that_of_the_reference_system() {
    let swapped = |numbers: &str| {
        let list: Vec<&str> = numbers.split(' ').collect();
        list.chunks(2)
            .map(|p| format!("{} {}", p[1], p[0]))
            .collect::<Vec<_>>()
            .join(" ")
    };
    let line = |numbers: &str| curve("extent", &geodesic(numbers));
    let own = format!("{} {}", beside(0.0, 75.0), beside(20.0, -150.0));
    let lon_first = line(&swapped(&own)).replace("urn:ogc:def:crs:EPSG::4326", "urn:ogc:def:crs:OGC:1.3:CRS84");
    let whole = good(field().as_bytes(), None).text;
    assert_eq!(
        good(replaced(n::LINE, &line(&own), &lon_first).as_bytes(), None).text,
        whole
    );
    // By the published address, and with heights that are not used.
    let by_address = line(&own).replace(
        "urn:ogc:def:crs:EPSG::4326",
        "http://www.opengis.net/def/crs/EPSG/0/4326",
    );
    assert_eq!(
        good(replaced(n::LINE, &line(&own), &by_address).as_bytes(), None).text,
        whole
    );
    let high = own
        .split(' ')
        .collect::<Vec<_>>()
        .chunks(2)
        .map(|p| format!("{} 12.5", p.join(" ")))
        .collect::<Vec<_>>()
        .join(" ");
    let high = line(&high).replace("<gml:posList>", "<gml:posList srsDimension=\"3\">");
    assert_eq!(good(replaced(n::LINE, &line(&own), &high).as_bytes(), None).text, whole);
    // Stated around it only: by the envelope of the message.
    let bare = line(&own).replace(" srsName=\"urn:ogc:def:crs:EPSG::4326\"", "");
    let inherited = replaced(n::LINE, &line(&own), &bare);
    let e = cut(inherited.as_bytes(), None).unwrap_err().to_string();
    assert!(e.contains("GuidanceLine") && e.contains("srsName"), "{e}");
    let envelope =
        "gml:id=\"M\">\n<gml:boundedBy><gml:Envelope srsName=\"urn:ogc:def:crs:EPSG::4326\"/></gml:boundedBy>";
    let inherited = inherited.replacen("gml:id=\"M\">", envelope, 1);
    assert_eq!(good(inherited.as_bytes(), None).text, whole);
}

#[test]
fn lines_follow_the_geodesic_and_linear_ones_do_not() {
    let ends = "66.000000000 -20.400000000 66.000000000 -20.380000000";
    let own = format!("{} {}", beside(0.0, 75.0), beside(20.0, -150.0));
    let of = |segment: String| -> Vec<(f64, f64)> {
        let text = replaced(n::LINE, &geodesic(&own), &segment);
        let all = features(&text);
        let list = all[&id("GuidanceLine", n::LINE)]["geometry"]["coordinates"].clone();
        let list = list.as_array().unwrap().iter();
        list.map(|p| (p[0].as_f64().unwrap(), p[1].as_f64().unwrap())).collect()
    };
    let great = of(geodesic(ends));
    assert!(great.len() > 20, "{}", great.len());
    // Half way between two places of one latitude the geodesic lies nearer to the pole.
    let highest = great.iter().map(|p| p.1).fold(0.0, f64::max);
    // L² tan(66°)/(8 R) for the 907 m between them: 36 mm, 3.2e-7 degrees.
    assert!((3.1e-7..3.4e-7).contains(&(highest - 66.0)), "{highest}");
    assert_eq!(
        (great[0], great[great.len() - 1]),
        ((-20.4, 66.0), (-20.38, 66.0)),
        "the ends are kept as they are"
    );
    let linear = of(format!(
        "<gml:LineStringSegment><gml:posList>{ends}</gml:posList></gml:LineStringSegment>"
    ));
    assert_eq!(linear, [(-20.4, 66.0), (-20.38, 66.0)]);
    // Two segments that meet, one with single positions.
    let middle = "<gml:GeodesicString><gml:pos>66 -20.39</gml:pos><gml:pos>66 -20.38</gml:pos></gml:GeodesicString>";
    let two = of(geodesic("66 -20.4 66 -20.39") + middle);
    assert_eq!(two.iter().filter(|p| **p == (-20.39, 66.0)).count(), 1);
}

#[test]
fn circles_and_arcs_are_at_their_radius() {
    let centre = (-20.401, 47.199);
    let ring = |segment: &str| -> Vec<(f64, f64)> {
        let text = changed(n::WORKS, |inside| {
            let begin = inside.find("<gml:CircleBy").unwrap();
            let end = inside.find("</gml:CircleByCenterPoint>").unwrap() + "</gml:CircleByCenterPoint>".len();
            format!("{}{segment}{}", &inside[..begin], &inside[end..])
        });
        let all = features(&text);
        let list = all[&id("WorkArea", n::WORKS)]["geometry"]["coordinates"][0].clone();
        let list = list.as_array().unwrap().iter();
        list.map(|p| (p[0].as_f64().unwrap(), p[1].as_f64().unwrap())).collect()
    };
    let earth = Geodesic::wgs84();
    let off = |p: &(f64, f64)| -> (f64, f64) {
        let (m, azimuth, _, _): (f64, f64, f64, f64) = earth.inverse(centre.1, centre.0, p.1, p.0);
        (m, azimuth)
    };
    let circle = ring(
        "<gml:CircleByCenterPoint><gml:pos>47.199 -20.401</gml:pos><gml:radius uom=\"FT\">100</gml:radius></gml:CircleByCenterPoint>",
    );
    assert!(circle.iter().all(|p| (off(p).0 - 30.48).abs() < 1e-6));
    // A chord is off its arc by at most the sagitta of 0.05 mm.
    let chord = 2.0 * PI / (circle.len() - 1) as f64;
    assert!(30.48 * (1.0 - (chord / 2.0).cos()) <= 5.001e-5, "{}", circle.len());
    // A quarter from north to east (clockwise where latitude is first), closed by two lines through the centre.
    let arc = "<gml:ArcByCenterPoint numArc=\"1\"><gml:pos>47.199 -20.401</gml:pos><gml:radius uom=\"M\">30</gml:radius>\
               <gml:startAngle uom=\"deg\">0</gml:startAngle><gml:endAngle uom=\"deg\">90</gml:endAngle></gml:ArcByCenterPoint>";
    let quarter = ring(arc);
    let on: Vec<f64> = quarter
        .iter()
        .map(off)
        .filter(|o| (o.0 - 30.0).abs() < 1e-6)
        .map(|o| o.1)
        .collect();
    assert!(
        on.len() > 400 && on.iter().all(|a| (-1e-6..=90.0 + 1e-6).contains(a)),
        "{}",
        on.len()
    );
    // Not closed by itself: that is told.
    let text = changed(n::WORKS, |inside| {
        let begin = inside.find("<gml:CircleBy").unwrap();
        let end = inside.find("</gml:CircleByCenterPoint>").unwrap() + "</gml:CircleByCenterPoint>".len();
        format!("{}{arc}{}", &inside[..begin], &inside[end..])
    });
    let doubt = said(&text, "WorkArea", n::WORKS, "toeline:doubt").unwrap();
    assert!(
        doubt.contains("its border is not closed (42.43 m are missing)"),
        "{doubt}"
    );
}

#[test]
fn points_by_reference_are_those_of_the_message() {
    let own = format!("{} {}", beside(0.0, 75.0), beside(20.0, -150.0));
    let ends = own.split(' ').collect::<Vec<_>>();
    let by_reference = format!(
        "<gml:GeodesicString><gml:pointProperty xlink:href=\"#arp\"/><gml:pos>{} {}</gml:pos></gml:GeodesicString>",
        ends[2], ends[3]
    );
    let text = replaced(n::LINE, &geodesic(&own), &by_reference).replacen(
        "<ElevatedPoint srsName",
        "<ElevatedPoint gml:id=\"arp\" srsName",
        1,
    );
    let all = features(&text);
    let first = &all[&id("GuidanceLine", n::LINE)]["geometry"]["coordinates"][0];
    assert_eq!(first, &serde_json::json!([-20.4, 47.2]));
    let nowhere = text.replace("\"#arp\"", "\"#elsewhere\"");
    let e = cut(nowhere.as_bytes(), None).unwrap_err().to_string();
    assert!(e.contains("refers to \"#elsewhere\", which is no point"), "{e}");
}
