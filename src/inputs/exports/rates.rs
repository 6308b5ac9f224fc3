//! Which numbers of a file are its rates, and what unit they are in: by what is asked, else by
//! their names.

use crate::findings::{Place, Problem, Refusal, clean};
use crate::units::ControllerUnit;

/// What is asked of finished exports.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ExportAsked {
    /// The column that the rates stand in.
    pub column: Option<String>,
    /// The unit of the rates.
    pub unit: Option<ControllerUnit>,
    /// The layer, where a file holds several.
    pub layer: Option<String>,
}

impl ExportAsked {
    /// The unit of rates that are called so.
    pub(super) fn unit_of(&self, name: &str) -> Option<&'static str> {
        self.unit.or_else(|| unit_in(name)).map(ControllerUnit::words)
    }
}

/// The words of a name, in small letters.
fn words_of(name: &str) -> Vec<String> {
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect()
}

/// Whether a name says that it is of rates; the number of a rate area is none.
pub(super) fn is_rate(name: &str) -> bool {
    let words = words_of(name);
    let is_area = words.last().is_some_and(|word| matches!(word.as_str(), "area" | "areas"));
    !is_area && words.iter().any(|word| matches!(word.as_str(), "rate" | "rates"))
}

/// Whether a name says that it is of the soil, as those of the grids beside the rates do.
pub fn is_of_soil(name: &str) -> bool {
    words_of(name).first().is_some_and(|word| matches!(word.as_str(), "ph" | "need"))
}

/// The unit that stands in a name: `rate_lb_ac`, `rate_tonac`, `Rate (kg/ha)`.
pub(super) fn unit_in(name: &str) -> Option<ControllerUnit> {
    let words = words_of(name);
    let pairs = words.windows(2).map(<[String]>::concat);
    let all: Vec<String> = pairs.chain(words.iter().cloned()).collect();
    let known: [(ControllerUnit, &[&str]); 4] = [
        (ControllerUnit::PoundsPerAcre, &["lbac", "lbsac", "lbacre", "lbsacre"]),
        (ControllerUnit::ShortTonsPerAcre, &["tonac", "tonsac", "tonacre", "tonsacre"]),
        (ControllerUnit::KilogramsPerHectare, &["kgha"]),
        (ControllerUnit::TonnesPerHectare, &["tha"]),
    ];
    let found = known
        .into_iter()
        .find(|(_, spelled)| all.iter().any(|word| spelled.contains(&word.as_str())));
    found.map(|(unit, _)| unit)
}

/// The place of the rates among `columns`, whose cells `cell` gives by row and column; `None` where
/// no column holds numbers.
///
/// # Errors
/// Refuses a column that is asked for and is not there or holds no numbers, and several columns
/// that may be the rates, listing them with their least and greatest numbers.
pub(super) fn rate_column<'f>(
    columns: &[String],
    rows: usize,
    cell: impl Fn(usize, usize) -> &'f str,
    asked: &ExportAsked,
    place: Place,
) -> Result<Option<usize>, Refusal> {
    let range = |column: usize| {
        let mut range: Option<(f64, f64)> = None;
        for row in 0..rows {
            let text = cell(row, column).trim();
            if !text.is_empty() {
                let number = number(text)?;
                let (low, high) = range.unwrap_or((number, number));
                range = Some((low.min(number), high.max(number)));
            }
        }
        range
    };
    if let Some(wanted) = &asked.column {
        let found = columns.iter().position(|name| name.trim() == wanted.trim());
        if let Some(column) = found.filter(|&column| range(column).is_some()) {
            return Ok(Some(column));
        }
        let what = match found {
            Some(_) => format!("the column `{}` holds more than numbers, or none", clean(wanted)),
            None => format!("there is no column `{}`", clean(wanted)),
        };
        return Err(choose_one(what, columns, range, place));
    }
    let numbers: Vec<usize> =
        (0..columns.len()).filter(|&column| range(column).is_some()).collect();
    let named: Vec<usize> =
        numbers.iter().copied().filter(|&column| is_rate(&columns[column])).collect();
    // Of several the one with a unit wins.
    let with_unit: Vec<usize> =
        named.iter().copied().filter(|&column| unit_in(&columns[column]).is_some()).collect();
    match (named.as_slice(), numbers.as_slice()) {
        ([only], _) | ([], [only]) => Ok(Some(*only)),
        _ if with_unit.len() == 1 => Ok(with_unit.first().copied()),
        ([], []) => Ok(None),
        _ => {
            let what = "it is not clear which column holds the rates".to_owned();
            Err(choose_one(what, columns, range, place))
        }
    }
}

fn choose_one(
    what: String,
    columns: &[String],
    range: impl Fn(usize) -> Option<(f64, f64)>,
    place: Place,
) -> Refusal {
    let listed: Vec<String> = columns
        .iter()
        .enumerate()
        .filter_map(|(at, name)| {
            let (low, high) = range(at)?;
            Some(format!("`{}` ({low} to {high})", clean(name)))
        })
        .collect();
    let allowed =
        if listed.is_empty() { "a column of numbers".to_owned() } else { listed.join(", ") };
    Problem::at(place, what).allowed(allowed).hint("name it with --column").into()
}

/// A plain number.
pub(super) fn number(text: &str) -> Option<f64> {
    text.trim().parse::<f64>().ok().filter(|number| number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_is_read_from_whole_words_alone() {
        use ControllerUnit::{
            KilogramsPerHectare, PoundsPerAcre, ShortTonsPerAcre, TonnesPerHectare,
        };
        for (name, unit) in [
            ("rate_lb_ac", Some(PoundsPerAcre)),
            ("Rate (lbs/ac)", Some(PoundsPerAcre)),
            ("rate_tonac", Some(ShortTonsPerAcre)),
            ("rate_ton_ac", Some(ShortTonsPerAcre)),
            ("heron-flat_r1_rate_kg_ha", Some(KilogramsPerHectare)),
            ("rate_t_ha", Some(TonnesPerHectare)),
            ("Martha", None),
            ("rate", None),
            ("rate_t_ac", None),
        ] {
            assert_eq!(unit_in(name), unit, "{name}");
        }
        assert!(
            is_rate("rate_t_ha")
                && !is_rate("rate_area")
                && !is_rate("saturated")
                && !is_rate("unmet_need_ton_ac")
        );
    }
}
