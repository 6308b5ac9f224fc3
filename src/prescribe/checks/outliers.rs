//! Samples that are unlike what their neighbours say, and what each does to the tons.

use std::collections::BTreeMap;

use super::super::notes::shown;
use super::without::Totals;
use super::{LayerData, NAMED, words_of};
use crate::error::Error;
use crate::findings::{Finding, Place};
use crate::surfaces::{StandsOut, find_outliers};

/// The least scale of the differences between a reading and what its neighbours say (ours: about
/// what two cores a few steps apart differ by). With it, 0.7 pH, 0.35 buffer pH and 1.75 meq/100 g
/// are the least differences that are told.
fn floor_of(key: &str) -> f64 {
    match key {
        "buffer_ph" => 0.1,
        "acidity" => 0.5,
        _ => 0.2,
    }
}

/// One finding for each sample that stands out, the one furthest off first, at most ten.
///
/// `with` are the totals with all samples; `without` works them out without each of some places, and
/// is asked for the told ones only.
///
/// # Errors
/// Passes on those of `without`.
pub(super) fn told(
    data: &LayerData<'_>,
    with: Totals,
    without: impl Fn(&[usize]) -> Result<Vec<Option<Totals>>, Error>,
) -> Result<Vec<Finding>, Error> {
    let mut of_place: BTreeMap<usize, Vec<(&str, StandsOut)>> = BTreeMap::new();
    for left_out in &data.soils.left_out {
        let found = find_outliers(
            &left_out.places,
            &left_out.values,
            &left_out.estimates,
            floor_of(left_out.key),
            NAMED,
        );
        for outlier in found {
            let place = left_out.numbers[outlier.site];
            if is_read(data, left_out.key, place) {
                of_place.entry(place).or_default().push((left_out.key, outlier));
            }
        }
    }
    let furthest = |outliers: &[(&str, StandsOut)]| {
        outliers.iter().map(|(_, outlier)| outlier.scales_off).fold(0.0, f64::max)
    };
    let mut worst: Vec<(usize, Vec<(&str, StandsOut)>)> = of_place.into_iter().collect();
    worst.sort_by(|a, b| furthest(&b.1).total_cmp(&furthest(&a.1)));
    worst.truncate(NAMED);
    let places: Vec<usize> = worst.iter().map(|(place, _)| *place).collect();
    let findings = worst.iter().zip(without(&places)?).map(|((place, outliers), without)| {
        let effect = effect(data, with, without);
        Finding::at(
            "sample_unlike_neighbours",
            Place { sample: Some(data.name_of(*place)), ..Place::default() },
            format!("{} {effect} It is used; check it before the map is.", readings(outliers)),
        )
    });
    Ok(findings.collect())
}

/// Whether the reading at a place was made; a blank that enters the map as a reading was not.
fn is_read(data: &LayerData<'_>, key: &str, place: usize) -> bool {
    let Some(buffer) = data.samples.buffer.as_ref().filter(|_| key == "buffer_ph") else {
        return true;
    };
    data.soils.places.groups()[place].iter().any(|&sample| !buffer.blank[sample])
}

fn readings(outliers: &[(&str, StandsOut)]) -> String {
    let parts: Vec<String> = outliers
        .iter()
        .map(|(key, outlier)| {
            format!(
                "{} reads {:.2} where its neighbours say {:.2}",
                words_of(key),
                outlier.value,
                outlier.others_say
            )
        })
        .collect();
    format!("{}.", parts.join(", and "))
}

fn effect(data: &LayerData<'_>, with: Totals, without: Option<Totals>) -> String {
    let Some(without) = without else { return "There is no map without it.".to_owned() };
    let units = data.job.units;
    let product = |totals: Totals| shown(units.product(totals.product), 2);
    let need = |totals: Totals| shown(units.carbonate(totals.need), 2);
    if product(with) != product(without) {
        return format!(
            "The field gets {} of product with it and {} without it.",
            product(with),
            product(without)
        );
    }
    // Where rates are at a limit anyway, the product says nothing of what the sample does.
    format!(
        "The field gets {} of product with it and without it, and needs {} of CaCO3 with it and \
         {} without it.",
        product(with),
        need(with),
        need(without)
    )
}
