//! A second pair of feet beside the learner's. The feet themselves are drawn with the panel.

use bevy::prelude::*;
use toeline_dynamics::Controls;

/// Controls whose feet are drawn beside the learner's, as an outline: the model pilot's, on request. `None` shows none.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq)]
pub struct OtherFeet(pub Option<Controls>);

/// Holds the second pair; nothing shows it until it is asked for.
pub fn soles_plugin(app: &mut App) {
    app.init_resource::<OtherFeet>();
}
