//! The desk without a window: what lies under the pointer, what the pointer does, the request that follows, planning in the
//! background, errors in the engine's words, scenes that follow one another, drills. The real window is in `desk_window`.

mod desk_window;
mod screen;

use bevy::prelude::*;
use bevy::time::TimeUpdateStrategy;
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};
use toeline_engine::briefing::Answer;
use toeline_engine::job::{FORMAT, Job};
use toeline_engine::planning::Outcome;
use toeline_engine::{Request, notices, read};
use toeline_model::aircraft::catalog;
use toeline_model::date::{Date, TimeOfDay};
use toeline_model::frame::xy;
use toeline_model::{Airfield, Wind, Xy};
use toeline_sandbox::core_plugins;
use toeline_sandbox::desk::choice::{Choice, Which, find_fields};
use toeline_sandbox::desk::core::Deed;
use toeline_sandbox::desk::ends::{Ends, Role};
use toeline_sandbox::desk::hand::{Grip, Ground, Hand, Input, Wish};
use toeline_sandbox::desk::labels::{Subject, place};
use toeline_sandbox::desk::pick::{Place, asked, hit, label, spot};
use toeline_sandbox::desk::planner::Planner;
use toeline_sandbox::desk::sheet::{Sheet, View};
use toeline_sandbox::desk::side::{LegLine, Lit};
use toeline_sandbox::desk::start::wind_says;
use toeline_sandbox::desk::table::{Table, Trouble};
use toeline_sandbox::desk::{drawing, legs};
use toeline_sandbox::drive::{Drive, Phase};
use toeline_sandbox::scene::{NextScene, OfScene, Raise, Scene};
use toeline_sandbox::view::field::extent;
use toeline_sandbox::view::readout::credit;
use toeline_training::DrillKind;

fn map_file() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../maps/quillmere.geojson")
}

fn field() -> Airfield {
    let text = std::fs::read_to_string(map_file()).expect("the demo field");
    read::read(&text).expect("the demo field is sound").field
}

fn day() -> Date {
    Date::parse("2026-07-04").expect("a day")
}

fn stand(f: &Airfield, name: &str) -> Place {
    Place::Stand(
        f.stands
            .iter()
            .position(|s| s.name.as_deref() == Some(name))
            .expect("a stand"),
    )
}

fn area(f: &Airfield, name: &str) -> Place {
    let i = f.check_areas.iter().position(|s| s.name.as_deref() == Some(name));
    Place::CheckArea(i.expect("an area"))
}

fn hold(f: &Airfield, name: &str) -> Place {
    let i = f.holding_positions.iter().position(|s| s.name.as_deref() == Some(name));
    Place::Hold(i.expect("a holding position"))
}

fn runway(f: &Airfield, designator: &str) -> Place {
    for (i, r) in f.runways.iter().enumerate() {
        for end in 0..2 {
            if r.designators[end].as_deref() == Some(designator) {
                return Place::RunwayEnd(i, end);
            }
        }
    }
    panic!("no runway {designator}")
}

/// The whole field in a view of a window.
fn sheet(f: &Airfield, width: f64, height: f64) -> Sheet {
    let mut s = Sheet {
        view: View {
            left: 0.0,
            top: 0.0,
            width,
            height,
        },
        ..Sheet::default()
    };
    let (low, high) = extent(f);
    s.fit(low, high);
    s
}

#[test]
fn a_point_of_the_field_comes_back_from_its_pixel_and_zoom_keeps_what_is_under_the_pointer() {
    let f = field();
    let mut s = sheet(&f, 900.0, 700.0);
    let p = xy(123.4, -56.7);
    assert!(s.point(s.px(p)).distance(p) < 1e-9);
    assert!(s.px(xy(0.0, 10.0)).y < s.px(xy(0.0, 0.0)).y, "north is up");
    let px = xy(200.0, 150.0);
    let under = s.point(px);
    s.zoom(px, 3.0);
    assert!(s.point(px).distance(under) < 1e-9);
    s.pan(xy(40.0, -25.0));
    assert!(
        s.point(xy(240.0, 125.0)).distance(under) < 1e-9,
        "the sheet goes with the hand"
    );
    for nonsense in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        let before = s;
        s.zoom(px, nonsense);
        assert_eq!(s, before);
    }
}

#[test]
fn a_fitted_field_lies_inside_its_view_whatever_its_shape() {
    let f = field();
    for (w, h) in [(908.0, 720.0), (404.0, 360.0), (320.0, 96.0), (1.0, 1.0)] {
        let s = sheet(&f, w, h);
        let (low, high) = extent(&f);
        for corner in [low, high] {
            let px = s.px(corner);
            assert!(w < 2.0 || s.view.holds(px), "{px:?} outside {w}x{h}");
        }
        let (metres, px) = s.scale_bar(w * 0.25);
        assert!(px <= w * 0.25 + 1e-9 && (metres / px / s.m_per_px - 1.0).abs() < 1e-9);
    }
}

