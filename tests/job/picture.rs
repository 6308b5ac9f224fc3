//! `map.svg`, read back: it is well-formed, each rate lies where the rate map has it and covers
//! what the summary says, and the samples stand at their places.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use limewright::field::{Frame, LonLat};

use super::support::{Ground, JOB, Job, Outcome, Sample, assert_near, limewright, root};

/// What a drawn area may be off by for each metre of its outline: corners are rounded to 0.1 m, so
/// an edge moves by 0.05 m at the most, and edges of a grid move both ways. One cell of the sample
/// field forgotten is more than this.
const AREA_TOLERANCE_M: f64 = 0.02;

/// One element of an SVG file.
#[derive(Debug)]
struct Element {
    name: String,
    attributes: BTreeMap<String, String>,
    /// The text right inside it, entities resolved.
    text: String,
}

impl Element {
    fn number(&self, name: &str) -> f64 {
        self.attributes[name].parse().unwrap()
    }
}

/// Reads the small part of XML that a picture is written in, and fails on anything that is not
/// well-formed.
fn read_xml(xml: &str) -> Vec<Element> {
    let mut elements: Vec<Element> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut rest = xml;
    let mut roots = 0;
    while let Some(at) = rest.find('<') {
        let text = resolved(&rest[..at]);
        match open.last() {
            Some(&inner) => elements[inner].text.push_str(&text),
            None => assert!(text.trim().is_empty(), "text outside the root: {text}"),
        }
        let end = rest.find('>').expect("a tag that ends");
        let tag = &rest[at + 1..end];
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let inner = open.pop().expect("an open element");
            assert_eq!(elements[inner].name, name, "elements close in order");
            continue;
        }
        let (tag, closed) = tag.strip_suffix('/').map_or((tag, false), |tag| (tag, true));
        roots += usize::from(open.is_empty());
        let (name, attributes) = tag.split_once(' ').unwrap_or((tag, ""));
        assert!(name.chars().all(|c| c.is_ascii_alphanumeric()), "a name: {name}");
        if !closed {
            open.push(elements.len());
        }
        elements.push(Element {
            name: name.to_owned(),
            attributes: read_attributes(attributes),
            text: String::new(),
        });
    }
    assert!(open.is_empty() && roots == 1 && rest.trim().is_empty(), "one root, closed");
    elements
}

fn read_attributes(text: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let mut rest = text.trim_start();
    while !rest.is_empty() {
        let (name, after) = rest.split_once("=\"").expect("an attribute in quotes");
        assert!(name.chars().all(|c| c.is_ascii_alphanumeric() || c == '-'), "a name: {name}");
        let (value, after) = after.split_once('"').expect("a closing quote");
        assert!(found.insert(name.to_owned(), resolved(value)).is_none(), "{name} twice");
        assert!(after.is_empty() || after.starts_with(' '), "a blank between attributes");
        rest = after.trim_start();
    }
    found
}

fn resolved(text: &str) -> String {
    let mut parts = text.split('&');
    let mut out = parts.next().unwrap().to_owned();
    for part in parts {
        let (entity, after) = part.split_once(';').expect("an entity that ends");
        out.push(match entity {
            "amp" => '&',
            "lt" => '<',
            "gt" => '>',
            "quot" => '"',
            "#39" => '\'',
            _ => panic!("an entity that XML does not know: {entity}"),
        });
        out.push_str(after);
    }
    assert!(out.chars().all(|c| c == '\n' || !c.is_control()), "a control character");
    out
}

/// The rings of a path; y points down.
fn rings_of(path: &str) -> Vec<Vec<[f64; 2]>> {
    path.split_terminator('Z')
        .map(|ring| {
            let ring = ring.strip_prefix('M').expect("a ring begins");
            ring.split('L')
                .map(|at| {
                    let (x, y) = at.split_once(' ').unwrap();
                    [x.parse().unwrap(), y.parse().unwrap()]
                })
                .collect()
        })
        .collect()
}

