//! How held keys become pedal and lever positions: press longer, press more; let go and it eases off. Advanced once a tick,
//! so that the frame rate has no say in it.

use crate::feet::input::Input;
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
    /// Carburettor heat moved.
    pub heat_per_s: f64,
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
            heat_per_s: 1.5,
            soft_start: 0.5,
        }
    }
}

impl Feel {
    /// What a key that has been held so long gives.
    fn softened(&self, x: f64) -> f64 {
        x * (self.soft_start + (1.0 - self.soft_start) * x.abs())
    }

    /// The key position that gives what an axis asks for: an axis has its own curve, and the soft start is for keys only.
    /// Counted back here, so that pedals passed from an axis to the keys do not jump.
    fn unsoftened(&self, input: Input, value: f64) -> f64 {
        let (a, b) = (1.0 - self.soft_start, self.soft_start);
        if a <= 0.0 || !matches!(input, Input::Rudder | Input::LeftBrake | Input::RightBrake) {
            return value;
        }
        let x = ((b * b + 4.0 * a * value.abs()).sqrt() - b) / (2.0 * a);
        x.copysign(value)
    }
}

/// What leads an input now.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Led {
    /// The keys: a pedal let go comes back by itself.
    #[default]
    ByKeys,
    /// The mouse, which puts it there once a frame: between frames it stays.
    Still,
    /// An axis that stands at this value.
    At(f64),
}

/// Which actions are held down now, and what leads each input.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct Held {
    actions: u64,
    led: [Led; 8],
}

impl Held {
    /// Sets whether an action is held.
    pub fn set(&mut self, action: Action, down: bool) {
        let bit = 1_u64 << action as u32;
        if down {
            self.actions |= bit;
        } else {
            self.actions &= !bit;
        }
    }

    /// Whether an action is held.
    pub fn is(self, action: Action) -> bool {
        self.actions & (1 << action as u32) != 0
    }

    /// Lets every key and button go; axes stay where they are.
    pub fn let_go(&mut self) {
        self.actions = 0;
    }

    /// Whether a key or button that moves an input is held.
    pub fn any_key_of(self, input: Input) -> bool {
        let (down, up) = input.actions();
        let column = self.is(Action::ColumnMiddle) && matches!(input, Input::Aileron | Input::Elevator);
        let heat = self.is(Action::CarburettorHeat) && input == Input::CarburettorHeat;
        self.is(up) || down.is_some_and(|d| self.is(d)) || column || heat
    }

    /// Says what leads an input.
    pub fn lead(&mut self, input: Input, led: Led) {
        self.led[input as usize] = led;
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
    /// Carburettor heat, 0 cold to 1 hot.
    pub carburettor_heat: f64,
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
            carburettor_heat: 0.0,
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
        self.starter = held.is(Action::Starter);
        for input in Input::ALL {
            match held.led[input as usize] {
                Led::ByKeys => self.set(input, self.by_keys(input, held, feel, dt_s)),
                Led::Still => {}
                Led::At(value) => self.set(input, feel.unsoftened(input, value)),
            }
        }
    }

    /// Where the keys move one input in `dt_s` seconds.
    fn by_keys(&self, input: Input, held: Held, feel: &Feel, dt_s: f64) -> f64 {
        let at = self.get(input);
        let (down, up) = input.actions();
        let way = down.map_or_else(|| f64::from(u8::from(held.is(up))), |down| held.pair(up, down));
        let lever = |rate: f64| (at + way * rate * dt_s).clamp(input.least(), 1.0);
        match input {
            Input::Rudder => {
                // A pedal that has to come back past the middle does so at the quicker rate first.
                let returning = way == 0.0 || way * at < 0.0;
                let rate = if returning {
                    feel.pedal_return_per_s
                } else {
                    feel.pedal_push_per_s
                };
                toward(at, if returning { 0.0 } else { way }, rate * dt_s)
            }
            Input::LeftBrake | Input::RightBrake if way > 0.0 => toward(at, 1.0, feel.toe_press_per_s * dt_s),
            Input::LeftBrake | Input::RightBrake => toward(at, 0.0, feel.toe_release_per_s * dt_s),
            Input::Aileron | Input::Elevator if held.is(Action::ColumnMiddle) => {
                toward(at, 0.0, 2.0 * feel.column_per_s * dt_s)
            }
            Input::Aileron | Input::Elevator => lever(feel.column_per_s),
            Input::Throttle => lever(feel.throttle_per_s),
            Input::Mixture => lever(feel.mixture_per_s),
            Input::CarburettorHeat => lever(feel.heat_per_s),
        }
    }

