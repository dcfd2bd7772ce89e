//! The hand on the mouse: levers are dragged, switches clicked, knobs turned by dragging or by the wheel. A lever does not
//! jump to where it is taken hold of.

use super::Panel;
use super::layout::{Layout, MAGNETO_DEG, Target, slot};
use super::switches::{FLAP_POSITIONS, Switches, Transponder};
use crate::drive::Phase;
use crate::feel::{Hands, Held};
use crate::keys::Action;
use bevy::input::mouse::AccumulatedMouseScroll;
use bevy::math::{Rect, Vec2};
use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_model::units::DEG;

/// Turn of the heading card for a pixel of dragging and for a click of the wheel, degrees (ours).
const KNOB_DEG_PER_PX: f64 = 0.5;
const KNOB_DEG_PER_CLICK: f64 = 1.0;
/// Way of a lever for a click of the wheel, share of its travel (ours).
const LEVER_PER_CLICK: f64 = 0.02;

/// The mouse as the panel sees it. Filled from the window; tests fill it themselves.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Pointer {
    /// Where it is, logical pixels from the top left; `None` outside the window.
    pub at: Option<Vec2>,
    /// Main button down.
    pub down: bool,
    /// Main button went down since the last frame, though it may have been down before that as well.
    pub pressed: bool,
    /// Clicks of the wheel since the last frame, away from the hand positive.
    pub wheel: f32,
}

/// What the hand holds, and how it was when it took hold.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Grip {
    /// The control.
    pub target: Option<Target>,
    from: Vec2,
    value: f64,
    was_down: bool,
}

/// What a click on the magneto switch means.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MagnetoClick {
    /// A position.
    To(MagnetoSwitch),
    /// The starter, while held.
    Start,
}

/// The position of the magneto switch nearest to a place, given from the middle of the switch.
pub fn magneto_click(from_middle: Vec2) -> MagnetoClick {
    let deg = from_middle.x.atan2(-from_middle.y).to_degrees();
    let near = |i: &usize| (MAGNETO_DEG[*i] - deg).abs();
    let nearest = (0..MAGNETO_DEG.len()).min_by(|a, b| near(a).total_cmp(&near(b)));
    match nearest {
        Some(0) => MagnetoClick::To(MagnetoSwitch::Off),
        Some(1) => MagnetoClick::To(MagnetoSwitch::Right),
        Some(2) => MagnetoClick::To(MagnetoSwitch::Left),
        Some(4) => MagnetoClick::Start,
        _ => MagnetoClick::To(MagnetoSwitch::Both),
    }
}

/// Middle of the magneto switch in its area.
pub fn magneto_middle(area: Rect) -> Vec2 {
    area.min + area.size() * Vec2::new(0.5, 0.62)
}

/// Reads the mouse and works the controls under it.
pub fn mouse_plugin(app: &mut App) {
    app.init_resource::<Pointer>().init_resource::<Grip>().add_systems(
        RunFixedMainLoop,
        (read.run_if(resource_exists::<ButtonInput<MouseButton>>), work)
            .chain()
            .after(RunFixedMainLoopSystems::BeforeFixedMainLoop)
            .before(RunFixedMainLoopSystems::FixedMainLoop),
    );
}

fn read(
    buttons: Res<ButtonInput<MouseButton>>,
    scroll: Option<Res<AccumulatedMouseScroll>>,
    window: Query<&Window, With<PrimaryWindow>>,
    mut pointer: ResMut<Pointer>,
) {
    let Ok(window) = window.single() else { return };
    *pointer = Pointer {
        at: window.cursor_position(),
        // A click that goes down and up inside one slow frame still counts as down for that frame.
        down: buttons.pressed(MouseButton::Left) || buttons.just_pressed(MouseButton::Left),
        pressed: buttons.just_pressed(MouseButton::Left),
        wheel: scroll.map_or(0.0, |s| s.delta.y.signum() * f32::from(u8::from(s.delta.y != 0.0))),
    };
}

/// The travel of a lever, 0..=1, upward; `None` for what is no lever.
fn lever(target: Target, hands: &mut Hands) -> Option<&mut f64> {
    match target {
        Target::Throttle => Some(&mut hands.throttle),
        Target::Mixture => Some(&mut hands.mixture),
        _ => None,
    }
}

