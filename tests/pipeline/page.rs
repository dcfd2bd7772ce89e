//! The briefing's HTML page as text: everything that was briefed is on it, nothing on it is fetched, every link leads to
//! something on it, and its colours can be told apart. In a browser: `tests/external/briefing_page.rs`.

use super::demo::{planned, request};
use std::collections::BTreeSet;
use toeline_engine::briefing::{self, Answer, Briefing, WayBriefing};
use toeline_engine::{Plan, plan};

/// A page taken apart: tags with their attributes, and the text between them. The page escapes every "<" and ">" that is
/// not its own, so this is exact outside style and script, which are apart.
pub(crate) struct Taken {
    pub(crate) tags: Vec<(String, Vec<(String, String)>)>,
    pub(crate) text: String,
    pub(crate) style: String,
    pub(crate) script: String,
}

pub(crate) fn taken(page: &str) -> Taken {
    let between = |from: &str, to: &str| {
        let at = page.find(from).unwrap_or_else(|| panic!("no {from}")) + from.len();
        page[at..at + page[at..].find(to).expect("closed")].to_string()
    };
    let (style, script) = (between("<style>", "</style>"), between("<script>", "</script>"));
    let rest = page.replacen(&style, "", 1).replacen(&script, "", 1);
    let (mut tags, mut text) = (Vec::new(), String::new());
    for part in rest.split('<').skip(1) {
        let (tag, said) = part.split_once('>').unwrap_or_else(|| panic!("open: {part}"));
        text.push_str(said);
        text.push('\n');
        let tag = tag.trim_end_matches('/');
        let name = tag.split_whitespace().next().unwrap_or("").to_string();
        let mut attributes = Vec::new();
        let mut left = &tag[name.len()..];
        while let Some((key, more)) = left.split_once('=') {
            let more = more.strip_prefix('"').unwrap_or_else(|| panic!("bare value: {tag}"));
            let (value, after) = more.split_once('"').unwrap_or_else(|| panic!("open value: {tag}"));
            let key = key.split_whitespace().last().unwrap_or("").to_string();
            attributes.push((key, value.to_string()));
            left = after;
        }
        tags.push((name, attributes));
    }
    Taken {
        tags,
        text: read(&text),
        style,
        script,
    }
}

/// Character references as they are read.
fn read(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
    text.replace("&#39;", "'").replace("&amp;", "&")
}

impl Taken {
    fn all(&self, key: &str) -> Vec<&str> {
        let attributes = self.tags.iter().flat_map(|(_, a)| a);
        attributes.filter(|(k, _)| k == key).map(|(_, v)| v.as_str()).collect()
    }

    /// What must hold for every page.
    pub(crate) fn is_sound(&self) {
        let ids = self.all("id");
        let known: BTreeSet<&str> = ids.iter().copied().collect();
        assert_eq!(ids.len(), known.len(), "an id is there twice");
        for href in self.all("href") {
            let to = href
                .strip_prefix('#')
                .unwrap_or_else(|| panic!("it leads away: {href}"));
            assert!(known.contains(to), "#{to} is not on the page");
        }
        for key in ["aria-labelledby", "aria-describedby"] {
            for to in self.all(key) {
                assert!(known.contains(to), "{key} {to} is not on the page");
            }
        }
        for (tag, attributes) in &self.tags {
            for (key, value) in attributes {
                let fetched = ["src", "srcset", "action", "data", "poster", "xlink:href", "background"];
                assert!(!fetched.contains(&key.as_str()), "<{tag} {key}>");
                assert!(!key.starts_with("on"), "<{tag} {key}>");
                assert!(key == "content" || !value.contains("url("), "<{tag} {key}=\"{value}\">");
            }
            assert!(!["link", "img", "iframe", "object", "embed", "image", "base", "form"].contains(&tag.as_str()));
        }
        for code in [&self.style, &self.script] {
            for word in [
                "http:",
                "https:",
                "url(",
                "@import",
                "import(",
                "fetch(",
                "XMLHttpRequest",
                "localStorage",
            ] {
                assert!(!code.contains(word), "{word}");
            }
        }
        // Headings in order: none skips a level.
        let levels = self
            .tags
            .iter()
            .filter_map(|(t, _)| t.strip_prefix('h')?.parse::<u32>().ok());
        let levels: Vec<u32> = levels.collect();
        assert_eq!(levels[0], 1);
        assert_eq!(levels.iter().filter(|l| **l == 1).count(), 1);
        assert!(levels.windows(2).all(|w| w[1] <= w[0] + 1), "{levels:?}");
        for (tag, attributes) in self.tags.iter().filter(|(t, _)| t == "th") {
            assert!(attributes.iter().any(|(k, _)| k == "scope"), "<{tag}> without scope");
        }
    }