#[test]
fn the_pointer_finds_stands_positions_areas_and_runway_ends_and_nothing_on_the_grass() {
    let f = field();
    let s = sheet(&f, 900.0, 700.0);
    let reach = 8.0 * s.m_per_px;
    for place in [
        stand(&f, "4"),
        stand(&f, "H1"),
        area(&f, "E"),
        area(&f, "W"),
        hold(&f, "A1"),
        hold(&f, "D1"),
        runway(&f, "26"),
        runway(&f, "08"),
        runway(&f, "17"),
        runway(&f, "35"),
    ] {
        let at = spot(&f, place).expect("a spot");
        assert_eq!(hit(&f, at, 0.5), Some(place), "{}", label(&f, place));
    }
    // Beside a point, within reach.
    let a1 = spot(&f, hold(&f, "A1")).expect("a spot");
    assert_eq!(hit(&f, a1 + xy(reach * 0.9, 0.0), reach), Some(hold(&f, "A1")));
    // A third of the way along the runway is still its nearer end.
    let (from, to) = (
        spot(&f, runway(&f, "08")).expect("a spot"),
        spot(&f, runway(&f, "26")).expect("a spot"),
    );
    assert_eq!(hit(&f, from.lerp(to, 0.3), 1.0), Some(runway(&f, "08")));
    assert_eq!(hit(&f, from.lerp(to, 0.8), 1.0), Some(runway(&f, "26")));
    assert_eq!(hit(&f, xy(5000.0, 5000.0), 20.0), None);
    assert_eq!(hit(&Airfield::bare(f.origin, 2.0), xy(0.0, 0.0), 50.0), None);
}

#[test]
fn a_place_is_asked_for_by_name_or_by_identity_where_the_name_says_too_little() {
    let mut f = field();
    assert_eq!(asked(&f, stand(&f, "4")), "4");
    assert_eq!(asked(&f, area(&f, "E")), "E");
    assert_eq!(asked(&f, hold(&f, "D1")), "D1");
    assert_eq!(asked(&f, runway(&f, "26")), "26");
    let Place::Stand(four) = stand(&f, "4") else {
        unreachable!()
    };
    let Place::Stand(five) = stand(&f, "5") else {
        unreachable!()
    };
    f.stands[five].name = Some("4".into());
    assert_eq!(asked(&f, Place::Stand(four)), f.stands[four].id);
    f.stands[five].name = None;
    assert_eq!(asked(&f, Place::Stand(five)), f.stands[five].id);
    assert!(label(&f, Place::Stand(five)).contains("without name"));
    assert_eq!(
        label(&f, Place::Stand(9999)),
        "",
        "a place that is gone has no label and no panic"
    );
}

#[test]
fn clicks_make_the_request_that_the_command_line_would_make() {
    let f = field();
    let a = catalog::find("trainer-high-2").expect("built in");
    let wind = Wind::parse("240/12T").expect("a wind");
    let mut ends = Ends::default();
    assert!(ends.missing().expect("words").contains("stand"));
    ends.click(stand(&f, "4"));
    assert!(ends.missing().expect("words").contains("holding position"));
    ends.click(area(&f, "E"));
    ends.click(area(&f, "W"));
    ends.click(area(&f, "W"));
    assert!(ends.request(&f, &a, wind, day()).is_none(), "the end is missing");
    ends.click(hold(&f, "D1"));
    ends.click(runway(&f, "26"));
    assert_eq!(ends.missing(), None);
    let request = ends.request(&f, &a, wind, day()).expect("a request");
    assert_eq!((request.from.as_str(), request.to.as_str()), ("4", "26"));
    assert_eq!(request.via, ["E"], "the second click took W out");
    assert_eq!(request.margin_m, toeline_engine::request::DEFAULT_MARGIN_M);
    // A moved point keeps its role, and no other kind of place takes it.
    let moved = ends.moved(Role::From, stand(&f, "H1"));
    assert_eq!(moved.from, Some(stand(&f, "H1")));
    assert_eq!(ends.moved(Role::From, hold(&f, "A1")), ends);
    assert_eq!(ends.moved(Role::To, hold(&f, "C1")).to, Some(hold(&f, "C1")));
    assert_eq!(ends.moved(Role::Via(0), area(&f, "W")).via, [area(&f, "W")]);
    assert_eq!(ends.moved(Role::Via(7), area(&f, "W")), ends);
}

/// A hand over the demo field.
struct Over {
    f: Airfield,
    ends: Ends,
    sheet: Sheet,
    hand: Hand,
}

