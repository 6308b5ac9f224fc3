//! The `[allotment]` table of a list of jobs.

use super::allotment_file::{AllotmentTable, AllottedMaterialTable, ResponseTable};
use super::allotment_part::{
    AllotmentPart, Limits, NamedInPlan, OfMaterial, PlanAmounts, ResponseBand, ResponsePart, Take,
    YearLimits,
};
use super::check::Checker;
use super::check_money::MoneyWords;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::units::{Currency, M2_PER_ACRE, M2_PER_HECTARE, Money, ProductMass, bound};

/// Years that a plan may span; the soil is to be tested again by the last (common practice).
const YEARS: std::ops::RangeInclusive<usize> = 2..=4;

/// The greatest amount of money that is taken, wide enough for any currency (ours).
const MOST_MONEY: f64 = 1e12;

static WORTH: MoneyWords = MoneyWords {
    subject: "what a pH more is worth",
    units: "`$/ac` or `$/ha`",
    example: "60 $/ac",
};

impl Checker<'_> {
    /// `None` where something in it is wrong.
    pub(super) fn allotment(&mut self, written: &At<AllotmentTable>) -> Option<AllotmentPart> {
        let At { value: table, span } = written;
        let place = self.text.place(span);
        let limits = self.limits(written);
        let take = match &table.take {
            None => Some(Take::Fields),
            Some(take) => {
                let words = Take::ALL.map(Take::words);
                let word = self.one_of("allotment.take", Some(take), &words);
                word.and_then(|word| Take::ALL.into_iter().find(|take| take.words() == word))
            }
        };
        let least = match &table.least_per_field {
            None => Some(None),
            Some(least) => self.quantity(least, &bound::LEAST_ORDER).map(Some),
        };
        let named = [&table.must, &table.not_this_year, &table.priority]
            .map(|names| self.named(names.as_ref()));
        self.named_twice(table);
        let response = match &table.response {
            None => Some(None),
            Some(table) => self.response(table).map(Some),
        };
        let [must, not_this_year, priority] = named;
        let (limits, take) = (limits?, take?);
        if let (Some(least), true) = (&table.least_per_field, take == Take::Fields) {
            let what = "`allotment.least_per_field` is stated, and fields are taken whole";
            let problem = Problem::at(self.text.place(&least.span), what)
                .allowed("`least_per_field` with `take = \"rate areas\"` or `take = \"trucks\"`")
                .hint("leave it out, or state what is taken");
            self.problems.push(problem);
            return None;
        }
        if years_of(&limits) > 1 && take != Take::Fields {
            let what = "a plan over several years takes parts of fields";
            let problem = Problem::at(place, what)
                .allowed("`take = \"fields\"` with `years`")
                .hint("plan one year by rate areas or trucks, or several with whole fields");
            self.problems.push(problem);
            return None;
        }
        Some(AllotmentPart {
            place,
            limits,
            take,
            least_per_field: least?.map(ProductMass::from_kilograms),
            must,
            not_this_year,
            priority,
            response: response?,
            first_day: None,
        })
    }

    fn limits(&mut self, written: &At<AllotmentTable>) -> Option<Limits> {
        let table = &written.value;
        if let (Some(list), None, None) = (&table.material, &table.limit, &table.years) {
            let each: Vec<Option<OfMaterial>> =
                list.value.iter().map(|entry| self.of_material(entry)).collect();
            let each: Option<Vec<OfMaterial>> = each.into_iter().collect();
            let each = each?;
            if each.is_empty() {
                return self.no_limit(list, "`allotment.material` is an empty list");
            }
            let years = each[0].limits.years();
            if each.iter().any(|one| one.limits.years() != years) {
                let what = "the materials have limits for different numbers of years";
                return self.no_limit(list, what);
            }
            return Some(Limits::OfMaterials(each));
        }
        if table.material.is_some() {
            return self.no_limit(written, "limits are stated for all fields and by material");
        }
        let year = self.year_limits(written, table.limit.as_ref(), table.years.as_ref())?;
        Some(Limits::ForAll(year))
    }

    fn no_limit<T, V>(&mut self, at: &At<V>, what: &str) -> Option<T> {
        let problem = Problem::at(self.text.place(&at.span), what)
            .allowed("one of `limit`, `years` and `[[allotment.material]]`, each with a limit")
            .hint("state what there is, such as `limit = \"500 ton\"`");
        self.problems.push(problem);
        None
    }

    fn of_material(&mut self, entry: &At<AllottedMaterialTable>) -> Option<OfMaterial> {
        let table = &entry.value;
        let name = table.name.clone();
        if name.is_none() {
            let what = "an entry of `[[allotment.material]]` has no `name`";
            let problem = Problem::at(self.text.place(&entry.span), what)
                .allowed("the material as the jobs call it")
                .hint("add its `name`");
            self.problems.push(problem);
        }
        let limits = self.year_limits(entry, table.limit.as_ref(), table.years.as_ref());
        let name = name?;
        let material = NamedInPlan { place: self.text.place(&name.span), name: name.value.clone() };
        Some(OfMaterial { material, limits: limits? })
    }

    fn year_limits<V>(
        &mut self,
        at: &At<V>,
        limit: Option<&At<Written>>,
        years: Option<&At<Vec<At<Written>>>>,
    ) -> Option<YearLimits> {
        let (list, span): (Vec<&At<Written>>, _) = match (limit, years) {
            (Some(limit), None) => (vec![limit], &limit.span),
            (None, Some(years)) if YEARS.contains(&years.value.len()) => {
                (years.value.iter().collect(), &years.span)
            }
            (None, Some(years)) => {
                let what = format!("`years` lists {} limits", years.value.len());
                let problem = Problem::at(self.text.place(&years.span), what)
                    .allowed(format!(
                        "a limit for each of {} to {} years",
                        YEARS.start(),
                        YEARS.end()
                    ))
                    .hint("state `limit` for one year; soil tests do not hold for more than four");
                self.problems.push(problem);
                return None;
            }
            (None, None) => return self.no_limit(at, "no limit is stated"),
            (Some(_), Some(_)) => {
                return self.no_limit(at, "both `limit` and `years` are stated");
            }
        };
        let place = self.text.place(span);
        let amounts: Vec<Option<Amount>> = list.iter().map(|one| self.amount(one)).collect();
        let amounts: Option<Vec<Amount>> = amounts.into_iter().collect();
        let Some(amounts) = in_one_kind(&amounts?) else {
            let problem = Problem::at(place, "the limits are not all of one kind")
                .allowed("all of material as spread, or all of money in one currency")
                .hint("a plan counts in one of them");
            self.problems.push(problem);
            return None;
        };
        let written = list.iter().map(|one| one.value.0.trim().to_owned()).collect();
        Some(YearLimits { place, written, amounts })
    }

    /// `500 ton` or `12000 $`.
    fn amount(&mut self, written: &At<Written>) -> Option<Amount> {
        let text = written.value.0.trim();
        let split = text.split_once(char::is_whitespace);
        let money = split
            .and_then(|(number, unit)| Some((number.trim(), Currency::from_words(unit.trim())?)));
        let Some((number, currency)) = money else {
            return self.quantity(written, &bound::ALLOTTED).map(Amount::Kilograms);
        };
        let read = number.parse::<f64>().ok();
        let Some(number) = read.filter(|number| (0.0..=MOST_MONEY).contains(number)) else {
            let what = format!("the limit is `{text}`");
            let problem = Problem::at(self.text.place(&written.span), what)
                .allowed("a number from 0 and a currency, or a mass of material as spread")
                .hint("write it as in `12000 $`, without separators");
            self.problems.push(problem);
            return None;
        };
        Some(Amount::Money(number, currency))
    }

    fn named(&self, names: Option<&At<Vec<At<String>>>>) -> Vec<NamedInPlan> {
        let names = names.into_iter().flat_map(|names| &names.value);
        names
            .map(|name| NamedInPlan {
                name: name.value.trim().to_owned(),
                place: self.text.place(&name.span),
            })
            .collect()
    }

    /// A field cannot both have to get lime and get none, and is named once in a list.
    fn named_twice(&mut self, table: &AllotmentTable) {
        let lists = [
            ("must", &table.must),
            ("not_this_year", &table.not_this_year),
            ("priority", &table.priority),
        ];
        let mut seen: Vec<(&str, &str)> = Vec::new();
        for (list, names) in lists {
            for name in names.iter().flat_map(|names| &names.value) {
                let typed = name.value.trim();
                let before = seen.iter().find(|(_, other)| *other == typed);
                if let Some((other, _)) = before {
                    let what = if *other == list {
                        format!("`allotment.{list}` names `{typed}` twice")
                    } else {
                        format!("`{typed}` is in both `allotment.{other}` and `allotment.{list}`")
                    };
                    let problem = Problem::at(self.text.place(&name.span), what)
                        .allowed("each field once in `must`, `not_this_year` or `priority`")
                        .hint("decide which it is");
                    self.problems.push(problem);
                }
                seen.push((list, typed));
            }
        }
    }

    fn response(&mut self, written: &At<ResponseTable>) -> Option<ResponsePart> {
        let table = &written.value;
        let source = table.source.as_ref().filter(|source| !source.value.trim().is_empty());
        if source.is_none() {
            let what = "`allotment.response` does not say where its figures come from";
            let problem = Problem::at(self.text.place(&written.span), what)
                .allowed("`source`: own trials, the farm's accounts, an adviser")
                .hint("no figure of what lime earns comes from the program");
            self.problems.push(problem);
        }
        let mut bands: Vec<ResponseBand> = Vec::new();
        let mut money: Option<Currency> = None;
        let mut is_fine = true;
        for entry in table.band.iter().flat_map(|list| &list.value) {
            let read = (|| {
                let ph_below = entry.value.ph_below.as_ref()?;
                let worth = entry.value.worth.as_ref()?;
                let ph = self.ph(ph_below, &bound::SOIL_PH);
                let (number, currency, per) = self.money(worth, &WORTH)?;
                let per_m2 = match per.as_str() {
                    "ac" => number / M2_PER_ACRE,
                    "ha" => number / M2_PER_HECTARE,
                    _ => return self.not_money(worth, &WORTH),
                };
                let tenths = (ph? * 10.0).round();
                let rises = bands.last().is_none_or(|last| f64::from(last.below_tenths) < tenths);
                let same = money.as_ref().is_none_or(|money| money.is_same_as(&currency));
                let whole = (ph_below.value * 10.0 - tenths).abs() < 1e-6;
                (rises && same && whole).then_some((tenths as i32, per_m2, currency))
            })();
            let Some((below_tenths, per_ph_m2, currency)) = read else {
                let what = "a band of `allotment.response` cannot be taken";
                let problem = Problem::at(self.text.place(&entry.span), what)
                    .allowed(
                        "`ph_below` in whole tenths, above that of the band before, and `worth` \
                         such as `60 $/ac`, all in one currency",
                    )
                    .hint("list the bands from the lowest pH up");
                self.problems.push(problem);
                is_fine = false;
                continue;
            };
            money = money.or(Some(currency));
            bands.push(ResponseBand { below_tenths, per_ph_m2 });
        }
        if is_fine && bands.is_empty() {
            let what = "`allotment.response` has no `[[allotment.response.band]]`";
            let problem = Problem::at(self.text.place(&written.span), what)
                .allowed("at least one band with `ph_below` and `worth`")
                .hint("add one, or leave the response out");
            self.problems.push(problem);
        }
        let source = source?.value.trim().to_owned();
        is_fine.then_some(ResponsePart { source, bands, currency: money? })
    }
}

