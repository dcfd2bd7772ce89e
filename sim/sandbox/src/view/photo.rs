//! A picture of the window, taken after a number of frames, and then the end.

use bevy::prelude::*;
use bevy::render::view::screenshot::{Screenshot, ScreenshotCaptured, save_to_disk};
use std::path::PathBuf;

/// What picture is wanted.
#[derive(Resource, Clone, Debug)]
pub struct Photo {
    /// Where it goes; the ending names the format.
    pub file: PathBuf,
    /// Frames before it is taken.
    pub after_frames: u32,
}

/// Takes the picture when one is wanted.
pub fn photo_plugin(app: &mut App) {
    app.add_systems(Update, take.run_if(resource_exists::<Photo>));
}

fn take(mut commands: Commands, photo: Res<Photo>, mut frame: Local<u32>) {
    *frame += 1;
    if *frame == photo.after_frames.max(1) {
        commands
            .spawn(Screenshot::primary_window())
            .observe(save_to_disk(photo.file.clone()))
            .observe(|_: On<ScreenshotCaptured>, mut exit: MessageWriter<AppExit>| {
                exit.write(AppExit::Success);
            });
    }
}
