//! Keeps what is drawn on the map up to date: meshes for the field and the way, words, scale bar, and the camera over it.

use super::ends::Role;
use super::labels::{SCALE_SHARE, Style, Subject, place};
use super::look::{self, Room};
use super::pick::Place;
use super::sheet::Sheet;
use super::shown::Shown;
use super::{drawing, ink, way_ink};
use crate::convert::narrow;
use crate::drive::Phase;
use crate::view::palette;
use crate::view::readout::{credit, text};
use crate::view::sketch::Sketch;
use bevy::prelude::*;
use bevy::window::PrimaryWindow;
use toeline_model::Xy;

/// The camera that looks at the map.
#[derive(Component)]
pub struct DeskCamera;

/// A camera of the drive that rests while the desk is shown.
#[derive(Component)]
pub struct Rests;

/// One drawn layer.
#[derive(Component, Clone, Copy, Debug, PartialEq, Eq)]
pub enum Layer {
    /// Areas of the field.
    Areas,
    /// Its fine lines.
    Fine,
    /// The way.
    Way,
    /// The chosen points.
    Points,
}

/// Puts the camera up.
pub fn set_up(mut commands: Commands) {
    commands.spawn((
        DeskCamera,
        Camera2d,
        Camera {
            order: 1,
            is_active: false,
            clear_color: ClearColorConfig::Custom(look::PAPER),
            ..default()
        },
        Projection::Orthographic(OrthographicProjection {
            near: -100.0,
            far: 100.0,
            ..OrthographicProjection::default_2d()
        }),
        Msaa::Off,
    ));
}

