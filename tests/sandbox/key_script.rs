//! Scripted feet and key scripts: keys going down and up at exact ticks, produced once and then played to the core on the
//! keyboard that it reads.
//!
//! The scripted feet let the model pilot wish and hold, for every twentieth of a second, the keys that bring pedals, toes and
//! levers nearest to the wish: the progressive keys of [`Feel`] and nothing else reach the aeroplane. Where a script is
//! played there is no pilot.

use bevy::input::keyboard::{Key, KeyboardInput, NativeKey};
use bevy::input::{ButtonState, InputPlugin};
use bevy::prelude::*;
use bevy::time::TimeUpdateStrategy;
use std::collections::BTreeSet;
use toeline_dynamics::{Controls, End, State, TICK_S, Telemetry, step};
use toeline_model::Xy;
use toeline_sandbox::core_plugins;
use toeline_sandbox::drive::Drive;
use toeline_sandbox::feel::{Feel, Hands, Held};
use toeline_sandbox::feet::input::Input;
use toeline_sandbox::keys::{Action, Bindings};
use toeline_sandbox::scene::Scene;
use toeline_training::pilot::{Doing, Pilot, Task};

/// Ticks for which the scripted feet leave every key as it is, and a frame of the app: a twentieth of a second.
const KEY_TICKS: u64 = 12;
/// Longest script, ticks: three minutes.
const MOST_TICKS: u64 = 3 * 60 * 240;
/// Ticks at the end in which it stands with the parking brake on.
const STANDS_TICKS: u64 = 240;

/// One key going down or up, before the tick of that number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct KeyEvent {
    pub(crate) tick: u64,
    pub(crate) key: KeyCode,
    pub(crate) down: bool,
}

/// Keys by tick, and where they lead.
pub(crate) struct KeyScript {
    pub(crate) events: Vec<KeyEvent>,
    pub(crate) ticks: u64,
    pub(crate) last: State,
}

/// Lets the scripted feet drive a scene, and writes down the keys.
pub(crate) fn scripted_feet(scene: &Scene) -> KeyScript {
    const MOVED: [Input; 6] = [
        Input::Rudder,
        Input::LeftBrake,
        Input::RightBrake,
        Input::Aileron,
        Input::Elevator,
        Input::Throttle,
    ];
    let (bindings, feel) = (Bindings::default(), Feel::default());
    let key = |action: Action| bindings.key(action).expect("bound to a key");
    let air = scene.environment.air;
    let task = Task {
        wind_from: air.wind_from,
        wind_mps: air.wind_mps,
        ..Task::along(scene.path.clone(), &scene.aircraft)
    };
    let params = scene.environment.params(&scene.aircraft);
    let mut state = State::parked(&params, scene.path.pose_at(0.0));
    // A toe key takes its time: the pilot, who knows his own feet only, would take it for a weak brake.
    let mut pilot = Pilot::new(&scene.aircraft, task).without_brake_check();
    let (mut hands, mut held) = (Hands::default(), Held::default());
    let mut down: BTreeSet<KeyCode> = BTreeSet::new();
    let mut events = Vec::new();
    let mut stood = 0;
    for tick in 0..MOST_TICKS {
        let wish = pilot.next(&state);
        if tick % KEY_TICKS == 0 {
            let mut actions = BTreeSet::new();
            if tick == 0 {
                // Nothing else counts on the first screen.
                actions.insert(Action::Begin);
            } else {
                actions.extend(MOVED.iter().filter_map(|i| nearest_key(*i, &hands, &feel, &wish)));
                // A key that is down has to come up before it can be pressed again.
                let free = !down.contains(&key(Action::ParkingBrake));
                if free && hands.parking_brake != wish.parking_brake {
                    actions.insert(Action::ParkingBrake);
                    hands.parking_brake = wish.parking_brake;
                }
            }
            held = Held::default();
            actions.iter().for_each(|a| held.set(*a, true));
            let next: BTreeSet<KeyCode> = actions.iter().map(|a| key(*a)).collect();
            let event = |key: &KeyCode, down| KeyEvent { tick, key: *key, down };
            events.extend(down.difference(&next).map(|k| event(k, false)));
            events.extend(next.difference(&down).map(|k| event(k, true)));
            down = next;
        }
        hands.advance(held, &feel, TICK_S);
        let controls = hands.controls(&feel).clamped();
        state = step(&params, &scene.environment.ground, &air, &state, &controls);
        assert_eq!(state.end, End::No, "the run has ended");
        match pilot.doing() {
            Doing::GaveUp(why) => panic!("the scripted feet gave up: {why}"),
            Doing::Arrived if hands.parking_brake => stood += 1,
            _ => {}
        }
        if stood >= STANDS_TICKS && (tick + 1) % KEY_TICKS == 0 {
            return KeyScript {
                events,
                ticks: tick + 1,
                last: state,
            };
        }
    }
    panic!("not there after {MOST_TICKS} ticks: {:?}", pilot.doing());
}

