//! The picture of the rates: `map.svg`, one page with map, legend, scale and totals. It asks for
//! nothing from outside itself, runs nothing, and carries no prices.

mod areas;
mod driver;
mod ground;
mod legend;
mod marks;
mod page;
mod patches;
mod scale_bar;
mod shades;
mod side_by_side;
mod text;

use crate::field::{Cells, Field, Partition, Point};
use crate::prescription::{Prescription, RateAreas};
use crate::summary::{Quantity, RatePart, Summary};
use crate::units::UnitSystem;
pub(super) use driver::driver_map;
use ground::{Ground, Tenths};
use legend::fill_of;
use page::{COLUMN, From, INK, LABEL, LINE, MARGIN, PLAIN, Page, RIGHT, Type, WIDTH};
pub use patches::RateOutlines;
use shades::{Shade, shades_of};
pub(super) use side_by_side::{Drawing, draw_side_by_side};
pub(in crate::outputs) use text::escaped;

/// What a picture of the rates is made from, all of one field.
#[derive(Debug)]
pub struct Picture<'a> {
    /// The units that the summary is written in.
    pub units: UnitSystem,
    /// The finished result.
    pub summary: &'a Summary,
    /// The field.
    pub field: &'a Field,
    /// Its regions.
    pub partition: &'a Partition,
    /// Its cells.
    pub cells: &'a Cells,
    /// What each of them gets.
    pub prescription: &'a Prescription,
    /// The outlines of its rates, made once for all pictures of it.
    pub outlines: &'a RateOutlines,
    /// Areas of one rate, where the job asks for them.
    pub areas: Option<&'a RateAreas>,
    /// Where the samples were taken.
    pub samples: &'a [Point],
}

/// Where the map and the column beside it begin, below the head of the page.
const HEAD: f64 = 160.0;
/// The radius of a sample's dot in pixels where there is room for it, and the least that is seen.
const DOT: f64 = 2.8;
const LEAST_DOT: f64 = 1.0;
/// More dots than this would hide the map and are left out.
const MOST_DOTS: usize = 5_000;

/// The rates of a field as an SVG image of one page, north up.
///
/// Coordinates within the map are metres in the field's frame, to 0.1 m, y downwards. Cells of one
/// rate are one path, whose attribute `data-rate` is the rate in the units of the summary.
pub fn map_svg(picture: &Picture<'_>) -> String {
    let Picture { units, summary, field, partition, .. } = picture;
    let shades = shades_of(&summary.rates);
    let ground = Ground::around(field);
    let dots = Dots::of(picture, &ground);
    let mut page = Page::default();
    draw_head(&mut page, summary);
    let drawn = Drawn { rates: &summary.rates, shades: &shades, area_rates: true };
    draw_map(&mut page, [MARGIN, HEAD], picture, &drawn, &ground, &dots);
    let below_legend = legend::draw(&mut page, summary, &shades, HEAD);
    let radius = (!dots.shown.is_empty()).then_some(dots.radius);
    let below_key = legend::draw_key(&mut page, &dots.words, radius, below_legend);
    let below_key = marks::draw_key(&mut page, *units, partition, summary, below_key);
    let below = scale_bar::draw(&mut page, *units, ground.scale, COLUMN, RIGHT, below_key + 8.0);
    let below = legend::draw_caveat(&mut page, summary, below);
    let height = below.max(HEAD + ground.height()) + MARGIN;
    let title = escaped(&format!("{}: lime prescription", summary.field.name));
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH:.0} {height:.0}\" \
         width=\"{WIDTH:.0}\" height=\"{height:.0}\" role=\"img\" \
         font-family=\"Helvetica, Arial, sans-serif\">\n<title>{title}</title>\n<defs>\n"
    );
    for (name, scale) in [("nothing", 1.0), ("nothing-on-the-map", 1.0 / ground.scale)] {
        svg.push_str(&hatching(name, scale));
    }
    for (name, scale) in [("kept-out", 1.0), ("kept-out-on-the-map", 1.0 / ground.scale)] {
        svg.push_str(&marks::pattern(partition, name, scale));
    }
    svg.push_str("</defs>\n<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n");
    svg.push_str(&page.out);
    svg.push_str("</svg>\n");
    svg
}

/// Thin slanting lines on white, `scale` units a pixel.
fn hatching(name: &str, scale: f64) -> String {
    format!(
        "<pattern id=\"{name}\" width=\"6\" height=\"6\" patternUnits=\"userSpaceOnUse\" \
         patternTransform=\"scale({scale:.6}) rotate(45)\"><rect width=\"6\" height=\"6\" \
         fill=\"#ffffff\"/><path d=\"M0 0V6\" stroke=\"#c4c4c4\" stroke-width=\"1.6\"/></pattern>\n"
    )
}

