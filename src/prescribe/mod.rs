//! The hallway: walks the rooms in order, from a job file to a finished prescription.

mod advice;
mod areas;
mod benefit;
mod beyond;
mod by_zone;
mod checks;
mod choose;
mod crops;
mod doubts;
mod drawn;
mod explain;
mod explain_layer;
mod exports;
mod fields;
mod files;
mod finished;
mod flow_notes;
mod layers;
mod loads;
mod machine;
mod machine_notes;
mod meter;
mod meter_log;
mod need_steps;
mod needed;
mod notes;
mod order_notes;
mod ordering;
mod own_table;
mod practice_notes;
mod range;
mod rating;
mod reading;
mod reasons;
mod recommended;
mod regions;
mod risk;
mod sheets;
mod side_by_side;
mod site_notes;
mod sketch;
mod sketch_outline;
mod soils;
mod spreads;
mod supply_notes;
mod throw_notes;
mod unmet;
mod unused;
mod zone_points;
mod zones;

use std::path::Path;
use std::sync::Arc;

use crate::agronomy::{Given, LimeMethod, Missing, Prepared, SoilValues};
use crate::error::Error;
use crate::field::{Cells, Field, LonLat, Partition, lay_cells};
use crate::findings::Finding;
use crate::hash::sha256;
use crate::inputs::{Job, JobSource, effective_job_text};
use crate::machine::MachineRate;
use crate::outputs::ExportFile;
use crate::prescription::{
    CellSoil, FlatRates, Intervals, Orders, Prescription, RateAreas, Sensitivity, flat_rates,
    prescribe_overridden, sensitivity, soil_of_composite,
};
use crate::store::Output;
use crate::summary::{
    ApplicationParts, BenefitParts, DoubtPart, LayerParts, MachineParts, OrderedParts, Parts,
    Summary, UnmetParts, build_summary,
};
use crate::surfaces::Standing;
use crate::units::{Area, Length, LimeNeed, ProductMass, SoilValue};

pub use advice::{Advised, advise_methods};
pub use choose::{Compared, compare_materials};
pub use fields::{
    Earlier, FieldFailure, FieldsAsked, Progress, RanField, RanFields, TOGETHER, run_fields,
    store_together, tell_of_list,
};
pub use finished::read_finished;

use layers::Stratum;
use rating::{Rated, orders_on, override_list, rated_this_time};
use reading::{Read, ReadLayer, read_all};
use risk::{Risks, risks_told};
use soils::{LayerSoils, Soils, map_soils};

/// What a run may do beyond the plain case.
#[derive(Clone, Copy, Debug, Default)]
pub struct Allowed {
    /// Methods whose numbers were written from memory.
    pub unverified: bool,
    /// Any material of the list that the job names, where it names none of them.
    pub any_material: bool,
    /// Any method, where the job names none.
    pub any_method: bool,
}

/// A finished prescription.
#[derive(Debug)]
pub struct Prescribed {
    /// The result in numbers and words.
    pub summary: Summary,
    /// What the data told, in the order in which it was found.
    pub findings: Vec<Finding>,
    /// What the data are, finding or not: counts, ranges, density, how far to trust the map. One
    /// sentence each.
    pub about: Vec<String>,
    work: Work,
    exports: Vec<ExportFile>,
}

/// What the files of a result are made from.
#[derive(Debug)]
struct Work {
    job: Job,
    field: Field,
    partition: Partition,
    method: Arc<dyn LimeMethod>,
    layers: Vec<ReadLayer>,
    cells: Cells,
    soils: Soils,
    risks: Option<Risks>,
    prescription: Prescription,
    /// What each application spreads of it.
    applications: Vec<Prescription>,
    areas: Option<RateAreas>,
    effective_job: String,
}

impl Prescribed {
    /// The files of the result, ready to be stored.
    ///
    /// # Errors
    /// Returns a fault of the program where a file cannot be put together.
    pub fn files(&self) -> Result<Vec<Output<'_>>, Error> {
        files::result_files(&self.work, &self.summary, &self.exports)
    }
}

/// Runs the job `path`, with each of `sets` (`key=value`) put over it. Writes nothing.
///
/// # Errors
/// Refuses input that cannot be taken, naming every problem found up to there; returns an
/// imbalance of the ledger as a fault of the program.
pub fn prescribe(path: &Path, sets: &[String], allowed: Allowed) -> Result<Prescribed, Error> {
    prescribe_job(&JobSource { path, shared: None, sets }, allowed)
}

