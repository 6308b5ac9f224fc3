use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::*;
use crate::inputs::exports::{ReadGrid, ReadGround, ReadMap};

type Files = Vec<(String, Vec<u8>)>;

macro_rules! sample {
    ($folder:literal, $name:literal) => {
        (
            $name.to_owned(),
            include_bytes!(concat!("../../../../tests/data/isoxml/", $folder, "/", $name)).to_vec(),
        )
    };
}

fn tiny() -> Files {
    vec![sample!("tiny_type2", "TASKDATA.XML"), sample!("tiny_type2", "GRD00001.bin")]
}

/// Task data of one task on a field with these elements in it.
fn files(task: &str, others: &str, grid: &[u8]) -> Files {
    let xml = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <ISO11783_TaskData VersionMajor=\"4\" VersionMinor=\"3\" DataTransferOrigin=\"1\" \
         ManagementSoftwareManufacturer=\"t\" ManagementSoftwareVersion=\"1\">\n\
         <PDT A=\"PDT1\" B=\"Ag lime\"/>\n{others}\
         <TSK A=\"TSK1\" B=\"Lime\" G=\"1\" J=\"0\">\n\
         <TZN A=\"0\"><PDV A=\"0006\" B=\"0\" C=\"PDT1\"/></TZN>\n{task}</TSK>\n\
         </ISO11783_TaskData>\n"
    );
    vec![
        ("TASKDATA/TASKDATA.XML".to_owned(), xml.into_bytes()),
        ("TASKDATA/GRD00001.bin".to_owned(), grid.to_vec()),
    ]
}

const GRID_2: &str = "<GRD A=\"40.0\" B=\"-89.0\" C=\"0.001\" D=\"0.002\" E=\"2\" F=\"2\" \
                      G=\"GRD00001\" I=\"2\" J=\"1\"/>\n";
const ZONE_1: &str = "<TZN A=\"1\"><PDV A=\"0006\" B=\"300\" C=\"PDT1\"/></TZN>\n";

fn found(files: Files) -> Result<FoundExport, Refusal> {
    let main = files.iter().find(|(name, _)| is_main_file(name)).unwrap().0.clone();
    let held: BTreeMap<String, Vec<u8>> = files.into_iter().collect();
    read_task_data(&mut Bundle::of_memory(held, "export"), &main)
}

fn read(files: Files) -> ReadExport {
    found(files).unwrap().export
}

fn refused(files: Files) -> String {
    found(files).unwrap_err().to_string()
}

fn keys(read: &ReadExport) -> Vec<&str> {
    read.faults.iter().map(|fault| fault.key).collect()
}

/// The text of the only fault.
fn only_fault(read: &ReadExport, key: &str) -> String {
    assert_eq!(keys(read), [key], "{:?}", read.faults);
    read.faults[0].to_string()
}

fn grid(map: &ReadMap) -> &ReadGrid {
    match &map.ground {
        ReadGround::Grid(grid) => grid,
        other => panic!("{other:?}"),
    }
}

fn values(numbers: &[i32]) -> Vec<u8> {
    numbers.iter().flat_map(|number| number.to_le_bytes()).collect()
}

#[test]
fn rows_start_in_the_south_and_zero_is_a_rate() {
    // P41: [[100000, 250000], [0, 450000]] with row 0 in the south.
    let read = read(tiny());
    assert_eq!(read.format, "ISO 11783-10, grid type 2");
    assert!(read.faults.is_empty(), "{:?}", read.faults);
    let [map] = read.maps.as_slice() else { panic!("{:?}", read.maps) };
    assert_eq!((map.name.as_str(), map.unit), ("Lime", Some("mg/m2")));
    let grid = grid(map);
    assert_eq!(grid.rates, [Some(100_000.0), Some(250_000.0), Some(0.0), Some(450_000.0)]);
    assert_eq!((grid.columns, grid.rows), (2, 2));
    assert_eq!((grid.south_deg, grid.west_deg), (39.993_884_8, -89.003_142_1));
    assert_eq!((grid.cell_lat_deg, grid.cell_lon_deg), (0.001_841_3, 0.002_394));
}

