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
