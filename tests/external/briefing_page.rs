//! The briefing's HTML page in the world outside: the Nu HTML checker, and headless Chromium driven over its DevTools
//! protocol with real mouse, key and finger events. As text: `tests/pipeline/page.rs`.

use crate::python::{answer, python};
use serde_json::{Value, json};
use std::ffi::OsString;
use toeline_engine::briefing::{self, Answer, Briefing, CheckPlace, CheckedThere, LiftBriefing, LiftMargin};
use toeline_engine::briefing::{RunningItem, RunningStage};
use toeline_engine::planning::{Outcome, Way};
use toeline_engine::{Plan, Request, plan};

fn request(from: &str, via: &[&str], to: &str) -> Request {
    toeline_tests::request("trainer-high-2", from, via, to, "240/12G20T")
}

fn demo() -> Plan {
    plan(&toeline_tests::demo_field(), &request("4", &["E"], "26")).expect("a plan")
}

fn way(plan: &Plan) -> &Way {
    match &plan.outcome {
        Outcome::Way(way) => way,
        Outcome::NoWay(why) => panic!("{why:?}"),
    }
}

/// A briefing in which everything that a page can hold is there, whatever the other parts fill in by themselves.
fn full(plan: &Plan) -> Briefing {
    let mut told = briefing::brief(plan);
    let Answer::Way(w) = &mut told.answer else {
        panic!("a way")
    };
    let margin = |kt: f64| LiftMargin {
        wheel: Some("left main wheel".to_string()),
        lifts_at_kt: Some(kt + 20.0),
        above_steady_kt: Some(kt + 8.0),
        above_gust_kt: Some(kt),
        heading_magnetic_deg: None,
        speed_kt: None,
    };
    for leg in &mut w.legs {
        leg.lift = Some(LiftBriefing {
            held_right: margin(14.0),
            held_wrong: margin(3.0),
            say: "the left main wheel lifts at 34 kt with the controls held right, at 23 kt held wrong".to_string(),
        });
    }
    for stop in &mut w.stops {
        stop.who_may_pass = Some("nobody <before> the \"tower\" says so & you have read it back".to_string());
    }
    let item = |what: &str, to_be: Option<&str>| RunningItem {
        what: what.to_string(),
        to_be: to_be.map(str::to_string),
    };
    w.running = (1..=5)
        .map(|i| RunningStage {
            id: format!("stage_{i}"),
            title: format!("Stage {i}, <stand> & \"area\""),
            at_m: (i < 5).then(|| f64::from(i) * 100.0),
            leg: Some(1),
            items: vec![
                item("mixture", Some("rich")),
                item("look both ways", None),
                item("oil pressure", Some("205 to 620 kPa")),
            ],
        })
        .collect();
    w.check_places = vec![CheckPlace {
        kind: CheckedThere::LeftTurn,
        leg: 2,
        at_m: 120.0,
        say: "turn needle left, ball right, heading down".to_string(),
    }];
    told.others = Vec::new();
    told
}

/// A briefing with nothing but what the way itself gives: its length does not hang on the running list and the like.
fn bare(plan: &Plan) -> Briefing {
    let mut told = briefing::brief(plan);
    let Answer::Way(w) = &mut told.answer else {
        panic!("a way")
    };
    w.running = Vec::new();
    w.check_places = Vec::new();
    w.legs.iter_mut().for_each(|l| l.lift = None);
    w.stops.iter_mut().for_each(|s| s.who_may_pass = None);
    told
}

fn page(plan: &Plan) -> String {
    briefing::page(plan, &briefing::brief(plan))
}

#[test]
fn the_nu_html_checker_finds_nothing() {
    let Some(python) = python() else { return };
    let demo = demo();
    let no_way = plan(&toeline_tests::demo_field(), &request("4", &[], "G1")).expect("an answer");
    assert!(matches!(no_way.outcome, Outcome::NoWay(_)));
    let whole = briefing::page(&demo, &full(&demo));
    // The checker must be able to say no.
    let broken = whole.replacen("<h2", "<h2><p></p><h2", 1);
    let found = answer(
        &python,
        "check_page.py",
        &json!([whole, page(&no_way), page(&demo), broken]),
    );
    if let Some(why) = found[0].as_str() {
        println!("skipped: {why}");
        return;
    }
    for i in 0..3 {
        assert_eq!(found[i], json!([]), "page {i}");
    }
    assert_ne!(found[3], json!([]), "the checker passes a paragraph in a heading");
}

