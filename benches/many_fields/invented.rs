//! Invented fields: each number gives another outline, soil and samples, the same each time.

use std::fmt::Write as _;
use std::fs;
use std::path::{Path, PathBuf};

use proj::Proj;

const M2_PER_ACRE: f64 = 4_046.856_422_4;
const SAMPLES: usize = 64;
/// A degree of latitude on the ground, near enough for places that are invented.
const M_PER_DEGREE: f64 = 111_132.0;

const JOB: &str = r#"units = "us"

[field]
name = "NAME"
boundary = "boundary.geojson"

[dates]
sampled = 2026-09-18
spread = 2026-10-20

[samples]
file = "samples.csv"
key = "sample_id"
sampled_depth = "0-6 in"
ph_measured_in = "water 1:1"
buffer = "smp"
buffer_blank_above = 6.5

[target]
ph = 6.5

[need]
method = "smp-iowa"
limed_depth = "6 in"
placement = "tilled"

[grid]
cell = "10 m"

[material]
name = "Pit 4 calcitic"
kind = "calcitic limestone"
effective = "60 % as received"
bulk_density = "90 lb/ft3"
price = "14 $/ton"
price_at = "plant"

[spreader]
min_rate = "1 ton/ac"
max_rate = "4 ton/ac"
step = "0.25 ton/ac"
pass_spacing = "40 ft"
payload = "16 ton"
box_volume = "450 ft3"

[haul]
one_way_distance = "42 mi"
truck_payload = "25 ton"
cost = "0.25 $/ton-mile"
"#;

type Place = [f64; 2];

/// The folder of a field in the folder of all.
pub(crate) fn folder_of(all: &Path, number: usize) -> PathBuf {
    all.join(format!("field_{number:04}"))
}

/// Writes the job of a field and its data, in degrees or in `system`.
pub(crate) fn write_field(all: &Path, number: usize, system: Option<&str>) {
    let folder = folder_of(all, number);
    fs::create_dir_all(&folder).expect("a folder");
    let mut random = Random(number as u64);
    let rings = outline(&mut random, number);
    let sites = sites(&rings, &mut random);
    let centre = [random.between(-96.0, -90.5), random.between(41.0, 43.0)];
    let proj =
        system.map(|system| Proj::new_known_crs("EPSG:4326", system, None).expect("is known"));
    let place = |[x, y]: Place| {
        let lat = centre[1] + y / M_PER_DEGREE;
        let lon = centre[0] + x / (M_PER_DEGREE * centre[1].to_radians().cos());
        match &proj {
            Some(proj) => proj.convert((lon, lat)).map(|(x, y)| format!("{x:.3},{y:.3}")),
            None => Ok(format!("{lon:.7},{lat:.7}")),
        }
        .expect("it lies there")
    };
    let mut job = JOB.replace("NAME", &format!("Field {number}"));
    if let Some(system) = system {
        let with = format!("[samples]\ncoordinate_system = \"{system}\"");
        job = job.replace("[samples]", &with);
        let with = format!("boundary.geojson\"\ncoordinate_system = \"{system}\"");
        job = job.replace("boundary.geojson\"", &with);
    }
    write(&folder, "job.toml", &job);
    let rings: Vec<String> = rings
        .iter()
        .map(|ring| {
            let ring: Vec<String> =
                ring.iter().chain(&ring[..1]).map(|&at| format!("[{}]", place(at))).collect();
            format!("[{}]", ring.join(","))
        })
        .collect();
    let boundary = format!(
        "{{\"type\":\"Feature\",\"properties\":{{}},\"geometry\":{{\"type\":\"Polygon\",\
         \"coordinates\":[{}]}}}}\n",
        rings.join(",")
    );
    write(&folder, "boundary.geojson", &boundary);
    let header = if system.is_some() { "easting,northing" } else { "lon,lat" };
    let mut table = format!("sample_id,{header},pH,BpH\n");
    let (turn, mean) = (random.between(0.0, 6.0), random.between(5.6, 6.3));
    for (index, &site) in sites.iter().enumerate() {
        let across = site[0] * turn.cos() + site[1] * turn.sin();
        let ph = mean + 0.6 * (across / 180.0).sin() + 0.3 * (site[1] / 90.0).cos();
        let ph = (ph + 0.15 * random.noise()).clamp(4.7, 7.1);
        let buffer = (6.88 - 0.54 * (6.5 - ph) + 0.05 * random.noise()).clamp(5.9, 6.9);
        let buffer = if ph > 6.5 { String::new() } else { format!("{buffer:.2}") };
        let _ = writeln!(table, "S-{:02},{},{ph:.1},{buffer}", index + 1, place(site));
    }
    write(&folder, "samples.csv", &table);
}

