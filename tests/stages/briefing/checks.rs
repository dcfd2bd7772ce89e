//! Where brakes, instruments and compass are checked on the sample's way, and who may pass its holding lines.

use super::{sample, way};
use toeline_engine::briefing::{self, CheckPlace, CheckedThere, WayBriefing};
use toeline_engine::clearance::CurveCell;
use toeline_engine::planning::{Outcome, Plan, Way};
use toeline_engine::route::{LegKind, StopKind, TurnMeans};

fn told(plan: &Plan) -> WayBriefing {
    way(&briefing::brief(plan)).clone()
}

fn place(w: &WayBriefing, kind: CheckedThere) -> Option<CheckPlace> {
    w.check_places.iter().find(|p| p.kind == kind).cloned()
}

fn way_of(plan: &mut Plan) -> &mut Way {
    match &mut plan.outcome {
        Outcome::Way(way) => way,
        Outcome::NoWay(_) => unreachable!("the sample has a way"),
    }
}

/// The sample with nothing near and no hot spot.
fn roomy() -> Plan {
    let mut plan = sample::plan("4", "240/12T");
    plan.field.hot_spots.clear();
    let way = way_of(&mut plan);
    let to_m = way.route.path.length_m();
    way.clearance.curve = vec![CurveCell {
        from_m: 0.0,
        to_m,
        gap_m: Some(9.0),
    }];
    plan
}

#[test]
fn brakes_first_then_a_turn_each_way() {
    let w = told(&roomy());
    let kinds: Vec<CheckedThere> = w.check_places.iter().map(|p| p.kind).collect();
    use CheckedThere::*;
    assert_eq!(kinds, [Brakes, RightTurn, Compass, LeftTurn]);
    assert_eq!((w.check_places[0].at_m, w.check_places[0].leg), (0.0, 1));
    assert!(
        w.check_places[0].say.contains("both brakes together"),
        "{:?}",
        w.check_places[0]
    );
    let right = place(&w, RightTurn).expect("a turn");
    assert_eq!((right.at_m, right.leg), (20.0, 1));
    assert!(
        right
            .say
            .contains("heading indicator and compass rise, turn needle right, ball left (it swings out)"),
        "{}",
        right.say
    );
    let left = place(&w, LeftTurn).expect("a turn");
    assert!(
        left.say
            .contains("heading indicator and compass fall, turn needle left, ball right (it swings out)"),
        "{}",
        left.say
    );
    assert!(w.no_check_place.is_empty(), "{:?}", w.no_check_place);
}

#[test]
fn eyes_stay_outside_at_lines_in_hot_spots_on_runways_and_where_it_is_tight() {
    let missing = |plan: &Plan| {
        let w = told(plan);
        assert!(place(&w, CheckedThere::LeftTurn).is_none(), "{:?}", w.check_places);
        assert!(place(&w, CheckedThere::RightTurn).is_some());
        let list = &w.no_check_place;
        assert!(
            list.len() == 1 && list[0].starts_with("Every turn to the left of 30 deg or more"),
            "{list:?}"
        );
    };
    // The sample's own hot spot lies about its left turn.
    let mut plan = roomy();
    plan.field.hot_spots = sample::field("4").hot_spots;
    missing(&plan);

    let mut plan = roomy();
    let turn = way_of(&mut plan).route.turns[1].clone();
    let way = way_of(&mut plan);
    let mut stop = way.route.stops[1].clone();
    (stop.kind, stop.at_m) = (StopKind::HoldShort, turn.to_m + 14.0);
    way.route.stops.insert(1, stop);
    missing(&plan);
    way_of(&mut plan).route.stops[1].at_m = turn.to_m + 16.0;
    assert!(
        place(&told(&plan), CheckedThere::LeftTurn).is_some(),
        "16 m from the line"
    );

    let mut plan = roomy();
    way_of(&mut plan).clearance.curve.push(CurveCell {
        from_m: turn.from_m - 1.0,
        to_m: turn.from_m + 1.0,
        gap_m: Some(3.9),
    });
    missing(&plan);

    let mut plan = roomy();
    way_of(&mut plan).route.legs[2].kind = LegKind::Runway;
    missing(&plan);

    let mut plan = roomy();
    way_of(&mut plan).route.turns[1].means = TurnMeans::NotPossible;
    let w = told(&plan);
    assert!(
        w.no_check_place[0].starts_with("No turn to the left of 30 deg or more"),
        "{w:?}"
    );
    way_of(&mut plan).route.turns.clear();
    assert_eq!(told(&plan).no_check_place.len(), 2);
}

#[test]
fn after_a_push_by_hand_the_brakes_come_when_it_rolls() {
    let mut plan = roomy();
    way_of(&mut plan).route.legs[0].kind = LegKind::HandPush;
    let w = told(&plan);
    let brakes = place(&w, CheckedThere::Brakes).expect("a place");
    assert_eq!((brakes.leg, brakes.at_m), (2, w.legs[0].length_m));
    assert!(brakes.say.contains("after the push by hand"), "{}", brakes.say);
}