    fn said(&self, what: &str) {
        assert!(self.text.contains(what), "not on the page: {what}");
    }
}

fn way(b: &Briefing) -> &WayBriefing {
    match &b.answer {
        Answer::Way(w) => w,
        Answer::NoWay(n) => panic!("{n:?}"),
    }
}

fn paged(plan: &Plan) -> (Briefing, String) {
    let told = briefing::brief(plan);
    let page = briefing::page(plan, &told);
    (told, page)
}

#[test]
fn every_leg_stop_and_gap_is_on_it() {
    let (told, page) = paged(&planned("trainer-high-2", "4", &["E"], "26", "240/12T"));
    let (parts, w) = (taken(&page), way(&told));
    parts.is_sound();
    assert!(
        page.find(briefing::CAUTION)
            .is_some_and(|at| at < page.find("<h1>").expect("a title"))
    );
    assert!(w.legs.len() > 3 && w.stops.len() > 2 && w.gaps.len() > 3);
    parts.said(&w.verdict_text[0]);
    let lit = parts.all("data-i");
    for leg in &w.legs {
        let n = leg.number.to_string();
        // In the table, in words, on the map (line and number) and in the curve (two).
        assert!(lit.iter().filter(|i| **i == n).count() >= 5, "leg {n}");
        assert!(parts.all("id").contains(&format!("m{n}").as_str()));
        let row = page
            .split(&format!("<tr id=\"leg-{n}\""))
            .nth(1)
            .and_then(|r| r.split("</tr>").next());
        let row = read(row.expect("a row"));
        assert!(
            row.contains(&leg.name) && row.contains(&format!("<td class=\"n\">{:.0}</td>", leg.length_m)),
            "{row}"
        );
        assert!(
            row.contains(&format!("{:03.0}", leg.directions.heading_indicator_deg)),
            "{row}"
        );
        let wind = &leg.wind.as_ref().expect("wind").say;
        parts.said(&wind[1..]);
        for t in &leg.turns {
            parts.said(&t.say);
        }
    }
    for (i, stop) in w.stops.iter().enumerate() {
        assert!(lit.iter().filter(|x| **x == format!("s{i}")).count() >= 2, "stop {i}");
        parts.said(&stop.say);
    }
    // An aeroplane on a stand has several outlines; the nearest of them is told.
    let mut told_of = BTreeSet::new();
    for gap in w.gaps.iter().filter(|g| told_of.insert(g.obstacle.as_str())) {
        parts.said(&format!("{} to {}", gap.part, gap.obstacle));
    }
    for list in [
        &w.odds,
        &w.design_rows,
        &told.repairs,
        &w.engine_check.as_ref().expect("a check").others,
    ] {
        for line in list {
            parts.said(&line[1..]);
        }
    }
    parts.said(
        &told
            .radio
            .as_ref()
            .expect("radio")
            .read_back
            .clone()
            .expect("a read-back"),
    );
    assert!(page.len() < 300_000, "{} bytes", page.len());
}

#[test]
fn no_way_has_a_page_with_what_blocks() {
    let plan = planned("trainer-high-2", "4", &[], "G1", "240/12T");
    let (told, page) = paged(&plan);
    let Answer::NoWay(none) = &told.answer else {
        panic!("a way: {told:?}")
    };
    let parts = taken(&page);
    parts.is_sound();
    parts.said("NO WAY");
    assert!(!none.blocks.is_empty());
    for (i, block) in none.blocks.iter().enumerate() {
        parts.said(&block[1..]);
        let n = parts
            .all("data-i")
            .iter()
            .filter(|x| **x == format!("b{}", i + 1))
            .count();
        assert!(n >= 3, "block {} in list, ring and name: {n}", i + 1);
    }
}

