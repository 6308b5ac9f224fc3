//! Which lime-need methods the columns at hand can feed.

use crate::agronomy::{MethodCard, Reads, all_methods};
use crate::inputs::Recognised;

/// The methods that the table can feed, one sentence each, those for its own buffer first.
pub(super) fn methods_in_words(found: &Recognised) -> Vec<String> {
    let cards = all_methods().iter().map(|method| method.card());
    let mut fed: Vec<(bool, &MethodCard)> =
        cards.filter(|card| can_feed(found, card)).map(|card| (is_of(found, card), card)).collect();
    fed.sort_by_key(|(own, _)| !own);
    fed.into_iter().map(|(_, card)| sentence(card)).collect()
}

/// Whether the table has, or may have, what the method reads.
fn can_feed(found: &Recognised, card: &MethodCard) -> bool {
    let has = |key: &str| !found.candidates(key).is_empty();
    card.reads.iter().all(|reads| match reads {
        Reads::Ph => true,
        Reads::BufferPh => {
            let named = found.buffer.map_or("", |buffer| buffer);
            let fits = card.buffer.is_none_or(|buffer| buffer.words().contains(named));
            has("samples.columns.buffer_ph") && fits
        }
        Reads::Texture | Reads::Value(_) => has(&format!("samples.columns.{}", reads.key())),
    })
}

/// Whether the method goes by more than the pH, and the table has it.
fn is_of(found: &Recognised, card: &MethodCard) -> bool {
    let has =
        |reads: Reads| !found.candidates(&format!("samples.columns.{}", reads.key())).is_empty();
    card.reads.iter().any(|reads| reads != Reads::Ph && has(reads))
}

fn sentence(card: &MethodCard) -> String {
    let depth = match card.depth {
        Some(_) => format!("table depth {}", card.depth_words),
        None => "no table depth, so limed and sampled depth must be the same".to_owned(),
    };
    let allowed = if card.from_memory {
        "; written from memory, runs only with --allow-unverified"
    } else {
        ""
    };
    format!(
        "`{}`: {}; made for {}; target {}; {depth}{allowed}.",
        card.id,
        card.title,
        card.region,
        card.targets_in_words()
    )
}