    /// Where an input stands.
    pub fn get(&self, input: Input) -> f64 {
        match input {
            Input::Rudder => self.pedals,
            Input::LeftBrake => self.left_toe,
            Input::RightBrake => self.right_toe,
            Input::Aileron => self.column_right,
            Input::Elevator => self.column_back,
            Input::Throttle => self.throttle,
            Input::Mixture => self.mixture,
            Input::CarburettorHeat => self.carburettor_heat,
        }
    }

    /// Puts an input somewhere, inside its range; what is no number changes nothing.
    pub fn set(&mut self, input: Input, value: f64) {
        if value.is_nan() {
            return;
        }
        let place = match input {
            Input::Rudder => &mut self.pedals,
            Input::LeftBrake => &mut self.left_toe,
            Input::RightBrake => &mut self.right_toe,
            Input::Aileron => &mut self.column_right,
            Input::Elevator => &mut self.column_back,
            Input::Throttle => &mut self.throttle,
            Input::Mixture => &mut self.mixture,
            Input::CarburettorHeat => &mut self.carburettor_heat,
        };
        *place = value.clamp(input.least(), 1.0);
    }

    /// What the aeroplane gets from these positions.
    pub fn controls(&self, feel: &Feel) -> Controls {
        let soft = |x: f64| feel.softened(x);
        Controls {
            rudder: soft(self.pedals),
            left_brake: soft(self.left_toe),
            right_brake: soft(self.right_toe),
            throttle: self.throttle,
            aileron: self.column_right,
            // The dynamics count a push as positive.
            elevator: -self.column_back,
            mixture: self.mixture,
            carburettor_heat: self.carburettor_heat,
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

    #[test]
    fn an_axis_is_felt_as_it_is_and_passes_to_the_keys_without_a_jump() {
        let (feel, mut held) = (Feel::default(), Held::default());
        for want in [-1.0, -0.37, 0.0, 0.02, 0.5, 1.0] {
            let mut hands = Hands::default();
            held.lead(Input::Rudder, Led::At(want));
            held.lead(Input::LeftBrake, Led::At(want));
            held.lead(Input::Throttle, Led::At(want));
            hands.advance(held, &feel, 1.0 / 240.0);
            let c = hands.controls(&feel);
            assert!((c.rudder - want).abs() < 1e-12, "rudder {} for {want}", c.rudder);
            assert!(
                (c.left_brake - want.max(0.0)).abs() < 1e-12,
                "{} for {want}",
                c.left_brake
            );
            assert_eq!(c.throttle, want.max(0.0));
            held.lead(Input::Rudder, Led::ByKeys);
            hands.advance(held, &feel, 1e-6);
            let after = hands.controls(&feel).rudder;
            assert!((after - want).abs() < 1e-5, "{after} after {want}");
        }
        let mut hands = Hands::default();
        held.lead(Input::Rudder, Led::At(f64::NAN));
        hands.advance(held, &feel, 1.0 / 240.0);
        assert_eq!(hands.pedals, 0.0);
    }

    #[test]
    fn every_input_is_moved_by_its_keys_and_longer_is_more() {
        for input in Input::ALL {
            let (feel, mut hands, mut held) = (Feel::default(), Hands::default(), Held::default());
            hands.set(input, 0.0);
            held.set(input.actions().1, true);
            let mut at = Vec::new();
            for _ in 0..2 {
                (0..24).for_each(|_| hands.advance(held, &feel, 1.0 / 240.0));
                at.push(hands.get(input));
            }
            assert!(0.0 < at[0] && at[0] < at[1] && at[1] < 1.0, "{input:?}: {at:?}");
        }
    }
}
