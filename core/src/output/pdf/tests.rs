//! The laid out sides and the written files, of the demo and of what nobody should have to print.

use chrono::{DateTime, Utc};

use super::leaf;
use super::page::{Mark, Pages, Role, Setting};
use super::run_sheet::laid_out;
use super::typeface::Typeface;
use super::{Paper, PdfOptions, leaf_pdf, leaf_scenes, run_sheet_pdf, run_sheet_scenes};
use crate::chart::{Item, Scene, VisitorSkyOptions, Weight, visitor_sky};
use crate::plan::Prepared;
use crate::sheet::demo::Demo;
use crate::sheet::{Block, FOOTER, Leaf, LeafDrawing, LeafKind, LeafTable, Notice, Row, RunSheet, leaves};

const FONT: &[u8] = include_bytes!("../../../../assets/fonts/SourceSans3VF-Upright.ttf");

fn options(paper: Paper) -> PdfOptions<'static> {
    PdfOptions { paper, font: FONT, created: DateTime::<Utc>::UNIX_EPOCH }
}

fn scene(paper: Paper) -> Scene {
    let size = paper.timeline();
    Scene { width: size.width, height: size.height, alt: "A drawing".into(), items: Vec::new() }
}

/// A sheet with as many rows, each as long as it gets.
fn crowded(rows: usize, cautions: usize) -> RunSheet {
    let row = |number: usize| Row {
        number: number.to_string(),
        start: "20:40".into(),
        end: "21:00".into(),
        zone: "GMT, then BST".into(),
        title: "Überlange Sternwartenteleskopkuppelsteuerungsanlage \u{5317} of Ærø".into(),
        kind: "Supernova remnant".into(),
        port: "C Eyepiece with a name of forty characters".into(),
        port_detail: "24 mm, 175×".into(),
        held: "time held".into(),
        cue: "Far more than the seven words that anybody can say".into(),
        cautions: vec!["Stopper: Shares time with stop 3. Move or shorten one of the two.".into(); cautions],
        ..Row::default()
    };
    RunSheet {
        title: "A title of an evening that is much longer than any poster, and then some more words".into(),
        subtitle: "Saturday 13 March 2027 · a park with a long name · a telescope with a long name".into(),
        warning: "12 Stoppers: not to be run as it stands".into(),
        head: vec![Notice::new("Sunset", "18:09 GMT"); 9],
        rows: (1..=rows).map(row).collect(),
        findings: vec!["Caution: Little slack. Remove a stop.".into(); 3],
        cautions: vec![Notice::new("This site", "Keep to the boards. ".repeat(6)); 14],
        limits: vec![Notice::new("Wind", "45 km/h sustained: dome closed"); 4],
        footer: FOOTER.into(),
        stamp: "Evenfall".into(),
        zone: "All times GMT".into(),
    }
}

fn assert_inside(pages: &Pages<'_>) {
    let (width, height) = pages.setting.size;
    for mark in pages.sides.iter().flatten() {
        let (left, top, right, bottom) = match mark {
            Mark::Text { x, y, size, weight, text, .. } => {
                let long = pages.typeface.width(text.trim_end(), *size, *weight);
                (*x, y - 0.75 * size, x + long, y + 0.2 * size)
            }
            Mark::Rule { from, to, .. } => (from.0, from.1, to.0, to.1),
            Mark::Frame { at, size, .. } => (at.0, at.1, at.0 + size.0, at.1 + size.1),
            Mark::Drawing { at, scale, scene, .. } => {
                (at.0, at.1, at.0 + scale * scene.width, at.1 + scale * scene.height)
            }
        };
        let edge = pages.setting.margin - 1.0;
        assert!(left >= edge && top >= edge && right <= width - edge && bottom <= height - edge, "{mark:?}");
    }
}

#[test]
fn nothing_leaves_the_page_however_crowded() {
    let typeface = Typeface::new(FONT).unwrap();
    for paper in [Paper::A4, Paper::Letter] {
        let scene = scene(paper);
        for (rows, cautions) in [(0, 0), (1, 0), (60, 3), (2, 120)] {
            let sheet = crowded(rows, cautions);
            assert_inside(&laid_out(&sheet, &scene, paper, &typeface));
        }
    }
}

