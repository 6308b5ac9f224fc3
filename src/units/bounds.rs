//! Every bounded input, declared once with its words, its units and its limits, so that every
//! place that refuses it says the same sentence.

use super::text::{Misread, UnitKind, plain, read_as_in};
use super::{
    KG_PER_POUND, KG_PER_SHORT_TON, KG_PER_TONNE, M_PER_FOOT, M_PER_INCH, M_PER_MILE, M2_PER_ACRE,
    M2_PER_HECTARE,
};

/// Lengths as they are written.
pub(crate) static LENGTH: UnitKind = UnitKind {
    units: &[("ft", M_PER_FOOT), ("in", M_PER_INCH), ("m", 1.0), ("cm", 0.01)],
    example: "40 ft",
};
/// Areas of ground.
static GROUND: UnitKind =
    UnitKind { units: &[("ac", M2_PER_ACRE), ("ha", M2_PER_HECTARE)], example: "1 ac" };
/// Distances on the road.
static DISTANCE: UnitKind =
    UnitKind { units: &[("mi", M_PER_MILE), ("km", 1_000.0)], example: "42 mi" };
/// Rates of material.
static RATE: UnitKind = UnitKind {
    units: &[
        ("ton/ac", KG_PER_SHORT_TON / M2_PER_ACRE),
        ("lb/ac", KG_PER_POUND / M2_PER_ACRE),
        ("t/ha", KG_PER_TONNE / M2_PER_HECTARE),
        ("kg/ha", 1.0 / M2_PER_HECTARE),
    ],
    example: "2 ton/ac",
};
/// Masses of material.
static MASS: UnitKind = UnitKind {
    units: &[("ton", KG_PER_SHORT_TON), ("lb", KG_PER_POUND), ("t", KG_PER_TONNE), ("kg", 1.0)],
    example: "16 ton",
};
/// Volumes of boxes and bodies.
static VOLUME: UnitKind = UnitKind {
    units: &[
        ("ft3", M_PER_FOOT * M_PER_FOOT * M_PER_FOOT),
        ("yd3", 27.0 * M_PER_FOOT * M_PER_FOOT * M_PER_FOOT),
        ("m3", 1.0),
    ],
    example: "450 ft3",
};
/// Bulk densities.
static DENSITY: UnitKind = UnitKind {
    units: &[
        ("lb/ft3", KG_PER_POUND / (M_PER_FOOT * M_PER_FOOT * M_PER_FOOT)),
        ("kg/m3", 1.0),
        ("t/m3", KG_PER_TONNE),
    ],
    example: "90 lb/ft3",
};
/// Bulk densities of soil in the field.
static SOIL_DENSITIES: UnitKind = UnitKind {
    units: &[("g/cm3", 1_000.0), ("kg/dm3", 1_000.0), ("t/m3", KG_PER_TONNE), ("kg/m3", 1.0)],
    example: "1.3 g/cm3",
};
/// Speeds.
static SPEED: UnitKind =
    UnitKind { units: &[("mph", M_PER_MILE / 3_600.0), ("km/h", 1.0 / 3.6)], example: "10 mph" };
/// Times that work takes.
static TIME: UnitKind = UnitKind { units: &[("h", 3_600.0), ("min", 60.0)], example: "2.5 h" };
/// Times that a machine takes.
static SHORT_TIME: UnitKind = UnitKind { units: &[("s", 1.0)], example: "4 s" };
/// Times that parts of a machine's work take.
static SPELL: UnitKind = UnitKind { units: &[("min", 60.0), ("s", 1.0)], example: "5 min" };
/// Flows of material.
static FLOW: UnitKind = UnitKind {
    units: &[("lb/min", KG_PER_POUND / 60.0), ("kg/min", 1.0 / 60.0)],
    example: "6000 lb/min",
};
/// What a pail is filled with.
static NET_MASS: UnitKind =
    UnitKind { units: &[("lb", KG_PER_POUND), ("kg", 1.0)], example: "35 lb" };