/// Runs a job, which may share settings with others. Writes nothing.
///
/// # Errors
/// Refuses and fails as [`prescribe`] does.
pub fn prescribe_job(source: &JobSource<'_>, allowed: Allowed) -> Result<Prescribed, Error> {
    let Read { job, field, partition, layers, method, mut findings, inputs } =
        read_all(source, allowed)?;
    let cells = lay_cells(&field, &partition, job.cell, job.heading)?;
    findings.extend(cells.findings.iter().cloned());
    let soils = map_soils(&job, &cells, &partition, &layers)?;
    let effective = job.material.effective;
    let list = override_list(&job);
    let orders = orders_on(&list, &cells, &partition);
    let Rated { own, whole: prescription, areas, applications } =
        rated_this_time(&job, &cells, &partition, &soils.needs, &orders)?;
    let own = own.as_ref().unwrap_or(&prescription);
    let composite = composite_soils(&layers, &soils)
        .map_err(|missing| Error::Fault(format!("the composite soil has {missing}")))?;
    let composite_need = composite.iter().map(|soil| soil.need).sum();
    let flat = flat_rates(&prescription, composite_need, effective, &job.machine);
    let rates = &prescription.cells;
    let hanging = sensitivity(&soils.with(&layers), rates, &orders, effective, &job.machine)
        .map_err(|missing| Error::Fault(format!("a cell has {missing}")))?;
    let (intervals, doubts) = doubts::doubted(&job, &layers, &soils, &prescription, &orders)
        .map_err(|missing| Error::Fault(format!("a cell of a draw has {missing}")))?;
    for (of_layer, ReadLayer { stratum, .. }) in soils.layers.iter().zip(&layers) {
        let found = of_layer.findings.iter().cloned();
        findings.extend(found.map(|finding| Stratum::tell(stratum.as_ref(), finding)));
    }
    findings.extend(notes::of_soils(&job, &cells, &soils, &layers));
    let (risks, told) = risks_told(&job, method.card(), &cells, &soils, &layers);
    findings.extend(told);
    findings.extend(unused::unused_keys(&job, &layers[0]));
    let data = checks::Data { job: &job, cells: &cells, soils: &soils, layers: &layers };
    let product_on = |some: &[usize], needs: &[LimeNeed]| -> Result<ProductMass, Error> {
        let needs: Vec<(Area, LimeNeed)> =
            some.iter().zip(needs).map(|(&at, &need)| (cells.list[at].area, need)).collect();
        let area = needs.iter().map(|(area, _)| *area).sum();
        let of_cell = some.iter().map(|&at| orders.of_cell[at]).collect();
        let orders = Orders { list: &list, of_cell };
        Ok(prescribe_overridden(&needs, &orders, effective, &job.machine, area)?.product)
    };
    findings.extend(checks::of_data(&data, own.product, product_on)?);
    let about = checks::about(&data);
    let ground = machine::Ground { field: &field, partition: &partition, cells: &cells };
    let reached = machine::measure(&job, &ground, &prescription, &applications);
    findings.extend(machine_notes::of_machine(&job, &reached, &prescription, &applications));
    findings.extend(notes::of_rates(&job, own));
    findings.extend(site_notes::of_site(&job, &field, &partition));
    findings.extend(areas::notes(&job, areas.as_ref(), &prescription));
    findings.extend(order_notes::of_order(&job, &prescription, &flat));
    let ordered = ordering::ordered_in(&job, &applications);
    findings.extend(supply_notes::of_supply(&job, ordered.totals.to_order));
    let application = practice_notes::single_application(&job, &prescription);
    findings.extend(practice_notes::of_practice(&job, &application));
    let unmet = unmet::unmet_of(&job, &prescription);
    if let Some(unmet) = &unmet {
        // What the map does not do comes before all that it does.
        findings.insert(0, unmet::finding(unmet));
    }
    let spread = (&prescription, areas.as_ref());
    let benefit = benefit::benefit_of(&job, &soils, &layers, risks.as_ref(), spread);
    let effective_job = effective_job_text(&job).map_err(Error::Fault)?;
    let asked = Asked {
        job: &job,
        place: field.frame().centre(),
        partition: &partition,
        method: method.as_ref(),
        layers: &layers,
        composite: &composite,
        risks: risks.as_ref(),
        benefit: &benefit,
        unmet: unmet.as_ref(),
        application: &application,
        applications: &applications,
        ordered: &ordered,
        reached: &reached,
        hanging,
        intervals,
        doubts: &doubts,
        areas: areas.as_ref(),
    };
    let summary =
        asked.summary(&cells, &soils, &prescription, &flat, &findings, &inputs, &effective_job);
    let work = Work {
        job,
        field,
        partition,
        method,
        layers,
        cells,
        soils,
        risks,
        prescription,
        applications,
        areas,
        effective_job,
    };
    let exports::Exported { files: exports, parts } = exports::exported(&work)?;
    let summary = Summary { exports: parts, sketch: Some(sketch::sketch_of(&work)), ..summary };
    Ok(Prescribed { summary, findings, about, work, exports })
}