impl Over {
    fn new() -> Over {
        let f = field();
        let ends = Ends {
            from: Some(stand(&f, "4")),
            via: vec![],
            to: Some(runway(&f, "26")),
        };
        Over {
            sheet: sheet(&f, 900.0, 700.0),
            ends,
            f,
            hand: Hand::default(),
        }
    }

    fn px(&self, place: Place) -> Xy {
        self.sheet.px(spot(&self.f, place).expect("a spot"))
    }

    fn step(&mut self, at: Xy, down: bool, up: bool) -> Option<Wish> {
        let input = Input {
            at: Some(at),
            down,
            up,
            wheel: 0.0,
        };
        let ground = Ground {
            field: &self.f,
            ends: &self.ends,
            lines: &[],
        };
        self.hand.step(input, &mut self.sheet, ground)
    }
}

#[test]
fn a_click_is_a_click_even_within_one_frame_and_a_hold_on_bare_ground_pans() {
    let mut o = Over::new();
    let e = area(&o.f, "E");
    let px = o.px(e);
    assert_eq!(o.step(px, true, true), Some(Wish::Click(e)));
    assert_eq!(o.step(px, true, false), None);
    assert_eq!(
        o.step(px + xy(2.0, 1.0), false, false),
        None,
        "a shaky finger is not a drag"
    );
    assert_eq!(o.step(px + xy(2.0, 1.0), false, true), Some(Wish::Click(e)));
    let bare = xy(60.0, 60.0);
    let under = o.sheet.point(bare);
    o.step(bare, true, false);
    o.step(xy(90.0, 100.0), false, false);
    assert_eq!(o.step(xy(160.0, 80.0), false, true), None);
    assert!(o.sheet.point(xy(160.0, 80.0)).distance(under) < 1e-9);
    assert_eq!(o.hand.grip, Grip::Open);
    // Outside of the view nothing is pressed.
    assert_eq!(o.step(xy(2000.0, 60.0), true, true), None);
}

#[test]
fn a_chosen_point_is_dragged_to_another_of_its_kind_and_no_other() {
    let mut o = Over::new();
    let (from, h1, a1) = (stand(&o.f, "4"), stand(&o.f, "H1"), hold(&o.f, "A1"));
    let (start, on_h1, on_a1) = (o.px(from), o.px(h1), o.px(a1));
    assert_eq!(o.step(start, true, false), None);
    o.step(start.lerp(on_h1, 0.5), false, false);
    assert_eq!(o.hand.grip, Grip::Point(Role::From));
    assert_eq!(o.step(on_h1, false, false), Some(Wish::Try(Role::From, h1)));
    assert_eq!(o.step(on_h1, false, false), None, "said once");
    assert_eq!(
        o.step(on_a1, false, false),
        Some(Wish::Leave),
        "no start at a holding position"
    );
    assert_eq!(o.step(on_h1, false, false), Some(Wish::Try(Role::From, h1)));
    assert_eq!(o.step(on_h1, false, true), Some(Wish::Move(Role::From, h1)));
    // Let go on the grass: nothing is moved.
    o.step(start, true, false);
    o.step(start.lerp(on_h1, 0.5), false, false);
    assert_eq!(o.step(xy(60.0, 60.0), false, true), Some(Wish::Leave));
    assert_eq!(o.hand.grip, Grip::Open);
}

#[test]
fn pointing_at_a_leg_lights_it_and_its_line_and_the_reverse() {
    let lines = vec![
        vec![xy(0.0, 0.0), xy(100.0, 0.0)],
        vec![xy(100.0, 0.0), xy(100.0, 80.0)],
        vec![xy(100.0, 80.0), xy(0.0, 80.0)],
    ];
    assert_eq!(legs::nearest(&lines, xy(40.0, 3.0), 5.0), Some(0));
    assert_eq!(legs::nearest(&lines, xy(97.0, 40.0), 5.0), Some(1));
    assert_eq!(legs::nearest(&lines, xy(50.0, 40.0), 5.0), None);
    assert_eq!(legs::nearest(&[], xy(0.0, 0.0), 5.0), None);
    let mut app = App::new();
    app.init_resource::<Lit>()
        .init_resource::<Hand>()
        .add_systems(Update, (drawing::light_leg, drawing::show_lit).chain());
    let rows: Vec<Entity> = (0..3)
        .map(|i| {
            let row = (
                LegLine(i),
                Interaction::None,
                BackgroundColor::default(),
                BorderColor::default(),
            );
            app.world_mut().spawn(row).id()
        })
        .collect();
    let ground = |app: &App, i: usize| app.world().get::<BackgroundColor>(rows[i]).expect("a row").0;
    app.world_mut().resource_mut::<Hand>().leg = Some(1);
    app.update();
    assert_eq!(app.world().resource::<Lit>().0, Some(1), "from the map");
    assert_ne!(ground(&app, 1), ground(&app, 0), "its line is lit");
    app.world_mut().resource_mut::<Hand>().leg = None;
    *app.world_mut().get_mut::<Interaction>(rows[2]).expect("a row") = Interaction::Hovered;
    app.update();
    assert_eq!(app.world().resource::<Lit>().0, Some(2), "from the list");
    assert_eq!(ground(&app, 1), ground(&app, 0));
    *app.world_mut().get_mut::<Interaction>(rows[2]).expect("a row") = Interaction::None;
    app.update();
    assert_eq!(app.world().resource::<Lit>().0, None);
}

