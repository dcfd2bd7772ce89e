//! The knee sheet: sizes, thickness, what is on its first page, what merging keeps, letters that the type lacks.

use super::demo::{planned, request, way};
use super::drawn;
use serde_json::{Value, json};
use toeline_engine::briefing::{self, CAUTION};
use toeline_engine::route::StopKind;
use toeline_engine::{Plan, plan};

fn pages(plan: &Plan) -> Vec<String> {
    briefing::knee_sheet(plan, &briefing::brief(plan))
}

/// All words of a page in the order in which they are drawn.
fn words(svg: &str) -> String {
    let page = drawn::page(svg, "1.00");
    page.texts.iter().map(|t| t.text.as_str()).collect::<Vec<_>>().join(" ")
}

/// What must hold on every page of every sheet.
fn check_pages(what: &str, pages: &[String]) {
    let count = pages.len();
    for (i, svg) in pages.iter().enumerate() {
        let page = drawn::page(svg, "1.00");
        assert!(svg.contains("width=\"148mm\" height=\"210mm\""), "{what}: A5");
        assert_eq!(page.faults(), Vec::<String>::new(), "{what}, page {}", i + 1);
        for t in &page.texts {
            assert!(t.size * 72.0 / 25.4 >= 9.0, "{what}: \"{}\" in {} mm", t.text, t.size);
            // Black on light, or white on black and on the colour of the way: 7:1 or more in grey.
            assert!(
                ["#000", "#111", "#fff"].contains(&t.fill.as_str()),
                "{what}: \"{}\" in {}",
                t.text,
                t.fill
            );
            // Printers leave about 4 mm free.
            let o = t.on;
            assert!(
                o.x0 >= 4.0 && o.y0 >= 4.0 && o.x1 <= 144.0 && o.y1 <= 206.0,
                "{what}: \"{}\" at {o:?}",
                t.text
            );
        }
        assert!(
            page.strokes.iter().all(|w| *w >= 0.3),
            "{what}: thinnest line {:?}",
            page.strokes.iter().min_by(|a, b| a.total_cmp(b))
        );
        let said = words(svg);
        assert!(said.contains(CAUTION), "{what}, page {}: {said}", i + 1);
        assert!(said.contains(&format!("page {} of {count}", i + 1)), "{what}: {said}");
    }
}

#[test]
fn the_first_page_has_what_a_pilot_needs() {
    let plan = planned("trainer-high-2", "4", &["E"], "26", "240/12T");
    let pages = pages(&plan);
    check_pages("demo", &pages);
    let said = words(&pages[0]);
    for wanted in [
        "Quillmere: stand 4 to D1, runway 26",
        "Two-seat high-wing trainer, by way of E; invented airfield; 2026-07-04",
        "wind from 240 true, 246 magnetic",
        "CLEAR of everything the map shows",
        "taxilane L",
        "081-351",
        "left, forward",
        "then right 90°",
        "A1, runway 17/35, 403 m into leg 3, HI 081",
        "Engine check: E on HI 245",
        "1700 rpm",
        "magnetos drop 125 at most, 50 apart at most",
        "205 to 620 kPa",
        "idle 650 rpm",
        "hot spot HS1",
        "Tightest: 6.9 m",
        "240/12T",
    ] {
        assert!(said.contains(wanted), "\"{wanted}\" is not in: {said}");
    }
    let rest = pages[1..].iter().map(|p| words(p)).collect::<Vec<_>>().join(" ");
    for wanted in [
        "set the heading indicator to the compass",
        "read back",
        "Brakes:",
        "blast reaches",
    ] {
        assert!(
            rest.to_lowercase().contains(&wanted.to_lowercase()),
            "\"{wanted}\" is not in: {rest}"
        );
    }
}

#[test]
fn every_sheet_keeps_its_sizes_and_its_words_apart() {
    for aircraft in [
        "caster-low-2",
        "motorglider-15",
        "tourer-high-4",
        "tourer-low-4",
        "twin-light-6",
    ] {
        for (from, via, to, wind) in [
            ("4", &["E"][..], "26", "240/12T"),
            ("H1", &["W"], "08", "060/18G30M"),
            ("7", &["E"], "26", "calm"),
            ("9", &[], "35", "VRB/05"),
        ] {
            let plan = planned(aircraft, from, via, to, wind);
            check_pages(&format!("{aircraft} from {from} to {to} in {wind}"), &pages(&plan));
        }
    }
}

#[test]
fn a_card_gives_the_compass_its_column() {
    let plan = planned("trainer-high-2", "4", &["E"], "26", "240/12T");
    let mut brief = briefing::brief(&plan);
    let briefing::Answer::Way(told) = &mut brief.answer else {
        panic!()
    };
    for leg in &mut told.legs {
        leg.directions.compass_deg = (leg.directions.magnetic_deg + 357.0) % 360.0;
        leg.directions.last_compass_deg = leg.directions.last_magnetic_deg.map(|d| (d + 357.0) % 360.0);
    }
    let pages = briefing::knee_sheet(&plan, &brief);
    check_pages("with a card", &pages);
    assert!(
        words(&pages[0]).contains("compass") && words(&pages[0]).contains("078-348"),
        "{}",
        words(&pages[0])
    );
    brief = briefing::brief(&plan);
    assert!(!words(&briefing::knee_sheet(&plan, &brief)[0]).contains("078-348"));
}

