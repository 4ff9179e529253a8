//! Evenings out of all reason: any latitude, any rig, and wishes that nobody could keep.

use chrono::NaiveTime;

use super::{Invented, Seed, any_evening, degrees, target};
use crate::catalogue::{Kind, Target, TargetId};
use crate::place::{Source, StarPlace};
use crate::plan::{
    EntryKind, Evening, FixedEntry, Held, OrderRule, Prepared, RunningOrder, Show, Stop, StopId, What,
};
use crate::rig::{AltAzimuth, Axis, Drive, Equatorial, MeridianFlip, PortId};
use crate::time::Interval;
use crate::units::{Angle, Magnitude};

impl Seed {
    pub(in crate::plan) fn below(&mut self, count: usize) -> usize {
        (self.share() * count as f64) as usize
    }

    fn one_in(&mut self, count: usize) -> bool {
        self.below(count) == 0
    }
}

impl Invented {
    /// Another place on Earth, another mount, some of the ports, and a small catalogue of stars over the whole sky.
    pub(in crate::plan) fn shuffle(&mut self, seed: &mut Seed) {
        let whole = super::rig();
        self.site.place.latitude = Angle::from_radians(seed.between(-1.0, 1.0).asin());
        self.site.place.longitude = degrees(seed.between(-180.0, 180.0));
        self.site.sun_exclusion = degrees(seed.between(20.0, 60.0));
        let mut axis = || {
            let rate_deg_per_s = seed.between(0.4, 6.0);
            Axis { rate_deg_per_s, acceleration_deg_per_s2: seed.between(0.2, 4.0) }
        };
        let (first, second, third) = (axis(), axis(), axis());
        self.rig = whole;
        self.rig.mount.settle_s = seed.between(0.0, 30.0);
        self.rig.mount.lowest_altitude = degrees(seed.between(0.0, 30.0));
        self.rig.mount.highest_altitude = degrees(seed.between(70.0, 90.0));
        let flip_s = seed.between(20.0, 300.0);
        let flip = MeridianFlip { past_meridian: degrees(seed.between(0.0, 15.0)), flip_s };
        self.rig.mount.drive = match seed.below(4) {
            0 => Drive::Equatorial(Equatorial {
                pole_keyhole_radius: degrees(seed.between(0.0, 5.0)),
                hour_angle: first,
                declination: second,
                flip: seed.one_in(2).then_some(flip),
            }),
            _ => Drive::AltAzimuth(AltAzimuth {
                keyhole_radius: degrees(seed.between(0.0, 8.0)),
                azimuth: first,
                altitude: second,
                cable_wrap: (degrees(seed.between(-300.0, -150.0)), degrees(seed.between(150.0, 400.0))),
            }),
        };
        if seed.one_in(3) {
            self.rig.dome = None;
        } else if let Some(dome) = &mut self.rig.dome {
            dome.rotation = third;
        }
        self.rig.selector.change_s = seed.between(1.0, 200.0);
        self.rig.selector.refocus_s = seed.between(0.0, 90.0);
        while self.rig.ports.len() > 1 && seed.one_in(3) {
            let port = seed.below(self.rig.ports.len());
            self.rig.ports.remove(port);
        }
        self.catalogue.targets.truncate(8);
        for number in 0..4 + seed.below(12) {
            let star = any_star(seed, number);
            self.catalogue.targets.push(star);
        }
    }

    /// Keeps the first targets only.
    pub(in crate::plan) fn keep_targets(&mut self, count: usize) {
        self.catalogue.targets.truncate(count);
    }

    /// Adds stars over the whole sky until there are so many targets.
    pub(in crate::plan) fn multiply_targets(&mut self, seed: &mut Seed, count: usize) {
        for number in self.catalogue.targets.len()..count {
            let star = any_star(seed, number);
            self.catalogue.targets.push(star);
        }
    }

    fn any_target(&self, seed: &mut Seed) -> TargetId {
        if seed.one_in(20) {
            return TargetId("nowhere".to_owned());
        }
        let targets = &self.catalogue.targets;
        targets[seed.below(targets.len())].id.clone()
    }

    fn any_port(&self, seed: &mut Seed) -> PortId {
        let ports = &self.rig.ports;
        if seed.one_in(20) { PortId("nowhere".to_owned()) } else { ports[seed.below(ports.len())].id.clone() }
    }

