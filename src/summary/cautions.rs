//! The usual cautions, beside every result.

use crate::material::Kind;

/// What to mind with this kind of material. The first line says what comes before the program.
pub fn cautions(kind: &Kind) -> Vec<String> {
    let mut lines = vec![
        "The product's label, local rules and licensed or local advice come before this program; \
         a method holds for the soils and the laboratory test that it was made on."
            .to_owned(),
        "Lime dust harms lungs and eyes and may hold crystalline silica: wear a dust mask and \
         goggles, and stay out of the cloud."
            .to_owned(),
        "Raised bodies reach power lines: keep 10 ft (3 m) or more away in every direction, ask \
         the utility, and never drive with the body up."
            .to_owned(),
        "Keep lime out of wells, streams and ponds, and off frozen or steep ground; distances \
         are set by local rules."
            .to_owned(),
        "Too much lime ties up phosphorus, boron, zinc, copper and manganese and changes how \
         herbicides act: do not lime again before a new soil test."
            .to_owned(),
    ];
    lines.extend(kind.by_product.iter().map(|&note| note.to_owned()));
    if kind.caustic {
        lines.insert(
            1,
            format!(
                "{} is caustic: it burns moist skin and eyes; wear gloves and goggles, brush off \
                 dry dust before rinsing, and keep it dry, since quicklime heats up with water.",
                capitalised(kind.name)
            ),
        );
    }
    lines
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::Place;
    use crate::material::kind_named;

    #[test]
    fn caustic_kinds_say_so_and_limestone_does_not() {
        let text = |name| cautions(kind_named(name, Place::default()).expect("limes")).join(" ");
        assert!(text("hydrated lime").contains("caustic"));
        assert!(!text("calcitic limestone").contains("caustic"));
        assert!(text("calcitic limestone").contains("power lines"));
        assert!(text("beet lime").contains("phosphorus: count it"));
        for by_product in ["beet lime", "water-treatment lime", "wood ash", "kiln dust", "slag"] {
            assert!(text(by_product).contains("ask locally whether a permit"), "{by_product}");
        }
        assert!(text("beet lime").contains("bands of very high pH"));
        assert!(!text("marl").contains("permit"));
    }
}
