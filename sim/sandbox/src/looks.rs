//! Looks of the pilot into the attempt: a side, a shoulder or the approach, held long enough to see what is there.

use crate::drive::{Drive, driving};
use crate::feel::Held;
use crate::recorder::{Noting, Recording};
use crate::view::gaze::Gaze;
use bevy::prelude::*;
use toeline_dynamics::TICK_S;
use toeline_training::EventKind;

/// A look counts when it was held this long, seconds: shorter is a glance in which nothing is seen (ours, no source).
pub const LEAST_LOOK_S: f64 = 0.4;

/// The look that is held now.
#[derive(Resource, Clone, Copy, Debug, Default)]
struct Looking {
    gaze: Gaze,
    tick: u64,
    ticks: u64,
}

/// Notes every look once, at the moment from which it counts.
pub fn looks_plugin(app: &mut App) {
    app.init_resource::<Looking>()
        .add_systems(FixedPostUpdate, watch.run_if(driving).in_set(Noting::Eyes));
}

/// What the attempt calls a look; `None` for looking ahead.
pub fn name_of(gaze: Gaze) -> Option<&'static str> {
    match gaze {
        Gaze::Ahead => None,
        Gaze::Left => Some("left"),
        Gaze::Right => Some("right"),
        Gaze::LeftShoulder => Some("left shoulder"),
        Gaze::RightShoulder => Some("right shoulder"),
        Gaze::Approach => Some("approach"),
    }
}

fn watch(drive: Res<Drive>, held: Res<Held>, mut looking: ResMut<Looking>, mut recording: ResMut<Recording>) {
    if drive.tick == looking.tick {
        return;
    }
    // Only a held key is a look of the pilot; where the camera points otherwise is not.
    let gaze = Gaze::wanted(*held, Gaze::Ahead);
    let goes_on = gaze == looking.gaze && drive.tick == looking.tick + 1;
    *looking = Looking {
        gaze,
        tick: drive.tick,
        ticks: if goes_on { looking.ticks + 1 } else { 1 },
    };
    let enough = (LEAST_LOOK_S / TICK_S).round() as u64;
    if let Some(name) = name_of(gaze).filter(|_| looking.ticks == enough) {
        let words = match gaze {
            Gaze::Approach => "looked up the approach".to_string(),
            Gaze::LeftShoulder | Gaze::RightShoulder => format!("looked over the {name}"),
            _ => format!("looked {name}"),
        };
        recording.deed(EventKind::Looked, None, name, &words);
    }
}
