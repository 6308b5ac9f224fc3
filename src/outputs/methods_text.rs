//! The lime-need methods, as people read them.

use std::fmt::Write as _;

use crate::agronomy::{AlExtract, Example, MethodCard, MethodMedium, Worked};
use crate::units::ph_words;

/// All methods, a few lines each.
pub fn methods_text(cards: &[&MethodCard]) -> String {
    let mut out = String::new();
    for card in cards {
        // Writing to a String cannot fail.
        let _ = write_head(&mut out, card);
        out.push('\n');
    }
    out.push_str("`limewright methods ID` prints one in full, with its worked examples.\n");
    out.push_str(
        "Beside these, need.method takes `lab-recommendation`, what the laboratory recommends, and a\n\
         table of your own as `file:my_table.toml`.\n",
    );
    out
}

/// One method in full; `worked` are its examples as they were computed now.
pub fn method_text(card: &MethodCard, worked: &[Worked]) -> String {
    let mut out = String::new();
    let _ = write_head(&mut out, card).and_then(|()| write_rest(&mut out, card, worked));
    out
}

/// The methods for programs: their names, targets and sources.
pub fn methods_json(cards: &[&MethodCard]) -> String {
    let cards: Vec<serde_json::Value> = cards
        .iter()
        .map(|card| {
            serde_json::json!({
                "id": card.id,
                "title": card.title,
                "own_table": card.own_table,
                "reads": card.reads_in_words(),
                "readings": card.reads,
                "al_extract": card.al_extract.map(AlExtract::words),
                "textures": card.textures,
                "target_range": card.target_range.map(|(least, most)| [least, most]),
                "buffer": card.buffer.map(crate::agronomy::Buffer::words),
                "ph_medium": card.ph_medium.words(),
                "aim": card.aim.key(),
                "targets": card.targets,
                "need_unit": card.need_unit.words(),
                "depth": card.depth_words,
                "basis": card.basis.words(),
                "target_at_most": card.target_at_most,
                "printed_range": card.printed_range.map(|(least, most)| [least, most]),
                "rule": card.rule,
                "assumptions": card.assumptions(),
                "region": card.region,
                "source": card.source.words(),
                "from_memory": card.from_memory,
            })
        })
        .collect();
    format!("{:#}\n", serde_json::Value::Array(cards))
}

fn write_head(out: &mut String, card: &MethodCard) -> std::fmt::Result {
    writeln!(out, "{}  {}", card.id, card.title)?;
    let buffer =
        card.buffer.map_or_else(String::new, |buffer| format!(" ({} buffer)", buffer.words()));
    let extract = card
        .al_extract
        .map_or_else(String::new, |extract| format!(" (aluminium by {})", extract.words()));
    let (reads, medium) = (card.reads_in_words(), card.ph_medium.words());
    let medium = match card.ph_medium {
        MethodMedium::Any => "any medium, for the map and its risks",
        MethodMedium::AnyWater | MethodMedium::Stated(_) => medium,
    };
    writeln!(out, "  reads   {reads}{buffer}{extract}; pH in {medium}")?;
    if !card.textures.is_empty() {
        let classes: Vec<_> = card.textures.iter().map(|class| class.words()).collect();
        writeln!(out, "  soils   {}", classes.join(", "))?;
    }
    writeln!(out, "  target  {}", card.targets_in_words())?;
    writeln!(
        out,
        "  basis   need in {}, depth {}, material {}",
        card.need_unit.words(),
        card.depth_words,
        card.basis.words()
    )?;
    if let Some((least, most)) = card.printed_range {
        let (least, most) = (ph_words(least), ph_words(most));
        writeln!(out, "  range   {} {least} to {most}", card.reads.lead().name())?;
    }
    for assumption in card.assumptions() {
        writeln!(out, "  mind    {assumption}")?;
    }
    for rule in &card.rule {
        writeln!(out, "  rule    {rule}")?;
    }
    writeln!(out, "  made    {}; {}", card.region, card.soils)?;
    writeln!(out, "  source  {}", card.source.words())?;
    let origin = match (card.from_memory, &card.own_table) {
        (true, _) => "written from memory, not seen",
        (false, Some(_)) => "as your own table has them; this program has not seen the source",
        (false, None) => "seen in the source",
    };
    writeln!(out, "  numbers {origin}")
}

fn write_rest(out: &mut String, card: &MethodCard, worked: &[Worked]) -> std::fmt::Result {
    if let Some(depth) = &card.depth_source {
        writeln!(out, "  depth   {}", depth.words())?;
    }
    if let Some((zero_at, why)) = &card.derived {
        writeln!(out, "  derived from the last row to {}: {why}", ph_words(*zero_at))?;
    }
    for note in &card.notes {
        writeln!(out, "  note    {note}")?;
    }
    writeln!(out, "\nWorked examples, computed now:")?;
    for (example, worked) in card.examples.iter().zip(worked) {
        write_example(out, card, example, worked)?;
    }
    Ok(())
}

fn write_example(
    out: &mut String,
    card: &MethodCard,
    example: &Example,
    worked: &Worked,
) -> std::fmt::Result {
    let readings = [
        ("pH", example.given.ph),
        ("buffer pH", example.given.buffer_ph),
        ("acidity", example.given.acidity),
    ];
    let mut given: Vec<String> = readings
        .iter()
        .filter_map(|(name, reading)| reading.map(|reading| format!("{name} {reading}")))
        .collect();
    given.extend(example.given.texture.map(|class| class.words().to_owned()));
    let values = example.given.values.iter();
    given.extend(values.map(|(value, text)| format!("{} {text}", value.words())));
    given
        .extend(example.given.bulk_density.iter().map(|density| format!("bulk density {density}")));
    writeln!(
        out,
        "  {} to {}: {:.2} {}; printed: {} ({}){}",
        given.join(", "),
        card.aim.target(example.target).words(),
        worked.need,
        card.need_unit.words(),
        example.expect,
        example.locator,
        if worked.agrees { "" } else { "; DISAGREES" }
    )
}