#[test]
fn crowded_pages_keep_to_both_standards() {
    for (rows, cautions) in [(0, 0), (25, 3)] {
        let pdf = run_sheet_pdf(&crowded(rows, cautions), &scene(Paper::Letter), &options(Paper::Letter));
        assert!(pdf.is_ok(), "{pdf:?}");
    }
    let nameless = RunSheet::default();
    let pdf = run_sheet_pdf(&nameless, &scene(Paper::A4), &options(Paper::A4));
    assert!(pdf.is_ok(), "{pdf:?}");
}

#[test]
fn the_demo_fits_two_sides_and_gives_the_same_bytes() {
    let (demo, prepared) = Demo::on("2027-03-13").drafted();
    let sheet = demo.sheet(&prepared);
    let scene = demo.scene(&prepared, Paper::A4.timeline());
    let typeface = Typeface::new(FONT).unwrap();
    let pages = laid_out(&sheet, &scene, Paper::A4, &typeface);
    assert_inside(&pages);
    assert_eq!(pages.sides.len(), 2);
    let first = run_sheet_pdf(&sheet, &scene, &options(Paper::A4)).unwrap();
    assert_eq!(first, run_sheet_pdf(&sheet, &scene, &options(Paper::A4)).unwrap());
    // ISO 32000-1:2008, 7.5.2: the first line names the version.
    assert!(first.starts_with(b"%PDF-1.7"));
}

#[test]
fn every_word_of_a_sheet_can_be_written() {
    let (demo, prepared) = Demo::on("2027-03-13").drafted();
    let sheet = demo.sheet(&prepared);
    let typeface = Typeface::new(FONT).unwrap();
    let rows =
        sheet.rows.iter().flat_map(|row| [&row.title, &row.altitude, &row.azimuth, &row.cue, &row.port]);
    let notices = sheet.head.iter().chain(&sheet.cautions).chain(&sheet.limits);
    for text in rows.chain(notices.flat_map(|notice| [&notice.label, &notice.value])) {
        assert_eq!(&typeface.writable(text), text);
    }
    let setting = Setting::run_sheet(Paper::Letter);
    assert!(typeface.width(&sheet.footer, 9.0, Weight::Semibold) < setting.text_width());
}

#[test]
fn a_broken_typeface_is_told() {
    let options = PdfOptions { font: b"no font", ..options(Paper::A4) };
    let error = run_sheet_pdf(&RunSheet::default(), &scene(Paper::A4), &options).unwrap_err();
    assert!(error.to_string().contains("typeface"), "{error}");
}

/// A page with every sort of block, each longer than anybody should write, on as many rows.
fn crowded_leaf(kind: LeafKind, text_pt: f32, rows: usize) -> Leaf {
    let name = "Überlange Sternwartenteleskopkuppelsteuerungsanlage \u{5317} \u{5e9}\u{5dc}\u{5d5}\u{5dd} "
        .repeat(4);
    let sentence = "Look along the line of shadow and wait. ".repeat(5);
    let table = LeafTable {
        summary: "One row a stop".into(),
        heads: ["Time", "What", "Where in the sky", "Whom to ask"].map(str::to_owned).to_vec(),
        rows: (0..rows)
            .map(|row| vec![format!("20:{:02}", row % 60), name.clone(), sentence.clone(), String::new()])
            .collect(),
        shares: vec![1.0, 2.0, 3.0, 1.0],
        may_stand_below: None,
        filled_in: &[(3, "box for the answer")],
    };
    let listed: Vec<String> = (0..rows).map(|_| sentence.clone()).collect();
    Leaf {
        kind,
        title: "A title of an evening that is much longer than any poster, and then some more words".into(),
        subtitle: "Saturday 13 March 2027 · a park with a long name".into(),
        text_pt,
        least_pt: text_pt,
        landscape: false,
        blocks: vec![
            Block::Subheading("A stop before any heading".into()),
            Block::Large("18:30 to 22:30 GMT".into()),
            Block::Large(name.clone()),
            Block::Heading(name.clone()),
            Block::Table(table),
            Block::Heading("What to bring".into()),
            Block::List(listed.clone()),
            Block::Heading("Sky".into()),
            Block::Drawing(LeafDrawing::VisitorSky),
            Block::Subheading(name.clone()),
            Block::Text(sentence.repeat(rows)),
            Block::Facts(vec![Notice::new(name.clone(), sentence.clone()), Notice::new("Doors", "18:30")]),
            Block::Notes(vec![
                Notice::new(name.clone(), sentence.repeat(rows)),
                Notice::new("Here", "A ramp."),
            ]),
            Block::Choices(vec!["Go".into(), "No-go".into()]),
            Block::Choices(vec![sentence.clone(), name.clone()]),
            Block::FillIn(vec!["Decided at".into(), "By".into()]),
            Block::FillIn(vec![sentence, name.clone()]),
            Block::Heading("At the very end".into()),
        ],
        footer: FOOTER.into(),
        zone: "All times GMT (Europe/London)".into(),
        stamp: format!("Evenfall {name}"),
    }
}

