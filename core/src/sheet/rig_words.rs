//! What the rig does to a stop, in sentences: where people stand, how the field lies, the dome, the guider.

use super::numbers;
use crate::rig::{
    Access, EyepieceView, Framed, GuideStars, GuiderAdvice, Line, LongestFrames, SEATED_EYE_MM, Spectrograph,
    who_reaches,
};
use crate::units::{Angle, Fraction};

/// What an eyepiece does, and whether spectacles can stay on where its eye relief is known.
pub fn eyepiece_sentence(view: &EyepieceView) -> String {
    let spectacles = match view.suits_spectacles() {
        None => "",
        Some(true) => "; spectacles can stay on",
        Some(false) => "; spectacles off",
    };
    format!(
        "{}: {}×, exit pupil {} mm, true field {}{spectacles}.",
        view.name,
        numbers::decimal(view.magnification, 0),
        numbers::decimal(view.exit_pupil_mm, 1),
        numbers::size(view.true_field)
    )
}

/// How high an eyepiece stands, lowest to highest through a stop in millimetres, and who can look.
pub fn eye_height_sentence(heights_mm: (f64, f64)) -> String {
    let height = numbers::millimetres(heights_mm);
    let seated = numbers::millimetres(SEATED_EYE_MM);
    let reach = who_reaches(heights_mm);
    let standing = match (reach.children, reach.adults) {
        (true, true) => "children stand, adults stoop a little",
        (true, false) => "children stand, adults stoop low",
        (false, true) => "adults stand, children need a step",
        (false, false) => "who stands must stoop or needs a step",
    };
    if reach.seated {
        format!("Eyepiece {height} above the floor: within {seated}, seated visitors can look; {standing}.")
    } else {
        format!(
            "Eyepiece {height} above the floor: not within {seated}, show it to seated visitors on a screen; {standing}."
        )
    }
}

/// The caution where a step or ladder is in use; `None` without one.
pub fn step_caution(access: Access) -> Option<String> {
    access.step_mm.map(|step_mm| {
        format!(
            "Step or ladder of {}: one person at a time, hand on the rail; never step back from the eyepiece.",
            numbers::millimetres((step_mm, step_mm))
        )
    })
}

/// On which side the line forms, and how it swings through a stop.
pub fn line_sentence(line: Line) -> String {
    let start = numbers::compass_word(line.start);
    if line.swing.degrees().abs() < 1.0 {
        return format!("The line forms to the {start} of the telescope.");
    }
    // From north through east is clockwise on the floor.
    let way = if line.swing > Angle::ZERO { "clockwise" } else { "counter-clockwise" };
    let end = numbers::compass_word(line.end);
    let end = if end == start { String::new() } else { format!(", to the {end}") };
    let swing = numbers::degrees(line.swing.abs());
    format!("The line forms to the {start} of the telescope and swings {swing} {way}{end}.")
}

/// How often the dome moves during a stop.
pub fn dome_sentence(moves: u32) -> String {
    match moves {
        0 => "The dome stays where it is during the stop.".to_owned(),
        1 => "The dome moves once during the stop.".to_owned(),
        _ => format!("The dome moves {moves} times during the stop."),
    }
}

/// How far the field turns through a stop, how long a frame may last, and what a stack keeps of the field.
///
/// * `coverage`: share of the field that every frame holds; see [`crate::rig::stack_coverage`].
pub fn turning_sentence(turn: Angle, frames: LongestFrames, coverage: f64) -> String {
    let Some(corner_s) = frames.corner_s.filter(|_| turn.degrees().abs() >= 0.05) else {
        return "The field stands still.".to_owned();
    };
    let centre = match frames.centre_s {
        None => "any length in the centre".to_owned(),
        Some(centre_s) => format!("{} in the centre", frame_length(centre_s)),
    };
    format!(
        "The field turns {}° through the stop. Longest frame before it trails by a pixel: {} in the corner, {centre}; \
         frames added up share {} of the field.",
        numbers::decimal(turn.degrees().abs(), 1),
        frame_length(corner_s),
        numbers::percent(Fraction::clamped(coverage))
    )
}

fn frame_length(seconds: f64) -> String {
    if seconds < 100.0 { format!("{} s", numbers::decimal(seconds, 1)) } else { numbers::duration(seconds) }
}

/// Where the rotator is outrun, by the radius of its keyhole.
pub fn rotator_sentence(radius: Angle) -> String {
    format!("Within {} of the zenith the rotator can't keep up, and the field turns.", numbers::size(radius))
}

/// How much of a target a field holds through a stop.
pub fn framed_sentence(framed: Framed) -> String {
    let percent = |share: f64| numbers::percent(Fraction::clamped(share));
    let (worst, best) = (percent(framed.worst), percent(framed.best));
    if framed.worst >= 0.995 {
        "The field holds all of it through the stop.".to_owned()
    } else if worst == best {
        format!("The field holds {worst} of its area.")
    } else {
        format!("As it turns, the field holds {worst} to {best} of its area.")
    }
}