fn write(folder: &Path, name: &str, text: &str) {
    fs::write(folder.join(name), text).expect("it can be written");
}

/// Rings in metres: a round field with many corners, a square one, one with a corner cut out, and
/// a round one with a pond; every one turned as it lies.
fn outline(random: &mut Random, number: usize) -> Vec<Vec<Place>> {
    let (turn, long) = (random.between(0.0, 1.5), random.between(1.0, 1.6));
    let round = |random: &mut Random, corners: usize, radius: f64| -> Vec<Place> {
        let ray = |at: usize| {
            let angle = at as f64 / corners as f64 * std::f64::consts::TAU;
            let far = radius * random.between(0.88, 1.12);
            [far * angle.cos(), far * angle.sin()]
        };
        (0..corners).map(ray).collect()
    };
    let mut rings = match number % 4 {
        0 => vec![round(random, 28, 1.0)],
        1 => vec![vec![[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]],
        2 => vec![vec![[-1.0, -1.0], [1.0, -1.0], [1.0, 0.2], [0.3, 0.4], [0.2, 1.0], [-1.0, 1.0]]],
        _ => vec![round(random, 40, 1.0), round(random, 9, 0.12)],
    };
    let net = rings.iter().enumerate().map(|(hole, ring)| {
        let area = long * area_of(ring).abs();
        if hole > 0 { -area } else { area }
    });
    let wanted = random.between(80.0, 160.0) * M2_PER_ACRE;
    let scale = (wanted / net.sum::<f64>()).sqrt();
    for place in rings.iter_mut().flatten() {
        let [x, y] = [place[0] * long * scale, place[1] * scale];
        *place = [x * turn.cos() - y * turn.sin(), x * turn.sin() + y * turn.cos()];
    }
    rings
}

/// The places of the samples: a grid that is not quite even, made closer until it has as many.
fn sites(rings: &[Vec<Place>], random: &mut Random) -> Vec<Place> {
    let reach = rings[0].iter().flatten().fold(0.0_f64, |reach, at| reach.max(at.abs()));
    let mut spacing = reach;
    loop {
        let steps = (reach / spacing).ceil() as i32;
        let mut sites = Vec::new();
        for row in -steps..=steps {
            for column in -steps..=steps {
                let aside = [random.between(-0.2, 0.2), random.between(-0.2, 0.2)];
                let site = [
                    (f64::from(column) + aside[0]) * spacing,
                    (f64::from(row) + aside[1]) * spacing,
                ];
                if rings.iter().filter(|ring| is_inside(site, ring)).count() == 1 {
                    sites.push(site);
                }
            }
        }
        if sites.len() >= SAMPLES {
            let count = sites.len();
            return (0..SAMPLES).map(|at| sites[at * count / SAMPLES]).collect();
        }
        spacing *= 0.98;
    }
}

fn area_of(ring: &[Place]) -> f64 {
    let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
    pairs.map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
}

fn is_inside([x, y]: Place, ring: &[Place]) -> bool {
    let pairs = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossed = pairs.filter(|(a, b)| {
        (a[1] > y) != (b[1] > y) && x < a[0] + (y - a[1]) * (b[0] - a[0]) / (b[1] - a[1])
    });
    crossed.count() % 2 == 1
}

/// Random numbers: the generator `SplitMix64`.
struct Random(u64);

impl Random {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        bits ^= bits >> 31;
        low + (high - low) * (bits >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A bell-shaped number, with a spread of 1.
    fn noise(&mut self) -> f64 {
        (0..12).map(|_| self.between(-0.5, 0.5)).sum()
    }
}
