//! Simulated pupils over the cores: the same drives on one thread and on more; asserts that they are the same, then tells how
//! the time goes with the threads.
//!
//! Wall time tells the truth only on an idle machine; processor time tells on any what the threads cost each other.
//! `TOELINE_PUPILS` is the number of drives.

#![allow(clippy::print_stdout)]

use cpu_time::ProcessTime;
use std::time::Instant;
use toeline_tests::lanes::{built_in, eastward, on};
use toeline_training::Environment;
use toeline_training::pilot::Task;
use toeline_training::pupils::{Pupil, drive_pupils};

fn main() {
    let drives = std::env::var("TOELINE_PUPILS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(200);
    let a = built_in("trainer-high-2");
    let mut path = eastward(&a);
    on(&mut path, 120.0);
    let task = Task::along(path, &a);
    let pupil = Pupil::beginner(&a);
    let run = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new()
            .num_threads(threads)
            .build()
            .expect("threads");
        let (wall, cpu) = (Instant::now(), ProcessTime::now());
        let all = pool.install(|| {
            drive_pupils(&a, Environment::default(), &task, &pupil, 1, drives, |_, d| {
                let end = d.attempt.checkpoints.last().map(|c| c.hash.clone());
                (end, d.attempt.duration_s())
            })
        });
        (wall.elapsed().as_secs_f64(), cpu.elapsed().as_secs_f64(), all)
    };
    let (wall_one, cpu_one, first) = run(1);
    let driven: f64 = first.iter().map(|f| f.1).sum();
    println!(
        "{drives} pupils, {driven:.0} s of driving; 1 thread: {wall_one:.2} s, {:.0} times real time",
        driven / wall_one
    );
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let mut threads = 2;
    while threads <= cores.max(2) {
        let (wall, cpu, again) = run(threads);
        assert_eq!(first, again, "the same drives on {threads} threads");
        println!(
            "{threads} threads of {cores} cores: {wall:.2} s, {:.0} % of {threads} times as fast; processor time {:.0} % of that on one thread",
            100.0 * wall_one / wall / threads as f64,
            100.0 * cpu / cpu_one
        );
        threads *= 2;
    }
}
