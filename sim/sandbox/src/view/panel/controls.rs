//! Levers, switches and the transponder as they stand.

use super::Look;
use super::ink::{Ink, spoke};
use super::letters::{Hand, write};
use crate::convert::narrow;
use crate::panel::layout::{MAGNETO_DEG, Target, slot};
use crate::panel::mouse::magneto_middle;
use crate::panel::scales::feet;
use crate::panel::switches::{FLAP_POSITIONS, Transponder};
use crate::view::palette;
use bevy::prelude::*;
use toeline_dynamics::engine::MagnetoSwitch;

/// Draws them.
pub fn draw(ink: &mut Ink, look: &Look) {
    let (hands, switches, cell) = (look.hands, look.switches, look.layout.cell);
    for (target, area) in &look.layout.controls {
        let lever = |ink: &mut Ink, name: &str, up: f64, foot: &str, notches: u8| {
            Lever {
                area: *area,
                name,
                up: narrow(up),
                foot,
                notches,
            }
            .draw(ink, cell);
        };
        match target {
            Target::Throttle => lever(ink, "THR", hands.throttle, "IDLE", 0),
            Target::Mixture => lever(ink, "MIX", hands.mixture, "CUT", 0),
            Target::CarburettorHeat => {
                lever(ink, "CARB", 1.0 - hands.carburettor_heat, "HOT", 2);
            }
            Target::Flaps => {
                let up = 1.0 - f64::from(switches.flaps) / f64::from(FLAP_POSITIONS);
                lever(ink, "FLAP", up, "FULL", FLAP_POSITIONS + 1);
            }
            Target::Trim => lever(ink, "TRIM", 0.5 - switches.trim / 2.0, "UP", 3),
            Target::Magnetos => magnetos(ink, *area, hands.magnetos, hands.starter, cell),
            Target::TaxiLight => rocker(ink, *area, "TAXI", switches.taxi_light, cell),
            Target::LandingLight => rocker(ink, *area, "LAND", switches.landing_light, cell),
            Target::NavigationLights => rocker(ink, *area, "NAV", switches.navigation_lights, cell),
            Target::Beacon => rocker(ink, *area, "BCN", switches.beacon, cell),
            Target::Transponder => {
                let altitude_ft = feet(look.panel.shown.air.altitude_m);
                transponder(ink, *area, switches.transponder, altitude_ft, cell);
            }
            Target::HeadingKnob => knob(ink, *area),
        }
    }
}

struct Lever<'a> {
    area: Rect,
    name: &'a str,
    up: f32,
    foot: &'a str,
    notches: u8,
}

impl Lever<'_> {
    fn draw(&self, ink: &mut Ink, cell: f32) {
        let (area, slot) = (self.area, slot(self.area));
        let x = area.center().x;
        let quiet = Hand::upright(0.074 * cell, palette::NAME);
        write(ink, self.name, Vec2::new(x, area.min.y + 0.065 * area.height()), quiet);
        let foot = Vec2::new(x, area.max.y - 0.035 * area.height());
        write(
            ink,
            self.foot,
            foot,
            Hand {
                high: 0.062 * cell,
                ..quiet
            },
        );
        let groove = Rect::from_center_size(slot.center(), Vec2::new(0.05 * cell, slot.height()));
        ink.plate(groove, 0.025 * cell, palette::FACE);
        for i in 0..self.notches {
            let y = slot.min.y + slot.height() * f32::from(i) / f32::from(self.notches - 1);
            let [from, to] = [0.05, 0.10].map(|off| Vec2::new(x + off * cell, y));
            ink.line(&[from, to], 0.014 * cell, palette::RIM);
        }
        let y = slot.max.y - self.up * slot.height();
        let grip = Rect::from_center_size(Vec2::new(x, y), Vec2::new(0.20, 0.105) * cell);
        ink.plate(grip, 0.03 * cell, palette::FACE);
        let inside = Rect::from_center_size(grip.center(), grip.size() - Vec2::splat(0.024 * cell));
        ink.plate(inside, 0.022 * cell, palette::MARK);
        let half = Vec2::new(0.062 * cell, 0.0);
        ink.line(
            &[grip.center() - half, grip.center() + half],
            0.018 * cell,
            palette::FACE,
        );
    }
}

