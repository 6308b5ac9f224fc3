//! A comparison of materials, as people and programs read it.

use std::fmt::Write as _;

use super::number::money;
use super::order_text::{loads_in_words, ordered};
use super::summary_text::{amount, percent, wrap};
use crate::findings::clean;
use crate::summary::{ComparedPart, HorizonPart, MaterialComparison, Quantity};

/// The comparison as people read it.
pub fn comparison_text(comparison: &MaterialComparison) -> String {
    let mut text = String::new();
    // Writing to a String cannot fail.
    let _ = write_comparison(&mut text, comparison);
    text
}

/// The same as JSON, indented, with a line feed at its end.
///
/// # Errors
/// Returns the serialiser's error; there is none for this shape, so it is a fault of the program.
pub fn comparison_json(comparison: &MaterialComparison) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(comparison)? + "\n")
}

fn write_comparison(out: &mut String, comparison: &MaterialComparison) -> std::fmt::Result {
    writeln!(out, "{}: choosing a material", clean(&comparison.field.name))?;
    writeln!(
        out,
        "Needed: {} of CaCO3 on {}; materials of {}",
        amount(&comparison.need_total, 2),
        amount(&comparison.area, 2),
        clean(&comparison.list)
    )?;
    if !comparison.horizon_notes.is_empty() {
        writeln!(out, "\nYears over which fineness counts")?;
        for note in &comparison.horizon_notes {
            wrap(out, "  - ", &clean(note))?;
        }
    }
    for (at, horizon) in comparison.horizons.iter().enumerate() {
        write_horizon(out, horizon, at == 0)?;
    }
    if !comparison.refused.is_empty() {
        writeln!(out, "\nRefused")?;
        for refused in &comparison.refused {
            let words =
                format!("{} is not a liming material: {}", clean(&refused.name), refused.reason);
            wrap(out, "  - ", &words)?;
        }
    }
    writeln!(out, "\nMagnesium of the soil")?;
    for advice in &comparison.magnesium_advice {
        wrap(out, "  - ", &format!("{}: {} ({})", advice.region, advice.text, advice.source))?;
    }
    out.push_str("\nMind\n");
    for caution in &comparison.cautions {
        wrap(out, "  - ", caution)?;
    }
    Ok(())
}

fn write_horizon(out: &mut String, horizon: &HorizonPart, is_first: bool) -> std::fmt::Result {
    let over = horizon.horizon.as_ref().map_or_else(String::new, |years| format!(" over {years}"));
    let by = horizon.compared_by.as_ref().map_or_else(
        || "Nothing can be compared by cost".to_owned(),
        |by| {
            let by = if by == "plant" { "at the plant" } else { by };
            format!("By cost of effective CaCO3, {by}{over}")
        },
    );
    writeln!(out, "\n{by}")?;
    for material in &horizon.materials {
        out.push('\n');
        write_material(out, material)?;
        // The quality is of the material, whatever the horizon.
        if is_first {
            write_quality(out, material)?;
        }
    }
    Ok(())
}

fn write_material(out: &mut String, compared: &ComparedPart) -> std::fmt::Result {
    let material = &compared.material;
    let place = compared.rank.map_or_else(|| "  -".to_owned(), |rank| format!("{rank:>3}"));
    let lot =
        material.lot.as_ref().map_or_else(String::new, |lot| format!(" (lot {})", clean(lot)));
    let supplier =
        material.supplier.as_ref().map_or_else(String::new, |name| format!(", {}", clean(name)));
    let head = format!("{place}  ");
    wrap(out, &head, &format!("{}{lot}{supplier}: {}", clean(&material.name), material.kind))?;
    let mut tell = |text: &str| wrap(out, "     ", text);
    tell(&compared.reason)?;
    let dry =
        material.effective_dry.map_or_else(String::new, |dry| format!(", {} dry", percent(dry)));
    let analysed =
        material.analysed.as_ref().map_or_else(String::new, |day| format!("; analysed {day}"));
    let horizon = material.analysis.as_ref().and_then(|analysis| analysis.horizon.as_ref());
    let over = horizon.map_or_else(String::new, |years| format!(", fineness counted over {years}"));
    tell(&format!(
        "Effective {} as spread (wet){dry}{over}{analysed}",
        percent(material.effective_as_spread)
    ))?;
    tell(&costs(compared))?;
    tell(&order(compared))?;
    if let Some(limit) = &compared.supply_limit {
        let enough = if compared.supply_suffices { "enough" } else { "NOT ENOUGH" };
        tell(&format!("Supply {}: {enough}", amount(limit, 2)))?;
    }
    if compared.unmet_total.value > 0.0 {
        tell(&format!(
            "Unmet by the spreader's limits {} CaCO3 ({})",
            amount(&compared.unmet_total, 2),
            percent(compared.unmet_share)
        ))?;
    }
    if let Some(magnesium) = &compared.magnesium {
        tell(&format!(
            "Magnesium {} as spread: {} on treated ground",
            percent(magnesium.content),
            amount(&magnesium.per_treated_area, 0)
        ))?;
    }
    for nutrient in &compared.nutrients {
        let credit = nutrient.credit.as_ref().map_or_else(String::new, |credit| {
            format!(", worth {} by your price (not taken off the cost)", money(credit))
        });
        tell(&format!(
            "{} {}: {} on treated ground{credit}",
            nutrient.nutrient,
            percent(nutrient.content),
            amount(&nutrient.per_treated_area, 0)
        ))?;
    }
    Ok(())
}

fn write_quality(out: &mut String, compared: &ComparedPart) -> std::fmt::Result {
    let mut tell = |text: &str| wrap(out, "     ", text);
    let without_analysis = compared.material.analysis.is_none() && !compared.quality.is_empty();
    if without_analysis {
        let titles: Vec<&str> = compared.quality.iter().map(|one| one.title.as_str()).collect();
        let all = titles.join(", ");
        tell(&format!("Minimum quality ({all}): not known, there is no analysis"))?;
    }
    for quality in compared.quality.iter().filter(|_| !without_analysis) {
        let text = format!("{}: {}", quality.title, quality.parts.join("; "));
        tell(&format!("Minimum quality, {text} [{}]", quality.verdict))?;
    }
    Ok(())
}

/// What a unit of effective CaCO3 costs at each place where that is known.
fn costs(compared: &ComparedPart) -> String {
    let costs = &compared.costs;
    let each: Vec<String> = [
        ("at the plant", &costs.per_effective_plant),
        ("delivered", &costs.per_effective_delivered),
        ("spread", &costs.per_effective_spread),
    ]
    .into_iter()
    .filter_map(|(words, cost): (&str, &Option<Quantity>)| {
        Some(format!("{words} {}", money(cost.as_ref()?)))
    })
    .collect();
    if each.is_empty() {
        "No cost is known".to_owned()
    } else {
        format!("Effective: {}", each.join(", "))
    }
}

fn order(compared: &ComparedPart) -> String {
    let trucks = compared
        .loads
        .truck
        .as_ref()
        .map_or_else(String::new, |trucks| format!(", trucks {}", loads_in_words(trucks)));
    let cost = compared.costs.total.as_ref().map_or_else(String::new, |total| {
        format!("; cost {} ({})", money(total), compared.costs.covers.join(" + "))
    });
    format!(
        "Prescribed {}, to order {}{trucks}{cost}",
        amount(&compared.product_total, 2),
        ordered(&compared.to_order)
    )
}
