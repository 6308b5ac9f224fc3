//! The `[haul]` table of a job.

use super::check::Checker;
use super::check_money::MoneyWords;
use super::file::JobFile;
use super::haul_file::HaulTable;
use super::written::{At, Written};
use super::{HaulCost, HaulPart, SpreadingCost};
use crate::findings::Problem;
use crate::material::PriceAt;
use crate::units::{
    Area, HaulCharge, Length, Money, ProductMass, Speed, SpreadingCharge, TimeTaken, bound,
};

static COST: MoneyWords = MoneyWords {
    subject: "the haul cost",
    units: "`$/ton`, `$/t`, `$/ton-mile`, `$/t-km`, `$/loaded mile`, `$/loaded km` or `$/h`",
    example: "0.25 $/ton-mile",
};
static MINIMUM: MoneyWords =
    MoneyWords { subject: "the minimum charge", units: "`$/load`", example: "250 $/load" };
static SPREADING: MoneyWords = MoneyWords {
    subject: "the spreading cost",
    units: "`$/ac`, `$/ha`, `$/ton` or `$/t`",
    example: "8 $/ac",
};

/// Characters of a drop site that have room on an order sheet (ours).
const LONGEST_SITE: usize = 80;

impl Checker<'_> {
    /// `Some(None)` where the job has no `[haul]`, `None` where it has one with problems.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn haul(&mut self, file: &JobFile) -> Option<Option<HaulPart>> {
        let Some(table) = file.haul.as_ref().map(|table| &table.value) else { return Some(None) };
        let price_at = file.material.as_ref().and_then(|table| table.value.price_at.as_ref());
        Some(Some(self.haul_of(table, price_at)?))
    }

    /// The haul that a table describes, of a material whose price holds at `price_at`.
    pub(super) fn haul_of(
        &mut self,
        table: &HaulTable,
        price_at: Option<&At<String>>,
    ) -> Option<HaulPart> {
        let one_way_distance = match &table.one_way_distance {
            Some(written) => Some(self.quantity(written, &bound::ROAD).map(Length::from_metres)?),
            None => None,
        };
        let truck_payload = match &table.truck_payload {
            Some(truck) => {
                Some(self.quantity(truck, &bound::PAYLOAD).map(ProductMass::from_kilograms)?)
            }
            None => None,
        };
        let round_trip = match self.round_trip(table, one_way_distance) {
            Ok(trip) => trip,
            Err(Told) => return None,
        };
        self.no_minimum_alone(table);
        let cost = match &table.cost {
            Some(cost) => Some(self.haul_cost(cost, table, round_trip)?),
            None => None,
        };
        let spreading = match &table.spreading_cost {
            Some(written) => Some(self.spreading(written, price_at)?),
            None => None,
        };
        let drop_site = match &table.drop_site {
            Some(written) => Some(self.drop_site(written)?),
            None => None,
        };
        Some(HaulPart { one_way_distance, truck_payload, cost, round_trip, drop_site, spreading })
    }

    fn drop_site(&mut self, written: &At<String>) -> Option<String> {
        let name = written.value.split_whitespace().collect::<Vec<_>>().join(" ");
        if (1..=LONGEST_SITE).contains(&name.chars().count()) {
            return Some(name);
        }
        let problem = Problem::at(self.text.place(&written.span), "`haul.drop_site` is no name")
            .allowed(format!("1 to {LONGEST_SITE} characters"))
            .hint("name the place as the truck drivers do: \"Section 12 road\"");
        self.problems.push(problem);
        None
    }

    fn haul_cost(
        &mut self,
        written: &At<Written>,
        table: &HaulTable,
        round_trip: Option<TimeTaken>,
    ) -> Option<HaulCost> {
        let (number, currency, per) = self.money(written, &COST)?;
        let amount = Money::from_units(number);
        let (ton, tonne) = (ProductMass::from_short_tons(1.0), ProductMass::from_tonnes(1.0));
        let (mile, kilometre) = (Length::from_miles(1.0), Length::from_kilometres(1.0));
        let charge = match per.split_whitespace().collect::<Vec<_>>().join(" ").as_str() {
            "ton" => HaulCharge::ByMass { amount, per: ton },
            "t" => HaulCharge::ByMass { amount, per: tonne },
            "ton-mile" => HaulCharge::ByMassAndDistance { amount, per: ton, over: mile },
            "t-km" => HaulCharge::ByMassAndDistance { amount, per: tonne, over: kilometre },
            "loaded mile" => HaulCharge::ByLoadedDistance { amount, over: mile },
            "loaded km" => HaulCharge::ByLoadedDistance { amount, over: kilometre },
            "h" => HaulCharge::ByTime { amount, per: TimeTaken::from_hours(1.0) },
            _ => return self.not_money(written, &COST),
        };
        if charge.counts_distance() {
            self.required(
                "haul.one_way_distance",
                "the distance from plant to field: this charge is by distance",
                table.one_way_distance.as_ref(),
            )?;
        }
        let minimum = match &table.minimum_charge {
            Some(minimum) => Some(self.minimum(minimum)?),
            None => None,
        };
        if charge.counts_loads() || minimum.is_some() {
            self.required(
                "haul.truck_payload",
                "what a truck carries: this charge counts loads",
                table.truck_payload.as_ref(),
            )?;
        }
        if matches!(charge, HaulCharge::ByTime { .. }) && round_trip.is_none() {
            self.required(
                "haul.round_trip",
                "what a truck takes there and back, loading and unloading, such as \"2.5 h\"; or \
                 `road_speed` and `load_time`: a charge by the hour needs it",
                table.round_trip.as_ref(),
            )?;
        }
        Some(HaulCost { charge, written: written.value.0.trim().to_owned(), minimum, currency })
    }

    fn minimum(&mut self, written: &At<Written>) -> Option<Money> {
        let (number, _, per) = self.money(written, &MINIMUM)?;
        if per == "load" {
            return Some(Money::from_units(number));
        }
        self.not_money(written, &MINIMUM)
    }

    fn no_minimum_alone(&mut self, table: &HaulTable) {
        if let (Some(At { span, .. }), None) = (&table.minimum_charge, &table.cost) {
            let what = "the haul has a minimum charge and no cost that it would be the least of";
            let problem = Problem::at(self.text.place(span), what)
                .allowed("`minimum_charge` together with `cost`")
                .hint("add cost = \"0.25 $/ton-mile\" to [haul], as the haulier charges");
            self.problems.push(problem);
        }
    }

    /// The time of a round trip: as given, or from road speed and load time over `distance`.
    fn round_trip(
        &mut self,
        table: &HaulTable,
        distance: Option<Length>,
    ) -> Result<Option<TimeTaken>, Told> {
        let (speed, load) = (&table.road_speed, &table.load_time);
        if let Some(trip) = &table.round_trip {
            if speed.is_some() || load.is_some() {
                let what = "the haul has both a round trip and a road speed or load time";
                let problem = Problem::at(self.text.place(&trip.span), what)
                    .allowed("either `round_trip`, or `road_speed` and `load_time`")
                    .hint("leave one of the two out");
                self.problems.push(problem);
                return Err(Told);
            }
            let seconds = self.quantity(trip, &bound::ROUND_TRIP).ok_or(Told)?;
            return Ok(Some(TimeTaken::from_seconds(seconds)));
        }
        if speed.is_none() && load.is_none() {
            return Ok(None);
        }
        let speed = self.required(
            "haul.road_speed",
            "the mean speed of a truck, such as \"45 mph\": a load time alone is no round trip",
            speed.as_ref(),
        );
        let load = self.required(
            "haul.load_time",
            "what loading and unloading take together, such as \"40 min\"",
            load.as_ref(),
        );
        let distance_key = self.required(
            "haul.one_way_distance",
            "the distance from plant to field, over which the road speed counts",
            table.one_way_distance.as_ref(),
        );
        let (speed, load) = (speed.ok_or(Told)?, load.ok_or(Told)?);
        let distance = distance_key.and(distance).ok_or(Told)?;
        let speed = self.quantity(speed, &bound::ROAD_SPEED).map(Speed::from_metres_per_second);
        let load = self.quantity(load, &bound::LOAD_TIME).map(TimeTaken::from_seconds);
        let driving = (distance * 2.0).time_at(speed.ok_or(Told)?);
        Ok(Some(driving + load.ok_or(Told)?))
    }

    fn spreading(
        &mut self,
        written: &At<Written>,
        price_at: Option<&At<String>>,
    ) -> Option<SpreadingCost> {
        if price_at.is_some_and(|at| at.value.trim() == PriceAt::Spread.words()) {
            let what = "the price holds spread on the field, and there is a spreading cost as well";
            let problem = Problem::at(self.text.place(&written.span), what)
                .allowed("a spreading cost beside a price at the plant or delivered")
                .hint("leave `spreading_cost` out, or say where the price holds");
            self.problems.push(problem);
            return None;
        }
        let (number, currency, per) = self.money(written, &SPREADING)?;
        let amount = Money::from_units(number);
        let charge = match per.as_str() {
            "ac" => SpreadingCharge::ByArea { amount, per: Area::from_acres(1.0) },
            "ha" => SpreadingCharge::ByArea { amount, per: Area::from_hectares(1.0) },
            "ton" => SpreadingCharge::ByMass { amount, per: ProductMass::from_short_tons(1.0) },
            "t" => SpreadingCharge::ByMass { amount, per: ProductMass::from_tonnes(1.0) },
            _ => return self.not_money(written, &SPREADING),
        };
        Some(SpreadingCost { charge, written: written.value.0.trim().to_owned(), currency })
    }
}

/// A problem was found and is already among those of the job.
struct Told;