#[test]
fn no_word_on_the_map_lies_over_another_or_outside() {
    let f = field();
    let ends = Ends {
        from: Some(stand(&f, "4")),
        via: vec![area(&f, "E")],
        to: Some(runway(&f, "26")),
    };
    for (w, h, size) in [(908.0, 720.0, 13.0), (404.0, 360.0, 11.0), (320.0, 96.0, 9.5)] {
        let subject = Subject {
            field: &f,
            ends: &ends,
            way: None,
            over: Some(stand(&f, "H1")),
        };
        let placed = place(subject, &sheet(&f, w, h), size);
        let boxes: Vec<[f64; 4]> = placed
            .iter()
            .map(|l| {
                let wide = l.words.len() as f64 * 0.6 * size;
                [l.at.x, l.at.y, l.at.x + wide, l.at.y + size]
            })
            .collect();
        for (i, a) in boxes.iter().enumerate() {
            assert!(a[0] >= 0.0 && a[1] >= 0.0 && a[2] <= w && a[3] <= h, "{:?}", placed[i]);
            for (j, b) in boxes.iter().enumerate().skip(i + 1) {
                let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                assert!(apart, "{:?} over {:?}", placed[i], placed[j]);
            }
        }
        let lies_at = sheet(&f, w, h).px(spot(&f, stand(&f, "4")).expect("a spot"));
        assert!(
            placed.iter().any(|l| l.words.starts_with("START")),
            "{w}x{h}: the start at {lies_at:?} has no word: {placed:#?}"
        );
    }
}

/// The core plugins at the desk, with the demo field chosen.
fn app(field: &Path) -> App {
    let mut choice = Choice::new(vec![field.to_path_buf()], day());
    choice.wind = "240/12T".into();
    let scene = Scene::from_drill(DrillKind::FreeApron, choice.built_in[0].clone(), &Wind::Calm);
    let mut app = App::new();
    app.add_plugins(MinimalPlugins)
        .insert_resource(TimeUpdateStrategy::FixedTimesteps(24))
        .init_resource::<ButtonInput<KeyCode>>()
        .insert_resource(scene)
        .insert_resource(Phase::Choosing)
        .insert_resource(choice)
        .add_plugins(core_plugins);
    app.update();
    app
}

fn frame(app: &mut App) {
    app.update();
    app.world_mut().resource_mut::<ButtonInput<KeyCode>>().clear();
}

fn does(app: &mut App, deed: Deed) {
    app.world_mut().write_message(deed);
    frame(app);
}

/// Runs frames until something holds; the limit only ends a test that fails.
fn until(app: &mut App, what: &str, mut holds: impl FnMut(&App) -> bool) {
    let begun = Instant::now();
    while !holds(app) {
        assert!(begun.elapsed() < Duration::from_secs(120), "{what}: not within 120 s");
        frame(app);
        std::thread::sleep(Duration::from_millis(2));
    }
}

fn phase(app: &App) -> Phase {
    *app.world().resource::<Phase>()
}

fn trouble(app: &App) -> String {
    app.world().resource::<Trouble>().0.clone()
}

