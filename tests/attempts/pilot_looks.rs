//! Where the model pilot looks, what he says and is told, and how he judges the engine check: as events of the attempt.

use crate::pilot_watch::{planned, way};
use toeline_dynamics::Faults;
use toeline_engine::plan;
use toeline_engine::planning::{Outcome, Plan};
use toeline_engine::route::StopKind;
use toeline_model::units::DEG;
use toeline_model::{DrivenPath, aircraft::catalog, angle::wrap};
use toeline_tests::lanes::{bend, built_in, eastward, on};
use toeline_training::attempt::{ANSWERS, Attempt, CALLS, LOOKS};
use toeline_training::journey::environment;
use toeline_training::pilot::{PilotDrive, Task, TaskStop, drive_by_pilot, drive_task};
use toeline_training::{Environment, EventKind};

/// Kind, thing and tick of what eyes, voice and judgement did, and of starts and stops.
fn told(attempt: &Attempt) -> Vec<(EventKind, String, u64)> {
    use EventKind::{Judged, Looked, Said, Started, Stopped, Told};
    let wanted = [Looked, Said, Told, Judged, Started, Stopped];
    let all = attempt.events.iter().filter(|e| wanted.contains(&e.kind));
    all.map(|e| (e.kind, e.thing.clone().unwrap_or_default(), e.tick))
        .collect()
}

fn drive(plan: &Plan) -> PilotDrive {
    drive_by_pilot(plan, way(plan), serde_json::Value::Null)
}

/// Looked left and right in the seconds before a tick, standing or rolling.
fn looked_both_ways(attempt: &Attempt, before: u64, within_s: u64) -> bool {
    let since = before.saturating_sub(240 * within_s);
    ["left", "right"].iter().all(|side| {
        let looks = attempt.events.iter().filter(|e| e.kind == EventKind::Looked);
        looks
            .filter(|e| (since..=before).contains(&e.tick))
            .any(|e| e.thing.as_deref() == Some(side))
    })
}

#[test]
fn every_word_is_one_of_the_attempts_words() {
    let plan = instructed();
    let drive = drive(&plan);
    assert!(drive.arrived(), "{:?}", drive.ended);
    let mut seen = [0; 4];
    for (kind, thing, _) in told(&drive.attempt) {
        let (k, known): (usize, &[&str]) = match kind {
            EventKind::Looked => (0, &LOOKS),
            EventKind::Said => (1, &CALLS),
            EventKind::Told => (2, &ANSWERS),
            EventKind::Judged => (3, &["fit", "unfit"]),
            _ => continue,
        };
        seen[k] += 1;
        assert!(known.contains(&thing.as_str()), "{kind:?} {thing}");
    }
    assert!(seen[..3].iter().all(|n| *n > 0), "{seen:?}");
}

/// Every time it begins to move from a standstill he has looked both ways, standing, within the last ten seconds.
#[test]
fn he_looks_both_ways_before_he_moves() {
    for id in ["trainer-high-2", "caster-low-2"] {
        let plan = planned(id, "1", "E", "26", "calm").unwrap();
        let drive = drive(&plan);
        assert!(drive.arrived(), "{:?}", drive.ended);
        let all = told(&drive.attempt);
        let starts: Vec<u64> = all.iter().filter(|e| e.0 == EventKind::Started).map(|e| e.2).collect();
        assert!(
            starts.len() >= 2,
            "off the stand and after the engine check: {starts:?}"
        );
        for start in starts {
            assert!(looked_both_ways(&drive.attempt, start, 10), "{id}: {start}: {all:?}");
        }
    }
}