/// What the browser found, step by step; nothing on the console, nothing asked for. `None` when there is no browser.
fn browsed(python: &OsString, page: &str, steps: &Value) -> Option<Vec<Value>> {
    let found = answer(python, "browse.py", &json!({ "page": page, "steps": steps }));
    if let Some(why) = found[0].as_str() {
        println!("skipped: {why}");
        return None;
    }
    assert_eq!(found["console"], json!([]), "the console");
    assert_eq!(found["requests"], json!([]), "it asked for something");
    Some(found["answers"].as_array().expect("answers").clone())
}

/// What is lit on map, curve and tables, and how thick the drawn line of leg 3 and its rim are.
const LIT: &str = "(() => { const on = (where) => [...new Set([...document.querySelectorAll(where)].map((e) => e.dataset.i))];
    const thick = (n) => Number.parseFloat(getComputedStyle(document.querySelector('#m' + n + ' .hit')).strokeOpacity)
        * Number.parseFloat(getComputedStyle(document.querySelector('#m' + n + ' .hit')).strokeWidth);
    return { map: on('#map .on'), curve: on('#curve .on'), table: on('tr.on'), thick: thick(3), other: thick(1) }; })()";

/// Where the pointer meets something: the middle of a leg on the map, and of any other element.
fn leg_on_map(n: usize) -> String {
    format!(
        "(() => {{ const p = document.getElementById('p{n}'); const q = p.getPointAtLength(p.getTotalLength() * 0.3)
        .matrixTransform(document.getElementById('map').getScreenCTM()); return [q.x, q.y]; }})()"
    )
}

fn middle_of(selector: &str) -> String {
    format!(
        "(() => {{ const e = document.querySelector('{selector}'); e.scrollIntoView({{ block: 'nearest' }});
        const b = e.getBoundingClientRect(); return [b.left + b.width / 2, b.top + b.height / 2]; }})()"
    )
}

#[test]
fn pointing_at_a_leg_lights_it_everywhere() {
    let Some(python) = python() else { return };
    let steps = json!([
        ["size", 1440, 900],
        ["media", "prefers-reduced-motion", "reduce"],
        ["eval", LIT],
        ["move", middle_of("#leg-3")],
        ["eval", LIT],
        ["move", leg_on_map(2)],
        ["eval", LIT],
        ["move", middle_of("#curve .band[data-i=\\\"4\\\"]")],
        ["eval", LIT],
        ["move", middle_of("#gap-a")],
        ["eval", LIT],
        // A click on the map keeps it; elsewhere it stays lit; Escape lets go.
        ["click", leg_on_map(3)],
        ["move", 5, 5],
        ["eval", LIT],
        ["eval", "document.getElementById('reading').innerText"],
        ["key", "Escape"],
        ["eval", LIT],
    ]);
    let Some(found) = browsed(&python, &page(&demo()), &steps) else {
        return;
    };
    let lit = |i: usize, what: [&str; 3]| {
        for (k, where_) in ["map", "curve", "table"].iter().enumerate() {
            let wanted = if what[k].is_empty() {
                json!([])
            } else {
                json!([what[k]])
            };
            assert_eq!(found[i][where_], wanted, "step {i}, {where_}: {}", found[i]);
        }
    };
    lit(2, [""; 3]);
    lit(4, ["3"; 3]);
    // Without colour too: a dark tube that others do not have.
    assert!(found[4]["thick"].as_f64().expect("px") >= 12.0, "{}", found[4]);
    assert_eq!(found[4]["other"].as_f64(), Some(0.0));
    assert_eq!(found[2]["thick"].as_f64(), Some(0.0));
    lit(6, ["2"; 3]);
    lit(8, ["4"; 3]);
    lit(10, ["ga"; 3]);
    lit(13, ["3"; 3]);
    assert!(found[14].as_str().expect("text").contains("taxiway A"), "{}", found[14]);
    lit(16, [""; 3]);
}

/// Ground and screen: pixels of the bar, metres that it says, and the start's and the end's places on the screen.
const SCALE: &str = "(() => { const at = (e) => { const m = e.getScreenCTM(); return [m.e, m.f]; };
    const marks = [...document.querySelectorAll('#map > g > g[id^=ms]')];
    return { px: document.getElementById('rule').getBoundingClientRect().width, m: Number(document.getElementById('bar').dataset.n),
    text: document.querySelector('#bar text').textContent, from: at(marks[0]), to: at(marks.at(-1)),
    left: document.getElementById('rule').getBoundingClientRect().left - document.getElementById('map').getBoundingClientRect().left,
    view: document.getElementById('map').getAttribute('viewBox') }; })()";

