//! Tables from bytes, whole.

use proptest::prelude::*;

use super::read::table_of_bytes;
use super::style::{Promise, TableStyle};
use super::{Table, TableRow};
use crate::findings::{Finding, Refusal};

/// A style that knows the headers of these tests.
pub(super) fn style() -> TableStyle {
    fn promise(header: &str) -> Promise {
        let bare = header.split(" (").next().unwrap_or_default().to_lowercase();
        match bare.as_str() {
            "sample_id" => Promise::Names,
            "lat" | "lon" | "ph" => Promise::Something,
            _ => Promise::Nothing,
        }
    }
    TableStyle {
        encoding: None,
        decimal: None,
        repeats: None,
        names: Vec::new(),
        others: Vec::new(),
        labels: Vec::new(),
        select: Vec::new(),
        promise,
    }
}

pub(super) fn read(bytes: &[u8], how: &TableStyle) -> Result<(Table, Vec<Finding>), Refusal> {
    table_of_bytes(bytes.to_vec(), "t.csv", how)
}

pub(super) fn table(rows: &[(usize, &[&str])]) -> Vec<TableRow> {
    let owned = |cells: &[&str]| cells.iter().map(|&cell| cell.to_owned()).collect();
    rows.iter()
        .map(|&(number, cells)| TableRow { number, cells: owned(cells), joined_line: None })
        .collect()
}

fn said(text: &str) -> String {
    read(text.as_bytes(), &style()).unwrap_err().to_string()
}

#[test]
fn titles_and_units_are_skipped_and_told() {
    let text = "Lab report 1234\n\nsample_id,lat,lon,ph\n,deg,deg,1:1 water\nS1,1.5,2.5,5.2\n";
    let (read, told) = read(text.as_bytes(), &style()).unwrap();
    assert_eq!(read.headers, ["sample_id", "lat (deg)", "lon (deg)", "ph (1:1 water)"]);
    assert_eq!(read.header_line, Some(3));
    assert_eq!(read.rows, table(&[(5, &["S1", "1.5", "2.5", "5.2"])]));
    let told: Vec<String> = told.iter().map(ToString::to_string).collect();
    assert!(told[0].contains("line 3") && told[0].contains("Lab report 1234"), "{told:?}");
    assert!(told[1].contains("line 4") && told[1].contains("1:1 water"), "{told:?}");
}

#[test]
fn a_row_above_the_header_is_never_skipped() {
    let text = "S1,1.5,2.5,5.2\nsample_id,lat,lon,ph\nS2,1.5,2.5,5.2\n";
    assert!(said(text).contains("line 1: a row stands above the header"), "{}", said(text));
}

#[test]
fn delimiters_are_found_from_the_rows() {
    for (delimiter, told) in [(",", 0), (";", 1), ("\t", 1)] {
        let text = ["a", "b", "c"].join(delimiter) + "\n" + &["1", "2 x", "3"].join(delimiter);
        let (read, findings) = read(text.as_bytes(), &style()).unwrap();
        assert_eq!(read.headers, ["a", "b", "c"]);
        assert_eq!(findings.len(), told, "{findings:?}");
    }
    let text = "sample_id;lat;lon;ph\nS1;39,9;-89,0;5,2\n";
    let (read, _) = read(text.as_bytes(), &style()).unwrap();
    assert_eq!(read.rows[0].cells, ["S1", "39.9", "-89.0", "5.2"]);
}

#[test]
fn ragged_rows_and_doubled_headers_are_refused() {
    let ragged = said("sample_id,lat,ph\nA,1,5,2\nB,1,5\nC,1\nTotal\n");
    for part in ["line 2, sample A: the row has 4", "line 4, sample C: the row has 2", "line 5"] {
        assert!(ragged.contains(part), "{part}: {ragged}");
    }
    assert!(!ragged.contains("line 3"), "{ragged}");
    assert!(said("sample_id,ph,pH\nA,1,2\n").contains("2 columns are called `ph`"));
    assert!(said("").contains("empty"));
    assert!(said("\n,,\n").contains("empty"));
}

#[test]
fn blank_headers_are_named_and_blank_columns_left_out() {
    let (read, told) = read(b"sample_id,,ph,,\nA,x,5,,\nB,,6,,\n", &style()).unwrap();
    assert_eq!(read.headers, ["sample_id", "column 2", "ph"]);
    assert_eq!(read.rows[1].cells, ["B", "", "6"]);
    assert!(told[0].text.contains("`column 2`"), "{told:?}");
}

const LONG: &str = "sample_id,lat,analyst,analyte,result,unit\n\
    A,1.5,x,pH,\"5,2\",1:1 water\nA,1.5,y,CEC,\"12,5\",meq/100 g\n\
    B,1.6,x,pH,\"6,0\",1:1 water\n";

#[test]
fn a_long_table_is_made_wide() {
    let (read, told) = read(LONG.as_bytes(), &style()).unwrap();
    assert_eq!(read.headers, ["sample_id", "lat", "pH (1:1 water)", "CEC (meq/100 g)"]);
    assert_eq!(
        read.rows,
        table(&[(2, &["A", "1.5", "5.2", "12.5"]), (4, &["B", "1.6", "6.0", ""])])
    );
    let told = &told.iter().find(|finding| finding.key == "long_table").unwrap().text;
    assert!(told.contains("2 rows") && told.contains("left aside: `analyst`"), "{told}");
}

#[test]
fn a_long_table_that_contradicts_itself_is_refused() {
    let with = |row: &str| said(&format!("{LONG}{row}\n"));
    let twice = with("A,1.5,x,PH,\"5,9\",1:1 water");
    assert!(twice.contains("line 5, sample A") && twice.contains("line 2 already"), "{twice}");
    let units = with("B,1.6,x,CEC,\"12,5\",mmol/kg");
    assert!(units.contains("`mmol/kg` here and in `meq/100 g`"), "{units}");
    assert!(with("B,1.7,x,CEC,\"12,5\",meq/100 g").contains("column lat"), "moved");
    assert!(with("B,1.6,x,,\"12,5\",").contains("names no analyte"), "nameless");
}

const GOOD: &str = "Report;x\n\"sample_id\";lat;ph\n;deg;1:1 water\nA;39,9;5,2\nB;\"40,1\";<5,0\n";

proptest! {
    #[test]
    fn no_bytes_make_a_reader_fall(
        wide in any::<bool>(),
        from in 0_usize..200,
        length in 0_usize..40,
        put in prop::collection::vec(any::<u8>(), 0..12),
        flips in prop::collection::vec((0_usize..200, any::<u8>()), 0..6),
        long in any::<bool>(),
    ) {
        let text = if long { LONG } else { GOOD };
        let mut bytes: Vec<u8> = if wide {
            format!("\u{feff}{text}").encode_utf16().flat_map(u16::to_le_bytes).collect()
        } else {
            text.as_bytes().to_vec()
        };
        let (start, end) = (from.min(bytes.len()), (from + length).min(bytes.len()));
        bytes.splice(start..end, put);
        for (at, flip) in flips {
            if let Some(byte) = bytes.get_mut(at) {
                *byte ^= flip;
            }
        }
        if let Ok((table, _)) = read(&bytes, &style()) {
            for row in &table.rows {
                prop_assert_eq!(row.cells.len(), table.headers.len());
            }
        }
    }
}
