//! The chain from one target to a visitor's eye, link by link, for every minute of the night and every port.

use super::availability::showing;
use super::limits::hard_limit;
use super::{Limit, Materials, Moment, POOR_VIEW, Prepared, Sample, Track, WeakestLink};
use crate::assign::{PortChoice, Reason, Showing, rank_ports, view_on_port};
use crate::catalogue::Target;
use crate::rig::{Port, PortId};
use crate::sky::SkyLight;
use crate::time::Instant;
use crate::units::{Fraction, SurfaceBrightness};

/// A link that leaves so much holds nothing back. Common practice, no source.
const NOTHING_WRONG: f64 = 0.95;
/// How many of [`Link::ALL`] are links of the sky.
const OF_SKY: usize = 3;

/// A link of the chain. Those of the sky come first, then those of the port.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Link {
    /// Height above the horizon: the longer way through the air dims, blurs and glows.
    Height,
    /// Twilight on the sky behind.
    Twilight,
    /// Moonlight on the sky behind.
    Moonlight,
    /// Its own light against eye or sensor under a dark sky.
    Light,
    /// Its size in the field.
    Framing,
    /// Detail that the air and the pixels leave when it stands highest.
    Sharpness,
    /// The gap of a pair.
    Gap,
    /// The glare of a pair's brighter star.
    Glare,
    /// Shadows on the Moon.
    Shadows,
    /// A field that turns.
    Turning,
    /// Colour, seen better by eye.
    Colour,
    /// What hangs on the port, and whether it is in service.
    Instrument,
}

impl Link {
    /// All of them, in order.
    pub const ALL: [Self; 12] = [
        Self::Height,
        Self::Twilight,
        Self::Moonlight,
        Self::Light,
        Self::Framing,
        Self::Sharpness,
        Self::Gap,
        Self::Glare,
        Self::Shadows,
        Self::Turning,
        Self::Colour,
        Self::Instrument,
    ];

    /// The link that a reason of a port belongs to.
    pub const fn of(reason: &Reason) -> Self {
        match reason {
            Reason::Fits { .. }
            | Reason::TooBig { .. }
            | Reason::TooSmall { .. }
            | Reason::CoreFits { .. }
            | Reason::SizeUnknown => Self::Framing,
            Reason::FieldTurns { .. } => Self::Turning,
            Reason::UnderSampled { .. }
            | Reason::OverSampled { .. }
            | Reason::SeeingUnknown
            | Reason::FineDetailLost { .. }
            | Reason::TooMuchMagnification { .. } => Self::Sharpness,
            Reason::TooFaintForEye { .. }
            | Reason::BrightForEye { .. }
            | Reason::OutshinesSky { .. }
            | Reason::ScreenShowsIt { .. }
            | Reason::TooFaintForScreen { .. }
            | Reason::Saturates { .. }
            | Reason::ForTrainedEyes { .. }
            | Reason::Dazzles { .. }
            | Reason::NumbersMissing
            | Reason::SpectrumShows { .. }
            | Reason::TooFaintForSpectrum { .. }
            | Reason::BrightnessUnknown => Self::Light,
            Reason::Glare { .. } => Self::Glare,
            Reason::NoShadows { .. }
            | Reason::ShadowsAt { .. }
            | Reason::NearLimb { .. }
            | Reason::BeyondLimb { .. }
            | Reason::LunarNight { .. } => Self::Shadows,
            Reason::SplitsPair { .. } | Reason::PairTooClose { .. } => Self::Gap,
            Reason::ColourByEye => Self::Colour,
            Reason::NoSpectrum | Reason::OutOfService => Self::Instrument,
        }
    }
}

/// One port at one minute.
#[derive(Clone, Debug, PartialEq)]
pub struct PortMinute {
    /// The port's verdict then.
    pub choice: PortChoice,
    /// What holds the view back most: the link that leaves least, with its numbers; `None` where each leaves 0.95 or more.
    pub weakest: Option<WeakestLink>,
    links: [f32; Link::ALL.len()],
}

impl PortMinute {
    /// What a link leaves of the view. The product over all links is the view, but that a view below 0.05 is none.
    pub fn leaves(&self, link: Link) -> Fraction {
        Fraction::clamped(f64::from(self.links[link as usize]))
    }

