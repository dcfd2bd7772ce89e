//! The hand on the panel, without a window: what the mouse works, and where everything is.

mod panel_help;
mod practice;

use bevy::math::{Rect, Vec2};
use bevy::prelude::*;
use panel_help::*;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_model::units::DEG;
use toeline_sandbox::drive::{Drive, Phase};
use toeline_sandbox::panel::layout::{Dial, Form, Layout, MAGNETO_DEG, Target, slot};
use toeline_sandbox::panel::mouse::{Pointer, magneto_middle};
use toeline_sandbox::panel::switches::{Switches, Transponder};

fn point(app: &mut App, at: Vec2, down: bool) {
    *app.world_mut().resource_mut::<Pointer>() = Pointer {
        at: Some(at),
        down,
        ..default()
    };
    frames(app, 1);
}

fn click(app: &mut App, at: Vec2) {
    point(app, at, true);
    point(app, at, false);
}

fn layout() -> Layout {
    Layout::full(Vec2::new(1280.0, 720.0), Rect::new(400.0, 450.0, 1280.0, 720.0))
}

fn area(target: Target) -> Rect {
    layout().of(target).expect("it is on the panel")
}

fn magneto(position: usize) -> Vec2 {
    let rad = MAGNETO_DEG[position].to_radians();
    magneto_middle(area(Target::Magnetos)) + Vec2::new(rad.sin(), -rad.cos()) * 0.2 * layout().cell
}

#[test]
fn the_mouse_works_every_control() {
    let mut app = start(24, |app| {
        app.insert_resource(layout());
    });
    let controls = |app: &App| app.world().resource::<Drive>().controls;
    click(&mut app, magneto(1));
    assert_eq!(controls(&app).magnetos, MagnetoSwitch::Right);
    click(&mut app, magneto(0));
    assert_eq!(controls(&app).magnetos, MagnetoSwitch::Off);
    point(&mut app, magneto(4), true);
    assert!(controls(&app).starter, "the starter turns while it is held");
    assert_eq!(controls(&app).magnetos, MagnetoSwitch::Both);
    point(&mut app, magneto(4), false);
    assert!(!controls(&app).starter, "and springs back");

    // A lever does not jump to the hand; it goes as far as the hand goes.
    let throttle = slot(area(Target::Throttle));
    let from = Vec2::new(throttle.center().x, throttle.max.y - 10.0);
    point(&mut app, from, true);
    assert_eq!(controls(&app).throttle, 0.0);
    point(&mut app, from - Vec2::new(0.0, throttle.height() / 2.0), true);
    assert!((controls(&app).throttle - 0.5).abs() < 1e-6);
    // It is held even where the hand leaves its slot, and let go with the button.
    point(&mut app, Vec2::new(10.0, throttle.min.y - 500.0), true);
    assert_eq!(controls(&app).throttle, 1.0);
    point(&mut app, from, false);
    point(&mut app, from - Vec2::new(0.0, 30.0), false);
    assert_eq!(controls(&app).throttle, 1.0);
    // Let go and pressed again elsewhere inside one slow frame: the first control is no longer held.
    point(&mut app, magneto(1), true);
    *app.world_mut().resource_mut::<Pointer>() = Pointer {
        at: Some(from),
        down: true,
        pressed: true,
        wheel: 0.0,
    };
    frames(&mut app, 1);
    assert_eq!(controls(&app).magnetos, MagnetoSwitch::Right);
    point(&mut app, from, false);
    let mixture = slot(area(Target::Mixture));
    point(&mut app, Vec2::new(mixture.center().x, mixture.min.y), true);
    point(&mut app, Vec2::new(mixture.center().x, mixture.max.y), true);
    point(&mut app, mixture.max, false);
    assert_eq!(controls(&app).mixture, 0.0);

    click(&mut app, area(Target::CarburettorHeat).center());
    assert_eq!(controls(&app).carburettor_heat, 1.0);
    for target in [
        Target::TaxiLight,
        Target::LandingLight,
        Target::NavigationLights,
        Target::Beacon,
    ] {
        click(&mut app, area(target).center());
    }
    let flaps = slot(area(Target::Flaps));
    click(&mut app, Vec2::new(flaps.center().x, flaps.max.y));
    let set = area(Target::Transponder);
    click(&mut app, Vec2::new(set.max.x - 3.0, set.max.y - 3.0));
    let trim = slot(area(Target::Trim));
    point(&mut app, trim.center(), true);
    point(&mut app, trim.center() + Vec2::new(0.0, trim.height() / 4.0), true);
    point(&mut app, trim.center(), false);
    let set = switches(&app);
    assert!(
        (set.trim - 0.5).abs() < 1e-5,
        "a quarter of the slot is half of the way: {}",
        set.trim
    );
    assert_eq!(
        set,
        Switches {
            taxi_light: true,
            landing_light: true,
            navigation_lights: true,
            beacon: false,
            flaps: 3,
            trim: set.trim,
            transponder: Transponder::OnWithAltitude,
        }
    );
    let before = shown(&app).gyros.heading_rad;
    let knob = area(Target::HeadingKnob).center();
    point(&mut app, knob, true);
    point(&mut app, knob + Vec2::new(40.0, 0.0), true);
    let by = toeline_model::angle::wrap(shown(&app).gyros.heading_rad - before) / DEG;
    assert!((by - 20.0).abs() < 0.1, "40 pixels turn the card by 20 degrees: {by}");
}

