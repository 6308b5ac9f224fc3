//! Names in a sentence.

use super::clean;

/// The first `most` names, and how many more there are.
pub fn first_of<T: AsRef<str>>(names: &[T], most: usize) -> String {
    let shown: Vec<String> = names.iter().take(most).map(|name| clean(name.as_ref())).collect();
    match names.len().saturating_sub(most) {
        0 => shown.join(", "),
        more => format!("{} and {more} more", shown.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::first_of;

    #[test]
    fn the_rest_is_counted() {
        assert_eq!(first_of(&["a", "b"], 2), "a, b");
        assert_eq!(first_of(&["a", "b\n", "c", "d"], 2), "a, b\u{fffd} and 2 more");
        assert_eq!(first_of::<&str>(&[], 2), "");
    }
}