/// Area and length of the outline, in square metres and metres.
fn measure(rings: &[Vec<[f64; 2]>]) -> (f64, f64) {
    let edges = rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    let (twice, length) = edges.fold((0.0, 0.0), |(twice, length), (a, b)| {
        (twice + a[0] * b[1] - b[0] * a[1], length + (b[0] - a[0]).hypot(b[1] - a[1]))
    });
    // Outer rings run counter-clockwise with y up, so they are negative with y down.
    (-twice / 2.0, length)
}

/// Whether the even-odd rule puts a place inside.
fn holds(rings: &[Vec<[f64; 2]>], [x, y]: [f64; 2]) -> bool {
    let edges = rings.iter().flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)));
    edges
        .filter(|(a, b)| {
            (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])
        })
        .count()
        % 2
        == 1
}

struct Picture {
    svg: String,
    elements: Vec<Element>,
    outcome: Outcome,
}

impl Picture {
    fn read(folder: &Path) -> Self {
        let svg = fs::read_to_string(folder.join("map.svg")).unwrap();
        Self { elements: read_xml(&svg), svg, outcome: Outcome::read(folder) }
    }

    fn of(job: &Job, sets: &[&str]) -> Self {
        job.prescribed(sets);
        Self::read(&job.path("out"))
    }

    fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Element> {
        self.elements.iter().filter(move |element| element.name == name)
    }

    fn texts(&self) -> Vec<&str> {
        self.all("text").map(|element| element.text.as_str()).collect()
    }

    /// Each rate that is drawn, and its rings.
    fn rates(&self) -> Vec<(f64, Vec<Vec<[f64; 2]>>)> {
        self.all("path")
            .filter(|path| path.attributes.contains_key("data-rate"))
            .map(|path| (path.number("data-rate"), rings_of(&path.attributes["d"])))
            .collect()
    }

    /// Fails where the drawn areas are not those of the summary.
    fn check_areas(&self) {
        let m2 = if self.outcome.summary["units"] == "us" { 4_046.856_422_4 } else { 10_000.0 };
        let drawn = self.rates();
        let told = self.outcome.summary["rates"].as_array().unwrap();
        assert_eq!(drawn.len(), told.len());
        for ((rate, rings), told) in drawn.iter().zip(told) {
            assert_eq!(*rate, told["rate"]["value"].as_f64().unwrap());
            let (area, length) = measure(rings);
            let expected = told["area"]["value"].as_f64().unwrap() * m2;
            assert_near(area, expected, AREA_TOLERANCE_M * length, &format!("rate {rate}"));
        }
        let boundary = self
            .all("path")
            .find(|path| path.attributes.get("id").is_some_and(|id| id == "boundary"));
        let (area, length) = measure(&rings_of(&boundary.unwrap().attributes["d"]));
        let expected = self.outcome.value("/area") * m2;
        assert_near(area, expected, AREA_TOLERANCE_M * length, "the field");
    }
}

fn of_sample_job(job: &str) -> Picture {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let output =
        limewright().arg("prescribe").arg(root().join(job)).arg("--out").arg(&out).output();
    assert!(output.unwrap().status.success());
    Picture::read(&out)
}

/// A field of 400 by 300 m whose pH rises from south-west to north-east, unevenly.
fn ground() -> Ground {
    let mut samples = Vec::new();
    for row in 0..5_i32 {
        for column in 0..6_i32 {
            let east_m = f64::from(column * 65 - 163);
            let north_m = f64::from(row * 55 - 109);
            let ph = 5.2 + f64::from(column) * 0.21 + f64::from(row * row) * 0.03;
            samples.push(Sample { east_m, north_m, ph, buffer_ph: Some(ph / 2.0 + 3.5) });
        }
    }
    let mut ground = Ground::square(1.0, samples);
    ground.outline_m = vec![[-200.0, -150.0], [200.0, -150.0], [200.0, 150.0], [-200.0, 150.0]];
    ground
}

