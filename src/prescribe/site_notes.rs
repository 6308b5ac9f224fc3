//! What the pile's place tells: that it cannot be meant, or that nothing may lie there.

use geo::{Distance, Geodesic, Point};

use crate::field::{Field, LonLat, Partition, Whereabouts, whereabouts};
use crate::findings::Finding;
use crate::inputs::Job;
use crate::units::Length;

/// From this far beyond the boundary on, a pile is hardly meant to be there (ours).
const FAR_M: f64 = 5_000.0;

/// What the place of the pile tells.
pub(super) fn of_site(job: &Job, field: &Field, partition: &Partition) -> Option<Finding> {
    let [lon_deg, lat_deg] = job.field.site.pile_deg?;
    let at = field.frame().forward(LonLat { lon_deg, lat_deg });
    match whereabouts(field, partition, at) {
        Whereabouts::Outside(off) if off.to_metres() <= FAR_M => None,
        Whereabouts::InField | Whereabouts::InHole => None,
        Whereabouts::Outside(_) => {
            let centre = field.frame().centre();
            // The frame does not hold lengths this far out.
            let distance = Geodesic
                .distance(Point::new(lon_deg, lat_deg), Point::new(centre.lon_deg, centre.lat_deg));
            let text = format!(
                "`field.pile` ({lon_deg}, {lat_deg}) lies {} from the middle of the field, whose \
                 longitude and latitude are {:.4}, {:.4}: the driver's page points to it there. In \
                 `field.pile` longitude comes first; a pile within {} of the boundary is not \
                 remarked on.",
                job.units.distance(Length::from_metres(distance)),
                centre.lon_deg,
                centre.lat_deg,
                job.units.distance(Length::from_metres(FAR_M)),
            );
            Some(Finding::new("pile_far_from_field", text))
        }
        Whereabouts::KeptOut => {
            let text = format!(
                "`field.pile` ({lon_deg}, {lat_deg}) lies on ground that is kept out, setback \
                 included: a pile there washes and blows into what is to be kept free of lime. \
                 Choose a place outside `field.keep_out` and its setback, as far off as label and \
                 local rules ask, and state it as `field.pile`, longitude first."
            );
            Some(Finding::new("pile_in_keep_out", text))
        }
    }
}