    /// The link that leaves least; of equals the first. The sky is not to blame for what the port shows poorly
    /// (below [`POOR_VIEW`]) under the best sky too.
    pub fn least(&self) -> (Link, Fraction) {
        let (of_sky, of_port) = Link::ALL.split_at(OF_SKY);
        let under_best_sky: f64 = of_port.iter().map(|link| self.leaves(*link).value()).product();
        let of_sky = if under_best_sky < POOR_VIEW { &[] } else { of_sky };
        let least = |one: Link, other: Link| if self.leaves(other) < self.leaves(one) { other } else { one };
        let link = of_sky.iter().chain(of_port).copied().reduce(least).expect("there are links");
        (link, self.leaves(link))
    }
}

/// One minute of one target.
#[derive(Clone, Debug, PartialEq)]
pub struct Minute {
    /// What forbids it to be shown, whatever the port.
    pub limit: Option<Limit>,
    /// The light of the sky behind it.
    pub light: SkyLight,
    /// In the order of the rig; `None` below the horizon, and for an eyepiece port without eyepieces.
    pub ports: Vec<Option<PortMinute>>,
}

/// Every minute of one target, in the order of [`Prepared::moments`]; nothing where there is no such target.
///
/// The links of the port are those of [`rank_ports`] under the best sky there is: one airmass, and the dark zenith of the
/// site. Then its real height is put in, then twilight, then the Moon; each of these leaves the ratio of the view with
/// it to the view before. Where nothing was left before, a link takes nothing.
pub fn through_night(prepared: &Prepared, materials: &Materials<'_>, target_index: usize) -> Vec<Minute> {
    let (Some(target), Some(track)) =
        (materials.catalogue.targets.get(target_index), prepared.tracks.get(target_index))
    else {
        return Vec::new();
    };
    let one = OneTarget { prepared, materials, target, track };
    let samples = prepared.all_samples(target_index);
    prepared.moments.iter().zip(samples.iter()).map(|(moment, sample)| one.minute(moment, sample)).collect()
}

/// One port in the minute nearest to an instant, as [`through_night`] tells it; `None` below the horizon, and for a port
/// that the rig does not have.
pub fn port_minute(
    prepared: &Prepared,
    materials: &Materials<'_>,
    target_index: usize,
    port: &PortId,
    instant: Instant,
) -> Option<PortMinute> {
    let target = materials.catalogue.targets.get(target_index)?;
    let track = prepared.tracks.get(target_index)?;
    let minute = prepared.moment_index(instant);
    let (sample, moment) = (prepared.sample_at(target_index, minute)?, prepared.moments.get(minute)?);
    let position = materials.rig.ports.iter().position(|own| own.id == *port)?;
    OneTarget { prepared, materials, target, track }.minute(moment, &sample).ports.swap_remove(position)
}

/// Magnitudes by which one part of its light brightens a sky.
fn brightened_by(light: &SkyLight, part_nl: f64) -> f64 {
    let all_nl = light.dark_nl + light.twilight_nl + light.moon_nl;
    SurfaceBrightness::from_nanolamberts(all_nl - part_nl).0 - light.total.0
}

struct OneTarget<'n, 'm> {
    prepared: &'n Prepared,
    materials: &'n Materials<'m>,
    target: &'n Target,
    track: &'n Track,
}

impl OneTarget<'_, '_> {
    fn minute(&self, moment: &Moment, sample: &Sample) -> Minute {
        let light = moment.light_towards(self.materials.site, sample.altitude, sample.azimuth);
        let showing = showing(self.materials.site, self.track.appearance, moment, sample);
        Minute {
            limit: hard_limit(self.materials, &self.target.source, moment, sample, &self.prepared.closed_sky),
            light,
            ports: match showing {
                Some(now) => self.ports(moment, sample, &now, &light),
                None => vec![None; self.materials.rig.ports.len()],
            },
        }
    }

