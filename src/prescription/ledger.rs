//! The ledger: what the field needs against what it gets, in effective CaCO3, to the last pound.

use super::rates::CellRate;
use crate::machine::{Limit, Setting};
use crate::units::{Area, CarbonateMass, EffectiveFraction, ProductMass, ProductRate};

/// The balance sheet of a prescription. All masses but `product` are of effective CaCO3.
///
/// `need = supplied + unmet - excess`, `excess = raised + rounded_up + overridden_up + areas_up`,
/// `unmet = dropped + capped + rounded_down + overridden_down + areas_down + held_back`, `product =
/// supplied / effective = own_product + areas_added - areas_left_out - held_back_product`.
///
/// What is held back is the part of the need that a cell would have got, had it not been left out
/// because there is not enough; what its rate would have left unmet all the same stays where that is
/// entered.
///
/// Where a cell has another rate than it would have by itself, because of the area that it lies in,
/// what was beyond or short of its need before stays where it was entered, as far as it still is;
/// only what the area adds to it is entered as the area's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ledger {
    /// What the cells need.
    pub need: CarbonateMass,
    /// What the product supplies.
    pub supplied: CarbonateMass,
    /// Supplied beyond the need where the least rate was raised to.
    pub raised: CarbonateMass,
    /// Supplied beyond the need by rounding up.
    pub rounded_up: CarbonateMass,
    /// Left out where a rate below the least was dropped.
    pub dropped: CarbonateMass,
    /// Left out where a rate was held to the greatest.
    pub capped: CarbonateMass,
    /// Left out by rounding down.
    pub rounded_down: CarbonateMass,
    /// Supplied beyond the need where a rate was overridden.
    pub overridden_up: CarbonateMass,
    /// Left out where a rate was overridden.
    pub overridden_down: CarbonateMass,
    /// Supplied beyond the need because a rate area has another rate than the cell by itself.
    pub areas_up: CarbonateMass,
    /// Left out for the same reason.
    pub areas_down: CarbonateMass,
    /// Left out this time because there is not enough.
    pub held_back: CarbonateMass,
    /// The product, as spread.
    pub product: ProductMass,
    /// The product if every cell got its own rate.
    pub own_product: ProductMass,
    /// The product that rate areas add where their rate is above a cell's own.
    pub areas_added: ProductMass,
    /// The product that they leave out where it is below.
    pub areas_left_out: ProductMass,
    /// The product that is left out because there is not enough.
    pub held_back_product: ProductMass,
    /// All cells.
    pub cell_area: Area,
    /// The field, net of keep-out.
    pub field_area: Area,
}

impl Ledger {
    /// All that is supplied beyond the need.
    pub fn excess(&self) -> CarbonateMass {
        self.raised + self.rounded_up + self.overridden_up + self.areas_up
    }

    /// All that is left out.
    pub fn unmet(&self) -> CarbonateMass {
        self.dropped
            + self.capped
            + self.rounded_down
            + self.overridden_down
            + self.areas_down
            + self.held_back
    }
}

/// A line of the ledger whose two sides differ: a fault of the program.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "the ledger does not balance: {line}: {left} {unit} on one side, {right} {unit} on the other"
)]
pub struct Imbalance {
    /// Which line.
    pub line: &'static str,
    /// One side.
    pub left: f64,
    /// The other side.
    pub right: f64,
    /// The unit of both.
    pub unit: &'static str,
}

/// How far two sides may differ, of the larger of them: rounding errors of long sums stay a
/// thousand times below.
const TOLERANCE: f64 = 1e-9;