#[test]
fn from_the_desk_over_the_map_into_the_drive_and_back() {
    let mut app = app(&map_file());
    does(&mut app, Deed::OpenMap);
    until(&mut app, "the map", |a| phase(a) == Phase::Drawing);
    let f = app.world().resource::<Table>().field.clone();
    does(&mut app, Deed::DriveIt);
    frame(&mut app);
    assert_eq!(phase(&app), Phase::Drawing, "there is nothing to drive yet");
    for p in [stand(&f, "4"), area(&f, "E"), runway(&f, "26")] {
        does(&mut app, Deed::OnMap(Wish::Click(p)));
    }
    until(&mut app, "a way", |a| {
        a.world().resource::<Planner>().to_drive().is_some()
    });
    let planner = app.world().resource::<Planner>();
    let (found, way, lines) = planner.shown().expect("a way");
    // The same answer as the engine gives to the same request.
    let text = std::fs::read_to_string(map_file()).expect("the field");
    let plan = toeline_engine::plan(&text, &found.request).expect("a plan");
    let Outcome::Way(want) = &plan.outcome else {
        panic!("a way")
    };
    assert_eq!(way.route.path, want.route.path);
    assert_eq!(way.clearance, want.clearance);
    assert_eq!(lines.len(), way.route.legs.len());
    let Answer::Way(told) = &found.briefing.answer else {
        panic!("a way")
    };
    let words = legs::words(&told.legs[1]);
    assert!(
        words[0].contains("taxilane L") && words[1].ends_with(" m") && words[2].len() >= 3,
        "{words:?}"
    );
    does(&mut app, Deed::DriveIt);
    until(&mut app, "the caution before the drive", |a| phase(a) == Phase::Caution);
    let scene = app.world().resource::<Scene>();
    assert_eq!(scene.path, want.route.path);
    assert_eq!(scene.job["request"]["from"], "4");
    let parked = app.world().resource::<Drive>();
    let nose = parked.now.pose(&parked.params).nose;
    assert!(nose.distance(scene.path.pose_at(scene.first_driven_m()).nose) < 1e-6);
    app.world_mut()
        .resource_mut::<ButtonInput<KeyCode>>()
        .press(KeyCode::Enter);
    frame(&mut app);
    frame(&mut app);
    assert_eq!(phase(&app), Phase::Driving);
    assert!(app.world().resource::<Drive>().tick > 0);
    app.world_mut()
        .resource_mut::<ButtonInput<KeyCode>>()
        .press(KeyCode::Home);
    frame(&mut app);
    frame(&mut app);
    assert_eq!(phase(&app), Phase::Drawing);
    assert_eq!(app.world().resource::<Drive>().tick, 0, "the attempt ended there");
    assert!(
        app.world().resource::<Planner>().to_drive().is_some(),
        "the way is still on the map"
    );
    does(&mut app, Deed::ToDesk);
    assert_eq!(phase(&app), Phase::Choosing);
}

#[test]
fn from_the_drive_of_a_job_one_goes_back_to_its_own_points_on_the_map() {
    let f = field();
    let ends = Ends {
        from: Some(stand(&f, "4")),
        via: vec![area(&f, "E")],
        to: Some(runway(&f, "26")),
    };
    let a = catalog::find("tourer-high-4").expect("built in");
    let notice = r#"{"toeline_notices": 1, "notices": [{"number": "A1/26", "text": "STAND 5 CLSD", "closes": [{"stand": "5"}]}]}"#;
    let request = Request {
        time_utc: Some(TimeOfDay::parse("10:00").expect("a time")),
        margin_m: 2.5,
        notams: notices::read(notice, "today.json").expect("a notice"),
        ..ends.request(&f, &a, Wind::Calm, day()).expect("a request")
    };
    assert_eq!(Ends::of(&f, &request), ends);
    let asked = request.clone();
    let mut other = request.clone();
    other.from = "no such stand".into();
    assert_eq!(Ends::of(&f, &other).from, None);
    let job = Job {
        toeline_job: FORMAT,
        field_file: map_file().display().to_string(),
        request,
        faults: None,
        exercise: None,
    };
    let file = std::env::temp_dir().join(format!("toeline-desk-job-{}.json", std::process::id()));
    std::fs::write(&file, job.to_json()).expect("written");
    let scene = Scene::from_job_file(&file).expect("a scene");
    std::fs::remove_file(&file).expect("taken away again");
    let mut app = app(Path::new("not chosen"));
    app.insert_resource(NextScene {
        scene,
        phase: Phase::Driving,
    });
    frame(&mut app);
    app.world_mut()
        .resource_mut::<ButtonInput<KeyCode>>()
        .press(KeyCode::Home);
    frame(&mut app);
    until(&mut app, "the map of the job", |a| phase(a) == Phase::Drawing);
    until(&mut app, "its way", |a| {
        a.world().resource::<Planner>().to_drive().is_some()
    });
    assert_eq!(*app.world().resource::<Ends>(), ends);
    assert_eq!(app.world().resource::<Table>().aircraft.id, "tourer-high-4");
    // A way drawn anew on it is asked for at the job's time, with its margins and under its notices.
    does(&mut app, Deed::OnMap(Wish::Move(Role::From, stand(&f, "3"))));
    let planned = |a: &App| {
        let planner = a.world().resource::<Planner>();
        planner.found().filter(|_| !planner.busy()).map(|f| f.request.clone())
    };
    until(&mut app, "the way from 3", |a| {
        planned(a).is_some_and(|r| r.from == "3")
    });
    let drawn = planned(&app).expect("a way");
    assert_eq!((drawn.date, drawn.time_utc), (asked.date, asked.time_utc));
    assert_eq!((drawn.margin_m, &drawn.notams), (2.5, &asked.notams));
}

