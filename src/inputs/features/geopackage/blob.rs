//! The binary form of a geometry in a GeoPackage: a header, then well-known binary (OGC 12-128r19,
//! clause 2.1.3).

use crate::inputs::features::model::RawGeometry;
use crate::inputs::features::wkb::read_wkb;

const MAGIC: &[u8] = b"GP";
/// Bytes of the header before its envelope: magic, version, flags, system.
const HEAD_BYTES: usize = 8;
/// Bytes of the envelope by its code: none, flat, with Z, with M, with both.
const ENVELOPE_BYTES: [usize; 5] = [0, 32, 48, 48, 64];
const LEAST_FIRST: u8 = 1;
const EMPTY: u8 = 1 << 4;
const EXTENDED: u8 = 1 << 5;

/// Reads the geometry of the feature with this number, in a layer of the system `system_id`.
///
/// # Errors
/// Says what is wrong with it.
pub(super) fn read_blob(
    bytes: &[u8],
    system_id: i64,
    feature: usize,
) -> Result<RawGeometry, String> {
    let cut_off = || String::from("its geometry is cut off");
    let (head, rest) = bytes.split_first_chunk::<HEAD_BYTES>().ok_or_else(cut_off)?;
    let &[m0, m1, _version, flags, s0, s1, s2, s3] = head;
    if [m0, m1] != MAGIC {
        return Err("its geometry does not begin as that of a GeoPackage does".into());
    }
    if flags & EXTENDED != 0 {
        return Err("its geometry is of a kind beyond the standard".into());
    }
    let own = [s0, s1, s2, s3];
    let own = i64::from(if flags & LEAST_FIRST != 0 {
        i32::from_le_bytes(own)
    } else {
        i32::from_be_bytes(own)
    });
    // Many writers leave it open here (0 and -1) and say it for the layer only.
    if own != system_id && own > 0 {
        return Err(format!(
            "its geometry is in the system {own}, and the layer in the system {system_id}"
        ));
    }
    let envelope = ENVELOPE_BYTES
        .get(usize::from(flags >> 1 & 0b111))
        .ok_or("its geometry has an envelope of an unknown kind")?;
    let geometry = rest.get(*envelope..).ok_or_else(cut_off)?;
    let raw = read_wkb(geometry, feature)?;
    if flags & EMPTY != 0 && !raw.is_empty() {
        return Err("its geometry is marked as empty and is not".into());
    }
    Ok(raw)
}
