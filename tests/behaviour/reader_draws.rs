//! Every reader and bytes drawn by lot: what the fuzzers' corpus holds is replayed, as it stands and with slips, and so are bytes
//! without any sense. No reader panics, and what it reads is written and read back the same.

use std::fs;
use std::path::{Path, PathBuf};

use evenfall_tests::draws::Draws;
use evenfall_tests::readers::READERS;

/// What the fuzzers begin with, and what they found and was mended.
fn corpus(reader: &str) -> Vec<(PathBuf, Vec<u8>)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/corpus").join(reader);
    let entries = fs::read_dir(&folder).expect("each reader has a corpus");
    let mut paths: Vec<PathBuf> =
        entries.map(|entry| entry.expect("an entry of the corpus").path()).collect();
    paths.sort();
    paths.into_iter().map(|path| (path.clone(), fs::read(path).expect("a file of the corpus"))).collect()
}

#[test]
fn the_corpus_of_the_fuzzers_is_read_without_a_fault_in_the_reader() {
    for (name, read) in READERS {
        let files = corpus(name);
        assert!(!files.is_empty(), "{name}");
        for (_, bytes) in &files {
            read(bytes);
        }
    }
}

/// Pieces that mean something to one reader or another.
const PIECES: [&[u8]; 24] = [
    b"(",
    b")",
    b"[",
    b"]",
    b",",
    b":",
    b"\"",
    b"'",
    b"\n",
    b" ",
    b"-",
    b"0",
    b"1e999",
    b"NaN",
    b"Some(",
    b"//",
    b"/*",
    b"r#\"",
    b"<",
    b">",
    b"\\u{1F52D}",
    b"\xff",
    b"\xc3\xa9",
    b"format",
];

/// Changes a text in one place: a byte turned, taken out, put in or doubled, a piece put in, the end cut off.
fn slip(draws: &mut Draws, bytes: &mut Vec<u8>) {
    let at = draws.below(bytes.len().max(1)).min(bytes.len());
    match draws.below(6) {
        0 if at < bytes.len() => bytes[at] = draws.whole() as u8,
        1 if at < bytes.len() => drop(bytes.remove(at)),
        2 => bytes.truncate(at),
        3 => {
            let until = (at + draws.below(40)).min(bytes.len());
            let again = bytes[at..until].to_vec();
            bytes.splice(at..at, again);
        }
        _ => {
            bytes.splice(at..at, draws.of(&PIECES).iter().copied());
        }
    }
}

#[test]
fn no_reader_panics_at_slips() {
    const SLIPPED_BYTES: usize = 200_000;
    let mut draws = Draws(31);
    for (name, read) in READERS {
        for (_, good) in corpus(name) {
            // So many that long files and short ones take about the same time.
            for _ in 0..(SLIPPED_BYTES / good.len().max(1)).clamp(10, 200) {
                let mut bytes = good.clone();
                (0..=draws.below(4)).for_each(|_| slip(&mut draws, &mut bytes));
                read(&bytes);
            }
        }
    }
}

#[test]
fn no_reader_panics_at_bytes_without_sense() {
    let mut draws = Draws(32);
    for (_, read) in READERS {
        for _ in 0..300 {
            let bytes: Vec<u8> = (0..draws.below(200)).map(|_| draws.whole() as u8).collect();
            read(&bytes);
            let pieces: Vec<u8> = (0..draws.below(60)).flat_map(|_| draws.of(&PIECES).to_vec()).collect();
            read(&pieces);
        }
    }
}
