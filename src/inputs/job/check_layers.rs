//! The layers of a job's samples, and what of the limed depth each of them stands for.

use super::check::Checker;
use super::file::SamplesTable;
use super::written::{At, Written};
use super::{JobLayer, LayersPart};
use crate::agronomy::{Placement, parts_of_limed_depth, same_depth_within};
use crate::findings::Problem;
use crate::inputs::{LayerGaps, Missing};
use crate::units::{DepthInterval, Length, UnitSystem, bound};

/// What a job says of the ground that the lime is to act on, as far as it could be read.
#[derive(Clone, Copy)]
pub(super) struct Limed {
    pub(super) units: Option<UnitSystem>,
    pub(super) depth: Option<Length>,
    pub(super) placement: Option<Placement>,
}

impl Checker<'_> {
    /// `Some(None)` where all samples come from one depth.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn layers(
        &mut self,
        table: &SamplesTable,
        limed: Limed,
    ) -> Option<Option<LayersPart>> {
        self.depth_columns(table);
        let Some(written) = &table.layers else {
            let alone = [&table.depth_unit, &table.layer_gaps, &table.layer_missing];
            for At { span, .. } in alone.into_iter().flatten() {
                let problem = Problem::at(self.text.place(span), "there are no `samples.layers`")
                    .allowed("this key beside the layers that the table holds")
                    .hint("list the depths of the table as samples.layers, or leave the key out");
                self.problems.push(problem);
            }
            return Some(None);
        };
        let only_zones = table.zones.as_ref().filter(|_| table.by_zone.is_none());
        if let (Some(At { span, .. }), Some(_)) = (&table.layer_missing, only_zones) {
            let what = "`samples.layer_missing` is of points, and the job has sample zones";
            let problem = Problem::at(self.text.place(span), what)
                .allowed("a result for every layer of each zone")
                .hint("a zone has no other point to go by; leave the key out");
            self.problems.push(problem);
        }
        if let Some(At { span, .. }) = &table.sampled_depth {
            let what = "the job states both `samples.sampled_depth` and `samples.layers`";
            let problem = Problem::at(self.text.place(span), what)
                .allowed("the one depth of all samples, or the layers of each point")
                .hint("leave one of the two out");
            self.problems.push(problem);
        }
        let units: Vec<&'static str> =
            bound::DEPTH.kind.units.iter().map(|(unit, _)| *unit).collect();
        let unit = self.word(
            "samples.depth_unit",
            table.depth_unit.as_ref(),
            |words| units.iter().copied().find(|unit| *unit == words),
            &units,
        );
        let gaps = self.word(
            "samples.layer_gaps",
            table.layer_gaps.as_ref(),
            |words| LayerGaps::ALL.into_iter().find(|rule| rule.words() == words),
            &LayerGaps::ALL.map(LayerGaps::words),
        );
        let missing = self.word(
            "samples.layer_missing",
            table.layer_missing.as_ref(),
            |words| Missing::ALL.into_iter().find(|rule| rule.words() == words),
            &Missing::ALL.map(Missing::words),
        );
        let depths = self.depths_in_order(written)?;
        let Limed { units, depth, placement } = limed;
        let limed = depth?;
        let counted_to = placement?.reach().map_or(limed, |reach| reach.min(limed));
        let parts = self.parts(written, &depths, counted_to, gaps?.is_some(), units?)?;
        let list = depths.into_iter().zip(parts);
        Some(Some(LayersPart {
            list: list.map(|(depth, part)| JobLayer { depth, part }).collect(),
            unit: unit?,
            counted_to,
            missing: missing?,
        }))
    }

    /// The layers, where there are several from the top down that do not overlap.
    fn depths_in_order(&mut self, written: &At<Vec<At<Written>>>) -> Option<Vec<DepthInterval>> {
        let read: Vec<Option<DepthInterval>> =
            written.value.iter().map(|depth| self.depth(depth)).collect();
        let depths = read.into_iter().collect::<Option<Vec<DepthInterval>>>()?;
        let mut fits = true;
        for (at, pair) in depths.windows(2).enumerate() {
            if pair[1].top() + same_depth_within() >= pair[0].bottom() {
                continue;
            }
            fits = false;
            let [above, below] = [at, at + 1].map(|at| &written.value[at]);
            let what = format!(
                "the layer `{}` does not begin where `{}` ends or below it",
                below.value.0, above.value.0
            );
            self.problems.push(
                Problem::at(self.text.place(&below.span), what)
                    .allowed("layers from the top down that do not overlap")
                    .hint("list them in order, as in [\"0-6 in\", \"6-12 in\"]"),
            );
        }
        if depths.len() < 2 {
            fits = false;
            let what = format!("`samples.layers` lists {} of them", depths.len());
            self.problems.push(
                Problem::at(self.text.place(&written.span), what)
                    .allowed("two layers or more, as in [\"0-6 in\", \"6-12 in\"]")
                    .hint("state the one depth of all samples as samples.sampled_depth"),
            );
        }
        fits.then_some(depths)
    }

    fn parts(
        &mut self,
        written: &At<Vec<At<Written>>>,
        depths: &[DepthInterval],
        counted_to: Length,
        nearest_fills: bool,
        units: UnitSystem,
    ) -> Option<Vec<Option<DepthInterval>>> {
        let place = self.text.place(&written.span);
        let end =
            |depth| DepthInterval::down_to(depth).map_or_else(String::new, |d| units.depths(d));
        if depths[0].top() + same_depth_within() >= counted_to {
            let what = format!(
                "the layers begin below the ground that the lime acts on, {}, so they do not speak \
                 of it",
                end(counted_to)
            );
            self.problems.push(
                Problem::at(place, what)
                    .allowed("layers within the limed depth")
                    .hint("correct samples.layers or need.limed_depth"),
            );
            return None;
        }
        match parts_of_limed_depth(depths, counted_to, nearest_fills) {
            Ok(parts) => Some(parts),
            Err(gaps) => {
                let gaps: Vec<String> = gaps.into_iter().map(|gap| units.depths(gap)).collect();
                let what = format!(
                    "the lime is to act on {}, and no layer was sampled from {}",
                    end(counted_to),
                    gaps.join(" and ")
                );
                self.problems.push(
                    Problem::at(place, what)
                        .allowed("layers that cover the limed depth, unless samples.layer_gaps says \
                                  what becomes of the rest")
                        .hint(
                            "lime less deep, add the layer, or let the nearest layer stand for such \
                             ground with layer_gaps = \"nearest layer\"",
                        ),
                );
                None
            }
        }
    }

    /// A depth stands in one column, or its two ends in two.
    fn depth_columns(&mut self, table: &SamplesTable) {
        let Some(At { value: columns, .. }) = &table.columns else { return };
        let (top, bottom) = (&columns.depth_top, &columns.depth_bottom);
        let what = match (&columns.depth, top, bottom) {
            (_, None, None) | (None, Some(_), Some(_)) => return,
            (Some(_), ..) => "the job maps the depth of a row and an end of it",
            (None, ..) => "the job maps one end of the depth of a row and not the other",
        };
        let Some(At { span, .. }) = top.as_ref().or(bottom.as_ref()) else { return };
        let problem = Problem::at(self.text.place(span), what)
            .allowed("`depth`, or `depth_top` and `depth_bottom`")
            .hint("map the one column or the two");
        self.problems.push(problem);
    }
}
