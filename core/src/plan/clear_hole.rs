//! What to show when only a part of the sky is clear.

use super::limits::hard_limit;
use super::{Materials, Prepared, in_sector, ports_at};
use crate::rig::PortId;
use crate::time::Instant;
use crate::units::{Angle, Fraction};

/// A target that may be shown in a part of the sky at an instant.
#[derive(Clone, Debug, PartialEq)]
pub struct InSector {
    /// The target, by its position in the catalogue.
    pub target_index: usize,
    /// The port that shows it best then.
    pub port: PortId,
    /// What it gives.
    pub view: Fraction,
    /// View times appeal.
    pub worth: Fraction,
    /// The last minute to which it stays in that part without a break and may be shown.
    pub until: Instant,
}

/// What may be shown at an instant in the part of the sky that goes clockwise from one azimuth to another: most view
/// times appeal first, then in the order of the catalogue. The same azimuth twice means all around.
pub fn best_in_sector(
    prepared: &Prepared,
    materials: &Materials<'_>,
    instant: Instant,
    from_azimuth: Angle,
    to_azimuth: Angle,
) -> Vec<InSector> {
    let now = prepared.moment_index(instant);
    let stands_there = |target_index: usize, minute: usize| {
        let target = &materials.catalogue.targets[target_index];
        let sample = prepared.sample_at(target_index, minute);
        sample.zip(prepared.moments.get(minute)).is_some_and(|(sample, moment)| {
            in_sector(sample.azimuth, from_azimuth, to_azimuth)
                && hard_limit(materials, &target.source, moment, &sample, &prepared.closed_sky).is_none()
        })
    };
    let found = materials.catalogue.targets.iter().enumerate().filter_map(|(target_index, target)| {
        if !stands_there(target_index, now) {
            return None;
        }
        let best = ports_at(prepared, materials, target_index, instant).into_iter().next()?;
        let stays = (now..prepared.moments.len()).take_while(|minute| stands_there(target_index, *minute));
        let last = stays.last()?;
        (best.view > Fraction::ZERO).then(|| InSector {
            target_index,
            port: best.port,
            view: best.view,
            worth: Fraction::clamped(best.view.value() * target.appeal.value()),
            until: prepared.moments[last].instant,
        })
    });
    let mut found: Vec<InSector> = found.collect();
    found.sort_by(|one, other| other.worth.value().total_cmp(&one.worth.value()));
    found
}

#[cfg(test)]
mod tests {
    use super::best_in_sector;
    use crate::plan::ClosedSky;
    use crate::plan::invented::{Invented, march_evening};
    use crate::units::Angle;

    #[test]
    fn the_two_halves_of_the_sky_share_all_that_is_shown_all_around() {
        let invented = Invented::new(3);
        let prepared = invented.prepare(&march_evening());
        let materials = invented.materials();
        let at = prepared.doors.start().plus_minutes(120.0);
        let list = |from: f64, to: f64| {
            best_in_sector(&prepared, &materials, at, Angle::from_degrees(from), Angle::from_degrees(to))
        };
        let (all, east, west) = (list(0.0, 360.0), list(0.0, 180.0), list(180.0, 0.0));
        assert!(!east.is_empty() && !west.is_empty());
        assert_eq!(all.len(), east.len() + west.len());
        assert!(all.windows(2).all(|pair| pair[0].worth >= pair[1].worth));
        // What stays in the half stays in the whole at least as long.
        for one in &east {
            let same = all.iter().find(|other| other.target_index == one.target_index).unwrap();
            assert!(at <= one.until && one.until <= same.until);
        }
    }

    #[test]
    fn nothing_is_offered_in_a_closed_part() {
        let invented = Invented::new(3);
        let mut evening = march_evening();
        let (from, to) = (Angle::from_degrees(90.0), Angle::from_degrees(270.0));
        evening.wishes.closed_sky = vec![ClosedSky::new(from, to, None, None)];
        let prepared = invented.prepare(&evening);
        let materials = invented.materials();
        let at = prepared.doors.start().plus_minutes(120.0);
        assert_eq!(best_in_sector(&prepared, &materials, at, from, to), []);
        assert!(!best_in_sector(&prepared, &materials, at, to, from).is_empty());
    }
}
