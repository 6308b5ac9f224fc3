//! The openings of sieves, by which sieves of different names are put in one order.

/// Openings in millimetres by mesh. Source: Crop File handbook, section 2.03-011, liming material
/// quality (key `crop_file_liming_material_quality`).
const OPENINGS: [(&str, f64); 9] = [
    ("4", 4.76),
    ("8", 2.38),
    ("10", 2.00),
    ("20", 0.841),
    ("30", 0.595),
    ("40", 0.420),
    ("50", 0.297),
    ("60", 0.250),
    ("100", 0.149),
];

/// The opening of a sieve in millimetres: `10` is a mesh, `3.35 mm` an opening; `None` for a mesh
/// whose opening is not known here.
pub(super) fn opening_mm(sieve: &str) -> Option<f64> {
    let sieve = sieve.trim();
    if let Some(number) = sieve.strip_suffix("mm") {
        return number.trim().parse().ok().filter(|opening: &f64| *opening > 0.0);
    }
    OPENINGS.iter().find(|(mesh, _)| *mesh == sieve).map(|&(_, opening)| opening)
}

/// A sieve in words: `10 mesh`, `3.35 mm`.
pub(super) fn sieve_words(sieve: &str) -> String {
    if sieve.trim().ends_with("mm") { sieve.trim().to_owned() } else { format!("{sieve} mesh") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_finer_mesh_has_a_smaller_opening() {
        assert!(OPENINGS.windows(2).all(|pair| pair[0].1 > pair[1].1));
        assert_eq!(opening_mm("10"), Some(2.0));
        assert_eq!(opening_mm("3.35 mm"), Some(3.35));
        for odd in ["11", "mm", "-1 mm", ""] {
            assert_eq!(opening_mm(odd), None, "{odd}");
        }
        assert_eq!(
            (sieve_words("10"), sieve_words("3.35 mm")),
            ("10 mesh".into(), "3.35 mm".into())
        );
    }
}
