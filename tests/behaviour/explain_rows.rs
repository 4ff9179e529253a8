//! What the explanations must do, one test a capability, on the demo's evening and on a made-up one at latitude 38 north,
//! longitude 109 west.

use chrono::{DateTime, NaiveDate, NaiveTime};
use evenfall_core::catalogue::{Catalogue, TargetId, read_catalogue};
use evenfall_core::document::read_evening;
use evenfall_core::ephemeris::Ephemeris;
use evenfall_core::plan::edit::swap_understudy;
use evenfall_core::plan::{
    Evening, Explained, Materials, NotShownWhy, OrderRule, Prepared, RequestWhen, Severity, WhyNow, check,
    draft, explain, explain_order, prepare, when_could_be_shown,
};
use evenfall_core::rig::{Rig, read_rig};
use evenfall_core::sheet::{
    Names, not_shown_sentences, request_sentences, stop_sentence, stop_sentences, understudy_sentence,
    what_if_sentence,
};
use evenfall_core::site::{Site, read_site};
use evenfall_core::time::Instant;
use evenfall_core::units::Angle;

/// A large galaxy's place and size.
const GALAXY: &str = "(format: \"evenfall-catalogue/1\", name: \"One\", targets: [(id: \"one\", name: \"One\", appeal: 1.0, \
    line: \"A line.\", comparison: \"Far.\", look_for: \"It.\", cue: \"Look.\", kind: Galaxy, ra_deg: 10.6847, \
    dec_deg: 41.269, size_arcmin: (177.0, 63.0), magnitude: 3.4, \
    core: (size_arcmin: 5.0, surface_brightness_mag_arcsec2: 17.5))])";

/// An evening and what it stands on.
struct Park {
    site: Site,
    rig: Rig,
    catalogue: Catalogue,
    ephemeris: Ephemeris,
    evening: Evening,
}

impl Park {
    fn demo_on(date: &str) -> Self {
        let catalogue = include_str!("../../catalog-demo/heron-fell.catalogue.ron");
        let mut park = Self::with(include_str!("../../catalog-demo/heron-fell.site.ron"), catalogue);
        park.evening.date = date.parse().expect("a date");
        park
    }

    /// The galaxy alone, over a park further south, with doors open for some hours.
    fn with_galaxy(doors: (&str, &str)) -> Self {
        let site = include_str!("../../catalog-demo/heron-fell.site.ron")
            .replace("latitude_deg: 55.1", "latitude_deg: 38.0")
            .replace("longitude_deg: -2.5", "longitude_deg: -109.0")
            .replace("elevation_m: 260.0", "elevation_m: 1800.0")
            .replace("Europe/London", "America/Denver");
        let mut park = Self::with(&site, GALAXY);
        park.evening.date = NaiveDate::from_ymd_opt(2027, 8, 7).expect("a date");
        park.evening.programme.fixed.clear();
        let clock = |text: &str| NaiveTime::parse_from_str(text, "%H:%M").expect("a time");
        park.evening.programme.doors_open = clock(doors.0);
        park.evening.programme.doors_close = clock(doors.1);
        park
    }

    fn with(site: &str, catalogue: &str) -> Self {
        let pack = include_bytes!("../../assets/ephemeris/planets.pack");
        let evening = include_str!("../../catalog-demo/heron-fell.evening.ron");
        Self {
            site: read_site("site", site).expect("the site reads"),
            rig: read_rig("rig", include_str!("../../catalog-demo/heron-fell.rig.ron"))
                .expect("the rig reads"),
            catalogue: read_catalogue("catalogue", catalogue).0,
            ephemeris: Ephemeris::from_bytes(pack).expect("the embedded pack is whole"),
            evening: read_evening("evening", evening).expect("the demo's evening reads"),
        }
    }

    fn materials(&self) -> Materials<'_> {
        Materials { site: &self.site, rig: &self.rig, catalogue: &self.catalogue, ephemeris: &self.ephemeris }
    }

    fn prepared(&self) -> Prepared {
        prepare(&self.evening, &self.materials()).expect("the evening can be prepared")
    }

    fn drafted(mut self) -> (Self, Prepared) {
        let prepared = self.prepared();
        self.evening.order = draft(&self.evening, &prepared, &self.materials());
        (self, prepared)
    }

    fn explained(&self, prepared: &Prepared) -> Explained {
        explain_order(&self.evening, prepared, &self.materials(), None)
    }
}

