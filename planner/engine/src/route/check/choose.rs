//! The order of the headings, the choice, and the words for it.
//!
//! Nearest to the wind first, one degree exact: five degrees at a time outward from the wind on both sides, then back by single
//! degrees to the last that failed. A place is clear when every wheel stays on pavement, every part keeps the margin in,
//! standing and out, and the blast falls on nothing. In this order: clear with the wind from ahead of abeam; the same with the
//! blast on ground where others pass, which can be waited for; clear with the wind from behind; that with the blast so; and
//! at last with the blast on people or parked aeroplanes, which is told as a doubt.

use super::Site;
use super::blast::Harm;
use super::candidates::{Candidate, CheckWay, OnHeading, Tally};
use crate::route::CheckOther;
use std::collections::BTreeMap;
use toeline_model::units::gap_floor;
use toeline_model::{Bearing, Yaw};

/// Headings tried outward from the wind, degrees apart, and then between the last that failed and the first that did.
const COARSE_DEG: i32 = 5;
/// The wind is from behind beyond this, degrees.
const ABEAM_DEG: i32 = 90;
/// How many others are listed.
const OTHERS: usize = 2;
/// Another place is worth listing when it is this far off, metres, or turned so far, degrees (ours).
const OTHER_PLACE_M: f64 = 6.0;
const OTHER_HEADING_DEG: f64 = 10.0;
/// How many more places are looked at for the list of others.
const MOST_LOOKS: usize = 40;

/// The choice.
#[derive(Clone, Debug, PartialEq)]
pub(in super::super) struct Chosen {
    pub(in super::super) way: CheckWay,
    /// Why it stands so.
    pub(in super::super) why: String,
    /// What the blast falls on all the same.
    pub(in super::super) blown: Vec<String>,
    /// Whether people or aeroplanes that stand are among it.
    pub(in super::super) people: bool,
    /// The next best, with why they are worse.
    pub(in super::super) others: Vec<CheckOther>,
}

/// Said when the wind gives no heading.
const FREE: &str = "the wind is calm, light or variable, so any heading will do";

/// What the blast falls on in a class of places, at the worst, and between which angles off the wind.
#[derive(Debug)]
struct Class {
    harm: Option<Harm>,
    off_deg: (i32, i32),
}

const CLASSES: [Class; 5] = [
    Class {
        harm: None,
        off_deg: (0, ABEAM_DEG),
    },
    Class {
        harm: Some(Harm::Traffic),
        off_deg: (0, ABEAM_DEG),
    },
    Class {
        harm: None,
        off_deg: (ABEAM_DEG + 1, 180),
    },
    Class {
        harm: Some(Harm::Traffic),
        off_deg: (ABEAM_DEG + 1, 180),
    },
    Class {
        harm: Some(Harm::People),
        off_deg: (0, 180),
    },
];

/// The headings of one angle off the wind, or all that are looked at when the heading is free.
struct Headings<'s, 'a> {
    site: &'s Site<'a>,
    wind_from: Option<Bearing>,
    /// Whether places lie half as far apart.
    fine: bool,
    /// What each angle off the wind gave, degrees: a list for each heading.
    known: BTreeMap<(bool, i32), Vec<OnHeading>>,
}

impl Headings<'_, '_> {
    fn yaws(&self, off_deg: i32) -> Vec<Yaw> {
        let Some(wind) = self.wind_from else {
            // Along the lane, against it or across it.
            let middle = (self.site.passes.0 + self.site.passes.1) / 2.0;
            let lane = self.site.guide.at(middle).map(|g| g.1);
            let quarters = [0.0, 1.0, 2.0, 3.0].map(|q| q * core::f64::consts::FRAC_PI_2);
            return lane.iter().flat_map(|l| quarters.map(|q| l.turned(q))).collect();
        };
        let toward = |deg: f64| Bearing::from_deg(wind.deg() + deg).yaw();
        match off_deg {
            0 => vec![wind.yaw()],
            180 => vec![toward(180.0)],
            off => vec![toward(f64::from(off)), toward(-f64::from(off))],
        }
    }

