//! How held keys become pedal and lever positions: press longer, press more; let go and it eases off. Advanced once a tick,
//! so that the frame rate has no say in it.

use crate::keys::Action;
use bevy::prelude::Resource;
use toeline_dynamics::Controls;
use toeline_dynamics::engine::MagnetoSwitch;

/// Rates of the progressive keys, shares of full travel per second. All ours, tried on the keyboard.
#[derive(Resource, Clone, Copy, Debug)]
pub struct Feel {
    /// Pedal pushed forward.
    pub pedal_push_per_s: f64,
    /// Pedal coming back to the middle.
    pub pedal_return_per_s: f64,
    /// Toe pressed.
    pub toe_press_per_s: f64,
    /// Toe let go.
    pub toe_release_per_s: f64,
    /// Throttle moved.
    pub throttle_per_s: f64,
    /// Column moved; it stays where it is put, because taxiing holds it there for a whole leg.
    pub column_per_s: f64,
    /// Mixture moved.
    pub mixture_per_s: f64,
    /// Share of straight-line response near the middle, 0..=1; the rest is quadratic, so that small corrections are fine.
    pub soft_start: f64,
}

impl Default for Feel {
    fn default() -> Feel {
        Feel {
            pedal_push_per_s: 1.5,
            pedal_return_per_s: 2.5,
            toe_press_per_s: 0.9,
            toe_release_per_s: 4.0,
            throttle_per_s: 0.25,
            column_per_s: 0.9,
            mixture_per_s: 0.4,
            soft_start: 0.5,
        }
    }
}

/// Which actions are held down now.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Held(u64);

impl Held {
    /// Sets whether an action is held.
    pub fn set(&mut self, action: Action, down: bool) {
        let bit = 1_u64 << action as u32;
        if down {
            self.0 |= bit;
        } else {
            self.0 &= !bit;
        }
    }

    /// Whether an action is held.
    pub fn is(self, action: Action) -> bool {
        self.0 & (1_u64 << action as u32) != 0
    }

    /// +1, 0 or -1 for two opposite actions.
    fn pair(self, plus: Action, minus: Action) -> f64 {
        f64::from(u8::from(self.is(plus))) - f64::from(u8::from(self.is(minus)))
    }
}

/// Where hands and feet have put everything: shares of full travel.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub struct Hands {
    /// Pedals, -1 left foot fully forward to 1 right foot fully forward.
    pub pedals: f64,
    /// Left toe, 0..=1.
    pub left_toe: f64,
    /// Right toe, 0..=1.
    pub right_toe: f64,
    /// Throttle, 0..=1.
    pub throttle: f64,
    /// Column, -1 left to 1 right.
    pub column_right: f64,
    /// Column, -1 forward to 1 back.
    pub column_back: f64,
    /// Mixture, 0 lean to 1 rich.
    pub mixture: f64,
    /// Carburettor heat on.
    pub carburettor_heat: bool,
    /// Magneto switch.
    pub magnetos: MagnetoSwitch,
    /// Starter engaged.
    pub starter: bool,
    /// Parking brake on.
    pub parking_brake: bool,
}

impl Default for Hands {
    fn default() -> Hands {
        Hands {
            pedals: 0.0,
            left_toe: 0.0,
            right_toe: 0.0,
            throttle: 0.0,
            column_right: 0.0,
            column_back: 0.0,
            mixture: 1.0,
            carburettor_heat: false,
            magnetos: MagnetoSwitch::Both,
            starter: false,
            parking_brake: true,
        }
    }
}

fn toward(from: f64, to: f64, step: f64) -> f64 {
    if to > from {
        (from + step).min(to)
    } else {
        (from - step).max(to)
    }
}

