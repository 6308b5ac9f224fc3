//! What is marked over the rates: ground that is kept out, and ground with overridden rates.

use geo::MultiPolygon;

use super::ground::Ground;
use super::legend::{SWATCH, draw_row_words};
use super::page::{COLUMN, INK, Page};
use crate::field::{Partition, Point};
use crate::summary::Summary;
use crate::units::{Area, UnitSystem};

/// The dashes of the line around overridden ground, in pixels.
const DASHES: [f64; 2] = [5.0, 3.0];

/// The pattern of ground that is kept out: lines both ways, `scale` units a pixel; nothing where
/// nothing is kept out.
pub(super) fn pattern(partition: &Partition, name: &str, scale: f64) -> String {
    if partition.keep_out.0.is_empty() {
        return String::new();
    }
    format!(
        "<pattern id=\"{name}\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"scale({scale:.6}) rotate(45)\"><rect width=\"7\" height=\"7\" \
         fill=\"#ffffff\"/><path d=\"M0 0V7M0 0H7\" stroke=\"#555555\" stroke-width=\"1.4\"/>\
         </pattern>\n"
    )
}

/// Draws both on the map.
pub(super) fn draw(page: &mut Page, partition: &Partition, ground: &Ground) {
    if !partition.keep_out.0.is_empty() {
        let head = format!(
            "<path id=\"keep-out\" fill=\"url(#kept-out-on-the-map)\" stroke=\"{INK}\" \
             stroke-width=\"{}\" d=\"",
            ground.metres(0.8)
        );
        page.out.push_str(&head);
        write_polygons(page, ground, &partition.keep_out);
        page.put("\"/>");
    }
    let overridden = partition.regions.iter().filter(|region| !region.overrides.is_empty());
    let outlines: Vec<&MultiPolygon<f64>> = overridden.map(|region| &region.outline).collect();
    if !outlines.is_empty() {
        let [dash, gap] = DASHES.map(|pixels| ground.metres(pixels));
        // Dark dashes need a light ground wherever the rates are dark.
        let light = format!("stroke=\"#ffffff\" stroke-width=\"{}\"", ground.metres(3.6));
        let dark = format!(
            "id=\"overrides\" stroke=\"{INK}\" stroke-width=\"{}\" \
             stroke-dasharray=\"{dash} {gap}\"",
            ground.metres(1.6)
        );
        for line in [light, dark] {
            let head = format!("<path {line} fill=\"none\" d=\"");
            page.out.push_str(&head);
            for outline in &outlines {
                write_polygons(page, ground, outline);
            }
            page.put("\"/>");
        }
    }
}

fn write_polygons(page: &mut Page, ground: &Ground, polygons: &MultiPolygon<f64>) {
    for polygon in polygons {
        for ring in std::iter::once(polygon.exterior()).chain(polygon.interiors()) {
            // The last place of a ring repeats the first.
            let open = ring.0.iter().skip(1).map(|at| Point { x_m: at.x, y_m: at.y });
            ground.write_ring(&mut page.out, open);
        }
    }
}

/// Draws what the marks mean, from `y` downwards, and returns the y below.
pub(super) fn draw_key(
    page: &mut Page,
    units: UnitSystem,
    partition: &Partition,
    summary: &Summary,
    y: f64,
) -> f64 {
    // As far from the row above as rows are from one another.
    let mut base = y + 4.0;
    if !partition.keep_out.0.is_empty() {
        page.put(&format!(
            "<rect x=\"{COLUMN:.1}\" y=\"{:.1}\" width=\"{SWATCH}\" height=\"14\" \
             fill=\"url(#kept-out)\" stroke=\"{INK}\" stroke-width=\"0.8\"/>",
            base - 2.0
        ));
        let area = &summary.keep_out_area;
        base = draw_row_words(page, &format!("Kept out, {:.2} {}", area.value, area.unit), base);
    }
    let overridden = partition.regions.iter().filter(|region| !region.overrides.is_empty());
    let area: Area = overridden.map(|region| region.area).sum();
    if area > Area::ZERO {
        let area = units.area(area);
        page.put(&format!(
            "<path d=\"M{COLUMN:.1} {:.1}h{SWATCH}\" stroke=\"{INK}\" stroke-width=\"1.6\" \
             stroke-dasharray=\"{} {}\"/>",
            base + 5.0,
            DASHES[0],
            DASHES[1]
        ));
        let words = format!("Rate overridden, {:.2} {}", area.value, area.unit);
        base = draw_row_words(page, &words, base);
    }
    // Where nothing is marked, what follows stays where it is.
    if base > y + 4.0 { base } else { y }
}