    fn ports(
        &self,
        moment: &Moment,
        sample: &Sample,
        now: &Showing,
        light: &SkyLight,
    ) -> Vec<Option<PortMinute>> {
        let rank = |showing: &Showing| {
            rank_ports(self.target, self.materials.rig, showing, &self.prepared.ports_out_of_service)
        };
        let zenith = self.materials.site.zenith_brightness;
        let highest = Showing { airmass: now.airmass.min(1.0), sky: zenith, ..*now };
        let (mut choices, at_best) = (rank(now), rank(&highest));
        let port = |port: &Port| {
            let own = choices.iter().position(|choice| choice.port == port.id)?;
            let choice = choices.swap_remove(own);
            let best = at_best.iter().find(|choice| choice.port == port.id)?;
            let links = self.links(port, now, light, &choice, best);
            let mut minute = PortMinute { links, weakest: None, choice };
            let (least, left) = minute.least();
            if left.value() < NOTHING_WRONG {
                minute.weakest = match least {
                    Link::Height => {
                        Some(WeakestLink::Low { altitude: sample.altitude, airmass: now.airmass })
                    }
                    Link::Twilight => Some(WeakestLink::Twilight {
                        sun_altitude: moment.sun.altitude,
                        brighter_mag: brightened_by(light, light.twilight_nl),
                    }),
                    Link::Moonlight => Some(WeakestLink::Moonlight {
                        separation: sample.moon_separation,
                        brighter_mag: brightened_by(light, light.moon_nl),
                    }),
                    // Under the real sky the port may have other reasons than under the best.
                    link => {
                        let mut reasons = minute.choice.reasons().chain(best.reasons());
                        reasons.find(|reason| Link::of(reason) == link).copied().map(WeakestLink::Port)
                    }
                };
            }
            Some(minute)
        };
        self.materials.rig.ports.iter().map(port).collect()
    }

    fn links(
        &self,
        port: &Port,
        now: &Showing,
        light: &SkyLight,
        choice: &PortChoice,
        best: &PortChoice,
    ) -> [f32; Link::ALL.len()] {
        let mut links = [1.0_f32; Link::ALL.len()];
        for (reason, factor) in &best.chain {
            links[Link::of(reason) as usize] *= factor.value() as f32;
        }
        if self.prepared.ports_out_of_service.contains(&port.id) {
            return links;
        }
        let under = |sky_nl: f64| {
            let sky = SurfaceBrightness::from_nanolamberts(sky_nl);
            view_on_port(self.target, &self.materials.rig.telescope, port, &Showing { sky, ..*now }).value()
        };
        let high = under(light.dark_nl);
        let twilit = under(light.dark_nl + light.twilight_nl);
        let ratio = |with: f64, without: f64| if without > 0.0 { (with / without).min(1.0) } else { 1.0 };
        links[Link::Height as usize] = ratio(high, best.view.value()) as f32;
        links[Link::Twilight as usize] = ratio(twilit, high) as f32;
        links[Link::Moonlight as usize] = ratio(choice.view.value(), twilit) as f32;
        links
    }
}

#[cfg(test)]
mod tests {
    use super::{Link, through_night};
    use crate::plan::invented::{Invented, march_evening};
    use crate::rig::PortId;
    use crate::units::Fraction;

    #[test]
    fn the_links_multiply_to_the_view() {
        let invented = Invented::new(5);
        let prepared = invented.prepare(&march_evening());
        let materials = invented.materials();
        let mut compared = 0;
        for target in 0..materials.catalogue.targets.len() {
            let night = through_night(&prepared, &materials, target);
            assert_eq!(night.len(), prepared.moments.len());
            for minute in &night {
                for port in minute.ports.iter().flatten() {
                    let product: f64 = Link::ALL.into_iter().map(|link| port.leaves(link).value()).product();
                    let view = port.choice.view.value();
                    // Nothing is gained by height, twilight or Moon, so a product is never below its view.
                    assert!(product >= view - 1e-5, "{product} is below {view}");
                    if view > 0.0 && Link::ALL[..3].iter().all(|link| port.leaves(*link) < Fraction::ONE) {
                        assert!((product - view).abs() < 1e-5, "{product} is not {view}");
                        compared += 1;
                    }
                }
            }
        }
        assert!(compared > 100, "only {compared} were compared");
    }

    #[test]
    fn a_port_out_of_service_ends_the_chain_at_the_instrument() {
        let invented = Invented::new(2);
        let mut evening = march_evening();
        evening.wishes.ports_out_of_service = vec![PortId("planetary".into())];
        let prepared = invented.prepare(&evening);
        let materials = invented.materials();
        let position = materials.rig.ports.iter().position(|port| port.id.0 == "planetary").unwrap();
        let night = through_night(&prepared, &materials, 0);
        let minutes: Vec<_> = night.iter().filter_map(|minute| minute.ports[position].as_ref()).collect();
        assert!(!minutes.is_empty());
        assert!(minutes.iter().all(|minute| minute.least() == (Link::Instrument, Fraction::ZERO)));
    }
}
