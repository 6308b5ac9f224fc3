//! Jobs that lime to a base or an aluminium saturation: a field of four cells, by hand.
//!
//! A square of 80 m, cells of 40 m, one sample in the middle of each cell, in metric units. The
//! material is of PRNT 80: 80 % effective. The spreader holds 0.5 to 10 t/ha in steps of 0.1.

use super::support::{Ground, JOB, Job, assert_near};

/// South-west, south-east, north-west, north-east: metres from the middle.
const PLACES: [[f64; 2]; 4] = [[-20.0, -20.0], [20.0, -20.0], [-20.0, 20.0], [20.0, 20.0]];
const HECTARES: f64 = 0.16;

fn ground() -> Ground {
    Ground::square(80.0, Vec::new())
}

fn table(header: &str, values: [&str; 4]) -> String {
    let ground = ground();
    let row = |(at, values): (usize, &str)| {
        let [east, north] = PLACES[at];
        let place = ground.degrees(east, north);
        format!("S{at},{},{},{values}\n", place.lon_deg, place.lat_deg)
    };
    let rows: Vec<String> = values.into_iter().enumerate().map(row).collect();
    format!("sample_id,lon,lat,{header}\n{}", rows.concat())
}

/// The job with this method and target, and `samples` in place of its buffer.
fn job(method: &str, target: &str, samples: &str) -> String {
    let pairs = [
        ("units = \"us\"", "units = \"metric\""),
        ("0-6 in", "0-20 cm"),
        ("limed_depth = \"6 in\"", "limed_depth = \"20 cm\""),
        ("buffer = \"smp\"\nbuffer_blank_above = 6.5", samples),
        ("ph = 6.5\n", &format!("{target}\n")),
        ("smp-iowa", method),
        ("50 % as received", "80 % as received"),
        ("\"1 ton/ac\"", "\"0.5 t/ha\""),
        ("\"3 ton/ac\"", "\"10 t/ha\""),
        ("\"0.5 ton/ac\"", "\"0.1 t/ha\""),
        ("\"16 ton\"", "\"15 t\""),
    ];
    pairs.into_iter().fold(JOB.to_owned(), |job, (from, to)| {
        assert!(job.contains(from), "{from}");
        job.replace(from, to)
    })
}

fn made(job: &str, samples: &str) -> Job {
    Job::new(job, &ground().boundary(), samples)
}

/// Needs and rates of the four cells, in the order of `PLACES`, t/ha.
fn cells(outcome: &super::support::Outcome) -> ([f64; 4], [f64; 4]) {
    let mut found = [(0.0, 0.0); 4];
    assert_eq!(outcome.features().len(), 4);
    for feature in outcome.features() {
        let ring = feature["geometry"]["coordinates"][0].as_array().unwrap();
        let middle = |axis: usize| -> f64 {
            let sum: f64 = ring[1..].iter().map(|at| at[axis].as_f64().unwrap()).sum();
            sum / (ring.len() - 1) as f64
        };
        let at = usize::from(middle(0) > -93.2) + 2 * usize::from(middle(1) > 42.0);
        let number = |key: &str| feature["properties"][key].as_f64().unwrap();
        found[at] = (number("need_t_ha"), number("rate_t_ha"));
    }
    (found.map(|cell| cell.0), found.map(|cell| cell.1))
}

fn assert_cells(outcome: &super::support::Outcome, needs: [f64; 4], rates: [f64; 4]) {
    let (found_needs, found_rates) = cells(outcome);
    for at in 0..4 {
        assert_near(found_needs[at], needs[at], 1e-4, &format!("need of cell {at}"));
        assert_near(found_rates[at], rates[at], 1e-9, &format!("rate of cell {at}"));
    }
    let total = needs.iter().sum::<f64>() * HECTARES;
    assert_near(outcome.value("/need_total"), total, 1e-4, "need of the field");
}

fn plain(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).split_whitespace().collect::<Vec<_>>().join(" ")
}

fn explained(job: &Job, east: f64, north: f64) -> String {
    let place = ground().degrees(east, north);
    let at = format!("--at={},{}", place.lon_deg, place.lat_deg);
    let output = job.run(&["explain", "job.toml", &at]);
    assert!(output.status.success(), "{}", plain(&output.stderr));
    plain(&output.stdout)
}

