//! A pupil's wobble measured from attempts: known figures are found again within the stated intervals as often as these say,
//! and the odds that come of them are those that the pupil's own drives show.

use crate::pupils::{straight, wobble};
use rayon::prelude::*;
use toeline_engine::odds::{Begin, Chance, DEFAULT_DRIVES, Deviation, OddsAsked, Wobble, WobbleFrom, interval};
use toeline_model::aircraft::parts;
use toeline_model::frame::xy;
use toeline_model::{Aircraft, Pose, Xy};
use toeline_tests::lanes::{built_in, clearance_of, eastward, on, wall};
use toeline_training::drills::{self, DrillKind};
use toeline_training::pilot::{PilotDrive, Task, drive_task};
use toeline_training::pupils::{Pupil, drive_pupil, drive_pupils};
use toeline_training::wobble::{
    Change, Figure, LEAST_WAY_M, Measured, Stretch, fit, measure, of_stretches, sentences, stretches,
};
use toeline_training::{Attempt, Environment};

/// Stretches drawn from the process itself, a metre apart.
fn drawn(w: &Wobble, seed: u64, lengths: &[usize]) -> Vec<Stretch> {
    let one = |(k, n): (usize, &usize)| {
        let d = Deviation::draw(w, seed, k as u64, *n as f64, Begin::UnderWay);
        Stretch::straight((0..*n).map(|m| d.at(m as f64).0).collect())
    };
    lengths.iter().enumerate().map(one).collect()
}

fn holds(f: &Figure, truth: f64) -> bool {
    (f.low..=f.high).contains(&truth)
}

fn default() -> Wobble {
    Wobble::beginner(&built_in("trainer-high-2"))
}

/// How often each interval held the truth, of how many.
fn coverage(all: &[Measured], truth: &Wobble) -> [usize; 3] {
    let mut held = [0; 3];
    for m in all {
        let f = m.figures.expect("figures");
        held[0] += usize::from(holds(&f.offset_m, truth.offset_m));
        held[1] += usize::from(holds(&f.spread_m, truth.spread_m));
        held[2] += usize::from(holds(&f.correlation_m, truth.correlation_m));
    }
    held
}

/// A count of what should be 95 in 100 that is this low comes by chance once in 10 000 times (binomial: the mean less 3.7
/// standard deviations).
fn least(of: usize) -> usize {
    let n = of as f64;
    (0.95 * n - 3.7 * (n * 0.95 * 0.05).sqrt()).floor() as usize
}

#[test]
fn intervals_hold_the_truth_as_often_as_they_say() {
    counted_on(
        60,
        &[
            (wobble(-0.25, 0.35, 18.0), vec![110; 6]),
            (wobble(0.1, 0.2, 30.0), vec![400, 250]),
        ],
    );
}

/// The long run whose figures are in docs/pupils.md.
#[test]
#[ignore = "minutes"]
fn intervals_hold_the_truth_in_the_long_run() {
    counted_on(
        400,
        &[
            (wobble(-0.25, 0.35, 18.0), vec![110; 6]),
            (wobble(0.1, 0.2, 30.0), vec![400, 250]),
            (wobble(0.0, 0.4, 20.0), vec![160]),
            (wobble(-0.3, 0.4, 20.0), vec![600; 5]),
            (wobble(0.0, 0.3, 8.0), vec![300; 2]),
        ],
    );
}

fn counted_on(pupils: u64, settings: &[(Wobble, Vec<usize>)]) {
    for (w, lengths) in settings {
        let all: Vec<Measured> = (0..pupils)
            .into_par_iter()
            .map(|seed| of_stretches(&drawn(w, seed, lengths), default()))
            .collect();
        let held = coverage(&all, w);
        let mean = |f: &dyn Fn(&Measured) -> f64| all.iter().map(f).sum::<f64>() / all.len() as f64;
        let heavy = all.iter().filter(|m| m.figures.is_some_and(|f| f.tail.heavy())).count();
        println!(
            "{} stretches of {} m, {}: of {pupils}, offset held {}, spread {}, length {}; called heavy-tailed {heavy}; mean found \
             {:.3} {:.3} {:.1}, independent {:.1}",
            lengths.len(),
            lengths[0],
            w.words(),
            held[0],
            held[1],
            held[2],
            mean(&|m| m.figures.unwrap().offset_m.own),
            mean(&|m| m.figures.unwrap().spread_m.own),
            mean(&|m| m.figures.unwrap().correlation_m.own),
            mean(&|m| m.independent),
        );
        for h in held {
            assert!(h >= least(all.len()), "{held:?} of {pupils} for {w:?}");
        }
        // One in forty is called heavy-tailed by chance.
        let n = pupils as f64;
        assert!(
            heavy as f64 <= 0.025 * n + 3.7 * (n * 0.025 * 0.975).sqrt() + 1.0,
            "{heavy} of {pupils}"
        );
    }
}

