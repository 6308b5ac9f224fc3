//! What the soil puts at risk, and what to look for in the field.

use super::summary_text::{amount, wrap};
use crate::summary::{Quantity, RiskPart, Summary};
use crate::units::{ph_words, plain};

pub(super) fn write_risk(out: &mut String, summary: &Summary) -> std::fmt::Result {
    let Some(risk) = &summary.risk else { return Ok(()) };
    let RiskPart { limits, .. } = risk;
    let extract = limits.aluminium.as_ref().map_or_else(String::new, |limit| {
        let saturation = limits.aluminium_saturation.map_or_else(String::new, |share| {
            format!(" or a saturation above {} %", plain(share * 100.0, 0, 2))
        });
        format!(" and above {} {}{saturation}", plain(limit.value, 0, 4), limit.unit)
    });
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
                "already above pH {}: more lime ties up micronutrients and keeps some herbicides \
                 alive",
                ph_words(limits.overliming_ph)
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
