//! What one method comes to on a field, and how far several lie apart.

use super::build::product;
use super::{
    AdvisedMethodPart, MethodResultPart, MethodSpreadPart, Quantity, SpreadOf, TableLimits,
};
use crate::agronomy::Why;
use crate::haul::{CostsAsked, Haul, Totals, costs_of};
use crate::inputs::Job;
use crate::prescription::{CellSoil, Prescription, area_by_why};
use crate::units::{Area, Money, tidy};

/// What a method's result is made from.
#[derive(Debug)]
pub struct ResultParts<'a> {
    /// The job.
    pub job: &'a Job,
    /// What each cell gets.
    pub prescription: &'a Prescription,
    /// Where anything is spread, counted once for each application.
    pub spread_over: Area,
    /// Prescribed, to load, to order.
    pub totals: &'a Totals,
    /// The haul of that order.
    pub haul: Option<Haul>,
    /// The layers of the soil in each cell.
    pub layers: &'a [&'a [CellSoil]],
}

/// What one method comes to, as the summary of its own run has it.
pub fn method_result(parts: &ResultParts<'_>) -> MethodResultPart {
    let ResultParts { job, prescription, spread_over, totals, haul, layers } = parts;
    let system = job.units;
    let (ledger, area) = (&prescription.ledger, prescription.area);
    let spreading = job.haul.as_ref().and_then(|haul| haul.spreading.as_ref());
    let costs = costs_of(&CostsAsked {
        to_order: totals.to_order,
        to_load: totals.to_load,
        spread_over: *spread_over,
        price: job.material.price.as_ref(),
        haul: haul.as_ref(),
        spreading: spreading.map(|cost| cost.charge),
    });
    let money = |money: Money| -> Option<Quantity> {
        let unit = job.currency()?.words().to_owned().into();
        Some(Quantity { value: tidy(money.to_units()), unit })
    };
    let area_of = |is: &dyn Fn(Why) -> bool| area_by_why(&prescription.cells, layers, is);
    let at_limit = |limit: Why| system.area(area_of(&|why| why == limit)).into();
    MethodResultPart {
        need_total: system.carbonate(ledger.need).into(),
        need_mean: system.need(ledger.need / area).into(),
        product_total: product(system, totals.prescribed),
        to_order: product(system, totals.to_order),
        mean_rate: system.rate(prescription.product / area).into(),
        treated_area: system.area(prescription.treated_area).into(),
        unmet_total: system.carbonate(ledger.unmet()).into(),
        table_limit_area: TableLimits {
            below: at_limit(Why::BelowTable),
            above: at_limit(Why::AboveTable),
        },
        table_limit_share: area_of(&Why::is_table_limit) / area,
        cost_total: costs.total().and_then(money),
        cost_covers: costs.known().iter().map(|(name, _)| (*name).to_owned()).collect(),
    }
}

/// How far the methods that were run lie apart; `None` where none was run.
pub fn method_spread(methods: &[AdvisedMethodPart]) -> Option<MethodSpreadPart> {
    let results: Vec<(&str, &MethodResultPart)> = methods
        .iter()
        .filter_map(|method| Some((method.id.as_str(), method.result.as_ref()?)))
        .collect();
    let of = |figure: &dyn Fn(&MethodResultPart) -> Option<Quantity>| {
        let figures = results.iter().filter_map(|(id, result)| Some((*id, figure(result)?)));
        spread_of(&figures.collect::<Vec<_>>())
    };
    Some(MethodSpreadPart {
        methods: results.len(),
        need_total: of(&|result| Some(result.need_total.clone()))?,
        to_order: of(&|result| Some(result.to_order.clone()))?,
        cost_total: of(&|result| result.cost_total.clone()),
    })
}

/// The lowest and the highest of some figures in one unit.
fn spread_of(figures: &[(&str, Quantity)]) -> Option<SpreadOf> {
    let (first, rest) = figures.split_first()?;
    let further = |is_further: fn(f64, f64) -> bool| {
        rest.iter().fold(first, |furthest, figure| {
            if is_further(figure.1.value, furthest.1.value) { figure } else { furthest }
        })
    };
    let (lowest, highest) = (further(|one, other| one < other), further(|one, other| one > other));
    let (low, high) = (lowest.1.value, highest.1.value);
    Some(SpreadOf {
        lowest: lowest.1.clone(),
        lowest_method: lowest.0.to_owned(),
        highest: highest.1.clone(),
        highest_method: highest.0.to_owned(),
        difference: Quantity { value: tidy(high - low), unit: highest.1.unit.clone() },
        ratio: (low > 0.0).then(|| high / low),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tons(value: f64) -> Quantity {
        Quantity { value, unit: "ton".into() }
    }

    #[test]
    fn the_lowest_and_the_highest_are_named_and_the_first_of_equals() {
        let figures =
            [("a", tons(305.0)), ("b", tons(212.0)), ("c", tons(388.0)), ("d", tons(388.0))];
        let spread = spread_of(&figures).unwrap();
        assert_eq!((spread.lowest_method.as_str(), spread.highest_method.as_str()), ("b", "c"));
        assert_eq!((spread.lowest.value, spread.highest.value), (212.0, 388.0));
        assert_eq!(spread.difference, tons(176.0));
        assert!((spread.ratio.unwrap() - 388.0 / 212.0).abs() < 1e-12);
    }

    #[test]
    fn nothing_has_no_ratio_and_none_no_spread() {
        let spread = spread_of(&[("a", tons(0.0)), ("b", tons(3.0))]).unwrap();
        assert_eq!((spread.ratio, spread.difference), (None, tons(3.0)));
        assert_eq!(spread_of(&[]), None);
    }
}
