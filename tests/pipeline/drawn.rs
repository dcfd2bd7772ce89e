//! What stands on a drawn page, read from its SVG as a stranger would, with the true widths of its type.

use toeline_engine::typeface;

/// A box on the page, mm: left, top, right, bottom.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Extent {
    pub(crate) x0: f64,
    pub(crate) y0: f64,
    pub(crate) x1: f64,
    pub(crate) y1: f64,
}

impl Extent {
    pub(crate) fn meets(&self, o: &Extent) -> bool {
        // A hundredth of a millimetre is what the page's numbers are rounded to.
        let e = 0.02;
        self.x0 + e < o.x1 && o.x0 + e < self.x1 && self.y0 + e < o.y1 && o.y0 + e < self.y1
    }

    pub(crate) fn within(&self, o: &Extent) -> bool {
        let e = 0.02;
        self.x0 + e >= o.x0 && self.x1 <= o.x1 + e && self.y0 + e >= o.y0 && self.y1 <= o.y1 + e
    }

    fn has(&self, (x, y): (f64, f64)) -> bool {
        x > self.x0 && x < self.x1 && y > self.y0 && y < self.y1
    }
}

/// A text of the page with its box: as wide as its letters, from the height of capitals down to the feet of small letters.
#[derive(Clone, Debug)]
pub(crate) struct Text {
    pub(crate) text: String,
    pub(crate) size: f64,
    pub(crate) fill: String,
    pub(crate) on: Extent,
}

/// A page.
pub(crate) struct Page {
    /// All of it.
    pub(crate) whole: Extent,
    /// What the picture of the field is drawn in.
    pub(crate) picture: Option<Extent>,
    pub(crate) texts: Vec<Text>,
    /// The line of the nose wheel.
    pub(crate) way: Vec<(f64, f64)>,
    /// Widths of all strokes of lines and shapes.
    pub(crate) strokes: Vec<f64>,
}

fn number(node: roxmltree::Node, name: &str) -> f64 {
    let text = node
        .attribute(name)
        .unwrap_or_else(|| panic!("<{}> without {name}", node.tag_name().name()));
    text.parse().unwrap_or_else(|_| panic!("{name}=\"{text}\""))
}

fn rect(node: roxmltree::Node) -> Extent {
    let [x0, y0, w, h] = ["x", "y", "width", "height"].map(|n| number(node, n));
    Extent {
        x0,
        y0,
        x1: x0 + w,
        y1: y0 + h,
    }
}

fn text(node: roxmltree::Node) -> Text {
    let said = node.text().unwrap_or_default().to_string();
    let (x, y, size) = (number(node, "x"), number(node, "y"), number(node, "font-size"));
    let width = typeface::width(&said, size, node.attribute("font-weight").is_some());
    let x0 = match node.attribute("text-anchor") {
        Some("middle") => x - width / 2.0,
        Some("end") => x - width,
        _ => x,
    };
    Text {
        text: said,
        size,
        fill: node.attribute("fill").unwrap_or_default().to_string(),
        on: Extent {
            x0,
            y0: y - 0.76 * size,
            x1: x0 + width,
            y1: y + 0.24 * size,
        },
    }
}

fn line(d: &str) -> Vec<(f64, f64)> {
    let spots = d.split(['M', 'L', 'Z']).filter(|s| !s.is_empty());
    spots
        .map(|s| {
            let (x, y) = s.split_once(' ').expect("two numbers");
            (x.parse().expect("a number"), y.parse().expect("a number"))
        })
        .collect()
}

/// Reads a page; the way is the line in its own colour of one of the given widths.
pub(crate) fn page(svg: &str, way_width: &str) -> Page {
    let parsed = roxmltree::Document::parse(svg).expect("parses");
    let size: Vec<f64> = parsed
        .root_element()
        .attribute("viewBox")
        .expect("a size")
        .split(' ')
        .map(|n| n.parse().expect("a number"))
        .collect();
    let all = || parsed.descendants().filter(roxmltree::Node::is_element);
    let clip = all()
        .find(|n| n.has_tag_name("clipPath"))
        .and_then(|n| n.first_element_child());
    let is_way = |n: &roxmltree::Node| {
        n.has_tag_name("path")
            && n.attribute("stroke") == Some("#0d4a58")
            && n.attribute("stroke-width") == Some(way_width)
    };
    let stroked = all().filter(|n| !n.has_tag_name("text") && n.attribute("stroke").is_some_and(|s| s != "none"));
    Page {
        whole: Extent {
            x0: 0.0,
            y0: 0.0,
            x1: size[2],
            y1: size[3],
        },
        picture: clip.map(rect),
        texts: all().filter(|n| n.has_tag_name("text")).map(text).collect(),
        way: all()
            .find(is_way)
            .and_then(|n| n.attribute("d"))
            .map(line)
            .unwrap_or_default(),
        strokes: stroked.map(|n| number(n, "stroke-width")).collect(),
    }
}

/// Whether a text is the number of a leg, which lies on the way on purpose: "3", "12", "3-5".
pub(crate) fn is_leg_number(text: &str) -> bool {
    !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '-')
}

impl Page {
    /// Texts of the picture.
    pub(crate) fn in_picture(&self) -> Vec<&Text> {
        let frame = self.picture.expect("a picture");
        let middle = |t: &Text| ((t.on.x0 + t.on.x1) / 2.0, (t.on.y0 + t.on.y1) / 2.0);
        self.texts.iter().filter(|t| frame.has(middle(t))).collect()
    }

    /// Everything that is wrong with where the texts stand.
    pub(crate) fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        for (i, a) in self.texts.iter().enumerate() {
            if !a.on.within(&self.whole) {
                faults.push(format!("\"{}\" leaves the page: {:?}", a.text, a.on));
            }
            for b in self.texts[i + 1..].iter().filter(|b| b.on.meets(&a.on)) {
                faults.push(format!("\"{}\" {:?} over \"{}\" {:?}", a.text, a.on, b.text, b.on));
            }
        }
        if let Some(frame) = self.picture {
            for t in self.in_picture() {
                if !t.on.within(&frame) {
                    faults.push(format!("\"{}\" leaves the picture: {:?}", t.text, t.on));
                }
                if !is_leg_number(&t.text) && self.steps().any(|p| t.on.has(p)) {
                    faults.push(format!("\"{}\" lies on the way: {:?}", t.text, t.on));
                }
            }
        }
        faults
    }

    /// The way in steps of at most a fifth of a millimetre.
    fn steps(&self) -> impl Iterator<Item = (f64, f64)> {
        self.way.windows(2).flat_map(|w| {
            let (a, b) = (w[0], w[1]);
            let steps = ((b.0 - a.0).hypot(b.1 - a.1) / 0.2).ceil().max(1.0) as usize;
            (0..=steps).map(move |i| {
                let k = i as f64 / steps as f64;
                (a.0 + (b.0 - a.0) * k, a.1 + (b.1 - a.1) * k)
            })
        })
    }
}
