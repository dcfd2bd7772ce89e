//! The tractrix in closed form against (a) the worked values of the taxiway-design case that ICAO Doc 9157 Part 2 treats
//! (main undercarriage following a guide line), re-derived and tabulated to 1e-5, and (b) numerical integration here.

use toeline_model::tractrix::{axle_radius, beta_after, beta_steady};

/// Runge-Kutta of the fourth order on dβ/ds = κ − sin β / d, nothing shared with the closed form.
fn integrate(beta0: f64, kappa: f64, d: f64, s: f64, steps: u32) -> f64 {
    let h = s / f64::from(steps);
    let f = |b: f64| kappa - b.sin() / d;
    let mut b = beta0;
    for _ in 0..steps {
        let k1 = f(b);
        let k2 = f(b + h / 2.0 * k1);
        let k3 = f(b + h / 2.0 * k2);
        let k4 = f(b + h * k3);
        b += h / 6.0 * (k1 + 2.0 * k2 + 2.0 * k3 + k4);
    }
    b
}

/// Radius m, wheelbase m, turn deg, β deg, radius of the axle m, off-tracking m, steady β deg, steady off-tracking m.
const TURNS: [[f64; 8]; 9] = [
    [15.0, 1.65, 90.0, 6.31531, 14.90897, 0.09103, 6.31532, 0.09103],
    [10.0, 1.65, 45.0, 9.41138, 9.86541, 0.13459, 9.49723, 0.13706],
    [5.0, 1.65, 45.0, 17.31552, 4.77614, 0.22386, 19.26878, 0.28010],
    [5.0, 1.65, 90.0, 19.06329, 4.72582, 0.27418, 19.26878, 0.28010],
    [22.86, 4.572, 90.0, 11.53180, 22.39855, 0.46145, 11.53696, 0.46187],
    [30.0, 10.0, 90.0, 19.25305, 28.32235, 1.67765, 19.47122, 1.71573],
    [20.0, 10.0, 45.0, 22.94357, 18.54913, 1.45087, 30.0, 2.67949],
    [20.0, 10.0, 90.0, 28.23411, 17.62867, 2.37133, 30.0, 2.67949],
    [20.0, 10.0, 180.0, 29.88470, 17.34063, 2.65937, 30.0, 2.67949],
];

#[test]
fn entering_a_circle_gives_the_tabulated_angles_and_radii() {
    for [r, d, turn, beta_deg, rho, off, steady_deg, steady_off] in TURNS {
        for side in [1.0, -1.0] {
            let beta = beta_after(0.0, side / r, d, r * turn.to_radians());
            assert!(
                (side * beta.to_degrees() - beta_deg).abs() < 1e-5,
                "R {r} d {d} turn {turn}: {}",
                beta.to_degrees()
            );
            let radius = axle_radius(r, d, side * beta);
            assert!((radius - rho).abs() < 1e-5);
            assert!((r - radius - off).abs() < 1e-5);
            let steady = beta_steady(side / r, d).unwrap();
            assert!((side * steady.to_degrees() - steady_deg).abs() < 1e-5);
            assert!((r - axle_radius(r, d, side * steady) - steady_off).abs() < 1e-5);
        }
    }
}

#[test]
fn straightening_out_gives_the_tabulated_angles() {
    // β0 deg, way in wheelbases, β deg.
    for (beta0, ways, beta) in [
        (90.0, 1.0, 40.3951),
        (90.0, 2.0, 15.4146),
        (30.0, 1.0, 11.2593),
        (30.0, 3.0, 1.5286),
        (45.0, 2.0, 6.4170),
    ] {
        let d = 1.65;
        let got = beta_after(f64::to_radians(beta0), 0.0, d, ways * d);
        assert!(
            (got.to_degrees() - beta).abs() < 1e-4,
            "{beta0} after {ways} d: {}",
            got.to_degrees()
        );
    }
    let offset = beta_after(90_f64.to_radians(), 0.0, 1.0, 1.0).sin();
    assert!((offset - 0.64805).abs() < 1e-5);
}

#[test]
fn the_closed_form_equals_numerical_integration_above_at_and_below_the_wheelbase() {
    let d = 1.7;
    for ratio in [20.0, 5.0, 1.5, 1.01, 1.0, 0.99, 0.6] {
        for side in [1.0, -1.0] {
            for beta0 in [-1.2, -0.3, 0.0, 0.5, 1.4] {
                for s in [0.1, 0.8, 2.5, 6.0] {
                    let kappa = side / (ratio * d);
                    let want = integrate(beta0, kappa, d, s, 20_000);
                    let got = beta_after(beta0, kappa, d, s);
                    // Below the wheelbase β runs round; compare as angles.
                    let off = toeline_model::angle::wrap(got - want).abs();
                    assert!(
                        off < 1e-9,
                        "R/d {ratio} side {side} β0 {beta0} s {s}: {got} against {want}"
                    );
                }
            }
        }
    }
}

#[test]
fn a_coarse_integration_converges_on_the_closed_form_at_its_order() {
    // R 20 m, d 10 m, 45 degrees: Runge-Kutta's error falls by about 16 when the step is halved.
    let (r, d, s) = (20.0, 10.0, 20.0 * 45_f64.to_radians());
    let exact = beta_after(0.0, 1.0 / r, d, s);
    let error = |steps| (integrate(0.0, 1.0 / r, d, s, steps) - exact).abs();
    let ratio = error(8) / error(16);
    assert!((10.0..25.0).contains(&ratio), "ratio {ratio}");
}
