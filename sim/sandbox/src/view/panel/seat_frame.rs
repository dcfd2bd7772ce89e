//! How the view from the seat is framed when the panel is shown: the glare shield's near edge lies just above the panel, so
//! that the panel hides nothing that the aeroplane itself does not hide.

use crate::convert::narrow;
use crate::panel::layout::Layout;
use crate::view::cockpit::{door_sill, shield_edge};
use bevy::camera::SubCameraView;
use bevy::prelude::*;
use toeline_model::Aircraft;

/// Where the panel begins, share of the window's height from the top.
const PANEL_FROM: f32 = 0.62;
/// How far above the horizon the view reaches, degrees (ours).
const UP_DEG: f32 = 13.0;
/// Least and greatest distance of the picture plane from the eye, shares of the window's height (ours: beyond them the
/// view is too wide or too narrow).
const PLANE: [f32; 2] = [0.60, 1.00];
/// Room between the glare shield's edge and the panel, share of the window's height.
const LIP: f32 = 0.004;

/// The framing of the view from the seat, logical pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeatFrame {
    /// Size of the window.
    pub window: Vec2,
    /// Distance of the picture plane from the eye.
    pub plane: f32,
    /// The horizon from the top of the window.
    pub horizon: f32,
    /// What the panel may cover.
    pub room: Rect,
    /// Two places on the upper edge of the left door, front first: below that line nothing of the outside is seen.
    pub sill: [Vec2; 2],
}

/// The framing for an aeroplane in a window.
pub fn seat_frame(a: &Aircraft, window: Vec2) -> SeatFrame {
    // Across and down from the eye for each metre ahead, all along the edge.
    let eye = &a.seats;
    let edge: Vec<Vec2> = shield_edge(a)
        .iter()
        .map(|[x, y, z]| {
            let ahead = (x - eye.pilot_eye_x_m).max(0.1);
            let (right, down) = ((eye.pilot_eye_y_m - y) / ahead, (eye.pilot_eye_z_m - z) / ahead);
            Vec2::new(narrow(right), narrow(down))
        })
        .collect();
    let least = |f: fn(&Vec2) -> f32| edge.iter().map(f).fold(f32::MAX, f32::min);
    let down = least(|p| p.y).max(0.05);
    let plane = PANEL_FROM / (UP_DEG.to_radians().tan() + down);
    let plane = plane.clamp(PLANE[0], PLANE[1]) * window.y;
    // Held fast is the edge, which is the top of the panel; the sky gets what is left.
    let horizon = PANEL_FROM * window.y - plane * down;
    let across = |x: f32| window.x / 2.0 + plane * x;
    let (left, right) = (least(|p| p.x), -least(|p| -p.x));
    let [front, rear] = door_sill(a);
    // The edge runs on behind the eye, where nothing is seen; a place close before it gives the same line.
    let near_x = eye.pilot_eye_x_m + 0.15 * (front[0] - eye.pilot_eye_x_m);
    let share = (front[0] - near_x) / (front[0] - rear[0]);
    let place = |share: f64| {
        let [x, y, z] = [0, 1, 2].map(|i| front[i] + (rear[i] - front[i]) * share);
        let ahead = x - eye.pilot_eye_x_m;
        let (right, down) = ((eye.pilot_eye_y_m - y) / ahead, (eye.pilot_eye_z_m - z) / ahead);
        Vec2::new(across(narrow(right)), horizon + plane * narrow(down))
    };
    SeatFrame {
        window,
        plane,
        horizon,
        sill: [place(0.0), place(share)],
        room: Rect::from_corners(
            Vec2::new(across(left).clamp(0.0, window.x * 0.45), (PANEL_FROM + LIP) * window.y),
            Vec2::new(across(right).clamp(window.x * 0.55, window.x), window.y),
        ),
    }
}

impl SeatFrame {
    /// Vertical opening of the whole picture that the window shows the lower or upper part of, radians, and that part.
    pub fn lens(&self) -> (f32, SubCameraView) {
        let above = self.horizon;
        let below = self.window.y - self.horizon;
        let half = above.max(below).max(1.0);
        let full = Vec2::new(self.window.x, 2.0 * half).max(Vec2::ONE).as_uvec2();
        // What is cut to whole pixels above is cut here too, so that the picture is not stretched.
        let half = full.y as f32 / 2.0;
        let view = SubCameraView {
            full_size: full,
            offset: Vec2::new(0.0, half - above),
            size: self.window.max(Vec2::ONE).as_uvec2(),
        };
        (2.0 * (half / self.plane).atan(), view)
    }

