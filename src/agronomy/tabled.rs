//! A published method read from its table: fitted to a job by target, trigger, buffer and depth.

use std::sync::Arc;

use super::aluminium_saturation::AluminiumSaturation;
use super::base_saturation::BaseSaturation;
use super::by_volume::ByVolume;
use super::capacity::{Capacity, CapacityReading};
use super::classes::Classes;
use super::door::Door;
use super::equation::Equation;
use super::lines::Lines;
use super::lookup::{CarriedOn, Column};
use super::need::SAME_READING;
use super::own_table::OWN_TABLE;
use super::registry::ids_with_a_depth;
use super::rise::{Rises, Weakly};
use super::rule::Rule;
use super::saturation::Saturation;
use super::table::{Between, MethodTable, Row, Shape};
use super::textures::Textures;
use super::trace::Printed;
use super::{
    AlExtract, Ask, Basis, Buffer, Citation, Given, LimeMethod, MethodCard, Prepared, Target,
};
use crate::findings::{Finding, Place, Problem, Refusal};
use crate::units::{DepthInterval, Length, LimeNeed, bound, plain};

/// A method whose printed numbers are the method, read from a [`MethodTable`].
#[derive(Clone, Debug)]
pub struct TabledMethod {
    card: MethodCard,
    /// Checked, its rows by rising reading.
    table: MethodTable,
}

impl TabledMethod {
    pub(super) fn new(card: MethodCard, table: MethodTable) -> Self {
        Self { card, table }
    }

    /// The same as a user's own table, which is called by the file it was read from wherever it is
    /// named.
    pub(super) fn owned_by_user(mut self, file: &str) -> Self {
        self.card.id = format!("{OWN_TABLE}{file}");
        self.card.title = format!("{} (your own table {file})", self.card.title);
        let publication = Citation { locator: String::new(), ..self.card.source.clone() }.words();
        self.card.source.key = format!("{publication} (your own table {file})");
        self.card.own_table = Some(file.to_owned());
        self
    }

    /// The table as it was written, its rows by rising reading.
    pub fn table(&self) -> &MethodTable {
        &self.table
    }
}

impl LimeMethod for TabledMethod {
    fn card(&self) -> &MethodCard {
        &self.card
    }

    fn prepare(&self, ask: &Ask, given: &Given) -> Result<(Prepared, Vec<Finding>), Refusal> {
        let (mut findings, mut problems) = (Vec::new(), Vec::new());
        // A step that fails leaves its problem and any value: no value is used once there is one.
        let door = Door::open(given.ph_medium, self.card.ph_medium, &mut findings);
        let door = door.unwrap_or_else(|problem| {
            problems.push(problem);
            Door::AS_READ
        });
        let door_words = findings.iter().map(|finding| finding.text.clone()).collect();
        problems.extend(self.refuse_buffer(given.buffer));
        problems.extend(self.refuse_extract(given.al_extract));
        problems.extend(self.refuse_capacity(given));
        problems.extend(refuse_trigger(ask));
        let columns = self.choose_columns(ask.target, &mut findings).unwrap_or_else(|problem| {
            problems.push(problem);
            (0, 0.0)
        });
        let charges = self.charges(given, &mut findings).unwrap_or_else(|problem| {
            problems.push(problem);
            ByVolume::default()
        });
        let factor = match ask.part {
            Some(part) => self.scale_by_part(part),
            None => self.scale_by_depth(ask.limed_depth, given, &mut findings),
        };
        let depth_factor = factor.unwrap_or_else(|problem| {
            problems.push(problem);
            1.0
        });
        Refusal::unless_clean(problems, ())?;
        if self.card.basis == Basis::NotStated {
            let text = format!(
                "The source of `{}` does not state the material that its needs are meant for; \
                 100 % CCE is assumed.",
                self.card.id
            );
            findings.push(Finding::new("basis_not_stated", text));
        }
        if let Some(rule) = &self.table.capacity
            && given.bulk_density.is_none()
        {
            let text = format!(
                "The job states no density of the soil (samples.bulk_density); {} {} over {} are \
                 taken, the convention.",
                plain(rule.soil_mass, 0, 2),
                self.card.need_unit.words(),
                self.card.depth_words
            );
            findings.push(Finding::new("soil_mass_by_convention", text));
        }
        if self.card.from_memory {
            let text = format!("{} (`{}`).", MethodCard::WRITTEN_FROM_MEMORY, self.card.id);
            findings.push(Finding::new("numbers_from_memory", text));
        }
        let prepared = Prepared {
            ph_medium: given.ph_medium,
            door,
            buffer: self.card.buffer,
            trigger: self.trigger(ask),
            reads: self.card.reads.clone(),
            textures: self.card.textures.clone(),
            takes_density: !charges.by_mass().is_empty() || self.table.capacity.is_some(),
            rule: self.rule(ask.target, columns, depth_factor, given, charges),
            table_depth: self.card.depth,
            depth_factor,
            printed: Arc::new(Printed {
                card: self.card.clone(),
                table: self.table.clone(),
                target: ask.target,
                column: columns.0,
                high_share: columns.1,
                limed_depth: ask.limed_depth,
                part: ask.part,
                door_words,
                credit: None,
                capacity_read: given.capacity_read,
                bulk_density: given.bulk_density,
                units: given.units,
            }),
        };
        Ok((prepared, findings))
    }
}