/// What was asked, for the summary.
struct Asked<'a> {
    job: &'a Job,
    /// The middle of the box around the field.
    place: LonLat,
    partition: &'a Partition,
    method: &'a dyn LimeMethod,
    layers: &'a [ReadLayer],
    /// Each layer in a composite sample of the whole field.
    composite: &'a [CellSoil],
    risks: Option<&'a Risks>,
    benefit: &'a BenefitParts,
    unmet: Option<&'a UnmetParts>,
    application: &'a ApplicationParts,
    applications: &'a [Prescription],
    ordered: &'a OrderedParts,
    reached: &'a MachineParts,
    hanging: Sensitivity,
    intervals: Intervals,
    doubts: &'a [DoubtPart],
    areas: Option<&'a RateAreas>,
}

impl Asked<'_> {
    #[expect(clippy::too_many_arguments, reason = "the summary is made from all of them")]
    fn summary(
        &self,
        cells: &Cells,
        soils: &Soils,
        prescription: &Prescription,
        flat: &FlatRates,
        findings: &[Finding],
        inputs: &[crate::inputs::InputFile],
        effective_job: &str,
    ) -> Summary {
        let job = self.job;
        let machine = &job.machine;
        let of_composite = |part: MachineRate| machine.single().rate(part) * prescription.area;
        let composite: Vec<ProductMass> =
            machine.parts(flat.composite_rate).into_iter().map(of_composite).collect();
        let composite_ordered =
            ordering::ordered(&job.order, job.haul.as_ref(), machine, &job.material, &composite);
        let layers: Vec<LayerParts<'_>> = soils
            .layers
            .iter()
            .zip(self.layers)
            .zip(self.composite)
            .map(|((soils, ReadLayer { prepared, stratum, given, .. }), &composite)| LayerParts {
                cells: &soils.cells,
                spreads: &soils.spreads,
                interpolation: &soils.way,
                beyond: beyond(cells, |at| soils.standing(at)),
                prepared,
                composite,
                composite_values: deciding_values(soils, given, prepared),
                blanks: soils.blanks.as_ref().map(|blanks| (blanks.count, blanks.rule)),
                depths: stratum.as_ref().map(|stratum| (stratum.depth, stratum.part)),
            })
            .collect();
        build_summary(&Parts {
            job,
            job_effective_sha256: sha256(effective_job.as_bytes()),
            place: self.place,
            partition: self.partition,
            layers: &layers,
            prescription,
            flat,
            applications: self.applications,
            ordered: self.ordered,
            composite_ordered: &composite_ordered,
            beyond: beyond(cells, |at| soils.standing(at)),
            unmet: self.unmet,
            application: self.application,
            machine: self.reached,
            sensitivity: self.hanging,
            intervals: self.intervals,
            doubts: self.doubts,
            areas: self.areas,
            risk: self.risks.map(|risks| &risks.areas),
            benefit: self.benefit,
            card: self.method.card(),
            findings,
            inputs,
        })
    }
}

/// What a composite sample of the whole field would have shown, layer by layer.
fn composite_soils(layers: &[ReadLayer], soils: &Soils) -> Result<Vec<CellSoil>, Missing> {
    let of_layer = |(soils, layer): (&LayerSoils, &ReadLayer)| {
        soil_of_composite(&soils.readings(), &layer.given, &layer.prepared)
    };
    soils.layers.iter().zip(layers).map(of_layer).collect()
}

/// The means of what decides the need beside pH and buffer pH, each with its key and unit.
fn deciding_values(
    soils: &LayerSoils,
    given: &Given,
    prepared: &Prepared,
) -> Vec<(&'static str, f64, &'static str)> {
    let means: Vec<SoilValues> =
        soils.readings().into_iter().map(|sites| sites.values.mean()).collect();
    let deciding = SoilValue::ALL.into_iter().filter(|&value| prepared.reads_value(value));
    deciding
        .filter_map(|value| {
            let mean = means.iter().find_map(|means| means.get(value))?;
            Some((value.key(), mean, given.units.get(value)?))
        })
        .collect()
}

/// The area of the cells on or beyond the samples' hull, and how far the farthest of them lies.
fn beyond(cells: &Cells, standing: impl Fn(usize) -> Standing) -> (Area, Length) {
    cells.list.iter().enumerate().fold(
        (Area::ZERO, Length::ZERO),
        |(area, farthest), (at, cell)| match standing(at) {
            Standing::Beyond { distance } => (area + cell.area, farthest.max(distance)),
            Standing::Inside => (area, farthest),
        },
    )
}
