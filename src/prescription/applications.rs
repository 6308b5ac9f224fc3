//! A prescription in several applications: what each of them spreads, with a ledger of its own.

use super::ledger::Imbalance;
use super::rates::{AreaAndProduct, CellRate, Prescription, RateTotal};
use crate::machine::{Machine, MachineRate};
use crate::units::{Area, EffectiveFraction, LimeNeed, ProductRate};

/// What each application of `machine` spreads of a prescription, in their order; rates are those of
/// [`Machine::single`].
///
/// Each has as its need the part of the cell's need that its rate is of the cell's rate, so needs,
/// products and what is unmet add up to those of the whole. Where nothing is spread, the need stands
/// with the first.
///
/// # Errors
/// Returns the [`Imbalance`] where a ledger does not balance: a fault of the program.
pub fn applications_of(
    whole: &Prescription,
    effective: EffectiveFraction,
    machine: &Machine,
    field_area: Area,
) -> Result<Vec<Prescription>, Imbalance> {
    let count = machine.application_count() as usize;
    let mut cells: Vec<Vec<CellRate>> =
        (0..count).map(|_| Vec::with_capacity(whole.cells.len())).collect();
    // Many cells have one rate, whose parts are found once.
    let parts: Vec<Vec<MachineRate>> =
        whole.rates.iter().map(|total| machine.parts(total.rate)).collect();
    for cell in &whole.cells {
        let all = machine.setting.rate(cell.rate);
        // Every rate of a cell is among the totals, which rise.
        let number = whole.rates.partition_point(|total| total.rate < cell.rate);
        for (at, &part) in parts[number].iter().enumerate() {
            let rate = machine.single().rate(part);
            let share =
                if all > ProductRate::ZERO { rate / all } else { f64::from(u8::from(at == 0)) };
            let need = cell.need * share;
            let own_spread = cell.own_spread * share;
            cells[at].push(CellRate {
                area: cell.area,
                need,
                rate: part,
                fitted: part,
                own: cell.own,
                own_spread,
                limit: cell.limit,
                held_from: cell.held_from.map(|would| would * share),
                product: rate * cell.area,
                unmet: (need - rate * effective).max(LimeNeed::ZERO),
            });
        }
    }
    let add_up =
        |cells| Prescription::of_cells(cells, Vec::new(), effective, machine.single(), field_area);
    cells.into_iter().map(add_up).collect()
}

/// The rates of all applications, from nothing upward, each with all ground and product that it has.
pub fn rates_at_once(applications: &[Prescription]) -> Vec<RateTotal> {
    let mut all = std::collections::BTreeMap::new();
    for RateTotal { rate, total } in applications.iter().flat_map(|one| &one.rates) {
        all.entry(*rate)
            .and_modify(|sum: &mut AreaAndProduct| {
                sum.area += total.area;
                sum.product += total.product;
            })
            .or_insert(*total);
    }
    all.into_iter().map(|(rate, total)| RateTotal { rate, total }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::machine::{Applications, Limit, Split};
    use crate::prescription::prescribe_rates;
    use crate::prescription::tests::{half, machine};

    fn over(count: u32, split: Split) -> Machine {
        machine().going_over(count, split).unwrap()
    }

    fn split(tons: &[f64], machine: &Machine) -> (Prescription, Vec<Prescription>) {
        let cell = |&need: &f64| (Area::from_acres(2.0), LimeNeed::from_short_tons_per_acre(need));
        let needs: Vec<(Area, LimeNeed)> = tons.iter().map(cell).collect();
        let area = needs.iter().map(|(area, _)| *area).sum();
        let whole = prescribe_rates(&needs, half(), machine, area).unwrap();
        let parts = applications_of(&whole, half(), machine, area).unwrap();
        (whole, parts)
    }

    #[test]
    fn six_tons_of_material_come_as_three_and_three_with_half_the_need_each() {
        // 3 ton of CaCO3 an acre of a material that is worth half: 6 ton/ac.
        let machine = over(2, Split::Equal);
        let (whole, parts) = split(&[3.0, 0.0, 0.2], &machine);
        let products: Vec<f64> = parts.iter().map(|part| part.product.to_short_tons()).collect();
        assert!((products[0] - 6.0).abs() < 1e-9 && (products[1] - 6.0).abs() < 1e-9);
        assert!((whole.product.to_short_tons() - 12.0).abs() < 1e-9);
        let needs: Vec<f64> = parts.iter().map(|part| part.ledger.need.to_short_tons()).collect();
        // The ground whose need is dropped stands with the first: 0.2 ton on 2 acres.
        assert!((needs[0] - 3.4).abs() < 1e-9 && (needs[1] - 3.0).abs() < 1e-9, "{needs:?}");
        assert_eq!(parts[0].cells[2].limit, Limit::Dropped);
        assert!((parts[0].ledger.unmet() / whole.ledger.unmet() - 1.0).abs() < 1e-9);
        assert!((parts[1].treated_area.to_acres() - 2.0).abs() < 1e-9);
    }

    #[test]
    fn one_application_is_the_whole() {
        let machine = machine();
        assert_eq!(machine.applications, Applications::One);
        let (whole, parts) = split(&[3.0, 1.1, 0.2], &machine);
        assert_eq!(parts.len(), 1);
        assert_eq!(parts[0].ledger, whole.ledger);
        assert_eq!(parts[0].rates, whole.rates);
    }

    proptest::proptest! {
        #[test]
        fn the_applications_add_up_to_the_whole(
            tons in proptest::collection::vec(0.0_f64..6.0, 1..60),
            count in 1_u32..5,
        ) {
            for way in Split::ALL {
                let (whole, parts) = split(&tons, &over(count, way));
                let sum = |of: fn(&Prescription) -> f64| parts.iter().map(of).sum::<f64>();
                for of in [
                    (|one: &Prescription| one.product.to_kilograms()) as fn(&Prescription) -> f64,
                    |one| one.ledger.need.to_kilograms(),
                    |one| one.ledger.unmet().to_kilograms(),
                    |one| one.ledger.excess().to_kilograms(),
                    |one| one.ledger.capped.to_kilograms(),
                ] {
                    proptest::prop_assert!((sum(of) - of(&whole)).abs() <= 1e-6 + of(&whole) * 1e-9);
                }
            }
        }
    }
}
