//! Databases, whole and hostile.

use std::fs;
use std::path::PathBuf;

use proptest::prelude::*;
use rusqlite::Connection;
use tempfile::TempDir;

use super::{Wanted, data, folder_of, has_finding, read, read_as, read_wanted, said, zip_of};
use crate::inputs::CoordinateSystem;

fn of_layer(name: &str) -> Wanted {
    Wanted { layer: Some(name.into()), ..Wanted::default() }
}

fn one_layer() -> Vec<u8> {
    fs::read(data("databases/one_layer.gpkg")).unwrap()
}

/// A copy of the file of one layer, changed by a statement.
fn changed(sql: &str) -> (TempDir, PathBuf) {
    let folder = folder_of(&[("fields.gpkg", &one_layer())]);
    let path = folder.path().join("fields.gpkg");
    let sql = format!("PRAGMA foreign_keys = 0; {sql}");
    Connection::open(&path).unwrap().execute_batch(&sql).unwrap();
    (folder, path)
}

fn refused_after(sql: &str) -> String {
    let (_folder, path) = changed(sql);
    said(read(&path))
}

#[test]
fn the_only_layer_is_read_with_its_attributes_and_system() {
    let read = read(&data("databases/one_layer.gpkg")).unwrap();
    assert_eq!(read.layer.file, "one_layer.gpkg");
    assert_eq!(read.layer.system, CoordinateSystem::Declared("EPSG:32616".into()));
    assert_eq!(read.layer.columns, ["fid", "id", "area", "crop", "year", "organic"]);
    let [feature] = read.layer.features.as_slice() else { panic!("one feature") };
    assert_eq!(feature.attributes, ["1", "heron-1", "16", "corn", "2026", "true"]);
    assert_eq!(feature.geometry.areas[0].outer.len(), 5);
    assert_eq!(read.files.len(), 1);
}

#[test]
fn of_several_layers_one_has_to_be_named() {
    let path = data("databases/two_layers.gpkg");
    let refused = said(read(&path));
    assert!(refused.contains("2 layers") && refused.contains("`in utm`, `degrees`"), "{refused}");
    let utm = read_wanted(&path, &of_layer("In UTM")).unwrap().layer;
    assert_eq!(utm.file, "two_layers.gpkg/in utm");
    assert_eq!(utm.features.len(), 3);
    assert_eq!(utm.features[1].attributes, ["2", "heron-2", "8", "", "2025", "false"]);
    assert_eq!(utm.features[2].attributes[3], "soja ä");
    assert_eq!(utm.features[2].geometry.areas[0].holes.len(), 1);
    let degrees = read_wanted(&path, &of_layer("degrees")).unwrap().layer;
    assert_eq!(degrees.system, CoordinateSystem::Wgs84Degrees);
    assert_eq!(degrees.features.len(), 1);
}

#[test]
fn views_and_virtual_tables_are_not_run() {
    let view = "ALTER TABLE fields RENAME TO base; CREATE VIEW fields AS SELECT * FROM base;";
    assert!(refused_after(view).contains("`fields` is a view"));
    let endless = "DROP TABLE gpkg_contents; CREATE VIEW gpkg_contents AS \
         WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n) \
         SELECT 'fields' table_name, 'features' data_type, i FROM n;";
    assert!(refused_after(endless).contains("`gpkg_contents` is a view"));
    let computed = "DROP TABLE gpkg_geometry_columns; \
         CREATE VIRTUAL TABLE gpkg_geometry_columns USING rtree(id, x0, x1);";
    assert!(refused_after(computed).contains("`gpkg_geometry_columns` is a virtual table"));
}

#[test]
fn triggers_and_computed_columns_do_nothing() {
    let (_folder, path) = changed(
        "CREATE TRIGGER one AFTER INSERT ON fields BEGIN DELETE FROM fields; END; \
         ALTER TABLE fields ADD COLUMN bomb TEXT AS (hex(zeroblob(900000000))) VIRTUAL;",
    );
    let before = fs::read(&path).unwrap();
    let layer = read(&path).unwrap().layer;
    assert_eq!(layer.columns, ["fid", "id", "area", "crop", "year", "organic"]);
    assert_eq!(layer.features.len(), 1);
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(fs::read_dir(path.parent().unwrap()).unwrap().count(), 1);
}

#[test]
fn a_layer_that_is_promised_and_not_there_is_refused() {
    assert!(refused_after("DROP TABLE fields;").contains("lacks its table `fields`"));
    let refused = refused_after("DELETE FROM gpkg_contents;");
    assert!(refused.contains("holds no layer"), "{refused}");
    let refused = refused_after("DELETE FROM gpkg_geometry_columns;");
    assert!(refused.contains("does not say where its geometry is"), "{refused}");
    let refused = refused_after("UPDATE gpkg_geometry_columns SET column_name = 'x\"; DROP';");
    assert!(refused.contains("has no column"), "{refused}");
}

