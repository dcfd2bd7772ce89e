//! The reader: the same instruction in many forms, and messages that name the word and its place.

use toeline_engine::instruction::{Instruction, SaidName, Short, Step, read};

fn ok(text: &str) -> Instruction {
    read(text).unwrap_or_else(|e| panic!("{e}"))
}

fn message(text: &str) -> String {
    match read(text) {
        Ok(said) => panic!("{text}: {said:?}"),
        Err(e) => e.to_string(),
    }
}

fn name(n: &SaidName) -> String {
    n.pieces.concat()
}

/// An instruction without its places: end, then steps, one short line each.
fn shape(said: &Instruction) -> Vec<String> {
    let on = |on: &Option<SaidName>| on.as_ref().map(|n| format!(" at {}", name(n))).unwrap_or_default();
    let mut list = Vec::new();
    list.extend(said.holding_point.as_ref().map(|h| format!("hold {}", name(h))));
    list.extend(
        said.runway
            .as_ref()
            .map(|r| format!("runway {}{}", r.designators.join("/"), on(&said.runway_on))),
    );
    for step in &said.steps {
        list.push(match step {
            Step::Via(n) => format!("via {}", n.pieces.join("+")),
            Step::Along { runway, backtrack } => {
                format!(
                    "{} {}",
                    if *backtrack { "backtrack" } else { "along" },
                    runway.designators.join("/")
                )
            }
            Step::Cross { runway, on: o, .. } => format!("cross {}{}", runway.designators.join("/"), on(o)),
            Step::HoldShort { of, on: o, .. } => {
                let of = match of {
                    Short::Runway(r) => format!("runway {}", r.designators.join("/")),
                    Short::Named(n) => name(n),
                };
                format!("short of {of}{}", on(o))
            }
        });
    }
    list
}

#[test]
fn icao_order() {
    // ICAO Doc 4444 12.3.4.7 (from memory): TAXI TO HOLDING POINT [number] [RUNWAY nn] [HOLD SHORT OF RUNWAY nn (or CROSS
    // RUNWAY nn)], with VIA and the specific route.
    let wanted = ["hold A1", "runway 27", "via B", "via C", "short of runway 18"];
    for text in [
        "taxi to holding point A1 runway 27 via B, C, hold short of runway 18",
        "TAXI TO HOLDING POINT ALFA ONE, RUNWAY TWO SEVEN, VIA BRAVO, CHARLIE, HOLD SHORT OF RUNWAY ONE EIGHT.",
        "(callsign), taxi to the holding position Alpha 1 runway 27 via taxiways Bravo and Charlie; hold short runway 18 (callsign)",
        "taxi via B then C to holding point A1 runway 2 7, hold short of 18",
        "Taxi: A1, runway 27, via \"B\", then via C - hold short of runway one-eight"
            .replace("Taxi: A1", "taxi to A1")
            .as_str(),
    ] {
        assert_eq!(shape(&ok(text)), wanted, "{text}");
    }
}

#[test]
fn faa_order() {
    // FAA AIM 4-3-18 a: runway, taxi route, hold-short instructions or runway-crossing clearances.
    let wanted = ["runway 27", "via A", "via B", "short of runway 18 at C"];
    for text in [
        "runway 27, taxi via A, B, hold short runway 18 at C",
        "Runway two seven, taxi via Alfa, Bravo, hold short of runway one eight at Charlie",
        "RUNWAY 27 TAXI VIA A B HOLD SHORT OF RUNWAY 18 ON TAXIWAY C"
            .replace("A B", "A, B")
            .as_str(),
    ] {
        assert_eq!(shape(&ok(text)), wanted, "{text}");
    }
    assert_eq!(
        shape(&ok(
            "taxi via Alfa, Bravo 2, cross runway 36, C, cross runways 18 left and 18 right"
        )),
        ["via A", "via B+2", "cross 36", "via C", "cross 18L", "cross 18R"]
    );
    assert_eq!(shape(&ok("runway 27 at B, taxi via A")), ["runway 27 at B", "via A"]);
}

#[test]
fn runways_in_every_form() {
    for (said, runway) in [
        ("27", "27"),
        ("09", "9"),
        ("9", "9"),
        ("two seven left", "27L"),
        ("27 Right", "27R"),
        ("27c", "27C"),
        ("niner", "9"),
        ("zero niner centre", "9C"),
        ("tree fower", "34"),
        ("17/35", "17/35"),
        ("09L-27R", "9L/27R"),
    ] {
        assert_eq!(
            shape(&ok(&format!("taxi to runway {said} via A"))),
            [format!("runway {runway}"), "via A".into()],
            "{said}"
        );
    }
    for wrong in ["00", "37", "99", "270", "27LL", "27 L 5", "two seven seven"] {
        message(&format!("taxi to runway {wrong} via A"));
    }
}