#[test]
fn each_rate_covers_what_the_summary_says() {
    for job in [
        "sample_fields/heron_flat/job.toml",
        "sample_fields/linden_bank/job.toml",
        "tests/data/share_alike/real_field/job.toml",
    ] {
        let picture = of_sample_job(job);
        picture.check_areas();
        assert!(picture.svg.len() < 300_000, "{job}: {} bytes", picture.svg.len());
    }
}

#[test]
fn the_legend_names_every_rate_with_area_and_product() {
    let picture = of_sample_job("sample_fields/heron_flat/job.toml");
    let texts = picture.texts();
    let told = picture.outcome.summary["rates"].as_array().unwrap();
    for part in told {
        let row = [&part["rate"], &part["area"], &part["product"]]
            .map(|quantity| format!("{:.2}", quantity["value"].as_f64().unwrap()));
        let found = texts.windows(3).any(|texts| texts == row);
        assert!(found, "{row:?} is no row of {texts:?}");
    }
    for unit in ["ton/ac", "ac", "ton", "64 samples", "N", "500 ft"] {
        assert!(texts.contains(&unit), "{unit}");
    }
    for (name, pointer) in [("Prescribed", "/product_total"), ("To load", "/to_load")] {
        let value = format!("{:.2} ton", picture.outcome.value(pointer));
        assert!(texts.windows(2).any(|pair| pair == [name, &value]), "{name} {value}");
    }
    assert!(texts.contains(&"300.00 short ton"), "an order spells the short ton out");
    assert!(!picture.svg.contains('$'), "the applicator's page carries no prices");
}

#[test]
fn rates_lie_where_the_rate_map_has_them() {
    let ground = ground();
    let picture = Picture::of(&Job::on(&ground), &["grid.cell=10 m"]);
    let rates = picture.rates();
    assert!(rates.len() > 4, "an uneven field: {}", rates.len());
    let frame = Frame::centred_on(ground.at);
    let mut looked = 0;
    for feature in picture.outcome.features() {
        if feature["geometry"]["type"] != "Polygon" {
            continue;
        }
        let ring = feature["geometry"]["coordinates"][0].as_array().unwrap();
        let corners = &ring[1..];
        let middle = |axis: usize| {
            corners.iter().map(|at| at[axis].as_f64().unwrap()).sum::<f64>() / corners.len() as f64
        };
        let at = frame.forward(LonLat { lon_deg: middle(0), lat_deg: middle(1) });
        let rate = feature["properties"]["rate_ton_ac"].as_f64().unwrap();
        for (drawn, rings) in &rates {
            let inside = holds(rings, [at.x_m, -at.y_m]);
            assert_eq!(inside, *drawn == rate, "{at:?}: {rate} in the map, {drawn} in the picture");
        }
        looked += 1;
    }
    assert!(looked > 1_000, "{looked} cells were looked at");
}

#[test]
fn samples_stand_at_their_places() {
    let ground = ground();
    let picture = Picture::of(&Job::on(&ground), &[]);
    let dots: Vec<[f64; 2]> = picture
        .all("circle")
        .filter(|circle| circle.attributes.len() == 3)
        .map(|circle| [circle.number("cx"), circle.number("cy")])
        .collect();
    assert_eq!(dots.len(), ground.samples.len());
    for (dot, sample) in dots.iter().zip(&ground.samples) {
        // Rounded to 0.1 m; the frame's centre is that of the ground within a centimetre or two.
        assert_near(dot[0], sample.east_m, 0.08, "east");
        assert_near(-dot[1], sample.north_m, 0.08, "north");
    }
}