const BASES: &str = "Ca (cmolc/dm3),Mg (cmolc/dm3),K (cmolc/dm3)";
const TO_BASES: &str = "base_saturation = \"60 %\"";

/// | cell | Ca | Mg | K | H+Al | T | V | (60 - V) T / 100 | / 0.8 | rate |
/// | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
/// | south-west | 0.9 | 0.4 | 0.2 | 4.3 | 5.8 | 26 | 1.98 | 2.475 | 2.5 |
/// | south-east | 0.2 | 0.2 | 0.06 | 5.0 | 5.46 | 8.42 | 2.816 | 3.52 | 3.5 |
/// | north-west | 3.0 | 1.0 | 0.2 | 2.0 | 6.2 | 68 | 0 | 0 | 0 |
/// | north-east | 1.5 | 0.6 | 0.1 | 2.3 | 4.5 | 49 | 0.5 | 0.625 | 0.6 |
///
/// The south-east is the worked example of a web page on the method (Brazil, 2010): V 8.42, T 5.46,
/// PRNT 80, 3.5 t/ha.
fn measured() -> (String, String) {
    let rows = [
        "4.6,0.9,0.4,0.2,4.3",
        "4.4,0.2,0.2,0.06,5.0",
        "5.9,3.0,1.0,0.2,2.0",
        "5.2,1.5,0.6,0.1,2.3",
    ];
    let table = table(&format!("pH,{BASES},H+Al (cmolc/dm3)"), rows);
    (job("base-saturation-brazil", TO_BASES, ""), table)
}

const NEEDS: [f64; 4] = [1.98, 2.816, 0.0, 0.5];
const RATES: [f64; 4] = [2.5, 3.5, 0.0, 0.6];

