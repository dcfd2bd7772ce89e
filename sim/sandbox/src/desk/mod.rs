//! The desk: choose field, aeroplane, wind and light; draw the way on the map; drive it. Everything about the way is the
//! engine's: this module only asks and shows.
//!
//! | file | what it holds |
//! |---|---|
//! | `choice`, `table` | what is chosen, as typed; the field that lies on the table |
//! | `sheet`, `pick`, `hand` | metres and pixels; what lies under the pointer; what the pointer does |
//! | `ends`, `planner`, `alternatives` | the chosen points; planning in the background; ways to pick from |
//! | `legs`, `labels` | legs as lines and words; words that find room on the map |
//! | `core` | deeds and what follows from them, without a picture |
//! | `start`, `drawing`, `side` | the first screen; the screen with the map; the list beside it |
//! | `ink`, `way_ink`, `map` | the field and the way as meshes; what is drawn when |
//! | `look`, `widgets`, `shown`, `report` | colours and sizes; buttons and entries; what is looked at; states said on the terminal |

pub mod alternatives;
pub mod choice;
pub mod core;
pub mod drawing;
pub mod ends;
pub mod hand;
pub mod ink;
pub mod labels;
pub mod legs;
pub mod look;
pub mod map;
pub mod pick;
pub mod planner;
pub mod report;
pub mod sheet;
pub mod shown;
pub mod side;
pub mod start;
pub mod table;
pub mod way_ink;
pub mod widgets;

use crate::drive::Phase;
use bevy::input_focus::InputFocus;
use bevy::input_focus::tab_navigation::TabNavigationPlugin;
use bevy::prelude::*;
use bevy::window::PrimaryWindow;

pub use self::core::desk_core_plugin;

/// A run condition: whether one of the desk's own screens is shown, so that keys are words and not pedals.
pub fn at_desk(phase: Option<Res<Phase>>) -> bool {
    phase.is_some_and(|p| matches!(*p, Phase::Choosing | Phase::Drawing))
}

fn drawing_now(phase: Res<Phase>) -> bool {
    *phase == Phase::Drawing
}

/// The desk as it is seen. Needs [`desk_core_plugin`] and Bevy's default plugins.
pub fn desk_view_plugin(app: &mut App) {
    app.add_plugins(TabNavigationPlugin)
        .init_resource::<look::Sizes>()
        .init_resource::<side::Lit>()
        .init_resource::<drawing::Fitted>()
        .add_systems(Startup, map::set_up)
        .add_systems(PreUpdate, (map::name_default, measure_room))
        .add_systems(Update, widgets::hide_bars)
        .add_systems(
            Update,
            (
                (drawing::measure, drawing::point).chain().run_if(drawing_now),
                drawing::keys,
                widgets::press,
            )
                .chain()
                .before(self::core::DeskSet)
                .run_if(at_desk),
        )
        .add_systems(
            Update,
            (
                start::take_typed,
                start::show_taken,
                start::mark_chosen,
                start::write_lines,
                widgets::light_entries,
            )
                .chain()
                .run_if(at_desk),
        )
        .add_systems(
            Update,
            (
                refit,
                start::keep_up,
                drawing::keep_up,
                drop_focus,
                map::switch,
                map::hide,
                (
                    drawing::light_leg,
                    drawing::show_lit,
                    drawing::write_lines,
                    drawing::refill,
                    map::look_at_sheet,
                    map::draw,
                    map::write,
                )
                    .chain()
                    .run_if(drawing_now),
                report::report.run_if(resource_exists::<report::Reports>),
            )
                .chain()
                .after(self::core::DeskSet),
        );
}

/// How much room there is.
fn measure_room(window: Single<&Window, With<PrimaryWindow>>, ui_scale: Res<UiScale>, mut sizes: ResMut<look::Sizes>) {
    let k = ui_scale.0.max(0.01);
    let now = look::Sizes::of(window.width() / k, window.height() / k);
    if now != *sizes {
        *sizes = now;
    }
}

/// Another field is shown whole.
fn refit(table: Option<Res<table::Table>>, mut fitted: ResMut<drawing::Fitted>) {
    if table.is_some_and(|t| t.is_changed()) {
        fitted.0 = false;
    }
}

/// What had the keyboard may be gone.
fn drop_focus(focus: Option<ResMut<InputFocus>>, there: Query<(), With<Node>>) {
    if let Some(mut focus) = focus
        && focus.get().is_some_and(|e| !there.contains(e))
    {
        focus.clear();
    }
}