#[test]
fn row_44_a_swapped_stop_is_legal_at_its_time_and_stands_elsewhere() {
    let (park, prepared) = Park::demo_on("2027-03-13").drafted();
    let materials = park.materials();
    let (mut swapped, mut elsewhere) = (0, 0);
    for stop in park.evening.order.stops() {
        let Some(understudy) = stop.show().and_then(|show| show.understudy.clone()) else { continue };
        let after = swap_understudy(&park.evening, &prepared, &materials, None, stop.id);
        let now = after.order.get(stop.id).expect("it stays");
        assert_eq!(now.interval, stop.interval);
        assert_eq!(now.show().map(|show| &show.target), Some(&understudy));
        let findings = check(&after, &prepared, &materials);
        let stopper = findings.iter().find(|found| found.severity == Severity::Stopper);
        assert_eq!(stopper, None, "{understudy} instead of {stop:?}");
        let azimuth = |id: &TargetId| {
            let index = materials.target_index(id).expect("it is in the catalogue");
            prepared.sample(index, stop.start()).expect("a sample").azimuth
        };
        let own = &stop.show().expect("it shows").target;
        let apart = (azimuth(&understudy) - azimuth(own)).wrapped_signed().abs();
        elsewhere += usize::from(apart >= Angle::from_degrees(60.0));
        swapped += 1;
    }
    assert!(swapped >= 6 && elsewhere >= swapped - 1, "{swapped} swapped, {elsewhere} elsewhere");
    let names = Names::new(&park.evening, &prepared, &materials);
    for reason in park.explained(&prepared).stops {
        let told = understudy_sentence(&names, reason.understudy.as_ref());
        assert!(told.contains("° away: the evening would "), "{told}");
    }
}

#[test]
fn row_45_a_rule_switched_off_changes_the_order_and_the_explanation() {
    // Dates with what each rule is about: a young Moon that sets, planets before bedtime, a dark sky with faint targets.
    for (rule, date) in [
        (OrderRule::SetsFirst, "2027-03-11"),
        (OrderRule::ChildrenFirst, "2027-03-13"),
        (OrderRule::FaintApart, "2027-03-06"),
    ] {
        let told = |percent: u8| {
            let mut park = Park::demo_on(date);
            park.evening.rules.set(rule, percent);
            let (park, prepared) = park.drafted();
            let stops = park.explained(&prepared).stops;
            let rules: Vec<bool> = stops.iter().map(|stop| stop.now.contains(&WhyNow::Rule(rule))).collect();
            let materials = park.materials();
            let names = Names::new(&park.evening, &prepared, &materials);
            let words: Vec<String> = stops.iter().flat_map(|stop| stop_sentences(&names, stop)).collect();
            let order: Vec<_> =
                park.evening.order.stops().iter().map(|stop| (stop.start(), stop.what.clone())).collect();
            (order, words, rules)
        };
        let (with, without) = (told(100), told(0));
        assert_ne!(with.0, without.0, "{rule:?}: the order stays");
        assert_ne!(with.1, without.1, "{rule:?}: the explanation stays");
        assert!(with.2.iter().any(|speaks| *speaks), "{rule:?} explains nothing");
        assert!(without.2.iter().all(|speaks| !speaks), "{rule:?} is off and explains something");
    }
}

#[test]
fn row_49_one_sentence_names_altitude_light_port_people_and_why_now() {
    let (park, prepared) = Park::demo_on("2027-03-13").drafted();
    let materials = park.materials();
    let names = Names::new(&park.evening, &prepared, &materials);
    let explained = park.explained(&prepared);
    let mut with_a_reason = 0;
    for reason in &explained.stops {
        let stop = park.evening.order.get(reason.stop).expect("a stop of the order");
        let show = stop.show().expect("it shows");
        let sentence = stop_sentence(&names, reason).expect("a sentence");
        let middle = stop.start().plus_minutes(stop.interval.minutes() / 2.0);
        let index = materials.target_index(&show.target).expect("it is in the catalogue");
        let altitude = prepared.sample(index, middle).expect("a sample").altitude;
        let parts = [
            format!("{:.0}° up", altitude.degrees()),
            "against a sky that is".into(),
            park.rig.port(&show.port).expect("a port").name.to_lowercase(),
            "visitors".into(),
        ];
        assert!(parts.iter().all(|part| sentence.contains(part)), "{sentence}");
        assert!(sentence.ends_with('.') && sentence.matches(". ").count() == 0, "{sentence}");
        with_a_reason += usize::from(sentence.contains("; it stands here because "));
    }
    assert!(with_a_reason >= 5 && explained.stops.len() >= 6, "{with_a_reason}");
}