/// Long enough by hand: at 6 m/s, speeding up and braking at 0.5 m/s² take 36 m each, eight seconds to settle 48 m, two to
/// read 12 m: 132 m. The sample's taxiway B is straight for 142 m between its turns.
#[test]
fn the_compass_is_trusted_where_it_has_come_to_rest() {
    let plan = roomy();
    let w = told(&plan);
    let compass = place(&w, CheckedThere::Compass).expect("a place");
    let begins_m = 20.0 + 6.0 * std::f64::consts::FRAC_PI_2;
    // The heading follows the nose wheel out of the turn: within 2 degrees of where it ends after some metres.
    assert_eq!(compass.leg, 2);
    assert!(
        (begins_m + 84.0..begins_m + 90.0).contains(&compass.at_m),
        "{compass:?}, straight from {begins_m}"
    );
    assert!(
        compass.say.contains("heading indicator 087, compass 087"),
        "{}",
        compass.say
    );
    // At 7 m/s it needs 178 m: there is none, and the briefing says where to compare instead.
    let mut fast = roomy();
    way_of(&mut fast).route.legs[1].speed_mps = 7.0;
    let w = told(&fast);
    assert!(place(&w, CheckedThere::Compass).is_none(), "{w:?}");
    assert!(
        w.no_check_place.iter().any(|s| s.contains("while standing still")),
        "{:?}",
        w.no_check_place
    );
    // A stop half way breaks it.
    let mut stopped = roomy();
    let way = way_of(&mut stopped);
    let mut stop = way.route.stops[1].clone();
    (stop.kind, stop.at_m) = (StopKind::Place, 90.0);
    way.route.stops.insert(1, stop);
    assert!(place(&told(&stopped), CheckedThere::Compass).is_none());
}

/// Northern hemisphere (standards C6): turning from north the compass lags; on east speeding up shows north. In the southern
/// one each is the other way round; at the magnetic equator neither is worth a word.
#[test]
fn the_dip_lies_as_the_hemisphere_has_it() {
    let say = |lat_deg: f64, lon_deg: f64, kind| {
        let mut plan = roomy();
        (plan.field.origin.lat_deg, plan.field.origin.lon_deg) = (lat_deg, lon_deg);
        place(&told(&plan), kind).expect("a place").say
    };
    use CheckedThere::{Compass, RightTurn};
    let (turn, straight) = (say(47.25, 8.5, RightTurn), say(47.25, 8.5, Compass));
    assert!(
        turn.contains("the compass lags at first, perhaps the wrong way"),
        "{turn}"
    );
    assert!(
        straight.contains("speeding up swings it toward north, braking toward south"),
        "{straight}"
    );
    assert!(straight.contains("turning off it follows"), "on east: {straight}");
    let (turn, straight) = (say(-34.0, 150.0, RightTurn), say(-34.0, 150.0, Compass));
    assert!(turn.contains("the compass runs ahead at first"), "{turn}");
    assert!(
        straight.contains("speeding up swings it toward south, braking toward north"),
        "{straight}"
    );
    // Dip about nought: Peru.
    let (turn, straight) = (say(-12.0, -77.0, RightTurn), say(-12.0, -77.0, Compass));
    assert!(!turn.contains("here the compass"), "{turn}");
    assert!(straight.contains("hardly moves it on this heading"), "{straight}");
}

#[test]
fn on_north_the_compass_bears_speed_and_lies_in_turns() {
    // The long straight turned to north: declination 90 degrees east makes east true north magnetic.
    let mut plan = roomy();
    plan.declination.deg = 90.0;
    let north = place(&told(&plan), CheckedThere::Compass).expect("a place").say;
    assert!(
        north.contains("hardly moves it on this heading") && north.contains("turning off it lags"),
        "{north}"
    );
    plan.declination.deg = -90.0;
    let south = place(&told(&plan), CheckedThere::Compass).expect("a place").say;
    assert!(south.contains("turning off it runs ahead"), "{south}");
}

#[test]
fn who_may_pass_is_said_at_lines_and_at_the_end_at_a_runway_only() {
    let mut plan = roomy();
    let w = told(&plan);
    assert_eq!(w.stops.iter().filter(|s| s.who_may_pass.is_some()).count(), 1);
    let end = w.stops.last().expect("an end").who_may_pass.clone().expect("said");
    for said in [
        "permission that names runway 08/26",
        "read back",
        "Without a tower after looking both ways",
        "on the radio",
    ] {
        assert!(end.contains(said), "{end}");
    }
    let way = way_of(&mut plan);
    (way.route.stops[1].kind, way.route.stops[1].of) = (StopKind::HoldShort, Some("helipad H".into()));
    way.route.stops[2].of = None;
    let w = told(&plan);
    let who = w.stops[1].who_may_pass.as_ref().expect("said");
    assert!(who.contains("only when told to go past helipad H"), "{who}");
    assert!(w.stops[2].who_may_pass.is_none(), "an end that is no runway");
}