/// Volumes of pails.
static PAIL: UnitKind = UnitKind { units: &[("L", 0.001), ("l", 0.001)], example: "10 L" };
/// Angles.
static ANGLE: UnitKind = UnitKind { units: &[("deg", 1.0)], example: "90 deg" };
/// Parts of a whole.
static PERCENT: UnitKind = UnitKind { units: &[("%", 0.01)], example: "6 %" };
/// Mass of what acts in a mass of material.
static PER_TON: UnitKind =
    UnitKind { units: &[("lb/ton", 1.0 / 2_000.0), ("kg/t", 0.001)], example: "1600 lb/ton" };
/// Parts of a material, as its analysis states them.
static CONTENT_KIND: UnitKind = UnitKind {
    units: &[
        ("%", 0.01),
        ("lb/ton", KG_PER_POUND / KG_PER_SHORT_TON),
        ("kg/t", 1.0 / KG_PER_TONNE),
    ],
    example: "20 lb/ton",
};
/// Charge per mass of soil; a milliequivalent per 100 g is a centimole of charge per kilogram.
static CHARGE: UnitKind =
    UnitKind { units: &[("meq/100 g", 1.0), ("cmol/kg", 1.0)], example: "6 meq/100 g" };
/// The same for the soil's whole capacity, which is reported in millimoles, too.
static CAPACITY: UnitKind = UnitKind {
    units: &[("meq/100 g", 1.0), ("cmol/kg", 1.0), ("mmol/kg", 0.1)],
    example: "12 meq/100 g",
};
/// Differences of temperature.
static DEGREES: UnitKind = UnitKind { units: &[("C", 1.0), ("F", 5.0 / 9.0)], example: "2 C" };
/// Temperatures, which are no multiples of one another.
static CELSIUS: UnitKind = UnitKind { units: &[("C", 1.0)], example: "20 C" };
/// Numbers without a unit.
static PLAIN: UnitKind = UnitKind { units: &[], example: "0.5" };
/// Readings without a unit.
static PH_SCALE: UnitKind = UnitKind { units: &[], example: "6.5" };

/// A bounded input: what it is called, in which units it is written, and its limits.
#[derive(Debug)]
pub struct Bounded {
    /// What it is called in a sentence.
    pub words: &'static str,
    /// The units it is written in.
    pub kind: &'static UnitKind,
    /// The unit in which the limits are stated; empty on a pH scale.
    pub limit_unit: &'static str,
    /// The least allowed, in `limit_unit`.
    pub least: f64,
    /// The most allowed, in `limit_unit`.
    pub most: f64,
    /// A value written as it should be.
    pub example: &'static str,
}

impl Bounded {
    pub(super) const fn new(
        words: &'static str,
        kind: &'static UnitKind,
        limit_unit: &'static str,
        least: f64,
        most: f64,
    ) -> Self {
        Self { words, kind, limit_unit, least, most, example: kind.example }
    }

    /// The same with an example that fits what it is.
    const fn such_as(mut self, example: &'static str) -> Self {
        self.example = example;
        self
    }

    /// The sentence that says what is allowed.
    pub fn allowed(&self) -> String {
        let Self { words, limit_unit, least, most, .. } = self;
        let unit = if limit_unit.is_empty() { String::new() } else { format!(" {limit_unit}") };
        format!("{words} from {least} to {most}{unit}")
    }

    /// Reads a text such as `40 ft` into SI units.
    ///
    /// # Errors
    /// Returns [`Misread`] where the text is no number with an accepted unit, or lies outside the
    /// limits.
    pub fn read(&self, text: &str) -> Result<f64, Misread> {
        let (number, unit) = read_as_in(text, self.kind, self.example)?;
        let Some(factor) = self.kind.factor(unit) else {
            return Err(Misread {
                found: format!("`{text}`, whose unit `{unit}` is not one of {}", self.words),
                allowed: format!("one of the units {}", self.kind.words()),
                hint: format!("write it as in `{}`", self.example),
            });
        };
        self.check(number * factor, &format!("`{text}`"))
            .map_err(|misread| Misread { allowed: self.allowed_in(unit, factor), ..misread })
    }

