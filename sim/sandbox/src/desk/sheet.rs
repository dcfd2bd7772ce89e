//! The map as a sheet under a window: which metre lies under which pixel. North is up.

use bevy::prelude::Resource;
use toeline_model::Xy;
use toeline_model::frame::xy;

/// Closest and widest that one may look, metres a pixel (ours).
const MOST_M_PER_PX: f64 = 40.0;
const LEAST_M_PER_PX: f64 = 0.02;
/// Share of the view that the field takes when it is fitted (ours).
const FITTED: f64 = 0.90;

/// A rectangle of the window, pixels from its top left corner.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct View {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

impl View {
    /// Whether a pixel lies inside.
    pub fn holds(&self, px: Xy) -> bool {
        (self.left..self.left + self.width).contains(&px.x) && (self.top..self.top + self.height).contains(&px.y)
    }

    fn middle(&self) -> Xy {
        xy(self.left + self.width / 2.0, self.top + self.height / 2.0)
    }
}

/// Where the sheet lies under its view.
#[derive(Resource, Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// The view.
    pub view: View,
    /// Point of the field under the middle of the view, local metres.
    pub centre: Xy,
    /// Metres a pixel.
    pub m_per_px: f64,
}

impl Default for Sheet {
    fn default() -> Sheet {
        Sheet {
            view: View::default(),
            centre: xy(0.0, 0.0),
            m_per_px: 1.0,
        }
    }
}

impl Sheet {
    /// The pixel over a point of the field.
    pub fn px(&self, p: Xy) -> Xy {
        let d = (p - self.centre) * (1.0 / self.m_per_px);
        let m = self.view.middle();
        xy(m.x + d.x, m.y - d.y)
    }

    /// The point of the field under a pixel.
    pub fn point(&self, px: Xy) -> Xy {
        let d = px - self.view.middle();
        self.centre + xy(d.x, -d.y) * self.m_per_px
    }

    /// Moves the sheet by pixels, as a hand that holds it would.
    pub fn pan(&mut self, by_px: Xy) {
        self.centre = self.centre - xy(by_px.x, -by_px.y) * self.m_per_px;
    }

    /// Makes everything larger (above 1) or smaller about a pixel that keeps its place.
    pub fn zoom(&mut self, about_px: Xy, factor: f64) {
        if !factor.is_finite() || factor <= 0.0 {
            return;
        }
        let held = self.point(about_px);
        self.m_per_px = (self.m_per_px / factor).clamp(LEAST_M_PER_PX, MOST_M_PER_PX);
        self.centre = self.centre + (held - self.point(about_px));
    }

    /// Shows a box of the field as large as it fits.
    pub fn fit(&mut self, low: Xy, high: Xy) {
        let (wide, tall) = ((high.x - low.x).max(10.0), (high.y - low.y).max(10.0));
        let (w, h) = (self.view.width.max(1.0) * FITTED, self.view.height.max(1.0) * FITTED);
        self.m_per_px = (wide / w).max(tall / h).clamp(LEAST_M_PER_PX, MOST_M_PER_PX);
        self.centre = low.lerp(high, 0.5);
    }

    /// A round length for a scale bar of at most `most_px` pixels: its metres and its pixels.
    pub fn scale_bar(&self, most_px: f64) -> (f64, f64) {
        let most_m = (most_px * self.m_per_px).max(1e-9);
        let ten = 10_f64.powf(most_m.log10().floor());
        let round = [5.0, 2.0, 1.0].into_iter().map(|k| k * ten).find(|m| *m <= most_m);
        let metres = round.unwrap_or(ten);
        (metres, metres / self.m_per_px)
    }
}
