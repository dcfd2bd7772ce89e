//! Measures with their units (`uom`).

use super::tree::{Node, Space};
use crate::clean;
use toeline_model::units::{FOOT_M, POUND_KG};

/// A number of an element.
pub(super) fn number(node: &Node) -> Result<f64, String> {
    let number = node.text.parse::<f64>().ok().filter(|n| n.is_finite());
    number.ok_or_else(|| format!("its {} \"{}\" is not a number", node.name, clean::name(&node.text)))
}

fn uom(node: &Node) -> Result<&str, String> {
    let uom = node
        .attribute(Space::None, "uom")
        .map(str::trim)
        .filter(|u| !u.is_empty());
    uom.ok_or_else(|| format!("its {} \"{}\" has no unit (uom)", node.name, clean::name(&node.text)))
}

fn scaled(node: &Node, units: &[(&str, f64)], which: &str) -> Result<f64, String> {
    let uom = uom(node)?;
    let factor = units.iter().find(|(u, _)| u.eq_ignore_ascii_case(uom)).map(|(_, f)| *f);
    let factor = factor.ok_or_else(|| {
        format!(
            "its {} \"{}\" has the unit \"{}\", which is no {which} that is known",
            node.name,
            clean::name(&node.text),
            clean::name(uom)
        )
    })?;
    Ok(number(node)? * factor)
}

/// Metres. The international foot and nautical mile.
pub(super) fn length_m(node: &Node) -> Result<f64, String> {
    const UNITS: [(&str, f64); 10] = [
        ("M", 1.0),
        ("FT", FOOT_M),
        ("KM", 1000.0),
        ("CM", 0.01),
        ("MM", 0.001),
        ("NM", 1852.0),
        ("MI", 1609.344),
        ("[ft_i]", FOOT_M),
        ("[nmi_i]", 1852.0),
        ("[mi_i]", 1609.344),
    ];
    scaled(node, &UNITS, "length")
}

/// Kilometres an hour.
pub(super) fn speed_kmh(node: &Node) -> Result<f64, String> {
    const UNITS: [(&str, f64); 7] = [
        ("KM_H", 1.0),
        ("KT", 1.852),
        ("MPH", 1.609_344),
        ("M_SEC", 3.6),
        ("FT_SEC", 1.097_28),
        ("M_MIN", 0.06),
        ("FT_MIN", 0.018_288),
    ];
    scaled(node, &UNITS, "speed")
}

/// Kilograms.
pub(super) fn mass_kg(node: &Node) -> Result<f64, String> {
    const UNITS: [(&str, f64); 4] = [("KG", 1.0), ("T", 1000.0), ("LB", POUND_KG), ("TON", 907.184_74)];
    scaled(node, &UNITS, "mass")
}

/// A number as the map format has it, without the rounding of a conversion.
pub(super) fn shown(value: f64) -> String {
    let rounded = (value * 1e6).round() / 1e6;
    rounded.to_string()
}

/// The least wing span of a class and the span below which it ends, metres. AIXM's classes are the Airplane Design Groups of FAA
/// AC 150/5300-13B, table 1-2, in feet; exactly 49 ft is group II.
pub(crate) fn span_class_m(class: &str) -> Option<(f64, f64)> {
    const CLASSES: [(&str, f64, f64); 6] = [
        ("I", 0.0, 49.0),
        ("II", 49.0, 79.0),
        ("III", 79.0, 118.0),
        ("IV", 118.0, 171.0),
        ("V", 171.0, 214.0),
        ("VI", 214.0, 262.0),
    ];
    let of = CLASSES.iter().find(|(name, ..)| *name == class)?;
    Some((of.1 * FOOT_M, of.2 * FOOT_M))
}
