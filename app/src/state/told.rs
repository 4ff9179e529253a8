//! One target's night for the Card: every link of its chain, minute by minute, computed by the worker.

use std::sync::Arc;

use evenfall_core::plan::{Minute, PortMinute, Prepared, through_night};
use evenfall_core::time::Instant;

use super::Stock;

/// What the Card asks: one target under one sky.
#[derive(Clone, Debug)]
pub struct Question {
    /// What the evening stands on.
    pub stock: Arc<Stock>,
    /// The sky.
    pub prepared: Arc<Prepared>,
    /// The target's position in the catalogue.
    pub target_index: usize,
}

impl Question {
    /// Whether two questions have the same answer.
    pub fn is_same(&self, other: &Self) -> bool {
        self.target_index == other.target_index
            && Arc::ptr_eq(&self.prepared, &other.prepared)
            && Arc::ptr_eq(&self.stock, &other.stock)
    }
}

/// The answer.
#[derive(Clone, Debug)]
pub struct Told {
    /// What it answers.
    pub question: Question,
    /// In the order of the sky's moments; empty where it could not be found.
    pub minutes: Vec<Minute>,
}

impl Told {
    /// Follows the target through the night.
    pub fn answering(question: Question) -> Self {
        let materials = question.stock.materials();
        let minutes = through_night(&question.prepared, &materials, question.target_index);
        Self { question, minutes }
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