    /// The sentence that says what is allowed, in the unit that was written: its limits to two
    /// decimals, on the safe side.
    fn allowed_in(&self, unit: &str, factor: f64) -> String {
        let Some(unit) = self.kind.unit_written(unit).filter(|unit| *unit != self.limit_unit)
        else {
            return self.allowed();
        };
        let to = self.kind.factor(self.limit_unit).unwrap_or(1.0) / factor;
        let least = (self.least * to * 100.0 - 1e-9).ceil() / 100.0;
        let most = (self.most * to * 100.0 + 1e-9).floor() / 100.0;
        format!("{} from {} to {} {unit}", self.words, plain(least, 0, 2), plain(most, 0, 2))
    }

    /// Checks a number that is already in SI units (or on a pH scale) against the limits.
    ///
    /// # Errors
    /// Returns [`Misread`] where it is not finite or lies outside the limits; `found` is what the
    /// error shows.
    pub fn check(&self, si: f64, found: &str) -> Result<f64, Misread> {
        let factor = self.kind.factor(self.limit_unit).unwrap_or(1.0);
        // A limit itself, written in another unit, may miss it by a rounding error.
        let slack = 1e-12 * self.most.abs() * factor;
        if si.is_finite() && si >= self.least * factor - slack && si <= self.most * factor + slack {
            return Ok(si);
        }
        Err(Misread {
            found: found.to_owned(),
            allowed: self.allowed(),
            hint: format!("check the number and its unit, for example `{}`", self.example),
        })
    }
}

/// The bounded inputs.
///
/// The limits are common practice, wide enough for every machine and soil met with, and narrow
/// enough to catch a wrong unit; they are not agronomic advice.
pub mod bound {
    use super::{
        ANGLE, Bounded, CAPACITY, CELSIUS, CHARGE, CONTENT_KIND, DEGREES, DENSITY, DISTANCE, FLOW,
        GROUND, LENGTH, MASS, NET_MASS, PAIL, PER_TON, PERCENT, PH_SCALE, PLAIN, RATE, SHORT_TIME,
        SOIL_DENSITIES, SPEED, SPELL, TIME, VOLUME,
    };

