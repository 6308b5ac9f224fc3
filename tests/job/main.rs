//! The main job as its users meet it: files in, files and words out.

#![allow(clippy::unwrap_used, clippy::float_cmp)]
// Coordinates stand here as they stand in files.
#![allow(clippy::unreadable_literal)]

mod area_files;
mod blanks;
mod by_zone;
mod cases;
mod cec;
mod choosing;
mod contract;
mod crops;
mod damage;
mod data_checks;
mod explain;
mod four_cells;
mod haul;
#[cfg(unix)]
mod horizons;
mod hostile;
mod interval;
mod invariance;
mod lab;
mod layers;
mod layers_from_files;
mod likely_causes;
mod map_databases;
mod map_files;
mod material;
mod material_analysis;
mod material_figures;
mod meter;
mod meter_log;
mod methods;
mod outline_faults;
mod own_table;
mod ph_media;
mod picture;
mod practice;
mod real_field;
mod recommended;
mod refusals;
mod regions;
mod risk;
mod sample_files;
mod sample_maps;
mod sample_rows;
mod samples_fields;
mod schemas;
mod soil_methods;
mod start_file;
mod start_many;
mod start_sources;
mod support;
mod tables;
mod upkeep;
mod words;
mod zone_points;
mod zones;