#[test]
fn a_grid_of_others_is_held_against_the_boundary_of_its_field() {
    let read = read(vec![
        sample!("type2_readvalue", "TASKDATA.XML"),
        sample!("type2_readvalue", "GRD00001.bin"),
    ]);
    assert!(read.faults.is_empty(), "{:?}", read.faults);
    let grid = grid(&read.maps[0]);
    assert_eq!((grid.columns, grid.rows), (20, 20));
    // Within the boundary row r from the south holds 5 + 100 r; the file has 0 elsewhere.
    let inside = grid.rates.iter().enumerate().filter_map(|(at, rate)| Some((at / 20, (*rate)?)));
    let rows: BTreeSet<(usize, u64)> = inside.map(|(row, rate)| (row, rate as u64)).collect();
    let expected = |row: &(usize, u64)| row.1 == 5 + 100 * row.0 as u64 || row.1 == 0;
    assert!(rows.len() >= 20 && rows.iter().all(expected), "{rows:?}");
    assert!(grid.rates.iter().filter(|rate| rate.is_none()).count() > 50);
    assert!(grid.rates[0].is_some() && grid.rates[19].is_some() && grid.rates[399].is_none());
}

#[test]
fn a_grid_of_two_values_takes_eight_bytes_a_cell() {
    // P42: two by two cells with two values take 32 bytes, not 16.
    let zone = "<TZN A=\"1\"><PDV A=\"0006\" B=\"0\" C=\"PDT1\"/>\
                <PDV A=\"0006\" B=\"0\" C=\"PDT2\"/></TZN>\n";
    let product = "<PDT A=\"PDT2\" B=\"Other lime\"/>\n";
    let task = format!("{zone}{GRID_2}");
    let short = read(files(&task, product, &values(&[1, 2, 3, 4])));
    let text = only_fault(&short, "iso_grid_file_size");
    assert!(text.contains("16 bytes") && text.contains("take 32"), "{text}");
    assert!(short.maps.is_empty());
    let whole = read(files(&task, product, &values(&[1, 10, 2, 20, 3, 30, 4, 40])));
    assert!(whole.faults.is_empty(), "{:?}", whole.faults);
    let names: Vec<&str> = whole.maps.iter().map(|map| map.name.as_str()).collect();
    assert_eq!(names, ["Lime: Ag lime", "Lime: Other lime"]);
    assert_eq!(grid(&whole.maps[0]).rates, [1.0, 2.0, 3.0, 4.0].map(Some));
    assert_eq!(grid(&whole.maps[1]).rates, [10.0, 20.0, 30.0, 40.0].map(Some));
}

#[test]
fn columns_and_rows_are_not_mixed_up() {
    let wide = GRID_2.replace("E=\"2\" F=\"2\"", "E=\"3\" F=\"1\"");
    let read = read(files(&format!("{ZONE_1}{wide}"), "", &values(&[7, 8, 9])));
    let grid = grid(&read.maps[0]);
    assert_eq!((grid.columns, grid.rows), (3, 1));
    assert_eq!(grid.rates, [7.0, 8.0, 9.0].map(Some));
}

#[test]
fn codes_stand_for_the_rates_of_their_zones() {
    let task = format!("{ZONE_1}{}", GRID_2.replace("I=\"2\" J=\"1\"", "I=\"1\" H=\"4\""));
    let codes = read(files(&task, "", &[0, 1, 1, 1]));
    assert_eq!(codes.format, "ISO 11783-10, grid type 1");
    assert!(codes.faults.is_empty(), "{:?}", codes.faults);
    // Zone 0 is for ground outside the field: no rate, and not the rate 0.
    assert_eq!(grid(&codes.maps[0]).rates, [None, Some(300.0), Some(300.0), Some(300.0)]);
    let unknown = read(files(&task, "", &[1, 9, 9, 1]));
    let text = only_fault(&unknown, "iso_dangling_reference");
    assert!(text.contains("2 cells") && text.contains("zone 9"), "{text}");
    assert_eq!(grid(&unknown.maps[0]).rates, [Some(300.0), None, None, Some(300.0)]);
    let long = read(files(&task, "", &[1; 5]));
    let text = only_fault(&long, "iso_grid_file_size");
    assert!(text.contains("5 bytes") && text.contains("take 4"), "{text}");
}

#[test]
fn what_the_grid_says_of_its_length_is_held_against_the_file() {
    let task = format!("{ZONE_1}{}", GRID_2.replace("I=\"2\"", "H=\"12\" I=\"2\""));
    let said = read(files(&task, "", &values(&[1, 2, 3, 4])));
    let text = only_fault(&said, "iso_grid_file_size");
    assert!(text.contains("12 bytes") && text.contains("16"), "{text}");
    assert_eq!(said.maps.len(), 1);
}

