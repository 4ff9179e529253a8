//! What the Board shows, taken from the open evening and the view; nothing about where.
use chrono::Offset;
use chrono_tz::UTC;
use evenfall_core::events::Direction;
use evenfall_core::plan::{
    Finding, Severity, Stop, StopId, StopTiming, What, closed_stretches, screen_of_talk, told_passes,
};
use evenfall_core::rig::{Instrument, PortId};
use evenfall_core::sheet::wording::{Twilight, severity_word};
use evenfall_core::sheet::{Names, finding_sentence, finding_word, numbers, pass_mark, port_letter};
use evenfall_core::time::{Instant, Interval, LocalNight};
use evenfall_core::units::Angle;

use super::closed::{self, ClosedBand};
use super::line::LineBand;
use super::telescope::{Slack, Travel};
use crate::state::{Drag, OpenEvening, Selected, Trial, View};
use crate::ui::card::overruled_words;
use crate::ui::text;

/// A lane: one port.
pub struct Lane {
    pub port: PortId,
    pub letter: String,
    pub name: String,
    pub detail: String,
}

/// A finding where it bites.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bite {
    pub severity: Severity,
    /// What is wrong, in a word or two.
    pub word: &'static str,
    /// The minute at which it begins; `None` where it holds for the whole stop.
    pub minute: Option<Instant>,
}

/// A stop as it lies on the Board.
pub struct Block {
    pub stop: StopId,
    pub number: usize,
    pub title: String,
    /// The target that it shows.
    pub target_index: Option<usize>,
    /// Position of its lane; `None` for an entry across all lanes.
    pub lane: Option<usize>,
    pub interval: Interval,
    /// The move to it.
    pub travel: Option<Travel>,
    /// While it runs in a closed part of the sky.
    pub closed: Vec<Interval>,
    pub held: bool,
    /// What speaks against its port, if that was chosen against the ranking.
    pub overruled: Option<String>,
    /// The gravest of its findings.
    pub bite: Option<Bite>,
    /// Where its target stands when that bites, if it bites at a minute of it.
    pub bitten_at: Option<(Instant, Angle)>,
    /// It is selected, or the target that it shows is, on the Shelf.
    pub selected: bool,
    /// Where it stood before it was taken hold of.
    pub lifted_from: Option<(Option<usize>, Interval)>,
    pub cue: String,
}

/// A labelled instant of the night.
pub struct Mark {
    pub at: Instant,
    pub label: String,
    /// Doors and a change of clocks weigh more than twilights.
    pub strong: bool,
}

/// All of it.
pub struct BoardModel<'a> {
    pub open: &'a OpenEvening,
    pub span: Interval,
    /// The zone that the axis begins with.
    zone: String,
    /// When the clocks change within the span.
    pub change: Option<Instant>,
    /// The night on the clock of UTC, where its hours are shown too.
    pub utc: Option<LocalNight>,
    pub lanes: Vec<Lane>,
    pub blocks: Vec<Block>,
    pub marks: Vec<Mark>,
    pub drag: Option<&'a Drag>,
    /// What would come of letting go of what is dragged.
    pub trial: Option<&'a Trial>,
    /// The moves, of the evening as it is or would be.
    timings: &'a [StopTiming],
    pub slack: Slack,
    /// The closed parts of the sky.
    pub closed: Vec<ClosedBand>,
    /// The line before the eyepiece, of the evening as it is or would be.
    pub line: Option<LineBand<'a>>,
    /// A target looked at on the Shelf that has no stop, and the lane of the port that shows it best.
    pub looked_at: Option<(usize, Option<usize>)>,
}

impl<'a> BoardModel<'a> {
    pub fn new(open: &'a OpenEvening, view: &'a View) -> Self {
        let drag = view.drag.as_ref().filter(|drag| !drag.cancelled);
        let span = open.shown_span(view.span);
        let change = open.derived.prepared.night.local.clock_change();
        let trial = view.trial.as_ref().filter(|_| drag.is_some());
        let line = LineBand::new(open, trial.map(|trial| &trial.judged.line[..]), span);
        let evening = trial.map_or(&open.document.evening, |trial| &trial.evening);
        let prepared = &open.derived.prepared;
        let timings = trial.map_or(&open.derived.timings[..], |trial| &trial.judged.timings[..]);
        let slack = Slack::new(&evening.order, timings, prepared);
        let mut model = Self {
            open,
            span,
            zone: prepared.night.local.zone_label(span.start()),
            utc: view.utc.then(|| LocalNight::new(prepared.night.local.date(), UTC).ok()).flatten(),
            timings,
            slack,
            closed: closed::bands(open, span),
            change: change.filter(|change| span.contains(*change)),
            lanes: lanes(open),
            blocks: Vec::new(),
            marks: Vec::new(),
            drag,
            trial,
            line,
            looked_at: None,
        };
        model.marks = model.marks();
        model.blocks = model.blocks(view);
        model.looked_at = model.looked_at(view);
        model
    }

