//! What the program knows of materials by themselves: kinds, schemes of effectiveness, minimum
//! qualities.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::summary_text::wrap;
use crate::material::{Chemistry, all_fineness_schemes, all_kinds, all_quality_limits};

/// The same for programs.
pub fn kinds_json() -> String {
    let kinds: Vec<Value> = all_kinds()
        .iter()
        .map(|kind| {
            let (limes, words) = match kind.chemistry {
                Chemistry::Limes(base) => (true, ("neutralises_by", base)),
                Chemistry::DoesNotLime(why) => (false, ("does_not_lime", why)),
            };
            json!({
                "name": kind.name,
                "also": kind.also,
                "limes": limes,
                words.0: words.1,
                "caustic": kind.caustic,
            })
        })
        .collect();
    let schemes: Vec<Value> = all_fineness_schemes()
        .iter()
        .map(|scheme| {
            json!({
                "id": scheme.id(),
                "title": scheme.title(),
                "sieves": scheme.sieves().collect::<Vec<_>>(),
                "source": scheme.source_words(),
            })
        })
        .collect();
    let limits: Vec<Value> = all_quality_limits()
        .iter()
        .map(|limit| {
            json!({
                "id": limit.id,
                "title": limit.title,
                "asks_for": limit.asks_for(),
                "note": limit.note,
                "source": limit.source_words(),
            })
        })
        .collect();
    let all = json!({ "kinds": kinds, "fineness_schemes": schemes, "minimum_qualities": limits });
    format!("{all:#}\n")
}

/// All kinds, schemes and minimum qualities as people read them.
pub fn kinds_text() -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write_all(&mut out);
    out
}

fn write_all(out: &mut String) -> std::fmt::Result {
    writeln!(out, "Materials that lime, by what neutralises in them")?;
    for kind in all_kinds() {
        let Chemistry::Limes(base) = kind.chemistry else { continue };
        let also = if kind.also.is_empty() {
            String::new()
        } else {
            format!("; also {}", kind.also.join(", "))
        };
        let caustic = if kind.caustic { "; caustic: burns skin and eyes" } else { "" };
        wrap(out, "  - ", &format!("{}: {base}{also}{caustic}", kind.name))?;
    }
    writeln!(out, "\nMaterials that do not lime, and are refused")?;
    for kind in all_kinds() {
        let Chemistry::DoesNotLime(why) = kind.chemistry else { continue };
        wrap(out, "  - ", &format!("{}: {why}", kind.name))?;
    }
    writeln!(out, "\nSchemes that turn a sieve analysis into what acts")?;
    for scheme in all_fineness_schemes() {
        let sieves: Vec<&str> = scheme.sieves().collect();
        let words = format!("{}: {}; sieves {}", scheme.id(), scheme.title(), sieves.join(", "));
        wrap(out, "  - ", &words)?;
        wrap(out, "    ", &scheme.source_words())?;
    }
    writeln!(out, "\nPublished minimum qualities")?;
    for limit in all_quality_limits() {
        wrap(out, "  - ", &format!("{} ({}): {}", limit.id, limit.title, limit.asks_for()))?;
        if let Some(note) = &limit.note {
            wrap(out, "    ", note)?;
        }
        wrap(out, "    ", &limit.source_words())?;
    }
    writeln!(out, "\n`limewright materials JOB.toml` compares those of a list on a field.")
}