    /// How high the line of the door's upper edge is at a place across the window, from the top.
    fn sill_at(&self, x: f32) -> f32 {
        let [a, b] = self.sill;
        a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x).min(-1e-3)
    }

    /// Everything in its place. The feet stand over the door, as large as the door lets them.
    pub fn layout(&self) -> Layout {
        let layout = Layout::full(self.window, self.room);
        let (corner, size) = (layout.feet.max, layout.feet.size());
        let fits = |share: f32| {
            let low = corner - size * share;
            low.x >= layout.board.min.x || self.sill_at(low.x) <= low.y
        };
        let share = (0..=20)
            .map(|i| 1.0 - 0.025 * i as f32)
            .find(|s| fits(*s))
            .unwrap_or(0.5);
        Layout {
            feet: Rect::from_corners(corner - size * share, corner),
            ..layout
        }
    }

    /// How far the panel moves to the right on the screen when the head turns to the left, pixels; far out of the window
    /// when it turns away altogether.
    pub fn moved(&self, head_left_rad: f32) -> f32 {
        if head_left_rad.abs() > 1.4 {
            return 20.0 * self.window.x * head_left_rad.signum();
        }
        self.plane * head_left_rad.tan()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::view::airframe::shape;
    use toeline_model::aircraft::catalog;

    #[test]
    fn the_panel_stays_below_the_glare_shield_of_every_aeroplane_in_every_window() {
        for a in catalog::all() {
            for (w, h) in [
                (1280.0, 720.0),
                (640.0, 360.0),
                (320.0, 200.0),
                (800.0, 600.0),
                (2560.0, 1080.0),
            ] {
                let f = seat_frame(&a, Vec2::new(w, h));
                for [x, y, z] in shield_edge(&a) {
                    let ahead = x - a.seats.pilot_eye_x_m;
                    let at_x = w / 2.0 + f.plane * narrow((a.seats.pilot_eye_y_m - y) / ahead);
                    let at_y = f.horizon + f.plane * narrow((a.seats.pilot_eye_z_m - z) / ahead);
                    // The board's corners are round; elsewhere the width of a stroke is nothing.
                    let corner = 0.22 * f.layout().cell;
                    let cut = if at_x < f.room.min.x + corner {
                        corner
                    } else {
                        0.006 * h
                    };
                    let across = (f.room.min.x..f.room.max.x).contains(&at_x);
                    assert!(
                        !across || at_y < f.room.min.y + cut,
                        "{} at {w}x{h}: edge at {at_x},{at_y}, panel from {:?}",
                        a.id,
                        f.room.min
                    );
                }
                assert!(
                    (0.0..0.5 * h).contains(&f.horizon),
                    "{} at {w}x{h}: horizon at {}",
                    a.id,
                    f.horizon
                );
            }
        }
    }

    #[test]
    fn the_feet_are_drawn_over_the_door_and_hide_nothing_outside() {
        for a in catalog::all() {
            for (w, h) in [(1280.0, 720.0), (640.0, 360.0), (1920.0, 1080.0)] {
                let f = seat_frame(&a, Vec2::new(w, h));
                let (feet, board) = (f.layout().feet, f.layout().board);
                if feet.min.x >= board.min.x {
                    assert!(feet.min.y > board.min.y, "{} at {w}x{h}: feet {feet:?}", a.id);
                    continue;
                }
                let b = shape(&a);
                let eye = &a.seats;
                // The sill of the left door from the windscreen's foot backward: where it crosses the feet's left edge.
                let place = |share: f64| {
                    let from = [b.screen_x_m, b.sill_z_m.min(b.screen_z_m)];
                    let to = [eye.pilot_eye_x_m - 0.45, b.sill_z_m];
                    // Only as far as the eye.
                    let share = share * (from[0] - eye.pilot_eye_x_m - 0.01) / (from[0] - to[0]);
                    let [x, z] = [0, 1].map(|i| from[i] + (to[i] - from[i]) * share);
                    let ahead = x - eye.pilot_eye_x_m;
                    let left = b.half_m * 0.97 - eye.pilot_eye_y_m;
                    Vec2::new(
                        w / 2.0 - f.plane * narrow(left / ahead),
                        f.horizon + f.plane * narrow((eye.pilot_eye_z_m - z) / ahead),
                    )
                };
                let sill = (0..=400)
                    .map(|i| place(f64::from(i) / 400.0))
                    .find(|p| p.x <= feet.min.x);
                let sill = sill.expect("the sill runs on to the left");
                assert!(
                    feet.width() > 0.05 * w,
                    "{} at {w}x{h}: too small to read: {feet:?}",
                    a.id
                );
                assert!(
                    sill.y < feet.min.y + 2.0,
                    "{} at {w}x{h}: sill {sill}, feet {feet:?}",
                    a.id
                );
            }
        }
    }

    #[test]
    fn the_lens_puts_the_horizon_where_the_frame_says() {
        let a = catalog::find("trainer-high-2").expect("a built-in aeroplane");
        let f = seat_frame(&a, Vec2::new(1280.0, 720.0));
        let (open, view) = f.lens();
        // The middle of the whole picture is the horizon; the part shown begins `offset` below its top.
        let middle = view.full_size.y as f32 / 2.0 - view.offset.y;
        assert!((middle - f.horizon).abs() < 1.0, "{middle} and {}", f.horizon);
        let plane = view.full_size.y as f32 / 2.0 / (open / 2.0).tan();
        assert!((plane - f.plane).abs() < 1.0, "{plane} and {}", f.plane);
    }
}