fn years_of(limits: &Limits) -> usize {
    match limits {
        Limits::ForAll(limits) => limits.years(),
        Limits::OfMaterials(each) => each.first().map_or(1, |one| one.limits.years()),
    }
}

/// What a limit is of.
enum Amount {
    Kilograms(f64),
    Money(f64, Currency),
}

fn in_one_kind(amounts: &[Amount]) -> Option<PlanAmounts> {
    let mass = |amount: &Amount| match amount {
        Amount::Kilograms(kg) => Some(ProductMass::from_kilograms(*kg)),
        Amount::Money(..) => None,
    };
    if let Some(masses) = amounts.iter().map(mass).collect() {
        return Some(PlanAmounts::Product(masses));
    }
    let Some(Amount::Money(_, currency)) = amounts.first() else { return None };
    let money = |amount: &Amount| match amount {
        Amount::Money(units, other) if other.is_same_as(currency) => {
            Some(Money::from_units(*units))
        }
        _ => None,
    };
    let all: Option<Vec<Money>> = amounts.iter().map(money).collect();
    Some(PlanAmounts::Money(all?, currency.clone()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inputs::job::fields_file::parse_fields;

    fn read(allotment: &str) -> Result<AllotmentPart, String> {
        let text = format!("jobs = [\"a.toml\"]\n[allotment]\n{allotment}");
        let fields = parse_fields("fields.toml", text).map_err(|refusal| refusal.to_string())?;
        Ok(fields.allotment.unwrap())
    }

    #[test]
    fn limits_of_mass_and_money_are_read() {
        let tons = read("limit = \"500 ton\"\nmust = [\"a\"]\n").unwrap();
        let Limits::ForAll(limits) = &tons.limits else { panic!("for all") };
        let PlanAmounts::Product(masses) = &limits.amounts else { panic!("masses") };
        assert!((masses[0].to_short_tons() - 500.0).abs() < 1e-9);
        assert_eq!((tons.take, tons.must[0].name.as_str()), (Take::Fields, "a"));
        assert_eq!(tons.must[0].place.line, Some(4));
        let money = read("years = [\"12000 $\", \"9000 USD\"]\ntake = \"fields\"\n").unwrap();
        let Limits::ForAll(limits) = &money.limits else { panic!("for all") };
        let PlanAmounts::Money(units, _) = &limits.amounts else { panic!("money") };
        assert_eq!(units.iter().map(|m| m.to_units()).collect::<Vec<_>>(), [12000.0, 9000.0]);
        let response = "limit = \"5 t\"\n[allotment.response]\nsource = \"own plots\"\n\
                        band = [{ ph_below = 5.5, worth = \"100 $/ha\" }, \
                        { ph_below = 6.2, worth = \"40 $/ha\" }]\n";
        let bands = read(response).unwrap().response.unwrap().bands;
        assert_eq!(bands.iter().map(|band| band.below_tenths).collect::<Vec<_>>(), [55, 62]);
        assert!((bands[0].per_ph_m2 - 0.01).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_taken_is_refused_with_its_place() {
        for (text, part) in [
            ("must = []", "no limit is stated"),
            ("limit = \"5 ton\"\nyears = [\"5 ton\", \"4 ton\"]", "both `limit` and `years`"),
            ("limit = 500", "line 3"),
            ("limit = \"-5 $\"", "the limit is `-5 $`"),
            ("limit = \"5 ac\"", "`5 ac`"),
            ("years = [\"5 ton\"]", "lists 1 limits"),
            ("years = [\"5 ton\", \"5 $\"]", "not all of one kind"),
            ("years = [\"5 EUR\", \"5 $\"]", "not all of one kind"),
            ("limit = \"5 ton\"\nmust = [\"a\"]\nnot_this_year = [\"a\"]", "is in both"),
            ("limit = \"5 ton\"\npriority = [\"a\", \"a\"]", "twice"),
            ("limit = \"5 ton\"\ntake = \"truck\"", "did you mean `trucks`?"),
            ("limit = \"5 ton\"\nleast_per_field = \"1 ton\"", "fields are taken whole"),
            (
                "limit = \"5 ton\"\ntake = \"trucks\"\nleast_per_field = \"-9 ton\"",
                "the least that a field gets",
            ),
            (
                "limit = \"5 ton\"\ntake = \"trucks\"\nleast_per_field = \"20 $\"",
                "the least that a field gets",
            ),
            ("limit = \"5 ton\"\nmaterial = [{ name = \"a\", limit = \"5 ton\" }]", "by material"),
            ("years = [\"5 ton\", \"4 ton\"]\ntake = \"trucks\"", "takes parts of fields"),
            ("material = [{ limit = \"5 ton\" }]", "has no `name`"),
            ("material = []", "an empty list"),
            ("limit = \"5 ton\"\n[allotment.response]\nsource = \"x\"", "has no"),
            (
                "limit = \"5 ton\"\n[allotment.response]\nband = [{ ph_below = 5.5, worth = \
                 \"9 $/ac\" }]",
                "where its figures come from",
            ),
            (
                "limit = \"5 ton\"\n[allotment.response]\nsource = \"x\"\nband = [{ ph_below = \
                 5.55, worth = \"9 $/ac\" }]",
                "cannot be taken",
            ),
            ("limt = \"5 ton\"", "did you mean"),
        ] {
            let said = read(text).unwrap_err();
            assert!(said.contains(part), "{text}: {said}");
        }
    }
}
