//! Every printed page of the demo evening, read back by a library that had no part in writing it.

mod marks;
mod model;
mod reader;

use chrono::{DateTime, Utc};
use lopdf::{Document, Object};

use evenfall_core::chart::{Ink, Item, Point, Scene, TimelineOptions, timeline, visitor_sky};
use evenfall_core::output::pdf::{Paper, PdfOptions, leaf_pdf, leaf_scenes, run_sheet_pdf, run_sheet_scenes};
use evenfall_core::output::{paper_grey, scene_png};
use evenfall_core::plan::{Materials, Prepared};
use evenfall_core::sheet::page_words::not_to_be_run;
use evenfall_core::sheet::{Leaf, LeafDrawing, Names, RunSheet, leaves, run_sheet};
use evenfall_tests::park::Park;

use self::model::{leaf_words, run_sheet_words};
use self::reader::{Read, read};

const FONT: &[u8] = include_bytes!("../../assets/fonts/SourceSans3VF-Upright.ttf");

/// A written page with what it must say and what the window shows of it.
struct Page {
    name: String,
    title: String,
    bytes: Vec<u8>,
    again: Vec<u8>,
    words: Vec<String>,
    scenes: Vec<Scene>,
    drawing: Option<Scene>,
}

/// The pages of the demo's evening on a paper.
fn pages(paper: Paper) -> Vec<Page> {
    let (park, prepared) = Park::demo().drafted();
    let materials = park.materials();
    let sheet = run_sheet(&park.evening, &prepared, &materials);
    let names = Names::new(&park.evening, &prepared, &materials);
    let options = PdfOptions { paper, font: FONT, created: DateTime::<Utc>::UNIX_EPOCH };
    let mut pages = vec![sheet_page(&sheet, &park, (&prepared, &materials), &options)];
    pages.extend(
        leaves(&park.evening, &prepared, &materials, &sheet)
            .iter()
            .map(|leaf| leaf_page(leaf, &names, &options)),
    );
    pages
}

