//! What could stand in for a stop: a target, through which port, and what the evening would lose by it.

use std::cmp::Reverse;

use super::scene::Scene;
use crate::catalogue::TargetId;
use crate::plan::{Stop, needed_minutes};
use crate::rig::PortId;
use crate::time::Interval;
use crate::units::Angle;

/// How far in azimuth an understudy should be from its stop: another part of the sky. Common practice, no source.
const ELSEWHERE: Angle = Angle::from_degrees(60.0);

/// What stands in must serve this share of those whom the stop serves, at least. Common practice, no source: with fewer, too
/// many have waited for nothing.
const LEAST_SERVED: f64 = 0.7;

/// The best target that could stand in for a stop as it is: at its time, with the moves before and after it.
#[derive(Clone, Debug, PartialEq)]
pub struct Understudy {
    /// Which.
    pub target: TargetId,
    /// Through which port.
    pub port: PortId,
    /// How far from what the stop shows, in azimuth at its start, from 0 to 180 degrees.
    pub apart: Angle,
    /// Whether that is another part of the sky: 60 degrees or more.
    pub elsewhere: bool,
    /// By how much the order would be worth more with it, in points; mostly less than 0.
    pub change: i64,
    /// The same as a share of what the order is worth.
    pub change_share: f64,
}

/// Something that could stand in, before anybody asked whether the moves fit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    pub(super) target: usize,
    pub(super) port: usize,
    pub(super) worth: i64,
    /// Whether it serves as many as it should.
    serves: bool,
}

impl Scene<'_> {
    /// Everything that could be shown in place of a stop to nearly as many if only the moves fit, the most worth first, the
    /// first of the catalogue and of the rig of equals; without targets that are shown or to be left out. On the port that
    /// is held if one is.
    pub(super) fn candidates(&self, stop: &Stop) -> Vec<Candidate> {
        let left_out = &self.evening.wishes.leave_out;
        let targets = self.materials.catalogue.targets.iter().enumerate();
        let free = targets.filter(|(index, target)| !self.is_shown(*index) && !left_out.contains(&target.id));
        let mut candidates = self.weighed(stop, free.map(|(index, _)| index), stop.held.port);
        candidates.retain(|candidate| candidate.serves);
        candidates
    }

    /// A target in place of a stop, on each port that shows it then to nearly as many, the most worth first.
    pub(super) fn on_each_port(&self, stop: &Stop, target: usize) -> Vec<Candidate> {
        let mut candidates = self.weighed(stop, [target].into_iter(), false);
        candidates.retain(|candidate| candidate.serves);
        candidates
    }

    /// Those that serve enough first, then the most worth first.
    fn weighed(
        &self,
        stop: &Stop,
        targets: impl Iterator<Item = usize>,
        on_its_port: bool,
    ) -> Vec<Candidate> {
        let own = stop.show().map(|show| &show.port).filter(|_| on_its_port);
        let is_own = |port: &usize| own.is_none_or(|own| &self.materials.rig.ports[*port].id == own);
        let ports: Vec<usize> = self.ports().filter(is_own).collect();
        let served = self.showing(stop).map_or(0.0, |showing| self.served(showing, stop.interval));
        let mut candidates = Vec::new();
        for target in targets {
            for port in ports.iter().copied().filter(|port| self.can_show((target, *port), stop.interval)) {
                let weighed = self.scales.weigh((target, port), stop.interval);
                let worth = self.worth_with(Some(stop.id), Some(weighed));
                let serves = self.served((target, port), stop.interval) >= LEAST_SERVED * served;
                candidates.push(Candidate { target, port, worth, serves });
            }
        }
        candidates.sort_by_key(|candidate| (!candidate.serves, Reverse(candidate.worth)));
        candidates
    }

    /// The share of those who take part whom showing a target on a port serves in some time.
    pub(super) fn served(&self, (target, port): (usize, usize), interval: Interval) -> f64 {
        let port = &self.materials.rig.ports[port];
        let needed = needed_minutes(&self.evening.house, self.prepared, self.materials, target, port);
        (interval.minutes() / needed).min(1.0)
    }

    /// The first of some candidates that could really stand in for a stop.
    pub(super) fn first_legal(
        &self,
        stop: &Stop,
        mut candidates: impl Iterator<Item = Candidate>,
    ) -> Option<Candidate> {
        candidates.find(|candidate| {
            let showing = (candidate.target, candidate.port);
            self.made_with(Some(stop.id), &self.stop(stop.id, showing, stop.interval)).is_some()
        })
    }

    /// The best understudy for a stop: of those that could stand in at its time, the one that leaves the evening worth
    /// most, from another part of the sky if there is one. None that is shown, to be left out, or `used`.
    pub(in crate::plan) fn understudy(&self, stop: &Stop, used: &[TargetId]) -> Option<Understudy> {
        self.understudy_of(stop, &self.candidates(stop), used)
    }

    /// The best understudy out of some candidates.
    pub(super) fn understudy_of(
        &self,
        stop: &Stop,
        candidates: &[Candidate],
        used: &[TargetId],
    ) -> Option<Understudy> {
        let (own, _) = self.showing(stop)?;
        let id = |candidate: &Candidate| &self.materials.catalogue.targets[candidate.target].id;
        let apart = |candidate: &Candidate| self.apart(stop, own, candidate.target);
        let unused = candidates.iter().copied().filter(|candidate| !used.contains(id(candidate)));
        let elsewhere = unused.clone().filter(|candidate| apart(candidate) >= ELSEWHERE);
        let found = self.first_legal(stop, elsewhere);
        let found = found.or_else(|| self.first_legal(stop, unused))?;
        let change = found.worth - self.worth;
        Some(Understudy {
            target: id(&found).clone(),
            port: self.materials.rig.ports[found.port].id.clone(),
            apart: apart(&found),
            elsewhere: apart(&found) >= ELSEWHERE,
            change,
            change_share: self.share(change),
        })
    }

    /// The port through which a target would best stand in for a stop, by its position on the rig; `None` if it could not.
    pub(in crate::plan) fn port_to_stand_in(&self, stop: &Stop, target: usize) -> Option<usize> {
        let candidates = self.weighed(stop, [target].into_iter(), stop.held.port);
        Some(self.first_legal(stop, candidates.into_iter())?.port)
    }

    /// How far apart two targets are in azimuth at the start of a stop.
    fn apart(&self, stop: &Stop, own: usize, other: usize) -> Angle {
        let azimuth = |target| self.prepared.sample(target, stop.start()).map(|sample| sample.azimuth);
        let both = azimuth(own).zip(azimuth(other));
        both.map_or(Angle::ZERO, |(own, other)| (other - own).wrapped_signed().abs())
    }
}
