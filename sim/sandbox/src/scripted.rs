//! Driving from a script in place of the keyboard: the same orders, to the tick, as the training crate drives without a
//! window.

use crate::feel::Hands;
use bevy::prelude::Resource;
use std::path::Path;
use toeline_dynamics::Controls;
use toeline_training::Script;

/// The script that has the controls.
#[derive(Resource, Clone, Debug)]
pub struct Scripted(pub Script);

impl Scripted {
    /// Reads a script file.
    ///
    /// # Errors
    /// Everything that is wrong in it, line by line.
    pub fn from_file(file: &Path) -> Result<Scripted, String> {
        let text = std::fs::read_to_string(file).map_err(|e| format!("{}: cannot be read: {e}", file.display()))?;
        Script::parse(&text).map(Scripted).map_err(|problems| {
            let list: Vec<String> = problems.iter().map(|p| format!("{}: {p}", file.display())).collect();
            list.join("\n")
        })
    }

    /// Controls that lead from a tick, counted from the start, to the next.
    pub fn at(&self, tick: u64) -> Controls {
        let next = self.0.orders.partition_point(|(from, _)| *from <= tick);
        next.checked_sub(1)
            .map_or_else(Controls::default, |i| self.0.orders[i].1)
    }
}

impl Hands {
    /// Shows hands and feet where a script has put them.
    pub fn put(&mut self, c: &Controls) {
        *self = Hands {
            pedals: c.rudder,
            left_toe: c.left_brake,
            right_toe: c.right_brake,
            throttle: c.throttle,
            column_right: c.aileron,
            column_back: -c.elevator,
            mixture: c.mixture,
            carburettor_heat: c.carburettor_heat,
            magnetos: c.magnetos,
            starter: c.starter,
            parking_brake: c.parking_brake,
        };
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_hold_as_the_training_crate_holds_them() {
        let text = "at 3 throttle 0.5\nat 5 rudder -1 left_brake 0.4\nend 9";
        let script = Script::parse(text).expect("a sound script");
        let want: Vec<Controls> = script.controls().collect();
        let scripted = Scripted(script);
        let got: Vec<Controls> = (0..9).map(|t| scripted.at(t)).collect();
        assert_eq!(got, want);
    }
}
