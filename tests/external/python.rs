//! Runs the scripts in `tests/external/python`.

use std::ffi::OsString;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Map, Value, json};
use toeline_dynamics::Params;

/// Names the Python that has what `python/requirements.txt` lists; `tests/run.sh` makes one and sets it.
const WHERE: &str = "TOELINE_PYTHON";

/// That Python; without one, says so in a line that begins with "skipped: ". The test then has nothing to check.
pub(crate) fn python() -> Option<OsString> {
    let named = std::env::var_os(WHERE).filter(|v| !v.is_empty());
    if named.is_none() {
        println!("skipped: {WHERE} names no Python with what tests/external/python/requirements.txt lists");
    }
    named
}

/// What a script answers to a value.
pub(crate) fn answer(python: &OsString, script: &str, asked: &Value) -> Value {
    let mut child = Command::new(python)
        .args(["-B", script])
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("external/python"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap_or_else(|e| panic!("{WHERE} is {}: {e}", python.display()));
    // The scripts read all of their input before they write. One that has failed to start does not read: its own words are
    // then on standard error and its status below.
    let mut input = child.stdin.take().expect("piped");
    let _ = input.write_all(asked.to_string().as_bytes());
    drop(input);
    let done = child
        .wait_with_output()
        .expect("a child that was started can be waited for");
    assert!(done.status.success(), "{script} failed: {}", done.status);
    serde_json::from_slice(&done.stdout).unwrap_or_else(|e| panic!("{script}: {e}"))
}

macro_rules! object {
    ($from:expr; $($field:ident)*) => {{
        let mut object = Map::new();
        $(object.insert(stringify!($field).to_owned(), json!($from.$field));)*
        Value::Object(object)
    }};
}

/// The numbers of an aeroplane by their names in `Params`.
pub(crate) fn params_json(p: &Params) -> Value {
    let mut all = object!(p;
        mass_kg yaw_inertia_kgm2 pitch_inertia_kgm2 roll_inertia_kgm2 cg_height_m strut_n_per_m strut_damping_nspm
        nose_ahead_m axle_behind_m wheelbase_m track_m wheel_radius_m wheel_inertia_kgm2 tyre_per_load full_brake_nm
        brake_jpk pedal_limit_rad caster_stop_rad linkage_nm_per_rad linkage_limit_nm swivel_damping_nms
        swivel_inertia_kgm2 trail_m full_rpm static_thrust_n no_thrust_mps thrust_height_m torque_nm blade_lever_ns
        slipstream_lever_m faults);
    let air = object!(p.air;
        slipstream_per_m2 tail_blown_per_m2 drag_area_m2 wing_area_m2 rest_lift lift_slope lift_drag tail_area_m2
        elevator_area_m2 tail_behind_m aileron_volume_m3 dihedral_volume_m3 roll_damping_m4 side_area_m2 side_ahead_m
        side_height_m fin_area_m2 rudder_area_m2 fin_behind_m);
    if let (Value::Object(all), Value::Object(air)) = (&mut all, air) {
        all.extend(air);
    }
    all["engine"] = object!(p.engine; idle_rpm static_rpm full_torque_nm friction_nm inertia_kgm2 no_thrust_mps);
    all
}