fn measured_drives(a: &Aircraft, pupil: &Pupil, seed: u64, attempts: u64, length_m: f64) -> Measured {
    let task = straight(a, length_m);
    let all = drive_pupils(a, Environment::default(), &task, pupil, seed, attempts, |_, d| {
        stretches(&d.attempt, &task.path, task.from_m).expect("stretches")
    });
    of_stretches(&all.into_iter().flatten().collect::<Vec<_>>(), Wobble::beginner(a))
}

/// The same with the wheels on the ground: known pupils drive, and their tracks are measured.
#[test]
fn known_pupils_are_found_again_from_their_drives() {
    found_from_drives(16, 3, 240.0);
}

/// The long run whose figures are in docs/pupils.md.
#[test]
#[ignore = "minutes"]
fn known_pupils_are_found_again_in_the_long_run() {
    found_from_drives(200, 4, 240.0);
}

fn found_from_drives(pupils: u64, attempts: u64, length_m: f64) {
    let a = built_in("trainer-high-2");
    let w = wobble(-0.3, 0.35, 18.0);
    let pupil = Pupil {
        wobble: w,
        ..Pupil::FAULTLESS
    };
    let all: Vec<Measured> = (0..pupils)
        .map(|seed| measured_drives(&a, &pupil, 100 + seed, attempts, length_m))
        .collect();
    let held = coverage(&all, &w);
    println!("{pupils} pupils, {attempts} drives of {length_m} m each: offset, spread, length held {held:?}");
    for h in held {
        assert!(h >= least(all.len()), "{held:?} of {pupils}");
    }
}

/// Where a wall stands beside the lane: from, to, and its distance from a wing tip on the line, metres.
struct Wall {
    from_m: f64,
    to_m: f64,
    gap_m: f64,
}

/// Whether a drive touched a wall: by the corners of the parts at the points of its track, read a second time here.
fn touched(a: &Aircraft, drive: &PilotDrive, w: &Wall) -> bool {
    let y = -(a.wing.span_m / 2.0 + w.gap_m);
    let corners: Vec<Xy> = parts::parts(a).iter().flat_map(|p| p.outline.clone()).collect();
    drive.attempt.track.iter().any(|p| {
        let pose = Pose {
            nose: p.nose,
            heading_rad: p.heading_rad,
        };
        corners.iter().any(|c| {
            let at = pose.place(a.gear.wheelbase_m, *c);
            at.y <= y && (w.from_m..=w.to_m).contains(&at.x)
        })
    })
}

fn change(a: &Aircraft, w: &Wall, m: &Measured, length_m: f64) -> Change {
    let mut path = eastward(a);
    on(&mut path, length_m);
    let y = -(a.wing.span_m / 2.0 + w.gap_m);
    let walls = vec![wall("W", xy(w.from_m, y), xy(w.to_m, y))];
    let clearance = clearance_of(a, &path, walls, 0.0);
    let asked = OddsAsked {
        wobble: None,
        drives: DEFAULT_DRIVES,
        seed: 4,
    };
    Change::of(a, &path, &clearance, &asked, Begin::Parked, m).expect("drives were asked for")
}

/// A good and a bad pupil: their wobble is measured on a practice line, the odds past a wall are reckoned with it, and then
/// they drive past that wall many times.
#[test]
fn odds_with_his_own_wobble_are_what_his_drives_show() {
    brute_force(120, 5);
}

/// The long run whose figures are in docs/pupils.md.
#[test]
#[ignore = "minutes"]
fn odds_with_his_own_wobble_in_the_long_run() {
    brute_force(3000, 12);
}