    /// pH of a soil, in any medium.
    pub static SOIL_PH: Bounded = Bounded::new("soil pH", &PH_SCALE, "", 2.0, 11.0);
    /// pH of a soil in a buffer.
    pub static BUFFER_PH: Bounded = Bounded::new("buffer pH", &PH_SCALE, "", 3.0, 8.5);
    /// How far readings of one sample lie apart, as a standard deviation.
    pub static REPEATABILITY: Bounded =
        Bounded::new("the repeatability of a reading", &PH_SCALE, "", 0.0, 1.0);
    /// Exchangeable acidity of a soil, in meq/100 g.
    pub static ACIDITY: Bounded =
        Bounded::new("exchangeable acidity", &CHARGE, "meq/100 g", 0.0, 60.0);
    /// Cation exchange capacity of a soil, in meq/100 g; peat reaches some 200.
    pub static CEC: Bounded =
        Bounded::new("cation exchange capacity", &CAPACITY, "meq/100 g", 0.0, 250.0);
    /// Bulk density of the soil; peat and compacted subsoil are the ends.
    pub static SOIL_DENSITY: Bounded =
        Bounded::new("the soil's bulk density", &SOIL_DENSITIES, "g/cm3", 0.1, 2.0);
    /// The part of the capacity that bases are to hold.
    pub static BASE_SATURATION: Bounded =
        Bounded::new("the base saturation", &PERCENT, "%", 10.0, 100.0).such_as("60 %");
    /// The part of the effective capacity that aluminium may hold.
    pub static ALUMINIUM_SATURATION: Bounded =
        Bounded::new("the aluminium saturation", &PERCENT, "%", 0.0, 90.0).such_as("15 %");
    /// Lime that was applied before, as effective lime.
    pub static PAST_RATE: Bounded = Bounded::new("an earlier rate", &RATE, "t/ha", 0.0, 100.0);
    /// The pH to lime to.
    pub static TARGET_PH: Bounded = Bounded::new("target pH", &PH_SCALE, "", 4.0, 8.0);
    /// The pH below which is limed.
    pub static TREAT_BELOW: Bounded =
        Bounded::new("the pH to treat below (`treat_below`)", &PH_SCALE, "", 4.0, 8.0);
    /// An end of a depth interval.
    pub static DEPTH: Bounded = Bounded::new("a depth", &LENGTH, "cm", 0.0, 150.0).such_as("6 in");
    /// The depth that the lime is to act on.
    pub static LIMED_DEPTH: Bounded =
        Bounded::new("the limed depth", &LENGTH, "cm", 1.0, 100.0).such_as("6 in");
    /// Distance between driving lines.
    pub static PASS_SPACING: Bounded = Bounded::new("the pass spacing", &LENGTH, "m", 1.0, 60.0);
    /// The side of a map cell.
    pub static CELL: Bounded = Bounded::new("the cell size", &LENGTH, "m", 1.0, 500.0);
    /// The side of a cell in a grid for a controller.
    pub static RASTER_CELL: Bounded =
        Bounded::new("the cell of grids", &LENGTH, "m", 0.25, 100.0).such_as("8 ft");
    /// The area below which a patch of one rate merges.
    pub static LEAST_AREA: Bounded =
        Bounded::new("the least area of a rate area", &GROUND, "ha", 0.0, 1_000.0);
    /// The width below which it merges.
    pub static LEAST_WIDTH: Bounded =
        Bounded::new("the least width of a rate area", &LENGTH, "m", 0.0, 200.0);
    /// How far the choice of rates may move one.
    pub static RATE_TOLERANCE: Bounded =
        Bounded::new("the tolerance of rates", &RATE, "t/ha", 0.0, 100.0).such_as("0.25 ton/ac");
    /// How far around what is kept out is kept out too.
    pub static SETBACK: Bounded = Bounded::new("the setback", &LENGTH, "m", 0.0, 1_000.0);
    /// How far outside the boundary a sample may lie.
    pub static OUTSIDE_WITHIN: Bounded =
        Bounded::new("the distance of samples outside the field", &LENGTH, "m", 0.0, 2_000.0)
            .such_as("300 ft");
    /// The part of a field that may lie in no sample zone, or in several.
    pub static ZONE_GAP: Bounded =
        Bounded::new("the limit on gaps of zones", &PERCENT, "%", 0.0, 100.0);
    /// What a rate is multiplied by.
    pub static RATE_FACTOR: Bounded =
        Bounded::new("the factor of an override", &PLAIN, "", 0.0, 4.0);
    /// Direction of travel.
    pub static HEADING: Bounded = Bounded::new("the heading", &ANGLE, "deg", -360.0, 360.0);
    /// The least or greatest rate that a machine can hold.
    pub static MACHINE_RATE: Bounded = Bounded::new("a spreader rate", &RATE, "t/ha", 0.0, 100.0);
    /// The step between two rates of a machine.
    pub static RATE_STEP: Bounded =
        Bounded::new("the rate step", &RATE, "kg/ha", 1.0, 20_000.0).such_as("0.25 ton/ac");
    /// What a spreader or truck carries.
    pub static PAYLOAD: Bounded = Bounded::new("a payload", &MASS, "t", 0.1, 60.0);
    /// The volume of a spreader's box.
    pub static BOX_VOLUME: Bounded = Bounded::new("the box volume", &VOLUME, "m3", 0.1, 60.0);
    /// The volume of a loader's bucket.
    pub static BUCKET_VOLUME: Bounded =
        Bounded::new("the bucket volume", &VOLUME, "m3", 0.1, 20.0).such_as("3 yd3");
    /// Density of the material in the pile.
    pub static BULK_DENSITY: Bounded =
        Bounded::new("the bulk density", &DENSITY, "kg/m3", 200.0, 2_500.0);
    /// Ground speed while spreading.
    pub static SPEED_OF_TRAVEL: Bounded = Bounded::new("the speed", &SPEED, "km/h", 1.0, 60.0);
    /// The least or most that flows out of a spreader.
    pub static FLOW_LIMIT: Bounded =
        Bounded::new("a flow of the spreader", &FLOW, "kg/min", 1.0, 20_000.0);
    /// How wide a spreader throws, both sides together.
    pub static THROW_WIDTH: Bounded =
        Bounded::new("the throw width", &LENGTH, "m", 1.0, 80.0).such_as("60 ft");
    /// How far inside the edge of what is spread the outermost driving line lies.
    pub static OUTERMOST_LINE: Bounded =
        Bounded::new("the distance of the outermost line", &LENGTH, "m", 0.0, 80.0)
            .such_as("30 ft");
    /// The time from one rate to another.
    pub static RATE_CHANGE: Bounded =
        Bounded::new("the rate change time", &SHORT_TIME, "s", 0.0, 60.0);
    /// The time to load a spreader once.
    pub static SPREADER_LOAD_TIME: Bounded =
        Bounded::new("the time to load the spreader", &SPELL, "min", 0.0, 60.0);
    /// The time of a turn from one pass into the next.
    pub static TURN_TIME: Bounded =
        Bounded::new("the time of a turn", &SPELL, "min", 0.0, 10.0).such_as("15 s");
    /// The speed of a spreader that does not spread.
    pub static RUNNING_SPEED: Bounded =
        Bounded::new("the running speed", &SPEED, "km/h", 1.0, 80.0).such_as("15 mph");
    /// What a straight line is multiplied by to stand for the way that is driven.
    pub static ROAD_FACTOR: Bounded =
        Bounded::new("a road factor", &PLAIN, "", 1.0, 3.0).such_as("1.3");
    /// How long is worked in a day.
    pub static HOURS_A_DAY: Bounded =
        Bounded::new("the hours of a day", &TIME, "h", 0.5, 24.0).such_as("10 h");
    /// Water in the material, of its wet mass.
    pub static MOISTURE: Bounded = Bounded::new("the moisture", &PERCENT, "%", 0.0, 90.0);
    /// The part of a material that neutralises as pure calcium carbonate does.
    pub static EFFECTIVE: Bounded =
        Bounded::new("the effective part", &PERCENT, "%", 1.0, 250.0).such_as("63 %");
    /// How much a material neutralises, of what pure calcium carbonate does, when fine enough.
    pub static CCE: Bounded =
        Bounded::new("the calcium carbonate equivalent", &PERCENT, "%", 1.0, 250.0).such_as("92 %");
    /// How much a material neutralises, of its mass as CaCO3 or as `CaO`.
    pub static NEUTRALISING_VALUE: Bounded =
        Bounded::new("the neutralising value", &PERCENT, "%", 0.5, 250.0).such_as("54 %");
    /// Effective neutralising power: pounds of it in a ton of material.
    pub static ENP: Bounded =
        Bounded::new("the effective neutralising power", &PER_TON, "lb/ton", 20.0, 5_000.0);
    /// Effective neutralising material: pounds of it in a ton of material.
    pub static ENM: Bounded =
        Bounded::new("the effective neutralising material", &PER_TON, "lb/ton", 8.0, 2_000.0)
            .such_as("400 lb/ton");
    /// A compound in a material.
    pub static COMPOUND: Bounded =
        Bounded::new("a part of the composition", &PERCENT, "%", 0.0, 100.0).such_as("85 %");
    /// Magnesium or a nutrient in a material; pure magnesium oxide is 60 % Mg.
    pub static CONTENT: Bounded = Bounded::new("the content", &CONTENT_KIND, "%", 0.0, 75.0);
    /// As much of a material as there is.
    pub static SUPPLY: Bounded =
        Bounded::new("the supply limit", &MASS, "t", 0.1, 10_000_000.0).such_as("400 ton");
    /// What is shared out among fields; there may be nothing of it.
    pub static ALLOTTED: Bounded =
        Bounded::new("what there is to share out", &MASS, "t", 0.0, 10_000_000.0)
            .such_as("500 ton");
    /// The least that is ordered for a field.
    pub static LEAST_ORDER: Bounded =
        Bounded::new("the least that a field gets", &MASS, "t", 0.1, 10_000_000.0)
            .such_as("20 ton");
    /// What passes a sieve.
    pub static PASSING: Bounded =
        Bounded::new("the part that passes a sieve", &PERCENT, "%", 0.0, 100.0).such_as("90 %");
    /// What a weighed pail holds, without the pail.
    pub static PAIL_NET_MASS: Bounded =
        Bounded::new("the net mass in the pail", &NET_MASS, "kg", 0.5, 100.0);
    /// The volume of a weighed pail.
    pub static PAIL_VOLUME: Bounded =
        Bounded::new("the volume of the pail", &PAIL, "L", 1.0, 100.0);
    /// The slope of a pH electrode, of the theoretical one.
    pub static METER_SLOPE: Bounded =
        Bounded::new("the slope of the meter", &PERCENT, "%", 50.0, 120.0).such_as("98 %");
    /// pH of a buffer solution that a meter is checked by.
    pub static BUFFER_SOLUTION: Bounded =
        Bounded::new("pH of a buffer solution", &PH_SCALE, "", 1.0, 13.0);
    /// How far what a meter reads of a buffer may lie off, or move.
    pub static METER_WITHIN: Bounded =
        Bounded::new("a difference of two readings", &PH_SCALE, "", 0.005, 2.0);
    /// How far temperatures may lie apart.
    pub static TEMPERATURE_WITHIN: Bounded =
        Bounded::new("a difference of temperatures", &DEGREES, "C", 0.1, 50.0);
    /// The temperature of what a meter reads.
    pub static TEMPERATURE: Bounded = Bounded::new("a temperature", &CELSIUS, "C", -10.0, 60.0);
    /// Nitrogen that is given in a year.
    pub static NITROGEN: Bounded =
        Bounded::new("nitrogen a year", &RATE, "kg/ha", 0.0, 1_000.0).such_as("150 lb/ac");
    /// What is harvested in a year.
    pub static YIELD: Bounded =
        Bounded::new("a yield", &RATE, "t/ha", 0.0, 150.0).such_as("3 t/ha");
    /// The part of a need left unmet that is told first.
    pub static UNMET_TOLD: Bounded =
        Bounded::new("the part of the need left unmet", &PERCENT, "%", 0.0, 100.0).such_as("5 %");
    /// An allowance on top of what is prescribed.
    pub static ALLOWANCE: Bounded =
        Bounded::new("an allowance", &PERCENT, "%", 0.0, 50.0).such_as("5 %");
    /// A distance by road, one way.
    pub static ROAD: Bounded = Bounded::new("a one-way distance", &DISTANCE, "km", 0.0, 3_000.0);
    /// The mean speed of a truck on the road.
    pub static ROAD_SPEED: Bounded =
        Bounded::new("the road speed", &SPEED, "km/h", 5.0, 130.0).such_as("45 mph");
    /// The time that a truck takes there and back, loading and unloading.
    pub static ROUND_TRIP: Bounded = Bounded::new("the round trip", &TIME, "h", 0.05, 48.0);
    /// The time that loading and unloading a truck takes.
    pub static LOAD_TIME: Bounded =
        Bounded::new("the load time", &TIME, "h", 0.0, 24.0).such_as("40 min");
}

