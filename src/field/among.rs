//! Which of several fields hold a sample.

use super::door::Door;
use super::fit::Samples;
use super::outline::Field;
use crate::findings::{Place, Refusal};

/// For each sample the fields that it lies in, by their places in the list; none where its system
/// cannot hold it.
///
/// # Errors
/// Refuses a system that PROJ does not know.
pub fn fields_around(fields: &[&Field], samples: &Samples<'_>) -> Result<Vec<Vec<usize>>, Refusal> {
    let door = Door::open(samples.system, &Place::in_file(samples.file))?;
    let outlines: Vec<_> = fields.iter().map(|field| field.edges()).collect();
    let around = |&raw| {
        let Some(place) = door.place_of(raw) else { return Vec::new() };
        let holds = |&at: &usize| outlines[at].hold(fields[at].frame().forward(place));
        (0..fields.len()).filter(holds).collect()
    };
    Ok(samples.raw.iter().map(around).collect())
}
