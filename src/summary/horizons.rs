//! Over how many years the fineness of materials is counted, and where that changes their order.

use super::{ComparedPart, HorizonPart, OfferParts};
use crate::material::Material;

/// The years over which materials are compared.
#[derive(Debug)]
pub(super) struct Horizons {
    /// Each that a scheme with several has, the one that the materials are ranked by first;
    /// none where no scheme has several.
    pub(super) names: Vec<&'static str>,
    /// Why the first is the first.
    pub(super) why: Option<String>,
}

impl Horizons {
    /// Those of `offers`, of which each is there once for each horizon of its scheme; ranked by
    /// the one that the material of the job counts over, else by the one that the first material
    /// with several is stated over.
    pub(super) fn of(job: &Material, offers: &[Vec<OfferParts<'_>>]) -> Self {
        let mut names = Vec::new();
        for horizon in offers
            .iter()
            .filter(|over_each| over_each.len() > 1)
            .flatten()
            .filter_map(|offer| counted_over(offer.material))
        {
            if !names.contains(&horizon) {
                names.push(horizon);
            }
        }
        let of_first = || Some(offers.iter().find(|over_each| over_each.len() > 1)?[0].material);
        let leads =
            |material: &Material| names.iter().position(|&it| counted_over(material) == Some(it));
        let stated_for = if leads(job).is_some() { Some(job) } else { of_first() };
        let Some((material, at)) = stated_for.and_then(|it| Some((it, leads(it)?))) else {
            return Self { names, why: None };
        };
        names[..=at].rotate_right(1);
        let why = format!(
            "The first order counts fineness over {}, as stated for {}.",
            names[0], material.name
        );
        Self { names, why: Some(why) }
    }

    /// Why the first is the first, and whether the order is another over the others.
    pub(super) fn notes(&self, parts: &[HorizonPart]) -> Vec<String> {
        let Some((first, others)) = parts.split_first() else { return Vec::new() };
        let changes = others.iter().map(|other| change(first, other));
        self.why.iter().cloned().chain(changes).collect()
    }
}

/// The years over which the fineness of a material is counted, where its scheme states any.
pub(super) fn counted_over(material: &Material) -> Option<&'static str> {
    material.analysis.as_ref()?.fineness.horizon.over.as_deref()
}

/// What is another in the order of `other` than in that of `first`.
fn change(first: &HorizonPart, other: &HorizonPart) -> String {
    let over = other.horizon.as_deref().unwrap_or_default();
    let moved: Vec<String> = first
        .materials
        .iter()
        .filter_map(|one| {
            let there = other.materials.iter().find(|there| is_same(one, there))?;
            let (was, is) = (one.rank?, there.rank?);
            (was != is).then(|| format!("{} goes from place {was} to {is}", with_lot(one)))
        })
        .collect();
    if first.compared_by.is_none() {
        format!("Over {over} no material is ranked either.")
    } else if moved.is_empty() {
        format!("Over {over} the order is the same.")
    } else {
        format!("Over {over} the order is another: {}.", moved.join(", "))
    }
}

/// A list has no two materials of one name and lot.
fn is_same(one: &ComparedPart, other: &ComparedPart) -> bool {
    one.material.name == other.material.name && one.material.lot == other.material.lot
}

fn with_lot(part: &ComparedPart) -> String {
    let name = &part.material.name;
    part.material.lot.as_ref().map_or_else(|| name.clone(), |lot| format!("{name} (lot {lot})"))
}
