//! What the Card tells about: the thing selected, the port whose chain is shown, and the minute that is read.

use std::borrow::Cow;

use evenfall_core::assign::PortChoice;
use evenfall_core::catalogue::Target;
use evenfall_core::plan::{Limit, Materials, PortMinute, Prepared, Sample, Stop, sky_behind, stop_minutes};
use evenfall_core::rig::{Port, Rig};
use evenfall_core::sheet::Names;
use evenfall_core::time::{Instant, Interval};
use evenfall_core::units::{Fraction, SurfaceBrightness};

use crate::state::{AppState, OpenEvening, Selected, Told};
use crate::ui::text;

/// The thing selected, and how it is looked at.
pub(super) struct Subject<'a> {
    pub open: &'a OpenEvening,
    pub stop: Option<&'a Stop>,
    pub target: Option<(usize, &'a Target)>,
    /// The target's night, once the worker has told it.
    pub told: Option<&'a Told>,
    /// The minute that is read.
    pub at: Instant,
    /// The minute that is read unless the user reads another one: the middle of the stop, or the best time.
    pub usual: Instant,
    /// What the evening stands on.
    pub materials: Materials<'a>,
    /// Position on the rig of the port in use, or of the best one at the usual minute.
    pub port: Option<usize>,
    /// The ports ranked for the target's best time, or for the middle of the evening.
    at_best: Vec<PortChoice>,
}

impl<'a> Subject<'a> {
    pub fn new(state: &'a AppState) -> Option<Self> {
        let open = state.open()?;
        let (stop, target) = match state.view.selected.as_ref()? {
            Selected::Stop(id) => {
                let stop = open.document.evening.order.get(*id)?;
                (Some(stop), open.target(stop))
            }
            Selected::Target(id) => {
                let targets = open.document.stock.catalogue.targets.iter().enumerate();
                let stops = open.document.evening.order.stops();
                let stop = stops.iter().find(|stop| stop.show().is_some_and(|show| show.target == *id));
                (stop, targets.into_iter().find(|(_, target)| target.id == *id))
            }
        };
        let prepared = &open.derived.prepared;
        let middle = |interval: Interval| interval.start().plus_seconds(interval.seconds() / 2.0);
        let best = target
            .and_then(|(index, _)| prepared.availability.get(index))
            .and_then(|known| known.best)
            .map(|(at, _)| at);
        let usual = stop.map(|stop| middle(stop.interval)).or(best).unwrap_or(middle(prepared.doors));
        let at = state.view.card.minute.filter(|at| prepared.span.contains(*at)).unwrap_or(usual);
        let materials = open.document.stock.materials();
        let at_best = match target {
            Some((index, _)) => prepared.choices_of(&materials, index),
            None => Vec::new(),
        };
        let told = state.told();
        let mut subject = Self { open, stop, target, told, at, usual, materials, port: None, at_best };
        subject.port = subject.port_shown();
        Some(subject)
    }

    fn port_shown(&self) -> Option<usize> {
        let own = self.stop.and_then(|stop| stop.show()).map(|show| &show.port);
        let port = own.or_else(|| self.ranked(self.usual).first().map(|choice| &choice.port))?;
        self.rig().ports.iter().position(|other| other.id == *port)
    }

    pub fn rig(&self) -> &'a Rig {
        &self.open.document.stock.rig
    }

    pub fn prepared(&self) -> &'a Prepared {
        &self.open.derived.prepared
    }

    /// What the core's sentences take names from.
    pub fn names(&self) -> Names<'_> {
        Names::new(&self.open.document.evening, self.prepared(), &self.materials)
    }

    /// The port whose chain is shown, with its position on the rig.
    pub fn shown_port(&self) -> Option<(usize, &'a Port)> {
        let position = self.port?;
        self.rig().ports.get(position).map(|port| (position, port))
    }

    /// A port by its position in the minute nearest to an instant; `None` below the horizon, or before it is told.
    pub fn port_minute(&self, at: Instant, position: usize) -> Option<&'a PortMinute> {
        self.told?.port(at, position)
    }

    /// What forbids the target to be shown in the minute nearest to an instant, whatever the port.
    pub fn limit(&self, at: Instant) -> Option<Limit> {
        self.told?.minute(at)?.limit
    }

    /// A port's verdict in the minute nearest to an instant, or at its best where there is none then.
    pub fn choice(&self, at: Instant, position: usize) -> Option<&PortChoice> {
        if let Some(minute) = self.port_minute(at, position) {
            return Some(&minute.choice);
        }
        let port = &self.rig().ports.get(position)?.id;
        self.at_best.iter().find(|choice| choice.port == *port)
    }

    /// The ports ranked for an instant, best first; ties go to the order of the rig.
    pub fn ranked(&self, at: Instant) -> Vec<&PortChoice> {
        let positions = 0..self.rig().ports.len();
        let mut choices: Vec<_> = positions.filter_map(|position| self.choice(at, position)).collect();
        choices.sort_by(|one, other| other.view.value().total_cmp(&one.view.value()));
        choices
    }

    /// The target's place in the minute nearest to an instant.
    pub fn sample(&self, at: Instant) -> Option<Sample> {
        self.prepared().sample(self.target?.0, at)
    }

    /// The sky behind the target in the minute nearest to an instant.
    pub fn sky(&self, at: Instant) -> Option<SurfaceBrightness> {
        Some(sky_behind(self.prepared(), &self.materials, self.target?.0, at)?.total)
    }

    /// The target's places through the stop.
    pub fn samples_of_stop(&self) -> Option<Cow<'a, [Sample]>> {
        let (index, _) = self.target?;
        let interval = self.stop?.interval;
        let prepared = self.prepared();
        let (first, last) = (prepared.moment_index(interval.start()), prepared.moment_index(interval.end()));
        Some(prepared.samples(index, first..=last))
    }

    /// An instant on the clock, with its zone in a night in which the clocks change.
    pub fn clock(&self, at: Instant) -> String {
        text::clock(&self.prepared().night.local, at)
    }

    /// Minutes that everybody needs at a port, where it shows the target at all.
    pub fn minutes_for_all(&self, position: usize) -> Option<f64> {
        let (_, target) = self.target?;
        let port = self.rig().ports.get(position)?;
        self.choice(self.at, position).filter(|choice| choice.view > Fraction::ZERO)?;
        Some(stop_minutes(&self.open.document.evening.house, port, target.kind))
    }

    /// The minute of the stop in which its port shows least, the first of equals; the usual one without a stop.
    pub fn worst(&self) -> Instant {
        let (Some(stop), Some(position)) = (self.stop, self.port) else { return self.usual };
        let minutes = stop.interval.minutes().max(0.0).floor() as u32;
        let view =
            |at: Instant| self.port_minute(at, position).map_or(0.0, |minute| minute.choice.view.value());
        (0..=minutes)
            .map(|minute| stop.start().plus_minutes(f64::from(minute)))
            .min_by(|one, other| view(*one).total_cmp(&view(*other)))
            .unwrap_or(self.usual)
    }
}