#[test]
fn names_that_mean_harm_stay_text_on_it() {
    for (name, shown) in [
        ("<script>alert(1)</script>", "<script>alert(1)</script>"),
        ("\" onload=\"alert(2)\" x='", "\" onload=\"alert(2)\" x='"),
        (
            "</style></svg><img src=x onerror=alert(3)>&amp;",
            "<img src=x onerror=alert(3)>&amp;",
        ),
        ("a\u{1b}[31mb\u{202e}c\u{0}d\u{200f}\u{2028}e", "[31mb c d e"),
    ] {
        let field = super::hostile_names::hostile(name);
        let plan = plan(&field, &request("trainer-high-2", "4", &["E"], "26", "240/12T")).unwrap();
        let (_, page) = paged(&plan);
        let parts = taken(&page);
        parts.is_sound();
        parts.said(shown);
        assert_eq!(page.matches("<script").count(), 1);
        assert_eq!(page.matches("</style").count(), 1);
        let harm = |c: char| c != '\n' && (c.is_control() || matches!(c, '\u{202e}' | '\u{2028}' | '\u{200f}'));
        assert!(!parts.text.chars().any(harm));
    }
}

#[test]
fn the_largest_real_field_stays_small_and_sound() {
    let Some(path) = toeline_tests::open_data("airfields/hubs/eddf-frankfurt-2023-08.geojson") else {
        return;
    };
    let text = std::fs::read_to_string(path).unwrap();
    for to in ["25C", "18"] {
        let plan = plan(&text, &request("trainer-high-2", "V 117", &[], to, "240/12T")).unwrap();
        let (told, page) = paged(&plan);
        taken(&page).is_sound();
        println!("to {to}: {} legs, {} bytes", way(&told).legs.len(), page.len());
        assert!(page.len() < 3_000_000, "{} bytes", page.len());
    }
}

/// Relative luminance and contrast as WCAG 2.2 defines them.
fn contrast(a: u32, b: u32) -> f64 {
    let luminance = |c: u32| {
        let part = |shift: u32| {
            let v = f64::from(c >> shift & 0xff) / 255.0;
            if v <= 0.04045 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * part(16) + 0.7152 * part(8) + 0.0722 * part(0)
    };
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

#[test]
fn its_colours_can_be_told_apart() {
    assert!((contrast(0xff_ff_ff, 0) - 21.0).abs() < 1e-9);
    assert!((contrast(0xff_ff_ff, 0x76_76_76) - 4.54).abs() < 0.01);
    let (_, page) = paged(&planned("trainer-high-2", "4", &["E"], "26", "240/12T"));
    let style = taken(&page).style;
    let (root, rest) = style.split_once('}').expect("the colours first");
    // Every colour is one of the names, so that none escapes this test.
    let hex = |word: &str| word.len() >= 3 && word.chars().take(3).all(|c| c.is_ascii_hexdigit());
    assert!(
        !rest
            .split('#')
            .skip(1)
            .any(|w| w.starts_with(|c: char| c.is_ascii_digit()) || hex(w) && !w.starts_with("bar"))
    );
    let colour = |name: &str| {
        let at = root
            .split(&format!("--{name}:#"))
            .nth(1)
            .unwrap_or_else(|| panic!("no colour {name}"));
        let digits = at.split(';').next().unwrap_or(at);
        let whole: String = if digits.len() == 3 {
            digits.chars().flat_map(|c| [c, c]).collect()
        } else {
            digits.to_string()
        };
        u32::from_str_radix(&whole, 16).unwrap_or_else(|e| panic!("{name}: {digits}: {e}"))
    };
    // Text: 4.5 to 1. Graphics that mean something: 3 to 1 (WCAG 2.2, 1.4.3 and 1.4.11).
    let texts = [
        ("ink", "paper"),
        ("soft", "paper"),
        ("way", "paper"),
        ("ink", "tint"),
        ("way", "tint"),
        ("ink", "band"),
        ("soft", "tint"),
        ("paper", "ink"),
    ];
    let graphics = [
        ("way", "paper"),
        ("way", "lane"),
        ("way", "apron"),
        ("way", "grass"),
        ("line", "paper"),
        ("edge", "paper"),
        ("edge", "lane"),
        ("runway", "paper"),
        ("paper", "runway"),
        ("thing", "paper"),
        ("thing", "apron"),
        ("dark", "hangar"),
        ("leaf", "paper"),
        ("leaf", "tree"),
        ("thing", "grass"),
        ("hangar", "paper"),
        ("way", "loose"),
    ];
    for (list, least) in [(&texts[..], 4.5), (&graphics[..], 3.0)] {
        for (a, b) in list {
            let found = contrast(colour(a), colour(b));
            assert!(found >= least, "{a} on {b}: {found:.2}, wanted {least}");
        }
    }
}