#[test]
fn bases_are_brought_to_their_share_of_the_capacity() {
    let (job, table) = measured();
    let run = made(&job, &table);
    let outcome = run.prescribed(&[]);
    assert_cells(&outcome, NEEDS, RATES);
    // Means: bases 1.4 + 0.55 + 0.14, H+Al 3.4; 0.6 x 5.49 - 2.09 = 1.204; / 0.8 = 1.505.
    assert_near(outcome.value("/flat_rate/composite/rate"), 1.5, 1e-9, "composite");
    let method = &outcome.summary["method"];
    assert_eq!(method["target"], "60 % base saturation");
    assert!(method["target_ph"].is_null() && method["treat_below"].is_null(), "{method}");
    assert_eq!(
        (&method["ph_medium"], &method["table_depth"]),
        (&"water 1:1".into(), &"20 cm".into())
    );
    assert_eq!(outcome.summary["soil"]["potential_acidity"]["measured_in"], "cmol/dm3");
    // 0.1 cmol/dm3 more of H+Al is 0.06 t/ha more lime, on the three cells that need some.
    assert_eq!(outcome.summary["sensitivity"]["reading"], "potential_acidity");
    assert_near(outcome.value("/sensitivity/step"), 0.1, 1e-12, "step");
    assert_eq!(outcome.summary["sensitivity"]["step"]["unit"], "cmol/dm3");
    assert_near(outcome.value("/sensitivity/need_per_tenth"), 0.06, 1e-6, "need per step");
    assert!(outcome.finding("charges_by_density").is_none());
    let said = plain(&run.run(&["prescribe", "job.toml"]).stdout);
    assert!(
        said.contains("To 60 % base saturation; material basis of the table: 100 % CCE"),
        "{said}"
    );
    // No pH decides the need, so it has no trigger and its errors do not count.
    assert!(!said.contains("trigger"), "{said}");
    let off =
        "Each is off by chance: calcium (repeatability in the laboratory not known, left out)";
    assert!(said.contains(off) || said.contains("How sure the totals are is not told"), "{said}");
    let said = explained(&run, -20.0, -20.0);
    for part in [
        "Ca + Mg + K + (H + Al) = 0.9 + 0.4 + 0.2 + 4.3 = 5.8 cmol/dm3",
        "1.98 t/ha",
        "from the method's printed numbers",
        "web page on agronomy, Brazil, 2010",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let said = explained(&run, -20.0, 20.0);
    assert!(said.contains("the target is reached: nothing is needed"), "{said}");
    // Ground that reads as high as the job says is left alone, by the pH as it was read.
    let held = made(&job, &table).prescribed(&["target.treat_below=5.0"]);
    assert_cells(&held, [NEEDS[0], NEEDS[1], 0.0, 0.0], [RATES[0], RATES[1], 0.0, 0.0]);
    let water = made(&job, &table).prescribed(&["samples.ph_measured_in=KCl 1 M"]);
    assert_cells(&water, NEEDS, RATES);
}

#[test]
fn tenths_of_the_unit_and_charge_by_mass_are_turned_openly() {
    let (job, table) = measured();
    let tenths = table.replace("cmolc", "mmolc");
    let tenths = ["0.9,0.4,0.2,4.3", "0.2,0.2,0.06,5.0", "3.0,1.0,0.2,2.0", "1.5,0.6,0.1,2.3"]
        .into_iter()
        .fold(tenths, |table, row| {
            let tenfold = |part: &str| (part.parse::<f64>().unwrap() * 10.0).to_string();
            table.replace(row, &row.split(',').map(tenfold).collect::<Vec<_>>().join(","))
        });
    assert_cells(&made(&job, &tenths).prescribed(&[]), NEEDS, RATES);
    // By mass, 1.25 kg to the dm3: every need is a quarter more.
    let by_mass = table.replace("cmolc/dm3", "cmolc/kg");
    let said = made(&job, &by_mass).refused(&[]);
    for part in ["reported by mass: potential acidity", "(cmol/kg)", "samples.bulk_density"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let run = made(&job, &by_mass);
    let outcome = run.prescribed(&["samples.bulk_density=1.25 g/cm3"]);
    assert_cells(&outcome, NEEDS.map(|need| need * 1.25), [3.1, 4.4, 0.0, 0.8]);
    let told = outcome.finding("charges_by_density").expect("told");
    assert!(told.contains("1.25 kg/dm3") && told.contains("exchangeable magnesium"), "{told}");
    assert!(outcome.finding("unused_keys").is_none());
    // A density that changes nothing is told to be unused.
    let by_volume = made(&job, &table).prescribed(&["samples.bulk_density=1.25 g/cm3"]);
    assert_cells(&by_volume, NEEDS, RATES);
    let told = by_volume.finding("unused_keys").expect("told");
    assert!(told.contains("`samples.bulk_density`"), "{told}");
}

/// The sandstone of Caiua: H+Al = 20.1925 - 2.6484 S (Revista Brasileira de Ciencia do Solo 27(2),
/// 2003, abstract).
///
/// | cell | S | H+Al | bases | T | need | / 0.8 | rate |
/// | --- | --- | --- | --- | --- | --- | --- | --- |
/// | south-west | 6.0 | 4.3021 | 1.5 | 5.8021 | 1.98126 | 2.4766 | 2.5 |
/// | south-east | 5.5 | 5.6263 | 0.46 | 6.0863 | 3.19178 | 3.9897 | 4.0 |
/// | north-west | 6.8 | 2.18338 | 4.2 | 6.38338 | 0 | 0 | 0 |
/// | north-east | 6.5 | 2.9779 | 2.2 | 5.1779 | 0.90674 | 1.1334 | 1.1 |
#[test]
fn the_acidity_may_be_told_by_the_buffer_of_the_region() {
    let rows = [
        "4.6,0.9,0.4,0.2,6.0",
        "4.4,0.2,0.2,0.06,5.5",
        "5.9,3.0,1.0,0.2,6.8",
        "5.2,1.5,0.6,0.1,6.5",
    ];
    let table = table(&format!("pH,{BASES},SMP pH"), rows);
    let job = job("base-saturation-brazil-caiua", TO_BASES, "buffer = \"smp\"");
    let run = made(&job, &table);
    let outcome = run.prescribed(&[]);
    let needs = [1.981_26, 3.191_78, 0.0, 0.906_74];
    assert_cells(&outcome, needs, [2.5, 4.0, 0.0, 1.1]);
    assert_eq!(outcome.summary["sensitivity"]["reading"], "buffer_ph");
    // A tenth of the buffer pH is 0.26484 cmol/dm3, of which 60 % are to be bases.
    assert_near(outcome.value("/sensitivity/need_per_tenth"), 0.158_904, 1e-6, "need per tenth");
    let said = explained(&run, -20.0, -20.0);
    for part in ["20.1925 - 2.6484 x 6.0 = 4.3021 cmol/dm3", "Caiuá", "2.4766"] {
        assert!(said.contains(part), "{part}: {said}");
    }
    // The laboratory ran no buffer above pH 5.5: such ground counts as without acidity.
    let blank = table.replace("5.9,3.0,1.0,0.2,6.8", "5.9,3.0,1.0,0.2,");
    let held = made(&job, &blank).prescribed(&["samples.buffer_blank_above=5.5"]);
    assert_cells(&held, needs, [2.5, 4.0, 0.0, 1.1]);
    let other = made(&job.replace("\"smp\"", "\"sikora\""), &table.replace("SMP pH", "BpH"));
    let said = other.refused(&[]);
    assert!(said.contains("was made for the smp buffer"), "{said}");
}

const BY_KCL: &str = "al_extract = \"KCl 1 M\"\nbulk_density = \"1.2 g/cm3\"";
const TO_ALUMINIUM: &str = "aluminium_saturation = \"20 %\"";

fn aluminium_table() -> String {
    let header = "pH,Al (cmolc/kg),Ca (cmolc/kg),Mg (cmolc/kg)";
    table(header, ["4.3,3,1,0.5", "4.5,2,1.5,0.5", "5.4,0.3,4,1", "4.8,1,2,0.5"])
}

/// The equation of 1980 (Tropical Agriculture, abstract) at a density of 1.2 kg/dm3.
///
/// | cell | Al | Ca + Mg | Al - 20 % | x 1.5 | factor | x 1.2 = t/ha | / 0.8 | rate |
/// | --- | --- | --- | --- | --- | --- | --- | --- | --- |
/// | south-west | 3 | 1.5 | 2.1 | 3.15 | 2.0 | 5.04 | 6.3 | 6.3 |
/// | south-east | 2 | 2 | 1.2 | 1.8 | 1.5 | 2.16 | 2.7 | 2.7 |
/// | north-west | 0.3 | 5 | -0.76 | | | 0 | 0 | 0 |
/// | north-east | 1 | 2.5 | 0.3 | 0.45 | 1.5 | 0.54 | 0.675 | 0.7 |
#[test]
fn aluminium_is_brought_down_to_its_share_with_the_step_of_the_equation() {
    let job = job("aluminium-saturation", TO_ALUMINIUM, BY_KCL);
    let run = made(&job, &aluminium_table());
    let outcome = run.prescribed(&[]);
    assert_cells(&outcome, [5.04, 2.16, 0.0, 0.54], [6.3, 2.7, 0.0, 0.7]);
    // Means: Al 1.575, Ca + Mg 2.75; 1.5 x (1.575 - 0.865) x 1.2 = 1.278; / 0.8 = 1.5975.
    assert_near(outcome.value("/flat_rate/composite/rate"), 1.6, 1e-9, "composite");
    assert_eq!(outcome.summary["method"]["target"], "20 % aluminium saturation");
    assert!(outcome.finding("charges_by_density").is_some());
    assert!(outcome.finding("unused_keys").is_none());
    let assumed = outcome.finding("basis_not_stated").expect("told");
    assert!(assumed.contains("100 % CCE is assumed"), "{assumed}");
    let said = explained(&run, -20.0, -20.0);
    for part in
        ["3 cmol/kg x 1.2 kg/dm3 = 3.6 cmol/dm3", "so 2 stands in for 1.5", "5.04 t/ha", "1980"]
    {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn aluminium_of_another_extract_or_without_a_density_is_refused() {
    let job = job("aluminium-saturation", TO_ALUMINIUM, BY_KCL);
    let said = |from: &str, to: &str| {
        assert!(job.contains(from), "{from}");
        made(&job.replace(from, to), &aluminium_table()).refused(&[])
    };
    let other = said("KCl 1 M", "CaCl2 0.01 M");
    assert!(other.contains("was made for KCl 1 M"), "{other}");
    let none = said("al_extract = \"KCl 1 M\"\n", "");
    assert!(none.contains("samples.al_extract does not say"), "{none}");
    let mass = said("\nbulk_density = \"1.2 g/cm3\"", "");
    assert!(mass.contains("reported by mass: aluminium (cmol/kg)"), "{mass}");
}

#[test]
fn a_target_of_another_kind_and_a_missing_column_are_refused_with_what_to_do() {
    let (job, table) = measured();
    let said = made(&job.replace(TO_BASES, "ph = 6.0"), &table).refused(&[]);
    for part in [
        "`base-saturation-brazil` limes to a base saturation, and the job's target is a pH, pH 6.0",
        "target.base_saturation",
        "a method that limes to a pH",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    let said = made(&job.replace(TO_BASES, TO_ALUMINIUM), &table).refused(&[]);
    assert!(said.contains("a method that limes to an aluminium saturation: aluminium-saturation"));
    let said = made(&JOB.replace("ph = 6.5", TO_BASES), &table).refused(&[]);
    assert!(said.contains("`smp-iowa` limes to a pH"), "{said}");
    assert!(said.contains("base-saturation-brazil-pernambuco"), "{said}");
    let said = made(&job, &table.replace("H+Al (cmolc/dm3)", "note")).refused(&[]);
    assert!(said.contains("potential acidity (H + Al)"), "{said}");
    let said = made(&job, &table.replace("K (cmolc/dm3)", "K")).refused(&[]);
    assert!(said.contains("samples.units.potassium"), "{said}");
    let said = made(&job, &table.replace(",pH,", ",reaction,")).refused(&[]);
    assert!(said.contains("every job takes a pH, for the map and its risks"), "{said}");
    let said = made(&job.replace("60 %", "5 %"), &table).refused(&[]);
    assert!(said.contains("from 10 to 100 %"), "{said}");
}

#[test]
fn the_methods_are_listed_with_their_kind_of_target_and_worked_live() {
    let (job, table) = measured();
    let run = made(&job, &table);
    let listed = plain(&run.run(&["methods"]).stdout);
    assert!(listed.contains("target 10 to 100 % base saturation"), "{listed}");
    assert!(listed.contains("target 0 to 90 % aluminium saturation"), "{listed}");
    let one = plain(&run.run(&["methods", "base-saturation-brazil"]).stdout);
    for part in [
        "to 70 % base saturation: 3.89 t/ha; printed: 3.91",
        "potential acidity (H + Al), cmol/dm3 and exchangeable calcium, cmol/dm3",
        "pH in any medium, for the map and its risks",
        "1.0009 t/ha of CaCO3",
        "Need, t/ha = (target V - V) x T / 100",
    ] {
        assert!(one.contains(part), "{part}: {one}");
    }
    assert!(!one.contains("DISAGREES"));
    let one = plain(&run.run(&["methods", "aluminium-saturation"]).stdout);
    assert!(one.contains("bulk density 1 g/cm3 to 20 % aluminium saturation: 4.20 t/ha"), "{one}");
    let one = plain(&run.run(&["methods", "base-saturation-brazil-paraiba"]).stdout);
    assert!(one.contains("beyond 8.7325, where the curve turns, as there"), "{one}");
    // A job to be filled in asks for the method's own kind of target.
    let start = ["start", "--boundary", "boundary.geojson", "--samples", "samples.csv"];
    let drafted = |more: &[&str]| plain(&run.run(&[&start[..], more].concat()).stdout);
    let draft = drafted(&["--method", "base-saturation-brazil"]);
    assert!(draft.contains("base_saturation = \"?\""), "{draft}");
    assert!(!draft.contains(" ph = \"?\""), "{draft}");
    let draft = drafted(&["--set", "target.base_saturation=60 %"]);
    assert!(
        draft.contains("base_saturation = \"60 %\"") && !draft.contains(" ph = \"?\""),
        "{draft}"
    );
}