#[test]
fn row_50_every_target_not_shown_says_why_and_a_low_galaxy_how_low() {
    // Its airless altitude at 21:00 on that evening is 7.12 degrees by a published library with DE440; refraction adds a
    // tenth. It climbs.
    let park = Park::with_galaxy(("19:30", "21:00"));
    let prepared = park.prepared();
    let materials = park.materials();
    let names = Names::new(&park.evening, &prepared, &materials);
    let explained = park.explained(&prepared);
    let why = &explained.not_shown[0].why;
    let NotShownWhy::TooLow { highest, .. } = why else { panic!("{why:?}") };
    assert!((highest.degrees() - 7.2).abs() < 0.1, "{highest:?}");
    let told = not_shown_sentences(&names, &explained.not_shown[0]);
    assert!(told[0].contains("7° up at most, at 21:00 MDT, and 15° is needed there"), "{told:?}");

    let (park, prepared) = Park::demo_on("2027-03-13").drafted();
    let materials = park.materials();
    let names = Names::new(&park.evening, &prepared, &materials);
    let explained = park.explained(&prepared);
    assert!(explained.not_shown.len() > 100);
    let beaten =
        explained.not_shown.iter().filter(|one| matches!(one.why, NotShownWhy::Beaten { .. })).count();
    assert!(beaten > 20, "{beaten}");
    for one in &explained.not_shown {
        let told = not_shown_sentences(&names, one);
        assert!(told.iter().all(|sentence| sentence.ends_with('.')), "{told:?}");
        if let NotShownWhy::Beaten { by, more, .. } = &one.why {
            let stop = park.evening.order.get(*by).expect("a stop of the order");
            let begin = format!("Beaten by {} at ", names.stop_title(stop));
            assert!(told[0].starts_with(&begin) && *more > 0.0, "{told:?}");
        }
    }
}

#[test]
fn row_71_a_request_is_answered_with_yes_when_or_no() {
    let mut park = Park::with_galaxy(("20:30", "00:30"));
    let at = DateTime::parse_from_rfc3339("2027-08-07T21:00:00-06:00").expect("a time").to_utc();
    let at = Instant::from_utc(at);
    let prepared = park.prepared();
    let ask = |park: &Park, prepared: &Prepared, id: &str, at: Instant| {
        let materials = park.materials();
        let names = Names::new(&park.evening, prepared, &materials);
        let answer = when_could_be_shown(&park.evening, prepared, &materials, None, &TargetId(id.into()), at);
        let answer = answer.expect("it is in the catalogue");
        (request_sentences(&names, &answer, at).join(" "), answer)
    };
    let (told, answer) = ask(&park, &prepared, "one", at);
    assert!(told.starts_with("From about 23:30 MDT: 30° up in the north-east; "), "{told}");
    assert!(told.contains("Now: only 7° up.") && told.contains("A place for it: at "), "{told}");
    assert!(answer.way.is_some_and(|way| way.interval.start() > at));
    // Once it is in the order, that is the answer; when it stands high, yes.
    let (told, _) = ask(&park, &prepared, "one", at.plus_minutes(180.0));
    assert!(told.starts_with("Yes, now and until doors close: 3"), "{told}");
    park.evening.order = draft(&park.evening, &prepared, &park.materials());
    let (told, answer) = ask(&park, &prepared, "one", at);
    assert!(matches!(answer.when, RequestWhen::InOrder { .. }) && told.starts_with("Yes, at "), "{told}");

    let park = Park::demo_on("2027-03-13");
    let prepared = park.prepared();
    let middle = prepared.doors.start().plus_minutes(120.0);
    // Declination -47.4 degrees never rises at latitude 55.1 north.
    let (told, _) = ask(&park, &prepared, "steamers-smoke", middle);
    assert!(told.starts_with("No. Never up while doors are open: −"), "{told}");
    let materials = park.materials();
    let nothing = TargetId("nothing".into());
    assert_eq!(when_could_be_shown(&park.evening, &prepared, &materials, None, &nothing, middle), None);
}

#[test]
fn what_else_would_change_is_told_with_what_comes_and_goes() {
    let (mut park, _) = Park::demo_on("2027-03-13").drafted();
    let told = |park: &Park| -> Vec<String> {
        let prepared = park.prepared();
        let materials = park.materials();
        let names = Names::new(&park.evening, &prepared, &materials);
        let explained = explain(&park.evening, &prepared, &materials, None);
        explained.what_ifs.iter().map(|what_if| what_if_sentence(&names, what_if)).collect()
    };
    let all = told(&park);
    assert_eq!(all.len(), 6, "four ports, the hour and the visitors: {all:#?}");
    assert!(all[2].starts_with("Without the eyepiece the evening would lose about "), "{all:#?}");
    assert!(all[4].starts_with("With doors open 1 h longer the evening would gain about "), "{all:#?}");
    assert!(all[5].starts_with("With 20 visitors more the evening would lose about "), "{all:#?}");
    let eyepiece = park.rig.ports.iter().find(|port| port.is_eyepiece()).expect("an eyepiece").id.clone();
    park.evening.wishes.ports_out_of_service.push(eyepiece);
    let (park, _) = park.drafted();
    let all = told(&park);
    assert_eq!(all.len(), 3, "one port, the hour and the visitors: {all:#?}");
    assert!(
        all[0].starts_with("With the eyepiece back in service the evening would gain about "),
        "{all:#?}"
    );
}