fn magnetos(ink: &mut Ink, area: Rect, at: MagnetoSwitch, starter: bool, cell: f32) {
    let middle = magneto_middle(area);
    let r = 0.17 * cell;
    let now = match (starter, at) {
        (true, _) => 4,
        (_, MagnetoSwitch::Off) => 0,
        (_, MagnetoSwitch::Right) => 1,
        (_, MagnetoSwitch::Left) => 2,
        (_, MagnetoSwitch::Both) => 3,
    };
    for (i, (deg, word)) in MAGNETO_DEG.iter().zip(["OFF", "R", "L", "BOTH", "START"]).enumerate() {
        let out = spoke(deg.to_radians());
        let chosen = i == now;
        let colour = if chosen { palette::SET } else { palette::NAME };
        ink.line(&[middle + out * 1.15 * r, middle + out * 1.32 * r], 0.02 * cell, colour);
        let place = middle + out * 1.72 * r + Vec2::new(out.x * 0.022 * cell * (word.len() as f32 - 1.0), 0.0);
        write(ink, word, place, Hand::upright(0.074 * cell, colour));
    }
    ink.disc(middle, r, palette::FACE);
    ink.ring(middle, r, 0.016 * cell, palette::RIM);
    let out = spoke(MAGNETO_DEG[now].to_radians());
    ink.line(
        &[middle - out * 0.62 * r, middle + out * 0.72 * r],
        0.085 * cell,
        palette::MARK,
    );
    ink.line(
        &[middle + out * 0.35 * r, middle + out * 0.72 * r],
        0.03 * cell,
        palette::FACE,
    );
    let foot = Vec2::new(area.center().x, area.max.y - 0.045 * cell);
    write(ink, "MAGNETOS", foot, Hand::upright(0.074 * cell, palette::NAME));
}

fn rocker(ink: &mut Ink, area: Rect, name: &str, on: bool, cell: f32) {
    let x = area.center().x;
    write(
        ink,
        name,
        Vec2::new(x, area.min.y + 0.05 * cell),
        Hand::upright(0.074 * cell, palette::NAME),
    );
    let body = Rect::from_corners(
        Vec2::new(x - 0.13 * cell, area.min.y + 0.115 * cell),
        Vec2::new(x + 0.13 * cell, area.max.y - 0.01 * cell),
    );
    ink.plate(body, 0.03 * cell, palette::FACE);
    ink.frame(
        body,
        0.03 * cell,
        0.014 * cell,
        if on { palette::SET } else { palette::RIM },
    );
    // On is up, as the word says; the colour only helps.
    let half = if on {
        Rect::from_corners(body.min, Vec2::new(body.max.x, body.center().y))
    } else {
        Rect::from_corners(Vec2::new(body.min.x, body.center().y), body.max)
    };
    let key = Rect::from_corners(
        half.min + Vec2::splat(0.016 * cell),
        half.max - Vec2::splat(0.016 * cell),
    );
    ink.plate(key, 0.02 * cell, if on { palette::SET } else { palette::RIM });
    let (word, ink_colour) = if on {
        ("ON", palette::FACE)
    } else {
        ("OFF", palette::MARK)
    };
    write(ink, word, key.center(), Hand::upright(0.066 * cell, ink_colour));
}

fn transponder(ink: &mut Ink, area: Rect, at: Transponder, altitude_ft: f64, cell: f32) {
    ink.plate(area, 0.05 * cell, palette::FACE);
    ink.frame(area, 0.05 * cell, 0.012 * cell, palette::RIM);
    let line = |share: f32| Vec2::new(area.center().x, area.min.y + share * area.height());
    write(
        ink,
        "TRANSPONDER",
        line(0.17),
        Hand::upright(0.066 * cell, palette::NAME),
    );
    let says = match at {
        Transponder::Off => String::new(),
        Transponder::Standby => "SILENT".into(),
        Transponder::OnWithAltitude => format!("SENDS {:.0} FT", (altitude_ft / 100.0).round() * 100.0),
    };
    write(ink, &says, line(0.44), Hand::upright(0.078 * cell, palette::MARK));
    for (i, (word, position)) in [
        ("OFF", Transponder::Off),
        ("STBY", Transponder::Standby),
        ("ALT", Transponder::OnWithAltitude),
    ]
    .into_iter()
    .enumerate()
    {
        let third = area.width() / 3.0;
        let low = Vec2::new(area.min.x + third * i as f32, area.min.y + 0.62 * area.height());
        let key = Rect::from_corners(low, Vec2::new(low.x + third, area.max.y));
        let key = Rect::from_center_size(key.center(), key.size() - Vec2::splat(0.04 * cell));
        let chosen = position == at;
        let (back, front) = if chosen {
            (palette::SET, palette::FACE)
        } else {
            (palette::BOARD, palette::NAME)
        };
        ink.plate(key, 0.02 * cell, back);
        write(ink, word, key.center(), Hand::upright(0.068 * cell, front));
    }
}

fn knob(ink: &mut Ink, area: Rect) {
    let (at, r) = (area.center(), area.width() / 2.0);
    ink.disc(at, r, palette::FACE);
    ink.disc(at, 0.86 * r, palette::RIM);
    for i in 0..8 {
        let out = spoke(std::f32::consts::TAU * i as f32 / 8.0);
        ink.line(&[at + out * 0.55 * r, at + out * 0.80 * r], 0.12 * r, palette::FACE);
    }
}