#[test]
fn no_way_is_one_page_that_says_why() {
    // Fifteen metres of wing do not pass taxiway F to the hangars.
    let plan = planned("motorglider-15", "H3", &[], "26", "240/12T");
    assert!(matches!(plan.outcome, toeline_engine::planning::Outcome::NoWay(_)));
    let pages = pages(&plan);
    check_pages("no way", &pages);
    assert_eq!(pages.len(), 1);
    let said = words(&pages[0]);
    assert!(
        said.contains("NO WAY") && said.contains("cannot be reached from") && said.contains("block 1"),
        "{said}"
    );
    let brief = briefing::brief(&plan);
    let briefing::Answer::NoWay(why) = &brief.answer else {
        panic!()
    };
    for block in &why.blocks {
        // Wrapped between words: all of them, in order.
        assert!(said.contains(block.as_str()), "\"{block}\" is not in: {said}");
    }
}

/// Merging takes nothing away: every lane's name, stop and turn stands in the table or overleaf, in order.
#[test]
fn merging_keeps_lanes_stops_and_turns() {
    let mut merged = 0;
    let mut plans = vec![planned("trainer-high-2", "9", &["W", "E"], "26", "240/12T")];
    if let Some(path) = toeline_tests::open_data("airfields/hubs/eddf-frankfurt-2023-08.geojson") {
        let text = std::fs::read_to_string(path).unwrap();
        for to in ["18", "25R", "07R"] {
            plans.push(plan(&text, &request("trainer-high-2", "V 117", &[], to, "240/12T")).unwrap());
        }
    }
    for plan in &plans {
        let brief = briefing::brief(plan);
        let briefing::Answer::Way(told) = &brief.answer else {
            panic!()
        };
        let pages = pages(plan);
        check_pages(&brief.to, &pages);
        let first = drawn::page(&pages[0], "1.00");
        let frame = first.picture.unwrap();
        let table = |t: &&drawn::Text| t.on.y0 > frame.y1 && t.on.x0 < 8.0 && drawn::is_leg_number(&t.text);
        let rows: Vec<String> = first.texts.iter().filter(table).map(|t| t.text.clone()).collect();
        assert!(rows.len() <= 12, "{rows:?}");
        // The numbers follow one another without a hole.
        let mut next = 1;
        for row in &rows {
            let (a, b) = row.split_once('-').unwrap_or((row, row));
            assert_eq!(a.parse::<usize>().unwrap(), next, "{rows:?}");
            next = b.parse::<usize>().unwrap() + 1;
        }
        merged += usize::from(rows.len() < next - 1);
        if next - 1 < told.legs.len() {
            assert!(words(&pages[0]).contains(&format!("Legs from {next} on: overleaf.")));
        } else {
            assert_eq!(next - 1, told.legs.len());
        }
        let mut said: String = first
            .texts
            .iter()
            .filter(|t| t.on.y0 > frame.y1)
            .map(|t| t.text.clone() + " ")
            .collect();
        for page in &pages[1..] {
            said += &(words(page) + " ");
        }
        let mut from = 0;
        for leg in &told.legs {
            let short = leg.name.split(' ').next().unwrap();
            let at = said[from..]
                .find(short)
                .unwrap_or_else(|| panic!("{} is not in: {said}", leg.name));
            from += at;
        }
        for stop in way(plan).route.stops.iter().filter(|s| s.kind == StopKind::HoldShort) {
            let words: Vec<&str> = stop.name.split_whitespace().collect();
            assert!(said.contains(words[0]), "{} is not in: {said}", stop.name);
        }
        let told_turns = said.matches("then left").count() + said.matches("then right").count();
        let turns = told
            .legs
            .iter()
            .flat_map(|l| &l.turns)
            .filter(|t| t.at_end && t.turn_deg >= 20.0);
        assert!(told_turns + said.matches("on it").count() >= turns.count(), "{said}");
    }
    println!("{merged} of {} sheets have merged legs", plans.len());
}

#[test]
fn names_of_other_alphabets_are_there_and_a_letter_that_lacks_is_a_box_and_said() {
    let named = |name: &str| {
        let mut whole: Value = serde_json::from_str(&toeline_tests::demo_field()).unwrap();
        for f in whole["features"].as_array_mut().unwrap() {
            if f["properties"]["aeroway"] == "aerodrome" {
                f["properties"]["name"] = json!(name);
            }
            if f["properties"]["ref"] == "HS1" {
                f["properties"]["ref"] = json!(name);
            }
        }
        let plan = plan(
            &whole.to_string(),
            &request("trainer-high-2", "4", &["E"], "26", "240/12T"),
        )
        .unwrap();
        let pages = pages(&plan);
        check_pages(name, &pages);
        pages.iter().map(|p| words(p)).collect::<Vec<_>>()
    };
    for name in ["Žďár nad Sázavou", "Ελληνικό", "Домодедово", "Þingeyri"] {
        let said = named(name);
        assert!(said.iter().all(|p| p.contains(name) && !p.contains('□')), "{said:?}");
    }
    for (name, shown, code) in [
        ("滑走路 Field", "□□□ Field", "U+8D70"),
        ("שדה Field", "□□□ Field", "U+05D3"),
    ] {
        let said = named(name);
        assert!(said[0].contains(shown) && said[0].contains("see page"), "{}", said[0]);
        assert!(
            said.last().unwrap().contains(code) && !said[0].contains(name),
            "{said:?}"
        );
    }
}
