//! The shape of what a summary says of the spreader's hours, and of where the material is dropped.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Quantity;
use super::shape::part;

part! {
    /// How long the spreader works on the field.
    WorkPart {
        /// All applications together, as far as it is known.
        hours: Quantity,
        /// What the hours cover: of `driving`, `turning`, `loading` and `running`, those that are
        /// known.
        covers: Vec<String>,
        /// The others, which are not in the hours.
        leaves_out: Vec<String>,
        /// The keys of a job that are missing for these.
        #[serde(default, skip_serializing_if = "Vec::is_empty")]
        missing: Vec<String>,
        /// What the straight line from the pile to the ground is multiplied by to stand for the
        /// way that is driven; left out where running is not known.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        run_factor: Option<f64>,
        /// Each application, in their order.
        applications: Vec<ApplicationWorkPart>,
    }
}

part! {
    /// How long the spreader works on one application.
    ApplicationWorkPart {
        /// Which, from 1.
        number: u32,
        /// All of it, as far as it is known.
        hours: Quantity,
        /// Driving while spreading: the treated area over pass spacing times speed.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        driving: Option<Quantity>,
        /// Turns between the passes over the whole field, treated or not.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        turning: Option<Quantity>,
        /// Loading the spreader.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        loading: Option<Quantity>,
        /// Running from the pile to the ground and back, for each load.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        running: Option<Quantity>,
        /// From the pile to the ground, one way: the straight line to the mean treated acre times
        /// `run_factor`.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        run: Option<Quantity>,
    }
}

part! {
    /// Where the material is dropped.
    DeliveryPart {
        /// The pile: longitude and latitude, WGS 84 degrees.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        pile_deg: Option<[f64; 2]>,
        /// The place that fields share.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        drop_site: Option<String>,
    }
}
