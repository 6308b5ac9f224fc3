//! The `[rate_areas]` table of a job.

use super::check::Checker;
use super::file::JobFile;
use super::rate_areas_file::RateAreasTable;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::machine::Machine;
use crate::units::{Area, Bounded, Length, ProductRate, bound};

/// Which rates of the machine the areas have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RateChoice {
    /// All that the cells have.
    AsFitted,
    /// So many above nothing at most.
    AtMost(u32),
    /// As few as move no cell's rate further than this.
    Within(ProductRate),
}

/// The areas of one rate that a job asks for.
#[derive(Clone, Debug, PartialEq)]
pub struct RateAreasPart {
    /// Which rates they have.
    pub choice: RateChoice,
    /// Smaller ones merge into their surroundings.
    pub least_area: Area,
    /// So do those that are nowhere as wide.
    pub least_width: Length,
    /// How many rounds along the boundary are areas of their own.
    pub end_rows: u32,
    /// How many polygons there may be at most.
    pub polygons_at_most: Option<u32>,
    /// How many vertices these may have at most.
    pub vertices_at_most: Option<u32>,
    /// The numbers of the areas that are limed this time, rising, each once; `None`: all of them.
    pub only: Option<Vec<u32>>,
}

/// Counts that a job may state, with the least and the most.
const RATES: (u32, u32) = (1, 1_000);
const END_ROWS: (u32, u32) = (0, 20);
const POLYGONS: (u32, u32) = (1, 5_000_000);
const VERTICES: (u32, u32) = (3, 50_000_000);

/// The counts of the table with their limits, for its schema.
pub(super) const COUNTS: [(&str, (u32, u32)); 4] = [
    ("rate_areas.rates_at_most", RATES),
    ("rate_areas.end_rows", END_ROWS),
    ("rate_areas.polygons_at_most", POLYGONS),
    ("rate_areas.vertices_at_most", VERTICES),
];

impl Checker<'_> {
    /// `Some(None)` where the job asks for none, `None` where it cannot be read.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn rate_areas(
        &mut self,
        file: &JobFile,
        machine: Option<&Machine>,
    ) -> Option<Option<RateAreasPart>> {
        let Some(At { value: table, .. }) = &file.rate_areas else { return Some(None) };
        let choice = self.rate_choice(table);
        let meaning = "the area below which a patch of one rate merges into its surroundings";
        let least = self.required("rate_areas.least_area", meaning, table.least_area.as_ref());
        let least_area = least.and_then(|least| self.quantity(least, &bound::LEAST_AREA));
        let least_width = match &table.least_width {
            Some(width) => self.quantity(width, &bound::LEAST_WIDTH).map(Length::from_metres),
            None => machine.map(|machine| machine.pass_spacing),
        };
        let end_rows = self.count("rate_areas.end_rows", table.end_rows.as_ref(), END_ROWS);
        let polygons =
            self.count("rate_areas.polygons_at_most", table.polygons_at_most.as_ref(), POLYGONS);
        let vertices =
            self.count("rate_areas.vertices_at_most", table.vertices_at_most.as_ref(), VERTICES);
        let only = self.only_areas(table);
        Some(Some(RateAreasPart {
            choice: choice?,
            least_area: Area::from_square_metres(least_area?),
            least_width: least_width?,
            end_rows: end_rows?.unwrap_or_default(),
            polygons_at_most: polygons?,
            vertices_at_most: vertices?,
            only: only?,
        }))
    }

    /// `Some(None)` where all areas are limed, `None` where the list cannot be taken.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    fn only_areas(&mut self, table: &RateAreasTable) -> Option<Option<Vec<u32>>> {
        let Some(At { value: list, span }) = &table.only else { return Some(None) };
        let mut fault = |span: &std::ops::Range<usize>, what: String| {
            let problem = Problem::at(self.text.place(span), what)
                .allowed("the numbers of rate areas that are limed, from 1, each once")
                .hint(
                    "take the line that the plan prints, or leave `only` out to lime all of them",
                );
            self.problems.push(problem);
        };
        if list.is_empty() {
            fault(span, "`rate_areas.only` is an empty list".to_owned());
            return None;
        }
        let mut numbers: Vec<u32> = Vec::with_capacity(list.len());
        let mut is_fine = true;
        for At { value, span } in list {
            if *value == 0 {
                fault(span, "`rate_areas.only` holds 0".to_owned());
                is_fine = false;
            } else if numbers.contains(value) {
                fault(span, format!("`rate_areas.only` holds {value} twice"));
                is_fine = false;
            } else {
                numbers.push(*value);
            }
        }
        numbers.sort_unstable();
        is_fine.then_some(Some(numbers))
    }

    fn rate_choice(&mut self, table: &RateAreasTable) -> Option<RateChoice> {
        let key = "rate_areas.rates_at_most";
        let most = self.count(key, table.rates_at_most.as_ref(), RATES);
        let tolerance = match &table.tolerance {
            None => None,
            Some(written) => Some(self.rate_within(written, &bound::RATE_TOLERANCE)?),
        };
        match (most?, tolerance) {
            (Some(_), Some(_)) => {
                let span = table.tolerance.as_ref().map_or(0..0, |written| written.span.clone());
                let what = "the rates of the areas are chosen both by number and by tolerance";
                let problem = Problem::at(self.text.place(&span), what)
                    .allowed("either `rates_at_most` or `tolerance`")
                    .hint("leave one of the two out");
                self.problems.push(problem);
                None
            }
            (Some(most), None) => Some(RateChoice::AtMost(most)),
            (None, Some(tolerance)) => Some(RateChoice::Within(tolerance)),
            (None, None) => Some(RateChoice::AsFitted),
        }
    }

    fn rate_within(&mut self, written: &At<Written>, bounded: &Bounded) -> Option<ProductRate> {
        let si = self.quantity(written, bounded)?;
        Some(ProductRate::from_kilograms_per_hectare(si * 10_000.0))
    }

    /// `Some(None)` where it is not stated, `None` where it is out of bounds.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    fn count(
        &mut self,
        key: &str,
        written: Option<&At<u32>>,
        (least, most): (u32, u32),
    ) -> Option<Option<u32>> {
        let Some(At { value, span }) = written else { return Some(None) };
        if (least..=most).contains(value) {
            return Some(Some(*value));
        }
        let problem = Problem::at(self.text.place(span), format!("`{key}` is {value}"))
            .allowed(format!("a whole number from {least} to {most}"))
            .hint("correct the number, or leave the key out");
        self.problems.push(problem);
        None
    }
}