impl TabledMethod {
    /// A buffer's readings never enter a table that was made for another.
    fn refuse_buffer(&self, given: Option<Buffer>) -> Option<Problem> {
        if self.card.takes_buffer(given) {
            return None;
        }
        let wanted = self.card.buffer?;
        let id = &self.card.id;
        let what = match given {
            Some(other) => format!(
                "the laboratory ran the {} buffer, and `{id}` was made for the {} buffer",
                other.words(),
                wanted.words()
            ),
            None => format!("`{id}` reads a buffer pH, and no buffer is named"),
        };
        let hint = "name the buffer that the laboratory ran, and choose a method made for it; the \
                    readings of two buffers are not interchangeable";
        let problem = Problem::at(Place::default(), what);
        Some(problem.allowed(format!("the buffer `{}`", wanted.words())).hint(hint))
    }

    /// What one extract takes out of a soil says nothing of what another does.
    fn refuse_extract(&self, given: Option<AlExtract>) -> Option<Problem> {
        let wanted = self.card.al_extract?;
        if given == Some(wanted) {
            return None;
        }
        let (id, wanted) = (&self.card.id, wanted.words());
        let what = match given {
            Some(other) => format!(
                "the laboratory extracted aluminium with {}, and `{id}` was made for {wanted}",
                other.words()
            ),
            None => format!(
                "`{id}` reads aluminium by {wanted}, and samples.al_extract does not say how the \
                 laboratory extracted it"
            ),
        };
        let hint = "ask the laboratory which extract it used; aluminium by one is another quantity \
                    than by the next, and no conversion is at hand";
        let problem = Problem::at(Place::default(), what);
        Some(problem.allowed(format!("samples.al_extract = \"{wanted}\"")).hint(hint))
    }

    /// A capacity that was read too early is another one.
    fn refuse_capacity(&self, given: &Given) -> Option<Problem> {
        if self.table.capacity.is_none() || given.capacity_read.is_some() {
            return None;
        }
        let what = format!(
            "`{}` reads the lime buffer capacity, and samples.buffer_capacity_read does not say \
             after what time it was read",
            self.card.id
        );
        let all: Vec<String> = CapacityReading::ALL
            .map(|reading| format!("samples.buffer_capacity_read = \"{}\"", reading.words()))
            .to_vec();
        let hint = "ask the laboratory; read after 30 minutes it is little more than half of that \
                    at equilibrium";
        Some(Problem::at(Place::default(), what).allowed(all.join(", or ")).hint(hint))
    }

    /// The pH at and above which nothing is needed, never above a target pH; none where the target is
    /// no pH and neither the job nor the source states one.
    fn trigger(&self, ask: &Ask) -> Option<f64> {
        let stated = ask.treat_below.or(self.card.trigger);
        let target = ask.target.ph();
        stated.into_iter().chain(target).reduce(f64::min)
    }

    /// The column at or below the target, and the share of the next one in the need.
    fn choose_columns(
        &self,
        target: Target,
        findings: &mut Vec<Finding>,
    ) -> Result<(usize, f64), Problem> {
        if target.aim() != self.card.aim {
            return Err(self.other_aim(target));
        }
        if !self.card.serves(target) {
            return Err(self.unserved_target(target));
        }
        let target_ph = target.number();
        let targets = &self.card.targets;
        if targets.is_empty() {
            return Ok((0, 0.0));
        }
        let below = targets.partition_point(|&target| target <= target_ph + SAME_READING);
        let column = below.saturating_sub(1);
        let (low, high) = match targets.get(column..column + 2) {
            Some(&[low, high]) if target_ph > low + SAME_READING => (low, high),
            _ => return Ok((column, 0.0)),
        };
        let text = format!(
            "`{}` prints needs for the targets {low} and {high}; those for {target_ph} are taken \
             on the straight line between them.",
            self.card.id
        );
        findings.push(Finding::new("target_between_columns", text));
        Ok((column, (target_ph - low) / (high - low)))
    }

