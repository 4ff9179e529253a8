//! What every side of every page must show of its ink and its foot, one test a capability.

use std::collections::BTreeMap;

use evenfall_core::output::pdf::Paper;
use evenfall_core::sheet::run_sheet;
use evenfall_tests::park::Park;
use lopdf::content::Content;
use lopdf::{Document, Object};

use super::reader::read;
use super::{for_every_page, pages};

/// Everything that is painted: the content of each side, and the drawings that it calls.
fn painted(document: &Document) -> Vec<Content> {
    let mut streams: Vec<Vec<u8>> =
        document.get_pages().into_values().map(|page| document.get_page_content(page)).collect();
    for object in document.objects.values() {
        let Ok(stream) = object.as_stream() else { continue };
        match stream.dict.get(b"Subtype").and_then(Object::as_name) {
            Ok(b"Form") => streams.push(stream.get_plain_content().expect("a drawing's content")),
            Ok(b"Image") => panic!("a picture of dots, whose colours are not told by operators"),
            _ => {}
        }
        // ISO 32000-1:2008, table 76 and 8.7.4: patterns and shadings paint with colours of their own.
        assert!(!stream.dict.has(b"PatternType") && !stream.dict.has(b"ShadingType"));
    }
    streams.iter().map(|stream| Content::decode(stream).expect("page content")).collect()
}

/// The components of a colour that an operator sets (ISO 32000-1:2008, table 74); `None` for all other operators.
fn colour(operator: &str, operands: &[Object]) -> Option<Vec<f32>> {
    let sets = ["g", "G", "rg", "RG", "k", "K", "sc", "SC", "scn", "SCN"].contains(&operator);
    sets.then(|| operands.iter().map(|part| part.as_float().expect("a number")).collect())
}

#[test]
fn row_58_nothing_is_printed_in_a_colour_and_all_of_it_is_large_enough() {
    for_every_page(|page, read| {
        let mut set = 0;
        for content in painted(&read.document) {
            for operation in content.operations {
                assert_ne!(operation.operator, "sh", "{}: a shading", page.name);
                let Some(parts) = colour(&operation.operator, &operation.operands) else { continue };
                // A grey has one part or, of red, green and blue, three alike.
                let grey = match parts[..] {
                    [_] => true,
                    [red, green, blue] => {
                        red.to_bits() == green.to_bits() && green.to_bits() == blue.to_bits()
                    }
                    _ => false,
                };
                assert!(grey, "{}: {} {parts:?}", page.name, operation.operator);
                set += 1;
            }
        }
        assert!(set > 0, "{}: no colour is ever set", page.name);
        // Legible at arm's length by a dim lamp: common practice, no source. Marks in drawings and feet are smaller.
        let smallest = read.sizes.iter().copied().fold(f32::INFINITY, f32::min);
        assert!(smallest >= LEAST_PT - 0.01, "{}: text of {smallest} points", page.name);
    });
}

/// The least size of type on any page, in points.
const LEAST_PT: f32 = 7.2;

#[test]
fn row_62_every_side_of_every_page_shows_its_number_stamp_and_zone_on_both_papers() {
    let (park, prepared) = Park::demo().drafted();
    let sheet = run_sheet(&park.evening, &prepared, &park.materials());
    assert!(sheet.stamp.starts_with("Evenfall ") && sheet.zone.contains("GMT"), "{}", sheet.zone);
    let mut sides = BTreeMap::new();
    for paper in [Paper::A4, Paper::Letter] {
        let pages = pages(paper);
        assert_eq!(pages.len(), 13);
        for page in pages {
            let read = read(&page.bytes);
            let of = read.drawn.len();
            for (index, drawn) in read.drawn.iter().enumerate() {
                let shown = drawn.join(" ");
                let number = format!("Page {} of {of}", index + 1);
                for wanted in [&sheet.stamp, &number, &"All times GMT".to_owned()] {
                    assert!(shown.contains(wanted.as_str()), "{paper:?} {}: no {wanted}", page.name);
                }
                *sides.entry(page.name.clone()).or_insert(0) += 1;
            }
        }
    }
    assert!(sides.values().any(|count| *count > 2), "none has more than one side: {sides:?}");
}
