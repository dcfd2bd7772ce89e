//! Which keys are down, and which combinations of the four feet keys and the throttle this keyboard has really delivered.
//! Many keyboards drop the third or fourth key of some combinations; a learner must know before he blames his feet.

use super::{OpenScreen, Screen, key_names};
use crate::keys::{Action, Bindings};
use bevy::prelude::*;

/// The keys that must work together.
pub const TOGETHER: [Action; 5] = [
    Action::LeftPedal,
    Action::RightPedal,
    Action::LeftToe,
    Action::RightToe,
    Action::ThrottleOpen,
];

/// What the keyboard has shown.
#[derive(Resource, Clone, Debug, Default, PartialEq, Eq)]
pub struct KeyCheck {
    keys: [Option<KeyCode>; 5],
    /// By the bits of a combination: whether all of its keys were down at once.
    delivered: [bool; 32],
    /// Names of all keys that are down now.
    pub down: Vec<String>,
    /// Most keys that were down at once.
    pub most: usize,
}

/// One combination.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Combination {
    /// Its keys, as the screens name them.
    pub words: String,
    /// Whether it was delivered.
    pub delivered: bool,
}

impl KeyCheck {
    /// Takes in the keys that are down.
    pub fn see(&mut self, bindings: &Bindings, down: &[KeyCode]) {
        let keys = TOGETHER.map(|a| bindings.key(a));
        if keys != self.keys {
            *self = KeyCheck {
                keys,
                ..KeyCheck::default()
            };
        }
        let bits = keys
            .iter()
            .enumerate()
            .filter(|(_, k)| k.is_some_and(|k| down.contains(&k)))
            .fold(0_usize, |sum, (i, _)| sum | 1 << i);
        for (part, d) in self.delivered.iter_mut().enumerate() {
            // Whatever is part of what is down is down too.
            *d |= part & bits == part;
        }
        self.most = self.most.max(down.len());
        self.down = down.iter().map(|k| key_names::label(*k)).collect();
        self.down.sort();
    }

    /// Forgets what was delivered.
    pub fn forget(&mut self) {
        *self = KeyCheck {
            keys: self.keys,
            ..KeyCheck::default()
        };
    }

    /// All combinations of two and more, the small ones first.
    pub fn combinations(&self) -> Vec<Combination> {
        let mut sets: Vec<usize> = (0..32_usize).filter(|s| s.count_ones() >= 2).collect();
        // Bits count from the left foot: turned round, the greater comes first in the list.
        sets.sort_by_key(|s| (s.count_ones(), std::cmp::Reverse(s.reverse_bits())));
        sets.into_iter()
            .map(|set| {
                let names: Vec<String> = (0..5)
                    .filter(|i| set >> i & 1 == 1)
                    .map(|i| self.keys[i].map_or_else(|| "none".into(), key_names::label))
                    .collect();
                Combination {
                    words: names.join(" "),
                    delivered: self.delivered[set],
                }
            })
            .collect()
    }
}

/// Watches the keyboard, on every screen and in the drive.
pub fn watch(
    keys: Res<ButtonInput<KeyCode>>,
    bindings: Res<Bindings>,
    screen: Res<OpenScreen>,
    mut check: ResMut<KeyCheck>,
) {
    if screen.now == Screen::KeyboardCheck && keys.just_pressed(KeyCode::Delete) {
        check.forget();
    }
    let down: Vec<KeyCode> = keys.get_pressed().copied().collect();
    check.see(&bindings, &down);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_was_down_at_once_counts_as_delivered() {
        let (mut check, bindings) = (KeyCheck::default(), Bindings::default());
        let (f, j, r, i) = (KeyCode::KeyF, KeyCode::KeyJ, KeyCode::KeyR, KeyCode::KeyI);
        check.see(&bindings, &[f, r]);
        check.see(&bindings, &[r, i, KeyCode::KeyB]);
        check.see(&bindings, &[j]);
        let all = check.combinations();
        assert_eq!(all.len(), 26);
        let got: Vec<&str> = all.iter().filter(|c| c.delivered).map(|c| c.words.as_str()).collect();
        assert_eq!(got, ["F R", "R I"]);
        assert_eq!((check.most, check.down.as_slice()), (3, &["J".to_string()][..]));
        check.see(&bindings, &[f, j, r, i]);
        assert_eq!(
            check.combinations().iter().filter(|c| c.delivered).count(),
            11,
            "four keys hold eleven combinations"
        );
        check.forget();
        assert!(check.combinations().iter().all(|c| !c.delivered));
    }

    #[test]
    fn combinations_are_listed_from_small_to_large() {
        let mut check = KeyCheck::default();
        check.see(&Bindings::default(), &[]);
        let words: Vec<String> = check.combinations().into_iter().map(|c| c.words).collect();
        assert_eq!(words[..5], ["F J", "F R", "F U", "F I", "J R"]);
        assert_eq!(words[25], "F J R U I");
    }
}
