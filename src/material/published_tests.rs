//! What publications print of materials and schemes, row by row.

use std::collections::BTreeMap;

use super::byproduct::phosphorus_kg_per_ha;
use super::*;
use crate::findings::Place;
use crate::units::{
    CarbonateMass, Currency, EffectiveFraction, LimeNeed, Money, ProductMass, ProductRate, Share,
    bound,
};

/// One row: its inputs by name, and what comes of them.
struct Row<'t> {
    quantity: &'t str,
    inputs: Vec<(&'t str, &'t str)>,
}

impl Row<'_> {
    fn number(&self, name: &str) -> f64 {
        let found = self.inputs.iter().find(|(input, _)| *input == name);
        found.unwrap_or_else(|| panic!("{} has no {name}", self.quantity)).1.parse().expect(name)
    }

    fn part(&self, name: &str) -> EffectiveFraction {
        EffectiveFraction::from_number(self.number(name) / 100.0).expect("in range")
    }

    /// Everything that names a sieve or a class.
    fn sieves(&self) -> BTreeMap<String, Share> {
        self.inputs
            .iter()
            .filter(|(name, _)| !["CCE", "moisture"].contains(name))
            .map(|(name, part)| {
                let part: f64 = part.parse().expect("a percentage");
                ((*name).to_owned(), Share::from_number(part / 100.0).expect("a share"))
            })
            .collect()
    }

    fn fineness(&self, scheme: &str, horizon: Option<&str>) -> Fineness {
        let (scheme, place) =
            (fineness_scheme(scheme, Place::default()).expect(scheme), Place::default());
        let horizon = scheme.horizon(horizon, &place).expect("known");
        let parts = self.sieves();
        let is_classes = parts.keys().any(|key| key.contains("through"));
        let analysis =
            if is_classes { SieveAnalysis::Between(parts) } else { SieveAnalysis::Passing(parts) };
        fineness_from(scheme, horizon, &analysis, &place).expect("sound")
    }

    /// The effective part as spread of a material with this CCE, dry, and this moisture, if any.
    fn effective(&self, scheme: &str, horizon: Option<&str>) -> EffectiveFraction {
        let cce = Stated { fraction: self.part("CCE"), basis: Basis::Dry };
        let analysis = Analysis::stated(cce, self.fineness(scheme, horizon));
        let has_moisture = self.inputs.iter().any(|(name, _)| *name == "moisture");
        let moisture = if has_moisture { self.number("moisture") / 100.0 } else { 0.0 };
        effective_as_spread(analysis.effective().expect("counts"), Share::from_number(moisture))
            .expect("counts")
    }

    /// The recommended rate, in short tons an acre, of a material that is worth `material`.
    fn rate(&self, basis: &str, material: EffectiveFraction) -> f64 {
        let basis = recommendation_basis(basis, Place::default()).expect("a basis");
        let recommended = ProductRate::from_short_tons_per_acre(self.number("rec"));
        (basis.need(recommended) / material).to_short_tons_per_acre()
    }

    fn of_lime(&self) -> f64 {
        let cce = compound(self.inputs[0].0).expect("a compound").cce();
        EffectiveFraction::from_number(cce).expect("in range").to_number()
    }

    fn by_class(&self) -> Analysis {
        let scheme = fineness_scheme("western-australia", Place::default()).expect("known");
        let horizon = scheme.horizon(None, &Place::default()).expect("the only one");
        let (mut parts, mut cce) = (BTreeMap::new(), vec![None; scheme.classes().len()]);
        for (class, both) in &self.inputs {
            let (part, value) = both.split_once('@').expect("a part and a value");
            let number = |text: &str| text.parse::<f64>().expect("a number") / 100.0;
            let at = SieveAnalysis::class_index(scheme, class, &Place::default()).expect("a class");
            cce[at] = EffectiveFraction::from_number(number(value));
            parts.insert((*class).to_owned(), Share::from_number(number(part)).expect("a share"));
        }
        let analysis = SieveAnalysis::Between(parts);
        let fineness = fineness_from(scheme, horizon, &analysis, &Place::default()).expect("sound");
        analysis_by_size_class(fineness, &cce, Basis::Dry).expect("counts")
    }

    /// What a tonne of effective CaCO3 costs.
    fn per_effective(&self, effective: f64, price: &str) -> f64 {
        let price = Price {
            amount: Money::from_units(self.number(price)),
            per: ProductMass::from_tonnes(1.0),
            currency: Currency::from_words("$").expect("a sign"),
            at: PriceAt::Spread,
        };
        let effective = EffectiveFraction::from_number(effective).expect("in range");
        price.of(CarbonateMass::from_tonnes(1.0) / effective).to_units()
    }

    fn rated(key: &str, number: f64) -> EffectiveFraction {
        let rating = rating(key).expect("known");
        let number = rating.bounded.read(&format!("{number} lb/ton")).expect("within limits");
        rating.effective(number).expect("within reach")
    }

    /// What the program makes of the row.
    fn found(&self) -> f64 {
        let pounds = |effective: EffectiveFraction| {
            (ProductMass::from_short_tons(1.0) * effective).to_pounds()
        };
        match self.quantity {
            "BR_PRNT" => {
                // Half between 0.84 and 0.3 mm and half below makes the row's reactivity of 80 %.
                let inputs = vec![("0.84-0.3 mm", "50"), ("through 0.3 mm", "50"), ("CCE", "90")];
                let row = Row { quantity: "", inputs };
                let reactivity = row.fineness("brazil", None).efficiency.to_percent();
                assert!((reactivity - self.number("RE")).abs() < 1e-9);
                assert!((row.number("CCE") - self.number("PN")).abs() < 1e-9);
                row.effective("brazil", None).to_percent()
            }
            "BR_PRNT_adjust" => self.rate("PRNT 100 %", self.part("PRNT")),
            "CCE_pure" | "CCE_molar_mass" => 100.0 * self.of_lime(),
            "CCE_pure_lb_equiv" => 2_000.0 / self.of_lime(),
            "UK_NV_to_CCE" => 100.0 * self.number("NV") / 100.0 / calcite_as_oxide(),
            "Iowa_fineness" => self.fineness("iowa", None).efficiency.to_percent(),
            "Iowa_ECCE" => pounds(self.effective("iowa", None)),
            "NY_ENV" => self.effective("new-york", Some("1 year")).to_percent(),
            "RNV_10_50_mesh" => self.effective("rnv-10-50", None).to_percent(),
            "Michigan_ECC" => self.effective("michigan", None).to_percent(),
            "NE_ECC" => self.effective("nebraska", None).to_percent(),
            "Illinois_ENV_1yr" => self.effective("illinois", Some("1 year")).to_percent(),
            "Illinois_ENV_4yr" => self.effective("illinois", Some("4 years")).to_percent(),
            "MO_ENM_fineness" => self.fineness("missouri", None).efficiency.to_percent(),
            "MO_ENM" => {
                pounds(self.effective("missouri", None)) * rating("enm").expect("known").pure()
            }
            "Ohio_ENP_calc" => pounds(self.effective("ohio-minnesota", None)),
            "Ohio_ENP_tons" => self.rate("100 % CCE", Self::rated("enp", self.number("ENP"))),
            "Ohio_ENP_cost" => {
                let rate = self.rate("100 % CCE", Self::rated("enp", self.number("ENP")));
                let price = Price {
                    amount: Money::from_units(self.number("price")),
                    per: ProductMass::from_short_tons(1.0),
                    currency: Currency::from_words("$").expect("a sign"),
                    at: PriceAt::Plant,
                };
                price.of(ProductMass::from_short_tons(rate)).to_units()
            }
            "Missouri_ENM_tons" => {
                let basis = recommendation_basis("lb ENM", Place::default()).expect("a basis");
                let need = basis.need(ProductRate::from_pounds_per_acre(self.number("rec")));
                (need / Self::rated("enm", self.number("ENM"))).to_short_tons_per_acre()
            }
            "Beet_lime_ENP_rate" => {
                let basis = recommendation_basis("lb ENP", Place::default()).expect("a basis");
                let need = basis.need(ProductRate::from_pounds_per_acre(self.number("rec")));
                (need / Self::rated("enp", self.number("ENP"))).to_short_tons_per_acre()
            }
            "TriState_NV_adjust" => {
                self.rate(&format!("NV {} % CaCO3", self.number("NV")), self.part("material"))
            }
            "CCE_adjust" => self.rate("100 % CCE", self.part("CCE")),
            "NZ_lime_quality" => {
                let need = LimeNeed::from_tonnes_per_hectare(1.0);
                let rate = |name| (need / self.part(name)).to_tonnes_per_hectare();
                rate("NV") / rate("instead_of")
            }
            "Wood_ash_CCE" => {
                // Pounds on a thousand square feet; an acre has 43,560 of these.
                let rate = ProductRate::from_pounds_per_acre(self.number("rate") * 43.56);
                (rate * self.part("CCE")).to_pounds_per_acre()
            }
            "Beet_lime_CaCO3" => {
                let rate = ProductRate::from_short_tons_per_acre(self.number("rate"));
                (rate * self.part("CaCO3")).to_short_tons_per_acre()
            }
            "Beet_lime_P_load" => {
                phosphorus_kg_per_ha(self.number("rate") * 1_000.0, self.number("P"))
            }
            "Beet_lime_P2O5" => {
                let part = bound::ENP.read(&format!("{} kg/t", self.number("P2O5")));
                part.expect("within limits") * 2_000.0
            }
            "WA_lime_EP_class" => {
                let scheme = fineness_scheme("western-australia", Place::default()).expect("known");
                let horizon = scheme.horizon(None, &Place::default()).expect("the only one");
                let class = self.inputs.iter().find(|(name, _)| *name == "class").expect("named").1;
                let at = SieveAnalysis::class_index(scheme, class, &Place::default());
                let factor = scheme.class_factors(horizon)[at.expect("a class")];
                self.number("part") * factor * self.part("NV").to_number()
            }
            "WA_lime_EP" => {
                let effective = self.by_class().effective().expect("counts");
                effective.fraction.to_percent()
            }
            "WA_lime_effective_cost" => self.per_effective(self.number("EP") / 100.0, "cost"),
            "Lime_value_compare" => {
                let effective = self.number("fineness") * self.number("NV") / 1e4;
                self.per_effective(effective, "price")
            }
            other => panic!("nothing is known of {other}"),
        }
    }
}

