//! What a file for a controller is of, in words.

/// Whose field, which material, when, and which of how many applications.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LoadLabel {
    /// Whose it is.
    pub customer: Option<String>,
    /// The farm.
    pub farm: Option<String>,
    /// The field.
    pub field: String,
    /// The material, as the job calls it.
    pub material: String,
    /// The day planned for spreading, as `YYYY-MM-DD`; files for a controller need one.
    pub date: Option<String>,
    /// The number of the revision; files for a controller need one.
    pub revision: Option<u32>,
    /// Which application this is, from 1.
    pub application: u32,
    /// How many applications there are.
    pub applications: u32,
}

impl LoadLabel {
    /// The revision that this one supersedes.
    pub fn supersedes(&self) -> Option<u32> {
        self.revision?.checked_sub(1).filter(|&earlier| earlier > 0)
    }

    /// All of it in one line of ASCII, for files that take no other text.
    pub(super) fn in_ascii(&self) -> String {
        let mut parts: Vec<String> = [
            ("customer", self.customer.as_ref()),
            ("farm", self.farm.as_ref()),
            ("field", Some(&self.field)),
            ("material", Some(&self.material)),
            ("spread", self.date.as_ref()),
        ]
        .into_iter()
        .filter_map(|(word, text)| Some(format!("{word} {}", text?)))
        .collect();
        if let Some(revision) = self.revision {
            let earlier = self.supersedes().map(|earlier| format!(", supersedes {earlier}"));
            parts.push(format!("revision {revision}{}", earlier.unwrap_or_default()));
        }
        parts.push(format!("application {} of {}", self.application, self.applications));
        let plain = |c: char| if c.is_ascii_graphic() || c == ' ' { c } else { '?' };
        parts.join("; ").chars().map(plain).collect()
    }
}