fn brute_force(drives: u64, attempts: u64) {
    let a = built_in("trainer-high-2");
    let w = Wall {
        from_m: 60.0,
        to_m: 90.0,
        gap_m: 0.7,
    };
    let length_m = 105.0;
    let mut shares = Vec::new();
    for (name, pupil) in [
        ("good", Pupil::good()),
        (
            "bad",
            Pupil {
                wobble: wobble(-0.45, 0.40, 18.0),
                ..Pupil::beginner(&a)
            },
        ),
    ] {
        let m = measured_drives(&a, &pupil, 900, attempts, 250.0);
        let c = change(&a, &w, &m, length_m);
        let task = straight(&a, length_m);
        let hits: u32 = drive_pupils(&a, Environment::default(), &task, &pupil, 77, drives, |_, d| {
            u32::from(touched(&a, &d, &w))
        })
        .into_iter()
        .sum();
        let counted = interval(u32::try_from(drives).unwrap(), hits);
        let [low, high] = c.between.clone().expect("figures");
        println!(
            "{name}: measured {}; odds {:.4} ({:.4} to {:.4}), driven {hits} of {drives} ({:.4} to {:.4}); default {:.4}",
            m.wobble.words(),
            c.by_own.share(),
            low.low,
            high.high,
            counted.0,
            counted.1,
            c.by_default.share()
        );
        // The two intervals meet.
        assert!(
            low.low <= counted.1 && counted.0 <= high.high,
            "{name}: {c:?}, {hits} of {drives}"
        );
        shares.push((low, high, counted));
    }
    // Good and bad differ, by reckoning and by driving, beyond their intervals.
    let (good, bad) = (&shares[0], &shares[1]);
    assert!(good.1.high < bad.0.low, "{good:?} {bad:?}");
    assert!(good.2.1 < bad.2.0, "{good:?} {bad:?}");
}

#[test]
fn with_little_way_the_default_counts_and_with_more_the_pupil() {
    let w = wobble(0.4, 0.15, 12.0);
    let m = of_stretches(&drawn(&w, 1, &[100]), default());
    assert!(m.figures.is_none() && m.way_m < LEAST_WAY_M);
    assert_eq!(m.wobble, default(), "the default, and said to be ours");
    assert!(sentences(&m, None)[0].contains("below 150 m (ours) the default wobble is used"));
    let mut weights = Vec::new();
    for n in [1, 4, 16] {
        let m = of_stretches(&drawn(&w, 1, &vec![200; n]), default());
        let f = m.figures.unwrap();
        assert_eq!(m.wobble.from, WobbleFrom::Measured);
        for one in [f.offset_m, f.spread_m, f.correlation_m] {
            let (a, b) = (one.own.min(one.default), one.own.max(one.default));
            assert!((a..=b).contains(&one.taken), "between the two: {one:?}");
            assert!(one.low <= one.own && one.own <= one.high || n == 1, "{one:?}");
        }
        weights.push([f.offset_m.weight, f.spread_m.weight, f.correlation_m.weight]);
    }
    for k in 0..3 {
        assert!(
            weights[0][k] < weights[1][k] && weights[1][k] < weights[2][k],
            "{weights:?}"
        );
    }
    assert!(weights[2][0] > 0.97, "{weights:?}");
}

#[test]
fn a_heavy_tail_is_noticed() {
    let calm = wobble(0.0, 0.2, 15.0);
    let list: Vec<Stretch> = drawn(&calm, 4, &[400; 4]);
    // Now and then he loses the line: his deviation is stretched where another wandering is far out.
    let other = drawn(&wobble(0.0, 1.0, 40.0), 5, &[400; 4]);
    let heavy: Vec<Stretch> = list
        .iter()
        .zip(&other)
        .map(|(a, b)| {
            let stretched = a.deviations_m.iter().zip(&b.deviations_m);
            Stretch::straight(stretched.map(|(x, y)| x * (1.3 * y.max(0.0)).exp()).collect())
        })
        .collect();
    let (a, b) = (of_stretches(&list, default()), of_stretches(&heavy, default()));
    assert!(!a.figures.unwrap().tail.heavy());
    assert!(b.figures.unwrap().tail.heavy(), "{:?}", b.figures);
    assert!(
        sentences(&b, None)
            .iter()
            .any(|s| s.contains("Large deviations come more often"))
    );
}