/// Adds up the ledger of `cells` and checks that every line of it balances.
///
/// # Errors
/// Returns the first line whose two sides differ.
pub fn balance(
    cells: &[CellRate],
    effective: EffectiveFraction,
    setting: &Setting,
    product: ProductMass,
    field_area: Area,
) -> Result<Ledger, Imbalance> {
    let zero = CarbonateMass::ZERO;
    let mut ledger = Ledger {
        need: zero,
        supplied: zero,
        raised: zero,
        rounded_up: zero,
        dropped: zero,
        capped: zero,
        rounded_down: zero,
        overridden_up: zero,
        overridden_down: zero,
        areas_up: zero,
        areas_down: zero,
        held_back: zero,
        product,
        own_product: ProductMass::ZERO,
        areas_added: ProductMass::ZERO,
        areas_left_out: ProductMass::ZERO,
        held_back_product: ProductMass::ZERO,
        cell_area: Area::ZERO,
        field_area,
    };
    for cell in cells {
        let need = cell.need * cell.area;
        let supplied = setting.rate(cell.rate) * effective * cell.area;
        ledger.need += need;
        ledger.supplied += supplied;
        ledger.cell_area += cell.area;
        // What it would get if nothing were held back.
        let spread = cell.held_from.unwrap_or(setting.rate(cell.rate));
        let own = cell.own_spread;
        ledger.own_product += own * cell.area;
        ledger.areas_added += (spread - own).max(ProductRate::ZERO) * cell.area;
        ledger.areas_left_out += (own - spread).max(ProductRate::ZERO) * cell.area;
        let sides =
            |supplied: CarbonateMass| ((supplied - need).max(zero), (need - supplied).max(zero));
        let (mut all_beyond, all_short) = sides(spread * effective * cell.area);
        if cell.held_from.is_some() {
            ledger.held_back += need - all_short;
            ledger.held_back_product += spread * cell.area;
            all_beyond = zero;
        }
        let (own_beyond, own_short) = sides(own * effective * cell.area);
        let (beyond, short) = (all_beyond.min(own_beyond), all_short.min(own_short));
        ledger.areas_up += all_beyond - beyond;
        ledger.areas_down += all_short - short;
        match cell.own.limit {
            Limit::Raised => ledger.raised += beyond,
            Limit::Dropped => ledger.dropped += short,
            Limit::Capped => ledger.capped += short,
            Limit::Overridden => {
                ledger.overridden_up += beyond;
                ledger.overridden_down += short;
            }
            // By itself no cell has the rate of an area, and none is held back.
            Limit::None | Limit::RateArea | Limit::HeldBack => {
                ledger.rounded_up += beyond;
                ledger.rounded_down += short;
            }
        }
    }
    let need_side = ledger.supplied + ledger.unmet() - ledger.excess();
    same("need = supplied + unmet - excess", ledger.need, need_side)?;
    let unmet: CarbonateMass = cells.iter().map(|cell| cell.unmet * cell.area).sum();
    same("unmet = sum over the cells of the map", ledger.unmet(), unmet)?;
    let (left, right) = (product.to_kilograms(), (ledger.supplied / effective).to_kilograms());
    within("product = supplied / effective fraction", left, right, "kg")?;
    let with_areas =
        ledger.own_product + ledger.areas_added - ledger.areas_left_out - ledger.held_back_product;
    let line = "product = the cells' own + added by rate areas - left out by them - held back";
    within(line, product.to_kilograms(), with_areas.to_kilograms(), "kg")?;
    let (left, right) = (ledger.cell_area.to_square_metres(), field_area.to_square_metres());
    within("sum of cell areas = field area", left, right, "m2")?;
    Ok(ledger)
}

fn same(line: &'static str, left: CarbonateMass, right: CarbonateMass) -> Result<(), Imbalance> {
    within(line, left.to_kilograms(), right.to_kilograms(), "kg CaCO3")
}

