//! What kind of picture some bytes are, by the bytes themselves.

/// Kinds of pictures that are kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MediaType {
    /// `image/jpeg`
    Jpeg,
    /// `image/png`
    Png,
    /// `image/webp`
    Webp,
}

impl MediaType {
    /// As written in a header.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Jpeg => "image/jpeg",
            Self::Png => "image/png",
            Self::Webp => "image/webp",
        }
    }
}

/// The kind of a picture by its first and last bytes; nothing for what is none of these.
///
/// PNG: signature, then a first chunk `IHDR` of 13 bytes (ISO/IEC 15948, 5.2 and 11.2.2). JPEG: start
/// of image and the beginning of another marker (ITU-T T.81, B.1.1). WebP: `RIFF`, the length of the
/// rest, `WEBP` and a chunk `VP8 `, `VP8L` or `VP8X` (RFC 9649, 2.4).
#[must_use]
pub fn sniff(bytes: &[u8]) -> Option<MediaType> {
    let at = |from: usize, wanted: &[u8]| bytes.get(from..from + wanted.len()) == Some(wanted);
    if at(0, b"\x89PNG\r\n\x1a\n") && at(8, &[0, 0, 0, 13]) && at(12, b"IHDR") {
        return Some(MediaType::Png);
    }
    if at(0, &[0xff, 0xd8, 0xff]) && bytes.get(3).is_some_and(|own| (0xc0..0xff).contains(own)) {
        return Some(MediaType::Jpeg);
    }
    let length = bytes.get(4..8).and_then(|own| own.try_into().ok()).map(u32::from_le_bytes);
    let whole = length.is_some_and(|own| own as usize + 8 <= bytes.len());
    let chunk = at(12, b"VP8 ") || at(12, b"VP8L") || at(12, b"VP8X");
    (at(0, b"RIFF") && whole && at(8, b"WEBP") && chunk).then_some(MediaType::Webp)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_is_known_by_its_bytes_and_a_page_is_no_picture() {
        let png = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\0\x01";
        assert_eq!(sniff(png), Some(MediaType::Png));
        assert_eq!(sniff(&[0xff, 0xd8, 0xff, 0xe0, 0]), Some(MediaType::Jpeg));
        assert_eq!(sniff(b"RIFF\x0c\0\0\0WEBPVP8L\0\0\0\0"), Some(MediaType::Webp));
        for no in [
            &b""[..],
            b"<svg onload=alert(1)>",
            b"<!doctype html>",
            b"GIF89a",
            b"\x89PNG\r\n\x1a\n",
            b"RIFF\xff\xff\0\0WEBPVP8L",
            b"\xff\xd8\xff",
        ] {
            assert_eq!(sniff(no), None, "{no:?}");
        }
    }
}