/// Ways at which the way begins to turn by more than 31 degrees to one side, with no straight longer than 1.5 m in the turn:
/// by the test's own walk along the path.
fn turns(path: &DrivenPath, from_m: f64) -> Vec<f64> {
    const STEP_M: f64 = 0.1;
    struct Turn {
        from_m: f64,
        last: usize,
        sum: f64,
    }
    let direction = |k: usize| path.direction_at(k as f64 * STEP_M).rad();
    let mut all: Vec<Turn> = Vec::new();
    for k in (from_m / STEP_M).ceil() as usize..(path.length_m() / STEP_M) as usize {
        let by = wrap(direction(k + 1) - direction(k));
        if by.abs() < 1e-6 {
            continue;
        }
        match all.last_mut() {
            Some(turn) if turn.sum * by > 0.0 && k - turn.last <= 15 => {
                turn.sum += by;
                turn.last = k;
            }
            _ => all.push(Turn {
                from_m: k as f64 * STEP_M,
                last: k,
                sum: by,
            }),
        }
    }
    let turns = all.into_iter().filter(|t| t.sum.abs() > 31.0 * DEG);
    turns.map(|t| t.from_m).collect()
}

#[test]
fn he_looks_both_ways_before_he_turns() {
    let trainer = built_in("trainer-high-2");
    let mut s: DrivenPath = eastward(&trainer);
    on(&mut s, 60.0);
    bend(&mut s, 14.0, 1.2);
    on(&mut s, 40.0);
    bend(&mut s, 14.0, -1.2);
    on(&mut s, 40.0);
    // The bend of a lane is no turn.
    bend(&mut s, 60.0, 0.3);
    on(&mut s, 40.0);
    let task = Task::along(s.clone(), &trainer);
    let drive = drive_task(&trainer, Environment::default(), task, |_, _| {});
    assert!(drive.arrived(), "{:?}", drive.ended);
    let looks: Vec<(String, u64)> = told(&drive.attempt)
        .into_iter()
        .filter(|e| e.0 == EventKind::Looked)
        .map(|e| (e.1, e.2))
        .collect();
    // Two before it moves, two before each of the two turns: the side that it turns to last.
    let sides: Vec<&str> = looks.iter().map(|l| l.0.as_str()).collect();
    assert_eq!(sides, ["left", "right", "right", "left", "left", "right"], "{looks:?}");
    looked_before_turns(&drive, &s, 0.0);

    for id in ["trainer-high-2", "tourer-low-4"] {
        let plan = planned(id, "H1", "W", "08", "calm").unwrap();
        let drive = self::drive(&plan);
        assert!(drive.arrived(), "{:?}", drive.ended);
        let task = Task::of(&plan, way(&plan));
        looked_before_turns(&drive, &task.path, task.from_m);
    }
}

fn looked_before_turns(drive: &PilotDrive, path: &DrivenPath, from_m: f64) {
    let list = turns(path, from_m);
    assert!(list.len() >= 2, "{list:?}");
    let mut place = toeline_training::pilot::Place::at(from_m);
    let mut due = list.clone();
    for p in &drive.attempt.track {
        place = place.moved(path, p.nose);
        while due.first().is_some_and(|m| *m <= place.way_m) {
            let at = due.remove(0);
            assert!(
                looked_both_ways(&drive.attempt, p.tick, 12),
                "turn at {at:.1} m of {list:?}: {:?}",
                told(&drive.attempt)
            );
        }
    }
    assert!(due.is_empty(), "{due:?}");
}

/// A straight way with a holding position before a runway in its middle.
fn across_a_runway() -> PilotDrive {
    let aircraft = built_in("trainer-high-2");
    let mut path = eastward(&aircraft);
    on(&mut path, 120.0);
    let mut task = Task::along(path, &aircraft);
    task.stops.insert(
        0,
        TaskStop {
            kind: StopKind::HoldShort,
            name: "X1".to_string(),
            at_m: 60.0,
        },
    );
    drive_task(&aircraft, Environment::default(), task, |_, _| {})
}

