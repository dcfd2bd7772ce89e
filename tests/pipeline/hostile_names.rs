//! Names with markup, control and direction characters, from the map file's text to every form of the briefing: they stay
//! text, and they do not become lines, commands of a terminal or elements.

use super::demo::request;
use serde_json::{Value, json};
use toeline_engine::{briefing, plan};

const MARKUP: &str = "<script>alert(1)</script>";
const CONTROL: &str = "a\u{1b}[31mb\u{7}\u{202e}c\nd\r\u{2028}e\u{0}f";

/// The demo field with names and identities that mean harm on everything but the ways and places that are asked for.
fn hostile(name: &str) -> String {
    let mut whole: Value = serde_json::from_str(&toeline_tests::demo_field()).unwrap();
    for (i, f) in whole["features"].as_array_mut().unwrap().iter_mut().enumerate() {
        f["id"] = json!(format!("{name} {i}"));
        let properties = f["properties"].as_object_mut().unwrap();
        properties.insert("name".to_string(), json!(name));
        if properties.contains_key("toeline:closed") {
            properties.insert("toeline:closed".to_string(), json!(name));
        }
        if properties.get("aeroway").is_some_and(|a| a == "taxilane") {
            properties.insert("surface".to_string(), json!(name));
            properties.insert("oneway".to_string(), json!(name));
        }
    }
    whole.to_string()
}

fn texts(value: &Value, list: &mut Vec<String>) {
    match value {
        Value::String(s) => list.push(s.clone()),
        Value::Array(a) => a.iter().for_each(|v| texts(v, list)),
        Value::Object(o) => o.iter().for_each(|(k, v)| {
            list.push(k.clone());
            texts(v, list);
        }),
        _ => {}
    }
}

#[test]
fn names_from_a_map_stay_text_in_every_form() {
    for name in [MARKUP, CONTROL] {
        let plan = plan(&hostile(name), &request("trainer-high-2", "4", &["E"], "26", "240/12T")).unwrap();
        assert!(!plan.notices.is_empty());
        let brief = briefing::brief(&plan);
        let text = briefing::text(&brief);
        assert!(
            !text
                .chars()
                .any(|c| c != '\n' && (c.is_control() || matches!(c, '\u{202e}' | '\u{2028}')))
        );
        // A name does not begin a line of its own: the blank in its place keeps it on the line.
        assert!(!text.lines().any(|l| l.trim_start().starts_with("d  e")), "{text}");
        for form in [briefing::json(&plan, &brief), briefing::geojson(&plan, &brief)] {
            let mut list = Vec::new();
            texts(&serde_json::from_str(&form).expect("parses"), &mut list);
            assert!(
                list.iter().any(|t| t.contains("alert(1)") || t.contains("[31mb")),
                "the name is in no text"
            );
            let harm = |c: char| c != '\n' && (c.is_control() || matches!(c, '\u{202e}' | '\u{2028}'));
            assert!(!list.iter().any(|t| t.chars().any(harm)), "{list:#?}");
        }
        let mut drawn = vec![briefing::svg(&plan, &brief)];
        drawn.extend(briefing::knee_sheet(&plan, &brief));
        let known = ["svg", "title", "clipPath", "rect", "g", "path", "circle", "text"];
        let mut shown = false;
        for svg in &drawn {
            let parsed = roxmltree::Document::parse(svg).expect("parses");
            for node in parsed.descendants().filter(roxmltree::Node::is_element) {
                assert!(known.contains(&node.tag_name().name()), "<{}>", node.tag_name().name());
                assert!(!node.attributes().any(|a| a.name().starts_with("on")));
                shown |= node
                    .text()
                    .is_some_and(|t| t.contains("alert(1)") || t.contains("[31m"));
            }
        }
        assert!(shown, "no name is on the chart");
    }
}