    /// The clock at an instant, with its zone where that is not the one the axis begins with.
    pub fn clock(&self, at: Instant) -> String {
        let night = &self.open.derived.prepared.night.local;
        if night.zone_label(at) == self.zone {
            numbers::clock(night.local(at))
        } else {
            numbers::clock_with_zone(night, at)
        }
    }

    /// What the axis counts: the zone it begins with, and the one it goes on in.
    pub fn axis_words(&self) -> String {
        let night = &self.open.derived.prepared.night.local;
        text::clock_axis(&self.zone, self.change.map(|change| numbers::clock_with_zone(night, change)))
    }

    fn change_label(&self, change: Instant) -> String {
        let night = &self.open.derived.prepared.night.local;
        let offset = |at| night.local(at).offset().fix().local_minus_utc();
        let forward = offset(change) > offset(self.span.start());
        text::clocks_go(forward, &numbers::clock_with_zone(night, change))
    }

    /// The position of a port's lane.
    pub fn lane_of(&self, port: &PortId) -> Option<usize> {
        self.lanes.iter().position(|lane| lane.port == *port)
    }

    /// The findings as they are, or as they would be.
    fn findings(&self) -> &[Finding] {
        self.trial.map_or(&self.open.derived.findings, |trial| &trial.judged.findings)
    }

    /// The gravest of what is wrong with a stop.
    fn bite(&self, stop: StopId) -> Option<Bite> {
        let own = self.findings().iter().filter(|finding| finding.stop == Some(stop));
        let gravest = own.min_by_key(|finding| finding.severity)?;
        let (severity, word) = (gravest.severity, finding_word(&gravest.rule));
        Some(Bite { severity, word, minute: gravest.minute() })
    }

    /// Everything that is wrong with a stop, in sentences.
    pub fn finding_sentences(&self, stop: StopId) -> Vec<String> {
        let materials = self.open.document.stock.materials();
        let evening = self.trial.map_or(&self.open.document.evening, |trial| &trial.evening);
        let names = Names::new(evening, &self.open.derived.prepared, &materials);
        let own = self.findings().iter().filter(|finding| finding.stop == Some(stop));
        let words = own.map(|finding| {
            let (what, remedy) = finding_sentence(finding, &names);
            format!("{}: {what} {remedy}", severity_word(finding.severity))
        });
        words.collect()
    }

    /// The move to a stop in words.
    pub fn travel_words(&self, block: &Block) -> Option<String> {
        let travel = block.travel.as_ref()?;
        Some(travel.words(&block.title, &self.clock(travel.interval.end())))
    }