    /// An evening of ten minutes to fourteen hours with any programme, rules and wishes.
    pub(in crate::plan) fn absurd_evening(&self, seed: &mut Seed) -> Evening {
        let mut evening = any_evening(seed);
        let at = |hours: f64| {
            let seconds = (hours.rem_euclid(24.0) * 3600.0) as u32;
            NaiveTime::from_num_seconds_from_midnight_opt(seconds.min(86_399), 0).expect("within a day")
        };
        let opens = seed.between(13.0, 24.0);
        let hours = if seed.one_in(8) { seed.between(0.1, 14.0) } else { seed.between(0.5, 5.0) };
        evening.programme.doors_open = at(opens);
        evening.programme.doors_close = at(opens + hours);
        let most_slack = if seed.one_in(5) { 90.0 } else { 20.0 };
        evening.programme.slack_percent = seed.between(0.0, most_slack);
        let kinds = [EntryKind::Talk, EntryKind::Interval, EntryKind::ScreenTalk, EntryKind::Closing];
        for number in 0..seed.below(4) {
            evening.programme.fixed.push(FixedEntry {
                title: format!("Entry {}", number % 2),
                kind: kinds[seed.below(kinds.len())],
                start: at(opens + seed.between(0.0, hours)),
                minutes: seed.between(1.0, 60.0),
                cue: String::new(),
            });
        }
        for rule in OrderRule::ALL {
            evening.rules.set(rule, seed.below(101) as u8);
        }
        let wishes = &mut evening.wishes;
        wishes.must_show = (0..seed.below(6)).map(|_| self.any_target(seed)).collect();
        wishes.leave_out = (0..seed.below(4)).map(|_| self.any_target(seed)).collect();
        if seed.one_in(4) {
            wishes.least_stops = vec![(self.any_port(seed), seed.below(5) as u32)];
        }
        if seed.one_in(4) {
            wishes.most_port_changes = Some(seed.below(6) as u32);
        }
        if seed.one_in(3) {
            wishes.ports_out_of_service = vec![self.any_port(seed)];
        }
        evening.shown = (0..seed.below(8) / 6).map(|_| self.any_target(seed)).collect();
        evening
    }

    /// Stops that somebody put anywhere, held or not; sometimes all at one minute.
    pub(in crate::plan) fn absurd_order(&self, prepared: &Prepared, seed: &mut Seed) -> RunningOrder {
        let doors = prepared.doors.minutes();
        let same = seed.one_in(6).then(|| seed.between(0.0, doors));
        let stops = (0..seed.below(9)).filter_map(|number| {
            let from = same.unwrap_or_else(|| seed.between(-20.0, doors + 10.0));
            let start = prepared.doors.start().plus_minutes(if seed.one_in(2) { from.round() } else { from });
            let minutes = seed.between(1.0, 40.0);
            let interval = Interval::new(start, start.plus_minutes(minutes))?;
            let understudy = seed.one_in(3).then(|| self.any_target(seed));
            let show =
                Show { target: self.any_target(seed), port: self.any_port(seed), eyepiece: None, understudy };
            let held = Held { time: seed.one_in(2), port: seed.one_in(2) };
            Some(Stop { id: StopId(number as u32 + 1), what: What::Show(show), interval, held })
        });
        RunningOrder::new(stops.collect())
    }

    /// As [`Self::absurd_order`], with entries of all sorts among the stops, and through one eyepiece or another.
    pub(in crate::plan) fn absurd_order_with_entries(
        &self,
        prepared: &Prepared,
        seed: &mut Seed,
    ) -> RunningOrder {
        let kinds = [EntryKind::Welcome, EntryKind::Talk, EntryKind::Interval, EntryKind::ScreenTalk];
        let order = self.absurd_order(prepared, seed);
        let stops = order.stops().iter().cloned().map(|mut stop| {
            if let What::Show(show) = &mut stop.what {
                show.eyepiece = seed.one_in(2).then(|| seed.below(3));
            }
            if seed.one_in(3) {
                let kind = kinds[seed.below(kinds.len())];
                stop.what = What::Entry { kind, title: String::new(), cue: String::new() };
            }
            stop
        });
        RunningOrder::new(stops.collect())
    }
}

fn any_star(seed: &mut Seed, number: usize) -> Target {
    let declination = Angle::from_radians(seed.between(-1.0, 1.0).asin());
    let place = StarPlace::fixed(degrees(seed.between(0.0, 360.0)), declination);
    let kinds = [Kind::Star, Kind::DoubleStar, Kind::OpenCluster, Kind::GlobularCluster, Kind::Galaxy];
    let kind = kinds[seed.below(kinds.len())];
    let mut star = target(format!("star-{number}"), kind, Source::Star(place), seed.share());
    star.magnitude = Some(Magnitude(seed.between(-1.0, 8.0)));
    star
}