impl Hands {
    /// Moves everything for one tick of `dt_s` seconds.
    pub fn advance(&mut self, held: Held, feel: &Feel, dt_s: f64) {
        use Action::*;
        self.starter = held.is(Starter);
        let want = held.pair(RightPedal, LeftPedal);
        // A pedal that has to come back past the middle does so at the quicker rate first.
        let returning = want == 0.0 || want * self.pedals < 0.0;
        let rate = if returning {
            feel.pedal_return_per_s
        } else {
            feel.pedal_push_per_s
        };
        self.pedals = toward(self.pedals, if returning { 0.0 } else { want }, rate * dt_s);
        for (toe, action) in [(&mut self.left_toe, LeftToe), (&mut self.right_toe, RightToe)] {
            *toe = if held.is(action) {
                toward(*toe, 1.0, feel.toe_press_per_s * dt_s)
            } else {
                toward(*toe, 0.0, feel.toe_release_per_s * dt_s)
            };
        }
        let lever = |at: f64, way: f64, rate: f64, least: f64| (at + way * rate * dt_s).clamp(least, 1.0);
        self.throttle = lever(
            self.throttle,
            held.pair(ThrottleOpen, ThrottleClose),
            feel.throttle_per_s,
            0.0,
        );
        self.mixture = lever(
            self.mixture,
            held.pair(MixtureRicher, MixtureLeaner),
            feel.mixture_per_s,
            0.0,
        );
        if held.is(ColumnMiddle) {
            self.column_right = toward(self.column_right, 0.0, 2.0 * feel.column_per_s * dt_s);
            self.column_back = toward(self.column_back, 0.0, 2.0 * feel.column_per_s * dt_s);
        } else {
            let (right, back) = (held.pair(ColumnRight, ColumnLeft), held.pair(ColumnBack, ColumnForward));
            self.column_right = lever(self.column_right, right, feel.column_per_s, -1.0);
            self.column_back = lever(self.column_back, back, feel.column_per_s, -1.0);
        }
    }

    /// What the aeroplane gets from these positions.
    pub fn controls(&self, feel: &Feel) -> Controls {
        let soft = |x: f64| x * (feel.soft_start + (1.0 - feel.soft_start) * x.abs());
        Controls {
            rudder: soft(self.pedals),
            left_brake: soft(self.left_toe),
            right_brake: soft(self.right_toe),
            throttle: self.throttle,
            aileron: self.column_right,
            // The dynamics count a push as positive.
            elevator: -self.column_back,
            mixture: self.mixture,
            carburettor_heat: f64::from(u8::from(self.carburettor_heat)),
            magnetos: self.magnetos,
            starter: self.starter,
            parking_brake: self.parking_brake,
            tow_bar: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_longer_press_gives_more_and_letting_go_eases_off() {
        let (feel, mut hands, mut held) = (Feel::default(), Hands::default(), Held::default());
        held.set(Action::RightToe, true);
        for _ in 0..60 {
            hands.advance(held, &feel, 1.0 / 240.0);
        }
        let quarter_second = hands.controls(&feel).right_brake;
        for _ in 0..60 {
            hands.advance(held, &feel, 1.0 / 240.0);
        }
        let half_second = hands.controls(&feel).right_brake;
        assert!(quarter_second > 0.0 && half_second > 2.0 * quarter_second && half_second < 1.0);
        held.set(Action::RightToe, false);
        hands.advance(held, &feel, 1.0 / 240.0);
        assert!(hands.controls(&feel).right_brake < half_second && hands.right_toe > 0.0);
        assert_eq!(hands.left_toe, 0.0, "the other foot does nothing");
    }

    #[test]
    fn the_feet_are_one_bar() {
        let (feel, mut hands, mut held) = (Feel::default(), Hands::default(), Held::default());
        held.set(Action::LeftPedal, true);
        for _ in 0..240 {
            hands.advance(held, &feel, 1.0 / 240.0);
        }
        assert_eq!(hands.pedals, -1.0);
        held.set(Action::RightPedal, true);
        for _ in 0..240 {
            hands.advance(held, &feel, 1.0 / 240.0);
        }
        assert_eq!(hands.pedals, 0.0, "both feet pushing hold it in the middle");
    }
}
