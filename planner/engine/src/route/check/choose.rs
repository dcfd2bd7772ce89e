//! The order of the headings, the choice, and the words for it.
//!
//! Nearest to the wind first, one degree exact: five degrees at a time outward from the wind on both sides, then back by single
//! degrees to the last that failed. A place is clear when every wheel stays on pavement, every part keeps the margin in,
//! standing and out, and the blast falls on nothing that it must be kept off. A lane is not among that: nobody is hurt by
//! blast on an empty one, and one can look and wait. In this order: clear with the wind from ahead of abeam; the same with
//! a wheel or the propeller on the lane, where nobody can pass; both with the wind from behind; and at last with the blast on what it should
//! be kept off, which is told as a doubt.

use super::Site;
use super::blast::{self, BlastHarm, BlastOn};
use super::candidates::{Candidate, CheckWay, Harms, Spots, Tally};
use crate::graph::names;
use crate::route::CheckOther;
use std::collections::BTreeMap;
use toeline_model::path::Pose;
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

/// The choice.
#[derive(Clone, Debug, PartialEq)]
pub(in super::super) struct Chosen {
    pub(in super::super) way: CheckWay,
    /// Why it stands so.
    pub(in super::super) why: String,
    /// What the blast falls on all the same, worst first.
    pub(in super::super) blown: Vec<BlastOn>,
    /// The next best, with why they are worse.
    pub(in super::super) others: Vec<CheckOther>,
}

/// Said when the wind gives no heading.
const FREE: &str = "the wind is calm, light or variable, so any heading will do";

/// A class of places: whether the blast falls on what it should be kept off, whether it stands on the lane, and between
/// which angles off the wind.
#[derive(Debug)]
struct Class {
    harms: bool,
    on_lane: bool,
    off_deg: (i32, i32),
}

impl Class {
    fn admits(&self, harms: Harms) -> bool {
        let harmful = harms.blast == Some(BlastHarm::KeepOff);
        harmful == self.harms && (harmful || harms.on_lane == self.on_lane)
    }
}

const CLASSES: [Class; 5] = [
    Class {
        harms: false,
        on_lane: false,
        off_deg: (0, ABEAM_DEG),
    },
    Class {
        harms: false,
        on_lane: true,
        off_deg: (0, ABEAM_DEG),
    },
    Class {
        harms: false,
        on_lane: false,
        off_deg: (ABEAM_DEG + 1, 180),
    },
    Class {
        harms: false,
        on_lane: true,
        off_deg: (ABEAM_DEG + 1, 180),
    },
    Class {
        harms: true,
        on_lane: false,
        off_deg: (0, 180),
    },
];

/// The headings of one angle off the wind, or all that are looked at when the heading is free.
struct Headings<'s, 'a> {
    site: &'s Site<'a>,
    wind_from: Option<Bearing>,
    /// Whether places lie half as far apart.
    fine: bool,
    /// What each angle off the wind gave, degrees.
    known: BTreeMap<(bool, i32), Spots>,
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

    /// Places at an angle off the wind of a class that clear on their whole way and are wanted, cheapest first; no more
    /// than `most`.
    fn places(
        &mut self,
        off_deg: i32,
        class: &Class,
        wanted: impl FnMut(&Pose) -> bool,
        most: usize,
    ) -> Vec<Candidate> {
        let (site, key) = (self.site, (self.fine, off_deg));
        if !self.known.contains_key(&key) {
            let spots = site.spots(&self.yaws(off_deg), self.fine);
            self.known.insert(key, spots);
        }
        let Some(spots) = self.known.get_mut(&key) else {
            return Vec::new();
        };
        spots.clear(site, |harms| class.admits(harms), wanted, most)
    }

    /// The cheapest of a class that is wanted, and not cheaper than a price.
    fn others(
        &mut self,
        off_deg: i32,
        class: &Class,
        wanted: impl Fn(&Pose) -> bool,
        not_below: f64,
    ) -> Option<Candidate> {
        for most in 1.. {
            let found = self.places(off_deg, class, &wanted, most);
            match found.last() {
                Some(last) if found.len() == most && last.price < not_below => {}
                Some(last) if last.price >= not_below => return Some(last.clone()),
                _ => return None,
            }
        }
        None
    }

    /// What stops the places straight into the wind, by the finest look at them.
    fn blocked_into_wind(&self) -> String {
        let spots = self.known.get(&(true, 0)).or_else(|| self.known.get(&(false, 0)));
        blocked(&spots.map(|s| s.tally(self.site)).unwrap_or_default())
    }

    /// The first place of a class between two angles off the wind, degrees, after passing over `skip`.
    fn first(&mut self, class: &Class, (low, high): (i32, i32), skip: usize) -> Option<(i32, Candidate)> {
        let mut left = skip;
        let mut failed = low - 1;
        let mut off = low;
        while off <= high {
            if self.places(off, class, |_| true, left + 1).is_empty() {
                failed = off;
                // On to the next multiple: the classes share what they looked at.
                let next = (off / COARSE_DEG + 1) * COARSE_DEG;
                off = if off < high { next.min(high) } else { high + 1 };
                continue;
            }
            // Back to the first single degree that does.
            for nearer in failed + 1..=off {
                let mut here = self.places(nearer, class, |_| true, left + 1);
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
    if t.on_lane > 0 {
        list.push((t.on_lane, "stand in the way on the lane".to_string()));
    }
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

fn worse(site: &Site<'_>, best: (i32, &Candidate), other: (i32, &Candidate), free: bool) -> String {
    let ((off_a, a), (off_b, b)) = (best, other);
    let mut list = Vec::new();
    if !free && off_b > off_a {
        list.push(format!("{} degrees farther off the wind", off_b - off_a));
    }
    let new: Vec<&str> = b
        .blown
        .iter()
        .filter(|x| !a.blown.contains(x))
        .map(|x| site.around.targets[*x].name.as_str())
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
    let apart = b.pose.nose - a.pose.nose;
    format!(
        "{:.0} m to the {}, {}",
        apart.norm(),
        names::side(apart.direction()),
        list.join(", ")
    )
}

fn differs(a: &Pose, b: &Pose) -> bool {
    a.nose.distance(b.nose) >= OTHER_PLACE_M
        || a.heading_rad.bearing().to_deg(b.heading_rad.bearing()).abs() >= OTHER_HEADING_DEG
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
            while others.len() < OTHERS {
                let unlike = |p: &Pose| differs(&best.pose, p) && others.iter().all(|(_, o)| differs(&o.pose, p));
                // Those passed over failed in the clearance: they are cheaper, and no better.
                let dearer = if at == off { best.price } else { f64::NEG_INFINITY };
                let Some(other) = headings.others(at, class, unlike, dearer) else {
                    break;
                };
                others.push((at, other));
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
            blown: blast::falls_on(self.aircraft, &best.pose, &self.around.targets),
            others: others
                .iter()
                .map(|(at, c)| CheckOther {
                    nose: c.pose.nose,
                    heading: c.pose.heading_rad.bearing(),
                    off_wind_deg: headings.wind_from.map(|w| c.pose.heading_rad.bearing().to_deg(w).abs()),
                    why: worse(self, (off, best), (*at, c), free),
                })
                .collect(),
        }
    }
}
