//! The sample zones of a job.

use super::ZonesPart;
use super::check::Checker;
use super::file::SamplesTable;
use super::written::{At, Written};
use crate::findings::Problem;
use crate::units::{Share, bound};

/// The part of a field that may lie in no zone, or in several, unless the job says (ours: zones
/// drawn by hand miss a boundary by about so much).
pub(super) const ZONE_GAP_LIMIT: &str = "1 %";

impl Checker<'_> {
    /// `Some(None)` where the samples were taken at points.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn zones(&mut self, table: &SamplesTable) -> Option<Option<ZonesPart>> {
        let Some(file) = &table.zones else {
            let limit = table.zone_gap_limit.as_ref().map(|limit| &limit.span);
            let alone = table.zone_key.as_ref().map(|key| &key.span).or(limit);
            if let Some(span) = alone {
                let problem = Problem::at(self.text.place(span), "there are no `samples.zones`")
                    .allowed("`samples.zone_key` and `samples.zone_gap_limit` beside zones")
                    .hint("name the file with the sample zones, or leave the key out");
                self.problems.push(problem);
                return None;
            }
            return Some(None);
        };
        let columns = table.columns.as_ref().map(|columns| &columns.value);
        let mapped = columns.and_then(|c| {
            let all = [&c.lon, &c.lat, &c.easting, &c.northing];
            all.into_iter().flatten().next()
        });
        if let Some(At { span, .. }) = mapped.or(table.coordinate_system.as_ref()) {
            let what = "the job has sample zones and says where its samples lie";
            let problem = Problem::at(self.text.place(span), what)
                .allowed("samples of zones, or samples at points")
                .hint("leave the coordinates out, or `samples.zones`");
            self.problems.push(problem);
        }
        let key = self.required(
            "samples.zone_key",
            "the attribute of the zones' file that names them, as the samples do",
            table.zone_key.as_ref(),
        );
        let written = At::nowhere(Written(ZONE_GAP_LIMIT.to_owned()));
        let limit = table.zone_gap_limit.as_ref().unwrap_or(&written);
        let limit = self.quantity(limit, &bound::ZONE_GAP).and_then(Share::from_number);
        let key = key?.value.clone();
        let area = self.area_file(file, "samples.zones")?;
        Some(Some(ZonesPart { area, key, gap_limit: limit? }))
    }
}