    /// Places at an angle off the wind of a class that clear on their whole way, cheapest first; no more than
    /// `most`, found in no more than `looks` looks beyond the first of them.
    fn places(&mut self, off_deg: i32, class: &Class, most: usize, looks: usize) -> Vec<Candidate> {
        let (site, key) = (self.site, (self.fine, off_deg));
        if !self.known.contains_key(&key) {
            let lists = self
                .yaws(off_deg)
                .iter()
                .map(|yaw| site.on_heading(*yaw, key.0))
                .collect();
            self.known.insert(key, lists);
        }
        let Some(lists) = self.known.get_mut(&key) else {
            return Vec::new();
        };
        let admitted = |c: &Candidate| c.blown.first().map(|b| b.0) == class.harm;
        let mut order: Vec<(usize, usize)> = Vec::new();
        for (h, list) in lists.iter().enumerate() {
            order.extend(
                (0..list.candidates.len())
                    .filter(|i| admitted(&list.candidates[*i]))
                    .map(|i| (h, i)),
            );
        }
        let price = |(h, i): &(usize, usize)| lists[*h].candidates[*i].price;
        order.sort_by(|a, b| price(a).total_cmp(&price(b)));
        let mut list = Vec::new();
        let mut left = looks;
        for (h, i) in order {
            if list.len() >= most || (!list.is_empty() && left == 0) {
                break;
            }
            if !list.is_empty() {
                left -= 1;
            }
            if lists[h].clears(site, i) {
                list.push(lists[h].candidates[i].clone());
            }
        }
        list
    }

    /// What stops the places straight into the wind, by the finest look at them.
    fn blocked_into_wind(&self) -> String {
        let fine = self.known.contains_key(&(true, 0));
        blocked(&self.tally(fine, 0))
    }

    /// The first place of a class between two angles off the wind, degrees, after passing over `skip`.
    fn first(&mut self, class: &Class, (low, high): (i32, i32), skip: usize) -> Option<(i32, Candidate)> {
        let mut left = skip;
        let mut failed = low - 1;
        let mut off = low;
        while off <= high {
            if self.places(off, class, left + 1, usize::MAX).is_empty() {
                failed = off;
                // On to the next multiple: the classes share what they looked at.
                let next = (off / COARSE_DEG + 1) * COARSE_DEG;
                off = if off < high { next.min(high) } else { high + 1 };
                continue;
            }
            // Back to the first single degree that does.
            for nearer in failed + 1..=off {
                let mut here = self.places(nearer, class, left + 1, usize::MAX);
                if left < here.len() {
                    return Some((nearer, here.swap_remove(left)));
                }
                left -= here.len();
            }
            failed = off;
            off += 1;
        }
        None
    }

    fn tally(&self, fine: bool, off_deg: i32) -> Tally {
        let mut all = Tally::default();
        for t in self.known.get(&(fine, off_deg)).into_iter().flatten().map(|l| &l.tally) {
            all.places += t.places;
            all.room += t.room;
            for (name, n) in &t.blast {
                *all.blast.entry(name.clone()).or_insert(0) += n;
            }
            for (what, (n, gap_m)) in &t.wings {
                let entry = all.wings.entry(what.clone()).or_insert((0, *gap_m));
                *entry = (entry.0 + n, entry.1.min(*gap_m));
            }
        }
        all
    }
}

/// "place" or "places", with its number.
fn places(n: usize) -> String {
    if n == 1 {
        "1 place".to_string()
    } else {
        format!("{n} places")
    }
}

/// What stands in the way of standing there, in words: "of 62 places to stand, 40 have no room to drive in and out and …".
fn blocked(t: &Tally) -> String {
    if t.places == 0 {
        return "there is no place where all wheels stand on the pavement".to_string();
    }
    let mut list: Vec<(usize, String)> = Vec::new();
    if t.room > 0 {
        list.push((
            t.room,
            "have no room to drive in, stand and drive out on the pavement".to_string(),
        ));
    }
    // The things that stop most, one line each.
    let mut wings: Vec<_> = t.wings.iter().collect();
    wings.sort_by_key(|(_, (n, _))| core::cmp::Reverse(*n));
    for (what, (n, gap_m)) in wings.into_iter().take(2) {
        let gap = gap_floor(*gap_m);
        list.push((
            *n,
            format!("bring the {} within {gap:.1} m of {}", what.part, what.thing),
        ));
    }
    let mut blast: Vec<_> = t.blast.iter().collect();
    blast.sort_by_key(|(_, n)| core::cmp::Reverse(**n));
    for (name, n) in blast.into_iter().take(2) {
        list.push((*n, format!("put the blast on {name}")));
    }
    let told: Vec<String> = list.iter().map(|(n, words)| format!("{n} {words}")).collect();
    format!("of {} to stand, {}", places(t.places), told.join(", "))
}

