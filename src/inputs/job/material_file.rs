//! The shape of `[material]` in a job file.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::file::job_table;
use super::haul_file::HaulTable;
use super::material_list_file::NutrientTable;
use super::written::{At, Day, Written};

job_table! {
    /// `[material]`
    MaterialTable {
        /// The file with a list of materials that this one is taken from; then `name` says which,
        /// and `lot` where several have that name.
        from: At<String>,
        /// What the material is called.
        name: At<String>,
        /// The supplier's name for the lot.
        lot: At<String>,
        /// Who sells it.
        supplier: At<String>,
        /// The day of its analysis.
        analysed: At<Day>,
        /// Its kind.
        kind: At<String>,
        /// Its effective part, `… % dry` or `… % as received`; or `cce` and `fineness` instead.
        effective: At<Written>,
        /// Its effective calcium carbonate equivalent, in place of `effective`.
        ecce: At<Written>,
        /// Its effective neutralising value, in place of `effective`.
        env: At<Written>,
        /// Its relative neutralising value, in place of `effective`.
        rnv: At<Written>,
        /// Its effective calcium carbonate, in place of `effective`.
        ecc: At<Written>,
        /// Its PRNT (Brazil), in place of `effective`.
        prnt: At<Written>,
        /// Its effective neutralising power in a ton, in place of `effective`.
        enp: At<Written>,
        /// Its effective neutralising material in a ton (Missouri), in place of `effective`.
        enm: At<Written>,
        /// Its calcium carbonate equivalent, `… % dry` or `… % as received`, whatever its fineness.
        cce: At<Written>,
        /// Its neutralising value whatever its fineness, in place of `cce`.
        nv: At<Written>,
        /// As what the neutralising value is counted: `CaCO3` or `CaO`.
        nv_basis: At<String>,
        /// The part of each compound, by its formula: `cce` follows from it, or is held against it.
        composition: At<BTreeMap<String, At<Written>>>,
        /// Of what the compounds are parts: `dry` or `as received`.
        composition_basis: At<String>,
        /// What `CaO` and `MgO` in the composition mean: `free` oxide, or calcium and magnesium
        /// `expressed` as oxides, whatever they are bound to.
        oxides: At<String>,
        /// Water in it, of the wet mass.
        moisture: At<Written>,
        /// Its density in the pile, such as `90 lb/ft3`; or from a pail, such as `35 lb in 5 gal`.
        bulk_density: At<Written>,
        /// Its price.
        price: At<Written>,
        /// Where the price holds: `plant`, `delivered` or `spread`.
        price_at: At<String>,
        /// How fine it is.
        fineness: At<FinenessTable>,
        /// As much of it as there is, such as `400 ton`.
        supply_limit: At<Written>,
        /// Magnesium in it, as Mg: `11 % dry`, `10 % as received`, or `lb/ton` or `kg/t` as
        /// received.
        magnesium: At<Written>,
        /// Nutrients in it, by their names: `P2O5`, `K2O`, `Ca` and `S`.
        nutrients: At<BTreeMap<String, At<NutrientTable>>>,
        /// A published minimum quality to hold it against.
        quality: At<String>,
        /// How it comes to the field, where that differs from the job's `[haul]`.
        haul: At<HaulTable>,
    }
}

job_table! {
    /// `[material.fineness]`
    FinenessTable {
        /// The scheme that turns the sieve analysis into one efficiency.
        scheme: At<String>,
        /// The years over which it counts, where the scheme has several: `1 year`, `4 years`.
        horizon: At<String>,
        /// The part that passes each sieve of the scheme, the finer part included, by its mesh or
        /// opening.
        passing: At<BTreeMap<String, At<Written>>>,
        /// The part between each two sieves instead: `over 8`, `8-20`, `through 60`.
        between: At<BTreeMap<String, At<Written>>>,
        /// The part that each sieve holds back instead, with the `pan` below the finest.
        retained: At<BTreeMap<String, At<Written>>>,
        /// The calcium carbonate equivalent of each class, written as in `between`, where each has its own; in
        /// place of `cce` of the whole.
        cce: At<BTreeMap<String, At<Written>>>,
    }
}
