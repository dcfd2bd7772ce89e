//! AIXM messages that are broken or made to do harm: a word that names feature, value and limit, never a panic, never much
//! memory or time.

use super::{cut, good};
use toeline_engine::carrier::CarrierError;
use toeline_tests::carried::aixm::{
    around, beside, changed, curve, feature, feature_of, field, geodesic, members, message, number as n, parts,
    replaced, slice, uuid,
};
use toeline_tests::fuzzed;
use toeline_tests::root;

#[track_caller]
fn says(text: &str, words: &[&str]) {
    super::hostile::says(text.as_bytes(), words);
}

/// The field with other numbers for the line.
fn line_of(numbers: &str) -> String {
    let own = format!("{} {}", beside(0.0, 75.0), beside(20.0, -150.0));
    replaced(n::LINE, &own, numbers)
}

#[test]
fn what_is_no_message_of_ours_is_told() {
    let other = field().replace("schema/5.1.1/message", "schema/5.2/message");
    says(
        &other,
        &[
            "AIXM message of another version",
            "schema/5.2/message",
            "5.1 and 5.1.1 are read",
        ],
    );
    says("<AIXMBasicMessage/>", &["another version", "its namespace is"]);
    says(
        "<wfs:FeatureCollection xmlns:wfs=\"w\"/>",
        &["FeatureCollection", "AIXMBasicMessage"],
    );
    says(&around(""), &["no aerodrome"]);
    // The older version of the same standard is read.
    assert_eq!(
        good(field().replace("schema/5.1.1", "schema/5.1").as_bytes(), None).text,
        good(field().as_bytes(), None).text
    );
}

#[test]
fn broken_and_cut_off_messages_name_the_line() {
    let whole = field();
    let at = |share: f64| &whole[..(whole.len() as f64 * share) as usize];
    for share in [0.3, 0.5, 0.9, 0.999] {
        says(at(share), &["the AIXM message is broken at line "]);
    }
    says(&whole.replace("</Taxiway>", "</Taxyway>"), &["broken at line"]);
    says(
        &whole.replacen("<Taxiway ", "<unknown:Taxiway ", 1),
        &["broken at line"],
    );
}

#[test]
fn entity_bombs_blow_nothing_up() {
    let mut bomb = String::from("<!DOCTYPE m [<!ENTITY a \"haha\">");
    for (i, c) in ('b'..='j').enumerate() {
        let before = (b'a' + i as u8) as char;
        bomb += &format!("<!ENTITY {c} \"{}\">", format!("&{before};").repeat(10));
    }
    bomb += "]>\n";
    let whole = field().replacen("<message:AIXM", &format!("{bomb}<message:AIXM"), 1);
    good(whole.as_bytes(), None);
    says(
        &whole.replace("QUILLMERE", "&j;"),
        &["the entity &j; is not known, and none is expanded"],
    );
}

#[test]
fn positions_that_are_none_name_the_feature() {
    let name = format!("GuidanceLine/{} (line ", uuid(n::LINE));
    says(
        &line_of("47.2 -20.4 NaN -20.4"),
        &[&name, "position 2 has \"NaN\", which is not a number"],
    );
    says(&line_of("47.2 -20.4 inf -20.4"), &[&name, "\"inf\""]);
    says(
        &line_of("47.2 -20.4 47.3"),
        &[&name, "position 2 has 1 numbers; 2 are needed"],
    );
    says(&line_of("47.2 -20.4"), &[&name, "1 position; at least 2"]);
    says(&line_of(""), &[&name]);
    says(&line_of("47.2 east 47.3 east"), &[&name, "\"east\""]);
    says(&line_of("47.2 -200 47.3 -200"), &[&name, "longitude -200, outside"]);
    says(
        &line_of("47.2 -20.4 47.9 -20.4"),
        &[&name, "an edge of 77.8 km; the limit is 60 km"],
    );
    // In the wrong order where that shows.
    says(
        &line_of("120.5 47.2 120.6 47.2"),
        &[&name, "latitude 120.5", "latitude first: are the two swapped?"],
    );
    // All of them at once.
    let two = line_of("47.2 -20.4 NaN -20.4").replace(&beside(60.0, -150.0), "x y");
    says(
        &two,
        &[
            "GuidanceLine/",
            "AircraftStand/",
            "things of the map file cannot be read",
        ],
    );
}

#[test]
fn a_reference_system_that_is_not_known_is_refused() {
    for name in [
        "EPSG:4326",
        "urn:ogc:def:crs:EPSG::3857",
        "http://www.opengis.net/gml/srs/epsg.xml#4326",
        "",
        "urn:ogc:def:crs:EPSG::4258",
    ] {
        let text = replaced(
            n::LINE,
            "srsName=\"urn:ogc:def:crs:EPSG::4326\"",
            &format!("srsName=\"{name}\""),
        );
        says(&text, &["GuidanceLine", "reference system", "is not known", "CRS84"]);
    }
    let text = replaced(n::LINE, "<gml:posList>", "<gml:posList srsDimension=\"4\">");
    says(&text, &["srsDimension=\"4\" is neither 2 nor 3"]);
}

