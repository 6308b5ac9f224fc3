//! What is known of many soils beside pH and buffer pH, column by column.

use crate::agronomy::SoilValues;
use crate::surfaces::Weights;
use crate::units::{SoilValue, TextureClass};

/// Values of soils as they were reported, one entry for each sampled place, or for each cell.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ValueColumns {
    /// Each value that was read everywhere, in the order of [`SoilValue::ALL`].
    pub numbers: Vec<(SoilValue, Vec<f64>)>,
    /// The texture classes.
    pub textures: Option<Vec<TextureClass>>,
}

impl ValueColumns {
    /// The numbers of one value.
    pub fn column(&self, value: SoilValue) -> Option<&[f64]> {
        let found = self.numbers.iter().find(|(known, _)| *known == value);
        found.map(|(_, numbers)| numbers.as_slice())
    }

    /// What is known of one soil.
    pub fn at(&self, soil: usize) -> SoilValues {
        let texture = self.textures.as_ref().map(|all| all[soil]);
        let start = SoilValues::of_texture(texture);
        self.numbers.iter().fold(start, |values, (value, all)| values.with(*value, all[soil]))
    }

    /// The same, or `None` where nothing is known of any soil, as of most fields: cells are many,
    /// and values of one take long to copy.
    pub(super) fn known_at(&self, soil: usize) -> Option<SoilValues> {
        let is_known = !self.numbers.is_empty() || self.textures.is_some();
        is_known.then(|| self.at(soil))
    }

    /// The values at the cells of `weights`, from those at the places that it weighs: numbers by
    /// their weights, and of the texture classes the one with the greatest weight.
    #[must_use]
    pub fn weighed(&self, weights: &Weights) -> Self {
        let cells = 0..weights.len();
        let of_column = |(value, all): &(SoilValue, Vec<f64>)| {
            (*value, cells.clone().map(|cell| weights.value(cell, all)).collect())
        };
        Self {
            numbers: self.numbers.iter().map(of_column).collect(),
            textures: self.textures.is_some().then(|| {
                cells.clone().filter_map(|cell| self.heaviest_at(weights, cell)).collect()
            }),
        }
    }

    /// The texture class with the greatest weight at a cell, of those at the places that `weights`
    /// weighs.
    pub(super) fn heaviest_at(&self, weights: &Weights, cell: usize) -> Option<TextureClass> {
        let all = self.textures.as_ref()?;
        Some(heaviest(weights.entries(cell).map(|(at, weight)| (all[at], weight))))
    }

    /// What one composite of all the soils would have shown: the means, and the most frequent
    /// texture class.
    pub fn mean(&self) -> SoilValues {
        let texture = self.textures.as_ref().map(|all| most_frequent(all.iter().copied()));
        let start = SoilValues::of_texture(texture);
        self.numbers.iter().fold(start, |values, (value, all)| {
            values.with(*value, all.iter().sum::<f64>() / all.len() as f64)
        })
    }

    /// These columns and those of `other` that are not among them.
    #[must_use]
    pub fn beside(self, other: Self) -> Self {
        let Self { mut numbers, textures } = self;
        for (value, all) in other.numbers {
            if numbers.iter().all(|(known, _)| *known != value) {
                numbers.push((value, all));
            }
        }
        numbers.sort_by_key(|(value, _)| *value);
        Self { numbers, textures: textures.or(other.textures) }
    }

    /// The same columns with what `picked` makes of each.
    #[must_use]
    pub fn map(
        &self,
        numbers: impl Fn(&[f64]) -> Vec<f64>,
        textures: impl Fn(&[TextureClass]) -> Vec<TextureClass>,
    ) -> Self {
        Self {
            numbers: self.numbers.iter().map(|(value, all)| (*value, numbers(all))).collect(),
            textures: self.textures.as_ref().map(|all| textures(all)),
        }
    }
}

/// The class that stands most often; the lighter one of two that stand as often.
pub fn most_frequent(classes: impl Iterator<Item = TextureClass>) -> TextureClass {
    heaviest(classes.map(|class| (class, 1.0)))
}

/// The class with the greatest weight; the lighter one of two that weigh the same.
fn heaviest(classes: impl Iterator<Item = (TextureClass, f64)>) -> TextureClass {
    let mut weight = [0.0; TextureClass::ALL.len()];
    for (class, of_one) in classes {
        weight[class as usize] += of_one;
    }
    let mut best = TextureClass::ALL[0];
    for class in TextureClass::ALL {
        if weight[class as usize] > weight[best as usize] {
            best = class;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use TextureClass::{Clay, Loam, Sand};

    #[test]
    fn a_mixture_has_the_class_of_the_greatest_weight() {
        let of = |parts: &[(TextureClass, f64)]| heaviest(parts.iter().copied());
        assert_eq!(of(&[(Clay, 0.4), (Sand, 0.3), (Loam, 0.3)]), Clay);
        assert_eq!(of(&[(Clay, 0.4), (Sand, 0.3), (Sand, 0.3)]), Sand);
        assert_eq!(of(&[(Clay, 0.5), (Loam, 0.5)]), Loam);
    }

    #[test]
    fn soils_are_told_one_by_one_and_together() {
        let columns = ValueColumns {
            numbers: vec![(SoilValue::Cec, vec![8.0, 12.0, 13.0])],
            textures: Some(vec![Sand, Clay, Clay]),
        };
        let second = columns.at(1);
        assert_eq!((second.get(SoilValue::Cec), second.texture()), (Some(12.0), Some(Clay)));
        assert_eq!(second.get(SoilValue::Clay), None);
        let mean = columns.mean();
        assert_eq!((mean.get(SoilValue::Cec), mean.texture()), (Some(11.0), Some(Clay)));
        assert_eq!(columns.column(SoilValue::Cec), Some([8.0, 12.0, 13.0].as_slice()));
        let turned = |all: &[f64]| all.iter().rev().copied().collect();
        let turned = columns.map(turned, <[TextureClass]>::to_vec);
        assert_eq!(turned.column(SoilValue::Cec), Some([13.0, 12.0, 8.0].as_slice()));
    }
}