fn worse(best: (i32, &Candidate), other: (i32, &Candidate), free: bool) -> String {
    let ((off_a, a), (off_b, b)) = (best, other);
    let mut list = Vec::new();
    if !free && off_b > off_a {
        list.push(format!("{} degrees farther off the wind", off_b - off_a));
    }
    let new: Vec<&str> = b
        .blown
        .iter()
        .filter(|x| !a.blown.contains(x))
        .map(|x| x.1.as_str())
        .take(2)
        .collect();
    if !new.is_empty() {
        list.push(format!("the blast falls on {}", new.join(" and ")));
    }
    if b.unsure && !a.unsure {
        list.push("the map's accuracy decides whether the wings clear".to_string());
    }
    if b.in_the_way_m > a.in_the_way_m + 0.05 {
        list.push(format!(
            "a wing tip {:.1} m nearer the lane",
            b.in_the_way_m - a.in_the_way_m
        ));
    }
    if b.drive_m > a.drive_m + 0.5 {
        list.push(format!("{:.0} m more to drive", b.drive_m - a.drive_m));
    }
    if b.off_middle_m > a.off_middle_m + 0.5 {
        list.push(format!(
            "{:.0} m farther from the middle",
            b.off_middle_m - a.off_middle_m
        ));
    }
    if list.is_empty() {
        list.push("no better in anything".to_string());
    }
    list.join(", ")
}

fn differs(a: &Candidate, b: &Candidate) -> bool {
    a.pose.nose.distance(b.pose.nose) >= OTHER_PLACE_M
        || a.pose.heading_rad.bearing().to_deg(b.pose.heading_rad.bearing()).abs() >= OTHER_HEADING_DEG
}

impl Site<'_> {
    /// The best way to stand after passing over `skip` of them; `wind_from` is `None` when the heading is free. Without any,
    /// what stood in the way.
    pub(in super::super) fn choose(&self, wind_from: Option<Bearing>, skip: usize) -> Result<Chosen, String> {
        let mut headings = Headings {
            site: self,
            wind_from,
            fine: false,
            known: BTreeMap::new(),
        };
        for class in &CLASSES {
            let (low, high) = if wind_from.is_some() { class.off_deg } else { (0, 0) };
            headings.fine = false;
            let Some((off, best)) = headings.first(class, (low, high), skip) else {
                continue;
            };
            // Nearer to the wind there may be a place between those that were tried.
            headings.fine = true;
            if off > low
                && let Some((off, best)) = headings.first(class, (low, off - 1), skip)
            {
                return Ok(self.told(&mut headings, off, class, &best));
            }
            headings.fine = false;
            return Ok(self.told(&mut headings, off, class, &best));
        }
        Err(headings.blocked_into_wind())
    }

    fn told(&self, headings: &mut Headings<'_, '_>, off: i32, class: &Class, best: &Candidate) -> Chosen {
        let free = headings.wind_from.is_none();
        // The others: the same heading first, then farther off.
        let mut others: Vec<(i32, Candidate)> = Vec::new();
        let list: Vec<i32> = if free { vec![0] } else { vec![off, off + 10, off + 20] };
        for at in list.into_iter().filter(|d| *d <= class.off_deg.1) {
            if others.len() >= OTHERS {
                break;
            }
            for c in headings.places(at, class, MOST_LOOKS, MOST_LOOKS) {
                // Those passed over failed in the clearance: they are cheaper, and no better.
                let passed_over = at == off && c.price < best.price;
                let new = differs(best, &c) && others.iter().all(|(_, o)| differs(o, &c));
                if new && !passed_over && others.len() < OTHERS {
                    others.push((at, c));
                }
            }
        }
        let why = match (free, off) {
            (true, _) => FREE.to_string(),
            (false, 0) => "nose into the wind".to_string(),
            (false, off) => format!(
                "{off} degrees off the wind, the nearest that is clear: straight into it, {}",
                headings.blocked_into_wind()
            ),
        };
        Chosen {
            way: best.way.clone(),
            why,
            blown: best.blown.iter().map(|(_, name)| name.clone()).collect(),
            people: best.blown.iter().any(|(harm, _)| *harm == Harm::People),
            others: others
                .iter()
                .map(|(at, c)| CheckOther {
                    nose: c.pose.nose,
                    heading: c.pose.heading_rad.bearing(),
                    off_wind_deg: headings.wind_from.map(|w| c.pose.heading_rad.bearing().to_deg(w).abs()),
                    why: worse((off, best), (*at, c), free),
                })
                .collect(),
        }
    }
}
