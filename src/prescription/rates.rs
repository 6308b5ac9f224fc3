//! From the need of each cell to the rate that the machine holds there, and the totals.

use super::ledger::{Imbalance, Ledger, balance};
use crate::machine::{Fitted, Limit, Machine, MachineRate, Override, Setting};
use crate::units::{Area, EffectiveFraction, LimeNeed, ProductMass, ProductRate};

/// What one cell gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CellRate {
    /// Its area.
    pub area: Area,
    /// What it needs.
    pub need: LimeNeed,
    /// The rate that the machine holds there.
    pub rate: MachineRate,
    /// The rate that it would hold without any override.
    pub fitted: MachineRate,
    /// What it would get by itself, whatever area it lies in: fitted, and orders carried out.
    pub own: Fitted,
    /// The rate that this comes to; of one of several applications its part of it.
    pub own_spread: ProductRate,
    /// What a limit of the machine did.
    pub limit: Limit,
    /// The rate that it would get, where it gets nothing this time because there is not enough.
    pub held_from: Option<ProductRate>,
    /// The product that it gets.
    pub product: ProductMass,
    /// The part of its need that is left out, nothing where it gets enough.
    pub unmet: LimeNeed,
}

/// Area and product, one beside the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AreaAndProduct {
    /// The area.
    pub area: Area,
    /// The product.
    pub product: ProductMass,
}

impl AreaAndProduct {
    const NOTHING: Self = Self { area: Area::ZERO, product: ProductMass::ZERO };

    fn add(&mut self, area: Area, product: ProductMass) {
        self.area += area;
        self.product += product;
    }
}

/// One rate of the map, and what it comes to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RateTotal {
    /// The rate.
    pub rate: MachineRate,
    /// Where it is spread, and how much that takes.
    pub total: AreaAndProduct,
}

/// What the limits of the machine did: for each, the area it touched, and the product that it
/// added or left out there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LimitTotals {
    /// Raised to the least rate.
    pub raised: AreaAndProduct,
    /// Dropped to nothing.
    pub dropped: AreaAndProduct,
    /// Held to the greatest rate.
    pub capped: AreaAndProduct,
    /// Rounded up to a rate of the machine.
    pub rounded_up: AreaAndProduct,
    /// Rounded down to one.
    pub rounded_down: AreaAndProduct,
    /// Overridden to more than the soil asks for.
    pub overridden_up: AreaAndProduct,
    /// Overridden to less.
    pub overridden_down: AreaAndProduct,
    /// In a rate area whose rate is above the cell's own.
    pub areas_up: AreaAndProduct,
    /// In one whose rate is below it.
    pub areas_down: AreaAndProduct,
    /// Left out this time because there is not enough.
    pub held_back: AreaAndProduct,
}

/// Orders that override rates, and the cells that they are for.
#[derive(Clone, Debug, Default)]
pub struct Orders<'a> {
    /// The orders; where several are for one cell they are carried out in this sequence.
    pub list: &'a [Override],
    /// For each cell the numbers of its orders, in order; empty where there are no orders at all.
    pub of_cell: Vec<&'a [usize]>,
}

impl Orders<'_> {
    /// What a cell would get in place of a fitted rate.
    pub(super) fn carried_out(&self, machine: &Machine, at: usize, fitted: Fitted) -> MachineRate {
        let numbers = self.of_cell.get(at).copied().unwrap_or_default();
        let ordered = numbers
            .iter()
            .fold(fitted, |rate, &number| machine.overridden(rate, self.list[number]));
        ordered.rate
    }
}

/// What one override does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OverrideTotal {
    /// The cells that it is for.
    pub area: Area,
    /// Those of them whose rate it changes.
    pub changed: Area,
    /// The product that it adds; below 0 where it takes away.
    pub product: ProductMass,
}

