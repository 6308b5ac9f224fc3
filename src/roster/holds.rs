//! What an order sheet holds and what not, in the sentences at its head.

use super::amounts::product_of;
use super::fields::Fields;
use super::order::OrderSheet;
use super::plan::Planned;
use super::supply::{SuppliedField, SupplierPlan};
use crate::findings::first_of;
use crate::summary::Quantity;
use crate::units::{ProductMass, UnitSystem, counted, plain};

/// Fields that are named in a sentence before the rest is counted.
const NAMED: usize = 6;

/// What decides which fields an order is of, and of which material.
pub(super) struct Held<'a> {
    /// The fields that are ordered.
    pub(super) ordered: &'a Fields,
    /// What the plan leaves of all of them, where there is one.
    pub(super) planned: Option<&'a Planned>,
    /// Whether a plan was asked for and could not be made.
    pub(super) refused: bool,
    /// Who is to supply them, where the list names suppliers.
    pub(super) suppliers: Option<&'a SupplierPlan>,
    pub(super) units: UnitSystem,
}

impl Held<'_> {
    /// The sentences, the weightiest first; none where the order is simply of all fields.
    pub(super) fn sentences(&self, sheet: &OrderSheet) -> Vec<String> {
        let mut told = Vec::new();
        if self.refused {
            told.push("This order is of all fields: the plan was refused.".to_owned());
        }
        if let Some(planned) = self.planned {
            told.extend(planned.said());
            told.extend(self.stays_over(sheet));
        }
        told.extend(self.proposed());
        told
    }

    /// What of a plan's tons is not ordered, since the plan counts each field by itself.
    pub(super) fn stays_over(&self, sheet: &OrderSheet) -> Option<String> {
        let apart: Option<Vec<ProductMass>> =
            self.ordered.rows().map(|row| product_of(&row.to_order)).collect();
        let together: Option<Vec<ProductMass>> =
            sheet.lines.iter().map(|line| product_of(&line.to_order)).collect();
        let apart: ProductMass = apart?.into_iter().sum();
        let together: ProductMass = together?.into_iter().sum();
        let over = apart - together;
        let shown = |mass: ProductMass| {
            let quantity: Quantity = self.units.product(mass).into();
            format!("{} {}", plain(quantity.value, 2, 2), quantity.unit)
        };
        (over > apart * 1e-6).then(|| {
            format!(
                "The plan counts the order of each field by itself, {} for the fields of this order; \
                 since fields share trucks or what is left is carried on, {} are ordered. {} of what \
                 the plan shares out stay over: with a limit higher by as much it may lime more.",
                shown(apart),
                shown(together),
                shown(over)
            )
        })
    }

    /// That other materials than those of the jobs are proposed.
    fn proposed(&self) -> Option<String> {
        let fields = &self.suppliers?.fields;
        let differs = |field: &&SuppliedField| {
            let row = self.ordered.rows().find(|row| row.id == field.id);
            let own = row.and_then(|row| row.material.supplier.as_deref()).unwrap_or_default();
            let is_own = |name: &str| name.trim().to_lowercase() == own.trim().to_lowercase();
            !field.from.iter().all(|share| is_own(&share.supplier))
        };
        let ids: Vec<&str> = fields.iter().filter(differs).map(|field| field.id.as_str()).collect();
        (!ids.is_empty()).then(|| {
            format!(
                "This order is of the materials that the jobs have now; the choice of suppliers \
                 proposes others for {} ({}).",
                counted(ids.len() as u64, "field", "fields"),
                first_of(&ids, NAMED)
            )
        })
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;
    use crate::inputs::CalendarPart;
    use crate::roster::made::{at_site, fields, made};
    use crate::roster::{OrderAsk, order_sheet};

    fn held<'a>(ordered: &'a Fields, suppliers: Option<&'a SupplierPlan>) -> Held<'a> {
        Held { ordered, planned: None, refused: false, suppliers, units: UnitSystem::Us }
    }

    fn sheet_of(ordered: &Fields) -> OrderSheet {
        let calendar = CalendarPart::default();
        order_sheet(ordered, &OrderAsk { units: UnitSystem::Us, calendar, limits: Vec::new() })
    }

    #[test]
    fn tons_that_shared_trucks_spare_stay_over_of_a_plan() {
        // 30 and 32 tons are 50 each by themselves, and 75 in shared trucks.
        let at = |id, tons| at_site(made(id, tons, true), "Section 12 road");
        let shared = fields(vec![at("a", 30.0), at("b", 32.0)]);
        let told = held(&shared, None).stays_over(&sheet_of(&shared)).unwrap();
        for part in ["by itself, 100.00 ", "is carried on, 75.00 ", " 25.00 "] {
            assert!(told.contains(part), "{part}: {told}");
        }
        let apart = fields(vec![made("a", 30.0, true), made("b", 32.0, true)]);
        assert_eq!(held(&apart, None).stays_over(&sheet_of(&apart)), None);
    }

    #[test]
    fn a_refused_plan_and_other_suppliers_stand_at_the_head() {
        let set = fields(vec![made("a", 30.0, true), made("b", 32.0, true)]);
        let sheet = sheet_of(&set);
        assert!(held(&set, None).sentences(&sheet).is_empty());
        let refused = Held { refused: true, ..held(&set, None) }.sentences(&sheet);
        assert_eq!(refused, ["This order is of all fields: the plan was refused."]);
        let tons = json!({ "value": 50.0, "unit": "ton" });
        let served = |id: &str, supplier: &str| {
            json!({
                "id": id, "field": id, "cost": tons, "rate_factor": 1.0,
                "from": [{ "supplier": supplier, "to_order": tons, "cost": tons }],
            })
        };
        // The jobs order of `Quarry`.
        let suppliers: SupplierPlan = serde_json::from_value(json!({
            "fields": [served("a", "quarry"), served("b", "Pit")],
            "suppliers": [], "proven": true, "rests_on": [], "not_known": [],
        }))
        .unwrap();
        let told = held(&set, Some(&suppliers)).sentences(&sheet);
        assert_eq!(told.len(), 1);
        assert!(told[0].ends_with("proposes others for 1 field (b)."), "{told:?}");
    }
}