fn within(line: &'static str, left: f64, right: f64, unit: &'static str) -> Result<(), Imbalance> {
    // Below a gram there is nothing to balance.
    if (left - right).abs() <= (TOLERANCE * left.abs().max(right.abs())).max(1e-3) {
        Ok(())
    } else {
        Err(Imbalance { line, left, right, unit })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{Machine, Override, WrittenRate};
    use crate::prescription::{Orders, prescribe_overridden, prescribe_rates};
    use crate::units::LimeNeed;

    fn machine() -> Machine {
        let tons = |number| WrittenRate { number, unit: "ton/ac" };
        Machine::plain(Setting::steps(tons(1.0).rate(), tons(4.0).rate(), tons(0.25)).unwrap())
    }

    fn needs(tons: &[f64]) -> Vec<(Area, LimeNeed)> {
        let cell = |&need: &f64| (Area::from_acres(0.25), LimeNeed::from_short_tons_per_acre(need));
        tons.iter().map(cell).collect()
    }

    #[test]
    fn a_field_with_other_cells_than_its_own_does_not_balance() {
        let effective = EffectiveFraction::from_number(0.6).unwrap();
        let needs = needs(&[0.5, 1.0, 3.0]);
        let right = prescribe_rates(&needs, effective, &machine(), Area::from_acres(0.75));
        assert!(right.is_ok());
        let imbalance = prescribe_rates(&needs, effective, &machine(), Area::from_acres(0.76));
        let said = imbalance.expect_err("a hundredth of an acre is missing").to_string();
        assert!(said.contains("sum of cell areas") && said.contains("m2"), "{said}");
    }

    #[test]
    fn a_rate_or_product_that_was_tampered_with_does_not_balance() {
        let effective = EffectiveFraction::from_number(0.6).unwrap();
        let area = Area::from_acres(0.75);
        let fine = prescribe_rates(&needs(&[0.5, 1.0, 3.0]), effective, &machine(), area).unwrap();
        let check = |cells: &[CellRate], product, effective| {
            balance(cells, effective, &machine().setting, product, area)
        };
        assert!(check(&fine.cells, fine.product, effective).is_ok());
        // Moisture taken twice.
        let twice = EffectiveFraction::from_number(0.6 * 0.94).unwrap();
        assert!(check(&fine.cells, fine.product, twice).is_err());
        // Tonnes for short tons.
        assert!(check(&fine.cells, fine.product * 0.907_184_74, effective).is_err());
        // Short by a millionth, and by 40 grams of a ton and more.
        assert!(check(&fine.cells, fine.product * (1.0 - 1e-6), effective).is_err());
        let grams = ProductMass::from_kilograms(0.04);
        assert!(check(&fine.cells, fine.product + grams, effective).is_err());
        // The rates of two cells exchanged.
        let mut exchanged = fine.cells.clone();
        let rate = exchanged[0].rate;
        exchanged[0].rate = exchanged[2].rate;
        exchanged[2].rate = rate;
        assert!(check(&exchanged, fine.product, effective).is_err());
    }

    #[test]
    fn overrides_have_entries_of_their_own_and_balance() {
        let effective = EffectiveFraction::from_number(0.5).unwrap();
        let (machine, area) = (machine(), Area::from_acres(1.0));
        let needs = needs(&[0.5, 1.0, 3.0, 0.0]);
        let two = WrittenRate { number: 2.0, unit: "ton/ac" };
        let list = [Override::NoProduct, Override::Rate(two), Override::Cap(two)];
        let orders = Orders { list: &list, of_cell: vec![&[0], &[2], &[2], &[0, 1]] };
        let done = prescribe_overridden(&needs, &orders, effective, &machine, area).unwrap();
        let ledger = &done.ledger;
        // A quarter acre each: 0.5 left out, 2 held where 6 capped to 4 was wanted, 1 too much.
        let tons = |mass: CarbonateMass| mass.to_kilograms() / 907.184_74 * 4.0;
        assert!((tons(ledger.overridden_down) - (0.5 + 2.0)).abs() < 1e-9);
        assert!((tons(ledger.overridden_up) - 1.0).abs() < 1e-9);
        assert!(tons(ledger.capped) == 0.0 && (tons(ledger.unmet()) - 2.5).abs() < 1e-9);
        let change: Vec<f64> =
            done.overrides.iter().map(|o| o.product.to_kilograms() / 907.184_74 * 4.0).collect();
        let expected = [-1.0, 2.0, -2.0];
        assert!(change.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-9), "{change:?}");
        // The cap changed one of its two cells.
        assert!((done.overrides[2].area / done.overrides[2].changed - 2.0).abs() < 1e-12);
        assert_eq!(done.cells[1].limit, Limit::None);
    }

    proptest::proptest! {
        #[test]
        fn any_needs_balance(
            tons in proptest::collection::vec(0.0_f64..9.0, 1..200),
            effective in 0.05_f64..1.8,
        ) {
            let effective = EffectiveFraction::from_number(effective).unwrap();
            let area = Area::from_acres(0.25) * tons.len() as f64;
            let result = prescribe_rates(&needs(&tons), effective, &machine(), area);
            let ledger = result.map(|prescription| prescription.ledger);
            proptest::prop_assert!(ledger.is_ok(), "{ledger:?}");
        }
    }
}
