//! One target's night for the Card: every link of its chain, minute by minute, and what the rig does to its stop; computed
//! by the worker.

use std::sync::Arc;

use evenfall_core::plan::{Minute, PortMinute, Prepared, through_night};
use evenfall_core::rig::PortId;
use evenfall_core::sheet::{Notice, rig_notes};
use evenfall_core::time::{Instant, Interval};

use super::Stock;

/// What the Card asks: one target under one sky, and the stop that shows it.
#[derive(Clone, Debug)]
pub struct Question {
    /// What the evening stands on.
    pub stock: Arc<Stock>,
    /// The sky.
    pub prepared: Arc<Prepared>,
    /// The target's position in the catalogue.
    pub target_index: usize,
    /// Its stop, if it has one.
    pub showing: Option<Showing>,
    /// The target's night, where it is known already.
    pub known: Option<Arc<Vec<Minute>>>,
}

/// How a stop shows its target.
#[derive(Clone, Debug, PartialEq)]
pub struct Showing {
    /// The port.
    pub port: PortId,
    /// Which eyepiece of the port.
    pub eyepiece: Option<usize>,
    /// When.
    pub interval: Interval,
}

impl Question {
    /// Whether two questions are about the same target under the same sky.
    pub fn is_about_same(&self, other: &Self) -> bool {
        self.target_index == other.target_index
            && Arc::ptr_eq(&self.prepared, &other.prepared)
            && Arc::ptr_eq(&self.stock, &other.stock)
    }

    /// Whether two questions have the same answer.
    pub fn is_same(&self, other: &Self) -> bool {
        self.is_about_same(other) && self.showing == other.showing
    }
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Told {
    /// What it answers.
    pub question: Question,
    /// In the order of the sky's moments; empty where it could not be found.
    pub minutes: Arc<Vec<Minute>>,
    /// What the rig does while the stop lasts, one notice a matter.
    pub notes: Vec<Notice>,
}

impl Told {
    /// Follows the target through the night.
    pub fn answering(question: Question) -> Self {
        let materials = question.stock.materials();
        let minutes = question.known.clone().unwrap_or_else(|| {
            Arc::new(through_night(&question.prepared, &materials, question.target_index))
        });
        let notes = question.showing.as_ref().and_then(|showing| {
            let Showing { port, eyepiece, interval } = showing;
            let port = materials.rig.port(port)?;
            let index = question.target_index;
            Some(rig_notes(&question.prepared, &materials, index, port, *eyepiece, *interval))
        });
        Self { minutes, notes: notes.unwrap_or_default(), question }
    }

    /// Nothing, where a fault in Evenfall kept it from being found.
    pub fn nothing(question: Question) -> Self {
        Self { question, minutes: Arc::default(), notes: Vec::new() }
    }

    /// The minute nearest to an instant.
    pub fn minute(&self, at: Instant) -> Option<&Minute> {
        self.minutes.get(self.question.prepared.moment_index(at))
    }

    /// A port, by its position on the rig, in the minute nearest to an instant.
    pub fn port(&self, at: Instant, position: usize) -> Option<&PortMinute> {
        self.minute(at)?.ports.get(position)?.as_ref()
    }
}
