//! Areas of one rate on the map: their outlines, and the rate of each that has room for it.

use geo::{Distance as _, Euclidean, InteriorPoint as _, LineString, Polygon};

use super::Picture;
use super::ground::{Ground, Tenths};
use super::legend::decimals_of;
use super::page::{INK, Page};
use crate::field::{Cells, PieceRings, Point};
use crate::prescription::{RateArea, RateAreas};

/// The size of the numbers in pixels.
const SIZE: f64 = 13.0;
/// A number is drawn where its middle lies so far inside its area, in pixels.
const ROOM: f64 = 9.0;

/// Draws a line around every area; a border between two is drawn once for each.
pub(super) fn draw_outlines(page: &mut Page, cells: &Cells, areas: &RateAreas, ground: &Ground) {
    let head = format!(
        "<path id=\"rate-areas\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"{}\" d=\"",
        ground.metres(0.7)
    );
    page.out.push_str(&head);
    for piece in areas.list.iter().flat_map(|area| &area.shape) {
        for ring in piece.rings() {
            let points = ring.iter().map(|&vertex| cells.vertices[vertex as usize].point);
            ground.write_ring(&mut page.out, points);
        }
    }
    page.put("\"/>");
}

/// Writes the rate of every area that has room for it, dark on a light rim.
pub(super) fn draw_rates(
    page: &mut Page,
    picture: &Picture<'_>,
    areas: &RateAreas,
    ground: &Ground,
) {
    let rates = &picture.prescription.rates;
    let places = decimals_of(&picture.summary.rates);
    page.put(&format!(
        "<g id=\"rates-of-areas\" font-size=\"{}\" font-weight=\"bold\" text-anchor=\"middle\" \
         fill=\"{INK}\" stroke=\"#ffffff\" stroke-width=\"{}\" paint-order=\"stroke\">",
        ground.metres(SIZE),
        ground.metres(3.0)
    ));
    for area in &areas.list {
        let Some(at) = place_of(picture.cells, area, ground) else { continue };
        // Every rate of an area is among the totals, which rise as those of the summary.
        let rate = rates.partition_point(|total| total.rate < area.rate);
        let Some(part) = picture.summary.rates.get(rate) else { continue };
        let base = Point { y_m: at.y_m - SIZE * 0.35 / ground.scale, ..at };
        page.out.push_str("<text ");
        Tenths::of(base).write_place(&mut page.out);
        page.put(&format!(">{:.places$}</text>", part.rate.value));
    }
    page.put("</g>");
}

/// Where a number stands in the largest polygon of an area; `None` where it has no room there.
fn place_of(cells: &Cells, area: &RateArea, ground: &Ground) -> Option<Point> {
    let line = |ring: &[u32]| -> LineString<f64> {
        ring.iter().map(|&at| cells.vertices[at as usize].point.to_coord()).collect()
    };
    let polygon = |piece: &PieceRings| {
        Polygon::new(line(&piece.outer), piece.holes.iter().map(|hole| line(hole)).collect())
    };
    let polygons = area.shape.iter().map(polygon);
    let largest = polygons
        .max_by(|a, b| geo::Area::unsigned_area(a).total_cmp(&geo::Area::unsigned_area(b)))?;
    let inside = largest.interior_point()?;
    let at = Point { x_m: inside.x(), y_m: inside.y() };
    let rings = std::iter::once(largest.exterior()).chain(largest.interiors());
    let away_m = rings
        .flat_map(LineString::lines)
        .map(|edge| Euclidean.distance(&inside, &edge))
        .fold(f64::INFINITY, f64::min);
    (away_m * ground.scale >= ROOM).then_some(at)
}
