//! The two flat rates in words, for the terminal.

use super::number::money;
use super::order_text::ordered;
use super::summary_text::{amount, attribute, decimals, wrap};
use crate::summary::{CompositeSoilPart, FlatRatePart, Quantity, Summary};
use crate::units::{counted, ph_words};

/// What one rate for the whole field would do in place of the map.
pub(super) fn write_flat_rates(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let flat = &summary.flat_rate;
    out.push_str("\nAgainst one rate for the whole field\n");
    let covers = summary.haul.as_ref().map(|haul| haul.cost_covers.join(" + ")).unwrap_or_default();
    let cost = |rate: &FlatRatePart| {
        let cost = rate.cost.as_ref();
        cost.map_or_else(String::new, |cost| format!(", {} ({covers})", money(cost)))
    };
    let same = &flat.same_tons;
    if same.product.value > 0.0 {
        let unit = if same.product.unit == "ton" { "tons" } else { "tonnes" };
        let even = format!(
            "The same {unit} spread evenly, {} everywhere, {} to order{}, {}",
            amount(&same.rate, 3),
            ordered(&same.to_order),
            cost(same),
            misses(same)
        );
        wrap(out, "  ", &even)?;
    }
    let composite = &flat.composite;
    let read = composite_in_words(summary);
    if composite.product.value <= 0.0 && same.product.value <= 0.0 {
        return wrap(out, "  ", &format!("{read} It asks for no lime either."));
    }
    let asked = if composite.product.value > 0.0 {
        format!(
            "{read} It asks for {} everywhere: {} to spread, {} to order{}. It {}",
            asked_in_words(composite),
            amount(&composite.product, 2),
            ordered(&composite.to_order),
            cost(composite),
            misses(composite)
        )
    } else if let Some(asked) = composite.asked_rate.as_ref().filter(|asked| asked.value > 0.0) {
        format!(
            "{read} It asks for {}, which the spreader's limits drop, so nothing would be spread. \
             It {}",
            amount(asked, 3),
            misses(composite)
        )
    } else {
        format!("{read} It asks for no lime at all. It {}", misses(composite))
    };
    wrap(out, "  ", &asked)?;
    let more = summary.product_total.value - composite.product.value;
    let unit = &summary.product_total.unit;
    let shown = decimals(more.abs(), 2);
    let told = if shown == decimals(0.0, 2) {
        format!("The map uses as much lime as the composite would, to 0.01 {unit}.")
    } else if more > 0.0 {
        format!(
            "The map uses {shown} {unit} MORE than the composite would: it does not save lime \
             here, it puts it where the need is."
        )
    } else {
        format!("The map uses {shown} {unit} less than the composite would.")
    };
    wrap(out, "  ", &told)?;
    let held = summary.rate_areas.as_ref().and_then(|areas| areas.held_back.as_ref());
    if let Some(held) = held.filter(|held| held.product.value > 0.0) {
        let put_off = format!(
            "{} of product is held back on ground that waits: it is put off, not saved.",
            amount(&held.product, 2)
        );
        wrap(out, "  ", &put_off)?;
    }
    let map_cost = summary.haul.as_ref().and_then(|haul| haul.cost_total.as_ref());
    let Some((map, other)) = map_cost.zip(composite.cost.as_ref()) else { return Ok(()) };
    let less = Quantity { value: (other.value - map.value).abs(), unit: map.unit.clone() };
    let (shown, word) = (money(&less), if other.value > map.value { "less" } else { "MORE" });
    if decimals(less.value, 2) == decimals(0.0, 2) {
        return wrap(out, "  ", &format!("Both cost the same ({covers})."));
    }
    wrap(out, "  ", &format!("The map costs {shown} {word} than the composite would ({covers})."))
}

/// What a composite sample of the whole field would have read.
fn composite_in_words(summary: &Summary) -> String {
    let readings: Vec<String> = summary.flat_rate.composite_soil.iter().map(readings).collect();
    format!(
        "A composite sample of the whole field would have read {}, the mean of the samples.",
        readings.join(", and below it ")
    )
}

fn readings(soil: &CompositeSoilPart) -> String {
    let mut told = vec![format!("pH {}", decimals(soil.ph, 2))];
    if let Some(buffer) = soil.buffer_ph {
        let blanks = soil.blanks.map_or_else(String::new, |count| {
            let of = counted(count as u64, "blank", "blanks");
            match soil.blanks_read_as {
                Some(reading) => format!(" ({of} taken as {})", ph_words(reading)),
                None => format!(" ({of} counted as needing nothing)"),
            }
        });
        told.push(format!("buffer pH {}{blanks}", decimals(buffer, 2)));
    }
    for (key, read) in &soil.values {
        told.push(format!("{} {} {}", attribute(key), decimals(read.value, 2), read.unit));
    }
    told.join(" and ")
}

/// What the soil asks for, and what the spreader makes of it where that is another rate.
fn asked_in_words(rate: &FlatRatePart) -> String {
    let held = amount(&rate.rate, 3);
    let Some(asked) = rate.asked_rate.as_ref().map(|asked| amount(asked, 3)) else { return held };
    if asked == held {
        return held;
    }
    let became = match rate.limit.as_str() {
        "raised" => "raised to the spreader's least,",
        "capped" => "held to the spreader's greatest,",
        _ => "rounded to",
    };
    format!("{asked}, {became} {held}")
}

/// What a flat rate gives too much and too little, and where.
fn misses(rate: &FlatRatePart) -> String {
    let beyond = format!(
        "put {} of CaCO3 beyond the need on {}",
        amount(&rate.excess, 2),
        amount(&rate.over_limed_area, 2)
    );
    let short = format!(
        "leave {} of the need unmet on {}",
        amount(&rate.shortfall, 2),
        amount(&rate.under_limed_area, 2)
    );
    match (rate.over_limed_area.value > 0.0, rate.under_limed_area.value > 0.0) {
        (true, true) => format!("would {beyond}, and {short}."),
        (true, false) => format!("would {beyond}, and leave none unmet."),
        (false, true) => format!("would {short}."),
        (false, false) => "would meet the need everywhere.".to_owned(),
    }
}
