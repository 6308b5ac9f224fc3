//! What the laboratory recommends, taken as the need: converted to pure calcium carbonate and
//! scaled by depth, and nothing else.

use super::table::{Line, MethodTable, NeedUnit, Shape};
use super::{Ask, Given, LimeMethod, MethodCard, Prepared, ReadSet, Reads, TabledMethod};
use crate::findings::{Finding, Refusal};
use crate::units::{PhMedium, SoilValue, ph_words};

/// The name under which it is asked for.
pub const LAB_RECOMMENDATION: &str = "lab-recommendation";

/// What is stated of a laboratory's recommendations.
#[derive(Clone, Copy, Debug)]
pub struct Recommended<'a> {
    /// The pH that it limed to.
    pub target_ph: f64,
    /// The depth that it limed, as it is written: `6 in`.
    pub depth: &'a str,
    /// What it is an amount of, as it is written: `ECCE 80 %`.
    pub basis: &'a str,
    /// How much pure calcium carbonate one part of it is.
    pub part: f64,
    /// The medium of the samples' pH, which the need does not go by.
    pub ph_medium: PhMedium,
}

/// A laboratory's recommendation as a method.
#[derive(Clone, Debug)]
pub struct LabRecommendation(TabledMethod);

impl LabRecommendation {
    /// The method that takes recommendations of which this is stated.
    ///
    /// # Errors
    /// Refuses a depth or a target beyond its limits.
    pub fn new(stated: &Recommended<'_>) -> Result<Self, Refusal> {
        let &Recommended { target_ph, depth, basis, part, ph_medium } = stated;
        let line = Line {
            target: target_ph,
            above: None,
            ph_below: None,
            fixed: 0.0,
            per_unit: part,
            per_square: 0.0,
            least_need: 0.0,
        };
        let table = MethodTable {
            id: LAB_RECOMMENDATION.to_owned(),
            title: format!(
                "what the laboratory recommends, on the basis \"{basis}\" for {depth} to pH {}",
                ph_words(target_ph)
            ),
            shape: Shape::Lines,
            source: "the laboratory's own recommendation, as the samples hold it".to_owned(),
            locator: "basis, depth and target as the job states them in [need.lab]".to_owned(),
            region: "as the laboratory's".to_owned(),
            soils: "as the laboratory's".to_owned(),
            reads: ReadSet::from(Reads::Value(SoilValue::LabRecommendation)),
            buffer: None,
            al_extract: None,
            ph_medium: ph_medium.words().to_owned(),
            depth: depth.to_owned(),
            depth_source: None,
            depth_locator: None,
            basis: "100 % CCE".to_owned(),
            between: None,
            need_unit: NeedUnit::TonnePerHectare,
            trigger: None,
            targets: vec![target_ph],
            target_range: None,
            textures: Vec::new(),
            rows: Vec::new(),
            lines: vec![line],
            equation: None,
            classes: None,
            rises: Vec::new(),
            addition: None,
            weakly: None,
            capacity: None,
            saturation: None,
            base_saturation: None,
            aluminium_saturation: None,
            carried: None,
            derived: None,
            notes: Vec::new(),
            from_memory: false,
            examples: Vec::new(),
        };
        table.into_method().map(Self)
    }
}

impl LimeMethod for LabRecommendation {
    fn card(&self) -> &MethodCard {
        self.0.card()
    }

    fn prepare(&self, ask: &Ask, given: &Given) -> Result<(Prepared, Vec<Finding>), Refusal> {
        let (mut prepared, findings) = self.0.prepare(ask, given)?;
        // The laboratory has decided where to lime; only the job may hold it back.
        prepared.trigger = ask.treat_below;
        Ok((prepared, findings))
    }
}