fn sheet_page(
    sheet: &RunSheet,
    park: &Park,
    (prepared, materials): (&Prepared, &Materials<'_>),
    options: &PdfOptions<'_>,
) -> Page {
    let scene = timeline(&park.evening, prepared, materials, options.paper.timeline());
    let write = || run_sheet_pdf(sheet, &scene, options).expect("a run sheet");
    Page {
        name: "run sheet".to_owned(),
        title: sheet.title.clone(),
        bytes: write(),
        again: write(),
        words: run_sheet_words(sheet),
        scenes: run_sheet_scenes(sheet, &scene, options).expect("its sides"),
        drawing: Some(scene),
    }
}

fn leaf_page(leaf: &Leaf, names: &Names<'_>, options: &PdfOptions<'_>) -> Page {
    let sky = visitor_sky(names, options.paper.visitor_sky(leaf.text_pt));
    let drawings = [(LeafDrawing::VisitorSky, &sky)];
    let write = || leaf_pdf(leaf, &drawings, options).expect("a page");
    let page = Page {
        name: format!("{:?}", leaf.kind),
        title: leaf.title.clone(),
        bytes: write(),
        again: write(),
        words: leaf_words(leaf),
        scenes: leaf_scenes(leaf, &drawings, options).expect("its sides"),
        drawing: None,
    };
    let draws = leaf.blocks.iter().any(|block| matches!(block, evenfall_core::sheet::Block::Drawing(_)));
    Page { drawing: draws.then_some(sky), ..page }
}

fn for_every_page(check: impl Fn(&Page, &Read)) {
    for paper in [Paper::A4, Paper::Letter] {
        for page in pages(paper) {
            check(&page, &read(&page.bytes));
        }
    }
}

/// A dictionary's entry, whether it stands there or is referred to.
fn entry<'d>(document: &'d Document, dictionary: &'d lopdf::Dictionary, key: &[u8]) -> Option<&'d Object> {
    document.dereference(dictionary.get(key).ok()?).ok().map(|(_, object)| object)
}

#[test]
fn text_in_reading_order_is_the_models() {
    for_every_page(|page, read| {
        let texts: Vec<&str> = read
            .elements
            .chunk_by(|_, next| !next.path.ends_with("TR"))
            // A table's head stands again on each side: a row of its body that has heads only.
            .filter(|row| {
                let mut cells = row[1..].iter().take_while(|cell| cell.path.contains("TBody/TR/"));
                !row[0].path.ends_with("TBody/TR") || cells.any(|cell| cell.path.ends_with("TD"))
            })
            .flatten()
            .filter(|element| !element.path.ends_with("Figure"))
            .map(|element| element.text.as_str())
            .collect();
        let said: Vec<String> = texts.join(" ").split_whitespace().map(str::to_owned).collect();
        for (index, (said, word)) in said.iter().zip(&page.words).enumerate() {
            let before = page.words[index.saturating_sub(6)..index].join(" ");
            assert_eq!(said, word, "{}: after {before}", page.name);
        }
        assert_eq!(said.len(), page.words.len(), "{}", page.name);
    });
}

#[test]
fn visitors_take_home_few_sides_in_print_that_they_can_read() {
    // Common practice of clear print, no source: plain print of 12 points and more, large print of 18.
    for_every_page(|page, read| {
        let (most_sides, least_pt) = match page.name.as_str() {
            "Handbill" => (2, 12.0),
            "HandbillEasy" => (1, 12.0),
            "HandbillLarge" => (4, 18.0),
            // Legible at arm's length: common practice, no source.
            "CloudCard" => (1, 9.99),
            _ => return,
        };
        let sides = read.drawn.len();
        assert!(sides <= most_sides, "{} takes {sides} sides", page.name);
        let smallest = read.sizes.iter().copied().fold(f32::INFINITY, f32::min);
        assert!(smallest >= least_pt - 0.01, "{} has text of {smallest} points", page.name);
    });
}

#[test]
fn no_line_parts_a_number_from_its_unit() {
    let units = [
        "s", "ms", "min", "minutes", "h", "mm", "m", "km/h", "µm", "mW", "hPa", "°C", "steps", "fist",
        "fists",
    ];
    for_every_page(|page, _| {
        let texts = page.scenes.iter().flat_map(|scene| &scene.items).filter_map(|item| match item {
            Item::Text { text, .. } => Some(text.as_str()),
            Item::Path { .. } => None,
        });
        let texts: Vec<&str> = texts.collect();
        for pair in texts.windows(2) {
            // All lines of a text but the last end with a space.
            let Some(before) = pair[0].strip_suffix(' ') else { continue };
            let (last, first) = (before.split(' ').next_back(), pair[1].split(' ').next());
            let is_number = last.is_some_and(|word| word.ends_with(|end: char| end.is_ascii_digit()));
            let unit =
                first.is_some_and(|word| units.contains(&word.trim_end_matches([',', '.', ':', ';', ')'])));
            assert!(!(is_number && unit), "{}: {:?} and {:?}", page.name, pair[0], pair[1]);
            assert!(last != Some("→"), "{}: {:?}", page.name, pair[0]);
        }
    });
}

#[test]
fn an_evening_with_stoppers_says_so_on_the_run_sheet() {
    let (park, prepared) = Park::demo().drafted();
    let materials = park.materials();
    let sheet = RunSheet { warning: not_to_be_run(3), ..run_sheet(&park.evening, &prepared, &materials) };
    let options = PdfOptions { paper: Paper::A4, font: FONT, created: DateTime::<Utc>::UNIX_EPOCH };
    let page = sheet_page(&sheet, &park, (&prepared, &materials), &options);
    let read = read(&page.bytes);
    let first = read.drawn.first().expect("it has a side");
    assert!(first.join(" ").contains("3 Stoppers: not to be run as it stands"), "{first:?}");
}

#[test]
fn the_run_sheet_has_its_stops_on_one_side() {
    for_every_page(|page, read| {
        if page.name != "run sheet" {
            return;
        }
        let heads = read.drawn.iter().filter(|texts| texts.iter().any(|text| text == "What to say")).count();
        assert_eq!((read.drawn.len(), heads), (2, 1));
        // Legible at arm's length: common practice, no source.
        let body = read.sizes.iter().filter(|size| **size >= 9.99).count();
        assert!(2 * body > read.sizes.len(), "{body} of {} texts", read.sizes.len());
    });
}

#[test]
fn the_picture_in_dots_shows_the_same_marks() {
    let (park, prepared) = Park::demo().drafted();
    let options = TimelineOptions { width: 1000.0, height: 560.0, text_size: 11.0 };
    let scene = timeline(&park.evening, &prepared, &park.materials(), options);
    let bytes = scene_png(&scene, FONT).expect("a picture");
    let picture = image::load_from_memory(&bytes).expect("a PNG").into_luma8();
    assert_eq!(picture.dimensions(), (2000, 1120));
    let dot = |x: f32, y: f32| picture.get_pixel((2.0 * x) as u32, (2.0 * y) as u32)[0];
    assert_eq!(dot(999.0, 559.0), 255);
    let (mut areas, mut as_drawn, mut lines, mut up) = (0, 0, 0, 0);
    for item in &scene.items {
        match item {
            // What is filled under the way of a target, and the dark of the sky: words and marks take less than half of one.
            Item::Path { points, fill: Some(ink @ (Ink::Port(_) | Ink::SkyLight(0..=200))), .. } => {
                let (first, last) = (points[0], points[2]);
                // What is smaller may lie under the lines at its edges.
                if last.x - first.x < 3.0 || last.y - first.y < 6.0 {
                    continue;
                }
                areas += 1;
                let places = (1..10).flat_map(|across| (2..10).map(move |down| (across, down)));
                let filled = places.filter(|(across, down)| {
                    let x = first.x + 0.1 * *across as f32 * (last.x - first.x);
                    let y = first.y.max(points[1].y);
                    dot(x, y + 0.1 * *down as f32 * (last.y - y)) == paper_grey(*ink)
                });
                as_drawn += usize::from(2 * filled.count() > 9 * 8);
            }
            // The way of a target at its stop: a thick black line.
            Item::Path { points, closed: false, stroke: Some(stroke), .. } if stroke.width >= 2.0 => {
                let middle = |pair: &[Point]| {
                    (f32::midpoint(pair[0].x, pair[1].x), f32::midpoint(pair[0].y, pair[1].y))
                };
                let dark = points.windows(2).map(middle).filter(|(x, y)| dot(*x, *y) < 60).count();
                assert!(2 * dark > points.len() - 1, "{dark} of {points:?}");
                lines += 1;
            }
            // Words that run up: ink above where they begin, within their height.
            Item::Text { at, size, runs_up: true, text, .. } => {
                let above = (0..200).map(|step| at.y - 0.01 * step as f32 * size * 0.4 * text.len() as f32);
                let dark = above.filter(|y| dot(at.x - 0.3 * size, *y) < 100).count();
                assert!((10..190).contains(&dark), "{dark} of {text}");
                up += 1;
            }
            _ => {}
        }
    }
    assert!(up >= 3, "{up} entries across all lanes");
    assert!(areas >= 12 && lines >= 8, "{areas} areas, {lines} lines");
    // A mark of the twilight may run through one.
    assert!(as_drawn + 4 >= areas, "{as_drawn} of {areas}");
    // Words: the name of the first lane is ink on white.
    let name = scene.items.iter().find_map(|item| match item {
        Item::Text { at, size, text, .. } if text == "Eyepiece" => Some((*at, *size)),
        _ => None,
    });
    let (at, size) = name.expect("a lane is named");
    let across = (0..200).map(|step| at.x + 0.01 * step as f32 * size);
    let dark = across.filter(|x| dot(*x, at.y - 0.3 * size) < 100).count();
    assert!((10..190).contains(&dark), "{dark}");
}

#[test]
fn the_window_shows_what_is_written() {
    // A space at the end of a line keeps words apart for a reader, and shows nothing.
    let bare = |texts: &[String]| texts.iter().map(|text| text.trim_end().to_owned()).collect::<Vec<_>>();
    for_every_page(|page, read| {
        assert_eq!(page.scenes.len(), read.drawn.len(), "{}", page.name);
        for (scene, drawn) in page.scenes.iter().zip(&read.drawn) {
            let shown = |item: &Item| match item {
                Item::Text { text, .. } => Some(text.clone()),
                Item::Path { .. } => None,
            };
            let shown: Vec<String> =
                scene.items.iter().filter_map(shown).filter(|text| !text.is_empty()).collect();
            assert_eq!(bare(&shown), bare(drawn), "{}", page.name);
        }
    });
}

#[test]
fn one_family_is_embedded_and_subset() {
    for_every_page(|page, read| {
        let mut fonts = 0;
        for object in read.document.objects.values() {
            let Ok(font) = object.as_dict() else { continue };
            if font.get(b"Type").and_then(Object::as_name).ok() != Some(&b"FontDescriptor"[..]) {
                continue;
            }
            let name = font.get(b"FontName").and_then(Object::as_name).expect("a name");
            let name = String::from_utf8_lossy(name).into_owned();
            // ISO 32000-1:2008, 9.6.4: the name of a subset begins with six capitals and a plus sign.
            let (tag, family) = name.split_once('+').expect("a subset");
            assert!(tag.len() == 6 && tag.bytes().all(|letter| letter.is_ascii_uppercase()), "{name}");
            assert!(family.starts_with("SourceSans3"), "{}: {name}", page.name);
            let file =
                entry(&read.document, font, b"FontFile2").or(entry(&read.document, font, b"FontFile3"));
            assert!(file.is_some_and(|file| file.as_stream().is_ok()), "{}: {name}", page.name);
            fonts += 1;
        }
        assert!((1..=2).contains(&fonts), "{}: {fonts} fonts", page.name);
    });
}

#[test]
fn the_structure_is_what_the_standards_ask_for() {
    // ISO 14289-1:2014: 7.1 (tagged, title shown), 7.2 (language), 7.3 (figures have words), 7.4 (headings in steps of
    // one from the first level), 7.5 (tables with headers).
    for_every_page(|page, read| {
        let (document, name) = (&read.document, &page.name);
        let catalog = document.catalog().expect("a catalogue");
        let marked = entry(document, catalog, b"MarkInfo").and_then(|info| info.as_dict().ok());
        assert!(marked.is_some_and(|info| info.get(b"Marked").and_then(Object::as_bool).unwrap_or(false)));
        let language =
            entry(document, catalog, b"Lang").and_then(|lang| lopdf::decode_text_string(lang).ok());
        assert_eq!(language.as_deref(), Some("en-GB"), "{name}");
        let viewer = entry(document, catalog, b"ViewerPreferences").and_then(|viewer| viewer.as_dict().ok());
        assert!(
            viewer.is_some_and(|it| it.get(b"DisplayDocTitle").and_then(Object::as_bool).unwrap_or(false))
        );
        let info = entry(document, &document.trailer, b"Info").and_then(|info| info.as_dict().ok());
        let title = info.and_then(|info| lopdf::decode_text_string(info.get(b"Title").ok()?).ok());
        assert_eq!(title.as_ref(), Some(&page.title), "{name}");
        assert!(entry(document, catalog, b"Outlines").is_some(), "{name}");

        let mut last = 0;
        for element in &read.elements {
            let tag = element.path.rsplit('/').next().unwrap_or_default();
            if let Some(level) = tag.strip_prefix('H').and_then(|level| level.parse::<u32>().ok()) {
                assert!(level <= last + 1 && (level > 1 || last == 0), "{name}: {}", element.text);
                last = level;
            }
            if tag == "Figure" {
                let alt = page.drawing.as_ref().map(|drawing| drawing.alt.as_str());
                let told = element.alt.as_deref().zip(alt).is_some_and(|(told, alt)| told.starts_with(alt));
                assert!(told, "{name}: {:?}", element.alt);
            }
        }
        let count = |ending: &str| read.elements.iter().filter(|it| it.path.ends_with(ending)).count();
        assert_eq!(count("H1"), 1, "{name}");
        assert_eq!(count("Figure"), usize::from(page.drawing.is_some()), "{name}");
        assert_eq!(count("THead/TR"), count("Table"), "{name}");
        assert!(count("Table") == 0 || count("TBody/TR/TH") > 0, "{name}");
    });
}

#[test]
fn every_side_tells_its_number_and_the_same_evening_gives_the_same_bytes() {
    for_every_page(|page, read| {
        let sides = read.document.get_pages().len();
        assert_eq!(sides, read.drawn.len(), "{}", page.name);
        for (index, drawn) in read.drawn.iter().enumerate() {
            let number = format!("Page {} of {sides}", index + 1);
            assert!(drawn.contains(&number), "{}: no {number}", page.name);
        }
        assert!(page.bytes == page.again, "{} differs", page.name);
    });
}
