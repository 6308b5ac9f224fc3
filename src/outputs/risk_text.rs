//! What the soil puts at risk, and what to look for in the field.

use super::summary_text::{amount, wrap};
use crate::agronomy::HERBICIDES_PH;
use crate::summary::{Quantity, RiskPart, Summary};
use crate::units::{ph_words, plain};

pub(super) fn write_risk(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let Some(risk) = &summary.risk else { return Ok(()) };
    let RiskPart { limits, .. } = risk;
    let amount_above = limits
        .aluminium
        .as_ref()
        .map(|limit| format!("above {} {}", plain(limit.value, 0, 4), limit.unit));
    let saturation_above = limits
        .aluminium_saturation
        .map(|share| format!("a saturation above {} %", plain(share * 100.0, 0, 2)));
    let above: Vec<String> = [amount_above, saturation_above].into_iter().flatten().collect();
    let extract =
        if above.is_empty() { String::new() } else { format!(" and {}", above.join(" or ")) };
    let below = ph_words(limits.aluminium_ph);
    let told: Vec<(&Quantity, String)> = vec![
        (
            &risk.aluminium_likely_area,
            format!("aluminium likely harms roots (below pH {below}{extract})"),
        ),
        (
            &risk.aluminium_possible_area,
            format!(
                "aluminium may harm roots (below pH {below}; judged by {})",
                risk.aluminium_judged_by
            ),
        ),
        (
            &risk.manganese_area,
            format!("manganese may harm crops (below pH {})", ph_words(limits.manganese_ph)),
        ),
        (
            &risk.overliming_area,
            format!(
                "already above the target band, pH {}: more lime ties up micronutrients{}",
                ph_words(limits.overliming_ph),
                if limits.overliming_ph < HERBICIDES_PH {
                    ""
                } else {
                    " and keeps some herbicides alive"
                }
            ),
        ),
    ];
    if told.iter().all(|(area, _)| area.value <= 0.0) {
        return Ok(());
    }
    out.push_str("\nAt risk before liming (pH in water)\n");
    for (area, words) in told.iter().filter(|(area, _)| area.value > 0.0) {
        wrap(out, "  ", &format!("{}: {words}", amount(area, 2)))?;
    }
    for signs in risk.look_for.chunk_by(|one, next| one.risk == next.risk) {
        let told: Vec<&str> = signs.iter().map(|sign| sign.sign.as_str()).collect();
        wrap(out, "  - ", &format!("{}: look for {}", signs[0].risk, told.join("; ")))?;
    }
    Ok(())
}