/// Name, material, and the totals: the answer first.
fn draw_head(page: &mut Page, summary: &Summary) {
    let room = RIGHT - MARGIN;
    let look = Type { size: 22.0, bold: true, colour: INK };
    // What is said of a name stays, however long the name is.
    let name = text::cut(&summary.field.name, look.size, look.bold, room - 320.0);
    let title = format!("{name}: lime prescription");
    page.text([MARGIN, 44.0], From::Left, look, &title);
    let material = &summary.material;
    let kind = if material.name == material.kind {
        String::new()
    } else {
        format!(" ({})", material.kind)
    };
    let spread = ", rates as spread (wet)";
    let words = text::cut(&format!("{}{kind}", material.name), PLAIN.size, false, room - 210.0);
    page.text([MARGIN, 68.0], From::Left, PLAIN, &format!("{words}{spread}"));
    page.level(MARGIN, RIGHT, 84.0);
    // On an order the short ton is spelled out, whoever reads it.
    let order = &summary.to_order;
    let order_unit = if order.unit == "ton" { "short ton" } else { &order.unit };
    let totals = [
        ("Field", amount(&summary.area, 2)),
        ("Treated", amount(&summary.treated_area, 2)),
        ("Prescribed", amount(&summary.product_total, 2)),
        ("To load", amount(&summary.to_load, 2)),
        ("To order", format!("{:.2} {order_unit}", order.value)),
        ("Mean rate", amount(&summary.mean_rate, 3)),
    ];
    let each = room / totals.len() as f64;
    let bold = Type { bold: true, ..PLAIN };
    for (index, (name, value)) in totals.iter().enumerate() {
        let x = MARGIN + each * index as f64;
        page.text([x, 104.0], From::Left, LABEL, name);
        page.text([x, 123.0], From::Left, bold, value);
    }
    page.level(MARGIN, RIGHT, 136.0);
}

fn amount(quantity: &Quantity, places: usize) -> String {
    format!("{:.places$} {}", quantity.value, quantity.unit)
}

/// The samples as dots.
struct Dots {
    shown: Vec<Tenths>,
    radius: f64,
    words: String,
}

impl Dots {
    /// A map without samples.
    fn none() -> Self {
        Self { shown: Vec::new(), radius: 0.0, words: String::new() }
    }

    fn of(picture: &Picture<'_>, ground: &Ground) -> Self {
        let all = picture.samples;
        let near: Vec<Tenths> = all
            .iter()
            .filter(|&&point| ground.shows(point))
            .map(|&point| Tenths::of(point))
            .collect();
        let (count, on_map) = (all.len(), near.len());
        let plural = if count == 1 { "" } else { "s" };
        let (shown, words) = if on_map > MOST_DOTS {
            (Vec::new(), format!("{count} samples, not drawn"))
        } else if on_map < count {
            (near, format!("{on_map} of {count} sample{plural} lie here"))
        } else {
            (near, format!("{count} sample{plural}"))
        };
        // A dot takes a sixth of the way between two samples at the most.
        let area_m2 = picture.field.area().to_square_metres();
        let apart = (area_m2 / shown.len().max(1) as f64).sqrt() * ground.scale;
        Self { shown, radius: (apart / 12.0).clamp(LEAST_DOT, DOT), words }
    }
}

/// What of a prescription is drawn on a map.
struct Drawn<'a> {
    /// Its rates.
    rates: &'a [RatePart],
    /// The shade of each rate.
    shades: &'a [Shade],
    /// Whether areas of one rate have their rates written into them.
    area_rates: bool,
}

/// The rates, the outline of the field, and the samples.
fn draw_map(
    page: &mut Page,
    corner: [f64; 2],
    picture: &Picture<'_>,
    drawn: &Drawn<'_>,
    ground: &Ground,
    dots: &Dots,
) {
    let Picture { field, partition, cells, .. } = picture;
    let [x, y] = ground.origin();
    page.put(&format!(
        "<g id=\"map\" transform=\"translate({:.2} {:.2}) scale({:.6})\" \
         stroke-linejoin=\"round\" fill-rule=\"evenodd\">",
        x + corner[0],
        y + corner[1],
        ground.scale
    ));
    // A path has a thin line of its own colour, so that no white shows between two rates.
    page.put(&format!("<g id=\"rates\" stroke-width=\"{}\">", ground.metres(0.5)));
    for shade in drawn.shades {
        let fill = fill_of(shade, "nothing-on-the-map");
        let stroke = if shade.colour.is_some() { &fill } else { LINE };
        for at in shade.rates.clone() {
            let rate = drawn.rates[at].rate.value;
            let head =
                format!("<path data-rate=\"{rate}\" fill=\"{fill}\" stroke=\"{stroke}\" d=\"");
            page.out.push_str(&head);
            for ring in &picture.outlines.0[at] {
                let points = ring.iter().map(|&vertex| cells.vertices[vertex as usize].point);
                ground.write_ring(&mut page.out, points);
            }
            page.put("\"/>");
        }
    }
    page.put("</g>");
    if let Some(areas) = picture.areas {
        areas::draw_outlines(page, cells, areas, ground);
    }
    marks::draw(page, partition, ground);
    let head = format!(
        "<path id=\"boundary\" fill=\"none\" stroke=\"{INK}\" stroke-width=\"{}\" d=\"",
        ground.metres(1.6)
    );
    page.out.push_str(&head);
    for polygon in field.boundary() {
        for ring in std::iter::once(polygon.exterior()).chain(polygon.interiors()) {
            // The last place of a ring repeats the first.
            let open = ring.0.iter().skip(1).map(|at| Point { x_m: at.x, y_m: at.y });
            ground.write_ring(&mut page.out, open);
        }
    }
    page.put("\"/>");
    page.put(&format!(
        "<g id=\"samples\" fill=\"#ffffff\" stroke=\"{INK}\" stroke-width=\"{}\">",
        ground.metres(1.0)
    ));
    let radius = ground.metres(dots.radius);
    for dot in &dots.shown {
        page.out.push_str("<circle ");
        dot.write_centre(&mut page.out);
        page.put(&format!(" r=\"{radius}\"/>"));
    }
    page.put("</g>");
    if let Some(areas) = picture.areas.filter(|_| drawn.area_rates) {
        areas::draw_rates(page, picture, areas, ground);
    }
    page.put("</g>");
}
