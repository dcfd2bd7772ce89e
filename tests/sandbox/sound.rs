//! The synthesised sound, without a device: the note has the pitch of the engine, silence is silence, nothing clips, and the
//! same drive sounds the same.

mod practice;

use std::f64::consts::TAU;
use toeline_model::Bearing;
use toeline_model::airfield::Surface;
use toeline_sandbox::drive::Drive;
use toeline_sandbox::sound::Heard;
use toeline_sandbox::sound::engine::firing_hz;
use toeline_sandbox::sound::mix::Mix;
use toeline_sandbox::sound::noise::{rumble_level, scrub_level, wind_level};

const RATE_HZ: f64 = 16_000.0;

fn running(rpm: f64) -> Heard {
    Heard {
        rpm,
        cylinders: 4,
        firing: 4,
        throttle: 0.5,
        ..Heard::default()
    }
}

/// One second of sound after half a second to settle.
fn second(heard: &Heard) -> Vec<f32> {
    let mut mix = Mix::new(RATE_HZ);
    let mut out = vec![0.0; (RATE_HZ * 1.5) as usize];
    mix.render(heard, &mut out);
    out.split_off((RATE_HZ * 0.5) as usize)
}

/// Strength at a whole number of hertz: one bin of the Fourier transform of one second.
fn strength(sound: &[f32], hz: f64) -> f64 {
    let (mut re, mut im) = (0.0, 0.0);
    for (i, s) in sound.iter().enumerate() {
        let turn = TAU * hz * i as f64 / RATE_HZ;
        re += f64::from(*s) * turn.cos();
        im += f64::from(*s) * turn.sin();
    }
    re.hypot(im) / sound.len() as f64
}

fn loudness(sound: &[f32]) -> f64 {
    let sum: f64 = sound.iter().map(|s| f64::from(*s).powi(2)).sum();
    (sum / sound.len() as f64).sqrt()
}

fn loudest_hz(sound: &[f32]) -> f64 {
    (10..=400)
        .map(f64::from)
        .max_by(|a, b| strength(sound, *a).total_cmp(&strength(sound, *b)))
        .expect("some bins")
}

#[test]
fn the_loudest_note_is_the_firing_frequency() {
    // Four cylinders of a four-stroke fire twice a turn: 2400 rpm are 40 turns and 80 firings a second.
    assert_eq!(firing_hz(2400.0, 4), 80.0);
    assert_eq!(firing_hz(1800.0, 6), 90.0);
    for rpm in [600.0, 1700.0, 2400.0] {
        let want = rpm / 60.0 * 2.0;
        let got = loudest_hz(&second(&running(rpm)));
        assert!((got - want).abs() <= 1.0, "{rpm} rpm: {got} Hz instead of {want} Hz");
    }
}

#[test]
fn a_dead_cylinder_adds_a_note_at_the_cycle_of_all_four() {
    // One push in four is missing: the pattern repeats every two turns: 20 times a second at 2400 rpm.
    let (even, rough) = (
        second(&running(2400.0)),
        second(&Heard {
            firing: 3,
            ..running(2400.0)
        }),
    );
    assert!(strength(&even, 20.0) < 1e-3, "{}", strength(&even, 20.0));
    assert!(strength(&rough, 20.0) > 1e-2, "{}", strength(&rough, 20.0));
}

#[test]
fn nothing_is_heard_of_a_stopped_engine_on_a_calm_day_and_it_fades_after_a_drive() {
    assert!(second(&Heard::default()).iter().all(|s| *s == 0.0));
    let mut mix = Mix::new(RATE_HZ);
    let mut out = vec![0.0; RATE_HZ as usize];
    mix.render(
        &Heard {
            scrub_mps: 1.0,
            air_mps: 20.0,
            ground_mps: 10.0,
            off_pavement: true,
            ..running(2300.0)
        },
        &mut out,
    );
    assert!(loudness(&out) > 0.05);
    mix.render(&Heard::default(), &mut out);
    let end = &out[out.len() / 2..];
    assert!(end.iter().all(|s| *s == 0.0), "{}", loudness(end));
}

