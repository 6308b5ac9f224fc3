//! Sieves by mesh or by opening, and the classes that lie between them.

/// A sieve, as a scheme or an analysis names it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sieve {
    name: String,
    opening_mm: f64,
}

/// Openings of the sieves that lime is sieved with, by their mesh.
///
/// Source: Crop File 2.03.011, Liming material quality, Table 1 (undated).
const MESHES: [(&str, f64); 9] = [
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

/// How far two openings of one sieve may lie apart, of the opening: series of sieves round the
/// same openings a little differently (0.841 and 0.85 mm), and neighbours lie a fifth apart.
const SAME_OPENING: f64 = 0.02;

impl Sieve {
    /// The sieve that `text` names: a mesh (`8`, `8 mesh`) or an opening (`0.25 mm`, `250 um`).
    pub fn from_words(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        let opening = |number: &str, mm: f64| {
            let number: f64 = number.trim().parse().ok()?;
            (number.is_finite() && number > 0.0).then_some(number * mm)
        };
        if let Some(number) = text.strip_suffix("mm") {
            return Some(Self { opening_mm: opening(number, 1.0)?, name: text.clone() });
        }
        if let Some(number) = text.strip_suffix("um").or_else(|| text.strip_suffix("µm")) {
            return Some(Self { opening_mm: opening(number, 0.001)?, name: text.clone() });
        }
        let mesh = text.strip_suffix("mesh").map_or(text.as_str(), str::trim);
        let &(name, opening_mm) = MESHES.iter().find(|(name, _)| *name == mesh)?;
        Some(Self { name: name.to_owned(), opening_mm })
    }

    /// Its name as a key: the bare mesh, or the opening with its unit.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its name in a sentence: `8 mesh`, `0.25 mm`.
    pub fn words(&self) -> String {
        if self.is_mesh() { format!("{} mesh", self.name) } else { self.name.clone() }
    }

    /// The width of its openings, in millimetres.
    pub fn opening_mm(&self) -> f64 {
        self.opening_mm
    }

    /// Whether both have the same openings, to what series of sieves differ by.
    pub fn is(&self, other: &Self) -> bool {
        (self.opening_mm - other.opening_mm).abs() <= SAME_OPENING * other.opening_mm
    }

    fn is_mesh(&self) -> bool {
        self.name.parse::<f64>().is_ok()
    }
}

/// The mesh numbers that a sieve may be named by, for messages.
pub(super) fn known_meshes() -> String {
    MESHES.map(|(mesh, _)| mesh).join(", ")
}

/// The name of the class that `coarse` lets through and `fine` holds back; a class without one of
/// the two lies over the coarsest or falls through the finest sieve.
pub(super) fn class_name(coarse: Option<&Sieve>, fine: Option<&Sieve>) -> String {
    match (coarse, fine) {
        (None, None) => "all of it".to_owned(),
        (None, Some(fine)) => format!("over {}", fine.words()),
        (Some(coarse), None) => format!("through {}", coarse.words()),
        (Some(coarse), Some(fine)) if coarse.is_mesh() && fine.is_mesh() => {
            format!("{}-{} mesh", coarse.name, fine.name)
        }
        (Some(coarse), Some(fine)) => format!("{} to {}", coarse.words(), fine.words()),
    }
}

/// The two sieves of a class as it is written: `over 8`, `8-20`, `through 60`, `0.25-0.5 mm`.
/// The coarse one comes first, whichever was written first.
pub(super) fn class_from_words(text: &str) -> Option<(Option<Sieve>, Option<Sieve>)> {
    let text = text.trim().to_lowercase();
    if let Some(fine) = text.strip_prefix("over ") {
        return Some((None, Some(Sieve::from_words(fine)?)));
    }
    if let Some(coarse) = text.strip_prefix("through ") {
        return Some((Some(Sieve::from_words(coarse)?), None));
    }
    let (one, other) = text.split_once('-')?;
    let other_sieve = Sieve::from_words(other)?;
    // A unit behind both stands for both.
    let unit: String = other.chars().skip_while(|c| !c.is_alphabetic()).collect();
    let one =
        if one.contains(char::is_alphabetic) { one.to_owned() } else { format!("{one} {unit}") };
    let one_sieve = Sieve::from_words(&one)?;
    Some(if one_sieve.opening_mm >= other_sieve.opening_mm {
        (Some(one_sieve), Some(other_sieve))
    } else {
        (Some(other_sieve), Some(one_sieve))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sieve(text: &str) -> Sieve {
        Sieve::from_words(text).expect(text)
    }

    #[test]
    fn a_sieve_is_the_same_by_mesh_and_by_opening() {
        for (mesh, opening) in
            [("60", "0.25 mm"), ("60 mesh", "250 um"), ("20", "0.85 mm"), ("50", "0.30 mm")]
        {
            assert!(sieve(mesh).is(&sieve(opening)), "{mesh} {opening}");
        }
        assert!(!sieve("50").is(&sieve("60")) && !sieve("8").is(&sieve("10")));
        assert_eq!(sieve("8 mesh").words(), "8 mesh");
        assert_eq!(sieve("0.5 mm").words(), "0.5 mm");
        for odd in ["", "7", "-1 mm", "0 mm", "mm", "NaN mm", "fine"] {
            assert!(Sieve::from_words(odd).is_none(), "{odd}");
        }
    }

    #[test]
    fn meshes_run_from_coarse_to_fine() {
        assert!(MESHES.windows(2).all(|pair| pair[0].1 > pair[1].1 * (1.0 + SAME_OPENING)));
    }

    #[test]
    fn a_class_is_read_in_mesh_and_in_millimetres_either_way_round() {
        let read = |text| class_from_words(text).expect(text);
        let name = |text| {
            let (coarse, fine) = read(text);
            class_name(coarse.as_ref(), fine.as_ref())
        };
        assert_eq!(name("over 8"), "over 8 mesh");
        assert_eq!(name("8-20"), "8-20 mesh");
        assert_eq!(name("20 - 8 mesh"), "8-20 mesh");
        assert_eq!(name("0.25-0.5 mm"), "0.5 mm to 0.25 mm");
        assert_eq!(name("through 0.125 mm"), "through 0.125 mm");
        for odd in ["8", "8-", "-8", "over", "through x", "8-7"] {
            assert!(class_from_words(odd).is_none(), "{odd}");
        }
    }
}