#[test]
fn a_held_point_is_planned_where_it_rests_and_the_chosen_way_comes_back() {
    let mut app = app(&map_file());
    does(&mut app, Deed::OpenMap);
    until(&mut app, "the map", |a| phase(a) == Phase::Drawing);
    let f = app.world().resource::<Table>().field.clone();
    for p in [stand(&f, "4"), hold(&f, "A1")] {
        does(&mut app, Deed::OnMap(Wish::Click(p)));
    }
    let from = |a: &App| {
        let planner = a.world().resource::<Planner>();
        let found = planner.found().filter(|_| !planner.busy());
        found.map(|f| f.request.from.clone()).unwrap_or_default()
    };
    until(&mut app, "the way from 4", |a| from(a) == "4");
    does(&mut app, Deed::OnMap(Wish::Try(Role::From, stand(&f, "5"))));
    until(&mut app, "the way from 5", |a| from(a) == "5");
    assert_eq!(app.world().resource::<Ends>().from, Some(stand(&f, "4")), "only tried");
    does(&mut app, Deed::OnMap(Wish::Leave));
    until(&mut app, "the way from 4 again", |a| from(a) == "4");
    does(&mut app, Deed::OnMap(Wish::Move(Role::From, stand(&f, "3"))));
    until(&mut app, "the way from 3", |a| from(a) == "3");
    assert_eq!(app.world().resource::<Ends>().from, Some(stand(&f, "3")));
    does(&mut app, Deed::StartOver);
    assert!(app.world().resource::<Planner>().answer().is_none());
}

#[test]
fn a_newer_request_takes_the_place_of_an_older_one() {
    let f = field();
    let text: Arc<str> = std::fs::read_to_string(map_file()).expect("the field").into();
    let (go, gate) = mpsc::channel::<()>();
    let (gate, seen) = (Mutex::new(gate), Arc::new(Mutex::new(Vec::<String>::new())));
    let log = seen.clone();
    let solver = move |text: &str, request: &Request| {
        log.lock().expect("a log").push(request.from.clone());
        gate.lock()
            .expect("a gate")
            .recv_timeout(Duration::from_secs(60))
            .expect("let go");
        toeline_engine::plan(text, request).map_err(|e| e.to_string())
    };
    let mut app = app(&map_file());
    app.insert_resource(Planner::with(Arc::new(solver)));
    let a = catalog::find("trainer-high-2").expect("built in");
    let ask = |app: &mut App, from: &str| {
        let ends = Ends {
            from: Some(stand(&f, from)),
            via: vec![],
            to: Some(hold(&f, "A1")),
        };
        let request = ends.request(&f, &a, Wind::Calm, day()).expect("a request");
        app.world_mut().resource_mut::<Planner>().ask(text.clone(), request);
        frame(app);
    };
    let planner = |a: &App| a.world().resource::<Planner>().answer().is_some();
    ask(&mut app, "1");
    until(&mut app, "the first is being worked on", |_| {
        seen.lock().expect("a log").len() == 1
    });
    ask(&mut app, "2");
    ask(&mut app, "3");
    assert!(app.world().resource::<Planner>().busy());
    assert!(!planner(&app), "frames go on while the planner works");
    go.send(()).expect("a gate");
    until(&mut app, "the last is being worked on", |_| {
        seen.lock().expect("a log").len() == 2
    });
    assert!(!planner(&app), "the answer to the first is not shown");
    go.send(()).expect("a gate");
    until(&mut app, "the answer", planner);
    let found = app
        .world()
        .resource::<Planner>()
        .found()
        .expect("an answer")
        .request
        .from
        .clone();
    assert_eq!(found, "3");
    assert_eq!(*seen.lock().expect("a log"), ["1", "3"], "the second was never begun");
}

#[test]
fn no_way_gives_the_engines_reasons() {
    let mut app = app(&map_file());
    let glider = catalog::all()
        .iter()
        .position(|a| a.id == "motorglider-15")
        .expect("built in");
    does(&mut app, Deed::TakeAeroplane(Which::BuiltIn(glider)));
    does(&mut app, Deed::OpenMap);
    until(&mut app, "the map", |a| phase(a) == Phase::Drawing);
    let f = app.world().resource::<Table>().field.clone();
    // The map's own page says that H3 cannot be left with 15 m of wing by F, which admits 12 m.
    for p in [stand(&f, "H3"), runway(&f, "26")] {
        does(&mut app, Deed::OnMap(Wish::Click(p)));
    }
    until(&mut app, "an answer", |a| {
        a.world().resource::<Planner>().answer().is_some()
    });
    let planner = app.world().resource::<Planner>();
    let found = planner.found().expect("an answer");
    let text = std::fs::read_to_string(map_file()).expect("the field");
    let plan = toeline_engine::plan(&text, &found.request).expect("a plan");
    match &plan.outcome {
        Outcome::NoWay(why) => {
            let reasons = found.reasons();
            assert!(reasons[0].starts_with("NO WAY"), "{reasons:?}");
            for b in &why.blocks {
                assert!(
                    reasons.iter().any(|r| r.contains(b.text.trim_end_matches('.'))),
                    "{} is missing",
                    b.text
                );
            }
            assert!(planner.to_drive().is_none());
        }
        Outcome::Way(way) => {
            assert_eq!(
                planner.shown().expect("a way").1.clearance.verdict,
                way.clearance.verdict
            );
            panic!("this test wants a case without a way");
        }
    }
}

