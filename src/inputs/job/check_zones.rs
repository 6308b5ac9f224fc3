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
    /// `Some(None)` where there are none: the samples were taken at points.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn zones(&mut self, table: &SamplesTable) -> Option<Option<ZonesPart>> {
        let columns = table.columns.as_ref().map(|columns| &columns.value);
        let of_points = columns.and_then(|columns| columns.zone.as_ref());
        let gives = self.by_zone(table);
        let Some(file) = &table.zones else {
            let limit = table.zone_gap_limit.as_ref().map(|limit| &limit.span);
            let by_zone = table.by_zone.as_ref().map(|list| &list.span);
            let alone = table.zone_key.as_ref().map(|key| &key.span).or(limit).or(by_zone);
            if let Some(zone) = of_points {
                let what = "the samples name their zones, and there are no `samples.zones`: the \
                            name of a zone alone has no ground";
                let problem = Problem::at(self.text.place(&zone.span), what)
                    .allowed("`samples.columns.zone` beside `samples.zones` and `samples.zone_key`")
                    .hint(
                        "name the file with the areas of the zones; or leave the column out, and \
                         the map is drawn between the points",
                    );
                self.problems.push(problem);
                return None;
            }
            if let Some(span) = alone {
                let problem = Problem::at(self.text.place(span), "there are no `samples.zones`")
                    .allowed(
                        "`samples.zone_key`, `samples.zone_gap_limit` and `samples.by_zone` beside \
                         zones",
                    )
                    .hint("name the file with the sample zones, or leave the key out");
                self.problems.push(problem);
                return None;
            }
            return Some(None);
        };
        let mapped = columns.and_then(|c| {
            let all = [&c.lon, &c.lat, &c.easting, &c.northing];
            all.into_iter().flatten().next()
        });
        let placed = mapped.or(table.coordinate_system.as_ref());
        let may_be_placed = of_points.is_some() || table.by_zone.is_some();
        if let Some(At { span, .. }) = placed.filter(|_| !may_be_placed) {
            let what = "the job has sample zones and says where its samples lie";
            let problem = Problem::at(self.text.place(span), what)
                .allowed("samples of zones, or samples at points")
                .hint(
                    "leave the coordinates out; or name the column with the zone of each point as \
                     samples.columns.zone",
                );
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
        let gives = gives?;
        if let Some(part) = &gives {
            let hold_results = part.results.is_none();
            return Some(Some(ZonesPart { area, key, hold_results, gap_limit: limit?, gives }));
        }
        let same = table.file.as_ref().is_none_or(|own| file.value.file() == Some(&own.value));
        if let (true, Some(zone)) = (same, of_points) {
            let what = "the results are those of the zones' own areas, which are no points";
            let problem = Problem::at(self.text.place(&zone.span), what)
                .allowed("`samples.columns.zone` for a table of points in `samples.file`")
                .hint("leave it out, or name the table as samples.file");
            self.problems.push(problem);
        }
        if let (true, Some(lab)) = (same, &table.lab) {
            let what = "the results are those of the zones' own areas, and the job names a \
                        laboratory's file too";
            let problem = Problem::at(self.text.place(&lab.span), what)
                .allowed("`samples.lab` beside a table in `samples.file`")
                .hint("name the laboratory's file as samples.file: its rows name the zones");
            self.problems.push(problem);
        }
        Some(Some(ZonesPart { area, key, hold_results: same, gap_limit: limit?, gives: None }))
    }
}
