//! The feet: pedals first, and the inside brake when full pedal is not enough.
//!
//! FAA Airplane Flying Handbook, chapter 2: start the turn with the pedal; after full pedal is reached, add inside brake as
//! needed. A freely castering nose wheel has no pedal to begin with: there the rudder in the propeller's blast comes
//! first, and the brake does the rest.

use super::ahead::{self, Place};
use super::gains;
use super::plane::Plane;
use super::seen::Seen;
use toeline_model::angle::wrap;
use toeline_model::{DrivenPath, math};

/// What the feet ask for.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct FeetAsk {
    /// Pedals, -1 (left) to 1 (right).
    pub(super) rudder: f64,
    /// Moment that one brake is to give, N·m, left positive.
    pub(super) moment_nm: f64,
}

/// What the feet have learnt so far.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Feet {
    /// How old that is what he sees, seconds: he looks ahead by as much, as far as he feels the turn going.
    late_s: f64,
    wind_nm: f64,
    learnt_nm: f64,
}

impl Feet {
    /// Feet that have learnt nothing yet, for eyes that are so many seconds late.
    pub(super) fn seeing_late(late_s: f64) -> Feet {
        Feet {
            late_s,
            ..Feet::default()
        }
    }

    /// The same with all that was learnt forgotten.
    pub(super) fn afresh(&self) -> Feet {
        Feet::seeing_late(self.late_s)
    }

    /// What to do with the feet now; `dt_s` since the last decision.
    pub(super) fn decide(&mut self, plane: &Plane, path: &DrivenPath, place: Place, seen: &Seen, dt_s: f64) -> FeetAsk {
        if seen.nose_mps < gains::STEERS_FROM_MPS || seen.forward_mps <= 0.0 {
            return FeetAsk::default();
        }
        if plane.steered {
            self.steered(plane, path, place, seen, dt_s)
        } else {
            self.by_brake(plane, path, place, seen, dt_s)
        }
    }

    fn steered(&mut self, plane: &Plane, path: &DrivenPath, place: Place, seen: &Seen, dt_s: f64) -> FeetAsk {
        let ahead_s = gains::PEDAL_AHEAD_S + self.late_s;
        let then = ahead::led(path, place.way_m + seen.nose_mps * ahead_s);
        let heading = seen.heading_rad + seen.turn_radps * ahead_s;
        let now = ahead::led(path, place.way_m);
        // Where the nose wheel will be beside the line when the foot has its effect.
        let off_direction = wrap(seen.heading_rad + seen.nose_drift_rad - now.toward_rad);
        let offset = place.offset_m + seen.nose_mps * ahead_s * math::sin(off_direction);
        let cut = math::atan(gains::BACK_TO_LINE * offset / (seen.nose_mps + gains::CRAWL_MPS))
            .clamp(-gains::MOST_CUT_RAD, gains::MOST_CUT_RAD);
        let want = wrap(then.toward_rad - heading) - cut;
        let want = want.clamp(-plane.params.caster_stop_rad, plane.params.caster_stop_rad);

        let axle_mps = seen.nose_mps * math::cos(want);
        let turn = axle_mps * math::tan(want) / plane.wheelbase_m;
        let growth = axle_mps * seen.nose_mps * then.wheel_per_m / plane.wheelbase_m;
        let turning_nm = plane.turning_nm(axle_mps, turn, growth);
        // What turning and wind take, and how much of it the nose wheel can give before its linkage gives way.
        let taken_nm = turning_nm + self.wind_nm;
        let ask = want + plane.bend_rad(taken_nm, want);
        let limit = plane.params.pedal_limit_rad;
        // Where the wheel is swung beyond what the linkage leads, the brakes lead: in and, when it is late, out again.
        let swung = seen.nose_drift_rad.abs() > limit + plane.yields_rad();
        let wheel = if swung && want.abs() < seen.nose_drift_rad.abs() {
            seen.nose_drift_rad
        } else {
            want
        };
        let rest_nm = taken_nm - plane.nose_moment_nm(ask.clamp(-limit, limit), wheel);

        // After full pedal the inside brake. On a straight way before it, too, where the wind bends the linkage as far as it
        // goes: more pedal gives nothing more there.
        let pedal_full = ask.abs() > limit && seen.pedals * -ask > 0.98 * ask.abs();
        let bent = self.wind_nm.abs() > plane.linkage_nm_per_rad() * plane.yields_rad();
        let full = pedal_full || (bent && want.abs() < gains::NEARLY_STRAIGHT * limit);
        let mut moment_nm = 0.0;
        if swung || (full && rest_nm.abs() > gains::GIVES_WAY_SHARE * plane.most_moment_nm) {
            let short = turn - (seen.turn_radps + seen.turn_radps2 * ahead_s);
            let gain = plane.inertia_kgm2;
            self.learnt_nm += gain * gains::TURN_RATE_LEARNT * short * dt_s;
            self.learnt_nm = self.learnt_nm.clamp(-plane.most_moment_nm, plane.most_moment_nm);
            moment_nm = rest_nm + gain * gains::TURN_RATE * short + self.learnt_nm;
            // One brake only, the one that helps: the other has nothing to do but end a tight turn.
            if !swung && moment_nm * rest_nm < 0.0 {
                moment_nm = 0.0;
            }
        } else {
            self.learnt_nm -= self.learnt_nm * (dt_s / (gains::FORGETS_S + dt_s));
            let should = wrap(now.toward_rad - seen.heading_rad) - cut;
            // More than the linkage gives is no wind: the wheel is still on its way.
            let yields = plane.yields_rad();
            let short = (should - seen.nose_drift_rad).clamp(-yields, yields);
            if seen.nose_mps > gains::CRAWL_MPS {
                self.wind_nm += gains::TRIM * plane.linkage_nm_per_rad() * short * dt_s;
                let most_nm = gains::MOST_TRIM * plane.linkage_nm_per_rad() * plane.yields_rad();
                self.wind_nm = self.wind_nm.clamp(-most_nm, most_nm);
            }
        }
        FeetAsk {
            rudder: -(ask / limit).clamp(-1.0, 1.0),
            moment_nm,
        }
    }