/// The key that brings an input nearest to a wish; none when letting go or leaving it does.
fn nearest_key(input: Input, hands: &Hands, feel: &Feel, wish: &Controls) -> Option<Action> {
    let read = |c: &Controls| match input {
        Input::Rudder => c.rudder,
        Input::LeftBrake => c.left_brake,
        Input::RightBrake => c.right_brake,
        Input::Aileron => c.aileron,
        Input::Elevator => c.elevator,
        _ => c.throttle,
    };
    let missed = |action: Option<Action>| {
        let (mut hands, mut held) = (*hands, Held::default());
        action.iter().for_each(|a| held.set(*a, true));
        (0..KEY_TICKS).for_each(|_| hands.advance(held, feel, TICK_S));
        (read(&hands.controls(feel)) - read(wish)).abs()
    };
    let (less, more) = input.actions();
    [None, less, Some(more)]
        .into_iter()
        .min_by(|a, b| missed(*a).total_cmp(&missed(*b)))
        .flatten()
}

/// What is seen after a tick of a played script.
pub(crate) struct Moment {
    pub(crate) nose: Xy,
    pub(crate) controls: Controls,
    pub(crate) telemetry: Telemetry,
    pub(crate) way_m: f64,
    pub(crate) off_m: f64,
}

/// A script played to the core on the keyboard: every tick of it.
#[derive(Resource, Default)]
pub(crate) struct Played {
    pub(crate) moments: Vec<Moment>,
    pub(crate) last: Option<State>,
}

fn watch(drive: Res<Drive>, scene: Res<Scene>, mut played: ResMut<Played>) {
    let nose = drive.now.pose(&drive.params).nose;
    let before_m = played.moments.last().map_or(0.0, |m| m.way_m);
    let near = scene.path.nearest(nose, before_m - 2.0, before_m + 3.0);
    let (way_m, off_m) = near.expect("a piece of the path");
    played.moments.push(Moment {
        nose,
        controls: drive.controls,
        telemetry: Telemetry::of(&drive.params, &drive.now, &drive.controls),
        way_m,
        off_m,
    });
    played.last = Some(drive.now);
}

/// Plays key events to the core plugins in a fresh app. Nothing else moves anything.
pub(crate) fn play(scene: &Scene, events: &[KeyEvent], ticks: u64) -> Played {
    let mut app = App::new();
    app.add_plugins((MinimalPlugins, InputPlugin))
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(KEY_TICKS as u32))
        .insert_resource(scene.clone())
        .add_plugins(core_plugins)
        .init_resource::<Played>()
        .add_systems(FixedPostUpdate, watch);
    // The first frame only starts the clock.
    app.update();
    let mut left = events;
    for tick in (0..ticks).step_by(KEY_TICKS as usize) {
        while let Some((event, rest)) = left.split_first().filter(|(e, _)| e.tick <= tick) {
            assert_eq!(event.tick, tick, "keys move between frames only");
            app.world_mut().write_message(raw(*event));
            left = rest;
        }
        app.update();
        assert_eq!(app.world().resource::<Drive>().tick, tick + KEY_TICKS);
    }
    assert!(left.is_empty(), "keys after the end: {left:?}");
    let played = app.world_mut().remove_resource::<Played>().expect("put in above");
    assert_eq!(played.moments.len() as u64, ticks, "every tick is seen");
    played
}

/// The event that the window system would send.
fn raw(event: KeyEvent) -> KeyboardInput {
    KeyboardInput {
        key_code: event.key,
        logical_key: Key::Unidentified(NativeKey::Unidentified),
        state: if event.down {
            ButtonState::Pressed
        } else {
            ButtonState::Released
        },
        text: None,
        repeat: false,
        window: Entity::PLACEHOLDER,
    }
}
