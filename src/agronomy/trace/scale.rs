//! From a need as the source prints it to pure calcium carbonate over the limed depth.

use super::{Basis, Tracer, need_words};
use crate::agronomy::{Citation, MethodCard, Step};
use crate::units::{LimeNeed, plain, tidy};

impl Tracer<'_> {
    /// `printed`, as pure calcium carbonate over the limed depth.
    pub(super) fn scale(&mut self, printed: f64) -> LimeNeed {
        let card = &self.printed.card;
        let basis = card.basis.carbonate_share();
        let words = match card.basis {
            Basis::Stated(share) => format!(
                "The needs are stated in material of {}: x {}",
                card.basis.words(),
                plain(share, 0, 6)
            ),
            Basis::NotStated => format!("{}: x 1", MethodCard::BASIS_NOT_STATED),
        };
        self.steps.push(Step::new("basis", words).with("factor", basis, ""));
        self.depth();
        let factor = self.prepared.depth_factor;
        let at_depth = printed * basis * factor;
        let need = card.need_unit.need(1.0) * (printed * basis * factor);
        let (own, theirs) = (self.system.need(need), self.unit());
        if own.unit != theirs {
            let one = self.system.need(card.need_unit.need(1.0)).value;
            let words = format!(
                "{} {theirs} x {} = {} {} (exact pounds, international acres)",
                need_words(at_depth),
                plain(one, 0, 9),
                need_words(own.value),
                own.unit
            );
            let step = Step::new("unit", words).with("factor", one, "");
            self.steps.push(step.with("need", own.value, own.unit));
        }
        need
    }

    fn depth(&mut self) {
        let (card, factor) = (&self.printed.card, self.prepared.depth_factor);
        let limed = self.system.depth(self.printed.limed_depth);
        let limed = format!("{} {}", plain(tidy(limed.value), 0, 4), limed.unit);
        let words = if let Some(part) = self.printed.part {
            format!(
                "The layer counts with {} of the limed depth of {limed}, table depth {}: x {} (that \
                 a need is in proportion to the depth of soil is common practice)",
                self.system.depths(part),
                card.depth_words,
                plain(factor, 0, 6)
            )
        } else if card.depth.is_none() {
            format!("{}: x 1", MethodCard::DEPTH_NOT_STATED)
        } else if (factor - 1.0).abs() < 1e-12 {
            format!("Limed depth {limed}, table depth {}: x 1", card.depth_words)
        } else {
            format!(
                "Limed depth {limed} over table depth {}: x {} (that a need is in proportion to \
                 the depth of soil is common practice)",
                card.depth_words,
                plain(factor, 0, 6)
            )
        };
        let step = Step::new("depth", words).with("factor", factor, "");
        let source = card.depth_source.as_ref().map(Citation::words);
        self.steps.push(match source {
            Some(source) => step.resting_on(source),
            None => step,
        });
    }
}