#[test]
fn the_map_moves_and_zooms_and_its_scale_bar_stays_true() {
    let Some(python) = python() else { return };
    let plan = demo();
    let stops = &way(&plan).route.stops;
    let apart_m = stops[0].pose.nose.distance(stops.last().expect("an end").pose.nose);
    let middle = middle_of("#map");
    let steps = json!([
        ["size", 1440, 900],
        ["eval", SCALE],
        ["wheel", middle, -240],
        ["eval", SCALE],
        ["drag", middle, 300, 200],
        ["eval", SCALE],
        ["click", middle_of("[data-do=in]")],
        ["eval", SCALE],
        ["click", middle_of("[data-do=home]")],
        ["eval", SCALE],
        ["click", middle_of("[data-do=out]")],
        ["eval", SCALE],
        // Keys, once the map has the focus.
        ["tab", "document.activeElement.id === 'frame'"],
        [
            "eval",
            "getComputedStyle(document.activeElement).outlineStyle + getComputedStyle(document.activeElement).outlineWidth"
        ],
        ["key", "+", 3],
        ["eval", SCALE],
        ["key", "ArrowRight"],
        ["eval", SCALE],
        ["key", "0"],
        ["eval", SCALE],
        // The keyboard goes on: over the legs of the map, lit one by one, to the table.
        ["key", "Tab"],
        ["eval", LIT],
        ["tab", "document.activeElement.closest('#leg-4') !== null"],
        ["eval", LIT],
        ["size", 360, 740, "touch"],
        ["eval", SCALE],
        ["pinch", middle, 3],
        ["eval", SCALE],
    ]);
    let Some(found) = browsed(&python, &page(&plan), &steps) else {
        return;
    };
    let mut scales = Vec::new();
    for i in [1, 3, 5, 7, 9, 11, 15, 17, 19, 25, 27] {
        let s = &found[i];
        let number = |v: &Value| v.as_f64().expect("a number");
        let place = |v: &Value| (number(&v[0]), number(&v[1]));
        let ((ax, ay), (bx, by)) = (place(&s["from"]), place(&s["to"]));
        let px_per_m = (ax - bx).hypot(ay - by) / apart_m;
        let (bar_px, bar_m) = (number(&s["px"]), number(&s["m"]));
        assert!(
            (bar_px / bar_m / px_per_m - 1.0).abs() < 0.01,
            "step {i}: {px_per_m} px for a metre, {s}"
        );
        assert_eq!(s["text"], json!(format!("{bar_m} m")));
        assert!(
            (20.0..=131.0).contains(&bar_px) && (0.0..60.0).contains(&number(&s["left"])),
            "step {i}: {s}"
        );
        scales.push((px_per_m, s["view"].clone()));
    }
    assert!(scales[1].0 > scales[0].0 * 1.4, "the wheel zooms");
    assert!(
        (scales[2].0 - scales[1].0).abs() < 1e-6 && scales[2].1 != scales[1].1,
        "a drag moves"
    );
    assert!(scales[3].0 > scales[2].0 * 1.4, "the button zooms");
    assert_eq!(scales[4].1, scales[0].1, "whole way");
    assert!(scales[5].0 < scales[0].0, "farther out than the way");
    assert!(found[12].is_u64(), "the map can be reached with the keyboard");
    assert_eq!(found[13], json!("solid3px"), "the focus is seen");
    assert!(
        scales[6].0 > scales[5].0 * 3.0 && scales[7].1 != scales[6].1,
        "keys zoom and move"
    );
    assert_eq!(scales[8].1, scales[0].1);
    assert_eq!(
        found[21]["table"],
        json!(["1"]),
        "a leg with the focus on the map is lit in the table: {}",
        found[21]
    );
    assert!(found[22].is_u64(), "no trap: the table is reached from the map");
    assert_eq!(
        found[23]["map"],
        json!(["4"]),
        "a leg with the focus in the table is lit on the map: {}",
        found[23]
    );
    assert!(scales[10].0 > scales[9].0 * 1.5, "two fingers zoom: {scales:?}");
}

