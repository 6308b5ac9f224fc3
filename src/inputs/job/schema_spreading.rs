//! What the checks of a job ask of the spreader, its map, its files, the order and the haul.

use super::export_part::ExportFormat;
use super::schema::{MONEY, MONEY_IN_WORDS, Says};
use crate::machine::{BelowMin, Split};
use crate::units::{ControllerUnit, bound};

pub(super) fn says_of_spreading() -> Vec<(&'static str, Says)> {
    use Says::{Form, Quantities, Quantity, Reading, Words};
    vec![
        ("spreader.min_rate", Quantity(&bound::MACHINE_RATE)),
        ("spreader.max_rate", Quantity(&bound::MACHINE_RATE)),
        ("spreader.step", Quantity(&bound::RATE_STEP)),
        ("spreader.rates", Quantities(&bound::MACHINE_RATE)),
        ("spreader.below_min", Words(BelowMin::ALL.map(BelowMin::words).to_vec())),
        ("spreader.split", Words(Split::ALL.map(Split::words).to_vec())),
        ("spreader.pass_spacing", Quantity(&bound::PASS_SPACING)),
        ("spreader.payload", Quantity(&bound::PAYLOAD)),
        ("spreader.box_volume", Quantity(&bound::BOX_VOLUME)),
        ("spreader.bucket_volume", Quantity(&bound::BUCKET_VOLUME)),
        ("spreader.load_time", Quantity(&bound::SPREADER_LOAD_TIME)),
        ("spreader.turn_time", Quantity(&bound::TURN_TIME)),
        ("spreader.running_speed", Quantity(&bound::RUNNING_SPEED)),
        ("spreader.run_factor", Reading(&bound::ROAD_FACTOR)),
        ("spreader.speed", Quantity(&bound::SPEED_OF_TRAVEL)),
        ("spreader.top_speed", Quantity(&bound::SPEED_OF_TRAVEL)),
        ("spreader.min_flow", Quantity(&bound::FLOW_LIMIT)),
        ("spreader.max_flow", Quantity(&bound::FLOW_LIMIT)),
        ("spreader.throw_width", Quantity(&bound::THROW_WIDTH)),
        ("spreader.outermost_line", Quantity(&bound::OUTERMOST_LINE)),
        ("spreader.rate_change_time", Quantity(&bound::RATE_CHANGE)),
        ("grid.cell", Quantity(&bound::CELL)),
        ("grid.heading", Quantity(&bound::HEADING)),
        ("export.files.[]", Words(ExportFormat::ALL.map(ExportFormat::words).to_vec())),
        ("export.unit", Words(ControllerUnit::ALL.map(ControllerUnit::words).to_vec())),
        ("export.raster_cell", Quantity(&bound::RASTER_CELL)),
        ("export.out_of_field_rate", Quantity(&bound::MACHINE_RATE)),
        ("export.signal_lost_rate", Quantity(&bound::MACHINE_RATE)),
        ("order.overlap_allowance", Quantity(&bound::ALLOWANCE)),
        ("order.pile_loss", Quantity(&bound::ALLOWANCE)),
        ("haul.one_way_distance", Quantity(&bound::ROAD)),
        ("haul.truck_payload", Quantity(&bound::PAYLOAD)),
        ("haul.cost", Form(MONEY.to_owned(), MONEY_IN_WORDS, "0.25 $/ton-mile")),
        ("haul.minimum_charge", Form(MONEY.to_owned(), MONEY_IN_WORDS, "250 $/load")),
        ("haul.spreading_cost", Form(MONEY.to_owned(), MONEY_IN_WORDS, "8 $/ac")),
        ("haul.round_trip", Quantity(&bound::ROUND_TRIP)),
        ("haul.road_speed", Quantity(&bound::ROAD_SPEED)),
        ("haul.load_time", Quantity(&bound::LOAD_TIME)),
    ]
}
