//! A written file in fewer bytes: its small objects, most of them the structure, go compressed into one stream.
//!
//! Source: ISO 32000-1:2008, 7.5.4 (the table of places as the writer gives it), 7.5.7 (object streams), 7.5.8 (the table as a
//! stream). Both standards of the pages allow them: ISO 19005-2:2011, 6.1.4 and 6.1.7.

use std::io::{self, Write};

use flate2::Compression;
use flate2::write::ZlibEncoder;

/// An object of the file: its number, and what stands between its head and its end.
struct Object<'f> {
    number: usize,
    body: &'f [u8],
}

/// The file with its small objects packed; as it was where it is not written as expected.
pub(super) fn packed(file: Vec<u8>) -> Vec<u8> {
    Parts::of(&file).and_then(|parts| parts.packed().ok()).unwrap_or(file)
}

/// What a file consists of.
struct Parts<'f> {
    /// Up to the first object.
    head: &'f [u8],
    objects: Vec<Object<'f>>,
    /// Entries of the trailer but for the count of objects.
    trailer: &'f [u8],
}

impl<'f> Parts<'f> {
    fn of(file: &'f [u8]) -> Option<Self> {
        let start = last(file, b"startxref")?;
        let table = number(file.get(start + 9..)?)?.0;
        let rest = file.get(table..)?.strip_prefix(b"xref\n0 ")?;
        let (count, used) = number(rest)?;
        let entries = rest.get(used + 1..)?;
        let mut places = Vec::new();
        for (index, entry) in entries.chunks_exact(20).take(count).enumerate() {
            if entry[17] == b'n' {
                places.push((number(&entry[..10])?.0, index));
            }
        }
        places.sort_unstable();
        let ends = places.iter().skip(1).map(|(place, _)| *place).chain([table]);
        let object = |((place, number), end): (&(usize, usize), usize)| {
            let whole = file.get(*place..end)?;
            let body = whole.strip_prefix(format!("{number} 0 obj").as_bytes())?.trim_ascii();
            Some(Object { number: *number, body: body.strip_suffix(b"endobj")?.trim_ascii() })
        };
        let objects = places.iter().zip(ends).map(object).collect::<Option<Vec<_>>>()?;
        let trailer = file.get(last(file, b"trailer")? + 7..start)?.trim_ascii();
        let trailer = trailer.strip_prefix(b"<<")?.strip_suffix(b">>")?;
        let trailer = trailer.strip_prefix(format!("/Size {count}").as_bytes())?;
        Some(Self { head: file.get(..places.first()?.0)?, objects, trailer })
    }

    fn packed(&self) -> io::Result<Vec<u8>> {
        let is_stream = |object: &&Object<'_>| object.body.ends_with(b"endstream");
        let next = self.objects.iter().map(|object| object.number).max().unwrap_or(0) + 1;
        // Of each object: its kind, its place or the stream that holds it, its index there.
        let mut table = vec![(0, 0, 255); next + 2];
        let mut file = self.head.to_vec();
        for object in self.objects.iter().filter(is_stream) {
            table[object.number] = (1, file.len(), 0);
            writeln!(file, "{} 0 obj", object.number)?;
            file.extend_from_slice(object.body);
            file.extend_from_slice(b"\nendobj\n\n");
        }
        let (mut places, mut bodies) = (Vec::new(), Vec::new());
        let mut count = 0;
        for object in self.objects.iter().filter(|object| !is_stream(object)) {
            table[object.number] = (2, next, count);
            write!(places, "{} {} ", object.number, bodies.len())?;
            bodies.extend_from_slice(object.body);
            bodies.push(b'\n');
            count += 1;
        }
        table[next] = (1, file.len(), 0);
        let keys = format!("/Type/ObjStm/N {count}/First {}", places.len());
        write_stream(&mut file, next, keys.as_bytes(), &[places, bodies].concat())?;
        let start = file.len();
        table[next + 1] = (1, start, 0);
        let mut entries = Vec::new();
        for (kind, place, index) in table {
            entries.push(kind);
            entries.extend_from_slice(&u32::try_from(place).map_err(io::Error::other)?.to_be_bytes());
            entries.extend_from_slice(&u16::try_from(index).map_err(io::Error::other)?.to_be_bytes());
        }
        let mut keys = format!("/Type/XRef/Size {}/W[1 4 2]", next + 2).into_bytes();
        keys.extend_from_slice(self.trailer);
        write_stream(&mut file, next + 1, &keys, &entries)?;
        write!(file, "startxref\n{start}\n%%EOF")?;
        Ok(file)
    }
}

/// Writes a compressed stream as an object.
fn write_stream(file: &mut Vec<u8>, number: usize, keys: &[u8], content: &[u8]) -> io::Result<()> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(content)?;
    let compressed = encoder.finish()?;
    write!(file, "{number} 0 obj\n<<")?;
    file.extend_from_slice(keys);
    write!(file, "/Filter/FlateDecode/Length {}>>\nstream\n", compressed.len())?;
    file.extend_from_slice(&compressed);
    file.extend_from_slice(b"\nendstream\nendobj\n\n");
    Ok(())
}

/// Where some bytes stand for the last time.
fn last(file: &[u8], sought: &[u8]) -> Option<usize> {
    file.windows(sought.len()).rposition(|part| part == sought)
}

/// The number that begins some bytes, behind white space, and how many bytes it takes.
fn number(bytes: &[u8]) -> Option<(usize, usize)> {
    let blank = bytes.iter().take_while(|byte| byte.is_ascii_whitespace()).count();
    let digits = bytes[blank..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    let text = std::str::from_utf8(&bytes[blank..blank + digits]).ok()?;
    Some((text.parse().ok()?, blank + digits))
}

#[cfg(test)]
mod tests {
    use super::packed;

    #[test]
    fn a_file_keeps_its_streams_and_loses_its_table() {
        let mut file = b"%PDF-1.7\n\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n\n".to_vec();
        let second = file.len();
        file.extend(b"2 0 obj\n<</Type/Pages/Count 0/Kids[]>>\nendobj\n\n");
        let third = file.len();
        file.extend(b"3 0 obj\n<</Length 5>>\nstream\nhello\nendstream\nendobj\n\n");
        let table = file.len();
        file.extend(b"xref\n0 4\n0000000000 65535 f\r\n");
        for place in [10, second, third] {
            file.extend(format!("{place:010} 00000 n\r\n").bytes());
        }
        file.extend(b"trailer\n<</Size 4/Root 1 0 R>>\nstartxref\n");
        file.extend(format!("{table}\n%%EOF").bytes());
        let packed = packed(file);
        let text = String::from_utf8_lossy(&packed);
        // ISO 32000-1:2008, 7.5.7: two objects in one stream; 7.5.8: the table is a stream with the keys of the trailer.
        assert!(
            text.starts_with("%PDF-1.7\n\n3 0 obj\n<</Length 5>>\nstream\nhello\nendstream\nendobj"),
            "{text}"
        );
        assert!(text.contains("/Type/ObjStm/N 2/First 9") && !text.contains("1 0 obj"), "{text}");
        assert!(text.contains("/Type/XRef/Size 6/W[1 4 2]/Root 1 0 R/") && text.ends_with("%%EOF"), "{text}");
        assert!(!text.contains("trailer"));
    }

    #[test]
    fn what_is_no_such_file_stays_as_it_is() {
        for odd in
            [&b""[..], b"%PDF-1.7", b"%PDF-1.7 trailer startxref 9999", b"xref\n0 1\nstartxref\n0\n%%EOF"]
        {
            assert_eq!(packed(odd.to_vec()), odd);
        }
    }
}
