//! An invented catalogue of any size from a seed, to see that a Shelf of 14,000 targets is as quick as one of a hundred.
//!
//! Kinds, sizes and magnitudes are spread as they are in large catalogues: few showpieces, very many small faint galaxies.
//! Nothing in it is real.

use std::fmt::Write;

/// How many targets the Shelf must bear.
pub const MANY: usize = 14_000;

/// A kind with its share of a hundred targets, the range of its size in arcminutes, of its magnitude and of its appeal.
struct Sort {
    kind: &'static str,
    share: u64,
    size_arcmin: (f64, f64),
    magnitude: (f64, f64),
    appeal: (f64, f64),
}

const SORTS: [Sort; 8] = [
    sort("Galaxy", 62, (0.6, 12.0), (9.5, 15.5), (0.05, 0.5)),
    sort("DoubleStar", 10, (0.0, 0.0), (3.0, 9.5), (0.2, 0.7)),
    sort("OpenCluster", 8, (2.0, 45.0), (4.0, 11.5), (0.2, 0.7)),
    sort("Star", 6, (0.0, 0.0), (2.0, 8.5), (0.1, 0.5)),
    sort("Nebula", 5, (2.0, 90.0), (6.0, 13.0), (0.1, 0.7)),
    sort("PlanetaryNebula", 5, (0.2, 4.0), (8.0, 14.0), (0.1, 0.7)),
    sort("GlobularCluster", 3, (1.0, 18.0), (5.5, 12.0), (0.2, 0.8)),
    sort("SupernovaRemnant", 1, (4.0, 120.0), (8.0, 13.0), (0.1, 0.5)),
];

const FIRST: [&str; 24] = [
    "Amber", "Birch", "Copper", "Drover's", "Elder", "Ferry", "Gorse", "Harrow", "Ivy", "Juniper", "Kiln",
    "Lichen", "Miller's", "Nettle", "Osier", "Peat", "Quarry", "Rowan", "Saddle", "Thorn", "Umber", "Violet",
    "Wicker", "Yarrow",
];
const SECOND: [&str; 24] = [
    "Arch", "Basket", "Croft", "Dyke", "Ember", "Fold", "Gate", "Hearth", "Inlet", "Jug", "Kettle", "Latch",
    "Mill", "Nook", "Oar", "Pail", "Quill", "Rill", "Shuttle", "Tarn", "Urn", "Vane", "Weir", "Yoke",
];

const fn sort(
    kind: &'static str,
    share: u64,
    size_arcmin: (f64, f64),
    magnitude: (f64, f64),
    appeal: (f64, f64),
) -> Sort {
    Sort { kind, share, size_arcmin, magnitude, appeal }
}

/// A linear congruential generator; the constants are Knuth's MMIX ones.
struct Seed(u64);

impl Seed {
    /// From 0 to below 1.
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, (low, high): (f64, f64)) -> f64 {
        low + (high - low) * self.share()
    }
}

/// The catalogue's file, with `count` invented targets spread over the whole sky. The target of position `n` is also known
/// as `EV` and the number `n + 1`.
pub fn many_targets(seed: u64, count: usize) -> String {
    let mut seed = Seed(seed);
    let mut text = String::with_capacity(count * 420);
    text.push_str("(\n  format: \"evenfall-catalogue/1\",\n  name: \"Invented sky\",\n  targets: [\n");
    for position in 0..count {
        target(&mut text, &mut seed, position).expect("a string takes all that is written");
    }
    text.push_str("  ],\n)\n");
    text
}

fn target(text: &mut String, seed: &mut Seed, position: usize) -> std::fmt::Result {
    let mut chance = seed.between((0.0, 100.0)) as u64;
    let sort = SORTS
        .iter()
        .find(|sort| {
            let own = chance < sort.share;
            chance = chance.saturating_sub(sort.share);
            own
        })
        .unwrap_or(&SORTS[0]);
    let number = position + 1;
    let first = FIRST[position % FIRST.len()];
    let second = SECOND[position / FIRST.len() % SECOND.len()];
    let round = position / (FIRST.len() * SECOND.len()) + 1;
    let name = if round == 1 { format!("{first} {second}") } else { format!("{first} {second} {round}") };
    let ra_deg = seed.between((0.0, 360.0));
    let dec_deg = seed.between((-1.0, 1.0)).asin().to_degrees();
    // Most are near the faint end, as the sky has them.
    let depth = seed.share().powf(0.35);
    let magnitude = sort.magnitude.0 + (sort.magnitude.1 - sort.magnitude.0) * depth;
    let appeal = sort.appeal.1 - (sort.appeal.1 - sort.appeal.0) * depth;
    writeln!(
        text,
        "    (id: \"invented-{number}\", name: \"{name}\", other_names: [\"EV {number}\"],\n     kind: {kind}, appeal: \
         {appeal:.2}, ra_deg: {ra_deg:.4}, dec_deg: {dec_deg:.4},",
        kind = sort.kind,
    )?;
    match sort.kind {
        "DoubleStar" => writeln!(
            text,
            "     double: (separation_arcsec: {:.1}, position_angle_deg: {:.0}, magnitudes: ({magnitude:.1}, {:.1}), \
             colours: \"gold and blue\"),",
            seed.between((1.0, 40.0)),
            seed.between((0.0, 359.0)),
            magnitude + seed.between((0.0, 3.0)),
        )?,
        "Star" => writeln!(text, "     magnitude: {magnitude:.1}, spectral_type: \"K2\",")?,
        _ => {
            // The bright ones are the large ones.
            let (small, large) = sort.size_arcmin;
            let long = large * (small / large).powf(depth);
            let short = long * seed.between((0.4, 1.0));
            writeln!(text, "     size_arcmin: ({long:.2}, {short:.2}), magnitude: {magnitude:.1},")?;
        }
    }
    writeln!(
        text,
        "     line: \"Invented for a test.\", comparison: \"As wide as it is.\", look_for: \"nothing in particular\", cue: \
         \"Look.\"),"
    )
}