#[test]
fn before_a_runway_he_announces_and_looks_toward_the_approach() {
    let drive = across_a_runway();
    assert!(drive.arrived(), "{:?}", drive.ended);
    let all = told(&drive.attempt);
    let stop = all.iter().position(|e| e.0 == EventKind::Stopped).unwrap();
    let start = stop + all[stop..].iter().position(|e| e.0 == EventKind::Started).unwrap();
    let there: Vec<(EventKind, &str)> = all[stop + 1..start].iter().map(|e| (e.0, e.1.as_str())).collect();
    use EventKind::{Looked, Said};
    assert_eq!(
        there,
        [
            (Said, "announce"),
            (Looked, "left"),
            (Looked, "right"),
            (Looked, "approach")
        ]
    );
    // Each takes its time, and he does not move before the last.
    for two in all[stop..=start].windows(2) {
        assert!(two[1].2 > two[0].2, "{two:?}");
    }
    assert!(
        !all.iter().any(|e| e.0 == EventKind::Told),
        "nobody is there to permit anything"
    );
}

/// The demo journey by the tower's words, with a runway that the way crosses.
fn instructed() -> Plan {
    let mut request = planned("trainer-high-2", "4", "E", "26", "calm").unwrap().request;
    request.via = Vec::new();
    request.instruction =
        Some("taxi to holding point D1 runway 26 via L, A, D, hold short of runway 17/35".to_string());
    let plan = plan(&toeline_tests::demo_field(), &request).unwrap();
    assert!(matches!(plan.outcome, Outcome::Way(_)), "{:?}", plan.outcome);
    plan
}

#[test]
fn with_a_tower_he_reads_back_requests_and_goes_when_told() {
    let plan = instructed();
    let stops: Vec<StopKind> = way(&plan).route.stops.iter().map(|s| s.kind).collect();
    assert!(stops.contains(&StopKind::HoldShort), "{stops:?}");
    let drive = drive(&plan);
    assert!(drive.arrived(), "{:?}", drive.ended);
    let all = told(&drive.attempt);
    let first = all.iter().position(|e| e.0 == EventKind::Started).unwrap();
    let before: Vec<(EventKind, &str)> = all[..first].iter().map(|e| (e.0, e.1.as_str())).collect();
    use EventKind::{Looked, Said, Told};
    // A turn is near at once, and he begins to look into it.
    assert_eq!(
        before[..4],
        [
            (Looked, "left"),
            (Looked, "right"),
            (Told, "hold short"),
            (Said, "read back")
        ]
    );
    let cross = all.iter().position(|e| e.1 == "cross").unwrap();
    let there: Vec<(EventKind, &str)> = all[cross - 2..cross + 6].iter().map(|e| (e.0, e.1.as_str())).collect();
    assert_eq!(
        there,
        [
            (EventKind::Stopped, ""),
            (Said, "request"),
            (Told, "cross"),
            (Said, "read back"),
            (Looked, "left"),
            (Looked, "right"),
            (Looked, "approach"),
            (EventKind::Started, "")
        ]
    );
    assert_eq!(all.last().map(|e| (e.0, e.1.as_str())), Some((Said, "ready")));
    let supposed = drive.attempt.events.iter().filter(|e| e.kind == Told);
    assert!(supposed.clone().count() >= 2 && supposed.clone().all(|e| e.text.contains("supposed")));
}

#[test]
fn he_judges_the_engine_check_and_refuses_a_faulty_engine() {
    let plan = planned("trainer-high-2", "5", "W", "08", "calm").unwrap();
    let dead = Faults {
        dead_magneto: [true, false],
        ..Faults::default()
    };
    for (faults, judged, arrives) in [(Faults::default(), "fit", true), (dead, "unfit", false)] {
        let environment = Environment {
            faults,
            ..environment(&plan, way(&plan))
        };
        let aircraft = catalog::find("trainer-high-2").unwrap();
        let drive = drive_task(&aircraft, environment, Task::of(&plan, way(&plan)), |_, _| {});
        assert_eq!(drive.arrived(), arrives, "{:?}", drive.ended);
        let list: Vec<_> = drive
            .attempt
            .events
            .iter()
            .filter(|e| e.kind == EventKind::Judged)
            .collect();
        assert_eq!(list.len(), 1);
        assert_eq!(list[0].thing.as_deref(), Some(judged));
        assert!(list[0].text.contains("engine check at"), "{}", list[0].text);
    }
}