#[test]
fn errors_are_the_engines_own_words_and_never_a_panic() {
    let folder = std::env::temp_dir().join(format!("toeline-desk-{}", std::process::id()));
    std::fs::create_dir_all(&folder).expect("a folder");
    let mut app = app(&map_file());
    let set = |app: &mut App, f: &dyn Fn(&mut Choice)| f(&mut app.world_mut().resource_mut::<Choice>());
    // Wind, word for word.
    for wrong in ["240/12", "", "400/10T", "240/12G8T", "nonsense"] {
        set(&mut app, &|c| c.wind = wrong.into());
        does(&mut app, Deed::OpenMap);
        let want = Wind::parse(wrong).expect_err("a wrong wind");
        assert_eq!(trouble(&app), want);
        assert_eq!(wind_says(app.world().resource::<Choice>()), (want, false));
        does(&mut app, Deed::Drill(DrillKind::StraightLine));
        assert_eq!(phase(&app), Phase::Choosing);
    }
    set(&mut app, &|c| c.wind = "calm".into());
    // Field files.
    let missing = folder.join("not there.geojson");
    let broken = folder.join("broken.geojson");
    std::fs::write(&broken, "{ \"type\": \"FeatureColl").expect("written");
    let empty = folder.join("empty.geojson");
    std::fs::write(&empty, "{\"type\":\"FeatureCollection\",\"features\":[]}").expect("written");
    let engine = |file: &Path| match read::read(&std::fs::read_to_string(file).expect("a file")) {
        Ok(_) => String::new(),
        Err(e) => format!("{}: {e}", file.display()),
    };
    for (file, want) in [
        (missing.clone(), format!("{}: cannot be read", missing.display())),
        (folder.clone(), "it is a folder".to_string()),
        (broken.clone(), engine(&broken)),
        (empty.clone(), engine(&empty)),
        (PathBuf::new(), "no field is chosen".to_string()),
    ] {
        set(&mut app, &|c| c.field = file.display().to_string());
        does(&mut app, Deed::OpenMap);
        until(&mut app, "an answer", |a| {
            !trouble(a).is_empty() || phase(a) == Phase::Drawing
        });
        if want.is_empty() {
            does(&mut app, Deed::ToDesk);
            continue;
        }
        assert!(trouble(&app).contains(&want), "{} instead of {want}", trouble(&app));
        assert_eq!(phase(&app), Phase::Choosing);
    }
    // Aircraft files.
    let bad = folder.join("bad.json");
    std::fs::write(&bad, "{}").expect("written");
    let problems = toeline_model::aircraft::check::read("{}").expect_err("not an aeroplane");
    for (file, want) in [
        (missing.display().to_string(), "cannot be read".to_string()),
        (bad.display().to_string(), problems[0].to_string()),
        (String::new(), "type the path".to_string()),
    ] {
        set(&mut app, &|c| {
            c.aeroplane = Which::File;
            c.aeroplane_file.clone_from(&file);
        });
        does(&mut app, Deed::OpenMap);
        assert!(trouble(&app).contains(&want), "{} instead of {want}", trouble(&app));
    }
    std::fs::remove_dir_all(&folder).expect("the folder goes away again");
}

#[test]
fn fields_are_found_in_folders_once_each_and_a_folder_that_is_not_there_is_none() {
    let maps = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../maps");
    let list = find_fields(&[maps.clone(), maps, PathBuf::from("nowhere at all")]);
    let quillmere = list.iter().filter(|f| f.ends_with("quillmere.geojson")).count();
    assert_eq!(quillmere, 1, "{list:?}");
}

