//! The fingerprint of bytes: what was read, and what was written.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

/// The SHA-256 of `bytes` (FIPS 180-4), in hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
    }
    text
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_fingerprint_is_that_of_the_standard() {
        // NIST, Secure Hash Standard examples, SHA-256 of the three letters "abc".
        assert_eq!(
            super::sha256(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