#[test]
fn latitude_and_longitude_in_the_wrong_order_are_suspected() {
    // Near enough to the equator that nothing is out of range: the runway's direction gives it away.
    let turned: Vec<String> = members(&parts())
        .into_iter()
        .map(|m| m.replace("EPSG::4326", "OGC:1.3:CRS84"))
        .collect();
    let text = message(&turned)
        .replace("08/26", "09/27")
        .replace(">08<", ">09<")
        .replace(">26<", ">27<");
    let made = good(text.as_bytes(), None);
    let found = toeline_engine::read::read(&made.text).unwrap();
    assert!(
        found.notices.iter().any(|n| n.text.contains("swapped")),
        "{:?}",
        found.notices
    );
}

#[test]
fn absurd_dates_name_feature_and_value() {
    let mut all = members(&parts());
    all.push(feature_of(
        "Taxiway",
        90,
        &[slice(
            "BASELINE",
            1,
            "2026-13-41T00:00:00Z",
            "",
            "<designator>X</designator>",
        )],
    ));
    says(
        &message(&all),
        &[&format!("Taxiway/{}", uuid(90)), "\"2026-13-41T00:00:00Z\"", "ISO 8601"],
    );
    all.pop();
    all.push(feature_of(
        "Taxiway",
        90,
        &[slice("BASELINE", 1, "2026-03-01T00:00:00Z", "1999-01-01T00:00:00Z", "")],
    ));
    says(&message(&all), &["before it begins"]);
    all.pop();
    all.push(feature_of("Taxiway", 90, &[]));
    says(&message(&all), &["has no time slice"]);
}

#[test]
fn units_that_are_not_known_leave_the_value_out_with_a_doubt() {
    let doubt = |text: &str, kind: &str, number: u32| {
        let made: serde_json::Value = serde_json::from_str(&good(text.as_bytes(), None).text).unwrap();
        let id = format!("{kind}/{}", uuid(number));
        let f = made["features"]
            .as_array()
            .unwrap()
            .iter()
            .find(|f| f["id"] == id.as_str())
            .unwrap()
            .clone();
        f["properties"]["toeline:doubt"]
            .as_str()
            .unwrap_or_default()
            .to_string()
    };
    let width = replaced(n::RUNWAY, "uom=\"M\">23", "uom=\"ELL\">23");
    assert!(doubt(&width, "Runway", n::RUNWAY).contains("nominalWidth \"23\" has the unit \"ELL\""));
    let none = replaced(n::RUNWAY, " uom=\"M\">23", ">23");
    assert!(doubt(&none, "Runway", n::RUNWAY).contains("has no unit"));
    let speed = replaced(n::LINE, "uom=\"KT\">10", "uom=\"MACH\">10");
    assert!(doubt(&speed, "GuidanceLine", n::LINE).contains("MACH"));
    let odd = replaced(n::RUNWAY, "uom=\"M\">23", "uom=\"M\">wide");
    assert!(doubt(&odd, "Runway", n::RUNWAY).contains("\"wide\" is not a number"));
    let surface = replaced(n::RUNWAY, "ASPH", "CHEESE");
    assert!(doubt(&surface, "Runway", n::RUNWAY).contains("CHEESE"));
    let nothing = replaced(n::LINE, &uuid(n::TAXIWAY), &uuid(999));
    assert!(doubt(&nothing, "GuidanceLine", n::LINE).contains("which is not in the message"));
}

#[test]
fn one_uuid_for_two_features_is_refused() {
    let mut all = members(&parts());
    all.push(feature("Apron", n::TAXIWAY, "<name>X</name>"));
    says(
        &message(&all),
        &[
            &format!("Apron/{}", uuid(n::TAXIWAY)),
            "has the identifier of a Taxiway too",
        ],
    );
    // Twice the same of one kind: harmless when alike, doubted when not.
    all.pop();
    let own = parts().into_iter().find(|p| p.1 == n::LINE).unwrap().2;
    all.push(feature("GuidanceLine", n::LINE, &own));
    assert_eq!(
        good(message(&all).as_bytes(), None).text,
        good(field().as_bytes(), None).text
    );
    all.pop();
    all.push(feature("GuidanceLine", n::LINE, &own.replace("BOTH", "FORWARD")));
    let made = good(message(&all).as_bytes(), None).text;
    assert!(made.contains("two unlike time slices"), "{made}");
}

#[test]
fn a_million_positions_are_the_limit() {
    let many: String = (0..1_000_001)
        .map(|i| format!("47.{:07} -20.4 ", 2_000_000 + i % 2))
        .collect();
    says(&line_of(&many), &["more than 1000000 positions in all"]);
    // Positions that are far apart count with what lies between.
    let apart: String = (0..4000)
        .map(|i| format!("{} -20.4 ", if i % 2 == 0 { "47.2" } else { "47.7" }))
        .collect();
    let far = line_of(&apart);
    says(
        &far.replace("47.7 ", "47.3 ").replace(" -20.4 47.2", " -20.3 47.2"),
        &["more than 1000000 positions in all"],
    );
}

