//! Why nothing or little is seen: what the findings on views say, from the sky and the port of the evening itself.

use super::names::Names;
use super::numbers;
use super::phrases::lower_first;
use super::wording::{limit_phrase, reason_sentence, weakest_link_sentence};
use crate::events::Direction;
use crate::plan::{Finding, Limit, WeakestLink, weakest_link};
use crate::time::Instant;

/// Why nothing is seen through the stop's port, as far as the port's own verdict tells.
pub(super) fn no_view(finding: &Finding, names: &Names<'_>) -> String {
    let show = finding.stop.and_then(|id| names.evening.order.get(id)).and_then(|stop| stop.show());
    let Some(show) = show else {
        return "Nothing to see at this stop.".to_owned();
    };
    let port = names.port_name(&show.port);
    let target = names.target(&show.target);
    let choices = target.map(|(index, _)| names.prepared.choices_of(names.materials, index));
    let verdict = choices
        .as_ref()
        .and_then(|choices| choices.iter().find(|choice| choice.port == show.port))
        .filter(|choice| choice.view.value() == 0.0)
        .and_then(|choice| choice.reasons().next());
    match verdict {
        Some(reason) => format!("Nothing to see on the port {port}. {}.", reason_sentence(reason)),
        None => format!("Nothing to see on the port {port} at this time."),
    }
}

/// What holds the view back most, at the end of the stop where it is worse, and what mends that.
pub(super) fn poor_view(finding: &Finding, names: &Names<'_>) -> (String, &'static str) {
    const HARD: &str = "Hard to show";
    let poor = finding.stop.and_then(|id| names.evening.order.get(id)).and_then(|stop| {
        let show = stop.show()?;
        let (index, _) = names.target(&show.target)?;
        let view = |at: Instant| names.prepared.view_at(names.materials, index, &show.port, at);
        let at = if view(stop.end()) < view(stop.start()) { stop.end() } else { stop.start() };
        let unseen = view(at) <= 0.0;
        let hard = if unseen { format!("Not seen at {}", names.clock(at)) } else { HARD.to_owned() };
        Some((hard, weakest_link(names.prepared, names.materials, index, &show.port, at)))
    });
    let (hard, link) = poor.unwrap_or_else(|| (HARD.to_owned(), None));
    let remedy = match link {
        Some(WeakestLink::Low { .. }) => "Move it to when the target stands higher, or try another port.",
        Some(WeakestLink::Moonlight { .. }) => {
            "Try another port, or show it before moonrise or after moonset."
        }
        Some(WeakestLink::Twilight { .. }) => "Try another port, or a darker time.",
        Some(WeakestLink::Port(_)) | None => "Try another port, or show something else.",
    };
    match link {
        Some(link) => (format!("{hard}: {}.", lower_first(&weakest_link_sentence(&link))), remedy),
        None => (format!("{hard}."), remedy),
    }
}

/// Why the whole catalogue stays unseen.
pub(super) fn nothing_to_show(limit: Option<Limit>) -> String {
    match limit {
        None => "Nothing to show: the catalogue has no targets.".to_owned(),
        Some(Limit::Light) => "Nothing can be shown while doors are open: the sky is too bright.".to_owned(),
        Some(limit) => format!(
            "Nothing in the catalogue can be shown while doors are open; most of it is kept back for one reason: {}.",
            limit_phrase(limit)
        ),
    }
}

/// Doors open before there is anything to show: by how much before sunset, where that is why.
pub(super) fn nothing_yet(names: &Names<'_>, until: Instant) -> String {
    let prepared = names.prepared;
    let (opens, first) = (prepared.doors.start(), names.clock(until));
    let sunset = prepared.night.sun.going(Direction::Down).first().copied();
    match sunset.map(|sunset| sunset.minutes_since(opens)).filter(|minutes| *minutes >= 1.0) {
        Some(minutes) => {
            format!(
                "Doors open {} before sunset: nothing can be shown until {first}.",
                numbers::minutes(minutes)
            )
        }
        None => format!("Doors open at {}, and nothing can be shown until {first}.", names.clock(opens)),
    }
}