/// Text that is seen, each against the ground behind it: the least contrast that WCAG defines, and what is below 4.5 to 1.
const CONTRAST: &str = "(() => { const part = (v) => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    const rgb = (c) => c.match(/[0-9.]+/g).map(Number); const l = (c) => 0.2126 * part(c[0]) + 0.7152 * part(c[1]) + 0.0722 * part(c[2]);
    const ground = (e) => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c.length < 4 || c[3] > 0) return c; }
    return [255, 255, 255]; }; let count = 0; const bad = [];
    for (const e of document.querySelectorAll('body *')) { if (e.closest('svg') || !e.checkVisibility()) continue;
    if (![...e.childNodes].some((n) => n.nodeType === 3 && n.textContent.trim())) continue; if (e.matches('script')) continue; count++;
    const [a, b] = [l(rgb(getComputedStyle(e).color)), l(ground(e))]; const r = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (r < 4.5) bad.push(e.tagName + ' ' + r.toFixed(2)); } return { count, bad }; })()";

#[test]
fn it_fits_a_phone_and_reads_without_scripts() {
    let Some(python) = python() else { return };
    let plan = demo();
    let no_way = toeline_engine::plan(&toeline_tests::demo_field(), &request("4", &[], "G1")).expect("an answer");
    let wide = "[document.documentElement.scrollWidth, document.documentElement.clientWidth]";
    for page in [briefing::page(&plan, &full(&plan)), page(&no_way)] {
        let steps = json!([
            ["size", 360, 740, "touch"],
            ["eval", wide],
            ["eval", CONTRAST],
            ["size", 320, 740, "touch"],
            ["eval", wide],
            ["size", 1440, 900],
            ["eval", wide],
            // Buttons of a size that a finger meets (24 px: WCAG 2.2, 2.5.8).
            [
                "eval",
                "Math.min(...[...document.querySelectorAll('button')].flatMap((b) => [b.offsetWidth, b.offsetHeight]))"
            ],
            ["scripts", "off"],
            [
                "eval",
                "[...document.querySelectorAll('h1, h2, h3, td, li, dd')].filter((e) => !e.closest('details') && !e.checkVisibility()).map((e) => e.className)"
            ],
            ["eval", "document.getElementById('tools').checkVisibility()"],
        ]);
        let Some(found) = browsed(&python, &page, &steps) else {
            return;
        };
        for i in [1, 4, 6] {
            assert_eq!(found[i][0], found[i][1], "step {i}: wider than the window");
        }
        assert_eq!(found[2]["bad"], json!([]));
        assert!(found[2]["count"].as_u64().is_some_and(|n| n > 20), "{}", found[2]);
        assert!(found[7].as_f64().is_some_and(|px| px >= 24.0), "{}", found[7]);
        let hidden: Vec<&str> = found[9]
            .as_array()
            .expect("a list")
            .iter()
            .filter_map(Value::as_str)
            .collect();
        // Columns that a narrow table leaves out are told leg by leg below it.
        assert!(
            hidden.iter().all(|c| c.contains("c1") || c.contains("c2")),
            "{hidden:?}"
        );
        assert_eq!(found[10], json!(false), "buttons that do nothing");
    }
}

#[test]
fn it_prints_on_the_stated_pages_zoomed_or_not() {
    let Some(python) = python() else { return };
    let plan = demo();
    let told = bare(&plan);
    let page = briefing::page(&plan, &told);
    let steps = json!([
        ["size", 1440, 900],
        ["pdf"],
        ["click", middle_of("[data-do=in]")],
        ["pdf"],
        ["scripts", "off"],
        ["pdf"],
    ]);
    let Some(found) = browsed(&python, &page, &steps) else {
        return;
    };
    let Answer::Way(w) = &told.answer else { panic!("a way") };
    for i in [1, 3, 5] {
        let pages: Vec<&str> = found[i]
            .as_array()
            .expect("pages")
            .iter()
            .filter_map(Value::as_str)
            .collect();
        println!("demo prints on {} pages", pages.len());
        assert!((3..=DEMO_PAGES).contains(&pages.len()), "step {i}");
        let first = pages[0].replace('\n', " ");
        // Ligatures and line ends apart, the words are there.
        for said in [
            "Training and planning aid only",
            "every part keeps 3.0 m",
            "taxiway D",
            "1042",
        ] {
            assert!(first.contains(said), "step {i}, first page: no \"{said}\" in {first}");
        }
        assert!(
            first.contains(&w.legs.len().to_string()) && !first.contains("Leg by leg"),
            "{first}"
        );
        assert!(
            !pages.concat().contains("Zoom") && !pages.concat().contains("Whole way"),
            "controls are printed"
        );
        assert!(pages[1].contains("Leg by leg"), "{}", pages[1]);
    }
}

