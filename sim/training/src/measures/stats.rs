//! Statistics of a series along the way, each value weighed by the way that it stands for.

/// Mean and spread of values with weights; `None` without weight.
pub fn mean_and_spread(values: &[(f64, f64)]) -> Option<(f64, f64)> {
    let whole: f64 = values.iter().map(|v| v.1).sum();
    if whole <= 0.0 {
        return None;
    }
    let mean = values.iter().map(|v| v.0 * v.1).sum::<f64>() / whole;
    let square = values.iter().map(|v| (v.0 - mean) * (v.0 - mean) * v.1).sum::<f64>() / whole;
    Some((mean, square.sqrt()))
}

/// Root of the mean square of values with weights; `None` without weight.
pub fn root_mean_square(values: &[(f64, f64)]) -> Option<f64> {
    let whole: f64 = values.iter().map(|v| v.1).sum();
    (whole > 0.0).then(|| (values.iter().map(|v| v.0 * v.0 * v.1).sum::<f64>() / whole).sqrt())
}

/// The least of the values such that values up to it hold a share of the whole weight; `None` without weight.
pub fn share_within(values: &[(f64, f64)], share: f64) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    let whole: f64 = sorted.iter().map(|v| v.1).sum();
    if whole <= 0.0 {
        return None;
    }
    let mut held = 0.0;
    for (value, weight) in &sorted {
        held += weight;
        if held >= share * whole {
            return Some(*value);
        }
    }
    sorted.last().map(|v| v.0)
}

/// Indices where a series turns back by at least `least` on both sides: its swings, without the two ends.
pub fn turning_points(values: &[f64], least: f64) -> Vec<usize> {
    let mut found = Vec::new();
    let Some(first) = values.first() else { return found };
    let (mut low, mut high) = ((0, *first), (0, *first));
    // 1 rising, -1 falling, 0 not yet known.
    let mut sense = 0;
    for (i, v) in values.iter().enumerate() {
        if *v > high.1 {
            high = (i, *v);
        }
        if *v < low.1 {
            low = (i, *v);
        }
        if sense >= 0 && high.1 - v >= least {
            if sense == 1 || high.1 - first >= least {
                found.push(high.0);
            }
            sense = -1;
            low = (i, *v);
            high = (i, *v);
        } else if sense <= 0 && v - low.1 >= least {
            if sense == -1 || first - low.1 >= least {
                found.push(low.0);
            }
            sense = 1;
            low = (i, *v);
            high = (i, *v);
        }
    }
    found
}
