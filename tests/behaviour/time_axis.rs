//! The Board's axis: from an instant to a place and back.

use evenfall_core::chart::TimeAxis;
use evenfall_core::time::{Instant, Interval};
use evenfall_tests::draws::Draws;

#[test]
fn an_instant_comes_back_from_its_place_and_a_place_from_its_instant() {
    let mut draws = Draws(41);
    for _ in 0..2_000 {
        let start = Instant::J2000.plus_minutes(draws.between(0.0, 1.0e7).round());
        let minutes = draws.between(30.0, 1_500.0).round();
        let left = draws.between(-500.0, 2_000.0) as f32;
        let width = draws.between(200.0, 4_000.0) as f32;
        let span = Interval::new(start, start.plus_minutes(minutes)).expect("in order");
        let axis = TimeAxis { span, left, right: left + width };
        assert_eq!((axis.x(span.start()), axis.x(span.end())), (axis.left, axis.right));
        let minutes_a_point = minutes / f64::from(width);
        for _ in 0..20 {
            // Also beyond both ends, where a drag may lead.
            let minute = draws.between(-60.0, minutes + 60.0).round();
            let at = start.plus_minutes(minute);
            let back = axis.instant(axis.x(at)).minutes_since(start);
            // A hundredth of a point: the places are single precision.
            assert!(
                (back - minute).abs() <= 0.01 * minutes_a_point,
                "{minute} comes back as {back} on {axis:?}"
            );
            assert_eq!(back.round(), minute, "a drop is on the minute that is seen");
            let x = draws.between(f64::from(axis.left), f64::from(axis.right)) as f32;
            assert!((axis.x(axis.instant(x)) - x).abs() <= 0.01, "{x} on {axis:?}");
        }
        let (one, other) = (draws.between(0.0, minutes), draws.between(0.0, minutes));
        let x = |minute: f64| axis.x(start.plus_minutes(minute));
        assert_eq!(x(one) <= x(other), one <= other, "what is later stands further right");
    }
}