/// All bounded inputs, for tests that walk them.
pub fn all_bounds() -> Vec<&'static Bounded> {
    use bound::{
        ACIDITY, ALLOTTED, ALLOWANCE, ALUMINIUM_SATURATION, BASE_SATURATION, BOX_VOLUME,
        BUCKET_VOLUME, BUFFER_PH, BUFFER_SOLUTION, BULK_DENSITY, CCE, CEC, CELL, COMPOUND, CONTENT,
        DEPTH, EFFECTIVE, ENM, ENP, FLOW_LIMIT, HEADING, HOURS_A_DAY, LEAST_AREA, LEAST_ORDER,
        LEAST_WIDTH, LIMED_DEPTH, LOAD_TIME, MACHINE_RATE, METER_SLOPE, METER_WITHIN, MOISTURE,
        NEUTRALISING_VALUE, NITROGEN, OUTERMOST_LINE, OUTSIDE_WITHIN, PAIL_NET_MASS, PAIL_VOLUME,
        PASS_SPACING, PASSING, PAST_RATE, PAYLOAD, RASTER_CELL, RATE_CHANGE, RATE_FACTOR,
        RATE_STEP, RATE_TOLERANCE, REPEATABILITY, ROAD, ROAD_FACTOR, ROAD_SPEED, ROUND_TRIP,
        RUNNING_SPEED, SETBACK, SOIL_DENSITY, SOIL_PH, SPEED_OF_TRAVEL, SPREADER_LOAD_TIME, SUPPLY,
        TARGET_PH, TEMPERATURE, TEMPERATURE_WITHIN, THROW_WIDTH, TREAT_BELOW, TURN_TIME,
        UNMET_TOLD, YIELD, ZONE_GAP,
    };
    vec![
        &SOIL_PH,
        &BUFFER_PH,
        &REPEATABILITY,
        &METER_SLOPE,
        &BUFFER_SOLUTION,
        &METER_WITHIN,
        &TEMPERATURE_WITHIN,
        &TEMPERATURE,
        &ACIDITY,
        &CEC,
        &BASE_SATURATION,
        &ALUMINIUM_SATURATION,
        &PAST_RATE,
        &TARGET_PH,
        &TREAT_BELOW,
        &DEPTH,
        &LIMED_DEPTH,
        &PASS_SPACING,
        &CELL,
        &RASTER_CELL,
        &LEAST_AREA,
        &LEAST_WIDTH,
        &RATE_TOLERANCE,
        &SETBACK,
        &ZONE_GAP,
        &OUTSIDE_WITHIN,
        &RATE_FACTOR,
        &HEADING,
        &MACHINE_RATE,
        &RATE_STEP,
        &PAYLOAD,
        &BOX_VOLUME,
        &BUCKET_VOLUME,
        &BULK_DENSITY,
        &SOIL_DENSITY,
        &SPEED_OF_TRAVEL,
        &FLOW_LIMIT,
        &THROW_WIDTH,
        &OUTERMOST_LINE,
        &RATE_CHANGE,
        &SPREADER_LOAD_TIME,
        &TURN_TIME,
        &RUNNING_SPEED,
        &ROAD_FACTOR,
        &HOURS_A_DAY,
        &MOISTURE,
        &EFFECTIVE,
        &CCE,
        &NEUTRALISING_VALUE,
        &ENP,
        &ENM,
        &COMPOUND,
        &PASSING,
        &CONTENT,
        &UNMET_TOLD,
        &NITROGEN,
        &YIELD,
        &SUPPLY,
        &ALLOTTED,
        &LEAST_ORDER,
        &PAIL_NET_MASS,
        &PAIL_VOLUME,
        &ALLOWANCE,
        &ROAD,
        &ROAD_SPEED,
        &ROUND_TRIP,
        &LOAD_TIME,
    ]
}

#[cfg(test)]
mod tests;