#[test]
fn every_published_figure_of_materials_comes_out() {
    let text = include_str!("../../tests/data/check_values/materials.csv");
    let (mut seen, mut faults) = (0, Vec::new());
    for line in text.lines().skip(1) {
        let fields: Vec<&str> = line.splitn(7, ',').collect();
        let inputs = fields[1]
            .split(';')
            .map(|input| input.split_once('=').unwrap_or((input, "")))
            .collect();
        let row = Row { quantity: fields[0], inputs };
        let number = |at: usize| fields[at].parse::<f64>().expect("a number");
        let found = row.found();
        if (found - number(2)).abs() > number(4) + 1e-9 {
            faults.push(format!("{line}: {found}"));
        }
        assert!(!fields[6].is_empty(), "{line}: no source");
        seen += 1;
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert_eq!(seen, 66);
}

#[test]
fn what_is_weighted_by_class_is_cce_times_fineness_too() {
    let row = Row {
        quantity: "WA_lime_EP",
        inputs: vec![("over 1 mm", "20@50"), ("through 0.125 mm", "80@90")],
    };
    let analysis = row.by_class();
    // 0.2 x 50 % x 0.2 + 0.8 x 90 % = 74 %; the whole has 82 %.
    assert!((analysis.effective().expect("counts").fraction.to_percent() - 74.0).abs() < 1e-9);
    assert!((analysis.cce.fraction.to_percent() - 82.0).abs() < 1e-9);
    assert!((analysis.fineness.efficiency.to_number() - 74.0 / 82.0).abs() < 1e-12);
    let step = analysis.by_class.expect("told");
    assert!(step.words.contains("20 % over 1 mm x CCE 50 % x 0.2"), "{}", step.words);
}
