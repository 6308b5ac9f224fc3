//! Which material to choose: the need of the field once, and what each material of a list would
//! come to.

use std::path::Path;

use super::ordering::ordered;
use super::rating::{Rated, orders_on, override_list, rated};
use super::{Allowed, Prescribed, Work, prescribe};
use crate::error::Error;
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::inputs::{Job, Listed, NamedFile, Offer, ReadMaterials, read_materials};
use crate::material::Material;
use crate::summary::{
    ComparisonParts, MaterialComparison, OfferParts, RefusedParts, build_comparison,
};
use crate::units::{ProductMass, SoilValue, is_by_volume};

/// Materials compared on one field.
#[derive(Debug)]
pub struct Compared {
    /// What each comes to, in numbers and words.
    pub comparison: MaterialComparison,
    /// What the data of the job told.
    pub findings: Vec<Finding>,
}

/// Runs the need of the job `path` once and compares the materials of `list`, or of the list that
/// the job names. Writes nothing.
///
/// # Errors
/// Refuses a job that cannot be run, and a list that cannot be read; returns an imbalance of the
/// ledger as a fault of the program. Materials that do not lime are listed, not refused.
pub fn compare_materials(
    path: &Path,
    sets: &[String],
    list: Option<&Path>,
    allowed: Allowed,
) -> Result<Compared, Error> {
    let done = prescribe(path, sets, Allowed { any_material: true, ..allowed })?;
    let job = &done.work.job;
    let file = list_file(job, list)?;
    let materials = read_materials(&file, job)?;
    unverified_schemes(&materials, allowed)?;
    let mut offers = Vec::new();
    let mut refused = Vec::new();
    for listed in &materials.list {
        match listed {
            Listed::Offer(offer) => offers.push(run_offer(&done, offer)?),
            Listed::DoesNotLime { name, supplier, kind, why } => refused.push(RefusedParts {
                name,
                supplier: supplier.as_deref(),
                kind: kind.name,
                why,
            }),
        }
    }
    let findings: Vec<Finding> =
        done.findings.iter().filter(|finding| !is_of_the_material(finding)).cloned().collect();
    let prescription = &done.work.prescription;
    let comparison = build_comparison(&ComparisonParts {
        job,
        list: &file.given,
        need: prescription.ledger.need,
        area: prescription.area,
        offers: &offers,
        refused: &refused,
        soil_magnesium_ppm: mean_ppm(&done, SoilValue::Magnesium),
        soil_calcium_ppm: mean_ppm(&done, SoilValue::Calcium),
        findings: &findings,
        read: &done.summary.inputs,
        list_file: &materials.file,
    });
    Ok(Compared { comparison, findings })
}

/// What hangs on the material that the need was run with is told for each of them.
fn is_of_the_material(finding: &Finding) -> bool {
    [
        "need_left_unmet",
        "rate_areas_held_back",
        "more_than_published_single_rates",
        "need_below_the_least",
        "map_uses_more_than_composite",
        "override_changes_nothing",
        "sample_unlike_neighbours",
        "unused_keys",
        "supply_falls_short",
        "quality_not_met",
        "quality_not_known",
    ]
    .contains(&finding.key)
}

fn list_file(job: &Job, list: Option<&Path>) -> Result<NamedFile, Refusal> {
    let typed = list.map(|path| NamedFile { given: path.display().to_string(), path: path.into() });
    typed.or_else(|| job.material_list.clone()).ok_or_else(|| {
        let what = "the job names no list of materials to choose from";
        Problem::at(Place::in_file(job.file.clone()), what)
            .allowed("a file with one `[[material]]` for each")
            .hint("name it with --list FILE, or as `from` in the job's `[material]`")
            .into()
    })
}

/// The mean of an exchangeable cation over the samples of the top layer, in mg/kg; `None` where it
/// is not read, or is stated for a volume of soil, whose mass is not known.
fn mean_ppm(done: &Prescribed, value: SoilValue) -> Option<f64> {
    let top = done.work.layers.first()?;
    let unit = top.given.units.get(value).filter(|unit| !is_by_volume(unit))?;
    let reported = top.samples.values.column(value)?;
    let mean = reported.iter().sum::<f64>() / reported.len() as f64;
    let one_ppm = value.canonical(1.0, "ppm")?;
    Some(value.canonical(mean, unit)? / one_ppm)
}

/// A scheme whose numbers were written from memory counts only where that is allowed.
fn unverified_schemes(materials: &ReadMaterials, allowed: Allowed) -> Result<(), Refusal> {
    if allowed.unverified {
        return Ok(());
    }
    let of_offer = |listed: &Listed| {
        let Listed::Offer(offer) = listed else { return None };
        let scheme = offer.material.unverified_scheme()?;
        let what = format!(
            "the material `{}` is counted by the fineness scheme `{}`, whose numbers were written \
             from memory",
            offer.material.name,
            scheme.id()
        );
        let problem = Problem::at(Place::in_file(&materials.file.path), what)
            .allowed("schemes whose numbers were seen in their source")
            .hint("choose another, or allow it with --allow-unverified");
        Some(problem)
    };
    Refusal::unless_clean(materials.list.iter().filter_map(of_offer).collect(), ())
}

/// What one material comes to on the field of `done`: over the horizon that the list states, then
/// over each other of its scheme.
fn run_offer<'a>(done: &Prescribed, offer: &'a Offer) -> Result<Vec<OfferParts<'a>>, Error> {
    let all = std::iter::once(&offer.material).chain(&offer.over_other_horizons);
    all.map(|material| run_material(done, offer, material)).collect()
}

fn run_material<'a>(
    done: &Prescribed,
    offer: &'a Offer,
    material: &'a Material,
) -> Result<OfferParts<'a>, Error> {
    let work = &done.work;
    let job = &work.job;
    let haul = offer.haul.as_ref();
    let machine = job.machine_for(material.effective).map_err(Refusal::from)?;
    let Work { cells, soils, partition, .. } = work;
    let list = override_list(job);
    let orders = orders_on(&list, cells, partition);
    let with = (&machine, material.effective);
    let Rated { whole: prescription, applications, .. } =
        rated(job, cells, partition, &soils.needs, &orders, with)?;
    let products: Vec<ProductMass> = applications.iter().map(|one| one.product).collect();
    Ok(OfferParts {
        material,
        lot: &offer.lot,
        haul,
        spread_over: applications.iter().map(|one| one.treated_area).sum(),
        ordered: ordered(&job.order, haul, &machine, material, &products),
        prescription,
    })
}