    /// Limed depth over table depth.
    ///
    /// That the need is in proportion to the depth of soil is common practice; the depths that
    /// tables are made for are published. Where a table's is not stated, nothing is scaled.
    fn scale_by_depth(
        &self,
        limed: Length,
        given: &Given,
        findings: &mut Vec<Finding>,
    ) -> Result<f64, Problem> {
        let found = in_words(limed);
        if let Err(misread) = bound::LIMED_DEPTH.check(limed.to_metres(), &found) {
            return Err(Problem::misread(Place::default(), "the limed depth", misread));
        }
        let id = &self.card.id;
        let Some(table_depth) = self.card.depth else {
            if same_depth(limed, given.sampled_depth.bottom()) {
                return Ok(1.0);
            }
            let what = format!(
                "the source of `{id}` states no depth, and the limed depth is not the sampled depth"
            );
            let allowed = in_words(given.sampled_depth.bottom());
            return Err(Problem::at(Place::default(), what).allowed(allowed).hint(
                "lime to the depth that was sampled, or choose a method with a stated depth",
            ));
        };
        if same_depth(limed, table_depth) {
            return Ok(1.0);
        }
        let factor = limed / table_depth;
        let text = format!(
            "The needs of `{id}` are stated for {}; for the limed depth of {} they are \
             multiplied by {factor:.4}, limed depth over table depth (common practice).",
            self.card.depth_words,
            in_words(limed)
        );
        findings.push(Finding::new("need_scaled_by_depth", text));
        Ok(factor)
    }

    /// The thickness of a part of the limed depth over table depth.
    ///
    /// A need that is not stated for a depth cannot be shared among layers, and neither can a least
    /// need or a credit that holds for all of them together.
    fn scale_by_part(&self, part: DepthInterval) -> Result<f64, Problem> {
        let id = &self.card.id;
        let refuse = |what: String| {
            let others = ids_with_a_depth();
            let hint = "take a method with a stated depth, or keep the rows of one depth in the \
                        table and state it as samples.sampled_depth";
            let problem = Problem::at(Place::default(), what).hint(hint);
            problem.allowed(format!("several layers with {}", others.join(", ")))
        };
        let Some(table_depth) = self.card.depth else {
            return Err(refuse(format!(
                "the source of `{id}` states no depth, so a layer's share of its need is not known"
            )));
        };
        let equation = self.table.equation.as_ref();
        if equation.is_some_and(|table| table.least_need > 0.0 || table.credit.is_some())
            || self.table.lines.iter().any(|line| line.least_need > 0.0)
        {
            return Err(refuse(format!(
                "the source of `{id}` has a least need or a credit for earlier lime, and both are \
                 of the whole need, not of a layer's"
            )));
        }
        if self.table.weakly.is_some() {
            return Err(refuse(format!(
                "the source of `{id}` states the most that is limed, and that is of the whole \
                 need, not of a layer's"
            )));
        }
        Ok(part.thickness() / table_depth)
    }

