//! The shortest complete use of the library: the demo's files in, the running order and what is wrong with it out.

#![allow(
    clippy::disallowed_macros,
    reason = "an example shows its answer; the library itself prints nothing"
)]

use std::error::Error;

use evenfall_core::catalogue::read_catalogue;
use evenfall_core::document::read_evening;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::plan::{Evening, Materials, draft, prepare};
use evenfall_core::reading::Faults;
use evenfall_core::rig::read_rig;
use evenfall_core::sheet::run_sheet;
use evenfall_core::site::read_site;

macro_rules! demo {
    ($file:literal) => {
        ($file, include_str!(concat!("../../catalog-demo/", $file)))
    };
}

fn main() -> Result<(), Box<dyn Error>> {
    let (file, text) = demo!("heron-fell.site.ron");
    let site = read_site(file, text).map_err(first)?;
    let (file, text) = demo!("heron-fell.rig.ron");
    let rig = read_rig(file, text).map_err(first)?;
    let (file, text) = demo!("heron-fell.catalogue.ron");
    let (catalogue, faults) = read_catalogue(file, text);
    for fault in faults {
        println!("{fault}");
    }
    let (file, text) = demo!("heron-fell.evening.ron");
    let evening = read_evening(file, text).map_err(first)?;
    let ephemeris = Ephemeris::from_bytes(include_bytes!("../../assets/ephemeris/planets.pack"))?;

    let materials = Materials { site: &site, rig: &rig, catalogue: &catalogue, ephemeris: &ephemeris };
    let prepared = prepare(&evening, &materials)?;
    let order = draft(&evening, &prepared, &materials);
    let sheet = run_sheet(&Evening { order, ..evening }, &prepared, &materials);

    println!("{}\n{}\n", sheet.title, sheet.subtitle);
    for row in sheet.rows {
        println!("{} to {} {}  {}  {}", row.start, row.end, row.zone, row.title, row.port);
        for caution in row.cautions {
            println!("    {caution}");
        }
    }
    for finding in sheet.findings {
        println!("{finding}");
    }
    Ok(())
}

fn first(faults: Faults) -> Box<dyn Error> {
    faults.into_iter().next().map_or_else(|| "the file can't be read".into(), Into::into)
}