    fn blocks(&self, view: &View) -> Vec<Block> {
        let order = &self.open.document.evening.order;
        let blocks = order.stops().iter().enumerate().map(|(position, stop)| {
            let shown = stop.show().and_then(|show| self.lane_of(&show.port));
            // Lanes are the ports of the rig, in its order.
            let lane = shown.or_else(|| screen_of_talk(order, stop, &self.open.document.stock.rig));
            let lifted = self.drag.filter(|drag| drag.stop() == Some(stop.id));
            let put_down = lifted.and_then(|_| self.trial?.evening.order.get(stop.id));
            let timing = self.timings.iter().find(|timing| timing.stop == stop.id);
            let interval = put_down.map_or(stop.interval, |stop| stop.interval);
            let (target_index, target) = self.open.target(stop).unzip();
            let bite = self.bite(stop.id);
            let bitten = bite.and_then(|bite| bite.minute).filter(|minute| interval.contains(*minute));
            let bitten = bitten.and_then(|minute| {
                Some((minute, self.open.derived.prepared.sample(target_index?, minute)?.altitude))
            });
            Block {
                stop: stop.id,
                number: position + 1,
                title: target.map_or_else(|| self.open.title(stop), |target| target.name.clone()),
                target_index,
                lane: match put_down.and_then(Stop::show) {
                    Some(show) => self.lane_of(&show.port),
                    None => lane,
                },
                interval,
                travel: timing.filter(|_| stop.show().is_some()).and_then(Travel::new),
                closed: target_index.map_or_else(Vec::new, |target_index| {
                    closed_stretches(&self.open.derived.prepared, target_index, interval)
                }),
                held: stop.held.time || stop.held.port,
                overruled: self
                    .open
                    .derived
                    .overruled(stop.id)
                    .filter(|_| lifted.is_none())
                    .map(|against| overruled_words(against, &self.open.document.stock.rig)),
                bite,
                bitten_at: bitten,
                selected: match &view.selected {
                    Some(Selected::Stop(id)) => *id == stop.id,
                    Some(Selected::Target(id)) => stop.show().is_some_and(|show| show.target == *id),
                    None => false,
                },
                lifted_from: lifted.map(|_| (lane, stop.interval)),
                cue: match &stop.what {
                    What::Entry { cue, .. } => cue.clone(),
                    What::Show(_) => target.map(|target| target.words.cue.clone()).unwrap_or_default(),
                },
            }
        });
        blocks.collect()
    }

    fn looked_at(&self, view: &View) -> Option<(usize, Option<usize>)> {
        let Some(Selected::Target(id)) = &view.selected else { return None };
        let target_index = self.open.document.stock.catalogue.targets.iter().position(|own| own.id == *id)?;
        let best = self.open.derived.prepared.ranked.get(target_index).and_then(|ranked| ranked.first());
        let is_laid_out = self.blocks.iter().any(|block| block.target_index == Some(target_index));
        // Lanes are the ports of the rig, in its order.
        (!is_laid_out).then(|| (target_index, best.map(|best| best.port)))
    }

    fn marks(&self) -> Vec<Mark> {
        let prepared = &self.open.derived.prepared;
        let night = &prepared.night;
        let mut marks: Vec<Mark> = Vec::new();
        let mut mark = |instants: Vec<Instant>, label: &str, strong: bool| {
            for at in instants.into_iter().filter(|at| self.span.contains(*at)) {
                let label = format!("{label} {}", self.clock(at));
                marks.push(Mark { at, label, strong });
            }
        };
        mark(night.sun.going(Direction::Down), text::SUNSET, false);
        mark(night.sun.going(Direction::Up), text::SUNRISE, false);
        let twilights = [
            (&night.civil, Twilight::Civil),
            (&night.nautical, Twilight::Nautical),
            (&night.astronomical, Twilight::Astronomical),
        ];
        for (crossings, twilight) in twilights {
            mark(crossings.going(Direction::Down), twilight.dusk(), false);
            mark(crossings.going(Direction::Up), twilight.dawn(), false);
        }
        mark(night.moon.going(Direction::Up), text::MOONRISE, false);
        mark(night.moon.going(Direction::Down), text::MOONSET, false);
        for (event, pass) in told_passes(&prepared.satellites).0 {
            mark(vec![pass.seen_highest.at], &pass_mark(event), false);
        }
        mark(vec![prepared.doors.start()], text::DOORS_OPEN, true);
        mark(vec![prepared.doors.end()], text::DOORS_CLOSE, true);
        if let Some(at) = self.change {
            marks.push(Mark { at, label: self.change_label(at), strong: true });
        }
        marks.sort_by_key(|mark| mark.at);
        marks
    }
}

fn lanes(open: &OpenEvening) -> Vec<Lane> {
    let ports = open.document.stock.rig.ports.iter().enumerate().map(|(position, port)| Lane {
        port: port.id.clone(),
        letter: port_letter(position),
        name: port.name.clone(),
        detail: match &port.instrument {
            _ if open.document.evening.wishes.ports_out_of_service.contains(&port.id) => text::OUT_OF_SERVICE,
            Instrument::Camera(_) => text::CAMERA,
            Instrument::Eyepieces(_) => text::EYEPIECE,
            Instrument::Spectrograph(_) => text::SPECTROGRAPH,
        }
        .to_owned(),
    });
    ports.collect()
}