fn ring(kind: u8, corners: &[[f64; 2]]) -> String {
    let point = |[lon, lat]: &[f64; 2]| format!("<PNT A=\"2\" C=\"{lat}\" D=\"{lon}\"/>");
    let points: Vec<String> = corners.iter().map(point).collect();
    format!("<LSG A=\"{kind}\">{}</LSG>", points.concat())
}

fn square(west: f64, south: f64, side: f64) -> [[f64; 2]; 5] {
    let (east, north) = (west + side, south + side);
    [[west, south], [east, south], [east, north], [west, north], [west, south]]
}

#[test]
fn polygons_have_holes_and_the_rates_of_their_zones() {
    let hole = square(-88.75, 40.25, 0.25);
    let polygon = |kind: u8, rings: &str| format!("<PLN A=\"{kind}\">{rings}</PLN>");
    let outer = ring(1, &square(-89.0, 40.0, 1.0));
    // The second polygon is drawn as version 3 does: two outsides in one, open rings.
    let two = ring(1, &square(-87.0, 40.0, 1.0)[..4]) + &ring(1, &square(-85.0, 40.0, 1.0)[..4]);
    let task = format!(
        "<TZN A=\"7\">{}{}<PDV A=\"0006\" B=\"56000\" C=\"PDT1\"/></TZN>\
         <TZN A=\"8\">{}<PDV A=\"0006\" B=\"0\" C=\"PDT1\"/></TZN>",
        polygon(2, &(outer + &ring(2, &hole))),
        polygon(2, &(two + &ring(2, &square(-84.75, 40.25, 0.25)))),
        polygon(2, &ring(1, &hole)),
    );
    let read = read(files(&task, "", &[]));
    assert_eq!(read.format, "ISO 11783-10, polygons");
    assert!(read.faults.is_empty(), "{:?}", read.faults);
    let ReadGround::Areas(areas) = &read.maps[0].ground else { panic!("{:?}", read.maps) };
    assert_eq!(areas.iter().map(|area| area.rate).collect::<Vec<_>>(), [Some(56_000.0), Some(0.0)]);
    let rings: Vec<usize> = areas[0].polygons.iter().map(Vec::len).collect();
    assert_eq!(rings, [2, 1, 2], "the hole lies in the ring around it");
    assert_eq!(areas[0].polygons[0][0], square(-89.0, 40.0, 1.0)[..4]);
    assert_eq!(areas[1].polygons, [[&hole[..4]]]);
}

#[test]
fn a_ring_without_enough_points_is_told() {
    let rings = ring(1, &[[0.0, 0.0], [1.0, 1.0], [0.0, 0.0]]);
    let task = format!("<TZN A=\"7\"><PLN A=\"2\">{rings}</PLN></TZN>");
    let read = read(files(&task, "", &[]));
    assert!(keys(&read).contains(&"iso_broken_ring"), "{:?}", read.faults);
}

#[test]
fn a_missing_grid_file_is_told() {
    let mut missing = tiny();
    missing.pop();
    let read = read(missing);
    let text = only_fault(&read, "iso_grid_file_missing");
    assert!(text.contains("GRD00001.bin") && text.contains("Line 9."), "{text}");
    assert!(read.maps.is_empty());
}

#[test]
fn files_are_found_whatever_their_letter_case_and_that_is_told() {
    let mut renamed = tiny();
    renamed[0].0 = "card/TaskData/TaskData.xml".into();
    renamed[1].0 = "card/TaskData/grd00001.BIN".into();
    let read = read(renamed);
    assert_eq!(keys(&read), ["iso_letter_case"; 3], "{:?}", read.faults);
    assert_eq!(grid(&read.maps[0]).rates.len(), 4);
    let text = read.faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
    assert!(
        text.contains("TaskData.xml should be named TASKDATA.XML")
            && text.contains("should be named GRD00001.bin")
    );
}