/// The demo's sky for a page.
fn sky((demo, prepared): &(Demo, Prepared), options: VisitorSkyOptions) -> Scene {
    let mut sky = None;
    demo.with_names(prepared, |names| sky = Some(visitor_sky(names, options)));
    sky.expect("it was drawn")
}

fn words(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_owned).collect()
}

/// The words on all sides but those of footers and drawings.
fn words_read(pages: &Pages<'_>) -> Vec<String> {
    let read = |mark: &Mark<'_>| match mark {
        Mark::Text { text, role: Role::Content(_), .. } => Some(text.clone()),
        _ => None,
    };
    let texts: Vec<String> = pages.sides.iter().flatten().filter_map(read).collect();
    words(&texts.join(" "))
}

#[test]
fn no_leaf_loses_a_word_or_leaves_its_sides_however_crowded() {
    let drafted = Demo::on("2027-03-13").drafted();
    let typeface = Typeface::new(FONT).unwrap();
    for paper in [Paper::A4, Paper::Letter] {
        for (text_pt, rows, landscape) in
            [(12.0, 0, false), (12.0, 60, true), (18.0, 60, false), (9.0, 3, true)]
        {
            let sky = sky(&drafted, paper.visitor_sky(text_pt));
            let leaf = Leaf { landscape, ..crowded_leaf(LeafKind::HandbillLarge, text_pt, rows) };
            let pages = leaf::laid_out(&leaf, &[(LeafDrawing::VisitorSky, &sky)], paper, &typeface).unwrap();
            assert_inside(&pages);
            let read = words_read(&pages).concat();
            for block in &leaf.blocks {
                let (Block::Heading(text) | Block::Subheading(text) | Block::Text(text) | Block::Large(text)) =
                    block
                else {
                    continue;
                };
                let text = words(&typeface.writable(text)).concat();
                assert!(read.contains(&text), "{text_pt} pt, {rows} rows: {text} is not whole");
            }
            // The table's longest cells: as often as there are rows, and in the list as often again.
            let sentence = words("Look along the line of shadow and wait.").concat();
            assert!(read.matches(&sentence).count() >= 5 * rows, "{text_pt} pt, {rows} rows");
        }
    }
}

#[test]
fn boxes_to_write_into_stand_clear_of_all_words() {
    let typeface = Typeface::new(FONT).unwrap();
    let told = "box for the answer";
    for (text_pt, rows) in [(9.0, 3), (12.0, 40), (18.0, 10)] {
        let mut leaf = crowded_leaf(LeafKind::NightReport, text_pt, rows);
        leaf.blocks.retain_mut(|block| {
            if let Block::Table(table) = block {
                table.filled_in = &[(2, "box for the answer"), (3, "box for the answer")];
                table.rows.iter_mut().for_each(|row| row[2].clear());
            }
            !matches!(block, Block::Drawing(_))
        });
        let pages = leaf::laid_out(&leaf, &[], Paper::A4, &typeface).unwrap();
        assert_inside(&pages);
        let mut boxes = 0;
        for side in &pages.sides {
            for mark in side {
                let Mark::Frame { at, size, role: Role::Told(_, words) } = mark else { continue };
                if *words != told {
                    continue;
                }
                boxes += 1;
                assert!(size.0 > 20.0 && size.1 >= 19.9, "{text_pt} pt: {size:?} is too small for a hand");
                let meets = side.iter().find(|other| match other {
                    Mark::Text { x, y, size: body, weight, text, .. } => {
                        let right = x + pages.typeface.width(text.trim_end(), *body, *weight);
                        *x < at.0 + size.0 && right > at.0 && y - 0.5 * body < at.1 + size.1 && *y > at.1
                    }
                    _ => false,
                });
                assert!(meets.is_none(), "{text_pt} pt: {meets:?} in the box at {at:?}");
            }
        }
        assert_eq!(boxes, 2 * rows, "{text_pt} pt");
    }
}

