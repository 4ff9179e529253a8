//! What stands in the visitors' sky at the middle of the evening, and in what words it is told.

use crate::catalogue::Kind;
use crate::ephemeris::Body;
use crate::place::Source;
use crate::sheet::wording::phase_phrase;
use crate::sheet::{DARK_FOR_STARS, NAKED_EYE, Names, look, place_words, sky_of};
use crate::time::Instant;
use crate::units::Angle;

/// How the drawing is to be held.
pub(super) const HOW_TO_HOLD: &str = "Hold the page over your head and turn it until the word for the way you face is at the \
     bottom edge, over the horizon in front of you. The cross is straight overhead.";

/// The faintest star drawn: in town a few of these are seen, in the country all.
const FAINTEST: f64 = 5.0;
/// Said while the Sun leaves no star to the naked eye.
pub(super) const TOO_BRIGHT: &str = "Too bright for stars then.";

/// A target of the evening.
pub(super) struct SeenTarget {
    /// Number of its stop, from 1.
    pub number: usize,
    pub name: String,
    pub azimuth: Angle,
    pub altitude: Angle,
    /// Whether it is Moon or planet, or on it, which are drawn by themselves.
    pub is_body: bool,
    /// Whether it stands over the horizon and its hills.
    pub is_up: bool,
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
    /// Bodies over the horizon and its hills that the naked eye finds or that a stop shows.
    pub bodies: Vec<SeenBody>,
    /// The brighter stars of the catalogue over the horizon and its hills; none while it is too bright.
    pub stars: Vec<SeenStar>,
    /// Whether it is dark enough for stars.
    pub is_dark: bool,
    /// Whether hills or trees hide some of the lowest sky.
    pub has_ground: bool,
}

impl Seen {
    pub fn new(names: &Names<'_>) -> Self {
        let (prepared, materials) = (names.prepared, names.materials);
        let (at, _) = prepared.moon_illuminated_at_mid();
        let is_up = |azimuth, altitude| altitude >= lowest(names, azimuth);
        let moment = prepared.moments.get(prepared.moment_index(at));
        let is_dark = moment.is_some_and(|moment| moment.sun.altitude < DARK_FOR_STARS);
        let mut shown_bodies = Vec::new();
        let mut targets = Vec::new();
        for (index, stop) in names.evening.order.stops().iter().enumerate() {
            let target = stop.show().and_then(|show| names.target(&show.target));
            let Some((target_index, target)) = target else { continue };
            let Some(sample) = prepared.sample(target_index, at) else { continue };
            let body = match target.source {
                Source::Body(body) => Some(body),
                Source::Star(_) | Source::Comet(_) => None,
            };
            shown_bodies.extend(body);
            targets.push(SeenTarget {
                number: index + 1,
                name: names.stop_title(stop),
                azimuth: sample.azimuth,
                altitude: sample.altitude,
                is_body: body.is_some_and(|body| NAKED_EYE.contains(&body)),
                is_up: is_up(sample.azimuth, sample.altitude),
            });
        }
        let of_catalogue = materials.catalogue.targets.iter().enumerate();
        let stars = of_catalogue.filter_map(|(index, target)| {
            let magnitude = target.magnitude.filter(|magnitude| magnitude.0 <= FAINTEST)?.0;
            let is_star = matches!(target.kind, Kind::Star | Kind::DoubleStar);
            let sample =
                prepared.sample(index, at).filter(|sample| is_up(sample.azimuth, sample.altitude))?;
            (is_star && is_dark).then_some(SeenStar {
                azimuth: sample.azimuth,
                altitude: sample.altitude,
                magnitude,
            })
        });
        let has_ground = (0..360_u16)
            .map(|azimuth_deg| Angle::from_degrees(f64::from(azimuth_deg)))
            .any(|azimuth| materials.site.horizon.altitude(azimuth) > Angle::ZERO);
        let (bodies, stars) = (bodies(names, at, &shown_bodies), stars.collect());
        Self { at, targets, bodies, stars, is_dark, has_ground }
    }

    /// The targets over the horizon as `4 Jupiter`.
    pub fn numbered(&self) -> impl Iterator<Item = String> {
        let up = self.targets.iter().filter(|target| target.is_up);
        up.map(|target| format!("{} {}", target.number, target.name))
    }
}

/// The lowest altitude at which something is in sight: the horizon or the hills before it.
fn lowest(names: &Names<'_>, azimuth: Angle) -> Angle {
    names.materials.site.horizon.altitude(azimuth).max(Angle::ZERO)
}

/// Moon and planets that the naked eye finds or that a stop shows; none outside the years of the ephemeris.
fn bodies(names: &Names<'_>, at: Instant, shown: &[Body]) -> Vec<SeenBody> {
    let Some(sky) = sky_of(names) else { return Vec::new() };
    let observer = sky.at(at);
    let seen = |body: Body| {
        let observed = observer.observe(&Source::Body(body));
        let altitude = observed.apparent_altitude(names.materials.site.air);
        let is_shown = shown.contains(&body);
        let in_sight = if is_shown {
            altitude >= lowest(names, observed.azimuth)
        } else {
            look(names, &sky, body, at).is_some()
        };
        in_sight.then(|| SeenBody {
            name: body.name(),
            azimuth: observed.azimuth,
            altitude,
            is_moon: body == Body::Moon,
            is_shown,
        })
    };
    NAKED_EYE.into_iter().filter_map(seen).collect()
}

/// What stands over the drawing.
pub(super) fn title(names: &Names<'_>) -> String {
    let (at, _) = names.prepared.moon_illuminated_at_mid();
    format!("The whole sky at {}", names.clock(at))
}

/// The targets that are out of sight then, in a sentence: by their numbers, and by their names too if asked for.
pub(super) fn not_up(seen: &Seen, by_name: bool) -> Option<String> {
    let down = seen.targets.iter().filter(|target| !target.is_up);
    let down: Vec<String> =
        down.map(|target| {
            if by_name { format!("{} {}", target.number, target.name) } else { target.number.to_string() }
        })
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
        let place = if target.is_up {
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
        let phase = phase_phrase(names.prepared.night.moon_phase);
        sentences.push(format!("The Moon is drawn with its phase, {phase}"));
    }
    if !seen.is_dark {
        sentences.push(TOO_BRIGHT.trim_end_matches('.').to_owned());
    } else if !seen.stars.is_empty() {
        sentences.push("The dots are brighter stars, the larger the brighter".to_owned());
    }
    sentences.join(". ") + "."
}
