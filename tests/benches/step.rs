//! Steps per second on one core. Asserts the golden hash first: a fast wrong answer is worth nothing.

#[path = "../dynamics/golden_drive.rs"]
mod golden_drive;

use std::time::Instant;

#[allow(clippy::print_stdout)]
fn main() {
    let began = Instant::now();
    let (hash, ends) = golden_drive::drive();
    let seconds = began.elapsed().as_secs_f64();
    assert_eq!(hash, golden_drive::GOLDEN, "got {hash:#018x}");
    let steps = golden_drive::TICKS * ends.len() as u64;
    let per_second = steps as f64 / seconds;
    println!(
        "step: {steps} steps in {seconds:.3} s on one core: {per_second:.0} steps/s, {:.0} times real time",
        per_second / 240.0
    );
}