/// The prescription of one field.
#[derive(Clone, Debug)]
pub struct Prescription {
    /// What each cell gets, in the order of the cells.
    pub cells: Vec<CellRate>,
    /// What each rate comes to, from nothing upward.
    pub rates: Vec<RateTotal>,
    /// What the limits did.
    pub limits: LimitTotals,
    /// What each override did.
    pub overrides: Vec<OverrideTotal>,
    /// Where anything is spread.
    pub treated_area: Area,
    /// All cells.
    pub area: Area,
    /// All product, as spread.
    pub product: ProductMass,
    /// The ledger, which balances.
    pub ledger: Ledger,
}

/// Fits the need of each cell to the machine and adds everything up, in the order of the cells.
///
/// # Errors
/// Returns the [`Imbalance`] where the ledger does not balance: a fault of the program.
pub fn prescribe_rates(
    needs: &[(Area, LimeNeed)],
    effective: EffectiveFraction,
    machine: &Machine,
    field_area: Area,
) -> Result<Prescription, Imbalance> {
    prescribe_overridden(needs, &Orders::default(), effective, machine, field_area)
}

/// Does the same, and carries out orders that override rates after the fit.
///
/// # Errors
/// Returns the [`Imbalance`] where the ledger does not balance: a fault of the program.
pub fn prescribe_overridden(
    needs: &[(Area, LimeNeed)],
    orders: &Orders<'_>,
    effective: EffectiveFraction,
    machine: &Machine,
    field_area: Area,
) -> Result<Prescription, Imbalance> {
    let untouched =
        OverrideTotal { area: Area::ZERO, changed: Area::ZERO, product: ProductMass::ZERO };
    let mut overrides = vec![untouched; orders.list.len()];
    let mut cells = Vec::with_capacity(needs.len());
    for (at, &(area, need)) in needs.iter().enumerate() {
        let before = machine.fit(need / effective);
        let mut fitted = before;
        for &number in orders.of_cell.get(at).copied().unwrap_or_default() {
            let ordered = machine.overridden(fitted, orders.list[number]);
            let total = &mut overrides[number];
            total.area += area;
            if ordered.rate != fitted.rate {
                let (old, new) =
                    (machine.setting.rate(fitted.rate), machine.setting.rate(ordered.rate));
                total.changed += area;
                total.product += (new - old) * area;
            }
            fitted = ordered;
        }
        let rate = machine.setting.rate(fitted.rate);
        cells.push(CellRate {
            area,
            need,
            rate: fitted.rate,
            fitted: before.rate,
            own: fitted,
            own_spread: rate,
            limit: fitted.limit,
            held_from: None,
            product: rate * area,
            unmet: (need - rate * effective).max(LimeNeed::ZERO),
        });
    }
    Prescription::of_cells(cells, overrides, effective, &machine.setting, field_area)
}

impl Prescription {
    /// Adds up what cells get, in their order; `setting` holds their rates.
    ///
    /// # Errors
    /// Returns the [`Imbalance`] where the ledger does not balance: a fault of the program.
    pub(super) fn of_cells(
        cells: Vec<CellRate>,
        overrides: Vec<OverrideTotal>,
        effective: EffectiveFraction,
        setting: &Setting,
        field_area: Area,
    ) -> Result<Self, Imbalance> {
        let none = AreaAndProduct::NOTHING;
        let mut limits = LimitTotals {
            raised: none,
            dropped: none,
            capped: none,
            rounded_up: none,
            rounded_down: none,
            overridden_up: none,
            overridden_down: none,
            areas_up: none,
            areas_down: none,
            held_back: none,
        };
        let mut by_rate = std::collections::BTreeMap::new();
        let (mut area, mut treated_area, mut product) = (Area::ZERO, Area::ZERO, ProductMass::ZERO);
        for cell in &cells {
            let (own, wanted) = (cell.own_spread, cell.need / effective);
            // A rounding error of the arithmetic is no rounding of the spreader.
            let gap =
                if (own - wanted).abs() <= own * 1e-9 { ProductRate::ZERO } else { own - wanted };
            // Where nothing is spread, no limit adds any product.
            if cell.held_from.is_none() || gap < ProductRate::ZERO {
                count_limit(&mut limits, cell.own.limit, gap, cell.area);
            }
            let would_spread = cell.held_from.unwrap_or(setting.rate(cell.rate));
            if cell.limit == Limit::RateArea || cell.held_from.is_some() {
                count_limit(&mut limits, Limit::RateArea, would_spread - own, cell.area);
            }
            if let Some(rate) = cell.held_from {
                limits.held_back.add(cell.area, rate * cell.area);
            }
            by_rate.entry(cell.rate).or_insert(none).add(cell.area, cell.product);
            area += cell.area;
            product += cell.product;
            if cell.rate.spreads() {
                treated_area += cell.area;
            }
        }
        let rates = by_rate.into_iter().map(|(rate, total)| RateTotal { rate, total }).collect();
        let ledger = balance(&cells, effective, setting, product, field_area)?;
        Ok(Self { cells, rates, limits, overrides, treated_area, area, product, ledger })
    }
}

