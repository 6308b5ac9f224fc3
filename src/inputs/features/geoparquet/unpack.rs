//! What the pages of a Parquet file are packed with.

use std::io::Read;

use flate2::read::MultiGzDecoder;

/// Bytes that are unpacked at once.
const BUFFER_BYTES: usize = 4096;

/// The bytes of a page that says it unpacks to `unpacked` of them; memory is taken for no more than
/// that, whatever the page holds. The numbers of the codecs are from `parquet.thrift`.
///
/// # Errors
/// Says what is damaged, or in which way it is packed that is not read.
pub(super) fn unpack(codec: i64, packed: &[u8], unpacked: usize) -> Result<Vec<u8>, String> {
    let damaged = || String::from("its pages do not unpack to what they say");
    let bytes = match codec {
        0 => packed.to_vec(),
        // A page without any value.
        _ if unpacked == 0 => Vec::new(),
        1 => {
            if snap::raw::decompress_len(packed).ok() != Some(unpacked) {
                return Err(damaged());
            }
            snap::raw::Decoder::new().decompress_vec(packed).ok().ok_or_else(damaged)?
        }
        2 => at_most(MultiGzDecoder::new(packed), unpacked).ok_or_else(damaged)?,
        4 => {
            let reader = brotli_decompressor::Decompressor::new(packed, BUFFER_BYTES);
            at_most(reader, unpacked).ok_or_else(damaged)?
        }
        6 => zstd::bulk::decompress(packed, unpacked).ok().ok_or_else(damaged)?,
        3 => return Err(not_read("LZO")),
        5 | 7 => return Err(not_read("LZ4")),
        _ => return Err(not_read("an unknown method")),
    };
    if bytes.len() == unpacked { Ok(bytes) } else { Err(damaged()) }
}

/// All that can be read, up to one byte more than `most`; none where it cannot be read to its end.
fn at_most(reader: impl Read, most: usize) -> Option<Vec<u8>> {
    let mut bytes = Vec::new();
    reader.take(most as u64 + 1).read_to_end(&mut bytes).ok()?;
    Some(bytes)
}

fn not_read(method: &str) -> String {
    format!("it is packed with {method}, which is not read")
}

#[cfg(test)]
mod tests {
    use std::io::Write;

    use super::*;

    /// What is packed to far less than it says, or unpacks to far more, stops at what it says.
    #[test]
    fn a_page_unpacks_to_what_it_says_or_is_refused() {
        let text = vec![b'7'; 100_000];
        let mut gzip = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
        gzip.write_all(&text).unwrap();
        let gzip = gzip.finish().unwrap();
        // RFC 7932, appendix: the stream of an empty text.
        let empty_brotli = [0x06];
        assert_eq!(unpack(2, &gzip, text.len()).unwrap(), text);
        // Two members, one behind the other, are one text.
        let twice = [gzip.clone(), gzip.clone()].concat();
        assert_eq!(unpack(2, &twice, 2 * text.len()).unwrap().len(), 2 * text.len());
        for (codec, packed, says) in [
            (2, gzip.as_slice(), text.len() - 1),
            (2, &gzip, text.len() + 1),
            (2, &gzip[..gzip.len() / 2], text.len()),
            (4, &empty_brotli, 1),
            (4, &[0xff; 40], 10),
            (1, &[0xff; 40], 10),
            (6, &[0xff; 40], 10),
        ] {
            let said = unpack(codec, packed, says).unwrap_err();
            assert!(said.contains("do not unpack"), "{codec}: {said}");
        }
        for codec in [3, 5, 7, 8, -1] {
            assert!(unpack(codec, &gzip, 1).unwrap_err().contains("is not read"), "{codec}");
        }
    }
}
