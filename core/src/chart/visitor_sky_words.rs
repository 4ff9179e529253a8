//! What stands in the visitors' sky at the middle of the evening, and in what words it is told.

use crate::catalogue::Kind;
use crate::ephemeris::Body;
use crate::place::{EveningSky, Source};
use crate::sheet::wording::phase_word;
use crate::sheet::{Names, lower_first, place_words};
use crate::time::Instant;
use crate::units::Angle;

/// How the drawing is to be held.
pub(super) const HOW_TO_HOLD: &str = "Face any way you like, hold the page over your head, and turn it until the word for that way is nearest to you \
     at the bottom. The cross is straight overhead.";

/// The faintest star drawn: in town a few of these are seen, in the country all.
const FAINTEST: f64 = 5.0;

/// What the naked eye knows of the Solar System.
const BODIES: [Body; 6] = [Body::Moon, Body::Mercury, Body::Venus, Body::Mars, Body::Jupiter, Body::Saturn];

/// A target of the evening.
pub(super) struct SeenTarget {
    /// Number of its stop, from 1.
    pub number: usize,
    pub name: String,
    pub azimuth: Angle,
    pub altitude: Angle,
    /// Whether it is Moon or planet, which are drawn by themselves.
    pub is_body: bool,
}

impl SeenTarget {
    pub fn is_up(&self) -> bool {
        self.altitude >= Angle::ZERO
    }
}

/// Moon or planet.
pub(super) struct SeenBody {
    pub name: &'static str,
    pub azimuth: Angle,
    pub altitude: Angle,
    pub is_moon: bool,
    /// Whether a stop shows it, or something on it.
    pub is_shown: bool,
}

/// A star.
pub(super) struct SeenStar {
    pub azimuth: Angle,
    pub altitude: Angle,
    pub magnitude: f64,
}

/// All that stands in the sky.
pub(super) struct Seen {
    /// The middle of doors.
    pub at: Instant,
    /// Targets in the order of their stops, those below the horizon too.
    pub targets: Vec<SeenTarget>,
    /// Bodies above the horizon.
    pub bodies: Vec<SeenBody>,
    /// The brighter stars of the catalogue above the horizon.
    pub stars: Vec<SeenStar>,
}

impl Seen {
    pub fn new(names: &Names<'_>) -> Self {
        let (prepared, materials) = (names.prepared, names.materials);
        let (at, _) = prepared.moon_illuminated_at_mid();
        let mut shown_bodies = Vec::new();
        let mut targets = Vec::new();
        for (index, stop) in names.evening.order.stops().iter().enumerate() {
            let target = stop.show().and_then(|show| names.target(&show.target));
            let Some((target_index, target)) = target else { continue };
            let Some(sample) = prepared.sample(target_index, at) else { continue };
            let body = match target.source {
                Source::Body(body) => Some(body),
                Source::Star(_) => None,
            };
            shown_bodies.extend(body);
            targets.push(SeenTarget {
                number: index + 1,
                name: names.stop_title(stop),
                azimuth: sample.azimuth,
                altitude: sample.altitude,
                is_body: body.is_some(),
            });
        }
        let of_catalogue = materials.catalogue.targets.iter().enumerate();
        let stars = of_catalogue.filter_map(|(index, target)| {
            let magnitude = target.magnitude.filter(|magnitude| magnitude.0 <= FAINTEST)?.0;
            let is_star = matches!(target.kind, Kind::Star | Kind::DoubleStar);
            let sample = prepared.sample(index, at).filter(|sample| sample.altitude >= Angle::ZERO)?;
            is_star.then_some(SeenStar { azimuth: sample.azimuth, altitude: sample.altitude, magnitude })
        });
        Self { at, targets, bodies: bodies(names, at, &shown_bodies), stars: stars.collect() }
    }

    /// The targets above the horizon as `4 Jupiter`.
    pub fn numbered(&self) -> impl Iterator<Item = String> {
        let up = self.targets.iter().filter(|target| target.is_up());
        up.map(|target| format!("{} {}", target.number, target.name))
    }
}

/// Moon and planets above the horizon; none outside the years of the ephemeris.
fn bodies(names: &Names<'_>, at: Instant, shown: &[Body]) -> Vec<SeenBody> {
    let (site, window) = (names.materials.site, names.prepared.night.local.window());
    let sky = EveningSky::new(names.materials.ephemeris, site.place, names.evening.orientation, window);
    let Ok(sky) = sky else { return Vec::new() };
    let observer = sky.at(at);
    let seen = |body: Body| {
        let observed = observer.observe(&Source::Body(body));
        let altitude = observed.apparent_altitude(site.air);
        (altitude >= Angle::ZERO).then(|| SeenBody {
            name: body.name(),
            azimuth: observed.azimuth,
            altitude,
            is_moon: body == Body::Moon,
            is_shown: shown.contains(&body),
        })
    };
    BODIES.into_iter().filter_map(seen).collect()
}

/// What stands over the drawing.
pub(super) fn title(names: &Names<'_>) -> String {
    let (at, _) = names.prepared.moon_illuminated_at_mid();
    format!("The whole sky at {}", names.clock(at))
}

/// The targets that are below the horizon then, in a sentence.
pub(super) fn not_up(seen: &Seen) -> Option<String> {
    let down: Vec<String> = seen
        .targets
        .iter()
        .filter(|target| !target.is_up())
        .map(|target| format!("{} {}", target.number, target.name))
        .collect();
    (!down.is_empty()).then(|| format!("Not up at that time: {}.", down.join(", ")))
}

/// The drawing in words.
pub(super) fn alt(names: &Names<'_>, seen: &Seen) -> String {
    let mut sentences = vec![format!(
        "The whole sky over {} at {}, to be held overhead: north at the top, east on the left, straight up in the \
         middle, the horizon round the rim with its hills and trees in grey",
        names.materials.site.name,
        names.clock(seen.at)
    )];
    let told = |target: &SeenTarget| {
        let place = if target.is_up() {
            place_words(target.azimuth, target.altitude)
        } else {
            "not up at that time".to_owned()
        };
        format!("{}, {}, {place}", target.number, target.name)
    };
    sentences.push(if seen.targets.is_empty() {
        "No target is laid out yet".to_owned()
    } else {
        format!("Shown tonight: {}", seen.targets.iter().map(told).collect::<Vec<_>>().join("; "))
    });
    let others = seen.bodies.iter().filter(|body| !body.is_shown);
    let others: Vec<String> =
        others.map(|body| format!("{} {}", body.name, place_words(body.azimuth, body.altitude))).collect();
    if !others.is_empty() {
        sentences.push(format!("Also up: {}", others.join("; ")));
    }
    if seen.bodies.iter().any(|body| body.is_moon) {
        let phase = lower_first(phase_word(names.prepared.night.moon_phase)).replace("moon", "Moon");
        sentences.push(format!("The Moon is drawn with its phase, {phase}"));
    }
    if !seen.stars.is_empty() {
        sentences.push("The dots are brighter stars, the larger the brighter".to_owned());
    }
    sentences.join(". ") + "."
}
