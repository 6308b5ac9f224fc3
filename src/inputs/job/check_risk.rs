//! The `[risk]` table of a job: its own limits, with their source.

use super::RiskAsk;
use super::check::Checker;
use super::file::JobFile;
use super::risk_file::RiskTable;
use crate::findings::Problem;
use crate::units::{SoilValue, bound};

impl Checker<'_> {
    pub(super) fn risk(&mut self, file: &JobFile) -> Option<RiskAsk> {
        let Some(at) = &file.risk else { return Some(RiskAsk::default()) };
        let before = self.problems.len();
        let table: &RiskTable = &at.value;
        let mut ph = |key| self.ph(key, &bound::SOIL_PH);
        let aluminium_ph = table.aluminium_ph.as_ref().and_then(&mut ph);
        let manganese_ph = table.manganese_ph.as_ref().and_then(&mut ph);
        let overliming_ph = table.overliming_ph.as_ref().and_then(&mut ph);
        let aluminium = table
            .aluminium
            .as_ref()
            .and_then(|amount| self.quantity(amount, SoilValue::Aluminium.bounded()));
        let aluminium_saturation = table
            .aluminium_saturation
            .as_ref()
            .and_then(|share| self.quantity(share, &bound::ALUMINIUM_SATURATION));
        let ask = RiskAsk {
            source: table.source.as_ref().map(|source| source.value.clone()),
            aluminium_ph,
            aluminium,
            aluminium_saturation,
            manganese_ph,
            overliming_ph,
        };
        let sets_any = ask != RiskAsk { source: ask.source.clone(), ..RiskAsk::default() };
        if ask.source.as_ref().is_none_or(|source| source.trim().is_empty()) {
            self.problems.push(
                Problem::at(self.text.place(&at.span), "the limits of [risk] have no source")
                    .allowed("risk.source beside them: who found the limits, where and when")
                    .hint("state it, or leave [risk] out for the published limits"),
            );
        } else if !sets_any && self.problems.len() == before {
            self.problems.push(
                Problem::at(self.text.place(&at.span), "[risk] sets no limit")
                    .allowed("aluminium_ph, aluminium, aluminium_saturation, manganese_ph, overliming_ph")
                    .hint("state a limit, or leave [risk] out for the published limits"),
            );
        }
        (self.problems.len() == before).then_some(ask)
    }
}