#[test]
fn names_from_the_data_stay_words() {
    let name = "</text><script>alert(1)</script> & \\\"Long\\\" 'Field' \\u001B[2J";
    let job = JOB.replace("[field]\n", &format!("[field]\nname = \"{name}\"\n")).replace(
        "[material]\n",
        &format!("[material]\nname = \"{}\"\n", "Quarry <&> spoil ".repeat(30)),
    );
    let ground = ground();
    let picture = Picture::of(&Job::new(&job, &ground.boundary(), &ground.table()), &[]);
    assert!(picture.all("script").next().is_none());
    let head = picture.texts()[0];
    assert!(head.starts_with("</text><script>") && head.ends_with(": lime prescription"), "{head}");
    let title = picture.all("title").next().unwrap();
    assert!(title.text.starts_with("</text><script>alert(1)</script> & \"Long\" 'Field'"));
    let material = picture.texts().into_iter().find(|text| text.starts_with("Quarry <&>")).unwrap();
    assert!(material.ends_with("\u{2026}, rates as spread (wet)"), "{material}");
    assert!(material.chars().count() < 140, "{material}");
}

#[test]
fn it_asks_for_nothing_from_outside() {
    let picture = of_sample_job("sample_fields/linden_bank/job.toml");
    for element in &picture.elements {
        assert!(
            ["svg", "title", "defs", "pattern", "g", "path", "rect", "circle", "text"]
                .contains(&element.name.as_str())
        );
        for (name, value) in &element.attributes {
            assert!(!name.contains("href") && !name.starts_with("on"), "{name}");
            assert!(name == "xmlns" || !value.contains("//"), "{value}");
            assert!(!value.contains("url(") || value.starts_with("url(#nothing"), "{value}");
        }
    }
}

#[test]
fn many_rates_share_rows_and_shades() {
    let picture = Picture::of(&Job::on(&ground()), &["grid.cell=5 m", "spreader.step=0.02 ton/ac"]);
    picture.check_areas();
    let drawn = picture.rates();
    assert!(drawn.len() > 40, "{}", drawn.len());
    let rows: Vec<[f64; 2]> = picture
        .texts()
        .into_iter()
        .filter_map(|text| {
            let (least, greatest) = text.split_once(" \u{2013} ")?;
            Some([least.parse().unwrap(), greatest.parse().unwrap()])
        })
        .collect();
    assert!((5..=10).contains(&rows.len()), "{rows:?}");
    for (rate, _) in drawn.iter().filter(|(rate, _)| *rate > 0.0) {
        let held = rows.iter().filter(|row| row[0] - 1e-9 <= *rate && *rate <= row[1] + 1e-9);
        assert_eq!(held.count(), 1, "{rate} in {rows:?}");
    }
}

#[test]
fn a_field_in_parts_with_a_hole_is_drawn_whole() {
    let job = JOB.replace("pass_spacing = \"40 m\"", "pass_spacing = \"20 m\"");
    let ring = |west: f64, south: f64, side: f64| {
        let (east, north) = (west + side, south + side);
        format!(
            "[[{west},{south}],[{east},{south}],[{east},{north}],[{west},{north}],[{west},{south}]]"
        )
    };
    let boundary = format!(
        "{{\"type\":\"MultiPolygon\",\"coordinates\":[[{},{}],[{}]]}}",
        ring(-93.204, 42.0, 0.003),
        ring(-93.203, 42.001, 0.001),
        ring(-93.2, 42.001, 0.002)
    );
    let samples = "id,lon,lat,pH,BpH\nA,-93.2035,42.0005,5.1,6.1\nB,-93.1995,42.002,6.0,6.6\n";
    let picture = Picture::of(&Job::new(&job, &boundary, samples), &[]);
    picture.check_areas();
    let outline = picture
        .all("path")
        .find(|path| path.attributes.get("id").is_some_and(|id| id == "boundary"));
    assert_eq!(rings_of(&outline.unwrap().attributes["d"]).len(), 3);
    assert!(picture.texts().contains(&"2 samples"));
}

#[test]
fn one_rate_makes_a_picture_too() {
    let sample = |ph| Sample { east_m: 0.0, north_m: 0.0, ph, buffer_ph: Some(6.4) };
    for (ph, rows) in [(5.5, 1), (7.0, 1)] {
        let picture = Picture::of(&Job::on(&Ground::square(200.0, vec![sample(ph)])), &[]);
        picture.check_areas();
        assert_eq!(picture.rates().len(), rows);
        assert!(picture.texts().contains(&"1 sample"));
    }
}