#[test]
fn references_to_what_is_not_there_are_told() {
    let zone = ZONE_1.replace("PDT1", "PDT5").replace("/>", " E=\"VPN3\"/>");
    let others = "<FRM A=\"FRM1\" B=\"Farm\" I=\"CTR9\"/>\n<PFD A=\"PFD1\" C=\"F\" D=\"1\" \
                  E=\"CTR9\" F=\"FRM2\"/>\n";
    let mut dangling = files(&format!("{zone}{GRID_2}"), others, &values(&[1; 4]));
    let xml = String::from_utf8(std::mem::take(&mut dangling[0].1)).unwrap();
    let xml = xml.replace("J=\"0\"", "J=\"6\" C=\"CTR8\" E=\"PFD2\"");
    dangling[0].1 = xml.into_bytes();
    let read = read(dangling);
    assert!(keys(&read).iter().all(|key| *key == "iso_dangling_reference"), "{:?}", read.faults);
    let text = read.faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
    for gone in ["CTR9, 2 times", "CTR8", "FRM2", "PFD2", "PDT5", "VPN3", "treatment zone 6"] {
        assert!(text.contains(gone), "{gone}: {text}");
    }
    assert_eq!(read.faults.len(), 7, "{text}");
    let gone = GRID_2.replace("J=\"1\"", "J=\"5\"");
    let text = self::read(files(&format!("{ZONE_1}{gone}"), "", &values(&[1; 4])));
    assert!(only_fault(&text, "iso_dangling_reference").contains("treatment zone 5"));
}

#[test]
fn variables_that_are_no_rates_of_mass_are_told() {
    // 0001 is a volume on an area, in mm3/m2.
    let volume = ZONE_1.replace("0006", "0001");
    let read = read(files(&format!("{volume}{GRID_2}"), "", &values(&[1; 4])));
    let text = only_fault(&read, "iso_other_ddi");
    assert!(text.contains("0001"), "{text}");
    assert!(read.maps.is_empty());
    for (ddi, maps) in [("6", 1), ("00006", 1), ("+006", 0), ("six", 0)] {
        let zone = ZONE_1.replace("0006", ddi);
        let read = self::read(files(&format!("{zone}{GRID_2}"), "", &values(&[1; 4])));
        let text = only_fault(&read, "iso_ddi");
        assert!(text.contains(&format!("`{ddi}`")), "{text}");
        assert_eq!(read.maps.len(), maps, "{ddi}");
    }
}

#[test]
fn attributes_that_are_missing_or_no_numbers_are_told() {
    for (from, to, word) in [
        (" F=\"2\"", "", "lacks its attribute F"),
        (" J=\"1\"", "", "lacks its attribute J"),
        ("A=\"40.0\"", "A=\"140\"", "`140`"),
        ("C=\"0.001\"", "C=\"NaN\"", "`NaN`"),
        ("C=\"0.001\"", "C=\"0\"", "`0`"),
        ("E=\"2\"", "E=\"-2\"", "`-2`"),
        ("I=\"2\"", "I=\"3\"", "`3`"),
    ] {
        let task = format!("{ZONE_1}{}", GRID_2.replace(from, to));
        let read = read(files(&task, "", &values(&[1; 4])));
        assert!(keys(&read).contains(&"iso_attribute"), "{to}: {:?}", read.faults);
        let text = read.faults[0].to_string();
        assert!(text.contains(word) && text.contains("Line"), "{to}: {text}");
        assert!(read.maps.is_empty(), "{to}");
    }
}

#[test]
fn what_is_claimed_beyond_measure_takes_no_memory() {
    let vast = GRID_2.replace("E=\"2\" F=\"2\"", "E=\"4294967295\" F=\"4294967295\"");
    let read = read(files(&format!("{ZONE_1}{vast}"), "", &values(&[1; 4])));
    let text = only_fault(&read, "iso_grid_too_large");
    assert!(text.contains("4294967295 columns"), "{text}");
}

#[test]
fn rates_below_zero_are_no_rates() {
    let read = read(files(&format!("{ZONE_1}{GRID_2}"), "", &values(&[-1, 2, 3, 4])));
    let text = only_fault(&read, "iso_negative_rate");
    assert!(text.contains("1 cells"), "{text}");
    assert_eq!(grid(&read.maps[0]).rates[0], None);
}

#[test]
fn files_that_the_main_file_refers_to_are_read_with_it() {
    let (product, reference) =
        ("<PDT A=\"PDT1\" B=\"Ag lime\"/>\n", "<XFR A=\"PDT00001\" B=\"1\"/>\n");
    let mut external = files(&format!("{ZONE_1}{GRID_2}"), reference, &values(&[1; 4]));
    let xml = String::from_utf8(std::mem::take(&mut external[0].1)).unwrap();
    external[0].1 = xml.replace(product, "").into_bytes();
    let gone = read(external.clone());
    assert_eq!(keys(&gone), ["iso_external_file_missing", "iso_dangling_reference"]);
    external.push(("TASKDATA/PDT00001.XML".into(), format!("<XFC>{product}</XFC>").into_bytes()));
    let read = read(external);
    assert!(read.faults.is_empty(), "{:?}", read.faults);
}

