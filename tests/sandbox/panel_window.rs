//! The real program under a virtual screen, worked with a real mouse: a click on the magneto switch, a drag of the throttle,
//! a light. Skipped, in words, where no virtual screen is installed. Nothing is waited for by the clock alone: the program
//! reports its ticks, and each step waits for the report that shows it.

mod screen;

use bevy::math::Vec2;
use screen::{Folder, Screen, is_report, number};
use toeline_dynamics::engine::MagnetoSwitch;
use toeline_model::aircraft::catalog;
use toeline_sandbox::panel::layout::{MAGNETO_DEG, Target, slot};
use toeline_sandbox::panel::mouse::magneto_middle;
use toeline_sandbox::view::panel::seat_frame::seat_frame;
use toeline_training::EventKind;

const WINDOW: Vec2 = Vec2::new(640.0, 360.0);

#[test]
fn a_real_mouse_works_magnetos_throttle_and_lights() {
    let Some(screen) = Screen::start() else { return };
    let folder = Folder::new("panel-window");
    let record = folder.file("attempt.json");
    let mut w = screen.open(&[
        &folder.job().display().to_string(),
        "--straight-in",
        "--view",
        "seat",
        "--size",
        "640x360",
        "--edges",
        "rough",
        "--report-every",
        "24",
        "--record",
        &record.display().to_string(),
    ]);
    w.wait("the drive begins", is_report);
    let window = w.id();
    let go = |w: &screen::Window, at: Vec2| {
        let [x, y] = [at.x, at.y].map(|v| (v.round() as i32).to_string());
        w.tool(&["mousemove", "--window", &window, &x, &y]);
    };
    let throttle = |line: &str| is_report(line).then(|| number(line, "throttle"));

    // The places are worked out as the program does it.
    let trainer = catalog::find("trainer-high-2").expect("a built-in aeroplane");
    let layout = seat_frame(&trainer, WINDOW).layout();
    let area = |t| layout.of(t).expect("it is on the panel");
    let rad = MAGNETO_DEG[1].to_radians();
    go(
        &w,
        magneto_middle(area(Target::Magnetos)) + Vec2::new(rad.sin(), -rad.cos()) * 0.2 * layout.cell,
    );
    w.tool(&["mousedown", "1"]);
    w.wait("a click on R", |l| l.contains("magnetos Right"));
    w.tool(&["mouseup", "1"]);
    let lever = slot(area(Target::Throttle));
    // The grip stands at the foot of its slot; the drag goes up half the travel.
    let foot = Vec2::new(lever.center().x, lever.max.y);
    go(&w, foot);
    w.tool(&["mousedown", "1"]);
    let taken = w.wait("the throttle taken hold of", |l| l.contains("hand Some(Throttle)"));
    assert_eq!(throttle(&taken), Some(0.0), "it does not jump: {taken}");
    let mut most = 0.0;
    for part in 1..=5 {
        go(&w, foot - Vec2::new(0.0, lever.height() * 0.1 * part as f32));
        let wanted = 0.1 * f64::from(part) - 0.06;
        let line = w.wait("the throttle follows", |l| throttle(l).is_some_and(|t| t > wanted));
        most = throttle(&line).unwrap_or(0.0);
    }
    assert!((most - 0.5).abs() < 0.06, "half of the travel gave {most}");
    w.tool(&["mouseup", "1"]);
    go(&w, area(Target::TaxiLight).center());
    w.tool(&["mousedown", "1"]);
    w.wait("the taxi light", |l| l.contains("taxi light true"));
    w.tool(&["mouseup", "1"]);
    w.key_until("Escape", "attempt written");
    let attempt = toeline_training::store::load(&record).expect("the attempt was written");
    assert!(attempt.inputs.iter().any(|c| c.magnetos == MagnetoSwitch::Right));
    let greatest = attempt.inputs.iter().map(|c| c.throttle).fold(0.0, f64::max);
    assert!((greatest - 0.5).abs() < 0.06, "{greatest}");
    assert!(
        attempt
            .events
            .iter()
            .any(|e| e.kind == EventKind::Switched && e.text == "taxi light on"),
        "{:?}",
        attempt.events
    );
}