#[test]
fn many_members_slices_and_references_end() {
    // Members of kinds that are not used are no burden.
    let mut many = String::new();
    for i in 0..20_000 {
        many += &format!("<message:hasMember><aixm:Kind{}/></message:hasMember>", i % 1000);
    }
    let text = field().replacen("gml:id=\"M\">", &format!("gml:id=\"M\">{many}"), 1);
    assert!(
        good(text.as_bytes(), None)
            .text
            .contains("kinds of members that are not read")
    );
    let slices: Vec<String> = (0..501)
        .map(|i| slice("TEMPDELTA", i, "2026-01-01T00:00:00Z", "", ""))
        .collect();
    let mut all = members(&parts());
    all.push(feature_of("Taxiway", 91, &slices));
    assert!(matches!(
        cut(message(&all).as_bytes(), None),
        Err(CarrierError::TooLarge { .. })
    ));
    says(&message(&all), &["more than 500 time slices"]);
    // A line that names thousands of taxiways is cut short, with a doubt.
    let named: String = (0..20_000)
        .map(|i| format!("<connectedTaxiway xlink:href=\"urn:uuid:{}\"/>", uuid(100_000 + i)))
        .collect();
    let text = replaced(n::LINE, "<type>TWY</type>", &format!("<type>TWY</type>{named}"));
    let made = good(text.as_bytes(), None).text;
    assert!(
        made.contains("it has 20001 connectedTaxiway; the first 50 count"),
        "{}",
        made.len()
    );
    // Many runways with one point each, and stands with one line each.
    let mut all = members(&parts());
    for i in 0..3000 {
        all.push(feature("Runway", 200_000 + i, "<designator>01/19</designator>"));
        all.push(feature("AircraftStand", 300_000 + i, ""));
    }
    good(message(&all).as_bytes(), None);
}

#[test]
fn conditions_without_number_end() {
    let one = "<aircraft><AircraftCharacteristic><wingSpan uom=\"M\">5</wingSpan></AircraftCharacteristic></aircraft>";
    let many: String = (0..9000)
        .map(|i| one.replace(">5<", &format!(">{}<", 5.0 + f64::from(i) * 0.01)))
        .collect();
    let usage = format!(
        "<availability><ManoeuvringAreaAvailability><usage><ManoeuvringAreaUsage><type>FORBID</type><selection><ConditionCombination>\
         <logicalOperator>OR</logicalOperator>{many}</ConditionCombination></selection></ManoeuvringAreaUsage></usage>\
         </ManoeuvringAreaAvailability></availability>"
    );
    let text = replaced(
        n::TAXIWAY,
        "<designator>B</designator>",
        &format!("<designator>B</designator>{usage}"),
    );
    assert!(good(text.as_bytes(), None).text.contains("tells 9000 wing spans apart"));
}

#[test]
fn odd_shapes_are_told() {
    let segment = |with: &str| replaced(n::LINE, "gml:GeodesicString", with);
    says(&segment("gml:Bezier"), &["its curve has a Bezier, which is not read"]);
    let own = curve(
        "extent",
        &geodesic(&format!("{} {}", beside(0.0, 75.0), beside(20.0, -150.0))),
    );
    says(
        &replaced(n::LINE, &own, "<extent xlink:href=\"#c1\"/>"),
        &["Curve is given by reference"],
    );
    says(&replaced(n::LINE, &own, "<extent/>"), &["has no Curve"]);
    let arc = |radius: &str| {
        let inside =
            format!("<gml:CircleByCenterPoint><gml:pos>47.2 -20.4</gml:pos>{radius}</gml:CircleByCenterPoint>");
        replaced(n::LINE, &own, &curve("extent", &inside))
    };
    says(
        &arc("<gml:radius uom=\"M\">0</gml:radius>"),
        &["the radius \"0\"", "up to 30000 m"],
    );
    says(&arc("<gml:radius uom=\"NM\">400</gml:radius>"), &["the radius \"400\""]);
    says(
        &arc("<gml:radius uom=\"M\">inf</gml:radius>"),
        &["\"inf\" is not a number"],
    );
    says(&arc(""), &["no radius"]);
    let no_ring = changed(n::WORKS, |inside| inside.replace("gml:Ring>", "gml:Rings>"));
    says(&no_ring, &["its border has no Ring"]);
}

#[test]
fn the_corpus_of_the_fuzzer_holds() {
    let folder = root().join("tests/fuzz/corpus/aixm");
    let mut read = 0;
    for entry in std::fs::read_dir(&folder).unwrap() {
        let bytes = std::fs::read(entry.unwrap().path()).unwrap();
        read += usize::from(fuzzed::check_carried(&bytes));
    }
    assert!(read >= 2, "{read} of the corpus are aerodromes");
}