#[test]
fn the_same_figures_to_the_last_bit_on_any_number_of_threads() {
    let list = drawn(&wobble(-0.2, 0.3, 20.0), 9, &[200, 130]);
    let on = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| of_stretches(&list, default()))
    };
    let one = on(1);
    assert_eq!(one, on(2));
    assert_eq!(one, on(5));
    // Mirrored left and right, the offset changes its side and nothing else.
    let mirrored: Vec<Stretch> = list
        .iter()
        .map(|s| Stretch::straight(s.deviations_m.iter().map(|d| -d).collect()))
        .collect();
    let (a, b) = (fit(&list).unwrap(), fit(&mirrored).unwrap());
    assert_eq!(a.offset_m, -b.offset_m);
    assert_eq!((a.spread_m, a.correlation_m), (b.spread_m, b.correlation_m));
}

#[test]
fn one_who_does_not_wander_is_no_trouble() {
    let still = vec![Stretch::straight(vec![-0.2; 300])];
    let m = of_stretches(&still, default());
    let f = m.figures.unwrap();
    assert!((f.offset_m.own + 0.2).abs() < 1e-12 && f.spread_m.own == 0.0, "{f:?}");
    assert!(m.wobble.problem().is_none(), "{m:?}");
}

fn drill_attempt(pupil: &Pupil, kind: DrillKind, number: u64) -> Attempt {
    let a = built_in("trainer-high-2");
    let drill = drills::build(kind, &a, None, 0.0);
    let task = Task::along(drill.path, &a);
    let mut drive = drive_pupil(&a, Environment::default(), &task, pupil, 31, number).attempt;
    drive.job = Some(serde_json::json!({ "toeline_drill": kind }));
    drive
}

#[test]
fn attempts_find_their_way_again_and_what_cannot_count_is_told() {
    let a = built_in("trainer-high-2");
    let pupil = Pupil {
        wobble: wobble(-0.4, 0.1, 15.0),
        ..Pupil::FAULTLESS
    };
    let mut list: Vec<Attempt> = vec![
        drill_attempt(&pupil, DrillKind::StraightLine, 0),
        drill_attempt(&pupil, DrillKind::SBends, 1),
    ];
    let mut bare = list[0].clone();
    bare.job = None;
    let mut elsewhere = list[0].clone();
    elsewhere.job = Some(serde_json::json!({ "toeline_drill": "rolling_pivot" }));
    let mut faulty = list[0].clone();
    faulty.environment.faults.steering_play_rad = 0.1;
    let short = drive_task(&a, Environment::default(), straight(&a, 30.0), |_, _| {}).attempt;
    let short = Attempt {
        job: Some(serde_json::json!({ "toeline_job": 1, "field_file": "gone.geojson", "request": 3 })),
        ..short
    };
    list.extend([bare, elsewhere, faulty, short]);
    let m = measure(&list, default(), &mut |_| Err("no such map".to_string()));
    println!("{:#?}", sentences(&m, None));
    assert_eq!(m.attempts, 2);
    let told: Vec<usize> = m.left_out.iter().map(|l| l.0).collect();
    assert_eq!(told, [2, 3, 4, 5]);
    for (k, words) in [(0, "no job"), (1, "begins"), (2, "fault"), (3, "job cannot be read")] {
        assert!(m.left_out[k].1.contains(words), "{:?}", m.left_out[k]);
    }
    let f = m.figures.unwrap();
    assert!(f.offset_m.low < -0.3 && f.offset_m.own < -0.3, "{f:?}");
    let turns = f.turns.unwrap();
    assert!(turns.way_m > 10.0, "the S has turns: {turns:?}");
    assert_eq!(f.offset_m.default, default().offset_m);
}

#[test]
fn a_chance_in_words_goes_with_the_change() {
    let a = built_in("trainer-high-2");
    let m = of_stretches(&drawn(&wobble(0.3, 0.1, 20.0), 2, &[300, 300]), Wobble::beginner(&a));
    let w = Wall {
        from_m: 60.0,
        to_m: 90.0,
        gap_m: 0.7,
    };
    let c = change(&a, &w, &m, 105.0);
    let share = |c: &Chance| c.share();
    assert!(share(&c.by_own) < share(&c.by_default), "{c:?}");
    let told = sentences(&m, Some(&c)).join(" ");
    for part in [
        "Measured from 2 attempts",
        "600 m of way",
        "left of the line",
        // The wall is near: of so many it is "so many in 100", not "1 in so many".
        "with the default wobble: about ",
        " in 100 drives (95 %:",
    ] {
        assert!(told.contains(part), "{part} in {told}");
    }
}