#[test]
fn nothing_answers_on_the_first_screen_or_beside_a_control() {
    let mut app = start(24, |app| {
        app.insert_resource(layout()).insert_resource(Phase::Caution);
    });
    click(&mut app, area(Target::TaxiLight).center());
    hold(&mut app, KeyCode::Semicolon, 1);
    assert_eq!(switches(&app), Switches::default());
    *app.world_mut().resource_mut::<Phase>() = Phase::Driving;
    click(&mut app, Vec2::new(640.0, 100.0));
    assert_eq!(switches(&app), Switches::default());
    click(&mut app, area(Target::TaxiLight).center());
    assert!(switches(&app).taxi_light);
}

#[test]
fn nothing_on_the_panel_overlaps_and_all_of_it_is_in_the_window() {
    for (w, h) in [
        (1280.0, 720.0),
        (640.0, 360.0),
        (1920.0, 1080.0),
        (800.0, 600.0),
        (2560.0, 1080.0),
        (320.0, 200.0),
    ] {
        let window = Vec2::new(w, h);
        let room = Rect::new(0.32 * w, 0.62 * h, w, h);
        for layout in [
            Layout::full(window, room),
            Layout::strip(window),
            Layout::hidden(window),
        ] {
            let what = format!("{:?} in {w}x{h}", layout.form);
            let mut all: Vec<(String, Rect)> = vec![("feet".into(), layout.feet)];
            if layout.form != Form::Hidden {
                all.push(("compass".into(), layout.compass));
                all.extend(layout.straight.iter().map(|r| ("gauge".to_string(), *r)));
            }
            let dials = layout.dials.iter();
            all.extend(dials.map(|(d, at, r)| (format!("{d:?}"), Rect::from_center_size(*at, Vec2::splat(2.0 * r)))));
            let knob = |t: &Target| *t == Target::HeadingKnob;
            let controls = layout.controls.iter().filter(|(t, _)| !knob(t));
            all.extend(controls.map(|(t, r)| (format!("{t:?}"), *r)));
            for (i, (a, ra)) in all.iter().enumerate() {
                assert!(
                    ra.min.x > -0.5 && ra.max.x < w + 0.5 && ra.max.y < h + 0.5,
                    "{what}: {a} {ra:?}"
                );
                for (b, rb) in &all[i + 1..] {
                    let both = ra.intersect(*rb);
                    assert!(both.width() < 0.01 || both.height() < 0.01, "{what}: {a} over {b}");
                }
            }
            // The knob sits in the corner between two dials and covers neither.
            if let Some(knob) = layout.of(Target::HeadingKnob) {
                for (d, at, r) in &layout.dials {
                    assert!(
                        at.distance(knob.center()) > r + knob.width() / 2.0 - 0.5,
                        "{what}: knob over {d:?}"
                    );
                }
            }
        }
    }
}

#[test]
fn the_six_stand_as_the_trade_has_them() {
    let l = layout();
    let at = |d: Dial| l.dial(d).expect("a dial").0;
    let row = [Dial::Airspeed, Dial::Attitude, Dial::Altimeter].map(at);
    let below = [Dial::Turn, Dial::Heading, Dial::Climb].map(at);
    assert!(row[0].x < row[1].x && row[1].x < row[2].x && row.iter().all(|p| p.y == row[0].y));
    for (a, b) in row.iter().zip(below) {
        assert!(a.x == b.x && b.y > a.y);
    }
}

#[test]
fn a_control_that_an_aeroplane_lacks_is_not_there() {
    let at = area(Target::CarburettorHeat).center();
    assert_eq!(layout().hit(at), Some(Target::CarburettorHeat));
    assert_eq!(layout().without(Target::CarburettorHeat).hit(at), None);
}

#[test]
fn windows_of_any_size_are_laid_out() {
    for (w, h) in [(0.0, 0.0), (1.0, 1.0), (160.0, 160.0), (7680.0, 160.0), (160.0, 4000.0)] {
        let window = Vec2::new(w, h);
        for l in [
            Layout::full(window, Rect::new(0.3 * w, 0.6 * h, w, h)),
            Layout::strip(window),
            Layout::hidden(window),
        ] {
            assert!(l.cell > 0.0 && l.cell.is_finite(), "{w}x{h}: {}", l.cell);
        }
    }
}