/// Whether to guide; Moon and planets: "guider off".
pub fn guider_sentence(advice: GuiderAdvice) -> String {
    let expected = |stars: GuideStars| {
        let about = if stars.at_least { "at least" } else { "about" };
        let decimals = usize::from(stars.expected < 9.5);
        format!("{about} {} stars expected in its field", numbers::decimal(stars.expected, decimals))
    };
    match advice {
        GuiderAdvice::Off => "Guider off: the target itself moves against the stars.".to_owned(),
        GuiderAdvice::Sparse(stars) => format!(
            "Sparse field for the guider: {}, none {} of the time.",
            expected(stars),
            numbers::percent(Fraction::clamped(stars.none_chance))
        ),
        GuiderAdvice::On(stars) => format!("Guider on: {}.", expected(stars)),
    }
}

/// What a spectrograph resolves.
pub fn resolution_sentence(spectrograph: &Spectrograph) -> String {
    format!(
        "Shows wavelengths {} nm apart at 550 nm, resolving power {}.",
        numbers::decimal(
            spectrograph.resolution_nm(),
            if spectrograph.resolution_nm() < 0.095 { 3 } else { 2 }
        ),
        numbers::decimal(spectrograph.resolving_power, 0)
    )
}

#[cfg(test)]
mod tests {
    use super::{
        dome_sentence, eye_height_sentence, framed_sentence, guider_sentence, line_sentence,
        resolution_sentence, rotator_sentence, step_caution, turning_sentence,
    };
    use crate::rig::{
        Access, EyeHeight, Framed, GuideStars, GuiderAdvice, LongestFrames, Side, Spectrograph, line_through,
    };
    use crate::units::{Angle, Magnitude};

    #[test]
    fn every_sentence_carries_its_numbers() {
        assert_eq!(
            eye_height_sentence((1200.0, 1200.0)),
            "Eyepiece 1200 mm above the floor: within 1090–1295 mm, seated visitors can look; children stand, adults stoop a \
             little."
        );
        let high = eye_height_sentence((1350.0, 1400.0));
        assert!(
            high.contains("1350–1400 mm above the floor: not within 1090–1295 mm") && high.contains("screen")
        );
        let access = |step_mm| Access { height: EyeHeight::Constant(1600.0), step_mm };
        assert_eq!(step_caution(access(None)), None);
        assert!(
            step_caution(access(Some(300.0)))
                .is_some_and(|told| told.starts_with("Step or ladder of 300 mm"))
        );

        let azimuths = [180.0, 200.0, 220.0].map(Angle::from_degrees);
        let line = line_through(Side::NasmythLeft, azimuths).expect("there are samples");
        assert_eq!(
            line_sentence(line),
            "The line forms to the east of the telescope and swings 40° clockwise, to the south-east."
        );
        let little = line_through(Side::NasmythLeft, [180.0, 190.0].map(Angle::from_degrees));
        assert_eq!(
            line_sentence(little.expect("there are samples")),
            "The line forms to the east of the telescope and swings 10° clockwise."
        );
        let still = line_through(Side::Cassegrain, azimuths.into_iter().take(1)).expect("there is a sample");
        assert_eq!(line_sentence(still), "The line forms to the north of the telescope.");
        assert!(dome_sentence(0).contains("stays") && dome_sentence(1).contains("once"));
        assert!(dome_sentence(3).contains("3 times"));
        assert!(rotator_sentence(Angle::from_degrees(1.89)).starts_with("Within 1.9° of the zenith"));

        let frames = LongestFrames { centre_s: None, corner_s: Some(2.27) };
        let told = turning_sentence(Angle::from_degrees(-7.0), frames, 0.934);
        assert!(
            told.contains("turns 7.0°") && told.contains("2.3 s in the corner, any length in the centre")
        );
        assert!(told.ends_with("share 93% of the field."));
        let still = LongestFrames { centre_s: None, corner_s: None };
        assert_eq!(turning_sentence(Angle::ZERO, still, 1.0), "The field stands still.");
        assert_eq!(
            framed_sentence(Framed { worst: 1.0, best: 1.0 }),
            "The field holds all of it through the stop."
        );
        assert_eq!(
            framed_sentence(Framed { worst: 0.71, best: 0.9 }),
            "As it turns, the field holds 71% to 90% of its area."
        );
        assert_eq!(framed_sentence(Framed { worst: 0.4, best: 0.4 }), "The field holds 40% of its area.");
    }

    #[test]
    fn advice_on_the_guider_and_on_a_spectrum() {
        let stars =
            |expected: f64, at_least| GuideStars { expected, at_least, none_chance: (-expected).exp() };
        assert!(guider_sentence(GuiderAdvice::Off).starts_with("Guider off"));
        let sparse = guider_sentence(GuiderAdvice::Sparse(stars(0.5, false)));
        assert_eq!(
            sparse,
            "Sparse field for the guider: about 0.5 stars expected in its field, none 61% of the time."
        );
        let rich = guider_sentence(GuiderAdvice::On(stars(42.3, true)));
        assert_eq!(rich, "Guider on: at least 42 stars expected in its field.");
        let spectrograph = Spectrograph {
            slit_um: 30.0,
            slit_length_um: 4000.0,
            resolving_power: 1000.0,
            limiting_magnitude: Magnitude(8.0),
        };
        let told = resolution_sentence(&spectrograph);
        assert_eq!(told, "Shows wavelengths 0.55 nm apart at 550 nm, resolving power 1000.");
    }
}