#[test]
fn crowded_leaves_keep_to_both_standards() {
    let drafted = Demo::on("2027-03-13").drafted();
    for (kind, rows) in [(LeafKind::DoorCard, 0), (LeafKind::Handbill, 60), (LeafKind::HandbillLarge, 30)] {
        let sky = sky(&drafted, Paper::A4.visitor_sky(12.0));
        let pdf = leaf_pdf(
            &crowded_leaf(kind, 12.0, rows),
            &[(LeafDrawing::VisitorSky, &sky)],
            &options(Paper::A4),
        );
        assert!(pdf.is_ok(), "{kind:?}: {:?}", pdf.err());
    }
}

#[test]
fn a_leaf_without_its_drawing_is_told() {
    let leaf = crowded_leaf(LeafKind::Handbill, 12.0, 1);
    let error = leaf_pdf(&leaf, &[], &options(Paper::A4)).unwrap_err();
    assert!(error.to_string().contains("VisitorSky"), "{error}");
}

#[test]
fn the_demos_leaves_take_few_sides_and_no_heading_ends_one() {
    let drafted = Demo::on("2027-03-13").drafted();
    let (demo, prepared) = &drafted;
    let sheet = demo.sheet(prepared);
    let typeface = Typeface::new(FONT).unwrap();
    for leaf in leaves(&demo.evening, prepared, &demo.materials(), &sheet) {
        for paper in [Paper::A4, Paper::Letter] {
            let sky = sky(&drafted, paper.visitor_sky(leaf.text_pt));
            let pages = leaf::laid_out(&leaf, &[(LeafDrawing::VisitorSky, &sky)], paper, &typeface).unwrap();
            assert_inside(&pages);
            let most = match leaf.kind {
                LeafKind::DoorCard
                | LeafKind::HostCard
                | LeafKind::QueueCard
                | LeafKind::CloudCard
                | LeafKind::HandbillEasy => 1,
                LeafKind::HandbillLarge => 4,
                _ => 2,
            };
            assert!(pages.sides.len() <= most, "{:?} takes {} sides", leaf.kind, pages.sides.len());
            for heading in &pages.headings {
                let below = pages.sides[heading.side].iter().any(|mark| match mark {
                    Mark::Text { y, role: Role::Content(_), size, .. } => {
                        *y > heading.y + 2.0 * size && *y < pages.setting.bottom()
                    }
                    Mark::Drawing { at, .. } | Mark::Frame { at, .. } => at.1 > heading.y,
                    _ => false,
                });
                assert!(below, "{:?}: {} stands alone", leaf.kind, heading.text);
            }
        }
    }
}

#[test]
fn previews_say_what_the_file_says() {
    let drafted = Demo::on("2027-03-13").drafted();
    let (demo, prepared) = &drafted;
    let sheet = demo.sheet(prepared);
    let scene = demo.scene(prepared, Paper::A4.timeline());
    let scenes = run_sheet_scenes(&sheet, &scene, &options(Paper::A4)).unwrap();
    assert_eq!(scenes.len(), 2);
    assert_eq!((scenes[0].width, scenes[0].height), Paper::A4.size());
    let texts = |scene: &Scene| -> Vec<String> {
        let of = |item: &Item| match item {
            Item::Text { text, .. } => Some(text.clone()),
            Item::Path { .. } => None,
        };
        scene.items.iter().filter_map(of).collect()
    };
    let first = texts(&scenes[0]).concat();
    assert!(first.contains(&sheet.title) && first.contains("Page 1 of 2"), "{first}");
    // The drawing is on the preview too, and what it is told by.
    let drawn = texts(&scene);
    let last = texts(&scenes[1]);
    assert!(drawn.iter().all(|text| last.contains(text)), "{drawn:?}");
    assert!(scenes[1].alt.contains(&scene.alt));
    let leaf = crowded_leaf(LeafKind::Handbill, 12.0, 2);
    let sky = sky(&drafted, Paper::Letter.visitor_sky(12.0));
    let scenes = leaf_scenes(&leaf, &[(LeafDrawing::VisitorSky, &sky)], &options(Paper::Letter)).unwrap();
    assert_eq!((scenes[0].width, scenes[0].height), Paper::Letter.upright());
}

#[test]
fn names_that_cannot_be_written_are_told() {
    let names = ["Ærø", "\u{5317} Tower", "Fen\u{200b}side"];
    let changed = Typeface::new(FONT).unwrap().unwritable(names);
    assert_eq!(changed, [("\u{5317} Tower", "\u{25a1} Tower".to_owned())]);
}