#[test]
fn every_drill_can_be_begun_restarted_and_left() {
    let mut app = app(&map_file());
    for kind in DrillKind::ALL {
        does(&mut app, Deed::Drill(kind));
        until(&mut app, "the drill", |a| phase(a) == Phase::Caution);
        let scene = app.world().resource::<Scene>().clone();
        assert!(scene.title.contains(kind.name()), "{}", scene.title);
        assert_eq!(scene.path.pieces.is_empty(), kind == DrillKind::FreeApron);
        *app.world_mut().resource_mut::<Phase>() = Phase::Driving;
        frame(&mut app);
        frame(&mut app);
        let drive = app.world().resource::<Drive>();
        assert!(drive.tick > 0);
        assert_eq!(drive.off_m.is_none(), kind == DrillKind::FreeApron);
        app.world_mut()
            .resource_mut::<ButtonInput<KeyCode>>()
            .press(KeyCode::Backspace);
        frame(&mut app);
        app.world_mut()
            .resource_mut::<ButtonInput<KeyCode>>()
            .release(KeyCode::Backspace);
        does(&mut app, Deed::Back);
        frame(&mut app);
        assert_eq!(phase(&app), Phase::Choosing, "from a drill one goes back to the desk");
    }
}

#[test]
fn keys_are_words_at_the_desk_and_not_pedals() {
    let mut app = app(&map_file());
    for key in [KeyCode::Escape, KeyCode::Enter, KeyCode::Backspace, KeyCode::KeyI] {
        app.world_mut().resource_mut::<ButtonInput<KeyCode>>().press(key);
        frame(&mut app);
    }
    assert_eq!(phase(&app), Phase::Choosing);
    assert!(app.should_exit().is_none(), "the drive's Esc is not the desk's");
    assert_eq!(app.world().resource::<Drive>().tick, 0);
}

#[test]
fn what_was_built_for_a_scene_goes_with_it() {
    #[derive(Component)]
    struct Built;
    let mut app = app(&map_file());
    app.add_systems(Raise, |mut commands: Commands| {
        commands
            .spawn((Built, Transform::default()))
            .with_child(Transform::default());
    });
    let a = catalog::all().remove(0);
    for kind in [DrillKind::StraightLine, DrillKind::SBends, DrillKind::FreeApron] {
        app.insert_resource(NextScene {
            scene: Scene::from_drill(kind, a.clone(), &Wind::Calm),
            phase: Phase::Caution,
        });
        frame(&mut app);
        let count = |world: &mut World, q: QueryState<(), With<OfScene>>| {
            let mut q = q;
            q.iter(world).count()
        };
        let built = app
            .world_mut()
            .query_filtered::<(), With<Built>>()
            .iter(app.world())
            .count();
        assert_eq!(built, 1, "one of its kind");
        let q = app.world_mut().query_filtered::<(), With<OfScene>>();
        assert_eq!(count(app.world_mut(), q), 2, "it and its child");
        assert!(app.world().resource::<Scene>().title.contains(kind.name()));
    }
}

#[test]
fn another_way_can_be_picked_and_it_is_told_shown_and_driven() {
    let mut app = app(&map_file());
    does(&mut app, Deed::OpenMap);
    until(&mut app, "the map", |a| phase(a) == Phase::Drawing);
    let f = app.world().resource::<Table>().field.clone();
    for p in [stand(&f, "4"), runway(&f, "26")] {
        does(&mut app, Deed::OnMap(Wish::Click(p)));
    }
    until(&mut app, "a way", |a| {
        a.world().resource::<Planner>().to_drive().is_some()
    });
    // The planned way does not wait for the others.
    until(&mut app, "other ways", |a| {
        a.world()
            .resource::<Planner>()
            .found()
            .is_some_and(|f| f.ways.len() > 1)
    });
    let planner = app.world().resource::<Planner>();
    let (found, planned, _) = planner.shown().expect("a way");
    assert!(found.ways.len() > 1, "only {}", found.ways[0].title);
    let (planned, serial) = (planned.route.path.clone(), planner.serial());
    does(&mut app, Deed::PickWay(1));
    let planner = app.world().resource::<Planner>();
    assert_ne!(planner.serial(), serial, "the list and the map are made anew");
    let (found, picked, lines) = planner.shown().expect("a way");
    assert_ne!(picked.route.path, planned);
    assert_eq!(lines.len(), picked.route.legs.len());
    let Some(Answer::Way(told)) = planner.told().map(|b| &b.answer) else {
        panic!("a way")
    };
    assert!(
        (told.length_m - picked.route.path.length_m()).abs() < 0.1,
        "{} m",
        told.length_m
    );
    assert!(found.ways[1].title.contains("penalties"), "{}", found.ways[1].title);
    let path = picked.route.path.clone();
    does(&mut app, Deed::DriveIt);
    until(&mut app, "the caution before the drive", |a| phase(a) == Phase::Caution);
    assert_eq!(app.world().resource::<Scene>().path, path);
}

#[test]
fn the_credit_of_a_map_is_in_letters_that_the_window_has() {
    let mut f = field();
    assert_eq!(credit(&f), None, "the demo field asks for none");
    f.attribution = Some("© OpenStreetMap contributors".into());
    assert_eq!(credit(&f).as_deref(), Some("map data: (c) OpenStreetMap contributors"));
}
