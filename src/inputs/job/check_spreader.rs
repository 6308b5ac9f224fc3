//! The `[spreader]` table of a job.

use super::check::Checker;
use super::file::JobFile;
use super::spreader_file::SpreaderTable;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::machine::{Applications, BelowMin, Machine, Setting, SettingFault, WrittenRate};
use crate::units::{Length, ProductMass, Speed, Volume, bound, read_number_with_unit, tidy};

impl Checker<'_> {
    pub(super) fn machine(&mut self, file: &JobFile) -> Option<Machine> {
        let empty = SpreaderTable::default();
        let table = file.spreader.as_ref().map_or(&empty, |table| &table.value);
        let setting = self.setting(table);
        let policies: Vec<&str> = BelowMin::ALL.iter().map(|policy| policy.words()).collect();
        let below_min = match &table.below_min {
            None => Some(BelowMin::Nearest),
            Some(written) => self
                .one_of("spreader.below_min", Some(written), &policies)
                .and_then(|word| BelowMin::ALL.into_iter().find(|policy| policy.words() == word)),
        };
        let spacing = self.required(
            "spreader.pass_spacing",
            "the distance between driving lines",
            table.pass_spacing.as_ref(),
        );
        let spacing = spacing.and_then(|written| self.quantity(written, &bound::PASS_SPACING));
        let payload = self.required(
            "spreader.payload",
            "the mass that the spreader carries",
            table.payload.as_ref(),
        );
        let payload = payload.and_then(|written| self.quantity(written, &bound::PAYLOAD));
        let volume = match &table.box_volume {
            None => None,
            Some(written) => Some(self.quantity(written, &bound::BOX_VOLUME)?),
        };
        let bucket = match &table.bucket_volume {
            None => None,
            Some(written) => Some(self.quantity(written, &bound::BUCKET_VOLUME)?),
        };
        let speed = match &table.speed {
            None => None,
            Some(written) => Some(self.quantity(written, &bound::SPEED_OF_TRAVEL)?),
        };
        let speed = speed.map(Speed::from_metres_per_second);
        let pass_spacing = spacing.map(Length::from_metres);
        let abilities = self.abilities(table, pass_spacing, speed);
        let times = self.work_times(table);
        Some(Machine {
            setting: setting?,
            below_min: below_min?,
            pass_spacing: pass_spacing?,
            payload: ProductMass::from_kilograms(payload?),
            box_volume: volume.map(Volume::from_cubic_metres),
            bucket_volume: bucket.map(Volume::from_cubic_metres),
            speed,
            abilities,
            times,
            applications: Applications::One,
        })
    }

    fn setting(&mut self, table: &SpreaderTable) -> Option<Setting> {
        if let Some(rates) = &table.rates {
            return self.listed(rates, table);
        }
        let missing = "the spreader's rates: min_rate, max_rate and step, or a list `rates`";
        let min = self.required("spreader.min_rate", missing, table.min_rate.as_ref());
        let max = self.required("spreader.max_rate", missing, table.max_rate.as_ref());
        let step = self.required("spreader.step", missing, table.step.as_ref());
        let (min, max, step) = (min?, max?, step?);
        let min_rate = self.rate(min);
        let max_rate = self.rate(max);
        self.quantity(step, &bound::RATE_STEP)?;
        let step_rate = self.rate(step)?;
        let setting = Setting::steps(min_rate?.rate(), max_rate?.rate(), step_rate);
        setting
            .map_err(|(key, fault)| {
                let at = if key == "min_rate" { min } else { max };
                let what = format!("`spreader.{key}` is `{}`", at.value.0);
                let unit = step_rate.unit;
                let problem = Problem::at(self.text.place(&at.span), what);
                let problem = match fault {
                    SettingFault::OffTheSteps { below, above } => problem
                        .allowed(format!("a whole number of steps of `{}`", step.value.0))
                        .hint(format!(
                            "the two nearest: `{} {unit}` and `{} {unit}`",
                            tidy(below),
                            tidy(above)
                        )),
                    SettingFault::UpsideDown | SettingFault::NotRising => problem
                        .allowed("a greatest rate above 0 and not below the least")
                        .hint("check which of the two is which"),
                };
                self.problems.push(problem);
            })
            .ok()
    }

    fn listed(&mut self, rates: &At<Vec<At<Written>>>, table: &SpreaderTable) -> Option<Setting> {
        if table.min_rate.is_some() || table.max_rate.is_some() || table.step.is_some() {
            let what = "the spreader has both a list of rates and a least, greatest or step";
            let problem = Problem::at(self.text.place(&rates.span), what)
                .allowed("either `rates`, or `min_rate`, `max_rate` and `step`")
                .hint("leave one of the two out");
            self.problems.push(problem);
        }
        let read: Vec<Option<WrittenRate>> =
            rates.value.iter().map(|rate| self.rate(rate)).collect();
        let read: Option<Vec<WrittenRate>> = read.into_iter().collect();
        Setting::list(&read?)
            .map_err(|_not_rising| {
                let what = "`spreader.rates` holds no rate above 0, or one that does not exceed \
                            the one before it";
                let problem = Problem::at(self.text.place(&rates.span), what)
                    .allowed("rates that rise, the last above 0")
                    .hint("for example [\"0 ton/ac\", \"2 ton/ac\", \"3 ton/ac\"]");
                self.problems.push(problem);
            })
            .ok()
    }

    pub(super) fn rate(&mut self, written: &At<Written>) -> Option<WrittenRate> {
        self.quantity(written, &bound::MACHINE_RATE)?;
        let kind = bound::MACHINE_RATE.kind;
        let (number, unit) = read_number_with_unit(&written.value.0, kind).ok()?;
        let unit = kind.unit_written(unit)?;
        Some(WrittenRate { number, unit })
    }
}