    /// The target's needs as pure calcium carbonate over the limed depth.
    fn rule(
        &self,
        target: Target,
        columns: (usize, f64),
        depth_factor: f64,
        given: &Given,
        charges: ByVolume,
    ) -> Rule {
        let target_ph = target.number();
        let carbonate = self.card.basis.carbonate_share() * depth_factor;
        let one = self.card.need_unit.need(1.0) * carbonate;
        let table = &self.table;
        match table.shape {
            Shape::BufferEquation => {
                let equation = table.equation.clone();
                equation.map(|part| Rule::Equation(Equation::new(part, target_ph, one)))
            }
            Shape::SaturationEquation => {
                let equation = table.saturation.clone();
                equation.map(|part| Rule::Saturation(Saturation::new(part, target_ph, one)))
            }
            Shape::Lines => {
                let (column, share) = columns;
                let target = |column: usize| table.targets.get(column).copied();
                let high = target(column + 1).filter(|_| share > 0.0);
                let low = target(column).unwrap_or(target_ph);
                Some(Rule::Lines(Lines::new(&table.lines, low, high.map(|t| (t, share)), one)))
            }
            Shape::ClassTable => {
                table.classes.clone().map(|part| Rule::Classes(Classes::new(part, one)))
            }
            Shape::PhRise => {
                let addition = table.addition.as_ref();
                Some(Rule::Rises(Rises::new(&table.rises, addition, target_ph, one)))
            }
            Shape::WeaklyBuffered => {
                let weakly = table.weakly.clone();
                weakly.map(|part| Rule::Weakly(Weakly::new(part, target_ph, one)))
            }
            Shape::BufferCapacity => table.capacity.clone().map(|part| {
                let density = given.bulk_density.zip(self.card.depth);
                let soil = density.map_or(part.soil_mass, |(density, depth)| {
                    self.card.need_unit.of_soil(density, depth)
                });
                // The refusal of a capacity without it stands above.
                let reading = given.capacity_read.unwrap_or(CapacityReading::Equilibrium);
                Rule::Capacity(Capacity::new(part, reading, target_ph, one * (soil * 1e-6)))
            }),
            Shape::BaseSaturation => table.base_saturation.clone().map(|part| {
                Rule::BaseSaturation(BaseSaturation::new(part, charges, target.number(), one))
            }),
            Shape::AluminiumSaturation => table.aluminium_saturation.clone().map(|part| {
                let rule = AluminiumSaturation::new(part, charges, target.number(), one);
                Rule::AluminiumSaturation(rule)
            }),
            Shape::TextureTable => Some(Rule::Textures(self.by_texture(carbonate))),
            Shape::ReadingTable => None,
        }
        // The check of the table leaves no shape without its part.
        .unwrap_or_else(|| Rule::Rows(self.column(columns, carbonate)))
    }

    /// A column for each texture class.
    fn by_texture(&self, carbonate: f64) -> Textures {
        let classes = self.table.textures.iter().enumerate();
        let of_class = |(at, &class)| {
            let mut column = self.column((at, 0.0), carbonate);
            if let (Some(end), Some(&(highest, need))) = (&self.table.carried, column.rows.last()) {
                let need_per_unit = need / (end.zero_at - highest);
                column.carried_on = Some(CarriedOn { need_per_unit, zero_at: end.zero_at });
            }
            (class, column)
        };
        Textures(classes.map(of_class).collect())
    }

    fn column(&self, (column, share): (usize, f64), carbonate: f64) -> Column {
        let need = |printed| self.card.need_unit.need(printed) * carbonate;
        let row = |row: &Row| {
            let at = |column: usize| row.needs.get(column).copied();
            let low = need(at(column).unwrap_or_default());
            let mixed = match at(column + 1) {
                Some(high) if share > 0.0 => low * (1.0 - share) + need(high) * share,
                _ => low,
            };
            (row.reading, mixed)
        };
        Column {
            rows: self.table.rows.iter().map(row).collect::<Vec<(f64, LimeNeed)>>(),
            // A table of rows states it; the check of the table refuses one that does not.
            between: self.table.between.unwrap_or(Between::Linear),
            carried_on: self.table.derived.as_ref().map(|line| CarriedOn {
                need_per_unit: need(line.per_unit),
                zero_at: line.zero_at,
            }),
        }
    }
}

/// A trigger above the target contradicts itself.
fn refuse_trigger(ask: &Ask) -> Option<Problem> {
    let treat_below = ask.treat_below?;
    let found = format!("{treat_below}");
    if let Err(misread) = bound::SOIL_PH.check(treat_below, &found) {
        return Some(Problem::misread(Place::default(), "the pH to treat below", misread));
    }
    let target_ph = ask.target.ph().filter(|target| treat_below > target + SAME_READING)?;
    let what =
        format!("soils are to be treated below pH {treat_below}, above the target {target_ph}");
    let hint = "a soil at its target needs nothing; raise the target or lower the other";
    let problem = Problem::at(Place::default(), what);
    Some(problem.allowed(format!("at most the target, {target_ph}")).hint(hint))
}

/// Whether two depths are the same but for rounding: a hundredth of a millimetre.
fn same_depth(one: Length, other: Length) -> bool {
    (one - other).abs() <= Length::from_metres(1e-5)
}

/// A depth in both systems of units, for sentences.
fn in_words(depth: Length) -> String {
    format!("{:.1} cm ({:.1} in)", depth.to_centimetres(), depth.to_inches())
}
