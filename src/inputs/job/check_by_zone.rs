//! What zones give where the samples of a job were taken at points.

use super::ByZonePart;
use super::check::Checker;
use super::file::SamplesTable;
use super::written::At;
use crate::findings::{Problem, nearest_of};
use crate::units::SoilAttribute;

impl Checker<'_> {
    /// `Some(None)` where zones give nothing beside samples at points.
    #[expect(clippy::option_option, reason = "the two kinds of nothing are different here")]
    pub(super) fn by_zone(&mut self, table: &SamplesTable) -> Option<Option<ByZonePart>> {
        let Some(list) = &table.by_zone else {
            let alone = [&table.zone_results, &table.zone_results_key];
            let Some(At { span, .. }) = alone.into_iter().flatten().next() else {
                return Some(None);
            };
            let problem = Problem::at(self.text.place(span), "there is no `samples.by_zone`")
                .allowed(
                    "`samples.zone_results` and `samples.zone_results_key` where zones give some \
                     attributes and samples at points the others",
                )
                .hint(
                    "list what the zones give as samples.by_zone; where they give everything, name \
                     their table as samples.file",
                );
            self.problems.push(problem);
            return None;
        };
        let mut is_clean = true;
        let mut refuse = |this: &mut Self, at: &At<String>, what: &str, hint: &str| {
            is_clean = false;
            let problem = Problem::at(this.text.place(&at.span), what)
                .allowed("samples at points, and zones that give what these do not")
                .hint(hint);
            this.problems.push(problem);
        };
        if let Some(zone) = table.columns.as_ref().and_then(|columns| columns.value.zone.as_ref()) {
            refuse(
                self,
                zone,
                "the zones give a part of the soil, and the samples name a zone each",
                "leave samples.columns.zone out: a point belongs to the zone that it lies in; or \
                 leave samples.by_zone out, and the points of a zone become its one value",
            );
        }
        let file = table.zones.as_ref().and_then(|zones| zones.value.file());
        if let Some(own) = table.file.as_ref().filter(|own| file == Some(&own.value)) {
            let what = "the samples are the areas of the zones themselves";
            refuse(self, own, what, "name the file with the samples at points as samples.file");
        }
        if let (Some(key), None) = (&table.zone_results_key, &table.zone_results) {
            let hint = "name the table with the zones' results as samples.zone_results, or leave \
                        the key out: the zones' own attributes stand in their file";
            refuse(self, key, "there is no `samples.zone_results`", hint);
        }
        let attributes = self.attributes(list)?;
        is_clean.then(|| {
            Some(ByZonePart {
                attributes,
                results: table.zone_results.as_ref().map(|file| self.named_file(file)),
                key: table.zone_results_key.as_ref().map(|key| key.value.clone()),
            })
        })
    }

    fn attributes(&mut self, list: &At<Vec<At<String>>>) -> Option<Vec<SoilAttribute>> {
        let known: Vec<&str> = SoilAttribute::all().map(SoilAttribute::key).collect();
        let quoted: Vec<String> = known.iter().map(|key| format!("`{key}`")).collect();
        let allowed = quoted.join(", ");
        let (mut found, mut is_clean) = (Vec::new(), true);
        for At { value: key, span } in &list.value {
            let attribute = SoilAttribute::of_key(key.trim());
            let (what, hint) = match attribute {
                Some(attribute) if !found.contains(&attribute) => {
                    found.push(attribute);
                    continue;
                }
                Some(_) => {
                    (format!("`samples.by_zone` names `{key}` twice"), "name it once".to_owned())
                }
                None => {
                    let near = nearest_of(&key.to_lowercase(), &known);
                    let hint = near.map_or_else(
                        || "name attributes as [samples.columns] does".to_owned(),
                        |near| format!("did you mean `{near}`?"),
                    );
                    (format!("`samples.by_zone` names `{key}`"), hint)
                }
            };
            is_clean = false;
            let problem = Problem::at(self.text.place(span), what);
            self.problems.push(problem.allowed(allowed.clone()).hint(hint));
        }
        if list.value.is_empty() {
            is_clean = false;
            let problem = Problem::at(self.text.place(&list.span), "`samples.by_zone` is empty");
            self.problems.push(
                problem
                    .allowed(allowed)
                    .hint("name what the zones give; leave the key out where they give everything"),
            );
        }
        found.sort_unstable();
        is_clean.then_some(found)
    }
}