/// The same prescription with other rates, one for each cell: those of the areas that they lie in.
///
/// # Errors
/// Returns the [`Imbalance`] where the ledger does not balance: a fault of the program.
pub(super) fn with_area_rates(
    before: &Prescription,
    rates: impl IntoIterator<Item = MachineRate>,
    effective: EffectiveFraction,
    setting: &Setting,
) -> Result<Prescription, Imbalance> {
    let of_area = |(cell, rate): (&CellRate, MachineRate)| {
        let spread = setting.rate(rate);
        CellRate {
            rate,
            limit: if rate == cell.own.rate { cell.own.limit } else { Limit::RateArea },
            product: spread * cell.area,
            unmet: (cell.need - spread * effective).max(LimeNeed::ZERO),
            ..*cell
        }
    };
    let cells = before.cells.iter().zip(rates).map(of_area).collect();
    let (overrides, field_area) = (before.overrides.clone(), before.ledger.field_area);
    Prescription::of_cells(cells, overrides, effective, setting, field_area)
}

/// The same prescription with nothing on the cells that are held back because there is not enough;
/// `keeps` says for each cell whether it gets its rate. Cells that get nothing anyway are left alone.
///
/// # Errors
/// Returns the [`Imbalance`] where the ledger does not balance: a fault of the program.
pub(super) fn with_cells_held_back(
    before: &Prescription,
    keeps: impl IntoIterator<Item = bool>,
    effective: EffectiveFraction,
    setting: &Setting,
) -> Result<Prescription, Imbalance> {
    let of_cell = |(cell, keeps): (&CellRate, bool)| {
        if keeps || !cell.rate.spreads() {
            return *cell;
        }
        CellRate {
            rate: MachineRate::NOTHING,
            limit: Limit::HeldBack,
            held_from: Some(setting.rate(cell.rate)),
            product: ProductMass::ZERO,
            unmet: cell.need,
            ..*cell
        }
    };
    let cells = before.cells.iter().zip(keeps).map(of_cell).collect();
    let (overrides, field_area) = (before.overrides.clone(), before.ledger.field_area);
    Prescription::of_cells(cells, overrides, effective, setting, field_area)
}

fn count_limit(limits: &mut LimitTotals, limit: Limit, gap: ProductRate, area: Area) {
    let total = match limit {
        Limit::Raised => &mut limits.raised,
        Limit::Dropped => &mut limits.dropped,
        Limit::Capped => &mut limits.capped,
        Limit::Overridden if gap > ProductRate::ZERO => &mut limits.overridden_up,
        Limit::Overridden => &mut limits.overridden_down,
        Limit::None if gap > ProductRate::ZERO => &mut limits.rounded_up,
        Limit::None if gap < ProductRate::ZERO => &mut limits.rounded_down,
        Limit::RateArea if gap > ProductRate::ZERO => &mut limits.areas_up,
        Limit::RateArea if gap < ProductRate::ZERO => &mut limits.areas_down,
        Limit::None | Limit::RateArea | Limit::HeldBack => return,
    };
    total.add(area, gap.abs() * area);
}
