//! Scripts are exact to the tick, and say everything that is wrong with them.

use crate::help::WEAVE;
use toeline_dynamics::Controls;
use toeline_training::Script;

#[test]
fn orders_hold_from_their_tick_on() {
    let script = Script::parse("at 2 rudder 0.5\nat 4 parking_brake on rudder 0 # stop\nend 6\n").expect("sound");
    let got: Vec<(f64, bool)> = script.controls().map(|c| (c.rudder, c.parking_brake)).collect();
    assert_eq!(
        got,
        [
            (0.0, false),
            (0.0, false),
            (0.5, false),
            (0.5, false),
            (0.0, true),
            (0.0, true)
        ]
    );
    assert_eq!(script.controls().next(), Some(Controls::default()));
    assert_eq!(Script::parse(WEAVE).expect("sound").controls().count(), 2600);
}

#[test]
fn magnetos_and_starter_have_names_too() {
    use toeline_dynamics::engine::MagnetoSwitch::{Both, Left, Off, Right};
    let text =
        "at 0 magnetos off\nat 1 magnetos right starter on\nat 2 magnetos left starter off\nat 3 magnetos both\nend 4";
    let got: Vec<_> = Script::parse(text)
        .expect("sound")
        .controls()
        .map(|c| (c.magnetos, c.starter))
        .collect();
    assert_eq!(got, [(Off, false), (Right, true), (Left, false), (Both, false)]);
    for (wrong, said) in [
        (
            "at 0 magnetos 3\nend 1",
            "magnetos \"3\": write off, right, left or both",
        ),
        ("at 0 starter 1\nend 1", "starter \"1\": write on or off"),
    ] {
        let problems = Script::parse(wrong).expect_err("wrong");
        assert!(problems[0].text.contains(said), "{problems:?}");
    }
}

#[test]
fn everything_wrong_is_said_with_its_line() {
    let text = "at 0 throttle 1.5\nat 10 flaps 1\nat 10 rudder 0\ngo 7\nat x rudder 0\nat 20 rudder\nat 30 parking_brake 1\nat 40";
    let problems = Script::parse(text).expect_err("wrong");
    let said: Vec<String> = problems.iter().map(ToString::to_string).collect();
    for part in [
        "line 1: throttle 1.5 is outside 0 to 1",
        "line 2: \"flaps\" is no control",
        "line 3: tick 10 does not come after tick 10",
        "line 4: \"go\" is not an order",
        "line 5: \"x\" is not a tick",
        "line 6: rudder has no value",
        "line 7: parking_brake \"1\": write on or off",
        "line 8: no control after tick 40",
        "line 8: the script has no line \"end TICK\"",
    ] {
        assert!(said.iter().any(|s| s.starts_with(part)), "{part} in {said:?}");
    }
    assert_eq!(said.len(), 9);
    for wrong in [
        "",
        "end 3\nat 4 rudder 0",
        "end 99999999999",
        "at 0 rudder NaN\nend 1",
        "at 5 rudder 1\nend 3",
    ] {
        assert!(Script::parse(wrong).is_err(), "{wrong}");
    }
}
