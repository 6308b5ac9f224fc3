//! The fingerprint of bytes: what was read, and what was written.

use std::fmt::Write as _;
use std::io;

use sha2::{Digest, Sha256};

/// The SHA-256 of `bytes` (FIPS 180-4), in hexadecimal.
pub fn sha256(bytes: &[u8]) -> String {
    hexadecimal(&Sha256::digest(bytes))
}

/// Hands on what is written to it, and keeps its fingerprint.
#[derive(Debug)]
pub struct Fingerprinting<W> {
    inner: W,
    hash: Sha256,
}

impl<W: io::Write> Fingerprinting<W> {
    /// Nothing written yet.
    pub fn new(inner: W) -> Self {
        Self { inner, hash: Sha256::new() }
    }

    /// The SHA-256 of all that was written, in hexadecimal.
    pub fn sha256(self) -> String {
        hexadecimal(&self.hash.finalize())
    }
}

impl<W: io::Write> io::Write for Fingerprinting<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let taken = self.inner.write(bytes)?;
        self.hash.update(&bytes[..taken]);
        Ok(taken)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.inner.flush()
    }
}

fn hexadecimal(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(2 * bytes.len());
    for byte in bytes {
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
        let mut passing = super::Fingerprinting::new(Vec::new());
        std::io::Write::write_all(&mut passing, b"a").unwrap();
        std::io::Write::write_all(&mut passing, b"bc").unwrap();
        assert_eq!(passing.sha256(), super::sha256(b"abc"));
    }
}
