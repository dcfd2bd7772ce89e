//! Time of day: what light there is, from where, and what colour the sky has. All figures ours, chosen by eye so that
//! paint, pavement and grass can be told apart at any hour; a real moonless night is darker.

use super::palette;
use bevy::prelude::*;
use toeline_training::exercise::Hour;

/// Time of day.
#[derive(Resource, Clone, Copy, Debug, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum TimeOfDay {
    /// Full daylight.
    #[default]
    Day,
    /// After sunset, with light left in the sky: lamps are lit.
    Dusk,
    /// Night with some moon.
    Night,
}

/// The light of an hour. Colours are linear.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// Unit vector toward sun or moon, in Bevy's axes.
    pub toward: Vec3,
    /// Light of sun or moon on a face turned to it.
    pub sun: Vec3,
    /// Light of the sky from all around.
    pub sky: Vec3,
    /// Sky at the horizon, and the haze.
    pub horizon: Color,
    /// Sky overhead.
    pub zenith: Color,
    /// How the colour changes upward: 1 evenly, less than 1 soon above the horizon.
    pub rise: f32,
    /// Least light of what shines by itself: faces of signs.
    pub signs: f32,
    /// Strength of the shadow that is drawn under an aeroplane.
    pub shade: f32,
}

impl TimeOfDay {
    /// All of them, lightest first.
    pub const ALL: [TimeOfDay; 3] = [TimeOfDay::Day, TimeOfDay::Dusk, TimeOfDay::Night];

    /// The light of an exercise's hour.
    pub fn of(hour: Hour) -> TimeOfDay {
        match hour {
            Hour::Day => TimeOfDay::Day,
            Hour::Dusk => TimeOfDay::Dusk,
            Hour::Night => TimeOfDay::Night,
        }
    }

    /// What it is called.
    pub fn name(self) -> &'static str {
        match self {
            TimeOfDay::Day => "Day",
            TimeOfDay::Dusk => "Dusk",
            TimeOfDay::Night => "Night",
        }
    }

    /// Whether lamps are lit.
    pub fn lamps_lit(self) -> bool {
        self != TimeOfDay::Day
    }

    /// The light of that hour.
    pub fn light(self) -> Light {
        match self {
            TimeOfDay::Day => Light {
                toward: Vec3::new(-0.45, 0.75, 0.50).normalize(),
                sun: Vec3::new(0.62, 0.61, 0.58),
                sky: Vec3::new(0.50, 0.51, 0.53),
                horizon: palette::HORIZON,
                zenith: palette::ZENITH,
                rise: 1.1,
                signs: 0.0,
                shade: 1.0,
            },
            TimeOfDay::Dusk => Light {
                toward: Vec3::new(-0.95, 0.22, 0.20).normalize(),
                sun: Vec3::new(0.09, 0.06, 0.04),
                sky: Vec3::new(0.125, 0.135, 0.18),
                horizon: palette::HORIZON_DUSK,
                zenith: palette::ZENITH_DUSK,
                rise: 0.55,
                signs: 0.55,
                shade: 0.6,
            },
            TimeOfDay::Night => Light {
                toward: Vec3::new(0.50, 0.70, -0.50).normalize(),
                sun: Vec3::new(0.010, 0.012, 0.018),
                sky: Vec3::new(0.016, 0.019, 0.028),
                horizon: palette::HORIZON_NIGHT,
                zenith: palette::ZENITH_NIGHT,
                rise: 0.8,
                signs: 0.50,
                shade: 0.35,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paint_pavement_and_grass_can_be_told_apart_at_any_hour() {
        for hour in [TimeOfDay::Day, TimeOfDay::Dusk, TimeOfDay::Night] {
            let light = hour.light();
            // On flat ground, as the shader has it, and as the screen shows it.
            let falls = light.sky + light.sun * light.toward.y;
            let seen = |colour: Color| {
                let c = colour.to_linear();
                let lit = Color::linear_rgb(c.red * falls.x, c.green * falls.y, c.blue * falls.z).to_srgba();
                Vec3::new(lit.red, lit.green, lit.blue)
            };
            let apart = |a: Color, b: Color| (seen(a) - seen(b)).abs().max_element();
            assert!(apart(palette::YELLOW, palette::ASPHALT) > 0.10, "{hour:?}: paint");
            assert!(apart(palette::WHITE, palette::RUNWAY) > 0.10, "{hour:?}: runway paint");
            assert!(apart(palette::GRASS, palette::ASPHALT) > 0.025, "{hour:?}: grass");
            assert!(
                apart(palette::BLACK, palette::ASPHALT) > 0.025,
                "{hour:?}: asphalt is not black"
            );
        }
    }

    #[test]
    fn it_gets_darker_toward_night() {
        let [day, dusk, night] = [TimeOfDay::Day, TimeOfDay::Dusk, TimeOfDay::Night].map(|h| h.light());
        for (more, less) in [(day, dusk), (dusk, night)] {
            // An eye calls a third of the light clearly darker.
            assert!(more.sky.element_sum() > 3.0 * less.sky.element_sum());
            assert!(more.sun.element_sum() > 3.0 * less.sun.element_sum());
        }
        assert!(!TimeOfDay::Day.lamps_lit() && TimeOfDay::Dusk.lamps_lit() && TimeOfDay::Night.lamps_lit());
    }
}