#[test]
fn no_sample_leaves_the_scale_whatever_is_asked_for() {
    let wild = [
        Heard {
            rpm: 1e6,
            cylinders: 255,
            firing: 255,
            throttle: 50.0,
            scrub_mps: 1e9,
            air_mps: 1e9,
            ground_mps: 1e9,
            off_pavement: true,
        },
        Heard {
            rpm: f64::NAN,
            air_mps: f64::INFINITY,
            ..running(2700.0)
        },
        Heard {
            rpm: -500.0,
            throttle: -1.0,
            ..running(0.0)
        },
        running(2700.0),
    ];
    for heard in wild {
        for s in second(&heard) {
            assert!((-1.0..=1.0).contains(&s), "{s} of {heard:?}");
        }
    }
}

#[test]
fn the_same_drive_sounds_the_same_whatever_the_buffers() {
    let heard = Heard {
        scrub_mps: 0.4,
        air_mps: 12.0,
        ground_mps: 6.0,
        ..running(1500.0)
    };
    let whole = {
        let mut out = vec![0.0; 9600];
        Mix::new(RATE_HZ).render(&heard, &mut out);
        out
    };
    let mut mix = Mix::new(RATE_HZ);
    let mut pieces = vec![0.0; 9600];
    for piece in pieces.chunks_mut(160) {
        mix.render(&heard, piece);
    }
    assert_eq!(whole, pieces);
}

#[test]
fn scrub_wind_and_rumble_grow_with_their_cause() {
    assert_eq!(scrub_level(0.0), 0.0);
    assert!(scrub_level(0.3) > 0.2 && scrub_level(1.5) > scrub_level(0.3));
    assert!(wind_level(20.0) > 3.0 * wind_level(10.0));
    assert!(rumble_level(5.0, true) > 5.0 * rumble_level(5.0, false));
    let still = Heard {
        cylinders: 4,
        ..Heard::default()
    };
    let with = |change: fn(&mut Heard)| {
        let mut h = still;
        change(&mut h);
        loudness(&second(&h))
    };
    let grass = with(|h| {
        h.ground_mps = 6.0;
        h.off_pavement = true;
    });
    let paved = with(|h| h.ground_mps = 6.0);
    assert!(grass > 3.0 * paved, "grass {grass}, pavement {paved}");
    assert!(with(|h| h.scrub_mps = 1.0) > 0.02);
    assert!(with(|h| h.air_mps = 15.0) > 1.5 * with(|h| h.air_mps = 5.0));
}

#[test]
fn what_is_heard_is_what_the_aeroplane_does() {
    let mut scene = practice::scene();
    // The aeroplane looks north: a wind of 5 m/s from there is an airspeed of 5 m/s.
    scene.environment.air.wind_from = Some(Bearing::from_deg(0.0));
    let mut drive = Drive::parked(&scene, 0.0);
    let parked = Heard::of(&drive);
    assert_eq!(parked.rpm, scene.aircraft.engine.idle_rpm);
    assert_eq!((parked.firing, parked.cylinders), (4, 4));
    assert!((parked.air_mps - 5.0).abs() < 1e-9 && parked.ground_mps == 0.0 && parked.scrub_mps == 0.0);
    assert!(!parked.off_pavement);
    // Rolling at 4 m/s with wheels that stand still: they slip at 4 m/s, all of the weight on them.
    drive.now.forward_mps = 4.0;
    drive.under = Surface::Grass;
    let skids = Heard::of(&drive);
    assert!((skids.air_mps - 9.0).abs() < 1e-9 && (skids.ground_mps - 4.0).abs() < 1e-9);
    assert!((skids.scrub_mps - 4.0).abs() < 1e-6, "{}", skids.scrub_mps);
    assert!(skids.off_pavement);
}
