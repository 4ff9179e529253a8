//! Where the numbers come from: each value of the minute that is read, with its formula and the formula's source.

use egui::{Label, Ui};
use evenfall_core::sheet::numbers_behind;

use super::{Subject, words};
use crate::ui::parts::quiet;
use crate::ui::theme::Tokens;

/// How the place is found.
const PLACE: &str = "Apparent place with light time, aberration, precession-nutation IAU 2006/2000A (IERS Conventions \
                     2010); refraction: Saemundsson 1986, Sky & Telescope 72, 70";
/// How a body looks.
const COMET_LIGHT: &str = "From the elements in the catalogue: m1 = H + 5 log(distance from the Earth) + 2.5 n log(distance from \
    the Sun). Comets differ from it by a magnitude and more.";
const DISC: &str = "Diameter and phase from the JPL ephemeris DE440: Park et al. 2021, AJ 161, 105; magnitude: Mallama & \
                    Hilton 2018, Astronomy and Computing 25, 10";

/// Draws them: the place, then what the port and the sky make of it.
pub(super) fn show(ui: &mut Ui, tokens: &Tokens, subject: &Subject<'_>) {
    ui.spacing_mut().item_spacing.y = 2.0;
    ui.label(quiet(tokens, words::sources_at(&subject.clock(subject.at))));
    for (value, source) in place(subject).into_iter().chain(behind(subject)) {
        ui.add(Label::new(value).wrap());
        ui.add(Label::new(quiet(tokens, source)).wrap());
        ui.add_space(3.0);
    }
}

fn place(subject: &Subject<'_>) -> Vec<(String, String)> {
    let track = subject.target.and_then(|(index, _)| subject.prepared().tracks.get(index));
    let sample = subject.sample(subject.at).map(|sample| (words::altitude(&sample), PLACE.to_owned()));
    let seen = track.and_then(|track| track.appearance.as_ref());
    sample
        .into_iter()
        .chain(seen.map(|seen| {
            if seen.has_disc() {
                (words::disc(seen), DISC.to_owned())
            } else {
                (words::comet_light(seen), COMET_LIGHT.to_owned())
            }
        }))
        .collect()
}

fn behind(subject: &Subject<'_>) -> Vec<(String, String)> {
    let (Some((index, _)), Some((_, port))) = (subject.target, subject.shown_port()) else {
        return Vec::new();
    };
    numbers_behind(&subject.names(), index, &port.id, subject.at).iter().map(words::number_behind).collect()
}