#[test]
fn a_system_that_is_not_said_or_contradicts_itself_is_refused() {
    let undefined = "UPDATE gpkg_geometry_columns SET srs_id = -1; UPDATE fields SET geom = \
         CAST(substr(geom, 1, 4) || x'FFFFFFFF' || substr(geom, 9) AS BLOB);";
    assert!(refused_after(undefined).contains("does not name its coordinate system"));
    let unknown = "UPDATE gpkg_geometry_columns SET srs_id = 9; \
         UPDATE fields SET geom = NULL;";
    assert!(refused_after(unknown).contains("system 9, which the file does not explain"));
    let other = "UPDATE gpkg_geometry_columns SET srs_id = 4326;";
    let refused = refused_after(other);
    assert!(refused.contains("in the system 32616, and the layer in the system 4326"), "{refused}");
    let lie = "UPDATE gpkg_spatial_ref_sys SET organization_coordsys_id = 32615 \
         WHERE srs_id = 32616;";
    assert!(refused_after(lie).contains("says EPSG:32615 of a system, and explains EPSG:32616"));
    let (_folder, path) =
        changed("UPDATE gpkg_spatial_ref_sys SET organization = 'NONE' WHERE srs_id = 32616;");
    let CoordinateSystem::Declared(text) = read(&path).unwrap().layer.system else {
        panic!("a system by its text")
    };
    assert!(text.starts_with("PROJCS[\"WGS 84 / UTM zone 16N\""), "{text}");
}

#[test]
fn odd_attributes_stay_texts() {
    let (_folder, path) = changed(
        "UPDATE fields SET id = CAST(x'41FF' AS TEXT), area = 1e-7, year = NULL, crop = x'00';",
    );
    let read = read(&path).unwrap();
    assert_eq!(read.layer.features[0].attributes[1..5], ["A\u{fffd}", "0.0000001", "", ""]);
    assert!(has_finding(&read, "damaged_texts"));
}

#[test]
fn damaged_geometry_is_refused_with_its_feature() {
    for (sql, reason) in [
        ("UPDATE fields SET geom = substr(geom, 1, 60);", "feature 1: its geometry is cut off"),
        ("UPDATE fields SET geom = 'POINT(1 2)';", "a text or a number"),
        ("UPDATE fields SET geom = x'0102';", "cut off"),
        ("UPDATE fields SET geom = x'585800010000000000';", "does not begin as"),
        ("UPDATE fields SET geom = x'475000210000000000';", "beyond the standard"),
        ("UPDATE fields SET geom = x'4750000F0000000000';", "envelope"),
    ] {
        let refused = refused_after(sql);
        assert!(refused.contains(reason), "{refused}: {reason}");
    }
}

#[test]
fn what_is_no_whole_geopackage_is_refused() {
    let bytes = one_layer();
    assert!(said(read_as("fields.gpkg", b"")).contains("no SQLite database"));
    assert!(said(read_as("fields.gpkg", &bytes[..50])).contains("no SQLite database"));
    let half = said(read_as("fields.gpkg", &bytes[..bytes.len() / 2]));
    assert!(half.contains("cut off"), "{half}");
    let mut other = bytes.clone();
    other[68..72].copy_from_slice(b"MPBX");
    assert!(said(read_as("fields.gpkg", &other)).contains("but no GeoPackage"));
    let packed = said(read_as("fields.zip", &zip_of(&[("fields.gpkg", &bytes)])));
    assert!(packed.contains("unpack the archive"), "{packed}");
    // The name of a file tells nothing that its bytes do not.
    assert_eq!(read_as("a %?#ä.db", &bytes).unwrap().layer.features.len(), 1);
}

#[test]
fn changes_that_wait_beside_the_file_are_not_overlooked() {
    for ending in ["-wal", "-journal"] {
        let name = format!("fields.gpkg{ending}");
        let folder = folder_of(&[("fields.gpkg", &one_layer()), (&name, b"\x37\x7f\x06\x82")]);
        let path = folder.path().join("fields.gpkg");
        let refused = said(read(&path));
        assert!(refused.contains("changes to it") && refused.contains("close it"), "{refused}");
        fs::write(folder.path().join(&name), [0; 512]).unwrap();
        read(&path).unwrap();
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn flipped_bytes_are_read_or_refused(
        flips in prop::collection::vec((0usize..73_728, any::<u8>()), 1..20),
        cut in prop_oneof![4 => Just(usize::MAX), 1 => 0usize..73_728],
    ) {
        let mut bytes = one_layer();
        for (at, with) in flips {
            bytes[at] ^= with;
        }
        bytes.truncate(cut);
        let read = read_as("fields.gpkg", &bytes);
        if read.is_err() {
            said(read);
        }
    }
}
