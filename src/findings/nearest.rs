//! The known word nearest to one that was typed.

/// The word of `known` that is most like `typed`, where any is like it at all.
pub fn nearest_of<'k>(typed: &str, known: &[&'k str]) -> Option<&'k str> {
    let typed = typed.to_lowercase();
    known
        .iter()
        .map(|&word| (strsim::normalized_damerau_levenshtein(&typed, &word.to_lowercase()), word))
        .filter(|&(likeness, _)| likeness >= 0.5)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, word)| word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slip_of_the_finger_finds_its_word_and_nonsense_finds_none() {
        let known = ["pass_spacing", "payload", "step"];
        assert_eq!(nearest_of("pas_spacing", &known), Some("pass_spacing"));
        assert_eq!(nearest_of("Payload", &known), Some("payload"));
        assert_eq!(nearest_of("zzzzz", &known), None);
    }
}
