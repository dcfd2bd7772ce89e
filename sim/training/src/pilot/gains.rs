//! Every figure that the model pilot decides by. All are ours; `docs/pilot.md` gives the reason of each.

/// Ticks from one decision to the next: 60 decisions a second, fine enough that the lag of feet and hands counts alone.
pub(super) const DECIDES_EVERY_TICKS: u64 = 4;

/// How far ahead in time the feet look on a steered nose wheel, seconds: the lag of pedal and linkage.
pub(super) const PEDAL_AHEAD_S: f64 = 0.14;
/// How far ahead in time the feet look when they steer by brake, seconds: the lag of toe and pressure.
pub(super) const TOE_AHEAD_S: f64 = 0.20;
/// How fast the nose wheel is brought back to the line, 1/s.
pub(super) const BACK_TO_LINE: f64 = 1.4;
/// Speed added where the way back to the line is divided by speed, m/s: no wild pedal at a crawl.
pub(super) const CRAWL_MPS: f64 = 0.6;
/// Most angle at which the line is made for, radians.
pub(super) const MOST_CUT_RAD: f64 = 0.35;
/// How fast the pedals learn what they have to hold against wind and propeller, 1/s.
pub(super) const TRIM: f64 = 0.8;
/// Most that they learn, times the moment at which the steering linkage gives way.
pub(super) const MOST_TRIM: f64 = 1.15;
/// Moment that the nose wheel cannot give, from which a brake helps, as a share of the most there is.
pub(super) const GIVES_WAY_SHARE: f64 = 0.02;
/// Share of full pedal up to which a way counts as nearly straight for that.
pub(super) const NEARLY_STRAIGHT: f64 = 0.5;
/// How fast the feet forget what the inside brake had learnt once it is not needed, seconds.
pub(super) const FORGETS_S: f64 = 0.5;
/// How fast the inside brake brings the turn to what it should be, 1/s.
pub(super) const TURN_RATE: f64 = 3.5;
/// The same for what has to be learnt, 1/s².
pub(super) const TURN_RATE_LEARNT: f64 = 3.0;
/// The four equal poles of steering by brake alone, 1/s.
pub(super) const CASTER_POLE: f64 = 1.7;
/// Share of the load on a main wheel that the inside brake is allowed to hold back with.
pub(super) const MOST_BRAKE_SHARE: f64 = 0.35;
/// Share of that which a turn may need by plan; the rest is for correcting.
pub(super) const PLANNED_SHARE: f64 = 0.7;
/// Least speed that a tight turn is planned for, m/s.
pub(super) const LEAST_TURN_MPS: f64 = 0.9;
/// Moment from which a toe goes on the brake to steer, as a share of the most there is.
pub(super) const TOES_ON_SHARE: f64 = 0.06;
/// Moment below which it comes off again.
pub(super) const TOES_OFF_SHARE: f64 = 0.01;
/// Moment of a tap on the brake, as a share of the most there is, and what a tap is worth: so many seconds of it.
pub(super) const TAP_SHARE: f64 = 0.30;
/// Seconds.
pub(super) const TAP_S: f64 = 0.15;
/// How long a press on the inside brake lasts before the throttle makes up for it, seconds.
pub(super) const LONG_PRESS_S: f64 = 0.6;
/// Slowest speed at which the feet steer, m/s.
pub(super) const STEERS_FROM_MPS: f64 = 0.1;

/// Radius of a bend above which the turn speed of the file does not apply, metres; the side acceleration does.
pub(super) const BEND_RADIUS_M: f64 = 40.0;
/// Share of the greatest turn speed that a turn is aimed at: what is over before the brakes come on stays below it.
pub(super) const TURN_SHARE: f64 = 0.88;
/// Fastest that a turn asks the nose wheel to swing, rad/s.
pub(super) const WHEEL_RADPS: f64 = 0.45;
/// Deceleration that slowing down and stopping are planned with, m/s².
pub(super) const SLOWS_MPS2: f64 = 0.45;
/// Acceleration asked for at most, m/s².
pub(super) const SPEEDS_UP_MPS2: f64 = 0.5;
/// How fast a difference of speed is made good, 1/s.
pub(super) const SPEED_GAIN: f64 = 0.7;
/// How fast the throttle hand learns what the ground takes, 1/s².
pub(super) const SPEED_LEARNT: f64 = 0.15;
/// How near the wanted speed it learns, m/s, and below which change of speed, m/s².
pub(super) const LEARNS_WITHIN_MPS: f64 = 0.5;
/// The change of speed.
pub(super) const LEARNS_BELOW_MPS2: f64 = 0.15;
/// How far ahead in time the throttle hand looks, seconds: the lag of the engine.
pub(super) const ENGINE_AHEAD_S: f64 = 1.0;
/// How long a change of speed takes to be felt, seconds.
pub(super) const FEELS_S: f64 = 0.2;
/// Rolling resistance expected before anything is learnt, as a share of the weight.
pub(super) const ROLLS_AT: f64 = 0.04;
/// Excess of speed from which the brakes come on, m/s.
pub(super) const BRAKES_FROM_MPS: f64 = 0.35;
/// The same as a share of the speed wanted, where that is less.
pub(super) const BRAKES_FROM_SHARE: f64 = 0.12;
/// How much faster than planned the speed must fall by itself for the feet to stay off the brakes, m/s².
pub(super) const SLOWS_BY_ITSELF_MPS2: f64 = 0.08;
/// The same on the way to a stop or a turn, where the aim falls from metre to metre; and shortfall at which they come off.
pub(super) const BRAKES_TO_STOP_MPS: f64 = 0.06;
/// Deceleration of a snub with which too much speed is taken off, m/s².
pub(super) const SNUB_MPS2: f64 = 0.8;
/// Hardest braking, m/s².
pub(super) const MOST_BRAKING_MPS2: f64 = 2.5;
/// How much before the place asked for a stop is aimed at, metres.
pub(super) const STOPS_BEFORE_M: f64 = 0.12;
/// Within this of the place the stop is made, metres.
pub(super) const STOPPED_WITHIN_M: f64 = 0.40;
/// Speed that counts as standing, m/s.
pub(super) const STANDS_MPS: f64 = 0.03;
/// Share of the grip of the main wheels that the brakes use at most while the aeroplane rolls.
pub(super) const NO_LOCK_SHARE: f64 = 0.7;
/// Pressure that holds a standing aeroplane.
pub(super) const HOLDS: f64 = 0.6;
/// How long it is held before a way is gone on with, seconds: look left, look right.
pub(super) const LOOKS_S: f64 = 5.0;
/// How long one look, or one thing said, takes, seconds.
pub(super) const LOOK_S: f64 = 1.0;
/// How long before a turn he begins to look into it, seconds.
pub(super) const LOOKS_BEFORE_TURN_S: f64 = 4.0;

/// Fastest travel of pedals, toes, throttle and yoke, full ranges a second.
pub(super) const PEDALS_PER_S: f64 = 4.0;
/// Toes.
pub(super) const TOES_PER_S: f64 = 4.0;
/// Throttle.
pub(super) const THROTTLE_PER_S: f64 = 0.6;
/// Yoke.
pub(super) const YOKE_PER_S: f64 = 1.5;
