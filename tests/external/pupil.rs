//! A pupil's figures against the same worked out a second time in Python: with whole covariance matrices, the kernel from its
//! definition by the Bessel function, numpy's correlation, scipy's kurtosis and search.

use crate::python::{answer, python};
use serde_json::json;
use toeline_engine::odds::{Begin, Deviation, Wobble, WobbleFrom};
use toeline_training::wobble::{Stretch, autocovariance, fit};

#[test]
fn mean_autocovariance_spread_and_length_are_those_of_numpy_and_scipy() {
    let Some(python) = python() else { return };
    let settings = [
        (-0.25, 0.35, 18.0, vec![110, 110, 110]),
        (0.1, 0.2, 30.0, vec![300, 150]),
        (0.0, 0.4, 8.0, vec![260]),
        (-0.3, 0.4, 20.0, vec![60, 200, 90, 120]),
    ];
    let mut asked = Vec::new();
    for (k, (offset_m, spread_m, correlation_m, lengths)) in settings.iter().enumerate() {
        let w = Wobble {
            offset_m: *offset_m,
            spread_m: *spread_m,
            correlation_m: *correlation_m,
            from: WobbleFrom::Given,
        };
        let one = |(i, n): (usize, &usize)| -> Vec<f64> {
            let d = Deviation::draw(&w, 40 + k as u64, i as u64, *n as f64, Begin::UnderWay);
            (0..*n).map(|m| d.at(m as f64).0).collect()
        };
        asked.push(lengths.iter().enumerate().map(one).collect::<Vec<_>>());
    }
    let theirs = answer(&python, "pupil.py", &json!(asked));
    for (series, t) in asked.iter().zip(theirs.as_array().expect("a list")) {
        let list: Vec<Stretch> = series.iter().map(|s| Stretch::straight(s.clone())).collect();
        let own = fit(&list).expect("a fit");
        println!("ours {own:?}; theirs {t}");
        let number = |name: &str| t[name].as_f64().expect("a number");
        let near = |name: &str, mine: f64, share: f64| {
            let his = number(name);
            assert!(
                (mine - his).abs() <= share * his.abs().max(1e-3),
                "{name}: {mine} {his}"
            );
        };
        near("mean", own.offset_m, 1e-9);
        near("kurtosis", own.excess_kurtosis, 1e-6);
        // The length is looked for on a table of 50 with a parabola between its rows.
        near("length", own.correlation_m, 0.01);
        near("spread", own.spread_m, 0.005);
        near("error", own.offset_error_m, 0.01);
        let slices: Vec<&[f64]> = series.iter().map(Vec::as_slice).collect();
        let (mine, _) = autocovariance(&slices, own.offset_m, 19);
        for (a, b) in mine.iter().zip(t["autocovariance"].as_array().expect("a list")) {
            assert!((a - b.as_f64().expect("a number")).abs() < 1e-9);
        }
    }
}
