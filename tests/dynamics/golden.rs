//! The same bits everywhere: one drive, one hash, in debug and in release, on every machine.

use crate::golden_drive::{GOLDEN, drive, drive_with};

#[test]
fn the_golden_drive_ends_on_the_golden_bits() {
    let (hash, ends) = drive();
    for end in &ends {
        assert!(
            end.is_finite() && end.x_m.abs() + end.y_m.abs() > 5.0,
            "went somewhere: {end:?}"
        );
        assert!(end.speed_mps() < 0.01, "and parked, rocking in its gusts: {end:?}");
    }
    assert_eq!(
        hash, GOLDEN,
        "got {hash:#018x}; a changed physics needs a new PHYSICS_VERSION and a new hash"
    );
    assert_eq!(drive().0, hash, "twice the same in one run");
}

#[test]
fn saved_and_restored_midway_and_in_several_threads_the_bits_are_the_same() {
    let saved = drive_with(|state| {
        let text = serde_json::to_string(&state).expect("writes");
        serde_json::from_str(&text).expect("reads")
    });
    assert_eq!(saved.0, GOLDEN);
    let hashes: Vec<u64> = std::thread::scope(|scope| {
        let running: Vec<_> = (0..3).map(|_| scope.spawn(|| drive().0)).collect();
        running.into_iter().map(|r| r.join().expect("runs")).collect()
    });
    assert_eq!(hashes, [GOLDEN; 3]);
}

#[test]
fn the_hash_sees_every_field() {
    let (_, ends) = drive();
    let state = ends[0];
    let mut other = state;
    other.tyre_n[2][1] = f64::from_bits(other.tyre_n[2][1].to_bits() ^ 1);
    assert_ne!(state.hash(), other.hash());
    assert_eq!(state.first_difference(&other), Some("tyre_n (right, across)"));
    assert_eq!(state.first_difference(&state), None);
}
