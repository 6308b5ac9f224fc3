//! Folders and archives: what lies in them is found, and nothing in them can do harm.

use std::fs;

use super::{
    DEGREES_PRJ, SQUARE, data, folder_of, parts_of, read, read_as, read_wanted, said, shp_of,
    zip_of,
};
use crate::inputs::features::Wanted;
use crate::units::LIMITS;

#[test]
fn an_archive_from_a_mac_gives_the_one_layer_in_its_folder() {
    let read = read(&data("pain/p29_mac.zip")).unwrap();
    assert_eq!(read.layer.file, "p29_mac.zip/Field 1/FIELD.SHP");
    assert_eq!(read.layer.features[0].geometry.areas[0].holes.len(), 1);
    assert_eq!(read.files.len(), 1, "the archive is what was read");
    assert_eq!(read.layer.columns.len(), 1, "the table was found in other capitals");
}

#[test]
fn a_folder_or_an_archive_of_several_layers_wants_to_know_which() {
    let shp = shp_of(5, &[parts_of(5, &[SQUARE])]);
    let files: [(&str, &[u8]); 4] = [
        ("north.shp", &shp),
        ("north.prj", DEGREES_PRJ.as_bytes()),
        ("South.SHP", &shp),
        ("notes.txt", b""),
    ];
    let folder = folder_of(&files);
    let archive = folder_of(&[("both.zip", &zip_of(&files))]);
    for path in [folder.path().to_owned(), archive.path().join("both.zip")] {
        let said_of_both = said(read(&path));
        assert!(
            said_of_both.contains("`South`, `north`") && said_of_both.contains("layer = "),
            "{said_of_both}"
        );
        let wanted = |layer: &str| Wanted { layer: Some(layer.to_owned()), ..Wanted::default() };
        let south = read_wanted(&path, &wanted("south")).unwrap();
        assert!(south.layer.file.ends_with("South.SHP"));
        let said_of_east = said(read_wanted(&path, &wanted("nort")));
        assert!(said_of_east.contains("did you mean `north`"), "{said_of_east}");
    }
}

#[test]
fn an_archive_without_maps_lists_what_it_holds() {
    let said_of_it = said(read(&data("shapefiles/pyshp_empty_zipfile.zip")));
    assert!(said_of_it.contains("dummyfile.txt"), "{said_of_it}");
    assert!(said(read_as("a.zip", &zip_of(&[]))).contains("holds no file"));
    assert!(said(read_as("a.zip", b"no archive at all")).contains("no zip archive"));
    let inner = zip_of(&[("a.kml", b"<kml/>")]);
    assert!(
        said(read_as("a.zip", &zip_of(&[("b.kml", &inner)]))).contains("archive in an archive")
    );
}

#[test]
fn names_that_lead_out_of_an_archive_are_refused() {
    let shp = shp_of(5, &[parts_of(5, &[SQUARE])]);
    for (kept, evil) in [
        ("aa/x.shp", "../x.shp"),
        ("aax.shp", "/ax.shp"),
        ("aax.shp", "C:x.shp"),
        ("a/aa/x.shp", "a/../x.shp"),
        ("aa/x.shp", "..\\x.shp"),
    ] {
        let mut bytes = zip_of(&[(kept, &shp)]);
        let places: Vec<usize> = (0..bytes.len() - kept.len())
            .filter(|&at| bytes[at..].starts_with(kept.as_bytes()))
            .collect();
        assert_eq!(places.len(), 2, "in the member's head and in the list of members");
        for at in places {
            bytes[at..at + evil.len()].copy_from_slice(evil.as_bytes());
        }
        let said = said(read_as("a.zip", &bytes));
        assert!(said.contains("stay inside the archive"), "{evil}: {said}");
    }
}

#[test]
fn what_unpacks_to_far_more_than_it_packs_is_refused() {
    let bomb = zip_of(&[("a.shp", &vec![0; 8 << 20])]);
    assert!(bomb.len() < 20_000);
    assert!(said(read_as("a.zip", &bomb)).contains("unpacks to more"));
    // A table of blanks packs as well, and is no bomb.
    let shp = shp_of(5, &[parts_of(5, &[SQUARE])]);
    let blanks = vec![b' '; 500_000];
    let files: [(&str, &[u8]); 3] =
        [("a.shp", &shp), ("a.cpg", &blanks), ("a.prj", DEGREES_PRJ.as_bytes())];
    assert!(read_as("a.zip", &zip_of(&files)).is_ok());
}

#[test]
fn too_many_entries_are_refused_before_and_after_the_list_is_read() {
    let names: Vec<String> = (0..=LIMITS.archive_entries).map(|n| format!("{n}.txt")).collect();
    let files: Vec<(&str, &[u8])> = names.iter().map(|name| (name.as_str(), &b""[..])).collect();
    assert!(said(read_as("a.zip", &zip_of(&files))).contains("more than 1000 entries"));
    let mut claims = zip_of(&[("a.txt", b"")]);
    let record = claims.len() - 22;
    claims[record + 8..record + 12].copy_from_slice(&[0xff; 4]);
    assert!(said(read_as("a.zip", &claims)).contains("more than 1000 entries"));
}

#[test]
fn a_cut_archive_is_refused() {
    let bytes = fs::read(data("pain/p29_mac.zip")).unwrap();
    for cut in [4, 30, 100, bytes.len() / 2, bytes.len() - 1] {
        assert!(said(read_as("a.zip", &bytes[..cut])).contains("cannot be read"), "{cut}");
    }
}