#[test]
fn cut_files_and_other_xml_are_refused_with_the_line() {
    let mut cut = tiny();
    let at = cut[0].1.len() - 60;
    cut[0].1.truncate(at);
    let text = refused(cut);
    assert!(text.contains("TASKDATA.XML") && text.contains("line"), "{text}");
    let mut closed = tiny();
    let end = closed[0].1.len() - "</ISO11783_TaskData>\n".len();
    closed[0].1.truncate(end);
    let text = refused(closed);
    assert!(text.contains("before its element ISO11783_TaskData is closed"), "{text}");
    for other in ["<kml></kml>", "", "not xml", "<ISO11783_TaskData/><ISO11783_TaskData/>"] {
        let text = refused(vec![("TASKDATA.XML".into(), other.into())]);
        assert!(text.contains("task data cannot be read"), "{other}: {text}");
    }
}

#[test]
fn a_grid_away_from_its_field_is_told() {
    let boundary = format!("<PLN A=\"1\">{}</PLN>", ring(1, &square(10.0, 10.0, 1.0)));
    let others = format!("<PFD A=\"PFD1\" C=\"F\" D=\"1\">{boundary}</PFD>\n");
    let mut away = files(&format!("{ZONE_1}{GRID_2}"), &others, &values(&[1; 4]));
    let xml = String::from_utf8(std::mem::take(&mut away[0].1)).unwrap();
    away[0].1 = xml.replace("G=\"1\"", "E=\"PFD1\" G=\"1\"").into_bytes();
    let read = read(away);
    assert_eq!(keys(&read), ["iso_grid_outside_field"]);
    assert_eq!(grid(&read.maps[0]).rates, [Some(1.0); 4]);
}

#[test]
fn a_fault_that_recurs_is_told_once_with_its_count() {
    let zone = |code: u8| format!("<TZN A=\"{code}\"><PDV A=\"6\" B=\"1\"/></TZN>");
    let zones: Vec<String> = (10..20).map(zone).collect();
    let read = read(files(&zones.concat(), "", &[]));
    let of_ddi: Vec<_> = read.faults.iter().filter(|fault| fault.key == "iso_ddi").collect();
    assert_eq!(of_ddi.len(), 1);
    assert!(of_ddi[0].text.ends_with("So 10 times, first in line 6."), "{}", of_ddi[0].text);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, ..ProptestConfig::default() })]

    /// Whatever stands in the files, it is read or refused; and what is read is whole.
    #[test]
    fn damaged_files_are_read_or_refused(
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..12),
        cut in any::<prop::sample::Index>(),
        cuts in any::<bool>(),
        zones in any::<bool>(),
    ) {
        let outer = ring(1, &square(-89.0, 40.0, 0.004));
        let boundary = format!("<PFD A=\"PFD1\" C=\"F\" D=\"1\"><PLN A=\"1\">{outer}</PLN></PFD>");
        let drawn = format!("<TZN A=\"5\"><PLN A=\"2\">{outer}</PLN><PDV A=\"0006\" B=\"3\"/></TZN>");
        let (grid_element, bytes) = if zones {
            (GRID_2.replace("I=\"2\" J=\"1\"", "I=\"1\""), vec![0, 1, 1, 5])
        } else {
            (GRID_2.to_owned(), values(&[1, 2, 3, 4]))
        };
        let mut damaged = files(&format!("{ZONE_1}{drawn}{grid_element}"), &boundary, &bytes);
        let lengths = damaged[0].1.len() + damaged[1].1.len();
        for (at, byte) in changes {
            let at = at.index(lengths);
            let split = damaged[0].1.len();
            let (file, at) = if at < split { (0, at) } else { (1, at - split) };
            damaged[file].1[at] = byte;
        }
        if cuts {
            let length = cut.index(damaged[0].1.len());
            damaged[0].1.truncate(length);
        }
        if let Ok(read) = found(damaged) {
            for map in &read.export.maps {
                if let ReadGround::Grid(grid) = &map.ground {
                    prop_assert_eq!(grid.rates.len(), grid.columns * grid.rows);
                    prop_assert!(grid.rates.iter().flatten().all(|rate| *rate >= 0.0));
                }
            }
        }
    }
}