/// Sheets that the demo way prints on at most with the short running list of this file. Reckoned with DejaVu Sans, the widest
/// of the types that the page names; narrower ones need no more.
const DEMO_PAGES: usize = 5;

/// In a print: how many names of the map are whole, and those that its edge cuts.
const PRINTED_NAMES: &str = "(() => { dispatchEvent(new Event('beforeprint')); const m = document.getElementById('map');
    const box = m.getBoundingClientRect(); let whole = 0; const cut = [];
    for (const g of m.querySelectorAll('.z > g')) { const r = g.querySelector('rect, circle').getBoundingClientRect();
        if (r.width === 0 || r.right <= box.left || r.left >= box.right || r.bottom <= box.top || r.top >= box.bottom) continue;
        if (r.left >= box.left && r.right <= box.right && r.top >= box.top && r.bottom <= box.bottom) whole += 1;
        else cut.push(g.textContent); }
    dispatchEvent(new Event('afterprint')); return [whole, cut]; })()";

#[test]
fn no_name_of_the_map_is_cut_in_print() {
    let Some(python) = python() else { return };
    let field = toeline_tests::demo_field();
    for (from, via, to) in [
        ("4", &["E"][..], "26"),
        ("H1", &["W"], "08"),
        ("5", &["W"], "26"),
        ("3", &[], "35"),
    ] {
        let plan = plan(&field, &request(from, via, to)).expect("a plan");
        // As wide as a sheet of A4 within its margins of 10 mm.
        let steps = json!([["size", 718, 1047], ["media", "print"], ["eval", PRINTED_NAMES]]);
        let Some(found) = browsed(&python, &page(&plan), &steps) else {
            return;
        };
        let whole = found[2][0].as_u64().expect("a count");
        println!("{from} to {to}: {whole} names in print");
        assert!(whole >= 15, "{from} to {to}: {whole} names");
        assert_eq!(found[2][1], json!([]), "{from} to {to}");
    }
}

/// How wide leg 11 is on the screen, px, whatever a metre is: across its line, where the browser says that its stroke is.
const THICK: &str =
    "(() => { const use = document.querySelector('#m11 .line'); const p = document.getElementById('p11');
    const k = document.getElementById('map').getScreenCTM().a; const q = p.getPointAtLength(p.getTotalLength() / 2);
    const after = p.getPointAtLength(p.getTotalLength() / 2 + 1); const [dx, dy] = [after.x - q.x, after.y - q.y];
    return use.getBBox().width * k > 50 && getComputedStyle(p).vectorEffect === 'non-scaling-stroke'
        && Math.hypot(dx, dy) > 0.5 ? Number.parseFloat(getComputedStyle(use).strokeWidth) : 0; })()";

#[test]
fn the_largest_real_field_works_in_the_browser() {
    let Some(python) = python() else { return };
    let Some(path) = toeline_tests::open_data("airfields/hubs/eddf-frankfurt-2023-08.geojson") else {
        return;
    };
    let text = std::fs::read_to_string(path).expect("read");
    let plan = plan(&text, &request("V 117", &[], "18")).expect("a plan");
    let steps = json!([
        ["size", 1440, 900],
        ["move", middle_of("#leg-2")],
        ["eval", LIT],
        ["click", middle_of("[data-do=in]")],
        ["eval", "document.getElementById('map').classList.contains('zoomed')"],
        ["click", middle_of("[data-do=home]")],
        ["eval", THICK],
        ["size", 360, 740, "touch"],
        [
            "eval",
            "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
        ],
        ["pdf"],
    ]);
    let Some(found) = browsed(&python, &page(&plan), &steps) else {
        return;
    };
    assert_eq!(found[2]["map"], json!(["2"]));
    assert_eq!(found[4], json!(true));
    assert!(found[6].as_f64().is_some_and(|px| px > 0.0), "{}", found[6]);
    assert!(found[8][0].is_number() && found[8][0] == found[8][1], "{}", found[8]);
    println!(
        "Frankfurt prints on {} pages",
        found[9].as_array().expect("pages").len()
    );
}
