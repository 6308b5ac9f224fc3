//! The crop guides, as people and programs read them.

use std::fmt::Write as _;

use super::summary_text::wrap;
use crate::agronomy::CropGuide;
use crate::units::ph_words;

/// All guides with what they print.
pub fn crops_text(guides: &[CropGuide]) -> String {
    let mut out = String::new();
    for guide in guides {
        // Writing to a String cannot fail.
        let _ = write_guide(&mut out, guide);
        out.push('\n');
    }
    out.push_str(
        "A job takes one by target.guide, with target.crop or target.rotation (the most demanding \
         crop\ncounts) and, where the ground stands behind the crops, target.ground.\n",
    );
    out
}

fn write_guide(out: &mut String, guide: &CropGuide) -> std::fmt::Result {
    let memory = if guide.from_memory { ", from memory: needs --allow-unverified" } else { "" };
    writeln!(out, "{}: {} (pH in {}{memory})", guide.id, guide.region, guide.ph_medium)?;
    wrap(out, "  ", &guide.citation().words())?;
    for row in &guide.rows {
        let ground = row.ground.as_ref().map_or_else(String::new, |ground| format!("; {ground}"));
        let begins = row.treat_below.or(guide.treat_below_target_by.map(|by| row.ph - by));
        let begins =
            begins.map_or_else(String::new, |ph| format!(", limed below {}", ph_words(ph)));
        wrap(
            out,
            "  - ",
            &format!("{}{begins}: {}{ground}", ph_words(row.ph), row.crops.join(", ")),
        )?;
    }
    if let Some(ph) = guide.most_other_crops {
        writeln!(out, "  - {}: most other crops", ph_words(ph))?;
    }
    for note in &guide.notes {
        wrap(out, "  ", note)?;
    }
    Ok(())
}

/// The same for programs.
pub fn crops_json(guides: &[CropGuide]) -> String {
    let guides: Vec<serde_json::Value> = guides
        .iter()
        .map(|guide| {
            let rows: Vec<_> = guide
                .rows
                .iter()
                .map(|row| {
                    serde_json::json!({
                        "crops": row.crops,
                        "ground": row.ground,
                        "ph": row.ph,
                        "treat_below": row
                            .treat_below
                            .or(guide.treat_below_target_by.map(|by| row.ph - by)),
                    })
                })
                .collect();
            serde_json::json!({
                "id": guide.id,
                "region": guide.region,
                "ph_medium": guide.ph_medium,
                "source": guide.citation().words(),
                "from_memory": guide.from_memory,
                "rows": rows,
                "most_other_crops": guide.most_other_crops,
                "notes": guide.notes,
            })
        })
        .collect();
    let mut text = serde_json::to_string_pretty(&guides).unwrap_or_default();
    text.push('\n');
    text
}
