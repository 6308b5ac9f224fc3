//! Which lime-need methods the columns at hand can feed.

use crate::agronomy::{Buffer, MethodCard, Reads, all_methods};
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
    let is_read = |reads: Reads| has(found, reads);
    let may_fit = |buffer: Buffer| card.takes_buffer(Some(buffer));
    card.lacking(is_read).is_empty() && buffers(found).any(may_fit)
}

/// Whether the table has a column for the reading.
fn has(found: &Recognised, reads: Reads) -> bool {
    !found.candidates(&format!("samples.columns.{}", reads.key())).is_empty()
}

/// The buffers that the laboratory may have run: all where the header names none. A header that
/// says `Mehlich` may mean the modified one.
fn buffers(found: &Recognised) -> impl Iterator<Item = Buffer> {
    let named = found.buffer.unwrap_or_default();
    Buffer::ALL.into_iter().filter(move |buffer| buffer.words().contains(named))
}

/// Whether the method goes by more than the pH, and the table has it.
fn is_of(found: &Recognised, card: &MethodCard) -> bool {
    card.reads.iter().any(|reads| reads != Reads::Ph && has(found, reads))
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
