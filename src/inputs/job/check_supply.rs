//! Where a material comes from and what it brings beside lime: supplier, lot, supply, magnesium,
//! nutrients; and the minimum quality that it is held against.

use super::check::Checker;
use super::check_money::MoneyWords;
use super::file::JobFile;
use super::material_file::MaterialTable;
use super::material_list_file::NutrientTable;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::material::{Basis, Lot, Nutrient, NutrientContent, QualityLimit, Worth, quality_limit};
use crate::units::{Money, ProductMass, Share, bound};

static WORTH: MoneyWords = MoneyWords {
    subject: "the price of a nutrient",
    units: "`$/lb` or `$/kg`",
    example: "0.55 $/lb",
};

impl Checker<'_> {
    /// `None` where something in it is wrong. `moisture` is that of the material.
    pub(super) fn lot(&mut self, table: &MaterialTable, moisture: Option<Share>) -> Option<Lot> {
        let text = |value: &Option<At<String>>| value.as_ref().map(|text| text.value.clone());
        let analysed = self.day("material.analysed", table.analysed.as_ref());
        let is_analysed = analysed.is_some() == table.analysed.is_some();
        let supply_limit = match &table.supply_limit {
            None => None,
            Some(written) => {
                let kilograms = self.quantity(written, &bound::SUPPLY)?;
                Some(ProductMass::from_kilograms(kilograms))
            }
        };
        let magnesium = match &table.magnesium {
            None => None,
            Some(written) => Some(self.content(written, "the magnesium", moisture)?),
        };
        let nutrients = self.nutrients(table, moisture)?;
        is_analysed.then(|| Lot {
            supplier: text(&table.supplier),
            lot: text(&table.lot),
            analysed,
            supply_limit,
            magnesium,
            nutrients,
        })
    }

    /// `Some(None)` where the job names none, `None` where it names one that there is not.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn quality(&mut self, file: &JobFile) -> Option<Option<&'static QualityLimit>> {
        let Some(written) = file.material.as_ref().and_then(|table| table.value.quality.as_ref())
        else {
            return Some(None);
        };
        match quality_limit(&written.value, self.text.place(&written.span)) {
            Ok(limit) => Some(Some(limit)),
            Err(problem) => {
                self.problems.push(problem);
                None
            }
        }
    }

    fn nutrients(
        &mut self,
        table: &MaterialTable,
        moisture: Option<Share>,
    ) -> Option<Vec<NutrientContent>> {
        let Some(written) = &table.nutrients else { return Some(Vec::new()) };
        let read: Vec<Option<NutrientContent>> = written
            .value
            .iter()
            .map(|(name, nutrient)| self.nutrient(name, nutrient, moisture))
            .collect();
        let mut read: Vec<NutrientContent> = read.into_iter().collect::<Option<_>>()?;
        read.sort_by_key(|content| content.nutrient);
        Some(read)
    }

    fn nutrient(
        &mut self,
        name: &str,
        table: &At<NutrientTable>,
        moisture: Option<Share>,
    ) -> Option<NutrientContent> {
        let known = Nutrient::ALL.map(Nutrient::words);
        let named = At { value: name.to_owned(), span: table.span.clone() };
        let word = self.one_of("material.nutrients", Some(&named), &known)?;
        let nutrient = Nutrient::ALL.into_iter().find(|nutrient| nutrient.words() == word)?;
        let content = self.required(
            &format!("material.nutrients.{word}.content"),
            "how much of it there is, such as \"20 lb/ton\"",
            table.value.content.as_ref(),
        )?;
        let content = self.content(content, word, moisture)?;
        let worth = match &table.value.price {
            None => None,
            Some(written) => Some(self.worth_of_nutrient(written)?),
        };
        Some(NutrientContent { nutrient, content, worth })
    }

    fn worth_of_nutrient(&mut self, written: &At<Written>) -> Option<Worth> {
        let (number, currency, per) = self.money(written, &WORTH)?;
        let per = match per.as_str() {
            "lb" => ProductMass::from_pounds(1.0),
            "kg" => ProductMass::from_kilograms(1.0),
            _ => return self.not_money(written, &WORTH),
        };
        Some(Worth { amount: Money::from_units(number), per, currency })
    }

    /// `11 % dry`, `10 % as received`, or `20 lb/ton` and `10 kg/t`, which are as received: the part
    /// of the material as spread.
    fn content(
        &mut self,
        written: &At<Written>,
        of: &str,
        moisture: Option<Share>,
    ) -> Option<Share> {
        let text = written.value.0.trim();
        let based = [Basis::Dry, Basis::AsReceived].into_iter().find_map(|basis| {
            text.strip_suffix(basis.words()).map(|number| (number.trim().to_owned(), basis))
        });
        let by_the_ton = !text.contains('%');
        let (number, basis) = match based {
            Some(based) => based,
            None if by_the_ton => (text.to_owned(), Basis::AsReceived),
            None => {
                let what = format!("{of} is `{text}`, which does not say of what");
                let problem = Problem::at(self.text.place(&written.span), what)
                    .allowed("a percentage followed by `dry` or by `as received`")
                    .hint("write \"11 % dry\" together with a moisture, or \"20 lb/ton\"");
                self.problems.push(problem);
                return None;
            }
        };
        let part = At { value: Written(number), span: written.span.clone() };
        let part = self.quantity(&part, &bound::CONTENT)?;
        let dry_matter = match (basis, moisture) {
            (Basis::AsReceived, _) => 1.0,
            (Basis::Dry, Some(moisture)) => 1.0 - moisture.to_number(),
            (Basis::Dry, None) => {
                let what = format!("{of} is stated for dry material, and the moisture is missing");
                let problem = Problem::at(self.text.place(&written.span), what)
                    .allowed("a dry figure with the moisture of the pile, or a figure as received")
                    .hint("add moisture = \"6 %\", from the supplier's analysis");
                self.problems.push(problem);
                return None;
            }
        };
        Share::from_number(part * dry_matter)
    }
}