type Others<'w, 's> = Query<'w, 's, (Entity, &'static mut Camera, Has<Rests>), Without<DeskCamera>>;

/// One camera at a time: the desk's or the drive's. Screens of the desk are drawn by the desk's.
pub fn switch(
    mut commands: Commands,
    phase: Res<Phase>,
    mut desk: Single<(Entity, &mut Camera), With<DeskCamera>>,
    mut others: Others,
    roots: Query<Entity, (With<super::widgets::OnDesk>, Without<UiTargetCamera>)>,
    window: Option<Single<Entity, With<PrimaryWindow>>>,
) {
    let at_desk = matches!(*phase, Phase::Choosing | Phase::Drawing) && window.is_some();
    let (entity, camera) = &mut *desk;
    if camera.is_active != at_desk {
        camera.is_active = at_desk;
    }
    for (e, mut camera, rests) in &mut others {
        if !rests && at_desk && camera.is_active {
            camera.is_active = false;
            commands.entity(e).insert(Rests);
        } else if rests && !at_desk {
            camera.is_active = true;
            commands.entity(e).remove::<Rests>();
        }
    }
    for root in &roots {
        commands.entity(root).insert(UiTargetCamera(*entity));
    }
}

/// The drive's first camera is the one that other text is drawn by.
pub fn name_default(
    mut commands: Commands,
    first: Query<Entity, Added<Camera3d>>,
    named: Query<(), With<IsDefaultUiCamera>>,
) {
    if let (Some(e), true) = (first.iter().next(), named.is_empty()) {
        commands.entity(e).insert(IsDefaultUiCamera);
    }
}

/// Moves the camera where the sheet lies.
pub fn look_at_sheet(
    sheet: Res<Sheet>,
    ui_scale: Res<UiScale>,
    window: Single<&Window, With<PrimaryWindow>>,
    camera: Single<(&mut Transform, &mut Projection), With<DeskCamera>>,
) {
    let (mut at, mut projection) = camera.into_inner();
    let k = f64::from(ui_scale.0);
    let middle = toeline_model::frame::xy(
        f64::from(window.width()) / 2.0 / k,
        f64::from(window.height()) / 2.0 / k,
    );
    let p = sheet.point(middle);
    let want = Vec3::new(narrow(p.x), narrow(p.y), 0.0);
    if at.translation != want {
        at.translation = want;
    }
    let scale = narrow(sheet.m_per_px / k);
    if let Projection::Orthographic(o) = projection.as_mut()
        && o.scale != scale
    {
        o.scale = scale;
    }
}

/// How much the zoom may change before fine lines are drawn again.
const REDRAW: f64 = 1.15;

/// The place that is pointed at, and where a held point is.
type Pointed = (Option<Place>, Option<(Role, Xy)>);

/// What the layers were drawn for.
#[derive(Default)]
pub struct Drawn {
    fine_px_m: f64,
    way: Option<(u64, Option<usize>)>,
    points: Option<Pointed>,
}

/// Draws again what has changed.
pub fn draw(
    mut commands: Commands,
    on: Shown,
    mut meshes: ResMut<Assets<Mesh>>,
    mut paint: Local<Option<Handle<ColorMaterial>>>,
    mut paints: ResMut<Assets<ColorMaterial>>,
    old: Query<(Entity, &Layer)>,
    mut drawn: Local<Drawn>,
) {
    let Shown {
        table: Some(table),
        sheet,
        ends,
        hand,
        planner,
        lit,
        ..
    } = on
    else {
        return;
    };
    let paint = paint
        .get_or_insert_with(|| paints.add(ColorMaterial::default()))
        .clone();
    let mut put = |layer: Layer, sketch: Sketch| {
        for (e, _) in old.iter().filter(|(_, l)| **l == layer) {
            commands.entity(e).despawn();
        }
        if !sketch.is_empty() {
            commands.spawn((
                layer,
                Mesh2d(meshes.add(sketch.mesh())),
                MeshMaterial2d(paint.clone()),
                // The sketch lies in the ground plane of the drive; a quarter turn stands it up in front of the camera.
                Transform::from_rotation(Quat::from_rotation_x(std::f32::consts::FRAC_PI_2)),
            ));
        }
    };
    let px_m = sheet.m_per_px;
    if table.is_changed() {
        put(Layer::Areas, ink::areas(&table.field));
    }
    let zoomed = table.is_changed() || !(1.0 / REDRAW..REDRAW).contains(&(px_m / drawn.fine_px_m.max(1e-9)));
    if zoomed {
        drawn.fine_px_m = px_m;
        put(Layer::Fine, ink::fine(&table.field, px_m));
    }
    let way = (planner.serial(), lit.0);
    if zoomed || drawn.way != Some(way) {
        drawn.way = Some(way);
        let sketch = planner
            .shown()
            .map(|(_, w, lines)| way_ink::way(w, lines, lit.0, px_m))
            .unwrap_or_default();
        put(Layer::Way, sketch);
    }
    let held = drawing::held(&hand, &sheet, &table.field);
    if zoomed || ends.is_changed() || drawn.points != Some((hand.over, held)) {
        drawn.points = Some((hand.over, held));
        put(
            Layer::Points,
            way_ink::points(&table.field, &ends, held, hand.over, px_m),
        );
    }
}

/// Widest that the credit of the data may be, percent of the map: the scale bar keeps its corner.
const CREDIT_PERCENT: f32 = 55.0;

/// A word on the map.
#[derive(Component)]
pub struct Word;

/// Writes the words on the map, the scale bar and north, again whenever something has moved.
pub fn write(
    mut commands: Commands,
    on: Shown,
    hole: Option<Single<(Entity, Ref<drawing::Hole>)>>,
    mut shown: Local<Option<(u64, Option<Place>)>>,
) {
    let Shown {
        table: Some(table),
        sheet,
        ends,
        hand,
        planner,
        sizes,
        ..
    } = on
    else {
        return;
    };
    let Some(hole) = hole else { return };
    let fresh = table.is_changed() || sheet.is_changed() || ends.is_changed();
    let now = Some((planner.serial(), hand.over));
    if !fresh && *shown == now && !hole.1.is_added() && !sizes.is_changed() {
        return;
    }
    *shown = now;
    let size = sizes.note();
    let labels = place(
        Subject {
            field: &table.field,
            ends: &ends,
            way: planner.shown().map(|s| s.1),
            over: hand.over,
        },
        &sheet,
        f64::from(size),
    );
    let v = sheet.view;
    commands
        .entity(hole.0)
        .despawn_related::<Children>()
        .with_children(|h| {
            for l in labels {
                let (ground, ink) = match l.style {
                    Style::Plain => (look::PAPER.with_alpha(0.80), look::INK),
                    Style::Strong => (look::GROUND.with_alpha(0.94), palette::TEXT),
                };
                word(
                    h,
                    narrow(l.at.x - v.left),
                    narrow(l.at.y - v.top),
                    ground,
                    &l.words,
                    size,
                    ink,
                );
            }
            scale_bar(h, &sheet, size, sizes.room != Room::Little);
            if let Some(words) = credit(&table.field) {
                credit_line(h, words, size);
            }
        });
}

fn word(h: &mut ChildSpawnerCommands, left: f32, top: f32, ground: Color, words: &str, size: f32, ink: Color) {
    h.spawn((
        Word,
        Node {
            position_type: PositionType::Absolute,
            left: px(left),
            top: px(top),
            padding: UiRect::axes(px(3), px(1)),
            border_radius: BorderRadius::all(px(2)),
            ..default()
        },
        BackgroundColor(ground),
    ))
    .with_child((text(words, size, ink), TextLayout::no_wrap()));
}

fn scale_bar(h: &mut ChildSpawnerCommands, sheet: &Sheet, size: f32, with_north: bool) {
    let (metres, long) = sheet.scale_bar(sheet.view.width * SCALE_SHARE);
    let words = if metres >= 1.0 {
        format!("{metres:.0} m")
    } else {
        format!("{metres:.2} m")
    };
    h.spawn((
        Word,
        Node {
            position_type: PositionType::Absolute,
            left: px(6),
            bottom: px(6),
            padding: UiRect::axes(px(4), px(2)),
            column_gap: px(6),
            align_items: AlignItems::Center,
            ..default()
        },
        BackgroundColor(look::PAPER.with_alpha(0.85)),
    ))
    .with_children(|b| {
        b.spawn((
            Node {
                width: px(narrow(long)),
                height: px(size * 0.5),
                border: UiRect {
                    left: px(1.5),
                    right: px(1.5),
                    bottom: px(1.5),
                    top: px(0),
                },
                ..default()
            },
            BorderColor::all(look::INK),
        ));
        b.spawn(text(words, size, look::INK));
        if with_north {
            b.spawn(text("north is up", size, look::INK));
        }
    });
}

/// What the map's data must be credited to, in the corner at the right.
fn credit_line(h: &mut ChildSpawnerCommands, words: String, size: f32) {
    h.spawn((
        Word,
        Node {
            position_type: PositionType::Absolute,
            right: px(6),
            bottom: px(6),
            max_width: percent(CREDIT_PERCENT),
            padding: UiRect::axes(px(4), px(2)),
            ..default()
        },
        BackgroundColor(look::PAPER.with_alpha(0.85)),
    ))
    .with_child(text(words, size, look::INK));
}

/// Takes the map away with its field.
pub fn hide(phase: Res<Phase>, mut layers: Query<&mut Visibility, With<Layer>>) {
    let want = if *phase == Phase::Drawing {
        Visibility::Inherited
    } else {
        Visibility::Hidden
    };
    for mut v in &mut layers {
        if *v != want {
            *v = want;
        }
    }
}
