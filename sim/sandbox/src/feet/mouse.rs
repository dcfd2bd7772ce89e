//! The mouse as a hand: while its button is held it moves the column, and the wheel moves the throttle. It only ever adds to
//! where the hands are, so it takes an input over without a jump.

use super::input::Input;
use super::lead::{Lead, Who};
use super::settings::{MouseAxis, Settings};
use crate::feel::Hands;
use bevy::ecs::system::SystemParam;
use bevy::input::mouse::{AccumulatedMouseMotion, AccumulatedMouseScroll, MouseScrollUnit};
use bevy::prelude::*;

/// Pixels and clicks of the wheel for which a setting's travel is given.
const PIXELS: f64 = 1000.0;
const CLICKS: f64 = 20.0;
/// Pixels that count as one click, where a wheel or pad reports pixels. Ours.
const PIXELS_A_CLICK: f64 = 40.0;

/// What the mouse did in this frame, if there is one.
#[derive(SystemParam)]
pub struct Moved<'w> {
    motion: Option<Res<'w, AccumulatedMouseMotion>>,
    scroll: Option<Res<'w, AccumulatedMouseScroll>>,
}

/// Movement in one frame, shares of the travel that a setting names; `None` for what does not count now.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Movement {
    /// To the right and toward its owner, while the mouse has the column.
    pub hand: Option<(f64, f64)>,
    /// The wheel, away from its owner.
    pub wheel: f64,
}

impl Moved<'_> {
    /// The movement, with the mouse's button held or not.
    pub fn now(&self, held: bool) -> Movement {
        let motion = self.motion.as_ref().map(|m| m.delta);
        Movement {
            hand: motion
                .filter(|_| held)
                .map(|d| (f64::from(d.x) / PIXELS, f64::from(d.y) / PIXELS)),
            wheel: self.scroll.as_ref().map_or(0.0, |s| {
                let clicks = f64::from(s.delta.y);
                match s.unit {
                    MouseScrollUnit::Line => clicks / CLICKS,
                    MouseScrollUnit::Pixel => clicks / PIXELS_A_CLICK / CLICKS,
                }
            }),
        }
    }
}

/// Moves what the mouse drives.
pub fn nudge(settings: &Settings, moved: &Movement, lead: &mut Lead, hands: &mut Hands) {
    for (axis, m) in &settings.mouse {
        let Some(input) = m.drives else { continue };
        let share = match (axis, moved.hand) {
            (MouseAxis::Right, Some((right, _))) => right,
            (MouseAxis::Back, Some((_, back))) => back,
            (MouseAxis::Wheel, _) => moved.wheel,
            (_, None) => {
                // A pedal that the mouse let go comes back; what stays where it is put loses nothing by this.
                if lead.who(input) == Who::Mouse && !wheel_drives(settings, input) {
                    lead.take(input, Who::Keys);
                }
                continue;
            }
        };
        if share != 0.0 && share.is_finite() {
            lead.take(input, Who::Mouse);
            let way = if m.inverted { -1.0 } else { 1.0 };
            hands.set(input, hands.get(input) + way * share * m.travel);
        }
    }
}

fn wheel_drives(settings: &Settings, input: Input) -> bool {
    settings
        .mouse
        .get(&MouseAxis::Wheel)
        .is_some_and(|m| m.drives == Some(input))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_mouse_adds_to_where_the_hands_are_and_only_while_held() {
        let (settings, mut lead, mut hands) = (Settings::default(), Lead::default(), Hands::default());
        hands.column_right = 0.5;
        let held = |right, back| Movement {
            hand: Some((right, back)),
            wheel: 0.0,
        };
        nudge(&settings, &held(-0.1, 0.05), &mut lead, &mut hands);
        assert!((hands.column_right - 0.2).abs() < 1e-12 && (hands.column_back - 0.15).abs() < 1e-12);
        assert_eq!(lead.who(Input::Aileron), Who::Mouse);
        nudge(&settings, &held(5.0, f64::NAN), &mut lead, &mut hands);
        assert!(hands.column_right == 1.0 && (hands.column_back - 0.15).abs() < 1e-12);
        let before = hands;
        nudge(&settings, &Movement::default(), &mut lead, &mut hands);
        assert_eq!(hands, before);
        assert_eq!(lead.who(Input::Aileron), Who::Keys);
        nudge(&settings, &Movement { hand: None, wheel: 0.1 }, &mut lead, &mut hands);
        assert!((hands.throttle - 0.1).abs() < 1e-12, "{}", hands.throttle);
    }
}