fn work(
    layout: Option<Res<Layout>>,
    (pointer, phase): (Res<Pointer>, Res<Phase>),
    mut grip: ResMut<Grip>,
    mut hands: ResMut<Hands>,
    mut held: ResMut<Held>,
    mut switches: ResMut<Switches>,
    mut panel: ResMut<Panel>,
) {
    let Some(layout) = layout.filter(|_| *phase == Phase::Driving) else {
        grip.target = None;
        return;
    };
    let pressed = pointer.down && (pointer.pressed || !grip.was_down);
    grip.was_down = pointer.down;
    if !pointer.down || pressed {
        grip.target = None;
    }
    let Some(at) = pointer.at else { return };
    if pointer.wheel != 0.0
        && let Some(target) = layout.hit(at)
    {
        roll(target, f64::from(pointer.wheel), &mut hands, &mut switches, &mut panel);
    }
    if pressed && let Some(target) = layout.hit(at) {
        let value = match target {
            Target::Trim => switches.trim,
            _ => lever(target, &mut hands).map_or(0.0, |v| *v),
        };
        *grip = Grip {
            target: Some(target),
            from: at,
            value,
            was_down: true,
        };
        click(target, at, &layout, &mut hands, &mut switches);
    }
    let Some(target) = grip.target else { return };
    let area = layout.of(target).unwrap_or_default();
    let travel = slot(area).height().max(1.0);
    let up = f64::from((grip.from.y - at.y) / travel);
    match target {
        Target::Trim => {
            // The lower half of its slot is nose up, as on a wheel that is rolled backward.
            let moved = (grip.value - 2.0 * up).clamp(-1.0, 1.0);
            if moved != switches.trim {
                switches.trim = moved;
            }
        }
        Target::Flaps => set_flaps(at, area, &mut switches),
        Target::HeadingKnob => {
            let by = f64::from(at.x - grip.from.x) * KNOB_DEG_PER_PX;
            if by != 0.0 {
                panel.turn_knob(by * DEG);
                grip.from = at;
            }
        }
        Target::Magnetos => match magneto_click(at - magneto_middle(area)) {
            MagnetoClick::To(position) => hands.magnetos = position,
            MagnetoClick::Start => {
                hands.magnetos = MagnetoSwitch::Both;
                held.set(Action::Starter, true);
            }
        },
        _ => {
            if let Some(value) = lever(target, &mut hands) {
                *value = (grip.value + up).clamp(0.0, 1.0);
            }
        }
    }
}

fn set_flaps(at: Vec2, area: Rect, switches: &mut Switches) {
    let slot = slot(area);
    let down = ((at.y - slot.min.y) / slot.height().max(1.0)).clamp(0.0, 1.0);
    switches.flaps = (down * f32::from(FLAP_POSITIONS)).round() as u8;
}

/// What happens once, when the button goes down.
fn click(target: Target, at: Vec2, layout: &Layout, hands: &mut Hands, switches: &mut Switches) {
    let area = layout.of(target).unwrap_or_default();
    match target {
        Target::CarburettorHeat => hands.carburettor_heat = if hands.carburettor_heat > 0.0 { 0.0 } else { 1.0 },
        Target::TaxiLight => switches.press(Action::TaxiLight),
        Target::LandingLight => switches.press(Action::LandingLight),
        Target::NavigationLights => switches.press(Action::NavigationLights),
        Target::Beacon => switches.press(Action::Beacon),
        Target::Transponder => {
            let third = (at.x - area.min.x) / area.width().max(1.0) * 3.0;
            switches.transponder = match third {
                t if t < 1.0 => Transponder::Off,
                t if t < 2.0 => Transponder::Standby,
                _ => Transponder::OnWithAltitude,
            };
        }
        _ => {}
    }
}

/// What the wheel does.
fn roll(target: Target, clicks: f64, hands: &mut Hands, switches: &mut Switches, panel: &mut Panel) {
    match target {
        Target::HeadingKnob => panel.turn_knob(clicks * KNOB_DEG_PER_CLICK * DEG),
        // Away from the hand is nose down.
        Target::Trim => switches.trim = (switches.trim - clicks * LEVER_PER_CLICK).clamp(-1.0, 1.0),
        Target::Flaps if clicks > 0.0 => switches.press(Action::FlapsUp),
        Target::Flaps => switches.press(Action::FlapsDown),
        _ => {
            if let Some(value) = lever(target, hands) {
                *value = (*value + clicks * LEVER_PER_CLICK).clamp(0.0, 1.0);
            }
        }
    }
}