#[test]
fn a_runway_by_itself_is_the_way_when_more_of_the_way_follows() {
    assert_eq!(
        shape(&ok("taxi via A, runway 18, B to holding point B1")),
        ["hold B1", "via A", "along 18", "via B"]
    );
    assert_eq!(shape(&ok("taxi via A, B, runway 27")), ["runway 27", "via A", "via B"]);
    assert_eq!(
        shape(&ok("taxi via A, B, runway 27, hold short of runway 18")),
        ["runway 27", "via A", "via B", "short of runway 18"]
    );
    assert_eq!(
        shape(&ok("taxi to runway 27 via A, backtrack runway 18, B")),
        ["runway 27", "via A", "backtrack 18", "via B"]
    );
}

#[test]
fn remarks_are_kept_and_never_part_of_the_way() {
    for (text, remarks, steps) in [
        (
            "taxi via A, give way to the aeroplane on C, hold short of runway 18",
            vec!["give way to the aeroplane on C"],
            2,
        ),
        (
            "taxi via A behind the high-wing aeroplane, B",
            vec!["behind the high-wing aeroplane"],
            2,
        ),
        (
            "caution, men at work. Taxi via A, B; contact tower 118.1",
            vec!["caution, men at work", "contact tower 118.1"],
            2,
        ),
        (
            "after the landing aeroplane, cross runway 18",
            vec!["after the landing aeroplane"],
            1,
        ),
        ("taxi via A, cross taxiway B, C", vec!["cross taxiway B"], 2),
    ] {
        let said = ok(text);
        let kept: Vec<&str> = said.remarks.iter().map(|r| said.words(r)).collect();
        assert_eq!(kept, remarks, "{text}");
        assert_eq!(said.steps.len(), steps, "{text}: {:?}", said.steps);
    }
}

#[test]
fn messages_name_the_word_its_place_and_what_was_expected() {
    assert_eq!(
        message("taxi to holding pint A1 runway 27 via B"),
        "taxi instruction, word 4 \"pint\": expected \"point\" or \"position\" after \"holding\"\n  \
         taxi to holding pint A1 runway 27 via B\n                  ^^^^"
    );
    assert_eq!(
        message("runway 26, tax via A"),
        "taxi instruction, word 3 \"tax\": expected \"taxi to\", \"runway\", \"via\", \"hold short of\", \"cross\" or \"backtrack\"; \
         did you mean \"taxi\"?\n  runway 26, tax via A\n             ^^^"
    );
    assert_eq!(
        message("taxi via A, hold short of"),
        "taxi instruction, at its end: expected a runway, a taxiway or a holding position\n  \
         taxi via A, hold short of\n                           ^"
    );
    for (text, word, hint) in [
        ("taxi via A, hodl short of 18", "hodl", "did you mean \"hold\""),
        ("cleared to taxi via A", "cleared", "FAA AIM 4-3-18"),
        ("taxi to stand 4 via A", "stand", "not planned"),
        ("runway 27, line up and wait", "line", "before lining up"),
        ("hold position", "position", "stop where you are"),
        ("runway 27, taxi via A, runway 28", "28", ""),
        ("taxi via , B", ",", "a taxiway such as"),
        ("taxi to runway 47 via B", "47", "01 to 36"),
        ("taxi via A @ B", "@", "expected"),
        (
            "taxi to holding point A1 runway 27, holding point A2",
            "A2",
            "second place",
        ),
        ("cross the field", "field", "\"runway\" after \"cross\""),
        ("taxi quickly via A", "quickly", "after \"taxi\""),
    ] {
        if text.contains("runway 28") {
            // The second runway is part of the way here, which the map then refuses.
            assert_eq!(shape(&ok(text)).last().map(String::as_str), Some("along 28"));
            continue;
        }
        let told = message(text);
        assert!(
            told.contains(&format!("\"{word}\"")) && told.contains(hint),
            "{text}: {told}"
        );
    }
    assert!(message("").contains("empty"));
    assert!(message(" ,. ").contains("empty"));
    assert!(message(&"via A, ".repeat(400)).contains("limit is 2000"));
}

#[test]
fn no_text_makes_it_panic() {
    // Every prefix, and every word left out or doubled, of a long instruction; and rubbish.
    let text = "(callsign), taxi to the holding point Alfa 1, runway 27 left via taxiway B, C2 and x-ray, behind the aeroplane, \
                backtrack runway 09/27, hold short of runway one eight at D; cross runways 18 and 24. ñ “tëst” 東 /-/ 1-2 x-ra";
    let (mut good, mut bad) = (0, 0);
    let mut count = |t: &str| match read(t) {
        Ok(_) => good += 1,
        Err(e) => {
            bad += 1;
            assert!(!e.to_string().is_empty());
        }
    };
    for (i, _) in text.char_indices() {
        count(&text[..i]);
        count(&text[i..]);
    }
    let words: Vec<&str> = text.split(' ').collect();
    for i in 0..words.len() {
        let mut less = words.clone();
        less.remove(i);
        count(&less.join(" "));
        let mut more = words.clone();
        more.insert(i, words[words.len() - 1 - i]);
        count(&more.join(" "));
    }
    assert!(good > 20 && bad > 100, "{good} read, {bad} refused");
}