    /// Heading and place of the main axle are brought to those of the path by moments alone: y''' = v·M/J, with four equal
    /// poles, the fourth for what has to be learnt.
    fn by_brake(&mut self, plane: &Plane, path: &DrivenPath, place: Place, seen: &Seen, dt_s: f64) -> FeetAsk {
        let ahead_s = gains::TOE_AHEAD_S + self.late_s;
        let v = seen.nose_mps;
        let then = ahead::led(path, place.way_m + v * ahead_s);
        let (sin, cos) = (math::sin(then.wheel_rad), math::cos(then.wheel_rad));
        let turn_then = seen.turn_radps + seen.turn_radps2 * ahead_s;
        let heading_then = seen.heading_rad + (seen.turn_radps + turn_then) / 2.0 * ahead_s;
        let off_heading = wrap(heading_then - then.heading_rad);
        let now = ahead::led(path, place.way_m);
        let off_direction = wrap(seen.heading_rad + seen.nose_drift_rad - now.toward_rad);
        let offset_then = place.offset_m + v * ahead_s * math::sin(off_direction);
        let axle_offset = offset_then - plane.wheelbase_m * math::sin(off_heading);

        let p = gains::CASTER_POLE;
        let turn = v * sin / plane.wheelbase_m;
        let growth = v * v * cos * then.wheel_per_m / plane.wheelbase_m;
        let speed = v.max(1.0);
        let back = 4.0 * p * (turn_then - turn) + 6.0 * p * p * off_heading + 4.0 * p * p * p * axle_offset / speed;
        let ask_nm = plane.turning_nm(v * cos, turn_then, growth) - plane.inertia_kgm2 * back + self.learnt_nm;

        let rudder_nm = plane.rudder_nm(seen.through_mps, seen.thrust_n);
        let rudder = if rudder_nm > 0.01 * plane.most_moment_nm {
            (ask_nm / rudder_nm).clamp(-1.0, 1.0)
        } else {
            0.0
        };
        let rest_nm = ask_nm - rudder * rudder_nm.max(0.0);
        let most = plane.most_moment_nm;
        if rest_nm.abs() < most && v > gains::CRAWL_MPS {
            self.learnt_nm -= plane.inertia_kgm2 * p * p * p * p * axle_offset / speed * dt_s;
            self.learnt_nm = self.learnt_nm.clamp(-most, most);
        }
        FeetAsk {
            rudder: -rudder,
            moment_nm: rest_nm.clamp(-most, most),
        }
    }
}
